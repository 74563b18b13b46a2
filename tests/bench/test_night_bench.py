"""The night bench: the range of hours, charger and panels as they are written, and the picture of the trip."""

from __future__ import annotations

import ipywidgets as widgets
import pytest

import trailerlib as tl
from trailerlib.bench.choices import NEW_PANEL, timetable
from trailerlib.pictures.trip_curve import no_trip, trip_curve
from trailerlib.studies.answer import Answer

MIDNIGHT, DAY = 24 * 60, 24 * 60
EVENING, MORNING = 18 * 60, MIDNIGHT + 7 * 60
PANELS = [{"name": "front", "power": "160 W", "count": 2, "shading": "10 %"}, {"name": "rear", "power": "100 W"}]


def on(design: tl.Design, load: str = "ceiling lights") -> str:
    return str(design.get(("stay", "night", "on", load)))


def with_hours(demo: tl.Design, text: str, load: str = "ceiling lights") -> tl.Design:
    return demo.replace(("stay", "night", "on", load), text)


@pytest.fixture
def bench(demo, bench_of, clock):
    made = bench_of("night", demo)
    made.move("load", "ceiling lights")
    return made


def test_the_range_reads_as_a_clock(bench):
    widget = bench.controls["hours"].widget
    assert widget.label == ("18:00", "22:30")
    assert [widget.options[0], widget.options[-1]] == [("18:00", EVENING), ("07:00", MORNING)]
    assert {b - a for (_, a), (_, b) in zip(widget.options, widget.options[1:], strict=False)} == {30}
    bench.move("load", "roof fan")
    assert widget.label == ("18:00", "07:00")


@pytest.mark.parametrize(("first", "last", "text"), [
    (EVENING, EVENING + 60, "18:00-19:00"), (EVENING + 150, MIDNIGHT, "20:30-00:00"),
    (MIDNIGHT - 30, MIDNIGHT + 30, "23:30-00:30"), (MIDNIGHT + 60, MORNING, "01:00-07:00"), (EVENING, MORNING, "all"),
    (EVENING + 60, EVENING + 60, ""),
])  # fmt: skip
def test_what_the_range_writes(first, last, text, bench):
    bench.move("hours", (first, last))
    assert on(bench.design) == text
    hours = dict(
        zip((row["name"] for row in bench.answer.rows), (row["hours"] for row in bench.answer.rows), strict=True)
    )
    assert hours.get("ceiling lights", 0.0) == pytest.approx((last - first) / 60)


@pytest.mark.parametrize(("written", "shown", "moved"), [
    ("18:00-19:00, 21:00-22:00", (EVENING, EVENING + 60), "20:00-20:30, 21:00-22:00"),
    ("08:00-09:00, 21:00-22:00", (EVENING + 180, EVENING + 240), "08:00-09:00, 20:00-20:30"),
    ("16:00-19:00", (EVENING, EVENING + 60), "20:00-20:30"),
    ("06:00-19:00", (EVENING, EVENING + 60), "20:00-20:30, 06:00-07:00"),
    ("18:10-19:25", (EVENING + 10, EVENING + 85), "20:00-20:30"),
    ("", (EVENING, EVENING), "20:00-20:30"),
    ("08:00-09:00", (EVENING, EVENING), "08:00-09:00, 20:00-20:30"),
    ("all", (EVENING, MORNING), "20:00-20:30"),
])  # fmt: skip
def test_the_first_range_is_shown_and_the_others_are_kept(written, shown, moved, demo, bench_of):
    bench = bench_of("night", with_hours(demo, written))
    bench.move("load", "ceiling lights")
    assert bench.controls["hours"].widget.value == shown
    bench.move("hours", (20 * 60, 20 * 60 + 30))
    assert on(bench.design) == moved


def test_a_range_drawn_together_and_out_again_keeps_the_others(demo, bench_of):
    bench = bench_of("night", with_hours(demo, "18:00-19:00, 21:00-22:00"))
    bench.move("load", "ceiling lights")
    bench.move("hours", (EVENING, EVENING))
    assert on(bench.design) == "21:00-22:00"
    bench.move("hours", (EVENING, EVENING + 30))
    assert on(bench.design) == "18:00-18:30, 21:00-22:00"


def test_a_load_without_an_entry_gets_one(demo, bench_of):
    bench = bench_of("night", demo.replace(("stay", "night", "on", "ceiling lights"), None))
    bench.move("load", "ceiling lights")
    assert bench.controls["hours"].widget.value == (EVENING, EVENING)
    bench.move("hours", (EVENING, EVENING + 90))
    assert on(bench.design) == "18:00-19:30"


def test_a_longer_night_moves_the_ends_of_the_range(bench):
    bench.move("length", 14.0)
    assert bench.controls["hours"].widget.options[-1] == ("08:00", MORNING + 60)
    bench.move("length", 24.0)
    assert bench.controls["hours"].widget.options[-1] == ("18:00 next day", EVENING + DAY)
    bench.move("hours", (EVENING, EVENING + DAY))
    assert on(bench.design) == "all"


def test_every_range_on_every_load_is_read_back_as_it_was_set(bench, demo):
    """Each pair of times of a coarse grid, through the file's own words."""
    for name in ("roof fan", "entry light"):
        bench.move("load", name)
        times = [minute for _, minute in bench.controls["hours"].widget.options][::4]
        for first in times:
            for last in (minute for minute in times if minute >= first):
                bench.move("hours", (first, last))
                found = timetable(bench.design.stay("night"), name).first
                assert found == ((first, last) if last > first else (EVENING, EVENING))


