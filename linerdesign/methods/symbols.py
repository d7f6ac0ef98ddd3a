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
    "area": ("in^2", "mm^2"),
    "volume": ("ft^3", "m^3"),
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
    "H_invert": Quantity("d_i", "depth of the invert below ground", "depth", "invert_depth"),
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
    # Live load by a named method
    "H_ft": Quantity("H_ft", "soil cover above the top of the pipe, in feet", "feet"),
    "D_in": Quantity("D_in", "inside diameter, in inches", "inches"),
    "P_wheel": Quantity("P_wh", "load of one wheel", "pounds"),
    "P_truck": Quantity("P_tr", "load of one wheel of the truck", "pounds"),
    "P_tandem": Quantity("P_ta", "load of one wheel of the tandem", "pounds"),
    "w_t": Quantity("w_t", "width of a tyre on the road", "inches"),
    "l_t": Quantity("l_t", "length of a tyre on the road", "inches"),
    "s_wheel": Quantity("s_w", "distance between the wheels of an axle", "feet"),
    "s_truck": Quantity("s_tr", "distance between the axles of the truck", "feet"),
    "s_tandem": Quantity("s_ta", "distance between the axles of the tandem", "feet"),
    "LLDF": Quantity("LLDF", "spread of a wheel load with depth", "ratio", "distribution_factor"),
    "m": Quantity("m", "multiple presence factor", "ratio", "multiple_presence"),
    "I_M": Quantity("I_M", "impact allowance", "percent"),
    "F_i": Quantity("F_i", "impact factor", "ratio", "impact_factor"),
    "w_1": Quantity("w_1", "width of one wheel's patch at the top of the pipe", "feet"),
    "l_1": Quantity("l_1", "length of one wheel's patch at the top of the pipe", "feet"),
    "w_w": Quantity("w_w", "width of the loaded area", "feet"),
    "l_truck": Quantity("l_tr", "length of the loaded area under the truck", "feet"),
    "l_tandem": Quantity("l_ta", "length of the loaded area under the tandem", "feet"),
    "n_wheel": Quantity("n_1", "wheels at one place of the road", "ratio"),
    "n_axle": Quantity("n_w", "wheels of one axle on the loaded area", "ratio"),
    "n_truck": Quantity("n_tr", "wheels of the truck on the loaded area", "ratio"),
    "n_tandem": Quantity("n_ta", "wheels of the tandem on the loaded area", "ratio"),
    "W_truck": Quantity("W_tr", "live load of the design truck", "psi"),
    "W_tandem": Quantity("W_ta", "live load of the design tandem", "psi"),
    "W_psf": Quantity("W_psf", "live load read from the table", "psf"),
    "W_psi": Quantity("W_psi", "live load at the top of the pipe, in psi", "psi"),
    "patch": Quantity("w_p", "side of one patch", "feet"),
    "spacing": Quantity("s_p", "distance between neighbours", "feet"),
    "joined": Quantity("w_j", "side of the loaded area", "feet"),
    "n_wheels": Quantity("n_0", "wheels on one patch", "ratio"),
    "n_joined": Quantity("n_j", "wheels on the loaded area", "ratio"),
    "l_w": Quantity("l_w", "length of the loaded area", "feet"),
    "W_vehicle": Quantity("W_v", "live load of one vehicle", "psi"),
    "p_load": Quantity("p_0", "load on the ground", "stress", "load_pressure"),
    "P_load": Quantity("P_0", "single load on the ground", "force", "load"),
    "L_load": Quantity("L_0", "length loaded, along the pipe", "depth", "load_length"),
    "B_load": Quantity("B_0", "width loaded, across the pipe", "depth", "load_width"),
    "side": Quantity("s_0", "side of the loaded area", "depth"),
    "half": Quantity("h_0", "half a side of the loaded area", "depth"),
    "a_half": Quantity("a", "half the length loaded", "depth"),
    "b_half": Quantity("b", "half the width loaded", "depth"),
    "R_c": Quantity("R_c", "distance from a corner of the loaded area", "depth"),
    "alpha": Quantity("alpha", "angle of the closed form, in radians", "ratio"),
    "C_s": Quantity("C_s", "share of the surface load at the top of the pipe", "ratio"),
    # Modulus of soil reaction by a table
    "E_psi": Quantity("E_D", "modulus of soil reaction by depth, in psi", "psi"),
    "E_b": Quantity("E'_b", "modulus of the trench fill", "stress", "trench"),
    "E_n": Quantity("E'_n", "modulus of the native soil", "stress", "native"),
    "B_d": Quantity("B_d", "width of the trench", "section", "trench_width"),
    "r_n": Quantity("r_n", "native modulus over that of the trench fill", "ratio"),
    "r_B": Quantity("r_B", "width of the trench over that of the pipe", "ratio"),
    "S_c": Quantity("S_c", "soil support combining factor", "ratio"),
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
    "sigma_T": Quantity("sigma_T", "initial tensile strength", "stress", "tensile_strength"),
    "r_T": Quantity(
        "r_T", "tensile strength retained in the long term", "percent", "tensile_retention"
    ),
    "sigma_TL": Quantity("sigma_TL", "long-term tensile strength", "stress"),
    # Pressure pipe
    "P_i": Quantity("P_i", "internal pressure", "stress", "internal_pressure"),
    "d": Quantity("d", "diameter of the hole in the host pipe", "section", "hole_diameter"),
    "P_v": Quantity("P_v", "vacuum inside the pipe", "stress", "vacuum"),
    # Owner's design basis
    "N": Quantity("N", "safety factor", "ratio", "safety_factor"),
    "K": Quantity("K", "enhancement factor of the host's support", "ratio", "enhancement_factor"),
    "DR_max": Quantity(
        "DR_max", "largest dimension ratio without groundwater", "ratio", "maximum_dimension_ratio"
    ),
    "t_floor": Quantity("t_f", "least nominal thickness", "thickness", "minimum_thickness"),
    "s": Quantity("t_s", "step of the nominal thickness", "thickness", "thickness_step"),
    # Loads
    "P": Quantity("P", "external pressure on the liner, from the invert", "stress"),
    "R_w": Quantity("R_w", "water buoyancy factor", "ratio"),
    "B": Quantity("B'", "coefficient of elastic support", "ratio"),
    "q_t": Quantity("q_t", "total external pressure on the pipe", "stress"),
    "P_w": Quantity("P_w", "groundwater pressure at the invert", "stress"),
    "q_e": Quantity("q_e", "pressure of water, soil and live load", "stress"),
    # Thickness required
    "t_X1_1": Quantity("t_X1.1", "thickness required by X1.1", "thickness"),
    "a_q": Quantity("a_q", "coefficient of the square of DR in X1.2", "ratio"),
    "b_q": Quantity("b_q", "coefficient of DR in X1.2", "ratio"),
    "t_X1_2": Quantity("t_X1.2", "thickness required by X1.2", "thickness"),
    "t_DR_limit": Quantity("t_DR", "thickness required by the DR limit", "thickness"),
    "t_X1_3": Quantity("t_X1.3", "thickness required by X1.3", "thickness"),
    "t_X1_4": Quantity("t_X1.4", "thickness required by X1.4", "thickness"),
    "t_X1_5": Quantity("t_X1.5", "thickness at which X1.5 turns from X1.7 to X1.6", "thickness"),
    "t_X1_6": Quantity("t_X1.6", "thickness required by X1.6", "thickness"),
    "t_X1_7": Quantity("t_X1.7", "thickness required by X1.7", "thickness"),
    "t_pressure": Quantity("t_P", "thickness required by the internal pressure", "thickness"),
    "t_required": Quantity("t_req", "thickness required", "thickness", "required_thickness"),
    "t_least": Quantity("t_min", "thickness required, with the owner's floor", "thickness"),
    "n_steps": Quantity("n_s", "steps of thickness", "ratio"),
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
    "r_hole": Quantity("r_d", "largest ratio d/D that X1.5 directs to X1.6", "ratio"),
    "P_X1_6": Quantity("P_X1.6", "internal pressure allowed by X1.6", "stress"),
    "P_X1_7": Quantity("P_X1.7", "internal pressure allowed by X1.7", "stress"),
    "N_X1_7": Quantity("N_X1.7", "safety factor provided in X1.7", "ratio"),
    "P_pressure": Quantity("P_a", "internal pressure allowed at this thickness", "stress"),
    "N_pressure": Quantity("N_P", "safety factor provided under internal pressure", "ratio"),
    "capacity": Quantity("capacity", "what the wall carries, divided by N", "stress"),
    "demand": Quantity("demand", "what is asked of the wall", "stress"),
    "provided": Quantity("provided", "safety factor provided", "ratio"),
    "S_min": Quantity("S_min", "least stiffness by X1.4", "stress"),
    # Bending tests and installed walls
    "P_b": Quantity("P_b", "load at mid-span of a bending test", "bending load"),
    "delta_b": Quantity("delta_b", "deflection at mid-span of a bending test", "section"),
    "L_b": Quantity("L_b", "span of a bending test", "section"),
    "b_b": Quantity("b_b", "width of a specimen", "section"),
    "d_b": Quantity("d_b", "depth of a specimen", "section"),
    "m_b": Quantity("m_b", "slope of load on deflection", "bending slope"),
    "sigma_b": Quantity("sigma_b", "flexural stress of a specimen", "stress"),
    "epsilon_b": Quantity("epsilon_b", "flexural strain of a specimen", "ratio"),
    "E_b_test": Quantity("E_b", "flexural modulus of a specimen", "stress"),
    "E_built": Quantity("E_i", "mean flexural modulus as installed", "stress"),
    "t_built": Quantity("t_i", "mean thickness as installed", "thickness"),
    "r_S": Quantity("r_S", "stiffness as installed over the stiffness designed", "percent"),
    # Encased ring
    "E_plane": Quantity("E_p", "long-term modulus in plane strain", "stress"),
    "k_lobes": Quantity("k", "lobes around the ring", "ratio"),
    "k_one": Quantity("k_1", "lobes taken with a gap and in the perimeter form", "ratio"),
    "p_free": Quantity("p_f", "collapse pressure of the free ring", "stress"),
    "p_Glock": Quantity("p_G", "collapse pressure by Glock, one lobe", "stress"),
    "p_lobes": Quantity("p_k", "collapse pressure by Glock, several lobes", "stress"),
    "g": Quantity("g", "annular gap before loading, over D/2", "percent"),
    "r_gap": Quantity(
        "lambda", "shortening of the wall by the gap over that by thrust, at collapse", "ratio"
    ),
    "a_lobe": Quantity("a_l", "depth of the lobe at collapse, over 4 R (phi/100)^2", "ratio"),
    "phi_lobe": Quantity("phi", "opening of the lobe at collapse, over the ring", "percent"),
    "g_closed": Quantity("g_c", "gap that goes with this lobe, over D/2", "percent"),
    "p_gap": Quantity("p_gap", "collapse pressure by Glock with a gap", "stress"),
    "L_mid": Quantity("L_m", "perimeter of the middle line", "section"),
    "R_flat": Quantity("R_f", "radius of the middle line where it is flattest", "section"),
    "p_perimeter": Quantity("p_P", "collapse pressure by the perimeter form", "stress"),
    "p_solved": Quantity("p_n", "collapse pressure by the numerical model", "stress"),
    "p_code": Quantity("p_code", "collapse pressure that X1.1 takes", "stress"),
    "p_ring": Quantity("p_r", "collapse pressure of a ring", "stress"),
    "K_equal": Quantity("K_e", "enhancement factor that gives the same pressure", "ratio"),
    "K_Glock": Quantity("K_G", "enhancement factor of Glock, one lobe", "ratio"),
    "K_several": Quantity("K_k", "enhancement factor of Glock, several lobes", "ratio"),
    "K_gap": Quantity("K_gap", "enhancement factor of Glock with a gap", "ratio"),
    "K_perimeter": Quantity("K_P", "enhancement factor of the perimeter form", "ratio"),
    "K_solved": Quantity("K_n", "enhancement factor of the numerical model", "ratio"),
    # Capacity
    "n_host": Quantity("n_h", "Manning's n of the host pipe", "ratio"),
    "n_liner": Quantity("n_l", "Manning's n of the liner", "ratio"),
    "n_bore": Quantity("n_M", "Manning's n", "ratio"),
    "D_liner": Quantity("D_l", "inside diameter of the liner", "section"),
    "D_bore": Quantity("D_f", "inside diameter of a pipe running full", "section"),
    "S_bed": Quantity("S", "slope of the bed", "percent"),
    "r_Q": Quantity("r_Q", "full-flow capacity after lining over that before", "percent"),
    "Q_full": Quantity("Q", "flow of a pipe running full", "flow"),
    "Q_before": Quantity("Q_h", "full flow before lining", "flow"),
    "Q_after": Quantity("Q_l", "full flow after lining", "flow"),
    # Quantities
    "L_pipe": Quantity("L", "length to line", "depth"),
    "L_extra": Quantity("L_x", "length of tube left over at the ends", "depth"),
    "L_tube": Quantity("L_o", "length of tube", "depth"),
    "A_wall": Quantity("A_w", "area of the wall in a section", "area"),
    "V_wall": Quantity("V_w", "volume of the wall", "volume"),
    "x_share": Quantity("x_r", "resin as share of the wall by volume", "percent"),
    "x_resin": Quantity("x_e", "excess of resin", "percent"),
    "V_resin": Quantity("V_r", "volume of resin", "volume"),
    "rho": Quantity("rho", "density of the cured wall", "density"),
    "m_length": Quantity("m_L", "mass of the cured wall per length", "mass per length"),
    "m_total": Quantity("m_t", "mass of the cured wall", "mass"),
    "t_tube": Quantity("t_t", "thickness of the tube unstretched", "thickness"),
    "D_tube": Quantity("D_t", "diameter that the tube is made for", "section"),
    "D_wide": Quantity("D_s", "diameter that the tube is stretched to", "section"),
    "t_mid": Quantity("t_m", "thickness after stretch, by diameters at mid-wall", "thickness"),
    "t_out": Quantity("t_o", "thickness after stretch, by outside diameters", "thickness"),
    # Legs of a line
    "D_leg": Quantity("D_g", "mean inside diameter of the host in this leg", "section"),
    "t_leg": Quantity("t_g", "wall thickness delivered in this leg", "thickness"),
    "x_stretch": Quantity("x_s", "circumferential stretch of the tube", "percent"),
    "R_bend": Quantity("R_be", "centre-line radius of the bend", "section"),
    "alpha_bend": Quantity("alpha_b", "angle of the bend", "angle"),
    "x_bend": Quantity("x_b", "change of length at the sides of the bend", "percent"),
    "t_bend_out": Quantity("t_bo", "wall thickness at the outer side of the bend", "thickness"),
    "t_bend_in": Quantity("t_bi", "wall thickness at the inner side of the bend", "thickness"),
    "L_excess": Quantity("L_e", "excess length at the inner side of the bend", "section"),
    "h_wrinkle": Quantity("h_wr", "largest wrinkle height at the inner side", "section"),
    "h_fin": Quantity("h_l", "largest height of the longitudinal fold", "section"),
}


def symbol_of_name(name: str) -> str | None:
    """The key of the quantity that a project file calls `name`, if there is one."""
    return next((key for key, quantity in SYMBOLS.items() if quantity.name == name), None)


def name_of(key: str) -> str:
    """What cells and page elements call a quantity."""
    return SYMBOLS[key].name or key
