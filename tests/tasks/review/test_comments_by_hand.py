"""Every sort of comment, from what a recheck might find, by hand; nothing is recomputed.

5.08 mm are 0.2 in; a safety factor is cut after two decimals.
"""

from types import SimpleNamespace as Made

import pytest

from linerdesign.project.measures import Measure
from linerdesign.tasks.review import comments as said
from linerdesign.tasks.review.coincidence import odds
from linerdesign.tasks.review.comments import (
    CORRECTION,
    QUESTION,
    REMARK,
    Comment,
    consequence,
    general_comments,
)
from linerdesign.tasks.review.criteria import MET, NOT_MET, NOT_SHOWN, Clause
from linerdesign.tasks.review.recheck import THICK, THIN, Tolerances
from linerdesign.tasks.review.replay import FOLLOWS
from linerdesign.tasks.review.submittal import Item
from linerdesign.words import sentence

CLOSE = "No error known to us explains it. Please show the calculation, or correct it."
OPEN = "The stated values do not show the cause. Please show the calculation, or correct it."


def item(name, text, key=None, unit="in", at=""):
    number, _, of = text.partition(" ")
    stated = Measure(float(number), of, text)
    value = stated.to(unit) if unit else stated.number
    return Item(name, key or name, stated, unit, value, 0.0005, at)


T = item("thickness", "0.2 in", "t", at="page 3")
REQUIRED = item("required_thickness", "0.19 in", "t_required")
C = item("C", "0.70", unit="")
N = item("N", "1.5", unit="")


def compared(about, **more):
    given = {"unit_meant": "", "with_their_inputs": None, "of_input": None, "of_calculation": None}
    given |= {"by_rounding": False, "recomputed": None, "difference": None, "agrees": True}
    return Made(item=about, **(given | {"calculated_right": True} | more))


def line(about, expected=None, cause="here"):
    return Made(item=about, expected=expected, cause=cause)


def explained(words, explains=("C",), place=1, **more):
    given = {"names": (words,), "said": (words,), "credible": True, "chance": 0.01}
    return Made(words=words, explains=explains, place=place, **(given | more))


def found(values=None, items=(T,), condition=None, inputs=("N",), other=(), **more):
    known = {"D": 8.0, "t_floor": 0.0} | (values or {})
    named = {each.key: each for each in items}
    submittal = Made(
        stated=Made(condition=condition),
        pipe=Made(condition="fully deteriorated"),
        items=items,
        item=named.get,
        is_input=lambda key: key in inputs,
        other_inputs=other,
    )
    sized = Made(
        basis=Made(system="US"),
        value=known.get,
        required_thickness=0.3,
        nominal_thickness=0.35,
    )
    comparisons = more.pop("comparisons", ())
    given = {
        "wall": 0.2,
        "verdict": None,
        "checked": object(),
        "too_thin": False,
        "leaves_no_bore": False,
        "rounded_up_by_us": False,
        "thin_by_default": False,
        "thin_by_rounding": False,
        "failing": (),
        "lined": None,
        "holds": False,
        "departures": (),
        "replay": (),
        "findings": (),
        "explanations": (),
        "own": None,
        "contradictions": (),
        "alternatives": (),
        "tolerances": Tolerances(),
        "comparison": lambda which: next((c for c in comparisons if c.item is which), None),
    }
    return Made(submittal=submittal, sized=sized, comparisons=comparisons, **(given | more))


def all_of(made, clauses=()):
    return said.comments(made, clauses)


# Units, bore, condition


def test_digits_in_another_unit_are_a_correction_of_a_thickness_and_else_a_question():
    """5.08 in with the digits of our 0.2 in, in mm."""
    wrong = item("thickness", "5.08 in", "t", at="page 3")
    made = found(comparisons=(compared(wrong, unit_meant="mm", with_their_inputs=0.2),))
    assert all_of(made) == (
        Comment(
            CORRECTION,
            "The stated thickness of 5.08 in has the digits of our 5.08 mm: the unit may be "
            "mistaken (in for mm). Please correct the unit.",
            "thickness",
            "page 3",
            "5.08 in",
        ),
    )
    own = compared(item("t X1.3", "0.2 mm", "t_X1_3"), unit_meant="in", with_their_inputs=0.2)
    (other,) = all_of(found(comparisons=(own,)))
    assert (other.weight, other.item) == (QUESTION, "t X1.3")
    assert "of our 0.2 in: the unit" in other.text


