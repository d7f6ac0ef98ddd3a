"""Round numbers for the worked line of an equation: the published 48 in example, filled up."""

from __future__ import annotations

from linerdesign.equations.symbols import SYMBOLS

_US = {
    "D": 48.0,
    "D_max": 49.0,
    "D_min": 47.0,
    "t_host": 5.0,
    "D_crown": 48.0,
    "q_max": 2.0,
    "q_min": 1.5,
    "q_pipe": 2.0,
    "q": 2.0,
    "C": 0.836,
    "H_invert": 20.0,
    "z_ground": 120.0,
    "z_invert": 100.0,
    "z_water": 112.0,
    "H": 16.0,
    "d_water": 8.0,
    "h_crown": 8.0,
    "h_invert": 12.0,
    "H_w": 8.0,
    "w": 120.0,
    "E_s": 1000.0,
    "W_s": 0.35,
    "E": 250000.0,
    "r_E": 50.0,
    "E_L": 125000.0,
    "sigma": 4500.0,
    "r_sigma": 50.0,
    "sigma_L": 2250.0,
    "nu": 0.3,
    "N": 2.0,
    "K": 7.0,
    "DR_max": 100.0,
    "P": 5.2,
    "R_w": 0.835,
    "B": 0.414,
    "q_t": 14.9,
    "t_required": 1.01,
    "t_least": 1.01,
    "t": 1.063,
    "s": 0.059055,
    "n_steps": 18.0,
    "DR": 45.2,
    "I": 0.1,
    "S_min": 0.093,
    "n_host": 0.014,
    "n_liner": 0.010,
    "n_bore": 0.014,
    "D_liner": 45.874,
    "D_bore": 48.0,
    "S_bed": 0.4,
    "L_pipe": 320.0,
    "L_extra": 8.0,
    "L_tube": 328.0,
    "A_wall": 156.7,
    "V_wall": 356.9,
    "x_share": 85.0,
    "x_resin": 8.0,
    "rho": 72.0,
    "m_length": 78.4,
    "t_tube": 1.063,
    "D_tube": 45.0,
    "D_wide": 48.0,
    "P_b": 40.0,
    "D_b": 0.1,
    "L_b": 4.0,
    "b_b": 0.5,
    "d_b": 0.25,
    "m_b": 130.0,
    "E_built": 240000.0,
    "t_built": 1.02,
    "capacity": 9.33,
    "demand": 5.2,
}
_TO_SI = {"in": 25.4, "ft": 0.3048, "psi": 0.00689476, "pcf": 0.157087, "in^3": 16387.064}


def example_values(system: str) -> dict[str, float]:
    """A value for each symbol, in the units of the system; 1 where the example has none."""
    values = {}
    for key, quantity in SYMBOLS.items():
        factor = 1.0 if system == "US" else _TO_SI.get(quantity.unit("US"), 1.0)
        values[key] = float(f"{_US.get(key, 1.0) * factor:.4g}")
    return values
