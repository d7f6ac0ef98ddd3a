"""`linerdesign new FILE`: a commented starter project, or one made by questions."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from linerdesign.outputs.writing import put
from linerdesign.project.faults import Fault, InputFaults
from linerdesign.project.measures import parse
from linerdesign.project.reading import parse as parse_project
from linerdesign.project.starter import QUESTIONS, Question, starter_text

GIVES_OUTCOME = False


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument("file", metavar="FILE", type=Path, help="project file to write (TOML)")
    parser.add_argument("--ask", action="store_true", help="ask for the first pipe, one by one")
    parser.add_argument("--force", action="store_true", help="overwrite a file that exists")
    parser.add_argument("--units", choices=("US", "SI"), default="US", help="unit system")


def run(arguments: argparse.Namespace) -> None:
    """Writes the starter project; what it writes is read back before it is kept."""
    path: Path = arguments.file
    if path.exists() and not arguments.force:
        expected = "a file that does not exist yet, or --force to overwrite it"
        raise InputFaults([Fault(str(path), "", expected)])
    answers = ask(arguments.units, input) if arguments.ask else {}
    text = starter_text(arguments.units, answers)
    parse_project(text.encode(), path.name)
    put(path, text.encode())
    print(f"written: {path}\nnext: linerdesign size {path}", file=sys.stderr)


def ask(units: str, read: Callable[[str], str]) -> dict[str, str]:
    """The answers to the questions for one pipe; an empty answer takes the value shown."""
    answers: dict[str, str] = {}
    for question in QUESTIONS:
        if question.only_fully and answers.get("condition") != "fully deteriorated":
            continue
        answers[question.key] = _answer(question, units, read)
    return answers


def _answer(question: Question, units: str, read: Callable[[str], str]) -> str:
    shown = question.example(units)
    while True:
        given = read(f"{question.text} [{shown}]: ").strip() or shown
        if not question.choices and not question.kind:
            return given
        if question.choices:
            matches = [choice for choice in question.choices if choice.startswith(given.lower())]
            if len(matches) == 1:
                return matches[0]
            print(f"  one of: {', '.join(question.choices)}", file=sys.stderr)
            continue
        try:
            return parse(given, question.kind).text
        except ValueError as error:
            print(f"  expected {error}", file=sys.stderr)
