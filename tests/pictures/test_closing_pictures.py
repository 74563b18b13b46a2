"""The pictures of the closing-in test: what is drawn lies where its value says, and no word lies on another."""

from __future__ import annotations

import itertools
import re

import pytest
from seen import faults, letters, polylines

import trailerlib as tl
from trailerlib.pictures import closing_plan, closing_stairs
from trailerlib.pictures.closing_gauges import INSIDE, band, place, shortened, told
from trailerlib.studies.closing.diagnose import Diagnosis, diagnose
from trailerlib.studies.closing.drawn import Gauge, picture_of
from trailerlib.studies.closing.line import Expected, Line
from trailerlib.studies.closing.planted import plant
from trailerlib.studies.closing.sheet import sheet_of

STOP = "#a63d2f"
TRAILERS = tl.shipped_trailers()
QUIET = Diagnosis((), 1.0, False, 0)


def design_of(name):
    return tl.read_design(TRAILERS[name])


def words(svg):
    return " ".join(text for text, _ in letters(svg))


def spread_out(sheet):
    """Some lines of every sort to stand at."""
    return [
        key
        for key in sheet.by_key
        if key.startswith(("rest", "all/feeder", "alone", "bond", "load", "insulation", "trip")) or "/volts" in key
    ][::5]


@pytest.mark.parametrize("share", [0, 3, 1], ids=["nothing read", "some read", "all read"])
@pytest.mark.parametrize("seed", [1, 2, 5])
@pytest.mark.parametrize("name", sorted(TRAILERS))
def test_no_word_is_cut_off_or_crossed(name, seed, share):
    design = design_of(name)
    sheet, hidden = sheet_of(design), plant(design, seed)
    readings = {key: hidden.read(key) for key in hidden.keys[:: share or 10**6] if share}
    found = diagnose(design, readings)
    for key in spread_out(sheet):
        picture = picture_of(design, sheet, found, readings, key)
        assert faults(closing_stairs(picture, ink="paper")) == [], key
    # on the plan a mark lies over the wires on purpose, with a halo; nothing else may touch
    over = faults(closing_plan(picture, design, ink="paper"))
    assert [fault for fault in over if not fault.startswith("a line through")] == []


@pytest.mark.parametrize("name", sorted(TRAILERS))
def test_screen_and_paper_differ_in_colours_and_letters_only(name):
    design = design_of(name)
    picture = picture_of(design, sheet_of(design), QUIET, {}, "rest/battery volts")
    for screen, paper in (
        (closing_stairs(picture), closing_stairs(picture, ink="paper")),
        (closing_plan(picture, design), closing_plan(picture, design, ink="paper")),
    ):
        bare = re.sub(r"var\(--trailer-\w+, (#\w+)\)", r"\1", screen)
        bare = re.sub(r'font-family="[^"]*"', "", bare)
        halo = r'<text[^>]* stroke="#ffffff" stroke-width="4"[^>]*>[^<]*</text>'
        plain = re.sub(r' stroke="#ffffff" stroke-width="4" stroke-linejoin="round" paint-order="stroke"', "", bare)
        assert plain == re.sub(halo, "", re.sub(r'font-family="[^"]*"', "", paper))


def gauge(low, high, value=None, asks="voltage", read=None):
    line = Line("k", "mains", asks, "here", "", "", "")
    return Gauge(Expected(line, value, 0.1, low, high), read)


def test_a_gauge_places_its_band_and_what_lies_outside():
    one = gauge(110.0, 130.0, 120.0)
    assert (place(one, 110.0), place(one, 130.0)) == pytest.approx(INSIDE)
    assert place(one, 120.0) == pytest.approx(sum(INSIDE) / 2)
    assert place(one, 109.0) < INSIDE[0]
    assert place(one, 131.0) > INSIDE[1]
    assert place(one, 0.0) == 0.02
    assert place(one, 1e6) == 0.98


def test_a_band_without_an_upper_end_has_no_reading_too_high():
    one = gauge(1e6, float("inf"), 3e8, "resistance")
    seen = [place(one, value) for value in (1e4, 9.9e5, 1e6, 2e6, 3e8, 1e11)]
    assert seen == sorted(seen)
    assert seen[1] < INSIDE[0] <= seen[2]
    assert seen[-1] <= 0.98


