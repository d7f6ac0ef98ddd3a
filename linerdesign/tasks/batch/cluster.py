"""The rows of an inventory sized by the workers of a Dask scheduler, piece by piece.

Reading, the summary and writing stay here, and so does the order: the result is that of one
process, to the bit.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from linerdesign import __version__
from linerdesign.project.extras import extra
from linerdesign.project.faults import InputFaults, fault, first_line
from linerdesign.tasks.batch.pieces import Sized, Sizer
from linerdesign.tasks.batch.tables import Piece

if TYPE_CHECKING:
    import polars as pl

# Seconds to wait for a scheduler, and pieces under way for each thread of its workers.
WAIT, AHEAD = 10, 2


def sized_by_workers(
    pieces: Iterator[Piece], sizer: Sizer, address: str
) -> Iterator[tuple[pl.DataFrame, Sized]]:
    """The pieces with what they give, in their order.

    The first is sized here: it tells how the numbers of the table are written.

    Raises:
        InputFaults: no scheduler or no worker at the address, workers of another version, a
            missing library, workers that were lost.
    """
    with _connected(address) as client:
        for piece in pieces:
            yield piece.frame, sizer.size(piece.frame, piece.surplus, sampled=True)
            break
        shared = client.scatter(replace(sizer, _shapes={}), broadcast=True)
        most = AHEAD * sum(client.nthreads().values())
        waiting: deque[tuple[pl.DataFrame, Any]] = deque()
        for piece in pieces:
            frame = client.scatter(piece.frame)
            done = client.submit(_sized, shared, frame, piece.surplus, pure=False)
            waiting.append((piece.frame, done))
            if len(waiting) > most:
                yield _next(waiting)
        while waiting:
            yield _next(waiting)


def _next(waiting: deque[tuple[pl.DataFrame, Any]]) -> tuple[pl.DataFrame, Sized]:
    frame, done = waiting.popleft()
    return frame, done.result()


def _sized(sizer: Sizer, frame: pl.DataFrame, surplus: dict[int, str]) -> Sized:
    """What a piece gives; its texts, which nothing needs any more, stay with the worker."""
    sized = sizer.size(frame, surplus)
    sized.cells = [replace(each, texts=each.texts.clear()) for each in sized.cells]
    return sized


def _version() -> str:
    return __version__


@contextmanager
def _connected(address: str) -> Iterator[Any]:
    place = f"scheduler {address}"
    distributed = extra("distributed", place)
    try:
        client = distributed.Client(address, timeout=WAIT, set_as_default=False)
    except (OSError, ValueError) as error:
        why = first_line(error, 120)
        raise InputFaults([fault("inventory.no_scheduler", place, why=why)]) from None
    with client:
        if not client.nthreads():
            raise InputFaults([fault("inventory.no_workers", place)])
        try:
            versions = set(client.run(_version).values())
            if versions != {__version__}:
                found = ", ".join(sorted(versions))
                known = fault("inventory.other_version", place, found, version=__version__)
                raise InputFaults([known])
            yield client
        except (ImportError, AttributeError) as error:
            why = first_line(error, 120)
            raise InputFaults([fault("inventory.no_package", place, why=why)]) from None
        except (distributed.KilledWorker, distributed.comm.CommClosedError) as error:
            why = first_line(error, 120)
            raise InputFaults([fault("inventory.lost_workers", place, why=why)]) from None
