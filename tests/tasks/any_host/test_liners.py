"""A liner in its host as the model takes it, by hand in both unit systems; nothing is solved."""

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest

from linerdesign.findings import Severity
from linerdesign.methods.outline.liner import ASIDE
from linerdesign.methods.outline.shapes import Host, circle, named_outline
from linerdesign.tasks.any_host import broken, grouting, liners, shaped
from linerdesign.tasks.any_host.liners import Liner, NoOpinionError
from linerdesign.tasks.second_opinion.opinion import Place

VALUES = {
    "E_plane": 100_000.0,
    "sigma_L": 2000.0,
    "P": 4.0,
    "N": 2.0,
    "nu": 0.3,
    "h_invert": 10.0,
    "E": 200_000.0,
    "sigma": 4000.0,
}
ROUND = Host(circle(40.0))
EGG = Host(named_outline("egg", 24.0, 36.0))
BOX = Host(named_outline("box", 36.0, 48.0, 6.0), 36.0, 6.0)


def liner(host=ROUND, system="US", **more):
    values = VALUES | more.pop("values", {})
    given = {"gap": 0.005, "bulge": 0.02, "allowed": 0.03} | more
    return Liner(system, host, (), (), values, **given)


def test_demand_over_the_modulus_and_the_radius():
    """4 psi and 2,000 psi over 100,000 psi; 3 % of a width of 40 in, over 20 in."""
    demand = liner().demand
    assert (demand.pressure, demand.strength, demand.safety_factor) == (4e-5, 0.02, 2.0)
    assert demand.deflection == pytest.approx(0.06)
    assert liner().deflection == pytest.approx(1.2)
    assert liner(EGG).deflection == pytest.approx(0.03 * 24, rel=1e-4)


@pytest.mark.parametrize(("system", "unit"), [("US", 12.0), ("SI", 1000.0)])
def test_water_stands_in_radii_over_the_invert(system, unit):
    """10 ft are 120 in, 10 m are 10,000 mm; a vacuum of 1 of 4 is there at the top, too."""
    profile = liner(system=system).profile
    low, high = profile.levels
    assert low == pytest.approx(-1, abs=1e-4)
    assert high - low == pytest.approx(10 * unit / 20, rel=1e-4)
    assert profile.shares == (1.0, 0.0)
    assert liner(system=system, values={"P_v": 1.0}).profile.shares == (1.0, 0.25)
    assert liner(values={"h_invert": 0.0}).profile is None
    assert liner(values={"h_invert": 0.001}).profile is not None


def test_the_middle_of_the_wall_has_its_thickness_as_a_radius_in_a_corner():
    """gap + t/2 + t = corner: t = (6 - 0.005 R)/1.5, and DR is at least 10 anywhere."""
    assert liner().least_ratio == 10.0
    made = liner(BOX)
    thickest = (6 - 0.005 * made.radius) / 1.5
    assert made.least_ratio == pytest.approx(max(10.0, 2 * made.radius / thickest))
    sharp = Host(BOX.outline, 36.0, 2.0)
    thickest = (2 - 0.005 * made.radius) / 1.5
    assert liner(sharp).least_ratio == pytest.approx(2 * made.radius / thickest)
    assert liner(sharp).least_ratio > 10
    assert liner(replace(sharp, corner=0.05)).least_ratio > 1e9


