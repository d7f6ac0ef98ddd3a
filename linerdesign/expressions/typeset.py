"""The dialect of typeset mathematics: a tree as the source of one Typst equation.

Nothing of a project file enters it but through `quoted`, which lets no character act.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from linerdesign.documents.lettering import is_greek, lettering
from linerdesign.documents.numbers import clean
from linerdesign.documents.sheet import derivation
from linerdesign.expressions.printing import Dialect, Rule, positional
from linerdesign.expressions.tree import Call, LookUp, Node, Operation, children, rebuild
from linerdesign.methods.result import Step
from linerdesign.methods.symbols import SYMBOLS

# An empty sign between two numbers of a long list, after which a line may end.
_BREAK = 'class("binary", zws)'
_LONGEST_NAME = 48

_RULES = {
    "+": Rule("{} + {}", 1, (1, 2)),
    "-": Rule("{} - {}", 1, (1, 2)),
    "neg": Rule("-{}", 1.5, (2,)),
    "*": Rule("{} dot.op {}", 2.2, (2, 2.1)),
    # The bar and the raised place group what stands in them; only as a base do they need brackets.
    "/": Rule("display(frac({}, {}))", 3, (0, 0)),
    "a/b": Rule("{} slash {}", 2, (2, 3)),
    "^": Rule("{}^({})", 4, (5, 0)),
}
_UNSURE = ("exp", "sqrt", "cbrt", "ln", "atan", "min", "max")
_FUNCTIONS = {
    "sqrt": "sqrt({})",
    "cbrt": "root(3, {})",
    "exp": "e^({})",
    "ln": "ln({})",
    "atan": "arctan({})",
    "abs": "abs({})",
    "min": "min({})",
    "max": "max({})",
    "ceil": "ceil({})",
}


def typeset(leaf: Callable[[str], str]) -> Dialect:
    """The dialect, with what stands for each key."""
    return Dialect(
        rules=_RULES,
        functions=_FUNCTIONS,
        number=positional,
        symbol=leaf,
        choice="cases({})",
        case='display({1} quad "if" {0}), ',
        otherwise='display({} quad "otherwise")',
        comparisons={"<": "<", "<=": "<=", ">": ">", ">=": ">="},
        look_up=_look_up,
        # What a power of these would be raised over is not plain to see: they get brackets.
        bindings={**dict.fromkeys(_UNSURE, 4.0), "choice": 0, "look up": 0},
    )


def symbol(key: str) -> str:
    """The symbol of a quantity: one letter in italics, a name upright, Greek as such.

    >>> symbol("E_s"), symbol("sigma_X1_2"), symbol("DR_max")
    ('E\\'_"s"', 'sigma_"X1.2"', '"DR"_"max"')
    """
    parts = lettering(SYMBOLS[key].symbol)
    below = f"_{_letters(parts.below, '')}" if parts.below else ""
    return _letters(parts.base, parts.base) + "'" * parts.primes + below


def _letters(name: str, single: str) -> str:
    if is_greek(name):
        return name
    return single if single and len(single) == 1 else quoted(name)


def quoted(text: str) -> str:
    """Text as a string of the equation, every character but the plainest written by its code."""
    letters = (c if c.isascii() and (c.isalnum() or c in " .,-") else _code(c) for c in text)
    return f'"{"".join(letters)}"'


def _code(character: str) -> str:
    return f"\\u{{{ord(character):x}}}"


def _look_up(node: LookUp, argument: str) -> str:
    name = clean(node.table.name)
    cut = name if len(name) <= _LONGEST_NAME else name[: _LONGEST_NAME - 1] + "…"
    return f"{quoted(f'{cut} at ')} {argument}"


def _in_pieces(leaf: Callable[[str], str]) -> Dialect:
    """For a list of many numbers: its brackets don't grow, so that it may go over several lines."""
    lists = {name: f"{name} paren.l {{}} paren.r" for name in ("min", "max")}
    return replace(typeset(leaf), functions=_FUNCTIONS | lists, separator=f", {_BREAK} ")


def _is_long_list(node: Node | None) -> bool:
    return (
        isinstance(node, Call)
        and len(node.arguments) > 4
        and not any(map(children, node.arguments))
    )


def slanted(node: Node, inside: bool = False) -> Node:
    """The tree with a plain quotient inside a fraction, power or root as `a/b`: bars upon bars
    are hard to read."""
    plain = not any(map(children, children(node)))
    if inside and isinstance(node, Operation) and node.operator == "/" and plain:
        return Operation("a/b", node.operands)
    inside = inside or (isinstance(node, Operation) and node.operator in ("/", "^"))
    inside = inside or (isinstance(node, Call) and node.function in ("sqrt", "cbrt", "exp"))
    return rebuild(node, tuple(slanted(child, inside) for child in children(node)))


def equation_lines(step: Step) -> tuple[str, ...]:
    """The lines between the symbol of a step and its value, each the source of an equation."""
    form = _in_pieces if _is_long_list(step.arithmetic) else typeset
    shown = replace(step, arithmetic=step.arithmetic and slanted(step.arithmetic))
    return derivation(shown, form, symbol, remark='{}", {}"')
