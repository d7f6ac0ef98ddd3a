"""What a design method is, and the lines that a basis leads to under its method.

A method is a folder of this package whose module `method` holds a `METHOD`. Nothing outside the
folder names its equations.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import import_module
from typing import TYPE_CHECKING, Any

from linerdesign.methods import selection
from linerdesign.methods.basis import Basis
from linerdesign.methods.check import Check
from linerdesign.methods.lines import Line, line

if TYPE_CHECKING:
    from linerdesign.methods.raised import Alternative, Raised
    from linerdesign.methods.task import Input, PipeTask

Values = Mapping[str, Any]

# The methods that may be shown beside that of a project: the folder by the name in its file.
SECOND_METHODS = {"encased ring": "ring"}


@dataclass(frozen=True)
class Setting:
    """What a second method takes from the project beside the inputs of a pipe, as a share.

    `origin` is the code of the sentence on where the default is from.
    """

    default: float
    least: float
    most: float
    origin: str


@dataclass(frozen=True)
class Method:
    """A design method.

    `requirement` gives the lines from the inputs of a station to the thickness required there,
    `verification` those that put the nominal thickness back into every equation, `checks` what
    the wall must pass, `constants` what the method itself fixes, and `findings` what a reader
    must know of the numbers beside the ranges of the equations; `alternatives` the load by other
    published rules; `in_parts` the lines of a calculation that shows `parts` of a load one by one.

    A method that can be shown beside another one turns the task of a pipe into its own with
    `taken_over`, for which the project gives `settings` by name; `left_out` has the code of what
    of a basis it leaves out, empty where it covers all. `follows` is whether its lines alone lead
    from changed inputs to a thickness.
    """

    name: str
    requirement: Callable[[Basis], tuple[Line, ...]]
    verification: Callable[[Basis], tuple[Line, ...]]
    checks: Callable[[Basis], tuple[Check, ...]]
    constants: Callable[[Basis], tuple[Input, ...]]
    findings: Callable[[Basis, Values], Iterator[Raised]]
    alternatives: Callable[[Basis, Values], Iterator[Alternative]] = lambda basis, values: iter(())
    in_parts: Callable[[Basis, Iterable[Line]], Iterable[Line]] = lambda basis, lines: lines
    parts: frozenset[str] = frozenset()
    taken_over: Callable[[PipeTask, Mapping[str, float]], PipeTask] = lambda task, given: task
    settings: Callable[[], Mapping[str, Setting]] = dict
    left_out: Callable[[Basis], str] = lambda basis: ""
    follows: bool = True


def method_of(basis: Basis) -> Method:
    """The method that a basis names."""
    return method_in(basis.method)


def method_in(folder: str) -> Method:
    """The method of a folder."""
    found: Method = import_module(f"linerdesign.methods.{folder}.method").METHOD
    return found


@lru_cache(512)
def requirement(basis: Basis) -> tuple[Line, ...]:
    """Lines from the inputs of one station to the thickness required there."""
    return method_of(basis).requirement(basis)


@lru_cache(512)
def choice_of_thickness(basis: Basis) -> tuple[Line, ...]:
    """Lines from the thickness required at the worst station to the nominal thickness."""
    if basis.thickness_given:
        return ()
    minimum = line(selection.floored)
    if basis.sizes:
        return (minimum, line(selection.listed(basis.sizes)))
    return (minimum, line(selection.steps_needed), line(selection.stepped))


@lru_cache(512)
def verification(basis: Basis) -> tuple[Line, ...]:
    """Lines that put the nominal thickness back into every equation, at one station."""
    return method_of(basis).verification(basis)


@lru_cache(512)
def checks_of(basis: Basis) -> tuple[Check, ...]:
    """The checks of a basis; each may still not apply, by its own condition."""
    return method_of(basis).checks(basis)


@lru_cache(512)
def constants(basis: Basis) -> tuple[Input, ...]:
    """What the method itself fixes, as inputs."""
    return method_of(basis).constants(basis)


def lines_of(basis: Basis) -> tuple[Line, ...]:
    """All lines of a basis in the order of the sheet."""
    return (*requirement(basis), *choice_of_thickness(basis), *verification(basis))


@lru_cache(512)
def keys_read(basis: Basis) -> frozenset[str]:
    """The keys that any line or check of this basis reads."""
    compared = {key for check in checks_of(basis) for key in (check.demand, check.capacity)}
    return frozenset(compared.union(*(each.needs for each in lines_of(basis))))


def missing_inputs(basis: Basis, known: Collection[str]) -> frozenset[str]:
    """The keys that lines of this basis read and that neither `known` nor an earlier line gives.

    The thickness is left out: it is chosen on the way.
    """
    missing, given = set(), {*known, "t"}
    for each in lines_of(basis):
        missing |= set(each.needs) - given
        given.add(each.result)
    return frozenset(missing)
