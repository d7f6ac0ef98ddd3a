"""The chance that an error of the list explains a stated number by coincidence.

A list of errors, tried one and two at a time, results in many numbers. Where they lie close
together, nearly any number matches one of them.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, floor

from linerdesign.expressions.tolerance import SAME
from linerdesign.tasks.review.submittal import Item

# Arbitrary numbers are taken as uniform within a quarter of the stated one: the slips crowd round
# the right number, and a wider range would flatter them. Judgement, no source.
WITHIN = 0.25
# The most chance with which one slip, or two together, are a finding and not a possibility to ask
# about. If every second wrong number comes from one slip of the list, and every tenth from two,
# more than eight in ten of these findings are right. Judgement, no source.
CREDIBLE = {1: 0.10, 2: 0.02}


def share_explained(found: Iterable[float], near: float, stated: float) -> float:
    """Share of the numbers within a quarter of the stated one that lie near one of those found."""
    low, high = (1 - WITHIN) * stated, (1 + WITHIN) * stated
    covered, reached = 0.0, low
    for value in sorted(found):
        begin, end = max(value - near, reached), min(value + near, high)
        if end > begin:
            covered += end - begin
            reached = end
    return covered / (high - low)


def share_of_steps(found: Iterable[float], near: float, stated: float, step: float) -> float:
    """As above, where arbitrary numbers are multiples of a step, as walls are."""
    values = list(found)
    low, high = (1 - WITHIN) * stated / step, (1 + WITHIN) * stated / step
    steps = range(ceil(low - SAME), floor(high + SAME) + 1)
    near = min(near, step / 2)
    hit = [k for k in steps if any(abs(k * step - value) <= near for value in values)]
    return len(hit) / len(steps) if steps else 1.0


def same_number(one: Item, other: Item) -> bool:
    """Whether two stated lines are one number twice, as the governing check and the required."""
    return one.unit == other.unit and abs(one.value - other.value) <= one.half + other.half


def odds(share: float) -> str:
    """`1 in 14`: a share as people say it."""
    if share >= 0.95:
        return "nearly all"
    if share >= 0.4:
        return f"{round(10 * share)} in 10"
    return f"1 in {round(1 / share)}" if share >= 0.001 else "fewer than 1 in 1000"
