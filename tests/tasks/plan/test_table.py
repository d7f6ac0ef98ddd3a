"""Planning tables of pipes whose stations differ, and what is refused, by hand and by `size`."""

import pytest
from projects import sized, toml

from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse
from linerdesign.tasks.plan import table as tables
from linerdesign.tasks.plan.request import CONDITIONS, Request, planned

FULLY = CONDITIONS[1:]
STIFF = {"flexural_modulus": "1200000 psi", "flexural_strength": "40000 psi"}


def plan(axes, stations=(), conditions=FULLY, system="US", resin=None, criteria=None, **pipe):
    pipe |= {"station": list(stations)} if stations else {}
    read = parse(toml(pipe, resin, criteria).encode())
    return planned(read, Request(None, [], conditions, *axes), system)


def entry(*given, **named):
    (table,) = plan(*given, **named).tables
    (found,) = table.entries.values()
    return found


def test_places_of_another_kind_are_checked_at_the_wall_that_the_pipe_gets():
    """E' from a table by depth at one station, a weak one stated at the other: of two bases.

    By itself the strong soil would leave the DR limit to govern, which is told of a wall."""
    axes = ["12 in"], ["8 ft"], ["7 ft"]
    terms = {"resin": STIFF, "criteria": {"thickness_step": "0.1 mm"}, "live_load": "none"}
    strong = {"at": "a", "soil_reaction_modulus": "clean gravel, 90 % compaction"}
    weak = {"at": "b", "soil_reaction_modulus": "50 psi"}
    alone = entry(axes, [strong], **terms)
    assert (alone.governing, len(alone.notes)) == ("DR limit", 1)
    lead = entry(axes, [weak], **terms)
    assert lead.governing == "X1.3"
    for stations in ([strong, weak], [weak, strong]):
        both = entry(axes, stations, **terms)
        assert both == lead
        assert (both.station, both.notes) == ("b", ())


def test_a_finding_names_the_stations_that_it_is_about_where_others_are_not():
    """Over 10 % of ovality at the first of three stations; at all of them it names none."""
    axes = ["12 in"], ["8 ft"], ["9 ft"]
    gravel = {"soil_reaction_modulus": "clean gravel, 90 % compaction"}
    oval = {"ovality": "12 %"}
    about = "ovality over 10 %, the largest distortion covered by Appendix X1"
    one = entry(axes, [{"at": "a", **oval}, {"at": "b", **gravel}, {"at": "c"}])
    assert (one.status, one.notes) == ("outside the method", (f"{about} (at a)",))
    two = entry(axes, [{"at": "a", **oval}, {"at": "b", **gravel}, {"at": "c", **oval}])
    assert two.notes == (f"{about} (at a, c)",)
    other = entry(axes, [{"at": "a"}, {"at": "b", **gravel, **oval}, {"at": "c"}])
    assert (other.status, other.notes) == ("outside the method", (f"{about} (at b)",))
    every = entry(axes, [{"at": "a", **oval}, {"at": "b", **gravel, **oval}])
    assert every.notes == (about,)


def test_a_station_of_one_kind_that_fails_fails_the_cell():
    """In the sizes there are; the whole pipe is then as bad as its worst station."""
    resin = {"thicknesses": ["3 mm", "4.5 mm"]}
    gravel = {"soil_reaction_modulus": "clean gravel, 90 % compaction"}
    axes = ["8 in"], ["8 ft"], ["7 ft"]
    for stations in (
        [{"at": "a", **gravel}, {"at": "b", "soil_reaction_modulus": "50 psi"}],
        [{"at": "b", "soil_reaction_modulus": "50 psi"}, {"at": "a", **gravel}],
    ):
        found = entry(axes, stations, resin=resin)
        assert (found.status, found.station, found.nominal) == ("fails", "b", 4.5)
    assert entry(axes, [{"at": "a", **gravel}], resin=resin).status != "fails"


