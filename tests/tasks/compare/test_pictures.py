"""What a picture draws against the designs that it draws, in the units of the system."""

from types import SimpleNamespace as Made

import numpy as np
import pytest
from projects import toml
from tasks.compare.test_systems import SECOND, project

from linerdesign.documents.figures import new_figure
from linerdesign.methods.sizing import design
from linerdesign.project.assembly import task
from linerdesign.tasks.compare import pictures
from linerdesign.tasks.compare.comparison import Wishes, compare
from linerdesign.tasks.compare.curves import OverDepth, Quantity, over_depth, saved_over
from linerdesign.tasks.compare.systems import at_end

PRICED = {"density": "1.15 g/cm^3", "price": "3 USD/kg"}
MORE = 'density = "1.2 g/cm^3"\nprice = "6 USD/kg"\n'
LANE = toml({"name": "Lane", "host_diameter": "8 in", "length": "50 m"})
LANE = LANE[LANE.index("[[pipe]]") :]
# Avoirdupois pound and international foot: NIST SP 811, appendix B.8 (from memory).
POUND, FOOT = 0.45359237, 0.3048


@pytest.fixture(scope="module")
def town():
    return project({"length": "100 m"}, PRICED, SECOND + MORE + LANE)


def decision(town, by, system):
    found = compare(town, system, Wishes(by=by))
    (made,) = pictures._decision(found.order, by, system)
    return found, made


@pytest.mark.parametrize(
    ("by", "system", "axis", "per"),
    [
        ("thickness", "US", "mean nominal thickness, mm", 1.0),
        ("thickness", "SI", "mean nominal thickness, mm", 1.0),
        ("mass", "SI", "total mass, t", 1e-3),
        ("mass", "US", "total mass, lb", 1 / POUND),
        ("cost", "US", "total cost, USD", 1.0),
        ("annual-cost", "SI", "total annual cost, USD/yr", 1.0),
    ],
)
def test_totals_are_in_the_unit_that_the_axis_names(town, by, system, axis, per):
    scale = pictures.total_scale(by, system, town.resins)
    assert scale.axis == axis
    assert scale.factor == pytest.approx(per, rel=1e-9)


@pytest.mark.parametrize(
    ("by", "system", "axis", "per"),
    [
        ("thickness", "US", "nominal thickness, mm", 1.0),
        ("mass", "SI", "mass, kg/m", 1.0),
        ("mass", "US", "mass, lb/ft", FOOT / POUND),
        ("carbon", "US", "embodied carbon, lb/ft", FOOT / POUND),
        ("cost", "SI", "cost, USD/m", 1.0),
        ("cost", "US", "cost, USD/ft", FOOT),
        ("annual-cost", "US", "annual cost, USD/ft/yr", FOOT),
    ],
)
def test_walls_are_in_the_unit_that_the_axis_names(town, by, system, axis, per):
    scale = pictures._wall_scale(by, system, town.resins)
    assert scale.axis == axis
    assert scale.factor == pytest.approx(per, rel=1e-9)


@pytest.mark.parametrize(("system", "per"), [("US", 1 / POUND), ("SI", 1e-3)])
def test_the_decision_in_bars_words_and_figures(town, system, per):
    """Masses of both walls, each times its length."""
    found, made = decision(town, "mass", system)
    totals = [
        per
        * sum(row[i].wall.mass * length for row, length in zip(found.table, (100, 50), strict=True))
        for i in range(2)
    ]
    order = [("Felt A", "Felt B").index(each.resin.name) for each in found.order]
    totals = [totals[place] for place in order]
    (axes,) = made.figure.axes
    assert [bar.get_width() for bar in axes.patches] == pytest.approx(totals)
    written = [f"{total:,.0f}" if total >= 100 else f"{total:,.2f}" for total in totals]
    assert [text.get_text() for text in axes.texts] == [f"  {each}  (2 of 2)" for each in written]
    names = [text.get_text() for text in axes.get_yticklabels()]
    assert names == [f"{each.rank}  {each.resin.name} [D]" for each in found.order]
    unit = {"US": "lb", "SI": "t"}[system]
    title = f"Total mass, {unit}, over all pipes"
    assert made.caption == title == axes.get_title()
    assert axes.get_xlabel() == f"total mass, {unit}"
    assert made.words == "; ".join(
        f"{each.resin.name} [D] {total:,.2f}"
        for each, total in zip(found.order, totals, strict=True)
    )
    assert axes.get_xlim() == pytest.approx((0, 1.4 * max(totals)))
    # A whisker to the best properties of the resin that has a range, of its first value's total.
    (whisker,) = axes.lines
    ranged = [each.resin.name for each in found.order].index("Felt B")
    assert whisker.get_marker() == "|"
    assert set(whisker.get_ydata()) == {ranged}
    assert max(whisker.get_xdata()) == pytest.approx(totals[ranged])
    assert min(whisker.get_xdata()) < max(whisker.get_xdata())


