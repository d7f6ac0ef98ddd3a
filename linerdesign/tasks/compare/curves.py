"""Thickness over diameter and depth, and the checks over thickness, on arrays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions import tree
from linerdesign.methods.lines import run
from linerdesign.methods.method import checks_of, constants, requirement, standard, verification
from linerdesign.methods.symbols import KEY_OF, SYMBOLS
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import task
from linerdesign.project.keys import COVER_DATUMS, DIAMETERS, OVALITIES
from linerdesign.project.measures import Measure, convert
from linerdesign.project.models import Criteria, Pipe, Resin
from linerdesign.project.quantities import (
    Purchase,
    carbon_per_length,
    cost_per_length,
    mass_per_length,
    yearly,
)
from linerdesign.project.reading import Project
from linerdesign.tasks.compare.systems import at_end
from linerdesign.tasks.walls import Walls, walls

Floats = NDArray[np.float64]


def pattern(pipe: Pipe, values: Mapping[str, Measure]) -> Pipe:
    """The pipe without stations and with other values: the datum of each replaces its group's.

    A diameter given so makes readings of another diameter useless; the ovality they gave stays.
    """
    kept = {k: v for k, v in pipe.given.items() if k not in ("station", "design_thickness")}
    if pipe.station:
        kept |= {k: v for k, v in pipe.station[0].given.items() if k != "at"}
    kept = _with_ovality(kept)
    for group in (COVER_DATUMS, DIAMETERS):
        if not values.keys().isdisjoint(group):
            kept = {k: v for k, v in kept.items() if k not in group}
    if "cover" in values and "groundwater_elevation" not in kept:
        kept.pop("invert_elevation", None)
    kept |= values
    return Pipe.model_construct(**kept)


def _with_ovality(kept: dict[str, Any]) -> dict[str, Any]:
    """Ovality in place of the diameters that it came from."""
    if kept.keys().isdisjoint((*OVALITIES[1:], "diameters")):
        return kept
    readings = [each.to("mm") for each in kept.get("diameters", ())]
    mean = sum(readings) / len(readings) if readings else kept["host_diameter"].to("mm")
    extremes = [kept[key].to("mm") for key in OVALITIES[1:] if key in kept] or readings
    forms = standard().equations
    percent = forms["q_pipe"](
        forms["q_max"](max(extremes), mean), forms["q_min"](mean, min(extremes))
    )
    rest = {k: v for k, v in kept.items() if k not in OVALITIES}
    if "ovality" in kept:
        return rest | {"ovality": kept["ovality"]}
    return rest | {
        "host_diameter": Measure(mean, "mm", f"{mean:.6g} mm"),
        "ovality": Measure(float(percent), "%", f"{percent:.4g} %"),
    }


def walls_over(
    made: PipeTask, arrays: Mapping[str, tuple[Floats, str]], criteria: Criteria
) -> Walls:
    """The walls of the task's pipe with arrays for some of its keys, each with its unit."""
    values: dict[str, Any] = dict(made.stations[0].values)
    for name, (numbers, unit) in arrays.items():
        key = KEY_OF.get(name)
        assert key in values, name
        factor = convert(1.0, unit, SYMBOLS[key].unit(made.basis.system))
        values[key] = numbers[:, None] * factor
    return walls(made.basis, values, criteria, made.waivers)


def thicknesses(found: Walls) -> tuple[Floats, Floats]:
    """Required and nominal thickness in mm, NaN where there is none or a table of loads or soils
    does not reach; the nominal thickness also where no thickness that is made passes."""
    good = found.reached & found.passes
    required = np.where(found.reached, found.required, np.nan)
    return required, np.where(good, found.nominal, np.nan)


@dataclass(frozen=True)
class OverDepth:
    """One resin over cover: required and nominal thickness in mm, and the compared quantity."""

    resin: str
    required: Floats
    nominal: Floats
    quantity: Floats


