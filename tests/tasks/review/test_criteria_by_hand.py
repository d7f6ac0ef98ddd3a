"""What an owner's requirements take from a recheck, by hand; nothing is recomputed."""

from dataclasses import replace
from types import SimpleNamespace as Made

import pytest
from tasks.review.test_explain_by_hand import REQUIRED, C, P, T

from linerdesign.project.measures import Measure
from linerdesign.tasks.review import criteria
from linerdesign.tasks.review.criteria import MET, NOT_MET, NOT_SHOWN, Clause
from linerdesign.words import sentence


def test_a_nominal_thickness_over_the_required_one_shows_nothing_of_its_own():
    def follows(about, value, required):
        submittal = Made(item={"t_required": required}.get)
        return criteria._follows_from_required(
            Made(item=replace(about, value=value)), Made(submittal=submittal)
        )

    assert follows(T, 0.2, REQUIRED)
    assert follows(T, 0.19, REQUIRED)
    assert not follows(T, 0.18, REQUIRED)
    assert not follows(T, 0.2, None)
    assert not follows(C, 0.8, REQUIRED)


REQUIREMENTS = (*criteria.NAMED, "minimum_ovality")


def numbers(slip=None, touched=(), **found):
    made = criteria._Numbers(Made(**dict.fromkeys(REQUIREMENTS, "asked")), Made(**found))
    vars(made).update(_slip=slip, _touched=lambda name: touched)
    return made


def touched(about, right=True):
    return Made(item=about, calculated_right=right)


@pytest.mark.parametrize(
    ("requirement", "error"),
    [
        ("edition", "other-edition"),
        ("safety_factor", "safety-factor-omitted"),
        ("safety_factor", "safety-factor-1.5"),
        ("enhancement_factor", "enhancement-in-soil-buckling"),
        ("x1_2_strength", "short-term-strength"),
        ("minimum_ovality", "ovality-omitted"),
    ],
)
def test_an_error_found_is_the_breach_of_its_requirement(requirement, error):
    found = Made(names=("a", error), words="N was 1", explains=("C",))
    by_numbers = (sentence("review.by the numbers", words="N was 1"), NOT_MET, True)
    assert numbers(found, [touched(C)]).about(requirement) == by_numbers
    for other in {*REQUIREMENTS} - {requirement}:
        assert numbers(found, [touched(C)]).about(other)[1:] == (MET, False)


def test_what_the_numbers_show_of_a_requirement():
    """Numbers that a breach would change and that agree show that it is met."""
    assert numbers().about("edition") == ("no stated number depends on it", NOT_SHOWN, False)
    both = [touched(C), touched(REQUIRED, False)]
    assert numbers(None, both).about("edition") == (
        "required thickness would show it, and differs", NOT_SHOWN, False
    )  # fmt: skip
    assert numbers(None, both[:1]).about("edition") == ("shown by C", MET, False)
    error = Made(names=("a",), words="a", explains=("required_thickness",))
    assert numbers(error, both).about("edition") == (
        "shown by C, required thickness, apart from the error found", MET, False
    )  # fmt: skip
    elsewhere = Made(names=("a",), words="a", explains=("C",))
    assert numbers(elsewhere, both).about("edition")[1] == NOT_SHOWN


def test_one_complete_finding_alone_is_the_error_found():
    one, part = Made(complete=True), Made(complete=False)
    for findings, found in (((one,), one), ((part,), None), ((one, one), None), ((), None)):
        assert criteria._Numbers(None, Made(findings=findings))._slip is found


