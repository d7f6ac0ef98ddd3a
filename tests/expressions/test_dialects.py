"""What each way of writing makes of a tree, by hand: no bracket lost, and none that is idle.

JavaScript's operators bind as Python's do (ECMA-262, 13.6 to 13.8), a workbook's too but for a
negative, which binds first, and `^`, which chains to the left (ECMA-376 part 1, 18.17.2.2): there
both stand in brackets, so Python reads back the numbers of all three.
"""

import math
from types import SimpleNamespace
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from trees import SOME, TREES

from linerdesign.expressions import tree
from linerdesign.expressions.lettering import Lettering, clean, is_greek, lettering
from linerdesign.expressions.mathml import letters as page_letters
from linerdesign.expressions.mathml import mathml
from linerdesign.expressions.printing import (
    grouped,
    in_print,
    plain,
    positional,
    write,
    written,
)
from linerdesign.expressions.script import pattern, script
from linerdesign.expressions.tracing import linear_between, over_stations, trace
from linerdesign.expressions.tree import Call, Choice, Comparison, LookUp, Number, Symbol, Table
from linerdesign.expressions.typeset import letters, quoted, slanted, typeset
from linerdesign.expressions.workbook_formulas import workbook

SIZES = Table("sizes", (1.0, 2.0, 4.0), (3.0, 5.0, 6.0), "invented")
IN_CELLS = workbook(str, lambda table: table.name)
IN_SCRIPT = script(str, lambda table: table.name)


def drawn(node):
    """What a page draws of a tree, with a plain sign for each of its own, brackets as they are."""
    text = write(node, mathml(lambda key: f"<mi>{key}</mi>"))
    for mark, shown in (
        *(("<mfrac><mrow>", "{"), ("</mrow><mrow>", "|"), ("</mrow></mfrac>", "}")),
        *(("<msup><mrow>", "["), ("</mrow></msup>", "]")),
        *(("&#x2212;", "-"), ("&#x22C5;", "*")),
    ):
        text = text.replace(mark, shown)
    for tag in ("mrow", "mo", "mi", "mn"):
        text = text.replace(f"<{tag}>", "").replace(f"</{tag}>", "")
    return text


