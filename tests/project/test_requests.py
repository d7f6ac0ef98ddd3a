"""What a pipe asks for beside its thickness: each fault as it is printed, and its border.

The host is 48 in wide, so that a wall of 24 in fills it; 1 in is 25.4 mm.
"""

from types import SimpleNamespace

import pytest
from projects import PIPE, RESIN

from linerdesign.interface import InputFaults, read
from linerdesign.project import requests
from linerdesign.project.requests import (
    along,
    has_legs,
    joined,
    layers_fault,
    length_of,
    refuse_in_place,
    tube_asked,
    tube_of,
    wants_order,
)

IN = '[[pipe]] "Trunk"'
FAR = {"bend": "45 deg"}
OUTSIDE = "not beside the project or in a folder under it; move it there, or name it by an option"
NO_LAYERS = (
    "reading of the whole wall; give [acceptance] non_structural, what to take off for films and "
    "dry layers"
)
WHOLE = {"thickness_basis": "whole wall"}


def faults(pipe, **tables):
    """The faults of the trunk with these keys, each as printed."""
    raw = {"project": {"title": "Harrowmere", "units": "US"}, "resin": [RESIN]}
    try:
        read(raw | tables | {"pipe": [PIPE | pipe]})
    except InputFaults as found:
        return [str(each) for each in found.faults]
    return []


