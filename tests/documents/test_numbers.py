"""Numbers as forms write them, worked by hand: an inch is 25.4 mm."""

import pytest

from linerdesign.documents.blocks import Document, Grid, Heading, Paragraph
from linerdesign.documents.markup import Markup, element, join, text
from linerdesign.documents.notebook import MOST_ROWS, brief, counted, first_table
from linerdesign.documents.numbers import (
    arithmetic,
    factor,
    millimetres_given,
    number_and_unit,
    operand,
    printed_cell,
    printed_number,
    printed_text,
    printed_value,
    short,
    value_with_unit,
    with_minus,
)


def test_a_text_is_cut_to_ninety_letters_unless_said():
    assert short("x" * 90) == "x" * 90
    assert short("x" * 91) == "x" * 89 + "…"
    assert short("abcdef", 5) == "abcd…"
    assert short("a\x07") == r"a\x07"


@pytest.mark.parametrize(
    ("key", "value", "system", "shown"),
    [
        # A wall of whole tenths of a millimetre is as it is ordered; another in both units.
        ("t", 5 / 25.4, "US", "5 mm"),
        ("t", 0.51234, "US", "0.51234 in (13.01 mm)"),
        ("t", 4.5, "SI", "4.5 mm"),
        ("t", 13.01344, "SI", "13.0134 mm (0.5123 in)"),
        ("t", 0.0, "US", "0 mm"),
        ("t_required", 0.51234, "US", "0.51234 in (13.01 mm)"),
        # So is a diameter in inches, and no other length.
        ("D", 200 / 25.4, "US", "200 mm"),
        ("D", 8.0, "US", "8 in"),
        ("D", 0.0, "US", "0 in"),
        ("D", 203.2, "SI", "203.2 mm"),
        ("H", 16.0, "US", "16 ft"),
        ("E", 250000.0, "US", "250000 psi"),
        ("N", 2.0, "US", "2"),
    ],
)
def test_a_value_with_its_unit(key, value, system, shown):
    assert value_with_unit(key, value, system) == shown
    assert " ".join(number_and_unit(key, value, system)).strip() == shown.partition(" (")[0]


def test_a_value_takes_the_numbers_that_it_is_told_to():
    assert value_with_unit("E", 250000.0, "US", printed_number) == "250,000 psi"
    assert value_with_unit("t", 0.51234, "US", "{:.1f}".format) == "0.5 in (13.01 mm)"
    assert operand("E", 250000.0, "US", "{:.1f}".format) == "250000.0"


@pytest.mark.parametrize(
    ("key", "value", "system", "shown"),
    [
        ("t", 4.5 / 25.4, "US", "(4.5/25.4)"),
        ("t", 4.5, "SI", "4.5"),
        ("t", 0.0, "US", "0"),
        ("D", 200 / 25.4, "US", "(200/25.4)"),
        ("H", 16.0, "US", "16"),
    ],
)
def test_a_value_in_arithmetic(key, value, system, shown):
    assert operand(key, value, system) == shown


def test_millimetres_that_were_given():
    assert millimetres_given("t", 4.5 / 25.4, "US") == "4.5"
    assert millimetres_given("t", 0.0, "SI") == "0"
    assert millimetres_given("D", 200.0, "SI") == ""
    assert millimetres_given("H", 4.5 / 25.4, "US") == ""


def test_brackets_of_an_operand_by_itself_go():
    assert arithmetic("min((4.5/25.4), (5/25.4))*(6/25.4)") == "min(4.5/25.4, 5/25.4)*(6/25.4)"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("9999", "9999"),
        ("10000", "10,000"),
        ("-1234567.5 psi", "−1,234,567.5 psi"),
        ("5 ft^3", "5 ft³"),
        ("2*3", "2·3"),
        ("(4 - 3)*2", "(4 − 3)·2"),
        ("a*b", "a*b"),
        ("ft^3", "ft³"),
        ("12 (a)", "12 (a)"),
        ("MH-4", "MH-4"),
    ],
)
def test_a_cell_in_print(text, shown):
    assert printed_cell(text) == shown


def test_texts_in_print():
    assert printed_value("E", 250000.0, "US") == "250,000 psi"
    assert printed_value("h_invert", -2.5, "US") == "−2.5 ft"
    assert printed_text("E*I/D^3") == "E·I/D³"
    assert printed_number(-12345.5) == "−12,345.5"
    assert with_minus("-1 to -2, 2026-11-20 (-3) a-4") == "−1 to −2, 2026-11-20 (−3) a-4"


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (1.999, "1.99"),
        (2.0, "2.00"),
        (0.29, "0.29"),  # 28.999999999999996 hundredths as a binary number
        (1.9999995, "1.99"),
        (None, "-"),
    ],
)
def test_a_factor_is_cut_and_not_rounded(value, shown):
    assert factor(value) == shown


def test_markup_shows_exactly_its_text():
    assert text('<b> & "q" \x07') == "&lt;b&gt; &amp; &quot;q&quot; \\x07"
    assert text(Markup("<b>")) == "<b>"
    assert join("a<", Markup("<b>"), 2, between="|") == "a&lt;|<b>|2"
    assert element("p", "x", class_="a b", data_n=2 / 3, hidden=True, title=None, lang=False) == (
        '<p class="a b" data-n="0.67" hidden="">x</p>'
    )
    assert element("br") == "<br/>"
    assert element("rect", width=1.005, height=2) == '<rect width="1.0" height="2"/>'
    assert Markup("<b>").__html__() == "<b>"


def test_a_result_shows_its_title_and_its_first_table():
    """60 rows of it; how many more there are, and that the rest is in the document."""
    rows = tuple((f"row {n}",) for n in range(1061))
    first, other = (Grid((head,), "<", rows) for head in ("one", "two"))
    made = Document("Title", (Heading("h"), Paragraph("words"), first, other), None, "US")
    shown = first_table(made)
    assert MOST_ROWS == 60
    assert "row 59<" in shown
    assert "row 60<" not in shown
    assert "1,001" in shown
    assert "two" not in shown
    assert shown.index("Title") < shown.index("words") < shown.index("one")
    short_one = Document("Title", (Grid(("one",), "<", rows[:60]),), None, "US")
    assert "row 59<" in first_table(short_one)
    assert "more rows" not in first_table(short_one)
    assert "<h3" in shown


def test_a_result_in_a_line():
    assert brief(2.5, pipes=3, status="passes") == "float(pipes=3, status='passes')"
    assert counted(["b", "a", "a"]) == {"a": 2, "b": 1}
    assert list(counted(["b", "a", "a"])) == ["a", "b"]
