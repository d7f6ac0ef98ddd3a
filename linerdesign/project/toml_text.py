"""TOML as text and as tables, before any key is looked at."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from linerdesign.project.faults import InputFaults, fault

PROJECT = "[project], [[resin]] and [[pipe]]"
# A key of so many parts that reading it, and what rests on it, would not end.
_PART = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')"""
_DEEP = re.compile(rf"(?<![\w-])(?:{_PART}[ \t]*+\.[ \t]*+){{100}}")


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
        InputFaults: where it is not TOML, empty, or nested beyond reason.
    """
    place = file_name or "file"
    if _DEEP.search(text):
        raise InputFaults([fault("too_deep", place)])
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputFaults([fault("not_toml", place, why=str(error))]) from None
    except (RecursionError, ValueError):
        raise InputFaults([fault("too_deep", place)]) from None
    if not raw:
        raise InputFaults([fault("empty", place, tables=wanted)])
    return raw
