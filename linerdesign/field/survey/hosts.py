"""The host of a pipe as an outline: by name and dimensions, or from a table of radii."""

from __future__ import annotations

import hashlib
from pathlib import Path

import numpy as np

from linerdesign.field.survey.reading import read_profile
from linerdesign.methods.outline.curve import WHOLE, Floats, outline
from linerdesign.methods.outline.shapes import WITH_CORNERS, Host, named_outline
from linerdesign.methods.quantity import UNITS
from linerdesign.methods.symbols import SYSTEMS
from linerdesign.methods.units import MM_PER_INCH
from linerdesign.project.beside import read_beside
from linerdesign.project.contradictions import place_of
from linerdesign.project.faults import InputFaults, every_fault, fault, shown
from linerdesign.project.identity import FileRead
from linerdesign.project.models import Pipe
from linerdesign.project.reading import read_bytes

MOST_BYTES = 100_000_000
SMOOTHEST = 24
"""Waves around the outline that are kept: a wave is then no shorter than 15 degrees."""


def host_of(pipe: Pipe, system: str, folder: Path) -> tuple[Host, FileRead | None]:
    """The host of a pipe that states a shape or an outline, and the file that it was read from.

    Raises:
        InputFaults: dimensions that make no such shape, and every fault of the file.
    """
    unit = UNITS["section"][SYSTEMS.index(system)]
    if pipe.outline:
        return _measured(pipe, unit, folder)
    width, height = pipe.width.to(unit), pipe.height.to(unit)
    radius = pipe.corner_radius.to(unit) if pipe.corner_radius is not None else 0.0
    try:
        found = named_outline(pipe.shape, width, height, radius)
    except ValueError as why:
        at = place_of("pipe", pipe.name).at("shape")
        raise InputFaults([fault("no_such_shape", at, shown(pipe.shape), why=str(why))]) from None
    flats = {"box": (width - 2.0 * radius, height - 2.0 * radius), "arch": (width - 2.0 * radius,)}
    flat = max(flats[pipe.shape]) if pipe.shape in WITH_CORNERS else None
    return Host(found, flat, radius or None, width), None


def _measured(pipe: Pipe, unit: str, folder: Path) -> tuple[Host, FileRead]:
    """The outline through the radii of a table, smoothed as `profile` does."""
    at = place_of("pipe", pipe.name).at("outline")
    path = folder / pipe.outline
    with every_fault() as faults:
        shapes = read_beside(read_profile, pipe.outline, at, folder, faults) or ()
    if len(shapes) != 1 or shapes[0].ellipse is None:
        raise InputFaults([fault("measured.outline", at, shown(pipe.outline))])
    turn = 2.0 * np.pi * np.arange(WHOLE) / WHOLE
    radius = _periodic(shapes[0].outline, turn) / (MM_PER_INCH if unit == "in" else 1.0)
    points = np.column_stack([radius * np.cos(turn), radius * np.sin(turn)])
    digest = hashlib.sha256(read_bytes(path, MOST_BYTES)).hexdigest()
    return Host(outline(points, pipe.outline)), FileRead("readings", path.name, digest)


def _periodic(radius: Floats, turn: Floats) -> Floats:
    """Radii, evenly spaced from 0, at other angles by the first waves of their Fourier series."""
    waves = np.fft.rfft(radius) / radius.size
    found = np.full_like(turn, waves[0].real)
    for order in range(1, SMOOTHEST + 1):
        found += 2.0 * (waves[order] * np.exp(1j * order * turn)).real
    return found
