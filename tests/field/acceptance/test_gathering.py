"""Readings, bases and cautions of samples, and ways to acceptance, by hand."""

from types import SimpleNamespace

import pytest

from linerdesign.field.acceptance.decision import _cautions, _of_check
from linerdesign.field.acceptance.gathering import (
    Installed,
    Reading,
    _installed,
    _of_table,
    _own,
    _with_tests,
)
from linerdesign.field.acceptance.rules import RULES
from linerdesign.field.acceptance.verdict import Verdict
from linerdesign.field.acceptance.ways import ways
from linerdesign.field.laboratory.samples import Sample
from linerdesign.findings import finding
from linerdesign.project.measures import parse
from linerdesign.project.requests import TESTED, Acceptance
from linerdesign.words import sentence


def gathered(*samples, **settings):
    faults = []
    found = _installed("P", samples, Acceptance(**settings), faults)
    return found, [str(each) for each in faults]


def sample(thickness=None, basis="structural wall", place="", **more):
    about = {"pipe": "P", "specimen": "1"} | more
    return Sample(thickness=thickness, thickness_basis=basis, place=place, **about)


def codes(found):
    return [each.code.removeprefix("field.") for each in found.cautions]


def test_the_place_of_a_reading_and_the_thinnest():
    installed = Installed("P", (Reading(6.0), Reading(5.5, "2", "12 ft", "3"), Reading(5.5)))
    assert installed.thinnest.place == "station 12 ft, clock 3"
    assert Reading(6.0).place == ""
    assert Reading(6.0, station="3 m").place == "station 3 m"
    assert installed.thickness.mean == pytest.approx(17 / 3)
    assert Installed("P").thickness is None
    assert Installed("P").summary("E") is None
    assert Installed("P", tests={"E": (2.0, 4.0)}).summary("E").mean == 3


def test_layers_are_taken_off_readings_of_the_whole_wall_alone():
    off = parse("1.5 mm", "section")
    found, faults = gathered(sample(6.0), sample(6.0, "whole wall"), sample(), non_structural=off)
    assert [each.thickness for each in found.readings] == [6.0, 4.5]
    assert faults == []
    assert found.basis == "structural wall; whole wall less 1.5 mm of films and dry layers"
    thin, faults = gathered(sample(1.5, "whole wall", "t.csv, line 3"), non_structural=off)
    assert thin.readings == ()
    assert faults[0].startswith("t.csv, line 3, column thickness 1.5 mm: not over")
    _, faults = gathered(sample(6.0, "whole wall", "t.csv, line 2"))
    assert faults[0].startswith("t.csv, line 2, column thickness 6 mm: reading of the whole wall")
    # Those of the project file were looked at as it was read.
    assert gathered(sample(6.0, "whole wall"))[1] == []


def test_cautions_of_few_readings_and_tests_and_of_no_basis():
    """D790: five specimens."""
    tests = [sample(6.0, modulus=250_000.0 + i) for i in range(5)]
    found, _ = gathered(*tests)
    assert codes(found) == []
    assert found.tests["E"] == tuple(250_000.0 + i for i in range(5))
    few, _ = gathered(*tests[:4])
    assert codes(few) == ["few_tests"]
    assert dict(few.cautions[0].numbers) == {"count": 4, "least": 5}
    assert codes(gathered(tests[0], sample(6.0))[0]) == ["few_tests"]
    assert codes(gathered(sample(6.0))[0]) == ["one_reading"]
    assert codes(gathered(sample(6.0), sample(6.0, None))[0]) == ["basis_caution"]
    none, _ = gathered(sample(6.0, None), sample(6.0, None))
    assert none.basis == "not stated, taken as structural wall"


MEAN_LEAST, *_, STIFFNESS = RULES


def cautioned(*readings, design=0.25, system="US", rule=MEAN_LEAST):
    installed = Installed("P", tuple(map(Reading, readings)))
    basis = SimpleNamespace(basis=SimpleNamespace(system=system))
    decision = SimpleNamespace(
        installed=installed,
        built=True,
        tests=(),
        design=basis,
        design_thickness=design,
        rule=rule,
    )
    return {each.code.removeprefix("field."): dict(each.numbers) for each in _cautions(decision)}


def test_readings_far_from_the_design_and_under_it_are_said():
    """Half and twice a design of 0.25 in, 6.35 mm."""
    assert cautioned(6.35, 12.7) == {}
    assert "far_thickness" not in cautioned(12.7, 12.7)
    assert cautioned(12.8)["far_thickness"]["share"] == pytest.approx(12.8 / 6.35)
    assert "far_thickness" not in cautioned(3.175, 3.175)
    assert "far_thickness" in cautioned(3.1)
    low = cautioned(6.3, 6.0, 7.0)["readings_under"]
    assert low == {"low": 2, "count": 3, "design": pytest.approx(6.35), "least": 6.0}
    assert cautioned(5.9, 6.1, design=6.0, system="SI")["readings_under"]["low"] == 1


