"""Bad rows and headers: every one kept or refused, with the column named."""

import math
import re

import polars as pl
import pytest
from tasks.batch.test_agreement import PROJECT, sized

from linerdesign.project.columns import read_header
from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse
from linerdesign.tasks.batch.pieces import STATUSES, Sizer

GOOD = {
    "name": "MH 1",
    "condition": "fully deteriorated",
    "resin": "Felt A",
    "host_diameter [in]": "8",
    "ovality [%]": "2",
    "cover [ft]": "10",
    "groundwater_above_invert [ft]": "6",
    "soil_unit_weight [pcf]": "120",
    "soil_reaction_modulus [psi]": "1000",
    "live_load [psi]": "1",
}


@pytest.mark.parametrize(
    ("column", "cell", "words"),
    [
        ("host_diameter [in]", "eight", 'column "host_diameter [in]" "eight": not a number'),
        ("host_diameter [in]", "8 in", 'column "host_diameter [in]"'),
        ("host_diameter [in]", "-8", "greater than zero"),
        ("host_diameter [in]", "0", "greater than zero"),
        ("host_diameter [in]", "nan", 'column "host_diameter [in]"'),
        ("host_diameter [in]", "inf", 'column "host_diameter [in]"'),
        ("host_diameter [in]", "1e300", 'column "host_diameter [in]"'),
        ("host_diameter [in]", None, "host_diameter"),
        ("ovality [%]", "100", "under 100"),
        ("ovality [%]", "2,345", "ambiguous comma"),
        ("cover [ft]", None, "cover"),
        ("cover [ft]", "none", 'column "cover [ft]" "none"'),
        ("groundwater_above_invert [ft]", None, "groundwater_above_invert"),
        ("soil_unit_weight [pcf]", None, "soil_unit_weight"),
        ("live_load [psi]", "elephants", 'column "live_load [psi]" "elephants"'),
        ("live_load [psi]", "H-20", 'did you mean "H-20 table"?'),
        ("soil_reaction_modulus [psi]", "stiff clay", "use one of CH, MH, fat clay"),
        (
            "condition",
            "collapsed",
            'column "condition" "collapsed": unknown value; use "partially',
        ),
        ("condition", None, "condition"),
        ("resin", "Felt Z", 'column "resin" "Felt Z": no such resin; use one of "Felt A"'),
    ],
)
def test_a_bad_cell_is_named_and_stops_no_other_row(column, cell, words):
    rows = [GOOD, GOOD | {column: cell}, GOOD]
    out = sized(pl.DataFrame(rows, schema=dict.fromkeys(GOOD, pl.String)))
    assert out["status"].to_list() == ["sized", "error", "sized"]
    assert words in out["message"][1]
    assert out["required_thickness [mm]"][1] is None
    assert out["nominal_thickness [mm]"][1] is None
    assert out.select(list(GOOD)).rows(named=True) == rows


def test_every_fault_of_a_row_is_told():
    row = GOOD | {"host_diameter [in]": "x", "cover [ft]": "-1", "condition": "?"}
    message = sized(pl.DataFrame([row]))["message"][0]
    assert all(f'column "{name}"' in message for name in row if row[name] != GOOD[name])


def test_values_that_cannot_be_together():
    row = GOOD | {"maximum_diameter [in]": "7.5", "invert_depth [ft]": "0.5"}
    del row["ovality [%]"], row["cover [ft]"]
    message = sized(pl.DataFrame([row]))["message"][0]
    assert 'column "maximum_diameter [in]" "7.5": smaller than the host (host_diameter)' in message
    assert 'column "invert_depth [ft]" "0.5": invert at or above the crown' in message


def test_pressure_pipe_without_tensile_strength_says_so_in_every_row():
    row = GOOD | {"internal_pressure [psi]": "60", "resin": "Glass B"}
    out = sized(pl.DataFrame([row] * 3))
    assert out["status"].to_list() == ["error"] * 3
    assert all("tensile strength" in message for message in out["message"])


@pytest.mark.parametrize("name", ["HL-93", "H-20 table", "1.75 H rule", "E-80 Boussinesq"])
def test_a_live_load_by_name_is_a_word_also_where_it_begins_like_a_number(name):
    (out,) = sized(pl.DataFrame([GOOD | {"live_load [psi]": name, "cover [ft]": "6"}])).to_dicts()
    assert out["status"] == "sized"


def test_live_load_table_says_where_it_ends():
    rows = [GOOD | {"live_load [psi]": "E-80 table", "cover [ft]": str(h)} for h in (10, 1)]
    out = sized(pl.DataFrame(rows))
    assert out["status"].to_list() == ["sized", "error"]
    assert 'column "live_load [psi]"' in out["message"][1]