def test_a_case_of_the_liner():
    """DR 40 to begin with, or a tenth over the least; of a wall of 1 in, 40."""
    made = liner(weight=0.04, buoyant=True, values={"nu": 0.25})
    case = made.case()
    assert (case.dimension_ratio, case.gap, case.imperfection) == (40.0, 0.005, 0.02)
    assert (case.poisson, case.elements, case.full_ring) == (0.25, 60, True)
    assert case.profile == made.profile is not None
    assert case.weight == pytest.approx(0.04 * 20 / 4)
    assert case.buoyant
    assert case.host is ROUND.outline
    assert case.ovality == 0
    assert liner().case(1.6).dimension_ratio == pytest.approx(25, rel=1e-4)
    sharp = liner(Host(BOX.outline, 36.0, 1.0))
    assert sharp.case().dimension_ratio == pytest.approx(1.1 * sharp.least_ratio)
    one, two = liner(EGG).cases(0.5)
    assert (one.full_ring, two.full_ring) == (True, False)
    assert one.places == two.places
    # An egg is flattest at its sides, and the water there is deeper than at the crown.
    (place,) = one.places
    assert 0.1 < place < 0.4
    assert one.dimension_ratio == pytest.approx(2 * liner(EGG).radius / 0.5)


def test_a_cubic_inch_and_a_cubic_millimetre_of_wall_by_their_density():
    """1728 in3 to the ft3; 9.81 N/kg and 1e9 mm3 to the m3."""
    assert liners.WEIGHT["US"] * 1728 == pytest.approx(1)
    assert liners.WEIGHT["SI"] == pytest.approx(9.81 / 1e9)
    pipe = SimpleNamespace(own_weight=True)
    density = SimpleNamespace(to=lambda unit: 75.0)
    assert liners._weight(pipe, density, "US") == pytest.approx(75 / 1728)
    assert liners._weight(SimpleNamespace(own_weight=False), None, "US") == 0.0
    with pytest.raises(NoOpinionError) as refused:
        liners._weight(pipe, None, "US")
    assert refused.value.reason.code == "hosts.no_density"


# Openings


def test_an_opening_lies_clockwise_from_the_crown():
    """Shares of the perimeter go anticlockwise from the invert: 90 deg are a quarter, 45 deg of arc
    are an eighth of it; the bulge lies 6 % of the perimeter beyond its end, or at the invert."""
    beside, invert = broken._beside(liner(), 45.0, 90.0)
    assert (beside.missing.start, beside.missing.end) == (0.25 - 0.0625, 0.25 + 0.0625)
    assert beside.places == (pytest.approx(0.25 + 0.0625 + 0.06),)
    assert invert.places == (ASIDE,)
    at_invert, _ = broken._beside(liner(), 45.0, 180.0)
    assert (at_invert.missing.start, at_invert.missing.end) == (1 - 0.0625, 0.0625)
    left, _ = broken._beside(liner(), 10.0, 270.0)
    middle = left.missing.start + 5 / 360
    assert middle == pytest.approx(0.75)
    for arc, refused in ((60.1, True), (200.0, True)):
        with pytest.raises(NoOpinionError) as said:
            broken.opening(liner(), arc, 0.0)
        assert ("outside the range" in said.value.reason.said) is refused


# Sharp corners and flat sides


def test_a_flat_side_has_two_thirds_of_the_wall_of_a_clamped_strip():
    """Clamped, p L^2/(2 t^2) is the stress: t = L sqrt(N P/(2 s))."""
    made = liner(BOX)
    strip = 36.0 * math.sqrt(2 * 4 / (2 * 2000))
    assert shaped._by_flat_side(made) == pytest.approx(strip / 1.5)
    assert shaped._by_flat_side(liner()) is None


def test_a_wall_too_thick_for_its_corner_is_refused_with_the_radius_it_needs():
    made = liner(Host(BOX.outline, 36.0, 2.0))
    limit = 2 * made.radius / made.least_ratio
    shaped._refuse_sharp(made, 0.999 * limit)
    shaped._refuse_sharp(made, None)
    shaped._refuse_sharp(liner(), 100.0)
    with pytest.raises(NoOpinionError) as refused:
        shaped._refuse_sharp(made, 1.001 * limit)
    numbers = dict(refused.value.reason.numbers)
    assert (numbers["radius"], numbers["unit"]) == (2.0, "in")
    assert numbers["least"] == pytest.approx(2.0, rel=0.01)


