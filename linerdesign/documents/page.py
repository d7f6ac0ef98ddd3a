"""A document as one web page that stands alone, and recalculates where scripts may run.

Nothing is fetched: style and script stand in the page, and its content policy lets only these
two, known by their hash, take effect.
"""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256
from importlib.resources import files

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
from linerdesign.documents.markup import Markup, element, join
from linerdesign.documents.page_appendix import Appendix
from linerdesign.documents.page_sheet import sheet
from linerdesign.documents.places import place_name
from linerdesign.documents.sheet import about, schedule_grid
from linerdesign.expressions.script import Calculations


def render(document: Document) -> bytes:
    """The document as a page in UTF-8."""
    appendix = Appendix(document.units)
    sheets = [block for block in document.blocks if isinstance(block, Sheet)]
    schedule = schedule_grid(tuple(each.result for each in sheets))
    firsts = tuple(each.first for each in sheets)
    blocks = join(
        *(
            _grid(block, firsts) if block == schedule else _block(block, place, appendix)
            for place, block in enumerate(document.blocks)
        )
    )
    calculations = Calculations()
    for each in sheets:
        calculations.add(each.result, each.first)
    parts = (calculations.source(), resource("page_calculation.js"), resource("page.js"))
    program = "\n".join(parts) if sheets else ""
    main = element("main", _head(document), _contents(document), blocks, appendix.write(), id="top")
    body = element(
        "body",
        element("a", "Skip to the contents", href="#contents", class_="skip"),
        _banner() if sheets else "",
        main,
        _foot(),
        element("script", Markup(program)) if program else "",
    )
    page = element("html", _meta(document, program), body, lang="en")
    return f"<!DOCTYPE html>\n{page}\n".encode()


def resource(name: str) -> str:
    """The text of a file that stands beside this module."""
    return (files("linerdesign.documents") / name).read_text(encoding="utf-8")


def _meta(document: Document, program: str) -> Markup:
    style = resource("page.css")
    runs = _hash(program) if program else "'none'"
    policy = (
        f"default-src 'none'; style-src {_hash(style)}; img-src data:; script-src {runs}; "
        "base-uri 'none'; form-action 'none'"
    )
    return element(
        "head",
        element("meta", charset="utf-8"),
        element("meta", http_equiv="Content-Security-Policy", content=policy),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("meta", name="color-scheme", content="light dark"),
        element("link", rel="icon", href="data:,"),
        element("title", f"{document.info.title}: {document.title}"),
        element("style", Markup(style)),
    )


def _hash(content: str) -> str:
    return f"'sha256-{b64encode(sha256(content.encode()).digest()).decode()}'"


def _head(document: Document) -> Markup:
    entries = (
        element("div", element("dt", label), element("dd", element("bdi", text)))
        for label, text in about(document).items()
    )
    return element(
        "header",
        element("p", document.title, class_="kind"),
        element("h1", element("bdi", document.info.title), class_="name"),
        element("dl", *entries, class_="about"),
        element(
            "p",
            "Values in ruled fields can be changed. Every line that uses them is calculated again, "
            "here in this page; nothing is sent anywhere.",
            class_="invitation",
            hidden=True,
        ),
    )


def _banner() -> Markup:
    return element(
        "div",
        element(
            "p",
            element("strong", "Not the issued calculation."),
            " Values were changed in this page. ",
            element("span", id="changes"),
        ),
        element("button", "Restore the issued values", type="button", id="restore"),
        id="banner",
        role="status",
        hidden=True,
    )


def _contents(document: Document) -> Markup:
    entries = []
    for place, block in enumerate(document.blocks):
        if isinstance(block, Heading) and block.level == 1:
            entries.append((f"#part{place}", block.text))
        elif isinstance(block, Sheet):
            entries.append((f"#{place_name(block.first)}", block.result.name))
    if any(isinstance(block, Sheet) for block in document.blocks):
        entries += [("#equations", "Equations used"), ("#symbols", "Symbols")]
    links = (
        element("li", element("a", element("bdi", text), href=target)) for target, text in entries
    )
    return element("nav", element("ul", *links), id="contents", aria_label="Contents")


def _foot() -> Markup:
    items = (element("li", text) for text in CAUTIONS)
    return element("footer", element("h2", "Cautions"), element("ul", *items))


def _block(block: Block, place: int, appendix: Appendix) -> Markup:
    match block:
        case Heading(text, level):
            name = element("bdi", text)
            return element(f"h{level + 1}", name, id=f"part{place}", class_="name")
        case Paragraph(text):
            return element("p", element("bdi", text))
        case Bullets(items):
            return element("ul", *(element("li", element("bdi", item)) for item in items))
        case Grid():
            return _grid(block)
        case Picture():
            return _picture(block)
        case Sheet():
            return sheet(block, appendix)


def _grid(grid: Grid, pipes: tuple[int, ...] = ()) -> Markup:
    """A table; `pipes` are the first numbers of the pipes whose rows follow their sheets."""
    kinds = ["figure" if align == ">" else None for align in grid.align]
    head = (
        element("th", name, scope="col", class_=kind)
        for name, kind in zip(grid.columns, kinds, strict=True)
    )
    rows = (
        element(
            "tr",
            *(
                element(
                    "td" if column else "th",
                    element("bdi", cell, data_column=grid.columns[column] if pipes else None),
                    scope=None if column else "row",
                    class_=kind,
                )
                for column, (cell, kind) in enumerate(zip(row, kinds, strict=True))
            ),
            data_schedule=number,
        )
        for number, row in zip(pipes or [None] * len(grid.rows), grid.rows, strict=True)
    )
    words = " Follows the changed values: not as issued." if pipes else " As issued."
    issued = element("span", words, class_="when-changed", hidden=True)
    caption = element("caption", element("bdi", grid.caption), issued)
    table = element(
        "table",
        caption,
        element("thead", element("tr", *head)),
        element("tbody", *rows),
        class_="grid",
    )
    return element("div", table, class_="wide")


def _picture(picture: Picture) -> Markup:
    """A picture as an image of its own: nothing in it can act on the page."""
    data = b64encode(picture.svg.encode()).decode()
    return element(
        "figure",
        element("img", src=f"data:image/svg+xml;base64,{data}", alt=picture.alternative),
        element("figcaption", element("bdi", picture.caption)),
    )
