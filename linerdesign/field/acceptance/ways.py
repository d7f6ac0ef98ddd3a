"""What would make a wall acceptable: every rule item, and one of the equation items."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from linerdesign.documents.numbers import both_units, factor
from linerdesign.field.acceptance.decision import CODES, AsBuilt, Decision
from linerdesign.field.acceptance.verdict import stress
from linerdesign.findings import Finding, finding
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.words import sentence


def ways(decision: Decision) -> Iterator[Finding]:
    """What is missing for acceptance, each item with its number; nothing for an accepted wall."""
    for each in decision.undecided:
        yield finding("field.way_open", what=each.what, why=each.open.said if each.open else "")
    short = [each for each in decision.shortfalls if each.by_rule]
    for each in short:
        assert each.required is not None
        assert each.found is not None
        required, found = each.with_unit(each.required), each.with_unit(each.found)
        yield finding("field.way_rule", what=each.what, required=required, found=found)
    if decision.built is None:
        return
    if decision.equations_met:
        if short:
            yield finding("field.way_waive")
        return
    yield from _of_equations(decision, decision.built)
    second, system = decision.built.second, decision.built.least.basis.system
    yield finding(
        "field.way_second",
        required=both_units(second.required_thickness, system),
        nominal=both_units(second.nominal_thickness, system),
        governing=second.governing,
    )


def _of_equations(decision: Decision, built: AsBuilt) -> Iterator[Finding]:
    """Single changes, each of which makes every equation pass."""
    need, system = built.carried.needed, built.least.basis.system
    yield finding("field.way_thickness", thickness=both_units(need.thickness, system))
    tests = {each.key: each for each in decision.tests}
    for key, value in need.properties.items():
        if value is None:
            continue
        about: dict[str, Any] = {
            "what": sentence(f"field.property_{CODES[key]}"),
            "value": stress(value),
            "unit": SYMBOLS[key].unit(system),
        }
        if key in tests and not tests[key].unit_in_question and tests[key].mean >= value:
            yield finding("field.way_property_tested", mean=stress(tests[key].mean), **about)
        else:
            yield finding("field.way_property", **about)
    lowest = built.least.lowest_safety_factor
    unfactored = [c for c in built.least.checks if not c.passes and not c.safety_factor]
    if lowest is not None and lowest >= 1 and not unfactored:
        yield finding("field.way_factor", factor=factor(lowest))
    if need.retention is not None and need.life_years is not None:
        yield finding("field.way_life", retention=need.retention, years=need.life_years)
    if need.ovality is not None:
        yield finding("field.way_ovality", ovality=need.ovality)
    yield from _of_ground(built)


def _of_ground(built: AsBuilt) -> Iterator[Finding]:
    """Head and cover that the least wall carries, where one station alone is short."""
    short = {check.station for check in built.least.checks if not check.passes}
    if len(short) != 1:
        return
    (each,) = (each for each in built.carried.tolerated if each.station in short)
    at = sentence("field.at_station", station=each.station) if each.station else ""
    unit = SYMBOLS["H"].unit(built.least.basis.system)
    for code, found in (("head", each.head), ("cover", each.cover)):
        if found and found.value is not None and found.value < found.designed:
            about: dict[str, Any] = {code: found.value, "unit": unit, "at": at}
            yield finding(f"field.way_{code}", **about)
