"""Pictures of a comparison."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from linerdesign.comparisons.curves import Floats, OverDepth, OverThickness
from linerdesign.outputs.figures import COLOURS, DASHES, new_figure

if TYPE_CHECKING:
    from matplotlib.figure import Figure

# What a resin saves over the reference, from too thick to three steps.
CLASSES = (
    ("#B2182B", "thicker"),
    ("#DDDDDD", "the same"),
    ("#D1E5F0", "thinner by under a step"),
    ("#92C5DE", "one step thinner"),
    ("#4393C3", "two steps thinner"),
    ("#053061", "three steps or more"),
)


def thickness_over_depth(curves: Sequence[OverDepth], covers: Floats, unit: str) -> Figure:
    """Nominal thickness in its steps for each resin, and what is required under it."""
    figure, (axes,) = new_figure(6.5, 4.0, 1)
    for place, curve in enumerate(curves):
        colour, dash = COLOURS[place % len(COLOURS)], DASHES[place % len(DASHES)]
        axes.step(covers, curve.nominal, where="mid", color=colour, linestyle=dash, lw=1.8)
        axes.plot(covers, curve.required, color=colour, linestyle=dash, lw=0.7, alpha=0.8)
        axes.plot([], [], color=colour, linestyle=dash, lw=1.8, label=curve.resin)
    axes.set_xlabel(f"cover, {unit}")
    axes.set_ylabel("thickness, mm (steps: nominal; thin line: required)")
    axes.set_ylim(bottom=0)
    axes.legend(frameon=False)
    return figure


def break_even(
    saved: dict[str, Floats],
    diameters: tuple[Floats, str],
    covers: tuple[Floats, str],
    base: str,
    step: float,
) -> Figure:
    """Where on diameter and cover each resin saves steps of the reference; `step` is in mm."""
    from matplotlib.colors import BoundaryNorm, ListedColormap
    from matplotlib.patches import Patch

    figure, panels = new_figure(3.2 * max(len(saved), 1) + 1.2, 3.8, max(len(saved), 1))
    # The bounds lie between the classes: a saving of just one step must count as one.
    slack = 1e-6
    bounds = [-np.inf, -slack, slack, *(n * step - slack for n in (1, 2, 3)), np.inf]
    norm = BoundaryNorm(range(len(bounds)), len(CLASSES))
    colours = ListedColormap([colour for colour, _ in CLASSES])
    for axes, (name, each) in zip(panels, saved.items(), strict=False):
        classes = np.where(np.isfinite(each), np.digitize(each, bounds) - 1, np.nan)
        mesh = axes.pcolormesh(
            diameters[0], covers[0], classes, cmap=colours, norm=norm, shading="nearest"
        )
        mesh.set_rasterized(True)
        axes.set_title(f"{name}\nagainst {base}", fontsize=9)
        axes.set_xlabel(f"diameter, {diameters[1]}")
    panels[0].set_ylabel(f"cover, {covers[1]}")
    panels[0].invert_yaxis()
    patches = [Patch(facecolor=colour, label=label) for colour, label in CLASSES]
    patches.append(Patch(facecolor="white", edgecolor="black", label="no thickness made is enough"))
    figure.legend(
        handles=patches,
        loc="outside lower center",
        ncols=3,
        frameon=False,
        title=f"one step is {step:g} mm",
    )
    return figure


def checks_over_thickness(
    curves: Sequence[OverThickness], thicknesses: Floats, nominal: float
) -> Figure:
    """What each check asks over what the wall carries; under 1 it passes."""
    figure, (axes,) = new_figure(6.5, 4.0, 1)
    for place, curve in enumerate(curves):
        axes.plot(
            thicknesses,
            curve.use,
            color=COLOURS[place % len(COLOURS)],
            linestyle=DASHES[place % len(DASHES)],
            label=curve.equation,
        )
    axes.axhline(1.0, color="black", lw=0.8)
    axes.axvline(nominal, color="black", lw=0.8, linestyle=":", label=f"nominal {nominal:g} mm")
    axes.set_ylim(0, 3)
    axes.set_xlabel("thickness, mm")
    axes.set_ylabel("asked over carried (at most 1 passes)")
    axes.legend(frameon=False)
    return figure
