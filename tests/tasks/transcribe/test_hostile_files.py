"""Files that mean no good, or hold no text: one clear fault each, no traceback, nothing written."""

import io
import sys
import zipfile
import zlib

import docx
import openpyxl
import pytest
import typst
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter

from linerdesign.project.faults import InputFaults
from linerdesign.tasks.transcribe.document import LONGEST
from linerdesign.tasks.transcribe.opening import open_document
from linerdesign.tasks.transcribe.reader import read_document
from linerdesign.words import template


def _workbook():
    book = openpyxl.Workbook()
    book.active.append(["Cover", "10 ft"])
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def _document():
    document = docx.Document()
    document.add_paragraph("Cover: 10 ft")
    data = io.BytesIO()
    document.save(data)
    return data.getvalue()


def _with(data, name, content, encrypted=False):
    """The archive with one more part."""
    made = io.BytesIO(data)
    with zipfile.ZipFile(made, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, content)
    return made.getvalue()


def _pdf(source="Cover: 10 ft"):
    return typst.compile(source.encode())


def _locked_pdf():
    writer = PdfWriter(PdfReader(io.BytesIO(_pdf())))
    writer.encrypt("secret", algorithm="RC4-128")
    data = io.BytesIO()
    writer.write(data)
    return data.getvalue()


def _bomb_pdf():
    """A stream of 100 MB of zeros, packed twice."""
    packed = zlib.compress(zlib.compress(b"\0" * 100_000_000, 9), 9)
    return b"%%PDF-1.4\n1 0 obj <</Length %d>>\nstream\n" % len(packed) + packed + b"\nendstream"


