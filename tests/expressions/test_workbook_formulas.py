"""The largest of many cells, read back; a function of a workbook takes at most 255 arguments."""

import re

import pytest

from linerdesign.expressions.workbook_formulas import largest_of, literal

# ECMA-376, part 1, 18.17.2: at most 255 arguments to a function.
MOST = 255


@pytest.mark.parametrize("number", [1, 2, 199, 200, 201, 400, 401, 40_001])
def test_the_largest_of_many_cells(number):
    names = [f"c_{place}" for place in range(number)]
    text = largest_of(names)
    assert re.findall(r"c_\d+", text) == names
    counts = []

    def largest(*arguments):
        counts.append(len(arguments))
        return max(arguments)

    for place in (0, number // 2, number - 1):
        cells = dict.fromkeys(names, 1.0) | {names[place]: 2.0}
        assert eval(text, {"MAX": largest, **cells}) == 2.0
    assert max(counts) <= MOST
    # Parts only where one function does not take all.
    assert (text.count("MAX") == 1) is (number <= 200)


def test_a_number_in_a_formula_has_every_digit_and_no_small_e():
    """A whole number needs no point; from 1e15 on a workbook writes powers of ten."""
    assert [literal(each) for each in (0.0, -2.0, 1 / 3, 5e-324, 999999999999999.0)] == [
        *("0", "-2", "0.3333333333333333", "5E-324", "999999999999999")
    ]
    assert [float(literal(each)) for each in (1e15, 1e16, 123456789012345678.0)] == [
        *(1e15, 1e16, 123456789012345678.0)
    ]
    assert literal(1e16) == "1E+16"
