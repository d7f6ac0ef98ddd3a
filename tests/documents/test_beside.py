"""What stands beside a design, and a design as JSON: every cell and key against the numbers."""

import json
import math
from dataclasses import replace
from functools import cache

import pytest
from projects import FELT, LATERAL, LEGS, PIPE, toml

from linerdesign import __version__
from linerdesign.documents import json as as_json
from linerdesign.documents import legs, second, thin_wall
from linerdesign.documents.blocks import Addition, Bullets, Heading, LegsTable, Paragraph
from linerdesign.documents.numbers import both_units, value_with_unit
from linerdesign.documents.schedule import schedule
from linerdesign.documents.sheet import checks_grid, formula, substituted
from linerdesign.documents.working import Working, working_data
from linerdesign.interface import size
from linerdesign.methods.result import OtherMethod
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.project.identity import FileRead, Identity
from linerdesign.project.reading import parse
from linerdesign.project.thin_wall import thin_legs
from linerdesign.project.thin_wall import thin_wall as thin_wall_of
from linerdesign.words import sentence

SECOND = '[criteria.second_method]\nmethod = "encased ring"\n'


@cache
def lateral(wall="3 mm", units="US", beside=False):
    """A lateral of two legs, the second wider and bent, of a tube of this wall."""
    resin = FELT | {"maximum_stretch": "20 %"}
    pipe = LATERAL | {"tube_thickness": wall, "length": "40 ft"}
    text = toml(pipe, resin, drop=PIPE).replace("[[resin]]", SECOND * beside + "[[resin]]") + LEGS
    (result,) = size(parse(text.encode(), "p.toml"), units).pipes
    return result


def mm(value, units):
    return value * (25.4 if units == "US" else 1.0)


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("wall", ["1.5 mm", "3 mm"])
def test_legs_are_a_table_with_what_is_to_say_of_each(wall, units):
    result = lateral(wall, units)
    found = result.legs
    blocks = legs.addition(result).blocks
    title, table, remarks, first, second_, checks, *thin = blocks
    assert title == Heading(sentence("field.legs_title"), 2)
    assert isinstance(table, LegsTable)
    assert table.columns == (
        *("leg", "D", "tube D", "tube mm", "stretch %", "delivered mm", "least mm"),
        *("required mm", "min. N", "verdict"),
    )
    assert table.align == "<>>>>>>>><"
    assert table.keys == (
        *("leg", "diameter", "tube_diameter", "tube", "stretch", "delivered", "least"),
        *("required", "safety", "verdict"),
    )
    assert table.first == 1
    unit = "in" if units == "US" else "mm"
    for row, leg in zip(table.rows, found.legs, strict=True):
        assert row[0] == leg.at
        for text, value in zip(row[1:3], (leg.diameter, found.tube.diameter), strict=True):
            number, own = text.split()
            assert (float(number), own) == (pytest.approx(value, rel=1e-4), unit)
        numbers = (
            found.tube.thickness, None, leg.delivered, leg.least, max(leg.required, leg.minimum),
        )  # fmt: skip
        for text, value in zip(row[3:8], numbers, strict=True):
            if value is not None:
                assert float(text) == pytest.approx(mm(value, units), abs=0.0051)
        # By hand: the tube is made for 4 in.
        stretch = 15.0 if leg.at == "20 ft" else 0.0
        assert float(row[4]) == pytest.approx(stretch, abs=0.051)
        assert 0 <= leg.safety_factor - float(row[8]) < 0.01
        assert row[9] == ("passes" if leg.passes else "FAILS")
    short = [n for n, leg in enumerate(found.legs) if not leg.passes]
    assert table.strong == {(n, 9) for n in short}
    assert bool(short) == (wall == "1.5 mm")
    # Behind the verdict, which the table has, the other findings; last the tube proposed.
    said = [f"{leg.at}: {each.said}" for leg in found.legs for each in leg.findings[1:]]
    assert remarks.items[:-1] == tuple(said)
    assert remarks.items[-1] == legs.proposal(found, units)
    diameter, thickness = found.proposed.diameter, both_units(found.proposed.thickness, units)
    assert remarks.items[-1].endswith(f"wall {thickness}.")
    assert f"for {diameter:.5g} {unit}, " in remarks.items[-1]
    for working, leg in zip((first, second_), found.legs, strict=True):
        assert isinstance(working, Working)
        assert (working.at, working.topic) == (leg.at, "Wall delivered")
        assert working.caption == f"Wall delivered, {leg.at}"
        assert working.system == units
        assert list(working.steps) == list(found.steps(leg))
    # The checks have required thicknesses in mm in the place of those in both units.
    assert checks.caption == "Checks of the wall delivered"
    assert checks.narrow
    plain = checks_grid(found.built)
    place = plain.columns.index("required t")
    assert checks.columns[place] == "required mm"
    for row, other, check in zip(checks.rows, plain.rows, found.built.checks, strict=True):
        assert row[:place] + row[place + 1 :] == other[:place] + other[place + 1 :]
        assert float(row[place]) == pytest.approx(mm(check.required_thickness, units), rel=1e-3)
    assert checks.columns[:place] == plain.columns[:place]
    assert checks.columns[place + 1 :] == plain.columns[place + 1 :]
    assert bool(thin) == bool(short)
    if thin:
        assert thin[0] == Heading("Capacity of this wall", 2)


