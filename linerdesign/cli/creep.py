"""`linerdesign creep FILE`: long-term modulus from a creep test."""

from __future__ import annotations

import argparse
import hashlib
import re
from pathlib import Path
from typing import Any

from linerdesign.equations.printing import positional
from linerdesign.laboratory.creep import (
    FIFTY_YEARS,
    LOWEST,
    TOGETHER,
    CreepFit,
    CreepResult,
    CreepSettings,
    fit_creep,
)
from linerdesign.laboratory.reading import read_creep
from linerdesign.outputs.document import Block, Bullets, Document, Grid, Heading, Outcome
from linerdesign.project.faults import Fault, InputFaults, shown
from linerdesign.project.measured_table import MAXIMUM_BYTES, header_units
from linerdesign.project.measures import convert
from linerdesign.project.models import ProjectInfo
from linerdesign.project.reading import read_bytes
from linerdesign.project.recording import Record, write_record

HOURS_PER_YEAR = 8760.0
_HOURS = {"s": 1 / 3600, "min": 1 / 60, "h": 1.0, "d": 24.0, "years": HOURS_PER_YEAR}
_TIME = re.compile(r"\s*([0-9.]+(?:[eE][+-]?[0-9]+)?)\s*([a-z]*)\s*")
SYSTEM_UNITS = {"US": "psi", "SI": "MPa"}
WHAT_IT_RESTS_ON = (
    "retention is the line's modulus at the design life over the line's own modulus at t0, and not "
    "over a bending test's modulus: designs multiply it by the initial modulus of such a test",
    "the prediction bound takes the readings as independent; readings of one specimen are not, and "
    "the true bound lies lower",
    "t0 and the window of the fit change slope and retention: compare tests of one t0 only",
    "a test in air at room temperature says nothing of water, chemicals or heat in the pipe",
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "file",
        metavar="FILE",
        type=Path,
        help="CSV: `time [h], modulus [psi]`, or `time, stress, strain`; with `load level`",
    )
    times = "in hours, or with its unit (min, h, d, years)"
    parser.add_argument("--t0", metavar="TIME", default="1 h", help=f"start, {times}; default 1 h")
    parser.add_argument(
        "--life", metavar="TIME", default="50 years", help="design life; default 50 years"
    )
    parser.add_argument("--fit-from", metavar="TIME", help="first reading of the fit; default t0")
    parser.add_argument("--fit-to", metavar="TIME", help="last reading of the fit")
    parser.add_argument(
        "--together", action="store_true", help="one line through all load levels, not the lowest"
    )
    parser.add_argument("--units", choices=("US", "SI"), help="units, in place of the file's own")
    parser.add_argument("--write", metavar="PROJECT", type=Path, help="write into a project file")
    parser.add_argument("--resin", metavar="NAME", help="resin that --write is for; the first one")
    parser.add_argument(
        "--bound", action="store_true", help="write the retention of the bound, not of the line"
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Fits the test, and writes the retention into a project where asked."""
    settings = _settings(arguments)
    data = read_bytes(arguments.file, MAXIMUM_BYTES)
    rule = TOGETHER if arguments.together else LOWEST
    result = fit_creep(read_creep(arguments.file), settings, rule)
    unit = _unit(arguments)
    fingerprint = hashlib.sha256(data).hexdigest()
    written = _write(arguments, result, fingerprint)
    return Outcome(
        document=Document(
            title="Long-term modulus from a creep test",
            blocks=(*_blocks(result, unit, settings), *written),
            info=ProjectInfo(title=arguments.file.stem),
            units="US" if unit in ("psi", "ksi") else "SI",
            file_name=arguments.file.name,
            fingerprint=fingerprint,
        ),
        data=_data(result, unit),
        holds=True,
    )


def _settings(arguments: argparse.Namespace) -> CreepSettings:
    faults: list[Fault] = []

    def hours(option: str, text: str | None) -> float | None:
        if text is None:
            return None
        match = _TIME.fullmatch(text)
        try:
            number = float(match[1]) if match else 0.0
        except ValueError:
            number = 0.0
        factor = _HOURS.get(match[2] or "h") if match else None
        if not number > 0 or factor is None:
            faults.append(Fault(option, shown(text), 'a time over 0, such as "1 h" or "50 years"'))
            return None
        return number * factor

    t0, life = hours("--t0", arguments.t0), hours("--life", arguments.life)
    fit_from, fit_to = (
        hours("--fit-from", arguments.fit_from),
        hours("--fit-to", arguments.fit_to),
    )
    if arguments.write is None and (arguments.resin or arguments.bound):
        faults.append(Fault("--resin, --bound", "", "--write PROJECT with it"))
    if faults:
        raise InputFaults(faults)
    return CreepSettings(t0 or 1.0, life or FIFTY_YEARS, fit_from, fit_to)


def _unit(arguments: argparse.Namespace) -> str:
    """The file's own unit of modulus, or that of the system asked for."""
    if arguments.units:
        return SYSTEM_UNITS[arguments.units]
    header = header_units(arguments.file)
    return header.get("modulus") or header["stress"]


def _write(
    arguments: argparse.Namespace, result: CreepResult, fingerprint: str
) -> tuple[Block, ...]:
    if arguments.write is None:
        return ()
    fit = result.adopted
    retention = fit.retention_bound if arguments.bound else fit.retention
    which = "95 % prediction bound" if arguments.bound else "line"
    record = Record(
        table="resin",
        name=arguments.resin,
        values={"modulus_retention": f"{positional(round(100 * retention, 2), 4)} %"},
        evidence=f"creep test {arguments.file.name} (SHA-256 {fingerprint[:16]}), {which} at "
        f"{fit.life_hours:,.0f} h over t0 = {_time(fit.t0)}, {fit.time.size} readings to "
        f"{fit.time[-1]:,.0f} h, {result.rule}",
    )
    done = write_record(arguments.write, record, arguments.force)
    texts = [f"{key} = {text}" for key, text in record.values.items()]
    texts.append(f"evidence: {record.evidence}")
    into = f"Written into {arguments.write.name}, {arguments.resin or 'the first resin'}"
    return (Heading(into, 2), Bullets((*texts, *done)))


def _blocks(result: CreepResult, unit: str, settings: CreepSettings) -> tuple[Block, ...]:
    from linerdesign.laboratory.pictures import creep_line, residuals

    factor = convert(1.0, "psi", unit)
    cautions = _cautions(result)
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


def _cautions(result: CreepResult) -> tuple[str, ...]:
    texts = []
    for fit in dict.fromkeys((result.adopted, *result.levels)):
        level = f"{fit.level}: " if fit.level and len(result.levels) > 1 else ""
        texts += [f"{level}{caution}" for caution in fit.cautions]
    return tuple(dict.fromkeys((*texts, *result.cautions)))


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


def _data(result: CreepResult, unit: str) -> dict[str, Any]:
    factor = convert(1.0, "psi", unit)
    return {
        "format": 1,
        "unit": unit,
        **_fit_data(result.adopted, factor),
        "rule": result.rule,
        "levels": [_fit_data(fit, factor) for fit in result.levels],
        "cautions": list(_cautions(result)),
        "rests_on": list(WHAT_IT_RESTS_ON),
    }


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
