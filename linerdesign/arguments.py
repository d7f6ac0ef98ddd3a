"""What the tasks for programs share: the unit system requested, and words that are known."""

from __future__ import annotations

from typing import Literal

from linerdesign.methods.symbols import SYSTEMS
from linerdesign.project.faults import InputFaults, fault, shown
from linerdesign.project.reading import Project

Units = Literal["US", "SI"]


def one_of(name: str, value: object, known: tuple[str | None, ...]) -> None:
    """Refuses an argument that is none of the known words.

    Raises:
        InputFaults: where it is none.
    """
    if value not in known:
        words = " or ".join(shown(each) for each in known if each)
        raise InputFaults([fault("argument", name, shown(value), known=words)])


def system_of(units: Units | None, project: Project) -> Units:
    """The unit system requested, or the project's own.

    Raises:
        InputFaults: an unknown unit system.
    """
    one_of("units", units, (None, *SYSTEMS))
    return units or project.info.units
