"""Calculations beside the thickness, of several pipes: nothing lost, each number by its pipe."""

import re
from dataclasses import replace

import pytest
from pages import results
from projects import sized, toml

from linerdesign.documents.blocks import (
    Addition,
    Bullets,
    Grid,
    Heading,
    Paragraph,
    Picture,
)
from linerdesign.documents.further import further, worked
from linerdesign.documents.working import Values, working_grid
from linerdesign.expressions.printing import positional
from linerdesign.methods.symbols import SYMBOLS

LONG = "y" * 41


def blocks_of(*pipes, names=None, kind="works", whole=False):
    """What is printed of these pipes' blocks."""
    names = names or [f"Pipe {number}" for number in range(1, len(pipes) + 1)]
    designs = results(*(toml(pipe={"name": name}) for name in names))
    additions = {
        name: [Addition(kind, [], tuple(blocks))]
        for name, blocks in zip(names, pipes, strict=True)
        if blocks is not None
    }
    return list(further(designs, additions, whole))


def grid(*rows, caption="Tests", **marks):
    return Grid(("place", "value"), "<>", rows, caption, **marks)


def test_nothing_is_said_where_nothing_was_calculated():
    assert blocks_of(None, None) == []


def test_tables_of_several_pipes_are_one_with_the_marks_of_their_cells():
    first = grid(("a", "1"), ("b", "2"), boxed=frozenset({(1, 1)}), symbols={(-1, 1): "D"})
    second = grid(
        ("c", "3"),
        ("d", "4"),
        boxed=frozenset({(1, 0)}),
        strong=frozenset({(1, 0)}),
        symbols={(-1, 1): "D", (1, 1): "H"},
    )
    head, title, table = blocks_of([Heading("Load", 2), first], None, [Heading("Load", 2), second])
    assert head == Heading("Further calculations")
    assert title == Heading("Load", 2)
    assert table.columns == ("pipe", "place", "value")
    assert table.align == "<<>"
    assert table.caption == "Tests"
    assert table.rows == (("1", "a", "1"), ("1", "b", "2"), ("3", "c", "3"), ("3", "d", "4"))
    marked = [{table.rows[row][column] for row, column in at} for at in (table.boxed, table.strong)]
    assert marked == [{"2", "d"}, {"d"}]
    assert table.symbols == {(-1, 2): "D", (3, 2): "H"}
    assert table.narrow


def test_the_table_of_one_pipe_is_its_own():
    table = grid(("a", "1"))
    assert blocks_of([Heading("Load", 2), table])[2] is table


def test_remarks_stand_under_their_section_once_with_the_numbers_of_their_pipes():
    one = [Heading("Load", 2), Bullets(("both", "one alone.")), Heading("Empty", 2)]
    other = [Heading("Load", 2), Paragraph("both"), Heading("Other", 2), Paragraph("late")]
    *_, load, bullets, title, late = blocks_of(one, other)
    assert (load, title) == (Heading("Load", 2), Heading("Other", 2))
    assert bullets.items[0] == "both"
    assert bullets.items[1].startswith("one alone")
    assert re.findall(r"\d", bullets.items[1]) == ["1"]
    assert late.items[0].startswith("late")
    assert re.findall(r"\d", late.items[0]) == ["2"]


def test_pipes_with_a_picture_have_a_heading_each():
    picture = Picture("<svg/>", "caption", "words")
    working = working_grid(sized().steps[:2], "US", "Lines")
    made = blocks_of([picture, working], [grid(("a", "1"))])
    assert made[:5] == [
        Heading("Further calculations"),
        Heading("1 Pipe 1", 2),
        picture,
        Heading("2 Pipe 2", 2),
        grid(("a", "1")),
    ]
    # The working is there once, below.
    (lines,) = made[5:]
    assert lines.rows == working.rows


