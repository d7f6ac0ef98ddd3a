"""`linerdesign profile FILE`: diameter and ovality from measured radii or diameters."""

from __future__ import annotations

import argparse
from pathlib import Path

from linerdesign.cli import measured_file, options
from linerdesign.documents.blocks import Outcome
from linerdesign.field.survey.departures import Settings
from linerdesign.field.survey.reading import read_profile
from linerdesign.field.survey.report import profile_blocks, profile_data, shape_record
from linerdesign.field.survey.run import Maximum, Percentile, Rule, WorstWindow
from linerdesign.field.survey.stretch import faults_of_tube, stretch
from linerdesign.field.survey.summary import UNITS, combine, units_of
from linerdesign.project.faults import Fault, Faults, every_fault, fault
from linerdesign.project.measured_table import header_units
from linerdesign.words import sentence

WRITES_INTO = ("write",)
_TUBE = ("tube_diameter", "tube_thickness", "needed")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.epilog = (
        "Exit code: 0 where the shape lies inside the method; 1 where ovality is over 10 %, where "
        "an outline is an egg, a box or the like, or where a stretched tube is too thin."
    )
    parser.add_argument(
        "file",
        metavar="FILE",
        type=Path,
        help="CSV: `angle [deg], radius [mm]`, or `diameter [mm]`; `station [m]` where several",
    )
    rule = parser.add_mutually_exclusive_group()
    rule.add_argument(
        "--percentile", metavar="P", help="combine stations by this percentile, 0 to 100"
    )
    rule.add_argument(
        "--window", metavar="LENGTH", help='by the worst mean over this length, "20 m"'
    )
    parser.add_argument(
        "--smoothing", metavar="DEG", default="10", help="arc of averaging (default 10)"
    )
    measured_file.add_arguments(parser)
    parser.add_argument("--pipe", metavar="NAME", help="the pipe that --write is for")
    for option, place, what in (
        ("--stations", "station", "surveyed station"),
        ("--legs", "leg", "stretch of one diameter"),
    ):
        parser.add_argument(
            option,
            dest="places",
            action="append_const",
            const=place,
            default=[],
            help=f"with --write: a [[pipe.{place}]] for each {what}",
        )
    tube = parser.add_argument_group(
        "tube", description="Wall that a tube has where it is stretched into the widest station."
    )
    tube.add_argument("--tube-diameter", metavar="D", help='diameter of the tube, "290 mm"')
    tube.add_argument("--tube-thickness", metavar="T", help="its wall, unstretched")
    tube.add_argument("--needed", metavar="T", help="thickness needed there")


def run(arguments: argparse.Namespace) -> Outcome:
    """Reads the shapes, combines them, and writes them into a project where asked."""
    found, record, written, stretched = None, None, None, None
    with every_fault() as faults:
        of_shape, of_tube = Faults(), Faults()
        smoothing = options.number("--smoothing", arguments.smoothing, of_shape, 0.0, 90.0, "deg")
        settings = Settings() if of_shape else Settings(smoothing=smoothing)
        rule = _rule(arguments, of_shape)
        shapes = of_shape.of(read_profile, arguments.file, settings)
        if shapes and not of_shape:
            found = of_shape.of(combine, shapes, rule)
        tube = _tube(arguments, of_tube)
        if tube and found and not of_tube:
            stretched = of_tube.of(stretch, host_diameter=found.widest.adopted.mean, **tube)
        elif tube and not of_tube:
            of_tube.extend(faults_of_tube(tube["tube_thickness"], tube["tube_diameter"]))
        faults.extend((*of_shape, *of_tube))
        if (arguments.write is None) != (arguments.pipe is None):
            faults.append(fault("needs_option", "--write", option="--pipe NAME"))
        if arguments.places and arguments.write is None:
            option = "--stations, --legs"
            faults.append(fault("needs_option", option, option="--write PROJECT"))
        if found is not None:
            source = measured_file.measured_file(arguments.file)
            units = UNITS.get(arguments.units) or units_of(header_units(arguments.file))
            places = tuple(arguments.places)
            record = shape_record(found, units, arguments.pipe or "", source.source, places)
        if arguments.pipe is not None:
            written = faults.of(measured_file.to_write, arguments, "pipe", arguments.pipe, record)
    assert found is not None  # its faults are raised
    blocks = profile_blocks(found, units, stretched)
    if written is not None:
        blocks += measured_file.write_into(written, f"pipe {arguments.pipe}")
    return Outcome(
        document=source.document(sentence("program.profile"), units.system, blocks),
        data=profile_data(found, units, stretched),
        holds=not found.outside and (stretched is None or stretched.enough),
    )


def _rule(arguments: argparse.Namespace, faults: list[Fault]) -> Rule:
    if arguments.percentile is not None:
        return Percentile(options.number("--percentile", arguments.percentile, faults, 0.0, 100.0))
    if arguments.window is not None:
        window = options.measured("--window", arguments.window, "length", faults)
        return WorstWindow(window.to("m"))
    return Maximum()


def _tube(arguments: argparse.Namespace, faults: list[Fault]) -> dict[str, float]:
    """What `stretch` is to be asked, in mm; nothing where no option of a tube is given."""
    option = {name: f"--{name.replace('_', '-')}" for name in _TUBE}
    given = {name: text for name in _TUBE if (text := getattr(arguments, name)) is not None}
    if given and len(given) < len(_TUBE):
        missing = ", ".join(option[name] for name in _TUBE if name not in given)
        faults.append(fault("needs_option", option[next(iter(given))], option=missing))
    return {
        name: options.measured(option[name], text, "section", faults).to("mm")
        for name, text in given.items()
    }
