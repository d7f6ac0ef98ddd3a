"""`linerdesign profile FILE`: diameter and ovality from measured radii or diameters."""

from __future__ import annotations

import argparse
from pathlib import Path

from linerdesign.cli import measured_file
from linerdesign.outputs.document import Outcome
from linerdesign.project.faults import Fault, InputFaults, shown
from linerdesign.project.measured_table import header_units
from linerdesign.project.measures import parse
from linerdesign.survey.departures import Settings
from linerdesign.survey.reading import read_profile
from linerdesign.survey.report import profile_blocks, profile_data, shape_record
from linerdesign.survey.run import Maximum, Percentile, Rule, WorstWindow
from linerdesign.survey.stretch import Stretch, stretch
from linerdesign.survey.summary import UNITS, Run, combine, units_of

_STRETCH = ("tube_diameter", "tube_thickness", "needed")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "file",
        metavar="FILE",
        type=Path,
        help="CSV: `angle [deg], radius [mm]`, or `diameter [mm]`; `station [m]` where several",
    )
    rule = parser.add_mutually_exclusive_group()
    rule.add_argument(
        "--percentile", metavar="P", type=float, help="combine stations by this percentile"
    )
    rule.add_argument(
        "--window", metavar="LENGTH", help='by the worst mean over this length, "20 m"'
    )
    parser.add_argument(
        "--smoothing", metavar="DEG", type=float, default=10.0, help="arc of averaging (default 10)"
    )
    measured_file.add_arguments(parser)
    parser.add_argument("--pipe", metavar="NAME", help="the pipe that --write is for")
    text = "of a tube stretched into the widest station"
    parser.add_argument("--tube-diameter", metavar="D", help=f'diameter {text}, "290 mm"')
    parser.add_argument("--tube-thickness", metavar="T", help=f"wall {text}, unstretched")
    parser.add_argument("--needed", metavar="T", help="thickness needed at the widest station")


def run(arguments: argparse.Namespace) -> Outcome:
    """Reads the shapes, combines them, and writes them into a project where asked."""
    rule = _rule(arguments)
    source = measured_file.measured_file(arguments.file)
    shapes = read_profile(arguments.file, Settings(smoothing=arguments.smoothing))
    found = combine(shapes, rule)
    units = UNITS.get(arguments.units) or units_of(header_units(arguments.file))
    tube = _stretched(arguments, found)
    blocks = profile_blocks(found, units, tube)
    if arguments.write is not None:
        record = shape_record(found, units, arguments.pipe, source.source)
        blocks += measured_file.write_into(arguments, record, f"pipe {arguments.pipe}")
    return Outcome(
        document=source.document("Shape of the host pipe", units.system, blocks),
        data=profile_data(found, units, tube),
        holds=tube is None or tube.enough,
    )


def _rule(arguments: argparse.Namespace) -> Rule:
    faults = []
    if not 0 <= arguments.smoothing <= 90:
        faults.append(Fault("--smoothing", f"{arguments.smoothing:g}", "an arc of 0 to 90 deg"))
    if arguments.percentile is not None and not 0 <= arguments.percentile <= 100:
        faults.append(Fault("--percentile", f"{arguments.percentile:g}", "0 to 100"))
    if (arguments.write is None) != (arguments.pipe is None):
        faults.append(Fault("--write", "", "a project by --write and a pipe by --pipe, both"))
    given = [name for name in _STRETCH if getattr(arguments, name) is not None]
    if given and len(given) < len(_STRETCH):
        missing = ", ".join(f"--{n.replace('_', '-')}" for n in _STRETCH if n not in given)
        faults.append(Fault(f"--{given[0].replace('_', '-')}", "", f"{missing} with it"))
    if faults:
        raise InputFaults(faults)
    if arguments.percentile is not None:
        return Percentile(arguments.percentile)
    if arguments.window is not None:
        return WorstWindow(_measured("--window", arguments.window, "length", "m"))
    return Maximum()


def _measured(option: str, text: str, kind: str, unit: str) -> float:
    try:
        return parse(text, kind).to(unit)
    except ValueError as error:
        raise InputFaults([Fault(option, shown(text), str(error))]) from None


def _stretched(arguments: argparse.Namespace, found: Run) -> Stretch | None:
    """All lengths in mm."""
    if arguments.needed is None:
        return None
    diameter, thickness, needed = (
        _measured(f"--{name.replace('_', '-')}", getattr(arguments, name), "section", "mm")
        for name in _STRETCH
    )
    return stretch(thickness, diameter, found.widest.adopted.mean, needed)
