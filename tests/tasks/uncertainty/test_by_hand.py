"""The search for the design point, counts, indices and savings on models whose answer is known."""

import math
from types import SimpleNamespace as Made

import numpy as np
import pytest
from scipy import stats

from linerdesign.project.faults import InputFaults
from linerdesign.project.quantities import Purchase
from linerdesign.tasks.uncertainty import model, pipes, sampling
from linerdesign.tasks.uncertainty.model import Model, _best, _nearest
from linerdesign.tasks.uncertainty.pipes import Columns, Wishes, by_scramble, index_of, most_points


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


def test_an_index_just_as_far_as_is_told_is_told(monkeypatch):
    margin = plane([3.0, -4.0], [10.0])
    (found,) = _nearest(margin, 1, 2)
    for farthest, told in ((found, found), (np.nextafter(found, 0), np.inf)):
        monkeypatch.setattr(model, "FAR", farthest)
        assert _nearest(margin, 1, 2).tolist() == [told]


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
    walls = np.ones(len(first_order))

    def first(model, asked):
        assert (model, asked is walls) == ("model", True)
        return np.array(first_order)

    monkeypatch.setattr(pipes, "reliability_index", first)
    index, by_trials = index_of("model", walls, np.array(failing), trials)
    return index, by_trials


def test_an_index_is_that_of_the_trials_where_a_hundred_fail_and_pass(monkeypatch):
    failing, first = [100, 99, 900, 901, 0, 1], [9.0, 2.0, 9.0, -2.0, np.inf, np.inf]
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
        assert (resin, purchase) == ("resin", Purchase())
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
    again = pipes._indices(of_function(lambda u: 3 * u[:, 0] + 4 * u[:, 1], 2), 5)
    assert [first, total] == list(again)


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
    short = nominal_of(monkeypatch, 4.0, [[4.0, 4.0 + 1e-10, 4.0 + 1e-6]], {"s": 1.0})
    assert short.tolist() == [[4.0, 4.0, np.inf]]
    monkeypatch.setattr(model, "choice_of_thickness", lambda basis: ())
    assert Model(Made(), {}, ()).nominal([1.0]) == [1.0]


def studied(monkeypatch, needed, count, floor=None, confidence=0.9):
    """The study of a wall as a function of shares, in inches; steps of half an inch are made."""
    monkeypatch.setattr(pipes, "length_of", lambda pipe: None)
    monkeypatch.setattr(pipes, "cost_per_length", lambda *given: None)
    inputs = {"D": 8.0} | ({} if floor is None else {"t_floor": floor})
    made = Made(
        uncertain=[Made(key=n) for n in range(count)],
        required=lambda shares: needed(shares[0])[None],
        nominal=lambda walls: np.ceil(2 * walls) / 2,
        inputs=inputs,
        basis=Made(system="US"),
    )
    case = Made(model=made, pipe="pipe", resin="resin")
    return pipes._study(case, Wishes(seed=3, confidence=confidence))


def test_the_wall_for_a_confidence_and_what_knowing_an_input_saves(monkeypatch):
    """1 + u: 1.9 is enough in 90 %, 2 in made in steps. With u known to a 64th, 90 % of its class:
    on the mean 1.5 and four tenths of a 64th."""
    nominal, (one,), known = studied(monkeypatch, lambda u: 1 + u[:, 0], 1)
    assert nominal == pytest.approx(2 * 25.4)
    assert one.saved == pytest.approx(25.4 * (1.9 - 1.5 - 0.4 / 64), abs=0.01)
    assert (one.first, one.total, known, one.saved_cost) == (1.0, 1.0, None, None)
    # No wall is under the floor of 1.5 in: half of the classes, whose ends rise to 2 in.
    nominal, (one,), _ = studied(monkeypatch, lambda u: 1 + u[:, 0], 1, np.array([[1.0, 1.5]]))
    mean = np.mean(np.maximum(1 + (np.arange(64) + 0.9) / 64, 1.5))
    assert one.saved == pytest.approx(25.4 * (1.9 - mean), abs=0.01)
    nominal, _, _ = studied(monkeypatch, lambda u: u[:, 0], 1, 2.5)
    assert nominal == pytest.approx(2.5 * 25.4)


