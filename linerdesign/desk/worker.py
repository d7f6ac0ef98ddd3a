"""`python -m linerdesign.desk.worker TASK PROJECT TARGET`: one document, saying how far it is."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from linerdesign.documents.writing import put, render
from linerdesign.interface import compare, read, review, size
from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import Project


def _made(task: str, project: Project) -> Any:
    if task == "compare":
        from linerdesign.tasks.compare.comparison import Wishes

        return compare(project, wishes=Wishes(pictures=True))
    return size(project) if task == "size" else review(project)


def main(task: str, source: Path, target: Path) -> int:
    """Writes the document; gives 0 where it was written, 2 where the input has faults."""
    try:
        _stage(0)
        project = read(source)
        _stage(1)
        outcome = _made(task, project)
        _stage(2)
        data = render(outcome, target.suffix)
        _stage(3)
        put(target, data)
    except InputFaults as found:
        print("\n".join(map(str, found.faults[:20])))
        return 2
    _stage(4)
    return 0


def _stage(number: int) -> None:
    print(f"stage {number}", flush=True)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])))
