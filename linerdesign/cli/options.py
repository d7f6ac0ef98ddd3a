"""Options that several commands have, and how all are read."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from linerdesign.cli.choices import OneOf, refused
from linerdesign.project.faults import Fault, every_fault, fault, shown
from linerdesign.project.options import measured as measured
from linerdesign.project.options import named as named
from linerdesign.project.options import number as number
from linerdesign.project.options import percent as percent
from linerdesign.project.options import whole

if TYPE_CHECKING:
    from linerdesign.tasks.uncertainty.pipes import Wishes


def add_uncertainty(parser: argparse.ArgumentParser) -> None:
    """The options of what the uncertainty of the inputs does."""
    parser.add_argument(
        "--uncertainty",
        action=OneOf,
        among=("stated", "usual"),
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
        text = arguments.confidence
        given = [name for name in ("seed", "confidence") if getattr(arguments, name)]
        if arguments.uncertainty is None and given and not refused(arguments, "--uncertainty"):
            faults.append(fault("uncertainty.no_uncertainty", f"--{given[0]}"))
        seed = seed_of(arguments, faults)
        share = 0.95
        if text is not None:
            share = percent("--confidence", text, faults, (0.5, 0.999), "50 % to 99.9 %")
    if arguments.uncertainty is None:
        return None
    from linerdesign.tasks.uncertainty.pipes import Wishes
    from linerdesign.tasks.uncertainty.sampling import SEED

    return Wishes(arguments.uncertainty, SEED if seed is None else seed, share)


def seed_of(arguments: argparse.Namespace, faults: list[Fault]) -> int | None:
    """The seed of trials; none without the option."""
    text = arguments.seed
    if text is None:
        return None
    seed = whole(text)
    if seed is None:
        faults.append(fault("not_whole", "--seed", shown(text)))
    return seed
