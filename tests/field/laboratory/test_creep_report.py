"""What a creep test prints and gives as data, cell by cell against the readings, by hand."""

from dataclasses import replace
from math import log, log10

import numpy as np
import pytest
from scipy import stats

from linerdesign.documents.blocks import Bullets, Grid, Heading
from linerdesign.field.laboratory import report
from linerdesign.field.laboratory.creep import (
    RING,
    RUPTURE,
    TOGETHER,
    CreepReadings,
    CreepSettings,
    fit_creep,
)
from linerdesign.field.laboratory.report import (
    creep_blocks,
    creep_data,
    retention_record,
    ring_stiffness,
)

TIMES = np.geomspace(1, 10_000, 20)
MPA = 0.006894757293168  # of a psi, NIST SP 811
LIFE = 438_000.0


@pytest.fixture(autouse=True)
def no_pictures(monkeypatch):
    """They are tested by themselves, and take long to draw."""
    for name in ("creep_line", "residuals"):
        monkeypatch.setattr(report, name, lambda *about: about)


def level(name, slope=-0.05, seed=1, noise=0.002, start=400_000.0, **about):
    scatter = 10 ** np.random.default_rng(seed).normal(0, noise, TIMES.size)
    return CreepReadings(name, TIMES, start * TIMES**slope * scatter, **about)


def tables(blocks):
    """Tables by their heads, as rows of texts."""
    return {each.columns: each.rows for each in blocks if isinstance(each, Grid)}


def texts(blocks):
    return [one for each in blocks if isinstance(each, Bullets) for one in each.items]


def line_of(readings):
    return stats.linregress(np.log10(readings.time), np.log10(readings.modulus))


def bound_of(readings, confidence):
    """The one-sided prediction bound of a straight line at the end of life (textbook)."""
    x, y, at = np.log10(readings.time), np.log10(readings.modulus), log10(LIFE)
    found = line_of(readings)
    left = y - found.intercept - found.slope * x
    s = np.sqrt(left @ left / (x.size - 2))
    spread = np.sqrt(1 + 1 / x.size + (at - x.mean()) ** 2 / np.sum((x - x.mean()) ** 2))
    return 10 ** (
        found.intercept + found.slope * at - stats.t.ppf(confidence, x.size - 2) * s * spread
    )


SUMMARY = ("", "value", "basis")


