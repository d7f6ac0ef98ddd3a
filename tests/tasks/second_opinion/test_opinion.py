"""What a second opinion asks of the model, and what it makes of its answers; nothing is solved."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.creep import POWER, TEST, Law
from linerdesign.methods.ring.lasting import Lasting
from linerdesign.methods.ring.path import NoEquilibriumError
from linerdesign.methods.ring.strength import Demand, Limit, Required
from linerdesign.tasks.second_opinion import opinion as opinions
from linerdesign.tasks.second_opinion import study, time
from linerdesign.tasks.second_opinion.opinion import Assumed
from linerdesign.tasks.second_opinion.time import Creeping, in_time

E_PLANE = 125_000 / (1 - 0.3**2)
SHARED = {"nu": 0.3, "E": 250_000.0, "r_E": 50.0, "E_L": 125_000.0, "N": 2.0, "sigma_L": 2250.0}


def result(*stations, thickness=1.0, name="Trunk", shared=SHARED, pressed=True):
    """A designed pipe whose stations have D, P and q; by default one without a name."""
    own = dict(stations or [(None, {"D": 48.0, "P": 5.0, "q": 2.0})])

    def value(key, station=None):
        found = own.get(station, {}).get(key)
        return found if found is not None else shared.get(key)

    return SimpleNamespace(
        name=name,
        value=value,
        stations=tuple(own),
        nominal_thickness=thickness,
        basis=SimpleNamespace(system="US", pressed_from_outside=pressed),
    )


THREE = (
    ("0 ft", {"D": 48.0, "P": 5.0, "q": 2.0}),
    ("9 ft", {"D": 50.0, "P": 6.0, "q": 3.0}),
    ("20 ft", {"D": 46.0, "P": 0.0, "q": 1.0}),
)


def test_a_place_has_its_own_values_and_german_practice_for_the_rest():
    """Gap 0.5 %, bulge 2 %, from memory; E* = E_L/(1 - nu^2); an ovality in percent is a share."""
    place = opinions.place_at(result(*THREE), "9 ft", Assumed())
    assert (place.station, place.diameter, place.demand) == ("9 ft", 50.0, 6.0)
    assert place.modulus == pytest.approx(E_PLANE)
    assert (place.strength, place.poisson) == (2250.0, 0.3)
    assert (place.ovality, place.gap, place.bulge) == (0.03, 0.005, 0.02)
    given = opinions.place_at(result(*THREE), "9 ft", Assumed(0.01, 0.03, 0.0))
    assert (given.gap, given.bulge, given.ovality) == (0.01, 0.03, 0.0)


def test_a_criterion_states_gap_and_bulge_in_percent():
    stated = {"gap": SimpleNamespace(number=1.5), "bulge": SimpleNamespace(number=2.5)}
    second = SimpleNamespace(given=stated)
    project = SimpleNamespace(criteria=SimpleNamespace(second_method=second))
    found = opinions.assumed_in(project, Assumed(ovality=0.04))
    assert (found.gap, found.imperfection, found.ovality) == (0.015, 0.025, 0.04)
    own = opinions.assumed_in(project, Assumed(gap=0.001, imperfection=0.002))
    assert (own.gap, own.imperfection) == (0.001, 0.002)
    none = SimpleNamespace(criteria=SimpleNamespace(second_method=None))
    assert opinions.assumed_in(none, Assumed()) == Assumed()


def model(monkeypatch, ratios, limit=Limit.STABILITY):
    """The model answers with a required dimension ratio for each diameter over thickness asked."""
    asked = []

    def found(case):
        asked.append(case)
        return SimpleNamespace(solution=case, converged=True, reason=None), None

    def required_ratio(solution, demand, least, most):
        asked.append((demand, least, most))
        ratio = ratios[len(asked) // 2 - 1]
        if ratio == "lost":
            raise NoEquilibriumError
        return Required(ratio, limit)

    monkeypatch.setattr(opinions, "_found", found)
    monkeypatch.setattr(opinions, "required_ratio", required_ratio)
    return asked


def places(**more):
    pipe = result(*THREE, **more)
    return [opinions.place_at(pipe, each, Assumed()) for each in pipe.stations], pipe


def test_the_thickest_wall_of_all_stations_is_required(monkeypatch):
    """48/40 = 1.2 and 50/45 = 1.11: the first; nothing presses at the third."""
    asked = model(monkeypatch, [40.0, 45.0])
    found, failed = opinions._required(*places())
    assert (found.dimension_ratio, failed) == (40.0, None)
    (demand, least, most) = asked[1]
    assert demand.pressure == pytest.approx(5 / E_PLANE)
    assert demand.strength == pytest.approx(2250 / E_PLANE)
    assert (demand.safety_factor, least, most) == (2.0, 10.0, 150.0)
    assert len(asked) == 4
    # 50/41 is more than 48/40.
    model(monkeypatch, [40.0, 41.0])
    assert opinions._required(*places())[0].dimension_ratio == 41.0
    # No wall at all is more than any.
    model(monkeypatch, [40.0, None])
    assert opinions._required(*places())[0].dimension_ratio is None
    # Of two that require the same, either; where nothing presses, none.
    every, pipe = places()
    asked = model(monkeypatch, [40.0, 40.0])
    found, failed = opinions._required([every[0], replace(every[0], demand=0.5)], pipe)
    assert (found.dimension_ratio, failed, len(asked)) == (40.0, None, 4)
    assert opinions._required(every[2:], pipe) == (None, None)


def test_a_wall_outside_the_range_is_asked_about_at_its_end(monkeypatch):
    for thickness, ratio in ((48 / 200, 150.0), (48 / 5, 10.0), (1.0, 48.0)):
        asked = model(monkeypatch, [40.0, 45.0])
        opinions._required(*places(thickness=thickness))
        assert asked[0].dimension_ratio == ratio
    model(monkeypatch, [40.0, "lost"])
    found, failed = opinions._required(*places())
    assert found is None
    assert failed.code == "ring.no_thickness"
    why = object()
    monkeypatch.setattr(opinions, "_found", lambda case: (None, why))
    assert opinions._required(*places()) == (None, why)


def test_the_worst_station_has_the_least_factor_or_no_number(monkeypatch):
    """Pressures that the stations bear, over those asked: 9/5, 9.6/6, and no demand."""
    least = {48.0: 9.0, 50.0: 9.6, 46.0: 9.0}
    monkeypatch.setattr(
        opinions, "_found", lambda case: (SimpleNamespace(solution=case, converged=True), None)
    )

    def resistance(case, demand):
        # All that the wall carries: no design pressure, and no factor on it.
        assert demand == Demand(0.0, 1.0, pytest.approx(2250 / E_PLANE))
        return SimpleNamespace(pressure=least[round(case.dimension_ratio)])

    monkeypatch.setattr(opinions, "resistance", resistance)
    every, pipe = places()
    margins = [opinions._margin(each, pipe) for each in every]
    assert [each for each, _ in margins] == pytest.approx([-5 / 9, -6 / 9.6, 0.0])
    assert [each for _, each in margins] == [9.0, 9.6, 9.0]
    assert min(margins) == margins[1]
    monkeypatch.setattr(opinions, "_found", lambda case: (None, None))
    assert opinions._margin(every[0], pipe) == (-math.inf, 0.0)
    assert opinions._margin(every[0], result()) == (0.0, 0.0)


def test_effects_change_one_imperfection_at_a_time(monkeypatch):
    """Each carried over from the case as it is; with all changed, from the one without a gap."""
    known = Case(40.0, 0.005, 0.03, 0.02)
    carried = []

    def nearby(near, limit, case):
        carried.append((near, limit, case))
        if case.imperfection == 0.001 and case.gap:
            raise NoEquilibriumError
        return SimpleNamespace(pressure=1e-4 * len(carried))

    monkeypatch.setattr(opinions, "limit_nearby", nearby)
    limit = SimpleNamespace(pressure=5e-5)
    found = opinions._effects(SimpleNamespace(case=known, limit=limit))
    assert [name for name, _ in found] == ["no_gap", "round", "small_bulge", "all_changed"]
    # K = p (DR - 1)^3/2.
    factors = [K for _, K in found]
    assert factors[2] is None
    assert [factors[0], factors[1], factors[3]] == pytest.approx(
        [each * 1e-4 * 39**3 / 2 for each in (1, 2, 4)]
    )
    cases = [case for _, _, case in carried]
    assert cases == [
        replace(known, gap=0.0),
        replace(known, ovality=0.0),
        replace(known, imperfection=0.001),
        replace(known, gap=0.0, ovality=0.0, imperfection=0.001),
    ]
    assert [near for near, _, _ in carried] == [known, known, known, cases[0]]
    assert carried[3][1].pressure == pytest.approx(1e-4)
    # What is not there is not taken away.
    perfect = SimpleNamespace(case=Case(40.0, 0.0, 0.0, 0.0005), limit=limit)
    assert opinions._effects(perfect) == ()
    oval = SimpleNamespace(case=Case(40.0, 0.0, 0.02, 0.0005), limit=limit)
    assert [name for name, _ in opinions._effects(oval)] == ["round", "all_changed"]


def asked_of_each_part(monkeypatch, pipe, found, reasons=(None, None, None)):
    """The opinion on a pipe of which each part answers with its own name, and what it was asked."""
    asked = {}

    def part(name, answer):
        def answered(*given):
            asked.setdefault(name, []).append(given)
            return answer

        monkeypatch.setattr(opinions, name, answered)

    monkeypatch.setattr(opinions, "place_at", lambda result, station, assumed: PLACES[station])
    margins = {"0 ft": 0.5, "9 ft": 0.1, "20 ft": 0.2}
    monkeypatch.setattr(opinions, "_margin", lambda place, result: margins[place.station])
    reason, stopped, failed = reasons
    part("_found", (found, reason))
    part("_strength", ("strength", stopped))
    part("_required", ("required", failed))
    part("_solved", "solved")
    part("_time", ("time", "untimed"))
    part("assumed_shares", "shares")
    part("steps_of", "steps")
    part("_effects", "effects")
    return asked


def test_an_opinion_is_on_the_worst_station_and_holds_what_each_part_found(monkeypatch):
    pipe = result(*THREE, thickness=1.5)
    found = SimpleNamespace(converged=True, solution="path")
    asked = asked_of_each_part(monkeypatch, pipe, found)
    assumed = SimpleNamespace(creeping="creeping")
    made = opinions.second_opinion(pipe, assumed)
    worst = PLACES["9 ft"]
    assert (made.result, made.place, made.assumed) == (pipe, worst, assumed)
    assert (made.steps, made.found, made.reason) == ("steps", found, None)
    assert (made.strength, made.required, made.effects) == ("strength", "required", "effects")
    assert (made.time, made.untimed) == ("time", "untimed")
    assert asked == {
        "_found": [(("9 ft", 1.5),)],
        "_strength": [(worst, found)],
        "_required": [(list(PLACES.values()), pipe)],
        "_solved": [(worst, found, "strength", "required")],
        "_time": [(worst, found, pipe, "creeping")],
        "assumed_shares": [(assumed, worst)],
        "steps_of": [(pipe, "9 ft", "shares", "solved")],
        "_effects": [("path",)],
    }
    for reasons, first in (
        (("a", "b", "c"), "a"),
        ((None, "b", "c"), "b"),
        ((None, None, "c"), "c"),
    ):
        for lost in (None, SimpleNamespace(converged=False, solution="path")):
            asked_of_each_part(monkeypatch, pipe, lost, reasons)
            made = opinions.second_opinion(pipe, assumed)
            assert (made.reason, made.effects) == (first, ())


PLACES = {
    station: SimpleNamespace(station=station, case=lambda thickness, at=station: (at, thickness))
    for station, _ in THREE
}


def test_the_model_is_asked_only_within_its_ranges(monkeypatch):
    asked = []

    def collapse(*given):
        asked.append(given)
        return SimpleNamespace(reason="why")

    monkeypatch.setattr(opinions, "collapse", collapse)
    found, why = opinions._found.__wrapped__(Case(40.0, 0.005, 0.03, 0.02, 0.35))
    assert (found.reason, why) == ("why", "why")
    # Ratio, gap, ovality, bulge and Poisson's ratio.
    assert asked == [(40.0, 0.005, 0.03, 0.02, 0.35)]
    found, why = opinions._found.__wrapped__(Case(200.0, 0.005, 0.03, 0.02, 0.35))
    assert (found, why.code) == (None, "ring.dimension_ratio_outside")
    assert len(asked) == 1


def test_nothing_is_said_of_a_pipe_that_nothing_presses_from_outside():
    assert opinions.second_opinion(result(pressed=False), Assumed()) is None


# Time


def follow(monkeypatch, collapses, carried=None):
    asked = []

    def held(known, pressure, law, until, growth):
        asked.append((pressure, law, until, growth))
        collapse = collapses[len(asked) - 1]
        if collapse == "lost":
            raise ArithmeticError
        return Lasting(np.zeros(1), np.zeros(1), np.zeros((1, 2)), collapse)

    monkeypatch.setattr(time, "held", held)
    monkeypatch.setattr(time, "lasting_pressure", lambda *given: asked.append(given) or carried)
    return asked


def test_a_wall_is_followed_under_n_times_the_pressure_and_then_under_it(monkeypatch):
    """Pressures are over the initial modulus: half of them over the long-term one. A
    year has 8,760 h."""
    asked = follow(monkeypatch, [8760.0, 17520.0], 2e-5)
    found, why = in_time("path", Creeping(growth=0.001, search=True), 0.5, 4e-5, 2.0)
    assert why is None
    twice, once, sought = asked
    assert (twice[0], once[0]) == pytest.approx((4e-5, 2e-5))
    law = Law(retention=0.5)
    assert twice[1:] == once[1:] == (law, None, 0.001)
    assert sought == ("path", law, 0.001)
    assert (found.collapse_n, found.collapse) == (1.0, 2.0)
    assert found.pressure == pytest.approx(4e-5)
    assert (found.growth, found.life, found.beyond) == (0.001, 50.0, 500.0)
    # What holds under N P holds under P.
    asked = follow(monkeypatch, [None])
    found, _ = in_time(None, Creeping(), 0.5, 4e-5, 2.0)
    assert (found.collapse, found.collapse_n, found.pressure) == (None, None, None)
    assert len(asked) == 1
    # The gap grows by nothing where nothing is said.
    assert asked[0][3] == 0.0


def test_without_creep_or_pressure_there_is_no_time(monkeypatch):
    """A wall that keeps 99.9 % does not creep; the curve of a test has its own retention."""
    follow(monkeypatch, [None, None])
    assert in_time(None, Creeping(), 0.5, 0.0, 2.0) == (None, None)
    assert in_time(None, Creeping(), 0.999, 1e-5, 2.0)[1].code == "ring.no_creep"
    assert in_time(None, Creeping(), 0.998, 1e-5, 2.0)[1] is None
    test = Law(TEST, 0.7, curve=((1.0, 1.0), (1000.0, 0.7)))
    assert in_time(None, Creeping(test), 0.999, 1e-5, 2.0)[0].law.retention == 0.7
    assert Creeping().law.kind == POWER
    follow(monkeypatch, ["lost"])
    assert in_time(None, Creeping(), 0.5, 1e-5, 2.0)[1].code == "ring.no_time"


# Many pipes by table


def test_a_row_is_that_of_the_worst_station(monkeypatch):
    """Pressures over E*: 9/5 and 9.6/6 of the demand, and a station that nothing presses on."""
    asked = []

    def tabled(*columns):
        asked.extend(columns)
        collapse = np.array([9.0, 9.6, 1.0]) / E_PLANE
        return SimpleNamespace(collapse=collapse, first=np.array([np.inf, 12 / E_PLANE, np.nan]))

    monkeypatch.setattr(study, "tabled", tabled)
    pipes = [result(*THREE, thickness=2.0), result(pressed=False, name="dry")]
    (row,) = study.rows_of(pipes, Assumed())
    assert (row.name, row.place.station, row.ratio) == ("Trunk", "9 ft", 25.0)
    assert (row.collapse, row.first) == pytest.approx((9.6, 12.0))
    assert row.safety == pytest.approx(1.6)
    ratio, gap, ovality, bulge, poisson, strength = asked
    assert ratio.tolist() == [24, 25, 23]
    assert ovality == pytest.approx([0.02, 0.03, 0.01])
    assert (set(gap), set(bulge), set(poisson)) == ({0.005}, {0.02}, {0.3})
    assert strength == pytest.approx([2250 / E_PLANE] * 3)
    assert study.rows_of(pipes[1:], Assumed()) == ()
    # Of stations alike the first.
    twins = result(("0 ft", THREE[1][1]), ("9 ft", THREE[1][1]), THREE[2], thickness=2.0)
    equal = SimpleNamespace(collapse=np.array([9.6, 9.6, 1.0]), first=np.full(3, np.inf))
    monkeypatch.setattr(study, "tabled", lambda *columns: equal)
    assert study.rows_of([twins], Assumed())[0].place.station == "0 ft"
    data = study.study_data([row], "US")["pipes"][0]
    assert data["dimension_ratio"] == 25.0
    assert data["pressure_asked"] == {"value": 6.0, "unit": "psi"}
    assert data["collapse_pressure"]["value"] == pytest.approx(9.6)
    assert data["first_strength_pressure"]["value"] == pytest.approx(12)
    assert (data["station"], data["safety_factor"]) == ("9 ft", pytest.approx(1.6))
    _, text, table = study.study_blocks([row, replace(row, first=None)], "US")
    assert table.rows[0] == ("Trunk", "25", "6", "9.6", "12", "1.60")
    assert table.rows[1][4] == "-"
    assert "elastic collapse 1 % at most; with first strength 3 % in 95 of 100, 8 %" in text.text
    assert "0.25 to 0.35" in text.text


def test_time_takes_the_retention_of_the_design(monkeypatch):
    """125,000 of 250,000 psi; 5 psi over E*."""
    asked = []
    monkeypatch.setattr(opinions, "in_time", lambda *given: asked.append(given) or (None, None))
    found = SimpleNamespace(converged=True, solution="path")
    place = opinions.place_at(result(), None, Assumed())
    assert opinions._time(place, found, result(), "creeping") == (None, None)
    path, creeping, retention, pressure, safety = asked[0]
    assert (path, creeping, retention, safety) == ("path", "creeping", 0.5, 2.0)
    assert pressure == pytest.approx(5 / E_PLANE)
    assert opinions._time(place, None, result(), "creeping") == (None, None)
    lost = SimpleNamespace(converged=False)
    assert opinions._time(place, lost, result(), "creeping") == (None, None)
    assert len(asked) == 1


def test_numbers_of_the_model_are_in_the_unit_of_the_sheet():
    """Over E*: 4e-5, 3e-5 and 0.02 of 125,000/(1 - 0.3^2) psi; none where there is none."""
    place = opinions.place_at(result(), None, Assumed())
    strength = SimpleNamespace(first=3e-5, at_design=0.02)
    required = Required(40.0, Limit.STABILITY)
    made = opinions._solved(place, SimpleNamespace(pressure_ratio=4e-5), strength, required)
    found = (made.collapse, made.first_strength, made.stress_at_design)
    assert found == pytest.approx([each * E_PLANE for each in (4e-5, 3e-5, 0.02)])
    assert made.required_ratio == 40.0
    none = opinions._solved(place, None, None, None)
    assert none.collapse is none.first_strength is none.stress_at_design is None
    assert none.required_ratio is None


def test_strength_is_asked_of_a_path_under_the_design_pressure(monkeypatch):
    asked = []
    monkeypatch.setattr(opinions, "strength_of", lambda *given: asked.append(given) or "strength")
    place = opinions.place_at(result(), None, Assumed())
    found = SimpleNamespace(converged=True, solution="path")
    assert opinions._strength(place, found) == ("strength", None)
    path, strength, pressure = asked[0]
    assert path == "path"
    assert strength == pytest.approx(2250 / E_PLANE)
    assert pressure == pytest.approx(5 / E_PLANE)
    for other, there in (
        (place, None),
        (place, SimpleNamespace(converged=False)),
        (replace(place, strength=None), found),
    ):
        assert opinions._strength(other, there) == (None, None)

    def lost(*given):
        raise NoEquilibriumError

    monkeypatch.setattr(opinions, "strength_of", lost)
    assert opinions._strength(place, found)[1].code == "ring.no_equilibrium"
