"""A document as one web page that stands alone, and recalculates where scripts may run.

Nothing is fetched: style and script are part of the page, and its content policy lets only these
two, known by their hash, take effect. In a long document the later sheets are packed, and the
script unpacks them once the page is open.
"""

from __future__ import annotations

import json
import zlib
from base64 import b64encode
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from hashlib import sha256
from importlib.resources import files
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from linerdesign.documents import page_live
from linerdesign.documents.blocks import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    LegsTable,
    Paragraph,
    Picture,
    Sheet,
)
from linerdesign.documents.columns import most_columns
from linerdesign.documents.markup import Markup, element, join
from linerdesign.documents.mathematics import page_formula, text_symbol
from linerdesign.documents.numbers import clean, printed_cell
from linerdesign.documents.page_data import OPEN_SHEETS, Calculations
from linerdesign.documents.page_sheet import Appendix, Homes, sheet_view
from linerdesign.documents.places import place_name
from linerdesign.documents.schedule import Schedule
from linerdesign.documents.shared import shared_by
from linerdesign.documents.sheet import about, cautions, in_print_lines, legend
from linerdesign.documents.working import Working
from linerdesign.methods.result import PipeResult
from linerdesign.project.models import ProjectInfo
from linerdesign.words import page as words
from linerdesign.words import sentence, shared
from linerdesign.words.documents import LABELS

if TYPE_CHECKING:
    from jinja2 import Environment

# Letters of a line of a table on paper.
_LETTERS = 110
# Sheets of one packed piece.
PACKED_SHEETS = 20


def render(document: Document) -> bytes:
    """The document as a page in UTF-8."""
    sheets = [block for block in document.blocks if isinstance(block, Sheet)]
    verified = next((each.result.task.verified for each in sheets), {})
    appendix = Appendix(document.units, verified)
    homes = Homes(shared_by(sheets), document.units)
    shown, *packed = _pieces(document, sheets, appendix, homes)
    program = _program(sheets, appendix, packed) if sheets else _of_tables(document)
    style = resource("page.css")
    page = (
        _environment()
        .get_template("page.html")
        .render(
            document=document,
            about=about(document),
            contents=_contents(document.blocks, homes),
            blocks=Markup(shown),
            packed=bool(packed),
            worked=bool(sheets),
            appendix=appendix,
            legend=legend(document),
            cautions=cautions(document),
            style=Markup(style),
            program=Markup(program),
            hashes={"style": _hash(style), "script": _hash(program) if program else "'none'"},
        )
    )
    return page.encode()


def sheet_markup(result: PipeResult, first: int) -> str:
    """One pipe's sheet as markup, with the equations and symbols that it uses behind it."""
    block, units = Sheet(result, first), result.basis.system
    appendix = Appendix(units, result.task.verified)
    sheet = _block(block, 0, appendix, (), Homes({}, units))
    sources = legend(Document("", (block,), ProjectInfo.model_construct(), units))
    end: Any = _environment().get_template("appendix.html").make_module({"legend": sources})
    return f"{sheet}{end.appendix(appendix)}"


def blocks_markup(blocks: Sequence[Block], units: str) -> str:
    """Blocks without sheets as markup."""
    appendix = Appendix(units, {})
    return "".join(
        _block(each, place, appendix, (), Homes({}, units)) for place, each in enumerate(blocks)
    )


def _macros(template: str) -> Any:
    return _environment().get_template(template).module


def resource(name: str) -> str:
    """The text of a file that is kept beside this module."""
    return (files("linerdesign.documents") / name).read_text(encoding="utf-8")


@cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("linerdesign.documents"),
        autoescape=True,
        finalize=_shown,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals |= {
        "words": words.SENTENCES,
        "shared": shared.SENTENCES,
        "heads": words.HEADS,
        "labels": LABELS,
    }
    return environment


def _shown(value: Any) -> Any:
    """A text with its control characters made visible; none as nothing."""
    if value is None:
        return ""
    return value if hasattr(value, "__html__") else clean(str(value))


def _hash(content: str) -> str:
    return f"'sha256-{b64encode(sha256(content.encode()).digest()).decode()}'"


def _program(sheets: Sequence[Sheet], appendix: Appendix, packed: Sequence[str]) -> str:
    calculations = Calculations(appendix.place)
    for each in sheets:
        calculations.add(each.result, each.first)
    pieces = json.dumps([_packed(piece) for piece in packed])
    parts = (calculations.source(), f"const packed = {pieces};")
    return "\n".join((*parts, resource("page_calculation.js"), resource("page.js")))


