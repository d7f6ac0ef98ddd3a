"""Every check by another route than the package's own, once: what, by which route, by which test.

docs/verification.md prints them, and the checks of each equation and table are read from them;
tests/methods/test_evidence.py asks that each test exists, and tests/conftest.py that it runs the
equations it claims. Printed numbers stand in tests/published.py.
"""

from collections.abc import Iterable

from evidence import Case, Grid, Route, Strength
from published import CASES, GRIDS

from linerdesign.methods.equation import Equation
from routes import loads, program, standard, tables, works

GROUPS: dict[str, tuple[Route, ...]] = {
    "Gravity pipe": standard.GRAVITY,
    "Pressure pipe and vacuum": standard.PRESSURE,
    "Live load": loads.LIVE_LOAD,
    "Tables of loads and soils": tables.TABLES,
    "Quantities and bending tests": works.QUANTITIES,
    "Encased ring": works.RING,
    "Hosts of any shape": works.ANY_HOST,
    "Laws": program.LAWS,
    "Rest of the program": program.PROGRAM,
    "Printed and live forms": program.FORMS,
}
ROUTES = tuple(route for group in GROUPS.values() for route in group)
# Equations and tables that nothing outside stands beside, each with the reason: name -> reason.
NOTHING_BESIDE: dict[str, str] = {}


def printed(forms: Iterable[Equation]) -> list[Case | Grid]:
    """The printed numbers of an equation in any of its forms."""
    wanted = set(forms)
    return [each for each in (*CASES, *GRIDS) if each.equation in wanted]


def other_routes(forms: Iterable[Equation]) -> list[Route]:
    """The routes that hold an equation's number in any of its forms."""
    wanted = set(forms)
    return [each for each in ROUTES if _counts(each) and wanted & set(each.equations)]


def routes_of_table(name: str) -> list[Route]:
    """The routes that hold a published table."""
    return [each for each in ROUTES if _counts(each) and name in each.tables]


def _counts(route: Route) -> bool:
    return route.holds is Strength.NUMBERS
