"""Findings of many pipes at once: what was found, and at which stations of which pipes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from linerdesign.findings import Finding, Severity, finding


@dataclass(frozen=True)
class Written:
    """Numbers of many pipes, and how one of them is written."""

    values: Any
    write: Callable[[float], str]

    def at(self, pipe: int, station: int, shape: tuple[int, ...]) -> str:
        """The number at one station of one pipe, as text."""
        return self.write(float(np.broadcast_to(self.values, shape)[pipe, station]))


@dataclass(frozen=True)
class Raised:
    """A finding and `where` it holds: an array with the axes pipe and station.

    `numbers` fill the blanks of its sentence: plain values, or a `Written` for each array.
    `inventory` is the code of a sentence without numbers, `live` of one for forms in which numbers
    follow changes. `key` is the verdict that it follows
    from, where one line does; with `of_pipe` it concerns no station more than another.
    """

    code: str
    where: Any
    numbers: Mapping[str, Any] = field(default_factory=dict)
    severity: Severity = Severity.CAUTION
    inventory: str = ""
    live: str = ""
    key: str = ""
    of_pipe: bool = False

    def at(self, pipe: int, station: int, named: str | None, shape: tuple[int, ...]) -> Finding:
        """The finding at one station, called `named`, of one pipe."""
        texts = {
            key: value.at(pipe, station, shape) if isinstance(value, Written) else value
            for key, value in self.numbers.items()
        }
        return finding(self.code, self.severity, named, **texts)

    @property
    def of_many(self) -> Finding:
        """The finding as said of an inventory."""
        return self._plain(self.inventory or self.code)

    @property
    def of_any(self) -> Finding:
        """The finding as said of whatever numbers it follows."""
        return self._plain(self.live or self.inventory or self.code)

    def _plain(self, code: str) -> Finding:
        numbers = {k: v for k, v in self.numbers.items() if not isinstance(v, Written)}
        return finding(code, self.severity, **numbers)


@dataclass(frozen=True)
class Alternative:
    """Another published rule for the load of many pipes: arrays with the axes pipe and station.

    `load` is NaN where the rule does not reach; `reaches` says whether it does at any station;
    `required` and `nominal` are thicknesses of the whole pipe, in the unit of the sheet.
    """

    rule: str
    load: Any
    required: Any
    nominal: Any
    reaches: Any
