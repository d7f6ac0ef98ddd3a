"""What people write in a project: read as they mean it, or refused with what is wrong."""

import pytest
from projects import sized, toml

from linerdesign.project.assembly import tasks
from linerdesign.project.faults import InputFaults, Refused
from linerdesign.project.keys import columns, keys_of
from linerdesign.project.measures import parse
from linerdesign.project.reading import parse as parse_project

# One foot is 12 inches, 0.3048 m; the rest is arithmetic by hand.
READ = [
    ("9'-6\"", "cover", 9.5, "ft"),
    ("12'-0\"", "cover", 12.0, "ft"),
    ("9 ft 6 in", "cover", 9.5, "ft"),
    ("9ft-6in", "cover", 9.5, "ft"),
    ("9\u2019-6\u201d", "cover", 9.5, "ft"),
    ("6'", "cover", 6.0, "ft"),
    ('8"', "section", 8.0, "in"),
    ("6 1/2 in", "section", 6.5, "in"),
    ("9'-6 3/4\"", "cover", 9.5625, "ft"),
    ("-3'-6\"", "level", -3.5, "ft"),
    ("1,250 ft", "length", 1250.0, "ft"),
    ("312 LF", "length", 312.0, "ft"),
    ("250,000 psi", "modulus", 250_000.0, "psi"),
    ("1,250,000 kPa", "modulus", 1250.0, "MPa"),
    ("1,250.5 mm", "section", 1250.5, "mm"),
    ("8 in", "section", 203.2, "mm"),
]


@pytest.mark.parametrize(("text", "kind", "number", "unit"), READ)
def test_lengths_and_thousands_as_people_write_them(text, kind, number, unit):
    assert parse(text, kind).to(unit) == pytest.approx(number, rel=1e-15)


REFUSED = [
    ("1,250 mm", "section", '"1250 mm" or "1.250 mm"'),
    ("1,724 MPa", "modulus", '"1724 MPa" or "1.724 MPa"'),
    ("12,5 ft", "cover", "comma"),
    ("0,250 ft", "cover", "comma"),
    ("1,25,000 psi", "modulus", "comma"),
    ("9'-14\"", "cover", "12 inches or more"),
    ("5 1/0 in", "section", "fraction over zero"),
    ("10;1 ft", "cover", 'unknown unit ";1 ft"'),
    ("10 <ft", "cover", 'unknown unit "<ft"'),
    ("8 h^2", "cover", '"h^2" is no unit of depth'),
    ("3 (ft)", "cover", "unknown unit"),
    ("3 ft/1", "cover", "unknown unit"),
    ("6 in 3 ft", "cover", "unknown unit"),
    ("9 ft 6", "cover", "unknown unit"),
    ("8 in.", "section", "unknown unit"),
]


@pytest.mark.parametrize(("text", "kind", "why"), REFUSED)
def test_what_has_two_meanings_or_none_is_refused(text, kind, why):
    with pytest.raises(Refused) as found:
        parse(text, kind)
    assert why in str(found.value)


def _faults(text):
    with pytest.raises(InputFaults) as found:
        tasks(parse_project(text.encode(), "p.toml"))
    return found.value.faults


def test_dates_and_numbers_stand_on_the_cover():
    text = toml().replace("[project]", "[project]\ndate = 2026-11-27\nrevision = 3\nnumber = 26.1")
    info = parse_project(text.encode()).info
    assert (info.date, info.revision, info.number) == ("2026-11-27", "3", "26.1")


def test_everyday_names_of_soils():
    def modulus(soil):
        pipe = {"soil_reaction_modulus": f"{soil}, moderate compaction"}
        return sized(pipe=pipe).value("E_s")

    assert modulus("silty sand") == modulus("SM")
    assert modulus("silty clay") == modulus("CL-ML") == modulus("clay")


