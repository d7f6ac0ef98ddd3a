"""Readings in running text and in single cells: each number with the words around it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from linerdesign.methods.method import standard
from linerdesign.project.measures import convert
from linerdesign.tasks.transcribe.labels import ideas_of_symbol
from linerdesign.tasks.transcribe.meaning import meaning, value_for
from linerdesign.tasks.transcribe.numbers import Number
from linerdesign.tasks.transcribe.tokens import Token, canonical

PARTIALLY, FULLY = "partially deteriorated", "fully deteriorated"
_CONDITION = re.compile(r"\b(partially|fully)[- ]+deteriorated\b", re.IGNORECASE)
_HARD = re.compile(r"[;\n|•]|[.]\s+(?=[A-Z(µ\u0370-\u03ff])|[.]\s*\Z")
# More numbers without a sign between them are a list, and no statement.
MOST_NUMBERS = 6
_JOINING = ("and", "with", "having", "plus")
_RANGE = re.compile(r"\s*(?:-|–|—|to|through)\s*")
_OPERATOR = re.compile(r"[*/^×·√+]")


@dataclass(frozen=True)
class Reading:
    """A value for a key, read from the characters `start` to `end` of a text."""

    key: str
    value: str
    doubts: tuple[str, ...]
    start: int
    end: int


@dataclass(frozen=True)
class Piece:
    """Tokens of a text that belong together; `joined` where `and` ties it to the one before."""

    tokens: tuple[Token, ...]
    joined: bool = False

    @property
    def numbers(self) -> tuple[Token, ...]:
        """The numbers among the tokens."""
        return tuple(token for token in self.tokens if token.sort == "number")

    @property
    def says(self) -> bool:
        """Whether a label is among the tokens."""
        return any(token.sort in ("idea", "symbol") for token in self.tokens)


def readings(text: str, tokens: Sequence[Token]) -> list[Reading]:
    """The readings of a text, in order."""
    found: list[Reading] = []
    for sentence in _sentences(text, tokens):
        found += _of_sentence(text, sentence)
        found += named(text, sentence, any(each.key == "live_load" for each in found))
    found += conditions(text)
    return sorted(found, key=lambda each: each.start)


def _of_sentence(text: str, sentence: Sequence[Token]) -> list[Reading]:
    """The readings of a sentence, in doubt where it qualifies them or goes on to list others."""
    pieces = _pieces(text, sentence)
    found: list[Reading] = []
    for index, piece in enumerate(pieces):
        if not piece.numbers:
            continue
        made = _of_piece(text, pieces, index)
        if not made and not piece.says and found:
            found[-1] = _doubted(found[-1], "transcribe.shared")
        found += made
    if any(token.sort == "doubt" for token in sentence):
        found = [_doubted(each, "transcribe.conditional") for each in found]
    return found


def _doubted(reading: Reading, doubt: str) -> Reading:
    return replace(reading, doubts=tuple(dict.fromkeys((*reading.doubts, doubt))))


def named(text: str, tokens: Sequence[Token], load_given: bool = False) -> Iterator[Reading]:
    """Values that are names: the edition, the vehicle of the live load, the governing equation."""
    for token in tokens:
        if token.sort == "named" and not (token.value == "live_load" and load_given):
            value, doubts = named_value(text[token.start : token.end])
            yield Reading(token.value, value, doubts, token.start, token.end)
    equations = [token for token in tokens if token.sort == "equation"]
    governing = [t for t in tokens if t.sort == "idea" and t.value == "governing"]
    if governing and len(equations) == 1 and not any(t.sort == "number" for t in tokens):
        ends = [*equations, *governing]
        start, end = min(t.start for t in ends), max(t.end for t in ends)
        yield Reading("stated.governing", equations[0].value, (), start, end)


def named_value(text: str) -> tuple[str, tuple[str, ...]]:
    """The value of a named edition or vehicle as a project file has it, and its doubts."""
    if edition := standard().submittals.edition_in(text):
        return edition, ()
    if "93" in text:
        return "HL-93", ()
    return ("E-80 table" if "80" in text else "H-25 table" if "25" in text else "H-20 table"), (
        "transcribe.vehicle",
    )


def conditions(text: str) -> Iterator[Reading]:
    """The condition of the host as the document states it, where it states only one."""
    matches = list(_CONDITION.finditer(text))
    if len({match[1].lower() for match in matches}) == 1:
        match = matches[0]
        value = f"{match[1].lower()} deteriorated"
        yield Reading("stated.condition", value, (), match.start(), match.end())


def _sentences(text: str, tokens: Sequence[Token]) -> Iterator[list[Token]]:
    sentence: list[Token] = []
    for token in tokens:
        if sentence and _parted(text, sentence[-1], token):
            yield sentence
            sentence = []
        sentence.append(token)
    if sentence:
        yield sentence


def _parted(text: str, one: Token, other: Token) -> bool:
    gap = text[one.end : other.start]
    if _HARD.search(gap + text[other.start : other.start + 1]):
        return True
    # The point behind a unit may also end the sentence: 12 in. Cover is ...
    dotted = text[one.start : one.end].endswith(".") and one.sort == "number"
    return dotted and gap.isspace() and text[other.start].isupper()


def _pieces(text: str, sentence: Sequence[Token]) -> list[Piece]:
    pieces: list[list[Token]] = [[]]
    joined = [False]
    for token in sentence:
        last = pieces[-1][-1] if pieces[-1] else None
        comma = last is not None and "," in text[last.end : token.start]
        ties = token.sort == "neutral" and token.value in _JOINING
        if last is not None and (comma or ties):
            pieces.append([])
            joined.append(ties)
        pieces[-1].append(token)
    return [Piece(tuple(each), tie) for each, tie in zip(pieces, joined, strict=True)]


def _of_piece(text: str, pieces: Sequence[Piece], index: int) -> list[Reading]:
    """The readings of one piece, with the words of its neighbours where it needs them."""
    piece = pieces[index]
    before = pieces[index - 1] if index and not pieces[index - 1].numbers else None
    after = pieces[index + 1] if index + 1 < len(pieces) else None
    if before and before.says:
        merged = Piece((*before.tokens, *piece.tokens))
        if found := _assigned(text, merged):
            return found
        # Two labels of one number or of several: "modulus and strength are ...".
        if piece.joined:
            return []
    found = _assigned(text, piece)
    if not found and after and not after.numbers and not after.joined:
        found = _assigned(text, Piece((*piece.tokens, *after.tokens)))
    if before and before.says:
        found = [replace(each, doubts=(*each.doubts, "transcribe.joined")) for each in found]
    return found


def _assigned(text: str, piece: Piece) -> list[Reading]:
    if any(token.sort == "mark" for token in piece.tokens):
        return _by_marks(text, piece)
    groups = equivalents(text, piece.numbers)
    if len(groups) == 1:
        numbers = [] if _in_formula(text, groups[0]) else groups[0]
        return [each for token in numbers for each in _reading(text, piece.tokens, token)]
    return _several(text, piece, groups)


def equivalents(text: str, numbers: Sequence[Token]) -> list[list[Token]]:
    """Numbers in groups: `6.0 mm (0.236 in)` is one value in two units."""
    groups: list[list[Token]] = []
    for token in numbers:
        if groups and _equal(groups[-1][0].number, token.number):
            gap = text[groups[-1][-1].end : token.start].strip()
            if gap in ("(", "/", "[", "or", ""):
                groups[-1].append(token)
                continue
        groups.append([token])
    return groups


def _equal(one: Number | None, other: Number | None) -> bool:
    if one is None or other is None or not one.unit or not other.unit or one.unit == other.unit:
        return False
    try:
        value = convert(one.value, one.unit, other.unit)
    except Exception:  # pint raises many kinds for units of another sort
        return False
    return abs(value - other.value) <= 0.02 * abs(value)


def _in_formula(text: str, group: Sequence[Token]) -> bool:
    """Whether a value, in one unit or in two, has an operator beside it."""
    before, after = text[: group[0].start].rstrip()[-1:], text[group[-1].end :].lstrip()[:1]
    # Behind a quantity a stroke may also part it from the next statement.
    parted = after == "/" and _has_unit(group)
    return bool(_OPERATOR.match(before) or (_OPERATOR.match(after) and not parted))


def _reading(
    text: str, tokens: Sequence[Token], number: Token, marked: bool = False
) -> list[Reading]:
    """The reading of one number by the label in the other tokens; `marked` by an equals sign."""
    assert number.number is not None
    label = label_around(tokens, number)
    what = meaning(label)
    if what.key is None:
        return []
    key = what.key
    made = value_for(key, with_unit(number.number, tokens), label)
    if made is None:
        return []
    said = [t for t in label if t.sort in ("idea", "symbol", "equation")]
    if not marked and only_symbols(label, number.number):
        what = replace(what, doubts=(*what.doubts, "transcribe.symbol_only"))
    start, end = min(t.start for t in (*said, number)), max(t.end for t in (*said, number))
    return [Reading(key, made[0], (*what.doubts, *made[1]), start, end)]


def only_symbols(label: Sequence[Token], number: Number) -> bool:
    """Whether a bare number has nothing but a symbol beside it, as in a torn formula."""
    return number.unit is None and not any(token.sort == "idea" for token in label)


def with_unit(number: Number, label: Sequence[Token]) -> Number:
    """The number with the unit that its label gives in brackets, where it has none itself."""
    units = {token.value for token in label if token.sort == "unit"}
    return number.in_unit(units.pop()) if number.unit is None and len(units) == 1 else number


def label_around(tokens: Sequence[Token], number: Token | None) -> list[Token]:
    """The tokens from the first to the last that say something, and the word before them."""
    said = [i for i, t in enumerate(tokens) if t.sort in ("idea", "symbol", "equation")]
    if not said:
        return []
    own = [tokens.index(number)] if number in tokens else []
    first, last = min(said + own), max(said + own)
    before = [tokens[min(said) - 1]] if min(said) and min(said) == first else []
    doubting = [t for t in tokens if t.sort == "doubt"]
    aside = ("number", "mark", "named", "unit")
    within = [t for t in tokens[first : last + 1] if t.sort not in aside]
    return [*(t for t in before if t.sort == "word"), *within, *doubting]


def _by_marks(text: str, piece: Piece) -> list[Reading]:
    """Readings of `cover = 12 ft ovality = 2 %`, and of the last number of `DR = 12/0.2 = 60`.

    In `N = 2 K = 7` the second symbol may be a factor, or begin anew: its value is in doubt.
    """
    segments: list[list[Token]] = [[]]
    for token in piece.tokens:
        if token.sort == "mark":
            segments.append([])
        else:
            segments[-1].append(token)
    found: list[Reading] = []
    if any(token.sort == "number" for token in segments[0]):
        found += _assigned(text, Piece(tuple(_until_label(segments[0]))))
    first = segments[0]
    # A number in the label, as in "modulus (50 %): ...", leaves the label as a whole.
    label = _behind_last_number(first) or [t for t in first if t.sort != "number"]
    unclear = False
    for segment in segments[1:]:
        behind = _behind_last_number(segment)
        last = segment is segments[-1]
        values = _pure(text, segment)
        before = segment[: segment.index(values[0])] if values else []
        label = [*label, *before]
        for token in values:
            tokens = [*label, token, *(behind if last else ())]
            with_more = _reading(text, tokens, token, marked=True)
            made = with_more or _reading(text, [*label, token], token)
            found += [_doubted(each, "transcribe.word") for each in made] if unclear else made
        unclear = [t.sort for t in behind] == ["word"] and _is_symbol(text, behind[0])
        if not last and any(t.sort in ("idea", "symbol", "equation") for t in behind):
            counted = any(t.sort == "number" for t in segment)
            label = behind if counted else [*label, *behind]
    return found


def _until_label(segment: Sequence[Token]) -> list[Token]:
    behind = _behind_last_number(segment)
    return [token for token in segment if token not in behind]


def _behind_last_number(segment: Sequence[Token]) -> list[Token]:
    last = max((i for i, t in enumerate(segment) if t.sort == "number"), default=-1)
    return list(segment[last + 1 :])


def _pure(text: str, segment: Sequence[Token]) -> list[Token]:
    """The value of a segment between equals signs that is one value and no formula."""
    numbers = [token for token in segment if token.sort == "number"]
    groups = equivalents(text, numbers)
    if len(groups) != 1 or _in_formula(text, groups[0]):
        return []
    opened = re.search(r"[=:≈≤≥<>]\s*\(?\s*[^\s=:]*[(√]\s*\Z", text[: numbers[0].start])
    behind = _behind_last_number(segment)[:1]
    # A bare number before a symbol is a factor of it.
    factor = behind and _is_symbol(text, behind[0]) and not _has_unit(groups[0])
    return [] if opened or factor else groups[0]


def _is_symbol(text: str, token: Token) -> bool:
    return ideas_of_symbol(canonical(text[token.start : token.end])) is not None


def _has_unit(tokens: Sequence[Token]) -> bool:
    return all(token.number is not None and token.number.unit for token in tokens)


def _several(text: str, piece: Piece, groups: list[list[Token]]) -> list[Reading]:
    """Several numbers with words between them: labels before, or behind, where only one fits."""
    if len(groups) > MOST_NUMBERS:
        return []
    tokens, firsts = piece.tokens, [group[0] for group in groups]
    for one, other in pairwise(firsts):
        if _RANGE.fullmatch(text, one.end, other.start):
            return []
    places = [tokens.index(first) for first in firsts]
    ends = [*places[1:], len(tokens)]
    behind = [tokens[at:end] for at, end in zip(places, ends, strict=True)]
    starts = [0, *(at + 1 for at in places[:-1])]
    before = [tokens[start : at + 1] for start, at in zip(starts, places, strict=True)]
    made = []
    for runs in (before, behind):
        each = [_reading(text, run, first) for run, first in zip(runs, firsts, strict=True)]
        if all(each):
            made.append([reading for found in each for reading in found])
    if len(made) != 1:
        return []
    return [replace(each, doubts=(*each.doubts, "transcribe.shared")) for each in made[0]]
