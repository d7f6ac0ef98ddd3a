"""Values of a project that go beyond the owner's criteria: they are flagged, not changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from linerdesign.expressions.tolerance import over, under
from linerdesign.findings import Finding, finding
from linerdesign.methods.origin import Giver
from linerdesign.methods.site import height_of_crown, water_depth
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.fields import given
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Limits, Resin

# The pipe's own ovality: the larger one where both diameters are known.
_OVALITIES = ("q_pipe", "q_max", "q_min")


def broken_floors(resin: Resin, criteria: Criteria) -> Iterator[Finding]:
    """Criteria of the project that are less safe than those of the owner's file."""
    owner = criteria.owner
    if owner is None:
        return
    for key, row in Criteria.rows.items():
        if (
            row.unsafe is None
            or key not in given(owner)
            or criteria.origin_of(key).giver is not Giver.PROJECT
        ):
            continue
        ours, theirs = getattr(criteria, key), getattr(owner, key)
        if _less_safe(ours, theirs, row.unsafe):
            text = f"{key} {ours} of the project breaks the owner's criteria: {theirs}"
            yield finding("project.breach", said=text)


def _less_safe(ours: Any, theirs: Any, sign: int) -> bool:
    if isinstance(ours, str):
        return bool(ours != theirs)
    if isinstance(ours, Measure):
        ours = ours.to(theirs.unit)
    theirs = theirs.number if isinstance(theirs, Measure) else theirs
    return bool(_beyond(ours, theirs, sign))


def _beyond(value: Any, bound: Any, sign: int) -> Any:
    return over(value, bound) if sign > 0 else under(value, bound)


@dataclass(frozen=True)
class Beyond:
    """A quantity beyond a limit: where `broken`, its value, and the words on both sides of it.

    `broken` and `value` are of one station, or arrays of many pipes.
    """

    broken: Any
    value: Any
    subject: str
    unit: str
    rest: str


def beyond_limits(criteria: Criteria, values: Mapping[str, Any], system: str) -> Iterator[Beyond]:
    """Every limit of the criteria that is about these values.

    `values` are the quantities of the sheet by key, numbers or arrays; a limit whose quantity
    plays no part in this pipe says nothing.
    """
    stated = next((values[key] for key in _OVALITIES if key in values), None)
    if criteria.owner is not None and stated is not None and "q" in values:
        rest = f"is under the owner's floor of {criteria.minimum_ovality}, which is designed for"
        yield Beyond(values["q"] > stated, stated, "ovality", "%", rest)
    known = dict(values) | _water_levels(values, system)
    for name, limit in given(criteria.limits).items():
        key, sign = Limits.rows[name].limits, Limits.rows[name].unsafe or 0
        if key not in known:
            continue
        unit = SYMBOLS[key].unit(system)
        bound = limit.to(unit)
        broken = _beyond(known[key], bound, sign)
        rest = f"is {'under' if sign < 0 else 'over'} the owner's limit of {limit}"
        yield Beyond(broken, known[key], SYMBOLS[key].meaning, unit, rest)


def _water_levels(values: Mapping[str, Any], system: str) -> dict[str, Any]:
    """The water by the datums that a limit may name, from the one that the pipe gave."""
    if "h_invert" not in values:
        return {}
    crown = values.get("D_crown", values["D"])
    levels = {"H_w": values["h_invert"] - height_of_crown(crown, system)}
    if "H" in values:
        levels["d_water"] = water_depth(values["h_invert"], values["H"], crown, system)
    return levels
