"""The quantities of Appendix X1 alone, named after its equations."""

from __future__ import annotations

from linerdesign.methods.quantity import Quantity

SYMBOLS = {
    "t_X1_1": Quantity("t_X1.1", "required thickness, X1.1", "thickness"),
    "a_q": Quantity("a_q", "coefficient of DR squared, X1.2", "ratio"),
    "b_q": Quantity("b_q", "coefficient of DR, X1.2", "ratio"),
    "t_X1_2": Quantity("t_X1.2", "required thickness, X1.2", "thickness"),
    "t_X1_3": Quantity("t_X1.3", "required thickness, X1.3", "thickness"),
    "t_X1_4": Quantity("t_X1.4", "required thickness, X1.4", "thickness"),
    "t_X1_5": Quantity("t_X1.5", "transition thickness X1.6/X1.7 (by X1.5)", "thickness"),
    "t_X1_6": Quantity("t_X1.6", "thickness by X1.6, if X1.5 selects it", "thickness"),
    "t_X1_7": Quantity("t_X1.7", "thickness by X1.7, if X1.5 selects it", "thickness"),
    "P_X1_1": Quantity("P_X1.1", "allowable external pressure, X1.1", "stress"),
    "N_X1_1": Quantity("N_X1.1", "safety factor provided, X1.1", "ratio"),
    "sigma_X1_2": Quantity("sigma_X1.2", "bending stress, X1.2", "stress"),
    "sigma_allowed": Quantity("sigma_a", "allowable bending stress, X1.2", "stress"),
    "N_X1_2": Quantity("N_X1.2", "safety factor provided, X1.2", "ratio"),
    "q_X1_3": Quantity("q_X1.3", "allowable external pressure, X1.3", "stress"),
    "N_X1_3": Quantity("N_X1.3", "safety factor provided, X1.3", "ratio"),
    "S_X1_4": Quantity("S_X1.4", "stiffness EI/D³ of the liner", "stress"),
    "r_hole": Quantity("r_d", "largest d/D that X1.5 assigns to X1.6", "ratio"),
    "P_X1_6": Quantity("P_X1.6", "allowable internal pressure, X1.6", "stress"),
    "P_X1_7": Quantity("P_X1.7", "allowable internal pressure, X1.7", "stress"),
    "N_X1_7": Quantity("N_X1.7", "safety factor provided, X1.7", "ratio"),
    "q_water": Quantity("q_w", "water load at the crown, part of q_t", "stress"),
    "q_soil": Quantity("q_s", "soil load at the crown, part of q_t", "stress"),
    "p_code": Quantity("p_code", "collapse pressure assumed by X1.1", "stress"),
    "S_min": Quantity("S_min", "minimum stiffness, X1.4", "stress"),
}
