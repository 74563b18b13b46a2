"""The schedules: every circuit in its place, every metre of wire once, colours by the code, prices by who said them."""

from __future__ import annotations

import copy
from typing import Any

import pytest

import trailerlib as tl
from trailerlib.design.design import Design, design_from
from trailerlib.studies.schedules import Schedule, schedules
from trailerlib.studies.schedules.pieces import pieces, roles
from trailerlib.studies.schedules.schedule import steps_up, tape
from trailerlib.studies.schedules.spools import groups

SHIPPED = ("fen-survey", "kiln-cart", "one-lamp")


def design(name: str) -> Design:
    return tl.read_design(tl.shipped_trailers()[name])


def of(one: Design) -> dict[str, Schedule]:
    return schedules(one, tl.assess(one))


def changed(name: str, change: Any) -> Design:
    raw = copy.deepcopy(dict(design(name).raw))
    change(raw)
    return design_from(raw)


@pytest.mark.parametrize("name", SHIPPED)
@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_metre_of_wire_is_cut_once_from_some_spool(name: str, system: str) -> None:
    one = design(name).replace("units", system)
    found = pieces(one)
    for circuit in one.circuits:
        mine = [p for p in found if p.circuit == circuit.name]
        wire_m = one.layout.routes[circuit.name].wire_m
        assert wire_m is not None
        assert sum(p.run_m for p in mine) == pytest.approx(wire_m * len(roles(circuit)), rel=1e-12)
        assert {p.role for p in mine} == set(roles(circuit))
    assert len({p.tag for p in found}) == len(found)
    cut = [p.tag for group in groups(one, found) for spool in group.spools for p in spool.pieces]
    assert sorted(cut) == sorted(p.tag for p in found)
    for group in groups(one, found):
        for spool in group.spools:
            assert sum(p.cut_m for p in spool.pieces) + spool.left_m == pytest.approx(spool.length_m, rel=1e-9)
            assert {p.kind for p in spool.pieces} == {(group.wire, group.insulation, group.colour)}
        assert group.proof != "none" and not group.problem


def test_the_allowance_is_added_at_both_ends_and_rounded_up() -> None:
    """By hand: 18 ft 7 in lies 18.583 ft, 1 in at each end: 18 ft 9 in."""
    one = design("fen-survey").replace("routing.end_allowance", "1 in")
    (hot,) = [p for p in pieces(one) if p.tag == "B4 hot"]
    assert tape(hot.cut_m, "us") == "18 ft 9 in" and hot.cut_m >= hot.run_m + 2 * 0.0254 - 1e-9
    more = one.replace("routing.end_allowance", "2 in")
    (longer,) = [p for p in pieces(more) if p.tag == "B4 hot"]
    assert longer.cut_m - hot.cut_m == pytest.approx(2 * 0.0254)


@pytest.mark.parametrize(
    ("length_m", "system", "steps", "text"),
    [(7.49, "metric", 749, "7.49 m"), (7.491, "metric", 750, "7.50 m"), (0.3048, "us", 12, "1 ft"),
     (0.30481, "us", 13, "1 ft 1 in"), (0.0, "us", 0, "0 in"), (0.1, "us", 4, "4 in"), (0.0, "metric", 0, "0.00 m")],
)  # fmt: skip
def test_a_tape_shows_whole_inches_or_centimetres(length_m: float, system: Any, steps: int, text: str) -> None:
    assert steps_up(length_m, system) == steps
    step = 0.0254 if system == "us" else 0.01
    assert tape(steps * step, system) == text


def test_colours_are_those_of_the_code() -> None:
    """NFPA 70 200.6(A), 250.119(A); ABYC E-11; IEC 60445: from memory, as in the table."""
    by_tag = {p.tag: p.colour.words for p in pieces(design("fen-survey"))}
    assert (by_tag["B1 hot"], by_tag["B1 neutral"], by_tag["B1 ground"]) == ("black", "white", "green")
    assert (by_tag["F1 +"], by_tag["F1 −"]) == ("red", "yellow")  # black would be taken for the hot wire
    assert {p.colour.words for p in pieces(design("one-lamp")) if p.role == "minus"} == {"black"}
    europe = design("fen-survey").replace("practice", "iec")
    by_tag = {p.tag: p.colour.words for p in pieces(europe)}
    assert (by_tag["B1 hot"], by_tag["B1 neutral"], by_tag["B1 ground"]) == ("brown", "blue", "green-and-yellow")
    cart = design("kiln-cart")
    between = {circuit.name for circuit in cart.circuits if circuit.between_legs}
    both = [p for p in pieces(cart) if p.circuit in between]
    assert both and {p.colour.words for p in both} == {"black", "red", "green"}


def test_every_colour_used_stands_in_the_legend_with_its_clause() -> None:
    for name in SHIPPED:
        found = of(design(name))
        used = {row["colour"] for row in found["cut_list"].rows}
        assert used == {row["colour"] for row in found["colours"].rows}
        assert all(row["source"] and row["confidence"] for row in found["colours"].rows)


def test_a_remnant_on_the_shelf_is_used_up_first_and_not_bought() -> None:
    def shelf(raw: dict[str, Any]) -> None:
        raw["spool"] = [
            {"name": "end of a roll", "wire": "14 AWG", "colour": "red", "length": "26 ft", "count": 1},
            {"name": "box", "wire": "14 AWG", "length": "50 ft"},
        ]

    before, after = of(design("fen-survey")), of(changed("fen-survey", shelf))
    rows = [row for row in after["spools"].rows if row["wire"] == "14 AWG" and row["colour"] == "red"]
    assert [row["spool"] for row in rows].count("shelf: end of a roll") == 1
    assert all(row["spool"] in ("shelf: end of a roll", "new, 50 ft") for row in rows)
    bought = [
        next(row["count"] for row in found["parts"].rows if row["part"] == "wire 14 AWG, 105 C, red")
        for found in (before, after)
    ]
    assert bought == [75.0, 50.0]


