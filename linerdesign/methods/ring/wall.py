"""The wall of a ring as curved beam elements: stiffness, thickness under strain, fibre stresses.

Lengths are in radii of the host's mean circle, stresses in plane-strain moduli E* = E/(1 - nu^2).
The section is that of a thick curved beam: a fibre at z outside the middle line has the stress-free
length (1 + z k) of the middle line, k its curvature (Winkler). Shear strain is that of Timoshenko.
The wall thickens where it is compressed along the hoop (Poisson), which moves its outer face, on
which pressure and contact act; by reciprocity that pressure then stretches the wall.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linerdesign.methods.ring.contact import Floats

SHEAR_AREA = 5.0 / 6.0


@dataclass(frozen=True)
class Creep:
    """What creep up to a moment leaves of the wall for the strain that is still to come.

    `rest` are the strain of the middle line, the turn and the sum of turns that no stress goes
    with, by element (3, e), and `stiffness` the modulus left, over E*.
    """

    rest: Floats | tuple[float, float, float] = (0.0, 0.0, 0.0)
    stiffness: float = 1.0


NO_CREEP = Creep()


@dataclass(frozen=True)
class Wall:
    """Section of each element (e,): stiffnesses, and how its outer face moves with strain.

    With the strain of the middle line e, the turn of one end against the other d and their sum m,
    each against the stress-free state, the energy of an element of stress-free length L is
    axial L e^2/2 + coupling e f + bending f^2/(2 L) + shear m^2/(2 L), where the thickened wall
    turns its fibres by f = d - ratio e (d + opening), and `opening` is the stress-free turn of
    the element. The outer face lies t/2 + by_length (length - L) + by_turn d outside the middle
    line. The slopes of the middle
    line at both ends are the turns less `slip` m.
    """

    thickness: float
    ratio: float
    length: Floats
    curvature: Floats
    axial: Floats
    coupling: Floats
    bending: Floats
    shear: Floats
    slip: Floats
    opening: Floats
    by_length: Floats
    by_turn: Floats

    @classmethod
    def of(
        cls,
        thickness: float,
        poisson: float,
        length: Floats,
        curvature: Floats,
        stiffness: float = 1.0,
    ) -> Wall:
        """The wall of a material of this Poisson's ratio in plane strain, E* = `stiffness`."""
        square = (curvature * thickness) ** 2
        inertia, ratio = thickness**3 / 12.0, poisson / (1.0 - poisson)
        bending = inertia * (1.0 + 0.15 * square)
        shear_stiffness = SHEAR_AREA * 0.5 * (1.0 - poisson) * thickness
        softness = 12.0 * bending / (shear_stiffness * length**2)
        return cls(
            thickness=thickness,
            ratio=ratio,
            length=length,
            curvature=curvature,
            axial=stiffness * thickness * (1.0 + square / 12.0 + square**2 / 80.0),
            coupling=-stiffness * curvature * bending,
            bending=stiffness * bending,
            shear=3.0 * stiffness * bending / (1.0 + softness),
            slip=0.5 * softness / (1.0 + softness),
            opening=curvature * length,
            by_length=-0.5 * ratio * thickness / length,
            by_turn=-0.125 * ratio * thickness**2 / length,
        )

    def fibre_stresses(
        self, strain: Floats, turn: Floats, total: Floats, outside: Floats
    ) -> Floats:
        """Hoop stress over E* at both ends of each element (2, 2, e): outer fibre first.

        `outside` (2, e) is the pressure on the outer face at both ends, over E*.
        """
        mean, change = turn / self.length, self.shear / self.bending * total / self.length
        bent = np.stack([mean - change, mean + change])
        z = 0.5 * self.thickness
        outer = (strain + z * bent) / (1.0 + z * self.curvature) - self.ratio * outside
        inner = (strain - z * bent) / (1.0 - z * self.curvature)
        return np.stack([outer, inner])
