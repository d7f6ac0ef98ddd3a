"""`linerdesign new FILE`: a commented starter project, or one made by questions."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from linerdesign.cli.choices import OneOf, add_units
from linerdesign.documents.writing import check_target
from linerdesign.methods.basis import FULLY
from linerdesign.project.faults import Fault, InputFaults, Place, every_fault
from linerdesign.project.fields import READERS
from linerdesign.project.key import Key
from linerdesign.project.placing import put
from linerdesign.project.reading import parse
from linerdesign.project.starter import (
    CONDITIONS,
    OWNER_DECIDES,
    QUESTIONS,
    example,
    starter_text,
)
from linerdesign.words import sentence

GIVES_OUTCOME = False
OWN_FORMS = (".toml",)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument("file", metavar="FILE", type=Path, help="project file to write (TOML)")
    parser.add_argument("--ask", action="store_true", help="ask for the values of the first pipe")
    parser.add_argument(
        "--condition",
        action=OneOf,
        among=CONDITIONS,
        metavar="WORDS",
        help=f"condition of the host {OWNER_DECIDES}",
    )
    parser.add_argument(
        "--review",
        action="store_true",
        help="with tables for what a submittal states, every symbol listed with its name",
    )
    parser.add_argument("--force", action="store_true", help="overwrite a file that exists")
    add_units(parser, help="unit system", default="US")


def run(arguments: argparse.Namespace) -> None:
    """Writes the starter project; what it writes is read back before it is kept."""
    path: Path = arguments.file
    with every_fault() as faults:
        faults.extend(arguments.faults)
        faults.of(check_target, path, arguments.force, OWN_FORMS)
    answers = {"condition": arguments.condition} if arguments.condition else {}
    if arguments.ask:
        answers = ask(arguments.units, input, answers)
    text = starter_text(arguments.units, answers, arguments.review)
    _read_back(text, path.name, "condition" in answers)
    put(path, text.encode(), arguments.force)
    first = sentence("program.next_stated") if arguments.review else ""
    if "condition" not in answers:
        first = sentence("program.next_condition", owner=OWNER_DECIDES) + first
    command = "review" if arguments.review else "size"
    print(sentence("program.next", path=path, first=first, command=command), file=sys.stderr)


def _read_back(text: str, name: str, decided: bool) -> None:
    """Reads what is to be written; the condition alone may still be open."""
    try:
        parse(text.encode(), name)
    except InputFaults as found:
        if decided or any(each.key != "condition" for each in found.faults):
            raise


def ask(
    units: str, read: Callable[[str], str], known: Mapping[str, str] = MappingProxyType({})
) -> dict[str, str]:
    """The answers to the questions for one pipe, beside what is known.

    A value accepted as shown is not among them.
    """
    answers = dict(known)
    for key in QUESTIONS:
        if key.required_by == FULLY and answers.get("condition") != FULLY:
            continue
        answer = answers.get(key.name) or _answer(key, units, read)
        if answer:
            answers[key.name] = answer
    return answers


def _answer(key: Key, units: str, read: Callable[[str], str]) -> str:
    """What the project file would take; empty where the value shown is accepted."""
    if key.name == "condition":
        return _condition(key, read)
    while True:
        given = read(f"{_question(key)} [{example(key, units)}]: ").strip()
        faults: list[Fault] = []
        if given:
            READERS[key.kind](given, key, Place(), faults)
        if not faults:
            return given
        for each in faults:
            print(f"  {each.text}", file=sys.stderr)


def _question(key: Key) -> str:
    return key.help[0].upper() + key.help[1:]


def _condition(key: Key, read: Callable[[str], str]) -> str:
    """Asks until one of the two is named; no answer is no decision."""
    while True:
        given = read(f"{_question(key)}: ").strip().lower()
        matches = [choice for choice in CONDITIONS if choice.startswith(given)]
        if len(matches) == 1:
            return matches[0]
        print(f"  {OWNER_DECIDES}", file=sys.stderr)
