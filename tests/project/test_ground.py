"""Live loads and soils in words.

Moduli of soil reaction by A. Howard, "Modulus of soil reaction values for buried flexible pipe",
1977; of native soil by the table of AWWA M45 after Howard, by blow count and by consistency.
"""

import pytest
from projects import toml

from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse


def read(key, value):
    return getattr(parse(toml({key: value}).encode()).pipes[0], key)


def faults(key, value):
    with pytest.raises(InputFaults) as raised:
        parse(toml({key: value}).encode())
    return [each.text for each in raised.value.faults]


# Of fine-grained soil with less and with more of coarse grains, coarse soil, and crushed rock.
HOWARD = {
    "CL": (50, 200, 400, 1000),
    "SM": (100, 400, 1000, 2000),
    "clean sand": (200, 1000, 2000, 3000),
    "crushed rock": (1000, 3000, 3000, 3000),
}
# His groups of soils.
ROWS = {
    "CL": "fine-grained, liquid limit under 50, under 25 % coarse",
    "SM": "fine-grained with over 25 % coarse, or coarse with over 12 % fines",
    "clean sand": "coarse, little or no fines",
    "crushed rock": "crushed rock",
}
WORDS = ("dumped", "slight", "moderate", "high")


@pytest.mark.parametrize("soil", HOWARD)
def test_a_soil_and_its_compaction_in_words(soil):
    for word, psi in zip(WORDS, HOWARD[soil], strict=True):
        for text in (
            f"{soil}, {word}",
            f"{soil} {word} compaction",
            f" {soil},  {word} compaction ",
        ):
            found = read("soil_reaction_modulus", text)
            assert (found.modulus.number, found.modulus.unit) == (psi, "psi"), text
            assert (found.text, str(found), found.by_depth) == (text.strip(), text.strip(), None)
            assert found.row == f"Howard 1977, row {ROWS[soil]}, {word} compaction, {psi} psi"
            assert found.table.name == "Howard 1977"
    (fault,) = faults("soil_reaction_modulus", soil)
    known = ", ".join(f"{w} ({psi} psi)" for w, psi in zip(WORDS, HOWARD[soil], strict=True))
    more = "; or, for the table by depth, 85 %, 90 %, 95 %, 100 %" if soil != "crushed rock" else ""
    assert fault == f"no compaction; add it after a comma: {known}{more}"


@pytest.mark.parametrize("text", ["SM, 90 %", "SM 90%", "silty sand at 90 % compaction"])
def test_a_soil_and_its_compaction_in_percent_is_read_by_depth(text):
    found = read("soil_reaction_modulus", text)
    assert (found.modulus, found.by_depth) == (None, ("coarse with fines", "90 %"))
    assert found.row.endswith(", row coarse with fines, 90 %")
    assert found.text == text


@pytest.mark.parametrize(
    ("soil", "fault"),
    [
        ("SM, 91 %", 'unknown compaction; use one of "85 %", "90 %", "95 %", "100 %"'),
        ("SM, light", 'unknown compaction; use one of "dumped", "slight", "moderate", "high", '
                      '"85 %", "90 %", "95 %", "100 %"'),
        ("CH, high", "Howard 1977 has no value for this soil and compaction; give a modulus"),
        ("MH", "Howard 1977 has no value for this soil and compaction; give a modulus"),
        ("sand, high", "not a soil of Howard 1977; use one of silty sand, clayey sand, clean sand, "
                       'or a modulus such as "1000 psi"'),
    ],
)  # fmt: skip
def test_a_soil_that_the_table_has_not(soil, fault):
    assert faults("soil_reaction_modulus", soil) == [fault]


# Blow counts up to and including, consistency of granular and of cohesive soil, psi.
NATIVE = [
    (1, "very very loose", "very very soft", 50),
    (2, "very loose", "very soft", 200),
    (4, None, "soft", 700),
    (8, "loose", "medium", 1500),
    (15, "slightly compact", "stiff", 3000),
    (30, "compact", "very stiff", 5000),
    (50, "dense", "hard", 10_000),
    (1000, "very dense", "very hard", 20_000),
]


TRENCH = {"trench": "1000 psi", "trench_width": "9 ft", "combining_table": "1996"}


def native(text):
    found = read("soil_reaction_modulus", TRENCH | {"native": text}).native
    return found.modulus.number, found.modulus.unit, found.row, str(found)


