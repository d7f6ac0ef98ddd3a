"""What is handed to the typesetter: every part of a sheet and a table, against the design."""

from itertools import pairwise

import pytest
from pages import STATIONS, results
from projects import toml

from linerdesign.documents import pdf
from linerdesign.documents.blocks import (
    CAUTIONS,
    Bullets,
    Document,
    Grid,
    Heading,
    OnPaper,
    Paragraph,
    Picture,
    Sheet,
    Worked,
)
from linerdesign.documents.mathematics import print_formula, print_symbol
from linerdesign.documents.numbers import printed_text, printed_value
from linerdesign.documents.pdf_blocks import Formulas, block_data
from linerdesign.documents.sheet import (
    checks_grid,
    computed,
    condition_text,
    in_print_lines,
    inputs,
    not_applying,
    origin_text,
    remark_lists,
)
from linerdesign.documents.working import working_grid
from linerdesign.expressions.tree import tables
from linerdesign.project.identity import FileRead, Identity
from linerdesign.project.models import ProjectInfo
from linerdesign.words.documents import LABELS

CASES = {
    "one place": toml({"live_load": "HL-93", "ovality": "12 %"}),
    "stations": toml(STATIONS | {"live_load": "HL-93"}, drop=("cover", "groundwater_above_invert")),
    "dry": toml(
        {"condition": "partially deteriorated", "groundwater": "none", "name": "n" * 70},
        drop=("groundwater_above_invert",),
    ),
}


@pytest.fixture(params=[(case, units) for case in CASES for units in ("US", "SI")], ids=str)
def result(request):
    case, units = request.param
    (made,) = results(CASES[case], units=units)
    return made


def _in_words(result):
    return [
        {
            "number": "", "symbol": print_symbol(said.key), "plain": said.symbol,
            "meaning": said.meaning, "station": said.station or "", "source": said.source,
            "value": "see source",
        }
        for said in result.in_words
    ]  # fmt: skip


def _given(result):
    system = result.basis.system
    return [
        {
            "number": str(step.number), "symbol": print_symbol(step.key), "plain": step.symbol,
            "meaning": printed_text(step.meaning), "station": step.station or "",
            "source": origin_text(step, system),
            "value": printed_value(step.key, step.value, system),
        }
        for step in inputs(result)
    ]  # fmt: skip


def _plainly(lines):
    """The text of lines in which symbols are parted from words."""
    return ["".join(p if isinstance(p, str) else p[1] for p in line) for line in lines]


def _are_told(runs, steps, formulas, system, known):
    """Whether runs of one quantity have all of these steps in order, each with its working."""
    told = [(run, entry) for run in runs for entry in run["entries"]]
    for (run, entry), step in zip(told, steps, strict=True):
        assert (run["symbol"], run["plain"]) == (print_symbol(step.key), step.symbol)
        assert run["meaning"] == printed_text(step.meaning)
        assert run["equation"] == (step.equation or "")
        assert entry["number"] == str(step.number)
        assert entry["station"] == (step.station or "")
        assert entry["value"] == printed_value(step.key, step.value, system)
        assert entry["flags"] == [f"Flag: {flag}" for flag in step.flags]
        lines = in_print_lines(step, system)
        assert _plainly(entry["lines"]) == (lines[1:] if step.line else lines)
        first = run["entries"][0]["number"]
        assert run["before"] == known.get(int(first), "")
        if step.line is None:
            assert (run["source"], run["formula"]) == (step.source, "")
            continue
        equation = step.line.equation
        letter = {
            "SEEN": "s", "SECONDARY": "a", "MEMORY": "m", "DERIVED": "d", "PRACTICE": "p",
        }[equation.provenance.name]  # fmt: skip
        assert run["source"] == f"{equation.clause} {letter}"
        if run["before"]:
            assert run["formula"] == ""
        else:
            source, plain = formulas.data[run["formula"]]
            assert source == run["formula"]
            assert plain.startswith(f"{step.symbol} = ")
            assert source.startswith(f"{print_symbol(step.key)} = ")
            # In symbols; of a table the rows and columns that were read may stand alone.
            if not tables(step.line.tree):
                assert source == print_formula(step.key, step.line.tree)
    # Stations of one quantity share a run, and another quantity begins one.
    keys = [(run["plain"], run["equation"]) for run in runs]
    assert all(one != other for one, other in pairwise(keys))