def test_the_tables_hold_the_line_its_bound_and_every_reading():
    one, two = level("500 psi"), level("900 psi", -0.06, 2)
    settings = CreepSettings(confidence=0.9)
    result = fit_creep([one, two], settings)
    assert result.adopted.curve.name == "power law"
    blocks = creep_blocks(result, "MPa", settings)
    found = tables(blocks)
    line, bound = line_of(two), MPA * bound_of(two, 0.9)
    at_t0 = MPA * 10**line.intercept
    at_life = at_t0 * LIFE**line.slope
    assert found[SUMMARY] == (
        ("retention", f"{100 * LIFE**line.slope:.2f} %", "modulus at life over modulus at t0"),
        ("model", "power law", "by least squares and information criterion"),
        ("modulus at life", f"{at_life:.5g} MPa", "at 438,000 h"),
        (
            "lower bound",
            f"{bound:.5g} MPa",
            "one-sided 90 % prediction bound, further reading",
        ),
        ("retention of the bound", f"{100 * bound / at_t0:.2f} %", "bound over modulus at t0"),
        ("modulus at t0", f"{at_t0:.5g} MPa", "by the model, at 1 h"),
        ("slope", f"{line.slope:.5f}", "log modulus on log time, at life"),
        ("load level", "900 psi", result.rule),
    )
    levels = found["level", "readings", "last, h", "slope", "at life, MPa", "bound", "retained %"]
    for row, readings in zip(levels, (one, two), strict=True):
        each = line_of(readings)
        life = 10 ** (each.intercept + each.slope * log10(LIFE))
        assert row[:4] == (readings.level, "20", "10,000", f"{each.slope:.5f}")
        assert [float(cell) for cell in row[4:]] == pytest.approx(
            [MPA * life, MPA * bound_of(readings, 0.9), 100 * LIFE**each.slope], rel=2e-4
        )
    rows = found["time, h", "modulus, MPa", "model", "residual, %"]
    model = 10 ** (line.intercept + line.slope * np.log10(TIMES))
    expected = np.column_stack(
        [TIMES, MPA * two.modulus, MPA * model, 100 * (two.modulus / model - 1)]
    )
    cells = np.array([[float(cell) for cell in row] for row in rows])
    assert cells[:, :3] == pytest.approx(expected[:, :3], rel=6e-5)
    assert cells[:, 3] == pytest.approx(expected[:, 3], abs=0.0051)
    assert all(row[3][0] in "+-" for row in rows)
    models = found["model", "AICc", "retention %", "slope at life", ""]
    assert {row[0] for row in models} == {"power law", "Findley", "power law with a knee"}
    (used,) = (row for row in models if row[4] == "used")
    # AICc of a straight line, its deviation the third parameter: n ln(SS/n) + 6 + 24/(n - 4).
    squares = np.sum(np.log10(two.modulus / model) ** 2)
    criterion = 20 * log(squares / 20) + 6 + 24 / 16
    assert used[:4] == (
        "power law",
        f"{criterion:.1f}",
        f"{100 * LIFE**line.slope:.2f}",
        f"{line.slope:.5f}",
    )
    assert [each.text for each in blocks if isinstance(each, Heading)] == [
        "Modulus at the design life",
        "Basis of the result",
    ]
    said = texts(blocks)
    assert (
        "power law by least squares on 20 readings from 1 h to 10,000 h, t0 1 h; readings outside "
        "the window: 0." in said
    )
    assert said[: len(result.adopted.cautions)] == [
        f"900 psi: {each.said}" for each in result.adopted.cautions
    ]
    assert [each.level for each in blocks if isinstance(each, Heading)] == [1, 2]
    pictures = [each for each in blocks if isinstance(each, tuple)]
    assert pictures == [(result, "MPa", pytest.approx(MPA)), (result,)]


def test_one_level_has_no_table_of_levels_and_its_name_is_a_dash():
    result = fit_creep([level("")])
    found = tables(creep_blocks(result, "psi", CreepSettings()))
    assert not any(heads[0] == "level" for heads in found)
    assert found[SUMMARY][-1][:2] == ("load level", "-")
    # In the unit of the fit itself: 400,000 psi at 1 h within the scatter.
    (at_t0,) = (row for row in found[SUMMARY] if row[0] == "modulus at t0")
    assert float(at_t0[1].removesuffix(" psi")) == pytest.approx(400_000, rel=0.005)


@pytest.mark.parametrize(("count", "shown", "every"), [(59, 59, 1), (60, 30, 2), (130, 44, 3)])
def test_of_very_many_readings_every_nth_is_printed(count, shown, every):
    """The n-th of each whole sixty: 60 readings are shown as 1st, 3rd ... 59th."""
    time = np.geomspace(1, 10_000, count)
    result = fit_creep([CreepReadings("", time, 400_000 * time**-0.05)])
    grids = [b for b in creep_blocks(result, "psi", CreepSettings()) if isinstance(b, Grid)]
    (grid,) = (each for each in grids if each.columns[0] == "time, h")
    assert len(grid.rows) == shown
    assert [float(row[0]) for row in grid.rows] == pytest.approx(time[::every], rel=6e-5)
    caption = "Readings and residuals"
    assert grid.caption == (caption if every == 1 else f"{caption}, one in {every}")


