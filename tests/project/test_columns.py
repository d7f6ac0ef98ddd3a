"""Headings of an inventory: which key each is, in which unit, and what is wrong with the others."""

import pytest

from linerdesign.project.columns import ADDED, Column, Header, read_header
from linerdesign.project.faults import InputFaults
from linerdesign.project.measures import KINDS
from linerdesign.project.naming import Naming

NEEDED = ("condition", "host_diameter [in]")


def header(*headings, **more):
    """The header of these columns beside those that every inventory needs."""
    return read_header((*NEEDED, *headings), "a.csv", **more)


def faults(*headings, needed=NEEDED, **more):
    """The faults, each as printed, and what is left of the header."""
    with pytest.raises(InputFaults) as found:
        read_header((*needed, *headings), "a.csv", **more)
    return [str(each) for each in found.value.faults], found.value.left()


def test_a_heading_is_a_key_with_its_unit():
    found = header(
        "asset", "name", "Cover [ ft ]", "live_load [psi]", "safety_factor", "groundwater",
        "poisson_ratio", "flexural_modulus [ksi]", "station",
    )  # fmt: skip
    assert [(each.header, each.key, each.unit) for each in found.measured] == [
        ("host_diameter [in]", "host_diameter", "in"), ("Cover [ ft ]", "cover", "ft"),
        ("live_load [psi]", "live_load", "psi"), ("safety_factor", "safety_factor", ""),
        ("poisson_ratio", "poisson_ratio", ""),
        ("flexural_modulus [ksi]", "flexural_modulus", "ksi"),
    ]  # fmt: skip
    assert [each.key for each in found.words] == ["condition", "name", "groundwater"]
    assert found.passing == ("asset", "station")
    assert (found.hints, found.earlier, found.unread) == ((), False, ())
    assert found.column_of("cover").header == "Cover [ ft ]"
    assert found.column_of("ovality") is None


def test_a_column_knows_its_table_and_what_it_holds():
    load, name, modulus = (Column("x", key) for key in ("live_load", "name", "flexural_modulus"))
    assert [each.table for each in (load, name, modulus)] == ["pipe", "pipe", "resin"]
    assert Column("x", "safety_factor").table == "criteria"
    assert [each.measured for each in (load, name, modulus)] == [True, False, True]
    assert [each.also_words for each in (load, name, modulus)] == [True, False, True]
    assert not Column("x", "cover").also_words
    assert Column("x", "soil_reaction_modulus").about is KINDS["soil modulus"]
    assert load.place == 'column "x"'


@pytest.mark.parametrize(
    ("heading", "said"),
    [
        ("cover", ': no unit; write it in brackets, such as "cover [ft]"'),
        ("cover [psi]", ' [psi]: not a unit of depth; write for example "cover [ft]"'),
        ("cover [1/0]", ' [1/0]: not a unit of depth; write for example "cover [ft]"'),
        ("safety_factor [in]", ": unit for safety_factor, which takes none; remove it"),
        ("name [in]", ": unit for name, which takes none; remove it"),
        ("dry_case", ": key dry_case cannot be given in a column; give it in the project file or "
         "rename"),
        ("Dry Case", ": key dry_case cannot be given in a column; give it in the project file or "
         "rename"),
        ("minimum_live_load [psi]", ": key minimum_live_load cannot be given in a column; give it "
         "in the project file or rename"),
        ("status", ": name of a column of the result, without the others; rename it"),
    ],
)  # fmt: skip
def test_a_heading_that_no_cell_could_be_read_under_is_at_fault(heading, said):
    (found,), left = faults(heading)
    assert found == f'a.csv, column "{heading}"{said}'
    key = heading.partition(" [")[0]
    wrong_unit = "unit" in said
    assert [each.key for each in left.unread] == ([key] if wrong_unit else [])
    assert [each.key for each in left.measured] == ["host_diameter"]
    assert [each.key for each in left.words] == ["condition"]


NEAR = 'not a key; rename it to "{}" if that is meant; if not, rename it to something'


@pytest.mark.parametrize(
    ("heading", "system", "meant"),
    [
        # Words of the trade and their unit as people write it behind the name.
        ("Depth", "US", "cover [ft]"),
        ("Depth", "SI", "cover [m]"),
        ("depth_m", "US", "cover [m]"),
        ("depth_inch", "US", "cover [in]"),
        ("Dia_mm", "US", "host_diameter [mm]"),
        ("Dia", "SI", "host_diameter [mm]"),
        ("soil_modulus_kpa", "US", "soil_reaction_modulus [kPa]"),
        ("soil_modulus", "SI", "soil_reaction_modulus [MPa]"),
        ("unit_weight", "SI", "soil_unit_weight [kN/m^3]"),
        ("ovality_pct", "US", "ovality [%]"),
        ("ovalty_percent", "US", "ovality [%]"),
        # A unit of another quantity gives way to the usual one.
        ("depth_psi", "US", "cover [ft]"),
        ("depth [psi]", "US", "cover [ft]"),
        ("depth [in]", "US", "cover [in]"),
        ("system", "US", "resin"),
        ("sf", "US", "safety_factor"),
        # Slips of the pen: closer where no unit tells that a quantity is meant.
        ("condtion", "US", "condition"),
        ("ovalitty [%]", "US", "ovality [%]"),
        ("ovxlt [%]", "US", "ovality [%]"),
        ("host diametre [in]", "US", "host_diameter [in]"),
        # Three of five letters on both sides, and four without a unit, are just enough.
        ("coxxr [ft]", "US", "cover [ft]"),
        ("covex", "US", "cover [ft]"),
    ],
)
def test_a_heading_close_to_a_key_is_told_the_key_it_should_be(heading, system, meant):
    needed = tuple(each for each in NEEDED if each.partition(" ")[0] != meant.partition(" ")[0])
    said, left = faults(heading, needed=needed, system=system)
    (near,) = (each for each in said if "not a key" in each)
    assert near.startswith(f'a.csv, column "{heading}": {NEAR.format(meant)}')
    assert meant.partition(" ")[0] in {each.key for each in left.unread}
    assert heading in {each.header for each in left.unread}


