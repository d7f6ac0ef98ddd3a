"""Keys left out that are no fault of their own: meant by an unknown one, or given elsewhere."""

import pytest

from linerdesign.project.faults import Place, fault, unknown_word
from linerdesign.project.left_out import less_given, less_misspelt

PIPE = Place(table="[[pipe]]", name="A", path=("pipe", 0))
OTHER = Place(table="[[pipe]]", name="B", path=("pipe", 1))


def misspelt(word, known, place=PIPE):
    return unknown_word(place.at(word), word, known)


MISSING = fault("missing_key_for", PIPE.at("cover"), why="x")
ONE_OF = fault("missing_one_of", PIPE.at("cover"), how="exactly one", keys="cover, invert_depth")
REQUIRED = fault("missing_key", PIPE.at("name"), why="x")
TABLE = fault("missing_table", Place(path=("resin",)), table="[[resin]]")
WRONG = fault("no_unit", PIPE.at("cover"), "9", example="9 ft")


@pytest.mark.parametrize(
    ("unknown", "left_out", "told"),
    [
        (misspelt("covr", ["cover"]), MISSING, False),
        (misspelt("covr", ["cover"]), ONE_OF, False),
        (misspelt("invert_dpth", ["invert_depth"]), ONE_OF, False),
        (misspelt("nam", ["name"]), REQUIRED, False),
        # Of another pipe, of another key, or of no known one; or there, but wrong.
        (misspelt("covr", ["cover"], OTHER), MISSING, True),
        (misspelt("ovalty", ["ovality"]), MISSING, True),
        (misspelt("zzz", ["cover"]), MISSING, True),
        (misspelt("covr", ["cover"]), WRONG, True),
    ],
)
def test_a_key_is_not_missing_that_an_unknown_one_was_meant_as(unknown, left_out, told):
    assert less_misspelt([unknown, left_out]) == ([unknown, left_out] if told else [unknown])
    assert less_misspelt([left_out]) == [left_out]


def test_a_table_is_not_missing_that_an_unknown_one_was_meant_as():
    unknown = unknown_word(Place(path=("resn",)), "resn", ["resin"], "table")
    nowhere = fault("missing_table", "", table="[[resin]]")
    for table in (TABLE, nowhere):
        assert less_misspelt([unknown, table]) == [unknown]
    other = fault("missing_table", "", table="[[pipe]]")
    assert less_misspelt([unknown, other]) == [unknown, other]


def test_what_criteria_may_give_is_not_missing_while_they_are_not_known():
    """A depth of cover they may give, a name or a condition not."""
    condition = fault("missing_key_for", PIPE.at("condition"), why="x")
    unsure = fault("review.no such value", PIPE.at("uncertainty").under("cover"), "1 ft")
    every = [MISSING, ONE_OF, REQUIRED, condition, unsure, WRONG, fault("not_found", "a")]
    assert less_given(every) == [REQUIRED, condition, WRONG, every[-1]]
