"""Weights, ratings, water, cargo and what holds things in the file: what is wrong is said in one sentence."""

from __future__ import annotations

import copy
from typing import Any

import pytest

import trailerlib as tl
from trailerlib.design import catalogue, supply_classes

POUND_KG = 0.45359237

CASES: list[tuple[tuple[str, ...], str, Any, tuple[str, ...]]] = [
    (("trailer",), "empty", 2250, ("no unit", "68 lb")),
    (("trailer",), "empty", "2250", ("is not a mass", "68 lb")),
    (("trailer",), "empty", "0 lb", ("above zero",)),
    (("trailer",), "empty", "-5 kg", ("above zero",)),
    (("trailer",), "empty", "90 ft", ("is not a mass",)),
    (("trailer",), "empty", "50000 kg", ("too high", "lb")),
    (("trailer",), "empty_centre", "12.5", ("is not a length",)),
    (("trailer",), "axle", "0 ft", ("above zero",)),
    (("trailer",), "axle", "15 ft", ("behind the box", "15.0 ft")),
    (("trailer",), "axle_spread", "-34 in", ("above zero",)),
    (("trailer",), "track", True, ("no unit",)),
    (("trailer",), "equaliser", "yes", ("equaliser",)),
    (("trailer",), "gross_rating", "7000 ft", ("is not a mass",)),
    (("trailer",), "axle_rating", "", ("is not a mass",)),
    (("trailer",), "tyre_rating", "1820 psi", ("is not a mass",)),
    (("trailer",), "tyre_full", "1820 lb", ("is not a pressure", "50 psi")),
    (("trailer",), "tyre_pressure", 50, ("no unit", "psi")),
    (("trailer",), "tyre_pressure", "-3 psi", ("too low",)),
    (("trailer",), "tyre_pressure", "50 bar", ("too high",)),
    (("trailer",), "coupler_rating", "class 3", ("is not a mass",)),
    (("trailer",), "tongue_limit", "0 kg", ("above zero",)),
    (("trailer",), "coupler_scale", "280 lb", ("scale", "empty", "remove")),
    (("trailer",), "axle_scale", "1970 lb", ("scale", "empty", "remove")),
    (("battery",), "mass", "66", ("is not a mass",)),
    (("battery",), "straps", -1, ("straps",)),
    (("battery",), "straps", 1.5, ("straps",)),
    (("battery",), "strap_limit", "500 A", ("is not a mass",)),
    (("battery",), "strap_angle", 120, ("strap_angle",)),
    (("battery",), "strap_way", "around", ("over", "direct")),
    (("battery",), "bolts", "four", ("bolts",)),
    (("battery",), "contained", 1, ("contained",)),
    (("load", "kettle"), "mass", "heavy", ("is not a mass",)),
    (("supply", "generator"), "mass", 118, ("no unit",)),
    (("supply", "generator"), "rides", "on the roof of the car", ("no place called", "nose platform")),
    (("cargo", "field kit"), "mass", "0 lb", ("above zero",)),
    (("cargo", "field kit"), "at", ["4 ft", "1 ft"], ("at",)),
    (("cargo", "field kit"), "at", ["4 ft", "1 ft", "80 m"], ("too high",)),
    (("cargo", "field kit"), "when", "sometimes", ("always", "parked")),
    (("cargo", "field kit"), "colour", "red", ("not known here",)),
    (("tank", "water tank"), "volume", "20 lb", ("is not a volume",)),
    (("tank", "water tank"), "level", "120 %", ("too high",)),
    (("tank", "water tank"), "level", 0.5, ("no unit",)),
]


def part_of(raw: dict[str, Any], path: tuple[str, ...]) -> dict[str, Any]:
    here: Any = raw[path[0]]
    return here if len(path) == 1 else next(p for p in here if p["name"] == path[1])


@pytest.mark.parametrize(("path", "key", "value", "says"), CASES, ids=[f"{c[0][-1]} {c[1]} {c[2]!r}" for c in CASES])
def test_bad_values_give_one_sentence(
    demo: tl.Design, path: tuple[str, ...], key: str, value: Any, says: tuple[str, ...]
) -> None:
    raw = copy.deepcopy(dict(demo.raw))
    part_of(raw, path)[key] = value
    with pytest.raises(tl.DesignError) as caught:
        tl.design_from(raw)
    text = str(caught.value)
    assert path[0] in text and len(text.splitlines()) == 1 and "pydantic" not in text and text.endswith((".", "?")), (
        text
    )
    assert not [word for word in says if word not in text], text


def test_two_pieces_of_cargo_cannot_share_a_name(demo: tl.Design) -> None:
    raw = copy.deepcopy(dict(demo.raw))
    raw["cargo"].append(dict(raw["cargo"][0]))
    with pytest.raises(tl.DesignError, match='two cargo parts are called "plant presses"'):
        tl.design_from(raw)


