"""Samples of the installed walls, pipe by pipe, from the project and from tables beside it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import TypeVar

from linerdesign.field.laboratory.bending import BendingRecord, BendingSet, reduce_set
from linerdesign.field.laboratory.reading import read_bending, read_samples
from linerdesign.field.laboratory.samples import Sample, Summary, summarise
from linerdesign.findings import Finding, finding
from linerdesign.methods.laboratory import SPECIMENS
from linerdesign.project.beside import beside, read_beside
from linerdesign.project.faults import Fault, every_fault, fault, shown
from linerdesign.project.further_keys import STRUCTURAL_WALL, WHOLE_WALL
from linerdesign.project.identity import FileRead
from linerdesign.project.measured_table import MAXIMUM_BYTES
from linerdesign.project.models import Pipe
from linerdesign.project.reading import Project, read_bytes
from linerdesign.project.requests import TESTED, Acceptance, layers_fault
from linerdesign.words import sentence

T = TypeVar("T")


@dataclass(frozen=True)
class Reading:
    """One reading of structural wall thickness, in mm, and its place as far as it is stated."""

    thickness: float
    specimen: str = ""
    station: str = ""
    clock: str = ""

    @property
    def place(self) -> str:
        """Station and clock position; empty where neither is stated.

        A leg or a manhole in place of a station is named as it is.
        """
        station = self.station
        if station[:1].isdigit():
            station = sentence("field.reading_station", place=station)
        clock = sentence("field.reading_clock", place=self.clock) if self.clock else ""
        return ", ".join(part for part in (station, clock) if part)


@dataclass(frozen=True)
class Installed:
    """The samples of one pipe: readings of thickness, and tests in psi by key of the symbol table.

    `basis` is the thickness basis in words.
    """

    pipe: str
    readings: tuple[Reading, ...] = ()
    tests: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    basis: str = ""
    cautions: tuple[Finding, ...] = ()

    @cached_property
    def thickness(self) -> Summary | None:
        """Statistics of the readings, in mm; None without any."""
        return summarise([each.thickness for each in self.readings]) if self.readings else None

    @property
    def thinnest(self) -> Reading:
        """The smallest reading of one or more."""
        return min(self.readings, key=lambda each: each.thickness)

    def summary(self, key: str) -> Summary | None:
        """Statistics of the tests of one property, in psi; None without any."""
        values = self.tests.get(key)
        return summarise(values) if values else None


@dataclass(frozen=True)
class Gathered:
    """The samples of every pipe, the raw bending records reduced, and the files they came from."""

    pipes: tuple[Installed, ...]
    bending: BendingSet | None = None
    files: tuple[FileRead, ...] = ()


def gather(
    project: Project, folder: Path, samples: Path | None = None, bending: Path | None = None
) -> Gathered:
    """Every sample by pipe; `samples` and `bending` go before the files the project names.

    Raises:
        InputFaults: a pipe or specimen that is not known, a reading of the whole wall without
            what to take off, no sample at all, and every fault of the files.
    """
    settings = project.acceptance or Acceptance()

    def read(
        key: str, option: Path | None, reader: Callable[[Path], T]
    ) -> tuple[Path | None, T | None]:
        """The file of an option or of the project, and what is in it."""
        name = getattr(settings, key)
        if option is not None:
            return option, faults.of(reader, option)
        if not name:
            return None, None
        at = settings.place.at(key)
        return beside(name, folder), read_beside(reader, name, at, folder, faults)

    with every_fault() as faults:
        table, listed = read("samples", samples, read_samples)
        every_row_read = not faults
        records, raw = read("bending", bending, read_bending)
        found = [sample for pipe in project.as_read for sample in _own(pipe)]
        if listed:
            found += _of_table(listed, project.as_read, faults)
        reduced = faults.of(reduce_set, raw) if raw else None
        # A specimen may be one of a row that can't be read.
        if raw and reduced and every_row_read:
            found = _with_tests(found, raw, reduced, faults)
        if not (found or faults):
            faults.append(fault("measured.no_samples", ""))
        pipes = tuple(
            _installed(pipe.name, [s for s in found if s.pipe == pipe.name], settings, faults)
            for pipe in project.pipes
        )
    files = tuple(_file(path) for path in (table, records) if path is not None)
    return Gathered(pipes, reduced, files)


def _file(path: Path) -> FileRead:
    """A file of readings with the SHA-256 of its bytes."""
    data = read_bytes(path, MAXIMUM_BYTES)
    return FileRead("readings", path.name, hashlib.sha256(data).hexdigest())


def _own(pipe: Pipe) -> Iterator[Sample]:
    """The samples of the project file; a list of readings becomes a sample for each."""
    for number, given in enumerate(pipe.sample, 1):
        sample = Sample(
            pipe=pipe.name,
            specimen=given.specimen or f"sample {number}",
            thickness_basis=given.thickness_basis,
            station=given.station,
            clock=given.clock,
        )
        found = ((name, getattr(given, name)) for name in TESTED.values())
        tests = {name: value.to("psi") for name, value in found if value is not None}
        readings = [*(given.thicknesses or []), *([given.thickness] if given.thickness else [])]
        if tests:
            first = readings.pop(0).to("mm") if readings else None
            yield replace(sample, thickness=first, **tests)
        for reading in readings:
            yield replace(sample, thickness=reading.to("mm"))


def _of_table(table: Sequence[Sample], pipes: Sequence[Pipe], faults: list[Fault]) -> list[Sample]:
    names = [pipe.name for pipe in pipes]
    if len(names) == 1:
        table = [replace(each, pipe=each.pipe or names[0]) for each in table]
    known = ", ".join(shown(each) for each in names[:20])
    unknown = {each.pipe: each for each in reversed(table) if each.pipe not in names}
    for each in reversed(unknown.values()):
        at = f"{each.place}, column pipe"
        faults.append(fault("no_such", at, shown(each.pipe), what="pipe", known=known))
    return list(table)


def _with_tests(
    found: list[Sample],
    records: Sequence[BendingRecord],
    reduced: BendingSet,
    faults: list[Fault],
) -> list[Sample]:
    """Puts the results of the bending tests to the samples of the same specimen."""
    of_record = {record.specimen: record.place for record in records}
    tests = {test.specimen: test for test in reduced.specimens}
    for specimen, test in tests.items():
        at = f"{of_record[specimen]}, specimen"
        places = [i for i, sample in enumerate(found) if sample.specimen == specimen]
        if len({found[i].pipe for i in places}) != 1:
            faults.append(fault("measured.stray_specimen", at, shown(specimen)))
            continue
        sample = found[places[0]]
        if sample.modulus is not None or sample.strength is not None:
            faults.append(fault("measured.tested_twice", at, shown(specimen)))
            continue
        found[places[0]] = replace(sample, modulus=test.modulus, strength=test.strength)
    return found


def _installed(
    name: str, samples: Sequence[Sample], settings: Acceptance, faults: list[Fault]
) -> Installed:
    readings = []
    off = settings.non_structural.to("mm") if settings.non_structural else None
    for sample in samples:
        if sample.thickness is None:
            continue
        whole = sample.thickness_basis == WHOLE_WALL
        left = sample.thickness
        if whole and off is not None:
            left -= off
        code = layers_fault(whole, left, off)
        # Samples of the project file were looked at as it was read.
        if code and sample.place:
            at = f"{sample.place}, column thickness"
            faults.append(fault(code, at, f"{sample.thickness:g} mm"))
        elif code is None:
            readings.append(Reading(left, sample.specimen, sample.station, sample.clock))
    bases = {s.thickness_basis for s in samples if s.thickness is not None}
    tests = {key: _values(getattr(s, each) for s in samples) for key, each in TESTED.items()}
    return Installed(
        pipe=name,
        readings=tuple(readings),
        tests=tests,
        basis=_basis(bases, off),
        cautions=tuple(_cautions(bases, len(readings), max(map(len, tests.values())))),
    )


def _values(given: Iterable[float | None]) -> tuple[float, ...]:
    return tuple(value for value in given if value is not None)


def _basis(bases: set[str | None], off: float | None) -> str:
    named = {STRUCTURAL_WALL: "structural", WHOLE_WALL: "whole", None: "not_stated"}
    codes = [code for basis, code in named.items() if basis in bases]
    return "; ".join(sentence(f"field.basis_{code}", off=off or 0.0) for code in codes)


def _cautions(bases: set[str | None], readings: int, tests: int) -> Iterator[Finding]:
    if None in bases:
        yield finding("field.basis_caution")
    if 0 < tests < SPECIMENS:
        yield finding("field.few_tests", count=tests, least=SPECIMENS)
    if readings == 1:
        yield finding("field.one_reading")
