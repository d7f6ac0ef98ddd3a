"""Every number on one form stands on the others: text, JSON, PDF, workbook and page."""

import html
import io
import json
import re
from pathlib import Path

import openpyxl
import pytest
from calculator import calculate
from pages import printed_plainly

from linerdesign.cli.main import main
from linerdesign.documents.sheet import remarks
from linerdesign.expressions.printing import positional
from linerdesign.methods.sizing import design
from linerdesign.project.assembly import tasks
from linerdesign.project.reading import read

ROOT = Path(__file__).parents[2] / "worked_examples"
SUFFIXES = (".txt", ".json", ".pdf", ".xlsx", ".html")


@pytest.fixture(scope="module", params=["published_48_inch", "culvert_si", "force_main"])
def forms(request, tmp_path_factory):
    """The five forms of one worked example, each as text, and the steps of its JSON."""
    folder = tmp_path_factory.mktemp(request.param)
    targets = [word for s in SUFFIXES for word in ("-o", str(folder / f"sheet{s}"))]
    assert main(["size", str(ROOT / request.param / "project.toml"), "--full", *targets]) == 0
    data = json.loads((folder / "sheet.json").read_text())
    cells = _cells(folder / "sheet.xlsx")
    return {
        "name": request.param,
        "data": data,
        "text": (folder / "sheet.txt").read_text(),
        "pdf": _pdf(folder / "sheet.pdf"),
        "workbook": [float(each) for each in cells if isinstance(each, int | float)],
        "workbook's words": "\n".join(each for each in cells if isinstance(each, str)),
        "page": html.unescape((folder / "sheet.html").read_text()),
    }


def _pdf(path):
    import pypdf

    pages = pypdf.PdfReader(io.BytesIO(path.read_bytes())).pages
    # Typst sets a thin space around signs; numbers themselves come out whole.
    return printed_plainly("\n".join(page.extract_text() for page in pages))


def _cells(path):
    book = openpyxl.load_workbook(path, data_only=True)
    return [cell.value for sheet in book for row in sheet.iter_rows() for cell in row]


def _steps(forms):
    return [step for pipe in forms["data"]["pipes"] for step in pipe["steps"]]


def test_every_step_stands_on_every_form(forms):
    numbers_of_page = {
        float(value)
        for value in re.findall(r'(?:data-value|value)="(-?[\d.]+(?:e[-+]?\d+)?)"', forms["page"])
    }
    for step in _steps(forms):
        printed = _on_paper(step)
        assert printed in forms["text"], step
        assert printed in forms["pdf"], step
        assert any(one == pytest.approx(step["value"], rel=1e-12) for one in numbers_of_page), step
        assert any(one == pytest.approx(step["value"], rel=1e-12) for one in forms["workbook"]), (
            step
        )


def _on_paper(step):
    """The number of a step on paper: a wall of whole tenths of a millimetre as it is ordered."""
    millimetres = round(step["value"] * 25.4, 9)
    ordered = step["unit"] == "in" and "thickness" in step["meaning"]
    if ordered and millimetres == round(millimetres, 1):
        return f"{positional(millimetres)} mm"
    return positional(step["value"])


def test_every_check_stands_on_every_form(forms):
    for pipe in forms["data"]["pipes"]:
        for check in pipe["checks"]:
            for part in ("demand", "capacity"):
                printed = positional(check[part]["value"], 5)
                for form in ("text", "pdf", "page"):
                    assert printed in forms[form], (form, check)
                value = pytest.approx(check[part]["value"], rel=1e-12)
                assert any(one == value for one in forms["workbook"]), check


def test_no_form_has_a_substituted_line_of_its_own(forms):
    """The lines of numbers in the text are those of the JSON, and give its values.

    Where the JSON has a wall in inches, the text has its millimetres over 25.4.
    """
    lines = {step["substituted"] for step in _steps(forms) if step["substituted"]}
    joined = re.sub(r"\s+", " ", forms["text"])
    number = r"([\d.]+)/25\.4"
    for pattern in (rf"\({number}\)", number):
        joined = re.sub(pattern, lambda found: positional(float(found[1]) / 25.4), joined)
    for line in lines:
        assert line in joined
        assert calculate(line) is not None


