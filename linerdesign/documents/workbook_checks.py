"""What follows the calculation on the sheet of one place, live: checks, ranges and the outcome."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from linerdesign.documents.places import NO_BORE, NONE, THICKEST, Place
from linerdesign.documents.sheet import CHECK_FAILS, PASSES, verdict
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
from linerdesign.expressions.printing import NOISE, Dialect, write
from linerdesign.expressions.tolerance import SAME
from linerdesign.expressions.tree import symbols
from linerdesign.expressions.workbook_formulas import applies, broken
from linerdesign.findings import Finding as Note
from linerdesign.methods.check import Check
from linerdesign.methods.engine import NO_SIZE
from linerdesign.methods.equation import Severity
from linerdesign.methods.lines import Line
from linerdesign.methods.method import checks_of, without_minimum
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.verdicts import CHECKED, FAILS, OUTSIDE, SIZED

DEMAND, CAPACITY, FACTOR, VERDICT = FORMULA, FORMULA + 1, FORMULA + 2, FORMULA + 3
CHECK_HEADS = {
    SYMBOL: "Equation",
    MEANING: "Met where",
    VALUE: "Required thickness",
    UNIT: "Unit",
    DEMAND: "Demand",
    CAPACITY: "Capacity",
    FACTOR: "Safety factor provided",
    VERDICT: "Verdict",
}
RANGE_HEADS = {SYMBOL: "Kind", MEANING: "Said of values out of range", VALUE: "The values are"}
DOES_NOT_APPLY = "does not apply"
LEFT, KEPT = "out of range", "in range"
# What decides the nominal thickness, in a cell of this name.
DECIDED, MINIMUM, EQUATION = "thickness_decided_by", "owner's minimum", "the equations"


@dataclass(frozen=True)
class Range:
    """A range of validity: `parts` are formulas, when an equation applies and when it holds.

    `shared` is a range that no station leaves alone.
    """

    text: str
    severity: Severity
    shared: bool
    parts: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Left:
    """Formulas over the ranges: whether one left is outside the method, and how many are left."""

    outside: str
    shared: str
    own: str


def ranges_of(place: Place, lines: Iterable[tuple[Line, Dialect]]) -> tuple[Range, ...]:
    """The ranges of all equations of a place, each with the formulas of its line's dialect."""
    result, known = place.result, place.steps()
    found: dict[tuple[str, Severity, bool], list[tuple[str, str]]] = {}
    for line, dialect in lines:
        shared = place.several and known[line.result].station is None
        for limit in line.equation.limits_in(result.basis.system):
            holds = line.condition_tree(limit.holds)
            if limit.waived_by not in result.waivers and known.keys() >= set(symbols(holds)):
                parts = found.setdefault((limit.text, limit.severity, shared), [])
                parts.append((applies(line, dialect), write(holds, dialect)))
    if result.basis.sizes:
        enough = f"{place.name('t')}>={place.name('t_least')}*(1-{SAME:G})"
        found[NO_SIZE, Severity.CAUTION, place.several] = [("TRUE", enough)]
    return tuple(Range(*key, tuple(parts)) for key, parts in found.items())


def fixed_notes(place: Place, ranges: Iterable[Range]) -> tuple[Note, ...]:
    """The cautions of a place that no range gave, and that no number of the sheet changes."""
    live = {each.text for each in ranges}
    return tuple(note for note in place.cautions if note.said not in live)


def write_checks(rows: PlaceRows) -> tuple[int, int]:
    """Writes the checks; gives their first and last row."""
    rows.part("Checks")
    rows.heads(CHECK_HEADS, (VALUE, DEMAND, CAPACITY, FACTOR))
    first = rows.row
    for check in checks_of(rows.place.result.basis):
        _write_check(rows, check)
    rows.book.mark(rows.sheet, (first, rows.row - 1), VERDICT, CHECK_FAILS, "alarm")
    return first, rows.row - 1


def _write_check(rows: PlaceRows, check: Check) -> None:
    place, system = rows.place, rows.place.result.basis.system
    found, name = place.check(check), place.name
    condition = "TRUE" if check.when is None else write(check.when.tree, rows.dialect())
    demand, capacity = name(check.demand), name(check.capacity)
    unit = SYMBOLS[check.demand].unit(system)
    met = f"{SYMBOLS[check.demand].symbol} at most {SYMBOLS[check.capacity].symbol}"
    rows.text(NUMBER, "")
    rows.text(SYMBOL, check.equation)
    rows.text(MEANING, f"{met}, {unit}" if unit else met)
    rows.text(UNIT, SYMBOLS[check.required].unit(system), "indented")

    def where(text: str, other: str = '""') -> str:
        return f"={text}" if check.when is None else f"=IF({condition}, {text}, {other})"

    required = found.required_thickness if found else ""
    rows.live(VALUE, where(name(check.required)), required, "result")
    rows.live(DEMAND, where(demand), found.demand if found else "", "result")
    rows.live(CAPACITY, where(capacity), found.capacity if found else "", "result")
    factor = found.safety_factor if found else None
    if check.safety:
        some = f"{condition}, {demand}>{NOISE:G}, {capacity}>0"
        text = f'=IF(AND({some}), {name(check.safety)}, "")'
        rows.live(FACTOR, text, "" if factor is None else factor, "factor")
    else:
        rows.text(FACTOR, "-", "cell right")
    passes = f'IF({demand}<={capacity}*(1+{SAME:G}), "{PASSES}", "{CHECK_FAILS}")'
    said = verdict(found.passes) if found else DOES_NOT_APPLY
    rows.live(VERDICT, where(passes, f'"{DOES_NOT_APPLY}"'), said, "indented")
    rows.define(f"check_{check.equation.replace('.', '_').replace(' ', '_')}", VERDICT)
    if check.when is not None:
        rows.idle_where(f"NOT({condition})")
    rows.row += 1


