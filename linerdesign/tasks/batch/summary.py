"""What an inventory comes to: counts, lengths and masses, and all that was said of its rows."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import asdict, dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.documents.json import FORMAT, quantity
from linerdesign.findings import Severity
from linerdesign.methods.units import MM_PER_INCH
from linerdesign.project.columns import CHANCE, NOMINAL
from linerdesign.project.measures import convert
from linerdesign.tasks.batch.against import Against
from linerdesign.tasks.batch.messages import (
    DUPLICATE,
    ERROR,
    EXAMPLES,
    FAILURE,
    OUTLIER,
    Count,
    counted,
)
from linerdesign.tasks.batch.network_map import NetworkMap
from linerdesign.tasks.batch.outliers import Spread, rounded
from linerdesign.tasks.batch.pieces import SAMPLED, STATUSES, Sized
from linerdesign.words import sentence

if TYPE_CHECKING:
    import polars as pl

    from linerdesign.tasks.uncertainty.pipes import Wishes as UncertaintyWishes

# Hosts are counted in classes of an inch or 25 mm, which are the sizes that pipes come in.
CLASS = {"US": MM_PER_INCH, "SI": 25.0}
# What is said of rows, in the order of the summary.
KINDS = (ERROR, FAILURE, Severity.OUTSIDE.value, Severity.CAUTION.value, OUTLIER, DUPLICATE)


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
class Part(Total):
    """The rows with one value of a column: by status, and those of which something is said."""

    statuses: Counter[str] = field(default_factory=Counter)
    said: Counter[str] = field(default_factory=Counter)


@dataclass
class Summary:
    """Totals over all pieces. `sizes` are by diameter class and nominal thickness, both in mm.

    `said` counts rows by kind and text, with the first of them. `changed` counts, among the
    `sampled` rows of the first piece, those whose nominal thickness changes when a default is a
    tenth larger or smaller. `like_formulas` counts the text cells written to CSV that a spreadsheet
    would take for formulas. `fingerprint` is the SHA-256 of the bytes of the inventory, `remarks`
    tell how it was read; `map` is the map, where one is wanted. `unsure` counts the rows whose
    chance is under the confidence wished for, where uncertainty is.
    """

    system: str
    file_name: str = ""
    fingerprint: str = ""
    remarks: tuple[str, ...] = ()
    rows: int = 0
    statuses: Counter[str] = field(default_factory=Counter)
    sizes: defaultdict[tuple[float, float], Total] = field(
        default_factory=lambda: defaultdict(Total)
    )
    governing: Counter[str] = field(default_factory=Counter)
    defaults: Counter[str] = field(default_factory=Counter)
    said: dict[tuple[str, str], Count] = field(default_factory=dict)
    spreads: defaultdict[str, Spread] = field(default_factory=lambda: defaultdict(Spread))
    changed: Counter[str] = field(default_factory=Counter)
    sampled: int = 0
    grouped: int = 0
    like_formulas: int = 0
    against: Against | None = None
    map: NetworkMap | None = None
    uncertainty: UncertaintyWishes | None = None
    unsure: int = 0
    _names: list[NDArray[np.uint64]] = field(default_factory=list)
    _parts: dict[str, defaultdict[str, Part]] = field(default_factory=dict)
    _places: dict[str, list[NDArray[np.int32]]] = field(default_factory=dict)

    def add(self, sized: Sized) -> None:
        """Adds one piece."""
        if self.rows == 0:
            self.changed = sized.changed
            self.sampled = int(np.count_nonzero(sized.status[:SAMPLED]))
        for each in sized.cells:
            if not each.column.about.negative:
                numbers = np.where(each.measured, each.numbers, np.nan)
                spread = self.spreads[each.column.header]
                spread.add(numbers, self.rows)
                spread.unit = "" if "[" in each.column.header else f" {each.column.unit}"
            self.grouped += each.grouped
        self.spreads[NOMINAL].add(sized.nominal, self.rows)
        counted(sized.messages.said, self.said, self.rows)
        self.rows += len(sized.status)
        every = np.bincount(sized.status, minlength=len(STATUSES))
        for status, count in zip(STATUSES, every, strict=True):
            self.statuses[status] += int(count)
        counts = np.bincount(sized.governing, minlength=len(sized.equations))
        for name, count in zip(sized.equations, counts, strict=True):
            self.governing[name] += int(count)
        self.defaults += sized.defaults
        if self.uncertainty is not None:
            low = sized.further[CHANCE] < 100 * self.uncertainty.confidence
            self.unsure += int(np.count_nonzero(low))
        self._add_sizes(sized)

    def add_names(self, names: pl.Series) -> None:
        """Adds the names of one piece; hashes of them are kept, which are small, 0 for none."""
        import polars as pl

        written = names.cast(pl.String).str.strip_chars().fill_null("")
        hashes = written.hash().to_numpy()
        self._names.append(np.where(written.str.len_bytes().to_numpy() > 0, hashes, 0))

    def add_parts(self, column: str, values: pl.Series, sized: Sized) -> None:
        """Adds one piece to the totals by one column."""
        import polars as pl

        written = values.cast(pl.String).str.strip_chars().fill_null("")
        names = written.unique().sort().to_list()
        codes = written.cast(pl.Enum(names)).to_physical().to_numpy().astype(np.int64)
        parts = self._parts.setdefault(column, defaultdict(Part))
        width = len(names)
        good = ~np.isnan(sized.nominal)
        sums = [np.bincount(codes, weights, width) for weights in (good, sized.length, sized.mass)]
        kinds = len(STATUSES)
        both = np.bincount(codes * kinds + sized.status, minlength=kinds * width)
        statuses = both.reshape(width, kinds)
        for place, name in enumerate(names):
            parts[name].add(int(sums[0][place]), float(sums[1][place]), float(sums[2][place]))
            parts[name].statuses.update(dict(zip(STATUSES, statuses[place].tolist(), strict=True)))
        for kind in KINDS:
            said = np.zeros(len(codes), bool)
            for each in sized.messages.said:
                if each.kind == kind:
                    said[each.rows] = True
            for place, count in enumerate(np.bincount(codes[said]).tolist()):
                parts[names[place]].said[kind] += count
        every = {name: place for place, name in enumerate(parts)}
        places = np.array([every[name] for name in names], np.int32)
        self._places.setdefault(column, []).append(places[codes])

    @cached_property
    def parts(self) -> dict[str, defaultdict[str, Part]]:
        """By column and value of that column, once all pieces are added."""
        for column, parts in self._parts.items():
            repeated = np.concatenate(self._places[column])[self._repeated]
            counts = np.bincount(repeated, minlength=len(parts)).tolist()
            for part, count in zip(parts.values(), counts, strict=True):
                part.said[DUPLICATE] = count
        return self._parts

    @cached_property
    def repeated_names(self) -> Count:
        """Rows whose name another row has too, once all pieces are added."""
        rows = self._repeated
        return Count(len(rows), (rows[: 2 * EXAMPLES] + 1).tolist())

    @cached_property
    def _repeated(self) -> NDArray[np.int64]:
        names = np.concatenate([np.empty(0, np.uint64), *self._names])
        ordered = np.sort(names)
        repeated = np.unique(ordered[1:][ordered[1:] == ordered[:-1]])
        return np.flatnonzero(np.isin(names, repeated) & (names != 0))

    @cached_property
    def findings(self) -> list[tuple[str, str, Count]]:
        """All that is said of rows, once all pieces are added: kind, text and rows; the most
        frequent of each kind first."""
        found = [(kind, text, count) for (kind, text), count in self.said.items()]
        for header, spread in self.spreads.items():
            for side, fence, count in spread.outliers():
                blanks = {"column": header, "fence": f"{rounded(fence)}{spread.unit}".strip()}
                found.append((OUTLIER, sentence(f"inventory.far_{side}", **blanks), count))
        if (names := self.repeated_names).rows:
            found.append((DUPLICATE, sentence("inventory.duplicate"), names))
        return sorted(found, key=lambda each: (KINDS.index(each[0]), -each[2].rows, each[1]))

    def _add_sizes(self, sized: Sized) -> None:
        good = ~np.isnan(sized.nominal)
        diameters = np.round(sized.diameter[good] / CLASS[self.system]) * CLASS[self.system]
        classes, places = np.unique(diameters, return_inverse=True)
        walls, of_wall = np.unique(sized.nominal[good], return_inverse=True)
        # Summed in the order of the rows: the same table gives the same bits.
        codes = places * len(walls) + of_wall
        counts = np.bincount(codes)
        sums = [np.bincount(codes, each[good]) for each in (sized.length, sized.mass)]
        for code in np.flatnonzero(counts).tolist():
            size = float(classes[code // len(walls)]), float(walls[code % len(walls)])
            self.sizes[size].add(int(counts[code]), *(float(each[code]) for each in sums))

    def total(self, over: float = 0.0) -> Total:
        """Over all pipes that have a thickness, or one over so many mm."""
        whole = Total()
        for (_, nominal), each in self.sizes.items():
            if nominal > over:
                whole.add(each.count, each.length, each.mass)
        return whole

    def by_governing(self) -> list[tuple[str, int]]:
        """Pipes by governing equation, the most frequent first."""
        return [(name, n) for name, n in self.governing.most_common() if name and n]

    def uncertain(self) -> list[tuple[str, int, float | None]]:
        """Each default with the rows that rest on it, and the share of the sampled rows whose
        nominal thickness changes with a tenth of it; the weightiest first."""
        found: list[tuple[str, int, float | None]] = []
        for text, count in self.defaults.items():
            known = self.sampled and text in self.changed
            share = self.changed[text] / self.sampled if known else None
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
            "format": FORMAT,
            "inventory": {"file": self.file_name, "sha256": self.fingerprint},
            "read_as": list(self.remarks),
            "rows": self.rows,
            "statuses": {status: count for status, count in self.statuses.items() if count},
            "rows_with_a_repeated_name": self.repeated_names.rows,
            "text_cells_like_formulas": self.like_formulas,
            "governing": dict(self.by_governing()),
            **_amounts(whole),
            "sizes": [
                {
                    "diameter": self.diameter_label(diameter),
                    "nominal_thickness": quantity(nominal, "mm"),
                    "count": each.count,
                    **_amounts(each),
                }
                for (diameter, nominal), each in sorted(self.sizes.items())
            ],
            "defaults": [
                {"text": text, "rows": count, "share_changed_by_a_tenth": share}
                for text, count, share in self.uncertain()
            ],
            "errors": {text: n.rows for kind, text, n in self.findings if kind == ERROR},
            "findings": [
                {"kind": kind, "text": text, **asdict(count)} for kind, text, count in self.findings
            ],
            "by": {column: _parts_data(parts) for column, parts in self.parts.items()},
            **({"against": self.against.data()} if self.against else {}),
        }


def _amounts(pipes: Total) -> dict[str, Any]:
    return {"length": quantity(pipes.length, "m"), "mass": quantity(pipes.mass, "kg")}


def _parts_data(parts: dict[str, Part]) -> list[dict[str, Any]]:
    return [
        {
            "value": name,
            "statuses": {status: count for status, count in part.statuses.items() if count},
            "findings": {kind: count for kind, count in part.said.items() if count},
            **_amounts(part),
        }
        for name, part in sorted(parts.items())
    ]