def of_piece(rows, system="US", surplus=None, **more):
    frame = pl.DataFrame(rows, infer_schema_length=None)
    sizer = Sizer(read_header(frame.columns, "table"), parse(PROJECT.encode()), system, **more)
    return sizer.size(frame, surplus or {})


@pytest.mark.parametrize("system", ["US", "SI"])
def test_what_a_piece_gives_of_each_row(system):
    """8 in are 203.2 mm and 100 ft 30.48 m; pi (203.2 - 6) 6 mm2 of 1.2 g/cm3 weigh 4.4605 kg/m.

    No mass without a density, no length without one, nothing at all of a row with a fault.
    """
    wall = {"design_thickness [mm]": "6"}
    full = GOOD | wall | {"length [ft]": "100", "density [g/cm^3]": "1.2"}
    rows = [
        full,
        full | {"density [g/cm^3]": None},
        full | {"length [ft]": None},
        full | {"cover [ft]": "x"},
    ]
    found = of_piece(rows, system)
    assert found.nominal.tolist()[:3] == [6.0] * 3
    assert found.diameter[:3] == pytest.approx([203.2] * 3)
    assert found.length == pytest.approx([30.48, 30.48, 0, 0])
    mass = math.pi * (203.2 - 6) * 6 / 1e6 * 1200
    # The house's pi has six figures.
    assert found.mass == pytest.approx([30.48 * mass, 0, 0, 0], rel=1e-5)
    assert [STATUSES[each] for each in found.status] == [*["checked"] * 3, "error"]
    assert math.isnan(found.nominal[3])
    assert math.isnan(found.required[3])
    assert math.isnan(found.diameter[3])
    assert (found.equations[found.governing[0]] != "", found.equations[found.governing[3]]) == (
        True,
        "",
    )
    assert [each.column.key for each in found.cells] == [
        key.split(" ")[0] for key in full if "[" in key
    ]


def test_a_row_with_more_cells_than_headings_is_refused_and_no_other():
    found = of_piece([GOOD] * 3, surplus={1: '"x", "y"'})
    assert [STATUSES[each] for each in found.status] == ["sized", "error", "sized"]
    assert [each.rows.tolist() for each in found.messages.said if each.kind == "error"] == [[1]]


def test_the_mark_of_decimals_is_that_of_the_first_piece_with_rows():
    """A comma alone may part thousands or decimals; a point in the piece before tells which."""
    header = read_header([*GOOD], "table")
    sizer = Sizer(header, parse(PROJECT.encode()), "US")
    schema = dict.fromkeys(GOOD, pl.String)
    sizer.size(pl.DataFrame(schema=schema), {})
    assert sizer.mark == ""
    sizer.size(pl.DataFrame([GOOD | {"cover [ft]": "10.5"}], schema=schema), {})
    assert sizer.mark == "."
    grouped = GOOD | {"soil_reaction_modulus [psi]": "1,000"}
    found = sizer.size(pl.DataFrame([grouped], schema=schema), {})
    assert STATUSES[found.status[0]] == "sized"
    assert STATUSES[of_piece([grouped]).status[0]] == "error"


@pytest.mark.parametrize("system", ["US", "SI"])
def test_walls_over_sixty_millimetres_are_told(system):
    """Sixty itself is not over it, whatever the unit that it is worked out in."""
    row = GOOD | {"host_diameter [in]": "60"}
    walls = [59.9, 60.0, 60.0001, 61.0]
    rows = [row | {"design_thickness [mm]": str(wall)} for wall in walls]
    told = [message or "" for message in sized(pl.DataFrame(rows), system)["message"]]
    over = ["nominal thickness over 60 mm: check the inputs" in each for each in told]
    assert over == [False, False, True, True]


def test_limits_of_the_owner_are_told_row_by_row():
    project = PROJECT.replace("[criteria]", "[criteria.limits]\nX\n[criteria]").replace(
        "X", 'minimum_soil_unit_weight = "115 pcf"'
    )
    rows = [GOOD, GOOD | {"soil_unit_weight [pcf]": "110"}]
    out = sized(pl.DataFrame(rows), project=project)
    assert [message is not None for message in out["message"]] == [False, True]
    assert "under the owner's limit" in out["message"][1]


