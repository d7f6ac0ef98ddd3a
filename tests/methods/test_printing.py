"""Every printed form reads back to the number that the function gives."""

import math
from dataclasses import FrozenInstanceError, replace

import numpy as np
import pytest
from calculator import calculate
from hypothesis import given
from hypothesis import strategies as st
from trees import SOME, TREES

from linerdesign.expressions import tree
from linerdesign.expressions.printing import (
    Printer,
    Rule,
    in_print,
    plain,
    positional,
    template,
    write,
)
from linerdesign.expressions.tracing import Traced, next_listed, trace
from linerdesign.expressions.tree import Number, Operation, Symbol
from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.examples import example_values
from linerdesign.methods.symbols import SYMBOLS

EQUATIONS = [pytest.param(each, id=f"{each.name}") for each in catalogue()]
SYMBOLIC = plain(lambda key: SYMBOLS[key].symbol)


def _values(equation):
    return example_values(equation.system or "US")


def _read_back(text, values):
    return calculate(text, {SYMBOLS[key].symbol: value for key, value in values.items()})


@pytest.mark.parametrize("equation", EQUATIONS)
def test_tree_gives_what_the_function_gives(equation):
    values = _values(equation)
    expected = equation(*(values[key] for key in equation.arguments))
    assert tree.evaluate(equation.tree, values) == pytest.approx(float(expected), rel=1e-14)


@pytest.mark.parametrize("equation", EQUATIONS)
def test_arrays_give_what_scalars_give(equation):
    values = _values(equation)
    factors = np.linspace(0.9, 1.1, 5)
    columns = {key: values[key] * factors for key in equation.arguments}
    whole = equation(*(columns[key] for key in equation.arguments))
    single = [
        float(equation(*(columns[key][row] for key in equation.arguments))) for row in range(5)
    ]
    assert np.asarray(whole, dtype=float) == pytest.approx(single, rel=1e-14)


@pytest.mark.parametrize("equation", EQUATIONS)
def test_symbolic_line_reads_back(equation):
    values = _values(equation)
    resolved = tree.resolve(equation.tree, values)
    printed = _read_back(write(resolved, SYMBOLIC), values)
    # An angle is no arithmetic: it is printed as its number, to six figures.
    digits = 5e-6 if equation.kind == "angle" else 1e-12
    assert printed == pytest.approx(float(tree.evaluate(equation.tree, values)), rel=digits)


@pytest.mark.parametrize("equation", EQUATIONS)
def test_substituted_line_obeys_the_pocket_calculator_rule(equation):
    values = {key: value * 1.0123456789 for key, value in _values(equation).items()}
    resolved = tree.resolve(equation.tree, values)
    printed = calculate(write(resolved, plain(lambda key: positional(values[key]))))
    assert printed == pytest.approx(float(tree.evaluate(equation.tree, values)), rel=5e-4)


def _number(node):
    """The tree's number, or none where it has none (a root of a negative, an overflow)."""
    with np.errstate(all="ignore"):
        value = float(tree.evaluate(node, SOME))
    return value if math.isfinite(value) and abs(value) < 1e12 else None


@given(TREES)
def test_random_trees_read_back(node):
    expected = _number(node)
    if expected is None:
        return
    try:
        printed = _read_back(write(node, SYMBOLIC), SOME)
    except (ZeroDivisionError, OverflowError, ValueError):
        return  # the calculator stops where NumPy passes through an infinity
    if isinstance(printed, complex):
        return  # Python's power leaves the reals where NumPy gives no number
    assert printed == pytest.approx(expected, rel=1e-9, abs=1e-12)


@given(TREES, st.lists(st.floats(-1e6, 1e6), min_size=len(SOME), max_size=len(SOME)))
def test_a_template_filled_is_the_tree_printed_with_these_leaves(node, numbers):
    """Brackets of negative leaves included; `write` itself is read back above."""
    leaves = dict(zip(SOME, map(positional, numbers), strict=True))
    for dialect in (SYMBOLIC, in_print(str)):
        printed = write(node, dialect.with_symbols(leaves.__getitem__))
        assert template(node, dialect).filled(leaves.__getitem__) == printed
        assert Printer(dialect).numeric(node, leaves.__getitem__) == printed


def test_a_printer_gives_each_tree_its_own_text():
    """Trees are kept by identity; one that is gone must not lend its place to another."""
    printer = Printer(SYMBOLIC)
    texts = {printer.symbolic(Operation("+", (Symbol("D"), Number(float(n))))) for n in range(9000)}
    assert len(texts) == 9000


def _survives(rules):
    """Whether a printer with these rules still reads back a few telling trees."""
    dialect = replace(SYMBOLIC, rules=rules)
    D, s, two = Symbol("D"), Symbol("q_t"), Number(2.0)
    telling = [
        Operation("-", (D, Operation("-", (s, two)))),
        Operation("-", (D, Operation("+", (s, two)))),
        Operation("/", (D, Operation("*", (s, two)))),
        Operation("/", (D, Operation("/", (s, two)))),
        Operation("*", (D, Operation("+", (s, two)))),
        Operation("*", (Operation("+", (s, two)), D)),
        Operation("/", (Operation("+", (s, two)), D)),
        Operation("^", (Operation("+", (s, two)), D)),
        Operation("^", (Operation("^", (s, two)), D)),
        Operation("^", (Operation("neg", (s,)), two)),
        Operation("^", (D, Operation("/", (s, two)))),
        Operation("neg", (Operation("+", (s, two)),)),
        Operation("+", (D, Operation("neg", (Operation("-", (s, two)),)))),
    ]
    return all(
        _read_back(write(node, dialect), SOME) == pytest.approx(_number(node)) for node in telling
    )


