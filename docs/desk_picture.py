"""Takes the picture of the desk in the README anew, in Chromium: needs selenium and pillow.

python docs/desk_picture.py
"""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from PIL import Image
from selenium import webdriver

HERE = Path(__file__).parent
PROJECT = HERE.parent / "worked_examples" / "mill_lane_sewers" / "project.toml"
PICTURE = HERE / "desk.png"
WIDTH, HEIGHT, COLOURS = 1280, 1300, 96
READY = "return document.querySelectorAll('#sheet svg').length"


def picture(address: str) -> bytes:
    """The page of a desk as a PNG image."""
    options = webdriver.ChromeOptions()
    options.binary_location = shutil.which("chromium") or ""
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"):
        options.add_argument(argument)
    service = webdriver.ChromeService(shutil.which("chromedriver"))
    driver = webdriver.Chrome(options=options, service=service)
    try:
        driver.set_window_size(WIDTH, HEIGHT)
        driver.get(address)
        while not driver.execute_script(READY):
            time.sleep(0.1)
        time.sleep(0.5)
        return driver.get_screenshot_as_png()
    finally:
        driver.quit()


def main() -> None:
    """Writes the picture of the street of the worked examples."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "harrowmere"
        folder.mkdir()
        shutil.copy(PROJECT, folder / "mill_lane.toml")
        command = [sys.executable, "-m", "linerdesign", "desk", "mill_lane.toml", "--no-browser"]
        served = subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE, text=True)
        try:
            assert served.stdout is not None
            address = served.stdout.readline().split(": ", 1)[1].strip()
            image = Image.open(io.BytesIO(picture(address))).convert("RGB")
        finally:
            served.terminate()
            served.wait()
    image.quantize(COLOURS).save(PICTURE, optimize=True)


if __name__ == "__main__":
    main()
