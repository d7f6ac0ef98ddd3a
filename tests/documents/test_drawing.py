"""The drawings are to scale: lengths are measured in the SVG and held against the inputs."""

import re
from xml.etree import ElementTree

import pytest
from drawings import SVG, apart, numbers, texts, within
from pages import partial, results, several
from projects import PIPE, sized, toml

from linerdesign.documents.drawing import cross_section, demand_bars


def _all(picture, kind):
    root = ElementTree.fromstring(picture.svg)
    return [each for each in root.iter() if kind in each.get("class", "").split()]


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("water", ["12 ft", "30 ft", "-3 ft"])
def test_ground_water_and_pipe_have_one_scale(units, water):
    picture = cross_section(sized(units, pipe={"groundwater_above_invert": water}))
    (bore,) = _all(picture, "bore")
    radius, across, middle = numbers(bore, "r", "stroke-width", "cy")
    radius -= across / 2
    scale = 2 * radius / 4  # 48 in are 4 ft
    invert, crown = middle + radius, middle - radius
    (ground,) = _all(picture, "soil")
    assert crown - float(ground.get("y")) == pytest.approx(16 * scale, abs=0.1)
    (level,) = _all(picture, "level")
    assert invert - float(level.get("y1")) == pytest.approx(float(water[:-3]) * scale, abs=0.1)


@pytest.mark.parametrize("thickness", ["3 mm", "12 mm", "60 mm"])
def test_the_wall_is_as_thick_as_the_drawing_says(thickness):
    picture = cross_section(sized("SI", pipe={"design_thickness": thickness}))
    (liner,) = _all(picture, "liner")
    radius, wall = numbers(liner, "r", "stroke-width")
    said = re.search(r"drawn (\d+) times", picture.alternative)
    times = int(said[1]) if said else 1
    assert f"wall drawn {times} times as thick" in picture.svg or times == 1
    share = float(thickness[:-3]) / (48 * 25.4)
    assert wall / (2 * radius + wall) == pytest.approx(share * times, rel=0.01)


def test_bars_are_as_long_as_the_demand_is_of_the_capacity():
    result = sized(pipe={"design_thickness": "26 mm", "live_load": "9 psi"})
    picture = demand_bars(result)
    one, most = 160, 1.25
    for check, bar in zip(result.checks, _all(picture, "bar"), strict=True):
        ratio = min(check.demand / check.capacity, most)
        assert float(bar.get("width")) == pytest.approx(one * ratio, abs=0.01)
        assert ("passes" in bar.get("class")) == check.passes
    assert not all(check.passes for check in result.checks)
    assert "fails" in picture.alternative


def test_of_several_stations_the_worst_is_shown_for_each_equation():
    (result,) = results(several())
    picture = demand_bars(result)
    names = [each.text for each in _all(picture, "check")]
    assert len(names) == len(set(names))
    assert set(names) == {check.equation for check in result.checks}


def test_every_drawing_says_in_words_what_it_shows():
    dry = {"groundwater": "none"}
    lines = [toml(), partial(), several(), toml(pipe=dry, drop=("groundwater_above_invert",))]
    for result in results(*lines):
        for picture in (cross_section(result), demand_bars(result)):
            root = ElementTree.fromstring(picture.svg)
            assert root.tag == f"{SVG}svg"
            assert root.get("aria-label") == picture.alternative
            assert root.get("font-family") == "sans-serif"
    assert "Cover 16 ft" in cross_section(sized(pipe={"cover": PIPE["cover"]})).alternative


