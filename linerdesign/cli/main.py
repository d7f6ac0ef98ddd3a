"""`linerdesign COMMAND ...`: finds the command, prints and writes what it gives.

A command's `run` is given the faults found so far as `faults` of its arguments, and adds its own:
what can be done in spite of them is done, so that all come at once.
"""

from __future__ import annotations

import argparse
import errno
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from io import TextIOWrapper
from pathlib import Path

from linerdesign import __version__
from linerdesign.cli.choices import OneOf
from linerdesign.documents.capped import LEAST, demand, is_capped
from linerdesign.project.faults import Fault, Faults, InputFaults, every_fault
from linerdesign.project.placing import recorded, together
from linerdesign.words import sentence
from linerdesign.words.program import SENTENCES

DONE, NOT_MET, BAD_INPUT, INTERNAL_ERROR = 0, 1, 2, 3

MOST_FAULTS = 1000
# A command that writes other forms has its own text.
OUTPUT_HELP = "output file, its form by suffix (.txt .json .pdf .xlsx .html); repeatable"

COMMANDS = {
    "transcribe": "read a submitted calculation into a project file",
    "docket": "status of many submittals and their revisions",
    "size": "size every pipe of a project: schedule and calculation sheets",
    "review": "recheck the values stated in a submitted calculation",
    "compare": "compare all resins on all pipes",
    "plan": "planning table: thickness against diameter, cover and groundwater",
    "batch": "size an inventory, one row per pipe",
    "accept": "check installed samples against the design",
    "creep": "long-term modulus from a creep test",
    "profile": "diameter and ovality from measured radii or diameters",
    "buckling": "second opinion by encased-ring theory",
    "equations": "list the equations with symbols, ranges and sources",
    "new": "write a commented starter project",
    "desk": "design and review in the browser, without writing a file",
    "verification": "write a record of what the office verifies against its printed standards",
}

# Where the libraries of a command take more than those of all; in bytes of address space.
MEMORY = {"batch": 2 << 30}


class _Parser(argparse.ArgumentParser):
    """Bad arguments are bad input: one line to standard error, exit 2."""

    def error(self, message: str) -> None:  # type: ignore[override]
        self.exit(BAD_INPUT, f"{self.prog}: {message}\n")


def available() -> dict[str, str]:
    """The commands that this version has, with a line about each."""
    here = Path(__file__).parent
    return {name: text for name, text in COMMANDS.items() if (here / f"{name}.py").exists()}


