"""Rows, tables and texts as a reviewer reads them: the pipe, the label and the place of each value.

Read off by hand. A value is (pipe, key, value, the codes of its doubts), its text what is quoted.
"""

import pytest

from linerdesign.tasks.transcribe.document import Cell, Line, Source
from linerdesign.tasks.transcribe.plain_text import csv_lines, text_lines
from linerdesign.tasks.transcribe.reader import read_document

COVER, OVALITY, TWELVE = ("cover", "10 ft"), ("ovality", "2 %"), ("cover", "12 ft")
FULLY, PARTIALLY = (("stated.condition", f"{word} deteriorated") for word in ("fully", "partially"))
ONE, TWO = "MH 1 to MH 2", "MH 2 to MH 3"


def read(text, lines=csv_lines, labels=None):
    made = read_document(Source(tuple(lines(text))), labels)
    found = [
        (each.pipe, each.key, each.value, *(d.removeprefix("transcribe.") for d in each.doubts))
        for each in made.found
        if each.key != "name"
    ]
    missed = [(each.why.removeprefix("transcribe."), each.text) for each in made.not_understood]
    return made, found, missed


ROWS = [
    # A label before its value, with its unit beside it or in it, over several cells.
    ("Soil,cover,10 ft", [("", *COVER)], []),
    ("Cover,10,ft", [("", *COVER)], []),
    ("Cover,10,ft,3.05,m", [("", *COVER), ("", "cover", "3.05 m")], []),
    ("Cover (m),10,ft", [("", *COVER)], []),
    ("Cover (ft),10", [("", *COVER)], []),
    ("Cover,10 ft,Ovality,2 %", [("", *COVER), ("", *OVALITY)], []),
    ("Soil cover: 10 ft,Ovality,2 %", [("", *COVER), ("", *OVALITY)], []),
    ("Cover,10 ft,12 ft", [("", *COVER, "several"), ("", *TWELVE, "several")], []),
    ("Cover,> 10 ft", [("", *COVER, "bound")], []),
    ("Cover,≥ 10 ft", [("", *COVER, "bound")], []),
    ("Cover,≈ 10 ft", [("", *COVER, "bound")], []),
    ("Cover,10 ft <", [("", *COVER, "bound")], []),
    # What stands behind a value helps only a label that says too little.
    ("Soil cover,10 ft,by the owner", [("", *COVER)], []),
    ("Liner,6 mm,design thickness", [("", "stated.thickness", "6 mm")], []),
    ("Liner,6 mm,mm", [], [("no_key", "Liner 6 mm")]),
    ("Flexural,250000 psi,modulus", [("", "flexural_modulus", "250000 psi")], []),
    ("Flexural,4500,psi,strength", [], [("no_key", "Flexural 4500")]),
    ("Soil modulus,native,1000 psi", [("", "soil_reaction_modulus", "1000 psi", "word")], []),
    # A symbol alone beside a bare number may be torn out of a formula.
    ("K,7", [("", "enhancement_factor", "7", "symbol_only")], []),
    ("K =,7", [("", "enhancement_factor", "7")], []),
    ("K,= 7", [("", "enhancement_factor", "7")], []),
    ("Enhancement K,7", [("", "enhancement_factor", "7")], []),
    ("D (in),12", [("", "host_diameter", "12 in", "symbol_only")], []),
    ("q,2 %", [("", *OVALITY)], []),
    ("q,2", [("", "ovality", "2", "no_unit", "symbol_only")], []),
    ("q,2,%", [("", *OVALITY)], []),
    ("K,7 %", [], [("other_unit", "K 7 %")]),
    # A symbol and its value in one cell, behind a label that says which.
    ("Cover,H = 10 ft,Ovality,q = 2 %", [("", *COVER), ("", *OVALITY)], []),
    ("Zig,H = 10 ft", [("", *COVER, "symbol_only")], []),
    ("Soil cover,H = 10 + 2 = 12 ft", [("", *TWELVE)], []),
    ("Thickness,t = 5.1 mm", [("", "stated.thickness", "5.1 mm", "wording")], []),
    ("Thickness by X1.3,t = 5.1 mm,Ovality,2 %",
     [("", "stated.steps.t X1.3", "5.1 mm"), ("", *OVALITY)], []),
    ("Soil cover,about H = 10 ft; sheet 24", [("", *COVER, "conditional")],
     [("no_label", "sheet 24")]),
    ("2. Soil cover,about H = 10 ft", [("", *COVER, "conditional")], []),
    # Names, vehicles and conditions in cells.
    ("Live load,HL-93", [("", "live_load", "HL-93")], []),
    ("Live load,HS-20", [("", "live_load", "H-20 table", "vehicle")], []),
    ("Edition,F1216-07b", [("", "edition", "F1216-07b")], []),
    ("Condition,fully deteriorated,Cover,10 ft", [("", *FULLY), ("", *COVER)], []),
    # Numbers of a label, of a list and of an area are none that were missed.
    ("2. Soil cover,10 ft", [("", *COVER)], []),
    ("(2.1) Soil cover,10 ft", [("", *COVER)], []),
    ("Strength at 50 years,10 ft", [], [("other_unit", "Strength at 50 years 10 ft")]),
    ("Cover in mm2,10 ft", [("", *COVER, "word")], []),
    ("Note 12,Cover,10 ft", [("", *COVER)], [("no_label", "Note 12")]),
    ("MH 1 to MH 2,Cover,10 ft", [("", *COVER, "word")], []),
    ("Area 12 in2,Cover,10 ft", [("", *COVER)], [("no_label", "Area 12 in2")]),
    # A name of a pipe in a row of two, not of three, and no measure.
    ("Pipe,Mill Lane\nCover,10 ft", [("Mill Lane", *COVER)], []),
    ("Pipe:,Mill Lane\nCover,10 ft", [("Mill Lane", *COVER)], []),
    ("Pipe,7 Mill Lane\nCover,10 ft", [("7 Mill Lane", *COVER)], []),
    ("Pipe,Mill Lane,3", [], [("no_label", "Pipe Mill Lane 3")]),
    ("Pipe,10 ft", [], [("no_label", "Pipe 10 ft")]),
]  # fmt: skip