DRY = {"groundwater": "none"}
NO_WATER = ("groundwater_above_invert",)
NO_GROUND = ("cover", "soil_unit_weight", "soil_reaction_modulus", "live_load")
ABOVE = {"above_ground": True, "internal_pressure": "60 psi", "host_diameter": "12 in"}
PLACES = {
    "dry": toml(pipe=DRY, drop=NO_WATER),
    "dry, no cover": toml(
        pipe=DRY | {"condition": "partially deteriorated"}, drop=NO_WATER + NO_GROUND
    ),
    "above ground": toml(
        pipe=ABOVE, resin={"tensile_strength": "5000 psi"}, drop=(*NO_WATER, *NO_GROUND, "ovality")
    ),
    "listed, 8 in": partial(),
    "stations": several(),
} | {
    f"{words}, {size}, water {water}": toml(
        pipe=own | {"host_diameter": size, "groundwater_above_invert": water, "ovality": "3.75 %"},
        drop=NO_GROUND * ("no cover" in words),
    )
    for words, own in {
        "cover 3 ft": {"cover": "3 ft"},
        "cover 30 ft": {"cover": "30 ft"},
        "no cover": {"condition": "partially deteriorated"},
    }.items()
    for size in ("3 in", "600 mm", "96 in")
    for water in ("-40 ft", "-1 ft", "0 ft", "0.2 ft", "2.9 ft", "25 ft")
}


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("text", PLACES.values(), ids=PLACES)
def test_texts_stay_in_the_picture_and_off_each_other(text, units):
    (result,) = results(text, units=units)
    for picture in (cross_section(result), demand_bars(result)):
        within(picture)
        assert all(0 <= left < right <= 360 for _, left, right, *_ in texts(picture))
    apart(cross_section(result))


@pytest.mark.parametrize("name", ["dry", "dry, no cover", "above ground"])
def test_no_water_is_drawn_where_there_is_none(name):
    (result,) = results(PLACES[name])
    picture = cross_section(result)
    assert not _all(picture, "water") + _all(picture, "level") + _all(picture, "level-mark")
    assert bool(_all(picture, "soil")) == ("ground" not in name)
    assert ("no groundwater" in picture.svg) == ("dry" in name)
    assert ("no groundwater" in picture.alternative) == ("dry" in name)


def test_a_water_table_at_the_invert_is_drawn_there():
    (level,) = _all(cross_section(sized(pipe={"groundwater_above_invert": "0 ft"})), "level")
    (bore,) = _all(cross_section(sized(pipe={"groundwater_above_invert": "0 ft"})), "bore")
    radius, across, middle = numbers(bore, "r", "stroke-width", "cy")
    assert float(level.get("y1")) == pytest.approx(middle + radius - across / 2, abs=0.1)


@pytest.mark.parametrize("name", [each for each in PLACES if "no cover" in each])
def test_without_cover_the_pipe_stands_in_soil(name):
    """Soil with a torn upper edge lies over pipe and water, and no ground line is drawn."""
    (result,) = results(PLACES[name])
    picture = cross_section(result)
    (soil,) = _all(picture, "torn")
    top = float(re.match(r"M8 ([\d.]+)q", soil.get("d"))[1])
    # Half a wave by its end point, then as many as the edge has: from 8 to where levels end.
    first, *others = re.findall(r"(?:q[\d.]+ -8 |t)([\d.]+) 0", soil.get("d"))
    edge = 8 + float(first) + sum(float(each) for each in others)
    assert all(float(level.get("x2")) == pytest.approx(edge) for level in _all(picture, "level"))
    # Each wave is as steep on both sides: its curve is drawn to its middle.
    (control,) = re.findall(r"q([\d.]+) -8", soil.get("d"))
    assert float(control) == pytest.approx(float(first) / 2, rel=1e-3)
    (bore,) = _all(picture, "bore")
    radius, wall, middle = numbers(bore, "r", "stroke-width", "cy")
    # It goes on by a fifth of the height of what is known.
    known = [float(level.get("y1")) for level in _all(picture, "level")]
    known += [middle - radius + wall / 2, middle + radius - wall / 2]
    assert min(known) - top == pytest.approx(0.2 * (max(known) - min(known)), abs=0.03)
    assert top + 8 < middle - radius
    assert all(top + 8 < float(level.get("y1")) for level in _all(picture, "level"))
    assert "ground: no cover given" in picture.svg
    assert "No cover given" in picture.alternative


@pytest.mark.parametrize("ovality", ["0 %", "2 %", "11 %"])
def test_a_round_drawing_of_an_oval_says_so(ovality):
    picture = cross_section(sized(pipe={"ovality": ovality}))
    said = [words for words, *_ in texts(picture)]
    if ovality == "0 %":
        assert "not drawn" not in said
        assert "drawn round" not in picture.caption
    else:
        assert said[said.index(f"ovality {ovality}") + 1] == "not drawn"
        assert f"drawn round, without its ovality of {ovality}" in picture.caption
        assert f"drawn round, without its ovality of {ovality}" in picture.alternative


