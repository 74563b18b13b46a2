"""Openings against edges, one another, raceways, cabinets and studs, by hand to a centimetre; the ways out."""

from __future__ import annotations

from typing import Any

import pytest
from roofs import LAYERS, STUDS, box, hole

import trailerlib as tl
from trailerlib.studies.roof import placing, ways_out

IN_THE_WAY = "opening-in-the-way"
WALLS = [(wall, (0.05, 1.95)[wall == "curb"]) for wall in ("road", "curb")]


def words(design: tl.Design) -> list[str]:
    return [conflict.words for conflict in placing.conflicts(design)]


def wrong(design: tl.Design, rule: str = IN_THE_WAY) -> list[str]:
    """Subjects of what the study finds wrong by one rule."""
    return [f.subject for f in tl.study("roof", design).checks if f.rule == rule and f.severity not in ("holds", "not checked")]  # fmt: skip


def window(name: str, x: float, y: float, **more: Any) -> dict[str, Any]:
    return hole(name, x, y, **{"wall": "road", "kind": "window", "headers": True, **more})


@pytest.mark.parametrize("wall", ["road", "curb", "nose", "rear", "roof"])
@pytest.mark.parametrize("axis", [0, 1])
def test_flanges_that_overlap(wall: str, axis: int) -> None:
    """Holes of 0.4 m with 0.02 m all round: 0.44 m from middle to middle is enough, one centimetre less is not."""
    for apart, met in ((0.435, True), (0.4399, True), (0.44, False), (0.445, False)):
        at = [(0.6, 0.6), (0.6 + apart, 0.6)] if axis == 0 else [(0.6, 0.6), (0.6, 0.6 + apart)]
        design = box([window("one", *at[0], wall=wall), window("other", *at[1], wall=wall)])
        said = ['"one" and "other" overlap, flange and cover counted'] if met else []
        assert words(design) == said == wrong(design), apart


def test_a_cover_that_reaches_over_another_opening() -> None:
    """A cover of 0.8 by 0.6 m: 0.4 + 0.2 + 0.02 m along, 0.3 + 0.22 m across."""
    for at, met in (((1.615, 1.0), True), ((1.625, 1.0), False), ((1.0, 1.515), True), ((1.0, 1.525), False)):
        cooler = hole("cooler", 1.0, 1.0, shroud=["0.8 m", "0.6 m"])
        assert bool(words(box([cooler, hole("hatch", *at)]))) is met, at
    small = hole("cooler", 1.0, 1.0, shroud=["0.1 m", "0.1 m"])
    assert words(box([small, hole("hatch", 1.435, 1.0)])) and not words(box([small, hole("hatch", 1.445, 1.0)]))
    (found,) = placing.conflicts(box([hole("cooler", 1.0, 1.0), hole("hatch", 1.4, 1.0)]))
    assert (found.x, found.y) == pytest.approx((1.2, 1.0)) and found.rule == IN_THE_WAY, "the middle of what they share"


def test_other_sides_do_not_meet() -> None:
    assert words(box([window("one", 1.0, 1.0), window("other", 1.0, 1.0, wall="curb"), hole("hatch", 1.0, 1.0)])) == []


@pytest.mark.parametrize(("wall", "length", "height"), [("road", 3, 2), ("curb", 3, 2), ("nose", 2, 2), ("rear", 2, 2),
                                                        ("roof", 3, 2)])  # fmt: skip
def test_the_room_to_the_edge(wall: str, length: float, height: float) -> None:
    """Half a hole and its flange take 0.22 m; the least of four sides is told."""
    for at, room in (((0.5, 1.0), 0.28), ((length - 0.4, 1.0), 0.18), ((0.9, 0.3), 0.08), ((0.9, height - 0.3), 0.08),
                     ((0.21, 1.0), -0.01), ((0.22, 1.0), 0.0), ((0.9, height - 0.21), -0.01), ((0.9, 0.21), -0.01)):  # fmt: skip
        design = box([window("one", *at, wall=wall)])
        assert placing.room_to_edge_m(design.trailer, design.openings[0]) == pytest.approx(room, abs=1e-12), at
        assert bool(wrong(design, "opening-over-edge")) is (room < 0), at


