"""The schedule: a row a pipe, with its thickness and why, the same in every form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from linerdesign.documents.blocks import Grid
from linerdesign.documents.numbers import MINUS, factor, in_millimetres, short
from linerdesign.documents.sheet import notes_of
from linerdesign.expressions.printing import positional
from linerdesign.methods.basis import FULLY, PARTIALLY
from linerdesign.methods.equation import Severity
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.models import FaultyPipe
from linerdesign.project.reading import Project
from linerdesign.project.requests import length_of
from linerdesign.words import sentence
from linerdesign.words.calculation import RESULT
from linerdesign.words.documents import NOT_DESIGNED

# Letters of a name at most.
_NAME = 200
# Figures of a number.
FIGURES = 4
TEXTS = ("name", "condition", "governing", "status")
# Columns that a narrow form leaves out, in this order.
SPARED = ("ratio", "length", "cover")
# The quantities of a pipe that columns show, where one column shows one.
QUANTITIES = {"length": "L_pipe", "diameter": "D", "cover": "H", "water": "h_invert", "ratio": "DR"}
Lengths = Mapping[str, float]


@dataclass(frozen=True)
class Schedule(Grid):
    """The schedule as a table; `keys` names its columns, for forms that keep it live.

    `designed` are the rows of the pipes that have a design, in order of the results. `notes` say
    under it, in forms that keep it live, how to read it.
    """

    keys: tuple[str, ...] = ()
    designed: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()

    def without(self, key: str) -> Schedule:
        """The schedule less a column, which the sheets have too."""
        places = [place for place, each in enumerate(self.keys) if each != key]
        cut = self._cut(range(len(self.rows)), places)
        return replace(cut, keys=tuple(self.keys[place] for place in places))


def numbers_of(project: Project, faulty: Sequence[FaultyPipe] = ()) -> dict[str, int]:
    """The position of each pipe in the file, by name, those that can't be designed among them."""
    found = {pipe.name: pipe.number for pipe in project.pipes}
    return found | {pipe.name: pipe.number for pipe in faulty}


def lengths_of(project: Project, system: str) -> Lengths:
    """The lengths to line, by pipe, in the unit of the system."""
    unit = SYMBOLS["L_pipe"].unit(system)
    return {pipe.name: length.to(unit) for pipe in project.pipes if (length := length_of(pipe))}


def schedule(
    results: Sequence[PipeResult],
    lengths: Lengths,
    faulty: Sequence[FaultyPipe] = (),
    numbers: Mapping[str, int] = MappingProxyType({}),
) -> Schedule:
    """One row a pipe: what is built, under which ground and water, and why.

    Those that can't be designed are where `numbers`, the positions of pipes by name, put them.
    """
    blank = dict.fromkeys(RESULT, "-")
    made = [
        (result.name, {"number": str(number)} | cells(result, lengths))
        for number, result in enumerate(results, 1)
    ]
    made += [(pipe.name, blank | {"status": NOT_DESIGNED}) for pipe in faulty]
    order = sorted(range(len(made)), key=lambda place: numbers.get(made[place][0], place))
    rows = [made[place][1] | {"name": short(made[place][0], _NAME)} for place in order]
    designed = [order.index(place) for place in range(len(results))]
    optional = (*QUANTITIES, "tube")
    kept = tuple(k for k in RESULT if k not in optional or any(row[k] != "-" for row in rows))
    ordered = ["tube" if result.legs else "nominal" for result in results]
    bad = [row for row, result in zip(designed, results, strict=True) if not result.holds]
    bad += set(range(len(rows))) - set(designed)
    return Schedule(
        columns=tuple(head(key, results[0].basis.system) for key in kept),
        align="".join("<" if key in TEXTS else ">" for key in kept),
        rows=tuple(tuple(row[key] for key in kept) for row in rows),
        caption=sentence("calculation.result"),
        boxed=frozenset((row, kept.index(key)) for row, key in zip(designed, ordered, strict=True)),
        narrow=True,
        strong=frozenset((place, kept.index("status")) for place in bad),
        keys=kept,
        designed=tuple(designed),
        notes=(sentence("field.tubes"),) if any(each.legs for each in results) else (),
    )


def head(key: str, system: str) -> str:
    """The head of a column, with its unit."""
    unit = "mm" if key in ("required", "nominal", "tube") else ""
    if key in QUANTITIES:
        unit = SYMBOLS[QUANTITIES[key]].unit(system)
    return f"{RESULT[key]}, {unit}" if unit else RESULT[key]


def cells(result: PipeResult, lengths: Lengths) -> dict[str, str]:
    """The texts of one pipe by column, those of ground and water at its governing station."""
    at, system = result.governing_station, result.basis.system
    known = {key: result.value(quantity, at) for key, quantity in QUANTITIES.items()}
    known["length"] = lengths.get(result.name)
    return {key: _number(value) for key, value in known.items()} | {
        "condition": condition_word(result),
        "governing": governing_cell(result),
        "required": f"{in_millimetres(result.required_thickness, system):.2f}",
        "nominal": positional(in_millimetres(result.nominal_thickness, system), 5),
        "tube": _tube(result),
        "safety": factor(result.lowest_safety_factor),
        "status": _status(result),
    }


def condition_word(result: PipeResult) -> str:
    """The condition of the host in one word."""
    return {FULLY: "full", PARTIALLY: "partial"}.get(result.basis.condition, "-")


def _tube(result: PipeResult) -> str:
    if result.legs is None:
        return "-"
    return positional(in_millimetres(result.legs.tube.thickness, result.basis.system), 5)


def _number(value: float | None) -> str:
    return "-" if value is None else positional(value, FIGURES).replace("-", MINUS)


def governing_cell(result: PipeResult) -> str:
    """The governing equation and where, and whether the owner's minimum exceeds it."""
    text, at = result.governing, result.governing_station
    if at:
        text = sentence("calculation.at", what=text, station=at)
    return sentence("calculation.minimum", equation=text) if result.minimum_governs else text


def _status(result: PipeResult) -> str:
    """The status in short, and how many cautions the sheet holds."""
    count = len(notes_of(result, Severity.CAUTION)) + len(notes_of(result, Severity.OUTSIDE))
    cautions = f", {count} caution{'s' * (count > 1)}" if count else ""
    return result.status + cautions
