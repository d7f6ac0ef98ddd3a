"""Options that take one of some words; of few imports, since every command has such options."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from linerdesign.project.faults import fault, shown


class OneOf(argparse.Action):
    """An option that takes one of some words. Another word is a fault among those of the command,
    and leaves the default."""

    def __init__(self, *names: Any, among: Sequence[str], **about: Any) -> None:
        self._among = tuple(among)
        super().__init__(*names, **{"metavar": f"{{{','.join(among)}}}", **about})

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        values: Any,
        option_string: str | None = None,
    ) -> None:
        """Keeps the word, or the fault."""
        if values in self._among:
            setattr(namespace, self.dest, values)
            return
        known = " or ".join(map(shown, self._among))
        found = fault("choice", self.option_strings[0], shown(values), choices=known)
        namespace.refused = (*getattr(namespace, "refused", ()), found)


def add_units(parser: argparse.ArgumentParser, help: str, default: str | None = None) -> None:
    """The option of the unit system."""
    parser.add_argument("--units", action=OneOf, among=("US", "SI"), default=default, help=help)


def refused(arguments: argparse.Namespace, option: str) -> bool:
    """Whether an option has a word that it does not take."""
    return any(each.place == option for each in getattr(arguments, "refused", ()))
