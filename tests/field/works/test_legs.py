"""Legs of a line against lengths of polygons, areas of walls, and designs of each leg by itself."""

import io
import json

import numpy as np
import openpyxl
import pytest
from office import cell_of, schedule_rows
from pages import Reader
from projects import FELT, LATERAL, toml
from scipy.optimize import bisect

from linerdesign.documents import page, workbook
from linerdesign.interface import read, size
from linerdesign.methods import legs
from linerdesign.project.compliance import requirements
from linerdesign.project.lining import lining

LATERAL = LATERAL | {"tube_diameter": "4 in", "tube_thickness": "3 mm"}


def sized(all_legs, criteria=None, resin=None, **pipe):
    """The sizing of the lateral with these legs."""
    return size(
        read(
            {
                "project": {"title": "Harrowmere laterals"},
                "criteria": criteria or {},
                "resin": [FELT | (resin or {})],
                "pipe": [LATERAL | pipe | {"leg": all_legs}],
            }
        )
    )


def found(all_legs, **tables):
    sizing = sized(all_legs, **tables)
    return sizing, sizing.data["pipes"][0]["legs"]


def polygon(radius, angle):
    """Length of an arc as that of 20,000 chords."""
    turn = np.linspace(0, np.radians(angle), 20_001)
    return np.hypot(np.diff(radius * np.cos(turn)), np.diff(radius * np.sin(turn))).sum()


@pytest.mark.parametrize(("D", "R", "angle"), [(4.0, 8.0, 45.0), (6.0, 9.0, 90.0), (4, 40, 22)])
def test_bend_and_folds_by_lengths_of_polygons(D, R, angle):
    """A strip of wall keeps its volume: its thickness is inverse to its length."""
    middle, outer, inner = (polygon(r, angle) for r in (R, R + D / 2, R - D / 2))
    share = legs.bend_share(D, R)
    assert legs.outside_of_bend(3.0, share) == pytest.approx(3.0 * middle / outer, rel=1e-5)
    assert legs.inside_of_bend(3.0, share) == pytest.approx(3.0 * middle / inner, rel=1e-5)
    excess = legs.excess_length(angle, D)
    assert excess == pytest.approx(middle - inner, rel=1e-5)
    # A fold goes up and comes down again.
    assert 2 * legs.wrinkle_height(excess) == pytest.approx(middle - inner, rel=1e-5)
    wide, narrow = (polygon(each / 2, 360) for each in (D, 0.9 * D))
    assert 2 * legs.fin_height(D, 0.9 * D) == pytest.approx(wide - narrow, rel=1e-5)
    assert legs.circumferential_stretch(D, 0.9 * D) == pytest.approx(100 * (wide / narrow - 1))


def test_four_inch_tube_in_a_six_inch_leg():
    """Area of the wall kept, by bisection: 3 mm leave 1.97 mm, under an owner's 3 mm."""
    sizing, (near, wide) = found(
        [{"at": "0 ft"}, {"at": "20 ft", "host_diameter": "6 in"}],
        criteria={"minimum_thickness": "3 mm"},
    )
    area = 3.0 * (101.6 - 3.0)
    left = bisect(lambda t: t * (152.4 - t) - area, 0.5, 3.0)
    assert round(left, 2) == 1.97
    assert 25.4 * wide["delivered_thickness"]["value"] == pytest.approx(left)
    assert (near["passes"], wide["passes"]) == (True, False)
    assert wide["stretch_percent"] == pytest.approx(50)
    assert any("owner's minimum" in text for text in wide["texts"])
    assert sizing.pipes[0].status == "fails"
    assert not sizing.holds


def test_the_owners_minimum_is_not_met_where_a_leg_is_thinner():
    # 3 mm leave 1.966 mm in a leg of 6 in, by the bisection above.
    for diameter, wall, met in (("4 in", "3 mm", True), ("6 in", "1.966 mm", False)):
        sizing = sized([{"at": "0 ft", "host_diameter": diameter}], {"minimum_thickness": "3 mm"})
        found = {each.name: each for each in requirements(sizing.project, sizing.pipes)}
        least = found["minimum nominal thickness"]
        assert least.used.startswith(wall)
        assert least.met is met


def test_a_leg_is_designed_as_a_pipe_of_its_own():
    """Required thickness and safety factor are those of `size` of the leg by itself."""
    sizing, (leg,) = found([{"at": "20 ft", "host_diameter": "6 in"}])
    alone = LATERAL | {
        "host_diameter": "6 in",
        "design_thickness": f"{leg['least_thickness']['value']!r} in",
    }
    for key in ("tube_diameter", "tube_thickness"):
        del alone[key]
    (same,) = size(read({"project": {"title": "one"}, "resin": [FELT], "pipe": [alone]})).pipes
    assert leg["required_thickness"]["value"] == pytest.approx(same.required_thickness)
    assert leg["safety_factor"] == pytest.approx(same.lowest_safety_factor)
    # The schedule shows the lowest factor of all legs.
    assert sizing.pipes[0].lowest_safety_factor == pytest.approx(same.lowest_safety_factor)


