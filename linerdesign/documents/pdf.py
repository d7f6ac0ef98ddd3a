"""A document as PDF: typeset by Typst from `sheet.typ`, with all text handed over as data.

No text of a project is ever part of the Typst source: it travels as JSON and is set as it is.
Only mathematics, and that only as `expressions.typeset` writes it, is evaluated. A long document
is typeset in parts, so that the memory needed does not grow with it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from typing import Any

from linerdesign.documents.blocks import Block, Document, Grid, Heading, PaperBlock, Sheet
from linerdesign.documents.fonts import fonts_for
from linerdesign.documents.numbers import clean, short
from linerdesign.documents.pdf_blocks import Data, Formulas, block_data, in_columns
from linerdesign.documents.sheet import about, cautions, legend
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS
from linerdesign.words.documents import LABELS, PRINT

PAPERS = {"US": "us-letter", "SI": "a4"}
# Sheets of one part. Tags for screen readers would make a longer document four times as large.
SHEETS_OF_A_PART = 12
# Cells of tables of a calculation on paper that is tagged and in one piece; of a part of others.
_TAGGED, CELLS_OF_A_PART = 5_000, 1_500
# Typst forgets what it laid out after so many further runs.
_RUNS_KEPT = 11


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
    cover = _cover(document, chosen)
    if document.on_paper:
        paper_parts = _paper_parts(document.on_paper().blocks)
        with _progress(len(paper_parts)) as advance:
            return _on_paper(cover, paper_parts, advance)
    parts = _parts(document.blocks)
    with _progress(len(parts)) as advance:
        if len(parts) == 1:
            ends = {"cover": True, "last": True}
            return _compiled(cover | _contents(parts[0]) | ends, tagged=True)
        return _in_parts(cover, parts, advance)


def write(document: Document, path: Path, paper: str | None = None) -> None:
    """Writes the document as a PDF file."""
    path.write_bytes(render(document, paper))


def _parts(blocks: Sequence[Block]) -> list[list[Block]]:
    """The blocks in order, parted before a sheet wherever enough of them have gathered."""
    parts: list[list[Block]] = [[]]
    sheets = 0
    for block in blocks:
        if isinstance(block, Sheet):
            if sheets == SHEETS_OF_A_PART:
                parts.append([])
                sheets = 0
            sheets += 1
        parts[-1].append(block)
    return parts


def _paper_parts(blocks: Sequence[PaperBlock]) -> list[list[PaperBlock]]:
    """The blocks of a calculation on paper, parted where enough cells of tables have gathered."""
    if sum(map(_cells, blocks)) <= _TAGGED:
        return [list(blocks)]
    parts: list[list[PaperBlock]] = [[]]
    gathered = 0
    for block in blocks:
        for piece in _pieces(block):
            if gathered + _cells(piece) > CELLS_OF_A_PART and gathered:
                parts.append(_headings_at_the_end(parts[-1]))
                gathered = 0
            parts[-1].append(piece)
            gathered += _cells(piece)
    return parts


def _cells(block: PaperBlock) -> int:
    return len(block.rows) * len(block.columns) if isinstance(block, Grid) else 0


def _pieces(block: PaperBlock) -> Iterator[PaperBlock]:
    """A long or wide table in pieces that a part holds."""
    if not isinstance(block, Grid):
        yield block
        return
    for wide in in_columns(block):
        yield from wide.in_rows(CELLS_OF_A_PART // len(wide.columns))


def _headings_at_the_end(part: list[PaperBlock]) -> list[PaperBlock]:
    """Takes the headings at the end of a part, which belong to what follows them."""
    taken: list[PaperBlock] = []
    while part and isinstance(part[-1], Heading):
        taken.insert(0, part.pop())
    return taken


def _on_paper(cover: Data, parts: Sequence[Sequence[PaperBlock]], advance: Any) -> bytes:
    """A calculation on paper, in one piece or joined of its parts."""
    from pypdf import PdfReader, PdfWriter

    if len(parts) == 1:
        ends = {"cover": True, "last": True}
        return _compiled(cover | _contents(parts[0]) | ends, tagged=True)
    whole, page = PdfWriter(), 1
    for place, part in enumerate(parts):
        ends = {"cover": place == 0, "last": part is parts[-1]}
        about = {"first": page, "contents": []}
        reader = PdfReader(BytesIO(_compiled(cover | _contents(part) | ends | about)))
        whole.append(reader)
        page += len(reader.pages)
        advance()
    target = BytesIO()
    whole.write(target)
    return target.getvalue()


def _contents(blocks: Sequence[PaperBlock]) -> Data:
    formulas = Formulas()
    made = [block_data(block, formulas) for block in blocks]
    return {"blocks": made, "formulas": formulas.data}


def _in_parts(cover: Data, parts: Sequence[Sequence[Block]], advance: Any) -> bytes:
    """Each part typeset by itself and joined; the cover last, which lists the pages of all.

    The cover is set twice, first without knowing the pages, for its own number of them.
    """
    from pypdf import PdfReader, PdfWriter

    first = cover | {"blocks": [], "formulas": {}, "cover": True}
    headings = [
        (block.result.name, 0) for part in parts for block in part if isinstance(block, Sheet)
    ]
    opening = _compiled(first | {"contents": headings, "pages": 0})
    page = 1 + len(PdfReader(BytesIO(opening)).pages)
    whole, found = PdfWriter(), []
    for part in parts:
        made = _compiled(cover | _contents(part) | {"cover": False, "first": page})
        reader = PdfReader(BytesIO(made))
        found += [
            (item["/Title"], page + (reader.get_destination_page_number(item) or 0))
            for item in reader.outline
            if not isinstance(item, list)
        ]
        whole.append(reader)
        page += len(reader.pages)
        advance()
    opening = _compiled(first | {"contents": found, "pages": page - 1})
    whole.merge(0, PdfReader(BytesIO(opening)), import_outline=False)
    target = BytesIO()
    whole.write(target)
    return target.getvalue()


def _compiled(data: Data, tagged: bool = False) -> bytes:
    import typst

    text = json.dumps(data, ensure_ascii=False, allow_nan=False)
    fonts = fonts_for(text)
    sources = {
        "main.typ": files(__package__).joinpath("sheet.typ").read_bytes(),
        "data.json": fonts.spelled(text).encode(),
    }
    loaded = _loaded(fonts.folders, fonts.of_machine)
    # Its stubs know nothing of several sources.
    make: Any = typst.Compiler
    made: bytes = make(sources, font_paths=loaded).compile(format="pdf", pdf_tags=tagged)
    if not tagged:
        for _ in range(_RUNS_KEPT):
            make({"main.typ": b""}, font_paths=loaded).compile(format="pdf")
    return made


@cache
def _loaded(folders: tuple[str, ...], of_machine: bool) -> Any:
    import typst

    return typst.Fonts(include_system_fonts=of_machine, font_paths=list(folders))


@contextmanager
def _progress(parts: int) -> Iterator[Any]:
    """A bar on a terminal, a step for each part."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(
        *columns, console=console, transient=True, disable=not console.is_terminal
    ) as progress:
        task = progress.add_task("PDF", total=parts if parts > 1 else None)
        yield lambda: progress.advance(task)


def _cover(document: Document, paper: str) -> Data:
    info, told = document.info, about(document)
    # Only a sheet for every pipe fills so many pages that a cover and its contents help.
    has_cover = document.on_paper is None and any(isinstance(b, Sheet) for b in document.blocks)
    files = (label for label in told if label.endswith(" file"))
    made = [short(told[key], 80) for key in ("program", *files) if key in told]
    made += [f"fingerprint {told['fingerprint']}"] if "fingerprint" in told else []
    revision = sentence("documents.revision", revision=info.revision) if info.revision else ""
    dated = [short(text, 40) for text in (info.date, revision) if text]
    return {
        "paper": paper,
        "title": clean(document.title),
        "running": short(f"{info.title}  {info.number}".strip()),
        "about": [[label, clean(text)] for label, text in ({"project": info.title} | told).items()],
        "made": ", ".join(made),
        "dated": ", ".join(dated),
        "cautions": list(cautions(document)),
        "foot": sentence("documents.foot" if has_cover else "calculation.foot"),
        "legend": legend(document),
        "words": LABELS | PRINT | {"appendix": HEADS["appendix"]},
        "short": not has_cover,
    }
