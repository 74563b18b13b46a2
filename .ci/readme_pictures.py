"""Take the two pictures of the README from the running workbook: a bench in JupyterLab, a page of the build file.

Needs Chromium (CHROMIUM names another place) and pdftoppm.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PICTURES = Path(__file__).resolve().parent / "pictures"
sys.path.insert(0, str(ROOT / "tests" / "browser"))

import lab as driver  # noqa: E402

import trailerlib as tl  # noqa: E402


def bench() -> None:
    """The bench of the wire question after one move, so that the ghost can be seen."""
    with tempfile.TemporaryDirectory() as folder, driver.running_lab(Path(folder)) as lab, driver.chromium() as browser:
        page = browser.new_page(viewport={"width": 1280, "height": 860})
        driver.open_notebook(page, lab, "03_which_wire.ipynb")
        driver.run_all(page)
        driver.handle(page, "run").focus()
        for _ in range(10):
            page.keyboard.press("ArrowRight")
        page.wait_for_timeout(1500)
        driver.to_top(page)
        driver.bench(page).screenshot(path=PICTURES / "bench.png")


def page_of_the_build_file() -> None:
    """The page with the circuits."""
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    with tempfile.TemporaryDirectory() as folder:
        pdf = tl.write_build_file(design, folder, date="2026-11-25")["pdf"]
        command = ["pdftoppm", "-r", "80", "-png", "-singlefile", "-f", "5", "-l", "5"]
        subprocess.run([*command, str(pdf), str(PICTURES / "page")], check=True)


if __name__ == "__main__":
    PICTURES.mkdir(exist_ok=True)
    page_of_the_build_file()
    bench()
