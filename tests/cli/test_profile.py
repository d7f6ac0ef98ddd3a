"""`profile` on constructed pipes, on files that are none, and into a project."""

import json
import math
import re
import tomllib

import numpy as np
import pytest
from outlines import egg
from outlines import radii as radii_of
from projects import toml

ANGLES = np.arange(0, 360, 4.0)


def ellipse(a, b, long_axis=0.0):
    turn = np.radians(ANGLES - long_axis)
    return a * b / np.hypot(b * np.cos(turn), a * np.sin(turn))


def radii(path, stations, unit="mm", noise=0.0):
    """Stations of ellipses: the place, and semi-axes."""
    generator = np.random.default_rng(7)
    lines = [f"station [m],angle [deg],radius [{unit}]"]
    for station, (a, b) in stations.items():
        length = ellipse(a, b) + generator.normal(0, noise, ANGLES.size)
        lines += [f"{station},{t:g},{r:.6f}" for t, r in zip(ANGLES, length, strict=True)]
    path.write_text("\n".join(lines))


def test_a_known_ellipse(run, tmp_path):
    """Semi-axes 153 and 147: diameters 306 and 294 about 300, ovality 2 %."""
    radii(tmp_path / "p.csv", {0: (153.0, 147.0)})
    code, out, _ = run("profile", "p.csv", "--json")
    found = json.loads(out)
    assert code == 0
    assert found["unit"] == "mm"
    assert found["mean_diameter"] == pytest.approx(300, rel=1e-4)
    assert found["maximum_diameter"] == pytest.approx(306, rel=1e-4)
    assert found["minimum_diameter"] == pytest.approx(294, rel=1e-4)
    assert found["ovality_percent"] == pytest.approx(2.0, abs=0.01)
    assert found["stations"][0]["area"] == pytest.approx(math.pi * 153 * 147, rel=1e-3)


def test_the_files_own_unit_or_the_one_asked_for(run, tmp_path):
    radii(tmp_path / "p.csv", {0: (6.12, 5.88)}, unit="in")
    assert json.loads(run("profile", "p.csv", "--json")[1])["mean_diameter"] == pytest.approx(
        12, rel=1e-4
    )
    found = json.loads(run("profile", "p.csv", "--json", "--units", "SI")[1])
    assert (found["unit"], found["mean_diameter"]) == ("mm", pytest.approx(304.8, rel=1e-4))


def test_diameters_by_hand(run, tmp_path):
    (tmp_path / "d.csv").write_text("diameter [mm]\n298\n304\n300\n298\n")
    found = json.loads(run("profile", "d.csv", "--json")[1])
    assert found["mean_diameter"] == 300
    assert found["ovality_percent"] == pytest.approx(100 * 4 / 300)


@pytest.mark.parametrize(
    ("unit", "diameters", "expected"),
    [
        ("mm", "11.8 12.1", "11.8 mm, under 75 mm: check the unit in the header"),
        ("in", "298 304", "7721.6 mm, over 4000 mm: check the unit in the header"),
        ("mm", "75 75.1", ""),
        ("mm", "3990 4000", ""),
        # Of 270, 330 about 300 the ovality is 10 %, of 269, 331 it is 10.33 %.
        ("mm", "270 330", ""),
        ("mm", "269 331", "outside the method: ovality over 10 %"),
    ],
)
def test_sizes_and_shapes_to_be_doubted(run, tmp_path, unit, diameters, expected):
    """The bounds of size are common practice, no source; 10 % is the appendix's own."""
    rows = "\n".join(diameters.split())
    (tmp_path / "d.csv").write_text(f"diameter [{unit}]\n{rows}\n")
    code, out, _ = run("profile", "d.csv", "--json")
    assert code == ("outside the method" in expected)
    cautions = json.loads(out)["cautions"]
    doubted = [text for text in cautions if "header" in text or "ovality" in text]
    assert len(doubted) == bool(expected)
    assert expected in "".join(doubted)
    out = " ".join(run("profile", "d.csv")[1].split())
    assert expected in out


STATIONS = {0: (151, 149), 10: (155, 145), 20: (152, 148), 30: (151, 149)}


@pytest.mark.parametrize(
    ("words", "expected", "rule"),
    [
        ((), 100 * 5 / 150, "maximum of the stations"),
        (("--percentile", "50"), 1.0, "percentile 50 of the stations"),
        # The windows of 10 m hold 0.67 and 3.33, 3.33 and 1.33, 1.33 and 0.67.
        (("--window", "10 m"), (100 * 5 / 150 + 100 * 2 / 150) / 2, "largest mean over any 10 m"),
    ],
)
def test_rules_along_the_run(run, tmp_path, words, expected, rule):
    radii(tmp_path / "p.csv", STATIONS)
    found = json.loads(run("profile", "p.csv", "--json", *words)[1])
    assert found["ovality_percent"] == pytest.approx(expected, abs=0.02)
    assert found["rule"] == rule
    assert len(found["stations"]) == 4


