"""Each requirement on an installed wall at its border, by hand: 0.25 in are 6.35 mm."""

from types import SimpleNamespace

import pytest
from projects import toml

from linerdesign.field.acceptance import decision
from linerdesign.field.acceptance.gathering import Installed, Reading
from linerdesign.findings import finding
from linerdesign.methods.task import Input
from linerdesign.methods.verdicts import OUTSIDE
from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse


def installed(*walls, **tests):
    readings = tuple(Reading(wall, str(i), f"{i} m") for i, wall in enumerate(walls))
    return Installed("P", readings, tests=tests)


@pytest.mark.parametrize(("least", "passes"), [(6.0, True), (5.99, False)])
def test_the_owners_minimum_holds_for_the_least_reading(least, passes):
    (found,) = decision._of_owner(6.0, installed(7.0, least))
    assert (found.code, found.passes, found.required, found.found) == (
        *("owner_minimum", passes, 6.0, least),
    )
    assert (found.unit, found.place, found.by_rule) == ("mm", "station 1 m", True)
    assert not found.equation
    assert list(decision._of_owner(0.0, installed(7.0))) == []
    assert list(decision._of_owner(6.0, installed())) == []


def test_without_a_reading_the_thickness_is_open():
    for tests, why in (({}, "no_sample"), ({"E": (1.0,)}, "no_reading"), ({"E": ()}, "no_sample")):
        (found,) = decision._of_thickness("", None, 6.0, installed(**tests), None)
        assert (found.code, found.passes, found.open) == (
            *("thickness", None, finding(f"field.{why}")),
        )


def leg(at, least, most=None, **more):
    about = {
        "at": at,
        "least": least,
        "most": least if most is None else most,
        "required": 0.2,
        "minimum": 0.0,
        "needed": 0.2,
        "governing": "X1.3",
        "system_allows": True,
        "findings": (),
    }
    return SimpleNamespace(**(about | more))


def a_line(*legs, tube=0.25):
    built = SimpleNamespace(basis=SimpleNamespace(system="US"))
    return SimpleNamespace(legs=legs, tube=SimpleNamespace(thickness=tube), built=built)


def test_the_wall_of_the_tube_by_readings_in_straights_and_bends():
    """A tube of 0.25 in; at a bend the wall is 0.9 to 1.2 of it, in a wide leg 0.8."""
    whole = a_line(leg("bend", 0.225, 0.3), leg("wide", 0.2))

    def walls(*lying):
        return decision._tube_walls(whole, [(name, Reading(wall)) for name, wall in lying])

    assert walls(("wide", 4.8)) == pytest.approx((6.0, 6.0))
    assert walls((None, 6.1)) == pytest.approx((6.1, 6.1))
    assert walls(("bend", 5.4)) == pytest.approx((4.5, 6.0))
    # A straight reading says more than one in a bend, which can only bound it from above.
    assert walls(("wide", 4.8), ("bend", 6.0)) == pytest.approx((6.0, 6.0))
    assert walls(("wide", 4.8), ("bend", 4.5)) == pytest.approx((5.0, 5.0))
    assert walls(("wide", 4.8), (None, 5.5)) == pytest.approx((5.5, 5.5))


@pytest.mark.parametrize(
    ("walls", "passes", "undecided"),
    [
        ((5.08, 6.0), True, False),
        ((5.07, 5.08), None, True),
        ((5.0, 5.07), False, False),
    ],
)
def test_a_leg_without_a_reading_by_the_wall_to_expect(walls, passes, undecided):
    """0.2 in are 5.08 mm."""
    found = decision._expected(leg("bend", 0.2), walls, "US")
    assert (found.code, found.passes, found.found) == ("leg_expected", passes, walls[0])
    assert found.required == pytest.approx(5.08)
    assert (found.unit, found.equation) == ("mm", True)
    assert dict(found.numbers) == {"equation": "X1.3", "at": "bend"}
    assert (found.open is not None) is undecided
    if undecided:
        assert "5.07 to 5.08 mm expected" in found.open.said
    by_owner = decision._expected(leg("bend", 0.2, minimum=0.21), walls, "US")
    assert dict(by_owner.numbers)["equation"] != "X1.3"
    equal = decision._expected(leg("bend", 0.2, minimum=0.2), walls, "US")
    assert dict(equal.numbers)["equation"] == "X1.3"


