"""Walls of many pipes from a design given as arrays, by hand."""

from types import SimpleNamespace as Made

import numpy as np
import pytest

from linerdesign.findings import Severity, finding
from linerdesign.tasks.walls import Walls, in_mm, made_in_mm


def walls(raised=(), refusing=(), verdicts=("no_size",), **arrays):
    """Two pipes of two stations in inches."""
    given = {
        "D": np.array([[8.0, 12.0], [10.0, 6.0]]),
        "worst": np.array([[True, True], [False, True]]),
        "governing": np.array([["X1.1", "X1.3"], ["X1.2", "X1.4"]]),
        "meets_a": np.array([[True, True], [True, False]]),
        "meets_b": np.array([[True, True], [True, True]]),
    } | arrays
    of_pipes = {
        "thickest": np.array([0.2, 0.3]),
        "t": np.array([6.0 / 25.4, 0.35]),
        "status_of_pipe": np.array(["sized", "fails"]),
        "passes_of_pipe": np.array([True, False]),
        "no_size": np.array([False, True]),
    }
    designs = Made(
        basis=Made(system="US"),
        array=lambda key: given[key],
        of_pipes=lambda key: of_pipes[key],
        shape=(2, 2),
        calculation=Made(
            verdicts=verdicts,
            checks=[Made(equation="X1.1", name="a"), Made(equation="X1.3", name="b")],
        ),
        finite=np.array([True, True, False]) if "outside" in given else np.array([True, False]),
        refusing=refusing,
    )
    return Walls(designs, raised)


def test_thicknesses_are_in_millimetres():
    found = walls()
    assert found.required == pytest.approx([5.08, 7.62])
    assert found.nominal.tolist() == [6.0, 8.89]
    assert found.diameter == pytest.approx([304.8, 254])
    assert in_mm(Made(system="US"), 2.0) == pytest.approx(50.8)
    assert in_mm(Made(system="SI"), 2.0) == 2.0
    # Less than half a billionth of a millimetre is a last binary digit, more is not.
    metric = Made(system="SI")
    assert made_in_mm(metric, np.array([6 + 4e-10, 6 - 6e-10])).tolist() == [6.0, 5.999999999]


def test_the_worst_station_is_the_most_frequent_where_several_are():
    """Both are worst in the first pipe, and the second station in the other."""
    found = walls()
    assert found.worst.tolist() == [1, 1]
    assert found.governing == ["X1.3", "X1.4"]
    alone = walls(worst=np.array([[True, False], [False, True]]))
    assert alone.worst.tolist() == [0, 1]
    assert alone.governing == ["X1.1", "X1.4"]


def test_verdicts_of_each_pipe():
    found = walls()
    assert found.status == ["sized", "fails"]
    assert found.passes.tolist() == [True, False]
    assert found.short.tolist() == [False, True]
    # A verdict that the method does not know holds nowhere.
    assert found.minimum_governs.tolist() == [False, False]
    assert [(name, where.tolist()) for name, where in found.failing] == [
        ("X1.1", [False, True]),
        ("X1.3", [False, False]),
    ]


def test_inputs_outside_a_table_lead_to_no_wall():
    limit = Made(code="ring.no_creep", severity=Severity.OUTSIDE, numbers=(), refuses="H")
    outside = np.array([[False, False], [False, True], [False, False]])
    found = walls(refusing=[Made(key="outside", limit=limit)], outside=outside)
    assert found.reached.tolist() == [True, False, False]
    assert list(found.refusals(0)) == []
    assert list(found.refusals(1)) == [("cover", finding("ring.no_creep", Severity.OUTSIDE))]
    assert list(found.refusals(2)) == [("", finding("design.not_finite"))]


def test_findings_alike_hold_wherever_one_of_them_does():
    deep, thin = finding("ring.no_creep"), finding("ring.no_time")
    raised = [
        Made(of_many=deep, where=np.array([[True, False], [False, False]])),
        Made(of_many=deep, where=np.array([[False, False], [False, True]])),
        Made(of_many=thin, where=np.array(False)),
    ]
    ((note, where),) = walls(raised).notes
    assert (note, where.tolist()) == (deep, [[True, False], [False, True]])
    (everywhere,) = walls([Made(of_many=thin, where=np.array(True))]).notes
    assert everywhere[1].all()
