"""Options that several commands have, and how all are read."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from linerdesign.project.faults import every_fault, fault, shown
from linerdesign.project.options import measured as measured
from linerdesign.project.options import named as named
from linerdesign.project.options import percent as percent

if TYPE_CHECKING:
    from linerdesign.tasks.uncertainty.pipes import Wishes


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
