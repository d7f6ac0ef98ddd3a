"""Openings, soil springs and grout as they are told, and what the model is asked; by hand."""

from dataclasses import replace
from types import SimpleNamespace as Made

import pytest
from projects import toml
from tasks.any_host.test_liners import BOX, EGG, liner

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph
from linerdesign.findings import finding
from linerdesign.methods.outline import equations as forms
from linerdesign.methods.ring.path import NoEquilibriumError
from linerdesign.methods.ring.strength import Limit
from linerdesign.project.measures import Measure
from linerdesign.project.reading import parse
from linerdesign.tasks.any_host import broken, further, liners, shaped
from linerdesign.tasks.any_host.grouting import Stage
from linerdesign.tasks.any_host.liners import NoOpinionError
from linerdesign.words import sentence

LINER = liner(thickness=0.8)
# E_plane is 100,000 psi, E 200,000 psi with nu = 0.3; P is 4 psi and N = 2; the radius 20 in.
INITIAL = 200_000 / (1 - 0.3**2)


@pytest.fixture(autouse=True)
def working(monkeypatch):
    """The working is of another module; here it stands for itself."""
    monkeypatch.setattr(further, "working_data", lambda steps: ["data", steps])
    monkeypatch.setattr(further, "working_grid", lambda *given: given)


def psi(value):
    return {"value": pytest.approx(value), "unit": "psi"}


def at(pressure=9e-5, limit=Limit.STABILITY, **more):
    given = {"movement": 0.01, "stress": 7e-3, "mesh": -0.004, "energy": 0.002}
    given |= {"solution": Made(snaps=(8e-5, 5e-5, 9.5e-5))}
    return Made(**(given | {"decides": Made(pressure=pressure, limit=limit)} | more))


def angle(degrees):
    return Made(to=lambda unit: {"deg": degrees}[unit])


HOLE = Made(name="Trunk", hole_arc=angle(30.0), hole_position=angle(90.0))


def test_a_missing_part(monkeypatch):
    """9 psi over 4 psi are 2.25; the liner jumps at 5 and 8 psi, before it gives way at 9."""
    asked = []
    monkeypatch.setattr(
        further,
        "opening",
        lambda *given: asked.append(given) or broken.Opening(at(), 1.0),
    )
    data, (heading, said) = further.missing_part(LINER, HOLE)
    assert asked == [(LINER, 30.0, 90.0)]
    assert heading == Heading("Missing part of the host, Trunk", 2)
    jump = lambda pressure: sentence("ring.snap", pressure=pressure, unit="psi")  # noqa: E731
    text = sentence(
        "hosts.hole",
        arc=30.0,
        position=90.0,
        wall="20.32 mm (0.8 in)",
        factor="2.25",
        pressure="4",
        unit="psi",
        limit=sentence("ring.limit_stability"),
        thickness="25.4 mm (1 in)",
    )
    assert said == Paragraph(f"{text} {jump('5')} {jump('8')}")
    assert data == {
        "reason": "",
        "passes": True,
        "safety_factor": pytest.approx(2.25),
        "limit": Limit.STABILITY,
        "required_thickness": {"value": 1.0, "unit": "in"},
        "mesh_difference_percent": pytest.approx(-0.4),
        "energy_residual_percent": pytest.approx(0.2),
        "text": said.text,
    }
    monkeypatch.setattr(further, "opening", lambda *given: broken.Opening(at(7.9e-5), 1.0))
    assert further.missing_part(LINER, HOLE)[0]["passes"] is False
    exact = replace(LINER, values=LINER.values | {"P": 4.0, "E_plane": 2.0**17})
    monkeypatch.setattr(
        further, "opening", lambda *given: broken.Opening(at(2 * exact.demand.pressure), 1.0)
    )
    assert further.missing_part(exact, HOLE)[0]["passes"] is True


