"""Units, borders and places of a laboratory's files, and of reduced tests, by hand."""

import numpy as np
import pytest

from linerdesign.field.laboratory.bending import BendingRecord, reduce_bending, reduce_set
from linerdesign.field.laboratory.creep import (
    CreepReadings,
    CreepSettings,
    fit_creep,
)
from linerdesign.field.laboratory.reading import read_bending, read_creep, read_samples
from linerdesign.field.laboratory.samples import summarise
from linerdesign.project.faults import InputFaults

PSI = 145.0377377  # to the MPa, NIST SP 811, appendix B


@pytest.fixture
def read(tmp_path):
    def read(reader, text):
        path = tmp_path / "tanner_row.csv"
        path.write_text(text)
        return reader(path)

    return read


@pytest.fixture
def refused(read):
    def refused(reader, text):
        with pytest.raises(InputFaults) as found:
            read(reader, text)
        return [str(each) for each in found.value.faults]

    return refused


def test_units_of_time_stress_and_strain(read):
    for unit, hours in (("h", 1), ("min", 1 / 60), ("s", 1 / 3600), ("d", 24)):
        (found,) = read(read_creep, f"time [{unit}],modulus [psi]\n2,300\n")
        assert found.time == pytest.approx([2 * hours])
        (found,) = read(read_creep, f"time to failure [{unit}],stress [psi]\n2,300\n")
        assert found.time == pytest.approx([2 * hours])
    stresses = {"psi": 1, "ksi": 1000, "kPa": PSI / 1000, "MPa": PSI, "GPa": 1000 * PSI}
    for unit, psi in stresses.items():
        (found,) = read(read_creep, f"time [h],modulus [{unit}]\n1,300\n")
        assert found.modulus == pytest.approx([300 * psi])
    strains = {"%": 1, "mm/mm": 100, "in/in": 100, "-": 100, "microstrain": 1e-4}
    for unit, percent in strains.items():
        (found,) = read(read_samples, f"strain [{unit}]\n0.5\n")
        assert found.strain == pytest.approx(0.5 * percent)
    assert read(read_samples, "strain\n0.02\n")[0].strain == pytest.approx(2)
    for unit, mm in (("mm", 1), ("in", 25.4), ("cm", 10)):
        (found,) = read(read_samples, f"thickness [{unit}]\n0.5\n")
        assert found.thickness == pytest.approx(0.5 * mm)


def test_a_ring_in_every_unit_is_one_ring(read):
    """10 lbf on a ring 1 ft long, 12 in wide, 0.25 in thick that gives by 0.05 in; 4.448222 N."""
    rows = {
        "lbf": (10, "in", (0.05, 12, 12, 0.25)),
        "N": (44.48222, "mm", (1.27, 304.8, 304.8, 6.35)),
        "kN": (0.04448222, "cm", (0.127, 30.48, 30.48, 0.635)),
    }
    moduli = []
    for unit, (load, length, sizes) in rows.items():
        head = f"time [h],load [{unit}]," + ",".join(
            f"{each} [{length}]" for each in ("deflection", "length", "diameter", "thickness")
        )
        (found,) = read(read_creep, f"{head}\n1,{load},{','.join(map(str, sizes))}\n")
        moduli.append(found.modulus[0])
        # I/d^3 per length, d the mean diameter: t^3/12 over 12^3.
        assert found.ring == pytest.approx(0.25**3 / 12 / 12**3)
    assert moduli == pytest.approx([moduli[0]] * 3, rel=1e-6)


