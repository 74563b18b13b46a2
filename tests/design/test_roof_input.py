"""Bows, openings, cabinets, boards and the saw in the file: what is wrong is said in one sentence."""

from __future__ import annotations

import copy
from typing import Any

import pytest

import trailerlib as tl
from trailerlib.design import frame_classes

INCH_M, POUND_KG = 0.0254, 0.45359237
ROOF, SHOP = ("roof",), ("shop",)
COOLER, WINDOW = ("opening", "roof cooler"), ("opening", "door window")
CABINET, BOARD = ("cabinet", "nose cabinet"), ("board", "poplar 1 by 8")

CASES: list[tuple[tuple[str, ...], str, Any, tuple[str, ...]]] = [
    (ROOF, "metal", "aluminum 6061", ("a metal", "aluminium 6061-T6")),
    (ROOF, "metal", "steel", ("a metal", "tube steel", "mild steel")),
    (ROOF, "metal", 3, ("metal",)),
    (ROOF, "section", "pipe", ("tube", "solid", "hat")),
    (ROOF, "section", "hat", ("hat", "flange", "1 in")),
    (ROOF, "wall", None, ("tube", "wall", "0.065 in")),
    (ROOF, "wall", "0.5 in", ("thick as the bow", "1.00 in", "solid")),
    (ROOF, "wall", "0.6 in", ("thick as the bow", "solid")),
    (ROOF, "wall", "-1 mm", ("above zero",)),
    (ROOF, "width", 1, ("no unit", "7/8 in")),
    (ROOF, "width", "1", ("is not a small length",)),
    (ROOF, "width", "0 in", ("above zero",)),
    (ROOF, "depth", "-1 in", ("above zero",)),
    (ROOF, "depth", "3 lb", ("is not a small length",)),
    (ROOF, "depth", "2 m", ("too high",)),
    (ROOF, "flange", "0 in", ("above zero",)),
    (ROOF, "spacing", 24, ("no unit",)),
    (ROOF, "spacing", "1 mm", ("too low", "0.0500 m")),
    (ROOF, "spacing", "24 lb", ("is not a length",)),
    (ROOF, "first", "-1 ft", ("above zero",)),
    (ROOF, "ends", ["50 %", "0 %"], ("backwards", "looser end first")),
    (ROOF, "ends", "50 %", ("no range", '["0 %", "50 %"]')),
    (ROOF, "ends", ["50 %"], ("no range",)),
    (ROOF, "ends", [0, 0.5], ("no unit",)),
    (ROOF, "ends", ["0 %", "120 %"], ("too high",)),
    (ROOF, "shock", 0.5, ("0.5", "from 1 to 10")),
    (ROOF, "shock", 20, ("20", "from 1 to 10")),
    (ROOF, "shock", "3 g", ("plain number", "such as 3")),
    (ROOF, "shock", True, ("plain number",)),
    (ROOF, "person", 250, ("no unit", "lb")),
    (ROOF, "person", "0 lb", ("above zero",)),
    (ROOF, "welded", "yes", ("welded",)),
    (ROOF, "welded", 1, ("welded",)),
    (ROOF, "colour", "red", ("not known here",)),
    (COOLER, "mass", "13500", ("is not a mass",)),
    (COOLER, "mass", "-3 lb", ("above zero",)),
    (COOLER, "height", "-1 in", ("too low",)),
    (COOLER, "height", 5, ("no unit",)),
    (COOLER, "flange", "-1 in", ("too low",)),
    (COOLER, "flange", "2", ("is not a small length",)),
    (COOLER, "shroud", ["40 in"], ("shroud", "missing")),
    (COOLER, "shroud", ["40 in", "-2 in"], ("above zero",)),
    (COOLER, "made_for", ["3 in", "1 in"], ("backwards", "thinner wall first")),
    (COOLER, "made_for", ["1 in"], ("made_for", "missing")),
    (COOLER, "made_for", "1 in", ("made_for",)),
    (COOLER, "made_for", [1, 2], ("no unit",)),
    (COOLER, "flange_thickness", "0 in", ("above zero",)),
    (COOLER, "bolts", 0, ("bolts", "1")),
    (COOLER, "bolts", 4.5, ("bolts",)),
    (COOLER, "bolts", "four", ("bolts",)),
    (COOLER, "bolt_limit", 150, ("no unit",)),
    (COOLER, "headers", "yes", ("headers",)),
    (COOLER, "weight", "90 lb", ("not known here",)),
    (WINDOW, "clear", "24 in", ("clear",)),
    (WINDOW, "clear", ["0 in", "1 in"], ("above zero",)),
    (WINDOW, "clear", ["24 in", "19 in"], ("more than the hole", "its size")),
    (WINDOW, "clear", ["25 in", "17 in"], ("more than the hole", "its size")),
    (CABINET, "at", ["0 ft", "1 ft"], ("at", "missing")),
    (CABINET, "size", ["1 ft", "1 ft"], ("size", "missing")),
    (CABINET, "size", ["1 ft", "-1 ft", "1 ft"], ("above zero",)),
    (CABINET, "size", [1, 1, 1], ("no unit",)),
    (CABINET, "mass", "30", ("is not a mass",)),
    (CABINET, "mass", "0 lb", ("above zero",)),
    (CABINET, "bolts", -1, ("0",)),
    (CABINET, "strap_angle", 91, ("90",)),
    (BOARD, "thickness", "3/4", ("is not a small length",)),
    (BOARD, "thickness", "0 in", ("above zero",)),
    (BOARD, "width", "-7 in", ("above zero",)),
    (BOARD, "length", 8, ("no unit",)),
    (BOARD, "wood", "oak", ("not known here",)),
    (SHOP, "kerf", "-1 mm", ("too low",)),
    (SHOP, "kerf", "2 in", ("too high",)),
    (SHOP, "strip", "0 in", ("above zero",)),
    (SHOP, "corner", "halved", ("mitre", "butt")),
    (SHOP, "bite", 0.375, ("no unit",)),
    (SHOP, "glue", "bone", ("not known here",)),
    (("face", "walls"), "stud_first", 8, ("no unit",)),
    (("face", "walls"), "stud_first", "0 in", ("above zero",)),
    (("face", "floor"), "stud_first", "8 in", ("stud_first", "stud = ")),
]


