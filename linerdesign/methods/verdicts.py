"""The verdicts of a calculation: each defined once, as a tree over quantities and other verdicts.

Every form prints or evaluates these trees; none decides anything itself. Verdicts of one station
have plain names, those of the whole pipe end in `_of_pipe`. The last axis of arrays is that of the
stations.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.expressions.printing import NOISE
from linerdesign.expressions.tolerance import at_most, under
from linerdesign.expressions.tracing import Traced, over_stations
from linerdesign.expressions.tree import Node, Symbol
from linerdesign.findings import Severity
from linerdesign.methods.basis import Basis
from linerdesign.methods.check import Check
from linerdesign.methods.equation import Limit
from linerdesign.methods.hydraulics import fills
from linerdesign.methods.lines import Line
from linerdesign.methods.method import checks_of, choice_of_thickness, lines_of

PASSES, CHECK_FAILS, DOES_NOT_APPLY = "passes", "FAILS", "does not apply"
SIZED, CHECKED, OUTSIDE, FAILS = "sized", "checked", Severity.OUTSIDE.value, "fails"
# In place of an equation or a factor where there is none.
NONE, NO_BORE = "none", "no bore"
# Stands in a smallest of several where there is no factor.
_LARGEST = 1e300


@dataclass(frozen=True)
class Range:
    """A range of one line's equation; `key` is that of the verdict that it is left."""

    key: str
    line: Line
    limit: Limit
    left: Node


def ranges_of(basis: Basis, waivers: frozenset[str], known: frozenset[str]) -> tuple[Range, ...]:
    """The ranges that count for a basis: those over quantities in `known`, and not waived."""
    found: list[Range] = []
    choosing = choice_of_thickness(basis)
    for line in lines_of(basis):
        for limit in line.equation.limits_in(basis.system):
            holds = line.condition_tree(limit.holds)
            if line in choosing:
                holds = tree.rename(holds, {"t_required": "thickest"})
            if limit.waived_by not in waivers and known >= {*tree.symbols(holds)} - {"thickest"}:
                left: Node = tree.Truth("not", (holds,))
                if line.when is not None:
                    left = tree.Truth("all", (line.when.tree, left))
                found.append(Range(f"left_{len(found)}", line, limit, left))
    return tuple(found)


def at_station(basis: Basis, ranges: Sequence[Range]) -> dict[str, Node]:
    """The verdicts of one station, by their keys; each reads only those before it."""
    checks = checks_of(basis)
    known = {each.key: each.left for each in ranges}
    for check in checks:
        known |= _of_check(check)
    known["passes"] = _all(f"meets_{check.name}" for check in checks)
    filled = _node(fills(_quantity("D"), _quantity("t")))
    carries = (Symbol(f"carries_{check.name}") for check in checks)
    known["bore"] = tree.Truth("all", (tree.Truth("not", (filled,)), *carries))
    rated = [check for check in checks if check.safety]
    known["rated"] = _any(f"rated_{check.name}" for check in rated)
    known["least_factor"] = _least_factor(rated)
    known["governing"] = _governing(checks)
    beyond = [each.key for each in ranges if each.limit.severity is Severity.OUTSIDE]
    known["outside"] = _any(beyond)
    known["factor_shown"] = _shown("least_factor", "bore", "rated")
    known["worst"] = _node(_quantity("t_required") >= _quantity("thickest"))
    known["status"] = _status(Symbol("passes"), Symbol("outside"), basis)
    return known


def of_pipe(basis: Basis) -> dict[str, Node]:
    """The verdicts of a pipe over all its stations, by their keys.

    `status_with_legs` reads `legs_serve` and `legs_outside`, of the legs of a pipe that has any.
    """
    known = {
        "thickest": over_stations("max", _quantity("t_required")),
        "passes_of_pipe": over_stations("all", _quantity("passes")),
        "bore_of_pipe": over_stations("all", _quantity("bore")),
        "rated_of_pipe": over_stations("any", _quantity("rated")),
        "least_factor_of_pipe": over_stations("min", _quantity("least_factor")),
        "outside_of_pipe": over_stations("any", _quantity("outside")),
    }
    found = {key: _node(value) for key, value in known.items()}
    found["factor_shown_of_pipe"] = _shown("least_factor_of_pipe", "bore_of_pipe", "rated_of_pipe")
    found["status_of_pipe"] = _status(Symbol("passes_of_pipe"), Symbol("outside_of_pipe"), basis)
    with_legs = (_all(("passes_of_pipe", "legs_serve")), _any(("outside_of_pipe", "legs_outside")))
    found["status_with_legs"] = _status(*with_legs, basis)
    if not basis.thickness_given:
        found["minimum_governs"] = _node(under(_without_minimum(basis), _quantity("t")))
    if basis.sizes:
        found["no_size"] = _node(under(_quantity("t"), _quantity("t_least")))
    return found