def test_knowing_all_inputs_saves_the_wall_less_its_mean(monkeypatch):
    """u + 2 v at 90 %: 3 - sqrt(2 x 2 x 0.1) by the corner of the square; the mean is 1.5."""
    wall = 3 - math.sqrt(0.4)
    nominal, (one, other), known = studied(monkeypatch, lambda u: u[:, 0] + 2 * u[:, 1], 2)
    assert nominal == pytest.approx(2.5 * 25.4)
    assert (known.first, known.total) == (None, None)
    assert known.saved == pytest.approx(25.4 * (wall - 1.5), rel=2e-3)
    # Knowing one, the other is at its 90 %.
    assert one.saved == pytest.approx(25.4 * (wall - 0.5 - 1.8), rel=0.05, abs=0.1)
    assert other.saved == pytest.approx(25.4 * (wall - 1.0 - 0.9), rel=0.02)
    assert (one.first, other.first) == pytest.approx((0.2, 0.8), abs=0.02)
    # With at least 1 in the mean of what is needed is more.
    _, _, known = studied(monkeypatch, lambda u: u[:, 0] + 2 * u[:, 1], 2, 1.0)
    mean = np.mean(np.maximum(np.add.outer(GRID, 2 * GRID), 1.0))
    assert known.saved == pytest.approx(25.4 * (wall - mean), rel=2e-3)


def test_an_input_is_studied_in_64_classes_of_its_share(monkeypatch):
    """Walls of k/64 in, one a class: 90 % have at most 57/64, and their mean is 63/128."""
    _, (one,), _ = studied(monkeypatch, lambda u: np.floor(64 * u[:, 0]) / 64, 1)
    assert one.saved == pytest.approx(25.4 * (57 / 64 - 63 / 128), rel=1e-9)


def test_a_wall_that_is_enough_in_just_less_than_the_confidence_is_not(monkeypatch):
    """1 in is enough in 29,491 of the 32,768 trials, which are 89.9994 %; one more is 90.002 %."""
    for enough, wall in ((29_491, 2.0), (29_492, 1.0)):
        needed = lambda u, most=enough: np.where(u[:, 0] * 2**15 < most, 1.0, 2.0)  # noqa: E731
        nominal, _, _ = studied(monkeypatch, needed, 1)
        assert nominal == pytest.approx(25.4 * wall)


def test_a_study_has_as_many_trials_as_its_accuracy_needs(monkeypatch):
    """32,768 trials, 4,096 at a time, and indices from 2,048 points: 512 more tell if it varies."""
    asked, sizes = [], []
    monkeypatch.setattr(stats, "sobol_indices", lambda **given: asked.append(given) or FLAT)
    drawn = sampling.points

    def points(seed, columns, count):
        asked.append((seed, columns, count))
        return drawn(seed, columns, count)

    def needed(u):
        sizes.append(u.shape)
        return u[:, 0] + u[:, 1]

    monkeypatch.setattr(sampling, "points", points)
    studied(monkeypatch, needed, 2)
    study, probe, indices = asked
    assert (study, probe) == ((3, 2, 32_768), (3, 2, 512))
    assert sizes == [(4096, 2)] * 8 + [(512, 2)]
    assert (indices["n"], len(indices["dists"])) == (2048, 2)


FLAT = Made(first_order=np.zeros(2), total_order=np.zeros(2))


def test_what_is_wished_for_where_nothing_is_said():
    """As the command line has it: what is stated, seed 20260, and 95 % for a thickness."""
    assert Wishes() == Wishes("stated", 20_260, 0.95)
    assert (Wishes().usual, Wishes("usual").usual) == (False, True)


GRID = (np.arange(1000) + 0.5) / 1000


def counted(monkeypatch, blocks):
    """Two walls of 1 in: one for u over a column of its own, one for the product with another."""

    def drawn(*given):
        # Both walls are worked out with the safety factor and without.
        assert given == (7, 3, "points of 4")
        return iter(blocks)

    monkeypatch.setattr(sampling, "blocks", drawn)
    monkeypatch.setattr(pipes, "most_points", lambda designs: f"points of {designs}")

    def case(columns, needed, without):
        made = Made(
            required=lambda shares, without_factor=False: (without if without_factor else needed)(
                shares[0]
            )[None]
        )
        zeros = np.zeros(8, np.int64)
        return Made(model=made, columns=columns, wall=1.0, enough=zeros, carries=zeros.copy())

    cases = [
        case([0], lambda u: 0.5 + u[:, 0], lambda u: u[:, 0]),
        case([2, 0], lambda u: u[:, 0] + u[:, 1], lambda u: 0.2 + u[:, 0]),
    ]
    return cases, pipes._drawn(cases, 7, 3)


