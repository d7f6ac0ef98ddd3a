"""The sheets of a workbook that several pipes share: schedule, basis and legs, cell by cell."""

import io
import math
import re
from functools import cache

import openpyxl
import pytest
from openpyxl.utils import get_column_letter
from projects import FELT, LATERAL, LEGS, PIPE, toml

from linerdesign.documents.places import legs_of, places_of
from linerdesign.documents.schedule import Schedule, condition_word
from linerdesign.documents.sheet import about_text, reference
from linerdesign.documents.workbook import render
from linerdesign.documents.workbook_cells import text_width
from linerdesign.interface import Project, size
from linerdesign.methods.equation import Severity
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.project.reading import parse

# Columns of the schedule that hold no numbers.
TEXTS = ("pipe", "station", "host", "governs")
STATIONS = [
    {"at": "0 ft", "cover": "9 ft"},
    {"at": "150 ft", "cover": "22 ft", "groundwater_above_invert": "17 ft", "ovality": "12 %"},
]


def _table(pipe):
    return "[[pipe]]" + toml(pipe, drop=PIPE).partition("[[pipe]]")[2]


def _text():
    """A trunk of two stations, a lateral of two legs with little water, and a pipe above ground."""
    stretching = FELT | {"maximum_stretch": "15 %"}
    head, _, trunk = toml(
        {"resin": "Felt A", "station": STATIONS, "length": "150 ft"},
        {"tensile_strength": "3000 psi"},
        {"minimum_thickness": "27.2 mm"},
    ).partition("[[pipe]]")
    other = "[[resin]]\n" + "".join(f'{key} = "{value}"\n' for key, value in stretching.items())
    lateral = LATERAL | {"resin": "felt", "tube_thickness": "3 mm", "length": "40 ft"}
    lateral |= {"name": "Lateral from the house behind the school at the far end of Mill Lane"}
    over = {"name": "Over", "resin": "Felt A", "condition": "partially deteriorated"}
    over |= {"host_diameter": "12 in", "above_ground": True, "internal_pressure": "60 psi"}
    over |= {"hole_diameter": "1 in"}
    return head + other + "[[pipe]]" + trunk + _table(lateral) + LEGS + _table(over)


@cache
def _made():
    read: Project = parse(_text().encode(), "p.toml")
    sizing = size(read)
    data = render(sizing.document)
    return sizing, *(
        openpyxl.load_workbook(io.BytesIO(data), data_only=only) for only in (False, True)
    )


def _heads(sheet, head):
    """The row of the heads, and the column of each head."""
    (row,) = [r for r in sheet.iter_rows() if [c.value for c in r].count(head) == 1 and r[2].value]
    return row[0].row, {each.value: each.column for each in row if each.value}


def test_a_row_of_the_schedule_shows_what_the_printed_one_says():
    sizing, book, issued = _made()
    printed = next(b for b in sizing.document.blocks if isinstance(b, Schedule))
    sheet, values = book["Schedule"], issued["Schedule"]
    header, columns = _heads(sheet, "governs")
    assert list(columns) == [
        *("no.", "pipe", "station", "length, ft", "D, in", "cover, ft", "water, ft", "host"),
        *("governs", "t req., mm", "t nom., mm", "t tube, mm", "DR", "min. N", "status"),
        "cautions",
    ]

    def shown(row):
        return {head: values.cell(row, column).value for head, column in columns.items()}

    rows = [shown(row) for row in range(header + 1, sheet.max_row + 1)]
    assert [row["no."] for row in rows] == ["1", "1.1", "1.2", "2", "3"]
    own = [row for row in rows if "." not in row["no."]]
    for result, row, cells in zip(sizing.pipes, own, printed.rows, strict=True):
        texts = dict(zip(printed.columns, cells, strict=True))
        for head, text in texts.items():
            if head in ("no.", "status"):
                continue
            value = row[head]
            if head not in TEXTS and text != "-":
                assert value == pytest.approx(float(text), rel=6e-3), (result.name, head)
            else:
                assert (value or "-") == text, head
        assert row["status"] == result.status
        notes = [n for n in result.notes if n.severity is not Severity.DEFAULT]
        assert row["cautions"] == len(notes)
        assert row["station"] == result.governing_station
    trunk = sizing.pipes[0]
    for place, row in zip(places_of(trunk, 1), rows[1:3], strict=True):
        known = trunk.values[place.index]
        assert (row["pipe"], row["station"]) == ("Trunk", place.at)
        assert row["host"] == condition_word(trunk) == "full"
        assert row["length, ft"] == 150
        for head, key in (("D, in", "D"), ("cover, ft", "H"), ("water, ft", "h_invert")):
            assert row[head] == known[key]
        assert row["DR"] == pytest.approx(known["DR"])
        assert row["t req., mm"] == pytest.approx(25.4 * known["t_required"])
        assert row["t nom., mm"] == pytest.approx(25.4 * known["t"])
        assert (row["governs"], row["status"]) == (place.governing, place.status)
        assert row["min. N"] == pytest.approx(place.outcome.least_factor, abs=0.01)
        assert row["min. N"] <= place.outcome.least_factor
        assert row["cautions"] == len(place.cautions)


