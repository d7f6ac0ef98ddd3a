"""What is asked of planning tables: every fault at once, and each axis once."""

import pytest
from projects import toml

from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse
from linerdesign.tasks.plan.request import CONDITIONS, Request, planned
from linerdesign.tasks.plan.table import ABOVE_INVERT, USUAL_AXES

PRESSED = {
    "condition": "partially deteriorated",
    "internal_pressure": "20 psi",
    "hole_diameter": "1 in",
}
FEW = {"diameters": ["8 in"], "covers": ["9 ft"], "waters": ["3 ft"]}


def asked(pipe=None, resins=(), conditions=(), option="--{}", **axes):
    return Request(pipe, resins, conditions, **(FEW | axes), option=option)


def pressed():
    """A pressure pipe with its resin, and another without the tensile strength it asks for."""
    other = 'name = "Untested"\nflexural_modulus = "300 ksi"\nflexural_strength = "5 ksi"\n'
    own = toml(PRESSED | {"resin": "Felt A"}, {"tensile_strength": "3 ksi"})
    return parse(f"{own}[[resin]]\n{other}".encode())


def refused(read, *given, **named):
    with pytest.raises(InputFaults) as found:
        planned(read, asked(*given, **named), "US")
    return [str(each) for each in found.value.faults]


def starts(told):
    return [each.split()[0] for each in told]


def test_every_fault_is_told_at_once_with_its_option():
    wrong = {"diameters": ["8"], "covers": ["deep"], "waters": ["9 kg"]}
    told = refused(pressed(), None, ["Felt Z", "Felt A"], ["rotten", CONDITIONS[0]], **wrong)
    assert starts(told) == ["--resin", "--condition", "--diameter", "--cover", "--water"]
    assert told[0].endswith('use "Felt A", "Untested"')
    assert told[1].endswith('use "partially deteriorated" or "fully deteriorated"')
    (keyed,) = refused(pressed(), option="{}", covers=["8 kg"])
    assert keyed.startswith("cover")


def test_a_resin_that_the_pipe_cannot_have_is_told_beside_other_faults():
    """By its name or without one it is the same pipe; of another, nothing is known."""
    for name in (None, "Trunk"):
        told = refused(pressed(), name, ["Untested"], diameters=["8"])
        assert starts(told) == ["--diameter", "resin:"]
        assert "no tensile strength" in told[1]
    told = refused(pressed(), "Nowhere", ["Untested"], diameters=["8"])
    assert starts(told) == ["--pipe", "--diameter"]
    assert told[0].endswith('use "Trunk"')
    (alone,) = refused(pressed(), None, ["Untested"])
    assert "no tensile strength" in alone


@pytest.mark.parametrize("system", ["US", "SI"])
def test_without_axes_they_are_the_usual_ones(system):
    below = {"groundwater_below_surface": "5 ft"}
    read = parse(toml(below, drop=("groundwater_above_invert",)).encode())
    none = {"diameters": [], "covers": [], "waters": []}
    made = planned(read, asked(**none), system)
    axes = made.axes
    assert (made.system, axes.water_key) == (system, ABOVE_INVERT)
    assert (
        tuple(
            tuple(each.text for each in axis) for axis in (axes.diameters, axes.covers, axes.waters)
        )
        == USUAL_AXES[system]
    )
    # Heights that are given are those of the pipe's own datum.
    assert planned(read, asked(), system).axes.water_key == "groundwater_below_surface"


def test_a_value_given_twice_is_one():
    axes = planned(parse(toml().encode()), asked(diameters=["8 in", "12 in", "8 in"]), "US").axes
    assert [each.text for each in axes.diameters] == ["8 in", "12 in"]
    assert len(axes.grid) == 2
