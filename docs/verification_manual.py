"""The generated parts of docs/verification.md, from the data that the tests run.

`python docs/build.py` writes them.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

from evidence import Case, Grid, Kind, Route, Source, Strength
from layout import table
from published import CASES, GRIDS
from routes import GROUPS, NOTHING_BESIDE, ROUTES, other_routes, printed, routes_of_table
from to_verify import TO_VERIFY

from linerdesign.expressions.printing import positional
from linerdesign.methods.equation import Provenance
from linerdesign.methods.ground.published import FILES, published
from linerdesign.methods.status import Status, status

EQUATIONS = tuple(row for row in status() if row.forms)
TABLES = {name: each for file in FILES for name, each in published(file).items()}
PLACE = {id(route): str(place) for place, route in enumerate(ROUTES, 1)}
SURE = {
    Provenance.SEEN: "seen",
    Provenance.SECONDARY: "applied",
    Provenance.MEMORY: "memory",
    Provenance.DERIVED: "derived",
    Provenance.PRACTICE: "practice",
}
COLUMNS = ("where", "equation", "what", "printed", "computed")
COLUMNS += ("off, %", "last place", "agrees", "remark")
ROOMS = {
    "ovality": "Ovality",
    "site": "Cover and water",
    "gravity": "Gravity pipe",
    "pressure": "Pressure pipe and vacuum",
    "live_load": "Live load",
    "soil": "Soil",
    "selection": "Choice of the wall",
    "hydraulics": "Capacity",
    "quantities": "Quantities",
    "laboratory": "Laboratory and acceptance",
    "mechanics": "X1.1 beside mechanics",
    "ring": "Encased ring",
    "outline": "Host of any shape",
    "legs": "Legs of a line",
    "works": "Works",
}


def counts() -> str:
    """How much is checked, and by what."""
    in_print = [row for row in EQUATIONS if any(map(_is_printed, printed(row.forms)))]
    otherwise = [
        row
        for row in EQUATIONS
        if row not in in_print and (printed(row.forms) or other_routes(row.forms))
    ]
    kinds = Counter(case.source.kind for case in CASES)
    cells = sum(len(grid.cells) for grid in GRIDS)
    held = Counter(route.holds for route in ROUTES)
    rows = [
        ("equations, unit systems and editions counted apart", len(EQUATIONS)),
        ("of them with a printed number", len(in_print)),
        ("of them with another route or a number by hand only", len(otherwise)),
        ("of them with neither", len(EQUATIONS) - len(in_print) - len(otherwise)),
        ("published tables of loads and soils", len(TABLES)),
        ("numbers in the main table, seen in print", kinds[Kind.PRINT]),
        ("of them with a slip in print", sum(case.slip is not None for case in CASES)),
        ("numbers in the main table, printed but from memory", kinds[Kind.RECALLED]),
        ("numbers in the main table, worked by hand", kinds[Kind.BY_HAND]),
        ("coefficients of one printed table, beside those", cells),
        *((f"other routes: {strength}", held[strength]) for strength in Strength),
    ]
    sure = Counter(row.provenance for row in EQUATIONS)
    origin = [(SURE[p], p.value, str(sure[p])) for p in Provenance]
    parts = (
        table(("what", "how many"), [(what, str(number)) for what, number in rows]),
        table(("how sure", "which means", "equations"), origin),
    )
    return "\n\n".join(parts)


def _is_printed(each: Case | Grid) -> bool:
    return each.source.kind is not Kind.BY_HAND


def checks() -> str:
    """Every printed number beside the computed one, source by source."""
    sources = dict.fromkeys(each.source for each in (*CASES, *GRIDS))
    order = sorted(sources, key=lambda source: list(Kind).index(source.kind))
    return "\n\n".join(_of_source(source) for source in order)


def _of_source(source: Source) -> str:
    parts = [f"### {source.title}\n\n{source.kind.capitalize()}."]
    cases = sorted((c for c in CASES if c.source == source), key=lambda case: case.place)
    if cases:
        wide = len(COLUMNS) if any(case.remark for case in cases) else len(COLUMNS) - 1
        parts.append(table(COLUMNS[:wide], [_number(case)[:wide] for case in cases]))
    parts.extend(_grid(grid) for grid in GRIDS if grid.source == source)
    return "\n\n".join(parts)


def _number(case: Case) -> tuple[str, ...]:
    computed = positional(float(case.computed()), max(5, len(f"{case.printed:.{case.decimals}f}")))
    return (
        case.place,
        case.equation.number if case.equation else "samples",
        case.what,
        f"{case.stands:.{case.decimals}f} {case.unit}".strip(),
        f"{computed} {case.unit}".strip(),
        _signed(case.percent_off, 2),
        _signed(case.places_off, 1),
        _agrees(case),
        case.remark,
    )


def _agrees(case: Case) -> str:
    if not case.agrees:
        return "**no**"
    return "yes" if case.slip is None else f"slip in print, {case.printed:.{case.decimals}f}"


def _signed(number: float, decimals: int) -> str:
    """With its sign, and none on a nought."""
    rounded = round(number, decimals)
    return f"{rounded:+.{decimals}f}" if rounded else "0"


def _grid(grid: Grid) -> str:
    row, column, value, computed = grid.worst
    return (
        f"{grid.what}, {grid.equation.number}: {grid.agreeing} of {len(grid.cells)} printed "
        f"numbers agree to the last of {grid.decimals} decimals; farthest off is {value} at {row} "
        f"by {column}, computed {computed:.4f}: {grid.remark}."
    )


def routes() -> str:
    """Every other route, group by group; those of the tables have a section of their own."""
    shown = {name: group for name, group in GROUPS.items() if not any(r.tables for r in group)}
    return "\n\n".join(f"### {name}\n\n{_routes(group)}" for name, group in shown.items())


def _routes(group: Iterable[Route]) -> str:
    columns = ("no.", "what", "against", "within", "test")
    return table(columns, [(PLACE[id(r)], r.what, r.route, r.agreement, _test(r)) for r in group])


def _test(route: Route) -> str:
    """The file, linked, and the name of the function in words."""
    file, _, function = route.test.partition("::")
    words = re.sub(r"x1 ?(\d)", r"X1.\1", function.removeprefix("test_").replace("_", " "))
    return f"[{file.removesuffix('.py')}](../tests/{file}): {words}"


def tables() -> str:
    """Every published table with its checks, and the tables without any."""
    rows = [
        (name, each.title, each.source, SURE[each.provenance], _places(routes_of_table(name)))
        for name, each in TABLES.items()
    ]
    (group,) = (group for group in GROUPS.values() if any(route.tables for route in group))
    bare = [f"* {name}: {reason}" for name, reason in NOTHING_BESIDE.items()]
    parts = (
        table(("table", "what", "source", "how sure", "routes"), rows),
        _routes(group),
        "Nothing beside its own rows: " + ("\n\n" + "\n".join(bare) if bare else "none."),
    )
    return "\n\n".join(parts)


def _places(found: Iterable[Route]) -> str:
    return ", ".join(PLACE[id(route)] for route in found)


def to_verify() -> str:
    """What a buyer of the standards should look up, standard by standard."""
    parts = []
    for where in dict.fromkeys(row.where for row in TO_VERIFY):
        rows = [row for row in TO_VERIFY if row.where == where]
        parts.append(
            "\n".join(
                [f"**{where}**", "", *(f"* {row.look_at}. Here: {row.here}." for row in rows)]
            )
        )
    return "\n\n".join(parts)


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:]


def standing() -> str:
    """Every equation with what checks it, room by room, and what is left out."""
    parts = []
    for room, head in ROOMS.items():
        rows = [_standing(row) for row in EQUATIONS if _room(row) == room]
        columns = ("equation", "what", "how sure", "numbers", "routes")
        parts.append(f"### {head}\n\n{table(columns, rows)}")
    left = [f"* {row.name}: {row.what}." for row in status() if not row.implemented]
    return "\n\n".join([*parts, "### Known and not built", "\n".join(left)])


def _room(row: Status) -> str:
    *_, folder, module = row.forms[0].function.__module__.split(".")
    return folder if module == "equations" else module


def _standing(row: Status) -> tuple[str, ...]:
    found = printed(row.forms)
    numbers = sum(len(each.cells) if isinstance(each, Grid) else 1 for each in found)
    sure = SURE[row.provenance] if row.provenance else ""
    routes_to_it = _places(other_routes(row.forms))
    return (row.name, row.what, sure, str(numbers or ""), routes_to_it)
