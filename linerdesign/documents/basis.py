"""The design basis, once for all pipes, and whether the owner's requirements are met."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterator, Sequence

from linerdesign.documents.answer import gathered_of
from linerdesign.documents.blocks import Block, Bullets, Grid, Heading, Paragraph
from linerdesign.documents.numbers import printed_cell
from linerdesign.documents.sheet import (
    condition_text,
    edition_text,
    evidence_text,
    inputs,
    letter,
    remark_lists,
)
from linerdesign.findings import Severity
from linerdesign.methods.method import lines_of
from linerdesign.methods.origin import Giver, Origin
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.task import InWords
from linerdesign.methods.verification import identity_of
from linerdesign.project.compliance import Requirement, requirements
from linerdesign.project.measures import Measure
from linerdesign.project.models import Resin, Station
from linerdesign.project.reading import Project
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS, MET
from linerdesign.words.documents import LABELS, SOURCES

# Letters of how a value of pipe or site is known.
_KNOWN = {"measured": "M", "plan": "P", "assumed": "A", "given": ""}
_OF_CRITERIA = "C"
# Properties of a resin, by key of its table.
_PROPERTIES = (
    "flexural_modulus",
    "modulus_retention",
    "flexural_strength",
    "strength_retention",
    "tensile_strength",
    "tensile_retention",
    "density",
    "evidence",
    "evidence_grade",
)
# Lists of remarks that other parts of the document hold.
_ELSEWHERE = (LABELS["outside"], LABELS["not_measured"])


def basis(project: Project, results: Sequence[PipeResult]) -> tuple[Block, ...]:
    """Standard, resins, values of the site, compliance, and what else was taken or found."""
    required = requirements(project, results)
    return (
        Heading(HEADS["basis"]),
        _standard(results),
        _resins(project, results),
        *_site(results),
        _compliance(required),
        *_remarks(project, results, {each.key for each in required}),
    )


def _standard(results: Sequence[PipeResult]) -> Grid:
    editions = dict.fromkeys(map(edition_text, results))
    conditions = {result.basis.condition: condition_text(result) for result in results}
    rows = [
        *((LABELS["edition"], text) for text in editions),
        (HEADS["verification"], _verification(results)),
        *conditions.items(),
    ]
    heads = (HEADS["subject"], HEADS["taken"])
    return Grid(heads, "<<", tuple(rows), sentence("calculation.standard"))


def _verification(results: Sequence[PipeResult]) -> str:
    """How many equations are known in which way."""
    verified = results[0].task.verified
    equations = dict.fromkeys(
        line.equation
        for basis in dict.fromkeys(result.basis for result in results)
        for line in lines_of(basis)
    )
    counts = Counter(letter(each, identity_of(each) in verified) for each in equations)
    known = [
        sentence("calculation.verified_count", count=counts[sign], meaning=meaning, letter=sign)
        for sign, meaning in SOURCES.values()
        if counts[sign]
    ]
    offices = dict.fromkeys(each.office for each in verified.values())
    known += [sentence("documents.verified_by", office=office) for office in offices]
    return "; ".join(known)


def _resins(project: Project, results: Sequence[PipeResult]) -> Grid:
    used = dict.fromkeys(result.resin for result in results)
    resins = [resin for resin in project.resins if resin.name in used]
    rows = [
        (Resin.rows[key].help, *(_property(resin, key, project) for resin in resins))
        for key in _PROPERTIES
    ]
    return Grid(
        columns=(HEADS["property"], *(resin.name for resin in resins)),
        align="<" + "<" * len(resins),
        rows=tuple(row for row in rows if any(cell != "-" for cell in row[1:])),
        caption=sentence("calculation.resins"),
    )


def _property(resin: Resin, key: str, project: Project) -> str:
    """As stated in the file; what a resin leaves out comes from the criteria or the default."""
    own = getattr(resin, key)
    if not isinstance(own, Measure):
        return own or "-"
    if key in resin.given:
        return printed_cell(str(own))
    of_criteria = getattr(project.criteria.defaults, key)
    known_by = _OF_CRITERIA if of_criteria else sentence("origins.program")
    return f"{of_criteria or own} ({known_by})"


def _compliance(found: Sequence[Requirement]) -> Grid:
    codes = ("requirement", "required", "source", "used", "met")
    return Grid(
        columns=tuple(HEADS[code] for code in codes),
        align="<<<<<",
        rows=tuple((*each.texts, MET[each.met]) for each in found),
        caption=sentence("calculation.compliance"),
        strong=frozenset((row, 4) for row, each in enumerate(found) if each.met is False),
    )


def _site(results: Sequence[PipeResult]) -> Iterator[Block]:
    """A row a pipe, or a station of it: its values as stated, with how each is known."""
    rows = [
        (number, result, at) for number, result in enumerate(results, 1) for at in result.stations
    ]
    cells = [dict(_stated(result, at)) for _, result, at in rows]
    keys = [key for key in SYMBOLS if any(key in each for each in cells)]
    names = [f"{number}" + (f" @ {at}" if at else "") for number, _, at in rows]
    symbols = "; ".join(f"{SYMBOLS[key].symbol} {SYMBOLS[key].meaning}" for key in keys)
    files = [_row_of(result) for _, result, _ in rows]
    last = [HEADS["row"]] if any(files) else []
    yield Grid(
        columns=(HEADS["pipe"], *(SYMBOLS[key].symbol for key in keys), *last),
        align="<" + ">" * len(keys) + "<" * len(last),
        rows=tuple(
            (name, *(each.get(key, "-") for key in keys), *([file or "-"] if last else []))
            for name, each, file in zip(names, cells, files, strict=True)
        ),
        caption=sentence("calculation.site"),
        repeat=1,
        symbols={(-1, place): key for place, key in enumerate(keys, 1)},
    )
    yield Paragraph(sentence("calculation.site_letters", symbols=symbols), tuple(keys))


def _row_of(result: PipeResult) -> str:
    """The file and row that a pipe was read from, empty where it is in the project itself."""
    origins = (each.origin for each in inputs(result) if each.origin)
    return next((each.file for each in origins if each.giver is Giver.PIPE and each.file), "")


def _stated(result: PipeResult, at: str | None) -> Iterator[tuple[str, str]]:
    known: Sequence[Step | InWords] = (*inputs(result), *result.in_words)
    for each in known:
        origin = each.origin
        if origin is None or each.station not in (None, at) or not _of_site(each.key, origin):
            continue
        mark = _KNOWN.get(origin.known_by, _OF_CRITERIA)
        yield each.key, f"{origin.stated} {mark}".strip()


def _of_site(key: str, origin: Origin) -> bool:
    """Whether a value is one of pipe and site, and not a criterion or a property."""
    return bool(origin.known_by) or (origin.by_criteria and name_of(key) in Station.rows)


def _remarks(
    project: Project, results: Sequence[PipeResult], required: Container[str]
) -> Iterator[Block]:
    """The lists of remarks that no other part holds, each item once.

    The table of compliance has the defaults of what is `required`, that of the resins their
    evidence.
    """
    of_resins = {resin.evidence for resin in project.resins}
    lists = {
        number: remark_lists(result)
        | {
            LABELS["defaults"]: [
                note.text
                for note in result.notes
                if note.severity is Severity.DEFAULT
                and dict(note.numbers).get("key") not in required
            ],
            LABELS["evidence"]: [
                evidence_text(*each) for each in result.evidence if each[1] not in of_resins
            ],
        }
        for number, result in enumerate(results, 1)
    }
    for title in lists[1]:
        if title in _ELSEWHERE:
            continue
        items = gathered_of({number: each[title] for number, each in lists.items()})
        if items:
            yield Heading(HEADS["cautions"] if title == LABELS["pipe_cautions"] else title, 2)
            yield Bullets(items)
