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
from linerdesign.project.measures import convert
from linerdesign.project.quantities import currencies
from linerdesign.tasks.compare import purchase
from linerdesign.tasks.compare.comparison import Compared
from linerdesign.tasks.compare.live import (
    amounts,
    can_be_live,
    discount_rate,
    prices,
    sizes,
    total_cells,
    units_of,
)
from linerdesign.tasks.compare.live_choices import Choices
from linerdesign.tasks.compare.ranking import (
    COSTS,
    MASSES,
    MOST_PIPES,
    Ends,
    Ranked,
    Totals,
    differing_most,
    lacks_size,
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
from linerdesign.tasks.compare.second import second_methods
from linerdesign.tasks.compare.systems import Option, Table, Wall, has_range
from linerdesign.tasks.compare.wording import labels_of, named, priced, said
from linerdesign.words import heads_of


def comparison_report(compared: Compared) -> Document:
    """The comparison, ready to print."""
    decision = compared.pictures[: 3 if compared.chances else 2]
    answer = (Heading(said("title")), *(each.block for each in decision[:1]), *_ranking(compared))
    rest = (
        *(each.block for each in decision[1:]),
        *_chances(compared),
        *purchase.blocks(compared),
        *_choices(compared),
        *_basis(compared),
        *_every_option(compared),
        *second_methods(compared),
        *_failing(compared.table),
        *_effects(compared),
        *(each.block for each in compared.pictures[len(decision) :]),
    )
    made = of_project(compared.project, compared.system, said("title"), (*answer, *rest))
    return replace(made, on_paper=lambda: OnPaper(answer, rest))


def _chances(compared: Compared) -> Iterator[Block]:
    """What the uncertainty of the inputs does, where that is wished for."""
    if compared.chances is not None:
        from linerdesign.tasks.compare import chances_report

        yield from chances_report.blocks(compared, compared.chances)


def band(ends: Ends | None, digits: int) -> str:
    """A figure by the worst properties, beside it in brackets by the best where they differ."""
    if ends is None:
        return "-"
    worst, best = (f"{each:,.{digits}f}" for each in ends)
    return worst if worst == best else f"{worst} ({best})"


def _money(ends: Ends | None, found: Option | Ranked, table: Table, digits: int) -> str:
    shown = band(ends, digits)
    own = ", ".join(currencies([found.resin]))
    return f"{shown} {own}" if ends and len(labels_of(table)) > 1 else shown


def _ranking(compared: Compared) -> Iterator[Block]:
    """The figures over the pipes in common first, where they are not over all."""
    order, by = compared.order, said(f"by_{compared.by}")
    count = len(compared.table)
    common = max(len(each.common.pipes) for each in order)
    all_in_common = all(each.own.pipes == each.common.pipes for each in order if each.own.pipes)
    yield Heading(said("ranking", by=by), 2)
    if common and not all_in_common:
        code = "in_common_priced" if lacks_size(order) else "in_common"
        caption = said(code, count=common, all=count)
        yield _totals(compared, caption, [(each, each.common) for each in order])
    yield _totals(compared, said("over_own"), [(each, each.own) for each in order])
    yield Bullets(tuple(_about_ranking(compared, bool(common))))


def _totals(compared: Compared, caption: str, found: Sequence[tuple[Ranked, Totals]]) -> Grid:
    system, table = compared.system, compared.table
    annual = compared.by == COSTS[1]
    emitted = any(each.own.carbon for each in compared.order)
    unit = "t" if system == "SI" else "lb"
    head = {"mass": f"mass, {unit}", "cost": priced("cost", table)}
    head |= {"annual_cost": priced("cost", table, "/yr")} if annual else {}
    head |= {"carbon": f"CO2e, {unit}"} if emitted else {}
    *ranked, satisfied = heads_of("compare.ranking")
    columns = (*ranked, *head.values(), satisfied)
    rows: list[tuple[str, ...]] = []
    live: dict[tuple[int, int], Live] = {}
    for i, (each, totals) in enumerate(found):
        row = (
            str(each.rank or "-"),
            marked(each.resin),
            band(totals.thickness, 2),
            _mass(totals.mass, system),
            _money(totals.cost, each, table, 0),
            *([_money(totals.annual_cost, each, table, 0)] if annual else []),
            *([_mass(totals.carbon, system)] if emitted else []),
            _satisfied(each, totals, compared.remarks[each.resin.name]),
        )
        rows.append(row)
        if can_be_live(compared):
            cells = total_cells(compared, each, totals, totals is each.common)
            live |= {(i, columns.index(head[key])): cell for key, cell in cells if key in head}
    return Grid(columns, "><>" + ">" * len(head) + "<", tuple(rows), caption, live)


def _mass(kilograms: Ends | None, system: str) -> str:
    """Masses in tonnes with two decimals, or in whole pounds."""
    unit, digits = (1 / 1000, 2) if system == "SI" else (convert(1.0, "kg", "lb"), 0)
    return band(kilograms and (kilograms[0] * unit, kilograms[1] * unit), digits)


def _satisfied(each: Ranked, totals: Totals, remarks: tuple[Remark, ...]) -> str:
    """How many pipes the figures are over; beside own totals, the cautions and defaults."""
    if totals is each.common:
        return str(len(totals.pipes))
    counts = Counter(str(remark.note.severity) for remark in remarks)
    counted = (
        said("cautions" if n == 1 else "cautions_plural", count=n, severity=severity)
        for severity, n in counts.items()
    )
    return "; ".join((said("satisfied", done=len(totals.pipes), count=each.count), *counted))


def _about_ranking(compared: Compared, common: bool) -> Iterator[str]:
    """What the figures are over, and which resins are not ranked."""
    table, order, purchase = compared.table, compared.order, compared.purchase
    yield said("ranked_by", by=said(f"by_{compared.by}"), reference=compared.reference.name)
    without = without_length(table)
    yield said("plain_means", names=named(without)) if without else said("by_length")
    if any(each.failing for each in order):
        yield said("rule")
        if not common:
            yield said("nothing_common")
    for each in order:
        if not each.rank:
            yield said("unranked", resin=each.resin.name, why=why_unranked(each, table))
    labels = labels_of(table)
    if len(labels) > 1:
        yield said("not_comparable", labels=", ".join(labels))
    if any(has_range(each.resin) for each in order):
        yield said("range")
    if any(each.resin.density for each in order):
        yield said("mass")
    if labels:
        yield said("cost", shares=_shares(compared), excess=100 * purchase.excess)
        if any(each.resin.cost and each.resin.cost.mobilisation for each in order):
            yield said("mobilised")
    if compared.by == COSTS[1]:
        yield said("annual", rate=100 * purchase.discount)
    yield said("evidence_legend", legend=grades_legend())
    if any(compared.remarks.values()):
        yield said("not_weighed")


def _shares(compared: Compared) -> str:
    """The share of resin in the wall: once where all resins have one, else of each."""
    usual = compared.purchase.share_by_mass
    own = {
        each.resin.name: 100 * compared.purchase.factor(each.resin) / (1 + compared.purchase.excess)
        for each in compared.order
    }
    if all(abs(share - 100 * usual) < 1e-9 for share in own.values()):
        return said("share", share=100 * usual)
    listed = (said("share_of", resin=name, share=share) for name, share in own.items())
    return said("own_shares", shares=", ".join(listed))


def why_unranked(each: Ranked, table: Table) -> str:
    """Why a resin has no rank, empty where it has one."""
    own = (e for row in table for e in row if e.resin.name == each.resin.name)
    pipes = [e.pipe.name for e in own if e.satisfied and value(e, "cost") is None]
    blanks = {"labels": ", ".join(labels_of(table)), "pipes": named(pipes)}
    return "; ".join(said(missing.value, **blanks) for missing in each.missing)


def _basis(compared: Compared) -> Iterator[Block]:
    """Properties, evidence, criteria and notes, so that like is compared with like."""
    project = compared.project
    rows = tuple((marked(each), *properties(each, project.criteria)) for each in project.resins)
    columns = heads_of("compare.properties")
    yield Heading(said("basis"), 2)
    yield Grid(columns, "<>>>>>>", rows, said("properties"))
    texts = [criteria_text(project.criteria)]
    for resin in project.resins:
        known = said("evidence", resin=marked(resin), text=resin.evidence)
        texts.append(known if resin.evidence else said("no_evidence", resin=marked(resin)))
        texts += [_remark(marked(resin), each) for each in compared.remarks[resin.name]]
    yield Bullets(tuple(texts))


def _remark(resin: str, remark: Remark) -> str:
    note, pipes = remark.note, named(remark.pipes)
    code = "remark" if remark.everywhere else "remark_in"
    return said(code, resin=resin, severity=note.severity, text=note.said, pipes=pipes)


def _every_option(compared: Compared) -> Iterator[Block]:
    """A row a resin in a pipe: thicknesses, then mass and cost where any is known."""
    system, table = compared.system, compared.table
    each_option = [each for row in table for each in row]
    names = [(each.pipe.name, marked(each.resin)) for each in each_option]
    legs = any(each.wall and each.wall.delivered is not None for each in each_option)
    figures = [_thicknesses(each, legs) for each in each_option]
    delivered = ("delivered, mm",) * legs
    thicknesses = ("t req, mm", "nominal, mm", *delivered)
    heads = heads_of("compare.options")
    columns = (*heads[:2], *thicknesses, *heads[2:])
    yield Heading(said("every"), 2)
    yield _joined(columns, "<<>>" + ">" * legs + "<<<", names, figures, said("every_thickness"))
    if legs:
        yield Bullets((said("delivered"),))
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
        heads = heads_of("compare.amounts", mass=mass, cost=priced("cost", table, per))
        yield _joined(heads, "<<>>", names, known, said("every_amount"))


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
        said("fails", resin=marked(each.resin), pipe=each.pipe.name, why="; ".join(each.reasons))
        for row in table
        for each in row
        if not each.satisfied
    )
    if texts:
        yield Heading(said("failing"), 2)
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
        return said("thinnest_made")
    if wall.minimum_governs:
        return said("minimum")
    percent = 100 * wall.margin / wall.required
    return said("over_next", margin=wall.margin, percent=percent, next=wall.next_down)


