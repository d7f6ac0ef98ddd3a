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
