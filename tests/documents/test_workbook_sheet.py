"""The sheet of one place, cell by cell against the design: what a reader of the workbook finds."""

import io
import math
import re
from functools import cache
from itertools import takewhile

import openpyxl
import pytest
from pages import document, results
from projects import toml

from linerdesign.documents.blocks import CAUTIONS
from linerdesign.documents.places import places_of
from linerdesign.documents.sheet import PLAIN, about_text, condition_text, reference, remark_lists
from linerdesign.documents.workbook import render
from linerdesign.methods.equation import Severity
from linerdesign.methods.method import checks_of
from linerdesign.methods.origin import Giver
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.words.documents import LABELS

STATIONS = [
    {"at": "0 ft", "ovality": "12 %", "cover": "9 ft"},
    {"at": "150 ft", "cover": "22 ft", "groundwater_above_invert": "17 ft"},
]
ASSUMED = {"origin": {"ovality": "assumed", "cover": "plan"}}
CASES = {
    "one place": (toml(pipe=ASSUMED), "US"),
    "stations": (
        toml(
            {"station": STATIONS, "live_load": "HL-93"},
            {"modulus_retention": "60 %", "thicknesses": ["12 mm", "24 mm", "36 mm"]},
            {"minimum_thickness": "4.5 mm"},
        ),
        "US",
    ),
    "metric, dry": (
        toml(
            {"condition": "partially deteriorated", "groundwater": "none"},
            criteria={"safety_factor": 1.5, "minimum_thickness": "30 mm"},
            drop=("groundwater_above_invert",),
        ),
        "SI",
    ),
    "thickness to check": (toml({"design_thickness": "20 mm"}), "US"),
    "soil in words": (toml({"soil_reaction_modulus": "silty sand, 90 % compaction"}), "US"),
    # Pressure inside is a caution whatever the numbers are.
    "pressure": (toml({"internal_pressure": "20 psi"}, {"tensile_strength": "5000 psi"}), "US"),
    "pressure at stations": (
        toml(
            {"internal_pressure": "20 psi", "station": STATIONS}, {"tensile_strength": "5000 psi"}
        ),
        "US",
    ),
}
A, B, C, D, E, F, G, H, I, J = range(10)
GREEN, ROSE, NONE = "FFD9EFE4", "FFF4DCE8", "00000000"


@cache
def _made(case):
    """The design, and the workbook with formulas and with the values as issued."""
    text, units = CASES[case]
    (result,) = results(text, units=units)
    data = render(document([result]))
    return result, *(
        openpyxl.load_workbook(io.BytesIO(data), data_only=only) for only in (False, True)
    )


class Place:
    """A sheet with the place that it is of: its parts, each with its rows below the title."""

    def __init__(self, case, index):
        self.result, book, issued = _made(case)
        self.at = self.result.stations[index]
        self.place = places_of(self.result, 1)[index]
        self.names = {
            str(each.attr_text): name for name, each in book.defined_names.items() if "$" in name
        }
        self.book = book
        self.sheet, self.values = (each.worksheets[1 + index] for each in (book, issued))
        self.parts, rows = {}, []
        for row in self.sheet.iter_rows(min_row=5):
            if row[A].font.size == 12 and row[A].value:
                rows = self.parts.setdefault(row[A].value, [])
            else:
                rows.append(row)

    def shown(self, row):
        """The values as issued of a row."""
        return [each.value for each in self.values[row[0].row]]

    def steps(self, inputs):
        return [
            step
            for step in self.result.steps
            if step.station in (None, self.at)
            and (step.line is None and step.arithmetic is None) == inputs
        ]

    def is_named(self, row, name):
        """Whether a row shows the name of its value, and the name leads there."""
        assert row[J].value == name
        found = self.book.defined_names[name].attr_text
        return found == f"'{self.sheet.title}'!$D${row[0].row}"


PLACES = [(case, 0) for case in CASES] + [("stations", 1), ("pressure at stations", 1)]


@pytest.fixture(params=PLACES, ids=str)
def place(request):
    return Place(*request.param)


