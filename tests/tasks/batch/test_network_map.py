"""The map of an inventory: classes, scale bar and north against geodesy, and what is printed."""

import io
import re
from itertools import pairwise

import numpy as np
import polars as pl
import pytest
from drawings import inside
from matplotlib.figure import Figure
from tasks.batch.test_geometry import batch, folder, rows, write  # noqa: F401

from linerdesign.documents.figures import COLOURS
from linerdesign.project.faults import InputFaults, fault
from linerdesign.tasks.batch.geometry import Geometry
from linerdesign.tasks.batch.network_map import (
    SHADES,
    Sketch,
    _lines,
    _round,
    _scale_bar,
    classed,
    column_of,
)
from linerdesign.tasks.batch.pieces import STATUSES

pyproj = pytest.importorskip("pyproj")
shapely = pytest.importorskip("shapely")

# Radii of the ellipsoid of WGS 84: NIMA TR8350.2 (from memory).
EQUATOR, FLATTENING = 6378137.0, 1 / 298.257223563
# A town in the far north, where a flat map of the world is stretched twofold.
LATITUDE = 60.0
# tan(dlon) * sin(lat): the tangent of the convergence on a sphere, nearly that of an ellipsoid.
TURN = np.tan(np.radians(6)) * np.sin(np.radians(LATITUDE))


def drawn(shapes, crs, values=None, system="SI"):
    """The map of some shapes, its figure laid out."""
    sketch = Sketch(Geometry("place", crs), "nominal_thickness [mm]")
    values = [6.0] * len(shapes) if values is None else values
    wkb = [shape and shapely.to_wkb(shape) for shape in shapes]
    place = pl.Series(wkb, dtype=pl.Binary)
    sketch.add(pl.DataFrame({"place": place, "nominal_thickness [mm]": values}))
    found = sketch.drawn("Harrowmere", system)
    found.figure.savefig(io.BytesIO(), format="png")
    return found


def square(crs, metres=1000.0):
    """The four sides of a square about 3 degrees east, in a coordinate system."""
    east = pyproj.Transformer.from_crs("EPSG:4326", crs, always_xy=True)
    across, along = metres / _degree(LATITUDE)[0] / 2, metres / _degree(LATITUDE)[1] / 2
    corners = [(3 + i * across, LATITUDE + j * along) for i, j in ((-1, -1), (1, -1), (1, 1))]
    corners.append((3 - across, LATITUDE + along))
    points = [east.transform(*corner) for corner in corners]
    return [shapely.linestrings([points[n - 1], points[n]]) for n in range(4)]


def _degree(latitude):
    """Metres of a degree of longitude and of latitude, by the radii of the ellipsoid."""
    square_of_e = FLATTENING * (2 - FLATTENING)
    sine = np.sin(np.radians(latitude))
    normal = EQUATOR / np.sqrt(1 - square_of_e * sine**2)
    meridian = EQUATOR * (1 - square_of_e) / (1 - square_of_e * sine**2) ** 1.5
    return np.radians(1) * normal * np.cos(np.radians(latitude)), np.radians(1) * meridian


def bar(found):
    """The length that the scale bar states, and its ends on the paper, in points."""
    (axes,) = found.figure.axes
    texts = [text for text in axes.texts if re.fullmatch(r"[\d.e+]+ (m|km|ft|mi)", text.get_text())]
    (text,) = texts
    line = next(line for line in axes.lines if len(line.get_xdata()) == 4)
    ends = line.get_transform().transform(np.column_stack(line.get_data())[1:3])
    return text.get_text(), ends


def sides(found, shapes):
    """The sides of the square on the paper, in points."""
    (axes,) = found.figure.axes
    corners = [axes.transData.transform(shapely.get_coordinates(shape)) for shape in shapes]
    return [float(np.hypot(*(one - other))) for one, other in corners]


