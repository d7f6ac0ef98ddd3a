"""Tables of lines worked elsewhere, and the list of equations: every row by hand or by its line."""

import pytest
from calculator import calculate
from projects import sized

from linerdesign.documents.blocks import Grid, Heading, Paragraph
from linerdesign.documents.equations import equation_data, in_full, list_of, worked_line
from linerdesign.documents.line_table import (
    Figure,
    differing,
    identity_of,
    merge,
    rows_of,
    texts,
)
from linerdesign.expressions.printing import positional
from linerdesign.expressions.tree import tables
from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.examples import example_values
from linerdesign.methods.symbols import SYMBOLS


def key(letter):
    return letter, ""


@pytest.mark.parametrize(
    ("first", "more", "order"),
    [
        ("ABC", "ABC", "ABC"),
        ("ABC", "AXBC", "AXBC"),
        ("ABC", "XABC", "XABC"),
        ("ABC", "ABCXY", "ABCXY"),
        ("ABC", "AXYC", "AXYBC"),
        ("", "AB", "AB"),
        # One that the order has keeps its place, and what follows goes behind it.
        ("ABC", "CXA", "ABCX"),
    ],
)
def test_further_lines_go_behind_the_one_that_they_follow(first, more, order):
    found = [key(letter) for letter in first]
    merge(found, [key(letter) for letter in more])
    assert "".join(letter for letter, _ in found) == order


def test_a_line_is_known_by_its_quantity_and_by_how_it_is_found():
    stations = [{"at": "a", "cover": "9 ft"}, {"at": "b", "cover": "16 ft"}]
    steps = {step.key: step for step in sized(pipe={"station": stations}, drop=("cover",)).steps}
    assert identity_of(steps["D"]) == ("D", "")
    worst = [step for step in steps.values() if step.line is None and step.arithmetic is not None]
    assert [identity_of(step) for step in worst] == [(step.key, "worst") for step in worst]
    assert worst
    line = steps["t_X1_1"].line
    assert identity_of(steps["t_X1_1"]) == ("t_X1_1", line.identity)


def test_the_figures_of_a_line():
    """A wall in both units, one of whole tenths of a millimetre in these; a flag is marked."""
    made = sized(pipe={"ovality": "12 %", "design_thickness": "22 mm"})
    found = {identity[0]: figures for identity, figures in texts(made.steps, "US").items()}
    by_key = {step.key: step for step in made.steps}
    assert found["q"] == (Figure("12", "", "!"),)
    assert found["N"] == (Figure("2"),)
    wall = by_key["t_X1_1"].value
    assert found["t_X1_1"] == (Figure(positional(wall)), Figure(f"{25.4 * wall:.4g}"))
    assert found["t"] == (Figure("22", "mm"), Figure("22"))
    metric = {i[0]: figures for i, figures in texts(sized("SI").steps, "SI").items()}
    wall = next(s.value for s in sized("SI").steps if s.key == "t_X1_1")
    assert metric["t_X1_1"] == (Figure(positional(wall)), Figure(f"{wall / 25.4:.4g}"))
    # A number of steps that is rounded up has the number before it behind.
    for step in sized().steps:
        rounds = step.line is not None and step.key == "n_s"
        if rounds:
            figures = texts([step], "US")[identity_of(step)]
            assert float(figures[-1].number) <= step.value < float(figures[-1].number) + 1
            assert len(figures) == 2


def test_rows_of_a_line_say_a_unit_once():
    plain, flagged, wall = Figure("3"), Figure("4", "", "!"), Figure("5", "mm")
    assert list(rows_of(("N", ""), [(plain,), None, (flagged,)], "US")) == [
        ("", ["3", "–", "4 !"]),
    ]  # fmt: skip
    inches = (Figure("0.2"), Figure("5.08"))
    ordered = (wall, Figure("5"))
    assert list(rows_of(("t", ""), [inches, ordered], "US")) == [
        ("in", ["0.2", "5 mm"]), ("mm", ["5.08", "5"]),
    ]  # fmt: skip
    # Where all are given in millimetres there is one row, in these.
    assert list(rows_of(("t", ""), [ordered, None], "US")) == [("mm", ["5", "–"])]
    assert list(rows_of(("t", ""), [(Figure("5"), Figure("0.197"))], "SI")) == [
        ("mm", ["5"]), ("in", ["0.197"]),
    ]  # fmt: skip
    assert list(rows_of(("N", ""), [(Figure("7"), Figure("6.2")), (plain,)], "US")) == [
        ("", ["7", "3"]), ("exact", ["6.2", "–"]),
    ]  # fmt: skip