def test_a_door_may_reach_the_floor() -> None:
    for kind, room in (("door", 0.1), ("window", 0.0)):
        design = box([hole("one", 1.0, 0.95, wall="curb", kind=kind, size=["0.8 m", "1.9 m"], flange=None)])
        assert placing.room_to_edge_m(design.trailer, design.openings[0]) == pytest.approx(room)
    sunk = box([hole("one", 1.0, 0.9, wall="curb", kind="door", size=["0.8 m", "1.9 m"], flange=None)])
    assert not wrong(sunk, "opening-over-edge")


def test_a_flange_that_is_not_known_is_no_pass() -> None:
    def word(design: tl.Design) -> str:
        return next(f.severity for f in tl.study("roof", design).checks if f.rule == "opening-over-edge")

    assert word(box([window("one", 1.0, 1.0, flange=None)])) == "not checked"
    assert word(box([window("one", 0.1, 1.0, flange=None)])) == "fix", "the hole alone is over the edge"
    assert word(box([window("one", 1.0, 1.0, flange="0 in")])) == "holds"
    assert word(box([window("one", 1.0, 1.0, kind="door", flange=None)])) == "holds", "a door has its own frame"


def raceway(*points: tuple[float, float, float]) -> dict[str, Any]:
    return {"name": "trim", "kind": "trim gap", "path": [[f"{v} m" for v in point] for point in points]}


def crossed(opening: dict[str, Any], *points: tuple[float, float, float]) -> list[str]:
    return words(box([opening], raceway=[raceway(*points)]))


@pytest.mark.parametrize(("wall", "y"), WALLS)
def test_a_raceway_through_a_hole(wall: str, y: float) -> None:
    """Along the wall at 1.0 m; the hole reaches 0.2 m down and up from its middle, its flange 0.02 m more."""
    cut, screwed = (
        ['"one" is cut through the raceway "trim"'],
        ['"one" is screwed through its flange into the raceway "trim"'],
    )
    heights = ((1.0, cut), (1.195, cut), (1.205, screwed), (1.215, screwed), (1.225, []), (0.805, cut), (0.785, screwed),
               (0.775, []))  # fmt: skip
    for height, said in heights:
        found = crossed(window("one", 1.5, height, wall=wall), (0.2, y, 1.0), (2.8, y, 1.0))
        assert found == said, height
    assert crossed(window("one", 1.5, 1.205, wall=wall, flange=None), (0.2, y, 1.0), (2.8, y, 1.0)) == []
    for x, met in ((3.015, True), (3.025, False)):
        sunk = window("one", 1.5, 1.0, wall=wall)
        assert bool(crossed(sunk, (x - 1.3, y, 0.1), (x - 1.3, y, 1.9))) is met, "down the wall, beside the hole"


def test_how_near_a_raceway_lies_behind_a_side() -> None:
    for y, met in ((0.14, True), (0.16, False), (-0.05, True), (1.0, False)):
        assert bool(crossed(window("one", 1.5, 1.0), (0.2, y, 1.0), (2.8, y, 1.0))) is met, y
    for z, met in ((1.86, True), (1.84, False), (2.05, True)):
        assert bool(crossed(hole("hatch", 1.5, 1.0), (0.2, 1.0, z), (2.8, 1.0, z))) is met, z
    for x, wall, met in ((0.1, "nose", True), (0.2, "nose", False), (2.9, "rear", True), (2.8, "rear", False)):
        assert bool(crossed(window("one", 1.0, 1.0, wall=wall), (x, 0.2, 1.0), (x, 1.8, 1.0))) is met, (x, wall)


def test_a_raceway_that_ends_in_the_hole_feeds_what_sits_there() -> None:
    hatch = hole("hatch", 1.5, 1.0)
    assert crossed(hatch, (0.2, 1.0, 1.95), (1.5, 1.0, 1.95)) == []
    assert crossed(hatch, (1.31, 1.0, 1.95), (2.8, 1.0, 1.95)) == []
    assert crossed(hatch, (1.29, 1.0, 1.95), (2.8, 1.0, 1.95)) != [], "it ends a centimetre before the hole"
    assert crossed(hatch, (0.2, 1.0, 1.95), (1.27, 1.0, 1.95)) == [], "it ends before the flange"