def test_no_bars_where_no_resin_satisfies_a_pipe():
    read = project(resin={"thicknesses": ["1 mm"]}, more="")
    found = compare(read, "US", Wishes())
    assert [*pictures._decision(found.order, "thickness", "US")] == []
    assert [*pictures._by_pipe(found.table, "thickness", "US")] == []


def test_twelve_resins_are_drawn_at_most():
    more = "".join(
        f'[[resin]]\nname = "R{n}"\nflexural_modulus = "{300 + n} ksi"\n'
        'flexural_strength = "6000 psi"\n'
        for n in range(13)
    )
    found = compare(project(more=more), "US", Wishes())
    (made,) = pictures._decision(found.order, "thickness", "US")
    assert len(made.figure.axes[0].patches) == len(made.words.split("; ")) == 12
    (made,) = pictures._by_pipe(found.table, "thickness", "US")
    (legend,) = made.figure.legends
    assert [text.get_text() for text in legend.get_texts()] == [
        "Felt A [D]",
        *(f"R{n} [D]" for n in range(11)),
    ]


@pytest.mark.parametrize(("by", "system"), [("thickness", "US"), ("cost", "US"), ("mass", "SI")])
def test_a_marker_stands_at_each_wall_and_a_line_to_the_best_properties(town, by, system):
    found = compare(town, system, Wishes(by=by))
    (made,) = pictures._by_pipe(found.table, by, system)
    per = {"thickness": 1.0, "cost": FOOT, "mass": 1.0}[by]
    (axes,) = made.figure.axes

    def of(option, wall):
        value = {"thickness": "nominal", "cost": "cost", "mass": "mass"}[by]
        return per * getattr(wall, value)

    markers = [line for line in axes.lines if line.get_marker() not in ("None", "")]
    drawn = [
        (line.get_xdata()[0], line.get_ydata()[0]) for line in markers if len(line.get_xdata())
    ]
    spans = [sorted(line.get_xdata()) for line in axes.lines if line.get_marker() in ("None", "")]
    wanted, ranges = [], []
    for column, off in ((0, -0.25), (1, 0.25)):
        for place, row in enumerate(found.table):
            worst, best = of(row[column], row[column].wall), of(row[column], row[column].best)
            wanted.append((worst, place + off))
            ranges.append(sorted((worst, best)))
    assert np.array(drawn) == pytest.approx(np.array(wanted))
    assert np.array(spans) == pytest.approx(np.array(ranges))
    assert made.caption.endswith(", in each pipe; lines: to the largest properties stated")
    assert made.caption == axes.get_title()
    least = [
        min(row, key=lambda each: of(each, each.wall)).resin.name + " [D]" for row in found.table
    ]
    assert made.words == f"Trunk: {least[0]}; Lane: {least[1]}"


def test_without_ranges_nothing_is_said_of_lines():
    found = compare(project(more=SECOND.replace("25 to 60", "25")), "US", Wishes())
    (made,) = pictures._by_pipe(found.table, "thickness", "US")
    assert made.caption == "Nominal thickness, mm, in each pipe"


def test_one_resin_alone_is_drawn_too():
    found = compare(project(more=""), "US", Wishes())
    (made,) = pictures._by_pipe(found.table, "thickness", "US")
    (axes,) = made.figure.axes
    assert [text.get_text() for text in axes.get_yticklabels()] == ["Trunk"]
    assert made.words == "Trunk: Felt A [D]"


