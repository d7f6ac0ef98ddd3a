"""The workbook, recalculated by two programs that are not ours.

`formulas` (a spreadsheet engine in Python) recalculates in every run, LibreOffice where it is
installed. Both must give what the design gives, for the inputs as issued and after changes.
"""

import io
import math
import random
import re
import zipfile
from dataclasses import replace

import formulas
import numpy as np
import openpyxl
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from office import (
    cell_of,
    engine_calculated,
    office,
    office_calculated,
    same,
    schedule_rows,
)
from projects import PIPE, RESIN, sized, toml

from linerdesign.cli.main import main
from linerdesign.documents.blocks import (
    Bullets,
    Grid,
    Heading,
    Paragraph,
    Picture,
    Sheet,
)
from linerdesign.documents.schedule import schedule
from linerdesign.documents.workbook import render
from linerdesign.documents.workbook_cells import LONGEST_TEXT, sheet_name
from linerdesign.expressions.printing import write as printed
from linerdesign.expressions.tree import (
    Call,
    Choice,
    Comparison,
    LookUp,
    Number,
    Operation,
    Symbol,
    Table,
    evaluate,
    tables,
)
from linerdesign.expressions.workbook_formulas import workbook
from linerdesign.interface import Sizing
from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.equation import Severity
from linerdesign.methods.examples import example_values
from linerdesign.methods.method import checks_of
from linerdesign.methods.sizing import design
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.project.assembly import tasks
from linerdesign.project.reading import parse

# X1.1 governs at the first station, X1.3 at the second, which is the worst.
STATIONS = [
    {"at": "0 ft", "ovality": "5 %", "cover": "9 ft"},
    {"at": "150 ft", "cover": "22 ft", "groundwater_above_invert": "17 ft"},
    {"at": "300 ft"},
]
PARTIAL = {"condition": "partially deteriorated"}
PRESSURE = PARTIAL | {"internal_pressure": "60 psi"}
TENSION = {"tensile_strength": "3000 psi"}
SIZES = {"thicknesses": ["3 mm", "4.5 mm", "6 mm", "9 mm", "24 mm", "30 mm"]}
# The projects that are recalculated: one for each way a calculation can be put together.
PROJECTS = {
    "published": {},
    "stations": {"pipe": {"name": "Mill Lane", "station": STATIONS}},
    "earlier edition": {"criteria": {"edition": "F1216-07a", "minimum_thickness": "30 mm"}},
    "listed sizes": {"resin": SIZES, "criteria": {"x1_2_strength": "short-term"}},
    "oval by diameters": {
        "pipe": PARTIAL | {"maximum_diameter": "49.5 in", "minimum_diameter": "46 in"},
        "drop": ("ovality",),
    },
    "water from ground": {
        "pipe": {"groundwater_below_surface": "3 ft", "host_wall": "5 in", "invert_depth": "21 ft"},
        "drop": ("groundwater_above_invert", "cover"),
    },
    "dry": {
        "pipe": PARTIAL | {"groundwater": "none"},
        "drop": ("groundwater_above_invert",),
    },
    "hole in a pressure pipe": {
        "pipe": PRESSURE | {"host_diameter": "12 in", "hole_diameter": "1.5 in"},
        "resin": TENSION,
    },
    "wide hole and vacuum": {
        "pipe": PRESSURE | {"host_diameter": "12 in", "hole_diameter": "6 in", "vacuum": "2 psi"},
        "resin": TENSION,
    },
    "pressure and soil": {"pipe": {"internal_pressure": "60 psi"}, "resin": TENSION},
    "truck": {"pipe": {"live_load": "HL-93", "station": STATIONS}},
    "truck by table": {"pipe": {"live_load": "H-20 table", "cover": "4.5 ft"}},
    "railway, metric": {"project": {"units": "SI"}, "pipe": {"live_load": "E-80 table"}},
    "railway by theory": {"pipe": {"live_load": "E-80 Boussinesq"}},
    "soil by depth": {"pipe": {"soil_reaction_modulus": "silty sand, 90 % compaction"}},
    "thickness to check": {"pipe": {"design_thickness": "22 mm"}},
    "thickness to check at stations": {
        "pipe": {"design_thickness": "30 mm", "station": STATIONS},
    },
    "metric": {"project": {"units": "SI"}, "pipe": {"station": STATIONS}},
    # 4 + 2 ft to the invert is 2 ft of cover, but for the last binary digit.
    "edge of the older rule": {
        "project": {"units": "SI"},
        "pipe": {"live_load": "1.75 H rule", "invert_depth": "72 in"},
        "drop": ("cover",),
    },
    "edge of a band": {
        "project": {"units": "SI"},
        "pipe": {"soil_reaction_modulus": "SM, 90 %", "invert_depth": "2.724 m"}
        | {"host_diameter": "1200 mm", "groundwater_above_invert": "1 m"},
        "drop": ("cover",),
    },
    "edge of the dry case": {
        "project": {"units": "SI"},
        "criteria": {"dry_case": False},
        "pipe": PARTIAL
        | {"host_diameter": "1200 mm", "invert_depth": "3.6 m"}
        | {"groundwater_below_surface": "3.6 m"},
        "drop": ("cover", "groundwater_above_invert"),
    },
}


def made(**project):
    """The tasks of a project of `toml`, and its parsed file."""
    read = parse(toml(**project).encode(), "harrowmere.toml")
    return read, tasks(read)


def book_of(read, results):
    return render(Sizing(read, read.info.units, results).document)


def issued(**project):
    """The bytes of the workbook of a project, and its results."""
    read, todo = made(**project)
    results = tuple(design(task) for task in todo)
    return book_of(read, results), results


