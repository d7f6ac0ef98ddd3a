"""Keys of one pipe that must or can't stand together: each fault as it is printed."""

import pytest
from projects import PIPE, RESIN

from linerdesign.interface import InputFaults, read
from linerdesign.project.keys import SOIL_KEYS

IN = '[[pipe]] "Trunk"'
PARTIAL, ABOVE = {"condition": "partially deteriorated"}, {"above_ground": True}
WATER = "groundwater_above_invert"
BURIED = (*SOIL_KEYS, "cover", WATER)
NO_OVALITY = (
    f'missing key in {IN}: give one or two of ovality ("0 %" for a true circle), maximum_diameter, '
    "minimum_diameter"
)
NO_COVER = f"missing key in {IN}: give exactly one of cover, invert_depth, ground_elevation"
PRESSURE = {"internal_pressure": "60 psi"}


def faults(drop, pipe, **tables):
    """The faults of the trunk without some keys and with others, each as printed."""
    trunk = {key: value for key, value in PIPE.items() if key not in drop} | pipe
    resin = RESIN | {"tensile_strength": "3000 psi"}
    try:
        read({"project": {"title": "Harrowmere"}, "resin": [resin], "pipe": [trunk]} | tables)
    except InputFaults as found:
        return [str(each) for each in found.faults]
    return []


def twice(one, other):
    return f"{one} and {other} given together; keep only one of them ({IN})"


def lacks(key, why):
    return f"missing required key {key} in {IN}: {why}"


def idle(key, value, beside):
    return f'{key} "{value}": no effect without {beside}; add that, or remove this key ({IN})'