def test_costs_in_two_currencies_are_not_on_one_axis(town):
    more = SECOND + MORE.replace("USD", "EUR")
    read = project({"length": "9 m"}, PRICED, more)
    found = compare(read, "US", Wishes(by="mass"))
    assert [*pictures._by_pipe(found.table, "cost", "US")] == []
    assert len([*pictures._by_pipe(found.table, "mass", "US")]) == 1


@pytest.mark.parametrize(("most", "scale"), [(7.99, "linear"), (8.0, "log")])
def test_an_axis_is_logarithmic_from_eight_times_the_smallest_on(most, scale):
    _, (axes,) = new_figure(4, 3, 1)
    axes.plot([0.5, 0.0], [0, 0])
    axes.plot([0.5 * most], [1])
    axes.plot([], [])
    pictures._spread(axes, "cost, USD")
    assert axes.get_xscale() == scale
    if scale == "log":
        assert axes.get_xlabel() == "cost, USD (logarithmic)"
        # A sixth beyond both ends.
        assert axes.get_xlim() == pytest.approx((0.5 / 1.2, 1.2 * 4.0))
    else:
        assert axes.get_xlabel() == "cost, USD"
        assert axes.get_xlim()[0] == 0


def test_an_axis_of_nothing_is_linear():
    _, (axes,) = new_figure(4, 3, 1)
    pictures._spread(axes, "mass")
    assert (axes.get_xscale(), axes.get_xlabel()) == ("linear", "mass")


@pytest.mark.parametrize(
    ("system", "first", "last", "unit", "per"),
    [("US", 3, 30, "ft", FOOT / POUND), ("SI", 1, 9, "m", 1.0)],
)
def test_curves_over_cover_are_those_of_the_walls(town, system, first, last, unit, per):
    pipe, by = town.pipes[0], Quantity("mass")
    (made,) = pictures._over_cover(town, pipe, by, system)
    assert made.name == "mass_over_cover"
    (axes,) = made.figure.axes
    covers = np.linspace(first, last, 271)
    wanted = over_depth(town, pipe, covers, unit, system, by)
    words = []
    for line, curve in zip(axes.lines, wanted, strict=True):
        assert line.get_xdata() == pytest.approx(covers)
        assert line.get_ydata() == pytest.approx(per * curve.quantity)
        assert line.get_label() == f"{curve.resin} [D]"
        low, high = per * curve.quantity.min(), per * curve.quantity.max()
        unit_of = {"US": "lb/ft", "SI": "kg/m"}[system]
        words.append(f"{curve.resin} [D] {low:.4g} to {high:.4g} {unit_of}")
    assert made.words == "; ".join(words)
    assert axes.get_xlabel() == f"cover, {unit}"
    assert axes.get_ylabel() == f"mass, {unit_of}"
    assert made.caption == axes.get_title() == f"Mass, {unit_of}, over cover; other values of Trunk"


def test_a_name_of_a_file_has_no_hyphen_of_its_quantity():
    lives = PRICED | {"cost": {"service_life": "50 yr"}}
    read = project({"length": "100 m"}, lives, "")
    (made,) = pictures._over_cover(read, read.pipes[0], Quantity("annual-cost"), "US")
    assert made.name == "annual_cost_over_cover"
    unpriced = project(more="")
    assert [*pictures._over_cover(unpriced, unpriced.pipes[0], Quantity("cost"), "US")] == []


