"""`linerdesign transcribe FILE`: reads a submitted calculation into a project file."""

from __future__ import annotations

import argparse
import hashlib
import sys
from pathlib import Path

from linerdesign.documents.blocks import Outcome
from linerdesign.documents.writing import FORMS
from linerdesign.project.faults import every_fault
from linerdesign.project.placing import put
from linerdesign.tasks.transcribe.confirming import confirmed, read_labels, with_labels
from linerdesign.tasks.transcribe.opening import FORMS as READ
from linerdesign.tasks.transcribe.opening import open_document
from linerdesign.tasks.transcribe.project_text import Document, project_text
from linerdesign.tasks.transcribe.reader import read_document
from linerdesign.tasks.transcribe.report import outcome_of
from linerdesign.words import sentence

OWN_FORMS = (".toml",)
WRITES_INTO = ("labels",)
OUTPUT_HELP = (
    f"project file to write (.toml), or the transcript itself ({' '.join(FORMS)}); may be repeated"
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "file", metavar="FILE", type=Path, help=f"submitted calculation ({' '.join(READ)})"
    )
    parser.add_argument(
        "--confirm", action="store_true", help="confirm unsure values one by one at the terminal"
    )
    parser.add_argument(
        "--labels",
        metavar="FILE",
        type=Path,
        help="contractor's own labels (TOML); with --confirm, labels confirmed are added to it",
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Reads the document; holds where any value was found."""
    with every_fault() as faults:
        labels = (faults.of(read_labels, arguments.labels) or {}) if arguments.labels else {}
        opened = faults.of(open_document, arguments.file)
        faults.extend(arguments.faults)
    assert opened is not None  # its faults are raised
    source, data = opened
    transcript = read_document(source, labels)
    if arguments.confirm:
        transcript, learnt = confirmed(transcript, input, sys.stderr)
        if arguments.labels and learnt:
            put(arguments.labels, with_labels(labels | learnt).encode(), replace=True)
            count = sentence("transcribe.labels_learnt", count=len(learnt))
            print(f"{arguments.labels}: {count}", file=sys.stderr)
    digest = hashlib.sha256(data).hexdigest()
    document = Document(transcript, arguments.file.name, digest)
    for path in arguments.output:
        if path.suffix.lower() in OWN_FORMS:
            put(path, project_text(document).encode())
    return outcome_of(document)


def after(path: Path) -> str:
    """What to do with a file that was written."""
    return sentence("transcribe.next", path=path) if path.suffix.lower() in OWN_FORMS else ""
