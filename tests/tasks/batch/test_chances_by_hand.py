"""Chances of rows on models whose answer is known, and what may be uncertain of an inventory."""

from dataclasses import dataclass
from types import SimpleNamespace as Made

import numpy as np
import pytest

from linerdesign.project.columns import CHANCE, INDEX
from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse
from linerdesign.tasks.batch import chances, pieces
from linerdesign.tasks.batch.chances import _chances, _chunks, refuse_unused
from linerdesign.tasks.uncertainty import sampling
from linerdesign.tasks.uncertainty.pipes import Wishes

WALLS = np.array([2.0, 2.0, 1.0])


@dataclass
class Sum:
    """Walls that need `more` and the first share; without the safety factor a half less."""

    inputs: dict
    uncertain: tuple = (None, None)

    def required(self, points, without_factor):
        assert points.shape[0] == 1
        less = 0.5 if without_factor else 0.0
        return self.inputs["more"] * self.inputs["twice"] + points[..., 0] - less


def drawn(monkeypatch, blocks, more, tolerance=0.005):
    asked, told = [], []

    def made(*given):
        asked.append(given)
        yield from blocks

    def index(model, walls, failing, trials):
        told.append((walls.tolist(), failing.tolist(), trials.tolist()))
        return failing / trials, None

    monkeypatch.setattr(chances, "TOLERANCE", tolerance)
    monkeypatch.setattr(sampling, "blocks", made)
    monkeypatch.setattr(chances, "index_of", index)
    found = _chances(Sum({"more": np.array(more)[:, None], "twice": 2.0}), WALLS, Wishes(seed=9))
    assert asked == [(9, 2, 512, 64)]
    return found, told


def blocks():
    rng = np.random.default_rng(4)
    return [rng.random((8, count, 2)) for count in (16, 16, 32)]


def test_only_rows_whose_chance_scatters_have_further_trials(monkeypatch):
    """The first wall always holds, the last never; that in between by its share, counted here."""
    made = blocks()
    (chance, index), ((walls, failing, trials),) = drawn(monkeypatch, made, [0.25, 0.75, 0.9])
    shares = np.concatenate([each[..., 0] for each in made], axis=1)
    assert walls == WALLS.tolist()
    assert trials == [128, 8 * 64, 128]
    assert chance.tolist() == [1.0, np.mean(1.5 + shares <= 2), 0.0]
    # Without the factor it holds for every share, and the last for those under a fifth ...
    assert failing == [0, 0, 128]
    assert index.tolist() == [0, 0, 1.0]


def test_trials_end_where_every_row_is_known(monkeypatch):
    """The error of a share that is one in each scramble is none; the next block is not drawn."""

    def two():
        yield np.full((8, 16, 2), 0.25)
        raise AssertionError

    (chance, _), ((_, failing, trials),) = drawn(monkeypatch, two(), [0.25, 0.75, 0.9])
    assert (chance.tolist(), trials) == ([1.0, 1.0, 0.0], [128, 128, 128])
    # 1.8 + 0.25 - 0.5 is over 1.
    assert failing == [0, 0, 128]


def test_an_error_just_as_aimed_at_is_enough(monkeypatch):
    """In one scramble of eight all 16 points pass, in the others none: mean 1/8, error 1/8."""
    first = np.full((8, 16, 2), 0.75)
    first[0] = 0.25
    for tolerance, trials in ((0.125, 128), (0.1249, 256)):
        _, ((_, _, found),) = drawn(monkeypatch, [first, first], [0.75, 0.75, 0.9], tolerance)
        assert found == [trials, trials, 128]


def test_rows_are_worked_out_as_many_as_memory_holds():
    """524,288 designs of 8 scrambles of 512 points: 128 rows at a time."""
    assert list(_chunks(300)) == [slice(0, 128), slice(128, 256), slice(256, 384)]
    assert list(_chunks(128)) == [slice(0, 128)]
    assert list(_chunks(0)) == []


