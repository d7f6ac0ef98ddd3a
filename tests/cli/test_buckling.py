"""The command `buckling` and the section it adds to `size`: what is in it, and when it is silent.

The numerical model itself is checked in tests/methods/ring, the closed forms in
tests/methods/test_ring.py; here is checked that a pipe of a project reaches them unharmed.
"""

import json
import math
from pathlib import Path

import pytest
from calculator import calculate
from drawings import inside
from projects import toml

from linerdesign.documents.figures import new_figure
from linerdesign.methods.ring.collapse import collapse
from linerdesign.methods.ring.ring import Ring
from linerdesign.tasks.second_opinion import opinion, pictures

PERFECT = ("--gap", "0 %", "--ovality", "0 %", "--imperfection", "0.05 %")
E_STAR = 125000 / (1 - 0.3**2)


def second_opinion(run, *words, command="buckling", code=0, **tables):
    Path("p.toml").write_text(toml(**tables), encoding="utf-8")
    found, out, err = run(command, "p.toml", "--json", *words)
    assert code is None or found == code, err
    return json.loads(out)["pipes"][0]


def wall(dr, **more):
    """The 48 in pipe with a wall of this dimension ratio, which carries little water if thin."""
    pipe = {"condition": "partially deteriorated", "design_thickness": f"{48 / dr!r} in"}
    if dr > 50:
        pipe["groundwater_above_invert"] = "4 ft"
    return pipe | more


def test_tight_round_pipe_has_glocks_pressure(run):
    """Glock 1977: 0.969 (E* I/R^3) (A R^2/I)^(2/5) by hand, R at mid-wall; 4 % at DR 50."""
    t, R = 48 / 50, (48 - 48 / 50) / 2
    glock = 0.969 * E_STAR * t**3 / 12 / R**3 * (12 * R**2 / t**2) ** 0.4
    pipe = second_opinion(run, *PERFECT, pipe=wall(50))
    assert pipe["glock_pressure"]["unit"] == "psi"
    assert pipe["glock_pressure"]["value"] == pytest.approx(glock, rel=5e-4)
    assert pipe["numerical_pressure"]["value"] == pytest.approx(glock, rel=0.04)
    for name, key in (("glock", "glock_pressure"), ("numerical", "numerical_pressure")):
        # X1.1 solved for K, C and N being 1.
        K = pipe[key]["value"] * 49**3 / (2 * E_STAR)
        assert pipe["enhancement_factor"][name] == pytest.approx(K, rel=1e-5)
        assert pipe["safety_factor"][name] == pytest.approx(pipe[key]["value"] / (0.433 * 12))


def test_the_models_pressure_is_that_of_the_pipe(run):
    """Geometry and modulus arrive: the same pipe put to the model by hand."""
    pipe = second_opinion(run, pipe=wall(40))
    direct = collapse(40.0, 0.005, 0.02, 0.02, 0.3, check_mesh=False)
    pressure = E_STAR * direct.pressure_ratio
    assert pipe["numerical_pressure"]["value"] == pytest.approx(pressure, rel=1e-6)
    assert pipe["collapse_pressure"] == pipe["numerical_pressure"]


def test_defaults_are_german_practice_and_the_pipes_own_ovality(run):
    """Gap 0.5 %, local bulge 2 % of the radius: from memory."""
    pipe = second_opinion(run, pipe=wall(40, ovality="4 %"))
    used = {key: pipe[key]["value"] for key in ("gap", "ovality", "imperfection")}
    assert used == pytest.approx({"gap": 0.5, "ovality": 4.0, "imperfection": 2.0})


@pytest.mark.parametrize(
    ("words", "said"),
    [((), "(gap 0.5 %, bulge 2 %)"), (("--gap", "1 %", "--imperfection", "3 %"), "(gap 1 %, ")],
)
def test_the_headline_names_the_imperfections_it_is_for(run, words, said):
    pipe = second_opinion(run, *words, pipe=wall(40))
    assert pipe["statements"][0].startswith(f"Stability. With these imperfections {said}")


