"""Pictures of a comparison, as SVG or PNG; the same bytes for the same numbers."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING, Any

import numpy as np

from linerdesign.compare.curves import Floats, OverDepth, OverThickness

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Distinct in colour and in dash, for those who don't tell the colours apart and for black print.
COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#56B4E9", "#E69F00", "#000000")
DASHES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1)), (0, (8, 2)), (0, (1, 2)))
_STYLE: Any = {
    "svg.hashsalt": "linerdesign",
    "svg.fonttype": "path",
    "font.family": "DejaVu Sans",
    "font.size": 9.0,
    "axes.spines.top": False,
    "axes.spines.right": False,
}


def thickness_over_depth(curves: Sequence[OverDepth], covers: Floats, unit: str) -> Figure:
    """Nominal thickness in its steps for each resin, and what is required under it."""
    figure, (axes,) = _figure(6.5, 4.0, 1)
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

    figure, panels = _figure(3.4 * max(len(saved), 1) + 0.9, 3.6, max(len(saved), 1))
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
    figure, (axes,) = _figure(6.5, 4.0, 1)
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


def render(figure: Figure, form: str) -> bytes:
    """The picture as `svg` or `png`, without the date or the program's version in it."""
    from matplotlib import rc_context

    metadata = {"svg": {"Date": None, "Creator": None}, "png": {"Software": None}}[form]
    file = BytesIO()
    with rc_context(_STYLE):
        figure.savefig(file, format=form, dpi=150, metadata=metadata)
    return file.getvalue()


def _figure(width: float, height: float, panels: int) -> tuple[Figure, Sequence[Axes]]:
    """A figure of its own, outside pyplot, so that nothing is shared between runs."""
    from matplotlib import rc_context
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    with rc_context(_STYLE):
        figure = Figure(figsize=(width, height), layout="constrained")
        FigureCanvasAgg(figure)
        axes = figure.subplots(1, panels, squeeze=False, sharey=True)
    return figure, list(axes[0])
