"""Pictures of a comparison: the decision first, in the quantity ranked by.

Every picture reads in grey print: by length, position, marker, dash and hatching, not by colour
alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from linerdesign.documents.blocks import Picture
from linerdesign.documents.figures import COLOURS, DASHES, label, literal, new_figure, render
from linerdesign.methods.sizing import design
from linerdesign.project.assembly import task
from linerdesign.project.faults import InputFaults
from linerdesign.project.measures import convert
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.quantities import currencies
from linerdesign.project.reading import Project
from linerdesign.tasks.compare.curves import (
    Floats,
    OverDepth,
    OverThickness,
    Quantity,
    over_depth,
    over_thickness,
    saved_over,
    usable,
)
from linerdesign.tasks.compare.ranking import (
    COSTS,
    MASSES,
    Missing,
    Ranked,
    differing_most,
    lacks_size,
    least,
    value,
)
from linerdesign.tasks.compare.remarks import marked
from linerdesign.tasks.compare.systems import Table, at_end, has_range
from linerdesign.tasks.walls import in_mm
from linerdesign.words import of_area

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from linerdesign.tasks.compare.chances import Found as Chances
    from linerdesign.tasks.compare.comparison import Wishes

# Panels beside each other, and how many times the smallest figure the largest is on an axis that
# is logarithmic.
ACROSS, WIDE = 3, 8.0
# Width that title and legend of the classes of savings need, in inches.
LEGEND = 7.2
THOUSANDS = "{x:,.10g}"
# What the pictures range over: from, to, unit.
COVERS = {"US": (3.0, 30.0, "ft"), "SI": (1.0, 9.0, "m")}
DIAMETERS = {"US": (6.0, 48.0, "in"), "SI": (150.0, 1200.0, "mm")}
# Resins on one picture.
MOST_RESINS = 12
MARKERS = "osD^vPX*<>hp"
FILL, BLANK = "#9ECAE1", "#FFFFFF"
# From worse than the reference, hatched, to much better: each class is darker than the one before.
SHADES = ("#FFFFFF", "#F0F0F0", "#C6DBEF", "#6BAED6", "#2171B5", "#08306B")
WORSE, HATCH, NONE_HATCH = 0, "////", "...."
# Bounds of the classes of a saving: in steps of thickness, or as a fraction of the reference.
IN_STEPS, IN_PARTS = (1.0, 2.0, 3.0), (0.1, 0.25, 0.5)

# A figure of so many panels takes the width of a page.
_PANELS = 3

_said = of_area("compare")


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
        beside = 1 if len(self.figure.axes) >= _PANELS else 2
        return Picture(render(self.figure, "svg").decode(), self.caption, self.words, beside)


@dataclass(frozen=True)
class Scale:
    """The quantity in the units of the system: its name, its unit, and units per metric unit."""

    what: str
    unit: str
    factor: float

    @property
    def axis(self) -> str:
        """The name with its unit."""
        return f"{self.what}, {self.unit}"


def _titled(code: str, **numbers: Any) -> str:
    text = _said(code, **numbers)
    return text[0].upper() + text[1:]


def drawn(
    project: Project,
    table: Table,
    order: Sequence[Ranked],
    wishes: Wishes,
    system: str,
    chances: Chances | None = None,
) -> tuple[Drawn, ...]:
    """The decision, the pipes by system, then what the loads of one pipe allow."""
    pipe = wishes.pipe or project.pipes[0]
    reference = wishes.reference or project.resins[0]
    fit = usable(project, pipe)
    reference = next((r for r in fit if r.name == reference.name), fit[0] if fit else reference)
    pictures = [*_decision(order, wishes.by, system)]
    if chances and chances.systems:
        pictures += _under_uncertainty(chances, system)
    pictures += _by_pipe(table, wishes.by, system, chances)
    # Where the pipe has no wall with this resin, the tables say why.
    with suppress(InputFaults, ArithmeticError):
        pictures += _of_pipe(project, pipe, reference, wishes, system)
    return tuple(pictures)


def total_scale(by: str, system: str, resins: Sequence[Resin]) -> Scale:
    """Of means and totals over pipes."""
    what = _said(f"by_{by}")
    if by == "thickness":
        return Scale(_said("mean_nominal"), "mm", 1.0)
    if by in MASSES:
        unit = "t" if system == "SI" else "lb"
        return Scale(_said("total", what=what), unit, convert(1.0, "kg", unit))
    per = "/yr" if by == "annual-cost" else ""
    return Scale(_said("total", what=what), ", ".join(currencies(resins)) + per, 1.0)


def _wall_scale(by: str, system: str, resins: Sequence[Resin]) -> Scale:
    """Of one wall, per length."""
    what = _said(f"by_{by}")
    if by == "thickness":
        return Scale(_said("nominal"), "mm", 1.0)
    length = "m" if system == "SI" else "ft"
    factor = convert(1.0, length, "m")
    if by in MASSES:
        mass = "kg" if system == "SI" else "lb"
        return Scale(what, f"{mass}/{length}", factor * convert(1.0, "kg", mass))
    per = "/yr" if by == "annual-cost" else ""
    return Scale(what, f"{', '.join(currencies(resins))}/{length}{per}", factor)


def _decision(order: Sequence[Ranked], by: str, system: str) -> Iterator[Drawn]:
    """The totals over the pipes in common; a range ends in a whisker."""
    sized = (Missing.SIZE,)
    found = ((each, each.common.of(by)) for each in order if each.rank or each.missing == sized)
    shown = [(each, ends) for each, ends in found if ends][:MOST_RESINS]
    if not shown:
        return
    scale = total_scale(by, system, [each.resin for each, _ in shown])
    figure, (axes,) = new_figure(6.5, 0.9 + 0.42 * len(shown), 1)
    for place, (each, ends) in enumerate(shown):
        _bar(axes, place, each, [scale.factor * end for end in ends])
    names = [label(f"{each.rank or '-'}  {marked(each.resin)}") for each, _ in shown]
    axes.set_yticks(range(len(shown)), names)
    axes.invert_yaxis()
    axes.set_xlim(0, 1.4 * scale.factor * max(worst for _, (worst, _) in shown))
    axes.set_xlabel(scale.axis)
    axes.xaxis.set_major_formatter(THOUSANDS)
    first = shown[0][0]
    pipes = len(first.common.pipes)
    some = "decision_priced" if lacks_size(order) else "decision"
    code = "decision_all" if pipes == first.count else some
    caption = _titled(code, what=scale.axis, count=pipes, all=first.count)
    axes.set_title(literal(caption), fontsize=9)
    note = _said("hatched") if any(each.failing for each, _ in shown) else ""
    words = "; ".join(f"{marked(e.resin)} {scale.factor * worst:,.2f}" for e, (worst, _) in shown)
    yield Drawn("decision", figure, f"{caption}{note}", words)


def _bar(axes: Axes, place: int, each: Ranked, ends: Sequence[float]) -> None:
    """The bar of one resin with its figure; hatched where it fails a pipe."""
    worst, best = ends
    colour, hatch = (BLANK, HATCH) if each.failing else (FILL, "")
    axes.barh(place, worst, 0.62, color=colour, edgecolor="black", lw=0.8, hatch=hatch)
    if best != worst:
        axes.plot([best, worst], [place, place], color="black", lw=1.4, marker="|", ms=9)
    figure = f"{worst:,.0f}" if worst >= 100 else f"{worst:,.2f}"
    done = _said("satisfied", done=len(each.own.pipes), count=each.count)
    axes.text(worst, place, f"  {figure}  ({done})", va="center", fontsize=8)


def _under_uncertainty(chances: Chances, system: str) -> Iterator[Drawn]:
    """Each system's range over the trials, with its chance of being least."""
    shown = chances.systems[:MOST_RESINS]
    scale = total_scale(chances.by, system, [each.resin for each in shown])
    figure, (axes,) = new_figure(6.5, 0.9 + 0.42 * len(shown), 1)
    for place, each in enumerate(shown):
        low, middle, high = (scale.factor * end for end in each.ends)
        axes.barh(place, high - low, 0.5, left=low, color=FILL, edgecolor="black", lw=0.8)
        axes.plot([middle, middle], [place - 0.25, place + 0.25], color="black", lw=1.6)
        text = _said("chance_least", percent=100 * each.least.chance)
        axes.text(high, place, f"  {text}", va="center", fontsize=8)
    axes.set_yticks(range(len(shown)), [label(marked(each.resin)) for each in shown])
    axes.invert_yaxis()
    axes.set_xlim(0, 1.4 * scale.factor * max(each.ends[2] for each in shown))
    axes.set_xlabel(scale.axis)
    axes.xaxis.set_major_formatter(THOUSANDS)
    caption = _titled("uncertain", what=scale.axis, count=chances.common)
    axes.set_title(literal(caption), fontsize=9)
    words = "; ".join(f"{marked(e.resin)} {100 * e.least.chance:.0f} %" for e in shown)
    yield Drawn("uncertainty", figure, caption, words)