BY_HAND = [
    # Body; in a workbook; in a script; typeset; on a page, {a|b} a fraction and [a|b] a power.
    (lambda a, b: a + b + 2, "a+b+2", "a + b + 2", "a + b + 2", "a+b+2"),
    (lambda a, b: a + (b + 2), "a+(b+2)", "a + (b + 2)", "a + (b + 2)", "a+(b+2)"),
    (lambda a, b: a - b - 2, "a-b-2", "a - b - 2", "a - b - 2", "a-b-2"),
    (lambda a, b: a - (b - 2), "a-(b-2)", "a - (b - 2)", "a - (b - 2)", "a-(b-2)"),
    (lambda a, b: a - b * 2, "a-b*2", "a - b * 2", "a - b dot.op 2", "a-b*2"),
    (lambda a, b: a * 2 + b, "a*2+b", "a * 2 + b", "a dot.op 2 + b", "a*2+b"),
    (lambda a, b: a / 2 + b, "a/2+b", "a / 2 + b", "display(frac(a, 2)) + b", "{a|2}+b"),
    (lambda a, b: a + b / 2, "a+b/2", "a + b / 2", "a + display(frac(b, 2))", "a+{b|2}"),
    (lambda a, b: (a + b) * 2, "(a+b)*2", "(a + b) * 2", "(a + b) dot.op 2", "(a+b)*2"),
    (lambda a, b: a * (b - 2), "a*(b-2)", "a * (b - 2)", "a dot.op (b - 2)", "a*(b-2)"),
    (lambda a, b: a * b * 2, "a*b*2", "a * b * 2", "a dot.op b dot.op 2", "a*b*2"),
    (lambda a, b: a * (b * 2), "a*(b*2)", "a * (b * 2)", "a dot.op b dot.op 2", "a*b*2"),
    (
        *(lambda a, b: a / b * 2, "a/b*2", "a / b * 2"),
        *("display(frac(a, b)) dot.op 2", "{a|b}*2"),
    ),
    (
        *(lambda a, b: a * (b / 2), "a*(b/2)", "a * (b / 2)"),
        *("a dot.op display(frac(b, 2))", "a*{b|2}"),
    ),
    (lambda a, b: a / (b * 2), "a/(b*2)", "a / (b * 2)", "display(frac(a, b dot.op 2))", "{a|b*2}"),
    (lambda a, b: (a - b) / 2, "(a-b)/2", "(a - b) / 2", "display(frac(a - b, 2))", "{a-b|2}"),
    (lambda a, b: a * b / 2, "a*b/2", "a * b / 2", "display(frac(a dot.op b, 2))", "{a*b|2}"),
    (
        *(lambda a, b: a / b / 2, "a/b/2", "a / b / 2"),
        *("display(frac(display(frac(a, b)), 2))", "{{a|b}|2}"),
    ),
    (lambda a, b: a**2, "a^2", "Math.pow(a, 2)", "a^(2)", "[a|2]"),
    (lambda a, b: b * a**2, "b*a^2", "b * Math.pow(a, 2)", "b dot.op a^(2)", "b*[a|2]"),
    (lambda a, b: b / a**2, "b/a^2", "b / Math.pow(a, 2)", "display(frac(b, a^(2)))", "{b|[a|2]}"),
    (lambda a, b: (a + b) ** 2, "(a+b)^2", "Math.pow(a + b, 2)", "(a + b)^(2)", "[(a+b)|2]"),
    (
        lambda a, b: (a**b) ** 2,
        "(a^b)^2",
        "Math.pow(Math.pow(a, b), 2)",
        "(a^(b))^(2)",
        "[([a|b])|2]",
    ),
    (lambda a, b: a ** (b**2), "a^(b^2)", "Math.pow(a, Math.pow(b, 2))", "a^(b^(2))", "[a|[b|2]]"),
    (
        *(lambda a, b: (a / b) ** 2, "(a/b)^2", "Math.pow(a / b, 2)"),
        *("(display(frac(a, b)))^(2)", "[({a|b})|2]"),
    ),
    (lambda a, b: a ** (b + 2), "a^(b+2)", "Math.pow(a, b + 2)", "a^(b + 2)", "[a|b+2]"),
    (lambda a, b: -a + b, "(-a)+b", "-a + b", "-a + b", "-a+b"),
    (lambda a, b: b - -a, "b-(-a)", "b - -a", "b - (-a)", "b-(-a)"),
    (lambda a, b: b * -a, "b*(-a)", "b * -a", "b dot.op (-a)", "b*(-a)"),
    (lambda a, b: b / -a, "b/(-a)", "b / -a", "display(frac(b, -a))", "{b|-a}"),
    (lambda a, b: -(a + b), "(-(a+b))", "-(a + b)", "-(a + b)", "-(a+b)"),
    (lambda a, b: -(a * b), "(-(a*b))", "-(a * b)", "-a dot.op b", "-a*b"),
    (lambda a, b: -(a**2), "(-(a^2))", "-Math.pow(a, 2)", "-a^(2)", "-[a|2]"),
    (lambda a, b: (-a) ** 2, "(-a)^2", "Math.pow(-a, 2)", "(-a)^(2)", "[(-a)|2]"),
    (lambda a, b: a + -3.0, "a+(-3)", "a + -3.0", "a + (-3)", "a+(-3)"),
    (lambda a, b: np.negative(-a), "(-(-a))", "-(-a)", "-(-a)", "-(-a)"),
]


@pytest.mark.parametrize(("body", "cells", "page_script", "typst", "page"), BY_HAND)
def test_brackets_stand_where_they_must(body, cells, page_script, typst, page):
    node = trace(body, ("a", "b"))
    assert write(node, IN_CELLS) == cells
    assert write(node, IN_SCRIPT).replace(".0", "") == page_script.replace(".0", "")
    assert write(node, typeset(str)) == typst
    assert drawn(node) == page


