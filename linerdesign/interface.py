"""What `import linerdesign` offers to programs: read a project, size, review and compare it.

`linerdesign.networks` has what is for many pipes at once.

Each task gives what the command of its name gives: results as models, a document, JSON data,
whether all of it holds; `write` puts any of them into files. Nothing here prints anything.

>>> project = read({
...     "project": {"title": "Quay Street"},
...     "resin": [
...         {"name": "felt", "flexural_modulus": "250000 psi", "flexural_strength": "4500 psi"},
...         {"name": "glass", "flexural_modulus": "1000 ksi", "flexural_strength": "15 ksi"},
...     ],
...     "pipe": [{
...         "name": "MH 1 to MH 2",
...         "condition": "partially deteriorated",
...         "host_diameter": "12 in",
...         "ovality": "2 %",
...         "groundwater_above_invert": "10 ft",
...         "stated": {"required_thickness": "5.1 mm"},
...     }],
... })
>>> sizing = size(project)
>>> [(pipe.governing, round(pipe.required_thickness, 3)) for pipe in sizing.pipes]
[('X1.1', 0.207)]
>>> [pipe.found.verdict for pipe in review(project).pipes]
['adequate']
>>> [(each.rank, each.resin.name) for each in compare(project).found.order]
[(1, 'glass'), (2, 'felt')]
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linerdesign.arguments import Units as Units
from linerdesign.arguments import one_of, system_of
from linerdesign.documents.blocks import (
    Addition,
    Block,
    Document,
    Heading,
    LegsTable,
    OnPaper,
    Sheet,
    Writable,
    of_project,
)
from linerdesign.documents.json import identity_data, sizing_data
from linerdesign.documents.notebook import Displayed, counted
from linerdesign.documents.profile import long_profile
from linerdesign.documents.schedule import lengths_of, schedule
from linerdesign.documents.sheet import not_designed
from linerdesign.methods.equation import Equation as Equation
from linerdesign.methods.method import standard
from linerdesign.methods.result import PipeResult as PipeResult
from linerdesign.methods.symbols import SYSTEMS
from linerdesign.networks import Inventory as Inventory
from linerdesign.networks import PlanningTables as PlanningTables
from linerdesign.networks import batch as batch
from linerdesign.networks import plan as plan
from linerdesign.networks import size_rows as size_rows
from linerdesign.project.assembly import possible_tasks
from linerdesign.project.designing import designs_of
from linerdesign.project.faults import Fault as Fault
from linerdesign.project.faults import InputFaults as InputFaults
from linerdesign.project.faults import unknown_word
from linerdesign.project.identity import Identity, identity
from linerdesign.project.mapping import of_mapping
from linerdesign.project.models import Criteria as Criteria
from linerdesign.project.models import FaultyPipe as FaultyPipe
from linerdesign.project.models import Pipe as Pipe
from linerdesign.project.models import Resin as Resin
from linerdesign.project.models import located_in
from linerdesign.project.reading import Project as Project
from linerdesign.project.reading import read as read_file
from linerdesign.project.requests import length_of, refuse_in_place
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS

if TYPE_CHECKING:
    from linerdesign.field.works.bid import Bid
    from linerdesign.tasks.compare.comparison import Compared
    from linerdesign.tasks.compare.comparison import Wishes as ComparisonWishes
    from linerdesign.tasks.review.reviewing import Reviewed
    from linerdesign.tasks.review.reviewing import Wishes as ReviewWishes
    from linerdesign.tasks.uncertainty.pipes import Found as Chances
    from linerdesign.tasks.uncertainty.pipes import Wishes as UncertaintyWishes


@dataclass(frozen=True, repr=False)
class Sizing(Displayed):
    """The designs of a project's pipes, in the order of the file.

    With `full`, text and PDF too have a sheet a pipe. `faulty` are pipes that can't be designed,
    of a project read with `apart`; `opinions` are second opinions by the pipe's name.
    """

    project: Project
    units: Units
    pipes: tuple[PipeResult, ...]
    options: Mapping[str, Any] = field(default_factory=dict)
    full: bool = False
    faulty: tuple[FaultyPipe, ...] = ()
    uncertainty: Chances | None = None
    opinions: Mapping[str, Addition] = field(default_factory=dict)

    def _brief(self) -> dict[str, Any]:
        statuses = counted(pipe.status for pipe in self.pipes)
        return {"pipes": len(self.pipes), "statuses": statuses, "units": self.units}

    @property
    def identity(self) -> Identity:
        """What the result rests on."""
        return identity(self.project, {"units": self.units, **self.options})

    @property
    def holds(self) -> bool:
        """Whether every pipe is designed and passes all its checks inside the method."""
        return not self.faulty and all(pipe.holds for pipe in self.pipes)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The faults of the pipes that can't be designed."""
        return tuple(each for pipe in self.faulty for each in pipe.faults)

    @cached_property
    def additions(self) -> Mapping[str, tuple[Addition, ...]]:
        """The further calculations of a pipe, by its name, worked when a form first shows them."""
        from linerdesign.field.further import calculated_beside

        found = dict(calculated_beside(self.project, self.pipes))
        for name, opinion in self.opinions.items():
            found[name] = (*found.get(name, ()), opinion)
        return found

    @cached_property
    def document(self) -> Document:
        """Schedule first, then a sheet a pipe; its additions behind it, or with those of others."""
        lengths = lengths_of(self.project, self.units)
        blocks: list[Block] = [
            Heading(HEADS["schedule"]),
            schedule(self.pipes, lengths, self.faulty, self._numbers),
            *not_designed(self.faulty),
            *self._second,
        ]
        for pipe in self.pipes:
            blocks.append(Sheet(pipe, pipe.first))
            beside = (b for each in self.additions.get(pipe.name, ()) for b in each.blocks)
            blocks.extend(b for b in beside if self.full or isinstance(b, LegsTable))
        if not self.full:
            blocks.extend(self._further)
        blocks.extend(long_profile(self.project, self.pipes))
        blocks.extend(self._behind)
        title = "Liner thickness calculation"
        made = of_project(self.project, self.units, title, blocks, self.options)
        return made if self.full else replace(made, on_paper=lambda: self._on_paper)

    @cached_property
    def works(self) -> Document:
        """The order and the site sheet of every pipe that has them, and the bid schedule.

        Raises:
            InputFaults: where the project asks for no order.
        """
        from linerdesign.field.works.sheet import works

        bid = self.bid.blocks if self.bid else ()
        made = works(self.project, self.units, self.pipes, self.additions, bid)
        return replace(made, identity=self.identity)

    @cached_property
    def bid(self) -> Bid | None:
        """The bid schedule of the pipes that have a length; none where none has."""
        if all(length_of(pipe) is None for pipe in self.project.pipes):
            return None
        from linerdesign.field.works.bid import bid

        return bid(self.project, self.pipes, [pipe.name for pipe in self.faulty])

    @cached_property
    def _on_paper(self) -> OnPaper:
        from linerdesign.documents.calculation import on_paper

        return on_paper(
            self.project,
            self.pipes,
            self.additions,
            self.identity,
            self._behind,
            self.faulty,
            self._second,
        )

    @property
    def _further(self) -> Iterator[Block]:
        """What was calculated beside the pipes, less the legs, which follow their own sheets."""
        from linerdesign.documents.further import further

        def rest(addition: Addition) -> Addition:
            kept = (block for block in addition.blocks if not isinstance(block, LegsTable))
            return replace(addition, blocks=tuple(kept))

        less = {name: tuple(map(rest, found)) for name, found in self.additions.items()}
        return further(self.pipes, less, whole=True)

    @cached_property
    def _second(self) -> tuple[Block, ...]:
        """Each pipe by the second method of the project, where it asks for one."""
        if all(pipe.second is None for pipe in self.pipes):
            return ()
        from linerdesign.documents.second import both_methods

        return both_methods(self.pipes)

    @property
    def _behind(self) -> tuple[Block, ...]:
        """What follows the pipes: the bid schedule, and what the uncertainty of inputs does."""
        bid = tuple(self.bid.blocks) if self.bid else ()
        if self.uncertainty is None:
            return bid
        from linerdesign.tasks.uncertainty import report

        return (*bid, *report.blocks(self.uncertainty))

    @cached_property
    def _numbers(self) -> dict[str, int]:
        """The order of the pipes in every form: that of the file."""
        from linerdesign.documents.schedule import numbers_of

        return numbers_of(self.project, self.faulty)

    @cached_property
    def data(self) -> dict[str, Any]:
        """The result as JSON data."""
        about = identity_data(self.project.info, self.identity)
        data = sizing_data(self.pipes, self.units, self.faulty) | about
        for pipe in data["pipes"]:
            pipe |= {each.kind: each.data for each in self.additions.get(pipe["name"], ())}
        data["pipes"].sort(key=lambda pipe: self._numbers[pipe["name"]])
        if self.uncertainty is not None:
            from linerdesign.tasks.uncertainty import report

            data["uncertainty"] = report.data(self.uncertainty)
        return data