@pytest.mark.parametrize(
    ("reader", "head", "row", "beyond"),
    [
        (
            read_creep,
            "time [h],modulus [psi]",
            "1e7,1e9\n.005,1",
            ("10000001,1", "1,1000000001", "1,.99"),
        ),
        (read_creep, "time to failure [h],stress [psi]", "1e7,1e9", ("10000001,1", "1,1000000001")),
        (
            read_creep,
            "time [h],stress [psi],strain [%]",
            "1,1,100\n.005,1,.005",
            ("1,1,100.1", "1,0,1", "1,1,0", "0,1,1"),
        ),
        (
            read_creep,
            "time [h],load [lbf],deflection [in],length [in],diameter [in],thickness [in]",
            "1,1e6,1,1000,1000,1\n.005,.005,.005,.009,.008,.005",
            ("1,1000001,1,1,9,1", "1,1,1,1001,9,1", "1,0,1,1,9,1", "1,1,0,1,9,1"),
        ),
        (
            read_bending,
            "load [lbf],deflection [in],span [in],width [in],depth [in]",
            "0,0,1000,1000,1000\n1e6,100,,,\n.005,.005,,,",
            ("-1,0,4,1,1", "1000001,0,4,1,1", "0,101,4,1,1", "0,-1,4,1,1", "0,0,1001,1,1"),
        ),
        (
            read_bending,
            "load [lbf],deflection [in],span [in],width [in],depth [in]",
            "0,0,.005,.005,.005",
            ("0,0,0,1,1", "0,0,1,0,1", "0,0,1,1,0"),
        ),
        (
            read_samples,
            "modulus [psi],strength [psi],tensile strength [psi],strain [%],thickness [mm]",
            "1e9,1e9,1e9,100,1000\n.005,.005,.005,.005,.005",
            (
                "1000000001,,,,",
                ",1000000001,,,",
                ",,1000000001,,",
                ",,,101,",
                ",,,,1001",
                "0,,,,",
                ",0,,,",
                ",,0,,",
                ",,,0,",
                ",,,,0",
            ),
        ),
    ],
)
def test_largest_and_least_values_of_a_file(read, refused, reader, head, row, beyond):
    assert read(reader, f"{head}\n{row}\n")
    for each in beyond:
        (said,) = refused(reader, f"{head}\n{each}\n")
        assert said.startswith("tanner_row.csv, line 2, column ")


def test_specimens_and_levels_keep_their_rows(read, refused):
    """Rows of two levels and two specimens, mixed."""
    text = (
        "load level,specimen,time [h],modulus [psi]\n"
        "low,a,1,10\nhigh,c,1,20\nlow,b,1,11\nhigh,c,2,19\nlow,a,2,9\n"
    )
    low, high = read(read_creep, text)
    assert (low.level, low.specimens, low.modulus.tolist()) == ("low", ("a", "b", "a"), [10, 11, 9])
    assert (high.level, high.specimens, high.time.tolist()) == ("high", ("c", "c"), [1, 2])
    assert (low.test, low.ring) == ("creep", None)
    head = "specimen,load [lbf],deflection [in],span [in],width [in],depth [in]\n"
    a, b = read(read_bending, head + "A,0,0,4,0.5,0.25\nB,0,0,5,0.6,0.3\nA,1,0.1,4,,\n")
    assert (a.place, b.place) == ("tanner_row.csv, line 2", "tanner_row.csv, line 3")
    assert (b.specimen, b.span, b.width, b.depth) == ("B", 5, 0.6, 0.3)
    assert a.deflection.tolist() == [0, 0.1]
    (alone,) = read(read_bending, head.removeprefix("specimen,") + "0,0,4,0.5,0.25\n")
    assert alone.specimen == ""
    assert refused(read_bending, head + "A,0,0,4,0.5,\nA,0,0,4,0.6,0.25\n") == [
        "tanner_row.csv, line 3, column width: another value for the same specimen; give one value "
        "for one specimen",
        "tanner_row.csv, line 2, column depth: empty; give a length in the first row of each "
        "specimen",
    ]
    first, second = read(read_samples, "pipe,specimen,strain [%]\nP,1,2\nQ,2,3\n")
    assert (first.place, second.place) == ("tanner_row.csv, line 2", "tanner_row.csv, line 3")
    assert (second.pipe, second.specimen, second.strain) == ("Q", "2", 3)
    faults = refused(read_samples, "thickness [mm],thickness basis\n,structural wall\n6,felt\n")
    assert [each.split(":")[0] for each in faults] == [
        "no measured value in tanner_row.csv, line 2; give one or more in each row",
        'tanner_row.csv, line 3, column thickness basis "felt"',
    ]


def test_faults_of_samples_name_each_value():
    with pytest.raises(InputFaults) as refused:
        summarise([5.0, -2.0, 3.0, np.inf], "modulus")
    assert [str(each) for each in refused.value.faults] == [
        "modulus, value 2 -2: must be finite and over zero",
        "modulus, value 4 inf: must be finite and over zero",
    ]


# Bending


def straight(count=101, strain=0.03, span=4.0, specimen="1", **more):
    """A bar 0.5 by 0.25 in, straight to this strain: D = strain L^2/(6 d)."""
    deflection = np.linspace(0, strain * span**2 / 6 / 0.25, count)
    about = {"load": 100 * deflection, "deflection": deflection} | more
    return BendingRecord(specimen, span=span, width=0.5, depth=0.25, **about)


