"""A comparison of resins as a document: the decision, its basis, then every resin in every pipe."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from linerdesign.documents.blocks import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Live,
    OnPaper,
    of_project,
)
from linerdesign.documents.second import Cells, table
from linerdesign.project.measures import convert
from linerdesign.project.quantities import currencies
from linerdesign.tasks.compare.comparison import Compared
from linerdesign.tasks.compare.live import (
    amounts,
    can_be_live,
    discount_rate,
    prices,
    sizes,
    total_cells,
)
from linerdesign.tasks.compare.live_choices import Choices
from linerdesign.tasks.compare.ranking import (
    COSTS,
    MASSES,
    MOST_PIPES,
    Ends,
    Missing,
    Ranked,
    Totals,
    differing_most,
    least,
    value,
    without_length,
)
from linerdesign.tasks.compare.remarks import (
    Remark,
    criteria_text,
    grades_legend,
    marked,
    properties,
)
from linerdesign.tasks.compare.systems import Option, Table, Wall, has_range
from linerdesign.words import sentence

MOST_NAMES = 8
# Of the table of totals.
COST_COLUMN = 4


def comparison_report(compared: Compared) -> Document:
    """The comparison, ready to print."""
    decision = compared.pictures[: 3 if compared.chances else 2]
    answer = (
        Heading(_said("title")),
        *(each.block for each in decision[:1]),
        *_ranking(compared),
    )
    rest = (
        *(each.block for each in decision[1:]),
        *_chances(compared),
        *_assignment(compared),
        *_break_even(compared),
        *_choices(compared),
        *_basis(compared),
        *_every_option(compared),
        *_second(compared),
        *_failing(compared.table),
        *_effects(compared),
        *(each.block for each in compared.pictures[len(decision) :]),
    )
    made = of_project(compared.project, compared.system, _said("title"), (*answer, *rest))
    return replace(made, on_paper=lambda: OnPaper(answer, rest))


def _chances(compared: Compared) -> Iterator[Block]:
    """What the uncertainty of the inputs does, where that is wished for."""
    if compared.chances is not None:
        from linerdesign.tasks.compare import chances_report

        yield from chances_report.blocks(compared, compared.chances)


def _said(code: str, **numbers: object) -> str:
    return sentence(f"compare.{code}", **numbers)


def band(ends: Ends | None, digits: int) -> str:
    """A figure by the worst properties, beside it in brackets by the best where they differ."""
    if ends is None:
        return "-"
    worst, best = (f"{each:,.{digits}f}" for each in ends)
    return worst if worst == best else f"{worst} ({best})"


def _names(names: Sequence[str]) -> str:
    """The names, of many only the first."""
    if len(names) <= MOST_NAMES:
        return ", ".join(names)
    shown = ", ".join(names[:MOST_NAMES])
    return _said("and_more", names=shown, count=len(names) - MOST_NAMES)


def _labels(table: Table) -> tuple[str, ...]:
    return currencies(each.resin for each in table[0])


def _priced(what: str, table: Table, per: str = "") -> str:
    """The head of a column of costs: with its currency where there is only one."""
    labels = _labels(table)
    return f"{what}, {labels[0]}{per}" if len(labels) == 1 else f"{what}{per}"


def _money(ends: Ends | None, found: Option | Ranked, table: Table, digits: int) -> str:
    shown = band(ends, digits)
    own = ", ".join(currencies([found.resin]))
    return f"{shown} {own}" if ends and len(_labels(table)) > 1 else shown


def _ranking(compared: Compared) -> Iterator[Block]:
    """The figures over the pipes in common first, where they are not over all."""
    order, by = compared.order, _said(f"by_{compared.by}")
    count = len(compared.table)
    common = max((len(each.common.pipes) for each in order), default=0)
    all_in_common = all(each.own.pipes == each.common.pipes for each in order if each.own.pipes)
    yield Heading(_said("ranking", by=by), 2)
    if common and not all_in_common:
        caption = _said("in_common", count=common, all=count)
        yield _totals(compared, caption, [(each, each.common) for each in order])
    yield _totals(compared, _said("over_own"), [(each, each.own) for each in order])
    yield Bullets(tuple(_about_ranking(compared, bool(common))))


def _totals(compared: Compared, caption: str, found: Sequence[tuple[Ranked, Totals]]) -> Grid:
    system, table = compared.system, compared.table
    ton = 1 / 1000 if system == "SI" else convert(1.0, "kg", "lb")
    annual = compared.by == COSTS[1]
    emitted = any(each.own.carbon for each in compared.order)
    rows: list[tuple[str, ...]] = []
    live: dict[tuple[int, int], Live] = {}
    for i, (each, totals) in enumerate(found):
        row = (
            str(each.rank or "-"),
            marked(each.resin),
            band(totals.thickness, 2),
            _tons(totals.mass, ton),
            _money(totals.cost, each, table, 0),
            *([_money(totals.annual_cost, each, table, 0)] if annual else []),
            *([_tons(totals.carbon, ton)] if emitted else []),
            _satisfied(each, totals, compared.remarks[each.resin.name]),
        )
        rows.append(row)
        if can_be_live(compared):
            cells = total_cells(compared, each, totals, totals is each.common)
            live |= {(i, COST_COLUMN + by_year): cell for by_year, cell in cells}
    unit = "t" if system == "SI" else "lb"
    costs = [_priced("cost", table), *([_priced("cost", table, "/yr")] if annual else [])]
    costs += [f"CO2e, {unit}"] if emitted else []
    columns = ("rank", "resin", "mean nominal, mm", f"mass, {unit}", *costs, "pipes satisfied")
    return Grid(columns, "><>>" + ">" * len(costs) + "<", tuple(rows), caption, live)


def _tons(kilograms: Ends | None, unit: float) -> str:
    """Masses in tonnes, or in pounds."""
    return band(kilograms and (kilograms[0] * unit, kilograms[1] * unit), 2 * (unit < 1))


def _satisfied(each: Ranked, totals: Totals, remarks: tuple[Remark, ...]) -> str:
    """How many pipes the figures are over; beside own totals, the cautions and defaults."""
    if totals is each.common and each.own is not each.common:
        return str(len(totals.pipes))
    counts = Counter(str(remark.note.severity) for remark in remarks)
    said = (
        _said("cautions" if n == 1 else "cautions_plural", count=n, severity=severity)
        for severity, n in counts.items()
    )
    return "; ".join((_said("satisfied", done=len(totals.pipes), count=each.count), *said))


def _about_ranking(compared: Compared, common: bool) -> Iterator[str]:
    """What the figures are over, and which resins are not ranked."""
    table, order, purchase = compared.table, compared.order, compared.purchase
    yield _said("ranked_by", by=_said(f"by_{compared.by}"), reference=compared.reference.name)
    without = without_length(table)
    yield _said("plain_means", names=_names(without)) if without else _said("by_length")
    if any(each.failing for each in order):
        yield _said("rule")
        if not common:
            yield _said("nothing_common")
    for each in order:
        if not each.rank:
            yield _said("unranked", resin=each.resin.name, why=why_unranked(each, table))
    labels = _labels(table)
    if len(labels) > 1:
        yield _said("not_comparable", labels=", ".join(labels))
    if any(has_range(each.resin) for each in order):
        yield _said("range")
    if any(each.resin.density for each in order):
        yield _said("mass")
    if labels:
        yield _said("cost", shares=_shares(compared), excess=100 * purchase.excess)
        if any(each.resin.cost and each.resin.cost.mobilisation for each in order):
            yield _said("mobilised")
    if compared.by == COSTS[1]:
        yield _said("annual", rate=100 * purchase.discount)
    yield _said("evidence_legend", legend=grades_legend())
    if any(compared.remarks.values()):
        yield _said("not_weighed")


def _shares(compared: Compared) -> str:
    """The share of resin in the wall: once where all resins have one, else of each."""
    usual = compared.purchase.share_by_mass
    own = {
        each.resin.name: 100 * compared.purchase.factor(each.resin) / (1 + compared.purchase.excess)
        for each in compared.order
    }
    if all(abs(share - 100 * usual) < 1e-9 for share in own.values()):
        return _said("share", share=100 * usual)
    listed = (_said("share_of", resin=name, share=share) for name, share in own.items())
    return _said("own_shares", shares=", ".join(listed))


def why_unranked(each: Ranked, table: Table) -> str:
    """Why a resin has no rank, empty where it has one."""
    labels = ", ".join(_labels(table))
    return "; ".join(_missing(each, labels))


def _missing(each: Ranked, labels: str) -> Iterator[str]:
    for missing in each.missing:
        yield _said(missing.value, labels=labels) if missing is Missing.CURRENCY else _said(missing)


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
            _said("use", resin=marked(table[0][column].resin), count=counts[column])
            for column in each.systems
        )
        none = "infeasible_one" if each.most == 1 else "infeasible"
        total = "-" if each.total is None else f"{each.total:,.0f}"
        text = ", ".join(used) if each.chosen else _said(none, most=each.most)
        rows.append((str(each.most), total, text))
    caption = _said("assignment_annual" if annual else "assignment_caption")
    columns = ("systems, at most", _priced("cost", table, "/yr" * annual), "resin (pipes)")
    live = Choices(compared).assignment()
    yield Heading(_said("assignment"), 2)
    yield Grid(columns, ">><", tuple(rows), caption, live)
    placed = {row for each in compared.assignments for row, _ in each.chosen}
    left = [row[0].pipe.name for i, row in enumerate(table) if i not in placed]
    if placed and left:
        yield Bullets((_said("assignment_left_out", names=_names(left)),))


def _break_even(compared: Compared) -> Iterator[Block]:
    found, table = compared.break_evens, compared.table
    if not found:
        return
    rows = tuple(
        (
            marked(each.resin),
            str(each.pipes),
            *(f"{total:,.0f}" for total in (each.cost, each.reference_cost)),
            *(_price(price) for price in (each.own_price, each.price)),
        )
        for each in found
    )
    heads = ("pipes in common", _priced("cost", table), _priced("reference", table))
    prices = (_priced("price", table, "/kg"), _priced("break-even", table, "/kg"))
    yield Heading(_said("break_even", reference=marked(compared.reference)), 2)
    choices = Choices(compared)
    live = {
        (row, column): cell
        for row, each in enumerate(found)
        for column, cell in choices.break_even(each).items()
    }
    caption = _said("break_even_caption")
    yield Grid(("resin", *heads, *prices), "<>>>>>", rows, caption, live)
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
    names = [name for each in found for name in (marked(each.resin), _said("even"))]
    align = "<" + ">" * len(names)
    caption = _said("break_even_thickness")
    return Grid(("pipe", *names), align, tuple(rows), caption, live, repeat=1)


def _price(price: float | None) -> str:
    if price is None:
        return "-"
    return f"{price:,.2f}" if price > 0 else _said("no_break_even")


def _nominal_and_even(found: Option, even: dict[str, float | None]) -> tuple[str, str]:
    """Both thicknesses of one resin in one pipe."""
    if found.wall is None or found.pipe.name not in even:
        return "-", "-"
    thickness = even[found.pipe.name]
    return f"{found.wall.nominal:.2f}", "-" if thickness is None else f"{thickness:.2f}"


def _basis(compared: Compared) -> Iterator[Block]:
    """Properties, evidence, criteria and notes, so that like is compared with like."""
    project = compared.project
    rows = tuple((marked(each), *properties(each, project.criteria)) for each in project.resins)
    columns = ("resin", "modulus", "kept", "flexural", "kept", "tensile", "kept")
    yield Heading(_said("basis"), 2)
    yield Grid(columns, "<>>>>>>", rows, _said("properties"))
    texts = [criteria_text(project.criteria)]
    for resin in project.resins:
        known = _said("evidence", resin=marked(resin), text=resin.evidence)
        texts.append(known if resin.evidence else _said("no_evidence", resin=marked(resin)))
        texts += [_remark(marked(resin), each) for each in compared.remarks[resin.name]]
    yield Bullets(tuple(texts))


def _remark(resin: str, remark: Remark) -> str:
    note, pipes = remark.note, _names(remark.pipes)
    code = "remark" if remark.everywhere else "remark_in"
    return _said(code, resin=resin, severity=note.severity, text=note.said, pipes=pipes)


def _every_option(compared: Compared) -> Iterator[Block]:
    """A row a resin in a pipe: thicknesses, then mass and cost where any is known."""
    system, table = compared.system, compared.table
    each_option = [each for row in table for each in row]
    names = [(each.pipe.name, marked(each.resin)) for each in each_option]
    legs = any(each.wall and each.wall.delivered is not None for each in each_option)
    figures = [_thicknesses(each, legs) for each in each_option]
    delivered = ("delivered, mm",) * legs
    thicknesses = ("t req, mm", "nominal, mm", *delivered)
    columns = ("pipe", "resin", *thicknesses, "equation", "over thinner", "status")
    yield Heading(_said("every"), 2)
    yield _joined(columns, "<<>>" + ">" * legs + "<<<", names, figures, _said("every_thickness"))
    if legs:
        yield Bullets((_said("delivered"),))
    if can_be_live(compared):
        yield sizes(compared)
        yield prices(compared)
        if compared.by == COSTS[1]:
            yield discount_rate(compared)
        yield amounts(compared)
        yield from Choices(compared).grid()
    elif any(each.wall and each.wall.mass is not None for each in each_option):
        mass, per = ("kg/m", "/m") if system == "SI" else ("lb/ft", "/ft")
        known = [_amounts(each, system, table) for each in each_option]
        heads = ("pipe", "resin", f"mass, {mass}", _priced("cost", table, per))
        yield _joined(heads, "<<>>", names, known, _said("every_amount"))


def _second(compared: Compared) -> tuple[Block, ...]:
    """Every resin in every pipe by the second method, where the project asks for one."""
    walls = [
        (_said("resin_in_pipe", pipe=each.pipe.name, resin=each.resin.name), each.wall)
        for row in compared.table
        for each in row
        if each.wall and each.wall.second
    ]
    rows = ((name, _own(wall), wall.second) for name, wall in walls if wall.second)
    return table(rows, compared.second)


def _own(wall: Wall) -> Cells:
    """A wall by the method of the project."""
    thicknesses = (f"{wall.required:.2f}", f"{wall.nominal:.2f}")
    return (_said("own_method"), *thicknesses, wall.governing, wall.status)


def _joined(
    columns: tuple[str, ...],
    align: str,
    names: Sequence[tuple[str, ...]],
    figures: Sequence[tuple[str, ...]],
    caption: str,
) -> Grid:
    rows = tuple((*a, *b) for a, b in zip(names, figures, strict=True))
    return Grid(columns, align, rows, caption)


def _thicknesses(found: Option, legs: bool) -> tuple[str, ...]:
    worst, best = found.wall, found.best
    if worst is None or best is None:
        return ("-", "-", *("-",) * legs, "-", "-", "none")
    ends = (worst.delivered, best.delivered)
    delivered = band(None if None in ends else ends, 2)  # type: ignore[arg-type]
    return (
        band((worst.required, best.required), 2),
        band((worst.nominal, best.nominal), 2),
        *((delivered,) * legs),
        worst.governing,
        _margin(worst),
        worst.status,
    )


def _amounts(found: Option, system: str, table: Table) -> tuple[str, str]:
    worst, best = found.wall, found.best
    if worst is None or best is None:
        return "-", "-"
    return (
        band(_per_length(worst.mass, best.mass, "kg", system), 2),
        _money(_per_length(worst.cost, best.cost, "", system), found, table, 2),
    )


def _failing(table: Table) -> Iterator[Block]:
    """Why resins can't be used."""
    texts = tuple(
        _said("fails", resin=marked(each.resin), pipe=each.pipe.name, why="; ".join(each.reasons))
        for row in table
        for each in row
        if not each.satisfied
    )
    if texts:
        yield Heading(_said("failing"), 2)
        yield Bullets(texts)


