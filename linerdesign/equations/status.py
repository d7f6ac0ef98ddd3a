"""Where every equation and table of the method stands: built or not, how sure, checked how."""

from __future__ import annotations

from dataclasses import dataclass

from linerdesign.equations.catalogue import catalogue
from linerdesign.equations.equation import Equation, Provenance
from linerdesign.equations.published import FILES, published

SECOND_ROUTE = "bisection on the forward equation as printed"
GEOMETRY = "arithmetic by hand in the tests; both unit systems against each other"
EXAMPLE = "the 48 in example, Najafi 2010, pp. 75-83"
SAME_ROWS = "the rows of the table, and straight lines between them"
SURFACE = (
    "the 182 coefficients printed in Moser & Folkman Table 2.6, one misprint and the rougher rows "
    "1.5 and 5.0 named; numerical integration of Boussinesq's point load"
)
LRFD = "LRFD written out by another route in the tests, overlap and governing vehicle included"
LEAST_ENERGY = "the potential energy of a lobe, by SymPy and by numerical minimum"
ONE_FACTOR = "a product of inputs; common practice"
# What each number was checked against, outside the code.
CHECKED = {
    "q max": GEOMETRY,
    "q min": GEOMETRY,
    "q larger": GEOMETRY,
    "q design": GEOMETRY,
    "C": "the 8 values of Najafi 2010, Table 2.9",
    "crown rise": GEOMETRY,
    "invert depth": GEOMETRY,
    "cover": GEOMETRY,
    "head from crown": GEOMETRY,
    "head from surface": GEOMETRY,
    "head from elevation": GEOMETRY,
    "Hw": GEOMETRY,
    "EL": ONE_FACTOR,
    "sigma L": ONE_FACTOR,
    "P": EXAMPLE,
    "Rw": EXAMPLE,
    "B'": EXAMPLE,
    "qt": EXAMPLE,
    "DR": GEOMETRY,
    "I": GEOMETRY,
    "X1.1": f"{EXAMPLE}; five values of Table X1.1, from memory",
    "X1.2": f"{EXAMPLE}; its quadratic by NumPy's roots",
    "X1.2 a": f"{EXAMPLE}; its printed quadratic",
    "X1.2 b": f"{EXAMPLE}; its printed quadratic",
    "X1.2 allowed": ONE_FACTOR,
    "DR limit": GEOMETRY,
    "X1.3": f"{EXAMPLE}; its parent as the least buckling load of a ring on springs",
    "X1.4": EXAMPLE,
    "sigma TL": ONE_FACTOR,
    "P with vacuum": "a vacuum of the same pressure as water gives the same thickness",
    "P of vacuum": "a vacuum of the same pressure as water gives the same thickness",
    "qt with vacuum": "a vacuum of the same pressure as live load gives the same thickness",
    "X1.5": SECOND_ROUTE,
    "X1.6": SECOND_ROUTE,
    "X1.7": SECOND_ROUTE,
    "pressure for t": "the pass or failure of walls from thin to thick, walked through one by one",
    "pressure": "the pass or failure of walls from thin to thick, walked through one by one",
    "cover in ft": "definition of the unit",
    "D in in": "definition of the unit",
    "Ws from psi": "definition of the unit",
    "Ws from psf": "definition of the unit",
    "E's from psi": "definition of the unit",
    "overlap": LRFD,
    "wheels": LRFD,
    "HL-93 impact": LRFD,
    "HL-93 width": LRFD,
    "HL-93 length": LRFD,
    "HL-93 vehicle": LRFD,
    "HL-93": f"{LRFD}; truck and tandem cross between 5 and 6 ft",
    "1.75 H impact": SAME_ROWS,
    "1.75 H side": "the H-20 rows from 3 to 8 ft, within 18 %",
    "1.75 H": "the H-20 rows from 3 to 8 ft, within 18 %",
    "H-20 table": f"{SAME_ROWS}; the same table in psf",
    "H-20 table, M11": f"{SAME_ROWS}; the same table in psi",
    "H-25 table, M11": SAME_ROWS,
    "E-80 table": f"{SAME_ROWS}; the table in psf at the covers both print",
    "E-80 table, M11": f"{SAME_ROWS}; the table in psi at the covers both print",
    "airport table": SAME_ROWS,
    "half side": SURFACE,
    "half diameter": SURFACE,
    "corner": SURFACE,
    "Holl angle": SURFACE,
    "Cs": SURFACE,
    "distributed load": SURFACE,
    "concentrated load": "the live load of the 48 in example, Najafi 2010, p. 76; integration",
    "E-80 impact": "a third under the E-80 table; no published value",
    "impact factor": "definition",
    "E's by depth": SAME_ROWS,
    "E'n/E'b": ONE_FACTOR,
    "Bd/D": ONE_FACTOR,
    "Sc 1996": f"{SAME_ROWS}, by SciPy's interpolator",
    "Sc 2005": f"{SAME_ROWS}, by SciPy's interpolator",
    "E's combined": ONE_FACTOR,
    "t least": GEOMETRY,
    "steps": GEOMETRY,
    "t nominal": GEOMETRY,
    "N provided": GEOMETRY,
    "liner bore": GEOMETRY,
    "capacity": "eight percentages of Najafi 2010, table 2.14; the open library `fluids`",
    "full flow": "the open library `fluids`; both unit systems against each other",
    "wall area": GEOMETRY,
    "tube length": GEOMETRY,
    "wall volume": f"{GEOMETRY}; volumes by pint",
    "resin volume": ONE_FACTOR,
    "mass per length": f"{GEOMETRY}; masses by pint",
    "mass": ONE_FACTOR,
    "stretch at mid-wall": GEOMETRY,
    "stretch outside": "bisection on the area of the wall",
    "D790 stress": "beam theory: moment over section modulus",
    "D790 strain": "beam theory: stress over modulus of a beam of known modulus",
    "D790 modulus": "beam theory: deflection of a beam of known modulus",
    "plane strain": GEOMETRY,
    "free ring": "Levy's 3 E I/R^3; the eigenvalue of a finite-element ring",
    "Glock": f"{LEAST_ENERGY}; the printed constants 0.969, 2.62 and 1.003; a table of K by DR",
    "Glock, k lobes": f"{LEAST_ENERGY}; a table of K by DR",
    "lobe depth": LEAST_ENERGY,
    "lobe opening": LEAST_ENERGY,
    "gap closed": LEAST_ENERGY,
    "Glock, gap": f"{LEAST_ENERGY}; Glock's without a gap; the numerical model",
    "perimeter": GEOMETRY,
    "flattest radius": "the evolute of an ellipse, by SymPy",
    "perimeter form": "Glock's without 1 - nu^2 on a circle",
    "equivalent K": "X1.1 with that K",
    "X1.1 at collapse": "X1.1 with N = 1",
    "stiffness ratio": "87.5 % of the thickness keeps 67 % of the stiffness, by hand",
}
# What each table was checked against; one from memory stays so until somebody holds the print.
TABLES_CHECKED = {
    "M11": "the table in psi, at the covers both print",
    "Uni-Bell": "the table in psf, at the covers both print",
    "1996": "rows and columns rise or fall throughout, 1 where both soils are alike",
    "2005": "rows and columns rise or fall throughout, 1 where both soils are alike",
}
NOT_CHECKED = "nothing beside its own rows"
# Parts of the method that are known and not built, and why.
LEFT_OUT = (
    ("HL-93 lane load", "lane load of LRFD, left out for culverts by the outline followed"),
    ("HL-93 under 2 ft", "distribution strip of LRFD under 2 ft of cover; flagged there instead"),
    ("E' adjustments", "factors of 0.5 to 0.75 on E' in some manuals; the owner states E' instead"),
)