@pytest.mark.parametrize(
    ("body", "text"),
    [
        (lambda a, b: a * b / 2, "a*b/2"),
        (lambda a, b: a / b / 2, "a/b/2"),
        (lambda a, b: a / (b * 2), "a/(b*2)"),
        (lambda a, b: a / b**2, "a/b^2"),
        (lambda a, b: (a / b) ** 2, "(a/b)^2"),
        (lambda a, b: (a**b) ** 2, "(a^b)^2"),
        # One calculator takes powers from the left, another from the right.
        (lambda a, b: a ** (b**2), "a^(b^2)"),
        (lambda a, b: a - (b - 2), "a - (b - 2)"),
        (lambda a, b: a - -b, "a - (-b)"),
        (lambda a, b: np.where(a > 2, a, b) + 1, "(a if a > 2 else b) + 1"),
        (lambda a, b: 1 + np.where(a > 2, a, b), "1 + (a if a > 2 else b)"),
        (lambda a, b: linear_between(a, SIZES) + b, "(sizes at a) + b"),
    ],
)
def test_text_for_a_person_has_brackets_where_a_calculator_needs_them(body, text):
    node = trace(body, ("a", "b"))
    assert write(node, plain(str)) == text
    in_page = text.replace(" - ", " − ").replace("(-", "(−").replace("*", "·")
    assert write(node, in_print(str)) == in_page


def test_nothing_on_a_page_has_no_sign():
    """A negative number alone has one."""
    drawn_as = {0.0: "<mn>0</mn>", 0.5: "<mn>0.5</mn>"}
    assert {value: write(Number(value), mathml(str)) for value in drawn_as} == drawn_as
    assert "&#x2212;" in write(Number(-0.5), mathml(str))


# The functions of JavaScript's Math (ECMA-262, 21.3), of a script without a browser.
MATH = SimpleNamespace(
    **{"pow": math.pow, "sqrt": math.sqrt, "cbrt": math.cbrt, "exp": math.exp, "log": math.log},
    **{"abs": abs, "min": min, "max": max, "ceil": math.ceil, "atan": math.atan},
)


@given(TREES)
def test_a_script_reads_back(node):
    with np.errstate(all="ignore"):
        expected = float(tree.evaluate(node, SOME))
    if not math.isfinite(expected) or abs(expected) > 1e12:
        return
    try:
        found = eval(write(node, IN_SCRIPT), {"Math": MATH, **SOME})
    except (ZeroDivisionError, OverflowError, ValueError):
        return  # Python stops where NumPy and JavaScript pass through an infinity
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-12)


def test_every_function_in_a_script():
    for name in tree.FUNCTIONS:
        node = Call(name, (Symbol("a"), Symbol("b"))[: 1 + (name in ("min", "max"))])
        found = eval(write(node, IN_SCRIPT), {"Math": MATH, "a": 0.7, "b": 0.2})
        assert found == pytest.approx(float(tree.evaluate(node, {"a": 0.7, "b": 0.2})), rel=1e-15)


def test_choices_conditions_and_look_ups_by_hand():
    """A bound is moved by its billionth where the form computes: 2 to 2.000000002."""
    choice = trace(lambda a, b: np.where(a > 2, np.where(a < b, 3, b), a) + 1, ("a", "b"))
    assert write(choice, IN_SCRIPT) == (
        "(a > 2.000000002 ? (a < b + -1e-09 * Math.abs(b) ? 3.0 : b) : a) + 1.0"
    )
    assert write(choice, IN_CELLS) == ("IF(a > 2.000000002, IF(a < b+(-1E-09)*ABS(b), 3, b), a)+1")
    both = trace(lambda a, b: np.logical_and(a <= b, np.logical_or(a >= 3, b < 0)), ("a", "b"))
    assert write(both, IN_SCRIPT) == (
        "a <= b + 1e-09 * Math.abs(b) && (a >= 2.999999997 || b < 0.0)"
    )
    assert write(both, IN_CELLS) == "AND(a <= b+1E-09*ABS(b), OR(a >= 2.999999997, b < 0))"
    opposite = trace(lambda a: np.logical_not(a < 1), ("a",))
    assert write(opposite, IN_SCRIPT) == "!(a < 0.999999999)"
    assert write(opposite, IN_CELLS) == "NOT(a < 0.999999999)"
    always, never = tree.Truth("all", ()), tree.Truth("any", ())
    for dialect, words in ((IN_SCRIPT, ("true", "false")), (IN_CELLS, ("TRUE", "FALSE"))):
        assert (write(always, dialect), write(never, dialect)) == words
    read = LookUp("linear", Symbol("a"), SIZES)
    assert write(read, IN_SCRIPT) == "lookUp.linear(a, sizes)"
    largest = trace(lambda a: over_stations("max", a + 1), ("a",))
    assert write(largest, IN_SCRIPT) == "across.max(v.stations, (v) => a + 1.0)"