def test_a_sheet_is_handed_over_whole(result):
    formulas, system = Formulas(), result.basis.system
    data = block_data(Sheet(result, 1), formulas)
    assert data["kind"] == "sheet"
    facts = dict(data["facts"])
    long = len(result.name) > 60
    assert data["name"] == (result.name[:59] + "…" if long else result.name)
    assert facts.pop("Pipe", result.name) == result.name
    assert ("Pipe" in dict(data["facts"])) == long
    assert list(facts) == [
        LABELS[key]
        for key in (
            *("status", "nominal", "required", "governing", "safety", "condition", "resin"),
            "edition",
        )
    ]
    assert facts["Status"] == result.status
    factor = result.own_safety_factor
    cut = "-" if factor is None else f"{int(factor * 100) / 100:.2f}"
    assert facts[LABELS["safety"]] == cut
    required = result.required_thickness * (25.4 if system == "US" else 1)
    assert f"{required:.4g} mm" in facts[LABELS["required"]]
    assert facts["Condition of the host pipe"] == result.basis.condition
    assert facts["Resin"] == "Felt A"
    assert facts["Governing equation"].startswith(result.governing)
    millimetres = result.nominal_thickness * (25.4 if system == "US" else 1)
    assert f"{millimetres:.4g} mm" in facts["Nominal thickness"]
    outside = "Outside the scope of the method: not a valid design."
    assert data["alarm"] == (outside if result.status == "outside the method" else "")
    assert data["condition"] == condition_text(result)
    assert [p["beside"] for p in data["pictures"]] == [2, 2]
    assert [p["caption"][:7] for p in data["pictures"]] == ["Section", "Demand "]
    left = not_applying(result)
    assert data["not_applying"] == (f"Not applicable: {', '.join(left)}." if left else "")
    assert data["stations"] == (len(result.stations) > 1)
    assert data["inputs"] == [*_given(result), *_in_words(result)]
    _are_told(data["steps"], computed(result), formulas, system, {})
    # Lists of short lines go side by side, the others across.
    lists = {title: list(items) for title, items in remark_lists(result).items() if items}
    beside = ("Defaults", "Values not measured")
    told = {title: _plainly(items) for title, items in data["remarks"]}
    assert told.keys() == {title for title in lists if title not in beside}
    more = {title: _plainly(items) for title, items in data["beside"]}
    assert more.keys() == {title for title in lists if title in beside}
    for title, items in (told | more).items():
        assert [item.replace("−", "-") for item in items] == lists[title]
    assert len(data["checks"]["rows"]) == len(result.checks)


def test_worked_lines_are_handed_over_whole(result):
    """Of a part of the lines too; a formula that stands before is named and not set again."""
    formulas, system = Formulas(), result.basis.system
    known = {step.number: f"(formula: A {step.number})" for step in computed(result)[::3]}
    steps = (*inputs(result)[1:], *computed(result))
    data = block_data(Worked(result, steps, checks_grid(result), known), formulas)
    assert data["kind"] == "worked"
    used = [e for e, said in zip(_in_words(result), result.in_words, strict=True)
            if said.origin.used]  # fmt: skip
    assert data["inputs"] == [*_given(result)[1:], *used]
    assert data["stations"] == (len(result.stations) > 1)
    assert data["drawn"]["section"]["caption"].startswith("Section")
    assert data["drawn"]["bars"]["caption"].startswith("Demand")
    assert len(data["drawn"]["checks"]["rows"]) == len(result.checks)
    _are_told(data["steps"], computed(result), formulas, system, known)
    alone = block_data(Worked(result, computed(result)), Formulas())
    assert (alone["inputs"], alone["drawn"]) == ([], None)


def test_a_long_name_of_a_station_is_cut_in_its_lines_and_whole_among_the_inputs():
    """One line holds sixty letters of it."""
    names = ("m" * 60, "n" * 61)
    stations = [{"at": name, "cover": f"{9 + n} ft"} for n, name in enumerate(names)]
    (made,) = results(toml({"station": stations}, drop=("cover",)))
    data = block_data(Sheet(made, 1), Formulas())
    assert {row["station"] for row in data["inputs"]} == {"", *names}
    entries = {entry["station"] for run in data["steps"] for entry in run["entries"]}
    assert entries == {"", "m" * 60, "n" * 59 + "…"}


def _letters(count, rows=1, **kind):
    """A table of one column whose longest text has so many letters."""
    return Grid(("h",), "<", (("x" * count,),) * rows, **kind)


def _set(grid):
    (part,) = block_data(grid, Formulas())["parts"]
    return part


@pytest.mark.parametrize(
    ("columns", "size"),
    [(1, 8.5), (8, 8.5), (9, 7.4), (13, 7.4), (14, 6.7), (15, 6.2), (30, 6.2)],
)
def test_letters_are_smaller_where_columns_are_many(columns, size):
    """8 columns at 8.5 points, 13 at 7.4, 14 at 6.7, more at 6.2."""
    grid = Grid(("h",) * columns, "<" * columns, (("x",) * columns,))
    assert _set(grid)["size"] == size
    # A short narrow table takes larger letters where they fit the page.
    assert _set(Grid(("h",) * columns, "<" * columns, (("x",) * columns,), narrow=True))[
        "size"
    ] == (8.5 if columns <= 30 else size)