@pytest.mark.parametrize("whole", [False, True])
def test_working_of_a_document_of_its_own_is_left_out_and_named(whole):
    steps = sized().steps
    apart = replace(working_grid(steps[:2], "US", "Elsewhere"), apart=True)
    here = working_grid(steps[2:4], "US", "Here")
    made = blocks_of([Heading("Load", 2), grid(("a", "1")), apart, here], whole=whole)
    captions = [block.caption for block in made if isinstance(block, Grid)]
    assert captions == ["Tests", *(["Elsewhere"] if whole else []), "Here"]
    assert [each.apart for each in made if isinstance(each, Grid)] == [
        False,
        *[True] * whole,
        False,
    ]
    told = [block.text for block in made if isinstance(block, Paragraph)]
    assert len(told) == (not whole)
    assert all("in a document of their own" in text for text in told)


def values(**figures):
    """A table of quantities by their keys, each a number and a unit."""
    rows = tuple(
        (f"meaning of {key}", SYMBOLS[key].symbol, " ".join(f)) for key, f in figures.items()
    )
    symbols = {(place, 1): key for place, key in enumerate(figures)}
    return Values(
        ("quantity", "", ""), "<<>", rows, "Site", symbols=symbols, figures=tuple(figures.values())
    )


def test_quantities_of_few_pipes_are_a_row_each():
    """A unit of all pipes stands once, units that differ beside their numbers, and a dash where a
    pipe has none."""
    one = values(D=("8", "in"), t=("6", "mm"), H=("3", "ft"))
    other = values(D=("10", "in"), t=("0.25", "in"), P=("5", "psi"))
    pipes = ([Heading("Site", 2), one], [Heading("Site", 2), other])
    (table,) = [each for each in blocks_of(*pipes, names=["A", LONG]) if isinstance(each, Grid)]
    assert table.columns == ("quantity", "", "unit", "1 A", f"2 {'y' * 39}…")
    assert table.align == "<<<>>"
    assert table.rows == (
        ("meaning of D", "D", "in", "8", "10"),
        ("meaning of t", "t", "", "6 mm", "0.25 in"),
        ("meaning of H", "H", "ft", "3", "–"),
        ("meaning of P", "P", "psi", "–", "5"),
    )
    assert table.caption == "Site"
    assert table.repeat == 3
    assert table.symbols == {(0, 1): "D", (1, 1): "t", (2, 1): "H", (3, 1): "P"}


@pytest.mark.parametrize("pipes", [2, 3])
def test_more_pipes_than_quantities_are_a_row_each_with_a_legend(pipes):
    tables = [
        [Heading("Site", 2), values(D=(str(8 + n), "in"), N=(str(n), ""))] for n in range(pipes)
    ]
    _, _, table, *legend = blocks_of(*tables)
    if pipes == 2:
        assert table.columns == ("quantity", "", "unit", "1 Pipe 1", "2 Pipe 2")
        assert legend == []
        return
    assert table.caption == "Site"
    assert table.columns == ("pipe", "D in", "N")
    assert table.align == "<>>"
    assert table.rows == (("1 Pipe 1", "8", "0"), ("2 Pipe 2", "9", "1"), ("3 Pipe 3", "10", "2"))
    assert table.repeat == 1
    assert table.symbols == {(-1, 1): "D", (-1, 2): "N"}
    assert legend == [Paragraph("D meaning of D; N meaning of N.", ("D", "N"))]


@pytest.mark.parametrize(("count", "across"), [(18, True), (19, False)])
def test_a_row_a_pipe_has_eighteen_quantities_at_most(count, across):
    keys = [key for key in SYMBOLS if SYMBOLS[key].kind != "thickness"][:count]
    one = values(**dict.fromkeys(keys, ("1", "")))
    (table,) = [
        each for each in blocks_of(*[[Heading("Site", 2), one]] * 25) if isinstance(each, Grid)
    ]
    assert (len(table.columns), len(table.rows)) == ((19, 25) if across else (28, 19))


def working(result, caption="Working of this", at="", topic="Topic", keys=None):
    steps = [step for step in result.steps if keys is None or step.key in keys]
    return working_grid(steps, result.basis.system, caption, at, topic)


def topics(*workings):
    return list(worked([(n, "ABC"[n - 1], (each,)) for n, each in enumerate(workings, 1)]))


