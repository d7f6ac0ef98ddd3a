"""Systems under uncertainty as blocks of a comparison and as JSON data."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Grid, Heading
from linerdesign.project.quantities import currencies
from linerdesign.tasks.compare.chances import Found, Learnt, System
from linerdesign.tasks.compare.comparison import Compared
from linerdesign.tasks.compare.pictures import Scale, total_scale
from linerdesign.tasks.compare.ranking import differing_most
from linerdesign.tasks.compare.remarks import marked
from linerdesign.tasks.uncertainty.report import (
    about_left_out,
    about_trials,
    inputs_data,
    inputs_grid,
    plus_minus,
    said,
    share_data,
    trials_data,
)
from linerdesign.tasks.uncertainty.sampling import Share
from linerdesign.words import heads_of, sentence

# Inputs are listed whose value is over this share of the largest, and not nothing as printed.
LEAST = 0.01


def blocks(compared: Compared, found: Found) -> Iterator[Block]:
    """The section of a comparison."""
    what = sentence(f"compare.by_{found.by}")
    scale = total_scale(found.by, compared.system, compared.project.resins)
    yield Heading(said("compare_title"), 2)
    if found.systems:
        yield _systems(found, scale)
    yield _in_pipes(compared, found.least, said("compare_pipes", what=what))
    yield _in_pipes(compared, found.sufficient, said("compare_walls"))
    names = {each.name: marked(each) for each in compared.project.resins}
    if found.learnt:
        yield from _learnt(found, scale, names)
    yield inputs_grid(found.drawn, names)
    yield Bullets(tuple(_about(found, what)))


def _about(found: Found, what: str) -> Iterator[str]:
    yield from about_left_out(found.left_out)
    yield said("compare_trials")
    yield said("compare_value_says", what=what)
    lacking = [
        said("lacking", resin=marked(each.resin), percent=100 * each.lacking)
        for each in found.systems
        if each.lacking
    ]
    if lacking:
        yield said("replaced", systems=", ".join(lacking))
    yield said("no_model")
    yield from about_trials(found.wishes, found.trials, found.converged)


def _systems(found: Found, scale: Scale) -> Grid:
    rows = tuple(
        (marked(e.resin), plus_minus(e.least), *(_number(scale.factor * x, scale) for x in e.ends))
        for e in found.systems
    )
    columns = heads_of("compare.chances", unit=scale.unit)
    caption = said("compare_totals", what=scale.what, count=found.common)
    return Grid(columns, "<>>>>", rows, caption)


def _number(value: float, scale: Scale) -> str:
    """With two decimals of a thickness or a small amount."""
    return f"{value:,.2f}" if scale.unit == "mm" or abs(value) < 100 else f"{value:,.0f}"


def _in_pipes(compared: Compared, shares: Mapping[tuple[int, int], Share], caption: str) -> Grid:
    """A row a pipe and a column a resin, of many pipes those where the choice matters most."""
    shown = differing_most(compared.table, compared.by)
    rows = tuple(
        (
            row[0].pipe.name,
            *(
                f"{100 * shares[i, j].chance:.1f}" if (i, j) in shares else "-"
                for j in range(len(row))
            ),
        )
        for i, row in enumerate(compared.table)
        if row in shown
    )
    names = [marked(each.resin) for each in compared.table[0]]
    return Grid(
        (*heads_of("compare.by_resin"), *names), "<" + ">" * len(names), rows, caption, repeat=1
    )


def _learnt(found: Found, scale: Scale, names: Mapping[str, str]) -> Iterator[Block]:
    """The inputs worth knowing, in order, and in one line those that are not."""
    most = max(map(_most, found.learnt))
    ordered = sorted(found.learnt, key=lambda each: (not each.name, -_most(each)))
    least = max(LEAST * most, 0.005 / scale.factor)
    worth = [each for each in ordered if _most(each) > least]
    rest = [each for each in ordered if each.name and each not in worth]

    def of(each: Learnt) -> str:
        return names.get(each.scope, said("drawn_pipe") if each.name else "")

    rows = tuple(
        (
            each.meaning or said("all_known"),
            of(each),
            *(
                "-" if value is None else _number(round(scale.factor * value, 2) + 0.0, scale)
                for value in (each.one_system, each.by_pipe)
            ),
        )
        for each in worth
    )
    columns = heads_of("compare.influences", unit=scale.unit)
    if rows:
        yield Grid(columns, "<<>>", rows, said("compare_value", what=scale.what))
    if rest:
        # An input that is worth nothing wherever it stands is named alone.
        partly = {each.meaning for each in worth}
        inputs = dict.fromkeys(
            said("input_of", input=each.meaning, of=of(each))
            if each.meaning in partly
            else each.meaning
            for each in rest
        )
        said_of = said("compare_not_worth", least=100 * LEAST, inputs="; ".join(inputs))
        yield Bullets((said_of if rows else said("compare_none_worth"),))


def _most(each: Learnt) -> float:
    return max(each.one_system or 0.0, each.by_pipe or 0.0)


def data(compared: Compared, found: Found) -> dict[str, Any]:
    """The chances as JSON data; figures in mm, kg or money, per m in a pipe."""
    names = [each.resin.name for each in compared.table[0]]
    pipes = [row[0].pipe.name for row in compared.table]

    def by_pipe(shares: Mapping[tuple[int, int], Any], of: Callable[[Any], Any]) -> dict[str, Any]:
        made: dict[str, Any] = {}
        for (row, column), value in shares.items():
            made.setdefault(pipes[row], {})[names[column]] = of(value)
        return made

    labels = currencies(compared.project.resins)
    unit = {"thickness": "mm", "mass": "kg", "carbon": "kg"}.get(found.by, ", ".join(labels))
    return {
        **trials_data(found.wishes, found.trials, found.converged),
        "compared_by": found.by,
        "unit": unit,
        "pipes_in_common": found.common,
        "systems": [_system(each) for each in found.systems],
        "least_in_pipe": by_pipe(found.least, share_data),
        "sufficient": by_pipe(found.sufficient, share_data),
        "value_of_information": [
            {
                "key": each.name or None,
                "of": each.scope or None,
                "one_system": each.one_system,
                "by_pipe": each.by_pipe,
            }
            for each in found.learnt
        ],
        "inputs": inputs_data(found.drawn),
        "left_out": list(found.left_out),
    }


def _system(each: System) -> dict[str, Any]:
    low, middle, high = each.ends
    return {
        "resin": each.resin.name,
        "least": share_data(each.least),
        "percentiles": {"5": low, "50": middle, "95": high},
        "no_thickness_sufficient": each.lacking,
    }
