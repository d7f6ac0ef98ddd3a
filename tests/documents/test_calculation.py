"""The calculation on paper: page counts, and every number of the full form in the short one."""

import io
import re
from bisect import bisect_left
from pathlib import Path

import pypdf
import pytest
from benchmarks.many_pipes import project as many_pipes
from calculator import calculate
from projects import toml
from rich_projects import OWNER, laterals, put, street

from linerdesign.documents import pdf, text
from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph, Worked
from linerdesign.documents.classes import classes
from linerdesign.documents.line_table import identity_of
from linerdesign.documents.numbers import arithmetic, operand
from linerdesign.documents.sheet import derivation
from linerdesign.interface import compare, read, size
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.assembly import designed_all, tasks
from linerdesign.words.calculation import HEADS

EXAMPLES = Path(__file__).parents[2] / "worked_examples"
NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w])")


def _many(tmp_path, pipes, seed=1):
    path = tmp_path / "p.toml"
    path.write_text(many_pipes(pipes, seed), encoding="utf-8")
    return read(path)


def _pages(sizing):
    return pypdf.PdfReader(io.BytesIO(pdf.render(sizing.document))).pages


# What the short form was made to hold; 200 pipes by the same growth as 10 to 40.
@pytest.mark.parametrize(("pipes", "most"), [(4, 10), (10, 14), (40, 24), (200, 78)])
def test_page_counts(tmp_path, pipes, most):
    pages = _pages(size(_many(tmp_path, pipes)))
    _filled(pages, most)


# Orders, legs, vehicles, a second method and flow at once; 200 pipes by the standard alone.
@pytest.mark.parametrize(
    ("pipes", "kind", "most"),
    [(4, laterals, 9), (4, street, 9), (10, street, 14), (40, street, 24)],
)
def test_page_counts_of_rich_projects(tmp_path, pipes, kind, most):
    _filled(_pages(size(read(put(tmp_path, kind(pipes))))), most)


def test_page_count_of_a_rich_network(tmp_path):
    alone, _, _ = OWNER.partition("[criteria.second_method]")
    _filled(_pages(size(read(put(tmp_path, street(200), alone)))), 110)


def _filled(pages, most):
    """Few pages, and none with a few lines on it."""
    assert len(pages) <= most
    assert all(len(page.extract_text().split("\n")) > 6 for page in pages)


def test_four_laterals_fit_six_pages():
    project = read(EXAMPLES / "house_laterals" / "project.toml")
    assert len(project.pipes) == 4
    assert len(_pages(size(project))) <= 6


def _numbers(document):
    """The numbers of a document, without those that count the lines of a sheet."""
    shown = text.render(document, 160).decode()
    return NUMBER.findall(re.sub(r"(?m)^ *\d+ (?=\S+,? )", "", shown))


def _found(number, known):
    """Whether a number is among those known, or is one of them rounded, or cut as factors are."""
    value = float(number)
    digit = 10.0 ** -len(number.partition(".")[2]) * (1 + 1e-9)
    place = bisect_left(known, value - digit / 2)
    return place < len(known) and known[place] <= value + digit


@pytest.mark.parametrize("seed", range(3))
def test_every_number_of_the_full_form_is_in_the_short_one(tmp_path, seed):
    assert not _missing(_many(tmp_path, 24, seed))


@pytest.mark.parametrize(("pipes", "kind"), [(10, street), (4, laterals)])
def test_every_number_of_a_rich_full_form_is_in_the_short_one(tmp_path, pipes, kind):
    assert not _missing(read(put(tmp_path, kind(pipes))))


def _missing(project):
    """The numbers of the full form that neither the short one has, nor the order and site sheet."""
    sizing = size(project)
    full, short = _numbers(size(project, full=True).document), _numbers(sizing.document)
    known = sorted(map(float, short + (_numbers(sizing.works) if project.order else [])))
    return [number for number in dict.fromkeys(full) if not _found(number, known)]


def _value(text, unit, units):
    """A cell in the unit of the sheet: 4.5 mm is 4.5/25.4 in."""
    number, _, own = text.partition(" ")
    in_mm = units == "US" and (own or unit) == "mm"
    return float(number) / (25.4 if in_mm else 1)


