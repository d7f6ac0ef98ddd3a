"""The chart of a sensitivity: the range of the required thickness over each uncertainty."""

from __future__ import annotations

from linerdesign.documents.blocks import Picture
from linerdesign.documents.drawing import INK, LINER, PALE, WATER, drawn_svg, drawn_text
from linerdesign.documents.markup import Markup, element
from linerdesign.documents.numbers import both_units, in_millimetres
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.tasks.review.sensitivity import Sensitivity, Swing
from linerdesign.words import sentence

_WIDTH, _RIGHT, _TOP, _ROW, _MOST = 640.0, 60.0, 34.0, 24.0, 12
# Room for the smaller thickness before a bar, and for one letter of a label; a number's distance
# from its bar.
_NUMBER, _LETTER, _GAP = 64.0, 7.2, 5.0


def tornado(
    name: str, found: Sensitivity, wall: float | None, system: str, whose: str = "submitted"
) -> Picture | None:
    """Bars of the thickness required, assumed inputs darker; a line at the wall, and `whose` it is.

    None where no input is uncertain.
    """
    swings = found.swings[:_MOST]
    if not swings:
        return None
    bars = sorted(swings, key=lambda swing: -swing.width)
    ends = [t for swing in bars for t in (*swing.required, swing.now)]
    low, high = min(ends), max(ends)
    if wall is not None:
        low, high = min(low, wall), max(high, wall)
    scale = _Scale(low, high, system, _NUMBER + _LETTER * max(len(_label(s)) for s in bars))
    height = _TOP + _ROW * len(bars) + 30
    parts = [_bar(scale, row, swing) for row, swing in enumerate(bars)]
    parts.append(_line(scale, bars[0].now, height, "required"))
    if wall is not None:
        parts.append(_line(scale, wall, height, whose, dashed=True))
    alternative = "the largest swings are " + "; ".join(
        f"{SYMBOLS[s.uncertainty.key].meaning}: {scale.text(min(s.required))} to "
        f"{scale.text(max(s.required))} mm"
        for s in bars[:3]
    )
    svg = drawn_svg((_WIDTH, height), sentence("review.swings", name=name), *parts)
    now = both_units(bars[0].now, system)
    caption = sentence("review.swings caption", name=name, now=now)
    return Picture(svg, caption, alternative)


class _Scale:
    """Places thicknesses along the picture."""

    def __init__(self, low: float, high: float, system: str, left: float) -> None:
        # A swing that has no width is none, so that they are apart.
        room = 0.08 * (high - low)
        self.low, self.high, self.system, self.left = low - room, high + room, system, left

    def x(self, thickness: float) -> float:
        share = (thickness - self.low) / (self.high - self.low)
        return self.left + share * (_WIDTH - self.left - _RIGHT)

    def text(self, thickness: float) -> str:
        return f"{in_millimetres(thickness, self.system):.2f}"


def _label(swing: Swing) -> str:
    quantity = SYMBOLS[swing.uncertainty.key]
    return quantity.name.replace("_", " ") or quantity.symbol


def _bar(scale: _Scale, row: int, swing: Swing) -> Markup:
    low, high = min(*swing.required, swing.now), max(*swing.required, swing.now)
    y = _TOP + _ROW * row
    line = y + 12
    return element(
        "g",
        drawn_text(scale.left - _NUMBER, line, _label(swing), "end"),
        drawn_text(scale.x(low) - _GAP, line, scale.text(low), "end", 10),
        element(
            "rect",
            x=scale.x(low),
            y=y,
            width=max(scale.x(high) - scale.x(low), 1.0),
            height=_ROW - 8,
            fill=LINER if swing.uncertainty.assumed else WATER,
            stroke=PALE,
            class_="bar",
        ),
        drawn_text(scale.x(high) + _GAP, line, scale.text(high), "start", 10),
    )


def _line(
    scale: _Scale, thickness: float, height: float, label: str, dashed: bool = False
) -> Markup:
    x = scale.x(thickness)
    # The two labels stand above and below, so that lines close together stay readable.
    y = height - 8 if dashed else _TOP - 16
    return element(
        "g",
        element(
            "line",
            x1=x,
            x2=x,
            y1=_TOP - 10,
            y2=height - 20,
            stroke=INK,
            stroke_width=1.5,
            stroke_dasharray="5 3" if dashed else None,
            class_="ink",
        ),
        drawn_text(x, y, f"{label} {scale.text(thickness)}", "middle", 11),
    )
