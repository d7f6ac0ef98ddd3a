"""Breaks the package on purpose, one small change at a time, and counts what the tests notice.

    python tests/mutation.py [--sample N] [--seed S] [--minutes M] [--map FILE] [MODULE ...]

A mutant is one changed expression in a module or folder, such as `methods/f1216/gravity` or
`methods`. Each is written into a temporary copy of the project, never into the work tree. First
all tests run there once on the sound package, and `touched` notes which of them call which
function; a FILE named by `--map` keeps that for later runs. Then the tests that can reach the
changed line run, likeliest first, until one fails or two minutes of them have passed; those that
need a browser or an office program are skipped. What they leave, the type checker of the gate may
refuse. Numbers that only steer a search, and the looks of figures, are left alone. Survivors are
listed with their line. Exit code 1 means that under 95 % were noticed.
"""

from __future__ import annotations

import argparse
import ast
import copy
import json
import os
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache, partial
from itertools import accumulate
from pathlib import Path

ROOT = Path(__file__).parents[1]
# What computes or decides; commands, the desk and the sentences are left out.
ROOMS = ("expressions", "methods", "project", "tasks", "field", "documents")
MODULES = tuple(
    path.relative_to(ROOT / "linerdesign").with_suffix("").as_posix()
    for room in ROOMS
    for path in sorted((ROOT / "linerdesign" / room).rglob("*.py"))
    if path.name != "__init__.py"
)
COPIED = (
    *("linerdesign", "tests", "worked_examples", "docs", ".ci"),
    *("pyproject.toml", "README.md", "DEVELOPERS.md"),
)
FLAGS = ("-q", "-n0", "-p", "no:cacheprovider", "--tb=no")
ENOUGH = 0.95
# Seconds of tests, as they took on the sound package, after which a mutant counts as a survivor.
ENOUGH_TESTS = 120.0
# A mutant that takes this many times as long as the sound package hangs, and counts as noticed.
PATIENCE = 5
# Seconds that pass on a busy machine for one of the processor, at most.
WAITING = 30
# A number as small as this, or as large as its inverse, is a tolerance or a limit of a search.
TOLERANCE = 1.01e-5

