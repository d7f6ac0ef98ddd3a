"""The one symbol table: key, printed symbol, meaning and unit of every quantity.

Arguments of equations, lines of sheets, names of cells, legends and the glossary all come from
here. `name` is the key of a project file for an input, and the name of the cell for a result.
"""

from __future__ import annotations

from linerdesign.methods.f1216.symbols import SYMBOLS as OF_APPENDIX
from linerdesign.methods.quantity import SYSTEMS as SYSTEMS
from linerdesign.methods.quantity import UNITS as UNITS
from linerdesign.methods.quantity import Quantity as Quantity

SYMBOLS: dict[str, Quantity] = {
    # Host pipe and site
    "D": Quantity("D", "mean inside diameter of the host pipe", "section", "host_diameter"),
    "D_max": Quantity("D_max", "maximum inside diameter", "section", "maximum_diameter"),
    "D_min": Quantity("D_min", "minimum inside diameter", "section", "minimum_diameter"),
    "t_host": Quantity("t_host", "wall thickness of the host pipe", "thickness", "host_wall"),
    "D_crown": Quantity("D_c", "height of the crown above the invert", "section"),
    "q_max": Quantity("q_max", "ovality by the maximum diameter", "percent"),
    "q_min": Quantity("q_min", "ovality by the minimum diameter", "percent"),
    "q_pipe": Quantity("q_p", "ovality of the host pipe", "percent", "ovality"),
    "q_floor": Quantity("q_f", "minimum design ovality", "percent", "minimum_ovality"),
    "q": Quantity("q", "design ovality", "percent", "design_ovality"),
    "C": Quantity("C", "ovality reduction factor", "ratio"),
    "H_invert": Quantity("d_i", "depth of invert below grade", "depth", "invert_depth"),
    "z_ground": Quantity("z_g", "ground elevation", "depth", "ground_elevation"),
    "z_invert": Quantity("z_i", "invert elevation", "depth", "invert_elevation"),
    "z_water": Quantity("z_w", "groundwater elevation", "depth", "groundwater_elevation"),
    "H": Quantity("H", "depth of cover to crown", "depth", "cover"),
    "d_water": Quantity(
        "d_w", "depth of water table below grade", "depth", "groundwater_below_surface"
    ),
    "h_crown": Quantity(
        "h_c",
        "groundwater above crown, as stated",
        "depth",
        "groundwater_above_crown",
    ),
    "h_invert": Quantity("h_i", "groundwater above invert", "depth", "groundwater_above_invert"),
    "H_w": Quantity("H_w", "groundwater above crown", "depth"),
    "w": Quantity("w", "unit weight of soil", "unit weight", "soil_unit_weight"),
    "E_s": Quantity("E'_s", "modulus of soil reaction", "stress", "soil_reaction_modulus"),
    "W_s": Quantity("W_s", "live load at the crown", "stress", "live_load"),
    # Live load by a named method
    "H_ft": Quantity("H_ft", "depth of cover to crown, in feet", "feet"),
    "D_in": Quantity("D_in", "inside diameter, in inches", "inches"),
    "P_wheel": Quantity("P_wh", "wheel load", "pounds"),
    "P_truck": Quantity("P_tr", "wheel load of the truck", "pounds"),
    "P_tandem": Quantity("P_ta", "wheel load of the tandem", "pounds"),
    "w_t": Quantity("w_t", "width of tire contact", "inches"),
    "l_t": Quantity("l_t", "length of tire contact", "inches"),
    "s_wheel": Quantity("s_w", "wheel spacing on an axle", "feet"),
    "s_truck": Quantity("s_tr", "axle spacing of the truck", "feet"),
    "s_tandem": Quantity("s_ta", "axle spacing of the tandem", "feet"),
    "LLDF": Quantity("LLDF", "live load distribution factor", "ratio", "distribution_factor"),
    "m": Quantity("m", "multiple presence factor", "ratio", "multiple_presence"),
    "I_M": Quantity("I_M", "dynamic load allowance", "percent"),
    "F_i": Quantity("F_i", "impact factor", "ratio", "impact_factor"),
    "w_1": Quantity("w_1", "width of one wheel's patch at the crown", "feet"),
    "l_1": Quantity("l_1", "length of one wheel's patch at the crown", "feet"),
    "w_w": Quantity("w_w", "width of the loaded area", "feet"),
    "l_truck": Quantity("l_tr", "length of the loaded area under the truck", "feet"),
    "l_tandem": Quantity("l_ta", "length of the loaded area under the tandem", "feet"),
    "n_wheel": Quantity("n_1", "wheels on one patch of the road", "ratio"),
    "n_axle": Quantity("n_w", "wheels of one axle on the loaded area", "ratio"),
    "n_truck": Quantity("n_tr", "wheels of the truck on the loaded area", "ratio"),
    "n_tandem": Quantity("n_ta", "wheels of the tandem on the loaded area", "ratio"),
    "W_truck": Quantity("W_tr", "live load of the design truck", "psi"),
    "W_tandem": Quantity("W_ta", "live load of the design tandem", "psi"),
    "W_psf": Quantity("W_psf", "live load read from the table", "psf"),
    "W_psi": Quantity("W_psi", "live load at the crown, in psi", "psi"),
    "patch": Quantity("w_p", "side of one patch", "feet"),
    "spacing": Quantity("s_p", "spacing of patches", "feet"),
    "joined": Quantity("w_j", "side of the loaded area", "feet"),
    "n_wheels": Quantity("n_0", "wheels on one patch", "ratio"),
    "n_joined": Quantity("n_j", "wheels on the loaded area", "ratio"),
    "l_w": Quantity("l_w", "length of the loaded area", "feet"),
    "W_vehicle": Quantity("W_v", "live load of one vehicle", "psi"),
    "p_load": Quantity("p_0", "surface pressure", "stress", "load_pressure"),
    "P_load": Quantity("P_0", "concentrated surface load", "force", "load"),
    "L_load": Quantity("L_0", "loaded length along the pipe", "depth", "load_length"),
    "B_load": Quantity("B_0", "loaded width across the pipe", "depth", "load_width"),
    "side": Quantity("s_0", "side of the loaded area", "depth"),
    "half": Quantity("h_0", "half a side of the loaded area", "depth"),
    "a_half": Quantity("a", "half the loaded length", "depth"),
    "b_half": Quantity("b", "half the loaded width", "depth"),
    "R_c": Quantity("R_c", "distance from a corner of the loaded area", "depth"),
    "alpha": Quantity("alpha", "angle of the closed form, in radians", "ratio"),
    "C_s": Quantity("C_s", "surface load coefficient at the crown", "ratio"),
    # Modulus of soil reaction by a table
    "E_psi": Quantity("E_D", "modulus of soil reaction by depth, in psi", "psi"),
    "E_b": Quantity("E'_b", "modulus of soil reaction of the trench fill", "stress", "trench"),
    "E_n": Quantity("E'_n", "modulus of soil reaction of the native soil", "stress", "native"),
    "B_d": Quantity("B_d", "width of the trench", "section", "trench_width"),
    "r_n": Quantity("r_n", "native modulus over trench fill modulus", "ratio"),
    "r_B": Quantity("r_B", "trench width over pipe width", "ratio"),
    "S_c": Quantity("S_c", "soil support combining factor", "ratio"),
    # Liner material
    "E": Quantity("E", "initial flexural modulus", "stress", "flexural_modulus"),
    "r_E": Quantity("r_E", "long-term modulus retention (creep)", "percent", "modulus_retention"),
    "E_L": Quantity("E_L", "long-term flexural modulus", "stress"),
    "sigma": Quantity("sigma", "initial flexural strength", "stress", "flexural_strength"),
    "r_sigma": Quantity(
        "r_sigma", "long-term flexural strength retention", "percent", "strength_retention"
    ),
    "sigma_L": Quantity("sigma_L", "long-term flexural strength", "stress"),
    "nu": Quantity("nu", "Poisson's ratio", "ratio", "poisson_ratio"),
    "sigma_T": Quantity("sigma_T", "initial tensile strength", "stress", "tensile_strength"),
    "r_T": Quantity("r_T", "long-term tensile strength retention", "percent", "tensile_retention"),
    "sigma_TL": Quantity("sigma_TL", "long-term tensile strength", "stress"),
    # Pressure pipe
    "P_i": Quantity("P_i", "internal pressure", "stress", "internal_pressure"),
    "d": Quantity("d", "diameter of hole in the host pipe", "section", "hole_diameter"),
    "P_v": Quantity("P_v", "vacuum inside the pipe", "stress", "vacuum"),
    # Owner's design basis
    "N": Quantity("N", "safety factor", "ratio", "safety_factor"),
    "K": Quantity("K", "enhancement factor", "ratio", "enhancement_factor"),
    "DR_max": Quantity("DR_max", "maximum DR, no groundwater", "ratio", "maximum_dimension_ratio"),
    "t_floor": Quantity("t_f", "owner's minimum thickness", "thickness", "minimum_thickness"),
    "s": Quantity("t_s", "thickness increment", "thickness", "thickness_step"),
    # Loads
    "P": Quantity("P", "external pressure at the invert", "stress"),
    "R_w": Quantity("R_w", "water buoyancy factor", "ratio"),
    "B": Quantity("B'", "coefficient of elastic support", "ratio"),
    "q_t": Quantity("q_t", "total external pressure", "stress"),
    "P_w": Quantity("P_w", "groundwater pressure at the invert", "stress"),
    "q_e": Quantity("q_e", "pressure of water, soil and live load", "stress"),
    "t_DR_limit": Quantity("t_DR", "required thickness, DR limit", "thickness"),
    "t_pressure": Quantity("t_P", "required thickness, internal pressure", "thickness"),
    "t_required": Quantity("t_req", "required thickness", "thickness", "required_thickness"),
    "t_least": Quantity("t_min", "required thickness incl. owner's minimum", "thickness"),
    "n_steps": Quantity("n_s", "number of thickness increments", "ratio"),
    # The wall chosen or checked
    "t": Quantity("t", "nominal thickness", "thickness", "nominal_thickness"),
    "DR": Quantity("DR", "dimension ratio", "ratio"),
    "I": Quantity("I", "moment of inertia of the wall per unit length", "inertia"),
    "P_pressure": Quantity("P_a", "allowable internal pressure at this thickness", "stress"),
    "N_pressure": Quantity("N_P", "safety factor provided, internal pressure", "ratio"),
    "capacity": Quantity("capacity", "capacity of the wall divided by N", "stress"),
    "demand": Quantity("demand", "demand on the wall", "stress"),
    "provided": Quantity("provided", "safety factor provided", "ratio"),
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
    "E_built": Quantity("E_i", "mean as-installed flexural modulus", "stress"),
    "t_built": Quantity("t_i", "mean as-installed thickness", "thickness"),
    "r_S": Quantity("r_S", "as-installed over design stiffness", "percent"),
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
    "p_code": Quantity("p_code", "collapse pressure assumed by X1.1", "stress"),
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
    **OF_APPENDIX,
}


def symbol_of_name(name: str) -> str | None:
    """The key of the quantity that a project file calls `name`, if there is one."""
    return next((key for key, quantity in SYMBOLS.items() if quantity.name == name), None)


def name_of(key: str) -> str:
    """What cells and page elements call a quantity."""
    return SYMBOLS[key].name or key
