"""Outlines, arcs and lobes by closed forms: no ring is solved here."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import cumulative_simpson
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq

from linerdesign.methods.outline.curve import outline
from linerdesign.methods.outline.liner import ASIDE, SETTING, Arc, HostedCase, lobe_cases
from linerdesign.methods.outline.shapes import SHAPES, Host, box, circle, named_outline
from linerdesign.methods.ring.case import CONTACT_STIFFNESS, GIVE, HOLDING
from linerdesign.methods.ring.loading import Profile

EGG = named_outline("egg", 600.0, 900.0)
ARCH = named_outline("arch", 1000.0, 1200.0, 150.0)
BOX = named_outline("box", 1000.0, 1500.0, 150.0)
INERTIA = (2 / 40) ** 3 / 12


def lopsided(knots=720, second=0.08, third=0.04):
    """An outline without an axis: a circle with waves of order 2 and 3 out of step."""
    turn = np.linspace(0, 2 * np.pi, 20_000, endpoint=False)
    radius = 1 + second * np.cos(2 * turn - 0.7) + third * np.cos(3 * turn + 0.4)
    points = radius * np.array([np.cos(turn), np.sin(turn)])
    return outline(points.T, "lopsided", knots), points.T


def test_the_spline_is_scipys_periodic_one():
    """Points, first and second derivatives by number of knot, also past the ends."""
    found, _ = lopsided(48)
    closed = np.vstack([found.knots, found.knots[:1]])
    spline = CubicSpline(np.arange(49), closed, bc_type="periodic")
    place = np.linspace(-60, 100, 333)
    for order, values in enumerate(found.at(place)):
        assert values == pytest.approx(spline(place % 48, order), abs=1e-12)
    share = np.linspace(-0.3, 1.3, 50)
    points, normal, curvature = found.along(share)
    slope, bent = (spline(share * 48 % 48, order) for order in (1, 2))
    speed = np.hypot(*slope.T)
    assert points == pytest.approx(spline(share * 48 % 48), abs=1e-12)
    assert normal == pytest.approx(np.column_stack([slope[:, 1], -slope[:, 0]]) / speed[:, None])
    assert curvature == pytest.approx(
        (slope[:, 0] * bent[:, 1] - slope[:, 1] * bent[:, 0]) / speed**3
    )


def test_sizes_of_an_outline_are_those_of_its_polygon():
    """Area and centroid by the shoelace formula on the dense points, perimeter by their sides."""
    found, points = lopsided()
    x, y = points.T
    ahead = np.roll(points, -1, axis=0)
    cross = x * ahead[:, 1] - ahead[:, 0] * y
    area = cross.sum() / 2
    perimeter = np.hypot(*(ahead - points).T).sum()
    assert found.radius == pytest.approx(perimeter / 2 / np.pi)
    assert found.area * found.radius**2 == pytest.approx(area, rel=3e-5)
    # The origin is the centroid of the curve, by equal lengths of it.
    sides = np.hypot(*(ahead - points).T)
    of_curve = (sides @ (points + ahead)) / 2 / perimeter
    of_area = (cross @ (points + ahead)) / 6 / area
    assert found.centre * found.radius == pytest.approx((of_area - of_curve)[1], abs=1e-6)
    assert found.height * found.radius == pytest.approx(np.ptp(y), rel=1e-6)
    assert found.width * found.radius == pytest.approx(np.ptp(x), rel=1e-6)
    assert found.invert * found.radius == pytest.approx(y.min() - of_curve[1], abs=1e-5)
    assert found.step == pytest.approx(2 * np.pi / 720)
    assert found.named == "lopsided"
    assert not found.mirrored
    assert EGG.mirrored
    # The invert comes first, whichever way round and from whichever point the curve was given.
    assert found.knots[0, 1] == pytest.approx(found.invert, abs=1e-6)
    for other in (points[::-1], np.roll(points, 5000, axis=0)):
        assert outline(other).knots == pytest.approx(found.knots, abs=1e-3)


def test_an_outline_is_its_own_mirror_image_to_a_ten_thousandth_of_its_radius():
    """One knot of a circle moved sideways by a hair less, and by a hair more."""
    round_pipe = circle(2.0)
    for moved, mirrored in ((0.996e-4, True), (1.004e-4, False)):
        knots = round_pipe.knots.copy()
        knots[100, 0] += moved
        assert replace(round_pipe, knots=knots).mirrored is mirrored


def test_of_a_level_invert_the_middle_comes_first():
    assert BOX.knots[0, 0] == pytest.approx(0.0, abs=1e-3)
    assert ARCH.knots[0, 0] == pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize(
    "points",
    [
        [[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]],
        [[0.0, 5.0], [1.0, 5.0], [2.0, 5.0]],
        [[5.0, 0.0], [5.0, 1.0], [5.0, 2.0]],
        [[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]],
        [[0.0, 0.0], [1.0, math.nan], [1.0, 0.0]],
    ],
)
def test_points_that_enclose_nothing_are_refused(points):
    with pytest.raises(ValueError, match="enclose no area"):
        outline(np.array(points))


def test_distance_to_a_circle_wherever_the_point_lies():
    """Inside it is positive; the normal points outwards, the curvature is 1."""
    round_pipe = circle(2.0)
    angle = np.linspace(0, 2 * np.pi, 41)
    direction = np.column_stack([np.cos(angle), np.sin(angle)])
    for radius in (0.6, 0.95, 1.0, 1.02):
        distance, normal, curvature = round_pipe.nearest(radius * direction)
        assert distance == pytest.approx(np.full(41, 1 - radius), abs=1e-6)
        assert normal == pytest.approx(direction, abs=1e-4)
        assert curvature == pytest.approx(np.ones(41), abs=1e-3)


def test_the_nearest_point_is_that_of_a_dense_search():
    """Of an outline that has no axis and turns unevenly."""
    found, points = lopsided()
    origin = found.knots[0] * found.radius - points[np.argmin(points[:, 1])]
    dense = (points + origin) / found.radius
    inner = dense[::531] * 0.97
    apart = np.hypot(*(inner[:, None] - dense).T).min(axis=0)
    assert found.nearest(inner)[0] == pytest.approx(apart, abs=1e-4)


def test_named_shapes_by_their_areas_and_heights():
    """Squares less corners, circles and halves: by hand. The egg of the height h widths has an
    invert of r (h - 1), and flanks tangent to both circles: its area by Green's theorem."""
    corner = (1 - math.pi / 4) * 150**2
    assert BOX.area * BOX.radius**2 == pytest.approx(1000 * 1500 - 4 * corner, rel=3e-5)
    arch = 1000 * 700 - 2 * corner + math.pi / 2 * 500**2
    assert ARCH.area * ARCH.radius**2 == pytest.approx(arch, rel=3e-5)
    assert ARCH.height * ARCH.radius == pytest.approx(1200, rel=1e-5)
    assert (BOX.width * BOX.radius, BOX.height * BOX.radius) == pytest.approx(
        (1000, 1500), rel=2e-5
    )
    oval = circle(600.0, 0.05)
    assert oval.area * oval.radius**2 == pytest.approx(math.pi * 315 * 285, rel=3e-5)
    assert oval.width * oval.radius == pytest.approx(630, rel=1e-6)
    egg = named_outline("egg", 600.0, 840.0)
    assert egg.height * egg.radius == pytest.approx(840, rel=1e-5)
    assert egg.width * egg.radius == pytest.approx(600, rel=1e-5)
    low, drop = 300 * 0.4, 840 - 300 - 300 * 0.4
    flank = (drop**2 + 300**2 - low**2) / (2 * (300 - low))
    turns = 2 * math.pi * egg.knots.shape[0] / 720
    assert turns == pytest.approx(2 * math.pi)
    at_invert, at_crown = egg.along(np.array([0.0, 0.5]))[2] / egg.radius
    assert at_invert == pytest.approx(1 / low, rel=1e-3)
    assert at_crown == pytest.approx(1 / 300, rel=1e-3)
    turn = math.atan2(drop, flank - 300)
    middle = (low * (math.pi / 2 - turn) + flank * turn / 2) / (2 * math.pi * egg.radius)
    assert egg.along(np.array([middle]))[2] / egg.radius == pytest.approx(1 / flank, rel=1e-3)