ARITHMETIC = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Pow: ast.Mult,
}
COMPARISONS = {
    ast.Lt: (ast.LtE, ast.Gt),
    ast.LtE: (ast.Lt, ast.GtE),
    ast.Gt: (ast.GtE, ast.Lt),
    ast.GtE: (ast.Gt, ast.LtE),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
EXTREMES = {"maximum": "minimum", "minimum": "maximum", "max": "min", "min": "max"}
SYMMETRIC = ("maximum", "minimum", "max", "min", "hypot", "logaddexp", "_distance")
# How a curve or its legend looks is no result; which of two lines is dashed may be.
LOOKS = (
    *("color", "colors", "edgecolor", "facecolor", "mec", "lw", "linewidths", "ms", "clip_on"),
    *("fontsize", "labelsize", "frameon", "loc", "ncols", "handlelength", "ha", "va"),
)
# From this argument on their order is none of the data that they make.
UNORDERED = {"picked": 1}

# A tolerance of a billionth is a choice: whether its own edge still counts decides nothing.
EDGES = (
    (
        "alike",
        "np.absolute(value - other) <= SAME * np.absolute(other)",
        "np.absolute(value - other) < SAME * np.absolute(other)",
    ),
    ("at_most", "value <= most * (1 + SAME)", "value < most * (1 + SAME)"),
    ("at_least", "value >= least * (1 - SAME)", "value > least * (1 - SAME)"),
    *(
        (name, f"value {sign} {border}", f"value {sign}= {border}")
        for name, sign, border in (
            ("under", "<", "np.minimum(least * (1 - SAME), least * (1 + SAME))"),
            ("over", ">", "np.maximum(most * (1 - SAME), most * (1 + SAME))"),
        )
    ),
)
# What only steers a search: how long its steps are, when it halves them or starts anew, how often
# it tries. Whatever it finds has met its equation to its tolerance, or is refused, so that such a
# number off by a hundredth, or a step just at such a border, changes no result.
SEARCHES = {
    "methods/ring/path": (
        *("MAXIMUM_ITERATIONS", "MAXIMUM_POINTS", "FIRST_STEP", "LONGEST_STEP", "SHORTEST_STEP"),
        *("SHORT_STEP", "SHARPEST_TURN", "LARGEST_CORRECTION", "LARGEST_IMBALANCE", "BEYOND"),
        *("LONGEST_SEARCH", "LONGEST_SEARCH_STEP", "FARTHEST_GUESS", "CROSSING_TOLERANCE"),
        *("(LIMIT_TOLERANCE, SUMMIT_TOLERANCE)", "Path._converged", "Path.follow", "Path.crossing"),
        *("Path._crossing", "Path.limit_near", "Path.crossing_near", "Path._around"),
        *("Path.limit_between",),
    ),
    "methods/ring/solving": (*("ATTEMPTS", "MORE_ELEMENTS", "ASTRAY", "SHARES", "_attempt.spent"),),
    "methods/ring/strength": (
        *("CLOSE", "ROUGHLY", "(MOST_ROUNDS, MOST_TRIALS)", "(FIRST_SLOPE, FLATTEST)"),
        *("LONGEST_STRIDE", "followed"),
    ),
    "methods/ring/lasting": (
        *("FIRST_STEP", "(MOST_CHANGE, LEAST_CHANGE)", "MOST_STEPS", "TIME_TOLERANCE", "held"),
        *("CLOSE", "(SECANT_TRIALS, MOST_TRIALS)", "WIDEST", "FIRST_SLOPE", "lasting_pressure"),
    ),
    "field/laboratory/creep_models": ("PLACES", "_findley"),
}
# How tightly operators bind counts by its order alone, and none of these changes the order.
RANKS = (
    ("ATOM", "4.0", "4.04"),
    ("_write", "0.0", "0.01"),
    ("_write", "0.5", "0.505"),
    ("_cases", "0.5", "0.505"),
    ("_ARITHMETIC", "1.5", str(1.5 * 1.01)),
    ("_ARITHMETIC", "2.2", str(2.2 * 1.01)),
    ("_ARITHMETIC", "2.1", str(2.1 * 1.01)),
)
# What bounds a cache: the module, the definition, the expression, and what takes its place.
CACHES = (
    ("expressions/printing", "MOST_KEPT", "5000", "5050.0"),
    (
        *("expressions/printing", "Printer._printed", "len(self._kept) >= MOST_KEPT"),
        *("not len(self._kept) >= MOST_KEPT", "len(self._kept) > MOST_KEPT"),
        "len(self._kept) <= MOST_KEPT",
    ),
    ("tasks/batch/pieces", "MOST_SHAPES", "10000", "10100.0"),
    (
        *("tasks/batch/pieces", "Sizer._shared", "len(self._shapes) > MOST_SHAPES"),
        *("not len(self._shapes) > MOST_SHAPES", "len(self._shapes) >= MOST_SHAPES"),
        "len(self._shapes) < MOST_SHAPES",
    ),
)
# (module, definition, before, after): mutants that no input can tell from the sound package.
EQUIVALENT = {
    **{("expressions/tolerance", *edge): "the edge of a tolerance" for edge in EDGES},
    **{("expressions/printing", *rank): "the same order of binding" for rank in RANKS},
    ("methods/ring/loading", "GAUSS", "0.5 - 0.5 / np.sqrt(3.0)", "0.5 + 0.5 / np.sqrt(3.0)"): (
        "both points of Gauss are taken, whichever comes first"
    ),
    ("project/distributions", "_triangular", "shares <= peak", "shares < peak"): (
        "at the peak both sides are the peak"
    ),
    ("project/placing", "_mode_for", "0", "1"): "the mask is put back at once",
    ("project/placing", "_Written._link_to", "0", "1"): "the path is whole, from whichever folder",
    **{
        (module, definition, "1", "2"): "whatever is longer by more is too long as well"
        for module, definition in (("project/reading", "read_bytes"), ("project/faults", "shown"))
    },
    (
        "project/requests",
        "request_faults",
        "joined(capacity, pipe.capacity)",
        "joined(pipe.capacity, capacity)",
    ): "which keys two tables have together does not depend on which lies over the other",
    **{
        ("project/worksheet", definition, f"{name}(other, unit)", f"{name}(unit, other)"): (
            "a unit is one of another just where the other is one of it"
        )
        for definition, name in (("by_unit", "_is_other"), ("_is_other", "convert"))
    },
    (
        "project/contradictions",
        "contradictions",
        "crown_rise(mean, wall)",
        "crown_rise(wall, mean)",
    ): "a sum in another order",
    ("project/measures", "_measures", "1.0", "1.01"): "any number can be converted, or none",
    ("project/fields", "Table", "ConfigDict(defer_build=True)", "ConfigDict()"): (
        "when a model is built is no result"
    ),
    **{
        ("project/lining", definition, f"{value} {sign} {most}", f"{value} {other} {most}"): (
            "the edge of a tolerance"
        )
        for definition, value, sign, other, most in (
            ("_lines", "diameter", "<", "<=", "tube.diameter * (1 - SAME_DIAMETER)"),
            ("_stretched", "stretch", ">", ">=", "100 * SAME_DIAMETER"),
            ("_needed", "leg.diameter", "<=", "<", "diameter * (1 + SAME_DIAMETER)"),
        )
    },
    ("project/lining", "_made", "0.0", "0.01"): "no leg needs so thin a wall",
    ("project/thin_wall", "_first_change.root", "1000000000.0", "1000000000000.0"): (
        "only the sign of what is no number counts"
    ),
    ("project/distributions", "_TINY", "1e-30", "1e-27"): "nothing beside any value",
    (
        "expressions/workbook_formulas",
        "literal",
        "abs(value) < 1000000000000000.0",
        "abs(value) <= 1000000000000000.0",
    ): "both ways of writing are that number",
    ("project/thin_wall", "_shortage", "np.abs(share) < 1e-12", "np.abs(share) <= 1e-12"): (
        "the edge of a tolerance"
    ),
    ("methods/f1216/pressure", "pressure_thickness", "t_X1_7 <= t_X1_5", "t_X1_7 < t_X1_5"): (
        "at the tie both answers are the same thickness"
    ),
    **{
        ("field/works/flow", "part_full", *slip): "the flow is reached at one depth up to there"
        for slip in (
            ("0.938", "0.94738"),
            (
                "brentq(1e-09 * bore.diameter, 0.938 * bore.diameter)",
                "brentq(0.938 * bore.diameter, 1e-09 * bore.diameter)",
            ),
        )
    },
    (
        "methods/ground/live_load",
        "governing_vehicle",
        "W_truck > W_tandem",
        "W_truck >= W_tandem",
    ): ("at the tie both vehicles give the same pressure"),
    (
        "methods/outline/liner",
        "lobe_cases",
        "each[1] < 0.5 + 1.0 / count",
        "each[1] <= 0.5 + 1.0 / count",
    ): ("the edge of a search"),
    **{
        ("methods/outline/liner", "lobe_cases", *slip): (
            "a place is a whole number of half knots, of which none lies there"
        )
        for slip in (
            ("0.01", "0.0101"),
            ("min(place, abs(place - 0.5)) < 0.01", "min(place, abs(place - 0.5)) <= 0.01"),
        )
    },
    **{
        (
            "methods/outline/curve",
            "Outline.nearest",
            f"_dot({one}, {other})",
            f"_dot({other}, {one})",
        ): "a scalar product in another order"
        for one, other in (("off", "slope"), ("off", "bent"), ("foot - points", "normal"))
    },
    (
        "methods/outline/liner",
        "_with_ends",
        "_apart(share[::every], ends[:, None])",
        "_apart(ends[:, None], share[::every])",
    ): "how far two places are apart, whichever comes first",
    **{
        (
            "methods/outline/curve",
            definition,
            f"{value} {sign} {most}",
            f"{value} {other} {most}",
        ): ("the edge of a tolerance")
        for definition, value, sign, other, most in (
            (
                *("Outline.mirrored", "np.max(np.abs(np.column_stack([-x, y]) - self.knots))"),
                *("<", "<=", "0.0001"),
            ),
            ("_lowest", "ring[:, 1]", "<=", "<", "low + 1e-09 * float(np.ptp(ring[:, 1]))"),
        )
    },
    (
        "methods/ring/ring",
        "Ring.state",
        "curve.transpose(0, 1)",
        "curve.transpose(1, 0)",
    ): "second derivatives are the same in either order",
    ("methods/ring/ring", "_wrapped", "angle + np.pi", "angle - np.pi"): (
        "half a turn either way leads to the same angle"
    ),
    **{
        (*place, f"{angle} + {half}", f"{angle} - {half}"): "the remainder of a turn is the same"
        for place, angle, half in (
            (("field/survey/departures", "_line_at"), "about[members] - middle[:, None]", 180),
            (("field/survey/figure", "_three_cornered"), "crests - ellipse.long_axis", 90),
        )
    },
    ("methods/ring/path", "Factors.of", "exchanges + below_zero", "exchanges - below_zero"): (
        "a sum and a difference are both odd or both even"
    ),
    (
        "methods/ring/path",
        "Path._converged",
        "factors.sign * float(np.sign(rate))",
        "factors.sign / float(np.sign(rate))",
    ): "a sign is its own inverse",
    ("methods/ring/path", "Path._converged", "3.0 * reach + 1e-06", "3.0 * reach - 1e-06"): (
        "far less than any step"
    ),
    **{
        ("methods/ring/path", "Path.at_pressure", *slip): "a guess that is too far is sought anew"
        for slip in (
            ("1.1", "1.1110000000000002"),
            (
                "self._distance(before, found) <= 1.1 * span",
                "self._distance(before, found) < 1.1 * span",
            ),
        )
    },
    (
        "methods/ring/path",
        "Path.unstable_directions",
        "eigvals_banded(check_finite=False)",
        "eigvals_banded()",
    ): "an equilibrium is finite",
    ("methods/ring/solving", "Solution.about", "pressures >= pressure", "pressures > pressure"): (
        "the lines on both sides meet there"
    ),
    ("methods/ring/strength", "required_ratio", "off > 0.0", "off >= 0.0"): (
        "what is as near as that has been taken before"
    ),
    (
        "methods/ring/strength",
        "_stressed",
        "pressure < (1.0 + ROUGHLY) * least",
        "pressure <= (1.0 + ROUGHLY) * least",
    ): "the edge of a search",
    **{
        ("methods/ring/strength", "_stressed", *slip): (
            "then more limits are worked out, and the least is taken of all of them"
        )
        for slip in (("min", "max"), ("(1.0 + ROUGHLY) * least", "(1.0 + ROUGHLY) / least"))
    },
    (
        "field/laboratory/bending",
        "reduce_bending",
        "flexural_stress(load[peak], record.span)",
        "flexural_stress(record.span, load[peak])",
    ): "a product in another order",
    **{
        (
            "methods/f1216/gravity",
            f"total_pressure_{system}",
            f"soil_load_{system}.function({one}, {other})",
            f"soil_load_{system}.function({other}, {one})",
        ): "a product in another order"
        for system in ("us", "si")
        for one, other in (("w", "H"), ("H", "R_w"))
    },
    **{
        ("methods/steps", maker, "0", "1"): "steps are numbered at the end"
        for maker in ("input_step", "line_step", "_worst")
    },
    ("expressions/script", "_RULES", "0", "1"): (
        "only a comparison binds looser than a sum, and none is raised to a power"
    ),
    **{
        (
            "methods/ground/soil",
            "_combining.combining_factor",
            f"r_B <= {width}",
            f"r_B < {width}",
        ): ("the lines on both sides meet there")
        for width in ("widths[0]", "widths[i + 1]")
    },
    ("methods/verdicts", "_LARGEST", "1e+300", "1e+303"): "larger than any factor",
    ("tasks/review/alternatives", "(PLACES, ZOOMS)", "5", "6"): "a root is known to ten digits",
    ("tasks/review/replay", "FAR", "1e+300", "1e+303"): "farther off than any line",
    ("methods/result", "Legs.worst", "1e-12", "1e-09"): "no leg needs so thin a wall",
    **{
        (*rounding, "9", "10"): (
            "both are far from the figures that are stated and from the last binary digit"
        )
        for rounding in (
            ("methods/thickness", "in_millimetres"),
            ("tasks/walls", "made_in_mm"),
            ("tasks/compare/live", "_diameter"),
            ("field/survey/summary", "Units.along"),
        )
    },
    **{
        (module, definition, before, after): "how much a cache keeps is no result"
        for module, definition, before, *others in CACHES
        for after in others
    },
    **{
        ("tasks/batch/tables", "(PIECE, GROUP, BLOCK)", *slip): "how much is read at once is no row"
        for slip in (("1", "2"), ("23", "24"))
    },
    **{
        ("documents/workbook_pipe", "write_row", *slip): (
            "a row is as high as its longest text, whichever comes first"
        )
        for slip in (
            (
                "rows.deepen((meaning, WIDTHS[MEANING]), (source, WIDTHS[SOURCE]))",
                "rows.deepen((source, WIDTHS[SOURCE]), (meaning, WIDTHS[MEANING]))",
            ),
            (
                "rows.deepen((source, WIDTHS[SOURCE]), (formula_text, FORMULA_WIDTH))",
                "rows.deepen((formula_text, FORMULA_WIDTH), (source, WIDTHS[SOURCE]))",
            ),
        )
    },
    ("tasks/plan/table", "_entries", "len(alone) > 1", "len(alone) >= 1"): (
        "what one basis requires at the wall of another is not looked at where there is one"
    ),
    ("methods/altered", "outcome", "0", "1"): "of one alteration every quantity has one row",
    ("tasks/plan/confident", "(CELLS, MOST)", "64", "65"): (
        "how many cells are drawn together is no result"
    ),
    ("tasks/plan/confident", "_Study", "0", "1"): "whatever is drawn takes more trials",
    (
        "tasks/plan/confident",
        "_Study.__init__",
        "self.columns.of(pipe, resin)",
        "self.columns.of(resin, pipe)",
    ): "of one pipe and one resin either name keeps the columns apart",
    ("tasks/compare/assignment", "_once", "0.0", "0.01"): "a resin without a life is used nowhere",
    (
        "documents/pdf_blocks",
        "_size",
        "_share(letters, size) <= 1",
        "_share(letters, size) < 1",
    ): "no whole number of letters and blanks fills a page of 475 points",
    (
        "documents/profile",
        "_Scale.ticks",
        "first <= high + 1e-09",
        "first < high + 1e-09",
    ): "the edge of a tolerance",
    ("documents/workbook_cells", "_sheet_class.Sheet.finish", "1", "2"): (
        "how hard a sheet is packed while it waits is in no file"
    ),
    ("documents/pdf", "_AT_ONCE", "2", "3"): "how many parts are set at a time is on no page",
    ("documents/pdf", "_RUNS_KEPT", "11", "12"): "what the typesetter remembers is on no page",
    ("documents/pdf", "_compiled", "not tagged", "not not tagged"): (
        "what the typesetter remembers is on no page"
    ),
    **{
        ("tasks/docket/comparing", "_identified", *slip): "only which are alike counts"
        for slip in (
            ("comment['weight'] == REMARK", "comment['weight'] != REMARK"),
            ("1", "2"),
        )
    },
    (
        "tasks/any_host/report",
        "short_wall",
        "provided < liner.number('N') * (1 - 0.0001)",
        "provided <= liner.number('N') * (1 - 0.0001)",
    ): "the edge of a tolerance",
    (
        "tasks/any_host/grouting",
        "_lobes",
        "place < 10.0 * ASIDE",
        "place <= 10.0 * ASIDE",
    ): "none of the places tried lies there",
    (
        "tasks/batch/outliers",
        "Spread.add",
        "held[-1][0] <= ordered.min()",
        "held[-1][0] < ordered.min()",
    ): "of equal numbers the earlier rows are held anyway",
    **{
        ("tasks/uncertainty/model", "_nearest", *edge): "the edge of a tolerance"
        for edge in (
            ("np.abs(around[:, 0]) < _NEAR", "np.abs(around[:, 0]) <= _NEAR"),
            (
                "np.linalg.norm(target - at, axis=1) < _CLOSE * (1 + size)",
                "np.linalg.norm(target - at, axis=1) <= _CLOSE * (1 + size)",
            ),
            ("far < _AWAY", "far <= _AWAY"),
        )
    },
    **{
        ("tasks/uncertainty/model", "(_STEP, _ROUNDS, _NEAR, _CLOSE, _AWAY)", *slip): (
            "it steers a search, and what that finds has met the border to its tolerance"
        )
        for slip in (("0.0001", "0.000101"), ("60", "61"), ("0.001", "0.00101"), ("40.0", "40.4"))
    },
    (
        "tasks/review/sensitivity",
        "Swing.changes_nominal",
        "alike(t, self.nominal_now)",
        "alike(self.nominal_now, t)",
    ): "two numbers are as near, whichever comes first",
    ("tasks/review/criteria", "_beyond", "1", "2"): "one value is of every pipe and station",
    ("tasks/compare/purchase", "_even_thicknesses", "0", "1"): (
        "a row is of one pipe, and of two resins at least where one breaks even"
    ),
    ("tasks/uncertainty/model", "Model.nominal", "0.0", "0.01"): (
        "what no wall is enough for stays infinite, whatever is chosen in its place"
    ),
    ("tasks/uncertainty/model", "_nearest", "0.0", "0.01"): (
        "where the point is found, nothing after it counts"
    ),
    ("tasks/second_opinion/opinion", "_side", "over_code > 1", "over_code >= 1"): (
        "at 1 it is level"
    ),
    ("tasks/second_opinion/working", "MOST_RATIO", "1000000.0", "1000000000.0"): (
        "at both the gap that closes is wider than any pipe"
    ),
    **{
        (
            "tasks/second_opinion/working",
            definition,
            f"{name}({one}, {other})",
            f"{name}({other}, {one})",
        ): "a root lies between two ends, whichever comes first"
        for definition, name, one, other in (
            ("gap_ratio", "_root", "0.0", "MOST_RATIO"),
            ("hoop_stress", "_root", "least * strength", "strength"),
            ("_root", "brentq", "low", "high"),
        )
    },
    (
        "expressions/printing",
        "positional",
        "abs(value) < 1000000000000000.0",
        "abs(value) <= 1000000000000000.0",
    ): ("both ways of writing give the same digits there"),
    **{
        (
            f"tasks/transcribe/{module}",
            definition,
            f"{name}({one}, {other})",
            f"{name}({other}, {one})",
        ): ("either of two comes first")
        for module, definition, name, one, other in (
            ("reader", "_without_contradictions", "same_value", "given[0]", "value"),
            ("project_text", "_entries", "same_value", "first.value", "f.value"),
            ("tables", "_columns", "_overlap", "_hull(stack)", "cell"),
            ("tables", "_columns", "_overlap", "_hull(over)", "cell"),
            ("tables", "_inside", "_overlap", "column", "cell"),
            ("tables", "under", "_overlap", "column", "cell"),
            ("tables", "under", "_overlap", "best", "cell"),
        )
    },
    (
        "field/survey/stretch",
        "stretch",
        "stretched_by_mean_diameter(tube_thickness, tube_diameter)",
        "stretched_by_mean_diameter(tube_diameter, tube_thickness)",
    ): "a product in another order",
    (
        "tasks/transcribe/word_text",
        "_blocks",
        "part.iter(f'{_W}p', f'{_W}tbl')",
        "part.iter(f'{_W}tbl', f'{_W}p')",
    ): "elements come as they stand in the file",
    ("tasks/transcribe/reader", "_Reader.__init__", "0", "1"): "every header begins at none anew",
    ("tasks/transcribe/reader", "_Reader._header", "4", "5"): (
        "a header has three lines at most, and one of units"
    ),
}


@dataclass(frozen=True)
class Touching:
    """A test, with how long it took and the functions that it called."""

    name: str
    seconds: float
    functions: frozenset[str]

    @property
    def file(self) -> str:
        """The file in which it stands, which is the name of what runs at its import, too."""
        return self.name.partition("::")[0]


@dataclass(frozen=True)
class Mutant:
    """One changed expression: where it stands, both texts, and what writes the module with it."""

    module: str
    definition: str
    line: int
    before: str
    after: str
    source: Callable[[], str]
    sound: Callable[[], str]

    @property
    def name(self) -> tuple[str, str, str, str]:
        """What the list of equivalent mutants knows it by; line numbers would go stale."""
        return self.module, self.definition, self.before, self.after

    def __str__(self) -> str:
        return f"linerdesign/{self.module}.py:{self.line}: {self.before}  ->  {self.after}"


def changed(node: ast.AST) -> Iterator[ast.AST]:
    """Every node that a slip of the pen might have put in the place of this one."""
    match node:
        case ast.BinOp(op=operator) if type(operator) in ARITHMETIC:
            yield _with(node, op=ARITHMETIC[type(operator)]())
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            yield operand
        case ast.Constant(value=float(value)):
            # A tolerance counts by its order of magnitude alone.
            tolerance = value and not TOLERANCE < abs(value) < 1 / TOLERANCE
            yield ast.Constant(value * (1000 if tolerance else 1.01) if value else 0.01)
        case ast.Constant(value=int(value)) if not isinstance(value, bool):
            yield ast.Constant(value + 1 if value < 100 else value * 1.01)
        case ast.Attribute(attr=name) if name in EXTREMES:
            yield _with(node, attr=EXTREMES[name])
        case ast.Name(id=name) if name in EXTREMES:
            yield _with(node, id=EXTREMES[name])
        case ast.Compare(ops=operators):
            for place, operator in enumerate(operators):
                for other in COMPARISONS[type(operator)]:
                    yield _with(node, ops=_put(operators, place, other()))
        case ast.Call():
            yield from _changed_call(node)
        # Imports for annotations alone are run by no program.
        case ast.If(test=ast.Name(id="TYPE_CHECKING")):
            return
        case ast.If(test=test) | ast.IfExp(test=test):
            yield _with(node, test=ast.UnaryOp(ast.Not(), test))
        case ast.comprehension(ifs=conditions):
            for place, condition in enumerate(conditions):
                yield _with(node, ifs=_put(conditions, place, ast.UnaryOp(ast.Not(), condition)))


def _changed_call(node: ast.Call) -> Iterator[ast.AST]:
    given = node.args
    name = getattr(node.func, "attr", getattr(node.func, "id", ""))
    if name not in SYMMETRIC and not any(isinstance(each, ast.Starred) for each in given):
        for place in range(min(len(given) - 1, UNORDERED.get(name, len(given)))):
            if ast.dump(given[place]) == ast.dump(given[place + 1]):
                continue
            # A value clipped from below is the larger of both, whichever comes first.
            if (name, place, len(given)) == ("clip", 0, 3):
                continue
            both = _put(_put(given, place, given[place + 1]), place + 1, given[place])
            yield _with(node, args=both)
    for keyword in node.keywords:
        # A `zip` that does not say whether it is strict is refused by the linter (B905).
        left_alone = keyword.arg is None or keyword.arg in LOOKS
        if not left_alone and (name, keyword.arg) != ("zip", "strict"):
            yield _with(node, keywords=[each for each in node.keywords if each is not keyword])


def _with(node: ast.AST, **fields: object) -> ast.AST:
    other = copy.copy(node)
    for field, value in fields.items():
        setattr(other, field, value)
    return other


def _put(items: list, place: int, item: object) -> list:
    return [*items[:place], item, *items[place + 1 :]]


def _steers(module: str, definition: str, node: ast.AST, other: ast.AST) -> bool:
    """Whether a mutant is one of a number, or of whether a border counts, in a mere search."""
    if definition not in SEARCHES.get(module, ()):
        return False
    if isinstance(node, ast.Compare) and isinstance(other, ast.Compare):
        strict = {ast.LtE: ast.Lt, ast.GtE: ast.Gt}
        before, after = ([strict.get(type(op), type(op)) for op in e.ops] for e in (node, other))
        return before == after
    # Nothing is a border of what is sought as well.
    return isinstance(node, ast.Constant) and node.value != 0


def mutants(module: str) -> Iterator[Mutant]:
    """Every mutant of a module but those that only steer a search.

    Annotations are left alone, since nothing runs them.
    """
    tree = ast.parse((ROOT / "linerdesign" / f"{module}.py").read_text(encoding="utf-8"))
    for owner, field, place, definition in list(_places(tree, "")):
        value = getattr(owner, field)
        node = value if place is None else value[place]
        for other in changed(node):
            if _steers(module, definition, node, other):
                continue
            put = other if place is None else _put(value, place, other)
            line = getattr(node, "lineno", getattr(owner, "lineno", 0))
            texts = _short(node, other), _short(other, node)
            source = partial(_written, tree, owner, field, put)
            yield Mutant(module, definition, line, *texts, source, partial(ast.unparse, tree))


def _written(tree: ast.AST, owner: ast.AST, field: str, put: object) -> str:
    """The text of a module with one field of a node changed."""
    sound = getattr(owner, field)
    setattr(owner, field, put)
    try:
        return ast.unparse(ast.fix_missing_locations(tree))
    finally:
        setattr(owner, field, sound)


def _short(node: ast.AST, other: ast.AST) -> str:
    """The expression on one line, of a call and of an `if` only what the other has not."""
    shown = node.test if isinstance(node, ast.If) else node
    if isinstance(node, ast.Call) and isinstance(other, ast.Call) and node.func is other.func:
        swapped = [each for place, each in enumerate(node.args) if other.args[place] is not each]
        lost = [each for each in node.keywords if each not in other.keywords]
        shown = ast.Call(node.func, swapped, lost)
    return " ".join(ast.unparse(shown).split())


def _places(node: ast.AST, definition: str) -> Iterator[tuple[ast.AST, str, int | None, str]]:
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns", "ctx"):
            continue
        for place, child in enumerate(value) if isinstance(value, list) else ((None, value),):
            # How much a cache keeps is no result, nor what a type variable may stand for, nor
            # whether an object could be changed.
            called = ast.unparse(child.func) if isinstance(child, ast.Call) else ""
            if called in ("lru_cache", "TypeVar", "dataclass") or not isinstance(child, ast.AST):
                continue
            # Nor how large a figure is, or how what it shows looks.
            sized = isinstance(node, ast.Call) and field == "args" and place in (0, 1)
            if sized and getattr(node.func, "id", "") == "new_figure":
                continue
            if isinstance(child, ast.keyword) and child.arg in LOOKS:
                continue
            # A decorator says something of a function wherever that is looked up.
            inside = definition.rpartition(".")[0] if field == "decorator_list" else definition
            if isinstance(child, ast.FunctionDef | ast.ClassDef):
                inside = f"{definition}.{child.name}".strip(".")
            elif isinstance(node, ast.Module) and isinstance(child, ast.Assign | ast.AnnAssign):
                inside = ast.unparse(getattr(child, "target", None) or child.targets[0])
            yield node, field, place, inside
            yield from _places(child, inside)


class Workshop:
    """A copy of the project in which mutants are tried one after another."""

    def __init__(self, folder: Path, kept: Path | None) -> None:
        self.folder = folder
        ignored = shutil.ignore_patterns("__pycache__")
        for name in COPIED:
            if (ROOT / name).is_dir():
                shutil.copytree(ROOT / name, folder / name, ignore=ignored)
            else:
                shutil.copy2(ROOT / name, folder)
        touched = kept or folder / "touched.json"
        if not touched.exists():
            print("the tests run once on the sound package", flush=True)
            code, said = self._python(
                "-m", "pytest", *FLAGS, "-p", "touched", touched=touched.resolve()
            )
            # 1 is that some tests fail there: they are left out.
            if code not in (0, 1):
                touched.unlink(missing_ok=True)
                raise SystemExit(f"the tests don't run on the sound package:\n{said}")
        recorded = json.loads(touched.read_text(encoding="utf-8"))
        at_import = {name: frozenset(by) for name, (_, by) in recorded.items() if "::" not in name}
        self.at_import = at_import["linerdesign"]
        self.tests = [
            Touching(name, took, at_import.get(name.partition("::")[0], frozenset()).union(by))
            for name, (took, by) in recorded.items()
            if "::" in name
        ]
        self.sound: set[str] = set()

    def verdict(self, mutant: Mutant) -> str:
        """What comes of a mutant.

        `survived`, `killed` by a test, `mistyped` to the type checker, `unloadable` by any
        program, or `hangs`.
        """
        path = self.folder / "linerdesign" / f"{mutant.module}.py"
        sound, times = path.read_bytes(), path.stat()
        path.write_text(mutant.source(), encoding="utf-8")
        try:
            verdict, failed = self._judged(mutant)
        except subprocess.TimeoutExpired:
            return "hangs"
        finally:
            path.write_bytes(sound)
            os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
        if not failed or self._passes(failed):
            return verdict
        self.tests = [test for test in self.tests if test.name != failed]
        return self.verdict(mutant)

    def _judged(self, mutant: Mutant) -> tuple[str, str]:
        """The verdict, and the test that failed."""
        if self._python("-c", "import linerdesign.cli.size, linerdesign.methods.catalogue")[0]:
            return "unloadable", ""
        for batch in batches(enough(self._ordered(mutant))):
            (self.folder / "names").write_text("\n".join(test.name for test in batch), "utf-8")
            seconds = 60 + PATIENCE * sum(test.seconds for test in batch)
            code, said = self._python("-m", "pytest", "-x", *FLAGS, "@names", seconds=seconds)
            if code == -signal.SIGXCPU:
                return "hangs", ""
            # 5 is "no tests collected", which is no verdict on the mutant.
            if code not in (0, 5):
                failed = re.search(r"^(?:FAILED|ERROR) (tests/[^[ \n]+)", said, re.MULTILINE)
                return "killed", failed[1] if failed else ""
        return ("mistyped" if self._is_mistyped(mutant) else "survived"), ""

    def _is_mistyped(self, mutant: Mutant) -> bool:
        """Whether the type checker says more of a mutant than of the sound module.

        Both without comments, so that neither has those that it heeds.
        """
        path = self.folder / "linerdesign" / f"{mutant.module}.py"
        said = []
        for source in (mutant.sound(), mutant.source()):
            path.write_text(source, encoding="utf-8")
            _, out = self._python("-m", "mypy")
            said.append(Counter(re.findall(r": error: .*", out)))
        return bool(said[1] - said[0])

    def _passes(self, test: str) -> bool:
        """Whether a test passes on the sound package when it runs by itself."""
        if test not in self.sound and not self._python("-m", "pytest", *FLAGS, test)[0]:
            self.sound.add(test)
        return test in self.sound

    def _ordered(self, mutant: Mutant) -> list[Touching]:
        """The tests that can notice a mutant, likeliest first.

        Those that call its function; those near its module, since an equation becomes a tree in the
        first that calls it, and is evaluated as one; those that share their files, and what these
        have kept, or start other programs. What the package runs at its import reaches every test.
        """
        function = f"{mutant.module}:{mutant.definition}"
        calling = [test for test in self.tests if function in test.functions]
        files = {test.file for test in calling}
        beside = [test for test in self.tests if test.file in files or "*" in test.functions]
        near = [test for test in self.tests if self._is_near(test, mutant.module)]
        everywhere = not calling or function in self.at_import
        groups = [calling, near, self.tests if everywhere else beside]
        ordered = [test for group in groups for test in self._nearest_first(group, mutant.module)]
        return list(dict.fromkeys(ordered))

    def _nearest_first(self, group: list[Touching], module: str) -> list[Touching]:
        """Those in files named after a module or importing it, its folder's, the quickest."""
        beside = (self.folder / "tests" / module).parent

        def distance(test: Touching) -> tuple[bool, bool, float]:
            apart = beside not in (self.folder / test.file).parents
            return not self._is_named(test.file, module), apart, test.seconds

        return sorted(group, key=distance)

    def _is_near(self, test: Touching, module: str) -> bool:
        """Whether a test calls a function of a module, or stands in a file that names it."""
        within = f"{module}:"
        return self._is_named(test.file, module) or any(
            name.startswith(within) for name in test.functions
        )

    @cache  # noqa: B019
    def _is_named(self, file: str, module: str) -> bool:
        """Whether a file of tests is named after a module or imports it."""
        path = self.folder / file
        dotted = re.escape(f"linerdesign.{module.replace('/', '.')}") + r"\b"
        named = path.stem.startswith(f"test_{Path(module).name}")
        return named or re.search(dotted, path.read_text(encoding="utf-8")) is not None

    def _python(
        self, *words: str, seconds: float = 2e4, touched: Path | None = None
    ) -> tuple[int, str]:
        """Exit code and output of a Python that sees the copy first, and no other program.

        `seconds` are those of the processor, so that a busy machine makes no mutant hang.
        """
        path = os.pathsep.join((str(self.folder), str(self.folder / "tests")))
        known = {**os.environ, "PYTHONPATH": path, "PATH": str(self.folder)}
        if touched:
            # This run also leaves the compiled modules that later ones, which write none, read.
            known.pop("PYTHONDONTWRITEBYTECODE", None)
            known["TOUCHED"] = str(touched)
        else:
            known["PYTHONDONTWRITEBYTECODE"] = "1"
        most = int(seconds)
        done = subprocess.run(
            [sys.executable, *words],
            cwd=self.folder,
            env=known,
            timeout=WAITING * seconds,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (most, most + 5)),
        )
        return done.returncode, done.stdout


