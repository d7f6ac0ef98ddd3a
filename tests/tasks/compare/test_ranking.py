"""Ranking like with like: means, totals and places against sums over the walls of each pipe."""

import json

import pytest
from projects import toml

from linerdesign.project.quantities import Purchase
from linerdesign.project.reading import parse
from linerdesign.tasks.compare.ranking import Missing, least, ranking
from linerdesign.tasks.compare.systems import cases_of, options

PRICED = {"tensile_strength": "3 ksi", "density": "1.15 g/cm^3", "price": "3 USD/kg"}


def resin(name, modulus=250, price="3 USD/kg", density="1.15 g/cm^3", more=""):
    return (
        f'[[resin]]\nname = "{name}"\nflexural_modulus = "{modulus} ksi"\n'
        f'flexural_strength = "6 ksi"\n'
        + (f'density = "{density}"\n' if density else "")
        + (f'price = "{price}"\n' if price else "")
        + more
    )


def pipe(name, inches, length=None):
    text = (
        f'[[pipe]]\nname = "{name}"\ncondition = "partially deteriorated"\novality = "2 %"\n'
        f'host_diameter = "{inches} in"\ngroundwater_above_invert = "8 ft"\n'
    )
    return text + (f'length = "{length}"\n' if length else "")


TUBE = '[resin.cost]\ntube_price = "4 USD/m"\n'
LIST = '[[resin.cost.tube]]\ndiameter = "60 in"\nthickness = "6 mm"\nprice = "5 USD/m"\n'
TERMS = '[resin.cost]\nservice_life = "40 yr"\nembodied_carbon = "2.5 kg/kg"\n'
BEFORE_LENGTH = (Missing.DENSITY, Missing.CARBON, Missing.PRICE)


def text_of(*tables, length="100 m"):
    first = {"length": length} if length else {}
    return toml({"name": "Trunk", **first}, PRICED) + "".join(tables)


def ranked(text, by="thickness"):
    read = parse(text.encode())
    table = options(read, cases_of(read, "US"), Purchase())
    return table, ranking(table, by)


def test_a_resin_that_fails_a_pipe_ranks_below_one_that_passes_all(run, tmp_path):
    """The thin resin fails the 48 in pipe alone: its mean over the small one is the smallest."""
    text = text_of(resin("Thin", 900, more='thicknesses = ["4 mm"]\n'), pipe("Lane", 8, "50 m"))
    _, order = ranked(text)
    assert [(s.resin.name, s.rank, len(s.own.pipes)) for s in order] == [
        ("Felt A", 1, 2),
        ("Thin", 2, 1),
    ]
    assert order[1].own.thickness[0] < order[0].own.thickness[0]
    (tmp_path / "a.toml").write_text(text)
    code, out, _ = run("compare", "a.toml")
    # At least one resin satisfies each pipe.
    assert code == 0
    assert "1 of 2" in out
    assert "2 of 2" in out
    assert "Figures over the 1 of 2 pipes that every resin satisfies" in out


def test_resins_that_fail_different_pipes_share_a_rank_without_a_pipe_in_common():
    """One resin lacks the thickness for the trunk, another the tensile strength for the main."""
    tensile = 'tensile_strength = "3 ksi"\n'
    main = pipe("Main", 8, "50 m") + 'internal_pressure = "20 psi"\nhole_diameter = "1 in"\n'
    small = resin("Small only", 900, more='thicknesses = ["6 mm"]\n' + tensile)
    untested = resin("Untested")
    _, order = ranked(text_of(small, untested, main))
    assert [(s.resin.name, s.rank, sorted(s.own.pipes)) for s in order] == [
        ("Felt A", 1, [0, 1]),
        ("Small only", 2, [1]),
        ("Untested", 2, [0]),
    ]


def test_resins_that_fail_as_many_pipes_are_compared_over_those_in_common():
    """Each fails one pipe of three; over the lane, the one in common, the walls are alike.

    The totals over their own pipes differ, and must not rank them.
    """
    tensile = 'tensile_strength = "3 ksi"\n'
    main = pipe("Main", 8, "50 m") + 'internal_pressure = "20 psi"\nhole_diameter = "1 in"\n'
    small = resin("Small only", 250, more='thicknesses = ["6 mm"]\n' + tensile)
    untested = resin("Untested", 250, more='thickness_step = "6 mm"\n')
    _, order = ranked(text_of(small, untested, main, pipe("Lane", 8, "80 m")), "cost")
    found = {s.resin.name: s for s in order}
    assert [found[name].rank for name in ("Felt A", "Small only", "Untested")] == [1, 2, 2]
    assert found["Small only"].common.pipes == {2}
    assert found["Small only"].common.cost == pytest.approx(found["Untested"].common.cost)
    assert found["Small only"].own.cost[0] < 0.5 * found["Untested"].own.cost[0]


