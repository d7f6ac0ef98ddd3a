"""What a text is made of, word for word by hand; symbols in the spelling of the standard."""

import pytest

from linerdesign.tasks.transcribe.labels import _ideas, ideas_of_symbol, phrases, rows
from linerdesign.tasks.transcribe.tokens import canonical, tokens


def sorts(text, comma=""):
    """Each token as its sort, its text, and what it says."""
    return [
        (each.sort, text[each.start : each.end], each.number.text if each.number else each.value)
        for each in tokens(text, comma)
    ]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        # The longest phrase, whatever joins its words but a comma.
        ("Level above the top of the host pipe",
         "idea Level height | idea above above | neutral the the | "
         "idea top of the host pipe crown"),
        ("top, of pipe", "word top top | neutral of of | neutral pipe pipe"),
        ("out-of-roundness", "idea out-of-roundness ovality"),
        ("out – of roundness", "idea out – of roundness ovality"),
        ("soil cover", "idea soil cover cover"),
        ("Poisson’s ratio", "idea Poisson’s ratio poisson"),
        # A symbol where a sign, a number, an index or the end follows, in capitals or one letter.
        ("OD = 3", "symbol OD OD | mark = = | number 3 3"),
        ("OD of it", "idea OD outside | neutral of of | neutral it it"),
        ("od = 3", "idea od outside | mark = = | number 3 3"),
        ("EL = 98", "symbol EL EL | mark = = | number 98 98"),
        ("el = 98", "idea el elevation | mark = = | number 98 98"),
        ("nu = 0.3", "symbol nu nu | mark = = | number 0.3 0.3"),
        ("w = 3", "symbol w w | mark = = | number 3 3"),
        ("GW 7", "symbol GW GW | number 7 7"),
        ("H (ft)", "symbol H H | unit (ft) ft"),
        ("H, q", "symbol H H | symbol q q"),
        ("H req = 3", "symbol H H | idea req required | mark = = | number 3 3"),
        ("H is", "word H h | neutral is is"),
        ("H .5", "symbol H H | number .5 .5"),
        ("∆ = 3", "symbol ∆ Δ | mark = = | number 3 3"),
        ("σ_L = 2", "symbol σ_L σL | mark = = | number 2 2"),
        ("t X1.3", "symbol t t | equation X1.3 X1.3"),
        # Behind a sign of a formula, or a number, it is a part of it.
        ("2 * H = 5", "number 2 2 | word H h | mark = = | number 5 5"),
        ("H × K = 3", "word H h | word K k | mark = = | number 3 3"),
        ("*H = 3", "word H h | mark = = | number 3 3"),
        ("X1.3 H", "equation X1.3 X1.3 | word H h"),
        ("q /    H", "word q q | word H h"),
        ("q /     H", "word q q | symbol H H"),
        # Names with numbers in them.
        ("Eq. X1.1", "equation Eq. X1.1 X1.1"),
        ("F1216-07b", "named F1216-07b edition"),
        ("HS-20", "named HS-20 live_load"),
        ("H 25", "named H 25 live_load"),
        ("H 20.5", "symbol H H | number 20.5 20.5"),
        ("HL 93", "named HL 93 live_load"),
        ("Cooper's E-80", "named Cooper's E-80 live_load"),
        ("(50-year)", "idea (50-year) long term"),
        # Units in brackets, words, marks.
        ("cover [lb/cu ft] (zig) (12)",
         "idea cover cover | unit [lb/cu ft] pcf | word zig zig | number 12 12"),
        ("not O'Neil's", "doubt not not | word O'Neil's oneils"),
        ("a ≤ b >= c", "neutral a a | mark ≤ ≤ | word b b | mark > > | mark = = | word c c"),
        ("", ""),
    ],
)  # fmt: skip
def test_the_tokens_of_a_text(text, found):
    assert " | ".join(map(" ".join, sorts(text))) == found


@pytest.mark.parametrize(
    ("text", "equation", "sure"),
    [("t1 = 5", "X1.1", False), ("t_{3} = 5", "X1.3", False), ("X1.3 = 5", "X1.3", True)],
)
def test_a_thickness_by_its_number_is_not_sure(text, equation, sure):
    first = tokens(text)[0]
    assert (first.sort, first.value, first.sure) == ("equation", equation, sure)
    assert tokens("t8 = 5")[0].sort == "word"


def test_what_a_comma_means_is_asked_for():
    assert sorts("q 1,724", "point") == [("symbol", "q", "q"), ("number", "1,724", "1.724")]
    assert sorts("q 1,724", "thousands")[1] == ("number", "1,724", "1724")


@pytest.mark.parametrize(
    ("printed", "symbol"),
    [
        ("E_{L}", "EL"), ("sigma_L", "σL"), ("Es'", "E's"), ("E’", "E'"), ("Es′", "E's"),
        ("E_s'", "E's"), ("delta", "Δ"), ("S_L", "σL"), ("t_req.", "treq"), ("SDR", "SDR"),
        ("SF", "SF"), ("Nu", "nu"), ("µ", "μ"), ("mu", "μ"), ("gamma_s", "γs"), ("zig", "zig"),
    ],
)  # fmt: skip
def test_spellings_of_a_symbol(printed, symbol):
    assert canonical(printed) == symbol


def test_ideas_of_two_words_are_one_idea():
    assert _ideas("modulus long term host") == {"modulus", "long term", "host"}
    assert _ideas("live load") == {"live load"}
    assert _ideas("") == frozenset()


def test_the_ideas_of_a_symbol_and_whether_only_those():
    assert ideas_of_symbol("EL") == ({"modulus", "long term"}, True)
    assert ideas_of_symbol("E") == ({"flexural", "modulus"}, False)
    assert ideas_of_symbol("zig") is None


def test_rows_of_more_ideas_come_first():
    found = rows()
    assert [len(row.needs) for row in found] == sorted((len(r.needs) for r in found), reverse=True)
    by_needs = {(row.key, row.needs): row for row in found}
    row = by_needs["modulus_retention", frozenset({"creep"})]
    assert row.may == {"factor", "modulus", "flexural", "retention", "long term"}
    assert not row.sure
    assert by_needs["vacuum", frozenset({"vacuum"})].sure
    assert by_needs["density", frozenset({"density", "liner"})].may == frozenset()
    assert phrases()["top", "of", "the", "host", "pipe"] == "crown"