@pytest.mark.parametrize(
    ("pipe", "tables", "said"),
    [
        # Flow
        ({"capacity": {"host_n": 0.013, "flow": "3 L/s"}}, {}, [
            f"missing key capacity.slope in {IN}: depth and velocity at the flow need the slope of "
            "the invert"]),
        ({"capacity": {"flow": "3 L/s"}}, {"capacity": {"host_n": 0.013, "slope": "1 %"}}, []),
        ({"capacity": {"slope": "1 %"}}, {}, [
            f"missing key capacity.host_n in {IN}: Manning's n of the host, there or in "
            "[capacity]; 0.013 to 0.030 in print"]),
        # Order: that for every pipe is for those with a length
        ({"order": {}}, {}, [f"missing key length in {IN}: the quantities need it"]),
        ({}, {"order": {"felt_thickness": "24 in"}}, []),
        ({"length": "100 ft"}, {"order": {"felt_thickness": "24 in"}}, [
            "felt_thickness 24 in: no bore left; must be under 24 in ([order])"]),
        ({"length": "100 ft", "order": {"felt_thickness": "24 in"}}, {}, [
            f"felt_thickness 24 in: no bore left; must be under 24 in (order of {IN})"]),
        # That of the pipe counts where both state one.
        ({"length": "100 ft", "order": {"felt_thickness": "24 in"}},
         {"order": {"felt_thickness": "1 in"}}, [
            f"felt_thickness 24 in: no bore left; must be under 24 in (order of {IN})"]),
        ({"length": "100 ft", "order": {"tube_diameter": "20 in"}},
         {"order": {"felt_thickness": "10 in"}}, [
            "felt_thickness 10 in: no bore left; must be under 10 in ([order])"]),
        ({"length": "100 ft"}, {"order": {"felt_thickness": "9.9 in", "tube_diameter": "20 in"}},
         []),
        # Laterals, the last at the very end
        ({"length": "100 ft", "lateral": [{"at": "30 ft"}, {"at": "101 ft"}, {"at": "100 ft"}]},
         {}, [
            "at 101 ft: past the end of the line; give a station within its length, 100 ft "
            f"(lateral 2 of {IN})"]),
        ({"leg": [{"at": "0 ft", "length": "10 m"}, {"at": "10 m", "length": "20 m"}],
          "lateral": [{"at": "30 m"}, {"at": "30.1 m"}]}, {}, [
            "at 30.1 m: past the end of the line; give a station within its length, 30 m "
            f"(lateral 2 of {IN})"]),
        # Bends: half the diameter is too sharp
        ({"leg": [{"at": "0 ft", "bend": "45 deg"}, {"at": "9 ft", "bend_radius": "8 ft"}]}, {}, [
            f"missing key bend_radius in leg 1 of {IN}: give both bend and bend_radius, or neither",
            f"missing key bend in leg 2 of {IN}: give both bend and bend_radius, or neither"]),
        ({"leg": [{"at": "0 ft", "bend_radius": "24 in"} | FAR,
                  {"at": "9 ft", "bend_radius": "24.1 in"} | FAR,
                  {"at": "19 ft", "host_diameter": "50 in", "bend_radius": "24.1 in"} | FAR]}, {}, [
            f"bend_radius 24 in: must be more than half the diameter of the leg (leg 1 of {IN})",
            f"bend_radius 24.1 in: must be more than half the diameter of the leg (leg 3 of {IN})"
         ]),
        # By the widest station, where the leg has no diameter of its own
        ({"station": [{"at": "0 ft"}, {"at": "9 ft", "host_diameter": "50 in"}],
          "leg": [{"at": "0 ft", "bend_radius": "24.5 in"} | FAR]}, {}, [
            f"bend_radius 24.5 in: must be more than half the diameter of the leg (leg 1 of {IN})"
         ]),
        # Tubes
        ({"tube_thickness": "24 in"}, {}, [
            f"tube_thickness 24 in: no bore left; must be under 24 in ({IN})"]),
        ({"tube_thickness": "23.9 in"}, {}, []),
        ({"tube_thickness": "10 in", "tube_diameter": "20 in"}, {}, [
            f"tube_thickness 10 in: no bore left; must be under 10 in ({IN})"]),
        ({"tube_thickness": "10 in", "leg": [{"at": "0 ft", "host_diameter": "20 in"}]}, {}, [
            f"tube_thickness 10 in: no bore left; must be under 10 in ({IN})"]),
        ({"tube_thickness": "254 mm", "tube_diameter": "20 in"},
         {"project": {"title": "Harrowmere", "units": "SI"}}, [
            f"tube_thickness 254 mm: no bore left; must be under 254 mm ({IN})"]),
        # Samples
        ({"sample": [{"specimen": "A"}]}, {}, [
            "nothing measured; give a thickness, thicknesses, a modulus or a strength "
            f'(sample "A" of {IN})']),
        ({"sample": [{"modulus": "300000 psi"}, {"thicknesses": ["6 mm"]}]}, {}, []),
        ({"sample": [{"thickness": "24 in"}, {"thicknesses": ["6 mm", "620 mm"]}]}, {}, [
            f"thickness 24 in: no bore left; must be under 609.6 mm (sample 1 of {IN})",
            f"thicknesses 620 mm: no bore left; must be under 609.6 mm (sample 2 of {IN})"]),
        ({"sample": [{"thickness": "609.5 mm"}]}, {}, []),
        # By the narrowest station
        ({"station": [{"at": "0 ft", "host_diameter": "50 in"}, {"at": "9 ft"}],
          "sample": [{"thickness": "24.5 in"}]}, {}, [
            f"thickness 24.5 in: no bore left; must be under 609.6 mm (sample 1 of {IN})"]),
        ({"sample": [{"thickness": "6 mm"} | WHOLE]}, {}, [
            f"thickness 6 mm: {NO_LAYERS} (sample 1 of {IN})"]),
        ({"sample": [{"thickness": "1 mm"} | WHOLE, {"thickness": "1.1 mm"} | WHOLE,
                     {"thickness": "1 mm"}, {"thickness": "610 mm"} | WHOLE]},
         {"acceptance": {"non_structural": "1 mm"}}, [
            "thickness 1 mm: not over the non_structural layers; check both "
            f"(sample 1 of {IN})"]),
        # Files
        ({}, {"acceptance": {"samples": "../a.csv", "bending": "../b.csv"}}, [
            f'samples "../a.csv": {OUTSIDE} ([acceptance])',
            f'bending "../b.csv": {OUTSIDE} ([acceptance])']),
        # Uncertainties of no such key, each told once, and of one key twice
        ({}, {"resin": [RESIN | {"uncertainty": {"cover": "1 ft", "flexural_modulus": "5 %",
                                                 "price": "1 USD/kg", "tensil_retention": "x"}}]}, [
            "uncertainty.cover: unknown key cover; known: flexural_modulus, modulus_retention, "
            "flexural_strength, strength_retention, tensile_strength, tensile_retention, price, "
            'tube_price, mobilisation ([[resin]] "Felt A")',
            "uncertainty.tensil_retention: unknown key tensil_retention; did you mean "
            'tensile_retention? ([[resin]] "Felt A")']),
        ({"uncertainty": {"covr": "1 ft", "flexural_modulus": "5 %", "mobilisation": "9 USD"}},
         {}, [
            f"uncertainty.covr: unknown key covr; did you mean cover? ({IN})",
            f"uncertainty.mobilisation 9 USD: the pipe has no such value; remove the key ({IN})"]),
        ({}, {"uncertainty": {"host_diametr": "1 in", "flexural_modulus": "5 %", "price": "5 %"}}, [
            "host_diametr: unknown key host_diametr; did you mean host_diameter? "
            "([uncertainty])"]),
        ({"doubt": {"cover": "1 ft", "ovality": "1 %", "host_diameter": "1 in"},
          "uncertainty": {"ovality": "1 %", "cover": "2 ft"}}, {}, [
            f"doubt.cover and uncertainty.cover given together; keep only one of them ({IN})",
            f"doubt.ovality and uncertainty.ovality given together; keep only one of them ({IN})"]),
        # Tables of a wrong kind
        ({"leg": 3}, {}, [f"leg 3: must be a list, in square brackets ({IN})"]),
        ({"station": [{"at": f"{i} ft"} for i in range(1001)]}, {}, [
            f"station: 1001 entries; give 0 to 1000 ({IN})"]),
        ({}, {"uncertainty": 3}, ["3: must be a table of keys and values ([uncertainty])"]),
        ({"uncertainty": 3}, {}, [
            f"uncertainty 3: must be a table, in braces: {{ key = value }} ({IN})"]),
        ({}, {"uncertainty": {"cover": "-1 ft", "ovality": "x"}}, [
            'cover "-1 ft": out of range; give a length that is not negative ([uncertainty])',
            'ovality "x": not a number with a unit; give an ovality in percent, such as "3 %" '
            "([uncertainty])"]),
    ],
)  # fmt: skip
def test_what_a_pipe_asks_for_must_be_there_and_possible(pipe, tables, said):
    assert faults(pipe, **tables) == said