@dataclass(frozen=True, repr=False)
class Review(Displayed):
    """What the review of a project's stated values found, a pipe at a time.

    `pipes[i].found` holds comparisons, verdict and explanations, in the unit of the sheet.
    """

    project: Project
    units: Units
    pipes: tuple[Reviewed, ...]
    wishes: ReviewWishes

    def _brief(self) -> dict[str, Any]:
        verdicts = counted(pipe.found.verdict or "-" for pipe in self.pipes)
        return {"pipes": len(self.pipes), "verdicts": verdicts, "units": self.units}

    @property
    def identity(self) -> Identity:
        """What the result rests on."""
        return identity(self.project, {"units": self.units, **self.wishes.options})

    @property
    def holds(self) -> bool:
        """Whether every stated value agrees, no wall is thin, and the owner's criteria are met."""
        return all(pipe.holds for pipe in self.pipes)

    @cached_property
    def document(self) -> Document:
        """The letter to the contractor, or the internal record where that is wished for."""
        from linerdesign.tasks.review import letter, record

        made = record.record if self.wishes.record else letter.letter
        document = made(self.project, self.pipes, self.units, self.wishes)
        return replace(document, identity=self.identity)

    @cached_property
    def data(self) -> dict[str, Any]:
        """The result as JSON data."""
        from linerdesign.tasks.review.data import review_data

        about = identity_data(self.project.info, self.identity)
        return review_data(self.pipes, self.units) | about


