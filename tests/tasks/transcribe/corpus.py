"""Documents with known values in many dresses, made by other programs than the one under test.

PDF by Typst and by LibreOffice, workbooks by openpyxl and XlsxWriter, Word files by python-docx,
text, Markdown and CSV by hand. The values and the town, Harrowmere, are invented.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import docx
import office
import openpyxl
import typst
import xlsxwriter


@dataclass(frozen=True)
class Truth:
    """A value that a document states; `pipe` None where it is not of one pipe."""

    pipe: str | None
    key: str
    value: str


@dataclass(frozen=True)
class Case:
    """A document, what it states, and every text that was put into it."""

    name: str
    build: Callable[[Path], Path]
    truth: tuple[Truth, ...]
    texts: tuple[str, ...]


US_PIPES = {
    "MH 1 to MH 2": {
        "host_diameter": "12 in", "ovality": "3 %", "cover": "10.5 ft",
        "groundwater_above_invert": "6 ft", "soil_unit_weight": "120 pcf",
        "soil_reaction_modulus": "1000 psi", "live_load": "1.2 psi",
        "stated.required_thickness": "0.214 in", "stated.thickness": "6 mm",
    },
    "MH 2 to MH 3": {
        "host_diameter": "15 in", "ovality": "2 %", "cover": "14 ft",
        "groundwater_above_invert": "9.25 ft", "soil_unit_weight": "125 pcf",
        "soil_reaction_modulus": "700 psi", "live_load": "0.8 psi",
        "stated.required_thickness": "0.331 in", "stated.thickness": "9 mm",
    },
}  # fmt: skip
SI_PIPES = {
    "MH 11 to MH 12": {
        "host_diameter": "300 mm", "ovality": "2.5 %", "cover": "3.2 m",
        "groundwater_above_crown": "1.8 m", "soil_unit_weight": "18.8 kN/m^3",
        "soil_reaction_modulus": "6.9 MPa", "live_load": "8.3 kPa",
        "stated.required_thickness": "5.44 mm", "stated.thickness": "6 mm",
    },
    "MH 12 to MH 13": {
        "host_diameter": "375 mm", "ovality": "4 %", "cover": "4.15 m",
        "groundwater_above_crown": "2.6 m", "soil_unit_weight": "19.6 kN/m^3",
        "soil_reaction_modulus": "4.8 MPa", "live_load": "5.5 kPa",
        "stated.required_thickness": "8.39 mm", "stated.thickness": "9 mm",
    },
}  # fmt: skip
US_LINER = {
    "flexural_modulus": "250000 psi", "flexural_strength": "4500 psi",
    "modulus_retention": "50 %", "stated.steps.E_L": "125000 psi", "poisson_ratio": "0.3",
    "safety_factor": "2.0", "enhancement_factor": "7.0",
}  # fmt: skip
SI_LINER = {
    "flexural_modulus": "1724 MPa", "flexural_strength": "31 MPa", "modulus_retention": "50 %",
    "stated.steps.E_L": "862 MPa", "poisson_ratio": "0.3", "safety_factor": "2.0",
    "enhancement_factor": "7.0",
}  # fmt: skip
STEPS = {
    "stated.steps.C": "0.836", "stated.steps.R_w": "0.835", "stated.steps.B'": "0.414",
    "stated.steps.t X1.1": "0.878 in", "stated.steps.t X1.3": "1.01 in",
    "stated.steps.t X1.4": "0.790 in", "stated.steps.q_t": "14.95 psi",
    "stated.steps.P": "5.20 psi", "stated.steps.DR": "47.6",
}  # fmt: skip

# Labels of five imagined contractors: (label, symbol).
DRESSES: dict[str, dict[str, tuple[str, str]]] = {
    "office": {
        "host_diameter": ("Mean inside diameter of host pipe", "D"),
        "ovality": ("Ovality of host pipe", "q"),
        "cover": ("Height of soil above top of pipe", "H"),
        "groundwater_above_invert": ("Height of groundwater above invert", ""),
        "groundwater_above_crown": ("Height of groundwater above crown", "Hw"),
        "soil_unit_weight": ("Unit weight of soil", "w"),
        "soil_reaction_modulus": ("Modulus of soil reaction", "E's"),
        "live_load": ("Live load", "Ws"),
        "stated.required_thickness": ("Required thickness", "t_req"),
        "stated.thickness": ("Design thickness", "t"),
        "flexural_modulus": ("Initial flexural modulus", "E"),
        "flexural_strength": ("Initial flexural strength", "σ"),
        "modulus_retention": ("Modulus retention", ""),
        "stated.steps.E_L": ("Long-term flexural modulus", "E_L"),
        "poisson_ratio": ("Poisson's ratio", "ν"),
        "safety_factor": ("Factor of safety", "N"),
        "enhancement_factor": ("Enhancement factor", "K"),
        "stated.steps.C": ("Ovality reduction factor", "C"),
        "stated.steps.R_w": ("Water buoyancy factor", "Rw"),
        "stated.steps.B'": ("Coefficient of elastic support", "B'"),
        "stated.steps.t X1.1": ("Thickness by X1.1", "t"),
        "stated.steps.t X1.3": ("Thickness by X1.3", "t"),
        "stated.steps.t X1.4": ("Thickness by X1.4", "t"),
        "stated.steps.q_t": ("Total external pressure on pipe", "qt"),
        "stated.steps.P": ("External water pressure", "P"),
        "stated.steps.DR": ("Dimension ratio", "DR"),
    },
    "terse": {
        "host_diameter": ("Host ID", ""),
        "ovality": ("Ovality", ""),
        "cover": ("Cover", ""),
        "groundwater_above_invert": ("GW over invert", ""),
        "groundwater_above_crown": ("GW over crown", ""),
        "soil_unit_weight": ("Soil unit wt.", ""),
        "soil_reaction_modulus": ("Soil modulus", "E'"),
        "live_load": ("Traffic load", ""),
        "stated.required_thickness": ("Req'd thk.", ""),
        "stated.thickness": ("Nominal thk.", ""),
        "flexural_modulus": ("Flex. modulus", ""),
        "flexural_strength": ("Flex. strength", ""),
        "modulus_retention": ("Retention", ""),
        "stated.steps.E_L": ("Long term modulus", ""),
        "poisson_ratio": ("Poisson", ""),
        "safety_factor": ("FS", ""),
        "enhancement_factor": ("Enhancement", ""),
        "stated.steps.C": ("Ovality factor", ""),
        "stated.steps.R_w": ("Buoyancy factor", ""),
        "stated.steps.B'": ("Elastic support", ""),
        "stated.steps.t X1.1": ("t (X1.1)", ""),
        "stated.steps.t X1.3": ("t (X1.3)", ""),
        "stated.steps.t X1.4": ("t (X1.4)", ""),
        "stated.steps.q_t": ("Total pressure", ""),
        "stated.steps.P": ("External pressure", ""),
        "stated.steps.DR": ("DR", ""),
    },
    "wordy": {
        "host_diameter": ("Inside diameter of the existing sewer", "D"),
        "ovality": ("Design ovality", "q"),
        "cover": ("Depth of soil cover over the crown of the pipe", "H"),
        "groundwater_above_invert": ("Groundwater level above the invert of the pipe", ""),
        "groundwater_above_crown": ("Groundwater level above the top of the pipe", ""),
        "soil_unit_weight": ("Soil density", "w"),
        "soil_reaction_modulus": ("Soil reaction modulus", "E'_s"),
        "live_load": ("Live load at the top of pipe", "W_s"),
        "stated.required_thickness": ("Minimum required liner thickness", ""),
        "stated.thickness": ("Selected liner thickness", ""),
        "flexural_modulus": ("Flexural modulus of elasticity, short-term", ""),
        "flexural_strength": ("Flexural strength, short-term", ""),
        "modulus_retention": ("Long-term retention of modulus", ""),
        "stated.steps.E_L": ("Flexural modulus at 50 years", ""),
        "poisson_ratio": ("Poisson's ratio of the liner", "µ"),
        "safety_factor": ("Design safety factor", ""),
        "enhancement_factor": ("Soil enhancement factor", "K"),
        "stated.steps.C": ("Reduction factor for ovality", "C"),
        "stated.steps.R_w": ("Buoyancy factor", "R_w"),
        "stated.steps.B'": ("Elastic support coefficient", "B'"),
        "stated.steps.t X1.1": ("Required thickness, Eq. X1.1", ""),
        "stated.steps.t X1.3": ("Required thickness, Eq. X1.3", ""),
        "stated.steps.t X1.4": ("Required thickness, Eq. X1.4", ""),
        "stated.steps.q_t": ("Total external load", "q_t"),
        "stated.steps.P": ("Groundwater pressure", "P"),
        "stated.steps.DR": ("Dimension ratio of the liner", ""),
    },
}
# How units are printed, by contractor.
UNITS = {
    "office": {"pcf": "lb/ft³", "kN/m^3": "kN/m³", "MPa": "N/mm²"},
    "terse": {"kN/m^3": "kN/m3"},
    "wordy": {"in": "in.", "ft": "feet", "pcf": "lb/cu ft", "kN/m^3": "kN/m³"},
}
GROUPED = {"250000": "250,000", "125000": "125,000", "1000": "1,000", "4500": "4,500"}


def printed(value: str, dress: str) -> tuple[str, str]:
    """Number and unit as the contractor prints them."""
    number, _, unit = value.partition(" ")
    us = unit in ("psi", "ft", "in", "pcf")
    return (GROUPED.get(number, number) if us else number), UNITS[dress].get(unit, unit)


def values(units: str, steps: bool = False) -> dict[str, dict[str, str]]:
    """Values by pipe, those of the liner under the empty name."""
    pipes = dict(US_PIPES if units == "US" else SI_PIPES)
    liner = US_LINER if units == "US" else SI_LINER
    return {**pipes, "": liner | (STEPS if steps else {})}


Rows = list[list[str]]


def listed(units: str, dress: str, form: str, steps: bool) -> tuple[Rows, tuple[Truth, ...]]:
    """One pipe, a row a quantity. `form` is where the unit is: own column, label, or value."""
    every = values(units, steps)
    name = next(iter(every))
    rows: Rows = [["Pipe run", name]]
    if form == "column":
        rows.append(["Parameter", "Symbol", "Value", "Unit"])
    truth = [Truth(name, "name", name)]
    for key, value in {**every[name], **every[""]}.items():
        label, symbol = DRESSES[dress][key]
        number, unit = printed(value, dress)
        if form == "column":
            rows.append([label, symbol, number, unit])
        elif form == "label":
            rows.append([f"{label} ({unit})" if unit else label, number])
        else:
            rows.append([f"{label}, {symbol}" if symbol else label, f"{number} {unit}".strip()])
        truth.append(Truth(name, key, value))
    return rows, tuple(truth)


def by_rows(units: str, dress: str) -> tuple[Rows, tuple[Truth, ...]]:
    """A row a pipe, a column a quantity."""
    every = values(units)
    pipes = {name: own for name, own in every.items() if name}
    keys = list(next(iter(pipes.values())))
    unit_of = {k: printed(next(iter(pipes.values()))[k], dress)[1] for k in keys}
    head = ["Pipe", *(f"{DRESSES[dress][k][0]} ({unit_of[k]})" for k in keys)]
    rows = [head] + [[n, *(printed(own[k], dress)[0] for k in keys)] for n, own in pipes.items()]
    truth = [Truth(n, k, v) for n, own in pipes.items() for k, v in {"name": n, **own}.items()]
    return rows, tuple(truth)


def by_columns(units: str, dress: str) -> tuple[Rows, tuple[Truth, ...]]:
    """A row a quantity, a column a pipe."""
    every = values(units)
    pipes = {name: own for name, own in every.items() if name}
    keys = list(next(iter(pipes.values())))
    rows = [["Quantity", "Unit", *pipes]]
    for key in keys:
        numbers = [printed(own[key], dress) for own in pipes.values()]
        rows.append([DRESSES[dress][key][0], numbers[0][1], *(number for number, _ in numbers)])
    truth = [Truth(n, k, v) for n, own in pipes.items() for k, v in {"name": n, **own}.items()]
    return rows, tuple(truth)


# The forms of files


def as_csv(rows: Rows, path: Path, delimiter: str = ",") -> Path:
    """A CSV file."""
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, delimiter=delimiter).writerows(rows)
    return path


def as_markdown(rows: Rows, path: Path) -> Path:
    """A Markdown table; rows of two cells before it as lines."""
    lines = ["# Liner thickness", ""]
    width = max(map(len, rows))
    ruled = False
    for row in rows:
        if len(row) < width:
            lines.append(f"**{row[0]}:** {row[1]}\n")
            continue
        lines.append("| " + " | ".join(row) + " |")
        if not ruled:
            lines.append("|" + "---|" * width)
            ruled = True
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def as_text(rows: Rows, path: Path) -> Path:
    """Columns of text, filled with blanks."""
    width = [max(len(row[i]) for row in rows if i < len(row)) for i in range(max(map(len, rows)))]
    lines = ["  ".join(c.ljust(w) for c, w in zip(row, width, strict=False)) for row in rows]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def _number(text: str) -> str | float:
    try:
        return float(text.replace(",", ""))
    except ValueError:
        return text


def as_openpyxl(rows: Rows, path: Path) -> Path:
    """A workbook with numbers as numbers, beginning at B3."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Design"
    for i, row in enumerate(rows):
        for j, cell in enumerate(row):
            sheet.cell(i + 3, j + 2, _number(cell))
    for column in "BCDEFGHIJKLM":
        sheet.column_dimensions[column].width = 14 if len(rows[0]) > 5 else 42
    for row in sheet.iter_rows():
        for cell in row:
            cell.alignment = openpyxl.styles.Alignment(wrap_text=True)
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    book.save(path)
    return path