def test_a_wall_without_a_bore_and_another_condition():
    bare = found(leaves_no_bore=True, wall=5.0, condition="partially deteriorated")
    bore, condition = all_of(bare)
    assert bore == Comment(
        CORRECTION,
        "A wall of 127 mm (5 in) leaves no bore in a pipe of 203.2 mm (8 in) and was not checked. "
        "Please correct the thickness.",
        "thickness",
        "",
        "127 mm (5 in)",
    )
    assert condition == Comment(
        CORRECTION,
        sentence(
            "review.other condition", theirs="partially deteriorated", owner="fully deteriorated"
        ),
        "condition",
        "",
        "partially deteriorated",
        "fully deteriorated",
    )
    assert all_of(found(leaves_no_bore=True, wall=None, condition="fully deteriorated")) == ()


# Thin and thick walls


def check(**more):
    given = {"equation": "X1.3", "station": "9 ft", "required_thickness": 0.3}
    return Made(**(given | {"safety_factor": 1.999} | more))


def thin(clauses=(), **more):
    return said._thin(found(verdict=THIN, **more), clauses)


def test_a_thin_wall_names_its_checks():
    silent = check(equation="X1.2", station="", safety_factor=None, required_thickness=0.25)
    (made,) = thin(failing=(check(), silent))
    assert made == Comment(
        CORRECTION,
        "The thickness of 5.08 mm (0.2 in) is 2.54 mm (0.1 in) less than required by X1.3 at 9 ft "
        "(7.62 mm (0.3 in), safety factor provided 1.99), X1.2 (6.35 mm (0.25 in)). Please submit "
        "a wall of at least 8.89 mm (0.35 in), or show why less is sufficient.",
        "thickness",
        "page 3",
        "5.08 mm (0.2 in)",
        "8.89 mm (0.35 in)",
    )
    (by_us,) = thin(failing=(check(),), rounded_up_by_us=True, items=())
    assert "of 5.08 mm (0.2 in) (the stated required thickness, rounded up by us) is" in by_us.text
    assert by_us.at == ""
    for other in ({"verdict": THICK}, {"wall": None}, {"checked": None}):
        assert (
            list(said._thin(found(**({"verdict": THIN, "failing": (check(),)} | other)), ())) == []
        )


def test_a_wall_under_the_owners_minimum_alone():
    (made,) = thin(values={"t_floor": 0.25})
    assert made.text == (
        "The thickness of 5.08 mm (0.2 in) is less than the owner's minimum of 6.35 mm (0.25 in). "
        "Please submit a wall of at least 8.89 mm (0.35 in)."
    )
    assert made.weight == CORRECTION
    assert list(thin(values={"t_floor": 0.2})) == list(thin()) == []


def test_what_a_thin_wall_rests_on():
    limit = Clause("limit", "within", "beyond", NOT_MET, of_recheck=True)
    kept = Clause("limit", "within", "within", MET, of_recheck=True)
    theirs = Clause("limit", "within", "beyond", NOT_MET)
    outside = sentence("review.outside limits")
    assert next(thin((limit,), failing=(check(),))).text.endswith(outside)
    for clause in (kept, theirs):
        assert outside not in next(thin((clause,), failing=(check(),))).text
    dry = next(thin(failing=(check(),), thin_by_default=True))
    assert (dry.weight, dry.text) == (
        QUESTION,
        sentence("review.thin in dry case", wall="5.08 mm (0.2 in)", nominal="8.89 mm (0.35 in)"),
    )
    rounded = next(thin(failing=(check(),), thin_by_rounding=True))
    assert rounded.weight == QUESTION
    assert rounded.text.endswith(f"sufficient. {sentence('review.thin by rounding')}")


def test_a_thicker_wall():
    made = found(verdict=THICK, wall=0.4, rounded_up_by_us=True)
    assert all_of(made) == (
        Comment(
            REMARK,
            "The thickness of 10.16 mm (0.4 in) (the stated required thickness, rounded up by us) "
            "is 1.27 mm (0.05 in) more than our 8.89 mm (0.35 in). It passes every check.",
            "thickness",
            "",
            "10.16 mm (0.4 in)",
            "8.89 mm (0.35 in)",
        ),
    )
    assert all_of(found(verdict=THICK, wall=None)) == all_of(found(verdict=THIN)) == ()


