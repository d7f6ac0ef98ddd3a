"""What `size` costs on many varied pipes: time, memory and file size of every form.

    python tests/benchmarks/many.py [PIPES]

A page is also opened in Chromium, where it is installed: seconds until it is laid out, and until
its packed sheets are there.

Times are processor time of whole processes, as ratios to a base measured in the same run: reading
the same project file with tomllib in Python, a hundred times. Growth compares with a tenth of the
pipes; a cost that is linear, start-up aside, grows ten times at most.
"""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from many_pipes import project

BASE = (
    "import sys, tomllib; text = open(sys.argv[1]).read(); [tomllib.loads(text) for _ in [0] * 100]"
)
FORMS = ("txt", "json", "html", "xlsx", "pdf")
# Memory of a process that waits for one child at a time: its children's largest so far, in KB.
MEASURED = """
import resource, subprocess, sys
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)
"""


def _measured(*command):
    """Processor seconds and megabytes of a command."""
    done = subprocess.run(
        [sys.executable, "-c", MEASURED, sys.executable, *map(str, command)],
        env={key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"},
        capture_output=True,
        text=True,
        check=True,
    )
    seconds, megabytes = map(float, done.stdout.split())
    return seconds, megabytes


def _form(file, form):
    target = file.with_suffix(f".{form}")
    size = ["-m", "linerdesign", "size", file, "-o", target, "--force"]
    return (*_measured(*size), target.stat().st_size / 1e6)


OPENED = """
const [entry] = performance.getEntriesByType("navigation");
const sheets = document.getElementById("sheets");
return [entry.loadEventEnd / 1000, !sheets || "complete" in sheets.dataset];
"""


def _opened(file):
    """Seconds until Chromium has laid out a page, and until its packed sheets are there."""
    from selenium import webdriver

    options = webdriver.ChromeOptions()
    options.binary_location = shutil.which("chromium")
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu"):
        options.add_argument(argument)
    service = webdriver.ChromeService(shutil.which("chromedriver"))
    browser = webdriver.Chrome(options=options, service=service)
    try:
        start = time.monotonic()
        browser.get(file.as_uri())
        open_after, whole = browser.execute_script(OPENED)
        while not whole and time.monotonic() - start < 300:
            time.sleep(0.5)
            _, whole = browser.execute_script(OPENED)
        return open_after, time.monotonic() - start
    finally:
        browser.quit()


def main():
    """Prints a line for each form."""
    pipes = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    with tempfile.TemporaryDirectory() as folder:
        many, few = Path(folder) / "many.toml", Path(folder) / "few.toml"
        many.write_text(project(pipes))
        few.write_text(project(max(pipes // 10, 1)))
        base, _ = _measured("-c", BASE, many)
        print(f"base: {base:.2f} s to read the file of {pipes} pipes a hundred times")
        for form in FORMS:
            seconds, megabytes, size = _form(many, form)
            less, *_ = _form(few, form)
            print(
                f"{form:>5}: {seconds:.1f} s, {seconds / base:.2f} of the base, growth "
                f"{seconds / less:.1f} for 10 times the pipes; {megabytes:.0f} MB of memory, "
                f"{size:.1f} MB of file"
            )
        if shutil.which("chromium") and shutil.which("chromedriver"):
            laid_out, whole = _opened(many.with_suffix(".html"))
            print(f" page: opens in {laid_out:.1f} s, all sheets there after {whole:.1f} s")


if __name__ == "__main__":
    main()