@pytest.mark.parametrize(
    ("count", "rows", "size", "halves"),
    [
        # A letter is 0.45 of its size wide, a column has 6 points more, and a page 475: at 8.5
        # 58 letters are less than 48 % of it, and 122 all of it.
        (10, 24, 8.5, True),
        (10, 12, 8.5, False),
        (10, 13, 8.5, True),
        (122, 24, 8.5, False),
        (123, 24, 8.5, False),
        # Over 24 rows letters are as large as let two tables stand side by side ...
        (58, 25, 8.5, True),
        (59, 25, 7.4, True),
        (66, 25, 7.4, True),
        (67, 25, 6.7, True),
        (73, 25, 6.7, True),
        (74, 25, 6.2, True),
        (79, 25, 6.2, True),
        # ... or else fit the page, or are the smallest.
        (80, 25, 8.5, False),
        (122, 25, 8.5, False),
        (123, 25, 7.4, False),
        (140, 25, 7.4, False),
        (141, 25, 6.7, False),
        (155, 25, 6.7, False),
        (156, 25, 6.2, False),
        (400, 25, 6.2, False),
    ],
)
def test_a_narrow_table_is_as_large_as_its_page_holds(count, rows, size, halves):
    data = _set(_letters(count, rows, narrow=True))
    assert (data["size"], data["halves"]) == (size, halves)
    assert data["dense"] == (rows > 24)
    assert data["narrow"]
    plain = _set(_letters(count, rows))
    assert (plain["size"], plain["halves"], plain["narrow"]) == (8.5, False, False)


@pytest.mark.parametrize(("rows", "size"), [(24, 8.5), (25, 7.4)])
def test_a_table_of_24_rows_is_short(rows, size):
    """Nine columns of 48 letters: with 6 points each they take 0.45 * 8.5 * 48 + 54 = 238 points
    at 8.5, more than 48 % of 475, and 214, less than that, at 7.4."""
    row = ("x" * 5,) * 8 + ("x" * 8,)
    assert _set(Grid(("h",) * 9, "<" * 9, (row,) * rows, narrow=True))["size"] == size


@pytest.mark.parametrize(
    ("letters", "size", "halves"),
    [
        # At 8.5 points 2 * 6 + 57 * 3.825 are 230 of 475 points, over 48 %; with 56 they are 226.
        ((28, 29), 8.5, False),
        ((28, 28), 8.5, True),
        # 48 * (6 + 3.825) are 472 points, and one more 481; at 7.4 49 * (6 + 3.33) are 457.
        ((1,) * 48, 8.5, False),
        ((1,) * 49, 7.4, False),
        # 9 * 6 + 117 * 3.825 are 502 points, and at 7.4 444; a short one gets no smaller than its
        # number of columns asks, whether it fits or not.
        ((13,) * 9, 7.4, False),
        ((15,) * 9, 7.4, False),
    ],
)
def test_every_column_takes_its_letters_and_six_points(letters, size, halves):
    row = tuple("x" * count for count in letters)
    data = _set(Grid(("h",) * len(row), "<" * len(row), (row,) * 24, narrow=True))
    assert (data["size"], data["halves"]) == (size, halves)


def test_a_table_is_handed_over_with_the_marks_of_its_cells():
    grid = Grid(
        ("name", "head m^2", "D in"),
        "<>>",
        (("a^2", "12345.5", "-3"), ("b", "-", "n/a"), ("12345", "5 psi", "x")),
        caption="From -2 on",
        boxed=frozenset({(0, 1)}),
        strong=frozenset({(1, 2), (0, 1)}),
        symbols={(-1, 2): "D", (1, 0): "H"},
    )
    data = _set(grid)
    assert data["align"] == ["<", ">", ">"]
    assert data["caption"] == "From −2 on"
    assert data["columns"] == [
        "name", "head m²", {"symbol": print_symbol("D"), "plain": "D", "after": " in"},
    ]  # fmt: skip
    assert data["rows"] == [
        [data["rows"][0][0], {"boxed": "12,345.5"}, "−3"],
        [{"symbol": print_symbol("H"), "plain": "H", "after": "b"}, "-", {"strong": "n/a"}],
        ["12345", "5 psi", "x"],
    ]
    assert data["rows"][0][0] in ("a^2", "a²")


def test_a_head_is_in_lines_and_a_cell_in_one():
    """Of the text of a project no character that is not seen is set as it is."""
    grid = Grid(("a", "cover of it"), "<>", (("b\nc\x07", "1"),), narrow=True)
    data = _set(grid)
    assert data["columns"] == ["a", "cover\nof it"]
    assert data["rows"] == [["b\\nc\\x07", "1"]]


