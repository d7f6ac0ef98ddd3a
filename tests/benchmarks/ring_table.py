"""Writes the table of the encased ring for studies of many pipes: `python ring_table.py OUTPUT`.

Every point is followed from no pressure and judged as a pipe is, without the check of the mesh. It
takes some minutes.
"""

from __future__ import annotations

import sys
from itertools import product
from pathlib import Path

import numpy as np
from scipy.interpolate import PchipInterpolator

from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.collapse import judged
from linerdesign.methods.ring.solving import solve
from linerdesign.methods.ring.study import AXES, STRESSES


def point(dimension_ratio: float, gap: float, ovality: float, bulge: float) -> list[float]:
    """ln K at elastic collapse, then at each stress of `STRESSES`; K of collapse where no fibre
    has the stress before."""
    case = Case(dimension_ratio, gap, ovality, bulge)
    found = judged(solve(case), check_mesh=False)
    if found.pressure_ratio is None:
        raise ArithmeticError(f"{case}: {found.reason}")
    solution = found.solution
    pressures = np.maximum.accumulate([each.pressure for each in solution.rising])
    stresses = np.maximum.accumulate(solution.stresses.max(axis=1))
    kept = np.concatenate([[False], np.diff(stresses) > 0.0]) & (pressures > 0.0)
    path = PchipInterpolator(np.log(stresses[kept]), np.log(pressures[kept]), extrapolate=False)
    logs = np.nan_to_num(path(np.log(STRESSES)), nan=np.inf)
    # Below the first point stress grows with pressure.
    first = int(np.argmax(kept))
    low = stresses[first] > STRESSES
    logs[low] = np.log(pressures[first] * STRESSES[low] / stresses[first])
    top = np.log(found.pressure_ratio)
    return [float(np.log(case.enhancement(np.exp(min(each, top))))) for each in (top, *logs)]


def main() -> None:
    """Solves the grid."""
    shape = tuple(len(nodes) for nodes in AXES.values())
    rows = []
    for count, place in enumerate(product(*AXES.values())):
        rows.append(point(*map(float, place)))
        Case.ring.cache_clear()
        if count % 100 == 0:
            print(count, "of", np.prod(shape), flush=True)
    table = np.array(rows, dtype=np.float32).reshape(*shape, 1 + len(STRESSES))
    np.savez_compressed(Path(sys.argv[1]), logs=table)


if __name__ == "__main__":
    main()
