"""The chart and the tables of `docs/buckling.md`.

`python docs/ring_chart.py` draws the chart and writes the tables of the convergence study into the
page, between its marks. It takes a minute.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from linerdesign.documents.figures import COLOURS, DASHES, new_figure, render
from linerdesign.methods.f1216 import mechanics
from linerdesign.methods.f1216.ovality import ovality_reduction
from linerdesign.methods.ring import equations as ring
from linerdesign.methods.ring.collapse import collapse
from linerdesign.methods.ring.method import GERMAN_BULGE, GERMAN_GAP
from linerdesign.tasks.second_opinion.opinion import SMALL_BULGE
from linerdesign.tasks.second_opinion.working import gap_ratio

HERE = Path(__file__).parent
sys.path.append(str(HERE.parent / "tests" / "benchmarks"))

from ring_convergence import TABLES, Row  # noqa: E402

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PICTURE, PAGE = "equivalent_k.svg", "buckling.md"
RATIOS = (10.0, 12.0, 15.0, 18.0, 22.0, 28.0, 35.0, 45.0, 60.0, 80.0, 100.0, 125.0, 150.0)
GAPS = (0.0, 0.003, 0.01, 0.03)
OVALITIES = (0.0, 0.02, 0.05, 0.1)
CUSTOM = 7.0
# 49 tests, Aggarwal & Cooper 1984, from memory; the mean of one product, from a secondary source.
MEASURED, MEAN = (6.5, 25.8), 9.8
_PART = re.compile(r"(<!-- computed: tables -->\n).*?(<!-- end -->)", re.DOTALL)


def needed(dimension_ratio: float, gap: float, ovality: float, bulge: float) -> float:
    """K with which X1.1, its C included, agrees with the model; NaN where that has no number."""
    found = collapse(dimension_ratio, gap, ovality, bulge)
    if found.enhancement_factor is None:
        return float("nan")
    return found.enhancement_factor / float(ovality_reduction(100 * ovality))


def chart() -> Figure:
    """K over DR: gaps of a round, nearly perfect liner, and ovalities of a usual one."""
    figure, (left, right) = new_figure(7.5, 4.2, 2)
    for place, gap in enumerate(GAPS):
        curve = [needed(ratio, gap, 0.0, SMALL_BULGE) for ratio in RATIOS]
        _curve(left, place, curve, f"gap {100 * gap:g} %")
    for place, ovality in enumerate(OVALITIES):
        curve = [needed(ratio, GERMAN_GAP, ovality, GERMAN_BULGE) for ratio in RATIOS]
        _curve(right, place, curve, f"ovality {100 * ovality:g} %")
    left.set_title(f"round, bulge {100 * SMALL_BULGE:g} %", fontsize=9)
    right.set_title(f"gap {100 * GERMAN_GAP:g} %, bulge {100 * GERMAN_BULGE:g} %", fontsize=9)
    for axes in (left, right):
        axes.axhspan(*MEASURED, color="#EEEEEE")
        axes.axhline(MEAN, color="#888888", lw=0.9, linestyle=DASHES[1], label="mean of a product")
        axes.axhline(CUSTOM, color="black", lw=1.2, label="K = 7")
        axes.set_xlabel("dimension ratio DR")
        axes.legend(frameon=False, fontsize=7, loc="upper left")
    low, high = MEASURED
    right.text(150, high - 0.4, f"measured: {low:g} to {high:g}", ha="right", va="top", fontsize=7)
    left.set_ylabel("K with which X1.1 agrees")
    left.set_ylim(0, 30)
    return figure


def _curve(axes: Axes, place: int, factors: Sequence[float], label: str) -> None:
    axes.plot(RATIOS, factors, color=COLOURS[place], linestyle=DASHES[place], lw=1.5, label=label)


def gap_by_lobe(dimension_ratio: float, gap: float) -> float:
    """K of the closed form for one lobe and a uniform gap."""
    ratio = gap_ratio(dimension_ratio, gap)
    depth = ring.lobe_depth(ratio)
    opening = ring.lobe_opening(ratio, dimension_ratio, 1.0, depth)
    pressure = ring.gap_pressure(1.0, depth, dimension_ratio, opening)
    return float(mechanics.equivalent_factor(pressure, 1.0, dimension_ratio))


def gap_closed_form() -> Iterator[Row]:
    """Round liners with a gap: K of the closed form over K of the model, bulge 0.1 %."""
    yield "DR", *(f"gap {100 * gap:g} %" for gap in GAPS)
    for ratio in (10.0, 20.0, 30.0, 50.0, 100.0):
        found = [gap_by_lobe(ratio, gap) / needed(ratio, gap, 0.0, SMALL_BULGE) for gap in GAPS]
        yield ratio, *found


def tables() -> str:
    """The tables of the convergence study, and of the gap, in Markdown."""
    every = (*TABLES, gap_closed_form)
    return "\n\n".join(
        f"{(table.__doc__ or '').strip()}\n\n{_markdown(list(table()))}" for table in every
    )


def _markdown(rows: Sequence[Row]) -> str:
    lines = [rows[0], tuple("--:" for _ in rows[0]), *rows[1:]]
    return "\n".join("| " + " | ".join(_cell(cell) for cell in line) + " |" for line in lines)


def _cell(cell: str | float) -> str:
    return cell if isinstance(cell, str) else f"{cell:.4g}"


def main(folder: Path) -> None:
    """Write the chart and the tables into the folder of the documentation."""
    (folder / PICTURE).write_bytes(render(chart(), "svg"))
    page = folder / PAGE
    text = page.read_text(encoding="utf-8")
    made = tables()
    text = _PART.sub(lambda part: f"{part[1]}{made}\n{part[2]}", text)
    page.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(HERE)
