"""What can be asked of a tree, and what its reading takes, by hand."""

import math

import numpy as np
import pytest

from linerdesign.expressions import tree
from linerdesign.expressions.printing import Dialect, Printer, plain, write
from linerdesign.expressions.tolerance import HAIR, SAME
from linerdesign.expressions.tracing import (
    Traced,
    linear_between,
    next_listed,
    over_stations,
    trace,
)
from linerdesign.expressions.tree import (
    Across,
    Call,
    Choice,
    Comparison,
    Label,
    LookUp,
    Number,
    Operation,
    Symbol,
    Table,
    Truth,
)

STEPS = Table("steps", (1.0, 2.5, 4.0, 9.0), (10.0, 7.0, 8.0, 2.0), "invented")
a, b, c = map(Symbol, "abc")


@pytest.mark.parametrize(
    ("x", "rows"),
    [
        # A row of its own, between two rows, before the first and after the last.
        (1.0, (1.0, 1.0)),
        (2.5, (2.5, 2.5)),
        (9.0, (9.0, 9.0)),
        (1.01, (1.0, 2.5)),
        (2.4, (1.0, 2.5)),
        (2.6, (2.5, 4.0)),
        (8.9, (4.0, 9.0)),
        (0.2, (1.0, 1.0)),
        (9.5, (9.0, 9.0)),
    ],
)
def test_the_rows_between_which_a_value_lies(x, rows):
    value = dict(zip(STEPS.xs, STEPS.ys, strict=True))
    assert tree.rows_used(STEPS, x) == tuple((row, value[row]) for row in rows)
    read = LookUp("linear", a, STEPS)
    expected = np.interp(x, STEPS.xs, STEPS.ys)
    assert tree.evaluate(read, {"a": x}) == expected
    written_out = tree.resolve(read, {"a": x})
    assert not tree.selects(written_out)
    assert tree.evaluate(written_out, {"a": x}) == pytest.approx(expected, rel=1e-12)
    assert isinstance(written_out, Number) is (rows[0] == rows[1])


def test_the_line_between_two_rows_as_a_person_writes_it():
    """7 at 2.5 and 8 at 4: 7 + (8 - 7)/1.5 (a - 2.5)."""
    text = write(tree.resolve(LookUp("linear", a, STEPS), {"a": 3.0}), plain(str))
    assert text == "7 + (8 - 7)/1.5*(a - 2.5)"


def test_the_next_size_up():
    """A size is reached within a billionth; none is enough beyond the last, which then stands."""
    for value, size in (
        *((0.1, 1.0), (1.0, 1.0), (1.0 + 0.5e-9, 1.0), (1.0 + 2e-9, 2.5)),
        *((4.0, 4.0), (4.1, 9.0), (9.0, 9.0), (11.0, 9.0)),
    ):
        assert tree.evaluate(LookUp("next", a, STEPS), {"a": value}) == size
        assert next_listed(value, STEPS) == size
        assert tree.resolve(LookUp("next", a, STEPS), {"a": value}) == Number(size)
    assert linear_between(3.25, STEPS) == 7.5


@pytest.mark.parametrize(
    ("sign", "holds"),
    [
        # Two billionths under, half a billionth under, equal, half and two billionths over.
        ("<", [True, False, False, False, False]),
        ("<=", [True, True, True, True, False]),
        (">", [False, False, False, False, True]),
        (">=", [False, True, True, True, True]),
    ],
)
@pytest.mark.parametrize("bound", [8.0, -8.0])
def test_a_comparison_takes_equal_numbers_for_equal(sign, holds, bound):
    values = [bound + share * abs(bound) for share in (-2e-9, -0.5e-9, 0.0, 0.5e-9, 2e-9)]
    for right in (Number(bound), b):
        node = Comparison(sign, a, right)
        assert [bool(tree.evaluate(node, {"a": v, "b": bound})) for v in values] == holds
        # What a form computes with the bound moved, without a tolerance of its own.
        moved = tree.widened(node)
        plainly = {"<": np.less, "<=": np.less_equal, ">": np.greater, ">=": np.greater_equal}
        limit = tree.evaluate(moved.right, {"b": bound})
        assert [bool(plainly[sign](v, limit)) for v in values] == holds
        assert (moved.operator, moved.left) == (sign, a)


