"""The lines of each named method for the live load, and the fixed values they take."""

from __future__ import annotations

from dataclasses import dataclass

from linerdesign.methods.basis import GIVEN
from linerdesign.methods.equation import Equation, Limit, Provenance
from linerdesign.methods.ground import live_load as loads
from linerdesign.methods.lines import Line, line
from linerdesign.methods.origin import Origin, by_rule
from linerdesign.words import sentence

HL_93, OLDER_RULE = "HL-93", "1.75 H rule"
H_20, H_25, E_80, AIRPORT = "H-20 table", "H-25 table", "E-80 table", "airport table"
RAILWAY = "E-80 Boussinesq"
CONCENTRATED, DISTRIBUTED = "concentrated load", "distributed load"
IN_PSI, IN_PSF = "in psi", "in psf"

BY_COVER: dict[tuple[str, str], Equation] = {
    (H_20, IN_PSI): loads.H_20_PSI,
    (H_20, IN_PSF): loads.H_20_PSF,
    (H_25, IN_PSF): loads.H_25_PSF,
    (E_80, IN_PSI): loads.E_80_PSI,
    (E_80, IN_PSF): loads.E_80_PSF,
    (AIRPORT, IN_PSI): loads.AIRPORT_PSI,
}
TABLES = (H_20, H_25, E_80, AIRPORT)
METHODS = (HL_93, *TABLES, OLDER_RULE, RAILWAY, CONCENTRATED, DISTRIBUTED)
# Values that a project may change, and that a method takes where it does not.
DEFAULTS = {"LLDF": 1.15, "m": 1.2}


@dataclass(frozen=True)
class Fixed:
    """A value that a method itself lays down, for a sheet in US units and for one in SI."""

    key: str
    us: float
    si: float
    provenance: Provenance

    @property
    def origin(self) -> Origin:
        """Where the value comes from, for the sheet."""
        return by_rule(sentence("origins.prescribed"), self.provenance.value)

    def value(self, system: str) -> float:
        """The value in the unit that sheets of this system carry."""
        return float(self.us if system == "US" else self.si)


def _same(key: str, value: float, provenance: Provenance) -> Fixed:
    """A value that stands in the same unit on every sheet."""
    return Fixed(key, value, value, provenance)


_TYRES = (_same("w_t", 20, Provenance.MEMORY), _same("l_t", 10, Provenance.MEMORY))
_TRUCK = (
    _same("s_wheel", 6, Provenance.SEEN),
    _same("s_truck", 14, Provenance.MEMORY),
    _same("P_truck", 16_000, Provenance.SEEN),
    _same("n_wheel", 1, Provenance.DERIVED),
)
_TANDEM = (_same("s_tandem", 4, Provenance.MEMORY), _same("P_tandem", 12_500, Provenance.SEEN))
_COOPER = (
    Fixed("L_load", 20, 6.096, Provenance.MEMORY),
    Fixed("B_load", 8, 2.4384, Provenance.MEMORY),
    Fixed("p_load", 13.8888889, 0.0957605, Provenance.MEMORY),
)
FIXED: dict[str, tuple[Fixed, ...]] = {
    HL_93: (*_TYRES, *_TRUCK, *_TANDEM),
    OLDER_RULE: _TRUCK,
    RAILWAY: _COOPER,
}


def live_load_lines(method: str, table: str, system: str) -> tuple[Line, ...]:
    """Lines from the cover to the live load `W_s`; none where the pressure itself is given."""
    if method == GIVEN:
        return ()
    if method in (RAILWAY, CONCENTRATED, DISTRIBUTED):
        return _surface(method, system)
    in_inches = (line(loads.diameter_in_inches),) if method == HL_93 else ()
    forward = _in_psi(method, table)
    if system == "SI":
        return (line(loads.cover_in_feet), *in_inches, *forward, line(loads.load_from_psi))
    names = {"H_ft": "H", "D_in": "D", "W_psi": "W_s"}
    return tuple(_renamed(each, names) for each in forward)


