"""Hostile tables: inventories, profiles, creep tests and samples, as bytes, shapes and values."""

import csv
import io
import math
from pathlib import Path

import pytest
from hostile import assert_safe, mangled, numbers
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from projects import toml

SETTINGS = settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])

TABLES = {
    "batch": (
        "asset,host_diameter [in],ovality [%],cover [ft],groundwater_above_invert [ft],condition\n"
        "A1,8,2,10,5,fully deteriorated\nA2,12,3,8,2,partially deteriorated\n"
    ),
    "profile": "station [m],angle [deg],radius [mm]\n"
    + "".join(
        f"{station},{angle},{150 + 2 * math.cos(2 * math.radians(angle)):.2f}\n"
        for station in (0, 5)
        for angle in range(0, 360, 15)
    ),
    "profile by diameters": "station [m],diameter [mm]\n0,301\n0,297\n0,305\n5,299\n5,300\n",
    "creep": "time [h],modulus [psi]\n"
    + "".join(f"{10 ** (k / 4):.4g},{250000 * 0.97**k:.0f}\n" for k in range(17)),
    "accept samples": (
        "pipe,specimen,thickness [mm],thickness basis,modulus [psi],strength [psi]\n"
        + "".join(
            f"Trunk,U{k},{33 + k / 10},structural wall,{300000 + k},{5000 + k}\n" for k in range(5)
        )
    ),
    "accept bending": "specimen,load [lbf],deflection [in],span [in],width [in],depth [in]\n"
    + "".join(f"B1,{2 * k},{0.01 * k},4,0.5,0.25\n" for k in range(12)),
}
SAMPLES = "specimen,thickness [mm]\nB1,33\n"


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch, request):
    monkeypatch.chdir(tmp_path)
    if "far_out" not in request.node.name:
        # Drawings take most of the time; what is far out is drawn all the same.
        monkeypatch.setattr("linerdesign.documents.figures.render", lambda *_: b"<svg></svg>")
    Path("p.toml").write_text(toml(), encoding="utf-8")
    Path("beside.csv").write_text(SAMPLES, encoding="utf-8")


def _run(capsys, kind, data):
    """The command that reads this kind of table."""
    Path("in.csv").write_bytes(data)
    if kind == "batch":
        return _run_batch(capsys, "in.csv")
    if kind.startswith("accept"):
        samples = "in.csv" if kind == "accept samples" else "beside.csv"
        words = ["accept", "p.toml", "--rule", "no undersize", "--samples", samples]
        if kind == "accept bending":
            words += ["--bending", "in.csv"]
        return assert_safe(capsys, *words)[0]
    return assert_safe(capsys, kind.split()[0], "in.csv")[0]


def _run_batch(capsys, name):
    words = ("batch", name, "--project", "p.toml", "-o", "sized.csv")
    Path("sized.csv").unlink(missing_ok=True)
    code, _, _ = assert_safe(capsys, *words)
    if code != 2:
        with Path("sized.csv").open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                made = [row[key] for key in row if key and key.startswith(("required", "nominal"))]
                assert made
                assert all(not cell or 0 < float(cell) < math.inf for cell in made)
    return code


def _written(rows):
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue().encode("utf-8", "surrogatepass")


@pytest.mark.parametrize("kind", TABLES)
def test_the_tables_are_good_before_they_are_spoiled(capsys, kind):
    assert _run(capsys, kind, TABLES[kind].encode()) in (0, 1)


@pytest.mark.parametrize("kind", TABLES)
@SETTINGS
@given(data=st.data())
def test_bytes_at_random(capsys, kind, data):
    _run(capsys, kind, data.draw(mangled(TABLES[kind].encode())))


cells = st.one_of(
    numbers,
    st.sampled_from(["", " ", "nan", "inf", "-inf", "1,5", "=1+1", '"', "none", "1e400", "5 mm"]),
    st.text(max_size=8),
)


@pytest.mark.parametrize("kind", TABLES)
@SETTINGS
@given(data=st.data())
def test_values_at_random(capsys, kind, data):
    rows = list(csv.reader(io.StringIO(TABLES[kind])))
    for _ in range(data.draw(st.integers(1, 3))):
        row = data.draw(st.sampled_from(rows[1:]))
        row[data.draw(st.integers(0, len(row) - 1))] = data.draw(cells)
    _run(capsys, kind, _written(rows))


@pytest.mark.parametrize("kind", TABLES)
@settings(SETTINGS, max_examples=15)
@given(data=st.data())
def test_possible_values_far_out(capsys, kind, data):
    """Every number replaced by a positive one: most pass the reader and reach the arithmetic."""
    rows = list(csv.reader(io.StringIO(TABLES[kind])))
    far = st.floats(-6, 6).map(lambda power: f"{10**power:.6g}")
    head, body = rows[0], rows[1:]
    columns = [place for place, title in enumerate(head) if "[" in title]
    factor = {place: float(data.draw(far)) for place in columns}
    for row in body:
        for place in columns:
            row[place] = repr(float(row[place]) * factor[place])
    _run(capsys, kind, _written(rows))


@pytest.mark.parametrize("kind", TABLES)
@SETTINGS
@given(data=st.data())
def test_another_structure(capsys, kind, data):
    """Columns dropped, doubled and moved; rows short, long, none and many alike."""
    rows = list(csv.reader(io.StringIO(TABLES[kind])))
    width = len(rows[0])
    places = data.draw(st.lists(st.integers(0, width - 1), max_size=width + 1))
    made = [[row[place] for place in places] for row in rows]
    some = data.draw(st.lists(st.sampled_from(made), max_size=4))
    ragged = data.draw(st.booleans())
    if ragged and some:
        some = [row[: data.draw(st.integers(0, len(row)))] for row in some] + [[*some[0], "x"]]
    _run(capsys, kind, _written([made[0], *some] if data.draw(st.booleans()) else some))


def _workbook():
    from openpyxl import Workbook

    book, held = Workbook(), io.BytesIO()
    for row in csv.reader(io.StringIO(TABLES["batch"])):
        book.active.append([float(cell) if cell.isdigit() else cell for cell in row])
    book.save(held)
    return held.getvalue()


WORKBOOK = _workbook()


@SETTINGS
@given(mangled(WORKBOOK))
def test_bytes_of_a_workbook_at_random(capsys, data):
    Path("in.xlsx").write_bytes(data)
    _run_batch(capsys, "in.xlsx")


workbook_cells = st.one_of(
    st.floats(allow_nan=False, allow_infinity=False),
    st.integers(-(10**18), 10**18),
    st.booleans(),
    st.none(),
    st.datetimes(),
    st.sampled_from(["=1/0", "#DIV/0!", "#N/A", "nan", "", "5 mm"]),
)


@SETTINGS
@given(st.lists(st.lists(workbook_cells, min_size=1, max_size=7), max_size=4), st.booleans())
def test_cells_of_a_workbook_at_random(capsys, rows, with_header):
    from openpyxl import Workbook

    book = Workbook()
    if with_header:
        book.active.append(next(csv.reader(io.StringIO(TABLES["batch"]))))
    for row in rows:
        book.active.append(row)
    book.save("in.xlsx")
    _run_batch(capsys, "in.xlsx")
