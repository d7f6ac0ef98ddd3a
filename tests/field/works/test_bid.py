"""The bid schedule against hand calculation, with the inch, foot and gallon by definition."""

import csv
from math import pi
from pathlib import Path

import pytest
from projects import toml

from linerdesign.documents.blocks import Grid
from linerdesign.field.works import bid as module
from linerdesign.field.works.bid import Bid, Item, bid
from linerdesign.interface import read, size
from linerdesign.project.assembly import designed_all, tasks
from linerdesign.words import sentence

# NIST Handbook 44, Appendix C: the inch is 25.4 mm, the US gallon 231 cubic inches, the pound
# 0.45359237 kg.
FOOT, GALLON, POUND = 0.3048, 231 * 0.0254**3, 0.45359237

TEXT = """
[project]
title = "Quay Street"
units = "{units}"
[order]
resin_excess = "8 %"
[[resin]]
name = "felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
density = "1150 kg/m^3"
[[pipe]]
name = "MH 1"
{shared}
design_thickness = "6 mm"
length = "300 ft"
[[pipe]]
name = "MH 2"
{shared}
design_thickness = "6 mm"
length = "100 m"
[[pipe]]
name = "MH 3"
{shared}
design_thickness = "7.5 mm"
length = "50 m"
[[pipe]]
name = "MH 4"
{shared}
design_thickness = "7.5 mm"
"""
SHARED = """condition = "partially deteriorated"
host_diameter = "8 in"
ovality = "2 %"
groundwater_above_invert = "2 ft"
"""


def _bid(tmp_path, units):
    path = tmp_path / "p.toml"
    path.write_text(TEXT.format(units=units, shared=SHARED), encoding="utf-8")
    return size(read(path)).bid


@pytest.mark.parametrize("units", ["US", "SI"])
def test_sums_by_hand(tmp_path, units):
    bid = _bid(tmp_path, units)
    assert [(each.nominal, each.pipes) for each in bid.items] == [("6", 2), ("7.5", 1)]
    assert bid.without_length == 1
    diameter = 0.2032
    lengths = {"6": 300 * FOOT + 100, "7.5": 50.0}
    for each in bid.items:
        length, t = lengths[each.nominal], float(each.nominal) / 1000
        wall = pi * (diameter - t) * t * length
        resin = wall * 1.08
        by_hand = {
            "length": (length, length / FOOT),
            "area": (pi * diameter * length, pi * diameter * length / FOOT**2),
            "wall": (wall, wall / FOOT**3),
            "resin": (resin * 1000, resin / GALLON),
            "resin_weight": (resin * 1150, resin * 1150 / POUND),
            "weight": (wall * 1150, wall * 1150 / POUND),
        }
        assert set(by_hand) == set(bid.columns)
        for column, (si, us) in by_hand.items():
            assert each.quantity(column, "SI") == pytest.approx(si, rel=2e-6), column
            assert each.quantity(column, "US") == pytest.approx(us, rel=2e-6), column


def test_totals_are_the_sums_of_the_items(tmp_path):
    bid = _bid(tmp_path, "US")
    for column in bid.columns:
        for system in ("US", "SI"):
            parts = sum(each.quantity(column, system) for each in bid.items)
            assert bid.total.quantity(column, system) == pytest.approx(parts)


def test_the_table_of_the_command(run):
    Path("p.toml").write_text(TEXT.format(units="US", shared=SHARED), encoding="utf-8")
    code, _, err = run("size", "p.toml", "-o", "bid.csv", "-o", "s.pdf")
    assert (code, "written: bid.csv" in err) == (0, True)
    rows = list(csv.DictReader(Path("bid.csv").read_text(encoding="utf-8").splitlines()))
    assert [row["host diameter"] for row in rows] == ["8 in", "8 in", "total"]
    assert float(rows[-1]["length [m]"]) == pytest.approx(300 * FOOT + 150, rel=1e-5)
    assert float(rows[1]["liner area [ft^2]"]) == pytest.approx(pi * 8 / 12 * 50 / FOOT, rel=1e-5)


