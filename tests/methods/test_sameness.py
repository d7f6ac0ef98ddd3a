"""The billionth within which two numbers are one, by hand beside its border."""

import numpy as np
import pytest

from linerdesign.expressions.tolerance import alike, at_least, at_most, over, under
from linerdesign.expressions.tracing import trace
from linerdesign.expressions.tree import Comparison

# A half and twice the billionth beside 8, 0 and -8: within it and beyond it.
WITHIN, BEYOND = 8 * 0.5e-9, 8 * 2e-9


@pytest.mark.parametrize("bound", [8.0, -8.0])
def test_a_number_within_the_billionth_is_neither_over_nor_under(bound):
    assert not over(bound + WITHIN, bound)
    assert over(bound + BEYOND, bound)
    assert not under(bound - WITHIN, bound)
    assert under(bound - BEYOND, bound)
    assert not over(bound - BEYOND, bound)
    assert not under(bound + BEYOND, bound)


def test_at_most_and_at_least_are_the_opposites_from_zero_up():
    for value in (8 - BEYOND, 8 - WITHIN, 8.0, 8 + WITHIN, 8 + BEYOND):
        assert at_most(value, 8.0) == (not over(value, 8.0)), value
        assert at_least(value, 8.0) == (not under(value, 8.0)), value


def test_zero_has_no_billionth():
    assert at_most(0.0, 0.0)
    assert at_least(0.0, 0.0)
    assert not over(0.0, 0.0)
    assert not under(0.0, 0.0)
    assert over(1e-300, 0.0)
    assert under(-1e-300, 0.0)


def test_a_bound_without_end_is_over_everything_and_none_is_nothing():
    bounds = np.array([np.inf, -np.inf, np.nan])
    assert under(5.0, bounds).tolist() == [True, False, False]
    assert over(5.0, bounds).tolist() == [False, True, False]


@pytest.mark.parametrize("bound", [8.0, -8.0])
def test_alike_is_neither_over_nor_under(bound):
    assert alike(bound + WITHIN, bound)
    assert alike(bound - WITHIN, bound)
    assert not alike(bound + BEYOND, bound)
    assert not alike(bound - BEYOND, bound)


def test_every_word_can_be_traced():
    """The page takes what can't be together from the same words, as script."""
    for word in (at_most, at_least, alike, under, over):
        assert isinstance(trace(word, ("D_max", "D")), Comparison), word
