"""The start as it happens: sound SVG, every limit named with its unit, nothing beyond the edge, the ghost where it moved."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from typing import Any

import pytest

import trailerlib as tl
from trailerlib.pictures.lettering import text_width
from trailerlib.pictures.start_curve import HEIGHT, WIDTH, start_curve
from trailerlib.studies.generator import StartCase, start_case
from trailerlib.units import show

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="session")
def demo() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["fen-survey"])


def case(demo: tl.Design, changes: dict[str, Any] | None = None, soft: bool | None = None) -> StartCase:
    design = demo.replace_all(changes or {})
    return start_case(design, design.supply("generator"), "roof cooler", soft)


CASES: dict[str, tuple[dict[str, Any], bool | None]] = {
    "inverter stalls": ({}, None),
    "inverter, soft": ({"charger": None, "supply.generator.starting": "6 kW"}, True),
    "wound, late": ({"supply.generator.kind": "portable 4500 W"}, None),
    "wound, long cord": ({"supply.generator.kind": "portable 4500 W", "supply.generator.cord_run": "150 ft"}, None),
    "wound, soft": ({"supply.generator.kind": "portable 6500 W"}, True),
    "cord not given": ({"supply.generator.cord": None}, None),
}


def texts(svg: str) -> list[tuple[str, tuple[float, float]]]:
    found = []
    for element in ET.fromstring(svg).iter(f"{SVG}text"):
        words, size = element.text or "", float(element.attrib["font-size"])
        width = text_width(words, size, element.attrib.get("font-weight") == "600")
        left = (
            float(element.attrib["x"])
            - {"start": 0.0, "middle": 0.5, "end": 1.0}[element.attrib["text-anchor"]] * width
        )
        found.append((words, (left, left + width)))
    return found


@pytest.mark.parametrize("ink", ["screen", "paper"])
@pytest.mark.parametrize("name", CASES)
def test_it_is_sound_and_inside(name: str, ink: Any, demo: tl.Design) -> None:
    now = case(demo, *CASES[name])
    for ghost in (None, case(demo, {"supply.generator.kind": "portable 6500 W"})):
        svg = start_curve(now, ghost, ink=ink)
        root = ET.fromstring(svg)
        assert root.attrib["viewBox"] == f"0 0 {WIDTH:g} {HEIGHT:g}" and ("var(" in svg) is (ink == "screen")
        assert not re.search(r"\b(nan|inf|None)\b", svg)
        for words, (left, right) in texts(svg):
            assert left >= 0 and right <= WIDTH, words
        for line in root.iter(f"{SVG}polyline"):
            for pair in line.attrib["points"].split():
                x, y = map(float, pair.split(","))
                assert 0 <= x <= WIDTH and 0 <= y <= HEIGHT


@pytest.mark.parametrize("name", [n for n in CASES if n != "cord not given"])
def test_every_limit_is_named_with_its_number(name: str, demo: tl.Design) -> None:
    now = case(demo, *CASES[name])
    words = [text for text, _ in texts(start_curve(now))]
    assert f"locked rotor {show(now.locked_a, 'current')}" in words and "rated 12.9 A" in words
    assert "rated 120 V" in words and "lowest to start 102 V" in words
    assert any(text.startswith("set's surge") for text in words) is (now.surge_a is not None)
    assert {"current [A]", "voltage [V]", "time after it is switched on [s]"} <= set(words)
    assert any("common practice" in text and "from memory" in text for text in words)
    assert any(text.startswith("up to speed") for text in words) is (now.reached_s is not None)


def test_what_happens_is_said_with_a_mark(demo: tl.Design) -> None:
    heads = {name: " ".join(t for t, _ in texts(start_curve(case(demo, *CASES[name])))) for name in CASES}
    assert "▲ roof cooler stalls" in heads["inverter stalls"] and "the set switches off" in heads["inverter stalls"]
    assert "● roof cooler dips" in heads["wound, late"] and "late" in heads["wound, late"]
    assert "✓ roof cooler dips" in heads["wound, soft"]
    assert "Not checked" in heads["cord not given"] and "generator" in heads["cord not given"]


def test_the_ghost_is_there_when_something_moved(demo: tl.Design) -> None:
    now, before = case(demo, *CASES["wound, late"]), case(demo, *CASES["wound, long cord"])
    assert "before the last move" in start_curve(now, before)
    assert start_curve(now, now) == start_curve(now)
    assert start_curve(now, case(demo, *CASES["cord not given"])) == start_curve(now)


def test_without_a_generator_it_says_so() -> None:
    assert "Not checked: there is no generator" in start_curve(None)


def test_a_pedestal_nobody_measured_is_said(demo: tl.Design) -> None:
    for name, words in (("household", True), ("shore", False)):
        found = start_case(demo, demo.supply(name), "roof cooler")
        assert ("the supply is not measured" in start_curve(found)) is words
