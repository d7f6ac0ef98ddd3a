"""Replay: each stated line from the submittal's own preceding values, by hand.

Numbers come from the hand calculation of `by_hand`, or are worked in the test.
"""

import json
import re
from dataclasses import replace

import numpy as np
import pytest
from by_hand import Inputs, project, thicknesses
from projects import toml

from linerdesign.methods.altered import case_of
from linerdesign.project.reading import parse
from linerdesign.tasks.review.recheck import recheck
from linerdesign.tasks.review.replay import replays
from linerdesign.tasks.review.submittal import submittals

FULL = Inputs(
    D=24.0, q=5.0, h_invert=10.0, E=300000.0, retention=50.0, sigma=4800.0,
    strength_retention=50.0, H=14.0, E_s=900.0, W_s=0.7,
)  # fmt: skip


def mm(inches):
    return 25.4 * inches


@pytest.fixture
def reviewed(run, tmp_path):
    def call(text, *words):
        (tmp_path / "project.toml").write_text(text, encoding="utf-8")
        code, out, err = run("review", "project.toml", "--json", *words)
        return code, json.loads(out)["pipes"][0] if out else err

    return call


def rechecked(text):
    (submittal,) = submittals(parse(text.encode(), "test.toml"))
    return recheck(submittal)


def steps_of(lines, *keys):
    units = {"P": " psi", "q_t": " psi", "E_L": " psi"}
    return {
        key: f"{mm(lines[key]):.2f} mm" if key.startswith("t ") else f"{lines[key]:.4g}"
        + units.get(key, "")
        for key in keys
    }  # fmt: skip


ALL = ("E_L", "C", "P", "R_w", "B'", "q_t", "t X1.1", "t X1.2", "t X1.3", "t X1.4")


def test_one_wrong_factor_is_the_only_departure(reviewed):
    """C = 0.862 is (1 - 0.05)/(1 + 0.05)^2 without its cube; all later lines follow from it."""
    assert pytest.approx(0.862, abs=5e-4) == (1 - 0.05) / (1 + 0.05) ** 2
    lines = thicknesses(FULL, "ovality-factor-not-cubed")
    stated = {"required_thickness": f"{mm(lines['required']):.2f} mm"}
    steps = steps_of(lines, *ALL) | {"C": "0.862"}
    code, pipe = reviewed(project(FULL, stated, steps))
    assert code == 1
    causes = {each["item"]: each["cause"] for each in pipe["replay"]}
    assert causes == {
        "E_L": None, "C": "here", "P": None, "R_w": None, "B'": None, "q_t": None,
        "t X1.1": "follows", "t X1.2": None, "t X1.3": "follows", "t X1.4": None,
        "required_thickness": "follows",
    }  # fmt: skip
    assert [each["item"] for each in pipe["replay"]] == [*ALL, "required_thickness"]
    assert pipe["first_departure"] == "C"
    assert [each["slips"] for each in pipe["explanations"]] == [["ovality-factor-not-cubed"]]
    (line,) = [each for each in pipe["replay"] if each["item"] == "C"]
    assert line["from_their_values"]["value"] == pytest.approx(0.64, abs=5e-4)
    (comment,) = [each for each in pipe["comments"] if each["item"] == "C"]
    assert comment["submitted"] == "0.862"
    assert "not cubed" in comment["text"]
    assert "groundwater" not in " ".join(each["text"] for each in pipe["comments"])


def test_the_place_of_a_line_is_carried(reviewed):
    lines = thicknesses(FULL)
    text = project(FULL, {"required_thickness": f"{mm(lines['required']):.2f} mm"})
    text = text.replace("steps = {  }", "")
    text += '[pipe.stated.steps]\nC = { value = "0.700", at = "page 2, line 5" }\n'
    _, pipe = reviewed(text)
    assert pipe["replay"][0]["at"] == "page 2, line 5"
    (comment,) = [each for each in pipe["comments"] if each["item"] == "C"]
    assert comment["at"] == "page 2, line 5"
    assert "(page 2, line 5)" in comment["text"]