def test_a_number_is_touched_by_a_requirement_whose_breach_would_change_it(monkeypatch):
    """By more than its last digit either way, and by more than the 1 % that agree."""
    asked = []
    rows = [{"C": 0.8, "P": 5.0, "t": 0.2}] + [{"C": 0.8, "P": 5.0, "t": 0.2} for _ in REQUIREMENTS]
    valid = [True] * len(rows)

    def outcomes(case, alterations, wall):
        asked.append((case, alterations, wall))
        return Made(valid=valid, row=rows.__getitem__)

    errors = Made(breach=lambda case, name, value: f"{name} {value}")
    monkeypatch.setattr(criteria, "outcomes", outcomes)
    monkeypatch.setattr(criteria, "case_of", lambda task: f"case of {task}")
    monkeypatch.setattr(criteria, "standard", lambda: Made(errors=lambda: errors))

    def of(name, error=None, checked=True):
        stated = [Made(item=each) for each in (C, P, T)]
        found = Made(
            submittal=Made(theirs="theirs", item={"t_required": REQUIRED}.get),
            checked=checked,
            wall=0.2,
            comparisons=stated,
            tolerances=Made(agreement=0.01),
        )
        made = criteria._Numbers(Made(**dict.fromkeys(REQUIREMENTS, "asked")), found)
        vars(made)["_slip"] = error
        return [each.item.name for each in made._touched(name)]

    for place, name in enumerate(REQUIREMENTS, 1):
        rows[place]["C"] = 0.8101
        assert of(name) == ["C"]
        assert all(of(other) == [] for other in REQUIREMENTS if other != name)
        # 0.01 is twice half its last digit; of P 0.05 are 1 %.
        rows[place]["C"] = 0.7901
        assert of(name) == []
        rows[place].update(C=0.8, P=5.0499)
        assert of(name) == []
        rows[place]["P"] = 4.9499
        assert of(name) == ["P"]
        # Two halves of its last digit off is not beyond them.
        rows[0]["C"], rows[place]["C"] = 0.0, 0.01
        assert of(name) == ["P"]
        rows[0]["C"] = rows[place]["C"] = 0.8
        valid[place] = False
        assert of(name) == []
        valid[place], valid[0] = True, False
        assert of(name) == []
        valid[0] = True
        # Neither where one of the two has no such number, nor a wall that follows.
        del rows[place]["P"]
        rows[place]["t"] = 0.3
        assert of(name) == []
        rows[place].update(P=5.0, t=0.2)
    case, alterations, wall = asked[-1]
    assert (case, wall) == ("case of theirs", 0.2)
    assert alterations == [(), *((f"{name} asked",) for name in REQUIREMENTS)]
    of("edition", Made(alteration=("error",)), checked=None)
    assert asked[-1][1:] == (
        [("error",), *(("error", f"{name} asked") for name in REQUIREMENTS)], None
    )  # fmt: skip


def recheck(wall=0.2, step=0.05, floor=None, about=T, **checked):
    given = {"basis": Made(system="US"), "value": {"N": 2.0}.get, "checks": ()}
    given |= {"lowest_safety_factor": None}
    return Made(
        checked=Made(**(given | checked)) if wall else None,
        wall=wall,
        rounded_up_by_us=True,
        sized=Made(basis=Made(system="US"), value={"s": step, "t_floor": floor}.get),
        submittal=Made(item={"t": about}.get),
    )


OWNERS = Made(
    thickness_step=Measure(1.27, "mm", "1.27 mm"),
    origins={"thickness_step": Made(by_default=True)},
)
NONE = Made(thickness_step=None)


def test_a_wall_that_is_not_checked_shows_nothing():
    assert list(criteria._wall(OWNERS, NONE, recheck(None))) == [
        Clause("thickness", "adequate in every check", "-", NOT_SHOWN)
    ]


def test_the_minimum_thickness_is_asked_for_where_there_is_one():
    names = [each.name for each in criteria._wall(OWNERS, NONE, recheck(about=None))]
    assert names == []
    (floor,) = criteria._wall(OWNERS, NONE, recheck(about=None, floor=0.25))
    assert floor == Clause(
        "minimum thickness", "6.35 mm (0.25 in)", "5.08 mm (0.2 in) (rounded up by us)", NOT_MET
    )


@pytest.mark.parametrize(
    ("value", "half", "shown", "status"),
    [
        # In the unit of the step a number is what it says; in another it is rounded.
        (0.2, 0.0125, "5.08 mm (0.2 in)", MET),
        (0.21, 0.01, "5.334 mm (0.21 in)", MET),
        (0.21, 0.009, "5.334 mm (0.21 in)", NOT_MET),
        (0.2, 0.01251, "0.2 in: too few figures to tell", NOT_SHOWN),
    ],
)
def test_a_quarter_of_the_step_is_the_most_that_rounding_may_hide(value, half, shown, status):
    about = replace(T, value=value, half=half)
    (clause,) = criteria._step(OWNERS, NONE, recheck(about=about))
    assert clause == Clause(
        "thickness increment",
        sentence("review.of default", value="a multiple of 1.27 mm (0.05 in)"),
        shown,
        status,
        default=True,
    )


def test_the_step_of_the_resin_is_no_default():
    own = Made(thickness_step=Measure(0.05, "in", "0.05 in"))
    (clause,) = criteria._step(OWNERS, own, recheck())
    assert (clause.default, clause.submitted, clause.status) == (False, "0.2 in", MET)
    (off,) = criteria._step(OWNERS, own, recheck(about=replace(T, value=0.21, half=0.05)))
    assert off.status == NOT_MET
    assert list(criteria._step(OWNERS, own, recheck(step=None))) == []


