"""Systems under uncertainty, counted again trial by trial from the same points.

Each wall is that of X1.1 and X1.2 for a partially deteriorated pipe, solved for the thickness by
hand; amounts are pi (D - t) t times density, prices and lengths; an annual cost is the payment
of an annuity. The prices and inputs that the points stand for are quantiles by scipy.
"""

import math

import numpy as np
import pytest
from scipy import stats

from linerdesign.interface import InputFaults, read
from linerdesign.project.quantities import Purchase
from linerdesign.tasks.compare import chances
from linerdesign.tasks.compare.chances import CLASSES
from linerdesign.tasks.compare.curves import Quantity
from linerdesign.tasks.compare.systems import cases_of, options
from linerdesign.tasks.uncertainty import sampling
from linerdesign.tasks.uncertainty.pipes import Wishes
from linerdesign.tasks.uncertainty.sampling import SCRAMBLES, TOLERANCE, Share

POISSON, FACTOR, ENHANCEMENT = 0.3, 2.0, 7.0
# As a sheet prints it.
PI = 3.14159
DISCOUNT = 0.03
# Diameter in mm, water above the invert in m, length in m.
PIPES = {"Trunk": (500.0, 4.2, 100.0), "Lane": (300.0, 3.0, 40.0), "Yard": (700.0, 3.0, 30.0)}
WATER_OFF = 1.0
# The tube of the glass has a price to this thickness in mm only.
PRICED, TUBE = 5.5, 9.0
SIZES = (3.5, 5.0, 5.5, 5.8)
# The glass is too thin for the yard, and the third resin for every pipe.
# Modulus and retention, strength in MPa and its retention, density, sizes in mm (else steps of
# 1.5 mm), price per kg, tube per m, mobilisation, carbon per kg, life in years.
RESINS = {
    "felt": (2500.0, 0.5, 40.0, 0.5, 1200.0, None, 3.0, 10.0, 900.0, 2.5, 40.0),
    "fails": (2000.0, 0.5, 40.0, 0.5, 1100.0, (1.0,), 2.0, 0.0, 500.0, 2.0, 50.0),
    "glass": (9000.0, 0.6, 120.0, 0.5, 1800.0, SIZES, 4.2, 0.0, 300.0, 3.5, 60.0),
}


def resin(name):
    E, r_E, sigma, r_s, density, sizes, price, tube, once, carbon, life = RESINS[name]
    cost = {
        "mobilisation": f"{once} USD",
        "embodied_carbon": f"{carbon} kg/kg",
        "service_life": f"{life} yr",
    }
    made = {
        "name": name,
        "flexural_modulus": f"{E} MPa",
        "flexural_strength": f"{sigma} MPa",
        "modulus_retention": f"{100 * r_E} %",
        "strength_retention": f"{100 * r_s} %",
        "density": f"{density} kg/m^3",
        "price": f"{price} USD/kg",
        "cost": cost | ({"tube_price": f"{tube} USD/m"} if tube else {}),
    }
    if sizes:
        made["thicknesses"] = [f"{each} mm" for each in sizes]
    if name == "glass":
        made["cost"]["tube"] = [
            {"diameter": "600 mm", "thickness": f"{PRICED} mm", "price": f"{TUBE} USD/m"}
        ]
    if name == "felt":
        made["uncertainty"] = {"price": "normal, sd 20 %", "tube_price": "20 %"}
    if name == "glass":
        made["uncertainty"] = {"flexural_modulus": "15 %"}
    return made


def project(lengths=True, names=tuple(RESINS)):
    pipes = [
        {
            "name": name,
            "condition": "partially deteriorated",
            "host_diameter": f"{wide} mm",
            "ovality": "2 %",
            "groundwater_above_invert": f"{water} m",
        }
        | ({"length": f"{length} m"} if lengths else {})
        for name, (wide, water, length) in PIPES.items()
    ]
    return read(
        {
            "project": {"title": "Mill Lane", "units": "SI"},
            "criteria": {"thickness_step": "1.5 mm"},
            "resin": [resin(name) for name in names],
            "pipe": pipes,
            "uncertainty": {
                "groundwater_above_invert": f"{WATER_OFF} m",
                "mobilisation": "50 %",
            },
        }
    )


