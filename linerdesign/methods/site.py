"""Shape of the host pipe, and water and cover carried from the owner's datum to the standard's."""

from __future__ import annotations

from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import at_most
from linerdesign.methods.equation import Condition, Limit, Provenance, Severity, equation

# Nearly always a slip; common practice, no source.
FRACTION = Limit(
    Condition(lambda q_pipe: q_pipe**2 >= 0.2 * q_pipe),
    Severity.CAUTION,
    "design.ovality_as_fraction",
)
OVAL = Limit(Condition(lambda q: at_most(q, 10)), Severity.OUTSIDE, "f1216.high_ovality")
GEOMETRY = {"provenance": Provenance.DERIVED, "source": "geometry", "clause": "datum"}
OVALITY = {"clause": "clause X1.2.1", "source": "Najafi 2010, sec. 2.7, applying ASTM F1216-09"}


@equation("q max", result="q_max", provenance=Provenance.SECONDARY, **OVALITY)
def ovality_from_maximum(D_max, D):
    """Ovality by the maximum diameter."""
    return 100 * (D_max - D) / D


@equation("q min", result="q_min", provenance=Provenance.MEMORY, **OVALITY)
def ovality_from_minimum(D, D_min):
    """Ovality by the minimum diameter."""
    return 100 * (D - D_min) / D


@equation("q larger", result="q_pipe", provenance=Provenance.SECONDARY, **OVALITY)
def larger_ovality(q_max, q_min):
    """Larger of the two ovalities."""
    return np.maximum(q_max, q_min)


@equation(
    "q design",
    result="q",
    clause="owner's criteria",
    provenance=Provenance.PRACTICE,
    source="floors in agency specifications",
    limits=(FRACTION, OVAL),
)
def design_ovality(q_pipe, q_floor):
    """Design ovality: the pipe's own, or the owner's minimum where that is larger."""
    return np.maximum(q_pipe, q_floor)


@equation(
    "C",
    result="C",
    provenance=Provenance.SECONDARY,
    **OVALITY,
)
def ovality_reduction(q):
    """Reduction of buckling resistance by the ovality of the host.

    >>> round(ovality_reduction(2), 3)
    0.836
    """
    return ((1 - q / 100) / (1 + q / 100) ** 2) ** 3


@equation("crown rise", result="D_crown", **GEOMETRY)
def crown_rise(D, t_host):
    """Rise from the invert to the top of the host, its wall included."""
    return D + t_host


@equation("invert depth", result="H_invert", **GEOMETRY)
def invert_depth(z_ground, z_invert):
    """Depth of the invert from elevations."""
    return z_ground - z_invert


@equation("cover", result="H", system="US", **GEOMETRY)
def cover_us(H_invert, D_crown):
    """Cover from the depth of the invert."""
    return H_invert - D_crown / 12


@equation("cover", result="H", system="SI", **GEOMETRY)
def cover_si(H_invert, D_crown):
    """Cover from the depth of the invert."""
    return H_invert - D_crown / 1000


@equation("head from crown", result="h_invert", system="US", **GEOMETRY)
def head_from_crown_us(h_crown, D_crown):
    """Groundwater above the invert, from its height above the top of the pipe."""
    return h_crown + D_crown / 12


@equation("head from crown", result="h_invert", system="SI", **GEOMETRY)
def head_from_crown_si(h_crown, D_crown):
    """Groundwater above the invert, from its height above the top of the pipe."""
    return h_crown + D_crown / 1000


@equation("head from surface", result="h_invert", system="US", **GEOMETRY)
def head_from_surface_us(H, D_crown, d_water):
    """Groundwater above the invert, from its depth below ground."""
    return H + D_crown / 12 - d_water


@equation("head from surface", result="h_invert", system="SI", **GEOMETRY)
def head_from_surface_si(H, D_crown, d_water):
    """Groundwater above the invert, from its depth below ground."""
    return H + D_crown / 1000 - d_water


def height_of_crown(D_crown: Any, system: str) -> Any:
    """The top of the pipe above its invert in the unit of depths: the head of no head over it."""
    return (head_from_crown_us if system == "US" else head_from_crown_si)(0.0, D_crown)


def water_depth(h_invert: Any, H: Any, D_crown: Any, system: str) -> Any:
    """Depth of the water below ground: the same subtraction as the head from that depth."""
    form = head_from_surface_us if system == "US" else head_from_surface_si
    return form(H, D_crown, h_invert)


@equation("head from elevation", result="h_invert", **GEOMETRY)
def head_from_elevation(z_water, z_invert):
    """Groundwater above the invert, from elevations."""
    return z_water - z_invert


@equation("Hw", result="H_w", system="US", **GEOMETRY)
def head_above_crown_us(h_invert, D_crown):
    """Groundwater above the top of the pipe, never negative."""
    return np.maximum(h_invert - D_crown / 12, 0)


@equation("Hw", result="H_w", system="SI", **GEOMETRY)
def head_above_crown_si(h_invert, D_crown):
    """Groundwater above the top of the pipe, never negative."""
    return np.maximum(h_invert - D_crown / 1000, 0)