def _schedule(text):
    """The rows of the schedule of a project file, by their heads: formulas and as issued."""
    data = render(size(parse(text.encode(), "p.toml")).document)
    for only in (False, True):
        sheet = openpyxl.load_workbook(io.BytesIO(data), data_only=only)["Schedule"]
        header, columns = _heads(sheet, "governs")
        yield [
            {head: sheet.cell(row, column).value for head, column in columns.items()}
            for row in range(header + 1, sheet.max_row + 1)
        ]


def test_a_pipe_of_stations_without_a_factor_has_a_word_for_it_as_issued():
    """Dry, the limit of DR alone applies, and it has no factor. Of a soft resin under heavy soil
    the wall fills the pipe: no factor means anything."""
    dry = {"condition": "partially deteriorated", "groundwater": "none"}
    dry |= {"station": [{"at": at, "ovality": "2 %"} for at in ("0 ft", "150 ft")]}
    soft = {"flexural_modulus": "1724 psi", "flexural_strength": "31 psi"}
    heavy = {"soil_reaction_modulus": "1000 psf", "soil_unit_weight": "1200 pcf"}
    for text, word in (
        (toml(dry, drop=("groundwater_above_invert",)), "none"),
        (toml(heavy | {"station": STATIONS}, soft), "no bore"),
    ):
        _, issued = _schedule(text)
        assert [row["min. N"] for row in issued] == [word] * 3


def test_the_tube_of_a_pipe_with_stations_and_legs_stands_in_its_own_row():
    """The first leg has it, and the row of the pipe alone; cautions and factor are of all."""
    stations = [{"at": "0 ft"}, {"at": "30 ft", "ovality": "3 %"}]
    pipe = LATERAL | {"tube_thickness": "3 mm", "length": "40 ft", "station": stations}
    text = toml(pipe, FELT | {"maximum_stretch": "20 %"}, drop=PIPE) + LEGS
    live, issued = _schedule(text)
    assert [row["no."] for row in issued] == ["1", "1.1", "1.2"]
    assert [row["t tube, mm"] for row in issued] == [pytest.approx(3), None, None]
    assert live[0]["t tube, mm"] == "=ROUND(pipe1_leg1_t_tube*25.4, 9)"
    assert live[0]["status"] == "=pipe1_status_with_legs"
    shared = "1*pipe1_cautions_of_all_stations+pipe1_legs_that_fail"
    assert live[0]["cautions"].endswith(f"-{shared}")
    assert [row["status"] for row in live[1:]] == ["=pipe1_status", "=pipe2_status"]
    (result,) = size(parse(text.encode(), "p.toml")).pipes
    assert issued[0]["min. N"] == pytest.approx(result.lowest_safety_factor, abs=0.01)
    assert issued[0]["min. N"] < min(row["min. N"] for row in issued[1:])


def test_a_row_of_the_schedule_leads_to_its_sheet():
    _, book, _ = _made()
    sheet = book["Schedule"]
    header, _ = _heads(sheet, "governs")
    links = [sheet.cell(row, 1).hyperlink for row in range(header + 1, sheet.max_row + 1)]
    named = [link.location if link else None for link in links]
    assert named[0] is None
    names = [name for name in book.sheetnames if name[0].isdigit() and "leg" not in name]
    own = [n for n in names if not n.endswith((", 0 ft", ", 20 ft"))]
    assert named[1:] == [f"'{name}'!A1" for name in own]


def test_the_schedule_marks_what_fails_and_counts_and_says_how_to_read_it():
    _, book, _ = _made()
    sheet = book["Schedule"]
    header, columns = _heads(sheet, "governs")
    told = [sheet.cell(row, 1) for row in range(1, header)]
    begins = (
        *("Liner thickness calculation", "Harrowmere trunk", "project file p.toml, SHA-256 "),
        *(
            "linerdesign ",
            "To be reviewed and sealed by a licensed engineer",
            "Thickness by pipe; ",
        ),
        # Of the pressure pipe: whatever the numbers are.
        *("Pipes with legs: ", "Cautions are counted with the current inputs; 1 of them, "),
    )
    for each, begin in zip(told, begins, strict=True):
        assert each.value.startswith(begin)
    assert [each.font.size for each in told] == [15] + [10] * 7
    last = sheet.max_row
    areas = {str(a.sqref): a.rules for a in sheet.conditional_formatting}
    letter = get_column_letter(columns["status"])
    rules = areas[f"{letter}{header + 1}:{letter}{last + 1}"]
    assert [(r.operator, r.formula) for r in rules] == [
        ("equal", ['"fails"']), ("equal", ['"outside the method"']), ("equal", ['"not designed"']),
    ]  # fmt: skip
    letter = get_column_letter(columns["cautions"])
    (rule,) = areas[f"{letter}{header + 1}:{letter}{last + 1}"]
    assert (rule.operator, rule.formula) == ("greaterThan", ["0"])
    # What fails is marked otherwise than what there is to weigh.
    assert rule.dxf.fill.bgColor.rgb != rules[0].dxf.fill.bgColor.rgb
    area = sheet.print_area.rpartition("!")[2]
    assert area == f"$A$1:$P${last + 1}"
    assert sheet.freeze_panes == f"A{header + 1}"
    formats = {
        head: sheet.cell(header + 2, column).number_format for head, column in columns.items()
    }
    decimals = {"t req., mm": "0.00", "min. N": "0.00", "DR": "0.0", "cautions": "0"}
    assert {head: formats[head] for head in decimals} == decimals
    rest = formats.keys() - decimals.keys()
    assert {formats[head] for head in rest} == {"General"}
    sides = {
        head: {sheet.cell(row, column).alignment.horizontal for row in (header, header + 2)}
        - {None}
        for head, column in columns.items()
    }
    left = {"no.", "pipe", "station", "host", "governs", "status"}
    assert {head for head, found in sides.items() if found == {"left"}} == left
    assert {head for head, found in sides.items() if found == {"right"}} == sides.keys() - left
    # The long name takes three lines of 32 letters less the margin, all others one.
    heights = [sheet.row_dimensions[row].height for row in range(header, last + 1)]
    assert heights[0] == heights[1] + 12.75
    assert heights[4] > heights[1] == heights[2] == heights[3] == heights[5]