@pytest.mark.parametrize(
    ("passes", "required", "verdict"),
    [(True, 0.25, True), (True, 0.26, False), (False, 0.2, False)],
)
def test_a_check_passes_where_this_wall_and_every_thicker_one_do(passes, required, verdict):
    check = SimpleNamespace(
        required_thickness=required, passes=passes, station="9 ft", equation="X1.3"
    )
    result = SimpleNamespace(basis=SimpleNamespace(system="US"), nominal_thickness=0.25)
    found = _of_check("equation_least", check, result, "clock 3")
    assert found.passes is verdict
    assert (found.required, found.found) == pytest.approx((25.4 * required, 6.35))
    assert (found.unit, found.equation, found.by_rule) == ("mm", True, False)
    assert found.what == "X1.3 at 9 ft, least reading, clock 3"
    check.station = None
    assert _of_check("equation_mean", check, result, "").what == "X1.3 at the mean thickness"


# Ways to acceptance


def built(**more):
    need = {"thickness": 0.3, "properties": {}, "retention": None, "life_years": None}
    least = SimpleNamespace(
        basis=SimpleNamespace(system="US"),
        lowest_safety_factor=more.pop("factor", 0.9),
        checks=more.pop("checks", ()),
    )
    tolerated = more.pop("tolerated", ())
    needed = SimpleNamespace(**(need | {"ovality": None} | more))
    second = SimpleNamespace(required_thickness=0.2, nominal_thickness=0.25, governing="X1.1")
    carried = SimpleNamespace(needed=needed, tolerated=tolerated)
    return SimpleNamespace(carried=carried, least=least, second=second)


def listed(made=None, verdicts=(), met=False, tests=()):
    decision = SimpleNamespace(
        undecided=[each for each in verdicts if each.passes is None],
        shortfalls=[each for each in verdicts if each.passes is False],
        built=made,
        equations_met=met,
        tests=tests,
    )
    return [each.said for each in ways(decision)]


def test_rule_items_first_and_a_waiver_where_all_equations_pass():
    open_ = Verdict("modulus_mean", None, open=finding("field.not_tested"))
    short = Verdict("owner_minimum", False, 6.0, 5.25, "mm", by_rule=True)
    beside = Verdict("leg", False, 6.0, 5.0, "mm", numbers=(("equation", "X1.3"), ("at", "0 ft")))
    every = listed(built(), (open_, short, beside), met=True)
    assert len(every) == 3
    why = finding("field.not_tested").said
    assert every[0] == sentence("field.way_open", what=open_.what, why=why)
    bare = Verdict("modulus_mean", None)
    assert listed(None, (bare,)) == [sentence("field.way_open", what=bare.what, why="")]
    assert every[1] == "rule: owner's minimum thickness: 6.00 mm or more (found 5.25 mm)"
    assert every[2] == "equations: all pass as installed; the owner may waive the rule items"
    assert listed(built(), (), met=True) == []
    assert len(listed(None, (open_, short))) == 2


def test_each_equation_item_by_itself():
    """0.3 in are 7.62 mm, 0.2 and 0.25 in 5.08 and 6.35 mm."""
    assert listed(built()) == [
        "equation: least wall of 7.62 mm (0.3 in)",
        "second liner of the design's resin inside this one: required 5.08 mm (0.2 in), nominal "
        "6.35 mm (0.25 in), governed by X1.1; no support by the first liner",
    ]
    modulus = built(properties={"E": 300_000.0, "sigma": None})
    assert listed(modulus)[1] == (
        "equation: initial flexural modulus of 300,000 psi, shown by tests"
    )
    tested = SimpleNamespace(key="E", unit_in_question=False, mean=300_000.0)
    assert listed(modulus, tests=(tested,))[1] == (
        "equation: design revised to an initial flexural modulus of 300,000 psi, which the mean of "
        "the tests, 300,000 psi, reaches"
    )
    for changed in ({"mean": 299_999.0}, {"unit_in_question": True}):
        other = SimpleNamespace(**(vars(tested) | changed))
        assert listed(modulus, tests=(other,))[1].endswith("shown by tests")
    assert "equation: ovality of 1.50 % or less, shown by a survey" in listed(built(ovality=1.5))
    life = listed(built(retention=62.5, life_years=3.14))[1]
    assert "modulus retention of 62.5 % or more" in life
    assert "a life of 3.1 years" in life
    assert len(listed(built(retention=62.5))) == 2


def check(passes, factor=1.5, station=None):
    return SimpleNamespace(passes=passes, safety_factor=factor, station=station)


@pytest.mark.parametrize(
    ("factor", "checks", "said"),
    [
        (1.0, (), True),
        (0.99, (), False),
        (None, (), False),
        (1.5, (check(False),), True),
        (1.5, (check(False, None),), False),
        (1.5, (check(True, None),), True),
    ],
)
def test_a_safety_factor_may_be_agreed_from_one_on(factor, checks, said):
    """Not where a check without a factor fails."""
    station = SimpleNamespace(station=None, head=None, cover=None)
    found = listed(built(factor=factor, checks=checks, tolerated=(station,)))
    assert any("agreed by the owner" in each for each in found) is said