def test_each_leg_is_judged_by_its_own_least_reading_or_by_what_to_expect(monkeypatch):
    """A tube of 6 mm by the reading in the straight: 0.9 of it, 5.4 mm, in the leg without one."""
    doubt = finding("field.no_sample")
    whole = a_line(
        leg("straight", 0.25),
        leg("bend", 0.225, needed=0.22, system_allows=False, findings=(doubt,)),
    )
    monkeypatch.setattr(decision, "leg_at", lambda station, pipe: "straight")
    readings = installed(6.2, 6.0)
    own, open_, expected = decision._of_legs(None, whole, readings)
    assert (own.code, own.passes, own.found, own.place) == ("leg", True, 6.0, "station 1 m")
    assert own.required == pytest.approx(5.08)
    assert (own.unit, own.equation) == ("mm", True)
    assert dict(own.numbers) == {"equation": "X1.3", "at": "straight"}
    assert (open_.code, open_.passes, open_.open) == ("leg_data", None, doubt)
    assert dict(open_.numbers) == {"at": "bend"}
    assert (expected.code, expected.passes) == ("leg_expected", False)
    assert expected.found == pytest.approx(5.4)
    assert expected.required == pytest.approx(0.22 * 25.4)
    short, *_ = decision._of_legs(None, whole, installed(5.07))
    assert short.passes is False
    monkeypatch.setattr(decision, "leg_at", lambda station, pipe: "x" if station == "0 m" else None)
    assert [each.station for each in decision.elsewhere(None, readings).readings] == ["1 m"]


def test_equations_at_the_least_wall_and_at_the_mean():
    def result(thickness, *required):
        checks = [
            SimpleNamespace(required_thickness=each, passes=True, station=None, equation="X1.3")
            for each in required
        ]
        basis = SimpleNamespace(system="US")
        return SimpleNamespace(checks=checks, nominal_thickness=thickness, basis=basis)

    built = SimpleNamespace(least=result(0.19, 0.2), mean=result(0.21, 0.2))
    least, mean = decision._of_equations(built, installed(6.0, 5.0))
    assert (least.code, least.passes, least.place) == ("equation_least", False, "station 1 m")
    assert (mean.code, mean.passes, mean.place) == ("equation_mean", True, "")
    assert least.required == pytest.approx(5.08)
    assert least.found == pytest.approx(0.19 * 25.4)


def test_properties_that_are_used_and_not_tested_are_open():
    asked = []

    def verdict(every, by_stiffness):
        asked.append((every, by_stiffness))
        return "verdict"

    tests = tuple(SimpleNamespace(key=key, verdict=verdict) for key in ("E", "sigma"))

    def of(properties, rule, used=("E", "sigma_T")):
        asked.clear()
        settings = SimpleNamespace(properties=properties)
        return list(decision._of_properties(used, tests, settings, rule))

    *_, open_ = of("mean of tests", "mean and least reading")
    assert asked == [(False, False), (False, False)]
    assert (open_.code, open_.passes) == ("tensile_mean", None)
    assert open_.open == finding("field.not_tested")
    assert of("every test", "stiffness ratio", ("E",)) == ["verdict"] * 2
    assert asked == [(True, True), (True, False)]


@pytest.mark.parametrize("evidence", ["a report", ""])
def test_retentions_rest_on_evidence_alone(monkeypatch, evidence):
    monkeypatch.setattr(decision, "keys_read", lambda basis: {"r_E", "r_T"})
    resin = SimpleNamespace(evidence=evidence, name="felt")
    found = list(decision._of_retention(("E", "sigma"), resin, None))
    assert [each.code for each in found] == ["retention_modulus"]
    (each,) = found
    assert (each.passes, each.by_rule) == (True if evidence else None, True)
    assert each.open == (None if evidence else finding("field.no_evidence", resin="felt"))


def test_a_wall_outside_the_method_is_open():
    assert list(decision._of_scope(SimpleNamespace(status="sufficient"))) == []
    (found,) = decision._of_scope(SimpleNamespace(status=OUTSIDE))
    assert (found.code, found.passes, found.open) == ("scope", None, finding("field.outside"))


@pytest.mark.parametrize(("wall", "refused"), [(101.5, False), (101.6, True)])
def test_a_reading_of_half_the_host_is_refused(wall, refused):
    """8 in at its narrowest station: 101.6 mm leave no bore."""
    result = SimpleNamespace(
        basis=SimpleNamespace(system="US"), values=({"D": 9.0}, {"D": 8.0}), name="P"
    )
    if not refused:
        decision._refuse_impossible(result, installed(5.0, wall))
        return
    with pytest.raises(InputFaults) as found:
        decision._refuse_impossible(result, installed(5.0, wall))
    assert "101.6 mm" in str(found.value)
    assert '"P"' in str(found.value)


# The whole decision

WALL = (26.0, 27.0, 28.6)


def decided(units="US", rule="stiffness ratio", walls=WALL, resin=None, **tests):
    """On the 48 in example of Najafi 2010, pp. 75-83, checked at 27 mm."""
    text = toml({"design_thickness": "27 mm"}, resin=resin, project={"units": units})
    made = parse(text.encode(), "test.toml")
    return decision.decide(made, made.pipes[0], installed(*walls, **tests), rule, units)


