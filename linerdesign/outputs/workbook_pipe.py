"""The sheet of one pipe at one station: every input a cell, every line a live formula."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from linerdesign.design.basis import (
    checks_of,
    choice_of_thickness,
    requirement,
    verification,
    without_floor,
)
from linerdesign.design.checks import Check
from linerdesign.design.lines import Line
from linerdesign.design.result import (
    CHECKED,
    FAILS,
    OUTSIDE,
    SIZED,
    InWords,
    Note,
    Step,
)
from linerdesign.design.sizing import NO_SIZE
from linerdesign.equations.equation import Severity
from linerdesign.equations.printing import Dialect, write
from linerdesign.equations.sameness import SAME
from linerdesign.equations.symbols import SYMBOLS
from linerdesign.equations.tree import symbols
from linerdesign.outputs.allowed import allowed
from linerdesign.outputs.document import CAUTIONS
from linerdesign.outputs.sheet import (
    IN_WORDS,
    condition_text,
    edition_text,
    inputs,
    origin_text,
    reference,
    symbolic,
)
from linerdesign.outputs.workbook_cells import INDENT, LINE_HEIGHT, Book, cell, lines_of, row_height
from linerdesign.outputs.workbook_formulas import applies, broken, formula, workbook
from linerdesign.outputs.workbook_place import (
    DECIDED,
    EQUATION,
    MINIMUM,
    NO_BORE,
    NONE,
    NOTED,
    THICKEST,
    Place,
    cell_name,
    largest_of,
)

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

NUMBER, SYMBOL, MEANING, VALUE, UNIT, FORMULA, SOURCE, NAME = 0, 1, 2, 3, 4, 5, 8, 9
DEMAND, CAPACITY, FACTOR, VERDICT = 5, 6, 7, 8
OUTCOME = (SYMBOL, VALUE, CAPACITY, FACTOR, VERDICT)
WIDTHS = (5, 10, 42, 15, 8, 17, 17, 17, 44, 30)
FORMULA_WIDTH = sum(WIDTHS[FORMULA:SOURCE])
HEADER = 3
LEFT, KEPT = "out of range", "in range"


def write_place(book: Book, place: Place) -> Worksheet:
    """Writes the sheet of one place and defines its names."""
    sheet = book.sheet(f"{place.number} {place.title}")
    writer = _PlaceSheet(book, sheet, place)
    writer.write()
    return sheet


@dataclass
class _PlaceSheet:
    book: Book
    sheet: Worksheet
    place: Place
    row: int = HEADER + 1
    limits: dict[tuple[str, Severity, bool], list[tuple[str, str]]] = field(default_factory=dict)

    def write(self) -> None:
        basis, steps = self.place.result.basis, self.place.steps()
        here = self._dialect({})
        self._head()
        self._part(
            "Inputs", "Shaded cells may be changed: green, stated; rose, a default or assumed."
        )
        for step in inputs(self.place.result):
            if step.station in (None, self.place.at):
                self._input(step)
        for each in self.place.result.in_words:
            if each.station in (None, self.place.at):
                self._said(each)
        self._part("Calculation", condition_text(self.place.result))
        for line in requirement(basis):
            self._line(line, steps[line.result], here)
        chosen = here
        if self.place.several:
            self._worst()
            chosen = self._dialect({"t_required": THICKEST})
        for line in choice_of_thickness(basis):
            self._line(line, steps[line.result], chosen)
        self._part("The wall put back into the equations", "")
        for line in verification(basis):
            self._line(line, steps[line.result], here)
        self._outcome(*self._checks(), *self._ranges())
        self._notes()
        self.book.page(self.sheet, WIDTHS, HEADER)
        self.sheet.print_area(0, 0, self.row, SOURCE)

    def _dialect(self, renamed: dict[str, str]) -> Dialect:
        name = self.place.name
        return workbook(lambda key: name(renamed.get(key, key)), self.book.block)

    def _text(self, column: int, text: str, style: str = "cell") -> None:
        self.book.text(self.sheet, self.row, column, text, style)

    def _live(self, column: int, formula: str, value: float | str, style: str) -> None:
        self.book.live(self.sheet, self.row, column, formula, value, style)

    def _define(self, name: str, column: int = VALUE) -> None:
        self.book.define(name, cell(self.sheet, self.row, column))
        self._text(NAME, name, "name")

    def _head(self) -> None:
        """What stays in sight: the pipe, the outcome as it now stands, the columns' heads."""
        result, place = self.place.result, self.place
        unit = SYMBOLS["t"].unit(result.basis.system)
        self.book.text(self.sheet, 0, 0, place.title, "title")
        about = f"{result.resin}; {result.basis.condition}; {edition_text(result)}"
        self.book.text(self.sheet, 1, 0, about)
        self.row = 2
        self._text(MEANING, "Nominal thickness, as it now stands", "strong")
        self._live(VALUE, f"={place.name('t')}", result.nominal_thickness, "standing")
        self._text(UNIT, unit, "strong indented")
        self._text(FORMULA, "Status here", "strong right")
        self._text(FACTOR, "governed by", "strong right")
        self.row = HEADER
        heads = ("No.", "Symbol", "Meaning", "Value", "Unit", "Formula", "", "", "Source")
        self._heads(dict(enumerate((*heads, "Name of the cell"))), (VALUE,))

    def _part(self, title: str, remark: str) -> None:
        for column in range(NAME + 1):
            self._text(column, "", "part")
        self._text(NUMBER, title, "part")
        self.sheet.set_row(self.row, 24)
        self.row += 1
        if remark:
            self._text(SYMBOL, remark, "text")
            self.row += 1

    def _heads(self, heads: Mapping[int, str], numbers: Collection[int]) -> None:
        """A row of column heads, those over numbers to the right."""
        for column in range(NAME + 1):
            style = "head indented" if column in (UNIT, SOURCE) else "head"
            style = "head right" if column in numbers else style
            self._text(column, heads.get(column, ""), style)
        self.row += 1

    def _row(self, step: Step, formula_text: str, source: str, about: str = "") -> None:
        """All cells of a line but its value; `about` narrows its meaning."""
        meaning = step.meaning + about
        self._text(NUMBER, str(step.number or "-"))
        self._text(SYMBOL, step.symbol)
        self._text(MEANING, meaning)
        self._text(UNIT, step.unit, "indented")
        style = self.book.style("cell")
        self.sheet.merge_range(self.row, FORMULA, self.row, FORMULA + 2, "", style)
        self._text(FORMULA, formula_text)
        self._text(SOURCE, source, "indented")
        self._deepen(
            (meaning, WIDTHS[MEANING]), (source, WIDTHS[SOURCE]), (formula_text, FORMULA_WIDTH)
        )

    def _deepen(self, *texts: tuple[str, float]) -> None:
        """Makes the row as high as its longest text: programs do not where cells are merged."""
        lines = max(lines_of(text, width - INDENT) for text, width in texts)
        self.sheet.set_row(self.row, row_height(LINE_HEIGHT * lines))

    def _input(self, step: Step) -> None:
        """An input: a constant, or for what all stations share, the cell of the first one."""
        name = self.place.name(step.key)
        source = origin_text(step, self.place.result.basis.system)
        shared = self.place.several and step.station is None
        if shared and self.place.index:
            self._row(step, "set on the sheet of the first station", source)
            self.book.define(name, self.book.reference(cell_name(self.place.first, step.key)))
            self._text(NAME, name, "name")
            self._live(VALUE, f"={name}", step.value, "elsewhere")
        else:
            self._row(step, "for all stations" if shared else "", source)
            self._define(name)
            style = self.book.style(_input_style(step))
            self.sheet.write_number(self.row, VALUE, step.value, style)
            rule = _validation(step, cell(self.sheet, self.row, VALUE).rpartition("!")[2])
            self.sheet.data_validation(self.row, VALUE, self.row, VALUE, rule)
        if step.key == "t":
            # A thickness to check is an input and the nominal thickness both, so it has two names.
            self.book.define(self._name("design_thickness"), self.book.reference(name))
        self.row += 1

    def _said(self, said: InWords) -> None:
        """What the project says in words, from which lines below find a number."""
        texts = {SYMBOL: said.symbol, MEANING: said.meaning, SOURCE: said.source}
        for column in range(SOURCE + 1):
            style = "indented" if column == SOURCE else "cell"
            self._text(column, texts.get(column, ""), style)
        self._text(VALUE, IN_WORDS, "cell right")
        self._deepen((said.source, WIDTHS[SOURCE]))
        self.row += 1

    def _line(self, line: Line, step: Step, dialect: Dialect) -> None:
        text = write(line.tree, symbolic())
        if line.when is not None:
            text += f"   where {write(line.when.tree, symbolic())}, else 0"
        source = f"{reference(step)} {line.equation.provenance}".strip()
        self._row(step, text, source)
        self._define(self.place.name(line.result))
        style = "key result" if line.result in ("t_required", "t") else "result"
        self._live(VALUE, formula(line, dialect), step.value, style)
        if line.when is not None:
            self._idle_where(f"NOT({applies(line, dialect)})")
        self._keep_limits(line, dialect)
        self.row += 1

    def _idle_where(self, condition: str) -> None:
        """Greys a row where what it says does not apply."""
        rule = {"type": "formula", "criteria": f"={condition}", "format": self.book.style("idle")}
        self.sheet.conditional_format(self.row, 0, self.row, SOURCE, rule)

    def _worst(self) -> None:
        """One tube has one thickness: the largest of the stations."""
        worst = next(s for s in self.place.result.steps if s.arithmetic and s.line is None)
        names = self.place.names("t_required")
        largest = largest_of(names)
        text = f"max over {len(names)} stations"
        self._row(worst, text, worst.source, " at the worst station")
        self._define(self.place.name(THICKEST))
        self._live(VALUE, f"={largest}", self.place.result.required_thickness, "key result")
        self.row += 1

    def _keep_limits(self, line: Line, dialect: Dialect) -> None:
        known = self.place.steps()
        shared = self.place.several and known[line.result].station is None
        for limit in line.equation.limits_in(self.place.result.basis.system):
            holds = line.condition_tree(limit.holds)
            if (
                limit.waived_by in self.place.result.waivers
                or not set(symbols(holds)) <= known.keys()
            ):
                continue
            parts = self.limits.setdefault((limit.text, limit.severity, shared), [])
            parts.append((applies(line, dialect), write(holds, dialect)))

    def _checks(self) -> tuple[int, int]:
        """The checks, live; gives their first and last row."""
        self._part("Checks", "")
        heads = {
            SYMBOL: "Equation",
            MEANING: "Met where",
            VALUE: "Required thickness",
            UNIT: "Unit",
            DEMAND: "Demand",
            CAPACITY: "Capacity",
            FACTOR: "Safety factor provided",
            VERDICT: "Verdict",
        }
        self._heads(heads, (VALUE, DEMAND, CAPACITY, FACTOR))
        first = self.row
        for check in checks_of(self.place.result.basis):
            self._check(check)
        self.book.mark(self.sheet, (first, self.row - 1), VERDICT, "FAILS", "alarm")
        return first, self.row - 1

    def _check(self, check: Check) -> None:
        system, found, name = self.place.result.basis.system, self.place.check(check), self._name
        condition = "TRUE" if check.when is None else write(check.when.tree, self._dialect({}))
        demand, capacity = name(check.demand), name(check.capacity)
        unit = SYMBOLS[check.demand].unit(system)
        met = f"{SYMBOLS[check.demand].symbol} at most {SYMBOLS[check.capacity].symbol}"
        self._text(NUMBER, "")
        self._text(SYMBOL, check.equation)
        self._text(MEANING, f"{met}, {unit}" if unit else met)
        self._text(UNIT, SYMBOLS[check.required].unit(system), "indented")

        def where(text: str, other: str = '""') -> str:
            return f"={text}" if check.when is None else f"=IF({condition}, {text}, {other})"

        passes = f'IF({demand}<={capacity}*(1+{SAME:G}), "passes", "FAILS")'
        verdict = ("passes" if found.passes else "FAILS") if found else "does not apply"
        required = found.required_thickness if found else ""
        self._live(VALUE, where(name(check.required)), required, "result")
        self._live(DEMAND, where(demand), found.demand if found else "", "result")
        self._live(CAPACITY, where(capacity), found.capacity if found else "", "result")
        factor = found.safety_factor if found else None
        if check.safety:
            some = f"{condition}, {demand}>0, {capacity}>0"
            text = f'=IF(AND({some}), {name(check.safety)}, "")'
            self._live(FACTOR, text, "" if factor is None else factor, "factor")
        else:
            self._text(FACTOR, "-", "cell right")
        self._live(VERDICT, where(passes, '"does not apply"'), verdict, "indented")
        self._define(
            self._name(f"check_{check.equation.replace('.', '_').replace(' ', '_')}"), VERDICT
        )
        if check.when is not None:
            self._idle_where(f"NOT({condition})")
        self.row += 1

    def _name(self, key: str) -> str:
        return self.place.name(key) if key in SYMBOLS else f"pipe{self.place.number}_{key}"

    def _ranges(self) -> tuple[str, dict[bool, str]]:
        """The ranges of validity, live: the condition of being outside the method, and how many
        are left, of the ranges that all stations share and of this station's own."""
        outside = ["TRUE"] if self._static(Severity.OUTSIDE) else []
        self._part("Ranges of the equations", "")
        heads = {SYMBOL: "Kind", MEANING: "Said of values out of range", VALUE: "The values are"}
        self._heads(heads, (VALUE,))
        if self.place.result.basis.sizes:
            least, chosen = self._name("t_least"), self._name("t")
            enough = ("TRUE", f"{chosen}>={least}*(1-{SAME:G})")
            self.limits[NO_SIZE, Severity.CAUTION, self.place.several] = [enough]
        left = {}
        for shared in (True, False):
            first = self.row
            for (text, severity, of_all), parts in self.limits.items():
                if of_all == shared:
                    self._range(text, severity, parts)
                    if severity is Severity.OUTSIDE:
                        outside.append(f'{cell(self.sheet, self.row - 1, VALUE)}="{LEFT}"')
            rows = cell(self.sheet, first, VALUE, max(self.row - 1, first))
            left[shared] = f'COUNTIF({rows}, "{LEFT}")' if self.row > first else "0"
        return f"OR({', '.join(outside)})" if outside else "FALSE", left

    def _range(self, text: str, severity: Severity, parts: list[tuple[str, str]]) -> None:
        notes = filter(self.place.concerns, self.place.result.notes)
        was_left = any(note.said == text for note in notes)
        self._text(NUMBER, "")
        self._text(SYMBOL, severity.value.split(" ")[0])
        self._text(MEANING, text)
        self._deepen((text, WIDTHS[MEANING]))
        is_left = f'=IF({broken(parts)}, "{LEFT}", "{KEPT}")'
        self._live(VALUE, is_left, LEFT if was_left else KEPT, "cell right")
        style = "alarm" if severity is Severity.OUTSIDE else "warning"
        self.book.mark(self.sheet, (self.row, self.row), VALUE, LEFT, style)
        self.row += 1

    def _outcome(self, first: int, last: int, outside: str, left: dict[bool, str]) -> None:
        """Governing equation, lowest factor and status; the head of the sheet shows them too."""
        place = self.place
        column = {c: cell(self.sheet, first, c, last) for c in OUTCOME}
        good = CHECKED if place.result.basis.thickness_given else SIZED
        place_of_worst = f"MATCH({place.name('t_required')}, {column[VALUE]}, 0)"
        verdicts = column[VERDICT]
        met = f'COUNTIF({verdicts}, "passes")+COUNTIF({verdicts}, "does not apply")'
        self._part("Outcome", "")
        self._result(
            "governing",
            "Governing equation here: the thickest required",
            f'=IFERROR(INDEX({column[SYMBOL]}, {place_of_worst}), "{NONE}")',
            place.governing,
        )
        if not place.result.basis.thickness_given:
            self._decided()
        self._result(
            "lowest_safety_factor",
            "Lowest safety factor provided here",
            f'=IF(COUNTIF({column[CAPACITY]}, "<=0")>0, "{NO_BORE}", '
            f'IF(COUNT({column[FACTOR]})=0, "{NONE}", MIN({column[FACTOR]})))',
            place.lowest_factor,
        )
        self._result(
            "status",
            "Status here",
            f'=IF({met}<ROWS({verdicts}), "{FAILS}", IF({outside}, "{OUTSIDE}", "{good}"))',
            place.status,
        )
        self._cautions(left)
        for at, key, value in (
            (CAPACITY, "status", place.status),
            (SOURCE, "governing", place.governing),
        ):
            self.book.live(self.sheet, 2, at, f"={self._name(key)}", value, "strong indented")

    def _decided(self) -> None:
        """Whether the owner's minimum alone makes the wall as thick as it is."""
        place, basis = self.place, self.place.result.basis
        here = self._dialect({"t_required": THICKEST} if place.several else {})
        alone = write(without_floor(basis).tree, here)
        if not basis.sizes:
            alone += f"*{place.name('s')}"
        self._result(
            DECIDED,
            "What decides the nominal thickness",
            f'=IF({alone}<{place.name("t")}*(1-{SAME:G}), "{MINIMUM}", "{EQUATION}")',
            MINIMUM if place.result.floor_decides else EQUATION,
        )

    def _cautions(self, left: dict[bool, str]) -> None:
        """How many cautions hold here, and how many of them are said of all stations alike."""
        place = self.place
        fixed = [note for severity in NOTED for note in self._static(severity)]
        of_all = sum(note.station is None for note in fixed)
        own = sum(map(place.concerns, fixed)) - of_all
        total = f"={of_all}+{left[True]}+{own}+{left[False]}"
        self._result("cautions", "Cautions that hold here", total, len(place.cautions), "count")
        if place.several and not place.index:
            of_all_now = f"={of_all}+{left[True]}"
            count = sum(note.station is None for note in place.cautions)
            meaning = "of these, said of all stations"
            self._result("cautions_of_all_stations", meaning, of_all_now, count, "count")

    def _result(
        self, key: str, meaning: str, formula: str, value: float | str, style: str = "factor"
    ) -> None:
        self._text(MEANING, meaning)
        self._live(VALUE, formula, value, style)
        self._define(self._name(key))
        self.book.mark(self.sheet, (self.row, self.row), VALUE, FAILS, "alarm")
        self.row += 1

    def _static(self, severity: Severity) -> tuple[Note, ...]:
        """Notes that no range of an equation gave, and that no number of this sheet changes."""
        live = {text for text, *_ in self.limits}
        notes = self.place.result.notes
        return tuple(n for n in notes if n.severity is severity and n.said not in live)

    def _notes(self) -> None:
        result = self.place.result
        lists: dict[str, Iterable[str]] = {
            "Outside the method, as issued": (n.text for n in self._static(Severity.OUTSIDE)),
            "Cautions for this pipe, as issued": (n.text for n in self._static(Severity.CAUTION)),
            "Evidence": (f"{what}: {text}" for what, text in result.evidence),
            "Cautions": CAUTIONS,
        }
        for title, items in lists.items():
            texts = tuple(items)
            if texts:
                self._part(title, "")
            for text in texts:
                self._text(SYMBOL, text, "text")
                self.row += 1


def _input_style(step: Step) -> str:
    """What the project file can state is an input; a constant of the standard is none."""
    if not SYMBOLS[step.key].name:
        return "constant"
    doubtful = step.source.split(",")[0] in ("default", "assumed")
    return "doubtful input" if doubtful else "input"


def _validation(step: Step, place: str) -> dict[str, object]:
    """Has the program refuse in a cell what the project file would refuse."""
    takes = allowed(step.key)
    ends = ", ".join(f"{place}{sign}{end:G}" for sign, end in takes.ends)
    return {
        "validate": "custom",
        "value": f"=AND(ISNUMBER({place}), {ends})",
        "ignore_blank": False,
        "error_title": "Not a possible value",
        "error_message": f"Expected: {takes.expected}.",
    }
