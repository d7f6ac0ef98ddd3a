"""What is made in a process of its own where memory is capped."""

import os
import resource
import sys

import pytest

from linerdesign.documents import capped

GIGABYTE, MEGABYTE = 2**30, 2**20


@pytest.fixture
def limit(monkeypatch):
    """Sets the address space that the system says a process may have."""

    def to(size):
        monkeypatch.setattr(resource, "getrlimit", lambda which: (size, -7))

    return to


@pytest.mark.parametrize(
    ("size", "is_one"),
    [(16 * GIGABYTE, False), (16 * GIGABYTE - 1, True), (resource.RLIM_INFINITY, False)],
)
def test_a_cap_is_one_under_sixteen_gigabytes(limit, size, is_one):
    limit(size)
    assert capped.is_capped() == is_one


def test_less_than_the_libraries_take_is_refused(limit):
    """384 MB, as the notes on changes tell users."""
    limit(384 * MEGABYTE)
    capped.demand()
    capped.demand(384 * MEGABYTE)
    limit(384 * MEGABYTE - 1)
    with pytest.raises(MemoryError):
        capped.demand()
    capped.demand(100)


def test_what_is_no_address_space_is_none(monkeypatch):
    asked = []
    monkeypatch.setattr(resource, "getrlimit", lambda which: asked.append(which) or (5, 9))
    assert capped._most_memory() == 5
    assert asked == [resource.RLIMIT_AS]
    monkeypatch.setattr(sys, "platform", "win32")
    assert not capped.is_capped()


def test_a_child_makes_it_and_says_nothing_of_its_errors(capfd):
    assert int(capped.made_apart(lambda: str(os.getpid()).encode())) != os.getpid()

    def broken():
        raise RuntimeError

    with pytest.raises(MemoryError):
        capped.made_apart(broken)
    assert capfd.readouterr() == ("", "")
