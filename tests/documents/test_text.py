"""A sheet as plain text: all that is said of a pipe, in columns that fit the line."""

import re

import pytest
from pages import STATIONS, document, results
from projects import toml

from linerdesign.documents import text
from linerdesign.documents.blocks import (
    Bullets,
    Document,
    Grid,
    Heading,
    Paragraph,
    Picture,
    Worked,
)
from linerdesign.documents.numbers import value_with_unit
from linerdesign.documents.sheet import checks_grid, computed, derivation, inputs, origin_text
from linerdesign.project.identity import FileRead, Identity
from linerdesign.project.models import ProjectInfo

CASES = {
    "one place": toml({"live_load": "HL-93"}),
    "stations": toml(STATIONS | {"live_load": "HL-93"}, drop=("cover", "groundwater_above_invert")),
    "flags": toml({"ovality": "12 %"}, {"modulus_retention": "70 %"}),
}


def lines(block, width, bold=str):
    """The lines of one block, without the head and the cautions of the document."""
    made = Document("T", (block,), ProjectInfo(title="x"), "US", Identity(), None)
    found = list(text.lines(made, width, bold))
    start = found.index("") + 1
    return found[start : next(n for n, line in enumerate(found) if line.startswith("Cautions -"))]


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("width", [44, 60, 100, 160])
def test_every_line_is_worked_from_its_head_down_to_its_value(case, units, width):
    (result,) = results(CASES[case], units=units)
    steps = computed(result)
    found = lines(Worked(result, steps), width)
    assert found[0] == "Calculation"
    blocks = "\n".join(found[1:]).rstrip("\n").split("\n\n")
    for block, step in zip(blocks, steps, strict=True):
        at = f" at {step.station}" if step.station else ""
        head = f"{step.number:>3} {step.symbol}, {step.meaning}{at}"
        letter = block and re.search(r"; (\w)\]", "".join(block.split("\n")))
        end = ""
        if step.line is not None:
            assert letter
            end = f"[{step.equation}; {step.line.equation.clause}; {letter[1]}]"
        worked = [*derivation(step, system=units), value_with_unit(step.key, step.value, units)]
        flags = [f"! {flag}" for flag in step.flags]
        wanted = [head, end, step.symbol, *(f"= {each}" for each in worked), *flags]
        assert _squeezed(block) == _squeezed("".join(wanted))
        first, *rest = block.split("\n")
        assert all(len(line) <= width for line in (first, *rest))
        if end and len(head) + len(end) < width:
            # The number of the equation ends the line.
            assert first == head + end.rjust(width - len(head))
        elif end:
            ends = [line for line in block.split("\n") if line.endswith(f"{letter[1]}]")]
            assert len(ends[0]) == width
        # Signs of equality stand under each other, six blanks and the symbol from the left.
        signs = [n for line in rest if (n := line.find(" = ", 6)) == 6 + len(step.symbol)]
        assert len(signs) >= len(worked)


def _squeezed(shown):
    return re.sub(r"\s", "", shown)


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("case", CASES)
def test_inputs_have_a_row_each_in_columns(case, units):
    """Wide enough for all of it, number, symbol, meaning, value and source have one line."""
    (result,) = results(CASES[case], units=units)
    given = inputs(result)
    wanted = []
    for step in given:
        at = f", at {step.station}" if step.station else ""
        value = value_with_unit(step.key, step.value, units)
        source = origin_text(step, units)
        wanted.append((str(step.number), step.symbol, step.meaning + at, value, source))
    for said in result.in_words:
        at = f", at {said.station}" if said.station else ""
        wanted.append(("", said.symbol, said.meaning + at, "see source", said.source))
    title, *found = lines(Worked(result, given), 300)
    assert title == "Inputs"
    size = [max(len(row[column]) for row in wanted) for column in range(5)]
    assert found[: len(wanted)] == [
        f"{number:>2} {symbol:<{size[1]}} {meaning:<{size[2]}} {value:>{size[3]}}  {source}"
        for number, symbol, meaning, value, source in wanted
    ]
    # Narrower, the same words stand in narrower columns, meaning and source under their own.
    full = 2 + 1 + size[1] + 1 + size[2] + 1 + size[3] + 2 + size[4]
    for width in range(64, full + 4, 5):
        _, *narrow = lines(Worked(result, given), width)
        narrow = [line for line in narrow if line]
        assert all(len(line) <= width for line in narrow), width
        shown = _squeezed("".join(narrow))
        assert sorted(shown) == sorted(_squeezed("".join(map("".join, wanted))))
        rows = [line for line in narrow if line[:3].strip() or line[3:4].strip()]
        assert len(rows) == len(wanted)
        start = 2 + 1 + size[1] + 1
        (end,) = {
            line.index(f" {row[3]}  ", start) + 1 + len(row[3])
            for line, row in zip(rows, wanted, strict=True)
        }
        meanings = [line[start : end - size[3]].strip() for line in narrow]
        assert _squeezed("".join(meanings)) == _squeezed("".join(row[2] for row in wanted))
        sources = [line[end + 2 :] for line in narrow]
        assert _squeezed("".join(sources)) == _squeezed("".join(row[4] for row in wanted))


