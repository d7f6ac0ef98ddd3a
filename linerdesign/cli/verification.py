"""`linerdesign verification -o FILE`: a record of what an office verifies against print."""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from pathlib import Path

from linerdesign.documents.working import Working
from linerdesign.documents.writing import check_target, spare_inputs
from linerdesign.interface import size
from linerdesign.methods.result import Step
from linerdesign.methods.verification import Verifiable
from linerdesign.project.faults import every_fault
from linerdesign.project.placing import put
from linerdesign.project.reading import Project, read
from linerdesign.project.verification import everything, template, used_by
from linerdesign.words import sentence

GIVES_OUTCOME = False
OWN_FORMS = (".toml",)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "-o", dest="output", metavar="FILE", type=Path, required=True, help="record to write (TOML)"
    )
    parser.add_argument(
        "--for", dest="project", metavar="PROJECT", type=Path, help="only what a project uses"
    )
    parser.add_argument("--force", action="store_true", help="overwrite a file that exists")


def run(arguments: argparse.Namespace) -> None:
    """Writes a record with blanks for edition, clause, by and date."""
    path: Path = arguments.output
    project, rows = None, None
    with every_fault() as faults:
        faults.extend(arguments.faults)
        faults.of(check_target, path, arguments.force, OWN_FORMS)
        if arguments.project is None:
            rows = everything()
        elif project := faults.of(read, arguments.project, new_record=True):
            rows = faults.of(_used, project)
            read_ones = [each for each in project.files if each.role != "verification"]
            faults.of(spare_inputs, read_ones, [path])
    assert rows is not None  # its faults are raised
    put(path, template(rows).encode(), arguments.force)
    kinds = Counter(each.kind for each in rows)
    counts = {f"{kind}s": kinds[kind] for kind in ("equation", "table", "constant")}
    print(f"written: {path}", file=sys.stderr)
    print(sentence("verification.written", count=len(rows), **counts), file=sys.stderr)
    if project and project.record is None and (named := _named(project)):
        same = named == path.name
        code = "verification.now_there" if same else "verification.not_there"
        print(sentence(code, named=named, project=project.file_name), file=sys.stderr)


def _named(project: Project) -> str:
    """The record that a project names, or else its criteria, as written."""
    return str(project.info.verification or project.criteria.verification)


def _used(project: Project) -> tuple[Verifiable, ...]:
    """What the thicknesses of a project use, a second method, and what is worked beside them."""
    sizing = size(project)
    steps: list[Step] = []
    for pipe in sizing.pipes:
        if pipe.second and pipe.second.result:
            steps += pipe.second.result.steps
        blocks = (block for each in sizing.additions.get(pipe.name, ()) for block in each.blocks)
        steps += (step for block in blocks if isinstance(block, Working) for step in block.steps)
    return used_by([pipe.task for pipe in sizing.pipes], steps)
