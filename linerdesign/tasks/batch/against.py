"""An inventory against an earlier result: what has become of its pipes, by name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linerdesign.expressions.tolerance import SAME
from linerdesign.project.columns import NOMINAL, STATUS
from linerdesign.project.delimited import split_heading
from linerdesign.project.faults import InputFaults, fault
from linerdesign.tasks.batch.messages import EXAMPLES
from linerdesign.tasks.batch.tables import ReadAgainError, open_table

if TYPE_CHECKING:
    import polars as pl


@dataclass
class Against:
    """The comparison with an earlier result.

    `old` and each frame of `new` have the columns name, nominal (mm) and status.
    """

    file_name: str
    old: pl.DataFrame
    new: list[pl.DataFrame] = field(default_factory=list)

    def add(self, names: pl.Series, nominal: pl.Series, status: pl.Series) -> None:
        """Adds one piece of the new result."""
        import polars as pl

        self.new.append(pl.DataFrame({"name": _plain(names), "nominal": nominal, "status": status}))

    def data(self) -> dict[str, Any]:
        """Counts and examples by change, and changes of thickness in mm, as JSON data."""
        import polars as pl

        new = pl.concat(self.new) if self.new else self.old.clear()
        new, old = (each.filter(pl.col("name").str.len_bytes() > 0) for each in (new, self.old))
        repeated = pl.concat([_repeated(new), _repeated(old)]).unique(maintain_order=True)
        new, old = (each.filter(~pl.col("name").is_in(repeated.implode())) for each in (new, old))
        both = new.join(old, on="name", suffix="_old", maintain_order="left")
        near = SAME * pl.max_horizontal("nominal", "nominal_old")
        more = pl.col("nominal") - pl.col("nominal_old")
        found: dict[str, Iterable[str]] = {
            "thicker": both.filter(more > near)["name"],
            "thinner": both.filter(more < -near)["name"],
            "same": both.filter(more.abs() <= near)["name"],
            "status": both.filter(pl.col("status") != pl.col("status_old"))["name"],
            "new": new.join(old, on="name", how="anti", maintain_order="left")["name"],
            "gone": old.join(new, on="name", how="anti", maintain_order="left")["name"],
            "repeated": repeated,
        }
        changes = {
            kind: {"pipes": len(list(names)), "examples": list(names)[:EXAMPLES]}
            for kind, names in found.items()
        }
        sizes = both.filter(more.abs() > near).group_by("nominal_old", "nominal").len()
        pairs = [
            {"from": old_mm, "to": new_mm, "unit": "mm", "pipes": pipes}
            for old_mm, new_mm, pipes in sizes.sort("nominal_old", "nominal").iter_rows()
        ]
        return {"file": self.file_name, **changes, "thicknesses": pairs}


def read_earlier(path: Path, name: str) -> Against:
    """The earlier result in a file; `name` is the header of the column of names.

    Raises:
        InputFaults: where it can't be read, or is no result of this program.
    """
    import polars as pl

    dialect, frames = None, []
    while True:
        source = open_table(path, (NOMINAL, STATUS), dialect)
        titles = {split_heading(each)[0]: each for each in source.headers}
        wanted = [name if name in source.headers else titles.get("name", name), NOMINAL, STATUS]
        if missing := [each for each in wanted if each not in source.headers]:
            at = str(path)
            raise InputFaults([fault("inventory.no_result", at, columns=", ".join(missing))])
        try:
            frames = [piece.frame.select(wanted) for piece in source.pieces()]
            break
        except ReadAgainError as again:
            dialect = again.dialect
    both = pl.concat(frames) if frames else pl.DataFrame(schema=dict.fromkeys(wanted, pl.String))
    return Against(
        path.name,
        pl.DataFrame(
            {
                "name": _plain(both[wanted[0]]),
                "nominal": both[NOMINAL].cast(pl.Float64, strict=False),
                "status": both[STATUS].cast(pl.String),
            }
        ),
    )


def _plain(names: pl.Series) -> pl.Series:
    import polars as pl

    return names.cast(pl.String).str.strip_chars().fill_null("")


def _repeated(frame: pl.DataFrame) -> pl.Series:
    names = frame["name"]
    return names.filter(names.is_duplicated()).unique(maintain_order=True)