def test_a_raceway_across_a_corner_of_the_hole() -> None:
    """A slant from (1.0, y) to (2.0, y + 1.0) passes the corner at (1.3, 1.2) where y + 0.3 is below 1.2."""
    for y, met in ((0.89, True), (0.91, False)):
        found = placing.conflicts(
            box([hole("hatch", 1.5, 1.0, flange="0 mm")], raceway=[raceway((1.0, y, 1.95), (2.0, y + 1.0, 1.95))])
        )
        assert bool(found) is met, y
        if met:
            assert (found[0].x, found[0].y) == pytest.approx((1.305, 1.195)), "the middle of what lies in the hole"


def test_a_raceway_that_leaves_the_side_is_cut_there() -> None:
    """Along the wall, into the room before the window, back to the wall behind it."""
    way = ((0.2, 0.05, 1.0), (1.0, 0.05, 1.0), (1.0, 0.8, 1.0), (2.0, 0.8, 1.0), (2.0, 0.05, 1.0), (2.8, 0.05, 1.0))
    assert crossed(window("one", 1.5, 1.0), *way) == []
    assert crossed(window("one", 0.6, 1.0), *way) != [] and crossed(window("one", 2.4, 1.0), *way) != []
    parts = placing.behind(box([], raceway=[raceway(*way)]), "road")
    assert [points for _, points in parts] == [((0.2, 1.0), (1.0, 1.0)), ((2.0, 1.0), (2.8, 1.0))]


def opens_into(opening: dict[str, Any], at: tuple[float, float, float], size: tuple[float, float, float]) -> list[str]:
    box_in = {"name": "cupboard", "at": [f"{v} m" for v in at], "size": [f"{v} m" for v in size]}
    return words(box([opening], cabinet=[box_in]))


def test_a_cabinet_behind_an_opening() -> None:
    """0.5 m wide and deep, 1 m high: along to 1.5 m; the hole begins at its middle less 0.2 m, its ring 0.02 m before."""
    said = ['"one" opens into the cabinet "cupboard"']
    ring = ['"one" has no room inside for its clamp ring beside the cabinet "cupboard"']
    places = ((1.695, said), (1.705, ring), (1.715, ring), (1.725, []), (0.795, ring), (0.775, []), (0.805, said))
    for x, told in places:
        assert opens_into(window("one", x, 0.5), (1.0, 0.0, 0.0), (0.5, 0.5, 1.0)) == told, x
    for height, met in ((1.215, True), (1.225, False)):
        assert bool(opens_into(window("one", 1.2, height), (1.0, 0.0, 0.0), (0.5, 0.5, 1.0))) is met, height
    for y, met in ((0.14, True), (0.16, False)):
        assert bool(opens_into(window("one", 1.2, 0.5), (1.0, y, 0.0), (0.5, 0.5, 1.0))) is met, "away from the wall"
    for y, met in ((1.36, True), (1.34, False)):
        assert bool(opens_into(window("one", 1.2, 0.5, wall="curb"), (1.0, y, 0.0), (0.5, 0.5, 1.0))) is met, y
    for top, met in ((0.86, True), (0.84, False)):
        assert bool(opens_into(hole("one", 1.2, 0.3), (1.0, 0.0, 1.0), (0.5, 0.5, top))) is met, "under the roof"
    for wall, at in (("nose", (0.1, 0.8, 0.8)), ("rear", (2.4, 0.8, 0.8))):
        assert opens_into(window("one", 1.0, 1.0, wall=wall), at, (0.5, 0.5, 0.5)) == said
        assert opens_into(window("one", 1.0, 1.0, wall=wall), (1.2, 0.8, 0.8), (0.5, 0.5, 0.5)) == []


@pytest.mark.parametrize(("wall", "y"), WALLS)
def test_studs_that_are_cut(wall: str, y: float) -> None:
    """Studs at 0.2, 0.6, 1.0 … 3.0 m, 30 mm wide: cut where their middle is nearer than 0.2 + 0.015 m."""
    for x, cut in ((0.8, (0.6, 1.0)), (0.816, (1.0,)), (1.0, (1.0,)), (0.784, (0.6,))):
        opening = window("one", x, 1.0, wall=wall, headers=False)
        design = box([opening])
        assert placing.studs_cut(design, design.openings[0]) == pytest.approx(cut), x
        assert wrong(design) == [f"one cuts {len(cut)} of the wall's studs"]
        assert not wrong(box([{**opening, "headers": True}])), "headers carry it"
        assert tl.study("roof", design).rows[0]["cuts"] == f"{len(cut)} stud{'s' if len(cut) > 1 else ''}"
    narrow = box([window("one", 0.8, 1.0, wall=wall, size=["360 mm", "400 mm"], headers=False)])
    assert not wrong(narrow), "between two studs"


