"""A street after edits: workbook and page against a new `size` run of the project so written.

Stations, legs under one tube, an owner's file with limits, a vehicle, a wall to check. Every cell
with a name, the schedule, the checks, the legs and the counts of cautions are compared. The town is
invented.
"""

import io
from base64 import b64decode

import openpyxl
import pypdf
import pytest
from browsing import CHANGE, WebDriverWait, needs_browser, open_page, started
from office import cell_of, office, office_calculated, same, schedule_rows
from pages import Reader
from rich_projects import laterals, put, street
from streets import plain

from linerdesign.documents import page, pdf, workbook
from linerdesign.documents.schedule import Schedule
from linerdesign.interface import read, size

OWNER = """
[criteria]
safety_factor = 2.0
minimum_ovality = "3 %"
[criteria.limits]
minimum_groundwater_above_invert = "4 ft"
"""
STREET = """
[project]
title = "Harrowmere, Tanner Row"
criteria = "owner.toml"
[criteria]
minimum_thickness = "2 mm"
[[resin]]
name = "Felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
maximum_stretch = "15 %"
[[resin]]
name = "Listed"
flexural_modulus = "400000 psi"
flexural_strength = "6000 psi"
thicknesses = ["3 mm", "4.5 mm", "6 mm", "9 mm"]
[[pipe]]
name = "Lateral 1"
resin = "Felt"
condition = "partially deteriorated"
host_diameter = "4.02 in"
ovality = "2.2 %"
groundwater_above_invert = "8 ft"
tube_diameter = "4 in"
tube_thickness = "3.2 mm"
[[pipe.leg]]
at = "0 ft"
[[pipe.leg]]
at = "20 ft"
bend = "45 deg"
bend_radius = "12 in"
[[pipe]]
name = "Lateral 2"
resin = "Felt"
condition = "partially deteriorated"
host_diameter = "4.01 in"
groundwater_above_invert = "9 ft"
[[pipe.station]]
at = "0 ft"
ovality = "2 %"
[[pipe.station]]
at = "30 ft"
ovality = "4 %"
[[pipe.leg]]
at = "0 ft"
[[pipe.leg]]
at = "20 ft"
host_diameter = "4.5 in"
[[pipe]]
name = "Main"
resin = "Listed"
condition = "fully deteriorated"
host_diameter = "18 in"
ovality = "3.5 %"
cover = "9.5 ft"
groundwater_above_invert = "6 ft"
soil_unit_weight = "120 pcf"
soil_reaction_modulus = "700 psi"
live_load = "HL-93"
[[pipe]]
name = "Wall to check"
resin = "Felt"
condition = "partially deteriorated"
host_diameter = "8 in"
ovality = "3 %"
groundwater_above_invert = "7 ft"
design_thickness = "4 mm"
[[pipe.leg]]
at = "0 ft"
bend = "30 deg"
bend_radius = "12 in"
[[pipe]]
name = "Lateral 3"
resin = "Felt"
condition = "fully deteriorated"
host_diameter = "6 in"
ovality = "3 %"
cover = "9 ft"
groundwater_above_invert = "5 ft"
soil_unit_weight = "120 pcf"
soil_reaction_modulus = "700 psi"
live_load = "HL-93" # under a road
[[pipe.leg]]
at = "0 ft"
[[pipe.leg]]
at = "20 ft"
host_diameter = "6.5 in"
"""
WALL = 'minimum_thickness = "2 mm"'
# What is typed into cells or fields, and what the project says in place of what.
EDITS = {
    "resin": ({"pipe1_flexural_modulus": 120_000}, "250000 psi", "120000 psi"),
    "owner's ovality": ({"pipe1_minimum_ovality": 6}, WALL, f'{WALL}\nminimum_ovality = "6 %"'),
    "owner's wall": ({"pipe2_minimum_thickness": 0.12}, WALL, 'minimum_thickness = "0.12 in"'),
    "less safe": ({"pipe1_safety_factor": 1.5}, WALL, f"{WALL}\nsafety_factor = 1.5"),
    "step": ({"pipe1_thickness_step": 0.1}, WALL, f'{WALL}\nthickness_step = "0.1 in"'),
    "deep water": ({"pipe1_groundwater_above_invert": 40}, '"8 ft"', '"40 ft"'),
    "little water": ({"pipe4_groundwater_above_invert": 1}, '"6 ft"', '"1 ft"'),
    "wide lateral": ({"pipe2_host_diameter": 4.3}, '"4.01 in"', '"4.3 in"'),
    "narrow lateral": ({"pipe1_host_diameter": 3.5}, '"4.02 in"', '"3.5 in"'),
    "oval station": ({"pipe3_ovality": 12}, '"4 %"', '"12 %"'),
    "oval lateral": ({"pipe1_ovality": 10.5}, '"2.2 %"', '"10.5 %"'),
    "cover": ({"pipe4_cover": 40}, '"9.5 ft"', '"40 ft"'),
    "load in words": ({"pipe6_live_load_stated": 9}, '"HL-93" # under', '"9 psi" # under'),
    "thin wall": ({"pipe5_nominal_thickness": 0.06}, '"4 mm"', '"0.06 in"'),
}  # fmt: skip


