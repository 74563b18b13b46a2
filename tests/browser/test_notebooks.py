"""Every notebook as a person meets it: opened, run from the menu, nothing wrong, nothing sent away."""

from __future__ import annotations

import re
import shutil
import subprocess

import lab as driver
from test_benches import CASES, faint

import trailerlib as tl

# each is opened and run by ``open_and_run`` in one test: here, of its bench, of the trade
OPENED = {"00_start", "09_can_the_walls_close", "10_what_would_i_trade", "11_the_build_file"}


def test_every_notebook_is_opened_and_run_by_some_test():
    shipped = {path.stem for path in (driver.ROOT / "workbook").glob("*.ipynb")}
    assert shipped == OPENED | {case.notebook for case in CASES.values()}


def test_what_is_printed_on_the_start_page_is_not_set_as_a_formula(lab, page):
    """A name with two dollar signs is a name."""
    seen = driver.watch(page)
    raw = dict(tl.read_design(tl.shipped_trailers()["fen-survey"]).raw)
    raw["title"] = r"Rent $20 or $x^2$ a day"
    tl.save_design(tl.design_from(raw), lab.trailer)
    driver.open_and_run(page, lab, "00_start.ipynb")
    driver.to_top(page)
    driver.shot(page, "00_start-light")
    page.wait_for_timeout(1500)
    assert page.locator(".trailer-page mjx-container, .trailer-page .MathJax").count() == 0
    assert r"$x^2$" in page.locator(".trailer-page").inner_text()
    driver.darken(page)
    driver.to_top(page)
    driver.shot(page, "00_start-dark")
    assert faint(page) == []
    assert seen.strangers == []
    assert seen.errors == []


def test_the_button_on_the_page_runs_it(lab, page):
    driver.open_notebook(page, lab, "02_will_it_last_the_night.ipynb")
    page.evaluate("document.querySelectorAll('.jp-OutputArea-child').forEach(o => o.dataset.earlier = '1')")
    page.locator("button[data-commandlinker-command='notebook:run-all-cells']").first.click()
    driver.wait_done(page)
    assert driver.verdict(page)


def test_the_start_page_is_there_before_anything_runs(lab, page):
    seen = driver.watch(page)
    driver.open_notebook(page, lab, "00_start.ipynb")
    driver.shot(page, "00_start-unrun-light")
    here = page.locator(".jp-Notebook .trailer-page")
    assert here.locator(".trailer-plan svg text").count() > 10
    demo = tl.read_design(tl.shipped_trailers()["fen-survey"])
    words = " ".join(here.inner_text().split())
    for answer in tl.assess(demo).answers.values():
        assert answer.sentence in words
    box = here.locator(".trailer-plan svg").bounding_box()
    assert box["width"] > 300
    assert box["height"] > 150
    assert seen.strangers == []
    assert not lab.trailer.exists(), "opening alone made a trailer"


def test_the_desk_writes_a_build_file(lab, page):
    seen = driver.watch(page)
    driver.open_and_run(page, lab, "11_the_build_file.ipynb")
    desk = driver.to_top(page)
    driver.darken(page)
    desk = driver.to_top(page)
    driver.shot(page, "11_the_build_file-dark")
    assert faint(page, least=3) == []
    desk.get_by_text("Write the build file").click()
    desk.get_by_text("Written into").wait_for(timeout=30_000)
    driver.shot(page, "11_the_build_file-written-light")
    (folder,) = (lab.folder / "build files").iterdir()
    files = sorted(path.name for path in folder.iterdir())
    assert {"build-file.pdf", "build-file.xlsx", "snapshot.json", "design.toml"} <= set(files)
    assert (folder / "build-file.pdf").read_bytes().startswith(b"%PDF-")
    words = desk.inner_text()
    assert all(name in words for name in files)
    assert folder.name in words
    text = subprocess.run(
        ["pdftotext", str(folder / "build-file.pdf"), "-"], capture_output=True, text=True, check=True
    ).stdout
    assert "Fen survey" in re.sub(r"\s+", " ", text)
    shutil.rmtree(lab.folder / "build files")
    assert seen.strangers == []
    assert seen.errors == []
