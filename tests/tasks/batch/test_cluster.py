"""An inventory sized by worker processes of a scheduler: the same result, to the bit."""

import json
import os
import sys

import polars as pl
import pytest
from tasks.batch.test_agreement import PROJECT
from tasks.batch.test_pieces import GOOD

from linerdesign.tasks.batch import cluster, tables

distributed = pytest.importorskip("distributed")


@pytest.fixture(scope="module")
def workers():
    """A scheduler with two worker processes on this machine."""
    wanted = {"n_workers": 2, "threads_per_worker": 2, "processes": True}
    with distributed.LocalCluster(**wanted, dashboard_address=None) as made:
        yield made


@pytest.fixture
def folder(tmp_path, monkeypatch):
    (tmp_path / "project.toml").write_text(PROJECT)
    for name, size in {"PIECE": 40, "GROUP": 80, "BLOCK": 4_000}.items():
        monkeypatch.setattr(tables, name, size)
    return tmp_path


def rows():
    """Good rows and bad ones, words, commas for thousands, and columns beside the keys."""
    made = [
        GOOD | {"name": f"P{n % 390}", "ovality [%]": f"{n % 9}.{n % 10}", "street": f"S{n % 7}"}
        for n in range(400)
    ]
    made[17]["ovality [%]"] = "egg"
    made[211]["host_diameter [in]"] = "1,250.5"
    made[333]["condition"] = "poor"
    return pl.DataFrame(made, infer_schema_length=None)


@pytest.mark.parametrize("form", ["csv", "parquet"])
def test_two_worker_processes_give_the_same_bits_as_one(run, folder, workers, form):
    getattr(rows(), f"write_{form}")(folder / f"in.{form}")
    words = ("batch", f"in.{form}", "--project", "project.toml", "--by", "street", "--json")
    alone = run(*words, "-o", f"alone.{form}")
    shared = run(*words, "-o", f"shared.{form}", "--scheduler", workers.scheduler_address)
    assert alone[0] == shared[0] == 1
    assert json.loads(alone[1]) == json.loads(shared[1])
    assert json.loads(alone[1])["statuses"]["error"] == 2
    assert (folder / f"alone.{form}").read_bytes() == (folder / f"shared.{form}").read_bytes()
    with distributed.Client(workers, set_as_default=False) as client:
        worked = client.run(lambda dask_worker: (dask_worker.state.executed_count, os.getpid()))
    # Both of them worked, in processes of their own.
    assert all(count > 0 for count, _ in worked.values())
    assert len({os.getpid(), *(process for _, process in worked.values())}) == 3


def test_an_address_without_a_scheduler_is_a_fault(run, folder, monkeypatch):
    monkeypatch.setattr(cluster, "WAIT", 0.5)
    rows().write_csv(folder / "in.csv")
    for address in ("tcp://127.0.0.1:1", "nowhere", "tcp://"):
        words = ("batch", "in.csv", "--project", "project.toml", "-o", "out.csv")
        code, _, err = run(*words, "--scheduler", address)
        assert code == 2, err
        assert address in err
        assert "no scheduler" in err
        assert not (folder / "out.csv").exists()


def test_a_scheduler_without_workers_is_a_fault(run, folder):
    rows().write_csv(folder / "in.csv")
    words = ("batch", "in.csv", "--project", "project.toml", "-o", "out.csv")
    with distributed.LocalCluster(n_workers=0, dashboard_address=None) as empty:
        code, _, err = run(*words, "--scheduler", empty.scheduler_address)
    assert code == 2
    assert "no workers" in err


def test_workers_of_another_version_are_a_fault(run, folder, workers, monkeypatch):
    monkeypatch.setattr(cluster, "__version__", "0.0.1")
    rows().write_csv(folder / "in.csv")
    words = ("batch", "in.csv", "--project", "project.toml", "-o", "out.csv")
    code, _, err = run(*words, "--scheduler", workers.scheduler_address)
    assert code == 2
    assert "another version" in err


def test_without_the_extra_it_says_how_to_get_it(run, folder, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    rows().write_csv(folder / "in.csv")
    words = ("batch", "in.csv", "--project", "project.toml", "-o", "out.csv")
    code, _, err = run(*words, "--scheduler", "tcp://127.0.0.1:8786")
    assert code == 2
    assert 'pip install "linerdesign[distributed]"' in err
