"""A comparison of resins as a document: the ranking, then what each resin does in each pipe."""

from __future__ import annotations

from collections import Counter

from linerdesign.documents.blocks import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    of_project,
)
from linerdesign.project.measures import convert
from linerdesign.project.models import Resin
from linerdesign.project.quantities import currency
from linerdesign.tasks.compare.comparison import Compared
from linerdesign.tasks.compare.footing import Remark, criteria_text, properties
from linerdesign.tasks.compare.ranking import (
    SEVERAL,
    Standing,
    Table,
    currencies,
    least,
    value,
    without_length,
)
from linerdesign.tasks.compare.systems import Answer, Effects, Wall, has_band

CHOICES = {
    "thickness": "Thinnest wall in each pipe",
    "mass": "Lightest wall in each pipe",
    "cost": "Cheapest resin in each pipe",
}

NOT_WEIGHED = "no rank weighs a caution or a default: what the comparison rests on stands below"


def comparison_report(compared: Compared) -> Document:
    """The comparison, ready to print."""
    table, by, system = compared.table, compared.by, compared.system
    blocks = (
        *_settings(compared),
        *_ranking(compared),
        *_footing(compared),
        *_every_answer(table, system),
        *_failing(table),
        *_choices(table, by, system),
        *_effects(compared.exchanged, compared.reference),
        *(each.block for each in compared.pictures),
    )
    return of_project(compared.project, system, "Comparison of resin systems", blocks)


def _settings(compared: Compared) -> tuple[Block, ...]:
    purchase = compared.purchase
    texts = (
        f"ranked by {compared.by}; reference: {compared.reference.name}",
        "a property given as a range is designed for at its smallest; the figure in brackets is "
        "by its largest",
        "mass: wall area of the nominal thickness, pi (D - t) t, times the density of the wall",
        f"cost: price times the resin bought, {100 * purchase.share_by_mass:g} % of the wall by "
        f"mass and {100 * purchase.excess:g} % more; the tube, labour and site are not in it",
    )
    return (Heading("Comparison of resins"), Bullets(texts))


def _band(ends: tuple[float, float] | None, digits: int) -> str:
    if ends is None:
        return "-"
    worst, best = (f"{each:,.{digits}f}" for each in ends)
    return worst if worst == best else f"{worst} ({best})"


def _ranking(compared: Compared) -> tuple[Block, ...]:
    table, order, system = compared.table, compared.order, compared.system
    ton = 1 / 1000 if system == "SI" else convert(1.0, "kg", "lb")
    labels = currencies(table[0])
    rows = tuple(
        (
            str(each.rank or "-"),
            each.resin.name,
            _band(each.thickness, 2),
            _band(each.mass and (each.mass[0] * ton, each.mass[1] * ton), 2 if ton < 1 else 0),
            _money(each.cost, each.resin, labels, 0),
            _does(each, compared.remarks[each.resin.name]),
        )
        for each in order
    )
    mass = "mass, t" if system == "SI" else "mass, lb"
    columns = ("rank", "resin", "mean nominal, mm", mass, _priced("cost", labels), "does")
    grid = Grid(columns, "><>>><", rows, f"Ranking by {compared.by}")
    texts = _about_ranking(table, order, labels)
    return (grid, Bullets((*texts, NOT_WEIGHED) if any(compared.remarks.values()) else texts))


def _does(standing: Standing, remarks: tuple[Remark, ...]) -> str:
    """How many pipes a resin does, and how much is to be known of it before that counts."""
    counts = Counter(str(each.note.severity) for each in remarks)
    said = (f"{n} {severity}{'s' * (n != 1)}" for severity, n in counts.items())
    return ", ".join((f"{len(standing.done)} of {standing.pipes} pipes", *said))


def _footing(compared: Compared) -> tuple[Block, ...]:
    """What the figures rest on, so that they can be checked and like is compared with like."""
    project = compared.project
    rows = tuple((each.name, *properties(each, project.criteria)) for each in project.resins)
    columns = ("resin", "modulus", "kept", "flexural", "kept", "tensile", "kept")
    caption = "Initial properties, and the part of each that is kept for the design life"
    texts = [criteria_text(project.criteria)]
    for resin in project.resins:
        texts.append(f"{resin.name}, evidence: {resin.evidence or 'none stated'}")
        texts += [f"{resin.name}, {remark}" for remark in compared.remarks[resin.name]]
    heading = Heading("What the comparison rests on", 2)
    return (heading, Grid(columns, "<>>>>>>", rows, caption), Bullets(tuple(texts)))


def _about_ranking(
    table: Table, order: tuple[Standing, ...], labels: tuple[str, ...]
) -> tuple[str, ...]:
    """What the figures of the ranking are over, and who is not in it."""
    without = without_length(table)
    texts = ["means are by length, totals over all lengths"]
    if without:
        names = ", ".join(without)
        texts = [f"plain means over the pipes, no total mass or cost: no length of {names}"]
    if any(each.failing for each in order):
        texts.append(
            "a resin that fails a pipe stands behind those that do all, its figures over the "
            "pipes it does; those that fail as many but different pipes share a rank"
        )
    texts += [
        f"{each.resin.name} is not ranked: {each.unranked}" for each in order if not each.rank
    ]
    if len(labels) > 1:
        texts.append(f"{SEVERAL} ({', '.join(labels)}): costs can't be compared")
    return tuple(texts)