def test_a_measured_modulus_at_t0_is_said_to_be_and_short_times_are_in_minutes():
    time = np.concatenate([[0.05], TIMES])
    readings = CreepReadings("", time, 400_000 * time**-0.05)
    settings = CreepSettings(t0=0.05, fit_from=1.0)
    result = fit_creep([readings], settings)
    blocks = creep_blocks(result, "psi", settings)
    (row,) = (row for row in tables(blocks)[SUMMARY] if row[2] == "measured, at 3 min")
    assert float(row[1].removesuffix(" psi")) == pytest.approx(400_000 * 20**0.05, rel=2e-5)
    said = texts(blocks)
    assert any("from 1 h to 10,000 h, t0 3 min; readings outside the window: 1." in s for s in said)
    assert creep_data(result, "psi")["reference"] == "measured"
    assert creep_data(fit_creep([readings]), "psi")["reference"] == "model"


def test_the_data_are_those_of_the_fit_in_the_unit_asked_for():
    one, two = level("500 psi"), level("900 psi", -0.06, 2)
    result = fit_creep([one, two])
    data = creep_data(result, "MPa")
    line = line_of(two)
    at_t0 = MPA * 10**line.intercept
    squares = np.sum((np.log10(two.modulus) - line.intercept - line.slope * np.log10(TIMES)) ** 2)
    expected = {
        "retention": LIFE**line.slope,
        "slope": line.slope,
        "modulus_at_life": at_t0 * LIFE**line.slope,
        "life_hours": LIFE,
        "lower_bound": MPA * bound_of(two, 0.95),
        "retention_bound": MPA * bound_of(two, 0.95) / at_t0,
        "confidence": 0.95,
        "t0_hours": 1.0,
        "modulus_at_t0": at_t0,
        "readings": 20,
        "left_out": 0,
        "residual_deviation": np.sqrt(squares / 18),
        "decades_beyond": log10(43.8),
    }
    assert {key: data[key] for key in expected} == pytest.approx(expected)
    assert [each["level"] for each in data["levels"]] == ["500 psi", "900 psi"]
    assert (data["level"], data["test"], data["unit"]) == ("900 psi", "creep", "MPa")
    assert (data["ring"], data["bound_by"], data["model"]) == (None, "reading", "power law")
    assert data["rule"] == result.rule
    assert data["extrapolated_too_far"] is False
    (power,) = (each for each in data["models"] if each["model"] == "power law")
    assert power["modulus_at_life"] == pytest.approx(data["modulus_at_life"])
    assert power["information_criterion"] == pytest.approx(20 * log(squares / 20) + 7.5)
    said = [
        f"{fit.level}: {each.said}"
        for fit in (result.adopted, result.levels[0])
        for each in fit.cautions
    ]
    assert data["cautions"] == [*said, *(each.said for each in result.cautions)]


def test_data_of_a_test_too_short_say_so():
    time = TIMES[TIMES < 4000]
    result = fit_creep([CreepReadings("", time, 400_000 * time**-0.05)])
    data = creep_data(result, "psi")
    assert data["decades_beyond"] == pytest.approx(log10(LIFE / time[-1]))
    assert data["extrapolated_too_far"] is True


@pytest.mark.parametrize("bound", [False, True])
def test_the_record_has_the_share_of_the_line_or_of_its_bound(bound):
    one = level("")
    result = fit_creep([one])
    record = retention_record(result, "felt", bound, "c.csv (SHA-256 1f)", "psi")
    line = line_of(one)
    share = bound_of(one, 0.95) / 10**line.intercept if bound else LIFE**line.slope
    assert record.values == {"modulus_retention": f"{100 * share:.2f} %"}
    assert (record.table, record.name, record.kind) == ("resin", "felt", "creep test")
    which = "95 % prediction bound" if bound else "power law"
    said = result.adopted.cautions, result.cautions
    (beyond, one_level) = (each.said for each in (*said[0], *said[1]))
    assert record.evidence == (
        f"creep test c.csv (SHA-256 1f), {which} at 438,000 h over t0 = 1 h, 20 readings to "
        f"10,000 h, {result.rule}, cautions: (1) {beyond}, (2) {one_level}"
    )


