"""A document as PDF: typeset by Typst from `sheet.typ`, with all text handed over as data.

No text of a project is ever part of the Typst source: it travels as JSON and is set as it is.
Only mathematics, and that only as `typeset` writes it, is evaluated.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from itertools import groupby
from pathlib import Path
from typing import Any

from linerdesign.documents.blocks import (
    CAUTIONS,
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Paragraph,
    Picture,
    Sheet,
)
from linerdesign.documents.drawing import cross_section, demand_bars
from linerdesign.documents.fonts import fonts_for
from linerdesign.documents.numbers import both_units, clean, factor, value_with_unit
from linerdesign.documents.sheet import (
    IN_WORDS,
    about,
    checks_grid,
    computed,
    condition_text,
    derivation,
    edition_text,
    governing_text,
    inputs,
    not_applying,
    origin_text,
    other_condition_text,
    remarks,
)
from linerdesign.documents.working import Working
from linerdesign.expressions import typeset
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.task import InWords
from linerdesign.methods.verdicts import FAILS, OUTSIDE

PAPERS = {"US": "us-letter", "SI": "a4"}
# Tags for screen readers make a file four times as large; longer documents go without.
MOST_TAGGED = 50
_SHORT = 90
# A heading breaks into lines, and may have some.
_LONG = 300
_ALARMS = {
    FAILS: "This wall fails a check.",
    OUTSIDE: "Outside the method: not to be taken as a pass.",
}
_BESIDE = ("Defaults used", "Values not measured")
Data = dict[str, Any]
Lines = list[tuple[str, str]]


def render(document: Document, paper: str | None = None) -> bytes:
    """The document as PDF, the same bytes for the same document.

    `paper` is `us-letter` or `a4`; without it the paper goes by the unit system. On a terminal a
    progress bar runs on standard error meanwhile.

    Raises:
        ValueError: for another paper.
    """
    chosen = paper or PAPERS[document.units]
    if chosen not in PAPERS.values():
        raise ValueError(f"paper {chosen!r} is none of {', '.join(PAPERS.values())}")
    with _progress(len(document.blocks)) as advance:
        blocks = []
        for block in document.blocks:
            blocks.append(_block(block))
            advance()
        sheets = sum(isinstance(block, Sheet) for block in document.blocks)
        return _compiled(_cover(document, chosen) | {"blocks": blocks}, sheets <= MOST_TAGGED)


def write(document: Document, path: Path, paper: str | None = None) -> None:
    """Writes the document as a PDF file."""
    path.write_bytes(render(document, paper))


def _compiled(data: Data, tagged: bool) -> bytes:
    import typst

    text = json.dumps(data, ensure_ascii=False, allow_nan=False)
    fonts = fonts_for(text)
    sources = {
        "main.typ": files(__package__).joinpath("sheet.typ").read_bytes(),
        "data.json": fonts.spelled(text).encode(),
    }
    make: Any = typst.Compiler  # its stubs know nothing of several sources
    compiler = make(
        sources, font_paths=list(fonts.folders), ignore_system_fonts=not fonts.of_machine
    )
    made: bytes = compiler.compile(format="pdf", pdf_tags=tagged)
    return made


@contextmanager
def _progress(blocks: int) -> Iterator[Any]:
    """A bar on a terminal: the blocks made ready, then Typst at work, which tells no share."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(
        *columns, console=console, transient=True, disable=not console.is_terminal
    ) as progress:
        task = progress.add_task("PDF: preparing sheets", total=blocks)

        def advance() -> None:
            progress.advance(task)
            if progress.tasks[0].finished:
                progress.update(task, description="PDF: setting pages", total=None)

        yield advance


def _cover(document: Document, paper: str) -> Data:
    info, told = document.info, about(document)
    made = [_short(told[key], 80) for key in ("program", "input file") if key in told]
    revision = f"revision {info.revision}" if info.revision else ""
    dated = [_short(text, 40) for text in (info.date, revision) if text]
    return {
        "paper": paper,
        "title": clean(document.title),
        "running": _short(f"{info.title}  {info.number}".strip()),
        "about": [[label, clean(text)] for label, text in ({"project": info.title} | told).items()],
        "made": ", ".join(made),
        "dated": ", ".join(dated),
        "cautions": list(CAUTIONS),
    }


def _short(text: str, most: int = _SHORT) -> str:
    """Text for a place that holds one line; what is cut stands in full elsewhere."""
    shown = clean(text)
    return shown if len(shown) <= most else shown[: most - 1] + "…"


def _block(block: Block) -> Data:
    match block:
        case Heading(text, level):
            return {"kind": "heading", "text": _short(text, _LONG), "level": level}
        case Paragraph(text):
            return {"kind": "paragraph", "text": clean(text)}
        case Bullets(items):
            return {"kind": "bullets", "items": [clean(item) for item in items]}
        case Working():
            return {"kind": "working"} | _working(block)
        case Grid():
            return {"kind": "grid"} | _grid(block)
        case Picture():
            return {"kind": "picture"} | _picture(block)
        case Sheet(result, _):
            return {"kind": "sheet"} | _sheet(result)


