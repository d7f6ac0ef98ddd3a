"""Designs on arrays with the axes pipe and station, against the equations pipe by pipe."""

import numpy as np
import pytest

from linerdesign.expressions.tracing import Traced
from linerdesign.expressions.tree import Symbol, Table
from linerdesign.findings import Severity, finding
from linerdesign.methods.basis import FULLY, Basis
from linerdesign.methods.engine import Values, Watched, calculation, design
from linerdesign.methods.raised import Raised

GRAVITY = {"method": "f1216"}
SOIL = GRAVITY | {"condition": FULLY, "edition": "F1216-07b"}
STEP = 0.0590551
GIVEN = {
    **{"D": 48.0, "q_pipe": 2.0, "q_floor": 0.0, "E": 250_000.0, "r_E": 50.0, "sigma": 4500.0},
    **{"r_sigma": 50.0, "nu": 0.3, "N": 2.0, "K": 7.0, "DR_max": 100.0, "t_floor": 0.0, "s": STEP},
}
BURIED = {"w": 120.0, "E_s": 1000.0, "W_s": 0.35, "H": 16.0}
# Groundwater in ft over the invert: two pipes of three stations.
HEADS = np.array([[1.0, 12.0, 6.0], [0.0, 2.0, 4.0]])


def needed(head):
    """X1.1 solved for t and the DR limit, for the pipe above; X1.2 asks for less there."""
    C = ((1 - 0.02) / (1 + 0.02) ** 2) ** 3
    with np.errstate(divide="ignore"):
        root = np.cbrt(2 * 7 * 125_000 * C / ((1 - 0.3**2) * 2 * 0.433 * head))
    return np.maximum(48 / (1 + root), 0.48)


def test_each_pipe_has_one_wall_and_each_station_its_own_numbers():
    made = design(Basis(**GRAVITY), GIVEN | {"h_invert": HEADS})
    assert made.shape == (2, 3)
    required = needed(HEADS)
    assert made.array("t_required") == pytest.approx(required, rel=1e-9)
    walls = np.ceil(required.max(axis=1) / STEP) * STEP
    assert made.of_pipes("t") == pytest.approx(walls)
    assert made.array("t") == pytest.approx(np.broadcast_to(walls[:, None], (2, 3)))
    assert made.array("DR")[:, 2] == pytest.approx(48 / walls)
    assert made.of_pipes("thickest") == pytest.approx(required.max(axis=1))
    assert made.of_pipes("status_of_pipe").tolist() == ["sized", "sized"]
    words = ("fails", "outside the method", "sized")
    assert made.coded("status_of_pipe", words).tolist() == [2, 2]
    assert made.coded("status_of_pipe", words).dtype == np.int8
    assert made.basis == Basis(**GRAVITY)
    assert {"t", "t_required", "P", "D"} <= set(made.quantities)
    assert not set(made.quantities) & made.calculation.verdicts.keys()
    assert np.all(made.finite)
    assert made.refusing == ()
    assert list(made.raised()) == []


@pytest.mark.parametrize(
    ("heads", "shape"), [(12.0, (1, 1)), (HEADS[0], (1, 3)), (HEADS[:, :1], (2, 1))]
)
def test_numbers_that_all_share_need_no_axes(heads, shape):
    made = design(Basis(**GRAVITY), GIVEN | {"h_invert": heads})
    assert made.shape == shape
    assert made.array("t").shape == shape
    expected = np.ceil(np.max(needed(np.reshape(heads, shape)), axis=1) / STEP) * STEP
    assert made.of_pipes("t") == pytest.approx(expected)


def test_a_wall_given_is_checked_and_none_chosen():
    basis = Basis(**GRAVITY, thickness_given=True)
    thin = design(basis, GIVEN | {"h_invert": 12.0, "t": np.array([[0.8], [1.0]])})
    assert thin.of_pipes("t").tolist() == [0.8, 1.0]
    assert thin.of_pipes("status_of_pipe").tolist() == ["fails", "checked"]
    assert "n_steps" not in thin.quantities


def test_inputs_that_give_no_finite_thickness():
    """1 - nu^2 is nothing at nu = 1: only a dry pipe, which X1.1 does not concern, has a wall.

    Without a head neither X1.1 nor the limit of a dry pipe applies, and nothing is asked for.
    """
    basis = Basis(**GRAVITY, dry_case=False)
    heads = np.array([[6.0, 6.0], [6.0, 0.0], [0.0, 0.0], [6.0, 6.0], [6.0, np.nan]])
    ratios = np.array([[0.3, 0.3], [0.3, 1.0], [1.0, 1.0], [0.3, 1.0], [0.3, 0.3]])
    made = design(basis, GIVEN | {"h_invert": heads, "nu": ratios})
    assert made.finite.tolist() == [True, True, True, False, False]


