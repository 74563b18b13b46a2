"""Every notebook as a person meets it: opened, run from the menu, nothing wrong, nothing sent away."""

from __future__ import annotations

import re
import shutil
import subprocess

import lab as driver
import pytest
from playwright.sync_api import expect

import trailerlib as tl

NOTEBOOKS = sorted(path.stem for path in (driver.ROOT / "workbook").glob("*.ipynb"))
BENCHES = (
    "01_what_must_it_run",
    "02_will_it_last_the_night",
    "03_which_wire",
    "04_what_trips_first",
    "05_which_generator",
)


def test_the_questions_are_there():
    assert {*BENCHES, "00_start", "11_the_build_file"} <= set(NOTEBOOKS)


@pytest.mark.parametrize("notebook", NOTEBOOKS)
def test_a_notebook_opens_and_runs(notebook, lab, page):
    seen = driver.watch(page)
    driver.open_notebook(page, lab, f"{notebook}.ipynb")
    code = page.locator(".jp-CodeCell .jp-InputArea-editor:visible")
    expect(code, "code is shown").to_have_count(0)
    folded = page.locator(".jp-Notebook .jp-InputCollapser, .jp-Notebook .jp-Placeholder").count()
    assert folded, "nothing stands for the code"
    assert page.get_by_text("Select Kernel").count() == 0
    driver.run_all(page)
    assert page.locator(".jp-Dialog").count() == 0
    assert page.locator(".jp-toast-message, .Toastify__toast").count() == 0, "a prompt covers the page"
    expect(code, "running unfolded the code").to_have_count(0)
    page.wait_for_timeout(300)
    assert seen.strangers == []
    assert seen.errors == []
    if page.locator(".jp-Notebook .trailer").count():
        driver.to_top(page)
    driver.shot(page, f"{notebook}-light")


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


def test_the_title_is_the_first_thing_seen(lab, page):
    for notebook in ("00_start", "02_will_it_last_the_night"):
        driver.open_notebook(page, lab, f"{notebook}.ipynb")
        page.wait_for_timeout(400)
        title = page.locator(".jp-Notebook h1").first
        box, window = title.bounding_box(), page.locator(".jp-WindowedPanel-outer").first.bounding_box()
        assert box["height"] > 20, "the title is folded away"
        assert window["y"] <= box["y"] < window["y"] + 200


def test_what_is_printed_on_the_start_page_is_not_set_as_a_formula(lab, page):
    """A name with two dollar signs is a name."""
    raw = dict(tl.read_design(tl.shipped_trailers()["fen-survey"]).raw)
    raw["title"] = r"Rent $20 or $x^2$ a day"
    tl.save_design(tl.design_from(raw), lab.trailer)
    driver.open_notebook(page, lab, "00_start.ipynb")
    driver.run_all(page)
    page.wait_for_timeout(1500)
    assert page.locator(".trailer-page mjx-container, .trailer-page .MathJax").count() == 0
    assert r"$x^2$" in page.locator(".trailer-page").inner_text()


def test_the_desk_writes_a_build_file(lab, page):
    driver.open_notebook(page, lab, "11_the_build_file.ipynb")
    driver.run_all(page)
    desk = driver.to_top(page)
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