def _renamed(each: Line, names: dict[str, str]) -> Line:
    """The line with quantities in ft, in and psi replaced by those of a sheet in these units."""
    bound = dict(each.bound)
    keys = (each.equation.result, *each.equation.arguments, *_limited(each.equation.limits))
    for key in keys:
        name = bound.get(key, key)
        if name in names:
            bound[key] = names[name]
    return line(each.equation, bound, each.when)


def _limited(limits: tuple[Limit, ...]) -> tuple[str, ...]:
    return tuple(key for limit in limits for key in limit.holds.arguments)


def _in_psi(method: str, table: str) -> tuple[Line, ...]:
    if method == HL_93:
        return _design_vehicles()
    if method == OLDER_RULE:
        return _older_rule()
    look_up = BY_COVER[(method, table)]
    beyond = loads.BEYOND.get(look_up.number)
    equations = (look_up, beyond) if beyond else (look_up,)
    in_psf = (line(loads.load_from_psf),) if equations[-1].result == "W_psf" else ()
    return (*map(line, equations), *in_psf)


_LRFD = (loads.overlapped, loads.wheels_together)
_OLDER = (loads.overlapped_squares, loads.wheels_on_squares)


def _joined(
    by: tuple[Equation, Equation], patch: str, spacing: str, side: str, wheels: str, together: str
) -> tuple[Line, Line]:
    """The side of the loaded area and the wheels on it, where neighbours may meet."""
    of = {"patch": patch, "spacing": spacing}
    return (
        line(by[0], of | {"joined": side}),
        line(by[1], of | {"n_wheels": wheels, "n_joined": together}),
    )


def _design_vehicles() -> tuple[Line, ...]:
    lines = [
        line(loads.dynamic_allowance),
        line(loads.patch_width),
        *_joined(_LRFD, "w_1", "s_wheel", "w_w", "n_wheel", "n_axle"),
        line(loads.patch_length),
    ]
    for vehicle in ("truck", "tandem"):
        length, wheels = f"l_{vehicle}", f"n_{vehicle}"
        lines.extend(_joined(_LRFD, "l_1", f"s_{vehicle}", length, "n_axle", wheels))
        bound = {"P_wheel": f"P_{vehicle}", "n_joined": wheels, "l_w": length}
        lines.append(line(loads.vehicle_pressure, bound | {"W_vehicle": f"W_{vehicle}"}))
    return (*lines, line(loads.governing_vehicle))


def _older_rule() -> tuple[Line, ...]:
    return (
        line(loads.highway_impact),
        line(loads.square_side),
        *_joined(_OLDER, "w_1", "s_wheel", "w_w", "n_wheel", "n_axle"),
        *_joined(_OLDER, "w_1", "s_truck", "l_truck", "n_axle", "n_truck"),
        line(loads.spread_wheels, {"P_wheel": "P_truck", "n_joined": "n_truck", "l_w": "l_truck"}),
    )


def _surface(method: str, system: str) -> tuple[Line, ...]:
    us = system == "US"
    if method == CONCENTRATED:
        half_width = line(loads.half_diameter_us if us else loads.half_diameter_si)
        last: tuple[Line, ...] = (
            line(loads.concentrated_load_us if us else loads.concentrated_load_si),
        )
    else:
        half_width = line(loads.half_side, {"side": "B_load", "half": "b_half"})
        last = (line(loads.distributed_load),)
    if method == RAILWAY:
        depth = () if us else (line(loads.cover_in_feet),)
        impact = line(loads.railway_impact, {"H_ft": "H"} if us else {})
        last = (*depth, impact, line(loads.factor_of_allowance), *last)
    return (
        line(loads.half_side, {"side": "L_load", "half": "a_half"}),
        half_width,
        line(loads.corner_distance),
        line(loads.corner_angle),
        line(loads.load_coefficient),
        *last,
    )