def _choices(compared: Compared) -> Iterator[Block]:
    ranges = any(has_range(each.resin) for each in compared.table[0])
    rows = tuple(
        (row[0].pipe.name, *_choice(row, compared.by, compared.system, ranges))
        for row in compared.table
    )
    heads = heads_of("compare.choices", unit=_unit(compared))
    columns = heads if ranges else (*heads[:3], *heads[4:])
    used = len(columns) if any(row[-1] for row in rows) else len(columns) - 1
    align = "<<>" + "<" * ranges + "<"
    choices = Choices(compared)
    live = {
        (i, column): cell for i in range(len(rows)) for column, cell in choices.choice(i).items()
    }
    yield Heading(said(f"choice_{compared.by}"), 2)
    yield Grid(columns[:used], align[:used], tuple(row[:used] for row in rows), "", live)


def _choice(row: Sequence[Option], by: str, system: str, ranges: bool) -> tuple[str, ...]:
    """The choice, its figure, the choice by the best properties, and a remark."""
    fit, found = [each for each in row if each.satisfied], least(row, by)
    unknown = [each.resin.name for each in fit if value(each, by) is None]
    by_said = said(f"by_{by}")
    remark = ""
    if not fit:
        remark = said("no_resin")
    elif not found and len(unknown) < len(fit):
        remark = said("not_comparable", labels=", ".join(currencies(e.resin for e in fit)))
    elif not found:
        remark = said("unknown", by=by_said)
    elif unknown:
        remark = said("unknown_of", by=by_said, names=", ".join(unknown))
    if not found:
        return ("-", "-", *(["-"] if ranges else []), remark)
    chosen = next(each for each in fit if each.resin.name == found[0])
    names = {each.resin.name: marked(each.resin) for each in row}
    all_said = ", ".join(names[each] for each in found)
    best = least(row, by, best=True)
    changes = ", ".join(names[each] for each in best)
    other = said("same_choice") if best == found else said("changes", names=changes)
    return (
        said("tie", names=all_said) if len(found) > 1 else all_said,
        _amount(chosen, by, system),
        *([other] if ranges else []),
        remark,
    )


def _amount(found: Option, by: str, system: str) -> str:
    amount = value(found, by)
    if by == "thickness":
        return f"{amount:g}"
    return band(_per_length(amount, amount, "kg" if by in MASSES else "", system), 2)


def _unit(compared: Compared) -> str:
    """The unit of the figures per pipe."""
    if compared.by == "thickness":
        return "mm"
    mass, length = units_of(compared)
    what = mass if compared.by in MASSES else " or ".join(labels_of(compared.table))
    return f"{what}/{length}{'/yr' * (compared.by == COSTS[1])}"


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
        columns = heads_of("compare.alone")
        code = "exchanged" if len(table) <= MOST_PIPES else "exchanged_most"
        caption = said(code, reference=names[compared.reference.name], count=len(pipes))
        yield Grid(columns, "<<>>>>", tuple(rows), caption)