@pytest.mark.parametrize(
    ("shape", "size", "made"),
    [
        ("egg", (600, 751), True),
        ("egg", (600, 750), True),
        ("egg", (600, 749), False),
        ("egg", (600, 1199), True),
        ("egg", (600, 1200), False),
        ("egg", (600, 1201), False),
        ("box", (600, 900, 0.005), True),
        ("box", (600, 900), False),
        ("box", (600, 900, 299.9), True),
        ("box", (600, 900, 300), False),
        ("box", (900, 600, 300), False),
        ("arch", (600, 800, 299.9), True),
        ("arch", (600, 800, 300), False),
        ("arch", (600, 500, 199.9), True),
        ("arch", (600, 500, 200), False),
        ("arch", (600, 800, 0), False),
    ],
)
def test_dimensions_of_shapes_at_their_borders(shape, size, made):
    """An egg between 5/4 and 2; corners under half the least side, or the height of the walls."""
    if made:
        assert named_outline(shape, *size).radius > 0
    else:
        with pytest.raises(ValueError, match="must lie between"):
            named_outline(shape, *size)


@pytest.mark.parametrize("height", [400.0, 500.0])
def test_an_arch_is_higher_than_its_half_circle(height):
    with pytest.raises(ValueError, match="the height must be over half the width"):
        named_outline("arch", 1000.0, height, 0.005)
    assert named_outline("arch", 1000.0, 500.009, 0.005).radius > 0


