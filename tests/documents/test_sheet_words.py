"""What a sheet and a schedule say in words and cells, by hand and against the design."""

import re
from dataclasses import replace

import pytest
from pages import document, results
from projects import toml

from linerdesign.documents.blocks import (
    CAUTIONS,
    Bullets,
    Document,
    Heading,
    Paragraph,
)
from linerdesign.documents.columns import fits
from linerdesign.documents.numbers import factor
from linerdesign.documents.schedule import Schedule, schedule
from linerdesign.documents.sheet import (
    about,
    about_text,
    cautions,
    checks_grid,
    computed,
    condition_text,
    derivation,
    exact_before_rounding,
    files_read,
    governing_text,
    in_print_lines,
    inputs,
    legend,
    not_applying,
    not_designed,
    not_measured,
    origin_text,
    other_condition_text,
    reference,
    remark_lists,
    warnings_of,
)
from linerdesign.documents.text import lines
from linerdesign.methods.equation import Severity
from linerdesign.methods.method import lines_of
from linerdesign.methods.verification import Verified, identity_of
from linerdesign.project.identity import FileRead, Identity
from linerdesign.project.models import FaultyPipe, ProjectInfo
from linerdesign.words.documents import LABELS

STATIONS = [
    {"at": "0 ft", "cover": "9 ft"},
    {"at": "150 ft", "cover": "22 ft", "ovality": "3 %"},
    {"at": "300 ft", "cover": "9 ft"},
]
ORIGIN = {"host_diameter": "measured", "ovality": "assumed", "cover": "plan"}


def one(units=None, **tables):
    (result,) = results(toml(**tables), units=units)
    return result


def step_of(result, key, station=None):
    return next(s for s in result.steps if s.key == key and s.station in (None, station))


def test_values_that_nobody_measured_are_listed_with_where_they_are_what():
    """By hand: the diameter is measured; a station without a value of its own has the pipe's."""
    result = one(pipe={"station": STATIONS, "origin": ORIGIN, "live_load": "HL-93"})
    assert not_measured(result) == (
        "ovality of the host pipe (assumed, stated as 2 % at 0 ft, 300 ft; 3 % at 150 ft)",
        "depth of cover to crown (plan, stated as 9 ft at 0 ft, 300 ft; 22 ft at 150 ft)",
        "groundwater above invert (given, stated as 12 ft)",
        "unit weight of soil (given, stated as 120 pcf)",
        "modulus of soil reaction (given, stated as 1000 psi)",
        "live load at the crown (given, stated as HL-93)",
    )


@pytest.mark.parametrize(
    ("pipe", "units", "key", "both", "said"),
    [
        ({}, "US", "D", True, "given"),
        # A number without a unit is the same with a nought behind its point, or without.
        ({}, "US", "N", True, "project criteria"),
        ({}, "US", "N", False, "project criteria"),
        ({}, "SI", "D", True, "given, stated as 48 in"),
        # A thickness in both units says how it was written, with one unit it does not.
        ({"design_thickness": "22 mm"}, "US", "t", True, "thickness to check"),
        (
            {"design_thickness": "22 mm"},
            "US",
            "t",
            False,
            "thickness to check, stated as 22 mm",
        ),
        ({"host_diameter": "4 ft"}, "US", "D", True, "given, stated as 4 ft"),
    ],
)
def test_an_input_says_how_it_was_written_where_the_sheet_has_another_unit(
    pipe, units, key, both, said
):
    result = one(units, pipe=pipe, criteria={"safety_factor": 2.0})
    assert origin_text(step_of(result, key), units, both) == said


def test_a_wall_is_worked_to_what_is_made():
    """By hand: 1.5 mm steps, or the next size of a list, or that the list has none."""
    result = one(pipe={"condition": "partially deteriorated"})
    steps = [s for s in result.steps if exact_before_rounding(s) is not None]
    assert steps
    for step in steps:
        lines_ = derivation(step)
        assert lines_[-1].endswith(", rounded up")
        number = float(lines_[-1].removesuffix(", rounded up"))
        assert number == pytest.approx(exact_before_rounding(step), rel=1e-5)
        assert 0 <= step.value - number < 1
    for sizes, words in (
        (["12 mm", "60 mm"], "next listed thickness"),
        (["3 mm", "4 mm"], "exceeds the largest listed thickness"),
    ):
        listed = one(resin={"thicknesses": sizes})
        (step,) = (s for s in listed.steps if exact_before_rounding(s) is not None)
        # Of one number to round there is no line of its own.
        assert derivation(step) == ("t_min", f"{listed.required_thickness:.6g}, {words}")
        assert step.value * 25.4 == pytest.approx(float(sizes[-1].split()[0]))


