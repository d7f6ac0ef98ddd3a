"""Single lines and small tables, their keys read off by hand."""

import openpyxl
import pytest

from linerdesign.project.stated import step_key
from linerdesign.tasks.transcribe.document import Source
from linerdesign.tasks.transcribe.keys import STEPS, keys_of, unit_of
from linerdesign.tasks.transcribe.labels import IDEAS, SYMBOLS_OF, ideas_of_symbol, rows
from linerdesign.tasks.transcribe.opening import open_document
from linerdesign.tasks.transcribe.plain_text import csv_lines, text_lines
from linerdesign.tasks.transcribe.reader import read_document
from linerdesign.words import template


def _read(text, lines=text_lines):
    return read_document(Source(tuple(lines(text))))


def _found(text, lines=text_lines):
    return [(each.pipe, each.key, each.value, each.sure) for each in _read(text, lines).found]


@pytest.mark.parametrize(
    ("text", "key", "value", "sure"),
    [
        # The dresses that the issue names
        ("t1 = 0.21 in", "stated.steps.t X1.1", "0.21 in", False),
        ("t_req = 5.12 mm", "stated.required_thickness", "5.12 mm", True),
        ("v = 0.3", "poisson_ratio", "0.3", False),
        ("nu = 0.3", "poisson_ratio", "0.3", True),
        ("µ = 0.3", "poisson_ratio", "0.3", False),
        ("Ci = 0.836", "stated.steps.C", "0.836", False),
        ("FS = 2.0", "safety_factor", "2.0", True),
        ("E' = 1000 psi", "soil_reaction_modulus", "1000 psi", True),
        ("E's = 1,000 psi", "soil_reaction_modulus", "1000 psi", True),
        ("HS-20", "live_load", "H-20 table", False),
        ('15" VCP', "host_diameter", "15 in", False),
        ("Cover 12'-6\"", "cover", "12.5 ft", True),
        ("Flexural modulus 250 ksi", "flexural_modulus", "250 ksi", True),
        ("Flexural strength 31 N/mm²", "flexural_strength", "31 MPa", True),
        ("creep 50 %", "modulus_retention", "50 %", False),
        ("DN 900", "host_diameter", "900", False),
        ("GW 7 ft over invert", "groundwater_above_invert", "7 ft", True),
        ("Design to ASTM F1216-16", "edition", "F1216-07b", True),  # the form of X1.3 in it
        ("X1.1: t = 0.492 in", "stated.steps.t X1.1", "0.492 in", True),
        ("Long-term modulus (50 %): 862 MPa", "stated.steps.E_L", "862 MPa", True),
        ("Average out-of-roundness: 4 %", "ovality", "4 %", True),
        # Datums
        ("Water table 3 ft below grade", "groundwater_below_surface", "3 ft", True),
        ("Depth to invert: 14.5 ft", "invert_depth", "14.5 ft", True),
        ("Groundwater 2 m above the top of the pipe", "groundwater_above_crown", "2 m", True),
        ("Invert elevation: 98.2 ft", "invert_elevation", "98.2 ft", True),
        # The last value of a substituted line, not a number in it
        ("Rw = 1 - 0.33(8/16) = 0.835", "stated.steps.R_w", "0.835", True),
        ("DR = 12/0.236 = 50.8", "stated.steps.DR", "50.8", True),
        # Words that make another quantity of it
        (
            "Long-term (50-year) flexural modulus: 125,000 psi",
            "stated.steps.E_L",
            "125000 psi",
            True,
        ),
        ("Factor of safety provided by X1.3 = 2.3", "stated.steps.N_X1.3", "2.3", True),
        ("Required thickness by Eq. X1.1: 0.21 in", "stated.steps.t X1.1", "0.21 in", True),
        ("Estimated groundwater 7 ft above invert", "groundwater_above_invert", "7 ft", False),
        ("Ovality of about 2 %", "ovality", "2 %", False),
        ("Poisson's ratio = 3.0", "poisson_ratio", "3.0", False),
        ("Soil cover: 9.5e-100 ft", "cover", "9.5e-100 ft", False),
        ("N = 2.0e400", "safety_factor", "2.0e400", False),
    ],
)
def test_one_line(text, key, value, sure):
    (found,) = _found(text)
    assert found[1:] == (key, value, sure)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Groundwater: 7 ft", "no_datum"),
        ("Depth: 10 ft", "no_datum"),
        ("Outside diameter: 13 in", "no_key"),
        ("Liner inside diameter: 11.5 in", "no_key"),
        ("Cure temperature: 180 °F", "no_label"),
        ("Ovality: 2 ft", "other_unit"),
        ("DR = 2 K", "no_value"),
    ],
)
def test_nothing_is_guessed(text, why):
    transcript = _read(text)
    assert transcript.found == ()
    (missed,) = transcript.not_understood
    assert missed.text == text or why == "other_unit"
    if why != "other_unit":
        assert missed.why == f"transcribe.{why}"