def test_a_list_of_cases_stands_free_in_a_fraction_alone():
    """The bar and the raised place group it; beside another term it needs brackets."""
    cases = 'cases(display(a quad "if" a > 2), display(b quad "otherwise"))'

    def chosen(a, b):
        return np.where(a > 2, a, b)

    for body, typst in (
        (lambda a, b: chosen(a, b) + 1, f"({cases}) + 1"),
        (lambda a, b: 1 + chosen(a, b), f"1 + ({cases})"),
        (lambda a, b: chosen(a, b) / 2, f"display(frac({cases}, 2))"),
        (lambda a, b: 2 / chosen(a, b), f"display(frac(2, {cases}))"),
        (lambda a, b: a ** chosen(a, b), f"a^({cases})"),
        (lambda a, b: chosen(a, b) ** 2, f"({cases})^(2)"),
        (lambda a, b: np.sqrt(a) ** 2, "(sqrt(a))^(2)"),
        (lambda a, b: np.absolute(a) ** 2, "abs(a)^(2)"),
        (lambda a, b: linear_between(a, SIZES) + 1, '("sizes at " a) + 1'),
        (lambda a, b: np.where(a >= 2, np.where(b <= 1, a, b), b), None),
    ):
        text = write(trace(body, ("a", "b")), typeset(str))
        if typst is not None:
            assert text == typst
        else:
            assert "display((cases(" in text
            assert " >= 2" in text
            assert " <= 1" in text


def test_a_page_draws_conditions_and_functions():
    def text(node):
        root = ElementTree.fromstring(f"<m>{write(node, mathml(str))}</m>")
        return "".join(root.itertext())

    signs = {"<": "<", "<=": "≤", ">": ">", ">=": "≥"}
    for sign, shown in signs.items():
        node = Choice(Comparison(sign, Symbol("a"), Symbol("b")), Symbol("a"), Number(-2.0))
        assert text(node) == f"{{aif a {shown} b−2otherwise"
    assert text(trace(lambda a, b: np.maximum(np.minimum(a, 3), b), ("a", "b"))) == (
        "max\u2061(min\u2061(a,3),b)"
    )
    read = LookUp("next", Symbol("a"), Table("sizes", (1.0,), (1.0,), "invented"))
    assert text(read) == "next size of sizes at a"
    assert text(LookUp("linear", Symbol("a"), SIZES)) == "read from sizes at a"


@pytest.mark.parametrize(
    ("symbol", "tag", "text"),
    [
        ("D", "mi", "D"),
        ("sigma", "mi", "σ"),
        ("B'", "mrow", "B′"),
        ("sigma_L", "msub", "σL"),
        ("E'_s", "msub", "E′s"),
        ("q_alpha", "msub", "qα"),
    ],
)
def test_a_symbol_on_a_page_is_marked_once_as_a_whole(symbol, tag, text):
    root = ElementTree.fromstring(page_letters(symbol, "key"))
    assert (root.tag, root.get("data-key"), "".join(root.itertext())) == (tag, "key", text)
    assert [each.get("data-key") for each in root.iter()].count("key") == 1


