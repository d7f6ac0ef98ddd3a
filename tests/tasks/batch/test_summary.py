"""Totals of an inventory against sums over its own table."""

import json
import math

import polars as pl
import pytest
from tasks.batch.test_agreement import PROJECT
from tasks.batch.test_pieces import GOOD

from linerdesign.tasks.batch import tables


def test_counts_lengths_and_masses(run, tmp_path):
    (tmp_path / "project.toml").write_text(
        PROJECT.replace('name = "Felt A"', 'name = "Felt A"\ndensity = "1.2 g/cm^3"')
    )
    rows = [
        GOOD | {"host_diameter [in]": str(d), "cover [ft]": str(h), "length [ft]": str(100 + d)}
        for d in (6, 8, 12)
        for h in (5, 9, 14, 20)
    ]
    rows += [rows[0] | {"condition": "?"}, rows[1] | {"length [ft]": None}]
    schema = dict.fromkeys(rows[0], pl.String)
    pl.DataFrame(rows, schema=schema).write_csv(tmp_path / "in.csv")
    words = ("batch", "in.csv", "--project", "project.toml", "-o", "out.csv", "--json")
    code, text, _ = run(*words)
    data = json.loads(text)
    assert code == 1
    assert data["rows"] == len(rows)
    assert data["statuses"] == {"error": 1, "sized": 13}
    out = pl.read_csv(tmp_path / "out.csv").filter(pl.col("status") == "sized")
    metres = out["length [ft]"].fill_null(0) * 0.3048
    diameter, thickness = out["host_diameter [in]"] * 25.4, out["nominal_thickness [mm]"]
    # pi (D - t) t of the section, 1.2 g/cm3 = 1200 kg/m3.
    masses = math.pi * (diameter - thickness) * thickness / 1e6 * 1200 * metres
    assert data["length"]["value"] == pytest.approx(metres.sum(), rel=1e-12)
    # The house's pi has six figures.
    assert data["mass"]["value"] == pytest.approx(masses.sum(), rel=1e-5)
    counts = {
        (each["diameter"], each["nominal_thickness"]["value"]): each["count"]
        for each in data["sizes"]
    }
    for (d, t), group in out.group_by("host_diameter [in]", "nominal_thickness [mm]"):
        assert counts[f"{d} in", t] == group.height
    assert sum(data["governing"].values()) == 13
    assert sum(data["errors"].values()) == 1


@pytest.mark.parametrize(("units", "mass"), [("US", "227 lb"), ("SI", "0.10 t")])
def test_mass_in_the_words_of_the_units(run, tmp_path, units, mass):
    """A wall of 4.5 mm in 8 in over 100 ft, 1.2 g/cm3, by hand.

    pi (203.2 - 4.5) 4.5 = 2,809 mm2, times 30.48 m and 1,200 kg/m3: 102.74 kg, that is 226.5 lb.
    """
    row = GOOD | {"host_diameter [in]": "8", "length [ft]": "100"}
    project = PROJECT.replace('name = "Felt A"', 'name = "Felt A"\ndensity = "1.2 g/cm^3"')
    (tmp_path / "project.toml").write_text(project)
    pl.DataFrame([row], schema=dict.fromkeys(row, pl.String)).write_csv(tmp_path / "in.csv")
    words = ("batch", "in.csv", "--project", "project.toml", "-o", "out.csv", "--force")
    _, text, _ = run(*words, "--units", units)
    wall = pl.read_csv(tmp_path / "out.csv")["nominal_thickness [mm]"].item()
    assert (wall, f"mass of their walls: {mass}\n" in text) == (4.5, True)


def summary_of(run, tmp_path, rows):
    (tmp_path / "project.toml").write_text(PROJECT)
    pl.DataFrame(rows, schema=dict.fromkeys(rows[0], pl.String)).write_csv(tmp_path / "in.csv")
    words = ("batch", "in.csv", "--project", "project.toml", "-o", "out.csv", "--force")
    return run(*words)[1], json.loads(run(*words, "--json")[1])


def test_rows_of_one_name_are_counted_over_all_pieces(run, tmp_path, monkeypatch):
    monkeypatch.setattr(tables, "PIECE", 2)
    names = ["A", "B", "A", None, None, "C", " A", "C"]
    text, data = summary_of(run, tmp_path, [GOOD | {"name": name} for name in names])
    # Three A and two C; a row without a name shares none.
    assert data["rows_with_a_repeated_name"] == 5
    assert "share their name with another row: 5" in text
    text, data = summary_of(run, tmp_path, [GOOD])
    assert data["rows_with_a_repeated_name"] == 0
    assert "share their name" not in text


def test_no_lengths_print_as_none_known(run, tmp_path):
    rows = [{key: value for key, value in GOOD.items() if not key.startswith("length")}]
    text, _ = summary_of(run, tmp_path, rows)
    assert "length of pipes with a thickness: -" in text
    assert "0 ft" not in text


def test_columns_of_another_shape_are_named(run, tmp_path):
    _, data = summary_of(run, tmp_path, [GOOD | {"shape": "egg", "height [mm]": "900"}])
    first, second = data["passed_through_unread"]
    assert first.startswith(
        'column "shape" passes through unread; Appendix X1 is for circular pipe'
    )
    assert second.startswith('column "height [mm]" passes through unread')
