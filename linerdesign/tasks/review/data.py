"""A review as JSON data. The keys are relied upon by other programs."""

from __future__ import annotations

from typing import Any

from linerdesign.documents import thin_wall
from linerdesign.documents.json import (
    FORMAT,
    amount,
    amount_of,
    check_data,
    millimetres,
    picked,
    thickness,
)
from linerdesign.documents.legs import data as legs_data
from linerdesign.documents.second import second_data
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.tasks.review.alternatives import Alternative
from linerdesign.tasks.review.comments import Comment
from linerdesign.tasks.review.explain import Explanation, main_item, reproduced
from linerdesign.tasks.review.recheck import Comparison, Recheck
from linerdesign.tasks.review.replay import ReplayedLine
from linerdesign.tasks.review.reviewing import Reviewed, disposition, general
from linerdesign.tasks.review.sensitivity import Sensitivity
from linerdesign.tasks.review.submittal import Item
from linerdesign.tasks.review.wording import by_chance_text, explanation_text, telling_apart


def review_data(reviewed: tuple[Reviewed, ...], units: str) -> dict[str, Any]:
    """The result of `review`."""
    return {
        "format": FORMAT,
        "units": units,
        "proposed_disposition": disposition(reviewed),
        "pipes": [_pipe(each) for each in reviewed],
        "general_comments": [_comment(number, each) for number, each in general(reviewed)],
    }


def _pipe(each: Reviewed) -> dict[str, Any]:
    found = each.found
    sized, system = found.sized, found.sized.basis.system
    checked = found.checked
    return {
        "name": sized.name,
        "comparisons": [_comparison(compared) for compared in found.comparisons],
        "verdict": found.verdict,
        "replay": [_replayed(line) for line in found.replay],
        "first_departure": found.first_departure,
        "contradictions": [picked(each, "items", "text") for each in found.contradictions],
        "explanations": [_explanation(each, found) for each in found.explanations],
        "number_of_check": found.own.equation if found.own else None,
        "required_thickness": thickness(sized.required_thickness, system),
        "nominal_thickness": millimetres(sized.nominal_thickness, system),
        "reviewed_thickness": None if found.wall is None else millimetres(found.wall, system),
        "rounded_up_by_us": found.rounded_up_by_us,
        "safety_factor": found.lowest_factor,
        "checks": [check_data(check, system) for check in (checked.checks if checked else ())],
        "legs": legs_data(found.lined, system) if found.lined else [],
        "allowable": thin_wall.data(found.thin) if found.thin else [],
        "instead": [_instead(value, system) for value in found.alternatives],
        "compliance": [
            {
                "clause": clause.name,
                "asked": clause.required,
                "shown": clause.submitted,
                "status": clause.status,
                "default": clause.default,
            }
            for clause in each.clauses
        ],
        "sensitivity": _sensitivity(each.moved, system),
        "side_by_side": [_beside(result) for result in each.side_by_side],
        "comments": [_comment(each.first + i, c) for i, c in enumerate(each.comments)],
        **({"second_method": second} if (second := second_data(sized)) else {}),
    }


def _comment(number: int, comment: Comment) -> dict[str, Any]:
    return {
        "number": number,
        "weight": comment.weight,
        "item": comment.item or None,
        "text": comment.text,
        "at": comment.at or None,
        "submitted": comment.theirs or None,
        "recheck": comment.ours or None,
    }


def _replayed(line: ReplayedLine) -> dict[str, Any]:
    item = line.item
    return {
        "item": item.name,
        "at": item.at or None,
        "stated": amount(item.stated.number, item.stated.unit),
        "from_their_values": _quantity(item, line.expected),
        "agrees": line.follows,
        **picked(line, "cause", "station"),
    }


def _instead(value: Alternative, system: str) -> dict[str, Any]:
    return {
        "symbol": SYMBOLS[value.key].symbol,
        "value": amount_of(value.key, value.value, system),
        "now": amount_of(value.key, value.now, system),
        **picked(value, "plausible", "why"),
    }


def _beside(result: PipeResult) -> dict[str, Any]:
    system = result.basis.system
    return {
        **picked(result.basis, "condition", "edition"),
        "required_thickness": thickness(result.required_thickness, system),
        "nominal_thickness": millimetres(result.nominal_thickness, system),
        "governing": result.governing,
    }


def _quantity(item: Item, value: float | None) -> dict[str, Any] | None:
    """A value in the unit in which the submittal states it."""
    return None if value is None else amount(item.in_stated_unit(value), item.stated.unit)


def _comparison(compared: Comparison) -> dict[str, Any]:
    item = compared.item
    return {
        "item": item.name,
        "stated": amount(item.stated.number, item.stated.unit),
        "recomputed": _quantity(item, compared.recomputed),
        "difference_percent": _percent(compared.difference),
        **picked(compared, "agrees", "open_point"),
        "agrees_only_by_rounding": compared.by_rounding,
        "unit_meant": compared.unit_meant or None,
        "with_their_inputs": _quantity(item, compared.with_their_inputs),
        "of_input_percent": _percent(compared.of_input),
        "of_calculation_percent": _percent(compared.of_calculation),
    }


def _percent(share: float | None) -> float | None:
    return None if share is None else 100 * share


def _explanation(each: Explanation, found: Recheck) -> dict[str, Any]:
    items, right = found.submittal.items, found.with_their_inputs
    item = main_item(each, items)
    value = reproduced(each, item)
    now = right.get(item.key)
    same = [other for other in found.explanations if other.place == each.place]
    return {
        "slips": list(each.names),
        "reproduces": _quantity(item, value),
        "difference_percent": 100 * (value / item.value - 1) if item.value else None,
        "text": " ".join(
            filter(None, [explanation_text(each, items, right), by_chance_text(each)])
        ),
        **picked(each, "place", "explains", "complete", "chance"),
        "finding": each.credible,
        "effect_percent": 100 * (value / now - 1) if now else None,
        "not_distinguishable_from": [list(other.names) for other in same if other is not each],
        "tell_apart": telling_apart(same, found.sized.basis.system),
    }


def _sensitivity(moved: Sensitivity, system: str) -> dict[str, Any]:
    chance = moved.chance
    return {
        "inputs": [
            {
                "symbol": SYMBOLS[swing.uncertainty.key].symbol,
                "origin": swing.uncertainty.origin,
                "doubt": amount_of(swing.uncertainty.key, swing.uncertainty.by, system),
                "required_thickness": [thickness(t, system) for t in swing.required],
                "nominal_thickness": [millimetres(t, system) for t in swing.nominal],
                "changes_nominal": swing.changes_nominal,
            }
            for swing in moved.swings
        ],
        "chance": chance
        and {"thickness": millimetres(chance.wall, system)}
        | picked(chance, "enough", "draws", "seed"),
    }
