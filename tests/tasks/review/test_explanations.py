"""Seeded slips, made by the hand calculation of `by_hand`, are found again by their names.

The shares asked for are the issue's own: the right slip first in three of four, among the first
three in more than nine of ten. Slips and pipes are drawn at random from a fixed seed.
"""

import random

import pytest
from by_hand import SLIPS, Inputs, project, random_pipe, thicknesses

from linerdesign.project.reading import parse
from linerdesign.tasks.review.case import case_of
from linerdesign.tasks.review.explain import explanations
from linerdesign.tasks.review.recheck import recheck
from linerdesign.tasks.review.submittal import submittals

# Najafi 2010, sec. 2.7, pp. 75-83: the 48 in example.
BOOK = Inputs(
    D=48.0, q=2.0, h_invert=12.0, E=250000.0, retention=50.0, sigma=4500.0,
    strength_retention=50.0, H=16.0, W_s=0.35,
)  # fmt: skip
NOTHING = 99


def explained(x, stated, steps=None):
    (submittal,) = submittals(parse(project(x, stated, steps).encode(), "test.toml"))
    return explanations(case_of(submittal.theirs), submittal.items, 0.01)


def in_mm(x, thickness):
    return thickness * (1 if x.si else 25.4)


def seeded(count, seed, slips_each=1):
    """Pipes, slips that change the printed thickness, and the lines with them."""
    chance = random.Random(seed)
    found = 0
    while found < count:
        x, slips = random_pipe(chance), chance.sample(SLIPS, slips_each)
        right, lines = thicknesses(x), thicknesses(x, *slips)
        fewer = [thicknesses(x, *(s for s in slips if s != slip)) for slip in slips]
        changes = [abs(in_mm(x, lines["required"] - less["required"])) for less in fewer]
        if min(changes) < 0.015 or lines["required"] <= 0:
            continue
        found += 1
        yield x, slips, lines, right


@pytest.fixture(scope="module")
def ranks():
    """For 500 seeded slips: rank in the list, and place where coinciding slips share one."""
    found = []
    for x, (slip,), lines, _ in seeded(500, seed=5):
        listed = explained(x, {"required_thickness": f"{in_mm(x, lines['required']):.2f} mm"})
        names = [each.names for each in listed]
        rank = names.index((slip,)) + 1 if (slip,) in names else NOTHING
        found.append((rank, listed[rank - 1].place if rank != NOTHING else NOTHING))
    return found


def share(numbers, most):
    return sum(number <= most for number in numbers) / len(numbers)


def test_the_seeded_slip_is_first_in_three_of_four(ranks):
    in_list, places = zip(*ranks, strict=True)
    assert share(in_list, 1) >= 0.75
    assert share(places, 1) >= 0.95


def test_the_seeded_slip_is_among_the_first_three(ranks):
    in_list, places = zip(*ranks, strict=True)
    assert share(in_list, 3) >= 0.93
    assert share(places, 3) >= 0.99