@pytest.mark.parametrize(
    ("span", "said"), [(3.75, None), (4.25, None), (3.74, "short"), (4.26, "span")]
)
def test_a_span_of_sixteen_depths_has_its_tolerance(span, said):
    """D790: 16 to 1, one more or less."""
    found = [each for each in reduce_bending(straight(span=span)).cautions if "requires 16" in each]
    assert bool(found) == (said is not None)
    if said:
        assert f"{span / 0.25:.1f}" in found[0]


def test_cautions_of_a_curve_at_their_borders():
    """Still rising at its end, the largest load past 5 % strain, or neither."""
    rising = reduce_bending(straight())
    assert len(rising.cautions) == 1
    fallen = straight()
    load = np.append(fallen.load, 0.5 * fallen.load[-1])
    deflection = np.append(fallen.deflection, 1.001 * fallen.deflection[-1])
    done = reduce_bending(straight(load=load, deflection=deflection))
    assert done.cautions == ()
    assert done.strain_at_strength == pytest.approx(0.03)
    assert done.straightness == pytest.approx(1.0)
    past = reduce_bending(straight(strain=0.06))
    assert any("5 % strain" in each for each in past.cautions)
    assert past.strain_at_strength == pytest.approx(0.05, rel=0.02)
    at = reduce_bending(straight(count=101, strain=0.05))
    assert not any("5 % strain" in each for each in at.cautions)


def test_the_straight_part_rises_by_a_quarter_of_the_largest_load():
    """Of a load x (2 - x), steepest at first: up to x = 1 - sqrt(1 - 1/4), and the part of that
    parabola has the least-squares slope 2 - x."""
    x = np.linspace(0, 1, 4001)
    found = reduce_bending(straight(count=4001, load=40.0 * x * (2 - x)))
    end = 1 - np.sqrt(0.75)
    farthest = straight().deflection[-1]
    assert found.straight_from == 0.0
    assert found.straight_to == pytest.approx(end * farthest, rel=4e-3)
    assert found.slope == pytest.approx(40.0 * (2 - end) / farthest, rel=1e-3)
    # Of a parabola with the level -x^2 and the slope of least squares, end^2/6 is the intercept.
    assert found.toe == pytest.approx(-(end**2) / 6 / (2 - end) * farthest, rel=0.02)


def test_places_of_impossible_specimens():
    def said(*records):
        with pytest.raises(InputFaults) as refused:
            reduce_set(records)
        return [str(each) for each in refused.value.faults]

    short = straight(count=4, specimen="7")
    assert said(short)[0].startswith(
        "specimen 7: 4 loads and 4 deflections; give pairs of both, at"
    )
    uneven = straight(specimen="8", load=np.arange(6.0), deflection=np.arange(7.0))
    assert "6 loads and 7 deflections" in said(uneven)[0]
    thin = BendingRecord("", straight().load, straight().deflection, 4.0, -0.5, 0.0)
    assert [each.split(":")[0] for each in said(thin)] == [
        "specimen, width -0.5",
        "specimen, depth 0",
    ]
    assert reduce_bending(straight(count=5)).modulus > 0
    early = straight(load=np.array([0, 1, 2, 9, 3, 2.0]), deflection=np.arange(6.0))
    assert "4 readings up to the largest load; at least 5" in said(early)[0]
    assert said(*[straight(strain=0.4, deflection=straight().deflection + 1e3)] * 0) == [
        "bending: no records; give one or more"
    ]


# Creep


TIMES = np.array([1, 10, 100, 1000, 10_000.0])


def level(time=TIMES, slope=-0.03, **more):
    time = np.asarray(time, dtype=float)
    return CreepReadings("", time, 400_000 * time**slope, **more)


def cautions(data, **settings):
    found = fit_creep([data], CreepSettings(**settings)).adopted.cautions
    return {each.code.removeprefix("field."): dict(each.numbers) for each in found}


def test_cautions_of_a_creep_test_at_their_borders():
    """10,000 h are a full test and eight readings enough; two decades are the farthest."""
    assert "short_test" not in cautions(level())
    assert cautions(level([1, 10, 100, 1000, 9_999.0]))["short_test"] == {
        "last": 9999.0,
        "full": 10_000.0,
    }
    assert cautions(level())["few_readings"] == {"count": 5}
    assert "few_readings" in cautions(level(np.geomspace(1, 1e4, 7)))
    assert "few_readings" not in cautions(level(np.geomspace(1, 1e4, 8)))
    two = cautions(level(), life=1e6)
    assert two["beyond"]["decades"] == pytest.approx(2)
    assert cautions(level(), life=1.01e6)["far_beyond"]["decades"] == pytest.approx(
        2.0043, abs=1e-4
    )
    within = cautions(level(), life=10_000.0)
    assert not {"beyond", "far_beyond"} & within.keys()
    assert "rising" not in cautions(level())
    assert "rising" in cautions(level(slope=0.001))
    for later, code in ((1.0005, None), (1.002, "t0_measured"), (1.02, "t0_carried_back")):
        found = {"t0_measured", "t0_carried_back"} & cautions(level(later * TIMES)).keys()
        assert found == ({code} if code else set())


