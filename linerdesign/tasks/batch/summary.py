"""What an inventory comes to: counts, lengths and masses, defaults, and errors by cause."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.units import MM_PER_INCH
from linerdesign.project.measures import convert
from linerdesign.tasks.batch.pieces import STATUSES, Sized

if TYPE_CHECKING:
    import polars as pl

# Hosts are counted in classes of an inch or 25 mm, which are the sizes that pipes come in.
CLASS = {"US": MM_PER_INCH, "SI": 25.0}


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
    changes when a default is a tenth larger or smaller. `like_formulas` counts the text cells
    written to CSV that a spreadsheet would take for formulas. `fingerprint` is the SHA-256 of the
    bytes of the inventory.
    """

    system: str
    file_name: str = ""
    fingerprint: str = ""
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
    like_formulas: int = 0
    _names: list[NDArray[np.uint64]] = field(default_factory=list)

    def add(self, sized: Sized) -> None:
        """Adds one piece."""
        if self.rows == 0:
            self.changed, self.sampled = sized.changed, int(np.count_nonzero(sized.status))
        self.rows += len(sized.status)
        for status, count in zip(STATUSES, np.bincount(sized.status, minlength=5), strict=True):
            self.statuses[status] += int(count)
        counts = np.bincount(sized.governing, minlength=len(sized.equations))
        for name, count in zip(sized.equations, counts, strict=True):
            self.governing[name] += int(count)
        self.defaults += sized.defaults
        self.causes += sized.causes
        self._add_sizes(sized)

    def add_names(self, names: pl.Series) -> None:
        """Adds the names of one piece; hashes of them are kept, which are small."""
        import polars as pl

        written = names.cast(pl.String).str.strip_chars()
        self._names.append(written.filter(written.str.len_bytes() > 0).hash().to_numpy())

    def repeated_names(self) -> int:
        """Rows whose name another row has too."""
        if not self._names:
            return 0
        counts = np.unique(np.concatenate(self._names), return_counts=True)[1]
        return int(counts[counts > 1].sum())

    def _add_sizes(self, sized: Sized) -> None:
        import polars as pl

        good = ~np.isnan(sized.nominal)
        classes = np.round(sized.diameter[good] / CLASS[self.system]) * CLASS[self.system]
        columns = (np.round(classes, 6), sized.nominal[good], sized.length[good], sized.mass[good])
        frame = pl.DataFrame(
            dict(zip(("class", "nominal", "length", "mass"), columns, strict=True))
        )
        totals = frame.group_by("class", "nominal").agg(pl.len(), pl.sum("length", "mass"))
        for diameter, nominal, count, length, mass in totals.iter_rows():
            self.sizes[diameter, nominal].add(count, length, mass)

    def total(self) -> Total:
        """Over all pipes that have a thickness."""
        whole = Total()
        for each in self.sizes.values():
            whole.add(each.count, each.length, each.mass)
        return whole

    def by_governing(self) -> list[tuple[str, int]]:
        """Pipes by governing equation, the most frequent first."""
        return [(name, n) for name, n in self.governing.most_common() if name and n]

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
            "inventory": {"file": self.file_name, "sha256": self.fingerprint},
            "rows": self.rows,
            "statuses": {status: count for status, count in self.statuses.items() if count},
            "rows_with_a_repeated_name": self.repeated_names(),
            "text_cells_like_formulas": self.like_formulas,
            "governing": dict(self.by_governing()),
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
