"""Answer, design basis and classes of a street on paper, against the file and the designs."""

import re
from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from projects import toml

from linerdesign.documents import calculation
from linerdesign.documents.answer import answer, gathered_of
from linerdesign.documents.basis import basis
from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph, Worked
from linerdesign.documents.calculation import on_paper
from linerdesign.documents.classes import classes, of_pipes
from linerdesign.documents.line_table import identity_of
from linerdesign.documents.sheet import inputs, remark_lists
from linerdesign.expressions.printing import positional
from linerdesign.findings import Severity
from linerdesign.interface import size
from linerdesign.methods.method import checks_of
from linerdesign.methods.origin import Giver
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.reading import parse
from linerdesign.words.documents import LABELS

STREET = """
[project]
title = "Quay Street"
[criteria]
safety_factor = 1.5
minimum_thickness = "6 mm"
[criteria.defaults]
live_load = "HL-93"
soil_unit_weight = "120 pcf"
[criteria.limits]
minimum_soil_unit_weight = "125 pcf"
[[resin]]
name = "felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
modulus_retention = "60 %"
evidence = "report 7"
evidence_grade = "third-party creep test"
[[resin]]
name = "glass"
flexural_modulus = "900 ksi"
flexural_strength = "14000 psi"
tensile_strength = "9000 psi"
density = "1.75 g/cm^3"
[[resin]]
name = "unused"
flexural_modulus = "1 ksi"
flexural_strength = "4 psi"
[[pipe]]
name = "MH 1"
resin = "felt"
condition = "partially deteriorated"
host_diameter = "8 in"
ovality = "2 %"
groundwater_above_invert = "2 ft"
origin = { host_diameter = "measured", ovality = "assumed" }
[[pipe]]
name = "MH 2"
resin = "glass"
condition = "fully deteriorated"
host_diameter = "200 mm"
ovality = "2 %"
soil_reaction_modulus = "silty sand, 90 % compaction"
groundwater_above_invert = "2 ft"
origin = { cover = "plan" }
[[pipe.station]]
at = "0 ft"
cover = "5 ft"
[[pipe.station]]
at = "90 ft"
cover = "7 ft"
ovality = "12 %"
[[pipe]]
name = "MH 3"
resin = "glass"
condition = "fully deteriorated"
host_diameter = "8 in"
cover = "6 ft"
ovality = "2 %"
groundwater_above_invert = "2 ft"
soil_reaction_modulus = "700 psi"
[[pipe]]
name = "MH 4"
resin = "glass"
condition = "fully deteriorated"
host_diameter = "8 in"
cover = "5 ft"
ovality = "2 %"
groundwater_above_invert = "2 ft"
soil_reaction_modulus = "700 psi"
vacuum = "2 psi"
internal_pressure = "20 psi"
"""


@cache
def made(pipes=4):
    """The project of the first so many pipes, and its designs."""
    head, *tables = STREET.split("[[pipe]]")
    project = parse("[[pipe]]".join((head, *tables[:pipes])).encode(), "street.toml")
    return project, size(project)


def grids(pipes=4):
    project, sizing = made(pipes)
    found = [block for block in basis(project, sizing.pipes) if isinstance(block, Grid)]
    standard, resins, site, compliance = found
    return standard, resins, site, compliance


def test_resins_are_tabled_as_the_file_states_them():
    """Those in use; what none of them has is no row, and what is not stated is a default."""
    _, resins, *_ = grids()
    assert resins.columns == ("property", "felt", "glass")
    assert resins.align == "<<<"
    assert resins.rows == (
        ("initial flexural modulus E", "250,000 psi", "900 ksi"),
        ("long-term modulus retention (creep)", "60 %", "50 % (default)"),
        ("initial flexural strength", "4500 psi", "14,000 psi"),
        ("long-term flexural strength retention", "50 % (default)", "50 % (default)"),
        ("initial tensile strength, for pressure pipe", "-", "9000 psi"),
        ("long-term tensile strength retention", "50 % (default)", "50 % (default)"),
        ("density of the cured wall", "-", "1.75 g/cm³"),
        ("test report for the properties", "report 7", "-"),
        ("evidence for the long-term properties", "third-party creep test", "none"),
    )