def test_mean_by_length_only_where_every_pipe_has_one(run, tmp_path):
    tables = (resin("Stiff", 400), pipe("Lane", 8, "50 m"))
    table, order = ranked(text_of(*tables))
    walls = [row[0].wall.nominal for row in table]
    felt = next(s for s in order if s.resin.name == "Felt A")
    assert felt.own.thickness[0] == pytest.approx((100 * walls[0] + 50 * walls[1]) / 150)
    tables = (resin("Stiff", 400), pipe("Lane", 8))
    _, order = ranked(text_of(*tables))
    felt = next(s for s in order if s.resin.name == "Felt A")
    assert felt.own.thickness[0] == pytest.approx(sum(walls) / 2)
    assert felt.own.mass is None
    _, order = ranked(text_of(*tables), "cost")
    assert {(s.rank, s.missing) for s in order} == {(None, (Missing.LENGTH,))}
    (tmp_path / "a.toml").write_text(text_of(*tables))
    _, out, _ = run("compare", "a.toml", "--by", "mass")
    said = " ".join(out.split())
    assert "plain means over the pipes, no totals: length missing for Lane" in said
    assert "Stiff is not ranked: length missing for some pipes" in said


def test_no_rank_without_a_price():
    _, order = ranked(text_of(resin("Unpriced", 900, price=None)), "cost")
    assert [(s.resin.name, s.rank, s.missing) for s in order] == [
        ("Felt A", 1, ()),
        ("Unpriced", None, (Missing.PRICE,)),
    ]


@pytest.mark.parametrize(
    ("by", "given", "missing"),
    [
        ("thickness", {"price": None, "density": None}, ()),
        ("mass", {"price": None}, ()),
        ("mass", {"density": None}, (Missing.DENSITY,)),
        ("cost", {}, ()),
        ("cost", {"density": None}, (Missing.DENSITY,)),
        ("cost", {"price": None}, (Missing.PRICE,)),
        ("cost", {"price": None, "density": None}, (Missing.DENSITY, Missing.PRICE)),
        ("cost", {"price": None, "density": None, "more": TUBE}, ()),
        ("cost", {"price": None, "density": None, "more": LIST}, (Missing.SIZE,)),
        ("cost", {"density": None, "more": TUBE}, (Missing.DENSITY,)),
        ("cost", {"price": "3 EUR/kg"}, (Missing.CURRENCY,)),
        ("annual-cost", {}, (Missing.LIFE,)),
        ("annual-cost", {"more": TERMS}, ()),
        ("carbon", {"more": TERMS}, ()),
        ("carbon", {"more": TUBE}, (Missing.CARBON,)),
        ("carbon", {"density": None}, (Missing.DENSITY, Missing.CARBON)),
    ],
)
def test_what_a_rank_lacks(by, given, missing):
    """The wall of the 48 in pipe is thicker than the one tube that has a price."""
    _, order = ranked(text_of(resin("B", **given)), by)
    found = next(each for each in order if each.resin.name == "B")
    assert found.missing == missing
    assert (found.rank is None) == bool(missing)
    _, order = ranked(text_of(resin("B", **given), length=None), by)
    found = next(each for each in order if each.resin.name == "B")
    # By a length that is missing no size is asked for.
    wanted = [each for each in missing if each is not Missing.SIZE]
    if by != "thickness":
        wanted.insert(sum(each in BEFORE_LENGTH for each in wanted), Missing.LENGTH)
    assert list(found.missing) == wanted


def test_ties_share_a_rank_and_the_next_counts_on():
    """Two resins alike but for their name, and a softer one."""
    _, order = ranked(text_of(resin("Soft", 150), resin("Twin")))
    assert [(s.resin.name, s.rank) for s in order] == [("Felt A", 1), ("Twin", 1), ("Soft", 3)]


def test_choice_in_a_pipe_goes_by_what_is_asked(run, tmp_path):
    """A wall half as thick at five times the price: thinnest, and dearest."""
    text = text_of(resin("Stiff", 1500, price="15 USD/kg"))
    ((felt, stiff),), _ = ranked(text)
    assert stiff.wall.nominal < felt.wall.nominal
    assert stiff.wall.cost > felt.wall.cost
    (tmp_path / "a.toml").write_text(text)
    for by, chosen in (("thickness", "Stiff"), ("mass", "Stiff"), ("cost", "Felt A")):
        (found,) = json.loads(run("compare", "a.toml", "--by", by, "--json")[1])["pipes"]
        assert found["choice"] == [chosen]
        lines = run("compare", "a.toml", "--by", by)[1].splitlines()
        assert any(line.startswith(f"Trunk  {chosen} [D]") for line in lines)


