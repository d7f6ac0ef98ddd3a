"""How explanations are scored, ranked and told apart, by hand; nothing is recomputed."""

from dataclasses import replace
from math import exp, inf, log
from types import SimpleNamespace as Made

import numpy as np
import pytest

from linerdesign.project.measures import Measure
from linerdesign.tasks.review import explain
from linerdesign.tasks.review.explain import Explanation, Search, main_item, reproduced
from linerdesign.tasks.review.submittal import Item


def item(name, value, key=None, half=0.005):
    stated = Measure(value, "in", f"{value:g} in")
    return Item(name, key or name, stated, "in", value, half)


T, REQUIRED = item("thickness", 0.2, "t"), item("required_thickness", 0.19, "t_required")
C, P = item("C", 0.8), item("P", 5.0)


def slip(name="a", weight=1.0):
    return Made(name=name, weight=weight)


def explanation(name="a", fit=0.0, explains=("C",), expected=None, complete=True, **more):
    given = {
        "slips": (slip(name),),
        "said": (name,),
        "values": {"t_required": 0.19},
        "alteration": (),
        "expected": {"C": 0.8} if expected is None else expected,
        "exact": True,
    }
    return Explanation(**(given | {"fit": fit, "explains": explains, "complete": complete} | more))


def test_few_arbitrary_numbers_make_a_finding():
    """One in ten for one error, one in fifty for two; no chance at all is none against it."""
    one, two = explanation(), explanation(slips=(slip("a"), slip("b")), said=("a", "b"))
    assert one.credible
    for each, edge in ((one, 0.10), (two, 0.02)):
        assert replace(each, chance=edge).credible
        assert not replace(each, chance=1.001 * edge).credible
    assert (two.names, two.words) == (("a", "b"), "a and, in addition, b")


def test_the_likeliest_come_first_and_the_alike_share_a_place():
    """A part in 5,000 apart is alike; seven worse is not worth showing."""
    best, alike = explanation("a", 0.0), explanation("b", -1.0, expected={"C": 0.8 * 1.00019})
    other = explanation("c", -2.0, expected={"C": 0.8 * 1.00021})
    edge, far = explanation("d", -7.0), explanation("e", -6.99, expected={"C": 0.9})
    pair = explanation("f", -0.5, slips=(slip("a"), slip("b")))
    placed = explain._placed([far, edge, other, alike, best, pair])
    assert [(each.said[0], each.place) for each in placed] == [
        ("a", 1),
        ("b", 1),
        ("f", 2),
        ("c", 3),
        ("e", 4),
    ]
    assert explain._placed([]) == ()
    many = [explanation(str(n), -0.1 * n, expected={"C": float(n + 1)}) for n in range(20)]
    assert [each.place for each in explain._placed(many)] == list(range(1, 13))


def test_those_that_explain_most_lines():
    one, two = explanation("a"), explanation("b", explains=("C", "P"))
    assert explain._most([one, two, one]) == [two]
    assert explain._most([one, one]) == [one, one]
    assert explain._most([]) == []


@pytest.mark.parametrize(
    ("made", "weight"),
    [
        ([(1.0, 0)], 1.0),
        ([(0.5, 0)], 0.5),
        # Another way of an error is taken as 0.7 of the usual, a second error as e^-1.5.
        ([(0.5, 1)], 0.5 * 0.7),
        ([(0.5, 0), (0.4, 2)], 0.5 * 0.4 * 0.7 * exp(-1.5)),
    ],
)
def test_the_weight_of_errors_is_a_logarithm(made, weight):
    errors = [Made(slip=slip(weight=each), place=place) for each, place in made]
    assert explain._weight(errors) == pytest.approx(log(weight))


def test_the_chance_of_two_errors_in_lines_of_their_own_is_the_product():
    a, b = explanation("a"), explanation("b", explains=("P",))
    both = explanation(slips=(slip("a"), slip("b")), explains=("C", "P"))
    chances = {id(a): 0.1, id(b): 0.2, id(both): 0.5}
    search = Made(chance=lambda each: chances[id(each)])
    assert explain._chance(search, both, [a, b]) == pytest.approx(0.02)
    chances[id(a)] = None
    assert explain._chance(search, both, [a, b]) == 0.2
    assert explain._chance(search, both, [b]) == 0.5
    assert explain._chance(search, b, [a, b]) == 0.2
    # Of one error alone chance may have no part at all.
    assert explain._chance(search, a, [a, b]) is None
    shared = explanation("b", explains=("C", "P"))
    assert explain._chance(search, both, [a, shared]) == 0.5