TABLES = [
    # A table ends with an empty row of a CSV, not with a row of one cell.
    ("Pipe,Cover (ft)\nA,10\n\nB,12", [("A", *COVER)], [("no_label", "B 12")]),
    ("Pipe,Cover (ft)\nA,10\nNote\nB,12", [("A", *COVER), ("B", *TWELVE)], []),
    ("Pipe,Cover (ft)\nA,10\n,12", [("A", *COVER)], [("no_label", "12")]),
    ("Pipe,Cover (ft)", [], []),
    # A unit with a digit of its own is nothing missed.
    ("Pipe,Cover (ft),Unit weight,Unit\nA,10,18,kN/m3", [("A", "soil_unit_weight", "18 kN/m^3")],
     [("other_unit", "Cover (ft) 10")]),
    ("Case,Cover (ft),Ovality (%),K\nA,10,2,7",
     [("A", *COVER, "row_name"), ("A", *OVALITY, "row_name"),
      ("A", "enhancement_factor", "7", "row_name")], []),
    ("Pipe,Cover (ft)\n7,10", [("7", *COVER)], []),
    ("Note,Item,Value\nsee,Soil cover,10 ft", [("", *COVER)], []),
    # Rows that are pipes: by number, by two manholes, without a name.
    (f"Pipe,Cover (ft)\n{ONE},10\nmh-1 to mh-2,12",
     [(ONE, *COVER, "several"), (ONE, *TWELVE, "several")], []),
    ("Upstream MH,Downstream MH,Cover (ft)\n101,102,10\n103,104,12",
     [("101 to 102", *COVER), ("103 to 104", *TWELVE)], []),
    ("Upstream MH,Downstream MH,Cover (ft)\n101,102,10\n,103,12",
     [("101 to 102", *COVER), ("row 1", *TWELVE)], [("no_label", "103")]),
    ("Pipe,Cover (ft),Ovality (%)\n,10,2\n,12,3\n\nPipe,Cover (ft),Safety factor\n,10,2.0",
     [("row 1", *COVER), ("row 1", *OVALITY), ("row 2", *TWELVE), ("row 2", "ovality", "3 %"),
      ("row 1", *COVER), ("row 1", "safety_factor", "2.0")], []),
    # A first column of another head may name pipes.
    (f"Case,Cover (ft),Ovality (%)\nA,10,2\n{ONE},10,2",
     [("A", *COVER, "row_name"), ("A", *OVALITY, "row_name"), (ONE, *COVER), (ONE, *OVALITY)], []),
    ("Zig,Cover (ft),Zag\nA,10,2", [], [("no_label", "A 10"), ("no_label", "A 2")]),
    ("Station,Cover (ft)\n0+00,10", [("", *COVER, "station")], []),
    # Units in a column of their own, in the head, in the label: in this order.
    ("Pipe,Cover,Unit\nA,10,ft", [("A", *COVER)], []),
    ("Pipe,Cover (m),Unit\nA,10,ft", [("A", *COVER)], []),
    ("Item,Value\nSoil cover (ft),10", [("", *COVER)], []),
    ("Item,Value,Unit\nSoil cover (m),10,ft", [("", *COVER)], []),
    # Labels in rows, pipes in columns.
    (f"Item,{ONE},{TWO}\nSoil cover (ft),10,12\nCondition,fully deteriorated,partially "
     "deteriorated\nLive load,HL-93,none\nNote 3,a,b",
     [(ONE, *COVER), (TWO, *TWELVE), (ONE, *FULLY), (TWO, *PARTIALLY), (ONE, "live_load", "HL-93")],
     [("no_label", "Note 3")]),
    (f"Item,Units,{ONE},{TWO}\nSoil cover,ft,10,12", [(ONE, *COVER), (TWO, *TWELVE)], []),
    (f"Item,{ONE},{TWO},Note\nSoil cover (ft),10,12,sheet 4",
     [(ONE, *COVER), (TWO, *TWELVE)], [("no_label", "sheet 4")]),
    ("Item,Symbol,Value,Unit\nSoil cover,H,10,ft", [("", *COVER)], []),
    ("Item,Symbol,Value\nCover,= H,10 ft", [("", *COVER)], []),
    ("Item,Value,Value\nSoil cover,10 ft,12 ft",
     [("", *COVER, "several"), ("", *TWELVE, "several")], []),
    # Cells of other columns are read too, and what is not understood is listed.
    ("Pipe,Cover (ft),Condition\nA,10,fully deteriorated", [("A", *COVER), ("A", *FULLY)], []),
    ("Pipe,Cover (ft),Live load\nA,10,HS-20",
     [("A", *COVER), ("A", "live_load", "H-20 table", "vehicle")], []),
    ("Pipe,Cover (ft),Note\nA,10,seen 2024", [("A", *COVER)], [("no_label", "seen 2024")]),
    ("Pipe,Cover (ft)\nA,10 psi", [], [("other_unit", "Cover (ft) 10 psi")]),
    ("Pipe,Cover (ft)\nA,10 to 12", [], [("no_label", "10 to 12")]),
    ("Pipe,Groundwater (ft)\nA,10", [], [("no_datum", "Groundwater (ft) 10")]),
    ("Pipe,Thickness by X1.3 (mm),Modulus at 50 years (MPa)\nA,6.0,862",
     [("A", "stated.steps.t X1.3", "6.0 mm"), ("A", "stated.steps.E_L", "862 MPa")], []),
]  # fmt: skip


