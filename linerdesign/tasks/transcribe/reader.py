"""Reads the lines of a document: headings, tables, rows of label and value, sentences."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from linerdesign.tasks.transcribe.document import Cell, Line, Source, paragraphs
from linerdesign.tasks.transcribe.found import Found, NotUnderstood, Transcript
from linerdesign.tasks.transcribe.keys import same_value
from linerdesign.tasks.transcribe.learnt import learnt_key
from linerdesign.tasks.transcribe.meaning import Meaning, meaning, value_for
from linerdesign.tasks.transcribe.names import heading, names_in, same_name
from linerdesign.tasks.transcribe.numbers import comma_of, unit_alone
from linerdesign.tasks.transcribe.sentences import conditions, named_value, only_symbols, readings
from linerdesign.tasks.transcribe.tables import (
    Column,
    header,
    label_of,
    number_with,
    placed,
    single_value,
    under,
    with_units,
    without,
)
from linerdesign.tasks.transcribe.tokens import Token, tokens

_SEGMENT = re.compile(r"(?:(?<=[.;])\s+|\n)")
# The number of a line or of a section before its text.
_NUMBERING = re.compile(r"\s*\(?\d{1,3}(?:\.\d{1,2})*[.)]\s+(?=[A-Za-zµνσγ])")
_POWER_OF_UNIT = re.compile(r"(?:mm|cm|m|in\.?|ft\.?)\s?\^?[23²³⁴]")
# Headings of what is of no particular pipe.
_OF_ALL = re.compile(
    r"\b(?:general|common|all pipes|design basis|criteria|assumptions|properties|materials)\b",
    re.IGNORECASE,
)
_DIGIT = re.compile(r"\d")
# A symbol and its value in one cell.
_ASSIGNED = re.compile(r"\s*([^\s=]{1,8})\s*=\s*(\S.*)", re.DOTALL)
# Columns that say where a row is.
_NAMES = ("pipe", "station", "from", "to")
_SIDES = ("from", "to")


def read_document(source: Source, labels: Mapping[str, str] | None = None) -> Transcript:
    """Everything found in a document; `labels` are keys by the contractor's own labels."""
    reader = _Reader(paragraphs(source.lines), labels or {})
    reader.read()
    unread = tuple(NotUnderstood(text, at, "transcribe.unread") for text, at in source.unread)
    return reader.transcript(unread)


