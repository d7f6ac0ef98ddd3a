"""The page in a browser: what it shows after a change is what the program gives for it."""

import json
import random
import re

import pytest
from browsing import CHANGE, VALUES, WebDriverWait, needs_browser, open_page, started
from pages import HOSTILE, LISTED, STATIONS, document, page, partial, results
from projects import PIPE, RESIN, toml

from linerdesign.documents import page as page_module
from linerdesign.documents.blocks import Paragraph
from linerdesign.documents.numbers import both_units, clean
from linerdesign.documents.page import render
from linerdesign.documents.schedule import schedule
from linerdesign.documents.sheet import governing_text
from linerdesign.documents.sheet import inputs as stated_steps
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.project.faults import InputFaults

pytestmark = needs_browser
SHOWN = """
    const main = document.querySelector("main").cloneNode(true);
    for (const hidden of main.querySelectorAll("[hidden]")) hidden.remove();
    return main.textContent;
"""
MARKS = """
    return [...document.querySelectorAll(".issued")].filter((note) => !note.hidden).map(
        (note) => note.textContent);
"""
ROW = """
    const row = document.querySelector('[data-schedule="1"]');
    return [...row.children].map((cell) => cell.textContent);
"""
FRAME = """
    const names = [...document.querySelectorAll("main *")].map((found) => [
        found.tagName, found.hidden, found.dataset?.value, found.getAttribute("width")]);
    return JSON.stringify([names, document.querySelector("main").textContent]);
"""


@pytest.fixture(scope="module")
def browser():
    yield from started()


def _size(browser, width, dark=False):
    metrics = {"width": width, "height": 800, "deviceScaleFactor": 1, "mobile": width < 500}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [scheme]})


class Project:
    """The tables of one project, changed key by key as the page's fields are."""

    def __init__(self, pipe, resin=None, units="US"):
        self.units = units
        self.pipe, self.resin, self.criteria = dict(pipe), RESIN | (resin or {}), {}
        self.stations = [dict(s) for s in pipe.get("station", ())]

    def result(self):
        pipe = self.pipe | ({"station": self.stations} if self.stations else {})
        tables = {"pipe": pipe, "resin": self.resin, "criteria": self.criteria}
        (result,) = results(toml(**tables, drop=tuple(PIPE)), units=self.units)
        return result

    def change(self, name, station, text):
        """Puts a value where the file states it, or where it would if it were no default."""
        stated = self.stations[station] if self.stations else {}
        homes = (stated, self.pipe, self.resin, self.criteria)
        home = next((table for table in homes if name in table), None)
        if home is None:
            home = self.resin if name.endswith("_retention") else self.criteria
        home[name] = text


PROJECTS = {
    "trunk": Project(PIPE),
    "trunk in SI": Project(PIPE, units="SI"),
    "earlier edition": Project(PIPE),
    "lateral, listed thicknesses": Project(
        {
            "name": "Lateral",
            "condition": "partially deteriorated",
            "host_diameter": "8 in",
            "maximum_diameter": "8.3 in",
            "minimum_diameter": "7.8 in",
            "groundwater_above_crown": "5 ft",
        },
        resin={"thicknesses": LISTED},
    ),
    "thickness given": Project(PIPE | {"design_thickness": "12 mm"}),
    "stations": Project(
        {k: v for k, v in PIPE.items() if k not in ("cover", "groundwater_above_invert")}
        | STATIONS
        | {"station": [{"ovality": "4 %"} | station for station in STATIONS["station"]]}
    ),
}
PRESSED = {"tensile_strength": "3000 psi"}
PROJECTS |= {
    "main under pressure": Project(PIPE | {"internal_pressure": "60 psi"}, PRESSED),
    "hole in a pressure pipe": Project(
        {
            "name": "Main",
            "condition": "partially deteriorated",
            "host_diameter": "12 in",
            "ovality": "2 %",
            "groundwater_above_invert": "3 ft",
            "internal_pressure": "60 psi",
            "hole_diameter": "1.5 in",
            "vacuum": "2 psi",
        },
        PRESSED,
    ),
    "lorry": Project(PIPE | {"live_load": "HL-93", "cover": "6 ft"}),
    "train": Project(PIPE | {"live_load": "E-80 table"}, units="SI"),
}
PROJECTS["earlier edition"].criteria["edition"] = "F1216-07a"
# About what the equations ask for, so that changes make now them and now the owner decide.
PROJECTS["lorry"].criteria["minimum_thickness"] = "9 mm"
ZERO = {
    "groundwater_above_invert", "groundwater_above_crown", "groundwater_below_surface", "ovality",
    "live_load", "minimum_ovality", "minimum_thickness",
}  # fmt: skip


