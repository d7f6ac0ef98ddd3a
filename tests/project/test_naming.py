"""Mapping files of inventories, TOML as text, and units by their names: conversions by hand."""

import pytest

from linerdesign.project import naming
from linerdesign.project.faults import InputFaults
from linerdesign.project.measures import convert
from linerdesign.project.naming import read_naming
from linerdesign.project.toml_text import toml_tables, toml_text
from linerdesign.project.units import is_customary, is_unit, plain_marks, plain_unit, two_meanings


@pytest.fixture
def file(tmp_path):
    def written(text):
        path = tmp_path / "map.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return written


def test_columns_and_words_of_an_inventory(file):
    found = read_naming(
        file(
            '[columns]\nDIA = " host_diameter [mm] "\nNOTE = ""\n[values.condition]\nF = "fully"\n'
        )
    )
    assert found.columns == {"DIA": "host_diameter [mm]", "NOTE": ""}
    assert found.values == {"condition": {"F": "fully"}}
    assert found.file_name == "map.toml"
    assert read_naming(file("[columns]\n")).values == {}


NO_TABLE, NO_TEXT = (
    "must be a table of keys and values",
    "not text; write a heading or a word in quotes",
)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[colums]\nA = "cover"\n',
         ["unknown table colums; did you mean columns? (map.toml, line 1)"]),
        ("columns = 3\nvalues = 4\n",
         [f"3: {NO_TABLE} ([columns] of map.toml, line 1)",
          f"4: {NO_TABLE} ([values] of map.toml, line 2)"]),
        ('[columns]\nA = 3\n[values.covr]\nx = 1\n[values]\ncover = "y"\n',
         [f"A 3: {NO_TEXT} ([columns] of map.toml, line 2)",
          "unknown key covr; did you mean cover? ([values.covr] of map.toml, line 3)",
          f"x 1: {NO_TEXT} ([values.covr] of map.toml, line 4)",
          f'"y": {NO_TABLE} ([values.cover] of map.toml, line 6)']),
    ],
    ids=range(3),
)  # fmt: skip
def test_every_fault_of_a_mapping_file_has_its_line(file, text, said):
    with pytest.raises(InputFaults) as raised:
        read_naming(file(text))
    assert [str(each) for each in raised.value.faults] == said


def test_a_mapping_file_beyond_the_most_bytes_is_refused(file, monkeypatch):
    monkeypatch.setattr(naming, "MAXIMUM_BYTES", 10)
    assert read_naming(file("[columns]\n")).columns == {}
    with pytest.raises(InputFaults, match="file of more than"):
        read_naming(file("[columns]\n\n"))


def test_what_is_no_toml_is_one_fault_with_the_name_of_the_file():
    assert toml_text(b"\xef\xbb\xbfa = 1", "p.toml") == "a = 1"
    assert toml_tables("a.b = 1", "p.toml") == {"a": {"b": 1}}
    deep = ".".join("a" * 101)
    for text, name, said in (
        ("", "p.toml", "p.toml"), ("# none", "", "file"), ("a = ", "p.toml", "p.toml"),
        (f"{deep} = 1", "p.toml", "p.toml"), (f"{deep} = 1", "", "file"),
    ):  # fmt: skip
        with pytest.raises(InputFaults) as raised:
            toml_tables(text, name)
        assert said in str(raised.value)
    assert toml_tables(f"{'.'.join('a' * 100)} = 1", "p.toml")
    for name, said in (("p.toml", "p.toml"), ("", "file")):
        with pytest.raises(InputFaults, match=said):
            toml_text(b"\xff", name)


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        ("ft.", "ft"), ("PSI", "psi"), ("P.S.I.", "psi"), ("#/cf", "lb/cf"), ("° F", "degF"),
        ("deg C", "degC"), ('"', "in"), ("'", "ft"), ("lb/sq ft", "lb/square ft"),
        ("N/mm²", "N/mm^2"), ("kN/m³", "kN/m^3"), ("in⁴/in", "in^4/in"), ("percent", "%"),
        ("-inch", "inch"), ("lin ft", "ft"), ("FEET", "feet"), ("mN", "mN"), ("MN", "MN"),
        ("mPa", "mPa"), ("T", "T"), ("mpa", "MPa"), ("ft H2O", "ft of water"),
        ("in Hg", "in of mercury"), ("xyz", "xyz"), ("45°", "45deg"),
    ],
)  # fmt: skip
def test_units_as_people_write_them(written, plain):
    assert plain_unit(written) == plain


def test_marks_of_people_are_plain_ones():
    assert plain_marks(" 9′–6″ ") == "9'-6\""
    assert plain_marks("8''") == '8"'
    assert plain_marks("6½ in\u00a0") == "6 1/2 in"


def test_what_is_written_as_a_unit_and_what_is_used_in_the_states():
    assert [is_unit(text) for text in ("psi", "kN/m^3", "ft of water", "%", "2 ft", "")] == [
        True, True, True, True, False, False
    ]  # fmt: skip
    assert [is_customary(text) for text in ("psi", "lb/ft^3", "MPa", "lb/m", "")] == [
        True, True, False, False, False
    ]  # fmt: skip


def test_units_that_are_two_have_both_readings():
    """A short ton is 2,000 lb; a mil is a thousandth of an inch, or short for a millimetre."""
    assert two_meanings(3.0, "tons") == ("6000 lb", "3 t")
    assert two_meanings(50.0, "mil") == ("0.05 in", "50 mm")
    assert two_meanings(3.0, "lb") == ()


@pytest.mark.parametrize(
    ("number", "unit", "wanted", "expected"),
    [
        (12, "in", "mm", 304.8), (1, "psi", "Pa", 4.4482216152605 / 0.0254**2),
        (1, "pcf", "kN/m^3", 4.4482216152605e-3 / 0.3048**3), (1, "lb", "N", 4.4482216152605),
        # A mass over a volume is weighed by 9.80665 m/s2.
        (1000, "kg/m3", "kN/m^3", 9.80665), (1, "lb/ft^3", "kg/m^3", 0.45359237 / 0.3048**3),
        (9.80665, "kN/m^3", "kg/m^3", 1000), (1, "kg", "N", 9.80665),
        (32, "degF", "degC", 0), (100, "degC", "degF", 212),
    ],
)  # fmt: skip
def test_conversions_by_the_definitions_of_inch_pound_and_gravity(number, unit, wanted, expected):
    assert convert(number, unit, wanted) == pytest.approx(expected, rel=1e-9, abs=1e-9)
