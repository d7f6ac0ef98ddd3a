"""`linerdesign profile FILE`: diameter and ovality from measured radii or diameters."""

from __future__ import annotations

import argparse
import hashlib
import math
from dataclasses import replace
from pathlib import Path

from linerdesign.equations.printing import positional
from linerdesign.outputs.document import Block, Bullets, Document, Grid, Heading, Outcome, Paragraph
from linerdesign.project.faults import Fault, InputFaults, shown
from linerdesign.project.measured_table import MAXIMUM_BYTES, header_units
from linerdesign.project.measures import parse
from linerdesign.project.models import OVALITIES, ProjectInfo
from linerdesign.project.reading import read_bytes
from linerdesign.project.recording import Record, write_record
from linerdesign.survey.departures import Settings
from linerdesign.survey.reading import read_profile
from linerdesign.survey.run import Maximum, Percentile, Rule, WorstWindow
from linerdesign.survey.shape import Shape
from linerdesign.survey.stretch import Stretch, stretch
from linerdesign.survey.summary import Run, Units, combine, run_data

UNITS = {"US": Units("in", "ft"), "SI": Units("mm", "m")}
MOST_ROWS = 60
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
    parser.add_argument("--units", choices=("US", "SI"), help="units, in place of the file's own")
    parser.add_argument("--write", metavar="PROJECT", type=Path, help="write into a project file")
    parser.add_argument("--pipe", metavar="NAME", help="the pipe that --write is for")
    text = "of a tube stretched into the widest station"
    parser.add_argument("--tube-diameter", metavar="D", help=f'diameter {text}, "290 mm"')
    parser.add_argument("--tube-thickness", metavar="T", help=f"wall {text}, unstretched")
    parser.add_argument("--needed", metavar="T", help="thickness needed at the widest station")