@pytest.mark.parametrize("case", CASES, ids=[f"{c[0][-1]} {c[1]} {c[2]!r}" for c in CASES])
def test_bad_values_give_one_sentence(demo: tl.Design, case: tuple[tuple[str, ...], str, Any, tuple[str, ...]]) -> None:
    path, key, value, says = case
    raw = copy.deepcopy(dict(demo.raw))
    here: Any = raw[path[0]]
    part = here if len(path) == 1 else next(p for p in here if p["name"] == path[1])
    part[key] = value
    if value is None:
        del part[key]
    with pytest.raises(tl.DesignError) as caught:
        tl.design_from(raw)
    text = str(caught.value)
    assert path[0] in text and len(text.splitlines()) == 1 and "pydantic" not in text, text
    assert text.endswith((".", "?")) and not [word for word in says if word not in text], text


@pytest.mark.parametrize(("key", "name"), [("cabinet", "nose cabinet"), ("board", "poplar 1 by 8"),
                                           ("opening", "roof fan")])  # fmt: skip
def test_two_of_a_kind_cannot_share_a_name(key: str, name: str, demo: tl.Design) -> None:
    raw = copy.deepcopy(dict(demo.raw))
    raw[key].append(dict(next(part for part in raw[key] if part["name"] == name)))
    with pytest.raises(tl.DesignError, match=f'two {key} parts are called "{name}"'):
        tl.design_from(raw)


def test_what_is_written_of_the_roof_is_read(demo: tl.Design) -> None:
    roof = demo.roof
    assert (roof.metal, roof.section, roof.shock, roof.welded) == ("tube steel", "tube", 3.0, None)
    assert (roof.width, roof.depth, roof.wall) == (
        pytest.approx(INCH_M), pytest.approx(1.5 * INCH_M), pytest.approx(0.065 * INCH_M),
    )  # fmt: skip
    assert (roof.spacing, roof.first) == (pytest.approx(24 * INCH_M), pytest.approx(12 * INCH_M))
    assert roof.ends == (0.0, 0.5) and roof.person == pytest.approx(250 * POUND_KG)
    assert demo.face("walls").stud_first == pytest.approx(8 * INCH_M)


def test_what_is_written_of_openings_is_read(demo: tl.Design) -> None:
    found = {opening.name: opening for opening in demo.openings}
    cooler, window = found["roof cooler"], found["door window"]
    assert cooler.shroud == pytest.approx((40 * INCH_M, 29 * INCH_M))
    assert cooler.made_for == pytest.approx((1.5 * INCH_M, 3 * INCH_M))
    assert (cooler.flange, cooler.height) == (pytest.approx(2 * INCH_M), pytest.approx(5 * INCH_M))
    assert (cooler.bolts, cooler.bolt_limit) == (4, pytest.approx(150 * POUND_KG))
    assert (cooler.headers, cooler.mass, cooler.clear) == (True, None, None)
    assert window.flange_thickness == pytest.approx(INCH_M / 8)
    opened = demo.replace(("opening", "door window", "clear"), ["17 in", "24 in"]).openings
    assert next(o for o in opened if o.name == "door window").clear == pytest.approx((17 * INCH_M, 24 * INCH_M))


