"""The command itself: what it prints, and how it refuses."""

import socket

import pytest

from linerdesign.cli import desk


def test_without_its_extra_the_command_says_how_to_get_it(run, monkeypatch):
    monkeypatch.setattr(desk, "find_spec", lambda name: None if name == "uvicorn" else name)
    code, _, err = run("desk")
    assert code == 2
    assert "pip install 'linerdesign[desk]'" in err


def test_a_file_that_is_not_there(run):
    pytest.importorskip("starlette", reason="starlette is not installed")
    code, _, err = run("desk", "nothing.toml", "--no-browser")
    assert code == 2
    assert "nothing.toml" in err


@pytest.mark.parametrize("port", ["70000", "-1"])
def test_a_port_that_cannot_be(run, port):
    pytest.importorskip("starlette", reason="starlette is not installed")
    code, _, err = run("desk", "--no-browser", f"--port={port}")
    assert code == 2
    assert "--port" in err


def test_a_port_that_is_taken(run):
    pytest.importorskip("starlette", reason="starlette is not installed")
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        code, _, err = run("desk", "--no-browser", f"--port={other.getsockname()[1]}")
    assert code == 2
    assert "taken" in err


def test_it_listens_to_this_machine_alone(monkeypatch, run):
    pytest.importorskip("starlette", reason="starlette is not installed")
    served = []
    monkeypatch.setattr(desk, "_serve", lambda app, listening, address: served.append(listening))
    code, out, _ = run("desk", "--no-browser")
    (listening,) = served
    host, port = listening.getsockname()
    listening.close()
    assert code == 0
    assert host == "127.0.0.1"
    assert f"http://127.0.0.1:{port}/" in out
    assert len(out.strip().rstrip("/").rpartition("/")[2]) >= 32
