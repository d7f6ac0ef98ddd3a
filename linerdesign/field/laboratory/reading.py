"""A laboratory's CSV files into readings: creep tests, bending records and reduced samples."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from linerdesign.field.laboratory.bending import BendingRecord
from linerdesign.field.laboratory.creep import CREEP, LONGEST, RING, RUPTURE, CreepReadings
from linerdesign.field.laboratory.samples import THICKNESS_BASES, Sample
from linerdesign.methods.laboratory import ring_modulus, ring_stiffness
from linerdesign.project.faults import Fault, InputFaults, fault, shown
from linerdesign.project.measured_table import (
    Column,
    MeasuredTable,
    read_rows,
    unit_factors,
)

Floats = NDArray[np.float64]
MAXIMUM_ROWS = 200_000
RING_LENGTHS = ("deflection", "length", "diameter", "thickness")
CREEP_FORMS = (
    ("time", "modulus"),
    ("time", "stress", "strain"),
    ("time to failure", "stress"),
    ("time", "load", *RING_LENGTHS),
)


def read_creep(path: Path) -> tuple[CreepReadings, ...]:
    """Readings of each load level, in order of appearance; times in hours, moduli in psi.

    Columns are `time [h], modulus [psi]`, or `time [h], stress [psi], strain [%]`, or for a creep
    rupture test `time to failure [h], stress [psi]`, or for a ring `time [h], load [N]` and
    `deflection, length, diameter, thickness [mm]`, in the units of the header; `load level` where
    there are several, and `specimen` for a bound by specimen.
    Without the column of levels, readings of one stress are one level.

    Raises:
        InputFaults: every fault of the file; load levels without faults are left.
    """
    faults: list[Fault] = []
    table = read_rows(path, _creep_columns(), CREEP_FORMS, MAXIMUM_ROWS, faults)
    numbers = table.numbers
    time, modulus, test = _moduli(numbers)
    same = ("",) * time.size
    if test == CREEP and "modulus" not in numbers:
        same = tuple(f"{stress:.6g} psi" for stress in numbers["stress"])
    levels = table.texts.get("load level", same)
    specimens = table.texts.get("specimen")
    by_level = _groups(levels).items()
    whole = [each for each in by_level if table.is_whole("load level", each[0])]
    found = tuple(
        CreepReadings(
            level,
            time[rows],
            modulus[rows],
            tuple(specimens[row] for row in rows) if specimens else (),
            test,
            _form(numbers, rows) if test == RING else None,
            table.where(path.name, rows),
        )
        for level, rows in whole
    )
    if faults:
        raise InputFaults(faults, lambda: found)
    return found


def _form(numbers: dict[str, Floats], rows: NDArray[np.int64]) -> float:
    """Ring stiffness over modulus of the rings, the mean."""
    d, t = numbers["diameter"][rows], numbers["thickness"][rows]
    return float((1 / ring_modulus(1.0, d, t)).mean())


def _creep_columns() -> tuple[Column, ...]:
    lengths = unit_factors("in", "mm", "cm", "m")
    return (
        Column("time", unit_factors("h", "min", "s", "d"), above=0.0, at_most=LONGEST),
        Column("time to failure", unit_factors("h", "min", "s", "d"), above=0.0, at_most=LONGEST),
        Column("modulus", _stresses(), at_least=1.0, at_most=1e9),
        Column("stress", _stresses(), above=0.0, at_most=1e9),
        Column("strain", _strains(), above=0.0, at_most=100.0),
        Column("load", unit_factors("lbf", "N", "kN"), above=0.0, at_most=1e6),
        *(Column(each, lengths, above=0.0, at_most=1000.0) for each in RING_LENGTHS),
        Column("load level", None),
        Column("specimen", None),
    )


def _moduli(numbers: dict[str, Floats]) -> tuple[Floats, Floats, str]:
    """Times in hours, moduli (of a rupture test stresses) in psi, and which test it is."""
    if "time to failure" in numbers:
        return numbers["time to failure"], numbers["stress"], RUPTURE
    if "load" in numbers:
        y, length, d, t = (numbers[each] for each in RING_LENGTHS)
        stiffness = ring_stiffness(y, d, numbers["load"], length)
        return numbers["time"], ring_modulus(stiffness, d, t), RING
    if "modulus" in numbers:
        return numbers["time"], numbers["modulus"], CREEP
    return numbers["time"], 100 * numbers["stress"] / numbers["strain"], CREEP


def read_bending(path: Path) -> tuple[BendingRecord, ...]:
    """Bending records in pounds-force and inches, in order of appearance.

    Columns are `load [lbf], deflection [in], span [in], width [in], depth [in]`, in the units of
    the header, and `specimen` where there are several. Span, width and depth stand in the first
    row of each specimen; further down they may be left empty.

    Raises:
        InputFaults: every fault of the file; the records without faults are left.
    """
    lengths = unit_factors("in", "mm", "cm", "m")
    sizes = ("span", "width", "depth")
    columns = (
        Column("specimen", None),
        Column("load", unit_factors("lbf", "N", "kN"), at_least=0.0, at_most=1e6),
        Column("deflection", lengths, at_least=0.0, at_most=100.0),
        *(Column(size, lengths, above=0.0, at_most=1000.0, may_be_empty=True) for size in sizes),
    )
    forms = (("load", "deflection", *sizes),)
    faults: list[Fault] = []
    table = read_rows(path, columns, forms, MAXIMUM_ROWS, faults)
    specimens = table.texts.get("specimen", ("",) * table.lines.size)
    records: list[BendingRecord] = []
    for specimen, rows in _groups(specimens).items():
        if not table.is_whole("specimen", specimen):
            continue
        count = len(faults)
        found = {size: _only_value(path, table, size, rows, faults) for size in sizes}
        if len(faults) > count:
            continue
        load, deflection = (table.numbers[name][rows] for name in ("load", "deflection"))
        place = f"{path.name}, line {table.lines[rows[0]]}"
        records.append(BendingRecord(specimen, load, deflection, **found, place=place))
    if faults:
        raise InputFaults(faults, lambda: tuple(records))
    return tuple(records)


def read_samples(path: Path) -> tuple[Sample, ...]:
    """A laboratory's reduced values, one sample a row: psi, percent and mm.

    Columns are any of `modulus [psi]`, `strength [psi]`, `tensile strength [psi]`, `strain [%]` and
    `thickness [mm]`, in the units of the header, with `pipe`, `specimen`, `station`, `clock` and
    `thickness basis` as text. An empty cell is a value not measured.

    Raises:
        InputFaults: every fault of the file; the rows that could be read are left.
    """
    measured = (
        Column("modulus", _stresses(), above=0.0, at_most=1e9, may_be_empty=True),
        Column("strength", _stresses(), above=0.0, at_most=1e9, may_be_empty=True),
        Column("tensile strength", _stresses(), above=0.0, at_most=1e9, may_be_empty=True),
        Column("strain", _strains(), above=0.0, at_most=100.0, may_be_empty=True),
        Column(
            "thickness",
            unit_factors("mm", "in", "cm"),
            above=0.0,
            at_most=1000.0,
            may_be_empty=True,
        ),
    )
    labels = tuple(
        Column(name, None, may_be_empty=True, with_unit=name == "station")
        for name in ("pipe", "specimen", "station", "clock", "thickness basis")
    )
    faults: list[Fault] = []
    table = read_rows(path, (*measured, *labels), ((),), MAXIMUM_ROWS, faults)
    faults += _faults_of_samples(path, table)
    samples = tuple(_sample(path, table, row) for row in range(table.lines.size))
    if faults:
        raise InputFaults(faults, left=lambda: samples)
    return samples


def _sample(path: Path, table: MeasuredTable, row: int) -> Sample:
    def value(name: str) -> float | None:
        column = table.numbers.get(name)
        return None if column is None or np.isnan(column[row]) else float(column[row])

    def text(name: str) -> str:
        column = table.texts.get(name)
        return "" if column is None else column[row]

    station = text("station")
    return Sample(
        pipe=text("pipe"),
        specimen=text("specimen"),
        modulus=value("modulus"),
        strength=value("strength"),
        strain=value("strain"),
        thickness=value("thickness"),
        thickness_basis=text("thickness basis") or None,
        tensile_strength=value("tensile strength"),
        station=f"{station} {table.units['station']}".strip() if station else "",
        clock=text("clock"),
        place=f"{path.name}, line {table.lines[row]}",
    )


def _faults_of_samples(path: Path, table: MeasuredTable) -> list[Fault]:
    if not table.numbers:
        return [fault("measured.no_measured_column", path.name)]
    empty = np.all([np.isnan(column) for column in table.numbers.values()], axis=0)
    faults = [
        fault("measured.no_measured_value", f"{path.name}, line {line}")
        for line in table.lines[empty]
    ]
    choice = " or ".join(THICKNESS_BASES)
    bases = table.texts.get("thickness basis", ())
    faults.extend(
        fault(
            "choice",
            f"{path.name}, line {line}, column thickness basis",
            shown(basis),
            choices=choice,
        )
        for line, basis in zip(table.lines, bases, strict=False)
        if basis and basis not in THICKNESS_BASES
    )
    return faults


def _only_value(
    path: Path, table: MeasuredTable, name: str, rows: NDArray[np.int64], faults: list[Fault]
) -> float:
    """The one value of a specimen's column."""
    column = table.numbers[name][rows]
    first = float(column[0])
    where = f"{path.name}, line {table.lines[rows[0]]}, column {name}"
    if np.isnan(first):
        faults.append(fault("measured.no_size", where))
        return first
    for row in rows[np.isfinite(column) & (column != first)]:
        place = f"{path.name}, line {table.lines[row]}, column {name}"
        faults.append(fault("measured.other_size", place))
    return first


def _groups(labels: Sequence[str]) -> dict[str, NDArray[np.int64]]:
    """Rows of each label, in order of first appearance."""
    rows: dict[str, list[int]] = {}
    for row, label in enumerate(labels):
        rows.setdefault(label, []).append(row)
    return {label: np.array(members, dtype=np.int64) for label, members in rows.items()}


def _stresses() -> dict[str, float]:
    return unit_factors("psi", "ksi", "kPa", "MPa", "GPa")


def _strains() -> dict[str, float]:
    """Strain is a length over a length: without a unit it is that ratio."""
    return {"%": 1.0, "mm/mm": 100.0, "in/in": 100.0, "-": 100.0, "": 100.0, "microstrain": 1e-4}
