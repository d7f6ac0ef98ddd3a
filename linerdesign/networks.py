"""What `import linerdesign` offers for many pipes: frames, inventories and planning tables."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, overload

from linerdesign.arguments import Units, system_of
from linerdesign.documents.blocks import Document
from linerdesign.documents.notebook import Displayed
from linerdesign.project.reading import Project

if TYPE_CHECKING:
    import pandas as pd
    import polars as pl

    from linerdesign.tasks.batch.summary import Summary
    from linerdesign.tasks.plan.table import Plan
    from linerdesign.tasks.uncertainty.pipes import Wishes as UncertaintyWishes


@dataclass(frozen=True, repr=False)
class Inventory(Displayed):
    """What an inventory comes to; its rows are in the file written.

    `hints` are about columns that were passed through unread.
    """

    project: Project
    units: Units
    summary: Summary
    hints: tuple[str, ...] = ()

    def _brief(self) -> dict[str, Any]:
        statuses = {word: count for word, count in self.summary.statuses.items() if count}
        return {"rows": self.summary.rows, "statuses": statuses, "units": self.units}

    @property
    def holds(self) -> bool:
        """Whether every row has a thickness that passes, inside the method."""
        from linerdesign.methods.verdicts import CHECKED, SIZED

        good = self.summary.statuses[SIZED] + self.summary.statuses[CHECKED]
        return self.summary.rows == good

    @cached_property
    def document(self) -> Document:
        """The summary: counts, findings, the map where there is one, totals."""
        from linerdesign.tasks.batch.report import inventory_report

        return inventory_report(self.project, self.summary, self.hints, self.units)

    @cached_property
    def data(self) -> dict[str, Any]:
        """The summary as JSON data."""
        from linerdesign.tasks.batch.report import inventory_data

        return inventory_data(self.summary, self.hints)


@dataclass(frozen=True, repr=False)
class PlanningTables(Displayed):
    """Nominal thickness by diameter, cover and groundwater.

    `found.tables` has a table a resin and condition, and in it an entry by the texts of water,
    cover and diameter, thicknesses in mm.
    """

    found: Plan

    def _brief(self) -> dict[str, Any]:
        tables = [(each.resin.name, each.condition) for each in self.found.tables]
        return {"tables": tables, "cells": len(self.found.axes.grid), "units": self.found.system}

    @property
    def holds(self) -> bool:
        """Whether every entry passes, inside the method."""
        return self.found.holds

    @cached_property
    def document(self) -> Document:
        """The tables with their legends and what they rest on."""
        from linerdesign.tasks.plan.report import planning_report

        return planning_report(self.found)

    @cached_property
    def data(self) -> dict[str, Any]:
        """The result as JSON data."""
        from linerdesign.tasks.plan.report import planning_data

        return planning_data(self.found)

    @property
    def forms(self) -> Mapping[str, Callable[[], bytes]]:
        """Files that are made otherwise than from the document: a table, a live workbook."""
        from linerdesign.documents import workbook
        from linerdesign.tasks.plan.report import planning_csv, planning_workbook

        return {
            ".csv": lambda: planning_csv(self.found).encode(),
            ".xlsx": lambda: workbook.render(planning_workbook(self.found)),
        }


def _texts(given: str | Iterable[str]) -> list[str]:
    return [given] if isinstance(given, str) else list(given)


def plan(
    project: Project,
    pipe: str | None = None,
    resins: str | Iterable[str] = (),
    conditions: str | Iterable[str] = (),
    diameters: str | Iterable[str] = (),
    covers: str | Iterable[str] = (),
    waters: str | Iterable[str] = (),
    units: Units | None = None,
    uncertainty: UncertaintyWishes | None = None,
) -> PlanningTables:
    """Nominal thickness by diameter, cover and groundwater, a table each resin and condition.

    All other values are those of one `pipe`, the first where none is named; its resin and its
    condition are taken where none are given. Axes are texts with units, such as `"8 in"`; waters
    are in the datum of the pipe, or heights above the invert where they are left out.
    `uncertainty`, a `linerdesign.tasks.uncertainty.pipes.Wishes`, adds thicknesses for a
    confidence.

    Raises:
        InputFaults: unknown names, quantities that can't be read, values that can't be together.
    """
    from linerdesign.tasks.plan.request import Request, planned

    axes = (_texts(diameters), _texts(covers), _texts(waters))
    request = Request(pipe, _texts(resins), _texts(conditions), *axes)
    found = planned(project, request, system_of(units, project))
    if uncertainty is not None:
        from linerdesign.tasks.plan.confident import with_confidence

        found = with_confidence(found, uncertainty)
    return PlanningTables(found)


def batch(
    table: str | Path,
    target: str | Path,
    project: Project,
    units: Units | None = None,
    mapping: str | Path | None = None,
    by: str | Iterable[str] = (),
    against: str | Path | None = None,
    layer: str | None = None,
    map_by: str | None = None,
    scheduler: str | None = None,
    force: bool = False,
    uncertainty: UncertaintyWishes | None = None,
) -> Inventory:
    """Sizes an inventory from file to file, one row a pipe, with columns added to each row.

    Files are .csv, .parquet, .xlsx, .gpkg or .geojson. `mapping` is a file of names and words of
    another office, `by` are columns to count by, `against` is an earlier result. `layer` is that of
    a GeoPackage with several, `map_by` the column that a map in the summary shows, `scheduler`
    the address of a Dask scheduler whose workers size the rows; `uncertainty` is as for `plan`. See
    `docs/inventories.md`.

    Raises:
        InputFaults: files or columns that can't be used, a target that is there and no `force`.
            A bad row raises nothing: its `status` is `error` and its `message` says why.
    """
    from linerdesign.documents.writing import check_targets
    from linerdesign.project.naming import UNCHANGED, read_naming
    from linerdesign.project.placing import together
    from linerdesign.tasks.batch.files import Wishes, check_table, size_table
    from linerdesign.tasks.batch.tables import FORMS

    source, written = Path(table), Path(target)
    earlier = Path(against) if against is not None else None
    naming = Path(mapping) if mapping is not None else None
    check_targets([written], force, FORMS)
    check_table(written, (source, earlier, naming))
    named = read_naming(naming) if naming else UNCHANGED
    maps: Any = {"map_by": map_by, "mapped": True, "layer": layer, "uncertainty": uncertainty}
    wishes = Wishes(named, tuple(_texts(by)), earlier, scheduler=scheduler, **maps)
    system = system_of(units, project)
    with together():
        summary, hints = size_table(source, written, project, system, wishes=wishes)
    return Inventory(project, system, summary, hints)


@overload
def size_rows(rows: pl.DataFrame, project: Project, units: Units | None = None) -> pl.DataFrame:
    """Of a frame of polars."""


@overload
def size_rows(rows: pl.LazyFrame, project: Project, units: Units | None = None) -> pl.LazyFrame:
    """Of a lazy frame of polars."""


@overload
def size_rows(rows: pd.DataFrame, project: Project, units: Units | None = None) -> pd.DataFrame:
    """Of a frame of pandas."""


def size_rows(rows: Any, project: Project, units: Units | None = None) -> Any:
    """Sizes a data frame of polars or pandas, one row a pipe; a frame of the same kind is given.

    Columns are keys of a pipe with their units, such as `host_diameter [in]`; others pass
    through. Added are `required_thickness [mm]`, `nominal_thickness [mm]`, `governing`, `status`
    and `message`, the first two missing where a row has none. `units` is the system whose printed
    constants are used. A lazy frame of polars is sized when it is collected. One call on a million
    rows runs on arrays; see `docs/inventories.md`.

    Raises:
        InputFaults: for columns that can't be used. A bad row raises nothing: its `status` is
            `error` and its `message` says why.
    """
    from linerdesign.tasks.batch.frames import size_frame

    return size_frame(rows, project, system_of(units, project))
