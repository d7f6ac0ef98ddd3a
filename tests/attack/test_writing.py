"""Disks that are full, folders that are closed, Ctrl-C, two runs at once, and names like paths.

A command writes all its files or none, and leaves no part of one.
"""

import errno
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

from linerdesign.cli.main import main
from linerdesign.project import placing

HOSTILE_NAMES = [
    "../../escaped",
    "/escaped",
    "..",
    "a\u0000b",
    "CON",
    "a/b\\c:d*e?f[g]",
    "\u202egnp.exe",
    "=HYPERLINK(1)",
    "'" * 40,
    "x" * 300,
    "$\\frac{$",
    "_underscore",
]
FORMS = (".txt", ".json", ".pdf", ".xlsx", ".html")
INVENTORY = (
    "asset,host_diameter [in],ovality [%],cover [ft],groundwater_above_invert [ft],condition\n"
    + "A1,8,2,10,5,fully deteriorated\n" * 50
)
PROFILE = "diameter [mm]\n301\n297\n305\n"
CREEP = "time [h],modulus [psi]\n" + "".join(
    f"{10**k},{250000 * 10 ** (-0.05 * k):.0f}\n" for k in range(5)
)
# Each way to write something; what it may write stands in `targets`.
WRITERS = {
    **{f"size {form}": (["size", "p.toml", "-o", f"out{form}"], [f"out{form}"]) for form in FORMS},
    "several forms": (
        ["size", "p.toml", "-o", "out.txt", "-o", "out.json", "-o", "out.html"],
        ["out.txt", "out.json", "out.html"],
    ),
    **{
        f"batch {form}": (
            ["batch", "in.csv", "--project", "p.toml", "-o", f"out{form}", "-o", "out.json"],
            [f"out{form}", "out.json"],
        )
        for form in (".csv", ".parquet", ".xlsx")
    },
    "plan": (["plan", "p.toml", "-o", "out.csv", "-o", "out.json"], ["out.csv", "out.json"]),
    "compare": (
        ["compare", "p.toml", "--pictures", "pictures", "-o", "out.json"],
        ["pictures/thickness_over_cover.svg", "pictures/checks_over_thickness.png", "out.json"],
    ),
    "profile": (
        [
            *("profile", "in_profile.csv", "--write", "p.toml"),
            *("--pipe", "Trunk", "--force", "-o", "out.json"),
        ],
        ["p.toml", "out.json"],
    ),
    "creep": (
        ["creep", "in_creep.csv", "--write", "p.toml", "--force", "-o", "out.json"],
        ["p.toml", "out.json"],
    ),
    "new": (["new", "new.toml"], ["new.toml"]),
    "review": (["review", "stated.toml", "-o", "out.pdf"], ["out.pdf"]),
    "accept": (["accept", "accepted.toml", "-o", "out.xlsx"], ["out.xlsx"]),
    "buckling": (["buckling", "p.toml", "-o", "out.html"], ["out.html"]),
}


@pytest.fixture(params=["without a name", "with a name"])
def _waiting(request, monkeypatch):
    """How a file waits for its place: without a name where the system has such files."""
    if request.param == "with a name":
        monkeypatch.delattr(os, "O_TMPFILE", raising=False)


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch):
    folder = tmp_path / "inside"
    folder.mkdir()
    monkeypatch.chdir(folder)
    Path("p.toml").write_text(toml(), encoding="utf-8")
    stated = {"stated": {"thickness": "20 mm"}}
    Path("stated.toml").write_text(toml(stated), encoding="utf-8")
    Path("accepted.toml").write_text(
        toml({"sample": [{"specimen": "1", "thicknesses": ["20 mm", "21 mm"]}]})
        + '[acceptance]\nrule = "no undersize"\n',
        encoding="utf-8",
    )
    Path("in.csv").write_text(INVENTORY, encoding="utf-8")
    Path("in_profile.csv").write_text(PROFILE, encoding="utf-8")
    Path("in_creep.csv").write_text(CREEP, encoding="utf-8")
    Path("pictures").mkdir()


