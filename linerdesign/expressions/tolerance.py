"""Numbers within a billionth of one another are one number.

A converted unit, or the last binary digit of a sum, thus changes no result: neither whether a check
passes, nor which size is the next, nor whether the wall reaches the required thickness.
"""

from __future__ import annotations

from typing import Any

import numpy as np

SAME = 1e-9
# A height or a percentage smaller than this is none: what a subtraction of equal levels leaves.
HAIR = 1e-9


def at_most(value: Any, most: Any) -> Any:
    """Whether a value is not over a bound of zero or more: numbers, arrays or symbols."""
    return value <= most * (1 + SAME)


def at_least(value: Any, least: Any) -> Any:
    """Whether a value is not under a bound of zero or more: numbers, arrays or symbols."""
    return value >= least * (1 - SAME)


def alike(value: Any, other: Any) -> Any:
    """Whether two numbers are one: neither is over or under the other.

    >>> [bool(alike(value, 8.0)) for value in (8.0, 8.0 + 4e-9, 8.0 + 16e-9)]
    [True, True, False]
    """
    return np.absolute(value - other) <= SAME * np.absolute(other)


def under(value: Any, least: Any) -> Any:
    """Whether a value is under a bound of either sign: numbers, arrays or symbols.

    >>> [bool(under(value, -5.0)) for value in (-5.1, -5.0, -4.9)]
    [True, False, False]
    """
    return value < np.minimum(least * (1 - SAME), least * (1 + SAME))


def over(value: Any, most: Any) -> Any:
    """Whether a value is over a bound of either sign: numbers, arrays or symbols.

    >>> [bool(over(value, -5.0)) for value in (-5.1, -5.0, -4.9)]
    [False, False, True]
    """
    return value > np.maximum(most * (1 - SAME), most * (1 + SAME))