def test_the_basis_states_each_shared_value_once_with_what_it_drives():
    sizing, book, issued = _made()
    sheet, values = book["Basis"], issued["Basis"]
    header, columns = _heads(sheet, "Drives")
    assert list(columns) == [
        *("Symbol", "Quantity", "Value", "Unit", "Source", "Drives", "Name of the cell")
    ]
    assert sheet["A1"].value == "Basis: resins, criteria, live load"
    assert sheet.freeze_panes == f"A{header + 1}"
    area = sheet.print_area.rpartition("!")[2]
    assert area == f"$A$1:$F${sheet.max_row + 1}"
    part, found = "", {}
    for row in values.iter_rows(min_row=header + 1, max_col=7):
        symbol, meaning, value, unit, source, drives, name = (each.value for each in row)
        if value is None:
            part = symbol
            assert sheet.cell(row[0].row, 1).font.bold
            continue
        reference_ = book.defined_names[name].attr_text
        assert reference_ == f"'Basis'!$C${row[0].row}"
        found[part, name.partition("_")[2], value] = (symbol, meaning, unit, source, drives)
    inputs = {}
    for result in sizing.pipes:
        for step in result.steps:
            if step.arithmetic is None and step.line is None:
                key = (result.resin, name_of(step.key), step.value)
                inputs.setdefault(key, []).append(result.name)
    for (part, name, value), (symbol, meaning, unit, source, drives) in found.items():
        own = [
            n
            for (resin, key, number), pipes in inputs.items()
            if key == name and number == pytest.approx(value, rel=1e-12)
            if resin in part or not part.startswith("Resin")
            for n in pipes
        ]
        assert own, (part, name)
        assert drives == ("1 pipe" if len(own) == 1 else f"{len(own)} pipes")
        about = next(each for each in SYMBOLS.values() if each.name == name)
        assert (symbol, meaning, unit or "") == (about.symbol, about.meaning, about.unit("US"))
        assert source
    assert {part for part, *_ in found} >= {"Resin Felt A", "Resin felt"}
    aligned = [sheet.cell(header, 1 + column).alignment.horizontal for column in range(6)]
    assert aligned == [None, None, "right", "left", "left", "left"]


def _parts(sheet, values):
    """The rows of each part of a sheet by its title, as values."""
    parts, rows = {}, []
    for row in sheet.iter_rows(min_row=5):
        if row[0].font.size == 12 and row[0].value:
            rows = parts.setdefault(row[0].value, [])
        else:
            rows.append((row, [each.value for each in values[row[0].row]]))
    return parts


@pytest.mark.parametrize("leg", [0, 1])
def test_a_leg_has_a_sheet_that_follows_its_pipe(leg):
    sizing, book, issued = _made()
    result = sizing.pipes[1]
    place = legs_of(result, result.first)[leg]
    built = place.result
    (name,) = [n for n in book.sheetnames if n.endswith((", 0 ft", ", 20 ft")[leg])]
    sheet, values = book[name], issued[name]
    prefix = f"pipe3_leg{leg + 1}_"
    at = built.stations[leg]
    assert values["A1"].value == f"{result.name}, {at}"
    assert values["A2"].value == about_text(built)
    found = result.legs.legs[leg]
    # Of a bend the thinnest side is checked.
    assert values["D3"].value == pytest.approx(found.least)
    parts = _parts(sheet, values)
    wall = parts["Wall delivered in this leg"]
    for (row, shown), key in zip(wall[1:], place.leg.wall, strict=True):
        about = SYMBOLS[key]
        assert (shown[1], shown[2], shown[4] or "") == (
            about.symbol, about.meaning, about.unit("US"),
        )  # fmt: skip
        assert row[9].value == f"{prefix}{name_of(key)}"
        # A number, or names of cells and functions, which have capitals.
        used = re.findall(r"\b[a-z]\w*", row[3].value)
        assert set(used) <= book.defined_names.keys()
    assert wall[-1][1][3] == pytest.approx(found.least)
    assert pytest.approx(found.delivered) in [shown[3] for _, shown in wall[1:]]
    steps = [
        step
        for step in built.steps
        if step.station in (None, at) and step.line is None and step.arithmetic is None
    ]
    # Of a bend the wall at its outer side; the ovality is that of the pipe.
    wall_of_leg = f"{prefix}{('t_leg', 't_bend_out')[leg]}"
    of_leg = {"D": f"{prefix}D_leg", "t": wall_of_leg, "q_pipe": "pipe3_ovality"}
    for (row, shown), step in zip(parts["Inputs"], steps, strict=True):
        assert shown[1:5] == [
            step.symbol, step.meaning, pytest.approx(step.value), step.unit or None,
        ]  # fmt: skip
        assert shown[5] == "from the sheet of the pipe"
        name = "nominal_thickness" if step.key == "t" else name_of(step.key)
        assert row[9].value == f"{prefix}{name}"
        cell = of_leg.get(step.key, f"pipe3_{name_of(step.key)}")
        assert row[3].value == f"={cell}"
    outcome = {shown[2]: shown[3] for _, shown in parts["Outcome"] if shown[2]}
    assert outcome["Governing equation"] == built.places[leg].governing
    assert outcome["Status"] == built.places[leg].status
    needs = outcome["Required thickness, at least the owner's minimum"]
    assert needs == pytest.approx(found.needed)
    assert outcome["Wall delivered is sufficient"] == ("passes" if found.passes else "FAILS")
    lines = [
        shown for title in ("Calculation", "Equations at nominal thickness")
        for _, shown in parts[title]
    ]  # fmt: skip
    of_line = {step.symbol: step for step in built.steps if step.line and step.station == at}
    for shown in lines[1:]:
        if shown[1] in of_line:
            step = of_line[shown[1]]
            assert shown[3] == pytest.approx(step.value, rel=1e-9)
            assert shown[8] == reference(step)