@pytest.mark.parametrize("datum", ["groundwater_below_surface", "groundwater_above_crown"])
def test_water_by_every_datum_is_drawn(datum):
    """By hand: cover 16 ft and a bore of 4 ft; 3 ft below grade is 17 ft above the invert, 3 ft
    above the crown is 7 ft."""
    above = {"groundwater_below_surface": "17 ft", "groundwater_above_crown": "7 ft"}[datum]
    picture = cross_section(sized(pipe={datum: "3 ft"}, drop=["groundwater_above_invert"]))
    assert f"water {above} above invert" in picture.svg
    assert "no groundwater" not in picture.svg + picture.alternative
    assert _all(picture, "level")


def _level(line):
    return line.get("y1") == line.get("y2")


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("size", ["3 in", "600 mm", "48 in", "96 in"])
def test_the_bar_of_scale_is_as_long_as_it_says(size, units):
    """The cover has a known length too: 16 ft, from the ground line to the crown."""
    picture = cross_section(sized(units, pipe={"host_diameter": size}))
    (ground,) = _all(picture, "soil")
    lines = [each for each in _all(picture, "ink") if each.tag == f"{SVG}line"]
    across = next(each for each in lines if each.get("x1") == each.get("x2"))
    top, low = numbers(across, "y1", "y2")
    assert top == float(ground.get("y"))
    (bore,) = _all(picture, "bore")
    radius, wall, middle = numbers(bore, "r", "stroke-width", "cy")
    assert low == pytest.approx(middle - radius + wall / 2, abs=0.02)
    scale = (low - top) / (16 if units == "US" else 16 * 0.3048)
    wide = [each for each in lines if _level(each) and each.get("stroke-width") == "2"]
    # The ground is drawn as wide as the bar.
    assert [numbers(each, "x1", "x2", "y1") for each in wide[:-1]] == [[8, 174, top]]
    left, right, y = numbers(wide[-1], "x1", "x2", "y1")
    # As far under the ground drawn as that goes on under the pipe.
    soil, high = numbers(ground, "y", "height")
    assert y - (soil + high) == pytest.approx(soil + high - (middle + radius - wall / 2), abs=0.02)
    ends = [
        each for each in lines if float(each.get("y1")) == y - 4 and float(each.get("y2")) == y + 4
    ]
    assert [float(each.get("x1")) for each in ends] == [left, right]
    said = [text for text, x, _, above, under in texts(picture) if x > right and above < y < under]
    number, unit = min(said, key=len).split()
    assert unit == ("ft" if units == "US" else "m")
    assert right - left == pytest.approx(float(number) * scale, rel=0.01)
    assert right - left >= 36


def test_lines_lead_from_a_label_to_what_it_names():
    """Both leaders end level with the middle of a text, four units before it."""
    picture = cross_section(sized())
    root = ElementTree.fromstring(picture.svg)
    (liner,) = _all(picture, "liner")
    host = [each for each in _all(picture, "host") if "bore" not in each.get("class")]
    for words, ring in (("liner", liner), ("host,", *host)):
        text = next(e for e in root.iter(f"{SVG}text") if e.text and e.text.startswith(words))
        x, y = numbers(text, "x", "y")
        lines = [each for each in _all(picture, "ink") if each.get("x2") == f"{x - 4}"]
        (line,) = [each for each in lines if float(each.get("y2")) == y - 4]
        # As thin as the line of the diameter.
        (diameter,) = [e for e in _all(picture, "ink") if e.get("stroke-dasharray")]
        assert line.get("stroke-width") == diameter.get("stroke-width")
        from_x, from_y = numbers(line, "x1", "y1")
        middle_x, middle_y, radius, wall = numbers(ring, "cx", "cy", "r", "stroke-width")
        away = ((from_x - middle_x) ** 2 + (from_y - middle_y) ** 2) ** 0.5
        assert away == pytest.approx(radius, abs=0.1 * wall)
        if words == "liner":
            # From the middle of the wall, half way between the side and the crown.
            assert away == pytest.approx(radius, rel=1e-3)
            assert from_x - middle_x == pytest.approx(middle_y - from_y, abs=0.02)