def test_a_retention_that_a_resin_leaves_out_is_that_of_the_criteria():
    """The table has what the calculation takes: the resin's own, the owner's, then the default."""
    owners = '[criteria.defaults]\nmodulus_retention = "40 %"\nstrength_retention = "35 %"\n'
    text = toml(resin={"modulus_retention": "45 %"}).replace("[[resin]]", f"{owners}[[resin]]")
    project = parse(text.encode(), "p.toml")
    (result,) = size(project).pipes
    resins = [block for block in basis(project, [result]) if isinstance(block, Grid)][1]
    told = dict(resins.rows)
    assert told["long-term modulus retention (creep)"] == "45 %"
    assert told["long-term flexural strength retention"] == "35 % (C)"
    assert told["long-term tensile strength retention"] == "50 % (default)"
    taken = {step.key: step.value for step in result.steps}
    assert (taken["r_E"], taken["r_sigma"]) == (45, 35)


def test_values_of_pipe_and_site_are_tabled_as_stated_with_how_they_are_known():
    """By hand from the file: M measured, A assumed, P of a plan, C of the criteria; a station has a
    row of its own. `MH 1` takes what the criteria state, though no line of it reads them."""
    *_, site, _ = grids(3)
    assert site.columns == ("pipe", "D", "q_p", "H", "h_i", "w", "E'_s", "W_s")
    assert site.align == "<>>>>>>>"
    sand = "silty sand, 90 % compaction"
    assert site.rows == (
        ("1", "8 in M", "2 % A", "-", "2 ft", "120 pcf C", "-", "HL-93 C"),
        ("2 @ 0 ft", "200 mm", "2 %", "5 ft P", "2 ft", "120 pcf C", sand, "HL-93 C"),
        ("2 @ 90 ft", "200 mm", "12 %", "7 ft P", "2 ft", "120 pcf C", sand, "HL-93 C"),
        ("3", "8 in", "2 %", "6 ft", "2 ft", "120 pcf C", "700 psi", "HL-93 C"),
    )
    assert site.repeat == 1
    keys = ("D", "q_pipe", "H", "h_invert", "w", "E_s", "W_s")
    assert site.symbols == {(-1, place): key for place, key in enumerate(keys, 1)}
    project, sizing = made(3)
    blocks = basis(project, sizing.pipes)
    legend = blocks[blocks.index(site) + 1]
    meanings = "; ".join(f"{SYMBOLS[key].symbol} {SYMBOLS[key].meaning}" for key in keys)
    assert legend.text.startswith(f"{meanings}. M measured")
    assert legend.symbols == keys


def test_a_pipe_of_a_file_of_its_own_is_tabled_with_its_row_there(monkeypatch):
    """The owner's file is not where a pipe was read from; nor is one without a file of its own."""
    project, sizing = made(3)

    def of_files(result):
        own = "street.csv, row 2" if result.name == "MH 1" else ""
        for step in inputs(result):
            file = own if step.origin and step.origin.giver is Giver.PIPE else "owner.toml"
            yield replace(step, origin=step.origin and replace(step.origin, file=file))

    monkeypatch.setattr("linerdesign.documents.basis.inputs", of_files)
    tables = [block for block in basis(project, sizing.pipes) if isinstance(block, Grid)]
    site = tables[2]
    assert site.columns[-1] == "read from"
    assert site.align == "<" + ">" * (len(site.columns) - 2) + "<"
    assert [row[-1] for row in site.rows] == ["street.csv, row 2", "-", "-", "-"]


def test_the_standard_the_conditions_and_what_is_verified():
    standard, *_ = grids(3)
    _, sizing = made(3)
    assert standard.align == "<<"
    told = dict(standard.rows)
    assert list(told) == [
        *("Edition", "Verification of equations"),
        *("partially deteriorated", "fully deteriorated"),
    ]
    assert told["Edition"].startswith("ASTM F1216-07b, ")
    assert "carries soil and surcharge" in told["partially deteriorated"]
    assert "does not, or will not, carry" in told["fully deteriorated"]
    equations = {step.line.equation for r in sizing.pipes for step in r.steps if step.line}
    # The letters of the legend.
    letters = {"seen": "s", "secondary": "a", "memory": "m", "derived": "d", "practice": "p"}
    counts = Counter(letters[each.provenance.name.lower()] for each in equations)
    shown = re.findall(r"(\d+) [^()]*\((\w)\)", told["Verification of equations"])
    assert {letter: int(count) for count, letter in shown} == counts