def test_a_choice_shows_its_rule_and_then_what_it_chose():
    """By hand: a hole of 1 in is small beside 48 in, so X1.6 sets the thickness under pressure. The
    worst of the stations is the largest of their numbers, rounded up as nothing is."""
    pipe = {"condition": "partially deteriorated", "internal_pressure": "20 psi"}
    pipe |= {"hole_diameter": "1 in", "station": STATIONS}
    result = one(pipe=pipe, resin={"tensile_strength": "3000 psi"})
    chosen = step_of(result, "t_pressure", "0 ft")
    rule = "t_X1.6 if t_X1.6 > t_X1.5 else (t_X1.7 if t_X1.7 <= t_X1.5 else t_X1.5)"
    assert derivation(chosen) == (rule, "t_X1.6", f"{dict(chosen.values)['t_X1_6']:.6g}")
    (worst,) = [s for s in result.steps if s.arithmetic and s.line is None]
    (shown,) = derivation(worst)
    numbers = re.fullmatch(r"max\((.*)\)", shown)[1].split(", ")
    own = [step_of(result, "t_required", at["at"]) for at in STATIONS]
    assert numbers == [f"{step.value:.6g}" for step in own]
    # Why X1.6 and not X1.7 or X1.5 is said once, not at each station.
    assert remark_lists(result)[LABELS["rulings"]] == (
        "X1.6 applies: the thickness by X1.6 exceeds t_X1.5, and X1.5 directs every wall over "
        "t_X1.5 to X1.6",
    )


def test_formulas_from_memory_warn_and_those_seen_do_not():
    result = one(pipe={"live_load": "HL-93"})
    found = {}
    for step in result.steps:
        if step.line:
            found.setdefault(step.line.equation.provenance.name, set()).add(warnings_of(step))
    assert found["MEMORY"] == {("from memory; verify against the printed standard",)}
    assert found["PRACTICE"] == {("common practice, no source",)}
    assert found["SEEN"] == found["SECONDARY"] == found["DERIVED"] == {()}
    memory = next(s for s in result.steps if s.line and warnings_of(s))
    assert warnings_of(replace(memory, verified=object())) == ()


def test_a_line_in_print_has_points_for_signs_and_groups_thousands():
    """By hand: 12 ft of water, and half of a modulus of 250,000 psi. An input has no line."""
    result = one()
    assert in_print_lines(step_of(result, "P")) == ["0.433·max(h_i, 0)", "0.433·max(12, 0)"]
    assert in_print_lines(step_of(result, "E_L")) == ["E·r_E/100", "250,000·50/100"]
    assert in_print_lines(step_of(result, "E")) == []
    worked = computed(result)
    assert [step for step in result.steps if step not in worked] == list(inputs(result))
    assert step_of(result, "E_L") in worked


def test_a_line_names_its_equation_the_clause_and_how_sure_it_is():
    """P = 0.433 H stands in X1.2.1; the source seen was a secondary one. An input has none."""
    result = one()
    assert reference(step_of(result, "P")) == "[P; clause X1.2.1; a]"
    assert reference(replace(step_of(result, "P"), verified=object())) == "[P; clause X1.2.1; v]"
    assert reference(step_of(result, "D")) == ""


def test_texts_about_a_pipe():
    result = one(pipe={"station": STATIONS})
    assert about_text(result).startswith("Felt A; fully deteriorated; ASTM F1216-07b, X1.3 in ")
    assert governing_text(result) == f"{result.governing} at {result.governing_station}"
    floor = one(criteria={"minimum_thickness": "60 mm"})
    assert governing_text(floor) == f"{floor.governing}; owner's minimum governs"
    assert "does not, or will not, carry" in condition_text(result)
    part = one(pipe={"condition": "partially deteriorated"})
    assert "carries soil and surcharge over" in condition_text(part)
    assert not_applying(part) == ()
    dry = one(
        pipe={"condition": "partially deteriorated", "groundwater": "none"},
        drop=("groundwater_above_invert",),
    )
    assert not_applying(dry) == ("X1.1", "X1.2")


