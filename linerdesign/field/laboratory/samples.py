"""Statistics of a handful of samples, and readings of thickness with their basis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.further_keys import THICKNESS_BASES as THICKNESS_BASES


@dataclass(frozen=True)
class Summary:
    """Of one property: count, mean, n - 1 standard deviation, its percentage of the mean, extremes.

    One sample has no deviation: None.
    """

    count: int
    mean: float
    standard_deviation: float | None
    coefficient_of_variation: float | None
    minimum: float
    maximum: float


@dataclass(frozen=True)
class Sample:
    """One line of a laboratory's report: psi, percent and mm; None where it gives nothing.

    `thickness_basis` is the structural wall, without films, preliner and dry layers, or the whole
    wall, or None where the report does not say. `station` and `clock` are where it was taken,
    `place` is its line of a file.
    """

    pipe: str
    specimen: str
    modulus: float | None = None
    strength: float | None = None
    strain: float | None = None
    thickness: float | None = None
    thickness_basis: str | None = None
    tensile_strength: float | None = None
    station: str = ""
    clock: str = ""
    place: str = ""


def summarise(values: Sequence[float] | NDArray[np.float64], what: str = "samples") -> Summary:
    """Mean, n - 1 standard deviation, coefficient of variation (percent), count and extremes.

    Raises:
        InputFaults: no values, or values that are not finite and above zero.

    >>> summarise([276920, 187218, 369998, 270265, 214134]).mean
    263707.0
    """
    sample = np.asarray(values, dtype=np.float64)
    if sample.ndim != 1 or sample.size == 0:
        raise InputFaults([fault("measured.no_values", what)])
    faults = [
        fault("measured.positive", f"{what}, value {index + 1}", f"{sample[index]:g}")
        for index in np.flatnonzero(~(np.isfinite(sample) & (sample > 0)))
    ]
    if faults:
        raise InputFaults(faults)
    mean = float(sample.mean())
    deviation = float(sample.std(ddof=1)) if sample.size > 1 else None
    return Summary(
        count=sample.size,
        mean=mean,
        standard_deviation=deviation,
        coefficient_of_variation=None if deviation is None else 100 * deviation / mean,
        minimum=float(sample.min()),
        maximum=float(sample.max()),
    )
