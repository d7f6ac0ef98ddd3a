"""Tables as read from a file: values by key, defaults, and faults with their place."""

import datetime

import pytest

from linerdesign.project.faults import Place
from linerdesign.project.fields import TABLES, Table, read_table, unknown_key, validated
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Defaults, Limits, Pipe, Resin

PLACE = Place("p.toml", "[[pipe]]", "A", path=("pipe", 0))


def table(name, raw, place=PLACE):
    """The table and its faults: code, key, path, value."""
    faults = []
    made = read_table(TABLES[name], raw, place, faults)
    return made, [
        (each.code.removeprefix("faults."), each.place.key, each.value) for each in faults
    ]


def test_values_that_could_be_read_stand_beside_the_faults():
    raw = {"name": " A ", "cover": "9 ft", "ovality": "9", "condition": "wet", "above_ground": True,
           "covr": 1, "safety_factor": 2}  # fmt: skip
    made, faults = table("pipe", raw)
    assert (made.name, made.cover.number, made.above_ground, made.place) == ("A", 9.0, True, PLACE)
    assert (made.ovality, made.condition) == (None, None)
    assert made.unread == {"ovality", "condition"}
    assert list(made.given) == ["name", "cover", "above_ground"]
    assert faults == [
        ("unknown_near", "", ""), ("misplaced", "safety_factor", ""),
        ("choice", "condition", '"wet"'), ("no_unit", "ovality", '"9"'),
    ]  # fmt: skip
    made, faults = table("pipe", [1])
    assert (made.given, faults) == ({}, [("not_a_table", "", "[1]")])


def test_required_keys_are_told_each_with_what_it_is():
    _, faults = table("pipe", {})
    assert [(code, key) for code, key, _ in faults] == [
        ("missing_key", "name"), ("missing_key_for", "condition"),
    ]  # fmt: skip
    _, faults = table("resin", {"name": "A"})
    assert [key for _, key, _ in faults] == ["flexural_modulus", "flexural_strength"]
    faults = []
    read_table(TABLES["pipe"], {"name": "A"}, PLACE, faults)
    assert [str(each) for each in faults] == [
        'missing required key condition in [[pipe]] "A" of p.toml: condition of the host as '
        "determined by the owner; never inferred"
    ]
    # Where another table has them too, they are not required.
    assert table("inputs", {})[1] == []


def test_what_is_left_out_has_the_default_of_its_first_table():
    criteria, _ = table("criteria", {})
    assert (criteria.safety_factor, criteria.dry_case) == (2.0, True)
    assert criteria.minimum_thickness == Measure(0.0, "mm", "0 mm")
    assert criteria.thickness_step == Measure(1.5, "mm", "1.5 mm")
    assert (type(criteria.defaults), type(criteria.limits)) == (Defaults, Limits)
    assert criteria.defaults.given == criteria.limits.given == {}
    assert criteria.second_method is None
    resin, _ = table("resin", {})
    assert (resin.thickness_step, resin.modulus_retention.number) == (None, 50.0)
    assert table("defaults", {})[0].modulus_retention is None
    assert table("inputs", {})[0].safety_factor is None
    pipe = Pipe.model_construct()
    assert (pipe.name, pipe.evidence, pipe.station, pipe.above_ground) == ("", {}, (), False)
    assert (pipe.resin, table("project", {})[0].date) == ("", "")


def test_a_table_is_changed_as_a_copy_and_known_by_what_it_gives():
    resin = Resin.model_construct(name="A")
    other = resin.changed({"name": "B", "density": Measure(1.0, "g/cm^3", "")})
    assert (resin.name, other.name, list(other.given)) == ("A", "B", ["name", "density"])
    assert len({resin, Resin.model_construct(name="A"), other}) == 2
    assert hash(resin) != hash(other)