def parser(command: str | None = None) -> argparse.ArgumentParser:
    """The parser of the whole line; only the named command's own arguments are filled in."""
    top = _Parser(
        prog="linerdesign",
        description=sentence("standard.program"),
        epilog="Exit codes: 0 completed, all checks pass; 1 completed, but a check fails, a pipe "
        "is outside the scope, or a result is undecided; 2 bad input, nothing "
        "written, but for pipes that can be designed beside others that cannot; also interrupted, "
        "or short of memory or disk; 3 internal error.",
    )
    top.add_argument("--version", action="version", version=f"linerdesign {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, text in available().items():
        sub = commands.add_parser(name, help=text, description=text[0].upper() + text[1:] + ".")
        if name == command:
            module = import_module(f"linerdesign.cli.{name}")
            module.add_arguments(sub)
            if getattr(module, "GIVES_OUTCOME", True):
                _add_output_arguments(sub, getattr(module, "OUTPUT_HELP", OUTPUT_HELP))
    return top


def _add_output_arguments(sub: argparse.ArgumentParser, output_help: str) -> None:
    from linerdesign.documents.writing import PAPERS

    sub.add_argument("--json", action="store_true", help="print the result as JSON")
    sub.add_argument(
        "-o",
        dest="output",
        metavar="PATH",
        type=Path,
        action="append",
        default=[],
        help=output_help,
    )
    sub.add_argument(
        "--paper",
        action=OneOf,
        among=PAPERS,
        help="paper size of a PDF (default: by the unit system)",
    )
    sub.add_argument("--force", action="store_true", help="overwrite existing files")


def main(argv: Sequence[str] | None = None) -> int:
    """Runs the command line and returns the exit code."""
    given = list(sys.argv[1:] if argv is None else argv)
    with recorded() as placed:
        return _ended(given, placed)


def _ended(given: Sequence[str], placed: Sequence[Path]) -> int:
    """The exit code of a command; where it fails, it is said which files are `placed` by then."""
    command = next((word for word in given if word in COMMANDS), None)
    try:
        demand(MEMORY.get(command or "", LEAST))
        return _run(parser(command).parse_args(given))
    except InputFaults as found:
        return _report(found.faults, _left(placed))
    except (KeyboardInterrupt, EOFError):
        _say("interrupted", result=_left(placed))
        return BAD_INPUT
    except BrokenPipeError:
        # The reader of a pipe went away.
        _close_output()
        return DONE
    except OSError as error:
        # Not the files requested, which have faults of their own: temporary ones, for instance.
        _say("system", why=(error.strerror or str(error)).lower(), result=_left(placed))
        return BAD_INPUT
    except SystemExit:
        raise
    except BaseException as error:  # libraries in another language have errors of this kind
        if not _is_of_memory(error):
            return _internal(error)
        _say("memory", result=_left(placed))
        return BAD_INPUT


def _left(placed: Sequence[Path]) -> str:
    """What there is of the files of a run that failed."""
    if not placed:
        return SENTENCES["nothing_written"]
    return SENTENCES["complete"].format(files=", ".join(map(str, placed)))


def _is_of_memory(error: BaseException) -> bool:
    """Whether too little memory is behind an error: libraries say so in several ways."""
    match error:
        case MemoryError():
            return True
        case ImportError():
            return "map segment" in str(error)
        case RuntimeError():
            return "start new thread" in str(error)
    return isinstance(error, SystemError) and is_capped()


def _internal(error: BaseException) -> int:
    """An error of the program itself."""
    if os.environ.get("LINERDESIGN_TRACEBACK"):
        raise error
    _say("internal", kind=type(error).__name__, error=error)
    return INTERNAL_ERROR


def _run(arguments: argparse.Namespace) -> int:
    module = import_module(f"linerdesign.cli.{arguments.command}")
    refused = getattr(arguments, "refused", ())
    if not getattr(module, "GIVES_OUTCOME", True):
        arguments.faults = Faults(refused)
        module.run(arguments)
        return DONE
    from linerdesign.cli.working import Working
    from linerdesign.documents.writing import check_targets, spare_inputs, write

    # Forms that a command writes itself: the table of an inventory, for instance.
    own = getattr(module, "OWN_FORMS", ())
    named = (getattr(arguments, name) for name in getattr(module, "WRITES_INTO", ()))
    others = [path for path in named if path is not None]
    documents = [path for path in arguments.output if path.suffix.lower() not in own]
    with together(arguments.force), Working() as working:
        working.stage("calculating")
        with every_fault() as arguments.faults:
            arguments.faults.extend(refused)
            arguments.faults.of(check_targets, arguments.output, arguments.force, own, others)
            outcome = arguments.faults.of(module.run, arguments)
            if arguments.faults:
                arguments.faults.extend(getattr(outcome, "faults", ()))
        spare_inputs(outcome.document.identity.files, arguments.output)
        write(outcome, documents, arguments.paper, working)
    for path in arguments.output:
        print(f"written: {path}", file=sys.stderr)
        if said := getattr(module, "after", lambda _: "")(path):
            print(said, file=sys.stderr)
    faults = getattr(outcome, "faults", ())
    if arguments.output and not (outcome.holds or faults):
        _say(getattr(module, "NOT_ALL", "not_all"))
    try:
        _print(outcome, arguments, documents)
    except BrokenPipeError:
        # Its reader has seen enough; the result is what it is.
        _close_output()
    except (OSError, KeyboardInterrupt) as error:
        _close_output()
        return _report_not_printed(error, arguments.output)
    if faults:
        return _report(faults, SENTENCES["not_designed"])
    return DONE if outcome.holds else NOT_MET


def _close_output() -> None:
    """Keeps Python from complaining of standard output again at its end."""
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _report_not_printed(error: BaseException, files: Sequence[Path]) -> int:
    """Files are complete before anything is printed, and stay."""
    why = getattr(error, "strerror", None) or "interrupted"
    _say("files_complete" if files else "printing_stopped", why=why.lower())
    return BAD_INPUT


def _print(  # type: ignore[no-untyped-def]
    outcome, arguments: argparse.Namespace, documents: Sequence[Path]
) -> None:
    printed = arguments.json or not documents
    if sys.stdout is None and printed:
        raise OSError(errno.EBADF, "standard output is closed")
    if printed:
        from linerdesign.cli.working import Working

        with Working() as working:
            working.stage("making the text")
            text = _text(outcome, arguments)
        sys.stdout.write(text)
    if sys.stdout is not None:
        sys.stdout.flush()


def _text(outcome, arguments: argparse.Namespace) -> str:  # type: ignore[no-untyped-def]
    """What is printed: data or document, all of it before any."""
    if arguments.json:
        from linerdesign.documents import json

        if isinstance(sys.stdout, TextIOWrapper):
            sys.stdout.reconfigure(encoding="utf-8")  # as JSON is by its own standard
        return json.text(outcome.data)
    from linerdesign.documents.text import printed

    return printed(outcome.document, sys.stdout)


def _report(faults: Sequence[Fault], result: str) -> int:
    count = len(faults)
    for fault in faults[:MOST_FAULTS]:
        print(fault, file=sys.stderr)
    if count > MOST_FAULTS:
        print(SENTENCES["more_faults"].format(count=count - MOST_FAULTS), file=sys.stderr)
    code = "one_fault" if count == 1 else "faults"
    _say(code, count=count, result=result)
    return BAD_INPUT


def _say(code: str, **blanks: object) -> None:
    # Of a module that is read by now: with little memory left no other could be.
    print(f"linerdesign: {SENTENCES[code].format(**blanks)}", file=sys.stderr)