@pytest.mark.parametrize("units", ["US", "SI"])
def test_legs_as_data(units):
    result = lateral("3 mm", units)
    found = result.legs
    unit = "in" if units == "US" else "mm"

    def quantity(value):
        return None if value is None else {"value": value, "unit": unit}

    data = legs.addition(result).data
    assert data == legs.data(found, units)
    for each, leg in zip(data, found.legs, strict=True):
        assert each == {
            "at": leg.at,
            "delivered_thickness": quantity(leg.values["t_leg"]),
            "least_thickness": quantity(leg.values.get("t_bend_out", leg.values["t_leg"])),
            "required_thickness": quantity(leg.required),
            "minimum_thickness": quantity(leg.minimum),
            "passes": leg.passes,
            "texts": [finding.said for finding in leg.findings],
            "governing": leg.governing,
            "safety_factor": leg.safety_factor,
            "stretch_percent": leg.values.get("x_stretch"),
            "inner_thickness": quantity(leg.values.get("t_bend_in")),
            "wrinkle_height": quantity(leg.values.get("h_wrinkle")),
            "fold_height": quantity(leg.values.get("h_fin")),
            "steps": working_data(found.steps(leg)),
            "proposed_tube": {
                "diameter": quantity(found.proposed.diameter),
                "thickness": quantity(found.proposed.thickness),
            },
        }
    assert legs.addition(result).kind == "legs"


def test_where_no_tube_serves_it_is_said(monkeypatch):
    found = lateral().legs
    monkeypatch.setattr(type(found), "proposed", None)
    assert legs.proposal(found, "US") == sentence("field.no_tube")
    assert [each["proposed_tube"] for each in legs.data(found, "US")] == [None, None]


@pytest.mark.parametrize("units", ["US", "SI"])
def test_legs_by_the_second_method_are_a_table_of_their_own(units):
    result = lateral("3 mm", units, True)
    *_, heading, table = legs.addition(result).blocks
    assert heading == Heading("Legs of the line by the encased ring", 2)
    assert table.columns == ("leg", "least mm", "required mm", "least/required")
    assert table.align == "<>>>"
    assert table.caption.startswith("Required thickness by the second method, each leg")
    assert [row[0] for row in table.rows] == ["0 ft", "20 ft"]
    for row, leg in zip(table.rows, result.legs.legs, strict=True):
        least, required, ratio = map(float, row[1:])
        assert least == pytest.approx(mm(leg.least, units), abs=0.0051)
        assert ratio == pytest.approx(least / required, abs=0.02)


def test_a_line_of_one_leg_is_named_by_it_in_the_table_of_the_second_method():
    one = replace(lateral("3 mm", "US", True).second, left_out="")
    result = lateral("3 mm", "US", True)
    (place, *_) = one.result.places
    alone = replace(one.result, places=(replace(place, at=None),), values=one.result.values[:1])
    _, table = legs._by_second(result.legs, replace(one, result=alone))
    assert [row[0] for row in table.rows] == ["0 ft"]


