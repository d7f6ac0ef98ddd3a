"""Every range of validity holds at its border and is left a millionth beyond it.

The borders are typed from the published scope or the table's own ends, not read from the package.
"""

import pytest

from linerdesign.expressions import tree
from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.equation import Severity

CAUTION, OUTSIDE = Severity.CAUTION, Severity.OUTSIDE
LEAST, MOST = -1, 1
FACTOR = ("N", 2, LEAST, CAUTION)
SIDES = {"US": (("D", 4, LEAST), ("D", 108, MOST)), "SI": (("D", 100, LEAST), ("D", 2743.2, MOST))}
BORDERS = {
    **{
        ("EL", system): [("r_E", 50, MOST, CAUTION), ("E", *low), ("E", *high)]
        for system, low, high in (
            ("US", (100_000, LEAST, CAUTION), (2_200_000, MOST, CAUTION)),
            ("SI", (690, LEAST, CAUTION), (15_000, MOST, CAUTION)),
        )
    },
    # A factor of ten under and over what resins have; 13.8 MPa is 2,000 psi, 345 MPa 50,000 psi.
    **{
        ("sigma L", system): [("r_sigma", 50, MOST, CAUTION), ("sigma", *low), ("sigma", *high)]
        for system, low, high in (
            ("US", (2000, LEAST, CAUTION), (50_000, MOST, CAUTION)),
            ("SI", (13.8, LEAST, CAUTION), (345, MOST, CAUTION)),
        )
    },
    ("sigma TL", None): [("r_T", 50, MOST, CAUTION)],
    ("P", "US"): [("h_invert", 20, MOST, CAUTION)],  # 16 ft over a pipe of 48 in
    ("P", "SI"): [("h_invert", 6, MOST, CAUTION)],  # 4.8 m over a pipe of 1200 mm
    ("Rw", None): [("H_w", 16, MOST, CAUTION)],
    # 10 %: F1216 X1.2.1, from memory
    ("q design", None): [("q_pipe", 0.2, LEAST, CAUTION), ("q", 10, MOST, OUTSIDE)],
    # Ranges of the trade, no source; 3,000 psi is the largest modulus of Howard's table, 50 psi
    # its least and that of the softest native soil.
    ("qt", "US"): [
        ("w", 80, LEAST, CAUTION),
        ("w", 150, MOST, CAUTION),
        ("E_s", 3000, MOST, CAUTION),
        ("E_s", 50, LEAST, CAUTION),
    ],
    ("qt", "SI"): [
        ("w", 12.5, LEAST, CAUTION),
        ("w", 23.6, MOST, CAUTION),
        ("E_s", 20.7, MOST, CAUTION),
        ("E_s", 0.34, LEAST, CAUTION),
    ],
    # One diameter of 48 in or 1200 mm; over 100 ft or 30 m a unit is wrong more often than not.
    ("B'", "US"): [("H", 4, LEAST, CAUTION), ("H", 100, MOST, CAUTION)],
    ("B'", "SI"): [("H", 1.2, LEAST, CAUTION), ("H", 30, MOST, CAUTION)],
    ("qt with vacuum", "US"): [("H", 4, LEAST, CAUTION)],  # common practice, no source
    ("qt with vacuum", "SI"): [("H", 1.2, LEAST, CAUTION)],
    **{
        ("DR", system): [
            ("DR", 100, MOST, CAUTION),
            *((*side, CAUTION) for side in sides),
        ]
        for system, sides in SIDES.items()
    },
    ("X1.1", None): [FACTOR, ("K", 7, MOST, CAUTION)],
    **{(number, None): [FACTOR] for number in ("X1.2", "X1.3", "X1.6", "X1.7")},
    ("pressure", None): [("t", 1, LEAST, CAUTION)],
    # Najafi 2010, table 2.14: 0.009 to 0.012 of liners, 0.013 to 0.030 of hosts
    ("capacity", None): [
        *(("n_liner", 0.009, LEAST, CAUTION), ("n_liner", 0.012, MOST, CAUTION)),
        *(("n_host", 0.013, LEAST, CAUTION), ("n_host", 0.030, MOST, CAUTION)),
    ],
    # 5 to 10 %: section 7.2 of F1216 as a supplier quotes it
    ("resin volume", None): [("x_resin", 5, LEAST, CAUTION), ("x_resin", 10, MOST, CAUTION)],
    ("HL-93 width", None): [("H_ft", 2, LEAST, OUTSIDE)],
    ("1.75 H side", None): [("H_ft", 2, LEAST, OUTSIDE)],
    **{
        (number, None): [("H_ft", low, LEAST, OUTSIDE)]
        for number, low in (
            ("H-20 table", 1),
            ("H-20 table in psf", 1),
            ("H-25 table in psf", 1),
            ("E-80 table", 2),
            ("E-80 table in psf", 2),
        )
    },
    # No rule holds beyond the airport column; beyond the others the load is neglected.
    ("airport table", None): [("H_ft", 2, LEAST, OUTSIDE), ("H_ft", 24, MOST, OUTSIDE)],
    ("E's by depth", None): [("H_ft", 20, MOST, OUTSIDE)],
    ("Sc 1996", None): [("r_n", 0.1, LEAST, OUTSIDE), ("r_B", 1.5, LEAST, OUTSIDE)],
    ("Sc 2005", None): [("r_n", 0.005, LEAST, OUTSIDE), ("r_B", 1.25, LEAST, OUTSIDE)],
}
INSIDE = {"pressure": {"t_pressure": 1}}
DIAMETER = {"US": 48, "SI": 1200}
COVER = {"US": 16, "SI": 4.8}
# These rooms have their own tests.
ELSEWHERE = ("t least", "D790", "lobe opening")
# Borders that a table or a conversion of units sets count as reached within a billionth.
CONVERTED = ("pressure", "table", "E's by depth", "Sc", "Rw")
RANGED = [each for each in catalogue() if each.limits and not each.number.startswith(ELSEWHERE)]


