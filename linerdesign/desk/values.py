"""From what is typed in a field to the value that the file holds, and back."""

from __future__ import annotations

import re
from typing import Any

from linerdesign.project.key import Key

_BARE = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?")
_TRUTHS = {"true": True, "yes": True, "false": False, "no": False}
# As many letters of a choice stand for it: "full", "partial".
LEAST_LETTERS = 4


def typed(key: Key | None, text: str, unit: str = "") -> Any:
    """The value of the file for a text typed; none for an empty one.

    A bare number gets the unit of its field. What no value can be made of stays the text, for the
    file's own reader to refuse.
    """
    text = text.strip()
    if not text:
        return None
    if key is None:
        return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text
    if key.kind == "truth":
        return _TRUTHS.get(text.lower(), text)
    if key.choices and key.kind == "choice":
        return _choice(key, text)
    if key.kind == "readings":
        return [_measured(each, unit) for each in re.split(r"\s*[;,]\s*", text) if each]
    if key.takes is not None and not key.takes.unit:
        return _number(text)
    return _measured(text, unit) if key.measure else text


def _measured(text: str, unit: str) -> str:
    return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text


def _number(text: str) -> int | float | str:
    if not _BARE.fullmatch(text):
        return text
    number = float(text)
    return int(text) if re.fullmatch(r"[+-]?\d{1,15}", text) else number


def _choice(key: Key, text: str) -> str:
    low = text.casefold()
    found = [each for each in key.choices if each.casefold() == low]
    if not found and len(low) >= LEAST_LETTERS:
        found = [each for each in key.choices if each.casefold().startswith(low)]
    return found[0] if len(found) == 1 else text


def in_field(value: Any) -> Any:
    """A value of the file as its field shows it; tables and lists of tables by their parts."""
    match value:
        case bool():
            return "true" if value else "false"
        case int() | float():
            return f"{value:.15g}"
        case dict():
            return {key: in_field(each) for key, each in value.items()}
        case [*items] if any(isinstance(each, dict) for each in items):
            return [in_field(each) for each in items]
        case [*items]:
            return "; ".join(map(str, map(in_field, items)))
        case _:
            return str(value)
