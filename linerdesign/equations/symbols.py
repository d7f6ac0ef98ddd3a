"""The one symbol table: key, printed symbol, meaning and unit of every quantity.

Arguments of equations, lines of sheets, names of cells, legends and the glossary all come from
here. `name` is the key of a project file for an input, and the name of the cell for a result.
"""

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


SYMBOLS: dict[str, Quantity] = {
    # Host pipe and site
    "D": Quantity("D", "mean inside diameter of the host pipe", "section", "host_diameter"),
    "D_max": Quantity("D_max", "maximum inside diameter", "section", "maximum_diameter"),
    "D_min": Quantity("D_min", "minimum inside diameter", "section", "minimum_diameter"),
    "t_host": Quantity("t_host", "wall thickness of the host pipe", "thickness", "host_wall"),
    "D_crown": Quantity("D_c", "rise from the invert to the top of the host pipe", "section"),
    "q_max": Quantity("q_max", "ovality from the maximum diameter", "percent"),
    "q_min": Quantity("q_min", "ovality from the minimum diameter", "percent"),
    "q_pipe": Quantity("q_p", "ovality of the pipe", "percent", "ovality"),
    "q_floor": Quantity("q_f", "least ovality to design for", "percent", "minimum_ovality"),
    "q": Quantity("q", "ovality designed for", "percent", "design_ovality"),
    "C": Quantity("C", "ovality reduction factor", "ratio"),
    "H_invert": Quantity("H_i", "depth of the invert below ground", "depth", "invert_depth"),
    "z_ground": Quantity("z_g", "elevation of the ground", "depth", "ground_elevation"),
    "z_invert": Quantity("z_i", "elevation of the invert", "depth", "invert_elevation"),
    "z_water": Quantity("z_w", "elevation of the groundwater", "depth", "groundwater_elevation"),
    "H": Quantity("H", "soil cover above the top of the pipe", "depth", "cover"),
    "d_water": Quantity(
        "d_w", "depth of the groundwater below ground", "depth", "groundwater_below_surface"
    ),
    "h_crown": Quantity(
        "h_c",
        "groundwater above the top of the pipe, as stated",
        "depth",
        "groundwater_above_crown",
    ),
    "h_invert": Quantity(
        "h_i", "groundwater above the invert", "depth", "groundwater_above_invert"
    ),
    "H_w": Quantity("H_w", "groundwater above the top of the pipe", "depth"),
    "w": Quantity("w", "unit weight of the soil", "unit weight", "soil_unit_weight"),
    "E_s": Quantity("E'_s", "modulus of soil reaction", "stress", "soil_reaction_modulus"),
    "W_s": Quantity("W_s", "live load at the top of the pipe", "stress", "live_load"),
    # Liner material
    "E": Quantity("E", "initial flexural modulus", "stress", "flexural_modulus"),
    "r_E": Quantity("r_E", "modulus retained in the long term", "percent", "modulus_retention"),
    "E_L": Quantity("E_L", "long-term flexural modulus", "stress"),
    "sigma": Quantity("sigma", "initial flexural strength", "stress", "flexural_strength"),
    "r_sigma": Quantity(
        "r_sigma", "flexural strength retained in the long term", "percent", "strength_retention"
    ),
    "sigma_L": Quantity("sigma_L", "long-term flexural strength", "stress"),
    "nu": Quantity("nu", "Poisson's ratio", "ratio", "poisson_ratio"),
    # Owner's design basis
    "N": Quantity("N", "safety factor", "ratio", "safety_factor"),
    "K": Quantity("K", "enhancement factor of the host's support", "ratio", "enhancement_factor"),
    "DR_max": Quantity(
        "DR_max", "largest dimension ratio without groundwater", "ratio", "maximum_dimension_ratio"
    ),
    "t_floor": Quantity("t_f", "least nominal thickness", "thickness", "minimum_thickness"),
    "s": Quantity("s", "step of the nominal thickness", "thickness", "thickness_step"),
    # Loads
    "P": Quantity("P", "external pressure on the liner, from the invert", "stress"),
    "R_w": Quantity("R_w", "water buoyancy factor", "ratio"),
    "B": Quantity("B'", "coefficient of elastic support", "ratio"),
    "q_t": Quantity("q_t", "total external pressure on the pipe", "stress"),
    # Thickness required
    "t_X1_1": Quantity("t_X1.1", "thickness required by X1.1", "thickness"),
    "t_X1_2": Quantity("t_X1.2", "thickness required by X1.2", "thickness"),
    "t_DR_limit": Quantity("t_DR", "thickness required by the DR limit", "thickness"),
    "t_X1_3": Quantity("t_X1.3", "thickness required by X1.3", "thickness"),
    "t_X1_4": Quantity("t_X1.4", "thickness required by X1.4", "thickness"),
    "t_required": Quantity("t_req", "thickness required", "thickness", "required_thickness"),
    "t_least": Quantity("t_min", "thickness required, with the owner's floor", "thickness"),
    "n_steps": Quantity("n", "steps of thickness", "ratio"),
    # The wall chosen or checked
    "t": Quantity("t", "nominal thickness", "thickness", "nominal_thickness"),
    "DR": Quantity("DR", "dimension ratio", "ratio"),
    "I": Quantity("I", "moment of inertia of the wall per unit length", "inertia"),
    "P_X1_1": Quantity("P_X1.1", "pressure allowed by X1.1", "stress"),
    "N_X1_1": Quantity("N_X1.1", "safety factor provided in X1.1", "ratio"),
    "sigma_X1_2": Quantity("sigma_X1.2", "bending stress by X1.2", "stress"),
    "sigma_allowed": Quantity("sigma_a", "bending stress allowed by X1.2", "stress"),
    "N_X1_2": Quantity("N_X1.2", "safety factor provided in X1.2", "ratio"),
    "q_X1_3": Quantity("q_X1.3", "pressure allowed by X1.3", "stress"),
    "N_X1_3": Quantity("N_X1.3", "safety factor provided in X1.3", "ratio"),
    "S_X1_4": Quantity("S_X1.4", "stiffness of the liner, E*I/D^3", "stress"),
    "capacity": Quantity("capacity", "what the wall carries, divided by N", "stress"),
    "demand": Quantity("demand", "what is asked of the wall", "stress"),
    "provided": Quantity("provided", "safety factor provided", "ratio"),
    "S_min": Quantity("S_min", "least stiffness by X1.4", "stress"),
}


def symbol_of_name(name: str) -> str | None:
    """The key of the quantity that a project file calls `name`, if there is one."""
    return next((key for key, quantity in SYMBOLS.items() if quantity.name == name), None)


def name_of(key: str) -> str:
    """What cells and page elements call a quantity."""
    return SYMBOLS[key].name or key
