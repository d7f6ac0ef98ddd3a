"""Where numbers end: of each kind of quantity, and between the values of one pipe.

A hair within and beyond each border; what lies at it is said in words by the fault.
"""

import re

import pytest
from projects import PIPE, RESIN

from linerdesign.interface import InputFaults, read
from linerdesign.project.faults import Refused
from linerdesign.project.measures import KINDS, Measure, Price, factor, parse, parse_range

ENDS = [
    ("section", "0 mm", "a length greater than zero"),
    ("floor", "-1e-9 mm", "a length that is not negative"),
    ("angle", "0 deg", "an angle, over 0 and at most 180 deg"),
    ("angle", "180.001 deg", "an angle, over 0 and at most 180 deg"),
    ("position", "-0.001 deg", "an angle, at least 0 and under 360 deg"),
    ("position", "360 deg", "an angle, at least 0 and under 360 deg"),
    ("percent", "-0.001 %", "a percentage with its sign that is not negative"),
    ("ovality", "-0.001 %", "an ovality in percent, at least 0 and under 100 %"),
    ("ovality", "100 %", "an ovality in percent, at least 0 and under 100 %"),
    ("retention", "0 %", "a percentage with its sign, over 0 and at most 100 %"),
    ("retention", "100.001 %", "a percentage with its sign, over 0 and at most 100 %"),
    ("share", "100.001 %", "a percentage with its sign, over 0 and at most 100 %"),
    ("vacuum", "0 psi", "a pressure greater than zero"),
    ("load", "-0.001 psi", "a pressure that is not negative"),
    # Absolute zero, by the definition of both scales.
    ("temperature", "-273.16 degC", "a temperature, at least -273.15 degC"),
    ("temperature", "-459.68 degF", "a temperature, at least -273.15 degC"),
]
WITHIN = [
    ("section", "1e-9 mm"), ("floor", "0 mm"), ("angle", "0.001 deg"), ("angle", "180 deg"),
    ("position", "0 deg"), ("position", "359.999 deg"), ("percent", "0 %"), ("percent", "1000 %"),
    ("ovality", "0 %"), ("ovality", "99.999 %"), ("retention", "0.001 %"), ("retention", "100 %"),
    ("level", "-1000 ft"), ("temperature", "-20 degC"), ("temperature", "-273.15 degC"),
    ("temperature", "-459.67 degF"), ("load", "0 psi"), ("length", "1e15 m"),
    ("level", "-1e15 m"), ("time", "0 h"), ("carbon", "0 kg/kg"), ("share", "100 %"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "text", "range"), ENDS)
def test_a_number_beyond_its_kind_is_told_the_range(kind, text, range):
    with pytest.raises(Refused) as refused:
        parse(text, kind)
    assert refused.value.code == "faults.out_of_range"
    assert dict(refused.value.numbers)["range"] == range


@pytest.mark.parametrize(("kind", "text"), WITHIN)
def test_a_number_at_the_end_of_its_kind_is_taken(kind, text):
    assert parse(text, kind).number == float(text.split()[0])


@pytest.mark.parametrize(
    ("kind", "unit"),
    [
        ("section", "in"), ("cover", "ft"), ("length", "ft"), ("modulus", "psi"),
        ("soil modulus", "psi"), ("pressure", "psi"), ("vacuum", "psi"), ("force", "lb"),
        ("inertia", "in^3"), ("unit weight", "pcf"), ("density", "g/cm^3"), ("mass", "kg"),
        ("flow", "L/s"), ("velocity", "m/s"), ("power", "kW"), ("speed", "m/min"), ("life", "yr"),
        ("share", "%"), ("retention", "%"), ("angle", "deg"),
    ],
)  # fmt: skip
def test_nothing_is_no_value_of_most_kinds(kind, unit):
    assert parse(f"0.001 {unit}", kind).number == 0.001
    with pytest.raises(Refused) as refused:
        parse(f"0 {unit}", kind)
    assert refused.value.code == "faults.out_of_range"


@pytest.mark.parametrize("name", KINDS)
def test_the_example_of_a_kind_is_one_of_it(name):
    """A number and a unit, in which the kind can be written as well as in its own."""
    kind = KINDS[name]
    assert re.fullmatch(r"[0-9.]*", kind.number)
    assert re.fullmatch(r"[A-Za-z%][A-Za-z/0-9^]*|", kind.usual_unit)
    assert re.fullmatch(r"[a-z ,]+", kind.noun)
    assert kind.named == f"{'an' if name in ('angle', 'position', 'ovality') else 'a'} {kind.noun}"
    also = ", or a soil and its compaction" if name == "soil modulus" else ""
    assert kind.what == kind.named + also
    if not kind.unit:
        assert (kind.example, kind.usual_unit) == (kind.number, "")
        assert factor(float(kind.number), name) == float(kind.number)
        return
    assert kind.example == f'"{kind.shown}"'
    assert kind.number or name == "mass"
    example = kind.shown if kind.number else f"1 {kind.shown}"
    read = parse(example, name)
    assert (read.number, kind.usual_unit) == (float(kind.number or 1), example.split()[1])
    assert parse(f"1 {kind.unit}", name).number == 1


def test_a_quantity_has_eighty_characters_at_most():
    assert parse("0" * 76 + "8 in", "section").number == 8
    assert parse_range("0" * 70 + "8 to 9 psi", "modulus").upper == 9
    # What stands behind the eightieth counts even where two marks of feet are one of inches.
    long = (
        (parse, "0" * 77 + "8 in"),
        (parse, "0" * 78 + "8'' x"),
        (parse_range, "0" * 71 + "8 to 9 psi"),
    )
    for step, text in long:
        with pytest.raises(Refused) as refused:
            step(text, "modulus")
        assert refused.value.code == "faults.not_a_quantity"