def test_a_host_has_the_width_as_stated_else_that_of_its_outline():
    assert Host(circle(600.0)).width == pytest.approx(600.0)
    assert Host(circle(600.0, 0.05)).width == pytest.approx(630.0)
    assert Host(circle(600.0), stated_width=601.0).width == 601.0


# Arcs, nodes and lobes


def test_an_arc_holds_each_node_by_the_length_it_takes_of_its_piece():
    """Nodes at every tenth: an arc from 0.27 to 0.53 takes 0.8 of the piece about 0.3, all of that
    about 0.4 and 0.8 of that about 0.5; across the invert it is the same."""
    share = np.arange(10) / 10
    expected = np.zeros(10)
    expected[3:6] = (0.8, 1.0, 0.8)
    assert Arc(0.27, 0.53).holds(share) == pytest.approx(expected)
    around = np.zeros(10)
    around[[9, 0, 1]] = (0.8, 1.0, 0.8)
    assert Arc(0.87, 0.13).holds(share) == pytest.approx(around)
    short = np.zeros(10)
    short[4] = 0.2
    assert Arc(0.41, 0.43).holds(share) == pytest.approx(short)
    uneven = np.array([0.0, 0.1, 0.3, 0.6, 0.8])
    # The piece about 0.3 goes from 0.2 to 0.45: 0.25 to 0.35 are 0.4 of it.
    assert Arc(0.25, 0.35).holds(uneven) == pytest.approx([0, 0, 0.4, 0, 0])


def case(host=EGG, **more):
    given = {"full_ring": True, "elements": 60, "places": (0.2,)} | more
    return HostedCase(40.0, 0.005, 0.0, 0.02, host=host, **given)


def test_nodes_of_a_circle_are_evenly_spaced_and_those_of_a_box_closer_at_its_corners():
    """The density is half even, half by the curvature: a quarter of a box of 1000 by 1500 with
    corners of 150 has as much of the turn in 235.6 mm of corner as lies in all 1121 mm of it."""
    assert case(circle(2.0))._shares() == pytest.approx(np.arange(120) / 120, abs=1e-6)
    half = case(circle(2.0), full_ring=False)._shares()
    assert half == pytest.approx(np.linspace(0, 0.5, 61), abs=1e-6)
    shares = case(BOX, elements=2000)._shares()
    quarter = 2 * math.pi * BOX.radius / 4
    corner = 150 * math.pi / 2
    before = (500 - 150) / quarter / 4
    inside = ((shares > before) & (shares < before + corner / quarter / 4)).mean()
    assert inside == pytest.approx((corner / quarter / 2 + 0.5) / 4, rel=0.02)


def test_nodes_of_an_oval_are_even_in_the_mean_of_turn_and_length():
    """The turn up to a node by the normal of the host there, which sets out downwards."""
    oval = circle(2.0, 0.2)
    share = case(oval)._shares()
    _, normal, _ = oval.along(share)
    turn = np.unwrap(np.arctan2(normal[:, 0], -normal[:, 1])) / (2 * np.pi)
    assert (turn + share) / 2 == pytest.approx(np.arange(120) / 120, abs=2e-5)


