"""The planning table against `size` on the pipe of each cell."""

import csv
import json

import openpyxl
import pytest
from projects import sized, toml

AXES = (
    "--diameter",
    "8 in",
    "600 mm",
    "--cover",
    "5 ft",
    "4 m",
    "--water",
    "0 ft",
    "9 ft",
)


def test_every_cell_is_what_size_gives(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml())
    code, out, _ = run("plan", "a.toml", *AXES, "--json")
    data = json.loads(out)
    assert code == 0
    assert data["water_datum"] == "groundwater_above_invert"
    assert len(data["cells"]) == 8
    for cell in data["cells"]:
        pipe = {
            "host_diameter": cell["host_diameter"],
            "cover": cell["cover"],
            "groundwater_above_invert": cell["water"],
        }
        single = sized(pipe=pipe)
        assert cell["required_thickness"]["value"] == pytest.approx(
            25.4 * single.required_thickness, rel=1e-12
        )
        assert cell["nominal_thickness"]["value"] == pytest.approx(
            25.4 * single.nominal_thickness, rel=1e-9
        )
        assert cell["governing"] == single.governing
        assert cell["status"] == single.status


def test_the_pipe_states_the_datum_of_the_water(run, tmp_path):
    below = {"groundwater_below_surface": "5 ft"}
    (tmp_path / "a.toml").write_text(toml(below, drop=("groundwater_above_invert",)))
    _, out, _ = run("plan", "a.toml", *AXES, "--json")
    assert json.loads(out)["water_datum"] == "groundwater_below_surface"


def test_forms_and_what_is_printed_on_them(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml(criteria={"minimum_thickness": "4.5 mm"}))
    targets = ("-o", "p.csv", "-o", "p.xlsx", "-o", "p.pdf", "-o", "p.txt")
    assert run("plan", "a.toml", *AXES, *targets)[0] == 0
    with (tmp_path / "p.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 8
    assert rows[0]["nominal_thickness [mm]"] == "4.5"
    text = (tmp_path / "p.txt").read_text()
    for words in ("minimum_thickness", "4.5 mm", "modulus of soil reaction", "1000 psi"):
        assert words in text
    book = openpyxl.load_workbook(tmp_path / "p.xlsx")
    cells = {str(c.value) for sheet in book for row in sheet for c in row if c.value is not None}
    assert any("cover 5 ft" in cell for cell in cells)
    assert (tmp_path / "p.pdf").read_bytes().startswith(b"%PDF")


def test_bad_axes_are_all_named(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml())
    code, _, err = run("plan", "a.toml", "--diameter", "8", "--cover", "-3 ft", "--water", "deep")
    assert code == 2
    assert all(option in err for option in ("--diameter", "--water"))


def test_outside_the_method_is_marked(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml({"ovality": "12 %"}))
    code, out, _ = run("plan", "a.toml", *AXES)
    assert code == 1
    assert "! (X1" in out
    assert "ovality over 10 %" in out


def test_a_table_of_loads_that_does_not_reach_is_refused_by_cell(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml({"live_load": "H-20 table"}))
    words = ("--diameter", "8 in", "--water", "0 ft", "--cover", "4 ft", "500 ft")
    code, out, err = run("plan", "a.toml", *words)
    assert (code, out) == (2, "")
    assert "0 ft, 500 ft, 8 in, live_load: expected another method" in err
    assert "4 ft, 8 in, live_load" not in err
