"""What is aboard: everything in the design once, at its place; what carries it and what holds it, as tables."""

from __future__ import annotations

import copy
from typing import Any

import pytest

import trailerlib as tl
from trailerlib.design import wire_sizes
from trailerlib.studies.answer import Answer, Beside
from trailerlib.studies.towing import Thing, aboard
from trailerlib.studies.towing.wires import wire_masses

LB, FT, INCH = 0.45359237, 0.3048, 0.0254


@pytest.fixture(scope="module")
def cart() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["kiln-cart"])


def things(design: tl.Design, **more: Any) -> dict[str, Thing]:
    found = aboard(design, **more)[0]
    assert len({thing.name for thing in found}) == len(found), "something is counted twice"
    return {thing.name: thing for thing in found}


def changed(design: tl.Design, key: str, name: str | None = None, **keys: Any) -> tl.Design:
    """The design with keys of one part changed, None takes a key away; without any, without the part."""
    raw: Any = copy.deepcopy(dict(design.raw))
    parts = raw[key]
    if not keys:
        raw[key] = [part for part in parts if part["name"] != name]
        return tl.design_from(raw)
    part = parts if name is None else next(part for part in parts if part["name"] == name)
    part.update(keys)
    for gone in [k for k, value in keys.items() if value is None]:
        del part[gone]
    return tl.design_from(raw)


def with_part(design: tl.Design, key: str, **keys: Any) -> tl.Design:
    raw: Any = copy.deepcopy(dict(design.raw))
    raw.setdefault(key, []).append(keys)
    return tl.design_from(raw)


def tables(answer: Answer) -> dict[str, Beside]:
    return {part.title: part for part in answer.besides}


# ── once and only once ────────────────────────────────────────────────────────────────────────────────


def test_everything_in_the_demo_is_counted_once(demo: tl.Design) -> None:
    found = things(demo, parked=True)
    named = [
        "bare trailer", "battery", "wires", *(load.name for load in demo.loads),
        *(s.name for s in demo.supplies if s.is_generator), *(c.name for c in demo.cabinets),
        *(t.name for t in demo.tanks), *(c.name for c in demo.cargo), *(p.name for p in demo.solar), "door window",
    ]  # fmt: skip
    assert sorted(found) == sorted(named)
    assert {"side door", "rear ramp"}.isdisjoint(found), "doors came with the trailer"


@pytest.mark.parametrize(("key", "name"), [("load", "specimen fridge"), ("cabinet", "nose cabinet"), ("tank", "water tank"),
                                           ("cargo", "field kit"), ("supply", "generator"), ("opening", "door window")])  # fmt: skip
def test_what_is_taken_out_takes_its_own_weight_and_nothing_else(key: str, name: str, demo: tl.Design) -> None:
    raw: Any = copy.deepcopy(dict(demo.raw))
    raw["stay"] = [stay for stay in raw["stay"] if stay["supply"] != "generator"]
    for stay in raw["stay"]:
        stay.get("on", {}).pop(name, None)
    before = things(tl.design_from(raw))
    after = things(changed(tl.design_from(raw), key, name))
    assert set(before) - set(after) == {name}
    assert {n: t.mass_kg for n, t in after.items() if n != "wires"} == {
        n: t.mass_kg for n, t in before.items() if n not in (name, "wires")
    }


def test_panels_are_counted_at_their_place(demo: tl.Design) -> None:
    panels = with_part(demo, "solar", name="panels", power="200 W", count=2, place="roof fan")
    found = things(panels)["panels"]
    assert found.mass_kg == pytest.approx(2 * 200 * 0.065) and found.at[0] == pytest.approx(11 * FT)


# ── cabinets ──────────────────────────────────────────────────────────────────────────────────────────


def test_a_cabinet_counts_at_its_middle(demo: tl.Design) -> None:
    stated = things(demo)["nose cabinet"]
    assert stated.mass_kg == pytest.approx(85 * LB) and stated.by == "as stated"
    assert stated.at == pytest.approx((10 * INCH, 2.5 * FT, 3.5 * FT))
    boards = things(changed(demo, "cabinet", "nose cabinet", mass=None))["nose cabinet"]
    square_ft = 2 * (20 / 12 * 5 + 20 / 12 * 2 + 5 * 2)
    assert boards.mass_kg == pytest.approx(8.0 * square_ft * FT**2) and boards.by == "its boards, about"
    heavier = tl.study("towing", changed(demo, "cabinet", "nose cabinet", mass="185 lb"))
    more = heavier.value("gross_kg") - tl.study("towing", demo).value("gross_kg")
    assert more == pytest.approx(100 * LB)