@pytest.mark.parametrize("crs", ["EPSG:4326", "EPSG:3857", "EPSG:32631", "EPSG:32632", "EPSG:3034"])
@pytest.mark.parametrize(("system", "unit"), [("SI", 1.0), ("US", 0.3048)])
def test_the_scale_bar_measures_the_ground(crs, system, unit):
    """A square of a known side, whatever the map does to it: degrees, a flat world, a zone."""
    shapes = square(crs)
    found = drawn(shapes, crs, system=system)
    text, ends = bar(found)
    number, name = text.split()
    assert name == {"SI": "m", "US": "ft"}[system]
    on_paper = float(np.hypot(*(ends[1] - ends[0])))
    for side in sides(found, shapes):
        # A conformal map is true in all directions; one of degrees in its middle.
        assert side / on_paper * float(number) * unit == pytest.approx(1000, rel=2e-3)
    # Nice numbers alone.
    assert re.fullmatch(r"[125]0*", number)


@pytest.mark.parametrize(
    ("crs", "turned"),
    [
        ("EPSG:32631", 0.0),
        ("EPSG:4326", 0.0),
        # Convergence of a transverse Mercator map, 6 degrees from its meridian.
        ("EPSG:32632", np.degrees(np.arctan(TURN))),
    ],
)
def test_the_arrow_points_to_true_north(crs, turned):
    found = drawn(square(crs), crs)
    (axes,) = found.figure.axes
    (arrow,) = [each for each in axes.texts if each.get_text() == "" and each.arrow_patch]
    tip, tail = np.array(arrow.xy), np.array(arrow.xyann)
    right, up = tip - tail
    assert np.degrees(np.arctan2(right, up)) == pytest.approx(turned, abs=0.02)
    assert any(text.get_text() == "N" for text in axes.texts)


@pytest.mark.parametrize(
    "crs",
    [
        None,
        'ENGCRS["Yard",EDATUM["Gate"],CS[Cartesian,2],'
        'AXIS["x",east],AXIS["y",north],LENGTHUNIT["metre",1]]',
        # Millions of kilometres off its zone, and beyond the pole.
        "EPSG:32631",
        "EPSG:4326",
    ],
)
def test_without_a_place_on_the_earth_there_is_neither_and_it_says_so(crs):
    far = {"EPSG:32631": 1e9, "EPSG:4326": 95.0}.get(crs, 0.0)
    found = drawn([shapely.linestrings([(far, far), (far + 9, far + 9)])], crs)
    assert "no scale bar" in found.caption
    (axes,) = found.figure.axes
    assert not [text for text in axes.texts if text.get_text() == "N"]
    # To one scale across and up, and as wide as the figure.
    (x0, y0), (x1, y1) = axes.transData.transform([(far, far), (far + 9, far + 9)])
    assert x1 - x0 == pytest.approx(y1 - y0)
    assert axes.get_window_extent().width > 0.9 * found.figure.bbox.width


def _styles(found):
    return [(each.style["color"], each.style["lw"], str(each.style["linestyle"])) for each in found]


@pytest.mark.parametrize(
    ("values", "texts"),
    [
        (pl.Series([6.0, 4.5, None, 6.0]), ["4.5", "6", "no value"]),
        (pl.Series([float(n) for n in range(1, 13)]), [f"{n} to {n + 1}" for n in range(1, 12, 2)]),
        # One thick wall among thin ones is not lost in a class of them.
        (pl.Series([4.5] * 90 + [6, 7.5, 9, 10.5, 12, 126]), None),
        (pl.Series(["b", "a", None, "b"]), ["a", "b", "no value"]),
        (pl.Series(list("aabbccddeefg")), ["a", "b", "c", "d", "e", "other"]),
        (pl.Series([True, False]), ["false", "true"]),
    ],
)
def test_classes_hold_every_row_once_and_differ_without_colour(values, texts):
    found = list(classed(values))
    assert np.all(sum(each.rows.astype(int) for each in found) == 1)
    if texts is not None:
        assert [each.text for each in found] == texts
    else:
        assert found[-1].text.endswith("126")
        assert found[-1].rows.sum() <= 2
    widths = [each.style["lw"] for each in found]
    assert len(set(widths)) == len(found)
    assert len(set(_styles(found))) == len(found)
    # Neighbours differ in dash too.
    dashes = [str(each.style["linestyle"]) for each in found]
    assert all(one != other for one, other in pairwise(dashes))


