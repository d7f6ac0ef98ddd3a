"""Planning tables as document, workbook, inventory and data, cell by cell against the plan."""

import csv
import io
import math
from functools import cache
from itertools import groupby, product

import pytest
from projects import toml

from linerdesign.documents.blocks import Bullets, Grid, Heading, Live
from linerdesign.expressions.printing import positional
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.reading import parse
from linerdesign.tasks.plan.confident import with_confidence
from linerdesign.tasks.plan.report import (
    planning_csv,
    planning_data,
    planning_report,
    planning_workbook,
)
from linerdesign.tasks.plan.request import CONDITIONS, Request, planned
from linerdesign.tasks.uncertainty.pipes import Wishes
from linerdesign.words import sentence

STATIONS = """
[[pipe.station]]
at = "0 ft"
soil_reaction_modulus = "1100 psi"
[[pipe.station]]
at = "150 ft"
ovality = "6 %"
soil_reaction_modulus = "3000 psi"
"""
STIFF = """
[[resin]]
name = "Stiff as a board"
flexural_modulus = "900 ksi"
flexural_strength = "14 ksi"
thicknesses = ["3 mm", "4.5 mm", "6 mm"]
evidence = "report 7"
evidence_grade = "third-party creep test"
"""
CRITERIA = {"minimum_thickness": "4.5 mm", "defaults": {"soil_unit_weight": "125 pcf"}}
DIAMETERS, COVERS, WATERS = ("8 in", "600 mm"), ("5 ft", "4 m", "6 ft"), ("0 ft", "24 ft")


@cache
def made(stations=True, units="US", several=True):
    text = toml({"live_load": "HL-93"}, criteria=CRITERIA, drop=("soil_unit_weight",))
    text = text.replace("[[pipe]]", STIFF + "[[pipe]]")
    text = text.replace('name = "Trunk"', 'name = "Trunk"\nresin = "Felt A"')
    project = parse((text + (STATIONS if stations else "")).encode(), "p.toml")
    resins = ["Felt A", "Stiff as a board"] if several else []
    conditions = CONDITIONS if several else []
    return planned(project, Request(None, resins, conditions, DIAMETERS, COVERS, WATERS), units)


def letters(plan):
    governing = {each.governing for table in plan.tables for each in table.entries.values()}
    return dict(zip(sorted(governing), "ABCDEF", strict=False))


def cell(plan, table, entry):
    """`6 A2*` by its parts."""
    letter = "M" if entry.minimum_governs else letters(plan)[entry.governing]
    found = list(dict.fromkeys(each.station for each in table.entries.values()))
    number = str(found.index(entry.station) + 1) if len(found) > 1 else ""
    mark = {"fails": "x", "outside the method": "!"}.get(entry.status, "*" if entry.notes else "")
    return f"{entry.nominal:g} {letter}{number}{mark}"


def test_the_plan_has_every_kind_of_cell():
    """Else nothing below is tested."""
    plan = made()
    cells = [cell(plan, t, e) for t in plan.tables for e in t.entries.values()]
    assert {text[-1] for text in cells} >= {"*", "1", "2", "x"}, cells
    assert any("M" in text for text in cells)
    assert len(letters(plan)) > 2
    assert len(plan.tables) == 4
    assert [(t.resin.name, t.condition[:5]) for t in plan.tables] == [
        ("Felt A", "parti"), ("Stiff as a board", "parti"),
        ("Felt A", "fully"), ("Stiff as a board", "fully"),
    ]  # fmt: skip


