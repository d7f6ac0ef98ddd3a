"""The long profile: where it is drawn, and that its heights and lengths are to scale."""

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from drawings import SVG, apart, numbers, texts, within
from projects import sized, toml

from linerdesign.documents.blocks import Picture
from linerdesign.documents.drawing import HOST, INK, LEVEL, LINER, cross_section
from linerdesign.documents.profile import _Scale, long_profile
from linerdesign.interface import read, size

STATIONS = [
    {"at": "0 ft", "ground_elevation": "112.4 ft", "invert_elevation": "101.2 ft",
     "groundwater_elevation": "106 ft"},
    {"at": "80 ft", "ground_elevation": "114 ft", "invert_elevation": "100.4 ft",
     "groundwater_elevation": "105 ft"},
    {"at": "320 ft", "ground_elevation": "110.5 ft", "invert_elevation": "99.6 ft",
     "groundwater_elevation": "104 ft"},
]  # fmt: skip
PIPE = {
    "condition": "fully deteriorated",
    "host_diameter": "24 in",
    "length": "320 ft",
}


def _drawn(tmp_path, **pipe):
    path = tmp_path / "p.toml"
    values = {key: value for key, value in (PIPE | pipe).items() if value is not None}
    dropped = ("cover", "groundwater_above_invert")
    path.write_text(toml(pipe=values, drop=dropped), encoding="utf-8")
    project = read(path)
    return [b for b in long_profile(project, size(project).pipes) if isinstance(b, Picture)]


def _lines(svg):
    found = re.findall(r'<polyline points="([^"]+)"', svg)
    return [[tuple(map(float, p.split(","))) for p in line.split()] for line in found]


def test_heights_and_lengths_are_to_scale(tmp_path):
    """Ratios of drawn distances are those of the elevations of the file, by hand."""
    [picture] = _drawn(tmp_path, station=STATIONS)
    ground, water, invert = _lines(picture.svg)
    # The first and the last point of a line are the manholes, where the end stations are.
    xs = [x for x, _ in ground[1:-1]]
    assert (xs[1] - xs[0]) / (xs[2] - xs[0]) == pytest.approx(80 / 320, abs=1e-3)
    heights = {
        "ground": (ground, (112.4, 114.0, 110.5)),
        "water": (water, (106.0, 105.0, 104.0)),
        "invert": (invert, (101.2, 100.4, 99.6)),
    }
    per = (invert[1][1] - ground[1][1]) / (112.4 - 101.2)
    for line, levels in heights.values():
        for (_, y), level in zip(line[1:-1], levels, strict=True):
            assert ground[1][1] - y == pytest.approx((level - 112.4) * per, abs=0.02)


def test_it_is_named_in_words(tmp_path):
    [picture] = _drawn(tmp_path, station=STATIONS)
    assert re.fullmatch(r"pipe 1, Trunk: [\d.]+ mm", picture.alternative)
    assert picture.caption.startswith("Elevations; heights drawn")


def test_not_drawn_without_stations_or_elevations(tmp_path):
    assert _drawn(tmp_path, cover="8 ft", groundwater_above_invert="4 ft") == []


def test_not_drawn_without_a_length(tmp_path):
    assert _drawn(tmp_path, station=STATIONS, length=None) == []


def test_stations_without_elevations_are_drawn_over_a_level_invert(tmp_path):
    stations = [
        {"at": "upper", "cover": "8 ft", "groundwater_above_invert": "4 ft"},
        {"at": "lower", "cover": "12 ft", "groundwater_above_invert": "6 ft"},
    ]
    [picture] = _drawn(tmp_path, station=stations)
    *_, invert = _lines(picture.svg)
    assert len({y for _, y in invert}) == 1
    assert "drawn level" in picture.caption


def test_names_stay_text(tmp_path):
    [picture] = _drawn(tmp_path, station=STATIONS, name="<script>alert(1)</script>")
    assert "<script" not in picture.svg