def test_a_reading_at_t0_is_within_a_hundredth_of_it():
    """The fit begins at 5 h: what was read within 1 % of t0 is the modulus there, else the line."""
    for first, measured in ((1.009, True), (1.011, False), (0.991, True), (0.989, False)):
        time = np.array([first, 10, 100, 1000, 10_000.0])
        data = CreepReadings("", time, np.append(500_000.0, 400_000 * time[1:] ** -0.03))
        fit = fit_creep([data], CreepSettings(t0=1.0, fit_from=5.0)).adopted
        assert fit.reference_measured is measured
        assert fit.reference_modulus == pytest.approx(500_000 if measured else 400_000)
        assert fit.left_out == 1
        assert fit.first == (first, 500_000.0)


def test_settings_of_a_fit_at_their_borders():
    def said(**settings):
        with pytest.raises(InputFaults) as refused:
            fit_creep([level()], CreepSettings(**settings))
        return [str(each) for each in refused.value.faults]

    assert fit_creep([level()], CreepSettings(confidence=0.5)).adopted.confidence == 0.5
    assert said(confidence=0.49)
    assert said(confidence=1.0)
    assert said(t0=0.0)
    assert said(life=1.0)
    assert fit_creep([level()], CreepSettings(life=1.1)).adopted.life_hours == 1.1
    assert len(said(t0=-1.0, confidence=2.0)) >= 2


TIME, STRESS = "h min s d", "psi ksi kPa MPa GPa"
LENGTH, STRAIN, FORCE = "in mm cm m", "% mm/mm in/in - microstrain", "lbf N kN"


@pytest.mark.parametrize(
    ("reader", "columns"),
    [
        (read_creep, {"time": TIME, "modulus": STRESS}),
        (read_creep, {"time to failure": TIME, "stress": STRESS}),
        (read_creep, {"time": TIME, "stress": STRESS, "strain": STRAIN}),
        (read_creep, {"time": TIME, "load": FORCE, "deflection": LENGTH, "length": LENGTH,
                      "diameter": LENGTH, "thickness": LENGTH}),
        (read_bending, {"load": FORCE, "deflection": LENGTH, "span": LENGTH, "width": LENGTH,
                        "depth": LENGTH}),
        (read_samples, {"modulus": STRESS, "strength": STRESS, "tensile strength": STRESS,
                        "strain": STRAIN, "thickness": "mm in cm"}),
    ],
)  # fmt: skip
def test_an_unknown_unit_is_answered_with_those_known_the_usual_first(refused, reader, columns):
    head = ",".join(f"{name} [ell]" for name in columns)
    said = refused(reader, f"{head}\n{','.join('1' for _ in columns)}\n")
    for text, (name, units) in zip(said, columns.items(), strict=True):
        assert text.endswith("; write " + ", ".join(f"{name} [{unit}]" for unit in units.split()))


def test_what_has_a_fault_is_left_out_and_the_rest_is_left(tmp_path):
    path = tmp_path / "tanner_row.csv"
    path.write_text(
        "specimen,load [lbf],deflection [in],span [in],width [in],depth [in]\n"
        "A,0,0,4,0.5,0.25\nB,0,0,5,0.6,0.3\nC,0,0,,0.6,0.3\nA,x,0.1,,,\nB,1,0.1,,,\n"
    )
    with pytest.raises(InputFaults) as found:
        read_bending(path)
    assert [each.specimen for each in found.value.left()] == ["B"]
    assert len(found.value.faults) == 2
    path.write_text("load level,time [h],modulus [psi]\nlow,1,10\nhigh,1,20\nlow,x,9\n")
    with pytest.raises(InputFaults) as found:
        read_creep(path)
    (high,) = found.value.left()
    assert (high.level, high.place) == ("high", "tanner_row.csv, line 3")
    path.write_text("specimen,strain [%]\na,2\nb,\n")
    with pytest.raises(InputFaults) as found:
        read_samples(path)
    assert [each.strain for each in found.value.left()] == [2, None]
