"""What the uncertainties of the inputs do to the thickness: one at a time, and all together.

Both run the design's own lines on arrays, so that a hundred thousand trials are one pass.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import alike, at_most
from linerdesign.methods.altered import Case, case_of
from linerdesign.methods.lines import run
from linerdesign.methods.task import PipeTask
from linerdesign.project.distributions import Distribution
from linerdesign.project.keys import kind_of
from linerdesign.project.models import Pipe
from linerdesign.tasks.uncertainty.inputs import (
    Uncertainty,
    bounded,
    of_stations,
    own,
    refuse_unknown,
    uncertainties,
)
from linerdesign.tasks.uncertainty.sampling import SEED as SEED
from linerdesign.tasks.uncertainty.sampling import points

DRAWS = 2**17
# With more stations than this, the draws are made for those that need the thickest walls.
MOST_STATIONS = 10


@dataclass(frozen=True)
class Swing:
    """What one input does over its uncertainty, down and up, at every station alike.

    Thicknesses in the unit of the sheet. `value` is at the station that governs.
    """

    uncertainty: Uncertainty
    value: float
    required: tuple[float, float]
    nominal: tuple[float, float]
    now: float
    nominal_now: float

    @property
    def changes_nominal(self) -> bool:
        """Whether the nominal thickness comes out otherwise at either end."""
        return not all(alike(t, self.nominal_now) for t in self.nominal)

    @property
    def width(self) -> float:
        """How far apart the thicknesses required at the two ends are."""
        return max(*self.required, self.now) - min(*self.required, self.now)


@dataclass(frozen=True)
class Chance:
    """How often the thickness under review is enough when all uncertainties are drawn together.

    `enough` is a fraction; `wall` and the percentiles of the thickness required are in the unit of
    the sheet.
    """

    wall: float
    enough: float
    draws: int
    seed: int
    stations: int
    percentiles: tuple[tuple[int, float], ...]


@dataclass(frozen=True)
class Sensitivity:
    """The swings, largest first with assumed values before others, and the chance."""

    swings: tuple[Swing, ...]
    chance: Chance | None


def sensitivity(
    pipe: Pipe,
    task: PipeTask,
    wall: float | None,
    seed: int = SEED,
    stated: Mapping[str, Distribution] | None = None,
) -> Sensitivity:
    """Moves the inputs of a pipe by their uncertainties; with a wall, the chance that it is enough.

    `wall` is a thickness in the unit of the sheet; `stated` are the uncertainties by key, those of
    the pipe alone where none are given.

    Raises:
        InputFaults: an uncertainty of a value that the pipe does not have.
    """
    refuse_unknown(pipe, task)
    case = case_of(task)
    known = own(pipe) if stated is None else stated
    found = uncertainties(known, of_stations(task), task.basis.system, usual=True)
    found = tuple(uncertainty for uncertainty in found if uncertainty.key in _read(case))
    chance = None if wall is None or not found else _chance(case, found, wall, seed)
    return Sensitivity(_swings(case, found), chance)


def _read(case: Case) -> set[str]:
    return {key for line in case.lines for key in line.needs}


def _swings(case: Case, found: tuple[Uncertainty, ...]) -> tuple[Swing, ...]:
    """One pass over rows: the calculation as it is, then each input down and up."""
    moved = [
        (each.key, bounded(each, end))
        for each in found
        for end in each.distribution.ends(case.inputs[each.key], each.unit)
    ]
    inputs = {
        key: np.broadcast_to(value, (1 + len(moved), *np.shape(value))).copy()
        for key, value in case.inputs.items()
    }
    for row, (key, value) in enumerate(moved, 1):
        inputs[key][row] = value
    # A row for each calculation, and a column for each station.
    inputs = {key: v if v.ndim == 2 else v[:, np.newaxis] for key, v in inputs.items()}
    by_station = run(case.lines, inputs)["t_required"]
    governing = case.at(int(np.argmax(by_station[0]))).inputs
    required = by_station.max(axis=1)
    nominal = run(case.choice, _scalars(case) | {"t_required": required})["t"]
    (now, ends), (nominal_now, nominal_ends) = map(_in_pairs, (required, nominal))
    swings = (
        Swing(each, float(governing[each.key]), walls, made, now, nominal_now)
        for each, walls, made in zip(found, ends, nominal_ends, strict=True)
    )
    return tuple(
        sorted(
            (swing for swing in swings if not all(alike(t, now) for t in swing.required)),
            key=lambda s: (not s.changes_nominal, not s.uncertainty.assumed, -s.width),
        )
    )


def _in_pairs(rows: Any) -> tuple[float, list[tuple[float, float]]]:
    """The first number, then the others in pairs."""
    first, *others = rows.tolist()
    return first, list(zip(others[::2], others[1::2], strict=True))


def _scalars(case: Case) -> dict[str, Any]:
    """Inputs that all stations share, which the choice of thickness reads."""
    return {key: value for key, value in case.inputs.items() if np.ndim(value) == 0}


def _chance(case: Case, found: tuple[Uncertainty, ...], wall: float, seed: int) -> Chance:
    """Each input is drawn once for the pipe, from the distribution of its uncertainty."""
    drawn = _drawn(seed, len(found))
    stations = _thickest_stations(case)
    required = np.zeros(DRAWS)
    for station in stations:
        inputs = dict(case.at(station).inputs)
        for each, shares in zip(found, drawn.T, strict=True):
            value, kind = inputs[each.key], kind_of(each.name)
            inputs[each.key] = each.distribution.quantiles(shares, value, each.unit, kind)
        required = np.maximum(required, run(case.lines, inputs)["t_required"])
    enough = float(np.mean(at_most(required, wall)))
    percentiles = tuple((p, float(np.percentile(required, p))) for p in (5, 50, 95))
    return Chance(wall, enough, DRAWS, seed, len(stations), percentiles)


@lru_cache(maxsize=1)
def _drawn(seed: int, count: int) -> Any:
    """Points between 0 and 1 over (trial, input); the same for every pipe."""
    return points(seed, count, DRAWS)


def _thickest_stations(case: Case) -> list[int]:
    required = np.atleast_1d(run(case.lines, case.inputs)["t_required"])
    return [int(i) for i in np.argsort(-required, kind="stable")[:MOST_STATIONS]]