def test_pressures_at_a_missing_part_have_four_figures(monkeypatch):
    """P of 4.12345 psi, and a jump at 5.23456 psi; one at which the liner gives way is none."""
    found = broken.Opening(at(solution=Made(snaps=(9e-5, 5.23456e-5))), 1.0)
    monkeypatch.setattr(further, "opening", lambda *given: found)
    precise = replace(LINER, values=LINER.values | {"P": 4.12345})
    text = further.missing_part(precise, HOLE)[0]["text"]
    assert "4.123 psi" in text
    assert text.endswith(sentence("ring.snap", pressure="5.235", unit="psi"))
    assert text.count("psi") == 2


def refuse(*given):
    raise NoOpinionError("hosts.too_thin")


@pytest.mark.parametrize(
    ("part", "model", "heading"),
    [
        (further.missing_part, "opening", "hole_heading"),
        (further.soil_springs, "sprung", "springs_heading"),
        (further.grouting, "stages", "grout_heading"),
    ],
)
def test_a_part_without_a_result_has_a_reason(monkeypatch, part, model, heading):
    monkeypatch.setattr(further, model, refuse)
    why = sentence("hosts.too_thin")
    assert part(LINER, HOLE) == (
        {"reason": why, "passes": False},
        (
            Heading(sentence(f"hosts.{heading}", pipe="Trunk"), 2),
            Paragraph(sentence("hosts.silent", reason=why)),
        ),
    )


def test_soil_springs(monkeypatch):
    found = broken.Sprung(12.34567, 11.23456, 2.809, ("steps",))
    monkeypatch.setattr(further, "sprung", lambda liner: found)
    data, (heading, said, grid) = further.soil_springs(LINER, HOLE)
    assert heading == Heading("Soil springs behind a fully deteriorated host, Trunk", 2)
    assert said.text == sentence(
        "hosts.springs", both="12.35", apart="11.23", unit="psi", bulge=2.0, factor="2.80"
    )
    assert grid == (("steps",), "US", sentence("hosts.working"))
    assert data == {
        "reason": "",
        "passes": True,
        "both_ways_pressure": psi(12.34567),
        "one_way_pressure": psi(11.23456),
        "safety_factor": 2.809,
        "text": said.text,
        "steps": ["data", ("steps",)],
    }


LOST = Stage(2.0, 3.0, 0.5, None, finding("ring.no_time"), ("third",), 1.0)


def test_stages_of_grout(monkeypatch):
    """Factors are the pressure borne over the share: 3e-5/1e-5 = 3 and 1.9.

    Of 20 in 0.0123456 are 0.246912 in, and a stress of 0.007 is 1538.46 psi over 200,000/0.91.
    """
    first = Stage(
        0.0, 1.23456, 0.83333, at(3e-5, Limit.NONE, movement=0.0123456), None, ("first",), 1e-5
    )
    second = Stage(
        1.0, 2.0, 1.66667, at(1.9e-5, movement=None, stress=None), None, ("second",), 1e-5
    )
    monkeypatch.setattr(further, "stages", lambda liner, pipe: [first, second, LOST])
    data, (heading, note, grid, said, *steps) = further.grouting(LINER, HOLE)
    assert heading == Heading("Grouting outside the liner, Trunk", 2)
    assert note == Paragraph(sentence("hosts.grout_note"))
    stress = 7e-3 * INITIAL
    assert grid == Grid(
        ("top above invert", "pressure", "deflection", "fibre stress", "factor", "decides"),
        ">>>>><",
        (
            (
                *("1.235 ft", "0.8333 psi", "0.247 in", "1538 psi"),
                *("at least 3.00", "no limit reached"),
            ),
            ("2 ft", "1.667 psi", "-", "-", "1.90", sentence("ring.limit_stability")),
            ("3 ft", "0.5 psi", "-", "-", "-", "no result"),
        ),
        "Stages of grouting: wall of 20.32 mm (0.8 in), N = 2",
    )
    reason = finding("ring.no_time").said
    assert said == Bullets(
        (
            sentence("hosts.grout_unsafe", number=2, factor="1.90", safety=2.0),
            sentence("hosts.grout_lost", number=3, reason=reason),
        )
    )
    assert steps == [
        ((name,), "US", sentence("hosts.grout_working", number=number))
        for number, name in enumerate(("first", "second", "third"), 1)
    ]
    assert (data["reason"], data["passes"], data["statements"]) == (reason, False, list(said.items))
    assert data["stages"][0] == {
        "bottom": {"value": 0.0, "unit": "ft"},
        "top": {"value": 1.23456, "unit": "ft"},
        "pressure": psi(0.83333),
        "deflection": {"value": pytest.approx(0.246912, rel=1e-4), "unit": "in"},
        "stress": psi(stress),
        "safety_factor": pytest.approx(3),
        "limit": Limit.NONE,
        "mesh_difference_percent": pytest.approx(-0.4),
        "passes": True,
        "reason": "",
        "steps": ["data", ("first",)],
    }
    second_data, lost = data["stages"][1:]
    assert second_data["deflection"] is second_data["stress"] is None
    assert second_data["passes"] is lost["passes"] is False
    for key in ("deflection", "stress", "safety_factor", "limit", "mesh_difference_percent"):
        assert lost[key] is None
    assert lost["reason"] == reason
    monkeypatch.setattr(further, "stages", lambda liner, pipe: [first])
    data, (_, _, _, said, _) = further.grouting(LINER, HOLE)
    assert (data["passes"], said.items) == (True, (sentence("hosts.grout_safe", safety=2.0),))
    edge = replace(first, at=at(2.0), share=1.0)
    assert further._passes(LINER, edge)


