"""`creep` on constructed lines, against SciPy, and into a project."""

import json
import tomllib

import numpy as np
import pytest
from projects import toml
from scipy import stats

TIMES = np.geomspace(1, 10_000, 20)


def write(path, modulus, unit="psi", times=TIMES):
    rows = "".join(f"{t!r},{m!r}\n" for t, m in zip(times.tolist(), modulus.tolist(), strict=True))
    path.write_text(f"time [h],modulus [{unit}]\n{rows}")


def scattered(slope=-0.06, seed=3):
    noise = np.random.default_rng(seed).normal(0, 0.004, TIMES.size)
    return 300_000 * TIMES**slope * 10**noise


def test_a_line_without_scatter(run, tmp_path):
    write(tmp_path / "c.csv", 300_000 * TIMES**-0.05)
    code, out, _ = run("creep", "c.csv", "--json", "--t0", "1 h", "--life", "438000 h")
    found = json.loads(out)
    assert code == 0
    assert found["slope"] == pytest.approx(-0.05)
    assert found["retention"] == pytest.approx(438_000**-0.05)
    assert found["modulus_at_life"] == pytest.approx(300_000 * 438_000**-0.05)
    assert found["lower_bound"] == pytest.approx(found["modulus_at_life"], rel=1e-6)
    assert found["life_hours"] == 438_000


def test_bound_of_one_further_reading_by_scipy(run, tmp_path):
    """Prediction bound written out: line less t s sqrt(1 + 1/n + (x - mean)^2 / Sxx)."""
    modulus = scattered()
    write(tmp_path / "c.csv", modulus)
    found = json.loads(run("creep", "c.csv", "--json")[1])
    x, y = np.log10(TIMES), np.log10(modulus)
    fit = stats.linregress(x, y)
    at = np.log10(438_000)
    s = np.sqrt(np.sum((y - fit.intercept - fit.slope * x) ** 2) / (x.size - 2))
    width = s * np.sqrt(1 + 1 / x.size + (at - x.mean()) ** 2 / np.sum((x - x.mean()) ** 2))
    bound = fit.intercept + fit.slope * at - stats.t.ppf(0.95, x.size - 2) * width
    assert found["slope"] == pytest.approx(fit.slope)
    assert found["lower_bound"] == pytest.approx(10**bound)


def test_units_of_the_file(run, tmp_path):
    write(tmp_path / "c.csv", 2000 * TIMES**-0.05, unit="MPa")
    found = json.loads(run("creep", "c.csv", "--json")[1])
    assert (found["unit"], found["modulus_at_life"]) == (
        "MPa",
        pytest.approx(2000 * 438_000**-0.05),
    )


def test_times_with_units(run, tmp_path):
    write(tmp_path / "c.csv", scattered())
    one = json.loads(run("creep", "c.csv", "--json", "--t0", "60 min", "--life", "50 years")[1])
    other = json.loads(run("creep", "c.csv", "--json", "--t0", "1 h", "--life", "438000 h")[1])
    assert one == other


def test_what_it_rests_on_is_printed(run, tmp_path):
    write(tmp_path / "c.csv", scattered()[:6], times=TIMES[:6])
    _, out, _ = run("creep", "c.csv")
    text = " ".join(out.split())
    assert "before 10,000 h" in text
    assert "number of readings in the fit: 6" in text
    assert "EXTRAPOLATION: design life" in text
    assert "treats readings as independent" in text
    assert "the modulus at t0 of the same test" in text


def test_written_into_the_first_resin(run, tmp_path):
    write(tmp_path / "c.csv", 300_000 * TIMES**-0.06)
    (tmp_path / "p.toml").write_text(toml())
    assert run("creep", "c.csv", "--write", "p.toml")[0] == 0
    resin = tomllib.loads((tmp_path / "p.toml").read_text())["resin"][0]
    assert resin["modulus_retention"] == f"{round(100 * 438_000**-0.06, 2):.4g} %"
    assert "t0 = 1 h" in resin["evidence"]
    code, _, err = run("creep", "c.csv", "--t0", "2 h", "--write", "p.toml")
    assert (code, "--force" in err) == (2, True)


@pytest.mark.parametrize(
    "words",
    [
        ("--t0", "0 h"),
        ("--life", "1.2.3 h"),
        ("--t0", "5 weeks"),
        ("--bound",),
        # Fifty of what: hours would give 80 %, years 49 %.
        ("--life", "50"),
        ("--life", "8759"),
    ],
)
def test_bad_arguments(run, tmp_path, words):
    write(tmp_path / "c.csv", scattered())
    code, out, err = run("creep", "c.csv", *words)
    assert (code, out) == (2, "")
    assert words[0] in err


@pytest.mark.parametrize("heading", ["strain", "strain [-]", "strain [in/in]"])
def test_strain_without_a_unit_is_a_ratio(run, tmp_path, heading):
    """The modulus is the stress over it: 500 psi over a ratio of 1/600, and less with time."""
    moduli = 300_000 * TIMES**-0.05
    rows = [f"{t},500,{500 / m:.9g}" for t, m in zip(TIMES, moduli, strict=True)]
    (tmp_path / "c.csv").write_text(f"time [h],stress [psi],{heading}\n" + "\n".join(rows))
    code, out, err = run("creep", "c.csv", "--json")
    assert code == 0, err
    assert json.loads(out)["slope"] == pytest.approx(-0.05, rel=1e-6)
    assert json.loads(out)["modulus_at_life"] == pytest.approx(300_000 * 438_000**-0.05, rel=1e-6)