def _street(tmp_path, names, **pipe):
    """Pipes end to end, each 320 ft long, with the stations above."""
    one = toml(pipe=PIPE | {"station": STATIONS} | pipe, drop=("cover", "groundwater_above_invert"))
    head, _, table = one.partition("[[pipe]]")
    path = tmp_path / "street.toml"
    named = [re.sub(r'name = "[^"]*"', f'name = "{name}"', table, count=1) for name in names]
    path.write_text("[[pipe]]".join((head, *named)), encoding="utf-8")
    project = read(path)
    return [b for b in long_profile(project, size(project).pipes) if isinstance(b, Picture)]


def _all(picture, tag):
    return list(ElementTree.fromstring(picture.svg).iter(f"{SVG}{tag}"))


@pytest.mark.parametrize("count", [1, 2, 3, 4, 8])
def test_a_street_is_drawn_in_the_picture_and_no_text_on_another(tmp_path, count):
    [picture] = _street(tmp_path, [f"Pipe {number}" for number in range(count)])
    within(picture)
    apart(picture)
    # Pictures that stand beside each other leave a page of 680 its width.
    (width,) = numbers(ElementTree.fromstring(picture.svg), "width")
    assert width * picture.beside <= 680
    said = [text for text, *_ in texts(picture)]
    for number in range(count):
        assert f"Pipe {number}" in said
        assert str(number + 1) in said
    assert sum(text.startswith("t = ") for text in said) == count


def test_nine_pipes_have_two_drawings(tmp_path):
    first, second = _street(tmp_path, [f"Pipe {number}" for number in range(9)])
    assert (first.alternative.count("mm"), second.alternative.count("mm")) == (8, 1)
    assert "pipe 9, Pipe 8" in second.alternative


def test_a_name_is_as_long_as_its_segment_holds(tmp_path):
    """Letters of 9 points are about 5 wide; of a longer name an ellipsis says that it is cut."""
    [picture] = _street(tmp_path, ["n" * 60 + each for each in "abc"])
    named = [(left, right, t) for t, left, right, *_ in texts(picture) if t.startswith("nn")]
    manholes = sorted({x for each in _all(picture, "line") for x in _upright(each)})
    width = manholes[1] - manholes[0]
    for left, right, text in named:
        assert text.endswith("n…")
        assert len(text) == int(width / 5)
        assert right - left <= width


def _upright(line):
    dashed = line.get("stroke-dasharray") and line.get("x1") == line.get("x2")
    return [float(line.get("x1"))] if dashed else []


def test_marks_of_both_axes_stand_where_their_numbers_are(tmp_path):
    """A mark's place over the marks about it is its number over theirs; heights by the ground,
    112.4 ft where it meets the first manhole."""
    [picture] = _street(tmp_path, ["A", "B", "C"])
    marks = [each for each in _all(picture, "line") if not each.get("stroke-dasharray")]
    rows = sorted({float(e.get("y1")) for e in marks if e.get("y1") == e.get("y2")})
    columns = sorted({float(e.get("x1")) for e in marks if e.get("x1") == e.get("x2")})
    assert 3 <= len(rows) <= 8
    assert len(columns) >= 3
    written = {each.text: numbers(each, "x", "y") for each in _all(picture, "text")}
    ends = {float(e.get("x2")) for e in marks if e.get("y1") == e.get("y2")}
    (edge,) = ends
    assert edge == _lines(picture.svg)[0][0][0]
    heights = {t: y for t, (x, y) in written.items() if x == edge - 6}
    assert len(heights) == len(rows)
    ground, _, invert = _lines(picture.svg)[:3]
    per = (invert[1][1] - ground[1][1]) / (112.4 - 101.2)
    for text, y in heights.items():
        row = min(rows, key=lambda each: abs(each - y))
        # The base of figures of 9.5 is a third of that under their middle.
        assert 0 < y - row < 5
        assert row == pytest.approx(ground[1][1] + (112.4 - float(text)) * per, abs=0.05)
    low = max(float(e.get("y2")) for e in marks)
    lengths = {t: x for t, (x, y) in written.items() if x in columns and low < y < low + 12}
    assert len(lengths) == len(columns)
    starts, last = ground[0][0], _lines(picture.svg)[-1][-1][0]
    for text, x in lengths.items():
        assert x == pytest.approx(starts + float(text) * (last - starts) / 960, abs=0.05)
    assert "0" in lengths
    # Marks lie outside the drawing, between it and their numbers; the unit stands over them all.
    for each in marks:
        x1, x2, y1, y2 = numbers(each, "x1", "x2", "y1", "y2")
        assert edge - 6 < x1 < x2 == edge or 118 == y1 < y2 < 118 + 15
    (x, y) = written["elevation, ft"]
    assert x < edge
    assert y < min(heights.values())


