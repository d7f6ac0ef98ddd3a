"""One pipe judged: by the owner's rule, and by every equation with the wall as installed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from linerdesign.documents.numbers import factor, in_millimetres
from linerdesign.expressions.tolerance import under
from linerdesign.field.acceptance.as_built import (
    Needed,
    Tolerated,
    needed,
    on_standard_datums,
    tolerated,
    with_wall,
)
from linerdesign.field.acceptance.gathering import Installed
from linerdesign.field.acceptance.rules import RULES, STIFFNESS, TEXTS, Finding, judge
from linerdesign.field.acceptance.tested import Tested, tested
from linerdesign.methods.hydraulics import liner_bore
from linerdesign.methods.laboratory import stiffness_ratio
from linerdesign.methods.lines import line
from linerdesign.methods.origin import calculated
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input, PipeTask, Station
from linerdesign.methods.working import worked
from linerdesign.project.assembly import task
from linerdesign.project.designing import designed
from linerdesign.project.faults import Fault, InputFaults
from linerdesign.project.measures import convert
from linerdesign.project.models import Pipe
from linerdesign.project.reading import Project
from linerdesign.project.requests import Acceptance

NOT_DECIDED = (
    "whether the samples stand for the whole liner: where, how and by whom they were taken",
    "the thinnest place by itself: the equations are run on the means, the least reading is for "
    "the rule alone",
    "whether modulus and thickness are on one basis: a modulus on the whole depth of a specimen "
    "belongs to a whole thickness",
    "the long-term properties: retention is the design's, no sample shows it",
    "leaks, wrinkles, lifts, cure, connections and ends",
    "what is done about a wall that is short: it is for the owner and the engineer to decide",
)

FARTHEST_THICKNESS = 2.0  # times the design; past this a unit is likelier than a wall
THICKNESS_ALONE = "on thickness alone; modulus and strength not tested"


@dataclass(frozen=True)
class AsBuilt:
    """The wall as installed in the design's equations; thicknesses in the sheet's unit.

    `stiffness` are the steps to the stiffness over the designed one. `second` is the design of
    another liner inside this one, for a wall that is not accepted.
    """

    result: PipeResult
    stiffness: tuple[Step, ...]
    tolerated: tuple[Tolerated, ...]
    needed: Needed
    second: PipeResult | None = None

    @property
    def stiffness_percent(self) -> float:
        """Stiffness as installed, in percent of the stiffness designed."""
        return self.stiffness[-1].value

    @property
    def holds(self) -> bool:
        """Whether every equation is met at the design safety factor."""
        return all(check.passes for check in self.result.checks)


@dataclass(frozen=True)
class Decision:
    """The verdict on one pipe. `accepted` is None where its samples do not suffice for one.

    `beside` is what a reader must not miss beside the verdict: why there is none, tests and
    readings under the design. `tests` are the bending tests beside the design. `doubts` are of
    tests that read like another unit; where one is far off, they stand in place of a verdict.
    """

    pipe: str
    accepted: bool | None
    rule: str
    design: PipeResult
    design_thickness: float
    installed: Installed
    findings: tuple[Finding, ...] = ()
    built: AsBuilt | None = None
    tests: tuple[Tested, ...] = ()
    beside: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def on_thickness_alone(self) -> bool:
        """Whether the wall is accepted though nothing but its thickness was tested."""
        return self.accepted is True and not self.tests

    @property
    def sampled(self) -> bool:
        """Whether there is any sample of this pipe."""
        return self.installed.thickness is not None or bool(self.tests)

    @property
    def rule_met(self) -> bool | None:
        """Whether the rule is met; None where there are too few readings for it."""
        return _rule_met(self.rule, self.installed, self.findings)


def chosen_rule(project: Project, asked: str | None) -> str:
    """The rule asked for on the command line, or else the project's.

    Raises:
        InputFaults: where neither names one: the choice is the owner's.
    """
    rule = asked or (project.acceptance.rule if project.acceptance else None)
    if rule is None:
        expected = "the owner's rule: " + ", ".join(f'"{name}"' for name in RULES)
        raise InputFaults([Fault("[acceptance], rule", "", expected)])
    return rule


def decide(project: Project, pipe: Pipe, installed: Installed, rule: str, system: str) -> Decision:
    """The verdict on one pipe, in the units of the system.

    Raises:
        InputFaults: where the pipe's values can't be together, or give no finite thickness, or the
            wall as installed gives none.
    """
    settings = project.acceptance or Acceptance()
    made = task(pipe, project.resin_of(pipe), project.criteria, system)
    result = designed(made)
    required = settings.compared_with == "required thickness"
    against = result.required_thickness if required else result.nominal_thickness
    unit = SYMBOLS["t"].unit(system)
    decision = Decision(pipe.name, None, rule, result, against, installed)
    decision = replace(decision, tests=tuple(_tests(made, installed, system)))
    decision = replace(decision, doubts=tuple(d for each in decision.tests for d in each.doubts()))
    if installed.thickness is None:
        return _without_thickness(decision)
    _refuse_impossible(result, installed)
    built = _as_built(made, result, installed, against)
    findings = judge(
        rule,
        settings,
        convert(against, unit, "mm"),
        installed.thickness.mean,
        installed.thickness.minimum,
        built.stiffness_percent,
    )
    accepted = _accepted(decision, findings, built)
    if accepted is False:
        built = replace(built, second=_second(project, pipe, built.result, system))
    decided = replace(decision, accepted=accepted, findings=findings, built=built)
    return replace(
        decided,
        beside=tuple(_beside(decided)),
        reasons=tuple(_reasons(decided)),
        cautions=tuple(_cautions(decided, built)),
    )


def _without_thickness(decision: Decision) -> Decision:
    reason = "no reading of thickness" if decision.sampled else "no sample of this pipe"
    return replace(
        decision,
        beside=(reason,),
        reasons=(f"{reason}: nothing to judge", *_shortages(decision)),
        cautions=(*decision.installed.cautions, *(c for t in decision.tests for c in t.cautions())),
    )


def _rule_met(rule: str, installed: Installed, findings: tuple[Finding, ...]) -> bool | None:
    if len(installed.readings) < TEXTS[rule].readings:
        return None
    return all(each.passes for each in findings)


def _accepted(decision: Decision, findings: tuple[Finding, ...], built: AsBuilt) -> bool | None:
    """What is under the design decides first, unless it rests on tests whose unit is asked for."""
    met = _rule_met(decision.rule, decision.installed, findings)
    if any(each.asked for each in decision.tests):
        thickness_fails = any(each.what != STIFFNESS and not each.passes for each in findings)
        return False if met is False and thickness_fails else None
    return met if built.holds else False


def _refuse_impossible(result: PipeResult, installed: Installed) -> None:
    """Readings that no wall inside this pipe can have, most often of another unit."""
    unit = SYMBOLS["D"].unit(result.basis.system)
    bores = [result.value("D", at) or result.value("D") or 0.0 for at in result.stations]
    half = convert(min(bores), unit, "mm") / 2
    assert installed.thickness is not None
    if installed.thickness.maximum >= half:
        place = f'[[pipe]] "{result.name}", samples'
        value = f"thickness {installed.thickness.maximum:g} mm"
        raise InputFaults([Fault(place, value, f"under half the host's diameter, {half:g} mm")])


def _as_built(made: PipeTask, result: PipeResult, installed: Installed, against: float) -> AsBuilt:
    system = made.basis.system
    stress, length = SYMBOLS["E"].unit(system), SYMBOLS["t"].unit(system)
    as_designed = {key: float(result.value(key) or _input(made, key)) for key in ("E", "sigma")}
    modulus, strength = (
        convert(tested.mean, "psi", stress) if tested else as_designed[key]
        for tested, key in ((installed.modulus, "E"), (installed.strength, "sigma"))
    )
    assert installed.thickness is not None
    thickness = convert(installed.thickness.mean, "mm", length)
    wall = with_wall(on_standard_datums(made), thickness, modulus, strength)
    # The sheet shows the datums as they were given; the searches need those of the standard.
    shown = designed(with_wall(made, thickness, modulus, strength))
    design, untested = calculated("as designed"), calculated("as designed: not tested")
    inputs = (
        Input("E_built", modulus, calculated("tested") if installed.modulus else untested),
        Input("t_built", thickness, calculated("mean of the readings")),
        Input("E", as_designed["E"], design),
        Input("t", against, design),
    )
    return AsBuilt(
        result=shown,
        stiffness=worked(inputs, [line(stiffness_ratio)], system),
        tolerated=tolerated(wall),
        needed=needed(wall, shown.required_thickness),
    )


def _input(made: PipeTask, key: str) -> float:
    """A value of the task that no line of its sheet reads."""
    return next(each.value for each in made.stations[0].inputs if each.key == key)


def _second(project: Project, pipe: Pipe, built: PipeResult, system: str) -> PipeResult:
    """A liner of the design's resin inside the one installed, which is taken to carry nothing."""
    free = pipe.changed({"design_thickness": None})
    made = on_standard_datums(task(free, project.resin_of(pipe), project.criteria, system))
    stations = tuple(
        Station(
            tuple(
                replace(
                    each,
                    value=liner_bore(each.value, built.nominal_thickness),
                    origin=calculated("bore of the first liner"),
                )
                if each.key == "D"
                else each
                for each in station.inputs
            ),
            station.at,
        )
        for station in made.stations
    )
    return designed(replace(made, stations=stations))


