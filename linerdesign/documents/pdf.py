"""A document as PDF: typeset by Typst from `sheet.typ`, with all text handed over as data.

No text of a project is ever part of the Typst source: it travels as JSON and is set as it is.
Only mathematics, and that only as `expressions.typeset` writes it, is evaluated. A long document
is typeset in parts, so that the memory needed does not grow with it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from linerdesign.documents.blocks import Block, Document, Grid, Heading, PaperBlock, Sheet
from linerdesign.documents.fonts import fonts_for
from linerdesign.documents.numbers import clean, short
from linerdesign.documents.pdf_blocks import Data, Formulas, block_data, in_columns
from linerdesign.documents.sheet import about, cautions, legend
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS
from linerdesign.words.documents import LABELS, PRINT

if TYPE_CHECKING:
    from pypdf import PdfReader

PAPERS = {"US": "us-letter", "SI": "a4"}
# Sheets of one part. Tags for screen readers would make a longer document four times as large.
SHEETS_OF_A_PART = 12
# Cells of tables of a calculation on paper that is tagged, and of one that is typeset in one piece;
# cells of a part of others.
_TAGGED, _WHOLE, CELLS_OF_A_PART = 5_000, 12_000, 1_600
# Rows of tables that a page surely holds; those that title block and heads take the room of.
_ROWS_OF_A_PAGE, _ROWS_OF_TITLE, _ROWS_OF_HEADS, _FEWEST_ROWS = 64, 22, 4, 6
PartDone = Callable[[int, int], None]
# Parts typeset at a time.
_AT_ONCE = 2
# Typst forgets what it laid out after so many further runs.
_RUNS_KEPT = 11


def render(
    document: Document, paper: str | None = None, part_done: PartDone = lambda done, total: None
) -> bytes:
    """The document as PDF, the same bytes for the same document.

    `paper` is `us-letter` or `a4`; without it the paper goes by the unit system. `part_done` is
    called whenever a part of a long document is typeset, with how many are and of how many.

    Raises:
        ValueError: for another paper.
    """
    chosen = paper or PAPERS[document.units]
    if chosen not in PAPERS.values():
        raise ValueError(f"paper {chosen!r} is none of {', '.join(PAPERS.values())}")
    cover = _cover(document, chosen)
    if document.on_paper:
        return _on_paper(cover, document.on_paper().blocks, part_done)
    parts = _parts(document.blocks)
    if len(parts) == 1:
        ends = {"cover": True, "last": True}
        return _compiled(cover | _contents(parts[0]) | ends, tagged=True)
    return _in_parts(cover, parts, part_done)


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
    """The blocks of a calculation on paper, parted where tables have filled a page."""
    parts: list[list[PaperBlock]] = [[]]
    used = _ROWS_OF_TITLE
    for block in blocks:
        for piece in in_columns(block) if isinstance(block, Grid) else (block,):
            for row, table in _pieces(piece, used):
                if row:
                    parts.append(_headings_at_the_end(parts[-1]))
                    used = 0
                parts[-1].append(table)
                used += len(table.rows) + _ROWS_OF_HEADS if isinstance(table, Grid) else 0
    return parts


def _cells(block: PaperBlock) -> int:
    return len(block.rows) * len(block.columns) if isinstance(block, Grid) else 0


def _pieces(block: PaperBlock, used: int) -> Iterator[tuple[bool, PaperBlock]]:
    """A table in pieces that parts hold: whether each begins a part, and the piece.

    `used` is how many rows the part has that the table begins in.
    """
    begins = False
    while isinstance(block, Grid):
        pages = max(CELLS_OF_A_PART // (len(block.columns) * _ROWS_OF_A_PAGE), 1)
        whole = pages * _ROWS_OF_A_PAGE - _ROWS_OF_HEADS
        room = whole - used
        if len(block.rows) <= room:
            break
        if len(block.rows) <= whole:
            begins = True
            break
        if room >= _FEWEST_ROWS:
            above, block = block.cut_at(room)
            yield begins, above
        begins, used = True, 0
    yield begins, block


def _headings_at_the_end(part: list[PaperBlock]) -> list[PaperBlock]:
    """Takes the headings at the end of a part, which belong to what follows them."""
    taken: list[PaperBlock] = []
    while part and isinstance(part[-1], Heading):
        taken.insert(0, part.pop())
    return taken


def _on_paper(cover: Data, blocks: Sequence[PaperBlock], part_done: PartDone) -> bytes:
    """A calculation on paper, in one piece or joined of its parts."""
    cells = sum(map(_cells, blocks))
    if cells <= _WHOLE:
        ends = {"cover": True, "last": True}
        return _compiled(cover | _contents(blocks) | ends, tagged=cells <= _TAGGED)
    parts = _paper_parts(blocks)
    last = len(parts) - 1
    own = [{"cover": place == 0, "last": place == last} for place in range(len(parts))]
    return _joined(cover, list(_typeset(cover, parts, own, part_done)))


def _typeset(
    cover: Data, parts: Sequence[Sequence[Any]], ends: Sequence[Data], part_done: PartDone
) -> Iterator[PdfReader]:
    """Each part by itself, without numbers of pages; two at a time."""
    from concurrent.futures import ThreadPoolExecutor

    from pypdf import PdfReader

    def made(part: Sequence[Any], own: Data) -> bytes:
        return _compiled(cover | _contents(part) | own | {"parted": True})

    with ThreadPoolExecutor(_AT_ONCE) as pool:
        for done, each in enumerate(pool.map(made, parts, ends), 1):
            part_done(done, len(parts))
            yield PdfReader(BytesIO(each))


def _joined(cover: Data, readers: Sequence[PdfReader]) -> bytes:
    """The parts as one file, with the number of each page and of all on every page."""
    from pypdf import PdfReader, PdfWriter
    from pypdf.generic import ArrayObject, DictionaryObject, NameObject, StreamObject

    whole = PdfWriter()
    for reader in readers:
        whole.append(reader)
    blank = {"blocks": [], "formulas": {}, "cover": False}
    feet = PdfReader(BytesIO(_compiled(cover | blank | {"feet": len(whole.pages)})))

    def stream(data: bytes, about: dict[str, Any]) -> Any:
        made = StreamObject()
        made.set_data(data)
        made.update({NameObject(key): value for key, value in about.items()})
        return whole._add_object(made)

    kept, back = stream(b"q\n", {}), stream(b"\nQ /Foot Do", {})
    for page, foot in zip(whole.pages, feet.pages, strict=True):
        about = {
            "/Type": NameObject("/XObject"),
            "/Subtype": NameObject("/Form"),
            "/BBox": page.mediabox,
            "/Resources": foot["/Resources"].clone(whole),
        }
        # Parts share their dictionaries between pages: each page gets its own.
        resources: Any = DictionaryObject(cast(Any, page["/Resources"]))
        forms = DictionaryObject(resources.get("/XObject", {}))
        forms[NameObject("/Foot")] = stream(cast(Any, foot.get_contents()).get_data(), about)
        resources[NameObject("/XObject")] = forms
        page[NameObject("/Resources")] = resources
        page[NameObject("/Contents")] = ArrayObject([kept, page.raw_get("/Contents"), back])
    target = BytesIO()
    whole.write(target)
    return target.getvalue()


def _contents(blocks: Sequence[PaperBlock]) -> Data:
    formulas = Formulas()
    made: list[Data] = []
    for each in (block_data(block, formulas) for block in blocks):
        if made and each["kind"] == "heading":
            made[-1]["sticky"] = False
        if made and each["kind"] == made[-1]["kind"] == "pictures" and _same_row(made[-1], each):
            made[-1]["parts"] += each["parts"]
        else:
            made.append(each)
    if made:
        made[-1]["sticky"] = False
    return {"blocks": made, "formulas": formulas.data}


def _same_row(pictures: Data, more: Data) -> bool:
    """Whether as many pictures stand side by side."""
    return bool(pictures["parts"][-1]["beside"] == more["parts"][0]["beside"])


def _in_parts(cover: Data, parts: Sequence[Sequence[Block]], part_done: PartDone) -> bytes:
    """Each part typeset by itself and joined; the cover last, which lists the pages of all.

    The cover is set twice, first without knowing the pages, for its own number of them.
    """
    from pypdf import PdfReader

    first = cover | {"blocks": [], "formulas": {}, "cover": True, "parted": True}
    headings = [
        (block.result.name, 0) for part in parts for block in part if isinstance(block, Sheet)
    ]
    opening = _compiled(first | {"contents": headings})
    page = 1 + len(PdfReader(BytesIO(opening)).pages)
    readers, found = [], []
    for reader in _typeset(cover, parts, [{"cover": False}] * len(parts), part_done):
        found += [
            (item["/Title"], page + (reader.get_destination_page_number(item) or 0))
            for item in reader.outline
            if not isinstance(item, list)
        ]
        readers.append(reader)
        page += len(reader.pages)
    opening = _compiled(first | {"contents": found})
    return _joined(cover, [PdfReader(BytesIO(opening)), *readers])


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


def _cover(document: Document, paper: str) -> Data:
    info, told = document.info, about(document)
    # Only a sheet for every pipe fills so many pages that a cover and its contents help.
    has_cover = document.on_paper is None and any(isinstance(b, Sheet) for b in document.blocks)
    names = dict.fromkeys(each.name for each in document.identity.files)
    made = [told["program"], *(short(name, 40) for name in names)]
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