@pytest.mark.parametrize("units", ["US", "SI"])
def test_every_line_of_every_pipe_can_be_traced(tmp_path, units):
    """Each step of each pipe is worked, or a cell of the table, or equal to the worked line."""
    results = size(_many(tmp_path, 40), units).pipes
    for each in classes(results):
        worked = {identity_of(s): s for *_, steps in each.worked for s in steps}
        numbers = {number: identity for identity, number in each.rows.items()}
        columns = [(result, at) for _, result in each.others for at in result.stations]
        grid = each.table if columns else None
        rows = {row[0]: row[2:] for row in grid.rows if row[0]} if grid else {}
        for place, (result, at) in enumerate(columns):
            for step in result.steps:
                if step.arithmetic is None or step.station not in (None, at):
                    continue
                number = str(each.rows[identity_of(step)])
                assert numbers[int(number)][0] == step.key
                if number in rows:
                    unit, *cells = rows[number]
                    found = _value(cells[place], unit, units)
                    assert found == pytest.approx(step.value, rel=1e-5)
                else:
                    assert worked[identity_of(step)].value == pytest.approx(step.value, rel=1e-5)
        if grid:
            assert grid.rows[-1][1] == HEADS["nominal"]
            walls = [r.nominal_thickness * (25.4 if units == "US" else 1) for r, _ in columns]
            assert list(map(float, grid.rows[-1][3:])) == pytest.approx(walls, rel=1e-4)


def test_line_numbers_lead_to_a_formula(tmp_path):
    for each in classes(size(_many(tmp_path, 40)).pipes):
        shown = {step.number for *_, steps in each.worked for step in steps}
        assert shown == set(range(1, len(each.rows) + 1))
        for _, _, steps in each.worked:
            assert all(each.rows[identity_of(step)] == step.number for step in steps)


def test_a_class_shares_its_condition(tmp_path):
    results = size(_many(tmp_path, 40)).pipes
    found = classes(results)
    for each in found:
        assert len({r.basis.condition for _, r in each.pipes}) == 1
    members = sorted(number for each in found for number, _ in each.pipes)
    assert members == list(range(1, 41))


def test_full_has_a_sheet_a_pipe(tmp_path):
    project = _many(tmp_path, 4)
    document = size(project, full=True).document
    assert document.on_paper is None
    shown = text.render(document, 100).decode()
    assert all(f"\n{pipe.name} ====" in shown for pipe in project.pipes)


def test_the_answer_is_first(tmp_path):
    """Page 1 names standard, N, resin, every pipe's thickness and the fingerprint."""
    sizing = size(_many(tmp_path, 10))
    first = _pages(sizing)[0].extract_text()
    wanted = ["F1216-07b", "N = 2", "Felt A", sizing.identity.fingerprint]
    wanted += [pipe.name for pipe in sizing.pipes]
    assert [each for each in wanted if each not in first] == []


def test_compliance_by_hand(tmp_path):
    """Owner's limits against values read off the file by hand."""
    (tmp_path / "owner.toml").write_text(
        '[criteria]\nsafety_factor = 2.0\nminimum_thickness = "6 mm"\n'
        '[criteria.limits]\nminimum_soil_unit_weight = "115 pcf"\n',
        encoding="utf-8",
    )
    path = tmp_path / "p.toml"
    of_project = 'criteria = "owner.toml"\n[criteria]\nsafety_factor = 1.5\n'
    path.write_text('[project]\ntitle = "Quay Street"\n' + of_project + _TWO, encoding="utf-8")
    blocks = size(read(path)).document.on_paper().blocks
    grid = next(b for b in blocks if isinstance(b, Grid) and b.columns[0] == HEADS["requirement"])
    met = {row[0]: (row[1], row[3], row[4]) for row in grid.rows}
    assert met["safety factor N"][0] == "2"
    assert met["safety factor N"][2] == "NO"
    assert met["minimum nominal thickness"] == ("6 mm", "6 mm (smallest)", "yes")
    assert met["minimum soil unit weight"] == ("115 pcf", "110 pcf (smallest)", "NO")


