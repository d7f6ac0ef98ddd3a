"""Makes design tasks of a project: quantities in the sheet's units, each with its origin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from linerdesign.design.basis import FULLY, Basis
from linerdesign.design.result import Input, Note
from linerdesign.design.sizing import PipeTask, Station
from linerdesign.equations.equation import Severity
from linerdesign.equations.symbols import SYMBOLS, symbol_of_name
from linerdesign.equations.tree import Table
from linerdesign.project.consistency import merged
from linerdesign.project.faults import Fault, InputFaults
from linerdesign.project.measures import Measure
from linerdesign.project.models import COVER_DATUMS, OVALITIES, WATER_DATUMS, Criteria, Pipe, Resin
from linerdesign.project.reading import Project

PRACTICE = "common practice, no source"
_SITE_ORDER = (
    "host_diameter",
    "maximum_diameter",
    "minimum_diameter",
    "host_wall",
    "ovality",
    "cover",
    "invert_depth",
    "ground_elevation",
    "invert_elevation",
    "groundwater_above_invert",
    "groundwater_above_crown",
    "groundwater_below_surface",
    "groundwater_elevation",
    "soil_unit_weight",
    "soil_reaction_modulus",
    "live_load",
)
_RESIN_KEYS = ("flexural_modulus", "modulus_retention", "flexural_strength", "strength_retention")
_CRITERIA_KEYS = (
    "poisson_ratio",
    "safety_factor",
    "enhancement_factor",
    "maximum_dimension_ratio",
    "minimum_ovality",
    "minimum_thickness",
)


def tasks(project: Project, units: str | None = None) -> tuple[PipeTask, ...]:
    """One design task a pipe, in the unit system given or else the project's.

    Raises:
        InputFaults: where values, each possible, can't be together.
    """
    system = units or project.info.units
    made: list[PipeTask] = []
    faults: list[Fault] = []
    for pipe in project.pipes:
        try:
            made.append(task(pipe, project.resin_of(pipe), project.criteria, system))
        except InputFaults as found:
            faults.extend(found.faults)
    if faults:
        raise InputFaults(dict.fromkeys(faults))
    return tuple(made)


def task(pipe: Pipe, resin: Resin, criteria: Criteria, system: str) -> PipeTask:
    """The design task of one pipe with one resin."""
    sites = [merged(given(pipe), given(station)) for station in pipe.station] or [
        merged(given(pipe), {})
    ]
    sites = [_with_readings(site) for site in sites]
    faults = [fault for site in sites for fault in _impossible(site, pipe)]
    faults.extend(_ranges(resin))
    if faults:
        raise InputFaults(faults)
    maker = _Maker(pipe, resin, criteria, system)
    places: list[str | None] = [station.at for station in pipe.station] or [None]
    stations = tuple(
        Station(tuple(maker.inputs(site)), at) for site, at in zip(sites, places, strict=True)
    )
    notes, evidence = [], []
    for key in ("modulus_retention", "strength_retention"):
        if key not in resin.model_fields_set:
            text = f"{key} taken as {getattr(resin, key)}: {PRACTICE}"
            notes.append(Note(Severity.DEFAULT, text))
    for key in (*_CRITERIA_KEYS, "edition", "x1_2_strength"):
        if key not in criteria.model_fields_set:
            notes.append(Note(Severity.DEFAULT, f"{key} taken as {getattr(criteria, key)}"))
    waivers = set()
    if resin.evidence:
        waivers.add("evidence")
        evidence.append((f"properties of {resin.name}", resin.evidence))
    if criteria.enhancement_evidence:
        waivers.add("enhancement_evidence")
        evidence.append(("enhancement factor", criteria.enhancement_evidence))
    return PipeTask(
        name=pipe.name,
        resin=resin.name,
        basis=maker.basis(sites[0]),
        stations=stations,
        notes=tuple(notes),
        waivers=frozenset(waivers),
        evidence=tuple(evidence),
    )


def given(table: Any) -> dict[str, Any]:
    """What the file gave, without the keys left out."""
    return {key: getattr(table, key) for key in table.model_fields_set}


def _with_readings(site: dict[str, Any]) -> dict[str, Any]:
    """Diameter readings as their mean and extremes."""
    readings = site.pop("diameters", None)
    if not readings:
        return site
    unit = readings[0].unit
    numbers = [reading.to(unit) for reading in readings]
    text = ", ".join(str(reading) for reading in readings[:12])
    text += f" and {len(readings) - 12} more" if len(readings) > 12 else ""
    mean = Measure(sum(numbers) / len(numbers), unit, f"mean of {text}")
    extremes = (
        {}
        if "ovality" in site
        else {
            "maximum_diameter": Measure(max(numbers), unit, "largest reading"),
            "minimum_diameter": Measure(min(numbers), unit, "smallest reading"),
        }
    )
    return site | {"host_diameter": mean} | extremes


def _ranges(resin: Resin) -> Iterator[Fault]:
    """Properties given as a range: a design needs one value."""
    for key in resin.model_fields_set:
        value = getattr(resin, key)
        if isinstance(value, Measure) and value.upper is not None:
            expected = "one value; a range is for comparing resins"
            yield Fault(f'[[resin]] "{resin.name}", {key}', str(value), expected)


def _impossible(site: dict[str, Any], pipe: Pipe) -> Iterator[Fault]:
    """Values that can't be together."""
    known = site | ({"design_thickness": pipe.design_thickness} if pipe.design_thickness else {})
    for key, broken, expected in contradictions(known):
        if broken:
            yield Fault(f'[[pipe]] "{pipe.name}", {key}', str(known[key]), expected)