ENTITIES = '<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "bb">]><a>&b;</a>'
EXTERNAL = (
    '<Relationships><Relationship Id="r1" Type="http://x/oleObject" Target="file:///etc/passwd" '
    'TargetMode="External"/></Relationships>'
)
HOSTILE = {
    "a.xlsm": (lambda: _workbook(), "macros"),
    "macros.xlsx": (lambda: _with(_workbook(), "xl/vbaProject.bin", b"x"), "macros"),
    "macros.docx": (lambda: _with(_document(), "word/vbaProject.bin", b"x"), "macros"),
    "links.xlsx": (
        lambda: _with(_workbook(), "xl/externalLinks/externalLink1.xml", "<a/>"),
        "links",
    ),
    "links.docx": (lambda: _with(_document(), "word/_rels/extra.xml.rels", EXTERNAL), "links"),
    "entities.xlsx": (lambda: _with(_workbook(), "xl/extra.xml", ENTITIES), "entities"),
    "bomb.xlsx": (lambda: _with(_workbook(), "xl/big.xml", b"\0" * 140_000_000), "bomb"),
    "bomb.docx": (lambda: _with(_document(), "word/big.xml", b"\0" * 140_000_000), "bomb"),
    "bomb.pdf": (_bomb_pdf, "bomb"),
    "locked.xlsx": (lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "encrypted_or_old"),
    "locked.pdf": (_locked_pdf, "encrypted"),
    "scan.pdf": (lambda: _pdf("#rect(width: 5cm, height: 5cm)"), "without_text"),
    "broken.pdf": (lambda: b"%PDF-1.7 nothing", "damaged"),
    "broken.xlsx": (lambda: b"PK\x03\x04 nothing", "damaged"),
    "other.docx": (lambda: _workbook(), "damaged"),
    "old.xls": (lambda: b"", "old_form"),
    "what.exe": (lambda: b"MZ", "form"),
    "binary.txt": (lambda: b"a\0b", "not_text"),
    "empty.txt": (lambda: b"\n\n", "empty"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_has_one_clear_fault(tmp_path, name):
    make, why = HOSTILE[name]
    path = tmp_path / name
    path.write_bytes(make())
    with pytest.raises(InputFaults) as raised:
        open_document(path)
    (fault,) = raised.value.faults
    start = template(f"transcribe.refused_{why}").split("{")[0]
    assert start in str(fault)
    assert name in str(fault)


def test_a_sheet_that_claims_to_be_endless_is_read_as_far_as_it_goes(tmp_path):
    book = openpyxl.Workbook()
    book.active["A1"], book.active["B1"] = "Cover", "10 ft"
    book.active["XFD100000"] = 7
    book.save(tmp_path / "wide.xlsx")
    source, _ = open_document(tmp_path / "wide.xlsx")
    (found,) = read_document(source).found
    assert (found.key, found.value, found.at) == ("cover", "10 ft", "Sheet!B1")


def test_what_is_not_read_is_listed(tmp_path):
    book = openpyxl.Workbook()
    book.active["A1"], book.active["B1"] = "Cover", "=10*1"
    book.save(tmp_path / "formula.xlsx")
    source, _ = open_document(tmp_path / "formula.xlsx")
    (missed,) = read_document(source).not_understood
    assert (missed.text, missed.at) == ("formula without a stored value", "Sheet!B1")


def test_insertions_text_boxes_and_footers_of_a_word_file_are_read(tmp_path):
    from docx.oxml import parse_xml
    from docx.oxml.ns import nsdecls

    document = docx.Document()
    paragraph = document.add_paragraph("Cover: ")
    paragraph._p.append(parse_xml(f"<w:ins {nsdecls('w')}><w:r><w:t>10 ft</w:t></w:r></w:ins>"))
    gone = f"<w:del {nsdecls('w')}><w:r><w:delText>11 ft</w:delText></w:r></w:del>"
    paragraph._p.append(parse_xml(gone))
    document.sections[0].footer.paragraphs[0].text = "Ovality: 2 %"
    document.save(tmp_path / "a.docx")
    source, _ = open_document(tmp_path / "a.docx")
    found = {each.key: each.value for each in read_document(source).found}
    assert found == {"cover": "10 ft", "ovality": "2 %"}


def test_a_library_that_is_missing_is_named_with_its_package(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "docx", None)
    (tmp_path / "a.docx").write_bytes(_document())
    with pytest.raises(InputFaults, match="pip install python-docx"):
        open_document(tmp_path / "a.docx")


ATOMS = st.sampled_from(
    ["Cover", "D", "=", "12", "in", "psi", "X1.3", "MH 4 to MH 5", ":", "|", "\n", "  ", "C", "/",
     "(", ")", "2 %", "1,200", "t", "E's", "above invert", "groundwater", ",", ";", "and", "½", "²",
     "−", "12'-6\"", "F1216-07b", "HS-20", "Pipe", "unit", "\t", "٣", "1e999", "9" * 40]
)  # fmt: skip


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(ATOMS, max_size=40))
def test_any_text_is_read_and_no_number_is_dropped(tmp_path, atoms):
    path = tmp_path / "a.txt"
    path.write_text(" ".join(atoms), encoding="utf-8")
    try:
        source, _ = open_document(path)
    except InputFaults:
        return
    transcript = read_document(source)
    said = " ".join(
        [f"{e.text} {e.value} {e.pipe}" for e in transcript.found]
        + [e.text for e in transcript.not_understood]
    )
    for atom in atoms:
        for number in "".join(c if c.isascii() and c.isdigit() else " " for c in atom).split():
            assert number in said


@pytest.mark.parametrize("line", ["1 " * 20_000, "1," * 20_000, "MH 1 - " * 5000, "(" * 20_000])
def test_a_line_without_end_is_read_in_pieces(tmp_path, line):
    path = tmp_path / "long.txt"
    path.write_text(line, encoding="utf-8")
    source, _ = open_document(path)
    longest = max(len(cell.text) for each in source.lines for cell in each.cells)
    assert longest <= LONGEST
    assert sum(each.sure for each in read_document(source).found if each.key != "name") == 0


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("cr.csv", "Diameter,8 in\rOvality,2 %\r"),
        ("mixed.tsv", "Diameter\t8 in\r\nOvality\t2 %\r"),
        ("wide.csv", "Diameter,8 in\nOvality,2 %\nnote," + "x" * 200_000 + "\n"),
    ],
)
def test_tables_with_any_line_ends_and_long_cells(tmp_path, name, text):
    """Each ended in an internal error of the reader of tables."""
    path = tmp_path / name
    path.write_bytes(text.encode())
    source, _ = open_document(path)
    lines = [[(cell.text, cell.at) for cell in line.cells] for line in source.lines]
    assert lines[:2] == [
        [("Diameter", "line 1"), ("8 in", "line 1")],
        [("Ovality", "line 2"), ("2 %", "line 2")],
    ]
