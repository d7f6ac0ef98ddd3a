"""Arrays behind the pictures against single designs, and the pictures themselves."""

import itertools
import math
import warnings
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from drawings import inside
from projects import toml
from tasks.compare.test_systems import SECOND, project

from linerdesign.documents.figures import render
from linerdesign.methods.sizing import design
from linerdesign.project.assembly import task
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe
from linerdesign.project.quantities import Purchase
from linerdesign.tasks.compare.comparison import Wishes, compare
from linerdesign.tasks.compare.curves import (
    OverDepth,
    Quantity,
    over_depth,
    over_thickness,
    pattern,
    saved_over,
    usable,
)
from linerdesign.tasks.compare.pictures import SHADES, break_even, over_depth_figure
from linerdesign.tasks.compare.systems import at_end
from linerdesign.tasks.uncertainty.pipes import Wishes as Uncertain

PRESSURE = {
    "condition": "partially deteriorated",
    "host_diameter": "12 in",
    "internal_pressure": "60 psi",
    "hole_diameter": "1.5 in",
}


def wall(read, pipe, resin):
    """The design of one pipe by itself, thicknesses in mm."""
    return design(task(pipe, at_end(resin, False), read.criteria, "US"))


def mm(inches):
    return pytest.approx(25.4 * inches, rel=1e-9)


def test_thickness_over_depth_is_that_of_single_designs():
    read = project()
    covers = np.array([5.0, 9.5, 16.0, 28.0])
    curves = over_depth(read, read.pipes[0], covers, "ft", "US")
    for resin, curve in zip(read.resins, curves, strict=True):
        for place, cover in enumerate(covers):
            pipe = pattern(read.pipes[0], {"cover": Measure(cover, "ft", "")})
            single = wall(read, pipe, resin)
            assert curve.required[place] == mm(single.required_thickness)
            assert curve.nominal[place] == mm(single.nominal_thickness)


def test_break_even_is_the_difference_of_single_designs():
    read = project()
    diameters, covers = np.array([8.0, 20.0, 44.0]), np.array([5.0, 25.0])
    (saved,) = saved_over(
        read, read.pipes[0], read.resins[0], (diameters, "in"), (covers, "ft"), "US"
    ).values()
    assert saved.shape == (2, 3)
    for (row, column), value in np.ndenumerate(saved):
        values = {
            "host_diameter": Measure(diameters[column], "in", ""),
            "cover": Measure(covers[row], "ft", ""),
        }
        pipe = pattern(read.pipes[0], values)
        both = [25.4 * wall(read, pipe, resin).nominal_thickness for resin in read.resins]
        assert value == pytest.approx(both[0] - both[1], abs=1e-9)


def test_cost_over_cover_is_that_of_the_nominal_thickness():
    """By hand: pi (D - t) t of the 48 in host, 1,150 kg/m3 and 3 USD/kg."""
    read = project(resin={"density": "1.15 g/cm^3", "price": "3 USD/kg"})
    covers = np.array([6.0, 20.0])
    (curve,) = over_depth(read, read.pipes[0], covers, "ft", "US", Quantity("cost"))
    for nominal, cost in zip(curve.nominal, curve.quantity, strict=True):
        area = math.pi * (48 * 25.4 - nominal) * nominal / 1e6
        assert cost == pytest.approx(area * 1150 * 3, rel=1e-5)


def test_no_thickness_made_leaves_a_gap():
    read = project(resin={"thicknesses": ["9 mm", "27.5 mm"]})
    (curve, _) = over_depth(read, read.pipes[0], np.array([16.0, 60.0]), "ft", "US")
    assert curve.nominal[0] == 27.5
    assert np.isnan(curve.nominal[1])


@pytest.mark.parametrize("pipe", [None, PRESSURE])
def test_each_check_is_just_met_at_the_thickness_it_requires(pipe):
    read = project(pipe, {"tensile_strength": "3000 psi"})
    made = task(read.pipes[0], read.resins[0], read.criteria, "US")
    result = wall(read, read.pipes[0], read.resins[0])
    for check in result.checks:
        for factor, holds in ((1 + 1e-6, True), (1 - 1e-6, False)):
            curves = over_thickness(made, np.array([factor * check.required_thickness]))
            (curve,) = (each for each in curves if each.equation == check.equation)
            assert (curve.use[0] <= 1) == holds