def test_both_methods_side_by_side():
    result = lateral("3 mm", "US", True)
    ring = result.second.result
    table, settings, left_out = second.both_methods([result], legs=True)
    assert table.columns[0] == "pipe"
    assert table.columns[1:5] == ("ASTM F1216: req. mm", "nom. mm", "governs", "status")
    assert table.columns[5:] == ("encased ring: req. mm", "nom. mm", "governs", "status")
    assert (table.align, table.narrow) == ("<>><<>><<", True)
    assert table.caption == "Required thickness by two methods"
    (row,) = table.rows
    assert row == (
        "L1",
        f"{25.4 * result.required_thickness:.2f}", f"{25.4 * result.nominal_thickness:.2f}",
        result.governing, result.status,
        f"{25.4 * ring.required_thickness:.2f}", f"{25.4 * ring.nominal_thickness:.2f}",
        ring.governing, ring.status,
    )  # fmt: skip
    assert isinstance(settings, Paragraph)
    assert settings.text.startswith("Settings of the encased ring: ")
    for name, value, origin in result.task.second.settings:
        assert f"{name} {100 * value:g} % ({origin})" in settings.text
    assert settings.text.endswith(
        "The encased ring does not replace the check by the standard, which chooses the wall."
    )
    assert left_out == Bullets((sentence("second.legs_left_out", method="encased ring"),))
    assert len(second.both_methods([result])) == 2
    assert second.both_methods([lateral()]) == ()


def test_the_second_method_line_by_line_is_what_the_sheet_has_not():
    result = lateral("3 mm", "US", True)
    ring = result.second.result
    found = second.line_by_line(result)
    assert found.kind == "second_method"
    assert found.data == second.second_data(result)
    (working,) = (each for each in found.blocks if isinstance(each, Working))
    assert found.blocks[0] == Heading("Second design method", 2)
    assert working.caption == "Lines by the encased ring that differ from the sheet of the pipe"
    assert working.topic == "Encased ring"
    own = {(s.key, s.value) for s in result.steps}
    shown = {(s.key, s.value) for s in working.steps}
    assert shown
    assert not shown & own
    assert {(s.key, s.value) for s in ring.steps} <= shown | own
    data = found.data
    about = result.task.second
    assert data["replaces_the_code_check"] is False
    assert data["settings"] == {
        name: {"value": 100 * share, "unit": "%"} for name, share, _ in about.settings
    }
    assert data["steps"] == working_data(ring.steps)
    assert (data["method"], data["reason"]) == ("encased ring", "")
    assert data["required_thickness"] == {"value": ring.required_thickness, "unit": "in"}
    assert data["nominal_thickness"] == {
        "value": pytest.approx(25.4 * ring.nominal_thickness), "unit": "mm",
    }  # fmt: skip
    assert (data["governing"], data["station"], data["status"]) == (
        ring.governing, ring.governing_station, ring.status,
    )  # fmt: skip
    assert second.second_data(lateral()) is None


def test_a_second_method_without_a_thickness_says_why(monkeypatch):
    """For the pipe and for its legs; what it leaves out stands before."""
    result = lateral("3 mm", "US", True)
    none = OtherMethod("encased ring", None, "no bore", "groundwater alone")
    without = replace(result, second=none)
    reason = "No thickness by the second method (encased ring): no bore."
    considers = "The second method considers groundwater alone."
    assert second.line_by_line(without) == Addition(
        "second_method",
        second.second_data(without),
        (Heading("Second design method", 2), Bullets((considers, reason))),
    )
    assert second.second_data(without) == {
        "method": "encased ring", "left_out": "groundwater alone", "reason": "no bore",
        **dict.fromkeys(
            ("required_thickness", "nominal_thickness", "governing", "station", "status")
        ),
        "replaces_the_code_check": False,
        "settings": second.second_data(result)["settings"],
        "steps": [],
    }  # fmt: skip
    table, _ = second.both_methods([without, result])
    assert table.rows[0][5:] == ("-", "-", "-", "no bore")
    assert table.rows[1][5:] != table.rows[0][5:]
    assert table.columns[5] == "encased ring: req. mm"
    partly = replace(result, second=replace(result.second, left_out="groundwater alone"))
    heading, said, *working = second.line_by_line(partly).blocks
    assert (heading, said) == (Heading("Second design method", 2), Paragraph(considers))
    assert working == list(second.line_by_line(result).blocks[1:])
    # Behind the lines what there is to know of them.
    monkeypatch.setattr(second, "remarks", lambda steps: (f"{len(steps)} lines",))
    *_, lines, last = second.line_by_line(result).blocks
    assert last == Bullets((f"{len(lines.steps)} lines",))
    monkeypatch.setattr("linerdesign.methods.second.by_second", lambda task: none)
    *own, told = legs.addition(result).blocks
    assert told == Bullets((reason,))
    assert own == list(legs.addition(lateral("3 mm", "US")).blocks)
    # Where the second method takes the place of the first, the legs are by it already.
    replaced = replace(result.task.second, replaces=True)
    task = replace(result.task, second=replaced)
    assert list(legs.addition(replace(result, task=task)).blocks) == own
    settings = second.table([("x", second.own_cells(result), none)], replaced)[1]
    assert "replaces that of the" in settings.text


