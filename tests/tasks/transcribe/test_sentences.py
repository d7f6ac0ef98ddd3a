"""Statements as engineers write them: what each number is of, and what is in doubt about it.

Read off by hand; a reading is (key, value, the codes of its doubts).
"""

import pytest

from linerdesign.tasks.transcribe.document import Source
from linerdesign.tasks.transcribe.plain_text import text_lines
from linerdesign.tasks.transcribe.reader import read_document
from linerdesign.tasks.transcribe.sentences import readings
from linerdesign.tasks.transcribe.tokens import tokens

COVER, OVALITY, FACTOR = ("cover", "10 ft"), ("ovality", "2 %"), ("safety_factor", "2.0")
MM, IN = ("stated.thickness", "6.0 mm"), ("stated.thickness", "0.236 in")
SHARED, WORD = ("shared",), ("word",)


def read(text):
    made = read_document(Source(tuple(text_lines(text))))
    return [
        (each.key, each.value, *(doubt.removeprefix("transcribe.") for doubt in each.doubts))
        for each in made.found
    ]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        # Several values in one sentence: labels before all of them, or behind all of them.
        ("Soil cover 10 ft ovality 2 %", [(*COVER, *SHARED), (*OVALITY, *SHARED)]),
        ("10 ft soil cover 2 % ovality", [(*COVER, *SHARED), (*OVALITY, *SHARED)]),
        ("8 in inside diameter 10 ft soil cover",
         [("host_diameter", "8 in", *SHARED), (*COVER, *SHARED)]),
        ("Soil cover 10 ft ovality 2 % safety factor", [(*COVER, *SHARED), (*OVALITY, *SHARED)]),
        ("Soil cover 10 ft to 12 ft ovality 2 %", []),
        ("Soil cover 10 ft – 12 ft ovality 2 %", []),
        # Six are a sentence, seven a list.
        ("Soil cover 10 ft ovality 2 % safety factor 2.0 enhancement factor 7 Poisson's ratio 0.3 "
         "flexural modulus 250 ksi",
         [(*COVER, *SHARED), (*OVALITY, *SHARED), (*FACTOR, *SHARED),
          ("enhancement_factor", "7", *SHARED), ("poisson_ratio", "0.3", *SHARED),
          ("flexural_modulus", "250 ksi", *SHARED)]),
        ("Soil cover 10 ft ovality 2 % safety factor 2.0 enhancement factor 7 Poisson's ratio 0.3 "
         "flexural modulus 250 ksi flexural strength 4500 psi", []),
        # One value in two units, or two values.
        ("Design thickness 6.0 mm (0.236 in)", [MM, IN]),
        ("Design thickness 6.0 mm [0.236 in]", [MM, IN]),
        ("Design thickness 6.0 mm 0.236 in", [MM, IN]),
        ("Design thickness 6.0 mm or 0.236 in", [MM, (*IN, *WORD)]),
        ("Design thickness 6.0 mm (0.240 in)",
         [(*MM, "several"), ("stated.thickness", "0.240 in", "several")]),
        ("Design thickness 6.0 mm (0.242 in)", []),
        # 2 % over 0.23622 in are 0.24094 in.
        ("Design thickness 6.0 mm (0.24096 in)", []),
        ("Design thickness 6.0 mm (0.230 in)", []),
        ("Design thickness 6.0 mm (6.0 mm)", []),
        ("Design thickness 6.0 mm (6.0 psi)", []),
        ("Design thickness 6.0 mm (6.0)", []),
        ("Design thickness 6.0 mm / 0.236 in", [MM, IN]),
        ("Soil cover 10 ft / ovality = 2 %", [COVER, OVALITY]),
        # In a formula, a number is a part of it.
        ("Soil cover k*10 ft", []), ("Soil cover 10 ft * k", []), ("Soil cover 10 / k", []),
        ("Soil cover / 10 ft", []), ("Soil cover 10 ft + k", []),
        # A word before the label is part of it, but none before the number.
        ("Zig soil cover 10 ft", [(*COVER, *WORD)]),
        ("Zig the soil cover 10 ft", [COVER]),
        ("Zig 10 ft soil cover", [COVER]),
        ("Zig 10 ft zag soil cover", [(*COVER, *WORD)]),
        ("Zig groundwater above invert 7 ft", [("groundwater_above_invert", "7 ft", *WORD)]),
        ("Soil cover 10 ft zig", [COVER]),
        ("Zig soil cover H 10 ft", [(*COVER, *WORD)]),
        # What is about so much is no sure value; its point ends no sentence.
        ("Soil cover approx. 10 ft", [(*COVER, "conditional")]),
        ("Soil cover H 10 ft zig", [COVER]),
        # A label parted from its value by a comma or by `and`.
        ("Soil cover, 10 ft", [COVER]),
        ("10 ft, soil cover", [COVER]),
        ("Safety factor 2.0, 10 ft, soil cover", [FACTOR, COVER]),
        ("Soil cover and 10 ft", [COVER]),
        ("10 ft and soil cover", []),
        ("Ovality 2 %, soil cover, 10 ft", [OVALITY, COVER]),
        ("Modulus and flexural strength are 4500 psi", []),
        ("Soil cover, ovality 2 %", [(*OVALITY, "joined")]),
        # Where one sentence ends and the next begins.
        ("Soil cover: 10 ft; ovality 2 %. Safety factor 2.0", [COVER, OVALITY, FACTOR]),
        ("Cover is 12 in. Ovality is 2 %", [("cover", "12 in"), OVALITY]),
        ("Cover is 12 in. ovality 2 %", [("cover", "12 in", *SHARED), (*OVALITY, *SHARED)]),
        ("Soil cover | ovality 2 %", [OVALITY]),
        ("Soil cover • ovality 2 %", [OVALITY]),
        # Behind equals signs.
        ("Safety factor = 2.0 ovality = 2 %", [FACTOR, OVALITY]),
        ("Soil cover = 10 ft above the top of pipe", [COVER]),
        ("Soil cover 10 ft ovality 2 % safety factor = 2.0",
         [(*COVER, *SHARED), (*OVALITY, *SHARED), FACTOR]),
        # What follows is of another quantity, and of the next sentence.
        ("Soil cover = 10 ft groundwater", [COVER]),
        ("Soil cover = 10 ft ovality", [COVER]),
        ("K = 7.0 X1.3", [("enhancement_factor", "7.0")]),
        ("K = 7.0 zig", [("enhancement_factor", "7.0")]),
        ("t = 12/50.8 = 0.236 in = 6.0 mm",
         [("stated.thickness", "0.236 in", "wording"), ("stated.thickness", "6.0 mm", "wording")]),
        ("E = 2 x 125000 psi", []),
        ("Soil cover (ft): 10", [COVER]),
        ("modulus of elasticity, long-term (50 %): 862 MPa", [("stated.steps.E_L", "862 MPa")]),
        ("Soil cover 10 ft ovality = 2 %", [COVER, OVALITY]),
        ("Soil cover H = 10 ft q = 2 %", [COVER]),
        ("Groundwater = 7 ft above the invert", [("groundwater_above_invert", "7 ft")]),
        ("Safety factor provided by X1.3 = 2.3", [("stated.steps.N_X1.3", "2.3")]),
        ("Safety factor by X1.3 = 2.3", [("stated.steps.N_X1.3", "2.3", "wording")]),
        ("Liner density: 1.2 g/cm3", [("density", "1.2 g/cm^3")]),
        ("K 7", [("enhancement_factor", "7", "symbol_only")]),
        ("Enhancement K 7", [("enhancement_factor", "7")]),
        ("Liner soil cover hw = 10 ft", [(*COVER, "symbol_differs", *WORD)]),
        # The second symbol may be a factor, or begin anew.
        ("DR = 50 K = 7.0", [("stated.steps.DR", "7.0", *WORD)]),
        ("Rw = 1 - 0.33 (Hw/H) = 0.794", [("stated.steps.R_w", "0.794")]),
        # What qualifies a sentence qualifies all of it.
        ("If cover is 10 ft, ovality is 2 %", [(*COVER, "conditional"), (*OVALITY, "conditional")]),
        ("Soil cover is 10 ft, 12 ft", [(*COVER, *SHARED)]),
        ("Soil cover is 10 ft, 12 ft, 14 ft", [(*COVER, *SHARED)]),
        # Names.
        ("Governing equation: X1.3", [("stated.governing", "X1.3")]),
        ("X1.3 and X1.1, governing", []),
        ("Governing equation X1.3 gives 5 mm", []),
        ("Equation X1.3 is used", []),
        ("HL-93", [("live_load", "HL-93")]),
        ("HS-20", [("live_load", "H-20 table", "vehicle")]),
        ("H-25", [("live_load", "H-25 table", "vehicle")]),
        ("Cooper E-80", [("live_load", "E-80 table", "vehicle")]),
        ("Live load HL-93: 1.2 psi", [("live_load", "1.2 psi")]),
        ("Soil cover 10 ft, HL-93", [COVER, ("live_load", "HL-93")]),
        ("Fully deteriorated", [("stated.condition", "fully deteriorated")]),
        ("A partially-deteriorated host, PARTIALLY deteriorated",
         [("stated.condition", "partially deteriorated")]),
        ("Fully deteriorated, or partially deteriorated", []),
    ],
)  # fmt: skip
def test_a_sentence_is_read_as_an_engineer_reads_it(text, found):
    assert read(text) == found


@pytest.mark.parametrize(
    ("text", "spans"),
    [
        ("The soil cover is 10 ft. Ovality: 2 %", ["soil cover is 10 ft.", "Ovality: 2 %"]),
        ("It is 10 ft of soil cover here", ["10 ft of soil cover"]),
        ("So X1.3 is the governing one", ["X1.3 is the governing"]),
        ("A governing equation is X1.3.", ["governing equation is X1.3"]),
        ("Host: fully deteriorated, by HL-93", ["fully deteriorated", "HL-93"]),
        ("t = 12/50 = 0.236 in", ["t = 12/50 = 0.236 in"]),
    ],
)
def test_a_reading_spans_its_label_and_its_value(text, spans):
    found = readings(text, tokens(text))
    assert [text[each.start : each.end] for each in found] == spans