@pytest.mark.parametrize(
    ("station", "metres"),
    [("0 ft", 0.0), ("10 ft", 3.048), ("12 m", 12.0), ("MH 3", None), ("", None), ("3", None),
     ("-3 m", None), ("3 kg", None)],
)  # fmt: skip
def test_a_place_along_the_pipe_is_a_length_in_metres(station, metres):
    """A foot is 0.3048 m by definition."""
    assert along(station) == (metres if metres is None else pytest.approx(metres, rel=1e-12))


def test_a_felt_of_the_order_for_all_is_at_fault_there():
    order = {"felt_thickness": "24 in"}
    with pytest.raises(InputFaults) as found:
        read({"project": {"title": "x"}, "resin": [RESIN], "order": order,
              "pipe": [PIPE | {"length": "9 ft"}]})  # fmt: skip
    assert [each.place.path for each in found.value.faults] == [("order", "felt_thickness")]


def made(pipe=None, **tables):
    """The project of the trunk with these keys, and the trunk."""
    raw = {"project": {"title": "Harrowmere"}, "resin": [RESIN]}
    project = read(raw | tables | {"pipe": [PIPE | (pipe or {})]})
    return project, project.pipes[0]


def test_a_table_of_a_pipe_lies_over_that_of_all_key_for_key():
    project, pipe = made({"order": {"resin_share": "90 %"}, "length": "9 ft"},
                         order={"resin_share": "80 %", "extra_length": "1 m"})  # fmt: skip
    both = joined(project.order, pipe.order)
    assert (both.resin_share.number, both.extra_length.number) == (90, 1)
    assert joined(project.order, None) is project.order
    assert joined(None, pipe.order) is pipe.order
    assert joined(None, None) is None


TEN, TWENTY = {"at": "0 m", "length": "10 m"}, {"at": "10 m", "length": "20.12345 m"}


@pytest.mark.parametrize(
    ("pipe", "length", "text"),
    [
        ({}, None, None),
        ({"length": "100 ft"}, 30.48, "100 ft"),
        ({"length": "100 ft", "leg": [TEN, TWENTY]}, 30.48, "100 ft"),
        ({"leg": [TEN, TWENTY]}, 30.12345, "30.12 m"),
        ({"leg": [TEN, {"at": "10 m"}]}, None, None),
    ],
)
def test_the_length_to_line_is_that_of_the_pipe_or_of_all_legs(pipe, length, text):
    found = length_of(made(pipe)[1])
    if length is None:
        assert found is None
    else:
        assert (found.to("m"), str(found)) == (pytest.approx(length), text)
    order = made(order={})[0].order
    assert wants_order(made(pipe)[1], order) is (length is not None)
    assert not wants_order(made(pipe)[1], None)