def test_the_head_says_what_the_sheet_is_of_and_what_came_of_it(place):
    result, shown = place.result, [[c.value for c in row[:10]] for row in place.values[1:4]]
    at = f" at {place.at}" if place.at else ""
    unit = SYMBOLS["t"].unit(result.basis.system)
    outcome = result.places[result.stations.index(place.at)]
    assert shown[0][A] == f"{result.name}{at}"
    assert shown[1][A] == about_text(result)
    assert shown[2][:9] == [
        *(None, None, "Nominal thickness (current inputs)", result.nominal_thickness, unit),
        *("Status", outcome.status, "governed by", outcome.governing),
    ]
    heads = ["No.", "Symbol", "Quantity", "Value", "Unit", "Formula", None, None, "Source"]
    assert shown[3] == [*heads, "Name of the cell (counts every station)"]
    prefix = f"pipe{1 + result.stations.index(place.at)}"
    live = [place.sheet.cell(3, 1 + column).value for column in (D, G, I)]
    assert live == [f"={prefix}_{key}" for key in ("nominal_thickness", "status", "governing")]
    aligned = [place.sheet.cell(4, 1 + column).alignment for column in (A, D, E, F, I)]
    assert [(each.horizontal, each.indent) for each in aligned] == [
        (None, 0), ("right", 0), ("left", 1), (None, 0), ("left", 1),
    ]  # fmt: skip
    assert place.sheet.freeze_panes == "A5"
    # Values in sight stand at their words: words at the right of their cells, values at the left.
    standing = [place.sheet.cell(3, 1 + column) for column in (E, G, I)]
    assert [(c.alignment.horizontal, c.alignment.indent) for c in standing] == [("left", 1)] * 3
    said = [place.sheet.cell(3, 1 + column).alignment.horizontal for column in (F, H)]
    assert said == ["right", "right"]
    assert all(place.sheet.cell(3, 1 + column).font.bold for column in (C, D, E, F, G, H, I))


def test_every_input_is_a_row_with_its_constant_and_where_it_is_from(place):
    remark, *rows = place.parts["Inputs"]
    assert remark[B].value.startswith("Edit any shaded cell: green, stated; rose, default")
    steps, said = place.steps(True), place.result.in_words
    first = place.result.stations.index(place.at) == 0
    several = len(place.result.stations) > 1
    validated = {str(e.sqref) for e in place.sheet.data_validations.dataValidation}
    for row, step in zip(rows, steps, strict=False):
        shown = place.shown(row)
        value = pytest.approx(step.value, rel=1e-12)
        assert shown[:5] == [
            *(str(step.number), step.symbol, step.meaning, value, step.unit or None)
        ]
        shared = several and step.station is None
        if shared and not first:
            # One value of all stations is changed at one place.
            assert shown[F] == "edit on the sheet of the first station"
            assert row[D].value == f"={row[J].value}"
            home = place.book.defined_names[row[J].value].attr_text
            assert home == place.book.defined_names[row[J].value.replace("2_", "1_")].attr_text
            assert row[D].font.italic
        else:
            assert shown[F] == ("for all stations" if shared else None)
            name = "nominal_thickness" if step.key == "t" else name_of(step.key)
            assert place.is_named(row, f"pipe{place.place.number}_{name}")
            assert isinstance(row[D].value, int | float)
            assert row[D].coordinate in validated
            origin = step.origin
            # A number of the standard is no input; one of a rule for a vehicle is.
            changeable = origin.giver is not Giver.STANDARD
            doubtful = origin.by_default or origin.known_by == "assumed"
            fill = ROSE if doubtful else GREEN
            assert row[D].fill.fgColor.rgb == (fill if changeable else NONE), step.key
        pattern = row[D].number_format
        assert ("#,##0" in pattern) == (abs(step.value) >= 10_000)
        assert origin_words(step) in (shown[I] or "")
    for row, each in zip(rows[len(steps) :], said, strict=True):
        unit = SYMBOLS[each.key].unit(place.result.basis.system)
        hint = f"in place of {each.words}; empty: by {each.words}"
        wanted = [None, each.symbol, each.meaning, None, unit, hint, None, None, each.source]
        assert place.shown(row)[:9] == wanted
        assert place.is_named(row, f"pipe{place.place.number}_{name_of(each.key)}_stated")
        (rule,) = (
            r
            for r in place.sheet.data_validations.dataValidation
            if str(r.sqref) == row[D].coordinate
        )
        assert rule.allowBlank
        assert row[D].fill.fgColor.rgb == GREEN


def origin_words(step):
    """How a value is known, in words that do not repeat the number."""
    return step.origin.source.split(",")[0]


