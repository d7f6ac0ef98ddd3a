"""Faults in input: what is wrong, with which value, and where."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from string import Formatter
from typing import Any, ParamSpec, TypeVar

from linerdesign.expressions.lettering import clean
from linerdesign.words import sentence, template

LISTED = 10
P = ParamSpec("P")
T = TypeVar("T")


@dataclass(frozen=True)
class Place:
    """Where in a file a fault is.

    `table` is the table with its brackets, `name` its name and `number` its position among those
    of its kind, from 1, where the name does not identify it. `inner` names a table inside it, `key`
    the key. `path` leads to it from the top of the file, list positions from 0. `line` is 0 where
    it is not known.
    """

    file: str = ""
    table: str = ""
    name: str | None = None
    number: int = 0
    inner: str = ""
    key: str = ""
    path: tuple[str | int, ...] = ()
    line: int = field(default=0, compare=False)

    def at(self, key: str) -> Place:
        """The place of a key in this table."""
        return replace(self, key=shown_key(key), path=(*self.path, key))

    def within(self, table: Place) -> Place:
        """This place in a table whose own place is more fully known."""
        path = (*table.path, *self.path)
        return replace(table, path=path, inner=self.inner, key=self.key, line=self.line)

    def above(self) -> Place:
        """The table that the key of this place is in."""
        return replace(self, key="", path=self.path[:-1])

    def under(self, name: object) -> Place:
        """The place of a key in the table that the key of this place holds."""
        return replace(self, key=f"{self.key}.{shown_key(name)}", path=(*self.path, str(name)))

    def inside(self, key: str, index: int | None = None, name: object = None) -> Place:
        """The place of a table that a key holds, or of one in its list."""
        number = name if name is not None else index if index is None else index + 1
        label = key if number is None else f"{key} {shown(number)}"
        inner = f"{label} of {self.inner}" if self.inner else label
        more = (key,) if index is None else (key, index)
        return replace(self, inner=inner, path=(*self.path, *more))

    def __str__(self) -> str:
        number = f"number {self.number}" if self.number else ""
        name = "" if self.name is None else shown(self.name)
        which = ", ".join(part for part in (number, name) if part)
        table = " ".join(part for part in (self.table, which) if part)
        return " of ".join(part for part in (self.inner, table, self.file) if part)


@dataclass(frozen=True)
class Fault:
    """One fault. `code` names its sentence in the catalogue, `numbers` fill the blanks.

    `place` is a `Place`, or a text for what is in no file. `value` is the value as given.
    """

    place: Place | str
    value: str
    code: str
    numbers: tuple[tuple[str, Any], ...] = ()

    @property
    def key(self) -> str:
        """The key at fault; empty where a whole table or file is."""
        return self.place.key if isinstance(self.place, Place) else ""

    @property
    def text(self) -> str:
        """The fault and its remedy, without the place."""
        return self._said(str(self.place))

    def _said(self, where: str) -> str:
        blanks = {"key": self.key, "value": self.value, "where": where}
        return sentence(self.code, **{**blanks, **dict(self.numbers)})

    def __str__(self) -> str:
        """The fault, the remedy, and where."""
        placed = isinstance(self.place, Place)
        where = str(self.place)
        line = (
            f"line {self.place.line}" if isinstance(self.place, Place) and self.place.line else ""
        )
        blanks = {name for _, name, _, _ in Formatter().parse(template(self.code)) if name}
        if "where" in blanks:
            return self._said(f"{where} ({line})" if line else where)
        said = self._said("")
        if blanks.isdisjoint(("key", "value")):
            subject = " ".join(part for part in (self.key if placed else where, self.value) if part)
            said = f"{subject}: {said}" if subject else said
        ends = ", ".join(part for part in (where if placed else "", line) if part)
        return f"{said} ({ends})" if ends else said


def fault(code: str, place: Place | str, value: str = "", **numbers: Any) -> Fault:
    """A fault with the numbers for its sentence; a code without an area is one of `faults`."""
    full = code if "." in code else f"faults.{code}"
    return Fault(place, value, full, tuple(numbers.items()))


class Refused(ValueError):
    """A value that a key does not take: the code of the reason, and its numbers."""

    def __init__(self, code: str, **numbers: Any) -> None:
        self.code, self.numbers = code, numbers
        super().__init__(fault(code, "", **numbers).text)

    def at(self, place: Place | str, value: str = "") -> Fault:
        """The fault at a place."""
        return fault(self.code, place, value, **self.numbers)


class InputFaults(Exception):
    """All the faults of one input; nothing is computed from it.

    `left` gives what could be read in spite of them: what comes after finds its own faults in it.
    """

    def __init__(self, faults: Iterable[Fault], left: Callable[[], Any] = lambda: None) -> None:
        self.faults, self.left = tuple(faults), left
        super().__init__("\n".join(str(each) for each in self.faults))


class Faults(list[Fault]):
    """The faults of several steps."""

    def of(self, step: Callable[P, T], *given: P.args, **named: P.kwargs) -> T | None:
        """What a step gives, or what is left of it: its faults are added to these.

        A step that breaks on what earlier ones left adds none.
        """
        try:
            return step(*given, **named)
        except InputFaults as found:
            self.extend(found.faults)
            left: T | None = found.left()
            return left
        except Exception:
            if not self:
                raise
            return None


@contextmanager
def every_fault() -> Iterator[Faults]:
    """Faults, raised together at the end of the block, each once.

    Raises:
        InputFaults: where there are any.
    """
    faults = Faults()
    yield faults
    if faults:
        raise InputFaults(dict.fromkeys(faults))


def located(faults: Iterable[Fault], text: str, file: str = "") -> InputFaults:
    """The faults, each of this file with the line of its path in the text.

    `file` is what the places of the file have as theirs.
    """
    every = tuple(dict.fromkeys(faults))
    known: Mapping[tuple[str | int, ...], int] | None = None
    found = []
    for each in every:
        place = each.place
        if isinstance(place, Place) and place.path and not place.line and place.file == file:
            if known is None:
                from linerdesign.project.lines import lines_of

                known = lines_of(text)
            line = next((known[p] for p in _upward(place.path) if p in known), 0)
            each = replace(each, place=replace(place, line=line))
        found.append(each)
    return InputFaults(sorted(found, key=_order))


def _order(each: Fault) -> tuple[str, int, int]:
    """Faults by file, line and row; those without a line first."""
    if not isinstance(each.place, Place):
        return "", 0, 0
    row = next((part for part in each.place.path if isinstance(part, int)), 0)
    return each.place.file, each.place.line, row


def _upward(path: tuple[str | int, ...]) -> Iterable[tuple[str | int, ...]]:
    return (path[:length] for length in range(len(path), 0, -1))


def shown(value: object, most: int = 60) -> str:
    """A value as a person wrote it, cut where it runs on, with control characters escaped."""
    text = f'"{value}"' if isinstance(value, str) else str(value)
    text = text.lower() if isinstance(value, bool) else text
    text = clean(text[: most + 1])
    return text if len(text) <= most else text[:most] + "..."


def first_line(error: Exception, most: int) -> str:
    """The first line of what a library says of a failure."""
    return shown(str(error).partition("\n")[0], most)


def shown_key(key: object) -> str:
    """A key of a file as an error names it."""
    return shown(str(key))[1:].removesuffix('"')


def listed(words: Iterable[object]) -> str:
    """The first of some names in a row, in quotes."""
    names = [shown(str(each)) for each in words]
    return ", ".join(names[:LISTED]) + (" ..." if len(names) > LISTED else "")


def nearest(word: str, known: Iterable[str], alike: float = 0.6) -> str | None:
    """The known word that an unknown one was most likely meant for, if any is as like it."""
    import difflib

    found = difflib.get_close_matches(word[:80], list(known), cutoff=alike)
    return found[0] if found else None


def unknown_word(
    place: Place | str, word: object, known: Iterable[str], what: str = "key", value: str = ""
) -> Fault:
    """The fault of an unknown word, with the nearest known one, or all of them."""
    words = list(known)
    meant = nearest(str(word), words)
    code = "unknown" if meant is None else "unknown_near"
    near = meant if meant is not None else ", ".join(words)
    return fault(code, place, value, what=what, word=shown_key(word), known=near)


def unknown_keys(
    table: Iterable[str], known: Collection[str], place: Place, what: str = "key"
) -> Iterator[Fault]:
    """The faults of the keys of a table, at its place, that are not known."""
    for key in table:
        if key not in known:
            yield unknown_word(replace(place, path=(*place.path, key)), key, known, what)
