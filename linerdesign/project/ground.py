"""Live load and soil as a project file states them: as a value, by a named method, by a table."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, InstanceOf, model_validator
from pydantic_core import PydanticCustomError

from linerdesign.methods.f1216.load_lines import (
    CONCENTRATED,
    DISTRIBUTED,
    E_80,
    H_20,
    H_25,
    HL_93,
    IN_PSF,
    IN_PSI,
    METHODS,
)
from linerdesign.methods.f1216.published import Published, published
from linerdesign.methods.f1216.soil import COMPACTIONS, depth_table
from linerdesign.project.faults import nearest
from linerdesign.project.fields import Cover, Factor, Force, Load, Section, Table, expecting
from linerdesign.project.measures import LONGEST, Measure, parse

# What each method needs beside its name, and what it may be told.
_NEEDS: dict[str, tuple[str, ...]] = {
    CONCENTRATED: ("load", "impact_factor"),
    DISTRIBUTED: ("load_pressure", "load_length", "load_width", "impact_factor"),
}
_TAKES: dict[str, tuple[str, ...]] = {
    HL_93: ("distribution_factor", "multiple_presence"),
    H_20: ("table",),
    E_80: ("table",),
    CONCENTRATED: ("load_length",),
}
_COMPACTION_WORDS = ("dumped", "slight", "moderate", "high")
_HANDBOOKS = {"M11": IN_PSF, "Uni-Bell": IN_PSI}
_BLOWS = re.compile(r"(\d+)\s*blows(?:\s*/\s*ft)?")


def _by_its_unit(table: object) -> object:
    """A table that an older file names after the handbook it is printed in."""
    return _HANDBOOKS.get(table, table) if isinstance(table, str) else table


class NamedLoad(Table):
    """`live_load` by a method; the other keys depend on it."""

    method: Literal[
        "HL-93",
        "H-20 table",
        "H-25 table",
        "E-80 table",
        "airport table",
        "1.75 H rule",
        "E-80 Boussinesq",
        "concentrated load",
        "distributed load",
    ] = Field(description="how the live load is found")
    table: Annotated[Literal["in psi", "in psf"] | None, BeforeValidator(_by_its_unit)] = Field(
        None, description="which of the printed tables; the sheet names its source"
    )
    distribution_factor: Factor | None = Field(None, description="spread of wheels with depth")
    multiple_presence: Factor | None = Field(None, description="multiple presence factor")
    load: Force | None = Field(None, description="a single load on the ground")
    load_pressure: Load | None = Field(None, description="a load spread over the ground")
    load_length: Cover | None = Field(None, description="length along the pipe")
    load_width: Cover | None = Field(None, description="width across the pipe")
    impact_factor: Factor | None = Field(None, description="1 for a load at rest")

    @model_validator(mode="after")
    def _keys_fit_the_method(self) -> Self:
        needs, takes = _NEEDS.get(self.method, ()), _TAKES.get(self.method, ())
        given = self.model_fields_set - {"method"}
        missing = [key for key in needs if key not in given]
        unfit = sorted(given - {*needs, *takes})
        if missing or unfit:
            parts = [f"{', '.join(missing)} with it"] if missing else []
            parts += [f"no {', '.join(unfit)} with it"] if unfit else []
            if "impact_factor" in unfit:
                parts.append("its impact is already in it")
            expected = f'for "{self.method}": {"; ".join(parts)}'
            raise PydanticCustomError("expected", "{expected}", {"expected": expected})
        return self

    @property
    def handbook(self) -> str:
        """Name of the table that the method reads, where it reads one."""
        return self.table or (IN_PSF if self.method == H_25 else IN_PSI)

    def __str__(self) -> str:
        return self.method


def _live_load(value: object, kind: str) -> Any:
    if value == "none":
        return Measure(0.0, "psi", "none")
    if isinstance(value, dict | Measure | NamedLoad):
        return value
    if value in METHODS:
        return {"method": value}
    try:
        return parse(value, kind)
    except ValueError as error:
        meant = " or ".join(f'"{name}"' for name in _meant(str(value)))
        if meant:
            raise ValueError(f"a known name; the nearest is {meant}") from None
        known = ", ".join(f'"{name}"' for name in METHODS)
        raise ValueError(f'{error}; or "none"; or a method: {known}') from None


def _meant(text: str) -> list[str]:
    """The names that begin so, or else the nearest one to words that are no number."""
    names = {_bare(name): name for name in (*METHODS, "none")}
    bare = _bare(text[:LONGEST])
    worded = len(bare) > 2 and not bare.isdigit()
    begun = [name for known, name in names.items() if worded and known.startswith(bare)]
    if begun or not text.strip()[:1].isalpha():
        return begun
    near = nearest(bare, names)
    return [names[near]] if near else []


def _bare(name: str) -> str:
    return "".join(c for c in name.casefold() if c.isalnum())


LiveLoad = Annotated[InstanceOf[Measure] | NamedLoad, expecting(_live_load, "load", further=True)]


@dataclass(frozen=True)
class LookedUp:
    """A soil modulus read from a table: a value, or a soil and compaction to be read by depth."""

    text: str
    row: str
    modulus: Measure | None = None
    by_depth: tuple[str, str] | None = None

    def __str__(self) -> str:
        return self.text


def _described(value: object, kind: str) -> Any:
    if isinstance(value, dict | Measure | LookedUp | TrenchSoil):
        return value
    if isinstance(value, str) and value.strip()[:1].isalpha():
        return _look_up(value.strip())
    try:
        return parse(value, kind)
    except ValueError as error:
        raise ValueError(f'{error}; or a soil, such as "silty sand, moderate compaction"') from None


def _look_up(text: str) -> LookedUp:
    """A soil and its compaction, in words for the table by compaction, in % for that by depth.

    Raises:
        ValueError: for a soil or compaction that the table does not have.
    """
    soil, _, rest = (part.strip() for part in text.rpartition(","))
    compaction = rest.removesuffix("compaction").strip()
    if not soil or not compaction:
        raise ValueError(
            'a soil and its compaction, such as "silty sand, moderate compaction" or, by depth, '
            '"silty sand, 90 % compaction"'
        )
    if "%" in compaction:
        return _by_depth(text, soil, compaction)
    table = published("soil_modulus")["Howard 1977"]
    if compaction not in _COMPACTION_WORDS:
        raise ValueError(f"one of these compactions: {', '.join(_COMPACTION_WORDS)}")
    row = _row(table, soil)
    value = row[table.columns.index(compaction)]
    if value is None:
        raise ValueError(f"a value in place of this soil: {table.name} has no data for it")
    return LookedUp(
        text,
        f"{table.name}, row {row[0]}, {compaction} compaction, {value} psi; {table.provenance}",
        Measure(float(value), "psi", text),
    )


def _by_depth(text: str, soil: str, compaction: str) -> LookedUp:
    column = compaction.replace("%", "").strip() + " %"
    if column not in COMPACTIONS:
        raise ValueError(f"one of these relative compactions: {', '.join(COMPACTIONS)}")
    row = _row(depth_table(), soil)
    return LookedUp(text, f"{depth_table().name}, row {row[0]}, {column}", None, (row[0], column))


def _row(table: Published, soil: str) -> tuple[Any, ...]:
    """The row whose soil has this name or group symbol."""
    wanted = soil.casefold()
    for row in table.rows:
        if wanted in (row[0].casefold(), *(name.casefold() for name in row[1])):
            return row
    known = dict.fromkeys(name for row in table.rows for name in row[1])
    raise ValueError(f"a soil of {table.name}: {', '.join(known)}")


def _native(value: object, kind: str) -> Any:
    if isinstance(value, LookedUp | Measure):
        return value
    text = value.strip() if isinstance(value, str) else ""
    blows = _BLOWS.fullmatch(text)
    if not blows and not text[:1].isalpha():
        try:
            return parse(value, kind)
        except ValueError as error:
            example = '"stiff cohesive", "loose granular" or "12 blows"'
            raise ValueError(f"{error}; or native soil, such as {example}") from None
    table = published("soil_modulus")["native soil"]
    row = _by_blows(table, int(blows[1])) if blows else _by_consistency(table, text)
    name = f"over {row[0]} blows/ft" if row[0] is not None else "rock"
    line = f"{table.title}, row {name}, {row[-1]} psi; {table.provenance}"
    return LookedUp(text, line, Measure(float(row[-1]), "psi", text))


def _by_blows(table: Published, blows: int) -> tuple[Any, ...]:
    """The row that a blow count falls in; a count on the border counts as the softer soil."""
    for row in table.rows:
        if row[0] is not None and row[0] < blows and (row[1] is None or blows <= row[1]):
            return row
    raise ValueError("a blow count of 1 or more")


def _by_consistency(table: Published, text: str) -> tuple[Any, ...]:
    words, _, kind = text.rpartition(" ")
    for row in table.rows:
        found = {"granular": row[2], "cohesive": row[3]}
        if text == "rock" == row[2] or (words and found.get(kind) == words):
            return row
    columns = ((2, "granular"), (3, "cohesive"))
    names = [f"{row[i]} {kind}" for i, kind in columns for row in table.rows[:-1] if row[i]]
    raise ValueError(f"native soil as one of: {', '.join(names)}, rock")


FillModulus = Annotated[
    InstanceOf[Measure] | InstanceOf[LookedUp], expecting(_described, "modulus", further=True)
]
NativeModulus = Annotated[
    InstanceOf[Measure] | InstanceOf[LookedUp], expecting(_native, "modulus", further=True)
]


class TrenchSoil(Table):
    """`soil_reaction_modulus` of native soil and trench fill together."""

    trench: FillModulus = Field(description="modulus of the trench fill, or its soil")
    native: NativeModulus = Field(description="modulus of the native soil, or its consistency")
    trench_width: Section = Field(description="width of the trench at the pipe")
    combining_table: Literal["1996", "2005"] = Field(
        description="edition of AWWA M45 whose table combines the two"
    )

    def __str__(self) -> str:
        return f"{self.trench} in {self.native}"


# The tables that a key may hold in place of a value.
TABLES_OF_KEYS: dict[str, type[Table]] = {
    "live_load": NamedLoad,
    "soil_reaction_modulus": TrenchSoil,
}
SoilModulus = Annotated[
    InstanceOf[Measure] | InstanceOf[LookedUp] | TrenchSoil,
    expecting(_described, "modulus", further=True),
]