def test_nodes_lie_at_both_ends_of_what_is_missing():
    """At every second of 240, which a ring of half the elements has too."""
    arc = Arc(0.4131, 0.5873)
    for elements, every in ((60, 1), (120, 2), (240, 4)):
        share = case(circle(2.0), elements=elements, missing=arc)._shares()
        kept = share[::every]
        for end in (arc.start, arc.end):
            assert np.abs(kept - end).min() < 1e-12
        assert np.all(np.diff(share) > 0)
        half_way = np.interp(0.5, share, np.arange(share.size)) / share.size
        assert half_way == pytest.approx(0.5, abs=0.005)
    # Ends at nodes leave all of them where they are.
    there = case(circle(2.0), missing=Arc(33 / 120, 71 / 120))._shares()
    assert there == pytest.approx(np.arange(120) / 120, abs=1e-6)
    # Shorter than an element: left as it was.
    tiny = case(circle(2.0), missing=Arc(0.5, 0.501))._shares()
    assert tiny == pytest.approx(np.arange(120) / 120, abs=1e-6)
    across = case(circle(2.0), missing=Arc(0.9531, 0.0477))._shares()
    assert np.abs(across % 1.0 - 0.9531).min() < 1e-12
    assert np.abs(across % 1.0 - 0.0477).min() < 1e-12
    # Nearest to an end just before the invert is the node there.
    before = case(circle(2.0), missing=Arc(0.4131, 0.9985))._shares()
    assert before[0] % 1.0 == pytest.approx(0.9985, abs=1e-12)
    assert np.abs(before - 0.4131).min() < 1e-12


@pytest.mark.parametrize("ovality", [0.0, 0.15])
def test_the_stress_free_shape_is_a_gap_and_bulges_off_the_host(ovality):
    """Distance by the outline itself: gap and half the wall, and the whole bulge at its place. The
    tangent is that of the shape's own points, by differences."""
    host = circle(2.0, ovality)
    made = case(host, elements=2000, places=(0.27, 0.6))
    shape, share = made.ring().shape, made._shares()
    offset = 0.005 + 0.5 * made.thickness
    expected = np.full(4000, offset)
    half = made.bulge_half_angle / (2 * np.pi)
    for place in made.places:
        apart = np.abs(share - place)
        expected += np.where(apart < half, 0.02 * np.cos(np.pi * apart / half / 2) ** 2, 0.0)
    assert host.nearest(shape.points)[0] == pytest.approx(expected, abs=1e-5)
    ahead = np.roll(shape.points, -1, 0) - np.roll(shape.points, 1, 0)
    chord = np.arctan2(ahead[:, 1], ahead[:, 0])
    turned = (shape.tangents - chord + np.pi) % (2 * np.pi) - np.pi
    assert np.abs(turned).max() < 5e-4


def test_the_bed_is_weak_and_stiffer_where_a_load_could_carry_the_liner_off():
    """A tenth of a third of the stiffness of the ring upright, or sideways where it floats."""
    profile = Profile((-1.0, 1.0), (1.0, 0.0))
    weak, steady = HOLDING * INERTIA, 0.3 * INERTIA
    assert case()._holding() == pytest.approx((weak, weak))
    assert case(profile=profile)._holding() == pytest.approx((weak, steady))
    assert case(profile=profile, buoyant=True)._holding() == pytest.approx((steady, weak))


def test_the_host_gives_and_is_missing_where_it_is_not():
    """Contact in series with the give of half the wall; springs as they are; none in an opening."""
    made = case(circle(2.0))
    rigid = 1 / (1 / (CONTACT_STIFFNESS * made.thickness) + GIVE * made.thickness)
    assert made.ring().contact.stiffness == pytest.approx(rigid)
    assert replace(made, springs=0.7).ring().contact.stiffness == 0.7
    open_ = replace(made, missing=Arc(0.4, 0.6)).ring()
    held = open_.contact.stiffness / rigid
    assert held.min() == 0.0
    assert held.max() == pytest.approx(1.0)
    weights = np.asarray(held).mean()
    assert weights == pytest.approx(0.8, abs=0.01)
    assert not made.ring().contact.both_ways
    assert replace(made, springs=0.7, both_ways=True).ring().contact.both_ways
    softening = made.contact_softening * made.glock / made.thickness
    assert made.ring().contact.softening == pytest.approx(softening)


def test_set_grout_fills_the_gap_under_its_top_and_thins_out_below_it():
    made = case(circle(2.0), set_to=0.2)
    ring = made.ring()
    height = ring.shape.points[:, 1]
    filled = ring.contact.filled
    assert filled[height < 0.2 - SETTING] == pytest.approx(0.005)
    assert filled[height > 0.2] == pytest.approx(0.0)
    between = (height > 0.2 - SETTING) & (height < 0.2)
    assert between.any()
    assert filled[between] == pytest.approx(0.005 * (0.2 - height[between]) / SETTING)
    assert case(circle(2.0)).ring().contact.filled == 0.0


