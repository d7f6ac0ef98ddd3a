"""The decisions as blocks of a document and as JSON data."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from linerdesign.documents import thin_wall
from linerdesign.documents.blocks import Block, Bullets, Grid, Heading, Paragraph
from linerdesign.documents.json import FORMAT, amount, check_data, millimetres, picked
from linerdesign.documents.numbers import factor, in_millimetres
from linerdesign.documents.sheet import checks_grid
from linerdesign.documents.working import working_data, working_grid
from linerdesign.expressions.printing import positional
from linerdesign.field.acceptance.decision import NOT_DECIDED, AsBuilt, Decision
from linerdesign.field.acceptance.gathering import Gathered, Reading
from linerdesign.field.acceptance.rules import TEXTS
from linerdesign.field.acceptance.verdict import Verdict
from linerdesign.field.acceptance.ways import ways
from linerdesign.field.laboratory.samples import Summary, summarise
from linerdesign.findings import Severity
from linerdesign.methods.method import standard
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.measures import convert
from linerdesign.words import heads_of, sentence
from linerdesign.words.documents import LABELS

VERDICTS = {True: "accepted", False: "not_accepted", None: "not_decided"}
MOST_ITEMS = 3  # named in the line of a verdict
LIMITS = tuple(sentence(f"field.limit_{code}") for code in NOT_DECIDED)


def blocks(decisions: tuple[Decision, ...], gathered: Gathered, minimums: str) -> Iterator[Block]:
    """The verdicts first, then what each rests on, then the limits of the acceptance."""
    counts = Counter(each.accepted for each in decisions)
    counted = (
        sentence(f"field.count_{VERDICTS[verdict]}", count=counts[verdict])
        for verdict in (False, None, True)
        if counts[verdict]
    )
    yield Heading(sentence("field.acceptance_title", counts=", ".join(counted)))
    yield _verdicts(decisions)
    rule = decisions[0].rule
    text, specified = TEXTS[rule], standard().specifications[minimums]
    yield Paragraph(
        sentence(
            "field.acceptance_rule",
            rule=rule,
            source=text.source,
            provenance=text.provenance,
            apart=sentence(text.apart) if text.apart else "",
            minimum=specified.source,
            minimum_provenance=specified.provenance,
        )
    )
    for decision in decisions:
        yield from _one(decision)
    yield from _bending(gathered, decisions[0].design.basis.system)
    yield Heading(sentence("field.acceptance_limits"), 2)
    yield Bullets(LIMITS)


def data(decisions: tuple[Decision, ...], system: str) -> dict[str, Any]:
    """The result of `accept`."""
    return {
        "format": FORMAT,
        "units": system,
        "pipes": [_data(each, system) for each in decisions],
        "not_decided": list(LIMITS),
    }


def _verdicts(decisions: tuple[Decision, ...]) -> Grid:
    rows = []
    for each in decisions:
        found, built, system = each.installed, each.built, each.design.basis.system
        rows.append(
            (
                each.pipe,
                verdict_line(each),
                positional(in_millimetres(each.design_thickness, system), 4),
                f"{found.thickness.mean:.2f}" if found.thickness else "-",
                f"{found.thickness.minimum:.2f}" if found.thickness else "-",
                f"{built.stiffness_percent:.1f}" if built else "-",
                factor(built.least.lowest_safety_factor) if built else "-",
            )
        )
    return Grid(heads_of("field.verdicts"), "<<>>>>>", tuple(rows), sentence("field.verdicts"))


def verdict_line(decision: Decision) -> str:
    """The verdict with the requirements that are not met, or not decided."""
    verdict = sentence(f"field.{VERDICTS[decision.accepted]}")
    items = [sentence("field.short", what=v.what, missing=v.missing) for v in decision.shortfalls]
    code = "field.open" if decision.shortfalls else "field.open_alone"
    items += [sentence(code, what=each.what) for each in decision.undecided]
    if not items:
        return verdict
    named, rest = "; ".join(items[:MOST_ITEMS]), len(items) - MOST_ITEMS
    if rest > 0:
        named = sentence("field.more_items", items=named, count=rest)
    return sentence("field.verdict_with", verdict=verdict, items=named)


def _one(decision: Decision) -> Iterator[Block]:
    short = sentence(f"field.{VERDICTS[decision.accepted]}")
    yield Heading(f"{decision.pipe}: {short}", tab=sentence("field.wall_of", pipe=decision.pipe))
    yield _requirements(decision)
    found = tuple(each.said for each in ways(decision))
    if found:
        code = "ways_title" if decision.accepted is False else "open_title"
        yield Heading(sentence(f"field.{code}"), 2)
        yield Bullets(found)
    cautions = tuple(dict.fromkeys(_cautions(decision)))
    if cautions:
        yield Heading(LABELS["pipe_cautions"], 2)
        yield Bullets(cautions)
    if decision.built is None:
        return
    yield _samples(decision)
    yield from _places(decision, decision.built)
    system = decision.design.basis.system
    stiffness = sentence("field.stiffness_as_installed")
    yield working_grid(decision.built.stiffness, system, stiffness)
    least, mean = checks_grid(decision.built.least), checks_grid(decision.built.mean)
    yield least
    if mean != least:
        yield mean
    yield from thin_wall.blocks(decision.built.carried, decision.equations_met is False)


def _requirements(decision: Decision) -> Grid:
    rows = tuple(
        (
            each.what,
            *("-" if v is None else each.with_unit(v) for v in (each.required, each.found)),
            _said(each),
        )
        for each in decision.verdicts
    )
    return Grid(heads_of("field.requirements"), "<>><", rows, sentence("field.requirements_table"))


def _said(verdict: Verdict) -> str:
    if verdict.passes is None:
        why = f": {verdict.open.said}" if verdict.open else ""
        return sentence("field.verdict_undecided") + why
    if verdict.passes or verdict.required is None or verdict.found is None:
        return sentence("field.verdict_met")
    return sentence("field.verdict_below", missing=verdict.missing)


def _cautions(decision: Decision) -> Iterator[str]:
    yield from (each.said for each in (*decision.doubts, *decision.cautions))
    if decision.built is not None:
        notes = decision.built.least.notes
        yield from (note.text for note in notes if note.severity is not Severity.DEFAULT)


def _samples(decision: Decision) -> Grid:
    system = decision.design.basis.system
    stress_unit = SYMBOLS["E"].unit(system)
    one = convert(1.0, "psi", stress_unit)
    thickness = (
        sentence("field.thickness_row"),
        *_statistics(decision.installed.thickness, 1.0, 4),
    )
    tests = (
        (f"{each.what}, {each.unit}", *_statistics(decision.installed.summary(each.key), one, 5))
        for each in decision.tests
    )
    caption = sentence("field.samples_table", basis=decision.installed.basis)
    return Grid(heads_of("field.statistics"), "<>>>>>>", (thickness, *tests), caption)


def _statistics(summary: Summary | None, scale: float, digits: int) -> tuple[str, ...]:
    if summary is None:
        return ("0", "-", "-", "-", "-", "-")
    deviation, variation = summary.standard_deviation, summary.coefficient_of_variation
    return (
        str(summary.count),
        positional(scale * summary.mean, digits),
        "-" if deviation is None else positional(scale * deviation, digits),
        "-" if variation is None else f"{variation:.1f}",
        positional(scale * summary.minimum, digits),
        positional(scale * summary.maximum, digits),
    )


def by_place(readings: tuple[Reading, ...]) -> dict[str, Summary]:
    """Statistics of the readings at each place, in order of appearance; lengths in mm."""
    places: dict[str, list[float]] = {}
    for each in readings:
        places.setdefault(each.place, []).append(each.thickness)
    return {place: summarise(values) for place, values in places.items()}


def _places(decision: Decision, built: AsBuilt) -> Iterator[Block]:
    places = by_place(decision.installed.readings)
    if not any(places):
        return
    required = in_millimetres(built.least.required_thickness, built.least.basis.system)
    rows = tuple(
        (
            place or sentence("field.place_not_stated"),
            str(found.count),
            f"{found.mean:.2f}",
            f"{found.minimum:.2f}",
            f"{required:.2f}",
            f"{found.minimum - required:+.2f}",
        )
        for place, found in places.items()
    )
    yield Grid(heads_of("field.places"), "<>>>>>", rows, sentence("field.places_table"))


def _bending(gathered: Gathered, system: str) -> Iterator[Block]:
    """The reduced bending records, specimen by specimen."""
    if gathered.bending is None:
        return
    unit = SYMBOLS["E"].unit(system)
    rows = tuple(
        (
            test.specimen or "-",
            positional(convert(test.modulus, "psi", unit), 5),
            positional(convert(test.strength, "psi", unit), 4),
            f"{100 * test.strain_at_strength:.2f}",
            f"{test.span_ratio:.1f}",
        )
        for test in gathered.bending.specimens
    )
    yield Heading(sentence("field.bending_title"), 2)
    yield Grid(heads_of("field.specimens", unit=unit), "<>>>>", rows)
    cautions = [f"{t.specimen}: {c}" for t in gathered.bending.specimens for c in t.cautions]
    cautions += gathered.bending.cautions
    if cautions:
        yield Bullets(tuple(cautions))


def _data(decision: Decision, system: str) -> dict[str, Any]:
    found, built = decision.installed, decision.built
    unit = SYMBOLS["E"].unit(system)
    modulus = found.summary("E")
    deviation = modulus and modulus.standard_deviation
    stressed = convert(1.0, "psi", unit)
    result: dict[str, Any] = {
        "name": decision.pipe,
        "accepted": decision.accepted,
        "verdict": verdict_line(decision),
        "shortfalls": [_verdict_data(each) for each in decision.shortfalls],
        "undecided": [each.text for each in decision.undecided],
        "requirements": [_verdict_data(each) for each in decision.verdicts],
        **picked(decision, "rule", "rule_met", "equations_met"),
        "design_thickness": millimetres(decision.design_thickness, system),
        "mean_thickness": found.thickness and amount(found.thickness.mean, "mm"),
        "minimum_thickness": found.thickness and amount(found.thickness.minimum, "mm"),
        "thickness_basis": found.basis,
        "readings": len(found.readings),
        "mean_modulus": modulus and amount(stressed * modulus.mean, unit),
        "modulus_deviation": deviation and amount(stressed * deviation, unit),
        "moduli": modulus.count if modulus else 0,
        "tests": [
            {
                "what": each.code,
                "designed": amount(each.designed, each.unit),
                "mean": amount(each.mean, each.unit),
                "percent_of_design": each.percent,
                "count": len(each.values),
                "under_design": each.under,
            }
            for each in decision.tests
        ],
        "stiffness_percent": built.stiffness_percent if built else None,
        "reasons": [each.text for each in decision.verdicts],
        "cautions": list(dict.fromkeys(_cautions(decision))),
        "conditions": [each.said for each in ways(decision)],
    }
    return result | (_built_data(decision, built, system) if built else {})


def _verdict_data(verdict: Verdict) -> dict[str, Any]:
    return picked(verdict, "what", "required", "found", "unit", "passes", "place", "code")


def _factors(result: PipeResult) -> dict[str, float | None]:
    """The lowest safety factor of each equation at any station; None for one without a factor."""
    factors: dict[str, float | None] = {}
    for check in result.checks:
        known = [f for f in (factors.get(check.equation), check.safety_factor) if f is not None]
        factors[check.equation] = min(known, default=None)
    return factors


def _built_data(decision: Decision, built: AsBuilt, system: str) -> dict[str, Any]:
    second, needed = built.second if decision.accepted is False else None, built.carried.needed
    return {
        "safety_factors": _factors(built.mean),
        "checks": [check_data(check, system) for check in built.mean.checks],
        "least_wall": {
            "safety_factors": _factors(built.least),
            "checks": [check_data(check, system) for check in built.least.checks],
        },
        "stiffness": working_data(built.stiffness),
        "places": [
            {
                "place": place,
                "readings": found.count,
                "mean_thickness": amount(found.mean, "mm"),
                "minimum_thickness": amount(found.minimum, "mm"),
            }
            for place, found in by_place(decision.installed.readings).items()
        ],
        "tolerated": thin_wall.data(built.carried),
        "needed": {
            "thickness": millimetres(needed.thickness, system),
            "modulus": needed.modulus,
            "ovality_percent": needed.ovality,
            "modulus_retention_percent": needed.retention,
            "life_years": needed.life_years,
            "strength": needed.properties.get("sigma"),
            "tensile_strength": needed.properties.get("sigma_T"),
        },
        "second_liner": second
        and {
            "required_thickness": millimetres(second.required_thickness, system),
            "nominal_thickness": millimetres(second.nominal_thickness, system),
            "governing": second.governing,
        },
    }
