"""The project file's tables as pydantic models: every key once, with what it takes and means."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, PrivateAttr

from linerdesign.project.fields import (
    Cover,
    Density,
    Factor,
    Floor,
    Length,
    Level,
    Load,
    Modulus,
    NoWater,
    Origin,
    Ovality,
    Percent,
    PoissonRatio,
    Pressure,
    Price,
    Property,
    Retention,
    Section,
    Temperature,
    Text,
    UnitWeight,
    Vacuum,
    WhenGiven,
    kinds_of,
)
from linerdesign.project.fields import Table as Table
from linerdesign.project.fields import measured_keys as measured_keys
from linerdesign.project.ground import TABLES_OF_KEYS, LiveLoad, SoilModulus
from linerdesign.project.measures import KINDS, Kind, Measure
from linerdesign.project.requests import Capacity, Leg, Order, Sample
from linerdesign.project.stated import read_doubts, read_steps


class ProjectInfo(Table):
    """`[project]`: what stands on the cover."""

    title: Text = Field(description="name of the work")
    number: Text = Field("", description="number of the project")
    client: Text = Field("", description="the owner")
    location: Text = Field("", description="place")
    prepared_by: Text = Field("", description="who made the calculation")
    checked_by: Text = Field("", description="who checked it")
    date: Text = Field("", description="date of the calculation")
    revision: Text = Field("", description="revision")
    units: Literal["US", "SI"] = Field("US", description="unit system of the sheet")
    criteria: Text = Field("", description="file of the owner's criteria, beside this file")


class Site(Table):
    """Values that may differ along a pipe; a station may give any of them again."""

    host_diameter: Section | None = Field(None, description="mean inside diameter of the host")
    diameters: list[Section] | None = Field(
        None, min_length=2, max_length=10_000, description="readings in place of host_diameter"
    )
    maximum_diameter: Section | None = Field(None, description="largest inside diameter")
    minimum_diameter: Section | None = Field(None, description="smallest inside diameter")
    ovality: Ovality | None = Field(None, description="ovality in percent")
    host_wall: Section | None = Field(None, description="wall of the host, neglected if not given")
    cover: Cover | None = Field(None, description="soil above the top of the pipe")
    invert_depth: Cover | None = Field(None, description="ground to invert, in place of cover")
    ground_elevation: Level | None = Field(
        None, description="with invert_elevation, in place of cover"
    )
    invert_elevation: Level | None = Field(None, description="elevation of the invert")
    groundwater_above_invert: Level | None = Field(None, description="water over the invert")
    groundwater_above_crown: Level | None = Field(
        None, description="water over the top of the pipe"
    )
    groundwater_below_surface: Level | None = Field(
        None, description="depth of the water below ground"
    )
    groundwater_elevation: Level | None = Field(
        None, description="elevation of the water, with invert_elevation"
    )
    groundwater: NoWater | None = Field(
        None, description='"none" where no groundwater reaches the pipe'
    )
    soil_unit_weight: UnitWeight | None = Field(None, description="unit weight of the soil")
    soil_reaction_modulus: SoilModulus | None = Field(
        None, description="modulus of soil reaction E', or the soil and its compaction"
    )
    live_load: LiveLoad | None = Field(
        None, description='live load at the top of the pipe, "none", or a method'
    )
    internal_pressure: Pressure | None = Field(
        None, description="internal pressure; makes it a pressure pipe"
    )
    hole_diameter: Section | None = Field(
        None, description="largest hole in a partially deteriorated pressure pipe"
    )
    vacuum: Vacuum | None = Field(None, description="vacuum inside the pipe")


class Defaults(Site):
    """`[criteria.defaults]`: values for pipes and resins that leave a key out."""

    modulus_retention: Retention | None = Field(None, description="of resins that give none")
    strength_retention: Retention | None = Field(None, description="of resins that give none")
    tensile_retention: Retention | None = Field(None, description="of resins that give none")


class Limits(Table):
    """`[criteria.limits]`: a value of the project beyond one of these is flagged."""

    minimum_groundwater_above_invert: Level | None = Field(None, description="least water")
    minimum_groundwater_above_crown: Level | None = Field(None, description="least water")
    maximum_groundwater_below_surface: Level | None = Field(None, description="deepest water")
    minimum_soil_unit_weight: UnitWeight | None = Field(None, description="lightest soil")
    maximum_soil_reaction_modulus: Modulus | None = Field(None, description="stiffest soil")
    minimum_live_load: Load | None = Field(None, description="least live load, as a pressure")
    maximum_modulus_retention: Retention | None = Field(None, description="largest retention")
    maximum_strength_retention: Retention | None = Field(None, description="largest retention")
    maximum_tensile_retention: Retention | None = Field(None, description="largest retention")


class Criteria(Table):
    """`[criteria]`: the owner's design basis."""

    edition: Literal["F1216-07b", "F1216-07a"] = Field(
        "F1216-07b", description="the form of X1.3 published since 07b, or the one before it"
    )
    safety_factor: Factor = Field(2.0, description="safety factor N")
    enhancement_factor: Factor = Field(7.0, description="enhancement factor K")
    enhancement_evidence: Text = Field("", description="reason for an enhancement factor over 7")
    poisson_ratio: PoissonRatio = Field(0.3, description="Poisson's ratio of the liner")
    x1_2_strength: Literal["long-term", "short-term"] = Field(
        "long-term", description="strength used in X1.2; some published examples use short-term"
    )
    maximum_dimension_ratio: Factor = Field(
        100.0, description="largest DR where no groundwater stands above the invert"
    )
    minimum_ovality: Ovality = Field(
        Measure(0.0, "%", "0 %"), description="floor under each pipe's ovality"
    )
    minimum_thickness: Floor = Field(
        Measure(0.0, "mm", "0 mm"), description="floor under the nominal thickness"
    )
    thickness_step: Section = Field(
        Measure(1.5, "mm", "1.5 mm"), description="the nominal thickness is a multiple of it"
    )
    defaults: Annotated[Defaults, WhenGiven()] = Field(
        Defaults.model_construct(), description="values for pipes that leave a key out"
    )
    limits: Annotated[Limits, WhenGiven()] = Field(
        Limits.model_construct(), description="values that a project should not go beyond"
    )
    _owner: Criteria | None = PrivateAttr(None)
    _of_project: frozenset[str] = PrivateAttr(frozenset())

    @property
    def owner(self) -> Criteria | None:
        """The criteria of the owner's file by themselves, where there is such a file."""
        return self._owner

    def under(self, owner: Criteria, merged: Criteria) -> Criteria:
        """These criteria of a project and the owner's as one, in `merged`, which knows of both."""
        merged._owner = owner
        merged._of_project = frozenset(self.model_fields_set)
        return merged

    def giver(self, key: str) -> str:
        """Who gave a value: project, owner or default."""
        if key not in self.model_fields_set:
            return "default"
        if self._owner is None or key in self._of_project:
            return "project"
        return "owner"


