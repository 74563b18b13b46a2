"""Build files that several tests read, made once, and trailers that are hard to print."""

from __future__ import annotations

import copy
import re
import time
from collections.abc import Callable
from functools import lru_cache
from typing import Any

import pypdfium2
import pytest

from trailerlib.buildfile import binder
from trailerlib.design.design import Design, design_from
from trailerlib.design.files import read_design, shipped_trailers

DAY = "2026-11-25"


@pytest.fixture(scope="session")
def demo() -> Design:
    """The demo trailer."""
    return read_design(shipped_trailers()["fen-survey"])


@pytest.fixture(scope="session")
def one_lamp() -> Design:
    """The trailer of the first lesson."""
    return read_design(shipped_trailers()["one-lamp"])


@pytest.fixture(scope="session")
def made(demo: Design) -> dict[str, bytes]:
    """The demo's build file as bytes."""
    begun = time.perf_counter()
    parts = binder.parts(demo, DAY)
    print(f"build file of the demo in {time.perf_counter() - begun:.2f} s")
    return parts


@pytest.fixture(scope="session")
def read_pdf() -> Callable[[bytes], str]:
    """Reads the text of a PDF without its spaces."""
    return lambda data: bare(pdf_text(data))


@pytest.fixture(scope="session")
def read_pages() -> Callable[[bytes], list[str]]:
    """Reads the text of each page of a PDF without its spaces."""
    return lambda data: [bare(text) for text in page_texts(data)]


@pytest.fixture(scope="session")
def strip() -> Callable[[str], str]:
    """Takes the spaces out of a text."""
    return bare


@lru_cache(maxsize=16)
def page_texts(data: bytes) -> tuple[str, ...]:
    """The text of each page of a PDF; a hyphen at the end of a line comes as a sign of its own."""
    texts = (page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data))
    return tuple(text.replace("\ufffe", "-") for text in texts)


def pdf_text(data: bytes) -> str:
    """All text of a PDF, page by page."""
    return "\n".join(page_texts(data))


def bare(text: str) -> str:
    """A text without spaces and with one kind of minus sign, to compare what is laid out in lines."""
    return re.sub(r"[\s\u200b\u00a0\u202f]", "", text).replace("−", "-")


@pytest.fixture(scope="session")
def changed(demo: Design) -> Callable[[Callable[[dict[str, Any]], None]], Design]:
    """A copy of the demo whose plain data were changed by a function."""

    def make(change: Callable[[dict[str, Any]], None]) -> Design:
        raw = copy.deepcopy(dict(demo.raw))
        change(raw)
        return design_from(raw)

    return make


@pytest.fixture(scope="session")
def crowded(changed: Callable[[Callable[[dict[str, Any]], None]], Design]) -> Design:
    """Sixty circuits more, each with a long name, and ten stays."""

    def crowd(raw: dict[str, Any]) -> None:
        for number in range(60):
            name = f"circuit_{number:02d}_" + "without_a_space_" * 2
            name = name[:40]
            raw["circuit"].append(
                {"name": name, "system": "dc", "wire": "14 AWG", "run": "20 ft", "protection": "10 A"}
            )
            raw["load"].append(
                {"name": f"lamp {number:02d} over the long bench at the rear"[:40], "class": "led work light",
                 "circuit": name}
            )  # fmt: skip
        first = raw["stay"][0]
        raw["stay"] += [{**copy.deepcopy(first), "name": f"another long stay {number}"} for number in range(8)]

    return changed(crowd)


@pytest.fixture(scope="session")
def crowded_pdf(crowded: Design, tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> bytes:
    """The printed pages of the crowded trailer, made by the first worker that asks and read by the others."""
    if worker_id == "master":
        return binder.parts(crowded, DAY)["pdf"]
    shared = tmp_path_factory.getbasetemp().parent / "crowded.pdf"
    if not shared.exists():
        own = shared.with_suffix(f".{worker_id}")
        own.write_bytes(binder.parts(crowded, DAY)["pdf"])
        own.replace(shared)
    return shared.read_bytes()