def test_a_pattern_is_of_plain_arithmetic_alone_however_deep():
    assert pattern(trace(lambda a, b: np.maximum(a, 2) * b**2, ("a", "b"))) == "max({a}, 2)*{b}^2"
    for body in (
        lambda a, b: 1 + 2 * np.ceil(a / b),
        lambda a, b: 1 + np.sqrt(np.arctan(a / b)),
        lambda a, b: 1 + linear_between(a, SIZES) * b,
        lambda a, b: 1 + np.where(a > b, a, b) * 2,
    ):
        assert pattern(trace(body, ("a", "b"))) is None


def test_a_name_in_typeset_mathematics_is_cut_at_48_letters():
    for length, shown in ((48, "n" * 48), (49, "n" * 47 + "…")):
        table = Table("n" * length, (1.0,), (1.0,), "invented")
        text = write(LookUp("next", Symbol("a"), table), typeset(str))
        assert text == f"{quoted(f'{shown} at ')} a"
    # Letters of the plainest alphabet as they are, all else by its code.
    assert quoted("a1 .,-") == '"a1 .,-"'
    assert quoted('é"\\') == '"\\u{e9}\\u{22}\\u{5c}"'


def test_plain_quotients_are_slanted_inside_fractions_powers_and_roots_alone():
    for body, typst in (
        (lambda a, b: a / b, "display(frac(a, b))"),
        (lambda a, b: a / b + 2, "display(frac(a, b)) + 2"),
        (lambda a, b: (a / b) / 2, "display(frac(a slash b, 2))"),
        (lambda a, b: (a + 1 / b) / 2, "display(frac(a + 1 slash b, 2))"),
        (lambda a, b: a ** (b / 2), "a^(b slash 2)"),
        (lambda a, b: np.sqrt(a / b), "sqrt(a slash b)"),
        (lambda a, b: np.exp(2 * (a / b)), "e^(2 dot.op (a slash b))"),
        (lambda a, b: np.log(a / b), "ln(display(frac(a, b)))"),
        (lambda a, b: a / (b / (a + 2)), "display(frac(a, display(frac(b, a + 2))))"),
        (lambda a, b: 1 / (a / b * 2), "display(frac(1, a slash b dot.op 2))"),
    ):
        assert write(slanted(trace(body, ("a", "b"))), typeset(str)) == typst


def test_symbols_are_lettered_by_their_parts():
    assert [lettering(each) for each in ("E'_s", "B'", "DR_max", "d", "3x")] == [
        *(Lettering("E", 1, "s"), Lettering("B", 1), Lettering("DR", 0, "max")),
        *(Lettering("d"), Lettering("3x")),
    ]
    assert (lettering("3x").primes, lettering("3x").below) == (0, "")
    # Twenty-four letters but psi, which is a unit; small ones and those with a capital.
    assert [is_greek(each) for each in ("sigma", "Sigma", "SIGMA", "psi", "s", "")] == [
        *(True, True, False, False, False, False),
    ]
    assert letters("sigma_L") == 'sigma_"L"'
    assert letters("q_alpha") == "q_alpha"
    assert letters("B'") == "B'"
    assert clean("plain é") == "plain é"
    assert clean("a\nb\u202ec") == "a\\nb\\u202ec"


def test_numbers_at_the_borders_of_their_forms():
    """Six figures, no powers of ten; thousands apart from ten thousand on."""
    assert [grouped(each) for each in (9999.0, -9999.0, 10000.0, -12345.6, 1234567.25)] == [
        *("9999", "-9999", "10,000", "-12,345.6", "1,234,567"),
    ]
    assert positional(1e-12) == "0.000000000001"
    assert positional(0.999e-12) == "0"
    assert positional(0.1 + 0.2, 15) == "0.3"
    assert (written(1 / 3), written(2.0), written("4.5 mm")) == ("0." + 15 * "3", "2", "4.5 mm")
    assert positional(1234.5678, 3) == "1235"
    assert positional(99.99996) == "100"
    assert positional(2e15) == "2000000000000000"
