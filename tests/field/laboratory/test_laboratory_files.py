"""Laboratory files, plain and hostile."""

import numpy as np
import pytest

from linerdesign.field.laboratory.creep import fit_creep
from linerdesign.field.laboratory.reading import read_bending, read_creep, read_samples
from linerdesign.project.faults import InputFaults

MPA = 145.0377377  # psi, NIST SP 811, appendix B


def write(tmp_path, content):
    path = tmp_path / "tanner_row.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def refused(reader, tmp_path, content):
    with pytest.raises(InputFaults) as found:
        reader(write(tmp_path, content))
    return found.value.faults


def test_creep_by_modulus_and_by_stress_and_strain_agree(tmp_path):
    time = np.array([1, 10, 100, 1000, 10_000.0])
    modulus = 400_000 * time**-0.03
    plain = "time [h],modulus [psi]\n" + "".join(
        f"{t},{m:.8f}\n" for t, m in zip(time, modulus, strict=True)
    )
    by_strain = "time [min],stress [MPa],strain [%]\n" + "".join(
        f"{t * 60},{500 / MPA:.9f},{100 * 500 / m:.12f}\n"
        for t, m in zip(time, modulus, strict=True)
    )
    for content in (plain, by_strain):
        (data,) = read_creep(write(tmp_path, content))
        assert data.time == pytest.approx(time)
        assert data.modulus == pytest.approx(modulus, rel=1e-7)
        assert fit_creep([data]).adopted.retention == pytest.approx(438_000**-0.03, rel=1e-6)


def test_load_levels_by_label_and_by_stress(tmp_path):
    labelled = "load level,time [h],modulus [MPa]\nlow,1,2\nhigh,1,2\nlow,2,2\n"
    low, high = read_creep(write(tmp_path, labelled))
    assert (low.level, high.level) == ("low", "high")
    assert low.time.size == 2
    assert low.modulus[0] == pytest.approx(2 * MPA)
    stressed = "time [h],stress [psi],strain [in/in]\n1,500,0.002\n1,900,0.004\n2,500,0.003\n"
    levels = read_creep(write(tmp_path, stressed))
    assert [level.level for level in levels] == ["500 psi", "900 psi"]
    assert levels[0].modulus[0] == pytest.approx(250_000)


def test_bending_in_newtons_and_millimetres(tmp_path):
    text = "specimen,span [mm],width [mm],depth [mm],load [N],deflection [mm]\n"
    text += "A,101.6,12.7,6.35,0,0\n" + "".join(f"A,,,,{n},{n / 10}\n" for n in range(1, 8))
    text += "B,101.6,12.7,6.35,0,0\n"
    a, b = read_bending(write(tmp_path, text))
    assert (a.specimen, b.specimen) == ("A", "B")
    assert (a.span, a.width, a.depth) == pytest.approx((4, 0.5, 0.25))
    assert a.load[-1] == pytest.approx(7 / 4.448222)  # N to a pound-force, NIST SP 811
    assert a.deflection[-1] == pytest.approx(0.7 / 25.4)


def test_sizes_of_a_specimen_are_given_and_do_not_change(tmp_path):
    text = "specimen,span [in],width [in],depth [in],load [lbf],deflection [in]\n"
    found = refused(read_bending, tmp_path, text + "A,4,,0.25,0,0\nA,5,0.5,0.25,1,1\n")
    assert [fault.place for fault in found] == [
        "tanner_row.csv, line 3, column span",
        "tanner_row.csv, line 2, column width",
    ]


def test_samples_with_gaps_and_a_basis(tmp_path):
    text = (
        "pipe,specimen,modulus [MPa],strength [psi],thickness [in],thickness basis\n"
        "MH 4 to MH 5,1,2000,5000,,\n"
        "MH 4 to MH 5,2,,,0.25,structural wall\n"
    )
    first, second = read_samples(write(tmp_path, text))
    assert first.modulus == pytest.approx(2000 * MPA)
    assert (first.thickness, first.thickness_basis) == (None, None)
    assert second.thickness == pytest.approx(6.35)
    assert second.thickness_basis == "structural wall"
    assert (second.modulus, second.strength, second.strain) == (None, None, None)


