"""Acceptance rules as data: what each requires of the installed wall."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from linerdesign.expressions.tolerance import at_least
from linerdesign.field.acceptance.gathering import Installed
from linerdesign.field.acceptance.verdict import MILLIMETRES, PERCENT, Verdict
from linerdesign.findings import finding
from linerdesign.methods.equation import Provenance
from linerdesign.project.further_keys import RULES as RULES
from linerdesign.project.requests import Acceptance

MEAN, LEAST, STIFFNESS = "mean", "least", "stiffness"


@dataclass(frozen=True)
class Requirement:
    """A property of the installed wall and the minimum of it.

    `percent` is of the design thickness, or of the design stiffness; `at_least` a minimum in mm
    beside it, where a standard has one. `setting` names the owner's own percentage.
    """

    what: str
    percent: float
    at_least: float = 0.0
    setting: str = ""


@dataclass(frozen=True)
class RuleText:
    """One rule in print. `readings` is how many the print requires, one where it does not say.

    `apart` and `remark` name entries of the catalogue: what has another provenance than the rest,
    and what the rule does not judge.
    """

    requirements: tuple[Requirement, ...]
    provenance: Provenance
    source: str
    readings: int = 1
    apart: str = ""
    remark: str = ""

    @property
    def by_stiffness(self) -> bool:
        """Whether it judges modulus and thickness together."""
        return any(each.what == STIFFNESS for each in self.requirements)


TEXTS: dict[str, RuleText] = {
    "mean and least reading": RuleText(
        (Requirement(MEAN, 100.0), Requirement(LEAST, 87.5, setting="least_reading")),
        Provenance.SEEN,
        "agency specifications: mean at or above the design, no reading below 87.5 % of it",
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
        apart="field.iso_apart",
        remark="field.iso_remark",
    ),
    "stiffness ratio": RuleText(
        (Requirement(STIFFNESS, 94.0),),
        Provenance.SEEN,
        "Najafi 2010, p. 343: stiffness at least 94 % of that required",
    ),
}


def judge(
    rule: str, settings: Acceptance, design: float, installed: Installed, stiffness: float
) -> Iterator[Verdict]:
    """The requirements of a rule on the readings of one pipe.

    `design` in mm, `stiffness` in percent of the design's.
    """
    text = TEXTS[rule]
    missing = text.readings - len(installed.readings)
    why = (
        finding("field.more_readings", count=missing, least=text.readings) if missing > 0 else None
    )
    assert installed.thickness is not None
    found = {
        MEAN: installed.thickness.mean,
        LEAST: installed.thickness.minimum,
        STIFFNESS: stiffness,
    }
    for each in text.requirements:
        percent = getattr(settings, each.setting).number if each.setting else each.percent
        ratio = each.what == STIFFNESS
        required = percent if ratio else max(percent / 100 * design, each.at_least)
        passes = bool(at_least(found[each.what], required))
        yield Verdict(
            f"rule_{each.what}",
            None if why else passes,
            required,
            found[each.what],
            PERCENT if ratio else MILLIMETRES,
            place=installed.thinnest.place if each.what == LEAST else "",
            numbers=(("percent", percent), ("design", design)),
            open=why,
            by_rule=True,
        )