def _by_pipe(table: Table, by: str, system: str, chances: Chances | None = None) -> Iterator[Drawn]:
    """Every resin in each pipe: a marker at the worst properties, a line to the best, or from 5 to
    95 % of the trials."""
    resins = [each.resin for each in table[0]][:MOST_RESINS]
    rows = differing_most(table, by)
    if not rows or (by in COSTS and len(currencies(resins)) > 1):
        return
    scale = _wall_scale(by, system, resins)
    figure, (axes,) = new_figure(6.5, 1.4 + 0.27 * len(rows), 1)
    at = {id(row): number for number, row in enumerate(table)}
    for column, resin in enumerate(resins):
        colour, off = COLOURS[column % len(COLOURS)], 0.5 * (column / max(len(resins) - 1, 1) - 0.5)
        for place, row in enumerate(rows):
            worst, best = value(row[column], by), value(row[column], by, best=True)
            if worst is None or best is None:
                continue
            ends = chances.ends.get((at[id(row)], column)) if chances else (worst, best)
            spread = [scale.factor * end for end in ends or () if np.isfinite(end)]
            axes.plot(spread, [place + off] * len(spread), color=colour, lw=1.2)
            marker: dict[str, Any] = {"color": colour, "ms": 5, "mec": "black"}
            axes.plot(scale.factor * worst, place + off, MARKERS[column], **marker)
        axes.plot([], [], MARKERS[column], color=colour, mec="black", label=label(marked(resin)))
    axes.set_yticks(range(len(rows)), [label(row[0].pipe.name) for row in rows])
    axes.set_ylim(len(rows) - 0.5, -0.5)
    axes.grid(axis="y", color="#DDDDDD", lw=0.6)
    _spread(axes, scale.axis)
    code = "by_pipe" if len(rows) == len(table) else "by_pipe_most"
    ranged = any(map(has_range, resins))
    lines = _said("lines_of_trials") if chances else _said("lines_of_ranges") if ranged else ""
    caption = _titled(code, what=scale.axis, count=len(rows), all=len(table), lines=lines)
    axes.set_title(literal(caption), fontsize=9)
    figure.legend(loc="outside lower center", ncols=3, frameon=False)
    names = {resin.name: marked(resin) for resin in resins}
    best_of = [", ".join(names.get(name, name) for name in least(row, by)) or "-" for row in rows]
    words = "; ".join(f"{r[0].pipe.name}: {best}" for r, best in zip(rows, best_of, strict=True))
    yield Drawn("pipes_by_resin", figure, caption, words)


