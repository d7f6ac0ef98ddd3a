"""The workbook of a comparison, recalculated with other prices, against the command itself."""

import json
import re

import openpyxl
import pytest
from office import calculated, office, recalculated
from projects import toml
from tasks.compare.test_costs import GLASS, PRICED, cost, pipe

TERMS = """resin_share_by_mass = "45 %"
mobilisation = "1200 USD"
service_life = "40 yr"
[[resin.cost.tube]]
diameter = "60 in"
thickness = "40 mm"
price = "6 USD/ft"
"""
FELT = """
[resin.cost]
tube_price = "4 USD/m"
service_life = "25 yr"
"""
# A name with every sign that means something to a formula or a search of cells; the other differs
# from it in letter case alone.
NAME = '>Glass "*?~ [1] A'
# By name of the cell: what the project states, and the text that is to stand in its place.
CHANGES = {
    "resin1_price": ("3 USD/kg", "3.7 USD/kg"),
    "resin1_density": ("1.15 g/cm^3", "1.31 g/cm^3"),
    "resin1_tube": ("4 USD/m", "7.5 USD/m"),
    "resin2_share": ("45 %", "52 %"),
    "resin2_mobilisation": ("1200 USD", "3300 USD"),
    "resin2_life": ("40 yr", "31 yr"),
    "pipe2_length": ("80 m", "200 m"),
}
# By the definition of 1959.
POUND = 0.45359237
OPTIONS = ("--by", "annual-cost", "--excess", "7 %", "--discount-rate")


def project(changes=()):
    """Glass can't be used in the pressure main: its totals are over fewer pipes."""
    felt = toml({"length": "100 m"}, PRICED | {"tensile_strength": "3 ksi"})
    felt = felt.replace("[[pipe]]", FELT + "[[pipe]]").replace('"Felt A"', f"'{NAME.lower()}'")
    glass = GLASS.replace('"Glass"', f"'{NAME}'")
    main = pipe("Main", 8, "50 m") + 'internal_pressure = "20 psi"\nhole_diameter = "1 in"\n'
    text = felt + glass + cost(TERMS) + pipe("Lane", 8, "80 m") + main
    for old, new in changes:
        assert text.count(f'"{old}"') == 1, old
        text = text.replace(f'"{old}"', f'"{new}"')
    return text


def cell_of(book, name):
    sheet, at = book.defined_names[name].attr_text.rsplit("!", 1)
    return book[sheet.strip("'").replace("''", "'")][at.replace("$", "")]


def totals(book):
    """Masses, costs and annual costs of the two tables of totals, by caption and resin."""
    sheet = book.worksheets[0]
    found, caption = {}, None
    for row in sheet.iter_rows(values_only=True):
        text = str(row[0] or "")
        if text.startswith("Figures over"):
            caption = "common" if "every" in text else "own"
        elif caption and row[1] and re.match(r".* \[[A-D]\]$", str(row[1])):
            found[caption, row[1][:-4]] = list(row[3:6])
        elif text.startswith("•"):
            break
    return found


def _cells_of_totals(book):
    """The rows of the two tables of totals, as cells."""
    for row in book.worksheets[0].iter_rows():
        if re.match(r".* \[[A-D]\]$", str(row[1].value or "")) and row[3].data_type == "f":
            yield row


@pytest.mark.parametrize("system", ["US", "SI"])
@pytest.mark.parametrize("reader", [calculated, pytest.param(recalculated, marks=office)])
def test_changed_prices_give_what_the_command_gives(run, tmp_path, monkeypatch, system, reader):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.toml").write_text(project())
    words = ("compare", "a.toml", "--units", system, *OPTIONS, "3 %", "-o", "a.xlsx")
    assert run(*words)[0] in (0, 1)
    book = openpyxl.load_workbook("a.xlsx")
    metric = {"density": 1000.0, "price": 1.0, "tube": 1.0, "length": 1.0}
    us = {"price": POUND, "tube": 0.3048, "length": 1 / 0.3048}
    us["density"] = 1000.0 * 0.3048**3 / POUND
    factors = metric if system == "SI" else us
    for name, (old, new) in CHANGES.items():
        cell = cell_of(book, name)
        factor = factors.get(name.partition("_")[2], 1.0)
        assert cell.value == pytest.approx(float(old.split()[0]) * factor), name
        cell.value = float(new.split()[0]) * factor
    # Tonnes with two decimals, pounds and money with none.
    masses, money = ({row[n].number_format for row in _cells_of_totals(book)} for n in (3, 4))
    assert masses == {"#,##0.00" if system == "SI" else "#,##0"}
    assert money == {"#,##0"}
    cell_of(book, "discount_rate").value = 5.0
    changed = reader(book, tmp_path)
    shown = totals(changed)
    (tmp_path / "b.toml").write_text(project(CHANGES.values()))
    data = json.loads(run("compare", "b.toml", "--units", system, *OPTIONS, "5 %", "--json")[1])
    assert len(shown) == 4
    ton = 1000 if system == "SI" else POUND
    for each in data["ranking"]:
        for table, of in (("own", each), ("common", each["in_common"])):
            found = [of["mass"]["value"] / ton, of["cost"]["value"], of["annual_cost"]["value"]]
            assert shown[table, each["resin"]] == pytest.approx(found, rel=1e-9), each["resin"]
    assert data["ranking"][0]["in_common"]["pipes"] == 2
    sheet = changed.worksheets[0]
    _check_choices([[*row] for row in sheet.iter_rows(values_only=True)], data, factors["price"])


def _rows_after(rows, caption):
    start = next(n for n, row in enumerate(rows) if str(row[0] or "").startswith(caption))
    for row in rows[start + 2 :]:
        if row[0] is None:
            return
        yield row


def _check_choices(rows, data, per_mass):
    """The assignment, the cheapest resin of each pipe, break-even price and thickness.

    `per_mass` is the mass in kg that prices are for."""
    found = list(_rows_after(rows, "Total annual cost by number of systems"))
    assert len(found) == len(data["assignments"]) == 2
    for row, each in zip(found, data["assignments"], strict=True):
        if each["cost"] is None:
            assert row[1] == "–" or row[1] == "-"
        else:
            assert row[1] == pytest.approx(each["cost"], rel=1e-9)
            assert [name[:-4] for name in row[2].split(", ")] == each["resins"]
    chosen = {row[0]: row[1] for row in _rows_after(rows, "Lowest annual cost in each pipe")}
    for pipe_data in data["pipes"]:
        assert chosen[pipe_data["name"]][:-4] == pipe_data["choice"][0]
    (even,) = data["break_even"]
    (row,) = _rows_after(rows, "Price of the resin per")
    costs = [even["cost"], even["reference_cost"], even["price_per_kg"] * per_mass]
    assert row[2:5] == pytest.approx(costs, rel=1e-9)
    if even["break_even_price_per_kg"] > 0:
        assert row[5] == pytest.approx(even["break_even_price_per_kg"] * per_mass, rel=1e-9)
    sizes = {row[0]: row[2] for row in _rows_after(rows, "Nominal thickness, and break-even")}
    known = {k: v for k, v in even["break_even_thickness"].items() if v}
    assert known
    for name, thickness in known.items():
        assert sizes[name] == pytest.approx(thickness["value"], rel=1e-9)