@pytest.mark.parametrize("host", [EGG, ARCH])
def test_forces_of_a_liner_held_by_its_wall_balance(host):
    """What it weighs and what the water lifts come out at nothing, without a moment about the
    centre of the area; one that floats keeps both."""
    profile = Profile((host.invert, host.invert + 5.0), (1.0, 0.0))
    wall = case(host, profile=profile, weight=3.0)
    ring = wall.ring()
    weight = 3.0 * wall.thickness * ring.tributary.sum()
    forces = ring.loading.forces
    assert forces[:, 0] == pytest.approx(0.0)
    assert ring.loading.lift(ring.shape.points) == pytest.approx(0.0, abs=1e-12)
    floating = replace(wall, buoyant=True).ring().loading
    assert floating.forces[:, 1] == pytest.approx(-3.0 * wall.thickness * ring.tributary)
    left = floating.lift(ring.shape.points)
    # Archimedes: the water's unit weight is a fifth of the greatest pressure, over 5 radii.
    angle = ring.shape.tangents
    face = ring.shape.points + 0.5 * wall.thickness * np.array([np.sin(angle), -np.cos(angle)]).T
    x, y = face.T
    area = 0.5 * np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)
    assert left + weight == pytest.approx(area / 5.0)
    assert forces[:, 1].sum() == pytest.approx(-weight - left)
    spread = wall._spread_over(ring)
    assert spread.sum() == pytest.approx(1.0)
    assert spread @ ring.shape.points[:, 1] == pytest.approx(host.centre)
    assert case(host).ring().loading is None
    assert case(host, weight=3.0).ring().loading is not None


def test_lobes_lie_in_the_middle_of_the_longest_flats_and_once_on_each_side():
    """Of a box of 1000 by 1500 the sides, then top and bottom, off their middle by `ASIDE`; an egg
    has its flanks by its arcs, an upright side of an arch goes from 500 to 1150 mm along it."""
    found = lobe_cases(BOX)
    assert found[0] == (pytest.approx(0.25, abs=1e-6),)
    assert found[1] in ((pytest.approx(0.5 + ASIDE, abs=1e-6),), (pytest.approx(ASIDE, abs=1e-6),))
    assert found[2] == pytest.approx((0.25, 0.75), abs=1e-6)
    flank = 600 - 300 + 600
    low, turn = 150.0, math.atan2(450.0, 600.0)
    length = flank * turn
    start = low * (math.pi / 2 - turn)
    perimeter = 2 * math.pi * EGG.radius
    (side,), (left, right) = lobe_cases(EGG)
    # The window of a bulge reaches over the ends of the flank into rounder arcs on either side.
    assert side == pytest.approx((start + length / 2) / perimeter, abs=0.01)
    assert (left, right) == (side, pytest.approx(1 - side))
    (floor,), (wall,), pair = lobe_cases(ARCH)
    perimeter = 2 * math.pi * ARCH.radius
    assert floor == pytest.approx(ASIDE, abs=1e-6)
    middle = 350 + 150 * math.pi / 2 + (700 - 150) / 2
    # The corner below pushes it up: it turns faster than the crown above.
    assert 0 < wall - middle / perimeter < 0.015
    assert pair == (wall, pytest.approx(1 - wall))
    assert lobe_cases(circle(1.0)) == ((ASIDE,),)


def test_a_flat_counts_by_its_length_squared_and_the_pressure_on_it():
    """Top and sides alike but for water on the lower ones: a square box, deep or hardly under."""
    square = named_outline("box", 1000.0, 1000.0, 150.0)
    deep = Profile((square.invert, square.invert + square.height), (1.0, 0.0))
    first, *_ = lobe_cases(square, deep)
    assert first == (pytest.approx(ASIDE, abs=1e-6),)
    wide = named_outline("box", 1100.0, 1000.0, 150.0)
    # Half the pressure at the sides and none at the top; 850^2 / 2 is less than 850^2.
    assert lobe_cases(wide, deep)[0] == (pytest.approx(ASIDE, abs=1e-6),)
    assert lobe_cases(wide, deep)[1] == (pytest.approx(0.25, abs=0.002),)
    # Of sides two thirds longer than the invert, half their square is more than its square.
    tall = named_outline("box", 900.0, 1300.0, 150.0)
    deep = Profile((tall.invert, tall.invert + tall.height), (1.0, 0.0))
    assert lobe_cases(tall, deep)[0] == (pytest.approx(0.25, abs=0.002),)


