"""What a survey prints, gives as data and writes, for ellipses and diameters laid out by hand."""

from dataclasses import replace
from math import hypot, inf, pi

import numpy as np
import pytest
from outlines import box, ellipse_radii, radii

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph
from linerdesign.field.survey import report
from linerdesign.field.survey.departures import Departure
from linerdesign.field.survey.report import profile_blocks, profile_data, shape_record
from linerdesign.field.survey.run import Maximum
from linerdesign.field.survey.shape import shape_from_diameters, shape_from_radii
from linerdesign.field.survey.stretch import stretch
from linerdesign.field.survey.summary import UNITS, combine

SI, US = UNITS["SI"], UNITS["US"]


@pytest.fixture(autouse=True)
def no_pictures(monkeypatch):
    """They are tested by themselves."""
    monkeypatch.setattr(report, "section", lambda shape, units: ("section", shape, units))
    monkeypatch.setattr(report, "along_run", lambda run, units: None)


def ellipse(ovality, station=None, radius=150.0):
    return shape_from_radii(*ellipse_radii(radius, ovality, 40.0, (0.0, 0.0), 72), station)


def by_hand(*diameters, at=None):
    return shape_from_diameters(diameters, at)


def grids(blocks):
    return [each for each in blocks if isinstance(each, Grid)]


def remarks(blocks):
    return [one for each in blocks if isinstance(each, Bullets) for one in each.items]


def test_one_station_by_hand():
    """Of 200, 204, 196 and 200 mm: mean 200, 2 % by either form."""
    found = combine((by_hand(200.0, 204.0, 196.0, 200.0),), Maximum())
    heading, summary, stations, picture = profile_blocks(found, SI, None)
    assert heading == Heading("Design diameter and ovality")
    assert picture == ("section", found.worst, SI)
    adopted = found.worst.adopted
    assert summary.columns == ("", "value", "basis")
    assert summary.rows == (
        ("mean diameter", "200 mm", "one station"),
        ("maximum diameter", "204 mm", "any station"),
        ("minimum diameter", "196 mm", "any station"),
        ("ovality", "2.00 %", f"{adopted.ovality_form}, {adopted.basis}"),
    )
    area = pi / 4 * 200**2
    (row,) = stations.rows
    assert row[:7] == ("-", "200", "204", "196", "2.00", "2.00", "-")
    assert float(row[7]) == pytest.approx(area, rel=1e-2)
    assert row[8] == adopted.basis
    record = shape_record(found, SI, "Trunk", "d.csv (SHA-256 1f)")
    assert (record.table, record.name) == ("pipe", "Trunk")
    assert record.values == {"host_diameter": "200 mm", "ovality": "2 %"}
    assert record.evidence == "profile d.csv (SHA-256 1f), 1 station, one station"
    assert record.removed[0] == "diameters"
    assert "ovality" not in record.removed
    assert set(record.unless_at_stations) == {"host_diameter", "ovality", *record.removed}
    assert record.within == {}


def test_a_run_in_feet_and_inches_station_by_station():
    """Means of 203.2 and 304.8 mm are 8 and 12 in; 3.048 m are 10 ft."""
    shapes = (
        by_hand(203.2, 207.264, 199.136, 203.2, at=0.0),
        by_hand(304.8, 307.848, 301.752, 304.8, at=3.048),
    )
    found = combine(shapes, Maximum())
    _, summary, stations, _ = profile_blocks(found, US, None)
    assert summary.rows == (
        ("mean diameter", "12 in", found.rule),
        ("maximum diameter", "12.12 in", "any station"),
        ("minimum diameter", "7.84 in", "any station"),
        ("ovality", "2.00 %", f"{found.rule}; the larger of both forms"),
    )
    assert [row[:6] for row in stations.rows] == [
        ("0", "8", "8.16", "7.84", "2.00", "2.00"),
        ("10", "12", "12.12", "11.88", "1.00", "1.00"),
    ]
    assert float(stations.rows[0][7]) == pytest.approx(pi / 4 * 64, rel=1e-2)
    assert stations.columns[0] == "station, ft"
    assert stations.caption == "Stations; diameters in in, areas in in^2"
    record = shape_record(found, US, "P", "d.csv", ("station", "leg"))
    assert record.values == {"host_diameter": "12 in", "ovality": "2 %"}
    assert record.evidence == f"profile d.csv, 2 stations, {found.rule}"
    assert record.within["station"] == (
        {"at": "0 ft", "host_diameter": "8 in", "ovality": "2 %"},
        {"at": "10 ft", "host_diameter": "12 in", "ovality": "1 %"},
    )
    assert record.within["leg"] == (
        {"at": "0 ft", "host_diameter": "8 in", "length": "10 ft"},
        {"at": "10 ft", "host_diameter": "12 in"},
    )


