"""What a key of a project file takes: each kind of value, read from what stands in the file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

from linerdesign.project.measures import KINDS, Measure, factor, parse, parse_range


@dataclass(frozen=True)
class Expecting:
    """Reads what stands at a key; its error says only what was expected.

    `kind` holds one of `KINDS` where the key takes one quantity. What was read is taken as it is,
    unless the type has `further` to look at it: a quantity or a table.
    """

    read: Callable[..., Any]
    kind: tuple[str, ...]
    further: bool = False

    def __call__(self, value: object) -> Any:
        try:
            return self.read(value, *self.kind)
        except ValueError as error:
            raise PydanticCustomError("expected", "{expected}", {"expected": str(error)}) from None

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        if self.further:
            return core_schema.no_info_before_validator_function(self, handler(source))
        return core_schema.no_info_plain_validator_function(self)


def expecting(read: Callable[..., Any], *kind: str, further: bool = False) -> Expecting:
    """What to annotate a type with, so that a key is read by `read` as one of `KINDS`."""
    return Expecting(read, kind, further)


def _text(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise ValueError("some text in quotes")
    return value.strip()


def _price(value: object) -> Measure:
    """`"3.10 USD/kg"`: the currency is a label, the mass a unit."""
    amount, _, mass = str(value).partition("/")
    number, _, currency = amount.strip().partition(" ")
    if not isinstance(value, str) or not currency.strip().isalpha() or not mass:
        raise ValueError('a price per mass with its currency, such as "3.10 USD/kg"')
    per_mass = parse(f"{number} {mass}", "mass")
    return Measure(per_mass.number, f"{currency.strip()}/{mass.strip()}", value.strip())


def _none(value: object) -> str:
    if value != "none":
        raise ValueError('"none", or the height of the water by its datum')
    return "none"


Text = Annotated[str, expecting(_text)]
Section = Annotated[Measure, expecting(parse, "section")]
Angle = Annotated[Measure, expecting(parse, "angle")]
Temperature = Annotated[Measure, expecting(parse, "temperature")]
Floor = Annotated[Measure, expecting(parse, "floor")]
Cover = Annotated[Measure, expecting(parse, "cover")]
Level = Annotated[Measure, expecting(parse, "level")]
Length = Annotated[Measure, expecting(parse, "length")]
Modulus = Annotated[Measure, expecting(parse, "modulus")]
Property = Annotated[Measure, expecting(parse_range, "modulus")]
UnitWeight = Annotated[Measure, expecting(parse, "unit weight")]
Density = Annotated[Measure, expecting(parse, "density")]
Ovality = Annotated[Measure, expecting(parse, "ovality")]
Retention = Annotated[Measure, expecting(parse_range, "retention")]
Percent = Annotated[Measure, expecting(parse, "percent")]
Share = Annotated[Measure, expecting(parse, "share")]
Factor = Annotated[float, expecting(factor, "factor")]
PoissonRatio = Annotated[float, expecting(factor, "ratio")]
Price = Annotated[Measure, expecting(_price)]
Pressure = Annotated[Measure, expecting(parse, "pressure")]
Vacuum = Annotated[Measure, expecting(parse, "vacuum")]
Load = Annotated[Measure, expecting(parse, "load")]
Force = Annotated[Measure, expecting(parse, "force")]
NoWater = Annotated[str, expecting(_none)]
Origin = Literal["measured", "plan", "given", "assumed"]


class Table(BaseModel):
    """A table of the project file. Keys it does not know are refused.

    pydantic builds the reader of a table when the first one is read: most files hold few kinds.
    """

    model_config = ConfigDict(
        extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True
    )


def given(table: Table) -> dict[str, Any]:
    """What the file gave, without the keys left out, in the order of the model."""
    known = table.model_fields_set
    return {key: getattr(table, key) for key in type(table).model_fields if key in known}


class WhenGiven:
    """Annotates a table in another one: its reader is no part of the other's, which may do without.

    Faults are placed as if it were.
    """

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(source.model_validate)


def measured_keys(table: type[Table]) -> dict[str, str]:
    """The keys of a table that take one quantity with its unit, and its kind among `KINDS`."""
    return {key: kind for key, kind in kinds_of(table).items() if KINDS[kind].unit}


def kinds_of(table: type[Table]) -> dict[str, str]:
    """The keys of a table that take one number, with a unit or bare, and its kind among `KINDS`."""
    found = {}
    for key, field in table.model_fields.items():
        for about in (*field.metadata, *_of_union(field.annotation)):
            if isinstance(about, Expecting) and about.kind:
                found[key] = about.kind[0]
    return found


def _of_union(annotation: Any) -> Iterator[Any]:
    """What is annotated on the members of a union; a list of quantities is not one quantity."""
    for member in get_args(annotation):
        yield from get_args(member)[1:]
