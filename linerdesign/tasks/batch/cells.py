"""Reads the cells of one piece of an inventory: numbers, words, and what is wrong with a row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.ground.load_lines import METHODS
from linerdesign.project.columns import Column
from linerdesign.project.faults import Fault, Refused, fault, listed, shown
from linerdesign.project.fields import TABLES
from linerdesign.project.measures import check_number
from linerdesign.project.reading import validated
from linerdesign.tasks.batch.messages import Messages, Rows

if TYPE_CHECKING:
    import polars as pl

MOST_WORDS = 4096
POINT, COMMA, UNKNOWN = ".", ",", "?"
# Numbers that can be read in one way only: a comma, a point for the decimals.
_BY_COMMA = r"^\s*[+-]?(?:\d+(?:[. ']\d{3})*,(?:\d{1,2}|\d{4,})|0,\d+)\s*$|\.\d{3},\d"
_BY_POINT = r"^\s*[+-]?(?:\d*\.(?:\d{1,2}|\d{4,})|0?\.\d+)\s*$|,\d{3}\.\d"
# Numbers with a mark between thousands, for each mark of the decimals.
_GROUPED = {
    POINT: r"^[+-]?[1-9]\d{0,2}(?:[,' \x{a0}\x{202f}]\d{3})+(?:\.\d*)?$",
    COMMA: r"^[+-]?[1-9]\d{0,2}(?:[.' \x{a0}\x{202f}]\d{3})+(?:,\d*)?$",
    UNKNOWN: r"^[+-]?[1-9]\d{0,2}(?:(?:[' \x{a0}\x{202f}]\d{3})+|(?:,\d{3}){2,})$",
}
_DECIMAL_COMMA = r"^[+-]?\d+(?:,\d*)?$"


@dataclass(frozen=True)
class Cells:
    """A column of quantities: the numbers in its unit, which rows give one, and words in place
    of numbers (`none`), empty where there are none. `grouped` counts numbers with marks between
    thousands."""

    column: Column
    numbers: NDArray[np.float64]
    given: NDArray[np.bool_]
    words: pl.Series | None
    texts: pl.Series
    grouped: int = 0

    @property
    def measured(self) -> NDArray[np.bool_]:
        """Which rows give a number."""
        if self.words is None:
            return self.given
        no_word: NDArray[np.bool_] = (self.words == "").to_numpy()
        return self.given & no_word


def decimal_mark(texts: Sequence[pl.Series]) -> str:
    """The mark for decimals in columns of text, as far as their numbers tell.

    Where some are written with a point, a comma can only part thousands.
    """
    written = [series for series in texts if series.dtype.is_(_string())]
    if any(series.str.contains(_BY_POINT).any() for series in written):
        return POINT
    return COMMA if any(series.str.contains(_BY_COMMA).any() for series in written) else UNKNOWN


def _string() -> Any:
    import polars as pl

    return pl.String


def read_quantities(
    column: Column, series: pl.Series, meant: Mapping[str, str], mark: str, messages: Messages
) -> Cells:
    """The numbers of a column; a cell that holds none, or an impossible one, is a fault.

    `meant` maps cells to the words that stand for them, `mark` is that of the decimals.
    """
    import polars as pl

    texts = series if series.dtype.is_numeric() else series.cast(pl.String)
    if meant:
        texts = texts.cast(pl.String).str.strip_chars().replace(meant)
    parsed, grouped = _numbers(texts, mark)
    odd = texts.is_not_null() & parsed.is_null()
    words = None
    if odd.any():
        words = _words(column, texts, odd, mark, messages)
    given = parsed.is_not_null()
    if words is not None:
        given = given | (words != "")
    # Arrays of the data-frame library can't be written to.
    numbers = parsed.to_numpy().copy()
    cells = Cells(column, numbers, given.to_numpy().copy(), words, texts, grouped)
    _refuse_impossible(cells, messages)
    return cells


def _numbers(texts: pl.Series, mark: str) -> tuple[pl.Series, int]:
    """The numbers of a column of cells, null where a cell is none, and how many have marks
    between thousands."""
    import polars as pl

    parsed = texts.cast(pl.Float64, strict=False)
    if texts.dtype.is_numeric() or (mark != COMMA and parsed.null_count() == texts.null_count()):
        return parsed, 0
    # Where the point is that of the decimals, a cell that was read already has no other mark.
    rows = (texts.is_not_null() & (parsed.is_null() | (mark == COMMA))).arg_true()
    bare = texts.gather(rows).str.strip_chars()
    grouped = bare.str.contains(_GROUPED[mark])
    plain = bare.cast(pl.Float64, strict=False)
    if mark == COMMA:
        # A point can't be one of the decimals here.
        by_comma = bare.str.contains(_DECIMAL_COMMA)
        plain = bare.str.replace(",", ".").set(~by_comma, None).cast(pl.Float64)
    without = bare.str.replace_all(r"[' \x{a0}\x{202f}" + ("." if mark == COMMA else ",") + "]", "")
    read = without.str.replace(",", ".").cast(pl.Float64, strict=False)
    return parsed.scatter(rows, plain.zip_with(~grouped, read)), int(grouped.sum())


def _words(
    column: Column, texts: pl.Series, odd: pl.Series, mark: str, messages: Messages
) -> pl.Series:
    """The words of the cells that hold no number; what is no word either is a fault."""
    taken: dict[str, str] = {}
    for text, rows in by_text(texts, odd.arg_true().to_numpy()):
        word = text.strip()
        if refused := _refused_word(column, word, mark) if word else None:
            messages.refuse(rows, replace(refused, value=shown(text)))
        elif word:
            taken[text] = word
    found = texts.replace_strict(taken, default="")
    return found.fill_null("")


def by_text(texts: pl.Series, rows: Rows) -> Iterator[tuple[str, Rows]]:
    """Each text of some rows, with those of them that have it."""
    import polars as pl

    frame = pl.DataFrame({"row": rows, "text": texts.gather(rows).cast(pl.String)})
    for text, rows in frame.group_by("text", maintain_order=True).agg("row").iter_rows():
        yield text, np.asarray(rows, np.int64)


@lru_cache(MOST_WORDS)
def _refused_word(column: Column, text: str, mark: str) -> Fault | None:
    """The fault of a text that a project file does not take as a word of the key."""
    example = column.about.number
    # One method's name begins like a number.
    if text[:1] not in "+-.0123456789" or text in METHODS:
        found: list[Fault] = []
        validated(TABLES[column.table], {column.key: text}, "row", found)
        of_key = [each for each in found if each.key == column.key]
        if not of_key:
            return None
        if column.also_words:
            return replace(of_key[0], place=column.place)
    elif text.count(",") == 1 and text.replace(",", "").lstrip("+-").isdigit():
        if mark == UNKNOWN:
            both = {"thousands": text.replace(",", ""), "point": text.replace(",", ".")}
            return fault("comma_of_two_meanings", column.place, **both)
        return fault("decimal_comma", column.place, example=example)
    elif mark == COMMA:
        return fault("inventory.decimal_point", column.place, example=example.replace(".", ","))
    return fault("inventory.no_number", column.place, example=example)


def _refuse_impossible(cells: Cells, messages: Messages) -> None:
    numbers, about = cells.numbers, cells.column.about
    wrong = ~about.takes(numbers) & cells.measured
    if not wrong.any():
        return
    for text, rows in by_text(cells.texts, np.flatnonzero(wrong)):
        try:
            check_number(float(numbers[rows[0]]), about)
        except Refused as refused:
            messages.refuse(rows, refused.at(cells.column.place, shown(text)))


def read_words(
    columns: Sequence[Column],
    frame: pl.DataFrame,
    meant: Mapping[str, Mapping[str, str]],
    resins: tuple[str, ...],
    messages: Messages,
) -> dict[str, pl.Series]:
    """The words of columns by key, empty where there are none; a word not known is a fault."""
    import polars as pl

    found: dict[str, pl.Series] = {}
    for column in columns:
        words = frame[column.header].cast(pl.String).str.strip_chars().fill_null("")
        if column.key in meant:
            words = words.replace(dict(meant[column.key]))
        known = {word: _word_refused(column, word, resins) for word in words.unique() if word}
        refused = {word: each for word, each in known.items() if each}
        wrong = words.is_in(list(refused)).arg_true() if refused else words.clear()
        for word, rows in by_text(words, wrong.cast(pl.Int64).to_numpy()):
            each = refused[word]
            messages.refuse(rows, replace(each, place=column.place, value=shown(word)))
        found[column.key] = words
    return found


@lru_cache(MOST_WORDS)
def _word_refused(column: Column, word: str, resins: tuple[str, ...]) -> Fault | None:
    """The fault of a word that a project file does not take for this key."""
    if column.key == "resin":
        unknown = fault("unknown_resin", column.place, known=listed(resins))
        return None if word in resins else unknown
    found: list[Fault] = []
    validated(TABLES[column.table], {column.key: word}, "row", found)
    return next((each for each in found if each.key == column.key), None)