class Resin(Table):
    """`[[resin]]`: one cured system, tube and resin together."""

    name: Text = Field(description="name of the system")
    flexural_modulus: Property = Field(description="initial flexural modulus E")
    flexural_strength: Property = Field(description="initial flexural strength")
    tensile_strength: Property | None = Field(
        None, description="initial tensile strength, for pressure pipe"
    )
    modulus_retention: Retention = Field(
        Measure(50.0, "%", "50 %"), description="long-term over initial modulus"
    )
    strength_retention: Retention = Field(
        Measure(50.0, "%", "50 %"), description="long-term over initial flexural strength"
    )
    tensile_retention: Retention = Field(
        Measure(50.0, "%", "50 %"), description="long-term over initial tensile strength"
    )
    thickness_step: Section | None = Field(
        None, description="step of thickness, in place of the owner's"
    )
    thicknesses: list[Section] | None = Field(
        None, min_length=1, max_length=200, description="the thicknesses made, in place of a step"
    )
    density: Density | None = Field(None, description="density of the cured wall")
    maximum_stretch: Percent | None = Field(
        None, description="largest circumferential stretch by the system's data"
    )
    maximum_temperature: Temperature | None = Field(
        None, description="highest temperature in service by the system's data"
    )
    price: Price | None = Field(None, description="price per mass, any currency label")
    evidence: Text = Field("", description="test report behind the properties")


class Station(Site):
    """`[[pipe.station]]`: one place along the pipe."""

    at: Text = Field(description="where along the pipe")


