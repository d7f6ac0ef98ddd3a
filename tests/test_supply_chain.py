"""Locked versions and licences: every dependency of the project is in both lists."""

import importlib.util
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
_spec = importlib.util.spec_from_file_location("supply_chain", ROOT / "docs" / "supply_chain.py")
chain = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(chain)

DIRECT = sorted({each.name.lower() for group in chain.direct().values() for each in group})


@pytest.mark.parametrize("name", DIRECT)
def test_a_direct_dependency_is_locked_and_its_licence_listed(name):
    """Run `python docs/supply_chain.py lock` and `licences` after a change of pyproject.toml."""
    locked = dict(line.split("==") for line in chain.LOCK.read_text().splitlines()[1:])
    listed = re.findall(r"^\| (\S+) \| ([^|]+) \|", chain.LICENCES.read_text(), re.MULTILINE)
    assert locked.keys() == dict(listed).keys() - {"package"} - {"---"}
    assert name in locked
    assert dict(listed)[name] != "not named"
    wanted = [each for group in chain.direct().values() for each in group if each.name == name]
    assert all(each.specifier.contains(locked[name], prereleases=True) for each in wanted)


@pytest.mark.parametrize(
    ("classifiers", "text", "expression", "expected"),
    [
        ([], "", "MIT", "MIT"),
        (["License :: OSI Approved :: BSD License"], "a text", None, "BSD License"),
        ([], "BSD\nmore", None, "BSD"),
        ([], "x" * 99, None, "not named"),
        (["License :: OSI Approved"], "", None, "not named"),
    ],
)
def test_the_licence_is_that_of_the_metadata(monkeypatch, classifiers, text, expression, expected):
    from email.message import Message

    about = Message()
    for one in classifiers:
        about["Classifier"] = one
    if text:
        about["License"] = text.split("\n")[0]
    if expression:
        about["License-Expression"] = expression
    monkeypatch.setattr(chain, "distribution", lambda name: type("", (), {"metadata": about}))
    assert chain.licence("any") == expected


def _answer(*dependencies):
    return json.dumps({"dependencies": list(dependencies)})


GOOD = {"name": "sound", "version": "1", "vulns": []}
BAD = {"name": "weak", "version": "1", "vulns": [{"id": "PYSEC-0000-1"}]}
SKIPPED = {"name": "odd", "skip_reason": "not found"}


@pytest.mark.parametrize(
    ("answer", "code", "said"),
    [
        (_answer(GOOD), 0, "checked: 1; vulnerable: 0"),
        (_answer(GOOD, BAD), 1, "weak: PYSEC-0000-1"),
        (_answer(GOOD, SKIPPED), 2, "not checked: odd"),
        ("", 2, "no answer"),
    ],
)
def test_an_audit_is_good_only_where_all_was_checked(monkeypatch, capsys, answer, code, said):
    done = subprocess.CompletedProcess([], 0, answer, "")
    monkeypatch.setattr(chain.importlib.util, "find_spec", lambda name: name)
    monkeypatch.setattr(chain.subprocess, "run", lambda *words, **more: done)
    assert chain.main(["audit"]) == code
    assert said in capsys.readouterr().out


def test_without_the_tool_it_says_how_to_get_it(monkeypatch, capsys):
    monkeypatch.setattr(chain.importlib.util, "find_spec", lambda name: None)
    assert chain.main(["audit"]) == 2
    assert "pip install pip-audit" in capsys.readouterr().out
    done = subprocess.run([sys.executable, chain.__file__], capture_output=True, text=True)
    assert done.returncode == 2
    assert "lock" in done.stdout