def test_lines_differ_where_any_column_has_another_figure_or_none():
    shown = {key("A"): (Figure("1"),), key("B"): (Figure("2"),)}
    same, other = {**shown}, {key("A"): (Figure("1"),), key("B"): (Figure("2", "", "!"),)}
    lines = [key("A"), key("B"), key("C")]
    assert differing(lines, shown, [same]) == []
    assert differing(lines, shown, [same, other]) == [key("B")]
    assert differing(lines, shown, [{}, same]) == [key("A"), key("B")]
    assert differing(lines, shown, [{key("C"): (Figure("1"),)} | same]) == [key("C")]


def test_the_list_of_equations_has_a_row_for_each():
    known = list(catalogue())
    (grid,) = list_of(known)
    assert isinstance(grid, Grid)
    assert grid.columns == ("number", "form", "meaning", "clause", "source")
    assert grid.align == "<<<<<"
    for row, each in zip(grid.rows, known, strict=True):
        form = ", ".join(text for text in (each.system, each.edition) if text)
        assert row == (each.number, form, each.meaning, each.clause, each.provenance.value)


@pytest.mark.parametrize("equation", [pytest.param(each, id=each.name) for each in catalogue()])
def test_an_equation_in_full(equation):
    heading, formula, symbols, worked, ranges, clause, *more = in_full(equation)
    form = ", ".join(text for text in (equation.system, equation.edition) if text)
    end = f" ({form})" if form else ""
    assert heading == Heading(f"{equation.number}: {equation.meaning}{end}", 2)
    result = SYMBOLS[equation.result]
    assert formula.text.startswith(f"{result.symbol} = ")
    assert symbols.columns == ("symbol", "meaning", "US unit", "SI unit")
    assert symbols.align == "<<<<"
    assert symbols.rows == tuple(
        (SYMBOLS[k].symbol, SYMBOLS[k].meaning, SYMBOLS[k].unit("US"), SYMBOLS[k].unit("SI"))
        for k in (equation.result, *equation.arguments)
    )
    line = worked_line(equation)
    assert worked == Paragraph(f"Example: {line}")
    system = equation.system or "US"
    if equation.kind == "equation":
        symbol, *numbers, last = line.removesuffix(result.unit(system)).split(" = ")
        assert symbol == result.symbol
        assert calculate(numbers[-1]) == pytest.approx(float(last), rel=5e-4)
        values = example_values(system)
        wanted = float(equation(**{k: values[k] for k in equation.arguments}))
        assert float(last) == pytest.approx(wanted, rel=1e-5)
    assert line.endswith(result.unit(system))
    if equation.limits:
        assert ranges.text.startswith("Range: ")
        for limit in equation.limits:
            assert f" (otherwise {limit.severity}: {limit.text})" in ranges.text
            assert not limit.system or f"({limit.system}) (otherwise" in ranges.text
    else:
        assert ranges.text == "Range: none stated."
    assert clause.text == (
        f"Reference: {equation.clause}. {equation.source}: {equation.provenance.value}."
    )
    assert [each.text for each in more] == [
        f"Table: {table.name}; {table.source}" for table in tables(equation.tree)
    ]
    data = equation_data(equation)
    assert f"{result.symbol} = {data['formula']}" == formula.text
    assert (data["result"], data["worked"]) == (result.symbol, line)
    for name in ("number", "meaning", "clause", "edition", "source"):
        assert data[name] == getattr(equation, name)
    assert (data["units"], data["provenance"]) == (equation.system, equation.provenance.value)
    assert data["symbols"] == {
        SYMBOLS[k].symbol: {
            "meaning": SYMBOLS[k].meaning,
            "units": {"US": SYMBOLS[k].unit("US"), "SI": SYMBOLS[k].unit("SI")},
        }
        for k in equation.arguments
    }
    assert len(data["ranges"]) == len(equation.limits)
    assert all(each in ranges.text for each in data["ranges"])
