"""Files that are not read, each with the fault that says why."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

from linerdesign.project.faults import InputFaults, fault


def refused(why: str, path: Path, **numbers: Any) -> InputFaults:
    """The fault of a file that is not read: `transcribe.WHY` of the catalogue."""
    return InputFaults([fault(f"transcribe.refused_{why}", str(path), **numbers)])


def needs(module: str) -> ModuleType:
    """A library of the extra `transcribe`.

    Raises:
        InputFaults: where it is not installed, with how to get it.
    """
    try:
        return import_module(module)
    except ImportError:
        missing = fault("transcribe.refused_not_installed", "linerdesign transcribe", module=module)
        raise InputFaults([missing]) from None
