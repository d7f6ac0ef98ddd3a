"""A line of a calculation, and how a list of lines is run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from types import MappingProxyType
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.expressions.tree import Node
from linerdesign.methods.equation import Condition, Equation, Limit

Values = Mapping[str, Any]
_IDENTITIES: dict[Node, int] = {}


@dataclass(frozen=True)
class Line:
    """An equation whose arguments are bound to quantities of this calculation.

    `bound` renames arguments of the equation; `when` says for which values the line applies.
    Where it does not, its result is 0: a check that does not apply asks for no thickness.
    """

    equation: Equation
    bound: tuple[tuple[str, str], ...] = ()
    when: Condition | None = None

    @cached_property
    def _names(self) -> dict[str, str]:
        return dict(self.bound)

    @cached_property
    def result(self) -> str:
        """Key of the quantity that the line gives."""
        return self._names.get(self.equation.result, self.equation.result)

    @cached_property
    def arguments(self) -> tuple[str, ...]:
        """Keys of the quantities that go into the equation, in its order."""
        return tuple(self._names.get(key, key) for key in self.equation.arguments)

    @cached_property
    def needs(self) -> tuple[str, ...]:
        """Keys of all the quantities that the line reads, its condition included."""
        return self.arguments + (self.when.arguments if self.when else ())

    @cached_property
    def tree(self) -> Node:
        """The equation with the quantities of this calculation."""
        return tree.rename(self.equation.tree, self._names)

    @cached_property
    def selects(self) -> bool:
        """Whether values select the arithmetic of the tree."""
        return tree.selects(self.tree)

    @cached_property
    def identity(self) -> int:
        """A number that lines have in common that read alike; trees are slow to look up."""
        return _IDENTITIES.setdefault(self.tree, len(_IDENTITIES))

    @cached_property
    def limits(self) -> tuple[tuple[Limit, Node, frozenset[str]], ...]:
        """The ranges of the equation, each with its condition here, and the keys that it reads."""
        found = ((each, self.condition_tree(each.holds)) for each in self.equation.limits)
        return tuple((each, node, frozenset(tree.symbols(node))) for each, node in found)

    def condition_tree(self, condition: Condition) -> Node:
        """A limit or condition of the equation with the quantities of this calculation."""
        return tree.rename(condition.tree, self._names)

    def applies(self, values: Values) -> Any:
        """Whether the line applies, for scalars or element by element."""
        return True if self.when is None else tree.evaluate(self.when.tree, values)

    def value(self, values: Values) -> Any:
        """The result for these values, 0 where the line does not apply."""
        computed = self.equation(*(values[key] for key in self.arguments))
        return computed if self.when is None else np.where(self.applies(values), computed, 0.0)[()]


_line = cache(Line)


def line(
    equation: Equation,
    bound: Mapping[str, str] = MappingProxyType({}),
    when: Condition | None = None,
) -> Line:
    """A line; `bound` maps arguments of the equation to quantities of the calculation."""
    return _line(equation, tuple(bound.items()), when)


def run(lines: Iterable[Line], values: Values) -> dict[str, Any]:
    """The values, and the result of every line after them, in order.

    `values` are floats or arrays of one shape, in the units of the calculation's system. Lines
    that do not apply are computed but not used; divisions by zero in them are silenced.
    """
    known = {key: np.asarray(value)[()] for key, value in values.items()}
    with np.errstate(all="ignore"):
        for each in lines:
            known[each.result] = each.value(known)
    return known