def about(share, value, by):
    """A triangle about a value."""
    return stats.triang.ppf(share, 0.5, value - by, 2 * by)


def required(D, water, E_L, sigma_L):
    """X1.1 and X1.2 in mm, by the printed equations."""
    d = 0.02
    C = ((1 - d) / (1 + d) ** 2) ** 3
    P = 0.00981 * water
    bent = (2 * ENHANCEMENT * E_L * C / ((1 - POISSON**2) * P * FACTOR)) ** (1 / 3)
    a, b, c = 1.5 * d * (1 + d), -0.5 * (1 + d), -sigma_L / (P * FACTOR)
    ratio = (-b + np.sqrt(b * b - 4 * a * c)) / (2 * a)
    return np.maximum(D / (bent + 1), D / ratio)


def nominal(name, needed):
    """The least thickness made that is enough, infinite where none is."""
    sizes = RESINS[name][5]
    if sizes is None:
        return np.ceil(needed / 1.5 - 1e-9) * 1.5
    made = np.array([*sizes, np.inf])
    return made[np.searchsorted(made, needed * (1 - 1e-9))]


def annuity(total, name):
    return total * DISCOUNT / (1 - (1 + DISCOUNT) ** -RESINS[name][10])


class Trials:
    """What the points stand for, and what every wall comes to."""

    def __init__(self, columns, blocks, by):
        self.by, self.columns = by, columns
        self.points = np.concatenate([each.reshape(-1, len(columns)) for each in blocks])
        self.scramble = np.concatenate(
            [np.repeat(np.arange(SCRAMBLES), each.shape[1]) for each in blocks]
        )

    def share_of(self, scope, key):
        return self.points[:, self.columns[scope, key]]

    def price(self, name):
        price = RESINS[name][6]
        if name != "felt" or self.by not in ("cost", "annual-cost"):
            return price
        # A price is over zero, which is five deviations below.
        return stats.truncnorm.ppf(self.share_of("felt", "price"), -5, math.inf, price, 0.2 * price)

    def once(self, name):
        stated = RESINS[name][8]
        return about(self.share_of(name, "mobilisation"), stated, 0.5 * stated)

    def needed(self, pipe, name):
        wide, water, _ = PIPES[pipe]
        E, r_E, sigma, r_s = RESINS[name][:4]
        if name == "glass":
            E = about(self.share_of("glass", "E"), E, 0.15 * E)
        drawn = about(self.share_of(pipe, "h_invert"), water, WATER_OFF)
        return required(wide, drawn, E * r_E, sigma * r_s)

    def amount(self, pipe, name):
        """Per metre."""
        thick = nominal(name, self.needed(pipe, name))
        if self.by == "thickness":
            return thick
        with np.errstate(invalid="ignore"):
            mass = PI * (PIPES[pipe][0] - thick) * thick / 1e6 * RESINS[name][4]
        if self.by == "mass":
            return np.where(np.isfinite(thick), mass, np.inf)
        if self.by == "carbon":
            return np.where(np.isfinite(thick), mass * RESINS[name][9], np.inf)
        tube = about(self.share_of("felt", "tube_price"), 10.0, 2.0) if name == "felt" else TUBE
        cost = mass * self.price(name) + tube
        cost = np.where(np.isfinite(thick), cost, np.inf)
        if name == "glass":
            cost = np.where(thick > PRICED, np.inf, cost)
        return cost if self.by == "cost" else annuity(cost, name)

    def amounts(self, pipe):
        """Of both systems, the least in place of one that lacks; and which lack."""
        names = ["felt"] if pipe == "Yard" else ["felt", "glass"]
        found = np.array([self.amount(pipe, name) for name in names])
        return np.where(np.isinf(found), found.min(axis=0), found), np.isinf(found)

    def chance(self, happened):
        means = [happened[self.scramble == each].mean() for each in range(SCRAMBLES)]
        return pytest.approx((np.mean(means), stats.sem(means)))

    def saved(self, amounts, shares):
        """By a choice in each class of sixteen, made by every other scramble for the rest."""
        found, half = [], self.scramble % 2
        places = np.floor(shares * CLASSES)
        for own in (0, 1):
            ours, theirs = half == own, half != own
            fixed = np.argmin(amounts[:, ours].mean(axis=1))
            known = amounts[fixed].copy()
            for place in range(CLASSES):
                here = places == place
                known[here] = amounts[np.argmin(amounts[:, ours & here].mean(axis=1))][here]
            found.append(np.mean((amounts[fixed] - known)[theirs]))
        return np.mean(found)