class StatedInputs(Site):
    """`[pipe.stated.inputs]`: inputs of the submitted calculation that differ from this file's."""

    flexural_modulus: Modulus | None = Field(None, description="their initial flexural modulus")
    modulus_retention: Retention | None = Field(None, description="their modulus retention")
    flexural_strength: Modulus | None = Field(None, description="their initial flexural strength")
    strength_retention: Retention | None = Field(None, description="their strength retention")
    edition: Literal["F1216-07b", "F1216-07a"] | None = Field(None, description="their edition")
    safety_factor: Factor | None = Field(None, description="their safety factor")
    enhancement_factor: Factor | None = Field(None, description="their enhancement factor")
    poisson_ratio: PoissonRatio | None = Field(None, description="their Poisson's ratio")
    x1_2_strength: Literal["long-term", "short-term"] | None = Field(
        None, description="the strength that they use in X1.2"
    )


class Stated(Table):
    """`[pipe.stated]`: what a submitted calculation says of the pipe."""

    thickness: Section | None = Field(None, description="the design thickness submitted")
    required_thickness: Section | None = Field(None, description="before rounding, if shown")
    steps: Annotated[dict[str, Measure], BeforeValidator(read_steps)] = Field(
        {}, description="other lines that it shows, by their symbol"
    )
    inputs: Annotated[StatedInputs, WhenGiven()] | None = Field(
        None, description="inputs that differ from this file's"
    )


class Pipe(Site):
    """`[[pipe]]`: one pipe, lined with one tube of one thickness."""

    name: Text = Field(description="name of the pipe")
    resin: Text = Field("", description="name of a resin; the first one if not given")
    condition: Literal["partially deteriorated", "fully deteriorated"] = Field(
        description="the owner's decision; never inferred"
    )
    length: Length | None = Field(None, description="length to line")
    above_ground: bool = Field(
        False, strict=True, description="true for a pressure pipe above ground: no soil, no water"
    )
    design_thickness: Section | None = Field(
        None, description="a thickness to check, in place of choosing one"
    )
    origin: dict[str, Origin] = Field(
        {}, description="how values are known: measured, plan, given or assumed"
    )
    evidence: dict[str, Text] = Field({}, description="what stands behind measured values, by key")
    capacity: Annotated[Capacity, WhenGiven()] | None = Field(
        None, description="asks for the flow after lining"
    )
    order: Annotated[Order, WhenGiven()] | None = Field(None, description="asks for quantities")
    tube_diameter: Section | None = Field(
        None, description="diameter the tube is made for; that of the narrowest leg"
    )
    tube_thickness: Section | None = Field(
        None, description="wall of the tube as cured unstretched; the nominal thickness"
    )
    leg: list[Annotated[Leg, WhenGiven()]] = Field(
        [], max_length=1000, description="legs of the line, each with its own diameter or bend"
    )
    sample: list[Annotated[Sample, WhenGiven()]] = Field(
        [], max_length=1000, description="samples of the installed wall"
    )
    station: list[Annotated[Station, WhenGiven()]] = Field(
        [], max_length=1000, description="places along the pipe"
    )
    stated: Annotated[Stated, WhenGiven()] | None = Field(
        None, description="what a submitted calculation says"
    )
    doubt: Annotated[dict[str, Measure], BeforeValidator(read_doubts)] = Field(
        {}, description="how far values may be off, in their unit or in percent of the value"
    )


def kind_of(key: str) -> Kind | None:
    """What a key of a pipe, a resin, the criteria or a table in them takes, if it is one number."""
    tables: tuple[type[Table], ...] = (Pipe, Resin, Criteria, *TABLES_OF_KEYS.values())
    for table in tables:
        if found := kinds_of(table).get(key):
            return KINDS[found]
    return None


# The keys of which one group states one thing; exactly one group of each may be given.
WATER_DATUMS = (
    "groundwater_above_invert",
    "groundwater_above_crown",
    "groundwater_below_surface",
    "groundwater_elevation",
    "groundwater",
)
COVER_DATUMS = ("cover", "invert_depth", "ground_elevation")
DIAMETERS = ("host_diameter", "diameters")
OVALITIES = ("ovality", "maximum_diameter", "minimum_diameter")
SOIL_KEYS = ("soil_unit_weight", "soil_reaction_modulus", "live_load")
PRESSURES = ("internal_pressure", "hole_diameter", "vacuum")