# What the model is asked


def test_an_opening_takes_the_weaker_of_both_bulges(monkeypatch):
    """The wall of 0.8 in in 40 in has a ratio of 50; the thickness is that of the ratio found."""
    asked, weak = [], iter((3.0, 2.0))

    def held(case, demand):
        asked.append((case, demand))
        return Made(case=case, decides=Made(pressure=next(weak)))

    def required(cases, demand):
        asked.append((cases, demand))
        return None, Made(dimension_ratio=ratio)

    monkeypatch.setattr(broken, "held", held)
    monkeypatch.setattr(broken, "required", required)
    ratio = 32.0
    found = broken.opening(LINER, 60.0, 90.0)
    assert found.at.decides.pressure == 2.0
    assert found.thickness == pytest.approx(40 / 32, rel=1e-4)
    beside, invert, (cases, demand) = asked
    assert [each.dimension_ratio for each in (beside[0], invert[0], *cases)] == pytest.approx(
        [50] * 3, rel=1e-4
    )
    assert cases == [invert[0]]
    assert demand.pressure == LINER.demand.pressure
    ratio, weak = None, iter((1.0, 2.0))
    with pytest.raises(NoOpinionError) as refused:
        broken.opening(LINER, 30.0, 90.0)
    assert refused.value.reason.code == "hosts.too_thin"


SPRINGS = (Made(key="p_springs", value=12.0), Made(key="N_apart", value=2.5))


def springs(monkeypatch, coarse=1.0, limit=1e-4, stopped=None):
    asked = []
    solution = Made(limit=limit and Made(pressure=limit), stopped=stopped)
    monkeypatch.setattr(broken, "solve", lambda case: asked.append(case) or solution)

    def nearby(case, found, other):
        asked.append((case, found, other))
        if coarse is None:
            raise NoEquilibriumError
        return Made(pressure=coarse * limit)

    monkeypatch.setattr(broken, "limit_nearby", nearby)
    monkeypatch.setattr(broken, "_spring_steps", lambda *given: asked.append(given) or SPRINGS)
    return asked


