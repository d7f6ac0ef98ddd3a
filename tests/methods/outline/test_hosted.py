"""Liners in hosts of any shape: against today's ring, strips, links, Archimedes and statics."""

import math
from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from methods.outline.links import Chain, distance_inside, distance_inside_egg
from scipy.integrate import quad
from scipy.optimize import brentq

from linerdesign.methods.outline import equations as forms
from linerdesign.methods.outline.liner import Arc, HostedCase, lobe_cases
from linerdesign.methods.outline.shapes import circle, named_outline
from linerdesign.methods.outline.thickness import by_limit, held, required
from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.contact import Cavity
from linerdesign.methods.ring.loading import Loading, Profile
from linerdesign.methods.ring.path import Path, Scale
from linerdesign.methods.ring.ring import Ring
from linerdesign.methods.ring.shape import Shape
from linerdesign.methods.ring.solving import solve
from linerdesign.methods.ring.strength import Demand, Limit, resistance

EGG = named_outline("egg", 600.0, 900.0)
BOX = named_outline("box", 1000.0, 1500.0, 150.0)
MATERIAL = 15.5 / 947.3  # long-term strength over modulus in plane strain


def hydrostatic(invert, head):
    """Water that stands so high over the invert, as shares of its pressure there."""
    return Profile((invert, invert + head), (1.0, 0.0))


def test_the_standard_egg_has_its_printed_area_and_perimeter():
    """1.1485 B^2 and 3.965 B for the 3:2 egg of hydraulic handbooks, from memory."""
    assert EGG.area * EGG.radius**2 == pytest.approx(1.1485 * 600**2, rel=1e-4)
    assert 2 * math.pi * EGG.radius == pytest.approx(3.965 * 600, rel=1e-4)
    assert EGG.height * EGG.radius == pytest.approx(900, rel=1e-5)


def test_box_and_arch_have_the_perimeter_of_their_lines_and_arcs():
    round_corners = 2 * (1000 + 1500) - (8 - 2 * math.pi) * 150
    assert 2 * math.pi * BOX.radius == pytest.approx(round_corners, rel=1e-5)
    arch = named_outline("arch", 1000.0, 1200.0, 150.0)
    by_hand = 2 * (500 - 150) + math.pi * 150 + 2 * (700 - 150) + math.pi * 500
    assert 2 * math.pi * arch.radius == pytest.approx(by_hand, rel=1e-5)


@pytest.mark.parametrize(
    ("shape", "size"),
    [("egg", (600, 1300)), ("box", (600, 600, 300)), ("arch", (600, 400, 150)), ("box", (6, 9, 0))],
)
def test_dimensions_that_make_no_such_shape_are_refused(shape, size):
    with pytest.raises(ValueError, match="must lie between"):
        named_outline(shape, *size)


def test_distance_to_an_ellipse_is_that_of_its_equation():
    """The closed form of the symmetric ring: Newton's method on the ellipse itself."""
    outline = named_outline("ellipse", 2.1, 1.9)
    cavity = Cavity(1.05 / outline.radius, 0.95 / outline.radius)
    angle = np.linspace(0.0, 2.0 * np.pi, 77)
    points = 0.96 * cavity.wall(angle)
    limits = (2e-6, 2e-4, 2e-3)
    for found, exact, near in zip(
        outline.nearest(points), cavity.nearest(points), limits, strict=True
    ):
        assert found == pytest.approx(exact, abs=near)


@pytest.mark.parametrize("full", [False, True])
def test_a_circle_is_the_symmetric_ring(full):
    """The same liner by the ring in its ellipse of today: pressure within 0.01 %."""
    known = solve(Case(50.0, 0.005, 0.0, 0.02))
    case = HostedCase(50.0, 0.005, 0.0, 0.02, host=circle(1.0), full_ring=full)
    assert solve(case).limit.pressure == pytest.approx(known.limit.pressure, rel=1e-4)


def test_an_ellipse_is_the_symmetric_ring():
    """Radius by perimeter and opening by arc differ from today's in the second order: 0.2 %."""
    known = solve(Case(40.0, 0.005, 0.03, 0.02))
    found = solve(HostedCase(40.0, 0.005, 0.0, 0.02, host=circle(1.0, 0.03), full_ring=True))
    assert found.limit.pressure == pytest.approx(known.limit.pressure, rel=2e-3)


