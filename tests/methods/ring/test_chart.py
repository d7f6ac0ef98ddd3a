"""The page and chart of the second opinion are not stale.

Their numbers are the model's own; what those are worth is checked in test_collapse.py.
"""

import re
import sys
from pathlib import Path

import numpy as np
import pytest

from linerdesign.documents.figures import render
from linerdesign.methods.ring.case import Case

DOCS = Path(__file__).parents[3] / "docs"
sys.path.append(str(DOCS))

import ring_chart as chart  # noqa: E402
from ring_convergence import TABLES, enhancement  # noqa: E402

PAGE = (DOCS / chart.PAGE).read_text(encoding="utf-8")


def _rows(first_line):
    """Rows of the table under this line of the page, as numbers."""
    table = re.match(r"(\|.*\n)+", PAGE.split(first_line)[1].lstrip())[0]
    return np.array(
        [line.strip("| ").replace("none", "nan").split("|") for line in table.splitlines()[2:]],
        dtype=float,
    )


def test_every_table_of_the_study_is_on_the_page():
    for table in (*TABLES, chart.gap_closed_form):
        assert len(_rows(table.__doc__.strip())) >= 3


def test_the_page_shows_what_the_model_gives_now():
    """Stale? Run `python docs/ring_chart.py`."""
    trends = _rows("K against gap and ovality, bulge 0.1 % of the radius.")
    for row, column, gap in ((1, 2, 0.0), (6, 4, 0.01), (11, 5, 0.03)):
        ratio, ovality = trends[row, :2]
        found = enhancement(Case(ratio, gap, ovality))
        assert trends[row, column] == pytest.approx(found, rel=1e-3)


def test_closed_form_with_a_gap_is_under_the_model_where_the_page_says_so():
    ratios = _rows(chart.gap_closed_form.__doc__.strip())
    assert np.all(ratios[1:, -1] < 0.8)
    assert np.all(ratios[2:, 1:3] == pytest.approx(1.0, abs=0.07))
    found = chart.gap_by_lobe(50.0, 0.01) / chart.needed(50.0, 0.01, 0.0, 0.001)
    assert ratios[3, 3] == pytest.approx(found, rel=1e-3)


def test_chart_draws_every_curve(monkeypatch):
    monkeypatch.setattr(chart, "needed", lambda ratio, *_: ratio / 10)
    figure = chart.chart()
    for axes in figure.axes:
        curves = [line for line in axes.lines if len(line.get_xdata()) == len(chart.RATIOS)]
        assert len(curves) == 4
        assert any(np.all(np.asarray(line.get_ydata()) == 7.0) for line in axes.lines)
    assert render(figure, "svg").startswith(b"<?xml")


def test_chart_is_small():
    assert 10_000 < (DOCS / chart.PICTURE).stat().st_size < 80_000