def _tests(made: PipeTask, installed: Installed, system: str) -> Iterator[Tested]:
    """The properties that were tested beside those of the design."""
    listed = (
        ("modulus", "moduli", "E", installed.moduli, installed.modulus),
        ("strength", "strengths", "sigma", installed.strengths, installed.strength),
    )
    for what, several, key, values, summary in listed:
        if summary is not None:
            unit = SYMBOLS[key].unit(system)
            yield tested(what, several, values, summary, _input(made, key), unit)


def _beside(decision: Decision) -> Iterator[str]:
    """What belongs into the line of the verdict."""
    if decision.accepted is False:
        return
    judged = len(decision.installed.readings)
    wanted = TEXTS[decision.rule].readings
    if judged < wanted:
        yield f"{judged} of the {wanted} readings that the rule is for"
    # What another unit would put right is a question of the unit, and is asked as one.
    if under := [each.headline for each in decision.tests if each.headline and not each.asked]:
        yield f"bending tests under the design: {', '.join(under)}"
    if low := _under_design(decision):
        readings = decision.installed.readings
        yield f"{low} of {len(readings)} readings under the design, least {min(readings):.2f} mm"


def _under_design(decision: Decision) -> int:
    """How many single readings are under the design, where the rule does not look at them."""
    if TEXTS[decision.rule].judges_least:
        return 0
    design = in_millimetres(decision.design_thickness, decision.design.basis.system)
    return sum(bool(under(each, design)) for each in decision.installed.readings)


