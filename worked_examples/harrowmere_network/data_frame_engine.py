"""Calls the array functions from a data-frame engine, piece by piece of a lazy query.

    python worked_examples/harrowmere_network/data_frame_engine.py

The function that is mapped takes a frame of some rows and returns one; it keeps nothing between
calls. Any engine that maps a function over partitions can call it in the same way, on one
machine or on many. `linerdesign batch` needs no engine and reads, checks and writes by itself.
"""

from __future__ import annotations

from pathlib import Path

import polars as pl

import linerdesign

HERE = Path(__file__).parent


def sized(rows: pl.DataFrame) -> pl.DataFrame:
    """The rows with thickness, governing equation, status and message beside them."""
    return linerdesign.size_rows(rows, linerdesign.read(HERE / "project.toml", needs_pipes=False))


def by_street(inventory: Path) -> pl.DataFrame:
    """Pipes and mean nominal thickness by street, from a lazy query over the inventory."""
    query = pl.scan_csv(inventory, infer_schema=False)
    schema = sized(query.head(0).collect()).schema
    return (
        query.map_batches(sized, schema=schema, streamable=True)
        .filter(pl.col("status") != "error")
        .group_by("street")
        .agg(
            pipes=pl.len(),
            mean_nominal_mm=pl.col("nominal_thickness [mm]").mean().round(3),
            thickest_mm=pl.col("nominal_thickness [mm]").max(),
        )
        .sort("street")
        .collect()
    )


if __name__ == "__main__":
    print(by_street(HERE / "inventory.csv"))