def _per_length(worst: float | None, best: float | None, unit: str, system: str) -> Ends | None:
    """Two figures per metre in the system's mass and length."""
    if worst is None or best is None:
        return None
    factor = 1.0 if system == "SI" else convert(1.0, "ft", "m")
    if system == "US" and unit:
        factor *= convert(1.0, unit, "lb")
    return worst * factor, best * factor


def _margin(wall: Wall) -> str:
    if not wall.holds or wall.delivered is not None:
        return "-"
    if wall.margin is None or wall.next_down is None:
        return _said("thinnest_made")
    if wall.minimum_governs:
        return _said("minimum")
    percent = 100 * wall.margin / wall.required
    return _said("over_next", margin=wall.margin, percent=percent, next=wall.next_down)


def _choices(compared: Compared) -> Iterator[Block]:
    ranges = any(has_range(each.resin) for each in compared.table[0])
    rows = tuple(
        (row[0].pipe.name, *_choice(row, compared.by, compared.system, ranges))
        for row in compared.table
    )
    columns = ("pipe", "resin", "at", *(["for the largest properties"] if ranges else []), "remark")
    used = len(columns) if any(row[-1] for row in rows) else len(columns) - 1
    align = "<<>" + "<" * ranges + "<"
    choices = Choices(compared)
    live = {(i, 1): cell for i in range(len(rows)) if (cell := choices.choice(i)) is not None}
    yield Heading(_said(f"choice_{compared.by}"), 2)
    yield Grid(columns[:used], align[:used], tuple(row[:used] for row in rows), "", live)


