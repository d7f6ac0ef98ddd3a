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
    ("9'-3/4\"", "cover", 9.0625, "ft"),
    ("9 ft 1/2 in", "cover", 9 + 1 / 24, "ft"),
    ("-1/2 in", "level", -0.5, "in"),
    ("-6 1/2 in", "level", -6.5, "in"),
    ("1,250 ft", "length", 1250.0, "ft"),
    ("312 LF", "length", 312.0, "ft"),
    ("250,000 psi", "modulus", 250_000.0, "psi"),
    ("1,250,000 kPa", "modulus", 1250.0, "MPa"),
    ("1,250.5 mm", "section", 1250.5, "mm"),
    ("8 in", "section", 203.2, "mm"),
    ("9'6", "cover", 9.5, "ft"),
    ("9ft6in", "cover", 9.5, "ft"),
    ("9 ft. 6 in.", "cover", 9.5, "ft"),
    ("9'-6''", "cover", 9.5, "ft"),
    ('9`-6"', "cover", 9.5, "ft"),
    ("9 1/2 ft", "cover", 9.5, "ft"),
    ("9\u00bd ft", "cover", 9.5, "ft"),
    ('10-7/8"', "section", 10.875, "in"),
    ('3/8"', "section", 0.375, "in"),
    ("1,250'-6\"", "length", 1250.5, "ft"),
    ("8 in.", "section", 8.0, "in"),
    ("8-inch", "section", 8.0, "in"),
    ("9.5 FT", "cover", 9.5, "ft"),
    ("3 M", "cover", 3.0, "m"),
    ("4.5 MM", "section", 4.5, "mm"),
    ("1 250 mm", "section", 1250.0, "mm"),
    ("1\u202f250,0 mm".replace(",", "."), "section", 1250.0, "mm"),
    ("312 L.F.", "length", 312.0, "ft"),
    ("312 lin. ft.", "length", 312.0, "ft"),
    ("-2\u00a0ft", "level", -2.0, "ft"),
    ("\u22122 ft", "level", -2.0, "ft"),
    ("250,000 PSI", "modulus", 250.0, "ksi"),
    ("250,000 lb/in\u00b2", "modulus", 250.0, "ksi"),
    ("2.5x10^5 psi", "modulus", 250.0, "ksi"),
    ("1724 Mpa", "modulus", 1.724, "GPa"),
    ("1.7 gpa", "modulus", 1.7, "GPa"),
    ("60 psig", "pressure", 60.0, "psi"),
    # By definition: a pound-force on a square inch is 144 on a square foot.
    ("8640 lb/sq ft", "pressure", 60.0, "psi"),
    ("10 m H2O", "pressure", 98.0665, "kPa"),
    # Conventional inch of mercury, NIST SP 811: 3.386389 kPa.
    ("20 inHg", "vacuum", 67.72778, "kPa"),
    ("120 #/cf", "unit weight", 120.0, "pcf"),
    ("120 lb/cu. ft.", "unit weight", 120.0, "pcf"),
    ("0.12 kcf", "unit weight", 120.0, "pcf"),
    ("19 KN/m3", "unit weight", 19.0, "kN/m^3"),
    ("72 pcf", "density", 72.0, "lb/ft^3"),
    ("1.15 g/cc", "density", 1150.0, "kg/m^3"),
    ("5 pct", "percent", 5.0, "%"),
    ("5 per cent", "percent", 5.0, "%"),
    ("1/2 %", "percent", 0.5, "%"),
    ("16k", "force", 16_000.0, "lbf"),
    ("16,000#", "force", 16.0, "kip"),
    # 231 cubic inches to the gallon; a horsepower is 550 foot-pounds a second.
    ("448.8 gpm", "flow", 448.8 * 231 / 1728 / 60, "ft^3/s"),
    ("1 MGD", "flow", 1e6 * 231 / 1728 / 86_400, "ft^3/s"),
    ("1 hp", "power", 550 * 0.3048 * 4.4482216152605, "W"),
    ("140 F", "temperature", 60.0, "degC"),
    ("140 \u00b0F", "temperature", 60.0, "degC"),
    ("60 C", "temperature", 140.0, "degF"),
    ("60 \u00baC", "temperature", 140.0, "degF"),
    ("45\u00b0", "angle", 45.0, "deg"),
    ("3 hrs", "time", 180.0, "min"),
    ("50-year", "life", 50.0, "yr"),
]


