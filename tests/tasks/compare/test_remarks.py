"""What a comparison is based on, resin by resin, by hand from what the file states."""

from dataclasses import replace

import pytest
from projects import toml
from tasks.compare.test_report import BARE, compared, read, wall

from linerdesign.findings import Severity, finding
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.verdicts import FAILS
from linerdesign.project.reading import parse
from linerdesign.tasks.compare.remarks import (
    Remark,
    criteria_of,
    criteria_text,
    grades_legend,
    marked,
    properties,
    remarks_of,
)
from linerdesign.tasks.compare.wording import named, priced

LATE = finding("ring.no_creep", Severity.CAUTION)
EARLY = finding("ring.no_time", Severity.CAUTION)
USUAL = finding("ring.no_time", Severity.DEFAULT)
BEYOND = finding("ring.no_time", Severity.OUTSIDE)


def noted(*notes, **more):
    return (wall(5.0, 6.0, notes=frozenset(notes), **(BARE | more)),) * 2


def test_a_note_is_told_of_the_resins_that_others_differ_from():
    """In Trunk all have one note, which is of the pipe; in Lane two of three have it."""
    found = remarks_of(
        compared(
            A=noted(LATE, USUAL), B=noted(LATE, EARLY), C=noted(LATE, BEYOND),
            a=noted(LATE, USUAL), b=noted(), c=noted(LATE),
        ).table
    )  # fmt: skip
    assert found == {
        "Felt A": (Remark(LATE, ("Lane",), False), Remark(USUAL, ("Trunk", "Lane"), True)),
        "B": (Remark(EARLY, ("Trunk",), False),),
        "C": (Remark(LATE, ("Lane",), False),),
    }


def test_notes_come_by_severity_and_then_by_their_words():
    first, second = sorted((LATE, EARLY), key=lambda each: each.text)
    found = remarks_of(compared(A=noted(USUAL, LATE, EARLY)).table)
    assert [each.note for each in found["Felt A"]] == [first, second, USUAL]


def test_a_resin_that_fails_a_pipe_has_no_remark_about_it():
    """Nor does it keep the others from sharing one."""
    found = remarks_of(
        compared(
            A=noted(LATE), B=noted(LATE), C=noted(status=FAILS), a=noted(), b=noted(), c=noted()
        ).table
    )
    assert found == {"Felt A": (), "B": (), "C": ()}


def test_of_one_resin_alone_every_note_is_told():
    found = compared(A=noted(LATE), a=noted(LATE))
    one = tuple(row[:1] for row in found.table)
    assert remarks_of(one) == {"Felt A": (Remark(LATE, ("Trunk", "Lane"), True),)}
    none = tuple(tuple(replace(each, wall=None) for each in row) for row in one)
    assert remarks_of(none) == {"Felt A": ()}


def test_the_letters_of_the_evidence():
    grades = ("third-party creep test", "maker's report", "letter", "none")
    assert grades_legend() == "; ".join(
        f"[{letter}] {grade}" for letter, grade in zip("ABCD", grades, strict=True)
    )
    for letter, grade in zip("ABCD", grades, strict=True):
        (resin,) = parse(toml(resin={"evidence_grade": grade}).encode()).resins
        assert marked(resin) == f"Felt A [{letter}]"


def test_properties_with_their_retentions_and_where_they_are_from():
    """Stated, by the owner's default, and half of the initial value by F1216-09, X1.2.2."""
    owners = {"defaults": {"strength_retention": "40 %"}}
    stated = {"modulus_retention": "35 %", "tensile_strength": "3 ksi"}
    town = parse(toml(resin=stated, criteria=owners).encode())
    assert properties(town.resins[0], town.criteria) == (
        *("250000 psi", "35 %", "4500 psi", "40 % (owner's default)", "3 ksi", "50 % (default)"),
    )
    plain = parse(toml().encode())
    assert properties(plain.resins[0], plain.criteria)[4:] == ("-", "-")


def test_the_criteria_that_hold_for_all_resins():
    town = parse(toml(criteria={"safety_factor": 2.5, "dry_case": False}).encode())
    found = {name: (shown, by_default) for name, shown, by_default in criteria_of(town.criteria)}
    assert found[SYMBOLS["N"].meaning] == ("2.5", False)
    assert found["dry case"] == ("no", False)
    assert found[SYMBOLS["K"].meaning] == ("7", True)
    # What is not stated and has no default is not told.
    assert "evidence for K" not in found
    text = criteria_text(town.criteria)
    assert text.startswith("criteria: ")
    assert f"{SYMBOLS['N'].meaning} 2.5" in text
    assert f"{SYMBOLS['K'].meaning} 7 (default)" in text
    assert f"{SYMBOLS['N'].meaning} 2.5 (default)" not in text
    wet = parse(toml().encode())
    assert ("dry case", "yes", True) in criteria_of(wet.criteria)
    proven = parse(toml(criteria={"enhancement_evidence": "a test"}).encode())
    assert ("evidence for K", "a test", False) in criteria_of(proven.criteria)


@pytest.mark.parametrize(("count", "more"), [(8, ""), (9, " and 1 more"), (11, " and 3 more")])
def test_of_many_names_eight_are_told(count, more):
    names = [f"P{n}" for n in range(count)]
    assert named(names) == ", ".join(names[:8]) + more


def test_a_head_has_the_currency_that_is_the_only_one():
    assert priced("cost", compared(town=read("USD")).table, "/m") == "cost, USD/m"
    assert priced("cost", compared().table, "/m") == "cost/m"
    assert priced("cost", compared(town=read("USD")).table) == "cost, USD"