@pytest.mark.parametrize(
    "text",
    [
        "Previous design: N = 1.5",
        "If the groundwater were 3 ft above the invert, the required thickness would be 5 mm.",
        "Inside diameter of 12 in and 15 in pipes.",
        "Minimum thickness: 6 mm",
        "Flexural modulus > 250,000 psi",
        "Old liner thickness: 5 mm",
        "Soil modulus native 500 psi",
        "Estimated soil cover    10 ft",
        "Liner ID 11.5 in",
        "          Case 1    Case 2\nCover (ft)    10    12",
        "Cover: 10 ft\nCover: 12 ft",
        "Pipe    D     t\nA       12    6.0",
        "Pipe: A\nStation    Cover (ft)    Ovality (%)\n0+00    10    2\n1+50    12    3",
        "Resin    Flexural modulus (psi)    Flexural strength (psi)\nFelt    250,000    4,500",
        "Scenario    Cover (ft)    Ovality (%)\nBase    10    2",
        "flexural modulus and strength are 250 ksi and 4,500 psi",
        "For 8 in, 10 in and 12 in pipes the design thickness is 4.5, 6.0 and 6.0 mm respectively.",
        "The ovality is not 2 % but 5 %.",
    ],
)
def test_what_could_be_wrong_is_not_sure(text):
    """Statements that mean something else, or leave it open which value is meant."""
    assert [each for each in _read(text).found if each.sure and each.key != "name"] == []


def test_one_label_of_two_quantities_is_not_split():
    text = "Flexural modulus and strength are 250 ksi and 4,500 psi"
    assert _read(text).found == ()
    assert [each.text for each in _read(text).not_understood] == [text]


def test_a_percentage_by_its_format_is_read_as_shown(tmp_path):
    book = openpyxl.Workbook()
    book.active["A1"], book.active["B1"] = "Ovality", 0.025
    book.active["B1"].number_format = "0.0%"
    book.active["A2"], book.active["B2"] = "Design thickness", 6
    book.active["B2"].number_format = '0.0" mm"'
    book.save(tmp_path / "a.xlsx")
    found = read_document(open_document(tmp_path / "a.xlsx")[0]).found
    assert [(e.value, e.sure) for e in found] == [("2.5 %", True), ("6 mm", True)]


def test_a_number_without_a_unit_is_never_sure():
    (found,) = _read("Soil cover: 10").found
    assert (found.key, found.value, found.sure) == ("cover", "10", False)


def test_the_condition_is_only_what_the_document_says():
    (found,) = _read("Host condition: fully deteriorated").found
    assert (found.key, found.value) == ("stated.condition", "fully deteriorated")
    assert _read("partially deteriorated or fully deteriorated").found == ()


def test_from_and_to_make_the_name():
    table = "From\tTo\tDia. (in)\tCover (ft)\n101\t102\t12\t8.5\n"
    assert [each[:3] for each in _found(table)][:2] == [
        ("101 to 102", "name", "101 to 102"),
        ("101 to 102", "host_diameter", "12 in"),
    ]


def test_a_header_of_two_lines_and_a_line_of_units():
    table = (
        "Pipe      Inside      Groundwater     Soil\n"
        "          diameter    above invert    cover\n"
        "          (in)        (ft)            (ft)\n"
        "Mill A    12          6               9\n"
    )
    assert _found(table)[1:] == [
        ("Mill A", "host_diameter", "12 in", True),
        ("Mill A", "groundwater_above_invert", "6 ft", True),
        ("Mill A", "cover", "9 ft", True),
    ]


def test_places():
    places = {each.key: each.at for each in _read("a,b\nCover,10 ft\n", csv_lines).found}
    assert places == {"cover": "line 2"}
    wrapped = (
        "The liner was designed for a soil cover of 10 ft and for a groundwater level of\n"
        "7 ft above the invert of the pipe."
    )
    places = {each.key: each.at for each in _read(wrapped).found}
    assert places == {"cover": "line 1", "groundwater_above_invert": "line 1"}


