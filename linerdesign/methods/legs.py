"""The wall of one tube in the legs of a line: stretched to each diameter, and put round bends."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from linerdesign.expressions.tolerance import at_least, over
from linerdesign.expressions.tracing import Traced
from linerdesign.expressions.tree import Call, Choice, Node, Number, Symbol, Truth
from linerdesign.methods.equation import Provenance, equation
from linerdesign.methods.lines import line
from linerdesign.methods.quantities import PI, stretched_by_outside_diameter

# Diameters that differ by less than this share stretch a tube no more than they fold it.
SAME_DIAMETER = 0.005
# The finding that the wall of a leg does not serve.
LEG_FAILS = "field.leg_fails"

BEND = {
    "clause": "bend",
    "provenance": Provenance.DERIVED,
    "source": "a tube of constant volume put round a bend of this centre-line radius",
}
FOLD = {
    "clause": "fold",
    "provenance": Provenance.DERIVED,
    "source": "upper bound: all of the excess in one fold",
}


@equation(
    "stretch",
    result="x_stretch",
    clause="stretch",
    provenance=Provenance.DERIVED,
    source="geometry",
)
def circumferential_stretch(D_leg, D_tube):
    """Circumferential stretch of the tube; negative for a tube wider than the host.

    >>> round(circumferential_stretch(6.0, 4.0), 6)
    50.0
    """
    return 100 * (D_leg / D_tube - 1)


@equation("bend share", result="x_bend", **BEND)
def bend_share(D_leg, R_bend):
    """Change of length of the outer and inner side of a bend.

    >>> bend_share(6.0, 12.0)
    25.0
    """
    return 100 * D_leg / (2 * R_bend)


@equation("bend outside", result="t_bend_out", **BEND)
def outside_of_bend(t_leg, x_bend):
    """Wall thickness at the outer side of a bend.

    >>> outside_of_bend(5.0, 25.0)
    4.0
    """
    return t_leg / (1 + x_bend / 100)


@equation("bend inside", result="t_bend_in", **BEND)
def inside_of_bend(t_leg, x_bend):
    """Wall thickness at the inner side of a bend, where it shortens without wrinkles.

    >>> inside_of_bend(3.0, 25.0)
    4.0
    """
    return t_leg / (1 - x_bend / 100)


@equation("bend excess", result="L_excess", **BEND)
def excess_length(alpha_bend, D_leg):
    """Excess length of the tube at the inner side of a bend.

    >>> round(excess_length(90.0, 4.0), 4)
    3.1416
    """
    return PI * alpha_bend / 180 * D_leg / 2


@equation("wrinkle", result="h_wrinkle", **FOLD)
def wrinkle_height(L_excess):
    """Largest height of a wrinkle at the inner side of a bend."""
    return L_excess / 2


@equation("fin", result="h_fin", **FOLD)
def fin_height(D_tube, D_leg):
    """Largest height of the longitudinal fold of a tube wider than the host."""
    return PI * (D_tube - D_leg) / 2


STRETCHED = line(stretched_by_outside_diameter, {"D_wide": "D_leg", "t_out": "t_leg"})


def is_stretched(D_leg: Any, D_tube: Any) -> Any:
    """Whether a leg stretches the tube: numbers or symbols."""
    return D_leg > D_tube * (1 + SAME_DIAMETER)


def wall_trees(leg: Node, tube: Node, wall: Node, radius: float | None) -> Mapping[str, Node]:
    """What leads to the least wall in a leg, from trees over the quantities of its pipe.

    Each reads only those before it; the last is the wall, at the outer side of a bend that has a
    radius.
    """
    stretched = is_stretched(_symbol("D_leg"), _symbol("D_tube")).node
    known: dict[str, Node] = {"D_leg": leg, "D_tube": tube, "t_tube": wall}
    known["x_stretch"] = circumferential_stretch.tree
    known["t_leg"] = Choice(stretched, STRETCHED.tree, Symbol("t_tube"))
    if radius is not None:
        known["R_bend"] = Number(radius)
        known["x_bend"] = bend_share.tree
        known["t_bend_out"] = outside_of_bend.tree
    return known


def leg_verdicts(
    minimum: Node, most: float | None, bent: bool, allowed: bool
) -> Mapping[str, Node]:
    """The wall `needed` in a leg, and whether its wall `serves`, over its quantities and verdicts.

    `most` is the largest stretch in percent that the data of the system allow; `allowed` is
    whether they allow the temperature.
    """
    parts = [Symbol("passes"), at_least(_symbol("t"), _symbol("needed")).node]
    if most is not None:
        loose = Truth("not", (is_stretched(_symbol("D_leg"), _symbol("D_tube")).node,))
        within = Truth("not", (over(_symbol("x_stretch"), most).node,))
        parts.append(Truth("any", (loose, within)))
    if bent:
        parts.append((_symbol("R_bend") > _symbol("D_leg") / 2).node)
    known: dict[str, Node] = {"needed": Call("max", (Symbol("t_required"), minimum))}
    return known | {"serves": Truth("all", (*parts, Truth("all" if allowed else "any", ())))}


def _symbol(key: str) -> Traced:
    return Traced(Symbol(key))
