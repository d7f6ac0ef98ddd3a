"""The PDF, opened by another library: its text, its pages, and what a project's text can't do."""

import io
import re
import subprocess
import sys
import unicodedata
from decimal import Decimal
from pathlib import Path

import pypdf
import pytest
from pages import LISTED, STATIONS, document, printed_plainly, results
from projects import PIPE, toml
from typst_reader import read

from linerdesign.documents import pdf
from linerdesign.documents.blocks import (
    CAUTIONS,
    Bullets,
    Document,
    Grid,
    Heading,
    Paragraph,
    Picture,
    Sheet,
)
from linerdesign.documents.json import pipe_data
from linerdesign.documents.pdf_blocks import Formulas, block_data
from linerdesign.documents.sheet import computed, inputs
from linerdesign.documents.working import working_grid
from linerdesign.methods.sizing import design, other_condition
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.assembly import tasks
from linerdesign.project.identity import FileRead, Identity
from linerdesign.project.models import ProjectInfo
from linerdesign.project.reading import parse
from linerdesign.words import sentence

GREEK = {"σ": "sigma", "ν": "nu", "ρ": "rho"}
HOSTILE = (
    "#let x = 1",
    "#panic()",
    "$x$",
    "*_[",
    "]] #sys.inputs",
    "<script>alert(1)</script>",
    "<label> @reference // comment /* more */ `raw` ~ -- ---",
    "=1+1",
    "\\u{41} \\ quote",
    "line one\nline two",
    "\u202eevil",
    "https://harrowmere.invalid/page",
)


def _opened(data):
    return pypdf.PdfReader(io.BytesIO(data))


def _plain(text):
    """Letters and signs without places: no spaces, italics as letters, Greek by name."""
    text = unicodedata.normalize("NFKC", printed_plainly(text))
    return re.sub(r"\s|\u2060|\u200b", "", "".join(GREEK.get(c, c) for c in text).replace("′", "'"))


def _in_print(text):
    """Words with arithmetic in them, as a page has it: E*I/D^3."""
    return _plain(text.replace("*", "·").replace("^", ""))


def _text(data):
    return _plain("".join(page.extract_text() for page in _opened(data).pages))


def _of(designs, blocks=(), **about):
    made = document(designs, blocks)
    return pdf.render(Document(**{**made.__dict__, **about}))


def _named(name):
    """The identity of a project file of that name."""
    file = FileRead("project", name, "0123456789abcdef" * 4)
    return Identity((file,), "9f3a-0001-0002-0003")


def _six_figures(value):
    text = f"{Decimal(value):.5e}"
    return f"{Decimal(text).normalize():f}"


def _in_figures(value, unit, meaning):
    """Six figures; a wall of whole tenths of a millimetre as it is ordered."""
    millimetres = round(value * 25.4, 9)
    ordered = unit == "in" and "thickness" in meaning and millimetres == round(millimetres, 1)
    return f"{_six_figures(millimetres)}mm" if ordered else _six_figures(value)


CASES = {
    "one place": toml(),
    "stations": toml(pipe=STATIONS, drop=("host_wall", "cover", "groundwater_above_invert")),
    "listed": toml(resin={"thicknesses": LISTED}),
    "earlier edition": toml(criteria={"edition": "F1216-07a", "x1_2_strength": "short-term"}),
    "no water": toml(pipe={"groundwater": "none"}, drop=("groundwater_above_invert",)),
    "given wall": toml(pipe={"design_thickness": "15 mm"}),
}


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("case", CASES)
def test_every_step_is_found_in_the_text(case, units):
    (made,) = results(CASES[case], units=units)
    text = _text(_of([made]))
    for given in pipe_data(made)["steps"]:
        symbol = re.sub("[_']", "", given["symbol"])
        assert symbol in text.replace("'", "") or symbol[0] + symbol[1:] in text, given["symbol"]
        assert _in_print(given["meaning"]) in text
        assert _in_figures(given["value"], given["unit"], given["meaning"]) in text, given
        if given["equation"]:
            assert _plain(f"({given['equation']})") in text
    assert len(computed(made)) + len(inputs(made)) == len(pipe_data(made)["steps"])


