"""Hosts of any shape: by name and dimensions, and from a table of radii."""

import hashlib
from types import SimpleNamespace

import numpy as np
import pytest
from outlines import ellipse_radii

from linerdesign.field.survey.hosts import _periodic, host_of
from linerdesign.project.faults import InputFaults
from linerdesign.project.identity import FileRead
from linerdesign.project.measures import parse


def pipe(shape=None, width=None, height=None, corner=None, outline=""):
    given = {"width": width, "height": height, "corner_radius": corner}
    lengths = {key: text and parse(text, "length") for key, text in given.items()}
    return SimpleNamespace(name="A", shape=shape, outline=outline, **lengths)


@pytest.mark.parametrize(
    ("given", "flat", "corner", "width", "perimeter"),
    [
        # Twice the sides, less the eight corner pieces, plus a whole circle of the corners.
        (("box", "36 in", "48 in", "6 in"), 36.0, 6.0, 36.0, 2 * 84 - 48 + 12 * np.pi),
        (("box", "1200 mm", "900 mm", "100 mm"), 1000.0, 100.0, 1200.0, 3400 + 200 * np.pi),
        # A flat invert, two quarters, two sides from the corner to the spring, a half circle.
        (("arch", "1000 mm", "1200 mm", "150 mm"), 700.0, 150.0, 1000.0,
         700 + 150 * np.pi + 2 * 550 + 500 * np.pi),
        (("egg", "600 mm", "900 mm"), None, None, 600.0, None),
        (("ellipse", "600 mm", "600 mm"), None, None, 600.0, 600 * np.pi),
    ],
)  # fmt: skip
def test_a_named_host_has_its_flat_its_corners_and_its_width(
    tmp_path, given, flat, corner, width, perimeter
):
    system = "US" if given[1].endswith("in") else "SI"
    host, file = host_of(pipe(*given), system, tmp_path)
    assert file is None
    assert host.flat == (flat and pytest.approx(flat))
    assert host.corner == (corner and pytest.approx(corner))
    assert host.width == pytest.approx(width)
    assert host.outline.named == given[0]
    if perimeter:
        assert host.outline.radius * 2 * np.pi == pytest.approx(perimeter, rel=1e-6)


def test_dimensions_that_make_no_shape_are_refused_with_their_place(tmp_path):
    with pytest.raises(InputFaults) as refused:
        host_of(pipe("box", "36 in", "48 in", "18 in"), "US", tmp_path)
    assert str(refused.value) == (
        'shape "box": no such shape: the corner radius must lie between 0 and 18 ([[pipe]] "A")'
    )


@pytest.mark.parametrize(("system", "unit"), [("SI", 1.0), ("US", 25.4)])
def test_a_measured_host_is_the_ellipse_that_was_read(tmp_path, system, unit):
    """Semi-axes of 312 and 288 mm seen from a place beside the centre; area pi a b, and the
    perimeter by Ramanujan, h = ((a - b)/(a + b))^2."""
    angle, radius = ellipse_radii(300.0, 4.0, 90.0, (20.0, -15.0), 120)
    rows = [f"{a},{r:.6f}" for a, r in zip(angle, radius, strict=True)]
    content = "\n".join(["angle [deg],radius [mm]", *rows]) + "\n"
    (tmp_path / "r.csv").write_text(content)
    host, file = host_of(pipe(outline="r.csv"), system, tmp_path)
    assert file == FileRead("readings", "r.csv", hashlib.sha256(content.encode()).hexdigest())
    assert (host.flat, host.corner, host.outline.named) == (None, None, "r.csv")
    size = host.outline.radius * unit
    h = (24 / 600) ** 2
    perimeter = np.pi * 600 * (1 + 3 * h / (10 + np.sqrt(4 - 3 * h)))
    assert 2 * np.pi * size == pytest.approx(perimeter, rel=1e-4)
    assert host.width * unit == pytest.approx(576.0, rel=1e-4)
    assert host.outline.height * size == pytest.approx(624.0, rel=1e-4)
    assert host.outline.area * size**2 == pytest.approx(np.pi * 312 * 288, rel=1e-4)


def test_diameters_and_several_stations_are_no_outline(tmp_path):
    (tmp_path / "d.csv").write_text("diameter [mm]\n300\n310\n290\n300\n")
    angles = range(0, 360, 30)
    rows = [f"{place},{angle},300" for place in (0, 1) for angle in angles]
    (tmp_path / "s.csv").write_text("\n".join(["station [m],angle [deg],radius [mm]", *rows]))
    for name in ("d.csv", "s.csv"):
        with pytest.raises(InputFaults) as refused:
            host_of(pipe(outline=name), "SI", tmp_path)
        assert str(refused.value) == (
            f'outline "{name}": no outline; give one station with radii against angle '
            '([[pipe]] "A")'
        )


def test_waves_up_to_the_twenty_fourth_are_kept_and_no_other():
    """Down to 15 degrees, by the sum of the waves themselves."""
    at = np.array([0.0, 0.4, 1.9, 3.3, 6.0])

    def radius(turn):
        return 100 + 3 * np.cos(turn - 1) + 2 * np.cos(24 * turn + 0.3)

    turn = np.radians(np.arange(360.0))
    assert _periodic(radius(turn) + np.cos(25 * turn), at) == pytest.approx(radius(at))