def test_a_cabinet_is_held_like_anything_heavy(demo: tl.Design) -> None:
    def said(**keys: Any) -> dict[str, str]:
        checks = tl.study("towing", changed(demo, "cabinet", "nose cabinet", **keys)).checks
        return {f.rule: f.severity for f in checks if f.subject == 'cabinet "nose cabinet"'}

    ways = {f"restraint-{way}" for way in ("forward", "rearward", "sideways", "downward", "aggregate")}
    bolted = said(bolts=6)
    assert set(bolted) == {"thing-held", *ways} and set(bolted.values()) == {"holds"}
    assert said(bolts=0)["thing-held"] == "stop"
    assert said(bolts=None, bolt_limit=None) == {"thing-held": "not checked"}
    assert {said(bolt_limit=None)[way] for way in ways} == {"not checked"}
    weak = said(bolts=2, bolt_limit="20 lb")
    assert {way for way in ways if weak[way] == "stop"} == {"restraint-rearward", "restraint-aggregate"}, (
        "40 of 42.5 lb"
    )
    strapped = said(bolts=None, bolt_limit=None, straps=2, strap_limit="500 lb", strap_angle=45, strap_way="over")
    assert strapped == bolted


# ── what sits in openings ─────────────────────────────────────────────────────────────────────────────


def test_an_opening_of_a_load_is_the_load(demo: tl.Design) -> None:
    """The roof and the road weigh the same unit: what the opening says wins, the place comes from either."""
    plain = things(demo)["roof cooler"]
    assert plain.mass_kg == 42.0 and plain.by == "its class"
    said = things(changed(demo, "opening", "roof cooler", mass="100 lb"))["roof cooler"]
    assert said.mass_kg == pytest.approx(100 * LB) and said.by == "as stated" and said.at == plain.at
    placeless = changed(demo, "load", "roof cooler", place=None)
    assert things(placeless)["roof cooler"].at == pytest.approx((6 * FT, 3.5 * FT, 6.5 * FT))


@pytest.mark.parametrize(("wall", "at", "place"), [
    ("roof", ["3 ft", "2 ft"], (3, 2, 6.5)), ("road", ["3 ft", "2 ft"], (3, 0, 2)), ("curb", ["9 ft", "2 ft"], (9, 7, 2)),
    ("nose", ["3 ft", "2 ft"], (0, 3, 2)), ("rear", ["3 ft", "2 ft"], (14, 3, 2)),
])  # fmt: skip
def test_a_window_weighs_by_its_size_where_it_is(
    wall: str, at: list[str], place: tuple[float, ...], demo: tl.Design
) -> None:
    more = with_part(demo, "opening", name="pane", kind="window", wall=wall, at=at, size=["2 ft", "1 ft"])
    pane = things(more)["pane"]
    assert pane.mass_kg == pytest.approx(12.0 * 2 * FT**2) and pane.by == "its size, about"
    assert pane.at == pytest.approx([value * FT for value in place])


def test_openings_of_other_kinds(demo: tl.Design) -> None:
    def one(kind: str, **more: Any) -> tuple[float | None, tuple[str, ...]]:
        design = with_part(demo, "opening", name="it", kind=kind, wall="roof", at=["3 ft", "2 ft"], size=["1 ft", "1 ft"], **more)  # fmt: skip
        found, left_out = aboard(design)
        return next((t.mass_kg for t in found if t.name == "it"), None), left_out

    assert one("hatch") == (pytest.approx(9.0 * FT**2), ())
    assert one("roof fan") == (6.0, ())
    assert one("roof cooler") == (None, ("it",)), "one of the coolers, nobody knows which: named, not guessed"
    assert one("roof cooler", mass="90 lb") == (pytest.approx(90 * LB), ())
    assert one("door") == (None, ()) and one("door", mass="60 lb") == (pytest.approx(60 * LB), ())


# ── wires by length ───────────────────────────────────────────────────────────────────────────────────

BOX = {"length": "12 ft", "width": "6 ft", "height": "6 ft"}
PLACES = [{"name": "block", "at": ["2 m", "0 m", "1 m"]}, {"name": "end", "at": ["4 m", "1 m", "1 m"]}]


def wired(system: str, wire: str, **more: Any) -> tl.Design:
    circuit = {"name": "c", "system": system, "wire": wire, "to": "end", **more}
    key = {"dc": "fuse_block", "mains": "panel"}[system]
    return tl.design_from({"title": "W", "trailer": BOX, key: "block", "place": PLACES, "circuit": [circuit]})


@pytest.mark.parametrize(("system", "wire", "mm2", "conductors"), [("dc", "12 AWG", 3.309, 2), ("mains", "12 AWG", 3.309, 3),
                                                                    ("dc", "6 AWG", 13.30, 2)])  # fmt: skip
def test_ten_metres_of_wire_by_hand(system: str, wire: str, mm2: float, conductors: int) -> None:
    """Copper of 8.89 g/cm³ and a cover of 35 % more, out and back, and the ground of a mains cable."""
    found = things(wired(system, wire, run="10 m"))["wires"]
    assert found.mass_kg == pytest.approx(conductors * mm2 * 1e-6 * 10 * 8890 * 1.35, rel=1e-3)
    assert found.at == pytest.approx((3.0, 0.5, 1.0)), "between block and end, where no raceway says better"