def test_the_sheet_of_a_pipe_lists_its_legs_and_the_status_with_them():
    sizing, book, issued = _made()
    result = sizing.pipes[1]
    (name,) = [n for n in book.sheetnames if n.startswith("2 ") and ", " not in n]
    parts = _parts(book[name], issued[name])
    (title,) = [title for title in parts if "egs" in title]
    (head, heads), *rows = parts[title]
    assert heads[2:8] == [
        "Leg", "Wall delivered", "Unit", "Required thickness", None, "Safety factor",
    ]  # fmt: skip
    assert [head[c].alignment.horizontal for c in (3, 5, 7)] == ["right"] * 3
    legs = result.legs.legs
    for place, leg, (row, shown) in zip(legs_of(result, 3), legs, rows[:2], strict=True):
        assert (shown[2], shown[4]) == (leg.at, "in")
        assert shown[3] == pytest.approx(leg.least)
        assert shown[5] == pytest.approx(leg.needed)
        assert shown[7] == pytest.approx(leg.safety_factor)
        assert shown[8] == ("passes" if leg.passes else "FAILS")
        prefix = place.prefix
        assert [row[c].value for c in (3, 5, 7, 8)] == [
            f"={prefix}{key}"
            for key in ("nominal_thickness", "needed", "lowest_safety_factor", "serves")
        ]
    least, status, failing = (shown for _, shown in rows[2:5])
    assert least[2:4] == [
        "Min. safety factor, legs included", pytest.approx(result.lowest_safety_factor),
    ]  # fmt: skip
    # Where nothing has a factor, the word that the pipe's own sheet has for it.
    assert rows[2][0][3].value.endswith(", pipe3_lowest_safety_factor)")
    assert status[2:4] == ["Status, legs included", result.status]
    assert failing[2:4] == ["Legs that fail", sum(not leg.passes for leg in legs)]
    areas = {str(a.sqref): a.rules for a in book[name].conditional_formatting}
    first = rows[0][0][0].row
    (rule,) = areas[f"I{first}:I{first + 1}"]
    assert rule.formula == ['"FAILS"']


def _widths(sheet):
    found = {}
    for span in sheet.column_dimensions.values():
        found |= dict.fromkeys(range(span.min, span.max + 1), span.width - 5 / 7)
    return [round(found[column]) for column in sorted(found)]


def test_columns_of_one_kind_are_as_wide_on_every_sheet():
    """Symbol, quantity, value, unit, source and name; the three of a formula are alike."""
    _, book, _ = _made()
    basis = _widths(book["Basis"])
    for sheet in (s for s in book if s.title[0].isdigit()):
        number, *widths = _widths(sheet)
        symbol, quantity, value, unit, demand, capacity, factor, source, name = widths
        assert basis[:5] == [symbol, quantity, value, unit, source]
        assert basis[6] == name
        assert demand == capacity == factor
        # What counts has the least room, what is said the most.
        assert number < unit < symbol < value < demand < name < quantity < source
        # A number of a line is one of three figures; a value has six figures, commas and a point.
        assert number >= text_width("999") + 1
    schedule = _widths(book["Schedule"])
    _, columns = _heads(book["Schedule"], "governs")
    wide = {head: schedule[column - 1] for head, column in columns.items()}
    # The status of a line has one line of its own, and no more room than that.
    assert wide["status"] == math.ceil(text_width("outside the method") + 2.5)
    assert wide["no."] == min(wide.values())
    assert wide["pipe"] == max(wide.values())
    numbers = {head for head in wide if "," in head or head in ("DR", "min. N", "cautions")}
    assert {wide[head] for head in numbers} == {10}


