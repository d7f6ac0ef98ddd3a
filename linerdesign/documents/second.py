"""A second design method beside the one of the project, as a table, line by line, and as data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from linerdesign.documents.blocks import Addition, Block, Bullets, Grid, Paragraph
from linerdesign.documents.json import thickness
from linerdesign.documents.numbers import in_millimetres
from linerdesign.documents.working import remarks, working_data, working_grid
from linerdesign.methods.method import method_of
from linerdesign.methods.result import PipeResult
from linerdesign.methods.task import SecondAsked
from linerdesign.words import sentence

HEADS = ("by", "required", "nominal", "governing", "status")


def second_grid(results: Iterable[tuple[str, PipeResult]]) -> tuple[Grid, ...]:
    """Each pipe by both methods, one row each, by its label; empty where there is no second."""
    rows, asked = [], None
    for label, result in results:
        if result.second is not None:
            asked = result.task.second
            rows += [(label, *row) for row in _rows(result)]
    if asked is None:
        return ()
    heads = (sentence("second.pipe"), *(sentence(f"second.{head}") for head in HEADS))
    return (Grid(heads, "<<>><<", tuple(rows), _caption(asked)),)


def _caption(asked: SecondAsked) -> str:
    settings = "; ".join(
        sentence("second.setting", name=name, value=100 * value, origin=origin)
        for name, value, origin in asked.settings
    )
    use = sentence("second.replaces" if asked.replaces else "second.beside", method=asked.method)
    return sentence("second.caption", method=asked.method, settings=settings, use=use)


def _rows(result: PipeResult) -> Iterator[tuple[str, ...]]:
    second = result.second
    assert second is not None
    yield _row(method_of(result.basis).name, result)
    if second.result is None:
        yield (second.method, "-", "-", "-", second.why)
    else:
        yield _row(second.method, second.result)


def _row(method: str, result: PipeResult) -> tuple[str, ...]:
    system = result.basis.system
    required, nominal = (
        f"{in_millimetres(each, system):.2f}"
        for each in (result.required_thickness, result.nominal_thickness)
    )
    return method, required, nominal, result.governing, result.status


def second_addition(result: PipeResult) -> Addition | None:
    """The second method of one pipe line by line; None where there is none."""
    second = result.second
    if second is None:
        return None
    said = [sentence("second.left_out", what=second.left_out)] if second.left_out else []
    if second.result is None:
        said.append(sentence("second.none", method=second.method, why=second.why))
        return Addition("second_method", second_data(result), (Bullets(tuple(said)),))
    steps = second.result.steps
    blocks: list[Block] = [
        *second_grid([(result.name, result)]),
        *([Paragraph(" ".join(said))] if said else []),
        working_grid(steps, result.basis.system, sentence("second.working", method=second.method)),
    ]
    blocks += [Bullets(found)] if (found := remarks(steps)) else []
    return Addition("second_method", second_data(result), tuple(blocks))


def second_data(result: PipeResult) -> dict[str, Any] | None:
    """The pipe by the second method as JSON data; None where there is none."""
    second, asked, system = result.second, result.task.second, result.basis.system
    if second is None or asked is None:
        return None
    found = second.result
    data: dict[str, Any] = {
        "method": second.method,
        "replaces_the_code_check": asked.replaces,
        "settings": {name: {"value": 100 * v, "unit": "%"} for name, v, _ in asked.settings},
        "left_out": second.left_out,
        "reason": second.why,
        "required_thickness": found and thickness(found.required_thickness, system),
        "nominal_thickness": found
        and {"value": in_millimetres(found.nominal_thickness, system), "unit": "mm"},
        "governing": found and found.governing,
        "station": found and found.governing_station,
        "status": found and found.status,
    }
    return data | {"steps": working_data(found.steps) if found else []}