def _choice(row: Sequence[Option], by: str, system: str, ranges: bool) -> tuple[str, ...]:
    """The choice, its figure, the choice by the best properties, and a remark."""
    fit, found = [each for each in row if each.satisfied], least(row, by)
    unknown = [each.resin.name for each in fit if value(each, by) is None]
    by_said = _said(f"by_{by}")
    remark = ""
    if not fit:
        remark = _said("no_resin")
    elif not found and len(unknown) < len(fit):
        remark = _said("not_comparable", labels=", ".join(currencies(e.resin for e in fit)))
    elif not found:
        remark = _said("unknown", by=by_said)
    elif unknown:
        remark = _said("unknown_of", by=by_said, names=", ".join(unknown))
    if not found:
        return ("-", "-", *(["-"] if ranges else []), remark)
    chosen = next(each for each in fit if each.resin.name == found[0])
    names = {each.resin.name: marked(each.resin) for each in row}
    said = ", ".join(names[each] for each in found)
    best = least(row, by, best=True)
    changes = ", ".join(names[each] for each in best)
    other = _said("same_choice") if best == found else _said("changes", names=changes)
    return (
        _said("tie", names=said) if len(found) > 1 else said,
        _amount(chosen, by, system),
        *([other] if ranges else []),
        remark,
    )


