"""Pictures of a second opinion: the equilibrium path and the shape at collapse."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linerdesign.documents.figures import COLOURS, DASHES, new_figure
from linerdesign.methods.method import standard
from linerdesign.methods.ring.contact import Cavity, Floats
from linerdesign.tasks.second_opinion.opinion import CODE, NUMERICAL, Opinion
from linerdesign.words import sentence

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


def path(opinion: Opinion, unit: str) -> Figure:
    """Pressure over the crown's inward displacement, through collapse and past it."""
    found = opinion.found
    assert found is not None
    modulus = opinion.place.modulus
    figure, (axes,) = new_figure(6.5, 3.6, 1)
    axes.plot(100 * found.displacements, modulus * found.pressure_ratios, color=COLOURS[0], lw=1.8)
    solved = opinion.pressure(NUMERICAL)
    assert solved is not None
    assert found.crown_displacement is not None
    axes.plot(100 * found.crown_displacement, solved, "o", color=COLOURS[0], label="collapse")
    levels = (
        (CODE, standard().equations["p_code"].number),
        ("glock", sentence("ring.glock_level")),
    )
    for place, (theory, label) in enumerate(levels, 1):
        pressure = opinion.pressure(theory)
        if pressure is not None:
            axes.axhline(pressure, color=COLOURS[place], linestyle=DASHES[place], label=label)
    if opinion.place.demand > 0:
        axes.axhline(
            opinion.place.demand,
            color="black",
            lw=0.9,
            linestyle=DASHES[3],
            label="design pressure P",
        )
    first = opinion.value("p_first")
    if first is not None:
        axes.axhline(first, color="black", lw=0.9, linestyle=DASHES[1], label="first strength")
    axes.set_xlabel("crown inwards, % of D/2")
    axes.set_ylabel(f"pressure, {unit}")
    axes.set_ylim(bottom=0)
    axes.legend(frameon=False, fontsize=8, loc="upper center", bbox_to_anchor=(0.5, 1.15), ncols=4)
    return figure


def shape(opinion: Opinion) -> Figure:
    """The cavity, and the wall before loading and at collapse, to scale."""
    found = opinion.found
    assert found is not None
    figure, (axes,) = new_figure(3.4, 3.4, 1)
    angle = np.linspace(0.0, 2.0 * np.pi, 361)
    ovality = opinion.place.ovality
    wall = Cavity(1.0 + ovality, 1.0 - ovality).wall(angle)
    axes.fill(*wall.T, facecolor="none", edgecolor="black", lw=1.2, label="host")
    lines = (
        (found.initial_shape, "before loading (mid-wall)"),
        (found.collapse_shape, "at collapse (mid-wall)"),
    )
    for place, (points, label) in enumerate(lines):
        _mirrored(axes, points, COLOURS[place], DASHES[1 - place], label)
    axes.set_aspect("equal")
    axes.set_axis_off()
    axes.legend(frameon=False, fontsize=8, loc="center")
    return figure


def _mirrored(axes: Axes, half: Floats, colour: str, dash: object, label: str) -> None:
    """Half a ring, invert to crown, and its mirror image."""
    whole = [*half, *((-across, up) for across, up in half[::-1])]
    axes.plot(*np.transpose(whole), color=colour, linestyle=dash, lw=1.4, label=label)