def test_what_is_not_met_weighs_on_the_table_of_compliance():
    *_, compliance = grids(3)
    assert compliance.columns == ("requirement", "required", "source", "used", "met")
    assert compliance.align == "<<<<<"
    assert compliance.caption == "Owner's requirements and compliance"
    no = [row for row, cells in enumerate(compliance.rows) if cells[-1] == "NO"]
    assert [compliance.rows[row][0] for row in no] == ["minimum soil unit weight"]
    assert compliance.strong == {(row, 4) for row in no}


def test_remarks_of_the_basis_are_those_that_no_other_part_has():
    """Not the defaults in the table of compliance, nor the evidence in that of resins."""
    project, sizing = made(3)
    blocks = basis(project, sizing.pipes)
    titles = [b.text for b in blocks if isinstance(b, Heading) and b.level == 2]
    assert titles == [
        *("Cautions for single pipes", LABELS["other_loads"], LABELS["defaults"]),
    ]
    lists = dict(zip(titles, [b.items for b in blocks if isinstance(b, Bullets)], strict=True))
    said = [remark_lists(result) for result in sizing.pipes]
    for title, of in zip(titles, ("pipe_cautions", "other_loads", "defaults"), strict=True):
        for text in lists[title]:
            plain, numbers = re.fullmatch(r"(.*?)(?: \(pipes? ([\d, ]+)\))?", text).groups()
            having = [str(n) for n, each in enumerate(said, 1) if plain in each[LABELS[of]]]
            assert having == (numbers.split(", ") if numbers else ["1", "2", "3"]), text
    required = {note.text.partition(":")[0] for r in sizing.pipes for note in r.notes
                if note.severity is Severity.DEFAULT}  # fmt: skip
    left = {text.partition(":")[0] for text in lists[LABELS["defaults"]]}
    assert left == {
        "long-term flexural strength retention", "live load distribution factor",
        "multiple presence factor", "long-term modulus retention (creep)",
    }  # fmt: skip
    assert left < required
    assert {"Poisson's ratio", "enhancement factor"} <= required - left


def test_the_answer_says_what_it_is_designed_to_and_rests_on():
    """By hand: 60 % of 250,000 psi and 50 % of 900 ksi. Not measured of what a line reads: of pipe
    1 ovality and water; of pipe 2 diameter, water, soil and of two stations ovality and cover; of
    pipe 3 diameter, ovality, cover, water and soil."""
    project, sizing = made(3)
    blocks = answer(project, sizing.pipes, sizing.identity)
    head, designed, table, outside, bullets, rests = blocks
    assert head == Heading("Result")
    assert designed.text.startswith("Design to ASTM F1216-07b, ")
    assert designed.text.endswith(
        "; safety factor N = 1.5; felt, long-term modulus 150,000 psi; "
        "glass, long-term modulus 450,000 psi."
    )
    assert [row[1] for row in table.rows] == ["MH 1", "MH 2", "MH 3"]
    assert outside.text == "Outside the scope of the method"
    (text,) = bullets.items
    assert text.startswith("ovality over 10 %")
    assert text.endswith("(at 90 ft) (pipe 2)")
    (file,) = sizing.identity.files
    assert rests.text == (
        f"Values of pipe and site not measured: {2 + 7 + 5} (see the design basis). "
        f"Files: street.toml {file.sha256[:16]}. Fingerprint {sizing.identity.fingerprint}."
    )


def test_what_several_pipes_say_is_said_once():
    said = {1: ["all", "one.", "one."], 2: ["all", "two"], 5: ("all", "two")}
    assert gathered_of(said) == ("all", "one (pipe 1).", "two (pipes 2, 5)")
    assert of_pipes("x.", ["3", "4"]) == "x (pipes 3, 4)."


