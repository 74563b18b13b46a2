"""A change by replacement: a new design, the old one as it was."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.design.built import MOST, Built

WALKED: dict[str, tuple[Any, ...]] = {
    "circuit.usb.run": ("20 ft", "30 ft", None), "battery.capacity": ("100 Ah", "200 Ah", "40 Ah"), "units": ("us", "metric", "us"),
    "load.kettle.power": ("900 W", "1500 W", None), "site.hottest": ("100 °F", "35 °C", None), "feeder.run": ("4 ft", "9 ft", "2 m"),
}  # fmt: skip


def test_a_replacement_is_new_and_the_old_one_stays(demo: tl.Design) -> None:
    before = copy.deepcopy(dict(demo.raw))
    changed = demo.replace("battery.capacity", "200 Ah")
    assert changed.battery is not None and demo.battery is not None
    assert (changed.battery.capacity, demo.battery.capacity) == (200.0, 100.0)
    assert changed.get("battery.capacity") == "200 Ah"
    assert dict(demo.raw) == before
    assert changed is not demo and changed != demo


def test_only_the_touched_branch_is_copied(demo: tl.Design) -> None:
    changed = demo.replace("circuit.usb.run", "21 ft")
    assert changed.raw["circuit"] is not demo.raw["circuit"]
    for old, new in zip(demo.raw["circuit"], changed.raw["circuit"], strict=True):
        assert (old is new) == (old["name"] != "usb")
    for key in demo.raw:
        assert (changed.raw[key] is demo.raw[key]) == (key != "circuit")


def test_a_value_that_is_handed_in_is_not_kept(demo: tl.Design) -> None:
    at: list[Any] = ["1 ft", "1 ft", "1 ft"]
    changed = demo.replace("place.bunk.at", at)
    at[0] = "9 ft"
    assert changed.get("place.bunk.at")[0] == "1 ft"


@pytest.mark.parametrize(
    ("path", "value"),
    [("battery.capacity", "200 Ah"), (("battery", "capacity"), "200 Ah"), ("circuit.ceiling lights.run", "12 ft"),
     ("stay.night.on.roof fan", "22:00-06:00"), (["stay", "night", "on", "roof fan"], "22:00-06:00"), ("load.kettle.on", False),
     ("title", "Another"), ("use.sleepers", 0), ("site.coldest", None), ("stay.night.on.roof fan", None), ("battery", None),
     ("stay.night.on.work lights", "18:00-19:00"), ("load.kettle.power", "1400 W")],
)  # fmt: skip
def test_what_is_set_can_be_got(demo: tl.Design, path: Any, value: Any) -> None:
    assert demo.replace(path, value).get(path) == value


def test_a_key_that_is_removed_is_gone(demo: tl.Design) -> None:
    changed = demo.replace("site.coldest", None)
    assert "coldest" not in changed.raw["site"] and changed.site.coldest is None


def test_several_at_once_are_checked_once(demo: tl.Design) -> None:
    """A load on a circuit that comes with it: neither change is valid by itself first."""
    circuit = {"name": "pump", "system": "dc", "wire": "14 AWG", "run": "9 ft"}
    load = {"name": "pump", "class": "water pump", "circuit": "pump"}
    changed = demo.replace_all({"load": [*demo.raw["load"], load], "circuit": [*demo.raw["circuit"], circuit]})
    assert changed.load("pump").circuit == "pump"
    with pytest.raises(tl.DesignError):
        demo.replace("load", [*demo.raw["load"], load])


def test_several_in_one_branch(demo: tl.Design) -> None:
    changed = demo.replace_all({"circuit.usb.run": "9 ft", "circuit.usb.wire": "10 AWG", "circuit.fridge.run": "8 ft"})
    assert (changed.get("circuit.usb.run"), changed.get("circuit.usb.wire"), changed.get("circuit.fridge.run")) == (
        "9 ft",
        "10 AWG",
        "8 ft",
    )


def test_back_again_is_equal(demo: tl.Design) -> None:
    there = demo.replace("battery.capacity", "200 Ah")
    assert there.replace("battery.capacity", "100 Ah") == demo
    assert there.replace("battery.capacity", "100 Ah").raw == demo.raw


def test_a_replacement_keeps_where_it_came_from(demo: tl.Design) -> None:
    changed = demo.replace("battery.capacity", "200 Ah").replace_all({"use.sleepers": 1})
    assert changed.origin is not None and changed.origin == demo.origin


def test_a_design_made_from_plain_data_came_from_nowhere(demo: tl.Design) -> None:
    assert tl.design_from(demo.raw).origin is None


@pytest.mark.parametrize(
    ("path", "value"),
    [("nowhere", 1), ("battery.nowhere", "1"), ("battery.capacity.deeper", "1"), ("circuit.nowhere.run", "1 ft"), ("title.x", "y"),
     ("circuit", "usb"), ("stay.night.on.nothing", "all"), ("battery.capacity", "none"), ("battery.capacity", 5), ("", 1), ([], 1),
     ((), None), ("trailer", None), ("circuit.usb.wire", None), ("place.bunk.at.0", "1 ft"), ("circuit.usb.run", float("nan")),
     ("load.kettle", None), ("stay.night.from", 18), ("title", object())],
)  # fmt: skip
def test_a_path_or_value_that_does_not_fit_gives_one_sentence(demo: tl.Design, path: Any, value: Any) -> None:
    before = copy.deepcopy(dict(demo.raw))
    with pytest.raises(tl.DesignError) as caught:
        demo.replace(path, value)
    text = str(caught.value)
    assert len(text.splitlines()) == 1 and text.rstrip('"').endswith((".", "?"))
    assert dict(demo.raw) == before


def test_a_design_cannot_be_changed_in_place(demo: tl.Design) -> None:
    for part, name, value in ((demo, "title", "x"), (demo.battery, "capacity", 5.0), (demo.circuits[0], "run", 5.0)):
        with pytest.raises(Exception, match="frozen"):
            setattr(part, name, value)


def test_getting_what_is_not_there_gives_nothing(demo: tl.Design) -> None:
    assert [demo.get(path) for path in ("nowhere", "battery.nowhere", "circuit.nowhere.run", "title.x.y")] == [None] * 4


@pytest.mark.parametrize("key", ["place", "load", "circuit", "supply", "stay"])
def test_a_name_that_is_not_there_is_answered_with_those_that_are(demo: tl.Design, key: str) -> None:
    with pytest.raises(tl.DesignError) as caught:
        getattr(demo, key)("no such name")
    assert "no such name" in str(caught.value) and demo.raw[key][0]["name"] in str(caught.value)


@pytest.mark.parametrize(
    "changes",
    [{("battery", "capacity"): "200 Ah"}, {("circuit", "usb", "run"): "30 ft", ("title",): "Other"}, {("load", "kettle", "count"): 2},
     {("stay", "night", "to"): "06:00"}, {("battery",): None}, {("site", "hottest"): None, ("fuse_block",): None}],
)  # fmt: skip
def test_a_changed_design_is_the_one_its_plain_data_gives(demo: tl.Design, changes: dict[tuple[str, ...], Any]) -> None:
    """Parts that did not change are kept as they are; nothing old may stay behind with them."""
    changed = demo.replace_all(changes)
    assert changed.model_dump() == tl.design_from(changed.raw).model_dump() != demo.model_dump()
    again = changed.replace("units", "metric").replace("units", demo.units)
    assert again.model_dump() == changed.model_dump()


@pytest.mark.parametrize(
    ("path", "there", "back", "part"),
    [("circuit.usb.run", "21 ft", "22 ft", lambda d: d.circuit("usb")), ("battery.capacity", "200 Ah", "90 Ah", lambda d: d.battery)],
)  # fmt: skip
def test_who_comes_back_to_a_value_finds_the_very_part(
    demo: tl.Design, path: str, there: str, back: str, part: Callable[[tl.Design], Any]
) -> None:
    """What has been worked out is kept by the parts it rests on; the same part brings it back."""
    first = demo.replace(path, there)
    again = first.replace(path, back).replace(path, there)
    assert part(again) is part(first) is not part(demo)


@pytest.mark.parametrize(("one", "other"), [(1, True), ("90 Ah", "90  Ah"), (1, 1.0)])
def test_what_is_said_in_another_way_is_another_part(one: Any, other: Any) -> None:
    parts = Built()
    parts.note("battery", [(one, "a part")])
    assert parts.like("battery", one) == "a part"
    assert parts.like("battery", other) is other and parts.like("feeder", one) is one


def test_only_the_latest_parts_are_held() -> None:
    parts = Built()
    parts.note("circuit", ((n, f"part {n}") for n in range(MOST + 1)))
    assert parts.like("circuit", 0) == 0 and parts.like("circuit", MOST) == f"part {MOST}"


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.sampled_from(sorted(WALKED)), st.integers(0, 2)), min_size=4, max_size=10))
def test_a_walk_to_and_fro_ends_where_its_plain_data_say(demo: tl.Design, walk: list[tuple[str, int]]) -> None:
    design = demo
    for path, at in walk:
        design = design.replace(path, WALKED[path][at])
    fresh = tl.design_from(copy.deepcopy(dict(design.raw)))
    assert design.model_dump() == fresh.model_dump()
    for question in ("loads", "wiring"):
        ours, theirs = tl.study(question, design), tl.study(question, fresh)
        assert (ours.sentence, ours.numbers, ours.checks) == (theirs.sentence, theirs.numbers, theirs.checks)