# How a cell looks: side, indent, whether it wraps, bold, italic, points, and the rule under it.
WORDS = (None, 0, True, False, False, 10, "hair")
WORDS_AT_A_NUMBER = ("left", 1, True, False, False, 10, "hair")
WORDS_IN_PLACE_OF_A_NUMBER = ("right", 0, True, False, False, 10, "hair")
SMALL = (None, 0, False, False, False, 8, "hair")
COMPUTED = (None, 0, False, False, False, 10, "hair")
WEIGHTY = (None, 0, False, True, False, 10, "hair")
FROM_ELSEWHERE = (None, 0, False, False, True, 10, "hair")
AT_THE_RIGHT = ("right", 0, False, False, False, 10, "hair")
HEAD = (None, 0, True, True, False, 10, "thin")
HEAD_AT_A_NUMBER = ("left", 1, True, True, False, 10, "thin")
HEAD_OF_NUMBERS = ("right", 0, True, True, False, 10, "thin")


def _look(cell):
    side, font = cell.alignment, cell.font
    about = side.horizontal, int(side.indent), bool(side.wrap_text), font.bold, font.italic
    return *about, font.size, cell.border.bottom.style


# The looks of the cells A to J of a row, by the part of the sheet that it is in; of a value there
# are several kinds.
_LINE = {"ABCF": WORDS, "EI": WORDS_AT_A_NUMBER, "J": SMALL}
LOOKS = {
    "Inputs": _LINE,
    "Wall delivered in this leg": _LINE | {"D": COMPUTED},
    "Calculation": _LINE,
    "Equations at nominal thickness": _LINE | {"D": COMPUTED},
    "Checks at nominal thickness": {
        "ABC": WORDS, "DFG": COMPUTED, "EI": WORDS_AT_A_NUMBER, "J": SMALL,
    },
    "Ranges of the equations": {"ABC": WORDS, "D": WORDS_IN_PLACE_OF_A_NUMBER},
    "Outcome": {"C": WORDS, "D": AT_THE_RIGHT, "J": SMALL},
    "Legs of the line": {"C": WORDS, "J": SMALL},
}  # fmt: skip
HEADS = {
    "Checks at nominal thickness": "DFGH",
    "Ranges of the equations": "D",
    "Legs of the line": "DFH",
}


def _sheets_of_places():
    _, book, issued = _made()
    return [(s, _parts(s, issued[s.title])) for s in book if s.title[0].isdigit()]


def test_cells_of_one_kind_look_alike_on_every_sheet():
    """Words at the left, those beside a number set off from it, numbers at the right and in the
    same figures; what is an input or the outcome is bold, what another sheet has italic."""
    figures = set()
    for sheet, parts in _sheets_of_places():
        assert [_look(sheet.cell(4, 1 + n)) for n in range(10)] == [
            *(HEAD, HEAD, HEAD, HEAD_OF_NUMBERS, HEAD_AT_A_NUMBER),
            *(HEAD, HEAD, HEAD, HEAD_AT_A_NUMBER, HEAD),
        ]
        assert _look(sheet["A1"])[3:6] == (True, False, 15)
        for title, looks in LOOKS.items():
            rows = [row for row, _ in parts.get(title, [])]
            if title in HEADS and rows:
                head, *rows = rows
                for cell in head[:10]:
                    kind = HEAD_AT_A_NUMBER if cell.column_letter in "EI" else HEAD
                    kind = HEAD_OF_NUMBERS if cell.column_letter in HEADS[title] else kind
                    assert _look(cell) == kind, (title, cell.coordinate)
            elif title in ("Inputs", "Calculation", "Wall delivered in this leg"):
                rows = rows if rows and rows[0][2].value else rows[1:]
            for row in rows:
                for letters, look in looks.items():
                    for letter in letters:
                        cell = row["ABCDEFGHIJ".index(letter)]
                        if cell.value not in (None, ""):
                            assert _look(cell) == look, cell.coordinate
                            assert cell.alignment.vertical == "top"
                if title in ("Calculation", "Checks at nominal thickness"):
                    figures |= {row[3].number_format}
                if title == "Calculation":
                    assert _look(row[3]) == (WEIGHTY if row[1].value in MAIN else COMPUTED)
                if title == "Inputs":
                    value, elsewhere = row[3], isinstance(row[3].value, str)
                    shaded = value.fill.fgColor.rgb != "00000000"
                    kind = FROM_ELSEWHERE if elsewhere else WEIGHTY if shaded else COMPUTED
                    assert _look(value) == kind, value.coordinate
                if title in ("Checks at nominal thickness", "Legs of the line"):
                    dash = row[7].value == "-"
                    safety = WORDS_IN_PLACE_OF_A_NUMBER if dash else AT_THE_RIGHT
                    assert row[7].value is None or _look(row[7]) == safety
                    assert dash or row[7].value is None or row[7].number_format == "0.0000"
                if title == "Outcome":
                    counted = row[2].value.startswith(("Number of", "of these"))
                    assert row[3].number_format == ("0" if counted else "0.0000")
        for title in ("Defaults, as issued", "Values not measured, as issued", "Cautions"):
            for row, _ in parts.get(title, []):
                # A remark runs on over the cells beside it.
                assert _look(row[1]) == (None, 0, False, False, False, 10, None)
    assert len(figures) == 1


# The required and the nominal thickness.
MAIN = ("t_req", "t")


