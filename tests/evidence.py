"""What stands beside an equation from outside the code: printed numbers, and other routes to it.

The data are in tests/published.py and tests/routes.py; docs/verification.md prints them.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum

from linerdesign.methods.equation import Equation


class Kind(StrEnum):
    """Where an expected number comes from."""

    PRINT = "seen in print"
    RECALLED = "printed, from memory"
    BY_HAND = "worked by hand from the form named"


@dataclass(frozen=True)
class Source:
    """One book, paper or calculation, with its edition."""

    title: str
    kind: Kind = Kind.PRINT


@dataclass(frozen=True)
class Case:
    """One expected number. `decimals` says to how many decimals it was printed.

    `equation` is the one whose number it is, or none where it is no equation of the catalogue.
    Where the print has a slip, `slip` is the number as it stands there, `printed` the number put
    right, and the remark says why.
    """

    source: Source
    place: str
    what: str
    equation: Equation | None
    printed: float
    unit: str
    computed: Callable[[], float]
    decimals: int
    remark: str = ""
    slip: float | None = None

    @property
    def stands(self) -> float:
        """The number as it stands in print."""
        return self.printed if self.slip is None else self.slip

    @property
    def agrees(self) -> bool:
        """Whether what we compute rounds to what was printed, slips put right."""
        return round(float(self.computed()), self.decimals) == self.printed

    @property
    def percent_off(self) -> float:
        """Difference from the number as it stands in print, in percent of it."""
        return 100 * (float(self.computed()) - self.stands) / self.stands

    @property
    def places_off(self) -> float:
        """Difference from the number as it stands in print, in units of its last place."""
        return (float(self.computed()) - self.stands) * 10**self.decimals


@dataclass(frozen=True)
class Bound:
    """Numbers from outside between which ours must lie."""

    source: Source
    place: str
    what: str
    low: float
    high: float
    unit: str
    computed: Callable[[], float]
    remark: str = ""

    @property
    def holds(self) -> bool:
        """Whether ours lies between them."""
        return self.low <= float(self.computed()) <= self.high


@dataclass(frozen=True)
class Grid:
    """A printed table of one equation's values: `cells` are row, column, printed, computed."""

    source: Source
    what: str
    equation: Equation
    cells: tuple[tuple[float, float, float, float], ...]
    decimals: int
    remark: str

    @property
    def agreeing(self) -> int:
        """Cells whose computed value rounds to the printed one."""
        return sum(
            round(computed, self.decimals) == printed for *_, printed, computed in self.cells
        )

    @property
    def worst(self) -> tuple[float, float, float, float]:
        """The cell that is farthest off."""
        return max(self.cells, key=lambda cell: abs(cell[3] - cell[2]))


class Strength(StrEnum):
    """What a route holds."""

    NUMBERS = "equations and tables"
    LAWS = "laws"
    PROGRAM = "rest of the program"
    FORMS = "printed and live forms"


@dataclass(frozen=True)
class Route:
    """A check by another route than the package's own: a test, and what it asks.

    `test` is `folder/file.py::function` under tests/. `equations` are those whose number the test
    holds, `tables` the published tables by name; NUMBERS alone count as an outside check of them.
    """

    what: str
    route: str
    agreement: str
    test: str
    equations: tuple[Equation, ...] = ()
    tables: tuple[str, ...] = ()
    holds: Strength = Strength.NUMBERS


@contextmanager
def running() -> Iterator[set[Equation]]:
    """The equations called in the block: a check is one of the equations that it runs."""
    found: dict[int, Equation] = {}
    plain = Equation.__call__

    def noted(self, *arguments, **named):
        found[id(self)] = self
        return plain(self, *arguments, **named)

    run: set[Equation] = set()
    Equation.__call__ = noted
    try:
        yield run
    finally:
        Equation.__call__ = plain
        run.update(found.values())