_TWO = """
[[resin]]
name = "felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
[[pipe]]
name = "MH 1"
condition = "partially deteriorated"
host_diameter = "8 in"
ovality = "2 %"
groundwater_above_invert = "2 ft"
[[pipe]]
name = "MH 2"
condition = "fully deteriorated"
host_diameter = "8 in"
ovality = "2 %"
cover = "5 ft"
soil_unit_weight = "110 pcf"
soil_reaction_modulus = "1000 psi"
live_load = "none"
groundwater_above_invert = "2 ft"
"""


def test_units_of_the_table_are_those_of_its_symbols(tmp_path):
    for each in classes(size(_many(tmp_path, 40), "SI").pipes):
        for row in each.table.rows if each.others else ():
            if row[0]:
                key = next(i[0] for i, number in each.rows.items() if str(number) == row[0])
                assert row[1:3] == (SYMBOLS[key].symbol, SYMBOLS[key].unit("SI"))


def test_worked_blocks_come_before_their_table(tmp_path):
    blocks = size(_many(tmp_path, 10)).document.on_paper().blocks
    kinds = [type(block) for block in blocks]
    assert kinds.count(Worked) >= 2


def test_a_wall_given_in_millimetres_stays_so(tmp_path):
    """By hand: 4.5 mm is 0.177165 in, which nobody stated; 10 in over it is DR 56.44."""
    sizing = size(_many(tmp_path, 10))
    shown = text.render(sizing.document, 200).decode()
    assert "4.5 mm" in shown
    assert "0.1771" not in shown
    assert operand("t", 4.5 / 25.4, "US") == "(4.5/25.4)"
    assert calculate(arithmetic("10/(4.5/25.4)")) == pytest.approx(56.444, rel=1e-4)
    for result in sizing.pipes:
        for step in result.steps:
            if step.line and step.line.equation.kind == "equation" and step.arithmetic:
                line = derivation(step, system="US")[-1]
                if line[-1].isdigit() or line[-1] == ")":
                    assert calculate(line) == pytest.approx(step.value, rel=5e-4), step.key


def test_print_has_symbols_and_no_keys(tmp_path):
    """No symbol of a sentence or a line is printed as its key, such as `W_s` or `sigma_L`."""
    pages = _pages(size(read(put(tmp_path, street(10)))))
    shown = "\n".join(page.extract_text() for page in pages)
    keys = {each.symbol for each in SYMBOLS.values() if "_" in each.symbol}
    assert keys & set(re.findall(r"[\w'.]+", shown)) == set()


def test_a_line_worked_at_each_station_is_not_said_to_be_worked_otherwise(tmp_path):
    """Under 9 ft of cover the wheels of the two axles don't overlap, under 12 ft they do."""
    station = '[[pipe.station]]\nat = "{} ft"\ncover = "{} ft"\n'
    road = toml({"name": "road", "live_load": "HL-93"}, drop=("cover",))
    road += station.format(0, 9) + station.format(340, 12.05)
    field = toml()[toml().index("[[pipe]]") :]
    project = read(put(tmp_path, road + field))
    (found,) = classes(designed_all(tasks(project)))
    (at,) = [[s.arithmetic for s in steps if s.key == "l_truck"] for *_, steps in found.worked[1:]]
    assert len(set(at)) == 2
    assert found.cases is None or not [row for row in found.cases.rows if row[1] == "l_tr"]