def test_studs_stand_as_far_as_the_wall_goes() -> None:
    assert placing.studs(box([]), "road") == pytest.approx([0.2 + 0.4 * n for n in range(8)])
    assert placing.studs(box([]), "nose") == placing.studs(box([]), "roof") == ()
    far = box([], face=[{"name": "walls", "layers": LAYERS, **STUDS, "stud_first": "2.9 m"}], trailer={
        "length": "2.7 m", "width": "2 m", "height": "2 m"})  # fmt: skip
    assert placing.studs(far, "road") == ()


def test_studs_of_which_nobody_knows_are_not_checked() -> None:
    def said(design: tl.Design) -> list[tuple[str, str]]:
        return [(f.subject, f.severity) for f in tl.study("roof", design).checks if f.rule == IN_THE_WAY]

    bare = {key: value for key, value in STUDS.items() if key != "stud_first"}
    unknown = [{"name": "walls", "layers": LAYERS, **bare}, {"name": "roof", "layers": LAYERS}]
    for headers in (False, None):
        design = box([window("one", 0.8, 1.0, headers=headers)], face=unknown)
        assert said(design) == [("one and the wall's studs", "not checked")], headers
    assert said(box([window("one", 0.8, 1.0)], face=unknown)) == []
    assert said(box([window("one", 0.8, 1.0, wall="rear", headers=None)])) == [
        ("one and the wall's studs", "not checked")
    ]
    assert said(box([window("one", 0.8, 1.0, kind="door")], face=unknown)) == []


def test_a_window_in_a_door_meets_nothing() -> None:
    door = hole("door", 1.0, 0.95, wall="curb", kind="door", size=["0.8 m", "1.8 m"])
    inside = window("glass", 1.0, 1.3, wall="curb", headers=False)
    design = box([door, inside])
    assert words(design) == [] and placing.studs_cut(design, design.openings[1]) == ()
    beside = box([door, window("glass", 1.5, 1.3, wall="curb", headers=False)])
    assert words(beside) == ['"door" and "glass" overlap, flange and cover counted']
    assert words(box([door, {**inside, "kind": "hatch"}])), "no window"


def test_both_sides_say_the_same() -> None:
    """Mirrored from road to curb side, and from nose to rear: rooms, conflicts and cuts keep their numbers."""
    for pair, turn in (
        (("road", "curb"), lambda x, y, z: (x, 2.0 - y, z)),
        (("nose", "rear"), lambda x, y, z: (3.0 - x, y, z)),
    ):
        found = []
        for wall in pair:
            mirror = turn if wall == pair[1] else (lambda x, y, z: (x, y, z))
            points = (
                [(0.05, 0.05, 0.95), (0.05, 1.9, 0.95)] if pair[0] == "nose" else [(0.1, 0.05, 0.95), (2.8, 0.05, 0.95)]
            )
            low = mirror(0.0, 0.0, 0.0)
            corner = (min(low[0], mirror(0.5, 0.5, 0)[0]), min(low[1], mirror(0.5, 0.5, 0)[1]), 0.8)
            cupboard = {"name": "cupboard", "at": [f"{v} m" for v in corner], "size": ["0.5 m", "0.5 m", "0.6 m"]}
            design = box(
                [window("one", 0.5, 1.0, wall=wall, headers=False), window("other", 0.9, 1.1, wall=wall, headers=False)],
                raceway=[raceway(*(mirror(*point) for point in points))], cabinet=[cupboard],
            )  # fmt: skip
            rooms = [placing.room_to_edge_m(design.trailer, o) for o in design.openings]
            told = [(c.words, round(c.x, 9), round(c.y, 9)) for c in placing.conflicts(design)]
            found.append((rooms, told, [placing.studs_cut(design, o) for o in design.openings]))
            assert len(told) == 4, "one another, the raceway through both, the cupboard behind the first"
        assert found[0] == found[1]


