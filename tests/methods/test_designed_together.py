"""Pipes that are designed together, and stations of one pipe, come out as each alone.

What one pipe of one place comes to is held to print and bisection in f1216/test_sizing.py.
"""

from dataclasses import asdict, replace

import pytest
from projects import FELT, LATERAL, PIPE, sized, toml

from linerdesign.interface import read, size
from linerdesign.methods.result import NotDesigned
from linerdesign.methods.sizing import design, design_all
from linerdesign.project.assembly import tasks
from linerdesign.project.reading import parse

WALL = {"design_thickness": "27 mm"}
# Cover and head in ft of places that differ in governing check, verdict, cautions and load rules.
PLACES = ((16.0, 12.0), (6.0, 2.0), (25.0, 31.0), (10.0, 0.0), (3.0, 40.0))


def place(cover, head, at=None):
    stated = {"cover": f"{cover} ft", "groundwater_above_invert": f"{head} ft"}
    return stated | ({"at": at} if at else {})


def project(*pipes, **common):
    """A project of pipes, each a list of places: one alone, or several as stations."""
    base = {k: v for k, v in PIPE.items() if k not in ("cover", "groundwater_above_invert")}
    base |= {"live_load": "HL-93"} | common
    texts = []
    for number, places in enumerate(pipes, 1):
        pipe = base | {"name": f"P{number}"}
        if len(places) == 1:
            pipe |= place(*places[0])
        else:
            pipe["station"] = [place(*each, f"MH {i}") for i, each in enumerate(places)]
        drop = PIPE.keys() - pipe.keys()
        text = toml(pipe=pipe, drop=drop)
        texts.append(text if number == 1 else "[[pipe]]" + text.partition("[[pipe]]")[2])
    return tasks(parse("\n".join(texts).encode(), "test.toml"))


def plainly(value):
    """A result in plain values, numbers to ten figures: arrays may round the last digit apart."""
    if isinstance(value, float):
        return float(f"{value:.10g}")
    if isinstance(value, dict):
        return {key: plainly(each) for key, each in value.items()}
    return [plainly(each) for each in value] if isinstance(value, list | tuple) else value


def told(result):
    fields = ("status", "governing", "governing_station", "required_thickness")
    fields += ("nominal_thickness", "own_safety_factor", "bore", "minimum_governs", "values")
    lists = ("places", "checks", "notes", "other_loads")
    found = {field: getattr(result, field) for field in fields}
    return plainly(found | {each: [asdict(one) for one in getattr(result, each)] for each in lists})


@pytest.mark.parametrize("common", [{}, WALL])
def test_pipes_together_as_each_alone(common):
    """Those of one place and of three run apart; the order of the file stays."""
    pipes = [[each] for each in PLACES]
    pipes[1:1] = [list(PLACES[:3]), list(PLACES[2:])]
    together = project(*pipes, **common)
    assert len(together) == len(PLACES) + 2
    results = design_all(together)
    assert [each.name for each in results] == [each.name for each in together]
    for task, result in zip(together, results, strict=True):
        assert result.task is task
        assert told(result) == told(design(task))


def test_a_pipe_designed_twice_is_one_result():
    """What is worked out later, or watched for other forms, makes no difference."""
    limited = {"limits": {"minimum_soil_unit_weight": "125 pcf"}}
    assert sized(criteria=limited) == sized(criteria=limited)
    tube = {"tube_diameter": "4 in", "tube_thickness": "3 mm"}
    bend = {"at": "20 ft", "length": "5 ft", "bend": "45 deg", "bend_radius": "1 ft"}
    line = LATERAL | tube | {"leg": [{"at": "0 ft", "length": "20 ft"}, bend]}
    project = {"project": {"title": "Harrowmere"}, "resin": [FELT], "pipe": [line]}
    (one,), (other,) = (size(read(project)).pipes for _ in range(2))
    assert one == other
    assert one.legs == other.legs
    assert one.legs != replace(one.legs, ovality="q_max")
    # Written out they end with what is known at once.
    assert repr(one.legs).endswith("ovality='q_pipe')")


def test_a_station_as_the_pipe_of_that_place_alone():
    """The wall is given, so that no other place decides on it."""
    (result,) = design_all(project(list(PLACES), **WALL))
    alone = design_all(project(*([each] for each in PLACES), **WALL))
    assert result.stations == tuple(f"MH {i}" for i in range(len(PLACES)))
    for j, (here, single) in enumerate(zip(result.places, alone, strict=True)):
        (own,) = single.places
        assert here.at == f"MH {j}"
        assert here.governing == own.governing
        assert (here.status, here.bore) == (own.status, own.bore)
        assert here.required_thickness == pytest.approx(own.required_thickness, rel=1e-12)
        assert here.least_factor == pytest.approx(own.least_factor, rel=1e-12)
        checks = [each for each in result.checks if each.station == here.at]
        assert [plainly(asdict(each) | {"station": None}) for each in checks] == [
            plainly(asdict(each)) for each in single.checks
        ]
        said = {note.code for note in result.notes if note.station in (here.at, None)}
        assert said >= {note.code for note in single.notes if note.code != "f1216.other_load"}
        assert plainly(dict(result.values[j])) == plainly(dict(single.values[0]))
    thickest = max(alone, key=lambda each: each.required_thickness)
    assert result.governing_station == f"MH {alone.index(thickest)}"
    assert result.governing == thickest.governing
    assert result.required_thickness == pytest.approx(thickest.required_thickness, rel=1e-12)
    factors = [each.own_safety_factor for each in alone]
    assert result.own_safety_factor == pytest.approx(min(factors), rel=1e-12)
    for rule in {each.rule for single in alone for each in single.other_loads}:
        (other,) = (each for each in result.other_loads if each.rule == rule)
        own = [next((e for e in s.other_loads if e.rule == rule), None) for s in alone]
        assert plainly(list(other.loads)) == plainly([e and e.loads[0] for e in own])


def test_a_pipe_that_can_not_be_designed_stands_in_its_place():
    """The airport table ends at 24 ft."""
    together = project([PLACES[0]], [(30.0, 2.0)], [PLACES[1]], live_load="airport table")
    first, second, third = design_all(together)
    assert isinstance(second, NotDesigned)
    assert second.task is together[1]
    ((said, quantity, read_by),) = second.reasons
    assert (said.code, quantity, read_by) == ("ground.below_load_table", "W_s", (("H", 30.0),))
    assert (first.name, third.name) == ("P1", "P3")
    with pytest.raises(ArithmeticError, match="24"):
        design(together[1])


@pytest.mark.parametrize("count", [2, 3])
def test_a_finding_names_its_station_where_stations_can_differ_in_it(count):
    """Cover over 100 ft at the last station; soil over 150 pcf and a retention of 60 % at all."""
    stations = [{"at": f"MH {i}", "cover": "16 ft"} for i in range(count - 1)]
    stations.append({"at": "MH 9", "cover": "101 ft"})
    pipe = {"station": stations, "soil_unit_weight": "155 pcf"}
    result = sized(pipe=pipe, resin={"modulus_retention": "60 %"}, drop=("cover",))
    found = {}
    for note in result.notes:
        found.setdefault(note.code, []).append(note.station)
    assert found["f1216.deep_cover_us"] == ["MH 9"]
    assert found["f1216.high_modulus_retention"] == [None]
    # The load differs by station, and with it the soil in it.
    assert found["f1216.unusual_soil_weight_us"] == [each["at"] for each in stations]
    alone = sized(pipe={"cover": "101 ft"})
    assert [n.station for n in alone.notes if n.code == "f1216.deep_cover_us"] == [None]