@pytest.mark.parametrize(("dr", "side"), [(20, "unsafe"), (60, "safe")])
def test_k_of_7_is_unsafe_under_dr_28_and_safe_above(run, dr, side):
    """Arithmetic on Glock 1977 puts the turn at DR 28 for a perfect pipe."""
    pipe = second_opinion(run, *PERFECT, pipe=wall(dr))
    assert pipe["side_of_code"] == side
    assert f"K = 7 is on the {side} side for this pipe" in pipe["statements"][0]
    more = pipe["numerical_pressure"]["value"] > pipe["pressures"]["code"]["value"]
    assert more is (side == "safe")


def test_what_x11_takes_is_what_size_prints(run):
    """Safety factor of X1.1 by the section is the one on the sheet."""
    pipe = second_opinion(run, "--buckling", command="size")
    (check,) = [c for c in pipe["checks"] if c["equation"] == "X1.1"]
    assert pipe["buckling"]["safety_factor"]["code"] == pytest.approx(check["safety_factor"])


def test_each_imperfection_taken_away_raises_k(run):
    pipe = second_opinion(run, pipe=wall(40))
    assert len(pipe["effects"]) == 4
    for effect in pipe["effects"]:
        assert effect["enhancement_factor"] > pipe["enhancement_factor"]["numerical"]


def test_both_unit_systems_give_the_same_k(run):
    us = second_opinion(run, pipe=wall(40))
    si = second_opinion(run, "--units", "SI", pipe=wall(40))
    assert si["numerical_pressure"]["unit"] == "MPa"
    for theory, K in us["enhancement_factor"].items():
        assert si["enhancement_factor"][theory] == pytest.approx(K, rel=1e-9)
    pressures = [pipe["numerical_pressure"]["value"] for pipe in (us, si)]
    assert pressures[1] == pytest.approx(pressures[0] * 0.00689476, rel=1e-6)


def test_pocket_calculator(run):
    steps = second_opinion(run, pipe=wall(40))["steps"]
    worked = [step for step in steps if step["substituted"] is not None]
    assert len(worked) > 15
    for step in worked:
        assert calculate(step["substituted"]) == pytest.approx(step["value"], rel=5e-4), step
    value = {step["symbol"]: step["value"] for step in steps}
    assert value["g_c"] == pytest.approx(value["g"], rel=1e-6)
    assert value["g_Am"] == pytest.approx(value["g"], rel=1e-6)


def test_the_worst_station_is_taken(run):
    stations = [
        {"at": "0 ft", "ovality": "2 %"},
        {"at": "90 ft", "ovality": "6 %"},
        {"at": "200 ft", "groundwater_above_invert": "8 ft", "ovality": "6 %"},
    ]
    pipe = second_opinion(run, pipe=wall(40, station=stations))
    assert pipe["station"] == "90 ft"
    assert pipe["ovality"]["value"] == pytest.approx(6.0)
    assert pipe["pressure_asked"]["value"] == pytest.approx(0.433 * 12)


def test_outside_the_model_it_says_so_and_gives_no_number(run):
    pipe = second_opinion(run, pipe=wall(9), code=1)
    assert pipe["numerical_pressure"] is None
    assert pipe["enhancement_factor"]["numerical"] is None
    assert pipe["side_of_code"] is None
    assert pipe["effects"] == []
    assert pipe["reason"].startswith("dimension ratio 9 is outside the range checked")
    assert "10 to 150" in pipe["reason"]
    assert pipe["reason"] in pipe["statements"][0]
    # Glock's arithmetic for a tight, round ring, over X1.1 with K = 7 and C of this ovality.
    t, R, q = 48 / 9, (48 - 48 / 9) / 2, pipe["ovality"]["value"] / 100
    glock = 0.969 * E_STAR * t**3 / 12 / R**3 * (12 * R**2 / t**2) ** 0.4
    code = 2 * 7 * E_STAR / 8**3 * ((1 - q) / (1 + q) ** 2) ** 3
    assert glock < code
    assert f"{100 * glock / code:.0f} % of the collapse pressure of X1.1" in pipe["statements"][1]
    assert "even the perfect ring in a tight, round cavity" in pipe["statements"][1]


