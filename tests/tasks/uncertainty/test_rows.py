"""Chances of an inventory's rows against those of `size`, and against the closed form."""

import csv
import json
import math

import pytest
from scipy import stats

from linerdesign.interface import read, size
from linerdesign.tasks.uncertainty.pipes import Wishes

UNCERTAIN = """
[uncertainty]
groundwater_above_invert = "normal, sd 2 ft"
soil_reaction_modulus = "lognormal, sd 30 %"
"""
PROJECT = """
[project]
title = "Harrowmere"
units = "US"
[[resin]]
name = "felt"
flexural_modulus = "250000 psi"
flexural_strength = "9000 psi"
uncertainty = { modulus_retention = "triangular 40 %, 50 %, 55 %" }
"""
HEADS = (
    "name", "condition", "host_diameter [in]", "ovality [%]", "cover [ft]",
    "groundwater_above_invert [ft]", "soil_unit_weight [pcf]", "soil_reaction_modulus [psi]",
    "live_load [psi]", "design_thickness [mm]",
)  # fmt: skip
FULLY, PARTIALLY = "fully deteriorated", "partially deteriorated"
ROWS = [
    ("A", FULLY, 18, 3, 12, 10, 120, 1000, 0.8, 10.5),
    ("B", FULLY, 24, 2, 8, 6, 120, 700, 1.2, 13.5),
    ("C", FULLY, 12, 4, 10, 9, 120, 1000, 0, 5),
    ("D", PARTIALLY, 12, 2, 10, 9, "", "", "", 5.5),
    ("E", FULLY, 12, 4, 10, "", 120, 1000, 0, 5),
]


def sized(run, tmp_path, *more, uncertain=UNCERTAIN, rows=ROWS, source="in.csv"):
    (tmp_path / "p.toml").write_text(PROJECT + uncertain)
    if source == "in.csv":
        with (tmp_path / source).open("w", newline="") as file:
            csv.writer(file).writerows([HEADS, *rows])
    words = ("batch", source, "--project", "p.toml", "-o", "out.csv", "-o", "out.json")
    code, _, err = run(*words, "--force", *more)
    if code == 2:
        return err
    with (tmp_path / "out.csv").open(newline="") as file:
        return list(csv.DictReader(file)), json.loads((tmp_path / "out.json").read_text())


def as_pipe(row):
    found = {"name": row[0], "condition": row[1]}
    for head, value in zip(HEADS[2:], row[2:], strict=True):
        key, unit = head.rstrip("]").split(" [")
        if value != "":
            found[key] = f"{value} {unit}"
    return found


def test_the_chances_of_rows_are_those_of_size(run, tmp_path):
    """The fifth row lacks its water: an error, and no chance."""
    rows, data = sized(run, tmp_path, "--uncertainty", "stated")
    import tomllib

    tables = tomllib.loads(PROJECT + UNCERTAIN) | {"pipe": [as_pipe(row) for row in ROWS[:4]]}
    by_size = size(read(tables), uncertainty=Wishes()).uncertainty.pipes
    for row, pipe in zip(rows, by_size, strict=False):
        # Up to half a point of error, with that of `size`.
        assert float(row["chance_enough [%]"]) == pytest.approx(100 * pipe.enough.chance, abs=2)
        if row["reliability_index"]:
            assert float(row["reliability_index"]) == pytest.approx(pipe.index, abs=0.1)
        else:
            assert not math.isfinite(pipe.index)
    assert (rows[4]["status"], rows[4]["chance_enough [%]"]) == ("error", "")
    low = sum(float(row["chance_enough [%]"]) < 95 for row in rows[:4])
    assert data["uncertainty"]["rows_under_confidence"] == low > 0


def test_the_chance_of_a_row_is_the_closed_form(run, tmp_path):
    """X1.1 under a normal head: t carries 2 K E_L C/((1 - nu^2)(DR - 1)^3 N 0.433) feet."""
    uncertain = '[uncertainty]\ngroundwater_above_invert = "normal, sd 2 ft"\n'
    project = PROJECT.replace("uncertainty = {", "# {")
    (tmp_path / "p.toml").write_text(project + uncertain)
    row = ("D", PARTIALLY, 12, 0, 10, 9, "", "", "", 4.8)
    with (tmp_path / "in.csv").open("w", newline="") as file:
        csv.writer(file).writerows([HEADS, row])
    words = ("batch", "in.csv", "--project", "p.toml", "-o", "out.csv", "--uncertainty", "stated")
    assert run(*words)[0] == 0
    with (tmp_path / "out.csv").open(newline="") as file:
        (found,) = csv.DictReader(file)
    head = 2 * 7 * 125_000 / ((1 - 0.3**2) * (12 * 25.4 / 4.8 - 1) ** 3 * 2 * 0.433)
    expected = 100 * stats.norm.cdf((head - 9) / 2)
    assert 5 < expected < 99
    assert float(found["chance_enough [%]"]) == pytest.approx(expected, abs=1.5)
    assert float(found["reliability_index"]) == pytest.approx((2 * head - 9) / 2, abs=0.01)