def check(**more):
    given = {
        "equation": "DR limit",
        "station": "",
        "unit": "",
        "safety_factor": None,
        "passes": True,
    }
    return Made(**(given | {"upper": True, "demand": 45.0, "capacity": 100.0} | more))


def test_factors_and_limits_at_the_wall():
    """Factors are cut: 1.999 is 1.99; a check without any demand needs no clause."""
    checks = (
        check(passes=False),
        check(
            upper=False,
            unit="psi",
            station="9 ft",
            equation="stiffness",
            demand=0.093,
            capacity=0.2,
        ),
        check(demand=0.0),
        check(safety_factor=1.999, passes=True),
    )
    found = criteria._factors(recheck(checks=checks, lowest_safety_factor=1.999).checked, " (us)")
    assert list(found) == [
        Clause("safety factor provided", "2.00", "1.99 (us)", MET, answered=True),
        Clause("DR limit", "at most 100", "45", NOT_MET, answered=True),
        Clause("stiffness at 9 ft", "at least 0.093 psi", "0.2 psi", MET, answered=True),
    ]
    thin = recheck(checks=(check(safety_factor=1.9, passes=False),), lowest_safety_factor=1.9)
    assert [each.status for each in criteria._factors(thin.checked, "")] == [NOT_MET]


def test_numbers_of_a_limit_have_four_figures_and_noise_asks_for_nothing():
    made = check(demand=45.15556, capacity=100.04)
    (clause,) = criteria._factors(recheck(checks=(made,)).checked, "")
    assert (clause.required, clause.submitted) == ("at most 100", "45.16")
    for demand, asked in ((criteria.NOISE, 0), (1.5 * criteria.NOISE, 1)):
        noise = recheck(checks=(check(demand=demand),))
        assert len(list(criteria._factors(noise.checked, ""))) == asked


def measure(text):
    number, unit = text.split()
    return Measure(float(number), unit, text)


@pytest.mark.parametrize("by_pressure", [False, True])
@pytest.mark.parametrize("paper", ["report 7", "pending"])
def test_the_papers_that_are_asked_for(monkeypatch, by_pressure, paper):
    """Retentions over the usual 50 % and K over the usual 7 want a reason; a pressure wants its
    surge. Without pressure nothing tensile is asked for."""
    monkeypatch.setattr(criteria, "standard", lambda: Made(usual={"r_E": 50, "K": 7}))
    resin = Made(
        evidence=paper, flexural_modulus="E", flexural_strength="s", tensile_strength="T",
        modulus_retention=measure("50 %"), strength_retention=measure("51 %"),
        tensile_retention=measure("50.1 %"),
    )  # fmt: skip
    pipe = Made(evidence={"internal_pressure": "curves"})
    basis = Made(internal_pressure=by_pressure)
    found = Made(submittal=Made(ours=Made(basis=basis), pipe=pipe))

    def of(K, reason=""):
        owner = Made(enhancement_factor=K, enhancement_evidence=reason)
        made = criteria._evidence(owner, resin, found)
        return {e.name.removeprefix("evidence of "): (e.required, e.submitted, e.status)
                for e in made}  # fmt: skip

    status = MET if paper == "report 7" else NOT_SHOWN
    expected = {
        "flexural modulus": ("test report for E", paper, status),
        "flexural strength": ("test report for s", paper, status),
        "tensile strength": ("test report for T", paper, status),
        "modulus retention": ("50 %", paper, MET) if status == MET else
        ("50 %", "customary, at most 50 %", criteria.NOT_REQUIRED),
        "strength retention": ("51 %", paper, status),
        "tensile retention": ("50.1 %", paper, status),
        "internal pressure": ("working pressure and surge", "curves", MET),
    }  # fmt: skip
    if not by_pressure:
        expected = {k: v for k, v in expected.items() if not k.startswith(("tensile", "internal"))}
    assert of(7.0) == expected
    asked = "reason for K = 7.5, over 7"
    assert of(7.5, "model tests")["enhancement factor"] == (asked, "model tests", MET)
    assert of(7.5, "to follow")["enhancement factor"] == (asked, "to follow", NOT_SHOWN)
    pipe.evidence = {"internal_pressure": "tbd"}
    if by_pressure:
        assert of(7.0)["internal pressure"][1:] == ("tbd", NOT_SHOWN)
        pipe.evidence = {}
        assert of(7.0)["internal pressure"][1:] == ("-", NOT_SHOWN)


