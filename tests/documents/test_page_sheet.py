"""The sheet of a pipe as data for the page: every part of it against the design."""

import json
import re
from dataclasses import replace

import pytest
from pages import STATIONS, Reader, document, page, results
from projects import LATERAL, LEGS, PIPE, toml

from linerdesign.documents import page as page_module
from linerdesign.documents import page_live
from linerdesign.documents.allowed import may_be_changed
from linerdesign.documents.blocks import Grid, Heading, Live, Paragraph, Sheet
from linerdesign.documents.mathematics import page_formula, page_symbol, text_symbol
from linerdesign.documents.numbers import both_units, printed_value
from linerdesign.documents.page_sheet import Appendix, Homes, sheet_view
from linerdesign.documents.pdf_blocks import Formulas, block_data
from linerdesign.documents.shared import shared_by
from linerdesign.documents.sheet import (
    CHECK_COLUMNS,
    check_cells,
    derivation,
    governing_text,
    origin_text,
    remark_lists,
)
from linerdesign.expressions.printing import positional
from linerdesign.expressions.tree import tables
from linerdesign.interface import size
from linerdesign.methods.equation import Provenance, Severity
from linerdesign.methods.legs import LEG_FAILS
from linerdesign.methods.method import checks_of, choice_of_thickness, requirement, verification
from linerdesign.methods.sizing import design
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.verification import Verified
from linerdesign.methods.verification import identity_of as verified_as
from linerdesign.project.reading import parse
from linerdesign.words.documents import LABELS

CASES = {
    "one place": toml({"live_load": "HL-93", "ovality": "12 %"}),
    "stations": toml(
        STATIONS | {"live_load": "H-20 table", "soil_reaction_modulus": "SM, 90 %"},
        {"thicknesses": ["2 mm", "4 mm"]},
        drop=("cover", "groundwater_above_invert"),
    ),
    "dry": toml(
        {"condition": "partially deteriorated", "groundwater": "none"},
        drop=("groundwater_above_invert",),
    ),
}
FIRST = 3
# As the legend of a sheet has them.
LETTERS = {
    Provenance.SEEN: "s",
    Provenance.SECONDARY: "a",
    Provenance.MEMORY: "m",
    Provenance.DERIVED: "d",
    Provenance.PRACTICE: "p",
}


@pytest.fixture(params=[(case, units) for case in CASES for units in ("US", "SI")], ids=str)
def seen(request):
    """The design, its view, and the appendix of a page of this sheet alone."""
    case, units = request.param
    (result,) = results(CASES[case], units=units)
    appendix = Appendix(units, {})
    return result, sheet_view(result, FIRST, appendix, Homes({}, units)), appendix


def _place(result, station):
    """The number of a place; what holds for all stations is at the first."""
    return FIRST + (result.stations.index(station) if station is not None else 0)


def _others(result, station, name):
    """The names of a value of all stations at those after the first."""
    if station is not None:
        return []
    return [f"pipe{FIRST + n}_{name}" for n in range(1, len(result.stations))]


def test_the_head_of_a_sheet(seen):
    result, view, _ = seen
    system = result.basis.system
    assert (view["id"], view["name"], view["again"]) == (f"pipe{FIRST}", "Trunk", False)
    assert view["about"].startswith(f"Felt A; {result.basis.condition}; ASTM F1216-07b")
    assert view["condition"].startswith("Condition as determined by the owner: the host pipe ")
    assert view["holds"] == result.holds
    assert view["summary"] == {
        "status": result.status,
        "nominal": both_units(result.nominal_thickness, system),
        "required": both_units(result.required_thickness, system),
        "governing": governing_text(result),
    }
    assert view["section"]["caption"].startswith("Section")
    assert view["bars"]["caption"].startswith("Demand over capacity")
    assert view["section"]["svg"].startswith("<svg")
    assert 'data-one="160' in view["bars"]["svg"]
    assert view["other"] is None


