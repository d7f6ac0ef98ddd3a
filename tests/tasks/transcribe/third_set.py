"""A third set, written last; its first run is in `docs/transcribe.md`."""

from __future__ import annotations

from corpus import Case, Rows, Truth, as_docx, as_openpyxl, as_typst
from held_out import written

TEXTS: dict[str, tuple[str, list[tuple[str, str]]]] = {
    "reach": (
        """Project: Harrowmere Interceptor, Reach 7
CIPP WALL THICKNESS CALCULATION

Host pipe: 30" RCP (ID = 30.0 in)
Average out-of-roundness: 4 %
Invert depth below grade: 17.5 ft
Water table depth below grade: 6 ft
Soil: sand, w = 125 lb/cu.ft
Soil modulus E's: 700 psi
Surface live load at pipe crown: 0.6 psi (HS-20)

Liner properties (short-term):
Flexural modulus: 3.0E+05 psi
Flexural strength: 5,500 psi
Long-term modulus (50 %): 150,000 psi
Poisson ratio: 0.30
N = 2.0 ; K = 7 ; C = 0.703

X1.1: t = 0.492 in
X1.3: t = 0.688 in
X1.4: t = 0.497 in
Governing thickness = 0.688 in
Specified thickness = 18.0 mm
""",
        [
            ("host_diameter", "30.0 in"),
            ("ovality", "4 %"),
            ("invert_depth", "17.5 ft"),
            ("groundwater_below_surface", "6 ft"),
            ("soil_unit_weight", "125 pcf"),
            ("soil_reaction_modulus", "700 psi"),
            ("live_load", "0.6 psi"),
            ("flexural_modulus", "300000 psi"),
            ("flexural_strength", "5500 psi"),
            ("stated.steps.E_L", "150000 psi"),
            ("poisson_ratio", "0.30"),
            ("safety_factor", "2.0"),
            ("enhancement_factor", "7"),
            ("stated.steps.C", "0.703"),
            ("stated.steps.t X1.1", "0.492 in"),
            ("stated.steps.t X1.3", "0.688 in"),
            ("stated.steps.t X1.4", "0.497 in"),
            ("stated.thickness", "18.0 mm"),
        ],
    ),
    "prose": (
        """Submittal for MH 30 to MH 31

The pipe is 10 inches in diameter (inside) and partially deteriorated. We measured 2.5 percent ovality by laser.
Groundwater was found 5.5 feet above the pipe invert; there is 8 feet of soil cover.
Our resin has a flexural modulus of 280,000 psi and flexural strength of 4,800 psi, of which 50% is retained long term.
Using a safety factor of 2 and enhancement factor of 7, the required thickness is 0.134 in. (3.4 mm).
We will install a 4.5 mm liner.
""",  # noqa: E501
        [
            ("host_diameter", "10 in"),
            ("ovality", "2.5 %"),
            ("groundwater_above_invert", "5.5 ft"),
            ("cover", "8 ft"),
            ("flexural_modulus", "280000 psi"),
            ("flexural_strength", "4800 psi"),
            ("safety_factor", "2"),
            ("enhancement_factor", "7"),
            ("stated.required_thickness", "0.134 in"),
            ("stated.thickness", "4.5 mm"),
            ("stated.required_thickness", "3.4 mm"),
        ],
    ),
}

SHEET: Rows = [
    ["Item", "Sym.", "MH 40 - MH 41", "MH 41 - MH 42", "MH 42 - MH 43"],
    ["Existing diameter, mm", "D", "225", "300", "375"],
    ["Ovality, %", "q", "2", "2", "3"],
    ["Soil cover, m", "H", "2.1", "2.4", "3.0"],
    ["Groundwater above invert, m", "", "1.2", "1.5", "2.0"],
    ["Initial modulus, MPa", "E", "1724", "1724", "1724"],
    ["Creep factor, %", "CRF", "50", "50", "50"],
    ["Long-term modulus, MPa", "EL", "862", "862", "862"],
    ["Safety factor", "N", "2.0", "2.0", "2.0"],
    ["Ovality factor", "C", "0.836", "0.836", "0.764"],
    ["Required thickness X1.1, mm", "t1", "2.9", "4.2", "6.0"],
    ["Required thickness X1.4, mm", "t4", "2.2", "3.0", "3.7"],
    ["Min. required thickness, mm", "", "2.9", "4.2", "6.0"],
    ["Design thickness, mm", "td", "4.5", "4.5", "6.0"],
]
KEYS = (
    "host_diameter",
    "ovality",
    "cover",
    "groundwater_above_invert",
    "flexural_modulus",
    "modulus_retention",
    "stated.steps.E_L",
    "safety_factor",
    "stated.steps.C",
    "stated.steps.t X1.1",
    "stated.steps.t X1.4",
    "stated.required_thickness",
    "stated.thickness",
)
UNITS = (" mm", " %", " m", " m", " MPa", " %", " MPa", "", "", " mm", " mm", " mm", " mm")


def third_set() -> list[Case]:
    """Two texts and a sheet with a column a pipe, each in two or three forms."""
    cases = []
    for name, (text, stated) in TEXTS.items():
        truth = tuple(Truth(None, key, value) for key, value in stated)
        lines = tuple(text.splitlines())
        rows = [[line.strip()] for line in lines if line.strip()]
        cases += [
            Case(f"{name} txt", lambda f, t=text, n=name: written(t, f"{n}.txt", f), truth, lines),
            Case(
                f"{name} docx", lambda f, r=rows, n=name: as_docx(r, f / f"{n}.docx"), truth, lines
            ),
        ]
    truth = tuple(
        Truth(SHEET[0][column], key, SHEET[row + 1][column] + unit)
        for row, (key, unit) in enumerate(zip(KEYS, UNITS, strict=True))
        for column in (2, 3, 4)
    )
    texts = tuple(cell for row in SHEET for cell in row)
    return [
        *cases,
        Case("sheet pdf", lambda f: as_typst(SHEET, f / "sheet.pdf", False), truth, texts),
        Case("sheet docx", lambda f: as_docx(SHEET, f / "sheet.docx"), truth, texts),
        Case("sheet xlsx", lambda f: as_openpyxl(SHEET, f / "sheet.xlsx"), truth, texts),
    ]
