"""The dialect of typeset mathematics: a tree as the source of one Typst equation.

Nothing of a project file enters it but through `quoted`, which lets no character act.
"""

from __future__ import annotations

from collections.abc import Callable

from linerdesign.expressions.lettering import clean, is_greek, lettering
from linerdesign.expressions.printing import Dialect, drawn, positional, spelt
from linerdesign.expressions.tree import Call, LookUp, Node, Operation, children, rebuild

_LONGEST_NAME = 48

_RULES = {
    **spelt({"+": "{} + {}", "-": "{} - {}", "neg": "-{}", "*": "{} dot.op {}"}),
    **drawn("display(frac({}, {}))", "{}^({})"),
    "a/b": spelt({"/": "{} slash {}"})["/"],
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
        look_up=_look_up,
        # What a power of these would be raised over is not plain to see: they get brackets.
        bindings={**dict.fromkeys(_UNSURE, 3), "choice": 0, "look up": 0},
    )


def letters(symbol: str) -> str:
    """A printed symbol: one letter in italics, a name upright, Greek as such.

    >>> letters("E'_s"), letters("sigma_a1.2"), letters("DR_max")
    ('E\\'_"s"', 'sigma_"a1.2"', '"DR"_"max"')
    """
    parts = lettering(symbol)
    below = f"_{_named(parts.below)}" if parts.below else ""
    base = parts.base if len(parts.base) == 1 else _named(parts.base)
    return base + "'" * parts.primes + below


def _named(name: str) -> str:
    return name if is_greek(name) else quoted(name)


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


def slanted(node: Node, inside: bool = False) -> Node:
    """The tree with a plain quotient inside a fraction, power or root as `a/b`: bars upon bars
    are hard to read."""
    plain = not any(map(children, children(node)))
    if inside and isinstance(node, Operation) and node.operator == "/" and plain:
        return Operation("a/b", node.operands)
    inside = inside or (isinstance(node, Operation) and node.operator in ("/", "^"))
    inside = inside or (isinstance(node, Call) and node.function in ("sqrt", "cbrt", "exp"))
    return rebuild(node, tuple(slanted(child, inside) for child in children(node)))