def test_the_page_goes_by_the_unit_system_or_as_asked():
    def size(data):
        box = _opened(data).pages[0].mediabox
        return round(float(box.width)), round(float(box.height))

    letter, a4 = (612, 792), (595, 842)  # 8.5 x 11 in; ISO 216: 210 x 297 mm
    assert size(_of(results(toml()))) == letter
    si = document(results(toml(), units="SI"))
    assert size(pdf.render(si)) == a4
    assert size(pdf.render(si, paper="us-letter")) == letter
    with pytest.raises(ValueError, match="foolscap"):
        pdf.render(si, paper="foolscap")


def test_cover_foot_and_contents():
    texts = {
        "title": "Mill Lane renewal",
        "number": "HW-7",
        "client": "Town of Harrowmere",
        "location": "Mill Lane",
        "prepared_by": "A. Engineer",
        "checked_by": "B. Checker",
        "date": "20 Nov 2026",
        "revision": "C",
    }
    info = ProjectInfo(**texts)
    data = _of(results(toml()), info=info, identity=_named("x.toml"))
    pages = _opened(data).pages
    first = pages[0].extract_text()
    for text in texts.values():
        assert text in first
    assert "Seal" in first
    assert "Contents" in first
    for number, page in enumerate(pages, 1):
        foot = _plain(page.extract_text())
        assert _plain(f"page {number} of {len(pages)}") in foot
        assert _plain("20 Nov 2026, revision C") in foot
        assert _plain("x.toml, fingerprint 9f3a-0001-0002-0003") in foot
        assert _plain(CAUTIONS[0].rstrip(".")) in foot
    assert all(_plain(caution) in _plain(first) for caution in CAUTIONS)


def _pieces(page):
    """Each piece of text of a page, with the size of its letters and its height over the edge."""
    pieces = []

    def seen(text, matrix, place, _font, size):
        height = matrix[1] * place[4] + matrix[3] * place[5] + matrix[5]
        if text.strip():
            pieces.append((_plain(text), size * abs(place[3] * matrix[3]), height))

    page.extract_text(visitor_text=seen)
    return pieces


def test_the_cautions_at_the_foot_can_be_read():
    """Letters of 8 points at least."""
    foot = _plain(sentence("documents.foot"))
    for page in _opened(_of(results(toml()))).pages:
        sizes = [size for text, size, _ in _pieces(page) if len(text) > 12 and text in foot]
        assert sizes
        assert min(sizes) == pytest.approx(8)


def test_a_heading_keeps_its_table_and_a_table_stays_whole():
    rows = tuple((f"row {n}", f"{n}.5") for n in range(14))
    grids = [Grid(("what", "much"), "<>", rows, caption=f"Table {n}.") for n in range(9)]
    designs = results(toml(), toml(pipe=STATIONS, drop=("cover", "groundwater_above_invert")))
    pages = [_plain(page.extract_text()) for page in _opened(_of(designs, grids)).pages]
    for grid in grids:
        (page,) = [text for text in pages if _plain(grid.caption) in text]
        titles = [_plain(each.caption) for each in grids if _plain(each.caption) in page]
        assert page.count("row13") == page.count("row0") == len(titles)
    for result, start in zip(designs, [p for p in pages if p.count("Inputs")], strict=True):
        assert all(_plain(step.meaning) in start for step in inputs(result))


def test_a_table_longer_than_a_page_is_there_in_full():
    """Few rows of many words, and many rows: whole they would run out of the page."""
    text = "word " * 900
    tall = Grid(("what", "said"), "<<", ((text, "end of one"), (text, "end of two")))
    many = Grid(("what",), "<", tuple((f"line {n}.",) for n in range(300)))
    pages = _opened(_of(results(toml()), (tall, many))).pages
    whole = _plain("".join(page.extract_text() for page in pages))
    assert whole.count("word") == 2 * 900
    assert all(f"line{n}." in whole for n in range(300))
    for page in pages:
        assert min(height for _, _, height in _pieces(page)) > 20