def test_two_lobes_are_stronger_than_one_by_glock():
    """Glock 1977 for k lobes, k^0.4 = 1.32 for two of a perfect ring. The model comes to 1.25 with
    a bulge of 0.5 % and nearer, 1.27, with 0.2 %."""
    fallen = Demand(1e-9, 1.0, None, 1.0).enough

    def ratio(bulge):
        case = HostedCase(50.0, 0.0, 0.0, bulge, host=circle(1.0))
        one, two = (solve(replace(case, places=p), None, fallen) for p in ((0.5,), (0.25, 0.75)))
        return two.limit.pressure / one.limit.pressure

    assert 0.94 * 2**0.4 < ratio(0.005) < ratio(0.002) < 2**0.4


def test_gradient_and_second_derivatives_are_those_of_the_energy():
    """Central differences, with water of some depth, weight, contact and an opening."""
    case = HostedCase(
        40.0,
        0.01,
        0.0,
        0.02,
        host=EGG,
        elements=16,
        full_ring=True,
        places=(0.185,),
        profile=hydrostatic(EGG.invert, 0.9 * EGG.height),
        weight=3.0,
        missing=Arc(0.4, 0.6),
        set_to=-0.5,
        contact_softening=0.1,
    )
    ring, pressure, step = case.ring(), 0.3, 1e-6
    vector = 0.02 * np.random.default_rng(0).normal(size=ring.numbers.unknowns)
    assert ring.touching(vector).any()

    def potential(where):
        energies = ring.energies(where)
        return energies.stored + pressure * energies.area

    def gradient(where):
        there = ring.state(where, pressure)
        return there.force + pressure * there.load

    moves = step * np.eye(len(vector))
    slope = [(potential(vector + m) - potential(vector - m)) / (2 * step) for m in moves]
    assert gradient(vector) == pytest.approx(np.array(slope), abs=1e-8)
    band, width = ring.state(vector, pressure).band, ring.numbers.bandwidth
    for column, move in enumerate(moves):
        curve = (gradient(vector + move) - gradient(vector - move)) / (2 * step)
        for row in range(max(0, column - width), min(len(vector), column + width + 1)):
            assert band[width + row - column, column] == pytest.approx(curve[row], abs=1e-6)


def test_water_lifts_a_liner_by_what_it_displaces():
    """Archimedes: unit weight times the area within the outer face."""
    head = 3.0 * EGG.height
    case = HostedCase(50.0, 0.005, host=EGG, full_ring=True, profile=hydrostatic(EGG.invert, head))
    ring, none = case.ring(), np.zeros((2 * case.elements, 2))
    shape = ring.shape
    water = Loading(case.profile, 0.5 * case.thickness, shape.tangents, ring.numbers.ends, none)
    outer = shape.points + 0.5 * case.thickness * np.column_stack(
        [np.sin(shape.tangents), -np.cos(shape.tangents)]
    )
    x, y = outer.T
    area = 0.5 * np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)
    assert water.lift(shape.points) == pytest.approx(area / head, rel=1e-6)
    assert area == pytest.approx(EGG.area - 2 * math.pi * case.gap, rel=0.005)


# Strips under uniform pressure


def strip(span, thickness, clamped, count=40):
    """A flat strip of the ring's elements between ends that do not move, pressed from below up."""
    points = np.column_stack([np.linspace(0.0, span, count + 1), np.zeros(count + 1)])
    fixed = (0, 1, 2) if clamped else (0, 1)
    shape = Shape(points, np.zeros(count + 1), False, fixed)
    return Ring(shape, thickness, 0.3, False, (0.0, 0.0), None)


