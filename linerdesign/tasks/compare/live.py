"""The costs of a comparison as grids that a workbook recalculates."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from linerdesign.documents.blocks import Grid, Live
from linerdesign.methods.quantities import PI
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.measures import convert
from linerdesign.project.models import Resin
from linerdesign.project.quantities import currencies, mobilisation, tube_cost, yearly
from linerdesign.tasks.compare.comparison import Compared
from linerdesign.tasks.compare.ranking import COSTS, Ranked, Totals, without_length
from linerdesign.tasks.compare.remarks import marked
from linerdesign.tasks.compare.systems import Option
from linerdesign.words import heads_of, sentence

RATE = "discount_rate"
# The name of what a year costs of a total, by the number of the resin.
ANNUITY = "resin{}_annuity"
# Columns of the amounts that formulas of other grids read.
RESIN, COMMON, NOMINAL, MASS, TUBE, PER_LENGTH, COST, NUMBER = range(1, 9)
RESINS = "prices_resin"
# Letters of a formula that a workbook is given at most.
LONGEST = 8_000
NAMES = {NUMBER: "amounts_number", COMMON: "amounts_in_common", COST: "amounts_cost"}


def can_be_live(compared: Compared) -> bool:
    """Whether any costs can be added up: one currency, and a length of every pipe."""
    labels = currencies(each.resin for each in compared.order)
    known = any(each.own.cost for each in compared.order)
    return known and len(labels) == 1 and not without_length(compared.table)


def cost_name(row: int, column: int) -> str:
    """The name of the cell with the cost of a resin in a pipe."""
    return f"cost_{row + 1}_{column + 1}"


def mass_name(row: int, column: int) -> str:
    """The name of the cell with the mass per length of a resin in a pipe."""
    return f"mass_{row + 1}_{column + 1}"


def resin_cell(compared: Compared, resin: Resin) -> str:
    """The cell with the name of a resin: a name may hold what a formula takes for its own."""
    return f"INDEX({RESINS},{compared.project.resins.index(resin) + 1})"


def units_of(compared: Compared) -> tuple[str, str]:
    """The units of mass and length."""
    return ("kg", "m") if compared.system == "SI" else ("lb", "ft")


def size_unit(compared: Compared) -> str:
    """The unit of host diameters."""
    return SYMBOLS["D"].unit(compared.system)


def density_unit(compared: Compared) -> str:
    """The unit of densities."""
    return "kg/m^3" if compared.system == "SI" else "lb/ft^3"


def diameter_in_mm(compared: Compared, pipe: int) -> str:
    """The host diameter of a pipe in mm, as a part of formulas."""
    factor = convert(1.0, size_unit(compared), "mm")
    name = f"pipe{pipe + 1}_host_diameter"
    return name if factor == 1 else f"({name}*{factor!r})"


def _names(compared: Compared, resin: Resin) -> str:
    """What the names of a resin's inputs begin with."""
    return f"resin{compared.project.resins.index(resin) + 1}"


def prices(compared: Compared) -> Grid:
    """A row a resin: density, shares and prices, which the amounts are computed from."""
    mass, length = units_of(compared)
    (label,) = currencies(compared.project.resins)
    rows, live, annual = [], {}, compared.by == COSTS[1]
    for i, resin in enumerate(compared.project.resins):
        values = _inputs(compared, resin, mass, length)
        texts = ("-" if number is None else f"{number:,.6g}" for number in values.values())
        rows.append((marked(resin), *texts))
        name = _names(compared, resin)
        for column, (key, number) in enumerate(values.items(), 1):
            if number is not None:
                live[i, column] = Live(number, name=f"{name}_{key}")
        if annual and (a_year := yearly(1.0, resin, compared.purchase.discount)):
            rate = f"({RATE}/100)"
            even = f"{rate}/(1-(1+{rate})^(-{name}_life))"
            formula = f"IF({RATE}=0,1/{name}_life,{even})"
            live[i, len(values) + 1] = Live(a_year, formula, ANNUITY.format(i + 1), "0.0000")
            rows[i] += (f"{a_year:.4f}",)
        elif annual:
            rows[i] += ("-",)
    columns = heads_of(
        "compare.prices",
        density=density_unit(compared).replace("^3", "³"),
        currency=label,
        mass=mass,
        length=length,
    )[: None if annual else -1]
    align, caption = "<" + ">" * (len(columns) - 1), sentence("compare.prices")
    return Grid(columns, align, tuple(rows), caption, live, {0: RESINS})


