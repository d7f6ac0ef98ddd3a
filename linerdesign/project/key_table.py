"""The one table of keys of a project file: one row a key."""

from __future__ import annotations

from typing import Any

from linerdesign.methods.basis import FULLY, PARTIALLY
from linerdesign.methods.method import SECOND_METHODS, standard
from linerdesign.methods.origin import KNOWN_BY
from linerdesign.project.cost_keys import COST, EVIDENCE_GRADES
from linerdesign.project.further_keys import FURTHER_KEYS
from linerdesign.project.key import Key
from linerdesign.words import sentence

# Tables that hold values of the site, and those that may give a value of another table again.
SITE = ("pipe", "station", "defaults", "inputs")
PROPERTY = ("resin", "inputs")
RETENTION = ("resin", "defaults", "inputs")
CRITERION = ("criteria", "inputs")
POINTS = "points"


_EXTREME = ("%", (0.25, 0.5, 0.5, 1.0))
_DEPTH = ("%", (2.0, 10.0, 5.0, 20.0))
_WATER = ("ft", (1.0, 3.0, 2.0, 5.0))
_PROPERTY = ("%", (5.0, 10.0, 10.0, 15.0))
_RETENTION = (POINTS, (3.0, 5.0, 5.0, 10.0))

_DISTRIBUTIONS = "uncertainty of values by key: a half-width, a range or a distribution"

_PROJECT = (
    Key("title", ("project",), "text", "title of the work", required=True),
    Key("number", ("project", "submittal"), "label", "number"),
    Key("client", ("project",), "text", "owner"),
    Key("location", ("project",), "text", "location"),
    Key("prepared_by", ("project",), "text", "prepared by"),
    Key("checked_by", ("project",), "text", "checked by"),
    Key("date", ("project",), "label", "date of the calculation"),
    Key("revision", ("project", "submittal"), "label", "revision"),
    Key("units", ("project",), "choice", "unit system", "US", choices=("US", "SI")),
    Key("criteria", ("project",), "text", "file of the owner's criteria, beside this file"),
    Key(
        "verification",
        ("project", "criteria"),
        "text",
        "the office's verification record, beside this file",
    ),
)
_CRITERIA = (
    Key(
        "edition",
        ("criteria",),
        "choice",
        sentence("standard.help_edition"),
        standard().editions[0],
        choices=standard().editions,
        unsafe=0,
    ),
    Key(
        "poisson_ratio",
        CRITERION,
        "ratio",
        "Poisson's ratio of the liner",
        0.3,
        unsafe=1,
        also=("poisson",),
    ),
    Key(
        "safety_factor",
        CRITERION,
        "factor",
        "safety factor N",
        2.0,
        unsafe=-1,
        also=("sf", "factor_of_safety"),
    ),
    Key(
        "enhancement_factor",
        CRITERION,
        "factor",
        "enhancement factor K",
        7.0,
        unsafe=1,
        also=("enhancement",),
    ),
    Key("enhancement_evidence", ("criteria",), "text", "evidence for an enhancement factor over 7"),
    Key(
        "x1_2_strength",
        CRITERION,
        "choice",
        sentence("standard.help_strength"),
        "long-term",
        choices=("long-term", "short-term"),
        unsafe=0,
    ),
    Key(
        "maximum_dimension_ratio",
        ("criteria",),
        "factor",
        "maximum DR, no groundwater",
        100.0,
        unsafe=1,
    ),
    Key(
        "dry_case",
        ("criteria",),
        "truth",
        "a gravity pipe also passes with the groundwater below its invert",
        True,
        unsafe=-1,
    ),
    Key("minimum_ovality", ("criteria",), "ovality", "minimum design ovality", "0 %", unsafe=-1),
    Key(
        "minimum_thickness", ("criteria",), "floor", "minimum nominal thickness", "0 mm", unsafe=-1
    ),
    Key(
        "thickness_step",
        ("criteria", "resin"),
        "section",
        "thickness increment; a resin may have its own",
        "1.5 mm",
    ),
    Key("defaults", ("criteria",), "defaults", "values for pipes and resins without their own"),
    Key("limits", ("criteria",), "limits", "limits beyond which a project value is flagged"),
    Key(
        "second_method",
        ("criteria",),
        "second_method",
        "a second design method beside the standard, or in its place",
    ),
    Key(
        "method",
        ("second_method",),
        "choice",
        "name of the method",
        required=True,
        choices=tuple(SECOND_METHODS),
    ),
    Key(
        "use",
        ("second_method",),
        "choice",
        "whether it is shown beside the standard or replaces it",
        "beside",
        choices=("beside", "replaces"),
    ),
    Key(
        "gap",
        ("second_method",),
        "percent",
        "annular gap, of the radius; left out, that of the method",
    ),
    Key(
        "bulge",
        ("second_method",),
        "percent",
        "depth of a local bulge, of the radius; left out, that of the method",
    ),
)


def _limit(name: str, kind: str, limits: str, help: str) -> Key:
    """A limit of the owner on a quantity, from below or from above by its name."""
    unsafe = -1 if name.startswith("minimum") else 1
    return Key(name, ("limits",), kind, help, limits=limits, unsafe=unsafe)