def test_a_record_says_first_that_the_unit_may_be_wrong_and_has_no_part_of_its_own():
    """2,000 psi is no modulus of a liner; a "; " within would begin another record."""
    result = fit_creep([level("", start=2000.0)])
    record = retention_record(result, None, False, "c.csv", "MPa")
    low, high = MPA * 1e5, MPA * 2.2e6
    at_t0 = MPA * result.adopted.reference_modulus
    first = record.evidence.split("(1) ")[1].split(", (2) ")[0]
    assert first == (
        f"modulus of {at_t0:.2f} MPa at t0 outside the usual {low:.1f} to {high:.0f} MPa: check "
        "the unit of the readings"
    )
    assert "; " not in record.evidence
    assert creep_data(result, "MPa")["cautions"][0] == first
    quiet = replace(result, cautions=(), adopted=replace(result.adopted, cautions=()))
    usual = replace(quiet.adopted, reference_modulus=400_000.0)
    assert (
        "cautions"
        not in retention_record(replace(quiet, adopted=usual), None, False, "c.csv", "psi").evidence
    )


@pytest.mark.parametrize(("share", "text"), [(0.054321, "5.43 %"), (1.05438, "105.4 %")])
def test_a_retention_is_written_with_two_decimals_and_four_digits_at_most(share, text):
    slope = log(share) / log(LIFE)
    result = fit_creep([level("", slope, noise=0.0)])
    record = retention_record(result, None, False, "c.csv", "psi")
    assert record.values == {"modulus_retention": text}


def test_a_semicolon_of_a_caution_becomes_a_comma_in_evidence():
    bent = 400_000 * 10 ** (-0.01 * np.log10(TIMES) ** 2)
    result = fit_creep([CreepReadings("", TIMES, bent)])
    assert any("; " in each.said for each in result.adopted.cautions)
    said = retention_record(result, None, False, "c.csv", "psi").evidence
    assert "model is used, a straight line would overstate" in said
    assert "; " not in said


def test_a_test_without_a_caution_has_no_empty_list():
    result = fit_creep([level("")], CreepSettings(life=5000.0))
    quiet = replace(result, cautions=(), adopted=replace(result.adopted, cautions=()))
    quiet = replace(quiet, levels=(quiet.adopted,))
    blocks = creep_blocks(quiet, "psi", CreepSettings())
    assert len([each for each in blocks if isinstance(each, Bullets)]) == 1


def test_a_rupture_test_is_of_strength_and_asks_for_no_unit():
    result = fit_creep([level("", -0.06, start=4000.0, test=RUPTURE)])
    record = retention_record(result, None, False, "r.csv", "psi")
    assert list(record.values) == ["strength_retention"]
    assert record.evidence.startswith("creep rupture test r.csv, ")
    blocks = creep_blocks(result, "psi", CreepSettings())
    assert blocks[0].text == "Strength at the design life, by creep rupture"
    assert tables(blocks)[SUMMARY][0][2] == "strength at life over strength at t0"
    rests = creep_data(result, "psi")["rests_on"]
    assert [text.split()[0] for text in rests] == ["Retention", "t0", "A"]
    assert "rupture stress" in rests[0]


def ring(first=0.05, start=2400 / MPA):
    """E of 2,400 MPa at the first reading; I/d^3 of 1/150,000."""
    time = np.concatenate([[first], TIMES])
    modulus = start * (time / first) ** -0.05
    return fit_creep([CreepReadings("", time, modulus, (), RING, 1 / 150_000)])


def test_ring_stiffness_at_three_times_by_hand():
    found = ring_stiffness(ring().adopted)
    by_hand = [2400 / MPA / 150_000 * (t / 0.05) ** -0.05 for t in (0.05, LIFE, 17_520)]
    assert (found.initial, found.creep, found.at_two_years) == pytest.approx(by_hand)
    assert ring_stiffness(fit_creep([level("")]).adopted) is None