def test_a_tube_that_does_not_serve_every_leg(monkeypatch):
    monkeypatch.setattr(
        said, "short_legs", lambda lined: [Made(said="at 0 ft"), Made(said="at 9 ft")]
    )
    monkeypatch.setattr(said, "proposal", lambda lined, system: f"A proposal in {system}.")
    tube = Made(passes=False, tube=Made(thickness=0.2))
    (made,) = all_of(found(lined=tube))
    assert made == Comment(
        CORRECTION,
        "A tube of 5.08 mm (0.2 in) does not serve every leg of the line: at 0 ft; at 9 ft. A "
        "proposal in US. Please submit a tube that serves every leg, or show why less is "
        "sufficient.",
        "thickness",
        "",
        "5.08 mm (0.2 in)",
    )
    passing = Made(passes=True, tube=tube.tube)
    assert all_of(found(lined=passing)) == all_of(found(lined=tube, wall=None)) == ()


# What lines that do not follow come to


@pytest.mark.parametrize(
    ("required", "too_thin", "lines", "verdict", "weight"),
    [
        # Too small a thickness of their own, beside a thin wall, an adequate one, or none.
        (-0.1, True, [C], THIN, CORRECTION),
        (-0.1, False, [C], "adequate", QUESTION),
        (0.1, True, [C], THIN, QUESTION),
        (0.1, True, [T], THIN, CORRECTION),
        (0.1, False, [C], "adequate", REMARK),
        (0.1, False, [C], None, QUESTION),
        (0.0, True, [C], THIN, QUESTION),
        (None, True, [C], THIN, QUESTION),
    ],
)
def test_errors_weigh_by_what_they_do_to_the_wall(required, too_thin, lines, verdict, weight):
    told = compared(REQUIRED, calculated_right=required is None, of_calculation=required)
    made = found(items=(T, REQUIRED), comparisons=(told,), too_thin=too_thin, verdict=verdict)
    assert consequence(made, [line(each) for each in lines]) == weight


def test_without_a_required_thickness_a_thin_wall_is_a_correction():
    assert consequence(found(too_thin=True, verdict=THIN), [line(C)]) == CORRECTION
    right = compared(REQUIRED, calculated_right=True, of_calculation=-0.1)
    agreed = found(items=(REQUIRED,), comparisons=(right,), too_thin=True, verdict=THIN)
    assert consequence(agreed, [line(C)]) == QUESTION


FIRST, SECOND = line(C, 0.84), line(N, 2.0)
LATER = (
    line(item("q_t", "9 psi", unit=""), 8.0, FOLLOWS) if False else line(REQUIRED, 0.18, FOLLOWS)
)


def departed(*lines, **more):
    given = {"departures": lines, "replay": (*lines, LATER), "verdict": "adequate"}
    return all_of(found(**(given | more)))


def test_a_line_is_told_beside_what_its_own_values_give():
    """0.70 over 0.84 is 16.7 % less."""
    (made,) = departed(FIRST)
    assert made == Comment(
        REMARK,
        f"Stated C: 0.70; your preceding values give 0.840 (-16.7 %). {CLOSE} "
        f"{sentence('review.no effect')}",
        "C",
        "",
        "0.70",
        "0.840",
    )
    (made,) = departed(FIRST, verdict=None, explanations=(explained("x", chance=0.3),))
    assert made.weight == QUESTION
    assert made.text.endswith(f"{OPEN} These lines follow from it: required thickness.")
    (alone,) = departed(FIRST, replay=(FIRST,))
    assert "; we compute 0.840 (-16.7 %)." in alone.text
    (unknown,) = departed(line(item("C", "0.70", unit="", at="page 2")))
    assert unknown.text.startswith("Stated C (page 2): 0.70; our calculation has no such line.")
    assert (unknown.at, unknown.ours) == ("page 2", "")
    (none,) = departed(line(C, 0.0))
    assert "give 0.000 (" in none.text


def test_an_input_is_the_owners():
    owner, other = departed(SECOND, FIRST)
    assert owner.text.startswith("Stated N: 1.5; the owner's value is 2.00 (-25.0 %). Please use")
    assert other.item == "C"


