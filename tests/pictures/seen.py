"""What a picture shows: its texts and lines with the room they take, and what lies where it should not."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET

from trailerlib.pictures.lettering import text_width

SVG = "{http://www.w3.org/2000/svg}"
Box = tuple[float, float, float, float]
Flat = tuple[float, float]


def letters(svg: str) -> list[tuple[str, Box]]:
    """Every text with its box; the wide white letters under a text on paper count once."""
    found: dict[tuple[str, str, str], Box] = {}
    for element in ET.fromstring(svg).iter(f"{SVG}text"):
        words, size = element.text or "", float(element.attrib["font-size"])
        width = text_width(words, size, element.attrib.get("font-weight") == "600")
        x, y = float(element.attrib["x"]), float(element.attrib["y"])
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[element.attrib["text-anchor"]] * width
        found[words, element.attrib["x"], element.attrib["y"]] = (left, y - 0.75 * size, left + width, y + 0.22 * size)
    return [(key[0], box) for key, box in found.items()]


def polylines(svg: str, tint: str | None = None, note: str = "") -> list[list[Flat]]:
    """Every line of one colour of the paper palette, or all but the grid; only those whose note begins so."""
    found = []
    for element in ET.fromstring(svg).iter(f"{SVG}polyline"):
        stroke, title = element.attrib["stroke"], element.find(f"{SVG}title")
        said = "" if title is None else title.text or ""
        wanted = stroke == tint if tint is not None else stroke not in ("#d9dfdc",)
        if wanted and said.startswith(note):
            found.append([(float(x), float(y)) for x, y in (p.split(",") for p in element.attrib["points"].split())])
    return found


def polygons(svg: str, tint: str) -> list[list[Flat]]:
    """Every filled shape of one colour of the paper palette."""
    return [
        [(float(x), float(y)) for x, y in (p.split(",") for p in element.attrib["points"].split())]
        for element in ET.fromstring(svg).iter(f"{SVG}polygon")
        if element.attrib["fill"] == tint
    ]


def crosses(box: Box, a: Flat, b: Flat) -> bool:
    """Whether a piece of a line passes through a box."""
    low, high = 0.0, 1.0
    for start, end, first, last in ((a[0], b[0], box[0], box[2]), (a[1], b[1], box[1], box[3])):
        if abs(end - start) < 1e-9:
            if not first < start < last:
                return False
            continue
        ends = sorted(((first - start) / (end - start), (last - start) / (end - start)))
        low, high = max(low, ends[0]), min(high, ends[1])
    return low < high


def faults(svg: str) -> list[str]:
    """Texts that are cut off, lie on each other or on a line that is not grid."""
    root = ET.fromstring(svg)
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    assert not re.search(r"[ >,\"](nan|None|-?inf)[ <,\"]", svg)
    found, texts = [], letters(svg)
    for words, b in texts:
        if b[0] < 0 or b[2] > width or b[1] < 0 or b[3] > height:
            found.append(f"cut off: {words}")
    for (one, a), (two, b) in itertools.combinations(texts, 2):
        if min(a[2], b[2]) - max(a[0], b[0]) > 0.5 and min(a[3], b[3]) - max(a[1], b[1]) > 0.5:
            found.append(f"{one} on {two}")
    for points in polylines(svg):
        for words, b in texts:
            inner = (b[0] + 0.5, b[1] + 1.0, b[2] - 0.5, b[3] - 1.0)
            if any(crosses(inner, p, q) for p, q in itertools.pairwise(points)):
                found.append(f"a line through {words}")
    return found
