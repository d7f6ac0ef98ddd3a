"""Three-point bending by ASTM D790: modulus, strength and strain from load and deflection."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import at_most
from linerdesign.field.laboratory.samples import Summary, summarise
from linerdesign.methods.laboratory import (
    SPAN_RATIO,
    SPAN_RATIO_TOLERANCE,
    SPECIMENS,
    flexural_modulus,
    flexural_strain,
    flexural_stress,
)
from linerdesign.project.faults import Fault, InputFaults, fault
from linerdesign.words import sentence

Floats = NDArray[np.float64]

STRAIN_LIMIT = 0.05  # from memory; verify against the printed standard
LEAST_READINGS = 5
MOST_PARTS = 200


@dataclass(frozen=True, eq=False)
class BendingRecord:
    """Load against deflection of one specimen, and its span, width and depth.

    Any consistent units: pounds-force and inches give psi, newtons and millimetres MPa. `place` is
    its first line of a file.
    """

    specimen: str
    load: Floats
    deflection: Floats
    span: float
    width: float
    depth: float
    place: str = ""


@dataclass(frozen=True)
class Bending:
    """What one record gives; stress in force over length squared of the record, strain as a ratio.

    `slope` is that of the steepest initial straight part, which runs from `straight_from` to
    `straight_to` (deflections); `toe` is the deflection where that part, carried down, meets zero
    load, and strains are counted from there. `strength` is the largest stress up to the strain
    limit, reached at `strain_at_strength`.
    """

    specimen: str
    modulus: float
    strength: float
    strain_at_strength: float
    span_ratio: float
    slope: float
    toe: float
    straight_from: float
    straight_to: float
    straightness: float
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class BendingSet:
    """The specimens of one set with the statistics of each property."""

    specimens: tuple[Bending, ...]
    modulus: Summary
    strength: Summary
    strain_at_strength: Summary
    cautions: tuple[str, ...] = ()


def reduce_bending(record: BendingRecord, straight_share: float = 0.25) -> Bending:
    """Modulus, strength and strain of one specimen.

    `straight_share` is the rise of load, as a share of the largest, that the straight part has to
    cover: a shorter one follows the noise of the load cell.

    Raises:
        InputFaults: a record that has no rising part, or values that can't be.
    """
    faults = _faults(record)
    if faults:
        raise InputFaults(faults)
    load, deflection = record.load, record.deflection
    slope, toe, part, straightness = _straight_part(load, deflection, straight_share)
    if not slope > 0:
        raise InputFaults([fault("measured.no_rise", _place(record))])
    strain = flexural_strain(deflection - toe, record.span, record.depth)
    allowed = np.flatnonzero(at_most(strain, STRAIN_LIMIT))
    if allowed.size == 0:
        limit = f"{100 * STRAIN_LIMIT:g}"
        raise InputFaults([fault("measured.past_strain", _place(record), limit=limit)])
    peak = int(allowed[np.argmax(load[allowed])])
    ratio = record.span / record.depth
    return Bending(
        specimen=record.specimen,
        modulus=float(flexural_modulus(record.span, slope, record.width, record.depth)),
        strength=float(flexural_stress(load[peak], record.span, record.width, record.depth)),
        strain_at_strength=float(strain[peak]),
        span_ratio=ratio,
        slope=slope,
        toe=toe,
        straight_from=float(deflection[part.start]),
        straight_to=float(deflection[part.stop - 1]),
        straightness=straightness,
        cautions=_cautions(record, ratio, straightness, strain, peak),
    )


def reduce_set(records: Sequence[BendingRecord]) -> BendingSet:
    """All specimens of a set.

    Raises:
        InputFaults: the faults of every record.
    """
    results: list[Bending] = []
    faults: list[Fault] = []
    for record in records:
        try:
            results.append(reduce_bending(record))
        except InputFaults as found:
            faults.extend(found.faults)
    if not records:
        faults.append(fault("measured.no_records", "bending"))
    if faults:
        raise InputFaults(faults)
    count = len(results)
    few = sentence("field.few_tests", count=count, least=SPECIMENS)
    return BendingSet(
        specimens=tuple(results),
        modulus=summarise([result.modulus for result in results], "modulus"),
        strength=summarise([result.strength for result in results], "strength"),
        strain_at_strength=summarise([result.strain_at_strength for result in results], "strain"),
        cautions=(few,) if count < SPECIMENS else (),
    )


def _straight_part(
    load: Floats, deflection: Floats, share: float
) -> tuple[float, float, slice, float]:
    """Slope, toe, extent and squared correlation of the steepest straight part.

    Parts begin in the lower half of the load, so that one is initial, and each is as short as the
    share of load and the least number of readings let it be.
    """
    from scipy.stats import linregress

    top = int(np.argmax(load)) + 1
    rising, moved = load[:top], deflection[:top]
    reached = np.maximum.accumulate(rising)
    largest = float(reached[-1])
    parts = []
    starts = np.flatnonzero(rising < largest / 2)
    # A fast recorder's thousands of readings need no line from each.
    for start in starts[:: 1 + starts.size // MOST_PARTS]:
        end = int(np.searchsorted(reached, rising[start] + share * largest)) + 1
        end = max(end, int(start) + LEAST_READINGS)
        if end <= top and np.ptp(moved[start:end]) > 0:
            parts.append(slice(int(start), end))
    if not parts:
        parts.append(slice(0, top))
    fits = [(linregress(moved[part], rising[part]), part) for part in parts]
    best, part = max(fits, key=lambda fit: float(fit[0].slope))
    slope = float(best.slope)
    toe = -float(best.intercept) / slope if slope > 0 else 0.0
    return slope, toe, part, float(best.rvalue) ** 2


def _cautions(
    record: BendingRecord, ratio: float, straightness: float, strain: Floats, peak: int
) -> tuple[str, ...]:
    cautions = []
    if abs(ratio - SPAN_RATIO) > SPAN_RATIO_TOLERANCE:
        cautions.append(
            sentence(
                "field.short_span" if ratio < SPAN_RATIO else "field.span",
                ratio=ratio,
                required=SPAN_RATIO,
            )
        )
    if straightness < 0.99:
        cautions.append(sentence("field.not_straight", straightness=straightness))
    if not at_most(strain[int(np.argmax(record.load))], STRAIN_LIMIT):
        cautions.append(sentence("field.past_strain", strain=100 * STRAIN_LIMIT))
    elif peak == record.load.size - 1:
        cautions.append(sentence("field.still_rising"))
    return tuple(cautions)


def _place(record: BendingRecord) -> str:
    named = f"specimen {record.specimen}" if record.specimen else "specimen"
    return f"{record.place}, {named}" if record.place else named


def _faults(record: BendingRecord) -> list[Fault]:
    place = _place(record)
    sizes = {"span": record.span, "width": record.width, "depth": record.depth}
    faults = [
        fault("measured.length", f"{place}, {name}", f"{value:g}")
        for name, value in sizes.items()
        if not (np.isfinite(value) and value > 0)
    ]
    load, deflection = record.load, record.deflection
    if load.shape != deflection.shape or load.size < LEAST_READINGS:
        sizes_of = {"loads": load.size, "deflections": deflection.size}
        faults.append(fault("measured.pairs", place, "", least=LEAST_READINGS, **sizes_of))
    elif not (np.isfinite(load).all() and np.isfinite(deflection).all()):
        faults.append(fault("measured.reading_not_finite", place))
    else:
        top = int(np.argmax(load)) + 1
        if top < LEAST_READINGS or np.ptp(deflection[:top]) == 0 or load.max() <= load.min():
            faults.append(fault("measured.few_rising", place, count=top, least=LEAST_READINGS))
    return faults
