"""The catalogue of sentences: every text of a finding, fault or remark, by its code.

A code is `module.name`: the entry `name` of `SENTENCES` in the module of that name in this folder.
The module `standard` is that of `STANDARD`, the method to which projects are designed; it also has,
by its whole code, what another module would say of that method alone. Blanks are filled by
`str.format`. Imports nothing else of the package.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib import import_module
from string import Formatter
from typing import Any

# The folder of `linerdesign.methods` to whose method projects are designed; its words are here.
STANDARD = "f1216"


@cache
def template(code: str) -> str:
    """The sentence of a code with its blanks open.

    Raises:
        KeyError: for a code without a sentence.
    """
    area, _, name = code.partition(".")
    own = _sentences(STANDARD)
    if code in own:
        return own[code]
    return (own if area == "standard" else _sentences(area))[name]


def _sentences(module: str) -> dict[str, str]:
    found: dict[str, str] = import_module(f"{__name__}.{module}").SENTENCES
    return found


def sentence(code: str, /, **numbers: Any) -> str:
    """The sentence of a code with its blanks filled.

    Raises:
        KeyError: for a code without a sentence, or a blank without a number.
    """
    return template(code).format(**numbers)


def of_area(area: str) -> Callable[..., str]:
    """`sentence` for the codes of one area."""
    return lambda code, /, **numbers: sentence(f"{area}.{code}", **numbers)


def parted(code: str) -> tuple[str, ...]:
    """The texts of a sentence before, between and behind its blanks.

    Raises:
        KeyError: for a code without a sentence.
    """
    found = list(Formatter().parse(template(code)))
    last = ("",) if found[-1][1] is not None else ()
    return (*(text for text, *_ in found), *last)


def heads_of(code: str, /, **numbers: Any) -> tuple[str, ...]:
    """The heads of a table, by a code as that of a sentence: the entry of `TABLES`, blanks filled.

    Raises:
        KeyError: for a code without heads, or a blank without a number.
    """
    area, _, name = code.partition(".")
    heads: tuple[str, ...] = import_module(f"{__name__}.{area}").TABLES[name]
    return tuple(head.format(**numbers) for head in heads)