def changed(task, changes):
    """The task with other values of inputs: {key: value} at every station that has the key."""
    stations = tuple(
        replace(
            station,
            inputs=tuple(
                replace(each, value=changes[key])
                if (key := each.key) in changes
                else replace(each, value=changes.get((each.key, place), each.value))
                for each in station.inputs
            ),
        )
        for place, station in enumerate(task.stations)
    )
    return replace(task, stations=stations)


def expected(results):
    """What every named cell must show: {name: value} by the design."""
    cells, number = {}, 0
    for result in results:
        for at in result.stations:
            number += 1
            for step in result.steps:
                if step.station not in (None, at) or (step.line is None and step.arithmetic):
                    continue
                cells[f"pipe{number}_{name_of(step.key)}"] = step.value
            if len(result.stations) > 1:
                cells[f"pipe{number}_thickest_required"] = result.required_thickness
            cells[f"pipe{number}_nominal_thickness"] = result.nominal_thickness
            found = {c.equation: c for c in result.checks if c.station == at}
            for check in checks_of(result.basis):
                name = f"pipe{number}_check_{re.sub('[. ]', '_', check.equation)}"
                verdicts = {True: "passes", False: "FAILS", None: "does not apply"}
                passes = found[check.equation].passes if check.equation in found else None
                cells[name] = verdicts[passes]
            factors = [c.safety_factor for c in found.values() if c.safety_factor is not None]
            if factors and result.bore:
                cells[f"pipe{number}_lowest_safety_factor"] = min(factors)
            worst = max(found.values(), key=lambda c: c.required_thickness)
            cells[f"pipe{number}_governing"] = worst.equation
            others = [f"(at {other})" for other in result.stations if other != at]
            here = [n for n in result.notes if n.severity is not Severity.DEFAULT]
            here = [n for n in here if not n.text.endswith(tuple(others))]
            # What another rule for a vehicle would give is a calculation of its own, as issued.
            others = sum(n.code == "f1216.other_load" for n in here)
            cells[f"pipe{number}_cautions"] = tuple(range(len(here) - others, len(here) + 1))
    return cells


def disagreements(cells, results):
    """Every name whose cell does not show what the design gives."""
    wanted = expected(results)
    assert wanted
    return [
        f"{name}: {cells.get(name)!r}, not {value!r}"
        for name, value in wanted.items()
        if not same(cells.get(name), value)
    ]


# The engines


class Engine:
    """`formulas`: reads the workbook's own cells and names, and calculates them."""

    def __init__(self, data, folder):
        path = folder / "book.xlsx"
        path.write_bytes(data)
        self.model = formulas.ExcelModel().loads(str(path)).finish()
        self.names = openpyxl.load_workbook(path).defined_names

    def calculated(self, changes=None):
        """{name: value} after the cells of these names are changed."""
        inputs = {self.cell(name): float(value) for name, value in (changes or {}).items()}
        solution = self.model.calculate(inputs=inputs)
        shown = {}
        for name in self.names:
            if name.startswith("pipe"):
                cell = solution[self.cell(name)]
                value = cell.value[0, 0] if hasattr(cell, "value") else cell
                shown[name] = value if isinstance(value, str) else str_or_float(value)
        return shown

    def cell(self, name):
        """What the engine calls the cell of a name."""
        sheet, address = self.names[name].attr_text.rsplit("!", 1)
        title = sheet.strip("'").upper()
        return f"'[book.xlsx]{title}'!{address.replace('$', '')}"


def str_or_float(value):
    try:
        return float(value)
    except (TypeError, ValueError):
        return str(value)


# Formulas


def engine_value(text, values):
    """What `formulas` makes of one formula; keyword values are numbers or columns of numbers."""
    compiled = formulas.Parser().ast(f"={text.upper()}")[1].compile()
    given_values = [np.asarray(values[name], dtype=object) for name in compiled.inputs]
    return float(np.asarray(compiled(*given_values)).ravel()[0])


def in_cells(node, values):
    """The tree printed for a workbook and calculated there."""
    found = list(dict.fromkeys(tables(node)))
    blocks = {table: f"TABLE{n}" for n, table in enumerate(found)}
    # Numbered, because a spreadsheet would take the keys `d` and `D` for one.
    names = {key: f"CELL{n}_" for n, key in enumerate(values)}
    dialect = workbook(names.__getitem__, blocks.__getitem__)
    cells = {names[key]: value for key, value in values.items()}
    for table, block in blocks.items():
        slopes = [*np.diff(table.ys) / np.diff(table.xs), 0]
        columns = {"X": table.xs, "Y": table.ys, "SLOPE": slopes}
        cells |= {f"{block}_{name}": [[v] for v in column] for name, column in columns.items()}
    return engine_value(printed(node, dialect), cells)


def test_negatives_and_powers_read_back_as_meant():
    """In a spreadsheet -2^2 is 4 and 2^3^2 is 64 (ECMA-376 part 1, 18.17.2.2: precedence)."""
    assert engine_value("-2^2", {}) == 4
    assert engine_value("2^3^2", {}) == 64
    two, three = Number(2.0), Number(3.0)
    square = Operation("neg", (Operation("^", (two, two)),))
    assert in_cells(square, {}) == -4
    tower = Operation("^", (two, Operation("^", (three, two))))
    assert in_cells(tower, {}) == 512
    assert in_cells(Operation("^", (Number(-2.0), two)), {}) == 4


_leaves = st.one_of(
    st.sampled_from([0.5, 2.0, -3.0, 0.433, 1e-9, 144.0]).map(Number),
    st.sampled_from(["D", "N", "q"]).map(Symbol),
)


def _power(a, exponent):
    return Operation("^", (a, Number(exponent)))