def test_only_preceding_values_count():
    """t X1.3 with the right C, before a wrong C: the wrong C is alone in departing."""
    lines = thicknesses(FULL)
    stated = {"required_thickness": f"{mm(lines['required']):.2f} mm"}
    before = {"t X1.3": f"{mm(lines['t X1.3']):.2f} mm", "C": "0.862"}
    found = rechecked(project(FULL, stated, before))
    assert [each.item.name for each in found.departures] == ["C"]
    after = dict(reversed(before.items()))
    found = rechecked(project(FULL, stated, after))
    assert [each.item.name for each in found.departures] == ["C", "t X1.3"]


@pytest.mark.parametrize(
    ("C", "follows"), [("0.6398", True), ("0.64", True), ("0.639", True), ("0.62", False)]
)
def test_digits_decide_what_follows(C, follows):
    """C at 5 % is 0.63979: 0.639 is it cut, 0.62 is neither; X1.3 of the cut one follows too."""
    found = rechecked(project(FULL, {"thickness": "13.5 mm"}, {"C": C, "P": "4.33 psi"}))
    assert found.replay[0].follows is follows


def test_cut_digits_count_where_all_lines_are_cut():
    lines = thicknesses(FULL)

    def cut(value, figures=3):
        text = f"{value:.10f}"
        return text[: text.index(".") + figures]

    steps = {key: cut(lines[key]) for key in ("C", "R_w", "B'")}
    steps |= {"P": cut(lines["P"]) + " psi", "q_t": cut(lines["q_t"]) + " psi"}
    steps |= {f"t X1.{n}": cut(mm(lines[f"t X1.{n}"]), 2) + " mm" for n in (1, 2, 3, 4)}
    stated = {"required_thickness": cut(mm(lines["required"]), 2) + " mm"}
    assert rechecked(project(FULL, stated, steps)).departures == ()


def test_a_line_of_the_wall_follows_from_the_wall_stated():
    """DR = 24 in/13.5 mm = 45.16; I = t^3/12; E I/D^3 = E/(12 DR^3) = 0.2715 psi."""
    dr = 24 * 25.4 / 13.5
    stiffness = 300000 / (12 * dr**3)
    assert (dr, stiffness) == pytest.approx((45.156, 0.27152), rel=1e-4)
    steps = {"DR": "45.2", "I": "0.0125 in^3", "EI/D3": "0.2715 psi"}
    found = rechecked(project(FULL, {"thickness": "13.5 mm"}, steps))
    assert found.departures == ()
    found = rechecked(project(FULL, {"thickness": "13.5 mm"}, steps | {"EI/D3": "0.1358 psi"}))
    assert [each.item.name for each in found.departures] == ["EI/D3"]
    assert [each.names for each in found.explanations] == [("long-term-modulus-in-stiffness",)]


def ratio(mm_):
    """DR of a wall in the pipe of 24 in."""
    return 24 * 25.4 / mm_


@pytest.mark.parametrize(
    ("stated", "required", "follows", "wall"),
    [
        # A DR is of the wall stated, of the required thickness, or of a check's own.
        ("45.2", "13.000 mm", True, 13.5),
        ("46.9", "13.000 mm", True, 13.0),
        ("56.4", "13.000 mm", True, "X1.1"),
        ("45.8", "13.000 mm", True, "X1.3"),
        # One that follows from none of them is set beside the nearest: 45.16, 45.84, 46.89, 56.45.
        ("44.0", "13.000 mm", False, 13.5),
        ("46.3", "13.000 mm", False, "X1.3"),
        ("46.5", "13.000 mm", False, 13.0),
        ("51.0", "13.000 mm", False, 13.0),
        ("52.0", "13.000 mm", False, "X1.1"),
        # 13 mm may be any from 12.5 to 13.5 mm, a DR of 48.77 to 45.16.
        ("48.8", "13 mm", True, 13.0),
        ("45.0", "13 mm", False, 13.5),
        ("49.0", "13 mm", False, 13.0),
        # A thousandth more is left open for constants: 46.94 and 0.005 to the last digit.
        ("46.94", "13.000 mm", True, 13.0),
        ("46.95", "13.000 mm", False, 13.0),
    ],
)
def test_a_ratio_is_that_of_one_of_the_walls_stated_or_of_the_nearest(
    stated, required, follows, wall
):
    text = project(FULL, {"thickness": "13.5 mm", "required_thickness": required}, {"DR": stated})
    wall = mm(thicknesses(FULL)[f"t {wall}"]) if isinstance(wall, str) else wall
    (submittal,) = submittals(parse(text.encode(), "test.toml"))
    case, items = case_of(submittal.theirs), submittal.in_order
    made = replays(case, items, [(), ()], np.array([0, 0]))
    assert items[0].name == "DR"
    for row in (0, 1):
        assert made.follows[row, 0] == made.strictly[row, 0] == follows
        assert made.expected[row, 0] == pytest.approx(24 * 25.4 / wall, rel=1e-9)
        assert made.low[row, 0] <= made.expected[row, 0] <= made.high[row, 0]


