"""Files put in place whole, with and without links and files without names; none is left over."""

import os
import stat
from pathlib import Path

import pytest

from linerdesign.project import placing
from linerdesign.project.faults import InputFaults
from linerdesign.project.placing import in_place_of, put, recorded, together, unwritable
from linerdesign.words import sentence


def _refuse(*given, **named):
    raise OSError(1, "Operation not permitted")


@pytest.fixture(params=["as the system is", "no links", "no nameless files", "neither"])
def anywhere(request, monkeypatch, tmp_path):
    """Every kind of file system, by what it can't do."""
    if request.param in ("no links", "neither"):
        monkeypatch.setattr(os, "link", _refuse)
    if request.param in ("no nameless files", "neither"):
        monkeypatch.delattr(os, "O_TMPFILE", raising=False)
    before = os.umask(0o027)
    yield tmp_path
    os.umask(before)


def mode(path):
    return stat.S_IMODE(path.stat().st_mode)


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def code(step, *given, **named):
    """The one fault of a step: its code and its place."""
    with pytest.raises(InputFaults) as found:
        step(*given, **named)
    (each,) = found.value.faults
    return each.code.removeprefix("faults."), each.place


def test_a_new_file_has_the_rights_of_any_new_one(anywhere):
    """Read and write for all, less the mask of 027."""
    path = anywhere / "a.txt"
    put(path, b"new" * 100_000)
    assert (path.read_bytes(), oct(mode(path)), names(anywhere)) == (
        b"new" * 100_000, "0o640", ["a.txt"],
    )  # fmt: skip


def test_a_file_that_is_there_is_replaced_and_keeps_its_rights(anywhere):
    path = anywhere / "a.txt"
    path.write_bytes(b"old")
    path.chmod(0o604)
    put(path, memoryview(b"new"))
    assert (path.read_bytes(), oct(mode(path)), names(anywhere)) == (b"new", "0o604", ["a.txt"])


def test_a_file_that_is_there_is_left_alone_where_it_must_be(anywhere):
    path = anywhere / "a.txt"
    put(path, b"first", replace=False)
    assert code(put, path, b"second", replace=False) == ("exists", str(path))
    with together(replace=False):
        put(anywhere / "b.txt", b"b")
        # What is asked of one file comes before what is asked of all.
        put(path, b"third", replace=True)
    assert (path.read_bytes(), names(anywhere)) == (b"third", ["a.txt", "b.txt"])


def test_a_link_is_followed(anywhere):
    (anywhere / "inside").mkdir()
    target, link = anywhere / "inside" / "a.txt", anywhere / "link.txt"
    link.symlink_to(target)
    put(link, b"new")
    assert (target.read_bytes(), link.is_symlink()) == (b"new", True)
    put(link, b"newer")
    assert (target.read_bytes(), link.is_symlink()) == (b"newer", True)
    assert code(put, link, b"x", replace=False) == ("exists", str(link))
    assert names(anywhere / "inside") == ["a.txt"]


def test_all_files_of_a_block_take_their_places_or_none_does(anywhere):
    """The last is there by then: those before it are undone, new ones and replaced ones."""
    old, new, there = (anywhere / name for name in ("old.txt", "new.txt", "there.txt"))
    old.write_bytes(b"old")
    old.chmod(0o604)

    def write():
        with together(replace=False):
            put(old, b"changed", replace=True)
            put(new, b"new")
            put(there, b"mine")
            assert not new.exists()
            there.write_bytes(b"theirs")

    assert code(write) == ("exists", str(there))
    assert (old.read_bytes(), oct(mode(old)), there.read_bytes()) == (b"old", "0o604", b"theirs")
    assert names(anywhere) == ["old.txt", "there.txt"]

    def end_early():
        with together():
            put(new, b"new")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        end_early()
    assert names(anywhere) == ["old.txt", "there.txt"]
    with recorded() as placed, together():
        put(old, b"changed")
        put(new, b"new")
        assert placed == []
    assert placed == [old, new]
    assert (old.read_bytes(), new.read_bytes()) == (b"changed", b"new")
    put(there, b"later")
    assert placed == [old, new]


def test_a_file_that_has_changed_since_it_was_read_is_left_alone(anywhere):
    path = anywhere / "a.txt"
    path.write_bytes(b"read")

    def write(read):
        with in_place_of(path, replace=True, read=read) as file:
            file.write(b"new")

    assert code(write, b"other") == ("changed", str(path))
    assert path.read_bytes() == b"read"
    write(b"read")
    assert path.read_bytes() == b"new"
    path.unlink()
    assert code(write, b"") == ("changed", str(path))
    assert names(anywhere) == []


def test_what_breaks_while_writing_leaves_nothing(anywhere):
    def write():
        with in_place_of(anywhere / "a.txt") as file:
            file.write(b"half")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        write()
    assert names(anywhere) == []


def test_folders_and_devices_are_no_targets(anywhere):
    (anywhere / "folder").mkdir()
    assert code(put, anywhere / "folder", b"x") == ("no_file", str(anywhere / "folder"))
    assert code(put, Path("/dev/null"), b"x") == ("no_file", "/dev/null")
    missing = anywhere / "none" / "a.txt"
    with pytest.raises(InputFaults) as found:
        put(missing, b"x")
    (each,) = found.value.faults
    assert (each.code, dict(each.numbers)) == (
        "faults.unwritable", {"why": "no such file or directory"},
    )  # fmt: skip


def test_a_closed_folder_is_told_beforehand(tmp_path, monkeypatch):
    """As any user but the superuser finds it."""
    path = tmp_path / "a.txt"
    assert unwritable(path) is None
    asked = []
    monkeypatch.setattr(os, "access", lambda folder, how: asked.append((folder, how)))
    found = unwritable(path)
    assert (found.code, found.place) == ("faults.unwritable", str(path))
    assert dict(found.numbers)["why"] == sentence("program.closed_folder")
    assert asked == [(tmp_path, os.W_OK | os.X_OK)]
    assert placing._mode_for(tmp_path) == mode(tmp_path)


def _never(*given):
    raise AssertionError("a file was written by its name")


def test_a_file_without_a_name_gets_one_by_a_link(tmp_path, monkeypatch):
    """Where the system has such files, none is ever there by another name."""
    try:
        os.close(os.open(tmp_path, os.O_TMPFILE | os.O_RDWR, 0o600))
    except (AttributeError, OSError):
        pytest.skip("no files without a name here")
    monkeypatch.setattr(placing, "_create", _never)
    path = tmp_path / "a.txt"
    put(path, b"one", replace=False)
    put(path, b"two")
    assert (path.read_bytes(), names(tmp_path)) == (b"two", ["a.txt"])


def test_a_named_file_takes_a_free_place_by_a_link(tmp_path, monkeypatch):
    """A link fails where something has come to be at the place meanwhile; a move would not."""
    monkeypatch.delattr(os, "O_TMPFILE", raising=False)
    monkeypatch.setattr(os, "replace", _never)
    put(tmp_path / "a.txt", b"one", replace=False)
    assert ((tmp_path / "a.txt").read_bytes(), names(tmp_path)) == (b"one", ["a.txt"])
