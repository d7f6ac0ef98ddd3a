"""Live load and soil as a project file states them: as a value, by a named method, by a table."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from linerdesign.methods.ground.load_lines import (
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
from linerdesign.methods.ground.published import Published, published
from linerdesign.methods.ground.soil import COMPACTIONS, depth_table
from linerdesign.project.faults import Fault, Place, Refused, fault, listed, nearest, shown
from linerdesign.project.fields import READERS, UNREAD, Table, read_table, simple
from linerdesign.project.key import Key
from linerdesign.project.measures import LONGEST, Measure, parse
from linerdesign.words import sentence

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
# Other names of the same soils (common practice, no source). "Sand" or "sand with silt" are not
# among them: they do not tell how much of the soil is fine, on which the modulus depends.
EVERYDAY = {
    "heavy clay": "fat clay",
    "highly plastic clay": "fat clay",
    "clay of high plasticity": "fat clay",
    "clay of low plasticity": "lean clay",
    "silty clay": "cl-ml",
    "clayey silt": "cl-ml",
    "well graded gravel": "gw",
    "poorly graded gravel": "gp",
    "well graded sand": "sw",
    "poorly graded sand": "sp",
}
_COMPACTION_WORDS = ("dumped", "slight", "moderate", "high")
# A soil and its compaction, with or without a comma.
_SOIL = re.compile(
    rf"(.+?)(?:,|,?\s+(?:at\s+)?(?=(?:{'|'.join(_COMPACTION_WORDS)}|\d+\s*%)(?:\s+compaction)?$))"
    r"\s*([^,]*?)\s*(?:compaction)?\s*"
)
# Names of vehicles whose load a method has under another name.
_VEHICLES = {"hs20": H_20, "hs2044": H_20, "h2044": H_20, "hs25": H_25, "coopere80": E_80}
_HANDBOOKS = {"M11": IN_PSF, "Uni-Bell": IN_PSI}
_BLOWS = re.compile(r"(\d+)\s*blows(?:\s*/\s*ft)?")


class NamedLoad(Table, of="named load"):
    """`live_load = { ... }`: a live load method; the other keys depend on it."""

    @property
    def handbook(self) -> str:
        """Name of the table that the method reads, where it reads one."""
        return str(self.table or (IN_PSF if self.method == H_25 else IN_PSI))

    def __str__(self) -> str:
        return str(self.method)


class TrenchSoil(Table, of="trench soil"):
    """`soil_reaction_modulus = { ... }`: native soil and trench fill together."""

    def __str__(self) -> str:
        return f"{self.trench} in {self.native}"


def _read_load(raw: Any, key: Key, place: Place, faults: list[Fault]) -> Any:
    """A live load as a pressure, a method, or a table of a method and its keys."""
    if isinstance(raw, dict):
        return _named_load(raw, place.at(key.name), faults)
    return simple(lambda value, _key: _live_load(value))(raw, key, place, faults)


def _live_load(value: Any) -> Measure | NamedLoad:
    if value == "none":
        return Measure(0.0, "psi", "none")
    if isinstance(value, str) and value in METHODS:
        load = NamedLoad.model_construct(method=value)
        needed = _NEEDS.get(value, ())
        if needed:
            raise Refused("faults.load_needs", method=shown(value), keys=", ".join(needed))
        return load
    try:
        return parse(value, "load")
    except Refused:
        text = value.strip() if isinstance(value, str) else "-"
        near = " or ".join(shown(name) for name in _meant(text))
        if near:
            raise Refused("faults.load_near", known=near) from None
        if not text or text[0].isalpha():
            raise Refused("faults.load", known=", ".join(map(shown, METHODS))) from None
        raise


def _named_load(raw: dict[str, Any], place: Place, faults: list[Fault]) -> Any:
    """A method with its keys. A table may be named after the handbook it is printed in."""
    table = raw.get("table")
    if isinstance(table, str) and table in _HANDBOOKS:
        raw = {**raw, "table": _HANDBOOKS[table]}
    found: list[Fault] = []
    load = read_table(NamedLoad, raw, place.above().inside(place.key), found)
    method = load.method
    needs, takes = _NEEDS.get(method, ()), _TAKES.get(method, ())
    missing = [key for key in needs if key not in raw]
    unfit = sorted(load.given.keys() - {"method", *needs, *takes})
    if method and missing:
        found.append(fault("load_needs", place, method=shown(method), keys=", ".join(missing)))
    if method and "impact_factor" in unfit:
        unfit.remove("impact_factor")
        found.append(fault("load_has_impact", place, method=shown(method)))
    if method and unfit:
        found.append(fault("load_takes_no", place, method=shown(method), keys=", ".join(unfit)))
    faults.extend(found)
    return UNREAD if found else load


def _meant(text: str) -> list[str]:
    """The names that begin so, or else the nearest one to words that are no number."""
    names = {_bare(name): name for name in (*METHODS, "none")}
    bare = _bare(text[:LONGEST])
    if bare in _VEHICLES:
        return [_VEHICLES[bare]]
    worded = len(bare) > 2 and not bare.isdigit()
    begun = [name for known, name in names.items() if worded and known.startswith(bare)]
    if begun or not text.strip()[:1].isalpha():
        return begun
    near = nearest(bare, names)
    return [names[near]] if near else []


def _bare(name: str) -> str:
    return "".join(c for c in name.casefold() if c.isalnum())


@dataclass(frozen=True)
class LookedUp:
    """A soil modulus read from a table: a value, or a soil and compaction to be read by depth."""

    text: str
    row: str
    modulus: Measure | None = None
    by_depth: tuple[str, str] | None = None
    table: Published | None = None

    def __str__(self) -> str:
        return self.text


def _read_soil(raw: Any, key: Key, place: Place, faults: list[Fault]) -> Any:
    """A modulus, a soil in words, or, for the pipe's own, trench and native soil together."""
    if isinstance(raw, dict) and key.kind == "soil":
        found: list[Fault] = []
        soil = read_table(TrenchSoil, raw, place.inside(key.name), found)
        faults.extend(found)
        return UNREAD if found else soil
    read = _native if key.kind == "native" else _described
    return simple(lambda value, _key: read(value))(raw, key, place, faults)


