"""A second opinion in words, tables and data, for every form of a document."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from linerdesign.documents.blocks import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Paragraph,
    Picture,
    of_project,
)
from linerdesign.documents.json import FORMAT, thickness
from linerdesign.documents.numbers import both_units, factor
from linerdesign.documents.working import remarks, working_data, working_grid
from linerdesign.expressions.printing import positional
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.reading import Project
from linerdesign.tasks.second_opinion.opinion import (
    CODE,
    GERMAN_BULGE,
    GERMAN_GAP,
    GERMAN_OVALITY,
    NUMERICAL,
    THEORIES,
    Assumed,
    Opinion,
    second_opinion,
)

USUAL = Assumed()
WITH_PICTURES = (".pdf", ".html")
TITLE = "Second opinion: collapse of the encased ring"
NOT_A_CHECK = (
    "A second opinion by mechanics on X1.1, for an elastic liner in a rigid, frictionless host, at "
    "the nominal thickness with the long-term modulus. It never replaces the check by the "
    "standard, and no thickness follows from it."
)
NOTHING_PRESSES = "nothing presses on the liner from outside, so there is no opinion to give"
SIDES = {
    "safe": "on the safe side",
    "unsafe": "on the unsafe side",
    "level": "level with the model",
}
MEMORY = "from memory; verify against the printed guideline"
DEFAULTS_SAID = (
    f"Annular gap and local bulge, where none are given, are the least that German practice "
    f"designs for, {100 * GERMAN_GAP:g} % and {100 * GERMAN_BULGE:g} % of the radius ({MEMORY})."
)


def buckling_data(opinion: Opinion | None, result: PipeResult) -> dict[str, Any]:
    """One pipe's opinion as JSON data; numbers that there are not are null, `reason` says why."""
    system = result.basis.system
    data: dict[str, Any] = {"name": result.name, "replaces_the_code_check": False}
    if opinion is None:
        keys = ("pressure_asked", "glock_pressure", "numerical_pressure", "enhancement_factor")
        return data | dict.fromkeys(keys) | {"reason": NOTHING_PRESSES}
    unit = SYMBOLS["P"].unit(system)

    def pressure(value: float | None) -> dict[str, Any] | None:
        return None if value is None else {"value": value, "unit": unit}

    assumed, place = opinion.assumed, opinion.place
    return data | {
        "station": place.station,
        "thickness": thickness(result.nominal_thickness, system),
        "dimension_ratio": opinion.value("DR"),
        "gap": {"value": 100 * assumed.gap, "unit": "%"},
        "ovality": {"value": 100 * place.ovality, "unit": "%"},
        "imperfection": {"value": 100 * assumed.imperfection, "unit": "%"},
        "pressure_asked": pressure(place.demand),
        "glock_pressure": pressure(opinion.pressure("glock")),
        "numerical_pressure": pressure(opinion.pressure(NUMERICAL)),
        "enhancement_factor": {theory: opinion.factor(theory) for theory in THEORIES},
        "pressures": {theory: pressure(opinion.pressure(theory)) for theory in THEORIES},
        "safety_factor": {theory: opinion.safety(theory) for theory in THEORIES},
        "side_of_code": opinion.side,
        "effects": [
            {"change": name, "enhancement_factor": found} for name, found in opinion.effects
        ],
        "reason": opinion.reason,
        "statements": list(statements(opinion)),
        "steps": working_data(opinion.steps),
    }


def statements(opinion: Opinion) -> tuple[str, ...]:
    """What the numbers come to, in plain sentences."""
    if opinion.side is None:
        said = [f"The numerical model gives no number for this pipe: {opinion.reason}."]
        said += _perfect_ring(opinion)
    else:
        said = [_side(opinion), *_factor_asked(opinion), _moved(opinion), *_snap(opinion)]
    q = opinion.place.ovality
    if q < GERMAN_OVALITY:
        said.append(
            f"The ovality used is {100 * q:g} %; German practice designs for at least "
            f"{100 * GERMAN_OVALITY:g} % ({MEMORY})."
        )
    return tuple(said)


def _perfect_ring(opinion: Opinion) -> tuple[str, ...]:
    """Said without the model: imperfections only take from what the perfect ring carries."""
    code, glock = opinion.pressure(CODE), opinion.pressure("glock")
    if code is None or glock is None or glock >= code:
        return ()
    unit = SYMBOLS["P"].unit(opinion.result.basis.system)
    return (
        f"By Glock's closed form even the perfect ring in a tight, round cavity carries "
        f"{positional(glock, 4)} {unit}, {100 * glock / code:.0f} % of what X1.1 takes "
        f"({positional(code, 4)} {unit}): K = {positional(opinion.value('K') or 0.0, 3)} lies "
        f"{SIDES['unsafe']} of it.",
    )


def _side(opinion: Opinion) -> str:
    code, solved = opinion.pressure(CODE), opinion.pressure(NUMERICAL)
    share = opinion.over_code
    assert code is not None
    assert solved is not None
    assert share is not None
    assert opinion.side is not None
    unit = SYMBOLS["P"].unit(opinion.result.basis.system)
    more = f"{abs(100 * (share - 1)):.0f} % {'more' if share > 1 else 'less'}"
    taken, reduced = (positional(opinion.value(key) or 0.0, 3) for key in ("K", "C"))
    needed = positional((opinion.factor(NUMERICAL) or 0.0) / (opinion.value("C") or 1.0), 3)
    assumed = opinion.assumed
    return (
        f"With these imperfections (gap {100 * assumed.gap:g} %, bulge "
        f"{100 * assumed.imperfection:g} %) K = {taken} lies {SIDES[opinion.side]} for this pipe: "
        f"X1.1 takes {positional(code, 4)} {unit} at collapse (K = {taken}, C = {reduced}), the "
        f"model finds {positional(solved, 4)} {unit}, {more}. K would have to be {needed} for X1.1 "
        "to agree."
    )


