"""Rows with the size of their tube: the wall that it delivers in the host, on arrays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import at_least, over
from linerdesign.methods.hydraulics import fills
from linerdesign.methods.legs import SAME_DIAMETER, circumferential_stretch, is_stretched
from linerdesign.methods.quantities import stretched_by_outside_diameter
from linerdesign.project.models import Resin

TUBE = ("tube_diameter", "tube_thickness")


@dataclass(frozen=True)
class Tubes:
    """Tubes of many rows, one entry a row, all lengths in mm.

    `host` are the diameters that they are stretched to.
    """

    diameter: NDArray[np.float64]
    thickness: NDArray[np.float64]
    host: NDArray[np.float64]

    @property
    def no_bore(self) -> Any:
        """Where the wall fills the tube."""
        return fills(self.diameter, self.thickness)

    @property
    def delivered(self) -> Any:
        """The wall in the host: stretched where the host is wider than the tube."""
        with np.errstate(invalid="ignore"):
            thinner = stretched_by_outside_diameter(self.thickness, self.diameter, self.host)
        return np.where(is_stretched(self.host, self.diameter), thinner, self.thickness)

    def short(self, needed: Any) -> Any:
        """Where less is delivered than needed."""
        return ~np.asarray(at_least(self.delivered, needed))

    def beyond(self, resin: Resin) -> Any:
        """Where the stretch is over what the data of the system allow."""
        if resin.maximum_stretch is None:
            return np.zeros(self.host.shape, bool)
        stretch = circumferential_stretch(self.host, self.diameter)
        allowed = max(resin.maximum_stretch.number, 100 * SAME_DIAMETER)
        return np.asarray(over(stretch, allowed))