def _inputs(compared: Compared, resin: Resin, mass: str, length: str) -> dict[str, float | None]:
    excess = compared.purchase.excess
    cost = resin.cost
    one_price = cost.tube_price if cost and not cost.tube else None
    life = cost.service_life if cost else None
    return {
        "density": resin.density and resin.density.to(density_unit(compared)),
        "share": 100 * compared.purchase.factor(resin) / (1 + excess),
        "excess": 100 * excess,
        "price": resin.price and resin.price.per_unit(mass),
        "tube": one_price and one_price.per_unit(length),
        "mobilisation": mobilisation(resin),
        "life": life and life.to("yr"),
    }


def discount_rate(compared: Compared) -> Grid:
    """The rate that annual costs are computed from."""
    percent = 100 * compared.purchase.discount
    row = (sentence("compare.rate"), f"{percent:g}")
    return Grid(heads_of("compare.inputs"), "<>", (row,), "", {(0, 1): Live(percent, name=RATE)})


def sizes(compared: Compared) -> Grid:
    """A row a pipe: its length and its diameter."""
    (_, length), unit = units_of(compared), size_unit(compared)
    rows, live = [], {}
    for i, of_pipe in enumerate(compared.table):
        pipe, diameter = of_pipe[0].pipe, _diameter(of_pipe, unit)
        live[i, 1] = Live(pipe.length.to(length), name=f"pipe{i + 1}_length")
        if diameter is not None:
            live[i, 2] = Live(diameter, name=f"pipe{i + 1}_host_diameter")
        shown = "-" if diameter is None else f"{diameter:.2f}"
        rows.append((pipe.name, f"{live[i, 1].value:,.2f}", shown))
    columns = heads_of("compare.pipes", length=length, unit=unit)
    return Grid(columns, "<>>", tuple(rows), sentence("compare.sizes"), live)


def _diameter(of_pipe: tuple[Option, ...], unit: str) -> float | None:
    """Host diameter; none where no resin has a wall."""
    found = next((each.wall.diameter for each in of_pipe if each.wall), None)
    # 12, not the 12.000000000000002 of a trip through millimetres.
    return None if found is None else round(convert(found, "mm", unit), 9)


def amounts(compared: Compared) -> Grid:
    """A row a resin in each pipe that it satisfies: mass and cost of its nominal thickness."""
    mass, length = units_of(compared)
    (label,) = currencies(compared.project.resins)
    common = frozenset.intersection(
        *(each.common.pipes for each in compared.order if each.own.pipes)
    )
    rows: list[tuple[str, ...]] = []
    live: dict[tuple[int, int], Live] = {}
    for i, of_pipe in enumerate(compared.table):
        said = sentence("compare.yes" if i in common else "compare.no")
        for j, option in enumerate(of_pipe):
            cells = _amount(compared, option, i, j)
            if cells:
                texts = _texts(option, cells)
                live |= {(len(rows), column): each for column, each in cells.items()}
                number = str(compared.project.resins.index(option.resin) + 1)
                rows.append((option.pipe.name, marked(option.resin), said, *texts, number))
    columns = heads_of("compare.live_amounts", mass=mass, length=length, currency=label)
    caption = sentence("compare.amounts")
    return Grid(columns, "<<<>>>>>>", tuple(rows), caption, live, NAMES)


def _texts(option: Option, cells: Mapping[int, Live]) -> list[str]:
    """What is printed of the cells; per length also for the best properties, in brackets."""
    texts = []
    for column in (NOMINAL, MASS, TUBE, PER_LENGTH, COST):
        what = {MASS: "mass", PER_LENGTH: "cost"}.get(column)
        worst, best = (getattr(wall, what or "", None) for wall in (option.wall, option.best))
        ends = [] if column not in cells else [cells[column].value]
        if worst and best and best != worst:
            ends.append(cells[column].value * best / worst)
        first, *more = (f"{end:,.{0 if column == COST else 2}f}" for end in ends or [math.nan])
        texts.append(f"{first} ({more[0]})" if more else first if ends else "-")
    return texts


