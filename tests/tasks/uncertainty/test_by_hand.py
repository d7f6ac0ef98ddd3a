"""The search for the design point, counts, indices and savings on models whose answer is known."""

from types import SimpleNamespace as Made

import numpy as np
import pytest
from scipy import stats

from linerdesign.tasks.uncertainty import model, pipes
from linerdesign.tasks.uncertainty.model import Model, _best, _nearest
from linerdesign.tasks.uncertainty.pipes import Columns, by_scramble, index_of, most_points


def plane(slopes, offsets):
    """A margin that is linear in every row."""
    a, b = np.array(slopes, float), np.array(offsets, float)

    def margin(at):
        rows = np.broadcast_to(a, (len(b), a.shape[-1]))
        return (
            np.einsum("rtc,rc->rt", np.broadcast_to(at, (len(b), *at.shape[1:])), rows) + b[:, None]
        )

    return margin


@pytest.mark.parametrize("rows", [1, 4])
def test_the_distance_of_a_plane_is_the_closed_form(rows):
    """|b|/|a|, negative where the origin has no margin; over six it is not told."""
    b = np.array([10.0, -15.0, 29.9, 30.1])[:rows]
    found = _nearest(plane([3.0, -4.0], b), rows, 2)
    assert found == pytest.approx(np.array([2.0, -3.0, 5.98, np.inf])[:rows], abs=2e-3)
    assert _nearest(plane([3.0, -4.0], [-31.0]), 1, 2).tolist() == [-np.inf]


def test_the_distance_of_a_circle_is_that_of_its_nearest_point():
    """A circle of radius 2 about (3, 4): the nearest point is 5 - 2 away."""
    distance = lambda at: np.hypot(at[..., 0] - 3, at[..., 1] - 4) - 2.0  # noqa: E731
    assert _nearest(distance, 1, 2) == pytest.approx([3.0], abs=2e-3)


def test_what_does_not_depend_on_any_input_has_no_design_point():
    assert _nearest(lambda at: np.ones(at.shape[:2]), 1, 2).tolist() == [np.inf]
    assert _nearest(lambda at: -np.ones(at.shape[:2]), 1, 2).tolist() == [-np.inf]


def test_the_best_part_of_a_move_has_the_least_penalty():
    """Margin 1 - x: half of a move of 2 ends on the border, at merit 1/2."""
    margin = lambda at: 1.0 - at[..., 0]  # noqa: E731
    at, move = np.zeros((1, 1)), np.array([[2.0]])
    assert _best(margin, at, move, np.array([100.0])).tolist() == [[1.0]]
    # Without a penalty the least part of the move is the nearest to the origin.
    assert _best(margin, at, move, np.array([0.0])).tolist() == [[2.0 / 128]]
    assert _best(margin, at, np.array([[np.nan]]), np.array([1.0])).tolist() == [[0.0]]
    # A merit without a number is none.
    broken = lambda at: np.where(at[..., 0] == 1.0, np.nan, 1.0 - at[..., 0])  # noqa: E731
    assert _best(broken, at, move, np.array([100.0])).tolist() == [[0.5]]


def test_points_are_as_many_as_designs_allow():
    """30 million designs over 8 scrambles: a power of two between 512 and 16,384."""
    assert most_points(1) == most_points(228) == 2**14
    # 30e6 / (8 x 229) = 16,375.5 is under 2^14.
    assert most_points(229) == 2**13
    assert most_points(5000) == 512
    assert most_points(10**9) == 512


def test_counts_are_by_scramble():
    happened = np.zeros((8, 4), bool)
    happened[0, :3] = happened[7, 1] = True
    assert by_scramble(happened.ravel()).tolist() == [3, 0, 0, 0, 0, 0, 0, 1]


def test_a_value_of_a_resin_has_one_column_and_one_of_a_pipe_its_own():
    named = [Made(name="flexural_modulus", key="E"), Made(name="ovality", key="q")]
    columns = Columns()
    assert columns.of(named, "A", "felt") == [0, 1]
    assert columns.of(named, "B", "felt") == [0, 2]
    assert columns.of(named[::-1], "A", "glass") == [1, 3]


def told(failing, trials, first_order, monkeypatch):
    monkeypatch.setattr(pipes, "reliability_index", lambda model, walls: np.array(first_order))
    index, by_trials = index_of(None, np.ones(len(first_order)), np.array(failing), trials)
    return index, by_trials


def test_an_index_is_that_of_the_trials_where_a_hundred_fail_and_pass(monkeypatch):
    failing, first = [100, 99, 900, 901, 0, 5], [9.0, 2.0, 9.0, -2.0, np.inf, np.inf]
    index, by_trials = told(failing, 1000, first, monkeypatch)
    assert by_trials.tolist() == [True, False, True, False, False, False]
    expected = [stats.norm.isf(0.1), 2.0, stats.norm.isf(0.9), -2.0, np.inf, np.nan]
    assert index == pytest.approx(expected, nan_ok=True)
    # Where trials tell all, nothing is searched.
    monkeypatch.setattr(pipes, "reliability_index", None)
    index, by_trials = index_of(None, np.ones(1), np.array([500]), 1000)
    assert (index.tolist(), by_trials.tolist()) == ([0.0], [True])


