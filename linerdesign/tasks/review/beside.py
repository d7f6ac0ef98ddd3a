"""The stated values beside ours, live in a workbook: its cells read those of our calculation."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from linerdesign.documents.blocks import Grid, Live
from linerdesign.documents.places import Place, places_of
from linerdesign.expressions.printing import positional
from linerdesign.methods.method import verification
from linerdesign.tasks.review.recheck import Comparison
from linerdesign.tasks.review.reviewing import Reviewed
from linerdesign.words import heads_of, sentence

STATED, OURS, DIFFERENCE, RESULT = 4, 5, 6, 7
PATTERN = "0.####"


def beside_ours(reviewed: Sequence[Reviewed]) -> Grid:
    """One row for each stated value that our calculation has a cell for, in the sheet's units."""
    rows: list[tuple[str, ...]] = []
    live: dict[tuple[int, int], Live] = {}
    first = 1
    for each in reviewed:
        for compared, place in _compared(each, first):
            cells = _cells(each, compared, place)
            live |= {(len(rows), column): cell for column, cell in cells.items()}
            item = compared.item
            texts = (each.found.sized.name, item.label, item.at or "-", item.unit)
            shown = (v if isinstance(v, str) else positional(v, 5) for v in _values(cells))
            rows.append((*texts, *shown))
        first += len(each.found.sized.stations)
    caption = sentence("review.stated beside recomputed")
    return Grid(heads_of("review.beside"), "<<<<>>><", tuple(rows), caption, live)


def _compared(each: Reviewed, first: int) -> Iterator[tuple[Comparison, Place]]:
    """The comparisons with a cell in the workbook, at the place that governs.

    Our cells are about our own wall: what the stated wall provides is left to the letter.
    """
    sized = each.found.sized
    places = places_of(sized, first)
    governing = next((p for p in places if p.at == sized.governing_station), places[0])
    of_wall = {line.result for line in verification(sized.basis)}
    known = governing.steps().keys() - of_wall
    for compared in each.found.comparisons:
        if compared.item.key in known and compared.recomputed is not None:
            yield compared, governing


def _cells(each: Reviewed, compared: Comparison, place: Place) -> dict[int, Live]:
    """The stated value as an input, and what our cell and the tolerance make of it."""
    item, ours = compared.item, compared.recomputed or 0.0
    within = f"MAX({item.half!r}, {each.found.tolerances.agreement!r}*ABS([{OURS}]))"
    words = {agrees: sentence(f"review.result {agrees}") for agrees in ("agrees", "differs")}
    agrees = f'IF(ABS([{STATED}]-[{OURS}])<={within}, "{words["agrees"]}", "{words["differs"]}")'
    share = 100 * (item.value / ours - 1) if ours else "-"
    return {
        STATED: Live(item.value),
        OURS: Live(ours, place.name(item.key), pattern=PATTERN),
        DIFFERENCE: Live(
            share, f'IF([{OURS}]=0, "-", 100*([{STATED}]/[{OURS}]-1))', pattern="+0.0;-0.0;0.0"
        ),
        RESULT: Live(words["agrees" if compared.agrees else "differs"], agrees),
    }


def _values(cells: dict[int, Live]) -> Iterator[float | str]:
    return (cells[column].value for column in (STATED, OURS, DIFFERENCE, RESULT))