def test_heights_have_seven_marks_and_lengths_one_for_68_units(tmp_path):
    """13.4 ft and 6 % above and below are 15.0 drawn: seven steps of 2 would leave 1 over. Two
    pipes of 250 ft on a drawing of 340 have five marks beyond 0, 100 ft apart."""
    level = {"ground_elevation": "113.4 ft", "invert_elevation": "100 ft", "groundwater": "none"}
    *_, picture = _project(tmp_path, *[level | {"length": "250 ft"}] * 2)
    said = [float(text) for text, *_ in texts(picture) if re.fullmatch(r"[\d.]+", text)]
    assert [each for each in said if each in (105, 110)] == [105, 110]
    assert {each for each in said if each < 1 or each > 120} == {0, 200, 300, 400, 500}


@pytest.mark.parametrize("base", [0, 1609, 5280])
def test_a_mark_of_a_half_is_not_rounded_however_high_the_town(base, tmp_path):
    level = {"ground_elevation": f"{base + 3} m", "invert_elevation": f"{base} m"}
    path = tmp_path / "high.toml"
    pipe = PIPE | level | {"host_diameter": "300 mm", "groundwater": "none"}
    path.write_text(toml(pipe=pipe, drop=("cover", "groundwater_above_invert")), encoding="utf-8")
    project = read(path)
    *_, picture = long_profile(project, size(project, "SI").pipes)
    said = [text for text, *_ in texts(picture)]
    assert {f"{base + n / 2:.10g}" for n in range(7)} <= {*said}


def test_heights_are_drawn_as_many_times_larger_as_is_said(tmp_path):
    [picture] = _street(tmp_path, ["A"])
    ground, _, invert = _lines(picture.svg)
    up = (invert[1][1] - ground[1][1]) / (112.4 - 101.2)
    along = (ground[-1][0] - ground[0][0]) / 320
    said = float(re.search(r"heights drawn ([\d.]+) times", picture.caption)[1])
    assert said == pytest.approx(up / along, rel=0.05)


def _project(tmp_path, *pipes):
    """The profile of these pipes, in whatever order of runs they make."""
    given = [PIPE | {"name": f"P{number}"} | pipe for number, pipe in enumerate(pipes, 1)]
    tables = [
        toml(
            pipe={key: value for key, value in pipe.items() if value is not None},
            drop=("cover", "groundwater_above_invert"),
        )
        for pipe in given
    ]
    head, _, _ = tables[0].partition("[[pipe]]")
    rest = [each.partition("[[pipe]]")[2] for each in tables]
    path = tmp_path / "line.toml"
    path.write_text("[[pipe]]".join((head, *rest)), encoding="utf-8")
    project = read(path)
    return long_profile(project, size(project).pipes)


def test_every_number_and_word_of_a_profile(tmp_path):
    heading, about, picture = _project(tmp_path, {"station": STATIONS}, {"station": STATIONS})
    assert heading.text == "Long profile"
    assert about.text.startswith("Ground, groundwater, host pipe and liner thickness by pipe")
    walls = re.fullmatch(r"pipe 1, P1: ([\d.]+) mm; pipe 2, P2: ([\d.]+) mm", picture.alternative)
    said = [text for text, *_ in texts(picture)]
    for number, wall in enumerate(walls.groups(), 1):
        assert {str(number), f"P{number}", f"t = {wall} mm"} <= {*said}
    assert said[-20:].count("elevation, ft") == 1
    times = re.search(r"heights drawn ([\d.]+) times", picture.caption)[1]
    assert picture.caption.startswith("Elevations; heights drawn ")
    # Two figures, as a drawing is read.
    assert len(times.replace(".", "").lstrip("0")) <= 2


