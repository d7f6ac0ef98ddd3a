"""Stated numbers as a review takes them: their rounding, their digits, and what is an input."""

from types import SimpleNamespace as Made

import pytest
from by_hand import Inputs, project

from linerdesign.methods.method import constants
from linerdesign.project.faults import InputFaults
from linerdesign.project.measures import Measure
from linerdesign.project.reading import parse
from linerdesign.tasks.review import submittal
from linerdesign.tasks.review.submittal import Item, Submittal, decimals_of, rounding_of


def measure(text, unit=None):
    number, _, of = text.partition(" ")
    return Measure(float(number.replace(",", "")), of if unit is None else unit, text)


@pytest.mark.parametrize(
    ("text", "decimals"),
    [("12.5 ft", 1), ("12 ft", 0), ("1.20e3 psi", -1), ("2.5e-4 in", 5), ("1,250.00 psi", 2)],
)
def test_decimals_are_those_printed(text, decimals):
    assert decimals_of(measure(text)) == decimals


@pytest.mark.parametrize(
    ("text", "unit", "half"),
    [
        ("12.50 ft", "ft", 0.005),
        ("12 ft", "ft", 0.5),
        ("2.5e3 psi", "psi", 50.0),
        # To half an inch, and to a thirty-second of one.
        ("9'-6\"", "ft", 0.5 / 12),
        ("9 ft 6 in", "ft", 0.5 / 12),
        ("3/8 in", "mm", 25.4 / 32),
    ],
)
def test_half_of_the_last_printed_digit(text, unit, half):
    assert rounding_of(Measure(9.5, unit, text)) == pytest.approx(half)


@pytest.mark.parametrize(
    ("text", "share"),
    [
        # Three figures at least count: 156,000 is to 500, as is 150,000; 20,000 to 50.
        ("156000 psi", 500 / 156_000),
        ("150000 psi", 500 / 150_000),
        ("156200 psi", 50 / 156_200),
        ("20000 psi", 50 / 20_000),
        ("1,000 psi", 5 / 1000),
        ("100 psi", 0.5 / 100),
        ("10 psi", 0.05 / 10),
        ("-1560 psi", 5 / 1560),
        ("1560.0 psi", 0.0),
        ("1561 psi", 0.0),
    ],
)
def test_trailing_zeros_may_not_count(text, share):
    assert submittal._trailing_zeros(measure(text)) == pytest.approx(share)


def test_an_item_has_its_value_and_rounding_in_the_unit_of_the_sheet():
    found = submittal._item("t X1.1", "t_X1_1", measure("25.40 mm"), "US")
    assert (found.name, found.key, found.unit, found.at) == ("t X1.1", "t_X1_1", "in", "")
    assert found.value == pytest.approx(1.0)
    assert found.half == pytest.approx(0.005 / 25.4, rel=1e-5)
    assert found.half > 0.005 / 25.4
    share = submittal._item("q", "q", measure("2.0 %"), "US")
    assert (share.value, share.half) == pytest.approx((2.0, 0.05), rel=1e-5)
    whole = submittal._item("E", "E", measure("156000 psi"), "US")
    assert whole.half == pytest.approx(500, rel=1e-5)


def test_lines_are_items_with_their_places():
    placed = measure("0.2 in")
    object.__setattr__(placed, "at", "page 2")
    first, second = submittal._step_items({"t X1.1": placed, "C": measure("0.80")}, "US")
    assert (first.name, first.key, first.at, first.value) == ("t X1.1", "t_X1_1", "page 2", 0.2)
    assert (second.name, second.key, second.at, second.value) == ("C", "C", "", 0.8)


def item(name, key, value=0.2, unit="in", text=None, half=0.005):
    stated = measure(text or f"{value:g} {unit}".strip())
    return Item(name, key, stated, unit, value, half)


def test_a_nominal_thickness_of_whole_increments_is_not_rounded():
    assert submittal._of_increment(item("thickness", "t"), 0.05).half == pytest.approx(5e-8)
    assert submittal._of_increment(item("thickness", "t", 0.21), 0.05).half == 0.005
    assert submittal._of_increment(item("thickness", "t"), 0.0).half == 0.005
    assert submittal._of_increment(item("required", "t_required"), 0.05).half == 0.005
    near = item("thickness", "t", 0.2 + 0.05 * 0.9e-6)
    assert submittal._of_increment(near, 0.05).half == pytest.approx(5e-8)
    off = item("thickness", "t", 0.2 + 0.05 * 1.1e-6)
    assert submittal._of_increment(off, 0.05).half == 0.005


@pytest.mark.parametrize(
    ("about", "value", "text"),
    [
        # One digit more than printed; in the unit in which it is stated.
        (item("C", "C", 0.8, "", "0.80"), 0.83642, "0.836"),
        (item("t", "t_X1_1", 1.0, "in", "25.4 mm"), 1.0, "25.40 mm"),
        (item("q", "q", 2.0, "%", "2 %"), 2.04, "2.0 %"),
        (item("E", "E", 250_000.0, "psi", "250000 psi"), 249_999.6, "250000 psi"),
        (item("P", "P", 5.0, "psi", "5 psi"), 5.196, "5.2 psi"),
        (item("P", "P", 5.0, "psi", "0.0345 MPa"), 5.196, "0.03583 MPa"),
    ],
)
def test_our_number_as_the_submittal_would_print_it(about, value, text):
    assert about.shown(value) == text