@pytest.mark.parametrize(
    ("reader", "content", "words"),
    [
        (read_creep, "", "header line"),
        (read_creep, b"PK\x03\x04\x00\x00", "CSV text file"),
        (read_creep, "time,modulus\n1,2\n", "time [h]"),
        (read_creep, "time [h],modulus [mm]\n1,2\n", "modulus [psi]"),
        (read_creep, "time [h],modulus [psi]\n0,2\n", "above 0"),
        (read_creep, "time [h],modulus [psi]\n1,-2\n", "at least 1"),
        (read_creep, "time [h],modulus [psi]\n1,NaN\n", "a number"),
        (read_creep, "time [h],modulus [psi]\n1,inf\n", "a number"),
        (read_creep, "time [h],modulus [psi]\n1,\n", "a number"),
        (read_creep, 'time [h],modulus [psi]\n"1,5",2\n', "decimal comma"),
        (read_creep, "time [h],modulus [psi]\n1,5,2\n", "decimals with a point"),
        (read_creep, "time [h],modulus [psi],time [h]\n1,2,1\n", "given twice"),
        (read_creep, "time [h],stress [psi]\n1,2\n", "time and stress and strain"),
        (read_creep, "time [h],modulus [psi],strain [%]\n1,2,3\n", "conflicting columns"),
        (
            read_creep,
            "time [h],modulus [psi],stress [psi],strain [%]\n1,2,3,4\n",
            "conflicting columns",
        ),
        (read_creep, "time [h],modulus [psi],load level\n1,2,\n", "a name"),
        (
            read_creep,
            "time [h],modulus [psi],load level [psi]\n1,2,3\n",
            "unit for a column of text",
        ),
        (read_creep, "time [h],modulus [psi]\n" + "1,2\n" * 1_000_000, "more than 200,000 rows"),
        (read_bending, "load [lbf],deflection [in]\n1,2\n", "span"),
        (read_samples, "pipe\nMH 4\n", "modulus, strength, strain or thickness"),
        (read_samples, "pipe,modulus [psi]\nMH 4,\n", "one or more in each row"),
        (read_samples, "thickness [mm],thickness basis\n6,felt\n", "structural wall or whole wall"),
    ],
)
def test_hostile_files_are_refused_in_words(tmp_path, reader, content, words):
    assert words in " ".join(str(fault) for fault in refused(reader, tmp_path, content))


def test_a_ring_against_the_thin_ring(tmp_path):
    """Castigliano: a thin ring shortens by (pi/4 - 2/pi) F r^3/(E I) across its diameter."""
    E, d, t, length, load = 2000.0, 300.0, 6.0, 300.0, 1.0  # N and mm
    inertia = length * t**3 / 12
    y = (np.pi / 4 - 2 / np.pi) * load * (d / 2) ** 3 / (E * inertia)
    head = "time [h],load [N],deflection [mm],length [mm],diameter [mm],thickness [mm]\n"
    text = head + "".join(f"{time},{load},{y!r},{length},{d},{t}\n" for time in (1, 2, 5))
    (found,) = read_creep(write(tmp_path, text))
    assert found.test == "ring"
    # 0.0186 is rounded from 0.018597; the term of the deflection is small in a small deflection.
    assert found.modulus / MPA == pytest.approx([E] * 3, rel=2e-3)


def test_creep_rupture_is_read_as_strength(tmp_path):
    text = "time to failure [h],stress [psi]\n1,4000\n10,3800\n100,3500\n"
    (found,) = read_creep(write(tmp_path, text))
    assert (found.test, found.level) == ("rupture", "")
    assert list(found.modulus) == [4000, 3800, 3500]


def test_samples_with_their_place_and_tensile_strength(tmp_path):
    text = "thickness [mm],tensile_strength [MPa],station [ft],clock\n4.2,21,12,3\n4.1,,,\n"
    first, second = read_samples(write(tmp_path, text))
    assert first.tensile_strength == pytest.approx(21 * MPA)
    assert (first.station, first.clock) == ("12 ft", "3")
    assert (second.station, second.tensile_strength) == ("", None)