def test_a_title_of_a_part_stands_out_and_is_ruled_above():
    for sheet, parts in _sheets_of_places():
        titles = [row for row in sheet.iter_rows(min_row=5) if row[0].font.size == 12]
        assert [row[0].value for row in titles] == list(parts)
        for row in titles:
            assert row[0].font.bold
            assert [each.border.top.style for each in row] == ["medium"] * 10
            assert sheet.row_dimensions[row[0].row].height == 24


_ON_BASIS = "edit on the sheet Basis"
_RESIN, _DEFAULT = "resin felt", "default"
_GIVEN = (None, None, None, "given")
# Of the felt and of the criteria: symbol, quantity, value, unit, source, pipes that have it, name.
_FELT_ROWS = [
    ("E", "initial flexural modulus", 250_000, "psi", _RESIN, 1, "flexural_modulus"),
    ("r_E", "long-term modulus retention (creep)", 50, "%", _DEFAULT, 1, "modulus_retention"),
    ("sigma", "initial flexural strength", 4500, "psi", _RESIN, 1, "flexural_strength"),
    (
        *("r_sigma", "long-term flexural strength retention", 50, "%", _DEFAULT, 1),
        "strength_retention",
    ),
]
_CRITERIA_ROWS = [
    ("nu", "Poisson's ratio", 0.3, None, _DEFAULT, 2, "poisson_ratio"),
    ("N", "safety factor", 2, None, _DEFAULT, 3, "safety_factor"),
    ("K", "enhancement factor", 7, None, _DEFAULT, 2, "enhancement_factor"),
    ("DR_max", "maximum DR, no groundwater", 100, None, _DEFAULT, 2, "maximum_dimension_ratio"),
    ("q_f", "minimum design ovality", 0, "%", _DEFAULT, 2, "minimum_ovality"),
    (
        *("t_f", "owner's minimum thickness", 27.2 / 25.4, "in"),
        *("project criteria, stated as 27.2 mm", 3, "minimum_thickness"),
    ),
    (
        *("t_s", "thickness increment", 1.5 / 25.4, "in", "default, stated as 1.5 mm", 3),
        "thickness_step",
    ),
]


def _near(row):
    return tuple(pytest.approx(each) if isinstance(each, float) else each for each in row)


def test_the_basis_row_by_row():
    """By hand from the project: what the pipe under pressure lacks only two pipes have. A value
    that was written in another unit says so, and its cell has the unit of the sheet alone."""
    _, book, issued = _made()
    rows = [tuple(c.value for c in row) for row in issued["Basis"].iter_rows(max_col=7)]
    assert rows[:4] == [
        ("Basis: resins, criteria, live load", *[None] * 6),
        ("Each value is stated here once, and drives every pipe that takes it.", *[None] * 6),
        (
            "Edit any shaded cell: green, stated; rose, default or assumed. What is chosen in "
            "words (condition, edition, vehicle, resin) needs a new run.",
            *[None] * 6,
        ),
        ("Symbol", "Quantity", "Value", "Unit", "Source", "Drives", "Name of the cell"),
    ]
    felt, criteria = (rows.index((title, *[None] * 6)) for title in ("Resin felt", "Criteria"))
    for first, pipe, wanted in ((felt, 3, _FELT_ROWS), (criteria, 1, _CRITERIA_ROWS)):
        for found, (*row, count, name) in zip(rows[first + 1 :], wanted, strict=False):
            drives = "1 pipe" if count == 1 else f"{count} pipes"
            assert found == _near((*row, drives, f"pipe{pipe}_{name}"))
    assert criteria + 1 + len(_CRITERIA_ROWS) == len(rows)
    sheet = book["Basis"]
    assert _look(sheet["A1"])[3:6] == (True, False, 15)
    assert [_look(cell) for cell in sheet[4]] == [
        *(HEAD, HEAD, HEAD_OF_NUMBERS, HEAD_AT_A_NUMBER, HEAD_AT_A_NUMBER, HEAD_AT_A_NUMBER),
        HEAD_AT_A_NUMBER,
    ]
    for row in sheet.iter_rows(min_row=5):
        if row[2].value is None:
            assert row[0].font.bold
            continue
        assert [_look(cell) for cell in row] == [
            *(WORDS, WORDS, WEIGHTY, *[WORDS_AT_A_NUMBER] * 3, SMALL)
        ]
        # Of the felt from the resin, green; what is by default is rose.
        stated = row[4].value.startswith(("resin", "project"))
        assert row[2].fill.fgColor.rgb == ("FFD9EFE4" if stated else "FFF4DCE8")
        assert sheet.row_dimensions[row[0].row].height == 15.75


def test_a_row_of_the_basis_is_as_deep_as_its_texts():
    """A letter a takes 1.03 and `resin ` 4.74: of 44 the source has 41.5, for which 35 letters are
    40.79, and 36 take a second line."""
    for letters, deep in ((35, False), (36, True), (39, True)):
        name = "a" * letters
        head = toml({"resin": name}, {"name": name})
        text = head + "\n[[pipe]]" + toml({"resin": name, "name": "B"}).partition("[[pipe]]")[2]
        data = render(size(parse(text.encode(), "p.toml")).document)
        sheet = openpyxl.load_workbook(io.BytesIO(data))["Basis"]
        rows = [row for row in sheet.iter_rows(min_row=5) if row[4].value == f"resin {name}"]
        heights = {sheet.row_dimensions[row[0].row].height for row in rows}
        assert heights == {28.5 if deep else 15.75}