_MAKERS = [
    *(lambda a, b, c, sign=sign: Operation(sign, (a, b)) for sign in "+-*/"),
    lambda a, b, c: Operation("neg", (a,)),
    lambda a, b, c: _power(a, 2.0),
    lambda a, b, c: _power(a, 3.0),
    lambda a, b, c: Call("sqrt", (Call("abs", (a,)),)),
    lambda a, b, c: Call("cbrt", (Call("abs", (a,)),)),
    lambda a, b, c: Call("atan", (a,)),
    lambda a, b, c: Call("min", (a, b, c)),
    lambda a, b, c: Call("max", (a, b)),
    lambda a, b, c: Call("ceil", (a,)),
    *(
        lambda a, b, c, sign=sign: Choice(Comparison(sign, a, b), b, c)
        for sign in ("<", "<=", ">", ">=")
    ),
]


def _grown(below):
    parts = st.tuples(st.sampled_from(_MAKERS), below, below, below)
    return parts.map(lambda p: p[0](*p[1:]))


@given(st.recursive(_leaves, _grown, max_leaves=9))
def test_random_trees_read_back_to_the_same_number(node):
    values = {"D": 7.25, "N": -1.5, "q": 3.0}
    with np.errstate(all="ignore"):
        wanted = float(evaluate(node, values))
    assume(math.isfinite(wanted) and abs(wanted) < 1e12)
    # A step function may fall either way where its argument is a last digit from the step.
    assume(
        math.isclose(
            wanted,
            float(evaluate(node, {k: v + 1e-12 for k, v in values.items()})),
            rel_tol=1e-6,
            abs_tol=1e-6,
        )
    )
    assert math.isclose(in_cells(node, values), wanted, rel_tol=1e-9, abs_tol=1e-9)


@pytest.mark.parametrize("system", ["US", "SI"])
def test_every_equation_gives_its_number_in_cells(system):
    values = example_values(system)
    for each in catalogue():
        if each.system not in (None, system):
            continue
        given_values = {key: values[key] for key in each.arguments}
        wanted = (
            float(each(**given_values))
            if not each.keys
            else float(evaluate(each.tree, given_values))
        )
        assert math.isclose(in_cells(each.tree, given_values), wanted, rel_tol=1e-12), each.name


TABLE = Table("steps", (1.0, 2.5, 4.0, 9.0), (10.0, 7.0, 8.0, 2.0), "invented")


@pytest.mark.parametrize("x", [-3.0, 1.0, 1.7, 2.5, 3.999, 4.0, 8.0, 9.0, 50.0])
def test_look_ups_in_cells_agree_with_another_route(x):
    """Interpolation against `numpy.interp`; the next size up against a plain search."""
    value = in_cells(LookUp("linear", Symbol("D"), TABLE), {"D": x})
    assert math.isclose(value, np.interp(x, TABLE.xs, TABLE.ys), rel_tol=1e-12)
    size = next((s for s in TABLE.xs if s >= x), TABLE.xs[-1])
    assert in_cells(LookUp("next", Symbol("D"), TABLE), {"D": x}) == size


def test_a_size_counts_as_reached_within_a_billionth():
    assert in_cells(LookUp("next", Symbol("D"), TABLE), {"D": 2.5 * (1 + 5e-10)}) == 2.5
    assert in_cells(LookUp("next", Symbol("D"), TABLE), {"D": 2.5 * (1 + 5e-9)}) == 4.0


# The workbook recalculated


@pytest.mark.parametrize("label", PROJECTS)
def test_recalculated_it_agrees_with_the_design(label, tmp_path):
    data, results = issued(**PROJECTS[label])
    assert disagreements(Engine(data, tmp_path).calculated(), results) == []


@pytest.mark.parametrize("label", PROJECTS)
def test_cached_values_are_those_of_the_design(label):
    """Readers that do not calculate, such as a phone's preview, show the issued values."""
    data, results = issued(**PROJECTS[label])
    book = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    names = [name for name in book.defined_names if name.startswith("pipe")]
    cells = {name: cell_of(book, name).value for name in names}
    assert disagreements(cells, results) == []
    statuses = {cells[name] for name in names if name.endswith("_status")}
    assert {result.status for result in results} <= statuses


def random_changes(task, seed):
    """Other values for some inputs: ({cell name: value}, {key or (key, station): value})."""
    chance = random.Random(seed)
    cells, keys = {}, {}
    first = task.stations[0].inputs
    for place, station in enumerate(task.stations):
        for at, each in enumerate(station.inputs):
            shared = all(s.inputs[at] == first[at] for s in task.stations)
            if not SYMBOLS[each.key].name or chance.random() < 0.4 or (shared and place):
                continue
            value = each.value * chance.uniform(0.7, 1.4)
            cells[f"pipe{place + 1}_{name_of(each.key)}"] = value
            keys[each.key if shared else (each.key, place)] = value
    return cells, keys


@pytest.mark.parametrize("label", ["stations", "listed sizes", "metric"])
def test_after_random_changes_it_agrees_with_the_design(label, tmp_path):
    data, _ = issued(**PROJECTS[label])
    _, (task,) = made(**PROJECTS[label])
    engine = Engine(data, tmp_path)
    for seed in range(4):
        cells, keys = random_changes(task, seed)
        cells = {name: value for name, value in cells.items() if name in engine.names}
        result = design(changed(task, keys))
        assert disagreements(engine.calculated(cells), [result]) == [], (seed, cells)


def test_without_water_x1_1_gives_way_to_the_limit_on_dr(tmp_path):
    data, _ = issued(**{"pipe": PARTIAL})
    cells = Engine(data, tmp_path).calculated({"pipe1_groundwater_above_invert": 0})
    assert cells["pipe1_check_X1_1"] == "does not apply"
    assert cells["pipe1_check_X1_2"] == "does not apply"
    assert cells["pipe1_check_DR_limit"] == "passes"
    assert cells["pipe1_governing"] == "DR limit"
    # 48 in over the largest dimension ratio of 100, by hand.
    assert math.isclose(cells["pipe1_required_thickness"], 0.48, rel_tol=1e-9)


