"""The dialect of a page's script, and the calculations of a document as data for it.

The script gets the same lines that the sheet was made from, each as a function of the values
known so far. `page_calculation.js` runs them in the order of `design.sizing.design`.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from typing import Any

from linerdesign.documents.allowed import refusals
from linerdesign.documents.places import THICKEST, place_name, places_of
from linerdesign.documents.sheet import FLOOR, verdict
from linerdesign.documents.sheet import inputs as stated
from linerdesign.expressions import tree
from linerdesign.expressions.printing import NOISE, Dialect, Rule, plain, write
from linerdesign.expressions.tolerance import SAME
from linerdesign.expressions.tree import Call, Choice, LookUp, Node, Table
from linerdesign.methods.basis import Basis
from linerdesign.methods.lines import Line
from linerdesign.methods.method import checks_of, choice_of_thickness, requirement, verification
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.units import MM_PER_INCH

_RULES = {
    "+": Rule("{} + {}", 1, (1, 2)),
    "-": Rule("{} - {}", 1, (1, 2)),
    "*": Rule("{} * {}", 2, (2, 3)),
    "/": Rule("{} / {}", 2, (2, 3)),
    "neg": Rule("-{}", 3, (4,)),
    "^": Rule("Math.pow({}, {})", 9, (0, 0)),
}
_FUNCTIONS = {
    "ln": "Math.log({})",
    "atan": "Math.atan({})",
    **{name: f"Math.{name}({{}})" for name in ("sqrt", "cbrt", "exp", "abs", "min", "max", "ceil")},
}


def script(symbol: Callable[[str], str], table: Callable[[Table], str]) -> Dialect:
    """The dialect, with what stands for each key and each table."""
    return Dialect(
        rules=_RULES,
        functions=_FUNCTIONS,
        number=repr,
        symbol=symbol,
        look_up=lambda node, argument: f"lookUp.{node.method}({argument}, {table(node.table)})",
    )


class Calculations:
    """Gathers what the pipes of a document compute; pipes of one basis share one calculation."""

    def __init__(self) -> None:
        self._functions: dict[str, int] = {}
        self._tables: dict[Table, int] = {}
        self._of_basis: dict[Basis, int] = {}
        self._calculations: list[dict[str, Any]] = []
        self._pipes: list[dict[str, Any]] = []

    def add(self, result: PipeResult, first: int) -> None:
        """Adds one pipe; `first` is the N of its first station."""
        known = tuple(dict.fromkeys(step.key for step in result.steps))
        if result.basis not in self._of_basis:
            self._of_basis[result.basis] = len(self._calculations)
            self._calculations.append(self._calculation(result, frozenset(known)))
        self._pipes.append(
            {
                "calculation": self._of_basis[result.basis],
                "first": first,
                "section": place_name(first),
                "prefixes": [place.prefix for place in places_of(result, first)],
                "stations": result.stations,
                "waivers": sorted(result.waivers),
            }
        )

    def source(self) -> str:
        """The data as a script; no text in it can end the element that it stands in."""
        data = {
            "same": SAME,
            "noise": NOISE,
            "mmPerInch": MM_PER_INCH,
            "floor": FLOOR,
            "thickest": THICKEST,
            "verdicts": {"true": verdict(True), "false": verdict(False)},
            "tables": [{"xs": table.xs, "ys": table.ys} for table in self._tables],
            "calculations": self._calculations,
            "pipes": self._pipes,
        }
        written = json.dumps(data, separators=(",", ":")).replace("<", "\\u003c")
        functions = ",\n".join(f"(v) => {text}" for text in self._functions)
        return f"const data = {written};\nconst functions = (lookUp) => [\n{functions}\n];\n"

    def _calculation(self, result: PipeResult, known: frozenset[str]) -> dict[str, Any]:
        basis = result.basis
        inputs = tuple(dict.fromkeys(step.key for step in stated(result)))
        return {
            "system": basis.system,
            "quantities": {
                key: {
                    "name": name_of(key),
                    "unit": SYMBOLS[key].unit(basis.system),
                    "thickness": SYMBOLS[key].kind == "thickness",
                }
                for key in sorted(known)
            },
            "given": basis.thickness_given,
            "inputs": inputs,
            "refusals": [
                {"key": key, "broken": self._function(node), "expected": expected}
                for key, node, expected in refusals(inputs, basis.system)
            ],
            "requirement": self._lines(requirement(basis), known, basis.system),
            "choice": self._lines(choice_of_thickness(basis), known, basis.system),
            "verification": self._lines(verification(basis), known, basis.system),
            "checks": [
                {
                    "equation": check.equation,
                    "required": check.required,
                    "demand": check.demand,
                    "capacity": check.capacity,
                    "safety": check.safety,
                    "when": self._function(check.when.tree) if check.when else None,
                }
                for check in checks_of(basis)
            ],
        }

    def _lines(
        self, lines: Iterable[Line], known: frozenset[str], system: str
    ) -> list[dict[str, Any]]:
        return [
            {
                "key": line.result,
                "value": self._function(line.tree),
                "when": self._function(line.when.tree) if line.when else None,
                "pattern": pattern(line.tree),
                "limits": self._limits(line, known, system),
            }
            for line in lines
        ]

    def _limits(self, line: Line, known: frozenset[str], system: str) -> list[dict[str, Any]]:
        limits = line.equation.limits_in(system)
        trees = [(limit, line.condition_tree(limit.holds)) for limit in limits]
        return [
            {
                "holds": self._function(condition),
                "severity": limit.severity.value,
                "text": limit.text,
                "waiver": limit.waived_by,
            }
            for limit, condition in trees
            if known.issuperset(tree.symbols(condition))
        ]

    def _function(self, node: Node) -> int:
        text = write(node, script(lambda key: f"v.{key}", self._table))
        return self._functions.setdefault(text, len(self._functions))

    def _table(self, table: Table) -> str:
        return f"{self._tables.setdefault(table, len(self._tables))}"


def pattern(node: Node) -> str | None:
    """The arithmetic in numbers with a place for each, `{D}/{t}`.

    None where other values select other arithmetic: a choice, a look-up, a rounding, an angle.
    """
    return None if _selects(node) else write(node, plain(lambda key: f"{{{key}}}"))


def _selects(node: Node) -> bool:
    if isinstance(node, Choice | LookUp):
        return True
    if isinstance(node, Call) and node.function in ("ceil", "atan"):
        return True
    return any(_selects(child) for child in tree.children(node))