@pytest.mark.parametrize(("text", "found", "missed"), [*ROWS, *TABLES])
def test_rows_and_tables(text, found, missed):
    assert read(text)[1:] == (found, missed)


A_TEN = [("A", *COVER)]


@pytest.mark.parametrize(
    ("text", "found", "missed"),
    [
        # In a text, a line of one cell ends a table.
        ("Pipe   Cover (ft)\nA   10\nNote\nB   12", A_TEN, [("no_label", "B 12")]),
        # Three lines of a head, and one of units.
        ("Pipe      Inside      Water\n          diameter    above\n"
         "                      invert\n          (in)        (ft)\nA         12          6",
         [("A", "host_diameter", "12 in"), ("A", "groundwater_above_invert", "6 ft")], []),
        # One name in a document is that of all its values; of two, that of what follows.
        ("Cover: 10 ft\nPipe: A\nOvality: 2 %", [("A", *COVER), ("A", *OVALITY)], []),
        ("Cover: 10 ft\nPipe: A\nOvality: 2 %\nPipe: B\nCover: 12 ft",
         [("", *COVER), ("A", *OVALITY), ("B", *TWELVE)], []),
        ("Pipe: A\nAll pipes\nCover: 10 ft\nPipe: B\nCover: 12 ft",
         [("", *COVER), ("B", *TWELVE)], []),
        ("Pipe: 7 Mill Lane\nCover: 10 ft", [("7 Mill Lane", *COVER)], []),
        # A line with a number, or a long one, is no heading of what all have.
        ("Pipe: A\nMaterials 3\nCover: 10 ft\nPipe: B\nCover: 12 ft",
         [*A_TEN, ("B", *TWELVE)], [("no_label", "Materials 3")]),
        (f"Pipe: A\nGeneral {'x' * 51}\nCover: 10 ft\nPipe: B\nCover: 12 ft",
         [("", *COVER), ("B", *TWELVE)], []),
        (f"Pipe: A\nGeneral {'x' * 52}\nCover: 10 ft\nPipe: B\nCover: 12 ft",
         [*A_TEN, ("B", *TWELVE)], []),
        # Each value of a text is of the pipe named last before it, and in doubt among several.
        ("Cover of Pipe 7: 10 ft; ovality of Pipe 8: 2 %.",
         [("Pipe 7", *COVER, "names"), ("Pipe 8", *OVALITY, "names")], []),
        ("Cover: 10 ft, of Pipe 7; ovality of Pipe 8: 2 %.",
         [("Pipe 7", *COVER, "names"), ("Pipe 8", *OVALITY, "names")], []),
        ("Pipe 7, Pipe 7: cover 10 ft", [("Pipe 7", *COVER)], []),
        ("Soil cover: 10 ft, Pipe 7", [("Pipe 7", *COVER)], []),
        # A mark of Markdown begins a line; within one it is a sign.
        ("Groundwater above crown    - 2 ft", [("", "groundwater_above_crown", "-2 ft")], []),
        ("| Cover | > 10 ft |", [("", *COVER, "bound")], []),
        ("- Cover: 10 ft", [("", *COVER)], []),
        # What is left of a sentence is listed sentence by sentence.
        ("Dated 2024. Soil cover 10 ft. Sheet 7", [("", *COVER)],
         [("no_label", "Dated 2024."), ("no_label", "Sheet 7")]),
        ("It is 3. Soil cover is 10 ft", [("", *COVER)], [("no_label", "It is 3.")]),
        ("3. Soil cover: 10 ft", [("", *COVER)], []),
        ("Cover: 10 ft; ovality 2 % and 3 remarks", [("", *COVER), ("", *OVALITY, "shared")],
         [("no_value", "ovality 2 % and 3 remarks")]),
        ("Soil cover 10 ft 2024", [], [("no_value", "Soil cover 10 ft 2024")]),
    ],
)  # fmt: skip
def test_texts(text, found, missed):
    assert read(text, text_lines)[1:] == (found, missed)


