"""At an edge, every datum of the same pipe leads to the same branch, range, row and status.

The datums differ in the last binary digits: 5.6 ft less 3.6 ft is not quite 2 ft. The numbers
that are one are so by arithmetic on paper, noted beside each edge.
"""

from fractions import Fraction

import polars as pl
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from projects import RESIN, sized

from linerdesign.expressions.tree import Comparison, Number, Symbol, evaluate, tolerant, widened
from linerdesign.interface import InputFaults, read, size_rows

FULL = {
    "condition": "fully deteriorated",
    "ovality": "2 %",
    "soil_unit_weight": "120 pcf",
    "soil_reaction_modulus": "1000 psi",
    "live_load": "none",
}
PARTIAL = {"condition": "partially deteriorated", "ovality": "2 %"}
BY_DEPTH = {"soil_reaction_modulus": "SM, 90 %"}
# Covers in feet at which a rule, a table or a band begins or ends.
COVERS = [
    *((FULL | {"live_load": "1.75 H rule"}, cover) for cover in (1, 2, 3)),
    (FULL | {"live_load": "HL-93"}, 2),
    *((FULL | {"live_load": "H-20 table"}, cover) for cover in (1, 8)),
    *((FULL | {"live_load": "E-80 table"}, cover) for cover in (2, 30)),
    (FULL | {"live_load": "airport table"}, 24),
    *((FULL | BY_DEPTH, cover) for cover in (5, 10, 15, 20)),
]
DROP = ("cover", "groundwater_above_invert", "soil_unit_weight", "soil_reaction_modulus")
FOOT = Fraction("0.3048")
# An example is a design by a dozen datums: a smaller one is not worth its time.
AT_ONCE = (Phase.explicit, Phase.generate)


def found(pipe, system, dry_case=True):
    """What a reader sees of a design that an edge could change; thicknesses in mm."""
    drop = ("ovality", "live_load", *DROP)
    criteria = {"dry_case": dry_case}
    result = sized(units=system, pipe=pipe, criteria=criteria, drop=drop)
    scale = 25.4 if system == "US" else 1.0
    return (
        result.status,
        result.governing,
        round(result.nominal_thickness * scale, 6),
        round(result.required_thickness * scale, 6),
        tuple(note.code for note in result.notes if note.severity != "default"),
    )


def covers(feet, diameter, level):
    """The same cover over a host, in inches, by each datum; `level` is that of the invert."""
    depth = feet + Fraction(diameter, 12)
    yield {"cover": f"{float(feet)!r} ft"}
    yield {"cover": f"{float(feet * FOOT)!r} m"}
    yield {"cover": f"{float(feet * 12)!r} in"}
    yield {"invert_depth": f"{float(depth)!r} ft"}
    yield {"invert_depth": f"{float(depth * FOOT)!r} m"}
    up, down = f"{float(level + depth)!r} ft", f"{float(level)!r} ft"
    yield {"ground_elevation": up, "invert_elevation": down}


@pytest.mark.parametrize(("pipe", "edge"), COVERS)
@settings(max_examples=3, phases=AT_ONCE)
@given(
    diameter=st.integers(8, 60),
    level=st.integers(0, 9000).map(lambda tenth: Fraction(tenth, 10)),
    beside=st.sampled_from([0, 0, Fraction(1, 10**6), Fraction(-1, 10**6)]),
)
def test_a_cover_is_the_same_by_every_datum(pipe, edge, diameter, level, beside):
    host = pipe | {"host_diameter": f"{diameter} in", "groundwater": "none"}
    feet = edge + beside
    outside = (beside < 0 and edge in (1, 2)) or (beside > 0 and edge in (20, 24))
    if (outside and pipe["live_load"] != "none") or (outside and edge == 20):
        return  # a table that does not reach there refuses the pipe, by every datum
    sites = list(covers(feet, diameter, level))
    for system in ("US", "SI"):  # whose printed constants differ
        assert len({found(host | site, system) for site in sites}) == 1


@settings(max_examples=15, phases=AT_ONCE)
@given(
    diameter=st.integers(200, 1800),
    depth=st.integers(20, 90).map(lambda tenth: Fraction(tenth, 10)),
    level=st.integers(0, 3000).map(lambda tenth: Fraction(tenth, 10)),
    dry_case=st.booleans(),
)
def test_no_head_is_no_head_by_every_datum(diameter, depth, level, dry_case):
    """Groundwater at the invert: the DR limit holds, whatever the datum; found as 1.5 mm for 12."""
    host = PARTIAL | {"host_diameter": f"{diameter} mm"}
    rise = Fraction(diameter, 1000)
    sites = [
        {"groundwater": "none"},
        {"groundwater_above_invert": "0 m"},
        {"groundwater_above_crown": f"{float(-rise)!r} m"},
        {"groundwater_below_surface": f"{float(depth)!r} m", "invert_depth": f"{float(depth)!r} m"},
        {
            "groundwater_below_surface": f"{float(depth)!r} m",
            "cover": f"{float(depth - rise)!r} m",
        },
        {
            "groundwater_elevation": f"{float(level)!r} m",
            "invert_elevation": f"{float(level)!r} m",
        },
        {
            "groundwater_below_surface": f"{float(depth)!r} m",
            "ground_elevation": f"{float(level + depth)!r} m",
            "invert_elevation": f"{float(level)!r} m",
        },
    ]
    seen = {found(host | site, system, dry_case)[:4] for site in sites for system in ("US", "SI")}
    assert len(seen) == 1
    assert next(iter(seen))[1] == "DR limit"


