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
    (bore,) = _all(picture, "bore")
    radius, middle = numbers(bore, "r", "cy")
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
    left, right, y = numbers(wide[-1], "x1", "x2", "y1")
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
        from_x, from_y = numbers(line, "x1", "y1")
        middle_x, middle_y, radius, wall = numbers(ring, "cx", "cy", "r", "stroke-width")
        away = ((from_x - middle_x) ** 2 + (from_y - middle_y) ** 2) ** 0.5
        assert away == pytest.approx(radius, abs=0.1 * wall)


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
    above, under = numbers(limit, "y1", "y2")
    assert above < top
    assert top + row * (len(groups) - 1) + 18 < under < float(root.get("height"))


def test_a_long_name_of_a_station_is_cut_beside_a_bar():
    """Fourteen letters have room; of a longer name thirteen and a sign of what is left out."""
    stations = [{"at": "x" * 14, "cover": "9 ft"}, {"at": "y" * 15, "cover": "16 ft"}]
    (result,) = results(toml(pipe={"station": stations}, drop=("cover",)))
    places = {each.text for each in _all(demand_bars(result), "place")}
    assert places <= {"x" * 14, "y" * 13 + "…", None}
    assert "y" * 13 + "…" in places