def test_classes_stand_block_by_block(tmp_path):
    """Wheels of a truck on two pipes, a load that is stated on the third; two in good condition."""
    good = {"condition": "partially deteriorated"}
    drop = ("cover", "soil_unit_weight", "soil_reaction_modulus", "live_load")
    texts = [
        toml({"name": "road", "live_load": "HL-93", "cover": "9 ft", "ovality": "12 %"}),
        toml({"name": "deep", "live_load": "HL-93", "cover": "12.05 ft", "ovality": "11 %"}),
        toml({"name": "field" * 9}),
        toml(good | {"name": "creek"}, drop=drop),
        toml(good | {"name": "brook", "ovality": "3 %"}, drop=drop),
    ]
    pipes = "".join(each[each.index("[[pipe]]") :] for each in texts)
    project = read(put(tmp_path, texts[0].partition("[[pipe]]")[0] + pipes))
    blocks = list(size(project).document.on_paper().blocks)
    start = next(n for n, b in enumerate(blocks) if getattr(b, "text", "").startswith("Class A"))
    head, about, first, more, second, cases, ranges, table, *others = blocks[start:]
    assert head == Heading("Class A: fully deteriorated, gravity pipe")
    members = "Pipes {}. Worked line by line: pipe {}; the others in the calculation table."
    assert about.text.startswith(members.format("1, 2, 3", "1, road") + " The line numbers of a ")
    assert more == Heading(f"Class A: further lines, worked for pipe 3, {('field' * 9)[:39]}…", 2)
    assert (first.result.name, second.result.name) == ("road", "field" * 9)
    assert (first.checks.caption[:9], second.checks) == ("Checks at", None)
    assert [step.key for step in second.steps] == ["W_s"]
    # A value of a published rule has the letter of how sure it is.
    letters = {s.key: s.origin.provenance for s in first.steps if s.origin and s.origin.provenance}
    wanted = {"w_t": "m", "s_wheel": "s", "n_wheel": "d", "S_min": "a"}
    assert {key: letters[key] for key in wanted} == wanted
    assert isinstance(first, Worked)
    assert isinstance(second, Worked)
    assert (first.known, second.known) == ({}, {})
    assert {row[1]: row[2:] for row in cases.rows}["l_tr"] == ("14.6908 + 14", "2")
    assert (cases.columns, cases.align) == (("no.", "", "numbers", "pipes"), "><><")
    assert cases.narrow
    assert [SYMBOLS[key].symbol for key in cases.symbols.values()] == [r[1] for r in cases.rows]
    assert list(cases.symbols) == [(place, 1) for place in range(len(cases.rows))]
    assert ranges == Bullets(
        ("line 30: ovality over 10 %, the largest distortion covered by Appendix X1 (pipe 2)",)
    )
    assert table.caption == "Calculation table A"
    assert table.columns == ("no.", "", "unit", "2: deep", f"3: {('field' * 9)[:39]}…")
    assert (table.align, table.repeat) == ("><<>>", 3)
    assert table.boxed == {(len(table.rows) - 1, 3), (len(table.rows) - 1, 4)}
    # Symbols stand in the second column of lines, which begin with their number.
    assert {place: SYMBOLS[key].symbol for place, key in table.symbols.items()} == {
        (place, 1): row[1] for place, row in enumerate(table.rows) if row[0]
    }
    rows = {row[1]: (row[2], *row[3:]) for row in table.rows if row[1]}
    assert rows["q_p"] == ("%", "11", "2")
    assert rows["q"] == ("%", "11 !", "2")
    assert rows["LLDF"] == ("", "1.15", "–")
    deep, field = (result for number, result in _of(project) if number in (2, 3))
    checks = ("X1.1", "X1.2", "DR limit", "X1.3", "X1.4")
    assert [row[1:] for row in table.rows[-8:]] == [
        *((name, "", "passes", "passes") for name in checks),
        ("governs", "", deep.governing, field.governing),
        ("min. N", "", *(f"{int(100 * p.own_safety_factor) / 100:.2f}" for p in (deep, field))),
        ("nominal t", "mm", *(f"{25.4 * p.nominal_thickness:.5g}" for p in (deep, field))),
    ]
    # The second class names the formulas of the first, by the lines of both.
    head, about, third, table = others[:4]
    assert head == Heading("Class B: partially deteriorated, gravity pipe")
    assert about == Paragraph(members.format("4, 5", "4, creek"))
    keys = {f"(formula: A {step.number})": step.key for step in (*first.steps, *second.steps)}
    own = {step.number: step.key for step in third.steps}
    assert {number: keys[text] for number, text in third.known.items()} == {
        number: key for number, key in own.items() if key != "t_required"
    }
    assert table.columns[3:] == ("5: brook",)


def _of(project):
    return enumerate(designed_all(tasks(project)), 1)


PRESSED = {"internal_pressure": "20 psi", "hole_diameter": "1 in"}
GOOD = {"condition": "partially deteriorated"}
SITE = ("cover", "soil_unit_weight", "soil_reaction_modulus", "live_load", "ovality")


