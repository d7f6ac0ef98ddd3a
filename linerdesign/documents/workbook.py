"""A document as a live workbook: a schedule, and every pipe's calculation as formulas.

Each input is a constant in a cell, each line the formula printed from its equation. Change an
input, and what was computed from it follows, the schedule included.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from linerdesign import __version__
from linerdesign.documents.blocks import Block, Document, Heading, LegsTable, Sheet
from linerdesign.documents.places import Place, places_of
from linerdesign.documents.schedule import Schedule, schedule
from linerdesign.documents.sheet import files_read
from linerdesign.documents.workbook_basis import write_basis
from linerdesign.documents.workbook_cells import Book
from linerdesign.documents.workbook_legs import write_legs, write_with_legs
from linerdesign.documents.workbook_memo import write_defaults, write_memos, write_tables
from linerdesign.documents.workbook_pipe import write_place
from linerdesign.documents.workbook_rows import PlaceRows
from linerdesign.documents.workbook_schedule import ScheduleSheet
from linerdesign.words import sentence

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet


def write(document: Document, path: Path) -> None:
    """Writes the document as a workbook."""
    path.write_bytes(render(document))


def render(document: Document) -> bytes:
    """The bytes of the workbook, the same for the same document."""
    book = Book(document)
    blocks = [block for block in document.blocks if isinstance(block, Sheet)]
    first = book.sheet(sentence("workbook.schedule")) if blocks else None
    write_basis(book, blocks)
    sheets = [_places(book, block, number) for number, block in enumerate(blocks, 1)]
    if first:
        printed = next((b for b in document.blocks if isinstance(b, Schedule)), None)
        made = printed or schedule([block.result for block in blocks], {})
        ScheduleSheet(book, first, made).write(_about(document), sheets)
    write_memos(book, _without_schedule(document.blocks), () if first else _about(document))
    write_defaults(book, [block.result for block in blocks])
    write_tables(book)
    return book.close()


def _without_schedule(blocks: Sequence[Block]) -> list[Block]:
    """The blocks without the printed schedule and its heading, and without the tables of legs: the
    sheets have them, and beside those a second one that does not follow would be taken for it."""
    followed = zip(blocks, (*blocks[1:], None), strict=True)
    return [
        block
        for block, after in followed
        if not isinstance(block, Schedule | LegsTable)
        and not (isinstance(block, Heading) and isinstance(after, Schedule))
    ]


def _places(book: Book, block: Sheet, number: int) -> list[tuple[Place, Worksheet]]:
    """Writes the sheets of one pipe, one for each station, and one for each of its legs."""

    def more(rows: PlaceRows) -> None:
        if rows.place.result.legs and not rows.place.index:
            write_with_legs(rows)

    places = places_of(block.result, block.first)
    made = [(place, write_place(book, place, number, more)) for place in places]
    write_legs(book, block.result, block.first, number)
    return made


def _about(document: Document) -> tuple[str, ...]:
    """What the first sheet says of the project: the title, and the file it was made from."""
    info = document.info
    work = {"": info.title, "number": info.number, "client": info.client, "at": info.location}
    made = {
        "date": info.date,
        "revision": info.revision,
        "prepared by": info.prepared_by,
        "checked by": info.checked_by,
    }
    made |= files_read(document) | {"fingerprint": document.identity.fingerprint}
    return (
        document.title,
        *(_joined(about) for about in (work, made) if any(about.values())),
        f"linerdesign {__version__}",
    )


def _joined(about: dict[str, str]) -> str:
    return "; ".join(f"{label} {text}".strip() for label, text in about.items() if text)