def test_a_value_in_another_unit_is_no_further_departure():
    wrong = line(T, 0.25)
    mistaken = compared(T, unit_meant="mm", with_their_inputs=0.2)
    unit, other = departed(wrong, FIRST, comparisons=(mistaken,))
    assert "has the digits of" in unit.text
    assert other.item == "C"


def test_four_lines_are_three_and_a_count():
    lines = [line(item(f"C{n}", "0.70", "C", ""), 0.84) for n in range(5)]
    (made,) = departed(*lines)
    assert "Stated C2: 0.70" in made.text
    assert "Stated C3" not in made.text
    assert "Further lines that do not follow: 2." in made.text
    (three,) = departed(*lines[:3])
    assert "Further lines" not in three.text


def test_contradictions_of_a_line_stand_with_it():
    twice = Made(items=("C",), text="C is stated twice.", unsafe=False)
    loads = Made(items=("q_t",), text="The loads differ.", unsafe=False)
    line_, other = sorted(
        departed(FIRST, contradictions=(twice, loads)), key=lambda c: c.item != "C"
    )
    assert "C is stated twice. No error" in line_.text
    assert other == Comment(REMARK, "The loads differ. Please clarify.", "q_t", "", "")


def test_what_explains_a_line():
    one = [explained("K was 8")]
    (made,) = departed(FIRST, findings=one)
    assert "The stated value results if K was 8. Please correct it, or explain." in made.text
    both = [explained("K was 8", ("C", "D"))]
    (made,) = departed(FIRST, line(item("D", "0.5", unit=""), 0.6), findings=both)
    assert "The stated values result if K was 8. Please correct them" in made.text
    explained_, rest = departed(FIRST, line(item("D", "0.5", unit=""), 0.6), findings=one)
    assert (explained_.item, rest.item) == ("C", "D")


def test_errors_of_equal_rank(monkeypatch):
    told = []
    monkeypatch.setattr(said, "telling_apart", lambda first, system: told.append((first, system)))
    words = [explained(f"{n}") for n in range(4)]
    (made,) = departed(FIRST, findings=words)
    assert (
        " The stated value results if 0; or if 1; or if 2. Further errors on our list with the "
        "same result: 1. The stated values do not tell these apart; please show the steps."
    ) in f" {made.text}"
    assert told == [(words[:3], "US")]
    monkeypatch.setattr(said, "telling_apart", lambda first, system: " Tell K.")
    (made,) = departed(FIRST, findings=words[:3])
    assert "2. Tell K." in made.text.replace("or if 2.", "2.")
    assert "Further errors" not in made.text


OWN = Made(equation="X1.3", over=(("X1.1", 0.3), ("X1.4", 0.35)))
SHORT = line(REQUIRED, 0.3)
OWN_TEXT = (
    "It is what X1.3 alone requires; X1.1 (7.62 mm (0.3 in)), X1.4 (8.89 mm (0.35 in)) is not "
    "shown, and any error that brings it below X1.3 results in this number."
)
STATE = " Please state t X1.1 and t X1.4, and correct the calculation."


def test_the_number_of_another_check():
    (made,) = departed(SHORT, own=OWN)
    assert made.text.startswith("Stated required thickness: 0.19 in; your preceding values give")
    assert OWN_TEXT + STATE in made.text
    ways = [explained(f"{n}", ("t",)) for n in range(4)] + [explained("two", place=2)]
    (made,) = departed(SHORT, own=OWN, explanations=ways)
    assert (
        f"{OWN_TEXT} The stated value results if 0; or if 1; or if 2. Further errors on our list "
        f"with the same result: 1.{STATE}"
    ) in made.text
    (made,) = departed(SHORT, own=OWN, explanations=ways[1:4])
    assert "Further errors" not in made.text


def test_what_all_explanations_share_is_told_of_the_other_lines():
    def rest(*explanations):
        own, other = departed(SHORT, FIRST, own=OWN, explanations=explanations)
        assert own.item == "required_thickness"
        return other.text

    a = explained("a", names=("K", "N"), said=("K was 8", "N was 1.5"))
    b = explained("b", names=("N", "C"), said=("no", "no"))
    assert "The stated value results if N was 1.5. Please" in rest(a, b)
    assert "results if K was 8 and, in addition, N was 1.5." in rest(a)
    apart = explained("c", names=("E",), said=("no",))
    assert OPEN in rest(a, apart)
    assert OPEN in rest(explained("d", ("D",)))
    later = explained("e", names=("E",), said=("no",), place=2)
    unlikely = explained("f", names=("E",), said=("no",), credible=False)
    assert "in addition, N was 1.5." in rest(a, later, unlikely)
    assert CLOSE in rest()


