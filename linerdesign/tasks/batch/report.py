"""The summary of an inventory as a document and as JSON data."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
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
from linerdesign.project.identity import FileRead
from linerdesign.project.measures import convert
from linerdesign.project.reading import Project
from linerdesign.tasks.batch.outliers import MOST_WALL
from linerdesign.tasks.batch.pieces import ERROR, STATUSES
from linerdesign.tasks.batch.summary import KINDS, Summary, Total
from linerdesign.tasks.compare.remarks import grades_legend, marked
from linerdesign.words import heads_of, of_area, sentence

MOST_DEFAULTS, MOST_FINDINGS, MOST_SIZES, MOST_PARTS = 30, 200, 200, 200
# What becomes of a pipe against an earlier result, and the code of its sentence.
CHANGES = {
    "thicker": "thicker",
    "thinner": "thinner",
    "same": "same",
    "status": "status_changed",
    "new": "new",
    "gone": "gone",
    "repeated": "repeated_name",
}

_said = of_area("inventory")


def inventory_report(
    project: Project, summary: Summary, hints: tuple[str, ...], units: str
) -> Document:
    """The summary in words; `hints` are about columns that were passed through unread."""
    blocks: list[Block] = [
        Heading(_said("heading")),
        Bullets(tuple(_facts(project, summary, units))),
        *([summary.map.block] if summary.map else []),
        *_findings(summary),
        *(grid for column in summary.parts for grid in _by_column(project, summary, column, units)),
        *_against(summary),
        _by_thickness(summary, units),
        _by_size(summary),
    ]
    if summary.by_governing():
        rows = tuple((name, f"{count:,}") for name, count in summary.by_governing())
        blocks.append(Grid(heads_of("inventory.governing"), "<>", rows, _said("by_governing")))
    blocks += _defaults(summary)
    if hints:
        blocks += [Heading(_said("hints"), 2), Bullets(hints)]
    if summary.statuses[ERROR]:
        blocks.append(Paragraph(_said("errors")))
    read = FileRead("inventory", summary.file_name, summary.fingerprint)
    return of_project(project, units, _said("title"), blocks, readings=(read,))


def inventory_data(summary: Summary, hints: tuple[str, ...]) -> dict[str, Any]:
    """The result of `batch`."""
    data = summary.data() | {"passed_through_unread": list(hints)}
    if (wishes := summary.uncertainty) is not None:
        about = {"uncertainties": wishes.which, "seed": wishes.seed}
        counts = {"confidence": wishes.confidence, "rows_under_confidence": summary.unsure}
        data["uncertainty"] = about | counts
    return data


def like_formulas(summary: Summary) -> tuple[str, ...]:
    """What a spreadsheet would do to the table, where it would do anything."""
    count = summary.like_formulas
    return (_said("formulas", count=f"{count:,}"),) if count else ()


def _facts(project: Project, summary: Summary, units: str) -> list[str]:
    whole, repeated = summary.total(), summary.repeated_names.rows
    return [
        _said("of_file", file=clean(summary.file_name), sha=summary.fingerprint),
        *map(clean, summary.remarks),
        _said("of_project", file=clean(project.file_name), sha=project.fingerprint),
        _said("rows", count=f"{summary.rows:,}"),
        *(
            _said("status", status=status, count=f"{count:,}")
            for status, count in summary.statuses.most_common()
            if count
        ),
        _said("length", length=_length(whole, units)),
        _said("mass", mass=_mass(whole, units)),
        *_thick_walls(summary, units),
        *([_said("repeated", count=f"{repeated:,}")] if repeated else []),
        *_uncertainty(summary),
        *like_formulas(summary),
    ]


def _thick_walls(summary: Summary, units: str) -> Iterator[str]:
    """What the totals hold of walls so thick that their inputs are doubtful."""
    thick = summary.total(MOST_WALL)
    if thick.count:
        figures = {"length": _length(thick, units), "mass": _mass(thick, units)}
        yield _said("thick_walls", most=f"{MOST_WALL:g}", count=f"{thick.count:,}", **figures)


def _uncertainty(summary: Summary) -> Iterator[str]:
    """What the uncertainty of the inputs does, where that is wished for."""
    wishes = summary.uncertainty
    if wishes is None:
        return
    from linerdesign.tasks.batch.chances import MOST, TOLERANCE
    from linerdesign.tasks.uncertainty.sampling import SCRAMBLES

    yield sentence(
        "uncertainty.batch",
        confidence=100 * wishes.confidence,
        rows=summary.unsure,
        most=MOST * SCRAMBLES,
        tolerance=100 * TOLERANCE,
        seed=wishes.seed,
    )
    yield sentence("uncertainty.batch_alone")
    yield sentence("uncertainty.no_model")


def _findings(summary: Summary) -> list[Block]:
    """All that is said of rows, with the first of them."""
    found = summary.findings
    if not found:
        return []
    rows = tuple(
        (kind, clean(text), f"{count.rows:,}", ", ".join(map(str, count.examples)))
        for kind, text, count in found[:MOST_FINDINGS]
    )
    if len(found) > MOST_FINDINGS:
        rows += (("", _said("rows", count=f"{len(found) - MOST_FINDINGS:,} more"), "", ""),)
    grid = Grid(heads_of("inventory.findings"), "<<><", rows, _said("findings"))
    return [grid, Paragraph(_said("finding_rows"))]


def _by_column(project: Project, summary: Summary, column: str, units: str) -> list[Block]:
    """Counts and totals by the values of a column; resins have the letter of their evidence."""
    parts = summary.parts[column]
    graded = {each.name: marked(each) for each in project.resins}
    of_resins = bool(parts.keys() & graded.keys()) and parts.keys() <= {"", *graded}
    # The kinds of findings that are statuses too are counted once.
    kinds = [kind for kind in KINDS if kind not in (*STATUSES, "failure")]
    statuses = [s for s in STATUSES if any(part.statuses[s] for part in parts.values())]
    kinds = [kind for kind in kinds if any(part.said[kind] for part in parts.values())]
    rows = tuple(
        (
            clean(graded.get(name, "") if of_resins else name) or _said("blank"),
            *(f"{part.statuses[status]:,}" for status in statuses),
            *(f"{part.said[kind]:,}" for kind in kinds),
            _length(part, units),
            _mass(part, units),
        )
        for name, part in sorted(parts.items())[:MOST_PARTS]
    )
    columns = (clean(column), *statuses, *kinds, *heads_of("inventory.parts"))
    align = "<" + ">" * (len(columns) - 1)
    grid = Grid(columns, align, rows, _said("by", column=clean(column)))
    legend = sentence("compare.evidence_legend", legend=grades_legend())
    return [grid, Bullets((legend,))] if of_resins else [grid]


def _against(summary: Summary) -> list[Block]:
    if summary.against is None:
        return []
    data = summary.against.data()
    rows = tuple(
        (_said(code), f"{data[change]['pipes']:,}", ", ".join(map(clean, data[change]["examples"])))
        for change, code in CHANGES.items()
    )
    caption = _said("against", file=clean(summary.against.file_name))
    blocks: list[Block] = [Grid(heads_of("inventory.apart"), "<><", rows, caption)]
    if data["thicknesses"]:
        sizes = tuple(
            (f"{each['from']:g}", f"{each['to']:g}", f"{each['pipes']:,}")
            for each in data["thicknesses"][:MOST_SIZES]
        )
        columns = heads_of("inventory.bands")
        blocks.append(Grid(columns, ">>>", sizes, _said("changes")))
    return blocks


def _walls(summary: Summary) -> dict[tuple[float, str], Total]:
    """Totals by diameter and wall, all walls over the usual ones together."""
    found: defaultdict[tuple[float, str], Total] = defaultdict(Total)
    for (diameter, nominal), each in sorted(summary.sizes.items(), key=lambda item: item[0][1]):
        over = nominal > MOST_WALL
        wall = _said("over", most=f"{MOST_WALL:g}") if over else f"{nominal:g}"
        found[diameter, wall].add(each.count, each.length, each.mass)
    return found


def _by_thickness(summary: Summary, units: str) -> Grid:
    found: defaultdict[str, Total] = defaultdict(Total)
    for (_, wall), each in _walls(summary).items():
        found[wall].add(each.count, each.length, each.mass)
    rows = tuple(
        (wall, f"{each.count:,}", _length(each, units), _mass(each, units))
        for wall, each in found.items()
    )
    return Grid(heads_of("inventory.walls"), ">>>>", rows, _said("by_thickness"))


def _by_size(summary: Summary) -> Grid:
    """Counts by diameter and thickness: a crossed table while it fits on a page."""
    sizes = _walls(summary)
    diameters = sorted({diameter for diameter, _ in sizes})
    walls = dict.fromkeys(wall for _, wall in sizes)
    rows = tuple(
        (wall, *(f"{sizes[d, wall].count:,}" if (d, wall) in sizes else "" for d in diameters))
        for wall in walls
    )
    columns = (*heads_of("inventory.crossed"), *map(summary.diameter_label, diameters))
    if len(diameters) > 12:
        rows = tuple(
            (summary.diameter_label(d), wall, f"{each.count:,}")
            for (d, wall), each in sorted(sizes.items(), key=lambda item: item[0][0])[:MOST_SIZES]
        )
        columns = heads_of("inventory.sizes")
    return Grid(columns, ">" * len(columns), rows, _said("by_size"))


def _defaults(summary: Summary) -> list[Block]:
    """What rows rest on that nobody gave for them, by how much it matters."""
    if not summary.defaults:
        return []
    rows = tuple(
        (clean(text), f"{count:,}", "-" if share is None else f"{100 * share:.1f} %")
        for text, count, share in summary.uncertain()[:MOST_DEFAULTS]
    )
    caption = _said("defaults", sampled=f"{summary.sampled:,}")
    return [Grid(heads_of("inventory.defaults"), "<>>", rows, caption)]


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
