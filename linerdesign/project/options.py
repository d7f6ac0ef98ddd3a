"""How options and arguments are read: all that is wrong with them is gathered, and raised at once.

Each reader puts a fault into the list it is given; what it returns then is never used, since the
end of `every_fault` raises them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypeVar

from linerdesign.project.faults import Fault, Refused, fault, listed, shown
from linerdesign.project.measures import KINDS, Measure, parse
from linerdesign.project.models import Pipe, Resin

N = TypeVar("N", Pipe, Resin)


def named(option: str, name: str | None, among: Sequence[N], faults: list[Fault]) -> N:
    """The one of that name, the first where none is named."""
    found = [each for each in among if name in (None, each.name)]
    if not found:
        known = listed(each.name for each in among)
        faults.append(fault("argument", option, shown(name), known=known))
    return found[0] if found else among[0]


def measured(option: str, text: str, kind: str, faults: list[Fault]) -> Measure:
    """A quantity of the kind."""
    try:
        return parse(text, kind)
    except Refused as refused:
        faults.append(refused.at(option, shown(text)))
        return Measure(math.nan, KINDS[kind].unit, text)


def number(
    option: str, text: str, faults: list[Fault], least: float, most: float, unit: str = ""
) -> float:
    """A bare number within limits, in a unit where it has one."""
    try:
        found = float(text) if text.isascii() and "_" not in text else math.nan
    except ValueError:
        found = math.nan
    if not least <= found <= most:
        within = f"{least:g} to {most:g} {unit}".rstrip()
        faults.append(fault("option_range", option, shown(text), range=within))
    return found


def whole(text: str) -> int | None:
    """A whole number of at most nine digits and no sign; none for any other text."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else None


def percent(
    option: str,
    text: str,
    faults: list[Fault],
    within: tuple[float, float] = (0.0, math.inf),
    outside: str = "",
) -> float:
    """The share that a percentage is; `outside` says in words what it must lie within."""
    share = measured(option, text, "percent", faults).number / 100
    # A share that is no number is at fault already.
    if not (math.isnan(share) or within[0] <= share <= within[1]):
        faults.append(fault("option_range", option, shown(text), range=outside))
    return share