def test_no_table_without_a_length(run):
    text = TEXT.format(units="US", shared=SHARED).replace("\nlength", "\n# length")
    Path("p.toml").write_text(text, encoding="utf-8")
    code, out, err = run("size", "p.toml", "-o", "bid.csv")
    assert (code, out) == (2, "")
    assert "no pipe has a length" in err
    assert not Path("bid.csv").exists()


def test_weights_that_can_not_be_told_are_said(tmp_path):
    """A resin without density: its rows and the total have no weight, the others theirs."""
    other = (
        '[[resin]]\nname = "glass"\nflexural_modulus = "1000 ksi"\nflexural_strength = "15 ksi"\n'
    )
    text = TEXT.format(units="SI", shared=SHARED)
    text = text.replace("[[pipe]]", other + "[[pipe]]", 1)
    text = text.replace('name = "MH 3"', 'name = "MH 3"\nresin = "glass"')
    file = tmp_path / "p.toml"
    file.write_text(text, encoding="utf-8")
    found = size(read(file)).bid
    assert "weight" in found.columns
    assert [each.quantities["weight"] is None for each in found.items].count(True) == 1
    assert found.total.quantities["weight"] is None
    assert "No weights: density of the cured wall not stated for glass." in found.blocks[-1].text


def test_resin_is_weighed_by_its_own_density_and_what_fails_is_named(tmp_path):
    """By hand: a wall of 6 mm in 8 in, its resin of 1080 kg/m^3 with 8 % excess; 2 mm of MH 3 are
    over a DR of 100 in dry ground."""
    text = TEXT.replace("1150 kg/m^3", '1150 kg/m^3"\nresin_density = "1080 kg/m^3')
    path = tmp_path / "p.toml"
    path.write_text(text.replace("7.5 mm", "2 mm").format(units="SI", shared=SHARED))
    bid = size(read(path)).bid
    (six,) = (each for each in bid.items if each.nominal == "6")
    wall = pi * (0.2032 - 0.006) * 0.006 * (300 * FOOT + 100)
    assert six.quantity("resin_weight", "SI") == pytest.approx(wall * 1.08 * 1080, rel=1e-6)
    assert six.quantity("weight", "SI") == pytest.approx(wall * 1150, rel=1e-6)
    assert bid.not_valid == ("MH 3",)
    assert "Not to be ordered as designed, see status: MH 3." in bid.csv.decode()
    assert b"\r" not in bid.csv  # one line feed ends a line, as in every text that is written


@pytest.mark.parametrize("units", ["US", "SI"])
def test_dry_tube_by_the_density_and_thickness_of_its_felt(tmp_path, units):
    """By hand: felt of 0.2 g/cm^3, 7 mm dry for MH 1, as thick as the cured wall for the others."""
    text = TEXT.replace("1150 kg/m^3", '1150 kg/m^3"\nfelt_density = "0.2 g/cm^3')
    text = text.replace('300 ft"', '300 ft"\norder = {{ felt_thickness = "7 mm" }}')
    path = tmp_path / "p.toml"
    path.write_text(text.format(units=units, shared=SHARED), encoding="utf-8")
    bid = size(read(path)).bid

    def mass(t, length):
        return pi * (0.2032 - t) * t * length * 200

    six, thick = mass(0.007, 300 * FOOT) + mass(0.006, 100), mass(0.0075, 50)
    for each, expected in zip((*bid.items, bid.total), (six, thick, six + thick), strict=True):
        assert each.quantity("tube_weight", "SI") == pytest.approx(expected, rel=2e-6)
        assert each.quantity("tube_weight", "US") == pytest.approx(expected / POUND, rel=2e-6)
    assert "dry tube weight, lb" in bid.blocks[1].columns
    assert "dry tube weight, kg" in bid.blocks[2].columns
    assert b"dry tube weight [lb],dry tube weight [kg]" in bid.csv