def test_the_working_of_one_pipe_keeps_its_caption():
    (table,) = topics(working(sized()))
    assert table.caption == "Working of this"
    assert [step.key for step in table.steps] == [step.key for step in sized().steps]


def test_every_line_is_worked_once_and_the_numbers_of_the_others_follow():
    """Water of 9 ft in place of 12 changes what follows from it, and nothing else."""
    one, other = sized(), sized(pipe={"groundwater_above_invert": "9 ft"})
    first, beside = topics(working(one), working(other))
    assert first.caption == "Topic: worked for pipe 1 A"
    assert [step.key for step in first.steps] == [step.key for step in one.steps]
    assert beside.caption == (
        "Topic: the others, by the lines worked above; lines not listed are the same"
    )
    assert beside.columns == ("", "unit", "2 B")
    assert beside.align == "<<>"
    assert beside.repeat == 2
    # Of the rows of a line the first; the others have the other unit, and the exact number.
    shown = {beside.symbols[place, 0]: row for place, row in reversed([*enumerate(beside.rows)])}
    changed = {
        step.key: theirs
        for step, theirs in zip(one.steps, other.steps, strict=True)
        if step.value != theirs.value
    }
    assert shown.keys() == changed.keys()
    assert shown["h_invert"] == ("h_i", "ft", "9")
    for key, theirs in changed.items():
        if SYMBOLS[key].kind != "thickness":
            assert shown[key] == (theirs.symbol, SYMBOLS[key].unit("US"), positional(theirs.value))


def test_lines_that_only_some_pipes_have_are_worked_for_one_of_them():
    """The largest is worked first, then what it lacks, and no line twice."""
    one = working(sized(), keys={"D", "H", "R_w"})
    other = working(sized(), keys={"D", "H", "B", "C"})
    first, more, beside = topics(one, other)
    assert first.caption == "Topic: worked for pipe 2 B"
    assert [step.key for step in first.steps] == ["D", "H", "C", "B"]
    assert more.caption == "Topic: further lines, worked for pipe 1 A"
    assert [step.key for step in more.steps] == ["R_w"]
    assert beside.columns == ("", "unit", "1 A")
    # Of the pipe worked second a table has the lines in which it differs from the first.
    # A line that the longest table lacks stands behind the line that it follows in its own.
    assert [(row[0], row[2]) for row in beside.rows] == [
        ("R_w", positional(next(s.value for s in one.steps if s.key == "R_w"))),
        ("C", "–"),
        ("B'", "–"),
    ]


def test_pipes_alike_in_every_line_have_no_further_table():
    (table,) = topics(working(sized()), working(sized()))
    assert table.caption == "Topic: worked for pipe 1 A"


def test_places_along_a_pipe_stand_behind_its_number():
    """The pipe worked in full is named in its caption; columns of places have the number alone."""
    nine = sized(pipe={"groundwater_above_invert": "9 ft"})
    first, beside = topics(working(sized(), at="MH 1"), working(nine, at="MH 2"))
    assert first.caption == "Topic: worked for pipe 1 A @ MH 1"
    assert beside.columns == ("", "unit", "2 @ MH 2")


def test_stations_of_another_pipe_are_a_column_each():
    places = [{"at": "MH 1", "cover": "9 ft"}, {"at": "MH 2", "cover": "20 ft"}]
    stations = sized(pipe={"station": places, "host_diameter": "36 in"}, drop=["cover"])
    keys = {"H", "D"}
    first, beside = topics(working(sized(), keys=keys), working(stations, keys=keys))
    assert first.caption == "Topic: worked for pipe 1 A"
    assert beside.columns == ("", "unit", "2 B @ MH 1", "2 B @ MH 2")
    assert beside.rows == (("D", "in", "36", "36"), ("H", "ft", "9", "20"))


def test_topics_are_kept_apart_and_a_topic_left_out_is_the_caption():
    one = working(sized(), caption="One", topic="", keys={"D"})
    other = working(sized(), caption="Other", topic="", keys={"D"})
    assert [table.caption for table in topics(one, other)] == [
        "One: worked for pipe 1 A",
        "Other: worked for pipe 2 B",
    ]
