"""What an acceptance prints and gives as data, cell by cell, on decisions put together by hand."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from published import EPA_MODULI

from linerdesign.documents import thin_wall
from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph
from linerdesign.field.acceptance import report
from linerdesign.field.acceptance import tested as properties
from linerdesign.field.acceptance.decision import Decision
from linerdesign.field.acceptance.gathering import Installed, Reading
from linerdesign.field.acceptance.report import by_place, verdict_line
from linerdesign.field.acceptance.rules import TEXTS
from linerdesign.field.acceptance.verdict import Verdict
from linerdesign.findings import Severity, finding
from linerdesign.methods.f1216.properties import SPECIFICATIONS
from linerdesign.words import sentence

PSI = 0.006894757293168  # MPa, NIST SP 811
MET = Verdict("scope", True, 6.0, 6.5, "mm", by_rule=True)
SHORT = Verdict("rule_mean", False, 6.0, 5.5, "mm", numbers=(("percent", 100),), by_rule=True)
OPEN = Verdict("modulus_mean", None, open=finding("field.no_sample"))
STATED = Verdict("scope", True)


def designed(system="SI", **more):
    about = {"name": "P", "basis": SimpleNamespace(system=system), "value": lambda key: None}
    return SimpleNamespace(**(about | more))


def decision(*verdicts, system="SI", readings=(), tests=(), **more):
    about = {"tests": {}, "basis": "structural wall"} | more.pop("installed", {})
    return Decision(
        pipe=more.pop("pipe", "P"),
        rule="mean and least reading",
        design=designed(system),
        design_thickness=6.0 if system == "SI" else 6.0 / 25.4,
        installed=Installed("P", readings, **about),
        verdicts=verdicts,
        tests=tests,
        **more,
    )


def check(equation, safety_factor, passes=True):
    return SimpleNamespace(equation=equation, safety_factor=safety_factor, passes=passes)


def test_a_verdict_names_what_is_missing_and_three_items_at_most():
    mean = "mean thickness, 100 % of the design"
    modulus = "flexural modulus, mean of tests"
    assert verdict_line(decision(MET)) == "ACCEPTED"
    assert verdict_line(decision(MET, OPEN)) == f"NOT DECIDED: {modulus}"
    assert verdict_line(decision(SHORT)) == f"NOT ACCEPTED: {mean} below requirement by 0.50 mm"
    assert verdict_line(decision(OPEN, SHORT)) == (
        f"NOT ACCEPTED: {mean} below requirement by 0.50 mm; {modulus} undecided"
    )
    three = f"NOT DECIDED: {modulus}; {modulus}; {modulus}"
    assert verdict_line(decision(OPEN, OPEN, OPEN)) == three
    assert verdict_line(decision(*4 * [OPEN])) == f"{three} and 1 more"
    assert verdict_line(decision(*5 * [OPEN])) == f"{three} and 2 more"


def test_the_design_thickness_has_four_figures():
    (row,) = report._verdicts((replace(decision(MET), design_thickness=6.12345),)).rows
    assert row[2] == "6.123"


@pytest.mark.parametrize(("system", "thickness"), [("SI", "6"), ("US", "6")])
def test_the_table_of_verdicts_in_millimetres(system, thickness):
    """Readings of 5.25 and 6.5 mm; 98.66 % of the stiffness, a factor of 1.999 cut to 1.99."""
    readings = (Reading(5.25), Reading(6.5))
    built = SimpleNamespace(
        stiffness_percent=98.66, least=SimpleNamespace(lowest_safety_factor=1.999)
    )
    every = (
        decision(MET, system=system, readings=readings, built=built),
        decision(OPEN, system=system, pipe="Q"),
    )
    grid = report._verdicts(every)
    assert grid.columns == (
        *("pipe", "verdict", "design mm", "mean mm", "least mm", "E t^3 %", "min. N"),
    )
    assert grid.rows[0] == ("P", "ACCEPTED", thickness, "5.88", "5.25", "98.7", "1.99")
    assert grid.rows[1][:2] == ("Q", verdict_line(every[1]))
    assert grid.rows[1][2:] == (thickness, "-", "-", "-", "-")


def test_the_requirements_each_with_what_is_found():
    grid = report._requirements(decision(MET, SHORT, OPEN, STATED))
    assert grid.columns == ("requirement", "required", "found", "verdict")
    assert [row[1:] for row in grid.rows] == [
        ("6.00 mm", "6.50 mm", "met"),
        ("6.00 mm", "5.50 mm", "BELOW by 0.50 mm"),
        ("-", "-", "undecided: no sample of this pipe"),
        ("-", "-", "met"),
    ]
    assert [row[0] for row in grid.rows] == [each.what for each in (MET, SHORT, OPEN, STATED)]
    bare = Verdict("scope", None)
    assert report._requirements(decision(bare)).rows[0][3] == "undecided"


def by_test(key="E", code="modulus", values=(1700.0, 1900.0), unit="MPa", designed=1750.0):
    mean = sum(values) / len(values)
    return properties.Tested(key, code, unit, designed, 0.0, values, mean, None)


@pytest.mark.parametrize(("system", "unit", "scale"), [("US", "psi", 1.0), ("SI", "MPa", PSI)])
def test_statistics_of_readings_and_tests_in_the_unit_of_the_sheet(system, unit, scale):
    """The five published moduli, mean 263,707 and deviation 70,398 psi (EPA)."""
    found = decision(
        MET,
        system=system,
        readings=(Reading(5.25), Reading(6.5)),
        tests=(by_test(unit=unit), by_test("sigma", "strength", unit=unit)),
        installed={"tests": {"E": EPA_MODULI}},
    )
    grid = report._samples(found)
    assert grid.columns == ("", "n", "mean", "standard deviation", "CV %", "least", "largest")
    thick, moduli, none = grid.rows
    assert thick[1:] == ("2", "5.875", "0.8839", "15.0", "5.25", "6.5")
    assert moduli[0].endswith(f", {unit}")
    numbers = [float(cell) for cell in (moduli[2], moduli[3], moduli[5], moduli[6])]
    expected = [scale * each for each in (263_707, 70_398, min(EPA_MODULI), max(EPA_MODULI))]
    assert numbers == pytest.approx(expected, rel=6e-5)
    assert (moduli[1], moduli[4]) == ("5", f"{100 * 70_398 / 263_707:.1f}")
    assert none[1:] == ("0", "-", "-", "-", "-", "-")
    assert "structural wall" in grid.caption
    alone = report._samples(decision(MET, readings=(Reading(6.0),))).rows[0]
    assert alone[1:] == ("1", "6", "-", "-", "6", "6")


@pytest.mark.parametrize("system", ["US", "SI"])
def test_readings_by_place_against_the_equations(system):
    """Required 5.7 mm: 5.25 is 0.45 short, 6.5 has 0.8 over."""
    readings = (
        Reading(6.5, "1", "12 m"),
        Reading(5.25, "2"),
        Reading(6.7, "3", "12 m"),
    )
    required = 5.7 if system == "SI" else 5.7 / 25.4
    built = SimpleNamespace(
        least=SimpleNamespace(required_thickness=required, basis=SimpleNamespace(system=system))
    )
    found = decision(MET, readings=readings)
    (grid,) = report._places(found, built)
    assert grid.columns == (
        *("place", "readings", "mean", "least", "required by equations", "margin"),
    )
    assert grid.rows == (
        ("station 12 m", "2", "6.60", "6.50", "5.70", "+0.80"),
        ("place not stated", "1", "5.25", "5.25", "5.70", "-0.45"),
    )
    places = by_place(readings)
    assert list(places) == ["station 12 m", ""]
    assert places["station 12 m"].mean == pytest.approx(6.6)
    # Without any place there is no such table.
    assert list(report._places(decision(MET, readings=(Reading(6.0),)), built)) == []


def bending(specimen, cautions=()):
    return SimpleNamespace(
        specimen=specimen,
        modulus=250_000.0,
        strength=4512.34,
        strain_at_strength=0.03456,
        span_ratio=16.04,
        cautions=cautions,
    )


@pytest.mark.parametrize(
    ("system", "modulus", "strength"),
    [("US", "250000", "4512"), ("SI", f"{250_000 * PSI:.5g}", f"{4512.34 * PSI:.4g}")],
)
def test_bending_records_reduced_specimen_by_specimen(system, modulus, strength):
    made = SimpleNamespace(
        specimens=(bending("A", ("short span",)), bending("")), cautions=("few specimens",)
    )
    heading, grid, cautions = report._bending(SimpleNamespace(bending=made), system)
    unit = "psi" if system == "US" else "MPa"
    assert heading == Heading("Bending tests reduced by D790", 2)
    assert grid.columns == (
        *("specimen", f"modulus, {unit}", f"strength, {unit}", "strain, %", "span/depth"),
    )
    assert grid.rows == (
        ("A", modulus, strength, "3.46", "16.0"),
        ("-", modulus, strength, "3.46", "16.0"),
    )
    assert cautions == Bullets(("A: short span", "few specimens"))
    quiet = SimpleNamespace(specimens=(bending("A"),), cautions=())
    assert len(list(report._bending(SimpleNamespace(bending=quiet), system))) == 2
    assert list(report._bending(SimpleNamespace(bending=None), system)) == []


def test_a_pipe_has_its_lists_only_where_there_is_something_to_list(monkeypatch):
    monkeypatch.setattr(report, "ways", lambda each: wanted)
    wanted = ()
    plain = list(report._one(decision(MET)))
    assert [type(each) for each in plain] == [Heading, Grid]
    assert plain[0] == Heading("P: ACCEPTED", tab="Wall of P")
    wanted = (finding("field.no_sample"), finding("field.no_sample"))
    titles = {}
    for name, each in (("short", decision(SHORT)), ("open", decision(OPEN))):
        _, _, title, bullets = report._one(each)
        titles[name] = title.text
        assert title.level == 2
        assert bullets.items == ("no sample of this pipe",) * 2
    assert titles == {
        "short": sentence("field.ways_title"),
        "open": sentence("field.open_title"),
    }
    wanted = ()
    doubted = decision(MET, doubts=(wanted_once := finding("field.no_sample"),) * 2)
    *_, title, bullets = report._one(doubted)
    assert bullets.items == (wanted_once.said,)
    assert title.level == 2


def test_cautions_are_the_doubts_first_and_what_the_design_notes():
    note = SimpleNamespace(severity=Severity.CAUTION, text="thin wall")
    default = SimpleNamespace(severity=Severity.DEFAULT, text="a default")
    built = SimpleNamespace(least=SimpleNamespace(notes=(default, note)))
    doubt, caution = finding("field.no_sample"), finding("field.outside")
    found = decision(MET, doubts=(doubt,), cautions=(caution,), built=built)
    assert list(report._cautions(found)) == [doubt.said, caution.said, "thin wall"]


def test_the_lowest_factor_of_each_equation_and_none_without_one():
    result = SimpleNamespace(
        checks=[check("X1.1", 2.5), check("DR", None), check("X1.1", 2.1), check("X1.1", None)]
    )
    assert report._factors(result) == {"X1.1": 2.1, "DR": None}


def test_the_data_of_a_decision(monkeypatch):
    """Means of 5.875 mm and of the published moduli; their deviation 70,398 psi (EPA)."""
    tests = (by_test(values=(1700.0, 1900.0, 1745.0)),)
    found = decision(
        SHORT,
        OPEN,
        MET,
        readings=(Reading(5.25), Reading(6.5)),
        tests=tests,
        installed={"tests": {"E": EPA_MODULI}},
        cautions=(finding("field.no_sample"),) * 2,
    )
    whole = report.data((found,), "SI")
    assert (whole["format"], whole["units"]) == (1, "SI")
    assert whole["not_decided"] == list(report.LIMITS)
    (data,) = whole["pipes"]
    assert (data["name"], data["accepted"]) == ("P", False)
    assert data["verdict"] == verdict_line(found)
    keys = ("what", "required", "found", "unit", "passes", "place", "code")
    told = {key: getattr(SHORT, key) for key in keys}
    assert data["shortfalls"] == [told]
    assert [each["code"] for each in data["requirements"]] == [
        *("rule_mean", "modulus_mean", "scope"),
    ]
    assert data["undecided"] == [OPEN.text]
    assert data["reasons"] == [each.text for each in (SHORT, OPEN, MET)]
    assert (data["rule"], data["rule_met"], data["equations_met"]) == (found.rule, False, None)
    assert data["design_thickness"] == {"value": 6.0, "unit": "mm"}
    assert data["mean_thickness"] == {"value": 5.875, "unit": "mm"}
    assert data["minimum_thickness"] == {"value": 5.25, "unit": "mm"}
    assert (data["thickness_basis"], data["readings"]) == ("structural wall", 2)
    mean, deviation = data["mean_modulus"], data["modulus_deviation"]
    assert (mean["unit"], deviation["unit"], data["moduli"]) == ("MPa", "MPa", 5)
    assert mean["value"] == pytest.approx(263_707 * PSI, rel=1e-5)
    assert deviation["value"] == pytest.approx(70_398 * PSI, rel=1e-5)
    assert data["tests"] == [
        {
            "what": "modulus",
            "designed": {"value": 1750.0, "unit": "MPa"},
            "mean": {"value": pytest.approx(1781.6667), "unit": "MPa"},
            "percent_of_design": pytest.approx(100 * 1781.6667 / 1750),
            "count": 3,
            "under_design": 2,
        }
    ]
    assert data["stiffness_percent"] is None
    assert data["cautions"] == ["no sample of this pipe"]
    assert "needed" not in data
    bare = report.data((decision(OPEN),), "US")["pipes"][0]
    for key in ("mean_thickness", "minimum_thickness", "mean_modulus", "modulus_deviation"):
        assert bare[key] is None
    assert bare["moduli"] == 0
    single = decision(OPEN, installed={"tests": {"E": (250_000.0,)}})
    one = report.data((single,), "SI")["pipes"][0]
    assert one["modulus_deviation"] is None
    assert one["mean_modulus"]["value"] == pytest.approx(250_000 * PSI)


@pytest.mark.parametrize("accepted", [False, True])
def test_the_data_of_the_wall_as_built(monkeypatch, accepted):
    """A second liner is told only where the wall is not accepted."""
    monkeypatch.setattr(report, "check_data", lambda each, system: (each.equation, system))
    monkeypatch.setattr(report, "working_data", lambda steps: list(steps))
    monkeypatch.setattr(thin_wall, "data", lambda carried: "carried")
    needed = SimpleNamespace(
        thickness=6.6,
        modulus=2000.0,
        ovality=1.5,
        retention=55.0,
        life_years=30.0,
        properties={"sigma": 31.0},
    )
    built = SimpleNamespace(
        mean=SimpleNamespace(checks=[check("X1.1", 2.4)]),
        least=SimpleNamespace(checks=[check("X1.1", 1.9), check("X1.2", 3.0)]),
        stiffness=("step",),
        carried=SimpleNamespace(needed=needed),
        second=SimpleNamespace(required_thickness=4.1, nominal_thickness=4.5, governing="X1.3"),
    )
    readings = (Reading(5.0, "1", "3 m"), Reading(7.0, "2", "3 m"))
    found = decision(MET if accepted else SHORT, readings=readings)
    data = report._built_data(found, built, "SI")
    assert data["safety_factors"] == {"X1.1": 2.4}
    assert data["checks"] == [("X1.1", "SI")]
    assert data["least_wall"] == {
        "safety_factors": {"X1.1": 1.9, "X1.2": 3.0},
        "checks": [("X1.1", "SI"), ("X1.2", "SI")],
    }
    assert (data["stiffness"], data["tolerated"]) == (["step"], "carried")
    assert data["places"] == [
        {
            "place": "station 3 m",
            "readings": 2,
            "mean_thickness": {"value": 6.0, "unit": "mm"},
            "minimum_thickness": {"value": 5.0, "unit": "mm"},
        }
    ]
    assert data["needed"] == {
        "thickness": {"value": 6.6, "unit": "mm"},
        "modulus": 2000.0,
        "ovality_percent": 1.5,
        "modulus_retention_percent": 55.0,
        "life_years": 30.0,
        "strength": 31.0,
        "tensile_strength": None,
    }
    assert data["second_liner"] == (
        None
        if accepted
        else {
            "required_thickness": {"value": 4.1, "unit": "mm"},
            "nominal_thickness": {"value": 4.5, "unit": "mm"},
            "governing": "X1.3",
        }
    )


def test_the_document_counts_its_verdicts_the_bad_ones_first():
    every = [decision(v, pipe=name) for v, name in ((MET, "A"), (SHORT, "B"), (MET, "C"))]
    found = list(report.blocks(tuple(every), SimpleNamespace(bending=None), "F1216"))
    assert found[0] == Heading("Acceptance of installed walls: 1 not accepted, 2 accepted")
    assert found[-1] == Bullets(report.LIMITS)
    assert found[-2].level == 2
    heads = [each.text.split(":")[0] for each in found if isinstance(each, Heading)]
    assert [each for each in heads if each in "ABC"] == ["A", "B", "C"]


@pytest.mark.parametrize(
    ("verdict", "mean", "carries"),
    [(True, "mean", False), (False, "least", True), (None, "m", False)],
)
def test_the_wall_as_built_of_one_pipe(monkeypatch, verdict, mean, carries):
    """The checks at the mean are left out where they are those of the least wall; what the wall
    carries is told in full where an equation is not met."""
    monkeypatch.setattr(report, "ways", lambda each: ())
    monkeypatch.setattr(report, "_cautions", lambda each: ())
    monkeypatch.setattr(report, "_samples", lambda each: ("samples", each))
    monkeypatch.setattr(report, "_places", lambda each, built: [("places", each, built)])
    monkeypatch.setattr(report, "working_grid", lambda *given: given)
    monkeypatch.setattr(report, "checks_grid", lambda result: f"checks of {result}")
    monkeypatch.setattr(thin_wall, "blocks", lambda carried, told: [(carried, told)])
    built = SimpleNamespace(stiffness="steps", least="least", mean=mean, carried="carried")
    about = {"numbers": (("equation", "X1.1"),), "equation": True}
    verdicts = [] if verdict is None else [Verdict("equation_least", verdict, **about)]
    found = decision(*verdicts, built=built)
    _, _, *blocks = report._one(found)
    assert blocks == [
        ("samples", found),
        ("places", found, built),
        ("steps", "SI", sentence("field.stiffness_as_installed")),
        "checks of least",
        *(["checks of " + mean] if mean != "least" else []),
        ("carried", carries),
    ]


@pytest.mark.parametrize("rule", [*TEXTS])
def test_the_rule_is_named_with_its_source_and_that_of_the_minimums(rule):
    found = replace(decision(OPEN), rule=rule)
    gathered = SimpleNamespace(bending=None)
    blocks = list(report.blocks((found,), gathered, "F2019"))
    text, specified = TEXTS[rule], SPECIFICATIONS["F2019"]
    assert blocks[2] == Paragraph(
        sentence(
            "field.acceptance_rule",
            rule=rule,
            source=text.source,
            provenance=text.provenance,
            apart=sentence(text.apart) if text.apart else "",
            minimum=specified.source,
            minimum_provenance=specified.provenance,
        )
    )
    for words in (rule, text.source, specified.source):
        assert words in blocks[2].text
    assert blocks[0].text.endswith(": 1 not decided")
    assert blocks[-2].text == sentence("field.acceptance_limits")