def test_the_outer_side_of_a_bend_is_the_least():
    """3 mm round a bend of 8 in in a 4 in pipe: 3/(1 + 4/16) = 2.4 mm, 4 mm inside."""
    _, (leg,) = found([{"bend": "45 deg", "bend_radius": "8 in"}])
    assert 25.4 * leg["least_thickness"]["value"] == pytest.approx(2.4)
    assert 25.4 * leg["inner_thickness"]["value"] == pytest.approx(4.0)
    assert leg["at"] == "leg 1"
    assert any("wrinkles at the inner side" in text for text in leg["texts"])


def test_the_owners_minimum_holds_at_the_outer_side_of_a_bend():
    """2.4 mm are over the 1.63 mm that X1.1 requires, and under an owner's 2.5 mm."""
    bend = [{"bend": "45 deg", "bend_radius": "8 in"}]
    for minimum, holds in (("2.3 mm", True), ("2.5 mm", False)):
        sizing, (leg,) = found(bend, criteria={"minimum_thickness": minimum})
        assert (leg["passes"], sizing.holds) == (holds, holds)


def test_a_tube_wider_than_the_host_folds():
    """Perimeters: pi (4 - 3) in, half of it up and half down."""
    _, (leg,) = found([{"host_diameter": "3 in"}])
    assert leg["fold_height"]["value"] == pytest.approx(np.pi / 2, rel=1e-5)
    assert leg["delivered_thickness"]["value"] == pytest.approx(3 / 25.4)


def test_the_proposed_tube_serves_every_leg():
    legs_ = [
        {"at": "a"},
        {"at": "b", "host_diameter": "6 in"},
        {"at": "c", "host_diameter": "8 in"},
    ]
    legs_.append({"at": "d", "bend": "90 deg", "bend_radius": "6 in", "host_diameter": "6 in"})
    criteria = {"minimum_thickness": "3 mm"}
    _, before = found(legs_, criteria=criteria)
    tube = before[0]["proposed_tube"]
    assert not all(leg["passes"] for leg in before)
    # In steps of 1.5 mm, and one step less does not serve.
    millimetres = 25.4 * tube["thickness"]["value"]
    assert millimetres / 1.5 == pytest.approx(round(millimetres / 1.5))
    for less, expected in ((0.0, True), (1.5, False)):
        stated = {
            "tube_diameter": f"{tube['diameter']['value']} in",
            "tube_thickness": f"{millimetres - less} mm",
        }
        _, after = found(legs_, criteria=criteria, **stated)
        assert all(leg["passes"] for leg in after) is expected


def test_what_the_data_of_the_system_do_not_allow_fails():
    leg = {"host_diameter": "4.4 in", "temperature": "140 degF"}
    _, (free,) = found([leg])
    assert sum("confirm with the system's data" in text for text in free["texts"]) == 2
    for key, allowed, refused in (
        ("maximum_stretch", "10 %", "9.9 %"),
        ("maximum_temperature", "60 degC", "59 degC"),
    ):
        assert found([leg], resin={key: allowed})[1][0]["passes"] is True
        _, (one,) = found([leg], resin={key: refused})
        assert one["passes"] is False
        assert "exceeds the maximum" in one["texts"][0]


def test_a_tube_without_legs_is_one_leg_of_the_whole_pipe():
    sizing, (leg,) = found([], host_diameter="6 in")
    assert leg["at"] == "whole pipe"
    assert 25.4 * leg["delivered_thickness"]["value"] == pytest.approx(1.966, abs=1e-3)
    assert sizing.pipes[0].status == "fails"


def heads(places, legs_):
    """The groundwater that each leg is designed for, by the thickness that X1.1 requires."""
    water = {"2 ft": 2, "12 ft": 12}
    stations = [{"at": at, "groundwater_above_invert": head} for at, head in places.items()]
    alone = {
        number: found([], host_diameter="4 in", groundwater_above_invert=head)[1][0]
        for head, number in water.items()
    }
    required = {each["required_thickness"]["value"]: head for head, each in alone.items()}
    _, legs_found = found([{"at": at} for at in legs_], station=stations)
    return [required[leg["required_thickness"]["value"]] for leg in legs_found]