def test_shades_darken_in_grey_print():
    """Relative luminance: IEC 61966-2-1 and ITU-R BT.709 (from memory)."""

    def luminance(colour):
        parts = np.array([int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)])
        linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
        return float(linear @ [0.2126, 0.7152, 0.0722])

    found = [luminance(shade) for shade in SHADES]
    assert all(one > other for one, other in pairwise(found))
    # Contrast of the lightest to white paper, 3 for graphics: WCAG 2.1, 1.4.11 (from memory).
    assert 1.05 / (found[0] + 0.05) > 3


def test_a_map_is_written_and_stands_in_the_page(run, folder):  # noqa: F811
    lines = shapely.linestrings(np.random.default_rng(3).uniform(5e5, 5.01e5, (12, 2, 2)))
    shapes = [*lines[:-1], None]
    table = rows(12).with_columns(pl.lit("sand $x$ & <clay>").alias("bedding"))
    write(folder / "in.gpkg", shapes, table=table)
    wanted = ("-o", "map.svg", "-o", "map.png", "-o", "page.html", "--map-by", "bedding")
    code, _, err = batch(run, "in.gpkg", "out.gpkg", *wanted)
    assert code == 0, err
    assert (folder / "map.png").read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"
    assert (folder / "map.svg").read_text(encoding="utf-8").count("<path") > 12
    page = (folder / "page.html").read_text(encoding="utf-8")
    assert "Map of the pipes by bedding" in page
    assert "not drawn: 1" in page
    assert "WGS 84 / UTM zone 30N (EPSG:32630)" in page
    assert "data:image/svg+xml" in page
    # The same bytes again.
    before = (folder / "map.svg").read_bytes()
    batch(run, "in.gpkg", "out.gpkg", *wanted, "--force")
    assert (folder / "map.svg").read_bytes() == before


def test_points_and_outlines_are_drawn(run, folder):  # noqa: F811
    texts = ["POINT (500000 0)", "POLYGON ((500000 0, 500100 0, 500100 90, 500000 0))"]
    texts.append("GEOMETRYCOLLECTION (POINT (500050 50), LINESTRING (500000 9, 500009 9))")
    found = drawn([shapely.from_wkt(text) for text in texts], "EPSG:32630", [4.5, 6.0, 7.5])
    (axes,) = found.figure.axes
    assert sum(len(each.get_segments()) for each in axes.collections) == 2
    assert sum(len(each.get_xdata()) for each in axes.lines if each.get_marker() == "o") == 2
    assert found.words.endswith("4.5: 1; 6: 1; 7.5: 1")


@pytest.mark.parametrize(
    ("wanted", "expected"),
    [(("--map-by", "status"), "no geometry"), (("-o", "map.svg"), "no geometry")],
)
def test_a_map_of_a_table_without_geometry_is_refused(run, folder, wanted, expected):  # noqa: F811
    rows().write_csv(folder / "in.csv")
    code, _, err = batch(run, "in.csv", "out.csv", *wanted)
    assert code == 2
    assert expected in err
    assert not (folder / "out.csv").exists()
    # A page of it has no map, and no fault.
    assert batch(run, "in.csv", "out.csv", "-o", "page.html")[0] == 0


def test_an_unknown_column_and_a_table_of_no_lines_are_faults(run, folder):  # noqa: F811
    write(folder / "in.gpkg", shapely.linestrings([[(0, 0), (1, 1)]] * 3))
    code, _, err = batch(run, "in.gpkg", "out.gpkg", "--map-by", "thicknes")
    assert code == 2
    assert "nominal_thickness [mm]" in err
    write(folder / "none.gpkg", [None, None])
    assert batch(run, "none.gpkg", "out.gpkg", "--map-by", "status")[0] == 2
    assert not (folder / "out.gpkg").exists()


def test_the_legend_of_many_classes_is_inside_the_picture(caplog):
    """Six classes of a range each and one of no value; nothing is said while it is laid out."""
    values = [*(10.25 + 1.5 * n for n in range(39)), None] * 40
    found = drawn(square("EPSG:4326") * 400, "EPSG:4326", values=values)
    figure = found.figure
    (legend,) = figure.legends
    box, picture = legend.get_window_extent(), figure.bbox
    assert picture.x0 <= box.x0
    assert box.x1 <= picture.x1
    assert not caplog.records


