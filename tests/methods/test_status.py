"""The status table names every equation and table once; test_evidence.py asks what checks them."""

import json
from collections import defaultdict
from importlib.resources import files

from linerdesign.expressions.tree import Call, Table, children
from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.equation import Provenance
from linerdesign.methods.ground.published import FILES, published
from linerdesign.methods.selection import listed
from linerdesign.methods.status import status


def test_every_equation_and_table_is_there_once():
    names = [row.name for row in status()]
    for each in catalogue():
        assert any(name.startswith(each.number) for name in names)
    tables = [f"table {name}" for file in FILES for name in published(file)]
    assert [name for name in names if name.startswith("table ")] == tables


def test_every_form_of_an_equation_stands_in_one_row():
    forms = [each for row in status() for each in row.forms]
    assert sorted(map(id, forms)) == sorted(map(id, catalogue()))
    assert all(row.implemented for row in status() if row.forms)


def test_a_row_says_each_thing_in_its_place():
    """The tables as the data files have them; what is left out, and why."""
    rows = {row.name: row for row in status()}
    assert len(rows) > 100
    for row in rows.values():
        assert row.implemented is (row.provenance is not None) is bool(row.source)
    for file in FILES:
        text = files("linerdesign.methods.ground").joinpath("tables", f"{file}.json")
        for raw in json.loads(text.read_text(encoding="utf-8")):
            row = rows[f"table {raw['id']}"]
            assert (row.what, row.source) == (raw["title"], raw["source"])
            assert row.provenance is published(file)[raw["id"]].provenance
            assert not row.forms
    left_out = {name: row.what for name, row in rows.items() if not row.implemented}
    assert left_out.keys() == {"HL-93 lane load", "HL-93 under 2 ft", "E' adjustments"}
    assert "lane load of LRFD" in left_out["HL-93 lane load"]
    for name, row in rows.items():
        for each in row.forms:
            assert name.startswith(each.number)
            assert (row.what, row.source) == (each.meaning, row.forms[0].source)


def test_limits_can_be_read_with_symbols():
    for each in catalogue():
        for limit in each.limits:
            assert limit.holds.tree


# What a step does decides how a sheet prints it; plain arithmetic is an "equation".
KINDS = {
    "choice": {"Choice"},
    "look-up": {"LookUp", "Choice"},
    "rounding": {"ceil", "LookUp"},
    "angle": {"atan"},
    "equation": set(),
}


def _done(node):
    name = node.function if isinstance(node, Call) else type(node).__name__
    return {name}.union(*(_done(child) for child in children(node)))


def test_every_equation_is_of_the_kind_that_its_steps_are():
    sizes = Table("sizes", (1.0, 2.0), (1.0, 2.0), "invented")
    for each in (*catalogue(), listed(sizes)):
        special = _done(each.tree) & {"Choice", "LookUp", "ceil", "atan"}
        assert special <= KINDS[each.kind], each.name
        assert bool(special) is (each.kind != "equation"), each.name


def test_forms_of_one_number_differ_by_unit_system_or_edition():
    forms = defaultdict(list)
    for each in catalogue():
        forms[each.number].append((each.system, (each.edition or "").partition(" ")[0]))
    pairs = {number for number, found in forms.items() if len(found) == 2 and number != "Bd/D"}
    for number, found in forms.items():
        by_system = {("US", ""), ("SI", "")}
        by_edition = {(None, "F1216-07a"), (None, "F1216-07b")}
        known = (by_system, by_edition) if number in pairs else ({(None, "")},)
        assert set(found) in known, number


def test_the_tables_from_memory_say_so():
    """Only the impact factors were seen in print; all loads and moduli are recalled."""
    seen = {
        name
        for file in FILES
        for name, table in published(file).items()
        if table.provenance is Provenance.SEEN
    }
    assert seen == {"impact"}