@pytest.mark.parametrize("stations", [True, False])
def test_a_page_for_each_table_and_water_with_its_legend(stations):
    plan = made(stations)
    blocks = planning_report(plan).blocks
    grades = {"Felt A": "[D]", "Stiff as a board": "[A]"}
    pages = list(product(enumerate(plan.tables, 1), WATERS))
    for place, ((number, table), water) in enumerate(pages):
        heading, grid, legend = blocks[3 * place : 3 * place + 3]
        resin = table.resin.name
        short = {"partially deteriorated": "PD", "fully deteriorated": "FD"}[table.condition]
        assert heading.text.startswith(resin)
        assert heading.text.endswith(f", {table.condition}; groundwater above invert: {water}")
        assert grades[resin][0] == "["
        assert (heading.level, heading.page) == (1, True)
        assert heading.tab == f"{resin[:14]} {short} {water}"
        assert grid.columns == ("diameter", *(f"cover {cover}" for cover in COVERS))
        assert grid.align == ">>>>"
        assert grid.caption == (
            f"Nominal thickness, mm, by host diameter and cover; groundwater above invert: {water}"
        )
        order = list(product(WATERS, COVERS, DIAMETERS))
        for row, diameter in enumerate(DIAMETERS):
            assert grid.rows[row][0] == diameter
            for column, cover in enumerate(COVERS, 1):
                entry = table.entries[water, cover, diameter]
                text = cell(plan, table, entry)
                assert grid.rows[row][column] == text
                at = order.index((water, cover, diameter)) + 1
                assert grid.live[row, column] == Live(text, f"INDEX(plan{number}_printed, {at})")
        assert len(grid.live) == len(DIAMETERS) * len(COVERS)
        here = [table.entries[water, c, d] for c in COVERS for d in DIAMETERS]
        used = {each.governing for each in here if not each.minimum_governs}
        told = [f"{sign} {name}" for name, sign in letters(plan).items() if name in used]
        told += ["M owner's minimum"] * any(each.minimum_governs for each in here)
        wanted = [f"governing equation: {'; '.join(told)}"]
        if len(table.stations) > 1:
            named = "; ".join(f"{n}: {at}" for n, at in enumerate(table.stations, 1))
            wanted.append(f"governing station: {named}")
        if any(each.notes or each.status != "sized" for each in here):
            wanted.append("* caution; ! outside the method; x fails a check")
        assert list(legend.items) == wanted


def test_what_the_tables_rest_on_stands_behind_them():
    plan = made()
    about, bullets, notes, noted, *rest = planning_report(plan).blocks[3 * 8 :]
    assert (about, notes) == (Heading("About these tables", page=True), Heading("Notes", 2))
    assert bullets.items[:3] == (
        "values not varied are those of pipe Trunk",
        "water: groundwater above invert; cover: depth of cover to crown",
        "the pipe has 2 stations; the worst governs each cell",
    )
    assert bullets.items[3].startswith("evidence for the long-term properties: [")
    assert bullets.items[4] == "for planning only: design each pipe with its own values"
    entries = [each for table in plan.tables for each in table.entries.values()]
    assert noted.items == tuple(dict.fromkeys(text for each in entries for text in each.notes))
    shared, *own, criteria = rest
    assert {grid.columns for grid in (shared, *own)} == {
        ("assumption", "symbol", "value", "source")
    }
    assert (shared.align, shared.caption) == ("<<><", "Held fixed")
    assert [grid.caption.startswith("Held fixed: ") for grid in own] == [True] * 4
    held = {row[:3]: row[3] for row in shared.rows}
    # By hand from the file, and by default where it says nothing.
    soil = SYMBOLS["E_s"].meaning
    assert held[soil + " (at 0 ft)", "E'_s", "1100 psi"] == "given, stated as 1100 psi"
    assert (soil + " (at 150 ft)", "E'_s", "3000 psi") in held
    assert (SYMBOLS["q_pipe"].meaning + " (at 150 ft)", "q_p", "6 %") in held
    assert held[SYMBOLS["w"].meaning, "w", "125 pcf"].startswith("project criteria")
    assert held[SYMBOLS["N"].meaning, "N", "2"].startswith("default")
    assert not [name for name, *_ in held if name.startswith(SYMBOLS["H"].meaning)]
    # What a resin or a condition alone has, the tables of it alone have.
    for grid, table in zip(own, plan.tables, strict=True):
        assert table.resin.name in grid.caption
        assert table.condition in grid.caption
        values = {row[1]: row[2] for row in grid.rows}
        modulus = {"Felt A": "250000 psi", "Stiff as a board": "900000 psi"}
        assert values["E"] == modulus[table.resin.name]
        assert not set(grid.rows) & set(shared.rows)
    assert (criteria.align, criteria.caption) == ("<><", "Criteria")
    rows = {row[0]: row[1:] for row in criteria.rows}
    assert rows[SYMBOLS["t_floor"].meaning] == ("4.5 mm", "")
    assert rows[SYMBOLS["N"].meaning] == ("2", "default")


