"""A contractor's own labels: the key that each was confirmed to mean."""

from __future__ import annotations

import re
from collections.abc import Mapping

from linerdesign.tasks.transcribe.numbers import numbers


def bare_label(text: str) -> str:
    """A label as it is compared: small letters, without its value, unit and punctuation."""
    for number in reversed(list(numbers(text))):
        text = text[: number.start] + text[number.end :]
    return " ".join(re.sub(r"[^\w'µνσγΔ/%]+", " ", text).split())


def learnt_key(labels: Mapping[str, str], text: str) -> str | None:
    """The key of a label that was confirmed before."""
    return labels.get(bare_label(text)) if labels else None