def search(*items, departed=None, **case):
    made = Search(Made(**case), items, 0, "", None)
    vars(made)["departed"] = np.array(departed or [True] * len(items))
    return made


@pytest.mark.parametrize(
    ("value", "score"),
    [
        # Half a digit is 0.005 of 0.8; what is over it counts in shares of 0.2 %.
        (0.8, 0.0),
        (0.8049, 0.0),
        (0.7951, 0.0),
        (0.805 + 0.8 * 0.002, -4 - 0.5),
        (0.795 - 0.8 * 0.004, -4 - 2.0),
        (0.805 + 0.8 * 0.0059, -4 - 0.5 * 2.95**2),
        (0.805 + 0.8 * 0.00601, -inf),
    ],
)
def test_a_number_fits_to_its_last_digit_or_less(value, score):
    found = search(C)._score(C, {"C": value}, {})
    assert found == pytest.approx(score, abs=1e-9)


def test_the_edge_of_the_last_digit_is_within_it():
    exact = replace(C, value=0.75, half=0.25)
    assert search(exact)._score(exact, {"C": 1.0}, {}) == 0.0


def test_of_many_lines_none_is_too_far_off():
    many = search(*[C] * explain.MANY_LINES)
    assert many._score(C, {"C": 0.9}, {}) == -4 - 7
    few = search(*[C] * (explain.MANY_LINES - 1))
    assert few._score(C, {"C": 0.9}, {}) == -inf


def test_a_wall_submitted_as_computed_is_set_beside_the_required_one():
    """0.2 in beside a wall of 0.25 in with the errors, and a required one of 0.203 in."""
    assert search(T)._score(T, {"thickness": 0.25}, {"t_required": 0.203}) == 0.0
    assert search(T)._score(T, {"thickness": 0.205}, {"t_required": 0.3}) == 0.0
    found = explanation(expected={"thickness": 0.25, "C": 0.9})
    assert reproduced(found, T) == 0.19
    assert reproduced(found, C) == 0.9
    near = explanation(expected={"thickness": 0.2049})
    assert reproduced(near, T) == 0.2049
    # Just half a last digit off is the number itself: 0.25 and 0.375 by 0.125.
    coarse, edge = replace(T, value=0.25, half=0.125), explanation(expected={"thickness": 0.375})
    assert reproduced(edge, coarse) == 0.375
    assert search(coarse)._score(coarse, {"thickness": 0.375}, {"t_required": 9.0}) == 0.0


def test_the_way_that_explains_most_and_fits_best_is_kept():
    made = search(C)
    a, better = explanation("a", -2.0), explanation("a", -1.0)
    assert made._best([a, better]) == made._best([better, a]) == [better]
    part = explanation("a", 0.0, complete=False)
    more = explanation("a", -9.0, explains=("C", "P"))
    assert made._best([better, part]) == [better]
    assert made._best([better, more, explanation("b")]) == [more, explanation("b")]
    pair = explanation(slips=(slip("b"), slip("a")))
    turned = explanation(slips=(slip("a"), slip("b")))
    assert made._best([pair, turned]) == [pair]


def test_a_nominal_thickness_alone_is_plainly_rounded_down():
    down = (Made(slip=slip("rounded-down")),)
    assert search(T, REQUIRED, departed=[True, False])._plainly(down)
    assert not search(T, REQUIRED, departed=[True, True])._plainly(down)
    assert not search(T, C, departed=[True, False])._plainly(down)
    assert not search(T, REQUIRED, departed=[True, False])._plainly((Made(slip=slip("b")),))


def test_an_explanation_is_about_the_thickness_where_it_gives_that():
    items = (C, T, REQUIRED)
    assert (
        main_item(explanation(explains=("C", "thickness", "required_thickness")), items) is REQUIRED
    )
    assert main_item(explanation(explains=("C", "thickness")), items) is T
    assert main_item(explanation(explains=("x", "C")), items) is C
    assert main_item(explanation(explains=()), (P, C)) is P