@pytest.mark.parametrize(
    ("wall", "required", "follows", "next_up"),
    [
        # 13.3 mm are required by ours. From that follows 13.5 mm, and any thicker wall.
        ("13.5 mm", None, True, True),
        ("15 mm", None, True, False),
        ("12 mm", None, False, False),
        ("13.3 mm", None, True, True),
        ("13.2 mm", None, False, False),
        # 12 mm are enough for 11.9 mm; the next one up is that of the value carried on.
        ("12 mm", "11.90 mm", True, True),
        ("13.5 mm", "11.90 mm", True, False),
        ("10.5 mm", "11.90 mm", False, False),
        # 0.53 in are 13.46 mm to 0.13 mm.
        ("0.53 in", None, True, True),
        ("0.52 in", None, True, True),
        ("0.51 in", None, False, False),
    ],
)
def test_a_wall_follows_where_it_is_enough_and_strictly_where_it_is_the_next_one_up(
    wall, required, follows, next_up
):
    stated = {"thickness": wall} | ({"required_thickness": required} if required else {})
    (submittal,) = submittals(parse(project(FULL, stated).encode(), "test.toml"))
    case, items = case_of(submittal.theirs), submittal.in_order
    made = replays(case, items, [(), ()], np.array([0, 0]))
    assert items[-1].name == "thickness"
    for row in (0, 1):
        assert (made.follows[row, -1], made.strictly[row, -1]) == (follows, next_up)
        expected = 12.0 if required else 13.5
        assert mm(made.expected[row, -1]) == pytest.approx(expected, rel=1e-9)


def test_lines_of_the_wall_go_on_from_those_before_them():
    """I = t^3/12 of 13.5 mm is 0.01251 in^3; twice that, E I/D^3 is twice 0.2715 psi."""
    steps = {"I": "0.0250 in^3", "EI/D3": "0.5430 psi"}
    found = rechecked(project(FULL, {"thickness": "13.5 mm"}, steps))
    causes = {each.item.name: each.cause for each in found.replay}
    assert causes == {"I": "here", "EI/D3": "follows", "thickness": None}
    inertia, stiffness = found.replay[:2]
    assert inertia.expected == pytest.approx((13.5 / 25.4) ** 3 / 12)
    assert stiffness.expected == pytest.approx(300000 * 0.025 / 24**3)


def test_constants_of_the_trade_are_the_same():
    """62.4/144 = 0.43333 for 0.433."""
    steps = {"P": f"{62.4 / 144 * 10:.5f} psi"}
    assert rechecked(project(FULL, {"thickness": "13.5 mm"}, steps)).departures == ()


def test_a_line_that_no_check_needs_follows_all_the_same():
    """A circular pipe needs no long-term strength; 4,800 psi at 50 % are 2,400 psi."""
    x = replace(FULL, q=0.0)
    found = rechecked(project(x, {"thickness": "13.5 mm"}, {"sigma_L": "2400 psi", "C": "1.000"}))
    assert found.departures == ()


# Stations

STATIONS = '[[pipe.station]]\nat = "0 ft"\n[[pipe.station]]\nat = "80 ft"\ncover = "20 ft"\n'


