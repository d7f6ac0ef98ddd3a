"""What a wall found thin carries at the design safety factor: table, workings and data."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_FLOOR, Context
from typing import Any

from linerdesign.documents.blocks import Addition, Block, Bullets, Grid, Heading
from linerdesign.documents.numbers import value_with_unit
from linerdesign.documents.working import working_data, working_grid
from linerdesign.methods.basis import GIVEN
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.thin_wall import Allowed, ThinWall
from linerdesign.words import heads_of, sentence

_DOWNWARD = Context(prec=4, rounding=ROUND_FLOOR)
# Names of the quantities in the data.
NAMES = {
    "h_invert": "groundwater_above_invert",
    "H": "cover",
    "W_s": "live_load",
    "P_i": "internal_pressure",
}


def addition(found: ThinWall) -> Addition:
    """The capacity beside the design of its pipe, with the working."""
    blocks_ = (Heading(sentence("field.thin_title"), 2), *blocks(found, True))
    return Addition("allowable", data(found), blocks_)


def blocks(found: ThinWall, with_working: bool) -> Iterator[Block]:
    """The allowable values, for a thin wall with what they follow from."""
    system = found.wall.basis.system
    yield _table(found, system)
    if not with_working:
        return
    yield Bullets(tuple(_remarks(found)))
    for each, station, steps in found.workings():
        at = sentence("field.at_station", station=station) if station else ""
        caption = sentence("field.allowable_working", what=SYMBOLS[each.key].meaning, at=at)
        yield working_grid(steps, system, caption)
    if life := found.life():
        yield working_grid(life, system, sentence("field.life_working"))


def _table(found: ThinWall, system: str) -> Grid:
    rows = tuple(
        (
            each.station or "-",
            SYMBOLS[allowed.key].meaning,
            value_with_unit(allowed.key, allowed.designed, system),
            _value(allowed, system),
            _share(allowed),
        )
        for each in found.tolerated
        for allowed in each.allowed.values()
    )
    return Grid(heads_of("documents.thin_wall"), "<<>>>", rows, sentence("field.allowable_caption"))


def _value(allowed: Allowed, system: str) -> str:
    if allowed.unlimited:
        return sentence("field.no_limit_found")
    if allowed.value is None:
        return sentence("field.none_allowed")
    return value_with_unit(allowed.key, _downward(allowed.value), system)


def _downward(value: float) -> float:
    """Four figures, never more than the value: what is printed is still carried."""
    return float(_DOWNWARD.create_decimal(str(float(value))))


def _share(allowed: Allowed) -> str:
    if allowed.value is None or not allowed.designed:
        return "-"
    return f"{100 * allowed.value / allowed.designed:.0f} %"


def _remarks(found: ThinWall) -> Iterator[str]:
    """The vehicle, the life, and who decides."""
    basis, needed = found.wall.basis, found.needed
    if basis.buried_fully and basis.live_load != GIVEN:
        yield sentence("field.share_of_vehicle", method=basis.live_load)
    if needed.retention is not None and needed.life_years is not None:
        about = {"retention": needed.retention, "years": needed.life_years}
        yield sentence("field.allowable_life", **about)
    elif found.required > _thickness(found):
        yield sentence("field.no_life")
    yield sentence("field.owner_decides_wall")


def _thickness(found: ThinWall) -> float:
    return next(each.value for each in found.wall.stations[0].inputs if each.key == "t")


def data(found: ThinWall) -> list[dict[str, Any]]:
    """A row a station: what is carried of each quantity, and the working of what is short."""
    system = found.wall.basis.system
    steps = {(station, each.key): working_data(made) for each, station, made in found.workings()}
    return [
        {
            "station": each.station,
            "unit": SYMBOLS["H"].unit(system),
            **{name: _of(each.allowed.get(key)) for key, name in NAMES.items()},
            "life_years": found.needed.life_years,
            "modulus_retention_percent": found.needed.retention,
            "working": {
                NAMES[key]: steps[each.station, key]
                for key in each.allowed
                if (each.station, key) in steps
            },
        }
        for each in found.tolerated
    ]


def _of(allowed: Allowed | None) -> float | None:
    return allowed.value if allowed else None
