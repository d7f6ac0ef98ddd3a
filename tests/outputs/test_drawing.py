"""The drawings are to scale: lengths are measured in the SVG and held against the inputs."""

import re
from xml.etree import ElementTree

import pytest
from pages import partial, results, several
from projects import PIPE, sized, toml

from linerdesign.outputs.drawing import cross_section, demand_bars

SVG = "{http://www.w3.org/2000/svg}"


def _all(picture, kind):
    root = ElementTree.fromstring(picture.svg)
    return [each for each in root.iter() if kind in each.get("class", "").split()]


def _numbers(element, *names):
    return [float(element.get(name)) for name in names]


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("water", ["12 ft", "30 ft", "-3 ft"])
def test_ground_water_and_pipe_have_one_scale(units, water):
    picture = cross_section(sized(units, pipe={"groundwater_above_invert": water}))
    (bore,) = _all(picture, "bore")
    radius, across, middle = _numbers(bore, "r", "stroke-width", "cy")
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
    radius, wall = _numbers(liner, "r", "stroke-width")
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


def test_texts_stay_in_the_picture():
    """A wide sans-serif takes about half its size a letter."""
    for result in results(toml(), partial(), several()):
        for picture in (cross_section(result), demand_bars(result)):
            root = ElementTree.fromstring(picture.svg)
            for each in root.iter(f"{SVG}text"):
                size = float(each.get("font-size")) * 0.52 * len(each.text or "")
                x = float(each.get("x"))
                start = {"start": x, "middle": x - size / 2, "end": x - size}[
                    each.get("text-anchor")
                ]
                assert start >= 0, each.text
                assert start + size <= 360, each.text