def test_an_input_cannot_be_left_empty_and_says_what_it_takes(place):
    rules = {str(e.sqref): e for e in place.sheet.data_validations.dataValidation}
    _, *rows = place.parts["Inputs"]
    for row in rows:
        rule = rules.get(row[D].coordinate)
        if rule is not None:
            assert rule.allowBlank == (row[D].value is None)
            assert rule.errorTitle == "Value not possible"
            assert rule.error.startswith("Write ")
            assert rule.formula1.startswith(f"AND(ISNUMBER($D${row[0].row}), $D${row[0].row}")


def test_every_line_is_a_row_with_its_formula_its_clause_and_its_value(place):
    system, several = place.result.basis.system, len(place.result.stations) > 1
    remark, *rows = place.parts["Calculation"]
    assert remark[B].value == condition_text(place.result)
    rows += place.parts["Equations at nominal thickness"]
    steps = place.steps(False)
    greyed = {
        str(area.sqref): rule.formula
        for area in place.sheet.conditional_formatting
        for rule in area.rules
        if rule.type == "expression"
    }
    for row, step in zip(rows, steps, strict=True):
        number, symbol, meaning, value, unit, formula, _, _, source = place.shown(row)[:9]
        assert (number, symbol, unit) == (
            str(step.number or "-"),
            step.symbol,
            SYMBOLS[step.key].unit(system) or None,
        )
        assert value == pytest.approx(step.value, rel=1e-12)
        assert str(row[D].value).startswith("=")
        prefix = f"pipe{place.place.number}_"
        if step.line is None:
            assert several
            assert meaning == f"{step.meaning} at the worst station"
            assert formula == "max over 2 stations"
            assert row[D].value == "=MAX(pipe1_required_thickness, pipe2_required_thickness)"
            assert place.is_named(row, f"{prefix}thickest_required")
            continue
        assert meaning == step.meaning
        assert source == reference(step)
        text = PLAIN.symbolic(step.line.tree)
        condition = step.line.when and PLAIN.symbolic(step.line.when.tree)
        assert formula == (f"{text}   where {condition}, else 0" if condition else text)
        assert place.is_named(row, f"{prefix}{name_of(step.key)}")
        area = f"A{row[0].row}:I{row[0].row}"
        assert (area in greyed) == (condition is not None)
        if condition:
            assert greyed[area][0].startswith("NOT(")
        assert row[D].font.bold == (step.key in ("t_required", "t"))


def test_rows_are_as_high_as_their_texts_and_formulas_have_the_width_of_three_cells(place):
    """A letter is about 0.85 of what widths count, a line of text 12 points high."""
    merged = {str(each) for each in place.sheet.merged_cells.ranges}
    widths = {}
    for span in place.sheet.column_dimensions.values():
        widths |= dict.fromkeys(range(span.min - 1, span.max), span.width)
    across = sum(widths[column] for column in (F, G, H))
    _, *inputs = place.parts["Inputs"]
    _, *lines = place.parts["Calculation"]
    for row in (*inputs, *lines, *place.parts["Equations at nominal thickness"]):
        number = row[0].row
        assert f"F{number}:H{number}" in merged
        texts = ((row[C], widths[C]), (row[F], across), (row[I], widths[I]))
        lines = max(math.ceil(0.85 * len(str(c.value or "")) / width) for c, width in texts)
        height = place.sheet.row_dimensions[number].height
        assert height >= 12 * lines
        most = max(math.ceil(1.3 * len(str(c.value or "")) / (width - 5)) for c, width in texts)
        assert height <= 13 * most + 3
    titles = [row for row in place.sheet.iter_rows(min_row=5) if row[A].font.size == 12]
    for row in titles:
        if row[A].value:
            assert place.sheet.row_dimensions[row[0].row].height == 24
            assert all(each.border.top.style == "medium" for each in row[:10])