def test_chance_has_no_part_in_a_wall_rounded_down_beside_the_required_one(monkeypatch):
    monkeypatch.setattr(
        Search, "_share", lambda self, each, about: {"C": 0.3, "P": 0.4}.get(about.name, 0.1)
    )
    down = explanation("rounded-down", explains=("thickness",))
    assert search(T, REQUIRED).chance(down) is None
    assert search(T).chance(down) == 0.1
    assert search(T, REQUIRED).chance(explanation("b", explains=("thickness",))) == 0.1
    assert search(C, P).chance(explanation(explains=("C", "P"))) == 0.4
    assert search(replace(C, value=0.0)).chance(explanation()) is None
    zero = replace(P, value=0.0)
    assert search(C, zero).chance(explanation(explains=("C", "P"))) == 0.3


def test_checks_that_neither_side_shows_are_left_out(monkeypatch):
    checks = [Made(required=f"t_X1_{n}") for n in (1, 3, 4)]
    monkeypatch.setattr(explain, "checks_of", lambda basis: checks)
    shown = search(item("t X1.1", 0.2, "t_X1_1"), basis="basis")
    assert shown._left_out({"t_X1_1": 0.2}) == 2
    assert shown._left_out({"t_X1_1": 0.2, "t_X1_3": 0.1}) == 1
    assert search(C, basis="basis")._left_out({}) == 0


@pytest.mark.parametrize(
    ("pair", "both"),
    [
        # A part in 5,000 from what the first or the second gives alone is no other number.
        ((0.8 * 1.00019, 5.0), False),
        ((0.9 / 1.00019, 6.0), False),
        ((0.8 * 1.00021, 5.0), True),
        ((0.8, 5.0 * 1.00021), True),
        # The part is one of what both errors give.
        ((0.8 * 1.00020002, 5.0), False),
        ((0.7, 6.0), True),
        ((np.nan, 1e-9), False),
        ((np.nan, 2e-9), True),
    ],
)
def test_two_errors_matter_where_they_give_another_number_than_either(pair, both):
    one, other, third = (Made(change=each) for each in "abc")
    made = search(C, P)
    vars(made).update(
        made=(third, one, other),
        two=[(third, one), (one, other)],
        coarse_one=Made(expected=np.array([[np.nan, 1e-9], [0.8, 5.0], [0.9, 6.0]])),
        coarse_two=Made(expected=np.array([pair, pair])),
    )
    if np.isnan(pair[0]):
        assert made._both_matter(0) is both
    else:
        assert made._both_matter(1) is both


def test_lines_depart_that_do_not_follow_in_the_right_calculation(monkeypatch):
    def replays(case, items, alterations, worst, style):
        assert (case, items, alterations) == (made.case, (C, P), [()])
        assert (worst.tolist(), style) == ([3], "cut")
        return Made(follows=np.array([[True, False]]))

    monkeypatch.setattr(explain, "replays", replays)
    made = Search(Made(), (C, P), 3, "cut", None)
    assert made.departed.tolist() == [False, True]


def test_errors_are_made_in_the_calculation_with_the_pressure_that_is_stated(monkeypatch):
    errors = Made(made_in=lambda case, pressure: (case, pressure))
    monkeypatch.setattr(explain, "standard", lambda: Made(errors=lambda: errors))
    bare, pressed = search(C), search(C, item("P", 80.0, "P_i"))
    assert (bare.made, pressed.made) == ((bare.case, None), (pressed.case, 80.0))


def test_two_errors_are_of_different_topics_in_the_order_in_which_they_are_made():
    a, b, c = (
        Made(name=name, slip=Made(topic=topic, stage=stage))
        for name, topic, stage in (("a", "C", 3), ("b", "P", 0), ("c", "C", 1))
    )
    made = search(C)
    vars(made)["made"] = (a, b, c)
    assert [tuple(each.name for each in pair) for pair in made.two] == [("b", "a"), ("b", "c")]