def _all_files(folder=Path()):
    return {str(path): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def _assert_refused(capsys, words):
    """Ends with 2 and a reason, and the folder is what it was before."""
    before = _all_files()
    assert main(words) == 2
    err = capsys.readouterr().err
    assert "nothing written" in err
    assert "Traceback" not in err
    assert _all_files() == before
    return err


@pytest.mark.usefixtures("_waiting")
@pytest.mark.parametrize("name", WRITERS)
def test_the_writers_write(name):
    words, targets = WRITERS[name]
    before = _all_files()
    assert main(words) in (0, 1)
    after = _all_files()
    assert all(after.get(target) not in (None, before.get(target)) for target in targets)
    assert not [path for path in after if ".part-" in path]


# A zip whose temporary files failed complains once more when it is collected.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize("name", WRITERS)
def test_a_disk_that_is_full_from_the_start(capsys, name):
    """The system itself refuses every byte, for libraries that write past Python too."""
    words, _ = WRITERS[name]
    main(["size", "p.toml", "-o", "warm.pdf"])  # what is cached on first use is no part of it
    capsys.readouterr()
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    try:
        assert "file too large" in _assert_refused(capsys, words)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.parametrize("name", [name for name, (_, targets) in WRITERS.items() if targets[1:]])
def test_a_disk_that_fills_up_before_the_last_file(capsys, monkeypatch, name):
    words, targets = WRITERS[name]
    _refuse_bytes_of(monkeypatch, Path(targets[-1]).suffix, OSError(errno.ENOSPC, "No space left"))
    assert "no space left" in _assert_refused(capsys, words)


class _Failing:
    def __init__(self, file, error):
        self.file, self.error = file, error

    def write(self, data):
        self.file.write(data[: len(data) // 2])
        raise self.error

    def __getattr__(self, name):
        return getattr(self.file, name)


def _refuse_bytes_of(monkeypatch, suffix, error):
    """Half of the file is written, then the error comes."""
    opened = placing._Written.__init__

    def failing(written, target):
        opened(written, target)
        if target.suffix == suffix:
            written.file = _Failing(written.file, error)

    monkeypatch.setattr(placing._Written, "__init__", failing)


@pytest.mark.parametrize("name", ["several forms", "batch .csv", "plan", "compare", "profile"])
def test_ctrl_c_in_the_middle_of_the_last_file(capsys, monkeypatch, name):
    words, targets = WRITERS[name]
    _refuse_bytes_of(monkeypatch, Path(targets[-1]).suffix, KeyboardInterrupt())
    assert "interrupted" in _assert_refused(capsys, words)


@pytest.mark.parametrize("module", ["text", "page", "pdf", "workbook"])
def test_ctrl_c_while_a_form_is_made(capsys, monkeypatch, module):
    from importlib import import_module

    def interrupted(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(import_module(f"linerdesign.documents.{module}"), "render", interrupted)
    words = ["size", "p.toml"]
    for form in FORMS:
        words += ["-o", f"out{form}"]
    _assert_refused(capsys, words)


@pytest.mark.parametrize("name", ["size .json", "batch .csv", "plan", "profile", "new"])
@pytest.mark.usefixtures("_waiting")
def test_ctrl_c_as_the_file_takes_its_place(capsys, monkeypatch, name):
    def interrupted(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", interrupted)
    monkeypatch.setattr(os, "link", interrupted)
    _assert_refused(capsys, WRITERS[name][0])


# A program that waits once its files are written, and takes its time to remove what has no place.
WAITING = """
import os, sys, time
from pathlib import Path
from linerdesign.cli.start import program
from linerdesign.project import placing
{named}
def wait(moves):
    print("waiting", file=sys.stderr, flush=True)
    time.sleep(60)
placing._place = wait
unlink = Path.unlink
def slow(path, **words):
    time.sleep(0.3)
    unlink(path, **words)
Path.unlink = slow
sys.exit(program())
"""
NAMED = "if hasattr(os, 'O_TMPFILE'): del os.O_TMPFILE"


@pytest.mark.parametrize("named", ["", NAMED])
@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
@pytest.mark.parametrize("name", ["several forms", "batch .csv", "profile", "new"])
def test_a_request_to_end_leaves_nothing_whatever_writes(name, stop, named):
    """Nor does the second one that comes while it is heeded, as when a machine shuts down."""
    before = _all_files()
    words = [sys.executable, "-c", WAITING.format(named=named), *WRITERS[name][0]]
    process = subprocess.Popen(words, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True)
    assert any(line == "waiting\n" for line in process.stderr)
    assert bool(list(Path().rglob(".part-*"))) == (named != "" or not hasattr(os, "O_TMPFILE"))
    process.send_signal(stop)
    time.sleep(0.15)
    process.send_signal(signal.SIGTERM)
    _, err = process.communicate(timeout=60)
    assert (process.returncode, "Traceback" in err) == (2, False)
    assert _all_files() == before


def test_ctrl_c_in_the_middle_of_an_inventory(capsys, monkeypatch):
    from linerdesign.tasks.batch.pieces import Sizer

    def interrupted(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(Sizer, "size", interrupted)
    _assert_refused(capsys, WRITERS["batch .csv"][0])


@pytest.mark.parametrize("name", WRITERS)
def test_a_folder_that_is_closed(capsys, monkeypatch, name):
    """Refused by the call that makes the file, since a superuser may write everywhere."""

    def refused(*_, **__):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(placing._Written, "_opened", refused)
    assert "permission denied" in _assert_refused(capsys, WRITERS[name][0])


@pytest.mark.usefixtures("_waiting")
@pytest.mark.parametrize("name", WRITERS)
def test_who_may_read_a_file_stays_when_it_is_overwritten(name):
    """New files as the mask says, 0666 less 027; replaced ones keep what their owner gave them."""
    words, targets = WRITERS[name]
    new = [target for target in targets if not Path(target).exists()]
    before = os.umask(0o027)
    try:
        assert main(words) in (0, 1)
        assert {Path(target).stat().st_mode & 0o7777 for target in new} <= {0o640}
        for mode in (0o664, 0o600):
            for target in targets:
                Path(target).chmod(mode)
            assert main([*words, "--force"]) in (0, 1)
            assert {Path(target).stat().st_mode & 0o7777 for target in targets} == {mode}
    finally:
        os.umask(before)


@pytest.mark.skipif(os.geteuid() == 0, reason="a superuser may write everywhere")
@pytest.mark.parametrize("name", ["several forms", "batch .xlsx", "profile", "new"])
def test_a_folder_without_the_right_to_write(capsys, name):
    Path().chmod(0o555)
    try:
        _assert_refused(capsys, WRITERS[name][0])
    finally:
        Path().chmod(0o755)


def _started(words):
    return subprocess.Popen(
        [sys.executable, "-m", "linerdesign", *words],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.mark.parametrize("name", ["several forms", "batch .csv", "profile"])
def test_two_runs_at_once(name):
    words, targets = WRITERS[name]
    code = main([*words, "--force"])
    alone = {target: Path(target).read_bytes() for target in targets}
    both = [_started([*words, "--force"]) for _ in range(2)]
    for each in both:
        _, err = each.communicate(timeout=60)
        assert each.returncode == code, err
    assert {target: Path(target).read_bytes() for target in targets} == alone
    assert not list(Path().rglob(".part-*"))


CAN_T_BE_PRINTED_TO = {
    "full": (">/dev/full", "no space left on device"),
    "closed": (">&-", "standard output is closed"),
}


def _printed_to(where, words):
    command = " ".join([sys.executable, "-m", "linerdesign", *words, where])
    return subprocess.run(["sh", "-c", command], stderr=subprocess.PIPE, text=True, check=False)


@pytest.mark.parametrize(("where", "reason"), CAN_T_BE_PRINTED_TO.values())
@pytest.mark.parametrize("files", [[], ["a.json", "a.txt"]])
def test_standard_output_that_can_t_be_written(where, reason, files):
    """The files are there all the same, whole, and nobody says that nothing was written."""
    words = [word for name in files for word in ("-o", name)]
    run = _printed_to(where, ["size", "p.toml", "--json", *words])
    assert run.returncode == 2
    said = f"linerdesign: printing stopped ({reason})"
    whole = "; the files named above are complete"
    lines = [f"written: {name}" for name in files] + [said + whole * bool(files)]
    assert run.stderr.splitlines() == lines
    if files:
        assert json.loads(Path("a.json").read_bytes())
        assert "Trunk" in Path("a.txt").read_text(encoding="utf-8")


def test_standard_output_that_is_closed_and_not_needed():
    run = _printed_to(">&-", ["size", "p.toml", "-o", "a.json"])
    assert (run.returncode, run.stderr) == (0, "written: a.json\n")


def test_ctrl_c_while_printing_leaves_the_files(capsys, monkeypatch):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("linerdesign.cli.main._print", interrupted)
    monkeypatch.setattr("linerdesign.cli.main._close_output", lambda: None)
    assert main(["size", "p.toml", "-o", "a.json"]) == 2
    err = capsys.readouterr().err
    assert "printing stopped (interrupted); the files named above" in err
    assert "nothing written" not in err
    assert json.loads(Path("a.json").read_bytes())


def _quoted(name):
    return json.dumps(name, ensure_ascii=True)


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_names_are_no_paths(capsys, tmp_path, name):
    """Pipe, resin and project named like a path: files come only where they were asked for."""
    text = (
        toml(resin={"name": "RESIN"}, project={"title": "TITLE"})
        .replace('"Trunk"', _quoted(name))
        .replace('"RESIN"', _quoted(name))
        .replace('"TITLE"', _quoted(name))
    )
    Path("p.toml").write_text(text, encoding="utf-8")
    asked = {f"out{form}" for form in FORMS} | {"sized.xlsx", "c.json", "p.json", "plan.csv"}
    before = set(_all_files(tmp_path))
    size = ["size", "p.toml"]
    for form in FORMS:
        size += ["-o", f"out{form}"]
    table = "asset,host_diameter [in],ovality [%],groundwater,condition\n"
    row = f'"{name}",8,2,none,partially deteriorated\n'
    Path("in.csv").write_text(table + row, encoding="utf-8")
    codes = [
        main(words)
        for words in (
            size,
            ["batch", "in.csv", "--project", "p.toml", "-o", "sized.xlsx"],
            ["compare", "p.toml", "--pictures", "pictures", "-o", "c.json"],
            [
                *("profile", "in_profile.csv", "--write", "p.toml"),
                *(f"--pipe={name}", "--force", "-o", "p.json"),
            ],
            ["plan", "p.toml", "-o", "plan.csv"],
        )
    ]
    err = capsys.readouterr().err
    assert set(codes) <= {0, 1, 2}, err
    inside = tmp_path / "inside"
    made = set(_all_files(tmp_path)) - before
    allowed = {str(inside / each) for each in asked}
    assert {path for path in made if not path.startswith(str(inside / "pictures"))} <= allowed
    pictures = {Path(path).name for path in made if path.startswith(str(inside / "pictures"))}
    drawn = ("decision", "pipes_by_resin", "thickness_over_cover", "break_even")
    drawn += ("checks_over_thickness",)
    assert pictures <= {f"{each}.{form}" for each in drawn for form in ("svg", "png")}


def test_tables_beside_the_project_stay_beside_it(capsys):
    """A project can't have files read that its reader did not name."""
    outside = Path("..") / "samples.csv"
    outside.write_text("thickness [mm]\n33\n", encoding="utf-8")
    for named in ("../samples.csv", str(outside.resolve())):
        head, tail = toml().split("[[resin]]")
        table = f'[acceptance]\nrule = "no undersize"\nsamples = {_quoted(named)}\n'
        Path("p.toml").write_text(f"{head}{table}[[resin]]{tail}", encoding="utf-8")
        assert main(["accept", "p.toml"]) == 2
        assert "beside the project" in capsys.readouterr().err


WRITE = ["profile", "in_profile.csv", "--write", "p.toml", "--pipe", "Trunk", "--force"]


def test_links_are_followed_and_stay():
    Path("real.txt").write_text("before", encoding="utf-8")
    Path("link.txt").symlink_to("real.txt")
    Path("new.txt").symlink_to("made.txt")
    assert main(["size", "p.toml", "-o", "link.txt"]) == 2
    assert main(["size", "p.toml", "-o", "link.txt", "-o", "new.txt", "--force"]) == 0
    assert Path("link.txt").is_symlink()
    assert Path("new.txt").is_symlink()
    assert Path("real.txt").read_bytes() == Path("made.txt").read_bytes() != b"before"
    Path("p.toml").rename("target.toml")
    Path("p.toml").symlink_to("target.toml")
    assert main(WRITE) == 0
    assert Path("p.toml").is_symlink()
    assert "measured" in Path("target.toml").read_text(encoding="utf-8")


@pytest.mark.usefixtures("_waiting")
@pytest.mark.parametrize("links", [True, False])
def test_a_file_that_appears_meanwhile_is_left_alone(capsys, monkeypatch, links):
    """The target is looked at once before the work, and once more as the file takes its place."""
    from linerdesign.documents import writing

    made = writing.render

    def render(*arguments):
        Path("out.txt").write_text("of another run", encoding="utf-8")
        return made(*arguments)

    def no_links(*_, **__):
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(writing, "render", render)
    if not links:
        monkeypatch.setattr(os, "link", no_links)
    assert main(["size", "p.toml", "-o", "out.txt"]) == 2
    assert "out.txt exists" in capsys.readouterr().err
    assert Path("out.txt").read_text(encoding="utf-8") == "of another run"
    assert not list(Path().glob(".part-*"))
    assert main(["size", "p.toml", "-o", "out.txt", "--force"]) == 0


@pytest.mark.usefixtures("_waiting")
def test_without_links_between_files_a_new_file_is_moved(monkeypatch):
    def no_links(*_, **__):
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", no_links)
    assert main(["size", "p.toml", "-o", "out.txt"]) == 0
    assert Path("out.txt").exists()


@pytest.mark.usefixtures("_waiting")
@pytest.mark.parametrize("error", [KeyboardInterrupt(), OSError(errno.EIO, "Input/output error")])
@pytest.mark.parametrize("name", ["several forms", "compare", "creep"])
def test_what_took_its_place_before_an_error_gives_it_back(capsys, monkeypatch, name, error):
    """The last file of several can't take its place: the ones before it are as they were."""
    words, targets = WRITERS[name]
    Path(targets[0]).parent.mkdir(exist_ok=True)
    for target in targets[:-1]:
        if not Path(target).exists():
            Path(target).write_text("of another run", encoding="utf-8")
            Path(target).chmod(0o604)
    replace, last = os.replace, Path(targets[-1])

    def failing(source, target):
        if Path(target) == last:
            raise error
        replace(source, target)

    monkeypatch.setattr(os, "replace", failing)
    modes = [Path(target).stat().st_mode for target in targets[:-1]]
    _assert_refused(capsys, [*words, "--force"])
    assert [Path(target).stat().st_mode for target in targets[:-1]] == modes


@pytest.mark.usefixtures("_waiting")
def test_a_file_that_appears_meanwhile_leaves_the_others_away(capsys, monkeypatch):
    from linerdesign.documents import writing

    made = writing.render

    def render(*arguments):
        Path("b.json").write_text("of another run", encoding="utf-8")
        return made(*arguments)

    monkeypatch.setattr(writing, "render", render)
    assert main(["size", "p.toml", "-o", "a.txt", "-o", "b.json"]) == 2
    assert "nothing written" in capsys.readouterr().err
    assert not Path("a.txt").exists()
    assert Path("b.json").read_text(encoding="utf-8") == "of another run"


def test_ctrl_c_after_the_files_are_in_place_says_so(capsys, monkeypatch):
    place = placing._place

    def interrupted(moves):
        place(moves)
        raise KeyboardInterrupt

    monkeypatch.setattr(placing, "_place", interrupted)
    assert main(["size", "p.toml", "-o", "a.json", "-o", "b.txt"]) == 2
    said = "linerdesign: interrupted, these files are complete: a.json, b.txt\n"
    assert capsys.readouterr().err == said
    assert json.loads(Path("a.json").read_bytes())


def test_what_is_no_file_is_not_replaced(capsys):
    os.mkfifo("out.json")
    assert main(["size", "p.toml", "-o", "out.json", "--force"]) == 2
    assert "out.json is not a regular file" in capsys.readouterr().err
    assert Path("out.json").is_fifo()


def test_two_writes_at_once_lose_nothing(capsys, monkeypatch):
    """What another run has written since the project was read is not overwritten."""
    from linerdesign.project import recording

    made = recording.recorded

    def recorded(*arguments):
        written = made(*arguments)
        with Path("p.toml").open("a", encoding="utf-8") as file:
            file.write("# of another run\n")
        return written

    monkeypatch.setattr(recording, "recorded", recorded)
    assert main(WRITE) == 2
    assert "was changed meanwhile" in capsys.readouterr().err
    assert Path("p.toml").read_text(encoding="utf-8") == toml() + "# of another run\n"


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", [b"\n", b"\r\n"])
def test_line_ends_and_byte_order_mark_of_a_project_stay(mark, end):
    Path("p.toml").write_bytes(mark + toml().encode().replace(b"\n", end))
    assert main(WRITE) == 0
    data = Path("p.toml").read_bytes()
    assert b"measured" in data
    assert data.startswith(b"\xef\xbb\xbf") == bool(mark)
    assert data.count(b"\n") == data.count(end)
    assert main(["size", "p.toml"]) == 0


CAPS = [(megabytes, ()) for megabytes in (40, 100, 150, 200, 300, 400)]


@pytest.mark.parametrize(("megabytes", "more"), [*CAPS, (400, ("-o", "sheet.pdf"))])
def test_too_little_memory_is_said(megabytes, more):
    """How much is enough differs from machine to machine: with less, it is said at any size."""
    done = _capped(megabytes, "size", "p.toml", *more)
    if done.returncode == 0:
        assert megabytes > 384
    else:
        assert done.returncode == 2
        assert done.stderr == "linerdesign: not enough memory; nothing written\n"


def test_an_inventory_is_refused_where_its_library_would_abort():
    """Which left a part of the table behind, and no word."""
    Path("in.csv").write_text("pipe\nA\n", encoding="utf-8")
    done = _capped(1200, "batch", "in.csv", "--project", "p.toml", "-o", "out.csv")
    assert done.returncode == 2
    assert done.stderr == "linerdesign: not enough memory; nothing written\n"
    assert not [*Path().glob(".part-*"), *Path().glob("out.csv")]


def _capped(megabytes, *words):
    def cap():
        resource.setrlimit(resource.RLIMIT_AS, (megabytes << 20, megabytes << 20))

    every = [sys.executable, "-m", "linerdesign", *words]
    return subprocess.run(every, capture_output=True, text=True, preexec_fn=cap)


def test_a_workbook_for_which_the_disk_has_no_room_leaves_one_line():
    """Half of an archive complains at its end, where its stream is closed before it."""

    def capped():
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))

    Path("p.toml").write_text(toml(), encoding="utf-8")
    words = [sys.executable, "-m", "linerdesign", "size", "p.toml", "-o", "x.xlsx"]
    done = subprocess.run(words, capture_output=True, text=True, preexec_fn=capped)
    assert done.returncode == 2
    assert "file too large; nothing written" in done.stderr
    assert "Traceback" not in done.stderr
    assert "errno" not in done.stderr
    assert not Path("x.xlsx").exists()
