"""How submittals show a calculation to Appendix X1: quantities, numbers of equations, editions."""

from __future__ import annotations

import re

from linerdesign.methods.f1216.basis import EDITION_07A, EDITION_07B
from linerdesign.methods.method import Submittals

# The quantities that submittals usually show.
SHOWN = (
    "D", "q", "C", "H", "h_invert", "H_w", "w", "E_s", "W_s", "E", "r_E", "E_L", "sigma",
    "r_sigma", "sigma_L", "sigma_T", "r_T", "sigma_TL", "nu", "P_i", "d", "P_v", "N", "K", "P",
    "R_w", "B", "q_water", "q_soil", "q_t", "t_X1_1", "t_X1_2", "t_DR_limit", "t_X1_3", "t_X1_4",
    "t_X1_5", "t_X1_6", "t_X1_7", "t_pressure", "DR", "I", "P_X1_1", "N_X1_1",
    "sigma_X1_2", "N_X1_2", "q_X1_3", "N_X1_3", "S_X1_4", "P_X1_6", "P_X1_7", "N_X1_7",
)  # fmt: skip
# Of these, the lines that would tell errors apart, the earlier the better to ask for.
ASKED_FOR = (
    "q", "C", "E_L", "sigma_L", "nu", "K", "N", "h_invert", "P", "H", "H_w", "R_w", "B", "E_s",
    "W_s", "q_t", "t_X1_1", "t_X1_2", "t_X1_3", "t_X1_4", "t_DR_limit", "D", "t_required",
)  # fmt: skip
# Names under which submittals print a quantity beside its symbol.
ALIASES = {
    "EI/D3": "S_X1_4",
    "EI/D^3": "S_X1_4",
    "E*I/D^3": "S_X1_4",
    "water load": "q_water",
    "soil load": "q_soil",
    "live load": "W_s",
}
FIRST_EDITION = 89
_NUMBER = re.compile(r"X1[._](\d)")
_NUMBERED = r"1216M?\s?[-–]\s?(\d\d[a-c]?)"
_EDITION = re.compile(rf"\s*(?:ASTM\s+)?F\s?{_NUMBERED}\s*", re.IGNORECASE)


def edition_of(text: str) -> str | None:
    """The form of X1.3 in an edition by its number, that of 07b in `F1216-16`; none if unknown.

    >>> [edition_of(each) for each in ("F1216-16", "ASTM F1216-09", "F1216-07a", "F1216-98")]
    ['F1216-07b', 'F1216-07b', 'F1216-07a', 'F1216-07a']
    """
    match = _EDITION.fullmatch(text)
    return by_year(match[1]) if match else None


def edition_in(text: str) -> str | None:
    """The form of X1.3 in the edition that a text ends with; none where it ends with none."""
    match = re.search(f"{_NUMBERED}$", text)
    return by_year(match[1]) if match else None


def numbered(digit: str) -> str:
    """The number of the equation with this last digit."""
    return f"X1.{digit}"


def equation_in(text: str) -> str:
    """The number of the equation that a text names, in the spelling of the method."""
    match = _NUMBER.search(text)
    return numbered(match[1]) if match else ""


def by_year(number: str) -> str:
    """The form of X1.3 in an edition by its year and letter, such as `07a`."""
    year, letter = int(number[:2]), number[2:]
    # The first edition is of 1989; two-digit years over that are of the last century.
    later = (year, letter) >= (7, "b") and year < FIRST_EDITION
    return EDITION_07B if later else EDITION_07A


SUBMITTALS = Submittals(
    shown=SHOWN,
    asked_for=ASKED_FOR,
    aliases=ALIASES,
    equations=(
        r"(?:\b(?i:eqs?|eqns?|equations?)\.?\s*)?\(?(?<![A-Za-z0-9])X1\.(\d)(?:\.\d)?\)?",
        r"(?<=\bt)_?\{?X1[._](\d)\}?|(?<=\bN)_?\{?X1[._](\d)\}?",
    ),
    equation_in=equation_in,
    numbered=numbered,
    edition=r"(?:ASTM\s*)?\bF\s?1216(?:M)?\s?[-–]\s?\d\d[ab]?(?![A-Za-z0-9])",
    edition_in=edition_in,
    edition_of=edition_of,
)