def test_an_input_that_pipes_share_is_that_of_the_basis():
    """The lateral's inputs as a whole: its own, those of its felt, and the criteria."""
    _, book, issued = _made()
    name = next(n for n in book.sheetnames if n.startswith("2 ") and ", " not in n)
    own = [
        ("1", "D", "mean inside diameter of the host pipe", 4, "in", *_GIVEN, "host_diameter"),
        ("2", "q_p", "ovality of the host pipe", 2, "%", *_GIVEN, "ovality"),
        (
            *("3", "h_i", "groundwater above invert", 8, "ft", *_GIVEN),
            "groundwater_above_invert",
        ),
    ]
    shared = [
        (str(number), *row, _ON_BASIS, None, None, source, key)
        for number, (*row, source, _, key) in enumerate((*_FELT_ROWS, *_CRITERIA_ROWS), 4)
    ]
    title, remark, *rows = issued[name].iter_rows(5, 6 + len(own) + len(shared), values_only=True)
    assert title[0] == "Inputs"
    assert remark[1].startswith("Edit any shaded cell")
    for found, (*row, key) in zip(rows, (*own, *shared), strict=True):
        assert found == _near((*row, f"pipe3_{key}"))
    for row in book[name].iter_rows(7 + len(own), 6 + len(own) + len(shared)):
        value, key = row[3], row[9].value
        assert value.value == f"={key}"
        where = book.defined_names[key].attr_text
        assert where.startswith("'Basis'!$C$")
        grouped = issued[name][value.coordinate].value >= 10_000
        assert value.number_format == ("[>=10000]#,##0;General" if grouped else "General")


def test_the_trunk_states_once_what_its_stations_share():
    """The weight of the soil is of the pipe: it is edited at the first station, and no height of
    water is, of which each station has its own."""
    _, book, issued = _made()
    rows = [
        {row[1]: row for row in issued[f"1 Trunk at {at}"].iter_rows(7, 25, values_only=True)}
        for at in ("0 ft", "150 ft")
    ]
    assert rows[0]["w"] == (
        *("8", "w", "unit weight of soil", 120, "pcf", "for all stations", None, None, "given"),
        "pipe1_soil_unit_weight",
    )
    assert rows[1]["w"] == (
        *("8", "w", "unit weight of soil", 120, "pcf", "edit on the sheet of the first station"),
        *(None, None, "given", "pipe2_soil_unit_weight"),
    )
    assert rows[1]["h_i"] == (
        *("7", "h_i", "groundwater above invert", 17, "ft", None, None, None, "given"),
        "pipe2_groundwater_above_invert",
    )
    names = [f"pipe{n}_soil_unit_weight" for n in (1, 2)]
    first, second = (book.defined_names[name].attr_text for name in names)
    assert first == second
    assert first.startswith("'1 Trunk at 0 ft'!$D$")
    worst = next(
        row
        for row in issued["1 Trunk at 0 ft"].iter_rows(values_only=True)
        if row[9] == "pipe1_thickest_required"
    )
    assert worst[:3] == ("54", "t_req", "required thickness at the worst station")
    assert worst[4:9] == (
        *("in", "max over 2 stations", None, None),
        "one tube has one thickness: the worst station governs",
    )


_DELIVERED = "2*t_t*(D_t - t_t)/(D_g + sqrt(D_g^2 - 4*t_t*(D_t - t_t))) if D_g > D_t*1.005 else t_t"
_TUBE = "=MIN(MAX(pipe3_host_diameter), 4.6)"
_WALLS = {
    ", 0 ft": [
        ("D_leg", 4, "in", None, "=MAX(pipe3_host_diameter)"),
        ("D_tube", 4, "in", None, _TUBE),
        ("t_tube", 3 / 25.4, "in", "0.11811", "=0.118110236220472"),
        ("x_stretch", 0, "%", "100*(D_g/D_t - 1)", "=100*({0}D_leg/{0}D_tube-1)"),
        ("t_leg", 3 / 25.4, "in", _DELIVERED, None),
    ],
    ", 20 ft": [
        ("D_leg", 4.6, "in", "4.6", "=4.6"),
        ("D_tube", 4, "in", None, _TUBE),
        ("t_tube", 3 / 25.4, "in", "0.11811", "=0.118110236220472"),
        ("x_stretch", 15, "%", "100*(D_g/D_t - 1)", "=100*({0}D_leg/{0}D_tube-1)"),
        ("t_leg", 2.589 / 25.4, "in", _DELIVERED, None),
        ("R_bend", 12, "in", "12", "=12"),
        ("x_bend", 100 * 4.6 / 24, "%", "100*D_g/(2*R_be)", "=100*{0}D_leg/(2*{0}R_bend)"),
        ("t_bend_out", 2.1726 / 25.4, "in", "t_g/(1 + x_b/100)", "={0}t_leg/(1+{0}x_bend/100)"),
    ],
}