def enough(tests: list[Touching]) -> list[Touching]:
    """The first of the tests, up to the time after which a mutant counts as a survivor."""
    until = accumulate(test.seconds for test in tests)
    return [test for test, end in zip(tests, until, strict=True) if end <= ENOUGH_TESTS]


def batches(tests: list[Touching]) -> Iterator[list[Touching]]:
    """Tests in growing batches, so that a mutant that dies early costs no more than that.

    Those of one file stand together in a batch, so that they share what it makes for all.
    """
    batch, most = [], 2.0
    for test in tests:
        batch.append(test)
        if sum(each.seconds for each in batch) > most:
            yield sorted(batch, key=lambda test: test.file)
            batch, most = [], 4 * most
    if batch:
        yield sorted(batch, key=lambda test: test.file)


def room_of(module: str) -> str:
    """The folder whose tests hold a module: `methods`, `tasks/review`."""
    room, *rest = module.split("/")
    return f"{room}/{rest[0]}" if room in ("tasks", "field") and len(rest) > 1 else room


def chosen(arguments: argparse.Namespace) -> list[Mutant]:
    """The mutants to try, those known to be equivalent left out."""
    named = [
        module
        for module in MODULES
        if not arguments.modules
        or any(f"{module}/".startswith(f"{each}/") for each in arguments.modules)
    ]
    every = [mutant for module in named for mutant in mutants(module)]
    stale = EQUIVALENT.keys() - {mutant.name for mutant in every}
    if stale and not arguments.modules:
        raise SystemExit(f"listed as equivalent, but no mutant: {sorted(stale)}")
    able = [mutant for mutant in every if mutant.name not in EQUIVALENT]
    print(f"{len(every)} mutants, {len(every) - len(able)} of them known to be equivalent")
    if arguments.sample and arguments.sample < len(able):
        able = random.Random(arguments.seed).sample(able, arguments.sample)
    return able


