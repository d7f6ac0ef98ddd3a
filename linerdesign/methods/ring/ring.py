"""The ring: its potential energy as a chain of curved beam elements, with two derivatives.

Lengths are in radii of the host's mean circle, stresses in plane-strain moduli E* = E/(1 - nu^2).
A node has three unknowns: two displacements and the rotation of its section. Inside an element the
middle line is a cubic over the moving chord, so rotations may be large; the axial strain comes from
the length of the cubic and not of the chord, which keeps coarse rings from stiffening.

Pressure on a closed ring has a potential, pressure times enclosed area. The outer face lies at half
the wall thickness outside the middle line, so its area follows from that of the middle line:
follower pressure on the outer face is exact at the cost of one more term.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.ring.contact import Contact, Floats
from linerdesign.methods.ring.loading import Loading
from linerdesign.methods.ring.numbering import Numbering, numbering
from linerdesign.methods.ring.shape import Shape
from linerdesign.methods.ring.wall import NO_CREEP, Creep, Wall

# Rows of the derivatives (5, e) of an energy by length and turn of the elements.
LENGTH, TURN, LENGTH_LENGTH, LENGTH_TURN, TURN_TURN = range(5)

# Rows of the local variables of an element, on which its second derivatives are built: chord,
# angles of its ends against the chord, movement of its ends into the wall, and across the chord.
CHORD, LEFT, RIGHT, FIRST_END, SECOND_END, ACROSS = range(6)


@dataclass(frozen=True)
class Energies:
    """Energy of a state by kind, and the area enclosed by the loaded face less a constant.

    Lengths are in radii of the mean circle and the modulus is 1: energies per length are in
    `E* R^2`, the area in `R^2`.
    """

    strain: float
    contact: float
    holding: float
    area: float

    @property
    def stored(self) -> float:
        """All energy that the pressure's work went into."""
        return self.strain + self.contact + self.holding


@dataclass(frozen=True)
class State:
    """First and second derivatives of the potential at one state.

    `force` (m,) is the gradient of the stored energy, `load` (m,) that of the enclosed area;
    their sum at pressure p, force + p load, vanishes in equilibrium. `stored` (3 b + 1, m) is the
    matrix of second derivatives at that pressure, in the banded storage of LAPACK with room for
    its factors.
    """

    force: Floats
    load: Floats
    stored: Floats

    @property
    def width(self) -> int:
        """Entries b of the matrix on either side of its diagonal."""
        return (len(self.stored) - 1) // 3

    @property
    def band(self) -> Floats:
        """The matrix without that room (2 b + 1, m)."""
        return self.stored[self.width :]


@dataclass(frozen=True)
class _Strained:
    """Elements in a deformed state, each array (e,), on nodes at `points` (n, 2).

    `length_slope` (3, e) is the slope of the length by chord and end angles.
    """

    points: Floats
    chord: Floats
    cosine: Floats
    sine: Floats
    turn: Floats
    total: Floats
    length: Floats
    length_slope: Floats
    spread: Floats


