"""The desk in a real browser, end to end, as a new user and as one whose machine fails."""

import json
import re
import signal
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from by_hand import Inputs, thicknesses
from desk.browser import Hand, Keys, Running, needs_browser, opened, until

pytestmark = needs_browser
EXAMPLE = Path(__file__).parents[2] / "worked_examples" / "mill_lane_sewers" / "project.toml"


@pytest.fixture(scope="module")
def downloads(tmp_path_factory):
    return tmp_path_factory.mktemp("downloads")


@pytest.fixture(scope="module")
def browser(downloads):
    driver = opened(downloads)
    yield driver
    driver.quit()


@pytest.fixture
def hand(browser):
    browser.switch_to.new_window("tab")
    for log in ("browser", "performance"):
        browser.get_log(log)
    yield Hand(browser)
    browser.close()
    browser.switch_to.window(browser.window_handles[0])


@pytest.fixture
def desk(tmp_path):
    made = []

    def start(*words):
        made.append(Running(tmp_path, *words))
        return made[-1]

    yield start
    for each in made:
        if each.process.poll() is None:
            each.stop()


# A street as it is typed: name, condition, diameter, ovality, cover, head, then of the ground.
STREET = [
    ("MH 1 to MH 2", "partially deteriorated", 8, 2, 7, 5, ()),
    ("MH 2 to MH 3", "fully deteriorated", 12, 3, 10, 6, (120, 1000, 0.8)),
    ("MH 3 to MH 4", "fully deteriorated", 48, 2, 16, 12, (120, 1000, 0.35)),
]
# The usual minimum properties, assumed for the test.
E, SIGMA = 250_000, 4500


def required(street):
    """The required thickness in inches, by hand; the dry case is checked by default."""
    _, condition, D, q, H, h, soil = street
    w, E_s, W_s = soil or (120, 1000, 0)
    x = Inputs(D, q, h, E, 50, SIGMA, 50, H, w, E_s, W_s, fully=condition.startswith("fully"))
    found = thicknesses(x)
    return max(found[k] for k in found if k.startswith("t ")), D / 100


def typed(hand, n, street):
    name, condition, D, q, H, h, soil = street
    hand.type(f"pipe{n}_name", name)
    hand.type(f"pipe{n}_condition", condition)
    values = {"host_diameter": D, "ovality": q, "cover": H, "groundwater_above_invert": h}
    names = ("soil_unit_weight", "soil_reaction_modulus", "live_load")
    values |= dict(zip(names, soil, strict=False))
    for key, value in values.items():
        hand.type(f"pipe{n}_{key}", str(value))


def resin(hand):
    hand.type("pipe1_flexural_modulus", str(E))
    hand.type("pipe1_flexural_strength", str(SIGMA))


def saved(hand, name):
    """Saves under a name, as the button asks for it."""
    hand.click("#save-as")
    hand.find("#ask-text").clear()
    hand.find("#ask-text").send_keys(name, Keys.ENTER)
    hand.wait(lambda: f"{name}: saved" in hand.text("#file"))


