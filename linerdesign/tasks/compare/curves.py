"""Thickness over diameter and depth, and the checks over thickness, on arrays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions import tree
from linerdesign.methods.lines import run
from linerdesign.methods.many import Designs, design_many
from linerdesign.methods.method import checks_of, constants, requirement, verification
from linerdesign.methods.site import larger_ovality, ovality_from_maximum, ovality_from_minimum
from linerdesign.methods.symbols import SYMBOLS, symbol_of_name
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import outside_tables, task
from linerdesign.project.fields import given
from linerdesign.project.keys import COVER_DATUMS, DIAMETERS, OVALITIES
from linerdesign.project.measures import Measure, convert
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.reading import Project
from linerdesign.tasks.compare.systems import at_end

Floats = NDArray[np.float64]


def pattern(pipe: Pipe, values: Mapping[str, Measure]) -> Pipe:
    """The pipe without stations and with other values: the datum of each replaces its group's.

    A diameter given so makes readings of another diameter useless; the ovality they gave stays.
    """
    kept = {k: v for k, v in given(pipe).items() if k not in ("station", "design_thickness")}
    if pipe.station:
        kept |= {k: v for k, v in given(pipe.station[0]).items() if k != "at"}
    kept = _with_ovality(kept)
    for group in (COVER_DATUMS, DIAMETERS):
        if not values.keys().isdisjoint(group):
            kept = {k: v for k, v in kept.items() if k not in group}
    if "cover" in values and "groundwater_elevation" not in kept:
        kept.pop("invert_elevation", None)
    kept |= values
    return Pipe(kept)


def _with_ovality(kept: dict[str, Any]) -> dict[str, Any]:
    """Ovality in place of the diameters that it came from."""
    if kept.keys().isdisjoint((*OVALITIES[1:], "diameters")):
        return kept
    readings = [each.to("mm") for each in kept.get("diameters", ())]
    mean = sum(readings) / len(readings) if readings else kept["host_diameter"].to("mm")
    extremes = [kept[key].to("mm") for key in OVALITIES[1:] if key in kept] or readings
    percent = larger_ovality(
        ovality_from_maximum(max(extremes), mean), ovality_from_minimum(mean, min(extremes))
    )
    rest = {k: v for k, v in kept.items() if k not in OVALITIES}
    if "ovality" in kept:
        return rest | {"ovality": kept["ovality"]}
    return rest | {
        "host_diameter": Measure(mean, "mm", f"{mean:.6g} mm"),
        "ovality": Measure(float(percent), "%", f"{percent:.4g} %"),
    }


def designs_over(made: PipeTask, arrays: Mapping[str, tuple[Floats, str]]) -> Designs:
    """The designs of the task's pipe with arrays for some of its keys, each with its unit."""
    values = {each.key: each.value for each in made.stations[0].inputs}
    for name, (numbers, unit) in arrays.items():
        key = symbol_of_name(name)
        assert key in values, name
        values[key] = convert(numbers, unit, SYMBOLS[key].unit(made.basis.system))  # type: ignore[arg-type]
    return design_many(made.basis, values, made.waivers)


def in_mm(designs: Designs, made: PipeTask) -> tuple[Floats, Floats]:
    """Required and nominal thickness in mm, NaN where there is none."""
    factor = convert(1.0, SYMBOLS["t"].unit(made.basis.system), "mm")
    required = np.where(designs.finite, designs.required * factor, np.nan)
    return required, np.where(designs.finite, np.round(designs.nominal * factor, 9), np.nan)


def passing_mm(designs: Designs, made: PipeTask) -> tuple[Floats, Floats]:
    """As `in_mm`, NaN also where a table of loads or soils does not reach; the nominal thickness
    also where no thickness that is made passes."""
    required, nominal = in_mm(designs, made)
    good = np.array(designs.passes)
    for _, _, outside, _ in outside_tables(made.basis, designs.values):
        good &= ~np.broadcast_to(outside, good.shape)
    return np.where(good | ~designs.passes, required, np.nan), np.where(good, nominal, np.nan)


@dataclass(frozen=True)
class OverDepth:
    """Required and nominal thickness in mm of one resin over cover."""

    resin: str
    required: Floats
    nominal: Floats


def over_depth(
    project: Project, pipe: Pipe, covers: Floats, unit: str, system: str
) -> tuple[OverDepth, ...]:
    """Every resin over a range of covers, by its worst properties; water as the pipe has it."""
    first = pattern(pipe, {"cover": Measure(float(covers[0]), unit, "")})
    found = []
    for resin in usable(project, pipe):
        made = task(first, at_end(resin, False), project.criteria, system)
        designs = designs_over(made, {"cover": (covers, unit)})
        found.append(OverDepth(resin.name, *passing_mm(designs, made)))
    return tuple(found)


def usable(project: Project, pipe: Pipe) -> tuple[Resin, ...]:
    """The resins that have all the properties the pipe asks for."""
    pressed = "internal_pressure" in given(pipe)
    return tuple(r for r in project.resins if r.tensile_strength is not None or not pressed)


def saved_over(
    project: Project,
    pipe: Pipe,
    reference: Resin,
    diameters: tuple[Floats, str],
    covers: tuple[Floats, str],
    system: str,
) -> dict[str, Floats]:
    """Thickness that each resin saves over the reference, in mm, covers down and diameters
    across: what is left after floors and steps."""
    across, down = np.meshgrid(diameters[0], covers[0])
    first = pattern(
        pipe,
        {
            "host_diameter": Measure(float(diameters[0][0]), diameters[1], ""),
            "cover": Measure(float(covers[0][0]), covers[1], ""),
        },
    )
    arrays = {
        "host_diameter": (across.ravel(), diameters[1]),
        "cover": (down.ravel(), covers[1]),
    }

    def nominal(resin: Resin) -> Floats:
        made = task(first, at_end(resin, False), project.criteria, system)
        return passing_mm(designs_over(made, arrays), made)[1].reshape(across.shape)

    base = nominal(reference)
    others = [resin for resin in usable(project, pipe) if resin.name != reference.name]
    return {resin.name: base - nominal(resin) for resin in others}


@dataclass(frozen=True)
class OverThickness:
    """What a check asks over what the wall carries, for each thickness; at most 1 passes."""

    equation: str
    use: Floats


def over_thickness(made: PipeTask, thicknesses: Floats) -> tuple[OverThickness, ...]:
    """The use of every check that applies, over thicknesses in the sheet's unit."""
    fixed = (*made.stations[0].inputs, *constants(made.basis))
    known = run(requirement(made.basis), {each.key: each.value for each in fixed})
    final = run(verification(made.basis), {**known, "t": thicknesses})
    found = []
    for check in checks_of(made.basis):
        if check.when is None or tree.evaluate(check.when.tree, known):
            with np.errstate(all="ignore"):
                use = np.asarray(final[check.demand] / final[check.capacity])
            spread = np.broadcast_to(use, thicknesses.shape)
            # A wall so thick that bending brings no tension in it is used by nothing.
            found.append(OverThickness(check.equation, np.maximum(spread, 0.0)))
    return tuple(found)
