"""A creep test as blocks and data, and what a project file takes of it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from linerdesign.documents.blocks import Block, Bullets, Grid, Heading
from linerdesign.documents.json import FORMAT, picked
from linerdesign.expressions.printing import positional
from linerdesign.field.laboratory.creep import (
    CREEP,
    FARTHEST,
    RING,
    RUPTURE,
    CreepFit,
    CreepResult,
    CreepSettings,
)
from linerdesign.field.laboratory.pictures import creep_line, residuals
from linerdesign.findings import Finding, finding
from linerdesign.project.measures import convert
from linerdesign.project.recording import Record
from linerdesign.words import heads_of, of_area, sentence

# How the evidence that a test leaves in a project begins, by the test.
RECORDS = {CREEP: "creep test", RING: "ring creep test", RUPTURE: "creep rupture test"}
# psi, those of an initial modulus: common practice, no source.
USUAL_MODULUS = (100_000.0, 2_200_000.0)
TWO_YEARS = 17_520.0
INITIAL = 0.1  # hours, near the 3 min at which the initial ring stiffness is read

_said = of_area("field")


def creep_blocks(result: CreepResult, unit: str, settings: CreepSettings) -> tuple[Block, ...]:
    """The retention first, then what it comes from; moduli in `unit`."""
    factor = convert(1.0, "psi", unit)
    cautions = _cautions(result, unit)
    return (
        Heading(sentence(f"field.at_life_{result.adopted.test}")),
        _adopted(result.adopted, result.rule, unit, factor),
        *((Bullets(cautions),) if cautions else ()),
        *((_ring(result.adopted, unit, factor),) if result.adopted.ring else ()),
        *((_levels(result, unit, factor),) if len(result.levels) > 1 else ()),
        _models(result.adopted),
        creep_line(result, unit, factor),
        residuals(result),
        _readings(result.adopted, unit, factor),
        Heading(sentence("field.basis_title"), 2),
        Bullets((_window(result.adopted, settings), *_basis(result.adopted))),
    )


def creep_data(result: CreepResult, unit: str) -> dict[str, Any]:
    """The result of `creep`; moduli in `unit`."""
    factor = convert(1.0, "psi", unit)
    ring = ring_stiffness(result.adopted)
    return {
        "format": FORMAT,
        "unit": unit,
        "ring": ring
        and {
            "initial_stiffness": factor * ring.initial,
            "creep_stiffness": factor * ring.creep,
            "creep_factor": ring.factor,
            "creep_ratio": ring.ratio,
        },
        **_fit_data(result.adopted, factor),
        "rule": result.rule,
        "levels": [_fit_data(fit, factor) for fit in result.levels],
        "cautions": list(_cautions(result, unit)),
        "rests_on": list(_basis(result.adopted)),
    }


def retention_record(
    result: CreepResult, resin: str | None, bound: bool, source: str, unit: str
) -> Record:
    """The retention for a resin of a project, with its cautions; `source` names the test's file."""
    fit = result.adopted
    key = "strength_retention" if fit.test == RUPTURE else "modulus_retention"
    retention = fit.retention_bound if bound else fit.retention
    which = f"{100 * fit.confidence:g} % prediction bound" if bound else fit.curve.name
    # A record ends where the next "; " begins another, so none may be within it.
    said = (*_unit_asked(fit, unit), *fit.cautions, *result.cautions)
    plain = [each.said.replace("; ", ", ") for each in said]
    cautions = ", ".join(f"({number}) {each}" for number, each in enumerate(plain, 1))
    return Record(
        table="resin",
        name=resin,
        values={key: f"{positional(round(100 * retention, 2), 4)} %"},
        evidence=f"{RECORDS[fit.test]} {source}, {which} at "
        f"{fit.life_hours:,.0f} h over t0 = {_time(fit.t0)}, {fit.time.size} readings to "
        f"{fit.time[-1]:,.0f} h, {result.rule}" + (f", cautions: {cautions}" if said else ""),
        kind=RECORDS[fit.test],
    )


def _time(hours: float) -> str:
    return f"{hours:g} h" if hours >= 1 else f"{60 * hours:g} min"


