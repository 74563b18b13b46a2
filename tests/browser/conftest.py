"""One JupyterLab for the session, a page for each test, and everything put back afterwards."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

sys.path.insert(0, str(Path(__file__).parent))

import lab as driver

SMALL = {"width": 1280, "height": 800}


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The browser."""
    with driver.chromium() as found:
        yield found


@pytest.fixture(scope="session")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[driver.Lab]:
    """JupyterLab as a first start shows it."""
    with driver.running_lab(tmp_path_factory.mktemp("lab")) as found:
        yield found


@pytest.fixture
def lab(running: driver.Lab) -> Iterator[driver.Lab]:
    """The lab, with kernels stopped and files put back after the test."""
    yield running
    running.tidy()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A fresh page in a fresh profile."""
    context = browser.new_context(viewport=SMALL)
    found = context.new_page()
    found.set_default_timeout(20_000)
    yield found
    context.close()
