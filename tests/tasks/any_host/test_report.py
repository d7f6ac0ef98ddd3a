"""What is told of a liner in a host of another shape, against numbers chosen by hand."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from tasks.any_host.test_liners import EGG, ROUND, liner

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph
from linerdesign.methods.ring.strength import Limit
from linerdesign.tasks.any_host import opinion, report
from linerdesign.tasks.any_host.liners import NoOpinionError
from linerdesign.tasks.any_host.report import loads, shaped_blocks, shaped_data, statements
from linerdesign.tasks.any_host.shaped import Shaped
from linerdesign.tasks.second_opinion.opinion import Assumed
from linerdesign.words import sentence

CASE = SimpleNamespace(full_ring=True, elements=60, places=(0.25, 0.75))
# Over E* of 100,000 psi: 12, 9 and 700 psi; the radius is 20 in.
AT = SimpleNamespace(
    case=CASE,
    decides=SimpleNamespace(pressure=9e-5),
    collapse=12e-5,
    first=9e-5,
    stress=7e-3,
    movement=0.01,
    mesh=-0.004,
    energy=-0.002,
)
STEPS = tuple(
    SimpleNamespace(key=key, value=value)
    for key, value in {"t_deflection": 0.8, "t_strength": 1.0}.items()
)


@pytest.fixture(autouse=True)
def working(monkeypatch):
    """The working is of another module; here it stands for itself."""
    monkeypatch.setattr(report, "working_data", lambda steps: ["the steps"])
    monkeypatch.setattr(report, "working_grid", lambda *given: given)
    monkeypatch.setattr(report, "remarks", lambda steps: ())


def found(at=AT, wall=1.25, **more):
    return Shaped(liner(**more), 1.0, Limit.TENSION, wall, at, {}, STEPS)


def psi(value):
    return {"value": pytest.approx(value), "unit": "psi"}


def inches(value):
    return {"value": pytest.approx(value, rel=1e-4), "unit": "in"}


def test_every_number_of_the_data():
    """0.01 of a radius of 20 in; 3 % of 40 in; a full ring has twice its elements."""
    made = found()
    data = shaped_data("Box", made)
    assert data == {
        "name": "Box",
        "replaces_the_code_check": False,
        "shaped": True,
        "reason": "",
        "enhancement_factor": None,
        "glock_pressure": None,
        "thickness": inches(1.25),
        "gap": {"value": 0.5, "unit": "%"},
        "imperfection": {"value": 2.0, "unit": "%"},
        "pressure_asked": psi(4),
        "numerical_pressure": psi(12),
        "collapse_pressure": psi(12),
        "first_strength_pressure": psi(9),
        "stress_at_design": psi(700),
        "strength": psi(2000),
        "deflection_at_design": inches(0.2),
        "maximum_deflection": inches(1.2),
        "required_thickness": inches(1.0),
        "required_thickness_limit": Limit.TENSION,
        "required_thickness_by": {
            "deflection": inches(0.8),
            "strength": inches(1.0),
            "stability": None,
        },
        "lobes": 1,
        "lobe_place_percent": 25.0,
        "convergence": {
            "elements": 120,
            "mesh_difference_percent": pytest.approx(-0.4),
            "energy_residual_percent": pytest.approx(0.2),
        },
        "statements": list(statements(made)),
        "steps": ["the steps"],
    }
    half = SimpleNamespace(**{**vars(CASE), "full_ring": False})
    lost = SimpleNamespace(**{**vars(AT), "case": half, "movement": None, "first": None})
    data = shaped_data("Box", found(lost))
    assert (data["lobes"], data["deflection_at_design"]) == (2, None)
    assert data["first_strength_pressure"] is None


def test_the_table_and_the_blocks():
    made = found()
    heading, note, table, said, grid = shaped_blocks("Box", made)
    assert heading == Heading("Liner in a host of another shape, Box", 2)
    assert note == Paragraph(sentence("hosts.not_the_code"))
    assert table == Grid(
        ("limit", "required thickness"),
        "<>",
        (
            ("deflection of at most 3 % of the width under P", "20.32 mm (0.8 in)"),
            ("strength: first fibre at N P, and strength over N under P", "25.4 mm (1 in)"),
            ("stability: elastic collapse at N P", "not reached in such a wall"),
        ),
        "Wall of 31.75 mm (1.25 in): required thickness by each limit, P = 4 psi at the invert, "
        "N = 2",
    )
    assert said == Bullets(tuple(statements(made)))
    assert grid == (STEPS, "US", sentence("hosts.working"))


def test_the_pressure_of_the_caption_has_four_figures():
    table = shaped_blocks("Box", found(values={"P": 4.12345}))[2]
    assert "P = 4.123 psi at" in table.caption


def test_remarks_stand_under_the_working(monkeypatch):
    monkeypatch.setattr(report, "remarks", lambda steps: ("a remark",))
    assert shaped_blocks("Box", found())[-1] == Bullets(("a remark",))


def test_what_the_numbers_come_to():
    """9 psi over 4 psi are 2.25, more than N = 2; 2,000 psi over N are 1,000 psi."""
    assert list(statements(found())) == [
        "Required thickness by this method: 25.4 mm (1 in); strength in tension governs.",
        "Under P a wall of 31.75 mm (1.25 in) moves inwards by 0.2 in (limit 1.2 in); greatest "
        "fibre stress 700 psi, strength over N 1000 psi.",
        "Lobes: one lobe at 25 % of the perimeter from the invert, anticlockwise. 120 elements; "
        "half of them change the deciding pressure by -0.4 %; work and energy agree within 0.2 %.",
        loads(liner()),
    ]
    still = SimpleNamespace(**{**vars(AT), "movement": None})
    assert not any("moves inwards" in each for each in statements(found(still)))
    half = SimpleNamespace(**{**vars(CASE), "full_ring": False, "places": (0.75, 0.25)})
    two = list(statements(found(SimpleNamespace(**{**vars(AT), "case": half}))))
    assert two[2].startswith("Lobes: two lobes, at 75 % of the perimeter from the invert on either")


def test_what_is_told_under_the_pressure_has_four_figures():
    """0.0123456 of 20 in, 3.45678 % of 40 in, 712.3456 psi, and 2,345.67 psi over 2."""
    at = SimpleNamespace(**{**vars(AT), "movement": 0.0123456, "stress": 7.123456e-3})
    told = list(statements(found(at, allowed=0.0345678, values={"sigma_L": 2345.67})))[1]
    assert told.endswith(
        "moves inwards by 0.2469 in (limit 1.383 in); greatest fibre stress 712.3 psi, strength "
        "over N 1173 psi."
    )
    none = SimpleNamespace(**{**vars(AT), "stress": None})
    assert "greatest fibre stress 0 psi" in list(statements(found(none)))[1]


def test_a_wall_that_holds_less_than_n_times_the_pressure_is_short():
    """7.9 over 4 is 1.97; a ten-thousandth is what the search for a wall leaves."""

    def short(pressure):
        decides = SimpleNamespace(pressure=pressure / 1e5)
        return list(report.short_wall(found(SimpleNamespace(**{**vars(AT), "decides": decides}))))

    assert short(7.9) == [
        "The wall of 31.75 mm (1.25 in) holds 1.97 times P by its deciding limit, below N = 2."
    ]
    assert short(8.0) == short(8 * (1 - 0.9e-4)) == []
    assert len(short(8 * (1 - 1.1e-4))) == 1


def test_the_loads_in_words():
    still = "equal all around; gap 0.5 %, bulge 2 % of the radius of the circle"
    assert loads(liner()) == (
        "Loads: water pressure falling from the invert upwards; gap 0.5 %, bulge 2 % of the radius "
        "of the circle of the same perimeter; own weight left out; the uplift is carried along the "
        "wall."
    )
    assert still in loads(liner(values={"h_invert": 0.0}))
    heavy = loads(liner(weight=0.04, buoyant=True))
    assert heavy.endswith("own weight counted; water lifts the liner onto the crown.")


PIPE = SimpleNamespace(name="Box", grout=[])


def asked_of_the_model(monkeypatch):
    asked = []

    def liner_of(*given):
        asked.append(given)
        return liner(EGG)

    monkeypatch.setattr(opinion, "liner_of", liner_of)
    monkeypatch.setattr(opinion, "shaped", lambda made: replace(found(), liner=made))
    return asked


@pytest.mark.parametrize(
    ("assumed", "shares", "given"),
    [
        # German practice where nothing is requested: a gap of 0.5 % and a bulge of 2 %.
        (Assumed(), (0.005, 0.02), False),
        (Assumed(gap=0.0), (0.0, 0.02), True),
        (Assumed(imperfection=0.01), (0.005, 0.01), False),
    ],
)
def test_imperfections_are_those_requested(monkeypatch, assumed, shares, given):
    asked, kept = asked_of_the_model(monkeypatch), []
    monkeypatch.setattr(report, "shaped_data", lambda name, made: kept.append(made) or {"n": name})
    monkeypatch.setattr(report, "shaped_blocks", lambda name, made: (name,))
    data, blocks = opinion.shaped_opinion("project", PIPE, "US", EGG, assumed)
    assert asked == [("project", PIPE, "US", EGG, *shares)]
    assert (data, blocks) == ({"n": "Box"}, ("Box",))
    assert kept[0].liner.gap_given is given


def test_grout_presses_on_the_wall_that_is_checked(monkeypatch):
    from linerdesign.tasks.any_host import further

    asked_of_the_model(monkeypatch)
    monkeypatch.setattr(
        further, "grouting", lambda made, pipe: ((made.thickness, pipe.name), ("grout",))
    )
    grouted = SimpleNamespace(name="Box", grout=["stage"])
    data, blocks = opinion.shaped_opinion("project", grouted, "US", EGG, Assumed())
    assert data["grouting"] == (1.25, "Box")
    assert blocks[-1] == "grout"
    assert "grouting" not in opinion.shaped_opinion("project", PIPE, "US", EGG, Assumed())[0]


def test_a_pipe_without_a_result_has_a_reason(monkeypatch):
    def refused(*given):
        raise NoOpinionError("hosts.too_thin")

    monkeypatch.setattr(opinion, "liner_of", refused)
    data, blocks = opinion.shaped_opinion("project", PIPE, "US", ROUND, Assumed())
    why = sentence("hosts.too_thin")
    assert data == {
        "name": "Box",
        "replaces_the_code_check": False,
        "shaped": True,
        **dict.fromkeys(report.COMMON),
        "reason": why,
    }
    assert blocks == (
        Heading("Liner in a host of another shape, Box", 2),
        Paragraph(f"No result for this pipe: {why}."),
    )


@pytest.mark.parametrize(
    ("ratio", "more"), [(9.99, False), (10.0, True), (150.0, True), (150.1, False), (None, False)]
)
@pytest.mark.parametrize(
    ("fully", "arc", "pressure"), [(True, None, 4.0), (False, 30.0, 0.005), (False, 30.0, 0.0)]
)
def test_parts_are_added_to_a_circular_pipe_within_the_range_of_the_model(
    monkeypatch, ratio, more, fully, arc, pressure
):
    from linerdesign.tasks.any_host import further

    known = SimpleNamespace(value={"DR": ratio}.get, place="place")
    monkeypatch.setattr(opinion, "second_opinion", lambda result, assumed: known)
    monkeypatch.setattr(opinion, "buckling_data", lambda opinion, result: {"name": "Trunk"})
    monkeypatch.setattr(opinion, "blocks", lambda opinion, result, seen: ("opinion", seen))
    monkeypatch.setattr(opinion, "of_circular", lambda *given: liner(values={"P": pressure}))
    for name in ("soil_springs", "missing_part", "grouting"):
        monkeypatch.setattr(further, name, lambda liner, pipe, name=name: (name, (f"{name} told",)))
    pipe = SimpleNamespace(hole_arc=arc, grout=["stage"])
    result = SimpleNamespace(basis=SimpleNamespace(buried_fully=fully))
    data, blocks = opinion.circular_opinion("project", pipe, result, [], Assumed())
    wanted = ["soil_springs"] * fully + ["missing_part"] * bool(arc and pressure) + ["grouting"]
    wanted = wanted if more else []
    assert data == {"name": "Trunk"} | {name: name for name in wanted}
    assert blocks == ("opinion", False, *(f"{name} told" for name in wanted))
