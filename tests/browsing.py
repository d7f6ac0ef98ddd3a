"""Chromium as the reader of a page."""

import json
import shutil

import pytest

webdriver = pytest.importorskip("selenium.webdriver", reason="selenium is not installed")
WebDriverWait = pytest.importorskip("selenium.webdriver.support.ui").WebDriverWait
BROWSER, DRIVER = shutil.which("chromium"), shutil.which("chromedriver")
needs_browser = pytest.mark.skipif(
    not (BROWSER and DRIVER), reason="needs the programs chromium and chromedriver"
)

VALUES = """
    return Object.fromEntries([...document.querySelectorAll("[data-name]")].map(
        (found) => [found.dataset.name, found.dataset.value]));
"""
CHANGE = """
    const field = document.querySelector(`input[data-name="${arguments[0]}"]`);
    field.value = arguments[1];
    field.dispatchEvent(new Event("input", { bubbles: true }));
"""


def started():
    """A browser, for a fixture."""
    options = webdriver.ChromeOptions()
    options.binary_location = BROWSER
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu"):
        options.add_argument(argument)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(DRIVER))
    yield driver
    driver.quit()


def open_page(browser, folder, text):
    """Opens a page; it must fetch nothing and raise no complaint."""
    path = folder / "page.html"
    path.write_text(text, encoding="utf-8")
    for log in ("browser", "performance"):
        browser.get_log(log)
    browser.get(path.as_uri())
    assert browser.get_log("browser") == []
    messages = [json.loads(entry["message"])["message"] for entry in browser.get_log("performance")]
    asked = [m for m in messages if m["method"] == "Network.requestWillBeSent"]
    addresses = [m["params"]["request"]["url"] for m in asked]
    assert [a for a in addresses if not a.startswith(("data:", path.as_uri()))] == []
