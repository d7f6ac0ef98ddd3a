"""What each station of a pipe has and who gave it; faults gathered and placed."""

import pytest
from projects import PIPE, toml

from linerdesign.methods.origin import Giver
from linerdesign.project import layers, reading
from linerdesign.project.faults import (
    Faults,
    InputFaults,
    Place,
    every_fault,
    fault,
    located,
    nearest,
    unknown_word,
)
from linerdesign.project.layers import (
    merged,
    resolved,
    stations_of,
    submitted,
    tables_in,
    usable_defaults,
    with_defaults,
)
from linerdesign.project.reading import of_tables, parse, read_bytes, same_names


def found(**tables):
    """The first pipe of a project, station by station."""
    project = parse(toml(**tables).encode(), "a.toml")
    return resolved(project.pipes[0], project.resins[0], project.criteria)


def test_a_later_layer_that_gives_one_datum_replaces_all_of_its_group():
    pipe = {"name": "A", "cover": 1, "ovality": 2, "invert_elevation": 3, "groundwater": 4,
            "host_diameter": 5, "live_load": 6}  # fmt: skip
    assert merged(pipe, {}) == {key: value for key, value in pipe.items() if key != "name"}
    rest = {"ovality": 2, "invert_elevation": 3, "host_diameter": 5, "live_load": 6}
    assert merged(pipe, {"invert_depth": 9, "at": "1"}) == {
        **rest, "groundwater": 4, "invert_depth": 9
    }  # fmt: skip
    assert merged(pipe, {"groundwater_above_crown": 9}) == {
        **rest, "cover": 1, "groundwater_above_crown": 9
    }  # fmt: skip
    assert merged(pipe, {"maximum_diameter": 9, "live_load": 7}) == {
        "cover": 1, "invert_elevation": 3, "groundwater": 4, "host_diameter": 5, "live_load": 7,
        "maximum_diameter": 9,
    }  # fmt: skip
    both = merged(pipe, {"ground_elevation": 9, "invert_elevation": 8})
    assert (both["invert_elevation"], "cover" in both) == (8, False)


def test_defaults_serve_only_pipes_that_they_fit():
    defaults = {"cover": 1, "ovality": 2, "hole_diameter": 3, "groundwater": 4}
    assert usable_defaults(defaults, [{}], False).keys() == {"cover", "ovality", "groundwater"}
    assert usable_defaults(defaults, [{}, {"internal_pressure": 1}], False) == defaults
    assert "ovality" not in usable_defaults(defaults, [{}, {"diameters": []}], False)
    assert usable_defaults(defaults, [{"internal_pressure": 1}], True).keys() == {
        "ovality", "hole_diameter"
    }  # fmt: skip
    pipe = {"name": "A", "ovality": 5, "station": [{"diameters": []}, 7]}
    assert with_defaults(pipe, defaults) == {
        **pipe, "cover": 1, "groundwater": 4
    }  # fmt: skip
    # What the pipe gives comes before it, datum for datum.
    own = with_defaults({"invert_depth": 9, "ovality": 8}, defaults)
    assert own == {"invert_depth": 9, "ovality": 8, "groundwater": 4}
    assert "cover" not in with_defaults({"above_ground": True}, defaults)
    assert "cover" in with_defaults({"above_ground": "yes"}, defaults)


def test_tables_and_stations_as_read_from_a_file():
    assert tables_in([{"a": 1}, 2, {}]) == [(0, {"a": 1}), (2, {})]
    assert tables_in("text") == tables_in(None) == []
    assert stations_of({"station": [{"at": 1}, "x"]}) == [{"at": 1}]
    pipe = {"name": "A", "cover": 1, "live_load": 2,
            "station": [{"at": "0", "cover": 3, "note": 4}]}  # fmt: skip
    assert submitted(pipe, {"invert_depth": 9}) == {
        "name": "A", "live_load": 2, "invert_depth": 9,
        "station": [{"at": "0", "invert_depth": 9}],
    }  # fmt: skip
    assert submitted({"name": "A", "cover": 1}, {"cover": 2}) == {"name": "A", "cover": 2}


