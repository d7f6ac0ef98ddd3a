"""Documents that were written before the program was run on them, to measure it on what it had not
seen. Labels, order and layout are those of imagined contractors; the town is invented.
"""

from __future__ import annotations

from pathlib import Path

import docx
import openpyxl
from corpus import Case, Rows, Truth, as_csv, as_typst, set_in_type

_CULVERT = """CIPP DESIGN CALCULATION SHEET
Job: Harrowmere Road culvert         Sheet 1 of 2

HOST PIPE
  Type of pipe ................ RCP
  Inside diameter ............. 36 in
  Ovality (%) ................. 5
  Depth of cover to crown ..... 9.5 ft
  Water table above invert .... 4 ft
SOIL
  Unit weight ................. 130 pcf
  Modulus of soil reaction .... 500 psi
  Live load (HS-20) ........... 0.8 psi
LINER
  Short term modulus .......... 400,000 psi
  Long term modulus ........... 200,000 psi
  Flexural strength ........... 6,500 psi
  Poisson's ratio ............. 0.30
FACTORS
  Factor of safety ............ 2.0
  Enhancement factor, K ....... 7
RESULTS
  Ovality reduction factor .... 0.640
  Buoyancy factor ............. 0.861
  Required thickness .......... 0.702 in
  Design thickness ............ 18 mm
"""
_CULVERT_TRUTH = {
    "host_diameter": "36 in", "ovality": "5 %", "cover": "9.5 ft",
    "groundwater_above_invert": "4 ft", "soil_unit_weight": "130 pcf",
    "soil_reaction_modulus": "500 psi", "live_load": "0.8 psi",
    "flexural_modulus": "400000 psi", "stated.steps.E_L": "200000 psi",
    "flexural_strength": "6500 psi", "poisson_ratio": "0.30", "safety_factor": "2.0",
    "enhancement_factor": "7", "stated.steps.C": "0.640", "stated.steps.R_w": "0.861",
    "stated.required_thickness": "0.702 in", "stated.thickness": "18 mm",
}  # fmt: skip

_MEMO = """To the Town of Harrowmere: Quay Street relining, our revision B.

1. The existing pipe from MH 7 to MH 8 is a 450 mm concrete sewer. Its measured mean inside diameter
is 446 mm with an ovality of 3.5 %. Cover above the crown is 2.75 m, and groundwater stands 1.9 m
above the invert.
2. Soil: unit weight 19.0 kN/m3, modulus of soil reaction 5.0 MPa. Live load at the crown 12 kPa.
3. Liner: flexural modulus (short-term) 3000 MPa, flexural strength 50 MPa, retention of modulus
60 %.
4. Design: safety factor 2, enhancement factor 7.
5. Result: the required thickness is 8.1 mm; we will install a nominal thickness of 9 mm.
"""
_MEMO_TRUTH = {
    "host_diameter": "446 mm", "ovality": "3.5 %", "cover": "2.75 m",
    "groundwater_above_invert": "1.9 m", "soil_unit_weight": "19.0 kN/m^3",
    "soil_reaction_modulus": "5.0 MPa", "live_load": "12 kPa", "flexural_modulus": "3000 MPa",
    "flexural_strength": "50 MPa", "modulus_retention": "60 %", "safety_factor": "2",
    "enhancement_factor": "7", "stated.required_thickness": "8.1 mm", "stated.thickness": "9 mm",
}  # fmt: skip

_SCHEDULE: Rows = [
    ["Upstream MH", "Downstream MH", "Length (ft)", "Dia. (in)", "Soil Cover (ft)",
     "GWT above Crown (ft)", "Ovality", "Calc. t (mm)", "Specified t (mm)"],
    ["A-12", "A-13", "312", "8", "7.5", "2.0", "2%", "3.12", "4.5"],
    ["A-13", "A-14", "287", "10", "8.0", "3.5", "2%", "4.40", "6.0"],
    ["A-14", "B-1", "401", "12", "11.0", "5.0", "3%", "5.85", "6.0"],
]  # fmt: skip
_SCHEDULE_KEYS = (
    "length", "host_diameter", "cover", "groundwater_above_crown", "ovality",
    "stated.required_thickness", "stated.thickness",
)  # fmt: skip
_SCHEDULE_UNITS = (" ft", " in", " ft", " ft", "", " mm", " mm")

_EQUATIONS: Rows = [
    ["Check", "Demand", "Min. thickness, mm", "Safety factor achieved"],
    ["X1.1 Hydrostatic buckling", "0.018 MPa", "4.91", "2.4"],
    ["X1.3 Soil buckling", "0.094 MPa", "5.63", "2.1"],
    ["X1.4 Minimum stiffness", "-", "4.30", "-"],
]
_EQUATION_TRUTH = {
    "stated.steps.t X1.1": "4.91 mm", "stated.steps.t X1.3": "5.63 mm",
    "stated.steps.t X1.4": "4.30 mm", "stated.steps.N_X1.1": "2.4", "stated.steps.N_X1.3": "2.1",
}  # fmt: skip

