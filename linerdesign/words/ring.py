"""Sentences about the encased ring: its numerical model, its limits and its checks."""

SENTENCES: dict[str, str] = {
    "wide_lobe": "lobe wider than half the ring: outside the shallow-lobe closed form",
    "too_many_steps": "the equilibrium path took too many steps",
    "branches": "the equilibrium path branches before collapse",
    "no_equilibrium": "no equilibrium was found beyond a point of the path",
    "no_limit": "the equilibrium path has no limit point",
    "limit_unclear": "the limit point could not be located",
    "left_path": "the liner would leave this path before its limit point",
    "energy_balance": "work and energy differ by {percent:.2g} %",
    "coarse_mesh": "there is no result with half the elements",
    "mesh": "halving the elements changes the pressure by {percent:.2g} %",
}