def test_a_bare_time_is_in_hours_as_in_the_file(run, tmp_path):
    write(tmp_path / "c.csv", scattered())
    bare = ("--t0", "1", "--life", "438000", "--fit-from", "1", "--fit-to", "1000")
    with_unit = ("--t0", "1 h", "--life", "50 years", "--fit-from", "1 h", "--fit-to", "1000 h")
    one, other = (run("creep", "c.csv", "--json", *words)[1] for words in (bare, with_unit))
    assert one == other
    assert json.loads(one)["life_hours"] == 438_000


def test_the_retention_written_is_of_the_line_or_of_the_bound(run, tmp_path):
    """Either modulus at the end of life over that of the line at t0, both from `--json`."""
    write(tmp_path / "c.csv", scattered())
    found = json.loads(run("creep", "c.csv", "--json")[1])
    for words, key in (((), "modulus_at_life"), (("--bound",), "lower_bound")):
        (tmp_path / "p.toml").write_text(toml())
        assert run("creep", "c.csv", "--write", "p.toml", *words)[0] == 0
        (resin,) = tomllib.loads((tmp_path / "p.toml").read_text())["resin"]
        share = found[key] / found["modulus_at_t0"]
        assert float(resin["modulus_retention"].split()[0]) == pytest.approx(100 * share, abs=0.006)


def test_a_modulus_that_rises_is_not_written(run, tmp_path):
    write(tmp_path / "c.csv", 300_000 * TIMES**0.01)
    (tmp_path / "p.toml").write_text(toml())
    code, _, err = run("creep", "c.csv", "--write", "p.toml")
    assert code == 2
    assert "at most 100 %" in err


def test_a_modulus_that_rises_is_not_said_to_fall(run, tmp_path):
    write(tmp_path / "c.csv", 300_000 * TIMES**0.02)
    text = " ".join(run("creep", "c.csv")[1].split())
    assert "Modulus rises with slope 0.0200" in text
    assert "falls" not in text
    assert "the modulus rises with time, which is not creep" in text
    write(tmp_path / "c.csv", 300_000 * TIMES**-0.02)
    assert "Modulus falls with slope -0.0200" in " ".join(run("creep", "c.csv")[1].split())


@pytest.mark.parametrize(
    ("modulus", "unit", "asked"),
    [
        (2100, "psi", True),
        (300_000, "psi", False),
        (2100, "MPa", False),
        (300, "ksi", False),
        (2.1, "MPa", True),
        # 1 MPa is 145.038 psi: 689.5 MPa are 100,000 psi, 15,168 MPa are 2,200,000 psi.
        (690, "MPa", False),
        (689, "MPa", True),
        (15_168, "MPa", False),
        (15_169, "MPa", True),
    ],
)
def test_a_modulus_of_no_liner_asks_for_its_unit(run, tmp_path, modulus, unit, asked):
    write(tmp_path / "c.csv", modulus * TIMES**-0.05, unit=unit)
    found = json.loads(run("creep", "c.csv", "--json")[1])
    assert any("check the unit of the readings" in c for c in found["cautions"]) is asked


def evidence(tmp_path):
    return tomllib.loads((tmp_path / "p.toml").read_text())["resin"][0].get("evidence", "")


def test_a_test_read_again_replaces_its_evidence_and_no_other(run, tmp_path):
    (tmp_path / "p.toml").write_text(toml(resin={"evidence": "panels of 2025; creep test asked"}))
    for number, slope in enumerate((-0.06, -0.07)):
        write(tmp_path / f"c{number}.csv", 300_000 * TIMES**slope)
        assert run("creep", f"c{number}.csv", "--write", "p.toml", "--force")[0] == 0
    text = evidence(tmp_path)
    assert text.startswith("panels of 2025; creep test asked; creep test c1.csv (SHA-256 ")
    assert "c0.csv" not in text
    # Every part that the first writing left is gone: two of the user's and one of the last test.
    assert text.count("; ") == 2
    assert run("creep", "c1.csv", "--write", "p.toml")[0] == 0
    assert evidence(tmp_path) == text
    out = run("creep", "c0.csv", "--write", "p.toml", "--force")[1]
    assert "replaced or removed: evidence of an earlier creep test" in out


def test_evidence_carries_the_cautions_of_the_test(run, tmp_path):
    """A test of 100 h, one with scatter, and one that curves down, each with its own words."""
    short = TIMES[TIMES <= 101]
    noise = np.tile([0.05, -0.05], 10)
    bent = 300_000 * 10 ** (-0.01 * np.log10(TIMES) ** 2)
    cases = (
        (300_000 * short**-0.06, short, "before 10,000 h"),
        (300_000 * TIMES**-0.06 * 10**noise, TIMES, "scatter of the readings about the model"),
        (bent, TIMES, "a straight line would overstate the modulus at design life"),
    )
    for modulus, times, words in cases:
        (tmp_path / "p.toml").write_text(toml())
        write(tmp_path / "c.csv", modulus, times=times)
        assert run("creep", "c.csv", "--write", "p.toml")[0] == 0
        assert words in evidence(tmp_path)
        assert words in " ".join(run("size", "p.toml")[1].split())


