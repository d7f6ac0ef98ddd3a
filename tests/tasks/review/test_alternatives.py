"""Inputs that would give a stated thickness: each planted by hand, found again and judged.

Where a value is looked for and where it is usual is common practice, no source; the words beside
each value say the same ranges.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from by_hand import Inputs, project, thicknesses
from projects import toml

from linerdesign.methods.altered import case_of
from linerdesign.project.reading import parse
from linerdesign.tasks.review import alternatives as module
from linerdesign.tasks.review.alternatives import Alternative, alternatives
from linerdesign.tasks.review.submittal import submittals

US = Inputs(
    D=18.0, q=3.0, h_invert=10.0, E=300000.0, retention=50.0, sigma=5000.0,
    strength_retention=50.0, H=12.0, W_s=0.8,
)  # fmt: skip
SI = Inputs(
    D=450.0, q=3.0, h_invert=3.0, E=2000.0, retention=50.0, sigma=35.0, strength_retention=50.0,
    H=4.0, w=19.0, E_s=7.0, W_s=0.006, si=True, step=1.5,
)  # fmt: skip
PSI, FOOT, PCF = 0.00689475729, 0.3048, 0.157087464


def of_text(text):
    (submittal,) = submittals(parse(text.encode(), "test.toml"))
    (target,) = submittal.items
    return alternatives(case_of(submittal.theirs), submittal.items, target, 0, "exact")


def found(x, label, thickness):
    unit = "mm" if x.si else "in"
    return {each.key: each for each in of_text(project(x, {}, {label: f"{thickness!r} {unit}"}))}


# Key, its field in the hand calculation and how many of its units one of the field is, the line
# that shows it, where it is looked for, where it is usual (in the field), and in words.
SHARE = "20 to 75 % of the initial one"
LOOKED_FOR = [
    (US, "E_L", "retention", 3000.0, "X1.3", (2, 200), (20, 75), SHARE),
    (US, "sigma_L", "strength_retention", 50.0, "X1.2", (2, 200), (20, 75), SHARE),
    (US, "K", "K", 1, "X1.1", (0.5, 40), (1, 12), "1 to 12"),
    (US, "nu", "nu", 1, "X1.1", (None, 0.49), (0.2, 0.45), "0.2 to 0.45"),
    (US, "N", "N", 1, "X1.3", (0.2, 10), (1, 3), "1 to 3"),
    (US, "D", "D", 1, "X1.4", (9, 36), (16.2, 19.8), "within 10 % of ours"),
    (US, "q", "q", 1, "X1.3", (None, 30), (None, 10), "up to 10 %"),
    (US, "h_invert", "h_invert", 1, "X1.1", (0.01, 200), (None, 13.5), None),
    (US, "E_s", "E_s", 1, "X1.3", (20, 20_000), (200, 3000), "200 to 3000 psi"),
    (US, "H", "H", 1, "X1.3", (None, 200), (None, 50), "2 to 50 ft"),
    (US, "w", "w", 1, "X1.3", (10, 500), (90, 150), "90 to 150 pcf"),
    (US, "W_s", "W_s", 1, "X1.3", (None, 100), (None, 10), "0 to 10 psi"),
    (SI, "E_s", "E_s", 1, "X1.3", (20 * PSI, 2e4 * PSI), (200 * PSI, 3e3 * PSI), "1.4 to 21 MPa"),
    (SI, "h_invert", "h_invert", 1, "X1.1", (0.01 * FOOT, 200 * FOOT), (None, 4.45), None),
    (SI, "H", "H", 1, "X1.3", (None, 200 * FOOT), (None, 50 * FOOT), "0.61 to 15 m"),
    (SI, "w", "w", 1, "X1.3", (10 * PCF, 500 * PCF), (90 * PCF, 150 * PCF), "14 to 24 kN/m^3"),
    (SI, "W_s", "W_s", 1, "X1.3", (None, 100 * PSI), (None, 10 * PSI), "0 to 0.069 MPa"),
]


@pytest.mark.parametrize(
    ("x", "key", "field", "unit", "line", "search", "usual", "words"),
    LOOKED_FOR,
    ids=[f"{row[1]} {'SI' if row[0].si else 'US'}" for row in LOOKED_FOR],
)
def test_an_input_is_found_where_it_may_be_and_judged_by_what_is_usual(
    x, key, field, unit, line, search, usual, words
):
    """A hair within and beyond each end."""
    least, most = (
        default if end is None else end for end, default in zip(usual, (0, math.inf), strict=True)
    )
    for end, inside in zip((*search, *usual), (1.004, 0.996) * 2, strict=True):
        for value in () if end is None else (end * inside, end * (2 - inside)):
            thickness = thicknesses(replace(x, **{field: value}))[f"t {line}"]
            each = found(x, f"t {line}", thickness).get(key)
            if value in (search[0] and search[0] * 0.996, search[1] * 1.004):
                assert each is None, value
                continue
            assert each.value == pytest.approx(value * unit, rel=1e-4)
            assert each.now == pytest.approx(getattr(x, field) * unit)
            assert each.plausible is (least <= value <= most), value
            assert each.of == f"t {line}"
            judged = "usual: " if each.plausible else "hardly plausible: usual is "
            ground = "below grade" if each.plausible else "above grade: hardly plausible"
            assert each.why == (judged + words if words else ground)


@pytest.mark.parametrize(("x", "foot"), [(US, 1.0), (SI, FOOT)])
def test_the_low_end_of_cover_is_a_usual_trench(x, foot):
    """Without water and live load q_t, and t of X1.3 with it, rises with the cover all the way."""
    dry = replace(x, h_invert=0.0, W_s=0.0)
    for cover, plausible in ((0.498, None), (0.502, False), (1.99, False), (2.01, True)):
        thickness = thicknesses(replace(dry, H=cover * foot))["t X1.3"]
        each = found(dry, "t X1.3", thickness).get("H")
        assert (each and each.plausible) is plausible, cover
        assert each is None or each.value == pytest.approx(cover * foot, rel=1e-4)


@pytest.mark.parametrize(("x", "end"), [(US, 0), (US, 1), (SI, 0), (SI, 1)])
def test_the_ends_of_what_is_usual_are_usual(monkeypatch, x, end):
    def ends(case, ranges, right, wanted):
        assert wanted == ("t_X1_3", pytest.approx(0.3 if x is US else 7.0))
        return [each.usual[end] for each in ranges]

    monkeypatch.setattr(module, "_roots", ends)
    monkeypatch.setattr(module, "_allowed", lambda case, items, made, style: made)
    made = found(x, "t X1.3", 0.3 if x is US else 7.0)
    judged = {each.key: (each.plausible, each.why) for each in made.values()}
    assert set(judged) == {key for other, key, *_ in LOOKED_FOR if other is US}
    for plausible, why in judged.values():
        assert plausible is True
        assert why == "below grade" or why.startswith("usual: ")


def test_water_can_t_be_judged_without_a_cover():
    partial = replace(US, fully=False)
    text = project(partial, {}, {"t X1.1": f"{thicknesses(partial)['t X1.1'] * 1.1!r} in"})
    text = text.replace('cover = "12.0 ft"\n', "")
    each = {each.key: each for each in of_text(text)}["h_invert"]
    assert (each.plausible, each.why) == (None, "no cover is given to judge it by")


def test_a_line_that_is_right_excludes_what_would_move_it():
    """X1.1 is right and X1.3 is not: what stands in X1.1 is as it was."""
    right, softer = thicknesses(US)["t X1.1"], thicknesses(replace(US, E_s=730.0))["t X1.3"]
    text = project(US, {}, {"t X1.1": f"{right!r} in", "t X1.3": f"{softer!r} in"})
    (submittal,) = submittals(parse(text.encode(), "test.toml"))
    target = submittal.item("t_X1_3")
    each = alternatives(case_of(submittal.theirs), submittal.items, target, 0, "exact")
    assert {"E_s", "w", "W_s"} <= {e.key for e in each} <= {"E_s", "H", "w", "W_s"}


def test_the_plausible_ones_come_first():
    thickness = thicknesses(replace(US, E_s=500.0))["t X1.3"]
    judged = [bool(each.plausible) for each in found(US, "t X1.3", thickness).values()]
    assert judged == sorted(judged, reverse=True)
    assert {True, False} == {*judged}


def test_a_jump_of_the_thickness_is_no_value():
    """X1.2 asks nothing of a circle, and D P N/(2 sigma_L) of the least ovality: by its terms
    1.5 d (1 + d) DR^2 - 0.5 (1 + d) DR = -sigma_L/(P N) there. Between them lies no ovality."""
    oval = replace(US, q=1e-9)
    least = thicknesses(oval)["t X1.2"]
    assert "q" not in found(US, "t X1.2", least / 2)
    assert "q" in found(US, "t X1.2", thicknesses(replace(US, q=2.0))["t X1.2"])


def test_the_station_that_is_asked_for_counts():
    deeper = replace(US, h_invert=12.0)
    stations = '[[pipe.station]]\nat = "0 ft"\n[[pipe.station]]\nat = "80 ft"\n'
    stations += 'groundwater_above_invert = "12 ft"\n'
    thickness = thicknesses(replace(deeper, h_invert=13.0))["t X1.1"]
    text = project(US, {}, {"t X1.1": f"{thickness!r} in"}) + stations
    (submittal,) = submittals(parse(text.encode(), "test.toml"))
    (target,) = submittal.items
    of = case_of(submittal.theirs)
    for station, now in ((0, 10.0), (1, 12.0)):
        each = {e.key: e for e in alternatives(of, [target], target, station, "exact")}
        assert each["h_invert"].now == now
        assert each["h_invert"].value == pytest.approx(13.0, rel=1e-4)
        # X1.1 goes with K/P, and P with the head.
        assert each["K"].value == pytest.approx(7 * now / 13, rel=1e-4)


PRESSURE = {
    "condition": "partially deteriorated",
    "host_diameter": "12 in",
    "groundwater_above_invert": "1 ft",
    "internal_pressure": "120 psi",
    "hole_diameter": "2 in",
}


def by_x1_6(P=120.0, d=2.0):
    """5.33/(D/t - 1)^2 (D/d)^2 sigma_L/N = P, half of 4,500 psi, N = 2."""
    return 12 / (1 + 12 / d * (5.33 * 2250 / (2 * P)) ** 0.5)


def by_x1_7(retained=50.0):
    """2 sigma_TL/((D/t - 2) N) = P, 3,000 psi at first."""
    return 12 / (2 + 2 * 3000 * retained / 100 / (2 * 120))


@pytest.mark.parametrize(
    ("key", "label", "form", "unit", "search", "usual", "words"),
    [
        ("P_i", "t X1.6", by_x1_6, 1, (12, 600), (60, 180),
         "the working pressure without surge: down to half of ours"),
        ("d", "t X1.6", lambda d: by_x1_6(d=d), 1, (0.2, 10), (1, 4), "half to twice ours"),
        ("sigma_TL", "t X1.7", by_x1_7, 30, (2, 200), (20, 75), SHARE),
    ],
)  # fmt: skip
def test_inputs_of_a_pressure_pipe_too(key, label, form, unit, search, usual, words):
    resin = {"tensile_strength": "3000 psi", "flexural_strength": "4500 psi"}
    for end, inside in zip((*search, *usual), (1.004, 0.996) * 2, strict=True):
        for value in (end * inside, end * (2 - inside)):
            steps = f'[pipe.stated]\nsteps = {{ "{label}" = "{form(value)!r} in" }}\n'
            of_all = {e.key: e for e in of_text(toml(pipe=PRESSURE, resin=resin) + steps)}
            if not search[0] <= value <= search[1]:
                assert key not in of_all, value
                continue
            each = of_all[key]
            assert each.value == pytest.approx(value * unit, rel=1e-4)
            assert each.plausible is (usual[0] <= value <= usual[1]), value
            assert each.why.endswith(words)


def test_how_far_away_a_value_is():
    assert Alternative("N", 4.0, 2.0, True, "", "t").away == pytest.approx(math.log(2))
    assert Alternative("N", 1.0, 2.0, True, "", "t").away == pytest.approx(math.log(2))
    for value, now in ((0.0, 2.0), (2.0, 0.0), (-1.0, 1.0)):
        assert Alternative("h_invert", value, now, True, "", "t").away == math.inf


def test_the_sign_changes_nearest_to_the_present_value():
    """Zeros at 1.5, 3.5 and 7.5; nearness is that of ratios."""
    grid = np.arange(1.0, 10.0)
    heights = np.array([-1.0, 1.0, 2.0, -1.0, -2.0, -3.0, -1.0, 1.0, 2.0])
    for now, place in ((1.0, 0), (1.7, 0), (1.8, 2), (4.5, 2), (4.7, 6), (9.0, 6)):
        assert module._bracket(grid, heights, now) == place
    assert module._bracket(grid, np.abs(heights), 1.0) is None
    assert module._bracket(grid, np.where(heights < 0, 0.0, heights), 9.0) == 6
    assert module._bracket(grid, np.full(9, np.nan), 1.0) is None
    assert module._bracket(grid, heights, 0.0) == 0


def test_an_input_of_nothing_is_infinitely_far():
    about = Alternative("N", 4.0, 2.0, None, "", "t")
    assert about.away == replace(about, value=1.0).away == pytest.approx(np.log(2))
    assert replace(about, value=0.0).away == replace(about, now=0.0).away == np.inf


@pytest.mark.parametrize(("key", "line"), [("nu", "X1.1"), ("q", "X1.3"), ("W_s", "X1.3")])
def test_what_may_be_nothing_is_looked_for_down_to_nothing(key, line):
    thickness = thicknesses(replace(US, **{key: 0.005}))[f"t {line}"]
    assert found(US, f"t {line}", thickness)[key].value == pytest.approx(0.005, rel=1e-2)