def _grid(grid: Grid) -> Data:
    return {
        "columns": [clean(name) for name in grid.columns],
        "align": list(grid.align),
        "rows": [[clean(cell) for cell in row] for row in grid.rows],
        "caption": clean(grid.caption),
    }


def _working(working: Working) -> Data:
    """The table with its symbols and formulas as sources of equations."""
    rows = [
        {
            "symbol": typeset.symbol(step.key),
            "plain": step.symbol,
            "meaning": step.meaning,
            "lines": _lines(step) if step.line else [],
            "source": clean(step.source),
            "value": _value(step, working.system),
        }
        for step in working.steps
    ]
    return _grid(working) | {"rows": rows}


def _picture(picture: Picture) -> Data:
    return {
        "svg": picture.svg,
        "caption": clean(picture.caption),
        "alternative": clean(picture.alternative),
    }


def _sheet(result: PipeResult) -> Data:
    return {
        "name": _short(result.name, 60),
        "alarm": _ALARMS.get(result.status, ""),
        "facts": [[label, clean(text)] for label, text in _facts(result).items()],
        "condition": condition_text(result) + " So decided by the owner.",
        "pictures": [_picture(cross_section(result)), _picture(demand_bars(result))],
        "checks": _grid(checks_grid(result)),
        "other": clean(other_condition_text(result) or ""),
        "remarks": _told(result, beside=False),
        "beside": _told(result, beside=True),
        "inputs": [_input(step, result.basis.system) for step in inputs(result)]
        + [_said(each) for each in result.in_words],
        "stations": any(step.station for step in result.steps),
        "steps": _steps(result),
        "not_applying": list(not_applying(result)),
    }


def _facts(result: PipeResult) -> dict[str, str]:
    system = result.basis.system
    # The heading holds one line; a name cut there stands in full here.
    facts = {"Pipe": result.name} if _short(result.name, 60) != result.name else {}
    facts |= {
        "Status": result.status,
        "Nominal thickness": both_units(result.nominal_thickness, system),
        "Required thickness": both_units(result.required_thickness, system),
        "Governing": governing_text(result),
        "Lowest safety factor": factor(result.lowest_safety_factor),
        "Condition of the host": result.basis.condition,
        "Resin": result.resin,
        "Edition": edition_text(result),
    }
    return facts


def _told(result: PipeResult, beside: bool) -> list[Any]:
    """The lists that go across the page, or those of short lines that go side by side."""
    return [
        [title, [clean(item) for item in items]]
        for title, items in remarks(result).items()
        if (title in _BESIDE) == beside
    ]


def _input(step: Step, system: str) -> Data:
    return {
        "number": step.number,
        "symbol": typeset.symbol(step.key),
        "plain": step.symbol,
        "meaning": step.meaning,
        "station": clean(step.station or ""),
        "value": _value(step, system),
        "source": clean(origin_text(step, system)),
    }


def _said(said: InWords) -> Data:
    """What the project says in words: it has no number, and no value."""
    return {
        "number": "",
        "symbol": typeset.symbol(said.key),
        "plain": said.symbol,
        "meaning": said.meaning,
        "station": clean(said.station or ""),
        "value": IN_WORDS,
        "source": clean(said.source),
    }


def _value(step: Step, system: str) -> str:
    """The value with its unit, powers raised: in³."""
    return value_with_unit(step.key, step.value, system).replace("^2", "²").replace("^3", "³")


def _steps(result: PipeResult) -> list[Data]:
    """The computed steps; a formula shared by all stations stands once, with a line for each."""
    lined = [(step, _lines(step)) for step in computed(result)]
    runs = groupby(lined, key=lambda each: (each[0].key, each[1][:1]))
    return [_run(list(run), result.basis.system) for _, run in runs]


def _run(run: list[tuple[Step, Lines]], system: str) -> Data:
    first, lines = run[0]
    shared = 1 if first.line else 0
    return {
        "symbol": typeset.symbol(first.key),
        "plain": first.symbol,
        "meaning": first.meaning,
        "equation": first.equation or "",
        "source": clean(first.source),
        "formula": lines[:shared],
        "entries": [_entry(step, lines[shared:], system) for step, lines in run],
    }


def _entry(step: Step, lines: Lines, system: str) -> Data:
    return {
        "number": step.number,
        "station": _short(step.station or "", 60),  # in full among the inputs
        "lines": lines,
        "value": _value(step, system),
        "flags": [clean(flag) for flag in step.flags],
    }


def _lines(step: Step) -> Lines:
    """Each line as the source of an equation, and in plain text for those who don't see it."""
    pairs = zip(typeset.equation_lines(step), derivation(step), strict=True)
    return [(source, f"{step.symbol} = {plain}") for source, plain in pairs]
