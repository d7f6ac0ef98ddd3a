"""What a page lets a reader put in for a value of the project file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from pydantic import ValidationError

from linerdesign.equations.symbols import SYMBOLS, name_of
from linerdesign.equations.tracing import Traced
from linerdesign.equations.tree import Node, Symbol
from linerdesign.project.assembly import contradictions
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Pipe, Resin

_NAMES = {"nominal_thickness": "design_thickness"}
# Upper ends that a key of the project file may have: Poisson's ratio, percentages.
_UPPER_ENDS = (0.5, 100.0)


@dataclass(frozen=True)
class Span:
    """Numbers that a key takes: over `over`, or from `least` on; under `under`, or to `most`."""

    over: float | None = None
    least: float | None = None
    under: float | None = None
    most: float | None = None
    expected: str = ""


@cache
def span(name: str, unit: str) -> Span:
    """The numbers that the project file takes for a key, found by asking its own model."""
    wrong = {number: _fault(name, number, unit) for number in (-1.0, 0.0)}
    over = 0.0 if wrong[0.0] else None
    least = 0.0 if wrong[-1.0] and not wrong[0.0] else None
    end = next((n for n in _UPPER_ENDS if _fault(name, n * 1.001, unit)), None)
    closed = end is not None and not _fault(name, end, unit)
    beyond = _fault(name, end * 1.001, unit) if end is not None else ""
    return Span(
        over=over,
        least=least,
        under=None if closed else end,
        most=end if closed else None,
        expected=beyond or wrong[0.0] or wrong[-1.0],
    )


def _fault(name: str, number: float, unit: str) -> str:
    """What was expected in place of a number; nothing where it will do, or the file has no key."""
    wanted = _NAMES.get(name, name)
    model = next((m for m in (Pipe, Resin, Criteria) if wanted in m.model_fields), None)
    if model is None:
        return ""
    try:
        model.model_validate({wanted: f"{number} {unit}" if unit else number})
    except ValidationError as error:
        return next((str(e["msg"]) for e in error.errors() if e["loc"] == (wanted,)), "")
    return ""


def refusals(keys: Iterable[str], system: str) -> Iterator[tuple[str, Node, str]]:
    """What makes values impossible together: the key at fault, when it is, what was expected.

    The project file's own rules, read once with symbols in place of the numbers.
    """
    of_name = {}
    for key in keys:
        of_name[_NAMES.get(name_of(key), name_of(key))] = key
    site = {name: _symbolic(key, system) for name, key in of_name.items()}
    for name, broken, expected in contradictions(site):
        yield of_name[name], broken.node, expected


def _symbolic(key: str, system: str) -> Measure:
    number: Any = Traced(Symbol(key))
    return Measure(number, SYMBOLS[key].unit(system), SYMBOLS[key].meaning)