def test_every_remark_stands_on_text_page_and_workbook(forms):
    """Which equation rules, cautions, defaults, values not measured: on one form, on the other."""
    project = read(ROOT / forms["name"] / "project.toml")
    text, page = (re.sub(r"\s+", " ", forms[form]) for form in ("text", "page"))
    book = forms["workbook's words"].splitlines()
    for task in tasks(project):
        for title, items in remarks(design(task)).items():
            assert title in text
            assert title in page
            assert title in book
            for item in items:
                assert item in page
                assert item in book
    if forms["name"] == "force_main":
        assert {"Choice of equation", "Choice of equation, as issued"} <= set(book)


WORDED = """
[project]
title = "Quay Street"
[criteria]
minimum_thickness = "14 mm"
[[resin]]
name = "Felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
[[pipe]]
name = "A"
condition = "fully deteriorated"
host_diameter = "24 in"
ovality = "2 %"
cover = "8 ft"
groundwater_above_invert = "3 ft"
soil_unit_weight = "120 pcf"
soil_reaction_modulus = "silty sand, 90 % compaction"
live_load = "HL-93"
origin = { soil_reaction_modulus = "assumed", live_load = "plan" }
[[pipe]]
name = "B"
condition = "partially deteriorated"
host_diameter = "24 in"
ovality = "2 %"
groundwater_above_invert = "3 ft"
"""
SAID = (
    "plan, stated as HL-93",
    "assumed, stated as silty sand, 90 % compaction",
)


@pytest.fixture(scope="module")
def worded(tmp_path_factory):
    """The forms of a project with words in place of numbers, by suffix, and its JSON."""
    folder = tmp_path_factory.mktemp("worded")
    file = folder / "project.toml"
    file.write_text(WORDED)
    targets = [word for s in SUFFIXES for word in ("-o", str(folder / f"sheet{s}"))]
    assert main(["size", str(file), "--both-conditions", "--full", *targets]) == 0
    book = openpyxl.load_workbook(folder / "sheet.xlsx", data_only=True)
    cells = (str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row)
    forms = {
        ".txt": (folder / "sheet.txt").read_text(),
        ".pdf": _pdf(folder / "sheet.pdf"),
        ".html": re.sub("<[^>]*>", "", html.unescape((folder / "sheet.html").read_text())),
        ".xlsx": " ".join(cells),
    }
    return {s: re.sub(r"\s+", " ", text) for s, text in forms.items()}, json.loads(
        (folder / "sheet.json").read_text()
    )


def test_what_is_given_in_words_stands_on_every_form(worded):
    forms, data = worded
    for suffix, form in forms.items():
        for words in SAID:
            # Columns of the text and the PDF break between words.
            assert words in form or suffix in (".txt", ".pdf"), (suffix, words)
    for suffix in (".txt", ".pdf"):
        assert "(plan, stated as HL-93)" in forms[suffix]
        assert "see source" in forms[suffix]
    for suffix in (".html", ".xlsx"):
        assert "in place of HL-93; empty: by HL-93" in forms[suffix]
    found = {each["key"]: each for each in data["pipes"][0]["in_words"]}
    assert found["live_load"]["words"] == "HL-93"
    assert found["live_load"]["source"] == "plan, stated as HL-93"
    assert found["soil_reaction_modulus"]["words"] == "silty sand, 90 % compaction"
    assert all(isinstance(step["value"], float) for step in data["pipes"][0]["steps"])
    assert "in_words" not in data["pipes"][1]


def test_the_owners_minimum_is_named_where_it_decides(worded):
    forms, data = worded
    assert data["pipes"][0]["governing"]["equation"] == "X1.4"
    assert data["pipes"][0]["minimum_thickness_decides"] is True
    for suffix in (".txt", ".pdf", ".html"):
        assert re.search("X1.4; owner.s minimum governs", forms[suffix]), suffix


def test_what_the_other_condition_lacks_is_named(worded):
    """A fully deteriorated pipe needs what the contract of the project file says it needs."""
    forms, data = worded
    assert data["pipes"][1]["other_condition_missing"] == [
        "cover", "live_load", "soil_reaction_modulus", "soil_unit_weight",
    ]  # fmt: skip
    assert "other_condition" not in data["pipes"][1]
    assert "other_condition_missing" not in data["pipes"][0]
    words = "missing: cover, live_load, soil_reaction_modulus, soil_unit_weight"
    for suffix in (".txt", ".pdf", ".html"):
        assert words in forms[suffix], suffix
