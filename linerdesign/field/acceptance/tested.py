"""Properties by test against the design: the verdict on each, and values of a doubtful unit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from linerdesign.expressions.tolerance import under
from linerdesign.field.acceptance.verdict import Verdict, stress
from linerdesign.field.laboratory.samples import Summary
from linerdesign.findings import Finding, finding
from linerdesign.project.measures import convert
from linerdesign.words import sentence

# Common practice, no source: past twice the design, or a spread over 30 %, the unit is questioned;
# past five times either way nothing is decided before the unit is confirmed.
MOST_OVER_DESIGN = 2.0
MOST_VARIATION = 30.0
NOTHING_DECIDED = 5.0
# Numbers of one unit of stress read as another: by how much they are then too low.
MISREAD = (
    (convert(1.0, "ksi", "MPa"), "ksi_as_mpa"),
    (convert(1.0, "MPa", "psi"), "mpa_as_psi"),
    (1000.0, "ksi_as_psi"),
    (convert(1.0, "GPa", "psi"), "gpa_as_psi"),
)


@dataclass(frozen=True)
class Tested:
    """One property by test against the design; all stresses in `unit`.

    `minimum` is the specification's minimum initial value, 0 where there is none; `code` names the
    property in the catalogue of sentences.
    """

    key: str
    code: str
    unit: str
    designed: float
    minimum: float
    values: tuple[float, ...]
    mean: float
    variation: float | None

    @property
    def what(self) -> str:
        """The property."""
        return sentence(f"field.property_{self.code}")

    @property
    def under(self) -> int:
        """How many tests are below the design value."""
        return sum(bool(under(value, self.designed)) for value in self.values)

    @property
    def percent(self) -> float:
        """The mean in percent of the design value."""
        return 100 * self.mean / self.designed

    @property
    def unit_in_question(self) -> bool:
        """Whether a test is so far off that its unit must be confirmed before any verdict."""
        far = NOTHING_DECIDED
        return max(self.values) > far * self.designed or min(self.values) < self.designed / far

    @property
    def governing(self) -> float:
        """The value that the least wall is checked with: the smaller of the mean and the design's.

        A test that must first be confirmed gives the design value.
        """
        return self.designed if self.unit_in_question else min(self.mean, self.designed)

    def verdict(self, every_test: bool, by_stiffness: bool) -> Verdict:
        """The verdict on the property.

        `every_test` holds each test, and not their mean, against the design; `by_stiffness` leaves
        the design value to a rule that judges modulus and thickness together.
        """
        required = self.minimum if by_stiffness else max(self.designed, self.minimum)
        found = min(self.values) if every_test else self.mean
        passes = None if self.unit_in_question else not under(found, required)
        return Verdict(
            f"{self.code}_{'each' if every_test else 'mean'}",
            passes,
            required,
            found,
            self.unit,
            open=finding("field.unit_of_tests", what=self.what) if passes is None else None,
            by_rule=True,
        )

    def doubts(self) -> Iterator[Finding]:
        """Tests that suggest another unit than the one they are read in."""
        largest, least, designed = max(self.values), min(self.values), self.designed
        about: dict[str, Any] = {"what": self.what, "unit": self.unit, "designed": stress(designed)}
        if largest > MOST_OVER_DESIGN * designed:
            ratio = largest / designed
            yield finding("field.test_high", value=stress(largest), ratio=ratio, **about)
        if least < designed / NOTHING_DECIDED:
            percent, misread = 100 * least / designed, self._misread(least)
            about |= {"percent": percent, "misread": misread}
            yield finding("field.test_low", value=stress(least), **about)
        if self.variation is not None and self.variation > MOST_VARIATION:
            variation: dict[str, Any] = {"variation": self.variation, "most": MOST_VARIATION}
            yield finding("field.test_scatter", what=self.what, **variation)

    def _misread(self, least: float) -> str:
        """The mistaken unit by whose ratio a test is too low."""
        ratio = self.designed / least
        for times, code in MISREAD:
            if 1 / MOST_OVER_DESIGN <= ratio / times <= MOST_OVER_DESIGN:
                value = stress(least * times)
                return sentence(f"field.misread_{code}", value=value, unit=self.unit)
        return ""

    def cautions(self) -> Iterator[Finding]:
        """How many tests are below the design value."""
        if self.under:
            yield finding(
                "field.tests_under",
                what=self.what,
                under=self.under,
                count=len(self.values),
                designed=stress(self.designed),
                mean=stress(self.mean),
                unit=self.unit,
            )


def tested(
    key: str,
    code: str,
    values: tuple[float, ...],
    summary: Summary,
    designed: float,
    minimum: float,
    unit: str,
) -> Tested:
    """One property; `values`, `summary` and `minimum` in psi, `designed` in `unit`."""
    one = convert(1.0, "psi", unit)
    in_unit = tuple(one * value for value in values)
    variation = summary.coefficient_of_variation
    return Tested(key, code, unit, designed, one * minimum, in_unit, one * summary.mean, variation)
