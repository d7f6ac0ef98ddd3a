"""`linerdesign desk [FILE]`: design and review in the browser, on this machine alone."""

from __future__ import annotations

import argparse
import secrets
import socket
import sys
from contextlib import suppress
from importlib.util import find_spec
from pathlib import Path

from linerdesign.project.faults import InputFaults, fault
from linerdesign.words import sentence

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
        type=int,
        help=f"port on 127.0.0.1 (default {USUAL_PORT}, or any free one)",
    )
    parser.add_argument(
        "--no-browser", action="store_true", help="print the address only; open no browser"
    )
    parser.add_argument(
        "--units", choices=("US", "SI"), default="US", help="unit system of a new project"
    )


def run(arguments: argparse.Namespace) -> None:
    """Serves the project until interrupted."""
    if any(find_spec(name) is None for name in NEEDED):
        raise InputFaults([fault("desk.no_extra", "")])
    from linerdesign.desk.server import application
    from linerdesign.desk.session import Desk

    file: Path | None = arguments.file
    if file is not None and not file.exists():
        raise InputFaults([fault("not_found", str(file))])
    folder = (file.parent if file else Path()).resolve()
    desk = Desk(folder, file.name if file else "", arguments.units)
    listening = _listening(arguments.port)
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


def _listening(port: int | None) -> socket.socket:
    """A socket of this machine alone, on the port requested, the usual one, or a free one."""
    wanted = (port,) if port is not None else (USUAL_PORT, 0)
    for number in wanted:
        made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            made.bind(("127.0.0.1", number))
            made.listen(64)
        except (OSError, OverflowError):
            made.close()
            continue
        return made
    raise InputFaults([fault("desk.port", "--port", str(port))])


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
