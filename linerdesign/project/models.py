"""The project file's tables as pydantic models: every key once, with what it takes and means."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Annotated, Any, Literal, get_args

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

from linerdesign.project.measures import Measure, factor, parse, parse_range
from linerdesign.project.stated import read_doubts, read_steps


def _expecting(read: Callable[..., Any], *kind: str) -> BeforeValidator:
    """A validator whose error says only what was expected; `kind` is one of `KINDS`."""
    return BeforeValidator(partial(_read, read, kind))


def _read(read: Callable[..., Any], kind: tuple[str, ...], value: object) -> Any:
    try:
        return read(value, *kind)
    except ValueError as error:
        raise PydanticCustomError("expected", "{expected}", {"expected": str(error)}) from None


def _text(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise ValueError("some text in quotes")
    return value.strip()


def _ratio(value: object) -> float:
    number = factor(value)
    if number >= 0.5:
        raise ValueError("a number from 0 to under 0.5, such as 0.3")
    return number


def _retention(value: object) -> Measure:
    measure = parse_range(value, "percent")
    if not 0 < measure.number <= (measure.upper or measure.number) <= 100:
        raise ValueError('a percentage over 0 and at most 100 %, such as "50 %"')
    return measure


def _price(value: object) -> Measure:
    """`"3.10 USD/kg"`: the currency is a label, the mass a unit."""
    amount, _, mass = str(value).partition("/")
    number, _, currency = amount.strip().partition(" ")
    if not isinstance(value, str) or not currency.strip().isalpha() or not mass:
        raise ValueError('a price per mass with its currency, such as "3.10 USD/kg"')
    per_mass = parse(f"{number} {mass}", "mass")
    return Measure(per_mass.number, f"{currency.strip()}/{mass.strip()}", value.strip())


def _live_load(value: object, kind: str) -> Measure:
    if value == "none":
        return Measure(0.0, "psi", "none")
    try:
        return parse(value, kind)
    except ValueError as error:
        raise ValueError(f'{error}; or "none"') from None


def _none(value: object) -> str:
    if value != "none":
        raise ValueError('"none", or the height of the water by its datum')
    return "none"


Text = Annotated[str, _expecting(_text)]
Section = Annotated[Measure, _expecting(parse, "section")]
Floor = Annotated[Measure, _expecting(parse, "floor")]
Cover = Annotated[Measure, _expecting(parse, "cover")]
Level = Annotated[Measure, _expecting(parse, "level")]
Length = Annotated[Measure, _expecting(parse, "length")]
Modulus = Annotated[Measure, _expecting(parse, "modulus")]
Property = Annotated[Measure, _expecting(parse_range, "modulus")]
UnitWeight = Annotated[Measure, _expecting(parse, "unit weight")]
Density = Annotated[Measure, _expecting(parse, "density")]
Ovality = Annotated[Measure, _expecting(parse, "ovality")]
Retention = Annotated[Measure, _expecting(_retention)]
Factor = Annotated[float, _expecting(factor)]
PoissonRatio = Annotated[float, _expecting(_ratio)]
Price = Annotated[Measure, _expecting(_price)]
LiveLoad = Annotated[Measure, _expecting(_live_load, "load")]
Origin = Literal["measured", "plan", "given", "assumed"]


class Table(BaseModel):
    """A table of the project file. Keys it does not know are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


def measured_keys(table: type[Table]) -> dict[str, str]:
    """The keys of a table that take one quantity with its unit, and its kind among `KINDS`."""
    found = {}
    for key, field in table.model_fields.items():
        for about in (*field.metadata, *_of_union(field.annotation)):
            reader = about.func if isinstance(about, BeforeValidator) else None
            if isinstance(reader, partial) and reader.args[1]:
                found[key] = reader.args[1][0]
    return found


def _of_union(annotation: Any) -> Iterator[Any]:
    """What is annotated on the members of a union; a list of quantities is not one quantity."""
    for member in get_args(annotation):
        yield from get_args(member)[1:]


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


class Criteria(Table):
    """`[criteria]`: the owner's design basis."""

    edition: Literal["F1216-07b", "F1216-07a"] = Field(
        "F1216-07b", description="this edition and later, or F1216-07a and earlier"
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
    price: Price | None = Field(None, description="price per mass, any currency label")
    evidence: Text = Field("", description="test report behind the properties")


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
    groundwater: Annotated[str, _expecting(_none)] | None = Field(
        None, description='"none" where no groundwater reaches the pipe'
    )
    soil_unit_weight: UnitWeight | None = Field(None, description="unit weight of the soil")
    soil_reaction_modulus: Modulus | None = Field(None, description="modulus of soil reaction E'")
    live_load: LiveLoad | None = Field(
        None, description='live load at the top of the pipe, or "none"'
    )


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
    inputs: StatedInputs | None = Field(None, description="inputs that differ from this file's")


class Pipe(Site):
    """`[[pipe]]`: one pipe, lined with one tube of one thickness."""

    name: Text = Field(description="name of the pipe")
    resin: Text = Field("", description="name of a resin; the first one if not given")
    condition: Literal["partially deteriorated", "fully deteriorated"] = Field(
        description="the owner's decision; never inferred"
    )
    length: Length | None = Field(None, description="length to line")
    design_thickness: Section | None = Field(
        None, description="a thickness to check, in place of choosing one"
    )
    origin: dict[str, Origin] = Field(
        {}, description="how values are known: measured, plan, given or assumed"
    )
    station: list[Station] = Field([], max_length=1000, description="places along the pipe")
    stated: Stated | None = Field(None, description="what a submitted calculation says")
    doubt: Annotated[dict[str, Measure], BeforeValidator(read_doubts)] = Field(
        {}, description="how far values may be off, in their unit or in percent of the value"
    )


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