@pytest.mark.parametrize(("text", "kind", "number", "unit"), READ)
def test_lengths_and_thousands_as_people_write_them(text, kind, number, unit):
    assert parse(text, kind).to(unit) == pytest.approx(
        number, rel=1e-15 if "Hg" not in text else 1e-6
    )


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
    ("8 h^2", "cover", '"h^2" is not a unit of depth'),
    ("3 (ft)", "cover", "unknown unit"),
    ("3 ft/1", "cover", "unknown unit"),
    ("6 in 3 ft", "cover", "more than one number"),
    ("9 ft 6", "cover", "more than one number"),
    ("9-10 ft", "cover", "more than one number"),
    ("8 x 12 in", "section", "more than one number"),
    ("3 h 30 min", "time", "more than one number"),
    ("1'250 m", "length", "more than one number"),
    ("1.250,5 m", "length", "comma in a number"),
    ("250,000 psi (min.)", "modulus", 'unknown unit "psi (min.)"'),
    ("8 3/4", "section", "no unit"),
    ("sta 1+25", "length", "station in place of a quantity"),
    ("1+25", "length", "station in place of a quantity"),
    ("8 tons", "force", 'write "16000 lb" or "8 t"'),
    ("8 tons", "mass", 'write "16000 lb" or "8 t"'),
    ("250 mil", "section", 'write "0.25 in" or "250 mm"'),
    ("1724 mPa", "modulus", 'unknown unit "mPa"'),
    ("70 mN", "force", 'unknown unit "mN"'),
    ("8 T", "force", 'unknown unit "T"'),
    ("8 in ID", "section", 'unknown unit "in ID"'),
    ("60 psia", "pressure", 'unknown unit "psia"'),
    ("0.5 gal", "length", '"gal" is not a unit of length'),
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
        return sized(pipe={"soil_reaction_modulus": soil}).value("E_s")

    def moderate(soil):
        return modulus(f"{soil}, moderate compaction")

    assert moderate("silty sand") == moderate("SM")
    assert moderate("silty clay") == moderate("CL-ML") == moderate("clay")
    assert moderate("well-graded sand") == moderate("SW")
    assert modulus("silty sand moderate compaction") == moderate("SM")
    assert modulus("SM 90 %") == modulus("SM, 90 % compaction")


# Howard 1977, from memory: silty sand, dumped to high; the fat clay has no data.
@pytest.mark.parametrize(
    ("soil", "why"),
    [
        ("silty sand", "dumped (100 psi), slight (400 psi), moderate (1000 psi), high (2000 psi)"),
        ("silty sand", "or, for the table by depth, 85 %, 90 %, 95 %, 100 %"),
        ("crushed rock", "slight (3000 psi), moderate (3000 psi), high (3000 psi) ("),
        ("fat clay", "no value for this soil"),
        ("clay of high plasticity", "no value for this soil"),
        ("sand", "use one of silty sand, clayey sand, clean sand, or a modulus"),
        ("silty sand, loose", "unknown compaction; use one of"),
        ("peat", "not a soil of Howard 1977; use one of CH, MH"),
        ("1000", 'no unit; add it after the number, such as "1000 psi"'),
    ],
)
def test_a_soil_that_leaves_its_modulus_open_names_the_choices(soil, why):
    (fault,) = _faults(toml({"soil_reaction_modulus": soil}))
    assert why in str(fault)


