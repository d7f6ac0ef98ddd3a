"""One pipe's calculation sheet as part of a page, each line linked to what it uses."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from linerdesign.documents.allowed import allowed
from linerdesign.documents.blocks import Sheet
from linerdesign.documents.drawing import cross_section, demand_bars
from linerdesign.documents.markup import Markup, element, join
from linerdesign.documents.numbers import both_units, value_with_unit
from linerdesign.documents.page_appendix import Appendix, typed
from linerdesign.documents.places import THICKEST, Place, place_name, places_of
from linerdesign.documents.sheet import (
    CHECK_CELLS,
    CHECK_COLUMNS,
    IN_WORDS,
    RAISED,
    RULINGS,
    check_cells,
    condition_text,
    derivation,
    edition_text,
    governing_text,
    inputs,
    is_input,
    origin_text,
    other_condition_text,
    remark_lists,
    symbolic,
    warnings_of,
)
from linerdesign.expressions.mathml import formula, math, symbol
from linerdesign.expressions.printing import write
from linerdesign.expressions.tree import Call
from linerdesign.methods.check import Check
from linerdesign.methods.lines import Line
from linerdesign.methods.method import checks_of, choice_of_thickness, requirement, verification
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.steps import notes_of_steps
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import InWords

# What the page's script calls an end of the numbers that a field takes.
_ENDS = {">": "over", ">=": "least", "<": "under", "<=": "most"}
# What of the lists below a sheet no change of a value moves.
_STALE = {
    RULINGS: " For the issued values.",
    **dict.fromkeys(RAISED.values(), " What no line flags is for the issued values."),
}


def sheet(block: Sheet, appendix: Appendix) -> Markup:
    """The sheet of one pipe; its equations are noted in the appendix."""
    return _Writer(block.result, places_of(block.result, block.first), appendix).section()


@dataclass
class _Writer:
    """Writes one sheet. `_lines` holds where the line of each quantity stands so far."""

    result: PipeResult
    places: tuple[Place, ...]
    appendix: Appendix
    _lines: dict[tuple[str, str | None], Step] = field(default_factory=dict)

    @property
    def system(self) -> str:
        return self.result.basis.system

    def section(self) -> Markup:
        result = self.result
        heading = element("h2", element("bdi", result.name), class_="name")
        about = f"{result.resin}; {result.basis.condition}; {edition_text(result)}"
        given = [self._input(step) for step in inputs(result)]
        given += [self._said(each) for each in result.in_words]
        calculation = self._calculation()
        return element(
            "section",
            heading,
            element("p", element("bdi", about)),
            element("p", f"{condition_text(result)} So decided by the owner."),
            self._summary(),
            self._pictures(),
            self._checks(),
            element("h3", "Inputs"),
            _table(("quantity", "value", "how it is known"), given, "inputs"),
            element("h3", "Calculation"),
            calculation,
            self._other_condition(),
            self._notes(),
            id=place_name(self.places[0].number),
            class_="sheet",
        )

    def _place(self, station: str | None) -> Place:
        """The place of a station; of what all stations share, the first."""
        return next((place for place in self.places if place.at == station), self.places[0])

    def _key(self, step: Step) -> str:
        return THICKEST if self._is_worst(step) else step.key

    def _id(self, step: Step) -> str:
        return f"{place_name(self._place(step.station).number)}-{self._key(step)}"

    def _name(self, step: Step) -> str:
        return self._place(step.station).name(self._key(step))

    def _others(self, step: Step) -> Iterable[str]:
        """Names at the further stations of a value that all of them share."""
        others = self.places[1:] if step.station is None else ()
        return (place.name(self._key(step)) for place in others)

    @staticmethod
    def _is_worst(step: Step) -> bool:
        """Whether a step picks the worst of the stations: arithmetic that is no equation."""
        return step.line is None and step.arithmetic is not None

    # The parts of a sheet

    def _summary(self) -> Markup:
        result = self.result
        entries = {
            "status": ("Status", result.status),
            "nominal": ("Nominal thickness", both_units(result.nominal_thickness, self.system)),
            "required": ("Required", both_units(result.required_thickness, self.system)),
            "governing": ("Governed by", governing_text(result)),
        }
        return element(
            "dl",
            *(
                element("div", element("dt", label), element("dd", text, data_show=key))
                for key, (label, text) in entries.items()
            ),
            class_="summary" + ("" if result.holds else " doubtful"),
        )

    def _pictures(self) -> Markup:
        section, bars = cross_section(self.result), demand_bars(self.result)
        issued = _for_issued(" Drawn for the issued values.")
        return element(
            "div",
            element(
                "figure",
                Markup(section.svg),
                element("figcaption", element("bdi", section.caption), issued),
            ),
            element("figure", Markup(bars.svg), element("figcaption", bars.caption)),
            class_="pictures",
        )

    def _checks(self) -> Markup:
        rows = [
            self._check(check, place)
            for place in self.places
            for check in checks_of(self.result.basis)
        ]
        title = both_units(self.result.nominal_thickness, self.system)
        caption = join("Checks at ", element("span", title, data_show="nominal"))
        return _table(CHECK_COLUMNS, rows, "checks", caption)

    def _check(self, check: Check, place: Place) -> Markup:
        found = place.check(check)
        cells = check_cells(found, self.system) if found else dict.fromkeys(CHECK_CELLS, "")
        return element(
            "tr",
            element("th", check.equation, _at(place.at), scope="row"),
            *(element("td", text, data_cell=name) for name, text in cells.items()),
            data_check=check.equation,
            data_n=place.number,
            class_="fails" if found and not found.passes else None,
            hidden=found is None,
        )

    def _input(self, step: Step) -> Markup:
        self._lines[step.key, step.station] = step
        identity, unit = self._id(step), step.unit
        field_id = f"value-{identity}"
        editable = bool(SYMBOLS[step.key].name)
        value = self._field(step, field_id) if editable else self._value(step)
        label = element("label", step.meaning, for_=field_id) if editable else step.meaning
        self.appendix.note_symbol(step.key)
        return element(
            "tr",
            element(
                "th",
                element("span", f"{step.number} ", class_="number"),
                math(symbol(step.key)),
                " ",
                label,
                _at(step.station),
                scope="row",
            ),
            element("td", value, f" {unit}" if editable and unit else "", class_="quantity"),
            element(
                "td", element("bdi", origin_text(step, self.system)), _issued(), class_="source"
            ),
            id=identity,
            class_="line",
        )

    def _said(self, said: InWords) -> Markup:
        """What the project says in words: nothing that can be changed here."""
        self.appendix.note_symbol(said.key)
        name = element(
            "th", math(symbol(said.key)), " ", said.meaning, _at(said.station), scope="row"
        )
        return element(
            "tr",
            name,
            element("td", IN_WORDS, class_="quantity"),
            element("td", element("bdi", said.source), class_="source"),
        )

    def _field(self, step: Step, field_id: str) -> Markup:
        name = self._name(step)
        takes = allowed(step.key)
        value = _shortest(step.value)
        about = {
            "data_key": step.key,
            "data_value": repr(step.value),
            "data_expected": takes.expected,
            **{f"data_{_ENDS[sign]}": f"{end:g}" for sign, end in takes.ends},
            "value": value,
            "autocomplete": "off",
        }
        shown = element(
            "input",
            id=field_id,
            type="text",
            inputmode="decimal",
            size=max(9, len(value)),
            readonly=True,
            data_name=name,
            **about,
        )
        mirrors = (
            element("input", type="text", hidden=True, data_name=other, data_shares=name, **about)
            for other in self._others(step)
        )
        return join(shown, *mirrors)

    def _value(self, step: Step) -> Markup:
        text = value_with_unit(step.key, step.value, self.system)
        value = repr(step.value)
        shown = element("b", text, class_="value", data_name=self._name(step), data_value=value)
        others = (
            element("span", hidden=True, data_name=other, data_value=value)
            for other in self._others(step)
        )
        return join(shown, *others)

    def _calculation(self) -> Markup:
        basis = self.result.basis
        parts = {
            "Thickness required": requirement(basis),
            "Thickness chosen": choice_of_thickness(basis),
            "The wall put back into each equation": verification(basis),
        }
        of_key = {line.result: title for title, lines in parts.items() for line in lines}
        rows: dict[str, list[Markup]] = {title: [] for title in parts}
        for step in self.result.steps:
            if not is_input(step):
                rows[of_key[step.key]].append(self._line(step))
        return join(
            *(
                join(element("h4", title), element("ol", *lines, class_="lines"))
                for title, lines in rows.items()
                if lines
            )
        )

    def _line(self, step: Step) -> Markup:
        uses = self._uses(step)
        self._lines[step.key, step.station] = step
        self.appendix.note_symbol(step.key)
        number = f"{step.number} " if step.number else ""
        head = element(
            "p",
            element("span", number, class_="number"),
            step.meaning,
            _at(step.station),
            self.appendix.reference(step.line) if step.line else f" ({step.source})",
            class_="meaning",
        )
        lines = derivation(step)[0 if self._is_worst(step) else 1 :]
        numbers = element("p", *(element("span", f"= {text}") for text in lines), class_="numbers")
        result = element("p", math(symbol(step.key)), " = ", self._value(step), _issued())
        warnings = (element("p", f"({text})", class_="warning") for text in warnings_of(step))
        flags = element("div", *(element("p", f"! {flag}") for flag in step.flags), class_="flags")
        return element(
            "li",
            head,
            *((formula(step.key, step.line.tree), _typed(step, step.line)) if step.line else ()),
            numbers,
            result,
            uses,
            *warnings,
            flags,
            id=self._id(step),
            class_="line",
            hidden=not step.applies,
        )

    def _uses(self, step: Step) -> Markup:
        """Links to the lines that the values of this line come from."""
        if step.line is None:
            sources = [s for (key, at), s in self._lines.items() if key == step.key and at]
        else:
            needs = dict.fromkeys(step.line.needs)
            sources = [s for key in needs if (s := self._source(key, step.station))]
        links = [
            element(
                "li",
                element(
                    "a",
                    math(symbol(source.key)),
                    _at(source.station if step.line is None else None),
                    " = ",
                    element("span", value_with_unit(source.key, source.value, self.system)),
                    href=f"#{self._id(source)}",
                    title=source.meaning,
                    data_use=source.key,
                ),
                hidden=not source.applies,
            )
            for source in sources
        ]
        return element("ul", *links, class_="uses", aria_label="values used")

    def _source(self, key: str, station: str | None) -> Step | None:
        return self._lines.get((key, station)) or self._lines.get((key, None))

    def _other_condition(self) -> Markup:
        text = other_condition_text(self.result)
        if text is None:
            return Markup()
        return element("p", element("bdi", text), _for_issued(" This is for the issued values."))

    def _notes(self) -> Markup:
        result = self.result
        raised = {note.text for note in notes_of_steps(result.steps)}
        severities = {title: severity.value for severity, title in RAISED.items()}
        lists = remark_lists(result)
        return join(
            *(
                element(
                    "div",
                    element("h3", title, _for_issued(_STALE.get(title, ""), title in _STALE)),
                    element(
                        "ul",
                        *(
                            element("li", element("bdi", text), data_raised=text in raised)
                            for text in items
                        ),
                    ),
                    data_severity=severities.get(title),
                    hidden=not items,
                )
                for title, items in lists.items()
                if items or title in severities
            )
        )


def _typed(step: Step, line: Line) -> Markup:
    """The formula in plain text, rounding in words."""
    if isinstance(line.tree, Call) and line.equation.kind == "rounding":
        return typed(step.key, f"{derivation(step)[0]}, rounded up")
    return typed(step.key, write(line.tree, symbolic()))


def _at(station: str | None) -> Markup:
    return join(" at ", element("bdi", station)) if station else Markup()


def _for_issued(words: str, stale: bool = True) -> Markup:
    """Words shown while values are changed, beside what is not computed again."""
    return element("span", words, class_="when-changed", hidden=True) if stale else Markup()


def _issued() -> Markup:
    """Where the page's script says what the issued value was."""
    return element("span", class_="issued", hidden=True)


def _shortest(value: float) -> str:
    """The number in as few digits as give exactly it back."""
    return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)


def _table(
    columns: tuple[str, ...], rows: list[Markup], kind: str, caption: Markup | None = None
) -> Markup:
    head = element("tr", *(element("th", name, scope="col") for name in columns))
    body = element("tbody", *rows)
    title = element("caption", caption) if caption else ""
    table = element("table", title, element("thead", head), body, class_=kind)
    return element("div", table, class_="wide")