@pytest.mark.parametrize("hole", [0.5, 1.5, 3.0, 4.4, 6.0])
def test_the_branch_of_x1_5_stays_live(hole, tmp_path):
    data, _ = issued(**PROJECTS["hole in a pressure pipe"])
    _, (task,) = made(**PROJECTS["hole in a pressure pipe"])
    result = design(changed(task, {"d": hole, "h_invert": 0.5}))
    cells = Engine(data, tmp_path).calculated(
        {"pipe1_hole_diameter": hole, "pipe1_groundwater_above_invert": 0.5}
    )
    assert disagreements(cells, [result]) == []
    met = [cells[f"pipe1_check_X1_{n}"] for n in (5, 6, 7)]
    assert sorted(met) == ["does not apply", "does not apply", "passes"]


def test_a_range_left_shows_at_once(tmp_path):
    data, _ = issued()
    engine = Engine(data, tmp_path)
    assert engine.calculated()["pipe1_status"] == "sized"
    assert engine.calculated({"pipe1_ovality": 11})["pipe1_status"] == "outside the method"


def test_cautions_are_counted_and_follow(tmp_path):
    """By hand: a safety factor of 1.9 leaves the usual range, and 30 mm are not enough."""
    book = openpyxl.load_workbook(io.BytesIO(issued(**PROJECTS["stations"])[0]))
    heads = next(row for row in book["Schedule"].values if "pipe" in row)
    assert heads[0] == "no."
    assert heads[-2:] == ("status", "cautions")
    assert len([head for head in heads if head]) == len(heads)
    engine = Engine(issued(**PROJECTS["listed sizes"])[0], tmp_path)
    assert engine.calculated()["pipe1_cautions"] == 0
    shown = engine.calculated({"pipe1_modulus_retention": 5, "pipe1_safety_factor": 1.9})
    assert shown["pipe1_cautions"] == 2


READERS = pytest.mark.parametrize(
    "reader", [engine_calculated, pytest.param(office_calculated, marks=office)]
)


@READERS
def test_the_schedule_counts_the_cautions_of_a_pipe_once(tmp_path, reader):
    """As the printed schedule does: what all stations share once, what is one station's at each."""
    stations = [*STATIONS, {"at": "400 ft", "ovality": "12 %"}]
    data, (result,) = issued(pipe={"station": stations}, resin=SIZES)
    printed_count = len([n for n in result.notes if n.severity is not Severity.DEFAULT])
    rows = reader({"book": (data, {})}, tmp_path)["book"]["schedule"]
    counts = [row["cautions"] for row in schedule_rows(rows)]
    # Ovality over 10 % at one station; no listed size is enough for the one tube.
    assert counts == [2, 1, 1, 1, 2]
    assert counts[0] == printed_count


def test_a_wall_without_a_bore_has_no_least_factor(tmp_path):
    """DR under 1 turns the sign of X1.1: a factor of the checks that still have one would mislead.

    Calculated and as issued, beside a project that has one.
    """
    soft = {"flexural_modulus": "1724 psi", "flexural_strength": "31 psi"}
    soil = {"soil_reaction_modulus": "1000 psf", "soil_unit_weight": "1200 pcf"}
    data, (result,) = issued(resin=soft, pipe=soil)
    assert result.value("DR") < 1
    cells = Engine(data, tmp_path).calculated()
    book = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    name = "pipe1_lowest_safety_factor"
    assert (cells[name], cell_of(book, name).value) == ("no bore", "no bore")
    assert cells["pipe1_check_X1_1"] == "FAILS"
    cells = Engine(issued()[0], tmp_path).calculated()
    assert cells[name] == pytest.approx(sized_factor := sized().lowest_safety_factor)
    assert sized_factor > 2


@pytest.mark.parametrize("resin", [{}, SIZES])
@pytest.mark.parametrize("station", [[], STATIONS])
def test_what_decides_the_wall_stays_live(resin, station, tmp_path):
    """The owner's 40 mm, or the largest size of 30 mm, against none: in cell and schedule."""
    floor = {"minimum_thickness": "29 mm" if resin else "40 mm"}
    data, (result,) = issued(
        pipe={"station": station, "host_diameter": "36 in"}, resin=resin, criteria=floor
    )
    assert result.minimum_governs
    name, said = "pipe1_thickness_decided_by", "owner's minimum ("
    book = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    assert cell_of(book, name).value == "owner's minimum"
    governing = [row["governs"] for row in schedule_rows(book["Schedule"].values)]
    assert sum(text.startswith(said) for text in governing) == (4 if station else 1)
    engine = Engine(data, tmp_path)
    assert engine.calculated()[name] == "owner's minimum"
    assert engine.calculated({"pipe1_minimum_thickness": 0})[name] == "the equations"


def test_a_wall_too_thin_shows_as_failing(tmp_path):
    data, results = issued(pipe={"design_thickness": "30 mm"})
    assert results[0].status == "checked"
    names = openpyxl.load_workbook(io.BytesIO(data)).defined_names
    assert names["pipe1_design_thickness"].attr_text == names["pipe1_nominal_thickness"].attr_text
    cells = Engine(data, tmp_path).calculated({"pipe1_nominal_thickness": 0.5})
    assert cells["pipe1_status"] == "fails"
    assert cells["pipe1_check_X1_3"] == "FAILS"


