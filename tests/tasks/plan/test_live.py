"""Every cell of the live sheets of a plan: as it stands, and with what another file holds fixed.

The formulas are computed by Python itself; what they should give is what the program finds anew.
"""

import pytest
from projects import toml
from recalculation import Cells
from tasks.plan.test_live_workbook import PIPE, STATIONS

from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.reading import parse
from linerdesign.tasks.plan.report import planning_workbook
from linerdesign.tasks.plan.request import CONDITIONS, Request, planned

AXES = ("8 in", "30 in"), ("5 ft", "12 ft"), ("0 ft", "9 ft")
LISTED = {"thicknesses": ["3 mm", "4.5 mm", "6 mm", "7.5 mm", "12 mm", "24 mm"]}

REQUIRED = SYMBOLS["t_required"].symbol


def plan(stations=STATIONS, units="US", changes=(), resin=None):
    text = toml(PIPE, resin, {"minimum_thickness": "4.5 mm"}) + stations
    for old, new in changes:
        assert text.count(f'"{old}"') == 1, old
        text = text.replace(f'"{old}"', f'"{new}"')
    return planned(parse(text.encode()), Request(None, [], CONDITIONS, *AXES), units)


def cells(made, inputs=None):
    return Cells(planning_workbook(made).blocks, inputs)


def fixed(made):
    """What a plan holds fixed, by the names of the cells."""
    return {name: made.places[place].value for name, place in made.named.items()}


@pytest.mark.parametrize("resin", [None, LISTED])
@pytest.mark.parametrize("stations", [STATIONS, ""])
@pytest.mark.parametrize("units", ["US", "SI"])
def test_a_cell_holds_what_its_formula_gives(resin, stations, units):
    made = cells(plan(stations, units, resin=resin))
    for place, cell in made.places.items():
        found = made.at(*place)
        text = isinstance(cell.value, str)
        assert found == (cell.value if text else pytest.approx(cell.value, rel=1e-9)), cell


@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize(
    ("stations", "resin", "old", "new", "head", "among"),
    [
        (STATIONS, None, "250000 psi", "310000 psi", "status", {"sized"}),
        ("", None, "250000 psi", "310000 psi", "status", {"sized"}),
        ("", None, "4.5 mm", "60 mm", "minimum_governs", {"yes"}),
        (STATIONS, None, "4.5 mm", "9 mm", "minimum_governs", {"yes", "no"}),
        # So weak that bending governs.
        ("", None, "4500 psi", "1200 psi", "governing", {"X1.2"}),
        # Another station governs.
        (STATIONS, None, "2000 psi", "250 psi", "station", {'at "[1]" a'}),
        # Of 12 % the whole pipe is outside the method, of 12 % at one station as well.
        ("", None, "2 %", "12 %", "status", {"outside the method"}),
        (STATIONS, None, "6 %", "12 %", "status", {"outside the method"}),
        # So soft that no listed thickness is sufficient everywhere.
        (STATIONS, LISTED, "250000 psi", "60000 psi", "status", {"sized", "fails"}),
        ("", LISTED, "250000 psi", "60000 psi", "status", {"sized", "fails"}),
    ],
)
def test_other_values_give_what_the_program_finds_with_them(
    stations, resin, old, new, head, among, back
):
    before, after = plan(stations, resin=resin), plan(stations, changes=[(old, new)], resin=resin)
    if back:
        before, after = after, before
    wanted = cells(after)
    made = cells(before, fixed(wanted))
    changed, seen = 0, set()
    for (grid, row, column), cell in made.places.items():
        columns = made.grids[grid].columns
        found, now = made.at(grid, row, column), wanted.places[grid, row, column].value
        required = [n for n, name in enumerate(columns) if name.startswith(f"{REQUIRED} at ")]
        if columns[column] == "station" and len({wanted.at(grid, row, n) for n in required}) == 1:
            # Of stations alike either may be named.
            continue
        if columns[column] == head:
            seen.add(found)
        if columns[column] == "printed" or columns[0] == "diameter":
            # Letters, numbers of stations and cautions stay those of the file as issued.
            assert found.split()[0] == now.split()[0], cell
            assert (found[-1] in "x!") == (now[-1] in "x!")
        else:
            assert found == (now if isinstance(now, str) else pytest.approx(now, rel=1e-9)), cell
        changed += found != cell.value
    assert changed
    assert back or seen >= among
