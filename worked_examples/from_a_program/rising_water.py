"""Which streets need thicker liners if the groundwater rises by three feet?

    python worked_examples/from_a_program/rising_water.py

Sizes the inventory of the invented town twice as a data frame, and goes on with the frame.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import polars as pl

import linerdesign

TOWN = Path(__file__).parents[1] / "harrowmere_network"
DEPTH, NOMINAL = "groundwater_below_surface [ft]", "nominal_thickness [mm]"
RISE = 3.0
PLAIN = {
    "tbl_rows": -1,
    "tbl_hide_dataframe_shape": True,
    "tbl_hide_column_data_types": True,
    "tbl_formatting": "ASCII_MARKDOWN",
}


def by_street() -> pl.DataFrame:
    """Pipes with a thickness now and after the rise, and how many need a thicker one, by street."""
    project = linerdesign.read(TOWN / "project.toml", needs_pipes=False)
    pipes = pl.read_csv(TOWN / "inventory.csv", infer_schema=False)
    number = pl.col(DEPTH).cast(pl.Float64, strict=False)
    # A cell that is no number stays as it is, and its row is reported as before.
    higher = pipes.with_columns(
        pl.coalesce((number - RISE).clip(0).cast(pl.String), pl.col(DEPTH)).alias(DEPTH)
    )
    now = linerdesign.size_rows(pipes, project)
    then = linerdesign.size_rows(higher, project).get_column(NOMINAL)
    return (
        now.with_columns(then=then)
        .drop_nulls([NOMINAL, "then"])
        .group_by("street")
        .agg(
            pipes=pl.len(),
            thicker=(pl.col("then") > pl.col(NOMINAL)).sum(),
            mean_now=pl.col(NOMINAL).mean().round(2),
            mean_then=pl.col("then").mean().round(2),
        )
        .sort("street")
    )


def thinnest_walls() -> pl.DataFrame:
    """The wall that X1.1 asks for in an 8 in pipe, by ovality and water: equations on arrays."""
    water, ovality = np.array([4.0, 8.0, 16.0]), np.array([0.0, 2.0, 5.0, 10.0])
    reduction = linerdesign.equation("C")(q=ovality)
    pressure = linerdesign.equation("P")(h_invert=water)
    long_term = linerdesign.equation("EL")(E=250_000.0, r_E=50.0)
    inches = linerdesign.equation("X1.1 for t")(
        D=8.0, K=7.0, E_L=long_term, C=reduction, nu=0.3, N=2.0, P=pressure[:, np.newaxis]
    )
    columns = {f"{q:g} % oval": column for q, column in zip(ovality, inches.T, strict=True)}
    return pl.DataFrame({"water, ft": water} | {k: v.round(3) for k, v in columns.items()})


if __name__ == "__main__":
    with pl.Config(**PLAIN):
        print(f"Nominal thickness in mm, now and with {RISE:g} ft more water\n{by_street()}\n")
        print(f"Thickness by X1.1 in an 8 in pipe, in\n{thinnest_walls()}")
