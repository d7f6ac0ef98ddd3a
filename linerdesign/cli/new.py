"""`linerdesign new FILE`: a commented starter project, or one made by questions."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from linerdesign.documents.writing import put
from linerdesign.methods.basis import FULLY
from linerdesign.project.faults import Fault, InputFaults
from linerdesign.project.models import Site
from linerdesign.project.reading import parse, validated
from linerdesign.project.starter import (
    CONDITIONS,
    OWNER_DECIDES,
    QUESTIONS,
    Question,
    starter_text,
)

GIVES_OUTCOME = False


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument("file", metavar="FILE", type=Path, help="project file to write (TOML)")
    parser.add_argument("--ask", action="store_true", help="ask for the first pipe, one by one")
    parser.add_argument(
        "--condition",
        choices=CONDITIONS,
        metavar="WORDS",
        help=f"condition of the host; {OWNER_DECIDES}",
    )
    parser.add_argument("--force", action="store_true", help="overwrite a file that exists")
    parser.add_argument("--units", choices=("US", "SI"), default="US", help="unit system")


def run(arguments: argparse.Namespace) -> None:
    """Writes the starter project; what it writes is read back before it is kept."""
    path: Path = arguments.file
    if path.exists() and not arguments.force:
        expected = "a file that does not exist yet, or --force to overwrite it"
        raise InputFaults([Fault(str(path), "", expected)])
    answers = {"condition": arguments.condition} if arguments.condition else {}
    if arguments.ask:
        answers = ask(arguments.units, input, answers)
    text = starter_text(arguments.units, answers)
    _read_back(text, path.name, "condition" in answers)
    put(path, text.encode())
    first = "" if "condition" in answers else f"give the condition ({OWNER_DECIDES}), then "
    print(f"written: {path}\nnext: {first}linerdesign size {path}", file=sys.stderr)


def _read_back(text: str, name: str, decided: bool) -> None:
    """Reads what is to be written; the condition alone may still be open."""
    try:
        parse(text.encode(), name)
    except InputFaults as found:
        if decided or any(not each.place.endswith(", condition") for each in found.faults):
            raise


def ask(
    units: str, read: Callable[[str], str], known: Mapping[str, str] = MappingProxyType({})
) -> dict[str, str]:
    """The answers to the questions for one pipe, beside what is known.

    A value that an empty answer takes as shown is not among them: nobody gave it.
    """
    answers = dict(known)
    for question in QUESTIONS:
        if question.only_fully and answers.get("condition") != FULLY:
            continue
        answer = answers.get(question.key) or _answer(question, units, read)
        if answer:
            answers[question.key] = answer
    return answers


def _answer(question: Question, units: str, read: Callable[[str], str]) -> str:
    """What the project file would take; empty where the value shown is to stand."""
    if question.key == "condition":
        return _condition(question, read)
    while True:
        given = read(f"{question.text} [{question.example(units)}]: ").strip()
        faults: list[Fault] = []
        if given and question.key in Site.model_fields:
            validated(Site, {question.key: given}, "", faults)
        if not faults:
            return given
        for fault in faults:
            print(f"  expected {fault.expected}", file=sys.stderr)


def _condition(question: Question, read: Callable[[str], str]) -> str:
    """Asks until one of the two is named; no answer is no decision."""
    while True:
        given = read(f"{question.text}: ").strip().lower()
        matches = [choice for choice in CONDITIONS if choice.startswith(given)]
        if len(matches) == 1:
            return matches[0]
        print(f"  {OWNER_DECIDES}", file=sys.stderr)