def test_a_piece_longer_than_any_spool_is_said_and_is_no_plan() -> None:
    def short(raw: dict[str, Any]) -> None:
        raw["spool"] = [{"name": "card", "wire": "14 AWG", "length": "10 ft"}]

    found = of(changed("fen-survey", short))
    assert not [row for row in found["spools"].rows if row["wire"] == "14 AWG"]
    assert any("14 AWG red: no plan, a piece of" in line for line in found["spools"].missing)


def test_thick_wire_is_bought_off_the_roll_as_short_as_does_with_the_shelf_counted() -> None:
    """By hand: 5 in and 3 ft 11 in are 4 ft 4 in: five feet; with 4 ft on the shelf one more foot does."""
    rows = [row for row in of(design("fen-survey"))["spools"].rows if row["wire"] == "6 AWG" and row["colour"] == "red"]
    assert [row["spool"] for row in rows] == ["new, 5 ft"]

    def shelf(raw: dict[str, Any]) -> None:
        raw["spool"] = [{"name": "rest", "wire": "6 AWG", "colour": "red", "length": "4 ft", "count": 1}]

    rows = [
        row
        for row in of(changed("fen-survey", shelf))["spools"].rows
        if row["wire"] == "6 AWG" and row["colour"] == "red"
    ]
    assert sorted(row["spool"] for row in rows) == ["new, 1 ft", "shelf: rest"]


@pytest.mark.parametrize("name", SHIPPED)
def test_every_circuit_has_its_breaker_or_fuse(name: str) -> None:
    one, found = design(name), of(design(name))
    for system, key in (("mains", "panel"), ("dc", "fuses")):
        rows = [row for row in found[key].rows if row["number"] != "main"]
        assert [row["name"] for row in rows] == [c.name for c in one.circuits_of(system)]
        assert [row["rating_a"] for row in rows] == [c.protection for c in one.circuits_of(system)]
        assert [row["wire"] for row in rows] == [c.wire for c in one.circuits_of(system)]


def test_prices_say_who_said_them() -> None:
    def typed(raw: dict[str, Any]) -> None:
        raw["prices"] = {"kettle": 21.5, "fuse, blade, 10 A": 0.0, "a kite": 3}

    parts = of(changed("fen-survey", typed))["parts"]
    rows = {row["part"]: row for row in parts.rows}
    assert (rows["kettle"]["each"], rows["kettle"]["said"]) == (21.5, "typed by the user")
    assert (rows["fuse, blade, 10 A"]["total"], rows["fuse, blade, 10 A"]["said"]) == (0.0, "typed by the user")
    assert rows["fuse, blade, 15 A"]["said"] == "invented"
    assert (rows["task lamp"]["each"], rows["task lamp"]["said"]) == (None, "no price")
    assert parts.numbers["typed"].value == 21.5
    assert parts.missing == ("A price is typed for “a kite”, but no part is called so.",)
    invented = sum(row["total"] for row in parts.rows if row["said"] == "invented")
    assert parts.numbers["invented"].value == pytest.approx(invented)


@pytest.mark.parametrize("name", SHIPPED)
def test_every_part_stands_on_one_line(name: str) -> None:
    parts = [row["part"] for row in of(design(name))["parts"].rows]
    assert len(parts) == len(set(parts))
    cords = [row for row in of(design("fen-survey"))["parts"].rows if row["part"] == "cord, 10 AWG, 25 ft"]
    assert [(row["count"], row["use"]) for row in cords] == [(2, "shore; generator")]


def test_what_is_not_known_is_said_and_never_left_out_in_silence() -> None:
    def bare(raw: dict[str, Any]) -> None:
        raw.pop("raceway")
        raw["feeder"].pop("run")
        raw["battery"].pop("place")

    one = changed("fen-survey", bare)
    cut = of(one)["cut_list"]
    listed = {row["circuit"] for row in cut.rows}
    for circuit in one.circuits:
        assert circuit.name in listed or any(
            line.startswith(f"{circuit.name} is not on the list") for line in cut.missing
        )
    assert "The feeder is not on the list: its run is not known." in cut.missing
    assert {"roof fan", "fridge"} <= listed


def test_an_empty_trailer_has_empty_schedules() -> None:
    one = design_from({"title": "empty", "trailer": {"length": "3 m", "width": "2 m", "height": "2 m"}})
    found = of(one)
    assert all(not found[key].rows for key in ("panel", "fuses", "cut_list", "colours", "spools", "parts"))


@pytest.mark.parametrize(
    ("part", "words"),
    [({"spool": [{"name": "x", "wire": "14 AWG", "length": "10 ft", "count": 1}]}, "colour"),
     ({"spool": [{"name": "x", "wire": "14 AWG", "length": "0 ft"}]}, "above zero"),
     ({"spool": [{"name": "x", "wire": "nonsense", "length": "10 ft"}]}, "wire size"),
     ({"prices": {"kettle": "12"}}, "not a price"), ({"prices": {"kettle": -1}}, "not a price"),
     ({"prices": {"kettle": True}}, "not a price"), ({"prices": {"=1+1": 2}}, "plain text")],
)  # fmt: skip
def test_bad_spools_and_prices_are_one_sentence(part: dict[str, Any], words: str) -> None:
    with pytest.raises(tl.DesignError, match=words) as said:
        design_from({**design("one-lamp").raw, **part})
    assert "\n" not in str(said.value)
