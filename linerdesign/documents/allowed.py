"""What may be put in for a value of the project file, where a form can be recalculated."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

from linerdesign.expressions.tracing import Traced
from linerdesign.expressions.tree import Node, Symbol
from linerdesign.methods.result import Step
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.project.contradictions import contradictions
from linerdesign.project.keys import kind_of
from linerdesign.project.measures import Kind, Measure

# A result that the project file may state, where its key has another name.
_FILE_KEYS = {"t": "design_thickness"}
# A number of a rule, for which the project file has no key.
_CONSTANT = Kind("number", "", "", "")


@cache
def allowed(key: str) -> Kind:
    """What the project file takes for the quantity of a symbol."""
    return kind_of(_file_key(key)) or _CONSTANT


def may_be_changed(step: Step) -> bool:
    """Whether an input can be changed: what the project file can state, and numbers of rules.

    A constant of the standard is neither.
    """
    by_rule = step.origin is not None and step.origin.by_rule
    return bool(SYMBOLS[step.key].name) or by_rule


def _file_key(key: str) -> str:
    return _FILE_KEYS.get(key, name_of(key))


def refusals(keys: Iterable[str], system: str) -> Iterator[tuple[str, Node, str]]:
    """What makes values impossible together: the key at fault, when it is, and why.

    The project file's own rules, read once with symbols in place of the numbers.
    """
    of_name = {_file_key(key): key for key in keys}
    site = {name: _symbolic(key, system) for name, key in of_name.items()}
    for name, broken, refused in contradictions(site):
        yield of_name[name], broken.node, str(refused)


def _symbolic(key: str, system: str) -> Measure:
    number: Any = Traced(Symbol(key))
    return Measure(number, SYMBOLS[key].unit(system), SYMBOLS[key].meaning)