def test_rows_of_several_chunks_each_have_their_own_chance(monkeypatch):
    """Arrays are cut with the rows, numbers are not; without an uncertain input there is none."""
    task = Made(basis=Made(system="US"), stations=[Made(inputs=())])
    project, resin = Made(uncertainty={}), None
    seen = []

    def of_chunk(model, walls, wishes):
        seen.append({key: np.asarray(value).tolist() for key, value in model.inputs.items()})
        return walls / 10, -walls

    monkeypatch.setattr(chances, "DESIGNS", 2 * 8 * 512)
    monkeypatch.setattr(chances.inputs, "of_resin", lambda resin: {})
    monkeypatch.setattr(chances, "keys_read", lambda basis: {"h"})
    monkeypatch.setattr(chances, "_chances", of_chunk)
    monkeypatch.setattr(chances, "Model", lambda basis, rows, found: Made(inputs=rows))
    values = {"h": np.array([1.0, 2.0, 3.0]), "K": 7.0}
    walls = np.array([4.0, 5.0, 6.0])

    def found(*uncertain):
        monkeypatch.setattr(chances.inputs, "uncertainties", lambda *given: uncertain)
        return chances.chances_of_rows(project, resin, task, values, walls, Wishes())

    # What the calculation does not read is not uncertain.
    chance, index = found(Made(key="other"))
    assert np.isnan([chance, index]).all()
    assert (chance.shape, index.shape) == ((3,), (3,))
    assert seen == []
    chance, index = found(Made(key="other"), Made(key="h"))
    assert (chance.tolist(), index.tolist()) == ([0.4, 0.5, 0.6], [-4.0, -5.0, -6.0])
    assert seen == [{"h": [[1.0], [2.0]], "K": 7.0}, {"h": [[3.0]], "K": 7.0}]


def test_chances_stand_in_percent_beside_the_rows_that_have_a_wall(monkeypatch):
    """To four decimals; nothing where an index is beyond what is told, or a row has no wall."""
    asked = []

    def of_rows(*given):
        asked.append(given)
        return np.array([0.12345678, 1.0]), np.array([2.123456, np.inf])

    monkeypatch.setattr(chances, "chances_of_rows", of_rows)
    sizer = pieces.Sizer("header", "project", "US", uncertainty="wishes")
    sized = pieces.Sized.empty(6)
    sized.further = {name: np.full(6, np.nan) for name in (CHANCE, INDEX)}
    values = {"h": np.array([[1.0], [2.0], [3.0]]), "K": 7.0}
    designs = Made(nominal=np.array([4.0, 5.0, 6.0]))
    good = np.array([True, False, True])
    known = Made(task="task", resin="resin")
    sizer._put_chances(known, values, designs, np.array([5, 1, 3]), good, sized)
    ((project, resin, task, some, walls, wishes),) = asked
    assert (project, resin, task, wishes) == ("project", "resin", "task", "wishes")
    assert ({key: np.asarray(each).tolist() for key, each in some.items()}) == {
        "h": [[1.0], [3.0]],
        "K": 7.0,
    }
    assert walls.tolist() == [4.0, 6.0]
    none = [np.nan] * 3
    np.testing.assert_equal(sized.further[CHANCE], [*none, 100.0, np.nan, 12.3457])
    np.testing.assert_equal(sized.further[INDEX], [*none, np.nan, np.nan, 2.1235])


RESIN = '[[resin]]\nname = "felt"\nflexural_modulus = "1700 MPa"\nflexural_strength = "31 MPa"\n'


def refused(text, columns=(), usual=False, resin=RESIN):
    project = parse(
        f'[project]\ntitle = "Harrowmere"\nunits = "SI"\n{resin}{text}'.encode(), needs_pipes=False
    )
    try:
        refuse_unused(project, columns, usual)
    except InputFaults as found:
        return [str(each) for each in found.faults]
    return []


@pytest.mark.parametrize(
    ("stated", "columns"),
    [
        ('cover = "0.3 m"', ("cover",)),
        # What a resin has, and prices.
        ('flexural_modulus = "10 %"', ()),
        ('modulus_retention = "5 %"', ()),
        ('price = "10 %"', ()),
    ],
)
def test_an_uncertainty_needs_a_column_a_default_or_the_resin(stated, columns):
    assert refused(f"[uncertainty]\n{stated}\n", columns) == []


def test_every_uncertainty_without_a_value_is_refused_with_its_place():
    text = '[uncertainty]\ncover = "0.3 m"\nhost_diameter = "2 %"\nhole_diameter = "10 %"\n'
    first, second = refused(text, ("host_diameter",))
    said = "no column and no default gives such a value; remove the key ([uncertainty], line {})"
    assert first == f"cover 0.3 m: {said.format(9)}"
    assert second == f"hole_diameter 10 %: {said.format(11)}"
    # A default of the criteria gives it to every row.
    defaults = '[criteria.defaults]\ncover = "3 m"\n'
    assert len(refused(text + defaults, ("host_diameter",))) == 1


def test_where_nothing_is_uncertain_the_usual_must_be_asked_for():
    (told,) = refused("")
    assert "no uncertainty stated" in told
    assert refused("", usual=True) == []
    # A resin may state one, or a range, which is one.
    assert refused("", resin=RESIN + 'uncertainty = { modulus_retention = "5 %" }\n') == []
    ranged = RESIN.replace('"1700 MPa"', '"1500 MPa to 1700 MPa"')
    assert refused("", resin=ranged) == []
    text = '[uncertainty]\ncover = "0.3 m"\n'
    assert len(refused(text)) == len(refused(text, usual=True)) == 1
