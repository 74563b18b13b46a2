"""A stay cut into stretches, against a grid of minutes."""

from __future__ import annotations

import by_hand
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.studies.timetable import hours_on, stretches

MINUTE = st.integers(0, 24 * 60 - 1)


def clock(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"


def agree(design: tl.Design, name: str) -> None:
    stay, raw = design.stay(name), by_hand.named(design.raw, "stay", name)
    parts = stretches(design, stay)
    minutes = by_hand.minutes_of(raw)
    assert sum(part.hours for part in parts) == pytest.approx(len(minutes) / 60) == pytest.approx(stay.hours)
    assert parts[0].start_h == stay.start and all(part.hours > 0 for part in parts)
    assert all(a.end_h == b.start_h for a, b in zip(parts, parts[1:], strict=False))
    counted = dict.fromkeys((load.name for load in design.loads), 0)
    for at in minutes:
        middle = (at + 0.5) / 60
        (part,) = [part for part in parts if part.start_h <= middle < part.end_h]
        on = {load["name"] for load in by_hand.running(design.raw, raw, at)}
        assert part.on == on, clock(at % 1440)
        for load in on:
            counted[load] += 1
    for load in design.loads:
        assert hours_on(stay, load) * 60 == pytest.approx(counted[load.name], abs=1e-6)


@pytest.mark.parametrize("name", ["night", "drying day", "camp with power"])
def test_the_stays_of_the_demo(demo: tl.Design, name: str) -> None:
    agree(demo, name)


def test_the_evening_of_one_lamp(lamp: tl.Design) -> None:
    agree(lamp, "evening")


@given(MINUTE, MINUTE, st.dictionaries(st.sampled_from(["roof fan", "CO alarm", "specimen fridge", "work lights"]),
                                       st.lists(st.tuples(MINUTE, MINUTE), max_size=3), max_size=4))  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_any_timetable(demo: tl.Design, start: int, end: int, on: dict[str, list[tuple[int, int]]]) -> None:
    texts = {name: ", ".join(f"{clock(a)}-{clock(b)}" for a, b in pairs) for name, pairs in on.items()}
    agree(
        demo.replace_all({"stay.night.from": clock(start), "stay.night.to": clock(end), "stay.night.on": texts}),
        "night",
    )


@pytest.mark.parametrize(
    ("start", "end", "hours"),
    [("18:00", "07:00", 13), ("07:00", "07:00", 24), ("00:00", "24:00", 24), ("24:00", "06:00", 6)],
)
def test_how_long_a_stay_is(demo: tl.Design, start: str, end: str, hours: float) -> None:
    changed = demo.replace_all({"stay.night.from": start, "stay.night.to": end})
    assert sum(part.hours for part in stretches(changed, changed.stay("night"))) == pytest.approx(hours)


def test_a_load_that_is_off_is_in_no_stretch(demo: tl.Design) -> None:
    off = demo.replace("load.roof fan.on", False)
    assert all("roof fan" not in part.on for part in stretches(off, off.stay("night")))
    assert hours_on(off.stay("night"), off.load("roof fan")) == 0
