"""Numbers, words and messages of one column, cell by cell."""

import numpy as np
import polars as pl
import pytest

from linerdesign.project.columns import Column
from linerdesign.project.faults import fault
from linerdesign.tasks.batch import chances
from linerdesign.tasks.batch.cells import (
    COMMA,
    POINT,
    UNKNOWN,
    by_text,
    decimal_mark,
    read_quantities,
    read_words,
)
from linerdesign.tasks.batch.messages import Count, Messages, counted

LENGTH = Column("length [ft]", "length", "ft")
LOAD = Column("live_load [psi]", "live_load", "psi")


def cells(values, mark=POINT, column=LENGTH, meant=None):
    messages = Messages()
    found = read_quantities(column, pl.Series(values), meant or {}, mark, messages)
    return found, [(each.rows.tolist(), each.text) for each in messages.said]


@pytest.mark.parametrize(
    ("texts", "mark"),
    [
        (["5", "12"], UNKNOWN),
        (["5.5"], POINT),
        (["1,250.5"], POINT),
        (["1.250,5"], COMMA),
        (["12,5"], COMMA),
        (["12,5", "12.5"], POINT),
        ([" -0,125 "], COMMA),
        (["0.125"], POINT),
        ([".5"], POINT),
        (["1.250"], UNKNOWN),
        (["1,250"], UNKNOWN),
        (["1,2505"], COMMA),
        ([None], UNKNOWN),
    ],
)
def test_the_decimal_mark_as_far_as_numbers_tell(texts, mark):
    assert decimal_mark([pl.Series(texts, dtype=pl.String), pl.Series([1.5])]) == mark


@pytest.mark.parametrize(
    ("texts", "mark", "numbers", "grouped"),
    [
        (["5", "1e3", "2.5"], POINT, [5, 1000, 2.5], 0),
        (["5", "1,250.5", "1 250", "1'250"], POINT, [5, 1250.5, 1250, 1250], 3),
        (["5,5", "1.250", "1.250,5", "7"], COMMA, [5.5, 1250, 1250.5, 7], 2),
        (["1'250", "1,250,000", "1 250"], UNKNOWN, [1250, 1_250_000, 1250], 3),
        (["5", None], UNKNOWN, [5, np.nan], 0),
    ],
)
def test_numbers_with_marks_between_thousands_are_counted(texts, mark, numbers, grouped):
    found, said = cells(texts, mark)
    assert found.numbers == pytest.approx(numbers, nan_ok=True)
    assert (found.grouped, said) == (grouped, [])
    assert found.given.tolist() == found.measured.tolist() == np.isfinite(numbers).tolist()
    assert found.words is None


def test_columns_of_numbers_have_no_marks():
    found, said = cells([1.5, None, 3.0], COMMA)
    assert found.numbers == pytest.approx([1.5, np.nan, 3.0], nan_ok=True)
    assert (found.grouped, said) == (0, [])


@pytest.mark.parametrize(
    ("text", "mark", "words"),
    [
        ("12,5", UNKNOWN, "ambiguous comma; write 125 or 12.5"),
        ("1,250", UNKNOWN, "ambiguous comma; write 1250 or 1.250"),
        ("12,5", POINT, "comma in a number"),
        ("12.5", COMMA, "decimal point beside decimal commas"),
        ("twelve", POINT, "not a number"),
        ("1,2,5", POINT, "not a number"),
        ("-5", POINT, "greater than zero"),
        ("0", POINT, "greater than zero"),
    ],
)
def test_a_cell_that_is_no_number_of_the_key(text, mark, words):
    found, ((rows, said),) = cells(["5", text, text], mark)
    assert rows == [1, 2]
    assert said.startswith(f'column "length [ft]" "{text}": ')
    assert words in said
    assert found.given[0]


def test_one_cell_that_is_none_is_refused_as_many_are():
    ((rows, said),) = cells(["5", "-5"])[1]
    assert rows == [1]
    assert said == 'column "length [ft]" "-5": out of range; give a length greater than zero'
    ((rows, said),) = cells(["x"])[1]
    assert (rows, "not a number" in said) == ([0], True)