@pytest.mark.parametrize(
    "heading", ["asset", "street", "age", "material", "covr", "dept", "ovxlt", "remarks [in]"]
)
def test_other_headings_pass_through(heading):
    """Four letters are too few to tell a slip; without a unit only a close name is one."""
    found = header(heading)
    assert found.passing == (heading,)
    assert found.hints == ()


def test_what_looks_like_another_pipe_passes_with_a_hint():
    found = header("shape", "bend [deg]")
    assert len(found.hints) == 2
    assert found.hints[0].startswith('column "shape" passes through unread')
    assert found.hints[1].startswith('column "bend [deg]": a row is one leg')
    assert found.passing == ("shape", "bend [deg]")


def test_columns_that_every_inventory_needs():
    said, left = faults("cover [ft]", needed=())
    assert said == [
        'a.csv: missing column "condition"; add it to the header',
        'a.csv: missing column "host_diameter [in]"; add it to the header',
    ]
    assert [(each.header, each.key) for each in left.unread] == [
        ("", "condition"), ("", "host_diameter"),
    ]  # fmt: skip
    said, _ = faults(needed=("condition",), system="SI")
    assert said == ['a.csv: missing column "host_diameter [mm]"; add it to the header']


def test_a_column_or_a_key_twice_is_told_where_the_last_stands():
    said, left = faults(
        "x", "cover [ft]", "x", "Cover [m]", "x", cells=[f"{c}1" for c in "ABCDEFG"]
    )
    assert said == [
        'G1, column "x": column name used twice; rename one',
        'a.csv "cover [ft]" and "Cover [m]": several columns of cover; keep one',
    ]
    assert [each.header for each in left.unread] == ["cover [ft]", "Cover [m]"]
    # The same heading twice is one fault.
    said, left = faults("cover [ft]", "cover [ft]")
    assert said == ['a.csv, column "cover [ft]": column name used twice; rename one']
    assert [each.key for each in left.unread] == ["cover", "cover"]


def test_columns_of_an_earlier_result_are_replaced():
    found = header("asset", *ADDED)
    assert found.earlier
    assert found.passing == ("asset",)
    said, left = faults(*ADDED, needed=())
    assert left.earlier
    assert len(said) == 2
    assert all("missing column" in each for each in said)
    said, left = faults(*ADDED[:2])
    assert len(said) == 2
    assert not left.earlier


def test_a_mapping_file_names_columns_of_its_own():
    naming = Naming({"D": "host_diameter [mm]", "Zustand": "condition", "depth": ""}, {}, "m.toml")
    found = read_header(("D", "Zustand", "depth", "x"), "a.csv", naming)
    assert [(each.header, each.key, each.unit) for each in found.measured] == [
        ("D", "host_diameter", "mm")
    ]
    assert [(each.header, each.key) for each in found.words] == [("Zustand", "condition")]
    assert (found.passing, found.naming) == (("depth", "x"), naming)
    with pytest.raises(InputFaults) as refused:
        read_header(("D", "Zustand"), "a.csv", naming)
    assert [str(each) for each in refused.value.faults] == [
        'm.toml, [columns] "depth": no such column; the table has "D", "Zustand"'
    ]
    many = [f"c{n}" for n in range(19)]
    said, _ = faults(*many, naming=Naming({"z": "cover [ft]"}, {}, "m.toml"))
    assert said[0].endswith('"c16", "c17"')
    naming = Naming({"x": "colour", "y": "ovalty", "z": "hst_dimetr"}, {}, "m.toml")
    said, _ = faults("x", "y", "z", naming=naming)
    assert said[0] == (
        'a.csv, column "x" "colour": not a key of an inventory; correct the mapping file'
    )
    # A name of the mapping file is meant for a key, so that less of it suffices.
    assert [NEAR.format(meant) in each for meant, each in zip(
        ("ovality [%]", "host_diameter [in]"), said[1:], strict=True)] == [True, True]  # fmt: skip


def test_a_column_is_found_by_its_heading_or_its_key():
    found = header("Cover [ft]", "asset")
    assert found.header_of("cover", "--by") == "Cover [ft]"
    assert found.header_of("asset", "--by") == "asset"
    # A heading that is the name of a key elsewhere is that column.
    both = Header(("cover", "depth"), (Column("depth", "cover", "ft"),), ())
    assert both.header_of("cover", "--by") == "cover"
    with pytest.raises(InputFaults) as refused:
        found.header_of("street", "--by")
    assert [str(each) for each in refused.value.faults] == [
        '--by "street": no such column; the table has "condition", "host_diameter [in]", '
        '"Cover [ft]", "asset"'
    ]