def test_springs_of_the_soil(monkeypatch):
    own = {"R_w": 0.8, "B": 0.25, "E_s": 1000.0, "nu": 0.25}
    soil = replace(LINER, values=LINER.values | own)
    asked = springs(monkeypatch, coarse=1.01)
    found = broken.sprung(soil)
    assert (found.both_ways, found.factor) == (12.0, 2.5)
    assert found.apart == pytest.approx(10.0)
    case, (near, limit, other), (_, ratio, apart, mesh) = asked
    assert case.dimension_ratio == pytest.approx(50, rel=1e-4)
    assert (case.imperfection, case.poisson, case.elements) == (0.02, 0.25, 60)
    assert (near, limit.pressure, other) == (case, 1e-4, replace(case, elements=30))
    assert case.springs == pytest.approx(forms.spring_share(0.8, 0.25) * 1000 / 100_000)
    assert (ratio, apart, mesh) == (case.dimension_ratio, found.apart, pytest.approx(0.01))
    for more in (
        {"coarse": 1.021},
        {"coarse": 0.979},
        {"coarse": None},
        {"limit": None},
        {"stopped": "no_limit"},
    ):
        springs(monkeypatch, **more)
        with pytest.raises(NoOpinionError):
            broken.sprung(soil)


def test_the_working_of_springs():
    """k = 0.8 x 0.25; p = sqrt(32 k E's E_L/(12 DR^3)); 10 psi over 6 psi in all."""
    values = {"R_w": 0.8, "B": 0.25, "E_s": 1000.0, "E_L": 91_000.0, "q_t": 6.0}
    soil = replace(LINER, values=LINER.values | values)
    found = {step.key: step for step in broken._spring_steps(soil, 50.0, 10.0, 0.0154)}
    assert {key: step.value for key, step in found.items()} == pytest.approx(
        values
        | {"DR": 50.0, "p_apart": 10.0, "k_soil": 0.2, "N_apart": 10 / 6}
        | {"p_springs": (32 * 0.2 * 1000 * 91_000 / (12 * 50**3)) ** 0.5}
    )
    told = {key: step.origin.text for key, step in found.items() if step.origin}
    assert told["p_apart"] == sentence("hosts.on_springs", elements=60, mesh=1.54)
    assert {told[key] for key in (*values, "DR")} == {sentence("ring.design")}


def test_the_given_wall_is_checked_in_its_weakest_lobes(monkeypatch):
    asked, weak = [], iter((3.0, 2.0))

    def held(case, demand):
        asked.append(case)
        return Made(decides=Made(pressure=next(weak)))

    monkeypatch.setattr(shaped, "held", held)
    assert shaped._weakest(liner(EGG), 44.0).decides.pressure == 2.0
    assert [(each.dimension_ratio, each.full_ring) for each in asked] == [
        (44.0, True),
        (44.0, False),
    ]


def shaped_of(monkeypatch, made, ratio=40.0, limit=Limit.TENSION):
    def held(case, demand):
        assert demand == made.demand
        return Made(case=case, decides=Made(limit=Limit.STABILITY, pressure=9e-5))

    def required(cases, demand, least):
        assert (demand, least) == (made.demand, made.least_ratio)
        return cases[0], Made(dimension_ratio=ratio, limit=limit)

    def by_limit(at, demand):
        assert demand == made.demand
        return {Limit.DEFLECTION: None, Limit.STABILITY: 50.0, Limit.TENSION: 40.0 * at.case.gap}

    monkeypatch.setattr(shaped, "held", held)
    monkeypatch.setattr(shaped, "required", required)
    monkeypatch.setattr(shaped, "by_limit", by_limit)
    monkeypatch.setattr(shaped, "_steps", lambda made: ("steps",))
    return shaped.shaped(made)


