"""The values that the pipes of a street share: of resins, of the criteria, and of published rules.

Workbook and page state each of them once, where it drives every pipe that takes it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from linerdesign.documents.allowed import may_be_changed
from linerdesign.documents.blocks import Sheet
from linerdesign.documents.places import Place
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.steps import input_steps
from linerdesign.methods.symbols import name_of
from linerdesign.project.keys import RESIN_KEYS, SITE_KEYS, keys_of
from linerdesign.words import sentence

# The part it stands in, the key of the quantity, and its number.
Identity = tuple[str, str, float]


@dataclass
class Shared:
    """One value stated once: its step in the first pipe that takes it, and how many do.

    `name` is the name of its cell there.
    """

    step: Step
    name: str
    pipes: int = 0


def shared_identity(step: Step, resin: str) -> Identity | None:
    """What makes an input of pipes with this resin one with others'; none for one of the site.

    Neither is there one for a constant of the standard, which nobody changes.
    """
    origin = step.origin
    if (
        origin is None
        or not may_be_changed(step)
        or origin.by_site
        or name_of(step.key) in SITE_KEYS
    ):
        return None
    if origin.by_resin or name_of(step.key) in RESIN_KEYS:
        return sentence("shared.resin", name=resin), step.key, step.value
    criteria = name_of(step.key) in keys_of("criteria")
    return sentence("shared.criteria" if criteria else "shared.rules"), step.key, step.value


def shared_by(sheets: Sequence[Sheet]) -> Mapping[str, Mapping[Identity, Shared]]:
    """The values shared, by part: resins, criteria, rules; none where there is only one pipe."""
    found: dict[Identity, Shared] = {}
    for sheet in sheets if len(sheets) > 1 else ():
        for identity, step in _of(sheet.result):
            name = Place(sheet.result, sheet.first, 0).name(step.key)
            found.setdefault(identity, Shared(step, name)).pipes += 1
    last = [sentence("shared.criteria"), sentence("shared.rules")]
    parts = dict.fromkeys(part for part, *_ in found)
    ordered = sorted(parts, key=lambda part: last.index(part) if part in last else -1)
    return {
        part: {identity: each for identity, each in found.items() if identity[0] == part}
        for part in ordered
    }


def _of(result: PipeResult) -> Iterator[tuple[Identity, Step]]:
    for step in input_steps(result.task):
        identity = shared_identity(step, result.resin)
        if identity is not None:
            yield identity, step