def as_xlsxwriter(rows: Rows, path: Path) -> Path:
    """A workbook with formulas: numbers are stored results of formulas, percentages formatted."""
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet("Calc 1")
    percent = book.add_format({"num_format": "0.0%"})
    for i, row in enumerate(rows):
        for j, cell in enumerate(row):
            value = _number(cell)
            if cell.endswith(" %"):
                sheet.write_number(i, j, float(cell[:-2]) / 100, percent)
            elif isinstance(value, float):
                sheet.write_formula(i, j, f"={value!r}*1", None, value)
            else:
                sheet.write_string(i, j, cell)
    book.close()
    return path


def as_docx(rows: Rows, path: Path) -> Path:
    """A Word file: rows of the widest kind as a table, others as paragraphs."""
    document = docx.Document()
    document.add_heading("Liner thickness calculation", 1)
    width = max(map(len, rows))
    table = None
    for row in rows:
        if len(row) < width:
            document.add_paragraph(f"{row[0]}: {row[1]}")
            continue
        table = table or document.add_table(rows=0, cols=width)
        for cell, text in zip(table.add_row().cells, row, strict=True):
            cell.text = text
    document.save(path)
    return path


def _escaped(text: str) -> str:
    return "".join(f"\\{c}" if c in "#$*_`<>@[]~\\'\"" else c for c in text)


