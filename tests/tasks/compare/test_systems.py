"""Resins side by side: against hand arithmetic on the printed equations and a rule of thumb.

The powers come from the closed forms of Najafi 2010, sec. 2.7, applying ASTM F1216-09: X1.4 asks
for t in proportion to E^(-1/3), X1.3 to EL^(-1/3), and neither reads the other modulus.
"""

import json
import math

import pytest
from projects import toml

from linerdesign.methods.second import by_second as design_again
from linerdesign.project.assembly import task
from linerdesign.project.faults import InputFaults
from linerdesign.project.quantities import Purchase, cost_per_length, mass_per_length
from linerdesign.project.reading import parse
from linerdesign.tasks.compare.exchange import effects
from linerdesign.tasks.compare.ranking import least, ranking
from linerdesign.tasks.compare.systems import at_end, cases_of, options

SECOND = """
[[resin]]
name = "Felt B"
flexural_modulus = "400000 psi"
flexural_strength = "6000 psi"
modulus_retention = "25 to 60 %"
"""
# X1.4 governs: little cover, no water. X1.3 governs: the published trunk.
SHALLOW = {"cover": "4.5 ft", "host_diameter": "12 in", "groundwater": "none", "live_load": "none"}


def project(pipe=None, resin=None, more=SECOND, criteria=None, drop=()):
    return parse((toml(pipe, resin, criteria, drop=drop) + more).encode())


def compared(read, **purchase):
    return options(read, cases_of(read, "US"), Purchase(**purchase))


def exchanged(read):
    """The effects of the second resin on the first pipe."""
    cases = cases_of(read, "US")
    table = options(read, cases, Purchase())
    (found,) = effects(read, read.resins[0], cases.cases, table)
    return found


def shallow(**more):
    return project(SHALLOW, drop=("groundwater_above_invert",), **more)


def test_initial_modulus_alone_moves_x1_4():
    read = shallow()
    found = exchanged(read)
    assert found.reference == pytest.approx(12 * 25.4 * (12 * 0.093 / 250e3) ** (1 / 3), rel=1e-9)
    assert found.initial_modulus / found.reference == pytest.approx((250 / 400) ** (1 / 3))
    assert found.long_term_modulus == pytest.approx(found.reference, rel=1e-12)


def test_long_term_modulus_alone_moves_x1_3():
    read = project()
    found = exchanged(read)
    # 25 % of 400,000 psi against 50 % of 250,000 psi.
    assert found.long_term_modulus / found.reference == pytest.approx((125 / 100) ** (1 / 3))
    assert found.initial_modulus == pytest.approx(found.reference, rel=1e-12)
    assert found.all_properties == pytest.approx(found.long_term_modulus, rel=1e-12)


def test_a_range_is_carried_as_its_ends():
    ((_, band),) = compared(project())
    assert band.wall.required / band.best.required == pytest.approx((60 / 25) ** (1 / 3))
    assert band.wall.nominal > band.best.nominal
    low, high = (at_end(band.resin, best).modulus_retention for best in (False, True))
    assert (low.to("%"), high.to("%")) == (25, 60)


def test_size_refuses_a_range_and_names_it(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml(resin={"flexural_modulus": "75000 to 180000 psi"}))
    code, out, err = run("size", "a.toml")
    assert (code, out) == (2, "")
    assert "flexural_modulus 75000 to 180000 psi: range in place of one value" in err
    assert '[[resin]] "Felt A"' in err
    assert run("compare", "a.toml")[0] == 0


@pytest.mark.parametrize("text", ["180000 to 75000 psi", "75000 to psi", "-1 to 5 psi", "1 to 2"])
def test_ranges_that_are_none(text):
    with pytest.raises(InputFaults, match="flexural_modulus"):
        project(resin={"flexural_modulus": text})


def test_the_second_method_goes_by_the_worst_properties():
    """As the pipe alone has it; without one asked for there is none."""
    asked = '[criteria.second_method]\nmethod = "encased ring"\n'
    pipe = {"condition": "partially deteriorated", "ovality": "3 %"}
    text = toml(pipe).replace("[[resin]]", f"{asked}[[resin]]", 1) + SECOND
    read = parse(text.encode())
    ((plain, band),) = compared(read)
    assert plain.wall.second is plain.best.second is not None
    alone = design_again(task(read.pipes[0], at_end(band.resin, False), read.criteria, "US"))
    assert band.wall.second.result.required_thickness == alone.result.required_thickness
    assert band.best.second is None
    assert compared(project())[0][0].wall.second is None


def test_the_next_thinner_thickness_is_over_nothing():
    """One increment less one is none, and so is what is left of the thinnest size."""
    high = {"host_diameter": "8 in", "cover": "6 ft", "groundwater_above_invert": "1 ft"}
    stiff = {"flexural_modulus": "900 ksi", "flexural_strength": "9 ksi"}
    for step, lower in (("6 mm", None), ("5.9 mm", None), ("1.2 mm", 1.2)):
        ((found,),) = compared(project(high, stiff | {"thickness_step": step}, more=""))
        wall = found.wall
        assert wall.next_down == (None if lower is None else pytest.approx(wall.nominal - lower))
        assert (wall.margin is None) == (lower is None)
    for sizes, lower in ((["6 mm", "9 mm"], None), (["9 mm", "2 mm", "6 mm"], 2.0)):
        ((found,),) = compared(project(high, stiff | {"thicknesses": sizes}, more=""))
        assert (found.wall.nominal, found.wall.next_down) == (6.0, lower)
    stated = project(high | {"design_thickness": "6 mm"}, stiff, more="")
    assert compared(stated)[0][0].wall.next_down is None