@pytest.mark.parametrize("units", ["US", "SI"])
def test_what_a_thin_wall_carries_is_tabled_never_too_high(units):
    found = thin_legs(lateral("1.5 mm", units).legs)
    table, remarks, *working = thin_wall.blocks(found, True)
    assert table.columns == ("station", "quantity", "design", "allowable", "of the design")
    assert table.align == "<<>>>"
    rows = [(each.station, a) for each in found.tolerated for a in each.allowed.values()]
    for row, (station, allowed) in zip(table.rows, rows, strict=True):
        about = SYMBOLS[allowed.key]
        assert row[:3] == (
            station or "-", about.meaning, value_with_unit(allowed.key, allowed.designed, units),
        )  # fmt: skip
        if allowed.unlimited:
            assert row[3:] == ("no limit found", "-")
        elif allowed.value is None:
            assert row[3:] == ("fails at any value", "-")
        else:
            number = float(row[3].split()[0])
            assert number <= allowed.value
            assert number == pytest.approx(allowed.value, rel=1e-3)
            assert row[4] == f"{100 * allowed.value / allowed.designed:.0f} %"
    assert remarks.items[-1] == sentence("field.owner_decides_wall")
    assert working
    assert list(thin_wall.blocks(found, False)) == [table]
    for each, data in zip(found.tolerated, thin_wall.data(found), strict=True):
        assert data["station"] == each.station
        assert data["unit"] == SYMBOLS["H"].unit(units)
        names = {
            "h_invert": "groundwater_above_invert", "H": "cover", "W_s": "live_load",
            "P_i": "internal_pressure",
        }  # fmt: skip
        for key, name in names.items():
            allowed = each.allowed.get(key)
            assert data[name] == (allowed.value if allowed else None)
        assert data["life_years"] == found.needed.life_years
        assert data["modulus_retention_percent"] == found.needed.retention
        # Worked is what is carried, and less than designed.
        short = {
            names[key]: allowed.value
            for key, allowed in each.allowed.items()
            if allowed.value is not None and allowed.value < allowed.designed
        }
        assert data["working"].keys() == short.keys()
        for name, steps in data["working"].items():
            assert short[name] in [step["value"] for step in steps]
    assert thin_wall.data(found)[0]["working"]


def _capacity(**pipe):
    """The design of a pipe of two stations, and what its thin wall carries."""
    stations = [{"at": "0 ft", "cover": "9 ft"}, {"at": "90 ft", "cover": "16 ft"}]
    given = toml(pipe | {"station": stations}, drop=("cover",))
    (result,) = size(parse(given.encode(), "p.toml")).pipes
    return result, thin_wall.addition(thin_wall_of(result))


