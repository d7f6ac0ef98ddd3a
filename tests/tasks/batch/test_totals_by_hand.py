"""Two pieces of an inventory given as arrays, and every total and table of them by hand."""

import dataclasses

import numpy as np
import polars as pl
import pytest
from tasks.batch.test_agreement import PROJECT

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph
from linerdesign.project.columns import CHANCE, Column
from linerdesign.project.faults import InputFaults
from linerdesign.project.identity import FileRead
from linerdesign.project.reading import parse
from linerdesign.tasks.batch import report
from linerdesign.tasks.batch.against import Against, read_earlier
from linerdesign.tasks.batch.cells import Cells
from linerdesign.tasks.batch.chances import MOST, TOLERANCE
from linerdesign.tasks.batch.messages import ERROR, FAILURE, Count, Messages
from linerdesign.tasks.batch.pieces import STATUSES, Sized
from linerdesign.tasks.batch.report import inventory_data, inventory_report
from linerdesign.tasks.batch.summary import Summary, Total
from linerdesign.tasks.uncertainty.pipes import Wishes
from linerdesign.tasks.uncertainty.sampling import SCRAMBLES
from linerdesign.words import sentence

SIZED, FAILS = STATUSES.index("sized"), STATUSES.index("fails")
READ = parse(PROJECT.encode())


def piece(nominal, diameter, length, mass, status, governing, **more):
    arrays = (np.array(each, float) for each in (nominal, nominal, diameter, length, mass))
    codes = np.array(status, np.int8), np.array(governing)
    return Sized(*arrays, *codes, equations=["", "X1.1", "X1.3"], **more)


def said(*each):
    messages = Messages()
    for kind, text, rows in each:
        messages.add(kind, text, rows)
    return messages


# Rows 1 to 4: 8 in twice, of which one wall fails; 8.4 in, an 8 in pipe too; and an error.
FIRST = piece(
    [6.0, 6.0, 7.5, np.nan],
    [203.2, 203.2, 213.4, np.nan],
    [100.0, 50.0, 0.0, 0.0],
    [400.0, 200.0, 0.0, 0.0],
    [SIZED, FAILS, SIZED, 0],
    [1, 2, 2, 0],
    messages=said(
        (ERROR, "no diameter", [3]),
        (FAILURE, "too thin", [1]),
        ("caution", "deep", [0, 1, 2]),
        ("caution", "shallow", [0]),
    ),
    further={CHANCE: np.array([99.0, 95.0, 94.9, np.nan])},
)
FIRST.defaults.update({"D1": 3, "D2": 2, "D3": 2})
FIRST.changed.update({"D1": 1, "D2": 2})
# Rows 5 and 6: 12 in with a wall of 61 mm, and 6 in.
SECOND = piece(
    [61.0, 6.0],
    [304.8, 152.4],
    [1000.0, 30.0],
    [70000.0, 60.0],
    [SIZED, SIZED],
    [1, 1],
    messages=said(("caution", "deep", [1])),
    further={CHANCE: np.array([10.0, 99.9])},
)
SECOND.defaults.update({"D1": 1, "D4": 2})
SECOND.changed.update({"D4": 2})
ZONES = ["b", "a", "", " a", "a", None]


def summary(system="US", **more):
    found = Summary(system, "town.csv", "f00d", **more)
    for sized, rows in ((FIRST, slice(0, 4)), (SECOND, slice(4, 6))):
        found.add(sized)
        found.add_names(pl.Series(["P", "Q", " P", None, "P", ""][rows], dtype=pl.String))
        found.add_parts("zone", pl.Series(ZONES[rows], dtype=pl.String), sized)
    return found


def amounts(metres, kilograms):
    return {"length": {"value": metres, "unit": "m"}, "mass": {"value": kilograms, "unit": "kg"}}