def _figures(result, at):
    """The number of every line at a station as a table has it, with the mark of a flag."""
    found = {}
    for step in result.steps:
        if step.station not in (None, at) or (step.line and step.arithmetic is None):
            continue
        if step.line is None and step.arithmetic is None and not step.origin.used:
            continue
        mm = round(step.value * 25.4, 9)
        whole = mm == round(mm, 1) and (SYMBOLS[step.key].kind == "thickness")
        stated = step.key == "D" and result.name == "MH 2"
        shown = f"{positional(mm)} mm" if whole or stated else positional(step.value)
        found[identity_of(step)] = f"{shown} !" if step.flags else shown
    return found


def test_a_class_tables_every_line_that_is_not_the_worked_one():
    _, sizing = made()
    _, full = classes(sizing.pipes)
    assert (full.letter, full.kinds) == ("B", "gravity pipe, pressure pipe, vacuum")
    # That with most lines at the fewest stations is worked first.
    assert full.worked[0][0] == 4
    assert [number for number, _ in full.others] == [2, 3]
    table = full.table
    assert table.columns == (
        *("no.", "", "unit", "2: MH 2 at 0 ft", "2: MH 2 at 90 ft", "3: MH 3"),
    )
    assert table.align == "><<>>>"
    assert (table.repeat, table.caption) == (3, "Calculation table B")
    columns = [_figures(sizing.pipes[1], at) for at in ("0 ft", "90 ft")]
    columns.append(_figures(sizing.pipes[2], None))
    worked = _figures(sizing.pipes[3], None)
    wanted = {
        str(number): [each.get(identity, "–") for each in columns]
        for identity, number in full.rows.items()
        if any(each.get(identity) != worked.get(identity) for each in columns)
    }
    shown = {row[0]: row for row in table.rows if row[0]}
    assert shown.keys() == wanted.keys()
    for number, cells in wanted.items():
        row = shown[number]
        in_mm = [cell.removesuffix(" mm") for cell in cells]
        assert list(row[3:]) in (cells, in_mm), number
    of_row = {str(number): identity[0] for identity, number in full.rows.items()}
    assert table.symbols == {
        (place, 1): of_row[row[0]] for place, row in enumerate(table.rows) if row[0]
    }
    # A row for each check, then what governs, the smallest factor and the wall, which is boxed.
    ends = [row for row in table.rows if not row[0] and row[1]]
    checks = dict.fromkeys(c.equation for _, r in full.others for c in checks_of(r.basis))
    walls = [sizing.pipes[1], sizing.pipes[1], sizing.pipes[2]]
    at = ["0 ft", "90 ft", None]
    for row in ends[:-3]:
        assert row[1] in checks
        for cell, result, station in zip(row[3:], walls, at, strict=True):
            (passes,) = {
                c.passes for c in result.checks if (c.equation, c.station) == (row[1], station)
            }
            assert cell == ("passes" if passes else "FAILS")
    governing, factors, nominal = ends[-3:]
    assert governing[1:] == ("governs", "", *(result.governing for result in walls))
    assert factors[1:3] == ("min. N", "")
    for cell, result in zip(factors[3:], walls, strict=True):
        assert 0 <= result.lowest_safety_factor - float(cell) < 0.01
    assert nominal[1:3] == ("nominal t", "mm")
    assert [float(cell) for cell in nominal[3:]] == pytest.approx(
        [25.4 * result.nominal_thickness for result in walls]
    )
    assert table.boxed == {(len(table.rows) - 1, column) for column in (3, 4, 5)}
    # Ranges left by the others are named with their line and the pipes.
    found = Counter()
    for text in full.ranges_left:
        line, said, pipes = re.fullmatch(r"line (\d+): (.*) \(pipes? (.*)\)", text).groups()
        for each in pipes.split(", "):
            found[line, said, each] += 1
    flags = Counter()
    for number, result in full.others:
        for step in result.steps:
            for flag in step.flags:
                place = f"{number} @ {step.station}" if step.station else str(number)
                flags[str(full.rows[identity_of(step)]), flag, place] += 1
    assert found == flags
    assert set(found.values()) == {1}