@pytest.mark.parametrize("system", ["US", "SI"])
def test_axes_in_mixed_units_are_what_size_gives(system):
    """A foot is 0.3048 m, an inch 25.4 mm; the first value of an axis has another unit."""
    made = plan((["200 mm", "12 in"], ["3 m", "12 ft"], ["1.2 m", "9 ft"]), system=system)
    (table,) = made.tables
    assert len(table.entries) == 8
    for (water, cover, diameter), found in table.entries.items():
        pipe = {"host_diameter": diameter, "cover": cover, "groundwater_above_invert": water}
        single = sized(system, pipe=pipe)
        per = 25.4 if system == "US" else 1.0
        assert found.required == pytest.approx(per * single.required_thickness, rel=1e-9)
        assert found.nominal == pytest.approx(per * single.nominal_thickness, rel=1e-9)
    values = tables.values_over(table.places, made.axes)
    inches = {"US": [200 / 25.4, 12], "SI": [200, 304.8]}[system] * 4
    assert values["D"][:, 0] == pytest.approx(inches)
    assert values["D"].shape == (8, 1)


SLOPE = [
    {"at": "a", "invert_elevation": "100 ft", "ground_elevation": "112 ft"},
    {"at": "b", "invert_elevation": "99 ft", "ground_elevation": "111 ft"},
    {"at": "c", "invert_elevation": "99.5 ft", "ground_elevation": "111 ft"},
]


def sloping(*waters):
    pipe = {"station": SLOPE, "groundwater_elevation": "108 ft"}
    text = toml(pipe, drop=("cover", "groundwater_above_invert"))
    return planned(parse(text.encode()), Request(None, [], (), ["8 in"], ["9 ft"], waters), "US")


def test_water_at_the_lowest_invert_is_not_under_it():
    assert len(sloping("99 ft", "105 ft").tables[0].entries) == 2
    with pytest.raises(InputFaults) as found:
        sloping("98.9 ft", "99.2 ft", "30 m")
    first, second = map(str, found.value.faults)
    # 30 m are 98.4 ft.
    assert "98.9 ft" in first
    assert "30 m" in second
    assert "lowest 99 ft" in first


@pytest.mark.parametrize(("most", "refused"), [(24, False), (23, True)])
def test_cells_of_every_table_count(monkeypatch, most, refused):
    """Two diameters by three covers by two depths of water in both conditions are 24 cells."""
    monkeypatch.setattr(tables, "MOST_CELLS", most)
    axes = ["8 in", "12 in"], ["5 ft", "6 ft", "7 ft"], ["1 ft", "2 ft"]
    if refused:
        with pytest.raises(InputFaults, match="more than 23 cells"):
            plan(axes, conditions=CONDITIONS)
    else:
        assert plan(axes, conditions=CONDITIONS).holds


@pytest.mark.parametrize(
    ("status", "holds"),
    [("sized", True), ("checked", True), ("fails", False), ("outside the method", False)],
)
def test_a_plan_holds_where_every_cell_does(status, holds):
    made = plan((["8 in"], ["9 ft"], ["3 ft"]), conditions=CONDITIONS)
    first, last = made.tables
    (key,) = last.entries
    changed = tables.replace(last, entries={key: tables.replace(last.entries[key], status=status)})
    assert tables.replace(made, tables=(first, changed)).holds is holds


@pytest.mark.parametrize("stations", [(), ({"at": "a"}, {"at": "b", "ovality": "3 %"})])
def test_a_hole_wider_than_a_host_of_the_table_is_told_once_by_cell(stations):
    """A hole of 6 in is in no host of 4 in."""
    pressed = {
        "condition": "partially deteriorated", "host_diameter": "12 in",
        "internal_pressure": "20 psi", "hole_diameter": "6 in",
    }  # fmt: skip
    axes = ["8 in", "4 in"], ["9 ft"], ["3 ft", "5 ft"]
    resin = {"tensile_strength": "3 ksi"}
    with pytest.raises(InputFaults) as found:
        plan(axes, stations, CONDITIONS[:1], resin=resin, **pressed)
    told = sorted(map(str, found.value.faults))
    assert len(told) == 2
    for each, water in zip(told, ("3 ft", "5 ft"), strict=True):
        assert f"planning table at {water}, 9 ft, 4 in, hole_diameter" in each
        assert "6 in" in each
    assert len(plan((["8 in"], *axes[1:]), stations, CONDITIONS[:1], resin=resin, **pressed).tables)
