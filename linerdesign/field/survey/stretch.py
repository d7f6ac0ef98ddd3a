"""What a tube delivers where the pipe is wider than the tube: the wall keeps its area."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linerdesign.methods.quantities import (
    stretched_by_mean_diameter,
    stretched_by_outside_diameter,
)
from linerdesign.project.faults import Fault, InputFaults, fault


@dataclass(frozen=True)
class Stretch:
    """A tube stretched into a wider pipe; all lengths in one unit.

    `delivered` takes the diameters at mid-wall, the rule of thumb; `delivered_outside` takes them
    at the outside of the wall, which leaves a little less and decides `enough`. `tube_needed` is
    the thickness to order by the outside diameters, `ratio` the host's diameter over the tube's,
    `largest_host` the widest pipe where the tube still leaves the thickness needed.
    """

    ratio: float
    delivered: float
    delivered_outside: float
    needed: float
    enough: bool
    tube_needed: float
    largest_host: float


def stretch(
    tube_thickness: float, tube_diameter: float, host_diameter: float, needed: float
) -> Stretch:
    """Thickness left in a pipe wider than the tube, against the thickness needed there.

    All lengths in one unit; the cured wall of the tube unstretched is `tube_thickness`. A pipe
    narrower than the tube is refused: the tube then folds, and the wall is no ring of its area.
    The length of the tube is taken to stay the same; one that also draws out gets thinner still.

    Raises:
        InputFaults: a length that is none, a tube wider than the pipe, a wall without a bore.

    >>> round(stretch(6.0, 3.0 * 25.4, 4.0 * 25.4, 4.5).delivered, 6)
    4.5
    """
    if faults := _faults(tube_thickness, tube_diameter, host_diameter, needed):
        raise InputFaults(faults)
    outside = float(stretched_by_outside_diameter(tube_thickness, tube_diameter, host_diameter))
    # Backwards the same equation holds with the two diameters changed over.
    room = tube_diameter**2 - 4 * needed * (host_diameter - needed)
    return Stretch(
        ratio=host_diameter / tube_diameter,
        delivered=float(stretched_by_mean_diameter(tube_thickness, tube_diameter, host_diameter)),
        delivered_outside=outside,
        needed=needed,
        enough=outside >= needed,
        tube_needed=(
            float(stretched_by_outside_diameter(needed, host_diameter, tube_diameter))
            if room >= 0
            else math.inf
        ),
        largest_host=needed + tube_thickness * (tube_diameter - tube_thickness) / needed,
    )


def faults_of_tube(tube_thickness: float, tube_diameter: float) -> list[Fault]:
    """What is wrong with a tube whatever the pipe."""
    if tube_thickness < tube_diameter / 2:
        return []
    half = f"{tube_diameter / 2:g}"
    return [fault("measured.no_bore", "tube thickness", f"{tube_thickness:g}", half=half)]


def _faults(
    tube_thickness: float, tube_diameter: float, host_diameter: float, needed: float
) -> list[Fault]:
    given = {
        "tube thickness": tube_thickness,
        "tube diameter": tube_diameter,
        "host diameter": host_diameter,
        "thickness needed": needed,
    }
    faults = [
        fault("measured.length", name, f"{value:g}")
        for name, value in given.items()
        if not (math.isfinite(value) and value > 0)
    ]
    if faults:
        return faults
    if host_diameter < tube_diameter:
        limit = f"{tube_diameter:g}"
        faults.append(
            fault("measured.small_host", "host diameter", f"{host_diameter:g}", tube=limit)
        )
    faults += faults_of_tube(tube_thickness, tube_diameter)
    if needed >= host_diameter / 2:
        half = f"{host_diameter / 2:g}"
        faults.append(fault("measured.no_bore", "thickness needed", f"{needed:g}", half=half))
    return faults