def test_a_sheet_has_its_parts_in_order_with_bold_titles():
    (result,) = results(toml({"ovality": "12 %", "condition": "partially deteriorated"}))
    made = document([result])
    found = list(text.lines(made, 100, lambda title: f"<{title}>"))
    bold = [line for line in found if line.startswith("<")]
    assert bold[:2] == ["<Liner thickness calculation>", f"<{made.blocks[1].caption}>"]
    assert bold[2:7] == [
        *("<Inputs>", "<Calculation>", f"<{checks_grid(result).caption}>"),
        *("<Status: outside the method>", "<Outside the scope of the method>"),
    ]
    assert f"{result.name} {'=' * (99 - len(result.name))}" in found
    assert f"Governing equation: {result.governing}" in found
    assert not [line for line in found if line.startswith("Not applicable: ")]
    assert any(line.startswith("Sources: ") for line in found)
    assert found[-1].startswith(("- ", "  "))
    assert found[found.index("") - 1].startswith("program:")


def test_checks_that_do_not_apply_are_named():
    """Without water by X1.1 and X1.2 there is nothing to check."""
    dry = {"groundwater": "none", "condition": "partially deteriorated"}
    (result,) = results(toml(dry, drop=("groundwater_above_invert",)))
    found = list(text.lines(document([result]), 100, str))
    assert "Not applicable: X1.1, X1.2." in found


def test_every_kind_of_block_has_its_lines():
    assert lines(Heading("A title"), 20) == ["A title ============"]
    assert lines(Heading("A title", 2), 20) == ["A title ------------"]
    # A title fills a line with one sign at least, else it stands over a rule.
    assert lines(Heading("x" * 18), 20) == ["x" * 18 + " ="]
    assert lines(Heading("x" * 19, 2), 20) == ["x" * 19, "-" * 20]
    assert lines(Heading("one two three four five six"), 20) == [
        "one two three four", "five six", "=" * 20,
    ]  # fmt: skip
    assert lines(Paragraph("one two three four five"), 20) == ["one two three four", "five", ""]
    assert lines(Bullets(("one two three four five", "six")), 20) == [
        "- one two three four", "  five", "- six", "",
    ]  # fmt: skip
    grid = Grid(("a", "b"), "<>", (("x", "1"),), "A caption that is long")
    assert lines(grid, 20, lambda title: f"<{title}>") == [
        "<A caption that is>", "<long>", "a  b", "----", "x  1", "",
    ]  # fmt: skip
    picture = Picture("<svg/>", "caption", "the words")
    assert lines(picture, 30) == ["[caption: the words]"]


def test_a_table_of_many_columns_is_printed_in_parts():
    grid = Grid(("p", "aaaa", "bbbb", "cccc"), "<>>>", (("1", "2", "3", "4"),), repeat=1)
    assert lines(grid, 15) == [
        "p  aaaa  bbbb", "-------------", "1     2     3", "",
        "p  cccc", "-------", "1     4", "",
    ]  # fmt: skip


def test_the_head_says_what_the_project_is_in_a_column_of_its_own():
    info = ProjectInfo(title="Mill Lane", number="HW-7", client="Town of Harrowmere")
    made = Document("Title", (), info, "US", Identity((FileRead("project", "p", "ab" * 32),)))
    found = list(text.lines(made, 60, str))
    assert found[:7] == [
        "Title",
        "Mill Lane",
        "project number:  HW-7",
        "client:          Town of Harrowmere",
        "project file:    p, SHA-256 abababababababab",
        "program:         linerdesign 0.1.0",
        "",
    ]
