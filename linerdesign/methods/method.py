"""What a design method is, and the lines that a basis leads to under its method.

A method is a folder of this package whose module `method` holds a `METHOD`. Nothing outside the
folder names its equations; its words are the module of its name in `linerdesign.words`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib import import_module
from typing import TYPE_CHECKING, Any

from linerdesign.methods import selection
from linerdesign.methods.basis import Basis
from linerdesign.methods.check import Check
from linerdesign.methods.equation import Equation, Provenance
from linerdesign.methods.lines import Line, line
from linerdesign.words import STANDARD

if TYPE_CHECKING:
    from linerdesign.methods.altered import Case, Change, Made
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
class Specification:
    """Minimum initial properties of one specification, in psi by key of the symbol table."""

    values: Mapping[str, float]
    provenance: Provenance
    source: str


@dataclass(frozen=True)
class Submittals:
    """How submittals show a calculation by a method.

    `shown` are the quantities that they usually show, `asked_for` the lines that would tell errors
    apart, the earlier the better to ask for, `aliases` names under which they print a quantity.
    `equations` are patterns of the number of an equation, which `equation_in` gives for a text that
    matches, and `numbered` for its last digit alone; `edition` is the pattern of an edition, which
    `edition_in` gives for a text that ends with one, `edition_of` for one that is nothing else.
    """

    shown: tuple[str, ...] = ()
    asked_for: tuple[str, ...] = ()
    aliases: Mapping[str, str] = field(default_factory=dict)
    equations: tuple[str, ...] = ()
    equation_in: Callable[[str], str] = lambda text: ""
    numbered: Callable[[str], str] = lambda digit: ""
    edition: str = ""
    edition_in: Callable[[str], str | None] = lambda text: None
    edition_of: Callable[[str], str | None] = lambda text: None


@dataclass(frozen=True)
class Errors:
    """The errors met in calculations by a method, as changes of a calculation.

    `made_in` gives every way of every error, beside the internal pressure that a submittal states;
    `breach` what a usual breach of a requirement makes, `other_edition` the equations of the other
    edition.
    """

    made_in: Callable[[Case, float | None], tuple[Made, ...]] = lambda case, pressure: ()
    breach: Callable[[Case, str, Any], Change] = lambda case, name, required: {}
    other_edition: Callable[[Case], Change] = lambda case: {}


@dataclass(frozen=True)
class Method:
    """A design method.

    `requirement` gives the lines from the inputs of a station to the thickness required there,
    `verification` those that put the nominal thickness back into every equation, `checks` what
    the wall must pass, `constants` what the method itself fixes, and `findings` what a reader
    must know of the numbers beside the ranges of the equations; `alternatives` the load by other
    published rules; `in_parts` the lines of a calculation that shows `parts` of a load one by one.

    `modules` are the modules with its equations, in the order in which they are listed, `editions`
    its editions, the first by default. `equations` has by their results those that are also worked
    beside a design, and `usual` by their keys the most that is taken without evidence.
    `rests_on` names the initial property that a check rests on, `specifications` set the minimum
    of each, the first by default. `submittals` and `errors` serve a review.

    A method that can be shown beside another one turns the task of a pipe into its own with
    `taken_over`, for which the project gives `settings` by name; `left_out` has the code of what
    of a basis it leaves out, empty where it covers all. `follows` is whether its lines alone lead
    from changed inputs to a thickness. `short` is its name for the head of a table.
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
    short: str = ""
    modules: tuple[str, ...] = ()
    editions: tuple[str, ...] = ()
    equations: Mapping[str, Equation] = field(default_factory=dict)
    usual: Mapping[str, float] = field(default_factory=dict)
    rests_on: Mapping[str, str] = field(default_factory=dict)
    specifications: Mapping[str, Specification] = field(default_factory=dict)
    submittals: Submittals = Submittals()
    errors: Callable[[], Errors] = Errors


def method_of(basis: Basis) -> Method:
    """The method that a basis names."""
    return method_in(basis.method)


def standard() -> Method:
    """The method to which projects are designed."""
    return method_in(STANDARD)


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
