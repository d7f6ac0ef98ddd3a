"""MathML is read back by a reader of its own: what is drawn means what the equation computes."""

import math
from html import unescape
from xml.etree import ElementTree

import numpy as np
import pytest
from calculator import calculate
from hypothesis import given
from trees import SOME, TREES

from linerdesign.documents.mathematics import page_formula as formula
from linerdesign.documents.mathematics import page_symbol as symbol
from linerdesign.expressions import tree
from linerdesign.expressions.mathml import mathml
from linerdesign.expressions.printing import write
from linerdesign.expressions.tree import Call, Choice, Comparison, LookUp, Number, Symbol, Table
from linerdesign.methods import selection
from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.examples import example_values
from linerdesign.methods.symbols import SYMBOLS

SIGNS = {"−": "-", "⋅": "*", "′": "'", "⁡": "", "×": "*"}


def _leaf(key):
    return f'<mi data-key="{key}">{key}</mi>'


def _parsed(text):
    return ElementTree.fromstring(f"<mrow>{text}</mrow>")


def _read(element):
    """The element as a pocket calculator takes it; what a bar or root holds counts as one."""
    tag, below = element.tag, list(element)
    if tag in ("mi", "mn", "mo"):
        return SIGNS.get(element.text, element.text)
    if tag == "mrow":
        return "".join(map(_read, below))
    if tag == "mfrac":
        return f"(({_read(below[0])})/({_read(below[1])}))"
    if tag == "msqrt":
        return f"sqrt({''.join(map(_read, below))})"
    if tag == "mroot":
        return f"(({_read(below[0])})^(1/{_read(below[1])}))"
    assert tag == "msup", tag
    assert _is_one(below[0]), "a raised place belongs to what stands right before it"
    if _read(below[0]) == "e":
        return f"exp({_read(below[1])})"
    return f"{_read(below[0])}^({_read(below[1])})"


def _is_one(base):
    """Whether a base is a single sign, a root, or stands in brackets from end to end."""
    while base.tag == "mrow" and len(base) == 1:
        base = base[0]
    if base.tag in ("mi", "mn", "msqrt", "mroot"):
        return True
    if base.tag != "mrow":
        return False
    below = list(base)
    named = below[0].tag == "mi" and below[0].text in ("ln", "min", "max") and len(below) == 3
    return named or (below[0].text == "(" and below[-1].text == ")")


def _number(node, values):
    with np.errstate(all="ignore"):
        value = float(tree.evaluate(node, values))
    return value if math.isfinite(value) and abs(value) < 1e12 else None


@pytest.mark.parametrize("equation", [pytest.param(e, id=e.name) for e in catalogue()])
def test_every_equation_reads_back(equation):
    values = example_values(equation.system or "US")
    resolved = tree.resolve(equation.tree, values)
    text = _read(_parsed(write(resolved, mathml(_leaf))))
    expected = float(tree.evaluate(equation.tree, values))
    assert calculate(text, values) == pytest.approx(expected, rel=1e-5)


@given(TREES)
def test_random_trees_read_back(node):
    expected = _number(node, SOME)
    if expected is None:
        return
    text = _read(_parsed(write(node, mathml(_leaf))))
    try:
        found = calculate(text, SOME)
    except (ZeroDivisionError, OverflowError, ValueError):
        return  # the calculator stops where NumPy passes through an infinity
    if isinstance(found, complex):
        return  # Python's power leaves the reals where NumPy gives no number
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("equation", [pytest.param(e, id=e.name) for e in catalogue()])
def test_a_whole_formula_is_well_formed(equation):
    root = ElementTree.fromstring(unescape(formula(equation.result, equation.tree)))
    assert root.tag == "math"


def test_rounding_up_is_said_in_words():
    """The sheet's own words in text and PDF: the quotient, rounded up."""
    whole = selection.steps_needed
    words = "".join(ElementTree.fromstring(formula(whole.result, whole.tree)).itertext())
    assert words == "ns=tmints, rounded up"
    # With values: a hundredth over three steps takes a fourth, a billionth over three does not.
    assert [float(whole(t, 1.5)) for t in (4.515, 4.5 * (1 + 1e-10))] == [4, 3]
    bare = Call("ceil", (Symbol("D"),))
    assert "".join(_parsed(write(bare, mathml(_leaf))).itertext()) == "round up\u2061(D)"


def test_choices_and_tables_say_what_they_choose_by():
    table = Table("sizes <made> of felt", (1.0, 2.0), (1.0, 2.0), "invented")
    below = Comparison("<=", Symbol("D"), Number(4.0))
    node = Choice(below, LookUp("next", Symbol("D"), table), Number(-1.0))
    words = " ".join(_parsed(write(node, mathml(symbol))).itertext())
    assert "sizes <made> of felt" in words
    assert "if" in words
    assert "≤" in words


def test_every_symbol_is_marked_with_its_key():
    for key in SYMBOLS:
        assert _parsed(symbol(key))[0].get("data-key") == key


def test_a_lost_bracket_is_found():
    """A printer that drops the brackets of a base must not pass this module's reader."""
    broken = _parsed(
        "<msup><mrow><mi>D</mi><mo>+</mo><mn>1</mn></mrow><mrow><mn>2</mn></mrow></msup>"
    )
    with pytest.raises(AssertionError):
        _read(broken)


def test_branches_of_a_branch_stand_in_one_list():
    """One brace, a row a branch, the last without a condition."""
    D, E, Q = Symbol("D"), Symbol("E_s"), Symbol("q_t")
    inner = Choice(Comparison("<", E, Q), E, Q)
    shown = _parsed(write(Choice(Comparison("<", D, E), D, inner), mathml(_leaf)))
    (table,) = shown.iter("mtable")
    rows = [["".join(cell.itertext()) for cell in row] for row in table]
    assert rows == [["D", "if D < E_s"], ["E_s", "if E_s < q_t"], ["q_t", "otherwise"]]
