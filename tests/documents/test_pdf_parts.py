"""Long calculations in parts for the typesetter: nothing is lost, and a part holds a page."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pages import results
from projects import toml

from linerdesign.documents import pdf
from linerdesign.documents.blocks import Document, Grid, Heading, OnPaper, Paragraph, Sheet
from linerdesign.project.models import ProjectInfo

# By the constants of the module: 64 rows to a page, 22 taken by the title block, 4 by the heads of
# a table; 1600 cells to a part, so that tables of 25 columns and more have one page a part.
PAGE, TITLE, HEADS, FEWEST, CELLS = 64, 22, 4, 6, 1600


def _table(number, columns, rows):
    heads = tuple(f"{number}" for _ in range(columns))
    body = tuple(tuple(f"{number}.{row}" for _ in heads) for row in range(rows))
    return Grid(heads, "<" * columns, body, f"table {number}")


BLOCK = st.one_of(
    st.tuples(st.sampled_from((2, 8, 24, 25, 40)), st.integers(0, 200)),
    st.sampled_from(("heading", "words")),
)


def _block(number, made):
    if made == "heading":
        return Heading(f"heading {number}")
    return Paragraph(f"words {number}") if made == "words" else _table(number, *made)


@given(st.lists(BLOCK, max_size=7))
def test_a_calculation_is_parted_where_its_tables_have_filled_their_pages(made):
    blocks = [_block(number, each) for number, each in enumerate(made)]
    parts = pdf._paper_parts(blocks)
    pieces = [piece for part in parts for piece in part]
    # In order, with every row once, and no title twice.
    assert [b for b in pieces if not isinstance(b, Grid)] == [
        b for b in blocks if not isinstance(b, Grid)
    ]
    rows = [row for block in blocks if isinstance(block, Grid) for row in block.rows]
    assert [row for b in pieces if isinstance(b, Grid) for row in b.rows] == rows
    captions = [b.caption for b in pieces if isinstance(b, Grid) and b.caption]
    assert captions == [b.caption for b in blocks if isinstance(b, Grid)]
    for place, part in enumerate(parts):
        tables = [block for block in part if isinstance(block, Grid)]
        used = 0 if place else TITLE
        for table in tables:
            pages = max(CELLS // (len(table.columns) * PAGE), 1)
            assert used + len(table.rows) <= pages * PAGE - HEADS
            # A piece that a table leaves behind is no mere line or two.
            whole = int(table.rows[0][0].split(".")[0]) if table.rows else None
            if whole is not None and len(table.rows) < len(blocks[whole].rows):
                last = table.rows[-1] == blocks[whole].rows[-1]
                assert last or len(table.rows) >= FEWEST
            used += len(table.rows) + HEADS
        # A heading does not end a part, but for the last.
        assert place == len(parts) - 1 or not part or not isinstance(part[-1], Heading)
    # A part ends only where what follows had no room in it.
    for before, after in pairwise(parts):
        used = (TITLE if before is parts[0] else 0) + sum(
            len(b.rows) + HEADS for b in before if isinstance(b, Grid)
        )
        first = next(b for b in after if isinstance(b, Grid))
        pages = max(CELLS // (len(first.columns) * PAGE), 1)
        assert used + len(first.rows) > pages * PAGE - HEADS
        if not first.caption:
            continue
        # Whole, or too long for any part with less than the fewest rows left in this one.
        assert len(first.rows) <= pages * PAGE - HEADS


@pytest.mark.parametrize(
    ("above", "pieces"), [(27, [7, 60, 33]), (28, [6, 60, 34]), (29, [60, 40]), (33, [60, 40])]
)
def test_a_table_begins_on_a_page_where_six_rows_of_it_fit(above, pieces):
    """A page of 64 rows less 4 for heads has 60; title, the table above and its heads take 22 + 4
    and its own rows."""
    parts = pdf._paper_parts([_table(0, 2, above), _table(1, 40, 100)])
    tables = [block for part in parts for block in part]
    assert [len(each.rows) for each in tables] == [above, *pieces]
    assert [len(part) for part in parts] == [1 + (len(pieces) == 3), 1, *[1] * (len(parts) - 2)]


@pytest.mark.parametrize(("rows", "together"), [(22, True), (23, False)])
def test_a_part_holds_what_its_page_has_room_for(rows, together):
    """The last 34 rows of the table above, with its heads, leave 60 - 34 - 4 = 22 to the next."""
    parts = pdf._paper_parts([_table(0, 2, 28), _table(1, 40, 100), _table(2, 40, rows)])
    last = [[len(block.rows) for block in part] for part in parts[2:]]
    assert last == ([[34, rows]] if together else [[34], [rows]])


@pytest.mark.parametrize(
    ("sheets", "sizes"), [(0, [0]), (1, [1]), (12, [12]), (13, [12, 1]), (25, [12, 12, 1])]
)
def test_sheets_go_by_twelve_and_what_stands_between_with_the_one_before(sheets, sizes):
    (result,) = results(toml())
    between = Paragraph("x")
    blocks = [Heading("a"), *(b for n in range(sheets) for b in (Sheet(result, n), between))]
    parts = pdf._parts(blocks)
    assert [block for part in parts for block in part] == blocks
    assert [sum(isinstance(b, Sheet) for b in part) for part in parts] == sizes
    assert all(isinstance(part[0], Sheet) for part in parts[1:])


@pytest.mark.parametrize(
    ("rows", "tagged", "parts"),
    [(2500, True, False), (2501, False, False), (6000, False, False), (6001, False, True)],
)
def test_a_long_calculation_has_no_tags_and_a_longer_one_goes_in_parts(
    rows, tagged, parts, monkeypatch
):
    """5,000 cells are tagged at most, 12,000 typeset in one piece: of two columns, half as many
    rows. Parts of two columns hold 12 pages: 1,600 cells by 2 by 64 rows."""
    set_, joined = [], []
    monkeypatch.setattr(
        pdf, "_compiled", lambda data, tagged=False: set_.append((data, tagged)) or b"set"
    )
    monkeypatch.setattr(
        pdf,
        "_typeset",
        lambda cover, parts, ends, done: joined.append((parts, ends)) or iter(()),
    )
    monkeypatch.setattr(pdf, "_joined", lambda cover, readers: b"joined")
    paper = OnPaper((_table(0, 2, rows),), ())
    made = Document("x", (), ProjectInfo(title="x"), "US", on_paper=lambda: paper)
    assert pdf.render(made) == (b"joined" if parts else b"set")
    if not parts:
        ((data, with_tags),) = set_
        assert (data["cover"], data["last"], with_tags) == (True, True, tagged)
        return
    ((found, ends),) = joined
    # 768 rows to a part less four for heads; the first has 22 fewer.
    assert [len(part[0].rows) for part in found] == [742, 764, 764, 764, 764, 764, 764, 675]
    assert [end["cover"] for end in ends] == [True] + [False] * 7
    assert [end["last"] for end in ends] == [False] * 7 + [True]
