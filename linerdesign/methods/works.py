"""Installation of a tube: pressure window, pull-in force and cure, as planned for the crew."""

from __future__ import annotations

import numpy as np

from linerdesign.methods.equation import Provenance, equation
from linerdesign.methods.quantities import GEOMETRY, PI

HOLD = {
    "clause": "installation",
    "provenance": Provenance.DERIVED,
    "source": "the tube is held to the host where the internal pressure exceeds the groundwater "
    "pressure",
}
HEAVE = {
    "clause": "installation",
    "provenance": Provenance.PRACTICE,
    "source": "weight of the soil above the crown, without shear in the soil; the host itself "
    "carries nothing",
}
COLUMN = {
    "clause": "installation",
    "provenance": Provenance.DERIVED,
    "source": "column of water, of the unit weight in the design equations",
}
PULL = {
    "clause": "pull-in",
    "provenance": Provenance.DERIVED,
    "source": "friction of the weight of the tube; the bends as of a rope around a post, all of "
    "them at the pulling end",
}


@equation("least pressure", result="p_least", **HOLD)
def least_pressure(P_ground, p_expand):
    """Smallest internal pressure: that of the groundwater, or that which expands the tube.

    >>> float(least_pressure(4.0, 3.0))
    4.0
    """
    return np.maximum(P_ground, p_expand)


@equation("heave", result="p_heave", system="US", **HEAVE)
def heave_us(w, H):
    """Internal pressure that a cracked host and the soil above it withstand.

    >>> heave_us(120.0, 12.0)
    10.0
    """
    return w * H / 144


@equation("heave", result="p_heave", system="SI", **HEAVE)
def heave_si(w, H):
    """Internal pressure that a cracked host and the soil above it withstand."""
    return w * H / 1000


@equation("largest pressure", result="p_window", **HOLD)
def largest_pressure(p_tube, p_host):
    """Largest internal pressure: the smaller of the limits of the tube and of the host."""
    return np.minimum(p_tube, p_host)


@equation("fall", result="z_fall", **GEOMETRY)
def fall_of_line(S_bed, L_pipe):
    """Height of the upper invert above the lower one."""
    return S_bed / 100 * L_pipe


@equation("least head", result="h_least", system="US", **COLUMN)
def least_head_us(p_least, z_fall):
    """Smallest head of water above the lower invert that holds the tube along the whole line."""
    return p_least / 0.433 + z_fall


@equation("least head", result="h_least", system="SI", **COLUMN)
def least_head_si(p_least, z_fall):
    """Smallest head of water above the lower invert that holds the tube along the whole line."""
    return p_least / 0.00981 + z_fall


@equation("largest head", result="h_most", system="US", **COLUMN)
def largest_head_us(p_window):
    """Largest head of water above the lower invert.

    >>> round(largest_head_us(4.33), 9)
    10.0
    """
    return p_window / 0.433


@equation("largest head", result="h_most", system="SI", **COLUMN)
def largest_head_si(p_window):
    """Largest head of water above the lower invert."""
    return p_window / 0.00981


@equation("pull-in force", result="F_pull", system="US", **PULL)
def pull_force_us(mu_pull, m_wet, alpha_bends):
    """Force at the pulling end, the whole tube inside the host.

    >>> float(pull_force_us(0.5, 1000.0, 0.0))
    500.0
    """
    return mu_pull * m_wet * np.exp(mu_pull * PI * alpha_bends / 180)


@equation("pull-in force", result="F_pull", system="SI", **PULL)
def pull_force_si(mu_pull, m_wet, alpha_bends):
    """Force at the pulling end, the whole tube inside the host."""
    return mu_pull * m_wet * 9.80665 / 1000 * np.exp(mu_pull * PI * alpha_bends / 180)


@equation(
    "elongation",
    result="L_pulled",
    clause="pull-in",
    provenance=Provenance.DERIVED,
    source="elongation in proportion to the force, which grows evenly along the tube",
)
def elongation(x_pull, F_pull, F_most, L_tube):
    """Elongation of the tube under the pull-in force.

    >>> elongation(2.0, 5.0, 10.0, 300.0)
    1.5
    """
    return x_pull * F_pull * L_tube / (200 * F_most)


LIGHT = {
    "clause": "cure",
    "provenance": Provenance.DERIVED,
    "source": "power and speed by the system's data",
}


@equation("cure by light", result="T_light", **LIGHT)
def light_time(L_tube, v_light):
    """Time for the light to pass through the tube once.

    >>> light_time(300.0, 3.0)
    100.0
    """
    return L_tube / v_light


@equation("light energy", result="e_light", **LIGHT)
def light_energy(W_light, v_light):
    """Energy of the light per length of tube; power in kW, speed in length per minute.

    >>> light_energy(2.0, 3.0)
    40.0
    """
    return 60 * W_light / v_light


@equation(
    "cure by heat",
    result="T_cure",
    clause="cure",
    provenance=Provenance.DERIVED,
    source="times by the system's data",
)
def heat_time(T_heating, T_holding, T_cooling):
    """Time of heating, holding the cure temperature, and cooling."""
    return T_heating + T_holding + T_cooling