@pytest.fixture(scope="module")
def sized(tmp_path_factory):
    """The sizing of the street, with a text put in place of another."""
    folder = tmp_path_factory.mktemp("street")
    (folder / "owner.toml").write_text(OWNER)

    def call(old="", new=""):
        assert not old or STREET.count(old) == 1, old
        path = folder / "project.toml"
        path.write_text(STREET.replace(old, new) if old else STREET)
        return size(read(path))

    return call


def test_the_edits_reach_what_they_are_for(sized):
    """Legs come to fail, owner's limits are left, a list has no size: else nothing is tested."""
    found = {label: sized(*change) for label, (_, *change) in EDITS.items()}
    statuses = {label: [pipe.status for pipe in each.pipes] for label, each in found.items()}
    issued = [pipe.status for pipe in sized().pipes]
    assert issued[:2] == ["sized", "sized"]
    assert statuses["owner's wall"] == ["fails", "sized", "sized", "fails", "sized"]
    assert statuses["wide lateral"][:2] == ["sized", "sized"]
    assert statuses["oval lateral"][0] == "outside the method"
    assert statuses["oval station"][1] == "fails"
    assert statuses["thin wall"][3] == "fails"
    assert statuses["load in words"][4] == "fails"
    codes = {note.code for each in found.values() for pipe in each.pipes for note in pipe.notes}
    assert {
        "project.breach", "project.minimum_ovality", "project.under_limit", "field.leg_fails",
        "design.no_listed_thickness",
    } <= codes  # fmt: skip


@office
def test_the_workbook_follows_as_size_does(sized, tmp_path):
    data = workbook.render(sized().document)
    shown = office_calculated({k: (data, cells) for k, (cells, *_) in EDITS.items()}, tmp_path)
    for label, (_, *change) in EDITS.items():
        again = io.BytesIO(workbook.render(sized(*change).document))
        made = openpyxl.load_workbook(again, data_only=True)
        expected = schedule_rows(list(made["Schedule"].values))
        found = schedule_rows(shown[label]["schedule"])
        for ours, theirs in zip(found, expected, strict=True):
            wrong = {k: (ours[k], v) for k, v in theirs.items() if not alike(ours[k], v)}
            assert not wrong, (label, theirs["pipe"])
        names = [name for name in made.defined_names if name.startswith("pipe")]
        wanted = {name: (shown[label].get(name), cell_of(made, name).value) for name in names}
        assert not {k: both for k, both in wanted.items() if not alike(*both)}, label


def test_pipes_have_one_number_in_all_forms(tmp_path):
    """That of the printed schedule: stations and a pipe that can't be designed count no pipe, and
    such a pipe has its place of the file."""
    (tmp_path / "owner.toml").write_text(OWNER)
    path = tmp_path / "project.toml"
    path.write_text(STREET.replace('"4.02 in"', '"4 ft deep"'))
    document = size(read(path, apart=True)).document
    printed = next(block for block in document.blocks if isinstance(block, Schedule))
    wanted = [(row[0], row[1]) for row in printed.rows]
    assert wanted[:3] == [("-", "Lateral 1"), ("1", "Lateral 2"), ("2", "Main")]
    assert wanted[3:] == [("3", "Wall to check"), ("4", "Lateral 3")]
    book = openpyxl.load_workbook(io.BytesIO(workbook.render(document)), data_only=True)
    rows = schedule_rows(list(book["Schedule"].values))
    assert [(r["no."], r["pipe"]) for r in rows if "." not in r["no."]] == wanted
    assert [row["no."] for row in rows[2:4]] == ["1.1", "1.2"]
    assert {"1 Lateral 2 at 0 ft", "2 Main", "3 Wall to check"} <= set(book.sheetnames)
    shown = Reader(page.render(document).decode()).all("bdi", "data-column")
    assert [text for _, of, text in shown if of["data-column"] == "number"] == ["-", *"1234"]


def alike(shown, value):
    if isinstance(value, int | float):
        return same(shown, value)
    return (shown or "") == (value or "")