def tails(values, *shares):
    ordered = np.sort(values)
    return tuple(ordered[round(share * (len(ordered) - 1))] for share in shares)


def drawn(monkeypatch, by, made=None, sizes=(512, 512), **wishes):
    """What is found of a project, and its trials."""
    made = made or project()
    purchase = Purchase(discount=DISCOUNT)
    cases = cases_of(made, "SI")
    table = options(made, cases, purchase)
    given = (made, cases.cases, table, Quantity(by, purchase), Wishes(**wishes))
    columns = chances._Study(*given).columns
    rng = np.random.default_rng(1)
    blocks = [rng.random((SCRAMBLES, size, len(columns))) for size in sizes]

    def all_blocks(*asked):
        designs = sum(option.satisfied for row in table for option in row)
        assert asked == (given[-1].seed, len(columns), f"points of {designs}")
        return iter(blocks)

    monkeypatch.setattr(sampling, "blocks", all_blocks)
    monkeypatch.setattr(chances, "most_points", lambda designs: f"points of {designs}")
    return chances.systems_under_uncertainty(*given), Trials(columns, blocks, by)


@pytest.mark.parametrize("by", ["thickness", "mass", "carbon", "cost", "annual-cost"])
def test_every_figure_is_that_of_the_trials(monkeypatch, by):
    found, trials = drawn(monkeypatch, by)
    costed = by in ("cost", "annual-cost")
    priced = {("felt", "price"), ("felt", "tube_price")}
    priced |= {(name, "mobilisation") for name in RESINS}
    shared = (priced if costed else set()) | {("glass", "E")}
    assert trials.columns.keys() == shared | {(name, "h_invert") for name in PIPES}
    assert (found.by, found.common, found.left_out) == (by, 2, ())
    assert found.trials == SCRAMBLES * 1024

    pipes = {pipe: trials.amounts(pipe) for pipe in PIPES}
    least, sufficient, ends = {}, {}, {}
    for row, (pipe, (amounts, lacking)) in enumerate(pipes.items()):
        for name, column, amount, lacks in zip(
            ("felt", "glass"), (0, 2), amounts, lacking, strict=False
        ):
            wins = (amount <= amounts.min(axis=0) * (1 + 1e-9)) & ~lacks
            least[row, column] = trials.chance(wins)
            wall = found_wall(pipe, name)
            enough = trials.needed(pipe, name) <= wall * (1 + 1e-9)
            sufficient[row, column] = trials.chance(enough)
            ends[row, column] = pytest.approx(tails(amount[~lacks], 0.05, 0.95), rel=1e-6)
    told = {key: (s.chance, s.error) for key, s in found.least.items()}
    assert told == least
    assert {key: (s.chance, s.error) for key, s in found.sufficient.items()} == sufficient
    assert found.ends == ends

    # Over the trunk and the lane.
    weights = {pipe: PIPES[pipe][2] for pipe in ("Trunk", "Lane")}
    totals = sum(weights[pipe] * pipes[pipe][0] for pipe in weights)
    if by == "thickness":
        totals = totals / 140.0
    if costed:
        once = np.array([trials.once(name) for name in ("felt", "glass")])
        if by == "annual-cost":
            once = np.array([annuity(*each) for each in zip(once, ("felt", "glass"), strict=True)])
        totals = totals + once
    lacks = pipes["Trunk"][1] | pipes["Lane"][1]
    assert 0 < lacks[1].mean() < 0.5
    for place, (name, system) in enumerate(zip(("felt", "glass"), found.systems, strict=True)):
        wins = totals[place] <= totals.min(axis=0) * (1 + 1e-9)
        assert system.resin.name == name
        assert (system.least.chance, system.least.error) == trials.chance(wins)
        assert system.ends == pytest.approx(tails(totals[place], 0.05, 0.5, 0.95))
        assert system.lacking == lacks[place].mean()

    errors = [share.error for each in (found.least, found.sufficient) for share in each.values()]
    errors += [system.least.error for system in found.systems]
    assert found.converged == (max(errors) <= TOLERANCE)

    # What knowing an input saves, by each pipe and with one system.
    worth = {pipe: PIPES[pipe][2] / (170.0 if by == "thickness" else 1.0) for pipe in PIPES}
    by_pipe = {}
    for pipe, (amounts, _) in pipes.items():
        for scope, key in trials.columns:
            read_here = scope == pipe or (scope == "felt") or (pipe != "Yard" and scope == "glass")
            if read_here:
                named = key, "" if scope in PIPES else scope
                saved = worth[pipe] * trials.saved(amounts, trials.share_of(scope, key))
                by_pipe[named] = by_pipe.get(named, 0.0) + saved
    one = {(key, scope): trials.saved(totals, trials.share_of(scope, key)) for scope, key in shared}
    names = {"E": "flexural_modulus", "h_invert": "groundwater_above_invert"}
    learnt = {(each.name, each.scope): each for each in found.learnt}
    assert found.learnt[-1] == learnt["", ""]
    assert learnt.keys() == {(names.get(key, key), scope) for key, scope in by_pipe} | {("", "")}
    scale = totals.mean()
    for (key, scope), saved in by_pipe.items():
        each = learnt[names.get(key, key), scope]
        assert each.by_pipe == pytest.approx(saved, abs=1e-9 * scale)
        if (key, scope) in one:
            assert each.one_system == pytest.approx(one[key, scope], abs=1e-9 * scale)
        else:
            assert each.one_system is None
    all_known = sum(
        worth[pipe] * (amounts.mean(axis=1).min() - amounts.min(axis=0).mean())
        for pipe, (amounts, _) in pipes.items()
    )
    assert learnt["", ""].by_pipe == pytest.approx(all_known, abs=1e-9 * scale)
    best = totals.mean(axis=1).min() - totals.min(axis=0).mean()
    assert learnt["", ""].one_system == pytest.approx(best, abs=1e-9 * scale)