@pytest.mark.parametrize("diameter", [12, 15, 21, 33])
def test_an_ovality_of_ten_percent_is_the_same_by_every_datum(diameter):
    """10 % of D: 1.1 D, 0.9 D."""
    host = {"condition": "partially deteriorated", "host_diameter": f"{diameter} in"}
    host |= {"groundwater_above_invert": "6 ft"}
    most, least = Fraction(diameter * 11, 10), Fraction(diameter * 9, 10)
    sites = [
        {"ovality": "10 %"},
        *(
            {key: f"{float(size * unit)!r} {name}"}
            for key, size in (("maximum_diameter", most), ("minimum_diameter", least))
            for unit, name in ((1, "in"), (Fraction("25.4"), "mm"), (Fraction("0.0254"), "m"))
        ),
    ]
    for system in ("US", "SI"):
        (seen,) = {found(host | site, system) for site in sites}
        assert seen[0] == "sized"


@pytest.mark.parametrize("extreme", ["maximum_diameter", "minimum_diameter"])
@pytest.mark.parametrize("size", ["300 mm", "30 cm", "0.3 m", "0.984251968503937 ft"])
def test_no_ovality_is_none_by_every_datum(size, extreme):
    """0.3 m over 0.3048 is 0.984251968503937 ft: no fraction was written as a percentage."""
    host = {"condition": "partially deteriorated", "host_diameter": "300 mm"}
    host |= {"groundwater_above_invert": "6 ft"}
    for system in ("US", "SI"):
        assert found(host | {extreme: size}, system) == found(host | {"ovality": "0 %"}, system)


@pytest.mark.parametrize("host", ["4 in", "101.6 mm", "0.1016 m", "0'-4\""])
@pytest.mark.parametrize(
    "wall", ["2 in", "50.8 mm", "0.0508 m", "0.16666666666666666 ft", "0'-2\""]
)
def test_a_wall_of_half_the_host_leaves_no_bore(host, wall):
    """4 in less twice 2 in is nothing, in every unit; found as checked in some of them."""
    pipe = PARTIAL | {"host_diameter": host, "groundwater": "none", "design_thickness": wall}
    for system in ("US", "SI"):
        with pytest.raises(InputFaults, match="no bore"):
            found(pipe, system)


@pytest.mark.parametrize("system", ["US", "SI"])
@pytest.mark.parametrize(("pipe", "edge"), COVERS)
def test_an_inventory_finds_the_same_as_a_project(pipe, edge, system):
    tables = {"project": {"title": "x"}, "criteria": {}, "resin": [RESIN]}
    units = {"cover": "ft", "invert_depth": "ft", "ovality": "%"}
    units |= {"soil_unit_weight": "pcf", "host_diameter": "in"}
    for site in ({"cover": edge * 1.0}, {"invert_depth": edge + 4.3}):
        row = {**pipe, "host_diameter": 51.6, "groundwater": "none", **site, "ovality": 2}
        row["soil_unit_weight"] = 120
        header = {key: f"{key} [{unit}]" for key, unit in units.items()}
        header |= {"soil_reaction_modulus": "soil_reaction_modulus [psi]"}
        header |= {"live_load": "live_load [psi]"}
        cells = {
            header.get(key, key): [str(cell).removesuffix(" psi")] for key, cell in row.items()
        }
        (out,) = size_rows(pl.DataFrame(cells), read(tables, needs_pipes=False), system).to_dicts()
        alone = found(
            pipe | {"host_diameter": "51.6 in", "groundwater": "none"} | _text(site), system
        )
        assert out["message"] is None or "internal" not in out["message"]
        assert (out["status"], out["governing"]) == alone[:2]
        assert out["nominal_thickness [mm]"] == pytest.approx(alone[2], rel=1e-9)


def _text(site):
    return {key: f"{value!r} ft" for key, value in site.items()}


@pytest.mark.parametrize("operator", ["<", "<=", ">", ">="])
@pytest.mark.parametrize("bound", [2.0, -2.0])
def test_equal_numbers_are_equal_in_every_comparison(operator, bound):
    """Evaluated as it is and with its bound moved, as workbook and page have it."""
    node = Comparison(operator, Symbol("x"), Number(bound))
    for noise in (-4e-16, 0.0, 4e-16):
        value = {"x": bound * (1 + noise)}
        assert evaluate(node, value) == operator.endswith("=")
        moved = widened(node)
        assert (moved.right.value > bound) == (operator in ("<=", ">"))
    assert tolerant(Comparison(operator, Symbol("x"), Number(0.0)))
