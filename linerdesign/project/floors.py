"""Values of a project that go beyond the owner's criteria: they are flagged, not changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from linerdesign.expressions.printing import positional, written
from linerdesign.expressions.tolerance import over, under
from linerdesign.findings import Finding, finding
from linerdesign.methods.origin import Giver
from linerdesign.methods.raised import Raised, Written
from linerdesign.methods.site import height_of_crown, water_depth
from linerdesign.methods.sizing import Watch
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.key import Key
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Limits
from linerdesign.words import sentence

# The pipe's own ovality: the larger one where both diameters are known.
_OVALITIES = ("q_pipe", "q_max", "q_min")


def broken_floors(criteria: Criteria) -> Iterator[Finding]:
    """Criteria of the project that are less safe than those of the owner's file."""
    owner = criteria.owner
    if owner is None:
        return
    origins = criteria.origins
    for key, row in Criteria.rows.items():
        of_project = origins[key].giver is Giver.PROJECT
        if row.unsafe is None or key not in owner.given or not of_project:
            continue
        ours, theirs = getattr(criteria, key), getattr(owner, key)
        if less_safe(ours, theirs, row.unsafe):
            yield finding("project.breach", **_about(row, ours, theirs))
    for key in looser(criteria.limits_of_project, owner.limits):
        ours, theirs = criteria.limits_of_project[key], getattr(owner.limits, key)
        yield finding("project.breach", **_about(Limits.rows[key], ours, theirs))


def _about(row: Key, ours: Any, theirs: Any) -> dict[str, Any]:
    return {"subject": row.help, "ours": in_words(ours), "theirs": in_words(theirs)}


def looser(ours: Mapping[str, Any], theirs: Limits) -> list[str]:
    """The limits of a project that allow more than the owner's."""
    owners = theirs.given
    return [
        key
        for key, limit in ours.items()
        if key in owners and less_safe(limit, owners[key], Limits.rows[key].unsafe)
    ]


def watch(criteria: Criteria) -> Watch:
    """What finds, in the numbers of designs, what goes beyond the owner's limits and criteria."""

    def found(values: Mapping[str, Any], system: str) -> Iterator[Raised]:
        yield from limits_left(criteria, values, system)
        yield from floors_broken(criteria, values, system)

    return found


def floors_broken(criteria: Criteria, values: Mapping[str, Any], system: str) -> Iterator[Raised]:
    """The same by the values of a calculation, as far as they hold the criteria."""
    owner = criteria.owner
    if owner is None:
        return
    for key, row in Criteria.rows.items():
        symbol = row.quantity or ""
        if row.unsafe is None or symbol not in values or key not in owner.given:
            continue
        ours, theirs = getattr(criteria, key), getattr(owner, key)
        unit = SYMBOLS[symbol].unit(system)
        bound = theirs.to(unit) if isinstance(theirs, Measure) else float(theirs)
        where = _beyond(values[symbol], bound, row.unsafe)
        about = _about(row, ours, theirs)
        live = "project.breach_live"
        yield Raised("project.breach", where, about, live=live, of_pipe=True)


def in_words(value: Any) -> str:
    """A criterion as a person writes it: `2`, `4.5 mm`, yes or no."""
    return sentence(f"calculation.{value}") if isinstance(value, bool) else written(value)


def less_safe(ours: Any, theirs: Any, sign: int | None) -> bool:
    """Whether a criterion is less safe than the owner's, `sign` being the unsafe direction."""
    if isinstance(ours, str):
        return bool(ours != theirs)
    if isinstance(ours, Measure):
        ours = ours.to(theirs.unit)
    theirs = theirs.number if isinstance(theirs, Measure) else theirs
    return bool(_beyond(ours, theirs, sign))


def _beyond(value: Any, bound: Any, sign: int | None) -> Any:
    return over(value, bound) if sign == 1 else under(value, bound)


def limits_left(criteria: Criteria, values: Mapping[str, Any], system: str) -> Iterator[Raised]:
    """The owner's limits that these values leave.

    `values` are the quantities of the sheet by key, of one station or arrays of many; a limit whose
    quantity plays no part in this pipe is left out.
    """
    stated = next((values[key] for key in _OVALITIES if key in values), None)
    if criteria.owner is not None and stated is not None and "q" in values:
        about = {"subject": "ovality", "limit": str(criteria.minimum_ovality)}
        live = "project.minimum_ovality_live"
        yield _raised("minimum_ovality", values["q"] > stated, stated, "%", about, live)
    known = dict(values) | _water_levels(values, system)
    for name, limit in criteria.limits.given.items():
        key, sign = Limits.rows[name].limits, Limits.rows[name].unsafe
        if key not in known:
            continue
        unit = SYMBOLS[key].unit(system)
        broken = _beyond(known[key], limit.to(unit), sign)
        about = {"subject": SYMBOLS[key].meaning, "limit": str(limit)}
        code = "under_limit" if sign == -1 else "over_limit"
        yield _raised(code, broken, known[key], unit, about)


def _raised(
    code: str, where: Any, value: Any, unit: str, about: dict[str, str], live: str = ""
) -> Raised:
    written = Written(value, lambda number: f" {positional(number, 5)} {unit}")
    full = f"project.{code}"
    numbers = {**about, "value": written}
    return Raised(full, where, numbers, inventory=f"{full}_inventory", live=live)


def _water_levels(values: Mapping[str, Any], system: str) -> dict[str, Any]:
    """The water by the datums that a limit may name, from the one that the pipe gave."""
    if "h_invert" not in values:
        return {}
    crown = values.get("D_crown", values["D"])
    levels = {"H_w": values["h_invert"] - height_of_crown(crown, system)}
    if "H" in values:
        levels["d_water"] = water_depth(values["h_invert"], values["H"], crown, system)
    return levels


def rows_below_owner(criteria: Criteria, own: Mapping[str, Any]) -> Iterator[tuple[Finding, Any]]:
    """Criteria that rows of an inventory give and that are less safe than those of the owner.

    `own` are the values of the rows by key, a `Measure` with an array of numbers, or a word.
    Gives each finding with the rows that it is about.
    """
    owner = criteria.owner or criteria
    for key, row in Criteria.rows.items():
        if row.unsafe is None or key not in own or key not in owner.given:
            continue
        ours, theirs = own[key], getattr(owner, key)
        if isinstance(ours, str):
            broken: Any = ours != theirs
        else:
            bound = theirs.to(ours.unit) if isinstance(theirs, Measure) else theirs
            broken = _beyond(ours.number, bound, row.unsafe)
        yield finding("project.breach_of_row", subject=row.help, theirs=in_words(theirs)), broken
