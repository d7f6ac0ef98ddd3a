"""Documents made while the desk goes on: each in a process of its own, which can be ended."""

from __future__ import annotations

import secrets
import subprocess
import sys
import tempfile
import threading
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from linerdesign.project.faults import InputFaults, fault

# What is made of a project: the task, and the form by its suffix.
DOCUMENTS = {
    "pdf": ("size", ".pdf"),
    "workbook": ("size", ".xlsx"),
    "page": ("size", ".html"),
    "data": ("size", ".json"),
    "text": ("size", ".txt"),
    "letter": ("review", ".pdf"),
    "comparison": ("compare", ".pdf"),
}
# Read, calculate, compose, write.
STAGES = 4
MOST_JOBS = 4


@dataclass
class Job:
    """One document under way. `stage` counts up to `STAGES`; `state` says how it ended."""

    id: str
    name: str
    file: Path
    process: subprocess.Popen[str]
    stage: int = 0
    state: str = "running"
    lines: list[str] = field(default_factory=list)

    @property
    def data(self) -> dict[str, Any]:
        """What the page shows of it."""
        shown = {"id": self.id, "name": self.name, "stage": self.stage, "stages": STAGES}
        return shown | {"state": self.state, "text": " ".join(self.lines[:20])}


class Jobs:
    """The documents of one desk, in a folder that goes with it."""

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="linerdesign-desk-")
        self._jobs: dict[str, Job] = {}
        self._lock = threading.Lock()

    def start(self, document: str, project: Path) -> Job:
        """Begins a document of a project file.

        Raises:
            InputFaults: an unknown document, or as many under way as a desk allows.
        """
        if document not in DOCUMENTS:
            raise InputFaults([fault("desk.no_document", document, known=", ".join(DOCUMENTS))])
        task, suffix = DOCUMENTS[document]
        added = "" if task == "size" else f" {document}"
        return self._begun(f"{project.stem}{added}{suffix}", suffix, task, project)

    def compare(self, text: str, folder: Path, by: str) -> Job:
        """Begins a comparison of the systems of a project that may not be saved yet, as markup.

        Raises:
            InputFaults: as many under way as a desk allows.
        """
        source = Path(self._folder.name) / f"{secrets.token_hex(8)}.toml"
        source.write_text(text, encoding="utf-8")
        return self._begun("comparison.html", ".html", "systems", source, str(folder), by)

    def _begun(self, name: str, suffix: str, task: str, project: Path, *more: str) -> Job:
        with self._lock:
            if sum(job.state == "running" for job in self._jobs.values()) >= MOST_JOBS:
                raise InputFaults([fault("desk.too_many_jobs", "", most=MOST_JOBS)])
            number = secrets.token_hex(8)
            file = Path(self._folder.name) / f"{number}{suffix}"
            # -P: nothing that lies in the project's folder is taken for a module.
            program = [sys.executable, "-P", "-m", "linerdesign.desk.worker"]
            process = subprocess.Popen(
                [*program, task, str(project), str(file), *more],
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                text=True,
            )
            job = self._jobs[number] = Job(number, name, file, process)
        threading.Thread(target=self._follow, args=(job,), daemon=True).start()
        return job

    def _follow(self, job: Job) -> None:
        assert job.process.stdout is not None
        for line in job.process.stdout:
            stage, _, number = line.strip().partition(" ")
            if stage == "stage" and number.isdigit():
                job.stage = int(number)
            elif line.strip():
                job.lines.append(line.strip())
        code = job.process.wait()
        if job.state == "running":
            job.state = "done" if code == 0 and job.file.is_file() else "failed"

    def get(self, number: str) -> Job:
        """A job by its id.

        Raises:
            InputFaults: no such job.
        """
        if number not in self._jobs:
            raise InputFaults([fault("desk.no_job", "")])
        return self._jobs[number]

    def cancel(self, number: str) -> Job:
        """Ends a document under way; nothing of it is left."""
        job = self.get(number)
        if job.state == "running":
            job.state = "cancelled"
            job.process.kill()
            job.process.wait()
            job.file.unlink(missing_ok=True)
        return job

    def close(self) -> None:
        """Ends all of them and removes their files."""
        for number in list(self._jobs):
            self.cancel(number)
        self._folder.cleanup()
