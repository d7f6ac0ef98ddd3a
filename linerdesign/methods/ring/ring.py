"""The ring: its stress-free shape, and its energy as a chain of curved beam elements.

Lengths are in radii of the cavity's mean circle, stresses in plane-strain moduli E* = E/(1 - nu^2).
A node has three unknowns: two displacements and a rotation. Inside an element the middle line is a
cubic over the moving chord (a corotational Euler-Bernoulli beam, no shear strain), so rotations may
be large; the axial strain comes from the length of the cubic and not of the chord, which keeps
coarse rings from stiffening.

Pressure on a closed ring has a potential, pressure times enclosed area. The outer face is the
parallel curve at t/2, so its area is that of the middle line + t/2 times its length + a constant:
follower pressure on the outer face is exact at the cost of one more term.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.f1216.gravity import wall_inertia
from linerdesign.methods.ring.contact import Cavity, Contact, Floats

Integers = NDArray[np.intp]


@dataclass(frozen=True)
class Shape:
    """Stress-free middle line: node positions (n, 2) and tangent angles (n,), anticlockwise.

    A half ring runs from the invert over the right-hand side to the crown, both included; a full
    ring starts at the invert and does not repeat it.
    """

    points: Floats
    tangents: Floats
    full: bool


@dataclass(frozen=True)
class Bulge:
    """Inward cos^2 bulge at the crown: its depth, half its opening, and how lopsided it is.

    Angles are by arc: 180 degrees are half the middle line, whatever its ovality. `skew` is the
    share by which one side is wider and the other narrower; half a ring takes no notice of it.
    """

    depth: float
    half_angle: float
    skew: float = 0.0


def stress_free_shape(
    cavity: Cavity, offset: float, bulge: Bulge, elements: int, full: bool
) -> Shape:
    """Middle line parallel to the wall at `offset`, with `bulge`; `elements` per half."""
    fine = np.linspace(-np.pi / 2, np.pi / 2, 4001)
    normal, _ = cavity.outward(fine)
    steps = np.hypot(*np.diff(cavity.wall(fine) - offset * normal, axis=0).T)
    arc = np.concatenate([[0.0], np.cumsum(steps)])
    parameter = np.interp(np.linspace(0.0, arc[-1], elements + 1), arc, fine)
    from_crown = np.pi * (np.arange(elements + 1) / elements - 1.0)
    if full:
        parameter = np.concatenate([parameter, np.pi - parameter[-2:0:-1]])
        from_crown = np.concatenate([from_crown, -from_crown[-2:0:-1]])

    normal, curvature = cavity.outward(parameter)
    lopsided = 1.0 + bulge.skew * np.sign(from_crown) if full else np.ones_like(from_crown)
    half_angle = bulge.half_angle * lopsided
    phase = np.pi * np.clip(from_crown / half_angle, -1.0, 1.0)
    depth = 0.5 * bulge.depth * (1.0 + np.cos(phase))
    deepening = -0.5 * bulge.depth * np.sin(phase) * np.pi / half_angle * np.pi / arc[-1]
    points = cavity.wall(parameter) - (offset + depth)[:, None] * normal
    stretch = 1.0 - depth * curvature / (1.0 - offset * curvature)
    tangents = np.arctan2(normal[:, 0], -normal[:, 1]) + np.arctan2(deepening, stretch)
    return Shape(points, tangents, full)


@dataclass(frozen=True)
class Energies:
    """Energy of a state, its parts, and the area that the pressure has swept.

    Lengths are in radii of the mean circle and the modulus is 1: energies per length are in
    `E* R^2`, the area in `R^2`.
    """

    strain: float
    contact: float
    holding: float
    area: float

    @property
    def stored(self) -> float:
        return self.strain + self.contact + self.holding


@dataclass(frozen=True)
class State:
    """First and second derivatives of the potential at one state.

    `force` (m,) is the gradient of the stored energy, `load` (m,) that of the enclosed area;
    their sum at pressure p, force + p load, vanishes in equilibrium. `band` (2b + 1, m) is the
    matrix of second derivatives at that pressure, in the banded storage of LAPACK.
    """

    force: Floats
    load: Floats
    band: Floats


@dataclass(frozen=True)
class Ring:
    """Elastic ring of wall thickness `thickness` and modulus 1, in an optional cavity.

    `holding` is the stiffness per length of a very weak bed: a ring that touches nothing is free
    to drift, and the bed only keeps that drift from being undetermined.
    `face_offset` is t/2 for pressure on the outer face and 0 for pressure on the middle line.
    """

    shape: Shape
    thickness: float
    face_offset: float
    holding: float
    contact: Contact | None

    @property
    def axial(self) -> float:
        return self.thickness

    @property
    def bending(self) -> float:
        return float(wall_inertia(self.thickness))

    @cached_property
    def nodes(self) -> tuple[Integers, Integers]:
        """First and second node of each element."""
        count = len(self.shape.points)
        first = np.arange(count if self.shape.full else count - 1)
        return first, (first + 1) % count

    @cached_property
    def numbering(self) -> Integers:
        """Equation number of each unknown (n, 3), -1 where symmetry fixes it.

        A full ring is numbered outwards from the invert on both sides in turn, which keeps the
        matrix banded although the chain closes.
        """
        count = len(self.shape.points)
        order = np.arange(count)
        fixed = np.zeros((count, 3), dtype=bool)
        if self.shape.full:
            order = np.where(order <= count // 2, 2 * order - 1, 2 * (count - order))
            order = np.argsort(np.argsort(order))
        else:
            fixed[[0, 0, -1, -1], [0, 2, 0, 2]] = True
        number = np.full((count, 3), -1, dtype=np.intp)
        position = 0
        for node in np.argsort(order):
            for unknown in range(3):
                if not fixed[node, unknown]:
                    number[node, unknown] = position
                    position += 1
        return number

    @cached_property
    def unknowns(self) -> int:
        return int(self.numbering.max()) + 1

    @cached_property
    def element_numbers(self) -> Integers:
        """Equation numbers of the six unknowns of each element (e, 6)."""
        first, second = self.nodes
        return np.concatenate([self.numbering[first], self.numbering[second]], axis=1)

    @cached_property
    def bandwidth(self) -> int:
        numbers = self.element_numbers
        low = np.where(numbers < 0, self.unknowns, numbers).min(axis=1)
        return int((numbers.max(axis=1) - low).max())

    @cached_property
    def band_places(self) -> tuple[Integers, Integers]:
        """Where element matrices (e, 6, 6) and node blocks (n, 2, 2) go in the flat band."""
        return self._places(self.element_numbers), self._places(self.numbering[:, :2])

    def _places(self, numbers: Integers) -> Integers:
        row, column = numbers[:, :, None], numbers[:, None, :]
        place = (self.bandwidth + row - column) * self.unknowns + column
        return np.where((row < 0) | (column < 0), -1, place)

    @cached_property
    def stress_free_chords(self) -> Floats:
        """Vectors from the first to the second node of each element (e, 2)."""
        first, second = self.nodes
        return self.shape.points[second] - self.shape.points[first]

    @cached_property
    def stress_free_angles(self) -> tuple[Floats, Floats]:
        """Tangent angles at both ends of each element against its chord."""
        first, second = self.nodes
        direction = np.arctan2(self.stress_free_chords[:, 1], self.stress_free_chords[:, 0])
        return (
            _wrapped(self.shape.tangents[first] - direction),
            _wrapped(self.shape.tangents[second] - direction),
        )

    @cached_property
    def lengths(self) -> Floats:
        """Stress-free length of each element's cubic."""
        excess, _, _ = _bow(*self.stress_free_angles)
        chords = self.stress_free_chords
        return np.hypot(chords[:, 0], chords[:, 1]) * (1.0 + excess)

    @cached_property
    def tributary(self) -> Floats:
        """Length of middle line that belongs to each node (n,)."""
        first, second = self.nodes
        count = len(self.shape.points)
        return 0.5 * (
            _gathered(first, self.lengths, count) + _gathered(second, self.lengths, count)
        )

    def spread(self, vector: Floats) -> Floats:
        """Unknowns (m,) as displacements and rotations of the nodes (n, 3)."""
        padded: Floats = np.append(vector, 0.0)
        return padded[self.numbering]

    def positions(self, vector: Floats) -> Floats:
        """Deformed middle line (n, 2)."""
        return self.shape.points + self.spread(vector)[:, :2]

    def _chords(self, moved: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """Chord lengths, end angles against the chord, and chord directions (cosine, sine).

        Everything is built on differences of `moved` (n, 3): differences of whole coordinates
        would round off more than the equilibrium tolerance of a thick, finely divided ring.
        """
        first, second = self.nodes
        start = self.stress_free_chords
        change = moved[second, :2] - moved[first, :2]
        run = start + change
        turn = np.arctan2(
            start[:, 0] * change[:, 1] - start[:, 1] * change[:, 0], np.sum(start * run, axis=1)
        )
        left, right = self.stress_free_angles
        chord = np.hypot(run[:, 0], run[:, 1])
        left, right = left + moved[first, 2] - turn, right + moved[second, 2] - turn
        return chord, left, right, run[:, 0] / chord, run[:, 1] / chord

    def normal_forces(self, vector: Floats) -> Floats:
        """Axial force of each element (e,), tension positive."""
        chord, left, right, _, _ = self._chords(self.spread(vector))
        return self.axial * (chord * (1.0 + _bow(left, right)[0]) / self.lengths - 1.0)

    def energies(self, vector: Floats) -> Energies:
        """Stored energy by kind, and the area enclosed by the loaded face less a constant."""
        moved = self.spread(vector)
        points = self.shape.points + moved[:, :2]
        chord, left, right, _, _ = self._chords(moved)
        length = chord * (1.0 + _bow(left, right)[0])
        strain = length / self.lengths - 1.0
        turn_left = left - self.stress_free_angles[0]
        turn_right = right - self.stress_free_angles[1]
        bent = turn_left**2 + turn_left * turn_right + turn_right**2
        stored = 0.5 * self.axial * self.lengths * strain**2 + 2.0 * self.bending / self.lengths * (
            bent
        )
        first, second = self.nodes
        cross = points[first, 0] * points[second, 1] - points[second, 0] * points[first, 1]
        area = 0.5 * cross - chord**2 * (left - right) / 12.0 + self.face_offset * length
        held = 0.5 * self.holding * self.tributary * np.sum(moved[:, :2] ** 2, axis=1)
        touching = 0.0
        if self.contact is not None:
            energy, _, _ = self.contact.pressure(self.contact.penetration(points)[0])
            touching = float(self.tributary @ energy)
        return Energies(float(stored.sum()), touching, float(held.sum()), float(area.sum()))

    def touching(self, vector: Floats) -> NDArray[np.bool_]:
        """Which nodes press on the cavity (n,)."""
        points = self.positions(vector)
        if self.contact is None:
            return np.zeros(len(points), dtype=bool)
        return self.contact.penetration(points)[0] > 0.0

    def state(self, vector: Floats, pressure: float) -> State:
        """Gradients and second derivatives of the potential at `vector` under `pressure`."""
        moved = self.spread(vector)
        points = self.shape.points + moved[:, :2]
        force_element, load_element, matrix = self._element_terms(points, moved, pressure)
        force_node, block = self._node_terms(points, moved[:, :2])
        m = self.unknowns
        elements, nodes = self.element_numbers, self.numbering[:, :2]
        force = _gathered(elements, force_element, m) + _gathered(nodes, force_node, m)
        load = _gathered(elements, load_element, m)
        size = (2 * self.bandwidth + 1) * m
        element_places, node_places = self.band_places
        band = _gathered(element_places, matrix, size) + _gathered(node_places, block, size)
        return State(force, load, band.reshape(-1, m))

    def _element_terms(
        self, points: Floats, moved: Floats, pressure: float
    ) -> tuple[Floats, Floats, Floats]:
        """Gradient of the strain energy, of the area, and the second derivatives, per element.

        Both are functions of q = (chord, left angle, right angle), plus the area of the polygon.
        """
        chord, left, right, cosine, sine = self._chords(moved)
        energy_slope, energy_curve = self._strain_by_chord(chord, left, right)
        area_slope, area_curve = self._area_by_chord(chord, left, right)
        zero = np.zeros_like(chord)
        along = np.stack([-cosine, -sine, zero, cosine, sine, zero], axis=1)
        across = np.stack([sine, -cosine, zero, -sine, cosine, zero], axis=1)
        first_by_unknown = np.stack([along, -across / chord[:, None], -across / chord[:, None]], 1)
        first_by_unknown[:, 1, 2] += 1.0
        first_by_unknown[:, 2, 5] += 1.0

        polygon, polygon_curve = self._polygon(points)
        force = np.einsum("ei,eij->ej", energy_slope, first_by_unknown)
        load = np.einsum("ei,eij->ej", area_slope, first_by_unknown) + polygon
        slope = energy_slope + pressure * area_slope
        curve = energy_curve + pressure * area_curve
        matrix = first_by_unknown.transpose(0, 2, 1) @ curve @ first_by_unknown
        matrix += (slope[:, 0] / chord)[:, None, None] * across[:, :, None] * across[:, None, :]
        turned = along[:, :, None] * across[:, None, :]
        turned = turned + turned.transpose(0, 2, 1)
        matrix += ((slope[:, 1] + slope[:, 2]) / chord**2)[:, None, None] * turned
        return force, load, matrix + pressure * polygon_curve

    def _strain_by_chord(self, chord: Floats, left: Floats, right: Floats) -> tuple[Floats, Floats]:
        length_slope, length_curve = _length_by_chord(chord, left, right)
        length = chord * (1.0 + _bow(left, right)[0])
        tension = self.axial * (length / self.lengths - 1.0)
        turn_left = left - self.stress_free_angles[0]
        turn_right = right - self.stress_free_angles[1]
        stiffness = 2.0 * self.bending / self.lengths
        slope = tension[:, None] * length_slope
        slope[:, 1] += stiffness * (2.0 * turn_left + turn_right)
        slope[:, 2] += stiffness * (2.0 * turn_right + turn_left)
        curve = tension[:, None, None] * length_curve
        curve += (self.axial / self.lengths)[:, None, None] * (
            length_slope[:, :, None] * length_slope[:, None, :]
        )
        curve[:, 1:, 1:] += stiffness[:, None, None] * np.array([[2.0, 1.0], [1.0, 2.0]])
        return slope, curve

    def _area_by_chord(self, chord: Floats, left: Floats, right: Floats) -> tuple[Floats, Floats]:
        length_slope, length_curve = _length_by_chord(chord, left, right)
        slope = self.face_offset * length_slope
        curve = self.face_offset * length_curve
        slope[:, 0] -= chord * (left - right) / 6.0
        slope[:, 1] -= chord**2 / 12.0
        slope[:, 2] += chord**2 / 12.0
        curve[:, 0, 0] -= (left - right) / 6.0
        for angle, sign in ((1, -1.0), (2, 1.0)):
            curve[:, 0, angle] += sign * chord / 6.0
            curve[:, angle, 0] += sign * chord / 6.0
        return slope, curve

    def _polygon(self, points: Floats) -> tuple[Floats, Floats]:
        """Gradient (e, 6) and second derivatives (6, 6) of the area under each chord."""
        first, second = self.nodes
        start, end = points[first], points[second]
        zero = np.zeros(len(first))
        slope = 0.5 * np.stack([end[:, 1], -end[:, 0], zero, -start[:, 1], start[:, 0], zero], 1)
        curve = np.zeros((6, 6))
        curve[0, 4] = curve[4, 0] = 0.5
        curve[1, 3] = curve[3, 1] = -0.5
        return slope, curve

    def _node_terms(self, points: Floats, moved: Floats) -> tuple[Floats, Floats]:
        """Forces (n, 2) and stiffness blocks (n, 2, 2) of the weak bed and of the contact."""
        weight = self.holding * self.tributary
        force = weight[:, None] * moved
        block = weight[:, None, None] * np.eye(2)
        if self.contact is not None:
            depth, normal, curvature = self.contact.penetration(points)
            _, pressure, slope = self.contact.pressure(depth)
            tangent = np.stack([-normal[:, 1], normal[:, 0]], axis=1)
            force = force + (self.tributary * pressure)[:, None] * normal
            block = block + (self.tributary * slope)[:, None, None] * (
                normal[:, :, None] * normal[:, None, :]
            )
            block = block + (self.tributary * pressure * curvature)[:, None, None] * (
                tangent[:, :, None] * tangent[:, None, :]
            )
        return force, block


def _wrapped(angle: Floats) -> Floats:
    return (angle + np.pi) % (2.0 * np.pi) - np.pi


def _gathered(places: Integers, values: Floats, size: int) -> Floats:
    """Sums of `values` by place, leaving out those whose place is -1."""
    place = np.where(places < 0, size, places).ravel()
    return np.bincount(place, values.ravel(), size + 1)[:size].astype(np.float64, copy=False)


def _bow(left: Floats, right: Floats) -> tuple[Floats, Floats, Floats]:
    """Excess of a cubic's length over its chord, as a share of the chord, and its slopes."""
    excess = (2.0 * left**2 - left * right + 2.0 * right**2) / 30.0
    return excess, (4.0 * left - right) / 30.0, (4.0 * right - left) / 30.0


def _length_by_chord(chord: Floats, left: Floats, right: Floats) -> tuple[Floats, Floats]:
    """Slope (e, 3) and second derivatives (e, 3, 3) of the cubic's length by (chord, angles)."""
    excess, by_left, by_right = _bow(left, right)
    slope = np.stack([1.0 + excess, chord * by_left, chord * by_right], axis=1)
    curve = np.zeros((len(chord), 3, 3))
    curve[:, 0, 1] = curve[:, 1, 0] = by_left
    curve[:, 0, 2] = curve[:, 2, 0] = by_right
    curve[:, 1, 1] = curve[:, 2, 2] = 4.0 * chord / 30.0
    curve[:, 1, 2] = curve[:, 2, 1] = -chord / 30.0
    return slope, curve
