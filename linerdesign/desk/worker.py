"""`python -m linerdesign.desk.worker TASK PROJECT TARGET`: one document, saying how far it is.

`... systems PROJECT TARGET FOLDER BY` compares the systems of a project not saved yet, as markup;
FOLDER is where the files are that it names.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from linerdesign.documents.writing import render
from linerdesign.interface import compare, read, review, size
from linerdesign.project.faults import InputFaults, every_fault
from linerdesign.project.placing import put
from linerdesign.project.reading import Project, parse


def _made(task: str, project: Project) -> Any:
    if task == "compare":
        from linerdesign.tasks.compare.comparison import Wishes

        return compare(project, wishes=Wishes(pictures=True))
    return size(project) if task == "size" else review(project)


def main(task: str, source: Path, target: Path) -> int:
    """Writes the document; gives 0 where it was written, 2 where the input has faults."""

    def data() -> bytes:
        _stage(0)
        with every_fault() as faults:
            project = faults.of(read, source)
            _stage(1)
            outcome = faults.of(_made, task, project) if project is not None else None
        assert outcome is not None  # its faults are raised
        _stage(2)
        return render(outcome, target.suffix)

    return _written(target, data)


def systems(source: Path, target: Path, folder: Path, by: str) -> int:
    """Writes the comparison of systems as markup; pipes with faults are left out."""
    from linerdesign.desk.panels import comparison

    def data() -> bytes:
        _stage(1)
        project = parse(source.read_bytes(), apart=True, folder=folder)
        _stage(2)
        return comparison(project, by).encode()

    return _written(target, data)


def _written(target: Path, data: Callable[[], bytes]) -> int:
    """Writes what `data` makes; gives 0 where it was written, 2 where the input has faults."""
    try:
        made = data()
        _stage(3)
        put(target, made)
    except InputFaults as found:
        print("\n".join(map(str, found.faults[:20])))
        return 2
    _stage(4)
    return 0


def _stage(number: int) -> None:
    print(f"stage {number}", flush=True)


if __name__ == "__main__":
    wanted, of, to = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
    if wanted == "systems":
        raise SystemExit(systems(of, to, Path(sys.argv[4]), sys.argv[5]))
    raise SystemExit(main(wanted, of, to))