def main() -> int:
    """Tries the mutants and prints the score of every module and of all."""
    parser = argparse.ArgumentParser(description="Counts the slips of the pen that tests notice.")
    parser.add_argument("modules", nargs="*", metavar="MODULE")
    parser.add_argument("--sample", type=int, metavar="N", help="try N mutants drawn at random")
    parser.add_argument("--seed", type=int, default=1, metavar="S", help="seed of the draw")
    parser.add_argument("--map", type=Path, metavar="FILE", help="where what tests call is kept")
    parser.add_argument("--minutes", type=float, default=1e9, metavar="M", help="stop after M")
    arguments = parser.parse_args()
    counts: dict[str, Counter[str]] = {}
    able = chosen(arguments)
    with tempfile.TemporaryDirectory() as folder:
        workshop = Workshop(Path(folder), arguments.map)
        end = time.monotonic() + 60 * arguments.minutes
        for number, mutant in enumerate(able, 1):
            if time.monotonic() > end:
                break
            verdict = workshop.verdict(mutant)
            counts.setdefault(room_of(mutant.module), Counter())[verdict] += 1
            if verdict in ("survived", "hangs"):
                print(f"{number:5} {verdict}  {mutant}", flush=True)
    return _report(counts)


def _report(counts: dict[str, Counter[str]]) -> int:
    heads = ("killed", "mistyped", "unloadable", "hangs", "survived")
    total: Counter[str] = sum(counts.values(), Counter())
    print(f"\n{'folder':22}" + "".join(f"{head:>12}" for head in heads))
    for module, count in [*sorted(counts.items()), ("all", total)]:
        print(f"{module:22}" + "".join(f"{count[head]:12}" for head in heads))
    loaded = total.total() - total["unloadable"]
    noticed = 1 - total["survived"] / (total.total() or 1)
    strict = 1 - total["survived"] / loaded if loaded else 1.0
    print(f"score: {noticed:.1%} noticed; {strict:.1%} of the {loaded} that load at all")
    return 0 if strict >= ENOUGH else 1


if __name__ == "__main__":
    sys.exit(main())
