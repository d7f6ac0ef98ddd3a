"""The table and the data of a second opinion, against numbers chosen by hand; nothing is solved."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
from projects import toml
from tasks.second_opinion.test_statements import LASTING, PLACE, REQUIRED, opinion

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph, Picture
from linerdesign.findings import finding
from linerdesign.methods.ring.strength import Limit, Required
from linerdesign.project.reading import parse
from linerdesign.tasks.second_opinion import report
from linerdesign.tasks.second_opinion.report import (
    added,
    blocks,
    buckling_data,
    opinions_data,
    opinions_report,
)
from linerdesign.tasks.second_opinion.statements import statements
from linerdesign.words import sentence

MORE = {
    **{"DR": 48.0, "K_equal": 5.6, "p_free": 8.0, "K_Glock": 5.0, "p_lobes": 60.0},
    **{"p_gap": 25.0, "K_gap": 4.0, "p_Amstutz": 28.0, "K_first": 3.5},
}


@pytest.fixture(autouse=True)
def working(monkeypatch):
    """The working is of another module; here it stands for itself."""
    monkeypatch.setattr(report, "working_data", lambda steps: ["the steps"])
    monkeypatch.setattr(report, "working_grid", lambda *given: given)
    monkeypatch.setattr(report, "remarks", lambda steps: ())


def made(values=None, method="f1216", **more):
    found = opinion(MORE | (values or {}), **more)
    found.result.name, found.result.basis.method = "Trunk", method
    return found


def psi(value):
    return {"value": value, "unit": "psi"}


def percent(value):
    return {"value": pytest.approx(value), "unit": "%"}


def test_every_number_of_the_data():
    """Stresses over E* times 100,000 psi; N of strength is the lesser of 2.4 and 2.5."""
    place = replace(PLACE, station="9 ft")
    found = made(place=place, required=REQUIRED, effects=(("no_gap", 9.0), ("round", None)))
    data = buckling_data(found, found.result)
    assert data.pop("pressures") == {
        **{"code": psi(40.0), "free_ring": psi(8.0), "glock": psi(30.0)},
        **{"glock_two_lobes": psi(60.0), "glock_with_gap": psi(25.0)},
        **{"perimeter_form": None, "numerical": psi(50.0)},
    }
    assert data.pop("enhancement_factor") == {
        **{"code": 5.6, "free_ring": 1.0, "glock": 5.0, "glock_two_lobes": None},
        **{"glock_with_gap": 4.0, "perimeter_form": None, "numerical": 6.0},
    }
    assert data.pop("safety_factor") == {
        **{"code": 2.0, "free_ring": 0.4, "glock": 1.5, "glock_two_lobes": 3.0},
        **{"glock_with_gap": 1.25, "perimeter_form": None, "numerical": 2.5},
    }
    assert data == {
        "name": "Trunk",
        "replaces_the_code_check": False,
        "station": "9 ft",
        "thickness": {"value": 1.0, "unit": "in"},
        "dimension_ratio": 48.0,
        "gap": percent(0.5),
        "ovality": percent(4),
        "imperfection": percent(2),
        "pressure_asked": psi(20.0),
        "glock_pressure": psi(30.0),
        "numerical_pressure": psi(50.0),
        "side_of_code": "safe",
        "collapse_pressure": psi(50.0),
        "collapse_pressure_at_most": psi(45.0),
        "first_strength_pressure": psi(30.0),
        "first_strength": {
            "compression": psi(pytest.approx(40)),
            "tension": psi(pytest.approx(30)),
        },
        "stress_at_design": psi(900.0),
        "stress_at_collapse": psi(pytest.approx(3000)),
        "strength": psi(2250.0),
        "strength_safety_factor": 2.4,
        "side_of_code_by_strength": "unsafe",
        "required_thickness": {"value": 1.0, "unit": "in"},
        "required_thickness_limit": REQUIRED.limit,
        "time_to_collapse": None,
        "lasting": None,
        "effects": [
            {"change": "no_gap", "enhancement_factor": 9.0},
            {"change": "round", "enhancement_factor": None},
        ],
        "reason": "",
        "statements": list(statements(found)),
        "steps": ["the steps"],
    }


def test_what_has_no_result_is_null_and_the_reason_is_told():
    why = finding("ring.no_thickness")
    found = made(strength=None, reason=why)
    data = buckling_data(found, found.result)
    assert data["first_strength"] == {"compression": None, "tension": None}
    assert data["stress_at_collapse"] is data["required_thickness_limit"] is None
    assert data["reason"] == why.said
    nothing = buckling_data(None, found.result)
    assert nothing == {
        "name": "Trunk",
        "replaces_the_code_check": False,
        **dict.fromkeys(report.NUMBERS),
        "reason": sentence("ring.nothing_presses"),
    }
    every = set(buckling_data(made(), found.result))
    assert set(report.NUMBERS) <= every


def test_the_time_to_collapse_of_the_data():
    """A wall that holds for ten lives of 50 years is known for no more; 438,000 h are 50 years."""
    lasting = replace(LASTING, growth=0.003, collapse=None, collapse_n=12.0, pressure=0.0004)
    found = made(time=lasting)
    data = buckling_data(found, found.result)
    assert data["time_to_collapse"] == {"value": None, "more_than": 500.0, "unit": "years"}
    assert data["lasting"] == {
        "law": lasting.law.kind,
        "retention": percent(50),
        "t0": {"value": 1.0, "unit": "h"},
        "design_life": {"value": 50.0, "unit": "years"},
        "gap_growth": percent(0.3),
        "time_to_collapse_with_safety_factor": {"value": 12.0, "more_than": None, "unit": "years"},
        "pressure_for_design_life": psi(pytest.approx(40)),
    }
    found = made(time=replace(lasting, pressure=None))
    assert buckling_data(found, found.result)["lasting"]["pressure_for_design_life"] is None


def test_the_table_has_a_row_for_each_theory_and_for_first_strength():
    """Factors are pressures over 20 psi, cut after two decimals; none without a number."""
    found = made({"p_solved": 49.99, "K": 7.5}, place=replace(PLACE, station="9 ft"))
    heading, opinion_, check, table, said, grid = blocks(found, found.result, pictures=False)
    assert heading == Heading(sentence("ring.pipe_heading", pipe="Trunk"), 2)
    assert opinion_ == Paragraph(sentence("ring.opinion"))
    assert check == Paragraph(sentence("ring.not_a_check"))
    assert said == Bullets(statements(found))
    assert grid == (found.steps, "US", sentence("ring.working"))
    assert table.columns == ("", "pressure, psi", "K", "safety factor")
    assert table.align == "<>>>"
    assert table.caption == (
        "Wall of 25.4 mm (1 in) at 9 ft: collapse pressures, K that gives a round pipe the same "
        "pressure, and safety factors on P = 20 psi. Gap and bulge are shares of D/2."
    )
    rows = {name: cells for name, *cells in table.rows}
    assert rows["free ring, round"] == ["8", "1", "0.40"]
    assert rows["Glock, two lobes: round, tight"] == ["no result", "-", "-"]
    assert rows["Glock, one lobe: round, tight"] == ["30", "5", "1.50"]
    elastic = "numerical, elastic collapse: gap 0.5 %, ovality 4 %, bulge 2 %"
    assert rows[elastic] == ["49.99", "6", "2.49"]
    assert rows["numerical, first strength: same imperfections"] == ["30", "3.5", "2.50"]
    assert rows["Amstutz, first strength: round, gap 0.5 %"] == ["28", "-", "-"]
    assert rows["X1.1 with K = 7.5, and C for an ovality of 4 %"] == ["40", "5.6", "2.00"]
    none = made({"p_Amstutz": None, "p_first": None})
    table = next(each for each in blocks(none, none.result, False) if isinstance(each, Grid))
    assert "first strength" not in " ".join(name for name, *_ in table.rows)
    assert "(1 in): collapse" in table.caption
    assert len(table.rows) == len(rows) - 2


def test_pressures_have_four_figures_and_factors_three():
    values = {"p_first": 30.1234, "K_first": 3.5678, "K": 7.1234, "p_solved": 50.1234}
    found = made(values | {"K_solved": 6.1234}, place=replace(PLACE, demand=20.1234))
    table = next(each for each in blocks(found, found.result, False) if isinstance(each, Grid))
    assert "P = 20.12 psi." in table.caption
    rows = {name: cells for name, *cells in table.rows}
    assert rows["numerical, first strength: same imperfections"][:2] == ["30.12", "3.57"]
    elastic = "numerical, elastic collapse: gap 0.5 %, ovality 4 %, bulge 2 %"
    assert rows[elastic][:2] == ["50.12", "6.12"]
    assert "X1.1 with K = 7.12, and C for an ovality of 4 %" in rows


def test_a_wall_chosen_by_the_ring_is_in_place_of_the_check():
    found = made(method="ring")
    assert Paragraph(sentence("ring.in_place")) in blocks(found, found.result, False)


def test_remarks_stand_under_the_working(monkeypatch):
    monkeypatch.setattr(report, "remarks", lambda steps: ("a remark",))
    found = made()
    assert blocks(found, found.result, False)[-1] == Bullets(("a remark",))


def test_pictures_are_drawn_where_the_model_has_a_number(monkeypatch):
    from linerdesign.documents import figures
    from linerdesign.tasks.second_opinion import pictures

    monkeypatch.setattr(pictures, "path", lambda opinion, unit: f"path in {unit}")
    monkeypatch.setattr(pictures, "shape", lambda opinion: "shape")
    monkeypatch.setattr(figures, "render", lambda figure, form: f"{figure} as {form}".encode())
    found = made({"p_solved": 50.1234})
    drawn = [each for each in blocks(found, found.result, True) if isinstance(each, Picture)]
    assert drawn == [
        Picture(
            "path in psi as svg",
            "Equilibrium path, Trunk",
            sentence("ring.path_text", pressure="50.12", unit="psi"),
        ),
        Picture(
            "shape as svg",
            sentence("ring.shape_caption", pipe="Trunk"),
            sentence("ring.shape_text"),
        ),
    ]
    silent = made({"p_solved": None})
    assert not any(isinstance(each, Picture) for each in blocks(silent, silent.result, True))


def test_without_a_pressure_there_is_no_opinion():
    result = SimpleNamespace(name="Dry")
    assert blocks(None, result, True) == (
        Heading(sentence("ring.pipe_heading", pipe="Dry"), 2),
        Paragraph(sentence("ring.no_opinion", reason=sentence("ring.nothing_presses"))),
    )


@pytest.mark.parametrize(
    ("names", "seen"),
    [(("a.pdf",), True), (("a.txt", "b.HTML"), True), (("a.xlsx", "b.json"), False), ((), False)],
)
def test_pictures_are_for_targets_that_can_show_them(monkeypatch, names, seen):
    asked = []
    monkeypatch.setattr(report, "second_opinion", lambda result, assumed: assumed)
    monkeypatch.setattr(report, "buckling_data", lambda opinion, result: (opinion, result))
    monkeypatch.setattr(report, "blocks", lambda *given: asked.append(given) or ())
    assert added("pipe", [Path(name) for name in names]) == ((report.USUAL, "pipe"), ())
    assert asked == [(report.USUAL, "pipe", seen)]


def test_a_thickness_that_no_wall_meets_names_its_limit():
    found = made({"t_ring": None}, required=Required(None, Limit.STABILITY))
    data = buckling_data(found, found.result)
    assert (data["required_thickness"], data["required_thickness_limit"]) == (None, Limit.STABILITY)


def test_the_opinions_on_several_pipes():
    """German practice, from memory: a gap of 0.5 % and a bulge of 2 %."""
    town = parse(toml().encode())
    document = opinions_report(town, "US", [("one", "two"), ("three",)])
    assert (document.title, document.units) == (sentence("ring.title"), "US")
    assert document.blocks == (
        Heading(document.title),
        Paragraph(sentence("ring.defaults", gap=0.5, bulge=2.0)),
        *("one", "two", "three"),
    )
    data = opinions_data("US", iter([{"name": "Trunk"}]))
    assert (data["units"], data["pipes"]) == ("US", [{"name": "Trunk"}])