@dataclass(frozen=True)
class Status:
    """One equation or table of the method. `checked` is empty where nothing checks it."""

    name: str
    what: str
    implemented: bool
    provenance: Provenance | None
    source: str
    checked: str


def status() -> tuple[Status, ...]:
    """Every equation once a number and form, then the tables, then what is left out."""
    return (*_equations(), *_tables(), *_left_out())


def base_number(each: Equation) -> str:
    """The number of the equation, without what it is solved for."""
    return each.number.removesuffix(" for t")


def _equations() -> tuple[Status, ...]:
    rows: dict[tuple[str, str], Status] = {}
    for each in catalogue():
        form = ", ".join(text for text in (each.system, each.edition) if text)
        name = each.number + (f" ({form})" if form else "")
        solved = SECOND_ROUTE if each.number.endswith(" for t") else ""
        checked = CHECKED.get(each.number) or solved or CHECKED.get(base_number(each), "")
        row = Status(name, each.meaning, True, each.provenance, each.source, checked)
        rows.setdefault((name, each.meaning), row)
    return tuple(rows.values())


def _tables() -> tuple[Status, ...]:
    return tuple(
        Status(
            f"table {each.name}",
            each.title,
            True,
            each.provenance,
            each.source,
            TABLES_CHECKED.get(each.name, NOT_CHECKED),
        )
        for file in FILES
        for each in published(file).values()
    )


def _left_out() -> tuple[Status, ...]:
    return tuple(Status(name, why, False, None, "", "") for name, why in LEFT_OUT)
