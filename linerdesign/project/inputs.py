"""Turns the tables of one pipe into inputs in the units of the sheet, each with its origin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from linerdesign.expressions.printing import written
from linerdesign.expressions.tree import Table
from linerdesign.methods.basis import GIVEN, Basis
from linerdesign.methods.ground.load_lines import CONCENTRATED, DEFAULTS, HL_93
from linerdesign.methods.origin import DEFAULT, Given, Origin
from linerdesign.methods.symbols import KEY_OF, SYMBOLS
from linerdesign.methods.task import Input, InWords
from linerdesign.project.ground import LookedUp, NamedLoad, TrenchSoil
from linerdesign.project.keys import (
    COVER_DATUMS,
    CRITERIA_KEYS,
    OVALITIES,
    RESIN_KEYS,
    SITE_ORDER,
    WATER_DATUMS,
)
from linerdesign.project.layers import Layer
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Pipe, Resin

# The effective length of pipe that a single load is spread over, where none is given.
EFFECTIVE_LENGTH = Measure(3.0, "ft", "3 ft")


@dataclass(frozen=True)
class Maker:
    """Makes the basis and the inputs of one pipe with one resin under one owner's criteria."""

    pipe: Pipe
    resin: Resin
    criteria: Criteria
    system: str

    def basis(self, site: Layer) -> Basis:
        """The choices in words at one station."""
        live, soil = _value(site, "live_load"), _value(site, "soil_reaction_modulus")
        fill = soil.trench if isinstance(soil, TrenchSoil) else soil
        return Basis(
            system=self.system,
            condition=self.pipe.condition,
            edition=self.criteria.edition,
            strength=self.criteria.x1_2_strength,
            dry_case=self.criteria.dry_case,
            water=tuple(_water_key(name) for name in WATER_DATUMS if name in site),
            cover=tuple(KEY_OF[name] for name in COVER_DATUMS if name in site),
            ovality=tuple(KEY_OF[name] for name in OVALITIES if name in site),
            host_wall="host_wall" in site,
            thickness_given="nominal_thickness" in site,
            sizes=self._sizes(),
            internal_pressure="internal_pressure" in site,
            vacuum="vacuum" in site,
            above_ground=self.pipe.above_ground,
            live_load=live.method if isinstance(live, NamedLoad) else GIVEN,
            live_load_table=live.handbook if isinstance(live, NamedLoad) else "",
            soil_by_depth=fill.by_depth if isinstance(fill, LookedUp) else None,
            combining=soil.combining_table if isinstance(soil, TrenchSoil) else "",
        )

    def inputs(self, site: Layer) -> Iterator[Input]:
        """All inputs of one station, in the order of the sheet."""
        for name in self._order(site):
            if name in site:
                yield from self._inputs(name, site[name])

    def _order(self, site: Layer) -> Iterator[str]:
        """The keys of a sheet in its order, less those that have no part in it."""
        yield from SITE_ORDER
        tensile = "internal_pressure" in site
        yield from (key for key in RESIN_KEYS if tensile or not key.startswith("tensile"))
        yield from CRITERIA_KEYS
        if "nominal_thickness" in site:
            yield "nominal_thickness"
        elif not self.resin.thicknesses:
            yield "thickness_step"

    def _inputs(self, name: str, given: Given) -> Iterator[Input]:
        """The inputs of one key: none where a line finds the number."""
        match given.value:
            case NamedLoad() as load:
                yield from self._named_load(load, given.origin)
            case TrenchSoil() as soil:
                for part in ("trench", "native", "trench_width"):
                    value = getattr(soil, part)
                    origin = replace(given.origin, stated=str(value))
                    yield from self._inputs(part, Given(value, "", origin))
            case LookedUp() as soil:
                if soil.modulus is not None:
                    row = replace(given.origin, table_row=soil.row)
                    if soil.table is not None:
                        name_of_table, provenance = soil.table.name, soil.table.provenance.value
                        row = replace(row, table=name_of_table, provenance=provenance)
                    yield self._input(name, soil.modulus, row)
            case str():  # no groundwater
                yield self._input("groundwater_above_invert", Measure(0.0, "m", ""), given.origin)
            case value:
                yield self._input(name, value, given.origin)

    def _named_load(self, load: NamedLoad, origin: Origin) -> Iterator[Input]:
        """The keys given beside the name of a method, and its defaults."""
        for name in load.rows:
            value = getattr(load, name)
            if value is not None and name not in ("method", "table"):
                yield self._input(name, value, replace(origin, stated=written(value)))
        if load.method == HL_93:
            for key, number in DEFAULTS.items():
                if getattr(load, SYMBOLS[key].name) is None:
                    yield Input(key, number, replace(DEFAULT, stated=written(number)))
        if load.method == CONCENTRATED and load.load_length is None:
            by = replace(DEFAULT, stated=str(EFFECTIVE_LENGTH))
            yield self._input("load_length", EFFECTIVE_LENGTH, by)

    def _input(self, name: str, value: Measure | float, origin: Origin) -> Input:
        key = KEY_OF[name]
        number = value if isinstance(value, float) else value.to(SYMBOLS[key].unit(self.system))
        return Input(key, float(number), origin)

    def in_words(self, site: Layer) -> Iterator[InWords]:
        """Values of one station in words, from which lines find the number: a method, a soil."""
        used = self.basis(site).buried_fully
        soil, load = _value(site, "soil_reaction_modulus"), _value(site, "live_load")
        fill = soil.trench if isinstance(soil, TrenchSoil) else soil
        if isinstance(fill, LookedUp) and fill.modulus is None:
            key = "trench" if isinstance(soil, TrenchSoil) else "soil_reaction_modulus"
            origin = replace(site["soil_reaction_modulus"].origin, stated=str(fill), used=used)
            yield InWords(KEY_OF[key], str(fill), origin)
        if isinstance(load, NamedLoad):
            origin = replace(site["live_load"].origin, used=used)
            yield InWords(KEY_OF["live_load"], str(load), origin)

    def _sizes(self) -> Table | None:
        listed = self.resin.thicknesses
        if not listed or self.pipe.design_thickness is not None:
            return None
        unit = SYMBOLS["t"].unit(self.system)
        sizes = tuple(sorted({measure.to(unit) for measure in listed}))
        return Table(f"thicknesses of {self.resin.name}", sizes, sizes, "the resin's table")


def _value(site: Layer, key: str) -> Any:
    return site[key].value if key in site else None


def _water_key(name: str) -> str:
    return "h_invert" if name == "groundwater" else KEY_OF[name]