@office
def test_libreoffice_agrees_as_issued_and_after_changes(tmp_path):
    books, wanted = {}, {}
    for label, project in PROJECTS.items():
        data, results = issued(**project)
        books[label], wanted[label] = (data, {}), results
        _, (task,) = made(**project)
        cells, keys = random_changes(task, label)
        names = openpyxl.load_workbook(io.BytesIO(data)).defined_names
        cells = {name: value for name, value in cells.items() if name in names}
        books[f"{label} changed"] = (data, cells)
        wanted[f"{label} changed"] = [design(changed(task, keys))]
    data, _ = issued(**PROJECTS["published"])
    _, (task,) = made(**PROJECTS["published"])
    books["no water"] = (data, {"pipe1_groundwater_above_invert": 0})
    wanted["no water"] = [design(changed(task, {"h_invert": 0.0}))]
    shown = office_calculated(books, tmp_path)
    assert {k: disagreements(shown[k], wanted[k]) for k in books} == {k: [] for k in books}
    for label in books:
        worst, *rows = schedule_rows(shown[label]["schedule"])
        result = wanted[label][0]
        in_mm = 25.4 if result.basis.system == "US" else 1.0
        assert same(worst["t req., mm"], result.required_thickness * in_mm)
        assert same(worst["t nom., mm"], result.nominal_thickness * in_mm)
        printed = schedule([result], {})
        texts = dict(zip(printed.columns, printed.rows[0], strict=True))
        for head in ("governs", "host"):
            assert worst[head] == texts[head]
        assert worst["status"] == result.status
        # Cut and not rounded, so that 1.999 never reads 2.00.
        factor = worst["min. N"]
        assert f"{factor:.2f}" == texts["min. N"] if isinstance(factor, float | int) else True
        if rows:
            assert worst["station"] == result.governing_station


# The street as one model

STREET = """
[project]
title = "Harrowmere"
[criteria]
safety_factor = {factor}
[[resin]]
name = "Felt A"
flexural_modulus = "{modulus}"
flexural_strength = "4500 psi"
[[resin]]
name = "Glass B"
flexural_modulus = "725000 psi"
flexural_strength = "6500 psi"
"""
STREET_PIPE = """
[[pipe]]
name = "{name}"
resin = "{resin}"
condition = "fully deteriorated"
host_diameter = "18 in"
ovality = "2 %"
cover = "{cover} ft"
groundwater_above_invert = "5 ft"
soil_unit_weight = "120 pcf"
soil_reaction_modulus = "700 psi"
live_load = "{load}"
"""


def street(factor=2.0, modulus="250000 psi", load="HL-93"):
    """A street of three pipes of two resins: the workbook and the designs."""
    pipes = [("A", "Felt A", 6, load), ("B", "Glass B", 8, "HL-93"), ("C", "Felt A", 10, "HL-93")]
    text = STREET.format(factor=factor, modulus=modulus) + "".join(
        STREET_PIPE.format(name=name, resin=resin, cover=cover, load=own)
        for name, resin, cover, own in pipes
    )
    read = parse(text.encode(), "harrowmere.toml")
    results = tuple(map(design, tasks(read)))
    return book_of(read, results), results


@office
def test_the_basis_drives_every_pipe_as_size_does(tmp_path):
    """Resin, criteria and a load in words, changed in one cell, against the project so written."""
    data, issued_results = street()
    changes = {
        "issued": {},
        "resin": {"pipe1_flexural_modulus": 310_000},
        "resin by another pipe": {"pipe3_flexural_modulus": 310_000},
        "criteria": {"pipe2_safety_factor": 2.5},
        "load": {"pipe1_live_load_stated": 4.0},
    }
    stiffer, stronger = street(modulus="310000 psi")[1], street(factor=2.5)[1]
    loaded = street(load="4 psi")[1]
    wanted = dict(zip(changes, (issued_results, stiffer, stiffer, stronger, loaded), strict=True))
    shown = office_calculated({label: (data, cells) for label, cells in changes.items()}, tmp_path)
    for label, results in wanted.items():
        for number, result in enumerate(results, 1):
            _agrees(shown[label], number, result)


def _agrees(shown, number, result):
    """The cells of a pipe, by their names, have its results."""
    for name, value in {
        "required_thickness": result.required_thickness,
        "nominal_thickness": result.nominal_thickness,
        "lowest_safety_factor": result.lowest_safety_factor,
        "status": result.status,
        "live_load": result.value("W_s"),
    }.items():
        assert same(shown[f"pipe{number}_{name}"], value), (number, name)


def test_the_basis_drives_every_pipe_in_an_engine_too(tmp_path):
    """All of it at once, against the project so written; the schedule with the pipes."""
    data, _ = street()
    cells = {
        "pipe3_flexural_modulus": 310_000,
        "pipe2_safety_factor": 2.5,
        "pipe1_live_load_stated": 4.0,
    }
    shown = engine_calculated({"changed": (data, cells)}, tmp_path)["changed"]
    _, results = street(2.5, "310000 psi", "4 psi")
    rows = schedule_rows(shown["schedule"])
    printed = schedule(results, {})
    for number, (result, row, texts) in enumerate(zip(results, rows, printed.rows, strict=True), 1):
        _agrees(shown, number, result)
        text = dict(zip(printed.columns, texts, strict=True))
        assert same(row["t req., mm"], 25.4 * result.required_thickness)
        assert same(row["t nom., mm"], 25.4 * result.nominal_thickness)
        for head in ("governs", "host"):
            assert row[head] == text[head]
        assert f"{row['min. N']:.2f}" == text["min. N"]