def test_ovality_left_out_takes_the_owners_floor():
    rows = [GOOD | {"ovality [%]": None}, GOOD | {"ovality [%]": "1"}]
    out = sized(pl.DataFrame(rows, schema=dict.fromkeys(GOOD, pl.String)))
    assert out["required_thickness [mm]"][0] == out["required_thickness [mm]"][1]


def test_what_defaults_matter_is_counted():
    read = parse(PROJECT.encode())
    frame = pl.DataFrame([GOOD | {"ovality [%]": None}] * 5, schema=dict.fromkeys(GOOD, pl.String))
    result = Sizer(read_header(frame.columns, "t"), read, "US").size(frame, {}, sampled=True)
    assert result.defaults["ovality of the host pipe: 1 % (owner's minimum)"] == 5
    assert result.defaults["Poisson's ratio: 0.3 (default)"] == 5
    assert result.defaults["edition: F1216-07b (default)"] == 5
    assert set(result.changed) <= set(result.defaults)
    step = "thickness increment: 1.5 mm (default)"
    assert result.defaults[step] == 5
    assert step not in result.changed


def test_a_resin_whose_name_reads_like_an_owners_is_no_default():
    read = parse(PROJECT.replace('"Felt A"', '"owner\'s felt"').encode())
    frame = pl.DataFrame([GOOD | {"resin": "owner's felt"}])
    result = Sizer(read_header(frame.columns, "t"), read, "US").size(frame, {})
    assert not [text for text in result.defaults if text.startswith("flexural_modulus")]


@pytest.mark.parametrize(
    ("headers", "words"),
    [
        (["condition", "host_diameter"], '"host_diameter [in]"'),
        (["condition", "host_diameter [in]", "cover"], '"cover [ft]"'),
        (["condition", "host_diameter [in]", "live_load"], "live_load ["),
        (["condition", "host_diameter [psi]"], "[psi]: not a unit of length"),
        (["condition", "host_diameter [cubits]"], "[cubits]: not a unit of length"),
        (["condition [in]", "host_diameter [in]"], "remove it"),
        (["host_diameter [in]"], '"condition"'),
        (["condition", "host_diamter [in]"], '"host_diameter [in]"'),
        (
            ["condition", "host_diameter [in]", "host_diameter [mm]"],
            "several columns of host",
        ),
        (["condition", "host_diameter [in]", "a", "a"], "used twice"),
        (["condition", "host_diameter [in]", "status"], "column of the result"),
    ],
)
def test_headers_that_are_refused(headers, words):
    with pytest.raises(InputFaults) as found:
        read_header(headers, "in.csv")
    assert words in str(found.value)


def test_all_faults_of_a_header_at_once():
    with pytest.raises(InputFaults) as found:
        read_header(["host_diameter", "cover [psi]", "status"], "in.csv")
    assert len(found.value.faults) == 4


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("ovalty [%]", "ovality [%]"),
        ("Safety Factor", "safety_factor"),
        ("modulus_retension [%]", "modulus_retention [%]"),
        ("creep_factor", "modulus_retention [%]"),
        ("Dia_mm", "host_diameter [mm]"),
        ("SF", "safety_factor"),
        ("GW_ft", "groundwater_above_invert [ft]"),
        ("water level [ft]", "groundwater_elevation [ft]"),
        ("vac [psi]", "vacuum [psi]"),
        ("poisson", "poisson_ratio"),
        ("Dia_inch", "host_diameter [in]"),
        ("Dia_psi", "host_diameter [in]"),
        ("Depth [ft]", "cover [ft]"),
        ("long term modulus retention [%]", "modulus_retention [%]"),
        ("minimum thickness", "minimum_thickness [mm]"),
    ],
)
def test_a_name_close_to_a_key_is_an_error_before_the_first_row(name, meant):
    with pytest.raises(InputFaults, match=re.escape(f'rename it to "{meant}"')):
        read_header([*GOOD, name], "t")


def test_units_proposed_are_those_of_the_project():
    with pytest.raises(InputFaults) as refused:
        read_header(["condition", "diameter", "cover"], "t", system="SI")
    said = " ".join(map(str, refused.value.faults))
    assert all(each in said for each in ('to "host_diameter [mm]"', '"cover [m]"'))


@pytest.mark.parametrize("name", ["price", "evidence", "Dry Case", "thicknesses"])
def test_a_key_that_no_cell_can_hold_is_an_error(name):
    with pytest.raises(InputFaults, match="cannot be given in a column"):
        read_header([*GOOD, name], "t")


def test_other_names_pass_through():
    names = ("street", "asset", "zone", "surveyed", "material", "year laid", "remarks", "id", "E1")
    assert read_header([*GOOD, *names], "t").passing == names
