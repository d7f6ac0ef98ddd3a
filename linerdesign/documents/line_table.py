"""The numbers of lines worked elsewhere, for tables of them."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from linerdesign.documents.numbers import in_inches, in_millimetres, millimetres_given
from linerdesign.documents.sheet import exact_before_rounding
from linerdesign.expressions.printing import positional
from linerdesign.methods.result import Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.words.calculation import HEADS

# What makes two steps the same line: the key of the quantity, and how it is found.
LineKey = tuple[str, Hashable]
# The unit of a thickness as it is ordered.
MM = "mm"


class Figure(NamedTuple):
    """A number as printed: its own unit where it has one, and the mark of a flag."""

    number: str
    unit: str = ""
    mark: str = ""

    def beside(self, unit: str) -> str:
        """The number in a row of a unit, which is not said again."""
        own = "" if self.unit == unit else self.unit
        return " ".join(part for part in (self.number, own, self.mark) if part)


# A line's number, its number in the other unit, and the number before rounding.
Texts = tuple[Figure, ...]


def identity_of(step: Step) -> LineKey:
    """What makes two steps the same line of a class."""
    if step.line is not None:
        return step.key, step.line.identity
    return step.key, "" if step.arithmetic is None else "worst"


def merge(order: list[LineKey], more: Iterable[LineKey]) -> None:
    """Puts the identities that `order` lacks behind the one that they follow."""
    known, place = set(order), 0
    for identity in more:
        if identity in known:
            place = order.index(identity) + 1
        else:
            order.insert(place, identity)
            known.add(identity)
            place += 1


def texts(steps: Iterable[Step], system: str) -> dict[LineKey, Texts]:
    """The texts of every line."""
    return {identity_of(step): tuple(_texts(step, system)) for step in steps}


def _texts(step: Step, system: str) -> Iterator[Figure]:
    """The number of a line, with its unit where that is not the one of the row.

    Then a thickness in the other unit, and the number before rounding.
    """
    yield _figure(step.key, step.value, system)._replace(mark="!" if step.flags else "")
    if SYMBOLS[step.key].kind == "thickness":
        other = in_millimetres if system == "US" else in_inches
        given = millimetres_given(step.key, step.value, system)
        yield Figure(given or positional(other(step.value, system), 4))
    if (exact := exact_before_rounding(step)) is not None:
        yield _figure(step.key, exact, system)


def _figure(key: str, value: float, system: str) -> Figure:
    given = millimetres_given(key, value, system) if system == "US" else ""
    return Figure(given, MM) if given else Figure(positional(value))


def rows_of(
    identity: LineKey, found: Sequence[Texts | None], system: str
) -> Iterator[tuple[str, list[str]]]:
    """The rows of a line: a unit, and its numbers; millimetres alone where all are given so."""
    quantity, none = SYMBOLS[identity[0]], HEADS["no_line"]
    units = [quantity.unit(system)]
    if quantity.kind == "thickness":
        units.append(MM if system == "US" else "in")
    units.append(HEADS["before_rounding"])
    in_mm = all(not text or text[0].unit == MM for text in found)
    if in_mm and quantity.kind == "thickness":
        units[0] = MM
    for place, unit in enumerate(units):
        cells = [text[place].beside(unit) if text and place < len(text) else none for text in found]
        if place == 0 or (unit != units[0] and set(cells) != {none}):
            yield unit, cells


def differing(
    lines: Iterable[LineKey],
    shown: Mapping[LineKey, Texts],
    cells: Sequence[Mapping[LineKey, Texts]],
) -> list[LineKey]:
    """The lines that have not the value of the worked calculation in every column."""
    return [each for each in lines if any(one.get(each) != shown.get(each) for one in cells)]