def _of_tables(document: Document) -> str:
    """The script of a document without sheets: its live tables, if it has any."""
    made = page_live.program(document.blocks)
    return made and made + resource("page_live.js")


def _packed(text: str) -> str:
    """A text deflated, in letters."""
    deflating = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    return b64encode(deflating.compress(text.encode()) + deflating.flush()).decode()


def _contents(blocks: Sequence[Block], homes: Homes) -> list[tuple[str, str]]:
    entries, with_appendix = [], False
    for place, block in enumerate(blocks):
        if isinstance(block, Heading) and block.level == 1:
            entries.append((f"#part{place}", block.text))
        elif isinstance(block, Schedule) and homes.parts:
            entries.append(("#basis", sentence("shared.title")))
        elif isinstance(block, Sheet):
            with_appendix = True
            entries.append((f"#{place_name(block.first)}", block.result.name))
    ends = ("equations", "symbols") if with_appendix else ()
    return [*entries, *((f"#{name}", words.SENTENCES[name]) for name in ends)]


def _pieces(
    document: Document, sheets: Sequence[Sheet], appendix: Appendix, homes: Homes
) -> Iterator[str]:
    """The blocks as markup: those of the open page, then pieces of so many sheets each."""
    made: list[str] = []
    room, count = OPEN_SHEETS, 0
    for place, block in enumerate(document.blocks):
        if isinstance(block, Sheet):
            if count == room:
                yield "".join(made)
                made, room, count = [], PACKED_SHEETS, 0
            count += 1
        cells = {} if sheets else page_live.cells_of(document.blocks, place)
        made.append(_block(block, place, appendix, sheets, homes, cells))
    yield "".join(made)


def _block(
    block: Block,
    place: int,
    appendix: Appendix,
    sheets: Sequence[Sheet],
    homes: Homes,
    cells: Mapping[tuple[int, int], page_live.Cell] = MappingProxyType({}),
) -> str:
    """One block as markup; `sheets` are those whose rows the schedule has, `cells` those of
    a live table."""
    macros = _macros("blocks.html")
    match block:
        case Heading(text, level):
            return str(macros.heading(text, level + 1, f"part{place}"))
        case Paragraph(text):
            return str(macros.paragraph(text))
        case Bullets(items):
            return str(macros.bullets(items))
        case Grid():
            kinds = ["figure" if align == ">" else "" for align in block.align]
            if isinstance(block, LegsTable):
                return str(macros.grid(block, kinds, {}, [], block.keys, {}, block.first))
            if not isinstance(block, Schedule):
                parts = block.parted(most_columns(block, _LETTERS))
                return "".join(
                    str(macros.grid(part, kinds, _mathematics(part), [], [], cells))
                    for part in parts
                )
            rows = zip(block.designed, sheets, strict=False)
            numbers = {row: each.first for row, each in rows}
            table = macros.grid(block, kinds, {}, numbers, block.keys, {})
            notes = "".join(str(macros.paragraph(text)) for text in block.notes)
            return str(table) + notes + (_panel(homes, appendix) if homes.parts else "")
        case Picture():
            image = b64encode(block.svg.encode()).decode()
            return str(macros.picture(block, image))
        case Sheet(result, first):
            return str(_macros("sheet.html").sheet(sheet_view(result, first, appendix, homes)))


def _mathematics(grid: Grid) -> dict[tuple[int, int], Markup]:
    """The cells of a table that hold symbols and formulas in mathematics, and numbers in print."""
    found = {
        (y, x): join(printed)
        for y, row in enumerate(grid.rows)
        for x, cell in enumerate(row)
        if (grid.align[x] == ">" or "^" in cell) and (printed := printed_cell(cell)) != cell
    }
    found |= {cell: text_symbol(key) for cell, key in grid.symbols.items()}
    for row, step in enumerate(grid.steps if isinstance(grid, Working) else ()):
        found[row, 0] = text_symbol(step.key)
        if step.line is not None:
            formula = page_formula(step.key, step.line.tree)
            lines = [join("= ", line) for line in in_print_lines(step)[1:]]
            found[row, 2] = join(formula, join(*lines, between=element("br")))
    return found


def _panel(homes: Homes, appendix: Appendix) -> str:
    """What several pipes share, each value once."""
    return str(_macros("sheet.html").panel(homes.views(appendix)))
