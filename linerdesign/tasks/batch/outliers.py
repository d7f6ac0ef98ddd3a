"""Values far from the usual: from what pipes have, and from the rest of the inventory."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from linerdesign.project.measures import convert
from linerdesign.project.usual import USUAL
from linerdesign.tasks.batch.cells import Cells
from linerdesign.tasks.batch.messages import EXAMPLES, OUTLIER, Count, Messages
from linerdesign.words import sentence

MOST_WALL = 60.0
# Bins of a spread: 32 to each doubling, from the first bits of a number.
_SHIFT = 47
_LOWEST, _HIGHEST = np.array([1e-9, 1e15]).view(np.int64) >> _SHIFT
# Fewer numbers than this have no distribution. Fences at three quartile distances, by Tukey
# (Exploratory Data Analysis, 1977; from memory), on the logarithms; a distance of eight bins, a
# quarter of a doubling, at least, for columns that hardly vary.
FEWEST, FENCE, LEAST_DISTANCE = 30, 3, 8


def unusual(cells: Cells, messages: Messages) -> None:
    """Says which numbers of a column are outside the usual ones of its key."""
    column = cells.column
    if column.key not in USUAL:
        return
    least, most, unit = USUAL[column.key]
    factor = 1.0 if unit in ("", "%") else convert(1.0, column.unit, unit)
    numbers = cells.numbers * factor
    rows = np.flatnonzero(((numbers < least) | (numbers > most)) & cells.measured)
    if len(rows):
        ends = (rounded(end / factor) for end in (least, most))
        blanks = dict(zip(("least", "most"), ends, strict=True))
        text = sentence("inventory.unusual", column=column.header, **blanks, unit=column.unit)
        messages.add(OUTLIER, text.strip(), rows)


def rounded(number: float) -> str:
    """Three figures, and no power of ten."""
    return f"{float(f'{number:.3g}'):,.10g}"


@dataclass
class Spread:
    """The distribution of a column over all pieces: positive numbers counted in narrow bins, and
    the rows with the largest, their signs turned, and the smallest, counted from 1. `unit` is that
    of the numbers where the name of the column does not tell it."""

    bins: NDArray[np.int64] = field(
        default_factory=lambda: np.zeros(_HIGHEST - _LOWEST + 1, np.int64)
    )
    largest: list[tuple[float, int]] = field(default_factory=list)
    smallest: list[tuple[float, int]] = field(default_factory=list)
    unit: str = ""

    def add(self, numbers: NDArray[np.float64], offset: int) -> None:
        """Adds the numbers of a piece that begins after `offset` rows; NaN is left out."""
        rows = np.flatnonzero(numbers > 0)
        kept = numbers[rows]
        if not len(kept):
            return
        places = np.clip(kept.view(np.int64) >> _SHIFT, _LOWEST, _HIGHEST) - _LOWEST
        self.bins += np.bincount(places, minlength=len(self.bins))
        for held, ordered in ((self.largest, -kept), (self.smallest, kept)):
            if len(held) == EXAMPLES and held[-1][0] <= ordered.min():
                continue
            first = np.argsort(ordered, kind="stable")[:EXAMPLES]
            held += [(float(ordered[i]), int(rows[i]) + offset + 1) for i in first]
            held.sort()
            del held[EXAMPLES:]

    def outliers(self) -> Iterator[tuple[str, float, Count]]:
        """The side (`above`, `below`), the fence and the rows beyond it, where there are any."""
        count, total = self.bins.sum(), np.cumsum(self.bins)
        if count < FEWEST:
            return
        low, high = (int(np.searchsorted(total, share * count)) for share in (0.25, 0.75))
        reach = FENCE * max(high - low, LEAST_DISTANCE)
        top, bottom = high + reach + 1, max(low - reach, 0)
        if rows := int(self.bins[top:].sum()):
            yield self._beyond("above", top, rows, self.largest)
        if rows := int(self.bins[:bottom].sum()):
            yield self._beyond("below", bottom, rows, self.smallest)

    def _beyond(
        self, side: str, place: int, rows: int, held: list[tuple[float, int]]
    ) -> tuple[str, float, Count]:
        fence = float(np.array([(_LOWEST + place) << _SHIFT]).view(np.float64)[0])
        return side, fence, Count(rows, [row for _, row in held[:rows]])
