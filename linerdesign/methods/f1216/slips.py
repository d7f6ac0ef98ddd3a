"""The errors that reviewers meet, each once: its name, and what it does to a calculation.

An error changes the design's own lines: it puts one quantity for another, another form of an
equation, or a number for an input. How common each is (`weight`) is a judgement: common practice,
no source. The words are in `linerdesign.words.f1216`. Names in code and JSON call them slips.
"""

from __future__ import annotations

from functools import partial
from math import log

from linerdesign.methods.altered import (
    CLOSES,
    REBUILDS,
    REPLACES,
    SKIPS,
    Case,
    Change,
    Made,
    Slip,
    Way,
    fixed,
    reading,
    scaled,
)
from linerdesign.methods.f1216 import changes
from linerdesign.methods.f1216.changes import OF_X1_1, OF_X1_2, OF_X1_3, TOTAL
from linerdesign.methods.method import Errors, checks_of
from linerdesign.methods.units import MM_PER_INCH
from linerdesign.words import sentence

COMMON, USUAL, RARE, EXOTIC = 0.08, 0.04, 0.015, 0.004
# Whatever brings the governing check under another one gives that one's own thickness. To leave the
# check out is the plainest way to it, and ranks first among equals.
PLAINEST = 1.01 * COMMON


def made_in(case: Case, pressure: float | None = None) -> tuple[Made, ...]:
    """Every way of every error that can be made in a calculation.

    `pressure` is the internal pressure that a submittal states: it may lack the surge.
    """
    known = {*case.inputs, *(line.result for line in (*case.lines, *case.choice))}
    found = []
    for slip, words in _slips(case, pressure):
        for place, way in enumerate(slip.ways):
            change = way(case)
            if change.keys() & known:
                found.append(Made(slip, place, change, words or _words(slip, case, change)))
    return tuple(found)


def _slips(case: Case, pressure: float | None) -> list[tuple[Slip, str]]:
    """The errors of a calculation, with their words where these are those of this case."""
    found = [(slip, "") for slip in SLIPS]
    for check in {each.required: each for each in checks_of(case.basis)}.values():
        number = check.equation
        weight = RARE if number in ("X1.4", "DR limit") else PLAINEST
        ways = (partial(changes.check_skipped, check),)
        slip = Slip(f"check-skipped {number}", f"skipped {number}", weight, ways, SKIPS)
        found.append((slip, sentence("f1216.slip check-skipped", equation=number)))
    if len(case.stations) > 1:
        for place, name in enumerate(case.stations):
            ways = (partial(changes.at_station, place=place),)
            slip = Slip("wrong-station", "station", USUAL, ways, REBUILDS)
            found.append((slip, sentence("f1216.slip wrong-station", station=name)))
    if pressure is not None and pressure < case.inputs.get("P_i", pressure):
        slip = Slip("surge-omitted", "surge", COMMON, (_always({"P_i": fixed(pressure)}),))
        found.append((slip, ""))
    return found


def _words(slip: Slip, case: Case, change: Change) -> str:
    """What was done; keys in braces name the equations that read the changed quantity."""
    keys = ("E_L", "sigma_L", "sigma_TL", "N")
    return sentence(f"f1216.slip {slip.name}", **{key: _readers(case, key, change) for key in keys})


def _readers(case: Case, key: str, change: Change) -> str:
    """The equations that read a quantity, where only some lines are changed those of them."""
    readers = (
        line.equation
        for line in case.lines
        if key in line.arguments and (key in change or line.result in change)
    )
    solved = {each.base_number for each in readers if each.base_number != each.number}
    return " and ".join(sorted(solved))


def _always(change: Change) -> Way:
    return lambda _case: change


def _local(results: tuple[str, ...], **numbers: float) -> Way:
    """A number in place of a quantity in some lines only."""
    instead = {key: (lambda _values, number=number: number) for key, number in numbers.items()}
    return _always(reading(results, **instead))


def _in(results: tuple[str, ...], old: str, new: str) -> Way:
    """One quantity in place of another in some lines, where both are known."""

    def way(case: Case) -> Change:
        read = [each for each in results if each in case.readers(old)]
        return reading(read, **{old: lambda v: v[new]}) if case.has(new) else {}

    return way


_PLATE, _TENSION = ("t_X1_6", "P_X1_6"), ("t_X1_7", "P_X1_7")

