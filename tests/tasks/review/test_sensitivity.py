"""Doubts by another route: the hand calculation moved by each doubt, and drawn one by one."""

import random
from dataclasses import replace
from itertools import pairwise
from types import SimpleNamespace
from xml.etree import ElementTree

import numpy as np
import pytest
from by_hand import Inputs, project, thicknesses
from drawings import SVG, apart, numbers, within

from linerdesign.documents.drawing import LINER, WATER
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse
from linerdesign.tasks.review import sensitivity as module
from linerdesign.tasks.review.sensitivity import DRAWS, SEED, Sensitivity, Swing, sensitivity
from linerdesign.tasks.review.submittal import submittals
from linerdesign.tasks.review.swing_chart import tornado
from linerdesign.tasks.uncertainty.inputs import Uncertainty
from linerdesign.words import sentence

PIPE = Inputs(
    D=18.0, q=3.0, h_invert=10.0, E=300000.0, retention=50.0, sigma=5000.0,
    strength_retention=50.0, H=12.0, W_s=0.8,
)  # fmt: skip
# Key of the project file, key of the package, field of the hand calculation, doubt in its unit.
DOUBTS = [
    ("ovality", "q_pipe", "q", "1 %", 1.0),
    ("groundwater_above_invert", "h_invert", "h_invert", "2 ft", 2.0),
    ("cover", "H", "H", "10 %", 1.2),
    ("soil_reaction_modulus", "E_s", "E_s", "300 psi", 300.0),
    ("modulus_retention", "r_E", "retention", "5 %", 5.0),
    ("live_load", "W_s", "W_s", "0.2 psi", 0.2),
    ("soil_unit_weight", "w", "w", "0 %", 0.0),
    ("host_diameter", "D", "D", "0 %", 0.0),
    ("flexural_modulus", "E", "E", "0 %", 0.0),
    ("flexural_strength", "sigma", "sigma", "0 %", 0.0),
    ("strength_retention", "r_sigma", "strength_retention", "0 %", 0.0),
]


def submitted(doubts, x=PIPE, thickness="9 mm", more=""):
    listed = ", ".join(f'{name} = "{text}"' for name, _, _, text, _ in doubts)
    text = project(x, {"thickness": thickness})
    text = text.replace("[pipe.stated]", f"doubt = {{ {listed} }}\n{more}[pipe.stated]")
    (found,) = submittals(parse(text.encode(), "test.toml"))
    return found


