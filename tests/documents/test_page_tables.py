"""Tables, pictures and words of a page as a browser reads them."""

import re
from base64 import b64decode

import pytest
from pages import Reader, document, results
from projects import FELT, LATERAL, PIPE, toml

from linerdesign.documents.blocks import Bullets, Document, Grid, Heading, Live, Paragraph, Picture
from linerdesign.documents.mathematics import page_formula, text_symbol
from linerdesign.documents.page import blocks_markup, render, sheet_markup
from linerdesign.documents.sheet import computed, in_print_lines
from linerdesign.documents.working import working_grid
from linerdesign.interface import size
from linerdesign.project.models import ProjectInfo
from linerdesign.project.reading import parse


def shown(*blocks):
    """A page of these blocks, read."""
    return Reader(render(Document("A page", blocks, ProjectInfo(title="x"), "US")).decode())


def rows(markup):
    """The cells of a table as markup, row by row."""
    found = re.findall(r"<tr[^>]*>(.*?)</tr>", markup, re.DOTALL)
    return [re.findall(r"<t[hd][^>]*>(?:<bdi>)?(.*?)(?:</bdi>)?</t[hd]>", row) for row in found]


def test_a_table_has_numbers_in_print_and_symbols_in_mathematics():
    grid = Grid(
        ("name", "D in", "v"), "<>>", (("x^2", "12345.5", "-3"), ("plain - 3", "5", "H")),
        symbols={(-1, 1): "D", (1, 2): "H"},
    )  # fmt: skip
    heads, first, second = rows(blocks_markup((grid,), "US"))
    assert heads == ["name", str(text_symbol("D")), "v"]
    assert first[1:] == ["12,345.5", "−3"]
    # In a column of words nothing is written anew.
    assert second == ["plain - 3", "5", str(text_symbol("H"))]
    # But for units with a power; differences stay as they were written.
    words = Grid(("unit",), "<", (("ft^3",), ("2 - 3",), ("10000",)))
    assert rows(blocks_markup((words,), "US"))[1:] == [["ft³"], ["2 - 3"], ["10000"]]
    read = shown(grid)
    classes = [about.get("class") or "" for tag, about, _ in read.all() if tag in ("td", "th")]
    assert [("figure" in each) for each in classes] == [False, True, True] * 3


def test_marked_cells_are_marked():
    grid = Grid(
        ("a", "b"), "<>", (("1", "2"), ("3", "4")), "T", boxed=frozenset({(0, 1)}),
        strong=frozenset({(1, 0)}),
    )  # fmt: skip
    cells = {text: about.get("class") or "" for _, about, text in shown(grid).all("td")}
    cells |= {text: about.get("class") or "" for _, about, text in shown(grid).all("th")}
    assert "boxed" in cells["2"]
    assert "strong" in cells["3"]
    assert not [text for text in "14" if re.search("boxed|strong", cells[text])]


def test_a_table_wider_than_a_line_is_parted():
    """A line has 110 letters; heads are folded: 13 columns of 6 with gaps of 2 beside one of 2."""
    grid = Grid(
        ("no", *(f"column {n:03}" for n in range(20))), "<" + ">" * 20,
        (("1", *(str(n) for n in range(20))),), repeat=1,
    )  # fmt: skip
    markup = blocks_markup((grid,), "US")
    parts = [rows(each)[0] for each in markup.split("<table")[1:]]
    assert [len(part) for part in parts] == [14, 8]
    assert {part[0] for part in parts} == {"no"}
    assert [head for part in parts for head in part[1:]] == list(grid.columns[1:])


def test_working_is_set_as_mathematics_with_its_numbers_below():
    (result,) = results(toml())
    steps = computed(result)
    grid = working_grid(steps, "US", "Lines")
    _, *found = rows(blocks_markup((grid,), "US"))
    for cells, step in zip(found, steps, strict=True):
        assert cells[0] == str(text_symbol(step.key))
        formula = str(page_formula(step.key, step.line.tree))
        assert cells[2].startswith(formula)
        lines = in_print_lines(step)[1:]
        numbers = re.sub("<[^>]*>", "", cells[2].removeprefix(formula).replace("<br/>", "|"))
        plain = numbers.replace("&lt;", "<").replace("&gt;", ">").replace("&#x27;", "'")
        assert plain == "|".join(f"= {line}" for line in lines)