@pytest.mark.parametrize(
    ("text", "mark", "words"),
    [
        # A column that has its unit takes words and bare numbers, and no number with a unit.
        ("5 psi", POINT, "not a number"),
        ("-5 psi", POINT, "not a number"),
        ("H-99 tabel", POINT, "unknown live load"),
        ("5.5", COMMA, "decimal point beside decimal commas"),
    ],
)
def test_a_cell_that_is_no_word_of_the_key(text, mark, words):
    ((rows, said),) = cells(["1", text], mark, LOAD)[1]
    assert rows == [1]
    assert said.startswith(f'column "live_load [psi]" "{text}": ')
    assert words in said


def test_an_example_has_the_mark_of_the_other_cells():
    """A safety factor is 2.0 by the point, 2,0 by the comma."""
    factor = Column("N", "safety_factor")
    ((_, said),) = cells(["2,5", "2.5"], COMMA, factor)[1]
    assert "2,0" in said
    ((_, said),) = cells(["2.5", "2,5"], POINT, factor)[1]
    assert "2.0" in said


def test_words_in_place_of_numbers():
    """A word is given, and measures nothing; a blank is neither."""
    found, said = cells(["1", "none", None, " none ", ""], POINT, LOAD)
    assert said == []
    assert found.given.tolist() == [True, True, False, True, False]
    assert found.measured.tolist() == [True, False, False, False, False]
    assert found.words.to_list() == ["", "none", "", "none", ""]
    mapped, said = cells(["1", "keine"], POINT, LOAD, {"keine": "none"})
    assert (mapped.words.to_list(), said) == (["", "none"], [])


def test_texts_with_the_rows_that_have_them():
    found = list(by_text(pl.Series(["a", "b", "a", "c"]), np.array([0, 2, 3])))
    assert [(text, rows.tolist()) for text, rows in found] == [("a", [0, 2]), ("c", [3])]


def test_words_of_a_column():
    messages = Messages()
    columns = [Column("resin", "resin"), Column("state", "condition")]
    frame = pl.DataFrame(
        {
            "resin": ["Felt", " Felt ", "Glas", None, "Glas"],
            "state": ["partially deteriorated", "bad", "", "ok", None],
        }
    )
    meant = {"condition": {"ok": "fully deteriorated"}}
    found = read_words(columns, frame, meant, ("Felt", "Glass"), messages)
    assert found["resin"].to_list() == ["Felt", "Felt", "Glas", "", "Glas"]
    assert found["condition"].to_list()[2:] == ["", "fully deteriorated", ""]
    said = [(each.rows.tolist(), each.text) for each in messages.said]
    assert [rows for rows, _ in said] == [[2, 4], [1]]
    assert said[0][1].startswith('column "resin" "Glas": no such resin; use one of "Felt"')
    assert said[1][1].startswith('column "state" "bad": unknown value')


def test_messages_beside_rows_begin_with_faults():
    messages = Messages()
    messages.add("caution", "deep", [0, 1])
    messages.add("caution", "wide", [1], "wide pipes")
    messages.refuse([1, 2], fault("no_thickness", "row", "7", why="why"))
    codes, texts = messages.beside_rows(4)
    told = [texts[code] for code in codes]
    assert told[0] == "deep"
    assert told[1].endswith("; deep; wide")
    assert told[1].startswith(told[2])
    assert (told[3], texts[0]) == ("", "")
    assert messages.free(4).tolist() == [True, False, False, True]
    found = {}
    messages.add("caution", "nothing", [])
    counted(messages.said, found, 10)
    cause = next(cause for kind, cause in found if kind == "error")
    assert '"7"' not in cause
    assert found["caution", "deep"] == Count(2, [11, 12])
    assert found["caution", "wide pipes"] == Count(1, [12])
    assert len(found) == 3
    messages.said = messages.said[:1] * 2
    counted(messages.said, found, 20)
    assert found["caution", "deep"] == Count(6, [11, 12, 21])


def test_rows_are_drawn_in_parts_that_hold_each_once(monkeypatch):
    """Room for three rows, each with all trials of eight scrambles."""
    monkeypatch.setattr(chances, "DESIGNS", 3 * 8 * chances.MOST)
    parts = [list(range(7))[some] for some in chances._chunks(7)]
    assert parts == [[0, 1, 2], [3, 4, 5], [6]]
