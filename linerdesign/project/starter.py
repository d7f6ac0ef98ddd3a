"""The starter project: keys with comments, and the questions that can fill it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping

from linerdesign.methods.basis import FULLY, PARTIALLY
from linerdesign.methods.origin import KNOWN_BY
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.key import Key
from linerdesign.project.models import Criteria, Pipe, Resin, Stated, Submittal
from linerdesign.project.stated import stated_symbols, step_key

CONDITIONS = (PARTIALLY, FULLY)
OWNER_DECIDES = "as determined by the owner: " + " or ".join(f'"{each}"' for each in CONDITIONS)
# The keys requested for the first pipe, in the order of the table of keys.
QUESTIONS = tuple(key for key in Pipe.rows.values() if key.examples is not None)
RESIN_NAME = "Polyester felt"
SYSTEMS = ("US", "SI")


def example(key: Key, units: str) -> str:
    """The value taken for an empty answer; empty where only an answer will do."""
    return key.examples[SYSTEMS.index(units)] if key.examples else ""


def starter_text(units: str, answers: Mapping[str, str], review: bool = False) -> str:
    """A project file with comments, in which only the answers decide the condition.

    For a review it ends with tables for what a submittal states.

    Values without an answer are examples, and the sheet lists them as assumed. Those of the soil
    are commented out unless the condition requires them.
    """
    resin = [key for key in Resin.rows.values() if key.examples]
    lines = ["[project]", 'title = "Sewer renewal"', f'units = "{units}"', ""]
    lines += ["[criteria]            # owner's design basis; these are the defaults"]
    lines += [f"# {_line(key, _toml(key.default))}" for key in _with_defaults()]
    lines += ["", "[[resin]]", _line(Resin.rows["name"], _quoted(RESIN_NAME))]
    for key in resin:
        mark = "" if key.required else "# "
        lines.append(mark + _line(key, _quoted(example(key, units))))
    assumed = [key.name for key in resin if key.required]
    lines += ["", "[[pipe]]", *_pipe(units, answers, assumed)]
    if review:
        lines += ["", *_stated(units)]
    return "\n".join(lines) + "\n"


def _pipe(units: str, answers: Mapping[str, str], assumed: list[str]) -> Iterator[str]:
    decided = answers.get("condition")
    for key in QUESTIONS:
        name = key.name
        value = _quoted(answers.get(name, example(key, units)))
        if name == "condition" and not decided:
            yield f"# {OWNER_DECIDES}; uncomment one:"
            yield from (f"# condition = {_quoted(each)}" for each in CONDITIONS)
        elif key.required_by == FULLY and decided != FULLY:
            yield f"# {_line(key, value)} ({FULLY})"
        else:
            yield _line(key, value)
            if name not in (*answers, "name"):
                assumed.append(name)
    yield f"# Source of values: {', '.join(KNOWN_BY)}. Assumed values are examples; replace them."
    yield "origin = { " + ", ".join(f'{name} = "assumed"' for name in assumed) + " }"


def _stated(units: str) -> Iterator[str]:
    """What a submittal may state of the pipe: its own keys, then every symbol with its name."""
    yield "[pipe.stated]           # values of the submittal; uncomment those that it states"
    for key in Stated.rows.values():
        if key.kind not in ("steps", "inputs", "stated stations"):
            yield f"# {_line(key, _blank(key))}"
    yield ""
    yield "[pipe.stated.steps]     # its lines, in its own order; a place is optional:"
    yield '# C = { value = "0.836", at = "page 2, line 5" }'
    for symbol in stated_symbols():
        quantity = SYMBOLS[step_key(symbol) or ""]
        name = symbol if re.fullmatch(r"[A-Za-z_]+", symbol) else _quoted(symbol)
        yield f"# {name} = {_quoted(f' {quantity.unit(units)}'.rstrip())}  # {quantity.meaning}"
    yield ""
    yield "[pipe.stated.inputs]    # its inputs that differ from this file, by the same keys"
    yield ""
    yield "[submittal]"
    for key in Submittal.rows.values():
        yield f"# {_line(key, _blank(key))}"


def _blank(key: Key) -> str:
    """An empty value of a key, or its choices."""
    if key.choices:
        return " or ".join(_quoted(each) for each in key.choices)
    return _quoted("") if key.kind != "factor" else "2.0"


def _with_defaults() -> list[Key]:
    return [key for key in Criteria.rows.values() if key.default is not None]


def _line(key: Key, value: str) -> str:
    return f"{key.name} = {value}  # {key.help}"


def _toml(value: object) -> str:
    return _quoted(value) if isinstance(value, str) else json.dumps(value)


def _quoted(text: str) -> str:
    escaped = "".join(
        f"\\{c}" if c in '"\\' else c if c.isprintable() else f"\\U{ord(c):08x}" for c in text
    )
    return f'"{escaped}"'
