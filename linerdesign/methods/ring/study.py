"""The encased ring for many pipes at once: a table of the numerical model, read by interpolation.

The table was solved once over the range in which the model has been checked, for Poisson's ratio
0.3; `tests/benchmarks/ring_table.py` writes it. Its error against the model was measured on random
liners that are no points of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np

from linerdesign.methods.ring.contact import Floats

AXES: dict[str, Floats] = {
    "dimension_ratio": np.geomspace(10.0, 150.0, 10),
    "gap": np.array([0.0, 0.001, 0.0025, 0.005, 0.01, 0.018, 0.03]),
    "ovality": np.array([0.0, 0.02, 0.05, 0.10]),
    "imperfection": np.array([0.0005, 0.002, 0.006, 0.0125, 0.02, 0.03]),
}
"""Nodes of the table."""

STRESSES = np.geomspace(0.002, 0.06, 9)
"""Stresses over E* at which it has the pressure of first strength."""

COLLAPSE_ERROR = 0.01
"""Greatest error of elastic collapse against the model, as a share, in the liners tried."""

FIRST_ERROR, FIRST_WORST = 0.03, 0.08
"""The same for the lesser of collapse and first strength: in 95 of 100 liners, and in any. Most
off are thick liners that jump inwards across a gap."""

POISSON = (0.25, 0.35)
"""Poisson's ratios for which a table of 0.3 is good."""


@dataclass(frozen=True)
class Tabled:
    """Pressures of many liners over E*, each (n,): NaN outside the table.

    `first` is infinite where no fibre reaches the strength before collapse.
    """

    collapse: Floats
    first: Floats


@cache
def _interpolator() -> Any:
    from scipy.interpolate import RegularGridInterpolator

    table = files("linerdesign.methods.ring") / "table.npz"
    with table.open("rb") as file, np.load(file) as stored:
        logs = stored["logs"].astype(float)
    nodes = tuple(_coordinates(*AXES.values()))
    return RegularGridInterpolator(nodes, logs, method="cubic")


def _coordinates(ratio: Floats, gap: Floats, ovality: Floats, bulge: Floats) -> tuple[Floats, ...]:
    """Coordinates in which the table is smooth."""
    return np.log(ratio), np.sqrt(gap), ovality, np.log(bulge)


def inside(ratio: Floats, gap: Floats, ovality: Floats, bulge: Floats, poisson: Floats) -> Any:
    """Which liners (n,) the table covers."""
    given = (ratio, gap, ovality, bulge)
    ends = [(nodes[0], nodes[-1]) for nodes in AXES.values()]
    checks = [(low <= each) & (each <= high) for each, (low, high) in zip(given, ends, strict=True)]
    return np.all([*checks, (poisson >= POISSON[0]) & (poisson <= POISSON[1])], axis=0)


def tabled(
    ratio: Floats, gap: Floats, ovality: Floats, bulge: Floats, poisson: Floats, strength: Floats
) -> Tabled:
    """Collapse and first strength of many liners; all arguments (n,), `strength` over E*."""
    good = inside(ratio, gap, ovality, bulge, poisson)
    collapse, first = np.full(len(ratio), np.nan), np.full(len(ratio), np.nan)
    if good.any():
        at = np.column_stack([each[good] for each in _coordinates(ratio, gap, ovality, bulge)])
        logs = _interpolator()(at)
        scale = np.log(0.5 * (ratio[good] - 1.0) ** 3)
        collapse[good] = np.exp(logs[:, 0] - scale)
        first[good] = _first(logs - scale[:, None], np.log(strength[good]))
    return Tabled(collapse, first)


def _first(logs: Floats, strength: Floats) -> Floats:
    """Pressure of first strength from the logarithms (n, s) of pressures at each stress."""
    stresses = np.log(STRESSES)
    found = np.array(
        [np.interp(s, stresses, row) for s, row in zip(strength, logs[:, 1:], strict=True)]
    )
    below = np.minimum(strength - stresses[0], 0.0)
    found = found + below
    return np.where(found < logs[:, 0] - 1e-3, np.exp(found), np.inf)
