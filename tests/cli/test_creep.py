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
    code, out, _ = run("creep", "c.csv", "--json", "--t0", "1", "--life", "438000")
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
    other = json.loads(run("creep", "c.csv", "--json", "--t0", "1", "--life", "438000")[1])
    assert one == other


def test_what_it_rests_on_is_printed(run, tmp_path):
    write(tmp_path / "c.csv", scattered()[:6], times=TIMES[:6])
    _, out, _ = run("creep", "c.csv")
    text = " ".join(out.split())
    assert "short of 10,000 h" in text
    assert "the line rests on 6 readings" in text
    assert "takes the readings as independent; readings of one specimen are not" in text
    assert "the line's own modulus at t0" in text


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
    "words", [("--t0", "0"), ("--life", "1.2.3 h"), ("--t0", "5 weeks"), ("--bound",)]
)
def test_bad_arguments(run, tmp_path, words):
    write(tmp_path / "c.csv", scattered())
    code, out, err = run("creep", "c.csv", *words)
    assert (code, out) == (2, "")
    assert "expected" in err


def test_a_modulus_that_rises_is_not_written(run, tmp_path):
    write(tmp_path / "c.csv", 300_000 * TIMES**0.01)
    (tmp_path / "p.toml").write_text(toml())
    code, _, err = run("creep", "c.csv", "--write", "p.toml")
    assert code == 2
    assert "at most 100 %" in err


def test_every_form_and_the_same_bytes(run, tmp_path):
    write(tmp_path / "c.csv", scattered())
    forms = ("a.html", "b.html", "a.xlsx", "a.pdf")
    assert run("creep", "c.csv", *(w for f in forms for w in ("-o", f)))[0] == 0
    assert (tmp_path / "a.html").read_bytes() == (tmp_path / "b.html").read_bytes()
