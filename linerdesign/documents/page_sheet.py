"""One pipe's calculation sheet as data for the templates of a page, and what they refer to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from linerdesign.documents.allowed import may_be_changed
from linerdesign.documents.drawing import cross_section, demand_bars
from linerdesign.documents.markup import Markup
from linerdesign.documents.mathematics import page_formula, page_symbol, text_symbol
from linerdesign.documents.numbers import both_units, printed_text, printed_value
from linerdesign.documents.places import THICKEST, Place, place_name, places_of
from linerdesign.documents.shared import Identity, Shared, shared_identity
from linerdesign.documents.sheet import (
    CHECK_CELLS,
    CHECK_COLUMNS,
    PLAIN,
    RAISED,
    RULINGS,
    about_text,
    check_cells,
    condition_text,
    derivation,
    governing_text,
    inputs,
    is_input,
    letter,
    origin_text,
    other_condition_text,
    remark_lists,
    to_whole,
)
from linerdesign.expressions import tree
from linerdesign.expressions.printing import positional, raised
from linerdesign.expressions.tree import Node, Table
from linerdesign.methods.basis import Basis
from linerdesign.methods.check import Check
from linerdesign.methods.equation import Equation
from linerdesign.methods.legs import LEG_FAILS
from linerdesign.methods.lines import Line
from linerdesign.methods.method import checks_of, choice_of_thickness, requirement, verification
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import InWords
from linerdesign.methods.verification import Verifications, identity_of
from linerdesign.words import parted, sentence
from linerdesign.words.documents import LABELS

# What of the lists below a sheet no change of a value moves, and the words that say so.
_STALE = {RULINGS, *(LABELS[key] for key in ("other_loads", "defaults", "not_measured"))}
_WIDTH = 9
View = dict[str, Any]


class Appendix:
    """The equations, tables and symbols that sheets used, each once, in the order of their use."""

    def __init__(self, units: str, verified: Verifications) -> None:
        self._units = units
        self._verified = verified
        self._lines: dict[tuple[str, str, Node], Line] = {}
        self._places: dict[tuple[str, str, Node], int] = {}
        self._symbols: dict[str, None] = {}
        self._tables: dict[Table, None] = {}
        self._worked: set[Basis] = set()

    def again(self, basis: Basis) -> bool:
        """Whether a sheet with these lines went before."""
        known = basis in self._worked
        self._worked.add(basis)
        return known

    def note_symbol(self, key: str) -> None:
        """Gives a quantity an entry."""
        self._symbols[key] = None

    def place(self, line: Line) -> int:
        """Number of the entry of a line's equation, which it gets where it is first used."""
        identity = (line.equation.number, line.result, line.tree)
        if identity not in self._places:
            self._places[identity] = len(self._places) + 1
            self._lines[identity] = line
            self._symbols |= dict.fromkeys((line.result, *line.needs))
            self._tables |= dict.fromkeys(tree.tables(line.tree))
        return self._places[identity]

    def _letter(self, equation: Equation) -> str:
        return letter(equation, identity_of(equation) in self._verified)

    def equations(self) -> Iterator[View]:
        """An entry for each line."""
        for line in self._lines.values():
            equation = line.equation
            yield {
                "number": equation.number,
                "meaning": equation.meaning,
                "formula": page_formula(line.result, line.tree),
                "typed": _typed(line),
                "legend": [
                    (text_symbol(key), _meaning(key, self._units))
                    for key in dict.fromkeys((line.result, *line.arguments))
                ],
                "edition": equation.edition,
                "source": f"{equation.clause}; {equation.source} ({self._letter(equation)})",
                "ranges": [
                    f"{each.severity.value}: {each.text}"
                    for each in equation.limits_in(self._units)
                ],
            }

    def tables(self) -> list[View]:
        """An entry for each table."""
        return [
            {
                "name": table.name,
                "source": table.source,
                "rows": list(
                    zip(map(positional, table.xs), map(positional, table.ys), strict=True)
                ),
            }
            for table in self._tables
        ]

    def symbols(self) -> list[View]:
        """A row for each symbol."""
        return [
            {
                "key": key,
                "symbol": Markup(f"<math><mrow>{page_symbol(key)}</mrow></math>"),
                "meaning": SYMBOLS[key].meaning,
                "unit": SYMBOLS[key].unit(self._units),
            }
            for key in self._symbols
        ]