def test_blocks_of_words_and_pictures():
    read = shown(
        Heading("One"), Heading("Two", 2), Paragraph("words"), Bullets(("x", "y")),
        Picture("<svg/>", "c", "w"),
    )  # fmt: skip
    heads = [(tag, about["id"], text) for tag, about, text in read.all(attribute="id")]
    assert [each for each in heads if each[1].startswith("part")] == [
        ("h2", "part0", "One"), ("h3", "part1", "Two"),
    ]  # fmt: skip
    assert {"x", "y"} <= {text for _, _, text in read.all("li")}
    (image,) = read.all("img")
    assert b64decode(image[1]["src"].partition("base64,")[2]) == b"<svg/>"
    assert image[1]["alt"] == "w"


@pytest.mark.parametrize("units", ["US", "SI"])
def test_a_sheet_by_itself_has_its_equations_behind_it(units):
    (result,) = results(toml({"live_load": "H-20 table"}), units=units)
    read = Reader(sheet_markup(result, 3))
    ids = {about["id"] for _, about, _ in read.all(attribute="id")}
    assert {"pipe3", "pipe3-D"} <= ids
    assert len(read.all("article")) > 10
    assert any("Sources: " in text for _, _, text in read.all("p"))


LEGS = """
[[pipe.leg]]
at = "0 ft"
[[pipe.leg]]
at = "20 ft"
host_diameter = "4.4 in"
"""


def test_the_legs_of_a_pipe_and_the_schedule_follow_the_script():
    resin = FELT | {"maximum_stretch": "20 %"}
    pipe = LATERAL | {"tube_thickness": "3 mm", "length": "40 ft"}
    text = toml(pipe, resin, drop=PIPE) + LEGS
    made = size(parse(text.encode(), "p.toml")).document
    read = Reader(render(made).decode())
    (table,) = read.all("table", "data-legs")
    assert table[1]["data-legs"] == "1"
    columns = [about["data-column"] for _, about, _ in read.all(attribute="data-column")]
    assert {"leg", "tube_diameter", "verdict", "status", "governing"} <= set(columns)
    (row,) = read.all("tr", "data-schedule")
    assert row[1]["data-schedule"] == "1"
    said = [text for _, _, text in read.all("p")]
    assert any("t tube is the wall of the tube" in text for text in said)


def test_a_live_table_has_fields_and_outputs():
    live = {(0, 1): Live(2.0, name="n"), (0, 2): Live(4.0, "[1]*2", pattern="0.0")}
    grid = Grid(("what", "in", "out"), "<>>", (("row", "2", "4"),), live=live)
    read = shown(grid)
    (field,) = [about for _, about, _ in read.all("input")]
    assert field["value"] == "2"
    assert field["aria-label"] == "row, in"
    assert read.all("script")
    # A sheet in the document makes its tables as issued.
    (result,) = results(toml())
    issued = Reader(render(document([result], (grid,))).decode())
    assert not [a for _, a, _ in issued.all("input") if a.get("aria-label") == "row, in"]


def test_symbols_in_a_sentence_have_their_letters_below_and_their_primes():
    """As glossary.md prints them: E_L, E'_s, sigma, t_X1.3."""
    found = {key: str(text_symbol(key)) for key in ("E_L", "E_s", "sigma", "t_X1_3")}
    assert found == {
        "E_L": "<var>E<sub>L</sub></var>",
        "E_s": "<var>E\u2032<sub>s</sub></var>",
        "sigma": "<var>\u03c3</var>",
        "t_X1_3": "<var>t<sub>X1.3</sub></var>",
    }