def as_typst(rows: Rows, path: Path, ruled: bool = True) -> Path:
    """A PDF by Typst, its table with or without rules."""
    width = max(map(len, rows))
    wide = "auto" if width < 6 else "1fr"
    stroke = "0.5pt" if ruled else "none"
    flipped = "true" if width >= 6 else "false"
    body = [
        f"#set page(flipped: {flipped}, margin: 1.5cm)",
        "#set text(size: 9pt)",
        "= Liner design",
        "",
    ]
    cells: list[str] = []
    for row in rows:
        if len(row) < width and not cells:
            body.append(f"{_escaped(row[0])}: {_escaped(row[1])}\n")
        else:
            cells += [f"[{_escaped(cell)}]" for cell in [*row, *[""] * (width - len(row))]]
    columns = f"({', '.join([wide] * width)})"
    body.append(f"#table(columns: {columns}, stroke: {stroke}, {', '.join(cells)})")
    return set_in_type("\n".join(body), path)


def set_in_type(source: str, path: Path) -> Path:
    """A PDF by Typst from its source."""
    typst.compile(source.encode(), output=str(path))
    return path


def as_unruled(rows: Rows, path: Path) -> Path:
    """A PDF by Typst without rules."""
    return as_typst(rows, path, ruled=False)


def converted(source: Path, suffix: str) -> Path:
    """What LibreOffice makes of a file."""
    folder = source.parent / f"from_{source.suffix[1:]}"
    options = ["--infilter=CSV:44,34,76"] if source.suffix == ".csv" else []
    office.converted([source], folder, suffix[1:], *options)
    return folder / f"{source.stem}{suffix}"


