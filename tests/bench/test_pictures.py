"""Pictures: sound SVG for every trailer, nothing cut off, every name in them."""

from __future__ import annotations

import copy
import itertools
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from html import unescape

import pytest

import trailerlib as tl
from trailerlib import pictures, units
from trailerlib.design.design import Design
from trailerlib.pictures.canvas import Axis, ticks
from trailerlib.pictures.lettering import text_width

SVG = "{http://www.w3.org/2000/svg}"
LONG = "a very long name of forty letters, it is"
TOLERANCE_PX = 2.0

Draw = Callable[[Design, "Design | None", str], str]


def _study(question: str, draw: Callable[..., str]) -> Draw:
    def picture(design: Design, before: Design | None, ink: str) -> str:
        return draw(tl.study(question, design), None if before is None else tl.study(question, before), ink)

    return picture


PICTURES: dict[str, Draw] = {
    "load_bars": _study("loads", pictures.load_bars),
    "night_curve": _study("night", pictures.night_curve),
    "wire_chart": _study("wiring", pictures.wire_chart),
    "mains_bars": _study("mains", pictures.mains_bars),
    "generator_bars": _study("generator", pictures.generator_bars),
    "plan": lambda design, before, ink: pictures.plan(design, tl.assess(design), ink),
}


def crowd(raw):
    """Twenty more loads with long names, half of them where others are already."""
    raw["load"] += [
        {"name": f"{number:02d} {LONG[:37]}", "class": "led work light", "circuit": "work lights",
         "place": raw["place"][number % len(raw["place"])]["name"]}
        for number in range(20)
    ]  # fmt: skip
    for stay in raw["stay"]:
        stay["on"].update({f"{number:02d} {LONG[:37]}": "all" for number in range(20)})


def long_names(raw):
    """Every circuit, supply and load of the demo with a name as long as a design allows."""

    def grown(name):
        return f"{name} {LONG}"[:40].strip()

    for key in ("load", "circuit", "supply"):
        for part in raw[key]:
            part["name"] = grown(part["name"])
    for load in raw["load"]:
        load["circuit"] = grown(load["circuit"])
    raw["charger"]["circuit"] = grown(raw["charger"]["circuit"])
    for stay in raw["stay"]:
        stay["on"] = {grown(name): when for name, when in stay["on"].items()}
        if stay["supply"] != "battery":
            stay["supply"] = grown(stay["supply"])


@pytest.fixture(scope="session")
def trailers(changed) -> dict[str, Design]:
    """The shipped trailers, the demo in metric, crowded, and with long names."""
    demo = changed(lambda raw: None)
    shipped = {name: tl.read_design(path) for name, path in tl.shipped_trailers().items()}
    return {**shipped, "metric": demo.replace("units", "metric"), "crowd": changed(crowd), "long": changed(long_names)}


def before_of(design: Design) -> Design:
    """The same trailer a few moves ago."""
    raw = copy.deepcopy(dict(design.raw))
    raw["circuit"][0]["run"], raw["load"][0]["count"] = "31 ft", 5
    raw.get("battery", {})["capacity"] = "45 Ah"
    raw["site"]["elevation"] = "300 ft"
    return tl.design_from(raw)


