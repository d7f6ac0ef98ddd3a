"""The nominal thickness of every cell of a planning table for a chosen confidence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from linerdesign.expressions.tolerance import at_most
from linerdesign.methods.basis import Basis
from linerdesign.methods.method import keys_read
from linerdesign.methods.symbols import KEY_OF
from linerdesign.project.cost_keys import PRICED
from linerdesign.project.distributions import ABOUT, LOGNORMAL, NORMAL, UNCERTAINTY, Distribution
from linerdesign.project.faults import InputFaults, Place, fault
from linerdesign.project.keys import COVER_DATUMS, DIAMETERS, WATER_DATUMS
from linerdesign.tasks.plan.table import Entry, Plan, Table, values_over
from linerdesign.tasks.plan.table import Place as Station
from linerdesign.tasks.uncertainty import inputs, sampling
from linerdesign.tasks.uncertainty.inputs import Uncertainty
from linerdesign.tasks.uncertainty.model import Floats, Model
from linerdesign.tasks.uncertainty.pipes import Columns, Wishes, by_scramble
from linerdesign.tasks.uncertainty.sampling import TOLERANCE
from linerdesign.tasks.walls import made_in_mm

# Cells drawn together, and points of a scramble at most: what memory holds.
CELLS, MOST = 64, 4_096


@dataclass(frozen=True)
class Drawn:
    """How the thicknesses were found: see `Wishes` and `sampling`."""

    wishes: Wishes
    trials: int
    converged: bool
    inputs: tuple[tuple[str, Uncertainty, str], ...]


def with_confidence(plan: Plan, wishes: Wishes) -> Plan:
    """The plan with the thickness of each cell that is sufficient with the confidence wished for.

    Raises:
        InputFaults: uncertainties of values that are not there, or none at all; of an axis, one
            that is not about the value.
    """
    _refuse_unused(plan)
    studies = [_Study(plan, table, wishes) for table in plan.tables]
    drawn = [each for study in studies for each in study.drawn]
    if not drawn:
        raise InputFaults([fault("uncertainty.none", plan.project.file_name or "the project")])
    tables = tuple(
        replace(table, entries=dict(_entries(plan, table, study)))
        for table, study in zip(plan.tables, studies, strict=True)
    )
    trials = max(study.trials for study in studies)
    converged = all(study.converged for study in studies)
    about = Drawn(wishes, trials, converged, tuple(dict.fromkeys(drawn)))
    return replace(plan, tables=tables, drawn=about)


def _entries(
    plan: Plan, table: Table, study: _Study
) -> Iterator[tuple[tuple[str, str, str], Entry]]:
    """The cells of a table by their texts; without anything uncertain, each as it is."""
    cells = [(w.text, c.text, d.text) for w, c, d in plan.axes.grid]
    entries = [table.entries[cell] for cell in cells]
    found = study.run() if study.columns else (each.nominal for each in entries)
    for cell, entry, nominal in zip(cells, entries, found, strict=True):
        yield cell, replace(entry, confident=nominal)


class _Study:
    """The cells of one table; all stations of a cell move together."""

    trials, converged = 0, True

    def __init__(self, plan: Plan, table: Table, wishes: Wishes) -> None:
        self.seed, self.confidence = wishes.seed, wishes.confidence
        self.cells = len(plan.axes.grid)
        self.columns, self.drawn = Columns(), list[tuple[str, Uncertainty, str]]()
        of_basis: dict[Basis, list[Station]] = {}
        for place in table.places:
            of_basis.setdefault(place.made.basis, []).append(place)
        self.models: list[tuple[Model, list[int]]] = []
        pipe, resin = plan.pipe.name, table.resin.name
        for basis, own in of_basis.items():
            values, read = values_over(own, plan.axes), keys_read(basis)
            given = [inputs.moving(e, values[e.key]) for e in own[0].made.stations[0].inputs]
            stated = inputs.uncertainties(_stated(plan, table), given, plan.system, wishes.usual)
            found = tuple(each for each in stated if each.key in read)
            places = self.columns.of(found, pipe, resin)
            self.models.append((Model(basis, values, found), places))
            self.drawn += [(pipe, each, inputs.scope(each.name, pipe, resin)) for each in found]

    def run(self) -> Iterator[float]:
        """The nominal thickness of every cell in mm; infinite where none made is sufficient."""
        for first in range(0, self.cells, CELLS):
            some = slice(first, first + CELLS)
            models = [
                (replace(m, inputs={k: v[some] for k, v in m.inputs.items()}), places)
                for m, places in self.models
            ]
            needed = self._quantiles(models)
            nominal = models[0][0].nominal(needed[:, None])[:, 0]
            yield from made_in_mm(models[0][0].basis, nominal).tolist()

    def _quantiles(self, models: Sequence[tuple[Model, list[int]]]) -> Floats:
        """The required thickness for the confidence, of some cells."""
        parts: list[Floats] = []
        error, done = np.inf, 0
        for block in sampling.blocks(self.seed, len(self.columns), MOST):
            points = np.concatenate(block)[None]
            drawn = [model.required(points[..., places]) for model, places in models]
            parts.append(np.max(drawn, axis=0))
            every = np.concatenate(parts, axis=1)
            done += block.shape[1]
            quantile = np.quantile(every, self.confidence, axis=1, method="higher")
            means = [
                sum(by_scramble(at_most(part[cell], quantile[cell])) for part in parts) / done
                for cell in range(len(every))
            ]
            error = float(np.max(sampling.error_of(np.array(means).T)))
            if error <= TOLERANCE:
                break
        self.trials = max(self.trials, done * sampling.SCRAMBLES)
        self.converged &= error <= TOLERANCE
        return np.asarray(quantile)


def _stated(plan: Plan, table: Table) -> dict[str, Distribution]:
    """What is stated, by key: that of another datum of the water or the cover is of the axis."""
    found = {}
    for name, each in inputs.stated_of(plan.project, plan.pipe, table.resin).items():
        axis = next((to for keys, to in _axes(plan) if name in keys), name)
        found[axis] = each
        of_value = axis != name and each.shape in (ABOUT, NORMAL, LOGNORMAL)
        relative = of_value and each.numbers[0].unit == "%"
        if axis in plan.axes.columns and (relative or not each.about_value):
            place = Place(table=f"[{UNCERTAINTY}]", path=(UNCERTAINTY,))
            raise InputFaults([fault("uncertainty.own_values", place.at(name), each.text)])
    return found


def _axes(plan: Plan) -> tuple[tuple[tuple[str, ...], str], ...]:
    """The keys that state what an axis varies, and the key of the axis."""
    return (
        (WATER_DATUMS, plan.axes.water_key),
        (COVER_DATUMS, "cover"),
        (DIAMETERS, "host_diameter"),
    )


def _refuse_unused(plan: Plan) -> None:
    """Refuses uncertainties of values that no table has."""
    known = {e.key for t in plan.tables for p in t.places for e in p.made.stations[0].inputs}
    stated = {name: each for table in plan.tables for name, each in _stated(plan, table).items()}
    place = Place(table=f"[{UNCERTAINTY}]", path=(UNCERTAINTY,))
    faults = [
        fault("uncertainty.no_such_value", place.at(name), each.text)
        for name, each in stated.items()
        if KEY_OF.get(name) not in known and name not in PRICED
    ]
    if faults:
        raise InputFaults(faults)
