"""Reads an equation's function once, with symbols in place of numbers, into a tree.

NumPy's own hooks do the reading: an operator on a traced value is a ufunc call, and a ufunc
call comes to `__array_ufunc__`. What is not in the closed vocabulary (`if`, `and`, `==`, the
builtin `min`, `math.*`, `float()`) fails with a TypeError instead of vanishing from the tree.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NoReturn

import numpy as np
from numpy.lib.mixins import NDArrayOperatorsMixin

from linerdesign.expressions.tree import (
    COMPARISONS,
    FUNCTIONS,
    LOOK_UPS,
    OPERATORS,
    OVER_STATIONS,
    TRUTHS,
    Across,
    Call,
    Choice,
    Comparison,
    Label,
    LookUp,
    Node,
    Number,
    Operation,
    Symbol,
    Table,
    Truth,
)

_OPERATOR_OF = {ufunc: name for name, ufunc in OPERATORS.items()}
_FUNCTION_OF = {ufunc: name for name, ufunc in FUNCTIONS.items()}
_COMPARISON_OF = {ufunc: name for name, ufunc in COMPARISONS.items()}
_TRUTH_OF = {ufunc: name for name, ufunc in TRUTHS.items()}


class Traced(NDArrayOperatorsMixin):
    """Stands in for a number while an equation is read."""

    def __init__(self, node: Node) -> None:
        self.node = node

    def __array_ufunc__(self, ufunc: Any, method: str, *inputs: Any, **options: Any) -> Traced:
        if method == "__call__" and not options:
            below = tuple(_node(value) for value in inputs)
            if ufunc in _OPERATOR_OF:
                return Traced(Operation(_OPERATOR_OF[ufunc], below))
            if ufunc in _FUNCTION_OF:
                return Traced(_call(_FUNCTION_OF[ufunc], below))
            if ufunc in _COMPARISON_OF:
                return Traced(Comparison(_COMPARISON_OF[ufunc], *below))
            if ufunc in _TRUTH_OF:
                return Traced(_truth(_TRUTH_OF[ufunc], below))
        raise TypeError(f"{ufunc.__name__} is not in the vocabulary of traced equations")

    def __array_function__(self, function: Any, _types: Any, arguments: Any, options: Any) -> Any:
        if function is np.where and len(arguments) == 3 and not options:
            return Traced(Choice(*(_choosable(value) for value in arguments)))
        raise TypeError(f"{function.__name__} is not in the vocabulary of traced equations")

    def __bool__(self) -> NoReturn:
        raise TypeError("a traced equation can't branch on a value; write the choice as np.where")


def _call(function: str, below: tuple[Node, ...]) -> Call:
    """`max` of a `max` is one `max` of all, as a person writes it; the same for `min`."""
    if function in ("min", "max"):
        flat: list[Node] = []
        for node in below:
            nested = isinstance(node, Call) and node.function == function
            flat.extend(node.arguments if nested else (node,))  # type: ignore[union-attr]
        return Call(function, tuple(flat))
    return Call(function, below)


def _choosable(value: Any) -> Node:
    """What a choice may result in: a number, or a word."""
    return Label(value) if isinstance(value, str) else _node(value)


def _truth(operator: str, below: tuple[Node, ...]) -> Truth:
    """All of a conjunction in one node, as a person writes it; the same for a disjunction."""
    flat: list[Node] = []
    for node in below:
        nested = isinstance(node, Truth) and node.operator == operator != "not"
        flat.extend(node.operands if nested else (node,))  # type: ignore[union-attr]
    return Truth(operator, tuple(flat))


def _node(value: Any) -> Node:
    if isinstance(value, Traced):
        return value.node
    if isinstance(value, int | float) and not isinstance(value, bool):
        return Number(float(value))
    raise TypeError(f"{value!r} can't stand in a traced equation")


def trace(function: Callable[..., Any], keys: tuple[str, ...]) -> Node:
    """The tree of a function whose arguments are these keys of the symbol table."""
    return _node(function(*(Traced(Symbol(key)) for key in keys)))


def linear_between(value: Any, table: Table) -> Any:
    """Value of a table by straight line between its rows; the ends hold beyond the ends."""
    return _look_up("linear", value, table)


def next_listed(value: Any, table: Table) -> Any:
    """Smallest listed size that is not under the value; the largest where none is enough."""
    return _look_up("next", value, table)


def over_stations(function: str, value: Any) -> Any:
    """The `max`, `min`, `all` or `any` of a quantity over the stations of each pipe.

    Stations are the last axis of an array, which is kept with length one.
    """
    if isinstance(value, Traced):
        return Traced(Across(function, value.node))
    return OVER_STATIONS[function](np.atleast_1d(value), axis=-1, keepdims=True)


def _look_up(method: str, value: Any, table: Table) -> Any:
    if isinstance(value, Traced):
        return Traced(LookUp(method, value.node, table))
    return LOOK_UPS[method](value, table)
