"""How options are read: all that is wrong with them is gathered, and raised at once.

Each reader puts a fault into the list it is given; what it returns then is never used, since the
end of `every_fault` raises them.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, TypeVar

from linerdesign.project.faults import Fault, InputFaults, Refused, fault, listed, shown
from linerdesign.project.measures import KINDS, Measure, parse
from linerdesign.project.models import Pipe, Resin

if TYPE_CHECKING:
    from linerdesign.tasks.uncertainty.pipes import Wishes

N = TypeVar("N", Pipe, Resin)


@contextmanager
def every_fault() -> Iterator[list[Fault]]:
    """A list of faults, raised together at the end of the block.

    Raises:
        InputFaults: where there are any.
    """
    faults: list[Fault] = []
    yield faults
    if faults:
        raise InputFaults(faults)


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


def add_uncertainty(parser: argparse.ArgumentParser) -> None:
    """The options of what the uncertainty of the inputs does."""
    parser.add_argument(
        "--uncertainty",
        choices=("stated", "usual"),
        help="add what the uncertainty of the inputs does: those that the project states, or also "
        "the usual ones of all other inputs",
    )
    parser.add_argument(
        "--seed", metavar="N", help="seed of the trials, for --uncertainty (default 20260)"
    )
    parser.add_argument(
        "--confidence",
        metavar="PERCENT",
        help="confidence of the thickness chosen for it, for --uncertainty (default 95 %%)",
    )


def uncertainty(arguments: argparse.Namespace) -> Wishes | None:
    """What is wanted of the uncertainties; none without the option.

    Raises:
        InputFaults: options that can't be used.
    """
    with every_fault() as faults:
        seed, text = arguments.seed, arguments.confidence
        if arguments.uncertainty is None and (seed or text):
            faults.append(fault("uncertainty.no_uncertainty", "--seed" if seed else "--confidence"))
        if seed is not None and not (seed.isdecimal() and seed.isascii() and len(seed) < 10):
            faults.append(fault("not_whole", "--seed", shown(seed)))
        share = 0.95
        if text is not None:
            share = percent("--confidence", text, faults, (0.5, 0.999), "50 % to 99.9 %")
    if arguments.uncertainty is None:
        return None
    from linerdesign.tasks.uncertainty.pipes import Wishes
    from linerdesign.tasks.uncertainty.sampling import SEED

    return Wishes(arguments.uncertainty, SEED if seed is None else int(seed), share)