def alternative(key, away, plausible=True):
    return Made(
        key=key, value=9.0006, now=8.0006, why="why", plausible=plausible, away=away, of="thickness"
    )


def test_inputs_that_would_give_a_thickness():
    others = [
        alternative(key, away)
        for key, away in zip(("q", "N", "K", "H", "nu", "C"), range(6), strict=True)
    ]
    (made, *_) = departed(line(T, 0.25), verdict=None, alternatives=(*others[::-1],))
    values = made.text.partition("would result from ")[2].split("; or from ")
    assert [each.partition(" =")[0] for each in values] == ["q", "N", "K", "H", "nu"] or len(
        values
    ) == 5
    assert values[0].startswith("q = 9.001 % in place of 8.001 % (why)")
    assert values[1].startswith("N = 9.001 in place of 8.001 (why)")
    assert "The stated thickness would result from" in made.text
    for quiet in (
        departed(line(T, 0.25), alternatives=others),
        departed(FIRST, verdict=None, alternatives=others),
        departed(line(T, 0.25), verdict=None, alternatives=(alternative("q", 0, False),)),
    ):
        assert not any("would result" in each.text for each in quiet)
    open_ = departed(line(T, 0.25), verdict=None, alternatives=(alternative("q", 0, None),))
    assert "would result from q = 9.001" in open_[0].text


def test_a_possibility_is_asked_about_where_few_numbers_would_find_it():
    def asked(*explanations, **more):
        given = {"verdict": None, "explanations": explanations}
        return [
            c for c in departed(FIRST, **(given | more)) if c.text.startswith("It would result")
        ]

    (one,) = asked(explained("K was 8", chance=0.25))
    assert one == Comment(
        QUESTION, "It would result if K was 8. Is this the case?", "C", "", "0.70"
    )
    (two,) = asked(explained("K was 8"), explained("N was 1"), explained("no", place=2))
    assert two.text.endswith(sentence("review.more errors", count=1))
    assert len(asked(explained("K was 8", chance=None))) == 1
    assert asked(explained("K was 8", chance=0.2501)) == asked(explained("x", place=2)) == []
    assert asked(explained("K was 8"), verdict="adequate") == []


# Contradictions, inputs, requirements


@pytest.mark.parametrize(
    ("unsafe", "too_thin", "verdict", "weight"),
    [
        (True, True, THIN, CORRECTION),
        (True, False, None, CORRECTION),
        (True, False, "adequate", QUESTION),
        (False, True, THIN, QUESTION),
        (False, False, None, QUESTION),
        (False, False, "adequate", REMARK),
    ],
)
def test_a_contradiction_weighs_by_its_side_and_the_wall(unsafe, too_thin, verdict, weight):
    made = Made(items=("thickness",), text="Two walls.", unsafe=unsafe)
    told = said._contradictions(found(contradictions=(made,), too_thin=too_thin, verdict=verdict))
    assert list(told) == [
        Comment(weight, "Two walls. Please clarify.", "thickness", "page 3", "0.2 in")
    ]


def test_other_inputs_and_what_they_change():
    def about(*shares, **more):
        told = tuple(
            compared(each, of_input=share)
            for each, share in zip((REQUIRED, C, N), shares, strict=False)
        )
        return next(said._inputs(found(other=("cover", "host_diameter"), comparisons=told, **more)))

    names = "The calculation uses values other than the owner's of: cover, host diameter."
    assert about(-0.1, 0.05, 1e-6, too_thin=True) == Comment(
        CORRECTION,
        f"{names} This alone changes required thickness -10.0 %; C +5.0 %."
        f"{sentence('review.use owner' + chr(39) + 's')}",
        "cover",
    )
    assert about(-0.1).weight == about(0.1, -0.1, too_thin=True).weight == QUESTION
    none = about(None, 0.0, 1e-6, too_thin=True)
    assert (none.weight, none.text.startswith(f"{names} Please use")) == (REMARK, True)
    assert list(said._inputs(found())) == []