_INPUTS: Rows = [
    ["INPUT", "", "", ""],
    ["Host pipe mean I.D.", "D", "24", "inches"],
    ["Percent ovality", "q", "2", "%"],
    ["Height of cover", "H", "12", "ft"],
    ["Height of water above pipe invert", "", "8", "ft"],
    ["Soil weight", "w", "120", "lbs/ft3"],
    ["Soil modulus", "E's", "1000", "psi"],
    ["Surface live load", "Ws", "1.1", "psi"],
    ["Resin initial flexural modulus", "E", "350000", "psi"],
    ["Resin flexural strength", "", "5500", "psi"],
    ["Creep retention", "", "50", "%"],
    ["Poissons ratio", "v", "0.3", ""],
    ["Safety factor", "N", "2", ""],
    ["OUTPUT", "", "", ""],
    ["Reduction factor for ovality", "C", "0.836", ""],
    ["Total pressure on pipe", "qt", "14.2", "psi"],
    ["Liner thickness required", "t", "0.412", "in"],
    ["Liner nominal thickness", "", "10.5", "mm"],
]
_INPUT_TRUTH = {
    "host_diameter": "24 in", "ovality": "2 %", "cover": "12 ft",
    "groundwater_above_invert": "8 ft", "soil_unit_weight": "120 pcf",
    "soil_reaction_modulus": "1000 psi", "live_load": "1.1 psi", "flexural_modulus": "350000 psi",
    "flexural_strength": "5500 psi", "modulus_retention": "50 %", "poisson_ratio": "0.3",
    "safety_factor": "2", "stated.steps.C": "0.836", "stated.steps.q_t": "14.2 psi",
    "stated.required_thickness": "0.412 in", "stated.thickness": "10.5 mm",
}  # fmt: skip


def _truth(stated: dict[str, str]) -> tuple[Truth, ...]:
    return tuple(Truth(None, key, value) for key, value in stated.items())


def _schedule_truth() -> tuple[Truth, ...]:
    found = []
    for start, end, *numbers in _SCHEDULE[1:]:
        name = f"{start} to {end}"
        found.append(Truth(name, "name", name))
        for key, number, unit in zip(_SCHEDULE_KEYS, numbers, _SCHEDULE_UNITS, strict=True):
            value = f"{number}{unit}".replace("%", " %")
            found.append(Truth(name, key, value))
    return tuple(found)


def written(text: str, name: str, folder: Path) -> Path:
    """A text file."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def _memo_docx(folder: Path) -> Path:
    document = docx.Document()
    for paragraph in _MEMO.replace("\n\n", "\f").replace(".\n", ".\f").split("\f"):
        document.add_paragraph(paragraph.replace("\n", " "))
    document.save(folder / "memo.docx")
    return folder / "memo.docx"


def _memo_pdf(folder: Path) -> Path:
    marks = "#$*_`<>@[]~\\'\""
    text = "".join(f"\\{c}" if c in marks else c for c in _MEMO)
    return set_in_type(f"#set page(width: 16cm)\n{text}", folder / "memo.pdf")


def _sheet(rows: Rows, name: str, folder: Path) -> Path:
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Sheet1"
    for row in rows:
        cells: list[str | float] = []
        for cell in row:
            try:
                cells.append(float(cell))
            except ValueError:
                cells.append(cell)
        sheet.append(cells)
    book.save(folder / name)
    return folder / name


def _texts(rows: Rows) -> tuple[str, ...]:
    return tuple(cell for row in rows for cell in row)


def held_out() -> list[Case]:
    """The documents, each in two or three forms."""
    culvert = _truth(_CULVERT_TRUTH)
    memo = (*_truth(_MEMO_TRUTH), Truth(None, "host_diameter", "450 mm"))
    schedule, inputs = _schedule_truth(), _truth(_INPUT_TRUTH)
    equations = _truth(_EQUATION_TRUTH)
    lines, sentences = tuple(_CULVERT.splitlines()), tuple(_MEMO.splitlines())
    return [
        Case("culvert txt", lambda f: written(_CULVERT, "culvert.txt", f), culvert, lines),
        Case(
            "culvert pdf",
            lambda f: set_in_type(f"```\n{_CULVERT}\n```", f / "culvert.pdf"),
            culvert,
            lines,
        ),
        Case("memo txt", lambda f: written(_MEMO, "memo.txt", f), memo, sentences),
        Case("memo docx", _memo_docx, memo, sentences),
        Case("memo pdf", _memo_pdf, memo, sentences),
        Case("schedule xlsx", lambda f: _sheet(_SCHEDULE, "schedule.xlsx", f), schedule,
             _texts(_SCHEDULE)),
        Case("schedule csv", lambda f: as_csv(_SCHEDULE, f / "schedule.csv"), schedule,
             _texts(_SCHEDULE)),
        Case("schedule pdf", lambda f: as_typst(_SCHEDULE, f / "schedule.pdf"), schedule,
             _texts(_SCHEDULE)),
        Case("schedule unruled", lambda f: as_typst(_SCHEDULE, f / "schedule_2.pdf", False),
             schedule, _texts(_SCHEDULE)),
        Case("equations pdf", lambda f: as_typst(_EQUATIONS, f / "equations.pdf"), equations,
             _texts(_EQUATIONS)),
        Case("equations xlsx", lambda f: _sheet(_EQUATIONS, "equations.xlsx", f), equations,
             _texts(_EQUATIONS)),
        Case("inputs xlsx", lambda f: _sheet(_INPUTS, "inputs.xlsx", f), inputs, _texts(_INPUTS)),
        Case("inputs csv", lambda f: as_csv(_INPUTS, f / "inputs.csv"), inputs, _texts(_INPUTS)),
        Case("inputs pdf", lambda f: as_typst(_INPUTS, f / "inputs.pdf", False), inputs,
             _texts(_INPUTS)),
    ]  # fmt: skip
