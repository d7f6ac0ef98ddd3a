"""Symbols and formulas of the method as mathematics: for print as Typst, for pages as MathML."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from html import escape, unescape

from linerdesign.documents.markup import Markup, element
from linerdesign.documents.sheet import to_whole
from linerdesign.expressions import mathml, typeset
from linerdesign.expressions.lettering import is_greek, lettering
from linerdesign.expressions.printing import Printer
from linerdesign.expressions.tree import Node
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.words import sentence

_ROUNDED_UP = f", {sentence('documents.rounded_up')}"


@cache
def print_symbol(key: str) -> str:
    """The symbol of a quantity as Typst source."""
    return typeset.letters(SYMBOLS[key].symbol)


@cache
def page_symbol(key: str) -> str:
    """The symbol of a quantity as MathML, marked with its key."""
    return mathml.letters(SYMBOLS[key].symbol, key)


@cache
def text_symbol(key: str) -> Markup:
    """The symbol of a quantity in running text of a page."""
    parts = lettering(SYMBOLS[key].symbol)
    base, below = (unescape(f"&{n};") if is_greek(n) else n for n in (parts.base, parts.below))
    return element("var", base, "′" * parts.primes, element("sub", below) if below else "")


@cache
def _marked() -> tuple[re.Pattern[str], dict[str, str]]:
    """The symbols that no word of a sentence looks like, and the source of each."""
    sources = {each.symbol: print_symbol(key) for key, each in SYMBOLS.items()}
    known = [s for s in sources if "_" in s or is_greek(lettering(s).base)]
    names = "|".join(map(re.escape, known))
    return re.compile(rf"(?<![\w./'-])({names})(?![\w']|\.\w)"), sources


def pieces(text: str, keys: Sequence[str] = ()) -> list[str | list[str]]:
    """Running text parted at its symbols, each as the source of an equation and in plain.

    `keys` are quantities whose symbols stand in the text in this order, before a blank.
    """
    found: list[str | list[str]] = []
    for key in keys:
        plain = SYMBOLS[key].symbol
        before, after, rest = text.partition(f"{plain} ")
        if after:
            found += [*_parted(before), [print_symbol(key), plain]]
            text = f" {rest}"
    return found + _parted(text)


def _parted(text: str) -> list[str | list[str]]:
    pattern, sources = _marked()
    parts = pattern.split(text)
    return [[sources[each], each] if i % 2 else each for i, each in enumerate(parts) if each]


PRINT = Printer(typeset.typeset(print_symbol), typeset.slanted)
PAGE = Printer(mathml.mathml(page_symbol))


def print_formula(key: str, node: Node) -> str:
    """The symbol of a quantity and the tree that gives it, as Typst source; rounding in words."""
    shown, after = _whole(node)
    words = typeset.quoted(after) if after else ""
    return f"{print_symbol(key)} = {PRINT.symbolic(shown)} {words}".rstrip()


def page_formula(key: str, node: Node) -> Markup:
    """The symbol of a quantity and the tree that gives it, as MathML; rounding in words."""
    shown, after = _whole(node)
    words = f"<mtext>{escape(after)}</mtext>" if after else ""
    right = PAGE.symbolic(shown)
    row = f"<mrow>{page_symbol(key)}<mo>=</mo>{right}{words}</mrow>"
    return Markup(f'<math display="block">{row}</math>')


def _whole(node: Node) -> tuple[Node, str]:
    """What is rounded up to whole steps, and the words that say so."""
    rounded = to_whole(node)
    return (node, "") if rounded is None else (rounded, _ROUNDED_UP)
