"""Splits a text into what a label is made of: ideas, symbols, equation numbers, other words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Literal

from linerdesign.methods.method import standard
from linerdesign.tasks.transcribe.labels import (
    DOUBTING,
    NEUTRAL,
    SAME_SYMBOL,
    ideas_of_symbol,
    phrases,
)
from linerdesign.tasks.transcribe.numbers import Number, numbers, unit_alone

Sort = Literal[
    "number", "idea", "symbol", "equation", "unit", "doubt", "word", "neutral", "named", "mark"
]


@dataclass(frozen=True)
class Token:
    """A part of a text: its sort, its span, and what it says.

    `value` of an idea is its name, of a symbol its spelling in the table, of an equation its
    number, of a named value its key, of a unit the unit; of a number, `number` holds it. An
    equation of which only the last digit is given is not `sure`.
    """

    sort: Sort
    start: int
    end: int
    value: str = ""
    number: Number | None = None
    sure: bool = True


_SHOWN = standard().submittals
# Numbers that are part of a name, by what they say.
_NAMED: tuple[tuple[Sort, str, str], ...] = (
    ("idea", r"\(?\b(?:at\s+)?50[- ]?(?:years?|yrs?|y)\b\)?", "long term"),
    *(("equation", pattern, "") for pattern in _SHOWN.equations),
    ("named", _SHOWN.edition, "edition"),
    ("named", r"\bHS?[- ]?2[05](?:[- ]44)?\b(?!\.?\d)", "live_load"),
    ("named", r"\bHL[- ]?93\b", "live_load"),
    ("named", r"\b(?:Cooper(?:'s)?\s*)?E[- ]?80\b(?!\s*(?:psi|MPa))", "live_load"),
)
_NAMES = re.compile("|".join(f"(?P<n{i}>{pattern})" for i, (_, pattern, _) in enumerate(_NAMED)))
_WORD = re.compile(r"[^\W\d_](?:[\w'’′.{}]*[\w'’′}])?|[∆Δ]")
_MARK = re.compile(r"[=:≈≤≥<>]")
_JOINT = re.compile(r"[\s\-–/]*\Z")
_UNIT_IN_BRACKETS = re.compile(r"[(\[]([^()\[\]]{1,14})[)\]]")
_BEHIND_SYMBOL = re.compile(
    r"\s*(?:[=:)\]≈≤≥<>(\[,]|\d|\.\d|\Z|(?i:req|nom|des|min|calc|sel|spec|prov)[a-z'.]*)"
)
_FORMULA = re.compile(r"[*/^·×+√\x00]\s*\Z")
# The thickness by an equation, as many calculations number it.
_NUMBERED = re.compile(r"t([1-7])")
_LONGEST = max(map(len, phrases()))


@lru_cache(maxsize=1024)
def tokens(text: str, comma: str = "") -> tuple[Token, ...]:
    """The tokens of a text in order; blanks, brackets and units of brackets are left out."""
    taken = [*_named(text)]
    taken += [
        Token("number", each.start, each.end, number=each)
        for each in numbers(_without(text, taken), comma)
    ]
    for match in _UNIT_IN_BRACKETS.finditer(_without(text, taken)):
        unit = unit_alone(match[1])
        if unit is not None:
            taken.append(Token("unit", *match.span(), unit))
    rest = _without(text, taken)
    taken += _words(rest)
    taken += [Token("mark", *match.span(), match[0]) for match in _MARK.finditer(rest)]
    return tuple(sorted(taken, key=lambda token: token.start))


def _without(text: str, taken: list[Token]) -> str:
    """The text with the taken parts blanked out, offsets kept."""
    for token in taken:
        text = text[: token.start] + "\x00" * (token.end - token.start) + text[token.end :]
    return text


def _named(text: str) -> Iterator[Token]:
    for match in _NAMES.finditer(text):
        sort, _, value = _NAMED[int(str(match.lastgroup)[1:])]
        if sort == "equation":
            value = _SHOWN.equation_in(match[0])
        yield Token(sort, *match.span(), value)


def _words(text: str) -> Iterator[Token]:
    found = list(_WORD.finditer(text))
    position = 0
    while position < len(found):
        token, used = _phrase(text, found, position)
        yield token
        position += used


def _phrase(text: str, found: list[re.Match[str]], position: int) -> tuple[Token, int]:
    """The longest phrase from a word on; else the symbol or the word that it is."""
    first = found[position]
    symbol = _symbol(text, first)
    if symbol and (first[0] != first[0].lower() or len(first[0]) == 1):
        return symbol, 1
    for count in range(_LONGEST, 0, -1):
        run = found[position : position + count]
        if not _adjacent(text, run):
            continue
        idea = phrases().get(tuple(_plain(each[0]) for each in run))
        if idea:
            return Token("idea", first.start(), run[-1].end(), idea), len(run)
    if symbol:
        return symbol, 1
    word = _plain(first[0])
    sort: Sort = "neutral" if word in NEUTRAL else "doubt" if word in DOUBTING else "word"
    return Token(sort, *first.span(), word), 1


def _adjacent(text: str, run: list[re.Match[str]]) -> bool:
    return all(_JOINT.fullmatch(text, one.end(), other.start()) for one, other in pairwise(run))


def _plain(word: str) -> str:
    return re.sub(r"['’′.{}_]", "", word).lower()


def _symbol(text: str, match: re.Match[str]) -> Token | None:
    """The token as a symbol, where nothing but a sign, a number or the end follows it."""
    if not _BEHIND_SYMBOL.match(text.replace("\x00", "0"), match.end()):
        return None
    if _FORMULA.search(text, match.start() - 5, match.start()):
        return None
    spelled = canonical(match[0])
    if numbered := _NUMBERED.fullmatch(spelled):
        return Token("equation", *match.span(), _SHOWN.numbered(numbered[1]), sure=False)
    return Token("symbol", *match.span(), spelled) if ideas_of_symbol(spelled) else None


def canonical(symbol: str) -> str:
    """A symbol in the spelling of the table: `E_{L}` as `EL`, `sigma_L` as `σL`."""
    bare = re.sub(r"[_{}.\s]", "", symbol).replace("’", "'").replace("′", "'")
    bare = bare.replace("s'", "'s") if bare.startswith("Es'") else bare
    for spelled, same in SAME_SYMBOL.items():
        if bare.startswith(spelled) and not ideas_of_symbol(bare):
            return same + bare[len(spelled) :]
    return bare
