"""What to buy, as blocks of a comparison: the cheapest assignment, and where systems break even."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from linerdesign.documents.blocks import Block, Bullets, Grid, Heading
from linerdesign.project.measures import convert
from linerdesign.tasks.compare.comparison import Compared
from linerdesign.tasks.compare.live import units_of
from linerdesign.tasks.compare.live_choices import Choices
from linerdesign.tasks.compare.remarks import marked
from linerdesign.tasks.compare.systems import Option
from linerdesign.tasks.compare.wording import named, priced, said
from linerdesign.words import heads_of


def blocks(compared: Compared) -> Iterator[Block]:
    """The assignment and the break-even of a comparison by cost."""
    yield from _assignment(compared)
    yield from _break_even(compared)


def _assignment(compared: Compared) -> Iterator[Block]:
    """The cheapest with at most n systems, as far as another system makes it cheaper."""
    if not compared.assignments:
        return
    table = compared.table
    annual = compared.by == "annual-cost"
    rows = []
    for each in compared.assignments:
        counts = Counter(column for _, column in each.chosen)
        used = (
            said("use", resin=marked(table[0][column].resin), count=counts[column])
            for column in each.systems
        )
        none = "infeasible_one" if each.most == 1 else "infeasible"
        total = "-" if each.total is None else f"{each.total:,.0f}"
        text = ", ".join(used) if each.chosen else said(none, most=each.most)
        rows.append((str(each.most), total, text))
    caption = said("assignment_annual" if annual else "assignment_caption")
    columns = heads_of("compare.buys", cost=priced("cost", table, "/yr" * annual))
    live = Choices(compared).assignment()
    yield Heading(said("assignment"), 2)
    yield Grid(columns, ">><", tuple(rows), caption, live)
    placed = {row for each in compared.assignments for row, _ in each.chosen}
    left = [row[0].pipe.name for i, row in enumerate(table) if i not in placed]
    if placed and left:
        yield Bullets((said("assignment_left_out", names=named(left)),))


def _break_even(compared: Compared) -> Iterator[Block]:
    found, table = compared.break_evens, compared.table
    if not found:
        return
    mass, _ = units_of(compared)
    rows = tuple(
        (
            marked(each.resin),
            str(each.pipes),
            *(f"{total:,.0f}" for total in (each.cost, each.reference_cost)),
            *(_price(price, mass) for price in (each.own_price, each.price)),
        )
        for each in found
    )
    heads = heads_of(
        "compare.costs", cost=priced("cost", table), reference=priced("reference", table)
    )
    prices = (priced("price", table, f"/{mass}"), priced("break-even", table, f"/{mass}"))
    yield Heading(said("break_even", reference=marked(compared.reference)), 2)
    choices = Choices(compared)
    live = {
        (row, column): cell
        for row, each in enumerate(found)
        for column, cell in choices.break_even(each).items()
    }
    caption = said("break_even_caption", unit=mass)
    yield Grid((*heads_of("compare.resins"), *heads, *prices), "<>>>>>", rows, caption, live)
    yield _even_thicknesses(compared, choices)


def _even_thicknesses(compared: Compared, choices: Choices) -> Grid:
    """Nominal and break-even thickness of every other resin in each pipe."""
    table, found = compared.table, compared.break_evens
    resins = [each.resin.name for each in table[0]]
    columns = [(resins.index(each.resin.name), dict(each.thicknesses)) for each in found]
    rows, live = [], {}
    for i, row in enumerate(table):
        cells = [row[0].pipe.name]
        for place, (column, even) in enumerate(columns):
            cells += _nominal_and_even(row[column], even)
            wall, thickness = row[column].wall, even.get(row[0].pipe.name)
            if wall and (cell := choices.thickness(i, column, wall.nominal, thickness)):
                live[i, 2 + 2 * place] = cell
        rows.append(tuple(cells))
    names = [name for each in found for name in (marked(each.resin), said("even"))]
    align = "<" + ">" * len(names)
    caption = said("break_even_thickness")
    return Grid(
        (*heads_of("compare.by_resin"), *names), align, tuple(rows), caption, live, repeat=1
    )


def _price(price: float | None, mass: str) -> str:
    """A price per kg, per unit of mass."""
    if price is None:
        return "-"
    return f"{price * convert(1.0, mass, 'kg'):,.2f}" if price > 0 else said("no_break_even")


def _nominal_and_even(found: Option, even: dict[str, float | None]) -> tuple[str, str]:
    """Both thicknesses of one resin in one pipe."""
    if found.wall is None or found.pipe.name not in even:
        return "-", "-"
    thickness = even[found.pipe.name]
    return f"{found.wall.nominal:.2f}", "-" if thickness is None else f"{thickness:.2f}"