def test_a_dry_tube_weight_that_is_not_known_is_said_to_be_missing(tmp_path):
    bid = _bid(tmp_path, "US")
    assert "tube_weight" not in bid.columns
    said = "No dry tube weight: density of the dry tube not stated for felt."
    assert said in bid.blocks[-1].text
    rows = list(csv.DictReader(bid.csv.decode().splitlines()))
    assert {row["dry tube weight [lb]"] for row in rows} == {"not given"}


def test_a_felt_that_fills_its_tube_is_refused(run):
    text = TEXT.replace("1150 kg/m^3", '1150 kg/m^3"\nfelt_density = "0.2 g/cm^3')
    text = text.replace("[order]", '[order]\nfelt_thickness = "102 mm"')
    Path("p.toml").write_text(text.format(units="SI", shared=SHARED), encoding="utf-8")
    code, _, err = run("size", "p.toml", "-o", "bid.csv")
    assert code == 2
    assert "felt_thickness 102 mm: no bore left; must be under 101.6 mm" in err


def test_diameters_are_in_the_units_of_their_table(tmp_path):
    """36 in are 914.4 mm, exactly."""
    pipe = {"host_diameter": "36 in", "length": "100 ft"}
    (tmp_path / "p.toml").write_text(toml(pipe=pipe), encoding="utf-8")
    found = size(read(tmp_path / "p.toml")).bid
    us, si = (each.rows for each in found.blocks if isinstance(each, Grid))
    assert [row[0] for row in us] == ["36 in", "total"]
    assert [row[0] for row in si] == ["914.4 mm", "total"]
    assert found.csv.decode().splitlines()[1].startswith("36 in,")


def test_the_liner_area_is_of_the_host_where_the_tube_is_smaller(tmp_path):
    text = TEXT.replace("[order]", '[order]\ntube_diameter = "200 mm"')
    path = tmp_path / "p.toml"
    path.write_text(text.format(units="SI", shared=SHARED), encoding="utf-8")
    (thick,) = (each for each in size(read(path)).bid.items if each.nominal == "7.5")
    assert thick.quantity("area", "SI") == pytest.approx(pi * 0.2032 * 50, rel=2e-6)


def test_a_pipes_own_excess_goes_over_that_of_all_and_both_are_named(tmp_path):
    text = TEXT.replace('50 m"', '50 m"\norder = {{ resin_excess = "10 %" }}')
    (tmp_path / "p.toml").write_text(text.format(units="SI", shared=SHARED), encoding="utf-8")
    found = size(read(tmp_path / "p.toml")).bid
    assert found.excess == "10 %, 8 %"
    (thick,) = (each for each in found.items if each.nominal == "7.5")
    resin = pi * (0.2032 - 0.0075) * 0.0075 * 50 * 1.1
    assert thick.quantity("resin", "SI") == pytest.approx(1000 * resin, rel=2e-6)


def test_laterals_are_counted_where_any_pipe_has_them(tmp_path):
    assert "laterals" not in _bid(tmp_path, "US").columns
    laterals = '[[pipe.lateral]]\nat = "20 m"\n[[pipe.lateral]]\nat = "30 m"\n'
    text = TEXT.replace('50 m"\n', f'50 m"\n{laterals}')
    (tmp_path / "p.toml").write_text(text.format(units="US", shared=SHARED), encoding="utf-8")
    found = size(read(tmp_path / "p.toml")).bid
    assert [each.quantity("laterals", "US") for each in (*found.items, found.total)] == [0, 2, 2]
    heads, *rows = csv.reader(found.csv.decode().splitlines())
    assert heads.count("laterals to reinstate") == 1
    assert [row[heads.index("laterals to reinstate")] for row in rows] == ["0", "2", "2"]
    us, si = (each for each in found.blocks if isinstance(each, Grid))
    assert us.columns[-1] == si.columns[-1] == "laterals to reinstate"
    assert [row[-1] for row in us.rows] == ["0", "2", "2"]