def contradictions(site: Mapping[str, Measure]) -> Iterator[tuple[str, Any, str]]:
    """Values that can't be together: the key, whether it is so, and what was expected.

    The numbers of the measures may be arrays; so is then the answer whether it is so.
    """
    diameter = site["host_diameter"]
    mean = diameter.to("mm")
    for key, sign in (("maximum_diameter", 1), ("minimum_diameter", -1)):
        if key in site:
            relation = "not under" if sign > 0 else "not over"
            broken = sign * (site[key].to("mm") - mean) < -1e-9 * mean
            yield key, broken, f"a diameter {relation} {diameter}"
    if "maximum_diameter" in site:
        broken = site["maximum_diameter"].to("mm") >= 2 * mean
        yield "maximum_diameter", broken, "an ovality under 100 %"
    crown = mean / 1000 + (site["host_wall"].to("m") if "host_wall" in site else 0.0)
    expected = "an invert deeper than the pipe is high: the cover must be greater than zero"
    if "invert_depth" in site:
        yield "invert_depth", site["invert_depth"].to("m") <= crown, expected
    elif "ground_elevation" in site:
        depth = site["ground_elevation"].to("m") - site["invert_elevation"].to("m")
        yield "ground_elevation", depth <= crown, expected
    if "design_thickness" in site:
        broken = site["design_thickness"].to("mm") >= mean / 2
        yield "design_thickness", broken, f"a thickness under half of {diameter}"


@dataclass(frozen=True)
class _Maker:
    """Turns the tables of one pipe into inputs in the units of the sheet."""

    pipe: Pipe
    resin: Resin
    criteria: Criteria
    system: str

    def basis(self, site: dict[str, Any]) -> Basis:
        ovality = tuple(_key(name) for name in OVALITIES if name in site) or ("q_pipe",)
        water = next(name for name in WATER_DATUMS if name in site)
        given_cover = tuple(_key(name) for name in COVER_DATUMS if name in site)
        if not given_cover and self.pipe.condition == FULLY:
            raise AssertionError("consistency lets no such pipe pass")
        return Basis(
            system=self.system,
            condition=self.pipe.condition,
            edition=self.criteria.edition,
            strength=self.criteria.x1_2_strength,
            water=("h_invert" if water == "groundwater" else _key(water),),
            cover=given_cover,
            ovality=ovality,
            host_wall="host_wall" in site,
            thickness_given=self.pipe.design_thickness is not None,
            sizes=self._sizes(),
        )

    def inputs(self, site: dict[str, Any]) -> Iterator[Input]:
        """All inputs of one station, in the order of the sheet."""
        for name in _SITE_ORDER:
            if name in site:
                yield self._input(name, site[name])
            elif name == "groundwater_above_invert" and "groundwater" in site:
                no_water = Measure(0.0, "m", "none")
                given = self._input(name, no_water)
                yield replace(given, origin=self._origin("groundwater"))
            elif name == "ovality" and not site.keys() & set(OVALITIES):
                floor = self.criteria.minimum_ovality
                yield replace(self._input(name, floor), origin="owner's floor", given_by="owner")
        for name in _RESIN_KEYS:
            yield self._owned(name, self.resin, f"{self.resin.name}")
        for name in _CRITERIA_KEYS:
            yield self._owned(name, self.criteria, "criteria")
        if self.pipe.design_thickness is not None:
            chosen = self.pipe.design_thickness
            yield replace(self._input("nominal_thickness", chosen), origin="thickness to check")
        elif not self.resin.thicknesses:
            owner = self.resin if self.resin.thickness_step else self.criteria
            yield self._owned(
                "thickness_step", owner, "resin" if owner is self.resin else "criteria"
            )

    def _input(self, name: str, value: Measure | float) -> Input:
        key = _key(name)
        number = value if isinstance(value, float) else value.to(SYMBOLS[key].unit(self.system))
        return Input(key, float(number), self._origin(name), "project", str(value))

    def _owned(self, name: str, table: Resin | Criteria, owner: str) -> Input:
        """A value of the resin or the criteria; one left out is marked as a default."""
        given = self._input(name, getattr(table, name))
        if name in table.model_fields_set:
            origin = given.origin if name in self.pipe.origin else owner
            return replace(given, origin=origin)
        return replace(given, origin="default", given_by="default")

    def _origin(self, name: str) -> str:
        return self.pipe.origin.get(name, "given")

    def _sizes(self) -> Table | None:
        listed = self.resin.thicknesses
        if not listed or self.pipe.design_thickness is not None:
            return None
        unit = SYMBOLS["t"].unit(self.system)
        sizes = tuple(sorted({measure.to(unit) for measure in listed}))
        return Table(f"thicknesses of {self.resin.name}", sizes, sizes, "the resin's table")


def _key(name: str) -> str:
    key = symbol_of_name(name)
    assert key is not None, name
    return key
