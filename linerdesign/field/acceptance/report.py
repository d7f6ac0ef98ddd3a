"""The decisions as blocks of a document and as JSON data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Grid, Heading, Paragraph
from linerdesign.documents.json import FORMAT, check_data
from linerdesign.documents.numbers import both_units, factor, in_millimetres
from linerdesign.documents.sheet import checks_grid
from linerdesign.documents.working import working_data, working_grid
from linerdesign.expressions.printing import positional
from linerdesign.field.acceptance.decision import NOT_DECIDED, THICKNESS_ALONE, AsBuilt, Decision
from linerdesign.field.acceptance.gathering import Gathered
from linerdesign.field.acceptance.rules import TEXTS
from linerdesign.field.laboratory.samples import Summary
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.measures import convert

WHAT_WOULD = "What would have to be true: all of the rule, and one for the equations"
WHAT_IS_MISSING = "What a verdict waits for"
VERDICTS = {True: "ACCEPTED", False: "NOT ACCEPTED", None: "not decided"}


def blocks(decisions: tuple[Decision, ...], gathered: Gathered) -> Iterator[Block]:
    """The verdicts first, then what each rests on, then what is not decided."""
    rule = decisions[0].rule
    text = TEXTS[rule]
    yield Heading("Acceptance of installed walls")
    apart = f"; {text.apart}" if text.apart else ""
    yield Paragraph(
        f'Rule chosen by the owner: "{rule}" ({text.source}; {text.provenance}{apart}).'
    )
    yield _verdicts(decisions)
    yield from _left_open(decisions)
    for decision in decisions:
        yield from _one(decision)
    yield from _bending(gathered, decisions[0].design.basis.system)
    yield Heading("Not decided here", 2)
    yield Bullets(NOT_DECIDED)


def data(decisions: tuple[Decision, ...], gathered: Gathered, system: str) -> dict[str, Any]:
    """The result of `accept`."""
    return {
        "format": FORMAT,
        "units": system,
        "files": list(gathered.files),
        "pipes": [_data(each, system) for each in decisions],
        "not_decided": list(NOT_DECIDED),
    }


def _verdicts(decisions: tuple[Decision, ...]) -> Grid:
    rows = []
    for each in decisions:
        found, built, system = each.installed, each.built, each.design.basis.system
        rows.append(
            (
                each.pipe,
                _verdict(each),
                positional(in_millimetres(each.design_thickness, system), 4),
                f"{found.thickness.mean:.2f}" if found.thickness else "-",
                f"{found.thickness.minimum:.2f}" if found.thickness else "-",
                f"{built.stiffness_percent:.1f}" if built else "-",
                factor(built.result.lowest_safety_factor) if built else "-",
            )
        )
    columns = ("pipe", "verdict", "design mm", "mean mm", "least mm", "E*t^3 %", "least N")
    return Grid(columns, "<<>>>>>", tuple(rows), "Verdicts")


def _verdict(decision: Decision) -> str:
    """The verdict with what a reader must not miss beside it."""
    verdict = VERDICTS[decision.accepted]
    if decision.on_thickness_alone:
        verdict += f" {THICKNESS_ALONE}"
    elif decision.accepted and decision.beside:
        verdict += f' by "{decision.rule}"'
    doubt = ("is the unit of the tests right?",) if decision.doubts else ()
    return "; ".join((verdict, *decision.beside, *doubt))


def _left_open(decisions: tuple[Decision, ...]) -> Iterator[Block]:
    """Says at the top where there is no verdict, for a glance at the table may pass it over."""
    still = [each.pipe for each in decisions if each.accepted is None and each.sampled]
    without = [each.pipe for each in decisions if not each.sampled]
    texts = []
    if still:
        texts.append(f"Nothing is decided of {', '.join(still)}; why stands under the name.")
    if without:
        texts.append(f"No sample, and so no verdict: {', '.join(without)}.")
    if texts:
        yield Paragraph(" ".join(texts))


def _one(decision: Decision) -> Iterator[Block]:
    yield Heading(f"{decision.pipe}: {_verdict(decision)}", tab=f"Wall of {decision.pipe}")
    yield Bullets((*decision.doubts, *decision.reasons))
    if decision.built is None:
        return
    yield _samples(decision)
    system = decision.design.basis.system
    yield working_grid(decision.built.stiffness, system, "Stiffness as installed over the design")
    yield checks_grid(decision.built.result)
    yield _borne(decision.built)
    if not decision.accepted:
        yield Heading(WHAT_WOULD if decision.accepted is False else WHAT_IS_MISSING, 2)
        yield Bullets(tuple(_conditions(decision, decision.built)))
    if decision.cautions:
        yield Heading("Cautions for this pipe", 2)
        yield Bullets(tuple(dict.fromkeys(decision.cautions)))


def _samples(decision: Decision) -> Grid:
    system = decision.design.basis.system
    found, stress = decision.installed, SYMBOLS["E"].unit(system)
    one = convert(1.0, "psi", stress)
    listed = (
        ("thickness, mm", found.thickness, 1.0, 4),
        (f"modulus, {stress}", found.modulus, one, 6),
        (f"strength, {stress}", found.strength, one, 5),
    )
    rows = tuple(
        (what, *_statistics(summary, scale, digits)) for what, summary, scale, digits in listed
    )
    columns = ("", "n", "mean", "n-1 deviation", "CV %", "least", "largest")
    return Grid(columns, "<>>>>>>", rows, f"Samples; thickness basis: {found.basis}")


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


def _borne(built: AsBuilt) -> Grid:
    unit = SYMBOLS["H"].unit(built.result.basis.system)

    def shown(value: float | None, unlimited: bool, designed: float | None) -> str:
        if designed is None:
            return "does not count"
        if unlimited:
            return "no limit found"
        return "none" if value is None else f"{value:.2f} {unit}"

    def depth(value: float | None) -> str:
        return "-" if value is None else f"{value:.2f} {unit}"

    rows = tuple(
        (
            each.station or "-",
            depth(each.head_designed),
            shown(each.head, each.head_unlimited, each.head_designed),
            depth(each.cover_designed),
            shown(each.cover, each.cover_unlimited, each.cover_designed),
        )
        for each in built.tolerated
    )
    columns = ("station", "head designed", "head borne", "cover designed", "cover borne")
    caption = "Borne at the design safety factor, each by itself, the other values as designed"
    return Grid(columns, "<>>>>", rows, caption)


def _conditions(decision: Decision, built: AsBuilt) -> Iterator[str]:
    """Each would do by itself for what it speaks of: the rule, or the equations."""
    system = decision.design.basis.system
    if any(each.asked for each in decision.tests):
        met = "met" if built.holds else "not met"
        yield (
            f"the unit of the bending tests: as they are read, the equations are {met}; in another "
            "unit they may say otherwise"
        )
    missing = TEXTS[decision.rule].readings - len(decision.installed.readings)
    if missing > 0:
        several = "readings" if missing > 1 else "reading"
        yield f"rule: {missing} more {several} of thickness"
    if decision.accepted is None:
        return
    for finding in decision.findings:
        if not finding.passes:
            least = f"{finding.allowed:.2f} {finding.unit}"
            yield f"rule: a {finding.what} of {least} in place of {finding.found:.2f}"
    if built.holds:
        yield (
            "equations: they hold as installed; only the rule stands against the wall, and it is "
            "the owner's to waive"
        )
    else:
        yield from _for_equations(built, system)
    if built.second is not None:
        yield (
            f"or a second liner of the design's resin inside this one: required "
            f"{both_units(built.second.required_thickness, system)}, nominal "
            f"{both_units(built.second.nominal_thickness, system)}, governed by "
            f"{built.second.governing}; the first liner is taken to carry nothing"
        )


def _for_equations(built: AsBuilt, system: str) -> Iterator[str]:
    need, unit = built.needed, SYMBOLS["E"].unit(system)
    yield f"equations: a mean thickness of {both_units(need.thickness, system)} at this modulus"
    if need.modulus is not None:
        yield (
            f"or an initial modulus of {positional(need.modulus, 6)} {unit} at this thickness, "
            "shown by more samples"
        )
    lowest = built.result.lowest_safety_factor
    unfactored = [c.equation for c in built.result.checks if not c.passes and not c.safety_factor]
    if lowest is not None and lowest >= 1 and not unfactored:
        yield f"or a safety factor of {factor(lowest)} that the owner agrees to"
    if need.ovality is not None:
        yield f"or an ovality of at most {need.ovality:.2f} %, shown by a survey"
    depth = SYMBOLS["H"].unit(system)
    for each in built.tolerated:
        at = f" at {each.station}" if each.station else ""
        if each.head is not None and each.head < (each.head_designed or 0):
            head = f"{each.head:.2f} {depth} above the invert"
            yield f"or groundwater{at} of at most {head}, as measured"
        if each.cover is not None and each.cover < (each.cover_designed or 0):
            yield f"or a cover{at} of at most {each.cover:.2f} {depth}, as measured"


def _bending(gathered: Gathered, system: str) -> Iterator[Block]:
    """What the raw records gave, specimen by specimen."""
    if gathered.bending is None:
        return
    stress = SYMBOLS["E"].unit(system)
    rows = tuple(
        (
            test.specimen or "-",
            positional(convert(test.modulus, "psi", stress), 5),
            positional(convert(test.strength, "psi", stress), 4),
            f"{100 * test.strain_at_strength:.2f}",
            f"{test.span_ratio:.1f}",
        )
        for test in gathered.bending.specimens
    )
    yield Heading("Bending tests reduced by D790", 2)
    columns = ("specimen", f"modulus, {stress}", f"strength, {stress}", "strain, %", "span/depth")
    yield Grid(columns, "<>>>>", rows)
    cautions = [f"{t.specimen}: {c}" for t in gathered.bending.specimens for c in t.cautions]
    cautions += gathered.bending.cautions
    if cautions:
        yield Bullets(tuple(cautions))


def _data(decision: Decision, system: str) -> dict[str, Any]:
    found, built = decision.installed, decision.built
    stress = SYMBOLS["E"].unit(system)
    one = convert(1.0, "psi", stress)
    result: dict[str, Any] = {
        "name": decision.pipe,
        "accepted": decision.accepted,
        "verdict": _verdict(decision),
        "rule": decision.rule,
        "design_thickness": _mm(in_millimetres(decision.design_thickness, system)),
        "mean_thickness": found.thickness and _mm(found.thickness.mean),
        "minimum_thickness": found.thickness and _mm(found.thickness.minimum),
        "thickness_basis": found.basis,
        "readings": found.thickness.count if found.thickness else 0,
        "mean_modulus": found.modulus and {"value": one * found.modulus.mean, "unit": stress},
        "modulus_deviation": (
            found.modulus
            and found.modulus.standard_deviation is not None
            and {"value": one * found.modulus.standard_deviation, "unit": stress}
        )
        or None,
        "moduli": found.modulus.count if found.modulus else 0,
        "tests": [
            {
                "what": each.what,
                "designed": {"value": each.designed, "unit": each.unit},
                "mean": {"value": each.mean, "unit": each.unit},
                "percent_of_design": each.percent,
                "count": len(each.values),
                "under_design": each.under,
            }
            for each in decision.tests
        ],
        "stiffness_percent": built.stiffness_percent if built else None,
        "reasons": list(decision.reasons),
        "cautions": list(dict.fromkeys((*decision.doubts, *decision.cautions))),
    }
    return result | (_built_data(decision, built, system) if built else {})


def _mm(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "mm"}


def _built_data(decision: Decision, built: AsBuilt, system: str) -> dict[str, Any]:
    factors: dict[str, float | None] = {}
    for check in built.result.checks:
        known = [f for f in (factors.get(check.equation), check.safety_factor) if f is not None]
        factors[check.equation] = min(known, default=None)
    second = built.second
    return {
        "rule_met": decision.rule_met,
        "equations_met": built.holds,
        "findings": [
            {
                "what": finding.what,
                "allowed": finding.allowed,
                "found": finding.found,
                "unit": finding.unit,
                "passes": finding.passes,
            }
            for finding in decision.findings
        ],
        "safety_factors": factors,
        "checks": [check_data(check, system) for check in built.result.checks],
        "stiffness": working_data(built.stiffness),
        "tolerated": [
            {
                "station": each.station,
                "unit": SYMBOLS["H"].unit(system),
                "groundwater_above_invert": each.head,
                "cover": each.cover,
            }
            for each in built.tolerated
        ],
        "needed": {
            "thickness": _mm(in_millimetres(built.needed.thickness, system)),
            "modulus": built.needed.modulus,
            "ovality_percent": built.needed.ovality,
        },
        "second_liner": second
        and {
            "required_thickness": _mm(in_millimetres(second.required_thickness, system)),
            "nominal_thickness": _mm(in_millimetres(second.nominal_thickness, system)),
            "governing": second.governing,
        },
        "conditions": [] if decision.accepted else list(_conditions(decision, built)),
    }
