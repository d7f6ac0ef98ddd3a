"""Where every equation and table of the method stands: built or not, from where, how sure.

What checks each of them is known to the tests alone (tests/published.py and tests/routes/), and
docs/verification.md sets both side by side.
"""

from __future__ import annotations

from dataclasses import dataclass

from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.equation import Equation, Provenance
from linerdesign.methods.ground.published import FILES, published

# Parts of the method that are known and not built, and why.
LEFT_OUT = (
    ("HL-93 lane load", "lane load of LRFD, left out for culverts by the outline followed"),
    ("HL-93 under 2 ft", "distribution strip of LRFD under 2 ft of cover; flagged there instead"),
    ("E' adjustments", "factors of 0.5 to 0.75 on E' in some manuals; the owner states E' instead"),
)


@dataclass(frozen=True)
class Status:
    """One equation or table of the method.

    `forms` are the equations that share its name and meaning, none for a table or what is left out.
    """

    name: str
    what: str
    implemented: bool
    provenance: Provenance | None
    source: str
    forms: tuple[Equation, ...] = ()


def status() -> tuple[Status, ...]:
    """Every equation once a number and form, then the tables, then what is left out."""
    return (*_equations(), *_tables(), *_left_out())


def _equations() -> tuple[Status, ...]:
    forms: dict[tuple[str, str], list[Equation]] = {}
    for each in catalogue():
        form = ", ".join(text for text in (each.system, each.edition) if text)
        name = each.number + (f" ({form})" if form else "")
        forms.setdefault((name, each.meaning), []).append(each)
    return tuple(
        Status(name, what, True, found[0].provenance, found[0].source, tuple(found))
        for (name, what), found in forms.items()
    )


def _tables() -> tuple[Status, ...]:
    return tuple(
        Status(f"table {each.name}", each.title, True, each.provenance, each.source)
        for file in FILES
        for each in published(file).values()
    )


def _left_out() -> tuple[Status, ...]:
    return tuple(Status(name, why, False, None, "") for name, why in LEFT_OUT)
