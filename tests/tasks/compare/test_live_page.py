"""The page of a comparison in a browser: changed prices give what the command gives for them."""

import json
import shutil

import pytest
from tasks.compare.test_live_costs import CHANGES, OPTIONS, POUND, project

webdriver = pytest.importorskip("selenium.webdriver", reason="selenium is not installed")
BROWSER, DRIVER = shutil.which("chromium"), shutil.which("chromedriver")
pytestmark = pytest.mark.skipif(
    not (BROWSER and DRIVER), reason="needs the programs chromium and chromedriver"
)
# Of the units of the page to those of the project file, by the last word of the name.
US = {"price": POUND, "tube": 0.3048, "length": 1 / 0.3048}
US["density"] = 1000.0 * 0.3048**3 / POUND
CHANGE = """
    const field = document.querySelector(`input[data-cell="${live.names[arguments[0]]}"]`);
    field.value = arguments[1];
    field.dispatchEvent(new Event("input", { bubbles: true }));
"""
TABLES = """
    return [...document.querySelectorAll("table")].map((table) => [
        table.caption.querySelector("bdi").textContent,
        [...table.tBodies[0].rows].map((row) => [...row.cells].map((cell) => cell.textContent))]);
"""
NUMBERS = "return [...arguments].map((name) => value(live.names[name]));"


@pytest.fixture(scope="module")
def browser():
    options = webdriver.ChromeOptions()
    options.binary_location = BROWSER
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu"):
        options.add_argument(argument)
    driver = webdriver.Chrome(options, webdriver.ChromeService(DRIVER))
    yield driver
    driver.quit()


@pytest.fixture
def opened(run, tmp_path, browser):
    (tmp_path / "a.toml").write_text(project())
    words = ("compare", "a.toml", "--units", "US", *OPTIONS, "3 %", "-o", "a.html")
    assert run(*words)[0] in (0, 1)
    browser.get(f"file://{tmp_path}/a.html")
    assert not browser.get_log("browser")
    return browser


def table(browser, caption):
    return next(rows for text, rows in browser.execute_script(TABLES) if text.startswith(caption))


def number(text):
    return float(text.replace(",", "").split(" ")[0])


def test_changed_prices_give_what_the_command_gives(run, tmp_path, opened):
    for name, (_, new) in CHANGES.items():
        factor = US.get(name.partition("_")[2], 1.0)
        opened.execute_script(CHANGE, name, repr(float(new.split()[0]) * factor))
    opened.execute_script(CHANGE, "discount_rate", "5")
    (tmp_path / "b.toml").write_text(project(CHANGES.values()))
    words = ("compare", "b.toml", "--units", "US", *OPTIONS, "5 %", "--json")
    data = json.loads(run(*words)[1])
    for caption, part in (
        ("Figures over the pipes that", None),
        ("Figures over the 2", "in_common"),
    ):
        rows = {row[1][:-4]: row for row in table(opened, caption)}
        for each in data["ranking"]:
            own = each[part] if part else each
            row = rows[each["resin"]]
            assert number(row[4]) == pytest.approx(own["cost"]["value"], abs=0.51)
            assert number(row[5]) == pytest.approx(own["annual_cost"]["value"], abs=0.51)
    totals = [each["cost"] for each in data["assignments"]]
    shown = [number(row[1]) for row in table(opened, "Total annual cost by number")]
    assert shown == pytest.approx(totals, abs=0.51)
    (even,) = data["break_even"]
    (row,) = table(opened, "Price of the resin per lb")
    assert [number(cell) for cell in row[2:4]] == pytest.approx(
        [even["cost"], even["reference_cost"]], abs=0.51
    )
    assert number(row[5]) == pytest.approx(even["break_even_price_per_kg"] * POUND, abs=0.0051)
    pipes = ("Trunk", "Lane", "Main")
    chosen = {
        row[0]: row[1]
        for text, rows in opened.execute_script(TABLES)
        for row in rows
        if not text and row[0] in pipes
    }
    for each in data["pipes"]:
        assert chosen[each["name"]].startswith(each["choice"][0])


def test_a_change_is_marked_and_restored(opened):
    before = opened.execute_script(TABLES)
    banner = "return document.getElementById('banner').hidden"
    assert opened.execute_script(banner) is True
    opened.execute_script(CHANGE, "resin1_price", "9")
    assert opened.execute_script(banner) is False
    assert opened.execute_script(TABLES) != before
    opened.execute_script(CHANGE, "resin1_price", "nine")
    invalid = "return document.querySelectorAll('input[aria-invalid=\"true\"]').length"
    assert opened.execute_script(invalid) == 1
    opened.execute_script("document.getElementById('restore').click()")
    assert opened.execute_script(TABLES) == before
    assert opened.execute_script(banner) is True


def test_every_formula_of_the_page_gives_the_value_issued(opened):
    """The functions of the script on the values as issued, cell by cell."""
    wrong = opened.execute_script(
        """
        return Object.keys(every).filter((key) => {
            const issued = live.values[key][0];
            const now = every[key]((column) => beside(key, column));
            return typeof issued === "number"
                ? !(Math.abs(now - issued) <= 1e-9 * Math.abs(issued)) : now !== issued;
        });
        """
    )
    assert wrong == []