def test_written_into_a_project_and_designed_with(run, tmp_path):
    radii(tmp_path / "p.csv", STATIONS)
    (tmp_path / "p.toml").write_text(toml(drop=("host_diameter", "ovality")))
    code, out, _ = run("profile", "p.csv", "--write", "p.toml", "--pipe", "Trunk")
    assert code == 0
    assert "Written into p.toml" in out
    pipe = tomllib.loads((tmp_path / "p.toml").read_text())["pipe"][0]
    assert pipe["origin"] == {"host_diameter": "measured", "ovality": "measured"}
    assert "maximum of the stations" in pipe["evidence"]["ovality"]
    code, out, _ = run("size", "p.toml", "--full")
    assert code == 0
    assert "p.csv (SHA-256" in out
    # Radii in mm: the diameter is printed as measured, not in inches.
    assert re.search(r"mean inside diameter of the host pipe +[\d,.]+ mm +measured", out)


def egg_file(path):
    """An egg of 600 by 702 mm with an invert of 150 mm radius at station 5, a circle at 0."""
    angle, radius = radii_of(egg(600, 702, 150), 72)
    lines = ["station [m],angle [deg],radius [mm]"]
    lines += [f"0,{t:g},325" for t in angle]
    lines += [f"5,{t:g},{r:.1f}" for t, r in zip(angle, radius, strict=True)]
    path.write_text("\n".join(lines))


def test_an_egg_is_outside_the_method(run, tmp_path):
    egg_file(tmp_path / "egg.csv")
    code, out, _ = run("profile", "egg.csv")
    said = " ".join(out.split())
    assert code == 1
    assert "outside the method: not an ellipse at 1 of 2 stations" in said
    assert "Design diameter and ovality" not in said
    assert "egg-like, narrower at 270 deg, the invert if 0 deg is to the right" in said
    assert "The outline is an ellipse" not in said
    assert "for the engineer to decide" not in said
    widths = re.search(r"measured widths ([\d.]+) to ([\d.]+) mm, fitted ellipse ([\d.]+)", said)
    assert [float(each) for each in widths.groups()] == pytest.approx([600, 702, 590], rel=0.02)
    found = json.loads(run("profile", "egg.csv", "--json")[1])
    circle, egg_shaped = found["stations"]
    assert circle["figure"] is None
    assert egg_shaped["figure"]["largest_width"] == pytest.approx(702, rel=0.005)
    assert len(found["outside_the_method"]) == 1


def test_an_egg_written_into_a_project_says_there_what_it_is(run, tmp_path):
    egg_file(tmp_path / "egg.csv")
    (tmp_path / "p.toml").write_text(toml(drop=("host_diameter", "ovality")))
    code, _, _ = run("profile", "egg.csv", "--write", "p.toml", "--pipe", "Trunk")
    assert code == 1
    pipe = tomllib.loads((tmp_path / "p.toml").read_text())["pipe"][0]
    for key in ("host_diameter", "ovality"):
        assert "OUTSIDE THE METHOD: not an ellipse at 1 of 2 stations" in pipe["evidence"][key]
    assert "egg-like" in " ".join(run("size", "p.toml", "--full")[1].split())


def test_replaced_only_by_force(run, tmp_path):
    radii(tmp_path / "p.csv", STATIONS)
    (tmp_path / "p.toml").write_text(toml())
    before = (tmp_path / "p.toml").read_bytes()
    code, _, err = run("profile", "p.csv", "--write", "p.toml", "--pipe", "Trunk")
    assert code == 2
    assert "--force to replace" in err
    assert (tmp_path / "p.toml").read_bytes() == before
    assert run("profile", "p.csv", "--write", "p.toml", "--pipe", "Trunk", "--force")[0] == 0


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("--pipe", "Trunk"), "--write"),
        (("--window", "10"), "no unit"),
        (("--percentile", "101"), "0 to 100"),
        (("--needed", "5 mm"), "--tube-diameter"),
        (("--smoothing", "-1"), "0 to 90 deg"),
    ],
)
def test_bad_arguments_are_one_line_each(run, tmp_path, words, expected):
    radii(tmp_path / "p.csv", {0: (151, 149)})
    code, out, err = run("profile", "p.csv", *words)
    assert (code, out) == (2, "")
    assert expected in err
    assert "Traceback" not in err


