"""The run-together card: complete, true to what was found, and no word on another, whatever the design."""

from __future__ import annotations

import copy
import itertools
import xml.etree.ElementTree as ET
from typing import Any

import pytest
from seen import SVG, faults, letters

import trailerlib as tl
from trailerlib.pictures.canvas import PALETTE
from trailerlib.pictures.run_together import run_together
from trailerlib.pictures.together_rows import MOST_ROWS
from trailerlib.studies import together

LONG = "a very long name of forty letters, it is"
CLASSES = (
    "roof cooler 15000", "roof cooler 13500", "space heater", "space heater", "kettle", "microwave oven", "toaster",
    "induction plate", "outdoor dryer", "outdoor dryer", "coffee maker", "air compressor",
)  # fmt: skip
DEMO = tl.read_design(tl.shipped_trailers()["fen-survey"])


def park(count: int = 12, long: bool = False) -> tl.Design:
    """So many large loads, each on a circuit of its own, on two legs of 50 A."""
    raw = copy.deepcopy(dict(DEMO.raw))
    raw.pop("charger")
    raw["supply"] = [{"name": LONG if long else "park", "kind": "shore 50 A", "cord": "6 AWG", "cord_run": "25 ft"}]
    raw["stay"], raw["mains"] = [], {"inlet": "14-50", "main": "50 A"}
    raw["circuit"] = [c for c in raw["circuit"] if c["system"] == "dc"]
    kept = {c["name"] for c in raw["circuit"]}
    raw["load"] = [load for load in raw["load"] if load["circuit"] in kept]
    for k in range(count):
        kind, way = CLASSES[k % len(CLASSES)], f"way {k + 1} {LONG if long else ''}"[:40].strip()
        circuit = {"name": way, "system": "mains", "wire": "12 AWG", "insulation": "90 C", "device": "breaker"}
        raw["circuit"].append({**circuit, "protection": "20 A", "leg": 1 + k % 2, "run": "12 ft", "bundle": 2})
        name = f"{k + 1} {LONG}"[:40].strip() if long else f"{kind} {k + 1}"
        raw["load"].append({"name": name, "class": kind, "circuit": way})
    return tl.design_from(raw)


SOFT = DEMO.replace("load.roof cooler.soft_start", True).replace("supply.generator.kind", "portable 4500 W")
GAPS = DEMO.replace("mains.main", None).replace("supply.generator.cord", None).replace("site.elevation", None)
NOTHING = DEMO.replace("stay", None).replace("load", None).replace("charger", None)
CASES: dict[str, tuple[tl.Design, float | None]] = {
    "demo": (DEMO, None),
    "low": (DEMO, 104.0),
    "soft": (SOFT, None),
    "gaps": (GAPS, None),
    "nothing": (NOTHING, None),
    "twelve": (park(), None),
    "twelve, long names": (park(long=True), None),
    "sixteen": (park(16), None),
    "too many": (park(30), None),
    "all fine": (park(2), None),
}
CARDS = [(name, s.name) for name, (design, _) in CASES.items() for s in design.supplies]


def card(name: str, supply: str, ink: Any = "paper") -> tuple[together.Together, str]:
    design, volts = CASES[name]
    found = together.of(design, supply, volts)
    svg = run_together(found, ink)
    for tint, value in PALETTE.items():
        svg = svg.replace(f"var(--trailer-{tint}, {value})", value)
    return found, svg


def said(svg: str) -> str:
    return " ".join(words for words, _ in letters(svg))


@pytest.mark.parametrize(("name", "supply"), CARDS)
@pytest.mark.parametrize("ink", ["screen", "paper"])
def test_no_word_lies_on_another_or_is_cut_off(name: str, supply: str, ink: str) -> None:
    assert faults(card(name, supply, ink)[1]) == []


@pytest.mark.parametrize(("name", "supply"), CARDS)
@pytest.mark.parametrize("ink", ["screen", "paper"])
def test_what_is_not_checked_is_said_and_nothing_then_passes(name: str, supply: str, ink: str) -> None:
    found, svg = card(name, supply, ink)
    words = said(svg)
    assert ("Not checked" in words) == (not found.checked)
    if not found.checked:
        assert "Always fine" not in words and "✓" not in words and "nothing opens." not in words
        assert "#2f6f4f" not in svg, "the colour of what holds"


def rows_of(svg: str, found: together.Together) -> list[set[str]]:
    """What each row of the grid says is on, read from where the words stand."""
    texts = letters(svg)
    heads = [(f"{s.size_a:.3g}", s.name) for s in found.deciding]
    amps = [(words, box) for words, box in texts if words.endswith(" A") and words[0].isdigit() and " of " not in words]
    assert len(amps) == len(heads), "one current over each column, in the order of the columns"
    middles = [(box[0] + box[2]) / 2 for _, box in sorted(amps, key=lambda each: each[1][0])]
    marks = [(words, box) for words, box in texts if words in ("on", "off", "–")]
    rows: dict[float, set[str]] = {}
    for words, box in marks:
        column = min(range(len(middles)), key=lambda k: abs(middles[k] - (box[0] + box[2]) / 2))
        row = next((y for y in rows if abs(y - box[3]) < 2), box[3])
        rows.setdefault(row, set())
        if words == "on":
            rows[row].add(found.deciding[column].name)
    return [rows[y] for y in sorted(rows)]


