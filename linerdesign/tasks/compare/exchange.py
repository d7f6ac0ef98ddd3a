"""Effects of the long-term and of the initial modulus: single properties of a resin exchanged."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.lines import run
from linerdesign.methods.method import constants, requirement
from linerdesign.project.models import Resin
from linerdesign.project.reading import Project
from linerdesign.tasks.compare.systems import Case, Table, grouped
from linerdesign.tasks.walls import in_mm


@dataclass(frozen=True)
class Effects:
    """Required thickness in one pipe, in mm, when properties of the reference become another's."""

    pipe: str
    resin: str
    reference: float
    long_term_modulus: float
    initial_modulus: float
    all_properties: float


def effects(
    project: Project, reference: Resin, cases: Iterable[Case], table: Table
) -> tuple[Effects, ...]:
    """The effects of every other resin's moduli, pipe by pipe; none where either has no wall."""
    column = project.resins.index(reference)
    at_worst = [case for case in cases if not case.best]
    moduli = {case.column: case.made.stations[0].values for case in at_worst}
    others = sorted(moduli.keys() - {column})
    found: dict[tuple[int, int], Effects] = {}
    for group, values in grouped(case for case in at_worst if case.column == column):
        basis = group[0].made.basis
        changed = _changed(moduli[column], [moduli[each] for each in others])
        fixed = {each.key: each.value for each in constants(basis)}
        required = run(requirement(basis), values | fixed | changed)["t_required"]
        # Where no modulus governs, the thickness has neither of their axes.
        axes = np.broadcast_shapes(changed["E"].shape, np.shape(values["D"]))
        in_each = in_mm(basis, np.max(np.broadcast_to(required, axes), axis=3))
        for (long, initial), other in zip(in_each.transpose(1, 0, 2), others, strict=True):
            for i, case in enumerate(group):
                ours, theirs = table[case.row][column].wall, table[case.row][other].wall
                if ours and theirs:
                    found[case.row, other] = Effects(
                        pipe=project.pipes[case.row].name,
                        resin=project.resins[other].name,
                        reference=ours.required,
                        long_term_modulus=float(long[i]),
                        initial_modulus=float(initial[i]),
                        all_properties=theirs.required,
                    )
    return tuple(found[key] for key in sorted(found))


def _changed(
    reference: Mapping[str, float], others: Sequence[Mapping[str, float]]
) -> dict[str, NDArray[np.float64]]:
    """The reference's modulus and retention over (long-term or initial exchanged, resin, 1, 1).

    The retention is moved against the other modulus, so that each is changed alone.
    """
    base, kept = reference["E"], reference["r_E"]
    initial, theirs = (np.array([each[key] for each in others]) for key in ("E", "r_E"))
    moduli = np.stack([np.full(len(others), base), initial])
    retentions = np.stack([theirs * initial / base, kept * base / initial])
    return {"E": moduli[..., None, None], "r_E": retentions[..., None, None]}
