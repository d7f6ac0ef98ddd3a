"""Makes design tasks of a project: quantities in the sheet's units, each with its origin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.expressions.printing import positional
from linerdesign.findings import Severity, finding
from linerdesign.methods.basis import Basis
from linerdesign.methods.engine import Designs
from linerdesign.methods.f1216.load_lines import BY_COVER
from linerdesign.methods.method import keys_read, requirement
from linerdesign.methods.raised import Raised, Written
from linerdesign.methods.sizing import Watch
from linerdesign.methods.symbols import name_of
from linerdesign.methods.task import PipeTask, Station
from linerdesign.project.consistency import differing_stations, without_tensile
from linerdesign.project.contradictions import (
    between_values,
    several_values,
    sites_of,
    tables_of,
)
from linerdesign.project.faults import Fault, InputFaults
from linerdesign.project.fields import given
from linerdesign.project.floors import beyond_limits, broken_floors
from linerdesign.project.inputs import FROM_READINGS, RETENTIONS, Maker
from linerdesign.project.models import Criteria, Pipe, Resin
from linerdesign.project.reading import Project

PRACTICE = "common practice, no source"


def tasks(project: Project, units: str | None = None) -> tuple[PipeTask, ...]:
    """One design task a pipe, in the unit system given or else the project's.

    Raises:
        InputFaults: where values, each possible, can't be together.
    """
    system = units or project.info.units
    made: list[PipeTask] = []
    first = 1
    faults: list[Fault] = []
    for pipe in project.pipes:
        try:
            each = task(pipe, project.resin_of(pipe), project.criteria, system)
            made.append(replace(each, first=first))
            first += len(each.stations)
        except InputFaults as found:
            faults.extend(found.faults)
    if faults:
        raise InputFaults(dict.fromkeys(faults))
    return tuple(made)


def task(pipe: Pipe, resin: Resin, criteria: Criteria, system: str) -> PipeTask:
    """The design task of one pipe with one resin.

    Raises:
        InputFaults: where values, each possible, can't be together.
    """
    own, tables = given(pipe), tables_of(pipe)
    sites = sites_of(pipe, criteria)
    maker = Maker(pipe, resin, criteria, system)
    basis = maker.basis(sites[0])
    place = f'[[pipe]] "{pipe.name}"'
    faults = [
        *between_values(pipe, criteria),
        *several_values(resin),
        *without_tensile(sites, given(resin), place),
        *differing_stations(map(maker.basis, sites), place),
    ]
    if faults:
        raise InputFaults(faults)
    places: list[str | None] = [station.at for station in pipe.station] or [None]
    left_out = (frozenset(s) - _own_keys(own, t) for s, t in zip(sites, tables, strict=True))
    stations = tuple(
        Station(tuple(maker.inputs(site, by_owner)), at, tuple(maker.in_words(site, by_owner)))
        for site, by_owner, at in zip(sites, left_out, places, strict=True)
    )
    taken = defaults_taken(criteria, basis, stations)
    return PipeTask(
        name=pipe.name,
        resin=resin.name,
        basis=basis,
        stations=stations,
        notes=(
            *(finding("project.default", Severity.DEFAULT, said=text) for _, text in taken),
            *broken_floors(resin, criteria),
            *([finding("design.internal_pressure")] if basis.internal_pressure else []),
        ),
        waivers=frozenset(key for key, _, text in _evidence(resin, criteria) if text),
        evidence=(
            *((what, text) for _, what, text in _evidence(resin, criteria) if text),
            *((key.replace("_", " "), text) for key, text in pipe.evidence.items()),
        ),
    )


def _own_keys(*tables: Mapping[str, Any]) -> set[str]:
    """The keys that the tables of a pipe give, by themselves or through readings."""
    keys = {key for table in tables for key in table}
    return keys | set(FROM_READINGS) if "diameters" in keys else keys


def _evidence(resin: Resin, criteria: Criteria) -> tuple[tuple[str, str, str], ...]:
    """Key, what it is about, and the text, which may be empty."""
    return (
        ("evidence", f"properties of {resin.name}", resin.evidence),
        ("enhancement_evidence", "enhancement factor", criteria.enhancement_evidence),
    )


def defaults_taken(
    criteria: Criteria, basis: Basis, stations: tuple[Station, ...]
) -> Iterator[tuple[str, str]]:
    """Each value that a line reads and nobody gave, and each word: its key, what was taken."""
    read = keys_read(basis)
    given = dict.fromkeys(each for station in stations for each in station.inputs)
    for each in given:
        if each.given_by == "default" and each.key in read:
            name = name_of(each.key)
            why = f": {PRACTICE}" if name in RETENTIONS else ""
            yield each.key, f"{name} taken as {each.stated}{why}"
    for key in ("edition", "x1_2_strength"):
        if criteria.giver(key) == "default":
            yield key, f"{key} taken as {getattr(criteria, key)}"


def watch(criteria: Criteria) -> Watch:
    """What finds, in the numbers of designs, the values beyond the owner's limits."""

    def found(designs: Designs) -> Iterator[Raised]:
        return limits_left(criteria, designs.values, designs.basis.system)

    return found


def limits_left(criteria: Criteria, values: Mapping[str, Any], system: str) -> Iterator[Raised]:
    """The owner's limits that values of one station, or arrays of many, go beyond."""
    for each in beyond_limits(criteria, values, system):
        numbers = {
            "subject": each.subject,
            "value": Written(each.value, lambda value: f"{positional(value, 5)} "),
            "unit": each.unit,
            "rest": each.rest,
        }
        yield Raised("project.limit", each.broken, numbers, inventory="project.limit_inventory")


def outside_tables(
    basis: Basis, values: Mapping[str, Any]
) -> Iterator[tuple[str, tuple[str, ...], Any, str]]:
    """Every look-up: the key it serves, what it is read by, whether (or where) that lies outside
    the table, and what was expected."""
    for line in requirement(basis):
        if line.equation.kind != "look-up":
            continue
        for limit in line.equation.limits:
            condition = line.condition_tree(limit.holds)
            if limit.severity is Severity.OUTSIDE:
                of_load = line.equation in BY_COVER.values()
                key = "live_load" if of_load else "soil_reaction_modulus"
                arguments = tuple(dict.fromkeys(tree.symbols(condition)))
                outside = np.logical_not(tree.evaluate(condition, values))
                yield key, arguments, outside, f"another method ({limit.text})"
