"""Many pipes from a program: frames of every kind, inventories and planning tables."""

import datetime
import io
import json
import tomllib
from html.parser import HTMLParser
from pathlib import Path

import polars as pl
import pytest
from projects import toml

import linerdesign

pd = pytest.importorskip("pandas")

EXAMPLES = Path(__file__).parents[1] / "worked_examples"
TOWN = EXAMPLES / "harrowmere_network"
ADDED = ["required_thickness [mm]", "nominal_thickness [mm]", "governing", "status", "message"]


@pytest.fixture(scope="module")
def project():
    return linerdesign.read(TOWN / "project.toml", needs_pipes=False)


@pytest.fixture(scope="module")
def rows():
    """The town's inventory as text, with what is wrong in it."""
    return pl.read_csv(TOWN / "inventory.csv", infer_schema=False).head(300)


@pytest.fixture(scope="module")
def sized(rows, project):
    return linerdesign.size_rows(rows, project)


def test_a_lazy_frame_is_sized_when_it_is_collected(rows, project, sized):
    lazy = linerdesign.size_rows(rows.lazy(), project)
    assert isinstance(lazy, pl.LazyFrame)
    assert lazy.collect().equals(sized)
    # Only some rows, by a condition on a column that is added.
    some = lazy.filter(pl.col("status") == "error").select("message").collect()
    assert some.equals(sized.filter(pl.col("status") == "error").select("message"))


def test_a_lazy_frame_with_bad_columns_is_refused_at_once(project):
    with pytest.raises(linerdesign.InputFaults, match="host_diameter"):
        linerdesign.size_rows(pl.LazyFrame({"host_diameter": [8.0]}), project)


@pytest.mark.parametrize("text", ["str", "object", "string"])
def test_a_frame_of_pandas_gives_the_same_numbers(rows, project, sized, text):
    frame = pd.read_csv(io.StringIO(rows.write_csv()), dtype=text, keep_default_na=True)
    frame.index = [f"row {n}" for n in range(len(frame))]
    frame["asked"] = datetime.date(2026, 11, 28)
    frame["shape"] = [[n] for n in range(len(frame))]
    found = linerdesign.size_rows(frame, project)
    assert isinstance(found, pd.DataFrame)
    assert list(found.columns) == [*frame.columns, *ADDED]
    assert found.index.equals(frame.index)
    assert found[frame.columns].equals(frame)
    for column in ADDED:
        expected = sized[column].to_list()
        values = [None if pd.isna(each) else each for each in found[column]]
        assert values == expected


def test_numbers_categories_and_mixed_cells_of_pandas():
    project = linerdesign.read(tomllib.loads(toml()))
    frame = pd.DataFrame(
        {
            "condition": pd.Categorical(["partially deteriorated"] * 4),
            "host_diameter [in]": pd.array([8, 10, None, 12], dtype="Int64"),
            "ovality [%]": [2.0, float("nan"), 2.0, 3.0],
            "groundwater_above_invert [ft]": [10, "10", 10.0, "deep"],
        }
    )
    found = linerdesign.size_rows(frame, project)
    assert found["status"].tolist() == ["sized", "error", "error", "error"]
    assert "ovality" in found["message"][1]
    assert "deep" in found["message"][3]
    alone = pl.DataFrame(
        {
            "condition": ["partially deteriorated"],
            "host_diameter [in]": [8],
            "ovality [%]": [2.0],
            "groundwater_above_invert [ft]": [10],
        }
    )
    one = linerdesign.size_rows(alone, project)
    assert found[ADDED[0]][0] == one[ADDED[0]][0]


@pytest.mark.parametrize("rows", [{"name": ["a"]}, [1], None, pd.DataFrame({1: [2]})])
def test_what_is_no_frame_is_a_fault(rows, project):
    with pytest.raises(linerdesign.InputFaults):
        linerdesign.size_rows(rows, project)


def test_partitions_of_a_frame_engine_give_the_same(rows, project, sized):
    """Each partition by itself, as a distributed frame hands them out."""
    parts = [linerdesign.size_rows(part, project) for part in rows.iter_slices(37)]
    assert pl.concat(parts).equals(sized)