def letters(svg: str) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Every text of a picture with its box: left, top, right, bottom [px]."""
    found = []
    for element in ET.fromstring(svg).iter(f"{SVG}text"):
        words, size = element.text or "", float(element.attrib["font-size"])
        width = text_width(words, size) * (1.06 if element.attrib.get("font-weight") == "600" else 1.0)
        x, y = float(element.attrib["x"]), float(element.attrib["y"])
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[element.attrib["text-anchor"]] * width
        found.append((words, (left, y - 0.75 * size, left + width, y + 0.22 * size)))
    return found


NAMES = ("fen-survey", "one-lamp", "metric", "crowd", "long")
CASES = list(itertools.product(PICTURES, NAMES))


@pytest.mark.parametrize(("picture", "trailer"), CASES)
@pytest.mark.parametrize("ink", ["screen", "paper"])
def test_a_picture_is_sound(picture, trailer, ink, trailers):
    design = trailers[trailer]
    for before in (None, before_of(design)):
        svg = PICTURES[picture](design, before, ink)
        root = ET.fromstring(svg)
        assert root.tag == f"{SVG}svg"
        assert root.find(f"{SVG}title").text
        for element in root.iter():
            for key, value in element.attrib.items():
                assert not {"nan", "None", "inf", "-inf"} & set(value.replace(",", " ").split()), (key, value)
            assert "nan" not in (element.text or "").split()
            assert "None" not in (element.text or "").split()
        assert ("var(" in svg) is (ink == "screen")


@pytest.mark.parametrize("picture", ["load_bars", "night_curve", "wire_chart", "mains_bars", "generator_bars"])
def test_a_ghost_is_drawn_where_something_changed(picture, trailers):
    design = trailers["fen-survey"]
    raw = copy.deepcopy(dict(design.raw))
    for load in raw["load"]:
        load["count"] = 3
    for circuit in raw["circuit"]:
        circuit["run"] = "9 ft"
    before = tl.design_from({**raw, "site": {**raw["site"], "elevation": "0 ft"}})
    draw = PICTURES[picture]
    assert draw(design, before, "paper") != draw(design, None, "paper")
    if picture != "generator_bars":
        assert draw(design, design, "paper").count("<") >= draw(design, None, "paper").count("<")


@pytest.mark.parametrize(("picture", "trailer"), CASES)
def test_every_label_lies_inside_the_picture(picture, trailer, trailers):
    design = trailers[trailer]
    for before in (None, before_of(design)):
        svg = PICTURES[picture](design, before, "screen")
        _, _, width, height = map(float, ET.fromstring(svg).attrib["viewBox"].split())
        out = [
            (words, [round(v) for v in box])
            for words, box in letters(svg)
            if box[0] < -TOLERANCE_PX
            or box[2] > width + TOLERANCE_PX
            or box[1] < -TOLERANCE_PX
            or box[3] > height + TOLERANCE_PX
        ]
        assert not out, f"outside {width:g} × {height:g}: {out}"


@pytest.mark.parametrize(("picture", "trailer"), CASES)
def test_no_label_lies_on_another(picture, trailer, trailers):
    """Two texts may touch; they may not cover each other by more than a sixth of the smaller one."""
    design = trailers[trailer]
    found = list(dict.fromkeys(letters(PICTURES[picture](design, None, "screen"))))
    clash = []
    for (one, a), (two, b) in itertools.combinations(found, 2):
        across = min(a[2], b[2]) - max(a[0], b[0])
        down = min(a[3], b[3]) - max(a[1], b[1])
        smaller = min((a[2] - a[0]) * (a[3] - a[1]), (b[2] - b[0]) * (b[3] - b[1]))
        if across > 0 and down > 0 and across * down > smaller / 6:
            clash.append((one, two))
    assert not clash


def cover(a, b) -> bool:
    """Whether two boxes lie on each other by more than a line's width."""
    return min(a[2], b[2]) - max(a[0], b[0]) > 1 and min(a[3], b[3]) - max(a[1], b[1]) > 1


def boxes(svg: str, above: float) -> list[tuple[float, float, float, float]]:
    """Every bar of a picture below the keys: left, top, right, bottom [px]."""
    found = []
    for element in ET.fromstring(svg).iter(f"{SVG}rect"):
        x, y, w, h = (float(element.attrib[key]) for key in ("x", "y", "width", "height"))
        if y > above:
            found.append((x, y, x + w, y + h))
    return found


def stop_lines(svg: str, above: float) -> list[tuple[float, float, float, float]]:
    """The limit lines of a picture below the keys."""
    found = []
    for element in ET.fromstring(svg).iter(f"{SVG}polyline"):
        points = [tuple(map(float, pair.split(","))) for pair in element.attrib["points"].split()]
        (x1, y1), (x2, y2) = points[0], points[-1]
        if pictures.canvas.PALETTE["stop"] in element.attrib["stroke"] and min(y1, y2) > above:
            found.append((x1 - 1.1, y1 - 1.1, x2 + 1.1, y2 + 1.1))
    return found


WIRES = ("18 AWG", "14 AWG", "12 AWG", "10 AWG", "4 AWG", "1 AWG", "1/0 AWG")


@pytest.mark.parametrize("wire", WIRES)
def test_the_drop_is_written_clear_of_every_bar_and_line(wire, trailers):
    """From next to nothing to a collapse, with and without the bars from before the move."""
    demo, keys_end = trailers["fen-survey"], 24
    place = [circuit.name for circuit in demo.circuits].index("fridge")
    before = tl.study("wiring", demo, circuit="fridge")
    seen = set()
    for feet in (1, 4, 9, 12, 14, 17, 20, 26, 33, 48, 70, 110, 180, 300, 500):
        raw = copy.deepcopy(dict(demo.raw))
        raw["circuit"][place] |= {"wire": wire, "run": f"{feet} ft"}
        answer = tl.study("wiring", tl.design_from(raw), circuit="fridge")
        for ghost in (None, before):
            svg = pictures.wire_chart(answer, ghost, "screen", "fridge")
            texts = [entry for entry in letters(svg) if entry[1][1] > keys_end]
            words = [(text, box) for text, box in texts if text != "✗"]
            for text, box in words:
                assert not any(cover(box, bar) for bar in boxes(svg, keys_end)), (feet, text)
                assert not any(cover(box, line) for line in stop_lines(svg, keys_end)), (feet, text)
            for (one, a), (two, b) in itertools.combinations(texts, 2):
                assert not cover(a, b), (feet, one, two)
            seen |= {text for text, _ in words if re.fullmatch(r"[\d.]+ %", text) and len(text) > 4}
    assert len(seen) > 3


def everything_on(raw):
    """Every load in every stay, so that the cooler starts on top of all the rest."""
    for stay in raw["stay"]:
        stay["on"] = {load["name"]: "all" for load in raw["load"]}


