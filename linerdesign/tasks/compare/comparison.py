"""Everything that a comparison of resins finds, before it is put into words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from linerdesign.methods.task import SecondAsked
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.quantities import Purchase
from linerdesign.project.reading import Project
from linerdesign.tasks.compare.assignment import Assignment, assignments
from linerdesign.tasks.compare.break_even import BreakEven, break_evens
from linerdesign.tasks.compare.curves import Quantity
from linerdesign.tasks.compare.exchange import Effects, effects
from linerdesign.tasks.compare.legs import with_legs
from linerdesign.tasks.compare.pictures import Drawn, drawn
from linerdesign.tasks.compare.ranking import COSTS, Ranked, ranking
from linerdesign.tasks.compare.remarks import Remark, remarks_of
from linerdesign.tasks.compare.systems import Table, cases_of, options

if TYPE_CHECKING:
    from linerdesign.tasks.compare.chances import Found as Chances
    from linerdesign.tasks.uncertainty.pipes import Wishes as UncertaintyWishes


@dataclass(frozen=True)
class Wishes:
    """Settings of a comparison.

    `by` is what to rank by: `thickness`, `mass`, `carbon`, `cost` or `annual-cost`. `reference` is
    the resin to compare with and `pipe` the pipe of the detailed pictures; the project's first
    where none.
    """

    by: str = "thickness"
    reference: Resin | None = None
    pipe: Pipe | None = None
    purchase: Purchase = field(default_factory=Purchase)
    pictures: bool = False
    uncertainty: UncertaintyWishes | None = None


@dataclass(frozen=True)
class Compared:
    """The project's resins on its pipes, in the unit system computed in.

    `table` has a row a pipe and in it an option a resin, `order` the resins as they rank, `effects`
    those of single properties exchanged, `remarks` the notes of each resin by its name,
    `second` the second method requested.
    """

    project: Project
    system: str
    by: str
    purchase: Purchase
    reference: Resin
    table: Table
    order: tuple[Ranked, ...]
    effects: tuple[Effects, ...]
    assignments: tuple[Assignment, ...]
    break_evens: tuple[BreakEven, ...]
    remarks: Mapping[str, tuple[Remark, ...]]
    pictures: tuple[Drawn, ...]
    chances: Chances | None = None
    second: SecondAsked | None = None

    @property
    def options(self) -> dict[str, Any]:
        """What the numbers depend on beside the project."""
        found = {"by": self.by, "reference": self.reference.name, "purchase": self.purchase}
        return found | ({"uncertainty": self.chances.wishes} if self.chances else {})

    @property
    def holds(self) -> bool:
        """Whether every pipe is satisfied by at least one resin."""
        return all(any(each.satisfied for each in row) for row in self.table)


def compare(project: Project, units: str | None = None, wishes: Wishes = Wishes()) -> Compared:
    """Every resin on every pipe, ranked; `units` in place of the project's own system."""
    system = units or project.info.units
    reference = wishes.reference or project.resins[0]
    cases = cases_of(project, system)
    straight = options(project, cases, wishes.purchase)
    table = with_legs(project, straight, wishes.purchase, system)
    order = ranking(table, wishes.by, wishes.purchase.discount)
    priced = wishes.by in COSTS
    chances = None
    if wishes.uncertainty is not None:
        from linerdesign.tasks.compare.chances import systems_under_uncertainty

        quantity = Quantity(wishes.by, wishes.purchase)
        chances = systems_under_uncertainty(
            project, cases.cases, table, quantity, wishes.uncertainty
        )
    return Compared(
        project=project,
        system=system,
        by=wishes.by,
        purchase=wishes.purchase,
        reference=reference,
        table=table,
        order=order,
        effects=effects(project, reference, cases.cases, straight),
        assignments=assignments(table, wishes.by, wishes.purchase.discount) if priced else (),
        break_evens=break_evens(table, reference, wishes.purchase) if priced else (),
        remarks=remarks_of(table),
        pictures=drawn(project, table, order, wishes, system, chances) if wishes.pictures else (),
        chances=chances,
        second=next((case.made.second for case in cases.cases), None),
    )
