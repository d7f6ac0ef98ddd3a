"""One value for a run from the values at its stations, with the rule that made it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from linerdesign.project.faults import InputFaults, fault
from linerdesign.words import sentence

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Combined:
    """A value for a run, the rule that combined it, and where along the run it comes from.

    `from_station` and `to_station` are in metres, None where the value belongs to no one place.
    """

    value: float
    rule: str
    stations: int
    from_station: float | None
    to_station: float | None
    cautions: tuple[str, ...] = ()


class Rule(Protocol):
    """A way to combine the values at the stations of a run."""

    def name(self) -> str:
        """The rule in words, as recorded with the value."""

    def combine(self, station: Floats, value: Floats) -> Combined:
        """The combined value, in the unit of the values; stations in metres, ascending.

        Raises:
            InputFaults: where the rule's own number can't be.
        """


@dataclass(frozen=True)
class Maximum:
    """The largest value of any station."""

    def name(self) -> str:
        """The rule in words."""
        return "maximum of the stations"

    def combine(self, station: Floats, value: Floats) -> Combined:
        """The largest value and its station."""
        at = int(np.argmax(value))
        place = float(station[at])
        return Combined(float(value[at]), self.name(), value.size, place, place)


@dataclass(frozen=True)
class Percentile:
    """A percentile of the stations, by linear interpolation between ranked values."""

    percent: float = 95.0

    def name(self) -> str:
        """The rule in words."""
        return f"percentile {self.percent:g} of the stations"

    def combine(self, station: Floats, value: Floats) -> Combined:
        """The percentile; stations count alike, whatever their spacing.

        Raises:
            InputFaults: a percentile under 0 or over 100.
        """
        if not 0 <= self.percent <= 100:
            raise InputFaults(
                [fault("outside", "percentile", f"{self.percent:g}", least=0, most=100)]
            )
        cautions: tuple[str, ...] = ()
        # Above the rank of the last but one station the percentile is a blend with the maximum.
        if self.percent / 100 * (value.size - 1) > value.size - 2:
            cautions = (sentence("field.few_stations", count=value.size, percent=self.percent),)
        found = float(np.percentile(value, self.percent))
        return Combined(found, self.name(), value.size, None, None, cautions)


@dataclass(frozen=True)
class WorstWindow:
    """The largest mean over the stations inside any window of a length in metres."""

    length: float

    def name(self) -> str:
        """The rule in words."""
        return f"largest mean over any {self.length:g} m"

    def combine(self, station: Floats, value: Floats) -> Combined:
        """The worst window and the first and last of its stations.

        Raises:
            InputFaults: a window whose length is not above zero.
        """
        if not (np.isfinite(self.length) and self.length > 0):
            raise InputFaults([fault("measured.length", "window", f"{self.length:g}")])
        # Half a micrometre keeps a station that lies on the window's end inside it.
        end = np.searchsorted(station, station + self.length + 5e-7)
        start = np.arange(station.size)
        total = np.concatenate([[0.0], np.cumsum(value)])
        # A window cut short by the end of the run is part of the one before it, if the run is
        # longer than a window at all.
        whole = station + self.length <= station[-1] + 5e-7
        whole[0] = True
        mean = np.where(whole, (total[end] - total[start]) / (end - start), -np.inf)
        at = int(np.argmax(mean))
        cautions = []
        if station[-1] - station[0] < self.length:
            cautions.append(sentence("field.short_run", length=station[-1] - station[0]))
        if end[at] - at == 1:
            cautions.append(sentence("field.lone_station"))
        return Combined(
            float(mean[at]),
            self.name(),
            value.size,
            float(station[at]),
            float(station[end[at] - 1]),
            tuple(cautions),
        )


def combine_stations(
    station: Sequence[float] | Floats, value: Sequence[float] | Floats, rule: Rule
) -> Combined:
    """One value for a run. Stations in metres, in any order; values in any one unit.

    Raises:
        InputFaults: an empty run, unequal lengths, values that are not finite, or a rule that
            can't be applied.

    >>> combine_stations([0.0, 1.0, 2.0], [2.0, 4.0, 3.0], WorstWindow(1.0)).value
    3.5
    """
    places = np.asarray(station, dtype=np.float64)
    values = np.asarray(value, dtype=np.float64)
    if places.size == 0 or places.shape != values.shape:
        raise InputFaults([fault("measured.run", "run", stations=places.size, values=values.size)])
    faults = [
        fault(
            "measured.not_finite",
            f"run, station {index + 1}",
            f"{places[index]:g}: {values[index]:g}",
        )
        for index in np.flatnonzero(~(np.isfinite(places) & np.isfinite(values)))
    ]
    if faults:
        raise InputFaults(faults)
    order = np.argsort(places, kind="stable")
    return rule.combine(places[order], values[order])