def test_each_swing_is_that_of_the_hand_calculation():
    found = submitted(DOUBTS)
    moved = sensitivity(found.pipe, found.ours, None)
    swings = {swing.uncertainty.key: swing for swing in moved.swings}
    assert set(swings) == {key for _, key, _, _, by in DOUBTS if by}
    for _, key, field, _, by in DOUBTS:
        if not by:
            continue
        value = getattr(PIPE, field)
        for sign, required, nominal in zip(
            (-1, 1), swings[key].required, swings[key].nominal, strict=True
        ):
            by_hand = thicknesses(replace(PIPE, **{field: value + sign * by}))["required"]
            assert required == pytest.approx(by_hand, rel=1e-9), key
            assert nominal * 25.4 == pytest.approx(-(-by_hand * 25.4 // 1.5) * 1.5)


def test_what_changes_the_nominal_thickness_comes_first_and_assumed_before_given():
    origin = 'origin = { live_load = "assumed", soil_reaction_modulus = "measured" }\n'
    found = submitted(DOUBTS, more=origin)
    swings = sensitivity(found.pipe, found.ours, None).swings
    ranks = [(not s.changes_nominal, not s.uncertainty.assumed, -s.width) for s in swings]
    assert ranks == sorted(ranks)
    assert {s.uncertainty.origin for s in swings} >= {"assumed", "measured"}


def test_the_chance_is_that_of_draws_made_one_by_one():
    """2,000 draws by hand: the share is known to about one percent and a half."""
    found = submitted(DOUBTS)
    chance = sensitivity(found.pipe, found.ours, found.item("t").value).chance
    assert chance.draws == DRAWS
    draw = random.Random(3)
    enough = 0
    for _ in range(2000):
        moved = {
            field: getattr(PIPE, field) + draw.triangular(-by, by, 0.0)
            for _, _, field, _, by in DOUBTS
            if by
        }
        enough += thicknesses(replace(PIPE, **moved))["required"] <= 9 / 25.4
    assert chance.enough == pytest.approx(enough / 2000, abs=0.035)
    assert 0.1 < chance.enough < 0.9


def test_the_chance_of_one_doubt_is_known_in_closed_form():
    """Only the water is in doubt: the share of its triangle under the head that 9 mm bears."""
    by = 3.0
    others = [(name, key, field, "0 %", 0.0) for name, key, field, _, _ in DOUBTS]
    others[1] = ("groundwater_above_invert", "h_invert", "h_invert", "3 ft", by)
    found = submitted(others)
    chance = sensitivity(found.pipe, found.ours, 9 / 25.4).chance
    low, high = PIPE.h_invert - by, PIPE.h_invert + by
    for _ in range(60):
        head = (low + high) / 2
        enough = thicknesses(replace(PIPE, h_invert=head))["required"] <= 9 / 25.4
        low, high = (head, high) if enough else (low, head)
    above = PIPE.h_invert + by - head
    assert 0 < above < by
    # Four standard errors of 100,000 draws are 0.006.
    assert chance.enough == pytest.approx(1 - above**2 / (2 * by**2), abs=0.006)


def test_the_same_seed_gives_the_same_chance():
    found = submitted(DOUBTS)
    wall = found.item("t").value
    first, again = (sensitivity(found.pipe, found.ours, wall, seed=4).chance for _ in range(2))
    other = sensitivity(found.pipe, found.ours, wall, seed=5).chance
    assert first == again
    assert first.enough != other.enough
    assert first.enough == pytest.approx(other.enough, abs=0.01)


def test_stations_move_together_and_the_worst_counts():
    deeper = '[[pipe.station]]\nat = "0 ft"\n[[pipe.station]]\nat = "80 ft"\ncover = "20 ft"\n'
    text = project(PIPE, {"thickness": "9 mm"}).replace(
        "[pipe.stated]", 'doubt = { cover = "2 ft", ovality = "0.5 %" }\n[pipe.stated]'
    )
    (found,) = submittals(parse((text + deeper).encode(), "test.toml"))
    moved = sensitivity(found.pipe, found.ours, 9 / 25.4)
    swing = next(s for s in moved.swings if s.uncertainty.key == "H")
    assert swing.value == 20.0
    for sign, required in zip((-1, 1), swing.required, strict=True):
        by_hand = max(
            thicknesses(replace(PIPE, H=cover + 2 * sign))["required"] for cover in (12.0, 20.0)
        )
        assert required == pytest.approx(by_hand, rel=1e-9)
    assert moved.chance.stations == 2


@pytest.mark.parametrize("covers", [(20.0, 12.0, 14.0), (12.0, 14.0, 20.0)])
def test_a_swing_holds_the_value_and_the_thicknesses_of_the_station_that_governs(covers):
    """By hand at each station: now, down and up, and rounded up to 1.5 mm."""
    places = "".join(
        f'[[pipe.station]]\nat = "{10 * i} ft"\ncover = "{cover} ft"\n'
        for i, cover in enumerate(covers)
    )
    text = project(PIPE, {"thickness": "9 mm"}).replace(
        "[pipe.stated]", 'doubt = { cover = "2 ft", ovality = "0.5 %" }\n[pipe.stated]'
    )
    (found,) = submittals(parse((text + places).encode(), "test.toml"))
    swings = {s.uncertainty.key: s for s in sensitivity(found.pipe, found.ours, None).swings}
    assert swings["H"].value == 20.0
    assert swings["q_pipe"].value == PIPE.q

    def required(**moved):
        by = {"H": moved.get("H", 0.0)}
        return max(
            thicknesses(replace(PIPE, H=c + by["H"], q=PIPE.q + moved.get("q", 0.0)))["required"]
            for c in covers
        )

    def nominal(t):
        return -(-t * 25.4 // 1.5) * 1.5 / 25.4

    for key, field, by in (("H", "H", 2.0), ("q_pipe", "q", 0.5)):
        swing = swings[key]
        ends = [required(**{field: -by}), required(**{field: by})]
        assert [swing.now, *swing.required] == pytest.approx([required(), *ends], rel=1e-9)
        assert [swing.nominal_now, *swing.nominal] == pytest.approx(
            [nominal(t) for t in (required(), *ends)], rel=1e-9
        )
        assert swing.width == pytest.approx(ends[1] - ends[0], rel=1e-9)


def test_percentiles_of_one_uncertainty_are_known_in_closed_form():
    """The share p of a triangle about 10 ft lies under 10 - 3 + 3 (2 p)^0.5, or its mirror."""
    others = [(name, key, field, "0 %", 0.0) for name, key, field, _, _ in DOUBTS]
    others[1] = ("groundwater_above_invert", "h_invert", "h_invert", "3 ft", 3.0)
    found = submitted(others)
    chance = sensitivity(found.pipe, found.ours, 9 / 25.4).chance
    heads = {5: 7 + 3 * 0.1**0.5, 50: 10.0, 95: 13 - 3 * 0.1**0.5}
    assert [p for p, _ in chance.percentiles] == [5, 50, 95]
    for p, t in chance.percentiles:
        by_hand = thicknesses(replace(PIPE, h_invert=heads[p]))["required"]
        assert t == pytest.approx(by_hand, rel=2e-4)
    assert (chance.wall, chance.seed, chance.stations) == (9 / 25.4, SEED, 1)


def test_what_moves_nothing_is_left_out():
    found = submitted([(*each[:3], "0 %", 0.0) for each in DOUBTS])
    moved = sensitivity(found.pipe, found.ours, 9 / 25.4)
    assert moved == Sensitivity((), None)
    # Strength has no part in X1.3, which governs: what moves nothing is left out.
    strength = [
        (*each[:3], "5 %" if each[0] == "flexural_strength" else "0 %", 0.0) for each in DOUBTS
    ]
    found = submitted(strength)
    moved = sensitivity(found.pipe, found.ours, 9 / 25.4)
    assert moved.swings == ()
    low, middle, high = (t for _, t in moved.chance.percentiles)
    assert low == middle == high == pytest.approx(thicknesses(PIPE)["required"], rel=1e-9)


def test_a_nominal_thickness_changes_where_either_end_has_another():
    about = Uncertainty("q_pipe", None, 2.0, "%", "assumed", True)
    for nominal, changes in (((6.0, 6.0), False), ((4.5, 6.0), True), ((6.0, 7.5), True)):
        assert Swing(about, 2.0, (5.0, 7.0), nominal, 6.0, 6.0).changes_nominal is changes
    assert Swing(about, 2.0, (7.0, 5.0), (6.0, 6.0), 6.0, 6.0).width == 2.0
    assert Swing(about, 2.0, (6.5, 7.0), (6.0, 6.0), 6.0, 6.0).width == 1.0
    assert Swing(about, 2.0, (5.0, 5.5), (6.0, 6.0), 6.0, 6.0).width == 1.0


def test_a_load_of_zero_at_the_first_station_moves_at_the_second():
    """The live load is 0.8 psi at the second station alone, 25 % up or down."""
    here = '[[pipe.station]]\nat = "0 ft"\nlive_load = "0 psi"\n[[pipe.station]]\nat = "80 ft"\n'
    text = project(PIPE, {"thickness": "9 mm"}).replace(
        "[pipe.stated]", 'doubt = { live_load = "25 %" }\n[pipe.stated]'
    )
    (found,) = submittals(parse((text + here).encode(), "test.toml"))
    moved = sensitivity(found.pipe, found.ours, None)
    swing = next(s for s in moved.swings if s.uncertainty.key == "W_s")
    for load, required in zip((0.6, 1.0), swing.required, strict=True):
        by_hand = thicknesses(replace(PIPE, W_s=load))["required"]
        assert required == pytest.approx(by_hand, rel=1e-9)


def test_nothing_moves_under_what_is_possible():
    found = submitted([("ovality", "q_pipe", "q", "5 %", 5.0)])
    swings = {s.uncertainty.key: s for s in sensitivity(found.pipe, found.ours, None).swings}
    circle = thicknesses(replace(PIPE, q=0.0))["required"]
    assert swings["q_pipe"].required[0] == pytest.approx(circle, rel=1e-9)
    assert np.isfinite([t for s in swings.values() for t in s.required]).all()


def test_a_doubt_about_what_the_pipe_does_not_have_is_a_fault():
    with pytest.raises(InputFaults, match=r"doubt\.invert_depth"):
        submitted([("invert_depth", "H_invert", "", "1 ft", 1.0)])


def test_labels_of_the_picture_begin_inside_it():
    """Measured with the widths of DejaVu Sans, wider than what browsers take for sans-serif."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextPath

    found = submitted(DOUBTS)
    picture = tornado("A", sensitivity(found.pipe, found.ours, None), None, "US")
    letters = FontProperties(family="DejaVu Sans")
    for text in ElementTree.fromstring(picture.svg).iter("{http://www.w3.org/2000/svg}text"):
        if text.get("text-anchor") == "end":
            size = float(text.get("font-size"))
            width = TextPath((0, 0), text.text, size=size, prop=letters).get_extents().x1
            assert float(text.get("x")) >= width, text.text


@pytest.mark.parametrize("wall", [None, 1.0])
def test_bars_of_the_picture_are_the_ranges_of_the_required_thickness(wall):
    """One scale holds for all: a bar's ends, the thickness now and the wall, in mm as written."""
    found = submitted(DOUBTS)
    moved = sensitivity(found.pipe, found.ours, None)
    picture = tornado("A", moved, wall, "US")
    within(picture)
    apart(picture)
    root = ElementTree.fromstring(picture.svg)
    bars = [each for each in root.iter(f"{SVG}rect") if each.get("class") == "bar"]
    drawn = [numbers(bar, "x", "y", "width", "height") for bar in bars]
    swings = sorted(moved.swings, key=lambda swing: -swing.width)
    assert len(bars) == len(swings)
    ends = [(min(*s.required, s.now), max(*s.required, s.now)) for s in swings]
    (low, high), (left, _, wide, _) = ends[0], drawn[0]
    per = wide / (high - low)
    for (x, _, width, _), (least, most) in zip(drawn, ends, strict=True):
        assert x == pytest.approx(left + (least - low) * per, abs=0.05)
        assert width == pytest.approx(max((most - least) * per, 1), abs=0.05)
    for (_, y, _, height), (_, after, _, _) in pairwise(drawn):
        assert y + height < after
    said = [each.text for each in root.iter(f"{SVG}text")]
    for least, most in ends:
        assert {f"{25.4 * least:.2f}", f"{25.4 * most:.2f}"} <= set(said)
    lines = {float(each.get("x1")): each for each in root.iter(f"{SVG}line")}
    levels = [swings[0].now] + ([wall] if wall else [])
    assert sorted(lines) == pytest.approx(sorted(left + (t - low) * per for t in levels), abs=0.05)
    assert sum(bool(each.get("stroke-dasharray")) for each in lines.values()) == bool(wall)
    for line in lines.values():
        top, foot = numbers(line, "y1", "y2")
        assert top < drawn[0][1]
        assert foot > drawn[-1][1] + drawn[-1][3]
    colours = {bar.get("fill") for bar in bars}
    assert len(colours) == len({swing.uncertainty.assumed for swing in swings})
    assert picture.alternative.count(" mm") == min(3, len(swings))


def test_the_picture_has_the_twelve_first_swings_and_names_the_three_widest():
    found = submitted(DOUBTS)
    swings = sensitivity(found.pipe, found.ours, None).swings
    many = tuple(
        replace(each, required=(each.now - by / 10, each.now + by / 10))
        for by, each in enumerate((*swings, *swings, *swings), 1)
    )
    picture = tornado("A", Sensitivity(many, None), None, "US")
    root = ElementTree.fromstring(picture.svg)
    bars = [each for each in root.iter(f"{SVG}rect") if each.get("class") == "bar"]
    assert len(bars) == 12 < len(many)
    widths = [float(bar.get("width")) for bar in bars]
    assert widths == sorted(widths, reverse=True)
    # Of the twelve that are drawn, the last are the widest.
    told = "; ".join(
        f"{SYMBOLS[each.uncertainty.key].meaning}: {25.4 * each.required[0]:.2f} to "
        f"{25.4 * each.required[1]:.2f} mm"
        for each in many[11:8:-1]
    )
    assert picture.alternative == f"the largest swings are {told}"
    assert tornado("A", Sensitivity((), None), None, "US") is None


@pytest.mark.parametrize("assumed", [True, False])
def test_labels_and_lines_of_the_picture(assumed):
    """A bar from 5 to 7 mm about 6 mm, beside a wall of 10 mm."""
    about = Uncertainty("q_pipe", None, 2.0, "%", "assumed" if assumed else "measured", True)
    swing = Swing(about, 2.0, (7.0, 5.0), (6.0, 6.0), 6.0, 6.0)
    low = Swing(replace(about, key="H"), 2.0, (6.5, 6.25), (6.0, 6.0), 6.0, 6.0)
    made = Sensitivity((low, swing), None)
    picture = tornado("A", made, 10.0, "SI", "rounded up by us")
    root = ElementTree.fromstring(picture.svg)
    said = [each.text for each in root.iter(f"{SVG}text")]
    assert said == [
        *("ovality", "5.00", "7.00", "cover", "6.00", "6.50"),
        *("required 6.00", "rounded up by us 10.00"),
    ]
    bars = [each for each in root.iter(f"{SVG}rect") if each.get("class") == "bar"]
    assert {bar.get("fill") for bar in bars} == {LINER if assumed else WATER}
    assert picture.caption == sentence("review.swings caption", name="A", now="6 mm")
    assert sentence("review.swings", name="A") in picture.svg


def test_the_stations_drawn_are_the_ten_thickest_the_first_of_equals_first(monkeypatch):
    required = np.array([3.0, 9.0, 1.0, 9.0, 5.0, 4.0, 7.0, 6.0, 2.0, 8.0, 2.5, 0.5])
    monkeypatch.setattr(module, "run", lambda lines, inputs: {"t_required": required})
    case = SimpleNamespace(lines=(), inputs={})
    assert module._thickest_stations(case) == [1, 3, 9, 6, 7, 4, 5, 0, 10, 8]


def test_of_many_stations_alike_the_first_are_drawn(monkeypatch):
    monkeypatch.setattr(module, "run", lambda lines, inputs: {"t_required": np.full(400, 5.0)})
    case = SimpleNamespace(lines=(), inputs={})
    assert module._thickest_stations(case) == list(range(10))


def test_the_station_that_governs_is_that_of_the_calculation_as_it_is(monkeypatch):
    """A row for each calculation: as it is, down and up; the first of two stations needs 5."""
    rows = np.array([[5.0, 4.0], [3.0, 6.0], [7.0, 2.0]])
    asked = []

    def run(lines, values):
        asked.append(lines)
        if lines == "choice":
            assert values["s"] == 3.0
            return {"t": np.ceil(values["t_required"] / 3) * 3}
        assert values["H"].tolist() == [[10.0, 20.0], [9.0, 18.0], [11.0, 22.0]]
        assert values["s"].tolist() == [[3.0]] * 3
        return {"t_required": rows}

    monkeypatch.setattr(module, "run", run)
    monkeypatch.setattr(module, "bounded", lambda each, value: value)
    inputs = {"H": np.array([10.0, 20.0]), "s": 3.0}
    at = lambda place: SimpleNamespace(inputs={"H": inputs["H"][place]})  # noqa: E731
    case = SimpleNamespace(lines="lines", choice="choice", inputs=inputs, at=at)
    ends = lambda value, unit: (0.9 * value, 1.1 * value)  # noqa: E731
    about = Uncertainty("H", SimpleNamespace(ends=ends), 10.0, "ft", "plan", False)
    (made,) = module._swings(case, (about,))
    assert made == Swing(about, 10.0, (6.0, 7.0), (6.0, 9.0), 5.0, 6.0)
    assert asked == ["lines", "choice"]