@pytest.mark.parametrize(("wall", "named"), [("0.5 in", "host pipe"), (None, "wall not to scale")])
def test_a_host_wall_is_to_scale_or_says_that_it_is_not(wall, named):
    pipe = {"host_diameter": "12 in"} | ({"host_wall": wall} if wall else {})
    picture = cross_section(sized(pipe=pipe))
    (liner,) = _all(picture, "liner")
    radius, across = numbers(liner, "r", "stroke-width")
    (host,) = [each for each in _all(picture, "host") if "bore" not in each.get("class")]
    inner, thick = numbers(host, "r", "stroke-width")
    # The liner lies in the host.
    assert inner - thick / 2 == pytest.approx(radius + across / 2, abs=0.02)
    assert any(text.endswith(named) for text, *_ in texts(picture))
    if wall:
        assert thick / (2 * (inner - thick / 2)) == pytest.approx(0.5 / 12, rel=0.01)
    # The line of the diameter runs from wall to wall, the drawn bore in the ground has the host's.
    (across,) = [e for e in _all(picture, "ink") if e.get("stroke-dasharray")]
    left, right = numbers(across, "x1", "x2")
    assert right - left == pytest.approx(2 * (inner - thick / 2), abs=0.02)


def test_bars_stand_in_rows_beside_their_names():
    """Each row of a drawing tells a script where it stands, and is as high as it says."""
    picture = demand_bars(sized())
    root = ElementTree.fromstring(picture.svg)
    one, most, top, row = numbers(root, "data-one", "data-most", "data-top", "data-row")
    (limit,) = _all(picture, "limit")
    groups = _all(picture, "check-bar")
    for number, group in enumerate(groups):
        assert group.get("transform") == f"translate(0 {top + row * number:g})"
        (bar,) = [each for each in group if each.tag == f"{SVG}rect"]
        x, y, high = numbers(bar, "x", "y", "height")
        assert (y, limit.get("x1"), limit.get("x2")) == (0, f"{x + one}", f"{x + one}")
        assert high < row
        name, place, ratio = (each for each in group if each.tag == f"{SVG}text")
        assert name.get("x") == place.get("x") == f"{x - 8}"
        assert ratio.get("x") == f"{x + one * most + 8}"
        # Letters on the middle of the bar: their base is a third of their height under it.
        for text in (name, ratio):
            base, letters = numbers(text, "y", "font-size")
            assert base == pytest.approx(y + high / 2 + letters / 3, abs=1.5)
    above, under, width = numbers(limit, "y1", "y2", "stroke-width")
    assert width > 1
    # The line is as long as all rows are high.
    assert under - above == row * len(groups)
    assert above < top
    assert top + row * (len(groups) - 1) + 18 < under < float(root.get("height"))


def test_a_long_name_of_a_station_is_cut_beside_a_bar():
    """Fourteen letters have room; of a longer name thirteen and a sign of what is left out."""
    stations = [{"at": "x" * 14, "cover": "9 ft"}, {"at": "y" * 15, "cover": "16 ft"}]
    (result,) = results(toml(pipe={"station": stations}, drop=("cover",)))
    places = {each.text for each in _all(demand_bars(result), "place")}
    assert places <= {"x" * 14, "y" * 13 + "…", None}
    assert "y" * 13 + "…" in places


WORDS = {
    # 48 in of 25.4 mm and 16, 12 ft of 0.3048 m; 24 mm are 0.9449 in. On a ring of 160 the wall is
    # 160 * 24/1219.2 = 3.15 thick, so three times is the least that shows 7.
    "US": ("48 in", "0.9449 in", "16 ft", "12 ft"),
    "SI": ("1219 mm", "24 mm", "4.877 m", "3.658 m"),
}


@pytest.mark.parametrize("units", WORDS)
def test_every_label_is_there_and_says_its_number(units):
    bore, wall, cover, water = WORDS[units]
    picture = cross_section(sized(units, pipe={"design_thickness": "24 mm"}))
    said = [words for words, *_ in texts(picture)]
    assert said == [
        "ground",
        f"cover {cover}",
        f"water {water} above invert",
        f"host pipe, {bore}",
        {"US": "5 ft", "SI": "2 m"}[units],
        f"D = {bore}",
        "ovality 2 %",
        "not drawn",
        f"liner t = {wall}",
        "wall drawn 3 times as thick",
        "host, wall not to scale",
    ]
    drawn = "wall drawn 3 times as thick; drawn round, without its ovality of 2 %."
    assert picture.alternative == (
        f"Section. Cover {cover}; water {water} above invert. "
        f"Host pipe of {bore} inside diameter with a liner {wall} thick, {drawn}"
    )
    assert picture.caption == (
        f"Section. Above: the pipe in the ground, to one scale. Below: the pipe enlarged, {drawn}"
    )
    root = ElementTree.fromstring(picture.svg)
    assert numbers(root, "width", "height") == [360, 438]


