"""Acceptance rules as data: what each one asks of a property of the installed wall."""

from __future__ import annotations

from dataclasses import dataclass

from linerdesign.expressions.tolerance import at_least
from linerdesign.methods.equation import Provenance
from linerdesign.project.further_keys import RULES as RULES
from linerdesign.project.requests import Acceptance

MEAN, LEAST, STIFFNESS = "mean thickness", "least reading", "stiffness"


@dataclass(frozen=True)
class Requirement:
    """A property of the installed wall and the least it may be.

    `percent` is of the design thickness, or of the design stiffness; `at_least` a floor in mm
    under it, where a standard has one. `setting` names the owner's own percentage.
    """

    what: str
    percent: float
    at_least: float = 0.0
    setting: str = ""


@dataclass(frozen=True)
class RuleText:
    """One rule in print. `readings` is how many the print asks for, 0 where it does not say.

    `apart` names what in the text has another provenance than the rest.
    """

    requirements: tuple[Requirement, ...]
    provenance: Provenance
    source: str
    readings: int = 0
    apart: str = ""
    remark: str = ""

    @property
    def judges_least(self) -> bool:
        """Whether it looks at the least single reading."""
        return any(each.what == LEAST for each in self.requirements)


TEXTS: dict[str, RuleText] = {
    "mean and least reading": RuleText(
        (Requirement(MEAN, 100.0), Requirement(LEAST, 87.5, setting="least_reading")),
        Provenance.SEEN,
        "agency specifications: mean not under the design, no reading under 87.5 % of it",
    ),
    "no undersize": RuleText(
        (Requirement(MEAN, 100.0),),
        Provenance.SEEN,
        "agency specifications: no undersize on the mean of six readings",
        readings=6,
    ),
    "ISO 11296-4 minimum": RuleText(
        (Requirement(LEAST, 80.0, at_least=3.0),),
        Provenance.SEEN,
        "ISO 11296-4:2018, 80 % of the design or 3 mm",
        apart="that the larger of the two counts is from memory",
        remark="what the standard asks of the mean was not seen and is not judged by this rule",
    ),
    "stiffness ratio": RuleText(
        (Requirement(STIFFNESS, 94.0),),
        Provenance.SEEN,
        "Najafi 2010, p. 343: stiffness at least 94 % of that required",
    ),
}


@dataclass(frozen=True)
class Finding:
    """One requirement judged: the least allowed and what was found, in mm, or percent."""

    what: str
    allowed: float
    found: float
    unit: str
    text: str

    @property
    def passes(self) -> bool:
        """Whether what was found is not under what is allowed."""
        return bool(at_least(self.found, self.allowed))

    @property
    def missing(self) -> str:
        """How much is missing where it does not pass, with its unit.

        Between two percentages lie points: 75 % is 19 points under 94 %.
        """
        unit = "points" if self.unit == "%" else self.unit
        return f"{self.allowed - self.found:.2f} {unit}"


def judge(
    rule: str,
    settings: Acceptance,
    design: float,
    mean: float,
    least: float,
    stiffness: float,
) -> tuple[Finding, ...]:
    """The requirements of a rule; thicknesses in mm, stiffness in percent of the design's."""
    found = {MEAN: mean, LEAST: least, STIFFNESS: stiffness}
    return tuple(_judged(each, settings, design, found) for each in TEXTS[rule].requirements)


def _judged(
    asked: Requirement, settings: Acceptance, design: float, found: dict[str, float]
) -> Finding:
    percent = getattr(settings, asked.setting).number if asked.setting else asked.percent
    value = found[asked.what]
    if asked.what == STIFFNESS:
        return Finding(asked.what, percent, value, "%", f"at least {percent:g} % of the design")
    share = percent / 100 * design
    text = f"at least {percent:g} % of {design:.3f} mm"
    if asked.at_least:
        text += f", and {asked.at_least:g} mm"
    return Finding(asked.what, max(share, asked.at_least), value, "mm", text)