def test_a_stated_run_wins_and_is_not_counted_beside_the_layout(demo: tl.Design) -> None:
    fan = next(c for c in demo.circuits if c.name == "roof fan")
    assert fan.run == pytest.approx(20 * FT)
    one = sum(mass for mass, _ in wire_masses(demo)[0])
    two = sum(mass for mass, _ in wire_masses(demo.replace("circuit.roof fan.run", "40 ft"))[0])
    per_m = 2 * wire_sizes.wire("14 AWG").area_m2 * 8890 * 1.35
    assert two - one == pytest.approx(20 * FT * per_m, rel=1e-9)


def test_the_feeder_is_a_wire_too(demo: tl.Design) -> None:
    less = wire_masses(demo.replace("feeder", None))[0]
    per_m = 2 * wire_sizes.wire("6 AWG").area_m2 * 8890 * 1.35
    assert sum(m for m, _ in wire_masses(demo)[0]) - sum(m for m, _ in less) == pytest.approx(4 * FT * per_m, rel=1e-9)


def test_wire_of_which_nothing_is_known_is_named() -> None:
    assert aboard(wired("dc", "12 AWG"))[1] == ("wire of c",), "no run and no raceway"
    assert wire_masses(wired("dc", "12 AWG", run="10 m"))[1] == ()


# ── the tables beside ─────────────────────────────────────────────────────────────────────────────────


def test_what_carries_it_stands_against_every_plate(demo: tl.Design, cart: tl.Design) -> None:
    for design in (demo, cart):
        answer = tl.study("towing", design)
        rows = {row["name"]: row for row in tables(answer)["What carries it"].rows}
        assert len(rows) == 3 + design.trailer.axles * 3
        for row in rows.values():
            assert row["left_kg"] == pytest.approx(row["rating_kg"] - row["load_kg"])
            assert row["used"] == pytest.approx(row["load_kg"] / row["rating_kg"])
        ball = rows["ball of the tow vehicle"]
        assert (ball["load_kg"], ball["rating_kg"]) == (answer.value("tongue_kg"), design.trailer.tongue_limit)
        axles = [row["load_kg"] for name, row in rows.items() if name.endswith("axle")]
        wheels = [row["load_kg"] for name, row in rows.items() if name.endswith("wheel")]
        assert sum(axles) == pytest.approx(answer.value("wheels_kg")) == pytest.approx(sum(wheels))
        assert ball["load_kg"] + sum(wheels) == pytest.approx(rows["the whole trailer"]["load_kg"])


def test_a_plate_nobody_read_leaves_its_cells_empty(demo: tl.Design) -> None:
    bare = demo.replace_all({("trailer", "tyre_rating"): None, ("trailer", "tongue_limit"): None})
    rows = {row["name"]: row for row in tables(tl.study("towing", bare))["What carries it"].rows}
    for name in ("ball of the tow vehicle", "rear left wheel"):
        assert (rows[name]["rating_kg"], rows[name]["left_kg"], rows[name]["plate"]) == (None, None, "not known")
    unweighed = tables(tl.study("towing", demo.replace("trailer.axle", None)))["What carries it"].rows
    assert {row["load_kg"] for row in unweighed} == {None}


def test_what_holds_it_says_what_is_asked_in_each_direction(demo: tl.Design, cart: tl.Design) -> None:
    """The generator of 118 lb: 0.435, 0.5, 0.25 and 0.2 of it; straps over it hold 2·500·cos 40° across."""
    rows = {row["name"]: row for row in tables(tl.study("towing", demo))["What holds it on the road"].rows}
    assert set(rows) == {"battery", "generator", "nose cabinet", "plant presses", "field kit", "bunks and bedding",
                         "specimen fridge", "water tank"}  # fmt: skip
    generator = rows["generator"]
    assert generator["by"] == "2 straps over it, 500 lb each, 40° from the floor"
    assert [generator[way].partition(" / ")[0] for way in ("forward", "rearward", "sideways", "downward", "all")] == [
        "51.3", "59.0", "29.5", "23.6", "59.0"]  # fmt: skip
    assert generator["sideways"] == "29.5 / 766"
    assert rows["nose cabinet"]["by"] == "6 bolts, 100 lb each" and rows["nose cabinet"]["forward"] == "37.0 / 600"
    assert {rows["battery"][way] for way in ("forward", "downward")} == {"contained"}
    other = {row["name"]: row for row in tables(tl.study("towing", cart))["What holds it on the road"].rows}
    assert other["battery"]["by"] == "nothing" and other["battery"]["forward"].endswith(" / 0")
    assert other["clay"]["by"] == "not said" and other["clay"]["forward"].endswith(" / not known")


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("name", list(tl.shipped_trailers()))
def test_every_trailer_reads_well(name: str, system: str) -> None:
    answer = tl.study("towing", tl.read_design(tl.shipped_trailers()[name]).replace("units", system))
    text = answer.text()
    assert "None" not in text and "nan" not in text and "{" not in text
    assert max(len(line) for line in text.splitlines()) <= 96
    assert system == "us" or ("[lb]" not in text and " lb" not in text)