_LIMITS = (
    _limit("minimum_groundwater_above_invert", "level", "h_invert", "minimum groundwater"),
    _limit("minimum_groundwater_above_crown", "level", "H_w", "minimum groundwater"),
    _limit("maximum_groundwater_below_surface", "level", "d_water", "maximum depth of water table"),
    _limit("minimum_soil_unit_weight", "unit weight", "w", "minimum soil unit weight"),
    _limit("maximum_soil_reaction_modulus", "modulus", "E_s", "maximum E's"),
    _limit("minimum_live_load", "load", "W_s", "minimum live load, as a pressure"),
    _limit("maximum_modulus_retention", "retention", "r_E", "maximum modulus retention"),
    _limit("maximum_strength_retention", "retention", "r_sigma", "maximum strength retention"),
    _limit("maximum_tensile_retention", "retention", "r_T", "maximum tensile retention"),
)
_NAMES = (
    Key("name", ("resin",), "text", "name of the system", required=True),
    Key(
        "name",
        ("pipe",),
        "text",
        "name of the pipe",
        required=True,
        examples=("MH 1 to MH 2", "MH 1 to MH 2"),
    ),
    Key("resin", ("pipe",), "text", "name of a resin; without it the first one", also=("system",)),
    Key(
        "condition",
        ("pipe",),
        "choice",
        "condition of the host as determined by the owner; never inferred",
        required=True,
        choices=(PARTIALLY, FULLY),
        examples=("", ""),
    ),
    Key("at", ("station",), "text", "location along the pipe", required=True),
)


def _site(name: str, kind: str, help: str, of: str = "", **more: Any) -> Key:
    """A value of the site, which stations, defaults and stated inputs may give too."""
    return Key(name, SITE, kind, help, group=of, **more)


def _soil(name: str, kind: str, help: str, of: str = "", **more: Any) -> Key:
    """A value of the ground, which a pipe above ground does not have."""
    return Key(name, SITE, kind, help, group=of, buried=True, **more)


