"""What a page's script is given: every part of the data against the design that it is of."""

import json
import re

import pytest
from pages import document, page, partial, results, several
from projects import toml

from linerdesign.documents import page as page_module
from linerdesign.documents import pdf
from linerdesign.documents.blocks import Document, Grid, Heading, Paragraph, Sheet
from linerdesign.documents.page_data import Calculations
from linerdesign.documents.page_sheet import Homes
from linerdesign.documents.pdf_blocks import Formulas, block_data
from linerdesign.documents.schedule import schedule
from linerdesign.expressions.tree import tables
from linerdesign.methods.method import checks_of, choice_of_thickness, requirement, verification
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.project.models import ProjectInfo


def _read(designs, entry=lambda line: 7):
    """The data of these designs, and the functions in the order of their places."""
    made, first = Calculations(entry), 1
    for each in designs:
        made.add(each, first)
        first += len(each.stations)
    data, functions = re.fullmatch(
        r"const data = (.*?);\n.*const functions = \(lookUp, across\) => \[\n(.*)\n\];\n",
        made.source(),
        re.S,
    ).groups()
    return json.loads(data), functions.split(",\n")


def test_what_the_script_must_know_of_the_program():
    """An inch is 25.4 mm by definition; a wall has four figures, and twenty pipes go at once."""
    data, _ = _read(results(toml()))
    assert (data["mmPerInch"], data["figures"], data["atOnce"]) == (25.4, 4, 20)
    assert (data["same"], data["noise"]) == (1e-9, 1e-12)
    assert (data["sound"], data["caution"]) == (["sized", "checked"], "caution")
    assert data["legVerdicts"] == data["verdicts"] == {"true": "passes", "false": "FAILS"}
    # Of the columns of the schedule those that follow a change: the length of a pipe does not.
    assert data["columns"] == {"diameter": "D", "cover": "H", "water": "h_invert", "ratio": "DR"}


def test_pipes_of_one_basis_share_a_calculation():
    designs = results(toml({"ovality": "3 %"}), several(), partial(), toml({"name": "Two"}))
    data, _ = _read(designs)
    assert [
        (pipe["calculation"], pipe["first"], pipe["section"], pipe["prefixes"], pipe["legs"])
        for pipe in data["pipes"]
    ] == [
        (0, 1, "pipe1", ["pipe1_"], None),
        (1, 2, "pipe2", ["pipe2_", "pipe3_", "pipe4_"], None),
        (2, 5, "pipe5", ["pipe5_"], None),
        (0, 6, "pipe6", ["pipe6_"], None),
    ]
    assert [tuple(pipe["stations"]) for pipe in data["pipes"]] == [e.stations for e in designs]
    assert len(data["calculations"]) == 3


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("text", [toml({"live_load": "HL-93"}), several(), partial()])
def test_a_calculation_has_every_line_quantity_and_check(text, units):
    (result,) = results(text, units=units)
    data, functions = _read([result])
    (found,) = data["calculations"]
    basis = result.basis
    assert found["system"] == units
    known = {step.key for step in result.steps} | {said.key for said in result.in_words}
    assert list(found["quantities"]) == sorted(known)
    for key, about in found["quantities"].items():
        assert (about["name"], about["unit"]) == (name_of(key), SYMBOLS[key].unit(units))
        assert about["thickness"] == (SYMBOLS[key].kind == "thickness")
        assert about["expected"].startswith("write a")
    # As the README's table of keys has them.
    ratio, share = found["quantities"]["nu"], found["quantities"]["r_E"]
    assert ratio["expected"] == "write a number, over 0 and under 0.5"
    assert (ratio["over"], ratio["under"]) == (0, 0.5)
    assert (share["over"], share["most"]) == (0, 100)
    given = dict.fromkeys(s.key for s in result.steps if s.line is None and s.arithmetic is None)
    assert found["inputs"] == list(given)
    assert found["in_words"] == list(dict.fromkeys(said.key for said in result.in_words))
    parts = {
        "requirement": requirement(basis),
        "choice": choice_of_thickness(basis),
        "verification": verification(basis),
    }
    for part, lines in parts.items():
        for place, line in zip(found[part], lines, strict=True):
            shown = data["lines"][place]
            assert (shown["key"], shown["entry"]) == (line.result, 7)
            assert shown["needs"] == list(dict.fromkeys(line.needs))
            assert functions[shown["value"]].startswith("(v) => ")
            read = set(re.findall(r"\bv\.(\w+)", functions[shown["value"]]))
            assert read <= {*line.needs}
            assert (shown["when"] is None) == (line.when is None)
            # A range belongs to the line of its own equation.
            assert [each["text"] for each in shown["limits"]] == [
                limit.text for limit in line.equation.limits_in(units)
                if limit.text in {r.limit.text for r in result.calculation.ranges}
            ]  # fmt: skip
    used = dict.fromkeys(t for ls in parts.values() for line in ls for t in tables(line.tree))
    assert {tuple(each["xs"]) for each in data["tables"]} == {table.xs for table in used}
    assert [each["equation"] for each in found["checks"]] == [
        check.equation for check in checks_of(basis)
    ]
    assert all(each["demand"] in SYMBOLS for each in found["checks"])