@pytest.mark.parametrize(
    ("unit", "own", "factor"),
    [("MPa", "kPa", 1000.0), ("psi", "psi", 1 / MPA), ("ksi", "psi", 1 / MPA)],
)
def test_the_table_of_ring_stiffness_by_hand(unit, own, factor):
    """2,400 MPa over 150,000 is 16 kPa; the modulus in the unit of the sheet."""
    result = ring()
    blocks = creep_blocks(result, unit, CreepSettings())
    assert blocks[0].text == "Modulus at the design life, by a ring test"
    grids = [b for b in blocks if isinstance(b, Grid) and b.columns == SUMMARY]
    rows = {row[0]: row[1:] for row in grids[1].rows}
    late, two = ((t / 0.05) ** -0.05 for t in (LIFE, 17_520))
    initial = 0.016 * factor
    assert rows["initial ring stiffness"][0].split()[1] == own
    assert float(rows["initial ring stiffness"][0].split()[0]) == pytest.approx(initial, rel=6e-4)
    assert float(rows["creep ring stiffness at life"][0].split()[0]) == pytest.approx(
        initial * late, rel=6e-4
    )
    assert rows["creep factor"][0] == f"{late:.3f}"
    assert rows["creep ratio"][0] == f"{1 / two:.3f}"
    scale = {"MPa": 1.0, "psi": 1 / MPA, "ksi": 0.001 / MPA}[unit]
    value, said = rows["initial flexural modulus by the ring"][0].split()
    assert (float(value), said) == (pytest.approx(2400 * scale, rel=6e-5), unit)
    assert rows["initial ring stiffness"][1].startswith("first reading, at 0.05 h")
    assert rows["creep ring stiffness at life"][1] == "by the model at 438,000 h; ISO 10468"
    data = creep_data(result, unit)
    stiffness = 2400 * scale / 150_000
    assert data["ring"] == pytest.approx(
        {
            "initial_stiffness": stiffness,
            "creep_stiffness": stiffness * late,
            "creep_factor": late,
            "creep_ratio": 1 / two,
        }
    )
    assert data["rests_on"][0].startswith("Modulus from the ring stiffness")
    assert len(data["rests_on"]) == 5


@pytest.mark.parametrize(("first", "late"), [(0.1, False), (0.1005, True)])
def test_a_first_reading_later_than_six_minutes_is_said(first, late):
    cautions = creep_data(ring(first), "psi")["cautions"]
    assert (
        any(f"first reading at {first:.3g} h: later than the 3 min" in c for c in cautions) is late
    )


def test_a_bound_by_specimen_is_of_a_further_one_and_counts_them():
    names = tuple(name for name in "ABC" for _ in TIMES)
    modulus = np.concatenate([level("", seed=k, start=4e5 + 8000 * k).modulus for k in range(3)])
    result = fit_creep([CreepReadings("", np.tile(TIMES, 3), modulus, names)])
    blocks = creep_blocks(result, "psi", CreepSettings())
    (row,) = (row for row in tables(blocks)[SUMMARY] if row[0] == "lower bound")
    assert row[2] == "one-sided 95 % prediction bound, further specimen"
    assert any("mixed model with 3 specimens" in text for text in texts(blocks))
    assert creep_data(result, "psi")["bound_by"] == "specimen"


def test_cautions_of_levels_are_named_by_their_level_and_said_once():
    one, two = level("500 psi"), level("900 psi", -0.06, 2)
    result = fit_creep([one, two], rule=TOGETHER)
    cautions = creep_data(result, "psi")["cautions"]
    assert len(cautions) == len(set(cautions))
    for name in ("all load levels", "500 psi", "900 psi"):
        assert any(each.startswith(f"{name}: ") for each in cautions)
    alone = creep_data(fit_creep([one]), "psi")["cautions"]
    assert not any(each.startswith("500 psi: ") for each in alone)
    fit = fit_creep([one])
    assert alone == [c.said for c in (*fit.adopted.cautions, *fit.cautions)]