def _meaning(key: str, units: str) -> str:
    unit = SYMBOLS[key].unit(units)
    return f"{SYMBOLS[key].meaning}, {unit}" if unit else SYMBOLS[key].meaning


def _typed(line: Line) -> str:
    """The formula in plain text, rounding in words: no font is needed to read it right."""
    rounded = to_whole(line.tree)
    text = PLAIN.symbolic(line.tree if rounded is None else rounded)
    after = "" if rounded is None else f", {sentence('documents.rounded_up')}"
    return f"{SYMBOLS[line.result].symbol} = {text}{after}"


class Homes:
    """Where on the page the values stand that several pipes share."""

    def __init__(self, parts: Mapping[str, Mapping[Identity, Shared]], units: str) -> None:
        self.parts = parts
        self._units = units
        self._known = {i: each for values in parts.values() for i, each in values.items()}
        self._places = {identity: f"basis-{n}" for n, identity in enumerate(self._known, 1)}

    def views(self, appendix: Appendix) -> list[tuple[str, list[View]]]:
        """The rows of the panel, part by part."""
        return [
            (part, [self._view(identity, each, appendix) for identity, each in values.items()])
            for part, values in self.parts.items()
        ]

    def _view(self, identity: Identity, shared: Shared, appendix: Appendix) -> View:
        step = shared.step
        appendix.note_symbol(step.key)
        count = "one_pipe" if shared.pipes == 1 else "pipes"
        about = {
            "id": self._places[identity],
            "name": shared.name,
            "others": (),
            "place": "",
            "symbol": text_symbol(step.key),
            "meaning": printed_text(step.meaning),
            "station": None,
        }
        drives = sentence(f"shared.{count}", count=shared.pipes)
        return about | _field(step, self._units) | {"home": "", "drives": drives}

    def of(self, step: Step, places: tuple[Place, ...]) -> View:
        """Where the value of an input stands: its home, and the names that repeat it."""
        identity = shared_identity(step, places[0].result.resin)
        shared = self._known.get(identity) if identity else None
        if identity is None or shared is None:
            return {"home": ""}
        names = [place.name(step.key) for place in places]
        hidden = [name for name in names if name != shared.name]
        return {"home": shared.name, "home_id": self._places[identity], "repeats": hidden}


def sheet_view(result: PipeResult, first: int, appendix: Appendix, homes: Homes) -> View:
    """The sheet of one pipe; its equations are noted in the appendix."""
    places = places_of(result, first)
    section, bars = cross_section(result), demand_bars(result)
    return {
        "id": place_name(first),
        "again": appendix.again(result.basis),
        "name": result.name,
        "about": about_text(result),
        "condition": condition_text(result),
        "holds": result.holds,
        "summary": {
            "status": result.status,
            "nominal": both_units(result.nominal_thickness, result.basis.system),
            "required": both_units(result.required_thickness, result.basis.system),
            "governing": governing_text(result),
        },
        "section": {"svg": Markup(section.svg), "caption": section.caption},
        "bars": {"svg": Markup(bars.svg), "caption": bars.caption},
        "checks": _checks(result, places),
        "inputs": [_input(step, places, appendix, homes) for step in inputs(result)]
        + [_said(each, places, appendix) for each in result.in_words],
        "parts": _parts(result, places, appendix),
        "other": other_condition_text(result),
        "lists": list(_lists(result)),
    }


def _checks(result: PipeResult, places: tuple[Place, ...]) -> View:
    before, after = parted("documents.checks_at")
    return {
        "before": before,
        "thickness": both_units(result.nominal_thickness, result.basis.system),
        "after": after,
        "columns": CHECK_COLUMNS,
        "rows": [_check(check, place) for place in places for check in checks_of(result.basis)],
    }


def _check(check: Check, place: Place) -> View:
    found = place.check(check)
    system = place.result.basis.system
    return {
        "equation": check.equation,
        "station": place.at,
        "number": place.number,
        "cells": check_cells(found, system) if found else dict.fromkeys(CHECK_CELLS, ""),
        "fails": found is not None and not found.passes,
        "hidden": found is None,
    }


def _is_worst(step: Step) -> bool:
    """Whether a step picks the worst of the stations: arithmetic that is no equation."""
    return step.line is None and step.arithmetic is not None


