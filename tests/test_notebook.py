"""The cells of the notebook, run in order as a notebook runs them."""

import ast
import json
import shutil
from pathlib import Path

import polars as pl
import pytest

for library in ("pandas", "pyogrio", "pyproj", "shapely"):
    pytest.importorskip(library)

EXAMPLES = Path(__file__).parents[1] / "worked_examples"
NOTEBOOK = EXAMPLES / "notebook" / "harrowmere.ipynb"
# Folders whose files the notebook reads.
READ = ("harrowmere_network", "mill_lane_sewers")


def _run(source, names):
    """The value of the last line of a cell, where that is an expression."""
    tree = ast.parse(source)
    last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
    exec(compile(tree, "cell", "exec"), names)
    if last is None:
        return None
    return eval(compile(ast.Expression(last.value), "cell", "eval"), names)


@pytest.fixture(scope="module")
def run_cells(tmp_path_factory):
    """The names that the notebook defines, and what its cells show."""
    folder = tmp_path_factory.mktemp("examples")
    for name in READ:
        shutil.copytree(EXAMPLES / name, folder / name)
    (folder / "notebook").mkdir()
    names, shown = {}, []
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder / "notebook")
        for cell in json.loads(NOTEBOOK.read_text(encoding="utf-8"))["cells"]:
            if cell["cell_type"] == "code":
                shown.append(_run("".join(cell["source"]), names))
        yield names, [each for each in shown if each is not None], folder / "notebook"


def test_it_is_a_notebook_without_stored_output():
    notebook = json.loads(NOTEBOOK.read_text(encoding="utf-8"))
    assert notebook["nbformat"] == 4
    cells = notebook["cells"]
    assert len({cell["id"] for cell in cells}) == len(cells)
    assert all(not cell.get("outputs") for cell in cells)


def test_every_cell_runs_and_its_results_show_themselves(run_cells):
    _, shown, _ = run_cells
    kinds = [type(each).__name__ for each in shown]
    assert kinds.count("DataFrame") == 3
    assert {"Project", "Inventory", "PlanningTables", "str"} <= {*kinds}
    inventory = next(each for each in shown if type(each).__name__ == "Inventory")
    assert "data:image/svg+xml" in inventory._repr_html_()


def test_frames_and_files_agree(run_cells):
    """Rows by polars, by pandas and in the GeoPackage have one wall each."""
    import pyogrio

    names, _, folder = run_cells
    column = "nominal_thickness [mm]"
    walls = names["sized"][column].to_list()
    assert pl.Series(names["frame"][column].to_numpy(), nan_to_null=True).to_list() == walls
    meta, _, shapes, data = pyogrio.raw.read(folder / "sized.gpkg")
    of_file = dict(zip(meta["fields"], data, strict=True))[column]
    assert pl.Series(of_file, nan_to_null=True).to_list() == walls
    assert len(shapes) == len(walls)
    assert names["by_street"].to_numpy().sum() == sum(wall is not None for wall in walls)
    # Water only ever thickens a wall.
    assert 0 < names["thicker"] < len(walls)
    assert "Map of the pipes" in (folder / "summary.html").read_text(encoding="utf-8")