@pytest.mark.parametrize(("units", "inch", "psi"), [("US", 1.0, 1.0), ("SI", 25.4, 0.006894757293)])
def test_the_wall_as_installed_by_hand(units, inch, psi):
    """The mean of the readings with the means of the tests, 27.2 mm with 245,000 and 5,000 psi;
    the least with the smaller of these and the design's 250,000 and 4,500 psi."""
    built = decided(units, E=(240_000.0, 250_000.0), sigma=(4_900.0, 5_100.0)).built
    mean, least = 27.2 / 25.4 * inch, 26 / 25.4 * inch
    for result, wall, strength in ((built.mean, mean, 5_000), (built.least, least, 4_500)):
        assert result.nominal_thickness == pytest.approx(wall)
        assert result.value("E") == pytest.approx(245_000 * psi)
        assert result.value("sigma") == pytest.approx(strength * psi)
    *inputs, ratio = built.stiffness
    assert {step.key: step.source for step in inputs} == {
        "E_built": "tested", "t_built": "mean of the readings", "E": "design", "t": "design",
    }  # fmt: skip
    assert [step.value for step in inputs] == pytest.approx(
        [245_000 * psi, mean, 250_000 * psi, 27 / 25.4 * inch]
    )
    assert ratio.value == built.stiffness_percent == pytest.approx(98 * (27.2 / 27) ** 3)
    assert built.wall.stations[0].values["t"] == pytest.approx(least)
    assert built.wall.stations[0].values["E"] == pytest.approx(245_000 * psi)
    assert built.carried.needed.thickness == built.least.required_thickness
    (bore,) = (each for each in built.second.task.stations[0].inputs if each.key == "D")
    assert bore.value == pytest.approx(48 * inch - 2 * mean)
    assert bore.origin.place == "bore of the first liner"
    assert built.second.value("E") == pytest.approx(250_000 * psi)
    assert "t" not in built.free.stations[0].values


@pytest.mark.parametrize(("system", "scale"), [("US", 1.0), ("SI", 0.006894757)])
def test_what_was_tested_against_design_and_specification(system, scale):
    """Modulus and strength in psi; of the strength there is no minimum, of the tensile strength
    no design value, and so no verdict."""
    inputs = [Input("E", 250_000.0 * scale), Input("sigma", 4500.0 * scale)]
    made = SimpleNamespace(stations=[SimpleNamespace(inputs=inputs)])
    tests = {"E": (260_000.0, 270_000.0), "sigma": (4000.0,), "sigma_T": (3000.0,)}
    modulus, strength = decision._tests(made, installed(**tests), {"E": 240_000.0}, system)
    assert (modulus.key, modulus.code, strength.code) == ("E", "modulus", "strength")
    assert modulus.unit == strength.unit == ("psi" if system == "US" else "MPa")
    assert modulus.mean == pytest.approx(265_000 * scale)
    assert modulus.minimum == pytest.approx(240_000 * scale)
    assert (modulus.designed, strength.designed) == (250_000 * scale, 4500 * scale)
    assert strength.minimum == 0
    assert list(decision._tests(made, installed(), {}, system)) == []


def test_without_tests_or_with_those_in_doubt_the_wall_has_the_design_values():
    for tests in ({}, {"E": (1_250_001.0,)}):
        built = decided(**tests).built
        assert built.mean.value("E") == built.least.value("E") == 250_000
        assert built.stiffness[0].value == 250_000
        assert built.stiffness[0].source == ("tested" if tests else "design")


def test_all_requirements_on_a_wall_in_their_order():
    made = decided(resin={"evidence": "creep test, invented"}, E=(240_000.0, 250_000.0))
    every = [check.equation for check in made.design.checks]
    assert every == ["X1.1", "X1.2", "DR limit", "X1.3", "X1.4"]
    assert [each.code for each in made.verdicts] == [
        "rule_stiffness",
        *["equation_least"] * 5,
        *["equation_mean"] * 5,
        *("modulus_mean", "strength_mean", "retention_modulus", "retention_strength"),
    ]
    assert (made.pipe, made.rule) == ("Trunk", "stiffness ratio")
    assert made.design_thickness == pytest.approx(27 / 25.4)
    assert made.verdicts[0].found == made.built.stiffness_percent
    codes = {each.code.removeprefix("field.") for each in made.cautions}
    assert codes == {"tests_under", "readings_under"}
    assert decided(walls=(), E=(240_000.0,)).built is None


def test_doubts_of_every_test_are_those_of_the_decision():
    made = decided(E=(1_250_001.0,), sigma=(8_999.0, 9_001.0))
    assert [each.code for each in made.doubts] == ["field.test_high", "field.test_high"]
    assert [each.passes for each in made.verdicts if each.code == "modulus_mean"] == [None]