def test_a_shared_value_is_one_constant_with_the_name_of_every_pipe():
    book = openpyxl.load_workbook(io.BytesIO(street()[0]))
    names = book.defined_names
    homes = [names[f"pipe{n}_flexural_modulus"].attr_text for n in (1, 2, 3)]
    assert homes[0] == homes[2] != homes[1]
    assert all(home.startswith("'Basis'!") for home in homes)
    for key in ("safety_factor", "poisson_ratio", "minimum_thickness", "P_truck"):
        assert len({names[f"pipe{n}_{key}"].attr_text for n in (1, 2, 3)}) == 1, key
        assert isinstance(cell_of(book, f"pipe1_{key}").value, int | float)
    assert names["pipe1_cover"].attr_text != names["pipe2_cover"].attr_text
    assert "Basis" not in openpyxl.load_workbook(io.BytesIO(issued()[0])).sheetnames


def test_the_wheel_load_of_a_rule_is_stated_once_and_moves_every_pipe(tmp_path):
    """By hand: the pressure of the truck is proportional to its wheel load."""
    engine = Engine(street()[0], tmp_path)
    before, after = engine.calculated(), engine.calculated({"pipe1_P_truck": 20_000})
    for number in (1, 2, 3):
        name = f"pipe{number}_W_truck"
        assert after[name] == pytest.approx(1.25 * before[name], rel=1e-9)
        assert after[f"pipe{number}_live_load"] > before[f"pipe{number}_live_load"]


# What the file is


def test_names_stand_for_inputs_that_are_constants_and_results_that_are_formulas():
    data, (result,) = issued(**PROJECTS["stations"])
    book = openpyxl.load_workbook(io.BytesIO(data))
    for number in (1, 2, 3):
        for key in (
            "host_diameter",
            "ovality",
            "cover",
            "groundwater_above_invert",
            "safety_factor",
            "flexural_modulus",
            "modulus_retention",
            "soil_unit_weight",
            "live_load",
        ):
            assert isinstance(cell_of(book, f"pipe{number}_{key}").value, int | float), key
        for key in ("required_thickness", "nominal_thickness", "t_X1_1", "t_X1_3", "q_t", "C"):
            assert str(cell_of(book, f"pipe{number}_{key}").value).startswith("="), key
    assert cell_of(book, "pipe2_cover").value == 22
    assert cell_of(book, "pipe1_modulus_retention").value == 50
    # One modulus, one cell: it cannot differ from station to station.
    assert book.defined_names["pipe2_flexural_modulus"].attr_text == (
        book.defined_names["pipe1_flexural_modulus"].attr_text
    )
    assert result.stations == ("0 ft", "150 ft", "300 ft")


def test_no_two_quantities_of_a_pipe_share_a_cell_name():
    """Spreadsheets take no notice of case in names."""
    keys = set()
    for project in PROJECTS.values():
        _, results = issued(**project)
        keys |= {step.key for result in results for step in result.steps}
    names = [name_of(key).casefold() for key in keys]
    assert len(names) == len(set(names)) > 80


def test_the_same_input_gives_the_same_bytes_without_macros_or_links():
    data, _ = issued(**PROJECTS["stations"])
    assert issued(**PROJECTS["stations"])[0] == data
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = archive.namelist()
        text = b"".join(archive.read(part) for part in parts)
    assert not [part for part in parts if "vba" in part.lower() or "external" in part.lower()]
    assert b'TargetMode="External"' not in text
    assert b"DDE" not in text


def test_sheets_are_set_up_for_reading_and_print():
    data, _ = issued(**PROJECTS["stations"])
    book = openpyxl.load_workbook(io.BytesIO(data))
    assert book.sheetnames[0] == "Schedule"
    assert "Defaults and cautions" in book.sheetnames
    for name in book.sheetnames[:4]:
        sheet = book[name]
        assert sheet.freeze_panes
        assert sheet.print_area
        assert sheet.print_title_rows
        assert sheet.page_setup.paperSize == 1
        assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0)
    metric = openpyxl.load_workbook(io.BytesIO(issued(**PROJECTS["metric"])[0]))
    assert metric["Schedule"].page_setup.paperSize == 9
    cell = cell_of(book, "pipe1_host_diameter")
    result = cell_of(book, "pipe1_C")
    assert cell.fill.fgColor.rgb != result.fill.fgColor.rgb
    assert cell_of(book, "pipe1_modulus_retention").fill.fgColor.rgb != cell.fill.fgColor.rgb
    assert [cell.offset(0, column).value for column in (-2, -1, 1)] == [
        "D",
        "mean inside diameter of the host pipe",
        "in",
    ]


# What the README's table of keys says of each, by hand: numbers refused, and numbers taken.
TAKEN = {
    "host_diameter": ((-48, 0, 2e15), (0.5, 48)),
    "ovality": ((-1, 100, 500), (0, 2, 99.9)),
    "cover": ((-3, 0), (0.1, 16)),
    "groundwater_above_invert": ((-2e15, 2e15), (-4, 0, 12)),
    "soil_unit_weight": ((-1, 0), (120,)),
    "live_load": ((-1,), (0, 5)),
    "modulus_retention": ((0, 100.1, 500), (0.5, 100)),
    "poisson_ratio": ((-0.1, 0, 0.5, 3), (0.3,)),
    "safety_factor": ((-2, 0), (0.5, 2)),
    "minimum_thickness": ((-1,), (0, 3)),
    "thickness_step": ((-1, 0), (1.5,)),
}


def test_a_cell_takes_what_the_project_file_takes():
    book = openpyxl.load_workbook(io.BytesIO(issued()[0]))
    rules = book.worksheets[1].data_validations.dataValidation
    formula = {str(rule.sqref): rule for rule in rules}
    for name, (refused, taken) in TAKEN.items():
        cell = cell_of(book, f"pipe1_{name}")
        rule = formula[cell.coordinate]
        assert rule.type == "custom"
        assert rule.errorStyle in (None, "stop")
        assert rule.showErrorMessage
        text = rule.formula1.replace(f"${cell.column_letter}${cell.row}", "CELL1_")
        for number in (*refused, *taken):
            assert engine_value(text, {"CELL1_": number}) == (number in taken), (name, number)


