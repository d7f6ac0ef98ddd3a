"""The dialect of a page's mathematics: a tree as MathML, with its fractions and roots drawn."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from html import unescape

from linerdesign.documents.lettering import is_greek, lettering
from linerdesign.documents.markup import Markup, element, join
from linerdesign.documents.sheet import to_whole
from linerdesign.expressions.printing import Dialect, Rule, positional, write
from linerdesign.expressions.tree import LookUp, Node
from linerdesign.methods.symbols import SYMBOLS

_APPLY = "<mo>&#x2061;</mo>"
_IN_BRACKETS = "<mrow><mo>(</mo>{}<mo>)</mo></mrow>"

_RULES = {
    "+": Rule("{}<mo>+</mo>{}", 1, (1, 2)),
    "-": Rule("{}<mo>&#x2212;</mo>{}", 1, (1, 2)),
    "neg": Rule("<mrow><mo>&#x2212;</mo>{}</mrow>", 1.5, (2,)),
    "*": Rule("{}<mo>&#x22C5;</mo>{}", 2.2, (2, 2.1)),
    # The bar and the raised place group what stands in them; only as a base do they need brackets.
    "/": Rule("<mfrac><mrow>{}</mrow><mrow>{}</mrow></mfrac>", 3, (0, 0)),
    "^": Rule("<msup><mrow>{}</mrow><mrow>{}</mrow></msup>", 4, (5, 0)),
}
_FUNCTIONS = {
    "sqrt": "<msqrt>{}</msqrt>",
    "cbrt": "<mroot><mrow>{}</mrow><mn>3</mn></mroot>",
    "exp": "<msup><mi>e</mi><mrow>{}</mrow></msup>",
    "abs": "<mrow><mo>|</mo>{}<mo>|</mo></mrow>",
    "ceil": f"<mtext>round up</mtext>{_APPLY}{_IN_BRACKETS}",
    **{name: f"<mi>{name}</mi>{_APPLY}{_IN_BRACKETS}" for name in ("ln", "min", "max")},
    "atan": f"<mi>arctan</mi>{_APPLY}{_IN_BRACKETS}",
}
_CASES = "<mrow><mo>{{</mo><mtable>{}</mtable></mrow>"
_CASE = "<mtr><mtd>{1}</mtd><mtd><mtext>if </mtext><mrow>{0}</mrow></mtd></mtr>"
_OTHERWISE = "<mtr><mtd>{}</mtd><mtd><mtext>otherwise</mtext></mtd></mtr>"
_METHODS = {"linear": "read from", "next": "next size of"}


@cache
def mathml(leaf: Callable[[str], str]) -> Dialect:
    """The dialect, with what stands for each key."""
    return Dialect(
        rules=_RULES,
        functions=_FUNCTIONS,
        number=_number,
        symbol=leaf,
        brackets=_IN_BRACKETS,
        choice=_CASES,
        case=_CASE,
        otherwise=_OTHERWISE,
        comparisons={
            "<": "<mo>&lt;</mo>",
            "<=": "<mo>&#x2264;</mo>",
            ">": "<mo>&gt;</mo>",
            ">=": "<mo>&#x2265;</mo>",
        },
        separator="<mo>,</mo>",
        look_up=_look_up,
        bindings={"exp": _RULES["^"].binding},
    )


def _number(value: float) -> str:
    """A negative number keeps its sign in front, where the printer looks for it."""
    sign = "-" if value < 0 else ""
    return f"{sign}<mn>{positional(abs(value))}</mn>"


def _look_up(node: LookUp, argument: str) -> str:
    words = element("mtext", f"{_METHODS[node.method]} {node.table.name} at ")
    return f"<mrow>{words}<mrow>{argument}</mrow></mrow>"


@cache
def symbol(key: str) -> Markup:
    """The symbol of a quantity, marked with its key so that a page can say what it means."""
    parts = lettering(SYMBOLS[key].symbol)
    if not (parts.primes or parts.below):
        return _identifier(parts.base, data_key=key)
    base = _identifier(parts.base)
    if parts.primes:
        primes = element("mo", "′" * parts.primes, lspace="0", rspace="0")
        base = element("mrow", base, primes, data_key=None if parts.below else key)
    return element("msub", base, _identifier(parts.below), data_key=key) if parts.below else base


def _identifier(name: str, **attributes: str) -> Markup:
    return element("mi", unescape(f"&{name};") if is_greek(name) else name, **attributes)


def formula(key: str, node: Node) -> Markup:
    """A whole equation: the symbol of a quantity, and the tree that gives it.

    Rounding to whole steps is said in words, as in the other forms of a sheet; the billionth that
    guards its last digit stands in the line that is typed under it.
    """
    rounded = to_whole(node)
    right = Markup(write(node if rounded is None else rounded, mathml(symbol)))
    if rounded is not None:
        right = join(right, element("mtext", ", rounded up"))
    whole = math(join(symbol(key), Markup("<mo>=</mo>"), right), display="block")
    return element("div", whole, class_="formula")


def math(*parts: Markup, display: str | None = None) -> Markup:
    """Mathematics in running text, or with `display` "block" in a line of its own."""
    return element("math", element("mrow", *parts), display=display)
