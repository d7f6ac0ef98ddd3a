"""One walk over an equation's tree that prints it in any dialect.

A dialect is data: for every operator a template, how tightly the result binds, and how tightly
each operand must bind to stand without brackets. Brackets come from that table alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

from linerdesign.expressions.tree import (
    Across,
    Call,
    Choice,
    Comparison,
    Label,
    LookUp,
    Node,
    Number,
    Operation,
    Symbol,
    Truth,
    widened,
)

ATOM = 4.0
# A number smaller than this is what a subtraction of equal numbers leaves, and prints as 0.
NOISE = 1e-12
# Trees that a printer keeps at most.
MOST_KEPT = 5000


@dataclass(frozen=True)
class Rule:
    """How an operator is written: template, binding of the result, least binding of operands."""

    template: str
    binding: float
    operands: tuple[float, ...]


@dataclass(frozen=True)
class Dialect:
    """A way of writing. `functions` are templates over the joined arguments.

    `bindings` says how tightly a function, "choice" or "look up" binds where it is no atom: a root
    written as a power, for instance. Where a choice is written as a list of cases, `case` is one
    line of it and `otherwise` the last, and a choice left to the last of another joins its list.
    `slot` marks the place of a symbol that is filled later, with the least binding it needs there.
    `truths` are templates for `not`, and for `all` and `any` the word between the conditions, or
    a template over all of them. A `tolerant` dialect is one that computes: its comparisons allow
    for the tolerance within which two numbers are one.
    """

    rules: Mapping[str, Rule]
    functions: Mapping[str, str]
    number: Callable[[float], str]
    symbol: Callable[[str], str]
    brackets: str = "({})"
    choice: str = "({} ? {} : {})"
    case: str = ""
    otherwise: str = ""
    comparisons: Mapping[str, str] | None = None
    tolerant: bool = False
    separator: str = ", "
    truths: Mapping[str, str] | None = None
    label: str = '"{}"'
    look_up: Callable[[LookUp, str], str] | None = None
    across: Callable[[Across], str] | None = None
    bindings: Mapping[str, float] | None = None
    slot: Callable[[str, float], str] | None = None

    def binding(self, of: str) -> float:
        """How tightly a function, "choice" or "look up" binds."""
        return (self.bindings or {}).get(of, ATOM)

    def with_symbols(self, symbol: Callable[[str], str]) -> Dialect:
        """The same dialect with other leaves, for instance values in place of symbols."""
        return replace(self, symbol=symbol)


def write(node: Node, dialect: Dialect) -> str:
    """The tree as text of the dialect."""
    return _write(node, dialect)[0]


def _write(node: Node, dialect: Dialect) -> tuple[str, float]:
    match node:
        case Number(value):
            return _leaf(dialect.number(value), dialect)
        case Symbol(key) if dialect.slot:
            return dialect.slot(key, 0.0), ATOM
        case Symbol(key):
            return _leaf(dialect.symbol(key), dialect)
        case Operation(operator, operands):
            return _operation(dialect.rules[operator], operands, dialect)
        case Call(function, arguments):
            inner = dialect.separator.join(write(argument, dialect) for argument in arguments)
            return dialect.functions[function].format(inner), dialect.binding(function)
        case Comparison():
            compared = widened(node) if dialect.tolerant else node
            operator, left, right = compared.operator, compared.left, compared.right
            sign = (dialect.comparisons or {}).get(operator, operator)
            return f"{write(left, dialect)} {sign} {write(right, dialect)}", 0.0
        case Label(text):
            return dialect.label.format(text), ATOM
        case Truth(operator, operands):
            return _truth(operator, operands, dialect)
        case Across():
            if dialect.across is None:
                raise TypeError("this dialect writes one station; resolve the tree first")
            return dialect.across(node), ATOM
        case Choice() if dialect.case:
            return dialect.choice.format(_cases(node, dialect)), dialect.binding("choice")
        case Choice(condition, then, otherwise):
            # A choice inside a choice is bracketed where the dialect writes it without bounds.
            parts = [_operand(part, 0.5, dialect) for part in (then, otherwise)]
            text = dialect.choice.format(write(condition, dialect), *parts)
            return text, dialect.binding("choice")
        case LookUp(_, argument, _):
            if dialect.look_up is None:
                raise TypeError("this dialect has no look-ups; resolve the tree first")
            return dialect.look_up(node, write(argument, dialect)), dialect.binding("look up")


def _cases(node: Node, dialect: Dialect) -> str:
    """The lines of a choice, one under the other, those of a choice in its last line after them."""
    if not isinstance(node, Choice):
        return dialect.otherwise.format(_operand(node, 0.5, dialect))
    case = dialect.case.format(write(node.condition, dialect), _operand(node.then, 0.5, dialect))
    return case + _cases(node.otherwise, dialect)


def _truth(operator: str, operands: tuple[Node, ...], dialect: Dialect) -> tuple[str, float]:
    truths = dialect.truths or _TRUTHS
    if not operands:
        # All of nothing holds, any of nothing does not.
        return truths["always" if operator == "all" else "never"], ATOM
    form = truths[operator]
    texts = [write(operand, dialect) for operand in operands]
    if "{}" in form:
        return form.format(dialect.separator.join(texts)), ATOM
    nested = [f"({t})" if isinstance(o, Truth) else t for t, o in zip(texts, operands, strict=True)]
    return f" {form} ".join(nested), 0.0


def _leaf(text: str, dialect: Dialect) -> tuple[str, float]:
    """A negative number binds as a negation does, so that it is bracketed where one would be."""
    if text.startswith("-"):
        rule = dialect.rules["neg"]
        return rule.template.format(text[1:]), rule.binding
    return text, ATOM


def _operation(rule: Rule, operands: tuple[Node, ...], dialect: Dialect) -> tuple[str, float]:
    pairs = zip(operands, rule.operands, strict=True)
    texts = (_operand(operand, least, dialect) for operand, least in pairs)
    return rule.template.format(*texts), rule.binding


def _operand(node: Node, least: float, dialect: Dialect) -> str:
    if isinstance(node, Symbol) and dialect.slot:
        return dialect.slot(node.key, least)
    return _bound(_write(node, dialect), least, dialect)


def _bound(written: tuple[str, float], least: float, dialect: Dialect) -> str:
    text, binding = written
    return text if binding >= least else dialect.brackets.format(text)


_SLOT = re.compile("\x00([^\x01]+)\x01([^\x00]+)\x00")


def _slot(key: str, least: float) -> str:
    return f"\x00{key}\x01{least}\x00"


@dataclass(frozen=True)
class Template:
    """A printed tree whose symbols are left open; `slots` are their keys and least bindings."""

    texts: tuple[str, ...]
    slots: tuple[tuple[str, float], ...]
    dialect: Dialect

    def filled(self, leaf: Callable[[str], str]) -> str:
        """The text with a leaf for each symbol, bracketed where it is negative, as in `write`."""
        parts = [self.texts[0]]
        for (key, least), after in zip(self.slots, self.texts[1:], strict=True):
            text = leaf(key)
            if text.startswith("-"):
                text = _bound(_leaf(text, self.dialect), least, self.dialect)
            parts += (text, after)
        return "".join(parts)


def template(node: Node, dialect: Dialect) -> Template:
    """The tree printed once, to be filled for many sets of values."""
    pieces = _SLOT.split(write(node, replace(dialect, slot=_slot)))
    slots = zip(pieces[1::3], map(float, pieces[2::3]), strict=True)
    return Template(tuple(pieces[::3]), tuple(slots), dialect)


@dataclass
class Printer:
    """Prints trees in one dialect, walking each tree only once.

    `prepared` changes a tree before it is printed. Trees are told apart by identity, so that only
    those of lines, which last, are found again; the store is emptied when it is full.
    """

    dialect: Dialect
    prepared: Callable[[Node], Node] = lambda node: node
    _kept: dict[int, tuple[Node, Template, str]] = field(default_factory=dict)

    def symbolic(self, node: Node) -> str:
        """The tree in symbols."""
        return self._printed(node)[2]

    def numeric(self, node: Node, leaf: Callable[[str], str]) -> str:
        """The tree with a leaf for each symbol, for instance its value."""
        return self._printed(node)[1].filled(leaf)

    def _printed(self, node: Node) -> tuple[Node, Template, str]:
        found = self._kept.get(id(node))
        if found is None:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            made = template(self.prepared(node), self.dialect)
            found = self._kept[id(node)] = (node, made, made.filled(self.dialect.symbol))
        return found


@lru_cache(maxsize=2**15)
def positional(value: float, digits: int = 6) -> str:
    """A number with so many significant figures, never in powers of ten, no idle zeros.

    >>> positional(0.8357528), positional(125000.0), positional(0.00000123456789)
    ('0.835753', '125000', '0.00000123457')
    >>> positional(0.3 - 0.1 * 3)
    '0'
    """
    if abs(value) < NOISE:
        return "0"
    if float(value).is_integer() and abs(value) < 1e15:
        return str(int(value))
    exponent = int(f"{value:.{digits - 1}e}".split("e")[1])
    decimals = max(digits - 1 - exponent, 0)
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def written(value: object) -> str:
    """A value of a project as a person writes it.

    >>> written(2.0), written(0.3), written("4.5 mm")
    ('2', '0.3', '4.5 mm')
    """
    return positional(value, 15) if isinstance(value, float) else str(value)


_TRUTHS = {"all": "and", "any": "or", "not": "not ({})", "always": "true", "never": "false"}
_ARITHMETIC = {
    "+": Rule("{} + {}", 1, (1, 2)),
    "-": Rule("{} - {}", 1, (1, 2)),
    "neg": Rule("-{}", 1.5, (2,)),
    "*": Rule("{}*{}", 2.2, (2, 2.1)),
    "/": Rule("{}/{}", 2, (2, 3)),
    "^": Rule("{}^{}", 3, (ATOM, ATOM)),
}
_NAMED = {name: name + "({})" for name in ("sqrt", "exp", "ln", "atan", "abs", "min", "max")}


def spelt(templates: Mapping[str, str]) -> dict[str, Rule]:
    """Operators that bind as in plain text, written by other templates."""
    return {sign: replace(_ARITHMETIC[sign], template=text) for sign, text in templates.items()}


def drawn(fraction: str, power: str) -> dict[str, Rule]:
    """A fraction's bar and a raised place, which group what stands in them.

    Only as the base of a power do they need brackets.
    """
    return {"/": Rule(fraction, 3, (0, 0)), "^": Rule(power, 3, (ATOM, 0))}


def plain(symbol: Callable[[str], str]) -> Dialect:
    """Text that a person reads and a pocket calculator takes: `+ - * / ^`, sqrt, exp, ln."""
    return Dialect(
        rules=_ARITHMETIC,
        functions=_NAMED | {"cbrt": "({})^(1/3)", "ceil": "round up({})"},
        number=positional,
        symbol=symbol,
        choice="{1} if {0} else {2}",
        look_up=lambda node, argument: f"{node.table.name} at {argument}",
        bindings={"cbrt": _ARITHMETIC["^"].binding, "choice": 0, "look up": 0},
    )


_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
_POWER = re.compile(r"\^(\d+)(?![\d.])")


def grouped(value: float) -> str:
    """A number as print shows it, thousands set apart; its sign stays plain.

    >>> grouped(125000.0), grouped(-1234.5), grouped(0.8357528)
    ('125,000', '-1234.5', '0.835753')
    """
    whole, point, rest = positional(value).partition(".")
    return f"{int(whole):,}{point}{rest}" if len(whole.lstrip("-")) > 4 else whole + point + rest


def raised(text: str) -> str:
    """Whole powers of plain text as raised figures.

    >>> raised("in^3/ft"), raised("D^2 + q^0.4")
    ('in³/ft', 'D² + q^0.4')
    """
    return _POWER.sub(lambda power: power[1].translate(_RAISED), text)


_IN_PRINT = _ARITHMETIC | spelt({"-": "{} − {}", "neg": "−{}", "*": "{}·{}"})


def in_print(symbol: Callable[[str], str]) -> Dialect:
    """Arithmetic on one line as a page prints it: points for products, a real minus."""
    return replace(plain(symbol), rules=_IN_PRINT, number=grouped)