def test_a_path_that_cannot_be_followed_gives_no_number(run, monkeypatch):
    monkeypatch.setattr("linerdesign.methods.ring.path.MAXIMUM_POINTS", 8)
    opinion._found.cache_clear()
    pipe = second_opinion(run, pipe=wall(41), code=1)
    opinion._found.cache_clear()
    assert pipe["numerical_pressure"] is None
    assert "too many steps" in pipe["reason"]
    code, out, _ = run("buckling", "p.toml")
    assert code == 1
    assert "no result" in out


def test_nothing_presses_on_a_pipe_above_ground(run):
    pipe = {
        "condition": "fully deteriorated",
        "above_ground": True,
        "internal_pressure": "60 psi",
    }
    dropped = ("cover", "groundwater_above_invert", "soil_unit_weight", "soil_reaction_modulus")
    found = second_opinion(
        run,
        pipe=pipe,
        drop=(*dropped, "live_load", "ovality"),
        resin={"tensile_strength": "3000 psi"},
    )
    assert found["numerical_pressure"] is None
    assert "no external pressure" in found["reason"]


def test_no_water_no_safety_factor(run):
    pipe = second_opinion(
        run, pipe=wall(40, groundwater="none"), drop=("groundwater_above_invert",)
    )
    assert pipe["numerical_pressure"]["value"] > 0
    assert set(pipe["safety_factor"].values()) == {None}


def test_every_bad_option_is_named_at_once(run):
    Path("p.toml").write_text(toml(), encoding="utf-8")
    code, out, err = run(
        "buckling", "p.toml", "--gap", "5 %", "--ovality", "3", "--imperfection", "0 %"
    )
    assert (code, out) == (2, "")
    for option in ("--gap", "--ovality", "--imperfection"):
        assert option in err
    assert "0 to 3 %" in err


def test_a_sheet_has_the_section_only_on_request(run):
    alone = second_opinion(run, command="size")
    asked = second_opinion(run, "--buckling", command="size")
    assert "buckling" not in alone
    section = asked.pop("buckling")
    assert asked == alone
    assert section["enhancement_factor"]["glock"] > 1


def test_every_form_has_it_and_the_page_its_pictures(run, tmp_path):
    Path("p.toml").write_text(toml(pipe=wall(40)), encoding="utf-8")
    names = ("a.pdf", "a.html", "a.xlsx", "a.txt")
    code, _, _ = run("buckling", "p.toml", *(word for name in names for word in ("-o", name)))
    assert code == 0
    page = (tmp_path / "a.html").read_text(encoding="utf-8")
    assert "Equilibrium path" in page
    assert "Wall at collapse" in page
    text = " ".join((tmp_path / "a.txt").read_text(encoding="utf-8").split())
    assert "It does not replace the check by the standard" in text
    assert all((tmp_path / name).stat().st_size > 1000 for name in names)


