"""Results as JSON data. The keys are relied upon by other programs."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

from linerdesign import __version__
from linerdesign.documents.numbers import in_millimetres
from linerdesign.documents.sheet import formula, substituted
from linerdesign.methods.result import CheckResult, OtherLoad, PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.task import InWords
from linerdesign.project.identity import Identity
from linerdesign.project.models import FaultyPipe, ProjectInfo
from linerdesign.words.documents import NOT_DESIGNED

FORMAT = 1
_UNUSUAL = re.compile(r"[^ -~\n]")


def text(data: dict[str, Any]) -> str:
    """JSON text, the same bytes for the same data; NaN or infinity is an internal error.

    Characters that a terminal obeys or does not show are escapes, as JSON has them.
    """
    text = json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False)
    return _UNUSUAL.sub(_escaped, text) + "\n"


def _escaped(character: re.Match[str]) -> str:
    return character[0] if character[0].isprintable() else json.dumps(character[0])[1:-1]


def picked(result: object, *names: str) -> dict[str, Any]:
    """These values of a result as JSON data, under their own names."""
    return {name: plain(getattr(result, name)) for name in names}


def plain(value: Any) -> Any:
    """A value as JSON data: results by their fields, sequences as lists."""
    if is_dataclass(value):
        return picked(value, *(each.name for each in fields(value)))
    return [plain(each) for each in value] if isinstance(value, tuple) else value


def quantity(value: float | None, unit: str) -> dict[str, Any]:
    """A number, which may be missing, with its unit."""
    return {"value": value, "unit": unit}


def amount(value: float | None, unit: str) -> dict[str, Any] | None:
    """A number with its unit; None where there is no number."""
    return None if value is None else quantity(value, unit)


def amount_of(key: str, value: float | None, system: str) -> dict[str, Any] | None:
    """A quantity in the sheet's unit."""
    return amount(value, SYMBOLS[key].unit(system))


def thickness(value: float | None, system: str) -> dict[str, Any] | None:
    """A thickness in the sheet's unit."""
    return amount_of("t", value, system)


def millimetres(value: float, system: str) -> dict[str, Any] | None:
    """A thickness of the sheet in mm."""
    return amount(in_millimetres(value, system), "mm")


def percentage(share: float) -> dict[str, Any] | None:
    """A share in percent."""
    return amount(100 * share, "%")


def identity_data(info: ProjectInfo, identity: Identity) -> dict[str, Any]:
    """What a result rests on: texts of the project, program, files read and fingerprint."""
    texts = {key: text for key, text in info.given.items() if key not in ("units", "criteria")}
    return {
        "project": texts,
        "program": {"name": "linerdesign", "version": __version__},
        **picked(identity, "files", "fingerprint"),
    }


def sizing_data(
    results: Sequence[PipeResult], units: str, faulty: Sequence[FaultyPipe] = ()
) -> dict[str, Any]:
    """The result of `size`: the pipes, and behind them those that can't be designed."""
    pipes = [*map(pipe_data, results), *map(faulty_data, faulty)]
    return {"format": FORMAT, "units": units, "pipes": pipes}


def faulty_data(pipe: FaultyPipe) -> dict[str, Any]:
    """A pipe that can't be designed: its faults, and nothing in the place of results."""
    return {
        "name": pipe.name,
        "resin": pipe.resin or None,
        "condition": pipe.condition or None,
        "status": NOT_DESIGNED,
        "governing": None,
        "required_thickness": None,
        "nominal_thickness": None,
        "checks": [],
        "steps": [],
        "notes": [],
        "faults": [
            picked(each, "code", "key", "value") | {"text": str(each)} for each in pipe.faults
        ],
    }


def pipe_data(result: PipeResult) -> dict[str, Any]:
    """One pipe's result."""
    system = result.basis.system
    data: dict[str, Any] = {
        **picked(result, "name", "resin"),
        **picked(result.basis, "condition", "edition"),
        "status": result.status,
        "governing": {"equation": result.governing, "station": result.governing_station},
        "required_thickness": thickness(result.required_thickness, system),
        "nominal_thickness": millimetres(result.nominal_thickness, system),
        "checks": [check_data(check, system) for check in result.checks],
        "steps": [step_data(step) for step in result.steps if step.applies],
        "notes": [{"severity": n.severity.value, "text": n.text} for n in result.notes],
    }
    if result.in_words:
        data["in_words"] = [words_data(each) for each in result.in_words]
    if result.minimum_governs:
        data["minimum_thickness_decides"] = True
    if result.other_loads:
        data["other_loads"] = [_other_load(each, result) for each in result.other_loads]
    if result.other_missing:
        data["other_condition_missing"] = list(result.other_missing)
    if result.other_condition:
        data["other_condition"] = pipe_data(result.other_condition)
    return data


def _other_load(other: OtherLoad, result: PipeResult) -> dict[str, Any]:
    """The design with the live load by another published rule."""
    system = result.basis.system
    change = other.nominal_thickness - result.nominal_thickness
    return {
        "rule": other.rule,
        "live_load": [amount_of("W_s", load, system) for load in other.loads],
        "required_thickness": thickness(other.required_thickness, system),
        "nominal_thickness": millimetres(other.nominal_thickness, system),
        "change": millimetres(change, system),
    }


def check_data(check: CheckResult, system: str) -> dict[str, Any]:
    """One check, at one station."""
    return {
        **picked(check, "equation", "station"),
        "required_thickness": thickness(check.required_thickness, system),
        "demand": amount(check.demand, check.unit),
        "capacity": amount(check.capacity, check.unit),
        **picked(check, "safety_factor", "passes"),
    }


def words_data(said: InWords) -> dict[str, Any]:
    """What the project says in words, from which steps find the number of this key."""
    about = picked(said, "symbol", "meaning", "words", "source", "station")
    return {"key": name_of(said.key)} | about


def step_data(step: Step) -> dict[str, Any]:
    """One line of a sheet."""
    return {
        **picked(step, "number", "symbol", "meaning", "equation"),
        "formula": formula(step),
        "substituted": substituted(step),
        **picked(step, "value", "unit", "source", "provenance", "station", "flags"),
    }


def write(data: dict[str, Any], path: Path) -> None:
    """Writes the data as a JSON file."""
    path.write_text(text(data), encoding="utf-8")