def test_a_second_method_of_the_project_is_told_to_be_missing_here():
    asked = '[criteria.second_method]\nmethod = "encased ring"\n[[resin]]'
    project = parse(toml().replace("[[resin]]", asked).encode())
    request = Request(None, [], [], DIAMETERS[:1], COVERS[:1], WATERS[:1])
    blocks = planning_report(planned(project, request, "US")).blocks
    notes = blocks[blocks.index(Heading("Notes", 2)) + 1]
    assert notes.items[-1] == (
        "The second method (encased ring) of the project is not in these tables: `size` shows it "
        "pipe by pipe."
    )


@pytest.mark.parametrize("stations", [True, False])
@pytest.mark.parametrize("units", ["US", "SI"])
def test_the_live_cells_are_those_of_the_tables(stations, units):
    plan = made(stations, units)
    report = planning_report(plan).blocks
    blocks = planning_workbook(plan).blocks
    assert blocks[: len(report)] == report
    sheets = blocks[len(report) :]
    each_has = 2 + (2 if stations else 1)
    per = 25.4 if units == "US" else 1.0
    for number, table in enumerate(plan.tables, 1):
        heading, *fixed, grid = sheets[each_has * (number - 1) : each_has * number]
        assert heading == Heading(
            f"Cells: {table.resin.name}, {table.condition}", tab=f"Cells {number}", page=True
        )
        values = {}
        for at, (part, place) in enumerate(zip(fixed, table.places, strict=True), 1):
            assert part.columns == ("symbol", "quantity", "value", "unit")
            assert part.align == "<<><"
            assert part.names == {2: f"plan{number}_at{at}_values"}
            assert part.caption == (f"Held fixed: {place.at}" if stations else "Held fixed")
            rows = list(part.rows)
            if stations:
                assert rows[0] == ("", "station", place.at, "")
            station = place.made.stations[0].values
            for (row, column), live in part.live.items():
                assert column == 2
                key = live.name.removeprefix(f"plan{number}_at{at}_")
                symbol, meaning, shown, unit = rows[row]
                about = SYMBOLS[key]
                assert (symbol, meaning, unit) == (about.symbol, about.meaning, about.unit(units))
                assert shown == positional(live.value)
                assert live.formula == ""
                if key in station:
                    assert live.value == pytest.approx(station[key])
                values[at, key] = live.value
            assert len(part.live) == len(rows) - stations
            assert not {"D", "H", "h_invert"} & {key for n, key in values if n == at}
        columns = {head: [row[n] for row in grid.rows] for n, head in enumerate(grid.columns)}
        assert grid.names == {len(grid.columns) - 1: f"plan{number}_printed"}
        assert grid.columns[-1] == "printed"
        entries = [entry for *_, entry in plan.cells(table)]
        texts = [cell(plan, table, entry) for entry in entries]
        marks = ["*" if text[-1] == "*" else "" for text in texts]
        assert columns["printed"] == texts
        assert columns["caution"] == marks
        assert columns["name"] == [str(n + 1) for n in range(len(entries))]
        assert set(columns["resin"]) == {table.resin.name}
        assert set(columns["condition"]) == {table.condition}
        unit = "in" if units == "US" else "mm"
        depth = "ft" if units == "US" else "m"
        for head, name, to in (
            (f"groundwater_above_invert [{depth}]", 0, depth),
            (f"cover [{depth}]", 1, depth),
            (f"host_diameter [{unit}]", 2, unit),
        ):
            stated = [cells[name].to(to) for cells in plan.cells(table)]
            assert [float(text) for text in columns[head]] == pytest.approx(stated, rel=1e-5)
        for head, wanted in (
            ("required_thickness [mm]", [entry.required for entry in entries]),
            ("nominal_thickness [mm]", [entry.nominal for entry in entries]),
            (f"required thickness [{unit}]", [entry.required / per for entry in entries]),
        ):
            place = grid.columns.index(head)
            lives = [grid.live[row, place] for row in range(len(entries))]
            assert [live.value for live in lives] == pytest.approx(wanted, rel=1e-9)
            assert all(live.formula for live in lives)
            assert {live.pattern for live in lives} == {"0.0000##"}
        yes = {True: "yes", False: "no"}
        assert columns["minimum_governs"] == [yes[entry.minimum_governs] for entry in entries]
        assert columns["governing"] == [entry.governing for entry in entries]
        assert columns["status"] == [entry.status for entry in entries]
        assert ("station" in columns) == stations
        if stations:
            assert columns["station"] == [entry.station for entry in entries]
        # What follows is a formula, what says which cell it is a number, and words are words.
        for place, head in enumerate(grid.columns):
            live = grid.live.get((0, place))
            if head in ("name", "resin", "condition", "caution", "live_load"):
                assert live is None
            elif head.startswith(("groundwater_above", "cover", "host_diameter")):
                assert live.formula == ""
            else:
                assert live.formula
            is_text = isinstance(columns_value(grid, place), str)
            assert grid.align[place] == ("<" if is_text else ">")
        # A line of a place is headed by its symbol, the place and the unit.
        if stations:
            assert f"q_t 150 ft [{SYMBOLS['q_t'].unit(units)}]" in grid.columns or (
                table.condition.startswith("partially")
            )
        else:
            assert f"ovality [{SYMBOLS['q_pipe'].unit(units)}]" in columns
            assert set(columns[f"ovality [{SYMBOLS['q_pipe'].unit(units)}]"]) == {"2"}
            assert ("live_load" in columns) == (
                set(columns.get("live_load", ["HL-93"])) == {"HL-93"}
            )