# What a value is at least and at most of the issued one, where the rest of the project binds it.
BOUNDS = {
    "D": (0.98, 1.02), "D_max": (1.03, 1.2), "D_min": (0.8, 0.97), "nu": (0.6, 1.5),
    "r_E": (0.3, 1.9), "r_sigma": (0.3, 1.9), "r_T": (0.3, 1.9), "d": (0.5, 1.2),
}  # fmt: skip
ROUND = (0.6, 1.7)


def _changes(result, count):
    """So many random changes of the inputs of a result: step, new value. Zeros come first."""
    draw = random.Random(7)
    steps = [step for step in stated_steps(result) if SYMBOLS[step.key].name]
    chosen = [step for step in steps if step.key in ("h_invert", "q_pipe", "h_crown")]
    for place in range(count):
        step = chosen[place] if place < len(chosen) else draw.choice(steps)
        zero = name_of(step.key) in ZERO and (place < len(chosen) or draw.random() < 0.3)
        oval = "D_max" in result.basis.ovality
        bounds = BOUNDS.get(step.key, ROUND) if oval or step.key != "D" else ROUND
        yield step, 0.0 if zero else round(step.value * draw.uniform(*bounds), 6)


def _is_worst(step):
    return step.line is None and step.arithmetic is not None


def _agrees(shown, result):
    """Every value that the page holds is the program's, to a billionth."""
    for index, station in enumerate(result.stations):
        for step in result.steps:
            name = f"pipe{1 + index}_{name_of(step.key)}"
            if _is_worst(step):
                name = f"pipe{1 + index}_thickest_required"
            if step.station in (None, station) and step.arithmetic is not None:
                assert float(shown[name]) == pytest.approx(step.value, rel=1e-9, abs=1e-300), name


@pytest.mark.parametrize("name", PROJECTS)
def test_changed_inputs_give_what_the_program_gives(browser, tmp_path, name):
    project = PROJECTS[name]
    issued = project.result()
    open_page(browser, tmp_path, page([issued]))
    before = browser.execute_script(FRAME)
    _agrees(browser.execute_script(VALUES), issued)
    for step, value in _changes(issued, 20):
        station = issued.stations.index(step.station) if step.station else 0
        key = name_of(step.key)
        unit = f" {step.unit}" if step.unit else ""
        own = {"nominal_thickness": "design_thickness"}.get(key, key)
        project.change(own, station, f"{value!r}{unit}" if unit else value)
        browser.execute_script(CHANGE, f"pipe{1 + station}_{key}", repr(value))
        result = project.result()
        _agrees(browser.execute_script(VALUES), result)
        text = browser.execute_script(SHOWN)
        for words in (
            f"Status{result.status}",
            f"Nominal thickness{both_units(result.nominal_thickness, project.units)}",
            f"Required thickness{both_units(result.required_thickness, project.units)}",
            f"Governing equation{governing_text(result)}",
        ):
            assert words in text, (key, value)
        # Cautions that no line flags stay as issued, and so does their share of the count.
        *row, remark = browser.execute_script(ROW)
        *expected, _ = schedule((result,), {}).rows[0]
        assert row == expected, (key, value)
        assert remark.partition(",")[0] == result.status
        for note in browser.execute_script(MARKS):
            assert re.search(r"issued [−\d.]|not applicable as issued", note), note
        for check in result.checks:
            assert both_units(check.required_thickness, project.units) in text
        for step in result.steps:
            for flag in step.flags:
                assert f"! {flag}" in text
    assert browser.find_element("id", "banner").is_displayed()
    browser.find_element("id", "restore").click()
    assert not browser.find_element("id", "banner").is_displayed()
    assert browser.execute_script(FRAME) == before
    assert browser.get_log("browser") == []