_SITE = (
    _site(
        "host_diameter",
        "section",
        "mean inside diameter of the host pipe",
        of="diameter",
        uncertainty=("%", (0.5, 1.5, 1.0, 3.0)),
        examples=("8 in", "200 mm"),
        also=("diameter", "inside_diameter", "internal_diameter", "pipe_diameter", "dia", "size"),
    ),
    _site("diameters", "readings", "diameter readings", of="diameter", entries=(2, 10_000)),
    _site(
        "maximum_diameter", "section", "maximum inside diameter", of="ovality", uncertainty=_EXTREME
    ),
    _site(
        "minimum_diameter", "section", "minimum inside diameter", of="ovality", uncertainty=_EXTREME
    ),
    _site("host_wall", "section", "host wall thickness; neglected if not given"),
    _site(
        "hole_diameter",
        "section",
        "largest hole in the host (pressure pipe)",
        of="pressure",
        uncertainty=("%", (5.0, 10.0, 10.0, 25.0)),
    ),
    _site(
        "ovality",
        "ovality",
        "ovality",
        of="ovality",
        uncertainty=(POINTS, (0.5, 1.0, 1.0, 2.0)),
        examples=("2 %", "2 %"),
    ),
    _soil(
        "cover",
        "cover",
        "depth of cover to crown",
        of="cover",
        uncertainty=_DEPTH,
        examples=("8 ft", "2.4 m"),
        also=("depth", "depth_of_cover", "soil_cover", "cover_depth"),
    ),
    _soil(
        "invert_depth",
        "cover",
        "depth of invert below grade, in place of cover",
        of="cover",
        uncertainty=_DEPTH,
        also=("depth_to_invert",),
    ),
    _soil("ground_elevation", "level", "ground elevation, in place of cover", of="cover"),
    _soil("invert_elevation", "level", "invert elevation, beside another elevation"),
    _soil("groundwater", "no water", '"none": no groundwater reaches the pipe', of="water"),
    _soil(
        "groundwater_above_invert",
        "level",
        "groundwater above invert",
        of="water",
        uncertainty=_WATER,
        examples=("5 ft", "1.5 m"),
        also=("water", "gw", "groundwater_height", "groundwater_head", "head"),
    ),
    _soil(
        "groundwater_above_crown",
        "level",
        "groundwater above crown",
        of="water",
        uncertainty=_WATER,
    ),
    _soil(
        "groundwater_below_surface",
        "level",
        "depth of the water table below grade",
        of="water",
        uncertainty=_WATER,
        also=("depth_to_water", "groundwater_depth", "water_table"),
    ),
    _soil(
        "groundwater_elevation",
        "level",
        "groundwater elevation, with invert_elevation",
        of="water",
        uncertainty=_WATER,
        also=("water_level", "water_elevation"),
    ),
    _soil(
        "soil_unit_weight",
        "unit weight",
        "soil unit weight",
        required_by=FULLY,
        uncertainty=("%", (3.0, 5.0, 5.0, 10.0)),
        examples=("120 pcf", "18.8 kN/m^3"),
        also=("unit_weight", "soil_weight", "soil_density"),
    ),
    _soil(
        "soil_reaction_modulus",
        "soil",
        "modulus of soil reaction E's, or the soil and its compaction",
        required_by=FULLY,
        uncertainty=("%", (20.0, 30.0, 30.0, 50.0)),
        examples=("1000 psi", "6.9 MPa"),
        also=("soil_modulus", "modulus_of_soil_reaction", "e_prime", "soil"),
    ),
    _soil(
        "live_load",
        "live load",
        'live load at the crown, "none", or a method',
        required_by=FULLY,
        uncertainty=("%", (10.0, 20.0, 20.0, 40.0)),
        examples=("1.2 psi", "0.0083 MPa"),
        also=("traffic_load", "traffic", "surcharge"),
    ),
    _site(
        "internal_pressure",
        "pressure",
        "internal pressure, for a pressure pipe",
        of="pressure",
        uncertainty=("%", (5.0, 10.0, 10.0, 25.0)),
        also=("pressure", "operating_pressure"),
    ),
    _site("vacuum", "vacuum", "vacuum inside the pipe", of="pressure", also=("vac",)),
)
_RESIN = (
    Key(
        "flexural_modulus",
        PROPERTY,
        "property",
        "initial flexural modulus E",
        required=True,
        uncertainty=_PROPERTY,
        examples=("250000 psi", "1724 MPa"),
        also=("modulus", "e", "initial_modulus"),
    ),
    Key(
        "modulus_retention",
        RETENTION,
        "retention",
        "long-term modulus retention (creep)",
        "50 %",
        uncertainty=_RETENTION,
        examples=("50 %", "50 %"),
        also=("creep_factor", "retention", "creep_retention"),
    ),
    Key(
        "flexural_strength",
        PROPERTY,
        "property",
        "initial flexural strength",
        required=True,
        uncertainty=_PROPERTY,
        examples=("4500 psi", "31 MPa"),
        also=("strength",),
    ),
    Key(
        "strength_retention",
        RETENTION,
        "retention",
        "long-term flexural strength retention",
        "50 %",
        uncertainty=_RETENTION,
        examples=("50 %", "50 %"),
    ),
    Key(
        "tensile_strength",
        PROPERTY,
        "property",
        "initial tensile strength, for pressure pipe",
        uncertainty=_PROPERTY,
    ),
    Key(
        "tensile_retention",
        RETENTION,
        "retention",
        "long-term tensile strength retention",
        "50 %",
        uncertainty=_RETENTION,
    ),
    Key(
        "thicknesses",
        ("resin",),
        "readings",
        "available thicknesses, in place of an increment",
        entries=(1, 200),
    ),
    Key("maximum_stretch", ("resin",), "percent", "maximum circumferential stretch, system data"),
    Key(
        "maximum_temperature", ("resin",), "temperature", "maximum service temperature, system data"
    ),
    Key("density", ("resin",), "density", "density of the cured wall"),
    Key("price", ("resin",), "price", "price per mass, in any currency"),
    Key("cost", ("resin",), "cost", "other prices of the system, for comparisons"),
    Key("uncertainty", ("resin",), "distributions", _DISTRIBUTIONS, {}),
    Key("evidence", ("resin",), "text", "test report for the properties"),
    Key(
        "evidence_grade",
        ("resin",),
        "choice",
        "evidence for the long-term properties",
        "none",
        choices=EVIDENCE_GRADES,
    ),
)
_PIPE = (
    Key("length", ("pipe", "leg"), "length", "length to line"),
    Key("tube_thickness", ("pipe",), "section", "wall of the tube as cured unstretched"),
    Key(
        "above_ground",
        ("pipe",),
        "truth",
        "true for a pressure pipe above ground: no soil, no groundwater",
        False,
    ),
    Key(
        "design_thickness",
        ("pipe",),
        "section",
        "thickness to check, in place of choosing one",
        also=("thickness", "nominal_thickness"),
    ),
    Key("origin", ("pipe",), "origins", "source of values by key", {}, choices=KNOWN_BY),
    Key("evidence", ("pipe",), "evidence", "evidence for values by key", {}),
    Key("capacity", ("pipe",), "capacity", "flow after lining, for this pipe"),
    Key("order", ("pipe",), "order", "quantities, for this pipe"),
    Key("leg", ("pipe",), "legs", "legs of the line with their own diameter or bend", ()),
    Key("lateral", ("pipe",), "laterals", "laterals to reopen after lining", ()),
    Key("sample", ("pipe",), "samples", "samples of the installed wall", ()),
    Key("station", ("pipe",), "stations", "locations along the pipe with values of their own", ()),
    Key("stated", ("pipe",), "stated", "values of a submitted calculation"),
    Key("uncertainty", ("pipe",), "distributions", _DISTRIBUTIONS, {}),
    Key("doubt", ("pipe",), "distributions", "earlier name of `uncertainty`", {}),
)
KEYS = (*_PROJECT, *_CRITERIA, *_LIMITS, *_NAMES, *_SITE, *_RESIN, *COST, *_PIPE, *FURTHER_KEYS)
