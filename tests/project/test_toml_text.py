"""Lines that are no TOML, and what can be told of the others beside them.

What is TOML is in its specification (toml.io, v1.0.0): text stands in quotes, a key once in a
table, an inline table on one line.
"""

import random
import tomllib

import pytest

from linerdesign.project import toml_text
from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse
from linerdesign.project.toml_text import read_tables, toml_tables

SOUND = """\
[project]
title = "Sewer"
units = "US"

[[resin]]
name = "Felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"

[[pipe]]
name = "MH 1 to MH 2"
condition = "partially deteriorated"
host_diameter = "8 in"
ovality = "2 %"
cover = "8 ft"
groundwater_above_invert = "5 ft"
"""


def said(text, name="p.toml"):
    with pytest.raises(InputFaults) as raised:
        parse(text.encode(), name)
    return [str(each) for each in raised.value.faults]


def with_line(old, new):
    assert old in SOUND
    return SOUND.replace(old, new)


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("cover = 8 ft", 'put the value in quotes: cover = "8 ft" (p.toml, line 15)'),
        ("cover = 8 ft  # plan", 'put the value in quotes: cover = "8 ft" (p.toml, line 15)'),
        ("cover = 8.5ft", 'put the value in quotes: cover = "8.5ft" (p.toml, line 15)'),
        ('cover = "8 ft', 'put the value in quotes: cover = "8 ft" (p.toml, line 15)'),
        ("cover = “8 ft”", 'put the value in quotes: cover = "8 ft" (p.toml, line 15)'),
        ("cover = shallow", 'put the value in quotes: cover = "shallow" (p.toml, line 15)'),
        ("cover = 8,5", "not valid TOML: p.toml (line 15): "),
        ("cover == 8", "not valid TOML: p.toml (line 15): "),
        ("cover =", "not valid TOML: p.toml (line 15): "),
        ("cover: 8", "not valid TOML: p.toml (line 15): "),
        ("cover", "not valid TOML: p.toml (line 15): "),
        ('cover = "8 ft"\ncover = "9 ft"', "cover is given twice in one table; remove one (p.toml"),
    ],
)
def test_a_line_that_is_no_toml_is_told_with_its_cure(line, fault):
    (only,) = said(with_line('cover = "8 ft"', line))
    assert only.startswith(fault)


def test_a_ratio_in_per_cent_wants_quotes():
    (only,) = said(with_line('"2 %"', "2 %"))
    assert only == 'put the value in quotes: ovality = "2 %" (p.toml, line 14)'


def test_all_lines_that_are_no_toml_come_at_once_with_the_faults_of_the_others():
    text = with_line('"250000 psi"', "250000 psi").replace('"8 in"', "8 in")
    text = text.replace('"2 %"', '"-2 %"').replace("strength", "stregth")
    assert said(text)[:2] == [
        'put the value in quotes: flexural_modulus = "250000 psi" (p.toml, line 7)',
        'put the value in quotes: host_diameter = "8 in" (p.toml, line 13)',
    ]
    others = said(text.replace("250000 psi", '"250000 psi"').replace("8 in", '"8 in"'))
    assert said(text)[2:] == others
    assert len(others) > 1
    assert said(text.replace("\n", "\r\n")) == said(text)


def test_what_a_faulty_line_was_meant_as_is_not_accused_again():
    (only,) = said(with_line('"8 ft"', "deep"))
    assert only == 'put the value in quotes: cover = "deep" (p.toml, line 15)'


def test_nothing_is_said_to_be_missing_where_a_line_does_not_tell_its_key():
    lines = said(with_line('cover = "8 ft"', 'cover "8 ft"').replace('"2 %"', "2 %"))
    assert [line.partition(":")[0] for line in lines] == [
        "put the value in quotes",
        "not valid TOML",
    ]


