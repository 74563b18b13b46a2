"""A real JupyterLab on this machine, and a real Chromium that looks at it."""

from __future__ import annotations

import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Locator, Page, expect, sync_playwright
from playwright.sync_api import Error as PlaywrightError

ROOT = Path(__file__).resolve().parent.parent.parent
ARTEFACTS = Path(os.environ.get("BROWSER_ARTEFACTS", ROOT / "browser-artefacts"))
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
TOKEN = "bench"
SOUND = "Nothing went wrong on this page."
# a tab that an earlier page left behind is in the page too, without a size
RECTANGLES = """parts => {
    const found = parts.map(part => [...document.querySelectorAll(part)]
        .map(e => e.getBoundingClientRect()).filter(b => b.width && b.height)
        .map(b => [b.left, b.top, b.right, b.bottom])[0]);
    return found.every(Boolean) && found;
}"""
OUTER = """part => { const e = document.querySelector(part), b = e?.getBoundingClientRect();
    return e ? [b.width, b.height, e.outerHTML.slice(0, 150), e.parentElement.outerHTML.slice(0, 150)] : null; }"""
OWN = re.compile(r"(https?|wss?)://(127\.0\.0\.1|localhost)[:/]|data:|blob:|about:")


@dataclass
class Lab:
    """A running JupyterLab: its address, its folder (a copy of the workbook)."""

    url: str
    folder: Path

    @property
    def trailer(self) -> Path:
        """The design file the notebooks share."""
        return self.folder / "trailer.toml"

    def page_url(self, notebook: str, mode: str = "lab/tree") -> str:
        """Where a notebook is shown, with a fresh lay-out."""
        return f"{self.url}/{mode}/{notebook}?token={TOKEN}&reset"

    def ask(self, path: str, method: str = "GET") -> Any:
        """Ask the server; its answer as data."""
        request = urllib.request.Request(f"{self.url}/api/{path}?token={TOKEN}", method=method)
        with urllib.request.urlopen(request, timeout=20) as answer:
            return json.loads(answer.read() or b"null")

    def tidy(self) -> None:
        """No kernel, no trailer, the notebooks as the project ships them, and the theme of a first start."""
        for session in self.ask("sessions"):
            self.ask(f"sessions/{session['id']}", "DELETE")
        for path in self.folder.glob("trailer*"):
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        for made in ("learners", "lessons/class papers", "../config/lab/user-settings"):
            shutil.rmtree(self.folder / made, ignore_errors=True)
        shipped = ROOT / "workbook"
        for notebook in (*shipped.glob("*.ipynb"), *(shipped / "lessons").glob("*.ipynb")):
            shutil.copy(notebook, self.folder / notebook.relative_to(shipped))


@contextmanager
def running_lab(folder: Path) -> Iterator[Lab]:
    """Start JupyterLab on a copy of the workbook in ``folder``; stop it at the end."""
    work = folder / "workbook"
    shutil.copytree(
        ROOT / "workbook", work, ignore=shutil.ignore_patterns("trailer*", "*.history", ".*", "build files")
    )
    environment = {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "JUPYTER_DATA_DIR": str(folder / "data"),
        "JUPYTER_CONFIG_DIR": str(folder / "config"),
        "JUPYTER_RUNTIME_DIR": str(folder / "runtime"),
        "IPYTHONDIR": str(folder / "ipython"),
    }
    environment.pop("TRAILERLIB_DESIGN", None)
    _settings(folder / "config" / "labconfig")
    subprocess.run(
        [sys.executable, "-m", "jupyter", "trust", *map(str, sorted(work.rglob("*.ipynb")))],
        env=environment,
        check=True,
        capture_output=True,
    )
    port = _free_port()
    command = [sys.executable, "-m", "jupyter", "lab", "--no-browser", "--allow-root", f"--port={port}"]
    options = ["--ip=127.0.0.1", f"--IdentityProvider.token={TOKEN}", f"--ServerApp.root_dir={work}"]
    with (folder / "lab.log").open("w") as log:
        server = subprocess.Popen([*command, *options], env=environment, stdout=log, stderr=log, cwd=work)
    try:
        lab = Lab(f"http://127.0.0.1:{port}", work)
        _wait_until_up(lab, folder / "lab.log")
        yield lab
    finally:
        server.terminate()
        server.wait(20)