HOSTILE = [
    "=1+1",
    "@SUM(A1)",
    "+cmd|' /C calc'!A0",
    "-2+3",
    "\t=1",
    "<script>",
    "a\nb",
    "'quoted",
    "{=1}",
    "=" + "9" * 10_000,
    "مرحبا",
    "🚧" * 40,
    "http://a.example",
    "_x0041_",
    "&D&P",
    "x" * 40_000,
    "[a]:b*c?d/e\\f",
    "History",
    "Schedule",
]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_names_stay_text(text):
    station = [{"at": text, "cover": "5 ft"}, {"at": "end", "cover": "8 ft"}]
    data, _ = issued(
        project={"title": text, "client": text, "date": text},
        resin={"name": text, "evidence": text},
        pipe={"name": text, "resin": text, "station": station},
    )
    clean, _ = issued(
        project={"title": "t", "client": "t", "date": "t"},
        resin={"name": "t", "evidence": "t"},
        pipe={
            "name": "t",
            "resin": "t",
            "station": [{"at": "t", "cover": "5 ft"}, {"at": "end", "cover": "8 ft"}],
        },
    )
    book, plain = (openpyxl.load_workbook(io.BytesIO(each)) for each in (data, clean))
    assert formula_cells(book) == formula_cells(plain)
    shown = [
        c.value for s in book for row in s.iter_rows() for c in row if isinstance(c.value, str)
    ]
    escaped = text.replace("\n", "\\n").replace("\t", "\\t").strip("\\t")
    assert any(escaped[:LONGEST_TEXT].strip() in value for value in shown)
    assert len({name.casefold() for name in book.sheetnames}) == len(book.sheetnames)
    assert all(len(name.encode("utf-16-le")) <= 62 for name in book.sheetnames)


def formula_cells(book):
    """Where formulas stand, sheet by sheet."""
    return [
        {cell.coordinate for row in sheet.iter_rows() for cell in row if cell.data_type == "f"}
        for sheet in book
    ]


def test_a_text_that_is_cut_says_so():
    data, _ = issued(pipe={"name": "x" * 40_000})
    book = openpyxl.load_workbook(io.BytesIO(data))
    assert book.worksheets[1]["A1"].value.endswith("(truncated)")


def test_sheet_names_are_unique_in_any_case():
    taken = set()
    for wanted in ("A" * 50, "a" * 40, "a" * 31):
        taken.add(sheet_name(wanted, taken).casefold())
    assert len(taken) == 3
    assert sheet_name("", set()) == "Sheet"


def test_a_tab_is_not_cut_within_a_word():
    """A tab holds 31 letters; this verdict was cut in `least`, by hand at its last whole word."""
    verdict = 'Memo A ACCEPTED by "mean and least"'
    assert sheet_name(verdict, set()) == 'Memo A ACCEPTED by "mean and'
    assert sheet_name(verdict[:31].strip(), set()) == verdict[:31].strip()
    assert sheet_name("1 Siphon under the river (upper barrel)", set()) == (
        "1 Siphon under the river (upper"
    )
    assert sheet_name("2 Quay Street from the tannery, (north)", set()) == (
        "2 Quay Street from the tannery"
    )


def test_sheet_names_hold_no_letters_written_as_codes():
    assert sheet_name("_x0041_", set()) == "x0041"


SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="80">'
    '<rect width="200" height="80" fill="#88aa99"/></svg>'
)


def test_other_blocks_go_to_memo_sheets():
    read, todo = made()
    document = Sizing(read, "US", tuple(design(task) for task in todo)).document
    extra = (
        Heading("What the sheets say"),
        Paragraph("=SUM(A1)"),
        Bullets(("first", "@second")),
        Grid(("name", "t"), "<>", (("=1+1", "-2.50"), ("+3", "+3"), ("b", "n/a"))),
        Picture(SVG, "Section", "a grey box"),
    )
    sheets = tuple(block for block in document.blocks if isinstance(block, Sheet))
    book = openpyxl.load_workbook(io.BytesIO(render(replace(document, blocks=sheets + extra))))
    memo = book["What the sheets say"]
    values = [c.value for row in memo.iter_rows() for c in row if c.value is not None]
    for text in ("What the sheets say", "=SUM(A1)", "• @second", "=1+1", "+3", "n/a", "a grey box"):
        assert text in values
    assert -2.5 in values
    assert all(c.data_type != "f" for row in memo.iter_rows() for c in row)
    assert len(memo._images) == 1
    alone = openpyxl.load_workbook(io.BytesIO(render(replace(document, blocks=extra))))
    assert alone.sheetnames == ["What the sheets say", "Cautions"]
    first = alone.worksheets[0]
    assert first["A1"].value == document.title
    assert any(document.identity.fingerprint in str(row[0].value) for row in first.iter_rows())


LONG = "A sentence of fifty letters that goes on for so long. " * 8
WORKING = "0.455*1^0.4*125000*0.177165^2.2/(24.5761^0.4*4.15249^1.8) = " * 4