def test_pattern_keeps_the_ovality_that_readings_gave():
    read = project({"diameters": ["47 in", "49 in"]}, drop=("ovality", "host_diameter"))
    pipe = pattern(read.pipes[0], {"host_diameter": Measure(24.0, "in", "24 in")})
    assert pipe.ovality.to("%") == pytest.approx(100 * 1 / 48)
    assert at_end(read.resins[0], True) == read.resins[0]
    assert task(pipe, read.resins[0], read.criteria, "US").stations[0].inputs[0].value == 24


def test_each_quantity_of_a_wall_by_hand():
    """Of 6 mm in 200 mm, 1,200 kg/m3: pi (200 - 6) 6 / 1e6 x 1,200 kg/m, with pi as printed; 3 USD
    and 2.5 kg of CO2 a kilogram, half of it resin; over 40 years without interest."""
    terms = """[resin.cost]
service_life = "40 yr"
embodied_carbon = "2.5 kg/kg"
"""
    first = project(resin={"density": "1.2 g/cm^3", "price": "3 USD/kg"}).resins[0]
    known = project(more=SECOND + 'density = "1.2 g/cm^3"\nprice = "3 USD/kg"\n' + terms).resins[1]
    mass = 3.14159 * 194 * 6 / 1e6 * 1200
    half = Purchase(share_by_mass=0.5)
    expected = {
        "thickness": 6.0,
        "mass": mass,
        "carbon": 2.5 * mass,
        "cost": 1.5 * mass,
        "annual-cost": 1.5 * mass / 40,
    }
    found = {by: Quantity(by, half).of(200.0, 6.0, known) for by in expected}
    assert found == pytest.approx(expected)
    assert Quantity("annual-cost", half).of(200.0, 6.0, first) is None
    bare = project().resins[0]
    assert [Quantity(by, half).of(200.0, 6.0, bare) for by in list(expected)[1:]] == [None] * 4


def test_a_resin_without_tensile_strength_is_not_used_under_pressure():
    read = project(PRESSURE, {"tensile_strength": "3000 psi"})
    assert [each.name for each in usable(read, read.pipes[0])] == ["Felt A"]
    plain = project()
    assert usable(plain, plain.pipes[0]) == tuple(plain.resins)


def test_a_wall_without_tension_by_bending_has_no_demand():
    """X1.2 asks 1.5 q (1 + q) DR^2 - 0.5 (1 + q) DR, which is under zero for DR < 1/(3 q)."""
    read = project()
    made = task(read.pipes[0], read.resins[0], read.criteria, "US")
    (curve,) = (e for e in over_thickness(made, np.array([4.0, 3.0])) if e.equation == "X1.2")
    # DR 12 and 16, beside 1/(3 x 0.02) = 16.7.
    assert curve.use.tolist() == [0.0, 0.0]
    (curve,) = (e for e in over_thickness(made, np.array([2.0])) if e.equation == "X1.2")
    assert curve.use[0] > 0


def test_a_pattern_has_the_values_of_the_first_station_and_drops_what_others_replace():
    """An elevation of the invert stays only for the water whose elevation it measures."""
    measure = {key: Measure(number, "ft", "") for key, number in {"low": 9.0, "new": 12.0}.items()}
    low, new = measure["low"], measure["new"]
    given = {
        "name": "A", "host_diameter": Measure(24.0, "in", ""), "ground_elevation": low,
        "invert_elevation": low, "design_thickness": Measure(9.0, "mm", ""), "live_load": low,
        "station": (Pipe.model_construct(at="0 ft", live_load=new),),
    }  # fmt: skip

    def made(values, **more):
        return pattern(Pipe.model_construct(**given, **more), values).given

    plain = made({"live_load": low})
    assert plain == {
        key: value for key, value in given.items() if key not in ("station", "design_thickness")
    }
    assert made({})["live_load"] is new
    cover = made({"cover": new})
    assert cover["cover"] is new
    assert {"ground_elevation", "invert_elevation"}.isdisjoint(cover)
    wet = made({"cover": new}, groundwater_elevation=low)
    assert wet["invert_elevation"] is low
    assert "ground_elevation" not in wet
    deep = made({"invert_depth": new})
    assert deep["invert_elevation"] is low
    assert "ground_elevation" not in deep
    wide = made({"host_diameter": new})
    assert wide["host_diameter"] is new
    assert wide["ground_elevation"] is low


