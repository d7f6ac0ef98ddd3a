"""What is opened and what is refused, each limit at its border."""

import io
import zipfile

import openpyxl
import pytest

from linerdesign.project.faults import InputFaults
from linerdesign.tasks.transcribe import archive
from linerdesign.tasks.transcribe.archive import check_archive
from linerdesign.tasks.transcribe.opening import open_document


def packed(**parts):
    """An archive of these parts; `_` in a name is a stroke."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as made:
        for name, content in parts.items():
            made.writestr(name.replace("_", "/").replace("DOT", "."), content)
    return data.getvalue()


def refusal(tmp_path, data, name="a.xlsx"):
    with pytest.raises(InputFaults) as found:
        check_archive(tmp_path / name, data)
    (fault,) = found.value.faults
    return str(fault).removeprefix(f"{tmp_path / name}: ")


def test_an_archive_of_more_parts_than_five_thousand_is_not_opened(tmp_path):
    names = [f"part{number}" for number in range(5001)]
    assert check_archive(tmp_path / "a.xlsx", packed(**dict.fromkeys(names[1:], ""))) == ()
    assert "unpacks to far more" in refusal(tmp_path, packed(**dict.fromkeys(names, "")))


def test_all_parts_together_may_unpack_to_the_most_and_no_more(tmp_path, monkeypatch):
    assert archive.MOST_UNPACKED == 2**27
    monkeypatch.setattr(archive, "MOST_UNPACKED", 100)
    assert check_archive(tmp_path / "a.xlsx", packed(a="x" * 60, b="y" * 40)) == ()
    assert "unpacks to" in refusal(tmp_path, packed(a="x" * 60, b="y" * 41))


LINK = '<Relationship Target="x" Type="http://x/{}" TargetMode="{}"/>'


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("xl_activeX_a.bin", "", "macros"),
        ("xl_macrosheets_a.xml", "", "macros"),
        ("xl_externalLinks_a.bin", "", "refers to other files"),
        ("aDOTxml", "<a>" + " " * 5000 + "<!ENTITY b 'c'></a>", "XML entities"),
        ("aDOTrels", "<! doctype a>", "XML entities"),
        ("aDOTtxt", "<!ENTITY b 'c'>", None),
        ("_rels_aDOTrels", LINK.format("oleObject", "External"), "refers to other files"),
        ("_rels_aDOTRELS", LINK.format("oleObject", "External"), "refers to other files"),
        ("_rels_aDOTrels", LINK.format("hyperlink", "External"), None),
        ("_rels_aDOTrels", LINK.format("oleObject", "Internal"), None),
        ("aDOTxml", LINK.format("oleObject", "External"), None),
    ],
)
def test_what_an_archive_may_hold(tmp_path, name, content, why):
    """A link to a page of the web is none to a file; entities anywhere in a part are some."""
    data = packed(**{"first": "x", name: content})
    if why is None:
        assert check_archive(tmp_path / "a.xlsx", data) == ()
    else:
        assert why in refusal(tmp_path, data)


def test_a_locked_part_is_encrypted_and_a_torn_one_damaged(tmp_path):
    data = packed(a="content", b="more")
    at = data.index(b"PK\x01\x02")
    locked = data[: at + 8] + b"\x01" + data[at + 9 :]
    assert "encrypted file" in refusal(tmp_path, locked)
    assert "damaged" in refusal(tmp_path, data[:-10])
    assert "damaged" in refusal(tmp_path, packed(aDOTxml="content").replace(b"content", b"kontent"))
    assert "old binary format" in refusal(tmp_path, archive._OLD_OR_ENCRYPTED)


def test_embedded_files_are_listed_behind_what_was_not_read(tmp_path):
    book = openpyxl.Workbook()
    book.active["A1"] = "=1+1"
    path = tmp_path / "a.XLSX"
    book.save(path)
    with zipfile.ZipFile(path, "a") as made:
        made.writestr("xl/embeddings/Sheet.bin", "x")
    source, data = open_document(path)
    assert data == path.read_bytes()
    name = "xl/embeddings/sheet.bin"
    assert source.unread == (
        ("formula without a stored value", "Sheet!A1"), (f"embedded file {name}", name)
    )  # fmt: skip


@pytest.mark.parametrize(
    ("name", "size", "large"),
    [("a.pdf", 50_000_000, False), ("a.pdf", 50_000_001, True),
     ("a.txt", 1_000_000, False), ("a.txt", 1_000_001, True), ("a.csv", 1_000_001, True),
     ("a.xlsx", 50_000_000, False), ("a.xlsx", 50_000_001, True)],
)  # fmt: skip
def test_the_largest_files(tmp_path, name, size, large):
    """A million bytes of text, fifty million of any other form."""
    path = tmp_path / name
    if name.endswith((".pdf", ".xlsx")):
        with path.open("wb") as made:
            made.truncate(size)
    else:
        path.write_bytes(b"x" * size)
    if not large and name == "a.txt":
        assert open_document(path)[0].lines
        return
    with pytest.raises(InputFaults) as found:
        open_document(path)
    assert ("damaged" not in str(found.value)) is large


@pytest.mark.parametrize(
    ("name", "why"),
    [("a.xlsm", "macros"), ("a.DOTM", "macros"), ("a.xlsb", "macros"), ("a.rtf", "not supported"),
     ("a.ods", "not supported"), ("a.exe", "unknown type"), ("a", "unknown type")],
)  # fmt: skip
def test_forms_that_are_not_read(tmp_path, name, why):
    (tmp_path / name).write_bytes(b"x")
    with pytest.raises(InputFaults, match=why) as found:
        open_document(tmp_path / name)
    assert (".pdf .xlsx .docx .txt .md .csv .tsv" in str(found.value)) is (why == "unknown type")


@pytest.mark.parametrize(
    ("printed", "read"),
    [("\U0001d70e = 3", "σ = 3"), ("\uff12", "2"), ("x\u00b2\u00b3\u2074", "x²³⁴"), ("ﬁve", "ﬁve"),
     ("½ in", "½ in"), ("10\u202fft", "10\u202fft")],
)  # fmt: skip
def test_letters_of_formulas_are_as_usual_one_for_one(tmp_path, printed, read):
    path = tmp_path / "a.txt"
    path.write_text(printed, "utf-8")
    ((cell,),) = (line.cells for line in open_document(path)[0].lines)
    assert cell.text == read


@pytest.mark.parametrize(
    ("data", "read"),
    [
        ("Cover: 10 é".encode(), "Cover: 10 é"),
        ("Cover: 10 é".encode("utf-8-sig"), "Cover: 10 é"),
        ("Cover: 10 é".encode("utf-16"), "Cover: 10 é"),
        ("Cover: 10 é".encode("cp1252"), "Cover: 10 é"),
        # A letter cut in half, and a byte that is none of the code.
        ("Cover: 10 é".encode("utf-16") + b"a", "Cover: 10 é\ufffd"),
        (b"Cover: 10 \xe9\x81", "Cover: 10 é\ufffd"),
    ],
)
def test_texts_in_the_usual_codes_of_offices(tmp_path, data, read):
    path = tmp_path / "a.txt"
    path.write_bytes(data)
    ((cell,),) = (line.cells for line in open_document(path)[0].lines)
    assert cell.text == read
