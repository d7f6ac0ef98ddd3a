"""Quasi-random trials: scrambled Sobol points, doubled until the chances are known well enough."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from linerdesign.project.faults import InputFaults, fault

if TYPE_CHECKING:
    from scipy.stats import qmc

Floats = NDArray[np.float64]
SEED = 20_260
# Independent scrambles of the sequence: their scatter is the error of what they give.
SCRAMBLES = 8
# Points of one scramble at first and at most, and the standard error of a chance aimed at.
FIRST, MOST = 2**9, 2**14
TOLERANCE = 0.0025
# Columns that the sequence has.
MOST_COLUMNS = 21_201


@dataclass(frozen=True)
class Share:
    """A chance, as a fraction, with its standard error."""

    chance: float
    error: float


def points(seed: int, columns: int, count: int) -> Floats:
    """Points of one scrambled sequence, over (point, column), each between 0 and 1."""
    return np.asarray(next(_sequences(seed, columns, 1)).random(count))


def blocks(seed: int, columns: int, most: int, first: int = FIRST) -> Iterator[Floats]:
    """Further points over (scramble, point, column); each block doubles those before it.

    A scramble has `first` points in the first block, `most` at most.

    Raises:
        InputFaults: more columns than the sequence has.
    """
    if columns > MOST_COLUMNS:
        raise InputFaults([fault("uncertainty.too_many", "", count=columns, most=MOST_COLUMNS)])
    sequences = list(_sequences(seed, columns, SCRAMBLES))
    count, done = first, 0
    while done < max(most, first):
        yield np.stack([each.random(count) for each in sequences])
        done += count
        count = done


def _sequences(seed: int, columns: int, scrambles: int) -> Iterator[qmc.Sobol]:
    from scipy.stats import qmc

    for each in np.random.SeedSequence(seed).spawn(scrambles):
        yield qmc.Sobol(columns, rng=np.random.default_rng(each))


def share(counts: NDArray[np.int64], points_of_each: int) -> Share:
    """The chance of what happened so often in each scramble of so many points."""
    means = np.asarray(counts) / points_of_each
    return Share(float(np.mean(means)), float(error_of(means)))


def error_of(means: Floats) -> Floats:
    """The standard error of the mean over the scrambles, the first axis."""
    return np.asarray(np.std(means, axis=0, ddof=1) / np.sqrt(len(means)))
