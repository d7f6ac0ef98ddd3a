"""Rows of the table of keys for tables that hold no values of the design itself.

Flow and quantities, installation, acceptance, what a submittal states, and the tables that a live
load or a soil may be given by.
"""

from __future__ import annotations

from typing import Any

from linerdesign.methods.ground.load_lines import IN_PSF, IN_PSI, METHODS
from linerdesign.methods.method import standard
from linerdesign.project.key import Key
from linerdesign.project.stated_keys import STATED

RULES = ("mean and least reading", "no undersize", "ISO 11296-4 minimum", "stiffness ratio")
# Films, the preliner and layers the resin did not reach carry no load and do not count.
THICKNESS_BASES = STRUCTURAL_WALL, WHOLE_WALL = "structural wall", "whole wall"

_REQUESTS = (
    Key(
        "host_n",
        ("capacity",),
        "factor",
        "Manning's n of the host: 0.013 clay or concrete, to 0.030 corrugated metal",
    ),
    Key("liner_n", ("capacity",), "factor", "Manning's n of the liner, 0.009 to 0.012", 0.010),
    Key("slope", ("capacity",), "share", "slope of the invert, for the flows themselves"),
    Key("flow", ("capacity",), "flow", "flow at which depth and velocity are wanted"),
    Key(
        "self_cleansing_velocity",
        ("capacity",),
        "velocity",
        "velocity at this flow that keeps the invert clean (default: common practice, no source)",
        "2 ft/s",
    ),
    Key("extra_length", ("order",), "floor", "length of tube beyond the length to line", "0 m"),
    Key(
        "resin_share",
        ("order",),
        "share",
        "resin as share of the wall by volume (that of `compare` is by mass)",
        "100 %",
    ),
    Key("resin_excess", ("order",), "percent", "resin excess, by volume", "10 %"),
    Key(
        "tube_diameter",
        ("pipe", "order"),
        "section",
        "diameter the tube is made for; without it the smallest host diameter",
    ),
    Key(
        "felt_thickness",
        ("order",),
        "section",
        "thickness of the dry tube; without it the wall of the tube as cured",
    ),
    Key(
        "host_pressure",
        ("order",),
        "pressure",
        "internal pressure that the host withstands; without it the weight of the soil over it",
    ),
    Key(
        "pull_friction",
        ("order",),
        "factor",
        "coefficient of friction at pull-in (default: common practice, no source)",
        0.5,
    ),
    Key("rule", ("acceptance",), "choice", "acceptance rule of the owner", choices=RULES),
    Key(
        "least_reading",
        ("acceptance",),
        "share",
        'minimum single reading over the design, for "mean and least reading"',
        "87.5 %",
    ),
    Key(
        "compared_with",
        ("acceptance",),
        "choice",
        "design thickness for acceptance",
        "nominal thickness",
        choices=("nominal thickness", "required thickness"),
    ),
    Key(
        "properties",
        ("acceptance",),
        "choice",
        "tests of a property that must reach its design value",
        "mean",
        choices=("mean", "every test"),
    ),
    Key(
        "minimum_properties",
        ("acceptance",),
        "choice",
        "specification whose minimum initial properties apply",
        next(iter(standard().specifications)),
        choices=tuple(standard().specifications),
    ),
    Key("samples", ("acceptance",), "text", "table of samples (CSV), beside this file"),
    Key("bending", ("acceptance",), "text", "raw bending test records (CSV), beside this file"),
    Key(
        "non_structural",
        ("acceptance",),
        "floor",
        "film, preliner and dry layers, deducted from readings of the whole wall",
    ),
    Key("specimen", ("sample",), "text", "name of the sample"),
    Key("thickness", ("sample",), "section", "one thickness reading"),
    Key("thicknesses", ("sample",), "readings", "several thickness readings", entries=(1, 1000)),
    Key(
        "thickness_basis",
        ("sample",),
        "choice",
        "structural wall alone, or whole wall with its films",
        choices=THICKNESS_BASES,
    ),
    Key("modulus", ("sample",), "modulus", "flexural modulus by test"),
    Key("strength", ("sample",), "modulus", "flexural strength by test"),
    Key("tensile_strength", ("sample",), "modulus", "tensile strength by test"),
    Key("station", ("sample",), "text", "station of the sample, or the leg it was taken in"),
    Key("clock", ("sample",), "text", "clock position of the sample"),
    Key("at", ("leg",), "text", "location along the pipe where the leg begins"),
    Key("host_diameter", ("leg",), "section", "mean inside diameter of the host in the leg"),
    Key("bend", ("leg",), "angle", "angle of the bend, with bend_radius"),
    Key("bend_radius", ("leg",), "section", "centre-line radius of the bend"),
    Key("temperature", ("leg",), "temperature", "maximum temperature in the leg"),
)
_LATERALS = (
    Key("at", ("lateral",), "text", "station of the lateral to reopen", required=True),
    Key("clock", ("lateral",), "text", "clock position of the lateral"),
    Key("diameter", ("lateral",), "section", "inside diameter of the lateral"),
)


