"""Live load and soil by name in a whole design: the lines on the sheet, and what is refused."""

import pytest
from calculator import calculate
from projects import sized, toml

from linerdesign.documents.sheet import substituted
from linerdesign.interface import size
from linerdesign.methods.f1216.findings import alternatives
from linerdesign.methods.ground.load_lines import METHODS, TABLES
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.thickness import both_units
from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse

NEEDS = {
    "concentrated load": {"load": "16000 lb", "impact_factor": 1.2},
    "distributed load": {
        "load_pressure": "250 psf",
        "load_length": "20 ft",
        "load_width": "8 ft",
        "impact_factor": 1.0,
    },
}
SHALLOW = {"cover": "6 ft", "groundwater_above_invert": "6 ft"}


def load(method, **keys):
    return {"method": method, **NEEDS.get(method, {}), **keys}


def by(live_load, units=None, **changes):
    return sized(units, pipe=SHALLOW | {"live_load": live_load} | changes)


def faults(**pipe):
    with pytest.raises(InputFaults) as found:
        size(parse(toml(pipe=pipe).encode(), "test.toml"))
    return str(found.value)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("units", ["US", "SI"])
def test_every_line_of_every_method_obeys_the_pocket_calculator_rule(method, units):
    result = by(load(method), units)
    assert result.value("W_s") > 0
    for step in result.steps:
        text = substituted(step)
        if text is not None:
            assert calculate(text) == pytest.approx(step.value, rel=5e-4), step.key


@pytest.mark.parametrize("method", METHODS)
def test_a_load_worked_out_is_the_load_typed_in(method):
    result = by(load(method))
    typed = by(f"{result.value('W_s')!r} psi")
    assert result.required_thickness == pytest.approx(typed.required_thickness, rel=1e-12)


@pytest.mark.parametrize("method", METHODS)
def test_both_unit_systems_give_the_same_load(method):
    us, si = (by(load(method), units) for units in ("US", "SI"))
    assert si.value("W_s") / 0.00689476 == pytest.approx(us.value("W_s"), rel=2e-6)


@pytest.mark.parametrize("method", TABLES)
def test_a_look_up_prints_the_two_rows_it_lies_between(method):
    """7.2 ft lies between the rows of 7 ft and 8 ft, or of 5 ft and 8 ft in the table in psf."""
    result = by(load(method), cover="7.2 ft")
    (step,) = (s for s in result.steps if s.line and s.line.equation.kind == "look-up")
    assert "from memory" in step.source
    text = substituted(step)
    assert text.endswith("*(7.2 - 7)")


@pytest.mark.parametrize(("cover", "vehicle"), [("4 ft", "W_truck"), ("7 ft", "W_tandem")])
def test_the_sheet_shows_the_governing_vehicle(cover, vehicle):
    """Truck above, tandem below the crossover between 5 and 6 ft."""
    result = by("HL-93", cover=cover)
    (step,) = (s for s in result.steps if s.key == "W_s")
    assert step.arithmetic.key == vehicle
    assert result.value("W_truck") is not None
    assert result.value("W_tandem") is not None


def others_named(result):
    """The rules that a caution names, each with the nominal thickness by it in the text."""
    numbers = [dict(note.numbers) for note in result.notes if note.code == "f1216.other_load"]
    return {each["rule"]: each["nominal"] for each in numbers}


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize(
    ("method", "heavier"), [("H-20 table", "HL-93"), ("E-80 Boussinesq", "E-80 table")]
)
def test_a_rule_that_requires_a_thicker_nominal_wall_is_named(method, heavier, units):
    """The nominal thickness by the sheet of the other rule, in the units of the sheet.

    Derived: HL-93 is well over the H-20 rows, and Boussinesq about a third under E-80.
    """
    soft = {"soil_reaction_modulus": "300 psi"}
    ours, theirs = by(method, units, **soft), by(heavier, units, **soft)
    assert ours.governing == theirs.governing == "X1.3"
    assert others_named(ours)[heavier] == both_units(theirs.nominal_thickness, units)
    (other,) = (each for each in ours.other_loads if each.rule == heavier)
    assert other.nominal_thickness == pytest.approx(theirs.nominal_thickness, rel=1e-12)
    assert other.required_thickness == pytest.approx(theirs.required_thickness, rel=1e-12)
    assert method not in others_named(theirs)