def test_no_text_of_a_memo_runs_into_another():
    """Every row has its own height, enough for its text, and nothing runs out of its cell."""
    read, todo = made()
    document = Sizing(read, "US", tuple(design(task) for task in todo)).document
    rows = (("symbol", WORKING, "1"), ("k", "short", LONG))
    grid = Grid(("", "the working", "a value"), "<<>", rows, "Title " + LONG)
    blocks = (Heading("Working"), Paragraph(LONG), Bullets((LONG, "short")), grid)
    book = openpyxl.load_workbook(io.BytesIO(render(replace(document, blocks=blocks))))
    memo = book.worksheets[0]
    merged = {str(area).split(":")[0]: area for area in memo.merged_cells.ranges}
    spans = memo.column_dimensions.values()
    widths = [span.width for span in spans for _ in range(span.min, span.max + 1)]
    assert 100 <= sum(widths) < 140
    seen = 0
    for row in memo.iter_rows(max_row=memo.max_row):
        for each in row:
            if isinstance(each.value, str):
                area = merged.get(each.coordinate)
                columns = range(area.min_col, area.max_col + 1) if area else (each.column,)
                room = sum(widths[column - 1] for column in columns)
                # A letter of Arial 10 is about 0.85 of what widths count; 12 points make a line.
                lines = math.ceil(0.85 * len(each.value) / room)
                assert memo.row_dimensions[each.row].height >= 12 * lines
                assert each.alignment.wrap_text
                seen += lines > 1
    assert seen == 5


def test_there_is_one_schedule_and_it_is_live():
    """What is asked beside the thickness keeps its memo; the printed schedule has none."""
    read, todo = made()
    document = Sizing(read, "US", tuple(design(task) for task in todo)).document
    asked = (Heading("Capacity running full", 2), Paragraph("by Manning"))
    for more, memos in (((), []), (asked, ["Capacity running full"])):
        data = render(replace(document, blocks=(*document.blocks, *more)))
        book = openpyxl.load_workbook(io.BytesIO(data))
        assert book.sheetnames == ["Schedule", "1 Trunk", *memos, "Defaults and cautions"]
        holding = [s.title for s in book for row in s.values if "Schedule of thicknesses" in row]
        assert holding == []
        assert any(c.data_type == "f" for row in book["Schedule"].iter_rows() for c in row)


def test_the_issued_file_carries_the_documents_date():
    data, _ = issued(project={"date": "2026-05-04"})
    created = openpyxl.load_workbook(io.BytesIO(data)).properties.created
    assert (created.year, created.month, created.day) == (2026, 5, 4)
    undated = openpyxl.load_workbook(io.BytesIO(issued()[0])).properties.created
    assert undated.year == 2000


def test_ranges_and_notes_of_the_result_stand_on_the_sheet():
    """A caution that the design gives is out of range on the sheet, and no other is."""
    data, (result,) = issued(pipe={"ovality": "12 %"}, criteria={"safety_factor": 1.5})
    book = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    sheet = book.worksheets[1]
    left = {row[2].value for row in sheet.iter_rows() if row[3].value == "out of range"}
    wanted = {note.text for note in result.notes if note.severity is not Severity.DEFAULT}
    assert left == wanted
    assert len(left) >= 2
    # A caution in another colour than what is outside the method.
    rules = openpyxl.load_workbook(io.BytesIO(data)).worksheets[1].conditional_formatting
    colours = {}
    for row in sheet.iter_rows(min_col=2, max_col=4):
        if row[2].value == "out of range":
            (rule,) = [r for at in rules if str(at.sqref) == row[2].coordinate for r in at.rules]
            colours.setdefault(row[0].value, set()).add(rule.dxf.fill.bgColor.rgb)
    assert len(colours["caution"]) == len(colours["outside"]) == 1
    assert colours["caution"].isdisjoint(colours["outside"])


def test_with_evidence_a_retention_over_the_usual_leaves_no_range():
    resin = {
        "modulus_retention": "60 %",
        "evidence": "test report of Harrowmere, 2026",
        "evidence_grade": "third-party creep test",
    }
    data, _ = issued(resin=resin)
    sheet = openpyxl.load_workbook(io.BytesIO(data), data_only=True).worksheets[1]
    said = " ".join(str(row[2].value) for row in sheet.iter_rows())
    assert "safety factor N below the usual 2" in said
    assert "modulus retention over 50 % without evidence" not in said
    bare, _ = issued(resin={"modulus_retention": "60 %"})
    sheet = openpyxl.load_workbook(io.BytesIO(bare), data_only=True).worksheets[1]
    assert "out of range" in {row[3].value for row in sheet.iter_rows()}


def test_a_line_that_does_not_apply_is_greyed_by_its_own_condition():
    book = openpyxl.load_workbook(io.BytesIO(issued(criteria={"dry_case": False})[0]))
    row = cell_of(book, "pipe1_t_DR_limit").row
    rules = book.worksheets[1].conditional_formatting
    (here,) = [r for r in rules if r.sqref.ranges and str(r.sqref).startswith(f"A{row}:")]
    (rule,) = here.rules
    assert rule.formula == ["NOT(pipe1_groundwater_above_invert <= 1E-09)"]


def test_resin_and_pipe_of_the_examples_are_the_published_ones():
    """Guards the base case: Najafi 2010, pp. 75-83."""
    assert (PIPE["host_diameter"], RESIN["flexural_modulus"]) == ("48 in", "250000 psi")


def test_a_figure_with_thousands_in_a_memo_is_a_number(tmp_path):
    """An area over ten thousand square feet can be summed by a reader."""
    path = tmp_path / "p.toml"
    path.write_text(toml({"length": "1,250 ft"}), encoding="utf-8")
    target = tmp_path / "w.xlsx"
    assert main(["size", str(path), "-o", str(target)]) == 0
    rows = list(openpyxl.load_workbook(target)["Bid schedule"].values)
    head = next(row for row in rows if row[0] == "host diameter")
    area = head.index("liner area, ft^2")
    total = next(row for row in rows if row[0] == "total")
    # pi 4 ft by 1,250 ft
    assert total[area] == pytest.approx(15708, abs=1)
