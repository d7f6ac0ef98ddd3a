"""What is read of a corpus of documents with known values; see `corpus`, `prose`, `held_out`.

The bounds are those that the issue of this command asks for: 95 % found with the right key and
unit, none wrong and called sure, no number dropped.
"""

import pytest
from corpus import tables
from held_out import held_out
from measuring import measured, read
from prose import letters
from second_set import second_set
from third_set import third_set

CASES = [*tables(), *letters(), *held_out(), *second_set(), *third_set()]
LEAST_SHARE = 0.95


@pytest.fixture(scope="module")
def results(tmp_path_factory):
    folder = tmp_path_factory.mktemp("corpus")
    return {case.name: measured(case, read(case, folder)) for case in CASES}


def test_the_corpus_is_large_and_of_every_form():
    assert len(CASES) >= 40
    assert sum(len(case.truth) for case in CASES) > 1000
    assert len({case.name for case in CASES}) == len(CASES)


@pytest.mark.parametrize("name", [case.name for case in CASES])
def test_nothing_wrong_is_sure_and_nothing_is_dropped(results, name):
    assert results[name].wrong_and_sure == []
    assert results[name].dropped == []


def test_the_share_that_is_found_right(results):
    right = sum(each.right for each in results.values())
    total = right + sum(len(each.missed) for each in results.values())
    sure = sum(each.sure for each in results.values())
    print(f"{right}/{total} right, {sure} of them sure")
    assert right / total >= LEAST_SHARE
    # Most of what is right need not be confirmed: no bound from outside, a fall is a fault.
    assert sure / total >= 0.85


def test_few_documents_fall_far_below(results):
    poor = [
        each.case for each in results.values() if each.right < 0.8 * (each.right + len(each.missed))
    ]
    assert not poor