@pytest.mark.parametrize(
    ("system", "across", "down"),
    [("US", (6, 48, "in"), (3, 30, "ft")), ("SI", (150, 1200, "mm"), (1, 9, "m"))],
)
def test_savings_are_drawn_over_the_diameters_and_covers_named(town, system, across, down):
    reference = town.resins[0]
    (made,) = pictures._break_even(town, town.pipes[0], reference, Quantity(), system)
    (axes,) = made.figure.axes
    mesh = axes.collections[0]
    corners = mesh.get_coordinates()
    step_x, step_y = (across[1] - across[0]) / 84, (down[1] - down[0]) / 90
    assert corners[0, 0, 0] == pytest.approx(across[0] - step_x / 2)
    assert corners[0, -1, 0] == pytest.approx(across[1] + step_x / 2)
    assert corners[0, 0, 1] == pytest.approx(down[0] - step_y / 2)
    assert corners[-1, 0, 1] == pytest.approx(down[1] + step_y / 2)
    assert axes.get_xlabel() == f"host diameter, {across[2]}"
    assert axes.get_ylabel() == f"cover, {down[2]}"
    assert axes.get_title() == "Felt B [D]"
    title = "Saving in thickness over Felt A [D]; other values of Trunk"
    assert made.caption == made.figure.get_suptitle() == title
    assert made.words.startswith("Felt B [D] ")
    assert made.words.endswith(" mm")
    legend = [text.get_text() for text in made.figure.legends[0].get_texts()]
    assert legend == [
        "thicker",
        "equal",
        "thinner by less than one step (1.5 mm)",
        "thinner by at least 1 step(s)",
        "thinner by at least 2 step(s)",
        "thinner by 3 steps or more",
        "no thickness made is sufficient",
    ]


@pytest.mark.parametrize(("by", "none"), [("cost", ", or its size has no price"), ("mass", "")])
def test_savings_of_other_quantities_are_parts_of_the_reference(town, by, none):
    (made,) = pictures._break_even(town, town.pipes[0], town.resins[0], Quantity(by), "US")
    legend = [text.get_text() for text in made.figure.legends[0].get_texts()]
    assert legend == [
        "more",
        "equal",
        "less, by under 10 %",
        "less, by 10 to 25 %",
        "less, by 25 to 50 %",
        "less, by 50 % or more",
        f"no thickness made is sufficient{none}",
    ]
    assert made.words.endswith(" of it")


@pytest.mark.parametrize(
    ("values", "words"),
    [([3.0, np.nan, 1.23456], "1.235 to 3"), ([np.nan], "-"), ([2.0], "2 to 2")],
)
def test_ends_are_those_of_what_is_known(values, words):
    assert pictures._ends(np.array(values)) == words


@pytest.mark.parametrize(
    ("resin", "criteria", "step"),
    [
        ({}, {}, 1.5),
        ({}, {"thickness_step": "0.5 mm"}, 0.5),
        ({"thickness_step": "3 mm"}, {"thickness_step": "0.5 mm"}, 3.0),
        ({"thicknesses": ["12 mm", "6 mm", "7.5 mm", "9.5 mm"]}, {}, 1.5),
        ({"thicknesses": ["6 mm"]}, {}, 6.0),
        ({"thicknesses": ["9 mm", "3 mm"]}, {}, 3.0),
    ],
)
def test_a_step_is_that_in_which_the_resin_is_made(resin, criteria, step):
    read = project(None, resin, "", criteria)
    assert pictures._step(read, read.resins[0]) == pytest.approx(step)


PRESSURE = {
    "condition": "partially deteriorated",
    "host_diameter": "12 in",
    "internal_pressure": "60 psi",
}


@pytest.mark.parametrize(("hole", "holds"), [("5.9 in", True), ("6 in", False)])
def test_the_smallest_diameter_drawn_is_larger_than_the_holes(hole, holds):
    """6 in are drawn in inches, and 150 mm, which are 5.91 in; holes of every station count."""
    strong = {"tensile_strength": "3 ksi"}
    read = project(PRESSURE | {"hole_diameter": hole}, strong, "")
    assert pictures._holds_the_hole(read.pipes[0], "US") == holds
    assert pictures._holds_the_hole(read.pipes[0], "SI") == holds
    places = [{"at": "a", "hole_diameter": "1 in"}, {"at": "b", "hole_diameter": hole}]
    read = project(PRESSURE | {"station": places}, strong, "")
    assert pictures._holds_the_hole(read.pipes[0], "US") == holds
    assert pictures._holds_the_hole(project(more="").pipes[0], "US")