@pytest.mark.parametrize(
    ("name", "labels", "words", "site"),
    [
        ("dry", ["ground", "cover 16 ft"], "Cover 16 ft; no groundwater.", "in the ground"),
        (
            "dry, no cover",
            ["ground: no cover given"],
            "No cover given; no groundwater.",
            "in the ground",
        ),
        ("above ground", ["above ground"], "Above ground.", "above ground"),
        (
            "no cover, 600 mm, water -1 ft",
            ["ground: no cover given"],
            "No cover given; water 1 ft below invert.",
            "in the ground",
        ),
        (
            "no cover, 600 mm, water 0 ft",
            ["ground: no cover given"],
            "No cover given; water at invert.",
            "in the ground",
        ),
    ],
)
def test_ground_and_water_in_words(name, labels, words, site):
    (result,) = results(PLACES[name])
    picture = cross_section(result)
    assert picture.alternative.startswith(f"Section. {words} Host pipe of ")
    assert picture.caption.startswith(f"Section. Above: the pipe {site}, to one scale.")
    said = [text for text, *_ in texts(picture)]
    assert said[: len(labels)] == labels
    # Only the pipe above ground has no ovality in its file.
    assert any(text.startswith("ovality") for text in said) == ("Above" not in words)
    # What the words say of the water stands beside the picture too.
    water = words.partition("; ")[2].removesuffix(".")
    assert not water or water in said


def test_the_place_drawn_is_named():
    """That of the governing station; heights and ovality are those of that place."""
    (result,) = results(several())
    picture = cross_section(result)
    assert result.governing_station == "150 ft"
    for words in (picture.caption, picture.alternative):
        assert words.startswith("Section at 150 ft. ")
        assert "ovality of 3 %" in words
    # By hand: 9.7 ft to the invert, less the bore and the upper wall of 13 in; water 3 ft deep.
    assert "Cover 8.617 ft; water 6.7 ft above invert." in picture.alternative
    bars = demand_bars(result).alternative
    worst = max(result.checks, key=lambda check: check.demand / check.capacity)
    ratio = f"{worst.demand / worst.capacity:.3g}"
    assert f"{worst.equation} at {worst.station} {ratio}, passes" in bars


@pytest.mark.parametrize("name", PLACES)
def test_the_ground_fills_the_picture_and_labels_stand_at_what_they_name(name):
    """One scale serves both directions: the height drawn has 166, the bore at most 118; a label's
    base is 4 under what it names, or 15 under the label over it."""
    (result,) = results(PLACES[name])
    picture = cross_section(result)
    (bore,) = _all(picture, "bore")
    radius, wall, across, middle = numbers(bore, "r", "stroke-width", "cx", "cy")
    radius -= wall / 2
    # A wall not given is a line of one unit, which is no height.
    invert, crown = middle + radius, middle - radius - (wall if wall > 1 else 0)
    levels = [float(each.get("y1")) for each in _all(picture, "level")]
    grounds = [float(each.get("y")) for each in _all(picture, "soil") if each.get("y")]
    torn = [float(re.match(r"M8 ([\d.]+)q", each.get("d"))[1]) for each in _all(picture, "torn")]
    drawn = [*levels, *grounds, *torn, invert, crown]
    assert min(drawn) == pytest.approx(26, abs=0.02)
    high = max(drawn) - 26
    assert high == pytest.approx(166, abs=0.02) or 2 * radius == pytest.approx(118, abs=0.02)
    assert high <= 166.02
    assert 2 * radius <= 118.02
    assert across == (8 + 174) / 2
    for each in (*_all(picture, "soil"), *_all(picture, "water")):
        if each.tag == f"{SVG}rect":
            x, y, width, height = numbers(each, "x", "y", "width", "height")
            assert (x, width) == (8, 166)
            assert y in (levels if each.get("class") == "water" else grounds)
            # Soil shows through water.
            assert 0 < float(each.get("fill-opacity")) <= 1
            assert (float(each.get("fill-opacity")) < 1) == (each.get("class") == "water")
            assert y + height == pytest.approx(max(drawn) + 14, abs=0.02)
    at = {"host pipe": middle, "ground": min(drawn), "above ground": crown}
    for ground in grounds:
        at |= {"ground": ground, "cover": (ground + crown) / 2}
    at |= {"water": levels[0] if levels else invert + 8, "no groundwater": invert + 8}
    beside = [each for each in ElementTree.fromstring(picture.svg) if each.get("x") == "182.0"]
    wanted = []
    for text in beside:
        place = next(y for name, y in at.items() if text.text.startswith(name))
        wanted.append(max(place + 4, wanted[-1] + 15) if wanted else place + 4)
        assert text.get("font-size") == "12"
        assert text.get("text-anchor") == "start"
    assert [float(text.get("y")) for text in beside] == pytest.approx(wanted, abs=0.03)
    assert len(beside) == 2 + len(grounds) + (name != "above ground")


