"""The staircase: its heights are the voltages of the path, and no word lies on another or on a line."""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ET

import pytest
from seen import SVG, faults, letters, polylines

from trailerlib.pictures import staircase
from trailerlib.pictures.canvas import PALETTE
from trailerlib.studies.path import Path, Step

LONG = "a very long name of forty letters, it is"


def path(amps: float = 4.9, wire: float = 0.030, emf: float = 12.72, rest: float = 0.0, name: str = "") -> Path:
    """A lamp behind a feeder that carries the rest of the trailer too; resistances as good parts have them [ohm]."""
    whole = amps + rest
    rows = [
        ("battery, inside", "source", "battery", 0.006, whole), ("lug", "out", "contact", 0.0004, whole),
        ("main fuse", "out", "fuse", 0.0008, whole), ("disconnect", "out", "contact", 0.0006, whole),
        ("feeder out", "out", "wire", 0.0016, whole), ("fuse block", "out", "contact", 0.0004, whole),
        ("branch fuse", "out", "fuse", 0.011, amps), ("terminal", "out", "contact", 0.002, amps),
        ("wire out", "out", "wire", 0.6 * wire, amps), ("wire out", "out", "wire", 0.4 * wire, 0.5 * amps),
        ("terminal at the load", "out", "contact", 0.002, amps),
        ("terminal at the load", "back", "contact", 0.002, amps),
        ("wire back", "back", "wire", 0.4 * wire, 0.5 * amps), ("wire back", "back", "wire", 0.6 * wire, amps),
        ("terminal", "back", "contact", 0.002, amps), ("feeder back", "back", "wire", 0.0016, whole),
        ("lug", "back", "contact", 0.0004, whole),
    ]  # fmt: skip
    steps = tuple(Step(f"{n} {name}".strip(), way, kind, ohm, a) for n, way, kind, ohm, a in rows)  # type: ignore[arg-type]
    return Path(emf, steps, emf - sum(step.lost_v for step in steps))


def mains(amps: float = 12.0, neutral: float = 1.0) -> Path:
    """A receptacle behind a cord; on a shared neutral the other leg may give some voltage back."""
    rows = [
        ("pedestal, inside", "source", "wire", 0.05), ("plug", "out", "contact", 0.003), ("cord", "out", "wire", 0.12),
        ("inlet", "out", "contact", 0.003), ("breaker", "out", "fuse", 0.006), ("wire out", "out", "wire", 0.08),
        ("receptacle", "out", "contact", 0.003), ("receptacle", "back", "contact", 0.003),
        ("wire back", "back", "wire", 0.08), ("bar", "back", "contact", 0.001), ("cord back", "back", "wire", 0.12 * neutral),
    ]  # fmt: skip
    steps = tuple(Step(n, way, kind, ohm, amps) for n, way, kind, ohm in rows)  # type: ignore[arg-type]
    return Path(120.0, steps, 120.0 - sum(step.lost_v for step in steps))


PATHS = {
    **{f"{a} A {w} ohm": path(a, w) for a, w in itertools.product((0.05, 0.6, 4.9, 18.0, 40.0), (0.0008, 0.012, 0.05, 0.2))},
    "busy feeder": path(2.0, 0.03, rest=60.0), "24 V": path(4.0, 0.05, 25.6), "off": path(0.0),
    "long names": path(8.0, 0.02, name=LONG), "mains": mains(), "shared neutral": mains(15.0, -2.5), "little mains": mains(0.3),
    "one wire": Path(12.0, (Step("wire", "out", "wire", 0.1, 3.0),), 11.7),
    "only back": Path(12.0, (Step("frame", "back", "wire", 0.1, 3.0),), 11.7),
    "one contact": Path(12.0, (Step("post", "source", "contact", 0.1, 3.0),), 11.7),
}  # fmt: skip
LIMITS = (
    {},
    {"limit_v": 0.38},
    {"limit_v": 0.38, "lowest_v": 10.5},
    {"limit_v": 0.05, "lowest_v": 12.4},
    {"lowest_v": 108.0},
)


@pytest.mark.parametrize("name", PATHS)
@pytest.mark.parametrize("limits", range(len(LIMITS)))
def test_no_word_is_cut_off_or_covered(name: str, limits: int) -> None:
    for ghost in (None, path(3.0, 0.02), path(9.0, 0.05), mains(9.0)):
        assert faults(staircase(PATHS[name], ghost, title=f"{name}, {LONG}", ink="paper", **LIMITS[limits])) == []


def drops(svg: str) -> list[float]:
    """The heights of all steps of the stair itself, not of the one before [px]."""
    found = []
    for element in ET.fromstring(svg).iter(f"{SVG}polyline"):
        title = element.find(f"{SVG}title")
        if title is not None and not (title.text or "").startswith("before"):
            points = [tuple(map(float, p.split(","))) for p in element.attrib["points"].split()]
            found.append(points[-1][1] - points[0][1])
    return found


@pytest.mark.parametrize("name", [n for n in PATHS if n != "off"])
def test_equal_loss_is_equally_tall_on_both_sides_and_all_steps_make_the_whole(name: str) -> None:
    """Each line is as tall as its loss on one scale; together they are the source's voltage less the load's."""
    drawn = PATHS[name]
    svg = staircase(drawn, ink="paper")
    lost: list[float] = []
    for (_, _), same in itertools.groupby(drawn.steps, key=lambda step: (step.name, step.way)):
        lost.append(sum(step.lost_v for step in same))
    tall = drops(svg)
    assert len(tall) == len(lost)
    px_per_v = sum(tall) / (drawn.emf_v - drawn.load_v)
    assert px_per_v > 0
    for px, volt in zip(tall, lost, strict=True):
        assert px == pytest.approx(volt * px_per_v, abs=0.3)