def test_lines_of_a_station_are_replayed_there(reviewed):
    shallow, deep = thicknesses(FULL), thicknesses(replace(FULL, H=20.0))
    assert deep["required"] > shallow["required"]
    own = f'[[pipe.stated.station]]\nat = "0 ft"\nsteps = {{ q_t = "{shallow["q_t"]:.3f} psi" }}\n'
    text = project(FULL, {"required_thickness": f"{mm(deep['required']):.2f} mm"})
    _, pipe = reviewed(text + own + STATIONS)
    line = pipe["replay"][-1]
    assert (line["item"], line["station"], line["cause"]) == ("q_t", "0 ft", None)
    wrong = own.replace('at = "0 ft"', 'at = "80 ft"')
    _, pipe = reviewed(text + wrong + STATIONS)
    assert pipe["replay"][-1]["cause"] == "here"
    code, err = reviewed(text + own.replace("0 ft", "7 ft") + STATIONS)
    assert code == 2
    assert "no such station" in err


def test_the_values_of_another_station_are_named(reviewed):
    shallow = thicknesses(FULL)
    steps = steps_of(shallow, "R_w", "q_t", "t X1.3")
    stated = {"required_thickness": f"{mm(shallow['required']):.2f} mm"}
    _, pipe = reviewed(project(FULL, stated, steps) + STATIONS)
    assert pipe["explanations"][0]["slips"] == ["wrong-station"]
    assert any("station 0 ft" in each["text"] for each in pipe["contradictions"])


# Contradictions


def contradictions(text):
    return [(each.items, each.unsafe) for each in rechecked(text).contradictions]


def with_stated(stated, steps=None, more=""):
    """The project with more keys of [pipe.stated]."""
    return project(FULL, stated, steps).replace("[pipe.stated]\n", f"[pipe.stated]\n{more}")


def test_a_submittal_without_contradiction_has_none():
    lines = thicknesses(FULL)
    text = with_stated(
        {"required_thickness": f"{mm(lines['required']):.2f} mm", "thickness": "13.5 mm"},
        steps_of(lines, *ALL),
        'governing = "X1.3"\nthickness_step = "1.5 mm"\nsafety_factor = 2.0\n'
        'condition = "fully deteriorated"\n',
    )
    assert contradictions(text) == []


@pytest.mark.parametrize(
    ("stated", "steps", "more", "items", "unsafe"),
    [
        ({"thickness": "13.5 mm"}, {"t": "0.45 in"}, "", ("thickness", "t"), True),
        ({"required_thickness": "11 mm"}, {"t X1.3": "12.5 mm"}, "",
         ("required_thickness", "t X1.3"), True),
        ({"thickness": "12 mm", "required_thickness": "12.9 mm"}, {}, "",
         ("thickness", "required_thickness"), True),
        ({"thickness": "14 mm"}, {}, 'thickness_step = "1.5 mm"\n',
         ("thickness", "thickness_step"), False),
        ({"thickness": "15 mm"}, {"t X1.1": "10.5 mm", "t X1.3": "12.5 mm"},
         'governing = "X1.1"\n', ("governing", "t X1.3"), False),
        ({"thickness": "13.5 mm"}, {}, "safety_factor = 3.0\n",
         ("safety_factor", "thickness"), True),
        # Depth to the invert 14 + 24/12 = 16 ft as cover; depth to water 16 - 10 = 6 ft as head.
        ({"thickness": "13.5 mm"}, {"H": "16 ft"}, "", ("H",), False),
        ({"thickness": "13.5 mm"}, {"h_i": "6 ft"}, "", ("h_i",), True),
        ({"thickness": "13.5 mm"}, {"H_w": "10 ft"}, "", ("H_w",), False),
        ({"thickness": "13.5 mm"}, {"h_i": "10.0 ft", "H_w": "7.5 ft"}, "", ("h_i", "H_w"), False),
    ],
)  # fmt: skip
def test_each_contradiction_is_found(stated, steps, more, items, unsafe):
    assert (items, unsafe) in contradictions(with_stated(stated, steps, more))