def test_a_host_is_flat_from_a_quarter_less_curvature_on():
    """Of an oval pipe at its invert, averaged over a bulge of 40 degrees, cos^2 from its middle, as
    far as 10 of 720 knots on either side: by SciPy, which has the ovality of the border. The window
    comes to nothing a knot beyond the bulge."""
    angle = np.linspace(-np.pi / 2, 3 * np.pi / 2, 40_001)
    reach = 41 / 720

    def mean(ovality):
        a, b = 1 + ovality, 1 - ovality
        speed = np.hypot(a * np.sin(angle), b * np.cos(angle))
        share = cumulative_simpson(speed, x=angle, initial=0)
        radius = share[-1] / (2 * np.pi)
        share /= share[-1]
        share = (share - 10 / 720 + 0.5) % 1 - 0.5
        weight = np.where(np.abs(share) < reach, np.cos(np.pi * share / reach / 2) ** 2, 0) * speed
        return radius * a * b * (weight / speed**3).sum() / weight.sum()

    border = brentq(lambda ovality: mean(ovality) - 0.75, 0.01, 0.2)
    assert lobe_cases(circle(1.0, 0.9985 * border)) == ((ASIDE,),)
    flats = lobe_cases(circle(1.0, 1.0015 * border))
    assert sorted(place for (place,) in flats) == pytest.approx([ASIDE, 0.5 + ASIDE])


def test_a_host_without_an_axis_has_its_two_longest_flats():
    found, _ = lopsided(720, 0.01, 0.09)
    places = lobe_cases(found)
    assert all(len(each) == 1 for each in places)
    assert len(places) == 2


@pytest.mark.parametrize("full", [False, True])
def test_a_drift_of_the_whole_liner_is_no_inward_movement(full):
    """All nodes of a circle move inwards by 0.01 and the whole of it away by some of that; half a
    ring can't drift sideways."""
    made = case(circle(2.0), full_ring=full, places=())
    ring = made.ring()
    angle = ring.shape.tangents
    moved = -0.01 * np.column_stack([np.sin(angle), -np.cos(angle), 0 * angle])
    moved += [0.004 if full else 0.0, -0.007, 0.0]
    number = ring.numbers.of_nodes
    vector = np.zeros(ring.numbers.unknowns)
    vector[number[number >= 0]] = moved[number >= 0]
    found = made.moved_inwards(ring, vector)
    assert found == pytest.approx(np.full(len(angle), 0.01), abs=1e-8)


def test_a_lobe_near_the_axis_lies_a_little_off_it():
    """A roof that falls by 76 mm over 1,500: its middle lies 38 mm short of half way round, which
    are 0.8 % of the perimeter; one that falls by 152 mm has it 1.6 % from there, far enough."""
    for fall, aside in ((76.0, ASIDE), (152.0, 0.0)):
        x, y = box(1500.0, 1000.0, 150.0).T
        high = np.where(y > 0, y * (1 - fall / 500 * (x + 750) / 1500), y)
        host = outline(np.column_stack([x, high]))
        short = fall / 2 / (2 * math.pi * host.radius)
        places = [place for (place,) in lobe_cases(host)]
        assert min(abs(each - (0.5 - short + aside)) for each in places) < 1e-3


@pytest.mark.parametrize(
    ("shape", "low", "top"), [("box", -0.75, 0.75), ("arch", 0.0, 1.5), ("egg", -1.0, 0.5)]
)
def test_the_right_half_of_a_shape_runs_from_the_middle_of_its_invert_to_that_of_its_crown(
    shape, low, top
):
    """1 by 1.5; an egg has its origin on the springline."""
    points = SHAPES[shape](1.0, 1.5, 0.2)
    half = points[: len(points) // 2]
    assert half[0] == pytest.approx([0.0, low], abs=1e-12)
    assert half[-1] == pytest.approx([0.0, top], abs=1e-12)
    assert points[len(points) // 2 :] == pytest.approx(half[::-1] * [-1, 1])
    # It climbs all the way, and goes outwards up to its side and inwards from there.
    assert np.diff(half[:, 1]).min() > -1e-12
    outwards = np.diff(half[:, 0])
    side = half[:, 0].max() - 1e-12
    assert outwards[: np.argmax(half[:, 0] >= side)].min() > -1e-12
    assert outwards[len(half) - np.argmax(half[::-1, 0] >= side) :].max() < 1e-12
    assert half[:, 0].max() == pytest.approx(0.5, abs=1e-12)
