"""One pipe judged: every property that its design uses, and every equation as installed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from linerdesign.documents.numbers import in_millimetres
from linerdesign.expressions.tolerance import at_least, under
from linerdesign.field.acceptance.gathering import Installed, Reading
from linerdesign.field.acceptance.rules import RULES, TEXTS, judge
from linerdesign.field.acceptance.tested import Tested, tested
from linerdesign.field.acceptance.verdict import MILLIMETRES, Verdict, outcome
from linerdesign.findings import Finding, finding
from linerdesign.methods.basis import Basis
from linerdesign.methods.hydraulics import fills, liner_bore
from linerdesign.methods.laboratory import stiffness_ratio
from linerdesign.methods.lines import line
from linerdesign.methods.method import keys_read, standard
from linerdesign.methods.origin import calculated
from linerdesign.methods.result import CheckResult, LegResult, Legs, PipeResult, Step
from linerdesign.methods.symbols import RETENTION_OF, SYMBOLS
from linerdesign.methods.task import Input, PipeTask
from linerdesign.methods.verdicts import OUTSIDE
from linerdesign.methods.working import worked
from linerdesign.project.assembly import designed, task
from linerdesign.project.contradictions import place_of
from linerdesign.project.faults import InputFaults, Place, fault, shown
from linerdesign.project.lining import leg_at, lining
from linerdesign.project.measures import convert
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.reading import Project
from linerdesign.project.requests import TESTED, Acceptance
from linerdesign.project.thin_wall import ThinWall, on_standard_datums, with_wall
from linerdesign.words import sentence

FARTHEST_THICKNESS = 2.0  # times the design; past this a unit is likelier than a wall
# Names of the properties in the catalogue of sentences, by key of the symbol table.
CODES = {"E": "modulus", "sigma": "strength", "sigma_T": "tensile"}
NOT_DECIDED = ("representative", "same_basis", "leaks", "remedy")


@dataclass(frozen=True)
class AsBuilt:
    """The installed wall in the equations of the design.

    `mean` is checked at the mean of the readings with the means of the tests; `least` at the
    smallest reading, with the smaller of mean test and design value of each property. `wall` is the
    task of `least` on the datums of the standard, `inside` that of a liner inside the installed
    one. `stiffness` are the steps to the stiffness as installed over the stiffness designed.
    """

    mean: PipeResult
    least: PipeResult
    stiffness: tuple[Step, ...]
    wall: PipeTask
    free: PipeTask

    @property
    def stiffness_percent(self) -> float:
        """Stiffness as installed, in percent of the stiffness designed."""
        return self.stiffness[-1].value

    @cached_property
    def carried(self) -> ThinWall:
        """What the least wall carries at the design safety factor."""
        return ThinWall(self.wall, self.least.required_thickness)

    @cached_property
    def second(self) -> PipeResult:
        """A liner of the design's resin inside the installed one, which carries no load."""

        def bore(given: Input) -> Input:
            inside = liner_bore(given.value, self.mean.nominal_thickness)
            return replace(given, value=inside, origin=calculated("bore of the first liner"))

        stations = tuple(
            replace(s, inputs=tuple(bore(i) if i.key == "D" else i for i in s.inputs))
            for s in self.free.stations
        )
        return designed(replace(self.free, stations=stations))


@dataclass(frozen=True)
class Decision:
    """The verdicts on one pipe and what they come from.

    `doubts` are tests that suggest another unit, `cautions` what else to know of the samples.
    """

    pipe: str
    rule: str
    design: PipeResult
    design_thickness: float
    installed: Installed
    verdicts: tuple[Verdict, ...]
    tests: tuple[Tested, ...] = ()
    built: AsBuilt | None = None
    doubts: tuple[Finding, ...] = ()
    cautions: tuple[Finding, ...] = ()

    @property
    def accepted(self) -> bool | None:
        """True only where every requirement is met; None where one is undecided and none fails."""
        return outcome(self.verdicts)

    @property
    def shortfalls(self) -> tuple[Verdict, ...]:
        """The requirements that are not met."""
        return tuple(each for each in self.verdicts if each.passes is False)

    @property
    def undecided(self) -> tuple[Verdict, ...]:
        """The requirements that the samples or the project do not suffice to decide."""
        return tuple(each for each in self.verdicts if each.passes is None)

    @property
    def rule_met(self) -> bool | None:
        """Whether the owner's rule of thickness is met; None where it is undecided."""
        return outcome(each for each in self.verdicts if each.code.startswith("rule_"))

    @property
    def equations_met(self) -> bool | None:
        """Whether the installed wall passes every equation; None without a reading."""
        return outcome(each for each in self.verdicts if each.equation)


