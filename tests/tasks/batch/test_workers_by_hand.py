"""How pieces go to the workers of a scheduler, with a client made here: no process is started."""

from contextlib import contextmanager
from types import SimpleNamespace as Made

import numpy as np
import polars as pl
import pytest

from linerdesign.project.faults import InputFaults
from linerdesign.tasks.batch import cluster
from linerdesign.tasks.batch.tables import Piece


class KilledError(Exception):
    pass


class ClosedError(Exception):
    pass


class Client:
    """A client that works when its result is asked for, and keeps what it was given."""

    def __init__(self, threads=None, versions=("1",), lost=None):
        self.threads = {"a": 2, "b": 1} if threads is None else threads
        self.versions, self.lost = versions, lost
        self.kept, self.options, self.open, self.most = [], [], 0, 0

    def __enter__(self):
        return self

    def __exit__(self, *error):
        self.closed = True

    def nthreads(self):
        return self.threads

    def run(self, version):
        assert version() == cluster.__version__
        if self.lost:
            raise self.lost
        return dict(enumerate(self.versions))

    def scatter(self, what, **options):
        self.kept.append((what, options))
        return what

    def submit(self, work, *given, **options):
        self.options.append(options)
        self.open += 1
        self.most = max(self.most, self.open)

        def result():
            self.open -= 1
            return work(*given)

        return Made(result=result)


def made_sizer(monkeypatch):
    asked = []

    def size(frame, surplus, sampled=False):
        asked.append((frame, surplus, sampled))
        return Made(name=f"sized {frame}", cells=[])

    sizer = Made(size=size, shapes="shapes")
    monkeypatch.setattr(cluster, "replace", lambda what, _shapes: Made(**vars(what), fresh=_shapes))
    return sizer, asked


def test_pieces_come_back_in_their_order_and_few_are_under_way(monkeypatch):
    """Three threads and two pieces ahead for each: six wait, and one more is sent off."""
    client, addresses = Client(), []

    @contextmanager
    def connected(address):
        addresses.append(address)
        yield client

    monkeypatch.setattr(cluster, "_connected", connected)
    sizer, asked = made_sizer(monkeypatch)
    pieces = (Piece(f"piece {n}", {n: "more"}) for n in range(20))
    found = []
    for frame, sized in cluster.sized_by_workers(pieces, sizer, "tcp://here"):
        found.append((frame, sized.name))
        assert client.open <= 6
    assert addresses == ["tcp://here"]
    assert found == [(f"piece {n}", f"sized piece {n}") for n in range(20)]
    # Only the first rows of all are sampled.
    assert asked == [(f"piece {n}", {n: "more"}, n == 0) for n in range(20)]
    assert client.most == 7
    (shared, options), *frames = client.kept
    # What the first piece has worked out is not sent; every worker has the rest.
    assert (shared.fresh, shared.shapes, options) == ({}, "shapes", {"broadcast": True})
    assert frames == [(f"piece {n}", {}) for n in range(1, 20)]
    # Equal pieces are worked out each by itself.
    assert client.options == [{"pure": False}] * 19


def test_an_inventory_of_one_piece_or_none_needs_no_worker(monkeypatch):
    client = Client()

    @contextmanager
    def connected(address):
        yield client

    monkeypatch.setattr(cluster, "_connected", connected)
    sizer, _ = made_sizer(monkeypatch)
    for count in (0, 1):
        pieces = iter([Piece("only", {})] * count)
        assert len(list(cluster.sized_by_workers(pieces, sizer, "x"))) == count
    assert client.most == 0


def test_the_texts_of_cells_stay_with_the_worker():
    from linerdesign.project.columns import Column
    from linerdesign.tasks.batch.cells import Cells

    texts = pl.Series(["8", "nine"])
    cells = Cells(
        Column("D [in]", "host_diameter", "in"), np.ones(2), np.ones(2, bool), None, texts
    )
    sizer = Made(size=lambda frame, surplus: Made(cells=[cells], frame=frame, surplus=surplus))
    found = cluster._sized(sizer, "frame", {1: "x"})
    assert (found.frame, found.surplus) == ("frame", {1: "x"})
    (sent,) = found.cells
    assert (len(sent.texts), sent.numbers.tolist()) == (0, [1, 1])
    assert len(texts) == 2


def connecting(monkeypatch, client, error=None):
    """What is told on the way to a client, and inside its block after it was reached."""
    asked = []

    def made(address, **options):
        asked.append((address, options))
        if isinstance(client, Exception):
            raise client
        return client

    library = Made(Client=made, KilledWorker=KilledError, comm=Made(CommClosedError=ClosedError))
    monkeypatch.setattr(
        cluster, "extra", lambda name, place: asked.append((name, place)) or library
    )
    monkeypatch.setattr(cluster, "__version__", "1")

    def work():
        with cluster._connected("tcp://here") as reached:
            assert reached is client
            raise error

    with pytest.raises(InputFaults) as caught:
        work()
    assert asked == [
        ("distributed", "scheduler tcp://here"),
        ("tcp://here", {"timeout": 10, "set_as_default": False}),
    ]
    return str(caught.value)


LONG = "x" * 118


@pytest.mark.parametrize("kind", [OSError, ValueError, TimeoutError])
def test_a_scheduler_that_is_not_there(monkeypatch, kind):
    """The first line of what the library says, and no more than 120 characters of it."""
    told = connecting(monkeypatch, kind("timed\\tout\nsecond\nthird"))
    assert told.startswith("scheduler tcp://here: no scheduler: ")
    assert "second" not in told
    assert f'"{LONG}"; start one' in connecting(monkeypatch, kind(LONG))
    assert f'"{LONG}x...; start one' in connecting(monkeypatch, kind(LONG + "xx"))


def test_workers_of_every_other_version_are_named(monkeypatch):
    client = Client(versions=("1", "3", "2"))
    assert connecting(monkeypatch, client) == (
        "scheduler tcp://here 1, 2, 3: workers have another version; install version 1 on all"
    )
    assert client.closed
    told = connecting(monkeypatch, Client(versions=("2", "2")))
    assert told.startswith("scheduler tcp://here 2: workers have")
    assert connecting(monkeypatch, Client(threads={})) == (
        "scheduler tcp://here: the scheduler has no workers; start some"
    )


@pytest.mark.parametrize(
    ("kind", "told"),
    [
        (ImportError, "a worker cannot load the program: {}; install it there too"),
        (AttributeError, "a worker cannot load the program: {}; install it there too"),
        (KilledError, "workers lost: {}; give them more memory, or leave out --scheduler"),
        (ClosedError, "workers lost: {}; give them more memory, or leave out --scheduler"),
    ],
)
def test_what_goes_wrong_at_the_workers_is_a_fault(monkeypatch, kind, told):
    """When they are first asked, and while they work."""
    said = f"scheduler tcp://here: {told}"
    assert connecting(monkeypatch, Client(lost=kind(LONG))) == said.format(f'"{LONG}"')
    assert connecting(monkeypatch, Client(), kind(LONG)) == said.format(f'"{LONG}"')
    assert connecting(monkeypatch, Client(), kind(LONG + "xx")) == said.format(f'"{LONG}x...')
    if kind in (KilledError, ClosedError):
        two = connecting(monkeypatch, Client(), kind("first\nsecond\nthird"))
        assert two == said.format('"first"')