def test_the_capacity_of_a_wall_says_where_under_what_and_how_long():
    """By hand: 50 % at 50 years is a straight line in logarithms of time from 1 h, on which the
    retention that suffices stands at t = (50 years) ** (ln(r)/ln(1/2)), in hours."""
    result, made = _capacity(design_thickness="25 mm", live_load="HL-93")
    title, table, remarks, *working = made.blocks
    assert (made.kind, title) == ("allowable", Heading("Capacity of this wall", 2))
    assert table.caption == "Allowable at design N, varied one at a time, all else as designed"
    assert [row[0] for row in table.rows] == ["0 ft"] * 3 + ["90 ft"] * 3
    share = made.data[0]["modulus_retention_percent"] / 100
    hours = (50 * 365.25 * 24) ** (math.log(share) / math.log(0.5))
    years = hours / (365.25 * 24)
    assert made.data[1]["life_years"] == pytest.approx(years, rel=1e-3)
    assert remarks.items == (
        "live load by HL-93: the share is that of the design vehicle at this cover",
        f"remaining life: the wall passes down to a modulus retention of {100 * share:.1f} %; "
        f"with the retention of the design, {years:.2g} years from loading",
        "the owner and the engineer of record decide on the use of this wall",
    )
    ending = "at which the governing equation requires exactly this wall"
    assert [block.caption for block in working] == [
        f"Allowable groundwater above invert at 90 ft, {ending}",
        f"Allowable depth of cover to crown at 90 ft, {ending}",
        "Remaining life at design N, by a straight line in logarithms of time from 1 h",
    ]
    assert all(block.system == result.basis.system for block in working)
    # Four figures, cut: what is printed is still carried.
    for row, allowed in zip(table.rows[:3], ("groundwater_above_invert", "cover", "live_load"),
                            strict=True):  # fmt: skip
        value = made.data[0][allowed]
        digits = 3 - math.floor(math.log10(value))
        assert float(row[3].split()[0]) == math.floor(value * 10**digits) / 10**digits


def test_a_wall_that_nothing_makes_pass_has_no_life():
    _, made = _capacity(design_thickness="12 mm")
    *_, table, remarks = made.blocks
    assert {row[3:] for row in table.rows if row[0] == "90 ft"} == {("fails at any value", "-")}
    assert remarks.items == (
        "remaining life: none at design N; no modulus retention is sufficient",
        "the owner and the engineer of record decide on the use of this wall",
    )


def test_of_a_load_of_nothing_no_share_is_said():
    _, made = _capacity(design_thickness="24 mm", live_load="0 psi")
    load = next(row for row in made.blocks[1].rows if row[:2] == ("0 ft", "live load at the crown"))
    assert load[2] == "0 psi"
    assert float(load[3].removesuffix(" psi")) > 0
    assert load[4] == "-"


PROJECTS = {
    "plain": toml({"live_load": "HL-93"}, criteria={"minimum_thickness": "40 mm"}),
    "stations": toml({"station": [{"at": "a"}, {"at": "b", "cover": "22 ft"}]}),
    "partial": toml({"condition": "partially deteriorated", "ovality": "12 %"}),
}


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("case", PROJECTS)
def test_every_part_of_a_design_as_data(case, units):
    sizing = size(parse(PROJECTS[case].encode(), "p.toml"), units, both_conditions=True)
    (result,) = sizing.pipes
    data = as_json.pipe_data(result)
    unit = "in" if units == "US" else "mm"

    def thickness(value):
        return {"value": value, "unit": unit}

    def in_mm(value):
        return {"value": pytest.approx(mm(value, units)), "unit": "mm"}

    assert data.pop("checks") == [
        {
            "equation": check.equation, "station": check.station,
            "required_thickness": thickness(check.required_thickness),
            "demand": {"value": check.demand, "unit": check.unit},
            "capacity": {"value": check.capacity, "unit": check.unit},
            "safety_factor": check.safety_factor, "passes": check.passes,
        }
        for check in result.checks
    ]  # fmt: skip
    assert data.pop("steps") == [
        {
            "number": step.number, "symbol": step.symbol, "meaning": step.meaning,
            "equation": step.equation, "formula": formula(step),
            "substituted": substituted(step), "value": step.value, "unit": step.unit,
            "source": step.source, "provenance": step.provenance, "station": step.station,
            "flags": list(step.flags),
        }
        for step in result.steps
        if step.applies
    ]  # fmt: skip
    assert data.pop("notes") == [
        {"severity": note.severity.value, "text": note.text} for note in result.notes
    ]
    assert data.pop("in_words", []) == [
        {
            "key": name_of(said.key), "symbol": said.symbol, "meaning": said.meaning,
            "words": said.words, "source": said.source, "station": said.station,
        }
        for said in result.in_words
    ]  # fmt: skip
    for found, other in zip(data.pop("other_loads", []), result.other_loads, strict=True):
        assert found == {
            "rule": other.rule,
            "live_load": [
                {"value": load, "unit": SYMBOLS["W_s"].unit(units)} for load in other.loads
            ],
            "required_thickness": thickness(other.required_thickness),
            "nominal_thickness": in_mm(other.nominal_thickness),
            "change": in_mm(other.nominal_thickness - result.nominal_thickness),
        }
    other = data.pop("other_condition", None)
    assert other == (as_json.pipe_data(result.other_condition) if result.other_condition else None)
    assert data.pop("other_condition_missing", []) == list(result.other_missing)
    assert data.pop("minimum_thickness_decides", False) == result.minimum_governs
    assert data == {
        "name": "Trunk", "resin": "Felt A", "condition": result.basis.condition,
        "edition": "F1216-07b", "status": result.status,
        "governing": {"equation": result.governing, "station": result.governing_station},
        "required_thickness": thickness(result.required_thickness),
        "nominal_thickness": in_mm(result.nominal_thickness),
    }  # fmt: skip
    whole = as_json.sizing_data([result], units)
    assert whole == {"format": 1, "units": units, "pipes": [as_json.pipe_data(result)]}


