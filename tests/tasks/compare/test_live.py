"""Every cell that recalculates: as it stands, and with other prices as another file would have it.

The formulas are computed by Python itself; what they should give is what the program finds anew.
"""

import re

import pytest
from recalculation import Cells
from tasks.compare.test_live_costs import CHANGES, project
from tasks.compare.test_ranking import resin, text_of

from linerdesign.documents.blocks import Grid, Heading
from linerdesign.project.quantities import Purchase
from linerdesign.project.reading import parse
from linerdesign.tasks.compare.comparison import Wishes, compare
from linerdesign.tasks.compare.live_choices import Choices
from linerdesign.tasks.compare.report import comparison_report


def text(changes=()):
    """Of the glass alone the embodied carbon is stated; a third system is priced by mass alone."""
    found = project(changes)
    carbon = 'embodied_carbon = "2.5 kg/kg"\nresin_share_by_mass'
    third = resin("Third", 600, "4 USD/kg", more='[resin.cost]\nservice_life = "30 yr"\n')
    return found.replace("resin_share_by_mass", carbon) + third


def compared(by, system, changes=(), discount=0.03):
    wishes = Wishes(by=by, purchase=Purchase(1.0, 0.07, discount))
    return compare(parse(text(changes).encode()), system, wishes)


def test_sets_of_up_to_four_of_five_systems():
    """5 alone, and C(5, 2) + C(5, 3) + C(5, 4) = 10 + 10 + 5 together."""
    more = "".join(
        resin(f"R{n}", 300 + n, f"{n} USD/kg", more="thickness_step = '0.1 mm'\n")
        for n in range(1, 5)
    )
    found = compare(parse(text_of(more).encode()), "US", Wishes(by="cost"))
    sets = [each.columns for each in Choices(found).sets]
    assert len(sets) == len(set(sets)) == 5 + 10 + 10 + 5
    assert [len(each) for each in sets] == [1] * 5 + [2] * 10 + [3] * 10 + [4] * 5
    assert [each.most for each in found.assignments] == [1, 2, 3, 4]


def number(shown):
    """The first number of a text, and half a unit of its last figure."""
    found = re.match(r"-?[\d,]+(\.\d+)?", shown)
    assert found, shown
    places = len((found[1] or ".")[1:])
    return float(found[0].replace(",", "")), 0.5000001 * 10.0**-places


def decimals(shown):
    return len(shown.partition(".")[2])


@pytest.mark.parametrize("system", ["US", "SI"])
@pytest.mark.parametrize("by", ["thickness", "mass", "carbon", "cost", "annual-cost"])
def test_a_cell_holds_what_is_printed_in_its_place_and_what_its_formula_gives(by, system):
    cells = Cells(comparison_report(compared(by, system)).blocks)
    assert len(cells.places) > 50
    for (grid, row, column), cell in cells.places.items():
        found, printed = cells.at(grid, row, column), cells.grids[grid].rows[row][column]
        if isinstance(cell.value, str):
            assert found == cell.value, cell
            continue
        assert found == pytest.approx(cell.value, rel=1e-9), cell
        shown, off = number(printed)
        if cell.formula:
            assert decimals(printed.split()[0]) == decimals(cell.pattern), cell
        # Inputs have six figures.
        assert shown == pytest.approx(cell.value, abs=off, rel=0 if cell.formula else 5e-6), cell


@pytest.mark.parametrize("system", ["US", "SI"])
@pytest.mark.parametrize("by", ["thickness", "mass", "carbon", "cost", "annual-cost"])
def test_every_table_has_a_cell_for_each_of_its_heads(by, system):
    document = comparison_report(compared(by, system))
    for grid in (each for each in document.blocks if isinstance(each, Grid)):
        assert isinstance(grid.columns, tuple)
        assert isinstance(grid.caption, str)
        assert len(grid.align) == len(grid.columns)
        assert set(grid.align) <= {"<", ">"}
        assert all(len(row) == len(grid.columns) for row in grid.rows)
        # What each row is about begins at the left.
        assert grid.align[0] == "<" or grid.columns[0] in ("rank", "systems, at most")
    # The title alone is over the others, each of which begins a part.
    levels = [each.level for each in document.blocks if isinstance(each, Heading)]
    assert levels == [1] + [2] * (len(levels) - 1)


@pytest.mark.parametrize("system", ["US", "SI"])
@pytest.mark.parametrize("by", ["cost", "annual-cost"])
def test_other_inputs_give_what_the_program_finds_with_them(by, system):
    other = compared(by, system, CHANGES.values(), 0.05)
    wanted = Cells(comparison_report(other).blocks)
    inputs = {name: wanted.places[place].value for name, place in wanted.named.items()}
    cells = Cells(comparison_report(compared(by, system)).blocks, inputs)
    assert [len(grid.rows) for grid in cells.grids] == [len(grid.rows) for grid in wanted.grids]
    changed = 0
    for place, cell in cells.places.items():
        grid, row, column = place
        if cells.grids[grid].columns[0] == "rank":
            resin = cells.grids[grid].rows[row][1]
            row = [each[1] for each in wanted.grids[grid].rows].index(resin)
        found, now = cells.at(*place), wanted.places[grid, row, column].value
        assert found == (now if isinstance(now, str) else pytest.approx(now, rel=1e-9)), cell
        changed += found != cell.value
    assert changed > 30