def _adopted(fit: CreepFit, rule: str, unit: str, factor: float) -> Grid:
    def modulus(value: float) -> str:
        return f"{positional(factor * value, 5)} {unit}"

    values = {
        "retention": f"{100 * fit.retention:.2f} %",
        "model": fit.curve.name,
        "life": modulus(fit.modulus_at_life),
        "bound": modulus(fit.lower_bound),
        "bound_retention": f"{100 * fit.retention_bound:.2f} %",
        "measured" if fit.reference_measured else "modelled": modulus(fit.reference_modulus),
        "slope": f"{fit.slope:.5f}",
        "level": fit.level or "-",
    }
    about = {
        "what": _what(fit),
        "percent": f"{100 * fit.confidence:g} %",
        "further": "specimen" if fit.by_specimen else "reading",
        "hours": fit.life_hours,
        "time": _time(fit.t0),
        "rule": rule,
    }
    rows = tuple(
        (_said(f"{code}_row", **about), value, _said(f"{code}_basis", **about))
        for code, value in values.items()
    )
    return Grid(heads_of("field.summary"), "<><", rows)


@dataclass(frozen=True)
class RingStiffness:
    """Initial and creep ring stiffness in the unit of the readings, and their ratios."""

    initial: float
    creep: float
    at_two_years: float

    @property
    def factor(self) -> float:
        """Creep ring stiffness at life over the initial one."""
        return self.creep / self.initial

    @property
    def ratio(self) -> float:
        """Initial ring stiffness over that at two years."""
        return self.initial / self.at_two_years


def ring_stiffness(fit: CreepFit) -> RingStiffness | None:
    """The ring stiffness of a ring test; None for a test of coupons."""
    if fit.ring is None:
        return None
    at_two_years = float(fit.line(np.array(TWO_YEARS)))
    moduli = fit.first[1], fit.modulus_at_life, at_two_years
    return RingStiffness(*(fit.ring * each for each in moduli))


def _ring(fit: CreepFit, unit: str, factor: float) -> Grid:
    found = ring_stiffness(fit)
    assert found is not None

    def stiffness(value: float) -> str:
        return f"{positional(convert(value, 'psi', own), 4)} {own}"

    own = "psi" if unit in ("psi", "ksi") else "kPa"
    values = {
        "initial": stiffness(found.initial),
        "creep": stiffness(found.creep),
        "factor": f"{found.factor:.3f}",
        "ratio": f"{found.ratio:.3f}",
        "modulus": f"{positional(factor * fit.first[1], 5)} {unit}",
    }
    about = {"first": fit.first[0], "life": fit.life_hours}
    rows = tuple(
        (sentence(f"field.ring_{code}"), value, sentence(f"field.ring_{code}_basis", **about))
        for code, value in values.items()
    )
    return Grid(heads_of("field.summary"), "<><", rows, sentence("field.ring_caption"))


def _models(fit: CreepFit) -> Grid:
    at = math.log10(fit.life_hours)
    rows = tuple(
        (
            each.curve.name,
            f"{each.criterion:.1f}" if math.isfinite(each.criterion) else "-",
            f"{100 * float(10 ** (each.curve.at(np.array(at)) - _at_t0(fit))):.2f}",
            f"{each.curve.slope(at):.5f}",
            "used" if each is fit.adopted else "",
        )
        for each in fit.models
    )
    return Grid(heads_of("field.models"), "<>>><", rows, sentence("field.models_compared"))


def _at_t0(fit: CreepFit) -> float:
    return math.log10(fit.reference_modulus)


def _window(fit: CreepFit, settings: CreepSettings) -> str:
    return sentence(
        "field.creep_window",
        model=fit.curve.name,
        count=fit.time.size,
        first=_time(fit.time[0]),
        last=fit.time[-1],
        t0=_time(settings.t0),
        left_out=fit.left_out,
    )


def _what(fit: CreepFit) -> str:
    """What is read against time."""
    return sentence(f"field.property_read_{fit.test}")