def test_values_are_written_with_five_figures_and_ovality_with_four_at_most():
    """Of 123.456 and 126.789 mm: mean 125.1225, ovality 1.3319 %."""
    found = combine((by_hand(123.456, 126.789, at=1.0),), Maximum())
    ovality = 100 * (126.789 - 125.1225) / 125.1225
    summary = grids(profile_blocks(found, SI, None))[0].rows
    mean, most, least = "125.12", "126.79", "123.46"
    assert [row[1] for row in summary] == [
        *(f"{each} mm" for each in (mean, most, least)),
        f"{ovality:.2f} %",
    ]
    (row,) = grids(profile_blocks(found, SI, None))[1].rows
    assert row[1:4] == (mean, most, least)
    assert row[7] == f"{pi / 4 * 126.789 * 123.456:.5g}"
    record = shape_record(found, SI, "P", "d.csv", ("station",))
    assert record.values == {"host_diameter": "125.12 mm", "ovality": f"{ovality:.3f} %"}
    assert record.within["station"] == ({"at": "1 m", **record.values},)
    large = combine((by_hand(100.0, 125.0, at=1.0),), Maximum())
    assert shape_record(large, SI, "P", "d.csv").values["ovality"] == "11.11 %"
    slight = combine((by_hand(100.0, 100.246913, at=1.0),), Maximum())
    written = shape_record(slight, SI, "P", "d.csv", ("station",))
    assert written.values["ovality"] == written.within["station"][0]["ovality"] == "0.123 %"


def test_stations_within_five_percent_of_the_first_are_one_leg():
    """200, 210 and 190 are; 210.1 and 189.9 are not: a leg has its largest diameter."""

    def legs(*means):
        shapes = tuple(by_hand(mean, mean, at=10.0 * i) for i, mean in enumerate(means))
        record = shape_record(combine(shapes, Maximum()), SI, "P", "d.csv", ("leg",))
        return [
            (each["at"], each["host_diameter"], each.get("length")) for each in record.within["leg"]
        ]

    assert legs(200.0, 210.0, 190.0) == [("0 m", "210 mm", None)]
    assert legs(200.0, 210.1) == [("0 m", "200 mm", "10 m"), ("10 m", "210.1 mm", None)]
    assert legs(200.0, 220.0, 250.0) == [
        ("0 m", "200 mm", "10 m"),
        ("10 m", "220 mm", "10 m"),
        ("20 m", "250 mm", None),
    ]
    assert legs(200.0, 205.0, 189.9, 189.9) == [
        ("0 m", "205 mm", "20 m"),
        ("20 m", "189.9 mm", None),
    ]


def test_of_very_many_stations_those_of_the_largest_ovality_are_listed_in_order():
    def listed(count):
        shapes = tuple(
            by_hand(200.0, 200.0 + (7 * i % count) * 0.01, at=float(i)) for i in range(count)
        )
        grid = grids(profile_blocks(combine(shapes, Maximum()), SI, None))[1]
        return [float(row[0]) for row in grid.rows], grid.caption

    stations, caption = listed(60)
    assert stations == list(range(60))
    assert caption == "Stations; diameters in mm, areas in mm^2"
    stations, caption = listed(62)
    assert stations == [i for i in range(62) if 7 * i % 62 >= 2]
    assert caption.startswith("Stations, the 60 of largest ovality; ")


def test_an_ellipse_by_radii_says_nothing_against_itself():
    """Area pi a b, the ovality of the fit in its own column."""
    found = combine((ellipse(2.0, 5.0),), Maximum())
    blocks = profile_blocks(found, SI, None)
    assert remarks(blocks) == []
    (row,) = grids(blocks)[1].rows
    assert row[0] == "5"
    assert float(row[6]) == pytest.approx(2.0, abs=0.02)
    assert float(row[7]) == pytest.approx(pi * 153 * 147, rel=2e-3)


def test_an_outline_outside_the_method_says_so_everywhere():
    square = shape_from_radii(*radii(box(600, 600), 72), 6.096)
    found = combine((ellipse(2.0, 0.0), square), Maximum())
    blocks = profile_blocks(found, US, None)
    assert blocks[0].text == "Measured shape, outside the scope of the method"
    status, value, where = grids(blocks)[0].rows[-1]
    assert (status, where) == ("status", "see below")
    assert value
    said = remarks(blocks)
    figure = next(text for text in said if text.startswith("at 20 ft: ") and "widths" in text)
    # Callipers find 600 mm across the sides and its diagonal across the corners, averaged here.
    least, largest = square.figure.least_width, square.figure.largest_width
    assert (least, largest) == pytest.approx((600, hypot(600, 600)), rel=0.06)
    assert f"widths {least / 25.4:.4g} to {largest / 25.4:.4g} in" in figure
    fit = square.ellipse
    assert f"fitted ellipse {fit.minimum_diameter / 25.4:.4g} to " in figure
    assert f" to {fit.maximum_diameter / 25.4:.4g} in" in figure
    assert f"departs from the fitted ellipse by {square.figure.distance / 25.4:.4g} in" in figure
    data = profile_data(found, US, None)
    assert data["outside_the_method"] == list(found.outside)
    assert data["stations"][0]["figure"] is None
    told = data["stations"][1]["figure"]
    assert told["least_width"] == pytest.approx(least / 25.4)
    assert told["largest_width"] == pytest.approx(largest / 25.4)
    assert told["distance_from_ellipse"] == pytest.approx(square.figure.distance / 25.4)
    parts = shape_record(found, US, "P", "r.csv").evidence.split("; ")
    assert any(part.startswith("OUTSIDE THE METHOD: ") for part in parts)
    assert "2 stations" in parts[0]


