"""Tables cut into parts: every cell, head and mark goes with its text."""

from hypothesis import given
from hypothesis import strategies as st
from projects import toml

from linerdesign.documents.blocks import Document, Grid, Heading, of_project
from linerdesign.project.identity import FileRead, identity
from linerdesign.project.reading import parse


@st.composite
def grids(draw):
    """Tables whose texts tell where they stood, some cells empty."""
    width, height = draw(st.integers(2, 6)), draw(st.integers(1, 5))
    rows = tuple(
        tuple(
            draw(st.sampled_from((f"{row} {column}", f"{row} {column}", "", "-", "–")))
            for column in range(width)
        )
        for row in range(height)
    )
    cells = st.tuples(st.integers(0, height - 1), st.integers(0, width - 1))
    keyed = st.tuples(st.integers(-1, height - 1), st.integers(0, width - 1))
    return Grid(
        columns=tuple(f"head {column}" for column in range(width)),
        align="".join(draw(st.sampled_from("<>")) for _ in range(width)),
        rows=rows,
        caption="A table",
        boxed=draw(st.frozensets(cells)),
        strong=draw(st.frozensets(cells)),
        repeat=draw(st.integers(0, width)),
        symbols={cell: f"key of {cell}" for cell in draw(st.sets(keyed))},
    )


def _are_cut(part, whole, rows, columns):
    """Whether a part has these rows and columns of a table, with all that marks their cells."""
    assert part.columns == tuple(whole.columns[c] for c in columns)
    assert part.align == "".join(whole.align[c] for c in columns)
    assert part.rows == tuple(tuple(whole.rows[r][c] for c in columns) for r in rows)
    for row, of_row in [(-1, -1), *enumerate(rows)]:
        for column, of_column in enumerate(columns):
            here, there = (row, column), (of_row, of_column)
            assert (here in part.boxed) == (there in whole.boxed)
            assert (here in part.strong) == (there in whole.strong)
            assert part.symbols.get(here) == whole.symbols.get(there)
    marked = {*part.boxed, *part.strong, *part.symbols}
    assert all(row < len(rows) and column < len(columns) for row, column in marked)


@given(grids(), st.integers(1, 4))
def test_a_table_is_parted_by_columns_beside_those_that_repeat(grid, most):
    """A part leaves out the rows that hold nothing in the columns of its own."""
    parts = list(grid.parted(most))
    if not grid.repeat:
        assert parts == [grid]
        return
    last = len(grid.columns)
    own = [range(at, min(at + most, last)) for at in range(grid.repeat, last, most)]
    assert len(parts) == len(own)
    for part, columns in zip(parts, own, strict=True):
        rows = [
            number
            for number, row in enumerate(grid.rows)
            if {row[column] for column in columns} - {"", "-", "–"}
        ]
        _are_cut(part, grid, rows, [*range(grid.repeat), *columns])
        assert (part.caption, part.repeat, part.narrow) == ("A table", 0, True)


@given(grids(), st.integers(0, 5))
def test_a_table_is_cut_between_two_rows(grid, row):
    row = min(row, len(grid.rows))
    above, below = grid.cut_at(row)
    columns = range(len(grid.columns))
    _are_cut(above, grid, range(row), columns)
    _are_cut(below, grid, range(row, len(grid.rows)), columns)
    assert (above.caption, below.caption) == ("A table", "")
    assert above.repeat == below.repeat == grid.repeat


def test_a_document_of_a_project_is_known_by_what_its_numbers_depend_on():
    """Unit system, options and further files are part of its identity."""
    project = parse(toml().encode(), "p.toml")
    reading = FileRead("reading", "r.csv", "0" * 64)
    made = of_project(project, "SI", "A title", iter((Heading("x"),)), {"wide": 1}, (reading,))
    known = identity(project, {"units": "SI", "wide": 1}, (reading,))
    assert made == Document("A title", (Heading("x"),), project.info, "SI", known)
    assert reading in known.files
    plain = of_project(project, "SI", "A title", ())
    assert plain == Document("A title", (), project.info, "SI", identity(project, {"units": "SI"}))
    others = [of_project(project, "US", "A title", ()), made]
    assert all(each.identity.fingerprint != plain.identity.fingerprint for each in others)
