"""Planning tables for a confidence, against the closed form of X1.1 under one uncertain head."""

import json
import math

import pytest
from scipy import stats

PROJECT = """
[project]
title = "Mill Lane"
units = "US"
[criteria]
thickness_step = "0.1 mm"
[uncertainty]
{uncertain}
[[resin]]
name = "felt"
flexural_modulus = "250000 psi"
flexural_strength = "9000 psi"
[[pipe]]
name = "A"
condition = "partially deteriorated"
host_diameter = "8 in"
ovality = "0 %"
cover = "10 ft"
groundwater_above_invert = "10 ft"
"""
WORDS = ("--diameter", "12 in", "--cover", "10 ft", "--water", "8 ft", "14 ft")


def planned(run, tmp_path, uncertain, *more):
    (tmp_path / "p.toml").write_text(PROJECT.format(uncertain=uncertain))
    code, out, err = run("plan", "p.toml", *WORDS, "--uncertainty", "stated", *more, "--json")
    return code, json.loads(out) if out else None, err


def by_hand(head, D=12.0):
    """t = D / (1 + (2 K E_L / ((1 - nu^2) N P))^(1/3)) in mm, P = 0.433 h in psi."""
    capacity = 2 * 7 * 125_000 / ((1 - 0.3**2) * 2 * 0.433 * head)
    return 25.4 * D / (1 + capacity ** (1 / 3))


@pytest.mark.parametrize("confidence", [90, 99])
def test_the_thickness_for_a_confidence_is_that_of_the_head_not_exceeded_with_it(
    run, tmp_path, confidence
):
    code, data, err = planned(
        run,
        tmp_path,
        'groundwater_above_invert = "normal, sd 2 ft"',
        "--confidence",
        f"{confidence} %",
    )
    assert (code, err) == (0, "")
    for cell, head in zip(data["cells"], (8.0, 14.0), strict=True):
        exceeded = by_hand(head + 2 * stats.norm.ppf(confidence / 100))
        step = math.ceil(round(exceeded / 0.1, 6)) * 0.1
        # An increment off where the quantile of the trials lies beside an increment.
        assert cell["nominal_for_confidence"]["value"] == pytest.approx(step, abs=0.11)
        assert cell["nominal_for_confidence"]["value"] > cell["nominal_thickness"]["value"]
    assert data["uncertainty"]["converged"] is True
    assert data["uncertainty"]["confidence"] == confidence / 100


def test_a_dry_first_cell_does_not_hide_the_uncertainty_of_the_others(run, tmp_path):
    """The water is a triangle of 20 % about 14 ft, exceeded in 5 % of it over 14 + 2.8 * 0.684."""
    asked = ("--water", "0 ft", "14 ft")
    uncertain = 'groundwater_above_invert = "20 %"'
    (tmp_path / "p.toml").write_text(PROJECT.format(uncertain=uncertain))
    words = ("plan", "p.toml", "--diameter", "12 in", "--cover", "10 ft", *asked)
    code, out, err = run(*words, "--uncertainty", "stated", "--json")
    assert (code, err) == (0, "")
    cell = json.loads(out)["cells"][1]
    exceeded = by_hand(14 * (1 + 0.2 * (1 - math.sqrt(2 * 0.05))))
    step = math.ceil(round(exceeded / 0.1, 6)) * 0.1
    assert cell["nominal_for_confidence"]["value"] == pytest.approx(step, abs=0.11)
    assert cell["nominal_for_confidence"]["value"] > cell["nominal_thickness"]["value"]


def test_an_uncertainty_in_another_datum_of_the_water_moves_the_axis(run, tmp_path):
    """The depth to the water is off by as much as its height: the symmetric width is the same."""
    first = planned(run, tmp_path, 'groundwater_above_invert = "normal, sd 2 ft"')[1]
    other = planned(run, tmp_path, 'groundwater_below_surface = "normal, sd 2 ft"')[1]
    assert first["cells"] == other["cells"]


@pytest.mark.parametrize(
    ("uncertain", "part"),
    [
        ('groundwater_above_invert = "2 ft to 9 ft"', "values of its own for an axis"),
        ('groundwater_below_surface = "10 %"', "values of its own for an axis"),
        ('soil_unit_weight = "5 %"', "no pipe has such a value"),
        ("", "no uncertainty stated"),
    ],
)
def test_what_an_axis_can_t_use_is_refused(run, tmp_path, uncertain, part):
    code, _, err = planned(run, tmp_path, uncertain)
    assert code == 2
    assert part in err
