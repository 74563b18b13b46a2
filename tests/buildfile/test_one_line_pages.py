"""The one-line diagram in print: each sheet on a page on its side, its words on the page, nothing over the margin."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from io import BytesIO
from typing import Any

import pytest
from pypdf import PageObject, PdfReader

from trailerlib.buildfile import binder
from trailerlib.buildfile.glyphs import marked
from trailerlib.design.design import Design, design_from
from trailerlib.pictures import one_line

DAY = "2026-11-25"
TEXT = "{http://www.w3.org/2000/svg}text"
Strip = Callable[[str], str]


def on_their_side(data: bytes) -> list[PageObject]:
    return [p for p in PdfReader(BytesIO(data)).pages if p.mediabox.width > p.mediabox.height]


def words(svg: str) -> list[str]:
    return [marked(e.text or "").replace("\ufffd", "[?]") for e in ET.fromstring(svg).iter(TEXT)]


@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_word_of_every_sheet_is_on_a_page_of_its_own(demo: Design, system: str, strip: Strip) -> None:
    design = demo.replace("units", system)
    sheets = one_line(design, "paper")
    found = on_their_side(binder.parts(design, DAY)["pdf"])
    assert len(found) == len(sheets) == 2
    for svg, page in zip(sheets, found, strict=True):
        text = strip(page.extract_text())
        assert len(words(svg)) > 50
        assert not [w for w in words(svg) if strip(w) not in text]


def test_sixty_circuits_more_are_all_on_it(crowded: Design, crowded_pdf: bytes, strip: Strip) -> None:
    sheets = one_line(crowded, "paper")
    found = on_their_side(crowded_pdf)
    assert len(found) == len(sheets) > 3
    for svg, page in zip(sheets, found, strict=True):
        text = strip(page.extract_text())
        assert not [w for w in words(svg) if strip(w) not in text]


def test_letters_are_of_eight_points_and_inside_the_margins(made: dict[str, bytes], crowded_pdf: bytes) -> None:
    """The sheet's smallest letters are 12 of 1000 px wide: on Letter 8.0 points at the least."""
    for page in on_their_side(made["pdf"]) + on_their_side(crowded_pdf):
        width, height = float(page.mediabox.width), float(page.mediabox.height)
        seen: list[tuple[str, float, float, float]] = []

        def look(text: str, cm: Any, tm: Any, font: Any, size: float, seen: Any = seen) -> None:
            x, y = cm[0] * tm[4] + cm[2] * tm[5] + cm[4], cm[1] * tm[4] + cm[3] * tm[5] + cm[5]
            seen.append((text.strip(), x, y, abs(size * tm[3] * cm[3])))

        page.extract_text(visitor_text=look)
        letters = [one for one in seen if one[0]]
        assert len(letters) > 50
        assert not [one for one in letters if not (40 < one[1] < width - 40 and 20 < one[2] < height - 20)]
        assert min(size for text, _, _, size in letters if re.search(r"\w{3}", text)) > 7.9


def test_without_anything_electrical_there_is_no_page_of_it() -> None:
    design = design_from({"title": "Bare", "trailer": {"length": "10 ft", "width": "5 ft", "height": "5 ft"}})
    assert not on_their_side(binder.parts(design, DAY)["pdf"])
