"""What a second opinion comes to, in the sentences of the catalogue."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from linerdesign.documents.numbers import both_units, factor
from linerdesign.expressions.printing import positional
from linerdesign.methods.ring.creep import YEAR
from linerdesign.methods.ring.strength import Limit
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.tasks.second_opinion.opinion import CODE, NUMERICAL, SMALL_BULGE, Opinion
from linerdesign.tasks.second_opinion.time import InTime
from linerdesign.tasks.second_opinion.working import GERMAN_OVALITY
from linerdesign.words import sentence

LIMIT_CODES = {
    Limit.STABILITY: "ring.limit_stability",
    Limit.COMPRESSION: "ring.limit_compression",
    Limit.TENSION: "ring.limit_tension",
}

# N over the modulus retained, under which it is said (common practice, no source).
LEAST_LONG_TERM = 3.0


def statements(opinion: Opinion) -> tuple[str, ...]:
    """What the numbers come to: stability, strength, thickness, then the imperfections."""
    if opinion.side is None:
        reason = opinion.reason.said if opinion.reason else ""
        said = [sentence("ring.model_silent", reason=reason), *_perfect_ring(opinion)]
    else:
        said = [
            _side(opinion),
            *_strength(opinion),
            *_factors(opinion),
            *_thickness(opinion),
            *_time(opinion),
            _effects(opinion),
            *_snap(opinion),
        ]
        if opinion.reason is not None:
            said.append(sentence("ring.strength_silent", reason=opinion.reason.said))
    q = opinion.place.ovality
    if q < GERMAN_OVALITY:
        said.append(sentence("ring.low_ovality", ovality=100 * q, least=100 * GERMAN_OVALITY))
    return tuple(said)


def unit_of(opinion: Opinion) -> str:
    """Unit of pressures and stresses on the sheet."""
    return SYMBOLS["P"].unit(opinion.result.basis.system)


def printed(value: float | None, digits: int = 4) -> str:
    """A number as printed; its sentence is written only where there is one."""
    assert value is not None
    return positional(value, digits)


def _beside(share: float) -> dict[str, Any]:
    """By how many percent a ratio is over or under 1, for a sentence."""
    return {
        "share": abs(100 * (share - 1)),
        "more": sentence("ring.more" if share > 1 else "ring.less"),
    }


def _side_words(side: str) -> str:
    return sentence(f"ring.side_{side}")


def _perfect_ring(opinion: Opinion) -> Iterator[str]:
    """Needs no model: imperfections only take from what the perfect ring carries."""
    code, glock = opinion.pressure(CODE), opinion.pressure("glock")
    if code is not None and glock is not None and glock < code:
        yield sentence(
            "ring.perfect_ring",
            glock=printed(glock),
            code=printed(code),
            unit=unit_of(opinion),
            share=100 * glock / code,
            taken=printed(opinion.value("K"), 3),
            side=_side_words("unsafe"),
        )


def _side(opinion: Opinion) -> str:
    share, side = opinion.over_code, opinion.side
    needed, reduced = opinion.factor(NUMERICAL), opinion.value("C")
    assert share is not None
    assert side is not None
    assert needed is not None
    assert reduced is not None
    return sentence(
        "ring.side",
        gap=100 * opinion.place.gap,
        bulge=100 * opinion.place.bulge,
        taken=printed(opinion.value("K"), 3),
        side=_side_words(side),
        code=printed(opinion.pressure(CODE)),
        unit=unit_of(opinion),
        reduced=printed(reduced, 3),
        solved=printed(opinion.pressure(NUMERICAL)),
        needed=printed(needed / reduced, 3),
        **_beside(share),
    )


def _strength(opinion: Opinion) -> Iterator[str]:
    strength, side, unit = opinion.strength, opinion.side_by_strength, unit_of(opinion)
    if opinion.place.strength is None:
        yield sentence("ring.no_strength")
    if strength is None or side is None:
        return
    numbers = {
        "strength": printed(opinion.place.strength),
        "unit": unit,
        "solved": printed(opinion.pressure(NUMERICAL)),
    }
    share = opinion.strength_over_code
    if share is None:
        yield sentence("ring.no_first_strength", **numbers)
    else:
        first = printed(opinion.value("p_first"))
        kind = "compression" if strength.first == strength.compression else "tension"
        yield sentence(
            "ring.first_strength",
            **numbers,
            first=first,
            kind=sentence(f"ring.{kind}"),
            share=100 * share,
            taken=printed(opinion.value("K"), 3),
            side=_side_words(side),
        )
        yield sentence("ring.bounds", first=first, most=printed(opinion.value("p_most")), unit=unit)
    yield from _design_stress(opinion)


def _design_stress(opinion: Opinion) -> Iterator[str]:
    stress, demand = opinion.value("s_design"), opinion.place.demand
    pressure, unit = printed(demand), unit_of(opinion)
    if demand <= 0 or opinion.place.strength is None:
        return
    if stress is None:
        yield sentence("ring.above_collapse", pressure=pressure, unit=unit)
        return
    allowed = printed(opinion.place.strength / opinion.minimum)
    yield sentence(
        "ring.design_stress", pressure=pressure, stress=printed(stress), allowed=allowed, unit=unit
    )


def _factors(opinion: Opinion) -> Iterator[str]:
    stability, safety = opinion.safety(NUMERICAL), opinion.minimum
    if stability is None:
        yield sentence("ring.no_pressure")
        return
    found = {"stability": stability, "strength": opinion.strength_safety}
    for what, provided in found.items():
        if provided is not None and provided < safety:
            yield sentence(
                "ring.low_factor",
                what=sentence(f"ring.what_{what}"),
                factor=factor(provided),
                safety=safety,
            )


def _thickness(opinion: Opinion) -> Iterator[str]:
    required, safety = opinion.required, opinion.minimum
    if required is None:
        return
    thickness = opinion.value("t_ring")
    if required.dimension_ratio is None or thickness is None:
        yield sentence("ring.too_thin", safety=safety)
        return
    both = both_units(thickness, opinion.result.basis.system)
    if required.limit is None:
        yield sentence("ring.thinnest", thickness=both)
        return
    limit = sentence(LIMIT_CODES[required.limit])
    yield sentence("ring.thickness", safety=safety, thickness=both, limit=limit)


def _time(opinion: Opinion) -> Iterator[str]:
    found, unit = opinion.time, unit_of(opinion)
    if found is None:
        if opinion.untimed is not None:
            yield sentence("ring.untimed", reason=opinion.untimed.said)
        return
    grown = sentence("ring.gap_grows", growth=100 * found.growth) if found.growth else ""
    yield sentence(
        "ring.time",
        law=sentence(f"ring.law_{found.law.kind}", exponent=found.law.exponent, t0=found.law.t0),
        kept=100 * found.law.retention,
        life=found.life,
        grown=grown,
        pressure=printed(opinion.place.demand),
        unit=unit,
        collapse=_when(found.collapse, found),
        safety=opinion.minimum,
        safe=_when(found.collapse_n, found),
    )
    long_term = opinion.minimum / found.law.retention
    if long_term < LEAST_LONG_TERM:
        yield sentence("ring.low_long_term", factor=printed(long_term, 3))
    solved = opinion.pressure(NUMERICAL)
    if found.pressure is not None and solved:
        carried = found.pressure * opinion.place.modulus
        yield sentence(
            "ring.carried",
            life=found.life,
            carried=printed(carried),
            unit=unit,
            solved=printed(solved),
            **_beside(carried / solved),
        )


def _when(years: float | None, found: InTime) -> str:
    if years is None:
        return sentence("ring.holds_beyond", years=found.beyond)
    if years * YEAR < 1.0:
        return sentence("ring.collapses_at_once")
    if years < 1.0:
        return sentence("ring.collapses_in_hours", hours=printed(years * YEAR, 3))
    return sentence("ring.collapses_in_years", years=printed(years, 3))


def _effects(opinion: Opinion) -> str:
    used = printed(opinion.factor(NUMERICAL), 3)
    if not opinion.effects:
        return sentence("ring.perfect", used=used)
    bulge = 100 * min(SMALL_BULGE, opinion.place.bulge)
    effects = (
        sentence(
            f"ring.effect_{name}",
            factor=printed(found, 3) if found else sentence("ring.no_number"),
            bulge=bulge,
        )
        for name, found in opinion.effects
    )
    return sentence("ring.effects", used=used, effects=", ".join(effects))


def _snap(opinion: Opinion) -> Iterator[str]:
    found = opinion.found
    if found is not None and found.solution.snaps:
        pressure = printed(opinion.place.modulus * found.solution.snaps[0])
        yield sentence("ring.snap", pressure=pressure, unit=unit_of(opinion))