def test_a_rule_that_does_not_change_the_nominal_thickness_is_listed_and_no_caution():
    """A pipe as thick as the owner's minimum is not warned of a load that changes nothing."""
    criteria = {"minimum_thickness": "60 mm"}
    result = sized(pipe=SHALLOW | {"live_load": "H-20 table"}, criteria=criteria)
    assert result.minimum_governs
    assert {each.rule for each in result.other_loads} == {"HL-93", "1.75 H rule"}
    assert others_named(result) == {}


def test_methods_that_agree_are_not_named():
    """1.75 H and the H-20 table are within 18 % from 3 to 8 ft."""
    assert not any("H-20 table" in n.text for n in by("1.75 H rule", cover="5 ft").notes)


def test_a_heavier_load_is_not_named_where_another_check_governs():
    """Under 40 ft of water X1.1 governs with either load."""
    deep = {"groundwater_above_invert": "40 ft", "soil_reaction_modulus": "3000 psi"}
    ours, theirs = by("H-20 table", **deep), by("HL-93", **deep)
    assert ours.governing == theirs.governing == "X1.1"
    assert theirs.value("W_s") > 1.2 * ours.value("W_s")
    assert others_named(ours) == {}


def test_a_method_is_not_named_where_it_does_not_hold():
    """HL-93 is outside the method under 2 ft of cover; the table starts at 1 ft."""
    soft = {"soil_reaction_modulus": "300 psi"}
    assert "HL-93" not in others_named(by("H-20 table", cover="1.9 ft", **soft))
    assert "HL-93" in others_named(by("H-20 table", cover="2 ft", **soft))


def of_stations(method, covers, **more):
    """The design of one pipe with a station at each cover, in soft soil."""
    stations = [{"at": at, "cover": cover} for at, cover in zip("ABC", covers, strict=False)]
    pipe = {"live_load": method, "soil_reaction_modulus": "300 psi", "station": stations}
    return sized(pipe=pipe | more, drop=["cover"])


@pytest.mark.parametrize("covers", [("4 ft", "1.5 ft"), ("1.5 ft", "4 ft")])
def test_a_station_that_a_rule_does_not_reach_keeps_its_load(covers):
    """HL-93 has no load under 2 ft of cover: there the load of the project stays."""
    result = of_stations("H-20 table", covers)
    (other,) = (each for each in result.other_loads if each.rule == "HL-93")
    loads = dict(zip(covers, other.loads, strict=True))
    assert loads["4 ft"] == by("HL-93", cover="4 ft").value("W_s")
    assert loads["1.5 ft"] is None
    kept = result.value("W_s", "AB"[covers.index("1.5 ft")])
    by_hand = [{"at": "A", "cover": "4 ft", "live_load": f"{loads['4 ft']!r} psi"}]
    by_hand += [{"at": "B", "cover": "1.5 ft", "live_load": f"{kept!r} psi"}]
    typed = sized(pipe={"soil_reaction_modulus": "300 psi", "station": by_hand}, drop=["cover"])
    assert other.required_thickness == pytest.approx(typed.required_thickness, rel=1e-12)
    assert other.nominal_thickness == pytest.approx(typed.nominal_thickness, rel=1e-12)


@pytest.mark.parametrize("covers", [("3 ft", "8 ft"), ("8 ft", "3 ft"), ("8 ft", "3 ft", "5 ft")])
def test_a_rule_is_compared_by_the_wall_of_the_whole_pipe(covers):
    """The worst station decides, whichever it is; what is said is of no station."""
    ours, theirs = of_stations("H-20 table", covers), of_stations("HL-93", covers)
    (other,) = (each for each in ours.other_loads if each.rule == "HL-93")
    assert other.required_thickness == pytest.approx(theirs.required_thickness, rel=1e-12)
    assert other.nominal_thickness == pytest.approx(theirs.nominal_thickness, rel=1e-12)
    assert other.loads == tuple(theirs.value("W_s", at) for at in theirs.stations)
    notes = [n for n in ours.notes if n.code == "f1216.other_load" and "HL-93" in n.text]
    assert [note.station for note in notes] == [None]
    assert both_units(ours.nominal_thickness, "US") in notes[0].text
    assert both_units(theirs.nominal_thickness, "US") in notes[0].text