def test_the_tube_of_a_pipe_is_its_own_that_of_its_order_or_that_of_all():
    everywhere = {"order": {"tube_diameter": "40 in"}}
    for pipe, tables, diameter in (
        ({}, {}, None),
        ({}, everywhere, "40 in"),
        ({"order": {"tube_diameter": "41 in"}, "length": "9 ft"}, everywhere, "41 in"),
        ({"tube_diameter": "42 in"}, everywhere, "42 in"),
        ({}, {"order": {}}, None),
    ):
        project, own = made(pipe, **tables)
        found = tube_of(project, own)
        assert (found and str(found)) == diameter
        assert has_legs(project, own) is (diameter is not None)
        asked = tube_asked(project, own)
        assert (asked is None) == (diameter is None)
        assert asked is None or (str(asked.diameter), asked.thickness) == (diameter, None)
    project, own = made({"tube_thickness": "9 mm"})
    assert tube_asked(project, own).diameter is None
    assert str(tube_asked(project, own).thickness) == "9 mm"
    assert has_legs(*made({"leg": [TEN]}))


@pytest.mark.parametrize(
    ("whole", "left", "off", "code"),
    [
        (True, 6.0, None, "measured.whole_wall"), (True, 5.0, 1.0, None), (True, 0.0, 1.0, "under"),
        (True, -1.0, 1.0, "under"), (False, 6.0, None, None), (False, 6.0, 1.0, None),
    ],
)  # fmt: skip
def test_a_reading_of_the_whole_wall_is_over_its_layers(whole, left, off, code):
    assert layers_fault(whole, left, off) == ("measured.under_layers" if code == "under" else code)


def test_a_second_method_in_place_of_the_standard_is_refused_where_the_standard_counts(tmp_path):
    method = {"method": "encased ring"}
    for use, refused in (("replaces", True), ("beside", False)):
        project, _ = made(criteria={"second_method": method | {"use": use}})
        if not refused:
            refuse_in_place(project, "the review")
            continue
        with pytest.raises(InputFaults) as found:
            refuse_in_place(project, "the review")
        (each,) = found.value.faults
        assert (each.code, dict(each.numbers)) == ("second.size_only", {"what": "the review"})
        assert each.place.path == ("criteria", "second_method", "use")
        assert str(each.place) == "second_method of [criteria]"
    refuse_in_place(made()[0], "the review")
    owner = tmp_path / "owner.toml"
    owner.write_text('[criteria.second_method]\nmethod = "encased ring"\nuse = "replaces"\n')
    project = read({"project": {"title": "x"}, "resin": [RESIN], "pipe": [PIPE]}, criteria=owner)
    with pytest.raises(InputFaults) as found:
        refuse_in_place(project, "the review")
    assert str(found.value.faults[0].place) == "second_method of [criteria] of owner.toml"


@pytest.mark.parametrize(
    ("setting", "value", "range"),
    [
        # The ends of the printed curves: a gap to 3 % of the radius, a bulge from 0.05 to 3 %.
        ("gap", "0 %", None), ("gap", "3 %", None), ("gap", "3.01 %", "0 to 3 %"),
        ("bulge", "0.05 %", None), ("bulge", "0.049 %", "0.05 to 3 %"), ("bulge", "3 %", None),
        ("bulge", "3.01 %", "0.05 to 3 %"),
    ],
)  # fmt: skip
def test_settings_of_a_second_method_lie_within_its_ranges(setting, value, range):
    said = faults({}, criteria={"second_method": {"method": "encased ring", setting: value}})
    assert said == ([] if range is None else [
        f"{setting} {value}: out of range: {range} (second_method of [criteria])"])  # fmt: skip


def test_a_second_method_that_is_none_is_one_fault():
    said = faults({}, criteria={"second_method": {"method": "x", "gap": "90 %"}})
    assert said == ['method "x": unknown value; use "encased ring" (second_method of [criteria])']


def test_a_sample_of_a_host_without_a_diameter_has_no_bore_to_leave():
    egg = {"shape": "egg", "width": "24 in", "height": "36 in"}
    pipe = {key: each for key, each in PIPE.items() if key not in ("host_diameter", "ovality")}
    raw = {"project": {"title": "x"}, "resin": [RESIN]}
    (made,) = read(raw | {"pipe": [pipe | egg | {"sample": [{"thickness": "24 in"}]}]}).pipes
    assert str(made.sample[0].thickness) == "24 in"


def test_a_second_method_takes_the_settings_that_it_has(monkeypatch):
    """One of another method is told with those of this one."""
    ends = SimpleNamespace(least=0.0, most=0.03)
    method = SimpleNamespace(settings=lambda: {"gap": ends})
    monkeypatch.setattr(requests, "method_in", lambda name: method)
    second = {"method": "encased ring", "gap": "1 %", "bulge": "1 %"}
    assert faults({}, criteria={"second_method": second}) == [
        "bulge: unknown key bulge; known: gap (second_method of [criteria])"
    ]