def test_a_right_calculation_has_no_explanation():
    chance = random.Random(11)
    for _ in range(100):
        x = random_pipe(chance)
        required = in_mm(x, thicknesses(x)["required"])
        nominal = -(-required // 1.5) * 1.5
        assert explained(x, {"required_thickness": f"{required:.2f} mm"}) == ()
        assert explained(x, {"thickness": f"{nominal} mm"}) == ()


def shown(x, lines):
    """The intermediate values that a submittal shows, with their units."""
    pressure = "MPa" if x.si else "psi"
    figures = {
        "C": ("", 3), "P": (pressure, 3), "R_w": ("", 3), "B'": ("", 3), "q_t": (pressure, 3),
    }  # fmt: skip
    steps = {
        key: f"{lines[key]:.{n + (3 if unit == 'MPa' else 0)}f} {unit}".strip()
        for key, (unit, n) in figures.items()
        if key in lines
    }
    thick = {k: f"{in_mm(x, v):.2f} mm" for k, v in lines.items() if k.startswith("t X")}
    return steps | thick


def test_pairs_are_found_where_intermediate_values_are_stated():
    first = three = count = 0
    for x, slips, lines, _ in seeded(40, seed=7, slips_each=2):
        steps = shown(x, lines)
        stated = {"required_thickness": f"{in_mm(x, lines['required']):.2f} mm"}
        listed = [set(each.names) for each in explained(x, stated, steps)]
        rank = listed.index(set(slips)) + 1 if set(slips) in listed else NOTHING
        count, first, three = count + 1, first + (rank == 1), three + (rank <= 3)
    assert first / count >= 0.6
    assert three / count >= 0.75


def test_stated_lines_sharpen_the_ranking():
    """Short-term modulus and no safety factor both end on X1.4; the line of X1.3 decides."""
    x = Inputs(
        D=18.0, q=3.0, h_invert=10.0, E=300000.0, retention=50.0, sigma=5000.0,
        strength_retention=50.0, H=12.0, W_s=0.8,
    )  # fmt: skip
    lines = thicknesses(x, "short-term-modulus")
    stated = {"required_thickness": f"{25.4 * lines['required']:.2f} mm"}
    alone = explained(x, stated)
    assert len([each for each in alone if each.place == 1]) > 1
    together = explained(x, stated, {"t X1.3": f"{25.4 * lines['t X1.3']:.2f} mm"})
    assert [each.names for each in together if each.place == 1] == [("short-term-modulus",)]


def test_a_slip_that_contradicts_a_stated_line_is_dropped():
    required = thicknesses(BOOK, "ovality-omitted")["required"]
    stated = {"required_thickness": f"{25.4 * required:.2f} mm"}
    assert ("ovality-omitted",) in [each.names for each in explained(BOOK, stated)]
    with_factor = explained(BOOK, stated, {"C": "0.836"})
    assert ("ovality-omitted",) not in [each.names for each in with_factor]
    # Where every other line is stated right, no slip may spoil one of them.
    for each in explained(BOOK, stated, shown(BOOK, thicknesses(BOOK))):
        assert "ovality-omitted" not in each.names


@pytest.mark.parametrize(
    ("stated", "steps", "slip"),
    [
        # p. 83: X1.2 with the short-term 4,500 psi gives 0.376 in.
        ({}, {"t X1.2": "0.376 in", "P": "5.20 psi", "C": "0.836"}, "short-term-strength"),
        # The earlier form of X1.3 with the printed qt of 14.90 psi, and with the unrounded one.
        ({"required_thickness": "1.068 in"}, {"q_t": "14.90 psi"}, "other-edition"),
        ({"required_thickness": "1.068 in"}, {}, "other-edition"),
        ({"required_thickness": "1.0705 in"}, {}, "other-edition"),
        # p. 77: B' is printed with the exponent 0.65, and with 2.178 for e.
        ({}, {"B'": "0.9999"}, "elastic-support-misprint"),
        ({}, {"B'": "0.360"}, "elastic-support-misprint"),
    ],
)
def test_published_slips_are_named(stated, steps, slip):
    assert explained(BOOK, stated, steps)[0].names == (slip,)


def test_the_published_example_as_printed_is_right():
    steps = {
        "R_w": "0.835", "q_t": "14.90 psi", "B'": "0.414", "C": "0.836", "P": "5.20 psi",
        "t X1.4": "0.790 in", "t X1.1": "0.878 in",
    }  # fmt: skip
    stated = {"required_thickness": "1.01 in"}
    (submittal,) = submittals(parse(project(BOOK, stated, steps).encode(), "test.toml"))
    found = recheck(submittal)
    assert found.holds
    assert found.explanations == ()


def test_a_number_that_nothing_explains_gets_other_inputs():
    """Another soil modulus is no slip of the list; the inverse finds it."""
    softer = Inputs(**{**vars(BOOK), "E_s": 730.0})
    required = thicknesses(softer)["required"]
    stated = {"required_thickness": f"{25.4 * required:.2f} mm"}
    (submittal,) = submittals(parse(project(BOOK, stated).encode(), "test.toml"))
    found = recheck(submittal)
    assert found.explanations == ()
    values = {each.key: each for each in found.instead}
    assert values["E_s"].value == pytest.approx(730, rel=2e-3)
    assert values["E_s"].plausible
    # X1.3 goes with the product of E's and E_L: either may be the smaller.
    assert values["E_L"].value == pytest.approx(0.73 * 125000, rel=2e-3)
    for key, each in values.items():
        whole = {"E_L": ("retention", BOOK.E), "sigma_L": ("strength_retention", BOOK.sigma)}
        name, of = whole.get(key, (key, 100.0))
        value = 100 * each.value / of
        again = thicknesses(Inputs(**{**vars(BOOK), name: value}))["required"]
        assert 25.4 * again == pytest.approx(25.4 * required, abs=0.006), key


def test_every_slip_is_known_by_its_name():
    from linerdesign.tasks.review.slips import slips_of

    (submittal,) = submittals(parse(project(BOOK, {"thickness": "27 mm"}).encode(), "test.toml"))
    known = {slip.name for slip in slips_of(case_of(submittal.ours))}
    assert set(SLIPS) <= known
