"""The calculations of a document as data for a page's script.

The script gets the same lines that the sheet was made from, each as a function of the values
known so far. `page_calculation.js` runs them in the order of `methods.sizing.design`.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from linerdesign.documents.allowed import allowed, refusals
from linerdesign.documents.json import picked
from linerdesign.documents.places import THICKEST, place_name, places_of
from linerdesign.documents.schedule import QUANTITIES
from linerdesign.documents.sheet import FLOOR, verdict
from linerdesign.documents.sheet import inputs as stated
from linerdesign.expressions.printing import NOISE, write
from linerdesign.expressions.script import pattern, script
from linerdesign.expressions.tolerance import SAME
from linerdesign.expressions.tree import Node, Table
from linerdesign.findings import Severity
from linerdesign.methods.basis import Basis
from linerdesign.methods.lines import Line
from linerdesign.methods.method import checks_of, choice_of_thickness, requirement, verification
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.thickness import FIGURES
from linerdesign.methods.units import MM_PER_INCH
from linerdesign.methods.verdicts import CHECK_FAILS, CHECKED, PASSES, SIZED
from linerdesign.words import template
from linerdesign.words.page import SENTENCES

# Sheets that are part of the page as it opens; so many pipes follow a change at once.
OPEN_SHEETS = 20
# Calculations hold the places of their lines, which many of them share.
_UNFOLD = """for (const each of data.calculations) {
  for (const part of ["requirement", "choice", "verification"]) {
    each[part] = each[part].map((place) => data.lines[place]);
  }
}
"""
# What the script calls an end of the numbers that a field takes.
_ENDS = {">": "over", ">=": "least", "<": "under", "<=": "most"}


class Calculations:
    """Gathers what the pipes of a document compute; pipes of one basis share one calculation.

    `entry` gives the number of a line's entry among the equations of the page.
    """

    def __init__(self, entry: Callable[[Line], int]) -> None:
        self._entry = entry
        self._lines_of: dict[str, int] = {}
        self._functions: dict[str, int] = {}
        self._tables: dict[Table, int] = {}
        self._numbers: dict[tuple[Basis, frozenset[str], int], int] = {}
        self._calculations: list[dict[str, Any]] = []
        self._pipes: list[dict[str, Any]] = []

    def add(self, result: PipeResult, first: int) -> None:
        """Adds one pipe; `first` is the N of its first station."""
        self._pipes.append(
            {
                "calculation": self._number(result),
                "first": first,
                "section": place_name(first),
                "prefixes": [place.prefix for place in places_of(result, first)],
                "stations": result.stations,
                "legs": self._legs(result),
            }
        )

    def _number(self, result: PipeResult) -> int:
        """The number of the calculation of a result."""
        shared = (result.basis, result.waivers, len(result.calculation.watched))
        if shared not in self._numbers:
            keys = (*(step.key for step in result.steps), *(said.key for said in result.in_words))
            made = self._calculation(result, frozenset(keys))
            self._numbers[shared] = len(self._calculations)
            self._calculations.append(made)
        return self._numbers[shared]

    def _legs(self, result: PipeResult) -> dict[str, Any] | None:
        """How the walls in the legs of a line follow, and whether they serve."""
        legs = result.legs
        if legs is None:
            return None
        return {
            "calculation": self._number(legs.built),
            "names": legs.names,
            "stations": legs.built.stations,
            "ovality": legs.ovality,
            "places": [
                {
                    "leg": place.leg,
                    "station": place.station,
                    "wall": self._verdicts(place.wall),
                    "verdicts": self._verdicts(place.verdicts),
                }
                for place in legs.places
            ],
        }

    def source(self) -> str:
        """The data as a script; no text in it can end the element that it stands in."""
        data = {
            "same": SAME,
            "noise": NOISE,
            "sound": [SIZED, CHECKED],
            "mmPerInch": MM_PER_INCH,
            "figures": FIGURES,
            "caution": Severity.CAUTION.value,
            "legVerdicts": {"true": PASSES, "false": CHECK_FAILS},
            "floor": FLOOR,
            "columns": {key: of for key, of in QUANTITIES.items() if key != "length"},
            "atOnce": OPEN_SHEETS,
            "at": template("calculation.at"),
            "minimum": template("calculation.minimum"),
            "thickest": THICKEST,
            "verdicts": {"true": verdict(True), "false": verdict(False)},
            "tables": [{"xs": table.xs, "ys": table.ys} for table in self._tables],
            "calculations": self._calculations,
            "pipes": self._pipes,
            "lines": [json.loads(text) for text in self._lines_of],
            "words": SENTENCES,
        }
        written = json.dumps(data, separators=(",", ":")).replace("<", "\\u003c")
        functions = ",\n".join(f"(v) => {text}" for text in self._functions)
        return (
            f"const data = {written};\n{_UNFOLD}"
            f"const functions = (lookUp, across) => [\n{functions}\n];\n"
        )

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
                    "expected": f"write {allowed(key).expected}",
                    **{_ENDS[sign]: end for sign, end in allowed(key).ends},
                }
                for key in sorted(known)
            },
            "station": self._verdicts(result.calculation.at_station),
            "pipe": self._verdicts(result.calculation.of_pipe),
            "watched": [
                {"key": each.key, "ofPipe": each.raised.of_pipe, "severity": found.severity.value}
                | {"text": found.text}
                for each in result.calculation.watched
                for found in (each.raised.of_any,)
            ],
            "inputs": inputs,
            "in_words": tuple(dict.fromkeys(said.key for said in result.in_words)),
            "refusals": [
                {"key": key, "broken": self._function(node), "expected": expected}
                for key, node, expected in refusals(inputs, basis.system)
            ],
            "requirement": self._lines(requirement(basis), result),
            "choice": self._lines(choice_of_thickness(basis), result),
            "verification": self._lines(verification(basis), result),
            "checks": [
                picked(check, "equation", "name", "required", "demand", "capacity", "safety")
                for check in checks_of(basis)
            ],
        }

    def _verdicts(self, trees: Mapping[str, Node]) -> list[tuple[str, int]]:
        """Each verdict by its key, as a function of the values and of the verdicts before it."""
        return [(key, self._function(node)) for key, node in trees.items()]

    def _lines(self, lines: Iterable[Line], result: PipeResult) -> list[int]:
        """The places of lines among those of all calculations."""
        found = (
            {
                "key": line.result,
                "entry": self._entry(line),
                "needs": tuple(dict.fromkeys(line.needs)),
                "value": self._function(line.tree),
                "when": self._function(line.when.tree) if line.when else None,
                "pattern": pattern(line.tree),
                "limits": self._limits(line, result),
            }
            for line in lines
        )
        return [self._lines_of.setdefault(json.dumps(each), len(self._lines_of)) for each in found]

    @staticmethod
    def _limits(line: Line, result: PipeResult) -> list[dict[str, Any]]:
        """The ranges of a line, each with the verdict that it is left."""
        return [
            {"left": each.key, "severity": each.limit.severity.value, "text": each.limit.text}
            for each in result.calculation.ranges
            if each.line == line
        ]

    def _function(self, node: Node) -> int:
        text = write(node, script(lambda key: f"v.{key}", self._table))
        return self._functions.setdefault(text, len(self._functions))

    def _table(self, table: Table) -> str:
        return f"{self._tables.setdefault(table, len(self._tables))}"