def chosen_rule(project: Project, asked: str | None) -> str:
    """The rule requested on the command line, or else the project's.

    Raises:
        InputFaults: where neither names one: the choice is the owner's.
    """
    rule = asked or (project.acceptance.rule if project.acceptance else None)
    if rule is None:
        at = Place(table="[acceptance]", path=("acceptance", "rule"))
        raise InputFaults([fault("measured.no_rule", at, known=", ".join(map(shown, RULES)))])
    return rule


def decide(project: Project, pipe: Pipe, installed: Installed, rule: str, system: str) -> Decision:
    """The verdicts on one pipe, in the units of the system.

    Raises:
        InputFaults: where the pipe's values contradict one another or give no finite thickness, or
            the installed wall gives none.
    """
    settings = project.acceptance or Acceptance()
    resin = project.resin_of(pipe)
    made = task(pipe, resin, project.criteria, system)
    design = designed(made)
    required = settings.compared_with == "required thickness"
    against = design.required_thickness if required else design.nominal_thickness
    minimums = standard().specifications[settings.minimum_properties].values
    tests = tuple(_tests(made, installed, minimums, system))
    built, outside_legs = None, elsewhere(pipe, installed)
    if installed.readings:
        _refuse_impossible(design, installed)
        free = pipe.changed({"design_thickness": None})
        inside = on_standard_datums(task(free, resin, project.criteria, system))
        measured = outside_legs if outside_legs.readings else installed
        built = _as_built(made, inside, measured, tests, against)
    verdicts = [
        *_of_thickness(rule, settings, in_millimetres(against, system), installed, built),
        *_of_owner(project.criteria.minimum_thickness.to("mm"), installed),
        *(_of_equations(built, outside_legs) if built and outside_legs.readings else ()),
        *(_of_legs(pipe, lining(project, built.least), installed) if built and pipe.leg else ()),
        *_of_properties(used_properties(design, built), tests, settings, rule),
        *_of_retention(used_properties(design, built), resin, design.basis),
        *_of_scope(built.least if built else design),
    ]
    decision = Decision(pipe.name, rule, design, against, installed, tuple(verdicts), tests, built)
    return replace(
        decision,
        doubts=tuple(doubt for each in tests for doubt in each.doubts()),
        cautions=tuple(_cautions(decision)),
    )


def elsewhere(pipe: Pipe, installed: Installed) -> Installed:
    """The samples without the readings that lie in a leg of the pipe."""
    kept = tuple(each for each in installed.readings if leg_at(each.station, pipe) is None)
    return replace(installed, readings=kept)


def _of_legs(pipe: Pipe, line_: Legs, installed: Installed) -> Iterator[Verdict]:
    """The equations at the least reading of each leg.

    A leg without a reading is judged by the wall to expect there, which must reach the owner's
    minimum too.
    """
    system = line_.built.basis.system
    lying = [(leg_at(each.station, pipe), each) for each in installed.readings]
    tube = _tube_walls(line_, lying)
    for leg in line_.legs:
        if not leg.system_allows:
            yield Verdict("leg_data", None, numbers=(("at", leg.at),), open=leg.findings[0])
        own = [each for name, each in lying if name == leg.at]
        if own:
            thinnest = min(own, key=lambda each: each.thickness)
            required = in_millimetres(leg.required, system)
            yield Verdict(
                "leg",
                bool(at_least(thinnest.thickness, required)),
                required,
                thinnest.thickness,
                MILLIMETRES,
                thinnest.place,
                numbers=(("equation", leg.governing), ("at", leg.at)),
                equation=True,
            )
        else:
            share = leg.least / line_.tube.thickness
            yield _expected(leg, [share * wall for wall in tube], system)


