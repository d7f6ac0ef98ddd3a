"""Altered calculations by hand: a wall in a pipe, its ratio and its inertia."""

from types import SimpleNamespace

import numpy as np
import pytest

from linerdesign.methods import altered
from linerdesign.methods.altered import (
    Case,
    Outcomes,
    fixed,
    reading,
    remaining,
    run_altered,
    scaled,
    without,
)
from linerdesign.methods.f1216 import gravity
from linerdesign.methods.lines import line

LINES = (line(gravity.dimension_ratio), line(gravity.wall_inertia), line(gravity.stiffness))
VALUES = {"D": 48.0, "t": 1.2, "E": 250_000.0}


def ran(*alterations, values=None, **more):
    return run_altered(LINES, VALUES if values is None else values, alterations, **more)


def test_what_no_alteration_reaches_has_one_row():
    found = ran(({"t": fixed(2.4)},), ())
    assert found["D"].shape == (1, 1)
    assert found["t"].tolist() == [[2.4], [1.2]]
    assert found["DR"].tolist() == [[20.0], [40.0]]
    assert found["I"] == pytest.approx(np.array([[2.4**3 / 12], [1.2**3 / 12]]))
    plain = ran(())
    assert {key: value.shape for key, value in plain.items()} == dict.fromkeys(plain, (1, 1))
    assert ran((), dimensions=3)["t"].shape == (1, 1, 1)


def test_changes_of_one_quantity_are_made_one_after_the_other():
    """1.2 is doubled and made 3; or made 3 and doubled."""
    double, three = {"t": scaled(2.0)}, {"t": fixed(3.0)}
    found = ran((double, three), (three, double), (double,))
    assert found["t"].ravel().tolist() == [3.0, 6.0, 2.4]


def test_some_lines_read_something_else_and_others_do_not():
    found = ran((reading(("I",), t=lambda v: 10 * v["t"]),), ())
    assert found["DR"].shape == (1, 1)
    assert found["I"].ravel() == pytest.approx([12.0**3 / 12, 1.2**3 / 12])
    assert found["S_X1_4"].ravel() == pytest.approx(found["I"].ravel() * 250_000 / 48**3)


def test_stations_stand_beside_each_other_in_every_row():
    values = VALUES | {"D": np.array([[48.0, 24.0]])}
    found = ran(({"t": fixed(2.4)},), ({"D": scaled(0.5)},), values=values)
    assert found["DR"].tolist() == [[20.0, 10.0], [20.0, 10.0]]
    # Patches of one quantity for some rows only, by arrays of their own.
    found = ran(({"t": fixed(np.array([[1.0, 2.0]]))},), (), values=values)
    assert found["DR"].tolist() == [[48.0, 12.0], [40.0, 20.0]]
    assert found["t"].tolist() == [[1.0, 2.0], [1.2, 1.2]]


def test_many_rows_are_what_each_of_them_is_alone():
    random = np.random.default_rng(4)
    alterations = [
        tuple(
            {key: scaled(float(random.uniform(0.5, 2.0)))}
            for key in random.choice(["D", "t", "I", "DR"], 2)
        )
        for _ in range(12)
    ]
    together = ran(*alterations)
    for row, alteration in enumerate(alterations):
        alone = ran(alteration)
        for key, value in together.items():
            expected = alone[key][0]
            assert value[row if len(value) > 1 else 0] == pytest.approx(expected)


def test_what_is_kept_takes_the_place_of_what_was_found():
    found = ran((), keep=lambda key, value: np.round(value) if key == "t" else value)
    assert (found["t"].item(), found["DR"].item()) == (1.0, 48.0)


def test_a_check_left_out_has_no_number_and_does_not_count():
    change = without("t_X1_1")
    assert set(change) == {"t_X1_1", "t_required"}
    assert np.isnan(change["t_X1_1"](None, {}))
    read = change["t_required"](lambda values: max(values["t_X1_1"], values["t"]), {"t": 1.2})
    assert read == 1.2
    assert change["t_required"](lambda values: values["t_X1_1"], {}) == 0


def test_the_changes_of_what_is_not_yet_computed():
    two = ({"t": fixed(1.0), "D": fixed(2.0)}, {"s": fixed(3.0)})
    (left,) = remaining([two], {"t", "s"})
    assert [list(change) for change in left] == [["t"], ["s"]]
    assert left[0]["t"] is two[0]["t"]
    assert remaining([two], set()) == [({}, {})]


def test_a_row_of_outcomes_leaves_out_what_has_no_number():
    found = Outcomes(
        {"t": np.array([1.0, 2.0]), "D": np.array([48.0]), "P": np.array([np.nan, 5.0])},
        np.array([0, 0]),
        np.array([True, True]),
    )
    assert found.row(0) == {"t": 1.0, "D": 48.0}
    assert found.row(1) == {"t": 2.0, "D": 48.0, "P": 5.0}
    assert found.column("D").tolist() == [48.0, 48.0]
    assert found.column("t").tolist() == [1.0, 2.0]


def test_the_station_that_needs_the_thickest_wall_stands_for_its_pipe(monkeypatch):
    """Required D/40: of 48 and 60 in the second; a changed D of the first makes it the worst."""
    monkeypatch.setattr(altered, "verification", lambda basis: (line(gravity.dimension_ratio),))
    needed = line(gravity.dimension_ratio_thickness, {"t_DR_limit": "t_required"})
    chosen = SimpleNamespace(result="t", needs=("t_required",), value=lambda v: v["t_required"] + 1)
    case = Case(None, (needed,), (chosen,), {"D": np.array([48.0, 60.0]), "DR_max": 40.0})
    found = altered.outcomes(
        case, [(), ({"D": scaled(np.array([[2.0, 1.0]]))},), ({"DR_max": fixed(np.inf)},)]
    )
    assert found.worst.tolist() == [1, 0, 0]
    assert found.valid.tolist() == [True, True, False]
    assert found.column("t_required").tolist() == [1.5, 2.4, 0.0]
    assert found.column("D").tolist()[:2] == [60.0, 96.0]
    assert found.column("t").tolist() == [2.5, 3.4, 1.0]
    # A wall of 2 in the checks; the nominal thickness stays that of the choice.
    walls = altered.outcomes(case, [(), ({"t": scaled(2.0)},)], wall=2.0)
    assert walls.column("t").tolist() == [2.5, 5.0]
    assert walls.column("DR").tolist() == [30.0, 15.0]
    assert altered.outcome(case)["t_required"] == 1.5
    assert altered.outcome(case, 2.0)["DR"] == 30.0
    assert altered.outcome(case, None, ({"DR_max": fixed(np.inf)},)) is None
    assert (case.has("D"), case.has("t_required"), case.has("t")) == (True, True, False)
    assert case.readers("D") == ("t_required", "DR")
    assert case.readers("t") == ("DR",)


def test_a_calculation_at_one_station_has_the_inputs_of_that_station():
    made = Case("basis", (), (), {"H": np.array([12.0, 20.0]), "D": 18.0}, ("0 ft", "80 ft"))
    for place, cover, name in ((0, 12.0, "0 ft"), (1, 20.0, "80 ft")):
        alone = made.at(place)
        assert alone.inputs == {"H": cover, "D": 18.0}
        assert alone.stations == (name,)