def _spread(axes: Axes, what: str) -> None:
    """From zero on; on a logarithmic axis where one pipe would press the others together."""
    from matplotlib.ticker import LogLocator, NullFormatter

    drawn = [x for line in axes.lines for x in np.asarray(line.get_xdata(), float) if x > 0]
    if not drawn or max(drawn) < WIDE * min(drawn):
        axes.set_xlim(left=0)
        axes.set_xlabel(what)
        return
    axes.set_xlabel(_said("logarithmic", axis=what))
    axes.set_xscale("log")
    axes.xaxis.set_major_locator(LogLocator(subs=(1, 2, 5)))
    axes.xaxis.set_major_formatter(THOUSANDS)
    axes.xaxis.set_minor_formatter(NullFormatter())
    axes.set_xlim(min(drawn) / 1.2, 1.2 * max(drawn))


def _of_pipe(
    project: Project, pipe: Pipe, reference: Resin, wishes: Wishes, system: str
) -> Iterator[Drawn]:
    made = task(pipe, at_end(reference, False), project.criteria, system)
    quantity = Quantity(wishes.by, wishes.purchase)
    if made.basis.cover:
        yield from _over_cover(project, pipe, quantity, system)
    nominal = design(made).nominal_thickness
    factors = np.linspace(0.25, 1.75, 181)
    use = over_thickness(made, factors * nominal)
    caption = _said("checks", resin=marked(reference), pipe=pipe.name)
    in_each = in_mm(made.basis, factors * nominal)
    figure = checks_over_thickness(use, in_each, round(in_mm(made.basis, nominal), 9), caption)
    yield Drawn("checks_over_thickness", figure, caption, ", ".join(u.equation for u in use))
    if made.basis.cover and len(usable(project, pipe)) > 1 and _holds_the_hole(pipe, system):
        yield from _break_even(project, pipe, reference, quantity, system)