@pytest.mark.parametrize(
    ("drop", "pipe", "said"),
    [
        ((), {}, []),
        # One of each group
        (("host_diameter",), {}, [
            f"missing key in {IN}: give exactly one of host_diameter, diameters"]),
        ((), {"diameters": ["47 in", "49 in"]}, [twice("host_diameter", "diameters")]),
        ((WATER,), {}, [
            f"missing key in {IN}: give exactly one of groundwater, {WATER}, "
            "groundwater_above_crown, groundwater_below_surface, groundwater_elevation"]),
        ((), {"groundwater_above_crown": "3 ft"}, [twice(WATER, "groundwater_above_crown")]),
        (("cover",), {}, [NO_COVER]),
        ((), {"invert_depth": "12 ft"}, [twice("cover", "invert_depth")]),
        # Soil and cover are needed where they play a part
        (SOIL_KEYS, {}, [lacks(key, "fully deteriorated") for key in SOIL_KEYS]),
        ((*SOIL_KEYS, "cover"), PARTIAL, []),
        (BURIED, PARTIAL | {"groundwater_below_surface": "3 ft"}, [NO_COVER]),
        # Elevations need that of the invert, and that one needs another
        ((WATER,), {"groundwater_elevation": "99 ft"},
         [lacks("invert_elevation", "beside groundwater_elevation")]),
        (("cover",), {"ground_elevation": "99 ft"},
         [lacks("invert_elevation", "beside ground_elevation")]),
        ((), {"invert_elevation": "90 ft"},
         [idle("invert_elevation", "90 ft", "ground_elevation or groundwater_elevation")]),
        ((WATER,), {"invert_elevation": "90 ft", "groundwater_elevation": "99 ft"}, []),
        # Ovality by itself, by one or two diameters, by readings
        ((), {"maximum_diameter": "49 in"}, [twice("ovality", "maximum_diameter")]),
        (("ovality",), {"minimum_diameter": "47 in"}, []),
        (("ovality",), {"minimum_diameter": "47 in", "maximum_diameter": "49 in"}, []),
        (("ovality",), {}, [NO_OVALITY]),
        (("ovality", "host_diameter"), {"diameters": ["47 in", "49 in"]}, []),
        (("ovality", "host_diameter"),
         {"diameters": ["47 in", "49 in"], "maximum_diameter": "49 in"},
         [twice("diameters", "maximum_diameter")]),
        # Stations
        ((), {"station": [{"at": "0 ft", "cover": "9 ft"}, {"at": "9 ft"}]}, []),
        ((), {"station": [{"at": "0 ft", "cover": "9 ft"}, {"at": "0 ft"}]},
         [f'duplicate station "0 ft"; rename one ({IN})']),
        ((), {"station": [{"at": "0 ft", "groundwater_above_crown": "3 ft"}, {"at": "9 ft"}]},
         ["stations differ in datums, kinds of load or methods; use the same ones at every station "
          f"({IN})"]),
        (("cover",), {"station": [{"at": "0 ft"}, {"at": "9 ft", "cover": "9 ft"}]},
         [f"missing key in station \"0 ft\" of {IN}: give exactly one of cover, invert_depth, "
          "ground_elevation",
          "stations differ in datums, kinds of load or methods; use the same ones at every station "
          f"({IN})"]),
        # Pressure
        ((), PRESSURE, []),
        ((), PRESSURE | PARTIAL,
         [lacks("hole_diameter", "largest hole in the host (pressure pipe)")]),
        ((), PRESSURE | PARTIAL | {"hole_diameter": "2 in"}, []),
        ((), {"hole_diameter": "2 in"}, [idle("hole_diameter", "2 in", "internal_pressure")]),
        # Above ground
        ((), ABOVE, [
            lacks("internal_pressure", "pipe above ground"),
            *(f'{key} "{PIPE[key]}": no such key for a pipe above ground; remove it ({IN})'
              for key in PIPE if key in BURIED)]),
        ((*BURIED, "ovality"), ABOVE | PRESSURE, []),
        ((*BURIED, "ovality"), ABOVE | PRESSURE | {"vacuum": "3 psi"}, [NO_OVALITY]),
        (BURIED, ABOVE | PRESSURE | {"vacuum": "3 psi"}, []),
        (BURIED, ABOVE | PRESSURE | {"groundwater": "none"}, []),
        # Hosts that are not circular
        ((), {"shape": "egg"}, [
            twice("shape", "host_diameter"),
            lacks("width", 'shape "egg"'), lacks("height", 'shape "egg"')]),
        (("host_diameter", "ovality"), {"shape": "egg", "width": "24 in", "height": "36 in"}, []),
        (("host_diameter", "ovality"), {"shape": "box", "width": "24 in", "height": "36 in"},
         [lacks("corner_radius", 'shape "box"')]),
        (("host_diameter", "ovality"),
         {"shape": "egg", "width": "24 in", "height": "36 in", "corner_radius": "2 in"},
         [idle("corner_radius", "2 in", "shape box or arch")]),
        ((), {"width": "24 in"}, [idle("width", "24 in", "shape")]),
        ((), {"height": "24 in"}, [idle("height", "24 in", "shape")]),
        ((), {"hole_position": "90 deg"}, [idle("hole_position", "90 deg", "hole_arc")]),
    ],
)  # fmt: skip
def test_keys_that_must_or_can_t_stand_together(drop, pipe, said):
    assert faults(drop, pipe) == said


@pytest.mark.parametrize(
    ("criteria", "drop", "good"),
    [
        ({"minimum_ovality": "2 %"}, ("ovality",), True),
        ({"minimum_ovality": "0 %"}, ("ovality",), False),
        ({"defaults": {"ovality": "3 %"}}, ("ovality",), True),
        ({"defaults": {"cover": "9 ft"}}, ("cover",), True),
        ({"defaults": {"cover": "9 ft"}}, (WATER,), False),
    ],
)
def test_the_owners_values_serve_a_pipe_without_its_own(criteria, drop, good):
    assert (faults(drop, {}, criteria=criteria) == []) is good


def test_a_resin_has_an_increment_or_a_list_of_thicknesses():
    resin = RESIN | {"thickness_step": "1.5 mm", "thicknesses": ["6 mm", "9 mm"]}
    with pytest.raises(InputFaults) as found:
        read({"project": {"title": "x"}, "resin": [resin], "pipe": [PIPE]})
    (only,) = found.value.faults
    assert "thickness_step and thicknesses given together" in str(only)
