"""How far each input may be off: as the project file says, or by how the value is known.

Those taken where none is stated are in the table of keys (common practice, no source). What the
owner decides (N, K, edition, minimum values) has none.
"""

from __future__ import annotations

from dataclasses import dataclass

from linerdesign.methods.origin import KNOWN_BY
from linerdesign.methods.symbols import SYMBOLS, symbol_of_name
from linerdesign.methods.task import Input
from linerdesign.project import keys
from linerdesign.project.faults import InputFaults, fault, shown
from linerdesign.project.key_table import POINTS
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe


@dataclass(frozen=True)
class _Usual:
    """The uncertainty of a quantity by origin, in the order of `KNOWN_BY`.

    `unit` is % of the value, points of a percentage, or a length.
    """

    unit: str
    by_origin: tuple[float, float, float, float]


_USUAL = {quantity: _Usual(unit, by) for quantity, unit, by in keys.uncertainties()}


@dataclass(frozen=True)
class Uncertainty:
    """An input may lie from `least` to `most` either side of its value, in the sheet's unit.

    `stated` is true where the project file gives the uncertainty.
    """

    key: str
    by: float
    origin: str
    stated: bool
    words: str

    @property
    def assumed(self) -> bool:
        """Whether the value is nobody's measurement, plan or word."""
        return self.origin == "assumed"


def uncertainties(pipe: Pipe, inputs: tuple[Input, ...], system: str) -> tuple[Uncertainty, ...]:
    """The uncertainty of every input that has one, in the order of the inputs.

    Raises:
        InputFaults: an uncertainty of a value that the pipe does not have.
    """
    known = {each.key for each in inputs}
    faults = [
        fault("review.no such value", f"[[pipe]] {shown(pipe.name)}, doubt.{name}", measure.text)
        for name, measure in pipe.doubt.items()
        if symbol_of_name(name) not in known
    ]
    if faults:
        raise InputFaults(faults)
    stated = {symbol_of_name(name): measure for name, measure in pipe.doubt.items()}
    found = []
    for each in inputs:
        unit = SYMBOLS[each.key].unit(system)
        origin = _origin(each)
        if each.key in stated:
            measure = stated[each.key]
            found.append(
                Uncertainty(each.key, _size(measure, each, unit), origin, True, measure.text)
            )
        elif each.key in _USUAL and each.value != 0:
            found.append(_usual(_USUAL[each.key], each, unit, origin))
    return tuple(each for each in found if each.by > 0)


def _origin(each: Input) -> str:
    """A default is as good as assumed; what the owner's or the resin's table says is given."""
    if each.origin.by_default:
        return "assumed"
    return each.origin.known_by or "given"


def _size(measure: Measure, each: Input, unit: str) -> float:
    if measure.unit == "%" and unit != "%":
        return abs(each.value) * measure.number / 100
    return measure.to(unit)


def _usual(usual: _Usual, each: Input, unit: str, origin: str) -> Uncertainty:
    number = usual.by_origin[KNOWN_BY.index(origin)]
    words = f"{number:g} % of it" if usual.unit == "%" else f"{number:g} {usual.unit}"
    if usual.unit == POINTS:
        words = "1 point" if number == 1 else words
        return Uncertainty(each.key, number, origin, False, words)
    by = _size(Measure(number, usual.unit, words), each, unit)
    return Uncertainty(each.key, by, origin, False, words)