def test_a_rule_that_reaches_one_pipe_is_not_listed_of_another():
    """Two pipes of one basis, 4 ft and 1.5 ft deep: HL-93 begins at 2 ft."""
    pipe = {"live_load": "H-20 table", "soil_reaction_modulus": "300 psi"}
    texts = [toml(pipe=pipe | {"name": each, "cover": each}) for each in ("4 ft", "1.5 ft")]
    text = texts[0] + "[[pipe]]" + texts[1].partition("[[pipe]]")[2]
    deep, shallow = size(parse(text.encode(), "test.toml")).pipes
    assert [each.rule for each in deep.other_loads] == ["HL-93", "1.75 H rule"]
    assert "HL-93" not in [each.rule for each in shallow.other_loads]
    for result in (deep, shallow):
        alone = sized(pipe=pipe | {"cover": result.name})
        for each, by_itself in zip(result.other_loads, alone.other_loads, strict=True):
            walls = (each.required_thickness, each.nominal_thickness)
            expected = (by_itself.required_thickness, by_itself.nominal_thickness)
            assert walls == pytest.approx(expected, rel=1e-12)


def test_other_rules_for_numbers_without_axes():
    """One pipe given as plain numbers has the loads that it has as arrays."""
    result = by("H-20 table")
    found = list(alternatives(result.basis, result.values[0]))
    assert [each.rule for each in found] == ["HL-93", "1.75 H rule"]
    for each, other in zip(found, result.other_loads, strict=True):
        assert float(each.load) == pytest.approx(other.loads[0], rel=1e-12)
        assert each.required.tolist() == [pytest.approx(other.required_thickness, rel=1e-12)]
        assert each.reaches.tolist() == [True]


def test_a_wall_to_check_is_compared_with_what_the_other_rule_requires():
    """No wall is chosen there: 1.1 in is enough by the table of H-20 and too thin by HL-93."""
    result = by("H-20 table", soil_reaction_modulus="300 psi", design_thickness="1.1 in")
    theirs = by("HL-93", soil_reaction_modulus="300 psi")
    assert result.required_thickness < result.nominal_thickness == 1.1 < theirs.required_thickness
    assert others_named(result)["HL-93"] == both_units(theirs.required_thickness, "US")


@pytest.mark.parametrize(
    ("method", "rules"),
    [
        ("HL-93", ["H-20 table", "1.75 H rule"]),
        ("H-20 table", ["HL-93", "1.75 H rule"]),
        ("1.75 H rule", ["HL-93", "H-20 table"]),
        ("E-80 table", ["E-80 Boussinesq"]),
        ("E-80 Boussinesq", ["E-80 table"]),
        ("H-25 table", []),
        ("airport table", []),
        ("concentrated load", []),
        ("distributed load", []),
    ],
)
@pytest.mark.parametrize("units", ["US", "SI"])
def test_the_other_rules_for_the_same_vehicle(method, rules, units):
    """Trucks with trucks, trains with trains: each by its own sheet."""
    result = by(load(method), units)
    assert [each.rule for each in result.other_loads] == rules
    for each in result.other_loads:
        assert each.loads == (pytest.approx(by(each.rule, units).value("W_s"), rel=1e-12),)


@pytest.mark.parametrize(("old", "name"), [("M11", "in psf"), ("Uni-Bell", "in psi")])
def test_a_table_may_still_be_named_after_its_handbook(old, name):
    """H-20 at 7 ft is 175 psf in one, from memory, and 1.22 psi in the other."""
    printed = {"in psf": 175 / 144, "in psi": 1.22}[name]
    for table in (name, old):
        read = by(load("H-20 table", table=table), cover="7 ft").value("W_s")
        assert read == pytest.approx(printed, rel=1e-9)


def test_no_message_names_a_handbook_and_the_sheet_cites_it():
    refused = faults(live_load=load("H-20 table", table="in pascals"))
    assert "in psi" in refused
    assert "in psf" in refused
    beyond = faults(live_load="H-20 table", cover="0.9 ft")
    assert "cover outside the H-20 table in psi, 1 to 8 ft" in beyond
    (step,) = (s for s in by("H-20 table").steps if s.line and s.line.equation.kind == "look-up")
    assert "Handbook of PVC Pipe" in step.source


@pytest.mark.parametrize(
    ("method", "cover"),
    [("H-20 table", "0.5 ft"), ("E-80 table", "1.9 ft"), ("airport table", "24.5 ft")],
)
def test_cover_where_no_rule_reaches_is_refused_with_pipe_and_cover(method, cover):
    """First rows at 1 and 2 ft; the airport column ends at 24 ft and has no rule beyond it."""
    text = faults(live_load=method, cover=cover)
    assert '[[pipe]] "Trunk"' in text
    assert "live_load" in text