def _basis(fit: CreepFit) -> tuple[str, ...]:
    bound = "creep_by_specimen" if fit.by_specimen else "creep_by_reading"
    codes: tuple[str, ...] = ("creep_ratio", bound, "creep_t0", "creep_air")
    if fit.test == RING:
        codes = ("ring_basis", *codes)
    if fit.test == RUPTURE:
        codes = ("rupture_basis", "creep_t0", "creep_air")
    return tuple(sentence(f"field.{c}", count=len(set(fit.specimens))) for c in codes)


def _cautions(result: CreepResult, unit: str) -> tuple[str, ...]:
    """Of the fit adopted and of the other levels, a question about the unit first."""
    texts = [each.said for each in _unit_asked(result.adopted, unit)]
    if result.adopted.ring and result.adopted.first[0] > INITIAL:
        texts.append(sentence("field.ring_late", first=result.adopted.first[0]))
    for fit in dict.fromkeys((result.adopted, *result.levels)):
        level = f"{fit.level}: " if fit.level and len(result.levels) > 1 else ""
        texts += [f"{level}{caution.said}" for caution in fit.cautions]
    return tuple(dict.fromkeys((*texts, *(each.said for each in result.cautions))))


def _unit_asked(fit: CreepFit, unit: str) -> tuple[Finding, ...]:
    """A question about the unit where the modulus at t0 is outside the range of liners."""
    low, high = USUAL_MODULUS
    if fit.test == RUPTURE or low <= fit.reference_modulus <= high:
        return ()
    at_t0, least, most = (
        positional(convert(value, "psi", unit), 4) for value in (fit.reference_modulus, low, high)
    )
    about: dict[str, Any] = {"at_t0": at_t0, "unit": unit, "least": least, "most": most}
    return (finding("field.unit_of_modulus", **about),)


def _levels(result: CreepResult, unit: str, factor: float) -> Grid:
    rows = tuple(
        (
            fit.level,
            str(fit.time.size),
            f"{fit.time[-1]:,.0f}",
            f"{fit.slope:.5f}",
            positional(factor * fit.modulus_at_life, 5),
            positional(factor * fit.lower_bound, 5),
            f"{100 * fit.retention:.2f}",
        )
        for fit in result.levels
    )
    heads = heads_of("field.levels", unit=unit)
    return Grid(heads, "<>>>>>>", rows, sentence("field.levels_table"))


def _readings(fit: CreepFit, unit: str, factor: float) -> Grid:
    """The readings of the line adopted with their residuals; every n-th of very many."""
    every = 1 + fit.time.size // 60
    rows = tuple(
        (
            positional(time, 5),
            positional(factor * modulus, 5),
            positional(factor * line, 5),
            f"{100 * (10**residual - 1):+.2f}",
        )
        for time, modulus, line, residual in zip(
            *(each[::every] for each in (fit.time, fit.modulus, fit.line(fit.time), fit.residuals)),
            strict=True,
        )
    )
    code = "readings_cut" if every > 1 else "readings_table"
    heads = heads_of("field.readings", what=_what(fit), unit=unit)
    return Grid(heads, ">>>>", rows, sentence(f"field.{code}", every=every))


def _fit_data(fit: CreepFit, factor: float) -> dict[str, Any]:
    at = math.log10(fit.life_hours)
    return {
        **picked(fit, "level", "test", "retention", "slope"),
        "modulus_at_life": factor * fit.modulus_at_life,
        "life_hours": fit.life_hours,
        "lower_bound": factor * fit.lower_bound,
        **picked(fit, "retention_bound", "confidence"),
        "t0_hours": fit.t0,
        "modulus_at_t0": factor * fit.reference_modulus,
        "readings": int(fit.time.size),
        **picked(fit, "left_out", "residual_deviation", "curvature_significance"),
        "model": fit.curve.name,
        "models": [
            {
                "model": each.curve.name,
                "information_criterion": each.criterion if math.isfinite(each.criterion) else None,
                "modulus_at_life": factor * float(10 ** each.curve.at(np.array(at))),
            }
            for each in fit.models
        ],
        "reference": "measured" if fit.reference_measured else "model",
        "decades_beyond": fit.decades_beyond,
        "extrapolated_too_far": fit.decades_beyond > FARTHEST,
        "bound_by": "specimen" if fit.by_specimen else "reading",
    }