def _described(value: Any) -> Measure | LookedUp:
    if isinstance(value, str) and value.strip()[:1].isalpha():
        return _look_up(value.strip())
    return parse(value, "soil modulus")


def _look_up(text: str) -> LookedUp:
    """A soil and its compaction, in words for the table by compaction, in % for that by depth.

    Raises:
        ValueError: a soil or compaction that the table does not have.
    """
    table = published("soil_modulus")["Howard 1977"]
    parts = _SOIL.fullmatch(text)
    if not parts:
        raise _without_compaction(table, text)
    soil, compaction = parts[1], parts[2]
    if "%" in compaction:
        return _by_depth(text, soil, compaction)
    row = _row(table, soil)
    if compaction not in _COMPACTION_WORDS:
        raise Refused("faults.compaction", known=listed((*_COMPACTION_WORDS, *COMPACTIONS)))
    value = row[table.columns.index(compaction)]
    if value is None:
        raise Refused("faults.no_data", table=table.name)
    return LookedUp(
        text,
        f"{table.name}, row {row[0]}, {compaction} compaction, {value} psi",
        Measure(float(value), "psi", text),
        table=table,
    )


def _without_compaction(table: Published, soil: str) -> Refused:
    """The choices of a soil whose compaction is not stated."""
    found = dict(zip(table.columns, _row(table, soil), strict=True))
    if all(found[word] is None for word in _COMPACTION_WORDS):
        return Refused("faults.no_data", table=table.name)
    known = ", ".join(f"{word} ({found[word]} psi)" for word in _COMPACTION_WORDS)
    by_depth = _row_of(depth_table(), soil) is not None
    more = sentence("faults.by_depth", known=", ".join(COMPACTIONS)) if by_depth else ""
    return Refused("faults.no_compaction", known=known, more=more)


def _by_depth(text: str, soil: str, compaction: str) -> LookedUp:
    column = compaction.replace("%", "").strip() + " %"
    if column not in COMPACTIONS:
        raise Refused("faults.compaction", known=listed(COMPACTIONS))
    row = _row(depth_table(), soil)
    return LookedUp(text, f"{depth_table().name}, row {row[0]}, {column}", None, (row[0], column))


def _row_of(table: Published, soil: str) -> tuple[Any, ...] | None:
    """The row whose soil has this name or group symbol, if there is one."""
    plain = " ".join(soil.casefold().replace("-graded", " graded").split())
    wanted = EVERYDAY.get(plain, plain)
    names = ((row, (row[0], *row[1])) for row in table.rows)
    return next((row for row, each in names if wanted in map(str.casefold, each)), None)


def _row(table: Published, soil: str) -> tuple[Any, ...]:
    """The row of a soil.

    Raises:
        ValueError: a soil that the table does not have.
    """
    row = _row_of(table, soil)
    if row is not None:
        return row
    known = dict.fromkeys(name for each in table.rows for name in each[1])
    # "sand" is any of those with the word in their name.
    alike = [name for name in known if soil.casefold() in name.split()]
    raise Refused("faults.unknown_soil", table=table.name, known=", ".join(alike or known))


def _native(value: Any) -> Measure | LookedUp:
    text = value.strip() if isinstance(value, str) else ""
    blows = _BLOWS.fullmatch(text)
    if not blows and not text[:1].isalpha():
        try:
            return parse(value, "soil modulus")
        except Refused:
            raise Refused("faults.native") from None
    table = published("soil_modulus")["native soil"]
    row = _by_blows(table, int(blows[1])) if blows else _by_consistency(table, text)
    name = f"over {row[0]} blows/ft" if row[0] is not None else "rock"
    line = f"{table.title}, row {name}, {row[-1]} psi"
    return LookedUp(text, line, Measure(float(row[-1]), "psi", text), table=table)


def _by_blows(table: Published, blows: int) -> tuple[Any, ...]:
    """The row that a blow count falls in; a count on the border counts as the softer soil."""
    for row in table.rows:
        if row[0] is not None and row[0] < blows and (row[1] is None or blows <= row[1]):
            return row
    raise Refused("faults.blows")


def _by_consistency(table: Published, text: str) -> tuple[Any, ...]:
    words, _, kind = text.rpartition(" ")
    for row in table.rows:
        found = {"granular": row[2], "cohesive": row[3]}
        if text == "rock" == row[2] or (words and found.get(kind) == words):
            return row
    columns = ((2, "granular"), (3, "cohesive"))
    names = [f"{row[i]} {kind}" for i, kind in columns for row in table.rows[:-1] if row[i]]
    raise Refused("faults.native_words", known=", ".join((*names, "rock")))


READERS.update(
    {"live load": _read_load, "soil": _read_soil, "fill": _read_soil, "native": _read_soil}
)