def test_native_soil_by_its_blow_count_or_its_consistency():
    """A count on the border between two rows is of the softer soil."""
    before = 0
    for blows, granular, cohesive, psi in NATIVE:
        texts = [f"{before + 1} blows", f"{blows} blows/ft", f"{cohesive} cohesive"]
        texts += [f"{granular} granular"] if granular else []
        for text in texts:
            row = f"E'n of native soil, row over {before} blows/ft, {psi} psi"
            assert native(text) == (psi, "psi", row, text)
        before = blows
    assert native("rock") == (50_000, "psi", "E'n of native soil, row rock, 50000 psi", "rock")


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("0 blows", "blow count under 1; give 1 or more"),
        ("7", 'not readable; give a modulus, or native soil such as "stiff cohesive"'),
        ("stiff granular", "unknown native soil; use one of very very loose granular, very loose"),
        ("granular", "unknown native soil; use one of "),
        ("None granular", "unknown native soil; use one of "),
    ],
)
def test_native_soil_that_the_table_has_not(text, fault):
    (found,) = faults("soil_reaction_modulus", TRENCH | {"native": text})
    assert found.startswith(fault)
    if "unknown" in fault:
        names = [f"{row[1]} granular" for row in NATIVE if row[1]]
        names += [f"{row[2]} cohesive" for row in NATIVE]
        assert found.endswith("use one of " + ", ".join((*names, "rock")))


def test_a_live_load_is_a_pressure_a_method_or_a_table_of_its_keys():
    none = read("live_load", "none")
    assert (none.number, none.unit, str(none)) == (0, "psi", "none")
    assert read("live_load", "1.2 psi").to("psi") == 1.2
    for method, handbook in (("H-20 table", "in psi"), ("H-25 table", "in psf")):
        found = read("live_load", method)
        assert (str(found), found.handbook) == (method, handbook)
    for table, printed in (("Uni-Bell", "in psi"), ("M11", "in psf"), ("in psf", "in psf")):
        found = read("live_load", {"method": "H-20 table", "table": table})
        assert (found.method, found.handbook) == ("H-20 table", printed)


@pytest.mark.parametrize(
    ("load", "said"),
    [
        ("concentrated load", ['"concentrated load" needs load, impact_factor; add load, '
                               "impact_factor"]),
        ({"method": "concentrated load", "load": "16000 lb"},
         ['"concentrated load" needs impact_factor; add impact_factor']),
        ({"method": "H-20 table", "load_width": "2 ft", "load": "16000 lb"},
         ['"H-20 table" takes no load, load_width; remove load, load_width']),
        ({"method": "H-20 table", "impact_factor": 1.5},
         ['"H-20 table" includes impact; remove impact_factor']),
        ({"method": "H-20 table", "impact_factor": 1.5, "load": "16000 lb"},
         ['"H-20 table" includes impact; remove impact_factor',
          '"H-20 table" takes no load; remove load']),
        ("HS20-44", ['unknown live load; did you mean "H-20 table"?']),
        ("HS-25", ['unknown live load; did you mean "H-25 table"?']),
        ("Cooper E80", ['unknown live load; did you mean "E-80 table"?']),
        ("H-20", ['unknown live load; did you mean "H-20 table"?']),
        ("175 h", ['unknown live load; did you mean "1.75 H rule"?']),
        ("E-80", ['unknown live load; did you mean "E-80 table" or "E-80 Boussinesq"?']),
        ("airprt table", ['unknown live load; did you mean "airport table"?']),
    ],
)  # fmt: skip
def test_a_live_load_that_is_none_is_told_the_right_one(load, said):
    assert faults("live_load", load) == said


def test_a_live_load_that_is_like_none_is_told_all():
    (found,) = faults("live_load", "zzzz")
    assert found.startswith('unknown live load; use "HL-93", "H-20 table", "H-25 table", ')
    (found,) = faults("live_load", "")
    assert found.startswith('unknown live load; use "HL-93", ')
    (found,) = faults("live_load", "12")
    assert found == 'no unit; add it after the number, such as "1.2 psi"'
    for text in ("H", "h2"):
        (found,) = faults("live_load", text)
        assert found.startswith('unknown live load; use "HL-93", ')
    (found,) = faults("live_load", "175")
    assert found == 'no unit; add it after the number, such as "1.2 psi"'


@pytest.mark.parametrize(
    ("text", "known"),
    [
        # Two letters are too few for the beginning of a name, three are enough.
        ("H2", None), ("H20", ["H-20 table"]),
        # A figure behind the first letter makes it no less a word.
        ("E8O table", ["E-80 table"]),
    ],
)  # fmt: skip
def test_a_live_load_is_known_by_the_beginning_of_its_name(text, known):
    (fault,) = faults("live_load", text)
    if known is None:
        assert fault.startswith('unknown live load; use "HL-93"')
    else:
        near = " or ".join(f'"{each}"' for each in known)
        assert fault == f"unknown live load; did you mean {near}?"


def test_a_soil_may_begin_with_one_letter():
    """Groups of AASHTO M 145 are no soils of Howard's table, but soils all the same."""
    (fault,) = faults("soil_reaction_modulus", "A-1 soil, high")
    assert fault.startswith("not a soil of Howard 1977; use one of ")