def test_a_street_typed_from_nothing_to_a_sealed_pdf(hand, desk, tmp_path, downloads):
    running = desk()
    hand.go(running.address)
    # Nothing is decided for anybody: the condition is open, and nothing has a result.
    assert hand.field("pipe1_condition").get_attribute("value") == ""
    assert hand.value("pipe1_required_thickness") is None
    hand.type("project_title", "Tanner Row")
    resin(hand)
    for n, street in enumerate(STREET, 1):
        if n > 1:
            hand.keys(Keys.CONTROL, Keys.ENTER)
            hand.wait(lambda n=n: hand.count(f'[data-name="pipe{n}_name"]'))
        typed(hand, n, street)
    for n, street in enumerate(STREET, 1):
        wanted = max(required(street))
        exact = pytest.approx(wanted, rel=1e-9)
        hand.wait(lambda n=n, exact=exact: hand.value(f"pipe{n}_required_thickness") == exact)
    # The sheet of the chosen pipe is below: its bars and its section, and the same number.
    hand.wait(lambda: hand.count("#sheet svg") >= 2)
    shown = hand.find('#sheet .value[data-name="pipe3_t_X1_3"]').get_attribute("data-value")
    assert float(shown) == pytest.approx(max(required(STREET[2])), rel=1e-9)
    saved(hand, "tanner.toml")
    hand.click('[data-document="pdf"]')
    file = downloads / "tanner.pdf"
    assert until(lambda: file.exists() and file.stat().st_size > 0, 60)
    from pypdf import PdfReader

    text = "\n".join(page.extract_text() for page in PdfReader(file).pages)
    assert "Tanner Row" in text
    assert re.search(r"seal", text, re.IGNORECASE)
    assert all(street[0] in text for street in STREET)
    # `size` reads what was saved, and finds the same.
    printed = subprocess.run(
        [sys.executable, "-m", "linerdesign", "size", "tanner.toml", "--json"],
        cwd=tmp_path, capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    found = [pipe["required_thickness"]["value"] for pipe in json.loads(printed)["pipes"]]
    assert found == pytest.approx([max(required(street)) for street in STREET], rel=1e-9)
    assert not list(tmp_path.glob("*.draft.toml"))
    assert hand.complaints() == []
    own = (running.address, "data:", "about:", "chrome:")
    assert [each for each in hand.addresses() if not each.startswith(own)] == []


HEAD = (
    "Name\tCondition\tDiameter [in]\tovality (%)\tdepth of cover\t"
    "groundwater_above_invert [ft]\tColour"
)


def fifty(faulty):
    """Fifty rows of a spreadsheet; in some the diameter or the condition is wrong."""
    rows = [HEAD]
    for i in range(50):
        condition = "failed" if i in faulty[:2] else "partial"
        diameter = "12 lb" if i in faulty[2:] else str(8 + i % 5)
        rows.append(f"MH {i}\t{condition}\t{diameter}\t2\t8\t{3 + i % 7}\tgreen")
    return "\n".join(rows)


def test_fifty_rows_pasted_with_faults(hand, desk):
    faulty = (3, 17, 20, 41)
    hand.go(desk().address)
    resin(hand)
    hand.paste("pipe1_name", fifty(faulty))
    hand.wait(lambda: hand.count("tr[data-row] [data-name$='_host_diameter']") >= 50)
    hand.wait(lambda: hand.value("pipe50_required_thickness"))
    for i in range(50):
        value = hand.value(f"pipe{i + 1}_required_thickness")
        if i in faulty:
            assert value is None
            continue
        street = ("", "partially", 8 + i % 5, 2, 8, 3 + i % 7, ())
        assert value == pytest.approx(max(required(street)), rel=1e-9)
    # Each fault is at its field, in words; what has no column is said and not dropped silently.
    assert hand.count(".entry.pipe [aria-invalid]") == len(faulty)
    for i, key in zip(
        faulty, ("condition", "condition", "host_diameter", "host_diameter"), strict=True
    ):
        assert hand.field(f"pipe{i + 1}_{key}").get_attribute("title")
    assert "Colour" in hand.text("#notices")
    # The rows corrected, one by one; one step back is one paste.
    hand.type("pipe21_host_diameter", "12")
    hand.wait(lambda: hand.value("pipe21_required_thickness"))
    hand.click("#undo")
    hand.wait(lambda: hand.value("pipe21_required_thickness") is None)
    hand.click("#undo")
    hand.wait(lambda: hand.count(".entry.pipe tbody tr") == 1)
    hand.click("#redo")
    hand.wait(lambda: hand.count(".entry.pipe tbody tr") == 50)


def test_reload_keeps_what_was_typed(hand, desk, tmp_path):
    running = desk()
    hand.go(running.address)
    hand.type("pipe1_host_diameter", "13.5")
    hand.wait(lambda: (tmp_path / "untitled.draft.toml").exists())
    hand.go(running.address)
    assert hand.field("pipe1_host_diameter").get_attribute("value") == "13.5"


def test_typing_goes_on_while_the_desk_is_dead_and_is_offered_after(hand, desk, tmp_path):
    (tmp_path / "street.toml").write_bytes(EXAMPLE.read_bytes())
    running = desk("street.toml")
    hand.go(running.address)
    hand.type("pipe1_host_diameter", "9")
    hand.wait(lambda: "9 in" in "".join(p.read_text() for p in tmp_path.glob("*.draft.toml")))
    running.stop(signal.SIGKILL)
    hand.type("pipe2_host_diameter", "11")
    hand.wait(lambda: "does not answer" in hand.text("#notices"))
    running.start()
    hand.go(running.address)
    # What had reached the desk is taken up from its draft, what had not is offered.
    notices = hand.text("#notices")
    assert "taken up" in notices
    assert "while the desk was not running" in notices
    assert hand.field("pipe1_host_diameter").get_attribute("value") == "9"
    assert hand.field("pipe2_host_diameter").get_attribute("value") == "10"
    buttons = hand.driver.find_elements("css selector", "#notices button")
    next(b for b in buttons if b.text == "Apply them").click()
    hand.wait(lambda: hand.field("pipe2_host_diameter").get_attribute("value") == "11")
    hand.click("#save")
    hand.wait(lambda: "street.toml: saved" in hand.text("#file"))
    pipes = tomllib.loads((tmp_path / "street.toml").read_text())["pipe"]
    assert [pipes[0]["host_diameter"], pipes[1]["host_diameter"]] == ["9 in", "11 in"]


def test_a_file_changed_by_another_program(hand, desk, tmp_path):
    file = tmp_path / "street.toml"
    file.write_bytes(EXAMPLE.read_bytes())
    hand.go(desk("street.toml").address)
    hand.type("pipe1_host_diameter", "9")
    theirs = file.read_text().replace('"15 in"', '"18 in"')
    file.write_text(theirs)
    hand.wait(lambda: "Another program has changed" in hand.text("#notices"))
    hand.click("#save")
    hand.wait(lambda: "choose which to keep" in hand.text("#notices"))
    assert file.read_text() == theirs
    buttons = hand.driver.find_elements("css selector", "#notices button")
    next(b for b in buttons if b.text.startswith("Save mine")).click()
    hand.wait(lambda: "street.toml: saved" in hand.text("#file"))
    assert (tmp_path / "street (other version).toml").read_text() == theirs
    mine = tomllib.loads(file.read_text())["pipe"]
    assert [mine[0]["host_diameter"], mine[2]["host_diameter"]] == ["9 in", "15 in"]


def test_two_tabs_show_one_project(hand, desk, tmp_path):
    (tmp_path / "street.toml").write_bytes(EXAMPLE.read_bytes())
    running = desk("street.toml")
    hand.go(running.address)
    first = hand.driver.current_window_handle
    hand.driver.switch_to.new_window("tab")
    hand.go(running.address)
    hand.type("pipe1_host_diameter", "9")
    hand.type("pipe5_ovality", "5")  # pipe 3 has two stations
    second = hand.driver.current_window_handle
    hand.driver.switch_to.window(first)
    hand.wait(lambda: hand.field("pipe1_host_diameter").get_attribute("value") == "9")
    hand.type("pipe2_host_diameter", "11")
    hand.driver.switch_to.window(second)
    hand.wait(lambda: hand.field("pipe2_host_diameter").get_attribute("value") == "11")
    values = [hand.field(f"pipe{n}_{key}").get_attribute("value")
              for n, key in ((1, "host_diameter"), (2, "host_diameter"))]  # fmt: skip
    assert values == ["9", "11"]
    hand.driver.close()
    hand.driver.switch_to.window(first)


UNNAMED = """
    const fields = document.querySelectorAll(
        "main input, main select, main button, header input, header button");
    return [...fields].filter((each) => !each.labels?.length && !each.getAttribute("aria-label")
        && !each.textContent.trim()).length;
"""


def test_the_keyboard_goes_through_the_table(hand, desk):
    hand.go(desk().address)
    for _ in range(2):
        hand.click("#pipes .bar button")
    hand.wait(lambda: hand.count(".entry.pipe tbody tr") == 3)
    hand.driver.execute_script("arguments[0].focus()", hand.field("pipe1_host_diameter"))
    at = "return document.activeElement.dataset.name"
    hand.driver.switch_to.active_element.send_keys("8", Keys.ENTER)
    assert hand.driver.execute_script(at) == "pipe2_host_diameter"
    hand.driver.switch_to.active_element.send_keys("10", Keys.ARROW_UP)
    assert hand.driver.execute_script(at) == "pipe1_host_diameter"
    hand.driver.switch_to.active_element.send_keys(Keys.ARROW_RIGHT)
    assert hand.driver.execute_script(at) == "pipe1_ovality"
    hand.driver.switch_to.active_element.send_keys("2")
    hand.keys(Keys.CONTROL, "d")
    hand.wait(lambda: hand.field("pipe3_ovality").get_attribute("value") == "2")
    hand.keys(Keys.CONTROL, "z")
    hand.wait(lambda: hand.field("pipe3_ovality").get_attribute("value") == "")
    # Every field says what it is.
    assert hand.driver.execute_script(UNNAMED) == 0


def test_a_review_beside_the_submittal(hand, desk, tmp_path, downloads):
    (tmp_path / "street.toml").write_bytes(EXAMPLE.read_bytes())
    hand.go(desk("street.toml").address + "#review")
    field = hand.find('#stated [data-item="thickness"] input')
    field.send_keys("3 mm")
    hand.wait(lambda: "differs" in hand.text('#stated [data-item="thickness"]'))
    # By hand the pipe needs less than its owner's minimum of 4.5 mm, which is next.
    assert "4.5" in hand.text('#stated [data-item="thickness"] [data-cell="ours"]')
    assert hand.count("#comments ol li") >= 1
    field.send_keys(Keys.CONTROL, "a")
    field.send_keys("4.5 mm")
    hand.wait(lambda: "agrees" in hand.text('#stated [data-item="thickness"]'))
    hand.click('#view-review [data-document="letter"]')
    assert until(lambda: (downloads / "street letter.pdf").exists(), 60)


def test_a_document_under_way_is_cancelled(hand, desk, tmp_path, downloads):
    (tmp_path / "long.toml").write_bytes(EXAMPLE.read_bytes())
    hand.go(desk("long.toml").address)
    hand.click('[data-document="pdf"]')
    hand.click("#jobs progress + button")
    hand.wait(lambda: "cancelled" in hand.text("#jobs"))
    assert not (downloads / "long.pdf").exists()


HOSTILE = '<img src=x onerror="document.title=1">'


def test_hostile_names_are_only_text(hand, desk, tmp_path):
    text = EXAMPLE.read_text().replace("MH 1 to MH 2", HOSTILE.replace('"', "'"))
    (tmp_path / "street.toml").write_text(text)
    hand.go(desk("street.toml").address)
    hand.wait(lambda: hand.count("#sheet svg") >= 2)
    assert hand.count("img[src=x]") == 0
    hand.driver.get(hand.driver.current_url.split("#")[0] + "#compare")
    hand.click("#run-compare")
    hand.wait(lambda: hand.count("#comparison table"), 60)
    assert hand.count("#comparison figure img") >= 1
    assert hand.count("img[src=x]") == 0
    assert hand.driver.title != "1"
    assert hand.complaints() == []


@pytest.mark.parametrize("width", [1280, 390])
def test_nothing_is_wider_than_the_window(hand, desk, tmp_path, width):
    (tmp_path / "street.toml").write_bytes(EXAMPLE.read_bytes())
    metrics = {"width": width, "height": 844, "deviceScaleFactor": 1, "mobile": width < 500}
    hand.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    address = desk("street.toml").address
    for view in ("design", "review", "compare"):
        hand.go(address + f"#{view}")
        hand.wait(lambda: hand.driver.execute_script("return document.readyState") == "complete")
        assert hand.driver.execute_script("return document.documentElement.scrollWidth") <= width
    hand.driver.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
