"""What an error results in and what would tell errors apart, in words, by hand."""

from types import SimpleNamespace as Made

import pytest
from tasks.review.test_comments_by_hand import REQUIRED, C, T

from linerdesign.tasks.review import wording
from linerdesign.words import sentence


def explained(words="K was 8", explains=("C",), expected=None, **more):
    given = {"complete": True, "exact": True, "values": {"t_required": 0.19}, "chance": None}
    expected = {"C": 0.72, "thickness": 0.2004, "required_thickness": 0.19} | (expected or {})
    return Made(words=words, explains=explains, expected=expected, **(given | more))


def text(value, rest="", words="K was 8"):
    return sentence("review.explanation", value=value, words=words, rest=rest)


def test_an_error_results_in_a_number_and_is_told_with_its_effect():
    """0.72 beside ours of 0.80 is 10 % less; the stated value has two decimals."""
    items, right = (C, T, REQUIRED), {"C": 0.8}
    effect = sentence("review.effect", share="-10.0 %", value="0.800")
    of = wording.explanation_text
    assert of(explained(), items, right) == text("C = 0.720", effect)
    assert of(explained(), items, {}) == of(explained(), items, {"C": 0.0}) == text("C = 0.720")
    not_exact, part = sentence("review.not exact"), sentence("review.not complete")
    both = explained(explains=("C", "thickness"), exact=False)
    # A thickness is what it is about, without a name.
    c = sentence("review.also", names="C")
    assert of(both, (C, T), right) == text("0.20 in", c + not_exact)
    assert of(explained(exact=False), items, {}) == text("C = 0.720", not_exact)
    assert of(explained(exact=False, complete=False), items, {}) == text("C = 0.720", part)
    required = explained(explains=("thickness", "C", "required_thickness"))
    names = sentence("review.also", names="thickness, C")
    assert of(required, items, {}) == text("0.190 in", names)


def test_the_chance_of_an_explanation_in_words():
    assert wording.by_chance_text(explained()) == ""
    assert wording.by_chance_text(explained(chance=0.25)) == sentence(
        "review.chance", odds="1 in 4"
    )


@pytest.fixture
def asked_for(monkeypatch):
    about = Made(submittals=Made(asked_for=("C", "P", "t_X1_3")))
    monkeypatch.setattr(wording, "standard", lambda: about)


def telling(*given):
    return wording.telling_apart([explained(words, values=values) for words, values in given], "US")


@pytest.mark.usefixtures("asked_for")
def test_the_value_to_ask_for_is_the_one_that_tells_most_apart():
    """To four figures; of several that tell as much, the first on the list."""
    a, b = ("a", {"C": 0.8, "P": 5.0}), ("b", {"C": 0.8, "P": 6.0})
    assert telling(a, b) == sentence(
        "review.telling apart",
        meaning="external pressure at the invert",
        symbol="P",
        values="5 psi if a; 6 psi if b",
    )
    c = ("c", {"C": 0.7, "P": 5.0})
    ratio = sentence(
        "review.telling apart", meaning="ovality reduction factor", symbol="C",
        values="0.8 if a, or if b; 0.7 if c",
    )  # fmt: skip
    assert telling(a, b, c) == ratio
    three = telling(a, b, ("d", {"C": 0.7}))
    assert "5 psi if a; 6 psi if b; not computed if d." in three
    # Alike to four figures, or one alone, there is nothing to tell.
    assert telling(a, ("e", {"C": 0.80001, "P": 5.0001})) == ""
    assert telling(("e", {"C": 0.8001, "P": 5.0}), a) != ""
    assert telling(a) == telling() == ""


@pytest.mark.parametrize(
    ("share", "said"),
    [(None, "-"), (0.1234, "+12.3 %"), (-0.0004, "+0.0 %"), (-0.2, "-20.0 %"), (0.00051, "+0.1 %")],
)
def test_a_difference_has_a_sign_and_one_decimal(share, said):
    assert wording.percent(share) == said
