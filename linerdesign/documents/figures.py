"""Figures drawn by matplotlib, as SVG or PNG: the same bytes for the same numbers."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING, Any

from linerdesign.documents.blocks import Picture
from linerdesign.documents.numbers import clean

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Distinct in colour and in dash, for those who don't tell the colours apart and for black print.
COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#56B4E9", "#E69F00", "#000000")
DASHES = ("-", "--", "-.", ":", (0, (7, 1.5, 1, 1.5, 1, 1.5)), (0, (8, 2)), (0, (1, 2)))
LONGEST_LABEL = 40
_STYLE: Any = {
    "svg.hashsalt": "linerdesign",
    "svg.fonttype": "path",
    "font.family": "DejaVu Sans",
    "font.size": 9.0,
    "axes.spines.top": False,
    "axes.spines.right": False,
}


def render(figure: Figure, form: str) -> bytes:
    """The picture as `svg` or `png`, without the date or the program's version in it."""
    from matplotlib import rc_context

    metadata = {"svg": {"Date": None, "Creator": None}, "png": {"Software": None}}[form]
    file = BytesIO()
    with rc_context(_STYLE):
        figure.savefig(file, format=form, dpi=150, metadata=metadata)
    return file.getvalue()


def picture(figure: Figure, caption: str, alternative: str) -> Picture:
    """A figure as a block of a document."""
    svg = render(figure, "svg").decode()
    return Picture(svg[svg.index("<svg") :], caption, alternative)


def literal(text: str) -> str:
    """A text that a figure shows as it is: a dollar sign would begin mathematics."""
    return clean(text).replace("$", r"\$")


def label(text: str) -> str:
    """A name as the label of a curve: cut to a width that leaves room for the curve.

    A leading underscore would keep it out of the legend.
    """
    name = clean(text)
    name = literal(name if len(name) <= LONGEST_LABEL else name[: LONGEST_LABEL - 1] + "…")
    return f" {name}" if name.startswith("_") else name


def new_figure(
    width: float, height: float, panels: int, columns: int = 0
) -> tuple[Figure, Sequence[Axes]]:
    """A figure of its own, outside pyplot, so that nothing is shared between runs.

    Its panels are side by side, or in rows of so many `columns`.
    """
    from matplotlib import rc_context
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    with rc_context(_STYLE):
        figure = Figure(figsize=(width, height), layout="constrained")
        FigureCanvasAgg(figure)
        across = columns or panels
        axes = figure.subplots(-(-panels // across), across, squeeze=False, sharey=True).ravel()
    for spare in axes[panels:]:
        spare.remove()
    return figure, list(axes[:panels])