def found_wall(pipe, name):
    """The wall of the values as they are stated."""
    wide, water, _ = PIPES[pipe]
    E, r_E, sigma, r_s = RESINS[name][:4]
    return nominal(name, required(wide, water, E * r_E, sigma * r_s))


def test_trials_end_with_the_first_block_in_which_all_is_known(monkeypatch):
    """Of one system alone every chance to be least is one; the second block is not drawn."""
    made = project(names=("fails", "felt"))
    found, _ = drawn(monkeypatch, "mass", made, (256, 512))
    assert [each.resin.name for each in found.systems] == ["felt"]
    assert found.systems[0].least == Share(1.0, 0.0)
    assert found.common == 3
    assert (found.trials, found.converged) == (SCRAMBLES * 256, True)
    monkeypatch.setattr(chances, "TOLERANCE", 0.0)
    sure = [Share(1.0, 0.0)]
    monkeypatch.setattr(chances._Study, "_shares", lambda study: sure)
    found, _ = drawn(monkeypatch, "mass", made, (256, 512))
    assert (found.trials, found.converged) == (SCRAMBLES * 256, True)
    sure.append(Share(0.5, 1e-9))
    found, _ = drawn(monkeypatch, "mass", made, (256, 512))
    assert (found.trials, found.converged) == (SCRAMBLES * 768, False)


