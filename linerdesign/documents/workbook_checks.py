"""What follows the calculation on the sheet of one place, live: checks, ranges and the outcome.

Every formula is a verdict of `methods.verdicts`, printed in the dialect of workbooks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from linerdesign.documents.places import Place
from linerdesign.documents.workbook_cells import cell
from linerdesign.documents.workbook_rows import (
    FORMULA,
    MEANING,
    NUMBER,
    SYMBOL,
    UNIT,
    VALUE,
    WIDTHS,
    PlaceRows,
)
from linerdesign.expressions.tree import Choice, Label, Node, Symbol, Truth
from linerdesign.findings import Finding, Severity
from linerdesign.methods.check import Check
from linerdesign.methods.engine import Calculation
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.verdicts import CHECK_FAILS, DOES_NOT_APPLY, FAILS, PASSES, expanded
from linerdesign.words import sentence
from linerdesign.words.workbook import HEADS

DEMAND, CAPACITY, FACTOR, VERDICT = FORMULA, FORMULA + 1, FORMULA + 2, FORMULA + 3
_CHECK_PLACES = (SYMBOL, MEANING, VALUE, UNIT, DEMAND, CAPACITY, FACTOR, VERDICT)
CHECK_HEADS = dict(zip(_CHECK_PLACES, HEADS["checks"], strict=True))
RANGE_HEADS = dict(zip((SYMBOL, MEANING, VALUE), HEADS["ranges"], strict=True))
LEFT, KEPT = "out of range", "in range"
# What decides the nominal thickness, in a cell of this name.
DECIDED, MINIMUM, EQUATION = "thickness_decided_by", "owner's minimum", "the equations"


@dataclass(frozen=True)
class Range:
    """The ranges of one message, or a finding in the numbers: when any of its verdicts holds.

    `shared` ones concern all stations alike; `is_of` is whether a note is of it.
    """

    text: str
    severity: Severity
    shared: bool
    keys: tuple[str, ...]
    is_of: Callable[[Finding], bool]


class PlaceVerdicts:
    """The verdicts of one place as formulas; `cells` has those that a cell of their own shows."""

    def __init__(self, rows: PlaceRows) -> None:
        self.rows = rows
        self.calculation: Calculation = rows.place.result.calculation
        self.cells = {"thickest": rows.thickest}

    def formula(self, node: Node | str) -> str:
        """A verdict, or a tree over verdicts, as a formula without its equals sign."""
        kept = self.rows.book.expanded
        about = (id(self.calculation), node, *self.cells)
        if about not in kept:
            known = {**self.calculation.verdicts}
            if not isinstance(node, str):
                known[""] = node
            kept[about] = expanded(node if isinstance(node, str) else "", known, self.cells)
        return self.rows.formula(kept[about], self.cells)

    def shown(self, key: str, word: str) -> None:
        """Has the cell written last stand for a verdict, which holds where it shows a word."""
        self.cells[key] = f'({self._cell()}="{word}")'

    def factor(self, key: str) -> None:
        """Has the factor's cell stand for whether a check has one.

        Not for the factor itself: several checks may have one quantity for it.
        """
        self.cells[key] = f"ISNUMBER({cell(self.rows.sheet, self.rows.row, FACTOR)})"

    def _cell(self) -> str:
        return cell(self.rows.sheet, self.rows.row, VALUE)


def ranges_of(place: Place) -> tuple[Range, ...]:
    """The ranges of all equations of a place, those with one message together, and findings."""
    known = place.steps()
    found: dict[tuple[str, str, Severity, bool], list[str]] = {}
    for each in place.result.calculation.ranges:
        limit = each.limit
        shared = place.several and known[each.line.result].station is None
        about = (limit.code, limit.text, limit.severity, shared)
        found.setdefault(about, []).append(each.key)
    ranges = [
        Range(text, severity, shared, tuple(keys), lambda note, code=code: note.code == code)  # type: ignore[misc]
        for (code, text, severity, shared), keys in found.items()
    ]
    for watched in place.result.calculation.watched:
        said = watched.raised.of_any
        shared = place.several and watched.raised.of_pipe
        ranges.append(Range(said.text, said.severity, shared, (watched.key,), watched.is_of))
    return tuple(ranges)


def fixed_notes(place: Place, ranges: Iterable[Range]) -> tuple[Finding, ...]:
    """The cautions of a place that follow no number of the workbook."""
    return tuple(note for note in place.cautions if not any(each.is_of(note) for each in ranges))


def write_checks(rows: PlaceRows, verdicts: PlaceVerdicts) -> None:
    """Writes the checks."""
    rows.part("Checks at nominal thickness")
    rows.heads(CHECK_HEADS, (VALUE, DEMAND, CAPACITY, FACTOR))
    first = rows.row
    for check in verdicts.calculation.checks:
        _write_check(rows, verdicts, check)
    rows.book.mark(rows.sheet, (first, rows.row - 1), VERDICT, CHECK_FAILS, "alarm")


def _write_check(rows: PlaceRows, verdicts: PlaceVerdicts, check: Check) -> None:
    place, system = rows.place, rows.place.result.basis.system
    found, applies = place.check(check), Symbol(f"applies_{check.name}")
    unit = SYMBOLS[check.demand].unit(system)
    met = f"{SYMBOLS[check.demand].symbol} at most {SYMBOLS[check.capacity].symbol}"
    rows.text(NUMBER, "")
    rows.text(SYMBOL, check.equation)
    rows.text(MEANING, f"{met}, {unit}" if unit else met)
    rows.text(UNIT, SYMBOLS[check.required].unit(system), "indented")

    def live(column: int, condition: Node, key: str, value: float | None, style: str) -> None:
        tree = Choice(condition, Symbol(key), Label(""))
        rows.live(column, f"={verdicts.formula(tree)}", "" if value is None else value, style)

    live(VALUE, applies, check.required, found.required_thickness if found else None, "result")
    live(DEMAND, applies, check.demand, found.demand if found else None, "result")
    live(CAPACITY, applies, check.capacity, found.capacity if found else None, "result")
    if check.safety:
        rated = Symbol(f"rated_{check.name}")
        live(FACTOR, rated, check.safety, found.safety_factor if found else None, "factor")
        verdicts.factor(rated.key)
    else:
        rows.text(FACTOR, "-", "cell right")
    said = DOES_NOT_APPLY if found is None else PASSES if found.passes else CHECK_FAILS
    rows.live(VERDICT, f"={verdicts.formula(f'verdict_{check.name}')}", said, "indented")
    verdict = cell(rows.sheet, rows.row, VERDICT)
    verdicts.cells[f"meets_{check.name}"] = f'({verdict}<>"{CHECK_FAILS}")'
    rows.define(f"check_{check.name}", VERDICT)
    if check.when is not None:
        rows.idle_where(verdicts.formula(Truth("not", (applies,))))
    rows.row += 1


def write_ranges(
    rows: PlaceRows, verdicts: PlaceVerdicts, ranges: Sequence[Range]
) -> dict[bool, str]:
    """Writes the ranges, those that all stations share first; how many of each are left."""
    rows.part("Ranges of the equations")
    rows.heads(RANGE_HEADS, (VALUE,))
    left = {}
    for shared in (True, False):
        first = rows.row
        for each in ranges:
            if each.shared == shared:
                _write_range(rows, verdicts, each)
        cells = cell(rows.sheet, first, VALUE, rows.row - 1)
        left[shared] = f'COUNTIF({cells}, "{LEFT}")' if rows.row > first else "0"
    return left


def _write_range(rows: PlaceRows, verdicts: PlaceVerdicts, each: Range) -> None:
    was_left = any(map(each.is_of, rows.place.cautions))
    rows.text(NUMBER, "")
    rows.text(SYMBOL, each.severity.name.lower())
    rows.text(MEANING, each.text)
    rows.deepen((each.text, WIDTHS[MEANING]))
    some = Truth("any", tuple(map(Symbol, each.keys))) if len(each.keys) > 1 else Symbol(*each.keys)
    tree = Choice(some, Label(LEFT), Label(KEPT))
    rows.live(VALUE, f"={verdicts.formula(tree)}", LEFT if was_left else KEPT, "cell right")
    for key in each.keys:
        verdicts.shown(key, LEFT)
    rows.alarm_at(LEFT, "alarm" if each.severity is Severity.OUTSIDE else "warning")
    rows.row += 1


def write_outcome(
    rows: PlaceRows, verdicts: PlaceVerdicts, left: dict[bool, str], fixed: Sequence[Finding]
) -> None:
    """Writes the governing equation, the smallest factor, the status and the count of cautions.

    `left` counts the ranges left, `fixed` are the findings that are no range.
    """
    place = rows.place

    def result(key: str, meaning: str, tree: Node | str, value: float | str) -> None:
        write_result(rows, key, meaning, f"={verdicts.formula(tree)}", value)

    rows.part("Outcome")
    result("governing", "Governing equation", "governing", place.governing)
    if not place.result.basis.thickness_given:
        decided = Choice(Symbol("minimum_governs"), Label(MINIMUM), Label(EQUATION))
        said = MINIMUM if place.result.minimum_governs else EQUATION
        result(DECIDED, "Nominal thickness governed by", decided, said)
    result("lowest_safety_factor", "Min. safety factor", "factor_shown", place.factor_shown)
    result("status", "Status", "status", place.status)
    _write_cautions(rows, left, fixed)


def _write_cautions(rows: PlaceRows, left: dict[bool, str], fixed: Sequence[Finding]) -> None:
    """How many cautions hold here, and how many of them concern all stations alike."""
    place = rows.place
    total = f"={len(fixed)}+{left[True]}+{left[False]}"
    said = sentence("workbook.cautions_fixed" if fixed else "workbook.cautions_live", n=len(fixed))
    write_result(rows, "cautions", said, total, len(place.cautions), "count")
    if place.several and not place.index:
        count = sum(note.station is None for note in place.cautions)
        of_all = sum(note.station is None for note in fixed)
        meaning, text = sentence("workbook.of_all_stations"), f"={of_all}+{left[True]}"
        write_result(rows, "cautions_of_all_stations", meaning, text, count, "count")


def write_result(
    rows: PlaceRows, key: str, meaning: str, formula: str, value: float | str, style: str = "factor"
) -> None:
    """A row of the outcome, in a cell of this name."""
    rows.text(MEANING, meaning)
    rows.live(VALUE, formula, value, style)
    rows.define(key)
    rows.alarm_at(FAILS)
    rows.row += 1