def test_the_other_condition_in_words():
    full, part = one(), one(pipe={"condition": "partially deteriorated"})
    assert other_condition_text(full) is None
    both = replace(full, other_condition=part)
    text = other_condition_text(both)
    assert text.startswith("If the host pipe were partially deteriorated: required 0.")
    assert f", governed by {part.governing}. The owner determines" in text
    millimetres = 25.4 * part.nominal_thickness
    assert f"nominal {millimetres:.4g} mm, " in text
    for of, other in ((full, "partially"), (part, "fully")):
        missing = replace(of, other_missing=("cover", "live_load"))
        assert other_condition_text(missing) == (
            f"If the host pipe were {other} deteriorated: not computed; missing: cover, "
            "live_load. The owner determines the condition."
        )


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("stations", [[], STATIONS])
def test_the_table_of_checks(stations, units):
    result = one(units, pipe={"station": stations})
    grid = checks_grid(result)
    more = ("station",) if stations else ()
    assert grid.columns == (
        *more, "equation", "required t", "demand", "capacity", "safety factor", "verdict",
    )  # fmt: skip
    assert grid.align == ("<" if stations else "") + "<>>>><"
    assert grid.caption.startswith("Checks at ")
    for row, check in zip(grid.rows, result.checks, strict=True):
        *at, equation, required, demand, capacity, safety, verdict = row
        assert at == ([check.station or "-"] if stations else [])
        assert equation == check.equation
        millimetres = check.required_thickness * (25.4 if units == "US" else 1)
        assert f"{millimetres:.4g} mm" in required
        for text, value in ((demand, check.demand), (capacity, check.capacity)):
            number, _, unit = text.partition(" ")
            assert number == f"{value:.5g}"
            assert unit == (check.unit or "")
        assert safety == factor(check.safety_factor)
        assert verdict == ("passes" if check.passes else "FAILS")


def test_other_rules_for_a_vehicle_say_what_they_change():
    result = one(pipe={"live_load": "HL-93"})
    items = remark_lists(result)[LABELS["other_loads"]]
    for text, other in zip(items, result.other_loads, strict=True):
        change = 25.4 * (other.nominal_thickness - result.nominal_thickness)
        assert text.startswith(f"{other.rule}: ")
        if abs(change) < 1e-6:
            assert text == f"{other.rule}: same nominal thickness"
        else:
            nominal = 25.4 * other.nominal_thickness
            assert f"nominal thickness {nominal:.4g} mm" in text
            assert text.endswith(f", {change:+.3g} mm")
    assert len(items) == 2


INFO = ProjectInfo(
    title="T", number="7", client="c", location="l", date="d", revision="r", prepared_by="p",
    checked_by="k",
)  # fmt: skip


def test_the_head_of_a_document_lists_what_is_known():
    files = tuple(
        FileRead(role, name, digit * 64)
        for role, name, digit in (("project", "p", "1"), ("owner", "a", "2"), ("owner", "b", "3"))
    )
    made = Document("x", (), INFO, "US", Identity(files, "9f3a"))
    assert about(made) == {
        "project number": "7", "client": "c", "location": "l", "date": "d", "revision": "r",
        "prepared by": "p", "checked by": "k",
        "project file": "p, SHA-256 1111111111111111",
        "owner file": "a, SHA-256 2222222222222222; b, SHA-256 3333333333333333",
        "fingerprint": "9f3a", "program": "linerdesign 0.1.0",
    }  # fmt: skip
    assert about(Document("x", (), ProjectInfo(title="T"), "US")).keys() == {"program"}
    assert list(files_read(made)) == ["project file", "owner file"]


def test_letters_and_cautions_are_those_of_the_sheets(monkeypatch):
    """Without a vehicle nothing is from memory but the strength of X1.2 and its like."""
    made = document(results(toml()))
    letters = {part.split(" ")[0] for part in legend(made).removeprefix("Sources: ").split("; ")}
    used = {
        {"SEEN": "s", "SECONDARY": "a", "MEMORY": "m", "DERIVED": "d", "PRACTICE": "p"}[
            step.line.equation.provenance.name
        ]
        for block in made.blocks[2:]
        for step in block.result.steps
        if step.line
    }
    assert used <= letters
    assert cautions(made) == (CAUTIONS if "m" in used else CAUTIONS[:-1])
    # Where nothing is from memory its caution falls away, and none of those on what may hurt.
    with monkeypatch.context() as context:
        context.setattr("linerdesign.documents.sheet.letters_used", lambda document: {"s", "a"})
        assert len(cautions(made)) == 5
        assert not [text for text in cautions(made) if "from memory" in text]
    plain = Document("x", (Paragraph("x"),), INFO, "US")
    assert legend(plain) == ""
    assert cautions(plain) == CAUTIONS


def test_what_an_office_has_verified_is_no_longer_from_memory():
    """Each in the same words, whoever verified how many of them; what is seen stays so."""
    result = one(pipe={"internal_pressure": "20 psi"}, resin={"tensile_strength": "3000 psi"})
    known = {
        identity_of(line.equation): Verified("F1216-16", "X1.2", who, "2026-10-02")
        for number, line in enumerate(lines_of(result.basis))
        for who in ["R. Vale" if number % 2 else "S. Orme"]
        if line.equation.provenance.name == "MEMORY"
    }
    assert len(known) > 2
    verified = replace(result, task=replace(result.task, verified=known))
    before, after = legend(document([result])), legend(document([verified]))
    assert "; m from memory" in before
    assert "verified against" not in before
    assert "from memory" not in after
    assert after.startswith("Sources: v verified by the office against its printed standard; ")
    assert "verified by" not in before
    for who in ("R. Vale", "S. Orme"):
        assert after.count(f"verified against F1216-16, {who}, 2026-10-02") == 1
    assert cautions(document([verified])) == CAUTIONS[:-1]
    assert cautions(document([result])) == CAUTIONS


