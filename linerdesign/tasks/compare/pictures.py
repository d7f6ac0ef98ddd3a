"""Pictures of a comparison."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from linerdesign.documents.blocks import Picture
from linerdesign.documents.figures import COLOURS, DASHES, label, new_figure, render
from linerdesign.project.assembly import task
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.quantities import Purchase
from linerdesign.project.reading import Project
from linerdesign.tasks.compare.curves import (
    Floats,
    OverDepth,
    OverThickness,
    over_depth,
    over_thickness,
    saved_over,
    usable,
)
from linerdesign.tasks.compare.systems import Wall, answer, at_end

if TYPE_CHECKING:
    from matplotlib.figure import Figure

# What the pictures range over: from, to, unit.
COVERS = {"US": (3.0, 30.0, "ft"), "SI": (1.0, 9.0, "m")}
DIAMETERS = {"US": (6.0, 48.0, "in"), "SI": (150.0, 1200.0, "mm")}
# What a resin saves over the reference, from too thick to three steps.
CLASSES = (
    ("#B2182B", "thicker"),
    ("#DDDDDD", "the same"),
    ("#D1E5F0", "thinner by under a step"),
    ("#92C5DE", "one step thinner"),
    ("#4393C3", "two steps thinner"),
    ("#053061", "three steps or more"),
)


@dataclass(frozen=True)
class Drawn:
    """A figure with its caption and its words; `name` is the file's, without a suffix."""

    name: str
    figure: Figure
    caption: str
    words: str

    @property
    def block(self) -> Picture:
        """The figure as a block of a document."""
        return Picture(render(self.figure, "svg").decode(), self.caption, self.words)


def drawn(project: Project, pipe: Pipe, reference: Resin, system: str) -> tuple[Drawn, ...]:
    """The pictures that the pipe's loads allow; another reference where it can't be used."""
    fit = usable(project, pipe)
    reference = next((r for r in fit if r.name == reference.name), fit[0] if fit else reference)
    wall = answer(pipe, reference, project.criteria, system, Purchase()).worst
    return () if wall is None else tuple(_drawn(project, pipe, reference, wall, system))


def _drawn(
    project: Project, pipe: Pipe, reference: Resin, wall: Wall, system: str
) -> Iterator[Drawn]:
    made = task(pipe, at_end(reference, False), project.criteria, system)
    if made.basis.cover:
        yield _over_cover(project, pipe, system)
        if len(usable(project, pipe)) > 1 and _holds_the_hole(pipe, system):
            yield _break_even(project, pipe, reference, system)
    factors = np.linspace(0.25, 1.75, 181)
    use = over_thickness(made, factors * wall.result.nominal_thickness)
    figure = checks_over_thickness(use, factors * wall.nominal, wall.nominal)
    caption = f"What each check asks of {reference.name} in {pipe.name}"
    yield Drawn("checks_over_thickness", figure, caption, ", ".join(u.equation for u in use))


def _over_cover(project: Project, pipe: Pipe, system: str) -> Drawn:
    first, last, unit = COVERS[system]
    covers = np.linspace(first, last, 271)
    curves = over_depth(project, pipe, covers, unit, system)
    words = "; ".join(f"{c.resin} {_ends(c.nominal)} mm" for c in curves)
    caption = f"Nominal thickness over cover, {pipe.name}, water as this pipe has it"
    figure = thickness_over_depth(curves, covers, unit)
    return Drawn("thickness_over_cover", figure, caption, words)


def _holds_the_hole(pipe: Pipe, system: str) -> bool:
    """Whether the smallest diameter drawn is larger than every hole in the host."""
    least, _, unit = DIAMETERS[system]
    holes = (site.hole_diameter for site in (pipe, *pipe.station))
    return all(hole is None or hole.to(unit) < least for hole in holes)


def _break_even(project: Project, pipe: Pipe, reference: Resin, system: str) -> Drawn:
    first, last, depth = COVERS[system]
    least, most, unit = DIAMETERS[system]
    diameters, covers = np.linspace(least, most, 85), np.linspace(first, last, 91)
    grid = ((diameters, unit), (covers, depth))
    saved = saved_over(project, pipe, reference, *grid, system)
    figure = break_even(saved, *grid, reference.name, _step(project, reference))
    words = "; ".join(f"{name} saves {_ends(s)} mm" for name, s in saved.items())
    caption = f"Thickness saved over {reference.name}, other values as in {pipe.name}"
    return Drawn("break_even", figure, caption, words)


def _step(project: Project, resin: Resin) -> float:
    """The step of a resin's thickness in mm; of listed sizes the smallest difference."""
    if not resin.thicknesses:
        return float((resin.thickness_step or project.criteria.thickness_step).to("mm"))
    sizes = np.unique([size.to("mm") for size in resin.thicknesses])
    return float(np.min(np.diff(sizes), initial=sizes[0]))


def _ends(values: Floats) -> str:
    known = values[np.isfinite(values)]
    return f"{known.min():g} to {known.max():g}" if known.size else "no"


def thickness_over_depth(curves: Sequence[OverDepth], covers: Floats, unit: str) -> Figure:
    """Nominal thickness in its steps for each resin, and what is required under it."""
    figure, (axes,) = new_figure(6.5, 4.0, 1)
    for place, curve in enumerate(curves):
        colour, dash = COLOURS[place % len(COLOURS)], DASHES[place % len(DASHES)]
        axes.step(covers, curve.nominal, where="mid", color=colour, linestyle=dash, lw=1.8)
        axes.plot(covers, curve.required, color=colour, linestyle=dash, lw=0.7, alpha=0.8)
        axes.plot([], [], color=colour, linestyle=dash, lw=1.8, label=label(curve.resin))
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
        axes.set_title(f"{label(name)}\nagainst {label(base)}", fontsize=9)
        axes.set_xlabel(f"diameter, {diameters[1]}")
    panels[0].set_ylabel(f"cover, {covers[1]}")
    panels[0].invert_yaxis()
    patches = [Patch(facecolor=colour, label=words) for colour, words in CLASSES]
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
