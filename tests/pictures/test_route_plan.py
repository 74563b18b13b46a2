"""The drawing of the wires: to scale, side by side, labels apart and inside, the former way beside the new one."""

from __future__ import annotations

import copy
import itertools
import re
import xml.etree.ElementTree as ET
from typing import Any

import pytest

import trailerlib as tl
from trailerlib.pictures import route_plan
from trailerlib.pictures.lanes import GAP_PX, lanes
from trailerlib.pictures.lettering import text_width

SVG = "{http://www.w3.org/2000/svg}"
LONG = "a very long name of forty letters, it is"


def shipped(name: str) -> tl.Design:
    return tl.read_design(tl.shipped_trailers()[name])


def long_names() -> tl.Design:
    raw = copy.deepcopy(dict(shipped("fen-survey").raw))
    for part in (*raw["circuit"], *raw["load"]):
        key = "name" if "system" in part else "circuit"
        part[key] = f"{part[key]} {LONG}"[:40].strip()
    raw["charger"]["circuit"] = f"{raw['charger']['circuit']} {LONG}"[:40].strip()
    return tl.design_from(raw)


DESIGNS = {
    "demo": shipped("fen-survey"), "metric": shipped("fen-survey").replace("units", "metric"), "lamp": shipped("one-lamp"),
    "long": long_names(), "bare": tl.design_from({"title": "Bare", "trailer": {"length": "10 ft", "width": "5 ft", "height": "5 ft"}}),
    "no ways": shipped("fen-survey").replace("raceway", None),
}  # fmt: skip


def drawn(design: tl.Design, before: tl.Design | None = None, ink: Any = "paper", circuit: str | None = None) -> str:
    ghost = None if before is None else tl.study("wiring", before)
    return route_plan(tl.study("wiring", design), ghost, design, circuit=circuit, ink=ink)


def letters(svg: str) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Every text with its box; the wide white letters under a text on paper count once."""
    found: dict[tuple[str, str, str], tuple[float, float, float, float]] = {}
    for element in ET.fromstring(svg).iter(f"{SVG}text"):
        words, size = element.text or "", float(element.attrib["font-size"])
        width = text_width(words, size, element.attrib.get("font-weight") == "600")
        x, y = float(element.attrib["x"]), float(element.attrib["y"])
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[element.attrib["text-anchor"]] * width
        found[words, element.attrib["x"], element.attrib["y"]] = (left, y - 0.75 * size, left + width, y + 0.22 * size)
    return [(key[0], box) for key, box in found.items()]


@pytest.mark.parametrize("name", DESIGNS)
@pytest.mark.parametrize("ink", ["screen", "paper"])
def test_every_label_lies_inside_and_none_on_another(name: str, ink: str) -> None:
    svg = drawn(DESIGNS[name], ink=ink)
    root = ET.fromstring(svg)
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    assert width == 620 and ("var(" in svg) is (ink == "screen") and not re.search(r"\b(nan|None|inf)\b", svg)
    found = letters(svg)
    assert not [words for words, b in found if b[0] < -1 or b[2] > width + 1 or b[1] < -1 or b[3] > height + 1]
    for (one, a), (two, b) in itertools.combinations(found, 2):
        across, down = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
        assert not (across > 1 and down > 1), (one, two)


def test_every_circuit_of_the_demo_is_labelled_and_can_be_pointed_at() -> None:
    design = DESIGNS["demo"]
    svg, answer = drawn(design), tl.study("wiring", design)
    words = [text for text, _ in letters(svg)]
    notes = [element.text or "" for element in ET.fromstring(svg).iter(f"{SVG}title")]
    for run in answer.picture.runs:
        assert any(text.startswith(f"{run.circuit.name} ") and "%" in text for text in words), run.circuit.name
        (note, *_) = [n for n in notes if n.startswith(f"{run.circuit.name}: ")]
        assert run.circuit.wire in note and " ft" in note and " A" in note and "% lost" in note
    assert [text for text in words if "▲" in text and "%" in text] == ["work lights 4.49 % ▲"]


def test_both_views_are_to_one_scale() -> None:
    """14 × 7 ft of floor from above; from the side the nose is in it: 16 ft by 6 ft 6 in."""
    shapes = [
        [tuple(map(float, pair.split(","))) for pair in element.attrib["points"].split()]
        for element in ET.fromstring(drawn(DESIGNS["demo"])).iter(f"{SVG}polygon")
    ]
    above, side = shapes[0][:4], shapes[1]
    spans = [[max(p[k] for p in shape) - min(p[k] for p in shape) for k in (0, 1)] for shape in (above, side)]
    foot = spans[0][0] / 14
    assert spans[0][1] / foot == pytest.approx(7, rel=3e-3)
    assert spans[1][0] / foot == pytest.approx(16, rel=3e-3) and spans[1][1] / foot == pytest.approx(6.5, rel=3e-3)


def strokes(svg: str, name: str) -> list[tuple[float, float]]:
    """Width and strength of each line of a circuit."""
    return [
        (float(line.attrib["stroke-width"]), float(line.attrib.get("stroke-opacity", 1)))
        for line in ET.fromstring(svg).iter(f"{SVG}polyline")
        if any((title.text or "").startswith(f"{name}: ") for title in line.iter(f"{SVG}title"))
    ]


def test_thick_wire_is_drawn_thick_and_the_one_in_focus_strong() -> None:
    design = DESIGNS["demo"]
    thin, thick = (
        strokes(drawn(d, circuit="usb"), "usb") for d in (design, design.replace("circuit.usb.wire", "6 AWG"))
    )
    assert min(w for w, _ in thick) > 1.5 * max(w for w, _ in thin) and {o for _, o in thin} == {1.0}
    assert {o for _, o in strokes(drawn(design, circuit="usb"), "fridge")} == {0.4}
    assert {o for _, o in strokes(drawn(design), "fridge")} == {1.0}


def dashed(svg: str) -> int:
    return svg.count('stroke-dasharray="7 5"')


def test_the_former_way_is_drawn_beside_the_new_one() -> None:
    design = DESIGNS["demo"]
    for change in ({"circuit.usb.wire": "6 AWG"}, {"place.bunk.at": ["8 ft", "1 ft", "3 ft"]}):
        assert dashed(drawn(design.replace_all(change), design, circuit="usb")) > 0, change  # type: ignore[arg-type]
    assert dashed(drawn(design, design, circuit="usb")) == 0
    assert dashed(drawn(design.replace("circuit.fridge.wire", "6 AWG"), design, circuit="usb")) == 0


def test_wires_in_one_raceway_have_lanes_of_their_own() -> None:
    routes = DESIGNS["demo"].layout.routes
    found = lanes(tuple((name, route.legs) for name, route in routes.items()), 30.0)
    nose = ("ceiling lights", "entry and alarm", "work lights", "roof fan", "usb")
    assert len({found[name] for name in nose}) == 5
    gaps = {abs(a - b) for a, b in itertools.combinations((found[name] for name in nose), 2)}
    assert min(gaps) == pytest.approx(GAP_PX)


def test_a_way_that_is_not_known_is_said_and_not_drawn() -> None:
    words = " ".join(text for text, _ in letters(drawn(DESIGNS["lamp"])))
    assert "way not known, not drawn: lamp" in words
