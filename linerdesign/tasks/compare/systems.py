"""Every resin on every pipe: its wall by the worst and the best of its properties."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from linerdesign.expressions.tolerance import SAME, at_most, over
from linerdesign.methods.equation import Severity
from linerdesign.methods.f1216.gravity import long_term_modulus
from linerdesign.methods.result import PipeResult
from linerdesign.methods.sizing import design
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.assembly import task
from linerdesign.project.faults import InputFaults
from linerdesign.project.fields import given
from linerdesign.project.measures import Measure, convert
from linerdesign.project.models import Criteria, Pipe, Resin
from linerdesign.project.quantities import Purchase, cost_per_length, mass_per_length
from linerdesign.project.reading import Project


def at_end(resin: Resin, best: bool) -> Resin:
    """The resin with one end of every property given as a range: the largest is the best."""
    ends = {}
    for key, value in given(resin).items():
        if isinstance(value, Measure) and value.upper is not None:
            ends[key] = value.ends[best]
    return resin.changed(ends)


def has_band(resin: Resin) -> bool:
    """Whether any property is given as a range."""
    return any(getattr(value, "upper", None) for value in given(resin).values())


@dataclass(frozen=True)
class Wall:
    """The wall of one resin in one pipe; thicknesses in mm, mass in kg/m, cost per m."""

    result: PipeResult
    resin: Resin
    purchase: Purchase

    def _mm(self, thickness: float) -> float:
        return convert(thickness, SYMBOLS["t"].unit(self.result.basis.system), "mm")

    @cached_property
    def required(self) -> float:
        """Thickness required before floors and steps."""
        return self._mm(self.result.required_thickness)

    @cached_property
    def nominal(self) -> float:
        """Nominal thickness."""
        return round(self._mm(self.result.nominal_thickness), 9)

    @cached_property
    def diameter(self) -> float:
        """Diameter of the host in mm, the largest of the stations."""
        steps = [step.value for step in self.result.steps if step.key == "D"]
        return self._mm(max(steps))

    @cached_property
    def mass(self) -> float | None:
        """Mass of the cured wall per metre, where the density is known."""
        found = mass_per_length(self.diameter, self.nominal, "mm", self.resin)
        return None if found is None else float(found)

    @cached_property
    def cost(self) -> float | None:
        """Cost of the resin bought per metre, where density and price are known."""
        found = cost_per_length(self.mass, self.resin, self.purchase)
        return None if found is None else float(found)

    @cached_property
    def next_down(self) -> float | None:
        """The next thinner nominal thickness; none below the first step or the thinnest size."""
        sizes = self.result.basis.sizes
        if sizes is None:
            step = self.result.value("s")
            lower = self.nominal - self._mm(step) if step is not None else 0.0
            return round(lower, 9) if lower > SAME else None
        place = int(np.searchsorted(np.asarray(sizes.xs) * (1 + SAME), self._thickness)) - 1
        return round(self._mm(sizes.xs[place]), 9) if place >= 0 else None

    @property
    def _thickness(self) -> float:
        return self.result.nominal_thickness

    @cached_property
    def floor_holds(self) -> bool:
        """Whether the owner's floor, and no check, keeps the wall from a step down."""
        floor = self.result.value("t_floor")
        if self.next_down is None or floor is None:
            return False
        needed = over(self._mm(floor), self.next_down)
        return bool(needed and at_most(self.required, self.next_down))

    @property
    def margin(self) -> float | None:
        """By how much the thickness required, in mm, is over the next step down."""
        return None if self.next_down is None else self.required - self.next_down


@dataclass(frozen=True)
class Answer:
    """One resin on one pipe: its wall by its worst and best properties, or why it has none."""

    pipe: Pipe
    resin: Resin
    worst: Wall | None = None
    best: Wall | None = None
    why: str = ""

    @property
    def fails(self) -> str:
        """Why the resin can't be used in the pipe, empty where it can."""
        if self.worst is None:
            return self.why
        result = self.worst.result
        if result.holds:
            return ""
        # Other cautions are of the pipe, or of a wall that is not used.
        causes = [note.text for note in result.notes if note.code == "design.no_listed_thickness"]
        failing = [check.equation for check in result.checks if not check.passes]
        if failing:
            causes.append(f"{', '.join(failing)} fail{'s' * (len(failing) == 1)}")
        outside = [n.text for n in result.notes if n.severity is Severity.OUTSIDE]
        return "; ".join([*causes, *outside]) or result.status


def answer(pipe: Pipe, resin: Resin, criteria: Criteria, system: str, purchase: Purchase) -> Answer:
    """One resin on one pipe."""
    try:
        worst, best = (
            Wall(design(task(pipe, each, criteria, system)), each, purchase)
            for each in (at_end(resin, False), at_end(resin, True))
        )
    except InputFaults as found:
        return Answer(pipe, resin, why="; ".join(_of_pipe(str(f), pipe) for f in found.faults))
    except ArithmeticError as error:
        return Answer(pipe, resin, why=str(error))
    return Answer(pipe, resin, worst, best)


def _of_pipe(text: str, pipe: Pipe) -> str:
    """The fault without the name of the pipe, which stands beside it already."""
    return text.removeprefix(f'[[pipe]] "{pipe.name}", ')


def answers(project: Project, system: str, purchase: Purchase) -> tuple[tuple[Answer, ...], ...]:
    """Every resin on every pipe: a tuple a pipe, in it an answer a resin."""
    return tuple(
        tuple(answer(pipe, resin, project.criteria, system, purchase) for resin in project.resins)
        for pipe in project.pipes
    )


@dataclass(frozen=True)
class Effects:
    """Thickness required, in mm, when single properties of the reference are put to another's."""

    resin: str
    reference: float
    long_term_modulus: float
    initial_modulus: float
    all_properties: float


def effects(
    pipe: Pipe, resin: Resin, reference: Resin, criteria: Criteria, system: str
) -> Effects | None:
    """What the long-term and the initial modulus do apart; none where a design fails.

    The retention is moved against the other modulus, so that each is changed alone.
    """
    ours, theirs = at_end(resin, False), at_end(reference, False)
    initial = ours.flexural_modulus
    long_term = long_term_modulus(initial.number, ours.modulus_retention.number)
    base = theirs.flexural_modulus.to(initial.unit)
    base_long = long_term_modulus(base, theirs.modulus_retention.number)
    only_long = {"modulus_retention": _percent(100 * long_term / base)}
    only_initial = {
        "flexural_modulus": initial,
        "modulus_retention": _percent(100 * base_long / initial.number),
    }
    variants = (theirs, *(theirs.changed(u) for u in (only_long, only_initial)), ours)
    rows = [answer(pipe, each, criteria, system, Purchase()) for each in variants]
    if any(each.worst is None for each in rows):
        return None
    return Effects(resin.name, *(each.worst.required for each in rows if each.worst))


def _percent(number: float) -> Measure:
    return Measure(number, "%", f"{number:.6g} %")
