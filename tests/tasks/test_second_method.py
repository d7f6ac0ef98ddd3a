"""A second design method beside the standard, and in its place only where the project says so.

The numbers of the ring itself are checked in tests/methods/ring; here, that they reach every form,
that nothing changes without them, and that another method could take their place.
"""

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import polars as pl
import pytest
from projects import toml

from linerdesign.interface import InputFaults, compare, read, review, size, size_rows
from linerdesign.methods import method, selection
from linerdesign.methods.f1216 import gravity
from linerdesign.methods.lines import line
from linerdesign.methods.method import Setting
from linerdesign.methods.origin import calculated
from linerdesign.methods.ring import equations as ring
from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.solving import solve
from linerdesign.methods.task import Input

E_STAR = 125_000 / (1 - 0.3**2)
ASKED = {"method": "encased ring"}


def project(tmp_path, asked=ASKED, stated=False, **pipe):
    """A partially deteriorated pipe 48 in wide under 12 ft of water, with a second method."""
    pipe = {"condition": "partially deteriorated", "ovality": "3 %", **pipe}
    if stated:
        pipe["stated"] = {"required_thickness": "20 mm"}
    text = toml(pipe=pipe)
    if asked:
        rows = "".join(f"{key} = {json.dumps(value)}\n" for key, value in asked.items())
        text = text.replace("[[resin]]", f"[criteria.second_method]\n{rows}[[resin]]", 1)
    file = tmp_path / "p.toml"
    file.write_text(text, encoding="utf-8")
    return file


def sized(file):
    return size(read(file), "US").pipes[0]


def test_the_standard_is_as_without_it(tmp_path):
    alone, beside = (sized(project(tmp_path, asked)) for asked in (None, ASKED))
    assert alone.second is None
    assert replace(beside, second=None, task=alone.task) == alone
    assert beside.required_thickness == alone.required_thickness


def test_the_wall_found_carries_twice_the_pressure_by_either_limit(tmp_path):
    """P is 0.433 psi/ft times 12 ft, N 2: solved anew from no pressure."""
    wall = sized(project(tmp_path)).second.result.required_thickness
    found = solve(Case(48 / wall, 0.005, 0.03, 0.02))
    _, first = found.point_at_stress(2250 / E_STAR, 0)
    least = min(first, found.limit.pressure)
    assert least * E_STAR == pytest.approx(2 * 0.433 * 12, rel=1e-3)


def test_gap_and_bulge_are_the_projects(tmp_path):
    tight = sized(project(tmp_path, ASKED | {"gap": "0 %", "bulge": "0.1 %"})).second
    usual = sized(project(tmp_path)).second
    assert tight.result.required_thickness < usual.result.required_thickness
    sources = {name: origin for name, _, origin in sized(project(tmp_path)).task.second.settings}
    assert "German practice" in sources["gap"]
    stated = sized(project(tmp_path, ASKED | {"gap": "0.5 %"})).task.second.settings[0]
    assert "German" not in stated[-1]


def test_it_replaces_the_standard_only_where_the_project_says_so(tmp_path):
    own = sized(project(tmp_path))
    other = sized(project(tmp_path, ASKED | {"use": "replaces"}))
    assert other.required_thickness == own.second.result.required_thickness
    assert other.second.result.required_thickness == own.required_thickness
    assert own.required_thickness < other.required_thickness
    assert any("in place of the standard" in note.text for note in other.notes)


def test_a_fully_deteriorated_host_is_never_left_to_it(tmp_path):
    """The ring needs a host that carries the soil."""
    pipe = {"condition": "fully deteriorated"}
    for use in ("beside", "replaces"):
        result = sized(project(tmp_path, ASKED | {"use": use}, **pipe))
        assert "F1216" in method.method_of(result.basis).name
        assert "soil and live load" in result.second.left_out
    assert result.second.result is None


def test_every_form_shows_both(tmp_path, run):
    project(tmp_path)
    names = ("a.pdf", "a.html", "a.xlsx", "a.json", "a.txt")
    code, _, err = run("size", "p.toml", *(word for name in names for word in ("-o", name)))
    assert code == 0, err
    assert "Required thickness by two methods" in Path("a.html").read_text(encoding="utf-8")
    assert "encased ring" in Path("a.txt").read_text(encoding="utf-8")
    (pipe,) = json.loads(Path("a.json").read_text(encoding="utf-8"))["pipes"]
    found = pipe["second_method"]
    assert found["method"] == "encased ring"
    assert found["replaces_the_code_check"] is False
    assert {"DR_ring", "t_ring"} <= {step["symbol"] for step in found["steps"]}
    import openpyxl

    book = openpyxl.load_workbook("a.xlsx")
    cells = {str(cell.value) for sheet in book for row in sheet.rows for cell in row}
    assert any("encased ring" in cell for cell in cells)