def test_every_text_of_a_map_is_inside_it_and_its_lines_are_to_scale():
    """A unit across is as long on the paper as a unit up: a square of the plane stays one."""
    found = drawn(square("EPSG:32631"), "EPSG:32631", [4.5, 6.0, 7.5, 9.0])
    inside(found.figure)
    (axes,) = found.figure.axes
    (x0, y0), (x1, y1) = axes.transData.transform([(0, 0), (1, 1)])
    assert abs(x1 - x0) == pytest.approx(abs(y1 - y0), rel=1e-3)
    # The frame is as wide as the figure, whatever the shape of the town.
    assert axes.get_window_extent().width > 0.9 * found.figure.bbox.width
    assert not len(axes.get_xticks()) + len(axes.get_yticks())
    texts = [text.get_text() for text in found.figure.legends[0].get_texts()]
    assert texts == ["4.5 (1)", "6 (1)", "7.5 (1)", "9 (1)"]
    lines = [each for each in axes.collections if len(each.get_segments())]
    widths = [each.get_linewidth()[0] for each in lines]
    assert widths == sorted(widths)
    assert len(set(widths)) == 4
    # Nothing is drawn on the frame: the map has a margin of a few percent all round.
    points = np.concatenate([part for each in lines for part in each.get_segments()])
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    assert left + 0.03 * (right - left) < points[:, 0].min()
    assert points[:, 0].max() < right - 0.03 * (right - left)
    assert low + 0.03 * (high - low) < points[:, 1].min()
    assert points[:, 1].max() < high - 0.03 * (high - low)


@pytest.mark.parametrize("count", range(1, 7))
def test_up_to_six_numbers_are_a_class_each(count):
    values = [1.5 * n for n in range(1, count + 1)]
    found = list(classed(pl.Series([*values, *values])))
    assert [each.text for each in found] == [f"{value:g}" for value in values]
    assert [each.rows.sum() for each in found] == [2] * count
    # Shades from the lightest to the darkest, widths from 0.9 to 4.2; dashes by turns.
    assert [each.style["color"] for each in found[:1]] == [SHADES[0]]
    assert [each.style["lw"] for each in found[:1]] == [0.9]
    if count > 1:
        assert found[-1].style["color"] == SHADES[-1]
        assert found[-1].style["lw"] == pytest.approx(4.2)
    places = [SHADES.index(each.style["color"]) for each in found]
    assert places == sorted(set(places))
    assert [each.style["linestyle"] == "-" for each in found] == [
        place % 2 == 0 for place in range(count)
    ]


@pytest.mark.parametrize("count", [7, 20, 1000])
def test_more_numbers_are_parted_in_six_of_as_many_values(count):
    """Values apart, not rows: a number that many rows have weighs no more."""
    values = [1.0 + n for n in range(count)]
    found = list(classed(pl.Series([*values, *[1.0] * 5000])))
    assert len(found) == 6
    of_each = [len({*np.array([*values, *[1.0] * 5000])[each.rows]}) for each in found]
    assert sum(of_each) == count
    assert max(of_each) - min(of_each) <= 1
    numbers = [each.text.split(" to ") for each in found]
    assert numbers[0][0] == "1"
    assert float(numbers[-1][-1]) == count


def test_no_number_at_all_is_one_class():
    for values in ([None, None], [float("nan"), None, float("inf")]):
        (only,) = classed(pl.Series(values, dtype=pl.Float64))
        assert (only.text, only.rows.sum()) == ("no value", len(values))
        assert only.style["color"] not in (*SHADES, *COLOURS)