def test_counts_over_the_blocks_and_all_walls_at_once(monkeypatch):
    rng = np.random.default_rng(5)
    blocks = [rng.random((8, count, 3)) for count in (16, 16, 32)]
    cases, (trials, together, converged) = counted(monkeypatch, blocks)
    a, _, c = np.concatenate(blocks, axis=1).transpose(2, 0, 1)
    first, second = 0.5 + a <= 1, c + a <= 1
    assert trials == 8 * 64
    assert not converged
    assert cases[0].enough.tolist() == first.sum(axis=1).tolist()
    assert cases[0].carries.tolist() == [64] * 8
    assert cases[1].enough.tolist() == second.sum(axis=1).tolist()
    assert cases[1].carries.tolist() == (0.2 + c <= 1).sum(axis=1).tolist()
    both = (first & second).mean(axis=1)
    assert (together.chance, together.error) == pytest.approx((both.mean(), stats.sem(both)))


def test_trials_end_with_the_block_in_which_every_chance_is_known(monkeypatch):
    """Where no trial fails there is no scatter; the second block is not asked for."""
    blocks = [np.full((8, 16, 3), 0.25), np.full((8, 16, 3), 0.9)]
    cases, (trials, together, converged) = counted(monkeypatch, blocks)
    assert (trials, together.chance, converged) == (128, 1.0, True)
    assert cases[0].enough.tolist() == [16] * 8


def test_an_error_just_as_aimed_at_is_known_well_enough(monkeypatch):
    """In one scramble of eight the second wall fails in all points: the error is an eighth."""
    first = np.full((8, 16, 3), 0.25)
    first[0, :, 2] = 0.85
    for tolerance, trials, converged in ((0.125, 128, True), (0.1249, 256, False)):
        monkeypatch.setattr(pipes, "TOLERANCE", tolerance)
        _, found = counted(monkeypatch, [first, first])
        assert (found[0], found[1].error, found[2]) == (trials, 0.125, converged)


def test_the_figures_of_a_pipe_are_those_of_its_counts(monkeypatch):
    """Of 8 scrambles of 100: 6 fail in all, of which 2 by the loads; 0.2 in are 5.08 mm."""
    asked = []

    def index(model, walls, failing, trials):
        asked.append((walls.tolist(), int(failing), trials))
        return np.array([2.5]), np.array([True])

    monkeypatch.setattr(pipes, "index_of", index)
    studied = {}
    monkeypatch.setattr(
        pipes, "_study", lambda *given: studied.update(of=given) or (6.0, ("influence",), "known")
    )
    enough, carries = np.full(8, 100), np.full(8, 100)
    enough[:2], carries[0] = 97, 98
    case = Made(
        model=Made(basis=Made(system="US")),
        wall=0.2,
        enough=enough,
        carries=carries,
        result=Made(name="Trunk"),
    )
    found = pipes._chances(case, Wishes(), 800)
    assert asked == [([0.2], 2, 800)]
    assert studied["of"] == (case, Wishes())
    assert (found.name, found.wall, found.nominal) == ("Trunk", 5.08, 6.0)
    assert found.enough.chance == pytest.approx(794 / 800)
    assert found.without_factor.chance == pytest.approx(798 / 800)
    assert (found.index, found.by_trials) == (2.5, True)
    assert (found.influences, found.known) == (("influence",), "known")


# The model of pipes


def of_lines(monkeypatch, inputs, needed, outside=lambda found: (), fixed=()):
    """A model whose thickness is a function of the values that its lines are run with."""
    monkeypatch.setattr(model, "requirement", lambda basis: f"lines of {basis}")
    monkeypatch.setattr(model, "constants", lambda basis: fixed)
    monkeypatch.setattr(model, "outside_tables", lambda basis, found: outside(found))

    def run(lines, values):
        assert lines == "lines of basis"
        return needed(values)

    monkeypatch.setattr(model, "run", run)
    drawn = lambda shares, value, unit, kind: value * (1 + shares)  # noqa: E731
    uncertain = Made(key="H", name="cover", unit="ft", distribution=Made(quantiles=drawn))
    return Model("basis", inputs, (uncertain,))


