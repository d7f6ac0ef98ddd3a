"""The workbook of a plan, recalculated with other values, against the command.

An engine in Python recalculates in every run, LibreOffice where it is installed.
"""

import csv

import openpyxl
import pytest
from office import calculated, office, recalculated
from projects import toml

AXES = ("--diameter", "8 in", "15 in", "--cover", "5 ft", "12 ft", "--water", "0 ft", "9 ft")
# A vehicle read from a table, and a second station that governs some of the cells only.
PIPE = {"live_load": "H-20 table", "soil_reaction_modulus": "700 psi"}
STATIONS = """
[[pipe.station]]
at = 'at "[1]" A'
[[pipe.station]]
at = 'at "[1]" a'
ovality = "6 %"
soil_reaction_modulus = "2000 psi"
"""
# What the project states, what is to stand in its place, and the cells of that.
MODULUS = ("250000 psi", "310000 psi", ("plan{n}_at1_E", "plan{n}_at2_E"), 310000)


def project(changes=()):
    text = toml(PIPE, criteria={"minimum_thickness": "4.5 mm"}) + STATIONS
    for old, new in changes:
        assert text.count(f'"{old}"') == 1, old
        text = text.replace(f'"{old}"', f'"{new}"')
    return text


def plan(run, tmp_path, text, *targets):
    (tmp_path / "p.toml").write_text(text)
    code, _, err = run("plan", "p.toml", *AXES, "--condition", "both", *targets)
    assert code in (0, 1), err
    return code


def cells(book, number):
    """The rows of the cells of a table, by head."""
    rows = list(book[f"Cells {number}"].iter_rows(values_only=True))
    start = next(i for i, row in enumerate(rows) if row[:2] == ("name", "resin"))
    return [dict(zip(rows[start], row, strict=True)) for row in rows[start + 1 :] if row[1]]


def cell_of(book, name):
    """The cell of a name."""
    sheet, at = book.defined_names[name].attr_text.rsplit("!", 1)
    return book[sheet.strip("'")][at.replace("$", "")]


def inventory(path):
    with path.open(newline="") as file:
        return list(csv.DictReader(file))


def agree(book, rows):
    found = [row for number in (1, 2) for row in cells(book, number)]
    assert len(found) == len(rows) == 16
    for live, row in zip(found, rows, strict=True):
        for head in ("required_thickness [mm]", "nominal_thickness [mm]"):
            assert live[head] == pytest.approx(float(row[head]), rel=1e-9), head
        for head in ("governing", "minimum_governs", "status"):
            assert live[head] == row[head], head
        assert live["station"] == row["station"]


def printed(book):
    """What the tables print, sheet after sheet."""
    tables = [sheet for sheet in book if " ft" in sheet.title]
    return [
        [str(cell) for cell in row[1:3]]
        for sheet in tables
        for row in sheet.iter_rows(values_only=True)
        if str(row[0]) in ("8 in", "15 in")
    ]


def test_values_as_issued_are_those_of_the_inventory(run, tmp_path):
    plan(run, tmp_path, project(), "-o", "p.xlsx", "-o", "p.csv")
    book = openpyxl.load_workbook(tmp_path / "p.xlsx", data_only=True)
    agree(book, inventory(tmp_path / "p.csv"))
    formulas = openpyxl.load_workbook(tmp_path / "p.xlsx")
    live = [c.value for sheet in formulas for row in sheet for c in row if str(c.value)[:1] == "="]
    assert max(map(len, live)) < 8192  # the most that a cell takes: ECMA-376, common practice


def test_the_cells_have_the_columns_of_an_inventory(run, tmp_path):
    """Those of the CSV file, in the same words and numbers."""
    plan(run, tmp_path, project().replace(STATIONS, ""), "-o", "p.xlsx", "-o", "p.csv")
    book = openpyxl.load_workbook(tmp_path / "p.xlsx", data_only=True)
    first = cells(book, 1)[0]
    row = inventory(tmp_path / "p.csv")[0]
    heads = [head for head in row if "[" in head and row[head] != "H-20 table"]
    assert "ovality [%]" in heads
    for head in heads:
        assert first[head] == pytest.approx(float(row[head]), rel=1e-9), head
    assert first["live_load"] == "H-20 table"


FEW = ("--diameter", "8 in", "30 in", "--cover", "5 ft", "--water", "9 ft")


@pytest.mark.parametrize(
    ("stations", "old", "new", "names", "number"),
    [
        (STATIONS, *MODULUS),
        ("", "4.5 mm", "60 mm", ("plan1_at1_t_floor",), 60 / 25.4),
        # So weak that bending governs.
        ("", "4500 psi", "1200 psi", ("plan1_at1_sigma",), 1200),
        (STATIONS, "2000 psi", "250 psi", ("plan1_at2_E_s",), 250),
    ],
)
def test_the_cells_follow_what_is_held_fixed(run, tmp_path, stations, old, new, names, number):
    text = project().replace(STATIONS, stations)
    for name, each in (("p", text), ("q", text.replace(f'"{old}"', f'"{new}"'))):
        (tmp_path / f"{name}.toml").write_text(each)
        targets = ("-o", f"{name}.xlsx", "-o", f"{name}.csv")
        code, _, err = run("plan", f"{name}.toml", *FEW, *targets)
        assert code in (0, 1), err
    rounds = [({each.format(n=1): number for each in names}, "q")]
    if old == MODULUS[0]:
        rounds.append(({}, "p"))
    for changes, name in rounds:
        book = openpyxl.load_workbook(tmp_path / "p.xlsx")
        for changed, value in changes.items():
            cell_of(book, changed).value = value
        found = cells(calculated(book, tmp_path), 1)
        rows = inventory(tmp_path / f"{name}.csv")
        issued = cells(openpyxl.load_workbook(tmp_path / f"{name}.xlsx", data_only=True), 1)
        assert len(found) == len(rows) == 2
        for live, row, stood in zip(found, rows, issued, strict=True):
            for head in ("required_thickness [mm]", "nominal_thickness [mm]"):
                assert float(live[head]) == pytest.approx(float(row[head]), rel=1e-9), head
            for head in ("governing", "minimum_governs", "status"):
                assert live[head] == row[head], head
            # Letters and stations are those of the first file; the engine takes an empty cell in a
            # text for 0.
            shown, as_issued = live["printed"].rstrip("*0"), stood["printed"].rstrip("*")
            assert shown == as_issued if name == "p" else shown.split()[0] == as_issued.split()[0]
            if stations:
                assert live["station"] == row["station"]
            # Every number of every line as the other file was issued.
            for head, value in stood.items():
                if isinstance(value, float):
                    assert float(live[head]) == pytest.approx(value, rel=1e-9), head


@office
def test_another_modulus_goes_through_to_the_tables(run, tmp_path):
    old, new, names, value = MODULUS
    plan(run, tmp_path, project(), "-o", "p.xlsx")
    book = openpyxl.load_workbook(tmp_path / "p.xlsx")
    for number in (1, 2):
        for name in names:
            cell_of(book, name.format(n=number)).value = value
    before = printed(openpyxl.load_workbook(tmp_path / "p.xlsx", data_only=True))
    plan(run, tmp_path, project([(old, new)]), "-o", "q.csv", "-o", "q.xlsx")
    found = recalculated(book, tmp_path)
    agree(found, inventory(tmp_path / "q.csv"))
    wanted = printed(openpyxl.load_workbook(tmp_path / "q.xlsx", data_only=True))
    assert wanted != before
    assert [[cell.rstrip("*") for cell in row] for row in printed(found)] == [
        [cell.rstrip("*") for cell in row] for row in wanted
    ]