@pytest.mark.parametrize(
    ("method", "table", "last", "at_last"),
    [
        # From memory: AWWA M11 (psf) and the handbook of PVC pipe (psi); loads under 100 psf
        # (0.69 psi) are neglected.
        ("H-20 table", "in psi", "8 ft", 0.69),
        ("H-20 table", "in psf", "8 ft", 100 / 144),
        ("H-25 table", None, "10 ft", 110 / 144),
        ("E-80 table", "in psi", "30 ft", 0.69),
        ("E-80 table", "in psf", "30 ft", 100 / 144),
    ],
)
def test_beyond_the_last_row_the_load_is_neglected_by_a_line_of_its_own(
    method, table, last, at_last
):
    deep = f"{float(last.split()[0]) + 0.5} ft"
    named = load(method, **({"table": table} if table else {}))
    assert by(named, cover=last).value("W_s") == pytest.approx(at_last, rel=1e-9)
    result = by(named, cover=deep)
    assert result.value("W_s") == 0
    sources = [s.line.equation.clause for s in result.steps if s.line and "reach" in s.equation]
    assert sources == ["loads under 100 psf neglected"]


def test_the_ends_of_the_table_still_hold_in_the_other_unit():
    for cover in ("8 ft", "2.4384 m", "1 ft", "0.3048 m"):
        assert by("H-20 table", cover=cover).value("W_s") > 0


def test_a_table_with_impact_is_never_multiplied_by_impact_again():
    text = faults(live_load=load("E-80 table", impact_factor=1.4))
    assert '"E-80 table" includes impact; remove impact_factor' in text


@pytest.mark.parametrize(
    ("value", "place"),
    [
        ("HS-20", "live_load"),
        ({"method": "HL-93", "distribution_facter": 1.0}, "live_load.distribution_facter"),
        ({"method": "concentrated load"}, "live_load"),
        ({"method": "distributed load", "load_pressure": 3}, "live_load.load_pressure"),
        ({"methd": "HL-93"}, "live_load.methd"),
        ({"number": 1, "unit": "psi", "text": "x"}, "live_load.number"),
        (3, "live_load"),
    ],
)
def test_bad_live_loads_are_refused_with_their_place(value, place):
    text = faults(live_load=value)
    assert place.rpartition(".")[2] in text
    assert '[[pipe]] "Trunk"' in text


def test_the_spread_of_wheels_is_the_users_choice():
    one, other = by("HL-93"), by({"method": "HL-93", "distribution_factor": 1.0})
    assert other.value("LLDF") == 1.0
    assert other.value("W_s") > one.value("W_s")


def test_a_partially_deteriorated_pipe_takes_no_live_load():
    result = by("HL-93", condition="partially deteriorated", cover="60 ft")
    assert result.value("W_s") is None
    assert not any("live load" in note.text for note in result.notes)


def test_stations_must_use_one_method():
    stations = [{"at": "0 ft", "live_load": "HL-93"}, {"at": "9 ft", "live_load": "1 psi"}]
    assert "stations differ in datums, kinds of load or methods" in faults(station=stations)


def test_stations_select_their_own_rows():
    stations = [{"at": "0 ft", "cover": "3 ft"}, {"at": "90 ft", "cover": "7 ft"}]
    result = by("E-80 table", station=stations)
    assert result.value("W_s", "0 ft") == pytest.approx(23.61)
    assert result.value("W_s", "90 ft") == pytest.approx(12.15)


# Soil


@pytest.mark.parametrize(
    ("words", "modulus"),
    [
        # Howard 1977 by compaction, from memory
        ("silty sand, moderate compaction", 1000),
        ("SM, high", 2000),
        ("crushed stone, dumped", 1000),
        ("CL, slight compaction", 200),
        # Duncan & Hartley 1982 by depth, from memory; the cover is 16 ft
        ("silty sand, 90 % compaction", 1600),
        ("clean gravel, 85 %", 1100),
        ("fine-grained, under 25 % sand, 95 %", 1800),
    ],
)
def test_soil_in_words(words, modulus):
    result = sized(pipe={"soil_reaction_modulus": words})
    assert result.value("E_s") == pytest.approx(modulus)
    (step,) = (step for step in result.steps if step.key == "E_s")
    assert "from memory" in step.source
    assert "row" in step.source or "relative compaction" in step.source


