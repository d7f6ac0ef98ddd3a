"""The dialect of a page's script, and arithmetic with places for numbers."""

from __future__ import annotations

from collections.abc import Callable

from linerdesign.expressions import tree
from linerdesign.expressions.printing import ATOM, Dialect, Rule, plain, write
from linerdesign.expressions.tree import Call, Choice, LookUp, Node, Table

_RULES = {
    "+": Rule("{} + {}", 1, (1, 2)),
    "-": Rule("{} - {}", 1, (1, 2)),
    "*": Rule("{} * {}", 2, (2, 3)),
    "/": Rule("{} / {}", 2, (2, 3)),
    "neg": Rule("-{}", 3, (ATOM,)),
    "^": Rule("Math.pow({}, {})", ATOM, (0, 0)),
}
_FUNCTIONS = {
    "ln": "Math.log({})",
    "atan": "Math.atan({})",
    **{name: f"Math.{name}({{}})" for name in ("sqrt", "cbrt", "exp", "abs", "min", "max", "ceil")},
}


_TRUTHS = {"all": "&&", "any": "||", "not": "!({})", "always": "true", "never": "false"}


def script(symbol: Callable[[str], str], table: Callable[[Table], str]) -> Dialect:
    """The dialect, with what stands for each key and each table."""
    dialect = Dialect(
        rules=_RULES,
        functions=_FUNCTIONS,
        number=repr,
        symbol=symbol,
        truths=_TRUTHS,
        tolerant=True,
        look_up=lambda node, argument: f"lookUp.{node.method}({argument}, {table(node.table)})",
        across=lambda node: (
            f"across.{node.function}(v.stations, (v) => {write(node.argument, dialect)})"
        ),
    )
    return dialect


def pattern(node: Node) -> str | None:
    """The arithmetic in numbers with a place for each, `{D}/{t}`.

    None where other values select other arithmetic: a choice, a look-up, a rounding, an angle.
    """
    return None if _selects(node) else write(node, plain(lambda key: f"{{{key}}}"))


def _selects(node: Node) -> bool:
    if isinstance(node, Choice | LookUp):
        return True
    if isinstance(node, Call) and node.function in ("ceil", "atan"):
        return True
    return any(_selects(child) for child in tree.children(node))