def middle_under(ring, pressure, reference):
    """Deflection of the middle under this p/E*, on the path from no pressure."""
    path = Path(ring, Scale(ring.thickness, reference))
    path.start()
    assert path.follow(lambda points: points[-1].pressure >= pressure) == ""
    before, after = path.points[-2:]
    point = path.crossing(before, after, lambda at: at.pressure / pressure - 1.0)
    return abs(ring.numbers.spread(point.vector)[len(ring.shape.points) // 2, 1])


@pytest.mark.parametrize(("clamped", "share"), [(True, 1 / 384), (False, 5 / 384)])
def test_small_deflections_of_a_strip_are_those_of_beam_theory(clamped, share):
    """p L^4/(384 E I) clamped, five times that pinned; shear adds under 0.1 % at L/t 100."""
    span, thickness = 2.0, 0.02
    inertia = thickness**3 / 12
    pressure = 0.02 * thickness * inertia / (share * span**4)
    found = middle_under(strip(span, thickness, clamped), pressure, pressure)
    assert found == pytest.approx(share * pressure * span**4 / inertia, rel=2e-3)


def cylindrical_bending(pressure, span, thickness, clamped):
    """Middle deflection of a long strip with immovable ends by von Karman's equation.

    D w'''' - S w'' = p has a closed solution for a pull S; the pull is the one whose strain lets
    the ends keep their distance: S L/(E* t) is half the integral of w'^2. E* is 1.
    """
    rigidity = thickness**3 / 12

    def slope(x, pull):
        """dw/dx, x from the middle."""
        k, half = math.sqrt(pull / rigidity), 0.5 * span
        free = pressure * x / pull
        if clamped:
            return -free + pressure * half / pull * math.sinh(k * x) / math.sinh(k * half)
        return -free + pressure / (pull * k) * math.sinh(k * x) / math.cosh(k * half)

    def excess(pull):
        bowed = 0.5 * quad(lambda x: slope(x, pull) ** 2, -0.5 * span, 0.5 * span)[0]
        return bowed - pull * span / thickness

    pull = brentq(excess, 1e-6 * rigidity, 1e4 * rigidity)
    return quad(lambda x: -slope(x, pull), 0.0, 0.5 * span)[0]


@pytest.mark.parametrize("clamped", [True, False])
@pytest.mark.parametrize("load", [1.0, 5.0, 30.0])
def test_large_deflections_of_a_strip_are_von_karmans(clamped, load):
    """Up to three thicknesses; rotations stay small, as that theory takes them."""
    span, thickness = 2.0, 0.02
    share = 1 / 384 if clamped else 5 / 384
    pressure = load * thickness * thickness**3 / 12 / (share * span**4)
    exact = cylindrical_bending(pressure, span, thickness, clamped)
    small = share * pressure * span**4 * 12 / thickness**3
    assert exact < small
    found = middle_under(strip(span, thickness, clamped), pressure, pressure)
    assert found == pytest.approx(exact, rel=5e-3)


@pytest.mark.parametrize("load", [0.2, 2.0])
def test_the_printed_forms_of_a_flat_side_are_beam_theory(load):
    thickness, span, modulus = 12.0, 700.0, 947.0
    bending = load * span**2 / 12
    assert forms.flat_stress(load, span, thickness) == pytest.approx(6 * bending / thickness**2)
    deflection = load * span**4 / (384 * modulus * thickness**3 / 12)
    assert forms.flat_deflection(load, span, modulus, thickness) == pytest.approx(deflection)


# Another discretisation


@pytest.mark.parametrize(
    ("host", "place", "ratio", "pressure"),
    [(EGG, 0.19, 40.0, 2.2e-5), (BOX, 0.25, 40.0, 1e-5)],
    ids=["egg", "box"],
)
def test_a_chain_of_links_moves_as_far(host, place, ratio, pressure):
    """Links without rotations, second derivatives by differences, contact with arcs or a polygon:
    inward movement within 1 %, at two thirds of the wall's resistance or so."""
    case = HostedCase(
        ratio,
        0.0,
        0.0,
        0.02,
        poisson=0.0,
        host=host,
        places=(place,),
        full_ring=True,
        elements=80,
        pressure_on="middle surface",
    )
    solution = solve(case, None, Demand(pressure, 1.0, None, 1.0, most=1.01).enough)
    point = solution.point_at_pressure(pressure)
    assert point is not None
    ring = case.ring()
    if host is EGG:
        distance = partial(
            distance_inside_egg, width=600.0 / EGG.radius, crown=EGG.knots[:, 1].max()
        )
    else:
        polygon = host.along(np.linspace(0.0, 1.0, 1440, endpoint=False))[0]
        distance = partial(distance_inside, polygon=polygon)
    chain = Chain(ring.shape.points, case.thickness, distance, 1000.0 * case.thickness)
    moved = chain.solve(np.linspace(0.05, 1.0, 20) * pressure)
    outward = np.column_stack([np.sin(ring.shape.tangents), -np.cos(ring.shape.tangents)])
    weight = ring.tributary / ring.tributary.sum()
    inward = np.max(-np.sum((moved - weight @ moved) * outward, axis=1))
    assert case.inward(ring, point) == pytest.approx(inward, rel=0.01)


# Convergence, thickness, springs, openings


def demand(pressure=3.1e-5, host=EGG):
    return Demand(pressure, 2.0, MATERIAL, 0.03 * host.width)


def egg(ratio, **more):
    profile = hydrostatic(EGG.invert, 3.0 * EGG.height)
    about = {"host": EGG, "places": (0.188,), "full_ring": True, "elements": 60}
    return HostedCase(ratio, 0.005, 0.0, 0.02, profile=profile, **(about | more))


def test_the_mesh_does_not_matter():
    """Pressure of the deciding limit with 80, 120 and 240 elements: 0.6 % and 0.3 %."""
    found = [held(egg(36.0, elements=n), demand()).decides.pressure for n in (40, 60, 120)]
    assert found[0] == pytest.approx(found[2], rel=0.006)
    assert found[1] == pytest.approx(found[2], rel=0.003)


def test_the_bed_that_steadies_a_liner_does_not_matter(monkeypatch):
    """Ten times weaker: under 0.7 %."""
    strong = held(egg(36.0), demand()).decides.pressure
    monkeypatch.setattr("linerdesign.methods.outline.liner.STEADYING", 0.03)
    HostedCase.ring.cache_clear()
    weak = held(egg(36.0), demand()).decides.pressure
    HostedCase.ring.cache_clear()
    assert weak == pytest.approx(strong, rel=0.007)


def test_at_the_thickness_found_every_limit_holds_and_one_just_so():
    asked = demand()
    case, found = required([egg(40.0)], asked)
    at = held(case, asked)
    assert at.decides.pressure == pytest.approx(2.0 * asked.pressure, rel=1e-4)
    assert at.decides.limit is found.limit
    assert at.movement < asked.deflection
    assert at.stress < asked.strength / 2 * (1 + 1e-4)
    ratios = by_limit(at, asked)
    assert min(ratio for ratio in ratios.values() if ratio) == pytest.approx(
        case.dimension_ratio, rel=1e-3
    )


def test_a_box_is_governed_by_deflection_and_moves_as_far_as_allowed():
    asked = demand(2e-5, BOX)
    case = HostedCase(40.0, 0.005, 0.0, 0.02, host=BOX, places=(0.25,), full_ring=True, elements=60)
    case, found = required([case], asked)
    assert found.limit is Limit.DEFLECTION
    assert held(case, asked).movement == pytest.approx(asked.deflection, rel=1e-3)


def test_lobes_are_sought_in_the_flats():
    """The flanks of an egg, the sides of a box first, since they are the longest."""
    assert lobe_cases(EGG) == (
        (pytest.approx(0.188, abs=0.01),),
        pytest.approx((0.188, 0.812), abs=0.01),
    )
    assert lobe_cases(BOX)[0] == (pytest.approx(0.25, abs=0.01),)
    assert len(lobe_cases(circle(1.0))) == 1


def test_a_ring_on_springs_both_ways_buckles_at_the_closed_form():
    """Least over n of (n^2 - 1) E I/R^3 + k R/(n^2 - 1): the tangent stiffness of the round ring
    is singular there. The springs carry a share of the hoop force, k R^2/(E t) to 1 of it."""
    ratio, waves = 60.0, 4
    thickness = 2.0 / ratio
    inertia, radius = thickness**3 / 12.0, 1.0 - 0.5 * thickness
    stiffness = inertia * (waves**2 - 1) ** 2
    case = HostedCase(
        ratio, 0.0, 0.0, 0.0, poisson=0.0, host=circle(2.0), springs=stiffness, both_ways=True
    )
    ring = case.ring()
    closed = min(
        (n * n - 1) * inertia / radius**3 + stiffness * radius / (n * n - 1) for n in range(2, 12)
    )
    continuous = 2.0 * math.sqrt(stiffness * inertia) / radius
    assert closed == pytest.approx(continuous, rel=0.05)
    path = case.path()
    path.start()
    path.follow(lambda points: bool(path.unstable_directions(points[-1])) or len(points) > 80)
    before, after = path.points[-2].pressure, path.points[-1].pressure
    carried = 1.0 + stiffness * radius**2 / thickness
    assert before * 0.97 < closed * carried < after * 1.03
    assert ring.contact.both_ways


def test_x1_3_is_the_ring_on_springs_of_k_s_and_the_modulus_of_reaction():
    """sqrt(32 Rw B' E's E I/D^3) by hand, and 2 sqrt(k E I)/R with k = Rw B' E's/R: the same."""
    share, soil, modulus, ratio = forms.spring_share(0.846, 0.414), 6.9, 862.0, 57.0
    assert share == pytest.approx(0.846 * 0.414)
    found = forms.spring_buckling(share, soil, modulus, ratio)
    D, t = 600.0, 600.0 / 57.0
    inertia = t**3 / 12
    assert found == pytest.approx(math.sqrt(32 * share * soil * modulus * inertia / D**3))
    k = share * soil / (D / 2)
    assert found == pytest.approx(2 * math.sqrt(k * modulus * inertia) / (D / 2))
    assert forms.spring_factor(found, 2.0) == pytest.approx(found / 2)


def test_springs_that_do_not_pull_carry_less():
    """A ring pressed away from them by water: under the closed form, over the free ring."""
    thickness = 2.0 / 50.0
    inertia, radius = thickness**3 / 12.0, 1.0 - 0.5 * thickness
    stiffness = inertia * 8.0**2
    case = HostedCase(50.0, 0.0, 0.0, 0.005, host=circle(2.0), springs=stiffness)
    found = solve(case).limit.pressure
    assert 3.0 * inertia / radius**3 < found < 2.0 * math.sqrt(stiffness * inertia) / radius


def test_an_opening_takes_strength_and_none_takes_nothing():
    round_pipe = circle(600.0)
    about = {"host": round_pipe, "full_ring": True, "elements": 40}
    whole = HostedCase(40.0, 0.005, 0.0, 0.02, places=(0.643,), **about)
    asked = Demand(2e-5, 2.0, MATERIAL, 0.06)
    plain = held(whole, asked).decides.pressure
    nothing = held(replace(whole, missing=Arc(0.5, 0.5 + 1e-9)), asked).decides.pressure
    assert nothing == pytest.approx(plain, rel=1e-6)
    wide = replace(whole, missing=Arc(0.417, 0.583), elements=60)
    assert resistance(solve(wide, asked.strength, asked.enough), asked).pressure < 0.9 * plain


@pytest.mark.parametrize("degrees", [20.0, 40.0, 75.0])
def test_where_an_opening_ends_between_elements_does_not_matter(degrees):
    """Nodes lie at both ends for all elements and for half of them: they agree within 0.5 %."""
    half = degrees / 720.0
    case = HostedCase(
        45.0,
        0.005,
        0.0,
        0.02,
        host=circle(600.0),
        full_ring=True,
        elements=120,
        places=(0.5 + half + 0.06,),
        missing=Arc(0.5 - half, 0.5 + half),
    )
    assert abs(held(case, Demand(2e-5, 2.0, MATERIAL)).mesh) < 0.005


def test_links_move_as_far_at_an_opening():
    """A bulge in the middle of 60 deg without a host, two thirds of the way to collapse."""
    case = HostedCase(
        40.0,
        0.0,
        0.0,
        0.01,
        poisson=0.0,
        host=circle(2.0),
        full_ring=True,
        elements=120,
        pressure_on="middle surface",
        missing=Arc(5 / 12, 7 / 12),
    )
    solution, ring = solve(case), case.ring()
    pressure = 0.67 * solution.limit.pressure
    held_by = 1.0 - case.missing.holds(np.arange(240) / 240)

    def distance(points):
        radius = np.hypot(*points.T)
        return 1.0 - radius, points / radius[:, None], 1.0 / radius

    chain = Chain(ring.shape.points, case.thickness, distance, 1000.0 * case.thickness * held_by)
    moved = chain.solve(np.linspace(0.05, 1.0, 20) * pressure)
    outward = np.column_stack([np.sin(ring.shape.tangents), -np.cos(ring.shape.tangents)])
    weight = ring.tributary / ring.tributary.sum()
    inward = np.max(-np.sum((moved - weight @ moved) * outward, axis=1))
    found = case.inward(ring, solution.point_at_pressure(pressure))
    assert found == pytest.approx(inward, rel=0.02)


def test_an_arc_counts_the_wall_within_it():
    share = np.arange(40) / 40
    for arc in (Arc(0.4, 0.6), Arc(0.95, 0.05), Arc(0.41, 0.433)):
        opens = (arc.end - arc.start) % 1.0
        assert arc.holds(share).sum() / 40 == pytest.approx(opens)


def test_sizes_of_a_host_and_pressures_of_grout_by_hand():
    """A circle has the diameter of its own perimeter; 120 lb/ft3 over 3 ft are 2.5 psi, 1800 kg/m3
    over 0.5 m are 8.83 kPa; 3 % of 600 mm are 18 mm."""
    assert forms.equal_diameter(math.pi * 600.0) == pytest.approx(600.0)
    assert forms.allowed_deflection(3.0, 600.0) == pytest.approx(18.0)
    assert forms.grout_pressure_us(120.0, 3.0) == pytest.approx(2.5)
    assert forms.grout_pressure_si(1800.0, 0.5) == pytest.approx(0.008829)