@pytest.mark.parametrize(
    ("items", "stations", "worst"),
    [
        ((T, REQUIRED), ("0 ft", "9 ft"), [1, 0]),
        ((T,), ("0 ft", "9 ft"), [1, 0]),
        ((T, C), ("0 ft", "9 ft"), [0, 0]),
        ((T,), (None,), [0, 0]),
    ],
)
def test_a_thickness_is_of_the_station_that_governs_with_the_errors_in_it(
    monkeypatch, items, stations, worst
):
    made = search(*items, stations=stations)
    tried = [(Made(change="a"), Made(change="b")), (Made(change="c"),)]
    changes = [("a", "b"), ("c",)]

    def outcomes(case, alterations):
        assert (case, alterations) == (made.case, changes)
        return Made(worst=np.array([1, 0]))

    def replays(case, items_, alterations, worst_, style, coarse):
        assert (case, items_, alterations, style) == (made.case, items, changes, "")
        assert worst_.tolist() == worst
        return ("replays", coarse)

    monkeypatch.setattr(explain, "outcomes", outcomes)
    monkeypatch.setattr(explain, "replays", replays)
    assert made._replays(tried) == ("replays", False)
    vars(made).update(made=("x",), two=[("x", "y")])
    monkeypatch.setattr(Search, "_replays", lambda self, tried, coarse: (tried, coarse))
    assert made.coarse_one == ([("x",)], True)
    assert made.coarse_two == ([("x", "y")], True)


CASE = Made()


def test_pairs_are_sought_where_no_error_alone_explains_everything(monkeypatch):
    whole, part = explanation("a"), explanation("b", complete=False)
    pair, half = explanation("c"), explanation("d", complete=False)
    more = explanation("e", complete=False, explains=("C", "P"))
    known = {"departed": np.array([True]), "singles": [part, whole], "tried": [pair, half]}

    def best(self, found):
        return list(found)

    monkeypatch.setattr(Search, "departed", property(lambda self: known["departed"]))
    monkeypatch.setattr(Search, "singles", lambda self: known["singles"])
    monkeypatch.setattr(Search, "_near", lambda self: "near")
    monkeypatch.setattr(Search, "_allowed", lambda self, tried: known["tried"] * (tried == "near"))
    monkeypatch.setattr(Search, "_best", best)

    def chance(about, each, singles):
        assert (about.case, about.items) == (CASE, (C,))
        assert (about.station, about.style, about.wall) == (3, "cut", 0.2)
        assert isinstance(each, explain.Explanation)
        return len(singles) / 100

    monkeypatch.setattr(explain, "_chance", chance)

    def found(*items):
        return [
            (each.said[0], each.place, each.chance)
            for each in explain.explanations(CASE, items or (C,), 3, "cut", 0.2)
        ]

    assert found() == [("a", 1, 0.02)]
    known["singles"] = [part, more]
    assert found() == [("c", 1, 0.02)]
    # Where none does, those that explain most.
    known["tried"] = [half]
    assert found() == [("e", 1, 0.02)]
    known["departed"] = np.array([False])
    assert found() == []
    assert explain.explanations(Made(), ()) == ()


def test_an_explanation_holds_what_its_errors_give(monkeypatch):
    """C fits to 0.2 % over its last digit and the wall does not follow; a check that is neither
    shown nor worked counts for it."""
    checks = [Made(required="C"), Made(required="t_X1_3")]
    monkeypatch.setattr(explain, "checks_of", lambda basis: checks)
    made = search(C, P, T, departed=[True, False, True], basis="basis")
    first = Made(slip=slip("a", 0.5), words="first", change={"C": 1}, place=0)
    second = Made(slip=slip("b"), words="second", change={"P": 2}, place=0)
    off = 0.805 + 0.8 * 0.002
    replayed = Made(
        expected=np.array([[0.0, 0.0, 0.0], [off, np.nan, 0.3]]),
        strictly=np.array([[True, True, True], [True, True, False]]),
    )
    values = {"t_required": 0.19}
    found = made._explanation((first, second), values, replayed, 1)
    assert found == Explanation(
        slips=(first.slip, second.slip),
        said=("first", "second"),
        values=values,
        alteration=({"C": 1}, {"P": 2}),
        expected={"C": off, "thickness": 0.3},
        fit=pytest.approx(log(0.5) - 1.5 + 1.2 - 4.5),
        exact=False,
        explains=("C",),
        complete=False,
    )
    replayed.expected[1], replayed.strictly[1] = (0.8, 5.0, 0.2), (True, False, True)
    every = made._explanation((first,), values, replayed, 1)
    assert (every.explains, every.complete, every.exact) == (("C", "thickness"), True, True)
    assert every.fit == pytest.approx(log(0.5) + 1.2)
    replayed.expected[1] = (0.9, 5.0, 0.2)
    assert made._explanation((first,), values, replayed, 1) is None