def test_the_data_of_two_pieces():
    data = summary(remarks=("as text",), like_formulas=2).data()
    assert data.pop("format")
    size = [
        (each["diameter"], each["nominal_thickness"], each["count"], each["length"]["value"])
        for each in data.pop("sizes")
    ]
    mm = lambda t: {"value": t, "unit": "mm"}  # noqa: E731
    assert size == [
        ("6 in", mm(6.0), 1, 30.0),
        ("8 in", mm(6.0), 2, 150.0),
        ("8 in", mm(7.5), 1, 0.0),
        ("12 in", mm(61.0), 1, 1000.0),
    ]
    finding = lambda kind, text, rows, *examples: {  # noqa: E731
        "kind": kind,
        "text": text,
        "rows": rows,
        "examples": list(examples),
    }
    assert data == {
        "inventory": {"file": "town.csv", "sha256": "f00d"},
        "read_as": ["as text"],
        "rows": 6,
        "statuses": {"error": 1, "sized": 4, "fails": 1},
        "rows_with_a_repeated_name": 3,
        "text_cells_like_formulas": 2,
        "governing": {"X1.1": 3, "X1.3": 2},
        **amounts(1180.0, 70660.0),
        # Of the four rows of the first piece D2 changes two and D1 one; what no row of it has is
        # not known, and comes behind by its count.
        "defaults": [
            {"text": text, "rows": rows, "share_changed_by_a_tenth": share}
            for text, rows, share in (
                ("D2", 2, 2 / 3),
                ("D1", 4, 1 / 3),
                ("D3", 2, None),
                ("D4", 2, None),
            )
        ],
        "errors": {"no diameter": 1},
        "findings": [
            finding("error", "no diameter", 1, 4),
            finding("failure", "too thin", 1, 2),
            finding("caution", "deep", 4, 1, 2, 3),
            finding("caution", "shallow", 1, 1),
            finding("duplicate", "name used by several rows", 3, 1, 3, 5),
        ],
        "by": {
            "zone": [
                {
                    "value": "",
                    "statuses": {"sized": 2},
                    "findings": {"caution": 2, "duplicate": 1},
                    **amounts(30.0, 60.0),
                },
                {
                    "value": "a",
                    "statuses": {"error": 1, "sized": 1, "fails": 1},
                    "findings": {"error": 1, "failure": 1, "caution": 1, "duplicate": 1},
                    **amounts(1050.0, 70200.0),
                },
                {
                    "value": "b",
                    "statuses": {"sized": 1},
                    "findings": {"caution": 1, "duplicate": 1},
                    **amounts(100.0, 400.0),
                },
            ]
        },
    }


def test_hosts_are_classed_by_the_system_of_units():
    """213.4 mm is nearest to 8 in, and to 225 mm; 203.2 mm to 200 mm."""
    named = [each["diameter"] for each in summary("SI").data()["sizes"]]
    assert named == ["150 mm", "200 mm", "225 mm", "300 mm"]
    assert summary().total(60.0) == summary().total(7.5) == Total(1, 1000.0, 70000.0)


def test_equal_shares_and_counts_are_in_the_order_of_their_text():
    found = Summary("US", sampled=10)
    found.defaults.update({"b": 5, "a": 5, "c": 9, "d": 5})
    found.changed.update({"a": 2, "b": 2, "c": 1, "d": 3})
    assert found.uncertain() == [("d", 5, 0.3), ("a", 5, 0.2), ("b", 5, 0.2), ("c", 9, 0.1)]
    # Half a percent is more than what is not known.
    few = Summary("US", sampled=1000)
    few.defaults.update({"a": 5, "b": 900, "c": 1000})
    few.changed.update({"a": 5})
    assert few.uncertain() == [("a", 5, 0.005), ("c", 1000, None), ("b", 900, None)]
    assert [share for *_, share in dataclasses.replace(found, sampled=0).uncertain()] == [None] * 4


def test_only_the_first_rows_of_the_first_piece_are_sampled(monkeypatch):
    monkeypatch.setattr("linerdesign.tasks.batch.summary.SAMPLED", 2)
    found = summary()
    assert (found.sampled, found.changed) == (2, FIRST.changed)


def test_a_chance_just_as_wished_for_is_not_under_it():
    assert summary(uncertainty=Wishes(confidence=0.95)).unsure == 2
    assert summary(uncertainty=Wishes(confidence=0.949)).unsure == 1
    assert summary().unsure == 0