@pytest.mark.parametrize("end", _WALLS)
def test_the_wall_of_a_leg_line_by_line(end):
    """By hand: a tube for the smaller of the two diameters, 3 mm thick, is stretched by 15 % in the
    wider leg, where a wall of one section has 2.589 mm, and a bend of 12 in thins that at its outer
    side by 4.6/24. The diameter of the pipe is live; what the project states of a leg is not, and
    a line that reads cells of other sheets has no formula in symbols."""
    _, book, issued = _made()
    (name,) = [n for n in book.sheetnames if n.endswith(end)]
    leg = 1 + list(_WALLS).index(end)
    title, remark, *rows = book[name].iter_rows(5, 6 + len(_WALLS[end]))
    assert title[0].value == "Wall delivered in this leg"
    assert remark[1].value == (
        "From the cells of the pipe; what the project states of tube and bends is constant."
    )
    for row, (key, value, unit, text, formula) in zip(rows, _WALLS[end], strict=True):
        about = SYMBOLS[key]
        shown = [cell.value for cell in issued[name][row[0].row]]
        assert shown[0] is None
        assert shown[1:3] == [about.symbol, about.meaning]
        assert shown[3] == pytest.approx(value, rel=1e-4, abs=1e-9)
        assert shown[4] == unit
        assert shown[5] == text
        assert shown[6:] == [None, None, None, f"pipe3_leg{leg}_{key}"]
        if formula:
            assert row[3].value.startswith(formula.format(f"pipe3_leg{leg}_"))
    below = book[name].cell(7 + len(_WALLS[end]), 1)
    assert below.value == "Inputs"


def test_a_row_of_the_schedule_reads_the_cells_of_its_own_sheet():
    """By hand: thicknesses from inches to mm, factors cut to two decimals, the row of a pipe with
    stations by the one of the thickest wall, its cautions those of both less the shared ones once
    more, and a pipe with legs by status, factor and cautions of all of them."""
    _, book, _ = _made()
    sheet = book["Schedule"]
    header, columns = _heads(sheet, "governs")

    def live(row):
        cells = {head: sheet.cell(header + row, column).value for head, column in columns.items()}
        return {head: text for head, text in cells.items() if str(text)[:1] == "="}

    def of_place(pipe, *, factor="lowest_safety_factor", status="status", **more):
        said = f"pipe{pipe}_governing"
        by_owner = f'"owner\'s minimum ("&{said}&")"'
        factor = f"pipe{pipe}_{factor}"
        made = {
            "D, in": f"=ROUND(pipe{pipe}_host_diameter, 9)",
            "governs": (
                f'=IF(pipe{pipe}_thickness_decided_by="owner\'s minimum", {by_owner}, {said})'
            ),
            "t req., mm": f"=ROUND(pipe{pipe}_required_thickness*25.4, 9)",
            "t nom., mm": f"=ROUND(pipe{pipe}_nominal_thickness*25.4, 9)",
            "DR": f"=ROUND(pipe{pipe}_DR, 9)",
            "min. N": f"=IF(ISNUMBER({factor}), INT({factor}*100+1E-7)/100, {factor})",
            "status": f"=pipe{pipe}_{status}",
            "cautions": f"=pipe{pipe}_cautions",
        }
        return made | more

    water = {"water, ft": "=ROUND(pipe{}_groundwater_above_invert, 9)"}
    ground = water | {"cover, ft": "=ROUND(pipe{}_cover, 9)"}
    for row, pipe in ((2, 1), (3, 2)):
        assert live(row) == of_place(pipe) | {k: f.format(pipe) for k, f in ground.items()}
    with_legs = {"factor": "lowest_safety_factor_with_legs", "status": "status_with_legs"}
    assert live(4) == of_place(3, **with_legs) | {
        "water, ft": water["water, ft"].format(3),
        "t tube, mm": "=ROUND(pipe3_leg1_t_tube*25.4, 9)",
        "cautions": "=pipe3_cautions+pipe3_legs_that_fail",
    }
    assert live(5) == of_place(4)

    below = {
        head: f"'Schedule'!${letter}${header + 2}:${letter}${header + 3}"
        for head, column in columns.items()
        for letter in [get_column_letter(column)]
    }
    thick, factors, status = (below[head] for head in ("t req., mm", "min. N", "status"))

    def at_worst(head):
        return f"INDEX({below[head]}, MATCH(MAX({thick}), {thick}, 0))"

    which, where = at_worst("governs"), f'" @ "&{at_worst("station")}'
    by_owner = f'SUBSTITUTE({which}, ")", {where}&")")'
    worst = ("station", "D, in", "cover, ft", "water, ft", "DR")
    assert live(1) == {head: f"={at_worst(head)}" for head in worst} | {
        "governs": (
            f'=IF(pipe1_thickness_decided_by="owner\'s minimum", {by_owner}, {which}&{where})'
        ),
        "t req., mm": f"=MAX({thick})",
        "t nom., mm": f"=MAX({below['t nom., mm']})",
        "min. N": (
            f'=IF(NOT((COUNTIF({factors}, "no bore")=0)), "no bore", '
            f'IF(NOT((COUNT({factors})>0)), "none", MIN({factors})))'
        ),
        "status": (
            f'=IF(NOT((COUNTIF({status}, "fails")=0)), "fails", '
            f'IF((COUNTIF({status}, "outside the method")>0), "outside the method", "sized"))'
        ),
        "cautions": f"=SUM({below['cautions']})-1*pipe1_cautions_of_all_stations",
    }
