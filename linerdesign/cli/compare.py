"""`linerdesign compare FILE`: every resin on every pipe."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

import numpy as np

from linerdesign.cli import project_file
from linerdesign.comparisons.curves import over_depth, over_thickness, saved_over, usable
from linerdesign.comparisons.ranking import (
    SEVERAL,
    Standing,
    Table,
    currencies,
    least,
    standings,
    value,
    without_length,
)
from linerdesign.comparisons.systems import (
    Answer,
    Wall,
    answer,
    answers,
    at_end,
    effects,
    has_band,
)
from linerdesign.outputs.document import (
    Block,
    Bullets,
    Grid,
    Heading,
    Outcome,
    Picture,
    of_project,
)
from linerdesign.project.assembly import task
from linerdesign.project.faults import Fault, InputFaults, shown
from linerdesign.project.measures import convert, parse
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.placing import in_place_of
from linerdesign.project.quantities import Purchase, currency
from linerdesign.project.reading import Project

WITH_PICTURES = (".pdf", ".html")
COVERS = {"US": (3.0, 30.0, "ft"), "SI": (1.0, 9.0, "m")}
CHOICES = {
    "thickness": "Thinnest wall in each pipe",
    "mass": "Lightest wall in each pipe",
    "cost": "Cheapest resin in each pipe",
}
DIAMETERS = {"US": (6.0, 48.0, "in"), "SI": (150.0, 1200.0, "mm")}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.epilog = (
        "Exit code: 0 where every pipe has at least one resin that does, even if others fail; "
        "1 where a pipe has none."
    )
    project_file.add_arguments(parser)
    parser.add_argument(
        "--by", choices=("thickness", "mass", "cost"), default="thickness", help="what to rank by"
    )
    parser.add_argument("--reference", metavar="RESIN", help="resin to compare with; the first one")
    parser.add_argument("--pipe", metavar="NAME", help="pipe of the pictures; the first one")
    parser.add_argument(
        "--resin-share",
        metavar="PERCENT",
        default="100 %",
        help="part of the wall's mass that is resin, priced; the rest is tube (default 100 %%)",
    )
    parser.add_argument(
        "--excess", metavar="PERCENT", default="0 %", help="resin bought over that (default 0 %%)"
    )
    parser.add_argument(
        "--pictures", metavar="FOLDER", type=Path, help="write the pictures as SVG and PNG"
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Compares the project's resins on its pipes."""
    project, system = project_file.read_project(arguments)
    purchase = _purchase(arguments)
    reference = _named("--reference", arguments.reference, project.resins)
    pipe = _named("--pipe", arguments.pipe, project.pipes)
    table = answers(project, system, purchase)
    order = standings(table, arguments.by)
    wanted = arguments.pictures or any(p.suffix.lower() in WITH_PICTURES for p in arguments.output)
    pictures = _pictures(project, pipe, reference, system) if wanted else {}
    if arguments.pictures:
        _write_pictures(pictures, arguments.pictures, arguments.force)
    blocks = (
        *_settings(arguments, purchase, reference),
        *_ranking(table, order, arguments.by, system),
        *_every_answer(table, system),
        *_failing(table),
        *_choices(table, arguments.by, system),
        *_effects(project, reference, system),
        *(Picture(_svg(figure), caption, text) for figure, caption, text in pictures.values()),
    )
    return Outcome(
        document=of_project(project, system, "Comparison of resin systems", blocks),
        data=_data(table, order, reference, arguments.by),
        holds=all(any(not each.fails for each in row) for row in table),
    )


def _purchase(arguments: argparse.Namespace) -> Purchase:
    faults, shares = [], []
    for option, text in (
        ("--resin-share", arguments.resin_share),
        ("--excess", arguments.excess),
    ):
        try:
            shares.append(parse(text, "percent").number / 100)
        except ValueError as error:
            faults.append(Fault(option, shown(text), str(error)))
    if not faults and shares[0] > 1:
        faults.append(Fault("--resin-share", shown(arguments.resin_share), "at most 100 %"))
    if faults:
        raise InputFaults(faults)
    return Purchase(*shares)


