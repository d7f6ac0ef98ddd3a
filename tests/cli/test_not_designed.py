"""A pipe that can't be designed is in the schedule of every form, beside those that can."""

import html
import json
import re

import openpyxl
import pypdf
import pytest
from projects import PIPE, toml

from linerdesign.interface import read, size
from linerdesign.project.faults import InputFaults

FORMS = (".txt", ".json", ".pdf", ".xlsx", ".html")
# A value, values that exclude each other, and a cover that no table reaches.
WRONG = {
    "no unit": {"host_diameter": "48"},
    "larger than the host": {"minimum_diameter": "50 in"},
    "outside the published table": {"cover": "21 ft", "soil_reaction_modulus": "SM, 90 %"},
}


def project(wrong, name="Branch", criteria=None):
    """Three pipes, the second of which has wrong values, and two stations."""
    second = PIPE | wrong | {"name": name}
    second |= {"station": [{"at": "0 ft"}, {"at": "90 ft"}]}
    if "minimum_diameter" in wrong:
        del second["ovality"]
    pipes = (PIPE, second, PIPE | {"name": "Outfall"})
    texts = (toml(each, drop=PIPE, criteria=criteria).partition("[[pipe]]") for each in pipes)
    (head, *first), *rest = texts
    return head + "".join("".join(each) for each in (first, *(each[1:] for each in rest)))


@pytest.fixture(params=WRONG)
def forms(request, run, tmp_path):
    """The reason, and the five forms of a project with one pipe that can't be designed."""
    (tmp_path / "p.toml").write_text(project(WRONG[request.param]), encoding="utf-8")
    targets = [word for form in FORMS for word in ("-o", f"x{form}")]
    code, _, err = run("size", "p.toml", *targets)
    assert code == 2
    assert request.param in err
    assert "nothing written" not in err
    return request.param, tmp_path


def test_it_is_in_every_form_with_its_reason(forms):
    why, folder = forms
    read_pdf = pypdf.PdfReader(folder / "x.pdf").pages
    book = openpyxl.load_workbook(folder / "x.xlsx", data_only=True)
    cells = [str(c.value) for sheet in book for row in sheet.iter_rows() for c in row]
    texts = {
        "text": (folder / "x.txt").read_text(encoding="utf-8"),
        "PDF": "\n".join(page.extract_text() for page in read_pdf),
        "workbook": " ".join(cells),
        "page": html.unescape((folder / "x.html").read_text(encoding="utf-8")),
    }
    for form, text in texts.items():
        joined = " ".join(text.split())
        assert "Pipes not designed" in joined, form
        assert "not designed" in joined.replace("Pipes not designed", ""), form
        assert why in joined, form


def test_every_form_has_the_order_of_the_file(forms):
    """Trunk, Branch, Outfall, the second of which is not designed."""
    _, folder = forms
    names = [pipe["name"] for pipe in json.loads((folder / "x.json").read_text())["pipes"]]
    sheet = openpyxl.load_workbook(folder / "x.xlsx", data_only=True)["Schedule"]
    book = [row[1].value for row in sheet.iter_rows() if row[1].value in names]
    markup = (folder / "x.html").read_text(encoding="utf-8")
    listed = re.findall(r'data-column="name">([^<]*)<', markup)
    text = (folder / "x.txt").read_text(encoding="utf-8")
    page = pypdf.PdfReader(folder / "x.pdf").pages[0].extract_text()
    lines = re.findall(rf"(?m)^ *[\d-] +({'|'.join(names)}) ", text)
    printed = re.findall(rf"(?m)^[\d-] ({'|'.join(names)}) ", page)
    assert names == ["Trunk", "Branch", "Outfall"]
    assert book[:3] == listed == lines[:3] == printed[:3] == names


def test_its_row_in_the_workbook_has_no_number(forms):
    _, folder = forms
    sheet = openpyxl.load_workbook(folder / "x.xlsx", data_only=True)["Schedule"]
    rows = {row[1].value: [c.value for c in row] for row in sheet.iter_rows() if row[1].value}
    assert "not designed" in rows["Branch"]
    assert not [each for each in rows["Branch"] if isinstance(each, int | float)]
    assert "sized" in rows["Trunk"]
    assert "sized" in rows["Outfall"]


def test_its_data_are_in_its_place_without_results(forms):
    why, folder = forms
    first, second, third = json.loads((folder / "x.json").read_text(encoding="utf-8"))["pipes"]
    assert (first["status"], second["status"], third["status"]) == (
        "sized",
        "not designed",
        "sized",
    )
    assert second["name"] == "Branch"
    assert second["condition"] == "fully deteriorated"
    assert [second[key] for key in ("governing", "required_thickness", "nominal_thickness")] == [
        None,
        None,
        None,
    ]
    assert (second["checks"], second["steps"]) == ([], [])
    assert any(why in each["text"] for each in second["faults"])
    assert third["required_thickness"] == first["required_thickness"]