def test_each_value_knows_who_gave_it():
    stations = [{"at": "0+00", "cover": "9 ft"}, {"at": "0+50"}]
    criteria = {"safety_factor": 2.5, "defaults": {"live_load": "1 psi"}}
    one, other = found(pipe={"station": stations}, criteria=criteria, drop=("live_load",))
    assert (one["cover"].value.number, other["cover"].value.number) == (9, 16)
    assert (one["cover"].origin.giver, one["cover"].origin.place) == (Giver.STATION, "0+00")
    assert (other["cover"].origin.giver, other["cover"].origin.place) == (Giver.PIPE, "")
    assert (one["cover"].unit, one["cover"].origin.stated) == ("ft", "9 ft")
    assert (one["flexural_modulus"].origin.giver, one["flexural_modulus"].origin.place) == (
        Giver.RESIN, "Felt A"
    )  # fmt: skip
    assert one["safety_factor"].value == 2.5
    assert one["live_load"].value.number == 1
    assert "nominal_thickness" not in one
    # A retention that nobody gives is that of the program: half.
    assert one["modulus_retention"].value.number == 50
    (checked,) = found(pipe={"design_thickness": "20 mm"})
    assert checked["nominal_thickness"].value.number == 20
    assert checked["nominal_thickness"].origin.place == "thickness to check"
    assert checked["nominal_thickness"].origin.giver is Giver.PIPE


def test_the_owners_least_ovality_is_that_of_a_pipe_without_one():
    criteria = {"minimum_ovality": "3 %"}
    (site,) = found(criteria=criteria, drop=("ovality",))
    assert site["ovality"].value.number == 3
    assert site["ovality"].origin.place == "minimum_ovality"
    (site,) = found(criteria=criteria)
    assert site["ovality"].value.number == 2


def test_readings_are_their_mean_and_extremes(monkeypatch):
    """47, 48 and 4.25 ft are 47, 48 and 51 in."""
    pipe = {"diameters": ["47 in", "4.25 ft", "48 in"]}
    drop = ("host_diameter", "ovality")
    (site,) = found(pipe=pipe, drop=drop)
    keys = ("host_diameter", "maximum_diameter", "minimum_diameter")
    shown = [(site[key].value.number, str(site[key].value)) for key in keys]
    assert shown == [
        (pytest.approx(146 / 3), "mean of 47 in, 4.25 ft, 48 in"),
        (pytest.approx(51), "largest reading"),
        (pytest.approx(47), "smallest reading"),
    ]
    assert {site[key].unit for key in keys} == {"in"}
    (site,) = found(pipe={"diameters": ["48 in"] * 13}, drop=drop)
    twelve = ", ".join(["48 in"] * 12)
    assert str(site["host_diameter"].value) == f"mean of {twelve} and 1 more"
    monkeypatch.setattr(layers, "LISTED", 2)
    (site,) = found(pipe=pipe, drop=drop)
    assert str(site["host_diameter"].value) == "mean of 47 in, 4.25 ft and 1 more"
    monkeypatch.setattr(layers, "LISTED", 3)
    (site,) = found(pipe=pipe, drop=drop)
    assert str(site["host_diameter"].value) == "mean of 47 in, 4.25 ft, 48 in"
    (site,) = found(pipe=pipe, drop=("host_diameter",))
    assert "maximum_diameter" not in site


# Faults


def test_a_fault_has_the_line_of_what_stands_nearest_above_it():
    text = "[a]\nx = 1\n[[b]]\ny = 2\n[[b]]\nz = 3\n"
    places = [
        Place("f", path=("b", 1, "none")), Place("f", path=("b", 1, "z")), Place("f", path=("a",)),
        Place("f", path=("a", "x"), line=9), Place("g", path=("b", 0)), Place("f", path=("c",)),
        Place("f"),
    ]  # fmt: skip
    faults = [fault("no_bore", place, diameter="8 in") for place in (*places, places[0])]
    lines = {each.place: each.place.line for each in located(faults, text, "f").faults}
    assert [lines[place] for place in places] == [5, 6, 1, 9, 0, 0, 0]
    assert len(lines) == 7