def test_a_table_is_read_whole_or_not_at_all():
    faults = []
    assert validated(Criteria, {"safety_factor": 3.0}, "[criteria]", faults).safety_factor == 3.0
    assert faults == []
    assert validated(Criteria, {"safety_factor": "3"}, "[criteria]", faults) is None
    assert str(faults[0].place) == "[criteria]"
    assert validated(Criteria, {"safety_factor": 0}, PLACE, faults) is None
    assert faults[1].place.path == ("pipe", 0, "safety_factor")


@pytest.mark.parametrize(
    ("name", "word", "value", "code", "numbers"),
    [
        ("pipe", "width_", 1, "unknown", None),
        ("pipe", "Host-Diameter", 1, "unknown_near",
         {"word": "Host-Diameter", "known": "host_diameter"}),
        ("pipe", "safety_factor", 1, "misplaced", {"table": "[criteria]"}),
        ("pipe", "thickness_step", 1, "misplaced", {"table": "[[resin]] or [criteria]"}),
        # A table of that name may be a key meant elsewhere.
        ("pipe", "defaults", {}, "unknown", None),
        ("resin", "rise", 1, "unknown", None),
        ("pipe", "rise", 1, "not_circular", None),
        ("pipe", "span", 1, "not_circular", None),
        ("station", "shape", 1, "not_circular", None),
        ("leg", "width", 1, "not_circular", None),
    ],
)  # fmt: skip
def test_a_key_that_a_table_does_not_take(name, word, value, code, numbers):
    found = unknown_key(TABLES[name], word, value, PLACE)
    if code == "unknown":
        assert found.code in ("faults.unknown", "faults.unknown_near")
    else:
        assert found.code == f"faults.{code}"
    said = dict(found.numbers)
    assert numbers is None or {key: said[key] for key in numbers} == numbers
    assert found.place.path == ("pipe", 0, word)


@pytest.mark.parametrize(
    ("name", "key", "raw", "read"),
    [
        ("project", "number", 26, "26"), ("project", "number", 26.1, "26.1"),
        ("project", "number", 1 / 3, "0.333333333333333"),
        ("project", "date", datetime.date(2026, 11, 27), "2026-11-27"),
        ("project", "date", datetime.time(9, 30), "09:30:00"),
        ("project", "date", " autumn ", "autumn"),
        ("resin", "price", "3.10 USD/kg", (3.1, "USD/kg", "USD", "kg")),
        ("resin", "price", " 3.10  USD / lb ", (3.1, "USD/lb", "USD", "lb")),
        ("cost", "tube_price", "18 USD/ft", (18.0, "USD/ft", "USD", "ft")),
        ("cost", "mobilisation", "4000 USD", (4000.0, "USD", "USD", "")),
        ("pipe", "groundwater", "none", "none"),
        ("pipe", "above_ground", False, False),
        ("criteria", "poisson_ratio", 0.3, 0.3),
        ("criteria", "safety_factor", 2, 2.0),
    ],
)  # fmt: skip
def test_a_value_is_read_by_the_kind_of_its_key(name, key, raw, read):
    made, faults = table(name, {key: raw})
    assert [each for each in faults if each[1] == key] == []
    found = getattr(made, key)
    if isinstance(read, tuple):
        found = (found.number, found.unit, found.currency, found.per)
    assert (found, type(found)) == (read, type(read))


@pytest.mark.parametrize(
    ("name", "key", "raw", "code"),
    [
        ("project", "number", True, "no_words"), ("project", "date", [1], "no_words"),
        ("pipe", "name", 4, "no_words"), ("pipe", "name", "  ", "no_text"),
        ("pipe", "condition", 3, "choice"), ("pipe", "above_ground", 1, "truth"),
        ("pipe", "groundwater", "dry", "no_water"),
        ("criteria", "safety_factor", True, "not_a_number"),
        ("resin", "price", "3.10 USD", "price"), ("resin", "price", "3.10/kg", "price"),
        ("resin", "price", "3.10 USD/ft", "price"), ("resin", "price", 3, "price"),
        ("resin", "price", "3.10 US$/kg", "price"), ("resin", "price", "-1 USD/kg", "price"),
        ("cost", "tube_price", "18 USD/kg", "price_per_length"),
        ("cost", "mobilisation", "4000 USD/m", "money"), ("cost", "mobilisation", "USD", "money"),
        ("pipe", "diameters", "9 in", "not_a_list"), ("pipe", "diameters", ["9 in"], "entries"),
        ("pipe", "origin", [1], "not_braces"), ("pipe", "leg", {}, "not_a_list"),
        ("pipe", "stated", 3, "not_a_table"),
    ],
)  # fmt: skip
def test_a_value_of_another_kind_is_refused_at_its_key(name, key, raw, code):
    made, faults = table(name, {key: raw})
    (found,) = ((each, at) for each, at, _ in faults if at == key or each == code)
    assert found[0] == code
    assert key in made.unread or code == "not_a_table"


