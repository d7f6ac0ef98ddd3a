"""A map of an inventory: every pipe in its place, by the class of one column.

Classes differ in width and dash as well as in colour, for grey print and the colour-blind.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.documents.blocks import Picture
from linerdesign.documents.figures import COLOURS, DASHES, label, literal, new_figure, picture
from linerdesign.project.delimited import split_heading
from linerdesign.project.extras import extra
from linerdesign.project.faults import InputFaults, fault, shown
from linerdesign.project.measures import convert
from linerdesign.tasks.batch.geometry import Geometry, crs_of
from linerdesign.tasks.batch.pieces import STATUSES
from linerdesign.words import sentence

if TYPE_CHECKING:
    import polars as pl
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Floats = NDArray[np.float64]
MOST_CLASSES = 6
# Each class of numbers is darker than the one before.
SHADES = ("#4C93C3", "#3080B5", "#1F6AA5", "#0F4F85", "#023858", "#000000")
WIDTHS = (0.9, 4.2)
NO_VALUE = {"color": "#7F7F7F", "lw": 0.7, "linestyle": ":"}
# More points than this are drawn as an image within the picture.
MOST_POINTS = 50_000
# Lengths of a scale bar, and what part of the map it is at most.
ROUND, BAR_SHARE = (5.0, 2.0, 1.0), 0.25
# Where it begins and how high its ticks are, in shares of the map.
CORNER, TICK = 0.03, 0.012
# The unit of the scale bar and the longer one that follows it.
BAR_UNITS = {"SI": ("m", "km"), "US": ("ft", "mi")}
# A small step to the north, in degrees.
STEP = 1e-4


@dataclass(frozen=True)
class Class:
    """The pipes with one value, or with values of one range."""

    text: str
    rows: NDArray[np.bool_]
    style: dict[str, Any]


@dataclass(frozen=True)
class NetworkMap:
    """A map as a figure, with its caption and its words."""

    figure: Figure
    caption: str
    words: str

    @property
    def block(self) -> Picture:
        """The map as a block of a document."""
        return picture(self.figure, self.caption, self.words)


@dataclass
class Sketch:
    """What a map of one column needs of the rows, gathered piece by piece."""

    geometry: Geometry
    column: str
    _parts: list[pl.DataFrame] = field(default_factory=list)

    def add(self, frame: pl.DataFrame) -> None:
        """Adds the rows of a piece of the result."""
        self._parts.append(frame.select(place=self.geometry.column, value=self.column))

    def drawn(self, title: str, system: str) -> NetworkMap:
        """The map, its scale bar in the units of the system.

        Raises:
            InputFaults: where no row has a geometry, or a library is missing.
        """
        import polars as pl

        every = pl.concat(self._parts)
        values = every["value"]
        ordered = [*STATUSES[1:], STATUSES[0]] if self.column == "status" else None
        classes = list(classed(values, ordered))
        lines = _lines(every["place"].to_list(), self.geometry)
        name, unit = split_heading(self.column)
        what = name.replace("_", " ") + (f", {unit}" if unit else "")
        capital = what[0].upper() + what[1:]
        heading = sentence("inventory.map_title", what=capital, title=title)
        figure, axes = _drawn(lines, classes, heading, what)
        surround = _surround(axes, lines, self.geometry, system)
        where = sentence("inventory.map_where", where=surround)
        axes.set_xlabel(literal(where), loc="right", fontsize=7)
        caption = sentence("inventory.map", what=what, where=where)
        if lost := every.height - len(np.unique(lines.rows)):
            caption += sentence("inventory.map_without", count=f"{lost:,}")
        words = "; ".join(f"{each.text}: {np.count_nonzero(each.rows):,}" for each in classes)
        return NetworkMap(figure, caption, f"{what}: {words}")


@dataclass(frozen=True)
class Lines:
    """Points of lines, x and y; `line` is the line of each point, `rows` the row of each line."""

    points: Floats
    line: NDArray[np.int64]
    rows: NDArray[np.int64]

    def of(self, rows: NDArray[np.bool_]) -> list[Floats]:
        """The lines of some rows."""
        kept = rows[self.rows][self.line]
        _, first = np.unique(self.line[kept], return_index=True)
        return np.split(self.points[kept], first[1:]) if kept.any() else []


def column_of(headers: Sequence[str], wanted: str) -> str:
    """The header of a column by itself, or by its name without the unit.

    Raises:
        InputFaults: where there is none.
    """
    names = {split_heading(header)[0]: header for header in headers}
    found = wanted if wanted in headers else names.get(wanted)
    if found is None:
        known = ", ".join(map(shown, headers))
        raise InputFaults([fault("inventory.no_column", "--map-by", shown(wanted), known=known)])
    return found


def classed(values: pl.Series, ordered: Sequence[str] | None = None) -> Iterator[Class]:
    """The classes of a column, each with its style; rows without a value come last.

    Numbers of more than six values are parted in six by the quantiles of these values, texts
    after the five most frequent are one class. `ordered` are texts in the order of their weight.
    """
    import polars as pl

    numbers = values.cast(pl.Float64, strict=False)
    if numbers.null_count() == values.null_count() and not values.dtype.is_(pl.Boolean):
        parted = list(_of_numbers(numbers.to_numpy()))
        spread = np.linspace(0, len(SHADES) - 1, len(parted)).round().astype(int)
        colours: Sequence[str] = [SHADES[place] for place in spread]
        dashes: Sequence[Any] = ("-", "--")
    else:
        parted = list(_of_texts(values.cast(pl.String), ordered))
        colours, dashes = COLOURS, DASHES
    widths = np.linspace(*WIDTHS, len(parted))
    for place, (text, rows) in enumerate(parted):
        colour, dash = colours[place % len(colours)], dashes[place % len(dashes)]
        yield Class(text, rows, {"color": colour, "lw": widths[place], "linestyle": dash})
    none = (values.is_null() | ~numbers.is_finite().fill_null(value=True)).to_numpy()
    if none.any():
        yield Class(sentence("inventory.map_none"), none, NO_VALUE)


def _of_numbers(numbers: Floats) -> Iterator[tuple[str, NDArray[np.bool_]]]:
    known = np.unique(numbers[np.isfinite(numbers)])
    shares = np.arange(1, MOST_CLASSES + 1) / MOST_CLASSES
    # Of six values or fewer each is one of these quantiles.
    ends = np.unique(np.quantile(known, shares, method="inverted_cdf")) if len(known) else known
    below = -np.inf
    for end in ends:
        rows = (numbers > below) & (numbers <= end)
        least = numbers[rows].min()
        same = least == end
        yield (f"{end:g}" if same else f"{least:.4g} to {end:.4g}"), rows
        below = end


def _of_texts(
    texts: pl.Series, ordered: Sequence[str] | None
) -> Iterator[tuple[str, NDArray[np.bool_]]]:
    counts = texts.drop_nulls().value_counts(sort=True)
    names = counts[counts.columns[0]].to_list()
    most = names if len(names) <= MOST_CLASSES else names[: MOST_CLASSES - 1]
    for name in sorted(most, key=ordered.index if ordered else None):
        yield name, (texts == name).fill_null(value=False).to_numpy()
    if len(most) < len(names):
        other = ~texts.is_in(most) & texts.is_not_null()
        yield sentence("inventory.map_other"), other.fill_null(value=False).to_numpy()


def _lines(places: list[bytes | None], geometry: Geometry) -> Lines:
    """The geometries as lines: polygons by their outlines, points as lines of one point."""
    shapely = extra("shapely", geometry.column)
    shapes = shapely.from_wkb(np.array(places, dtype=object), on_invalid="ignore")
    rows = np.arange(len(places))
    # Parts first: a collection may hold polygons, and a polygon's outline several rings.
    while ((kinds := shapely.get_type_id(shapes)) >= shapely.GeometryType.POLYGON).any():
        outlines = kinds == shapely.GeometryType.POLYGON
        shapes[outlines] = shapely.boundary(shapes[outlines])
        shapes, index = shapely.get_parts(shapes, return_index=True)
        rows = rows[index]
    points, line = shapely.get_coordinates(shapes, return_index=True)
    kept = np.isfinite(points).all(axis=1)
    if not kept.any():
        raise InputFaults([fault("inventory.map_empty", f"column {shown(geometry.column)}")])
    numbers, line = np.unique(line[kept], return_inverse=True)
    return Lines(points[kept], line, rows[numbers])


def _drawn(lines: Lines, classes: Sequence[Class], title: str, what: str) -> tuple[Figure, Axes]:
    from matplotlib.collections import LineCollection

    figure, (axes,) = new_figure(7.2, 6.4, 1)
    for each in classes:
        parts = lines.of(each.rows)
        style = each.style
        dots = [part[0] for part in parts if len(part) == 1]
        axes.plot(
            *np.reshape(dots, (len(dots), 2)).T, "o", color=style["color"], ms=2 + style["lw"]
        )
        drawn = LineCollection(
            [part for part in parts if len(part) > 1],
            colors=style["color"],
            linewidths=style["lw"],
            linestyles=[style["linestyle"]],
        )
        drawn.set_rasterized(len(lines.points) > MOST_POINTS)
        axes.add_collection(drawn)
        text = f"{each.text} ({np.count_nonzero(each.rows):,})"
        axes.plot([], [], **style, label=label(text))
    axes.autoscale_view()
    axes.margins(0.08)
    axes.set_xticks([])
    axes.set_yticks([])
    axes.set_title(literal(title), fontsize=10)
    legend = figure.legend(
        loc="outside lower center",
        ncols=min(len(classes), 3),
        frameon=False,
        fontsize=9,
        title=literal(sentence("inventory.map_legend", what=what)),
        handlelength=4.5,
    )
    legend.get_title().set_fontsize(9)
    return figure, axes


def _surround(axes: Axes, lines: Lines, geometry: Geometry, system: str) -> str:
    """Draws scale bar and north arrow; gives the coordinate system in words."""
    axes.set_aspect("equal", adjustable="datalim")
    if geometry.crs is None:
        return sentence("inventory.map_no_crs")
    crs = crs_of(geometry.crs, geometry.column)
    code = crs.to_authority()
    named = str(crs.name) + (f" ({':'.join(code)})" if code else "")
    middle = (lines.points.min(axis=0) + lines.points.max(axis=0)) / 2
    if (found := _ground(crs, middle)) is None:
        return named + sentence("inventory.map_no_scale")
    across, along, north = found
    axes.set_aspect(along / across)
    # The limits are those of the aspect only once it has been laid out.
    axes.figure.canvas.draw()
    axes.set_adjustable("box")
    axes.autoscale(enable=False)
    _scale_bar(axes, across, system)
    # On paper, where a metre is as long either way.
    _north_arrow(axes, north * np.array([across, along]))
    return named


def _ground(crs: Any, middle: Floats) -> tuple[float, float, Floats] | None:
    """Metres on the ground of a unit across and a unit up at a point, and the way to the north.

    None where the coordinates have no known place on the earth.
    """
    pyproj = extra("pyproj", "map")
    try:
        globe, geod = crs.geodetic_crs, crs.get_geod()
        there = pyproj.Transformer.from_crs(crs, globe, always_xy=True)
        x, y = middle
        lon, lat = there.transform(x, y)
        up = there.transform(lon, lat + STEP, direction="INVERSE")
        north = np.array(up) - middle
        reach = float(np.hypot(*north))
        metres = [
            geod.inv(*there.transform(x - dx, y - dy), *there.transform(x + dx, y + dy))[2]
            / (2 * reach)
            for dx, dy in ((reach, 0.0), (0.0, reach))
        ]
    except (pyproj.exceptions.ProjError, AttributeError, TypeError):
        return None
    if not np.isfinite(metres).all():
        return None
    return metres[0], metres[1], north


def _scale_bar(axes: Axes, metres: float, system: str) -> None:
    """A bar in the lower left corner, in shares of the axes."""
    wide = np.ptp(axes.get_xlim()) * metres
    most = BAR_SHARE * wide
    short, long = BAR_UNITS[system]
    unit = long if convert(most, "m", long) >= 1 else short
    length = _round(convert(most, "m", unit))
    start, end = CORNER, CORNER + convert(length, unit, "m") / wide
    low, high = CORNER, CORNER + TICK
    shares = axes.transAxes
    bar = [start, start, end, end], [high, low, low, high]
    axes.plot(*bar, color="black", lw=1.4, transform=shares)
    text = f"{length:g} {unit}"
    middle = (start + end) / 2
    axes.text(middle, high, text, ha="center", va="bottom", fontsize=9, transform=shares)


def _round(most: float) -> float:
    """The largest of 1, 2 and 5, and their tenfolds, that is not more."""
    power = 10.0 ** np.floor(np.log10(most))
    return float(next(each * power for each in ROUND if each * power <= most * (1 + 1e-12)))


def _north_arrow(axes: Axes, north: Floats) -> None:
    """An arrow in the upper right corner that points to true north at the middle of the map."""
    up = 28.0 * north / np.hypot(*north)
    arrow = {"arrowstyle": "-|>", "color": "black"}
    corner = (0.95, 0.90)
    axes.annotate(
        "",
        xy=up / 2,
        xytext=-up / 2,
        xycoords=_beside(axes, corner),
        textcoords=_beside(axes, corner),
        arrowprops=arrow,
    )
    axes.annotate("N", corner, up * 0.8, "axes fraction", "offset points", ha="center", va="center")


def _beside(axes: Axes, corner: tuple[float, float]) -> Any:
    """Points on the paper from a place in the axes."""
    from matplotlib.text import OffsetFrom

    return OffsetFrom(axes.patch, corner)