def test_every_check_is_a_row_with_what_it_compares(place):
    head, *rows = place.parts["Checks at nominal thickness"]
    assert [each.value for each in head[:9]] == [
        *(None, "Equation", "Criterion", "Required thickness", "Unit", "Demand", "Capacity"),
        *("Safety factor provided", "Verdict"),
    ]
    aligned = [each.alignment.horizontal for each in head[:9]]
    assert [aligned[column] for column in (D, F, G, H)] == ["right"] * 4
    system = place.result.basis.system
    found = {c.equation: c for c in place.result.checks if c.station == place.at}
    for row, check in zip(rows, checks_of(place.result.basis), strict=True):
        shown = place.shown(row)
        demand, capacity = SYMBOLS[check.demand], SYMBOLS[check.capacity]
        unit = demand.unit(system)
        met = f"{demand.symbol} at most {capacity.symbol}" + (f", {unit}" if unit else "")
        assert (shown[B], shown[C], shown[E]) == (check.equation, met, SYMBOLS["t"].unit(system))
        made = found.get(check.equation)
        if made is None:
            assert [shown[c] or None for c in (D, F, G)] == [None, None, None]
            assert shown[I] == "does not apply"
        else:
            assert shown[D] == pytest.approx(made.required_thickness)
            assert shown[F] == pytest.approx(made.demand)
            assert shown[G] == pytest.approx(made.capacity)
            assert shown[I] == ("passes" if made.passes else "FAILS")
        factor = made and made.safety_factor
        if check.safety is None:
            assert shown[H] == "-"
        else:
            assert shown[H] == pytest.approx(factor) if factor else not shown[H]
        name = f"pipe{place.place.number}_check_{check.equation.replace('.', '_')}"
        assert row[J].value == name.replace(" ", "_")
        where = place.book.defined_names[row[J].value].attr_text
        assert where == f"'{place.sheet.title}'!$I${row[0].row}"
    areas = {str(a.sqref): a.rules for a in place.sheet.conditional_formatting}
    for row, check in zip(rows, checks_of(place.result.basis), strict=True):
        # Greyed where it does not apply; what applies always never is.
        greyed = [
            r for r in areas.get(f"A{row[0].row}:I{row[0].row}", []) if r.type == "expression"
        ]
        always = row[D].value.startswith("=IF(TRUE, ")
        assert always == (check.when is None)
        assert [r.formula[0][:4] for r in greyed] == ([] if always else ["NOT("])
    (rule,) = areas[f"I{rows[0][0].row}:I{rows[-1][0].row}"]
    assert (rule.operator, rule.formula) == ("equal", ['"FAILS"'])


def test_ranges_of_all_stations_stand_first_and_each_shows_when_it_is_left(place):
    head, *rows = place.parts["Ranges of the equations"]
    assert [head[c].value for c in (B, C, D)] == ["Kind", "Message", "Status"]
    noted = [n for n in place.result.notes if n.severity is not Severity.DEFAULT]
    here = {n.text for n in noted if n.station in (None, place.at)}
    areas = {str(a.sqref): a.rules for a in place.sheet.conditional_formatting}
    colours, at = {}, f" (at {place.at})" if place.at else ""
    for row in rows:
        kind, text, said = (place.shown(row)[c] for c in (B, C, D))
        assert said == ("out of range" if {text, text + at} & here else "in range"), text
        (rule,) = areas[row[D].coordinate]
        assert (rule.operator, rule.formula) == ("equal", ['"out of range"'])
        colours.setdefault(kind, set()).add(rule.dxf.fill.bgColor.rgb)
        assert place.sheet.row_dimensions[row[0].row].height >= 15.75
    assert colours.keys() == {"caution", "outside"}
    assert len(set.union(*colours.values())) == 2
    assert all(len(found) == 1 for found in colours.values())
    # The counts in the outcome run over them all: those of all stations, then the others.
    formulas = {r[J].value: r[D].value for r in place.parts["Outcome"] if r[J].value}
    prefix = f"pipe{place.place.number}_cautions"
    areas = re.findall(r"\$D\$(\d+):\$D\$(\d+), \"out of range\"", formulas[prefix])
    counted = [at for first, last in areas for at in range(int(first), int(last) + 1)]
    assert counted == [row[0].row for row in rows]
    assert len(areas) == (2 if len(place.result.stations) > 1 else 1)
    if f"{prefix}_of_all_stations" in formulas:
        (shared,) = areas[:1]
        of_all = formulas[f"{prefix}_of_all_stations"]
        assert f"$D${shared[0]}:$D${shared[1]}, " in of_all
        assert of_all.count("COUNTIF") == 1
        # The resin is of the pipe, and the ovality of each station.
        where = {row[C].value.partition(" over ")[0]: row[0].row for row in rows}
        assert where["modulus retention"] <= int(shared[1]) < where["ovality"]
    # A message of one condition is no choice of several: no bore is left at a DR of 2.
    live = {row[C].value: row[D].value for row in rows}
    dr = f"pipe{place.place.number}_DR"
    no_bore = f'=IF(NOT({dr} > 2.000000002), "out of range", "in range")'
    assert live["wall leaves no bore: results invalid"] == no_bore
    # What is no range is told among the notes.
    told = {row[B].value for title in place.parts for row in place.parts[title]}
    told |= {f"{row[C].value}{end}" for row in rows for end in ("", at)}
    assert here <= told


