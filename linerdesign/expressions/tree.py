"""The frozen nodes that a traced equation is made of, and what can be asked of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import HAIR, SAME


@dataclass(frozen=True)
class Table:
    """A published table of one argument: rows (x, y) in rising order of x."""

    name: str
    xs: tuple[float, ...]
    ys: tuple[float, ...]
    source: str


@dataclass(frozen=True)
class Number:
    """A number as it stands in the equation."""

    value: float


@dataclass(frozen=True)
class Symbol:
    """A key of the symbol table."""

    key: str


@dataclass(frozen=True)
class Operation:
    """`+ - * / ^` of two operands, or `neg` of one."""

    operator: str
    operands: tuple[Node, ...]


@dataclass(frozen=True)
class Call:
    """A function of the closed vocabulary; `min` and `max` take two or more arguments."""

    function: str
    arguments: tuple[Node, ...]


@dataclass(frozen=True)
class Comparison:
    """`< <= > >=` of two operands."""

    operator: str
    left: Node
    right: Node


@dataclass(frozen=True)
class Truth:
    """`all` or `any` of conditions, or `not` of one."""

    operator: str
    operands: tuple[Node, ...]


@dataclass(frozen=True)
class Label:
    """A word that a choice results in."""

    text: str


@dataclass(frozen=True)
class Choice:
    """One of two nodes, by a condition."""

    condition: Node
    then: Node
    otherwise: Node


@dataclass(frozen=True)
class Across:
    """The `max`, `min`, `all` or `any` of a quantity over all stations of a pipe."""

    function: str
    argument: Node


@dataclass(frozen=True)
class LookUp:
    """A value read from a table: `linear` between two rows, or the `next` listed size up."""

    method: str
    argument: Node
    table: Table


Node = Number | Symbol | Label | Operation | Call | Comparison | Truth | Choice | LookUp | Across
Condition = Comparison | Truth

FUNCTIONS: dict[str, Callable[..., Any]] = {
    "sqrt": np.sqrt,
    "cbrt": np.cbrt,
    "exp": np.exp,
    "ln": np.log,
    "atan": np.arctan,
    "abs": np.absolute,
    "min": np.minimum,
    "max": np.maximum,
    "ceil": np.ceil,
}
OPERATORS: dict[str, Callable[..., Any]] = {
    "+": np.add,
    "-": np.subtract,
    "*": np.multiply,
    "/": np.divide,
    "^": np.power,
    "neg": np.negative,
}
TRUTHS: dict[str, Callable[..., Any]] = {
    "all": np.logical_and,
    "any": np.logical_or,
    "not": np.logical_not,
}
OVER_STATIONS: dict[str, Callable[..., Any]] = {
    "max": np.max,
    "min": np.min,
    "all": np.all,
    "any": np.any,
}
COMPARISONS: dict[str, Callable[..., Any]] = {
    "<": np.less,
    "<=": np.less_equal,
    ">": np.greater,
    ">=": np.greater_equal,
}
# What equal numbers may differ by, as a share of the bound, with the sign that makes them equal.
WIDENED = {"<": -SAME, "<=": SAME, ">": SAME, ">=": -SAME}


def children(node: Node) -> tuple[Node, ...]:
    """The nodes directly below."""
    match node:
        case Operation(_, operands):
            return operands
        case Call(_, arguments):
            return arguments
        case Comparison(_, left, right):
            return (left, right)
        case Choice(condition, then, otherwise):
            return (condition, then, otherwise)
        case Truth(_, operands):
            return operands
        case LookUp(_, argument, _) | Across(_, argument):
            return (argument,)
        case _:
            return ()


def rebuild(node: Node, below: tuple[Any, ...]) -> Node:
    """The same node over other nodes below."""
    match node:
        case Operation(operator, _):
            return Operation(operator, below)
        case Call(function, _):
            return Call(function, below)
        case Comparison(operator, _, _):
            return Comparison(operator, *below)
        case Choice():
            return Choice(*below)
        case Truth(operator, _):
            return Truth(operator, below)
        case LookUp(method, _, table):
            return LookUp(method, below[0], table)
        case Across(function, _):
            return Across(function, below[0])
        case _:
            return node


def symbols(node: Node) -> Iterator[str]:
    """The keys of every symbol, in the order they are met, repeats included."""
    if isinstance(node, Symbol):
        yield node.key
    for child in children(node):
        yield from symbols(child)


def tables(node: Node) -> Iterator[Table]:
    """Every table that is read."""
    if isinstance(node, LookUp):
        yield node.table
    for child in children(node):
        yield from tables(child)


def comparisons(node: Node) -> Iterator[Comparison]:
    """Every comparison in the tree."""
    if isinstance(node, Comparison):
        yield node
    for child in children(node):
        yield from comparisons(child)


def rename(node: Node, names: Mapping[str, str]) -> Node:
    """The tree with symbols replaced by other symbols; those not in `names` stay."""
    if not names:
        return node
    if isinstance(node, Symbol):
        return Symbol(names.get(node.key, node.key))
    return rebuild(node, tuple(rename(child, names) for child in children(node)))


def coded(node: Node, words: Sequence[str]) -> Node:
    """The tree with every label replaced by its number among `words`."""
    if isinstance(node, Label):
        return Number(float(words.index(node.text)))
    return rebuild(node, tuple(coded(child, words) for child in children(node)))


def substitute(node: Node, trees: Mapping[str, Node]) -> Node:
    """The tree with symbols replaced by trees; those not in `trees` stay."""
    if isinstance(node, Symbol):
        return trees.get(node.key, node)
    return rebuild(node, tuple(substitute(child, trees) for child in children(node)))


def tolerant(node: Comparison) -> bool:
    """Whether the bound of a comparison already allows for the tolerance of the house."""
    bound = node.right
    if isinstance(bound, Number):
        return bound.value in (0.0, HAIR)
    return any(number.value in (1 + SAME, 1 - SAME) for number in _numbers(bound))


def widened(node: Comparison) -> Comparison:
    """The comparison with its bound moved by the tolerance, so that equal numbers are equal."""
    if tolerant(node):
        return node
    share = WIDENED[node.operator]
    if isinstance(node.right, Number):
        moved: Node = Number(node.right.value + share * abs(node.right.value))
    else:
        margin = Operation("*", (Number(share), Call("abs", (node.right,))))
        moved = Operation("+", (node.right, margin))
    return Comparison(node.operator, node.left, moved)


def _numbers(node: Node) -> Iterator[Number]:
    if isinstance(node, Number):
        yield node
    for child in children(node):
        yield from _numbers(child)


def evaluate(node: Node, values: Mapping[str, Any]) -> Any:
    """The number, truth or word, or array, that the tree gives for the values of its symbols.

    The last axis of an array is that of the stations.
    """
    match node:
        case Number(value):
            return np.float64(value)
        case Label(text):
            return np.asarray(text)
        case Symbol(key):
            return values[key]
        case LookUp(method, argument, table):
            return LOOK_UPS[method](evaluate(argument, values), table)
    below = [evaluate(child, values) for child in children(node)]
    match node:
        case Operation(operator, _):
            return OPERATORS[operator](*below)
        case Call(("min" | "max") as function, _):
            return FUNCTIONS[function].reduce(np.broadcast_arrays(*below))  # type: ignore[attr-defined]
        case Call(function, _):
            return FUNCTIONS[function](*below)
        case Comparison(operator, _, _):
            left, right = below
            share = 0.0 if tolerant(node) else WIDENED[operator]
            return COMPARISONS[operator](left, right + share * np.absolute(right))
        case Truth("not", _):
            return np.logical_not(*below)
        case Truth(operator, _):
            # All of nothing holds, any of nothing does not.
            return reduce(TRUTHS[operator], below, np.bool_(operator == "all"))
        case Across(function, _):
            return OVER_STATIONS[function](np.atleast_1d(below[0]), axis=-1, keepdims=True)
    return np.where(*below)[()]


def resolve(node: Node, values: Mapping[str, Any], absent: frozenset[str] = frozenset()) -> Node:
    """The arithmetic that scalar `values` select: choices taken, look-ups written out.

    A symbol in `absent` (a check that does not apply) leaves the maximum it stands in. What comes
    back holds only arithmetic and the plain functions, so that a pocket calculator can follow it.
    A tree that selects nothing comes back itself.
    """
    if not selects(node):
        return node
    match node:
        case Choice(condition, then, otherwise):
            chosen = then if evaluate(condition, values) else otherwise
            return resolve(chosen, values, absent)
        case LookUp() | Call("ceil" | "atan", _):
            return _written_out(node, values)
        case Call("max", arguments):
            kept = tuple(
                resolve(argument, values, absent)
                for argument in arguments
                if not (isinstance(argument, Symbol) and argument.key in absent)
            )
            return kept[0] if len(kept) == 1 else Call("max", kept)
    return rebuild(node, tuple(resolve(child, values, absent) for child in children(node)))


def selects(node: Node) -> bool:
    """Whether values select the arithmetic of a tree."""
    match node:
        case Choice() | LookUp() | Call("ceil" | "atan" | "max", _):
            return True
    return any(selects(child) for child in children(node))


def _written_out(node: LookUp | Call, values: Mapping[str, Any]) -> Node:
    """A rounding or an angle as its number; an interpolation as the line through its two rows."""
    if isinstance(node, Call) or node.method == "next":
        return Number(float(evaluate(node, values)))
    x = float(evaluate(node.argument, values))
    (x1, y1), (x2, y2) = rows_used(node.table, x)
    if x1 == x2:
        return Number(y1)
    slope = Operation("/", (Operation("-", (Number(y2), Number(y1))), Number(x2 - x1)))
    distance = Operation("-", (resolve(node.argument, values), Number(x1)))
    return Operation("+", (Number(y1), Operation("*", (slope, distance))))


def rows_used(table: Table, x: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """The two rows (x, y) between which `x` lies; one row twice where `x` is its own, or beyond."""
    upper = min(int(np.searchsorted(table.xs, x)), len(table.xs) - 1)
    own = upper == 0 or table.xs[upper] <= x
    lower = upper if own else upper - 1
    return (table.xs[lower], table.ys[lower]), (table.xs[upper], table.ys[upper])


def _next_listed(value: Any, table: Table) -> Any:
    """The smallest listed size not under the value; the largest where none is enough."""
    sizes = np.asarray(table.xs)
    place = np.searchsorted(sizes * (1 + SAME), value)
    return sizes[np.minimum(place, len(sizes) - 1)]


def _linear(value: Any, table: Table) -> Any:
    return np.interp(value, table.xs, table.ys)


LOOK_UPS: dict[str, Callable[[Any, Table], Any]] = {"linear": _linear, "next": _next_listed}
