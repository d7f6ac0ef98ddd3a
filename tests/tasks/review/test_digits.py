"""What the printed digits of a stated value tell: how far it is rounded, and another unit."""

import pytest
from by_hand import Inputs, project

from linerdesign.project.measures import parse
from linerdesign.project.reading import parse as read
from linerdesign.tasks.review.digits import figures, unit_meant
from linerdesign.tasks.review.submittal import decimals_of, rounding_of, submittals
from linerdesign.tasks.review.wording import percent

PIPE = Inputs(
    D=24.0, q=5.0, h_invert=10.0, E=300000.0, retention=50.0, sigma=4800.0,
    strength_retention=50.0, H=14.0, E_s=900.0, W_s=0.7,
)  # fmt: skip
THIRTY_SECOND = 1 / 32


@pytest.mark.parametrize(
    ("text", "kind", "half"),
    [
        ("12 ft", "cover", 0.5),
        ("12.5 ft", "cover", 0.05),
        ("12.50 ft", "cover", 0.005),
        ("1,250.5 ft", "length", 0.05),
        ("1 250.5 m", "length", 0.05),
        ("1,250 ft", "length", 0.5),
        ("2.5e5 psi", "modulus", 5000.0),
        ("25e4 psi", "modulus", 5000.0),
        ("1.2E-1 MPa", "load", 0.005),
        # Half an inch of feet with inches, a thirty-second of an inch of a fraction.
        ("9'-6\"", "cover", 0.5 / 12),
        ("9 ft 6 in", "cover", 0.5 / 12),
        ("9'", "cover", 0.5 / 12),
        ("6 1/2 in", "section", THIRTY_SECOND),
        ("3/8 in", "section", THIRTY_SECOND),
        ("9'-6 3/4\"", "cover", THIRTY_SECOND / 12),
    ],
)
def test_half_of_the_last_printed_digit(text, kind, half):
    assert rounding_of(parse(text, kind)) == pytest.approx(half, rel=1e-9)


def test_decimals_as_printed():
    texts = {
        "12 ft": 0,
        "12.50 ft": 2,
        ".5 ft": 1,
        "2.5e5 ft": -4,
        "2.5e-3 ft": 4,
        "1,250.25 ft": 2,
    }
    for text, decimals in texts.items():
        assert decimals_of(parse(text, "length")) == decimals, text


def item(label, text):
    steps = {label: text}
    (submittal,) = submittals(read(project(PIPE, {}, steps).encode(), "test.toml"))
    (found,) = submittal.items
    return found


@pytest.mark.parametrize(
    ("text", "half"),
    [
        # Three figures of a whole number with zeros count, or as many as are not zero.
        ("156000 psi", 500), ("156,000 psi", 500), ("150000 psi", 500), ("156200 psi", 50),
        ("156201 psi", 0.5), ("156000.0 psi", 0.05), ("160 psi", 0.5), ("16 psi", 0.5),
    ],
)  # fmt: skip
def test_zeros_at_the_end_may_be_no_figures(text, half):
    assert item("E_L", text).half == pytest.approx(half, rel=2e-6)


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("0.0053 in", 2),
        ("5.30 mm", 3),
        ("12 mm", 2),
        ("0.5 in", 1),
        (".53 in", 2),
        ("1,250.5 ft", 5),
    ],
)
def test_figures_leave_leading_zeros_out(text, count):
    assert figures(item("t X1.3", text)) == count


@pytest.mark.parametrize(
    ("label", "text", "ours", "meant"),
    [
        ("t X1.3", "0.53 mm", 0.53, "in"),
        ("t X1.3", "0.53 mm", 0.535, "in"),
        ("t X1.3", "0.53 mm", 0.536, ""),
        ("t X1.3", "12.5 in", 12.5 / 25.4, "mm"),
        ("t X1.3", "1.25 mm", 1.25 / 2.54, "cm"),
        # One figure would be anything in some unit.
        ("t X1.3", "0.5 mm", 0.5, ""),
        # In its own unit there is nothing to mistake.
        ("t X1.3", "0.53 in", 0.53, ""),
        ("q_t", "14.9 kPa", 14.9, "psi"),
        ("q_t", "2150 psi", 2150 / 144, "psf"),
        ("C", "0.64", 0.64, ""),
    ],
)
def test_the_unit_that_the_digits_would_be_ours_in(label, text, ours, meant):
    """`ours` is in inches and psi, the units of the sheet."""
    assert unit_meant(item(label, text), ours) == meant


def test_a_value_is_shown_with_one_digit_more_than_stated():
    assert item("t X1.3", "12.5 mm").shown(0.5) == "12.70 mm"
    assert item("t X1.3", "12 mm").shown(0.5) == "12.7 mm"
    assert item("E_L", "156000 psi").shown(157_250.4) == "157250 psi"
    assert item("E_L", "156 psi").shown(157.26) == "157.3 psi"
    assert item("C", "0.84").shown(0.8357) == "0.836"


def test_a_difference_has_its_sign_and_no_minus_zero():
    shares = (0.0, -0.0004, 0.0004, -0.05, 0.123, None)
    assert [percent(each) for each in shares] == [
        "+0.0 %", "+0.0 %", "+0.0 %", "-5.0 %", "+12.3 %", "-",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("inputs", "other"),
    [
        ({"groundwater_above_invert": "10 ft", "cover": "168 in"}, ()),
        ({"groundwater_above_invert": "9 ft", "cover": "14 ft"}, ("groundwater_above_invert",)),
        ({"edition": "F1216-07b"}, ()),
        ({"edition": "F1216-07a", "safety_factor": 2.0}, ("edition",)),
        # By another datum: what is not compared counts as different.
        ({"groundwater_above_crown": "8 ft"}, ("groundwater_above_crown",)),
    ],
)
def test_inputs_that_a_submittal_takes_otherwise(inputs, other):
    lines = [f"{key} = {value!r}\n".replace("'", '"') for key, value in inputs.items()]
    text = project(PIPE, {"thickness": "13.5 mm"}) + "[pipe.stated.inputs]\n" + "".join(lines)
    (submittal,) = submittals(read(text.encode(), "test.toml"))
    assert submittal.other_inputs == other