def test_no_tolerance_is_added_to_nothing_a_hair_or_one_that_is_there():
    for bound in (
        *(Number(0.0), Number(HAIR), Operation("*", (b, Number(1 + SAME)))),
        Call("min", (Operation("*", (b, Number(1 - SAME))), c)),
    ):
        node = Comparison("<=", a, bound)
        assert tree.tolerant(node)
        assert tree.widened(node) is node
    assert tree.evaluate(Comparison("<=", a, Number(0.0)), {"a": 1e-300}) == np.False_
    assert not tree.tolerant(Comparison("<=", a, Number(1 + SAME)))
    assert not tree.tolerant(Comparison("<=", Number(0.0), b))


def test_truths_of_many_one_and_none():
    yes, no = Comparison("<", a, Number(2.0)), Comparison(">", a, Number(2.0))
    known = {"a": 1.0}
    for operator, nodes, holds in (
        *(("all", (yes, yes), True), ("all", (yes, no), False), ("all", (), True)),
        *(("any", (no, no), False), ("any", (no, yes), True), ("any", (), False)),
        *(("not", (yes,), False), ("not", (no,), True)),
    ):
        assert bool(tree.evaluate(Truth(operator, nodes), known)) is holds


def test_what_is_found_over_the_stations_of_each_pipe():
    """The last axis is that of the stations, kept with length one."""
    values = np.array([[1.0, 5.0, 3.0], [7.0, 2.0, 4.0]])
    for function, expected in (("max", [[5.0], [7.0]]), ("min", [[1.0], [2.0]])):
        assert over_stations(function, values).tolist() == expected
        assert tree.evaluate(Across(function, a), {"a": values}).tolist() == expected
    deep = trace(lambda a: over_stations("all", a > 1.5), ("a",))
    assert tree.evaluate(deep, {"a": values}).tolist() == [[False], [True]]
    some = trace(lambda a: over_stations("any", a > 6), ("a",))
    assert tree.evaluate(some, {"a": values}).tolist() == [[False], [True]]
    assert over_stations("max", 3.0).tolist() == [3.0]
    assert tree.evaluate(Across("max", a), {"a": 3.0}).tolist() == [3.0]


WHOLE = Choice(
    Truth("all", (Comparison("<", a, b), Truth("not", (Comparison(">", c, Number(1.0)),)))),
    Operation("+", (Call("max", (a, b, c)), LookUp("next", a, STEPS))),
    Across("min", Operation("neg", (a,))),
)


def test_every_node_is_met_and_rebuilt():
    assert list(tree.symbols(WHOLE)) == ["a", "b", "c", "a", "b", "c", "a", "a"]
    assert list(tree.tables(WHOLE)) == [STEPS]
    assert [each.operator for each in tree.comparisons(WHOLE)] == ["<", ">"]
    assert tree.rebuild(WHOLE, tree.children(WHOLE)) == WHOLE
    names = {"a": "x", "c": "z"}
    renamed = tree.rename(WHOLE, names)
    assert list(tree.symbols(renamed)) == ["x", "b", "z", "x", "b", "z", "x", "x"]
    assert tree.substitute(WHOLE, {"a": Symbol("x"), "c": Symbol("z")}) == renamed
    assert tree.rename(renamed, {"x": "a", "z": "c"}) == WHOLE
    assert tree.rename(WHOLE, {}) is WHOLE
    assert tree.substitute(Operation("/", (a, b)), {"b": Operation("+", (b, c))}) == Operation(
        "/", (a, Operation("+", (b, c)))
    )


def test_words_have_numbers_by_their_place():
    words = ("sized", "fails", "outside")
    node = Choice(Comparison("<", a, b), Label("outside"), Label("sized"))
    assert tree.evaluate(node, {"a": 1.0, "b": 2.0}) == "outside"
    assert tree.evaluate(tree.coded(node, words), {"a": 1.0, "b": 2.0}) == 2.0
    assert tree.evaluate(tree.coded(node, words), {"a": 3.0, "b": 2.0}) == 0.0


