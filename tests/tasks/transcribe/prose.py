"""Calculations and letters in running text, written by hand, with what they state.

The town, Harrowmere, and the values are invented; the substituted lines follow the published 48 in
example (Najafi 2010, pp. 75-83).
"""

from __future__ import annotations

from pathlib import Path

import docx
from corpus import Case, Truth, set_in_type

# Text, and what it states: pipe, key, value.
LETTERS: dict[str, tuple[str, list[tuple[str | None, str, str]]]] = {
    "letter US": (
        """Town of Harrowmere, Mill Lane sewer renewal

Dear reviewer,

For MH 4 to MH 5 we propose a liner with a design thickness of 7.5 mm.
The sewer has an inside diameter of 15 in. and an ovality of 3 %. The soil cover is 12'-6" and the
groundwater is 7 ft over the invert. Soil unit weight is 120 pcf; the modulus of soil reaction is
1,000 psi. The live load is 0.9 psi.

The resin has an initial flexural modulus of 300,000 psi and a flexural strength of 5,000 psi.
The modulus retention is 50 % and the safety factor is 2.0. Poisson's ratio is 0.3.
The required thickness is 0.262 in.
""",
        [
            ("MH 4 to MH 5", "stated.thickness", "7.5 mm"),
            ("MH 4 to MH 5", "host_diameter", "15 in"),
            ("MH 4 to MH 5", "ovality", "3 %"),
            ("MH 4 to MH 5", "cover", "12.5 ft"),
            ("MH 4 to MH 5", "groundwater_above_invert", "7 ft"),
            ("MH 4 to MH 5", "soil_unit_weight", "120 pcf"),
            ("MH 4 to MH 5", "soil_reaction_modulus", "1000 psi"),
            ("MH 4 to MH 5", "live_load", "0.9 psi"),
            (None, "flexural_modulus", "300000 psi"),
            (None, "flexural_strength", "5000 psi"),
            (None, "modulus_retention", "50 %"),
            (None, "safety_factor", "2.0"),
            (None, "poisson_ratio", "0.3"),
            ("MH 4 to MH 5", "stated.required_thickness", "0.262 in"),
        ],
    ),
    "letter SI": (
        """Harrowmere outfall culvert, submittal 4

The host is a culvert with a mean inside diameter of 900 mm and 2 % ovality. The depth to invert
is 5.4 m and the groundwater table is 1.5 m below ground level. We have taken a soil unit weight of
19 kN/m³, E' = 6.9 N/mm² and a live load of 8 kPa.
Short-term flexural modulus: 2.8 GPa. Long-term flexural modulus: 1,4 GPa.
Flexural strength: 45 N/mm². Poisson's ratio: 0,3.
Enhancement factor: 7. Factor of safety: 2.
The selected wall thickness is 15,0 mm.
""",
        [
            (None, "host_diameter", "900 mm"),
            (None, "ovality", "2 %"),
            (None, "invert_depth", "5.4 m"),
            (None, "groundwater_below_surface", "1.5 m"),
            (None, "soil_unit_weight", "19 kN/m^3"),
            (None, "soil_reaction_modulus", "6.9 MPa"),
            (None, "live_load", "8 kPa"),
            (None, "flexural_modulus", "2.8 GPa"),
            (None, "stated.steps.E_L", "1.4 GPa"),
            (None, "flexural_strength", "45 MPa"),
            (None, "poisson_ratio", "0.3"),
            (None, "enhancement_factor", "7"),
            (None, "safety_factor", "2"),
            (None, "stated.thickness", "15.0 mm"),
        ],
    ),
    "calculation US": (
        """DESIGN TO ASTM F1216-07b
Pipe: Trunk A
D = 48 in
q = 2 %
Soil cover above the crown, H = 16 ft
Groundwater above the crown, Hw = 8 ft
w = 120 lb/ft3
E's = 1,000 psi
E_L = 125,000 psi
nu = 0.3
K = 7
N = 2
C = [(1 - 2/100)/(1 + 2/100)^2]^3 = 0.836
Rw = 1 - 0.33(8/16) = 0.835
B' = 1/(1 + 4e^(-0.065*16)) = 0.414
qt = 0.433(8) + 120(16)(0.835)/144 + 0.35 = 14.95 psi
t X1.1 = 0.878 in
t X1.3 = 1.01 in
t X1.4 = 0.790 in
t_req = 1.01 in (25.7 mm)
Design thickness = 27 mm
""",
        [
            (None, "edition", "F1216-07b"),
            ("Trunk A", "host_diameter", "48 in"),
            ("Trunk A", "ovality", "2 %"),
            ("Trunk A", "cover", "16 ft"),
            ("Trunk A", "groundwater_above_crown", "8 ft"),
            ("Trunk A", "soil_unit_weight", "120 pcf"),
            ("Trunk A", "soil_reaction_modulus", "1000 psi"),
            (None, "stated.steps.E_L", "125000 psi"),
            (None, "poisson_ratio", "0.3"),
            (None, "enhancement_factor", "7"),
            (None, "safety_factor", "2"),
            ("Trunk A", "stated.steps.C", "0.836"),
            ("Trunk A", "stated.steps.R_w", "0.835"),
            ("Trunk A", "stated.steps.B'", "0.414"),
            ("Trunk A", "stated.steps.q_t", "14.95 psi"),
            ("Trunk A", "stated.steps.t X1.1", "0.878 in"),
            ("Trunk A", "stated.steps.t X1.3", "1.01 in"),
            ("Trunk A", "stated.steps.t X1.4", "0.790 in"),
            ("Trunk A", "stated.required_thickness", "1.01 in"),
            ("Trunk A", "stated.required_thickness", "25.7 mm"),
            ("Trunk A", "stated.thickness", "27 mm"),
        ],
    ),
    "calculation SI": (
        """Host pipe: DN 600
Mean inside diameter: 598 mm
Minimum inside diameter: 588 mm
Soil cover: 3,4 m
Groundwater above invert: 2,1 m
Soil unit weight: 18,8 kN/m³
Modulus of soil reaction: 4,8 MPa
Live load: none
E = 1 750 MPa
Flexural strength: 35 MPa
creep 50 %
FS = 2,0
v = 0,30
C = 0,86
t1 = 7,91 mm
Required thickness (X1.3) = 9,02 mm
Required thickness: 9,02 mm
Nominal thickness: 10,5 mm
""",
        [
            (None, "host_diameter", "600"),
            (None, "host_diameter", "598 mm"),
            (None, "minimum_diameter", "588 mm"),
            (None, "cover", "3.4 m"),
            (None, "groundwater_above_invert", "2.1 m"),
            (None, "soil_unit_weight", "18.8 kN/m^3"),
            (None, "soil_reaction_modulus", "4.8 MPa"),
            (None, "flexural_modulus", "1750 MPa"),
            (None, "flexural_strength", "35 MPa"),
            (None, "modulus_retention", "50 %"),
            (None, "safety_factor", "2.0"),
            (None, "poisson_ratio", "0.30"),
            (None, "stated.steps.C", "0.86"),
            (None, "stated.steps.t X1.1", "7.91 mm"),
            (None, "stated.steps.t X1.3", "9.02 mm"),
            (None, "stated.required_thickness", "9.02 mm"),
            (None, "stated.thickness", "10.5 mm"),
        ],
    ),
    "notes US": (
        """Segment 12: 15" VCP, GW 7 ft over invert, 11 ft of cover
Segment 13: 18" VCP, GW 4.5 ft over invert, 9'-3" of cover
HS-20 traffic; Ci = 0.836, FS = 2.0, E' = 1000 psi, E = 250 ksi
Segment 12: t_req = 5.12 mm, design thickness 6.0 mm
Segment 13: t_req = 6.31 mm, design thickness 7.5 mm
""",
        [
            ("Segment 12", "host_diameter", "15 in"),
            ("Segment 12", "groundwater_above_invert", "7 ft"),
            ("Segment 12", "cover", "11 ft"),
            ("Segment 13", "host_diameter", "18 in"),
            ("Segment 13", "groundwater_above_invert", "4.5 ft"),
            ("Segment 13", "cover", "9.25 ft"),
            (None, "live_load", "H-20 table"),
            (None, "stated.steps.C", "0.836"),
            (None, "safety_factor", "2.0"),
            (None, "soil_reaction_modulus", "1000 psi"),
            (None, "flexural_modulus", "250 ksi"),
            ("Segment 12", "stated.required_thickness", "5.12 mm"),
            ("Segment 12", "stated.thickness", "6.0 mm"),
            ("Segment 13", "stated.required_thickness", "6.31 mm"),
            ("Segment 13", "stated.thickness", "7.5 mm"),
        ],
    ),
}