@pytest.mark.parametrize("units", ["US", "SI"])
def test_both_tables_of_the_schedule_by_hand_cell_by_cell(tmp_path, units):
    """Cells have four figures, thousands apart; the file has six."""
    bid = _bid(tmp_path, units)
    heading, us, si, paragraph = bid.blocks
    assert us.caption != si.caption
    assert heading.tab == heading.text
    lengths, bore = {6.0: 300 * FOOT + 100, 7.5: 50.0}, 0.2032
    for table, foot, cubic, gallon, pound, host in (
        (us, FOOT, FOOT**3, GALLON, POUND, "8 in"),
        (si, 1.0, 1.0, 0.001, 1.0, "203.2 mm"),
    ):
        assert len(table.align) == len(table.columns) == 3 + len(bid.columns)
        sums = [0.0] * len(bid.columns)
        for row, (nominal, length) in zip(table.rows, lengths.items(), strict=False):
            wall = pi * (bore - nominal / 1000) * nominal / 1000 * length
            resin = wall * 1.08
            cells = [
                length / foot,
                pi * bore * length / foot**2,
                wall / cubic,
                resin / gallon,
                resin * 1150 / pound,
                wall * 1150 / pound,
            ]
            sums = [one + other for one, other in zip(sums, cells, strict=True)]
            assert row[:3] == (host, f"{nominal:g}", "2" if nominal == 6 else "1")
            assert [float(cell.replace(",", "")) for cell in row[3:]] == pytest.approx(
                cells, rel=6e-4
            )
        assert table.rows[-1][:3] == ("total", "", "3")
        total = [float(cell.replace(",", "")) for cell in table.rows[-1][3:]]
        assert total == pytest.approx(sums, rel=6e-4)
    assert [head.rpartition(", ")[2] for head in us.columns[3:]] == [
        *("ft", "ft^2", "ft^3", "gal", "lb", "lb")
    ]
    assert [head.rpartition(", ")[2] for head in si.columns[3:]] == [
        *("m", "m^2", "m^3", "L", "kg", "kg")
    ]
    assert "8 %" in paragraph.text
    heads, *rows = csv.reader(bid.csv.decode().splitlines())
    assert len({len(row) for row in (heads, *rows)}) == 1
    row = dict(zip(heads, rows[1], strict=True))
    assert row["length [m]"] == "50"
    # 50 m are 164.04199 ft.
    assert row["length [ft]"] == "164.042"
    assert us.rows[1][3] == "164"
    wall = pi * (bore - 0.0075) * 0.0075 * 50
    assert float(row["wall volume [m^3]"]) == pytest.approx(wall, rel=5e-6)


def test_pipes_left_out_are_named_in_the_document_and_the_file(tmp_path):
    project = read(_written(tmp_path))
    found = bid(project, designed_all(tasks(project)), ["MH 8", "MH 9"])
    assert found.not_designed == ("MH 8", "MH 9")
    assert "MH 8; MH 9" in found.blocks[-1].text
    *_, last = csv.reader(found.csv.decode().splitlines())
    assert "MH 8; MH 9" in last[0]
    assert set(last[1:]) == {""}
    assert "Not included, without a length: 1 of the pipes." in found.blocks[-1].text


def _written(tmp_path):
    path = tmp_path / "p.toml"
    path.write_text(TEXT.format(units="US", shared=SHARED), encoding="utf-8")
    return path


def test_diameters_and_walls_have_five_figures(tmp_path):
    """36.1234 in are 917.53436 mm, 0.123456 in are 3.1357824 mm."""
    pipe = {"host_diameter": "36.1234 in", "length": "100 ft", "tube_thickness": "0.123456 in"}
    (tmp_path / "p.toml").write_text(toml(pipe=pipe), encoding="utf-8")
    (item,) = size(read(tmp_path / "p.toml")).bid.items
    assert (item.host("SI"), item.host("US")) == ("917.53 mm", "36.123 in")
    assert item.nominal == "3.1358"


def made(**more):
    """One item of 2 pipes, and its total, each with these quantities in SI."""
    known = dict.fromkeys(
        ("length", "area", "wall", "resin", "resin_weight", "tube_weight", "weight", "laterals")
    )
    known |= {"length": 10.0, "area": 5.0, "wall": 0.1, "resin": 0.1} | more.pop("known", {})
    given = {"system": "SI", "without_length": 0, "excess": "8 %"} | more
    return Bid(items=(Item(203.2, "6", 2, known),), total=Item(None, "", 2, known), **given)