def test_a_wall_just_as_thick_as_its_corner_bears_is_not_refused():
    """A diameter of 40 in over a ratio of 10 is 4 in; it needs 0.1 + 1.5 x 4.5 in for 4.5 in."""
    made = SimpleNamespace(
        host=SimpleNamespace(corner=1.0), radius=20.0, least_ratio=10.0, gap=0.005, system="US"
    )
    shaped._refuse_sharp(made, 4.0)
    with pytest.raises(NoOpinionError) as refused:
        shaped._refuse_sharp(made, 4.5)
    assert dict(refused.value.reason.numbers)["least"] == pytest.approx(6.85)


def test_a_refused_result_says_what_it_missed(monkeypatch):
    """Halving the elements may change a pressure by 2 %, the energy by 1 %."""
    mesh = shaped.refusal(shaped.NotConvergedError("mesh"))
    assert "changes the pressure by more than 2 %" in mesh.said
    assert (mesh.severity, mesh.station) == (Severity.OUTSIDE, None)
    energy = shaped.refusal(shaped.NotConvergedError("energy_balance"))
    assert "differ by more than 1 %" in energy.said
    monkeypatch.setitem(shaped._MOST, "mesh", 0.0174)
    assert "than 1.7 %" in shaped.refusal(shaped.NotConvergedError("mesh")).said
    held = SimpleNamespace(
        case=SimpleNamespace(full_ring=True, elements=60), mesh=-0.004, energy=-0.002
    )
    assert shaped.convergence(held) == pytest.approx({"elements": 120, "mesh": -0.4, "energy": 0.2})
    half = SimpleNamespace(**{**vars(held), "case": SimpleNamespace(full_ring=False, elements=60)})
    assert shaped.convergence(half)["elements"] == 60


# Grouting


@pytest.fixture
def tried(monkeypatch):
    """The cases that a stage is tried in, and what it demands; the first holds the least."""
    asked = []

    def held(case, demand):
        asked.append((case, demand))
        return SimpleNamespace(decides=SimpleNamespace(pressure=len(asked) * 1e-4))

    monkeypatch.setattr(grouting, "held", held)
    return asked


def grouted(*heights, host=ROUND):
    depth = SimpleNamespace
    return SimpleNamespace(
        grout=[
            depth(
                height=SimpleNamespace(to=lambda unit, h=h: h),
                density=SimpleNamespace(to=lambda unit: 120.0),
            )
            for h in heights
        ]
    )


def test_stages_rise_and_press_by_their_depth_with_the_initial_modulus(tried):
    """120 lb/ft3 over 1 ft are 120/144 psi, over 2 ft more twice that; a pipe of 40 in is 3.333 ft
    high. E* is 200,000/(1 - 0.3^2), the strength 4,000 psi."""
    made = liner(thickness=1.0)
    first, second = grouting.stages(made, grouted(1.0, 3.0))
    assert (first.bottom, first.top, second.bottom, second.top) == (0.0, 1.0, 1.0, 3.0)
    assert (first.pressure, second.pressure) == pytest.approx((120 / 144, 240 / 144))
    modulus = 200_000 / (1 - 0.3**2)
    assert second.share == pytest.approx(240 / 144 / modulus)
    case, demand = tried[0]
    assert demand.pressure == pytest.approx(120 / 144 / modulus)
    assert demand.strength == pytest.approx(4000 / modulus)
    assert (demand.most, case.elements, case.set_to) == (3.0, 80, None)
    low, high = case.profile.levels
    assert (low, high) == pytest.approx((-1, -1 + 12 / 20), abs=1e-3)
    assert case.profile.shares == (1.0, 0.0)
    assert case.places == (ASIDE,)
    assert case.dimension_ratio == pytest.approx(40, rel=1e-3)
    # The second stage lies on set grout, its bulges half way up it, on one side and on both.
    one, both = (each for each, _ in tried[1:])
    ramp, low, high = one.profile.levels
    assert (ramp, low, high) == pytest.approx((-0.42, -0.4, -1 + 36 / 20), abs=1e-3)
    # The pressure on set grout ends over 2 % of the radius.
    assert low - ramp == pytest.approx(0.02)
    assert one.profile.shares == (0.0, 1.0, 0.0)
    assert one.set_to == pytest.approx(-0.4, abs=1e-3)
    (place,) = one.places
    assert -math.cos(2 * math.pi * place) == pytest.approx((low + high) / 2, abs=5e-3)
    assert (one.full_ring, both.full_ring) == (True, False)
    assert (first.factor, second.factor) == pytest.approx((1e-4 / first.share, 2e-4 / second.share))