def test_a_long_heading_is_whole():
    title = "External pressure that the liner carries " * 5 + "(F1216-07b)"
    assert _plain(title) in _text(_of(results(toml()), (Heading(title, 2),)))


def test_every_kind_of_block_is_set():
    square = '<rect width="9" height="9"/>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="20" height="9">{square}</svg>'
    blocks = (
        Heading("Part of it", 2),
        Paragraph("Some running text."),
        Bullets(("first point", "second point")),
        Grid(("what", "much"), "<>", (("bread", "12.50"),), caption="A table"),
        Picture(svg, "A drawing", "a square"),
    )
    text = _text(_of(results(toml()), blocks))
    for words in (
        "Part of it",
        "Some running text.",
        "first point",
        "second point",
        "bread",
        "12.50",
        "A table",
        "A drawing",
    ):
        assert _plain(words) in text


def test_working_beside_a_design_is_set_as_mathematics():
    """Each formula reads back, by its numbers, to the value beside it; none is typed out."""
    (result,) = results(toml())
    steps = computed(result)
    grid = working_grid(steps, "US", "For the trunk")
    formulas = Formulas()
    rows = block_data(grid, formulas)["rows"]
    for row, step in zip(rows, steps, strict=True):
        if step.line.equation.kind == "equation":
            source, _ = formulas.data[row["formula"]]
            values = {SYMBOLS[key].symbol: value for key, value in step.values}
            _, _, right = source.partition(" = ")
            assert read(right, values) == pytest.approx(step.value, rel=5e-4), step.key
    made = document([result], [grid])
    alone = Document(**{**made.__dict__, "blocks": (grid,)})
    text = _text(pdf.render(alone))
    for step in steps:
        assert _in_print(step.meaning) in text
        assert _in_figures(step.value, step.unit, step.meaning) in text or step.value == 0
    assert "*" not in text


def test_a_document_of_nothing_but_words():
    made = Document("Notes", (Paragraph("Only words."),), ProjectInfo(title="T"), "SI")
    assert "Onlywords." in _text(pdf.render(made))


def test_remarks_and_the_other_condition_are_told():
    (task,) = tasks(parse(toml(pipe={"ovality": "12 %"}).encode(), "x.toml"))
    made = design(task)
    made = type(made)(**{**made.__dict__, "other_condition": design(other_condition(task))})
    text = _text(_of([made]))
    for note in made.notes:
        assert _plain(note.text) in text
    assert _plain("Values not measured") in text
    assert _plain("not a valid design") in text
    assert _plain("Flag: ovality over 10 %") in text
    assert _plain("If the host pipe were partially deteriorated") in text


@pytest.mark.parametrize("name", HOSTILE)
def test_text_of_a_project_stays_text(name):
    station = [{"at": name}, {"at": "other", "cover": "14 ft"}]
    resin = {"name": name, "evidence": name, "thicknesses": ["20 mm", "30 mm"]}
    (made,) = results(toml(pipe={"name": name, "station": station}, resin=resin))
    every = dict.fromkeys(("number", "client", "location", "date", "revision"), name)
    blocks = (Heading(name), Paragraph(name), Bullets((name,)), Grid((name,), "<", ((name,),)))
    data = _of(
        [made], blocks, info=ProjectInfo(title=name, **every), identity=_named(name), title=name
    )
    shown = name.replace("\n", "\\n").replace("\u202e", "\\u202e")
    assert _plain(shown) in _text(data)


def test_a_very_long_name_is_there_in_full():
    (made,) = results(toml(pipe={"name": "ѫ" * 10_000}))
    # On the sheet, over several pages with feet between; the schedule has its beginning.
    assert _text(_of([made])).count("ѫ") >= 10_000


@pytest.mark.parametrize("name", ["שלום", "مرحبا"])
def test_text_from_right_to_left_is_there(name):
    (made,) = results(toml(pipe={"name": name}))
    text = _text(_of([made]))
    # The library gives the letters in the order of the page, and Arabic ones joined.
    assert name in text or name[::-1] in text