def test_a_template_leaves_no_empty_lines_and_no_blank_unfilled():
    """The style and the script are as they are written."""
    from jinja2 import UndefinedError

    shown = re.sub(r"<(style|script)>.*?</\1>", "", page(results(toml())), flags=re.S)
    assert "<h2" in shown
    assert not re.search(r"\n[ \t]*\n[ \t]*\n", shown)
    environment = page_module._environment()
    with pytest.raises(UndefinedError):
        environment.from_string("{{ nothing_given }}").render()
    # A line that holds a tag alone is no line of the page.
    assert environment.from_string("a\n  {% if x %}\nb\n  {% endif %}\nc").render(x=1) == "a\nb\nc"
    shown = environment.from_string("{{ a }}|{{ b }}|{{ c }}")
    assert shown.render(a="<\x07", b=None, c=0) == "&lt;\\x07||0"


def test_the_contents_name_what_there_is():
    """A basis only where pipes share values, and equations and symbols only behind sheets."""
    homes = Homes({}, "US")
    assert page_module._contents((Heading("A"), Heading("B", 2)), homes) == [("#part0", "A")]
    alone = page_module._contents(document(results(toml())).blocks, homes)
    assert [target for target, _ in alone] == ["#part0", "#pipe1", "#equations", "#symbols"]
    pair = results(toml(), toml({"name": "Two"}))
    assert 'id="basis"' in page(pair)
    assert 'id="basis"' not in page(pair[:1])
    # By itself a schedule has no sheets that it could follow, and no values that pipes share.
    made = page_module.blocks_markup((schedule(pair, {}),), "US")
    assert "Two" in made
    assert 'id="basis"' not in made
    assert "data-schedule" not in made


def test_a_page_opens_with_twenty_sheets_and_packs_the_others_by_twenty(monkeypatch):
    monkeypatch.setattr(page_module, "_block", lambda block, *_: "s" * isinstance(block, Sheet))
    sheets = [Sheet(None, number) for number in range(1, 62)]
    made = Document("x", (Paragraph("y"), *sheets), ProjectInfo(title="x"), "US")
    found = page_module._pieces(made, sheets, None, None)
    assert [len(piece) for piece in found] == [20, 20, 20, 1]


def _wide(letters, columns=30):
    """A table with a head of one letter repeated, and columns of so many letters."""
    cells = ("1", *["x" * letters] * columns)
    return Grid(("p", *["h"] * columns), "<" * (columns + 1), (cells,), repeat=1)


def test_a_table_on_a_page_is_parted_at_110_letters_and_in_print_at_160():
    """The head takes 1 + 2 letters, a column of 8 letters 10, and one of 18 letters 20: ten
    columns of 10 would take 3 + 100 + 8 letters, and eight of 20 take 3 + 140 + 18, one too many.
    """
    made = page_module.blocks_markup([_wide(8)], "US")
    rows = re.findall(r"<thead>.*?</thead>", made, re.S)
    assert [len(re.findall(r"<th[ >]", row)) - 1 for row in rows] == [10, 10, 10]
    (data,) = [block_data(_wide(18, 14), Formulas())]
    assert [len(part["columns"]) - 1 for part in data["parts"]] == [7, 7]


def test_what_is_no_number_is_not_typeset():
    """It would be no JSON, which has neither NaN nor infinity (RFC 8259, 6)."""
    with pytest.raises(ValueError, match="not JSON compliant"):
        pdf._compiled({"width": float("nan")})


def test_fonts_of_the_machine_are_read_only_where_a_text_needs_them(monkeypatch):
    """So that pages are the same on every machine."""
    import typst

    asked = []
    monkeypatch.setattr(typst, "Fonts", lambda **about: asked.append(about))
    for of_machine in (False, True):
        pdf._loaded.__wrapped__(("a", "b"), of_machine)
    assert asked == [
        {"include_system_fonts": of_machine, "font_paths": ["a", "b"]}
        for of_machine in (False, True)
    ]