def test_soil_by_depth_follows_the_cover():
    moduli = [
        sized(pipe={"soil_reaction_modulus": "SM, 90 %", "cover": f"{H} ft"}).value("E_s")
        for H in (5, 6, 11, 16)
    ]
    assert moduli == [1000, 1400, 1500, 1600]


def test_soil_deeper_than_its_table_is_refused():
    text = faults(soil_reaction_modulus="SM, 90 %", cover="21 ft")
    assert text.startswith("soil_reaction_modulus: ")
    assert "table of E' by depth" in text


TRENCH = {
    "trench": "1000 psi",
    "native": "soft cohesive",
    "trench_width": "96 in",
    "combining_table": "1996",
}


@pytest.mark.parametrize(
    ("changes", "modulus"),
    [
        # E'n 700, Bd/D 2.0: rows 0.6 and 0.8 of the 1996 table print 0.80 and 0.90
        ({}, 1000 * 0.85),
        # 2005: columns 2.0, rows 0.6 and 0.8 print 0.81 and 0.93
        ({"combining_table": "2005"}, 1000 * 0.87),
        # 12 blows/ft: 3,000 psi; row 3.0 of the 1996 table, column 2.0: 1.45
        ({"native": "12 blows"}, 1450),
        # 8 blows/ft lies on the border of 4 to 8 and 8 to 15: the softer soil, 1,500 psi, 1.15
        ({"native": "8 blows"}, 1150),
        # 10 to one, as far as the table goes: row "5 and over", column 2.0: 1.6
        ({"native": "dense granular"}, 1600),
        # the fill by depth at 16 ft, 1,600 psi; 800/1600 lies midway of 0.4 and 0.6: 0.60 and 0.80
        ({"trench": "SM, 90 %", "native": "800 psi"}, 1600 * 0.70),
    ],
)
@pytest.mark.parametrize("units", ["US", "SI"])
def test_native_soil_and_trench_fill_combined(changes, modulus, units):
    result = sized(units, pipe={"soil_reaction_modulus": TRENCH | changes})
    per_psi = 1 if units == "US" else 0.00689476
    assert result.value("E_s") / per_psi == pytest.approx(modulus, rel=2e-6)


def test_outside_width_counts_where_the_host_wall_is_given():
    """48 in and two walls of 6 in are 60 in: 96/60 = 1.6 of the table's columns 1.5 and 2.0."""
    result = sized(pipe={"soil_reaction_modulus": TRENCH, "host_wall": "6 in"})
    assert result.value("r_B") == pytest.approx(1.6)


@pytest.mark.parametrize(
    ("value", "place"),
    [
        ("silty sand", "soil_reaction_modulus"),
        ("moon dust, moderate", "soil_reaction_modulus"),
        ("silty sand, 92 %", "soil_reaction_modulus"),
        ("silty sand, some compaction", "soil_reaction_modulus"),
        ("fat clay, high compaction", "soil_reaction_modulus"),
        (TRENCH | {"native": "very nice"}, "soil_reaction_modulus.native"),
        (TRENCH | {"native": "0 blows"}, "soil_reaction_modulus.native"),
        (TRENCH | {"trench": "1000"}, "soil_reaction_modulus.trench"),
        (TRENCH | {"combining_table": "1997"}, "soil_reaction_modulus.combining_table"),
        ({"trench": "1000 psi"}, "soil_reaction_modulus.native"),
        (TRENCH | {"widht": "2 ft"}, "soil_reaction_modulus.widht"),
        (1000, "soil_reaction_modulus"),
    ],
)
def test_bad_soils_are_refused_with_their_place(value, place):
    text = faults(soil_reaction_modulus=value)
    assert place.rpartition(".")[2] in text
    assert '[[pipe]] "Trunk"' in text


@pytest.mark.parametrize(
    "changes", [{"native": "50 psi"}, {"trench_width": "50 in"}, {"trench": "8000 psi"}]
)
def test_soil_outside_the_combining_table_is_refused(changes):
    assert "outside the combining table" in faults(soil_reaction_modulus=TRENCH | changes)


def test_every_symbol_of_a_method_has_a_row_in_the_symbol_table():
    for method in METHODS:
        for step in by(load(method)).steps:
            assert step.key in SYMBOLS
