"""The lines and cells of workbooks and Word files, made by openpyxl and python-docx."""

import datetime
import io

import docx
import openpyxl
import pytest
from docx.opc.constants import RELATIONSHIP_TYPE
from docx.opc.packuri import PackURI
from docx.opc.part import Part
from docx.oxml import parse_xml
from docx.oxml.ns import nsdecls
from PIL import Image

from linerdesign.project.faults import InputFaults
from linerdesign.tasks.transcribe import word_text, workbook_text
from linerdesign.tasks.transcribe.word_text import word_source
from linerdesign.tasks.transcribe.workbook_text import workbook_source


def of_book(book, tmp_path):
    data = io.BytesIO()
    book.save(data)
    return workbook_source(tmp_path / "a.xlsx", data.getvalue())


def of_document(document, tmp_path):
    data = io.BytesIO()
    document.save(data)
    return word_source(tmp_path / "a.docx", data.getvalue())


def shown(source):
    """Table, part and cells of each line, each cell with its text, place and ends."""
    return [
        (line.table, line.part, [(c.text, c.at, c.left, c.right) for c in line.cells])
        for line in source.lines
    ]


@pytest.mark.parametrize(
    ("value", "form", "text"),
    [
        (10, "General", "10"),
        (0.1 + 0.2, "General", "0.3"),
        (0.00001, "General", "0.00001"),
        (0.000000002, "General", "0.000000002"),
        (1e-9, "General", "1e-09"),
        (1e-10, "General", "1e-10"),
        (12345678901, "0", "1.23456789e+10"),
        (0.025, "0.0%", "2.5 %"),
        (1 / 3, "0%", "33.33333333 %"),
        (2.5, '0.0" %"', "2.5 %"),
        (6, '0.0" mm"', "6 mm"),
        (6, '"t"0" mm "', "6 t  mm"),
        (-6, '0" mm";0" in"', "-6 mm"),
        (" Cover ", "General", "Cover"),
        (datetime.date(2026, 5, 1), "General", "2026-05-01T00:00:00"),
        (datetime.time(7, 30), "General", "07:30:00"),
        (True, "General", None),
        ("  ", "General", None),
    ],
)
def test_a_cell_of_a_workbook_reads_as_it_is_shown(tmp_path, value, form, text):
    book = openpyxl.Workbook()
    book.active["B2"] = value
    if not isinstance(value, datetime.date | datetime.time):
        book.active["B2"].number_format = form
    cells = [(text, "Sheet!B2", 2, 2.9)] if text else None
    assert [each[2] for each in shown(of_book(book, tmp_path))] == ([cells] if cells else [])


def test_an_empty_row_and_a_new_sheet_end_a_table(tmp_path):
    book = openpyxl.Workbook()
    for row in (["Cover", None, "10 ft"], ["Ovality", "2 %"], [], ["Soil"]):
        book.active.append(row)
    other = book.create_sheet("MH 2")
    other.append(["Pipe"])
    assert shown(of_book(book, tmp_path)) == [
        (1, "Sheet", [("Cover", "Sheet!A1", 1, 1.9), ("10 ft", "Sheet!C1", 3, 3.9)]),
        (1, "Sheet", [("Ovality", "Sheet!A2", 1, 1.9), ("2 %", "Sheet!B2", 2, 2.9)]),
        (2, "Sheet", [("Soil", "Sheet!A4", 1, 1.9)]),
        (3, "MH 2", [("Pipe", "MH 2!A1", 1, 1.9)]),
    ]


def test_only_formulas_without_a_stored_value_are_listed(tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["Cover", "=10*1", None, 5])
    book.active.append(["a = b", "=2"])
    missing = "formula without a stored value"
    assert of_book(book, tmp_path).unread == ((missing, "Sheet!B1"), (missing, "Sheet!B2"))


@pytest.mark.parametrize(("most", "rows"), [("MOST_CELLS", [["a", "b"], ["c"]]),
                                            ("MOST_ROWS", [["a"], [], ["b"]])])  # fmt: skip