def column_of(header, unit, key="invert_depth", **more):
    numbers = np.array([2.0] * 40 + [900.0])
    given = np.ones(41, bool)
    return Cells(Column(header, key, unit), numbers, given, None, pl.Series([]), **more)


def test_numbers_far_from_the_others_carry_the_unit_where_the_heading_has_none():
    sized = Sized.empty(41)
    # A row that gives a word has no number, and a level that may be negative has no logarithm.
    words = column_of("cover", "ft", "cover")
    level = column_of("GW [ft]", "ft", "groundwater_above_invert")
    sized.cells = [
        column_of("depth [ft]", "ft", grouped=2),
        column_of("depth", "m", grouped=3),
        dataclasses.replace(words, given=np.arange(41) < 40),
        level,
    ]
    found = Summary("US")
    found.add(sized)
    assert found.grouped == 5
    assert [(kind, text, c.rows, c.examples) for kind, text, c in found.findings] == [
        ("outlier", f"{name}, far above the other rows", 1, [41])
        # Three quarters of a doubling over 2, to a 32nd: 2 (1 + 24/32 + 1/32) with the bins of it.
        for name in ("depth [ft] over 3.56", "depth over 3.56 m")
    ]


def test_six_of_the_rows_with_a_repeated_name_are_told():
    found = Summary("US")
    found.add_names(pl.Series(["P"] * 8))
    assert found.repeated_names == Count(8, [1, 2, 3, 4, 5, 6])
    assert Summary("US").repeated_names == Count(0, [])


def made(found, units="US", hints=(), project=READ):
    return inventory_report(project, found, hints, units)


def grid(document, caption):
    (found,) = (
        each for each in document.blocks if isinstance(each, Grid) and each.caption == caption
    )
    assert len(found.align) == len(found.columns)
    assert {*found.align} <= {"<", ">"}
    return found


def rows(document, caption):
    return grid(document, caption).rows


def facts(document):
    return next(each.items for each in document.blocks if isinstance(each, Bullets))


def test_the_facts_in_both_systems_of_units():
    """1180 m are 3871.4 ft, 70660 kg 155778.6 lb; 1000 m 3280.8 ft and 70000 kg 154323.6 lb."""
    found = summary(remarks=("as text",), like_formulas=2)
    document = made(found)
    assert document.blocks[0] == Heading("Inventory")
    assert (document.title, document.units) == ("Inventory of liners", "US")
    start, read_as, criteria, *others = facts(document)
    assert (start, read_as) == ("inventory: town.csv, SHA-256 f00d", "as text")
    assert criteria == f"criteria and resins: {READ.file_name}, SHA-256 {READ.fingerprint}"
    assert others == [
        "rows: 6",
        "sized: 4",
        "error: 1",
        "fails: 1",
        "length of pipes with a thickness: 3,871 ft",
        "mass of their walls: 155,779 lb",
        "of these, walls over 60 mm, which may come from wrong inputs: rows 1, length 3,281 ft, "
        "mass 154,324 lb",
        "rows that share their name with another row: 3",
        sentence("inventory.formulas", count="2"),
    ]
    metric = facts(made(summary("SI"), "SI"))
    assert [each for each in metric if "length" in each or "mass" in each] == [
        "length of pipes with a thickness: 1,180 m",
        "mass of their walls: 70.66 t",
        "of these, walls over 60 mm, which may come from wrong inputs: rows 1, length 1,000 m, "
        "mass 70.00 t",
    ]
    assert FileRead("inventory", "town.csv", "f00d") in document.identity.files