@dataclass(frozen=True, repr=False)
class Comparison(Displayed):
    """Every resin of a project on every of its pipes, ranked.

    `found.table` has a row a pipe and in it an option a resin, thicknesses in mm; `found.order`
    the resins as they rank.
    """

    found: Compared
    options: Mapping[str, Any] = field(default_factory=dict)

    def _brief(self) -> dict[str, Any]:
        ranked = [each.resin.name for each in self.found.order if each.rank]
        return {"pipes": len(self.found.table), "ranked": ranked, "units": self.found.system}

    @property
    def identity(self) -> Identity:
        """What the result rests on."""
        options = {"units": self.found.system, **self.options}
        return identity(self.found.project, options)

    @property
    def holds(self) -> bool:
        """Whether every pipe is satisfied by at least one resin."""
        return self.found.holds

    @cached_property
    def document(self) -> Document:
        """The ranking, then every resin in every pipe."""
        from linerdesign.tasks.compare.report import comparison_report

        return replace(comparison_report(self.found), identity=self.identity)

    @cached_property
    def data(self) -> dict[str, Any]:
        """The result as JSON data."""
        from linerdesign.tasks.compare.data import comparison_data

        about = identity_data(self.found.project.info, self.identity)
        return comparison_data(self.found) | about


def read(
    source: str | Path | Mapping[str, Any],
    criteria: str | Path | None = None,
    needs_pipes: bool = True,
    apart: bool = False,
) -> Project:
    """A project from a TOML file, or from a mapping of the same tables and keys.

    Quantities are texts with their units. `criteria` is a file of the owner's criteria, in place
    of the one that the project names; a project for `size_rows` needs no pipes of its own. With
    `apart`, pipes with faults of their own don't hide the others: `Project.faulty` has them, and
    `size` gives them with their faults.

    Raises:
        InputFaults: every fault of the input, each with its place and remedy.
    """
    owner = Path(criteria) if criteria is not None else None
    if not isinstance(source, Mapping):
        return read_file(Path(source), needs_pipes, owner, apart)
    return of_mapping(source, needs_pipes, owner, apart)


def size(
    project: Project,
    units: Units | None = None,
    pipes: Iterable[str] = (),
    both_conditions: bool = False,
    full: bool = False,
    uncertainty: UncertaintyWishes | None = None,
) -> Sizing:
    """Designs the pipes of a project, or only those named.

    Thicknesses of the results are in inches (`units` US) or mm (SI); without `units`, the project's
    own. `both_conditions` adds the design in the other condition of the host beside each pipe's
    own; `full` gives every pipe a sheet of its own in text and PDF; `uncertainty`, a
    `linerdesign.tasks.uncertainty.pipes.Wishes`, adds the chance that each wall is sufficient.
    Source: the standard of the design; each step names its clause.

    Raises:
        InputFaults: a name that no pipe has, an unknown unit system; values that, each possible,
            can't be together, unless the project was read with `apart` and a pipe is left.
    """
    system = system_of(units, project)
    names = [pipes] if isinstance(pipes, str) else list(pipes)
    with located_in(project):
        tasks = possible_tasks(project, system, names)
        results, faulty = designs_of(project, tasks, both_conditions)
    chosen_by = {"pipes": names, "both_conditions": both_conditions}
    sizing = Sizing(project, system, results, chosen_by, full, faulty)
    return sizing if uncertainty is None else _with_uncertainty(sizing, uncertainty)