@pytest.mark.parametrize(
    ("count", "width", "beside"), [(1, 220, 3), (2, 340, 2), (3, 340, 2), (4, 680, 1), (8, 680, 1)]
)
def test_short_streets_stand_beside_each_other(tmp_path, count, width, beside):
    *_, picture = _project(tmp_path, *[{"station": STATIONS}] * count)
    assert numbers(ElementTree.fromstring(picture.svg), "width", "height") == [width, 180]
    assert picture.beside == beside
    ground = _lines(picture.svg)[0]
    # The scale of heights stands at the left, and the last manhole before the edge.
    assert ground[0][0] == 46
    assert _lines(picture.svg)[-1][-1][0] == pytest.approx(width - 12)


@pytest.mark.parametrize(
    "between",
    [
        {"cover": "8 ft", "groundwater_above_invert": "4 ft"},
        {"station": STATIONS, "length": None},
    ],
    ids=["one height", "no length"],
)
def test_a_pipe_that_is_not_drawn_parts_the_line(tmp_path, between):
    whole = {"station": STATIONS}
    *_, first, second = _project(tmp_path, whole, between, whole, whole)
    assert re.findall(r"pipe (\d)", first.alternative) == ["1"]
    assert re.findall(r"pipe (\d)", second.alternative) == ["3", "4"]


def test_the_pipe_is_drawn_from_invert_to_crown(tmp_path):
    """2 ft of bore and a wall of 3 in under the crown; ground and water reach to the bottom."""
    [picture] = _drawn(tmp_path, station=STATIONS, host_wall="3 in")
    polygons = {each.get("class"): each for each in _all(picture, "polygon")}
    places = {
        name: [tuple(map(float, pair.split(","))) for pair in each.get("points").split()]
        for name, each in polygons.items()
    }
    ground, water, invert = _lines(picture.svg)
    per = (invert[1][1] - ground[1][1]) / (112.4 - 101.2)
    outline = places[None]
    half = len(outline) // 2
    for (x, crown), (other, low) in zip(outline[:half], reversed(outline[half:]), strict=True):
        assert x == other
        assert low - crown == pytest.approx(2.25 * per, abs=0.02)
    assert sorted(outline[half:]) == sorted(invert)
    for name, line in (("soil", ground), ("water", water)):
        assert places[name][:-2] == line
        assert places[name][-2:] == [(line[-1][0], 118), (line[0][0], 118)]
    assert float(polygons["water"].get("fill-opacity")) < 1
    # As clear as the water of a section.
    section = ElementTree.fromstring(cross_section(sized()).svg)
    (water_there,) = [e for e in section.iter(f"{SVG}rect") if e.get("class") == "water"]
    assert polygons["water"].get("fill-opacity") == water_there.get("fill-opacity")
    assert float(polygons["soil"].get("fill-opacity")) == 1
    # Nothing touches the frame: 6 % of the height drawn are left above and below.
    highest, lowest = min(y for _, y in ground), max(y for _, y in invert)
    room = 0.06 * (lowest - highest)
    assert highest - 30 == pytest.approx(room, abs=0.02)
    assert 118 - lowest == pytest.approx(room, abs=0.02)
    # Ground and water have lines of their own colours, those of the section of a pipe.
    lines = [each.get("stroke") for each in _all(picture, "polyline")]
    assert lines == [INK, LEVEL, LINER]
    # The line drawn last, over the pipe, is the liner's, the widest; the others are alike.
    *others, own = [float(each.get("stroke-width")) for each in _all(picture, "polyline")]
    assert polygons[None].get("stroke") == HOST
    assert {*others, float(polygons[None].get("stroke-width"))} == {others[0]}
    assert own > others[0]