def test_the_most_frequent_words_are_classes_and_words_of_weight_keep_their_order():
    """Six words are a class each; of seven the rarest two are one."""
    six = list(classed(pl.Series(list("fedcba") * 2)))
    assert [each.text for each in six] == list("abcdef")
    seven = list(classed(pl.Series([*list("gfedc") * 3, *"ab", None])))
    assert [(each.text, each.rows.sum()) for each in seven] == [
        *((letter, 3) for letter in "cdefg"),
        ("other", 2),
        ("no value", 1),
    ]
    weighed = list(classed(pl.Series(["error", "sized", "fails"]), ["sized", "fails", "error"]))
    assert [each.text for each in weighed] == ["sized", "fails", "error"]
    assert [each.style["color"] for each in weighed] == list(COLOURS[:3])


@pytest.mark.parametrize(
    ("most", "length"),
    [
        (1.0, 1),
        (1.99, 1),
        (2.0, 2),
        (4.9, 2),
        (5.0, 5),
        (9.99, 5),
        (10.0, 10),
        (0.3, 0.2),
        (730, 500),
    ],
)
def test_the_length_of_a_scale_bar_is_the_largest_round_one(most, length):
    assert _round(most) == pytest.approx(length)


@pytest.mark.parametrize(
    ("metres", "system", "texts"),
    [
        # The bar is a quarter of the map at most; the map is a little wider than the square.
        (1000, "SI", {"200 m"}),
        (30_000, "SI", {"5 km", "10 km"}),
        (1000, "US", {"500 ft", "1000 ft"}),
        (30_000, "US", {"5 mi"}),
        # Of a kilometre or a mile at least.
        (4500, "SI", {"1 km"}),
        (7200, "US", {"1 mi"}),
    ],
)
def test_a_long_scale_bar_is_in_the_longer_unit(metres, system, texts):
    shapes = square("EPSG:32631", metres)
    found = drawn(shapes, "EPSG:32631", system=system)
    text, ends = bar(found)
    assert text in texts
    (axes,) = found.figure.axes
    box = axes.get_window_extent()
    across = float(np.hypot(*(ends[1] - ends[0]))) / box.width
    assert 0.25 / 2.5 <= across <= 0.25
    # In the lower left corner, its ticks upward.
    assert ends[0][0] == pytest.approx(box.x0 + 0.03 * box.width, abs=1)
    assert ends[0][1] == pytest.approx(box.y0 + 0.03 * box.height, abs=1)
    line = next(line for line in axes.lines if len(line.get_xdata()) == 4)
    ys = line.get_ydata()
    assert ys[0] == ys[3] > ys[1] == ys[2]
    (label,) = [each for each in axes.texts if each.get_text() == text]
    assert label.get_position()[0] == pytest.approx(np.mean(line.get_xdata()))


def test_a_map_says_what_it_shows_and_what_it_leaves_out():
    shapes = [*square("EPSG:32631"), None]
    found = drawn(shapes, "EPSG:32631", [4.5, 6.0, 6.0, None, 4.5])
    where = "coordinates: WGS 84 / UTM zone 31N (EPSG:32631)"
    assert found.caption == (
        f"Map of the pipes by nominal thickness, mm; {where}; rows without geometry, not drawn: 1"
    )
    assert found.words == "nominal thickness, mm: 4.5: 2; 6: 2; no value: 1"
    (axes,) = found.figure.axes
    assert axes.get_title() == "Nominal thickness, mm, by pipe: Harrowmere"
    assert axes.get_xlabel() == where
    (legend,) = found.figure.legends
    assert legend.get_title().get_text() == "nominal thickness, mm (pipes)"
    assert [text.get_text() for text in legend.get_texts()] == [
        "4.5 (2)",
        "6 (2)",
        "no value (1)",
    ]
    # Each class is drawn in its own style, and a pipe without a value thinly dotted.
    widths = [each.get_linewidth()[0] for each in axes.collections]
    assert widths == pytest.approx([0.9, 4.2, 0.7])
    assert [len(each.get_segments()) for each in axes.collections] == [1, 2, 1]
    assert "not drawn" not in drawn(shapes[:-1], "EPSG:32631").caption


@pytest.mark.parametrize(("points", "image"), [(50_000, False), (50_001, True)])
def test_a_map_of_many_points_has_its_lines_as_an_image(points, image):
    line = shapely.linestrings(np.linspace([0, 0], [900, 900], points))
    found = drawn([line], "EPSG:32631")
    (axes,) = found.figure.axes
    assert [each.get_rasterized() for each in axes.collections] == [image]


