"""Rows of one shape: how they are told apart, what a shape lacks, and what its rows share."""

from dataclasses import replace

import numpy as np
import polars as pl
import pytest
from projects import toml

from linerdesign.project.columns import Column
from linerdesign.project.faults import Place
from linerdesign.project.reading import parse
from linerdesign.tasks.batch.cells import Cells
from linerdesign.tasks.batch.groups import (
    Group,
    Shape,
    arrays_of,
    calculation,
    grouped,
    shape_faults,
    without_contradictions,
)
from linerdesign.tasks.batch.messages import Messages

PARTIAL = (("condition", "partially deteriorated"),)
NEEDED = ("host_diameter", "ovality", "groundwater_above_invert")
UNITS = {
    "host_diameter": "in",
    "hole_diameter": "in",
    "groundwater_above_invert": "ft",
    "internal_pressure": "psi",
}


def project(resin=None, criteria=None, more=""):
    return parse((toml(resin=resin, criteria=criteria) + more).encode())


def cells(**numbers):
    """Columns of numbers, NaN where a row gives none."""
    made = {}
    for key, values in numbers.items():
        values = np.array(values, float)
        texts = pl.Series([f"{each:g}" for each in values])
        column = Column(f"{key} column", key, UNITS.get(key, "%" if "ovality" in key else ""))
        made[key] = Cells(column, values, ~np.isnan(values), None, texts)
    return made


def test_rows_of_the_same_words_and_columns_are_one_group():
    """The last row has a fault; a word in place of a number is a word of the shape."""
    nan = np.nan
    made = cells(
        host_diameter=[8, 9, 10, 11, 12, 13],
        ovality=[2, nan, 2, 2, nan, 2],
        cover=[nan, nan, nan, nan, nan, nan],
    )
    load = cells(live_load=[nan, 1, nan, nan, 1, 1])["live_load"]
    word = replace(load, words=pl.Series(["none", "", "none", "", "", ""]))
    words = {"condition": pl.Series(["a", "b", "a", "a", "b", "a"])}
    free = np.array([True] * 5 + [False])
    found = list(grouped([*made.values(), word], words, free))
    assert [(each.shape, each.rows.tolist()) for each in found] == [
        (Shape(("host_diameter", "ovality"), (("condition", "a"), ("live_load", "none"))), [0, 2]),
        (Shape(("host_diameter", "live_load"), (("condition", "b"),)), [1, 4]),
        (Shape(("host_diameter", "ovality"), (("condition", "a"),)), [3]),
    ]


@pytest.mark.parametrize(
    ("numbers", "words", "given", "expected"),
    [
        (NEEDED, PARTIAL, {}, []),
        (NEEDED, (("condition", "half"),), {}, [("condition", '"half"')]),
        # The number is an example, and not that of any row.
        ((*NEEDED, "hole_diameter"), PARTIAL, {}, [("hole_diameter", "")]),
        (NEEDED[::2], PARTIAL, {}, [("", "")]),
        ((*NEEDED[::2], "minimum_ovality"), PARTIAL, {}, []),
        (NEEDED[::2], PARTIAL, {"criteria": {"minimum_ovality": "2 %"}}, []),
        (NEEDED[::2], PARTIAL, {"criteria": {"minimum_ovality": "0 %"}}, [("", "")]),
        ((*NEEDED, "thickness_step"), PARTIAL, {}, []),
        (
            (*NEEDED, "thickness_step"),
            PARTIAL,
            {"resin": {"thicknesses": ["6 mm", "9 mm"]}},
            [("", "")],
        ),
        (NEEDED, PARTIAL, {"resin": {"thicknesses": ["6 mm", "9 mm"]}}, []),
    ],
)
def test_what_a_shape_lacks_or_has_twice(numbers, words, given, expected):
    found = shape_faults(Shape(numbers, words), project(**given))
    if ovality := [str(each) for each in found if "ovality" in str(each)]:
        assert ovality[0].startswith("missing key in row: ")
    assert [(each.key, each.value) for each in found] == expected


def test_sizes_and_steps_together_are_told():
    sizes = {"thicknesses": ["6 mm", "9 mm"]}
    (found,) = shape_faults(Shape((*NEEDED, "thickness_step"), PARTIAL), project(resin=sizes))
    assert "thickness_step and thicknesses given together" in str(found)
    assert found.place == Place(table="row")
    # Of another resin than the one that the rows name.
    more = '[[resin]]\nname = "B"\nflexural_modulus = "300 ksi"\nflexural_strength = "5 ksi"\n'
    named = (*PARTIAL, ("resin", "B"))
    assert shape_faults(Shape((*NEEDED, "thickness_step"), named), project(sizes, more=more)) == ()