SLIPS: tuple[Slip, ...] = (
    Slip("partial-for-full", "condition", USUAL, (changes.partial_for_full,), REBUILDS),
    Slip("other-edition", "edition", COMMON, (changes.other_edition,), REPLACES),
    Slip(
        "elastic-support-units",
        "elastic support",
        USUAL,
        (changes.other_units, changes.other_depths),
        REPLACES,
    ),
    Slip(
        "elastic-support-misprint",
        "elastic support",
        EXOTIC,
        (
            _always(reading(("B",), H=lambda v: 10 * v["H"])),
            _always(reading(("B",), H=lambda v: log(2.178) * v["H"])),
        ),
    ),
    Slip("ovality-omitted", "ovality", COMMON, (_always({"q": fixed(0.0)}),)),
    Slip("ovality-doubled", "ovality", USUAL, (changes.ovality_doubled,)),
    Slip(
        "ovality-factor-not-cubed",
        "ovality",
        USUAL,
        (_always({"C": lambda formula, v: formula(v) ** (1 / 3)}),),
    ),
    Slip(
        "short-term-modulus",
        "long-term modulus",
        COMMON,
        (
            _always({"E_L": lambda _formula, v: v["E"]}),
            _in((*OF_X1_1, *OF_X1_3), "E_L", "E"),
            _in(OF_X1_1, "E_L", "E"),
            _in(OF_X1_3, "E_L", "E"),
        ),
    ),
    Slip(
        "retention-twice",
        "long-term modulus",
        USUAL,
        (
            _always({"E_L": lambda formula, v: formula(v) * v["r_E"] / 100}),
            _always(reading((*OF_X1_1, *OF_X1_3), E_L=lambda v: v["E_L"] * v["r_E"] / 100)),
        ),
    ),
    Slip(
        "long-term-modulus-in-stiffness",
        "stiffness",
        COMMON,
        (_in(("t_X1_4", "S_X1_4"), "E", "E_L"),),
    ),
    Slip(
        "short-term-strength",
        "strength",
        COMMON,
        (
            _always({"sigma_L": lambda _formula, v: v["sigma"]}),
            _in(OF_X1_2, "sigma_L", "sigma"),
            _in(_PLATE, "sigma_L", "sigma"),
        ),
    ),
    Slip(
        "short-term-tensile-strength",
        "tensile strength",
        COMMON,
        (_always({"sigma_TL": lambda _formula, v: v["sigma_T"]}),),
    ),
    Slip(
        "strength-of-other-kind",
        "strength",
        USUAL,
        (
            _in(_PLATE, "sigma_L", "sigma_TL"),
            _in(_PLATE, "sigma_L", "sigma_T"),
            _in(_TENSION, "sigma_TL", "sigma_L"),
            _in(_TENSION, "sigma_TL", "sigma"),
        ),
    ),
    Slip("long-term-strength", "strength", USUAL, (changes.long_term_strength,)),
    Slip(
        "head-from-crown",
        "head of X1.1",
        COMMON,
        (changes.head_from_crown, changes.head_from_crown_in_buckling),
    ),
    Slip(
        "head-from-invert",
        "head of X1.3",
        COMMON,
        (changes.head_from_invert, changes.head_from_invert_in_load),
    ),
    Slip(
        "depth-to-water-as-head",
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
        "head of X1.1",
        RARE,
        (partial(changes.water_datum, higher=False),),
        REPLACES,
    ),
    Slip(
        "water-datum-invert",
        "head of X1.1",
        RARE,
        (partial(changes.water_datum, higher=True),),
        REPLACES,
    ),
    Slip("cover-to-invert", "cover", COMMON, (changes.cover_to_invert,)),
    Slip("enhancement-omitted", "enhancement", USUAL, (_always({"K": fixed(1.0)}),), CLOSES),
    Slip(
        "enhancement-in-soil-buckling", "enhancement in X1.3", USUAL, (changes.enhancement_in_soil,)
    ),
    Slip("poisson-omitted", "Poisson's ratio", USUAL, (_always({"nu": fixed(0.0)}),)),
    Slip(
        "safety-factor-omitted",
        "safety factor",
        USUAL,
        (
            _always({"N": fixed(1.0)}),
            *(_local(each, N=1.0) for each in (OF_X1_1, OF_X1_2, OF_X1_3, _PLATE, _TENSION)),
        ),
    ),
    Slip("safety-factor-1.5", "safety factor", USUAL, (_always({"N": fixed(1.5)}),)),
    Slip("buoyancy-omitted", "buoyancy", USUAL, (_always({"R_w": fixed(1.0)}),)),
    Slip("gross-soil-weight", "buoyancy", RARE, (_local(TOTAL, R_w=1.0),)),
    Slip("buoyancy-not-floored", "buoyancy", USUAL, (changes.buoyancy_not_floored,), REPLACES),
    Slip(
        "live-load-omitted",
        "live load",
        COMMON,
        (lambda case: {"W_s": fixed(0.0)} if case.readers("W_s") else {}, _local(TOTAL, W_s=0.0)),
    ),
    Slip(
        "live-load-doubled",
        "live load",
        USUAL,
        (
            lambda case: {"W_s": scaled(2.0)} if case.readers("W_s") else {},
            _always(reading(TOTAL, W_s=lambda v: 2 * v["W_s"])),
        ),
    ),
    Slip("soil-modulus-units", "soil modulus", RARE, (changes.soil_modulus_units,)),
    Slip("dimension-ratio-not-less-one", "dimension ratio", USUAL, (changes.ratio_not_less_one,)),
    Slip(
        "outside-diameter",
        "dimension ratio",
        RARE,
        (changes.ratio_of_bore, changes.ratio_of_host_outside),
    ),
    Slip(
        "inch-as-25-mm",
        "inch",
        RARE,
        (
            partial(changes.all_thicknesses, factor=25 / MM_PER_INCH),
            _always({"t_required": scaled(25 / MM_PER_INCH)}),
            _always({"D": scaled(25 / MM_PER_INCH)}),
        ),
        CLOSES,
    ),
    Slip(
        "rounded-down",
        "rounding",
        USUAL,
        (changes.rounded_down, changes.required_rounded_down),
        CLOSES,
    ),
)

ERRORS = Errors(made_in, changes.breach, changes.other_edition)