def test_a_class_of_one_pipe_has_no_table():
    _, sizing = made()
    first, _ = classes(sizing.pipes)
    assert (first.letter, first.kinds, first.others) == ("A", "gravity pipe", ())
    assert first.system == "US"
    assert first.cases is None
    assert [number for number, *_ in first.worked] == [1]


def test_the_calculation_goes_class_by_class_and_names_formulas_that_stand_before():
    project, sizing = made()
    blocks = on_paper(project, sizing.pipes, {}, sizing.identity).blocks
    titles = [b.text for b in blocks if isinstance(b, Heading)]
    assert [title for title in titles if title.startswith("Class ")][:2] == [
        "Class A: partially deteriorated, gravity pipe",
        "Class B: fully deteriorated, gravity pipe, pressure pipe, vacuum",
    ]
    alone, members = [
        b.text for b in blocks if isinstance(b, Paragraph) and re.match(r"Pipes? [\d, ]+", b.text)
    ]
    assert alone == "Pipe 1, MH 1: worked line by line."
    assert members == (
        "Pipes 2, 3, 4. Worked line by line: pipe 4, MH 4; the others in the calculation table."
    )
    first, second, *more = [b for b in blocks if isinstance(b, Worked)]
    assert first.checks
    assert second.checks
    assert not any(each.checks for each in more)
    assert first.known == {}
    one, other = classes(sizing.pipes)
    assert second.known == {
        number: f"(formula: A {one.rows[line]})"
        for line, number in other.rows.items()
        if line in one.rows
    }
    assert all(each.known == second.known for each in more)
    further = [t for t in titles if t.startswith("Class B: further lines, worked for pipe ")]
    assert len(further) == len(more) > 0


def test_every_table_says_what_it_is_of():
    project, sizing = made()
    blocks = on_paper(project, sizing.pipes, {}, sizing.identity).blocks
    captions = [block.caption for block in blocks if isinstance(block, Grid)]
    assert captions == [
        "Thickness by pipe; cover, and groundwater above the invert, at the governing station",
        "Standard and condition",
        "Resin systems",
        "Values of pipe and site, as stated",
        "Owner's requirements and compliance",
        "Lines of other pipes that take another case of the formula, or other table values",
        "Calculation table B",
    ]


@pytest.mark.parametrize("count", [8, 9])
def test_a_drawing_has_room_on_the_first_page_beside_eight_pipes(count, monkeypatch):
    """And stands behind the basis where there are more; each part has what it is made of."""
    words = dict.fromkeys(("answer", "basis", "long_profile", "further"))
    for name in words:
        monkeypatch.setattr(calculation, name, lambda *about, name=name: (Paragraph(name), *about))
    monkeypatch.setattr(calculation, "classes", lambda results: ())
    monkeypatch.setattr(calculation, "other_condition_text", lambda result: "")
    designs = (made(1)[1].pipes[0],) * count
    found = on_paper("project", designs, "additions", "identity", ["more"], ["faulty"], ["beside"])
    drawn = [Paragraph("long_profile"), "project", designs]
    opening = [Paragraph("answer"), "project", designs, "identity", ["faulty"], "beside"]
    basis_ = [Paragraph("basis"), "project", designs]
    last = [Paragraph("further"), designs, "additions", "more"]
    few = count == 8
    assert [*found.answer] == [*opening, *drawn * few]
    assert [*found.rest] == [*basis_, *drawn * (not few), *last]


def test_the_foot_of_a_table_has_walls_of_five_figures():
    head, first, *_ = STREET.split("[[pipe]]")
    walls = ("12.34567 mm", "13 mm")
    pipes = [
        first.replace("MH 1", f"MH {n}") + f'design_thickness = "{wall}"\n'
        for n, wall in enumerate(walls)
    ]
    project = parse("[[pipe]]".join((head, pipes[1], pipes[0])).encode(), "street.toml")
    (found,) = classes(size(project).pipes)
    assert found.table.rows[-1][1:] == ("nominal t", "mm", "12.346")