class _Reader:
    def __init__(self, lines: Sequence[Line], labels: Mapping[str, str]) -> None:
        self.lines = lines
        self.labels = labels
        self.comma = comma_of("\n".join(cell.text for line in lines for cell in line.cells))
        self.names: dict[str, str] = {}
        self.found: list[tuple[int, Found]] = []
        self.missed: list[tuple[int, NotUnderstood]] = []
        self.covered: dict[int, list[tuple[int, int]]] = {}
        self.columns: tuple[Column, ...] = ()
        self.table: int | None = None
        self.pipe = ""
        self.part = ""
        self.unnamed = 0

    def read(self) -> None:
        self.index = 0
        while self.index < len(self.lines):
            line = self.lines[self.index]
            if line.part != self.part:
                self._new_part(line)
            if line.table != self.table:
                self.columns, self.table = (), line.table
            self.index += self._header() or self._line(line)

    def _new_part(self, line: Line) -> None:
        """A sheet is of the pipe that it is named after, or of none until it names one."""
        self.part = line.part
        name = heading(line.part) if any(names_in(line.part)) else None
        self.pipe = self._name(name, replace(line.cells[0], text=line.part)) if name else ""

    def transcript(self, unread: tuple[NotUnderstood, ...]) -> Transcript:
        """What was found, in the order of the document, and what is left of its numbers."""
        self._leftovers()
        found = [each for _, each in sorted(self.found, key=lambda pair: pair[0])]
        missed = [each for _, each in sorted(self.missed, key=lambda pair: pair[0])]
        names = tuple(self.names.values())
        if len(names) == 1:
            found = [replace(each, pipe=names[0]) for each in found]
        found = _without_contradictions(found)
        return Transcript(names, tuple(found), (*missed, *unread))

    # Tables

    def _header(self) -> int:
        line = self.lines[self.index]
        if len(line.cells) < 2:
            return 0
        alike = [
            each for each in self.lines[self.index : self.index + 4] if each.table == line.table
        ]
        made = header(alike, self.comma)
        if made is None:
            return 0
        self.columns, count = made
        if count < len(alike) and (units := with_units(self.columns, alike[count])):
            self.columns, count = units, count + 1
        for column in self.columns:
            if column.name:
                self._name(column.name, Cell(column.text, column.at))
        for cell in (cell for each in alike[:count] for cell in each.cells):
            self._cover_label(cell)
            over = under(self.columns, cell)
            if over and over.name:
                self._cover_all(cell)
        self.unnamed = 0
        return count

    def _line(self, line: Line) -> int:
        if self.columns and len(line.cells) > 1 and self._row(line):
            return 1
        if not line.table and len(line.cells) == 1:
            self.columns = ()
        if len(line.cells) == 1:
            self._text(line.cells[0])
        elif not self._pipe_heading(line):
            self._labels_and_values(line)
        return 1

    def _row(self, line: Line) -> bool:
        """Reads a row under the current header; False where it has no value under it."""
        found = placed(self.columns, line)
        places = [(cell, column) for cell, column, _ in found]
        unclear = {id(cell) for cell, _, clear in found if not clear}
        quantities = [
            (cell, column)
            for cell, column in places
            if column
            and column.role in ("key", "value", "name", "")
            and (single_value(cell.text, self.comma) or self._named(cell))
        ]
        said = [
            (cell, column)
            for cell, column in places
            if column and column.name and any(conditions(cell.text))
        ]
        if not (quantities or said):
            return False
        pipe, of_row = self._pipe_of(places), self._doubts_of_row(places)
        with_value = [*quantities, *said]
        label_cells = [] if self._rows_are_pipes() else self._label_cells(places, with_value)
        label = [token for cell in label_cells for token in label_of(cell.text, self.comma)[0]]
        own = [label_of(cell.text, self.comma)[1] for cell in label_cells]
        row_unit = next((u for cell, _ in places if (u := unit_alone(cell.text))), None)
        for cell, column in quantities:
            assert column is not None
            name = self._name(column.name, cell) if column.name else pipe
            shown = " ".join(each.text for each in label_cells) or column.text
            units = (row_unit, column.unit, *own)
            doubts = (*of_row, "transcribe.column") if id(cell) in unclear else of_row
            self._value(cell, [*label, *column.label], units, name, shown, doubts)
        for cell, column in said:
            self._text(cell, self._name(column.name, cell), " ".join(c.text for c in label_cells))
        for cell in label_cells:
            self._cover_label(cell)
        used = {id(cell) for cell, _ in with_value} | {id(cell) for cell in label_cells}
        for cell, over in places:
            if unit_alone(cell.text) is not None:
                self._cover_all(cell)
            if id(cell) not in used and not (over and over.role in _NAMES):
                self._text(cell, pipe)
        return True

    def _rows_are_pipes(self) -> bool:
        roles = [column.role for column in self.columns]
        return "pipe" in roles or "from" in roles or self._first_is_pipe()

    def _first_is_pipe(self) -> bool:
        """Whether an unknown first column stands before columns of quantities."""
        roles = [column.role for column in self.columns]
        return roles[0] == "" and roles.count("key") >= 2 and "label" not in roles

    def _doubts_of_row(self, places: Sequence[tuple[Cell, Column | None]]) -> tuple[str, ...]:
        """Why the values of a row may not be those of a pipe."""
        for cell, column in places:
            if column and column.role == "station":
                self._cover_all(cell)
                return ("transcribe.station",)
        unnamed = self._first_is_pipe() and not any(names_in(places[0][0].text))
        return ("transcribe.row_name",) if unnamed else ()

    def _pipe_of(self, places: Sequence[tuple[Cell, Column | None]]) -> str:
        roles = {column.role: cell for cell, column in places if column}
        if "from" in roles and "to" in roles:
            for side in _SIDES:
                self._cover_all(roles[side])
            return self._name(f"{roles['from'].text} to {roles['to'].text}", roles["from"])
        first = places[0][0] if places[0][1] is self.columns[0] else None
        cell = roles.get("pipe") or (first if self._first_is_pipe() else None)
        if cell is not None:
            self._cover_all(cell)
            return self._name(" ".join(cell.text.split()), cell)
        if self._rows_are_pipes():
            self.unnamed += 1
            return self._name(f"row {self.unnamed}", None)
        return self.pipe

    def _label_cells(
        self,
        places: Sequence[tuple[Cell, Column | None]],
        quantities: Sequence[tuple[Cell, Column | None]],
    ) -> list[Cell]:
        """The cells of a row before its first value that name the quantity."""
        values = {id(cell) for cell, _ in quantities}
        found = []
        for cell, column in places:
            plain = column is None or column.role in ("label", "", "key", "pipe")
            if id(cell) in values:
                break
            if plain and unit_alone(cell.text) is None and "=" not in cell.text:
                found.append(cell)
        return found

    # Rows of label and value without a header, and text

    def _pipe_heading(self, line: Line) -> bool:
        first, second = line.cells[0].text, line.cells[1].text
        rest = line.cells[2:]
        text = f"{first.rstrip(' :')}: {second}"
        name = heading(text) if not rest and not single_value(second, self.comma) else None
        if name is None:
            return False
        self._cover_all(line.cells[1])
        self.pipe = self._name(name, line.cells[1])
        return True

    def _labels_and_values(self, line: Line) -> None:
        label: list[Cell] = []
        cells = list(line.cells)
        for position, cell in enumerate(cells):
            values = single_value(cell.text, self.comma)
            if unit_alone(cell.text) is not None and position and not values:
                continue
            if not values and not self._named(cell):
                if label and self._assigned(cell, label):
                    label = []
                elif "=" in cell.text or self._has_value(cell) or any(conditions(cell.text)):
                    self._text(cell, label=" ".join(each.text for each in label))
                    label = []
                else:
                    label = [*self._kept(label, cells, position), cell]
                continue
            if not label and position:
                # A second value of the same label.
                label = [each for each in cells[:position] if not single_value(each.text)]
            behind = cells[position + 1] if position + 1 < len(cells) else None
            self._labelled(cell, label, behind)
        for cell in line.cells:
            self._cover_label(cell)

    def _assigned(self, cell: Cell, label: Sequence[Cell]) -> bool:
        """Reads "t = 5.1 mm" where the label before it says which t; False where that is not sure.

        The text by itself would be a thickness of any kind.
        """
        parts = _ASSIGNED.fullmatch(cell.text)
        if parts is None or not single_value(parts[2], self.comma):
            return False
        named = [*label, replace(cell, text=parts[1])]
        found = [t for each in named for t in label_of(each.text, self.comma)[0]]
        what = self._meaning("", [token for token in found if token.sort != "number"])
        if what.key is None or what.doubts:
            return False
        self._labelled(replace(cell, text=parts[2]), named, None)
        self._cover_all(cell)
        return True

    def _kept(self, label: list[Cell], cells: Sequence[Cell], position: int) -> list[Cell]:
        """The label so far, unless a value has used it."""
        before = cells[position - 1] if position else None
        used = before is not None and (
            bool(single_value(before.text, self.comma)) or unit_alone(before.text) is not None
        )
        return [] if used else label

    def _labelled(self, cell: Cell, label: Sequence[Cell], behind: Cell | None) -> None:
        made = [label_of(each.text, self.comma) for each in label]
        found = [token for part, _ in made for token in part if token.sort != "number"]
        units = [unit_alone(behind.text) if behind else None, *(unit for _, unit in made)]
        shown = " ".join(each.text for each in label)
        what = self._meaning(shown, found)
        if what.key is None and behind and unit_alone(behind.text) is None:
            found += [t for t in label_of(behind.text, self.comma)[0] if t.sort != "number"]
        first = next(iter(single_value(cell.text, self.comma)), None)
        torn = (
            first is not None
            and first.number is not None
            and only_symbols(found, number_with(first.number, *units))
        )
        doubts = ("transcribe.symbol_only",) if torn and "=" not in shown + cell.text else ()
        self._value(cell, found, units, self.pipe, shown, doubts)

    def _has_value(self, cell: Cell) -> bool:
        numbering = _NUMBERING.match(cell.text)
        text = cell.text[numbering.end() :] if numbering else cell.text
        return any(token.sort == "number" for token in self._tokens(text)[0])

    def _text(self, cell: Cell, pipe: str | None = None, label: str = "") -> None:
        """Reads a text; a label in the cells before it belongs to its first number."""
        name = heading(cell.text)
        if name is not None and pipe is None:
            self.pipe = self._name(name, cell)
        elif _OF_ALL.search(cell.text) and len(cell.text) < 60 and not _DIGIT.search(cell.text):
            self.pipe = ""
        current = self.pipe if pipe is None else pipe
        _, named = self._tokens(cell.text)
        names = [(at, self._name(each, cell)) for at, _, each in named]
        several = ("transcribe.names",) if len({each for _, each in names}) > 1 else ()
        first = names[0][1] if names else current
        if self.labels and not several and self._learnt(cell, first, label):
            return
        numbers = [token for token in tokens(label) if token.sort == "number"]
        before = f"{without(numbers, label)}, " if label else ""
        whole, shift = before + cell.text, len(before)
        for reading in readings(whole, self._tokens(whole)[0]):
            start, end = max(reading.start - shift, 0), reading.end - shift
            if numbering := _NUMBERING.match(cell.text):
                start = 0 if start <= numbering.end() else start
            at = cell.place(start)
            text = (
                f"{label} {cell.text[start:end]}".strip()
                if reading.start < shift
                else (cell.text[start:end].strip())
            )
            of = next((each for begin, each in reversed(names) if begin < end), first)
            doubts = (*reading.doubts, *several)
            self._add(Found(of, reading.key, reading.value, text, at, doubts, text))
            self._cover(cell, start, end)

    def _learnt(self, cell: Cell, pipe: str, label: str) -> bool:
        """Reads a text of one number whose label was confirmed before."""
        key = learnt_key(self.labels, f"{label} {cell.text}")
        numbers = [t for t in self._tokens(cell.text)[0] if t.sort == "number"]
        if not key or len(numbers) != 1 or numbers[0].number is None:
            return False
        made = value_for(key, numbers[0].number, ())
        if made:
            text = f"{label} {cell.text}".strip()
            self._add(Found(pipe, key, made[0], text, cell.at, made[1], text))
            self._cover_all(cell)
        return made is not None

    def _tokens(self, text: str) -> tuple[list[Token], list[tuple[int, int, str]]]:
        """The tokens of a text without the names of pipes in it, and those names."""
        named = list(names_in(text))
        for start, end, _ in named:
            text = text[:start] + "\x00" * (end - start) + text[end:]
        return list(tokens(text, self.comma)), named

    # What is kept

    def _named(self, cell: Cell) -> bool:
        found = tokens(cell.text, self.comma)
        sorts = {token.sort for token in found}
        return "named" in sorts and not sorts & {"number", "mark"}

    def _meaning(self, label: str, found: Sequence[Token]) -> Meaning:
        key = learnt_key(self.labels, label)
        return Meaning(key) if key else meaning(found)

    def _value(
        self,
        cell: Cell,
        label: Sequence[Token],
        units: Sequence[str | None],
        pipe: str,
        shown: str,
        doubts: tuple[str, ...] = (),
    ) -> None:
        """Keeps what a cell gives for a label: values, a name, or a number not understood."""
        values = single_value(cell.text, self.comma)
        text = f"{shown} {cell.text}".strip()
        if any(c in cell.text for c in "<>≤≥≈"):
            doubts += ("transcribe.bound",)
        if not values:
            for token in tokens(cell.text, self.comma):
                if token.sort == "named":
                    value, more = named_value(cell.text[token.start : token.end])
                    doubts += more
                    self._add(Found(pipe, token.value, value, text, cell.at, doubts, shown))
        label = [token for token in label if token.sort not in ("number", "mark", "named")]
        what = self._meaning(shown, label)
        for token in values:
            assert token.number is not None
            number = number_with(token.number, *units)
            made = value_for(what.key, number, label) if what.key else None
            if what.key and made:
                every = tuple(dict.fromkeys((*what.doubts, *made[1], *doubts)))
                self._add(Found(pipe, what.key, made[0], text, cell.at, every, shown))
            else:
                why = "transcribe.other_unit" if what.key else what.doubts[0]
                self.missed.append((self.index, NotUnderstood(text, cell.at, why)))
        self._cover_all(cell)

    def _add(self, found: Found) -> None:
        self.found.append((self.index, found))

    def _name(self, name: str, cell: Cell | None) -> str:
        """The first spelling of a pipe's name; a new name is found with its place."""
        known = self.names.get(same_name(name))
        if cell is not None:
            for start, end, _ in names_in(cell.text):
                self._cover(cell, start, end)
            if heading(cell.text):
                self._cover_all(cell)
        if known is None:
            known = self.names[same_name(name)] = name
            if cell is not None:
                self._add(Found(name, "name", name, " ".join(cell.text.split()), cell.at))
        return known

    def _cover(self, cell: Cell, start: int, end: int) -> None:
        self.covered.setdefault(id(cell), []).append((start, end))

    def _cover_all(self, cell: Cell) -> None:
        self._cover(cell, 0, len(cell.text))

    def _cover_label(self, cell: Cell) -> None:
        """Marks numbers that are part of a label as read: equation numbers, a term of years."""
        found, named = self._tokens(cell.text)
        for token in found:
            if token.sort in ("idea", "symbol", "equation", "unit", "named"):
                self._cover(cell, token.start, token.end)
        for match in _POWER_OF_UNIT.finditer(cell.text):
            self._cover(cell, *match.span())
        if numbering := _NUMBERING.match(cell.text):
            self._cover(cell, 0, numbering.end())
        for start, end, _ in named:
            self._cover(cell, start, end)

    def _leftovers(self) -> None:
        for index, line in enumerate(self.lines):
            for cell in line.cells:
                covered = self.covered.get(id(cell), [])
                start = 0
                for part in _SEGMENT.split(cell.text):
                    start = cell.text.index(part, start)
                    if _has_digit(part, start, covered):
                        at = cell.place(start)
                        self.missed.append(
                            (index, NotUnderstood(part.strip(), at, self._why(part)))
                        )
                    start += len(part)

    def _why(self, text: str) -> str:
        label = [t for t in self._tokens(text)[0] if t.sort not in ("number", "mark", "named")]
        what = meaning(label)
        return "transcribe.no_value" if what.key else what.doubts[0]


def _without_contradictions(found: Sequence[Found]) -> list[Found]:
    """The readings, those in doubt for which the document gives several values."""
    sure: dict[tuple[str, str], list[str]] = {}
    for each in found:
        if each.sure:
            sure.setdefault((each.pipe, each.key), []).append(each.value)
    several = {
        of
        for of, given in sure.items()
        if not all(same_value(of[1], given[0], value) for value in given)
    }
    return [
        replace(each, doubts=("transcribe.several",))
        if each.sure and (each.pipe, each.key) in several
        else each
        for each in found
    ]


def _has_digit(part: str, start: int, covered: Sequence[tuple[int, int]]) -> bool:
    return any(
        char.isdigit() and not any(a <= start + offset < b for a, b in covered)
        for offset, char in enumerate(part)
    )