def test_checks_have_a_row_at_every_station_also_where_they_do_not_apply(seen):
    result, view, _ = seen
    checks = view["checks"]
    assert f"{checks['before']}{checks['thickness']}{checks['after']}" == (
        f"Checks at {both_units(result.nominal_thickness, result.basis.system)}"
    )
    assert checks["columns"] == CHECK_COLUMNS
    wanted = [(at, check) for at in result.stations for check in checks_of(result.basis)]
    for row, (at, check) in zip(checks["rows"], wanted, strict=True):
        found = [c for c in result.checks if (c.station, c.equation) == (at, check.equation)]
        assert (row["equation"], row["station"]) == (check.equation, at)
        assert row["number"] == _place(result, at)
        assert row["hidden"] == (not found)
        assert row["fails"] == any(not each.passes for each in found)
        empty = dict.fromkeys(row["cells"], "")
        assert row["cells"] == (check_cells(found[0], result.basis.system) if found else empty)
        assert len(row["cells"]) == 5


def test_every_input_is_a_field(seen):
    result, view, _ = seen
    system = result.basis.system
    given = [step for step in result.steps if step.line is None and step.arithmetic is None]
    for field, step in zip(view["inputs"], given, strict=False):
        name, place = name_of(step.key), _place(result, step.station)
        shown = positional(step.value)
        assert field == {
            "id": f"pipe{place}-{step.key}",
            "name": f"pipe{place}_{name}",
            "others": _others(result, step.station, name),
            "place": step.number,
            "symbol": text_symbol(step.key),
            "meaning": step.meaning,
            "station": step.station,
            "number": repr(step.value),
            "text": printed_value(step.key, step.value, system),
            "editable": may_be_changed(step),
            "shown": shown,
            "size": max(9, len(shown)),
            "unit": step.unit.replace("^3", "³").replace("^2", "²"),
            "source": origin_text(step, system, both=False),
            "drives": "",
            "home": "",
        }
    for field, said in zip(view["inputs"][len(given) :], result.in_words, strict=True):
        name, place = name_of(said.key), _place(result, said.station)
        assert field == {
            "id": f"pipe{place}-{said.key}-stated",
            "name": f"pipe{place}_{name}_stated",
            "others": _others(result, said.station, f"{name}_stated"),
            "place": "",
            "symbol": text_symbol(said.key),
            "meaning": f"{said.meaning}, in place of {said.words}; empty: by {said.words}",
            "station": said.station,
            "editable": True,
            "home": "",
            "number": "",
            "shown": "",
            "size": 9,
            "unit": SYMBOLS[said.key].unit(system),
            "source": said.source,
            "drives": "",
        }


def test_lines_stand_in_three_parts_with_their_equations(seen):
    result, view, appendix = seen
    basis, system = result.basis, result.basis.system
    parts = {
        LABELS["required_part"]: requirement(basis),
        LABELS["chosen_part"]: choice_of_thickness(basis),
        LABELS["checked_part"]: verification(basis),
    }
    of_part = {line.result: title for title, lines in parts.items() for line in lines}
    computed = [step for step in result.steps if step.line or step.arithmetic is not None]
    equations = list(appendix.equations())
    assert [title for title, _ in view["parts"]] == [
        title for title in parts if any(of_part[step.key] == title for step in computed)
    ]
    for title, lines in view["parts"]:
        steps = [step for step in computed if of_part[step.key] == title]
        for shown, step in zip(lines, steps, strict=True):
            worst = step.line is None
            name = "thickest_required" if worst else name_of(step.key)
            key = "thickest_required" if worst else step.key
            place = _place(result, step.station)
            assert (shown["id"], shown["name"]) == (f"pipe{place}-{key}", f"pipe{place}_{name}")
            assert shown["others"] == _others(result, step.station, name)
            assert (shown["place"], shown["station"]) == (step.number, step.station)
            assert shown["number"] == repr(step.value)
            assert shown["text"] == printed_value(step.key, step.value, system)
            assert shown["applies"] == step.applies
            assert shown["flags"] == step.flags
            lines_ = derivation(step)
            assert tuple(shown["numbers"]) == tuple(lines_ if worst else lines_[1:])
            if worst:
                assert (shown["equation"], shown["typed"]) == (0, "")
                assert shown["reference"] == step.source
                continue
            entry = equations[shown["equation"] - 1]
            assert entry["number"] == step.line.equation.number
            number, _, letter = shown["reference"].rpartition("; ")
            assert number == step.line.equation.number
            assert letter == LETTERS[step.line.equation.provenance]
            assert shown["typed"] == entry["typed"]
            assert shown["typed"].startswith(f"{step.symbol} = ")