def test_every_digit_is_found_or_not_understood():
    text = "Harrowmere 2026-05-01, job HM-014\nCover: 10 ft (see note 3)\n4 manholes, 20 C\n"
    transcript = _read(text)
    said = " ".join(
        [each.text for each in transcript.found] + [e.text for e in transcript.not_understood]
    )
    for number in ("2026", "05", "01", "014", "10", "3", "4", "20"):
        assert number in said


# The table of labels


def test_every_key_of_the_table_is_one_of_the_project_file():
    for row in rows():
        known = keys_of("pipe") | keys_of("resin") | keys_of("criteria")
        known |= {"stated.thickness", "stated.required_thickness"}
        step = row.key.startswith(STEPS) and step_key(row.key.removeprefix(STEPS))
        assert row.key in known or step, row.key
        assert unit_of(row.key) != "?", row.key


def test_every_idea_of_the_table_has_its_words():
    for row in rows():
        assert row.needs | row.may <= IDEAS.keys() | {"groundwater-only"}, row
    for symbol in SYMBOLS_OF:
        assert ideas_of_symbol(symbol)[0] <= IDEAS.keys() | {"groundwater-only"}, symbol


def test_every_phrase_is_of_one_idea():
    phrases = [p.strip() for spelled in IDEAS.values() for p in spelled.split(",")]
    assert len(phrases) == len(set(phrases))


def test_every_reason_has_a_sentence():
    import re
    from pathlib import Path

    import linerdesign.tasks.transcribe as package

    for path in Path(package.__file__).parent.glob("*.py"):
        for code in re.findall(r'(?<!heads_of\()"(transcribe\.\w+)"', path.read_text("utf-8")):
            assert template(code)


SECTIONS = """MH 1 to MH 2
Soil cover: 10 ft
t_req = 5 mm

MH 2 to MH 3
Soil cover: 12 ft
t_req = 6 mm

General criteria
Soil unit weight: 120 pcf
"""


def test_sections_are_of_their_pipe():
    assert [each[:3] for each in _found(SECTIONS) if each[1] != "name"] == [
        ("MH 1 to MH 2", "cover", "10 ft"),
        ("MH 1 to MH 2", "stated.required_thickness", "5 mm"),
        ("MH 2 to MH 3", "cover", "12 ft"),
        ("MH 2 to MH 3", "stated.required_thickness", "6 mm"),
        ("", "soil_unit_weight", "120 pcf"),
    ]


def test_a_sheet_is_of_the_pipe_that_it_is_named_after(tmp_path):
    book = openpyxl.Workbook()
    for name, cover in (("MH 1 to MH 2", "10 ft"), ("MH 2 to MH 3", "12 ft"), ("Soil", "9 ft")):
        book.create_sheet(name).append(["Cover", cover])
    del book["Sheet"]
    book.save(tmp_path / "a.xlsx")
    found = read_document(open_document(tmp_path / "a.xlsx")[0]).found
    assert [(e.pipe, e.value, e.at) for e in found if e.key == "cover"] == [
        ("MH 1 to MH 2", "10 ft", "MH 1 to MH 2!B1"),
        ("MH 2 to MH 3", "12 ft", "MH 2 to MH 3!B1"),
        ("", "9 ft", "Soil!B1"),
    ]


def test_an_equation_in_the_label_says_which_thickness_the_value_is():
    """A contractor's usual row: the equation in one cell, "t = 0.1129 in" in the next."""
    (found,) = _found("Thickness, X1.3  |  t = 0.1129 in\n")[-1:]
    assert found[1:] == ("stated.steps.t X1.3", "0.1129 in", True)


def test_a_condition_in_a_column_is_that_of_the_pipe_over_it():
    text = (
        "| Item | MH 1 to MH 2 | MH 2 to MH 3 |\n|---|---|---|\n"
        "| Cover H, ft | 9 | 17 |\n"
        "| Condition | fully deteriorated | partially deteriorated |\n"
    )
    found = {each[0]: each[2] for each in _found(text) if each[1] == "stated.condition"}
    assert found == {
        "MH 1 to MH 2": "fully deteriorated",
        "MH 2 to MH 3": "partially deteriorated",
    }


@pytest.mark.parametrize("label", ["Pipe", "Segment", "Reach"])
def test_a_measure_beside_the_word_for_a_pipe_is_no_name(label):
    read = _read(f"Pipe;Mill Lane\n{label};310 ft\nOvality;2 %\n", csv_lines)
    assert read.pipes == ("Mill Lane",)
    assert [each.text for each in read.not_understood] == [f"{label} 310 ft"]
    assert [(each.pipe, each.key) for each in read.found][1:] == [("Mill Lane", "ovality")]
