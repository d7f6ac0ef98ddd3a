"""What all tests share: their folder on the path, and a way to run the command line."""

import signal
import sys
from pathlib import Path

import pytest
from hypothesis import settings

sys.path.insert(0, str(Path(__file__).parent))

from claims import pytest_runtest_call  # noqa: F401

if hasattr(signal, "SIGHUP") and signal.getsignal(signal.SIGHUP) is signal.SIG_IGN:
    # Under nohup. What is ignored here stays so in the programs that tests start and send it to;
    # what is handled does not.
    signal.signal(signal.SIGHUP, lambda *_: None)

settings.register_profile("house", deadline=None, derandomize=True)
settings.load_profile("house")


@pytest.fixture
def run(capsys, monkeypatch, tmp_path):
    """Runs the command line in an empty folder: exit code, standard output, standard error."""
    from linerdesign.cli.main import main

    monkeypatch.chdir(tmp_path)

    def call(*words):
        code = main([str(word) for word in words])
        captured = capsys.readouterr()
        return code, captured.out, captured.err

    return call


@pytest.fixture(autouse=True)
def terminal_width(monkeypatch):
    """No test sees the width that another one set."""
    monkeypatch.delenv("COLUMNS", raising=False)
