"""Two runs give the same bytes, whatever the hash seed, the clock, the zone and the terminal."""

import json
import os
import subprocess
import sys

import pytest
from every_command import copied_examples, every_run
from projects import toml

SCRIPT = """
import contextlib, hashlib, io, json, pathlib, sys
from linerdesign.cli.main import main
for name, words in json.loads(sys.argv[1]).items():
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        code = main(words)
    pathlib.Path(f"printed {name.replace('/', ' ')}.txt").write_text(f"{code} {out.getvalue()}")
"""
# The libraries' own clocks stand on this day in the second run.
# pandas takes the size of `datetime` in C while it is imported, so it comes first.
LATER = """
import datetime, time, pandas
shift = 400 * 86400 + 3607
real = time.time
time.time = lambda: real() + shift
local, zulu = time.localtime, time.gmtime
time.localtime = lambda s=None: local(time.time() if s is None else s)
time.gmtime = lambda s=None: zulu(time.time() if s is None else s)
before = datetime.datetime
class Later(before):
    @classmethod
    def now(cls, tz=None):
        return before.now(tz) + datetime.timedelta(seconds=shift)
    @classmethod
    def utcnow(cls):
        return before.utcnow() + datetime.timedelta(seconds=shift)
    @classmethod
    def today(cls):
        return cls.now()
datetime.datetime = Later
"""


def _started(folder, script, **environment):
    folder.mkdir()
    copied_examples(folder)
    return subprocess.Popen(
        [sys.executable, "-c", script, json.dumps(every_run())],
        cwd=folder,
        env=os.environ | environment,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.fixture(scope="module")
def both(tmp_path_factory):
    folder = tmp_path_factory.mktemp("twice")
    runs = [
        _started(folder / "a", SCRIPT, PYTHONHASHSEED="1", TZ="UTC"),
        _started(folder / "b", LATER + SCRIPT, PYTHONHASHSEED="2", TZ="Asia/Tokyo", LANG="C"),
    ]
    for run in runs:
        _, err = run.communicate(timeout=180)
        assert run.returncode == 0, err
        assert "Traceback" not in err
    return tuple(
        {
            str(path.relative_to(folder / name)): path.read_bytes()
            for path in (folder / name).rglob("*")
            if path.is_file()
        }
        for name in "ab"
    )


def test_the_same_files(both):
    first, second = both
    assert set(first) == set(second)
    for form in (".txt", ".json", ".pdf", ".xlsx", ".html", ".csv", ".parquet", ".svg", ".png"):
        assert any(name.endswith(form) for name in first), form


def test_the_same_bytes(both):
    first, second = both
    assert [name for name in sorted(first) if first[name] != second[name]] == []


def test_a_text_file_does_not_know_the_terminal(tmp_path, monkeypatch):
    from linerdesign.cli.main import main

    copied_examples(tmp_path)
    monkeypatch.chdir(tmp_path)
    for columns in ("70", "150"):
        monkeypatch.setenv("COLUMNS", columns)
        main(["size", "project.toml", "-o", f"{columns}.txt"])
    assert (tmp_path / "70.txt").read_bytes() == (tmp_path / "150.txt").read_bytes()


def test_limits_and_faults_stand_in_one_order_whatever_the_hash_seed(tmp_path):
    """Four limits broken at once, and a file with places and names twice."""
    limits = {
        "minimum_groundwater_above_invert": "30 ft",
        "minimum_soil_unit_weight": "140 pcf",
        "maximum_soil_reaction_modulus": "100 psi",
        "minimum_live_load": "5 psi",
        "maximum_modulus_retention": "10 %",
    }
    stations = [{"at": at} for at in ("a", "b", "c", "a", "b", "c")]
    (tmp_path / "limits.toml").write_text(toml(criteria={"limits": limits}), encoding="utf-8")
    (tmp_path / "twice.toml").write_text(toml({"station": stations}), encoding="utf-8")
    for name in ("limits.toml", "twice.toml"):
        seen = {_printed(tmp_path / name, str(seed)) for seed in range(4)}
        assert len(seen) == 1


def _printed(file, seed):
    command = [sys.executable, "-m", "linerdesign", "size", file.name]
    environment = os.environ | {"PYTHONHASHSEED": seed}
    done = subprocess.run(command, cwd=file.parent, env=environment, capture_output=True)
    assert done.returncode in (0, 2)
    return done.stdout + done.stderr
