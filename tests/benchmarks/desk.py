"""How long a keystroke takes to new results on the desk, with 200 pipes in the project.

    python tests/benchmarks/desk.py [--browser]

By itself it times the desk: one value typed, the draft written, the pipe designed, the answer made.
With --browser it types in Chromium, and times from the keystroke to the result in its cell.
"""

import statistics
import sys
import tempfile
import time
from pathlib import Path

# In place of this folder, where this file has the name of the tests of the desk.
sys.path[0] = str(Path(__file__).parents[1])

PIPES, STROKES = 200, 40
HEAD = """[project]
title = "Harrowmere"
[criteria]
[[resin]]
name = "Felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
"""
PIPE = """
[[pipe]]
name = "MH {0}"
condition = "fully deteriorated"
host_diameter = "{1} in"
ovality = "2 %"
cover = "{2} ft"
groundwater_above_invert = "5 ft"
soil_unit_weight = "120 pcf"
soil_reaction_modulus = "1000 psi"
live_load = "0.5 psi"
length = "300 ft"
"""


def project(folder):
    """A project of so many pipes in the folder; returns its name."""
    pipes = (PIPE.format(i, 8 + i % 30, 8 + i % 12) for i in range(PIPES))
    (folder / "street.toml").write_text(HEAD + "".join(pipes), "utf-8")
    return "street.toml"


def shown(label, seconds):
    """Prints median and worst in milliseconds."""
    ms = sorted(1000 * each for each in seconds)
    print(f"{label}: median {statistics.median(ms):.0f} ms, largest of {len(ms)} {ms[-1]:.0f} ms")


def of_the_desk(folder):
    """Seconds from a change of one pipe, and of a criterion that all share, to the answer."""
    from starlette.testclient import TestClient

    from linerdesign.desk.server import application
    from linerdesign.desk.session import Desk

    begin = time.perf_counter()
    desk = Desk(folder, project(folder))
    print(f"opening {PIPES} pipes: {1000 * (time.perf_counter() - begin):.0f} ms")
    guarded, jobs = application(desk, "token", 80)
    host = {"host": "127.0.0.1:80", "origin": "http://127.0.0.1:80"}
    client = TestClient(guarded, base_url="http://127.0.0.1:80")
    row = client.get("/token/state", headers=host).json()["order"]["pipe"][PIPES // 2]
    for label, at, path in (
        ("one pipe", row, ["cover"]),
        ("a criterion of all pipes", "criteria", ["minimum_ovality"]),
    ):
        seconds = []
        for i in range(STROKES):
            unit = "ft" if at == row else "%"
            edit = {"do": "set", "row": at, "path": path, "text": f"{9 + i / 10}", "unit": unit}
            begin = time.perf_counter()
            body = {"edits": [edit], "since": desk.revision}
            answer = client.post("/token/edit", json=body, headers=host).json()
            seconds.append(time.perf_counter() - begin)
            assert answer["rows"]
        shown(label, seconds)
    jobs.close()


# From the key that goes down to the new number in the cell, on the page's own clock.
WATCH = """
    const done = arguments[3], cell = document.querySelector(`td[data-name="${arguments[0]}"]`);
    const field = document.querySelector(`input[data-name="${arguments[1]}"]`);
    const before = cell.dataset.value;
    let begin = 0;
    new MutationObserver((_, observer) => {
        if (cell.dataset.value === before) return;
        observer.disconnect();
        requestAnimationFrame(() => done(performance.now() - begin));
    }).observe(cell, { attributes: true });
    field.focus();
    begin = performance.now();
    field.value = arguments[2];
    field.dispatchEvent(new Event("input", { bubbles: true }));
"""


def in_a_browser(folder):
    """Seconds from a keystroke to the result in its cell, in Chromium."""
    from desk.browser import Hand, Running, opened

    running = Running(folder, project(folder))
    driver = opened(folder)
    try:
        hand = Hand(driver)
        hand.go(running.address)
        time.sleep(2)
        names = (f"pipe{PIPES // 2}_required_thickness", f"pipe{PIPES // 2}_cover")
        seconds = []
        for i in range(STROKES):
            text = f"{12 + i / 10:.1f}"
            seconds.append(driver.execute_async_script(WATCH, *names, text) / 1000)
            time.sleep(0.6)
        shown("in the browser, one pipe", seconds)
    finally:
        driver.quit()
        running.stop()


def main():
    """Prints the times."""
    with tempfile.TemporaryDirectory() as folder:
        of_the_desk(Path(folder))
        if "--browser" in sys.argv:
            in_a_browser(Path(folder))


if __name__ == "__main__":
    main()
