"""Radii against angle, or diameters taken by hand, from a CSV file into shapes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from linerdesign.field.survey.departures import Settings
from linerdesign.field.survey.shape import Shape, shape_from_diameters, shape_from_radii
from linerdesign.project.faults import Fault, InputFaults
from linerdesign.project.measured_table import (
    Column,
    MeasuredTable,
    read_rows,
    unit_factors,
)

MAXIMUM_ROWS = 2_000_000
FORMS = (("angle", "radius"), ("diameter",))
LARGEST_DIAMETER = 20_000.0  # mm; wider than any pipe that is lined


def read_profile(path: Path, settings: Settings | None = None) -> tuple[Shape, ...]:
    """The shape at each station of a file, lengths in mm, stations in m, in order of station.

    Columns are `angle [deg], radius [mm]` or `diameter [mm]`, and `station [m]` where there are
    several; the units are those of the header. An empty radius is a place without a reading.

    Raises:
        InputFaults: every fault of the file.
    """
    faults: list[Fault] = []
    table = read_rows(path, _columns(), FORMS, MAXIMUM_ROWS, faults)
    numbers = table.numbers
    shape_at: Callable[[NDArray[np.int64], float | None], Shape]
    if "radius" in numbers:
        angle, radius = numbers["angle"], numbers["radius"]

        def shape_at(rows: NDArray[np.int64], station: float | None) -> Shape:
            read = rows[np.isfinite(radius[rows])]
            return shape_from_radii(angle[read], radius[read], station, settings)
    else:
        diameter = numbers["diameter"]

        def shape_at(rows: NDArray[np.int64], station: float | None) -> Shape:
            return shape_from_diameters(diameter[rows], station)

    shapes: list[Shape] = []
    for station, rows in _by_station(table):
        if not table.is_whole("station", station):
            continue
        try:
            shapes.append(shape_at(rows, station))
        except InputFaults as found:
            where = table.where(path.name, rows)
            faults.extend(replace(each, place=f"{where}, {each.place}") for each in found.faults)
    if faults:
        raise InputFaults(faults)
    return tuple(shapes)


def _columns() -> tuple[Column, ...]:
    lengths = unit_factors("mm", "cm", "m", "in", "ft")
    return (
        Column("angle", unit_factors("deg", "rad"), at_least=-720.0, at_most=720.0),
        Column("radius", lengths, above=0.0, at_most=LARGEST_DIAMETER / 2, may_be_empty=True),
        Column("diameter", lengths, above=0.0, at_most=LARGEST_DIAMETER),
        Column("station", unit_factors("m", "mm", "km", "ft"), at_least=-1e6, at_most=1e6),
    )


def _by_station(table: MeasuredTable) -> list[tuple[float | None, NDArray[np.int64]]]:
    """Rows of each station, in order of station; all rows where the file has no stations."""
    if not table.lines.size:
        return []
    if "station" not in table.numbers:
        return [(None, np.arange(table.lines.size))]
    station = table.numbers["station"]
    order = np.argsort(station, kind="stable")
    starts = np.flatnonzero(np.diff(station[order], prepend=-np.inf))
    parts = np.split(order, starts[1:])
    return [(float(station[part[0]]), part) for part in parts]
