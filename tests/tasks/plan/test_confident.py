"""The thickness for a confidence against the closed form of X1.1 under one uncertain head."""

import math

import numpy as np
import pytest
from scipy import stats
from tasks.uncertainty.test_plan import PROJECT, by_hand

from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse
from linerdesign.tasks.plan import confident
from linerdesign.tasks.plan.confident import with_confidence
from linerdesign.tasks.plan.request import Request, planned
from linerdesign.tasks.uncertainty import sampling
from linerdesign.tasks.uncertainty.pipes import Wishes

HEAD = 'groundwater_above_invert = "normal, sd 2 ft"'
OTHER = '[[resin]]\nname = "stiff"\nflexural_modulus = "500000 psi"\nflexural_strength = "9 ksi"\n'


def made(uncertain=HEAD, waters=("8 ft", "14 ft"), diameters=("12 in",), more="", **terms):
    text = PROJECT.format(uncertain=uncertain).replace('"0.1 mm"', '"0.0001 mm"') + more
    resins = terms.pop("resins", [])
    asked = Request(None, resins, [], diameters, ["10 ft"], waters)
    read = parse(text.encode(), terms.pop("file", "p.toml"))
    return with_confidence(planned(read, asked, "US"), Wishes(**terms))


def nominal(plan):
    return [entry.confident for table in plan.tables for *_, entry in plan.cells(table)]


def test_all_points_there_are_where_the_error_stays_too_large(monkeypatch):
    """8 scrambles of 4,096 points, whose quantile is that of the head to a few millionths."""
    monkeypatch.setattr(confident, "TOLERANCE", 0.0)
    plan = made(confidence=0.9)
    assert (plan.drawn.trials, plan.drawn.converged) == (8 * 4096, False)
    heads = [head + 2 * stats.norm.ppf(0.9) for head in (8.0, 14.0)]
    assert nominal(plan) == pytest.approx([by_hand(head) for head in heads], rel=2e-4)
    assert len(plan.drawn.inputs) == 1


@pytest.mark.parametrize(("error", "blocks"), [(1.0, 1), (1.01, 4)])
def test_points_are_drawn_until_the_error_is_as_small_as_aimed_at(monkeypatch, error, blocks):
    """512 points of each scramble at first, and as many again as there are in every block.

    The cell with the largest error counts.
    """
    errors = np.array([0.0, error]) * sampling.TOLERANCE
    monkeypatch.setattr(sampling, "error_of", lambda means: errors)
    plan = made(confidence=0.9)
    assert plan.drawn.converged is (blocks == 1)
    assert plan.drawn.trials == 8 * 512 * 2 ** (blocks - 1)


def test_the_error_is_that_of_the_share_of_trials_under_the_thickness(monkeypatch):
    """Of every scramble about nine in ten, and of all of them nine in ten."""
    seen = []
    error_of = sampling.error_of
    monkeypatch.setattr(sampling, "error_of", lambda means: seen.append(means) or error_of(means))
    made(confidence=0.9)
    for means in seen:
        assert means.shape == (sampling.SCRAMBLES, 2)
        assert means == pytest.approx(np.full(means.shape, 0.9), abs=0.02)
        # The thickness is that of a trial: no fewer than nine in ten are under it.
        assert means.mean(axis=0) == pytest.approx([0.9, 0.9], abs=2e-3)
        assert (means.mean(axis=0) >= 0.9).all()


def test_many_cells_are_drawn_in_parts(monkeypatch):
    """Each in its place, and as if it were alone."""
    waters = tuple(f"{n} ft" for n in range(8, 15))
    whole = nominal(made(waters=waters, confidence=0.9))
    assert len(waters) <= confident.CELLS
    monkeypatch.setattr(confident, "CELLS", 3)
    parts = made(waters=waters, confidence=0.9)
    assert nominal(parts) == pytest.approx(whole, rel=3e-3)
    assert nominal(parts) == sorted(nominal(parts))
    monkeypatch.setattr(confident, "TOLERANCE", 0.0)
    assert not made(waters=waters, confidence=0.9).drawn.converged


def test_a_part_whose_error_stays_too_large_counts_for_all(monkeypatch):
    """Of two parts the first is not known well enough, the second is."""
    errors = iter([1.0] * 4 + [0.0])
    monkeypatch.setattr(sampling, "error_of", lambda means: np.full(1, next(errors)))
    monkeypatch.setattr(confident, "CELLS", 1)
    plan = made(confidence=0.9)
    assert (plan.drawn.converged, plan.drawn.trials) == (False, 8 * 4096)