@pytest.mark.parametrize(("water", "drawn"), [("-8 ft", False), ("-7.9 ft", True)])
def test_water_two_bores_under_the_pipe_is_named_and_not_drawn(water, drawn):
    picture = cross_section(sized(pipe={"groundwater_above_invert": water}))
    assert f"water {water[1:]} below invert" in picture.svg
    assert bool(_all(picture, "level")) == bool(_all(picture, "water")) == drawn
    (mark,) = _all(picture, "level-mark") or [None]
    assert (mark is not None) == drawn


def test_the_mark_of_a_water_table_stands_on_its_line():
    picture = cross_section(sized())
    (level,) = _all(picture, "level")
    (mark,) = _all(picture, "level-mark")
    left, right, y = numbers(level, "x1", "x2", "y1")
    assert (left, right) == (8, 174)
    start, top, across, tip, low = map(float, re.findall(r"[\d.]+", mark.get("d")))
    assert low == y
    assert top == y - 9
    assert (start + across) / 2 == tip
    assert left < start < across < right
    # It begins half its width from the edge.
    assert start - left == (across - start) / 2


@pytest.mark.parametrize(
    "thickness", ["2 mm", "4 mm", "5 mm", "12 mm", "24 mm", "53.3 mm", "54 mm"]
)
def test_a_wall_is_drawn_as_little_thicker_as_shows_it(thickness):
    """At least 7 units; 48 in are drawn 160 wide. 20 times is the most."""
    share = 160 * float(thickness[:-3]) / (48 * 25.4)
    times = next((n for n in (1, 2, 3, 5, 10, 20) if n * share >= 7), 20)
    picture = cross_section(sized(pipe={"design_thickness": thickness}))
    (liner,) = _all(picture, "liner")
    assert float(liner.get("stroke-width")) == pytest.approx(times * share, abs=0.01)
    words = "wall to scale" if times == 1 else f"wall drawn {times} times as thick"
    assert [text for text, *_ in texts(picture) if text.startswith("wall")] == [words]
    assert f"thick, {words};" in picture.alternative