def test_four_resins_have_two_rows_of_panels_with_covers_at_the_left():
    saved = {name: np.zeros((2, 3)) for name in "ABCD"}
    axes = (np.array([1.0, 2.0, 3.0]), "in"), (np.array([1.0, 2.0]), "ft")
    figure = pictures.break_even(saved, *axes, [1.0, 2.0, 3.0], list("abcdefg"), "title")
    assert [panel.get_title() for panel in figure.axes] == list("ABCD")
    assert [panel.get_ylabel() for panel in figure.axes] == ["cover, ft", "", "", "cover, ft"]
    assert [panel.get_xlabel() for panel in figure.axes] == ["host diameter, in"] * 4
    figure.draw_without_rendering()
    tops = [panel.get_window_extent().y1 for panel in figure.axes]
    assert tops[0] == pytest.approx(tops[1]) == pytest.approx(tops[2])
    assert tops[3] < tops[0]


def test_the_checks_are_drawn_from_a_quarter_to_one_and_three_quarters_of_the_wall(town):
    pipe, reference = town.pipes[0], town.resins[0]
    found = pictures._of_pipe(town, pipe, reference, Wishes(), "US")
    made = next(each for each in found if each.name == "checks_over_thickness")
    wall = design(task(pipe, at_end(reference, False), town.criteria, "US"))
    nominal = 25.4 * wall.nominal_thickness
    (axes,) = made.figure.axes
    *curves, _, upright = axes.lines
    assert made.words == ", ".join(line.get_label() for line in curves)
    assert [line.get_label() for line in curves] == [check.equation for check in wall.checks]
    for line, check in zip(curves, wall.checks, strict=True):
        xs = line.get_xdata()
        assert xs[0] == pytest.approx(0.25 * nominal)
        assert xs[-1] == pytest.approx(1.75 * nominal)
        # One of the walls drawn is the nominal one itself.
        assert np.interp(nominal, xs, line.get_ydata()) == pytest.approx(
            check.demand / check.capacity, rel=1e-9
        )
    assert upright.get_xdata() == pytest.approx([nominal, nominal])
    # In a print without colours as well one line is told from another.
    dashes = [line.get_linestyle() for line in (*curves, upright)]
    assert dashes[:4] == ["-", "--", "-.", ":"]
    assert dashes[-1] == ":"
    assert upright.get_label() == f"nominal {nominal:g} mm"
    assert axes.get_ylim() == (0, 3)
    assert axes.get_title() == made.caption == "Demand/capacity of Felt A [D] in Trunk"
    assert axes.get_xlabel() == "thickness, mm"
    assert axes.get_ylabel() == "demand/capacity (pass at or below 1)"


@pytest.mark.parametrize("system", ["US", "SI"])
def test_pictures_are_as_wide_as_the_text_of_a_page(town, system):
    """8.5 in less an inch at both sides: common practice, no source. Rows are alike in height."""
    wishes = Wishes(pictures=True)
    found = {each.name: each.figure for each in compare(town, system, wishes).pictures}
    heights = {}
    for name, figure in found.items():
        width, heights[name] = figure.get_size_inches()
        # The classes of savings have a legend that is wider.
        assert width == pytest.approx(7.2 if name == "break_even" else 6.5), name
    assert heights["thickness_over_cover"] == heights["checks_over_thickness"] == 4
    one = compare(project(more=LANE), system, wishes).pictures
    three = compare(project(more=SECOND + SECOND.replace("Felt B", "C") + LANE), system, wishes)
    for before, after in zip(one[:2], three.pictures[:2], strict=True):
        assert before.name == after.name
    less, more = (each[0].figure.get_size_inches()[1] for each in (one, three.pictures))
    # Two more bars of more than a line of text each.
    assert 2 * 9 / 72 < more - less == pytest.approx(2 * (heights["decision"] - less))


