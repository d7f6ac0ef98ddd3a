"""Words that several parts of a comparison's report use."""

from __future__ import annotations

from collections.abc import Sequence

from linerdesign.project.quantities import currencies
from linerdesign.tasks.compare.systems import Table
from linerdesign.words import of_area

MOST_NAMES = 8

said = of_area("compare")


def named(names: Sequence[str]) -> str:
    """The names, of many only the first."""
    if len(names) <= MOST_NAMES:
        return ", ".join(names)
    shown = ", ".join(names[:MOST_NAMES])
    return said("and_more", names=shown, count=len(names) - MOST_NAMES)


def labels_of(table: Table) -> tuple[str, ...]:
    """The currency labels of all prices."""
    return currencies(each.resin for each in table[0])


def priced(what: str, table: Table, per: str = "") -> str:
    """The head of a column of costs: with its currency where there is only one."""
    labels = labels_of(table)
    return f"{what}, {labels[0]}{per}" if len(labels) == 1 else f"{what}{per}"