def test_the_parts_of_the_load_are_added_up(reviewed):
    """0.433*8 + 120*14*Rw/144 + 0.7 with Rw = 1 - 0.33*8/14."""
    r_w = 1 - 0.33 * 8 / 14
    summed = 0.433 * 8 + 120 * 14 * r_w / 144 + 0.7
    steps = {
        "H_w": "8.0 ft",
        "R_w": f"{r_w:.3f}",
        "W_s": "0.7 psi",
        "q_t": f"{summed - 0.5:.2f} psi",
    }
    _, pipe = reviewed(project(FULL, {"thickness": "13.5 mm"}, steps))
    # The cover and the weight of the soil may be others than ours.
    assert pipe["contradictions"] == []
    steps = {"H": "14.0 ft", "w": "120 pcf"} | steps
    _, pipe = reviewed(project(FULL, {"thickness": "13.5 mm"}, steps))
    (found,) = pipe["contradictions"]
    assert found["items"] == ["q_t", "H", "w", "H_w", "R_w", "W_s"]
    assert f"add up to {summed:.3f} psi" in found["text"]


def test_the_load_is_replayed_from_its_parts(reviewed):
    """Water 0.433*8 = 3.464, soil 120*14*Rw/144 = 9.467, traffic 0.7: 13.631 psi."""
    r_w = 1 - 0.33 * 8 / 14
    soil = 120 * 14 * r_w / 144
    steps = {"water load": "3.464 psi", "soil load": f"{soil:.3f} psi", "live load": "0.70 psi"}
    lines = thicknesses(FULL, "gross-soil-weight")
    stated = {"required_thickness": f"{mm(lines['required']):.2f} mm"}
    _, pipe = reviewed(project(FULL, {}, steps | {"q_t": f"{4.164 + soil:.3f} psi"}))
    assert pipe["first_departure"] is None
    # Without buoyancy: the soil load departs, and the sum follows from it.
    steps["soil load"] = f"{120 * 14 / 144:.3f} psi"
    _, pipe = reviewed(project(FULL, stated, steps | {"q_t": f"{4.164 + 120 * 14 / 144:.3f} psi"}))
    assert pipe["first_departure"] == "soil load"
    causes = {each["item"]: each["cause"] for each in pipe["replay"]}
    assert causes["q_t"] == "follows"
    assert pipe["contradictions"] == []
    assert pipe["explanations"][0]["slips"] == ["gross-soil-weight"]
    # Each part is right and the sum is not.
    _, pipe = reviewed(project(FULL, stated, steps | {"q_t": "15.20 psi"}))
    (found,) = pipe["contradictions"]
    assert found["items"] == ["q_t", "water load", "soil load", "live load"]
    assert "add up to 15.831 psi" in found["text"]


def test_another_condition_than_the_owners_is_a_correction(reviewed):
    partial = thicknesses(replace(FULL, fully=False))
    stated = {"required_thickness": f"{mm(partial['required']):.2f} mm"}
    text = with_stated(stated, None, 'condition = "partially deteriorated"\n')
    code, pipe = reviewed(text)
    assert code == 1
    assert pipe["first_departure"] is None
    (comment,) = [each for each in pipe["comments"] if each["item"] == "condition"]
    assert comment["weight"] == "correction"


# Pressure


def pressure(stated, steps, **pipe):
    own = {
        "condition": "partially deteriorated",
        "host_diameter": "12 in",
        "ovality": "2 %",
        "groundwater_above_invert": "1 ft",
        "internal_pressure": "120 psi",
        "hole_diameter": "2 in",
    }
    text = toml(pipe=own | pipe, resin={"tensile_strength": "3000 psi"})
    shown = ", ".join(f'"{key}" = "{value}"' for key, value in steps.items())
    return text + f'[pipe.stated]\nrequired_thickness = "{stated}"\nsteps = {{ {shown} }}\n'


