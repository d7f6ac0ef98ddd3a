"""Files that are not read, each with the fault that says why."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

from linerdesign.project.faults import Fault, InputFaults
from linerdesign.words import sentence


def refused(why: str, path: Path, **numbers: Any) -> InputFaults:
    """The fault of a file that is not read: `transcribe.WHY` of the catalogue."""
    return InputFaults([Fault(str(path), "", sentence(f"transcribe.refused_{why}", **numbers))])


def needs(module: str) -> ModuleType:
    """A library of the extra `transcribe`.

    Raises:
        InputFaults: where it is not installed, with how to get it.
    """
    try:
        return import_module(module)
    except ImportError:
        missing = sentence("transcribe.refused_not_installed", module=module)
        raise InputFaults([Fault("linerdesign transcribe", "", missing)]) from None