def _systems(equation):
    """The unit systems that borders of the equation are in; one without any has one set."""
    if equation.system or not any(limit.system for limit in equation.limits):
        return (equation.system,)
    return ("US", "SI")


CASES = [(each, system) for each in RANGED for system in _systems(each)]


def _left(equation, system, values):
    """The limits that these values do not meet; those of other quantities are not asked."""
    return [
        limit
        for limit in equation.limits_in(system)
        if set(limit.holds.arguments) <= values.keys()
        and not tree.evaluate(limit.holds.tree, values)
    ]


@pytest.mark.parametrize(
    ("equation", "system"), CASES, ids=lambda each: getattr(each, "number", each)
)
def test_borders(equation, system):
    borders = BORDERS[equation.number, system]
    # Flagged by two quantities: test_said_of_the_wall.py; and the bore, below.
    apart = ("f1216.dry_wall", "f1216.low_long_term_factor", "f1216.no_bore")
    limits = [each for each in equation.limits_in(system) if each.code not in apart]
    assert len(limits) == len(borders)
    given = INSIDE.get(equation.number, {})
    if equation.number == "B'":
        given = {"D": DIAMETER[equation.system]}
    if equation.number == "Rw":
        given = {"H": 16}
    if equation.number == "P":
        given = {"D": DIAMETER[equation.system], "H": COVER[equation.system]}
    found = []
    for key, border, side, severity in borders:
        assert not _left(equation, system, given | {key: border})
        (left,) = _left(equation, system, given | {key: border * (1 + side * 1e-6)})
        assert left.severity is severity
        found.append(left)
        if any(word in equation.number for word in CONVERTED):
            assert not _left(equation, system, given | {key: border * (1 + side * 0.5e-9)})
    # They are named in this order, the lower border of a quantity before the upper.
    assert found == limits


@pytest.mark.parametrize(("DR", "bore"), [(1.9, 0), (2.0, 0), (2 * (1 + 5e-10), 0), (2.000002, 1)])
def test_two_walls_of_half_the_diameter_leave_no_bore(DR, bore):
    """Geometry: D - 2 t is more than nothing where D/t is more than 2, by more than a billionth."""
    (of,) = (each for each in catalogue() if each.number == "DR")
    left = _left(of, "US", {"DR": DR})
    assert [each.code for each in left] == ([] if bore else ["f1216.no_bore"])
    assert all(each.severity is OUTSIDE for each in left)


def test_the_span_of_a_bending_test_is_sixteen_depths_give_or_take_one():
    """ASTM D790, from memory; a specimen 4 mm deep on 60, 64 and 68 mm."""
    of = [each for each in catalogue() if each.number.startswith("D790")]
    assert len(of) == 3
    for each in of:
        for span in (60.0, 64.0, 68.0):
            assert not _left(each, None, {"L_b": span, "d_b": 4.0})
        for span in (59.9, 68.1, 4 / 16):
            (left,) = _left(each, None, {"L_b": span, "d_b": 4.0})
            assert left.severity is CAUTION


def test_every_border_belongs_to_an_equation():
    assert {(each.number, system) for each, system in CASES} == BORDERS.keys()


def test_evidence_waives_only_what_it_is_about():
    """Decided in the table of limits: creep tests waive retentions, the owner's tests waive K."""
    waived = {
        (each.number, limit.waived_by)
        for each in RANGED
        for limit in each.limits
        if limit.waived_by
    }
    by_creep = {(number, "evidence") for number in ("EL", "sigma L", "sigma TL")}
    assert waived == by_creep | {("X1.1", "enhancement_evidence")}


def test_both_editions_of_an_equation_have_the_same_ranges():
    """What a range is about, a factor or a size, is the same in every edition."""
    forms = {}
    for each in catalogue():
        said = {(limit.text, limit.severity) for limit in each.limits}
        forms.setdefault((each.number, each.system), []).append(said)
    assert any(len(several) > 1 for several in forms.values())
    for number, several in forms.items():
        assert all(said == several[0] for said in several), number
