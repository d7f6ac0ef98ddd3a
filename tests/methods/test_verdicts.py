"""Every verdict against the same rules in plain Python, pipe by pipe and station by station."""

import numpy as np
import pytest

from linerdesign.expressions.tree import Table, symbols
from linerdesign.methods.basis import FULLY, Basis
from linerdesign.methods.engine import Values, calculation
from linerdesign.methods.verdicts import expanded

GRAVITY = {"method": "f1216", "dry_case": False}
SIZES = Table("sizes", (3.0, 6.0), (3.0, 6.0), "invented")
BASES = {
    "sound host": GRAVITY,
    "sound host, wall given": GRAVITY | {"thickness_given": True},
    "sound host, listed sizes": GRAVITY | {"sizes": SIZES},
    "soil": GRAVITY | {"condition": FULLY, "edition": "F1216-07b"},
    "pressure alone": GRAVITY | {"condition": FULLY, "above_ground": True},
}
BASES["pressure alone"] |= {"internal_pressure": True}
# Of each check: what is compared, its factor, the thickness; where it applies.
RULES = {
    "X1.1": ("P", "P_X1_1", "N_X1_1", "t_X1_1", lambda v: v["h_invert"] > 0),
    "X1.2": (
        *("sigma_X1_2", "sigma_allowed", "N_X1_2", "t_X1_2"),
        lambda v: v["h_invert"] > 0 and v["q"] > 0,
    ),
    "DR limit": ("DR", "DR_max", None, "t_DR_limit", lambda v: v["h_invert"] <= 0),
    "X1.3": ("q_t", "q_X1_3", "N_X1_3", "t_X1_3", lambda v: True),
    "X1.4": ("S_min", "S_X1_4", None, "t_X1_4", lambda v: True),
    "X1.7": ("P_i", "P_X1_7", "N_X1_7", "t_X1_7", lambda v: True),
}
CHECKS = {
    "sound host": ("X1.1", "X1.2", "DR limit"),
    "soil": ("X1.1", "X1.2", "DR limit", "X1.3", "X1.4"),
    "pressure alone": ("X1.7",),
}
PIPES, STATIONS = 300, 2


def drawn(checks, seed=8):
    """Few numbers, so that ties, zeros and negative capacities are common."""
    random = np.random.default_rng(seed)

    def some(*numbers):
        return random.choice(numbers, (PIPES, STATIONS))

    values = {"h_invert": some(0.0, 3.0), "q": some(0.0, 2.0, 10.0, 10.1), "s": 1.5}
    for equation in checks:
        demand, capacity, factor, thickness, _ = RULES[equation]
        values |= {demand: some(0.0, 1e-12, 1.0, 2.0), capacity: some(-1.0, 0.0, 1.0, 2.0, 3.0)}
        values[thickness] = some(0.0, 2.0, 3.0, 4.0)
        if factor:
            values[factor] = some(0.5, 1.0, 2.0)
    applying = [
        np.where(_applies(equation, values), values[RULES[equation][3]], 0.0) for equation in checks
    ]
    values["t_required"] = np.max(applying, axis=0)
    thickest = values["t_required"].max(axis=1, keepdims=True)
    floor = random.choice([0.0, 2.5, 5.0, 7.0], (PIPES, 1))
    least = np.maximum(thickest, floor)
    return values | {"t_least": least, "t_floor": floor, "thickest_by_hand": thickest}


def _applies(equation, values):
    rule = RULES[equation][4]
    return np.array(
        [
            [rule({"h_invert": h, "q": q}) for h, q in zip(*rows, strict=True)]
            for rows in zip(values["h_invert"], values["q"], strict=True)
        ]
    )


def at(values, i, j):
    return {
        key: float(v[i, j if v.shape[1] > 1 else 0]) if np.ndim(v) else v
        for key, v in values.items()
    }


def status(passes, outside, good):
    return "fails" if not passes else "outside the method" if outside else good


