"""What is wrong between the values of a project, each of them possible."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from linerdesign.project.beside import beside
from linerdesign.project.contradictions import between_values, of_stated
from linerdesign.project.faults import Fault, fault, shown
from linerdesign.project.layers import sites
from linerdesign.project.models import Project
from linerdesign.project.requests import request_faults, sample_faults, tube_faults


def between_the_values(project: Project, folder: Path | None) -> Iterator[Fault]:
    """Faults between the values of each pipe, and between them and what is requested for it."""
    criteria, capacity, order = project.criteria, project.capacity, project.order
    yield from _files_outside(project, folder)
    for pipe in project.pipes:
        found = sites(pipe, criteria)
        own = tuple(between_values(found, pipe.design_thickness, pipe.place))
        yield from own
        yield from of_stated(pipe, criteria, own)
        yield from request_faults(pipe, capacity, order)
        hosts = [site["host_diameter"].value for site in found if "host_diameter" in site]
        yield from tube_faults(pipe, hosts, order, project.info.units)
        yield from sample_faults(pipe, hosts, project.acceptance)
        if pipe.uncertainty or pipe.doubt:
            from linerdesign.project.designing import without_value

            yield from without_value(project, pipe)


def _files_outside(project: Project, folder: Path | None) -> Iterator[Fault]:
    """Files of readings that are not beside the project."""
    named = [(pipe.place.at("outline"), pipe.outline) for pipe in project.pipes]
    if (settings := project.acceptance) is not None:
        named += [(settings.place.at(k), getattr(settings, k)) for k in ("samples", "bending")]
    for place, name in named:
        if name and beside(name, folder or Path()) is None:
            yield fault("outside_folder", place, shown(name))