def test_the_pictures_show_the_pressures_of_the_report(run, tmp_path, monkeypatch):
    """Numbers of the report stand in the picture: collapse on its path, the demand as a level."""
    figures = []

    def kept(*sizes):
        figures.append(new_figure(*sizes))
        return figures[-1]

    monkeypatch.setattr(pictures, "new_figure", kept)
    pipe = second_opinion(run, "-o", "a.html", pipe=wall(40, ovality="3 %"))
    (path, (axes,)), (shape, (section,)) = figures
    for figure in (path, shape):
        inside(figure)
    curves = {line.get_label(): line for line in axes.lines}
    (at,), (collapse_,) = curves["collapse"].get_data()
    assert collapse_ == pytest.approx(amount(pipe, "numerical_pressure"), rel=1e-5)
    inwards, pressures = axes.lines[0].get_data()
    assert max(pressures) == pytest.approx(collapse_, rel=0.01)
    # The highest point drawn is the one before collapse or after it.
    highest = list(pressures).index(max(pressures))
    assert inwards[highest - 1] <= at <= inwards[highest + 1]
    assert 0 < at < 100
    # Water of 12 ft at 0.433 psi a foot.
    assert curves["design pressure P"].get_ydata() == pytest.approx([0.433 * 12] * 2)
    first = set(curves["first strength"].get_ydata()).pop()
    assert first == pytest.approx(amount(pipe, "first_strength_pressure"), rel=1e-5)
    glock = amount(pipe, "glock_pressure")
    levels = [line.get_ydata()[0] for line in axes.lines[2:]]
    assert pytest.approx(glock, rel=1e-5) in levels
    signs = {(line.get_linestyle(), line.get_color()) for line in axes.lines[2:]}
    assert len(signs) == len(axes.lines) - 2
    assert axes.get_ylim()[0] == 0
    # To scale: the host is 3 % wider and lower than its mean, and the wall lies in it.
    assert section.get_aspect() == 1
    (host,) = section.patches
    x, y = host.get_xy().T
    assert (x.max(), y.max()) == (pytest.approx(1.03), pytest.approx(0.97))
    before, after = section.lines
    for line in (before, after):
        x, y = line.get_data()
        assert x + x[::-1] == pytest.approx(0 * x, abs=1e-9)
        assert ((x / 1.03) ** 2 + (y / 0.97) ** 2).max() < 1
    # The crown comes down to collapse by the displacement that the path has there.
    down = before.get_ydata().max() - after.get_ydata()[len(after.get_ydata()) // 2]
    assert 100 * abs(down) == pytest.approx(at, rel=0.2)


def amount(pipe, key):
    return pipe[key]["value"]


def test_strength_stands_beside_stability(run):
    """The long-term strength of the resin, by hand: 4,500 psi at 50 %; N = 2."""
    pipe = second_opinion(run, pipe=wall(40))
    assert amount(pipe, "strength") == 2250.0
    first = amount(pipe, "first_strength_pressure")
    assert first < amount(pipe, "collapse_pressure") == amount(pipe, "numerical_pressure")
    kinds = [each["value"] for each in pipe["first_strength"].values() if each]
    assert first == min(kinds)
    # Hoop compression alone, p D/2 over t, is the least that the greatest fibre can have.
    P = 0.433 * 12
    assert amount(pipe, "stress_at_design") > P * 40 / 2
    by_load, by_stress = first / P, 2250 / amount(pipe, "stress_at_design")
    assert pipe["strength_safety_factor"] == pytest.approx(min(by_load, by_stress), rel=1e-3)


def test_side_by_strength_is_that_of_first_strength(run):
    pipe = second_opinion(run, pipe=wall(90), code=None)
    code = amount(pipe["pressures"], "code")
    assert amount(pipe, "first_strength_pressure") > code
    assert pipe["side_of_code_by_strength"] == "safe"
    thick = second_opinion(run, *PERFECT, pipe=wall(32))
    assert thick["side_of_code"] == "safe"
    assert thick["side_of_code_by_strength"] == "unsafe"
    strength = next(said for said in thick["statements"] if said.startswith("Strength."))
    assert "by strength K = 7 is on the unsafe side" in strength


@pytest.mark.parametrize(("strength", "limit"), [("4500 psi", "strength"), ("45 ksi", "stability")])
def test_at_the_required_thickness_both_hold_and_one_just_so(run, strength, limit):
    """The wall found, put to the command again: both factors at least N = 2, the lesser exact."""
    resin = {"flexural_strength": strength}
    first = second_opinion(run, pipe=wall(40), resin=resin)
    assert first["required_thickness_limit"].startswith(limit)
    inches = amount(first, "required_thickness")
    pipe = wall(40) | {"design_thickness": f"{inches!r} in"}
    again = second_opinion(run, pipe=pipe, resin=resin, code=None)
    factors = [again["safety_factor"]["numerical"], again["strength_safety_factor"]]
    least = min(factor for factor in factors if factor is not None)
    assert least == pytest.approx(2.0, rel=1e-4)
    assert amount(again, "required_thickness") == pytest.approx(inches, rel=1e-4)


def test_the_required_thickness_is_that_of_the_worst_station(run):
    stations = [
        {"at": "0 ft", "groundwater_above_invert": "6 ft"},
        {"at": "90 ft", "groundwater_above_invert": "20 ft"},
    ]
    both = second_opinion(run, pipe=wall(40, station=stations), code=None)
    alone = second_opinion(run, pipe=wall(40, groundwater_above_invert="20 ft"), code=None)
    assert amount(both, "required_thickness") == pytest.approx(amount(alone, "required_thickness"))


def test_a_gap_given_by_hand_is_no_german_practice(run):
    """Even where it has the same value as the default."""

    def source(*words):
        steps = second_opinion(run, *words, pipe=wall(40))["steps"]
        return next(step["source"] for step in steps if step["symbol"] == "g")

    assert "German practice" in source()
    assert source("--gap", "0.5 %") == "given"


def test_no_effects_no_empty_list(run):
    said = second_opinion(
        run, "--gap", "0 %", "--ovality", "0 %", "--imperfection", "0.1 %", pipe=wall(40)
    )["statements"]
    assert not any("; ." in each for each in said)
    assert any("larger bulge to remove" in each for each in said)


def test_nothing_asked_no_thickness(run):
    pipe = second_opinion(
        run, pipe=wall(40, groundwater="none"), drop=("groundwater_above_invert",)
    )
    assert pipe["required_thickness"] is None
    assert pipe["stress_at_design"]["value"] == 0.0


def test_a_pipe_takes_few_evaluations_of_the_ring(run, monkeypatch):
    """Time without a clock: an evaluation takes about a quarter of a millisecond."""
    count = 0
    state = Ring.state

    def counted(self, vector, pressure):
        nonlocal count
        count += 1
        return state(self, vector, pressure)

    monkeypatch.setattr(Ring, "state", counted)
    opinion._found.cache_clear()
    second_opinion(run, pipe=wall(43))
    assert 100 < count < 1200


def test_time_to_collapse_beside_the_life(run):
    """Under N P a wall near its limit collapses in time; under P it outlasts ten design lives.
    Twice P lies between the collapse pressures of E_L and of E here."""
    pipe = second_opinion(
        run, "--lasting", pipe=wall(54, groundwater_above_invert="14 ft"), code=None
    )
    demand, solved = amount(pipe, "pressure_asked"), amount(pipe, "collapse_pressure")
    assert solved < 2 * demand < 2 * solved, solved
    assert pipe["time_to_collapse"]["value"] is None
    assert pipe["time_to_collapse"]["more_than"] == 500.0
    lasting = pipe["lasting"]
    assert lasting["retention"]["value"] == 50.0
    assert 0.0 < lasting["time_to_collapse_with_safety_factor"]["value"] < 50.0
    # Elastic collapse at E_L is a lower bound, and a close one.
    assert 1.0 < amount(lasting, "pressure_for_design_life") / solved < 1.05
    (said,) = [each for each in pipe["statements"] if each.startswith("Time.")]
    assert "does not collapse within 500 years; under 2 times that it collapses after" in said


def test_a_creep_test_takes_the_place_of_the_law(run):
    """Readings on a power law that keeps 0.5 at 50 years: the same times as with the law."""
    slope = math.log10(0.5) / math.log10(438_000)
    rows = [f"{t},{250000 * t**slope}" for t in (1, 3, 10, 30, 100, 300, 1000, 3000, 10000)]
    Path("c.csv").write_text("\n".join(["time [h],modulus [psi]", *rows]), encoding="utf-8")
    pipe = wall(54, groundwater_above_invert="14 ft")
    law = second_opinion(run, pipe=pipe, code=None)["lasting"]
    test = second_opinion(run, "--creep-test", "c.csv", pipe=pipe, code=None)["lasting"]
    assert test["law"] == "creep test"
    key = "time_to_collapse_with_safety_factor"
    assert amount(test, key) == pytest.approx(amount(law, key), rel=0.05)


def test_no_creep_no_time(run):
    pipe = second_opinion(run, pipe=wall(40), resin={"modulus_retention": "100 %"})
    assert pipe["time_to_collapse"] is None
    assert any("the modulus retained is 100 %" in each for each in pipe["statements"])


def test_little_reserve_against_lasting_pressure_is_said(run):
    """N over retention: 2/0.5 is 4, 2/0.8 is 2.5."""

    def said(kept):
        pipe = second_opinion(run, pipe=wall(40), resin={"modulus_retention": kept})
        return [each for each in pipe["statements"] if "over the modulus retained is" in each]

    assert said("50 %") == []
    (found,) = said("80 %")
    assert "is 2.5, under 3" in found