def test_a_lost_bracket_is_caught():
    """Planted faults: every operand of every operator loses its brackets in turn."""
    assert _survives(SYMBOLIC.rules)
    for operator, rule in SYMBOLIC.rules.items():
        for place in range(len(rule.operands)):
            if (operator, place) in {("+", 0), ("+", 1), ("-", 0), ("^", 1), ("*", 0)}:
                continue  # without brackets there the number stays, or another case holds it
            loose = tuple(0.0 if i == place else b for i, b in enumerate(rule.operands))
            mutant = dict(SYMBOLIC.rules) | {operator: Rule(rule.template, rule.binding, loose)}
            assert not _survives(mutant), f"{operator} operand {place}"


@pytest.mark.parametrize(
    "body",
    [
        lambda D: D if D > 1 else 2 * D,
        lambda D: math.sqrt(D),
        lambda D: float(D),
        lambda D: min(D, 2),
        lambda D: max(2, D),
        lambda D: D and 2,
        lambda D: np.sin(D),
        lambda D: D == 2 or 3,
        lambda D: D % 2,
        lambda D: int(D),
        lambda D: D + "x",
        lambda D: np.maximum(D, 2, where=True),
    ],
)
def test_what_the_vocabulary_lacks_fails_loudly(body):
    with pytest.raises(TypeError):
        trace(body, ("D",))


def test_a_traced_value_is_never_true():
    with pytest.raises(TypeError, match=r"np\.where"):
        bool(Traced(Symbol("D")))


@pytest.mark.parametrize(
    ("number", "printed"),
    [
        (0.83575276, "0.835753"),
        (125000.0, "125000"),
        (1e-6, "0.000001"),
        (1.23456789e-8, "0.0000000123457"),
        (-0.33, "-0.33"),
        (123456789.4, "123456789"),
        (0.0, "0"),
        (2.0000000001, "2"),
        # What a subtraction leaves: 33(1 - 0.125 H) at H = 2.4384 m/0.3048, by hand 0.
        (0.00000000000000732747, "0"),
        (-7.3e-15, "0"),
        (1.1e-12, "0.0000000000011"),
    ],
)
def test_numbers_are_printed_in_full(number, printed):
    assert positional(number) == printed


def test_a_choice_and_a_look_up_are_bracketed_inside_arithmetic():
    """Words bind least of all: `1 if a > 2 else b + c` would be another value."""
    table = tree.Table("sizes", (1.0, 2.0), (1.0, 2.0), "")
    choice = trace(lambda a, b: np.where(a > 2, b, 3) + a, ("D", "t"))
    listed = trace(lambda a: 2 + next_listed(a, table), ("D",))
    assert write(choice, SYMBOLIC) == "(t if D > 2 else 3) + D"
    assert write(listed, SYMBOLIC) == "2 + (sizes at D)"


def test_a_listed_size_is_enough_for_itself_and_for_its_last_binary_digit():
    sizes = tree.Table("sizes", (3.0, 6.0, 9.0), (3.0, 6.0, 9.0), "")
    wanted = np.array([3.0, 6.0, np.nextafter(6.0, 7.0), 6.0001, 9.0, 9.5])
    assert list(next_listed(wanted, sizes)) == [3.0, 6.0, 6.0, 9.0, 9.0, 9.0]


def test_nodes_cannot_be_changed():
    """Several lines share one tree."""
    choice = trace(lambda a: np.where(a > 2, np.sqrt(a), 3), ("D",))
    for node in (choice, *tree.children(choice), Number(1.0), Operation("neg", (Number(1.0),))):
        with pytest.raises(FrozenInstanceError):
            setattr(node, next(iter(vars(node))), None)


def test_a_choice_left_to_the_last_case_joins_its_list_and_one_in_a_case_is_bracketed():
    """As a person writes cases: (b if a > 2, c if a > 1, else d)."""
    cases = replace(SYMBOLIC, choice="[{}]", case="{1} if {0}; ", otherwise="else {0}")
    last = trace(lambda a, b: np.where(a > 2, b, np.where(a > 1, 3, a)), ("D", "t"))
    inner = trace(lambda a, b: np.where(a > 2, np.where(b > 1, 3, a), b), ("D", "t"))
    assert write(last, cases) == "[t if D > 2; 3 if D > 1; else D]"
    assert write(inner, cases) == "[([3 if t > 1; else D]) if D > 2; else t]"
    assert write(last, SYMBOLIC) == "t if D > 2 else (3 if D > 1 else D)"


@pytest.mark.parametrize(
    ("body", "printed"),
    [
        (lambda a, b: a + b / 2, "D + t/2"),
        (lambda a, b: a - b * 2, "D - t*2"),
        (lambda a, b: a - (b + 2), "D - (t + 2)"),
        (lambda a, b: a + (b - 2), "D + (t - 2)"),
        (lambda a, b: a * (b / 2), "D*(t/2)"),
        (lambda a, b: a * b * 2, "D*t*2"),
        (lambda a, b: a / b * 2, "D/t*2"),
        (lambda a, b: a / (b * 2), "D/(t*2)"),
        (lambda a, b: a * b / 2, "D*t/2"),
        (lambda a, b: (a**b) ** 2, "(D^t)^2"),
        (lambda a, b: -a + b, "-D + t"),
        (lambda a, b: (-a) ** 2 * b, "(-D)^2*t"),
        (lambda a, b: a * -b, "D*(-t)"),
    ],
)
def test_brackets_stand_where_a_person_writes_them_and_nowhere_else(body, printed):
    assert write(trace(body, ("D", "t")), SYMBOLIC) == printed
