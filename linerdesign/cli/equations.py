"""`linerdesign equations [NUMBER]`: the equations, with symbols, ranges and sources."""

from __future__ import annotations

import argparse

from linerdesign.documents.blocks import Document, Outcome
from linerdesign.documents.equations import equation_data, in_full, list_of
from linerdesign.methods.catalogue import catalogue, with_number
from linerdesign.project.faults import InputFaults, unknown_word
from linerdesign.project.models import ProjectInfo
from linerdesign.words import sentence


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "number", metavar="NUMBER", nargs="?", help=sentence("standard.help_number")
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Lists all equations, or prints one number in full."""
    if arguments.number is None:
        chosen, blocks = catalogue(), list_of(catalogue())
        subject = sentence("program.all_equations")
    else:
        chosen = with_number(arguments.number)
        if not chosen:
            known = tuple(dict.fromkeys(each.number for each in catalogue()))
            raise InputFaults([unknown_word("", arguments.number, known, "equation number")])
        blocks = tuple(block for each in chosen for block in in_full(each))
        subject = sentence("program.one_equation", number=chosen[0].number)
    title = sentence("program.equations")
    document = Document(title, blocks, ProjectInfo.model_construct(title=subject), "US")
    return Outcome(document, {"equations": [equation_data(each) for each in chosen]}, True)
