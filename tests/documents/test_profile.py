"""The long profile: where it is drawn, and that its heights and lengths are to scale."""

import re

import pytest
from projects import toml

from linerdesign.documents.blocks import Picture
from linerdesign.documents.profile import long_profile
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