def _with_uncertainty(sizing: Sizing, wishes: UncertaintyWishes) -> Sizing:
    """The designs with the chance that each wall is sufficient."""
    from linerdesign.tasks.uncertainty.pipes import pipes_under_uncertainty

    with located_in(sizing.project):
        refuse_in_place(sizing.project, sentence("uncertainty.command"))
        found = pipes_under_uncertainty(sizing.project, sizing.pipes, wishes)
    return replace(sizing, uncertainty=found, options={**sizing.options, "uncertainty": wishes})


def review(
    project: Project, units: Units | None = None, wishes: ReviewWishes | None = None
) -> Review:
    """Rechecks the pipes that have stated values.

    `wishes`, a `linerdesign.tasks.review.reviewing.Wishes`, are the reviewer's tolerances and
    what the letter or the record is to show beside the comments.

    Raises:
        InputFaults: where no pipe states anything, or values can't be together.
    """
    from linerdesign.tasks.review import reviewing

    wanted = wishes or reviewing.Wishes()
    system = system_of(units, project)
    with located_in(project):
        refuse_in_place(project, "`review`")
        found = reviewing.reviewed(project, system, wanted)
    return Review(project, system, found, wanted)


def compare(
    project: Project, units: Units | None = None, wishes: ComparisonWishes | None = None
) -> Comparison:
    """Every resin of a project on every of its pipes.

    `wishes`, a `linerdesign.tasks.compare.comparison.Wishes`, are what to rank by (thickness, mass,
    cost or annual cost), the resin to compare with, and how much resin is bought for a wall. A
    resin that can't be used in a pipe is in the result with its reasons.
    """
    from linerdesign.tasks.compare import comparison

    wanted = wishes or comparison.Wishes()
    with located_in(project):
        refuse_in_place(project, "`compare`")
        found = comparison.compare(project, system_of(units, project), wanted)
    return Comparison(found, found.options)


def equation(number: str, units: Units = "US", edition: str = standard().editions[0]) -> Equation:
    """One equation as a function of numbers or arrays.

    Its arguments are keys of the symbol table (`docs/glossary.md`), each in the unit of the
    system; arrays broadcast against each other and give an array of their common shape. It checks
    no range: `limits` tells where it holds, `source`, `clause` and `provenance` where it is from.

    Raises:
        InputFaults: a number that no equation has, an unknown unit system or edition.

    >>> import numpy as np
    >>> factor = equation("C")
    >>> factor.arguments
    ('q',)
    >>> factor(np.array([0.0, 2.0, 5.0])).round(3)
    array([1.   , 0.836, 0.64 ])
    """
    from linerdesign.methods.catalogue import catalogue

    one_of("units", units, SYSTEMS)
    one_of("edition", edition, standard().editions)
    named = [each for each in catalogue() if each.number.casefold() == number.casefold()]
    for each in named:
        if each.system in (None, units) and (each.edition or edition).startswith(edition):
            return each
    known = tuple(dict.fromkeys(each.number for each in catalogue()))
    raise InputFaults([unknown_word("", number, known, "equation number")])


def write(
    outcome: Writable, *paths: str | Path, force: bool = False, paper: str | None = None
) -> None:
    """Writes a file for each path, its form by its suffix: .txt .json .pdf .xlsx .html.

    `outcome` is what `size`, `review`, `compare`, `plan` or `batch` gave; of `plan`, .csv and
    .xlsx have the tables as its command writes them. `paper` is that of a PDF, `us-letter` or
    `a4`; without it, by the unit system. All forms are made before the first file is put in place.

    Raises:
        InputFaults: an unknown suffix or paper, a file that is there and no `force`, a folder
            that is not there or can't be written.
    """
    from linerdesign.documents import writing
    from linerdesign.project.placing import together

    one_of("paper", paper, (None, *writing.PAPERS))
    targets = [Path(path) for path in paths]
    writing.check_targets(targets, force, tuple(writing.own_forms(outcome)))
    with together(force):
        writing.write(outcome, targets, paper)