def _settings(folder: Path) -> None:
    """The settings the project ships."""
    folder.mkdir(parents=True)
    shutil.copy(ROOT / "data" / "jupyterlab" / "default_setting_overrides.json", folder)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _wait_until_up(lab: Lab, log: Path) -> None:
    for _ in range(120):
        try:
            lab.ask("status")
            return
        except OSError:
            time.sleep(0.5)
    raise RuntimeError("JupyterLab did not start:\n" + log.read_text()[-2000:])


@contextmanager
def chromium() -> Iterator[Browser]:
    """A headless Chromium; its absence is an error, never a skip."""
    if not Path(CHROMIUM).exists():
        raise RuntimeError(f"{CHROMIUM} is missing: install Chromium, or name it in CHROMIUM.")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield browser
        browser.close()


@dataclass
class Seen:
    """What a page did that a person would not see: requests to strangers, errors in its console."""

    strangers: list[str]
    errors: list[str]


def watch(page: Page) -> Seen:
    """Collects while the page is used."""
    seen = Seen([], [])
    page.on("request", lambda r: None if OWN.match(r.url) else seen.strangers.append(r.url))
    page.on("websocket", lambda s: None if OWN.match(s.url) else seen.strangers.append(s.url))
    page.on("console", lambda m: seen.errors.append(m.text) if m.type == "error" else None)
    page.on("pageerror", lambda e: seen.errors.append(str(e)))
    page.on("dialog", lambda d: d.accept())
    return seen


def open_notebook(page: Page, lab: Lab, notebook: str) -> None:
    """Open a notebook and wait until all its cells are there and a kernel is idle."""
    page.goto(lab.page_url(notebook))
    settled(page)


def settled(page: Page) -> None:
    """Until the notebook is shown and its kernel is idle."""
    page.locator(".jp-Notebook .jp-Cell").first.wait_for(timeout=120_000)
    # the indicator calls a notebook without a kernel idle too, and what is run then is lost
    page.locator(".jp-StatusBar-TextItem", has_text=re.compile(r"Python 3.*\| Idle")).first.wait_for(timeout=120_000)
    # attached, not visible: a toolbar laid out late leaves the indicator without a picture, idle as it is
    idle = page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").first
    idle.wait_for(state="attached", timeout=120_000)
    page.locator("#jupyterlab-splash").wait_for(state="detached", timeout=120_000)


def run_all(page: Page) -> None:
    """Run ▸ Run All Cells, and wait until the last cell has said that nothing went wrong."""
    _start(page, "run-all")
    wait_done(page)


def restart_and_run_all(page: Page) -> None:
    """Run ▸ Restart Kernel and Run All Cells, agreed to; then as after a run."""
    _start(page, "restart-and-run-all")
    page.locator(".jp-Dialog button.jp-mod-accept").click()
    wait_done(page)


def _start(page: Page, command: str) -> None:
    """Mark what earlier runs have put on the page, and take a command of the menu Run."""
    settled(page)
    page.evaluate(
        "document.querySelectorAll('.jp-Notebook .jp-OutputArea-child').forEach(o => o.dataset.earlier = '1')"
    )
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.locator(f"li[data-command='runmenu:{command}']").click()


def open_and_run(page: Page, lab: Lab, notebook: str) -> None:
    """Open a notebook as a person does and run it: its title first, no code, no question, no message over the page."""
    open_notebook(page, lab, notebook)
    page.wait_for_timeout(400)
    title, window = (
        page.locator(".jp-Notebook h1").first.bounding_box(),
        rectangles(page, [".jp-WindowedPanel-outer"])[0],
    )
    assert title is not None and title["height"] > 20, "the title is folded away"
    assert window[1] <= title["y"] < window[1] + 200, "the title is not the first thing seen"
    code = page.locator(".jp-CodeCell .jp-InputArea-editor:visible")
    expect(code, "code is shown").to_have_count(0)
    assert page.locator(".jp-Notebook .jp-InputCollapser, .jp-Notebook .jp-Placeholder").count(), (
        "nothing stands for it"
    )
    assert page.get_by_text("Select Kernel").count() == 0
    run_all(page)
    assert page.locator(".jp-Dialog").count() == 0
    assert page.locator(".jp-toast-message, .Toastify__toast").count() == 0, "a prompt covers the page"
    expect(code, "running unfolded the code").to_have_count(0)
    page.wait_for_timeout(300)