def test_values_select_the_arithmetic():
    """What is chosen, rounded or looked up is written out; the rest stays as it is."""
    values = {"a": 1.0, "b": 2.0, "c": 0.5}
    assert tree.resolve(WHOLE, values) == Operation("+", (Call("max", (a, b, c)), Number(1.0)))
    turn = Operation("*", (b, Call("ceil", (Operation("/", (a, c)),))))
    assert tree.resolve(turn, values) == Operation("*", (b, Number(2.0)))
    angle = tree.resolve(Call("atan", (a,)), values)
    assert angle == Number(pytest.approx(math.pi / 4, rel=1e-15))
    plainly = Operation("+", (a, Call("min", (b, Call("sqrt", (c,))))))
    assert tree.resolve(plainly, values) is plainly
    assert not tree.selects(plainly)
    # A thickness that nothing asks for leaves the largest of all; of one that is left, itself.
    largest = Call("max", (a, b, c))
    assert tree.resolve(largest, values, frozenset("b")) == Call("max", (a, c))
    assert tree.resolve(largest, values, frozenset("ab")) == c
    assert tree.resolve(Call("max", (Number(0.0), a)), values, frozenset("a")) == Number(0.0)


def test_largest_and_smallest_of_several_are_one_node_and_conditions_too():
    largest = trace(lambda a, b, c: np.maximum(np.maximum(a, b), c), tuple("abc"))
    assert largest == Call("max", (a, b, c))
    smallest = trace(lambda a, b, c: np.minimum(a, np.minimum(b, c)), tuple("abc"))
    assert smallest == Call("min", (a, b, c))
    mixed = trace(lambda a, b, c: np.maximum(np.minimum(a, b), c), tuple("abc"))
    assert mixed == Call("max", (Call("min", (a, b)), c))
    every = trace(lambda a, b: np.logical_and(np.logical_and(a < 1, b < 1), a < b), tuple("ab"))
    assert (every.operator, len(every.operands)) == ("all", 3)
    either = trace(lambda a, b: np.logical_or(np.logical_and(a < 1, b < 1), a < b), tuple("ab"))
    assert (either.operator, len(either.operands)) == ("any", 2)
    twice = trace(lambda a: np.logical_not(np.logical_not(a < 1)), ("a",))
    assert twice == Truth("not", (Truth("not", (Comparison("<", a, Number(1.0)),)),))
    values = np.array([[1.0, 4.0], [3.0, 2.0]])
    assert tree.evaluate(largest, {"a": values, "b": 2.5, "c": 0.0}).tolist() == [
        *([2.5, 4.0], [3.0, 2.5])
    ]


@pytest.mark.parametrize(
    "body",
    [
        lambda x: np.where(x > 1),
        lambda x: np.concatenate([x, x]),
        lambda x: np.add.reduce(x),
        lambda x: np.add(x, 1, where=x > 1),
        lambda x: x + True,
        lambda x: x + None,
        lambda x: x @ 2,
    ],
)
def test_what_is_not_in_the_vocabulary_fails(body):
    with pytest.raises(TypeError):
        trace(body, ("a",))
    with pytest.raises(TypeError, match="write the choice"):
        bool(Traced(a))


def test_a_dialect_says_what_it_does_not_write():
    with pytest.raises(TypeError, match="one station"):
        write(Across("max", a), plain(str))
    with pytest.raises(TypeError, match="look-ups"):
        write(LookUp("next", a, STEPS), Dialect({}, {}, number=repr, symbol=str))


def test_a_printer_changes_a_tree_before_it_prints_it():
    printer = Printer(plain(str), prepared=lambda node: Operation("neg", (node,)))
    node = Operation("+", (a, b))
    assert printer.symbolic(node) == "-(a + b)"
    assert printer.numeric(node, {"a": "-2", "b": "3"}.__getitem__) == "-(-2 + 3)"
