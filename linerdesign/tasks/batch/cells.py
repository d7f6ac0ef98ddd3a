"""Reads the cells of one piece of an inventory: numbers, words, and what is wrong with a row."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.f1216.load_lines import METHODS
from linerdesign.project.faults import Fault, Refused, fault, listed, shown
from linerdesign.project.measures import Kind, check_number
from linerdesign.project.models import Pipe
from linerdesign.project.reading import validated
from linerdesign.tasks.batch.columns import Column

if TYPE_CHECKING:
    import polars as pl

Rows = NDArray[np.int64]
MOST_WORDS = 4096


@dataclass
class RowFaults:
    """What is wrong with the rows of a piece: texts by row, and how often each cause is met."""

    texts: defaultdict[int, list[str]] = field(default_factory=lambda: defaultdict(list))
    causes: Counter[str] = field(default_factory=Counter)

    def add(self, row: int, fault: Fault) -> None:
        """One fault of one row; its cause is the fault without the value."""
        self.texts[int(row)].append(str(fault))
        self.causes[str(replace(fault, value=""))] += 1

    def add_all(self, rows: Iterable[int], fault: Fault) -> None:
        """The same fault of many rows."""
        for row in rows:
            self.add(row, fault)

    def free(self, count: int) -> NDArray[np.bool_]:
        """Which rows have no fault."""
        mask = np.ones(count, bool)
        mask[list(self.texts)] = False
        return mask


@dataclass(frozen=True)
class Cells:
    """A column of quantities: the numbers in its unit, which rows give one, and words in place
    of numbers (`none`) by row."""

    column: Column
    numbers: NDArray[np.float64]
    given: NDArray[np.bool_]
    words: Mapping[int, str]
    texts: pl.Series


def read_quantities(column: Column, series: pl.Series, faults: RowFaults) -> Cells:
    """The numbers of a column; a cell that holds none, or an impossible one, is a fault."""
    import polars as pl

    numeric = series.dtype.is_numeric()
    texts = series if numeric else series.cast(pl.String)
    parsed = texts.cast(pl.Float64, strict=False)
    given = parsed.is_not_null().to_numpy().copy()
    numbers = parsed.to_numpy().copy()
    words: dict[int, str] = {}
    for row in (texts.is_not_null() & parsed.is_null()).arg_true():
        text = texts[row].strip()
        number = pl.Series([text]).cast(pl.Float64, strict=False)[0]
        if number is not None:
            numbers[row], given[row] = number, True
        elif text and (expected := _refused_word(column, text)):
            faults.add(row, Fault(column.place, shown(texts[row]), expected))
        elif text:
            given[row], words[row] = True, text
    cells = Cells(column, numbers, given, words, texts)
    _refuse_impossible(cells, faults)
    return cells


@lru_cache(MOST_WORDS)
def _refused_word(column: Column, text: str) -> str | None:
    """What to expect in place of a text that a project file does not take as a word of the key."""
    # One method's name begins like a number.
    if text[:1] in "+-.0123456789" and text not in METHODS:
        if text.count(",") == 1 and text.replace(",", "", 1).lstrip("+-").isdigit():
            return "a point for the decimals, not a comma"
    else:
        found: list[Fault] = []
        validated(Pipe, {column.key: text}, "row", found)
        if all(each.key != column.key for each in found):
            return None
    example = column.about.example.strip('"').split(" ", 1)[0]
    return f"a number such as {example}, its unit is in the header"


def _refuse_impossible(cells: Cells, faults: RowFaults) -> None:
    numbers, about = cells.numbers, cells.column.about
    with np.errstate(invalid="ignore"):
        good = about.takes(numbers)
    good |= ~cells.given
    good[list(cells.words)] = True
    for row in np.flatnonzero(~good).tolist():
        text = shown(str(cells.texts[row]))
        faults.add(row, _refusal(numbers[row], about).at(cells.column.place, text))


def _refusal(number: float, about: Kind) -> Refused:
    """How a project file refuses the number."""
    try:
        check_number(float(number), about)
    except Refused as refused:
        return refused
    raise AssertionError(f"{number} is refused here and taken there")


def read_words(
    columns: Sequence[Column], frame: pl.DataFrame, resins: tuple[str, ...], faults: RowFaults
) -> dict[str, pl.Series]:
    """The words of columns by key, empty where there are none; a word not known is a fault."""
    import polars as pl

    stripped = frame.select(
        pl.col(column.header).cast(pl.String).str.strip_chars().fill_null("").alias(column.key)
        for column in columns
    )
    for column in columns:
        words = stripped[column.key]
        known = {word: _word_refused(column.key, word, resins) for word in words.unique() if word}
        refused = {word: found for word, found in known.items() if found}
        for row in words.is_in(list(refused)).arg_true() if refused else ():
            found = refused[words[row]]
            faults.add(row, replace(found, place=column.place, value=shown(words[row])))
    return stripped.to_dict()


@lru_cache(MOST_WORDS)
def _word_refused(key: str, word: str, resins: tuple[str, ...]) -> Fault | None:
    """The fault of a word that a project file does not take for this key."""
    if key == "resin":
        unknown = fault("unknown_resin", key, known=listed(resins))
        return None if word in resins else unknown
    found: list[Fault] = []
    validated(Pipe, {key: word}, "row", found)
    return next((each for each in found if each.key == key), None)
