"""The planning tables requested: names and quantities as texts, read all at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linerdesign.methods.basis import FULLY, PARTIALLY
from linerdesign.project.assembly import task
from linerdesign.project.faults import InputFaults, every_fault, fault, shown
from linerdesign.project.measures import Measure
from linerdesign.project.models import located_in
from linerdesign.project.options import measured, named
from linerdesign.project.reading import Project
from linerdesign.project.requests import refuse_in_place
from linerdesign.tasks.plan.table import ABOVE_INVERT, USUAL_AXES, Axes, Plan, plan, water_key_of

CONDITIONS = (PARTIALLY, FULLY)


@dataclass(frozen=True)
class Request:
    """The pipe, resins and conditions by name, empty for the pipe's own; the axes as texts with
    units, empty for the usual ones. A fault names each as `option` has it."""

    pipe: str | None
    resins: Sequence[str]
    conditions: Sequence[str]
    diameters: Sequence[str]
    covers: Sequence[str]
    waters: Sequence[str]
    option: str = "{}"


def planned(project: Project, asked: Request, system: str) -> Plan:
    """The tables requested.

    Raises:
        InputFaults: unknown names, quantities that can't be read, values that can't be together.
    """
    place = asked.option.format
    with located_in(project), every_fault() as faults:
        faults.of(refuse_in_place, project, "`plan`")
        pipe = named(place("pipe"), asked.pipe, project.as_read, faults)
        names = asked.resins or [project.resin_of(pipe).name]
        resins = [named(place("resin"), each, project.resins, faults) for each in names]
        conditions = asked.conditions or [pipe.condition]
        for each in conditions:
            if each not in CONDITIONS:
                known = " or ".join(map(shown, CONDITIONS))
                faults.append(fault("argument", place("condition"), shown(each), known=known))

        def axis(name: str, kind: str, texts: Sequence[str]) -> tuple[Measure, ...]:
            """The quantities, each once."""
            found = [measured(place(name), text, kind, faults) for text in texts]
            return tuple({each.text: each for each in found}.values())

        diameters, covers, waters = USUAL_AXES[system]
        axes = (
            axis("diameter", "section", asked.diameters or diameters),
            axis("cover", "cover", asked.covers or covers),
            axis("water", "level", asked.waters or waters),
        )
        sound = pipe.number in {each.number for each in project.pipes}
        if faults and sound and asked.pipe in (None, pipe.name):
            for resin in resins:
                faults.of(task, pipe, resin, project.criteria, system)
    if not sound:
        raise InputFaults(())  # of a project whose faults are known
    key = water_key_of(pipe, project.criteria) if asked.waters else ABOVE_INVERT
    with located_in(project):
        return plan(project, pipe, resins, conditions, Axes(*axes, key), system)