def test_stations_whose_names_are_no_lengths_are_spread_evenly(tmp_path):
    """And those whose names are lengths stand where they say, in whatever order they are given."""
    named = [each | {"at": name} for each, name in zip(STATIONS, "abc", strict=True)]
    [picture] = _drawn(tmp_path, station=named)
    ground = _lines(picture.svg)[0]
    left, first, second, third, right = (x for x, _ in ground)
    assert (first, third) == (left, right)
    assert second == pytest.approx((left + right) / 2)
    [picture] = _drawn(tmp_path, station=[STATIONS[2], STATIONS[0], STATIONS[1]])
    ordered = _lines(picture.svg)
    [picture] = _drawn(tmp_path, station=STATIONS)
    assert ordered == _lines(picture.svg)


def test_a_pipe_with_one_invert_is_level(tmp_path):
    [picture] = _drawn(
        tmp_path,
        ground_elevation="112 ft",
        invert_elevation="100 ft",
        groundwater_elevation="105 ft",
    )
    ground, _, invert = _lines(picture.svg)
    assert len({y for _, y in ground}) == len({y for _, y in invert}) == 1
    left, middle, right = (x for x, _ in ground)
    assert middle == pytest.approx((left + right) / 2)


def test_no_ground_is_drawn_where_none_is_known(tmp_path):
    stations = [
        {"at": f"{x} ft", "groundwater_above_invert": "4 ft", "ovality": f"{2 + x} %"}
        for x in (0, 1)
    ]
    [picture] = _drawn(tmp_path, station=stations, condition="partially deteriorated")
    assert len(_lines(picture.svg)) == 2
    classes = [each.get("class") for each in _all(picture, "polygon")]
    assert classes == ["water", None]
    assert "above invert, ft" in [text for text, *_ in texts(picture)]
    assert picture.caption.startswith("Above the invert, which is drawn level; heights drawn ")


def test_a_segment_too_narrow_for_its_names_has_none(tmp_path):
    """A pipe of 10 ft in a street of 650: 9 of 622 units; its manholes are there."""
    *_, picture = _project(
        tmp_path,
        {"station": STATIONS},
        {"station": [STATIONS[0], STATIONS[1] | {"at": "10 ft"}], "length": "10 ft"},
        {"station": STATIONS},
        {"station": STATIONS},
    )
    said = {text for text, *_ in texts(picture)}
    assert {"P1", "P3", "P4"} <= said
    assert "P2" not in said
    assert "pipe 2, P2" in picture.alternative
    within(picture)
    apart(picture)
    upright = [x for each in _all(picture, "line") for x in _upright(each)]
    assert len(upright) == 8


def test_the_names_of_a_pipe_stand_under_one_another_in_its_middle(tmp_path):
    """Number, name and wall, below the numbers of the lengths; the edge of the drawing is 118."""
    [picture] = _street(tmp_path, ["A", "B"])
    written = {each.text: numbers(each, "x", "y") for each in _all(picture, "text")}
    invert = _lines(picture.svg)[-1]
    (wall,) = (text for text in written if text.startswith("t = "))
    lengths = [y for text, (x, y) in written.items() if text.isdigit() and x >= 46 and y < 140]
    number, name, thickness = (written[text] for text in ("2", "B", wall))
    assert number[0] == name[0] == pytest.approx((invert[0][0] + invert[-1][0]) / 2)
    assert 118 < max(lengths) < number[1] < name[1] < thickness[1] < 180


def test_manholes_reach_from_over_the_drawing_to_its_bottom(tmp_path):
    """A page for a dark screen colours what is of the class of ink."""
    [picture] = _street(tmp_path, ["A", "B"])
    dashed = [each for each in _all(picture, "line") if each.get("stroke-dasharray")]
    assert len(dashed) == 4
    highest = min(y for line in _lines(picture.svg) for _, y in line)
    for each in dashed:
        top, bottom = numbers(each, "y1", "y2")
        assert 0 < top < highest
        assert bottom == 118
    lines = _all(picture, "line")
    assert {each.get("class") for each in lines} == {"ink"}
    # Dashed as the line of the diameter of a section is.
    section = ElementTree.fromstring(cross_section(sized()).svg)
    (diameter,) = [e for e in section.iter(f"{SVG}line") if e.get("stroke-dasharray")]
    for name in ("stroke-dasharray", "stroke-width", "stroke"):
        assert {each.get(name) for each in dashed} == {diameter.get(name)}