def expanded(key: str, known: Mapping[str, Node], kept: Collection[str]) -> Node:
    """The tree of a verdict over quantities, and over those verdicts alone that are in `kept`."""
    below = {
        each: expanded(each, known, kept)
        for each in tree.symbols(known[key])
        if each in known and each not in kept
    }
    return tree.substitute(known[key], below)


def _of_check(check: Check) -> dict[str, Node]:
    """Whether a check applies, is met, and has a safety factor to show."""
    demand, capacity = _quantity(check.demand), _quantity(check.capacity)
    applies = tree.Truth("all", ()) if check.when is None else check.when.tree

    def where(node: Any) -> Node:
        """The condition, met too where the check does not apply."""
        if check.when is None:
            return _node(node)
        return tree.Truth("any", (tree.Truth("not", (applies,)), _node(node)))

    found = {
        f"applies_{check.name}": applies,
        f"meets_{check.name}": where(at_most(demand, capacity)),
        f"carries_{check.name}": where(capacity > 0),
    }
    met = tree.Choice(_node(at_most(demand, capacity)), tree.Label(PASSES), tree.Label(CHECK_FAILS))
    found[f"verdict_{check.name}"] = tree.Choice(applies, met, tree.Label(DOES_NOT_APPLY))
    if check.safety:
        enough = (_node(demand > NOISE), _node(capacity > 0))
        parts = enough if check.when is None else (applies, *enough)
        found[f"rated_{check.name}"] = tree.Truth("all", parts)
    return found


def _governing(checks: Sequence[Check]) -> Node:
    """The first check, of those that apply, that requires as much as all of them."""
    chosen: Node = tree.Label(NONE)
    for check in reversed(checks):
        thickest = _node(_quantity(check.required) >= _quantity("t_required"))
        ruling = tree.Truth("all", (Symbol(f"applies_{check.name}"), thickest))
        chosen = tree.Choice(ruling, tree.Label(check.equation), chosen)
    return chosen


def _least_factor(checks: Sequence[Check]) -> Node:
    """The smallest factor of the checks that have one; very large where none has."""
    factors = [
        np.where(_quantity(f"rated_{check.name}"), _quantity(str(check.safety)), _LARGEST)
        for check in checks
    ]
    return _node(reduce(np.minimum, factors)) if factors else tree.Number(_LARGEST)


def _shown(factor: str, bore: str, rated: str) -> Node:
    """The smallest factor, or a word where there is none; for forms that show it in one cell."""
    some = tree.Choice(tree.Truth("not", (Symbol(rated),)), tree.Label(NONE), Symbol(factor))
    return tree.Choice(tree.Truth("not", (Symbol(bore),)), tree.Label(NO_BORE), some)


def _status(passes: Node, outside: Node, basis: Basis) -> Node:
    good = CHECKED if basis.thickness_given else SIZED
    inside = tree.Choice(outside, tree.Label(OUTSIDE), tree.Label(good))
    return tree.Choice(tree.Truth("not", (passes,)), tree.Label(FAILS), inside)


def _without_minimum(basis: Basis) -> Any:
    """The nominal thickness without the owner's minimum: the same lines from the thickest."""
    known: dict[str, Node] = {"t_least": Symbol("thickest")}
    for line in choice_of_thickness(basis)[1:]:
        known[line.result] = tree.substitute(line.tree, known)
    return Traced(known["t"])


def _quantity(key: str) -> Any:
    return Traced(Symbol(key))


def _node(value: Any) -> Node:
    node: Node = value.node
    return node


def _all(keys: Iterable[str]) -> Node:
    return tree.Truth("all", tuple(Symbol(key) for key in keys))


def _any(keys: Iterable[str]) -> Node:
    return tree.Truth("any", tuple(Symbol(key) for key in keys))