def test_every_form_and_the_same_bytes(run, tmp_path):
    write(tmp_path / "c.csv", scattered())
    forms = ("a.html", "b.html", "a.xlsx", "a.pdf")
    assert run("creep", "c.csv", *(w for f in forms for w in ("-o", f)))[0] == 0
    assert (tmp_path / "a.html").read_bytes() == (tmp_path / "b.html").read_bytes()


def test_a_bound_by_specimen(run, tmp_path):
    """Two specimens at one level: the bound of a further one lies below that of a reading."""
    lines = [
        f"{t!r},{m!r},{name}"
        for name, start in (("A", 300_000), ("B", 310_000), ("C", 295_000))
        for t, m in zip(TIMES.tolist(), (start / 300_000 * scattered()).tolist(), strict=True)
    ]
    (tmp_path / "c.csv").write_text("time [h],modulus [psi],specimen\n" + "\n".join(lines))
    found = json.loads(run("creep", "c.csv", "--json")[1])
    assert found["bound_by"] == "specimen"
    assert found["lower_bound"] < found["modulus_at_life"]
    assert any("mixed model with 3 specimens" in text for text in found["rests_on"])


def test_creep_rupture_writes_the_strength_retention(run, tmp_path):
    """Stress falls as t^-0.06: retention at 438,000 h over 1 h is 438000^-0.06 = 45.9 %."""
    rows = "".join(f"{t!r},{4000 * t**-0.06!r}\n" for t in TIMES.tolist())
    (tmp_path / "c.csv").write_text(f"time to failure [h],stress [psi]\n{rows}")
    (tmp_path / "p.toml").write_text(toml())
    code, out, _ = run("creep", "c.csv", "--write", "p.toml")
    assert code == 0
    assert "Strength at the design life" in out
    resin = tomllib.loads((tmp_path / "p.toml").read_text())["resin"][0]
    assert resin["strength_retention"] == f"{round(100 * 438_000**-0.06, 2):.4g} %"
    assert "modulus_retention" not in resin
    assert resin["evidence"].startswith("creep rupture test c.csv")
    assert json.loads(run("creep", "c.csv", "--json")[1])["test"] == "rupture"


def test_three_and_four_readings_have_no_criterion(run, tmp_path):
    for count in (3, 4):
        times = TIMES[:count]
        write(tmp_path / "c.csv", 300_000 * times**-0.05, times=times)
        code, out, err = run("creep", "c.csv", "--json")
        # On a busy machine the run says that it is still calculating.
        assert (code, [each for each in err.splitlines() if "calculating" not in each]) == (0, [])
        (model,) = json.loads(out)["models"]
        assert model["information_criterion"] is None
        assert run("creep", "c.csv")[0] == 0


def test_ring_stiffness_of_a_ring_test_by_hand(run, tmp_path):
    """E I/d^3 = E/12 (6/300)^3, E falling by t^-0.05 from 2,400 MPa at 0.05 h."""
    d, thick, length, load = 300.0, 6.0, 300.0, 200.0
    rows = ["time [h],load [N],deflection [mm],length [mm],diameter [mm],thickness [mm]"]
    for hours in (0.05, 1, 10, 100, 1000, 10_000):
        stiffness = 2400 * (hours / 0.05) ** -0.05 / 12 * (thick / d) ** 3
        # y of S = (0.0186 + 0.025 y/d) F/(L y).
        y = 0.0186 / (stiffness * length / load - 0.025 / d)
        rows.append(f"{hours},{load},{y!r},{length},{d},{thick}")
    (tmp_path / "r.csv").write_text("\n".join(rows))
    code, out, _ = run("creep", "r.csv", "--json", "--units", "SI")
    assert code == 0
    ring = json.loads(out)["ring"]
    initial = 2400 / 12 * (thick / d) ** 3
    assert ring["initial_stiffness"] == pytest.approx(initial, rel=1e-6)
    late = (438_000 / 0.05) ** -0.05
    assert ring["creep_factor"] == pytest.approx(late, rel=1e-6)
    assert ring["creep_stiffness"] == pytest.approx(initial * late, rel=1e-6)
    assert ring["creep_ratio"] == pytest.approx((17_520 / 0.05) ** 0.05, rel=1e-6)
    # The retention of the fit is from 1 h, and no creep factor.
    assert json.loads(out)["retention"] == pytest.approx(438_000**-0.05, rel=1e-6)
    text = " ".join(run("creep", "r.csv")[1].split())
    assert "initial and creep are not one another" in text
    assert "later than the 3 min" not in text
    (tmp_path / "r.csv").write_text("\n".join((rows[0], *rows[2:])))
    assert "later than the 3 min" in " ".join(run("creep", "r.csv")[1].split())