def test_faults_are_in_the_order_of_files_lines_and_rows():
    places = [Place("g", line=1), Place("f", line=7), Place("f", path=("pipe", 4)),
              Place("f", path=("pipe", 2, "station", 9)), "--pipe"]  # fmt: skip
    faults = located([fault("no_bore", place, diameter="8 in") for place in places], "", "z").faults
    assert [each.place for each in faults] == [places[i] for i in (4, 3, 2, 1, 0)]


def test_faults_of_several_steps_are_raised_together_each_once():
    one, other = fault("missing_table", "a", table="x"), fault("missing_table", "b", table="x")

    def fails(*faults):
        raise InputFaults(faults, lambda: "left")

    def steps():
        with every_fault() as faults:
            assert faults.of(lambda a, b: a + b, 1, b=2) == 3
            assert faults.of(fails, one, other) == "left"
            assert faults.of(fails, one) == "left"
            # What breaks on what is left adds none.
            assert faults.of(lambda: 1 / 0) is None

    with pytest.raises(InputFaults) as raised:
        steps()
    assert raised.value.faults == (one, other)
    with every_fault() as none:
        pass
    assert none == []
    with pytest.raises(ZeroDivisionError):
        Faults().of(lambda: 1 / 0)


def test_an_unknown_word_is_told_the_nearest_or_all():
    """By the share of equal letters: 0.6 of both words is near."""
    known = ("cover", "ovality")
    assert str(unknown_word("a", "covver", known)) == "a: unknown key covver; did you mean cover?"
    said = str(unknown_word("a", "xyz", known, "column", '"v"'))
    assert said == 'a "v": unknown column xyz; known: cover, ovality'
    # Three of five letters on both sides are just alike.
    assert (nearest("abcxx", ["abcyy"]), nearest("abxxx", ["abyyy"])) == ("abcyy", None)
    assert nearest("abxxx", ["abyyy"], 0.4) == "abyyy"
    # Only eighty letters of a long word are compared.
    assert nearest("a" * 80 + "b" * 500, ["a" * 80]) == "a" * 80


def test_names_that_several_tables_have():
    tables = [{"name": name} for name in "abacbb"] + [{"name": 3}, {"name": 3}, "a"]
    said = [(str(each), each.place.path) for each in same_names("pipe", tables)]
    assert said == [
        ('duplicate pipe name "a" (pipes 1, 3); rename one', ("pipe", 2, "name")),
        ('duplicate pipe name "b" (pipes 2, 5, 6); rename one', ("pipe", 4, "name")),
    ]  # fmt: skip
    (many,) = same_names("pipe", [{"name": "a"}] * (reading.LISTED + 1))
    numbers = ", ".join(str(number + 1) for number in range(reading.LISTED))
    assert f"(pipes {numbers} ...)" in str(many)
    (all_listed,) = same_names("pipe", [{"name": "a"}] * reading.LISTED)
    assert f"(pipes {numbers})" in str(all_listed)


def test_a_file_of_more_pipes_than_the_most_is_one_fault(monkeypatch):
    pipes = [PIPE | {"name": str(number)} for number in range(3)]
    resin = {"name": "r", "flexural_modulus": "250000 psi", "flexural_strength": "4500 psi"}
    tables = {"project": {"title": "t"}, "criteria": {}, "resin": [resin], "pipe": pipes}
    monkeypatch.setattr(reading, "MOST_PIPES", 3)
    assert len(of_tables(tables, "").pipes) == 3
    monkeypatch.setattr(reading, "MOST_PIPES", 2)
    with pytest.raises(InputFaults) as raised:
        of_tables(tables, "")
    (only,) = raised.value.faults
    assert (only.code, dict(only.numbers)) == ("faults.too_many", {"count": 3, "most": 2})
    assert str(only.place) == "[[pipe]]"


def test_a_file_that_cannot_be_read_says_why(tmp_path):
    path = tmp_path / "a"
    path.write_bytes(b"12345")
    assert read_bytes(path, 5) == b"12345"
    with pytest.raises(InputFaults, match="file of more than 0 MB"):
        read_bytes(path, 4)
    with pytest.raises(InputFaults, match="file not found"):
        read_bytes(tmp_path / "b", 4)
    with pytest.raises(InputFaults, match="is a directory"):
        read_bytes(tmp_path, 4)
    with pytest.raises(InputFaults, match="not a file"):
        read_bytes(tmp_path, 4, regular=True)
