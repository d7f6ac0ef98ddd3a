"""A second set, written before the program was run on it; the first had been used to mend it."""

from __future__ import annotations

from corpus import Case, Truth, as_csv, as_docx, as_openpyxl, as_typst
from held_out import written

TEXTS: dict[str, tuple[str, dict[str, str]]] = {
    "step by step": (
        """LINER THICKNESS DESIGN - ASTM F1216, APPENDIX X1
Location:  Quay Street, Harrowmere
Segment:  MH-21 to MH-22

Given:
    Existing pipe diameter = 18 inches
    Existing pipe ovality = 3%
    Ground water height above pipe invert = 9.0 ft
    Height of soil above pipe = 12.0 ft
    Soil weight = 120 lb/ft3
    Soil modulus, E's = 1,000 psi
    Traffic loading (HS-20), Ws = 0.8 psi
    CIPP initial flexural modulus, E = 300,000 psi
    CIPP long term flexural modulus, EL = 150,000 psi
    CIPP flexural strength = 5,000 psi
    Factor of safety, N = 2.0
    Poisson's ratio, v = 0.3
    Enhancement factor, K = 7

Step 1. Ovality reduction factor
    C = ((1 - 3/100)/(1 + 3/100)^2)^3 = 0.764
Step 2. Total load on the pipe
    qt = 10.81 psi
Step 3. Water buoyancy factor
    Rw = 1 - 0.33 (Hw/H) = 0.794
Step 4. Coefficient of elastic support
    B' = 0.353
Step 5. Thickness
    t = 0.281 in.

Use t = 7.5 mm
""",
        {
            "host_diameter": "18 in", "ovality": "3 %", "groundwater_above_invert": "9.0 ft",
            "cover": "12.0 ft", "soil_unit_weight": "120 pcf", "soil_reaction_modulus": "1000 psi",
            "live_load": "0.8 psi", "flexural_modulus": "300000 psi",
            "stated.steps.E_L": "150000 psi", "flexural_strength": "5000 psi",
            "safety_factor": "2.0", "poisson_ratio": "0.3", "enhancement_factor": "7",
            "stated.steps.C": "0.764", "stated.steps.q_t": "10.81 psi",
            "stated.steps.R_w": "0.794", "stated.steps.B'": "0.353",
        },
    ),
    "metric summary": (
        """Design basis
- Host pipe internal diameter: 525 mm
- Ovality: 2.0 %
- Depth of cover (ground level to pipe crown): 4.3 m
- Groundwater level: 1.2 m below ground level
- Soil bulk unit weight: 19.5 kN/m³
- Modulus of soil reaction E': 5 MPa
- Traffic load at crown: 9.5 kPa
- Short-term E-modulus: 2500 MPa
- Long-term E-modulus: 1250 MPa
- Short-term flexural strength: 40 MPa
- Poisson's ratio: 0.35
- Safety factor: 2.0

Results
- Minimum thickness by X1.1: 5.7 mm
- Minimum thickness by X1.3: 8.8 mm
- Minimum thickness by X1.4: 7.0 mm
- Required wall thickness: 8.8 mm
- Proposed wall thickness: 9.0 mm
- Safety factor provided in X1.3: 2.07
- DR: 58.3
""",
        {
            "host_diameter": "525 mm", "ovality": "2.0 %", "cover": "4.3 m",
            "groundwater_below_surface": "1.2 m", "soil_unit_weight": "19.5 kN/m^3",
            "soil_reaction_modulus": "5 MPa", "live_load": "9.5 kPa",
            "flexural_modulus": "2500 MPa", "stated.steps.E_L": "1250 MPa",
            "flexural_strength": "40 MPa", "poisson_ratio": "0.35", "safety_factor": "2.0",
            "stated.steps.t X1.1": "5.7 mm", "stated.steps.t X1.3": "8.8 mm",
            "stated.steps.t X1.4": "7.0 mm", "stated.required_thickness": "8.8 mm",
            "stated.thickness": "9.0 mm", "stated.steps.N_X1.3": "2.07",
            "stated.steps.DR": "58.3",
        },
    ),
    "pressure": (
        """Harrowmere rising main, lining of 12 in cast iron
Mean inside diameter of the host: 12.1 in
Internal pressure: 60 psi
Largest hole: 1.5 in
Vacuum: 2 psi
Tensile strength (initial): 6,000 psi
Tensile retention: 50 %
Flexural strength (initial): 7,000 psi
Strength retention: 45 %
Initial flexural modulus: 500,000 psi
Modulus retention: 55 %
Groundwater: 4 ft above the crown
Soil cover: 5'-0"
Pipe length: 640 ft
Required thickness by X1.6 = 0.105 in
Required thickness by X1.1 = 0.118 in
Liner thickness required = 0.118 in
Nominal liner thickness = 4.5 mm
""",
        {
            "host_diameter": "12.1 in", "internal_pressure": "60 psi", "hole_diameter": "1.5 in",
            "vacuum": "2 psi", "tensile_strength": "6000 psi", "tensile_retention": "50 %",
            "flexural_strength": "7000 psi", "strength_retention": "45 %",
            "flexural_modulus": "500000 psi", "modulus_retention": "55 %",
            "groundwater_above_crown": "4 ft", "cover": "5 ft", "length": "640 ft",
            "stated.steps.t X1.6": "0.105 in", "stated.steps.t X1.1": "0.118 in",
            "stated.required_thickness": "0.118 in", "stated.thickness": "4.5 mm",
        },
    ),
}  # fmt: skip