@pytest.mark.parametrize(
    ("text", "quoted"),
    [
        ("Soil,cover (ft),10", [("Soil cover (ft) 10", "Soil cover (ft)", "line 1")]),
        ("Cover,H = 10 ft", [("Cover H 10 ft", "Cover H", "line 1")]),
        ("Liner,6 mm,design thickness", [("Liner 6 mm", "Liner", "line 1")]),
        ("3. Soil cover: 10 ft", [("3. Soil cover: 10 ft",) * 2 + ("line 1",)]),
        ("3. So the soil cover: 10 ft", [("soil cover: 10 ft",) * 2 + ("line 1",)]),
        ("So the soil cover: 10 ft", [("soil cover: 10 ft",) * 2 + ("line 1",)]),
        ("Soil cover,about H = 10 ft", [("Soil cover about H = 10 ft",) * 2 + ("line 1",)]),
        ("Zig,so H = 10 ft", [("H = 10 ft",) * 2 + ("line 1",)]),
        ("\nLive load,HL-93", [("Live load HL-93", "Live load", "line 2")]),
        ("Pipe,Cover (ft)\nA,10", [("Cover (ft) 10", "Cover (ft)", "line 2")]),
        ("Item,Value\nSoil cover (ft),10", [("Soil cover (ft) 10", "Soil cover (ft)", "line 2")]),
        (f"Item,{ONE}\nSoil cover,10", [("Soil cover 10", "Soil cover", "line 2")]),
        (f"Item,Value,{ONE},{TWO}\nSoil cover,ft,10,12",
         [("Soil cover 10", "Soil cover", "line 2"), ("Soil cover 12", "Soil cover", "line 2")]),
        (f"Item,{ONE},{TWO}\nHost,fully deteriorated,see Host: fully deteriorated",
         [("fully deteriorated",) * 2 + ("line 2",)] * 2),
    ],
)  # fmt: skip
def test_what_is_quoted_of_a_value(text, quoted):
    made, *_ = read(text)
    shown = [(each.text, each.label, each.at) for each in made.found if each.key != "name"]
    assert shown == quoted


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("Pipe,Mill  Lane", [("Mill Lane", "Mill Lane", "line 1")]),
        ("Upstream MH,Downstream MH,Cover (ft)\n101,102,10", [("101 to 102", "101", "line 2")]),
        (f"Item,{ONE},{TWO}\nCover,1 ft,2 ft", [(ONE, ONE, "line 1"), (TWO, TWO, "line 1")]),
        (f"Pipe,Cover (ft)\n{ONE},10\n{ONE.lower()},12", [(ONE, ONE, "line 2")]),
        ("Cover of Pipe 7:  10 ft", [("Pipe 7", "Cover of Pipe 7: 10 ft", "line 1")]),
        ("Pipe,Cover (ft)\n,10", []),
    ],
)  # fmt: skip
def test_a_name_is_found_once_at_its_first_place(text, names):
    made, *_ = read(text)
    shown = [(each.value, each.text, each.at) for each in made.found if each.key == "name"]
    assert shown == names
    assert all(each.pipe == each.value for each in made.found if each.key == "name")


