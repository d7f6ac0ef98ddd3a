"""The status table names every equation and table once, and what checked it."""

from linerdesign.equations.catalogue import catalogue
from linerdesign.equations.equation import Provenance
from linerdesign.equations.published import FILES, published
from linerdesign.equations.status import CHECKED, base_number, status


def test_every_equation_and_table_is_there_once():
    names = [row.name for row in status()]
    for each in catalogue():
        assert any(name.startswith(each.number) for name in names)
    tables = [f"table {name}" for file in FILES for name in published(file)]
    assert [name for name in names if name.startswith("table ")] == tables


def test_everything_built_says_what_checked_it():
    numbers = {base_number(each) for each in catalogue()} | {each.number for each in catalogue()}
    assert set(CHECKED) <= numbers
    for row in status():
        assert bool(row.checked) is row.implemented, row.name


def test_limits_can_be_read_with_symbols():
    for each in catalogue():
        for limit in each.limits:
            assert limit.holds.tree


def test_the_tables_from_memory_say_so():
    """Only the impact factors were seen in print; all loads and moduli are recalled."""
    seen = {
        name
        for file in FILES
        for name, table in published(file).items()
        if table.provenance is Provenance.SEEN
    }
    assert seen == {"impact"}