def write_ranges(rows: PlaceRows, ranges: Sequence[Range], fixed: Iterable[Note]) -> Left:
    """Writes the ranges, those that all stations share first; `fixed` notes count as left."""
    outside = ["TRUE"] if any(note.severity is Severity.OUTSIDE for note in fixed) else []
    rows.part("Ranges of the equations")
    rows.heads(RANGE_HEADS, (VALUE,))
    left = {}
    for shared in (True, False):
        first = rows.row
        for each in ranges:
            if each.shared == shared:
                if each.severity is Severity.OUTSIDE:
                    outside.append(f'{cell(rows.sheet, rows.row, VALUE)}="{LEFT}"')
                _write_range(rows, each)
        cells = cell(rows.sheet, first, VALUE, max(rows.row - 1, first))
        left[shared] = f'COUNTIF({cells}, "{LEFT}")' if rows.row > first else "0"
    any_outside = f"OR({', '.join(outside)})" if outside else "FALSE"
    return Left(any_outside, left[True], left[False])


def _write_range(rows: PlaceRows, each: Range) -> None:
    was_left = any(note.said == each.text for note in rows.place.cautions)
    rows.text(NUMBER, "")
    rows.text(SYMBOL, each.severity.value.split(" ")[0])
    rows.text(MEANING, each.text)
    rows.deepen((each.text, WIDTHS[MEANING]))
    is_left = f'=IF({broken(each.parts)}, "{LEFT}", "{KEPT}")'
    rows.live(VALUE, is_left, LEFT if was_left else KEPT, "cell right")
    rows.alarm_at(LEFT, "alarm" if each.severity is Severity.OUTSIDE else "warning")
    rows.row += 1


def write_outcome(
    rows: PlaceRows, checks: tuple[int, int], left: Left, fixed: Sequence[Note]
) -> None:
    """Writes the governing equation, the lowest factor, the status and the count of cautions.

    `checks` are the first and last row of the checks, `fixed` the notes that are no range.
    """
    place, first, last = rows.place, *checks
    given = place.result.basis.thickness_given
    equations, required, capacities, factors, verdicts = (
        cell(rows.sheet, first, column, last)
        for column in (SYMBOL, VALUE, CAPACITY, FACTOR, VERDICT)
    )
    place_of_worst = f"MATCH({place.name('t_required')}, {required}, 0)"
    met = f'COUNTIF({verdicts}, "{PASSES}")+COUNTIF({verdicts}, "{DOES_NOT_APPLY}")'
    rows.part("Outcome")
    _write_result(
        rows,
        "governing",
        "Governing equation here: the thickest required",
        f'=IFERROR(INDEX({equations}, {place_of_worst}), "{NONE}")',
        place.governing,
    )
    if not given:
        _write_decided(rows)
    _write_result(
        rows,
        "lowest_safety_factor",
        "Lowest safety factor provided here",
        f'=IF(COUNTIF({capacities}, "<=0")>0, "{NO_BORE}", '
        f'IF(COUNT({factors})=0, "{NONE}", MIN({factors})))',
        place.lowest_factor,
    )
    good = CHECKED if given else SIZED
    _write_result(
        rows,
        "status",
        "Status here",
        f'=IF({met}<ROWS({verdicts}), "{FAILS}", IF({left.outside}, "{OUTSIDE}", "{good}"))',
        place.status,
    )
    _write_cautions(rows, left, fixed)


def _write_decided(rows: PlaceRows) -> None:
    """Whether the owner's minimum alone makes the wall as thick as it is."""
    place, basis = rows.place, rows.place.result.basis
    here = rows.dialect({"t_required": THICKEST} if place.several else {})
    alone = write(without_minimum(basis).tree, here)
    if not basis.sizes:
        alone += f"*{place.name('s')}"
    _write_result(
        rows,
        DECIDED,
        "What decides the nominal thickness",
        f'=IF({alone}<{place.name("t")}*(1-{SAME:G}), "{MINIMUM}", "{EQUATION}")',
        MINIMUM if place.result.minimum_governs else EQUATION,
    )


def _write_cautions(rows: PlaceRows, left: Left, fixed: Sequence[Note]) -> None:
    """How many cautions hold here, and how many of them are said of all stations alike."""
    place = rows.place
    total = f"={len(fixed)}+{left.shared}+{left.own}"
    count = len(place.cautions)
    _write_result(rows, "cautions", "Cautions that hold here", total, count, "count")
    if place.several and not place.index:
        count = sum(note.station is None for note in place.cautions)
        of_all = sum(note.station is None for note in fixed)
        meaning, text = "of these, said of all stations", f"={of_all}+{left.shared}"
        _write_result(rows, "cautions_of_all_stations", meaning, text, count, "count")


def _write_result(
    rows: PlaceRows, key: str, meaning: str, formula: str, value: float | str, style: str = "factor"
) -> None:
    rows.text(MEANING, meaning)
    rows.live(VALUE, formula, value, style)
    rows.define(key)
    rows.alarm_at(FAILS)
    rows.row += 1
