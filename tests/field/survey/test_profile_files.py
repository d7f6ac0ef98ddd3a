"""Profile files, plain and hostile."""

import numpy as np
import pytest

from linerdesign.field.survey.reading import read_profile
from linerdesign.project.faults import InputFaults

CIRCLE = "".join(f"{angle},100\n" for angle in range(0, 360, 10))


def read(tmp_path, content):
    path = tmp_path / "mill_lane.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_profile(path)


def faults(tmp_path, content):
    with pytest.raises(InputFaults) as refused:
        read(tmp_path, content)
    return refused.value.faults


def test_units_of_the_header_are_converted(tmp_path):
    inches = "angle [rad],radius [in]\n" + "".join(
        f"{turn:.6f},4\n" for turn in np.arange(36) * np.pi / 18
    )
    (shape,) = read(tmp_path, inches)
    assert shape.adopted.mean == pytest.approx(203.2)
    assert shape.station is None


def test_stations_in_any_order_and_hand_diameters(tmp_path):
    shapes = read(tmp_path, "station [ft],diameter [cm]\n10,20\n0,20.4\n10,19\n0,19.6\n")
    assert [shape.station for shape in shapes] == pytest.approx([0, 3.048])
    assert shapes[0].adopted.mean == pytest.approx(200)
    assert shapes[1].adopted.minimum == pytest.approx(190)


def test_empty_radius_is_a_gap_and_byte_order_mark_blank_lines_are_no_matter(tmp_path):
    text = "\ufeff\nAngle [deg] , Radius [mm]\r\n" + CIRCLE.replace("270,100", "270,") + "\n\n"
    (shape,) = read(tmp_path, text)
    assert shape.readings == 35
    assert shape.adopted.mean == pytest.approx(200)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("", "header line"),
        ("\n\n", "header line"),
        ("angle [deg],radius [mm]\n", "no readings"),
        (b"\x89PNG\r\n\x00\x00", "CSV text file"),
        (b"angle [deg],radius [mm]\n\xff\xfe\xfa\n", "UTF-8"),
        ("angle [deg],radius\n0,1\n", "write radius [mm]"),
        ("angle [deg],radius [psi]\n0,1\n", "unknown unit in the header"),
        ("angle [deg],radios [mm]\n0,1\n", "did you mean radius?"),
        ("angle [deg],radius [mm],radius [mm]\n0,1,1\n", "given twice"),
        ("angle [deg]\n0\n", "angle and radius, or diameter"),
        ("angle [deg],radius [mm],diameter [mm]\n0,1,2\n", "conflicting columns"),
        ("angle [deg];radius [mm]\n0;1\n", "separated by semicolons"),
        ("angle [deg],radius [mm]\n0,100,5\n", "decimals with a point"),
        ('angle [deg],radius [mm]\n0,"100,5"\n', "decimal comma"),
        ("angle [deg],radius [mm]\n0,NaN\n", "empty cell where there is no reading"),
        ("angle [deg],radius [mm]\n0,inf\n", "above 0"),
        ("angle [deg],radius [mm]\n0,1e400\n", "above 0"),
        ("angle [deg],radius [mm]\n0,-100\n", "above 0"),
        ("angle [deg],radius [mm]\n0,1_00\n", "a number"),
        ("angle [deg],radius [mm]\n0,1e9\n", "at most 10000"),
        ("angle [deg],radius [mm]\n,100\n", "a number"),
        ("angle [deg],radius [mm]\n0,100\n", "at least 8"),
        ("diameter [mm]\nwide\n", "a number"),
    ],
)
def test_hostile_files_are_refused_in_words(tmp_path, content, words):
    assert words in " ".join(str(fault) for fault in faults(tmp_path, content))


def test_every_fault_with_its_line_and_column(tmp_path):
    found = faults(tmp_path, "angle [deg],radius [mm]\n0,-1\n10,100\nx,nan\n")
    assert sorted(fault.place for fault in found) == [
        "mill_lane.csv, line 2, column radius [mm]",
        "mill_lane.csv, line 4, column angle [deg]",
        "mill_lane.csv, line 4, column radius [mm]",
    ]