def test_a_wall_that_is_stated_is_checked_and_else_the_one_required(monkeypatch):
    made = liner(EGG)
    found = shaped_of(monkeypatch, made)
    assert found.thickness == found.wall == pytest.approx(2 * made.radius / 40)
    assert (found.governing, found.ratios, found.steps) == (
        Limit.TENSION,
        {"deflection": None, "stability": 50.0, "strength": 40.0 * made.gap},
        ("steps",),
    )
    stated = shaped_of(monkeypatch, liner(EGG, thickness=1.1))
    assert stated.wall == 1.1
    assert stated.thickness == found.thickness
    assert stated.at.case.dimension_ratio == pytest.approx(2 * made.radius / 1.1)
    assert shaped_of(monkeypatch, made, limit=None).governing == Limit.STABILITY
    with pytest.raises(NoOpinionError) as refused:
        shaped_of(monkeypatch, made, ratio=None)
    assert refused.value.reason.code == "hosts.too_thin"
    # With corners it is told what radius a wall would need that is a ninth thicker than the
    # thickest: the gap and one and a half of it.
    box = liner(BOX)
    with pytest.raises(NoOpinionError) as refused:
        shaped_of(monkeypatch, box, ratio=None)
    assert refused.value.reason.code == "hosts.sharp"
    thick = 2 * box.radius / box.least_ratio / 0.9
    least = dict(refused.value.reason.numbers)["least"]
    assert least == pytest.approx(0.005 * box.radius + 1.5 * thick)
    assert found.stress(1e-4) == pytest.approx(10)
    assert found.stress(None) is None


# The liner of a pipe in a project


def of_project(system="US", host=EGG, **more):
    text = toml()
    made = parse(text.encode())
    pipe = made.pipes[0].changed(
        {"condition": more.pop("condition", "partially deteriorated")} | more
    )
    return liners.liner_of(made, pipe, system, host, 0.004, 0.03)


def test_a_pipe_of_a_project_as_a_liner():
    """12 ft of water at 62.4 lb/ft3; the published trunk of 250,000 psi, half of it lasting."""
    found = of_project()
    assert found.number("P") == pytest.approx(12 * 62.4 / 144, rel=2e-3)
    assert found.number("E_plane") == pytest.approx(125_000 / (1 - 0.3**2))
    assert found.number("sigma_L") == pytest.approx(2250)
    assert (found.gap, found.bulge, found.allowed) == (0.004, 0.03, 0.03)
    assert (found.system, found.host, found.thickness) == ("US", EGG, None)
    keys = {each.key for each in found.inputs}
    assert {"E", "sigma", "nu", "N", "h_invert"} <= keys
    assert "D" not in keys
    results = [each.result for each in found.lines]
    assert results.count("sigma_L") == 1
    assert {"P", "E_plane"} <= set(results)
    stated = of_project(design_thickness=Measure(25.4, "mm", ""), buoyancy=True)
    assert stated.thickness == pytest.approx(1.0)
    assert (stated.buoyant, found.buoyant, found.weight) == (True, False, 0.0)
    shallow = of_project(groundwater_above_invert=Measure(0.01, "ft", ""))
    assert shallow.number("P") == pytest.approx(0.01 * 62.4 / 144, rel=2e-3)
    metric = of_project("SI", BOX)
    assert metric.number("P") == pytest.approx(found.number("P") * 0.00689476, rel=2e-3)


def test_the_station_under_the_most_water_decides_and_the_own_weight_counts_if_wished():
    """9 ft at one of two stations, 12 ft at the other; 75 lb/ft3 over 1728 in3 to the ft3."""
    stations = [{"at": "a"}, {"at": "b", "groundwater_above_invert": "9 ft"}]
    for own in (stations, stations[::-1]):
        made = parse(toml({"station": own}, {"density": "75 pcf"}).encode())
        pipe = made.pipes[0].changed({"condition": "partially deteriorated", "own_weight": True})
        found = liners.liner_of(made, pipe, "US", EGG, 0.004, 0.03)
        assert found.number("P") == pytest.approx(12 * 62.4 / 144, rel=2e-3)
        assert found.weight == pytest.approx(75 / 1728)


def test_a_liner_without_a_result_says_why():
    for more, code in (
        ({"condition": "fully deteriorated"}, "hosts.fully"),
        ({"groundwater_above_invert": Measure(0.0, "ft", "")}, "ring.nothing_presses"),
    ):
        with pytest.raises(NoOpinionError) as refused:
            of_project(**more)
        assert refused.value.reason.code == code