def _reasons(decision: Decision) -> Iterator[str]:
    built = decision.built
    assert built is not None
    for each in decision.findings:
        words = f"{each.what} {each.found:.2f} {each.unit}, asked for {each.text}"
        yield f"{words}: met" if each.passes else f"{words}: SHORT by {each.missing}"
    for check in built.result.checks:
        if not check.passes:
            at = f" at {check.station}" if check.station else ""
            safety = check.safety_factor
            provided = f": safety factor provided {factor(safety)}" if safety is not None else ""
            yield f"{check.equation}{at} is not met by the wall as installed{provided}"
    if built.holds:
        lowest = built.result.lowest_safety_factor
        words = f", least safety factor {factor(lowest)}" if lowest is not None else ""
        yield f"every equation is met by the wall as installed{words}"
    yield from _shortages(decision)
    if decision.on_thickness_alone:
        yield f"accepted {THICKNESS_ALONE}"


def _shortages(decision: Decision) -> Iterator[str]:
    for each in decision.tests:
        yield from each.shortage()


def _cautions(decision: Decision, built: AsBuilt) -> Iterator[str]:
    installed, text = decision.installed, TEXTS[decision.rule]
    yield from installed.cautions
    share = built.stiffness[1].value / built.stiffness[3].value
    if not 1 / FARTHEST_THICKNESS <= share <= FARTHEST_THICKNESS:
        yield f"the mean thickness is {share:.2f} times the design: check the unit of the readings"
    count = len(installed.readings)
    if count < text.readings:
        there = f"there is {count}" if count == 1 else f"there are {count}"
        yield f"the rule is for the mean of {text.readings} readings; {there}"
    if low := _under_design(decision):
        design = in_millimetres(decision.design_thickness, decision.design.basis.system)
        yield (
            f"{low} of {count} readings under the {design:.2f} mm of the design, the least "
            f"{min(installed.readings):.2f} mm: the rule does not look at single readings"
        )
    if text.remark:
        yield text.remark
    if installed.modulus is None:
        yield "no bending test: the modulus is taken as designed, and is not shown to be there"
    for each in decision.tests:
        yield from each.cautions()
    if installed.strength is None:
        yield "no strength by test: the strength is taken as designed"
    yield from (note.text for note in built.result.notes if note.severity.value != "default")
