"""`linerdesign creep FILE`: long-term modulus from a creep test."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from linerdesign.cli import measured_file
from linerdesign.documents.blocks import Outcome
from linerdesign.field.laboratory.creep import (
    FIFTY_YEARS,
    LOWEST,
    TOGETHER,
    CreepSettings,
    faults_of_settings,
    fit_creep,
)
from linerdesign.field.laboratory.reading import read_creep
from linerdesign.field.laboratory.report import creep_blocks, creep_data, retention_record
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.faults import Fault, Faults, InputFaults, every_fault, fault, shown
from linerdesign.project.measured_table import header_units
from linerdesign.words import sentence

WRITES_INTO = ("write",)
HOURS_PER_YEAR = 8760.0
# The tables of creep tests are in hours, and so is a bare number.
_HOURS = {
    "": 1.0,
    "s": 1 / 3600,
    "min": 1 / 60,
    "h": 1.0,
    "d": 24.0,
    "year": HOURS_PER_YEAR,
    "years": HOURS_PER_YEAR,
}
_TIME = re.compile(r"\s*([0-9.]+(?:[eE][+-]?[0-9]+)?)\s*([a-z]*)\s*")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "file",
        metavar="FILE",
        type=Path,
        help="CSV: `time [h], modulus [psi]`, or `time, stress, strain`; `time to failure [h], "
        "stress [psi]` of a creep rupture test; `time, load, deflection, length, diameter, "
        "thickness` of a ring; with `load level`, `specimen`",
    )
    parser.add_argument(
        "--t0",
        metavar="TIME",
        default="1 h",
        help='start of the fit, "60 min" (s, min, h, d, years); a bare number is in hours, as '
        'times are in the file; default "1 h"',
    )
    parser.add_argument(
        "--life",
        metavar="TIME",
        default="50 years",
        help='design life; under a year only with its unit; default "50 years"',
    )
    parser.add_argument("--fit-from", metavar="TIME", help="first reading of the fit; default t0")
    parser.add_argument("--fit-to", metavar="TIME", help="last reading of the fit")
    parser.add_argument(
        "--together", action="store_true", help="one line through all load levels, not the lowest"
    )
    measured_file.add_arguments(parser)
    parser.add_argument("--resin", metavar="NAME", help="resin that --write is for; the first one")
    parser.add_argument(
        "--bound", action="store_true", help="write the retention of the bound, not of the line"
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Fits the test, and writes the retention into a project where asked."""
    rule = TOGETHER if arguments.together else LOWEST
    record, result = None, None
    with every_fault() as faults:
        settings = faults.of(_settings, arguments)
        of_file = Faults()
        readings = of_file.of(read_creep, arguments.file)
        if readings and settings:
            result = of_file.of(fit_creep, readings, settings, rule)
        faults.extend(of_file)
        if result is not None and not of_file:
            source = measured_file.measured_file(arguments.file)
            unit = _unit(arguments)
            record = retention_record(result, arguments.resin, arguments.bound, source.source, unit)
        written = faults.of(measured_file.to_write, arguments, "resin", arguments.resin, record)
    # Faults are raised.
    assert settings is not None
    assert result is not None
    blocks = creep_blocks(result, unit, settings)
    if written is not None:
        whose = arguments.resin or "the first resin"
        blocks += measured_file.write_into(written, whose)
    units = "US" if unit in ("psi", "ksi") else "SI"
    return Outcome(
        document=source.document(sentence("program.creep"), units, blocks),
        data=creep_data(result, unit),
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
        factor = _HOURS.get(match[2]) if match else None
        # Of a life of 50 nobody knows whether hours or years are meant.
        unclear = option == "--life" and match and not match[2] and number < HOURS_PER_YEAR
        if not number > 0 or factor is None or unclear:
            faults.append(fault("time", option, shown(text)))
            return None
        return number * factor

    t0, life = hours("--t0", arguments.t0), hours("--life", arguments.life)
    fit_from, fit_to = (
        hours("--fit-from", arguments.fit_from),
        hours("--fit-to", arguments.fit_to),
    )
    if arguments.write is None and (arguments.resin or arguments.bound):
        faults.append(fault("needs_option", "--resin, --bound", option="--write PROJECT"))
    settings = CreepSettings(t0 or 1.0, life or FIFTY_YEARS, fit_from, fit_to)
    if faults := faults or faults_of_settings(settings):
        raise InputFaults(faults)
    return settings


def _unit(arguments: argparse.Namespace) -> str:
    """The file's own unit of modulus, or that of the system requested."""
    if arguments.units:
        return SYMBOLS["E"].unit(arguments.units)
    header = header_units(arguments.file)
    ring_in_si = header.get("diameter") not in ("in", None)
    return header.get("modulus") or header.get("stress") or ("MPa" if ring_in_si else "psi")
