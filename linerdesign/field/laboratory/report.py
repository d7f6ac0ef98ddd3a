"""A creep test in words, tables and data, and what of it a project file takes."""

from __future__ import annotations

from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Grid, Heading
from linerdesign.documents.json import FORMAT
from linerdesign.expressions.printing import positional
from linerdesign.field.laboratory.creep import CreepFit, CreepResult, CreepSettings
from linerdesign.field.laboratory.pictures import creep_line, residuals
from linerdesign.project.measures import convert
from linerdesign.project.recording import Record

RECORD = "creep test"  # how the evidence that a creep test leaves in a project begins
# psi, those of an initial modulus: common practice, no source.
USUAL_MODULUS = (100_000.0, 2_200_000.0)
WHAT_IT_RESTS_ON = (
    "retention is the line's modulus at the design life over the line's own modulus at t0, and not "
    "over a bending test's modulus: designs multiply it by the initial modulus of such a test",
    "the prediction bound takes the readings as independent; readings of one specimen are not, and "
    "the true bound lies lower",
    "t0 and the window of the fit change slope and retention: compare tests of one t0 only",
    "a test in air at room temperature says nothing of water, chemicals or heat in the pipe",
)


def creep_blocks(result: CreepResult, unit: str, settings: CreepSettings) -> tuple[Block, ...]:
    """The retention first, then what it comes from; moduli in `unit`."""
    factor = convert(1.0, "psi", unit)
    cautions = _cautions(result, unit)
    return (
        Heading("Modulus at the design life"),
        _adopted(result.adopted, result.rule, unit, factor),
        *((Bullets(cautions),) if cautions else ()),
        *((_levels(result, unit, factor),) if len(result.levels) > 1 else ()),
        creep_line(result, unit, factor),
        residuals(result),
        _readings(result.adopted, unit, factor),
        Heading("What it rests on", 2),
        Bullets((_window(result.adopted, settings), *WHAT_IT_RESTS_ON)),
    )


def creep_data(result: CreepResult, unit: str) -> dict[str, Any]:
    """The result of `creep`; moduli in `unit`."""
    factor = convert(1.0, "psi", unit)
    return {
        "format": FORMAT,
        "unit": unit,
        **_fit_data(result.adopted, factor),
        "rule": result.rule,
        "levels": [_fit_data(fit, factor) for fit in result.levels],
        "cautions": list(_cautions(result, unit)),
        "rests_on": list(WHAT_IT_RESTS_ON),
    }


def retention_record(
    result: CreepResult, resin: str | None, bound: bool, source: str, unit: str
) -> Record:
    """The retention for a resin of a project, with its cautions; `source` names the test's file."""
    fit = result.adopted
    retention = fit.retention_bound if bound else fit.retention
    which = f"{100 * fit.confidence:g} % prediction bound" if bound else "line"
    # A record ends where the next "; " begins another, so none stands within it.
    said = (*_unit_asked(fit, unit), *fit.cautions, *result.cautions)
    plain = [each.replace("; ", ", ") for each in said]
    cautions = ", ".join(f"({number}) {each}" for number, each in enumerate(plain, 1))
    return Record(
        table="resin",
        name=resin,
        values={"modulus_retention": f"{positional(round(100 * retention, 2), 4)} %"},
        evidence=f"{RECORD} {source}, {which} at "
        f"{fit.life_hours:,.0f} h over t0 = {_time(fit.t0)}, {fit.time.size} readings to "
        f"{fit.time[-1]:,.0f} h, {result.rule}" + (f", cautions: {cautions}" if said else ""),
        kind=RECORD,
    )


def _time(hours: float) -> str:
    return f"{hours:g} h" if hours >= 1 else f"{60 * hours:g} min"


def _adopted(fit: CreepFit, rule: str, unit: str, factor: float) -> Grid:
    def modulus(value: float) -> str:
        return f"{positional(factor * value, 5)} {unit}"

    percent = f"{100 * fit.confidence:g} %"
    rows = (
        ("retention", f"{100 * fit.retention:.2f} %", "modulus at life over that at t0, by line"),
        ("modulus at life", modulus(fit.modulus_at_life), f"at {fit.life_hours:,.0f} h"),
        ("lower bound", modulus(fit.lower_bound), f"one-sided {percent} prediction bound"),
        ("retention of the bound", f"{100 * fit.retention_bound:.2f} %", "bound over line at t0"),
        ("modulus at t0", modulus(fit.reference_modulus), f"the line's, at {_time(fit.t0)}"),
        ("slope", f"{fit.slope:.5f}", "of log modulus on log time"),
        ("load level", fit.level or "-", rule),
    )
    return Grid(("", "value", "how"), "<><", rows)


def _window(fit: CreepFit, settings: CreepSettings) -> str:
    left_out = f"; {fit.left_out} readings outside the window are left out" if fit.left_out else ""
    return (
        f"least squares on {fit.time.size} readings from {_time(fit.time[0])} to "
        f"{fit.time[-1]:,.0f} h, t0 {_time(settings.t0)}{left_out}"
    )


def _cautions(result: CreepResult, unit: str) -> tuple[str, ...]:
    """Of the line adopted and of the other levels, with a question for the unit first."""
    texts = list(_unit_asked(result.adopted, unit))
    for fit in dict.fromkeys((result.adopted, *result.levels)):
        level = f"{fit.level}: " if fit.level and len(result.levels) > 1 else ""
        texts += [f"{level}{caution}" for caution in fit.cautions]
    return tuple(dict.fromkeys((*texts, *result.cautions)))


def _unit_asked(fit: CreepFit, unit: str) -> tuple[str, ...]:
    """Asks for the unit of the readings where the line's modulus at t0 is none of a liner."""
    low, high = USUAL_MODULUS
    if low <= fit.reference_modulus <= high:
        return ()
    at_t0, least, most = (
        positional(convert(value, "psi", unit), 4) for value in (fit.reference_modulus, low, high)
    )
    return (
        f"a modulus of {at_t0} {unit} at t0 is outside the usual {least} to {most} {unit}: is the "
        "unit of the readings right?",
    )


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
    columns = ("level", "readings", "last, h", "slope", f"at life, {unit}", "bound", "retained %")
    return Grid(columns, "<>>>>>>", rows, "Load levels")


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
    cut = f", one in {every}" if every > 1 else ""
    columns = ("time, h", f"modulus, {unit}", "line", "residual, %")
    return Grid(columns, ">>>>", rows, f"Readings and residuals{cut}")


def _fit_data(fit: CreepFit, factor: float) -> dict[str, Any]:
    return {
        "level": fit.level,
        "retention": fit.retention,
        "slope": fit.slope,
        "modulus_at_life": factor * fit.modulus_at_life,
        "life_hours": fit.life_hours,
        "lower_bound": factor * fit.lower_bound,
        "retention_bound": fit.retention_bound,
        "confidence": fit.confidence,
        "t0_hours": fit.t0,
        "modulus_at_t0": factor * fit.reference_modulus,
        "readings": int(fit.time.size),
        "left_out": fit.left_out,
        "residual_deviation": fit.residual_deviation,
        "curvature_significance": fit.curvature_significance,
    }