def test_the_first_watt_puts_panels_on_the_roof_and_none_takes_them_off(bench, demo):
    assert bench.controls["panels"].widget.value == 0.0
    bench.move("panels", 200.0)
    assert bench.design.get("solar") == [{"name": NEW_PANEL, "power": "200 W"}]
    assert bench.design.solar[0].power == 200.0
    bench.move("panels", 210.0)
    assert bench.design.get("solar") == [{"name": NEW_PANEL, "power": "210 W"}]
    bench.move("panels", 0.0)
    assert bench.design.get("solar") is None and bench.design.solar == ()


def test_panels_of_the_design_keep_what_else_is_said_of_them(demo, bench_of):
    bench = bench_of("night", demo.replace("solar", PANELS))
    assert bench.controls["panels"].widget.value == 160.0
    bench.move("panels", 300.0)
    assert bench.design.get("solar") == [{**PANELS[0], "power": "300 W"}, PANELS[1]]
    bench.move("panels", 0.0)
    assert bench.design.get("solar") == [PANELS[1]]
    bench.move("panels", 50.0)
    assert bench.design.get("solar") == [{**PANELS[0], "power": "50 W"}, PANELS[1]]


def test_panels_and_hours_are_kept_in_the_file(file, bench_of, press):
    bench = bench_of("night", tl.read_design(file))
    bench.move("panels", 200.0)
    bench.move("hours", (EVENING, MIDNIGHT))
    press(bench, "keep")
    kept = tl.read_design(file)
    assert "Kept" in bench.said
    assert (kept.solar[0].name, kept.solar[0].power) == (NEW_PANEL, 200.0)
    assert on(kept, "roof fan") == "18:00-00:00"
    bench.move("panels", 0.0)
    press(bench, "keep")
    assert tl.read_design(file).solar == ()
    assert "solar" not in file.read_text(encoding="utf-8")


def test_lines_of_controls_fit_beside_the_picture(bench):
    """Ten lines of 30 px and the six above them; the box is 312 px high."""
    lines = [w for w in bench.arrange() if w.layout.display != "none"]
    assert len(lines) == 10
    shown = [w for line in lines for w in (line.children if isinstance(line, widgets.HBox) else (line,))]
    assert shown == [control.widget for control in bench.controls.values()]


def show_trip(bench) -> None:
    bench._shown.value = "trip"


def test_the_trip_follows_every_control(demo, bench_of, clock):
    bench = bench_of("night", demo.replace_all({("site", "day"): "07-21", ("site", "longitude"): -122.0}))
    show_trip(bench)
    seen = [bench.picture_text]
    assert seen[0] == trip_curve(bench.answer.picture.trip, None)
    for key, value in (("capacity", 60.0), ("charger", 40.0), ("panels", 150.0), ("hours", (EVENING, EVENING + 60))):
        before: Answer = bench.answer
        clock.now_s += 60
        bench.move(key, value)
        assert bench.picture_text == trip_curve(bench.answer.picture.trip, before.picture.trip)
        seen.append(bench.picture_text)
    assert len(set(seen)) == len(seen)


def test_the_picture_goes_back_to_the_night(bench, picture_of):
    show_trip(bench)
    bench._shown.value = "night"
    assert bench.picture_text == picture_of(bench, bench.answer, None)


@pytest.mark.parametrize(("gone", "words"), [("battery", "battery"), ("stay", "stay")])
def test_without_a_trip_its_place_says_what_is_missing(gone, words, changed, bench_of):
    bench = bench_of("night", changed(lambda raw: raw.pop(gone)))
    show_trip(bench)
    assert bench.picture_text == no_trip(tl.studies.trip.of(bench.design).missing)
    assert "Not checked" in bench.picture_text and words in bench.picture_text


def shown_ranges(bench):
    return [words for words, _ in bench.controls["which"].widget.options]


def test_a_second_range_is_added_moved_and_taken_away(bench):
    bench.move("load", "ceiling lights")
    assert shown_ranges(bench) == ["1: 18:00-22:30", "add more hours"]
    bench.move("which", 1)
    assert bench.controls["hours"].widget.value == (EVENING, EVENING)
    bench.move("hours", (EVENING + 11 * 60, MORNING))
    assert on(bench.design) == "18:00-22:30, 05:00-07:00"
    assert shown_ranges(bench) == ["1: 18:00-22:30", "2: 05:00-07:00", "add more hours"]
    bench.move("hours", (EVENING + 12 * 60, MORNING))
    assert on(bench.design) == "18:00-22:30, 06:00-07:00"
    bench.move("which", 0)
    assert bench.controls["hours"].widget.value == (EVENING, EVENING + 270)
    bench.move("hours", (EVENING, EVENING + 60))
    assert on(bench.design) == "18:00-19:00, 06:00-07:00"
    bench.move("which", 1)
    bench.move("hours", (MORNING, MORNING))
    assert on(bench.design) == "18:00-19:00"
    assert shown_ranges(bench) == ["1: 18:00-19:00", "add more hours"]


def test_another_load_begins_at_its_first_range(bench):
    bench.move("load", "ceiling lights")
    bench.move("which", 1)
    bench.move("load", "entry light")
    assert bench.controls["which"].widget.value == 0 and shown_ranges(bench)[0] == "1: 21:00-21:30"
    bench.move("load", "roof fan")
    assert shown_ranges(bench) == ["1: the whole stay"]


def test_a_load_that_is_never_on_says_so(bench):
    bench.move("load", "work lights")
    assert shown_ranges(bench) == ["none yet"] and bench.controls["which"].widget.value == 0