@pytest.mark.parametrize(
    ("table", "word", "meant"),
    [
        ("pipe", "diameter", "did you mean host_diameter?"),
        ("pipe", "Host-Diameter", "did you mean host_diameter?"),
        ("pipe", "covr", "did you mean cover?"),
        ("pipe", "depth_to_water", "did you mean groundwater_below_surface?"),
        ("pipe", "safety_factor", "it belongs in [criteria]"),
        ("resin", "modulus", "did you mean flexural_modulus?"),
        ("resin", "ovality", "it belongs in [[pipe]]"),
    ],
)
def test_an_unknown_key_is_told_the_right_one(table, word, meant):
    (fault,) = _faults(toml(**{table: {word: "8 in"}}))
    assert meant in str(fault)


def test_evidence_takes_known_keys_only():
    (fault,) = _faults(toml({"evidence": {"covr": "plan of 1962"}}))
    assert "unknown key covr; did you mean cover?" in str(fault)


@pytest.mark.parametrize(("vacuum", "good"), [("14.7 psi", True), ("14.8 psi", False)])
def test_a_full_vacuum_is_one_atmosphere(vacuum, good):
    if good:
        assert sized(pipe={"vacuum": vacuum}).value("P_v") == 14.7
    else:
        (fault,) = _faults(toml({"vacuum": vacuum}))
        assert fault.code == "faults.over_one_atmosphere"


@pytest.mark.parametrize("vacuum", ["30 psi", "lots"])
def test_a_bad_default_is_at_fault_once_where_it_is(vacuum):
    one = toml(criteria={"defaults": {"vacuum": vacuum}})
    text = one + "[[pipe]]" + one.partition("[[pipe]]")[2].replace("Trunk", "Branch")
    (fault,) = _faults(text)
    assert str(fault.place) == "defaults of [criteria]"
    assert fault.place.line == 1 + text.splitlines().index(f'defaults = {{ vacuum = "{vacuum}" }}')


def test_all_faults_in_one_round_each_with_its_line():
    """Keys, words, datums, values that exclude each other and resins are read together."""
    pipe = {"host_diameter": "8 in", "hole_diameter": "9 in", "internal_pressure": "60 psi"}
    text = toml(pipe | {"resin": "Z", "ovality": "2", "cover": "3 psi"}, drop=("live_load",))
    found = {fault.code.partition(".")[2]: fault for fault in _faults(text)}
    written = text.splitlines()
    lines = {
        "no_unit": 'ovality = "2"',
        "wrong_unit": 'cover = "3 psi"',
        "hole_too_large": 'hole_diameter = "9 in"',
        "unknown_resin": 'resin = "Z"',
        "missing_key_for": "[[pipe]]",
    }
    assert {code: fault.place.line for code, fault in found.items()} == {
        code: written.index(line) + 1 for code, line in lines.items()
    }


def test_a_cover_outside_a_table_is_named_with_its_line(run, tmp_path):
    text = toml({"cover": "21 ft", "soil_reaction_modulus": "SM, 90 %"})
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    line = text.splitlines().index('soil_reaction_modulus = "SM, 90 %"') + 1
    assert f'[[pipe]] "Trunk", line {line})' in err


@pytest.mark.parametrize(
    "site",
    [
        {"invert_depth": "0.9 m"},
        {"invert_depth": "900.0000000001 mm"},
        {"ground_elevation": "100.9 m", "invert_elevation": "100 m"},
        {"ground_elevation": "1000.9 m", "invert_elevation": "1000 m"},
    ],
)
def test_no_cover_is_no_cover_by_every_datum(site):
    """0.9 m to the invert of a host of 900 mm: what rounding leaves of it is no cover."""
    text = toml({"host_diameter": "900 mm", **site}, drop=("cover",))
    (fault,) = _faults(text)
    assert fault.code == "faults.no_cover"


def test_columns_are_the_keys_that_a_cell_can_hold():
    found = columns()
    assert found["host_diameter"][0] == "pipe"
    assert found["flexural_modulus"][0] == "resin"
    assert found["safety_factor"][0] == "criteria"
    assert not found.keys() & {"diameters", "origin", "station", "evidence", "thicknesses"}
    assert all(key is keys_of(table)[name] for name, (table, key) in found.items())
