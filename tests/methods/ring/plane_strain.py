"""Independent route for thick walls: the liner as a plane-strain continuum of finite elements.

Nothing of the package is used. Half a ring of nine-node elements, two through the wall; elastic
law linear in the stretches (stress over E* equals strain in the rotated frame, as in a beam), so
that no material stiffens or softens with strain; hydrostatic pressure on the outer face as pressure
times enclosed area; the host a rigid, frictionless circle by penalty. From a given guess the crown
is held at several depths and the pressure that goes with each found; collapse is the greatest.
There are no sections, no shear coefficient and no thickening that is assumed.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import bmat, coo_matrix
from scipy.sparse.linalg import splu

POINTS = np.array([-np.sqrt(0.6), 0.0, np.sqrt(0.6)])
NEAR = 0.05
WEIGHTS = np.array([5.0, 8.0, 5.0]) / 9.0


def _quadratic(x):
    """Lagrange polynomials of nodes -1, 0, 1, and their slopes."""
    value = np.array([x * (x - 1) / 2, 1 - x**2, x * (x + 1) / 2])
    return value, np.array([x - 0.5, -2 * x, x + 0.5])


@dataclass(frozen=True)
class Continuum:
    """Half a ring, invert to crown. The host's radius and E* = E/(1 - nu^2) are 1."""

    dimension_ratio: float
    imperfection: float = 0.001
    gap: float = 0.0
    poisson: float = 0.3
    around: int = 40
    through: int = 2
    stiffness: float = 200.0

    @property
    def thickness(self):
        return 2.0 / self.dimension_ratio

    @cached_property
    def grid(self):
        """Node numbers (2 around + 1, 2 through + 1), inner face first."""
        shape = (2 * self.around + 1, 2 * self.through + 1)
        return np.arange(shape[0] * shape[1]).reshape(shape)

    @cached_property
    def nodes(self):
        angle = np.linspace(0.0, np.pi, 2 * self.around + 1)  # from the invert
        from_crown, half = np.pi - angle, np.radians(20.0)
        inside = from_crown < half
        bulge = np.where(
            inside, self.imperfection * np.cos(np.pi * from_crown / half / 2) ** 2, 0.0
        )
        slope = np.where(
            inside, self.imperfection * np.sin(np.pi * from_crown / half) * np.pi / half / 2, 0.0
        )
        radius = 1.0 - self.gap - 0.5 * self.thickness - bulge
        radial = np.stack([np.sin(angle), -np.cos(angle)], -1)
        along = np.stack([np.cos(angle), np.sin(angle)], -1)
        normal = radius[:, None] * radial + slope[:, None] * along
        normal /= np.linalg.norm(normal, axis=1)[:, None]
        z = np.linspace(-0.5, 0.5, 2 * self.through + 1) * self.thickness
        return (radius[:, None] * radial)[:, None] + z[None, :, None] * normal[:, None]

    @cached_property
    def elements(self):
        g = self.grid
        return np.array(
            [
                [g[2 * i + a, 2 * j + b] for a in range(3) for b in range(3)]
                for i in range(self.around)
                for j in range(self.through)
            ]
        )

    @cached_property
    def gradients(self):
        """Shape function gradients (e, gauss, 9, 2) and volumes (e, gauss)."""
        place = self.nodes.reshape(-1, 2)[self.elements]
        found, volume = [], []
        for x, wx in zip(POINTS, WEIGHTS, strict=True):
            for y, wy in zip(POINTS, WEIGHTS, strict=True):
                (nx, dx), (ny, dy) = _quadratic(x), _quadratic(y)
                local = np.stack([np.outer(dx, ny).ravel(), np.outer(nx, dy).ravel()], -1)
                jacobian = np.einsum("enk,nl->ekl", place, local)
                found.append(np.einsum("nl,elk->enk", local, np.linalg.inv(jacobian)))
                volume.append(np.abs(np.linalg.det(jacobian)) * wx * wy)
        return np.stack(found, 1), np.stack(volume, 1)

    @cached_property
    def free(self):
        fixed = np.zeros(self.nodes.reshape(-1, 2).shape, dtype=bool)
        fixed[self.grid[[0, -1]].ravel(), 0] = True
        return ~fixed.ravel()

    @cached_property
    def lame(self):
        nu = self.poisson
        modulus = 1.0 - nu**2
        shear = modulus / (2 * (1 + nu))
        return shear, modulus * nu / ((1 + nu) * (1 - 2 * nu))

    def strain_terms(self, u):
        """Gradient and matrix of the strain energy."""
        shape, volume = self.gradients
        shear, bulk = self.lame
        F = np.eye(2) + np.einsum("eni,egnj->egij", u.reshape(-1, 2)[self.elements], shape)
        a, b = F[..., 0, 0] + F[..., 1, 1], F[..., 1, 0] - F[..., 0, 1]
        s = np.hypot(a, b)
        one, turned = np.array([1.0, 0, 0, 1]), np.array([0.0, -1, 1, 0])
        slope = (a[..., None] * one + b[..., None] * turned) / s[..., None]
        factor = bulk * (s - 2) - 2 * shear
        stress = 2 * shear * F.reshape(*s.shape, 4) + factor[..., None] * slope
        square = slope[..., :, None] * slope[..., None, :]
        spin = np.outer(one, one) + np.outer(turned, turned)
        stiff = 2 * shear * np.eye(4) + bulk * square
        stiff = stiff + (factor / s)[..., None, None] * (spin - square)
        force = np.einsum("eg,egij,egnj->eni", volume, stress.reshape(*s.shape, 2, 2), shape)
        stiff = stiff.reshape(*s.shape, 2, 2, 2, 2)
        half = np.einsum("egijkl,egml->egijmk", stiff, shape)
        matrix = np.einsum("eg,egnj,egijmk->enimk", volume, shape, half, optimize=True)
        number = (2 * self.elements[:, :, None] + np.arange(2)).reshape(len(self.elements), -1)
        size = u.size
        total = np.bincount(number.ravel(), force.ravel(), size)
        rows, columns = np.broadcast_arrays(number[:, :, None], number[:, None, :])
        matrix = matrix.reshape(len(number), 18, 18)
        return total, coo_matrix((matrix.ravel(), (rows.ravel(), columns.ravel())), (size, size))

    @cached_property
    def area_matrix(self):
        """Q with u^T Q u/2 the area inside the outer face, u whole coordinates."""
        rows, columns, values = [], [], []
        cross = np.zeros((3, 3))
        for x, w in zip(POINTS, WEIGHTS, strict=True):
            n, d = _quadratic(x)
            cross += w * (np.outer(n, d) - np.outer(d, n))
        outer = self.grid[:, -1]
        for start in range(0, len(outer) - 2, 2):
            three = outer[start : start + 3]
            for i in range(3):
                for j in range(3):
                    rows += [2 * three[i], 2 * three[j] + 1]
                    columns += [2 * three[j] + 1, 2 * three[i]]
                    values += [0.5 * cross[i, j]] * 2
        size = self.grid.size * 2
        return coo_matrix((values, (rows, columns)), (size, size)).tocsc()

    def contact_terms(self, u):
        outer = self.grid[:, -1]
        point = self.nodes[:, -1] + u.reshape(-1, 2)[outer]
        step = np.pi / (2 * self.around)
        weight = np.where(np.arange(len(outer)) % 2, 4.0, 2.0) * step / 3
        weight[[0, -1]] = step / 3
        radius = np.linalg.norm(point, axis=1)
        normal = point / radius[:, None]
        depth, soft = radius - 1.0, 1e-4 * self.thickness
        early = depth < soft
        inside = np.maximum(depth, 0.0)
        push = np.where(early, inside**2 / (2 * soft), inside - soft / 2) * self.stiffness * weight
        slope = np.where(early, inside / soft, 1.0) * self.stiffness * weight
        block = slope[:, None, None] * normal[:, :, None] * normal[:, None, :]
        block += (push / radius)[:, None, None] * (
            np.eye(2) - normal[:, :, None] * normal[:, None, :]
        )
        number = 2 * outer[:, None] + np.arange(2)
        force = np.bincount(number.ravel(), (push[:, None] * normal).ravel(), u.size)
        rows, columns = np.broadcast_arrays(number[:, :, None], number[:, None, :])
        return force, coo_matrix((block.ravel(), (rows.ravel(), columns.ravel())), (u.size,) * 2)

    def guess(self, middle_line, turns, pressure):
        """Displacements (m,) and pressure from a deformed middle line (2 around + 1, 2) and how
        far each section has turned: where Newton's method starts, and no more."""
        across = self.nodes - self.nodes[:, [self.through]]
        cosine, sine = np.cos(turns)[:, None], np.sin(turns)[:, None]
        turned = np.stack(
            [
                cosine * across[..., 0] - sine * across[..., 1],
                sine * across[..., 0] + cosine * across[..., 1],
            ],
            -1,
        )
        place = middle_line[:, None] + turned
        return np.append((place - self.nodes).ravel(), pressure)

    def collapse(self, guess):
        """Greatest pressure over E* of the equilibria around a guess."""
        depth = -guess[2 * self.grid[-1, -1] + 1]
        middle = self._settled(guess, depth)
        outwards = self._held(middle, depth * np.array([0.95, 0.9, 0.85]))
        inwards = self._held(middle, depth * np.array([1.05, 1.1, 1.15]))
        pressures = np.array([*outwards[::-1], middle[-1], *inwards])
        depths = depth * np.linspace(0.85, 1.15, 7)
        top = int(np.argmax(pressures))
        assert 0 < top < len(depths) - 1
        three = slice(top - 1, top + 2)
        a, b, c = np.polyfit(depths[three] / depth, pressures[three], 2)
        return c - b**2 / (4 * a)

    def inner_stress(self, guess):
        """Hoop stress over E* of the inner fibre at the crown, the crown as deep as in the guess:
        nothing presses on that face, so it is the stretch of the face less 1."""
        settled = self._settled(guess, -guess[2 * self.grid[-1, -1] + 1])
        last = self.grid[-3:, 0]
        before = self.nodes.reshape(-1, 2)[last]
        after = before + settled[:-1].reshape(-1, 2)[last]
        slope = np.array([0.5, -2.0, 1.5])
        return np.linalg.norm(slope @ after) / np.linalg.norm(slope @ before) - 1.0

    def _held(self, start, depths):
        """The pressures that go with these depths, one after the other."""
        pressures = []
        for depth in depths:
            start = self._settled(start, depth)
            pressures.append(start[-1])
        return pressures

    def _settled(self, guess, depth):
        """The equilibrium near the guess with the crown at this depth, by Newton's method in steps
        of some length. Others, with a second lobe at the invert, lie far off."""
        for longest, most in ((0.01, 60), (0.005, 120), (0.0007, 400)):
            found = self._newton(guess, depth, longest, most)
            if found is not None and np.max(np.abs(found - guess)[:-1]) < NEAR:
                return found
        raise AssertionError(f"no equilibrium at a depth of {depth}")

    def _newton(self, guess, depth, longest, most):
        free, u, p = np.flatnonzero(self.free), guess[:-1].copy(), guess[-1]
        row = np.zeros((1, u.size))
        row[0, 2 * self.grid[-1, -1] + 1] = 1.0
        for _ in range(most):
            force, matrix = self.strain_terms(u)
            push, block = self.contact_terms(u)
            load = self.area_matrix @ (self.nodes.ravel() + u)
            off = (force + push + p * load)[free]
            missed = float(row[0] @ u) + depth
            if np.max(np.abs(off)) < 1e-11 and abs(missed) < 1e-12:
                return np.append(u, p)
            stiff = ((matrix + block).tocsc() + p * self.area_matrix)[free][:, free]
            whole = bmat([[stiff, load[free][:, None]], [row[:, free], None]], format="csc")
            step = splu(whole).solve(-np.append(off, missed))
            step *= min(1.0, longest / np.max(np.abs(step)))
            u[free] += step[:-1]
            p += step[-1]
        return None