def test_pipes_that_cannot_be_designed_are_named_with_their_faults():
    pipes = [FaultyPipe(2, "B", ("one", "two")), FaultyPipe(3, "C", ("three",))]
    heading, bullets = not_designed(pipes, 2)
    assert heading == Heading("Pipes not designed", 2)
    assert bullets == Bullets(("B: one", "B: two", "C: three"))
    assert next(not_designed(pipes)).level == 1
    assert list(not_designed([])) == []


def made_schedule():
    designs = results(
        toml({"name": "n" * 201, "station": STATIONS}),
        toml({"name": "C", "condition": "partially deteriorated", "ovality": "12 %"}),
        toml(
            {"name": "D", "groundwater_above_invert": "-2.5 ft", "live_load": "0 psi"}
            | {"design_thickness": "22.34567 mm"}
        ),
    )
    faulty = [FaultyPipe(2, "B", ("bad",))]
    numbers = {designs[0].name: 1, "B": 2, "C": 3, "D": 4}
    return designs, schedule(designs, {"C": 312.0}, faulty, numbers)


def test_the_schedule_has_a_row_for_every_pipe_in_the_order_of_the_file():
    designs, table = made_schedule()
    assert table.keys == (
        *("number", "name", "length", "diameter", "cover", "water", "condition", "governing"),
        *("required", "nominal", "ratio", "safety", "status"),
    )
    assert table.columns == (
        *("no.", "pipe", "length, ft", "D, in", "cover, ft", "water, ft", "host", "governs"),
        *("t req., mm", "t nom., mm", "DR", "min. N", "status"),
    )
    assert table.align == "><>>>><<>>>><"
    assert table.narrow
    assert table.designed == (0, 2, 3)
    assert table.notes == ()
    first, second, third, fourth = table.rows
    assert first[:2] == ("1", "n" * 199 + "…")
    assert second == ("-", "B", *["-"] * 10, "not designed")
    assert [row[0] for row in table.rows] == ["1", "-", "2", "3"]
    at = designs[0].governing_station
    assert first[7] == f"{designs[0].governing} @ {at}"
    assert first[4] == {"0 ft": "9", "150 ft": "22", "300 ft": "9"}[at]
    assert third[2:7] == ("312", "48", "16", "12", "partial")
    assert fourth[2:7] == ("-", "48", "16", "−2.5", "full")
    for row, result in zip((first, third, fourth), designs, strict=True):
        texts = dict(zip(table.keys, row, strict=True))
        assert texts["required"] == f"{25.4 * result.required_thickness:.2f}"
        assert texts["nominal"] == f"{25.4 * result.nominal_thickness:.5g}"
        assert texts["ratio"] == f"{result.value('DR', result.governing_station):.4g}"
        assert texts["safety"] == factor(result.lowest_safety_factor)
        count = sum(note.severity is not Severity.DEFAULT for note in result.notes)
        end = "" if not count else f", {count} caution" + "s" * (count > 1)
        assert texts["status"] == result.status + end
    # The wall to order is boxed; what does not hold weighs.
    assert table.boxed == {(row, 9) for row in (0, 2, 3)}
    bad = {row for row, result in zip((0, 2, 3), designs, strict=True) if not result.holds}
    assert 2 in bad
    assert table.strong == {(row, 12) for row in {1, *bad}}


def test_a_narrow_line_spares_columns_of_the_schedule():
    """First the ratio, then the length, then the cover, and no more than it must."""
    designs = results(toml({"station": STATIONS}), toml({"name": "C"}))
    table = schedule(designs, {"C": 312.0})
    forms = [table]
    for key in ("ratio", "length", "cover"):
        less = forms[-1].without(key)
        assert isinstance(less, Schedule)
        assert less.keys == tuple(each for each in forms[-1].keys if each != key)
        cells = dict(zip(forms[-1].keys, forms[-1].rows[0], strict=True))
        assert less.rows[0] == tuple(cells[each] for each in less.keys)
        forms.append(less)
    found = set()
    for width in range(50, 130, 4):
        form = next((each for each in forms if fits(each, width)), forms[-1])
        shown = list(lines(Document("x", (table,), INFO, "US"), width, str))
        head = shown.index(next(line for line in shown if line.startswith("no.")))
        rule = next(line for line in shown[head:] if set(line) == {"-"})
        heads = " ".join(shown[head : shown.index(rule)])
        for key, text in (("ratio", " DR"), ("length", "length"), ("cover", "cover")):
            assert (text in heads) == (key in form.keys), (width, key)
        found.add(forms.index(form))
    assert len(found) == 4