def test_a_column_is_found_by_its_header_or_by_its_name_alone():
    headers = ["host_diameter [in]", "host_diameter", "zone", "cover [ft]"]
    assert column_of(headers, "host_diameter") == "host_diameter"
    assert column_of(headers, "cover") == "cover [ft]"
    assert column_of(headers, "cover [ft]") == "cover [ft]"


def test_geometries_whose_bytes_end_in_zeros_are_drawn():
    """The last eight bytes are the number of how far up the last point is, here 0."""
    found = drawn([shapely.linestrings([(0, 9), (9, 0)])] * 2, "EPSG:32631")
    (axes,) = found.figure.axes
    segments = [part.tolist() for each in axes.collections for part in each.get_segments()]
    assert segments == [[[0, 9], [9, 0]]] * 2
    assert "not drawn" not in found.caption


def test_the_arrow_to_the_north_stands_in_the_upper_right_corner_under_its_letter():
    """All inside the map, and the letter beyond the tip, the arrow of a legible length."""
    found = drawn(square("EPSG:32632"), "EPSG:32632")
    (axes,) = found.figure.axes
    (arrow,) = [each for each in axes.texts if each.get_text() == "" and each.arrow_patch]
    (letter,) = [each for each in axes.texts if each.get_text() == "N"]
    frame, box = axes.get_window_extent(), letter.get_window_extent()
    tail, tip = arrow.arrow_patch._posA_posB
    along = (tip - tail) / np.hypot(*(tip - tail))
    beyond = np.array([(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2]) - tip
    assert beyond @ along > 0
    assert abs(beyond @ np.array([-along[1], along[0]])) < 2
    for x, y in (tail, tip, (box.x0, box.y0), (box.x1, box.y1)):
        assert frame.x0 + 0.9 * frame.width < x < frame.x1
        assert frame.y0 + 0.8 * frame.height < y < frame.y1
    points = np.hypot(*(tip - tail)) * 72 / found.figure.dpi
    assert points == pytest.approx(28, abs=0.1)


def test_a_geometry_that_is_damaged_is_not_drawn_and_counted():
    line = shapely.to_wkb(shapely.linestrings([(0, 0), (9, 9)]))
    sketch = Sketch(Geometry("place", "EPSG:32631"), "zone")
    place = pl.Series([line, line[:11]], dtype=pl.Binary)
    sketch.add(pl.DataFrame({"place": place, "zone": ["A", "A"]}))
    assert sketch.drawn("Harrowmere", "SI").caption.endswith("not drawn: 1")


@pytest.mark.parametrize(
    ("width", "system", "text"),
    [
        # A quarter of the width at most; from one of the longer unit on in this unit.
        (4000.0, "SI", "1 km"),
        (3999.0, "SI", "500 m"),
        (2000.0, "SI", "500 m"),
        (1999.0, "SI", "200 m"),
        (4 * 1609.344, "US", "1 mi"),
        (4 * 1609.0, "US", "5000 ft"),
        (4 * 0.3048 * 999, "US", "500 ft"),
    ],
)
def test_a_scale_bar_is_a_quarter_of_the_map_or_the_round_length_below(width, system, text):
    """A mile is 1609.344 m: NIST SP 811, B.8."""
    figure = Figure()
    axes = figure.subplots()
    axes.set_xlim(500.0, 500.0 + width / 2)
    _scale_bar(axes, 2.0, system)
    (found,) = axes.texts
    assert found.get_text() == text
    xs, ys = axes.lines[0].get_data()
    number, unit = text.split()
    metres = float(number) * {"m": 1, "km": 1000, "ft": 0.3048, "mi": 1609.344}[unit]
    assert xs[2] - xs[1] == pytest.approx(metres / width)
    assert (xs[0], xs[2]) == (xs[1], xs[3])
    assert ys[0] == ys[3] > ys[1] == ys[2] > 0
    assert found.get_position() == pytest.approx(((xs[1] + xs[2]) / 2, ys[0]))
    assert axes.get_xlim() == (500.0, 500.0 + width / 2)


def test_the_scale_of_a_tall_map_is_that_of_its_middle():
    """Degrees from 50 to 70 north: a degree across is that of 60 north."""
    shapes = [shapely.linestrings([(0, 50), (10, 70)]), shapely.linestrings([(0, 60), (1, 60)])]
    found = drawn(shapes, "EPSG:4326")
    text, ends = bar(found)
    (axes,) = found.figure.axes
    (x0, _), (x1, _) = axes.transData.transform([(0, 60), (1, 60)])
    kilometres = float(text.split()[0]) / float(ends[1][0] - ends[0][0]) * (x1 - x0)
    assert text.endswith(" km")
    assert kilometres == pytest.approx(_degree(60)[0] / 1000, rel=1e-3)


RING = "(0 0, 9 0, 9 9, 0 0)"
HOLED = f"({RING}, (2 1, 8 1, 8 7, 2 1))"


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        (f"POLYGON ({RING})", [4]),
        (f"POLYGON {HOLED}", [4, 4]),
        (f"MULTIPOLYGON ({HOLED}, ({RING}))", [4, 4, 4]),
        (f"GEOMETRYCOLLECTION (POLYGON {HOLED}, LINESTRING (0 0, 1 1))", [4, 4, 2]),
        ("MULTIPOINT (1 1, 2 3)", [1, 1]),
        ("MULTILINESTRING ((0 0, 1 1, 2 1), (3 3, 4 4))", [3, 2]),
        (f"GEOMETRYCOLLECTION (GEOMETRYCOLLECTION (MULTIPOLYGON ({HOLED})), POINT (1 1))", None),
    ],
)
def test_every_ring_and_part_is_a_line_of_its_own(text, sizes):
    """No line is drawn between an outline and the hole in it."""
    places = [None, shapely.to_wkb(shapely.from_wkt(text))]
    found = _lines(places, Geometry("place", None))
    parts = found.of(np.array([False, True]))
    assert sorted(map(len, parts)) == sorted([4, 4, 1] if sizes is None else sizes)
    assert set(found.rows) == {1}
    assert found.of(np.array([True, False])) == []


