"""A submitted wall reviewed as the tube of a line of several legs, against `size` of the tube."""

import pytest
from projects import FELT, LATERAL

from linerdesign.interface import read, review, size
from linerdesign.tasks.review.reviewing import Wishes

LATERAL = LATERAL | {"leg": [{"at": "0 ft"}, {"at": "20 ft", "host_diameter": "6 in"}]}


def project(stated, **pipe):
    return read(
        {
            "project": {"title": "Harrowmere"},
            "criteria": {"minimum_thickness": "3 mm"},
            "resin": [FELT | {"evidence": "report 12"}],
            "pipe": [LATERAL | pipe | ({"stated": stated} if stated else {})],
        }
    )


def reviewed(wall):
    found = review(project({"thickness": wall, "required_thickness": "1.63 mm"}))
    return found, found.pipes[0]


@pytest.mark.parametrize("wall", ["3 mm", "4.5 mm", "6 mm", "7.5 mm"])
def test_the_verdict_is_that_of_the_tube_in_every_leg(wall):
    found, pipe = reviewed(wall)
    sizing = size(project(None, tube_thickness=wall))
    assert found.holds is sizing.holds
    assert (pipe.found.verdict != "thin") is sizing.holds
    assert pipe.found.lowest_factor == pytest.approx(
        min(leg["safety_factor"] for leg in sizing.data["pipes"][0]["legs"])
    )
    corrections = [each.text for each in pipe.comments if each.weight == "correction"]
    assert any("does not serve every leg" in text for text in corrections) is not sizing.holds


def test_what_the_legs_need_is_not_thicker_than_required():
    assert reviewed("6 mm")[1].found.verdict == "adequate"
    assert reviewed("7.5 mm")[1].found.verdict == "thick"


def test_letter_record_and_data_name_the_legs():
    found, _ = reviewed("4.5 mm")
    (pipe,) = found.data["pipes"]
    assert [leg["passes"] for leg in pipe["legs"]] == [True, False]
    submitted = {"thickness": "4.5 mm"}
    for record, caption in ((True, "its wall in each leg"), (False, "Tube that serves every leg")):
        made = review(project(submitted), wishes=Wishes(record=record))
        assert caption in repr(made.document.blocks)