def test_faults_of_a_station_name_its_lines(tmp_path):
    text = "station [m],angle [deg],radius [mm]\n" + "".join(
        f"0,{line}\n" for line in CIRCLE.split()
    )
    found = faults(tmp_path, text + "5,0,100\n5,10,100\n")
    assert [fault.place for fault in found] == ["mill_lane.csv, lines 38 to 39, station 5"]


def test_a_missing_file_and_a_directory(tmp_path):
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(InputFaults):
            read_profile(path)


def test_a_million_bad_rows_are_listed_in_short(tmp_path):
    found = faults(tmp_path, "diameter [mm]\n" + "x\n" * 1_000_000)
    assert len(found) == 201
    assert "999,800" in str(found[-1])


def test_a_million_good_rows_are_read(tmp_path):
    (shape,) = read(tmp_path, "diameter [mm]\n" + "200\n204\n" * 500_000)
    assert shape.readings == 1_000_000
    assert shape.measured.mean == pytest.approx(202)


LENGTH = "mm cm m in ft"


@pytest.mark.parametrize(
    "columns",
    [{"station": "m mm km ft", "angle": "deg rad", "radius": LENGTH}, {"diameter": LENGTH}],
)
def test_an_unknown_unit_is_answered_with_those_known_the_usual_first(tmp_path, columns):
    head, row = (
        ",".join(each) for each in ((f"{name} [ell]" for name in columns), "1" * len(columns))
    )
    for fault, (name, units) in zip(
        faults(tmp_path, f"{head}\n{row}\n"), columns.items(), strict=True
    ):
        known = ", ".join(f"{name} [{unit}]" for unit in units.split())
        assert str(fault).endswith(f"; write {known}")


@pytest.mark.parametrize(
    ("unit", "size"), [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4), ("ft", 304.8)]
)
def test_diameters_and_stations_in_every_unit(tmp_path, unit, size):
    shapes = read(tmp_path, f"station [{unit}],diameter [{unit}]\n1,2\n" if unit not in ("cm", "in")
                  else f"diameter [{unit}]\n2\n")  # fmt: skip
    assert shapes[0].measured.mean == pytest.approx(2 * size)
    if unit in ("mm", "m", "ft"):
        assert shapes[0].station == pytest.approx(size / 1000)
    (km,) = read(tmp_path, "station [km],diameter [mm]\n1,200\n")
    assert km.station == pytest.approx(1000.0)


@pytest.mark.parametrize(
    ("head", "fits", "beyond"),
    [
        ("diameter [mm]", ["20000", ".001"], ["20000.1", "0"]),
        ("station [m],diameter [mm]", ["1e6,200", "-1e6,200"], ["1000001,200", "-1000001,200"]),
    ],
)
def test_largest_and_least_diameters_and_stations(tmp_path, head, fits, beyond):
    for row in fits:
        assert read(tmp_path, f"{head}\n{row}\n")
    for row in beyond:
        (fault,) = faults(tmp_path, f"{head}\n{row}\n")
        assert "line 2, column" in fault.place


@pytest.mark.parametrize(
    ("first", "refused"),
    [("-720,100", 0), ("720,100", 0), ("-720.1,100", 1), ("720.1,100", 1), ("0,10000", 0),
     ("0,10000.1", 1), ("0,0", 1)],
)  # fmt: skip
def test_largest_and_least_angles_and_radii(tmp_path, first, refused):
    """Two turns either way, and half of the largest diameter."""
    text = "angle [deg],radius [mm]\n" + first + "\n" + CIRCLE.partition("\n")[2]
    if refused:
        (fault,) = faults(tmp_path, text)
        assert fault.place.startswith("mill_lane.csv, line 2, column ")
    else:
        assert read(tmp_path, text)[0].readings == 36


def test_a_station_with_a_bad_row_has_no_further_fault(tmp_path):
    """Without it seven angles would be too few; the other station is judged by itself."""
    eight = "".join(f"{{}},{angle},100\n" for angle in range(0, 360, 45))
    first, other = (eight.replace("{}", each) for each in ("1", "2"))
    text = "station [m],angle [deg],radius [mm]\n" + other + first.replace("1,90,100", "1,90,x")
    (fault,) = faults(tmp_path, text)
    assert fault.place == "mill_lane.csv, line 12, column radius [mm]"
    both = read(tmp_path, "station [m],angle [deg],radius [mm]\n" + other + first)
    assert [(each.station, each.readings) for each in both] == [(1, 8), (2, 8)]