def of_station(checks, v, good):
    """The verdicts of one station in plain words; over 10 % of ovality X1.1 does not hold."""
    applying = [each for each in checks if RULES[each][4](v)]
    meets = {each: v[RULES[each][0]] <= v[RULES[each][1]] for each in applying}
    carries = {each: v[RULES[each][1]] > 0 for each in applying}
    rated = [
        each for each in applying if RULES[each][2] and v[RULES[each][0]] > 1e-12 and carries[each]
    ]
    factors = [v[RULES[each][2]] for each in rated]
    governing = [each for each in applying if v[RULES[each][3]] >= v["t_required"]]
    bore = all(carries.values()) and v["t"] < v["D"] / 2
    outside = checks != CHECKS["pressure alone"] and v["q"] > 10
    found = {
        "passes": all(meets.values()),
        "bore": bore,
        "rated": bool(rated),
        "governing": governing[0] if governing else "none",
        "outside": outside,
        "worst": v["t_required"] >= v["thickest_by_hand"],
        "status": status(all(meets.values()), outside, good),
        "factor_shown": (min(factors) if rated else "none") if bore else "no bore",
    }
    if factors:
        found["least_factor"] = min(factors)
    for each in checks:
        name = each.replace(".", "_").replace(" ", "_")
        found[f"applies_{name}"] = each in applying
        found[f"meets_{name}"] = meets.get(each, True)
        found[f"carries_{name}"] = carries.get(each, True)
        passes = "passes" if meets.get(each) else "FAILS"
        found[f"verdict_{name}"] = passes if each in applying else "does not apply"
        if RULES[each][2]:
            found[f"rated_{name}"] = each in rated
    return found


def of_pipe(places, good):
    """The verdicts of a pipe from those of its stations."""
    rated = [each["least_factor"] for each in places if "least_factor" in each]
    passes, bore, outside = (
        rule(each[key] for each in places)
        for rule, key in ((all, "passes"), (all, "bore"), (any, "outside"))
    )
    return {
        "passes_of_pipe": passes,
        "bore_of_pipe": bore,
        "rated_of_pipe": bool(rated),
        "outside_of_pipe": outside,
        "factor_shown_of_pipe": (min(rated) if rated else "none") if bore else "no bore",
        "status_of_pipe": status(passes, outside, good),
    }


@pytest.mark.parametrize("name", BASES)
def test_every_verdict_in_plain_words(name):
    basis = Basis(**BASES[name])
    checks = CHECKS[name.partition(",")[0]]
    good = "checked" if basis.thickness_given else "sized"
    values = drawn(checks)
    # The nominal wall: the next step of 1.5 mm, or the next size, of which none is over 6 mm.
    thickest, least = values["thickest_by_hand"], values["t_least"]

    def wall(needed):
        return np.where(needed > 3.0, 6.0, 3.0) if basis.sizes else np.ceil(needed / 1.5) * 1.5

    values["t"] = wall(least)
    # Of every third pipe the wall is half the diameter, of the next a little less.
    wide = np.array([2.0, 2.001, 20.0])[np.arange(PIPES) % 3]
    values["D"] = wide[:, None] * np.broadcast_to(values["t"], (PIPES, STATIONS))
    verdicts = calculation(basis, frozenset(), frozenset({"q"})).verdicts
    found = Values({k: v for k, v in values.items() if k != "thickest_by_hand"}, verdicts)
    assert np.array_equal(found["thickest"], thickest)
    assert ("minimum_governs" in verdicts) is not basis.thickness_given
    assert ("no_size" in verdicts) is bool(basis.sizes)
    if "minimum_governs" in verdicts:
        assert np.array_equal(found["minimum_governs"], wall(thickest) < values["t"])
    if basis.sizes:
        assert np.array_equal(found["no_size"], least > 6.0)
        assert np.any(least > 6.0)
    seen = set()
    for i in range(PIPES):
        places = [of_station(checks, at(values, i, j), good) for j in range(STATIONS)]
        for j, expected in enumerate(places):
            for key, value in expected.items():
                got = np.broadcast_to(found[key], (PIPES, STATIONS))[i, j]
                assert got == (str(value) if got.dtype.kind == "U" else value), (key, i, j)
            seen |= {expected["status"], expected["governing"], str(expected["factor_shown"])}
        for key, value in of_pipe(places, good).items():
            got = np.broadcast_to(found[key], (PIPES, STATIONS))[i, 0]
            assert got == (str(value) if got.dtype.kind == "U" else value), (key, i)
    assert {"fails", good, "none", "no bore", *checks} <= seen


