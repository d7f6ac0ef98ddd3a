"""A calculation beside the thickness of a pipe: its working, tables and remarks, and its data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from linerdesign.documents.blocks import Addition, Block, Bullets, Grid, Heading
from linerdesign.documents.json import amount_of
from linerdesign.documents.numbers import both_units, in_millimetres, number_and_unit
from linerdesign.documents.working import Values, Working, remarks, working_data, working_grid
from linerdesign.expressions.printing import positional
from linerdesign.methods.origin import AS_GIVEN, DEFAULT, Giver, Origin, calculated
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input
from linerdesign.methods.verification import Verifications
from linerdesign.methods.working import signed
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.requests import Capacity, Order
from linerdesign.words import sentence

# The kinds that the order and site sheet works line by line.
WORKS = ("order", "site")


@dataclass(frozen=True)
class Asked:
    """One calculation beside the thickness.

    `kind` is `capacity`, `order` or `site`; `steps` its working, `more` further workings by the
    code of their captions; `named` are the results by name with their keys, `facts` further data.
    """

    kind: str
    steps: tuple[Step, ...]
    notes: tuple[str, ...]
    system: str
    named: Mapping[str, str]
    more: Mapping[str, tuple[Step, ...]] = field(default_factory=dict)
    tables: tuple[Grid, ...] = ()
    facts: Mapping[str, Any] = field(default_factory=dict)

    def value(self, key: str) -> float | None:
        """The value of a quantity; none where the calculation does not have it."""
        return _value(self.steps, key)

    def signed(self, verified: Verifications) -> Asked:
        """The calculation with what the office has verified of its equations."""
        more = {code: signed(steps, verified) for code, steps in self.more.items()}
        return replace(self, steps=signed(self.steps, verified), more=more)

    @property
    def blocks(self) -> tuple[Block, ...]:
        """The calculation for a document."""
        every = (*self.steps, *(step for steps in self.more.values() for step in steps))
        notes = (*self.notes, *remarks(every))
        return (
            Heading(sentence(f"field.title_{self.kind}"), 2),
            *self.tables,
            *self._workings(),
            *((Bullets(notes),) if notes else ()),
        )

    def _workings(self) -> Iterator[Working]:
        """The tables of working; those of order and site sheet are for the document of both."""
        tables = []
        if self.steps:
            wall = next(step.value for step in self.steps if step.key in ("t", "t_tube"))
            caption = sentence("field.working_for", wall=both_units(wall, self.system))
            tables.append((caption, sentence(f"field.title_{self.kind}"), self.steps))
        for code, steps in self.more.items():
            title = sentence(f"field.{code}")
            tables.append((title, title, steps))
        for title, topic, steps in tables:
            made = working_grid(steps, self.system, title, topic=topic)
            yield replace(made, apart=self.kind in WORKS)

    def addition(self) -> Addition:
        """The calculation beside the thickness of its pipe."""
        return Addition(self.kind, self.data(), self.blocks)

    def data(self) -> dict[str, Any]:
        """The calculation as JSON data: its results by name, and every step."""
        more = {
            code: self._results(steps) | {"steps": working_data(steps)}
            for code, steps in self.more.items()
        }
        own = {"steps": working_data(self.steps), "notes": list(self.notes)}
        return self._results(self.steps) | more | dict(self.facts) | own

    def _results(self, steps: tuple[Step, ...]) -> dict[str, Any]:
        return {
            name: amount_of(key, value, self.system)
            for name, key in self.named.items()
            if (value := _value(steps, key)) is not None
        }


def _value(steps: tuple[Step, ...], key: str) -> float | None:
    return next((step.value for step in steps if step.key == key), None)


def values_grid(
    keys: Sequence[str], found: Mapping[str, float], system: str, caption: str
) -> Values:
    """The values that a crew reads first, without their working; to four figures."""

    def shown(key: str, value: float) -> tuple[str, str]:
        if SYMBOLS[key].kind == "thickness":
            return positional(in_millimetres(value, system), 4), "mm"
        return number_and_unit(key, float(f"{value:.4g}"), system)

    figures = tuple(shown(key, found[key]) for key in keys)
    rows = tuple(
        (SYMBOLS[key].meaning, SYMBOLS[key].symbol, " ".join(each).strip())
        for key, each in zip(keys, figures, strict=True)
    )
    return Values(
        columns=("quantity", "symbol", "value"),
        align="<<>",
        rows=rows,
        caption=caption,
        symbols={(row, 1): key for row, key in enumerate(keys)},
        figures=figures,
    )


def stated(key: str, value: Measure, origin: Origin, system: str) -> Input:
    """An input as the file states it, in the unit of the sheet."""
    # A default was written by nobody: its own unit says nothing.
    text = "" if origin.by_default else str(value)
    number = value.to(SYMBOLS[key].unit(system))
    return Input(key, number, replace(origin, stated=text))


def origin_of(asking: Capacity | Order, key: str) -> Origin:
    """Whether a key is given or left to its default."""
    return AS_GIVEN if key in asking.given else DEFAULT


def of_resin(resin: Resin) -> Origin:
    """That a value is of the data of a resin system."""
    return Origin("", Giver.RESIN, place=resin.name)


def wall_of(pipe: Pipe, result: PipeResult) -> Input:
    """The wall of the tube as cured unstretched: as stated, or the nominal thickness."""
    if pipe.tube_thickness:
        return stated("t", pipe.tube_thickness, AS_GIVEN, result.basis.system)
    return Input("t", result.nominal_thickness, calculated("nominal thickness"))


def narrowest(pipe: Pipe, result: PipeResult) -> Input:
    """The smallest mean diameter of the host at a station or in a leg."""
    unit = SYMBOLS["D"].unit(result.basis.system)
    legs = [leg.host_diameter.to(unit) for leg in pipe.leg if leg.host_diameter]
    several = len(result.stations) > 1 or bool(legs)
    origin = calculated("smallest diameter" if several else "design diameter")
    return Input("D", min((*legs, *diameters(result).values())), origin)


def diameters(result: PipeResult) -> dict[str | None, float]:
    """Mean diameter of the host at every station."""
    return {at: values["D"] for at, values in zip(result.stations, result.values, strict=True)}
