"""What trailers drawn at random once brought to light, each in the fewest words that show it."""

from __future__ import annotations

import math
from typing import Any

import pytest

import trailerlib as tl
from trailerlib import quantities
from trailerlib.buildfile import drawings

Raw = dict[str, Any]
BOX: Raw = {"title": "Box", "trailer": {"length": "4 m", "width": "2 m", "height": "2 m", "axle": "2.2 m", "empty": "600 kg",
                                        "empty_centre": "3 m", "track": "1.9 m"}}  # fmt: skip


@pytest.fixture(scope="module")
def demo() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["fen-survey"])


def test_freezing_in_one_unit_is_freezing_in_the_other() -> None:
    """A heater's lowest temperature is 0 °C: 32 °F must not be refused for a rounding."""
    assert quantities.read("32 °F", "temperature") == 0.0
    raw = {**BOX, "battery": {"chemistry": "lfp", "capacity": "50 Ah", "heater": "50 W", "heated_to": "32 °F"}}
    battery = tl.design_from(raw).battery
    assert battery is not None and battery.heated_to == 0.0


@pytest.mark.parametrize("wire", ["0.5 mm2", "20 AWG", "70 mm2", "4/0 AWG"])
def test_a_wire_that_no_branch_is_wired_with_has_its_sizes_told_all_the_same(demo: tl.Design, wire: str) -> None:
    answer = tl.study("wiring", demo.replace("circuit.bench outlets.wire", wire), circuit="bench outlets")
    assert answer.beside is not None and answer.text()
    assert "fitted" not in {row["size"] for row in answer.beside.rows}


def test_a_charger_alone_on_the_generator_has_no_start_to_follow(demo: tl.Design) -> None:
    """It was the first load of the file that was named, though it is off."""
    only = [stay for stay in demo.raw["stay"] if stay["supply"] == "generator"]
    alone = demo.replace("stay", [{**only[0], "on": {}}])
    picture = tl.study("generator", alone).picture
    assert picture.hardest == "charger" and picture.start_of("charger") is None
    drawn = drawings.drawings(alone, tl.assess(alone))
    assert drawn["start"].shows == "What happens if roof cooler is started on the generator"


def test_an_empty_battery_in_the_heat_holds_nothing_and_not_less(demo: tl.Design) -> None:
    """Warm cells give a little more than their rating, so what is missing can be more than full."""
    hot = demo.replace_all({("site", "coldest"): "40 °C", ("battery", "capacity"): "10 Ah", ("stay", "night", "ambient"): "40 °C",
                            ("trip", "stays"): ["night", "night"]})  # fmt: skip
    answer = tl.study("trip", hot)
    assert answer.value("lowest") < 0.01 and 0.0 <= answer.value("end") < 0.02
    assert math.isfinite(answer.value("used_wh"))


def test_two_things_of_one_name_at_two_places_are_both_drawn() -> None:
    heavy = {"name": "water", "mass": "80 kg", "at": ["1 m", "1 m", "0.3 m"]}
    tank = {"name": "water", "volume": "60 L", "level": "100 %", "at": ["3 m", "1 m", "0.3 m"]}
    design = tl.design_from({**BOX, "cargo": [heavy], "tank": [tank]})
    drawn = drawings.drawings(design, tl.assess(design))
    assert drawn["towing"].svg.count(">water") >= 2


def test_a_wall_of_unknown_thickness_has_no_clamped_opening_to_draw(demo: tl.Design) -> None:
    bare = demo.replace("face", None)
    assert "clamped" not in drawings.drawings(bare, tl.assess(bare))
    assert any(one.rule == "roof-too-thin" and one.severity == "not checked" for one in tl.study("roof", bare).findings)


def test_what_is_taken_out_at_the_worst_hour_is_that_of_the_worst_hour(demo: tl.Design) -> None:
    """On a day that cools down far, another hour asks for more cold, from a cooler that then gives more."""
    changes = {
        ("site", "swing"): "30 K",
        ("comfort", "set_point"): "15 °C",
        ("comfort", "heat_to"): None,
        ("site", "hottest"): "35 °C",
    }
    answer = tl.study("cooling", demo.replace_all(changes))
    assert answer.value("asked_w") == pytest.approx(answer.picture.heat.total_w, rel=1e-9)
    assert answer.value("worst_h") == answer.picture.heat.hour_h


MOST = {"circuit": 100, "load": 500, "place": 500, "supply": 20, "solar": 20, "stay": 60, "opening": 60}


@pytest.mark.parametrize(("key", "most"), MOST.items())
def test_more_parts_than_a_trailer_has_are_refused_before_they_fill_the_memory(
    demo: tl.Design, key: str, most: int
) -> None:
    """Three hundred circuits took a minute and gigabytes; nothing is said of a trailer that nobody can build."""
    raw = dict(demo.raw)
    first = (raw.get(key) or [{"name": "x", "power": "10 W"}])[0]
    raw[key] = [*raw.get(key, []), *({**first, "name": f"more {n}"} for n in range(most + 1))]
    raw[key] = raw[key][: most + 1]
    with pytest.raises(tl.DesignError, match=rf"^{key}: there are {most + 1} of them; write at most {most}\.$"):
        tl.design_from(raw)
    raw[key] = raw[key][:most]
    assert tl.design_from(raw)