@pytest.mark.parametrize("serve", [True, False])
@pytest.mark.parametrize("beyond", [True, False])
@pytest.mark.parametrize("passes", [True, False])
@pytest.mark.parametrize("outside", [True, False])
def test_the_status_of_a_pipe_with_legs(serve, beyond, passes, outside):
    """Pipe and legs must pass; either may lie outside the method."""
    verdicts = calculation(Basis(**GRAVITY), frozenset(), frozenset({"q"})).verdicts
    known = {"passes_of_pipe": passes, "outside_of_pipe": outside}
    found = Values(known | {"legs_serve": serve, "legs_outside": beyond}, verdicts)
    expected = status(passes and serve, outside or beyond, "sized")
    assert str(found["status_with_legs"]) == expected


def test_a_verdict_written_over_quantities_alone():
    """What is kept stays as it is; all else is put in, down to the quantities."""
    verdicts = calculation(Basis(**GRAVITY), frozenset(), frozenset({"q"})).verdicts
    of_quantities = expanded("passes", verdicts, ())
    kept = expanded("passes", verdicts, ("meets_X1_1",))
    quantities = {"h_invert", "q", "P", "P_X1_1", "sigma_X1_2", "sigma_allowed", "DR", "DR_max"}
    assert set(symbols(of_quantities)) == quantities
    assert set(symbols(kept)) == quantities - {"P", "P_X1_1"} | {"meets_X1_1"}


@pytest.mark.parametrize(
    ("known", "waivers", "codes"),
    [
        ({"q"}, (), ["f1216.high_ovality"]),
        ({"r_E"}, (), ["f1216.high_modulus_retention"]),
        ({"r_E"}, ("evidence",), []),
        ({"r_E"}, ("enhancement_evidence",), ["f1216.high_modulus_retention"]),
        ({"E"}, (), 2 * ["f1216.unusual_modulus_us"]),
        ({"K"}, (), ["f1216.high_enhancement"]),
        ({"K"}, ("enhancement_evidence",), []),
        # The thickest of all stations is always known; the other two must be.
        ({"t_floor"}, (), []),
        ({"t_floor", "t_DR_limit"}, (), ["design.only_dimension_ratio"]),
        ({"N", "r_E"}, ("evidence",), ["f1216.low_long_term_factor", *2 * ["low"]]),
    ],
)
def test_the_ranges_that_count(known, waivers, codes):
    """Those over what is known, and not waived; X1.1 and X1.2 both ask for a factor of 2."""
    made = calculation(Basis(**GRAVITY), frozenset(waivers), frozenset(known))
    factors = ["f1216.low_safety_factor" if each == "low" else each for each in codes]
    assert [each.limit.code for each in made.ranges] == factors
    assert [each.key for each in made.ranges] == [f"left_{n}" for n in range(len(codes))]
    assert set(made.at_station) >= {each.key for each in made.ranges}


@pytest.mark.parametrize(
    ("retention", "head", "left"),
    [(50.0, 3.0, False), (60.0, 3.0, True), (60.0, 0.0, False), (40.0, 0.0, False)],
)
def test_a_range_counts_where_its_line_applies(retention, head, left):
    """In a dry pipe no line reads the long-term modulus; ovality has its range all the same."""
    known = frozenset({"r_E", "q"})
    made = calculation(Basis(**GRAVITY), frozenset(), known)
    of_ovality, of_modulus = made.ranges
    found = Values({"r_E": retention, "h_invert": head, "q": 11.0}, made.verdicts)
    assert bool(found[of_modulus.key]) is left
    assert found[of_ovality.key]


@pytest.mark.parametrize(("floor", "left"), [(0.0, True), (0.1, False)])
def test_a_wall_by_the_ratio_alone_is_judged_by_the_worst_station(floor, left):
    """The thickest of two stations is that of the ratio, and the owner sets no minimum."""
    known = frozenset({"t_floor", "t_DR_limit"})
    made = calculation(Basis(**GRAVITY), frozenset(), known)
    values = {"t_required": np.array([[0.2, 0.48]]), "t_DR_limit": 0.48, "t_floor": floor}
    found = Values(values, made.verdicts)
    assert bool(np.all(found[made.ranges[0].key])) is left