def test_lists_that_a_change_may_fill_are_there_though_empty(seen):
    result, view, _ = seen
    lists = {each["title"]: each for each in view["lists"]}
    known = remark_lists(result)
    severities = {LABELS["outside"]: "outside the method", LABELS["pipe_cautions"]: "caution"}
    assert list(lists) == [title for title, items in known.items() if items or title in severities]
    stale = {LABELS[key] for key in ("rulings", "other_loads", "defaults", "not_measured")}
    for title, each in lists.items():
        assert each["severity"] == severities.get(title)
        assert each["stale"] == (title in stale)
        assert tuple(text for text, _ in each["texts"]) == known[title]
    # What a range of a line raises follows the numbers; a note of the project does not.
    ranges = {(limit.code, step.station) for step in result.steps for limit in step.limits_left}
    follow = {text for each in lists.values() for text, moved in each["texts"] if moved}
    assert follow == {
        n.text
        for n in result.notes
        if (n.code, n.station) in ranges or n.code == "design.no_listed_thickness"
    }
    defaults = {n.text for n in result.notes if n.severity is Severity.DEFAULT}
    assert not follow & defaults


def test_what_a_leg_fails_follows_the_numbers():
    lateral = toml(LATERAL | {"design_thickness": "2 mm"}, drop=(*PIPE,)) + LEGS
    (result,) = size(parse(lateral.encode(), "x.toml")).pipes
    (note,) = [each for each in result.notes if each.code == LEG_FAILS]
    view = sheet_view(result, 1, Appendix("US", {}), Homes({}, "US"))
    told = dict(pair for each in view["lists"] for pair in each["texts"])
    assert told[note.text]
    assert [text for text, moved in told.items() if moved] == [note.text]


def test_the_appendix_has_every_equation_table_and_symbol_once(seen):
    result, view, appendix = seen
    system = result.basis.system
    lines = {}
    for _, shown in view["parts"]:
        for each in shown:
            lines.setdefault(each["equation"], each)
    lines.pop(0, None)
    found = list(appendix.equations())
    assert sorted(lines) == list(range(1, len(found) + 1))
    of_key = {step.key: step.line for step in result.steps if step.line}
    for entry in found:
        symbol = entry["typed"].partition(" = ")[0]
        line = next(
            each for key, each in of_key.items()
            if SYMBOLS[key].symbol == symbol and each.equation.number == entry["number"]
        )  # fmt: skip
        equation = line.equation
        assert entry["meaning"] == equation.meaning
        assert entry["formula"] == page_formula(line.result, line.tree)
        assert entry["edition"] == equation.edition
        known = LETTERS[equation.provenance]
        assert entry["source"] == f"{equation.clause}; {equation.source} ({known})"
        keys = dict.fromkeys((line.result, *line.arguments))
        assert [each for each, _ in entry["legend"]] == [text_symbol(key) for key in keys]
        for (_, text), key in zip(entry["legend"], keys, strict=True):
            unit = SYMBOLS[key].unit(system)
            assert text == SYMBOLS[key].meaning + (f", {unit}" if unit else "")
        assert entry["ranges"] == [
            f"{each.severity.value}: {each.text}" for each in equation.limits_in(system)
        ]
    used = {table for line in of_key.values() for table in tables(line.tree)}
    assert {each["name"] for each in appendix.tables()} == {table.name for table in used}
    for each in appendix.tables():
        (table,) = (t for t in used if t.name == each["name"])
        assert each["source"] == table.source
        assert [float(x) for x, _ in each["rows"]] == pytest.approx(table.xs, rel=1e-5)
        assert [float(y) for _, y in each["rows"]] == pytest.approx(table.ys, rel=1e-5)
    symbols = {each["key"]: each for each in appendix.symbols()}
    given = {step.key for step in result.steps} | {said.key for said in result.in_words}
    read = {key for line in of_key.values() for key in (line.result, *line.needs)}
    assert symbols.keys() == given | read
    for key, each in symbols.items():
        assert (each["meaning"], each["unit"]) == (SYMBOLS[key].meaning, SYMBOLS[key].unit(system))
        assert page_symbol(key) in each["symbol"]