def test_the_small_voltages_are_magnified() -> None:
    """Of 12.7 V less than half a volt is lost, and it takes more than a third of the picture."""
    assert sum(drops(staircase(path(), ink="paper"))) > 346 / 3
    assert sum(drops(staircase(path(1.0), ink="paper"))) > 346 / 3


def test_the_axes_agree_with_the_lines() -> None:
    """Two numbers of the left axis give the scale; the load's plus read off it is what the path says."""
    drawn = path(18.0, 0.03)
    svg = staircase(drawn, ink="paper")
    axis = {w: (b[1] + b[3]) / 2 for w, b in letters(svg) if b[2] < 60 and w.replace(".", "").isdigit()}
    assert len(axis) >= 3
    (v1, y1), (v2, y2) = sorted((float(w), y) for w, y in axis.items())[:2]
    (dots,) = [[float(c.attrib["cy"]) for c in ET.fromstring(svg).iter(f"{SVG}circle") if c.attrib["r"] == "4"]]
    plus = v1 + (dots[0] - y1 + 0.5) * (v2 - v1) / (y2 - y1)
    out = sum(step.lost_v for step in drawn.steps if step.way != "back")
    assert plus == pytest.approx(drawn.emf_v - out, abs=0.01)


def test_the_costliest_thing_stands_out_and_is_said() -> None:
    """All pieces of a wire count together; 0.147 V less the tap of the last 40 % (0.029 V) is 0.118 of 0.387 V."""
    drawn = path()
    svg = staircase(drawn, ink="paper")
    wire = sum(step.lost_v for step in drawn.steps if step.name == "wire out")
    strong = [w for w, _ in letters(svg) if w.startswith("wire out")]
    assert strong == [f"wire out, {wire:.3f} V ({100 * wire / drawn.lost_v:.0f} %)"]
    all_wire = sum(step.lost_v for step in drawn.steps if step.kind == "wire")
    assert any(w.startswith(f"The wire takes {100 * all_wire / drawn.lost_v:.0f} % of the") for w, _ in letters(svg))
    thick = [e for e in ET.fromstring(svg).iter(f"{SVG}polyline") if e.attrib["stroke-width"] == "4.5"]
    assert len(thick) == 1 and thick[0].attrib["stroke"] == PALETTE["dc"]


def test_small_steps_share_one_label() -> None:
    words = [w for w, _ in letters(staircase(path(10.0, 0.1), ink="paper"))]
    assert sum("small steps" in w or "contacts" in w for w in words if "takes" not in w) >= 1
    assert not any(w.startswith("lug") for w in words)


@pytest.mark.parametrize(("amps", "holds"), [(2.0, True), (12.0, False)])
def test_the_limits_are_named_with_their_values(amps: float, holds: bool) -> None:
    words = [w for w, _ in letters(staircase(path(amps), limit_v=0.38, lowest_v=10.5, ink="paper"))]
    assert ("allowed: 0.380 V lost in all" in words) is holds
    assert ("✗ allowed: 0.380 V lost in all" in words) is not holds
    assert "the load needs 10.5 V" in words


def test_the_line_of_the_limit_lies_where_the_load_would_have_just_enough() -> None:
    drawn = path(5.0)
    svg = staircase(drawn, limit_v=1.1 * drawn.lost_v, ink="paper")
    (line,) = [p for p in polylines(svg, PALETTE["stop"]) if p[0][1] == p[-1][1]]
    plus = next(float(c.attrib["cy"]) for c in ET.fromstring(svg).iter(f"{SVG}circle") if c.attrib["r"] == "4")
    assert line[0][1] - plus == pytest.approx(0.1 * sum(drops(svg)), abs=0.3)


def test_the_ghost_is_drawn_pale_and_only_when_it_differs() -> None:
    now, before = path(5.0), path(4.0)
    assert staircase(now, now) == staircase(now)
    svg = staircase(now, before, ink="paper")
    assert len(polylines(svg, PALETTE["ghost"], "before: ")) > 10
    assert any("before: " in w for w, _ in letters(svg))


@pytest.mark.parametrize(
    "unknown", [Path(12.0, (), 12.0), Path(12.0, path().steps, float("nan")), Path(0.0, path().steps, 0.0)]
)
def test_an_unknown_way_says_why_nothing_is_drawn(unknown: Path) -> None:
    words = " ".join(w for w, _ in letters(staircase(unknown)))
    assert words.startswith("Nothing to draw. ") and len(words) > 40
    assert faults(staircase(unknown, ink="paper")) == []
    assert "before" not in staircase(path(), unknown)


def test_hostile_names_stay_text() -> None:
    evil = '<script>alert("1")</script>&'
    svg = staircase(path(name=evil), path(3.0, name=evil), title=evil, limit_v=0.38)
    assert "<script" not in svg
    assert evil in [w for w, _ in letters(svg)]


@pytest.mark.parametrize("ink", ["screen", "paper"])
def test_ink(ink: str) -> None:
    svg = staircase(path(), path(3.0), limit_v=0.38, ink=ink)  # type: ignore[arg-type]
    assert ("var(" in svg) is (ink == "screen")
    assert ET.fromstring(svg).attrib["viewBox"] == "0 0 520 346"
