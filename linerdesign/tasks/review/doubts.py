"""How far each input may be off: as the project file says, or by how the value is known.

The doubts taken where none is stated are a judgement (common practice, no source): wide for what
is assumed, narrow for what is measured. What the owner decides (N, K, edition, floors) is in no
doubt.
"""

from __future__ import annotations

from dataclasses import dataclass

from linerdesign.methods.origin import KNOWN_BY
from linerdesign.methods.symbols import SYMBOLS, symbol_of_name
from linerdesign.methods.task import Input
from linerdesign.project.faults import Fault, InputFaults, shown
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe


@dataclass(frozen=True)
class _Usual:
    """The doubt of a quantity by origin, in the order of `KNOWN_BY`; `unit` % is of the value.

    Of a percentage, the points are meant.
    """

    unit: str
    by_origin: tuple[float, float, float, float]


_POINTS = "points"
_USUAL = {
    "D": _Usual("%", (0.5, 1.5, 1, 3)),
    "D_max": _Usual("%", (0.25, 0.5, 0.5, 1)),
    "D_min": _Usual("%", (0.25, 0.5, 0.5, 1)),
    "q_pipe": _Usual(_POINTS, (0.5, 1, 1, 2)),
    "H": _Usual("%", (2, 10, 5, 20)),
    "H_invert": _Usual("%", (2, 10, 5, 20)),
    "h_invert": _Usual("ft", (1, 3, 2, 5)),
    "h_crown": _Usual("ft", (1, 3, 2, 5)),
    "d_water": _Usual("ft", (1, 3, 2, 5)),
    "z_water": _Usual("ft", (1, 3, 2, 5)),
    "w": _Usual("%", (3, 5, 5, 10)),
    "E_s": _Usual("%", (20, 30, 30, 50)),
    "W_s": _Usual("%", (10, 20, 20, 40)),
    "E": _Usual("%", (5, 10, 10, 15)),
    "r_E": _Usual(_POINTS, (3, 5, 5, 10)),
    "sigma": _Usual("%", (5, 10, 10, 15)),
    "r_sigma": _Usual(_POINTS, (3, 5, 5, 10)),
}


@dataclass(frozen=True)
class Doubt:
    """An input may lie from `least` to `most` either side of its value, in the sheet's unit.

    `stated` is true where the project file gives the doubt.
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


def doubts(pipe: Pipe, inputs: tuple[Input, ...], system: str) -> tuple[Doubt, ...]:
    """The doubt of every input that has one, in the order of the inputs.

    Raises:
        InputFaults: a doubt about a value that the pipe does not have.
    """
    known = {each.key for each in inputs}
    faults = [
        Fault(f"[[pipe]] {shown(pipe.name)}, doubt.{name}", measure.text, "a value this pipe has")
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
            found.append(Doubt(each.key, _size(measure, each, unit), origin, True, measure.text))
        elif each.key in _USUAL and each.value != 0:
            found.append(_usual(_USUAL[each.key], each, unit, origin))
    return tuple(doubt for doubt in found if doubt.by > 0)


def _origin(each: Input) -> str:
    """A default is as good as assumed; what the owner's or the resin's table says is given."""
    if each.origin.by_default:
        return "assumed"
    return each.origin.known_by or "given"


def _size(measure: Measure, each: Input, unit: str) -> float:
    if measure.unit == "%" and unit != "%":
        return abs(each.value) * measure.number / 100
    return measure.to(unit)


def _usual(usual: _Usual, each: Input, unit: str, origin: str) -> Doubt:
    number = usual.by_origin[KNOWN_BY.index(origin)]
    words = f"{number:g} % of it" if usual.unit == "%" else f"{number:g} {usual.unit}"
    if usual.unit == _POINTS:
        words = "1 point" if number == 1 else words
        return Doubt(each.key, number, origin, False, words)
    by = _size(Measure(number, usual.unit, words), each, unit)
    return Doubt(each.key, by, origin, False, words)