def test_an_equation_that_the_office_verified_has_its_letter():
    (plain,) = results(CASES["one place"])
    (equation,) = {s.line.equation for s in plain.steps if s.key == "t_X1_1"}
    record = Verified("2022", "X1.2.1", "A. Reed", "2026-01-05")
    result = design(replace(plain.task, verified={verified_as(equation): record}))
    appendix = Appendix("US", result.task.verified)
    view = sheet_view(result, 1, appendix, Homes({}, "US"))
    found = {line["id"]: line["reference"] for _, lines in view["parts"] for line in lines}
    assert found.pop("pipe1-t_X1_1").endswith("; v")
    assert not [each for each in found.values() if each.endswith("; v")]
    entries = {entry["typed"].partition(" = ")[0]: entry for entry in appendix.equations()}
    assert entries.pop("t_X1.1")["source"].endswith(" (v)")
    assert not [each for each in entries.values() if each["source"].endswith(" (v)")]
    # In print, behind the clause.
    data = block_data(Sheet(result, 1), Formulas())
    runs = {run["plain"]: run["source"] for run in data["steps"]}
    assert runs.pop("t_X1.1") == f"{equation.clause} v"
    assert not [source for source in runs.values() if source.endswith(" v")]


def test_a_sheet_of_the_same_lines_goes_again():
    first, second, other = results(
        toml(), toml({"name": "Two"}), toml({"condition": "partially deteriorated"})
    )
    appendix, homes = Appendix("US", {}), Homes({}, "US")
    again = [sheet_view(each, 1, appendix, homes)["again"] for each in (first, second, other)]
    assert again == [False, True, False]


def test_shared_values_have_a_home_from_which_all_fields_repeat_them():
    designs = results(
        toml(STATIONS, drop=("cover", "groundwater_above_invert")),
        toml({"name": "Two"}, {"name": "Other"}),
    )
    sheets = [Sheet(designs[0], 1), Sheet(designs[1], 4)]
    parts = shared_by(sheets)
    homes, appendix = Homes(parts, "US"), Appendix("US", {})
    views = homes.views(appendix)
    assert [part for part, _ in views] == list(parts)
    assert list(parts) == ["Resin Felt A", "Resin Other", "Criteria"]
    number, homes_of = 0, {}
    for (part, rows), values in zip(views, parts.values(), strict=True):
        for row, shared in zip(rows, values.values(), strict=True):
            number += 1
            step = shared.step
            assert (row["id"], row["name"]) == (f"basis-{number}", shared.name)
            assert (row["others"], row["place"], row["home"], row["station"]) == ((), "", "", None)
            assert (row["symbol"], row["meaning"]) == (text_symbol(step.key), step.meaning)
            assert row["drives"] == ("1 pipe" if shared.pipes == 1 else f"{shared.pipes} pipes")
            assert (row["number"], row["editable"]) == (repr(step.value), True)
            homes_of[part, step.key] = (shared.name, row["id"])
    assert {each["key"] for each in appendix.symbols()} == {key for _, key in homes_of}
    assert [part for part, key in homes_of if key == "N"] == ["Criteria"]
    view = sheet_view(designs[0], 1, appendix, homes)
    fields = {each["name"]: each for each in view["inputs"]}
    modulus = fields["pipe1_flexural_modulus"]
    assert modulus["home"] == "pipe1_flexural_modulus"
    # The other stations repeat it; the field at its home is no repetition of itself.
    assert modulus["repeats"] == ["pipe2_flexural_modulus", "pipe3_flexural_modulus"]
    (part,) = {part for part, key in homes_of if key == "E" and part.endswith("Felt A")}
    assert modulus["home_id"] == homes_of[part, "E"][1]
    assert fields["pipe1_host_diameter"]["home"] == ""
    other = sheet_view(designs[1], 4, appendix, homes)
    factor = next(f for f in other["inputs"] if f["name"] == "pipe4_safety_factor")
    assert (factor["home"], factor["repeats"]) == ("pipe1_safety_factor", ["pipe4_safety_factor"])


