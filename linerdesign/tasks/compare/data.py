"""A comparison of resins as JSON data."""

from __future__ import annotations

from typing import Any

from linerdesign.documents.json import FORMAT
from linerdesign.project.quantities import currency
from linerdesign.tasks.compare.comparison import Compared
from linerdesign.tasks.compare.footing import Remark
from linerdesign.tasks.compare.ranking import Standing, least, without_length
from linerdesign.tasks.compare.systems import Answer


def comparison_data(compared: Compared) -> dict[str, Any]:
    """The result of `compare`. Figures in pairs are by the worst and the best properties."""
    return {
        "format": FORMAT,
        "reference": compared.reference.name,
        "ranked_by": compared.by,
        "pipes_without_length": list(without_length(compared.table)),
        "ranking": [_standing(each, compared.remarks[each.resin.name]) for each in compared.order],
        "pipes": [_pipe(row, compared.by) for row in compared.table],
    }


def _standing(each: Standing, remarks: tuple[Remark, ...]) -> dict[str, Any]:
    return {
        "rank": each.rank,
        "unranked": each.unranked,
        "resin": each.resin.name,
        "pipes_failed": each.failing,
        "mean_nominal_thickness": _ends(each.thickness, "mm"),
        "mass": _ends(each.mass, "kg"),
        "cost": _ends(each.cost, currency(each.resin)),
        "evidence": each.resin.evidence,
        "remarks": [
            {"severity": r.note.severity.value, "text": r.note.text, "pipes": list(r.pipes)}
            for r in remarks
        ],
    }


def _pipe(row: tuple[Answer, ...], by: str) -> dict[str, Any]:
    return {
        "name": row[0].pipe.name,
        "thinnest": list(least(row)),
        "tie": len(least(row)) > 1,
        "thinnest_by_best_properties": list(least(row, best=True)),
        "choice": list(least(row, by)),
        "choice_by_best_properties": list(least(row, by, best=True)),
        "resins": [_answer(each) for each in row],
    }


def _ends(ends: tuple[float, float] | None, unit: str) -> dict[str, Any] | None:
    if ends is None:
        return None
    return {"value": ends[0], "best": ends[1], "unit": unit}


def _answer(found: Answer) -> dict[str, Any]:
    worst, best = found.worst, found.best
    if worst is None or best is None:
        return {"resin": found.resin.name, "status": "fails", "why": found.fails}
    mass = None if worst.mass is None or best.mass is None else (worst.mass, best.mass)
    cost = None if worst.cost is None or best.cost is None else (worst.cost, best.cost)
    return {
        "resin": found.resin.name,
        "status": worst.result.status,
        "why": found.fails,
        "required_thickness": _ends((worst.required, best.required), "mm"),
        "nominal_thickness": _ends((worst.nominal, best.nominal), "mm"),
        "governing": worst.result.governing,
        "next_step_down": worst.next_down,
        "margin": worst.margin,
        "floor_holds": worst.floor_holds,
        "mass_per_metre": _ends(mass, "kg"),
        "cost_per_metre": _ends(cost, currency(found.resin)),
    }