def test_only_their_own_breaches_are_corrections():
    clauses = [
        Clause("safety factor", "2", "1.5", NOT_MET),
        Clause("limit", "within", "beyond", NOT_MET, of_recheck=True),
        Clause("K", "7", "7", MET),
    ]
    (made,) = said._requirements(tuple(clauses))
    assert made == Comment(
        CORRECTION,
        "Owner's requirement, safety factor: required 2, submitted 1.5. Please comply.",
        "safety factor",
        "",
        "1.5",
        "2",
    )


def test_that_all_agrees_is_said_where_nothing_is_open():
    def agreed(*comparisons, **more):
        return [each.text for each in all_of(found(holds=True, comparisons=comparisons, **more))]

    usual = Tolerances().agreement
    plain = sentence("review.agreed")
    assert agreed() == agreed(compared(C, difference=-usual)) == [plain]
    assert agreed(compared(C, difference=9.0, agrees=False)) == [plain]
    wide = Tolerances(agreement=0.05)
    assert agreed(compared(C, difference=-1.01 * usual), tolerances=wide) == [
        sentence("review.agreed within", tolerance="5")
    ]
    coarse = compared(C, by_rounding=True, recomputed=0.836, difference=-0.043)
    assert agreed(coarse) == [
        "Rounded too coarsely to confirm: C 0.70 (0.836, -4.3 %). Three figures are sufficient.",
        sentence("review.agreed as rounded"),
    ]
    assert plain not in agreed(condition="partially deteriorated")
    assert plain not in agreed(departures=(FIRST,), replay=(FIRST,), verdict="adequate")
    assert all_of(found()) == ()


# General comments


def test_general_comments_name_the_pipes_that_they_are_not_about_all_of():
    def shown(name, status=NOT_SHOWN, **more):
        return Clause(name, "2", "3", status, **more)

    everywhere, here = shown("evidence"), shown("report")
    other = shown("K", NOT_MET, default=True)
    reviewed = [
        ("A", (everywhere, here, shown("N"), other, shown("x", default=True), shown("y", MET))),
        ("B", (everywhere, shown("N"), shown("K", NOT_MET, default=True, answered=True))),
        ("C", (everywhere, shown("K", NOT_MET))),
    ]
    assert general_comments(reviewed) == (
        Comment(
            QUESTION,
            "Not shown in the submittal: evidence (2); report (2) for A; N (2) for A, B. Please "
            "provide.",
        ),
        Comment(
            QUESTION,
            sentence("review.other than default", names="K (2, submitted 3) for A"),
        ),
    )
    assert general_comments([("A", (shown("y", MET),))]) == ()


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.95, "nearly all"),
        (0.949, "9 in 10"),
        (0.4, "4 in 10"),
        (0.399, "1 in 3"),
        (0.07, "1 in 14"),
        (0.001, "1 in 1000"),
        (0.00099, "fewer than 1 in 1000"),
    ],
)
def test_odds_as_people_say_them(share, words):
    assert odds(share) == words


def test_what_is_carried_on_comes_after_the_line_that_departs():
    """N comes before C and follows by itself; the thickness follows from the C stated."""
    before, first = line(N, 1.5, FOLLOWS), line(C, 0.8)
    after, other = line(REQUIRED, 0.19, FOLLOWS), line(T, 0.25)
    made = said._comment(found(replay=[before, first, after, other]), [first], "", CORRECTION)
    carried = sentence("review.carried on", lines="required thickness").strip()
    assert made.text.endswith(carried)
    alone = said._comment(found(replay=[before, first]), [first], "", CORRECTION)
    assert "follow from it" not in alone.text


def test_an_error_is_named_that_explains_these_lines_and_perhaps_others():
    def told(explains, *lines):
        error = Made(
            place=1, credible=True, explains=explains, names=("a",), said=("q was left out",)
        )
        return said._in_common(found(explanations=(error,)), [line(each) for each in lines])

    words = {"words": "q was left out"}
    assert told(("C", "N"), C) == told(("C",), C) == sentence("review.results if", **words)
    assert told(("C", "N"), C, N) == sentence("review.result if", **words)
    assert told(("C",), C, N) == told(("N",), C) == ""
