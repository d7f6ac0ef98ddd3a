"""Tables of a project file that ask for more than a thickness: capacity, order, acceptance."""

from __future__ import annotations

from typing import Literal, TypeVar

from pydantic import Field

from linerdesign.project.fields import (
    Angle,
    Factor,
    Floor,
    Length,
    Modulus,
    Percent,
    Section,
    Share,
    Table,
    Temperature,
    Text,
    given,
)
from linerdesign.project.measures import Measure

Rule = Literal["mean and least reading", "no undersize", "ISO 11296-4 minimum", "stiffness ratio"]
# Films, the preliner and layers the resin did not reach carry no load and do not count.
ThicknessBasis = Literal["structural wall", "whole wall"]
Asked = TypeVar("Asked", bound=Table)


class Capacity(Table):
    """`[capacity]` for every pipe, `capacity` of a pipe: full flow before and after lining."""

    host_n: Factor | None = Field(
        None, description="Manning's n of the host: 0.013 clay, concrete to 0.030 corrugated metal"
    )
    liner_n: Factor = Field(0.010, description="Manning's n of the liner, 0.009 to 0.012")
    slope: Share | None = Field(None, description="slope of the bed, for the flows themselves")


class Order(Table):
    """`[order]` for every pipe with a length, `order` of a pipe: what a crew orders."""

    extra_length: Floor = Field(
        Measure(0.0, "m", "0 m"), description="length of tube beyond the pipe's own"
    )
    resin_share: Share = Field(
        Measure(100.0, "%", "100 %"),
        description="resin as share of the wall by volume (that of `compare` is by mass)",
    )
    resin_excess: Percent = Field(
        Measure(10.0, "%", "10 %"),
        description="excess over the resin that fills the tube, by volume",
    )
    tube_diameter: Section | None = Field(
        None, description="diameter the tube is made for; the smallest of the stations"
    )


class Acceptance(Table):
    """`[acceptance]`: the owner's rule for installed walls, and where the samples are."""

    rule: Rule | None = Field(None, description="the rule that the owner chose")
    least_reading: Share = Field(
        Measure(87.5, "%", "87.5 %"),
        description='least single reading over the design, for "mean and least reading"',
    )
    compared_with: Literal["nominal thickness", "required thickness"] = Field(
        "nominal thickness", description="the thickness that counts as the design"
    )
    properties: Literal["mean", "every test"] = Field(
        "mean", description="the tests of a property that must reach the design value"
    )
    minimum_properties: Literal["F1216", "F2019", "none"] = Field(
        "F1216", description="specification whose minimum initial properties apply"
    )
    samples: Text = Field("", description="table of samples (CSV), beside this file")
    bending: Text = Field("", description="raw bending records (CSV), beside this file")
    non_structural: Floor | None = Field(
        None, description="film, preliner and dry layers, taken off readings of the whole wall"
    )


class Sample(Table):
    """`[[pipe.sample]]`: what one sample of the installed wall gave."""

    specimen: Text = Field("", description="name of the sample")
    thickness: Section | None = Field(None, description="one reading")
    thicknesses: list[Section] | None = Field(
        None, min_length=1, max_length=1000, description="several readings"
    )
    thickness_basis: ThicknessBasis | None = Field(
        None, description="the structural wall alone, or the whole wall with its films"
    )
    modulus: Modulus | None = Field(None, description="flexural modulus by test")
    strength: Modulus | None = Field(None, description="flexural strength by test")
    tensile_strength: Modulus | None = Field(None, description="tensile strength by test")
    station: Text = Field("", description="where along the pipe the sample was taken")
    clock: Text = Field("", description="clock position of the sample")


class Leg(Table):
    """`[[pipe.leg]]`: one leg of a line that is lined with one tube."""

    at: Text = Field("", description="where along the pipe the leg begins")
    length: Length | None = Field(None, description="length of the leg")
    host_diameter: Section | None = Field(
        None, description="mean inside diameter of the host in the leg; that of the pipe"
    )
    bend: Angle | None = Field(None, description="angle of the bend, with bend_radius")
    bend_radius: Section | None = Field(None, description="centre-line radius of the bend")
    temperature: Temperature | None = Field(None, description="highest temperature in the leg")


def over(common: Asked | None, own: Asked | None) -> Asked | None:
    """A pipe's own table over the one for every pipe, key for key; none where nobody asks."""
    if common is None or own is None:
        return own or common
    return common.model_copy(update=given(own))