def test_stretch_at_the_widest_station(run, tmp_path):
    """By constant area, diameters outside: t (400 - t) = 6 (300 - 6)."""
    (tmp_path / "d.csv").write_text("station [m],diameter [mm]\n0,300\n9,400\n")
    words = ("--tube-diameter", "300 mm", "--tube-thickness", "6 mm", "--needed", "4.5 mm")
    code, out, _ = run("profile", "d.csv", "--json", *words)
    found = json.loads(out)["stretch"]
    assert code == 1
    assert found["delivered_mm"] == pytest.approx(np.roots([1, -400, 6 * 294]).min())
    assert found["enough"] is False
    assert found["tube_needed_mm"] == pytest.approx(np.roots([1, -300, 4.5 * 395.5]).min())


def test_every_form_and_the_same_bytes(run, tmp_path):
    radii(tmp_path / "p.csv", STATIONS, noise=0.3)
    forms = ("a.html", "b.html", "a.xlsx", "a.pdf", "a.txt", "a.json")
    assert run("profile", "p.csv", *(w for f in forms for w in ("-o", f)))[0] == 0
    page = (tmp_path / "a.html").read_bytes()
    assert page == (tmp_path / "b.html").read_bytes()
    assert b"Ovality along the run" in page


def test_stations_of_the_survey_are_written(run, tmp_path):
    radii(tmp_path / "p.csv", STATIONS)
    (tmp_path / "p.toml").write_text(toml(drop=("host_diameter", "ovality")))
    write = ("--write", "p.toml", "--pipe", "Trunk", "--stations")
    assert run("profile", "p.csv", *write)[0] == 0
    pipe = tomllib.loads((tmp_path / "p.toml").read_text())["pipe"][0]
    assert [each["at"] for each in pipe["station"]] == ["0 m", "10 m", "20 m", "30 m"]
    ovalities = [float(each["ovality"].split()[0]) for each in pipe["station"]]
    assert ovalities == pytest.approx([100 / 150, 500 / 150, 200 / 150, 100 / 150], abs=0.02)
    assert "p.csv (SHA-256" in pipe["evidence"]["station"]
    assert run("size", "p.toml")[0] == 0
    # A survey read again replaces them, and only with --force.
    assert run("profile", "p.csv", *write)[0] == 2
    assert run("profile", "p.csv", *write, "--force")[0] == 0
    text = (tmp_path / "p.toml").read_text()
    assert len(tomllib.loads(text)["pipe"][0]["station"]) == 4
    assert run("profile", "p.csv", "--stations")[0] == 2


def test_legs_of_the_survey_are_written(run, tmp_path):
    """Diameters 200, 202, 300, 296 mm: legs of 202 and of 300 mm, the first 20 m long."""
    rows = [f"{s},{d}" for s, d in ((0, 200), (10, 202), (20, 300), (30, 296)) for _ in range(4)]
    (tmp_path / "d.csv").write_text("station [m],diameter [mm]\n" + "\n".join(rows))
    (tmp_path / "p.toml").write_text(toml(drop=("host_diameter", "ovality")))
    code, out, _ = run("profile", "d.csv", "--write", "p.toml", "--pipe", "Trunk", "--legs")
    assert code == 0
    pipe = tomllib.loads((tmp_path / "p.toml").read_text())["pipe"][0]
    assert pipe["leg"] == [
        {"at": "0 m", "host_diameter": "202 mm", "length": "20 m"},
        {"at": "20 m", "host_diameter": "300 mm"},
    ]
    assert "leg: at = 0 m" in " ".join(out.split())
    assert '"legs"' in run("size", "p.toml", "--json")[1]


def test_stations_and_legs_together_keep_the_bends(run, tmp_path):
    rows = "".join(f"{at},{d}\n" for at, d in ((0, 200), (10, 202), (20, 300), (30, 296)))
    (tmp_path / "d.csv").write_text(f"station [m],diameter [mm]\n{rows}")
    bend = '[[pipe.leg]]\nat = "20 m"\nbend = "45 deg"\nbend_radius = "600 mm"\n'
    (tmp_path / "p.toml").write_text(toml(drop=("host_diameter", "ovality")) + "\n" + bend)
    write = ("--write", "p.toml", "--pipe", "Trunk", "--stations", "--legs")
    assert run("profile", "d.csv", *write)[0] == 0
    pipe = tomllib.loads((tmp_path / "p.toml").read_text())["pipe"][0]
    assert len(pipe["station"]) == 4
    assert [each.get("bend") for each in pipe["leg"]] == [None, "45 deg"]
    assert pipe["leg"][1]["host_diameter"] == "300 mm"
    assert pipe["origin"]["leg"] == pipe["origin"]["station"] == "measured"
    assert "measured, stated as 300 mm" in " ".join(run("size", "p.toml", "--full")[1].split())
    # The survey read again takes the place of its own values alone, and only with --force.
    assert run("profile", "d.csv", *write)[0] == 2
    assert run("profile", "d.csv", *write, "--force")[0] == 0
    assert tomllib.loads((tmp_path / "p.toml").read_text())["pipe"][0] == pipe
