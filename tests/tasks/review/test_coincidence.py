"""The share of arbitrary numbers that are explained by chance, by hand."""

from dataclasses import replace

import pytest
from tasks.review.test_explain_by_hand import REQUIRED, T

from linerdesign.tasks.review.coincidence import same_number, share_explained, share_of_steps


@pytest.mark.parametrize(
    ("numbers", "near", "share"),
    [
        # Of 0.15, 0.20 and 0.25 in: nearer than half a step, however near is meant.
        ([0.20], 0.001, 1 / 3),
        ([0.20, 0.2006], 0.001, 1 / 3),
        ([0.2011], 0.001, 0.0),
        ([0.17], 0.5, 1 / 3),
        ([0.181, 0.231], 0.5, 2 / 3),
        ([0.10, 0.30], 0.01, 0.0),
        ([0.15, 0.20, 0.25], 0.001, 1.0),
        ([], 0.5, 0.0),
    ],
)
def test_the_share_of_multiples_of_a_step(numbers, near, share):
    assert share_of_steps(numbers, near, 0.2, 0.05) == pytest.approx(share)


def test_the_share_of_all_numbers():
    """From 0.75 to 1.25 of 0.8, 0.6 to 1.0: parts that lie on one another count once."""
    for found, share in (
        ([0.8], 0.02 / 0.4),
        ([0.8, 0.81], 0.03 / 0.4),
        ([0.81, 0.8], 0.03 / 0.4),
        ([0.6, 1.0], 0.02 / 0.4),
        ([0.58, 1.02], 0.0),
        ([], 0.0),
    ):
        assert share_explained(found, 0.01, 0.8) == pytest.approx(share)
    # Where no multiple lies within a quarter there is nothing that could be told apart.
    assert share_of_steps([], 0.1, 0.2, 0.27) == 1.0


def test_one_number_stated_twice():
    assert same_number(T, replace(REQUIRED, value=0.2099))
    assert not same_number(T, replace(REQUIRED, value=0.2101))
    assert not same_number(T, replace(T, unit="mm"))
    exact = replace(T, value=0.25, half=0.125)
    assert same_number(exact, replace(exact, value=0.5))