@dataclass(frozen=True)
class Quantity:
    """What is compared, as in `Wishes`, and what is bought."""

    by: str = "thickness"
    purchase: Purchase = field(default_factory=Purchase)

    def of(self, diameter: Any, thickness: Any, resin: Resin) -> Any:
        """The quantity of a wall: mm, kg/m or cost per m; none where not known."""
        if self.by == "thickness":
            return thickness
        if self.by == "mass":
            return mass_per_length(diameter, thickness, "mm", resin)
        if self.by == "carbon":
            return carbon_per_length(diameter, thickness, resin)
        cost = cost_per_length(diameter, thickness, resin, self.purchase)
        if cost is None or self.by == "cost":
            return cost
        return yearly(cost, resin, self.purchase.discount)


THICKNESS = Quantity()


def over_depth(
    project: Project,
    pipe: Pipe,
    covers: Floats,
    unit: str,
    system: str,
    quantity: Quantity = THICKNESS,
) -> tuple[OverDepth, ...]:
    """Every resin over a range of covers, by its worst properties; water as the pipe has it."""
    first = pattern(pipe, {"cover": Measure(float(covers[0]), unit, "")})
    found = []
    for resin in usable(project, pipe):
        made = task(first, at_end(resin, False), project.criteria, system)
        over = walls_over(made, {"cover": (covers, unit)}, project.criteria)
        required, nominal = thicknesses(over)
        amount = quantity.of(over.diameter, nominal, resin)
        if amount is not None:
            found.append(OverDepth(resin.name, required, nominal, amount))
    return tuple(found)


def usable(project: Project, pipe: Pipe) -> tuple[Resin, ...]:
    """The resins that have all the properties the pipe requires."""
    pressed = "internal_pressure" in pipe.given
    return tuple(r for r in project.resins if r.tensile_strength is not None or not pressed)


def saved_over(
    project: Project,
    pipe: Pipe,
    reference: Resin,
    diameters: tuple[Floats, str],
    covers: tuple[Floats, str],
    system: str,
    quantity: Quantity = THICKNESS,
) -> dict[str, Floats]:
    """What each resin saves over the reference, covers down and diameters across.

    Of thickness in mm, what is left after minimum and rounding; of other quantities as a fraction
    of the reference's.
    """
    across, down = np.meshgrid(diameters[0], covers[0])
    first = pattern(
        pipe,
        {
            "host_diameter": Measure(float(diameters[0][0]), diameters[1], ""),
            "cover": Measure(float(covers[0][0]), covers[1], ""),
        },
    )
    arrays = {"host_diameter": (across.ravel(), diameters[1]), "cover": (down.ravel(), covers[1])}

    def amount(resin: Resin) -> Floats | None:
        made = task(first, at_end(resin, False), project.criteria, system)
        over = walls_over(made, arrays, project.criteria)
        nominal = thicknesses(over)[1]
        found = quantity.of(over.diameter, nominal, resin)
        return None if found is None else found.reshape(across.shape)

    base = amount(reference)
    others = [resin for resin in usable(project, pipe) if resin.name != reference.name]
    found = {resin.name: each for resin in others if (each := amount(resin)) is not None}
    if base is None:
        return {}
    scale = 1.0 if quantity.by == "thickness" else base
    return {name: (base - each) / scale for name, each in found.items()}


@dataclass(frozen=True)
class OverThickness:
    """Demand over capacity of a check for each thickness; it passes at or below 1."""

    equation: str
    use: Floats


def over_thickness(made: PipeTask, thicknesses: Floats) -> tuple[OverThickness, ...]:
    """Demand over capacity of every check that applies, over thicknesses in the sheet's unit."""
    fixed = (*made.stations[0].inputs, *constants(made.basis))
    known = run(requirement(made.basis), {each.key: each.value for each in fixed})
    final = run(verification(made.basis), {**known, "t": thicknesses})
    found = []
    for check in checks_of(made.basis):
        if check.when is None or tree.evaluate(check.when.tree, known):
            with np.errstate(all="ignore"):
                use = np.asarray(final[check.demand] / final[check.capacity])
            spread = np.broadcast_to(use, thicknesses.shape)
            # A wall so thick that bending causes no tension has no demand.
            found.append(OverThickness(check.equation, np.maximum(spread, 0.0)))
    return tuple(found)
