"""What an equation is: a plain function, where it comes from, and where it holds."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import Any

from linerdesign.expressions import tree
from linerdesign.expressions.tracing import Traced, trace
from linerdesign.expressions.tree import Node
from linerdesign.findings import Severity as Severity
from linerdesign.words import sentence

# Behind the number of an equation that was solved for the thickness.
SOLVED_FOR_T = " for t"


class Provenance(StrEnum):
    """How sure we are of a formula or a value."""

    SEEN = "seen in the named source"
    SECONDARY = "seen in a published secondary source that applies the standard"
    MEMORY = "from memory; verify against the printed standard"
    DERIVED = "derived; the working is in the documentation"
    PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Condition:
    """A condition on quantities: when a line applies, or where an equation holds."""

    function: Callable[..., Any]

    @cached_property
    def tree(self) -> tree.Condition:
        """The condition, traced."""
        node = trace(self.function, self.arguments)
        if not isinstance(node, tree.Condition):
            raise TypeError("a condition is a comparison, or all or any of several")
        return node

    @cached_property
    def arguments(self) -> tuple[str, ...]:
        """Keys of the symbol table that are compared."""
        return tuple(inspect.signature(self.function).parameters)


@dataclass(frozen=True)
class Limit:
    """A range of validity. Outside it the equation is computed all the same, and flagged.

    `code` is that of its sentence, `numbers` fill its blanks; `system` is the one whose units its
    border is in, empty where it has none. `refuses` is the quantity that can't be found outside
    the range: a pipe there is not designed.
    """

    holds: Condition
    severity: Severity
    code: str
    waived_by: str | None = None
    system: str | None = None
    numbers: tuple[tuple[str, Any], ...] = ()
    refuses: str = ""

    @property
    def text(self) -> str:
        """The sentence for values outside the range."""
        return sentence(self.code, **dict(self.numbers))


@dataclass(frozen=True)
class Equation:
    """One equation. Calling it computes its plain function, on floats or arrays alike, with the
    tolerance of the house in every comparison of a choice.

    `arguments` and `result` are keys of the symbol table, which has their units; `system` and
    `edition` are empty where the equation is the same in both. `row` tells apart the look-ups of
    one number in a table.
    """

    number: str
    function: Callable[..., Any]
    result: str
    clause: str
    provenance: Provenance
    source: str
    kind: str = "equation"
    system: str | None = None
    edition: str | None = None
    limits: tuple[Limit, ...] = ()
    keys: tuple[str, ...] = ()
    row: str | None = None

    def __call__(self, *arguments: Any, **named: Any) -> Any:
        traced = any(isinstance(each, Traced) for each in (*arguments, *named.values()))
        if traced or not self._compares:
            return self.function(*arguments, **named)
        given = inspect.signature(self.function).bind(*arguments, **named).arguments.values()
        return tree.evaluate(self.tree, dict(zip(self.arguments, given, strict=True)))

    @cached_property
    def _compares(self) -> bool:
        return next(tree.comparisons(self.tree), None) is not None

    @property
    def base_number(self) -> str:
        """The number without regard to what the equation is solved for."""
        return self.number.removesuffix(SOLVED_FOR_T)

    @property
    def name(self) -> str:
        """Name of the function."""
        return self.function.__name__

    @property
    def meaning(self) -> str:
        """First sentence of the function's docstring."""
        return (inspect.getdoc(self.function) or "").split("\n")[0]

    @cached_property
    def arguments(self) -> tuple[str, ...]:
        """Keys of the symbol table, in the order of the function's arguments."""
        return self.keys or tuple(inspect.signature(self.function).parameters)

    def limits_in(self, system: str) -> tuple[Limit, ...]:
        """The ranges whose borders are in the units of this system, or in none."""
        return tuple(limit for limit in self.limits if limit.system in (None, system))

    @cached_property
    def tree(self) -> Node:
        """The function as it reads with symbols."""
        return trace(self.function, self.arguments)


def equation(number: str, **about: Any) -> Callable[[Callable[..., Any]], Equation]:
    """Makes an `Equation` of the function below it; `about` are the fields of `Equation`."""

    def wrap(function: Callable[..., Any]) -> Equation:
        return Equation(number=number, function=function, **about)

    return wrap