def test_ranges_outside_which_nothing_can_be_found_refuse():
    """The table of H-20 in psi begins at 1 ft of cover; E' by depth ends at 20 ft."""
    basis = Basis(
        **SOIL,
        cover=("H",),
        live_load="H-20 table",
        live_load_table="in psi",
        soil_by_depth=("coarse with fines", "90 %"),
    )
    given = {key: value for key, value in (GIVEN | BURIED).items() if key not in ("W_s", "E_s")}
    covers = {"in": (16.0, 1.0), "shallow": (16.0, 0.9), "deep": (20.1, 16.0)}
    refusals = {}
    for name, cover in covers.items():
        made = design(basis, given | {"h_invert": 3.0, "H": np.array([[each] for each in cover])})
        refusals[name] = [each.limit.refuses for each in made.refusing]
        left = [(np.ravel(made.values[each.key])).tolist() for each in made.refusing]
        assert left == {"in": [], "shallow": [[False, True]], "deep": [[True, False]]}[name]
    assert refusals == {"in": [], "shallow": ["W_s"], "deep": ["E_s"]}


def test_what_is_found_in_the_numbers():
    """A retention of 60 %, over the usual 50, where there is water; no listed size is enough."""
    basis = Basis(**GRAVITY, sizes=Table("sizes", (0.5, 0.7), (0.5, 0.7), "invented"))
    retained = np.array([[50.0], [60.0]])
    made = design(basis, GIVEN | {"h_invert": HEADS, "r_E": retained})
    high, short = made.raised()
    assert (high.code, high.severity) == ("f1216.high_modulus_retention", Severity.CAUTION)
    assert high.where.tolist() == [3 * [False], [False, True, True]]
    (left,) = (each.key for each in made.calculation.ranges if each.limit.code == high.code)
    assert high.key == left
    assert not high.of_pipe
    assert (short.code, short.of_pipe, short.key) == ("design.no_listed_thickness", True, "")
    # 12 ft of water ask for 0.88 in of the first, 4 ft for 0.59 in of the second.
    assert made.of_pipes("no_size").tolist() == [True, False]
    assert np.broadcast_to(short.where, made.shape)[:, 0].tolist() == [True, False]
    waived = design(basis, GIVEN | {"h_invert": 4.0, "r_E": 60.0}, frozenset({"evidence"}))
    assert list(waived.raised()) == []


def test_a_verdict_is_worked_out_when_it_is_first_read():
    known = Values({"D": 8.0}, {"half": (Traced(Symbol("D")) / 2).node})
    assert "half" not in known
    assert known["half"] == 4.0
    assert known["half"] == dict(known)["half"]
    with pytest.raises(KeyError, match="more"):
        known["more"]


def test_what_else_is_watched_has_a_verdict_of_its_own():
    """The second list is numbered from the first again; findings of one code differ by subject."""
    made = calculation(Basis(**GRAVITY), frozenset(), frozenset({"q"}))
    assert made.watching([]) is made
    wide, long = (Traced(Symbol(key)) > 5 for key in ("D", "L"))
    about = [
        Raised("floors.below", wide, {"subject": "width"}),
        Raised("floors.below", long, {"subject": "length"}),
    ]
    more = made.watching(about)
    assert [each.key for each in more.watched] == ["watched_0", "watched_1"]
    values = Values({"D": 6.0, "L": 4.0}, more.verdicts)
    assert [bool(values[each.key]) for each in more.watched] == [True, False]
    assert made.at_station.keys() < more.at_station.keys()
    first, second = more.watched
    for each, mine, other in ((first, "width", "length"), (second, "length", "width")):
        assert each.is_of(finding("floors.below", subject=mine))
        assert not each.is_of(finding("floors.below", subject=other))
        assert not each.is_of(finding("floors.above", subject=mine))


def test_a_resin_of_listed_sizes_is_watched_for_a_thickness_that_none_reaches():
    sizes = Table("sizes", (0.5, 0.7), (0.5, 0.7), "invented")
    for basis, expected in ((Basis(**GRAVITY), []), (Basis(**GRAVITY, sizes=sizes), ["no_size"])):
        watched = calculation(basis, frozenset(), frozenset({"q"})).watched
        assert [each.key for each in watched] == expected
        assert all(isinstance(each, Watched) and each.raised.of_pipe for each in watched)
