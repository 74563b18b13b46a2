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
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).resolve().parent.parent.parent
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


@dataclass
class Lab:
    """A running JupyterLab: its address, its folder (a copy of the workbook), the trailer file it works on."""

    url: str
    folder: Path

    @property
    def trailer(self) -> Path:
        """The design file the notebooks share."""
        return self.folder / "trailer.toml"

    def page_url(self, notebook: str, mode: str = "lab/tree") -> str:
        """Where a notebook is shown, with a fresh lay-out."""
        return f"{self.url}/{mode}/{notebook}?token={TOKEN}&reset"


@contextmanager
def running_lab(folder: Path) -> Iterator[Lab]:
    """Start JupyterLab on a copy of the workbook in ``folder``; stop it at the end."""
    work = folder / "workbook"
    shutil.copytree(
        ROOT / "workbook", work, ignore=shutil.ignore_patterns("trailer*", "*.history", ".*", "build files")
    )
    environment = {
        **os.environ,
        "JUPYTER_DATA_DIR": str(folder / "data"),
        "JUPYTER_CONFIG_DIR": str(folder / "config"),
        "JUPYTER_RUNTIME_DIR": str(folder / "runtime"),
        "IPYTHONDIR": str(folder / "ipython"),
    }
    environment.pop("TRAILERLIB_DESIGN", None)
    subprocess.run(
        [sys.executable, "-m", "jupyter", "trust", *map(str, sorted(work.glob("*.ipynb")))],
        env=environment,
        check=True,
        capture_output=True,
    )
    port = _free_port()
    command = [
        sys.executable,
        "-m",
        "jupyter",
        "lab",
        "--no-browser",
        "--allow-root",
        f"--port={port}",
        "--ip=127.0.0.1",
    ]
    options = [f"--IdentityProvider.token={TOKEN}", f"--ServerApp.root_dir={work}"]
    with (folder / "lab.log").open("w") as log:
        server = subprocess.Popen([*command, *options], env=environment, stdout=log, stderr=log, cwd=work)
    try:
        lab = Lab(f"http://127.0.0.1:{port}", work)
        _wait_until_up(lab, folder / "lab.log")
        yield lab
    finally:
        server.terminate()
        server.wait(20)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _wait_until_up(lab: Lab, log: Path) -> None:
    for _ in range(120):
        try:
            with urllib.request.urlopen(f"{lab.url}/api/status?token={TOKEN}", timeout=2) as answer:
                json.load(answer)
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


def strangers(page: Page, lab: Lab) -> list[str]:
    """Collects every request that leaves this machine; fills up while the page is used."""
    found: list[str] = []

    def look(request) -> None:  # type: ignore[no-untyped-def]
        if not re.match(r"(https?|wss?)://(127\.0\.0\.1|localhost)[:/]|data:|blob:|about:", request.url):
            found.append(request.url)

    page.on("request", look)
    return found


def open_notebook(page: Page, lab: Lab, notebook: str) -> None:
    """Open a notebook and wait until its first cell is there."""
    page.goto(lab.page_url(notebook))
    page.locator(".jp-Notebook .jp-Cell").first.wait_for(timeout=60_000)
    page.wait_for_timeout(500)


def run_all(page: Page) -> None:
    """Run ▸ Run All Cells, and wait until the kernel has nothing left to do."""
    page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").first.wait_for(timeout=60_000)
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.locator("li[data-command='runmenu:run-all']").click()
    wait_idle(page)


def wait_idle(page: Page) -> None:
    """Until no cell waits and the kernel is idle."""
    page.wait_for_timeout(300)
    page.wait_for_function(
        """() => {
            const idle = document.querySelector(".jp-Notebook-ExecutionIndicator")?.dataset.status === "idle";
            const waiting = [...document.querySelectorAll(".jp-InputPrompt")].some(p => p.textContent.includes("*"));
            return idle && !waiting;
        }""",
        timeout=120_000,
    )


def handle(page: Page, key: str):  # type: ignore[no-untyped-def]
    """The handle of a slider by the name of its control."""
    return page.locator(f".trailer-control-{key} .noUi-handle").first


def verdict(page: Page) -> str:
    """What the verdict on the page says."""
    return page.locator(".trailer-verdict").first.inner_text().replace("\n", " ").strip()