def test_the_tables_of_the_summary():
    document = made(summary(), hints=("a hint",))
    assert rows(document, "By nominal thickness") == (
        ("6", "3", "591 ft", "1,455 lb"),
        ("7.5", "1", "-", "-"),
        ("over 60", "1", "3,281 ft", "154,324 lb"),
    )
    by_size = grid(document, "Pipes by nominal thickness and diameter")
    assert by_size.columns == ("nominal, mm", "6 in", "8 in", "12 in")
    assert by_size.rows == (("6", "1", "2", ""), ("7.5", "", "1", ""), ("over 60", "", "", "1"))
    assert set(by_size.align) == {">"}
    governing = grid(document, "Governing equations")
    assert (governing.columns, governing.align) == (("governing", "pipes"), "<>")
    assert governing.rows == (("X1.1", "3"), ("X1.3", "2"))
    assert rows(document, "Findings") == (
        ("error", "no diameter", "1", "4"),
        ("failure", "too thin", "1", "2"),
        ("caution", "deep", "4", "1, 2, 3"),
        ("caution", "shallow", "1", "1"),
        ("duplicate", "name used by several rows", "3", "1, 3, 5"),
    )
    zone = grid(document, "By zone")
    assert zone.columns == (
        *("zone", "error", "sized", "fails"),
        *("caution", "duplicate", "length", "mass"),
    )
    assert zone.align == "<>>>>>>>"
    assert zone.rows == (
        ("(blank)", "0", "2", "0", "2", "1", "98 ft", "132 lb"),
        ("a", "1", "1", "1", "1", "1", "3,445 ft", "154,765 lb"),
        ("b", "0", "1", "0", "1", "1", "328 ft", "882 lb"),
    )
    defaults = next(g for g in document.blocks if isinstance(g, Grid) and "Defaults" in g.caption)
    assert "the first 3 rows" in defaults.caption
    assert defaults.rows == (
        ("D2", "2", "66.7 %"),
        ("D1", "4", "33.3 %"),
        ("D3", "2", "-"),
        ("D4", "2", "-"),
    )
    assert document.blocks[-3:] == (
        Heading("Columns not read", 2),
        Bullets(("a hint",)),
        Paragraph("Each row in error is in the table, with its reason."),
    )


def test_an_inventory_of_nothing_says_nothing_more():
    data = Summary("US", "empty.csv").data()
    assert (data["rows"], data["text_cells_like_formulas"], data["sizes"]) == (0, 0, [])
    assert (Summary("US").sampled, Summary("US").grouped, Summary("US").unsure) == (0, 0, 0)
    document = made(Summary("US", "empty.csv"))
    captions = [each.caption for each in document.blocks if isinstance(each, Grid)]
    assert captions == ["By nominal thickness", "Pipes by nominal thickness and diameter"]
    assert facts(document)[2:] == (
        "rows: 0",
        "length of pipes with a thickness: -",
        "mass of their walls: -",
    )
    assert not any(isinstance(each, Paragraph) for each in document.blocks)


def sizes(*pipes):
    """A summary of (diameter in inches, wall) with as many pipes as its place says."""
    found = Summary("US")
    for count, (inches, wall) in enumerate(pipes, 1):
        found.sizes[25.4 * inches, wall].add(count, 10.0, 5.0)
    return found


def test_more_than_twelve_diameters_are_a_list():
    caption = "Pipes by nominal thickness and diameter"
    twelve = [(inches, 6.0) for inches in range(18, 6, -1)]
    crossed = grid(made(sizes(*twelve)), caption)
    assert crossed.columns[1:] == tuple(f"{inches} in" for inches in range(7, 19))
    assert crossed.rows == (("6", *(str(count) for count in range(12, 0, -1))),)
    listed = grid(made(sizes(*twelve, (6, 70.0), (6, 60.0), (6, 80.0))), caption)
    assert listed.columns == ("diameter", "nominal, mm", "pipes")
    # 60 mm is not over it; the two walls over it are one.
    assert listed.rows[:3] == (("6 in", "60", "14"), ("6 in", "over 60", "28"), ("7 in", "6", "12"))
    assert len(listed.rows) == 14


def test_long_tables_are_cut(monkeypatch):
    for name, most in (
        ("MOST_DEFAULTS", 2),
        ("MOST_FINDINGS", 3),
        ("MOST_SIZES", 4),
        ("MOST_PARTS", 1),
    ):
        monkeypatch.setattr(report, name, most)
    document = made(summary())
    *shown, more = rows(document, "Findings")
    assert ([text for _, text, *_ in shown], more) == (
        ["no diameter", "too thin", "deep"],
        ("", "rows: 2 more", "", ""),
    )
    assert [row[0] for row in rows(document, "By zone")] == ["(blank)"]
    defaults = next(g for g in document.blocks if isinstance(g, Grid) and "Defaults" in g.caption)
    assert [row[0] for row in defaults.rows] == ["D2", "D1"]
    listed = made(sizes(*((inches, 6.0) for inches in range(1, 14))))
    assert len(rows(listed, "Pipes by nominal thickness and diameter")) == 4
    monkeypatch.setattr(report, "MOST_FINDINGS", 5)
    assert len(rows(made(summary()), "Findings")) == 5


