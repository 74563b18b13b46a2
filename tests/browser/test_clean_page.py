"""The pages without code or menus, as a tablet shows them: every question runs, fits, and moves."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request

import lab as driver
import pytest
from playwright.sync_api import expect

PAGES = sorted(path.stem for path in (driver.ROOT / "workbook").glob("*.ipynb"))
ICONS = "fontawesome"  # the server of these pages asks for it elsewhere; without a network its marks are left out
TABLET = {"width": 820, "height": 1180}
WIDER_THAN_THE_PAGE = """() => [...document.querySelectorAll(".trailer, .trailer-verdict, .trailer-picture svg")]
    .filter(e => e.offsetParent !== null || e.tagName === "svg")
    .map(e => [e.className.baseVal ?? e.className, e.getBoundingClientRect()])
    .filter(([, b]) => b.width && (b.left < -1 || b.right > window.innerWidth + 1))
    .map(([name, b]) => `${name}: ${Math.round(b.left)}…${Math.round(b.right)}`)"""


@pytest.fixture(scope="module")
def clean(tmp_path_factory):
    """Address of the clean pages of a copy of the workbook."""
    work = tmp_path_factory.mktemp("clean") / "workbook"
    shutil.copytree(driver.ROOT / "workbook", work, ignore=shutil.ignore_patterns("trailer*", ".*", "build files"))
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "voila", "--no-browser", f"--port={port}", "--Voila.ip=127.0.0.1", str(work)]
    log = (work.parent / "log").open("w")
    server = subprocess.Popen(
        command, stdout=log, stderr=log, cwd=work, env={**os.environ, "PYTHONPATH": str(driver.ROOT)}
    )
    try:
        _wait(f"http://127.0.0.1:{port}/", server, work.parent / "log")
        yield f"http://127.0.0.1:{port}/voila/render"
    finally:
        server.terminate()
        server.wait(20)
        log.close()


def _wait(url, server, log):
    for _ in range(240):
        assert server.poll() is None, log.read_text()
        try:
            urllib.request.urlopen(url, timeout=5).close()
        except (urllib.error.URLError, OSError):
            time.sleep(0.25)
        else:
            return
    pytest.fail(f"the clean pages did not come up:\n{log.read_text()}")


def opened(browser, clean, page):
    """A page in a tablet's window, run to its end."""
    sheet = browser.new_context(viewport=TABLET).new_page()
    seen = driver.watch(sheet)
    sheet.goto(f"{clean}/{page}.ipynb")
    sheet.get_by_text(driver.SOUND).wait_for(timeout=120_000)
    sheet.wait_for_timeout(700)
    return sheet, seen


@pytest.mark.parametrize("page", PAGES)
def test_a_clean_page_runs_and_fits_a_tablet(browser, clean, page):
    sheet, seen = opened(browser, clean, page)
    assert sheet.evaluate(WIDER_THAN_THE_PAGE) == []
    assert sheet.evaluate("document.documentElement.scrollWidth") <= TABLET["width"]
    expect(sheet.locator("button[data-commandlinker-command]:visible"), "a button that does nothing").to_have_count(
        0, timeout=30_000
    )
    assert sheet.locator(".jp-InputArea-editor:visible, .highlight:visible").count() == 0, "code is shown"
    assert [one for one in seen.strangers if ICONS not in one] == []
    driver.shot(sheet, f"{page}-clean")
    sheet.context.close()


def test_a_slider_moves_the_verdict_of_a_clean_page(browser, clean):
    sheet, _ = opened(browser, clean, "03_which_wire")
    before = driver.verdict(sheet)
    driver.handle(sheet, "run").focus()
    for _ in range(8):
        sheet.keyboard.press("ArrowRight")
    sheet.wait_for_function("before => document.querySelector('.trailer-verdict').innerText !== before", arg=before)
    assert driver.verdict(sheet) != before
    sheet.context.close()