def _tube_walls(line_: Legs, lying: Sequence[tuple[str | None, Reading]]) -> tuple[float, float]:
    """The least and the largest tube wall that the readings allow, in mm, by the leg they lie in.

    A reading in a bend is of its outer side, of its inner side or between: it is taken at its
    least only where no reading lies outside a bend.
    """
    thickness = line_.tube.thickness
    sides = {leg.at: (leg.least / thickness, leg.most / thickness) for leg in line_.legs}
    walls = [
        tuple(reading.thickness / share for share in sides.get(name or "", (1.0, 1.0)))
        for name, reading in lying
    ]
    largest = min(high for high, _ in walls)
    straight = [high for high, low in walls if high == low]
    return min(*(straight or [low for _, low in walls]), largest), largest


def _expected(leg: LegResult, walls: Sequence[float], system: str) -> Verdict:
    """The verdict on a leg without a reading, of which the wall lies between two values in mm."""
    required = in_millimetres(leg.needed, system)
    low, high = walls
    passes = bool(at_least(low, required))
    undecided = not passes and at_least(high, required)
    governing = sentence("origins.minimum") if leg.minimum > leg.required else leg.governing
    return Verdict(
        "leg_expected",
        None if undecided else passes,
        required,
        low,
        MILLIMETRES,
        numbers=(("equation", governing), ("at", leg.at)),
        open=finding("field.reading_in_bend", low=f"{low:.2f}", high=f"{high:.2f}")
        if undecided
        else None,
        equation=True,
    )


def used_properties(design: PipeResult, built: AsBuilt | None) -> tuple[str, ...]:
    """Keys of the initial properties that the checks of the design and of the wall rest on."""
    results = (design, *((built.mean, built.least) if built else ()))
    equations = {check.equation for result in results for check in result.checks}
    used = {key for each, key in standard().rests_on.items() if each in equations}
    return tuple(key for key in TESTED if key in used)


def _of_thickness(
    rule: str, settings: Acceptance, design: float, installed: Installed, built: AsBuilt | None
) -> Iterator[Verdict]:
    if built is None:
        why = finding("field.no_reading" if any(installed.tests.values()) else "field.no_sample")
        yield Verdict("thickness", None, open=why)
        return
    yield from judge(rule, settings, design, installed, built.stiffness_percent)


def _of_owner(minimum: float, installed: Installed) -> Iterator[Verdict]:
    """The owner's minimum thickness, which no reading may be below."""
    if minimum > 0 and installed.readings:
        thinnest = installed.thinnest
        passes = bool(at_least(thinnest.thickness, minimum))
        yield Verdict(
            "owner_minimum",
            passes,
            minimum,
            thinnest.thickness,
            MILLIMETRES,
            thinnest.place,
            by_rule=True,
        )


def _of_equations(built: AsBuilt, installed: Installed) -> Iterator[Verdict]:
    """The equations at the least wall, and at the mean."""
    for code, result in (("least", built.least), ("mean", built.mean)):
        place = installed.thinnest.place if code == "least" else ""
        yield from (_of_check(f"equation_{code}", each, result, place) for each in result.checks)


def _of_check(code: str, check: CheckResult, result: PipeResult, place: str) -> Verdict:
    """A check passes where this wall and every thicker one do."""
    system = result.basis.system
    required, found = (
        in_millimetres(each, system)
        for each in (check.required_thickness, result.nominal_thickness)
    )
    return Verdict(
        code if check.station is None else f"{code}_at",
        check.passes and bool(at_least(found, required)),
        required,
        found,
        MILLIMETRES,
        place,
        numbers=(("equation", check.equation), ("station", check.station)),
        equation=True,
    )


def _of_properties(
    used: tuple[str, ...], tests: tuple[Tested, ...], settings: Acceptance, rule: str
) -> Iterator[Verdict]:
    """Every property that was tested, and every other that the design uses."""
    every = settings.properties == "every test"
    for each in tests:
        by_stiffness = each.key == "E" and TEXTS[rule].by_stiffness
        yield each.verdict(every, by_stiffness)
    for key in used:
        if key not in {each.key for each in tests}:
            why = finding("field.not_tested")
            yield Verdict(f"{CODES[key]}_mean", None, open=why)