def test_one_axle_has_no_spread(demo: tl.Design) -> None:
    with pytest.raises(tl.DesignError, match="axle_spread: one axle has no next one"):
        demo.replace("trailer.axles", 1)
    assert demo.replace_all({("trailer", "axles"): 1, ("trailer", "axle_spread"): None}).trailer.axle_spread is None


def test_panels_lie_at_a_place_that_exists(demo: tl.Design) -> None:
    raw = copy.deepcopy(dict(demo.raw))
    raw["solar"] = [{"name": "roof", "power": "100 W", "place": "the moon"}]
    with pytest.raises(tl.DesignError, match='solar "roof": there is no place called "the moon"'):
        tl.design_from(raw)


def test_what_is_written_is_read(demo: tl.Design) -> None:
    box = demo.trailer
    assert (box.empty, box.gross_rating) == (pytest.approx(2250 * POUND_KG), pytest.approx(7000 * POUND_KG))
    assert box.coupler_x == pytest.approx(-6 * 0.3048), "two feet of nose and four of tongue"
    press = next(thing for thing in demo.cargo if thing.name == "plant presses")
    assert press.mass == pytest.approx(120 * POUND_KG) and press.at == pytest.approx((3.6576, 1.524, 0.6096))
    assert (press.straps, press.strap_limit, press.strap_angle) == (2, pytest.approx(500 * POUND_KG), 45)
    assert demo.tanks[0].volume == pytest.approx(75.708236) and demo.tanks[0].level == 1.0
    moved = demo.replace(("cargo", "plant presses", "at"), ["2 ft", "5 ft", "2 ft"])
    assert moved.cargo[0].at[0] == pytest.approx(0.6096) and moved.cargo[1] is demo.cargo[1]


def test_two_readings_of_a_scale_stand_for_the_papers(demo: tl.Design) -> None:
    told = {("trailer", "empty"): None, ("trailer", "empty_centre"): None}
    weighed = demo.replace_all({**told, ("trailer", "coupler_scale"): "-20 lb", ("trailer", "axle_scale"): "2000 lb"})
    assert weighed.trailer.coupler_scale == pytest.approx(-20 * POUND_KG), "a coupler may want to rise"
    assert weighed.trailer.empty is None


def test_what_is_not_written_is_not_known() -> None:
    bare = tl.design_from({"title": "Bare", "trailer": {"length": "10 ft", "width": "5 ft", "height": "6 ft"}})
    keys = ("empty", "empty_centre", "coupler_scale", "axle_scale", "axle", "axle_spread", "track", "equaliser",
            "gross_rating", "axle_rating", "coupler_rating", "tyre_rating", "tongue_limit")  # fmt: skip
    assert [getattr(bare.trailer, key) for key in keys] == [None] * len(keys)
    assert (bare.cargo, bare.tanks) == ((), ())


BY_SIZE = ("solar panel", "cabinet", "window", "hatch")


def test_every_class_has_a_mass_within_its_range() -> None:
    """A class without one would leave its trailer unweighed; the name plate wins over all of them."""
    known = catalogue.masses()
    chemistries = [f"battery {name}" for name in ("flooded", "agm", "gel", "lfp")]
    assert {*catalogue.appliances(), *supply_classes.generator_kinds(), *chemistries, *BY_SIZE, "person"} == set(known)
    for row in known.values():
        assert 0 < row.low_kg <= row.mass_kg <= row.high_kg and row.source, row.name


def test_a_stated_mass_wins_over_the_class(demo: tl.Design) -> None:
    battery = demo.battery
    assert battery is not None and battery.mass_each_kg == pytest.approx(30.0), "100 Ah at 0.30 kg/Ah"
    for path, value, kg in (
        ("battery.mass", "70 lb", 70 * POUND_KG),
        ("battery.nominal", "24 V", 60.0),
        ("battery.capacity", "50 Ah", 15.0),
    ):
        changed = demo.replace(path, value).battery
        assert changed is not None and changed.mass_each_kg == pytest.approx(kg), path
    assert demo.load("kettle").mass_each_kg == pytest.approx(1.2)
    assert demo.replace("load.kettle.mass", "2 kg").load("kettle").mass_each_kg == 2.0
    assert demo.supply("generator").mass_kg == pytest.approx(118 * POUND_KG)
    assert demo.replace("supply.generator.mass", None).supply("generator").mass_kg == pytest.approx(54.0)
    assert demo.supply("shore").mass_kg is None, "a pedestal does not ride along"
    panels = demo.replace("solar", [{"name": "roof", "power": "200 W"}]).solar
    assert panels[0].mass_each_kg == pytest.approx(13.0)
    assert demo.replace("solar", [{"name": "roof", "power": "200 W", "mass": "12 kg"}]).solar[0].mass_each_kg == 12.0