def test_the_outcome_is_that_of_the_place(place):
    result, index = place.result, place.result.stations.index(place.at)
    outcome, several = result.places[index], len(result.stations) > 1
    rows = {row[C].value: row for row in place.parts["Outcome"] if row[C].value}
    shown = {title: place.shown(row)[D] for title, row in rows.items()}
    notes = [n for n in result.notes if n.severity is not Severity.DEFAULT]
    own = [n for n in notes if n.station in (None, place.at)]
    names = {
        "Governing equation": "governing",
        "Nominal thickness governed by": "thickness_decided_by",
        "Min. safety factor": "lowest_safety_factor",
        "Status": "status",
        "Number of cautions": "cautions",
        "of these, for all stations": "cautions_of_all_stations",
    }
    wanted = {
        "Governing equation": outcome.governing,
        "Nominal thickness governed by": (
            "owner's minimum" if result.minimum_governs else "the equations"
        ),
        "Min. safety factor": outcome.least_factor or "none",
        "Status": outcome.status,
        "Number of cautions": len(own),
        "of these, for all stations": sum(n.station is None for n in notes),
    }
    if result.basis.thickness_given:
        del wanted["Nominal thickness governed by"]
    if not several or index:
        del wanted["of these, for all stations"]
    found = {title.partition(" (")[0]: value for title, value in shown.items()}
    assert found.keys() == wanted.keys()
    for title, value in wanted.items():
        if isinstance(value, float):
            assert found[title] == pytest.approx(value)
        elif title != "Min. safety factor":
            assert found[title] == value, title
    areas = {str(a.sqref): a.rules for a in place.sheet.conditional_formatting}
    for title, row in rows.items():
        name = f"pipe{place.place.number}_{names[title.partition(' (')[0]]}"
        assert place.is_named(row, name)
        (rule,) = areas[row[D].coordinate]
        assert rule.formula == ['"fails"']


def test_what_no_cell_moves_stands_below_as_issued(place):
    result = place.result
    ranges = {row[C].value for row in place.parts["Ranges of the equations"]}
    titles = list(place.parts)
    told = {title: [row[B].value for row in rows] for title, rows in place.parts.items()}
    counted = 0
    for title, items in remark_lists(result).items():
        raised = title in (LABELS["outside"], LABELS["pipe_cautions"])
        fixed = [] if raised else list(items)
        if raised:
            # Those that a range of the sheet follows are not repeated.
            at = f" (at {place.at})" if place.at else ""
            fixed = [t for t in items if " (at " not in t or t.endswith(at)]
            fixed = [t for t in fixed if t.removesuffix(at) not in ranges]
            counted += len(fixed)
        assert told.get(f"{title}, as issued", []) == fixed
    said = f"Number of cautions ({counted} as issued, listed below)"
    said = said if counted else "Number of cautions"
    counts = {row[C].value: row[D].value for row in place.parts["Outcome"]}
    assert counts[said].startswith(f"={counted}+")
    # Those that no cell moves are of the pipe here, and of no station.
    assert counts.get("of these, for all stations", f"={counted}+").startswith(f"={counted}+")
    assert titles[-1] == "Cautions"
    *cautions, legend = told["Cautions"]
    assert tuple(cautions) in (CAUTIONS, CAUTIONS[:-1])
    assert legend.startswith("Sources: ")
    last = place.sheet.max_row
    area = place.sheet.print_area.rpartition("!")[2]
    assert area == f"$A$1:$I${last + 1}"


def test_nothing_stands_in_a_row_but_what_is_said_of_it(place):
    """The cells of a table are ruled across it, and those beside are empty."""
    for title in ("Inputs", "Calculation"):
        for row in list(place.parts[title])[1:]:
            assert all(each.value is None for each in (row[G], row[H], *row[10:]))
            ruled = list(takewhile(lambda each: each.column <= 9, row))
            assert all(each.border.bottom.style == "hair" for each in ruled)
