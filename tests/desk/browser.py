"""A desk running as a process of its own, and a real browser in front of it."""

import contextlib
import json
import os
import shutil
import signal
import subprocess
import sys
import time

import pytest

webdriver = pytest.importorskip("selenium.webdriver", reason="selenium is not installed")
WebDriverWait = pytest.importorskip("selenium.webdriver.support.ui").WebDriverWait
from selenium.webdriver.common.action_chains import ActionChains  # noqa: E402
from selenium.webdriver.common.by import By  # noqa: E402
from selenium.webdriver.common.keys import Keys  # noqa: E402

BROWSER, DRIVER = shutil.which("chromium"), shutil.which("chromedriver")
needs_browser = pytest.mark.skipif(
    not (BROWSER and DRIVER), reason="needs the programs chromium and chromedriver"
)
FIELD = 'input[data-name="{0}"], select[data-name="{0}"]'
PASTE = """
    const made = new DataTransfer();
    made.setData("text/plain", arguments[1]);
    arguments[0].dispatchEvent(new ClipboardEvent(
        "paste", { clipboardData: made, bubbles: true, cancelable: true }));
"""


class Running:
    """A desk on a folder; it can be stopped, killed and started again on the same port."""

    def __init__(self, folder, *words):
        self.folder, self.words, self.port = folder, words, None
        self.start()

    def start(self):
        port = () if self.port is None else ("--port", str(self.port))
        command = [sys.executable, "-m", "linerdesign", "desk", *self.words, "--no-browser", *port]
        self.process = subprocess.Popen(
            command,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            cwd=self.folder,
            env=os.environ | {"PYTHONSAFEPATH": "1"},
        )
        self.address = self.process.stdout.readline().split(": ", 1)[1].strip()
        self.port = int(self.address.split(":")[2].split("/")[0])

    def stop(self, how=signal.SIGTERM):
        with contextlib.suppress(ProcessLookupError):
            self.process.send_signal(how)
        self.process.wait(timeout=20)
        self.process.stdout.close()


def opened(downloads):
    """A new browser that puts what it downloads into a folder."""
    options = webdriver.ChromeOptions()
    options.binary_location = BROWSER
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--window-size=1280,1000"):
        options.add_argument(argument)
    options.add_experimental_option("prefs", {"download.default_directory": str(downloads)})
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    return webdriver.Chrome(options=options, service=webdriver.ChromeService(DRIVER))


class Hand:
    """What a user does at the desk."""

    def __init__(self, driver):
        self.driver = driver

    def wait(self, found, seconds=20):
        return WebDriverWait(self.driver, seconds, 0.05).until(lambda _: found())

    def go(self, address):
        self.driver.get(address)
        self.wait(lambda: self.driver.find_elements(By.CSS_SELECTOR, "body[data-ready]"))

    def find(self, selector):
        return self.wait(lambda: self.driver.find_elements(By.CSS_SELECTOR, selector))[0]

    def field(self, name):
        return self.find(FIELD.format(name))

    def type(self, name, text):
        """Types over a field of the table."""
        field = self.field(name)
        self.driver.execute_script("arguments[0].focus()", field)
        if field.tag_name == "select":
            option = f'option[value="{text}"]'
            self.driver.execute_script(
                "arguments[0].value = arguments[1];"
                "arguments[0].dispatchEvent(new Event('change', { bubbles: true }));",
                field,
                field.find_element(By.CSS_SELECTOR, option).get_attribute("value"),
            )
        else:
            field.send_keys(Keys.CONTROL, "a")
            field.send_keys(Keys.NULL, text)

    def keys(self, *keys):
        """Presses keys together, where the cursor is."""
        chain = ActionChains(self.driver)
        for key in keys[:-1]:
            chain = chain.key_down(key)
        chain = chain.send_keys(keys[-1])
        for key in reversed(keys[:-1]):
            chain = chain.key_up(key)
        chain.perform()

    def paste(self, name, text):
        field = self.field(name)
        self.driver.execute_script("arguments[0].focus()", field)
        self.driver.execute_script(PASTE, field, text)

    def click(self, selector):
        self.driver.execute_script("arguments[0].click()", self.find(selector))

    def value(self, name):
        """The number of a result."""
        found = self.find(f'td[data-name="{name}"]').get_attribute("data-value")
        return float(found) if found else None

    def text(self, selector):
        return self.find(selector).get_attribute("textContent")

    def count(self, selector):
        return len(self.driver.find_elements(By.CSS_SELECTOR, selector))

    def complaints(self):
        """What the browser says of the page, requests to a desk that was stopped aside."""
        found = [entry["message"] for entry in self.driver.get_log("browser")]
        return [each for each in found if "ERR_CONNECTION_REFUSED" not in each]

    def addresses(self):
        """Every address that was asked for."""
        entries = self.driver.get_log("performance")
        messages = [json.loads(entry["message"])["message"] for entry in entries]
        asked = [m for m in messages if m["method"] == "Network.requestWillBeSent"]
        return {m["params"]["request"]["url"] for m in asked}


def until(found, seconds=20.0):
    """Waits until something holds."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if found():
            return True
        time.sleep(0.05)
    return False