def _system(name: str, kind: str, help: str) -> Key:
    """What the data sheet of a system says of its installation."""
    return Key(name, ("resin",), kind, f"{help}, system data")


_INSTALLATION = (
    Key("resin_density", ("resin",), "density", "density of the mixed resin"),
    Key("felt_density", ("resin",), "density", "density of the dry tube, over its dry thickness"),
    _system("hardener_parts", "factor", "parts of hardener to 100 parts of resin by mass"),
    _system("minimum_installation_pressure", "pressure", "pressure that expands the tube"),
    _system("maximum_installation_pressure", "pressure", "largest pressure in the tube"),
    _system("maximum_pull_force", "force", "largest pull-in force"),
    _system("pull_elongation", "percent", "elongation at the largest pull-in force"),
    _system("light_power", "power", "power of the light for this tube"),
    _system("light_speed", "speed", "speed of the light for this tube"),
    _system("cure_temperature", "temperature", "temperature of cure by heat"),
    _system("heating_time", "time", "time of heating to the cure temperature"),
    _system("cure_time", "time", "time at the cure temperature"),
    _system("cooling_time", "time", "time of cooling"),
)
_GROUND = (
    Key("method", ("named load",), "choice", "live load method", required=True, choices=METHODS),
    Key(
        "table",
        ("named load",),
        "choice",
        "printed table to use; the sheet names its source",
        choices=(IN_PSI, IN_PSF),
    ),
    Key("distribution_factor", ("named load",), "factor", "live load distribution factor"),
    Key("multiple_presence", ("named load",), "factor", "multiple presence factor"),
    Key("load", ("named load",), "force", "concentrated load at grade"),
    Key("load_pressure", ("named load",), "load", "distributed load at grade"),
    Key("load_length", ("named load",), "cover", "length along the pipe"),
    Key("load_width", ("named load",), "cover", "width across the pipe"),
    Key("impact_factor", ("named load",), "factor", "impact factor; 1 for a static load"),
    Key(
        "trench", ("trench soil",), "fill", "modulus of the trench fill, or its soil", required=True
    ),
    Key(
        "native",
        ("trench soil",),
        "native",
        "modulus of the native soil, or its consistency",
        required=True,
    ),
    Key(
        "trench_width",
        ("trench soil",),
        "section",
        "trench width at the pipe",
        required=True,
        also=("width",),
    ),
    Key(
        "combining_table",
        ("trench soil",),
        "choice",
        "edition of AWWA M45 whose table combines the two",
        required=True,
        choices=("1996", "2005"),
    ),
)
# Hosts that are not circular, and what else the second opinion takes beside a design.
SHAPES = ("egg", "box", "arch", "ellipse")


def _host(name: str, kind: str, help: str, default: Any = None, **more: Any) -> Key:
    """A key of a pipe that the second opinion alone reads; no column of an inventory."""
    return Key(name, ("pipe",), kind, help, default, column=False, **more)


_HOST = (
    _host("shape", "choice", "shape of a host that is not circular", choices=SHAPES),
    _host("width", "section", "inside width of a host with a shape"),
    _host("height", "section", "inside height of a host with a shape"),
    _host("corner_radius", "section", "radius of the liner's corners in a box or an arch"),
    _host("outline", "text", "table of radii of a host of any shape (CSV), beside this file"),
    _host("own_weight", "truth", "whether the liner's own weight counts; needs a density", False),
    _host("buoyancy", "truth", "whether water lifts the liner onto the crown", False),
    _host(
        "maximum_deflection",
        "percent",
        "maximum inward deflection of the liner, of the inside width of the host",
        "3 %",
    ),
    _host("hole_arc", "angle", "opening of a missing part of the host, seen from the center"),
    _host("hole_position", "position", "its middle, clockwise from the crown", "0 deg"),
    _host("grout", "grouts", "stages of grouting outside the liner, from the invert up", ()),
    Key("height", ("grout",), "cover", "top of this stage above the invert", required=True),
    Key("density", ("grout",), "density", "density of the fresh grout", required=True),
)
FURTHER_KEYS = (*_REQUESTS, *_LATERALS, *_INSTALLATION, *STATED, *_GROUND, *_HOST)
