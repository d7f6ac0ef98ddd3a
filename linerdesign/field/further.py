"""What is calculated beside the thickness of pipes, each part loaded only where it is needed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from linerdesign.documents.blocks import Addition
from linerdesign.methods.method import method_of
from linerdesign.methods.result import PipeResult
from linerdesign.methods.verdicts import FAILS
from linerdesign.project.reading import Project


def calculated_beside(
    project: Project, results: Sequence[PipeResult]
) -> Mapping[str, tuple[Addition, ...]]:
    """What is calculated beside each pipe, by its name, of those that have any.

    These are flow, order and site sheet where the project asks for them, what a wall carries that
    fails, the legs of a pipe that has any, and the second method line by line.
    """
    found = {each.name: tuple(_beside(project, each)) for each in results}
    return {name: each for name, each in found.items() if each}


def _beside(project: Project, result: PipeResult) -> Iterator[Addition]:
    pipe = project.by_name[result.name]
    if project.capacity or project.order or pipe.capacity or pipe.order:
        from linerdesign.field.works.asked import asked

        yield from (each.addition() for each in asked(project, result))
    thin = any(place.status == FAILS for place in result.places)
    if thin and result.bore and method_of(result.basis).follows:
        from linerdesign.documents import thin_wall as document
        from linerdesign.project.thin_wall import thin_wall

        yield document.addition(thin_wall(result))
    if result.legs is not None:
        from linerdesign.documents import legs

        yield legs.addition(result)
    if result.second is not None:
        from linerdesign.documents.second import line_by_line

        yield line_by_line(result)