def _text(name: str, folder: Path) -> Path:
    path = folder / f"{name.replace(' ', '_')}.txt"
    path.write_text(LETTERS[name][0], encoding="utf-8")
    return path


def _docx(name: str, folder: Path) -> Path:
    """Each line a paragraph, or the sentences of a paragraph run together."""
    document = docx.Document()
    for block in LETTERS[name][0].split("\n\n"):
        for line in [block.replace("\n", " ")] if "letter" in name else block.split("\n"):
            document.add_paragraph(line)
    path = folder / f"{name.replace(' ', '_')}.docx"
    document.save(path)
    return path


def _pdf(name: str, folder: Path) -> Path:
    marks = "#$*_`<>@[]~\\'\""
    escaped = "".join(f"\\{c}" if c in marks else c for c in LETTERS[name][0])
    broken = escaped if "letter" in name else escaped.replace("\n", " \\\n")
    head = '#set page(paper: "us-letter", margin: 2.5cm)\n#set par(justify: true)\n'
    return set_in_type(head + broken, folder / f"{name.replace(' ', '_')}.pdf")


def letters() -> list[Case]:
    """Every text as a text file, a Word file and a PDF."""
    cases = []
    for name, (text, stated) in LETTERS.items():
        truth = tuple(Truth(*each) for each in stated)
        for form, build in (("text", _text), ("docx", _docx), ("pdf", _pdf)):
            made = lambda folder, build=build, name=name: build(name, folder)  # noqa: E731
            cases.append(Case(f"{name}, {form}", made, truth, tuple(text.splitlines())))
    return cases
