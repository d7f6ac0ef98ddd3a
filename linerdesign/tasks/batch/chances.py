"""The chance that the walls of an inventory's rows are sufficient, row by row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import at_most
from linerdesign.methods.method import keys_read
from linerdesign.methods.task import PipeTask
from linerdesign.project.cost_keys import PRICED
from linerdesign.project.distributions import UNCERTAINTY
from linerdesign.project.faults import Place, fault
from linerdesign.project.keys import CRITERIA_KEYS, RESIN_KEYS
from linerdesign.project.models import Resin
from linerdesign.project.reading import Project
from linerdesign.tasks.uncertainty import inputs, sampling
from linerdesign.tasks.uncertainty.model import Model
from linerdesign.tasks.uncertainty.pipes import Wishes, index_of
from linerdesign.tasks.uncertainty.sampling import SCRAMBLES

Floats = NDArray[np.float64]
# Points of a scramble at first and at most, and the standard error of a chance aimed at.
FIRST, MOST, TOLERANCE = 2**6, 2**9, 0.005
# Designs at a time, rows and trials together: what memory holds.
DESIGNS = 2**19


def chances_of_rows(
    project: Project,
    resin: Resin,
    made: PipeTask,
    values: Mapping[str, Any],
    walls: Floats,
    wishes: Wishes,
) -> tuple[Floats, Floats]:
    """The chance that each wall meets all criteria, as a fraction, and its reliability index.

    `values` are the inputs of the rows by symbol, numbers or arrays; `walls` in the unit of the
    sheet. All rows have the same points: the chances are of each row by itself. Both are NaN where
    nothing of a row is uncertain.
    """
    stated = {**project.uncertainty, **inputs.of_resin(resin)}
    own = [
        inputs.moving(each, values[each.key])
        for each in made.stations[0].inputs
        if each.key != inputs.WATER or np.any(values[each.key])
    ]
    found = inputs.uncertainties(stated, own, made.basis.system, wishes.usual)
    read = keys_read(made.basis)
    found = tuple(each for each in found if each.key in read)
    chance, index = np.full(len(walls), np.nan), np.full(len(walls), np.nan)
    if not found:
        return chance, index
    for some in _chunks(len(walls)):
        rows = {k: v[some, None] if np.ndim(v) else np.asarray(v) for k, v in values.items()}
        chance[some], index[some] = _chances(Model(made.basis, rows, found), walls[some], wishes)
    return chance, index


def _chunks(rows: int) -> Iterator[slice]:
    size = DESIGNS // (SCRAMBLES * MOST)
    yield from (slice(first, first + size) for first in range(0, rows, size))


def _chances(model: Model, walls: Floats, wishes: Wishes) -> tuple[Floats, Floats]:
    """Doubles the trials of the rows whose chance is not known well enough."""
    columns, count = len(model.uncertain), len(walls)
    enough, carries = (np.zeros((count, SCRAMBLES), np.int64) for _ in range(2))
    trials, active = np.zeros(count, np.int64), np.arange(count)
    for block in sampling.blocks(wishes.seed, columns, MOST, FIRST):
        points = np.concatenate(block)[None]
        rows = {k: v[active] if np.ndim(v) else v for k, v in model.inputs.items()}
        some = replace(model, inputs=rows)
        for counted, without_factor in ((enough, False), (carries, True)):
            holds = at_most(some.required(points, without_factor), walls[active, None])
            counted[active] += holds.reshape(len(active), *block.shape[:2]).sum(axis=2)
        trials[active] += points.shape[1]
        means = enough[active] * SCRAMBLES / trials[active, None]
        active = active[sampling.error_of(means.T) > TOLERANCE]
        if not len(active):
            break
    failing = trials - carries.sum(axis=1)
    index, _ = index_of(model, walls, failing, trials)
    return enough.sum(axis=1) / trials, index


def refuse_unused(project: Project, columns: tuple[str, ...], usual: bool) -> None:
    """Refuses uncertainties of values that no column, default or resin gives.

    Raises:
        InputFaults: each of them, or where none is stated at all and not the usual ones are taken.
    """
    known = {*columns, *project.criteria.defaults.given, *RESIN_KEYS, *CRITERIA_KEYS, *PRICED}
    place = Place(table=f"[{UNCERTAINTY}]", path=(UNCERTAINTY,))
    faults = [
        fault("uncertainty.no_column", place.at(name), each.text)
        for name, each in project.uncertainty.items()
        if name not in known
    ]
    stated = project.uncertainty or any(inputs.of_resin(each) for each in project.resins)
    if not (stated or usual):
        faults.append(fault("uncertainty.none", project.file_name or "the project"))
    if faults:
        raise project.located(faults)
