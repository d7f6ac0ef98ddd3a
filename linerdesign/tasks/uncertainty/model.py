"""Thickness, and reliability, as functions of the shares of uncertain inputs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import at_least
from linerdesign.methods.basis import Basis
from linerdesign.methods.lines import run
from linerdesign.methods.method import checks_of, choice_of_thickness, constants, requirement
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import outside_tables
from linerdesign.project.keys import kind_of
from linerdesign.tasks.uncertainty.inputs import Uncertainty

Floats = NDArray[np.float64]
SAFETY_FACTOR = "N"
# Of the search for the design point.
_STEP, _ROUNDS, _NEAR, _CLOSE, _AWAY = 1e-4, 60, 1e-6, 1e-3, 40.0
_PARTS = 0.5 ** np.arange(8)
# Indices beyond this are not told apart: shares of a distribution end near it.
FAR = 6.0


@dataclass(frozen=True)
class Model:
    """Pipes of one basis whose inputs are partly uncertain.

    `inputs` are over (pipe, station) or numbers, by key, in the units of the sheet; `uncertain`
    are those drawn. Shares are over (pipe or 1, trial, uncertain input).
    """

    basis: Basis
    inputs: Mapping[str, Any]
    uncertain: tuple[Uncertainty, ...]

    @cached_property
    def _fixed(self) -> dict[str, Any]:
        """The inputs over (pipe, trial, station), with what the method itself fixes."""
        own = {
            key: np.asarray(value)[:, None, :] if np.ndim(value) else value
            for key, value in self.inputs.items()
        }
        return own | {each.key: each.value for each in constants(self.basis)}

    @cached_property
    def shape(self) -> tuple[int, int]:
        """How many pipes and stations there are."""
        pipes, stations = np.broadcast_shapes((1, 1), *map(np.shape, self.inputs.values()))
        return pipes, stations

    def required(
        self, shares: Floats, without_factor: bool = False, by: str = "t_required"
    ) -> Floats:
        """The required thickness over (pipe, trial) at the worst station, in the unit of the
        sheet; infinite where the values lead to none. `without_factor` takes N as 1; `by` may be
        the thickness that one check requires."""
        values = dict(self._fixed)
        for place, each in enumerate(self.uncertain):
            value = values[each.key]
            kind = kind_of(each.name)
            drawn = shares[..., place, None]
            values[each.key] = each.distribution.quantiles(drawn, value, each.unit, kind)
        if without_factor:
            values[SAFETY_FACTOR] = 1.0
        found = run(requirement(self.basis), values)
        needed = np.asarray(found[by])
        for _, _, outside, _ in outside_tables(self.basis, found):
            needed = np.where(outside, np.inf, needed)
        needed = np.where(np.isfinite(needed), needed, np.inf)
        worst = np.max(np.atleast_1d(needed), axis=-1)
        return np.broadcast_to(worst, (self.shape[0], shares.shape[-2]))

    def nominal(self, required: Any) -> Any:
        """The nominal thickness for a required one over (pipe, ...); infinite where no thickness
        made is sufficient."""
        lines = choice_of_thickness(self.basis)
        if not lines:
            return required
        one: Any = (slice(None), *(None,) * (np.ndim(required) - 1))
        values = {
            key: np.asarray(value)[:, 0][one] if np.ndim(value) else value
            for key, value in self.inputs.items()
        }
        finite = np.where(np.isfinite(required), required, 0.0)
        found = run(lines, values | {"t_required": finite})["t"]
        return np.where(at_least(found, required), found, np.inf)


def of_task(task: PipeTask, uncertain: Sequence[Uncertainty]) -> Model:
    """The model of one pipe."""
    rows = [[each.value for each in station.inputs] for station in task.stations]
    names = [each.key for each in task.stations[0].inputs]
    inputs = {k: np.array([c]) for k, c in zip(names, zip(*rows, strict=True), strict=True)}
    return Model(task.basis, inputs, tuple(uncertain))


def reliability_index(model: Model, walls: Floats) -> Floats:
    """The reliability index of each pipe, without safety factor, for walls in the unit of the
    sheet: the smallest of all checks and stations, each of first order.

    It is the distance from the origin, in standard normal variables, of the nearest point at which
    the wall is just thick enough; negative where the wall is too thin for the values as stated,
    infinite where nothing that the inputs can be requires more, NaN where the search does not end.
    """
    _, stations = model.shape
    apart = {
        key: np.ravel(np.broadcast_to(value, model.shape))[:, None]
        for key, value in model.inputs.items()
    }
    each_station = replace(model, inputs=apart)
    from scipy.special import ndtr

    columns = len(model.uncertain)
    found = []
    for check in checks_of(model.basis):

        def margin(at: Floats, by: str = check.required) -> Floats:
            needed = each_station.required(ndtr(at), True, by)
            with np.errstate(all="ignore"):
                return np.asarray(np.log(np.repeat(walls, stations)[:, None] / needed))

        distances = _nearest(margin, len(walls) * stations, columns)
        found.append(distances.reshape(len(walls), stations).min(axis=1))
    return np.asarray(np.min(found, axis=0))


def _nearest(margin: Callable[[Floats], Floats], rows: int, columns: int) -> Floats:
    """The distance of the nearest point without margin for each row, infinite beyond `FAR`.

    By repeated linearisation (Hasofer and Lind, Rackwitz and Fiessler), each step as long as makes
    half the squared distance plus a penalty on the margin smallest. Its sign is that of the margin
    at the origin.
    """
    offsets = _STEP * np.concatenate([np.zeros((1, columns)), np.eye(columns), -np.eye(columns)])
    at, found = np.zeros((rows, columns)), np.full(rows, np.nan)
    first = margin(at[:, None, :])[:, 0]
    for _ in range(_ROUNDS):
        around = margin(at[:, None, :] + offsets)
        with np.errstate(all="ignore"):
            slope = (around[:, 1 : columns + 1] - around[:, columns + 1 :]) / (2 * _STEP)
            steep = np.linalg.norm(slope, axis=1)
            along = (np.sum(slope * at, axis=1) - around[:, 0]) / steep**2
            target = along[:, None] * slope
        size, far = np.linalg.norm(at, axis=1), np.linalg.norm(target, axis=1)
        there = np.abs(around[:, 0]) < _NEAR
        there &= np.linalg.norm(target - at, axis=1) < _CLOSE * (1 + size)
        found = np.where(np.isnan(found) & there, size, found)
        found = np.where(np.isnan(found) & ~(far < _AWAY), np.inf, found)
        if not np.isnan(found).any():
            break
        move = np.where(np.isnan(found)[:, None], target - at, 0.0)
        at = _best(margin, at, move, 2 * np.maximum(size, far) / np.maximum(steep, 1e-12))
    found = np.where(found > FAR, np.inf, found)
    return np.where(first < 0, -found, found)


def _best(margin: Callable[[Floats], Floats], at: Floats, move: Floats, penalty: Floats) -> Floats:
    """The best of the points along a move."""
    points = at[:, None, :] + _PARTS[:, None] * np.nan_to_num(move)[:, None, :]
    merit = np.sum(points**2, axis=2) / 2 + penalty[:, None] * np.abs(margin(points))
    chosen = np.argmin(np.where(np.isfinite(merit), merit, np.inf), axis=1)
    return np.asarray(points[np.arange(len(at)), chosen])
