"""Turns the tables of one pipe into inputs in the units of the sheet, each with its origin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from linerdesign.expressions.tree import Table
from linerdesign.methods.basis import GIVEN
from linerdesign.methods.f1216.basis import Basis
from linerdesign.methods.f1216.load_lines import CONCENTRATED, DEFAULTS, HL_93
from linerdesign.methods.symbols import SYMBOLS, symbol_of_name
from linerdesign.methods.task import Input, InWords
from linerdesign.project.ground import LookedUp, NamedLoad, TrenchSoil
from linerdesign.project.measures import Measure
from linerdesign.project.models import (
    COVER_DATUMS,
    OVALITIES,
    WATER_DATUMS,
    Criteria,
    Pipe,
    Resin,
)

SITE_ORDER = (
    "host_diameter",
    "maximum_diameter",
    "minimum_diameter",
    "host_wall",
    "hole_diameter",
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
    "internal_pressure",
    "vacuum",
)
RETENTIONS = ("modulus_retention", "strength_retention", "tensile_retention")
_RESIN_KEYS = ("flexural_modulus", "modulus_retention", "flexural_strength", "strength_retention")
_TENSILE_KEYS = ("tensile_strength", "tensile_retention")
CRITERIA_KEYS = (
    "poisson_ratio",
    "safety_factor",
    "enhancement_factor",
    "maximum_dimension_ratio",
    "minimum_ovality",
    "minimum_thickness",
)
FROM_READINGS = ("host_diameter", "maximum_diameter", "minimum_diameter")
# How a value is known that the criteria gave: of the owner's file, of the project's own table.
OWNERS_CRITERIA, OWN_CRITERIA, OWNERS_FLOOR = "owner's criteria", "criteria", "owner's floor"
# The effective length of pipe that a single load is spread over, where none is given.
EFFECTIVE_LENGTH = Measure(3.0, "ft", "3 ft")


@dataclass(frozen=True)
class Maker:
    """Makes the basis and the inputs of one pipe with one resin under one owner's criteria."""

    pipe: Pipe
    resin: Resin
    criteria: Criteria
    system: str

    def basis(self, site: Mapping[str, Any]) -> Basis:
        """The choices in words at one station."""
        live, soil = site.get("live_load"), site.get("soil_reaction_modulus")
        fill = soil.trench if isinstance(soil, TrenchSoil) else soil
        return Basis(
            system=self.system,
            condition=self.pipe.condition,
            edition=self.criteria.edition,
            strength=self.criteria.x1_2_strength,
            water=tuple(_water_key(name) for name in WATER_DATUMS if name in site),
            cover=tuple(key_of(name) for name in COVER_DATUMS if name in site),
            ovality=tuple(key_of(name) for name in OVALITIES if name in site) or ("q_pipe",),
            host_wall="host_wall" in site,
            thickness_given=self.pipe.design_thickness is not None,
            sizes=self._sizes(),
            internal_pressure="internal_pressure" in site,
            vacuum="vacuum" in site,
            above_ground=self.pipe.above_ground,
            live_load=live.method if isinstance(live, NamedLoad) else GIVEN,
            live_load_table=live.handbook if isinstance(live, NamedLoad) else "",
            soil_by_depth=fill.by_depth if isinstance(fill, LookedUp) else None,
            combining=soil.combining_table if isinstance(soil, TrenchSoil) else "",
        )

    def inputs(self, site: Mapping[str, Any], defaulted: frozenset[str]) -> Iterator[Input]:
        """All inputs of one station, in the order of the sheet.

        `defaulted` are the keys that the criteria gave and the pipe left out.
        """
        for name in SITE_ORDER:
            given = self._at_site(name, site)
            yield from (self._from_criteria(each) for each in given) if name in defaulted else given
        tensile = _TENSILE_KEYS if "internal_pressure" in site else ()
        for name in (*_RESIN_KEYS, *tensile):
            yield self._property(name)
        for name in CRITERIA_KEYS:
            yield self._criterion(name)
        yield from self._thickness()

    def in_words(self, site: Mapping[str, Any], defaulted: frozenset[str]) -> Iterator[InWords]:
        """What one station gives in words, for lines to find the number: a method, a soil."""
        for name, key, words in self._worded(site):
            origin = self._criteria_words() if name in defaulted else self._origin(name)
            unused = "" if self.basis(site).buried_fully else ", not used here"
            yield InWords(key, words, origin + unused)

    @staticmethod
    def _worded(site: Mapping[str, Any]) -> Iterator[tuple[str, str, str]]:
        """The key of the project that holds words, the key of the quantity, and the words."""
        soil, load = site.get("soil_reaction_modulus"), site.get("live_load")
        fill = soil.trench if isinstance(soil, TrenchSoil) else soil
        if isinstance(fill, LookedUp) and fill.modulus is None:
            key = "trench" if isinstance(soil, TrenchSoil) else "soil_reaction_modulus"
            yield "soil_reaction_modulus", key_of(key), str(fill)
        if isinstance(load, NamedLoad):
            yield "live_load", key_of("live_load"), str(load)

    def _at_site(self, name: str, site: Mapping[str, Any]) -> Iterator[Input]:
        """The inputs that one key of the site gives: none where it is left out."""
        if name == "live_load" and isinstance(site.get(name), NamedLoad):
            yield from self._named_load(site[name])
        elif name == "soil_reaction_modulus" and isinstance(site.get(name), TrenchSoil):
            soil: TrenchSoil = site[name]
            for part in ("trench", "native", "trench_width"):
                yield from self._looked_up(part, getattr(soil, part), name)
        elif name in site:
            yield from self._looked_up(name, site[name], name)
        elif name == "groundwater_above_invert" and "groundwater" in site:
            no_water = Measure(0.0, "m", "none")
            yield replace(self._input(name, no_water), origin=self._origin("groundwater"))
        elif name == "ovality" and not site.keys() & set(OVALITIES):
            floor = self.criteria.minimum_ovality
            yield replace(self._input(name, floor), origin=OWNERS_FLOOR, given_by="owner")

    def _looked_up(self, name: str, value: Any, of: str) -> Iterator[Input]:
        """A value, or one read from a table with its row; none where a line will read it."""
        if isinstance(value, Measure):
            yield replace(self._input(name, value), origin=self._origin(of))
        elif value.modulus is not None:
            origin = f"{self._origin(of)}, {value.row}"
            yield replace(self._input(name, value.modulus), origin=origin)

    def _named_load(self, load: NamedLoad) -> Iterator[Input]:
        """What a method is told beside its name, or takes by itself."""
        origin = self._origin("live_load")
        for name in type(load).model_fields:
            value = getattr(load, name)
            if value is not None and name not in ("method", "table"):
                yield replace(self._input(name, value), origin=origin)
        if load.method == HL_93:
            for key, number in DEFAULTS.items():
                if getattr(load, SYMBOLS[key].name) is None:
                    yield Input(key, number, "default", "default", str(number))
        if load.method == CONCENTRATED and load.load_length is None:
            length = self._input("load_length", EFFECTIVE_LENGTH)
            yield replace(length, origin="default", given_by="default")

    def _property(self, name: str) -> Input:
        """A property of the resin; one left out comes from the owner, or is a default."""
        if name not in self.resin.model_fields_set and name in RETENTIONS:
            owners = getattr(self.criteria.defaults, name)
            if owners is not None:
                return self._from_criteria(self._input(name, owners))
        return self._owned(name, self.resin, self.resin.name)

    def _criterion(self, name: str) -> Input:
        """A value of the criteria, of this project or of the owner's file."""
        value = self._owned(name, self.criteria, OWN_CRITERIA)
        return self._from_criteria(value) if self.criteria.giver(name) == "owner" else value

    def _thickness(self) -> Iterator[Input]:
        if self.pipe.design_thickness is not None:
            chosen = self.pipe.design_thickness
            yield replace(self._input("nominal_thickness", chosen), origin="thickness to check")
        elif self.resin.thickness_step:
            yield self._owned("thickness_step", self.resin, "resin")
        elif not self.resin.thicknesses:
            yield self._criterion("thickness_step")

    def _from_criteria(self, given: Input) -> Input:
        """Marks a value that the criteria gave in place of the pipe."""
        owner = self.criteria.owner is not None
        origin = self._criteria_words()
        row = given.origin.partition(", ")[2]
        full = f"{origin}, {row}" if row else origin
        return replace(given, origin=full, given_by="owner" if owner else "project")

    def _criteria_words(self) -> str:
        """How a value is known that the criteria gave in place of the pipe."""
        return OWNERS_CRITERIA if self.criteria.owner is not None else OWN_CRITERIA

    def _input(self, name: str, value: Measure | float) -> Input:
        key = key_of(name)
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
        """How a value is known; what the readings give is known as they are."""
        readings = self.pipe.origin.get("diameters", "given") if name in FROM_READINGS else "given"
        return self.pipe.origin.get(name, readings)

    def _sizes(self) -> Table | None:
        listed = self.resin.thicknesses
        if not listed or self.pipe.design_thickness is not None:
            return None
        unit = SYMBOLS["t"].unit(self.system)
        sizes = tuple(sorted({measure.to(unit) for measure in listed}))
        return Table(f"thicknesses of {self.resin.name}", sizes, sizes, "the resin's table")


def from_criteria(given: Input) -> bool:
    """Whether the criteria gave the value: one of theirs, or in place of the pipe or the resin."""
    known = given.origin.partition(", ")[0]
    return known in (OWNERS_CRITERIA, OWN_CRITERIA, OWNERS_FLOOR)


def _water_key(name: str) -> str:
    return "h_invert" if name == "groundwater" else key_of(name)


def key_of(name: str) -> str:
    """The key of the quantity that a project file calls `name`."""
    key = symbol_of_name(name)
    assert key is not None, name
    return key