def test_a_resin_without_anything_uncertain_keeps_its_walls():
    """Its modulus alone is uncertain: of the other resin nothing is."""
    own = '[resin.uncertainty]\nflexural_modulus = "400 ksi to 600 ksi"\n'
    plan = made(uncertain="", more=OTHER + own, resins=["felt", "stiff"], confidence=0.9)
    felt, stiff = (list(table.entries.values()) for table in plan.tables)
    assert [each.confident for each in felt] == [each.nominal for each in felt]
    assert all(each.confident > each.nominal for each in stiff)
    assert plan.drawn.trials >= 8 * 512
    assert [(name, each.name, of) for name, each, of in plan.drawn.inputs] == [
        ("A", "flexural_modulus", "stiff")
    ]
    # D/t - 1 goes by the third root of the modulus, of which a tenth is under 420 ksi.
    for entry, head in zip(stiff, (8.0, 14.0), strict=True):
        ratio = 304.8 / by_hand(head) - 1
        needed = 304.8 / (1 + ratio * (420 / 250) ** (1 / 3))
        assert entry.confident == pytest.approx(needed, rel=1e-3)


@pytest.mark.parametrize("file", ["p.toml", ""])
def test_without_anything_uncertain_it_is_refused(file):
    with pytest.raises(InputFaults) as found:
        made(uncertain="", file=file)
    (told,) = map(str, found.value.faults)
    assert (file or "the project") in told


@pytest.mark.parametrize(
    ("stated", "told"),
    [
        # Of the axis itself a share is one of its values; of another datum it is one of that.
        ('groundwater_above_invert = "normal, sd 5 %"', ""),
        ('groundwater_above_invert = "2 ft"', ""),
        ('groundwater_below_surface = "2 ft"', ""),
        ('groundwater_below_surface = "normal, sd 2 ft"', ""),
        ('groundwater_below_surface = "normal, sd 5 %"', "groundwater_below_surface"),
        ('groundwater_below_surface = "5 %"', "groundwater_below_surface"),
        ('groundwater_below_surface = "lognormal, sd 5 %"', "groundwater_below_surface"),
        ('groundwater_above_invert = "2 ft to 9 ft"', "groundwater_above_invert"),
        ('invert_depth = "triangular 2 ft, 3 ft, 9 ft"', "invert_depth"),
        ('soil_unit_weight = "5 %"', "soil_unit_weight"),
    ],
)
def test_uncertainties_of_an_axis_are_about_its_values(stated, told):
    if told:
        with pytest.raises(InputFaults) as found:
            made(stated)
        (fault,) = found.value.faults
        assert fault.place.path == ("uncertainty", told)
        each = str(fault)
        assert told in each
        assert "[uncertainty]" in each
        assert stated.partition('"')[2].rstrip('"') in each
    else:
        assert all(math.isfinite(each) for each in nominal(made(stated)))


def test_prices_may_be_uncertain_where_no_table_has_them():
    plan = made(HEAD + '\nprice = "5 %"')
    assert [each.name for _, each, _ in plan.drawn.inputs] == ["groundwater_above_invert"]


def test_of_stations_worked_by_other_lines_the_worst_decides():
    """E' from a table by depth at one, a weak one stated at the other: as the weak one alone."""
    strong = '[[pipe.station]]\nat = "a"\nsoil_reaction_modulus = "clean gravel, 90 % compaction"\n'
    weak = '[[pipe.station]]\nat = "b"\nsoil_reaction_modulus = "60 psi"\n'
    soil = '[criteria.defaults]\nlive_load = "none"\nsoil_unit_weight = "120 pcf"\n'

    def of(*stations):
        text = PROJECT.format(uncertain=HEAD).replace("partially", "fully")
        text = text.replace("[uncertainty]", f"{soil}[uncertainty]") + "".join(stations)
        asked = Request(None, [], [], ["12 in"], ["10 ft"], ["8 ft"])
        return nominal(with_confidence(planned(parse(text.encode()), asked, "US"), Wishes()))

    assert of(weak) > of(strong)
    assert of(weak, strong) == of(strong, weak) == of(weak)
