"""How a printed symbol is lettered: its base, its primes and what stands below."""

from __future__ import annotations

import re
from dataclasses import dataclass

# Without psi, which is a unit to this trade.
_LETTERS = (
    "alpha beta gamma delta epsilon zeta eta theta iota kappa lambda mu nu xi omicron pi rho sigma "
    "tau upsilon phi chi omega"
)
GREEK = frozenset(_LETTERS.split())
_PARTS = re.compile(r"([A-Za-z]+)('*)(?:_(\S+))?")


@dataclass(frozen=True)
class Lettering:
    """The parts of a symbol such as `E'_s`; a base of several letters is one name."""

    base: str
    primes: int = 0
    below: str = ""


def lettering(symbol: str) -> Lettering:
    """The parts of a printed symbol; one of another shape is all base.

    >>> lettering("E'_s"), lettering("sigma_a1.2").below
    (Lettering(base='E', primes=1, below='s'), 'a1.2')
    """
    match = _PARTS.fullmatch(symbol)
    return Lettering(match[1], len(match[2]), match[3] or "") if match else Lettering(symbol)


def is_greek(name: str) -> bool:
    """Whether a name spells a Greek letter, small or capital."""
    return name[:1].lower() + name[1:] in GREEK


def clean(text: str) -> str:
    """Text on one line, control and direction characters made visible."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else repr(c)[1:-1] for c in text)
