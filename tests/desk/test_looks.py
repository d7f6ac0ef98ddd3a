"""Contrast of the colours of page and desk: WCAG 2.2, success criterion 1.4.3, level AA."""

import re
from pathlib import Path

import pytest

import linerdesign

STYLE = Path(linerdesign.__file__).parent / "documents" / "page.css"
# WCAG 2.2: 4.5 to 1 for text.
LEAST = 4.5
TEXTS, GROUNDS = ("ink", "pale", "link", "changed", "passes", "fails"), ("paper", "field")


def _schemes():
    text = STYLE.read_text("utf-8")
    blocks = re.findall(r":root \{(.*?)\}", text, re.DOTALL)[:2]
    light, dark = (dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", block)) for block in blocks)
    return {"light": light, "dark": light | dark}


def _luminance(colour):
    """Relative luminance, WCAG 2.2."""
    parts = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    linear = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one, other):
    """The contrast ratio of two colours, WCAG 2.2."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_black_on_white_is_21():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)  # WCAG 2.2, by definition


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_can_be_read(scheme):
    colours = _schemes()[scheme]
    pairs = [(text, ground) for text in TEXTS for ground in GROUNDS]
    pairs += [("changed", "changed-ground"), ("ink", "changed-ground"), ("fails", "changed-ground")]
    ratios = {pair: contrast(*(colours[name] for name in pair)) for pair in pairs}
    assert {pair: ratio for pair, ratio in ratios.items() if ratio < LEAST} == {}
