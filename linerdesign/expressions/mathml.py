"""The dialect of a page's mathematics: a tree as MathML, with its fractions and roots drawn."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from html import escape, unescape

from linerdesign.expressions.lettering import clean, is_greek, lettering
from linerdesign.expressions.printing import Dialect, drawn, positional, spelt
from linerdesign.expressions.tree import LookUp

_APPLY = "<mo>&#x2061;</mo>"
_IN_BRACKETS = "<mrow><mo>(</mo>{}<mo>)</mo></mrow>"

_RULES = {
    **spelt({"+": "{}<mo>+</mo>{}", "-": "{}<mo>&#x2212;</mo>{}", "*": "{}<mo>&#x22C5;</mo>{}"}),
    **spelt({"neg": "<mrow><mo>&#x2212;</mo>{}</mrow>"}),
    **drawn(
        "<mfrac><mrow>{}</mrow><mrow>{}</mrow></mfrac>",
        "<msup><mrow>{}</mrow><mrow>{}</mrow></msup>",
    ),
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
    """The dialect, with what represents each key."""
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
    words = escape(clean(f"{_METHODS[node.method]} {node.table.name} at "))
    return f"<mrow><mtext>{words}</mtext><mrow>{argument}</mrow></mrow>"


def letters(symbol: str, key: str) -> str:
    """A printed symbol, marked with the key of its quantity so that a page can explain it."""
    parts = lettering(symbol)
    mark = f' data-key="{escape(key)}"'
    if not (parts.primes or parts.below):
        return _identifier(parts.base, mark)
    base = _identifier(parts.base)
    if parts.primes:
        primes = f'<mo lspace="0" rspace="0">{"′" * parts.primes}</mo>'
        base = f"<mrow{'' if parts.below else mark}>{base}{primes}</mrow>"
    return f"<msub{mark}>{base}{_identifier(parts.below)}</msub>" if parts.below else base


def _identifier(name: str, mark: str = "") -> str:
    return f"<mi{mark}>{unescape(f'&{name};') if is_greek(name) else escape(name)}</mi>"