def test_pressure_lines_are_replayed(reviewed):
    """X1.6 by hand: D/(1 + D/d (5.33 sigma/(N P))^0.5), with 2,250 psi of 4,500 psi at 50 %."""
    right = 12 / (1 + 6 * (5.33 * 2250 / (2 * 120)) ** 0.5)
    _, pipe = reviewed(
        pressure(f"{right:.4f} in", {"sigma_L": "2250 psi", "t X1.6": f"{right:.4f} in"})
    )
    assert pipe["first_departure"] is None
    short = 12 / (1 + 6 * (5.33 * 4500 / (2 * 120)) ** 0.5)
    steps = {"sigma_L": "4500 psi", "t X1.6": f"{short:.4f} in"}
    _, pipe = reviewed(pressure(f"{short:.4f} in", steps))
    assert pipe["first_departure"] == "sigma_L"
    assert pipe["explanations"][0]["slips"] == ["short-term-strength"]
    tensile = 12 / (1 + 6 * (5.33 * 1500 / (2 * 120)) ** 0.5)
    _, pipe = reviewed(pressure(f"{tensile:.4f} in", {"t X1.6": f"{tensile:.4f} in"}))
    assert pipe["explanations"][0]["slips"] == ["strength-of-other-kind"]


@pytest.mark.parametrize(
    ("rated", "items"),
    [
        ("100 psi", [["pressure_class", "internal_pressure"]]),
        ("120 psi", []),
        ("150 psi", [["pressure_class", "thickness"]]),
    ],
)
def test_a_pressure_class_is_held_against_pressure_and_wall(reviewed, rated, items):
    """X1.7 by hand: 2*1500/((12/t - 2)*2) of a wall of 24 mm is 140.2 psi; 120 psi is required."""
    assert pytest.approx(140.2, abs=0.1) == 2 * 1500 / ((12 / (24 / 25.4) - 2) * 2)
    soil = {
        "condition": "fully deteriorated", "cover": "6 ft", "soil_unit_weight": "120 pcf",
        "soil_reaction_modulus": "1000 psi", "live_load": "none", "groundwater": "none",
    }  # fmt: skip
    text = pressure("22 mm", {}, **soil)
    text = re.sub(r"(groundwater_above_invert|hole_diameter) = .*\n", "", text)
    text = text.replace("[pipe.stated]\n", f'[pipe.stated]\npressure_class = "{rated}"\n')
    _, pipe = reviewed(text.replace("[pipe.stated]\n", '[pipe.stated]\nthickness = "24 mm"\n'))
    assert [each["items"] for each in pipe["contradictions"]] == items


def test_a_working_pressure_without_surge_is_asked_about(reviewed):
    """80 psi stated where the owner's 120 psi contains the surge."""
    low = 12 / (1 + 6 * (5.33 * 2250 / (2 * 80)) ** 0.5)
    _, pipe = reviewed(pressure(f"{low:.4f} in", {"P_i": "80 psi"}))
    assert pipe["first_departure"] == "P_i"
    assert pipe["explanations"][0]["slips"] == ["surge-omitted"]


def test_a_pressure_pipe_shows_the_evidence_of_its_own_properties(reviewed):
    _, pipe = reviewed(pressure("8 mm", {}, evidence={"internal_pressure": "none submitted"}))
    status = {each["clause"]: each["status"] for each in pipe["compliance"]}
    assert status["evidence of tensile strength"] == "not shown"
    assert status["evidence of internal pressure"] == "not shown"
    assert status["evidence of tensile retention"] == "not required"


# Evidence and weights


@pytest.mark.parametrize(
    "evidence", ["none submitted", "None", "to follow", "n/a", "not submitted"]
)
def test_no_evidence_is_none(reviewed, evidence):
    text = project(FULL, {"thickness": "13.5 mm"}).replace(
        "[[pipe]]", f'evidence = "{evidence}"\n[[pipe]]', 1
    )
    _, pipe = reviewed(text)
    status = {each["clause"]: each["status"] for each in pipe["compliance"]}
    assert status["evidence of flexural modulus"] == "not shown"