def _quantity(step: Step, places: tuple[Place, ...]) -> View:
    """What any line says of its quantity: name and value, at the further stations too."""
    key = THICKEST if _is_worst(step) else step.key
    place = next((place for place in places if place.at == step.station), places[0])
    others = places[1:] if step.station is None else ()
    return {
        "id": f"{place_name(place.number)}-{key}",
        "name": place.name(key),
        "others": [other.name(key) for other in others],
        "place": step.number,
        "symbol": text_symbol(step.key),
        "meaning": printed_text(step.meaning),
        "station": step.station,
        "number": repr(step.value),
        "text": printed_value(step.key, step.value, place.result.basis.system),
    }


def _input(step: Step, places: tuple[Place, ...], appendix: Appendix, homes: Homes) -> View:
    appendix.note_symbol(step.key)
    system = places[0].result.basis.system
    return _quantity(step, places) | _field(step, system) | homes.of(step, places)


def _field(step: Step, system: str) -> View:
    """The field of an input: its number as a person writes it; the page holds all of it."""
    shown = positional(step.value)
    return {
        "editable": may_be_changed(step),
        "number": repr(step.value),
        "shown": shown,
        "size": max(_WIDTH, len(shown)),
        "unit": raised(step.unit),
        "text": printed_value(step.key, step.value, system),
        "source": origin_text(step, system, both=False),
        "drives": "",
    }


def _said(said: InWords, places: tuple[Place, ...], appendix: Appendix) -> View:
    """What the project says in words: a number in its field takes the place of what they give."""
    appendix.note_symbol(said.key)
    place = next((place for place in places if place.at == said.station), places[0])
    others = places[1:] if said.station is None else ()
    return {
        "id": f"{place_name(place.number)}-{said.key}-stated",
        "name": place.stated_name(said.key),
        "others": [each.stated_name(said.key) for each in others],
        "place": "",
        "symbol": text_symbol(said.key),
        "meaning": sentence("page.override", meaning=said.meaning, words=said.words),
        "station": said.station,
        "editable": True,
        "home": "",
        "number": "",
        "shown": "",
        "size": _WIDTH,
        "unit": raised(SYMBOLS[said.key].unit(place.result.basis.system)),
        "source": said.source,
        "drives": "",
    }


def _parts(
    result: PipeResult, places: tuple[Place, ...], appendix: Appendix
) -> list[tuple[str, list[View]]]:
    """The computed lines in three parts: what is required, the choice, and the checks."""
    basis = result.basis
    parts = {
        "required_part": requirement(basis),
        "chosen_part": choice_of_thickness(basis),
        "checked_part": verification(basis),
    }
    of_key = {line.result: name for name, lines in parts.items() for line in lines}
    rows: dict[str, list[View]] = {name: [] for name in parts}
    for step in result.steps:
        if not is_input(step):
            rows[of_key[step.key]].append(_line(step, places, appendix))
    return [(LABELS[name], lines) for name, lines in rows.items() if lines]


def _letter(step: Step) -> str:
    return letter(step.line.equation, step.verified is not None) if step.line else ""


def _line(step: Step, places: tuple[Place, ...], appendix: Appendix) -> View:
    lines = derivation(step)
    equation = step.line.equation if step.line else None
    reference = f"{equation.number}; {_letter(step)}" if equation else step.source
    return _quantity(step, places) | {
        "applies": step.applies,
        "equation": appendix.place(step.line) if step.line else 0,
        "reference": reference,
        "typed": _typed(step.line) if step.line else "",
        "numbers": lines[0 if _is_worst(step) else 1 :],
        "flags": step.flags,
    }


def _lists(result: PipeResult) -> Iterator[View]:
    """The lists of remarks; those that a change may fill are there when empty too."""
    left = {(limit.code, step.station) for step in result.steps for limit in step.limits_left}
    watched = result.calculation.watched
    raised = {
        note.text
        for note in result.notes
        if (note.code, note.station) in left
        or any(each.is_of(note) for each in watched)
        or note.code == LEG_FAILS
    }
    severities = {title: severity.value for severity, title in RAISED.items()}
    for title, items in remark_lists(result).items():
        if items or title in severities:
            yield {
                "title": title,
                "severity": severities.get(title),
                "stale": title in _STALE,
                "texts": [(text, text in raised) for text in items],
            }