def test_the_names_of_cells_count_it(forms):
    """`pipeN_...` is by the pipe's place in the file: two stations between first and third."""
    _, folder = forms
    page = (folder / "x.html").read_text(encoding="utf-8")
    assert set(re.findall(r'data-name="pipe(\d+)_host_diameter"', page)) == {"1", "4"}


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (project({}, criteria={"safety_factor": 0.0}), "safety_factor"),
        (project({"host_diameter": "48"}, criteria={"safty_factor": 2.0}), "safty_factor"),
        (project({"host_diameter": "48"}, name="Trunk"), "duplicate pipe name"),
        (toml({"host_diameter": "48"}), "no unit"),
    ],
)
def test_a_fault_of_the_whole_or_of_every_pipe_writes_nothing(run, tmp_path, text, why):
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    code, out, err = run("size", "p.toml", "-o", "x.txt")
    assert (code, out) == (2, "")
    assert why in err
    assert "nothing written" in err
    assert not (tmp_path / "x.txt").exists()


def test_a_pipe_not_wanted_hides_nothing_and_a_faulty_one_by_itself_is_refused(run, tmp_path):
    (tmp_path / "p.toml").write_text(project({"host_diameter": "48"}), encoding="utf-8")
    code, out, err = run("size", "p.toml", "--pipe", "Trunk")
    assert (code, err) == (0, "")
    assert "not designed" not in out
    code, out, err = run("size", "p.toml", "--pipe", "Branch")
    assert (code, out) == (2, "")
    assert "no unit" in err


def test_a_program_is_told_unless_it_asks_for_them_apart(tmp_path):
    path = tmp_path / "p.toml"
    path.write_text(project({"host_diameter": "48"}), encoding="utf-8")
    with pytest.raises(InputFaults):
        read(path)
    found = size(read(path, apart=True))
    assert [each.name for each in found.pipes] == ["Trunk", "Outfall"]
    assert [each.name for each in found.faulty] == ["Branch"]
    assert not found.holds


def test_the_quantities_of_a_bid_say_what_they_leave_out(run, tmp_path):
    wrong = {"host_diameter": "48", "length": "90 ft"}
    text = project(wrong).replace('name = "Trunk"', 'name = "Trunk"\nlength = "300 ft"')
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    code, out, _ = run("size", "p.toml", "-o", "bid.csv")
    assert code == 2
    assert "Not included, because not designed: Branch" in " ".join(out.split())
    assert "Branch" in (tmp_path / "bid.csv").read_text(encoding="utf-8")


# One of each stage at which a fault can come to light: reading, keys between each other, the order,
# the legs, the design itself.
FAULTY = {
    "unknown unit": {"host_diameter": "12 im"},
    "more than one atmosphere": {"vacuum": "15 psi"},
    "smaller than the host": {"maximum_diameter": "11 in"},
    "has no tensile strength": {"internal_pressure": "60 psi"},
    "no bore left in the host": {"design_thickness": "30 in"},
    "missing key length": {"order": {"extra_length": "1 ft"}},
    "missing key capacity.host_n": {"capacity": {"slope": "1 %"}},
    "past the end of the line": {"length": "9 ft", "lateral": [{"at": "31 ft"}]},
    "missing key bend_radius": {"leg": [{"length": "9 ft", "bend": "45 deg"}]},
    "more than half the diameter": {"leg": [{"bend": "9 deg", "bend_radius": "1 in"}]},
    "no bore left; must be under": {"tube_diameter": "1 in"},
    "is outside the published table": {"cover": "21 ft", "soil_reaction_modulus": "SM, 90 %"},
}


def test_the_faults_of_every_pipe_come_in_one_round_with_their_lines(run, tmp_path):
    text = project({"host_diameter": "48 in"}, name="Good")
    for number, wrong in enumerate(FAULTY.values()):
        pipe = PIPE | wrong | {"name": f"P{number}"}
        if "maximum_diameter" in wrong:
            del pipe["ovality"]
        text += "[[pipe]]" + toml(pipe, drop=PIPE).partition("[[pipe]]")[2]
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    code, out, err = run("size", "p.toml")
    assert code == 2
    assert "Outfall" in out
    told = err.splitlines()
    for number, why in enumerate(FAULTY):
        (line,) = (each for each in told if why in each)
        assert f'"P{number}"' in line
        named = int(re.search(r"line (\d+)\)", line)[1])
        starts = [n for n, each in enumerate(text.splitlines(), 1) if each == "[[pipe]]"]
        assert max(s for s in starts if s <= named) == starts[3 + number]
