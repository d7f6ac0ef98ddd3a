"""One requirement on the installed wall, judged; every word of it comes from its code."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from linerdesign.findings import Finding
from linerdesign.words import sentence

MILLIMETRES, PERCENT = "mm", "%"


@dataclass(frozen=True)
class Verdict:
    """One requirement on one pipe.

    `code` names the requirement in the catalogue, `numbers` fill its blanks. `required` and `found`
    are in `unit`, both None for a requirement that is not a number. `passes` is None where the
    samples or the project do not suffice to decide; `open` then says what is missing. `way` is what
    would meet the requirement or decide it. `by_rule` marks requirements of the owner's rule.
    """

    code: str
    passes: bool | None
    required: float | None = None
    found: float | None = None
    unit: str = ""
    place: str = ""
    numbers: tuple[tuple[str, Any], ...] = ()
    open: Finding | None = None
    by_rule: bool = False
    equation: bool = False

    @property
    def what(self) -> str:
        """The requirement, with its place where it has one."""
        text = sentence(f"field.what_{self.code}", **dict(self.numbers))
        return f"{text}, {self.place}" if self.place else text

    @property
    def text(self) -> str:
        """The requirement and how the wall stands to it, in one sentence."""
        if self.passes is None:
            return sentence(
                "field.undecided", what=self.what, why=self.open.said if self.open else ""
            )
        if self.required is None or self.found is None:
            return sentence("field.met_by_statement", what=self.what)
        return sentence(
            "field.met" if self.passes else "field.below",
            what=self.what,
            found=self.with_unit(self.found),
            required=self.with_unit(self.required),
            missing=self.missing,
        )

    @property
    def missing(self) -> str:
        """The difference between required and found; between two percentages, in points."""
        assert self.required is not None
        assert self.found is not None
        difference = self.required - self.found
        if self.unit == PERCENT:
            return f"{difference:.2f} {sentence('field.points')}"
        return self.with_unit(difference)

    def with_unit(self, value: float) -> str:
        """A value of the requirement as printed: thickness and percentage with two decimals."""
        number = f"{value:.2f}" if self.unit in (MILLIMETRES, PERCENT) else stress(value)
        return f"{number} {self.unit}"


def outcome(verdicts: Iterable[Verdict]) -> bool | None:
    """True where every requirement is met, False where one is not, None where one is undecided."""
    found = [each.passes for each in verdicts]
    if False in found:
        return False
    return None if None in found or not found else True


def stress(value: float) -> str:
    """A stress as an engineer writes it: whole units from 1,000 on, else three figures or more."""
    return f"{value:,.0f}" if value >= 1000 else f"{value:.4g}"