def test_a_character_without_a_glyph_is_written_by_its_code(monkeypatch):
    from linerdesign.documents import fonts

    monkeypatch.setattr(fonts, "_without_any_glyph", lambda codes: codes)
    (made,) = results(toml(pipe={"name": "lift station 🚰"}))
    assert _plain("lift station [U+1F6B0]") in _text(_of([made]))


def test_characters_of_the_carried_fonts_need_no_other():
    from linerdesign.documents.fonts import fonts_for

    assert not fonts_for("Mühlgasse, Ωμέγα, Ж, שלום, مرحبا, ≤ ² ³ ✓").of_machine


def test_the_same_document_gives_the_same_bytes():
    code = (
        "import sys, hashlib; sys.path.insert(0, sys.argv[1]);"
        "from pages import document, results; from projects import toml;"
        "from linerdesign.documents.pdf import render;"
        "print(hashlib.sha256(render(document(results(toml())))).hexdigest())"
    )
    tests = str(Path(__file__).parents[1])
    made = [
        subprocess.run(
            [sys.executable, "-c", code, tests], capture_output=True, text=True, check=True
        ).stdout
        for _ in range(2)
    ]
    assert made[0] == made[1]
    assert len(made[0].strip()) == 64


def test_no_bar_where_standard_error_is_no_terminal(capfd):
    pdf.render(document(results(toml())))
    assert capfd.readouterr() == ("", "")


def test_many_sheets_go_without_tags(monkeypatch):
    monkeypatch.setattr(pdf, "SHEETS_OF_A_PART", 2)
    (made,) = results(toml())
    few = document([made])
    many = Document(**{**few.__dict__, "blocks": (Sheet(made, 1),) * (pdf.SHEETS_OF_A_PART + 1)})
    assert "/StructTreeRoot" in _opened(pdf.render(few)).trailer["/Root"]
    assert "/StructTreeRoot" not in _opened(pdf.render(many)).trailer["/Root"]


def test_pages_of_a_document_in_parts_are_numbered_through(monkeypatch):
    """The cover lists where each sheet begins; every page says which of how many it is."""
    monkeypatch.setattr(pdf, "SHEETS_OF_A_PART", 2)
    designs = results(*(toml(pipe={"name": f"Trunk {letter}"}) for letter in "ABCDE"))
    pages = _opened(pdf.render(document(designs))).pages
    texts = [_plain(page.extract_text()) for page in pages]
    for number, text in enumerate(texts, start=1):
        assert text.endswith(f"page{number}of{len(pages)}")
    for design_made in designs:
        (begins,) = [n for n, text in enumerate(texts, start=1) if _heads(design_made.name, text)]
        assert _plain(f"{design_made.name}{begins}") in texts[0]


def _heads(name, text):
    """Whether a sheet of that name begins on a page."""
    return f"{_plain(name)}Status" in text


def test_written_file_is_the_rendered_one(tmp_path):
    made = document(results(toml(pipe=PIPE)))
    pdf.write(made, tmp_path / "sheet.pdf")
    assert (tmp_path / "sheet.pdf").read_bytes() == pdf.render(made)


def test_a_table_read_both_ways_is_printed_as_the_rows_and_columns_read():
    """Its nine cases do not fit a column of a page: they were set in letters of two points."""
    ground = {"trench": "1000 psi", "native": "400 psi", "trench_width": "7 ft"}
    trench = toml({"soil_reaction_modulus": ground | {"combining_table": "2005"}})
    (found,) = results(trench)
    formulas = Formulas()
    sources = [formulas.of(step) for step in computed(found) if step.key == "S_c"]
    assert sources
    assert not [each for each in sources if "cases" in each]


def test_pictures_of_other_widths_follow_each_other():
    """Two to a row and one to a row are rows of their own: one grid refuses to hold both."""
    drawing = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="4"/>'
    pictures = [Picture(drawing, f"picture {n}", "", beside) for n, beside in enumerate((2, 1, 2))]
    made = pdf.render(Document("Pictures", tuple(pictures), ProjectInfo(title="x"), "US"))
    shown = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(made)).pages)
    assert [f"picture {n}" in shown for n in range(3)] == [True] * 3