@pytest.mark.parametrize("elevation", ["0 ft", "5200 ft", "9000 ft", "14000 ft"])
@pytest.mark.parametrize("busy", [False, True])
def test_no_line_crosses_a_word_of_the_generators(elevation, busy, changed, trailers):
    design = (changed(everything_on) if busy else trailers["fen-survey"]).replace("site.elevation", elevation)
    answer = tl.study("generator", design)
    svg = pictures.generator_bars(answer)
    lines = stop_lines(svg, 24)
    assert len(lines) == (2 if busy else 1)
    for text, box in letters(svg):
        assert not any(cover(box, line) for line in lines), text
        assert not any(cover(box, bar) for bar in boxes(svg, 24)), text


@pytest.mark.parametrize("busy", [False, True])
def test_what_the_generator_is_asked_for_is_named_once_with_its_unit(busy, changed, trailers):
    answer = tl.study("generator", changed(everything_on) if busy else trailers["fen-survey"])
    words = [text for text, _ in letters(pictures.generator_bars(answer))]
    asked = units.show(answer.picture.running_va, "power")
    assert [text for text in words if "runs together" in text] == [f"{asked} runs together"]
    starts = [f"{units.show(answer.picture.start_va, 'power')} at the start of {answer.picture.hardest}"]
    assert [text for text in words if "start" in text] == (starts if busy else [])
    for bar in answer.picture.bars:
        assert sum(text.startswith(units.show(bar.running_w, "power") + " ") for text in words) == 1


@pytest.mark.parametrize(("chemistry", "floor"), [("agm", 50), ("lfp", 20)])
def test_the_floor_of_the_night_says_its_value_and_what_it_rests_on(chemistry, floor, trailers):
    design = trailers["fen-survey"].replace("battery.chemistry", chemistry)
    answer = tl.study("night", design)
    words = [text for text, _ in letters(pictures.night_curve(answer))]
    assert f"usable floor {floor} %" in words
    check = next(check for check in answer.checks if check.rule == "battery-depth")
    assert f"{check.clause} ({check.confidence})" in " ".join(words)


@pytest.mark.parametrize("trailer", ["fen-survey", "one-lamp"])
def test_every_load_is_named_in_the_bars(trailer, trailers):
    design = trailers[trailer]
    words = " ".join(text for text, _ in letters(PICTURES["load_bars"](design, None, "screen")))
    assert [load.name for load in design.loads if load.name not in words] == []


@pytest.mark.parametrize("trailer", ["fen-survey", "one-lamp"])
def test_every_load_is_named_in_the_plan(trailer, trailers):
    design = trailers[trailer]
    words = " ".join(text for text, _ in letters(PICTURES["plan"](design, None, "screen")))
    assert [load.name for load in design.loads if load.place and load.name not in words] == []


def test_a_crowd_of_loads_keeps_the_one_under_the_finger(trailers):
    design = trailers["crowd"]
    last = design.loads[-1].name
    svg = pictures.load_bars(tl.study("loads", design), focus=last)
    assert any(text.startswith(last[:20]) for text, _ in letters(svg))


@pytest.mark.parametrize("trailer", ["fen-survey", "long"])
def test_every_circuit_is_named_in_its_chart(trailer, trailers):
    design = trailers[trailer]
    for circuit in design.circuits:
        svg = pictures.wire_chart(tl.study("wiring", design, circuit=circuit.name), circuit=circuit.name)
        assert circuit.name in unescape(svg)


def test_every_inlet_is_named_in_the_bars(trailers):
    """A generator has its own question; inlets and cords are all here."""
    design = trailers["fen-survey"]
    words = PICTURES["mains_bars"](design, None, "screen")
    assert [s.name for s in design.supplies if not s.is_generator and f">{s.name}<" not in words] == []


def test_the_plan_is_to_scale(trailers):
    """A box of 14 × 7 ft is twice as long as wide on the sheet."""
    design = trailers["fen-survey"]
    root = ET.fromstring(PICTURES["plan"](design, None, "paper"))
    outline = next(e for e in root.iter(f"{SVG}polygon"))
    points = [tuple(map(float, pair.split(","))) for pair in outline.attrib["points"].split()]
    straight = points[:4]
    length = max(x for x, _ in straight) - min(x for x, _ in straight)
    width = max(y for _, y in straight) - min(y for _, y in straight)
    assert length / width == pytest.approx(2.0, rel=2e-3)


@pytest.mark.parametrize(("low", "high"), [(0, 1), (0, 1500), (0, 0.07), (-3, 12), (5, 5)])
def test_ticks_are_round_and_inside(low, high):
    found = ticks(low, high)
    assert 1 <= len(found) <= 6
    assert all(low - 1e-9 <= value <= high + 1e-9 for value in found)


def test_an_axis_keeps_values_on_the_sheet():
    axis = Axis(0, 10, 100, 200)
    assert axis(5) == 150
    assert 190 < axis(1e9) < 205
