"""One pipe judged: by the owner's rule, and by every equation with the wall as installed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from linerdesign.acceptance.as_built import (
    Needed,
    Tolerated,
    needed,
    on_standard_datums,
    tolerated,
    with_wall,
)
from linerdesign.acceptance.gathering import Installed
from linerdesign.acceptance.rules import RULES, SAME, TEXTS, Finding, judge
from linerdesign.design.lines import line
from linerdesign.design.result import Input, PipeResult, Step
from linerdesign.design.sizing import PipeTask, Station, design
from linerdesign.design.working import worked
from linerdesign.equations.laboratory import stiffness_ratio
from linerdesign.equations.symbols import SYMBOLS
from linerdesign.outputs.numbers import factor
from linerdesign.project.assembly import task
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


MOST_OVER_DESIGN = 2.0  # times the design; past this a unit is likelier than a wall
MOST_VARIATION = 30.0  # percent of the mean; past this too
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

    `doubts` are of tests that read like another unit: said beside the verdict, which they leave.
    """

    pipe: str
    accepted: bool | None
    rule: str
    design: PipeResult
    design_thickness: float
    installed: Installed
    findings: tuple[Finding, ...] = ()
    built: AsBuilt | None = None
    reasons: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def on_thickness_alone(self) -> bool:
        """Whether the wall is accepted though nothing but its thickness was tested."""
        tested = self.installed.modulus or self.installed.strength
        return self.accepted is True and not tested


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
        InputFaults: where the pipe's values can't be together.
        ArithmeticError: where they give no finite thickness, or the wall as installed none.
    """
    settings = project.acceptance or Acceptance()
    made = task(pipe, project.resin_of(pipe), project.criteria, system)
    result = design(made)
    required = settings.compared_with == "required thickness"
    against = result.required_thickness if required else result.nominal_thickness
    unit = SYMBOLS["t"].unit(system)
    decision = Decision(pipe.name, None, rule, result, against, installed)
    if installed.thickness is None:
        reason = "no reading of thickness: nothing to judge"
        return replace(decision, reasons=(reason,), cautions=installed.cautions)
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
    accepted = built.holds and all(each.passes for each in findings)
    if not accepted:
        built = replace(built, second=_second(project, pipe, built.result, system))
    decided = replace(decision, accepted=accepted, findings=findings, built=built)
    alone = (f"accepted {THICKNESS_ALONE}",) if decided.on_thickness_alone else ()
    return replace(
        decided,
        reasons=(*_reasons(findings, built), *alone),
        doubts=tuple(_doubts(made, installed, system)),
        cautions=tuple(_cautions(rule, installed, built, project, pipe)),
    )


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
    designed = {key: float(result.value(key) or _input(made, key)) for key in ("E", "sigma")}
    modulus, strength = (
        convert(tested.mean, "psi", stress) if tested else designed[key]
        for tested, key in ((installed.modulus, "E"), (installed.strength, "sigma"))
    )
    assert installed.thickness is not None
    thickness = convert(installed.thickness.mean, "mm", length)
    wall = with_wall(on_standard_datums(made), thickness, modulus, strength)
    # The sheet shows the datums as they were given; the searches need those of the standard.
    shown = design(with_wall(made, thickness, modulus, strength))
    inputs = (
        Input("E_built", modulus, "tested" if installed.modulus else "as designed: not tested"),
        Input("t_built", thickness, "mean of the readings"),
        Input("E", designed["E"], "as designed"),
        Input("t", against, "as designed"),
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
    free = pipe.model_copy(update={"design_thickness": None})
    made = on_standard_datums(task(free, project.resin_of(pipe), project.criteria, system))
    wall = 2 * built.nominal_thickness
    stations = tuple(
        Station(
            tuple(
                replace(each, value=each.value - wall, origin="bore of the first liner", stated="")
                if each.key == "D"
                else each
                for each in station.inputs
            ),
            station.at,
        )
        for station in made.stations
    )
    return design(replace(made, stations=stations))


def _reasons(findings: tuple[Finding, ...], built: AsBuilt) -> Iterator[str]:
    for each in findings:
        words = f"{each.what} {each.found:.2f} {each.unit}, asked for {each.text}"
        yield f"{words}: met" if each.passes else f"{words}: SHORT by {each.short:.2f} {each.unit}"
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


def _doubts(made: PipeTask, installed: Installed, system: str) -> Iterator[str]:
    """Tests far over the design or far apart: common practice, no source."""
    tests = (("modulus", "E", installed.modulus), ("strength", "sigma", installed.strength))
    for what, key, tested in tests:
        if tested is None:
            continue
        unit = SYMBOLS[key].unit(system)
        designed, largest = _input(made, key), convert(tested.maximum, "psi", unit)
        if largest > MOST_OVER_DESIGN * designed:
            yield (
                f"largest {what} {largest:,.0f} {unit}, {largest / designed:.1f} times the "
                f"{designed:,.0f} {unit} of the design: is the unit right?"
            )
        variation = tested.coefficient_of_variation
        if variation is not None and variation > MOST_VARIATION:
            yield (
                f"coefficient of variation of the {what} {variation:.0f} %, over "
                f"{MOST_VARIATION:g} %: is the unit right?"
            )


def _cautions(
    rule: str, installed: Installed, built: AsBuilt, project: Project, pipe: Pipe
) -> Iterator[str]:
    yield from installed.cautions
    text = TEXTS[rule]
    assert installed.thickness is not None
    share = built.stiffness[1].value / built.stiffness[3].value
    if not 0.5 <= share <= MOST_OVER_DESIGN:
        yield f"the mean thickness is {share:.2f} times the design: check the unit of the readings"
    if installed.thickness.count < text.readings:
        yield (
            f"the rule is for the mean of {text.readings} readings; "
            f"there are {installed.thickness.count}"
        )
    if text.remark:
        yield text.remark
    if installed.modulus is None:
        yield "no bending test: the modulus is taken as designed, and is not shown to be there"
    else:
        unit = SYMBOLS["E"].unit(built.result.basis.system)
        least = project.resin_of(pipe).flexural_modulus
        low = sum(value < least.to("psi") * (1 - SAME) for value in installed.moduli)
        if low:
            mean = convert(installed.modulus.mean, "psi", unit)
            yield (
                f"{low} of {installed.modulus.count} moduli under the {least.to(unit):,.0f} {unit} "
                f"of the design; their mean is {mean:,.0f} {unit}"
            )
    if installed.strength is None:
        yield "no strength by test: the strength is taken as designed"
    yield from (note.text for note in built.result.notes if note.severity.value != "default")