@pytest.mark.parametrize("count", [1, 10, 11])
def test_departures_outliers_and_cautions_name_their_station(count):
    shape = replace(
        ellipse(2.0, 3.048),
        departures=(Departure("step", 30.0, 30.0, -2.5),),
        wild_angles=tuple(10.0 * k for k in range(count)),
        cautions=("few readings",),
    )
    found = combine((ellipse(1.0, 0.0), shape), Maximum())
    angles = ", ".join(f"{10 * k}" for k in range(min(count, 10)))
    more = ", ..." if count > 10 else ""
    assert remarks(profile_blocks(found, US, None)) == [
        "at 10 ft: not an ellipse: step of 2.5 % of the radius at 30 deg",
        f"at 10 ft: outliers rejected: {count}, at {angles}{more} deg",
        "at 10 ft: few readings",
        "the equations are for an oval; their use for another outline is decided by the engineer",
    ]
    alone = combine((replace(shape, station=None, departures=()),), Maximum())
    assert remarks(profile_blocks(alone, US, None))[-1] == "few readings"


def test_a_tube_stretched_into_the_widest_station_by_constant_area():
    """6 mm of a 200 mm tube in 210 mm, 5.5 needed: by hand (D - t) t the same."""
    found = combine((by_hand(200.0, 200.0, at=0.0), by_hand(210.0, 210.0, at=5.0)), Maximum())
    tube = stretch(6.0, 200.0, 210.0, 5.8)
    *_, heading, paragraph = profile_blocks(found, SI, tube)
    assert heading == Heading("Stretch at the widest station", 2)
    assert isinstance(paragraph, Paragraph)
    left = (210 - np.sqrt(210**2 - 4 * 194 * 6)) / 2
    need = (200 - np.sqrt(200**2 - 4 * (210 - 5.8) * 5.8)) / 2
    widest = 5.8 + 6 * 194 / 5.8
    assert paragraph.text == (
        f"Stretched to 210 mm, 1.050 times the tube diameter, the wall is {left:.2f} mm by "
        f"constant area (by diameters at mid-wall {6 * 200 / 210:.2f} mm); required 5.80 mm: NOT "
        f"SUFFICIENT. Required tube thickness {need:.2f} mm; this tube suffices up to "
        f"{widest:.5g} mm."
    )
    data = profile_data(found, SI, tube)["stretch"]
    assert data == pytest.approx(
        {
            "ratio": 1.05,
            "delivered_mm": left,
            "delivered_by_mean_diameter_mm": 6 / 1.05,
            "needed_mm": 5.8,
            "enough": False,
            "tube_needed_mm": need,
            "largest_host_diameter": widest,
        }
    )
    assert profile_data(found, US, tube)["stretch"]["largest_host_diameter"] == pytest.approx(
        widest / 25.4
    )
    never = replace(tube, tube_needed=inf, enough=True)
    text = profile_blocks(found, SI, never)[-1].text
    assert "required 5.80 mm: sufficient. No thickness of a tube of this diameter suffices;" in text
    assert profile_data(found, SI, never)["stretch"]["tube_needed_mm"] is None
    assert "stretch" not in profile_data(found, SI, None)


def test_the_data_of_a_run_in_inches():
    found = combine((ellipse(2.0, 3.048, 152.4), by_hand(304.8, 307.848, at=6.096)), Maximum())
    data = profile_data(found, US, None)
    assert (data["unit"], data["rule"]) == ("in", found.rule)
    assert data["mean_diameter"] == pytest.approx(found.mean.value / 25.4)
    assert data["maximum_diameter"] == pytest.approx(found.maximum / 25.4)
    assert data["minimum_diameter"] == pytest.approx(found.minimum / 25.4)
    assert data["ovality_percent"] == found.ovality.value
    first, second = data["stations"]
    assert (first["station"], second["station"], first["station_unit"]) == (10, 20, "ft")
    assert (first["readings"], second["readings"]) == (72, 2)
    assert first["mean_diameter"] == pytest.approx(12.0, rel=1e-3)
    assert first["maximum_diameter"] == pytest.approx(12.24, rel=1e-3)
    assert first["minimum_diameter"] == pytest.approx(11.76, rel=1e-3)
    assert first["long_axis_degrees"] == pytest.approx(40, abs=0.5)
    assert first["ovality_of_ellipse"] == pytest.approx(2.0, abs=0.01)
    assert first["area"] == pytest.approx(pi * 6.12 * 5.88, rel=2e-3)
    for key in ("ovality_of_ellipse", "ovality_standard_error", "long_axis_degrees"):
        assert second[key] is None
    assert second["mean_diameter"] == pytest.approx(306.324 / 25.4)
    by_least = 100 * (306.324 - 304.8) / 306.324
    assert second["ovality_from_minimum"] == pytest.approx(by_least)
    assert second["ovality_from_maximum"] == pytest.approx(by_least)