def test_stations_past_the_end_of_a_pipe_stand_at_its_end(tmp_path):
    """Two of them at one place; the pipe is 320 ft long."""
    late = [STATIONS[0], STATIONS[1] | {"at": "330 ft"}, STATIONS[2] | {"at": "340 ft"}]
    [picture] = _drawn(tmp_path, station=late)
    ground = _lines(picture.svg)[0]
    assert len({x for x, _ in ground[2:]}) == 1


@pytest.mark.parametrize("most", [7, 9, 12])
@pytest.mark.parametrize("step", [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000])
def test_marks_go_by_the_least_round_step_of_which_so_many_reach(step, most):
    """By 1, 2 and 5 of a power of ten from a half to a thousand, and by a thousand beyond."""
    scale = _Scale(1, 0, 1, 340)
    assert [*scale.ticks(0, most * step, most)] == [n * step for n in range(most + 1)]
    low = 0.4 * step
    further = [*scale.ticks(low, low + 1.01 * most * step, most)]
    gaps = {after - before for before, after in pairwise(further)}
    larger = {0.5: 1, 1000: 1000}.get(step, step * (2.5 if f"{step}"[0] == "2" else 2))
    assert gaps == {larger}
    assert low < further[0] <= low + larger
    assert further[-1] <= low + 1.01 * most * step < further[-1] + larger
    # A mark that the arithmetic puts a hair beyond the end is at the end, and no other is there.
    assert len([*scale.ticks(0, most * step - 1e-10, most)]) == most + 1
    assert len([*scale.ticks(0, most * step - 1e-7, most)]) == most


@pytest.mark.parametrize(
    ("length", "shown"),
    [
        ("72.9 ft", []),
        ("73.08 ft", ["abcdefg…"]),
        ("75.3 ft", ["abcdefghi"]),
    ],
)
def test_a_segment_of_44_units_has_its_labels(length, shown, tmp_path):
    """Of three pipes of 320 ft and this one on 680 - 46 - 12 units: 43.90, 44.00 and 45.24 wide;
    a letter takes 5."""
    short = [STATIONS[0], STATIONS[1] | {"at": "10 ft"}]
    *_, picture = _project(
        tmp_path,
        *[{"station": STATIONS}] * 3,
        {"station": short, "length": length, "name": "abcdefghi"},
    )
    said = [text for text, *_ in texts(picture)]
    assert [text for text in said if text.startswith("abc")] == shown
    assert ("4" in said) == bool(shown)


def test_pipes_stand_end_to_end_wherever_their_stations_are(tmp_path):
    inner = [STATIONS[0] | {"at": "50 ft"}, STATIONS[1] | {"at": "200 ft"}]
    [picture] = _street(tmp_path, ["A", "B"], station=inner)
    ends = sorted({x for each in _all(picture, "line") for x in _upright(each)})
    assert ends == pytest.approx([46, (46 + 328) / 2, 328])
    for each in _all(picture, "polygon"):
        reached = [float(pair.split(",")[0]) for pair in each.get("points").split()]
        assert (min(reached), max(reached)) in ((46, 187), (187, 328))
        # Soil and water end upright, at the manholes.
        if each.get("class"):
            assert reached[-2:] == [reached[-3], reached[0]]


def test_a_wall_has_five_figures_at_most(tmp_path):
    [picture] = _drawn(tmp_path, station=STATIONS, design_thickness="12.34567 mm")
    assert "t = 12.346 mm" in [text for text, *_ in texts(picture)]
    assert picture.alternative == "pipe 1, Trunk: 12.346 mm"
