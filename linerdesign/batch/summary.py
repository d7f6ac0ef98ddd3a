"""What an inventory comes to: counts, lengths and masses, defaults, and errors by cause."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from linerdesign.batch.rows import STATUSES, Sized
from linerdesign.project.measures import convert

# Hosts are counted in classes of an inch or 25 mm, which are the sizes that pipes come in.
CLASS = {"US": 25.4, "SI": 25.0}


@dataclass
class Total:
    """Pipes, their length in m and the mass of their walls in kg."""

    count: int = 0
    length: float = 0.0
    mass: float = 0.0

    def add(self, count: int, length: float, mass: float) -> None:
        """Adds some pipes."""
        self.count += count
        self.length += length
        self.mass += mass


@dataclass
class Summary:
    """Totals over all pieces. `sizes` are by diameter class and nominal thickness, both in mm.

    `changed` counts, among the `sampled` rows of the first piece, those whose nominal thickness
    changes when a default is a tenth larger or smaller.
    """

    system: str
    rows: int = 0
    statuses: Counter[str] = field(default_factory=Counter)
    sizes: defaultdict[tuple[float, float], Total] = field(
        default_factory=lambda: defaultdict(Total)
    )
    governing: Counter[str] = field(default_factory=Counter)
    defaults: Counter[str] = field(default_factory=Counter)
    causes: Counter[str] = field(default_factory=Counter)
    changed: Counter[str] = field(default_factory=Counter)
    sampled: int = 0

    def add(self, sized: Sized) -> None:
        """Adds one piece."""
        if self.rows == 0:
            self.changed, self.sampled = sized.changed, int(np.count_nonzero(sized.status))
        self.rows += len(sized.status)
        for code, count in zip(*np.unique(sized.status, return_counts=True), strict=True):
            self.statuses[STATUSES[code]] += int(count)
        for code, count in zip(*np.unique(sized.governing, return_counts=True), strict=True):
            if sized.equations[code]:
                self.governing[sized.equations[code]] += int(count)
        self.defaults += sized.defaults
        self.causes += sized.causes
        self._add_sizes(sized)

    def _add_sizes(self, sized: Sized) -> None:
        good = ~np.isnan(sized.nominal)
        classes = np.round(sized.diameter[good] / CLASS[self.system]) * CLASS[self.system]
        pairs = np.column_stack([np.round(classes, 6), sized.nominal[good]])
        found, place = np.unique(pairs, axis=0, return_inverse=True)
        place = place.reshape(-1)
        counts = np.bincount(place, minlength=len(found))
        lengths = np.bincount(place, sized.length[good], len(found))
        masses = np.bincount(place, sized.mass[good], len(found))
        for pair, *totals in zip(found.tolist(), counts, lengths, masses, strict=True):
            self.sizes[pair[0], pair[1]].add(int(totals[0]), float(totals[1]), float(totals[2]))

    def total(self) -> Total:
        """Over all pipes that have a thickness."""
        whole = Total()
        for each in self.sizes.values():
            whole.add(each.count, each.length, each.mass)
        return whole

    def by_thickness(self) -> dict[float, Total]:
        """Totals by nominal thickness in mm, in rising order."""
        found: defaultdict[float, Total] = defaultdict(Total)
        for (_, nominal), each in sorted(self.sizes.items(), key=lambda item: item[0][::-1]):
            found[nominal].add(each.count, each.length, each.mass)
        return dict(found)

    def doubts(self) -> list[tuple[str, int, float | None]]:
        """Each default with the rows that rest on it, and the share of the sampled rows whose
        nominal thickness changes with a tenth of it; the weightiest first."""
        found: list[tuple[str, int, float | None]] = []
        for text, count in self.defaults.items():
            share = self.changed[text] / self.sampled if text in self.changed else None
            found.append((text, count, share))
        return sorted(found, key=lambda each: (-(each[2] or 0.0), -each[1], each[0]))

    def diameter_label(self, millimetres: float) -> str:
        """A class of diameters as the trade names it."""
        unit = "in" if self.system == "US" else "mm"
        return f"{convert(millimetres, 'mm', unit):.0f} {unit}"

    def data(self) -> dict[str, Any]:
        """The summary as JSON data."""
        whole = self.total()
        return {
            "format": 1,
            "rows": self.rows,
            "statuses": dict(self.statuses),
            "governing": dict(self.governing.most_common()),
            "length": {"value": whole.length, "unit": "m"},
            "mass": {"value": whole.mass, "unit": "kg"},
            "sizes": [
                {
                    "diameter": self.diameter_label(diameter),
                    "nominal_thickness": {"value": nominal, "unit": "mm"},
                    "count": each.count,
                    "length": {"value": each.length, "unit": "m"},
                    "mass": {"value": each.mass, "unit": "kg"},
                }
                for (diameter, nominal), each in sorted(self.sizes.items())
            ],
            "defaults": [
                {"text": text, "rows": count, "share_changed_by_a_tenth": share}
                for text, count, share in self.doubts()
            ],
            "errors": dict(self.causes.most_common()),
        }