def test_tables_hold_as_much_as_a_reader_can_use():
    """The 30 weightiest defaults, and 200 findings, values of a column, sizes and changes."""
    count = 203
    found = Summary("US")
    sized = Sized.empty(count)
    for n in range(count):
        sized.messages.add("caution", f"c{n:03}", [n])
        found.defaults[f"D{n:03}"] = 1
        for wall in (6.0, 7.0):
            found.sizes[25.4 * (n + 1), wall].add(1, 0.0, 0.0)
    found.add(sized)
    found.add_parts("zone", pl.Series([f"z{n:03}" for n in range(count)]), sized)
    walls = [(f"P{n}", float(n), "sized") for n in range(count)]
    found.against = Against("old.csv", pl.DataFrame(names_and_walls(*walls)))
    moved = [(name, wall + 0.5, status) for name, wall, status in walls]
    found.against.add(*(pl.Series(values) for values in names_and_walls(*moved).values()))
    document = made(found)
    findings = rows(document, "Findings")
    assert (findings[199][1], findings[200][1]) == ("c199", "rows: 3 more")
    assert len(findings) == 201
    for caption in ("By zone", "Pipes by nominal thickness and diameter"):
        assert len(rows(document, caption)) == 200
    assert len(rows(document, "Changes of nominal thickness")) == 200
    (defaults,) = (g for g in document.blocks if getattr(g, "columns", ())[:1] == DEFAULTS)
    assert len(defaults.rows) == 30


DEFAULTS = ("default",)


def resins(*names):
    """The first column and what follows the table of an inventory by resin."""
    found = Summary("US")
    sized = Sized.empty(len(names))
    found.add(sized)
    found.add_parts("resin", pl.Series(names, dtype=pl.String), sized)
    document = made(found)
    place = document.blocks.index(grid(document, "By resin"))
    return [row[0] for row in document.blocks[place].rows], document.blocks[place + 1]


def test_resins_carry_the_grade_of_their_evidence_where_the_column_holds_nothing_else():
    """The project has two, of whose evidence nothing is said."""
    graded, legend = resins("Glass B", None, "Felt A")
    assert graded == ["(blank)", "Felt A [D]", "Glass B [D]"]
    assert isinstance(legend, Bullets)
    assert resins("Glass B")[0] == ["Glass B [D]"]
    for names in (("Glass B", "other"), (None, "other"), (None, None)):
        plain, after = resins(*names)
        assert plain == sorted({name or "(blank)" for name in names})
        assert isinstance(after, Grid)


def names_and_walls(*rows):
    names, walls, statuses = zip(*rows, strict=True)
    return {"name": names, "nominal": walls, "status": statuses}


