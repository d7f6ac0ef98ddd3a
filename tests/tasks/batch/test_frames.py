"""Frames of pandas, cell by cell, and what of a frame is refused."""

import re
import sys

import numpy as np
import polars as pl
import pytest
from tasks.batch.test_agreement import PROJECT
from tasks.batch.test_pieces import GOOD

from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse
from linerdesign.tasks.batch import frames
from linerdesign.tasks.batch.frames import _converted, size_frame, used

pd = pytest.importorskip("pandas")

TOWN = parse(PROJECT.encode())


def test_columns_of_pandas_become_those_of_polars():
    """Numbers stay numbers, with nothing where there is none; numbers and words become text."""
    rows = pd.DataFrame(
        {
            "whole": np.array([1, 2], np.int16),
            "unsigned": np.array([1, 2], np.uint8),
            "real": np.array([1.5, np.nan]),
            "truth": [True, False],
            "maybe": pd.array([1, None], dtype="Int64"),
            "text": ["a", None],
            "mixed": [10, "deep"],
            "mixed nothing": ["deep", 1.5],
            "apart": [object(), object()],
        }
    )
    found = _converted(rows, set(rows.columns) - {"apart"})
    assert found.to_dict(as_series=False) == {
        "whole": [1, 2],
        "unsigned": [1, 2],
        "real": [1.5, None],
        "truth": [True, False],
        "maybe": [1, None],
        "text": ["a", None],
        "mixed": ["10", "deep"],
        "mixed nothing": ["deep", "1.5"],
    }
    assert found.schema["whole"] == pl.Int16
    assert found.schema["real"] == pl.Float64
    assert found.schema["mixed"] == pl.String
    gap = pd.DataFrame({"mixed": [None, "deep", 1.5]})
    assert _converted(gap, {"mixed"})["mixed"].to_list() == [None, "deep", "1.5"]


def test_a_frame_that_is_none_is_refused_by_its_kind(monkeypatch):
    told = "rows {}: not a data frame of polars or pandas; convert it to one"
    for rows, kind in (([1], "list"), ({"a": 1}, "dict"), (None, "NoneType")):
        with pytest.raises(InputFaults) as caught:
            size_frame(rows, TOWN, "US")
        assert str(caught.value) == told.format(f'"{kind}"')
    # A frame of pandas can't be there where the library is not loaded.
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(InputFaults, match="not a data frame"):
        size_frame([1], TOWN, "US")


def test_every_column_name_that_is_no_text_is_told():
    rows = pd.DataFrame([[1, 2, 3]], columns=["condition", 7, 2.5])
    with pytest.raises(InputFaults) as caught:
        size_frame(rows, TOWN, "US")
    assert [str(each) for each in caught.value.faults] == [
        f"rows {name}: column name that is not text; rename it" for name in ("7", "2.5")
    ]


def test_the_columns_of_keys_are_quantities_and_words():
    header = frames.read_header([*GOOD, "street", "length [ft]"], "rows", system="US")
    assert used(header) == {*GOOD, "length [ft]"}


@pytest.mark.parametrize("kind", ["polars", "pandas"])
def test_no_comma_of_a_frame_is_read(kind):
    """Nobody is told what it was taken for: 1,250 may be over a thousand, or just over one."""
    rows = [GOOD | {"cover [ft]": "10.5"}, GOOD | {"soil_reaction_modulus [psi]": "1,250"}]
    frame = pl.DataFrame(rows) if kind == "polars" else pd.DataFrame(rows)
    found = size_frame(frame, TOWN, "US")
    assert list(found["status"]) == ["sized", "error"]
    assert "ambiguous comma" in found["message"][1]


@pytest.mark.parametrize("make", [pl.DataFrame, pd.DataFrame])
@pytest.mark.parametrize(("system", "unit"), [("US", "in"), ("SI", "mm")])
def test_a_unit_that_is_missing_is_proposed_in_the_system_asked_for(make, system, unit):
    rows = make({"condition": ["x"], "host_diameter": [8]})
    with pytest.raises(InputFaults, match=re.escape(f'"host_diameter [{unit}]"')):
        size_frame(rows, TOWN, system)


def test_a_frame_is_sized_in_the_system_asked_for():
    """A modulus of 1000 psi is 6.89 MPa: whatever the system, the same pipe needs the same wall."""
    us, si = (size_frame(pl.DataFrame([GOOD]), TOWN, system) for system in ("US", "SI"))
    need = [each["required_thickness [mm]"][0] for each in (us, si)]
    assert need[0] == pytest.approx(need[1], rel=2e-3)
    assert need[0] != need[1]


def test_rows_given_lazily_are_sized_as_they_stream(monkeypatch):
    """Nothing but the columns is worked out before it is asked for, and then part by part."""
    heights, sized = [], frames._sized

    def counted(rows, project, system):
        heights.append(rows.height)
        return sized(rows, project, system)

    monkeypatch.setattr(frames, "_sized", counted)
    lazy = size_frame(pl.concat([pl.LazyFrame([GOOD] * 3)] * 4), TOWN, "US")
    assert lazy.collect_schema()["required_thickness [mm]"] == pl.Float64
    assert heights == [0]
    assert lazy.collect(engine="streaming")["status"].to_list() == ["sized"] * 12
    assert sum(heights) == 12
    assert max(heights) < 12