def test_resins_stand_before_criteria_and_these_before_published_rules():
    roads = results(*(toml({"name": name, "live_load": "HL-93"}) for name in "ab"))
    parts = shared_by([Sheet(design_, number) for number, design_ in enumerate(roads, 1)])
    assert list(parts) == ["Resin Felt A", "Criteria", "Live load rules"]
    assert shared_by([Sheet(roads[0], 1)]) == {}


def test_the_contents_of_a_page_lead_to_its_parts():
    designs = results(toml(), toml({"name": "Two"}))
    made = document(designs, (Heading("More"), Heading("Under it", 2), Paragraph("x")))
    sheets = [block for block in made.blocks if isinstance(block, Sheet)]
    homes = Homes(shared_by(sheets), "US")
    entries = page_module._contents(made.blocks, homes)
    assert [target for target, _ in entries] == [
        "#part0", "#basis", "#part2", "#pipe1", "#pipe2", "#equations", "#symbols",
    ]  # fmt: skip
    assert [text for _, text in entries[:1] + entries[2:5]] == ["Schedule", "More", "Trunk", "Two"]
    read = Reader(page(designs, (Heading("More"), Heading("Under it", 2))))
    heads = {(tag, about["id"], text) for tag, about, text in read.all(attribute="id")}
    assert {("h2", "part2", "More"), ("h3", "part3", "Under it")} <= heads


LIVE = {
    (0, 1): Live(2.0, name="stretch"),
    (0, 2): Live(6.5, '[1]^2*stretch+MIN(areas)&"a""<b"', "area", "0.000"),
    (1, 2): Live("yes", 'IF([1]=2, "yes", IF([1]<>3, 1.5e3, [1]>=2))'),
}
TABLE = Grid(
    ("name", "t", "u"), "<>>", (("first", "2", "6.5"), ("second", "2", "yes")), live=LIVE,
    names={1: "areas"},
)  # fmt: skip


def test_a_live_table_becomes_data_and_functions():
    blocks = (Heading("x"), TABLE)
    source = page_live.program(blocks)
    data, formulas = re.fullmatch(
        r"const live = (.*);\nconst formulas = \(f, v, col\) => \(\{\n(.*)\n\}\);\n", source, re.S
    ).groups()
    assert json.loads(data) == {
        "names": {"stretch": "1.0.1", "area": "1.0.2"},
        "columns": {"areas": [["key", "1.0.1"], ["text", "2"]]},
        "values": {"1.0.1": [2.0, 2], "1.0.2": [6.5, 3], "1.1.2": ["yes", 2]},
    }
    assert formulas.split(",\n") == [
        '"1.0.2": (c) => c(1)**2*v("stretch")+f.MIN(col("areas"))&"a\\"\\u003cb"',
        '"1.1.2": (c) => f.IF(c(1)===2,"yes",f.IF(c(1)!==3,1.5e3,c(1)>=2))',
    ]
    cells = page_live.cells_of(blocks, 1)
    assert {at: (c.key, c.changeable, c.label, c.shown) for at, c in cells.items()} == {
        (0, 1): ("1.0.1", True, "first, t", "2"),
        (0, 2): ("1.0.2", False, "first, u", "6.5"),
        (1, 2): ("1.1.2", False, "second, u", "yes"),
    }
    assert page_live.cells_of(blocks, 0) == {}


def test_no_text_of_a_live_table_can_end_its_script():
    """A browser ends a script at `</script` wherever it stands (HTML, 4.12.1.3)."""
    text = "</script><b>"
    grid = Grid(("name", "t"), "<>", ((text, "2"),), live={(0, 1): Live(text, name="n")},
                names={0: "c"})  # fmt: skip
    source = page_live.program((grid,))
    assert "<" not in source
    (data,) = re.findall(r"const live = (.*);", source)
    assert json.loads(data)["values"] == {"0.0.1": [text, 2]}
    assert json.loads(data)["columns"] == {"c": [["text", text]]}


def test_a_table_that_nothing_can_change_is_as_issued():
    """An input without a name drives nothing."""
    fixed = {(0, 1): Live(2.0), (0, 2): Live(6.5, "[1]*3", "area")}
    grid = Grid(TABLE.columns, TABLE.align, TABLE.rows, live=fixed)
    assert page_live.program((grid,)) == ""
    assert page_live.cells_of((grid,), 0) == {}
