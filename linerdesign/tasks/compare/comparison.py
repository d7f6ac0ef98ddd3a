"""Everything that a comparison of resins finds, before it is put into words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from linerdesign.project.models import Pipe, Resin
from linerdesign.project.quantities import Purchase
from linerdesign.project.reading import Project
from linerdesign.tasks.compare.footing import Remark, remarks_of
from linerdesign.tasks.compare.pictures import Drawn, drawn
from linerdesign.tasks.compare.ranking import Standing, Table, standings
from linerdesign.tasks.compare.systems import Effects, answers, effects


@dataclass(frozen=True)
class Wishes:
    """What the designer asks for.

    `by` is what to rank by: `thickness`, `mass` or `cost`. `reference` is the resin to compare
    with and `pipe` the pipe of the pictures; the project's first where it is None.
    """

    by: str = "thickness"
    reference: Resin | None = None
    pipe: Pipe | None = None
    purchase: Purchase = field(default_factory=Purchase)
    pictures: bool = False


@dataclass(frozen=True)
class Compared:
    """The project's resins on its pipes, in the unit system computed in.

    `table` has a row a pipe and in it an answer a resin, `order` the resins as they rank,
    `exchanged` the effects of single properties of the reference by the pipe's name, `remarks`
    what is to be known of each resin by its name.
    """

    project: Project
    system: str
    by: str
    purchase: Purchase
    reference: Resin
    table: Table
    order: tuple[Standing, ...]
    exchanged: tuple[tuple[str, Effects], ...]
    remarks: Mapping[str, tuple[Remark, ...]]
    pictures: tuple[Drawn, ...]

    @property
    def holds(self) -> bool:
        """Whether every pipe has at least one resin that does."""
        return all(any(not each.fails for each in row) for row in self.table)


def compare(project: Project, units: str | None = None, wishes: Wishes = Wishes()) -> Compared:
    """Every resin on every pipe, ranked; `units` in place of the project's own system."""
    system = units or project.info.units
    reference = wishes.reference or project.resins[0]
    table = answers(project, system, wishes.purchase)
    pipe = wishes.pipe or project.pipes[0]
    return Compared(
        project=project,
        system=system,
        by=wishes.by,
        purchase=wishes.purchase,
        reference=reference,
        table=table,
        order=standings(table, wishes.by),
        exchanged=_exchanged(project, reference, system),
        remarks=remarks_of(table),
        pictures=drawn(project, pipe, reference, system) if wishes.pictures else (),
    )


def _exchanged(project: Project, reference: Resin, system: str) -> tuple[tuple[str, Effects], ...]:
    """What the moduli of each other resin would do to the reference, pipe by pipe."""
    found = (
        (pipe.name, effects(pipe, resin, reference, project.criteria, system))
        for pipe in project.pipes
        for resin in project.resins
        if resin.name != reference.name
    )
    return tuple((name, each) for name, each in found if each)