def _of_retention(used: tuple[str, ...], resin: Resin, basis: Basis) -> Iterator[Verdict]:
    """The long-term retentions that the design uses: no sample shows them, only evidence."""
    why = None if resin.evidence else finding("field.no_evidence", resin=resin.name)
    read = keys_read(basis)
    for key in (each for each in used if RETENTION_OF[each] in read):
        passes = None if why else True
        yield Verdict(f"retention_{CODES[key]}", passes, open=why, by_rule=True)


def _of_scope(result: PipeResult) -> Iterator[Verdict]:
    if result.status == OUTSIDE:
        yield Verdict("scope", None, open=finding("field.outside"))


def _refuse_impossible(result: PipeResult, installed: Installed) -> None:
    """Readings that no wall inside this pipe can have, most often of another unit."""
    unit = SYMBOLS["D"].unit(result.basis.system)
    bores = [values["D"] for values in result.values]
    half = convert(min(bores), unit, "mm") / 2
    assert installed.thickness is not None
    if fills(2 * half, installed.thickness.maximum):
        place = place_of("pipe", result.name).at("sample")
        value = f"{installed.thickness.maximum:g} mm"
        raise InputFaults([fault("measured.no_bore", place, value, half=f"{half:g} mm")])


def _as_built(
    made: PipeTask,
    inside: PipeTask,
    installed: Installed,
    tests: tuple[Tested, ...],
    against: float,
) -> AsBuilt:
    system = made.basis.system
    unit = SYMBOLS["t"].unit(system)
    assert installed.thickness is not None
    mean, least = (
        convert(each, "mm", unit)
        for each in (installed.thickness.mean, installed.thickness.minimum)
    )
    means = {t.key: t.designed if t.unit_in_question else t.mean for t in tests}
    governing = {t.key: t.governing for t in tests}
    designed_modulus, source = _input(made, "E"), "tested" if "E" in means else "design"
    inputs = (
        Input("E_built", means.get("E", designed_modulus), calculated(source)),
        Input("t_built", mean, calculated("mean of the readings")),
        Input("E", designed_modulus, calculated("design")),
        Input("t", against, calculated("design")),
    )
    return AsBuilt(
        mean=designed(with_wall(made, mean, means)),
        least=designed(with_wall(made, least, governing)),
        stiffness=worked(inputs, [line(stiffness_ratio)], system),
        wall=with_wall(on_standard_datums(made), least, governing),
        free=inside,
    )


def _input(made: PipeTask, key: str) -> float:
    """A value of the task that no line of its sheet reads."""
    return next(each.value for each in made.stations[0].inputs if each.key == key)


def _tests(
    made: PipeTask, installed: Installed, minimums: Mapping[str, float], system: str
) -> Iterator[Tested]:
    """The tested properties that the resin has a design value of."""
    known = {each.key for each in made.stations[0].inputs}
    for key, code in CODES.items():
        summary = installed.summary(key)
        if summary is not None and key in known:
            unit, values = SYMBOLS[key].unit(system), installed.tests[key]
            minimum = minimums.get(key, 0.0)
            yield tested(key, code, values, summary, _input(made, key), minimum, unit)


def _cautions(decision: Decision) -> Iterator[Finding]:
    installed, built = decision.installed, decision.built
    yield from installed.cautions
    for each in decision.tests:
        yield from each.cautions()
    if built is None:
        return
    design = in_millimetres(decision.design_thickness, decision.design.basis.system)
    assert installed.thickness is not None
    share = installed.thickness.mean / design
    if not 1 / FARTHEST_THICKNESS <= share <= FARTHEST_THICKNESS:
        yield finding("field.far_thickness", share=share)
    low = sum(bool(under(each.thickness, design)) for each in installed.readings)
    if low:
        count, least = len(installed.readings), installed.thickness.minimum
        yield finding("field.readings_under", low=low, count=count, design=design, least=least)
    if TEXTS[decision.rule].remark:
        yield finding(TEXTS[decision.rule].remark)
