"""However a run ends, its exit code is one of four, and what it says of its files is so."""

import json
import os
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from projects import toml

STOPS = [signal.SIGINT, signal.SIGTERM, signal.SIGHUP]
RUN = [sys.executable, "-m", "linerdesign"]


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch):
    folder = tmp_path / "inside"
    folder.mkdir()
    monkeypatch.chdir(folder)
    monkeypatch.setenv("PYTHONPATH", f"{tmp_path}{os.pathsep}{os.environ.get('PYTHONPATH', '')}")
    Path("p.toml").write_text(toml(), encoding="utf-8")


def _patched(change, *words):
    """The program with a change of its insides, and its arguments.

    A module, as the program is: its end differs from that of other code.
    """
    code = f"import os, signal, sys\nfrom linerdesign.cli.start import program\n{change}\n"
    Path("../patched.py").write_text(f"{code}sys.exit(program())\n", encoding="utf-8")
    return [sys.executable, "-m", "patched", *words]


def _run(words, **how):
    return subprocess.run(words, capture_output=True, text=True, timeout=120, check=False, **how)


# A moment of each kind: a module that is made by text run as code, the printing, the very end.
MOMENTS = {
    "code in a text": "import linerdesign.cli.main as m\n"
    "m._run = lambda _: exec('import os, signal; os.kill(os.getpid(), signal.{stop})')",
    "while an error is told": "import linerdesign.cli.main as m\n"
    "m._report = lambda *_: os.kill(os.getpid(), signal.{stop})",
    "before the command": "import linerdesign.cli.start as m\n"
    "m._prepare_streams = lambda: os.kill(os.getpid(), signal.{stop})",
    "at the end": "import linerdesign.cli.start as m\n"
    "m._run = lambda: os.kill(os.getpid(), signal.{stop})",
}


@pytest.mark.parametrize("stop", STOPS)
@pytest.mark.parametrize("moment", MOMENTS)
def test_the_code_is_the_same_at_any_moment(moment, stop):
    words = ["size", "p.toml" if moment == "code in a text" else "not there.toml"]
    done = _run(_patched(MOMENTS[moment].format(stop=stop.name), *words))
    assert done.returncode == 2
    assert "interrupted" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("stop", STOPS)
def test_the_desk_ends_by_a_request_and_says_nothing_of_it(stop):
    pytest.importorskip("uvicorn")
    process = subprocess.Popen(
        [*RUN, "desk", "--no-browser", "--port", "0"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert "127.0.0.1" in process.stdout.readline()
    time.sleep(1)
    process.send_signal(stop)
    _, err = process.communicate(timeout=60)
    assert (process.returncode, "interrupted" in err) == (0, False)


def test_a_library_that_ends_the_process_for_lack_of_memory_is_noticed():
    def cap():
        resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))

    Path("in.csv").write_text("host_diameter [in],ovality [%],condition\n8,2,?\n", encoding="utf-8")
    change = "import linerdesign.tasks.batch.files as f\nf.write_table = lambda *_: os.abort()"
    words = ["batch", "in.csv", "--project", "p.toml", "-o", "out.csv"]
    before = sorted(Path().iterdir())
    done = _run(_patched(change, *words), preexec_fn=cap)
    assert done.returncode == 2
    assert done.stderr.splitlines()[-1] == (
        "linerdesign: ended for lack of memory, as it seems; every file that is there is whole"
    )
    assert sorted(Path().iterdir()) == before


def test_a_process_that_is_killed_leaves_no_part_of_a_file():
    """By the system itself where memory runs out: nothing of the program runs after it."""
    change = (
        "from linerdesign.project import placing\n"
        "placing._place = lambda _: os.kill(os.getpid(), signal.SIGKILL)"
    )
    before = sorted(Path().iterdir())
    done = _run(_patched(change, "size", "p.toml", "-o", "a.json", "-o", "b.pdf"))
    assert done.returncode == -signal.SIGKILL
    assert sorted(Path().iterdir()) == before


SHELL = " ".join(RUN)


def test_without_standard_error_messages_are_not_among_the_results():
    done = _run(["sh", "-c", f"{SHELL} size p.toml --json -o a.json 2>&-"])
    assert done.returncode == 0
    assert json.loads(done.stdout) == json.loads(Path("a.json").read_bytes())
    assert _run(["sh", "-c", f"{SHELL} size none.toml 2>&-"]).stdout == ""


@pytest.mark.parametrize("where", ["/dev/full", "&-"])
@pytest.mark.parametrize(("file", "code"), [("p.toml", 0), ("none.toml", 2)])
def test_messages_that_can_t_be_written_change_no_exit_code(where, file, code):
    assert _run(["sh", "-c", f"{SHELL} size {file} -o a.json 2>{where}"]).returncode == code
    assert Path("a.json").exists() == (code == 0)


def test_a_reader_that_goes_away_does_not_turn_a_failure_into_a_pass():
    Path("p.toml").write_text(toml({"design_thickness": "1 mm"}), encoding="utf-8")
    process = subprocess.Popen([*RUN, "size", "p.toml"], stdout=subprocess.PIPE)
    process.stdout.close()
    assert process.wait(timeout=60) == 1


def test_a_name_that_controls_a_terminal_is_shown_in_messages():
    """ESC [ 3 1 m colours what follows, ECMA-48, 8.3.117."""
    done = _run([*RUN, "size", "p.toml", "-o", "\x1b[31m.json"])
    assert done.returncode == 0
    assert done.stderr == "written: \\x1b[31m.json\n"
