"""Typeset mathematics, as Typst itself parses it, reads back to the number of the function."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from calculator import calculate
from hypothesis import given, settings
from projects import sized
from trees import SOME, TREES
from typst_reader import parsed, read

from linerdesign.documents.mathematics import print_symbol as symbol
from linerdesign.documents.sheet import computed, in_print_lines
from linerdesign.expressions import tree
from linerdesign.expressions.printing import Rule, positional, write
from linerdesign.expressions.tree import (
    FUNCTIONS,
    Call,
    Choice,
    Comparison,
    LookUp,
    Number,
    Operation,
    Symbol,
    Table,
)
from linerdesign.expressions.typeset import quoted, slanted, typeset
from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.examples import example_values
from linerdesign.methods.symbols import SYMBOLS

EQUATIONS = [pytest.param(each, id=each.name) for each in catalogue()]


def _by_symbol(values):
    return {SYMBOLS[key].symbol: value for key, value in values.items()}


@pytest.mark.parametrize("equation", EQUATIONS)
def test_every_equation_reads_back(equation):
    values = example_values(equation.system or "US")
    source = write(slanted(tree.resolve(equation.tree, values)), typeset(symbol))
    expected = float(tree.evaluate(equation.tree, values))
    # An angle is no arithmetic: it is printed as its number, to six figures.
    digits = 5e-6 if equation.kind == "angle" else 1e-12
    used = {key: values[key] for key in tree.symbols(equation.tree)}
    assert read(source, _by_symbol(used)) == pytest.approx(expected, rel=digits)


@pytest.mark.parametrize("equation", EQUATIONS)
def test_every_substituted_equation_reads_back(equation):
    values = {k: v * 1.0123456789 for k, v in example_values(equation.system or "US").items()}
    resolved = slanted(tree.resolve(equation.tree, values))
    source = write(resolved, typeset(lambda key: positional(values[key])))
    expected = float(tree.evaluate(equation.tree, values))
    assert read(source, {}) == pytest.approx(expected, rel=5e-4)


@pytest.mark.parametrize("equation", EQUATIONS)
def test_every_equation_is_parsed_as_it_is_catalogued(equation):
    parsed(write(slanted(equation.tree), typeset(symbol)))


def _check(node, dialect):
    with np.errstate(all="ignore"):
        expected = float(tree.evaluate(node, SOME))
    if not math.isfinite(expected) or abs(expected) > 1e12:
        return
    values = {SYMBOLS[key].symbol: value for key, value in SOME.items()}
    assert read(write(slanted(node), dialect), values) == pytest.approx(
        expected, rel=1e-9, abs=1e-12
    )


@given(TREES)
@settings(max_examples=200)
def test_random_trees_read_back(node):
    _check(node, typeset(symbol))


D, E, Q = Symbol("D"), Symbol("E_s"), Symbol("q_t")


@pytest.mark.parametrize(
    "node",
    [
        Operation("^", (Operation("/", (D, E)), Number(2))),
        Operation("^", (Call("exp", (D,)), Number(2))),
        Operation("^", (Call("sqrt", (D,)), Number(2))),
        Operation("-", (D, Operation("neg", (Operation("-", (E, Q)),)))),
        Operation("*", (D, Operation("/", (E, Operation("/", (D, Q)))))),
        Operation("/", (D, Operation("*", (Q, Operation("/", (E, D)))))),
        Operation("^", (Number(-2), Number(2))),
        Operation("*", (Choice(Comparison("<", D, E), D, Q), Number(2))),
        Operation("*", (Choice(Comparison(">=", D, E), D, Q), Number(2))),
    ],
)
def test_brackets_where_a_printer_may_lose_them(node):
    _check(node, typeset(symbol))


def chained(first, second):
    """D where D is under `first`, E where D is under `second`, else q_t."""
    last = Choice(Comparison("<", D, Number(second)), E, Q)
    return Choice(Comparison("<", D, Number(first)), D, last)


@pytest.mark.parametrize(("first", "second", "chosen"), [(2, 3, "D"), (0, 2, "E"), (0, 1, "Q")])
def test_branches_of_a_branch_stand_in_one_list_read_from_the_top(first, second, chosen):
    """With D = 1, E = 20 and q_t = 300."""
    values = {SYMBOLS["D"].symbol: 1.0, SYMBOLS["E_s"].symbol: 20.0, SYMBOLS["q_t"].symbol: 300.0}
    source = write(chained(first, second), typeset(symbol))
    assert source.count("cases(") == source.count("otherwise") == 1
    assert read(source, values) == {"D": 1, "E": 20, "Q": 300}[chosen]


def test_a_branch_before_the_last_keeps_a_list_of_its_own():
    inner = Choice(Comparison("<", D, Number(0)), D, E)
    source = write(Choice(Comparison("<", D, Number(2)), inner, Q), typeset(symbol))
    values = {SYMBOLS["D"].symbol: 1.0, SYMBOLS["E_s"].symbol: 20.0, SYMBOLS["q_t"].symbol: 300.0}
    assert source.count("cases(") == 2
    assert read(source, values) == 20


@pytest.mark.parametrize(
    ("operator", "rule"),
    [
        ("-", Rule("{} - {}", 1, (1, 1))),
        ("*", Rule("{} dot.op {}", 2.2, (0, 2.1))),
        ("^", Rule("{}^({})", 3, (0, 0))),
        ("/", Rule("{} slash {}", 2, (0, 0))),
    ],
)
def test_a_planted_loss_of_brackets_is_seen(operator, rule):
    broken = typeset(symbol)
    broken = replace(broken, rules={**broken.rules, operator: rule})
    inner = Operation("-", (D, E))
    node = Operation(operator, (inner, inner if operator == "-" else Operation("+", (E, Q))))
    with pytest.raises((AssertionError, KeyError)):
        _check(node, broken)


def test_every_function_of_the_vocabulary_is_written():
    assert set(typeset(symbol).functions) == set(FUNCTIONS)


def test_every_symbol_is_parsed_as_one_thing():
    for key, quantity in SYMBOLS.items():
        assert read(symbol(key), {quantity.symbol: 7.0}) == 7.0


RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")


def _typed(line):
    """A line of print as a calculator takes it: signs and raised figures undone."""
    line = re.sub(r"(?<=\d),(?=\d{3})", "", line.replace("·", "*").replace("−", "-"))
    return re.sub("([⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+)", lambda power: "^" + power[1].translate(RAISED), line)


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize(
    "pipe",
    [
        {},
        {"station": [{"at": f"{i} ft", "cover": f"{9 + i} ft"} for i in range(9)]},
        {"live_load": "HL-93", "cover": "6 ft"},
    ],
)
def test_numbers_in_print_read_back(units, pipe):
    steps = computed(sized(units=units, pipe=pipe))
    assert any("," in line for step in steps for line in in_print_lines(step))
    for step in steps:
        if step.line is None or step.line.equation.kind == "equation":
            last = _typed(in_print_lines(step)[-1])
            assert calculate(last) == pytest.approx(step.value, rel=5e-4, abs=1e-9), last


@pytest.mark.parametrize("name", ['"', "\\", '"#panic()"', "$x$", "#let", "a\nb", "שלום", "🔧"])
def test_the_name_of_a_table_can_not_act(name):
    node = LookUp("next", Symbol("t_least"), Table(name, (1.0,), (1.0,), ""))
    (text, *_) = parsed(write(node, typeset(symbol)))["children"]
    shown = name.replace("\n", "\\n")
    assert text == {"func": "text", "text": f"{shown} at "}
    assert parsed(quoted(name)) == {"func": "text", "text": name}