def columns_value(grid, place):
    """The value of the first cell of a column: a number, or a text."""
    live = grid.live.get((0, place))
    return live.value if live else grid.rows[0][place]


@pytest.mark.parametrize(("stations", "units"), [(True, "US"), (False, "US"), (False, "SI")])
def test_the_inventory_has_a_row_for_every_cell(stations, units):
    plan = made(stations, units)
    head, *rows = csv.reader(io.StringIO(planning_csv(plan)))
    depth, section = ("ft", "in") if units == "US" else ("m", "mm")
    first = ["name", "resin", "condition", f"groundwater_above_invert [{depth}]"]
    first += [f"cover [{depth}]", f"host_diameter [{section}]"]
    last = ["required_thickness [mm]", "nominal_thickness [mm]", "governing", "minimum_governs"]
    last += ["station", "status", "message"]
    assert head[:6] == first
    assert head[-7:] == last
    fixed = dict(zip(head[6:-7], zip(*[row[6:-7] for row in rows], strict=True), strict=False))
    if stations:
        assert fixed == {}
    else:
        # Of the pipe's own values those that are no words.
        psi = "psi" if units == "US" else "MPa"
        assert fixed.keys() == {
            "ovality [%]", f"soil_reaction_modulus [{psi}]", f"live_load [{psi}]",
        }  # fmt: skip
        assert set(fixed["ovality [%]"]) == {"2"}
        (modulus,) = {float(each) for each in fixed[f"soil_reaction_modulus [{psi}]"]}
        assert modulus == pytest.approx(1000 if units == "US" else 6.894757, rel=1e-6)
        assert set(fixed[f"live_load [{psi}]"]) == {"HL-93"}
    cells = [(table, *each) for table in plan.tables for each in plan.cells(table)]
    for number, (row, (table, water, cover, diameter, entry)) in enumerate(
        zip(rows, cells, strict=True), 1
    ):
        shown = dict(zip(head, row, strict=True))
        assert row[:3] == [str(number), table.resin.name, table.condition]
        stated = (water.to(depth), cover.to(depth), diameter.to(section))
        assert [float(each) for each in row[3:6]] == pytest.approx(stated, rel=1e-11)
        assert float(shown["required_thickness [mm]"]) == entry.required
        assert float(shown["nominal_thickness [mm]"]) == entry.nominal
        assert row[-5:] == [
            *(entry.governing, "yes" if entry.minimum_governs else "no"),
            *(entry.station or "", entry.status, "; ".join(entry.notes)),
        ]