SHARES = np.array([[[0.0], [0.5], [1.0]]])


def test_a_pipe_needs_what_its_worst_station_needs(monkeypatch):
    """Twice the cover drawn, of two stations: 10 and 20 ft of one pipe, 40 and 30 ft of another."""
    covers = {"H": np.array([[10.0, 20.0], [40.0, 30.0]]), "N": 2.0}
    thickness = lambda v: {"t_required": v["N"] * v["H"], "t_check": v["H"] + v["C"]}  # noqa: E731
    made = of_lines(monkeypatch, covers, thickness, fixed=(Made(key="C", value=5.0),))
    assert made.shape == (2, 2)
    assert made.required(SHARES).tolist() == [[40.0, 60.0, 80.0], [80.0, 120.0, 160.0]]
    # N is 1, and another thickness is asked for.
    bare = made.required(SHARES, True)
    assert bare.tolist() == [[20.0, 30.0, 40.0], [40.0, 60.0, 80.0]]
    assert made.required(SHARES, by="t_check")[0].tolist() == [25.0, 35.0, 45.0]


def test_no_thickness_is_enough_outside_a_table_or_where_there_is_no_number(monkeypatch):
    """Outside over 15 ft at the second station, and no number over 39 ft in a sum of covers."""
    covers = {"H": np.array([[10.0, 12.0]])}

    def thickness(v):
        return {"t_required": np.where(v["H"] > 23, np.nan, v["H"])}

    over = lambda found: [(None, None, found["t_required"] > 17, None)]  # noqa: E731
    made = of_lines(monkeypatch, covers, thickness)
    assert made.required(SHARES).tolist() == [[12.0, 18.0, np.inf]]
    made = of_lines(monkeypatch, covers, thickness, over)
    assert made.required(SHARES).tolist() == [[12.0, np.inf, np.inf]]


def test_numbers_alone_are_of_one_pipe_and_arrays_of_as_many_as_the_longest(monkeypatch):
    alone = of_lines(monkeypatch, {"H": 10.0}, lambda v: {"t_required": v["H"]})
    assert alone.shape == (1, 1)
    assert alone.required(SHARES).tolist() == [[10.0, 15.0, 20.0]]
    # What does not depend on what is drawn is the same in all trials.
    fixed = of_lines(monkeypatch, {"H": 10.0, "D": np.ones((2, 1))}, lambda v: {"t_required": 4.0})
    assert fixed.required(SHARES).tolist() == [[4.0] * 3] * 2


def test_the_index_of_a_pipe_is_the_least_of_its_checks_and_stations(monkeypatch):
    """ln t = m + z/2 needs e^m at the mean: a wall of e has the index 2 (1 - m)."""
    means = {"t_1": np.array([[0.5, 0.0], [-1.0, -0.5]]), "t_2": np.array([[0.2, 0.1], [0.3, 2.0]])}

    def required(self, shares, without_factor, by):
        assert without_factor
        return np.exp(self.inputs[by] + stats.norm.ppf(shares[..., 0]) / 2)

    monkeypatch.setattr(Model, "required", required)
    monkeypatch.setattr(
        model, "checks_of", lambda basis: (Made(required="t_1"), Made(required="t_2"))
    )
    found = model.reliability_index(Model("basis", means, (None,)), np.full(2, np.e))
    assert found == pytest.approx([1.0, -2.0], abs=2e-3)
    # Where nothing made would do, the wall is too thin without a number.
    endless = {"t_1": np.array([[np.inf]]), "t_2": 0.0}
    found = model.reliability_index(Model("basis", endless, (None,)), np.full(1, np.e))
    assert found.tolist() == [-np.inf]