def _named(option: str, name: str | None, among: tuple[Any, ...]) -> Any:
    """The resin or pipe of that name, the first one where none is named."""
    found = [each for each in among if name in (None, each.name)]
    if not found:
        known = ", ".join(shown(each.name) for each in among[:20])
        raise InputFaults([Fault(option, shown(name), f"one of {known}")])
    return found[0]


def _settings(
    arguments: argparse.Namespace, purchase: Purchase, reference: Resin
) -> tuple[Block, ...]:
    texts = (
        f"ranked by {arguments.by}; reference: {reference.name}",
        "a property given as a range is designed for at its smallest; the figure in brackets is "
        "by its largest",
        "mass: wall area of the nominal thickness, pi (D - t) t, times the density of the wall",
        f"cost: price times the resin bought, {100 * purchase.resin_share:g} % of the wall's mass "
        f"and {100 * purchase.excess:g} % excess; the tube, labour and site are not in it",
    )
    return (Heading("Comparison of resins"), Bullets(texts))


def _band(ends: tuple[float, float] | None, digits: int) -> str:
    if ends is None:
        return "-"
    worst, best = (f"{each:,.{digits}f}" for each in ends)
    return worst if worst == best else f"{worst} ({best})"


def _ranking(table: Table, order: tuple[Standing, ...], by: str, system: str) -> tuple[Block, ...]:
    ton = 1 / 1000 if system == "SI" else convert(1.0, "kg", "lb")
    labels = currencies(table[0])
    rows = tuple(
        (
            str(each.rank or "-"),
            each.resin.name,
            _band(each.thickness, 2),
            _band(each.mass and (each.mass[0] * ton, each.mass[1] * ton), 2 if ton < 1 else 0),
            _money(each.cost, each.resin, labels, 0),
            f"{len(each.done)} of {each.pipes} pipes",
        )
        for each in order
    )
    mass = "mass, t" if system == "SI" else "mass, lb"
    columns = ("rank", "resin", "mean nominal, mm", mass, _priced("cost", labels), "does")
    grid = Grid(columns, "><>>><", rows, f"Ranking by {by}")
    return (grid, Bullets(_about_ranking(table, order, labels)))


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


def _effects(project: Project, reference: Resin, system: str) -> tuple[Block, ...]:
    rows = []
    for pipe in project.pipes:
        for resin in project.resins:
            if resin.name == reference.name:
                continue
            found = effects(pipe, resin, reference, project.criteria, system)
            if found:
                ends = (found.long_term_modulus, found.initial_modulus, found.all_properties)
                shown_ends = (f"{t:.2f} ({t - found.reference:+.2f})" for t in ends)
                rows.append((pipe.name, resin.name, f"{found.reference:.2f}", *shown_ends))
    if not rows:
        return ()
    columns = ("pipe", "resin", "reference", "EL alone", "E alone", "all properties")
    caption = f"Thickness required, mm, when properties of {reference.name} are exchanged"
    return (Grid(columns, "<<>>>>", tuple(rows), caption),)


def _pictures(
    project: Project, pipe: Pipe, reference: Resin, system: str
) -> dict[str, tuple[Any, str, str]]:
    """Figures with caption and words, by file name; those that the pipe's loads allow."""
    from linerdesign.comparisons import pictures

    drawn: dict[str, tuple[Any, str, str]] = {}
    fit = usable(project, pipe)
    reference = next((r for r in fit if r.name == reference.name), fit[0] if fit else reference)
    wall = answer(pipe, reference, project.criteria, system, Purchase()).worst
    if wall is None:
        return drawn
    made = task(pipe, at_end(reference, False), project.criteria, system)
    first, last, depth = COVERS[system]
    covers = np.linspace(first, last, 271)
    cover, across = np.linspace(first, last, 91), DIAMETERS[system]
    diameters = np.linspace(across[0], across[1], 85)
    if made.basis.cover:
        curves = over_depth(project, pipe, covers, depth, system)
        figure = pictures.thickness_over_depth(curves, covers, depth)
        words = "; ".join(f"{c.resin} {_ends(c.nominal)} mm" for c in curves)
        caption = f"Nominal thickness over cover, {pipe.name}, water as this pipe has it"
        drawn["thickness_over_cover"] = (figure, caption, words)
    if made.basis.cover and len(fit) > 1:
        grid = ((diameters, across[2]), (cover, depth))
        saved = saved_over(project, pipe, reference, *grid, system)
        step = _step(project, reference)
        figure = pictures.break_even(saved, *grid, reference.name, step)
        words = "; ".join(f"{name} saves {_ends(s)} mm" for name, s in saved.items())
        caption = f"Thickness saved over {reference.name}, other values as in {pipe.name}"
        drawn["break_even"] = (figure, caption, words)
    factors = np.linspace(0.25, 1.75, 181)
    use = over_thickness(made, factors * wall.result.nominal_thickness)
    figure = pictures.checks_over_thickness(use, factors * wall.nominal, wall.nominal)
    caption = f"What each check asks of {reference.name} in {pipe.name}"
    drawn["checks_over_thickness"] = (figure, caption, ", ".join(u.equation for u in use))
    return drawn