def test_a_form_that_follows_inputs_is_refused_where_the_method_cannot(tmp_path, run):
    project(tmp_path, ASKED | {"use": "replaces"})
    code, _, err = run("size", "p.toml", "-o", "a.html")
    assert code == 2
    assert "the numerical model cannot" in err
    assert run("size", "p.toml", "-o", "a.pdf")[0] == 0


def test_review_and_comparison_show_it(tmp_path, run):
    file = project(tmp_path, stated=True)
    wall = sized(file).second.result.required_thickness
    (reviewed,) = review(read(file)).data["pipes"]
    assert reviewed["second_method"]["required_thickness"]["value"] == pytest.approx(wall)
    (pipe,) = compare(read(file)).data["pipes"]
    found = pipe["resins"][0]["second_method"]
    assert found["required_thickness"]["value"] == pytest.approx(wall)
    for command in ("review", "compare"):
        assert "Required thickness by two methods" in " ".join(run(command, "p.toml")[1].split())


def test_what_rests_on_the_standard_is_refused_where_the_method_replaces_it(tmp_path, run):
    project(tmp_path, ASKED | {"use": "replaces"}, stated=True)
    rows = "name,condition,host_diameter [in]\nTrunk,partially deteriorated,48\n"
    Path("pipes.csv").write_text(rows, encoding="utf-8")
    for command in (
        ("review", "p.toml"),
        ("compare", "p.toml"),
        ("plan", "p.toml"),
        ("batch", "pipes.csv", "--project", "p.toml", "-o", "sized.csv"),
        ("size", "p.toml", "--uncertainty", "usual"),
        ("accept", "p.toml"),
    ):
        code, out, err = run(*command)
        assert (code, out) == (2, ""), command
        assert "in place of the standard is for `size` only" in err, command
    with pytest.raises(InputFaults):
        size_rows(pl.DataFrame({"host_diameter [in]": [48.0]}), read("p.toml"))


def test_inventory_and_plan_say_that_they_leave_it_out(tmp_path, run):
    project(tmp_path)
    Path("pipes.csv").write_text(
        "name,condition,host_diameter [in],ovality [%],groundwater_above_invert [ft]\n"
        "Trunk,partially deteriorated,48,3,12\n",
        encoding="utf-8",
    )
    err = run("batch", "pipes.csv", "--project", "p.toml", "-o", "sized.csv")[2]
    assert "(encased ring) of the project is not applied to an inventory" in err
    out = run("plan", "p.toml", "--diameter", "48 in", "--water", "12 ft")[1]
    assert "(encased ring) of the project is not in these tables" in " ".join(out.split())


def test_the_second_opinion_takes_gap_and_bulge_of_the_second_method(tmp_path, run):
    """And says so where that method chose the wall: its wall is the one it asks for."""
    project(tmp_path, ASKED | {"use": "replaces", "gap": "0.2 %", "bulge": "1 %"})
    own = sized(Path("p.toml"))
    code, out, err = run("buckling", "p.toml")
    assert code == 0, err
    said = " ".join(out.split())
    assert "gap 0.2 %, bulge 1 %" in said
    assert "in place of that of the standard; the licensed engineer is responsible" in said
    assert "does not replace the check" not in said
    assert f"{25.4 * own.required_thickness:.2f} mm" in said
    assert "gap 0.4 %, bulge 1 %" in " ".join(
        run("buckling", "p.toml", "--gap", "0.4 %")[1].split()
    )


def test_every_fault_is_named(tmp_path, run):
    project(tmp_path, ASKED | {"gap": "9 %", "bulge": "0 %"})
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    assert "gap 9 %" in err
    assert "bulge 0 %" in err
    assert "gap 9 %" in run("compare", "p.toml")[2]
    project(tmp_path, {"method": "ring"})
    assert "encased ring" in run("size", "p.toml")[2]