def test_the_changes_against_an_earlier_result(monkeypatch):
    """Walls of a billionth apart are the same; 6 to 7.5 mm comes twice."""
    old = names_and_walls(
        *(("A", 6.0, "sized"), ("B", 6.0, "fails"), ("C", 9.0, "sized"), ("D", 9.0, "sized")),
        *(("E", 4.5, "sized"), ("F", None, "error"), ("", 4.0, "sized")),
        *(("R", 4.0, "sized"), ("R", 4.0, "sized"), ("T", 3.0, "sized")),
    )
    found = Against("earlier.csv", pl.DataFrame(old))
    new = (
        *(("A", 7.5, "sized"), ("B", 7.5, "sized"), ("C", 9.0 * (1 + 1e-12), "sized")),
        *(("D", 6.0, "sized"), ("G", 4.5, "sized"), ("F", 3.0, "sized"), (None, 4.0, "sized")),
        *((" T", 3.0, "sized"), ("T", 3.0, "sized"), ("R", 4.0, "sized")),
    )
    for part in (new[:3], new[3:]):
        found.add(*(pl.Series(values) for values in names_and_walls(*part).values()))
    data = found.data()
    change = lambda *names: {"pipes": len(names), "examples": list(names)[:3]}  # noqa: E731
    assert data == {
        "file": "earlier.csv",
        "thicker": change("A", "B"),
        "thinner": change("D"),
        "same": change("C"),
        "status": change("B", "F"),
        "new": change("G"),
        "gone": change("E"),
        "repeated": change("T", "R"),
        "thicknesses": [
            {"from": 6.0, "to": 7.5, "unit": "mm", "pipes": 2},
            {"from": 9.0, "to": 6.0, "unit": "mm", "pipes": 1},
        ],
    }
    document = made(summary(against=found))
    assert summary(against=found).data()["against"] == data
    assert rows(document, "Compared with earlier.csv, by name") == (
        ("thicker", "2", "A, B"),
        ("thinner", "1", "D"),
        ("same thickness", "1", "C"),
        ("other status", "2", "B, F"),
        ("new", "1", "G"),
        ("not in this inventory", "1", "E"),
        ("name repeated: not compared", "2", "T, R"),
    )
    assert rows(document, "Changes of nominal thickness") == (("6", "7.5", "2"), ("9", "6", "1"))
    monkeypatch.setattr(report, "MOST_SIZES", 1)
    assert len(rows(made(summary(against=found)), "Changes of nominal thickness")) == 1
    unchanged = Against("earlier.csv", pl.DataFrame(names_and_walls(("A", 6.0, "sized"))))
    none = made(summary(against=unchanged))
    assert "Changes of nominal thickness" not in [getattr(b, "caption", "") for b in none.blocks]


EARLIER = "nominal_thickness [mm],status"


@pytest.mark.parametrize(
    ("text", "wanted", "rows"),
    [
        # The column of the inventory's own names, or else the one that is called `name`.
        (f"Asset,name,{EARLIER}\n A ,B,6,sized\n", "Asset", [("A", 6.0, "sized")]),
        (f"name,{EARLIER}\n A ,6.5,sized\n,x,\n", "Asset", [("A", 6.5, "sized"), ("", None, None)]),
        (f"name,{EARLIER}\n", "name", []),
    ],
)
def test_an_earlier_result_is_read_by_its_names(tmp_path, text, wanted, rows):
    """A wall that is no number is none, and a name stands without the blanks around it."""
    path = tmp_path / "old.csv"
    path.write_text(text, encoding="utf-8")
    found = read_earlier(path, wanted)
    assert (found.file_name, found.old.rows()) == ("old.csv", rows)
    assert found.old.schema == {"name": pl.String, "nominal": pl.Float64, "status": pl.String}


def test_what_an_earlier_result_lacks_is_named(tmp_path):
    path = tmp_path / "old.csv"
    path.write_text("zone,status\nA,sized\n", encoding="utf-8")
    with pytest.raises(InputFaults, match=r"missing columns Asset, nominal_thickness \[mm\]"):
        read_earlier(path, "Asset")


def test_what_uncertainty_adds():
    wishes = Wishes("usual", 8, 0.95)
    data = inventory_data(summary(uncertainty=wishes), ("a hint",))
    assert data["passed_through_unread"] == ["a hint"]
    assert data["uncertainty"] == {
        "uncertainties": "usual",
        "seed": 8,
        "confidence": 0.95,
        "rows_under_confidence": 2,
    }
    assert "uncertainty" not in inventory_data(summary(), ())
    told = facts(made(summary(uncertainty=wishes)))[-3:]
    assert told[0] == sentence(
        "uncertainty.batch",
        confidence=95,
        rows=2,
        most=MOST * SCRAMBLES,
        tolerance=100 * TOLERANCE,
        seed=8,
    )
    # 8 scrambles of 512 points at most.
    assert "up to 4,096 trials a row, until the standard error is 0.5 points, seed 8" in told[0]
    assert told[1:] == tuple(
        sentence(f"uncertainty.{name}") for name in ("batch_alone", "no_model")
    )