@pytest.mark.parametrize(
    ("one", "said"),
    [
        (gauge(110.0, 130.0, 120.0), "110.0 to 130.0 V"),
        (gauge(0.0, 0.1, 0.02, "resistance"), "at most 100 mΩ"),
        (gauge(1e6, float("inf"), 3e8, "resistance"), "at least 1.00 MΩ"),
        (gauge(0.5, 1.5, 1.0, "yes or no"), "yes"),
        (gauge(None, None), "–"),
    ],
)
def test_a_band_is_said_in_words(one, said):
    assert band(one).replace("1 MΩ", "1.00 MΩ") == said


def test_every_verdict_has_a_mark_and_a_word():
    assert told(gauge(110.0, 130.0, 120.0, read=119.0)).endswith("✓ agrees")
    assert told(gauge(110.0, 130.0, 120.0, read=90.0)).endswith("✗ differs")
    assert told(gauge(110.0, 130.0, 120.0)).endswith("– not measured")
    assert told(gauge(None, None)) == "? not checked"


def test_a_long_text_keeps_its_end():
    text = "At the receptacle of outdoor road side at outlet road side, neutral to ground"
    short = shortened(text, 300.0)
    assert "…" in short
    assert short.endswith("neutral to ground")
    assert short.startswith("At the")
    assert shortened("short", 300.0) == "short"


def fridge(readings):
    design = design_of("fen-survey")
    sheet = sheet_of(design)
    found = diagnose(design, readings)
    return picture_of(design, sheet, found, readings, "alone/specimen fridge/feed drop"), design


BAD_FEED = {
    "rest/battery volts": 12.85, "rest/block volts": 12.85, "alone/specimen fridge/volts": 12.2,
    "alone/specimen fridge/fuse drop": 0.0228, "alone/specimen fridge/fuse amps": 3.9,
    "alone/specimen fridge/feed drop": 0.5, "alone/specimen fridge/return drop": 0.078,
}  # fmt: skip


def test_a_drop_that_differs_is_drawn_as_steep_as_it_was_read():
    picture, _ = fridge(BAD_FEED)
    svg = closing_stairs(picture, ink="paper")
    (bad,) = polylines(svg, STOP, "from the load side")
    axis = {float(text): (box[1] + box[3]) / 2 for text, box in letters(svg) if re.fullmatch(r"12\.\d+", text)}
    (v0, y0), (v1, y1) = sorted(axis.items())[0], sorted(axis.items())[-1]
    px_per_v = (y0 - y1) / (v1 - v0)
    fall = bad[-1][1] - bad[0][1]
    assert fall == pytest.approx(0.5 * px_per_v, rel=0.08)  # letters are placed to a pixel or two
    behind = next(drop for drop in picture.along.drops if drop.expected.line.key.endswith("feed drop"))
    spots = {spot.behind: spot.volts for spot in picture.along.spots("out")}
    for end, number in ((bad[0], behind.first), (bad[-1], behind.last + 1)):
        assert end[1] == pytest.approx(y1 + (v1 - spots[number]) * px_per_v, abs=4.0)
    assert "500.0 mV ✗ differs" not in words(svg)
    assert "0.50 V ✗ differs" in words(svg)


def test_a_suspect_has_a_mark_a_letter_and_words_in_both_pictures():
    picture, design = fridge(BAD_FEED)
    assert picture.claimed
    for svg in (closing_stairs(picture, ink="paper"), closing_plan(picture, design, ink="paper")):
        said = words(svg)
        assert "▲ A" in said
        assert "fridge" in said
        assert "Suspected" in said
    assert "▲A fuse block" in words(closing_plan(picture, design, ink="paper")) or "▲A fridge" in words(
        closing_plan(picture, design, ink="paper")
    )


def test_the_mark_on_the_plan_lies_at_the_place():
    picture, design = fridge(BAD_FEED)
    svg = closing_plan(picture, design, ink="paper")
    spots = [tuple(map(float, m)) for m in re.findall(rf'<circle cx="([\d.]+)" cy="([\d.]+)" r="9" fill="{STOP}"', svg)]
    assert len(spots) == len({place for suspect in picture.suspects for place in suspect.places})
    named = [design.place(p).at[:2] for p in dict.fromkeys(p for s in picture.suspects for p in s.places)]
    for (one, a), (two, b) in itertools.combinations(zip(spots, named, strict=True), 2):
        assert (one[0] - two[0]) * (b[1] - a[1]) == pytest.approx((one[1] - two[1]) * (a[0] - b[0]), abs=5.0)


def test_nothing_to_measure_is_said():
    design = design_of("one-lamp")
    empty = picture_of(design, type(sheet_of(design))(()), QUIET, {}, None)
    assert "Nothing to measure yet" in words(closing_stairs(empty, ink="paper"))
    assert "Nothing is suspected" in words(closing_plan(empty, design, ink="paper"))