def test_names_as_a_sentence_has_them():
    assert item("required_thickness", "t_required").label == "required thickness"
    assert item("some_name", "C", unit="").label == "some_name"
    assert item("N", "N", 2.0, "").exact
    assert not item("C", "C", 0.8, "").exact


def stations(*values):
    return tuple(Made(values=each) for each in values)


def submitted(items=(), inputs=None, ours=({"N": 2.0, "t": 1.0},), theirs=({"N": 2.0},), **more):
    basis = {"edition": "F1216-16", "condition": "x"}
    return Submittal(
        Made(),
        Made(inputs=inputs and Made(given=dict.fromkeys(inputs))),
        Made(stations=stations(*ours), basis=Made(**basis)),
        Made(stations=stations(*theirs), basis=Made(**(basis | more))),
        tuple(items),
    )


def test_the_thicknesses_come_last():
    first, second = item("C", "C", unit=""), item("P", "P")
    nominal, required = item("thickness", "t"), item("required_thickness", "t_required")
    made = submitted((required, nominal, first, second))
    assert made.in_order == (first, second, required, nominal)
    assert made.item("t") is nominal
    assert made.item("N") is None
    assert made.is_input("N")
    assert not made.is_input("t")
    assert not made.is_input("C")
    assert made.name_of("P") == "P"
    assert made.name_of("E_L") not in ("", None)


def test_inputs_that_differ_are_those_taken_otherwise():
    """By the words of the basis, by the values of any station, or where nothing is compared."""
    names = ("safety_factor", "edition", "cover")
    same = submitted(inputs=names[:2])
    assert same.other_inputs == ()
    assert submitted().other_inputs == ()
    assert submitted(inputs=names).other_inputs == ("cover",)
    assert submitted(inputs=names[:2], edition="F1216-09").other_inputs == ("edition",)
    two = {"ours": ({"N": 2.0}, {"N": 2.0}), "theirs": ({"N": 2.0}, {"N": 1.5})}
    assert submitted(inputs=names[:2], **two).other_inputs == ("safety_factor",)
    close = {"theirs": ({"N": 2.0 * (1 + 1e-13)},)}
    assert submitted(inputs=names[:1], **close).other_inputs == ()
    assert submitted(inputs=names[:1], ours=({},)).other_inputs == names[:1]
    assert submitted(inputs=names[:1], theirs=({},)).other_inputs == names[:1]
    assert submitted(inputs=("no_such",)).other_inputs == ("no_such",)


def test_a_design_thickness_is_a_stated_one_where_none_other_is():
    changed = lambda what: what  # noqa: E731
    stated = Made(thickness=None, changed=changed)
    pipe = Made(stated=stated, design_thickness="6 mm")
    assert submittal.stated_of(pipe) == {"thickness": "6 mm"}
    own = Made(thickness="5 mm", changed=changed)
    assert submittal.stated_of(Made(stated=own, design_thickness="6 mm")) is own
    assert submittal.stated_of(Made(stated=stated, design_thickness=None)) is stated
    assert submittal.stated_of(Made(stated=None, design_thickness="6 mm")) is None


# What the submittal takes in place of ours

BOOK = Inputs(
    D=48.0, q=2.0, h_invert=12.0, E=250000.0, retention=50.0, sigma=4500.0,
    strength_retention=50.0, H=16.0, W_s=0.35,
)  # fmt: skip
BY_DEFAULT = ("dry_case = false\n", "")


def both(stated=None, more="", changed=(), steps=None, x=BOOK):
    """Our task and theirs; `more` are further keys of [pipe.stated]."""
    text = project(x, {"thickness": "27 mm"} if stated is None else stated, steps)
    for before, after in (*changed, ("[pipe.stated]\n", f"[pipe.stated]\n{more}")):
        assert before in text
        text = text.replace(before, after, 1)
    (made,) = submittal.submittals(parse(text.encode(), "test.toml"))
    return made


@pytest.mark.parametrize(
    ("stated", "more", "steps", "taken"),
    [
        ({}, "", {"t DR": "0.48 in"}, True),
        ({}, "", {"t X1.3": "1.01 in"}, False),
        ({}, 'governing = "DR limit"\n', {"C": "0.836"}, True),
        ({}, 'governing = "X1.3"\n', {"C": "0.836"}, False),
        # D/100 to the last digit stated, of 48 in.
        ({"required_thickness": "0.48 in"}, "", {}, True),
        ({"required_thickness": "12.2 mm"}, "", {}, True),
        ({"required_thickness": "0.49 in"}, "", {}, False),
        ({"thickness": "0.48 in"}, "", {}, False),
    ],
)
def test_the_dry_case_is_theirs_where_they_work_it_or_the_owner_asks_for_it(
    stated, more, steps, taken
):
    """It is beyond the wording of the standard: DR at most 100 without groundwater."""
    found = both(stated, more, [BY_DEFAULT], steps)
    assert found.ours.basis.dry_case
    assert found.theirs.basis.dry_case is taken
    owners = both(stated, more, [("dry_case = false", "dry_case = true")], steps)
    assert owners.theirs.basis.dry_case
    without = both(stated, more, steps=steps)
    assert not without.ours.basis.dry_case
    assert not without.theirs.basis.dry_case


