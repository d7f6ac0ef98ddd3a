"""No command opens a connection, in any form that it writes."""

import socket

import pytest
from every_command import copied_examples, every_run

from linerdesign.cli.main import COMMANDS, main

RUNS = every_run()


@pytest.fixture
def _without_network(monkeypatch):
    def refused(*_, **__):
        raise AssertionError("a connection was asked for")

    for name in ("socket", "create_connection", "getaddrinfo", "gethostbyname"):
        monkeypatch.setattr(socket, name, refused)


def test_every_command_is_run():
    # The desk listens; what its page asks for is tested in tests/desk.
    assert {words[0] for words in RUNS.values()} == set(COMMANDS) - {"desk"}


@pytest.mark.usefixtures("_without_network")
@pytest.mark.parametrize("name", RUNS)
def test_no_connection(capsys, monkeypatch, tmp_path, name):
    monkeypatch.chdir(tmp_path)
    copied_examples(tmp_path)
    code = main(RUNS[name])
    assert code in (0, 1), capsys.readouterr().err
