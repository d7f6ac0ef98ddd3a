"""Whether designs meet the owner's criteria: required, used, met, one row a requirement."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from linerdesign.expressions.printing import positional, written
from linerdesign.expressions.tolerance import under
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.thickness import in_millimetres
from linerdesign.project.floors import in_words, less_safe, limits_left
from linerdesign.project.models import Criteria, Limits
from linerdesign.project.reading import Project
from linerdesign.words import sentence


@dataclass(frozen=True)
class Requirement:
    """One requirement, by its key. `met` is none where it does not apply to any pipe."""

    key: str
    name: str
    required: str
    source: str
    used: str
    met: bool | None

    @property
    def texts(self) -> tuple[str, str, str, str]:
        """All but whether it is met."""
        return self.name, self.required, self.source, self.used


def requirements(project: Project, results: Sequence[PipeResult]) -> tuple[Requirement, ...]:
    """The owner's criteria in the order of their table, then the limits.

    A line under one tube must meet them with the wall delivered in each of its legs, too.
    """
    criteria = project.criteria
    walls = (*results, *(each.legs.built for each in results if each.legs))
    found = (_criterion(key, criteria, walls) for key in Criteria.rows)
    return (*(each for each in found if each), *_limits(criteria, results))


def _criterion(key: str, criteria: Criteria, results: Sequence[PipeResult]) -> Requirement | None:
    """One of the criteria; none for a key that requires nothing of a wall."""
    row = Criteria.rows[key]
    if row.unsafe is None and key not in _MEASURED:
        return None
    owner = criteria.owner or criteria
    required, taken = getattr(owner, key), getattr(criteria, key)
    used, met = _MEASURED.get(key, _as_taken)(results, in_words(taken))
    if row.unsafe is not None and less_safe(taken, required, row.unsafe):
        met = False
    if row.unsafe is None and any(less_safe(taken, required, sign) for sign in (-1, 1)):
        met = None
    origin = criteria.origin_required(key)
    return Requirement(key, row.help, in_words(required), origin.file or origin.source, used, met)


def _as_taken(results: Sequence[PipeResult], taken: str) -> tuple[str, bool | None]:
    return taken, True


def _factor(results: Sequence[PipeResult], taken: str) -> tuple[str, bool | None]:
    """The lowest safety factor provided; met where every check that has one passes."""
    factors = [r.lowest_safety_factor for r in results if r.lowest_safety_factor is not None]
    if not factors:
        return taken, None
    rated = [check for r in results for check in r.checks if check.safety_factor is not None]
    # Cut, not rounded, so that it never reads as much as is required where it is less.
    lowest = int(min(factors) * 100 + 1e-7) / 100
    used = sentence("calculation.provided", number=f"{lowest:.2f}")
    return used, all(check.passes for check in rated)


def _ratio(results: Sequence[PipeResult], taken: str) -> tuple[str, bool | None]:
    """The largest dimension ratio among the pipes that the limit applies to."""
    limited = [check for r in results for check in r.checks if check.upper]
    if not limited:
        return "-", None
    largest = positional(max(check.demand for check in limited), 4)
    return sentence("calculation.largest", number=largest), all(c.passes for c in limited)


def _ovality(results: Sequence[PipeResult], taken: str) -> tuple[str, bool | None]:
    used = [values["q"] for r in results for values in r.values if "q" in values]
    if not used:
        return "-", None
    return sentence("calculation.smallest", number=f"{positional(min(used), 4)} %"), True


def _thickness(results: Sequence[PipeResult], taken: str) -> tuple[str, bool | None]:
    least = min(in_millimetres(v["t"], r.basis.system) for r in results for v in r.values)
    used = sentence("calculation.smallest", number=f"{positional(least, 4)} mm")
    return used, not any(
        under(values["t"], values["t_floor"])
        for r in results
        for values in r.values
        if "t_floor" in values
    )


def _dry_case(results: Sequence[PipeResult], taken: str) -> tuple[str, bool | None]:
    """Whether the dry case is checked, where there is a gravity pipe under ground."""
    gravity = [r for r in results if not (r.basis.internal_pressure or r.basis.above_ground)]
    return taken, True if gravity else None


def _increment(results: Sequence[PipeResult], taken: str) -> tuple[str, bool | None]:
    """The increment, or the resin's own, or the sizes that it lists."""
    chosen = [r for r in results if not r.basis.thickness_given]
    used = dict.fromkeys(
        sentence("calculation.of_resin", step=_made_in(r), resin=r.resin) for r in chosen
    )
    return "; ".join(used) or "-", True if chosen else None


def _made_in(result: PipeResult) -> str:
    if result.basis.sizes:
        return sentence("calculation.sizes")
    step = in_millimetres(result.values[0]["s"], result.basis.system)
    return f"{positional(step, 4)} mm"


# What shows that a requirement on the wall is met, where the criterion taken is not enough.
_MEASURED = {
    "safety_factor": _factor,
    "maximum_dimension_ratio": _ratio,
    "minimum_ovality": _ovality,
    "minimum_thickness": _thickness,
    "dry_case": _dry_case,
    "thickness_step": _increment,
}


def _limits(criteria: Criteria, results: Sequence[PipeResult]) -> Iterator[Requirement]:
    """The owner's limits on values of the project, each with the value nearest or beyond it."""
    origins = criteria.origins_of_limits
    for name, limit in criteria.limits.given.items():
        row = Limits.rows[name]
        assert row.limits is not None
        origin = origins[name]
        source = origin.file or origin.source
        only = criteria.changed({"limits": Limits.model_construct(**{name: limit})})
        found = [
            raised
            for result in results
            for values in result.values
            for raised in limits_left(only, values, result.basis.system)
            if raised.code != "project.minimum_ovality"
        ]
        if not found:
            yield Requirement(name, row.help, written(limit), source, "-", None)
            continue
        pick, code = (min, "smallest") if row.unsafe == -1 else (max, "largest")
        worst = pick(float(raised.numbers["value"].values) for raised in found)
        unit = SYMBOLS[row.limits].unit(results[0].basis.system)
        broken = any(raised.where for raised in found)
        number = f"{positional(worst, 5)} {unit}".strip()
        used = sentence(f"calculation.{code}", number=number)
        yield Requirement(name, row.help, written(limit), source, used, not broken)