def _factor_asked(opinion: Opinion) -> tuple[str, ...]:
    safety = opinion.safety(NUMERICAL)
    asked = opinion.result.value("N")
    if safety is None or asked is None:
        return ("No external pressure is asked of this pipe: there is no safety factor.",)
    if safety >= asked:
        return ()
    return (
        f"The model's safety factor of {factor(safety)} is under the {asked:g} of the design "
        "basis. The check by the standard stands as it is; the engineer decides what to make "
        "of this.",
    )


def _moved(opinion: Opinion) -> str:
    used = positional(opinion.factor(NUMERICAL) or 0.0, 3)
    moved = ", ".join(
        f"{positional(each, 3) if each else 'no number'} {name}" for name, each in opinion.effects
    )
    return f"How the imperfections move it: the model's K is {used} as used; {moved}."


def _snap(opinion: Opinion) -> tuple[str, ...]:
    found, modulus = opinion.found, opinion.value("E_plane")
    if found is None or not found.snaps or modulus is None:
        return ()
    unit = SYMBOLS["P"].unit(opinion.result.basis.system)
    first = positional(modulus * found.snaps[0], 4)
    return (f"On the way the liner jumps inwards at {first} {unit} but still stands.",)


def blocks(opinion: Opinion | None, result: PipeResult, pictures: bool) -> tuple[Block, ...]:
    """The opinion for a document; pictures only where they can be seen."""
    heading = Heading(f"Second opinion on X1.1, {result.name}", 2)
    if opinion is None:
        return (heading, Paragraph(f"No second opinion: {NOTHING_PRESSES}."))
    system = result.basis.system
    caption = "Closed forms, line by line"
    return (
        heading,
        Paragraph(NOT_A_CHECK),
        _table(opinion, SYMBOLS["P"].unit(system)),
        Bullets(statements(opinion)),
        *(_pictures(opinion) if pictures and opinion.side else ()),
        working_grid(opinion.steps, system, caption),
        *((Bullets(found),) if (found := remarks(opinion.steps)) else ()),
    )


def _table(opinion: Opinion, unit: str) -> Grid:
    assumed, q = opinion.assumed, 100 * opinion.place.ovality
    used = f"gap {100 * assumed.gap:g} %, ovality {q:g} %, bulge {100 * assumed.imperfection:g} %"
    taken = positional(opinion.value("K") or 0.0, 3)
    names = {
        CODE: f"X1.1 with K = {taken}, and C for ovality {q:g} %",
        "free_ring": "free ring, round",
        "glock": "Glock, one lobe: round, tight",
        "glock_two_lobes": "Glock, two lobes: round, tight",
        "glock_with_gap": f"Glock, one lobe: round, gap {100 * assumed.gap:g} %",
        "perimeter_form": f"perimeter form, one lobe: tight, ovality {q:g} %",
        NUMERICAL: f"numerical: {used}",
    }
    rows = tuple((name, *_row(opinion, theory)) for theory, name in names.items())
    at = f" at {opinion.place.station}" if opinion.place.station else ""
    asked = positional(opinion.place.demand, 4)
    wall = both_units(opinion.result.nominal_thickness, opinion.result.basis.system)
    caption = (
        f"A wall of {wall}{at}: collapse pressures, K that gives a round pipe the same, "
        f"safety factors over P = {asked} {unit}. Gap and bulge are shares of D/2."
    )
    return Grid(("", f"pressure, {unit}", "K", "safety factor"), "<>>>", rows, caption)


def _row(opinion: Opinion, theory: str) -> tuple[str, str, str]:
    pressure, enhancement = opinion.pressure(theory), opinion.factor(theory)
    if pressure is None or enhancement is None:
        return ("no number", "-", "-")
    return positional(pressure, 4), positional(enhancement, 3), factor(opinion.safety(theory))


def _pictures(opinion: Opinion) -> tuple[Picture, ...]:
    from linerdesign.documents.figures import render
    from linerdesign.tasks.second_opinion import pictures

    unit = SYMBOLS["P"].unit(opinion.result.basis.system)
    solved = positional(opinion.pressure(NUMERICAL) or 0.0, 4)
    drawn = (
        (
            pictures.path(opinion, unit),
            f"Equilibrium path, {opinion.result.name}",
            f"pressure over the crown's displacement rises to {solved} {unit} and falls",
        ),
        (
            pictures.shape(opinion),
            f"Wall at collapse, {opinion.result.name}, to scale",
            "one lobe inwards at the crown, the rest of the wall against the host",
        ),
    )
    return tuple(Picture(render(f, "svg").decode(), caption, text) for f, caption, text in drawn)


def added(
    result: PipeResult, targets: Sequence[Path], assumed: Assumed = USUAL
) -> tuple[dict[str, Any], tuple[Block, ...]]:
    """Data and blocks of the opinion on one pipe, with pictures where a target can show them."""
    opinion = second_opinion(result, assumed)
    pictures = any(path.suffix.lower() in WITH_PICTURES for path in targets)
    return buckling_data(opinion, result), blocks(opinion, result, pictures)


def opinions_report(project: Project, units: str, opinions: Iterable[Sequence[Block]]) -> Document:
    """The opinions on several pipes, each given by its blocks."""
    about = (block for blocks in opinions for block in blocks)
    return of_project(project, units, TITLE, (Heading(TITLE), Paragraph(DEFAULTS_SAID), *about))


def opinions_data(units: str, opinions: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """The result of `buckling`, from the data of each pipe."""
    return {"format": FORMAT, "units": units, "pipes": list(opinions)}