def test_head_and_cover_where_one_station_alone_is_short():
    def of(*stations, head=8.0, cover=None):
        allowed = [
            SimpleNamespace(
                station=each,
                head=SimpleNamespace(value=head, designed=10.0),
                cover=cover and SimpleNamespace(value=cover, designed=16.0),
            )
            for each in ("0 ft", "9 ft")
        ]
        checks = [check(each not in stations, station=each) for each in ("0 ft", "9 ft")]
        found = listed(built(tolerated=allowed, checks=checks))
        return [each for each in found if "measured" in each]

    assert of("9 ft") == [
        "equation: groundwater of 8.00 ft or less above the invert at 9 ft, as measured"
    ]
    assert of("9 ft", cover=12.0)[1] == (
        "equation: depth of cover of 12.00 ft or less at 9 ft, as measured"
    )
    assert of("0 ft", "9 ft") == []
    assert of("9 ft", head=10.0) == []
    assert of("9 ft", head=None) == []


# Samples of a project and of files


def given(**more):
    keys = ("specimen", "thickness_basis", "thicknesses", "thickness", *TESTED.values())
    return SimpleNamespace(**(dict.fromkeys(keys) | {"station": "3 m", "clock": "6"} | more))


def test_samples_of_a_project_one_for_each_reading():
    """A list of readings and one more; tests go with the first of them; 1 MPa is 145.038 psi."""
    walls = [parse(f"{wall} mm", "section") for wall in (6.0, 6.2)]
    many = given(
        thicknesses=walls,
        thickness=parse("0.25 in", "section"),
        modulus=parse("2000 MPa", "modulus"),
    )
    named = given(specimen="A", strength=parse("4500 psi", "modulus"), thickness_basis="whole wall")
    pipe = SimpleNamespace(name="P", sample=[many, named, given(thickness=walls[0])])
    found = list(_own(pipe))
    assert [each.specimen for each in found] == ["sample 1"] * 3 + ["A", "sample 3"]
    assert [each.thickness for each in found] == pytest.approx([6.0, 6.2, 6.35, None, 6.0])
    assert [each.modulus for each in found] == [pytest.approx(290_075.5), None, None, None, None]
    assert [each.strength for each in found] == [None, None, None, pytest.approx(4500), None]
    assert found[3].thickness_basis == "whole wall"
    assert {(each.pipe, each.station, each.clock) for each in found} == {("P", "3 m", "6")}


def test_rows_of_a_table_name_a_pipe_unless_there_is_but_one():
    one, two = SimpleNamespace(name="P"), SimpleNamespace(name="Q")
    rows = [Sample("", "1", place="t.csv, line 2"), Sample("Q", "2", place="t.csv, line 3")]
    faults = []
    assert [each.pipe for each in _of_table(rows, [two], faults)] == ["Q", "Q"]
    assert faults == []
    lost = [*rows, Sample("X", "3", place="t.csv, line 4"), Sample("X", "4", place="t.csv, line 5")]
    assert _of_table(lost, [one, two], faults) == lost
    texts = [str(each) for each in faults]
    assert len(texts) == 2
    assert texts[0].startswith("t.csv, line 2, column pipe")
    assert texts[1].startswith("t.csv, line 4, column pipe")
    assert '"P", "Q"' in texts[1]


def test_bending_tests_go_to_the_sample_of_their_specimen():
    samples = [sample(6.0, specimen="A"), sample(6.1, specimen="A"), sample(specimen="B")]
    other = Sample("Q", "C")
    both = [Sample("P", "D"), Sample("Q", "D")]
    tested_ = Sample("P", "E", strength=4500.0), Sample("P", "F", modulus=1.0)
    names = "ABXDEF"
    records = [SimpleNamespace(specimen=each, place=f"b.csv, line {each}") for each in names]
    results = [SimpleNamespace(specimen=each, modulus=2.0, strength=3.0) for each in names]
    faults = []
    every = [*samples, other, *both, *tested_]
    found = _with_tests(list(every), records, SimpleNamespace(specimens=results), faults)
    assert [(each.modulus, each.strength) for each in found[:4]] == [
        *((2.0, 3.0), (None, None), (2.0, 3.0), (None, None)),
    ]
    assert found[4:] == every[4:]
    texts = [str(each) for each in faults]
    assert [text.split(",")[1] for text in texts] == [f" line {each}" for each in "XDEF"]
    for each, text in zip("XDEF", texts, strict=True):
        assert text.startswith(f'b.csv, line {each}, specimen "{each}"')
    codes_ = [each.code for each in faults]
    assert codes_ == [*["measured.stray_specimen"] * 2, *["measured.tested_twice"] * 2]