def office_csv_of_xlsx(rows: Rows, path: Path) -> Path:
    """A CSV file that LibreOffice makes of a workbook."""
    return converted(as_openpyxl(rows, path.with_suffix(".xlsx")), ".csv")


def office_pdf_of_xlsx(rows: Rows, path: Path) -> Path:
    """A PDF that LibreOffice makes of a workbook."""
    return converted(as_openpyxl(rows, path.with_suffix(".xlsx")), ".pdf")


def office_xlsx_of_csv(rows: Rows, path: Path) -> Path:
    """A workbook that LibreOffice makes of a CSV file."""
    return converted(as_csv(rows, path.with_suffix(".csv")), ".xlsx")


FORMS: dict[str, tuple[str, Callable[[Rows, Path], Path]]] = {
    "csv": (".csv", as_csv),
    "semicolons": (".csv", lambda rows, path: as_csv(rows, path, ";")),
    "markdown": (".md", as_markdown),
    "text": (".txt", as_text),
    "openpyxl": (".xlsx", as_openpyxl),
    "xlsxwriter": (".xlsx", as_xlsxwriter),
    "docx": (".docx", as_docx),
    "typst ruled": (".pdf", as_typst),
    "typst unruled": (".pdf", as_unruled),
    **(
        {
            "office csv of xlsx": (".csv", office_csv_of_xlsx),
            "office pdf of xlsx": (".pdf", office_pdf_of_xlsx),
            "office xlsx of csv": (".xlsx", office_xlsx_of_csv),
        }
        if office.SOFFICE
        else {}
    ),
}


def _case(name: str, form: str, made: tuple[Rows, tuple[Truth, ...]]) -> Case:
    rows, truth = made
    suffix, write = FORMS[form]
    texts = tuple(cell for row in rows for cell in row)
    stem = re.sub(r"[ ,/]+", "_", name)
    return Case(name, lambda folder: write(rows, folder / f"{stem}{suffix}"), truth, texts)


def tables() -> list[Case]:
    """Every form of file with every layout, dresses and unit systems in turn."""
    cases = []
    dresses = list(DRESSES)
    for number, form in enumerate(FORMS):
        for layout in range(5):
            dress = dresses[(number + layout) % len(dresses)]
            units = "SI" if (number + layout) % 2 else "US"
            steps = units == "US"
            made = (
                listed(units, dress, "column", steps),
                listed(units, dress, "label", steps),
                listed(units, dress, "value", steps),
                by_rows(units, dress),
                by_columns(units, dress),
            )[layout]
            kind = ("units apart", "units in labels", "units at values", "by rows", "by columns")
            cases.append(_case(f"{form}, {kind[layout]}, {dress}, {units}", form, made))
    return cases