def test_a_change_moves_its_own_row_of_the_schedule_and_the_caption_says_so(browser, tmp_path):
    branch = {"name": "Branch", "cover": "9 ft", "internal_pressure": "60 psi"}
    other = toml(pipe=branch, resin=PRESSED)
    open_page(browser, tmp_path, page(results(toml(), other)))
    rows = "return [...document.querySelectorAll('[data-schedule]')].map((row) => row.textContent)"
    before = browser.execute_script(rows)
    browser.execute_script(CHANGE, "pipe2_cover", "30")
    after = browser.execute_script(rows)
    assert after[0] == before[0]
    assert after[1] != before[1]
    caption = browser.find_element("css selector", "table.grid caption")
    assert "Follows the changed values: not as issued." in caption.text
    note = browser.find_element("css selector", "#pipe2 [data-severity=caution] li")
    assert note.text.startswith("internal pressure taken as stated")
    assert note.text.endswith("As issued.")
    browser.find_element("id", "restore").click()
    assert browser.execute_script(rows) == before
    assert "Follows" not in caption.text


def test_a_caution_of_all_stations_stays_one_after_a_change(browser, tmp_path):
    """The retention is shared by the stations; their covers, 5 and 9 ft, are not."""
    stations = [{"at": "0 ft", "cover": "5 ft"}, {"at": "150 ft", "cover": "9 ft"}]
    text = toml(pipe={"station": stations}, resin={"modulus_retention": "60 %"})
    open_page(browser, tmp_path, page(results(text)))
    items = """
        return [...document.querySelectorAll('[data-severity="caution"] li')].map(
            (item) => item.textContent).filter((text) => text.includes("retention over 50"));
    """
    (issued,) = browser.execute_script(items)
    browser.execute_script(CHANGE, "pipe1_ovality", "3")
    assert browser.execute_script(items) == [issued]
    assert "(at" not in issued


def test_checks_come_alive_without_water(browser, tmp_path):
    open_page(browser, tmp_path, page(results(toml(criteria={"dry_case": False}))))
    line = browser.find_element("id", "pipe1-t_DR_limit")
    assert not line.is_displayed()
    field = browser.find_element("css selector", '[data-name="pipe1_groundwater_above_invert"]')
    field.clear()
    field.send_keys("0")
    assert line.is_displayed()
    assert "not applicable as issued" in line.text
    assert not browser.find_element("id", "pipe1-t_X1_1").is_displayed()
    assert "issued 12" in browser.find_element("id", "pipe1-h_invert").text
    assert "Not the issued calculation" in browser.find_element("id", "banner").text
    bars = browser.find_elements("css selector", ".check-bar .check")
    assert [bar.text for bar in bars] == ["DR limit", "X1.3", "X1.4"]


@pytest.mark.parametrize("wrong", ["", "x", "-48", "0", "1e400", "NaN"])
def test_an_impossible_input_blanks_the_results(browser, tmp_path, wrong):
    open_page(browser, tmp_path, page(results(toml())))
    browser.execute_script(CHANGE, "pipe1_host_diameter", wrong)
    shown = browser.execute_script(VALUES)
    assert shown["pipe1_required_thickness"] == ""
    assert "an input is not possible" in browser.execute_script(SHOWN)
    assert "write a length greater than zero" in browser.find_element("id", "pipe1-D").text
    assert "NaN" not in browser.execute_script(SHOWN)
    blank = ("1", "Trunk", *"–––", "full", *"–––––", "an input is not possible")
    assert tuple(browser.execute_script(ROW)) == blank
    browser.execute_script(CHANGE, "pipe1_host_diameter", "48")
    assert browser.execute_script(VALUES)["pipe1_required_thickness"] != ""


@pytest.mark.parametrize("wrong", ["8,5", "1,200"])
def test_a_comma_in_an_input_is_called_one(browser, tmp_path, wrong):
    open_page(browser, tmp_path, page(results(toml())))
    browser.execute_script(CHANGE, "pipe1_host_diameter", wrong)
    assert browser.execute_script(VALUES)["pipe1_required_thickness"] == ""
    words = "write a point for the decimals, and no comma between thousands"
    assert words in browser.find_element("id", "pipe1-D").text


@pytest.mark.parametrize("value", ["8.4", "7.5"])
def test_values_impossible_together_are_refused_as_in_the_project_file(browser, tmp_path, value):
    open_page(browser, tmp_path, page(results(partial())))
    browser.execute_script(CHANGE, "pipe1_host_diameter", value)
    key, relation = ("D_max", "smaller") if value == "8.4" else ("D_min", "larger")
    expected = f"{relation} than the host (mean inside diameter"
    assert expected in browser.find_element("id", f"pipe1-{key}").text
    assert browser.execute_script(VALUES)["pipe1_required_thickness"] == ""
    with pytest.raises(InputFaults, match=f"{relation} than the host"):
        results(partial(host_diameter=f"{value} in"))


