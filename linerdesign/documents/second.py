"""A second design method beside the one of the project, as a table, line by line, and as data."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from linerdesign.documents.blocks import Addition, Block, Bullets, Grid, Heading, Paragraph
from linerdesign.documents.json import millimetres, percentage, picked, thickness
from linerdesign.documents.numbers import in_millimetres
from linerdesign.documents.working import remarks, working_data, working_grid
from linerdesign.methods.method import method_of
from linerdesign.methods.result import OtherMethod, PipeResult
from linerdesign.methods.task import SecondAsked
from linerdesign.words import sentence

HEADS = ("required", "nominal", "governing", "status")
Cells = tuple[str, str, str, str, str]


def both_methods(results: Iterable[PipeResult], legs: bool = False) -> tuple[Block, ...]:
    """Each pipe by both methods; empty where no project asks for a second one.

    `legs` is whether a document has legs that are by the first method alone.
    """
    rows = [
        (result.name, own_cells(result), result.second, result.task.second)
        for result in results
        if result.second is not None and result.task.second is not None
    ]
    asked = rows[0][-1] if rows else None
    found = table((row[:3] for row in rows), asked)
    if asked is None or not legs:
        return found
    return (*found, Bullets((sentence("second.legs_left_out", method=asked.method),)))


def table(
    rows: Iterable[tuple[str, Cells, OtherMethod]], asked: SecondAsked | None
) -> tuple[Block, ...]:
    """A row for what is named, by both methods; empty without a second one."""
    if asked is None:
        return ()
    found = [(name, own, cells(second)) for name, own, second in rows]
    _, (first, *_), (other, *_) = found[0]
    heads = [sentence(f"second.{head}") for head in HEADS]
    by = (f"{first}: {heads[0]}", *heads[1:], f"{other}: {heads[0]}", *heads[1:])
    return (
        Grid(
            (sentence("second.named"), *by),
            "<>><<>><<",
            tuple((name, *own[1:], *second[1:]) for name, own, second in found),
            sentence("second.caption"),
            narrow=True,
        ),
        Paragraph(_settings(asked)),
    )


def _settings(asked: SecondAsked) -> str:
    settings = "; ".join(
        sentence("second.setting", name=name, value=100 * value, origin=origin)
        for name, value, origin in asked.settings
    )
    use = sentence("second.replaces" if asked.replaces else "second.beside", method=asked.method)
    return sentence("second.settings", method=asked.method, settings=settings, use=use)


def own_cells(result: PipeResult) -> Cells:
    """A pipe by the method of its basis."""
    method = method_of(result.basis)
    return _cells(method.short or method.name, result)


def cells(second: OtherMethod) -> Cells:
    """A pipe by another method, or why that has no thickness."""
    if second.result is None:
        return (second.method, "-", "-", "-", second.why)
    return _cells(second.method, second.result)


def _cells(method: str, result: PipeResult) -> Cells:
    system = result.basis.system
    required, nominal = (
        f"{in_millimetres(each, system):.2f}"
        for each in (result.required_thickness, result.nominal_thickness)
    )
    return method, required, nominal, result.governing, result.status


def line_by_line(result: PipeResult) -> Addition:
    """The second method of a pipe, line by line."""
    second = result.second
    assert second is not None
    said = [sentence("second.left_out", what=second.left_out)] if second.left_out else []
    blocks: list[Block] = [Heading(sentence("second.heading"), 2)]
    if second.result is None:
        said.append(sentence("second.none", method=second.method, why=second.why))
        blocks.append(Bullets(tuple(said)))
    else:
        shared = {(each.key, each.station, each.value) for each in result.steps}
        steps = [s for s in second.result.steps if (s.key, s.station, s.value) not in shared]
        caption = sentence("second.working", method=second.method)
        topic = second.method[:1].upper() + second.method[1:]
        blocks += map(Paragraph, said)
        blocks.append(working_grid(steps, result.basis.system, caption, topic=topic))
        blocks += [Bullets(found)] if (found := remarks(steps)) else []
    return Addition("second_method", second_data(result), tuple(blocks))


def second_data(result: PipeResult) -> dict[str, Any] | None:
    """The pipe by the second method as JSON data; None where there is none."""
    second, asked = result.second, result.task.second
    if second is None or asked is None:
        return None
    data = {
        "replaces_the_code_check": asked.replaces,
        "settings": {name: percentage(share) for name, share, _ in asked.settings},
    }
    steps = working_data(second.result.steps) if second.result else []
    return other_data(second) | data | {"steps": steps}


def other_data(second: OtherMethod) -> dict[str, Any]:
    """A pipe by another method as JSON data, without its lines."""
    found = second.result
    return {
        **picked(second, "method", "left_out"),
        "reason": second.why,
        "required_thickness": found and thickness(found.required_thickness, found.basis.system),
        "nominal_thickness": found and millimetres(found.nominal_thickness, found.basis.system),
        "governing": found and found.governing,
        "station": found and found.governing_station,
        "status": found and found.status,
    }