def _over_cover(project: Project, pipe: Pipe, quantity: Quantity, system: str) -> Iterator[Drawn]:
    first, last, unit = COVERS[system]
    covers = np.linspace(first, last, 271)
    curves = over_depth(project, pipe, covers, unit, system, quantity)[:MOST_RESINS]
    if not curves:
        return
    scale = _wall_scale(quantity.by, system, project.resins)
    caption = _titled("over_cover", what=scale.axis, pipe=pipe.name)
    names = {resin.name: marked(resin) for resin in project.resins}
    curves = tuple(replace(curve, resin=names[curve.resin]) for curve in curves)
    words = "; ".join(f"{c.resin} {_ends(scale.factor * c.quantity)} {scale.unit}" for c in curves)
    figure = over_depth_figure(curves, covers, unit, scale.axis, scale.factor, caption)
    yield Drawn(f"{quantity.by.replace('-', '_')}_over_cover", figure, caption, words)


def _holds_the_hole(pipe: Pipe, system: str) -> bool:
    """Whether the smallest diameter drawn is larger than every hole in the host."""
    least_drawn, _, unit = DIAMETERS[system]
    holes = (site.hole_diameter for site in (pipe, *pipe.station))
    return all(hole is None or hole.to(unit) < least_drawn for hole in holes)


def _break_even(
    project: Project, pipe: Pipe, reference: Resin, quantity: Quantity, system: str
) -> Iterator[Drawn]:
    first, last, depth = COVERS[system]
    least_drawn, most, unit = DIAMETERS[system]
    diameters, covers = np.linspace(least_drawn, most, 85), np.linspace(first, last, 91)
    grid = ((diameters, unit), (covers, depth))
    saved = saved_over(project, pipe, reference, *grid, system, quantity)
    if not saved:
        return
    what = _said(f"by_{quantity.by}")
    caption = _said("saved", what=what, reference=marked(reference), pipe=pipe.name)
    if quantity.by == "thickness":
        step = _step(project, reference)
        bounds, texts, unit_said = [n * step for n in IN_STEPS], _step_texts(step), "mm"
    else:
        bounds, texts, unit_said = list(IN_PARTS), _part_texts(quantity.by), "of it"
    names = {resin.name: marked(resin) for resin in project.resins}
    named = {names[name]: each for name, each in saved.items()}
    figure = break_even(named, *grid, bounds, texts, caption)
    words = "; ".join(f"{name} {_ends(s)} {unit_said}" for name, s in named.items())
    yield Drawn("break_even", figure, caption, words)


def _step_texts(step: float) -> tuple[str, ...]:
    return (
        _said("thicker"),
        _said("equal"),
        _said("under_step", step=step),
        *(_said("steps", count=n) for n in (1, 2)),
        _said("more_steps", count=3),
        _said("none_drawn"),
    )


def _part_texts(by: str) -> tuple[str, ...]:
    low, middle, high = (100 * part for part in IN_PARTS)
    return (
        _said("more"),
        _said("equal"),
        _said("less_under", most=low),
        _said("less_between", least=low, most=middle),
        _said("less_between", least=middle, most=high),
        _said("less_over", least=high),
        _said("none_priced" if by in COSTS else "none_drawn"),
    )


def _step(project: Project, resin: Resin) -> float:
    """The thickness increment of a resin in mm; of listed sizes the smallest difference."""
    if not resin.thicknesses:
        return float((resin.thickness_step or project.criteria.thickness_step).to("mm"))
    sizes = np.unique([size.to("mm") for size in resin.thicknesses])
    return float(np.min(np.diff(sizes), initial=sizes[0]))


def _ends(values: Floats) -> str:
    known = values[np.isfinite(values)]
    return f"{known.min():.4g} to {known.max():.4g}" if known.size else "-"