@pytest.mark.parametrize(
    ("load", "why"),
    [
        ("HS-20", 'unknown live load; did you mean "H-20 table"?'),
        ("HS20-44", 'unknown live load; did you mean "H-20 table"?'),
        ("Cooper E80", 'unknown live load; did you mean "E-80 table"?'),
        ("lorry", 'unknown live load; use "HL-93", "H-20 table"'),
        ("12", 'no unit; add it after the number, such as "1.2 psi" ('),
        (12, 'must be a pressure, in quotes with its unit, such as "1.2 psi" ('),
        ("3 psi/1", 'unknown unit "psi/1"; use a unit of pressure, such as "1.2 psi" ('),
    ],
)
def test_a_live_load_is_told_what_it_may_be(load, why):
    (fault,) = _faults(toml({"live_load": load}))
    assert why in str(fault)


@pytest.mark.parametrize(
    ("tables", "said"),
    [
        ({"pipe": {"name": 4}}, 'name 4: must be text, in quotes: name = "4"'),
        ({"pipe": {"name": True}}, 'name true: must be text, in quotes: name = "..."'),
        ({"pipe": {"name": " "}}, "empty; fill it in or remove the key"),
        (
            {"pipe": {"host_diameter": 8}},
            'must be a length, in quotes with its unit, such as "8 in"',
        ),
        ({"pipe": {"host_diameter": "8,5 in"}}, 'use a decimal point, such as "8.5 in"'),
        ({"pipe": {"above_ground": "yes"}}, "must be true or false, without quotes"),
        ({"criteria": {"safety_factor": "2"}}, "must be a number without quotes or unit"),
        ({"pipe": {"groundwater": "6 ft"}}, 'only "none" is allowed; give a water level by'),
    ],
)
def test_a_value_of_the_wrong_sort_is_told_the_right_one(tables, said):
    assert said in "\n".join(map(str, _faults(toml(**tables))))


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


@pytest.mark.parametrize(
    "defaults",
    [
        {"vacuum": "30 psi"},
        {"vacuum": "lots"},
        {"cover": "x"},
        {"soil_reaction_modulus": "SM"},
        {"cover": "9 ft", "invert_depth": "14 ft"},
        {"groundwater_above_invert": "3 ft", "groundwater_below_surface": "9 ft"},
    ],
)
def test_a_bad_default_is_at_fault_once_where_it_is(defaults):
    one = toml(criteria={"defaults": defaults}, drop=defaults)
    text = one + "[[pipe]]" + one.partition("[[pipe]]")[2].replace("Trunk", "Branch")
    (fault,) = _faults(text)
    assert str(fault.place) == "defaults of [criteria]"
    written = next(line for line in text.splitlines() if line.startswith("defaults = "))
    assert fault.place.line == 1 + text.splitlines().index(written)


def test_a_default_hole_is_for_pressure_pipes():
    assert sized(criteria={"defaults": {"hole_diameter": "2 in"}}).status == "sized"


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


def test_a_cover_outside_a_table_does_not_wait_for_other_faults(run, tmp_path):
    """Beside faults of project, criteria, resin and the pipe itself."""
    outside = {"cover": "21 ft", "soil_reaction_modulus": "SM, 90 %", "length": "-1 ft"}
    text = toml(outside, {"flexural_modulus": "4 ft"}, {"safety_factor": -2}, {"colour": "red"})
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    code, _, err = run("size", "p.toml")
    assert code == 2
    told = err.splitlines()
    lines = text.splitlines()
    for wrong in ('colour = "red"', "safety_factor = -2", 'flexural_modulus = "4 ft"'):
        assert any(f"line {lines.index(wrong) + 1})" in each for each in told), wrong
    line = lines.index('soil_reaction_modulus = "SM, 90 %"') + 1
    (found,) = (each for each in told if "outside the published table" in each)
    assert f'[[pipe]] "Trunk", line {line})' in found


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
