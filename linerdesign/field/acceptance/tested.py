"""Bending tests beside the design's values: what is short of them, and what asks for its unit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from linerdesign.expressions.tolerance import under
from linerdesign.field.laboratory.samples import Summary
from linerdesign.project.measures import convert

# Common practice, no source: past twice the design, or a spread over 30 %, a unit is doubted; past
# five times either way it is asked for before anything is decided, for no liner is so far off.
MOST_OVER_DESIGN = 2.0
MOST_VARIATION = 30.0
NOTHING_DECIDED = 5.0
# Numbers of one unit of stress read as another: by how much they are then too low, and the words.
MISREAD = (
    (convert(1.0, "ksi", "MPa"), "ksi was read as MPa"),
    (convert(1.0, "MPa", "psi"), "MPa was read as psi"),
    (1000.0, "ksi was read as psi, or GPa as MPa"),
    (convert(1.0, "GPa", "psi"), "GPa was read as psi"),
)
IS_IT_RIGHT = "is the unit right?"


@dataclass(frozen=True)
class Tested:
    """One property by test beside the design's; all stresses in `unit`.

    `what` is it in words, `several` its plural.
    """

    what: str
    several: str
    unit: str
    designed: float
    values: tuple[float, ...]
    mean: float
    variation: float | None

    @property
    def under(self) -> int:
        """How many tests are under the design."""
        return sum(bool(under(value, self.designed)) for value in self.values)

    @property
    def percent(self) -> float:
        """The mean in percent of the design's value."""
        return 100 * self.mean / self.designed

    @property
    def short(self) -> bool:
        """Whether the mean is under the design."""
        return bool(under(self.mean, self.designed))

    @property
    def asked(self) -> bool:
        """Whether a test is so far off that its unit is asked for before anything is decided."""
        far = NOTHING_DECIDED
        return max(self.values) > far * self.designed or min(self.values) < self.designed / far

    @property
    def headline(self) -> str:
        """What of it is under the design, for a line that says so; empty where nothing is."""
        if self.short:
            missing = 100 - self.percent
            return f"{self.what} {missing:.0f} % short" if missing >= 1 else f"{self.what} short"
        return f"{self.under} of {len(self.values)} {self.several}" if self.under else ""

    def doubts(self) -> Iterator[str]:
        """Questions for the unit of the tests."""
        largest, least, designed = max(self.values), min(self.values), self.designed
        if largest > MOST_OVER_DESIGN * designed:
            yield (
                f"largest {self.what} {_stress(largest)} {self.unit}, {largest / designed:.1f} "
                f"times the {designed:,.0f} {self.unit} of the design: {IS_IT_RIGHT}"
            )
        if least < designed / NOTHING_DECIDED:
            yield (
                f"least {self.what} {_stress(least)} {self.unit}, {100 * least / designed:.2g} % "
                f"of the {designed:,.0f} {self.unit} of the design{self._misread(least)}: "
                f"{IS_IT_RIGHT}"
            )
        if self.variation is not None and self.variation > MOST_VARIATION:
            yield (
                f"coefficient of variation of the {self.what} {self.variation:.0f} %, over "
                f"{MOST_VARIATION:g} %: {IS_IT_RIGHT}"
            )

    def _misread(self, least: float) -> str:
        """The units by whose ratio a test is too low, in words."""
        ratio = self.designed / least
        for times, words in MISREAD:
            if 1 / MOST_OVER_DESIGN <= ratio / times <= MOST_OVER_DESIGN:
                return f" ({_stress(least * times)} {self.unit} if {words})"
        return ""

    def shortage(self) -> Iterator[str]:
        """The mean under the design, beside the verdict's other reasons."""
        if self.short:
            yield (
                f"bending tests: mean {self.what} {_stress(self.mean)} {self.unit}, "
                f"{self.percent:.1f} % of the {self.designed:,.0f} {self.unit} of the design: SHORT"
            )

    def cautions(self) -> Iterator[str]:
        """Tests under the design, one by one."""
        if not self.under:
            return
        of_design = f"under the {self.designed:,.0f} {self.unit} of the design"
        if len(self.values) == 1:
            yield f"the one {self.what} tested, {_stress(self.mean)} {self.unit}, is {of_design}"
            return
        yield (
            f"{self.under} of {len(self.values)} {self.several} {of_design}; their mean is "
            f"{_stress(self.mean)} {self.unit}" + (", SHORT" if self.short else "")
        )


def tested(
    what: str, several: str, values: tuple[float, ...], summary: Summary, designed: float, unit: str
) -> Tested:
    """One property; `values` and `summary` in psi as they are gathered, `designed` in `unit`."""
    one = convert(1.0, "psi", unit)
    in_unit = tuple(one * value for value in values)
    variation = summary.coefficient_of_variation
    return Tested(what, several, unit, designed, in_unit, one * summary.mean, variation)


def _stress(value: float) -> str:
    return f"{value:,.0f}" if value >= 100 else f"{value:.3g}"