def wait_done(page: Page) -> None:
    """Until the last cell has answered in this run, or a cell has failed."""
    answer = page.wait_for_function(
        """sound => {
            const fresh = [...document.querySelectorAll(".jp-OutputArea-child:not([data-earlier])")];
            const failed = fresh.find(o => o.querySelector("[data-mime-type='application/vnd.jupyter.error']"));
            if (failed) return "failed: " + failed.innerText.slice(-800);
            const cells = [...document.querySelectorAll(".jp-CodeCell")];
            const answered = cells.every(c => fresh.some(o => c.contains(o)));  // a folded cell shows no count
            const idle = document.querySelector(".jp-Notebook-ExecutionIndicator")?.dataset.status === "idle";
            return answered && idle && cells.at(-1).textContent.includes(sound) && "done";
        }""",
        arg=SOUND,
        timeout=120_000,
    ).json_value()
    if answer != "done":
        raise AssertionError(answer)


def darken(page: Page) -> None:
    """Settings ▸ Theme ▸ JupyterLab Dark, on the page as it stands."""
    page.get_by_role("menuitem", name="Settings", exact=True).click()
    page.locator(".lm-Menu-item", has_text=re.compile(r"^Theme$")).click()
    page.locator(".lm-Menu-item[data-command='apputils:change-theme']", has_text=re.compile(r"Dark$")).first.click()
    page.wait_for_function(
        """() => document.body.dataset.jpThemeLight === "false" && getComputedStyle(document.body)
            .getPropertyValue("--jp-layout-color0").trim().startsWith("#1")""",
        timeout=20_000,
    )
    page.wait_for_timeout(400)


def save(page: Page) -> None:
    """Save the notebook, as a person does before the browser is closed."""
    page.keyboard.press("Escape")
    page.keyboard.press("Control+s")
    page.locator(".lm-TabBar-tab.jp-mod-current:not(.jp-mod-dirty)").first.wait_for(timeout=20_000)


def bench(page: Page) -> Locator:
    """The bench on the page, when it is shown."""
    found = page.locator(".jp-Notebook .trailer").first
    found.wait_for(timeout=120_000)
    return found


def to_top(page: Page) -> Locator:
    """Scroll so that the bench begins at the top of the notebook's window."""
    found = bench(page)
    found.evaluate("e => e.scrollIntoView({block: 'start'})")
    page.wait_for_timeout(250)
    return found


def rectangles(page: Page, selectors: Sequence[str]) -> list[list[float]]:
    """Left, top, right and bottom of the first of each that is drawn, all at one moment at which every one of them is drawn.

    A notebook that is laid out late after a change of its window may have scrolled the bench out of it, where nothing
    is drawn: it is then scrolled back, as a person would.
    """
    for _ in range(5):
        try:
            found = page.wait_for_function(RECTANGLES, arg=list(selectors), timeout=3_000)
        except PlaywrightError:
            to_top(page)
        else:
            boxes: list[list[float]] = found.json_value()
            return boxes
    raise AssertionError(f"not drawn: { ({part: page.evaluate(OUTER, part) for part in selectors}) }")


def handle(page: Page, key: str) -> Locator:
    """The handle of a slider by the name of its control."""
    return page.locator(f".trailer-control-{key} .noUi-handle").first


def readout(page: Page, key: str) -> str:
    """What a slider shows beside itself."""
    return page.locator(f".trailer-control-{key} .widget-readout").first.inner_text().strip()


def verdict(page: Page) -> str:
    """What the verdict on the page says."""
    return " ".join(page.locator(".trailer-verdict").first.inner_text().split())


def picture(page: Page) -> str:
    """The picture on the page, as SVG text."""
    return str(page.locator(".trailer-picture svg").first.evaluate("e => e.outerHTML"))


def wait_verdict(page: Page, words: str, timeout_s: float = 10.0) -> float:
    """Wait until the verdict says this; how long it took [s]."""
    begun = time.monotonic()
    while verdict(page) != words:
        if time.monotonic() - begun > timeout_s:
            raise AssertionError(f"the verdict says\n  {verdict(page)}\nand should say\n  {words}")
        page.wait_for_timeout(20)
    return time.monotonic() - begun


def shot(page: Page, name: str) -> Path:
    """Keep a screenshot."""
    ARTEFACTS.mkdir(parents=True, exist_ok=True)
    path = ARTEFACTS / f"{name}.png"
    page.screenshot(path=path)
    return path
