"""The second design method of a project beside every resin in every pipe."""

from __future__ import annotations

from linerdesign.documents.blocks import Block, Bullets
from linerdesign.documents.second import Cells, table
from linerdesign.tasks.compare.comparison import Compared
from linerdesign.tasks.compare.systems import Wall
from linerdesign.words import sentence


def second_methods(compared: Compared) -> tuple[Block, ...]:
    """Every resin in every pipe by the second method, where the project asks for one."""
    walls = [
        (sentence("compare.resin_in_pipe", pipe=each.pipe.name, resin=each.resin.name), each.wall)
        for row in compared.table
        for each in row
        if each.wall and each.wall.second
    ]
    rows = ((name, _own(wall), wall.second) for name, wall in walls if wall.second)
    found = table(rows, compared.second)
    return (*found, Bullets((sentence("second.not_exchanged"),))) if found else ()


def _own(wall: Wall) -> Cells:
    """A wall by the method of the project."""
    thicknesses = (f"{wall.required:.2f}", f"{wall.nominal:.2f}")
    return (sentence("compare.own_method"), *thicknesses, wall.governing, wall.status)