WALL = {"Wall dim": "stated.thickness", "Wall dim mm": "stated.thickness",
        "Soil cover": "invert_depth"}  # fmt: skip
SIX, WHOLE = ("stated.thickness", "6.0 mm"), ("stated.thickness", "6.0", "no_unit")


@pytest.mark.parametrize(
    ("text", "found", "missed"),
    [
        ("Wall dim. (mm),6.0", [("", *SIX)], []),
        ("Wall dim.: 6.0 mm", [("", *SIX)], []),
        ("Wall dim.: 6.0", [("", *WHOLE)], []),
        ("6.0 mm wall dim", [], [("no_key", "6.0 mm wall dim")]),
        ("6.0 mm Wall dim.", [("", *SIX)], []),
        ("Soil cover: 10 ft", [("", "invert_depth", "10 ft")], []),
        ("Wall dim.,so 6.0 mm", [], [("no_label", "so 6.0 mm")]),
        ("Wall dim.,= 3 + 3 = 6.0 mm", [], [("no_label", "= 3 + 3 = 6.0 mm")]),
        ("Wall dim.: 6.0 mm and 7", [], [("no_key", "Wall dim.: 6.0 mm and 7")]),
        ("Wall dim.: 6.0 psi", [], [("no_key", "Wall dim.: 6.0 psi")]),
        ("Pipe,Wall dim. (mm)\nA,6.0", [("A", *SIX)], []),
        ("Item,Value\nWall dim. (mm),6.0\nZig,7.5", [("", *SIX)], [("no_label", "Zig 7.5")]),
        ("Pipe: A\nWall dim.: 6.0 mm\nPipe: B\nWall dim.: 6.0 mm", [("A", *SIX), ("B", *SIX)], []),
    ],
)
def test_labels_that_were_confirmed_before(text, found, missed):
    assert read(text, labels=WALL)[1:] == (found, missed)