def test_the_demo_meets_nothing_and_its_cooler_can_be_moved_into_trouble(demo: tl.Design) -> None:
    assert words(demo) == []
    at = ("opening", "roof cooler", "at")
    assert words(demo.replace(at, ["9 ft", "3 ft 6 in"])) == [
        '"roof cooler" and "roof fan" overlap, flange and cover counted'
    ]
    over = words(demo.replace(at, ["6 ft", "2 ft 6 in"]))
    assert over == [
        f'"roof cooler" is cut through the raceway "{name}"' for name in ("ceiling cavity", "cooler conduit")
    ]
    window_at = {("opening", "door window", "wall"): "road", ("opening", "door window", "at"): ["1 ft", "4 ft"]}
    assert words(demo.replace_all(window_at)) == ['"door window" opens into the cabinet "nose cabinet"']
    window_at["opening", "door window", "at"] = ["9 ft", "4 ft"]
    assert words(demo.replace_all(window_at)) == ['"door window" is cut through the raceway "outside box conduit"']


# ── ways out ──────────────────────────────────────────────────────────────────────────────────────────


def door(name: str = "door", wall: str = "curb", **more: Any) -> dict[str, Any]:
    return hole(name, 1.0, 0.95, wall=wall, kind="door", **{"size": ["0.8 m", "1.8 m"], "flange": None, **more})


def ways(*openings: dict[str, Any], sleepers: int | None = 2) -> tuple[float | None, str | None]:
    use = {} if sleepers is None else {"sleepers": sleepers}
    design = box(list(openings), use=use)
    said = [f.severity for f in tl.study("roof", design).checks if f.rule == "second-way-out"]
    return ways_out.count(design), said[0] if said else None


LARGE = {"size": ["30 in", "20 in"]}


def test_one_door_is_one_way_out() -> None:
    assert ways(door()) == (1.0, "stop") and ways() == (0.0, "stop")
    assert ways(door(), door("rear", "rear")) == (2.0, "holds")
    assert ways(door(), window("small", 2.2, 1.2, clear=["15 in", "15 in"])) == (1.0, "stop")


def test_a_window_in_a_door_is_not_one_more() -> None:
    inside = window("glass", 1.0, 1.3, wall="curb", clear=["24 in", "17 in"], **LARGE)
    assert ways(door(), inside) == (1.0, "stop")
    assert ways(door(), {**inside, "wall": "road"}) == (2.0, "holds")


def test_a_window_of_which_it_is_not_said_how_far_it_opens() -> None:
    assert ways(door(), window("wide", 2.2, 1.2, **LARGE)) == (None, "not checked")
    assert ways(door(), door("rear", "rear"), window("wide", 2.2, 1.2, **LARGE)) == (2.0, "holds")
    assert ways(door(), window("small", 2.2, 1.2, size=["23 in", "20 in"])) == (1.0, "stop"), "too small at its widest"


@pytest.mark.parametrize(("clear", "counts"), [
    (["24 in", "17 in"], True), (["17 in", "24 in"], True), (["23.9 in", "17 in"], False), (["24 in", "16.9 in"], False),
    (["30 in", "20 in"], True),
])  # fmt: skip
def test_a_hatch_of_24_by_17_inches_counts(clear: list[str], counts: bool) -> None:
    """NFPA 1192 6.2.1.2 asks for two; the size is from memory."""
    found = ways(door(), hole("hatch", 2.0, 1.0, clear=clear, **LARGE))
    assert found == ((2.0, "holds") if counts else (1.0, "stop"))


def test_a_door_that_opens_less_than_its_hole_and_what_fills_its_hole() -> None:
    assert ways(door(clear=["16 in", "60 in"]), door("rear", "rear")) == (1.0, "stop")
    for kind in ("roof fan", "roof cooler"):
        assert ways(door(), hole("unit", 2.0, 1.0, kind=kind, **LARGE)) == (1.0, "stop"), "somebody cannot pass a fan"


def test_who_sleeps_aboard() -> None:
    assert ways(door(), sleepers=0) == (1.0, None), "nobody asks"
    assert ways(door(), sleepers=None) == (1.0, "not checked")
    assert ways(door(), sleepers=1)[1] == "stop"