@pytest.mark.parametrize(
    ("heights", "refused"),
    [
        ((40 / 12,), False),
        ((3.4,), True),
        ((3.335,), True),
        ((1.0, 1.0), True),
        ((2.0, 1.0), True),
        ((1.0, 2.0, 3.0), False),
    ],
)
def test_stages_that_do_not_rise_to_the_crown_at_most_are_refused(tried, heights, refused):
    made = liner(thickness=1.0)
    if not refused:
        assert len(grouting.stages(made, grouted(*heights))) == len(heights)
        return
    with pytest.raises(NoOpinionError) as said:
        grouting.stages(made, grouted(*heights))
    numbers = dict(said.value.reason.numbers)
    assert numbers["unit"] == "ft"
    assert numbers["height"] == pytest.approx(40 / 12, rel=1e-4)


def test_a_stage_without_a_result_has_no_factor(monkeypatch):
    def lost(case, demand):
        raise grouting.NotConvergedError("mesh")

    monkeypatch.setattr(grouting, "held", lost)
    (stage,) = grouting.stages(liner(thickness=1.0), grouted(1.0))
    assert stage.at is stage.factor is None
    assert "changes the pressure" in stage.reason.said


def test_a_circular_pipe_that_has_been_designed_is_taken_over():
    """Deflection of 3 % as a share; values of the station before those of the pipe, 0 for none."""
    place = Place("9 ft", 40.0, 4.0, 100_000.0, 2000.0, 0.3, 0.02, 0.01, 0.015)
    own = {("h_invert", "9 ft"): 11.0, ("h_invert", None): 10.0, ("N", None): 2.0}
    result = SimpleNamespace(
        basis=SimpleNamespace(system="US"),
        value=lambda key, station=None: own.get((key, station)),
        nominal_thickness=0.8,
    )
    pipe = SimpleNamespace(
        maximum_deflection=SimpleNamespace(to=lambda unit: 3.0), own_weight=False, buoyancy=True
    )
    project = SimpleNamespace(resin_of=lambda pipe: SimpleNamespace(density=None))
    found = liners.of_circular(project, pipe, result, place)
    assert found.allowed == 0.03
    assert (found.system, found.gap, found.bulge, found.buoyant) == ("US", 0.01, 0.015, True)
    assert (found.thickness, found.weight) == (0.8, 0.0)
    assert (found.number("h_invert"), found.number("N"), found.number("P_v")) == (11.0, 2.0, 0.0)
    assert (found.number("P"), found.number("E_plane")) == (4.0, 100_000.0)
    assert (found.number("sigma_L"), found.number("nu")) == (2000.0, 0.3)
    outline = found.host.outline
    assert outline.width / outline.height == pytest.approx(1.02 / 0.98, rel=1e-5)
    heavy = SimpleNamespace(**{**vars(pipe), "own_weight": True})
    dense = SimpleNamespace(
        resin_of=lambda pipe: SimpleNamespace(density=SimpleNamespace(to=lambda unit: 75.0))
    )
    assert liners.of_circular(dense, heavy, result, place).weight == pytest.approx(75 / 1728)
    weak = liners.of_circular(project, pipe, result, replace(place, strength=None))
    assert weak.number("sigma_L") == 0.0
