"""What X1.1 says of collapse, to set beside mechanics: K, and the pressure of collapse."""

from __future__ import annotations

from linerdesign.methods.equation import Provenance, equation

DERIVED = {"clause": "encased ring", "provenance": Provenance.DERIVED}


@equation("equivalent K", result="K_equal", source="X1.1 solved for K at C = 1, N = 1", **DERIVED)
def equivalent_factor(p_ring, E_plane, DR):
    """Enhancement factor with which X1.1, for a round pipe, gives this pressure."""
    return p_ring * (DR - 1) ** 3 / (2 * E_plane)


@equation("X1.1 at collapse", result="p_code", source="X1.1 with N = 1", **DERIVED)
def code_pressure(K, p_free, C):
    """Pressure of collapse that X1.1 works with: the free ring's, times K and C."""
    return K * p_free * C