def run(arguments: argparse.Namespace) -> Outcome:
    """Reads the shapes, combines them, and writes them into a project where asked."""
    rule = _rule(arguments)
    data = read_bytes(arguments.file, MAXIMUM_BYTES)
    shapes = read_profile(arguments.file, Settings(smoothing=arguments.smoothing))
    found = combine(shapes, rule)
    units = _units(arguments)
    tube = _stretched(arguments, found, units)
    fingerprint = hashlib.sha256(data).hexdigest()
    written = _write(arguments, found, units, fingerprint)
    result = run_data(found, units)
    if tube:
        result["stretch"] = _tube_data(tube, units)
    return Outcome(
        document=Document(
            title="Shape of the host pipe",
            blocks=(*_blocks(found, units, tube), *written),
            info=ProjectInfo(title=arguments.file.stem),
            units="US" if units.section in ("in", "ft") else "SI",
            file_name=arguments.file.name,
            fingerprint=fingerprint,
        ),
        data=result,
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


def _units(arguments: argparse.Namespace) -> Units:
    """The file's own units, or those of the system asked for."""
    if arguments.units:
        return UNITS[arguments.units]
    header = header_units(arguments.file)
    own = header.get("radius") or header["diameter"]
    system = UNITS["US" if own in ("in", "ft") else "SI"]
    return replace(system, section=own, station=header.get("station", system.station))


def _stretched(arguments: argparse.Namespace, found: Run, units: Units) -> Stretch | None:
    """All lengths in mm."""
    if arguments.needed is None:
        return None
    diameter, thickness, needed = (
        _measured(f"--{name.replace('_', '-')}", getattr(arguments, name), "section", "mm")
        for name in _STRETCH
    )
    return stretch(thickness, diameter, found.widest.adopted.mean, needed)


def _write(
    arguments: argparse.Namespace, found: Run, units: Units, fingerprint: str
) -> tuple[Block, ...]:
    if arguments.write is None:
        return ()
    unit = units.section
    stations = f"{len(found.shapes)} station{'s' * (len(found.shapes) > 1)}"
    record = Record(
        table="pipe",
        name=arguments.pipe,
        values={
            "host_diameter": f"{positional(units.length(found.mean.value), 5)} {unit}",
            "ovality": f"{positional(round(found.ovality.value, 3), 4)} %",
        },
        evidence=f"profile {arguments.file.name} (SHA-256 {fingerprint[:16]}), {stations}, "
        f"{found.rule}",
        removed=("diameters", *OVALITIES[1:]),
        unless_at_stations=("host_diameter", "diameters", *OVALITIES),
    )
    done = write_record(arguments.write, record, arguments.force)
    texts = [f"{key} = {text}, measured" for key, text in record.values.items()]
    texts.append(f"evidence: {record.evidence}")
    into = f"Written into {arguments.write.name}, pipe {arguments.pipe}"
    return (Heading(into, 2), Bullets((*texts, *done)))


def _blocks(found: Run, units: Units, tube: Stretch | None) -> tuple[Block, ...]:
    from linerdesign.survey.pictures import along_run, section

    pictures = (section(found.worst, units), along_run(found, units))
    remarks = _remarks(found, units)
    return (
        Heading("What to design with"),
        _summary(found, units),
        *((Bullets(remarks),) if remarks else ()),
        _stations(found, units),
        *(each for each in pictures if each is not None),
        *(_tube_blocks(tube, found, units) if tube else ()),
    )


def _summary(found: Run, units: Units) -> Grid:
    unit = units.section
    basis = found.worst.adopted
    rows = [
        ("mean diameter", f"{positional(units.length(found.mean.value), 5)} {unit}", found.rule),
        ("maximum diameter", f"{positional(units.length(found.maximum), 5)} {unit}", "any station"),
        ("minimum diameter", f"{positional(units.length(found.minimum), 5)} {unit}", "any station"),
        ("ovality", f"{found.ovality.value:.2f} %", f"{found.rule}; the larger of both forms"),
    ]
    if len(found.shapes) == 1:
        form = f"{basis.ovality_form}, {basis.basis}"
        rows[-1] = ("ovality", f"{found.ovality.value:.2f} %", form)
    return Grid(("", "value", "how"), "<><", tuple(rows))


def _stations(found: Run, units: Units) -> Grid:
    """Every station, or those of the largest ovality where there are very many."""
    largest = sorted(found.shapes, key=lambda s: s.adopted.ovality, reverse=True)[:MOST_ROWS]
    listed = [shape for shape in found.shapes if shape in largest]
    cut = "" if len(listed) == len(found.shapes) else f", the {MOST_ROWS} of largest ovality"
    columns = (
        f"station, {units.station}",
        "mean",
        "max",
        "min",
        "q max %",
        "q min %",
        "q ellipse %",
        "area",
        "basis",
    )
    caption = f"Stations{cut}; diameters in {units.section}, areas in {units.section}^2"
    return Grid(columns, ">>>>>>>><", tuple(_row(shape, units) for shape in listed), caption)


def _row(shape: Shape, units: Units) -> tuple[str, ...]:
    found = shape.adopted
    return (
        "-" if shape.station is None else f"{units.along(shape.station):g}",
        *(positional(units.length(v), 5) for v in (found.mean, found.maximum, found.minimum)),
        f"{found.ovality_from_maximum:.2f}",
        f"{found.ovality_from_minimum:.2f}",
        f"{shape.ellipse.ovality:.2f}" if shape.ellipse else "-",
        positional(units.area(shape.area), 5),
        found.basis,
    )


def _remarks(found: Run, units: Units) -> tuple[str, ...]:
    """Where the outline is no ellipse, what was left out, and what to be careful with."""
    texts = list(found.cautions)
    for shape in found.shapes:
        at = "" if shape.station is None else f"at {units.along(shape.station):g} {units.station}: "
        texts += [f"{at}no ellipse: {departure.text()}" for departure in shape.departures]
        if shape.wild_angles:
            angles = ", ".join(f"{angle:.0f}" for angle in shape.wild_angles[:10])
            more = ", ..." if len(shape.wild_angles) > 10 else ""
            texts.append(f"{at}left out as wild: {len(shape.wild_angles)}, at {angles}{more} deg")
        texts += [f"{at}{caution}" for caution in shape.cautions]
    if any(shape.departures for shape in found.shapes):
        texts.append(
            "the equations are for an oval; whether they hold for an outline that is none is for "
            "the engineer to decide"
        )
    return tuple(texts)


def _tube_blocks(tube: Stretch, found: Run, units: Units) -> tuple[Block, ...]:
    verdict = "enough" if tube.enough else "NOT ENOUGH"
    order = (
        "No tube of this diameter would do"
        if math.isinf(tube.tube_needed)
        else f"A tube of {tube.tube_needed:.2f} mm would do"
    )
    text = (
        f"At {positional(units.length(found.widest.adopted.mean), 5)} {units.section}, "
        f"{tube.ratio:.3f} times the tube's diameter, a wall of constant area leaves "
        f"{tube.delivered_outside:.2f} mm (by diameters at mid-wall {tube.delivered:.2f} mm); "
        f"{tube.needed:.2f} mm is needed: {verdict}. {order}; "
        f"this one does up to {positional(units.length(tube.largest_host), 5)} {units.section}."
    )
    return (Heading("Stretch at the widest station", 2), Paragraph(text))


def _tube_data(tube: Stretch, units: Units) -> dict[str, object]:
    return {
        "ratio": tube.ratio,
        "delivered_mm": tube.delivered_outside,
        "delivered_by_mean_diameter_mm": tube.delivered,
        "needed_mm": tube.needed,
        "enough": tube.enough,
        "tube_needed_mm": None if math.isinf(tube.tube_needed) else tube.tube_needed,
        "largest_host_diameter": units.length(tube.largest_host),
    }
