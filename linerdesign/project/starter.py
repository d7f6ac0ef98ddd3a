"""The starter project: every key with a comment, and the questions that can fill it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from linerdesign.project.models import Criteria, Pipe, Resin, Table


@dataclass(frozen=True)
class Question:
    """One question for one key of the first pipe."""

    key: str
    text: str
    us: str
    si: str
    kind: str = ""
    choices: tuple[str, ...] = ()
    only_fully: bool = False

    def example(self, units: str) -> str:
        """The value taken for an empty answer."""
        return self.us if units == "US" else self.si


CONDITIONS = ("partially deteriorated", "fully deteriorated")
QUESTIONS = (
    Question("name", "Name of the pipe", "MH 1 to MH 2", "MH 1 to MH 2"),
    Question(
        "condition",
        "Condition, decided by the owner: partially or fully deteriorated",
        CONDITIONS[0],
        CONDITIONS[0],
        choices=CONDITIONS,
    ),
    Question("host_diameter", "Mean inside diameter of the host", "8 in", "200 mm", "section"),
    Question("ovality", "Ovality", "2 %", "2 %", "percent"),
    Question("cover", "Soil above the top of the pipe", "8 ft", "2.4 m", "cover"),
    Question("groundwater_above_invert", "Groundwater above the invert", "5 ft", "1.5 m", "level"),
    Question(
        "soil_unit_weight",
        "Unit weight of the soil",
        "120 pcf",
        "18.8 kN/m^3",
        "unit weight",
        only_fully=True,
    ),
    Question(
        "soil_reaction_modulus",
        "Modulus of soil reaction E'",
        "1000 psi",
        "6.9 MPa",
        "modulus",
        only_fully=True,
    ),
    Question(
        "live_load",
        "Live load at the top of the pipe",
        "1.2 psi",
        "0.0083 MPa",
        "load",
        only_fully=True,
    ),
)
_SOIL = ("soil_unit_weight", "soil_reaction_modulus", "live_load")
_RESIN = {
    "name": ("Polyester felt", "Polyester felt"),
    "flexural_modulus": ("250000 psi", "1724 MPa"),
    "flexural_strength": ("4500 psi", "31 MPa"),
}


def starter_text(units: str, answers: Mapping[str, str]) -> str:
    """A project file with comments; soil values are commented out for a partial condition."""
    defaults = {question.key: question.example(units) for question in QUESTIONS}
    values = defaults | dict(answers)
    column = 0 if units == "US" else 1
    lines = ["[project]", 'title = "Sewer renewal"', f'units = "{units}"', ""]
    lines += ["[criteria]            # the owner's design basis; defaults, uncomment to change"]
    lines += [
        f"# {key} = {_default(Criteria, key)}{_about(Criteria, key)}" for key in _plain_keys()
    ]
    lines += ["", "[[resin]]"]
    lines += [f"{k} = {_quoted(v[column])}{_about(Resin, k)}" for k, v in _RESIN.items()]
    lines += [
        f'# {k} = "50 %"{_about(Resin, k)}' for k in ("modulus_retention", "strength_retention")
    ]
    lines += ["", "[[pipe]]"]
    for key, value in values.items():
        mark = "# " if key in _SOIL and values["condition"] == CONDITIONS[0] else ""
        lines.append(f"{mark}{key} = {_quoted(value)}{_about(Pipe, key)}")
    lines.append('# origin = { ovality = "measured", cover = "plan" }  # how values are known')
    return "\n".join(lines) + "\n"


def _plain_keys() -> list[str]:
    return [
        key
        for key, field in Criteria.model_fields.items()
        if field.default not in ("", None) and not isinstance(field.default, Table)
    ]


def _default(model: type[Table], key: str) -> str:
    value = model.model_fields[key].default
    return str(value) if isinstance(value, float) else _quoted(str(value))


def _quoted(text: str) -> str:
    escaped = "".join(
        f"\\{c}" if c in '"\\' else c if c.isprintable() else f"\\U{ord(c):08x}" for c in text
    )
    return f'"{escaped}"'


def _about(model: type[Table], key: str) -> str:
    description = model.model_fields[key].description
    return f"  # {description}" if description else ""