def test_the_ovality_of_readings_about_their_mean():
    """Of 47, 48 and 50 in about 48.33: the larger of 50 over it and 47 under it, in percent."""
    inches = [Measure(number, "in", "") for number in (47.0, 48.0, 50.0)]
    found = pattern(Pipe.model_construct(diameters=inches), {}).given
    mean = 145 / 3
    assert found["ovality"].to("%") == pytest.approx(100 * (50 / mean - 1))
    assert found["host_diameter"].to("in") == pytest.approx(mean)
    assert found["host_diameter"].text == f"{25.4 * mean:.6g} mm"
    low = pattern(
        Pipe.model_construct(host_diameter=inches[1], minimum_diameter=inches[0]), {}
    ).given
    assert low["ovality"].to("%") == pytest.approx(100 / 48)
    assert low["ovality"].text == f"{100 / 48:.4g} %"
    assert low["host_diameter"].to("in") == pytest.approx(48)
    assert "minimum_diameter" not in low
    high = {"host_diameter": inches[1], "maximum_diameter": inches[2]}
    found = pattern(Pipe.model_construct(**high), {}).given
    assert found["ovality"].to("%") == pytest.approx(200 / 48)
    stated = Measure(3.0, "%", "3 %")
    kept = pattern(Pipe.model_construct(**high, ovality=stated), {}).given
    assert kept == {"host_diameter": inches[1], "ovality": stated}


def test_pictures_are_the_same_bytes_every_time(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml() + SECOND)
    for folder in ("one", "two"):
        (tmp_path / folder).mkdir()
        assert run("compare", "a.toml", "--pictures", folder)[0] == 0
    names = sorted(path.name for path in (tmp_path / "one").iterdir())
    stems = (
        "break_even",
        "checks_over_thickness",
        "decision",
        "pipes_by_resin",
        "thickness_over_cover",
    )
    assert names == [f"{stem}.{form}" for stem in stems for form in ("png", "svg")]
    for name in names:
        first = (tmp_path / "one" / name).read_bytes()
        assert first == (tmp_path / "two" / name).read_bytes()
        if name.endswith("svg"):
            assert ElementTree.fromstring(first).tag.endswith("svg")
    assert run("compare", "a.toml", "--pictures", "one")[0] == 2
    assert run("compare", "a.toml", "--pictures", "nowhere")[0] == 2


def test_pictures_of_a_pressure_pipe_leave_out_resins_without_tensile_strength(run, tmp_path):
    """Also where the reference is one of them, and where no listed size is ever enough."""
    thin = SECOND.replace("Felt B", "Glass").replace("modulus_ret", 'thicknesses = ["1 mm"]\nX')
    thin = "".join(line for line in thin.splitlines(True) if not line.startswith("X"))
    text = toml(PRESSURE, {"tensile_strength": "3000 psi"}) + SECOND + thin
    (tmp_path / "a.toml").write_text(text)
    (tmp_path / "there").mkdir()
    words = ("--reference", "Felt B", "--pictures", "there", "--force")
    code, out, _ = run("compare", "a.toml", *words)
    assert code == 0
    assert "tensile strength" in out
    (tmp_path / "a.toml").write_text(toml() + thin)
    assert run("compare", "a.toml", "--pictures", "there", "--force")[0] == 0


def test_a_cover_that_no_rule_of_the_live_load_reaches_ends_the_curve():
    read = project({"live_load": "H-20 table"})
    (curve, _) = over_depth(read, read.pipes[0], np.array([0.3, 4.0]), "ft", "US")
    assert np.isfinite(curve.nominal).tolist() == [False, True]