def test_currency_is_named_and_two_are_not_compared(run, tmp_path):
    (tmp_path / "a.toml").write_text(text_of(resin("Stiff", 400)))
    assert "cost, USD" in run("compare", "a.toml")[1]
    text = text_of(resin("Stiff", 400, price="2 EUR/kg"))
    table, order = ranked(text, "cost")
    assert {s.rank for s in order} == {None}
    assert least(table[0], "cost") == ()
    (tmp_path / "b.toml").write_text(text)
    out = run("compare", "b.toml")[1]
    assert "several currencies (EUR, USD): costs are not comparable" in " ".join(out.split())


def test_a_failure_names_its_cause_and_no_caution_of_the_pipe():
    text = text_of(resin("Thin", 900, more='thicknesses = ["3 mm"]\n'))
    ((_, thin),), _ = ranked(text)
    assert thin.wall.short
    assert thin.reasons[0].startswith("no listed thickness")
    assert thin.reasons[1].startswith("fails X1.")
    assert "typical" not in " ".join(thin.reasons)


def test_exit_code_is_in_the_help_and_is_1_where_a_pipe_has_no_resin(run, tmp_path, capsys):
    with pytest.raises(SystemExit):
        run("compare", "--help")
    assert "at least one resin satisfies each pipe" in " ".join(capsys.readouterr().out.split())
    (tmp_path / "a.toml").write_text(toml(resin={"thicknesses": ["3 mm"]}))
    assert run("compare", "a.toml")[0] == 1


def test_cautions_defaults_and_evidence_are_listed_with_the_rank(run, tmp_path):
    """Three resins alike but for their retentions; only the first has evidence for them."""
    tested = {"name": "Tested", "modulus_retention": "40 %", "strength_retention": "40 %"}
    claimed = 'modulus_retention = "90 %"\nstrength_retention = "50 %"\n'
    text = toml(resin=tested | {"evidence": "creep test"})
    text += resin("Unstated") + resin("Claimed", more=claimed)
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    code, out, _ = run("compare", "p.toml", "--json")
    assert code == 0
    ranking = {each["resin"]: each for each in json.loads(out)["ranking"]}
    assert ranking["Claimed"]["rank"] == 1
    assert {each["severity"] for each in ranking["Claimed"]["remarks"]} == {"caution"}
    texts = [each["text"] for each in ranking["Claimed"]["remarks"]]
    assert any("over 50 % without evidence" in text for text in texts)
    assert {each["severity"] for each in ranking["Unstated"]["remarks"]} == {"default"}
    assert ranking["Tested"]["remarks"] == []
    assert ranking["Tested"]["evidence"] == "creep test"
    _, text, _ = run("compare", "p.toml")
    words = " ".join(text.split())
    assert "Claimed [D]: no evidence stated" in words
    assert "cautions and defaults do not affect the rank" in words
    assert "50 % (default)" in words
    assert "enhancement factor 7 (default)" in words


def test_a_tie_over_the_pipes_in_common_is_seen_as_one(run, tmp_path):
    """Twins, of which one lacks the thickness for the trunk: alike over the two lanes.

    Their totals, over three pipes and over two, differ; the first table must not.
    """
    thin = resin("Twin", more='thicknesses = ["4.5 mm"]\n')
    text = text_of(thin, pipe("Lane", 8, "50 m"), pipe("Row", 8, "90 m"))
    text = text.replace('name = "Felt A"\n', 'name = "Felt A"\nthicknesses = ["4.5 mm", "40 mm"]\n')
    table, order = ranked(text, "cost")
    assert [(s.resin.name, s.rank, sorted(s.own.pipes)) for s in order] == [
        ("Felt A", 1, [0, 1, 2]),
        ("Twin", 2, [1, 2]),
    ]
    assert order[0].common.cost == order[1].common.cost
    by_hand = sum(
        row[0].wall.cost * length for row, length in zip(table[1:], (50, 90), strict=True)
    )
    assert order[0].common.cost[0] == pytest.approx(by_hand)
    (tmp_path / "a.toml").write_text(text)
    _, out, _ = run("compare", "a.toml", "--by", "cost")
    first = out.partition("Figures over the 2 of 3 pipes")[2].partition("Figures over the pipes")[0]
    lines = [line.split() for line in first.splitlines() if "[D]" in line]
    assert len(lines) == 2
    assert lines[0][-2] == lines[1][-2]
