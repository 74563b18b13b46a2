"""The one-line diagram on the page: every sheet can be turned to, and nothing typed becomes a part of the page."""

from __future__ import annotations

import pytest

import trailerlib as tl
from trailerlib.pictures import one_line as drawn


def test_every_sheet_can_be_turned_to(demo):
    sheets, shown = drawn(demo), tl.bench.one_line(demo)
    assert len(sheets) > 1 and shown.picture_text == sheets[0] and "circuit" in sheets[0]
    for number, sheet in enumerate(sheets):
        shown.which.value = number
        assert shown.picture_text == sheet
    assert [words for words, _ in shown.which.options] == [f"sheet {n + 1}" for n in range(len(sheets))]


@pytest.mark.parametrize("name", sorted(tl.shipped_trailers()))
def test_a_single_sheet_has_no_buttons(name):
    design = tl.read_design(tl.shipped_trailers()[name])
    assert (tl.bench.one_line(design).which is None) == (len(drawn(design)) == 1)


def test_a_bare_trailer_says_so():
    box = {"length": "10 ft", "width": "5 ft", "height": "5 ft"}
    assert "Nothing to draw yet" in tl.bench.one_line(tl.design_from({"title": "Bare", "trailer": box})).picture_text


def test_hostile_names_are_escaped():
    name = "a\"' onload=alert(1) &lt;i&gt;"
    box = {"length": "10 ft", "width": "5 ft", "height": "5 ft"}
    circuit = {"name": name, "system": "dc", "wire": "14 AWG"}
    text = tl.bench.one_line(tl.design_from({"title": name, "trailer": box, "circuit": [circuit]})).picture_text
    assert "&amp;lt;" in text and "\"' onload" not in text and "&lt;i" not in text.replace("&amp;lt;i", "")