def test_another_word_for_water_is_told_the_keys_of_levels():
    faults = []
    read_table(TABLES["station"], {"at": "0 ft", "groundwater": "dry"}, PLACE, faults)
    assert dict(faults[0].numbers)["keys"] == (
        "groundwater_above_invert, groundwater_above_crown, groundwater_below_surface, "
        "groundwater_elevation"
    )


def test_readings_are_refused_one_by_one():
    made, faults = table("pipe", {"diameters": ["9 in", "9", "230 mm", 9]})
    assert [each for each in faults if "diameters" in each[1]] == [
        ("no_unit", "diameters number 2", '"9"'), ("not_text", "diameters number 4", "9"),
    ]  # fmt: skip
    assert "diameters" in made.unread
    made, _ = table("pipe", {"diameters": ["9 in", "230 mm"]})
    assert [each.unit for each in made.diameters] == ["in", "mm"]


def test_values_by_key_are_of_keys_of_a_pipe_or_a_resin():
    origin = {"cover": "measured", "flexural_modulus": "given", "covr": "plan", "ovality": "seen"}
    made, faults = table("pipe", {"origin": origin})
    assert made.origin == {"cover": "measured", "flexural_modulus": "given"}
    assert [each for each in faults if "origin" in each[1]] == [
        ("unknown_near", "origin.covr", ""), ("choice", "origin.ovality", '"seen"'),
    ]  # fmt: skip
    made, faults = table("pipe", {"evidence": {"cover": " plan ", "ovality": ""}})
    assert made.evidence == {"cover": "plan"}
    assert ("no_text", "evidence.ovality", '""') in faults


def test_tables_in_a_list_are_named_by_their_place_or_their_number():
    faults = []
    legs = [{"at": "9 ft", "bend": "9"}, {"bend": "8"}, 3]
    made = read_table(Pipe, {"name": "A", "condition": "fully deteriorated", "leg": legs}, PLACE,
                      faults)  # fmt: skip
    assert len(made.leg) == 3
    assert [(str(each.place), each.place.path) for each in faults] == [
        ('leg "9 ft" of [[pipe]] "A" of p.toml', ("pipe", 0, "leg", 0, "bend")),
        ('leg 2 of [[pipe]] "A" of p.toml', ("pipe", 0, "leg", 1, "bend")),
        ('leg 3 of [[pipe]] "A" of p.toml', ("pipe", 0, "leg", 2)),
    ]
    for count, code in ((1000, None), (1001, "entries")):
        _, faults = table("pipe", {"lateral": [{"at": "x"}] * count})
        assert [each for each, key, _ in faults if key == "lateral"] == ([code] if code else [])


def test_every_table_has_the_rows_of_its_name():
    """What it requires is its own: a station may have what a pipe must have."""
    for name, cls in TABLES.items():
        assert issubclass(cls, Table)
        assert (cls.of, set(cls.required) <= cls.rows.keys()) == (name, True)
        assert all(cls.rows[key].tables[0] == name for key in cls.required)
    assert TABLES["station"].required == ("at",)


def test_what_was_read_stays_as_it_is():
    resin = Resin.model_construct(name="A")
    with pytest.raises(ValueError, match="frozen"):
        resin.name = "B"
