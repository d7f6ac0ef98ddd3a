"""Libraries that only some tasks use: imported where they are, or how to get them."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from linerdesign.project.faults import InputFaults, fault

# The optional dependencies that hold each library.
EXTRA_OF = {
    "pyarrow": "gis",
    "pyogrio": "gis",
    "pyproj": "gis",
    "shapely": "gis",
    "distributed": "distributed",
}


def extra(module: str, place: str) -> Any:
    """A module of an optional library, for what `place` names.

    Raises:
        InputFaults: where the library is not installed, with the command that installs it.
    """
    library = module.split(".", 1)[0]
    try:
        return import_module(module)
    except ImportError:
        missing = fault("needs_extra", place, library=library, extra=EXTRA_OF[library])
        raise InputFaults([missing]) from None