def test_every_part_of_the_data():
    plan = made()
    data = planning_data(plan)
    assert list(data) == [
        *("format", "project", "program", "files", "fingerprint", "resin", "condition"),
        *("water_datum", "held_fixed", "tables", "cells"),
    ]
    assert (data["format"], data["resin"], data["condition"], data["water_datum"]) == (
        *(1, "Felt A", "partially deteriorated", "groundwater_above_invert"),
    )
    assert data["fingerprint"] == planning_report(plan).identity.fingerprint
    assert data["held_fixed"] == data["tables"][0]["held_fixed"]
    grids = [b for b in planning_report(plan).blocks if isinstance(b, Grid)]
    held = [grid for grid in grids if grid.caption.startswith("Held fixed")]
    for table, found, own in zip(plan.tables, data["tables"], held[1:], strict=True):
        assert found["resin"] == table.resin.name
        assert found["condition"] == table.condition
        assert found["evidence_grade"] == table.resin.evidence_grade
        names = ("assumption", "symbol", "value", "source")
        rows = {tuple(each[name] for name in names) for each in found["held_fixed"]}
        assert rows == {*held[0].rows, *own.rows}
    cells = [(table, *each) for table in plan.tables for each in plan.cells(table)]
    for found, (table, water, cover, diameter, entry) in zip(data["cells"], cells, strict=True):
        assert found == {
            "resin": table.resin.name, "condition": table.condition, "water": water.text,
            "cover": cover.text, "host_diameter": diameter.text,
            "required_thickness": {"value": entry.required, "unit": "mm"},
            "nominal_thickness": {"value": entry.nominal, "unit": "mm"},
            "governing": entry.governing, "minimum_governs": entry.minimum_governs,
            "station": entry.station, "status": entry.status, "notes": list(entry.notes),
        }  # fmt: skip


@pytest.mark.parametrize("stations", [True, False])
def test_of_one_table_every_form_is_whole(stations):
    """What is fixed stands once, and no table has anything of its own."""
    plan = made(stations, several=False)
    (table,) = plan.tables
    _, *rows = csv.reader(io.StringIO(planning_csv(plan)))
    assert len(rows) == len(table.entries)
    assert "\r" not in planning_csv(plan)
    held = [each for each in planning_report(plan).blocks if isinstance(each, Grid)]
    assert [each.caption for each in held[2:]] == ["Held fixed", "Criteria"]
    data = planning_data(plan)
    assert [(each["resin"], each["condition"]) for each in data["tables"]] == [
        ("Felt A", "fully deteriorated")
    ]
    sheets = [each for each in planning_workbook(plan).blocks if isinstance(each, Grid)]
    heads = [name for each in sheets for name in each.columns]
    assert not [name for name in heads if name.endswith(("[]", "[ ]"))]


def test_what_differs_by_station_stands_together():
    """A row of one meaning is followed by the others of it, in the order of the first station."""
    grid = next(
        each for each in planning_report(made(several=False)).blocks
        if isinstance(each, Grid) and each.caption == "Held fixed"
    )  # fmt: skip
    meanings = [row[0].partition(" (at ")[0] for row in grid.rows]
    assert len(set(meanings)) < len(meanings)
    assert [name for name, _ in groupby(meanings)] == list(dict.fromkeys(meanings))


