"""`linerdesign desk [FILE]`: design and review in the browser, on this machine alone."""

from __future__ import annotations

import argparse
import secrets
import socket
import sys
from contextlib import suppress
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from linerdesign.cli.choices import add_units
from linerdesign.project.faults import InputFaults, every_fault, fault, shown
from linerdesign.project.options import whole
from linerdesign.project.reading import LARGEST_FILE, read_bytes
from linerdesign.words import sentence

if TYPE_CHECKING:
    from linerdesign.desk.session import Desk

GIVES_OUTCOME = False
# Tried first, so that a page left open finds the desk again after it was stopped.
USUAL_PORT = 8712
NEEDED = ("starlette", "uvicorn")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "file", metavar="FILE", nargs="?", type=Path, help="project file (TOML); without, a new one"
    )
    parser.add_argument(
        "--port",
        metavar="N",
        help=f"port on 127.0.0.1 (default {USUAL_PORT}, or any free one)",
    )
    parser.add_argument(
        "--no-browser", action="store_true", help="print the address only; open no browser"
    )
    add_units(parser, help="unit system of a new project", default="US")


def run(arguments: argparse.Namespace) -> None:
    """Serves the project until interrupted."""
    with every_fault() as faults:
        faults.extend(arguments.faults)
        if any(find_spec(name) is None for name in NEEDED):
            faults.append(fault("desk.no_extra", ""))
        desk = faults.of(_opened, arguments.file, arguments.units)
        listening = faults.of(_listening, arguments.port)
    # Their faults are raised.
    assert desk is not None
    assert listening is not None
    from linerdesign.desk.server import application

    port = listening.getsockname()[1]
    token = secrets.token_urlsafe(24)
    served, jobs = application(desk, token, port)
    address = f"http://127.0.0.1:{port}/{token}/"
    print(sentence("desk.address", address=address), flush=True)
    print(sentence("desk.stop"), file=sys.stderr, flush=True)
    try:
        with suppress(KeyboardInterrupt):  # the usual end
            _serve(served, listening, None if arguments.no_browser else address)
    finally:
        jobs.close()


def _opened(file: Path | None, units: str) -> Desk:
    """The project in a file, or a new one.

    Raises:
        InputFaults: a file that can't be read or edited.
    """
    from linerdesign.desk.session import Desk

    if file is None:
        return Desk(Path().resolve(), units=units)
    read_bytes(file, LARGEST_FILE, regular=True)  # here its name is that given
    return Desk(file.parent.resolve(), file.name)


def _listening(port: str | None) -> socket.socket:
    """A socket of this machine alone, on the port requested, the usual one, or a free one.

    Raises:
        InputFaults: a port that is taken, or that there is not.
    """
    wanted = (USUAL_PORT, 0) if port is None else (whole(port),)
    for number in wanted:
        if number is None:
            continue
        made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            made.bind(("127.0.0.1", number))
            made.listen(64)
        except (OSError, OverflowError):
            made.close()
            continue
        return made
    raise InputFaults([fault("desk.port", "--port", shown(port))])


def _serve(served: object, listening: socket.socket, address: str | None) -> None:
    import threading
    import webbrowser

    import uvicorn

    config = uvicorn.Config(
        served,  # type: ignore[arg-type]
        log_level="warning",
        access_log=False,
        server_header=False,
        lifespan="off",
        timeout_graceful_shutdown=2,
    )
    if address:
        threading.Timer(0.3, webbrowser.open, (address,)).start()
    uvicorn.Server(config).run(sockets=[listening])
