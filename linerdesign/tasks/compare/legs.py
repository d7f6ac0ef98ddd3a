"""Pipes with legs under every resin: the tube, and the least wall that it delivers."""

from __future__ import annotations

from dataclasses import replace

from linerdesign.methods.thickness import in_millimetres
from linerdesign.methods.verdicts import FAILS, OUTSIDE, SIZED
from linerdesign.project.assembly import designed, task
from linerdesign.project.lining import lining, short_legs
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.quantities import Purchase
from linerdesign.project.reading import Project
from linerdesign.project.requests import has_legs
from linerdesign.tasks.compare.systems import Option, Table, Wall, amounts, at_end


def with_legs(project: Project, table: Table, purchase: Purchase, system: str) -> Table:
    """The table with the tube that lines each pipe of several legs, or of a tube by its own size.

    Where the project states no wall of the tube, it is the thinnest made that serves every leg.

    Raises:
        InputFaults: as `lining`.
    """

    def lined(found: Option) -> Option:
        if found.wall is None or found.best is None or not has_legs(project, found.pipe):
            return found
        worst, best = (
            _wall(project, found.pipe, at_end(found.resin, best), wall, purchase, system)
            for best, wall in ((False, found.wall), (True, found.best))
        )
        return replace(found, wall=worst, best=best)

    return tuple(tuple(lined(each) for each in row) for row in table)


def _wall(
    project: Project, pipe: Pipe, resin: Resin, wall: Wall, purchase: Purchase, system: str
) -> Wall:
    result = designed(task(pipe, resin, project.criteria, system))
    found = lining(project, result, resin)
    if not (found.passes or pipe.tube_thickness) and found.proposed:
        found = lining(project, result, resin, found.proposed)
    diameter, nominal, required, delivered = (
        in_millimetres(each, system)
        for each in (
            found.tube.diameter,
            found.tube.thickness,
            max(leg.required for leg in found.legs),
            min(leg.least for leg in found.legs),
        )
    )
    status = SIZED if wall.status == FAILS else wall.status
    if found.built.status == OUTSIDE:
        status = OUTSIDE
    return replace(
        wall,
        **amounts(diameter, nominal, resin, purchase),
        required=required,
        nominal=nominal,
        diameter=diameter,
        governing=found.worst.governing,
        status=status if found.passes else FAILS,
        failing=(),
        next_down=None,
        delivered=delivered,
        short_legs=tuple(each.said for each in short_legs(found)),
    )