def test_a_station_that_governs_every_cell_has_no_number():
    """By the ovality alone: the soil of both is one."""
    text = toml(criteria=CRITERIA) + STATIONS.replace("3000", "1100")
    asked = Request(None, [], [], DIAMETERS, COVERS, WATERS)
    plan = planned(parse(text.encode(), "p.toml"), asked, "US")
    (table,) = plan.tables
    assert table.stations == ["150 ft"]
    blocks = planning_report(plan).blocks
    for legend in (each for each in blocks[:6] if isinstance(each, Bullets)):
        assert not any("governing station" in each for each in legend.items)
    about = next(each for each in blocks[6:] if isinstance(each, Bullets))
    assert sentence("plan.one_station", count=2, at="150 ft") in about.items
    cells = [text for grid in (blocks[1], blocks[4]) for row in grid.rows for text in row[1:]]
    assert not [text for text in cells if text.rstrip("*!x")[-1].isdigit()]


def test_without_names_the_plan_is_of_the_first_pipe_as_it_is():
    plan = made(stations=False, several=False)
    (table,) = plan.tables
    assert (table.resin.name, table.condition) == ("Felt A", "fully deteriorated")
    assert isinstance(planning_report(plan).blocks[2], Bullets)


@cache
def confident():
    """Two resins, the listed sizes of one of which end, under an uncertain head."""
    uncertain = '[uncertainty]\ngroundwater_above_invert = "normal, sd 2 ft"\n'
    text = toml({"condition": "partially deteriorated", "resin": "Felt A"})
    text = text.replace("[[pipe]]", STIFF + "[[pipe]]")
    text = text.replace("[[resin]]", uncertain + "[[resin]]", 1)
    project = parse(text.encode(), "p.toml")
    asked = Request(None, ["Felt A", "Stiff as a board"], [], DIAMETERS, ("5 ft",), WATERS)
    return with_confidence(planned(project, asked, "US"), Wishes(confidence=0.9))


def test_a_plan_for_a_confidence_has_a_second_table_on_each_page():
    plan = confident()
    blocks = planning_report(plan).blocks
    entries = [each for table in plan.tables for each in table.entries.values()]
    assert all(each.confident >= each.nominal for each in entries)
    assert any(math.isinf(each.confident) for each in entries)
    assert any(math.isfinite(each.confident) for each in entries)
    for place, (table, water) in enumerate(product(plan.tables, WATERS)):
        heading, grid, second, legend = blocks[4 * place : 4 * place + 4]
        assert (type(heading), type(legend)) == (Heading, Bullets)
        assert (second.columns, second.align) == (grid.columns, grid.align)
        height = f"groundwater above invert: {water}"
        assert second.caption == sentence(
            "uncertainty.plan_caption", confidence=90.0, height=height
        )
        assert not second.live
        for row, diameter in zip(second.rows, DIAMETERS, strict=True):
            nominal = table.entries[water, "5 ft", diameter].confident
            assert row == (diameter, f"{nominal:g}" if math.isfinite(nominal) else "-")
    title, inputs, bullets = blocks[-3:]
    assert title.level == 2
    assert [row[0] for row in inputs.rows]
    assert bullets.items[0] == sentence("uncertainty.confidence", confidence=90.0)
    assert any(f"{plan.drawn.trials:,}" in item for item in bullets.items)


def test_the_thickness_for_a_confidence_is_in_inventory_and_data():
    plan = confident()
    cells = [entry for table in plan.tables for *_, entry in plan.cells(table)]
    rows = list(csv.DictReader(io.StringIO(planning_csv(plan))))
    head = list(rows[0])
    assert head.index("thickness_for_confidence [mm]") == head.index("governing") + 1
    data = planning_data(plan)
    for row, found, entry in zip(rows, data["cells"], cells, strict=True):
        finite = math.isfinite(entry.confident)
        shown = f"{entry.confident:g}" if finite else "-"
        assert row["thickness_for_confidence [mm]"] == shown
        number = entry.confident if finite else None
        assert found["nominal_for_confidence"] == {"value": number, "unit": "mm"}
    about = data["uncertainty"]
    assert (about["confidence"], about["converged"]) == (0.9, plan.drawn.converged)
    assert len(about["inputs"]) == len(plan.drawn.inputs)
    assert plan.options["uncertainty"] == Wishes(confidence=0.9)