@pytest.mark.parametrize(
    ("wall", "thick", "named"),
    [
        # A bore of 12 in is drawn 160 wide: 13.33 to an inch.
        ("0.1 in", 2.0, "host pipe"),
        ("0.3 in", 4.0, "host pipe"),
        ("1.04 in", 13.87, "host pipe"),
        ("1.05 in", 14.0, "host, wall not to scale"),
        ("2 in", 14.0, "host, wall not to scale"),
        (None, 8.0, "host, wall not to scale"),
    ],
)
def test_the_wall_of_a_host_in_both_pictures(wall, thick, named):
    pipe = {"host_diameter": "12 in", "cover": "4 ft"} | ({"host_wall": wall} if wall else {})
    picture = cross_section(sized(pipe=pipe))
    (host,) = [each for each in _all(picture, "host") if "bore" not in each.get("class")]
    assert float(host.get("stroke-width")) == pytest.approx(thick, abs=0.01)
    assert named in [text for text, *_ in texts(picture)]
    # In the ground to one scale, and one unit at least.
    (bore,) = _all(picture, "bore")
    radius, width = numbers(bore, "r", "stroke-width")
    inches = float(wall[:-3]) if wall else 0.0
    to_scale = (2 * radius - width) / 12 * inches
    assert width == pytest.approx(max(to_scale, 1.0), abs=0.01)


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("size", ["3 in", "8 in", "600 mm", "48 in", "96 in"])
@pytest.mark.parametrize("cover", ["3 ft", "16 ft", "300 ft"])
def test_the_bar_of_scale_is_the_shortest_round_length_that_shows(size, units, cover):
    """By 1, 2 and 5; 36 units are enough."""
    picture = cross_section(sized(units, pipe={"host_diameter": size, "cover": cover}))
    ticks = [
        each
        for each in _all(picture, "ink")
        if each.tag == f"{SVG}line" and float(each.get("y2")) - float(each.get("y1")) == 8
    ]
    left, right = (float(each.get("x1")) for each in ticks[-2:])
    y = float(ticks[-1].get("y1")) + 4
    (label,) = [text for text in texts(picture) if text[1] == pytest.approx(right + 6)]
    number = float(label[0].split()[0])
    first = f"{number:e}"[0]
    assert first in "125"
    shorter = {"1": 0.5, "2": 0.5, "5": 0.4}[first]
    assert left == 8
    assert shorter * (right - left) < 36 <= right - left
    # It is under the ground, and its label is level with it.
    assert y > max(float(each.get("y1")) for each in _all(picture, "level"))
    assert label[3] < y < label[4]
    # As every label, its base is 4 under what it names.
    (base,) = {float(e.get("y")) for e in ElementTree.fromstring(picture.svg) if e.text == label[0]
               and float(e.get("x", 0)) == pytest.approx(right + 6, abs=0.02)}  # fmt: skip
    assert base == pytest.approx(y + 4, abs=0.02)


@pytest.mark.parametrize(
    ("units", "size", "cover", "label"),
    [
        # Cover and bore are 166 high: of 12 in and 3 ft, 41.5 to a foot; and so on.
        ("US", "12 in", "3 ft", "1 ft"),
        ("US", "12 in", "5 ft", "2 ft"),
        ("US", "12 in", "16 ft", "5 ft"),
        ("US", "12 in", "40 ft", "10 ft"),
        ("US", "12 in", "60 ft", "20 ft"),
        ("US", "12 in", "150 ft", "50 ft"),
        ("US", "12 in", "300 ft", "100 ft"),
        # 100 ft are 33 units there, and the longest there is.
        ("US", "12 in", "500 ft", "100 ft"),
        ("SI", "12 in", "3 ft", "0.5 m"),
        ("SI", "3 in", "2 ft", "0.2 m"),
        # The bore has 118 at most: of 3 in, 472 to a foot.
        ("US", "3 in", None, "0.1 ft"),
    ],
)
def test_the_bar_of_scale_by_hand(units, size, cover, label):
    pipe = {"host_diameter": size, "groundwater_above_invert": "0.2 ft"}
    if cover:
        picture = cross_section(sized(units, pipe=pipe | {"cover": cover}))
    else:
        partly = {"condition": "partially deteriorated"}
        picture = cross_section(sized(units, pipe=pipe | partly, drop=NO_GROUND))
    said = [text for text, *_ in texts(picture)]
    assert [text for text in said if re.fullmatch(r"[\d.]+ (ft|m)", text)] == [label]


def test_a_hardly_loaded_wall_has_a_short_bar():
    """No bar is longer than its ratio says, however little that is."""
    light = {"condition": "partially deteriorated", "groundwater_above_invert": "0.05 ft"}
    result = sized(pipe=light | {"design_thickness": "60 mm"}, drop=NO_GROUND)
    ratios = [check.demand / check.capacity for check in result.checks]
    assert min(ratios) < 0.005
    bars = [float(bar.get("width")) for bar in _all(demand_bars(result), "bar")]
    assert bars == pytest.approx([160 * ratio for ratio in ratios], abs=0.005)


def test_of_places_alike_the_first_is_named():
    stations = [{"at": at, "cover": "9 ft"} for at in ("upper", "lower")]
    (result,) = results(toml(pipe={"station": stations}, drop=("cover",)))
    assert {each.text for each in _all(demand_bars(result), "place")} == {"upper"}


