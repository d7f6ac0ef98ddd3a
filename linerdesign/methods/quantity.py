"""What a quantity is: its printed symbol, meaning, and unit in each system."""

from __future__ import annotations

from dataclasses import dataclass

UNITS: dict[str, tuple[str, str]] = {
    # kind: (unit in US customary units, unit in SI)
    "section": ("in", "mm"),
    "thickness": ("in", "mm"),
    "depth": ("ft", "m"),
    "stress": ("psi", "MPa"),
    "unit weight": ("pcf", "kN/m^3"),
    "percent": ("%", "%"),
    "ratio": ("", ""),
    "inertia": ("in^3", "mm^3"),
    "force": ("lbf", "kN"),
    # Methods that were published in US units are computed in them on every sheet.
    "feet": ("ft", "ft"),
    "inches": ("in", "in"),
    "pounds": ("lbf", "lbf"),
    "psi": ("psi", "psi"),
    "psf": ("psf", "psf"),
    "angle": ("deg", "deg"),
    # Laboratory, hydraulics and quantities
    "bending load": ("lbf", "N"),
    "bending slope": ("lbf/in", "N/mm"),
    "flow": ("ft^3/s", "m^3/s"),
    "velocity": ("ft/s", "m/s"),
    "temperature": ("degF", "degC"),
    "power": ("kW", "kW"),
    "speed": ("ft/min", "m/min"),
    "energy per length": ("kJ/ft", "kJ/m"),
    "minutes": ("min", "min"),
    "hours": ("h", "h"),
    "years": ("yr", "yr"),
    "area": ("in^2", "mm^2"),
    "volume": ("ft^3", "m^3"),
    "measure": ("gal", "L"),
    "density": ("lb/ft^3", "kg/m^3"),
    "mass per length": ("lb/ft", "kg/m"),
    "mass": ("lb", "kg"),
}
SYSTEMS = ("US", "SI")


@dataclass(frozen=True)
class Quantity:
    """One row of the symbol table."""

    symbol: str
    meaning: str
    kind: str
    name: str = ""

    def unit(self, system: str) -> str:
        """The unit in which sheets of this system carry the quantity."""
        return UNITS[self.kind][SYSTEMS.index(system)]