@pytest.mark.parametrize(
    ("more", "codes"),
    [
        ({}, []),
        ({"known": {"weight": 1.0}}, ["weight"]),
        ({"without_density": ("felt", "glass")}, ["density"]),
        ({"known": {"tube_weight": 1.0}}, ["tube"]),
        ({"without_felt": ("felt",)}, ["no_tube"]),
        ({"without_length": 3}, ["without"]),
        ({"not_designed": ("A",)}, ["not_designed"]),
        ({"not_valid": ("B", "C")}, ["not_valid"]),
        (
            {"known": {"weight": 1.0, "tube_weight": 2.0}, "without_length": 1,
             "not_designed": ("A",), "not_valid": ("B",)},
            ["weight", "tube", "without", "not_designed", "not_valid"],
        ),
    ],
)  # fmt: skip
def test_what_the_schedule_says_of_itself_each_for_its_cause(more, codes):
    bid = made(**more)
    blanks = {
        "density": {"names": ", ".join(bid.without_density)},
        "no_tube": {"names": ", ".join(bid.without_felt)},
        "without": {"count": bid.without_length},
        "not_designed": {"names": "; ".join(bid.not_designed)},
        "not_valid": {"names": "; ".join(bid.not_valid)},
    }
    said = [sentence("calculation.bid_basis", excess="8 %")]
    said += [sentence(f"calculation.bid_{code}", **blanks.get(code, {})) for code in codes]
    assert bid.blocks[-1].text == " ".join(said)
    named = [code for code in codes if code in ("not_designed", "not_valid")]
    rows = list(csv.reader(bid.csv.decode().splitlines()))
    assert len(rows) == 3 + len(named)
    assert len({len(row) for row in rows}) == 1


def test_a_file_says_of_weights_that_they_are_not_given_and_a_table_leaves_them_out():
    bid = made()
    heads, item, _ = csv.reader(bid.csv.decode().splitlines())
    row = dict(zip(heads, item, strict=True))
    weights = [head for head in heads if "weight" in head]
    assert len(weights) == 6
    assert {row[head] for head in weights} == {"not given"}
    assert not any("laterals" in head for head in heads)
    assert bid.columns == ("length", "area", "wall", "resin")
    assert made(known={"weight": 2.0}).columns[-1] == "weight"
    # 0.1 m^3 are 100 L; the gallon has 231 cubic inches.
    assert bid.items[0].quantity("resin", "SI") == pytest.approx(100)
    assert bid.items[0].quantity("resin", "US") == pytest.approx(0.1 / GALLON)
    assert bid.items[0].quantity("weight", "US") is None


def test_sums_of_columns_are_none_where_a_pipe_has_no_number():
    rows = [{"length": 1.0, "weight": 2.0}, {"length": 3.0, "weight": None}]
    found = module._sums(rows)
    assert (found["length"], found["weight"], found["tube_weight"]) == (4.0, None, None)


def test_a_pipe_that_its_wall_fills_at_its_narrowest_place_is_left_out():
    """An owner's minimum of 2.5 in leaves no bore in 4 in."""
    pipe = {
        "condition": "partially deteriorated",
        "host_diameter": "12 in",
        "ovality": "2 %",
        "groundwater_above_invert": "5 ft",
        "length": "50 ft",
    }
    narrow = [{"at": "0 ft"}, {"at": "20 ft", "host_diameter": "4 in"}]
    tables = {
        "project": {"title": "x"},
        "criteria": {"minimum_thickness": "2.5 in"},
        "resin": [
            {"name": "felt", "flexural_modulus": "250000 psi", "flexural_strength": "4500 psi"}
        ],
        "pipe": [pipe | {"name": "A", "station": narrow}, pipe | {"name": "B"}],
    }
    found = size(read(tables)).bid
    assert [each.pipes for each in found.items] == [1]
    assert (found.without_length, found.not_valid) == (0, ("A",))
