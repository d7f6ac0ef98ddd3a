"""Steps worked out beside a design as a table, for every form of a document alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from linerdesign.documents.blocks import Grid
from linerdesign.documents.json import step_data
from linerdesign.documents.numbers import value_with_unit
from linerdesign.documents.sheet import derivation, warnings_of
from linerdesign.methods.result import Step
from linerdesign.words import heads_of, sentence


@dataclass(frozen=True)
class Values(Grid):
    """A table of quantities: meaning, symbol and value. Several pipes have a column each.

    `figures` has the number and the unit of each row.
    """

    figures: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Working(Grid):
    """A table of steps in plain text, with the steps for forms that set mathematics.

    `at` is the place along the pipe, where a pipe has a table for each of several; `topic` the
    caption less what is of one pipe or place.
    """

    steps: tuple[Step, ...] = ()
    system: str = "US"
    at: str = ""
    topic: str = ""


def working_grid(
    steps: Sequence[Step], system: str, caption: str, at: str = "", topic: str = ""
) -> Working:
    """Symbol, meaning, working and value of each step."""
    rows = tuple(
        (
            step.symbol,
            meaning_at(step),
            " = ".join(derivation(step, system=system)) if step.line else step.source,
            value_with_unit(step.key, step.value, system),
        )
        for step in steps
    )
    columns = heads_of("documents.working")
    made = Working(columns, "<<<>", rows, caption)
    return replace(made, steps=tuple(steps), system=system, at=at, topic=topic)


def meaning_at(step: Step) -> str:
    """The quantity of a step, and where along the pipe it is."""
    if not step.station:
        return step.meaning
    return sentence("documents.at", what=step.meaning, station=step.station)


def remarks(steps: Sequence[Step]) -> tuple[str, ...]:
    """What a reader must know of the steps: ranges left, and formulas not seen in print."""
    found = [f"{step.meaning}: {text}" for step in steps for text in step.flags]
    found += [f"{step.meaning}: {text}" for step in steps for text in warnings_of(step)]
    return tuple(dict.fromkeys(found))


def working_data(steps: Sequence[Step]) -> list[dict[str, Any]]:
    """The steps as JSON data."""
    return [step_data(step) for step in steps]