@pytest.mark.parametrize("width", [360, 1400])
@pytest.mark.parametrize("dark", [False, True])
def test_narrow_and_wide(browser, tmp_path, width, dark):
    _size(browser, width, dark)
    open_page(browser, tmp_path, page(results(toml(), toml(pipe={"name": HOSTILE[-1]}))))
    wide = browser.execute_script("return document.documentElement.scrollWidth")
    assert wide <= width
    for colours in _contrasts(browser):
        assert colours >= 4.5
    _size(browser, 1200)


def _contrasts(browser):
    """Contrast of each text's colour with the paper, as WCAG 2 defines it."""
    found = browser.execute_script("""
        const paper = getComputedStyle(document.body).backgroundColor;
        const texts = document.querySelectorAll("p, a, td, th, dt, dd, figcaption, .number");
        return [paper, [...new Set([...texts].map((found) => getComputedStyle(found).color))]];
    """)

    def light(colour):
        parts = [int(part) / 255 for part in colour[4:-1].split(",")]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    paper = light(found[0])
    for colour in found[1]:
        low, high = sorted((light(colour), paper))
        yield (high + 0.05) / (low + 0.05)


def test_mathematics_is_drawn_and_links_resolve(browser, tmp_path):
    open_page(browser, tmp_path, page(results(toml())))
    over, under, outside = browser.execute_script("""
        const fraction = document.querySelector("#pipe1-t_X1_1 mfrac");
        const [top, bottom] = [...fraction.children].map((part) => part.getBoundingClientRect());
        const broken = [...document.querySelectorAll("a")].filter((link) =>
            !document.getElementById(link.getAttribute("href").slice(1)));
        return [top.bottom, bottom.top, broken.length];
    """)
    assert over <= under + 1
    assert outside == 0


def test_a_reader_can_walk_from_the_thickness_to_the_inputs(browser, tmp_path):
    """By links alone, from the nominal thickness."""
    open_page(browser, tmp_path, page(results(toml())))
    links = browser.execute_script("""
        return [...document.querySelectorAll(".lines > .line")].map((line) => [line.id,
            [...line.querySelectorAll(".uses a")].map((link) => link.hash.slice(1))]);
    """)
    leads = dict(links)
    reached, ahead = set(), ["pipe1-t"]
    while ahead:
        place = ahead.pop()
        if place not in reached:
            reached.add(place)
            ahead += leads.get(place, [])
    inputs = {"D", "q_pipe", "H", "h_invert", "w", "E_s", "W_s", "E", "r_E", "N", "s"}
    assert {f"pipe1-{key}" for key in inputs} <= reached


def _street(modulus="250000 psi", factor="2.0", load="HL-93"):
    """Four pipes of two resins in one project."""
    resins = [
        RESIN | {"flexural_modulus": modulus},
        RESIN | {"name": "Glass", "flexural_modulus": "725000 psi"},
    ]
    pipes = [
        PIPE | {"name": "A", "resin": RESIN["name"], "cover": "6 ft", "live_load": load},
        PIPE | {"name": "B", "resin": "Glass", "cover": "8 ft", "live_load": "HL-93"},
        PIPE | {"name": "C", "resin": RESIN["name"], "cover": "10 ft", "live_load": "HL-93"},
        # A load in words that no line of a partially deteriorated pipe reads.
        PIPE | {"name": "D", "condition": "partially deteriorated", "live_load": "HL-93"},
    ]
    tables = {"project": [{"title": "Street"}], "criteria": [{"safety_factor": float(factor)}]}
    parts = [*tables.items(), ("[resin]", resins), ("[pipe]", pipes)]
    return "\n".join(
        f"[{head}]\n" + "\n".join(f"{k} = {json.dumps(v)}" for k, v in table.items())
        for head, found in parts
        for table in found
    )


CHANGES = {
    "resin": ("pipe1_flexural_modulus", "310000", {"modulus": "310000 psi"}),
    "resin by another pipe": ("pipe3_flexural_modulus", "310000", {"modulus": "310000 psi"}),
    "criteria": ("pipe1_safety_factor", "2.5", {"factor": "2.5"}),
    "load": ("pipe1_live_load_stated", "4", {"load": "4 psi"}),
}


