"""Every equation of the package, found in the equation modules themselves."""

from __future__ import annotations

from functools import cache
from importlib import import_module

from linerdesign.methods.equation import SOLVED_FOR_T, Equation
from linerdesign.methods.method import standard

MODULES = (
    *standard().modules,
    "ground.live_load",
    "ground.soil",
    "selection",
    "hydraulics",
    "quantities",
    "legs",
    "works",
    "laboratory",
    "ring.equations",
    "outline.equations",
)


@cache
def catalogue() -> tuple[Equation, ...]:
    """All equations, in the order in which the modules define them."""
    # A module may use the equation of another.
    return tuple(dict.fromkeys(each for name in MODULES for each in in_module(name)))


def in_module(name: str) -> tuple[Equation, ...]:
    """The equations of one module."""
    module = import_module(f"linerdesign.methods.{name}")
    found: list[Equation] = []
    for value in vars(module).values():
        several = value.values() if isinstance(value, dict) else (value,)
        found.extend(each for each in several if isinstance(each, Equation))
    return tuple(found)


def with_number(number: str) -> tuple[Equation, ...]:
    """The equations of one number: both unit systems, both editions, and the form solved for t."""
    wanted = number.casefold().removesuffix(SOLVED_FOR_T)
    return tuple(e for e in catalogue() if e.base_number.casefold() == wanted)