def _amount(found: Option, by: str, system: str) -> str:
    amount = value(found, by)
    if by == "thickness":
        return f"{amount:g} mm"
    mass, per = ("kg/m", "m") if system == "SI" else ("lb/ft", "ft")
    unit = mass if by in MASSES else f"{', '.join(currencies([found.resin]))}/{per}"
    ends = _per_length(amount, amount, "kg" if by in MASSES else "", system)
    return f"{band(ends, 2)} {unit}{'/yr' * (by == COSTS[1])}"


def _effects(compared: Compared) -> Iterator[Block]:
    rows = []
    names = {resin.name: marked(resin) for resin in compared.project.resins}
    table = compared.table
    pipes = {row[0].pipe.name for row in differing_most(table, compared.by)}
    shown = [each for each in compared.effects if len(table) <= MOST_PIPES or each.pipe in pipes]
    for each in shown:
        ends = (each.long_term_modulus, each.initial_modulus, each.all_properties)
        cells = (f"{t:.2f} ({t - each.reference:+.2f})" for t in ends)
        rows.append((each.pipe, names[each.resin], f"{each.reference:.2f}", *cells))
    if rows:
        columns = ("pipe", "resin", "reference", "EL alone", "E alone", "all properties")
        code = "exchanged" if len(table) <= MOST_PIPES else "exchanged_most"
        caption = _said(code, reference=names[compared.reference.name], count=len(pipes))
        yield Grid(columns, "<<>>>>", tuple(rows), caption)
