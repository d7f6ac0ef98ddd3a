"""Rows of an inventory with the size of their tube, against `size` of each row as a pipe."""

import csv
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from linerdesign.interface import read, size
from linerdesign.tasks.batch.tubes import Tubes

FELT = {
    "name": "felt",
    "flexural_modulus": "250000 psi",
    "flexural_strength": "4500 psi",
    "maximum_stretch": "45 %",
}
PROJECT = """
[project]
title = "Harrowmere"
[criteria]
minimum_thickness = "3 mm"
[[resin]]
name = "felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
maximum_stretch = "45 %"
density = "1150 kg/m^3"
"""
HEADS = (
    "name,condition,host_diameter [in],ovality [%],groundwater_above_invert [ft],"
    "tube_diameter [in],tube_thickness [mm]"
)


def batch(run, rows, heads=HEADS):
    Path("p.toml").write_text(PROJECT, encoding="utf-8")
    Path("in.csv").write_text("\n".join((heads, *rows)), encoding="utf-8")
    code, out, err = run("batch", "in.csv", "--project", "p.toml", "-o", "out.csv")
    made = list(csv.DictReader(Path("out.csv").read_text(encoding="utf-8").splitlines()))
    return code, out + err, made


def test_each_row_has_the_verdict_of_the_pipe_by_itself(run):
    random, rows, pipes = np.random.default_rng(4), [], []
    for number in range(60):
        host = round(random.uniform(3.5, 9), 3)
        tube = round(host * random.uniform(0.6, 1.05), 3) if random.random() < 0.8 else ""
        wall = round(random.uniform(1.5, 8), 3) if random.random() < 0.7 else ""
        rows.append(f"P{number},partially deteriorated,{host},2,8,{tube},{wall}")
        pipes.append(
            {
                "name": f"P{number}",
                "condition": "partially deteriorated",
                "host_diameter": f"{host} in",
                "ovality": "2 %",
                "groundwater_above_invert": "8 ft",
            }
            | ({"tube_diameter": f"{tube} in"} if tube else {})
            | ({"tube_thickness": f"{wall} mm"} if wall else {})
        )
    _, _, made = batch(run, rows)
    alone = {
        "project": {"title": "x"},
        "criteria": {"minimum_thickness": "3 mm"},
        "resin": [FELT],
        "pipe": pipes,
    }
    statuses = [each.status for each in size(read(alone)).pipes]
    assert [row["status"] for row in made] == statuses
    assert {"sized", "fails"} == set(statuses)


def test_mass_is_that_of_the_tube(run):
    """pi (4 in - 6 mm) 6 mm times 1150 kg/m3, for 10 m: 20.7 kg, 46 lb."""
    _, out, _ = batch(run, ["A,partially deteriorated,5,2,8,4,6,10"], f"{HEADS},length [m]")
    mass = np.pi * (101.6 - 6) * 6 / 1e6 * 1150 * 10 / 0.45359237
    assert f"mass of their walls: {mass:.0f} lb" in out


def test_a_tube_without_a_bore_is_an_error(run):
    rows = ["A,partially deteriorated,6,2,8,1,13", "B,partially deteriorated,6,2,8,6,6"]
    code, _, (row, _) = batch(run, rows)
    assert code == 1
    assert (row["status"], row["nominal_thickness [mm]"]) == ("error", "")
    assert "leaves no bore" in row["message"]


def test_columns_of_legs_are_named_as_not_read(run):
    _, out, _ = batch(run, ["A,partially deteriorated,6,2,8,6,6,45"], f"{HEADS},bend [deg]")
    assert "size a line of several legs in a project file" in out


def tubes(*rows):
    """Tubes of (diameter, thickness, host)."""
    return Tubes(*np.array(rows, float).T)


def test_walls_of_stretched_tubes_keep_their_section():
    """A 6 mm wall of a 75 mm tube in a 100 mm host: t (100 - t) = 6 * 69 = 414, t = 4.3273.

    Up to half a percent more than the tube stretches nothing, nor does a host that folds it. A wall
    of half the tube leaves no bore.
    """
    found = tubes((75, 6, 100), (200, 6, 200.9), (200, 6, 201.001), (200, 6, 150), (10, 5, 100))
    thin, same, hair, folded, _ = found.delivered
    assert thin * (100 - thin) == pytest.approx(414)
    assert thin == pytest.approx(4.3273, abs=5e-5)
    assert (same, folded) == (6, 6)
    assert hair * (201.001 - hair) == pytest.approx(6 * 194)
    assert found.no_bore.tolist() == [False, False, False, False, True]
    assert tubes((10, 4.99, 10)).no_bore.tolist() == [False]
    assert found.short(np.array([4.32, 6.0, 6.0, 6.01, 0.1])).tolist() == [
        *(False, False, True, True),
        False,
    ]


@pytest.mark.parametrize(
    ("most", "beyond"),
    [
        # From 75 mm to 100 mm is a third more, from 200 mm to 202 mm a hundredth.
        (33.3, [True, False, False]),
        (33.4, [False, False, False]),
        (0.99, [True, True, False]),
        # What differs by half a percent counts as of one diameter, whatever is allowed.
        (0.0, [True, True, False]),
        (None, [False, False, False]),
    ],
)
def test_a_stretch_is_beyond_what_the_data_of_the_system_allow(most, beyond):
    resin = SimpleNamespace(maximum_stretch=most if most is None else SimpleNamespace(number=most))
    found = tubes((75, 6, 100), (200, 6, 202), (200, 6, 201))
    assert found.beyond(resin).tolist() == beyond