def test_floors_that_the_project_breaks_are_of_the_recheck(monkeypatch):
    monkeypatch.setattr(criteria, "broken_floors", lambda owner: [Made(text="N 1.5 under 2")])
    (made,) = criteria._floors(None)
    asked = sentence("review.as safe")
    assert made == Clause("owner's minimum", asked, "N 1.5 under 2", NOT_MET, of_recheck=True)


def test_limits_on_inputs_of_ours_and_of_theirs_each_once(monkeypatch):
    """Those that only they take are theirs to correct."""
    left = {"ours": ("H", "E"), "theirs": ("E", "w")}
    monkeypatch.setattr(criteria, "_beyond", lambda owner, task: left[task])
    found = Made(submittal=Made(ours="ours", theirs="theirs"))
    owner = Made(limits=Made(given={"least": 1}))
    asked = sentence("review.within limits")
    assert [tuple(vars(e).values())[:5] for e in criteria._limits(owner, found)] == [
        ("limit on an input", asked, "H", NOT_MET, True),
        ("limit on an input", asked, "E", NOT_MET, True),
        ("limit on an input", asked, "w", NOT_MET, False),
    ]
    for own, others in (((), ("w",)), (("H",), ())):
        left.update(ours=own, theirs=others)
        (only,) = criteria._limits(owner, found)
        assert (only.submitted, only.of_recheck) == ((own or others)[0], bool(own))
    left.update(ours=(), theirs=())
    (met,) = criteria._limits(owner, found)
    assert met == Clause("limits on inputs", asked, sentence("review.all within"), MET)
    assert list(criteria._limits(Made(limits=Made(given={})), found)) == []


@pytest.mark.parametrize(
    ("written", "shown", "status"),
    [("report 2026", "report 2026", MET), ("pending", "pending", NOT_SHOWN), ("", "-", NOT_SHOWN)],
)
def test_a_paper_is_named_or_what_is_written_in_its_place(written, shown, status):
    paper = written if criteria.is_evidence(written) else ""
    assert criteria._paper("modulus_retention", "51 %", paper, written) == Clause(
        "evidence of modulus retention", "51 %", shown, status
    )


def test_only_a_breach_that_nothing_else_says_is_one():
    broken = Clause("N", "2", "1", NOT_MET)
    assert broken.breach
    assert not replace(broken, answered=True).breach
    assert not replace(broken, default=True).breach
    assert not replace(broken, status=MET).breach


def test_an_ovality_of_nothing_is_no_minimum():
    """Half a percent is; a stated line comes before an input, and what is as much is enough."""
    inputs = Made(ovality=measure("0.5 %"))

    def told(least, line=None, stated=inputs):
        item = None if line is None else Made(value=line)
        found = Made(submittal=Made(stated=Made(inputs=stated), item={"q": item}.get))
        owner = Made(minimum_ovality=measure(f"{least} %"))
        shown = Made(about=lambda name: (f"by {name}", NOT_SHOWN, False))
        return list(criteria._ovality(owner, found, shown))

    assert told(0) == []
    assert told(0.5) == [Clause("minimum ovality", "0.5 %", "0.5 %", MET)]
    assert told(0.6) == [Clause("minimum ovality", "0.6 %", "0.5 %", NOT_MET)]
    assert told(0.6, 0.75) == [Clause("minimum ovality", "0.6 %", "0.75 %", MET)]
    by_numbers = [Clause("minimum ovality", "2 %", "by minimum_ovality", NOT_SHOWN)]
    assert told(2, stated=None) == told(2, stated=Made(ovality=None)) == by_numbers


def test_a_number_off_the_step_by_just_its_rounding_is_a_multiple():
    """An eighth off a step of half an inch, known to an eighth; and a millionth of the step where
    it is not rounded."""
    step = Measure(12.7, "mm", "12.7 mm")
    metric = Made(thickness_step=step, origins=OWNERS.origins)
    for value, status in ((0.625, MET), (0.6251, NOT_MET)):
        about = replace(T, value=value, half=0.125)
        (clause,) = criteria._step(metric, NONE, recheck(step=0.5, about=about))
        assert clause.status == status
    own = Made(thickness_step=Measure(0.05, "in", "0.05 in"))
    for off, status in ((4e-8, MET), (6e-8, NOT_MET)):
        about = replace(T, value=0.2 + off)
        (clause,) = criteria._step(OWNERS, own, recheck(about=about))
        assert clause.status == status