def test_a_station_that_shows_the_dry_case_works_it():
    station = (
        '[[pipe.stated.station]]\nat = "0 ft"\nsteps = { "t DR" = "0.48 in" }\n'
        '[[pipe.station]]\nat = "0 ft"\n'
    )
    text = project(BOOK, {"thickness": "27 mm"}).replace(*BY_DEFAULT) + station
    (found,) = submittal.submittals(parse(text.encode(), "test.toml"))
    assert found.theirs.basis.dry_case
    ((at, (shown,)),) = found.at_stations
    assert (at, shown.name, shown.value) == ("0 ft", "t DR", 0.48)


def test_inputs_of_the_pipe_the_resin_and_the_criteria_are_theirs():
    text = project(BOOK, {"thickness": "27 mm"})
    text += """[pipe.stated.inputs]
safety_factor = 1.5
modulus_retention = "60 %"
groundwater_above_invert = "5 ft"
"""
    (found,) = submittal.submittals(parse(text.encode(), "test.toml"))
    taken = {"N": (2.0, 1.5), "r_E": (50.0, 60.0), "h_invert": (12.0, 5.0), "H": (16.0, 16.0)}
    for key, (ours, theirs) in taken.items():
        values = [
            {each.key: each.value for each in constants(task.basis)} | task.stations[0].values
            for task in (found.ours, found.theirs)
        ]
        assert [each[key] for each in values] == [ours, theirs]
    assert found.other_inputs == ("groundwater_above_invert", "modulus_retention", "safety_factor")


def test_an_increment_that_is_stated_is_theirs_in_place_of_the_sizes_made():
    sizes = ("[[resin]]\n", '[[resin]]\nthicknesses = ["4.5 mm", "27 mm"]\n')
    found = both(more='thickness_step = "2 mm"\n', changed=[sizes])
    assert found.ours.basis.sizes is not None
    assert found.theirs.basis.sizes is None
    assert found.theirs.stations[0].values["s"] == pytest.approx(2 / 25.4)
    assert both(changed=[sizes]).theirs.basis.sizes is not None


def test_a_wall_of_listed_sizes_is_as_precise_as_it_is_printed():
    """A wall of whole increments of 1.5 mm is exact; 27 mm of a list is to half a millimetre."""
    metric = Inputs(
        D=1200.0, q=2.0, h_invert=3.6, E=1700.0, retention=50.0, sigma=31.0,
        strength_retention=50.0, H=4.9, w=19.0, E_s=7.0, W_s=0.0024, si=True, step=1.5,
    )  # fmt: skip
    sizes = ("[[resin]]\n", '[[resin]]\nthicknesses = ["4.5 mm", "27 mm"]\n')
    assert both(x=metric).item("t").half == pytest.approx(1.5e-6)
    assert both(x=metric, changed=[sizes]).item("t").half == pytest.approx(0.5, rel=1e-5)


def test_another_condition_is_theirs_as_far_as_the_inputs_suffice():
    other = 'condition = "partially deteriorated"\n'
    found = both(more=other)
    assert found.ours.basis.condition == "fully deteriorated"
    assert found.theirs.basis.condition == "partially deteriorated"
    assert both(more='condition = "fully deteriorated"\n').theirs is not None
    bare = [(f'{key} = "{value}"\n', "") for key, value in (
        ("cover", "16.0 ft"), ("soil_unit_weight", "120.0 pcf"),
        ("soil_reaction_modulus", "1000.0 psi"), ("live_load", "0.35 psi"),
    )]  # fmt: skip
    partial = both(
        more='condition = "fully deteriorated"\n',
        changed=[("fully deteriorated", "partially deteriorated"), *bare],
    )
    assert partial.theirs.basis.condition == "partially deteriorated"


def test_a_submittal_that_states_nothing_is_a_fault_with_its_place():
    text = project(BOOK, {})
    with pytest.raises(InputFaults) as found:
        submittal.submittals(parse(text.encode(), "test.toml"))
    (fault,) = found.value.faults
    assert fault.code == "review.nothing stated"
    assert "stated" in str(fault)
    with pytest.raises(InputFaults) as found:
        submittal.submittals(parse(text.partition("[pipe.stated]")[0].encode(), "test.toml"))
    (fault,) = found.value.faults
    assert fault.code == "faults.nothing_stated"
    assert "test.toml" in str(fault)