@pytest.mark.parametrize(
    ("name", "supply"), [c for c in CARDS if c[0] in ("demo", "low", "soft", "twelve", "twelve, long names")]
)
def test_the_marks_are_sets_that_hold(name: str, supply: str) -> None:
    found, svg = card(name, supply)
    rows = rows_of(svg, found)
    assert 0 < len(rows) <= MOST_ROWS
    good = [set(one.on) for one in found.for_good]
    short = [set(one.on) for one in found.under_three_hours]
    shown = [row for row in rows if row in good]
    assert shown == good[: len(shown)] and [row for row in rows if row not in good] == short[: len(rows) - len(shown)]
    assert all(found.allows(row) is True for row in rows)
    assert ("Hold under 3 hours" in said(svg)) == bool(short)


def test_how_many_more_there_are_is_said() -> None:
    found, svg = card("twelve", "park")
    shown = len(rows_of(svg, found))
    said_more = [int(w.split()[1]) for w, _ in letters(svg) if w.startswith("and ") and "none with more" in w]
    assert sum(said_more) + shown == found.for_good_count + found.under_three_hours_count
    assert any(w == f"and {found.forbidden_count - 6} more that are too much" for w, _ in letters(svg))


def test_what_opens_and_what_to_do_stand_on_the_card() -> None:
    words = said(card("demo", "shore")[1])
    for part in (
        "Everything at once: 30 A main", "opens within 25 min", "V at worst",
        "Not together", "may hold for hours", "push the handle fully off, then on", "rests 3 minutes", "it overheats",
    ):  # fmt: skip
        assert part in words, part
    assert "Always fine, with anything below: microscope lamp" in said(card("demo", "household")[1])
    assert "stalls" in said(card("demo", "generator")[1])
    assert "start roof cooler first" in said(card("soft", "generator")[1])
    assert "Everything at once holds" in said(card("all fine", "park")[1])
    assert "Nothing is in use" in said(card("nothing", "shore")[1])


@pytest.mark.parametrize(("name", "supply"), CARDS)
def test_the_screen_has_one_size_and_large_letters(name: str, supply: str) -> None:
    root = ET.fromstring(card(name, supply, "screen")[1])
    assert root.attrib["viewBox"] == "0 0 520 305"
    assert min(float(e.attrib["font-size"]) for e in root.iter(f"{SVG}text")) >= 11.5


@pytest.mark.parametrize(("name", "supply"), [c for c in CARDS if c[0] in ("demo", "low", "soft")])
def test_the_screen_shows_the_first_rows_of_the_sets_that_hold(name: str, supply: str) -> None:
    found, svg = card(name, supply, "screen")
    rows = rows_of(svg, found)
    good, short = [set(one.on) for one in found.for_good], [set(one.on) for one in found.under_three_hours]
    first = sum(row in good for row in rows)
    assert min(2, len(good)) <= first <= 3 and len(rows) - first >= min(1, len(short))
    assert rows == [*good[:first], *short[: len(rows) - first]]
    assert all(found.allows(row) is True for row in rows)
    assert svg.count("<circle") == sum(words == "on" for words, _ in letters(svg))


@pytest.mark.parametrize(("name", "supply"), CARDS)
def test_the_screen_counts_what_it_leaves_out(name: str, supply: str) -> None:
    """Every "and n more, k of them on paper" beside a title, with what stands under it, makes the whole count."""
    found, svg = card(name, supply, "screen")
    texts = letters(svg)
    counts = {"Hold for good": found.for_good_count, "Hold under 3 h": found.under_three_hours_count}
    titles = {w: box for w, box in texts if w.startswith(tuple(counts))}
    assert len(titles) == (0 if found.too_many or not found.deciding else sum(map(bool, counts.values())))
    ends = sorted(
        [*(box[1] for box in titles.values()), *(b[1] for w, b in texts if w.startswith("Not together")), 305.0]
    )
    for title, box in titles.items():
        more = [int(w.split()[1]) for w, b in texts if w.startswith("and ") and abs(b[3] - box[3]) < 2]
        end = next(y for y in ends if y > box[1] + 1)
        numbers = [w for w, b in texts if b[0] == 10.0 and box[3] < b[1] < end and w.removesuffix(" ▲").isdigit()]
        assert len(numbers) + sum(more) == next(n for head, n in counts.items() if title.startswith(head))


def test_a_list_is_counted_and_never_cut() -> None:
    """ "All but" with a name missing would allow what does not hold."""
    _, svg = card("twelve, long names", LONG, "screen")
    rows = [w for w, b in letters(svg) if b[0] == 40.0]
    assert rows and not any("…" in w for w in rows)
    assert any(" more" in w or "of the loads" in w for w in rows)


def test_what_does_not_start_is_said_on_the_screen() -> None:
    words = [w for w, _ in letters(card("demo", "generator", "screen")[1])]
    assert "roof cooler does not start on this supply, not even alone." in words
    assert not any("roof cooler" in w for w in words if " + " in w or w.startswith("all but"))


def test_a_word_stands_beside_every_mark() -> None:
    svg = card("demo", "shore")[1]
    dots = svg.count("<circle")
    assert dots and dots == sum(words == "on" for words, _ in letters(svg))


def test_a_voltage_that_is_supposed_is_called_so() -> None:
    assert "104 V supposed" in said(card("low", "shore")[1]) and "120 V nominal" in said(card("demo", "shore")[1])


def test_pairs_of_the_card_do_not_hold() -> None:
    found, _ = card("demo", "household")
    pairs = {frozenset(one.on) for one in found.forbidden if len(one.on) == 2}
    for one, other in itertools.combinations([s.name for s in found.deciding], 2):
        assert (frozenset((one, other)) in pairs) == (found.allows([one, other]) is False)