def _amount(compared: Compared, option: Option, i: int, j: int) -> dict[int, Live]:
    """The live cells of one resin in one pipe by column; none where it fails or has no cost."""
    wall, resin = option.wall, option.resin
    if wall is None or wall.cost is None or not option.satisfied:
        return {}
    mass, length = units_of(compared)
    name, to_length = _names(compared, resin), convert(1.0, length, "m")
    per_length, tube = wall.cost * to_length, tube_cost(wall.diameter, wall.nominal, resin)
    cells, parts = {NOMINAL: Live(wall.nominal)}, []
    if wall.mass is not None:
        # mm² and the density to the units of the column.
        scale = to_length * convert(1.0, "kg", mass)
        to_density = convert(1.0, density_unit(compared), "kg/m^3")
        area = f"({diameter_in_mm(compared, i)}-[{NOMINAL}])*[{NOMINAL}]"
        formula = f"{PI / 1e6 * scale * to_density!r}*{area}*{name}_density"
        cells[MASS] = Live(wall.mass * scale, formula, mass_name(i, j))
    if resin.price:
        parts.append(f"[{MASS}]*{name}_share/100*(1+{name}_excess/100)*{name}_price")
    if tube is not None:
        cells[TUBE] = Live(float(tube) * to_length, "" if resin.cost.tube else f"{name}_tube")
        parts.append(f"[{TUBE}]")
    cells[PER_LENGTH] = Live(per_length, "+".join(parts))
    size = option.pipe.length.to(length)
    total = f"pipe{i + 1}_length*[{PER_LENGTH}]"
    cells[COST] = Live(per_length * size, total, cost_name(i, j), pattern="#,##0")
    return cells


def total_cells(
    compared: Compared, each: Ranked, totals: Totals, common: bool
) -> Iterator[tuple[str, Live]]:
    """The live mass, cost, a year's cost and carbon of a resin over its own pipes or those in
    common, as far as each is known."""
    if totals.cost is None:
        return
    yield from _masses(compared, each.resin, totals)
    name = _names(compared, each.resin)
    # By number: in a name SUMIFS finds wildcards and signs, and no letter case.
    number = compared.project.resins.index(each.resin) + 1
    within = f', {NAMES[COMMON]}, "{sentence("compare.yes")}"' if common else ""
    total = f"SUMIFS({NAMES[COST]}, {NAMES[NUMBER]}, {number}{within})+{name}_mobilisation"
    yield "cost", Live(totals.cost[0], total, pattern="#,##0")
    annual = yearly(totals.cost[0], each.resin, compared.purchase.discount)
    if compared.by == COSTS[1] and annual is not None and math.isfinite(annual):
        yield "annual_cost", Live(annual, f"({total})*{name}_annuity", pattern="#,##0")


def _masses(compared: Compared, resin: Resin, totals: Totals) -> Iterator[tuple[str, Live]]:
    """The mass, and the carbon by its share of the mass, which stays as stated."""
    if totals.mass is None:
        return
    column = compared.project.resins.index(resin)
    metric = compared.system == "SI"
    ton = 1 / 1000 if metric else convert(1.0, "kg", "lb")
    pattern = "#,##0.00" if metric else "#,##0"
    parts = (f"{mass_name(i, column)}*pipe{i + 1}_length" for i in sorted(totals.pipes))
    formula = f"({'+'.join(parts)}){'/1000' * metric}"
    if len(formula) > LONGEST:
        return
    yield "mass", Live(totals.mass[0] * ton, formula, pattern=pattern)
    if totals.carbon is not None:
        share = totals.carbon[0] / totals.mass[0]
        yield "carbon", Live(totals.carbon[0] * ton, f"{formula}*{share!r}", pattern=pattern)
