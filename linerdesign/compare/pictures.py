"""Pictures of a comparison."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from linerdesign.compare.curves import Floats, OverDepth, OverThickness
from linerdesign.outputs.figures import COLOURS, DASHES, new_figure

if TYPE_CHECKING:
    from matplotlib.figure import Figure


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
    saved: dict[str, Floats], diameters: tuple[Floats, str], covers: tuple[Floats, str], base: str
) -> Figure:
    """Where on diameter and cover each resin saves thickness over the reference."""
    from matplotlib.colors import BoundaryNorm

    figure, panels = new_figure(3.4 * max(len(saved), 1) + 0.9, 3.6, max(len(saved), 1))
    every = np.concatenate([each.ravel() for each in saved.values()])
    levels = np.unique(np.round(every[np.isfinite(every)], 6))
    middles = (levels[1:] + levels[:-1]) / 2
    outer = np.array([levels[0] - 0.5, levels[-1] + 0.5])
    edges = np.concatenate([outer[:1], middles, outer[1:]])
    norm = BoundaryNorm(edges, 256)
    for axes, (name, each) in zip(panels, saved.items(), strict=False):
        mesh = axes.pcolormesh(
            diameters[0], covers[0], each, cmap="viridis", norm=norm, shading="nearest"
        )
        mesh.set_rasterized(True)
        axes.set_title(f"{name}\nagainst {base}", fontsize=9)
        axes.set_xlabel(f"diameter, {diameters[1]}")
        axes.invert_yaxis()
    panels[0].set_ylabel(f"cover, {covers[1]}")
    bar = figure.colorbar(mesh, ax=list(panels), label="thickness saved, mm")
    shown = levels if len(levels) <= 12 else levels[:: len(levels) // 12 + 1]
    bar.set_ticks(list(shown), labels=[f"{level:g}" for level in shown])
    return figure


def checks_over_thickness(
    curves: Sequence[OverThickness], thicknesses: Floats, nominal: float, unit: str
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
    axes.axvline(nominal, color="black", lw=0.8, linestyle=":", label=f"nominal {nominal:g} {unit}")
    axes.set_ylim(0, 3)
    axes.set_xlabel(f"thickness, {unit}")
    axes.set_ylabel("asked over carried (at most 1 passes)")
    axes.legend(frameon=False)
    return figure