SCHEDULE = [
    ["Line", "Pipe ID\n(in.)", "Depth to\ninvert (ft)", "GW above\ninvert (ft)", "Ovality",
     "w\n(pcf)", "E's\n(psi)", "WS\n(psi)", "E\n(psi)", "N", "t req'd\n(in.)", "t design\n(mm)"],
    ["L-1", "8.0", "9.5", "5.0", "2%", "120", "1,000", "0.7", "250,000", "2.0", "0.121", "4.5"],
    ["L-2", "10.0", "11.0", "6.5", "2%", "120", "1,000", "0.5", "250,000", "2.0", "0.177", "4.5"],
    ["L-3", "12.0", "14.2", "8.0", "3%", "125", "700", "0.4", "250,000", "2.0", "0.262", "7.5"],
]  # fmt: skip
KEYS = (
    "host_diameter", "invert_depth", "groundwater_above_invert", "ovality", "soil_unit_weight",
    "soil_reaction_modulus", "live_load", "flexural_modulus", "safety_factor",
    "stated.required_thickness", "stated.thickness",
)  # fmt: skip
UNITS = (" in", " ft", " ft", "", " pcf", " psi", " psi", " psi", "", " in", " mm")


def second_set() -> list[Case]:
    """Three calculations as text, Word file and PDF, and a schedule in four forms."""
    cases = []
    for name, (text, stated) in TEXTS.items():
        truth = tuple(Truth(None, key, value) for key, value in stated.items())
        lines = tuple(text.splitlines())
        rows = [[line.strip()] for line in lines if line.strip()]
        stem = name.replace(" ", "_")
        cases += [
            Case(f"{name} txt", lambda f, t=text, s=stem: written(t, f"{s}.txt", f), truth, lines),
            Case(f"{name} docx", lambda f, r=rows, s=stem: as_docx(r, f / f"{s}.docx"), truth,
                 lines),
            Case(f"{name} pdf", lambda f, r=rows, s=stem: as_typst(r, f / f"{s}.pdf", False),
                 truth, lines),
        ]  # fmt: skip
    truth = tuple(
        Truth(row[0], key, f"{number.replace(',', '').replace('%', ' %')}{unit}")
        for row in SCHEDULE[1:]
        for key, number, unit in zip(KEYS, row[1:], UNITS, strict=True)
    )
    texts = tuple(cell for row in SCHEDULE for cell in row)
    cases += [
        Case("lines csv", lambda f: as_csv(SCHEDULE, f / "lines.csv"), truth, texts),
        Case("lines xlsx", lambda f: as_openpyxl(SCHEDULE, f / "lines.xlsx"), truth, texts),
        Case("lines docx", lambda f: as_docx(SCHEDULE, f / "lines.docx"), truth, texts),
        Case("lines pdf", lambda f: as_typst(SCHEDULE, f / "lines.pdf"), truth, texts),
    ]
    return cases
