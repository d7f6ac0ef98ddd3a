"""Chances, reliability indices and contributions against closed forms and numerical integration.

The equations are those of the hand calculation: X1.1, P = 2 K E_L/(1 - nu^2) C/((DR - 1)^3 N) with
P = 0.433 h in psi and feet, and X1.4, E/(12 DR^3) = 0.093 psi (Najafi 2010, sec. 2.7; the number
of X1.4 from memory).
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from by_hand import Inputs, thicknesses
from scipy import integrate, stats

from linerdesign.interface import InputFaults, read, size
from linerdesign.tasks.uncertainty.pipes import Wishes

RESIN = {"name": "felt", "flexural_modulus": "250000 psi", "flexural_strength": "9000 psi"}
# A circle under water: X1.1 alone, and a wall that the dry case and X1.4 do not govern.
PIPE = {
    "name": "A",
    "condition": "partially deteriorated",
    "host_diameter": "12 in",
    "ovality": "0 %",
    "groundwater_above_invert": "10 ft",
}


def sized(uncertainty, wall, pipe=PIPE, seed=20_260, which="stated", pipes=None, **of_resin):
    tables = {
        "project": {"title": "Mill Lane", "units": "US"},
        "resin": [RESIN | of_resin],
        "pipe": pipes or [pipe | {"design_thickness": f"{wall!r} in"}],
        "uncertainty": uncertainty,
    }
    project = read({key: table for key, table in tables.items() if table})
    return size(project, uncertainty=Wishes(which, seed))


def found(uncertainty, wall, **more):
    (pipe,) = sized(uncertainty, wall, **more).uncertainty.pipes
    return pipe


def carried(wall, N=1.0, D=12.0):
    """Head in feet that X1.1 lets a wall of 125,000 psi carry, by hand."""
    return 2 * 7 * 125_000 / (1 - 0.3**2) / (D / wall - 1) ** 3 / N / 0.433


def test_the_index_of_a_linear_margin_of_normal_variables_is_the_closed_form():
    """M = a E - h: the index is mean(M) / sd(M), whatever the trials find."""
    for wall in (0.12, 0.16, 0.2):
        pipe = found(
            {"groundwater_above_invert": "normal, sd 2 ft", "flexural_modulus": "normal, sd 10 %"},
            wall,
        )
        mean = carried(wall) - 10
        index = mean / math.hypot(0.1 * carried(wall), 2)
        assert pipe.without_factor.chance == pytest.approx(
            stats.norm.cdf(index), abs=4 * pipe.without_factor.error + 1e-4
        )
        assert pipe.without_factor.error <= 0.0025
        abs_error = 0.03 if pipe.by_trials else 1e-3
        assert pipe.index == pytest.approx(index, abs=abs_error), wall
    assert not pipe.by_trials


def test_the_index_of_a_product_of_lognormal_variables_is_the_closed_form():
    """ln E + ln a - ln h is normal: the first order is exact for X1.1."""
    text = {
        "groundwater_above_invert": "lognormal, sd 25 %",
        "flexural_modulus": "lognormal, sd 12 %",
    }
    for wall in (0.13, 0.18, 0.22):
        pipe = found(text, wall)
        spread = [math.sqrt(math.log1p(v**2)) for v in (0.25, 0.12)]
        mean = math.log(carried(wall) / 10) + (spread[0] ** 2 - spread[1] ** 2) / 2
        index = mean / math.hypot(*spread)
        assert pipe.index == pytest.approx(index, abs=0.04 if pipe.by_trials else 1e-3), wall
        with_factor = stats.norm.cdf((mean - math.log(2)) / math.hypot(*spread))
        assert pipe.enough.chance == pytest.approx(with_factor, abs=4 * pipe.enough.error + 1e-4)


def test_the_chance_of_ovality_water_and_retention_is_that_of_numerical_integration():
    """The head is integrated in closed form, ovality and retention by quadrature; the thickness
    is that of the hand calculation, by bisection."""
    x = Inputs(D=12.0, q=3.0, h_invert=10.0, E=250_000.0, retention=50.0, sigma=9000.0,
               strength_retention=50.0, fully=False)  # fmt: skip
    wall = 6 / 25.4

    def head_carried(q, kept):
        low, high = 0.1, 80.0
        for _ in range(40):
            head = (low + high) / 2
            needed = thicknesses(replace(x, q=q, retention=kept, h_invert=head))["required"]
            low, high = (head, high) if needed <= wall else (low, head)
        return low

    def inner(kept, q):
        share = stats.triang.pdf(kept, (50 - 35) / (60 - 35), 35, 25)
        return share * stats.norm.cdf((head_carried(q, kept) - 10) / 3) / 3

    nodes, weights = np.polynomial.legendre.leggauss(7)
    ovalities = [(3.5 + 1.5 * n, 1.5 * w) for n, w in zip(nodes, weights, strict=True)]
    expected = sum(
        w * integrate.quad(inner, 35, 60, args=(q,), points=(50,), epsabs=1e-4, limit=12)[0]
        for q, w in ovalities
    )
    pipe = found(
        {
            "ovality": "2 % to 5 %",
            "groundwater_above_invert": "normal 10 ft, sd 3 ft",
            "modulus_retention": "triangular 35 %, 50 %, 60 %",
        },
        wall,
    )
    assert 0.2 < expected < 0.8
    assert pipe.enough.chance == pytest.approx(expected, abs=4 * pipe.enough.error + 5e-4)


PRODUCT = {
    "name": "A",
    "condition": "fully deteriorated",
    "host_diameter": "12 in",
    "ovality": "0 %",
    "cover": "6 ft",
    "groundwater": "none",
    "soil_unit_weight": "60 pcf",
    "soil_reaction_modulus": "3000 psi",
    "live_load": "none",
}
SPREADS = {"host_diameter": 0.05, "flexural_modulus": 0.2}


def of_product(**more):
    text = {key: f"lognormal, sd {100 * v:g} %" for key, v in SPREADS.items()}
    return found(text, 0.25, pipe=PRODUCT, **more)


def logs():
    """Standard deviations of the logarithms of D and E^(-1/3), the factors of t by X1.4."""
    wide, stiff = (math.sqrt(math.log1p(v**2)) for v in SPREADS.values())
    return {"host_diameter": wide, "flexural_modulus": stiff / 3}


def test_shares_of_variance_of_a_product_are_the_closed_form():
    """X1.4 gives t = D (12 x 0.093 / E)^(1/3), a product of independent lognormal factors."""
    squared = {key: math.expm1(s**2) for key, s in logs().items()}
    whole = math.expm1(sum(s**2 for s in logs().values()))
    for each in of_product().influences:
        own = squared[each.uncertainty.name]
        (other,) = (s for key, s in squared.items() if key != each.uncertainty.name)
        assert each.first == pytest.approx(own / whole, abs=0.02)
        assert each.total == pytest.approx(1 - other / whole, abs=0.02)
    assert sum(each.first for each in of_product().influences) == pytest.approx(1, abs=0.03)


def test_the_value_of_knowing_an_input_is_the_closed_form():
    """The quantile of a lognormal thickness less the mean of its quantiles where one is known."""
    pipe = of_product()
    both = math.hypot(*logs().values())
    stiff = 250_000 / math.sqrt(1 + 0.2**2)
    wide = 12 / math.sqrt(1 + 0.05**2)
    median = 25.4 * wide * (12 * 0.093 / stiff) ** (1 / 3)
    quantile = stats.norm.ppf(0.95)
    for each in pipe.influences:
        own = logs()[each.uncertainty.name]
        (rest,) = (s for key, s in logs().items() if key != each.uncertainty.name)
        known = median * math.exp(own**2 / 2 + quantile * rest)
        assert each.saved == pytest.approx(median * math.exp(quantile * both) - known, rel=0.01)
    everything = median * (math.exp(quantile * both) - math.exp(both**2 / 2))
    assert pipe.known.saved == pytest.approx(everything, rel=0.01)
    assert pipe.nominal == pytest.approx(median * math.exp(quantile * both), abs=0.05)


def test_the_same_seed_gives_the_same_bits_and_another_one_the_same_within_the_error():
    text = {"groundwater_above_invert": "normal, sd 2 ft", "modulus_retention": "5 %"}
    first, again = (sized(text, 0.2).data["uncertainty"] for _ in range(2))
    assert first == again
    other = found(text, 0.2, seed=7)
    mine = found(text, 0.2)
    assert mine.enough != other.enough
    error = math.hypot(mine.enough.error, other.enough.error)
    assert mine.enough.chance == pytest.approx(other.enough.chance, abs=5 * error)


def two(**values):
    return [PIPE | values | {"name": name, "design_thickness": "0.2 in"} for name in ("A", "B")]


def test_what_is_drawn_for_a_resin_is_drawn_once_for_all_its_pipes():
    """With the resin alone both pipes fail together; with the ground alone, independently."""
    resin = sized({"modulus_retention": "20 %"}, 0, pipes=two()).uncertainty
    assert 0.2 < resin.together.chance < 0.8
    assert resin.together.chance == resin.pipes[0].enough.chance == resin.pipes[1].enough.chance
    ground = sized({"groundwater_above_invert": "6 ft"}, 0, pipes=two()).uncertainty
    product = ground.pipes[0].enough.chance * ground.pipes[1].enough.chance
    assert ground.together.chance == pytest.approx(product, abs=5 * ground.together.error)


def test_stations_move_together():
    station = [{"at": "0 ft"}, {"at": "80 ft", "groundwater_above_invert": "12 ft"}]
    deeper = found(
        {"groundwater_above_invert": "normal, sd 2 ft"}, 0.2, pipe=PIPE | {"station": station}
    )
    alone = PIPE | {"groundwater_above_invert": "12 ft"}
    assert (
        deeper.enough
        == found({"groundwater_above_invert": "normal, sd 2 ft"}, 0.2, pipe=alone).enough
    )


def test_a_dry_first_station_does_not_hide_the_uncertainty_of_the_others():
    """Water 20 % up or down of 12 ft at the second: a triangle of 2.4 ft about it."""
    station = [
        {"at": "0 ft", "groundwater_above_invert": "0 ft"},
        {"at": "80 ft", "groundwater_above_invert": "12 ft"},
    ]
    pipe = found({"groundwater_above_invert": "20 %"}, 0.2, pipe=PIPE | {"station": station})
    triangle = stats.triang(0.5, loc=12 - 2.4, scale=2 * 2.4)
    expected = triangle.cdf(carried(0.2, N=2))
    assert 0.05 < expected < 0.95
    assert pipe.enough.chance == pytest.approx(expected, abs=5 * pipe.enough.error)


@pytest.mark.parametrize("likeliest", [8, 11, 14])
def test_the_likeliest_value_may_be_an_end(likeliest):
    pipe = found({"groundwater_above_invert": f"triangular 8 ft, {likeliest} ft, 14 ft"}, 0.2)
    expected = stats.triang((likeliest - 8) / 6, 8, 6).cdf(carried(0.2, N=2))
    assert 0.05 < expected < 0.95
    assert pipe.enough.chance == pytest.approx(expected, abs=5 * pipe.enough.error + 1e-4)


def test_usual_uncertainties_come_with_the_stated_ones():
    stated = sized({"groundwater_above_invert": "1 ft"}, 0.2).uncertainty
    usual = sized({"groundwater_above_invert": "1 ft"}, 0.2, which="usual").uncertainty
    assert {each.name for _, each, _ in stated.drawn} == {"groundwater_above_invert"}
    more = {each.name: each.stated for _, each, _ in usual.drawn}
    assert more["groundwater_above_invert"] is True
    assert more["modulus_retention"] is False


def test_a_pipe_that_no_groundwater_reaches_has_no_uncertain_level():
    """Of both pipes the water of one alone is drawn."""
    dry = {k: v for k, v in PIPE.items() if k != "groundwater_above_invert"}
    both = [*two()[:1], dry | {"name": "B", "groundwater": "none", "design_thickness": "0.2 in"}]
    stated = {"groundwater_above_invert": "normal, sd 2 ft", "ovality": "1 %"}
    drawn = sized(stated, 0, pipes=both).uncertainty.drawn
    assert [pipe for pipe, each, _ in drawn if each.name == "groundwater_above_invert"] == ["A"]


def test_one_pipe_alone_may_lack_what_others_have():
    tables = {
        "project": {"title": "Mill Lane", "units": "US"},
        "resin": [RESIN],
        "pipe": [PIPE, PRODUCT | {"name": "B"}],
        "uncertainty": {"cover": "1 ft", "groundwater_above_invert": "1 ft"},
    }
    (pipe,) = size(read(tables), pipes="A", uncertainty=Wishes()).uncertainty.pipes
    assert pipe.name == "A"


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ({"cover": "1 ft"}, "no pipe has such a value"),
        ({"groundwater_above_invert": "normal, 6 ft"}, "no standard deviation"),
        ({"ovality": "5 % to 2 %"}, "larger value first"),
        ({"ovality": "triangular 1 %, 2 %"}, "not three values"),
        ({"ovality": "normal, sd 0 %"}, "standard deviation of zero"),
        ({"groundwater_above_invert": "-1 ft"}, "not negative"),
        ({"safety_factor": "10 %"}, "unknown key"),
        ({"modulus_retention": "50 % to 120 %"}, "at most 100"),
        ({}, "no uncertainty stated"),
    ],
)
def test_what_can_t_be_used_is_refused_with_its_place(text, part):
    with pytest.raises(InputFaults, match=part):
        found(text, 0.2)


def test_both_names_of_one_uncertainty_are_a_fault():
    pipe = PIPE | {"doubt": {"ovality": "1 %"}, "uncertainty": {"ovality": "2 %"}}
    with pytest.raises(InputFaults, match=r"doubt\.ovality and uncertainty\.ovality"):
        found({}, 0.2, pipe=pipe)


def test_a_distribution_is_cut_at_what_the_quantity_can_be():
    """A normal ovality of 1 % ± 2 points, of which none is under zero: its chance by hand."""
    pipe = found({"ovality": "normal, 1 %, sd 2 %"}, 0.2, pipe=PIPE | {"ovality": "1 %"})
    x = Inputs(D=12.0, q=1.0, h_invert=10.0, E=250_000.0, retention=50.0, sigma=9000.0,
               strength_retention=50.0, fully=False)  # fmt: skip
    low, high = 0.0, 20.0
    for _ in range(50):
        q = (low + high) / 2
        low, high = (q, high) if thicknesses(replace(x, q=q))["required"] <= 0.2 else (low, q)
    cut = stats.truncnorm(-0.5, np.inf, 1, 2)
    assert 0.2 < cut.cdf(q) < 0.98
    assert pipe.enough.chance == pytest.approx(cut.cdf(q), abs=4 * pipe.enough.error + 2e-4)
