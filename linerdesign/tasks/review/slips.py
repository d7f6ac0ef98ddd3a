"""The slips that reviewers meet, each once: its name, its words, and what it does to a calculation.

A slip changes the design's own lines: it puts one quantity for another, another form of an
equation, or a number for an input. How common each is (`weight`) is a judgement: common practice,
no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from math import log

from linerdesign.methods.method import checks_of
from linerdesign.methods.units import MM_PER_INCH
from linerdesign.tasks.review import changes
from linerdesign.tasks.review.case import Case, altered, given, rebound, times

Change = Callable[[Case], Case | None]
COMMON, USUAL, RARE, EXOTIC = 0.08, 0.04, 0.015, 0.004
# Whatever brings the governing check under another one gives that one's own thickness. To leave the
# check out is the plainest way to it, and stands first among equals.
PLAINEST = 1.01 * COMMON
# Order in which two slips are made in one calculation: what rebuilds lines comes first.
REBUILDS, REPLACES, CHANGES, SKIPS, CLOSES = range(5)


@dataclass(frozen=True)
class Slip:
    """One slip. `words` complete "... is what results if"; `topic` is what it is a slip about.

    A key of the symbol table in braces, in the words, stands for the equations that read it in
    the calculation at hand.

    `ways` are the ways in which people make it; each returns none where it can't be made. Two
    slips of one topic are never made together.
    """

    name: str
    words: str
    topic: str
    weight: float
    ways: tuple[Change, ...]
    stage: int = CHANGES


def slips_of(case: Case) -> tuple[Slip, ...]:
    """All slips that may be made in a calculation."""
    skipped = (
        Slip(
            f"check-skipped {check.equation}",
            f"the check by {check.equation} is left out",
            f"skipped {check.equation}",
            RARE if check.equation in ("X1.4", "DR limit") else PLAINEST,
            (partial(changes.check_skipped, check),),
            SKIPS,
        )
        for check in {each.required: each for each in checks_of(case.basis)}.values()
    )
    worded = (replace(slip, words=slip.words.format_map(_Readers(case))) for slip in SLIPS)
    return (*worded, *skipped)


class _Readers(dict[str, str]):
    """By key of a quantity: the equations of a calculation that read it, in words."""

    def __init__(self, case: Case) -> None:
        super().__init__()
        self.lines = case.lines

    def __missing__(self, key: str) -> str:
        readers = (line.equation for line in self.lines if key in line.arguments)
        solved = {each.base_number for each in readers if each.base_number != each.number}
        return " and ".join(sorted(solved))


SLIPS: tuple[Slip, ...] = (
    Slip(
        "partial-for-full",
        "the pipe is taken as partially deteriorated and the other checks are left out",
        "condition",
        USUAL,
        (changes.partial_for_full,),
        REBUILDS,
    ),
    Slip(
        "other-edition",
        "X1.3 is taken from the other edition, with the ovality factor on the other side of the "
        "root",
        "edition",
        COMMON,
        (changes.other_edition,),
        REPLACES,
    ),
    Slip(
        "elastic-support-units",
        "the constant of B' is taken from the other unit system (0.213 with feet, or 0.065 with "
        "metres)",
        "elastic support",
        USUAL,
        (changes.other_units, changes.other_depths),
        REPLACES,
    ),
    Slip(
        "elastic-support-misprint",
        "B' is computed with a misprinted constant (0.65 for 0.065, or 2.178 for e)",
        "elastic support",
        EXOTIC,
        (
            lambda case: altered(case, "B", lambda formula, cover: formula(10 * cover)),
            lambda case: altered(case, "B", lambda formula, cover: formula(log(2.178) * cover)),
        ),
    ),
    Slip(
        "ovality-omitted",
        "the ovality is left out",
        "ovality",
        COMMON,
        (lambda case: given(case, q=0.0),),
    ),
    Slip(
        "ovality-doubled",
        "the ovality is taken as the whole range of diameters over the mean, twice its value",
        "ovality",
        USUAL,
        (changes.ovality_doubled,),
    ),
    Slip(
        "short-term-modulus",
        "the short-term modulus is used in {E_L}",
        "long-term modulus",
        COMMON,
        (
            lambda case: altered(case, "E_L", lambda _formula, initial, _share: initial),
            lambda case: rebound(case, ("t_X1_1", "t_X1_3"), "E_L", "E"),
        ),
    ),
    Slip(
        "retention-twice",
        "the long-term reduction is applied twice",
        "long-term modulus",
        USUAL,
        (
            lambda case: altered(
                case, "E_L", lambda formula, initial, share: formula(formula(initial, share), share)
            ),
        ),
    ),
    Slip(
        "long-term-modulus-in-stiffness",
        "the long-term modulus is used in X1.4, where the initial one belongs",
        "stiffness",
        COMMON,
        (lambda case: rebound(case, ("t_X1_4",), "E", "E_L"),),
    ),
    Slip(
        "short-term-strength",
        "the short-term flexural strength is used in {sigma_L}",
        "strength",
        COMMON,
        (
            lambda case: altered(case, "sigma_L", lambda _formula, initial, _share: initial),
            lambda case: rebound(case, ("t_X1_2",), "sigma_L", "sigma"),
        ),
    ),
    Slip(
        "long-term-strength",
        "the long-term flexural strength is used in X1.2, where this basis has the short-term one",
        "strength",
        USUAL,
        (changes.long_term_strength,),
    ),
    Slip(
        "head-from-crown",
        "the groundwater in X1.1 is measured from the top of the pipe and not from the invert",
        "head of X1.1",
        COMMON,
        (changes.head_from_crown, changes.head_from_crown_in_buckling),
    ),
    Slip(
        "head-from-invert",
        "the groundwater in X1.3 is measured from the invert and not from the top of the pipe",
        "head of X1.3",
        COMMON,
        (changes.head_from_invert, changes.head_from_invert_in_load),
    ),
    Slip(
        "depth-to-water-as-head",
        "the depth of the groundwater below ground is taken for its head",
        "head of X1.1",
        RARE,
        (
            partial(changes.water_depth, above=False),
            partial(changes.water_depth, above=True),
            changes.water_depth_in_both,
        ),
        REPLACES,
    ),
    Slip(
        "water-datum-crown",
        "the height of the groundwater above the top of the pipe is put in as that above the "
        "invert, so that every head is less by the diameter",
        "head of X1.1",
        RARE,
        (partial(changes.water_datum, higher=False),),
        REPLACES,
    ),
    Slip(
        "water-datum-invert",
        "the height of the groundwater above the invert is put in as that above the top of the "
        "pipe, so that every head is more by the diameter",
        "head of X1.1",
        RARE,
        (partial(changes.water_datum, higher=True),),
        REPLACES,
    ),
    Slip(
        "cover-to-invert",
        "the cover is measured to the invert and not to the top of the pipe",
        "cover",
        COMMON,
        (changes.cover_to_invert,),
    ),
    Slip(
        "enhancement-omitted",
        "the enhancement factor is left out of X1.1 (K = 1)",
        "enhancement",
        USUAL,
        (lambda case: given(case, K=1.0),),
        CLOSES,
    ),
    Slip(
        "enhancement-in-soil-buckling",
        "the enhancement factor is put under the root of X1.3, where it does not belong",
        "enhancement in X1.3",
        USUAL,
        (changes.enhancement_in_soil,),
    ),
    Slip(
        "poisson-omitted",
        "Poisson's ratio is left out of X1.1",
        "Poisson's ratio",
        USUAL,
        (lambda case: given(case, nu=0.0),),
    ),
    Slip(
        "safety-factor-omitted",
        "the safety factor is left out (N = 1)",
        "safety factor",
        USUAL,
        (lambda case: given(case, N=1.0),),
    ),
    Slip(
        "safety-factor-1.5",
        "the safety factor is taken as 1.5",
        "safety factor",
        USUAL,
        (lambda case: given(case, N=1.5),),
    ),
    Slip(
        "buoyancy-omitted",
        "the buoyancy factor is left out (R_w = 1)",
        "buoyancy",
        USUAL,
        (lambda case: given(case, R_w=1.0) if case.has("R_w") else None,),
    ),
    Slip(
        "buoyancy-not-floored",
        "the buoyancy factor is let fall under 0.67",
        "buoyancy",
        USUAL,
        (changes.buoyancy_not_floored,),
    ),
    Slip(
        "live-load-omitted",
        "the live load is left out",
        "live load",
        COMMON,
        (lambda case: given(case, W_s=0.0) if case.has("q_t") else None,),
    ),
    Slip(
        "live-load-doubled",
        "the live load is counted twice",
        "live load",
        USUAL,
        (lambda case: times(case, "W_s", 2.0),),
    ),
    Slip(
        "dimension-ratio-not-less-one",
        "X1.1 is solved with DR in place of DR - 1",
        "dimension ratio",
        USUAL,
        (changes.ratio_not_less_one,),
    ),
    Slip(
        "inch-as-25-mm",
        "an inch is taken as 25 mm",
        "inch",
        RARE,
        (
            lambda case: times(case, "t_required", 25 / MM_PER_INCH),
            lambda case: times(case, "D", 25 / MM_PER_INCH),
        ),
        CLOSES,
    ),
    Slip(
        "rounded-down",
        "the thickness is rounded down to the step below",
        "rounding",
        USUAL,
        (changes.rounded_down, changes.required_rounded_down),
        CLOSES,
    ),
)
