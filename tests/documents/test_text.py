"""A sheet as plain text: all that is said of a pipe, in columns that fit the line."""

import io
import os
import re
from textwrap import wrap

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
    Sheet,
    Worked,
)
from linerdesign.documents.numbers import value_with_unit
from linerdesign.documents.schedule import schedule
from linerdesign.documents.sheet import (
    checks_grid,
    computed,
    derivation,
    inputs,
    origin_text,
    other_condition_text,
    remarks,
)
from linerdesign.interface import size
from linerdesign.project.identity import FileRead, Identity
from linerdesign.project.models import ProjectInfo
from linerdesign.project.reading import parse

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


# Of 81 letters 3 go to symbols, 10 to values and 9 to numbers and blanks: 59 are left for 37 of
# meaning and 22 of source. With 58 the source has 21; with 48 it has a third, 16, and the meaning
# 32; with 18 either has 12, the least.
NARROW = {
    81: [
        " 1 D   mean inside diameter of the host pipe      48 in  given",
        " 8 m   multiple presence factor                     1.2  default",
        "   W_s live load at the crown                see source  given, stated as HL-93",
    ],
    80: [
        " 1 D   mean inside diameter of the host pipe      48 in  given",
        " 8 m   multiple presence factor                     1.2  default",
        "   W_s live load at the crown                see source  given, stated as",
        "                                                         HL-93",
    ],
    70: [
        " 1 D   mean inside diameter of the host      48 in  given",
        "       pipe",
        " 8 m   multiple presence factor                1.2  default",
        "   W_s live load at the crown           see source  given, stated as",
        "                                                    HL-93",
    ],
    40: [
        " 1 D   mean inside       48 in  given",
        "       diameter of",
        "       the host",
        "       pipe",
        " 8 m   multiple            1.2  default",
        "       presence",
        "       factor",
        "   W_s live load at see source  given,",
        "       the crown                stated as",
        "                                HL-93",
    ],
}


@pytest.mark.parametrize("width", NARROW)
def test_meanings_of_inputs_give_way_first_and_sources_next(width):
    (result,) = results(CASES["one place"])
    given = [step for step in inputs(result) if step.key in ("D", "m")]
    assert lines(Worked(result, given), width) == ["Inputs", *NARROW[width], ""]


def test_a_reference_ends_the_line_of_its_head_where_a_blank_is_left():
    (result,) = results(CASES["one place"])
    (step,) = [each for each in computed(result) if each.key == "C"]
    head = f"{step.number:>3} C, {step.meaning}"
    _, *found = lines(Worked(result, (step,)), 90)
    end = found[0].removeprefix(head).strip()
    assert end.startswith(f"[{step.equation}; ")
    both = len(head) + len(end)
    assert lines(Worked(result, (step,)), both + 1)[1] == f"{head} {end}"
    assert lines(Worked(result, (step,)), both)[1:3] == [head, end.rjust(both)]


def test_a_flag_stands_under_the_symbol_of_its_line():
    (result,) = results(CASES["flags"])
    flagged = [step for step in computed(result) if step.flags]
    assert flagged
    for step in flagged:
        found = lines(Worked(result, (step,)), 300)
        assert found[-1 - len(step.flags) : -1] == [f"      ! {flag}" for flag in step.flags]


def test_worked_lines_end_with_their_checks():
    (result,) = results(CASES["one place"])
    checks = checks_grid(result)
    found = lines(Worked(result, (), checks), 100, lambda title: f"<{title}>")
    assert found == lines(checks, 100, lambda title: f"<{title}>")
    assert found[0] == f"<{checks.caption}>"


@pytest.mark.parametrize(
    ("width", "left_out"),
    [(70, []), (64, ["DR"]), (60, ["DR", "cover, ft"]), (40, ["DR", "cover, ft"])],
)
def test_a_schedule_leaves_out_what_a_line_has_no_room_for(width, left_out):
    """First the ratio of the wall, then lengths, then cover."""
    made = schedule(results(toml(), toml({"name": "Two"})), {})
    heads = [head for head in made.columns if head not in left_out]
    assert list(text._spared(made, width).columns) == heads
    words = set(" ".join(lines(made, width)).split())
    assert ("DR" in words, "cover" in words) == ("DR" in heads, "cover, ft" in heads)


class Screen(io.StringIO):
    def isatty(self):
        return True


def test_what_is_printed_is_as_wide_as_the_terminal_with_bold_titles(monkeypatch):
    asked = []

    def size(fallback):
        asked.append(fallback)
        return os.terminal_size((30, 5))

    monkeypatch.setattr(text, "get_terminal_size", size)
    monkeypatch.setenv("TERM", "xterm")
    made = Document(
        "Title", (Paragraph("one two three four five six seven"),), ProjectInfo(title="x"), "US"
    )
    found = text.printed(made, Screen())
    # The codes of ECMA-48 for bold and for its end.
    assert found.startswith("\x1b[1mTitle\x1b[0m\nx\n")
    assert "\none two three four five six\nseven\n" in found
    # As wide as a form in a file, and as high as most, where nothing says.
    assert asked == [(100, 24)]
    plain = found.replace("\x1b[1m", "").replace("\x1b[0m", "")
    assert text.printed(made, io.StringIO()) == plain
    monkeypatch.setenv("TERM", "dumb")
    assert text.printed(made, Screen()) == plain
    monkeypatch.delenv("TERM")
    assert text.printed(made, Screen()) == found
    assert text.render(made) == text.render(made, 100) != text.render(made, 101)


def test_a_long_label_of_the_head_has_a_blank_behind_it():
    made = Document("T", (), ProjectInfo(title="x", number="7"), "US",
                    Identity((FileRead("an owner's second", "p", "ab" * 32),)))  # fmt: skip
    assert list(text.lines(made, 90, str))[2:4] == [
        "project number:         7",
        "an owner's second file: p, SHA-256 abababababababab",
    ]


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


def test_the_notes_of_a_sheet_are_whole_and_the_other_condition_stands_before_them():
    project = parse(CASES["flags"].encode(), "p.toml")
    (result,) = size(project, both_conditions=True).pipes
    found = lines(Sheet(result, 1), 60, lambda title: f"<{title}>")
    status = found.index(f"<Status: {result.status}>")
    told = other_condition_text(result)
    wanted = ["", *wrap(told, 60), ""]
    for title, items in remarks(result).items():
        wanted.append(f"<{title}>")
        for item in items:
            wanted += wrap(item, 60, initial_indent="- ", subsequent_indent="  ")
        wanted.append("")
    end = status + 1 + len(wanted)
    assert [each.split() for each in found[status + 1 : end]] == [each.split() for each in wanted]
    assert [line[:2] for line in found[status + 1 : end]] == [line[:2] for line in wanted]


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