@dataclass(frozen=True)
class Ring:
    """Elastic ring of wall thickness `thickness` and plane-strain modulus 1.

    `holding` is the stiffness per length of a very weak bed, sideways and upright: a ring that
    touches nothing is free to drift, and the bed only keeps that drift from being undetermined.
    The pressure acts on the outer face, or on the middle line where `on_outer_face` is false.
    Without `contact` the ring is free. `loading` is what presses on it beside a uniform pressure.
    """

    shape: Shape
    thickness: float
    poisson: float
    on_outer_face: bool
    holding: tuple[float, float]
    contact: Contact | None
    creep: Creep = NO_CREEP
    loading: Loading | None = None

    @cached_property
    def numbers(self) -> Numbering:
        """How its nodes and unknowns are numbered."""
        return numbering(len(self.shape.points), self.shape.full, self.shape.fixed)

    @cached_property
    def _held(self) -> Floats:
        """Stiffness of the weak bed at each node (n, 2, 2)."""
        return self.tributary[:, None, None] * np.diag(self.holding)

    @cached_property
    def _chords(self) -> Floats:
        """Stress-free vectors from the first to the second node of each element (e, 2)."""
        first, second = self.numbers.ends
        return self.shape.points[second] - self.shape.points[first]

    @cached_property
    def _angles(self) -> tuple[Floats, Floats]:
        """Stress-free tangent angles at both ends of each element against its chord (e,)."""
        first, second = self.numbers.ends
        direction = np.arctan2(self._chords[:, 1], self._chords[:, 0])
        left, right = (self.shape.tangents[node] - direction for node in (first, second))
        return _wrapped(left), _wrapped(right)

    @cached_property
    def wall(self) -> Wall:
        """Section of each element."""
        left, right = self._angles
        length = np.hypot(*self._chords.T) * (1.0 + _bow(left, right)[0])
        curvature, stiffness = (right - left) / length, self.creep.stiffness
        return Wall.of(self.thickness, self.poisson, length, curvature, stiffness)

    @cached_property
    def tributary(self) -> Floats:
        """Length of middle line that belongs to each node (n,)."""
        half = 0.5 * self.wall.length
        return self.numbers.at_nodes(np.stack([half, half]))

    def positions(self, vector: Floats) -> Floats:
        """Deformed middle line (n, 2)."""
        return self.shape.points + self.numbers.spread(vector)[:, :2]

    def _strained(self, moved: Floats) -> _Strained:
        """The elements under displacements `moved` (n, 3).

        Built on differences of `moved`: differences of whole coordinates would round off more than
        the equilibrium tolerance of a thick, finely divided ring.
        """
        first, second = self.numbers.ends
        start_x, start_y = self._chords.T
        change_x, change_y, _ = (moved[second] - moved[first]).T
        run_x, run_y = start_x + change_x, start_y + change_y
        turned = np.arctan2(
            start_x * change_y - start_y * change_x, start_x * run_x + start_y * run_y
        )
        chord = np.sqrt(run_x * run_x + run_y * run_y)
        left, right = moved[first, 2] - turned, moved[second, 2] - turned
        total = left + right
        slope_left = self._angles[0] + left - self.wall.slip * total
        slope_right = self._angles[1] + right - self.wall.slip * total
        bow, by_left, by_right = _bow(slope_left, slope_right)
        slipped = self.wall.slip * (by_left + by_right)
        length_slope = np.empty((3, len(chord)))
        length_slope[0] = 1.0 + bow
        length_slope[1] = chord * (by_left - slipped)
        length_slope[2] = chord * (by_right - slipped)
        return _Strained(
            points=self.shape.points + moved[:, :2],
            chord=chord,
            cosine=run_x / chord,
            sine=run_y / chord,
            turn=right - left,
            total=total,
            length=chord * length_slope[0],
            length_slope=length_slope,
            spread=slope_left - slope_right,
        )

    def normal_forces(self, vector: Floats) -> Floats:
        """Axial force of each element (e,) without the share of pressure on its face, tension +."""
        found = np.empty((5, len(self.wall.length)))
        self._strain_slopes(self._strained(self.numbers.spread(vector)), found)
        forces: Floats = found[LENGTH]
        return forces

    def _outer_face(self, at: _Strained) -> Floats:
        """Distance of the outer face from the middle line, by element (e,)."""
        wall = self.wall
        moved = wall.by_length * (at.length - wall.length) + wall.by_turn * at.turn
        return 0.5 * self.thickness + moved

    def _penetration(self, points: Floats, outer: Floats) -> tuple[Floats, Floats, Floats]:
        """How deep both ends of each element (2, e) are in the wall, and there its normals
        (n, 2) and the curvature of the distance to it (n,), by node."""
        assert self.contact is not None
        distance, normal, curvature = self.contact.distance(points)
        depth = np.empty((2, len(outer)))
        for end, nodes in zip(depth, self.numbers.ends, strict=True):
            np.subtract(outer, distance[nodes], out=end)
        return depth, normal, curvature

    def energies(self, vector: Floats) -> Energies:
        """Stored energy by kind, and the area enclosed by the loaded face less a constant."""
        moved = self.numbers.spread(vector)
        at, wall = self._strained(moved), self.wall
        strain, bent, sheared = self._stressed(at)
        stored = 0.5 * wall.axial * wall.length * strain**2 + wall.coupling * strain * bent
        stored += 0.5 * (wall.bending * bent**2 + wall.shear * sheared**2) / wall.length
        (start_x, start_y), (end_x, end_y) = (at.points[nodes].T for nodes in self.numbers.ends)
        area = 0.5 * (start_x * end_y - end_x * start_y) - at.chord**2 * at.spread / 12.0
        outer = self._outer_face(at)
        if self.on_outer_face:
            opening = self.wall.opening + at.turn
            area = area + outer * at.length + 0.5 * outer**2 * opening
        held = 0.5 * self.tributary * (moved[:, :2] ** 2 @ np.array(self.holding))
        pressed = 0.0
        if self.contact is not None:
            depth, _, _ = self._penetration(at.points, outer)
            pressed = float(0.5 * wall.length @ self.contact.energy(depth).sum(axis=0))
        enclosed = float(area.sum())
        if self.loading is not None:
            enclosed += self.loading.energy(at.points, moved)
        return Energies(float(stored.sum()), pressed, float(held.sum()), enclosed)

    def contact_pressures(self, vector: Floats) -> Floats:
        """Pressure of the host on both ends of each element (2, e), over E*."""
        return self._pressed(self._strained(self.numbers.spread(vector)))

    def _pressed(self, at: _Strained) -> Floats:
        if self.contact is None:
            return np.zeros((2, len(at.chord)))
        depth, _, _ = self._penetration(at.points, self._outer_face(at))
        return self.contact.pressure(depth)[0]

    def deepest(self, vector: Floats) -> float:
        """How deep the ring is in the wall at its deepest, negative where it touches nothing."""
        if self.contact is None:
            return -np.inf
        at = self._strained(self.numbers.spread(vector))
        return float(self._penetration(at.points, self._outer_face(at))[0].max())

    def touching(self, vector: Floats) -> NDArray[np.bool_]:
        """Which nodes press on the host (n,)."""
        return self.numbers.at_nodes(self.contact_pressures(vector)) > 0.0

    def fibre_stresses(self, vector: Floats, pressure: float) -> Floats:
        """Hoop stress over E* of the outer and the inner fibre at each node (2, n), tension +."""
        at = self._strained(self.numbers.spread(vector))
        outside = self._pressed(at) + (pressure if self.on_outer_face else 0.0)
        strain, bent, total = (self.creep.stiffness * each for each in self._stressed(at))
        ends = self.wall.fibre_stresses(strain, bent, total, outside)
        return self.numbers.at_nodes(ends.transpose(1, 0, 2)) / self.numbers.meeting

    def state(self, vector: Floats, pressure: float) -> State:
        """Gradients and second derivatives of the potential at `vector` under `pressure`."""
        moved = self.numbers.spread(vector)
        at = self._strained(moved)
        slopes = np.empty((2, 5, len(at.chord)))
        self._strain_slopes(at, slopes[0])
        self._area_slopes(at, slopes[1])
        jacobian = self._jacobian(at)
        curve = np.zeros((6, 6, len(at.chord)))
        of_nodes = np.zeros((2, len(moved), 2))
        of_nodes[0] = self.tributary[:, None] * self.holding * moved[:, :2]
        node_block = self._held.copy()
        if self.contact is not None:
            self._add_contact(at, slopes[0], jacobian, curve, of_nodes[0], node_block)

        local = slopes[:, LENGTH, None] * at.length_slope
        local[:, LEFT] -= slopes[:, TURN]
        local[:, RIGHT] += slopes[:, TURN]
        local[0, LEFT:] += self.wall.shear * (at.total - self.creep.rest[2]) / self.wall.length
        local[1] += self._bow_area(at)
        self._second_derivatives(
            at, slopes[0] + pressure * slopes[1], local[0] + pressure * local[1], pressure, curve
        )

        vectors = np.matmul(local.transpose(2, 0, 1), jacobian[:, :3])
        self._add_polygon(at, vectors[:, 1])
        matrix = jacobian.transpose(0, 2, 1) @ (curve.transpose(2, 0, 1) @ jacobian)
        matrix += pressure * _POLYGON
        if self.loading is not None:
            of_nodes[1] = self.loading.add_to(vectors[:, 1], matrix, pressure, at.points, moved)
        force, load = self.numbers.vectors(vectors, of_nodes)
        return State(force, load, self.numbers.stored(matrix, node_block))

    def _bent(self, at: _Strained) -> tuple[Floats, Floats]:
        """Strain of the middle line, and the turn that strains the fibres, by element (e,).

        A wall that thickens carries its fibres farther out, which strains them more.
        """
        wall = self.wall
        strain = at.length / wall.length - 1.0
        return strain, at.turn - wall.ratio * strain * (at.turn + wall.opening)

    def strains(self, vector: Floats) -> Floats:
        """Strain of the middle line, turn that strains the fibres, and sum of turns (3, e)."""
        at = self._strained(self.numbers.spread(vector))
        return np.stack([*self._bent(at), at.total])

    def _stressed(self, at: _Strained) -> tuple[Floats, Floats, Floats]:
        """The same less what no stress goes with."""
        strain, bent = self._bent(at)
        rest = self.creep.rest
        return strain - rest[0], bent - rest[1], at.total - rest[2]

    def _strain_slopes(self, at: _Strained, found: Floats) -> None:
        """Puts those of the strain energy into `found` (5, e)."""
        wall = self.wall
        by_turn = 1.0 - wall.ratio * (at.length / wall.length - 1.0)
        strain, bent, _ = self._stressed(at)
        by_length = -wall.ratio * (at.turn + wall.opening) / wall.length
        bending = wall.bending / wall.length
        moment = wall.coupling * strain + bending * bent
        steeper = wall.coupling / wall.length + bending * by_length
        found[LENGTH] = wall.axial * strain + wall.coupling / wall.length * bent
        found[LENGTH] += moment * by_length
        found[TURN] = moment * by_turn
        found[LENGTH_LENGTH] = (wall.axial + wall.coupling * by_length) / wall.length
        found[LENGTH_LENGTH] += steeper * by_length
        found[LENGTH_TURN] = steeper * by_turn - moment * wall.ratio / wall.length
        found[TURN_TURN] = bending * by_turn * by_turn

    def _area_slopes(self, at: _Strained, found: Floats) -> None:
        """Puts those of the strip between the middle line and the loaded face into `found`."""
        if not self.on_outer_face:
            found[:] = 0.0
            return
        outer, by_length, by_turn = self._outer_face(at), self.wall.by_length, self.wall.by_turn
        opening = self.wall.opening + at.turn
        face = at.length + outer * opening
        found[LENGTH] = outer + by_length * face
        found[TURN] = by_turn * face + 0.5 * outer * outer
        found[LENGTH_LENGTH] = by_length * (2.0 + by_length * opening)
        found[LENGTH_TURN] = by_turn * (1.0 + by_length * opening) + outer * by_length
        found[TURN_TURN] = by_turn * (by_turn * opening + 2.0 * outer)

    def _bow_area(self, at: _Strained) -> Floats:
        """Gradient of the area between the cubic and its chord, by chord and end angles (3, e)."""
        twelfth = at.chord * at.chord / 12.0
        return np.array([-at.chord * at.spread / 6.0, -twelfth, twelfth])

    def _second_derivatives(
        self, at: _Strained, by: Floats, slope: Floats, pressure: float, curve: Floats
    ) -> None:
        """Adds those of strain energy and area to `curve` (6, 6, e), on the local variables.

        `by` (5, e) are the derivatives of both by length and turn, `slope` (3, e) those by chord
        and end angles.
        """
        chord, left, right = at.length_slope
        bow, mixed = by[LENGTH] * at.chord * self._bow_curve
        sheared = self.wall.shear / self.wall.length
        turned, across = by[LENGTH_TURN] * chord, pressure * at.chord / 6.0
        apart, by_chord = by[LENGTH_TURN] * (left - right), by[LENGTH] / at.chord
        same = bow + by[TURN_TURN] + sheared
        steep = by[LENGTH_LENGTH] * at.length_slope
        entries = (
            (CHORD, CHORD, steep[0] * chord - pressure * at.spread / 6.0),
            (CHORD, LEFT, steep[0] * left - turned + by_chord * left - across),
            (CHORD, RIGHT, steep[0] * right + turned + by_chord * right + across),
            (LEFT, LEFT, steep[1] * left - 2.0 * by[LENGTH_TURN] * left + same),
            (LEFT, RIGHT, steep[1] * right + apart + mixed - by[TURN_TURN] + sheared),
            (RIGHT, RIGHT, steep[2] * right + 2.0 * by[LENGTH_TURN] * right + same),
            (CHORD, ACROSS, (slope[LEFT] + slope[RIGHT]) / (at.chord * at.chord)),
            (ACROSS, ACROSS, slope[CHORD] / at.chord),
        )
        for row, column, entry in entries:
            curve[row, column] += entry
            if row != column:
                curve[column, row] += entry

    @cached_property
    def _bow_curve(self) -> Floats:
        """Second derivatives of the bow by one end angle twice, and by both (2, e)."""
        slip = self.wall.slip
        kept = 1.0 - slip
        same = (4.0 * kept**2 + 2.0 * kept * slip + 4.0 * slip**2) / 30.0
        return np.stack([same, -(8.0 * kept * slip + kept**2 + slip**2) / 30.0])

    def _jacobian(self, at: _Strained) -> Floats:
        """Local variables of the elements by their unknowns (e, 6, 6)."""
        jacobian = np.zeros((len(at.chord), 6, 6))
        for row, x, y in ((CHORD, at.cosine, at.sine), (ACROSS, -at.sine, at.cosine)):
            jacobian[:, row, 0], jacobian[:, row, 1] = -x, -y
            jacobian[:, row, 3], jacobian[:, row, 4] = x, y
        turned = jacobian[:, ACROSS] / at.chord[:, None]
        jacobian[:, LEFT], jacobian[:, RIGHT] = -turned, -turned
        jacobian[:, LEFT, 2] = jacobian[:, RIGHT, 5] = 1.0
        return jacobian

    def _add_polygon(self, at: _Strained, slope: Floats) -> None:
        """Adds the gradient of the area under each chord to `slope` (e, 6)."""
        half = 0.5 * at.points
        start, end = (half[nodes] for nodes in self.numbers.ends)
        slope[:, 0] += end[:, 1]
        slope[:, 1] -= end[:, 0]
        slope[:, 3] -= start[:, 1]
        slope[:, 4] += start[:, 0]

    def _add_contact(
        self,
        at: _Strained,
        strained: Floats,
        jacobian: Floats,
        curve: Floats,
        node_force: Floats,
        node_block: Floats,
    ) -> None:
        """Adds the host's push at both ends of each element, that by length and turn to `strained`
        (5, e)."""
        assert self.contact is not None
        depth, normal, curvature = self._penetration(at.points, self._outer_face(at))
        pressure, stiffness = self.contact.pressure(depth)
        half = 0.5 * self.wall.length
        push, stiff = half * pressure, half * stiffness

        at_node = self.numbers.at_nodes(push)
        node_force += at_node[:, None] * normal
        tangent = normal @ _QUARTER_TURN
        bent = (at_node * curvature)[:, None] * tangent
        node_block += bent[:, :, None] * tangent[:, None, :]
        first, second = self.numbers.ends
        jacobian[:, FIRST_END, 0:2], jacobian[:, SECOND_END, 3:5] = normal[first], normal[second]
        by_length, by_turn = self.wall.by_length, self.wall.by_turn
        outer = by_length * at.length_slope
        outer[LEFT] -= by_turn
        outer[RIGHT] += by_turn
        for end, own in ((FIRST_END, stiff[0]), (SECOND_END, stiff[1])):
            curve[end, end] = own
            curve[end, :3] = curve[:3, end] = own * outer
        pushed, stiffened = push[0] + push[1], stiff[0] + stiff[1]
        strained[LENGTH] += pushed * by_length
        strained[TURN] += pushed * by_turn
        strained[LENGTH_LENGTH] += stiffened * by_length * by_length
        strained[LENGTH_TURN] += stiffened * by_length * by_turn
        strained[TURN_TURN] += stiffened * by_turn * by_turn


_QUARTER_TURN = np.array([[0.0, 1.0], [-1.0, 0.0]])
_POLYGON = np.zeros((6, 6))
_POLYGON[[0, 4], [4, 0]], _POLYGON[[1, 3], [3, 1]] = 0.5, -0.5


def _wrapped(angle: Floats) -> Floats:
    return (angle + np.pi) % (2.0 * np.pi) - np.pi


def _bow(left: Floats, right: Floats) -> tuple[Floats, Floats, Floats]:
    """Excess of a cubic's length over its chord, as a share of the chord, and its slopes."""
    excess = (2.0 * left * left - left * right + 2.0 * right * right) / 30.0
    return excess, (4.0 * left - right) / 30.0, (4.0 * right - left) / 30.0