def over_depth_figure(
    curves: Sequence[OverDepth],
    covers: Floats,
    unit: str,
    axis: str,
    factor: float = 1.0,
    title: str = "",
) -> Figure:
    """The quantity of each resin over cover, in the unit of the axis."""
    figure, (axes,) = new_figure(6.5, 4.0, 1)
    for place, curve in enumerate(curves):
        colour, dash = COLOURS[place % len(COLOURS)], DASHES[place % len(DASHES)]
        axes.plot(
            covers,
            factor * curve.quantity,
            drawstyle="steps-mid",
            color=colour,
            linestyle=dash,
            lw=1.8,
            marker=MARKERS[place % len(MARKERS)],
            markevery=(15 * place % 60, 60),
            label=label(curve.resin),
        )
    axes.set_title(literal(title), fontsize=9)
    axes.set_xlabel(f"cover, {unit}")
    axes.set_ylabel(axis)
    axes.set_ylim(bottom=0)
    figure.legend(loc="outside lower center", ncols=3, frameon=False)
    return figure


def break_even(
    saved: dict[str, Floats],
    diameters: tuple[Floats, str],
    covers: tuple[Floats, str],
    bounds: Sequence[float],
    texts: Sequence[str],
    title: str,
) -> Figure:
    """Where on diameter and cover each resin saves how much over the reference.

    `bounds` part the classes of savings over 0, `texts` name all six of them, and where there is
    no figure.
    """
    from matplotlib.colors import BoundaryNorm, ListedColormap

    across = min(len(saved), ACROSS)
    rows = -(-len(saved) // across)
    width = max(2.5 * across + 1.2, LEGEND)
    figure, panels = new_figure(width, 2.9 * rows + 1.2, len(saved), across)
    # The bounds lie between the classes: a saving of just one step counts as one.
    slack = 1e-6
    edges = [-np.inf, -slack, slack, *(each - slack for each in bounds), np.inf]
    norm = BoundaryNorm(range(len(edges)), len(SHADES))
    for axes, (name, each) in zip(panels, saved.items(), strict=False):
        classes = np.where(np.isfinite(each), np.digitize(each, edges) - 1, np.nan)
        mesh = axes.pcolormesh(
            diameters[0],
            covers[0],
            classes,
            cmap=ListedColormap(SHADES),
            norm=norm,
            shading="nearest",
        )
        mesh.set_rasterized(True)
        _hatched(axes, diameters[0], covers[0], classes == WORSE, HATCH)
        _hatched(axes, diameters[0], covers[0], np.isnan(classes), NONE_HATCH)
        axes.set_title(label(name), fontsize=9)
        axes.set_xlabel(f"host diameter, {diameters[1]}")
    for axes in panels[::across]:
        axes.set_ylabel(f"cover, {covers[1]}")
    panels[0].invert_yaxis()
    figure.legend(
        handles=_classes(texts), loc="outside lower center", ncols=3, frameon=False, fontsize=8
    )
    figure.suptitle(literal(title), fontsize=9)
    return figure


def _classes(texts: Sequence[str]) -> list[Artist]:
    """The patches of the legend."""
    from matplotlib.patches import Patch

    shades = [*zip((*SHADES, BLANK), texts, strict=True)]
    hatches = {WORSE: HATCH, len(SHADES): NONE_HATCH}
    return [
        Patch(facecolor=shade, edgecolor="black", label=text, hatch=hatches.get(place, ""))
        for place, (shade, text) in enumerate(shades)
    ]


def _hatched(axes: Axes, x: Floats, y: Floats, where: Any, hatch: str) -> None:
    if where.any():
        axes.contourf(x, y, where.astype(float), [0.5, 1.5], colors="none", hatches=[hatch])


def checks_over_thickness(
    curves: Sequence[OverThickness], thicknesses: Floats, nominal: float, title: str = ""
) -> Figure:
    """Demand over capacity of each check over thickness in mm; it passes at or below 1."""
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
    nominal_text = _said("nominal_line", nominal=nominal)
    axes.axvline(nominal, color="black", lw=0.8, linestyle=":", label=nominal_text)
    axes.set_ylim(0, 3)
    axes.set_title(literal(title), fontsize=9)
    axes.set_xlabel("thickness, mm")
    axes.set_ylabel(_said("demand"))
    axes.legend(frameon=False)
    return figure
