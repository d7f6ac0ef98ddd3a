"""Files that are not read, each with the fault that says why."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

from linerdesign.project.faults import InputFaults, fault

# Packages whose name is not that of their module.
PACKAGES = {"docx": "python-docx"}


def refused(why: str, path: Path, **numbers: Any) -> InputFaults:
    """The fault of a file that is not read: `transcribe.WHY` of the catalogue."""
    return InputFaults([fault(f"transcribe.refused_{why}", str(path), **numbers)])


def needs(module: str) -> ModuleType:
    """A library that only this command needs.

    Raises:
        InputFaults: where it is not installed, with how to get it.
    """
    try:
        return import_module(module)
    except ImportError:
        package = PACKAGES.get(module, module)
        missing = fault("transcribe.refused_not_installed", module, package=package)
        raise InputFaults([missing]) from None
