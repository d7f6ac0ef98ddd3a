"""A ring without a cavity, by the elements of the numerical model: textbooks have its numbers."""

from dataclasses import replace
from functools import cache

import numpy as np
from scipy.linalg import eigvals_banded

from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.creep import ONE_TIME, Law, Memory, chain_of
from linerdesign.methods.ring.lasting import _after, _Moment, _Shrinkage
from linerdesign.methods.ring.path import Factors, Path

THIN = Case(150.0, gap=0.05, imperfection=0.0, pressure_on="middle surface")


def free_ring(case):
    """The ring without a cavity, at no pressure."""
    path = Path(replace(case.ring(), contact=None), case.path().scale)
    path.start()
    return path


def critical(path, case):
    """p/E* at which the oval ring would buckle, from how its pressed shape grows (Southwell)."""
    points = []
    for share in (0.2, 0.5):
        pressure = share * 2.0 / (case.dimension_ratio - 1.0) ** 3
        point = path.under(np.zeros(path.ring.numbers.unknowns), pressure)
        points.append((oval(case, path, point), pressure))
    (one, p1), (two, p2) = points
    return (two - one) / (two / p2 - one / p1)


def oval(case, path, point):
    """By how much the ring has become more oval: what it lost in height, and gained in width."""
    moved = path.ring.numbers.spread(point.vector)
    height = moved[case.elements, 1] - moved[0, 1]
    return float(moved[case.elements // 2, 0] - 0.5 * height)


def march(path, pressure, law, times):
    """The ovals at these times, of a ring without a cavity."""
    case = Case(60.0)
    point = path.under(np.zeros(path.ring.numbers.unknowns), pressure)
    memory = Memory(chain_of(law), path.ring.strains(point.vector))
    now, found = _Moment(0.0, path, point, memory), []
    for time in times:
        now = _after(now, time - now.time, _Shrinkage(case, law, 0.0))
        found.append(oval(case, now.path, now.point))
    return oval(case, path, point), np.array(found)


def _radius(case):
    return 1.0 - case.gap - 0.5 * case.thickness


def _directions(ring, point):
    """In how many ways the ring moves off by itself."""
    matrix = ring.state(point.vector, point.pressure).band[ring.numbers.bandwidth :]
    return len(eigvals_banded(matrix, lower=True, select="v", select_range=(-1e6, 0.0)))


@cache
def buckling(waves):
    """p R^3/(E* I) at which a thin ring buckles into so many waves, by bisection.

    Waves are counted by the directions in which the evenly shrunk ring moves off by itself.
    """
    case, path = THIN, free_ring(THIN)
    unit = case.thickness**3 / 12.0 / _radius(case) ** 3
    low, high = 0.5 * (waves**2 - 1) * unit, 1.5 * (waves**2 - 1) * unit
    nothing = np.zeros(path.ring.numbers.unknowns)
    while high - low > 1e-4 * unit:
        middle = 0.5 * (low + high)
        if _directions(path.ring, path.under(nothing, middle)) < waves - 1:
            low = middle
        else:
            high = middle
    return low / unit


@cache
def squeezed():
    """Loss of the diameter under two opposite loads P, and gain of the other one: over
    P R^3/(E* I)."""
    case, path = THIN, free_ring(THIN)
    ring = path.ring
    numbers = ring.numbers.of_nodes
    pushed = np.zeros(ring.numbers.unknowns)
    pushed[numbers[-1, 1]], pushed[numbers[0, 1]] = -0.5, 0.5
    state = ring.state(np.zeros(ring.numbers.unknowns), 0.0)
    moved = ring.numbers.spread(Factors.of(state).solve(pushed))
    unit = _radius(case) ** 3 / (case.thickness**3 / 12.0)
    across = 2.0 * moved[case.elements // 2, 0]
    return (moved[0, 1] - moved[-1, 1]) / unit, across / unit


@cache
def crept(share, times):
    """Growth of an oval under `share` of the buckling pressure: whole oval after so many times of
    retardation over that at once, of a standard linear solid that keeps half its modulus."""
    case = Case(60.0, gap=0.02, ovality=2e-4, imperfection=0.0, pressure_on="middle surface")
    path = free_ring(case)
    law = Law(ONE_TIME, 0.5, 1000.0, 438_000.0)
    steps = np.linspace(0.0, 1000.0 * times, 10 * times + 1)[1:]
    first, found = march(path, share * critical(path, case), law, steps)
    start = first * (1.0 - share) / share
    return (start + found[-1]) / (start + first)
