"""The cheapest system for each pipe with at most so many systems, mobilisation included."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linerdesign.project.models import Resin
from linerdesign.project.quantities import currencies, mobilisation, yearly
from linerdesign.tasks.compare.ranking import value, without_length
from linerdesign.tasks.compare.systems import Option, Table

MOST_SYSTEMS = 4


@dataclass(frozen=True)
class Assignment:
    """A system for each pipe that any satisfies; `chosen` maps rows of the table to columns.

    `total` holds resin and tube over all lengths and the mobilisation of the systems used;
    none, and nothing chosen, where no `most` systems satisfy all those pipes.
    """

    most: int
    total: float | None
    chosen: tuple[tuple[int, int], ...]

    @property
    def systems(self) -> tuple[int, ...]:
        """Columns of the systems used."""
        return tuple(sorted({column for _, column in self.chosen}))


def assignments(table: Table, by: str, discount: float) -> tuple[Assignment, ...]:
    """The cheapest with at most 1, 2, … systems; none where costs can't be added up.

    `by` is `cost` or `annual-cost`, the latter at the `discount` rate a year, a fraction. Pipes
    that no system satisfies are left out.
    """
    resins = [each.resin for each in table[0]]
    if without_length(table) or len(currencies(resins)) != 1 or len(resins) < 2:
        return ()
    costs = np.array([[_cost(each, by) for each in row] for row in table])
    rows = np.flatnonzero(np.isfinite(costs).any(axis=1))
    if not len(rows):
        return ()
    fixed = np.array([_once(each, by, discount) for each in resins])
    most = min(MOST_SYSTEMS, len(resins))
    return tuple(_cheapest(costs[rows], rows, fixed, n) for n in range(1, most + 1))


def _cost(option: Option, by: str) -> float:
    """Cost over the length of the pipe; infinite where the resin can't be used or priced."""
    per_metre, length = value(option, by), option.pipe.length
    return np.inf if per_metre is None or length is None else per_metre * length.to("m")


def _once(resin: Resin, by: str, discount: float) -> float:
    """The mobilisation, or its yearly payment; a resin without a life is not priced by year."""
    total = mobilisation(resin)
    return total if by == "cost" else yearly(total, resin, discount) or 0.0


def _cheapest(
    costs: NDArray[np.float64], rows: NDArray[np.int64], fixed: NDArray[np.float64], most: int
) -> Assignment:
    """The mixed-integer program: one system a pipe, only of the systems mobilised."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array, eye_array, hstack, kron

    pipes, systems = costs.shape
    usable = np.isfinite(costs)
    objective = np.concatenate([np.where(usable, costs, 0.0).ravel(), fixed])
    upper = np.concatenate([usable.ravel(), np.ones(systems)])
    one_each = kron(eye_array(pipes), np.ones((1, systems)))
    one_each = hstack([one_each, coo_array((pipes, systems))])
    mobilised = hstack([eye_array(pipes * systems), -kron(np.ones((pipes, 1)), eye_array(systems))])
    counted = np.concatenate([np.zeros(pipes * systems), np.ones(systems)])[None]
    found = milp(
        objective,
        integrality=np.concatenate([np.zeros(pipes * systems), np.ones(systems)]),
        bounds=Bounds(0, upper),
        constraints=[
            LinearConstraint(one_each, 1, 1),
            LinearConstraint(mobilised, ub=0),
            LinearConstraint(counted, ub=most),
        ],
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None:
        return Assignment(most, None, ())
    # For the systems mobilised, the cheapest of each pipe: exact where the solver has a tolerance.
    used = np.flatnonzero(np.rint(found.x[pipes * systems :]))
    columns = used[np.argmin(costs[:, used], axis=1)]
    total = costs[np.arange(pipes), columns].sum() + fixed[np.unique(columns)].sum()
    chosen = tuple(zip(rows.tolist(), columns.tolist(), strict=True))
    return Assignment(most, float(total), chosen)