def test_what_is_written_of_the_shop_is_read(demo: tl.Design) -> None:
    shop, (poplar, plywood), (cabinet,) = demo.shop, demo.boards, demo.cabinets
    assert (shop.kerf, shop.strip, shop.bite) == (
        pytest.approx(INCH_M / 8), pytest.approx(1.5 * INCH_M), pytest.approx(0.375 * INCH_M),
    )  # fmt: skip
    assert shop.corner == "butt"
    assert (poplar.thickness, poplar.width) == (pytest.approx(0.75 * INCH_M), pytest.approx(7.25 * INCH_M))
    assert (poplar.length, plywood.length) == (pytest.approx(96 * INCH_M), pytest.approx(48 * INCH_M))
    assert cabinet.at == pytest.approx((0, 0, 30 * INCH_M))
    assert cabinet.size == pytest.approx((20 * INCH_M, 60 * INCH_M, 24 * INCH_M))


def test_a_slider_moves_an_opening_and_the_bows(demo: tl.Design) -> None:
    at = ("opening", "roof cooler", "at")
    moved = demo.replace(at, ["7 ft", "3 ft"])
    assert moved.get(at) == ["7 ft", "3 ft"] and demo.get(at) == ["6 ft", "3 ft 6 in"]
    cooler = next(o for o in moved.openings if o.name == "roof cooler")
    assert cooler.at == pytest.approx((84 * INCH_M, 36 * INCH_M))
    assert [now is before for now, before in zip(moved.openings, demo.openings, strict=True)].count(False) == 1
    assert moved.roof is demo.roof and moved.boards[0] is demo.boards[0]
    assert demo.replace(("roof", "depth"), "2 in").roof.depth == pytest.approx(2 * INCH_M)
    heavy = demo.replace(("opening", "roof cooler", "mass"), "120 lb")
    assert next(o for o in heavy.openings if o.name == "roof cooler").mass == pytest.approx(120 * POUND_KG)
    assert demo.replace("board.poplar 1 by 8.thickness", "5/8 in").boards[0].thickness == pytest.approx(0.625 * INCH_M)
    assert demo.replace("cabinet.nose cabinet.at", ["1 ft", "0 ft", "0 ft"]).cabinets[0].at[0] == pytest.approx(0.3048)
    with pytest.raises(tl.DesignError, match="thick as the bow"):
        demo.replace(("roof", "depth"), "1/8 in")


def test_a_window_in_a_door_is_held_by_it(demo: tl.Design) -> None:
    door, window, ramp, *_ = demo.openings
    assert door.holds(window) and not window.holds(door) and not door.holds(ramp) and not ramp.holds(window)
    for at, inside in ((["5 ft 4 in", "4 ft"], True), (["5 ft 4.1 in", "4 ft"], False), (["4 ft", "5 ft 6 in"], False)):
        moved = demo.replace(("opening", "door window", "at"), at).openings[1]
        assert door.holds(moved) is inside, at
    assert not door.holds(demo.replace(("opening", "door window", "wall"), "road").openings[1])


def test_what_is_not_written_is_not_known() -> None:
    bare = tl.design_from({"title": "Bare", "trailer": {"length": "10 ft", "width": "5 ft", "height": "6 ft"}})
    assert {key: value for key, value in bare.roof.model_dump().items() if value is not None} == {"section": "tube"}
    assert {key: value for key, value in bare.shop.model_dump().items() if value is not None} == {"corner": "butt"}
    assert (bare.cabinets, bare.boards) == ((), ())
    sized = bare.replace(("roof", "depth"), "2 in")
    assert sized.roof.depth == pytest.approx(2 * INCH_M), "one key at a time, as a slider writes it"


def test_every_metal_says_where_it_comes_from_and_makes_sense() -> None:
    for metal in frame_classes.metals().values():
        assert 60e9 < metal.modulus_pa < 220e9 and 2500 < metal.density < 8000 and metal.source, metal.name
        assert 1.5 < metal.safety < 2.0 and 0 < metal.welded_pa <= metal.yield_pa < 400e6, metal.name
        assert metal.strength_pa(welded=True) == metal.welded_pa and metal.strength_pa(welded=False) == metal.yield_pa
    weaker = [m.name for m in frame_classes.metals().values() if m.welded_pa < m.yield_pa]
    assert weaker == ["aluminium 6061-T6"], "heat-treated aluminium loses its temper beside a weld; mild steel does not"
