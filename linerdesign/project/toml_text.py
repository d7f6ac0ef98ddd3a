"""TOML as text and as tables, before any key is looked at."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable
from typing import Any, TypeVar

from linerdesign.project.faults import Fault, Faults, InputFaults, Place, fault, shown

T = TypeVar("T")
Read = Callable[[dict[str, Any], str], T]

PROJECT = "[project], [[resin]] and [[pipe]]"
# A key of so many parts that reading it, and what rests on it, would not end.
_PART = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')"""
_DEEP = re.compile(rf"(?<![\w-])(?:{_PART}[ \t]*+\.[ \t]*+){{100}}")
# Lines that are no TOML are looked for until so many are found, or so many characters are read.
MOST_LINES = 20
MOST_READ = 4_000_000
_VALUE = re.compile(rf"[ \t]*({_PART}(?:[ \t]*\.[ \t]*{_PART})*)[ \t]*=[ \t]*(.*)")
# Words, or a number with its unit.
_UNQUOTED = re.compile(r"(?:[-+]?[\d.]+[ \t]*)?[^\W\d_%][^\"'\[\]{}=#,]*|[-+]?[\d.]+[ \t]*%")
QUOTES = "\"'“”„‘’"
TWICE = "Cannot overwrite a value"
_TOLD = re.compile(r"(.*) \(at line (\d+), column \d+\)")


def toml_text(data: bytes, file_name: str) -> str:
    """The text of a TOML file.

    Raises:
        InputFaults: where it is not UTF-8.
    """
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputFaults([fault("not_utf8", file_name or "file")]) from None


def toml_tables(text: str, file_name: str, wanted: str = PROJECT) -> dict[str, Any]:
    """The tables of a TOML text; `wanted` are those that an empty one lacks.

    Raises:
        InputFaults: where it is empty or nested beyond reason; every line that is no TOML.
    """
    return read_tables(text, file_name, lambda raw, _: raw, wanted)


def read_tables(text: str, file_name: str, read: Read[T], wanted: str = PROJECT) -> T:
    """What `read` makes of the tables of a TOML text and of this text; see `toml_tables`.

    Raises:
        InputFaults: those of the text, and what `read` finds in the lines that are TOML.
    """
    place = file_name or "file"
    if _DEEP.search(text):
        raise InputFaults([fault("too_deep", place)])
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        raise _every_fault(text, place, read) from None
    except (RecursionError, ValueError):
        raise InputFaults([fault("too_deep", place)]) from None
    if not raw:
        raise InputFaults([fault("empty", place, tables=wanted)])
    return read(raw, text)


def _every_fault(text: str, file_name: str, read: Read[Any]) -> InputFaults:
    """The faults of a text that is no TOML.

    Each line that is none gives way to what it was most likely meant as, and the others are read
    with it; they are not where nobody knows which key or table a line was to give.
    """
    lines, found, sure = text.replace("\r\n", "\n").split("\n"), dict[int, Fault](), True
    for _ in range(min(MOST_LINES, 1 + MOST_READ // len(text))):
        told = _told(lines)
        if told is None:
            break
        why, number = told
        place = Place(file_name, line=number)
        if number in found or _told(lines[: number - 1]):
            # It begins further up, where something is left open.
            return InputFaults(found.values() or [fault("not_toml", place, why=why)])
        line = lines[number - 1]
        match = _VALUE.fullmatch(line)
        key, value = (match[1], match[2].partition(" #")[0].strip()) if match else ("", "")
        value = value.strip(QUOTES)
        if key and why == TWICE:
            found[number] = fault("key_twice", place.at(key))
            lines[number - 1] = ""
            continue
        opens = _opens(line)
        code = "unquoted" if _UNQUOTED.fullmatch(value) and not opens else "not_toml"
        found[number] = fault(code, place.at(key), shown(value), why=why)
        if opens:
            return InputFaults(found.values())
        lines[number - 1] = f"{key} = {json.dumps(value)}" if key else ""
        sure = sure and bool(key)
    if not sure or _told(lines):
        return InputFaults(found.values())
    others, rest = Faults(), "\n".join(lines)
    left = others.of(read, tomllib.loads(rest), rest)
    more = (each for each in others if _line_of(each, file_name) not in found)
    return InputFaults((*found.values(), *more), lambda: left)


def _told(lines: list[str]) -> tuple[str, int] | None:
    """Why lines are no TOML, and which of them, from 1; none where they are."""
    try:
        tomllib.loads("\n".join((*lines, "")))
    except tomllib.TOMLDecodeError as error:
        match = _TOLD.fullmatch(str(error))
        return (match[1], int(match[2])) if match else (str(error), len(lines))
    return None


def _opens(line: str) -> bool:
    """Whether what follows may belong to a line that is no TOML: in brackets, in a table."""
    brackets = (("[", "]"), ("{", "}"))
    uneven = any(line.count(one) != line.count(other) for one, other in brackets)
    return uneven or line.lstrip().startswith("[") or '"""' in line or "'''" in line


def _line_of(each: Fault, file_name: str) -> int:
    """The line of a fault of this file."""
    place = each.place
    return place.line if isinstance(place, Place) and place.file in ("", file_name) else 0
