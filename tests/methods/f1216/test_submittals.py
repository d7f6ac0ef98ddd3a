"""The form of X1.3 by the edition that a submittal names, and the equations that it names."""

import pytest

from linerdesign.methods.f1216.submittals import edition_in, edition_of, equation_in

# The standard is of 1989; C stands under the root from 07b on (Doherty, No-Dig 2008).
EDITIONS = {
    **dict.fromkeys(("89", "91", "93", "98", "99", "00", "03", "05", "06", "07", "07a"), "07a"),
    **dict.fromkeys(("07b", "07c", "08", "08a", "09", "16", "22", "88"), "07b"),
}


@pytest.mark.parametrize(("number", "form"), EDITIONS.items())
def test_the_form_of_x1_3_by_the_edition(number, form):
    assert edition_of(f"F1216-{number}") == f"F1216-{form}"
    assert edition_of(f" astm  f 1216M - {number} ") == f"F1216-{form}"
    assert edition_in(f"designed to ASTM F1216-{number}") == f"F1216-{form}"
    assert edition_in(f"designed to F1216M – {number}") == f"F1216-{form}"


@pytest.mark.parametrize("text", ["", "F1216", "F1216-9", "F1216-16 and more", "F1216-16d"])
def test_no_edition_is_none(text):
    assert edition_of(text) is None
    assert edition_in(text) is None


def test_the_equation_that_a_text_names():
    for text, number in (
        *(("buckling, Eq. X1.3", "X1.3"), ("t_X1_4", "X1.4"), ("X1.2 before X1.7", "X1.2")),
        *(("X2.1", ""), ("", "")),
    ):
        assert equation_in(text) == number
