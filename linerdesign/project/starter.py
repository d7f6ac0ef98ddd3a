"""The starter project: every key with a comment, and the questions that can fill it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from linerdesign.methods.basis import FULLY, PARTIALLY
from linerdesign.project.models import SOIL_KEYS, Criteria, Pipe, Resin, Table

CONDITIONS = (PARTIALLY, FULLY)
OWNER_DECIDES = "the owner decides: " + " or ".join(f'"{each}"' for each in CONDITIONS)


@dataclass(frozen=True)
class Question:
    """One question for one key of the first pipe. Without an example only an answer will do."""

    key: str
    text: str
    us: str = ""
    si: str = ""
    only_fully: bool = False

    def example(self, units: str) -> str:
        """The value taken for an empty answer."""
        return self.us if units == "US" else self.si


QUESTIONS = (
    Question("name", "Name of the pipe", "MH 1 to MH 2", "MH 1 to MH 2"),
    Question("condition", "Condition, decided by the owner: partially or fully deteriorated"),
    Question("host_diameter", "Mean inside diameter of the host", "8 in", "200 mm"),
    Question("ovality", "Ovality", "2 %", "2 %"),
    Question("cover", "Soil above the top of the pipe", "8 ft", "2.4 m"),
    Question("groundwater_above_invert", "Groundwater above the invert", "5 ft", "1.5 m"),
    Question("soil_unit_weight", "Unit weight of the soil", "120 pcf", "18.8 kN/m^3", True),
    Question(
        "soil_reaction_modulus",
        "Modulus of soil reaction E', or the soil and its compaction",
        "1000 psi",
        "6.9 MPa",
        True,
    ),
    Question(
        "live_load",
        'Live load at the top of the pipe, "none", or a method',
        "1.2 psi",
        "0.0083 MPa",
        True,
    ),
)
_RESIN = {
    "name": ("Polyester felt", "Polyester felt"),
    "flexural_modulus": ("250000 psi", "1724 MPa"),
    "flexural_strength": ("4500 psi", "31 MPa"),
}


def starter_text(units: str, answers: Mapping[str, str]) -> str:
    """A project file with comments, in which nobody has decided the condition but the answers.

    Values that no answer gave are examples, and the sheet lists them as assumed. The soil's are
    commented out unless the condition asks for them.
    """
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
    lines += ["", "[[pipe]]", *_pipe(units, answers)]
    return "\n".join(lines) + "\n"


def _pipe(units: str, answers: Mapping[str, str]) -> Iterator[str]:
    decided = answers.get("condition")
    assumed = [key for key in _RESIN if key != "name"]
    for question in QUESTIONS:
        key = question.key
        value = answers.get(key, question.example(units))
        if key == "condition" and not decided:
            yield f"# {OWNER_DECIDES}; uncomment one:"
            yield from (f"# condition = {_quoted(each)}" for each in CONDITIONS)
            continue
        left_out = key in SOIL_KEYS and decided != FULLY
        mark, why = ("# ", " (fully deteriorated)") if left_out else ("", "")
        yield f"{mark}{key} = {_quoted(value)}{_about(Pipe, key)}{why}"
        if key not in (*answers, "name") and not left_out:
            assumed.append(key)
    yield "# How values are known: measured, plan, given or assumed. The assumed ones are examples:"
    yield "origin = { " + ", ".join(f'{key} = "assumed"' for key in assumed) + " }"


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
