"""The catalogue of sentences: every text of a finding, fault or remark, by its code.

A code is `module.name`: the entry `name` of `SENTENCES` in the module of that name in this folder.
Blanks are filled by `str.format`. Imports nothing else of the package.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module
from typing import Any


@cache
def template(code: str) -> str:
    """The sentence of a code with its blanks open.

    Raises:
        KeyError: for a code without a sentence.
    """
    module, _, name = code.partition(".")
    sentences: dict[str, str] = import_module(f"{__name__}.{module}").SENTENCES
    return sentences[name]


def sentence(code: str, /, **numbers: Any) -> str:
    """The sentence of a code with its blanks filled.

    Raises:
        KeyError: for a code without a sentence, or a blank without a number.
    """
    return template(code).format(**numbers)