@pytest.mark.parametrize(
    ("pipes", "kinds"),
    [
        ([GOOD], "gravity pipe"),
        ([GOOD | PRESSED], "pressure pipe"),
        ([GOOD | PRESSED | {"vacuum": "5 psi"}], "pressure pipe, vacuum"),
        ([GOOD, GOOD | PRESSED], "gravity pipe, pressure pipe"),
        (
            [{"above_ground": True, "internal_pressure": "60 psi", "host_diameter": "12 in"}],
            "pressure pipe, above ground",
        ),
    ],
)
def test_the_kinds_of_pipe_of_a_class_are_said_once(pipes, kinds, tmp_path):
    texts = [
        toml(
            each | {"name": f"P{number}"},
            {"tensile_strength": "5000 psi"},
            drop=(*SITE, "groundwater_above_invert") if "above_ground" in each else (),
        )
        for number, each in enumerate((*pipes, *pipes))
    ]
    named = "".join(text[text.index("[[pipe]]") :] for text in texts)
    project = read(put(tmp_path, texts[0].partition("[[pipe]]")[0] + named))
    (found,) = classes(designed_all(tasks(project)))
    assert found.kinds == kinds


def test_lines_that_take_another_case_are_a_table_under_a_title(tmp_path):
    """Under 9 ft of cover the wheels of the axles don't overlap, under 12.05 ft they do: by hand
    10/12 + 1.15*12.05 = 14.6908 ft over an axle spacing of 14 ft (AASHTO LRFD 3.6.1.2.6)."""
    road = toml({"name": "road", "live_load": "HL-93", "cover": "9 ft"})
    deep = toml({"name": "deep", "live_load": "HL-93", "cover": "12.05 ft"})
    project = read(put(tmp_path, road + deep[deep.index("[[pipe]]") :]))
    (found,) = classes(designed_all(tasks(project)))
    assert found.worked[0][0] == 1
    (row,) = (row for row in found.cases.rows if row[1] == "l_tr")
    assert row[2:] == ("14.6908 + 14", "2")
    assert found.cases.caption.startswith("Lines of other pipes")


def test_a_check_that_does_not_apply_to_a_pipe_has_a_dash(tmp_path):
    """Without groundwater neither X1.1 nor X1.2 is checked, and there is no safety factor."""
    drop = ("cover", "soil_unit_weight", "soil_reaction_modulus", "live_load")
    wet = toml(GOOD | {"name": "wet"}, drop=drop)
    dry = toml(
        GOOD | {"name": "dry", "groundwater": "none"}, drop=(*drop, "groundwater_above_invert")
    )
    wetter = toml(GOOD | {"name": "wetter", "groundwater_above_invert": "20 ft"}, drop=drop)
    tables = [text_[text_.index("[[pipe]]") :] for text_ in (wet, dry, wetter)]
    head = wet.partition("[[pipe]]")[0]

    def foot(count):
        project = read(put(tmp_path, head + "".join(tables[:count])))
        (found,) = classes(designed_all(tasks(project)))
        assert found.worked[0][0] == 1
        return {row[1]: row[3:] for row in found.table.rows if not row[0] and row[1]}

    assert foot(2)["DR limit"] == ("passes",)
    assert not {"X1.1", "X1.2"} & foot(2).keys()
    both = foot(3)
    assert (both["X1.1"], both["X1.2"]) == (("–", "passes"), ("–", "passes"))
    assert both["DR limit"] == ("passes", "passes")
    assert both[HEADS["safety"]][0] == "-"
    assert HEADS["safety_legs"] not in both


def test_cases_of_one_line_stand_in_the_order_of_their_pipes(tmp_path):
    """By hand 10/12 + 1.15*12.5 = 15.2083 ft, and 14.6908 ft as above."""
    roads = [
        toml({"name": name, "live_load": "HL-93", "cover": cover})
        for name, cover in (("a", "9 ft"), ("b", "12.5 ft"), ("c", "12.05 ft"))
    ]
    text_ = roads[0] + "".join(each[each.index("[[pipe]]") :] for each in roads[1:])
    (found,) = classes(designed_all(tasks(read(put(tmp_path, text_)))))
    numbers = [int(row[0]) for row in found.cases.rows]
    assert numbers == sorted(numbers)
    assert [row[2:] for row in found.cases.rows if row[1] == "l_tr"] == [
        ("15.2083 + 14", "2"),
        ("14.6908 + 14", "3"),
    ]
    assert [row[2:] for row in found.cases.rows if row[1] == "n_tr"] == [("2*2", "2, 3")]


