"""Many pipes by the table of the encased ring: collapse and first strength, one row a pipe."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from linerdesign.documents.blocks import Block, Grid, Heading, Paragraph
from linerdesign.documents.json import FORMAT, amount_of
from linerdesign.documents.numbers import factor
from linerdesign.expressions.printing import positional
from linerdesign.methods.result import PipeResult
from linerdesign.methods.ring.study import COLLAPSE_ERROR, FIRST_ERROR, FIRST_WORST, POISSON, tabled
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.tasks.second_opinion.opinion import Assumed, Place, place_at
from linerdesign.words import heads_of, sentence


@dataclass(frozen=True)
class Row:
    """One pipe at its worst station; pressures in the unit of the sheet, None where the table has
    none, `first` also where no fibre reaches the strength before collapse."""

    name: str
    place: Place
    ratio: float
    collapse: float | None
    first: float | None

    @property
    def safety(self) -> float | None:
        """The lesser pressure over the design pressure; none where nothing presses."""
        pressures = [each for each in (self.collapse, self.first) if each is not None]
        return min(pressures) / self.place.demand if pressures and self.place.demand > 0 else None


def rows_of(results: Sequence[PipeResult], assumed: Assumed) -> tuple[Row, ...]:
    """A row for each pipe that pressure from outside can reach."""
    pressed = [result for result in results if result.basis.pressed_from_outside]
    places = [(r, place_at(r, station, assumed)) for r in pressed for station in r.stations]
    if not places:
        return ()
    columns = np.array(
        [
            (
                place.diameter / result.nominal_thickness,
                place.gap,
                place.ovality,
                place.bulge,
                place.poisson,
                place.ratio_of(place.strength) or np.inf,
            )
            for result, place in places
        ]
    ).T
    found = tabled(*columns)
    worst: dict[str, Row] = {}
    for (result, place), ratio, collapse, first in zip(
        places, columns[0], found.collapse, found.first, strict=True
    ):
        row = Row(result.name, place, float(ratio), *_pressures(place, collapse, first))
        known = worst.get(result.name)
        if known is None or (row.safety or np.inf) < (known.safety or np.inf):
            worst[result.name] = row
    return tuple(worst.values())


def _pressures(place: Place, *ratios: float) -> tuple[float | None, ...]:
    return tuple(float(each * place.modulus) if np.isfinite(each) else None for each in ratios)


def study_blocks(rows: Sequence[Row], system: str) -> tuple[Block, ...]:
    """The pipes as a table, with the error of their numbers."""
    unit = SYMBOLS["P"].unit(system)
    heads = heads_of("ring.study", unit=unit)
    cells = tuple(
        (
            row.name,
            positional(row.ratio, 4),
            positional(row.place.demand, 4),
            *(_cell(each) for each in (row.collapse, row.first)),
            factor(row.safety),
        )
        for row in rows
    )
    low, high = POISSON
    numbers = {**_percentages(), "low": low, "high": high}
    return (
        Heading(sentence("ring.study_title")),
        Paragraph(sentence("ring.study", **numbers)),
        Grid(heads, "<>>>>>", cells, sentence("ring.study_caption")),
    )


def _percentages() -> dict[str, float]:
    """The errors of the table: of collapse, of the lesser pressure in 95 of 100, and in any."""
    return {
        "collapse": 100 * COLLAPSE_ERROR,
        "least": 100 * FIRST_ERROR,
        "worst": 100 * FIRST_WORST,
    }


def _cell(value: float | None) -> str:
    return "-" if value is None else positional(value, 4)


def study_data(rows: Sequence[Row], system: str) -> dict[str, Any]:
    """The pipes as JSON data."""

    def pressure(value: float | None) -> dict[str, Any] | None:
        return amount_of("P", value, system)

    return {
        "format": FORMAT,
        "units": system,
        "error": {**_percentages(), "unit": "%"},
        "pipes": [
            {
                "name": row.name,
                "station": row.place.station,
                "dimension_ratio": row.ratio,
                "pressure_asked": pressure(row.place.demand),
                "collapse_pressure": pressure(row.collapse),
                "first_strength_pressure": pressure(row.first),
                "safety_factor": row.safety,
            }
            for row in rows
        ],
    }