@pytest.mark.parametrize("text", ["1.001e15 m", "-1.001e15 m", "1e999 m"])
def test_no_quantity_is_larger_than_any_of_the_trade(text):
    with pytest.raises(Refused) as refused:
        parse(text, "level")
    assert refused.value.code == "faults.size"


@pytest.mark.parametrize(
    ("value", "kind", "code"),
    [
        (0.5, "ratio", "out_of_range"),
        (0, "ratio", "out_of_range"),
        (-1, "factor", "out_of_range"),
        (1.001e15, "factor", "size"),
        (10**400, "factor", "size"),
        (float("nan"), "factor", "size"),
        (True, "factor", "not_a_number"),
        ("2", "factor", "not_a_number"),
    ],
)
def test_a_bare_number_beyond_its_kind_is_refused(value, kind, code):
    with pytest.raises(Refused) as refused:
        factor(value, kind)
    assert refused.value.code == f"faults.{code}"


def test_a_bare_number_is_a_float_of_the_same_value():
    assert [factor(each, "factor") for each in (2, 2.5, 1e15)] == [2.0, 2.5, 1e15]
    assert factor(0.499, "ratio") == 0.499


def test_both_ends_of_a_range_have_one_unit():
    """1 ksi is 1,000 psi; the first number may be without its unit."""
    for text in ("75000 to 180000 psi", "75 ksi to 180000 psi", "75,000 to 180,000 psi"):
        found = parse_range(f" {text} ", "modulus")
        low, high = found.ends
        assert (found.number, found.upper, found.unit) == (pytest.approx(75_000), 180_000, "psi")
        assert (low.number, high.number, low.upper) == (pytest.approx(75_000), 180_000, None)
        assert (str(found), high.text) == (text, "180000 psi")
    alone = parse_range("75 ksi", "modulus")
    assert alone.ends == (alone, alone)
    for text in ("75000 to 75000 psi", "80 ksi to 75000 psi"):
        with pytest.raises(Refused) as refused:
            parse_range(text, "modulus")
        assert refused.value.code == "faults.range_reversed"


def test_a_price_is_converted_by_what_it_is_for():
    """A pound is 0.45359237 kg, a foot 0.3048 m, by definition."""
    price = Price(2.0, "EUR/lb", "2 EUR/lb", currency="EUR", per="lb")
    assert price.per_unit("kg") == pytest.approx(2 / 0.45359237)
    made = price.priced_by("kg")
    assert (made.number, made.unit, made.per) == (price.per_unit("kg"), "EUR/kg", "kg")
    amount = Price(500.0, "EUR", "500 EUR", currency="EUR")
    assert amount.priced_by("kg") is amount
    assert Measure(10.0, "ft", "10 ft").to("m") == pytest.approx(3.048)


def faults(pipe):
    """The key of each fault of a partially deteriorated pipe of 48 in, with its text."""
    partial = {"name": "A", "condition": "partially deteriorated", "host_diameter": "48 in",
               "ovality": "2 %", "groundwater_above_invert": "12 ft"}  # fmt: skip
    gone = {"maximum_diameter", "minimum_diameter"} & pipe.keys()
    given = {k: v for k, v in partial.items() if not (gone and k == "ovality")} | pipe
    resin = RESIN | {"tensile_strength": "3000 psi"}
    try:
        read({"project": {"title": "Harrowmere"}, "resin": [resin], "pipe": [given]})
    except InputFaults as found:
        return [(each.key, each.value, each.code.partition(".")[2]) for each in found.faults]
    return []


PRESSURE = {"internal_pressure": "60 psi"}


@pytest.mark.parametrize(
    ("pipe", "key", "good", "bad", "code"),
    [
        # One standard atmosphere is 14.696 psi.
        ({}, "vacuum", "14.69 psi", "14.75 psi", "over_one_atmosphere"),
        ({}, "maximum_diameter", "48 in", "47.99 in", "under_mean"),
        ({}, "maximum_diameter", "95.99 in", "96 in", "ovality_of_100"),
        ({}, "minimum_diameter", "48 in", "48.01 in", "over_mean"),
        # The crown lies 4 ft over the invert, with the host's wall 0.5 ft more.
        ({}, "invert_depth", "4.01 ft", "4 ft", "no_cover"),
        ({"host_wall": "6 in"}, "invert_depth", "4.51 ft", "4.5 ft", "no_cover"),
        ({"invert_elevation": "90 ft"}, "ground_elevation", "94.01 ft", "94 ft", "no_cover"),
        (PRESSURE, "hole_diameter", "47.99 in", "48 in", "hole_too_large"),
        ({}, "design_thickness", "23.99 in", "24 in", "no_bore"),
    ],
)
def test_values_of_a_pipe_exclude_each_other_at_their_border(pipe, key, good, bad, code):
    assert faults(pipe | {key: good}) == []
    assert faults(pipe | {key: bad}) == [(key, bad, code)]


def test_a_value_of_the_criteria_is_at_fault_there():
    pipe = {k: v for k, v in PIPE.items() if k not in ("cover", "ovality")}
    criteria = {"defaults": {"invert_depth": "4 ft", "ovality": "2 %"}}
    with pytest.raises(InputFaults) as found:
        read({"project": {"title": "Harrowmere"}, "criteria": criteria, "resin": [RESIN],
              "pipe": [pipe]})  # fmt: skip
    (each,) = found.value.faults
    assert (each.key, each.place.path) == ("invert_depth", ("criteria", "defaults", "invert_depth"))


def test_a_kind_without_ends_is_told_by_its_name_alone():
    assert [KINDS[name].expected for name in ("level", "temperature", "length")] == [
        "a height", "a temperature, at least -273.15 degC", "a length greater than zero",
    ]  # fmt: skip