def test_an_inventory_from_file_to_file_is_that_of_the_command(run, tmp_path, project):
    words = ("batch", TOWN / "inventory.csv", "--project", TOWN / "project.toml")
    code, out, _ = run(*words, "-o", "by_command.csv", "--by", "street", "--json")
    found = linerdesign.batch(TOWN / "inventory.csv", "by_call.csv", project, by="street")
    assert json.loads(json.dumps(found.data)) == json.loads(out)
    assert found.holds == (code == 0)
    by_call, by_command = (tmp_path / f"{name}.csv" for name in ("by_call", "by_command"))
    assert by_call.read_bytes() == by_command.read_bytes()
    linerdesign.write(found, tmp_path / "summary.txt")
    assert "Harrowmere" in (tmp_path / "summary.txt").read_text(encoding="utf-8")
    with pytest.raises(linerdesign.InputFaults, match="exists"):
        linerdesign.batch(TOWN / "inventory.csv", by_call, project)
    with pytest.raises(linerdesign.InputFaults):
        linerdesign.batch(by_call, by_call, project, force=True)
    with pytest.raises(linerdesign.InputFaults, match="csv"):
        linerdesign.batch(by_call, tmp_path / "out.pdf", project)
    assert by_call.read_bytes() == by_command.read_bytes()


def test_planning_tables_are_those_of_the_command(run, tmp_path):
    file = EXAMPLES / "mill_lane_sewers" / "project.toml"
    axes = {"diameters": ["8 in", "12 in"], "covers": "10 ft", "waters": ["5 ft", "10 ft"]}
    words = ("--diameter", "8 in", "12 in", "--cover", "10 ft", "--water", "5 ft", "10 ft")
    code, out, _ = run("plan", file, *words, "-o", "by_command.csv", "-o", "c.xlsx", "--json")
    found = linerdesign.plan(linerdesign.read(file), **axes)
    assert json.loads(json.dumps(found.data)) == json.loads(out)
    assert found.holds == (code == 0)
    linerdesign.write(found, tmp_path / "by_call.csv", tmp_path / "p.xlsx", tmp_path / "p.txt")
    by_call = (tmp_path / "by_call.csv").read_bytes()
    assert by_call == (tmp_path / "by_command.csv").read_bytes()
    # The live workbook, with a sheet that computes.
    import openpyxl

    sheets = [openpyxl.load_workbook(tmp_path / name).sheetnames for name in ("p.xlsx", "c.xlsx")]
    assert sheets[0] == sheets[1]


def test_faults_of_planning_tables_come_at_once():
    project = linerdesign.read(EXAMPLES / "mill_lane_sewers" / "project.toml")
    with pytest.raises(linerdesign.InputFaults) as caught:
        linerdesign.plan(project, resins="tar", conditions="rusty", diameters="8", covers="1 kg")
    said = [str(fault) for fault in caught.value.faults]
    expected = ["resin", "condition", "diameter", "cover"]
    assert [text.split()[0].rstrip(":") for text in said] == expected


class _Text(HTMLParser):
    """The tags that are open and the text of a fragment."""

    def __init__(self, markup):
        super().__init__()
        self.open, self.text, self.rows = [], [], 0
        self.feed(markup)

    def handle_starttag(self, tag, attrs):
        assert not [name for name, _ in attrs if name.startswith("on")]
        assert tag != "script"
        self.rows += tag == "tr"
        if tag not in ("img", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text.append(data)


def results(folder):
    """A result of every task."""
    town = linerdesign.read(TOWN / "project.toml", needs_pipes=False)
    lane = linerdesign.read(EXAMPLES / "mill_lane_sewers" / "project.toml")
    quay = linerdesign.read(EXAMPLES / "review_quay_street" / "project.toml")
    yield linerdesign.size(lane), "pipes=5"
    yield linerdesign.review(quay), "pipes=6"
    yield linerdesign.compare(lane), "pipes=5"
    yield linerdesign.plan(lane, diameters="8 in"), "cells=16"
    yield linerdesign.batch(TOWN / "inventory.csv", folder / "out.csv", town), "rows=500"
    yield linerdesign.size(lane).pipes[0], "MH 1 to MH 2"
    yield lane, "Mill Lane sewer renewal"


def test_results_are_short_in_a_console_and_tables_in_a_notebook(tmp_path):
    for result, expected in results(tmp_path):
        said = repr(result)
        assert said.startswith(type(result).__name__ + "(")
        assert expected in said
        assert len(said) < 250
        assert "\n" not in said
        if hasattr(result, "_repr_html_"):
            found = _Text(result._repr_html_())
            assert not found.open
            assert found.rows > 1
            assert result.document.title in found.text
            assert any("all tables, sources and cautions" in text for text in found.text)


def test_a_long_table_is_cut_in_a_notebook_and_hostile_names_stay_text():
    tables = tomllib.loads(toml())
    pipe = tables["pipe"][0]
    tables["pipe"] = [pipe | {"name": f"<script>{n}</script>"} for n in range(80)]
    found = _Text(linerdesign.size(linerdesign.read(tables))._repr_html_())
    assert found.rows == 1 + 60
    assert "20 more rows" in found.text
    assert "<script>7</script>" in found.text