def test_without_the_option_there_are_no_columns_and_an_earlier_result_keeps_none(run, tmp_path):
    rows, data = sized(run, tmp_path)
    assert "chance_enough [%]" not in rows[0]
    assert "uncertainty" not in data
    sized(run, tmp_path, "--uncertainty", "stated")
    (tmp_path / "out.csv").rename(tmp_path / "last.csv")
    again, _ = sized(run, tmp_path, "--uncertainty", "stated", source="last.csv")
    assert again[0]["chance_enough [%]"] != ""
    stale, _ = sized(run, tmp_path, source="last.csv")
    assert {row["chance_enough [%]"] for row in stale} == {""}


def test_an_uncertainty_of_no_column_is_an_error_before_the_first_row(run, tmp_path):
    text = UNCERTAIN + 'hole_diameter = "10 %"\n'
    assert "no column and no default gives such a value" in sized(
        run, tmp_path, "--uncertainty", "stated", uncertain=text
    )


def test_a_first_row_of_zero_does_not_hide_the_uncertainty_of_the_others(run, tmp_path):
    rows = [(*row[:8], load, row[9]) for row, load in zip(ROWS[:2], (0, 3), strict=True)]
    text = '[uncertainty]\nlive_load = "lognormal, sd 60 %"\n'
    project_rows, _ = sized(run, tmp_path, "--uncertainty", "stated", uncertain=text, rows=rows)
    alone, _ = sized(run, tmp_path, "--uncertainty", "stated", uncertain=text, rows=rows[1:])
    assert project_rows[1]["chance_enough [%]"] == alone[0]["chance_enough [%]"]


def test_usual_uncertainties_need_none_stated(run, tmp_path):
    """The usual ones are in no table of the project: the columns alone give what is uncertain."""
    project = PROJECT.replace("uncertainty = {", "# {")
    (tmp_path / "p.toml").write_text(project)
    with (tmp_path / "in.csv").open("w", newline="") as file:
        csv.writer(file).writerows([HEADS, *ROWS[:4]])
    words = ("batch", "in.csv", "--project", "p.toml", "-o", "out.csv", "--force", "--uncertainty")
    code, _, err = run(*words, "stated")
    assert (code, "no uncertainty stated" in err) == (2, True)
    assert run(*words, "usual")[0] < 2
    with (tmp_path / "out.csv").open(newline="") as file:
        assert all(0 < float(row["chance_enough [%]"]) <= 100 for row in csv.DictReader(file))


def test_the_owners_minimum_is_as_sure_in_a_column_as_in_the_criteria(run, tmp_path):
    """A column alone gives it: the program's own default, which is nobody's word, plays no part."""
    uncertain = PROJECT.replace("uncertainty = {", "# {")
    criteria = '[criteria]\nminimum_ovality = "3 %"\n'
    (tmp_path / "column.toml").write_text(uncertain)
    (tmp_path / "criteria.toml").write_text(uncertain + criteria)
    row = ("D", PARTIALLY, 12, 10, 5.3)
    heads = ["name", "condition", "host_diameter [in]", "groundwater_above_invert [ft]",
             "design_thickness [mm]"]  # fmt: skip
    found = []
    for name, more in (("column", {"minimum_ovality [%]": 3}), ("criteria", {})):
        with (tmp_path / "in.csv").open("w", newline="") as file:
            csv.writer(file).writerows([[*heads, *more], [*row, *more.values()]])
        words = ("batch", "in.csv", "--project", f"{name}.toml", "-o", "out.csv", "--force")
        assert run(*words, "--uncertainty", "usual")[0] < 2
        with (tmp_path / "out.csv").open(newline="") as file:
            (read_back,) = csv.DictReader(file)
        found.append((read_back["chance_enough [%]"], read_back["reliability_index"]))
    assert found[0] == found[1]
    assert 5 < float(found[0][0]) < 95