def test_errors_are_allowed_that_repair_a_line_spoil_none_and_lead_to_a_thickness(monkeypatch):
    made = search(C, P, departed=[True, False])
    rows = {"a": (1, 0, 1), "b": (0, 1, 1), "c": (1, 1, 0), "d": (1, 1, 1), "e": (0, 1, 0)}
    rows = {name: np.array(each, bool) for name, each in rows.items()}
    asked = []

    def replays(self, tried):
        names = [each.change for (each,) in tried]
        strict = np.array([rows[name][[0, 2]] for name in names])
        loose = np.array([rows[name][[1, 2]] for name in names])
        return Made(strictly=strict, follows=loose)

    def outcomes(case, changes, wall):
        asked.append((case, changes, wall))
        return Made(valid=[True, False], row=lambda place: f"row {place}")

    monkeypatch.setattr(Search, "_replays", replays)
    monkeypatch.setattr(Search, "_explanation", lambda self, *given: given[:2] + given[3:])
    monkeypatch.setattr(explain, "outcomes", outcomes)
    tried = [(Made(change=name),) for name in rows]
    assert made._allowed(tried) == [(tried[0], "row 0", 0)]
    assert asked == [(made.case, [("a",), ("d",)], None)]
    assert made._allowed(tried[1:3]) == made._allowed([]) == []
    assert len(asked) == 1


def test_errors_tried_again_without_rounding_repair_a_line_and_spoil_none(monkeypatch):
    """C and the wall depart, P does not; a wall is asked to be the next one up."""
    monkeypatch.setattr(Search, "_allowed", lambda self, tried: tried)
    monkeypatch.setattr(Search, "_best", lambda self, found: found)
    made = search(C, P, T, departed=[True, False, True])
    strictly = [[1, 0, 0], [1, 1, 1], [0, 1, 0], [0, 0, 1], [0, 0, 0]]
    follows = [[1, 1, 0], [1, 0, 1], [1, 1, 1], [0, 1, 1], [0, 1, 0]]
    vars(made).update(
        made=tuple("abcde"),
        coarse_one=Made(strictly=np.array(strictly, bool), follows=np.array(follows, bool)),
    )
    assert made.singles() == [("a",), ("d",)]


def test_pairs_are_tried_in_the_order_of_how_common_they_are_and_how_they_fit(monkeypatch):
    """e^-2 for C off by 0.2 % over its last digit; the nominal thickness has no part in it."""
    off = 0.805 + 0.8 * 0.004
    rows = [
        # The weight of the first error, C, the wall, whether both lines follow, whether both count.
        ("weight", 0.5, 0.8, 0.2, True, True),
        ("off", 1.0, off, 0.2, True, True),
        ("under", 0.9, 0.795 - 0.8 * 0.0004, 0.2, True, True),
        ("plain", 1.0, 0.8, 0.2, True, True),
        ("wall", 0.95, 0.8049, 0.9, True, True),
        ("none", 0.8, np.nan, 0.2, True, True),
        ("departs", 1.0, 0.8, 0.2, False, True),
        ("alone", 1.0, 0.8, 0.2, True, False),
        ("far", 1.0, 5.0, 0.2, True, True),
        ("infinite", 0.99, np.inf, 0.2, True, True),
    ]
    made = search(C, T, P, departed=[True, True, False])
    pairs = [(Made(slip=slip(n, w), place=0), Made(slip=slip(), place=0)) for n, w, *_ in rows]
    follows = np.array([[each[4]] * 3 for each in rows])
    vars(made).update(
        two=pairs,
        coarse_two=Made(
            expected=np.array([[c, t, 9.0] for _, _, c, t, *_ in rows]),
            follows=follows,
            strictly=follows,
        ),
    )
    monkeypatch.setattr(Search, "_both_matter", lambda self, row: rows[row][5])

    def names():
        return [one.slip.name for one, _ in made._near()]

    in_order = ["plain", "wall", "under", "none", "weight", "off", "far", "infinite"]
    assert names() == in_order
    monkeypatch.setattr(explain, "MOST_PAIRS", 3)
    assert names() == in_order[:3]
    # The wall must be the next one up, where any that is enough would follow.
    made.coarse_two.strictly = follows & [True, False, True]
    assert names() == []
    made.coarse_two.strictly, made.coarse_two.follows = follows, follows & [True, False, True]
    assert names() == in_order[:3]
    made.coarse_two.follows = follows & [True, True, False]
    assert names() == []