def test_a_workbook_of_more_than_the_most_is_refused(tmp_path, monkeypatch, most, rows):
    """All cells of a workbook count, and the rows of each sheet."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    if most == "MOST_ROWS":
        book.create_sheet("More").append(["c"])
    monkeypatch.setattr(workbook_text, most, 3)
    assert len(of_book(book, tmp_path).lines) == (2 if most == "MOST_CELLS" else 3)
    monkeypatch.setattr(workbook_text, most, 2)
    with pytest.raises(InputFaults, match=r"a\.xlsx: too large"):
        of_book(book, tmp_path)


def test_what_no_memory_holds_is_too_large(tmp_path, monkeypatch):
    def full(*_):
        raise MemoryError

    monkeypatch.setattr(workbook_text, "_sheets", full)
    monkeypatch.setattr(word_text, "_numbered", full)
    for read, made in ((of_book, openpyxl.Workbook()), (of_document, docx.Document())):
        with pytest.raises(InputFaults, match=r"a\.\w+: too large"):
            read(made, tmp_path)


def test_paragraphs_and_tables_of_a_word_file_in_their_order(tmp_path):
    document = docx.Document()
    document.add_paragraph("Cover: 10 ft")
    document.add_paragraph("")
    document.add_paragraph("Ovality\t2 %\nSoil")
    table = document.add_table(rows=3, cols=3)
    for row, texts in zip(table.rows, (("Pipe", "D", "H"), ("", "", ""), ("A", "", "6")),
                          strict=True):  # fmt: skip
        for cell, text in zip(row.cells, texts, strict=True):
            cell.text = text
    table.cell(2, 0).merge(table.cell(2, 1))
    document.add_paragraph("End")
    document.add_table(rows=1, cols=1).cell(0, 0).text = "last"
    assert [(table, cells) for table, _, cells in shown(of_document(document, tmp_path))] == [
        (0, [("Cover: 10 ft", "line 1", 0, 12)]),
        (0, [("Ovality", "line 3", 0, 7), ("2 % ; Soil", "line 3", 8, 18)]),
        (1, [("Pipe", "line 4", 0, 0.9), ("D", "line 4", 1, 1.9), ("H", "line 4", 2, 2.9)]),
        (1, [("A", "line 6", 0, 1.9), ("6", "line 6", 2, 2.9)]),
        (0, [("End", "line 7", 0, 3)]),
        (2, [("last", "line 8", 0, 0.9)]),
    ]


def test_words_of_one_cell_stand_below_each_other(tmp_path):
    document = docx.Document()
    cell = document.add_table(rows=1, cols=1).cell(0, 0)
    cell.text = " Soil "
    cell.add_paragraph("")
    cell.add_paragraph("cover")
    ((_, _, cells),) = shown(of_document(document, tmp_path))
    assert cells == [("Soil\ncover", "line 1", 0, 0.9)]


NOTE = (
    '<w:{kind}s xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main">'
    "<w:{kind}><w:p><w:r><w:t>{text}</w:t></w:r></w:p></w:{kind}></w:{kind}s>"
)


def test_headers_footers_notes_and_boxes_are_read_once(tmp_path):
    """A box within a paragraph is a paragraph of its own; a formula is part of its paragraph."""
    document = docx.Document()
    section = document.sections[0]
    section.header.paragraphs[0].text = "head"
    section.footer.paragraphs[0].text = "foot"
    body = document.add_paragraph("body ")
    math = 'xmlns:m="http://schemas.openxmlformats.org/officeDocument/2006/math"'
    body._p.append(parse_xml(f"<m:oMath {math}><m:r><m:t>t = 6</m:t></m:r></m:oMath>"))
    body.add_run()._r.append(
        parse_xml(
            f"<w:txbxContent {nsdecls('w')}><w:p><w:r><w:t>box</w:t><w:tab/><w:t>a</w:t>"
            "<w:noBreakHyphen/><w:t>b</w:t><w:br/><w:t>c</w:t></w:r></w:p></w:txbxContent>"
        )
    )
    for kind in ("footnote", "endnote"):
        name = PackURI(f"/word/{kind}s.xml")
        blob = NOTE.format(kind=kind, text=kind).encode()
        part = Part(name, "application/xml", blob, document.part.package)
        document.part.relate_to(part, getattr(RELATIONSHIP_TYPE, f"{kind.upper()}S"))
    found = [[c[0] for c in cells] for _, _, cells in shown(of_document(document, tmp_path))]
    assert found[:2] == [["body t = 6"], ["box", "a-b ; c"]]
    assert sorted(found[2:]) == [["endnote"], ["foot"], ["footnote"], ["head"]]


def test_a_word_file_of_more_lines_than_the_most_is_refused(tmp_path, monkeypatch):
    document = docx.Document()
    for text in "abc":
        document.add_paragraph(text)
    monkeypatch.setattr(word_text, "MOST_LINES", 3)
    assert len(of_document(document, tmp_path).lines) == 3
    monkeypatch.setattr(word_text, "MOST_LINES", 2)
    with pytest.raises(InputFaults, match=r"a\.docx: too large"):
        of_document(document, tmp_path)


def test_pictures_of_a_word_file_are_listed(tmp_path):
    document = docx.Document()
    document.add_paragraph("Cover: 10 ft")
    assert of_document(document, tmp_path).unread == ()
    picture = io.BytesIO()
    Image.new("RGB", (1, 1)).save(picture, "PNG")
    document.add_picture(picture)
    unread = of_document(document, tmp_path).unread
    assert unread == (("pictures, not read", "end of the document"),)


class Sheet:
    """A sheet of these rows, as openpyxl gives it, and a book of it alone."""

    title = "A"

    def __init__(self, rows):
        self.rows, self.worksheets = rows, [self]

    def reset_dimensions(self):
        pass

    def iter_rows(self):
        return iter(self.rows)


class One:
    value, column, coordinate, number_format = "x", 1, "A1", "General"


@pytest.mark.parametrize(
    ("row", "most"), [([One()] * 1000, 100), ([], 200_000)], ids=["cells", "rows"]
)
def test_a_hundred_thousand_cells_and_two_hundred_thousand_rows_are_read(tmp_path, row, most):
    book = Sheet([row] * most)
    assert len(workbook_text._sheets(tmp_path, book, book).lines) == (most if row else 0)
    more = Sheet([*book.rows, row[:1]])
    with pytest.raises(InputFaults, match="too large"):
        workbook_text._sheets(tmp_path, more, more)


def test_a_damaged_file_is_named(tmp_path):
    for read, name in ((workbook_source, "a.xlsx"), (word_source, "a.docx")):
        with pytest.raises(InputFaults, match="damaged file") as found:
            read(tmp_path / name, b"PK nothing")
        assert str(found.value).startswith(str(tmp_path / name))