def test_small_pipes_tie_on_the_floor():
    """Five systems of 8 in pipe all end at 4.5 mm (an inference from owners' specifications)."""
    more = "".join(
        f'[[resin]]\nname = "R{e}"\nflexural_modulus = "{e} ksi"\nflexural_strength = "5 ksi"\n'
        for e in (300, 400, 500, 900)
    )
    pipe = {"host_diameter": "8 in", "cover": "6 ft", "groundwater_above_invert": "3 ft"}
    (row,) = compared(project(pipe, more=more, criteria={"minimum_thickness": "4.5 mm"}))
    assert len(least(row)) == 5
    assert {each.wall.nominal for each in row} == {4.5}
    stiff = row[-1].wall
    assert stiff.minimum_governs
    assert stiff.next_down == 3.0


def test_margin_to_the_next_step_down():
    read = project(resin={"thickness_step": "2 mm"})
    wall = compared(read)[0][0].wall
    assert wall.nominal == 2 * math.ceil(wall.required / 2)
    assert wall.next_down == wall.nominal - 2
    assert wall.margin == pytest.approx(wall.required - wall.next_down)
    listed = project(resin={"thicknesses": ["20 mm", "25 mm", "26 mm", "31 mm"]})
    wall = compared(listed)[0][0].wall
    assert (wall.next_down, wall.nominal) == (25.0, 26.0)


def test_mass_and_cost_by_hand():
    read = project(resin={"density": "1.15 g/cm^3", "price": "3.10 USD/kg"})
    resin = read.resins[0]
    mass = mass_per_length(300.0, 6.0, "mm", resin)
    assert mass == pytest.approx(math.pi * 0.294 * 0.006 * 1150, rel=1e-5)
    cost = cost_per_length(300.0, 6.0, resin, Purchase(0.85, 0.07))
    assert cost == pytest.approx(mass * 0.85 * 1.07 * 3.10, rel=1e-12)
    per_pound = project(resin={"density": "1.15 g/cm^3", "price": "3.10 USD/lb"}).resins[0]
    assert cost_per_length(300.0, 6.0, per_pound, Purchase()) == pytest.approx(
        mass * 3.10 / 0.45359237
    )


@pytest.mark.parametrize("option", ["--resin-share-by-mass", "--resin-share"])
def test_the_share_of_resin_says_that_it_is_by_mass(run, tmp_path, capsys, option):
    """85 % of the mass and 7 % more of it: the cost is 0.85 * 1.07 of that of the whole mass."""
    bought = {"density": "1.15 g/cm^3", "price": "3.10 USD/kg"}
    (tmp_path / "p.toml").write_text(toml(pipe={"length": "100 ft"}, resin=bought))
    words = ("compare", "p.toml", "--by", "cost")
    shares = (option, "85 %", "--excess", "7 %")
    assert "85 % of the wall by mass, plus 7 % excess" in " ".join(run(*words, *shares)[1].split())
    found = (json.loads(run(*words, "--json", *more)[1]) for more in ((), shares))
    whole, part = (each["ranking"][0]["cost"]["value"] for each in found)
    assert part == pytest.approx(0.85 * 1.07 * whole)
    with pytest.raises(SystemExit):
        run("compare", "--help")
    said = " ".join(capsys.readouterr().out.split())
    assert "share of the wall by mass" in said
    assert "resin_share of [order], which is by volume" in said


RANKED = """
[[resin]]
name = "Thin and dear"
flexural_modulus = "900000 psi"
flexural_strength = "9000 psi"
density = "1.8 g/cm^3"
price = "9 USD/kg"
[[resin]]
name = "Out of stock"
flexural_modulus = "900000 psi"
flexural_strength = "9000 psi"
thicknesses = ["3 mm"]
"""


@pytest.mark.parametrize(("by", "first"), [("thickness", "Thin and dear"), ("cost", "Felt A")])
def test_ranking(by, first):
    resin = {"density": "1.15 g/cm^3", "price": "3 USD/kg"}
    read = project({"length": "100 m"}, resin, more=RANKED)
    order = ranking(compared(read), by)
    assert order[0].resin.name == first
    assert (order[-1].resin.name, order[-1].failing) == ("Out of stock", 1)
    wall = compared(read)[0][0].wall
    felt = next(each for each in order if each.resin.name == "Felt A")
    assert felt.own.mass[0] == pytest.approx(100 * wall.mass)
    assert felt.own.cost[0] == pytest.approx(100 * wall.cost)


def test_a_resin_that_fails_says_why():
    pressure = {"internal_pressure": "60 psi"}
    read = project(pressure, {"tensile_strength": "3000 psi"})
    (row,) = compared(read)
    assert row[0].satisfied
    assert "tensile strength" in " ".join(row[1].reasons)
    ((_, _, short),) = compared(project(more=RANKED))
    assert short.wall.short
    assert "no listed thickness" in short.reasons[0]


def test_command_says_ties_and_changes(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml() + SECOND)
    code, out, _ = run("compare", "a.toml", "--json")
    assert code == 0
    (pipe,) = json.loads(out)["pipes"]
    assert pipe["thinnest"] == ["Felt A"]
    assert pipe["thinnest_by_best_properties"] == ["Felt B"]
    _, text, _ = run("compare", "a.toml")
    assert "choice changes: Felt B" in " ".join(text.split())
    code, _, err = run("compare", "a.toml", "--reference", "Felt Z", "--excess", "5")
    assert code == 2
    assert "--excess" in err