def _step(project: Project, resin: Resin) -> float:
    """The step of a resin's thickness in mm; of listed sizes the smallest difference."""
    if not resin.thicknesses:
        return (resin.thickness_step or project.criteria.thickness_step).to("mm")
    sizes = np.unique([size.to("mm") for size in resin.thicknesses])
    return float(np.min(np.diff(sizes), initial=sizes[0]))


def _ends(values: Any) -> str:
    known = values[np.isfinite(values)]
    return f"{known.min():g} to {known.max():g}" if known.size else "no"


def _svg(figure: Any) -> str:
    from linerdesign.outputs.figures import render

    return render(figure, "svg").decode()


def _write_pictures(pictures: dict[str, tuple[Any, str, str]], folder: Path, force: bool) -> None:
    from linerdesign.outputs.figures import render

    if not folder.is_dir():
        raise InputFaults([Fault("--pictures", str(folder), "a folder that exists")])
    paths = [folder / f"{name}.{form}" for name in pictures for form in ("svg", "png")]
    faults = [
        Fault("--pictures", str(path), "no such file yet, or --force to overwrite it")
        for path in paths
        if path.exists() and not force
    ]
    if faults:
        raise InputFaults(faults)
    for path in paths:
        with in_place_of(path) as temporary:
            temporary.write_bytes(render(pictures[path.stem][0], path.suffix[1:]))


def _data(table: Table, order: tuple[Standing, ...], reference: Resin, by: str) -> dict[str, Any]:
    return {
        "format": 1,
        "reference": reference.name,
        "ranked_by": by,
        "pipes_without_length": list(without_length(table)),
        "ranking": [
            {
                "rank": each.rank,
                "unranked": each.unranked,
                "resin": each.resin.name,
                "pipes_failed": each.failing,
                "mean_nominal_thickness": _ends_data(each.thickness, "mm"),
                "mass": _ends_data(each.mass, "kg"),
                "cost": _ends_data(each.cost, currency(each.resin)),
            }
            for each in order
        ],
        "pipes": [
            {
                "name": row[0].pipe.name,
                "thinnest": list(least(row)),
                "tie": len(least(row)) > 1,
                "thinnest_by_best_properties": list(least(row, best=True)),
                "choice": list(least(row, by)),
                "choice_by_best_properties": list(least(row, by, best=True)),
                "resins": [_answer_data(each) for each in row],
            }
            for row in table
        ],
    }


def _ends_data(ends: tuple[float, float] | None, unit: str) -> dict[str, Any] | None:
    if ends is None:
        return None
    return {"value": ends[0], "best": ends[1], "unit": unit}


def _answer_data(found: Answer) -> dict[str, Any]:
    worst, best = found.worst, found.best
    if worst is None or best is None:
        return {"resin": found.resin.name, "status": "fails", "why": found.fails}
    mass = None if worst.mass is None or best.mass is None else (worst.mass, best.mass)
    cost = None if worst.cost is None or best.cost is None else (worst.cost, best.cost)
    return {
        "resin": found.resin.name,
        "status": worst.result.status,
        "why": found.fails,
        "required_thickness": _ends_data((worst.required, best.required), "mm"),
        "nominal_thickness": _ends_data((worst.nominal, best.nominal), "mm"),
        "governing": worst.result.governing,
        "next_step_down": worst.next_down,
        "margin": worst.margin,
        "floor_holds": worst.floor_holds,
        "mass_per_metre": _ends_data(mass, "kg"),
        "cost_per_metre": _ends_data(cost, currency(found.resin)),
    }