def test_an_equation_that_only_applies_is_not_said_to_govern(tmp_path):
    """A small hole and much groundwater: X1.5 directs to X1.6, and X1.1 governs."""
    pressed = {"condition": "partially deteriorated", "internal_pressure": "20 psi"}
    pressed |= {"hole_diameter": "8 in"}
    made = size(read(put(tmp_path, toml(pressed, {"tensile_strength": "3000 psi"}))))
    assert [pipe.governing for pipe in made.pipes] == ["X1.1"]
    said = text.render(made.document)
    said = (said if isinstance(said, str) else said.decode()).replace("\n  ", " ")
    assert "X1.6 applies: the thickness by X1.6" in said
    assert "X1.6 governs" not in said


def test_the_factor_of_a_pipe_and_of_its_legs_are_told_apart(tmp_path):
    """Under the N of each check is the smallest of them; the legs have a row of their own."""
    sizing = size(read(put(tmp_path, laterals(4))))
    found = next(each for each in classes(sizing.pipes) if each.others)
    rows = {row[1]: row[3:] for row in found.table.rows}
    for place, (number, _) in enumerate(found.others):
        own = [
            float(cells[place])
            for name, cells in rows.items()
            if re.match(r"N X1|N_X1", name) and cells[place] != "–"
        ]
        assert own
        assert float(rows[HEADS["safety"]][place]) == pytest.approx(min(own), abs=0.01)
        legs = [each["safety_factor"] for each in sizing.data["pipes"][number - 1]["legs"]]
        assert float(rows[HEADS["safety_legs"]][place]) == pytest.approx(min(legs), abs=0.01)
        assert min(legs) < min(own)


def test_no_number_is_parted_at_the_end_of_a_line(tmp_path):
    """Long arithmetic breaks after a sign: no line begins within a number."""
    for page in _pages(size(read(put(tmp_path, laterals(4))))):
        lines = page.extract_text().split("\n")
        assert not [line for line in lines if re.match(r"\.\d", line.strip("\u200b "))]


def test_size_proposes_the_tube_that_a_comparison_takes(tmp_path):
    """Both forms name one tube of each line with legs, and say which wall they list."""
    project = read(put(tmp_path, laterals(4)))
    first = _pages(size(project))[0].extract_text().replace("\n", " ")
    compared = compare(project)
    shown = text.render(compared.document, 200).decode().replace("\n", " ")
    walls = {}
    for number, name in enumerate([pipe.name for pipe in project.pipes], 1):
        (row,) = re.findall(
            rf"{name} +Epoxy felt for bends \[A\] +[\d.]+ +([\d.]+) +[\d.]+ ", shown
        )
        walls.setdefault(float(row), []).append(str(number))
    for wall, pipes in walls.items():
        assert f"wall {wall:g} mm (pipes {', '.join(pipes)})" in first
    assert "t tube is the wall of the tube, as stated or else t nom." in first
    assert "which size proposes" in " ".join(shown.split())


def test_a_diameter_stated_in_millimetres_stays_so(tmp_path):
    """By hand: 200 mm is 7.87402 in, which nobody stated; 200/25.4/100 in is 2 mm at DR 100."""
    stated = {"condition": "partially deteriorated", "host_diameter": "200 mm"}
    sizing = size(read(put(tmp_path, toml(stated))))
    shown = text.render(sizing.document, 200).decode()
    assert re.search(r"mean inside diameter of the host pipe +200 mm +given", shown)
    assert "7.87402" not in shown
    assert "(200/25.4)/100" in shown
    (step,) = (s for s in sizing.pipes[0].steps if s.equation == "DR limit")
    assert step.value == pytest.approx(200 / 25.4 / 100)