def test_a_leg_has_the_values_of_the_stations_along_it():
    """Both ends count: water rises between two stations."""
    places = {"0 ft": "2 ft", "10 ft": "2 ft", "20 ft": "12 ft"}
    assert heads(places, ["0 ft", "10 ft", "20 ft", "30 ft"]) == [2, 12, 12, 12]
    assert heads(places, ["0 ft"]) == [12]


def test_a_leg_of_a_named_station_has_its_values_and_none_is_lost():
    places = {"MH 1": "2 ft", "MH 2": "12 ft"}
    assert heads(places, ["MH 1", "MH 2"]) == [2, 12]
    # A station that no leg names may be in any of them.
    assert heads(places, ["MH 1"]) == [12]
    assert heads(places, ["MH 1", "MH 3"]) == [12, 12]


@pytest.mark.parametrize(
    ("leg", "words"),
    [
        ({"bend": "45 deg"}, "bend_radius"),
        ({"bend_radius": "8 in"}, "bend"),
        ({"bend": "45 deg", "bend_radius": "2 in"}, "half the diameter"),
        ({"bend": "45"}, "leg 1"),
        ({"temperature": "60 mm"}, "temperature"),
        ({"bends": "45 deg"}, "bend"),
    ],
)
def test_impossible_legs_are_refused(run, tmp_path, leg, words):
    text = toml(LATERAL, drop=("cover", "soil_unit_weight", "soil_reaction_modulus", "live_load"))
    body = "\n".join(f'{key} = "{value}"' for key, value in leg.items())
    (tmp_path / "p.toml").write_text(f"{text}\n[[pipe.leg]]\n{body}\n")
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    assert words in err


def test_text_and_json_by_command(run, tmp_path):
    text = toml(LATERAL, drop=("cover", "soil_unit_weight", "soil_reaction_modulus", "live_load"))
    (tmp_path / "p.toml").write_text(text + '\n[[pipe.leg]]\nat = "5 ft"\nhost_diameter = "6 in"\n')
    code, out, _ = run("size", "p.toml", "--json")
    pipe = json.loads(out)["pipes"][0]
    assert (code, pipe["status"]) == (1, "fails")
    keys = {"at", "delivered_thickness", "least_thickness", "required_thickness", "passes", "texts"}
    assert keys <= pipe["legs"][0].keys()
    out = run("size", "p.toml")[1]
    assert "Legs of the line" in out
    assert "at 5 ft: delivered wall" in " ".join(out.split())


def test_random_legs_pass_only_where_their_least_wall_does():
    """Each leg's verdict is that of `size` of its least wall, over random tubes and bends."""
    random = np.random.default_rng(3)
    for _ in range(20):
        diameter = random.uniform(3.5, 8)
        leg = {"host_diameter": f"{diameter} in"}
        if random.random() < 0.5:
            radius = random.uniform(0.8, 4) * diameter
            leg |= {"bend": "45 deg", "bend_radius": f"{radius} in"}
        project = read(
            {
                "project": {"title": "r"},
                "resin": [FELT],
                "pipe": [LATERAL | {"tube_thickness": f"{random.uniform(1, 5)} mm", "leg": [leg]}],
            }
        )
        sizing = size(project)
        (result,) = lining(project, sizing.pipes[0]).legs
        alone = {k: v for k, v in LATERAL.items() if not k.startswith("tube")} | {
            "host_diameter": f"{diameter} in",
            "design_thickness": f"{result.least!r} in",
        }
        (same,) = size(read({"project": {"title": "r"}, "resin": [FELT], "pipe": [alone]})).pipes
        assert result.passes is same.holds


def test_workbook_and_page_show_the_status_that_the_legs_decide():
    """The wall of 3 mm is 2 mm at the outer side of a bend of radius D, under 3 mm of the owner:
    3/(1 + 1/2), by hand. The equations alone pass."""
    bend = {"at": "20 ft", "bend": "90 deg", "bend_radius": "4 in"}
    sizing = sized(
        [{"at": "0 ft"}, bend], {"minimum_thickness": "3 mm", "thickness_step": "0.5 mm"}
    )
    (pipe,) = sizing.pipes
    assert (pipe.status, pipe.places[0].status, pipe.legs.served) == (
        "fails",
        "sized",
        (True, False),
    )
    made = io.BytesIO(workbook.render(sizing.document))
    book = openpyxl.load_workbook(made, data_only=True)
    row = schedule_rows(list(book["Schedule"].values))[0]
    assert row["status"] == cell_of(book, "pipe1_status_with_legs").value == "fails"
    assert 25.4 * cell_of(book, "pipe1_leg2_t_bend_out").value == pytest.approx(2.0)
    found = Reader(page.render(sizing.document).decode())
    (status,) = [
        text for _, each, text in found.all(attribute="data-show") if each["data-show"] == "status"
    ]
    assert status == "fails"
