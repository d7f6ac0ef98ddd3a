"""Faults of tables and keys left out, less those that are no fault of their own."""

from __future__ import annotations

from collections.abc import Iterable

from linerdesign.project.faults import Fault, Place
from linerdesign.project.keys import keys_of

MAY_BE_GIVEN = ("faults.missing_one_of", "faults.missing_key_for", "review.no such value")
LEFT_OUT = ("faults.missing_table", "faults.missing_key", *MAY_BE_GIVEN)


def less_given(faults: Iterable[Fault]) -> list[Fault]:
    """The faults less those of values that owner's criteria, which are not known, may give."""
    given = keys_of("defaults").keys()
    return [
        each
        for each in faults
        if each.code not in MAY_BE_GIVEN or given.isdisjoint(_path(each)[-1:])
    ]


def less_misspelt(faults: Iterable[Fault]) -> list[Fault]:
    """The faults less those of keys that an unknown one beside them was meant as."""
    every = list(faults)
    meant = {
        (*_path(each)[:-1], dict(each.numbers)["known"])
        for each in every
        if each.code == "faults.unknown_near"
    }

    def is_meant(each: Fault) -> bool:
        told = dict(each.numbers)
        keys = str(told.get("keys") or told.get("table", "").strip("[]") or each.key).split(", ")
        return any((*_path(each)[:-1], key) in meant for key in keys)

    return [each for each in every if each.code not in LEFT_OUT or not is_meant(each)]


def _path(each: Fault) -> tuple[str | int, ...]:
    return each.place.path if isinstance(each.place, Place) else ()