@pytest.mark.parametrize(
    ("name", "drawn"),
    [
        ("$\\frac{$ A", "$\\frac{$ A"),
        ("_B $1", "_B $1"),
        ("x" * 300, "x" * 39 + "…"),
        ("a\u0000b", "a\\x00b"),
    ],
)
def test_a_name_is_a_label_and_neither_mathematics_nor_left_out(name, drawn):
    """Drawn by the plotting library itself; a warning, of a glyph or of no room, is an error."""
    curves = [OverDepth(name, *np.full((3, 3), 5.0)), OverDepth("plain", *np.full((3, 3), 6.0))]
    figure = over_depth_figure(curves, np.array([1.0, 2.0, 3.0]), "ft", "thickness, mm", 1.0, "")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert render(figure, "svg")
    texts = [text.get_text() for text in figure.legends[0].get_texts()]
    assert [text.replace(r"\$", "$").strip() for text in texts] == [drawn, "plain"]


def test_a_hole_larger_than_the_diameters_drawn_leaves_out_their_picture(run, tmp_path):
    pipe = PRESSURE | {"host_diameter": "36 in", "hole_diameter": "14 in"}
    second = SECOND + 'tensile_strength = "4 ksi"\n'
    text = toml(pipe, {"tensile_strength": "3 ksi"}) + second
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    (tmp_path / "pictures").mkdir()
    code, _, err = run("compare", "p.toml", "--pictures", "pictures")
    assert code == 0, err
    assert not (tmp_path / "pictures" / "break_even.svg").exists()
    assert (tmp_path / "pictures" / "thickness_over_cover.svg").exists()