def test_a_learnt_label_is_quoted_with_its_place():
    made, *_ = read("\nWall dim.: 6.0 mm", labels=WALL)
    (wall,) = made.found
    assert (wall.text, wall.label, wall.at) == (*("Wall dim.: 6.0 mm",) * 2, "line 2")


def test_a_sheet_is_named_at_its_first_cell_and_its_values_end_with_it():
    """A sheet without a name is of no pipe; a row of another table has no head any more."""
    lines = (
        Line((Cell("Cover", f"{ONE}!B2"), Cell("10 ft", f"{ONE}!C2", 2, 3)), 1, ONE),
        Line((Cell("Cover", "Soil!A1"), Cell("12 ft", "Soil!B1", 2, 3)), 2, "Soil"),
        Line((Cell(TWO, "C!A1"),), 3, "C"),
        Line((Cell("Ovality", "C!A2"), Cell("2 %", "C!B2", 2, 3)), 3, "C"),
    )
    made = read_document(Source(lines, (("picture", "D"),)))
    shown = [(each.pipe, each.key, each.value, each.text, each.at) for each in made.found]
    assert shown == [
        (ONE, "name", ONE, ONE, f"{ONE}!B2"),
        (ONE, *COVER, "Cover 10 ft", f"{ONE}!C2"),
        ("", *TWELVE, "Cover 12 ft", "Soil!B1"),
        (TWO, "name", TWO, TWO, "C!A1"),
        (TWO, *OVALITY, "Ovality 2 %", "C!B2"),
    ]
    (missed,) = made.not_understood
    assert (missed.text, missed.at, missed.why) == ("picture", "D", "transcribe.unread")


def test_a_cell_beside_its_column_is_in_doubt():
    """Its middle is nearest to that of the second column, and within half of their distance."""
    head = Line(
        (Cell("Pipe", "1", 0, 10), Cell("Cover (ft)", "1", 20, 30), Cell("Note", "1", 40, 50))
    )
    row = Line((Cell("A", "2", 0, 10), Cell("10", "2", 31, 33)))
    (name, cover) = read_document(Source((head, row))).found
    assert (name.value, cover.key, cover.value) == ("A", *COVER)
    assert cover.doubts == ("transcribe.column",)


def test_a_cell_left_of_all_columns_is_part_of_the_label():
    head = Line((Cell("Symbol", "1", 20, 30), Cell("Value", "1", 40, 50)))
    row = Line((Cell("Soil cover", "2", 0, 8), Cell("H", "2", 20, 22), Cell("10 ft", "2", 40, 45)))
    (cover,) = read_document(Source((head, row))).found
    assert (cover.key, cover.value, cover.label, cover.doubts) == (*COVER, "Soil cover H", ())


def test_a_name_over_two_lines_of_a_head_is_one():
    lines = (
        Line((Cell("Item", "1", 0, 5), Cell("MH 1 to", "1", 10, 17), Cell("MH 2 to", "1", 20, 27))),
        Line((Cell("MH 2", "2", 10, 14), Cell("MH 3", "2", 20, 24))),
        Line((Cell("Cover (ft)", "3", 0, 8), Cell("10", "3", 10, 12), Cell("12", "3", 20, 22))),
    )
    made = read_document(Source(lines))
    assert [(each.pipe, each.value, each.text, each.at) for each in made.found] == [
        (ONE, ONE, ONE, "1"),
        (TWO, TWO, TWO, "1"),
        (ONE, "10 ft", "Cover (ft) 10", "3"),
        (TWO, "12 ft", "Cover (ft) 12", "3"),
    ]
    assert made.not_understood == ()


def test_a_number_beside_the_value_of_a_label_is_told_as_not_understood():
    """However long the label in the cell before is."""
    label, value = Cell("Soil cover", "line 1", 0, 9), Cell("10 ft, 77 a", "line 2", 10, 19)
    found = read_document(Source((Line((label, value), 1),)))
    assert [(each.key, each.value, each.text) for each in found.found] == [
        ("cover", "10 ft", "Soil cover 10 ft")
    ]
    assert [(each.text, each.at) for each in found.not_understood] == [("10 ft, 77 a", "line 2")]