def test_a_border_of_the_plane_is_met_at_once():
    """The first step ends on it, the second look confirms it; with no margin the index is 0."""
    asked = []
    border = plane([3.0, -4.0], [10.0, 2.0, 0.5])

    def margin(at):
        asked.append(at.shape)
        return border(at)

    assert _nearest(margin, 3, 2) == pytest.approx([2.0, 0.4, 0.1], abs=2e-3)
    # At the origin, about it, along the move in eight parts, and about its end.
    assert asked == [(3, 1, 2), (3, 5, 2), (3, 8, 2), (3, 5, 2)]
    assert str(_nearest(plane([3.0, -4.0], [0.0]), 1, 2)[0]) == "0.0"


def test_each_row_has_its_own_best_part_of_a_move():
    """Merits with a penalty of 0.6: 0.5 at 1, 0.125 + 0.3 at one half, 0.48 at a quarter."""
    margin = lambda at: 1.0 - at[..., 0]  # noqa: E731
    moves, penalty = np.array([[2.0], [2.0], [1.0]]), np.array([0.6, 100.0, 100.0])
    assert _best(margin, np.zeros((3, 1)), moves, penalty).tolist() == [[0.5], [1.0], [1.0]]


# Pipes of a project


def test_pipes_are_taken_one_by_one_and_those_with_legs_left_out(monkeypatch):
    """B has no uncertain input, C has legs; D shares its resin with A."""
    pipes_of = {name: Made(name=name) for name in "ABCD"}
    resins = {name: Made(name=f"resin of {name}") for name in "ABC"} | {
        "D": Made(name="resin of A")
    }
    town = Made(by_name=pipes_of, resin_of=lambda pipe: resins[pipe.name], faulty=None)
    results = [Made(name=name, task=f"task of {name}") for name in "ABCD"]
    of = {
        "A": (
            MODULUS := Made(name="flexural_modulus", key="E"),
            COVER := Made(name="cover", key="H"),
        ),
        "B": (),
        "D": (MODULUS,),
    }
    asked = {}

    def of_task(project, pipe, resin, task, usual):
        assert (project, resin, task) == (town, resins[pipe.name], f"task of {pipe.name}")
        assert usual
        return of[pipe.name]

    def drawn(cases, seed, columns):
        asked["drawn"] = (seed, columns)
        asked["cases"] = cases
        return 800, "together", "converged"

    unused = lambda project, tasks: asked.update(unused=(project, tasks))  # noqa: E731
    monkeypatch.setattr(pipes.inputs, "refuse_unused", unused)
    monkeypatch.setattr(pipes.inputs, "of_task", of_task)
    monkeypatch.setattr(
        pipes, "has_legs", lambda project, pipe: (project, pipe.name) == (town, "C")
    )
    monkeypatch.setattr(pipes, "of_task", lambda task, found: (task, found))
    monkeypatch.setattr(pipes, "_drawn", drawn)
    monkeypatch.setattr(pipes, "_chances", lambda case, wishes, trials: (case, wishes, trials))
    monkeypatch.setattr(pipes, "currencies", lambda resins: [each.name for each in resins])
    wishes = Wishes("usual", seed=5)
    found = pipes.pipes_under_uncertainty(town, results, wishes)
    first, second = asked["cases"]
    assert asked["unused"] == (town, [f"task of {name}" for name in "ABCD"])
    assert asked["drawn"] == (5, 2)
    assert (first.result, first.pipe, first.resin) == (results[0], pipes_of["A"], resins["A"])
    assert (first.model, first.columns) == (("task of A", of["A"]), [0, 1])
    assert (second.result, second.columns) == (results[3], [0])
    assert first.enough.tolist() == first.carries.tolist() == [0] * 8
    assert found == pipes.Found(
        wishes=wishes,
        pipes=((first, wishes, 800), (second, wishes, 800)),
        together="together",
        trials=800,
        converged="converged",
        drawn=(
            ("A", MODULUS, "resin of A"),
            ("A", COVER, "A"),
            ("D", MODULUS, "resin of A"),
        ),
        currency="resin of A, resin of A",
        left_out=("C",),
    )
    # Of some of the pipes alone, what others use is nobody's fault.
    asked.clear()
    pipes.pipes_under_uncertainty(town, results[:1], wishes)
    assert "unused" not in asked
    town.file_name = ""
    with pytest.raises(InputFaults) as caught:
        pipes.pipes_under_uncertainty(town, results[1:2], wishes)
    assert str(caught.value).startswith("the project: no uncertainty stated; add")