def test_json_text_shows_every_letter_and_no_character_that_a_terminal_obeys():
    text = as_json.text({"a": "Mühle 管 \x1b[31m \u202e é\n", "b": [1.5, None]})
    assert json.loads(text) == {"a": "Mühle 管 \x1b[31m \u202e é\n", "b": [1.5, None]}
    assert text.startswith('{\n  "a": "Mühle 管 \\u001b[31m \\u202e é\\n",\n  "b": [\n')
    assert text.endswith("}\n")
    for broken in (math.nan, math.inf):
        with pytest.raises(ValueError, match="not JSON compliant"):
            as_json.text({"a": broken})


def test_what_a_result_rests_on_as_data():
    """The texts of the project that are given; units and criteria are none, but choices."""
    given = {"units": "SI", "number": "HW-7", "location": "Mill Lane"}
    info = parse(toml(project=given).encode(), "p.toml").info
    identity = Identity((FileRead("project", "p.toml", "ab" * 32),), "9f3a-0001")
    assert as_json.identity_data(info, identity) == {
        "project": {"title": "Harrowmere trunk", "number": "HW-7", "location": "Mill Lane"},
        "program": {"name": "linerdesign", "version": __version__},
        "files": [{"role": "project", "name": "p.toml", "sha256": "ab" * 32}],
        "fingerprint": "9f3a-0001",
    }


def test_amounts_have_their_unit_and_what_is_not_there_is_none():
    assert as_json.amount(None, "mm") is None
    assert as_json.quantity(None, "mm") == {"value": None, "unit": "mm"}
    assert as_json.amount_of("H", 3.0, "SI") == {"value": 3.0, "unit": "m"}
    assert as_json.millimetres(1.0, "US") == {"value": 25.4, "unit": "mm"}
    assert as_json.percentage(0.25) == {"value": 25.0, "unit": "%"}
    assert as_json.plain((1, (2, "x"))) == [1, [2, "x"]]


def test_lengths_of_legs_and_tubes_have_five_figures_and_walls_four():
    """100 mm are 3.93701 in, 97.5 mm 3.83858 in; 3.14159 mm has three decimals as a wall."""
    resin = FELT | {"maximum_stretch": "20 %"}
    pipe = LATERAL | {
        "tube_thickness": "3.14159 mm", "host_diameter": "100 mm", "tube_diameter": "97.5 mm",
        "length": "40 ft",
    }  # fmt: skip
    legs_ = LEGS.replace("4.6 in", "115 mm")
    (result,) = size(parse((toml(pipe, resin, drop=PIPE) + legs_).encode(), "p.toml")).pipes
    table = legs.table(result.legs, "US")
    assert table.first == 1
    assert table.rows[0][1:5] == ("3.937 in", "3.8386 in", "3.142", "2.6")
    printed = schedule([result], {})
    assert dict(zip(printed.keys, printed.rows[0], strict=True))["tube"] == "3.1416"
    assert dict(zip(printed.keys, printed.align, strict=True))["tube"] == ">"
    assert printed.notes == (sentence("field.tubes"),)
    assert printed.boxed == {(0, printed.keys.index("tube"))}
    diameter = f"{result.legs.proposed.diameter:.5g}"
    assert f"for {diameter} in, " in legs.proposal(result.legs, "US")
