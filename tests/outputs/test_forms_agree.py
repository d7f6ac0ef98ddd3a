"""Every number on one form stands on the others: text, JSON, PDF, workbook and page."""

import html
import io
import json
import re
from pathlib import Path

import pytest
from calculator import calculate

from linerdesign.cli.main import main
from linerdesign.design.sizing import design
from linerdesign.equations.printing import positional
from linerdesign.outputs.sheet import remarks
from linerdesign.project.assembly import tasks
from linerdesign.project.reading import read

ROOT = Path(__file__).parents[2] / "worked_examples"
SUFFIXES = (".txt", ".json", ".pdf", ".xlsx", ".html")


@pytest.fixture(scope="module", params=["published_48_inch", "culvert_si", "force_main"])
def forms(request, tmp_path_factory):
    """The five forms of one worked example, each as text, and the steps of its JSON."""
    folder = tmp_path_factory.mktemp(request.param)
    targets = [word for s in SUFFIXES for word in ("-o", str(folder / f"sheet{s}"))]
    assert main(["size", str(ROOT / request.param / "project.toml"), *targets]) == 0
    data = json.loads((folder / "sheet.json").read_text())
    return {
        "name": request.param,
        "data": data,
        "text": (folder / "sheet.txt").read_text(),
        "pdf": _pdf(folder / "sheet.pdf"),
        "workbook": _workbook(folder / "sheet.xlsx"),
        "page": html.unescape((folder / "sheet.html").read_text()),
    }


def _pdf(path):
    import pypdf

    pages = pypdf.PdfReader(io.BytesIO(path.read_bytes())).pages
    # Typst sets a thin space around signs; numbers themselves come out whole.
    return "\n".join(page.extract_text() for page in pages)


def _workbook(path):
    import openpyxl

    book = openpyxl.load_workbook(path, data_only=True)
    cells = (cell.value for sheet in book for row in sheet.iter_rows() for cell in row)
    return [float(value) for value in cells if isinstance(value, int | float)]


def _steps(forms):
    return [step for pipe in forms["data"]["pipes"] for step in pipe["steps"]]


def test_every_step_stands_on_every_form(forms):
    numbers_of_page = {
        float(value)
        for value in re.findall(r'(?:data-value|value)="(-?[\d.]+(?:e[-+]?\d+)?)"', forms["page"])
    }
    for step in _steps(forms):
        printed = positional(step["value"])
        assert printed in forms["text"], step
        assert printed in forms["pdf"], step
        assert any(one == pytest.approx(step["value"], rel=1e-12) for one in numbers_of_page), step
        assert any(one == pytest.approx(step["value"], rel=1e-12) for one in forms["workbook"]), (
            step
        )


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
    """The lines of numbers in the text are those of the JSON, and give its values."""
    lines = {step["substituted"] for step in _steps(forms) if step["substituted"]}
    joined = re.sub(r"\s+", " ", forms["text"])
    for line in lines:
        assert line in joined
        assert calculate(line) is not None


def test_every_remark_stands_on_text_and_page(forms):
    """Which equation rules, cautions, defaults, values not measured: on one form, on the other."""
    project = read(ROOT / forms["name"] / "project.toml")
    text, page = (re.sub(r"\s+", " ", forms[form]) for form in ("text", "page"))
    for task in tasks(project):
        for title, items in remarks(design(task)).items():
            assert title in text
            assert title in page
            for item in items:
                assert item in page