SEEN = """
    const texts = (selector) => [...document.querySelectorAll(selector)].filter(
        (found) => !found.closest("[hidden]")).map((found) => found.textContent);
    const lists = [...document.querySelectorAll("[data-severity] ul")];
    const results = [...document.querySelectorAll(".lines [data-name]")];
    return {
        schedule: texts("[data-schedule] bdi"),
        legs: texts("[data-legs] caption bdi, [data-legs] tbody bdi"),
        checks: texts("[data-check] th, [data-check] td"),
        summaries: texts("[data-show]"),
        cautions: lists.map((each) => each.children.length),
        flags: texts(".flags p"),
        results: Object.fromEntries(results.map((each) => [each.dataset.name, each.dataset.value])),
    };
"""


@pytest.fixture(scope="module")
def browser():
    yield from started()


@needs_browser
def test_the_page_follows_as_size_does(browser, sized, tmp_path):
    issued = page.render(sized().document).decode()
    for label, (fields, *change) in EDITS.items():
        open_page(browser, tmp_path, page.render(sized(*change).document).decode())
        wanted = browser.execute_script(SEEN)
        open_page(browser, tmp_path, issued)
        for name, value in fields.items():
            browser.execute_script(CHANGE, name, repr(value))
        found = browser.execute_script(SEEN)
        numbers = {name: float(value) for name, value in found.pop("results").items()}
        assert {name: numbers[name] for name in wanted["results"]} == {
            name: pytest.approx(float(value), rel=1e-9, abs=1e-12)
            for name, value in wanted.pop("results").items()
        }, label
        for part, texts in wanted.items():
            assert found[part] == texts, (label, part)
        assert browser.get_log("browser") == []


PRINTED = [(plain, 1), (plain, 4), (plain, 10), (plain, 40), (street, 1), (street, 4), (street, 10)]


@needs_browser
@pytest.mark.parametrize(("kind", "count"), [*PRINTED, (laterals, 4)])
def test_the_page_prints_to_no_more_sheets_than_the_pdf(browser, tmp_path, kind, count):
    document = size(read(put(tmp_path, kind(count)))).document
    open_page(browser, tmp_path, page.render(document).decode())
    loaded = "const s = document.getElementById('sheets'); return !s || 'complete' in s.dataset"
    WebDriverWait(browser, 60).until(lambda driver: driver.execute_script(loaded))
    letter = {"paperWidth": 8.5, "paperHeight": 11}
    made = b64decode(browser.execute_cdp_cmd("Page.printToPDF", letter)["data"])
    printed, issued = (
        len(pypdf.PdfReader(io.BytesIO(e)).pages) for e in (made, pdf.render(document))
    )
    assert printed <= issued


def _pages(data):
    return len(pypdf.PdfReader(io.BytesIO(data)).pages)


WORDS = """
    const parted = [];
    for (const cell of document.querySelectorAll("[data-schedule] bdi")) {
        const text = cell.firstChild;
        for (const word of text.data.matchAll(/\\S+/g)) {
            const range = document.createRange();
            range.setStart(text, word.index);
            range.setEnd(text, word.index + word[0].length);
            if (range.getClientRects().length > 1) parted.push(word[0]);
        }
    }
    const rows = [...document.querySelectorAll("[data-schedule]")];
    const { right } = rows[0].lastElementChild.getBoundingClientRect();
    return [parted, right, rows.map((row) => row.getBoundingClientRect().bottom)];
"""


@needs_browser
@pytest.mark.parametrize("kind", [plain, street, laterals])
def test_a_telephone_shows_the_answer_first_and_parts_no_word(browser, tmp_path, kind):
    metrics = {"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": True}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    try:
        open_page(
            browser, tmp_path, page.render(size(read(put(tmp_path, kind(4)))).document).decode()
        )
        parted, right, bottoms = browser.execute_script(WORDS)
    finally:
        browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    assert parted == []
    assert right <= 390
    assert max(bottoms) <= 844


def test_the_live_schedules_say_how_to_read_them(tmp_path):
    """Workbook and page have the caption and what a tube is; the sheet of a leg ends with it."""
    (tmp_path / "owner.toml").write_text(OWNER)
    path = tmp_path / "project.toml"
    path.write_text(STREET)
    document = size(read(path)).document
    book = openpyxl.load_workbook(io.BytesIO(workbook.render(document)))
    texts = [row[0] for row in book["Schedule"].values if row[0]]
    html = page.render(document).decode()
    for said in ("groundwater above the invert", "t tube is the wall of the tube"):
        assert [text for text in texts if said in text]
        assert said in html
    assert [text for text in texts if text.startswith("To be reviewed and sealed")]
    assert not [text for text in texts if "*" in text]
    assert [name for name in book.sheetnames if name.endswith(", 20 ft")]