@pytest.mark.parametrize("units", ["US", "SI"])
def test_working_is_handed_over_row_by_row(units):
    (made,) = results(CASES["stations"], units=units)
    steps = (*inputs(made)[:3], *computed(made))
    formulas = Formulas()
    data = block_data(working_grid(steps, units, "Lines\x07"), formulas)
    assert (data["kind"], data["caption"]) == ("working", "Lines\\x07")
    for row, step in zip(data["rows"], steps, strict=True):
        lines = row.pop("lines")
        assert _plainly(lines) == (in_print_lines(step, units)[1:] if step.line else [])
        at = f" at {step.station}" if step.station else ""
        formula = print_formula(step.key, step.line.tree) if step.line else ""
        assert row.pop("formula") in (formula, *formulas.data)
        assert row == {
            "symbol": print_symbol(step.key), "plain": step.symbol,
            "meaning": printed_text(step.meaning + at), "source": "" if step.line else step.source,
            "value": printed_value(step.key, step.value, units),
        }  # fmt: skip


def test_blocks_of_words_are_handed_over_with_their_symbols():
    formulas = Formulas()
    heading = block_data(Heading("t" * 301, 2, page=True), formulas)
    assert heading == {
        "kind": "heading", "text": "t" * 299 + "…", "level": 2, "page": True,
    }  # fmt: skip
    paragraph = block_data(Paragraph("From -2 on D is large", ("D",)), formulas)
    assert paragraph["sticky"]
    assert _plainly([paragraph["pieces"]]) == ["From −2 on D is large"]
    assert [print_symbol("D"), "D"] in paragraph["pieces"]
    bullets = block_data(Bullets(("a -1", "b")), formulas)
    assert _plainly(bullets["items"]) == ["a −1", "b"]
    picture = block_data(Picture("<svg/>", "c\x07", "w", beside=3), formulas)
    assert picture["parts"] == [
        {"svg": "<svg/>", "caption": "c\\x07", "alternative": "w", "beside": 3}
    ]


def test_words_keep_to_what_follows_and_pictures_of_one_width_share_a_row():
    def picture(beside):
        return Picture("<svg/>", f"{beside}", "", beside)

    blocks = [
        Paragraph("a"), Heading("h"), Paragraph("b"), picture(2), picture(2), picture(1),
        Paragraph("c"),
    ]  # fmt: skip
    made = pdf._contents(blocks)["blocks"]
    assert [block["kind"] for block in made] == [
        "paragraph", "heading", "paragraph", "pictures", "pictures", "paragraph",
    ]  # fmt: skip
    # A paragraph stays with the block below, but not over a heading nor at the end.
    assert [block["sticky"] for block in made if "pieces" in block] == [False, True, False]
    assert [[part["beside"] for part in b["parts"]] for b in made if "parts" in b] == [[2, 2], [1]]
    assert pdf._contents([]) == {"blocks": [], "formulas": {}}


def test_the_cover_says_what_the_document_is_of():
    (design,) = results(toml())
    info = ProjectInfo(
        title="Mill Lane", number="HW-7", date="20 Nov 2026 " + "x" * 40, revision="C"
    )
    files = (FileRead("project", "n" * 41, "0" * 64), FileRead("owner", "o.toml", "1" * 64))
    identity = Identity((*files, files[1]), "9f3a-0001")
    made = Document("Title", (Sheet(design, 1),), info, "US", identity)
    data = pdf._cover(made, "a4")
    assert (data["paper"], data["title"], data["running"]) == ("a4", "Title", "Mill Lane  HW-7")
    assert data["about"][0] == ["project", "Mill Lane"]
    assert dict(data["about"])["project number"] == "HW-7"
    assert data["made"] == f"linerdesign 0.1.0, {'n' * 39}…, o.toml, fingerprint 9f3a-0001"
    assert data["dated"] == f"20 Nov 2026 {'x' * 27}…, revision C"
    assert set(data["cautions"]) <= set(CAUTIONS)
    assert data["foot"].endswith("cautions on page 1.")
    assert data["legend"].startswith("Sources: ")
    assert not data["short"]
    paper = Document(
        "Title", (Sheet(design, 1),), ProjectInfo(title="x"), "US", Identity(),
        lambda: OnPaper((), ()),
    )  # fmt: skip
    for short in (paper, Document("T", (Paragraph("x"),), ProjectInfo(title="x"), "US")):
        data = pdf._cover(short, "a4")
        assert data["short"]
        assert data["foot"].endswith("cautions on the last page.")
        assert data["dated"] == ""
        assert data["running"] == "x"
