"""The summary of an inventory as a document and as JSON data."""

from __future__ import annotations

from typing import Any

from linerdesign.documents.blocks import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Paragraph,
    of_project,
)
from linerdesign.documents.numbers import clean
from linerdesign.project.measures import convert
from linerdesign.project.reading import Project
from linerdesign.tasks.batch.pieces import ERROR
from linerdesign.tasks.batch.summary import Summary, Total

MOST_CAUSES = 30
MOST_SIZES = 200


def inventory_report(
    project: Project, summary: Summary, hints: tuple[str, ...], units: str
) -> Document:
    """The summary in words; `hints` are about columns that were passed through unread."""
    whole = summary.total()
    project_file = f"{clean(project.file_name)}, SHA-256 {project.fingerprint}"
    blocks: list[Block] = [
        Heading("Inventory"),
        Bullets(
            (
                f"inventory: {clean(summary.file_name)}, SHA-256 {summary.fingerprint}",
                f"criteria and resins: {project_file}",
                f"rows: {summary.rows:,}",
                *(f"{name}: {count:,}" for name, count in summary.statuses.most_common() if count),
                f"length of the pipes with a thickness: {_length(whole, units)}",
                f"mass of their walls: {_mass(whole, units)}",
                *_repeated(summary),
                *like_formulas(summary),
            )
        ),
        _by_thickness(summary, units),
        _by_size(summary),
    ]
    if summary.by_governing():
        rows = tuple((name, f"{count:,}") for name, count in summary.by_governing())
        blocks.append(Grid(("governing", "pipes"), "<>", rows, "Governing equations"))
    blocks += [*_defaults(summary), *_causes(summary)]
    if hints:
        blocks += [Heading("Columns that look like keys", 2), Bullets(hints)]
    if summary.statuses[ERROR]:
        blocks.append(Paragraph("Each row in error is in the table, with the reason beside it."))
    return of_project(project, units, "Inventory of liners", blocks)


def inventory_data(summary: Summary, hints: tuple[str, ...]) -> dict[str, Any]:
    """The result of `batch`."""
    return summary.data() | {"passed_through_unread": list(hints)}


def like_formulas(summary: Summary) -> tuple[str, ...]:
    """What a spreadsheet would do to the table, where it would do anything."""
    count = summary.like_formulas
    text = (
        f"text cells that begin with = + - @ or a tab: {count:,}; a spreadsheet takes them "
        "for formulas when it opens a CSV file, in .xlsx they stay text"
    )
    return (text,) if count else ()


def _repeated(summary: Summary) -> tuple[str, ...]:
    names = summary.repeated_names()
    return (f"rows that share their name with another row: {names:,}",) if names else ()


def _by_thickness(summary: Summary, units: str) -> Grid:
    rows = tuple(
        (f"{nominal:g}", f"{each.count:,}", _length(each, units), _mass(each, units))
        for nominal, each in summary.by_thickness().items()
    )
    columns = ("nominal, mm", "pipes", "length", "mass")
    return Grid(columns, ">>>>", rows, "By nominal thickness")


def _by_size(summary: Summary) -> Grid:
    """Counts by diameter and thickness: a crossed table while it fits on a page."""
    diameters = sorted({diameter for diameter, _ in summary.sizes})
    thicknesses = sorted({nominal for _, nominal in summary.sizes})
    rows = tuple(
        (
            f"{nominal:g}",
            *(
                f"{summary.sizes[d, nominal].count:,}" if (d, nominal) in summary.sizes else ""
                for d in diameters
            ),
        )
        for nominal in thicknesses
    )
    columns = ("nominal, mm", *(summary.diameter_label(diameter) for diameter in diameters))
    if len(diameters) > 12:
        rows = tuple(
            (summary.diameter_label(d), f"{nominal:g}", f"{each.count:,}")
            for (d, nominal), each in sorted(summary.sizes.items())[:MOST_SIZES]
        )
        columns = ("diameter", "nominal, mm", "pipes")
    return Grid(columns, ">" * len(columns), rows, "Pipes by nominal thickness and diameter")


def _defaults(summary: Summary) -> list[Block]:
    """What rows rest on that nobody gave for them, by how much it matters."""
    if not summary.defaults:
        return []
    rows = tuple(
        (clean(text), f"{count:,}", "-" if share is None else f"{100 * share:.1f} %")
        for text, count, share in summary.doubts()[:MOST_CAUSES]
    )
    caption = (
        "Rows resting on defaults, and the share of the first "
        f"{summary.sampled:,} whose nominal thickness changes with a tenth more or less"
    )
    return [Grid(("default", "rows", "changed"), "<>>", rows, caption)]


def _causes(summary: Summary) -> list[Block]:
    causes = summary.causes.most_common(MOST_CAUSES)
    if not causes:
        return []
    rows = tuple((clean(text), f"{count:,}") for text, count in causes)
    return [Grid(("cause", "rows"), "<>", rows, "Errors by cause")]


def _length(total: Total, units: str) -> str:
    if not total.length:
        return "-"
    if units == "US":
        return f"{convert(total.length, 'm', 'ft'):,.0f} ft"
    return f"{total.length:,.0f} m"


def _mass(total: Total, units: str) -> str:
    """In pounds beside feet, as a comparison has it; in tonnes beside metres."""
    if not total.mass:
        return "-"
    if units == "US":
        return f"{convert(total.mass, 'kg', 'lb'):,.0f} lb"
    return f"{total.mass / 1000:,.2f} t"
