"""The usual ranges against those that the documentation promises, and what a file takes."""

import re
from pathlib import Path

import pytest

from linerdesign.project.keys import keys_of, kind_of
from linerdesign.project.usual import USUAL
from linerdesign.tasks.transcribe.keys import unit_of

DOCS = Path(__file__).parents[2] / "docs"
ROW = re.compile(r"^\| `(\S+)` \| (\S+) \| (\S+) \|(.*)\|$", re.MULTILINE)


@pytest.mark.parametrize(
    ("page", "part", "stated"),
    [("inventories", "usual_values", False), ("transcribe", "usual_stated", True)],
)
def test_the_ranges_are_those_that_the_user_reads(page, part, stated):
    text = (DOCS / f"{page}.md").read_text("utf-8")
    listed = text.split(f"<!-- generated: {part} -->")[1].split("<!-- end -->")[0]
    printed = {key: (float(a), float(b), unit.strip()) for key, a, b, unit in ROW.findall(listed)}
    assert printed == {k: v for k, v in USUAL.items() if k.startswith("stated.") is stated}


def test_each_range_is_in_the_unit_of_its_key_and_within_what_a_file_takes():
    known = keys_of("pipe") | keys_of("resin") | keys_of("criteria")
    for key, (least, most, unit) in USUAL.items():
        assert least < most
        assert unit == unit_of(key), key
        if not key.startswith("stated."):
            kind = kind_of(key)
            assert key in known
            assert kind.takes(least) or least == 0, key
            assert kind.takes(most), key