def tried(*rows):
    """Coarse replays: what each error gives for the first of two items, and whether the other,
    which is as stated, still follows."""
    expected = np.array([[value, 5.0] for value, _ in rows])
    return Made(expected=expected, follows=np.array([[True, follows] for _, follows in rows]))


def sharing(about, singles, doubles=((0.7, True),), step=0.05):
    made = search(about, P, departed=[True, False], inputs={"s": np.array([0.0, step])})
    vars(made).update(
        made=tuple(Made(change=f"a{i}") for i in range(len(singles))),
        two=[(Made(change="b"), Made(change="c"))],
        coarse_one=tried(*singles),
        coarse_two=tried(*doubles),
    )
    return made


def test_the_share_of_arbitrary_numbers_that_errors_of_the_list_explain():
    """Of the numbers from 0.6 to 1.0 those within 0.005 of 0.80 and of 0.78, and of 0.70 where two
    errors are made; an error that spoils another line is none."""
    made = sharing(C, [(0.80, True), (0.78, True), (0.90, False), (np.nan, True)])
    each = explanation(explains=("C",), expected={"C": 0.802})
    assert made._share(each, C) == pytest.approx(0.02 / 0.4)
    both = replace(each, slips=(slip("a"), slip("b")))
    assert made._share(both, C) == pytest.approx(0.03 / 0.4)
    # One that is itself 0.01 off takes all numbers that come as near.
    far = replace(each, expected={"C": 0.81})
    assert made._share(far, C) == pytest.approx((0.81 - 0.77) / 0.4)


def test_the_share_of_walls_is_that_of_their_increments(monkeypatch):
    """Of 0.15, 0.20 and 0.25 in; a wall between them may be the required thickness itself."""
    made = sharing(T, [(0.20, True), (0.24, True), (0.40, True)])
    each = explanation(explains=("thickness",), expected={"thickness": 0.2})
    assert made._share(each, T) == pytest.approx(1 / 3)
    asked = []

    def outcomes(case, changes):
        asked.append(changes)
        return Made(column={"t_required": np.array([0.19, 0.23, 0.9])}.get)

    monkeypatch.setattr(explain, "outcomes", outcomes)
    odd = replace(T, value=0.21)
    between = sharing(odd, [(0.20, True), (0.24, False), (0.25, True)])
    each = explanation(explains=("thickness",), expected={"thickness": 0.21})
    # 0.1575 to 0.2625 in: about 0.20 and 0.25, and about 0.19, of which a part is shared.
    assert between._share(each, odd) == pytest.approx(0.03 / 0.105)
    assert asked == [[("a0",), ("a1",), ("a2",)]]
    # Where walls are not made in increments, too: in steps of nothing, or of listed sizes.
    each = explanation(explains=("thickness",), expected={"thickness": 0.2})
    for inputs in ({"s": 0.0}, {}):
        made = sharing(T, [(0.2, True)] * 3)
        made.case.inputs = inputs
        assert made._share(each, T) == pytest.approx((0.01 + 0.01 + 0.01) / 0.1)


def test_other_errors_come_as_near_as_the_explanation_itself():
    """C is explained to 0.01; P is not explained, so nothing of it counts; t does not either."""
    each = explanation(explains=("C", "thickness"), expected={"C": 0.81, "thickness": 0.2})
    coarse = Made(expected=np.array([[0.8101, 9.0, 9.0], [0.79, 5.0, 0.2], [0.8111, 5.0, 0.2]]))
    near = search(C, P, T)._as_near(each, coarse)
    assert near.tolist() == [[True] * 3, [True] * 3, [False, True, True]]
