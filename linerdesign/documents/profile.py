"""Long profile of a line as SVG text: ground, groundwater, pipe and thickness by segment."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from linerdesign.documents.blocks import Block, Heading, Paragraph, Picture
from linerdesign.documents.drawing import (
    HOST,
    INK,
    LEVEL,
    LINER,
    PAPER,
    PER_DEPTH,
    SOIL,
    WATER,
    drawn_svg,
    drawn_text,
)
from linerdesign.documents.markup import Markup, element, join
from linerdesign.documents.numbers import in_millimetres
from linerdesign.expressions.printing import positional
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.measures import parse
from linerdesign.project.models import Pipe
from linerdesign.project.reading import Project
from linerdesign.project.requests import length_of
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS

# Pipes of one drawing; a longer line has several.
_MOST = 8
# Widths of a drawing of so many pipes at most, and drawings beside each other on a page.
_WIDTHS = ((1, 220.0, 3), (3, 340.0, 2), (_MOST, 680.0, 1))
_HEIGHT = 180.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 46.0, 12.0, 30.0, 62.0
# Narrowest segment that holds its labels, and letters that one unit of length holds.
_LABELLED, _LETTERS = 44.0, 5.0
_STEPS = (0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


@dataclass(frozen=True)
class _Point:
    """A place along the line in the sheet's unit of depth; heights are elevations or over invert.

    `ground` and `water` are none where not known, or where there is no groundwater.
    """

    x: float
    invert: float
    crown: float
    ground: float | None
    water: float | None


@dataclass(frozen=True)
class _Segment:
    """One pipe of the line."""

    number: int
    name: str
    wall: str
    points: tuple[_Point, ...]


def long_profile(project: Project, results: Sequence[PipeResult]) -> tuple[Block, ...]:
    """The drawings of the pipes that have elevations or stations, each run of them by itself."""
    runs: list[list[tuple[int, PipeResult]]] = [[]]
    for number, result in enumerate(results, 1):
        if length_of(project.by_name[result.name]) and _has_heights(result):
            if len(runs[-1]) == _MOST:
                runs.append([])
            runs[-1].append((number, result))
        elif runs[-1]:
            runs.append([])
    pictures = [_of_run(run, project.by_name) for run in runs if run]
    about = Paragraph(sentence("calculation.profile_about"))
    return (Heading(HEADS["profile"]), about, *pictures) if pictures else ()


def _has_heights(result: PipeResult) -> bool:
    known = len(result.stations) > 1 or "z_invert" in result.values[0]
    return known and not result.basis.above_ground


def _of_run(run: Sequence[tuple[int, PipeResult]], pipes: Mapping[str, Pipe]) -> Picture:
    """The drawing of pipes that follow each other."""
    levels = all("z_invert" in values for _, result in run for values in result.values)
    segments, start = [], 0.0
    for number, result in run:
        made = _segment(number, result, pipes[result.name], start, levels)
        segments.append(made)
        start = made.points[-1].x
    return _picture(segments, run[0][1].basis.system, levels)


def _segment(number: int, result: PipeResult, pipe: Pipe, start: float, levels: bool) -> _Segment:
    system = result.basis.system
    length = length_of(pipe)
    assert length is not None
    whole = length.to(SYMBOLS["L_pipe"].unit(system))
    places = _places(result, whole, system)
    points = [
        _point(dict(values), start + x, system, levels)
        for x, values in sorted(zip(places, result.values, strict=True), key=lambda each: each[0])
    ]
    ends = (_at(points[0], start), *points, _at(points[-1], start + whole))
    wall = in_millimetres(result.nominal_thickness, system)
    return _Segment(number, result.name, f"{positional(wall, 5)} mm", ends)


def _at(point: _Point, x: float) -> _Point:
    return _Point(x, point.invert, point.crown, point.ground, point.water)


def _places(result: PipeResult, whole: float, system: str) -> list[float]:
    """Where the stations are along the pipe; evenly spaced where their names are no lengths."""
    count = len(result.stations)
    if count == 1:
        return [whole / 2]
    try:
        found = [parse(at, "level").to(SYMBOLS["H"].unit(system)) for at in result.stations]
    except ValueError:
        found = [whole * place / (count - 1) for place in range(count)]
    return [min(max(x, 0.0), whole) for x in found]


def _point(values: dict[str, float], x: float, system: str, levels: bool) -> _Point:
    per = PER_DEPTH[system]
    invert = values["z_invert"] if levels else 0.0
    crown = invert + values.get("D_crown", values["D"]) / per
    ground = crown + values["H"] if "H" in values else None
    head = values.get("h_invert")
    return _Point(x, invert, crown, ground, None if head is None else invert + head)


@dataclass(frozen=True)
class _Scale:
    """From lengths and heights to the drawing."""

    length: float
    low: float
    high: float
    width: float

    def x(self, length: float) -> float:
        return round(_LEFT + length / self.length * (self.width - _LEFT - _RIGHT), 2)

    def y(self, height: float) -> float:
        share = (height - self.low) / (self.high - self.low)
        return round(_HEIGHT - _BOTTOM - share * (_HEIGHT - _TOP - _BOTTOM), 2)

    def ticks(self, low: float, high: float, most: float) -> Iterator[float]:
        """Round numbers between two ends."""
        step = next((s for s in _STEPS if (high - low) / s <= most), _STEPS[-1])
        first = -(-low // step) * step
        while first <= high + 1e-9:
            yield first
            first += step


def _picture(segments: Sequence[_Segment], system: str, levels: bool) -> Picture:
    points = [point for segment in segments for point in segment.points]
    heights = [h for p in points for h in (p.invert, p.crown, p.ground, p.water) if h is not None]
    room = (max(heights) - min(heights)) * 0.06
    width, beside = next((width, n) for most, width, n in _WIDTHS if len(segments) <= most)
    scale = _Scale(points[-1].x, min(heights) - room, max(heights) + room, width)
    unit = SYMBOLS["H"].unit(system)
    words = "; ".join(
        sentence("calculation.profile_pipe", number=s.number, name=s.name, wall=s.wall)
        for s in segments
    )
    drawn = (_drawn(segment, scale) for segment in segments)
    svg = drawn_svg((width, _HEIGHT), words, *drawn, _axes(scale, unit, levels))
    heights_are = "profile_levels" if levels else "profile_depths"
    times = (scale.y(0) - scale.y(1)) / (scale.x(1) - scale.x(0))
    caption = sentence(
        "calculation.profile",
        heights=sentence(f"calculation.{heights_are}"),
        times=positional(times, 2),
    )
    return Picture(svg, caption, words, beside)


def _drawn(segment: _Segment, scale: _Scale) -> Markup:
    """Ground, water, the pipe and its names, between two manholes."""
    points = segment.points
    bottom = _HEIGHT - _BOTTOM
    parts = []
    for heights, fill, kind in (("ground", SOIL, "soil"), ("water", WATER, "water")):
        line = [(p.x, getattr(p, heights)) for p in points]
        if all(height is not None for _, height in line):
            parts.append(_area(line, bottom, scale, fill, kind))
            parts.append(_line(line, scale, INK if kind == "soil" else LEVEL, 1.4))
    pipe = [(p.x, p.crown) for p in points] + [(p.x, p.invert) for p in reversed(points)]
    outline = " ".join(f"{scale.x(x)},{scale.y(h)}" for x, h in pipe)
    parts.append(element("polygon", points=outline, fill=PAPER, stroke=HOST, stroke_width=1.4))
    parts.append(_line([(p.x, p.invert) for p in points], scale, LINER, 2.2))
    ends = (scale.x(points[0].x), scale.x(points[-1].x))
    parts += [_manhole(x) for x in ends]
    if ends[1] - ends[0] >= _LABELLED:
        middle = (ends[0] + ends[1]) / 2
        name = segment.name
        most = int((ends[1] - ends[0]) / _LETTERS)
        name = name if len(name) <= most else f"{name[: most - 1]}…"
        parts.append(drawn_text(middle, bottom + 30, f"{segment.number}", "middle", 10))
        parts.append(drawn_text(middle, bottom + 42, name, "middle", 9))
        parts.append(drawn_text(middle, bottom + 55, f"t = {segment.wall}", "middle", 10.5))
    return join(*parts)


def _area(
    line: Sequence[tuple[float, float]], bottom: float, scale: _Scale, fill: str, kind: str
) -> Markup:
    upper = [f"{scale.x(x)},{scale.y(height)}" for x, height in line]
    lower = [f"{scale.x(line[-1][0])},{bottom}", f"{scale.x(line[0][0])},{bottom}"]
    opacity = 0.75 if kind == "water" else 1
    points = " ".join((*upper, *lower))
    return element("polygon", points=points, fill=fill, fill_opacity=opacity, class_=kind)


def _line(line: Sequence[tuple[float, float]], scale: _Scale, colour: str, width: float) -> Markup:
    points = " ".join(f"{scale.x(x)},{scale.y(height)}" for x, height in line)
    return element("polyline", points=points, fill="none", stroke=colour, stroke_width=width)


def _manhole(x: float) -> Markup:
    dashes = {"stroke_dasharray": "4 3", "stroke_width": 0.8, "stroke": INK}
    return element("line", x1=x, x2=x, y1=_TOP - 6, y2=_HEIGHT - _BOTTOM, class_="ink", **dashes)


def _axes(scale: _Scale, unit: str, levels: bool) -> Markup:
    """Heights on the left, lengths along the bottom."""
    bottom = _HEIGHT - _BOTTOM
    parts = [drawn_text(6, 14, sentence(f"calculation.axis_{levels}", unit=unit), size=10)]
    for height in scale.ticks(scale.low, scale.high, 7):
        y = scale.y(height)
        parts.append(drawn_text(_LEFT - 6, y + 3.5, positional(height), "end", 9.5))
        parts.append(element("line", x1=_LEFT - 4, x2=_LEFT, y1=y, y2=y, stroke=INK, class_="ink"))
    for length in scale.ticks(0.0, scale.length, scale.width // 68):
        x = scale.x(length)
        parts.append(drawn_text(x, bottom + 15, positional(length), "middle", 9.5))
        parts.append(
            element("line", x1=x, x2=x, y1=bottom, y2=bottom + 4, stroke=INK, class_="ink")
        )
    return join(*parts)