@pytest.mark.parametrize("label", CHANGES)
def test_the_panel_drives_every_pipe_as_size_does(browser, tmp_path, label):
    """A change of the panel against the project so written; the schedule follows."""
    name, value, project = CHANGES[label]
    open_page(browser, tmp_path, page(results(_street())))
    panel = browser.find_elements("css selector", "#basis input:not([hidden])")
    assert {"pipe1_flexural_modulus", "pipe2_flexural_modulus", "pipe1_safety_factor"} <= {
        field.get_attribute("data-name") for field in panel
    }
    before = browser.execute_script(FRAME)
    browser.execute_script(CHANGE, name, value)
    shown, wanted = browser.execute_script(VALUES), results(_street(**project))
    for number, result in enumerate(wanted, 1):
        for key, expected in {
            "required_thickness": result.required_thickness,
            "nominal_thickness": result.nominal_thickness,
            "live_load": result.value("W_s"),
        }.items():
            if expected is None:
                continue
            assert float(shown[f"pipe{number}_{key}"]) == pytest.approx(expected, rel=1e-9)
    rows = "return [...document.querySelectorAll('[data-schedule]')].map("
    rows += "(row) => [...row.children].map((cell) => cell.textContent))"
    printed = [list(row) for row in schedule(wanted, {}).rows]
    shown_rows = browser.execute_script(rows)
    assert [row[:-1] for row in shown_rows] == [row[:-1] for row in printed]
    if label != "load":
        text = browser.find_element("css selector", "#pipe3-E td.quantity").text
        assert ("310,000 psi" in text) == (label != "criteria")
    browser.find_element("id", "restore").click()
    assert browser.execute_script(FRAME) == before
    assert browser.get_log("browser") == []


def test_packed_sheets_are_unpacked_and_recalculate(browser, tmp_path, monkeypatch):
    monkeypatch.setattr(page_module, "OPEN_SHEETS", 1)
    monkeypatch.setattr(page_module, "PACKED_SHEETS", 1)
    texts = [toml(pipe={"name": f"Trunk {n}", "cover": f"{9 + n} ft"}) for n in range(4)]
    issued = results(*texts)
    open_page(browser, tmp_path, page(issued))
    done = "return 'complete' in document.getElementById('sheets').dataset"
    WebDriverWait(browser, 20).until(lambda driver: driver.execute_script(done))
    shown = browser.execute_script(VALUES)
    for number, result in enumerate(issued, start=1):
        assert float(shown[f"pipe{number}_required_thickness"]) == result.required_thickness
    browser.execute_script(CHANGE, "pipe4_cover", "30")
    (result,) = results(toml(pipe={"cover": "30 ft"}))
    after = float(browser.execute_script(VALUES)["pipe4_required_thickness"])
    assert after == pytest.approx(result.required_thickness, rel=1e-9)
    assert browser.find_element("css selector", "#pipe4 .formula math").is_displayed()
    assert browser.get_log("browser") == []


def test_a_symbol_says_what_it_means(browser, tmp_path):
    open_page(browser, tmp_path, page(results(toml())))
    symbol = browser.find_element("css selector", "#pipe1-t_X1_1 .formula [data-key=K]")
    symbol.click()
    assert browser.find_element("id", "hint").text == "enhancement factor"


def test_it_reads_without_script(browser, tmp_path):
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        open_page(browser, tmp_path, page(results(toml())))
        field = browser.find_element("css selector", '[data-name="pipe1_host_diameter"]')
        assert field.get_attribute("readonly")
        assert "required thickness, X1.3" in browser.find_element("id", "pipe1-t_X1_3").text
    finally:
        browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})


@pytest.mark.parametrize("name", HOSTILE, ids=lambda name: repr(name[:12]))
def test_hostile_names_do_nothing(browser, tmp_path, name):
    whole = document(
        results(toml(pipe={"name": name}, project={"title": name})), (Paragraph(name),)
    )
    open_page(browser, tmp_path, render(whole).decode())
    assert browser.find_element("css selector", "#pipe1 h2").text == clean(name)
    browser.execute_script(CHANGE, "pipe1_host_diameter", "40")
    assert browser.get_log("browser") == []