def test_a_bar_says_its_ratio_and_is_cut_where_it_ends():
    """Three figures; a bar a quarter over capacity is cut there, its number is not."""
    result = sized(pipe={"design_thickness": "20 mm", "live_load": "9 psi"})
    picture = demand_bars(result)
    ratios = [check.demand / check.capacity for check in result.checks]
    assert max(ratios) > 1.25
    said = [f"{float(f'{ratio:.3g}'):.10g}" for ratio in ratios]
    assert [each.text for each in _all(picture, "ratio")] == said
    words = [
        f"{check.equation} {ratio}, {'passes' if check.demand <= check.capacity else 'fails'}"
        for check, ratio in zip(result.checks, said, strict=True)
    ]
    assert picture.alternative == f"Demand over capacity: {'; '.join(words)}."
    assert picture.caption == "Demand over capacity; a bar beyond the line fails."
    assert max(float(bar.get("width")) for bar in _all(picture, "bar")) == 160 * 1.25
    colours = {bar.get("class"): bar.get("fill") for bar in _all(picture, "bar")}
    assert len({*colours.values()}) == 2
    root = ElementTree.fromstring(picture.svg)
    (limit,) = _all(picture, "limit")
    (over,) = [each for each in root if each.text == "capacity"]
    assert over.get("x") == limit.get("x1")
    assert over.get("text-anchor") == "middle"
    assert [each.get("data-equation") for each in _all(picture, "check-bar")] == [
        check.equation for check in result.checks
    ]


def test_what_stands_together_is_alike_and_evenly_spaced():
    """The enlarged pipe is in the middle of what is left of its labels; second lines are of one
    size, and 15 under the first, as labels of the ground are; ticks are as long on both sides."""
    picture = cross_section(sized(pipe={"ovality": "2.34567 %"}))
    root = ElementTree.fromstring(picture.svg)
    written = {each.text: each for each in root.iter(f"{SVG}text")}
    (x,) = numbers(_all(picture, "liner")[0], "cx")
    second = [
        each for words, each in written.items()
        if words.startswith(("wall drawn", "ovality", "not drawn", "5 ft"))
    ]  # fmt: skip
    assert len(second) == 4
    assert len({each.get("font-size") for each in second}) == 1
    first = next(each for words, each in written.items() if words.startswith("liner t"))
    (left, upper), (under_left, under) = (
        numbers(each, "x", "y")
        for each in (first, next(e for e in second if e.text.startswith("wall")))
    )
    assert (under_left, under) == (left, upper + 15)
    assert x == left / 2
    # Over the line and under it, in the middle of the ring.
    for words, each in written.items():
        if words.startswith(("D = ", "ovality", "not drawn")):
            assert (each.get("x"), each.get("text-anchor")) == (f"{x}", "middle")
    # Figures of a share are four, as those of a length.
    assert "ovality 2.346 %" in written
    assert "without its ovality of 2.346 %" in picture.caption
    lines = [each for each in _all(picture, "ink") if each.tag == f"{SVG}line"]
    (cover,) = [e for e in lines if e.get("x1") == e.get("x2") and not _is_tick(e)]
    at, top, low = numbers(cover, "x1", "y1", "y2")
    ends = [numbers(e, "x1", "x2") for e in lines if _level(e) and float(e.get("y1")) in (top, low)]
    ticks = [each for each in ends if each[0] < at < each[1] and each[1] - each[0] < 20]
    assert [sum(each) / 2 for each in ticks] == [at, at]
    # The pipe to scale has room to the left and right alike, and its labels stand clear of it.
    assert at + 4 <= 174
    (bore,) = _all(picture, "bore")
    assert float(bore.get("cx")) == 91


def _is_tick(line):
    top, low = numbers(line, "y1", "y2")
    return low - top == 8


def test_names_of_bars_stand_in_two_lines_where_there_is_a_place():
    """Evenly over and under where a name by itself stands, and both within the bar's row."""
    (result,) = results(several())
    placed, alone = demand_bars(result), demand_bars(sized())
    for group in _all(placed, "check-bar"):
        name, place, ratio = (each for each in group if each.tag == f"{SVG}text")
        (bar,) = [each for each in group if each.tag == f"{SVG}rect"]
        (high,) = numbers(bar, "height")
        over, under = float(name.get("y")), float(place.get("y"))
        letters, small = float(name.get("font-size")), float(place.get("font-size"))
        assert under - over >= small
        assert over - 0.75 * letters >= 0
        assert under <= high + small / 2
        assert small < letters == float(ratio.get("font-size"))
    single = _all(alone, "check")[0]
    assert float(single.get("y")) == float(_all(alone, "ratio")[0].get("y"))