def test_a_wrong_line_without_consequence_is_a_remark(reviewed):
    """A wrong t X1.2 that does not govern: the wall is adequate and the required one right."""
    lines = thicknesses(FULL)
    stated = {"required_thickness": f"{mm(lines['required']):.2f} mm", "thickness": "13.5 mm"}
    steps = {"t X1.2": f"{0.5 * mm(lines['t X1.2']):.2f} mm"}
    _, pipe = reviewed(project(FULL, stated, steps))
    assert pipe["verdict"] == "adequate"
    assert {each["weight"] for each in pipe["comments"]} == {"remark"}


# A project to fill in


@pytest.mark.parametrize("units", ["US", "SI"])
def test_new_review_writes_a_project_to_fill_in(run, tmp_path, units):
    words = ("--units", units, "--condition", "fully deteriorated")
    code, _, err = run("new", "review.toml", "--review", *words)
    assert code == 0
    assert "linerdesign review review.toml" in err
    text = (tmp_path / "review.toml").read_text(encoding="utf-8")
    for line in (
        '# "t X1.3" = ',
        "# q_t = ",
        "# governing = ",
        "# thickness_step = ",
        "[submittal]",
    ):
        assert line in text, line
    code, _, err = run("review", "review.toml")
    assert code == 2
    assert "nothing stated" in err
    # Every symbol that it lists is one that a project takes.
    unit = "mm" if units == "US" else "in"
    filled = text.replace('# "t X1.3" = " in"', f'"t X1.3" = "9.0 {unit}"')
    filled = filled.replace('# C = ""', 'C = "0.836"')
    filled = filled.replace('# "t X1.3" = " mm"', '"t X1.3" = "9.0 mm"')
    (tmp_path / "filled.toml").write_text(filled, encoding="utf-8")
    code, out, err = run("review", "filled.toml", "--json")
    assert code in (0, 1), err
    assert {each["item"] for each in json.loads(out)["pipes"][0]["replay"]} == {"C", "t X1.3"}


@pytest.mark.parametrize(
    ("edition", "form"),
    [
        ("F1216-16", ""),
        ("ASTM F1216-09", ""),
        ("F1216-03", "other-edition"),
        ("F1216-98", "other-edition"),
    ],
)
def test_their_edition_by_its_number(reviewed, edition, form):
    """Editions before 07b have C before the root."""
    lines = thicknesses(FULL, *filter(None, [form]))
    text = project(FULL, {"required_thickness": f"{mm(lines['required']):.2f} mm"})
    _, pipe = reviewed(text + f'[pipe.stated.inputs]\nedition = "{edition}"\n')
    assert pipe["first_departure"] is None
    code, err = reviewed(text + '[pipe.stated.inputs]\nedition = "D2412"\n')
    assert code == 2
    assert "not an edition" in err


@pytest.mark.parametrize("cover", ["14'-0\\\"", "14 ft 0 in", "14.0 ft", "168 in"])
def test_feet_and_inches_are_no_departure(cover):
    assert rechecked(project(FULL, {"thickness": "13.5 mm"}, {"H": cover})).departures == ()


@pytest.mark.parametrize(
    ("stated", "line", "wall", "follows"),
    [
        # 13.3 mm are required; both of the stated thicknesses depart.
        ("14.50 mm", "12.80 mm", "13.00 mm", True),
        ("12.80 mm", "14.50 mm", "13.00 mm", True),
        ("14.50 mm", "12.80 mm", "12.60 mm", False),
        ("14.50 mm", "15.00 mm", "14.00 mm", False),
        # 13 mm may be up to 13.5 mm, and are no basis for a wall.
        ("14.50 mm", "13 mm", "13.10 mm", False),
        # A required thickness to more than half a percent is none, 10 mm to 0.05 mm.
        ("10.0 mm", "14.50 mm", "10.10 mm", False),
        ("14.50 mm", "13.05 mm", "13.10 mm", True),
    ],
)
def test_a_wall_follows_from_the_least_of_the_thicknesses_stated_as_required(
    stated, line, wall, follows
):
    steps = {"t_req": line}
    found = rechecked(project(FULL, {"required_thickness": stated, "thickness": wall}, steps))
    by_name = {each.item.name: each for each in found.replay}
    assert by_name["thickness"].follows is follows