def row(shape, made, at=0, town=None, system="US"):
    group = Group(shape, np.arange(len(next(iter(made.values())).numbers)))
    return group, calculation(group, at, made, town or project(), system)


def test_a_calculation_has_the_numbers_of_its_row_and_what_was_taken_by_default():
    made = cells(
        host_diameter=[8, 12],
        ovality=[2, 3],
        groundwater_above_invert=[5, 9],
        poisson_ratio=[0.3, 0.25],
    )
    shape = Shape((*NEEDED, "poisson_ratio"), PARTIAL)
    group, found = row(shape, made, 1)
    values = found.task.stations[0].values
    assert (values["D"], values["h_invert"], values["q_pipe"], values["nu"]) == pytest.approx(
        (12, 9, 3, 0.25)
    )
    assert found.faults == ()
    assert found.resin.name == "Felt A"
    # N and K are the owner's to state; the retention is the resin's and was left out.
    assert {"r_E", "r_sigma"} <= found.defaults.keys()
    assert "nu" not in found.defaults
    arrays = arrays_of(found.task, shape, group.rows, made)
    assert arrays["D"] == pytest.approx([8, 12])
    assert arrays["h_invert"] == pytest.approx([5, 9])
    assert arrays["nu"] == pytest.approx([0.3, 0.25])
    assert arrays["E"] == 250_000
    metric = calculation(group, 0, made, project(), "SI")
    assert metric.task.stations[0].values["D"] == pytest.approx(8 * 25.4)
    some = arrays_of(metric.task, shape, np.array([1]), made)
    assert some["D"] == pytest.approx([12 * 25.4])


def test_what_is_wrong_in_every_row_is_a_fault_of_the_row():
    """A pressure pipe of a resin without tensile strength."""
    made = cells(
        host_diameter=[8], ovality=[2], groundwater_above_invert=[5], internal_pressure=[60]
    )
    _, found = row(Shape((*NEEDED, "internal_pressure"), PARTIAL), made)
    assert (found.task, found.defaults) == (None, None)
    assert [each.place for each in found.faults] == [Place(table="row", key="resin")]
    assert "no tensile strength" in str(found.faults[0])


def test_the_owners_least_ovality_stands_for_one_that_rows_lack():
    made = cells(
        host_diameter=[8, 9, 10], groundwater_above_invert=[5, 5, 5], minimum_ovality=[0.5, 0, 3]
    )
    numbers = ("host_diameter", "groundwater_above_invert", "minimum_ovality")
    group = Group(Shape(numbers, PARTIAL), np.arange(3))
    messages = Messages()
    assert without_contradictions(group, made, project(), messages).tolist() == [0, 2]
    assert messages.free(3).tolist() == [True, False, True]
    assert messages.said[0].text.startswith("missing key in row: ")
    assert 'ovality ("0 %" for a true circle)' in messages.said[0].text
    # With an ovality of the row nothing is lacking.
    whole = made | cells(ovality=[1, 1, 1])
    group = Group(Shape((*numbers, "ovality"), PARTIAL), np.arange(3))
    assert without_contradictions(group, whole, project(), Messages()).tolist() == [0, 1, 2]
    found = calculation(group, 0, whole, project(), "US")
    arrays = arrays_of(found.task, group.shape, group.rows, whole)
    assert arrays["q_floor"] == pytest.approx([0.5, 0, 3])
    lacking = Group(Shape(numbers, PARTIAL), np.array([0, 2]))
    found = calculation(lacking, 0, made, project(), "US")
    arrays = arrays_of(found.task, lacking.shape, lacking.rows, made)
    assert arrays["q_floor"] == pytest.approx([0.5, 3])
    assert arrays["q_pipe"] == pytest.approx([0.5, 3])


def test_a_hole_as_wide_as_the_pipe_is_refused_in_its_rows():
    made = cells(host_diameter=[8, 9, 10], ovality=[2, 2, 2], groundwater_above_invert=[5, 5, 5])
    made |= cells(hole_diameter=[8, 1, 12])
    group = Group(Shape((*NEEDED, "hole_diameter"), PARTIAL), np.arange(3))
    messages = Messages()
    assert without_contradictions(group, made, project(), messages).tolist() == [1]
    assert [(each.rows.tolist(), '"8"' in each.text) for each in messages.said] == [
        ([0], True),
        ([2], False),
    ]