@pytest.mark.parametrize(
    "opening",
    [
        'origin = {\n  cover = "plan"\n}',
        'origin = [\n  "a" "b"\n]',
        'origin = x """\nprose of any kind\n"""',
        "origin = x '''\nprose of any kind\n'''",
        "[pipe.section one]\nprose = 8 ft",
    ],
)
def test_lines_that_may_belong_to_a_faulty_one_are_not_accused(opening):
    (only,) = said(SOUND + opening + "\ncover 7\n")
    assert only.startswith("not valid TOML: p.toml (line 1")


def test_what_is_left_open_further_up_is_told_where_it_is_noticed():
    assert said(SOUND + "origin = [\nx = 3\n") == [
        "not valid TOML: p.toml (line 18): Invalid value"
    ]
    assert len(said("title = '''x\n" + SOUND)) == 1


def test_a_second_round_tells_what_is_beyond_the_most_lines(monkeypatch):
    monkeypatch.setattr(toml_text, "MOST_LINES", 3)
    text = "[a]\n" + "".join(f"k{number} = 8 ft\n" for number in range(5))
    with pytest.raises(InputFaults) as raised:
        toml_tables(text, "p.toml")
    assert [each.place.line for each in raised.value.faults] == [2, 3, 4]
    monkeypatch.setattr(toml_text, "MOST_READ", len(text) - 1)
    with pytest.raises(InputFaults) as raised:
        toml_tables(text, "p.toml")
    assert [each.place.line for each in raised.value.faults] == [2]


def test_what_could_be_read_is_left():
    with pytest.raises(InputFaults) as raised:
        read_tables("a = 8 ft\nb = 3\n", "p.toml", lambda raw, text: (raw, text))
    assert raised.value.left() == ({"a": "8 ft", "b": 3}, 'a = "8 ft"\nb = 3\n')


def test_every_line_that_is_no_toml_is_told_and_no_other():
    """Lines are broken at random in the ways above; which they are is known by their numbers."""
    draw = random.Random(5)
    for _ in range(200):
        lines = SOUND.splitlines()
        at = [number for number, line in enumerate(lines) if " = " in line]
        broken = set(draw.sample(at, draw.randint(1, len(at))))
        for number in broken:
            key, _, value = lines[number].partition(" = ")
            cuts = (value.strip('"'), value[:-1], f"= {value}", f"“{value.strip(chr(34))}”")
            lines[number] = f"{key} = {draw.choice(cuts)}"
            with pytest.raises(tomllib.TOMLDecodeError):
                tomllib.loads(lines[number])
        told = said("\n".join(lines))
        assert {int(each.partition("line ")[2].split(")")[0]) - 1 for each in told} == broken
        assert len(told) == len(broken)


def test_twenty_lines_are_told_and_fewer_of_a_text_of_millions():
    """Four readings of a million characters, and one more."""
    broken = "".join(f"k{number} = 8 ft\n" for number in range(30))
    for text, count in ((broken, 20), (broken + "#".ljust(1_000_000, "-"), 4)):
        with pytest.raises(InputFaults) as raised:
            toml_tables(text, "p.toml")
        assert [each.place.line for each in raised.value.faults] == list(range(1, count + 1))


def test_what_is_missing_is_told_beside_a_fault_in_the_first_line():
    assert said("a = 8 ft\n" + SOUND.partition("[[pipe]]")[0]) == [
        'put the value in quotes: a = "8 ft" (p.toml, line 1)', "missing table [[pipe]]",
    ]  # fmt: skip


def test_a_line_behind_an_open_one_is_not_accused_of_its_own_key():
    with pytest.raises(InputFaults) as raised:
        parse((SOUND + "origin = [\nx = 3\n").encode(), "p.toml")
    (only,) = raised.value.faults
    assert (only.key, only.value) == ("", "")


def test_beside_a_key_given_twice_the_other_lines_are_read():
    twice = with_line('cover = "8 ft"', 'cover = "8 ft"\ncover = "9 ft"')
    assert said(twice.replace('"2 %"', '"-2 %"')) == [
        "cover is given twice in one table; remove one (p.toml, line 16)",
        'ovality "-2 %": out of range; give an ovality in percent, at least 0 and under 100 % '
        '([[pipe]] "MH 1 to MH 2", line 14)',
    ]
