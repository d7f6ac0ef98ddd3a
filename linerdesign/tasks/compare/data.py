"""A comparison of resins as JSON data."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from linerdesign.documents.json import FORMAT, amount, picked
from linerdesign.documents.second import other_data
from linerdesign.methods.verdicts import FAILS
from linerdesign.project.quantities import currencies
from linerdesign.tasks.compare.comparison import Compared
from linerdesign.tasks.compare.ranking import Ends, Ranked, Totals, least, without_length
from linerdesign.tasks.compare.remarks import Remark
from linerdesign.tasks.compare.report import why_unranked
from linerdesign.tasks.compare.systems import Option, Wall


def comparison_data(compared: Compared) -> dict[str, Any]:
    """The result of `compare`. Figures in pairs are by the worst and the best properties."""
    table = compared.table
    names = [each.resin.name for each in table[0]]
    pipes = [row[0].pipe.name for row in table]
    return {
        "format": FORMAT,
        "reference": compared.reference.name,
        "ranked_by": compared.by,
        "pipes_without_length": list(without_length(table)),
        "ranking": [
            _ranked(each, compared.remarks[each.resin.name], compared) for each in compared.order
        ],
        "assignments": [
            {
                "most_systems": each.most,
                "cost": each.total,
                "resins": [names[column] for column in each.systems],
                "pipes": {pipes[row]: names[column] for row, column in each.chosen},
            }
            for each in compared.assignments
        ],
        "break_even": [
            {
                "resin": each.resin.name,
                "pipes_in_common": each.pipes,
                "cost": each.cost,
                "reference_cost": each.reference_cost,
                "price_per_kg": each.own_price,
                "break_even_price_per_kg": each.price,
                "break_even_thickness": {name: amount(t, "mm") for name, t in each.thicknesses},
            }
            for each in compared.break_evens
        ],
        "exchanged": [asdict(each) for each in compared.effects],
        "pipes": [_pipe(row, compared.by) for row in table],
        **_chances(compared),
    }


def _chances(compared: Compared) -> dict[str, Any]:
    """What the uncertainty of the inputs does, where that is wished for."""
    if compared.chances is None:
        return {}
    from linerdesign.tasks.compare import chances_report

    return {"uncertainty": chances_report.data(compared, compared.chances)}


def _ranked(each: Ranked, remarks: tuple[Remark, ...], compared: Compared) -> dict[str, Any]:
    money = _currency(each)
    return {
        "rank": each.rank,
        "unranked": why_unranked(each, compared.table),
        "resin": each.resin.name,
        "pipes_failed": each.failing,
        **_totals(each.own, money),
        "in_common": {"pipes": len(each.common.pipes), **_totals(each.common, money)},
        **picked(each.resin, "evidence", "evidence_grade"),
        "remarks": [
            {"severity": r.note.severity.value, "text": r.note.text, "pipes": list(r.pipes)}
            for r in remarks
        ],
    }


def _totals(found: Totals, money: str) -> dict[str, Any]:
    return {
        "mean_nominal_thickness": _ends(found.thickness, "mm"),
        "mass": _ends(found.mass, "kg"),
        "carbon": _ends(found.carbon, "kg"),
        "cost": _ends(found.cost, money),
        "annual_cost": _ends(found.annual_cost, money),
    }


def _currency(each: Ranked) -> str:
    return ", ".join(currencies([each.resin]))


def _pipe(row: tuple[Option, ...], by: str) -> dict[str, Any]:
    return {
        "name": row[0].pipe.name,
        "thinnest": list(least(row)),
        "tie": len(least(row)) > 1,
        "thinnest_by_best_properties": list(least(row, best=True)),
        "choice": list(least(row, by)),
        "choice_by_best_properties": list(least(row, by, best=True)),
        "resins": [_option(each) for each in row],
    }


def _ends(ends: Ends | None, unit: str) -> dict[str, Any] | None:
    return ends and {"value": ends[0], "best": ends[1], "unit": unit}


def _option(found: Option) -> dict[str, Any]:
    worst, best = found.wall, found.best
    why = "; ".join(found.reasons)
    if worst is None or best is None:
        return {"resin": found.resin.name, "status": FAILS, "why": why}
    money = ", ".join(currencies([found.resin]))
    return {
        "resin": found.resin.name,
        "status": worst.status,
        "why": why,
        "required_thickness": _ends((worst.required, best.required), "mm"),
        "nominal_thickness": _ends((worst.nominal, best.nominal), "mm"),
        "delivered_thickness": _both(worst, best, "delivered", "mm"),
        "governing": worst.governing,
        "next_step_down": worst.next_down,
        "margin": worst.margin,
        "floor_holds": worst.minimum_governs,
        "mass_per_metre": _both(worst, best, "mass", "kg"),
        "carbon_per_metre": _both(worst, best, "carbon", "kg"),
        "cost_per_metre": _both(worst, best, "cost", money),
        **({"second_method": other_data(worst.second)} if worst.second else {}),
    }


def _both(worst: Wall, best: Wall, what: str, unit: str) -> dict[str, Any] | None:
    ends = getattr(worst, what), getattr(best, what)
    return None if None in ends else _ends(ends, unit)