def test_where_all_systems_lack_a_thickness_they_cost_alike(monkeypatch):
    """The felt alone, in one size, which is too thin for the trunk in some trials: nothing then."""
    monkeypatch.setitem(RESINS, "felt", (*RESINS["felt"][:5], (8.7,), *RESINS["felt"][6:]))
    found, trials = drawn(monkeypatch, "mass", project(names=("felt",)))
    shared = ("Trunk", "Lane")
    assert found.common == 2
    amounts = {pipe: trials.amount(pipe, "felt") for pipe in shared}
    totals = sum(
        PIPES[pipe][2] * np.where(np.isinf(each), 0.0, each) for pipe, each in amounts.items()
    )
    lacks = np.any([np.isinf(each) for each in amounts.values()], axis=0)
    assert 0.1 < lacks.mean() < 0.9
    (system,) = found.systems
    assert system.ends == pytest.approx(tails(totals, 0.05, 0.5, 0.95), abs=1e-9)
    assert system.lacking == lacks.mean()


@pytest.mark.parametrize(("by", "known"), [("thickness", "thickness"), ("cost", "cost")])
def test_no_chances_where_no_resin_satisfies_a_pipe(monkeypatch, by, known):
    """Though a price is uncertain: there is nothing to choose from."""
    made = project(names=("fails",))
    cases = cases_of(made, "SI")
    table = options(made, cases, Purchase())
    with pytest.raises(InputFaults) as found:
        chances.systems_under_uncertainty(made, cases.cases, table, Quantity(by), Wishes())
    (told,) = map(str, found.value.faults)
    assert f"no resin satisfies a pipe without legs and has a known {known}" in told


def test_without_lengths_only_thickness_has_systems_over_all_pipes(monkeypatch):
    """The mean over the trunk and the lane, each counting alike."""
    found, trials = drawn(monkeypatch, "thickness", project(lengths=False))
    for name, system in zip(("felt", "glass"), found.systems, strict=True):
        place = ("felt", "glass").index(name)
        both = sum(trials.amounts(pipe)[0][place] for pipe in ("Trunk", "Lane")) / 2
        assert system.ends == pytest.approx(tails(both, 0.05, 0.5, 0.95))
    saved = {
        pipe: trials.saved(trials.amounts(pipe)[0], trials.share_of("glass", "E"))
        for pipe in ("Trunk", "Lane")
    }
    learnt = {(each.name, each.scope): each for each in found.learnt}
    each = learnt["flexural_modulus", "glass"]
    assert each.by_pipe == pytest.approx(sum(saved.values()) / 3)
    assert each.one_system is not None
    by_mass, _ = drawn(monkeypatch, "mass", project(lengths=False))
    assert by_mass.systems == ()
    assert all(each.one_system is None for each in by_mass.learnt)
    # By the metre of each pipe, since no length is known.
    trials.by = "mass"
    saved = (
        trials.saved(trials.amounts(pipe)[0], trials.share_of("glass", "E"))
        for pipe in ("Trunk", "Lane")
    )
    (each,) = (each for each in by_mass.learnt if each.name == "flexural_modulus")
    assert each.by_pipe == pytest.approx(sum(saved))


def test_usual_uncertainties_are_drawn_where_they_are_wanted(monkeypatch):
    stated, _ = drawn(monkeypatch, "mass")
    usual, _ = drawn(monkeypatch, "mass", which="usual")
    assert {each.name for _, each, _ in stated.drawn} == {
        "flexural_modulus", "groundwater_above_invert"
    }  # fmt: skip
    assert "ovality" in {each.name for _, each, _ in usual.drawn}
    # Each once, though two systems share the water of a pipe, and one modulus two pipes.
    told = [(pipe, each.name, scope) for pipe, each, scope in stated.drawn]
    assert told == [
        ("Trunk", "groundwater_above_invert", "Trunk"),
        ("Trunk", "flexural_modulus", "glass"),
        ("Lane", "groundwater_above_invert", "Lane"),
        ("Lane", "flexural_modulus", "glass"),
        ("Yard", "groundwater_above_invert", "Yard"),
    ]
    priced, _ = drawn(monkeypatch, "cost")
    told = {
        (pipe, scope): (each.value, each.unit, each.origin, each.stated)
        for pipe, each, scope in priced.drawn
        if each.name == "price"
    }
    assert told == {(pipe, "felt"): (3.0, "USD/kg", "given", True) for pipe in PIPES}