def lightness(colour):
    """Relative luminance of a colour, WCAG 2.1, from memory."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_the_classes_of_savings_differ_in_grey():
    """Each class is darker than the one before; the worst and none at all are hatched."""
    shades = [lightness(each) for each in SHADES]
    assert all(a - b > 0.04 for a, b in itertools.pairwise(shades))
    saved = {"A": np.array([[-1.0, 0.0, 1.0], [2.0, 4.0, np.nan]])}
    axes = (np.array([1.0, 2.0, 3.0]), "in"), (np.array([1.0, 2.0]), "ft")
    figure = break_even(saved, *axes, [1.5, 3.0, 4.5], list("abcdefg"), "title")
    hatches = [patch.get_hatch() for patch in figure.legends[0].get_patches()]
    assert hatches[0]
    assert hatches[-1]
    assert hatches[0] != hatches[-1]
    assert not any(hatches[1:-1])


def test_pictures_show_the_quantity_asked_for_with_its_unit_and_the_pipe():
    priced = {"density": "1.15 g/cm^3", "price": "3 USD/kg"}
    more = SECOND + 'density = "1.2 g/cm^3"\nprice = "6 USD/kg"\n'
    read = project({"length": "100 m"}, priced, more)
    for by, unit in (("thickness", "mm"), ("mass", "lb/ft"), ("cost", "USD/ft")):
        found = compare(read, "US", Wishes(by=by, pictures=True)).pictures
        assert found[0].name == "decision"
        titles = {each.name: _title(each.figure) for each in found}
        assert unit in titles["pipes_by_resin"]
        assert unit in titles[f"{by}_over_cover"]
        for name in (f"{by}_over_cover", "break_even", "checks_over_thickness"):
            assert "Trunk" in titles[name], name


def _title(figure):
    whole = figure.get_suptitle()
    return whole or figure.axes[0].get_title()


def test_the_decision_shows_totals_range_and_failures():
    """Bars as long as the totals; a whisker to the best properties; hatched where a pipe fails."""
    priced = {"density": "1.15 g/cm^3", "price": "3 USD/kg"}
    dear = SECOND + 'density = "1.2 g/cm^3"\nprice = "6 USD/kg"\n'
    thin = SECOND.replace("Felt B", "Thin").replace("modulus_ret", 'thicknesses = ["9 mm"]\n#')
    small = toml({"name": "Lane", "host_diameter": "8 in", "length": "50 m"})
    small = small[small.index("[[pipe]]") :]
    tables = dear + thin + 'density = "1.2 g/cm^3"\nprice = "4 USD/kg"\n' + small
    read = project({"length": "100 m"}, priced, tables)
    found = compare(read, "US", Wishes(by="cost", pictures=True))
    axes = found.pictures[0].figure.axes[0]
    bars = axes.patches
    assert [each.resin.name for each in found.order] == ["Felt A", "Felt B", "Thin"]
    costs = [row[i].wall.cost * 50 for row in found.table[1:] for i in range(3)]
    assert [bar.get_width() for bar in bars] == pytest.approx(costs)
    assert [bool(bar.get_hatch()) for bar in bars] == [False, False, True]
    (whisker,) = axes.lines
    assert whisker.get_xdata()[0] == pytest.approx(50 * found.table[1][1].best.cost)


PRICED = {"density": "1.15 g/cm^3", "price": "3 USD/kg"}
DEAR = SECOND + 'density = "1.2 g/cm^3"\nprice = "6 USD/kg"\n'


@pytest.fixture(scope="module")
def pictures():
    """Those of a comparison with trials: two pipes, one costing over eight times the other."""
    small = toml({"name": "Lane", "host_diameter": "8 in", "length": "50 m"})
    spread = '[resin.uncertainty]\nprice = "normal, sd 8 %"\n'
    tables = DEAR + spread + small[small.index("[[pipe]]") :]
    read = project({"length": "100 m"}, PRICED, tables)
    wishes = Wishes(by="cost", pictures=True, uncertainty=Uncertain(seed=1))
    found = compare(read, "US", wishes)
    return {each.name: each.figure for each in found.pictures}


def test_every_picture_of_a_comparison_is_drawn(pictures):
    assert pictures.keys() == {
        *("decision", "uncertainty", "pipes_by_resin"),
        *("cost_over_cover", "break_even", "checks_over_thickness"),
    }


def test_every_text_of_a_picture_is_inside_it(pictures):
    """Legends outside the axes lie on no curve."""
    for name, figure in pictures.items():
        inside(figure)
        for legend in figure.legends:
            low = legend.get_window_extent().y1
            assert all(axes.get_window_extent().y0 >= low for axes in figure.axes), name


def test_curves_differ_without_colour(pictures):
    for name in ("cost_over_cover", "checks_over_thickness"):
        (axes,) = pictures[name].axes
        curves = [line for line in axes.lines if len(line.get_xdata()) > 2]
        assert len(curves) > 1
        assert len({str(line._dash_pattern) for line in curves}) == len(curves), name
        assert len({line.get_color() for line in curves}) == len(curves), name
        if name == "cost_over_cover":
            assert len({line.get_marker() for line in curves}) == len(curves)
            # A listed wall holds from one cover to the next, and a marker stands on each curve.
            assert {line.get_drawstyle() for line in curves} == {"steps-mid"}
            starts = [line.get_markevery()[0] for line in curves]
            assert len(set(starts)) == len(starts)
            assert max(starts) < len(curves[0].get_xdata())


def test_values_are_drawn_from_zero_where_lengths_are_compared(pictures):
    for name in ("decision", "uncertainty"):
        (axes,) = pictures[name].axes
        left, right = axes.get_xlim()
        ends = [bar.get_x() + bar.get_width() for bar in axes.patches]
        assert left == 0
        assert max(ends) < right
        # The first stands on top, each bar on its name; bars don't touch.
        low, high = axes.get_ylim()
        assert low > high
        middles = [bar.get_y() + bar.get_height() / 2 for bar in axes.patches]
        assert middles == pytest.approx(axes.get_yticks())
        assert all(bar.get_height() < 1 for bar in axes.patches)
        assert all(bar.get_edgecolor()[:3] == (0, 0, 0) for bar in axes.patches)
        names = [text.get_text().removesuffix(" [D]") for text in axes.get_yticklabels()]
        assert [each[-6:] for each in names] == ["Felt A", "Felt B"]
        for text, end, middle in zip(axes.texts, ends, middles, strict=True):
            assert text.get_position() == pytest.approx((end, middle))
            assert text.get_va() == "center"
    (axes,) = pictures["cost_over_cover"].axes
    assert axes.get_ylim()[0] == 0
    (axes,) = pictures["checks_over_thickness"].axes
    assert axes.get_ylim()[0] == 0


def test_a_check_passes_under_the_line_of_one(pictures):
    (axes,) = pictures["checks_over_thickness"].axes
    across, down = axes.lines[-2:]
    assert set(across.get_ydata()) == {1}
    thickness = set(down.get_xdata()).pop()
    assert f"{thickness:g} mm" in axes.get_legend().get_texts()[-1].get_text()
    for line in axes.lines[:-2]:
        assert np.interp(thickness, line.get_xdata(), line.get_ydata()) <= 1
        # From a quarter of the wall on, and as far over it as the wall is thick and a half.
        xs = line.get_xdata()
        assert xs[0] < thickness / 2
        assert xs[-1] > 1.5 * thickness
        assert np.all(np.diff(line.get_ydata()) < 0)


def test_pipes_stand_in_rows_and_each_resin_at_a_height_of_its_own(pictures):
    (axes,) = pictures["pipes_by_resin"].axes
    rows = [text.get_text() for text in axes.get_yticklabels()]
    assert set(rows) == {"Trunk", "Lane"}
    low, high = axes.get_ylim()
    assert (low, high) == (len(rows) - 0.5, -0.5)
    marked = [line for line in axes.lines if line.get_marker() not in ("None", "")]
    heights = {}
    for line in marked:
        if len(line.get_ydata()):
            heights.setdefault(line.get_marker(), []).append(line.get_ydata()[0])
    # A line over the trials for each resin in each pipe.
    ranges = [line for line in axes.lines if line.get_marker() in ("None", "")]
    assert [len(line.get_xdata()) for line in ranges] == [2] * 4
    assert len(heights) == 2
    first, second = heights.values()
    for one, other in zip(sorted(first), sorted(second), strict=True):
        assert one != other
        assert round(one) == round(other)
        assert (one + other) / 2 == pytest.approx(round(one))


def test_a_pipe_that_would_press_the_others_together_is_on_a_logarithmic_axis(pictures):
    """Costs of a metre of 48 in and of 8 in differ by more than eight times."""
    (axes,) = pictures["pipes_by_resin"].axes
    assert axes.get_xscale() == "log"
    assert "logarithmic" in axes.get_xlabel()
    values = [x for line in axes.lines for x in line.get_xdata()]
    assert max(values) > 8 * min(values)
    left, right = axes.get_xlim()
    assert left < min(values)
    assert max(values) < right
    read = project({"length": "100 m"}, PRICED, DEAR)
    near = compare(read, "US", Wishes(by="cost", pictures=True)).pictures
    (axes,) = next(each.figure for each in near if each.name == "pipes_by_resin").axes
    assert axes.get_xscale() == "linear"
    assert axes.get_xlim()[0] == 0


def test_a_class_of_savings_has_the_shade_of_its_place_in_the_legend(pictures):
    """Bounds count to the class under them but for one whole step, which is one."""
    saved = {"A": np.array([[-1e-4, 0.0, 1e-4], [1.0, 2.0, np.nan]])}
    axes = (np.array([1.0, 2.0, 3.0]), "in"), (np.array([1.0, 2.0]), "ft")
    figure = break_even(saved, *axes, [1.0, 2.0, 3.0], list("abcdefg"), "title")
    (panel,) = figure.axes
    mesh = panel.collections[0]
    classes = np.ma.masked_invalid(mesh.get_array()).reshape(2, 3)
    assert classes.tolist() == [[0, 1, 2], [3, 4, None]]
    legend = figure.legends[0].get_patches()
    for place in range(5):
        shade = mesh.cmap(mesh.norm(place))
        assert shade == pytest.approx(legend[place].get_facecolor())
    # Deep pipes below.
    low, high = panel.get_ylim()
    assert low > high


def test_one_cover_and_one_diameter_are_enough_for_curves():
    """By the design of that pipe; thicker and thinner walls of one cover and one diameter."""
    read = project()
    (first, _) = over_depth(read, read.pipes[0], np.array([9.5]), "ft", "US")
    pipe = pattern(read.pipes[0], {"cover": Measure(9.5, "ft", "")})
    assert first.required[0] == mm(wall(read, pipe, read.resins[0]).required_thickness)
    at = (np.array([20.0]), "in"), (np.array([9.5]), "ft")
    (saved,) = saved_over(read, read.pipes[0], read.resins[0], *at, "US").values()
    wide = pattern(pipe, {"host_diameter": Measure(20.0, "in", "")})
    both = [25.4 * wall(read, wide, resin).nominal_thickness for resin in read.resins]
    assert saved == pytest.approx(np.array([[both[0] - both[1]]]), abs=1e-9)