def test_panels_of_savings_stand_three_in_a_row():
    axes = (np.array([1.0, 2.0, 3.0]), "in"), (np.array([1.0, 2.0]), "ft")
    sizes = []
    for count in range(1, 8):
        saved = {str(n): np.zeros((2, 3)) for n in range(count)}
        figure = pictures.break_even(saved, *axes, [1.0, 2.0, 3.0], list("abcdefg"), "title")
        assert [panel.get_title() for panel in figure.axes] == list(saved)
        sizes.append(figure.get_size_inches())
        rows = {round(panel.get_subplotspec().rowspan.start) for panel in figure.axes}
        assert len(rows) == -(-count // 3)
        assert (
            max(panel.get_subplotspec().colspan.start for panel in figure.axes) == min(count, 3) - 1
        )
    widths, heights = zip(*sizes, strict=True)
    assert len(set(widths[2:])) == 1
    assert widths[0] == widths[1] == 7.2 < widths[2]
    assert heights[0] == heights[2] < heights[3] == heights[5] < heights[6]
    assert heights[6] - heights[3] == pytest.approx(heights[3] - heights[0])


def test_what_a_panel_of_savings_marks():
    """Hatched where it costs more, dotted where there is no wall, and plain elsewhere."""
    axes = (np.array([1.0, 2.0, 3.0]), "in"), (np.array([1.0, 2.0]), "ft")
    worse, none = np.array([[-1.0, 1.0, 1.0]] * 2), np.array([[1.0, np.nan, 1.0]] * 2)
    figure = pictures.break_even(
        {"worse": worse, "none": none, "plain": np.ones((2, 3))}, *axes, [1.0, 2.0, 3.0],
        list("abcdefg"), "title",
    )  # fmt: skip
    marks = [
        [hatch for each in panel.collections for hatch in getattr(each, "hatches", [])]
        for panel in figure.axes
    ]
    assert marks == [["////"], ["...."], []]
    # Hatched round the worse diameter alone.
    contour = next(each for each in figure.axes[0].collections if hasattr(each, "hatches"))
    across = np.concatenate([path.vertices[:, 0] for path in contour.get_paths()])
    assert (across.min(), across.max()) == pytest.approx((1.0, 1.5))
    for panel in figure.axes:
        assert panel.collections[0].get_rasterized()


def test_the_middle_of_the_trials_is_marked_as_high_as_its_bar():
    town = project(more=SECOND)
    systems = tuple(
        Made(resin=resin, ends=(4.0, 5.0, 7.0), least=Made(chance=0.5)) for resin in town.resins
    )
    (made,) = pictures._under_uncertainty(Made(systems=systems, by="mass", common=3), "SI")
    (axes,) = made.figure.axes
    for line, bar in zip(axes.lines, axes.patches, strict=True):
        ends = bar.get_y(), bar.get_y() + bar.get_height()
        assert line.get_ydata() == pytest.approx(ends)
    assert [str(tick) for tick in axes.xaxis.get_major_formatter().format_ticks([0.0, 1500.0])] == [
        "0",
        "1,500",
    ]


def test_lines_of_the_grid_part_the_pipes_alone(town):
    found = compare(town, "US", Wishes())
    (made,) = pictures._by_pipe(found.table, "thickness", "US")
    (axes,) = made.figure.axes
    made.figure.draw_without_rendering()
    assert all(line.get_visible() for line in axes.get_ygridlines())
    assert not any(line.get_visible() for line in axes.get_xgridlines())
    _, (log,) = new_figure(4, 3, 1)
    log.plot([1.0, 900.0], [0, 1])
    pictures._spread(log, "cost")
    ticks = [tick for tick in log.get_xticks() if 1 <= tick <= 1000]
    assert ticks == pytest.approx([1, 2, 5, 10, 20, 50, 100, 200, 500, 1000])
    assert log.xaxis.get_major_formatter().format_ticks([1000.0]) == ["1,000"]
    assert set(log.xaxis.get_minor_formatter().format_ticks([3.0, 4.0])) == {""}
    figures = [text.get_text() for text in log.get_xticklabels()]
    assert "200" in figures


def test_three_systems_stand_evenly_about_the_row_of_their_pipe():
    more = SECOND + SECOND.replace("Felt B", "Felt C")
    found = compare(project(more=more), "US", Wishes())
    (made,) = pictures._by_pipe(found.table, "thickness", "US")
    (axes,) = made.figure.axes
    markers = [line for line in axes.lines if line.get_marker() not in ("None", "")]
    drawn = [line.get_ydata()[0] for line in markers if len(line.get_ydata())]
    assert drawn == pytest.approx([-0.25, 0.0, 0.25])


def test_markers_of_four_curves_part_the_cover_evenly():
    curves = [OverDepth(name, *np.ones((3, 121))) for name in "ABCDE"]
    figure = pictures.over_depth_figure(curves, np.arange(121.0), "ft", "mm", 1.0, "title")
    starts, steps = zip(*(line.get_markevery() for line in figure.axes[0].lines), strict=True)
    (step,) = set(steps)
    assert starts == (0, step / 4, step / 2, 3 * step / 4, 0)


@pytest.mark.parametrize(("worst", "shown"), [(99.5, "99.50"), (100.0, "100"), (100.4, "100")])
def test_a_total_under_a_hundred_has_two_decimals(worst, shown):
    _, (axes,) = new_figure(4, 3, 1)
    each = Made(failing=1, own=Made(pipes={0, 1}), count=3)
    pictures._bar(axes, 0, each, (worst, worst))
    assert [text.get_text() for text in axes.texts] == [f"  {shown}  (2 of 3)"]
    assert not axes.lines


def test_a_saving_that_changes_its_class_at_once():
    """Less than a whole step is none, however little is missing from it."""
    saved = {"A": np.array([[0.9995, 1.0, 1.9995], [2.0, -0.0005, 2.9995]])}
    axes = (np.array([1.0, 2.0, 3.0]), "in"), (np.array([1.0, 2.0]), "ft")
    figure = pictures.break_even(saved, *axes, [1.0, 2.0, 3.0], list("abcdefg"), "title")
    classes = figure.axes[0].collections[0].get_array().reshape(2, 3)
    assert classes.tolist() == [[2, 3, 3], [4, 0, 4]]


def test_a_whole_step_saved_is_in_the_class_of_its_legend():
    """Walls are made in steps of 0.5 mm: thinner by 0, 1, 2, or 3 of them and more."""
    town = project(criteria={"thickness_step": "0.5 mm"})
    pipe, first = town.pipes[0], town.resins[1]
    (made,) = pictures._break_even(town, pipe, first, Quantity(), "US")
    grid = (np.linspace(6, 48, 85), "in"), (np.linspace(3, 30, 91), "ft")
    (saved,) = saved_over(town, pipe, first, *grid, "US").values()
    steps = np.round(saved / 0.5, 6)
    assert {1.0, 2.0, 3.0} <= set(steps[np.isfinite(steps)])
    wanted = np.select([steps < 0, steps == 0, steps < 1, steps < 2, steps < 3], range(5), 5)
    classes = made.figure.axes[0].collections[0].get_array().reshape(saved.shape)
    known = np.isfinite(saved)
    assert np.array_equal(np.asarray(classes)[known], wanted[known])


def test_pipes_stand_in_the_order_of_the_table_from_the_top_down(town):
    found = compare(town, "US", Wishes())
    (made,) = pictures._by_pipe(found.table, "thickness", "US")
    (axes,) = made.figure.axes
    assert [tick.get_text() for tick in axes.get_yticklabels()] == ["Trunk", "Lane"]
    assert axes.get_ylim() == (1.5, -0.5)


def test_the_decision_says_over_how_many_pipes_it_is(town):
    """Of two pipes the second resin satisfies one."""
    some, every = frozenset({0}), frozenset({0, 1})
    order = [
        Made(
            resin=resin,
            rank=place,
            missing=(),
            count=2,
            failing=2 - len(own),
            own=Made(pipes=own),
            common=Made(pipes=some, of=lambda by: (6.0, 6.0)),
        )
        for place, (resin, own) in enumerate(zip(town.resins, (every, some), strict=True), 1)
    ]
    (made,) = pictures._decision(order, "thickness", "US")
    assert made.caption == (
        "Mean nominal thickness, mm, over the 1 of 2 pipes that every resin satisfies; hatched: "
        "fails at least one pipe, and ranks below those that fail none"
    )
