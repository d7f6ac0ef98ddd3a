"""Water and cover of the host pipe, carried from the owner's datum to that of the equations."""

from __future__ import annotations

from typing import Any

import numpy as np

from linerdesign.methods.equation import Provenance, equation

GEOMETRY = {"provenance": Provenance.DERIVED, "source": "geometry", "clause": "datum"}


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