FIFTY = Made(to=lambda unit: 50.0)


def saving(walls, now, costs=None, length=FIFTY, monkeypatch=None):
    case = Made(
        model=Made(basis=Made(system="US"), inputs={"D": np.array([[8.0, 10.0]])}),
        pipe="pipe",
        resin="resin",
    )
    asked = []
    monkeypatch.setattr(pipes, "length_of", lambda pipe: length)

    def cost(diameter, thickness, resin, purchase):
        asked.append((diameter, thickness.tolist()))
        return costs

    monkeypatch.setattr(pipes, "cost_per_length", cost)
    return pipes._saved(case, now, np.array(walls)), asked


def test_what_is_saved_is_the_wall_now_less_the_mean_of_the_others(monkeypatch):
    """0.5 in less the mean of 0.2 and 0.4: 5.08 mm; 50 m of 9 less the mean of 3 and 4 a metre."""
    costs = np.array([3.0, 4.0, 9.0])
    (mm, money), asked = saving([0.2, 0.4], 0.5, costs, monkeypatch=monkeypatch)
    assert mm == pytest.approx(5.08)
    assert money == pytest.approx(50 * 5.5)
    # The widest station.
    ((wide, walls),) = asked
    assert wide == pytest.approx(254)
    assert walls == pytest.approx([5.08, 10.16, 12.7])
    assert saving([0.2], 0.5, None, monkeypatch=monkeypatch)[0][1] is None
    assert saving([0.2], 0.5, costs[1:], None, monkeypatch=monkeypatch)[0][1] is None
    lost = np.array([np.nan, 9.0])
    assert saving([0.2], 0.5, lost, monkeypatch=monkeypatch)[0][1] is None


def of_function(thickness, count):
    return Made(uncertain=[None] * count, required=lambda shares: thickness(shares[0])[None])


def test_indices_of_a_sum_are_the_squares_of_its_weights():
    """3 u + 4 v: shares of the variance 9/25 and 16/25, first order and total."""
    first, total = pipes._indices(of_function(lambda u: 3 * u[:, 0] + 4 * u[:, 1], 2), 5)
    assert first == pytest.approx([0.36, 0.64], abs=0.02)
    assert total == pytest.approx([0.36, 0.64], abs=0.02)


def test_indices_of_a_product_have_an_interaction():
    """(u - 1/2)(v - 1/2): all of the variance is by interaction."""
    product = of_function(lambda u: (u[:, 0] - 0.5) * (u[:, 1] - 0.5), 2)
    first, total = pipes._indices(product, 5)
    assert first == pytest.approx([0, 0], abs=0.05)
    assert total == pytest.approx([1, 1], abs=0.05)


def test_one_input_is_all_and_a_constant_or_no_wall_has_no_indices():
    assert list(pipes._indices(of_function(lambda u: u[:, 0], 1), 5)) == [[1.0], [1.0]]
    none = [[None] * 2] * 2
    assert list(pipes._indices(of_function(lambda u: np.ones(len(u)), 2), 5)) == none
    endless = of_function(lambda u: np.where(u[:, 0] > 0.5, np.inf, 1.0), 2)
    assert list(pipes._indices(endless, 5)) == none


def nominal_of(monkeypatch, made, required, inputs):
    """A choice of thickness in steps of each pipe, of which at most so many are made."""

    def run(lines, values):
        assert lines == "lines"
        return {"t": np.minimum(np.ceil(values["t_required"] / values["s"]) * values["s"], made)}

    monkeypatch.setattr(model, "choice_of_thickness", lambda basis: "lines")
    monkeypatch.setattr(model, "run", run)
    return Model(Made(), inputs, ()).nominal(np.array(required))


def test_a_nominal_thickness_is_that_made_of_each_pipe(monkeypatch):
    steps = {"s": np.array([[1.5], [2.0]]), "D": 8.0}
    required = [[1.0, 3.0, 3.1], [1.0, 4.1, np.inf]]
    found = nominal_of(monkeypatch, 5.0, required, steps)
    assert found.tolist() == [[1.5, 3.0, 4.5], [2.0, 5.0, np.inf]]
    short = nominal_of(monkeypatch, 4.0, [[4.0, 4.0 + 1e-10, 4.01]], {"s": 1.0})
    assert short.tolist() == [[4.0, 4.0, np.inf]]
    monkeypatch.setattr(model, "choice_of_thickness", lambda basis: ())
    assert Model(Made(), {}, ()).nominal([1.0]) == [1.0]