def _priced(what: str, labels: tuple[str, ...], per: str = "") -> str:
    """A column of costs: with its currency where there is one alone."""
    return f"{what}, {labels[0]}{per}" if len(labels) == 1 else f"{what}{per}"


def _money(
    ends: tuple[float, float] | None, resin: Resin, labels: tuple[str, ...], digits: int
) -> str:
    shown_ends = _band(ends, digits)
    return f"{shown_ends} {currency(resin)}" if ends and len(labels) > 1 else shown_ends


def _every_answer(table: Table, system: str) -> tuple[Block, ...]:
    """A grid a pipe, a row a resin."""
    mass, per = ("kg/m", "/m") if system == "SI" else ("lb/ft", "/ft")
    labels = currencies(table[0])
    columns = (
        "resin",
        "t req, mm",
        "nominal, mm",
        "governing",
        "over the next step down",
        mass,
        _priced("cost", labels, per),
        "status",
    )
    grids = (
        Grid(columns, "<>><<>><", tuple(_row(e, system, labels) for e in row), row[0].pipe.name)
        for row in table
    )
    return (Heading("Every resin on every pipe", 2), *grids)


def _row(found: Answer, system: str, labels: tuple[str, ...]) -> tuple[str, ...]:
    worst, best = found.worst, found.best
    if worst is None or best is None:
        return (found.resin.name, *["-"] * 6, "none")
    return (
        found.resin.name,
        _band((worst.required, best.required), 2),
        _band((worst.nominal, best.nominal), 2),
        worst.result.governing,
        _margin(worst),
        _band(_per_length(worst.mass, best.mass, "kg", system), 2),
        _money(_per_length(worst.cost, best.cost, "", system), found.resin, labels, 2),
        worst.result.status,
    )


def _failing(table: Table) -> tuple[Block, ...]:
    """Why resins can't be used."""
    texts = tuple(
        f"{each.resin.name} in {each.pipe.name}: {each.fails}"
        for row in table
        for each in row
        if each.fails
    )
    return (Heading("Resins that fail a pipe", 2), Bullets(texts)) if texts else ()


def _per_length(
    worst: float | None, best: float | None, unit: str, system: str
) -> tuple[float, float] | None:
    """Two figures per metre in the system's mass and length."""
    if worst is None or best is None:
        return None
    factor = 1.0 if system == "SI" else convert(1.0, "ft", "m")
    if system == "US" and unit:
        factor *= convert(1.0, unit, "lb")
    return worst * factor, best * factor


def _margin(wall: Wall) -> str:
    if not wall.result.holds:
        return "-"
    if wall.margin is None or wall.next_down is None:
        return "thinnest made"
    if wall.floor_holds:
        return "owner's floor"
    percent = 100 * wall.margin / wall.required
    return f"{wall.margin:.2f} ({percent:.0f} %) over {wall.next_down:g}"


def _choices(table: Table, by: str, system: str) -> tuple[Block, ...]:
    texts = tuple(f"{row[0].pipe.name}: {_choice(row, by, system)}" for row in table)
    return (Heading(CHOICES[by], 2), Bullets(texts))


def _choice(row: tuple[Answer, ...], by: str, system: str) -> str:
    fit, found = [each for each in row if not each.fails], least(row, by)
    if not fit:
        return "no resin can be used"
    unknown = [each.resin.name for each in fit if value(each, by) is None]
    if not found:
        return f"no choice: {SEVERAL if len(unknown) < len(fit) else f'no {by} is known'}"
    chosen = next(each for each in fit if each.resin.name == found[0])
    text = f"tie of {', '.join(found)}" if len(found) > 1 else f"{found[0]} alone"
    text += f" at {_amount(chosen, by, system)}"
    best = least(row, by, best=True)
    if best != found:
        text += f"; by the best properties {', '.join(best)}: the choice changes"
    elif any(has_band(each.resin) for each in row):
        text += "; the same by the best properties"
    return text + (f"; no {by} is known of {', '.join(unknown)}" if unknown else "")


def _amount(found: Answer, by: str, system: str) -> str:
    amount = value(found, by)
    if by == "thickness":
        return f"{amount:g} mm"
    ends = _per_length(amount, amount, "kg" if by == "mass" else "", system)
    mass, per = ("kg/m", "m") if system == "SI" else ("lb/ft", "ft")
    return f"{_band(ends, 2)} {mass if by == 'mass' else f'{currency(found.resin)}/{per}'}"


def _effects(exchanged: tuple[tuple[str, Effects], ...], reference: Resin) -> tuple[Block, ...]:
    rows = []
    for pipe, found in exchanged:
        ends = (found.long_term_modulus, found.initial_modulus, found.all_properties)
        shown_ends = (f"{t:.2f} ({t - found.reference:+.2f})" for t in ends)
        rows.append((pipe, found.resin, f"{found.reference:.2f}", *shown_ends))
    if not rows:
        return ()
    columns = ("pipe", "resin", "reference", "EL alone", "E alone", "all properties")
    caption = f"Thickness required, mm, when properties of {reference.name} are exchanged"
    return (Grid(columns, "<<>>>>", tuple(rows), caption),)
