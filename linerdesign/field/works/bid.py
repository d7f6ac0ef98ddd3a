"""Bid schedule: quantities of all pipes by host diameter and nominal thickness."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from linerdesign.documents.blocks import Block, Grid, Heading, Paragraph
from linerdesign.documents.numbers import in_millimetres
from linerdesign.expressions.printing import grouped, positional
from linerdesign.field.works.order import order_of
from linerdesign.methods import hydraulics, quantities
from linerdesign.methods.quantity import SYSTEMS
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.measures import convert
from linerdesign.project.reading import Project
from linerdesign.project.requests import length_of
from linerdesign.words import sentence
from linerdesign.words.calculation import BID, HEADS

# Units of a column in US customary units and SI.
_UNITS = {
    "length": ("ft", "m"),
    "area": ("ft^2", "m^2"),
    "wall": ("ft^3", "m^3"),
    "resin": ("gal", "L"),
    "resin_weight": ("lb", "kg"),
    "tube_weight": ("lb", "kg"),
    "weight": ("lb", "kg"),
    "laterals": ("", ""),
}
WEIGHTS = ("resin_weight", "tube_weight", "weight")
_MEASURES = {"US": quantities.resin_measure_us, "SI": quantities.resin_measure_si}
_OF_STEPS = {"length": "L_pipe", "wall": "V_wall", "resin": "V_resin"} | {
    "tube_weight": "m_tube",
    "weight": "m_total",
}


@dataclass(frozen=True)
class Item:
    """One line of the schedule: pipes of one host diameter and nominal thickness.

    `diameter` is in mm, none for the total. `quantities` are sums in the SI units of the columns,
    resin in cubic metres; weights are none without a density.
    """

    diameter: float | None
    nominal: str
    pipes: int
    quantities: Mapping[str, float | None]

    def host(self, system: str) -> str:
        """The diameter in the unit of a system, or that this is the total."""
        if self.diameter is None:
            return BID["total"]
        unit = SYMBOLS["D"].unit(system)
        return f"{positional(convert(self.diameter, 'mm', unit), 5)} {unit}"

    def quantity(self, column: str, system: str) -> float | None:
        """The sum of a column in the unit of a system."""
        value = self.quantities[column]
        if value is None:
            return None
        us, si = _UNITS["wall" if column == "resin" else column]
        number = value if system == "SI" else convert(value, si, us)
        return float(_MEASURES[system](number)) if column == "resin" else number


@dataclass(frozen=True)
class Bid:
    """The items by diameter and thickness, their total, and how many pipes have no length.

    `not_designed` are the names of pipes left out because they can't be designed, `not_valid`
    those of pipes that fail or are outside the method, `without_density` and `without_felt`
    those of resins whose weights, or those of their dry tubes, can't be told.
    """

    system: str
    items: tuple[Item, ...]
    total: Item
    without_length: int
    excess: str
    not_designed: tuple[str, ...] = ()
    without_density: tuple[str, ...] = ()
    without_felt: tuple[str, ...] = ()
    not_valid: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        """The columns that any item has a number in."""
        return tuple(
            c for c in _UNITS if any(each.quantities[c] is not None for each in self.items)
        )

    @property
    def blocks(self) -> tuple[Block, ...]:
        """The schedule in US customary units and in SI."""
        basis = sentence("calculation.bid_basis", excess=self.excess)
        if "weight" in self.columns:
            basis += " " + sentence("calculation.bid_weight")
        if self.without_density:
            names = ", ".join(self.without_density)
            basis += " " + sentence("calculation.bid_density", names=names)
        if "tube_weight" in self.columns:
            basis += " " + sentence("calculation.bid_tube")
        if self.without_felt:
            names = ", ".join(self.without_felt)
            basis += " " + sentence("calculation.bid_no_tube", names=names)
        if self.without_length:
            basis += " " + sentence("calculation.bid_without", count=self.without_length)
        basis = " ".join((basis, *self._named))
        tables = (self._grid(system) for system in SYSTEMS)
        return (Heading(HEADS["bid"], tab=HEADS["bid"]), *tables, Paragraph(basis))

    @property
    def _named(self) -> tuple[str, ...]:
        """The pipes left out, and those not to be ordered as designed."""
        named = {"not_designed": self.not_designed, "not_valid": self.not_valid}
        return tuple(
            sentence(f"calculation.bid_{code}", names="; ".join(names))
            for code, names in named.items()
            if names
        )

    def _grid(self, system: str) -> Grid:
        units = {c: _UNITS[c][SYSTEMS.index(system)] for c in self.columns}
        rows = [
            (
                each.host(system),
                each.nominal,
                str(each.pipes),
                *(_shown(each.quantity(c, system)) for c in self.columns),
            )
            for each in (*self.items, self.total)
        ]
        return Grid(
            columns=(
                *(BID[head] for head in ("diameter", "nominal", "pipes")),
                *(f"{BID[c]}, {unit}".removesuffix(", ") for c, unit in units.items()),
            ),
            align="<>" + ">" * (1 + len(self.columns)),
            rows=tuple(rows),
            caption=sentence(f"calculation.bid_{system}"),
            narrow=True,
        )

    @property
    def csv(self) -> bytes:
        """The schedule as CSV in UTF-8, a column for each quantity in each system of units.

        Weights that can't be told are so said: an empty cell counts as zero in a sum.
        """
        target = io.StringIO()
        writer = csv.writer(target, lineterminator="\n")
        columns = [c for c in _UNITS if c in self.columns or c in WEIGHTS]
        pairs = [(c, s) for c in columns for s in (SYSTEMS if any(_UNITS[c]) else SYSTEMS[:1])]
        heads = (f"{BID[c]} [{_UNITS[c][SYSTEMS.index(s)]}]".removesuffix(" []") for c, s in pairs)
        writer.writerow([BID["diameter"], f"{BID['nominal_csv']} [mm]", BID["pipes"], *heads])
        for each in (*self.items, self.total):
            numbers = (each.quantity(c, s) for c, s in pairs)
            cells = (BID["not_given"] if n is None else positional(n, 6) for n in numbers)
            writer.writerow([each.host(self.system), each.nominal, each.pipes, *cells])
        for text in self._named:
            writer.writerow([text, *[""] * (2 + len(pairs))])
        return target.getvalue().encode()


def bid(
    project: Project, results: Sequence[PipeResult], not_designed: Sequence[str] = ()
) -> Bid | None:
    """The bid schedule of the pipes that have a length; none where none has.

    `not_designed` are the names of pipes that can't be designed.
    """
    rows: dict[tuple[float, float], list[dict[str, float | None]]] = {}
    orders, light, no_felt, not_valid, without = set(), set(), set(), [], 0
    with_laterals = any(pipe.lateral for pipe in project.pipes)
    for result in results:
        pipe = project.by_name[result.name]
        diameter = min(values["D"] for values in result.values)
        if length_of(pipe) is None:
            without += 1
            continue
        if not result.holds:
            not_valid.append(result.name)
        if hydraulics.fills(diameter, result.nominal_thickness):
            continue
        order = order_of(project, pipe, result)
        orders.add(str(order.excess))
        if "rho" not in order.values:
            light.add(result.resin)
        if "rho_felt" not in order.values:
            no_felt.add(result.resin)
        system = result.basis.system
        metric = in_millimetres(diameter, system)
        nominal = in_millimetres(order.values["t_tube"], system)
        quantities_ = _quantities(order.values, diameter, system)
        if with_laterals:
            quantities_["laterals"] = len(pipe.lateral)
        rows.setdefault((metric, nominal), []).append(quantities_)
    if not rows:
        return None
    items = tuple(
        Item(diameter, positional(nominal, 5), len(found), _sums(found))
        for (diameter, nominal), found in sorted(rows.items())
    )
    every = [each for found in rows.values() for each in found]
    total = Item(None, "", len(every), _sums(every))
    excess = ", ".join(sorted(orders))
    resins = (tuple(sorted(light)), tuple(sorted(no_felt)))
    names = (tuple(not_designed), *resins, tuple(not_valid))
    return Bid(results[0].basis.system, items, total, without, excess, *names)


def _quantities(
    values: Mapping[str, float], diameter: float, system: str
) -> dict[str, float | None]:
    """The quantities of one pipe in SI, from its order and its host diameter."""
    values = {**values, "D": diameter}

    def si(key: str) -> float | None:
        if key not in values:
            return None
        unit = SYMBOLS[key].unit(system)
        return convert(values[key], unit, SYMBOLS[key].unit("SI"))

    found = {column: si(key) for column, key in _OF_STEPS.items()}
    bore, length, volume, density = (si(key) for key in ("D", "L_pipe", "V_resin", "rho"))
    assert bore is not None
    assert length is not None
    assert volume is not None
    found["area"] = math.pi * bore / 1000 * length
    mixed = si("m_resin")
    if mixed is None and density is not None:
        mixed = volume * density
    found["resin_weight"] = mixed
    return found


def _sums(rows: Sequence[Mapping[str, float | None]]) -> dict[str, float | None]:
    """The sum of each column; none where a pipe has no number in it."""
    found: dict[str, float | None] = {}
    for column in _UNITS:
        numbers = [row.get(column) for row in rows]
        known = [number for number in numbers if number is not None]
        found[column] = sum(known) if len(known) == len(numbers) else None
    return found


def _shown(value: float | None) -> str:
    return "-" if value is None else grouped(float(positional(value, 4)))
