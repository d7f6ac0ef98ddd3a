"""Drawings of a pipe as SVG text: the pipe in the ground to scale, and demand over capacity.

Colours stand as attributes, dark on white paper, so that a drawing reads anywhere and prints;
its classes let a page colour it anew for a dark screen.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from linerdesign.documents.blocks import Picture
from linerdesign.documents.markup import Markup, element, join
from linerdesign.expressions.printing import positional
from linerdesign.methods.result import CheckResult, PipeResult
from linerdesign.methods.symbols import SYMBOLS, SYSTEMS
from linerdesign.words import sentence

WIDTH = 360.0
INK, PALE, PAPER = "#1d2b33", "#66737a", "#ffffff"
SOIL, WATER, LEVEL, HOST, LINER = "#efe7d9", "#cfe3f1", "#1d6fa5", "#8d9191", "#b4531a"
PASSES, FAILS = "#2f6f5e", "#a3262a"
# Sections per depth: inches in a foot, millimetres in a metre.
PER_DEPTH = dict(zip(SYSTEMS, (12.0, 1000.0), strict=True))
# Length of a bar at capacity, and the multiple of it where a bar is cut.
_ONE, _MOST = 160.0, 1.25
_LEFT, _TOP, _ROW = 82.0, 26.0, 32.0
# Where the labels beside the pictures begin: the ground, and the pipe enlarged.
_BESIDE, _LABELS = 182.0, 192.0
# Soil over all else where the ground's height is not known, as a share of the picture; the waves
# of its torn edge.
_TORN, _WAVES = 0.2, 8
_EXAGGERATIONS = (1, 2, 3, 5, 10, 20)
_STEPS = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100)


def cross_section(result: PipeResult) -> Picture:
    """The pipe at its governing station: in the ground to scale, and enlarged with its liner."""
    place = _place(result)
    at = result.governing_station
    section = _say("section_at", station=at) if at else _say("section")
    drawn = _exaggeration(place)
    pipe, ground = _pipewords(place, drawn), _groundwords(place)
    alternative = _say("alternative", section=section, ground=ground, pipe=pipe)
    svg = drawn_svg((WIDTH, 438), alternative, _in_ground(place), _enlarged(place, drawn))
    caption = _say(
        "caption",
        section=section,
        site=_say("above_ground" if place.above_ground else "in_ground"),
        wall=_wallwords(drawn),
        round=_roundwords(place),
    )
    return Picture(svg, caption, alternative)


def _say(name: str, **blanks: str | int) -> str:
    return sentence(f"drawing.{name}", **blanks)


def demand_bars(result: PipeResult) -> Picture:
    """Demand over capacity of every check, each at the station where it is used up most.

    A wall passes up to the line. A bar is a group that a page's script can move and resize: the
    drawing says how long a bar is at capacity, and at which multiple of it a bar is cut.
    """
    worst: dict[str, CheckResult] = {}
    for check in result.checks:
        if check.equation not in worst or _ratio(check) > _ratio(worst[check.equation]):
            worst[check.equation] = check
    height = _TOP + _ROW * len(worst)
    alternative = _say("bars", list="; ".join(map(_barwords, worst.values())))
    svg = drawn_svg(
        (WIDTH, height),
        alternative,
        *(_bar(_TOP + _ROW * row, check) for row, check in enumerate(worst.values())),
        element(
            "line",
            x1=_LEFT + _ONE,
            x2=_LEFT + _ONE,
            y1=_TOP - 6,
            y2=height - 6,
            stroke=INK,
            stroke_width=1.5,
            class_="ink limit",
        ),
        drawn_text(_LEFT + _ONE, 14, _say("capacity"), anchor="middle", size=11),
        data_one=_ONE,
        data_most=_MOST,
        data_top=_TOP,
        data_row=_ROW,
    )
    return Picture(svg, _say("bars_caption"), alternative)


def _barwords(check: CheckResult) -> str:
    """One bar in words."""
    at = check.station
    name = sentence("documents.at", what=check.equation, station=at) if at else check.equation
    ratio = positional(_ratio(check), 3)
    return _say("bar", check=name, ratio=ratio, verdict="passes" if check.passes else "fails")


def _ratio(check: CheckResult) -> float:
    return check.demand / check.capacity


def _bar(y: float, check: CheckResult) -> Markup:
    ratio = _ratio(check)
    colour, kind = (PASSES, "passes") if check.passes else (FAILS, "fails")
    return element(
        "g",
        drawn_text(
            _LEFT - 8, 9 if check.station else 14, check.equation, "end", class_="ink check"
        ),
        drawn_text(_LEFT - 8, 21, _cut(check.station or ""), "end", 9.5, "ink place"),
        element(
            "rect",
            x=_LEFT,
            y=0,
            width=_ONE * min(max(ratio, 0.0), _MOST),
            height=18,
            fill=colour,
            class_=f"bar {kind}",
        ),
        drawn_text(_LEFT + _ONE * _MOST + 8, 14, positional(ratio, 3), class_="ink ratio"),
        class_="check-bar",
        transform=f"translate(0 {positional(y)})",
        data_equation=check.equation,
    )


def _cut(name: str) -> str:
    return name if len(name) <= 14 else name[:13] + "…"


@dataclass(frozen=True)
class _Place:
    """Lengths of the drawing in the sheet's unit of depth; heights count from the invert.

    `water` is none where no groundwater reaches the pipe; `ovality` is in percent.
    """

    system: str
    above_ground: bool
    bore: float
    crown: float
    wall: float
    cover: float | None
    water: float | None
    ovality: float

    @property
    def water_drawn(self) -> float | None:
        """Water far under the pipe would shrink it to a point; it is named and not drawn."""
        return self.water if self.water is not None and self.water > -2 * self.bore else None

    @property
    def ground(self) -> float | None:
        return None if self.cover is None else self.crown + self.cover

    def depth(self, value: float) -> str:
        unit = SYMBOLS["H"].unit(self.system)
        return f"{positional(value, 4)} {unit}"

    def section(self, value: float) -> str:
        unit = SYMBOLS["D"].unit(self.system)
        return f"{positional(value * PER_DEPTH[self.system], 4)} {unit}"


def _place(result: PipeResult) -> _Place:
    at = result.governing_station
    values = result.values[result.stations.index(at) if at else 0]
    per = PER_DEPTH[result.basis.system]
    return _Place(
        system=result.basis.system,
        above_ground=result.basis.above_ground,
        bore=values["D"] / per,
        crown=values.get("D_crown", values["D"]) / per,
        wall=result.nominal_thickness / per,
        cover=values.get("H"),
        water=None if _is_dry(result) else values.get("h_invert"),
        ovality=values.get("q", 0.0),
    )


def _is_dry(result: PipeResult) -> bool:
    """Whether the project says that there is no groundwater, which is not water at the invert."""
    places = (None, result.governing_station)
    origins = [
        step.origin
        for step in result.steps
        if step.origin and step.key == "h_invert" and step.station in places
    ]
    # A head worked out from another datum has no origin of its own, and is water.
    return bool(origins) and origins[-1].stated == "none"


def _in_ground(place: _Place) -> Markup:
    """The upper picture. One scale serves both directions."""
    water, ground = place.water_drawn, place.ground
    heights = [0.0, place.crown, *(each for each in (ground, water) if each is not None)]
    high, low = max(heights), min(heights)
    # Where the ground's height is not known, soil goes on over all that is drawn.
    torn = ground is None and not place.above_ground
    top = high + (high - low) * _TORN if torn else high
    scale = min(166 / (top - low), 118 / place.bore)
    zero = 26 + top * scale
    left, right, middle = 8.0, 174.0, 91.0
    floor = zero - low * scale + 14
    parts = []
    if torn:
        parts.append(_torn_area(left, right, zero - top * scale, floor))
    if ground is not None:
        surface = zero - ground * scale
        parts.append(_area(left, right, surface, floor, SOIL, "soil"))
    if water is not None:
        parts += [
            _area(left, right, zero - water * scale, floor, WATER, "water", 0.75),
            _water_mark(left, right, zero - water * scale),
        ]
    parts.append(_pipe_to_scale(place, middle, zero, scale))
    if ground is not None:
        parts += [
            _line(left, right, surface, surface, INK, "ink", 2),
            _dimension(middle + 70, surface, zero - place.crown * scale),
        ]
    labels = _labels(place, zero, zero - top * scale, scale)
    return join(*parts, labels, _scale_bar(place, left, floor + 14, scale))


def _pipe_to_scale(place: _Place, x: float, zero: float, scale: float) -> Markup:
    radius = place.bore * scale / 2
    host = max((place.crown - place.bore) * scale, 1.0)
    return element(
        "circle",
        cx=x,
        cy=zero - radius,
        r=radius + host / 2,
        fill=PAPER,
        stroke=HOST,
        stroke_width=host,
        class_="bore host",
    )


def _labels(place: _Place, zero: float, top: float, scale: float) -> Markup:
    """What stands where, pushed apart where two would overlap."""
    wanted = [(zero - place.bore * scale / 2, _say("host", bore=place.section(place.bore)))]
    if place.ground is not None and place.cover is not None:
        wanted.append((zero - place.ground * scale, _say("ground")))
        middle = zero - (place.crown + place.cover / 2) * scale
        wanted.append((middle, _say("cover_label", cover=place.depth(place.cover))))
    else:
        wanted.append((top, _say("above_ground" if place.above_ground else "unknown_cover")))
    if not place.above_ground:
        drawn = place.water_drawn
        height = zero + 8 if drawn is None else zero - drawn * scale
        wanted.append((height, _waterwords(place)))
    texts, last = [], -math.inf
    for y, label in sorted(wanted):
        last = max(y + 4, last + 15)
        texts.append(drawn_text(_BESIDE, last, label))
    return join(*texts)


def _enlarged(place: _Place, drawn: int) -> Markup:
    x, y, radius = 96.0, 328.0, 80.0
    scale = 2 * radius / place.bore
    wall = place.wall * scale * drawn
    given = place.crown > place.bore
    host = max((place.crown - place.bore) * scale, 2.0) if given else 8.0
    host = min(host, 14.0)
    named = "host_wall" if given and host < 14 else "host_wall_not_to_scale"
    parts = [
        _ring(x, y, radius, radius + host, HOST, "host"),
        _ring(x, y, radius - wall, radius, LINER, "liner"),
        _line(x - radius, x + radius, y, y, INK, "ink", 0.8, "4 3"),
        drawn_text(x, y - 6, _say("diameter", bore=place.section(place.bore)), anchor="middle"),
        *_ovality_texts(place, x, y),
        _leader(x + radius * 0.707, y - radius * 0.707, wall / 2 * 0.707, _LABELS - 4, 262),
        drawn_text(_LABELS, 266, _say("liner", liner=place.section(place.wall))),
        drawn_text(_LABELS, 281, _wallwords(drawn), size=10.5),
        _leader(x + radius + host / 2, y, 0, _LABELS - 4, 318),
        drawn_text(_LABELS, 322, _say(named)),
    ]
    return join(*parts)


def _exaggeration(place: _Place) -> int:
    """How many times the wall is drawn thicker than it is: the least that shows it well."""
    share = place.wall / place.bore * 160
    return next((each for each in _EXAGGERATIONS if share * each >= 7), _EXAGGERATIONS[-1])


def _wallwords(drawn: int) -> str:
    return _say("wall") if drawn == 1 else _say("wall_drawn", times=drawn)


def _ovality_texts(place: _Place, x: float, y: float) -> tuple[Markup, ...]:
    """Under the diameter, that the round drawing is of an oval."""
    if not place.ovality:
        return ()
    texts = (_say("ovality", ovality=positional(place.ovality, 4)), _say("not_drawn"))
    return tuple(
        drawn_text(x, y + 15 + 13 * row, text, anchor="middle", size=10.5)
        for row, text in enumerate(texts)
    )


def _roundwords(place: _Place) -> str:
    return _say("round", ovality=positional(place.ovality, 4)) if place.ovality else ""


def _waterwords(place: _Place) -> str:
    if place.water is None:
        return _say("no_water")
    if place.water == 0:
        return _say("at_invert")
    side = "above_invert" if place.water > 0 else "below_invert"
    return _say(side, depth=place.depth(abs(place.water)))


def _groundwords(place: _Place) -> str:
    if place.above_ground:
        return _say("ground_none")
    water = _waterwords(place)
    if place.cover is None:
        return _say("no_cover", water=water)
    return _say("cover", cover=place.depth(place.cover), water=water)


def _pipewords(place: _Place, drawn: int) -> str:
    return _say(
        "pipe",
        bore=place.section(place.bore),
        liner=place.section(place.wall),
        wall=_wallwords(drawn),
        round=_roundwords(place),
    )


def _scale_bar(place: _Place, x: float, y: float, scale: float) -> Markup:
    unit = next((step for step in _STEPS if step * scale >= 36), _STEPS[-1])
    end = x + unit * scale
    ticks = (_line(each, each, y - 4, y + 4, INK, "ink") for each in (x, end))
    label = drawn_text(end + 6, y + 4, place.depth(unit), size=10.5)
    return join(_line(x, end, y, y, INK, "ink", 2), *ticks, label)


def _area(
    left: float, right: float, top: float, low: float, fill: str, kind: str, opacity: float = 1
) -> Markup:
    return element(
        "rect",
        x=left,
        y=top,
        width=right - left,
        height=max(low - top, 0.0),
        fill=fill,
        fill_opacity=opacity,
        class_=kind,
    )


def _torn_area(left: float, right: float, top: float, low: float) -> Markup:
    """Soil that goes on above the picture: its upper edge is a wave, not a line."""
    half = (right - left) / (2 * _WAVES)
    edge = f"q{half / 2:g} -8 {half:g} 0" + f"t{half:g} 0" * (2 * _WAVES - 1)
    shape = f"M{left:g} {top:.2f}{edge}V{low:.2f}H{left:g}Z"
    return element("path", d=shape, fill=SOIL, class_="soil torn")


def _ring(x: float, y: float, inner: float, outer: float, colour: str, kind: str) -> Markup:
    return element(
        "circle",
        cx=x,
        cy=y,
        r=(inner + outer) / 2,
        fill="none",
        stroke=colour,
        stroke_width=outer - inner,
        class_=kind,
    )


def _line(
    x1: float,
    x2: float,
    y1: float,
    y2: float,
    colour: str,
    kind: str,
    width: float = 1,
    dashes: str | None = None,
) -> Markup:
    return element(
        "line",
        x1=x1,
        x2=x2,
        y1=y1,
        y2=y2,
        stroke=colour,
        stroke_width=width,
        stroke_dasharray=dashes,
        class_=kind,
    )


def _water_mark(left: float, right: float, y: float) -> Markup:
    """The level line with the triangle that marks a free surface."""
    x, y = left + 10, round(y, 2)
    triangle = element(
        "path", d=f"M{x - 5} {y - 9}H{x + 5}L{x} {y}Z", fill=LEVEL, class_="level-mark"
    )
    return join(_line(left, right, y, y, LEVEL, "level", 1.6), triangle)


def _dimension(x: float, top: float, low: float) -> Markup:
    ticks = (_line(x - 4, x + 4, y, y, INK, "ink") for y in (top, low))
    return join(_line(x, x, top, low, INK, "ink"), *ticks)


def _leader(x: float, y: float, inward: float, to_x: float, to_y: float) -> Markup:
    return _line(x - inward, to_x, y + inward, to_y, INK, "ink", 0.8)


def drawn_text(
    x: float, y: float, content: str, anchor: str = "start", size: float = 12, class_: str = "ink"
) -> Markup:
    """Text in a drawing."""
    return element(
        "text",
        content,
        x=x,
        y=y,
        text_anchor=anchor,
        font_size=size,
        fill=INK,
        class_=class_,
    )


def drawn_svg(size: tuple[float, float], alternative: str, *parts: Markup, **data: float) -> Markup:
    """A drawing of this width and height on paper; `alternative` says in words what it shows."""
    width, height = size
    paper = element("rect", width=width, height=height, fill=PAPER, class_="paper")
    return element(
        "svg",
        paper,
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {positional(width)} {positional(height)}",
        width=positional(width),
        height=positional(height),
        role="img",
        aria_label=alternative,
        font_family="sans-serif",
        **data,
    )