def test_points_without_a_number_are_left_out():
    texts = ["LINESTRING (0 0, NaN 1, 2 2)", "LINESTRING (5 5, 6 6, 7 7)"]
    with np.errstate(invalid="ignore"):
        places = [shapely.to_wkb(shapely.from_wkt(text)) for text in texts]
        found = _lines(places, Geometry("place", None))
    parts = [found.of(np.array(rows)) for rows in ([True, False], [False, True])]
    assert [part.tolist() for (part,) in parts] == [[[0, 0], [2, 2]], [[5, 5], [6, 6], [7, 7]]]


def test_lines_are_dashed_by_turns_and_states_stand_in_their_order():
    """What is sound first, errors last; the words of the block are those of the map."""
    sketch = Sketch(Geometry("place", "EPSG:32631"), "status")
    states = ["error", *reversed(STATUSES[1:])]
    line = shapely.to_wkb(shapely.linestrings([(0, 0), (9, 9)]))
    place = pl.Series([line] * len(states), dtype=pl.Binary)
    sketch.add(pl.DataFrame({"place": place, "status": states}))
    found = sketch.drawn("Harrowmere", "SI")
    ordered = [*STATUSES[1:], "error"]
    assert found.words == "status: " + "; ".join(f"{each}: 1" for each in ordered)
    (axes,) = found.figure.axes
    assert axes.get_title() == "Status, by pipe: Harrowmere"
    dashes = [each.get_linestyle()[0][1] for each in axes.collections]
    assert dashes[0] is None
    assert len({str(each) for each in dashes}) == len(ordered)
    block = found.block
    assert block.svg.startswith("<svg")
    assert (block.caption, block.alternative) == (found.caption, found.words)


def test_a_column_that_is_not_there_is_told_with_those_that_are():
    with pytest.raises(InputFaults) as found:
        column_of(["zone", "cover [ft]"], "depth")
    (told,) = found.value.faults
    assert told == fault("inventory.no_column", "--map-by", '"depth"', known='"zone", "cover [ft]"')