def test_nothing_is_imported_without_it(tmp_path):
    file = project(tmp_path, None)
    code = (
        "import sys; from linerdesign.interface import read, size; "
        f"size(read({str(file)!r})).document; "
        "print([m for m in sys.modules if '.ring' in m or m.endswith('.second')])"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"


def test_any_method_of_the_type_can_stand_there(tmp_path, monkeypatch):
    """A method of one line, DR no more than its setting: it reaches size, review and comparison
    through the one type."""

    def taken_over(task, given):
        basis = replace(task.basis, method="flat")
        found = Input("DR_ring", 100 * given["gap"], calculated("a rule of thumb"))
        stations = tuple(replace(s, inputs=(*s.inputs, found)) for s in task.stations)
        return replace(task, basis=basis, stations=stations)

    flat = replace(
        method.method_in("ring"),
        name="flat rate",
        requirement=lambda basis: (line(ring.ring_thickness), line(selection.thickest("t_ring"))),
        verification=lambda basis: (line(gravity.dimension_ratio),),
        taken_over=taken_over,
        settings=lambda: {"gap": Setting(0.4, 0.1, 1.0, "second.named")},
    )
    for name in ("linerdesign.methods.flat", "linerdesign.methods.flat.method"):
        made = ModuleType(name)
        made.METHOD = flat
        monkeypatch.setitem(sys.modules, name, made)
    monkeypatch.setitem(method.SECOND_METHODS, "encased ring", "flat")
    result = sized(project(tmp_path))
    assert result.second.result.required_thickness == pytest.approx(48 / 40)
    assert result.second.result.governing == "ring"
    file = project(tmp_path, stated=True)
    wall = pytest.approx(48 / 40)
    for data in (review(read(file)).data, compare(read(file)).data):
        (pipe,) = data["pipes"]
        found = pipe.get("second_method") or pipe["resins"][0]["second_method"]
        assert found["required_thickness"]["value"] == wall


def test_only_the_commands_of_the_ring_name_it():
    """Project, documents and the other tasks know the type `Method` alone."""
    package = Path(method.__file__).parents[1]
    rooms = [package / room for room in ("project", "documents", "tasks", "interface.py")]
    files = [f for room in rooms for f in (room.rglob("*.py") if room.is_dir() else (room,))]
    naming = {f for f in files if "methods.ring" in f.read_text(encoding="utf-8")}
    assert {f.parent.name for f in naming} <= {"second_opinion", "any_host"}


def legs(file):
    """The same pipe with a second leg 60 in wide, under the tube of the first."""
    lines = 'leg = [{ at = "0 ft", length = "100 ft" }, '
    lines += '{ at = "100 ft", length = "100 ft", host_diameter = "60 in" }]\n'
    file.write_text(f"{file.read_text(encoding='utf-8')}\n{lines}", encoding="utf-8")
    return file


@pytest.mark.parametrize("use", ["beside", "replaces"])
def test_each_leg_has_its_own_thickness(tmp_path, run, use):
    """Under the same head above the invert a wall of the same DR is needed: 60/48 as thick."""
    file = legs(project(tmp_path, ASKED | {"use": use}, length="200 ft"))
    result = sized(file)
    ring = result.required_thickness if use == "replaces" else result.second.result
    wall = ring if use == "replaces" else ring.required_thickness
    out = run("size", "p.toml")[1]
    assert f"{25.4 * wall:.2f} " in out
    assert f"{25.4 * wall * 60 / 48:.2f} " in out
    assert ("Legs of the line by the encased ring" in out) is (use == "beside")


def test_what_is_calculated_beside_a_wall_is_of_the_wall_chosen(tmp_path):
    """Legs of a pipe that the second method sizes: the tube has its nominal thickness."""
    file = legs(project(tmp_path, ASKED | {"use": "replaces"}, length="200 ft"))
    found = size(read(file), "US")
    (pipe,) = found.data["pipes"]
    assert pipe["legs"][0]["delivered_thickness"]["value"] == pytest.approx(
        found.pipes[0].nominal_thickness
    )


def test_review_and_comparison_say_where_legs_are_by_the_standard_alone(tmp_path, run):
    legs(project(tmp_path, stated=True, length="200 ft"))
    said = [" ".join(run(command, "p.toml")[1].split()) for command in ("review", "compare")]
    assert "is for the pipe without its legs here" in said[0]
    assert "Legs, break-even points, properties exchanged and curves are by the standard" in said[1]
