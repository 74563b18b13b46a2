"""Fit all circuits: nothing speaks against what it proposes, few sizes, settled, and no more copper than by trying all."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from typing import Any

import by_hand
import pytest
from brute_force import FUSE_RULES, WIRE_RULES, against, battery_side_only, judged, ratings
from random_designs import DC, SIZES, random_design

import trailerlib as tl
from trailerlib.studies.fit import MOST_SIZES, Fit, fit

RULES = (*FUSE_RULES, *WIRE_RULES)


def proposed(found: Fit) -> dict[str, tuple[str, float]]:
    """Wire and fuse of every circuit for which there is a proposal."""
    return {
        one.circuit: (one.wire, one.fuse_a) for one in found.circuits if one.wire is not None and one.fuse_a is not None
    }


def area(wire: str) -> float:
    return by_hand.cell("tables/wire_awg", "area_mm2", awg=wire.removesuffix(" AWG"))


def copper(design: tl.Design, wires: dict[str, str]) -> float:
    """Copper of some circuits [mm² m]: all the cable that is laid for each, there and back alike."""
    metres = {c["name"]: sum(piece.metres for piece in by_hand.pieces(design.raw, c)) for c in design.raw["circuit"]}
    return sum(metres[name] * area(wire) for name, wire in wires.items())


@pytest.mark.parametrize("seed", range(40))
def test_nothing_speaks_against_what_it_proposes(demo: tl.Design, seed: int) -> None:
    """Every circuit that it could fit, judged in the fitted design by every rule that bears on a wire or its fuse."""
    design = battery_side_only(demo if seed == 0 else random_design(demo, 2000 + seed))
    found = fit(design)
    for name, pair in proposed(found).items():
        circuit = found.design.circuit(name)
        assert (circuit.wire, circuit.protection) == pair
        words, _ = judged(found.design, name)
        assert against(words, RULES) == [], (name, pair)
    for one in found.circuits:
        if one.wire is None:
            assert one.reason and not one.changes
            was = design.circuit(one.circuit)
            assert (found.design.circuit(one.circuit).wire, found.design.circuit(one.circuit).protection) == (
                was.wire, was.protection,
            )  # fmt: skip


@pytest.mark.parametrize("seed", range(20))
def test_it_is_settled(demo: tl.Design, seed: int) -> None:
    """Fitted once more nothing changes, and it says so."""
    found = fit(battery_side_only(demo if seed == 0 else random_design(demo, 3000 + seed)))
    again = fit(found.design)
    assert again.design.model_dump() == found.design.model_dump()
    assert not any(one.changes for one in again.circuits)
    assert again.sentence.startswith(f"0 of {len(found.circuits)} circuits change")


@pytest.mark.parametrize("seed", range(20))
def test_few_sizes_to_buy(demo: tl.Design, seed: int) -> None:
    """Three would always do here, since the thickest that some circuit needs does for the others behind their fuses."""
    found = fit(battery_side_only(demo if seed == 0 else random_design(demo, 4000 + seed)))
    wires = {wire for wire, _ in proposed(found).values()}
    assert len(wires) <= MOST_SIZES == 3
    assert found.sizes == tuple(sorted(wires, key=SIZES.index))


def test_the_demo_in_one_size_in_two_and_in_many(demo: tl.Design) -> None:
    design = battery_side_only(demo)
    spent = []
    for most in (1, 2, 3, 6):
        found = fit(design, most)
        assert len(found.sizes) <= most
        assert set(proposed(found)) == set(DC)
        spent.append(copper(found.design, {name: wire for name, (wire, _) in proposed(found).items()}))
    assert spent == sorted(spent, reverse=True)
    assert spent[0] > spent[-1], "more sizes to choose from save copper"


def only(design: tl.Design, kept: tuple[str, ...]) -> tl.Design:
    """The battery side with some circuits alone."""
    raw = dict(battery_side_only(design).raw)
    raw["circuit"] = [circuit for circuit in raw["circuit"] if circuit["name"] in kept]
    raw["load"] = [load for load in raw["load"] if load["circuit"] in kept]
    return tl.design_from(raw)


def midway(design: tl.Design, circuit: str, thin: str, thick: str, amps: str) -> tl.Design:
    """The limit of a circuit's drop between what a size and the next one lose behind the same fuse."""
    lost = []
    for wire in (thin, thick):
        tried = design.replace_all({f"circuit.{circuit}.wire": wire, f"circuit.{circuit}.protection": amps})
        (run,) = [run for run in tl.study("wiring", tried).picture.runs if run.circuit.name == circuit]
        lost.append(run.drop)
    return design.replace(f"circuit.{circuit}.drop_limit", f"{50 * sum(lost):.4f} %")


def three_of_the_demo(demo: tl.Design) -> tl.Design:
    return only(demo, ("ceiling lights", "work lights", "fridge"))


def close_call(demo: tl.Design) -> tl.Design:
    """The tapped outlets need 12, the fan 14, the work lights 10 AWG, and two sizes are to be bought.

    All the cable of the outlets is 418 in, their far end 236 in away; the fan's 42 ft lie between the two once they are
    weighed with the areas. Counted by its far end the outlets would go up to 10 AWG, counted by its cable the fan to 12.
    """
    design = only(demo, ("usb", "roof fan", "work lights")).replace_all({
        "circuit.roof fan.run": "42 ft", "circuit.roof fan.bundle": 2, "load.roof fan.power": "24 W",
        "load.USB at the bench.power": "30 W", "load.USB at the bunk.power": "30 W",
    })  # fmt: skip
    needs = {
        "roof fan": ("16 AWG", "14 AWG", "7.5 A"),
        "usb": ("14 AWG", "12 AWG", "15 A"),
        "work lights": ("12 AWG", "10 AWG", "20 A"),
    }
    for circuit, (thin, thick, amps) in needs.items():
        design = midway(design, circuit, thin, thick, amps)
    for circuit, (_, thick, _) in needs.items():
        (run,) = [run for run in tl.study("wiring", design).picture.runs if run.circuit.name == circuit]
        assert run.choice.pair.wire == thick
    return design


@pytest.mark.parametrize("make", [three_of_the_demo, close_call])
def test_no_way_takes_less_copper(demo: tl.Design, make: Callable[[tl.Design], tl.Design]) -> None:
    """Three circuits, every size for each that does with some fuse while the others are as fitted: all combinations
    of at most two sizes, tried one by one in the whole design."""
    design = make(demo)
    kept = tuple(circuit.name for circuit in design.circuits)
    found = fit(design, 2)
    ours = copper(found.design, {name: wire for name, (wire, _) in proposed(found).items()})
    assert len(proposed(found)) == 3
    works: dict[str, dict[str, float]] = {name: {} for name in kept}
    for name in kept:
        for wire, amps in product(SIZES[:6], ratings("blade")):
            changes = {("circuit", name, "wire"): wire, ("circuit", name, "protection"): f"{amps:g} A"}
            words, _ = judged(found.design.replace_all(changes), name)
            if not against(words, (*RULES, "low-voltage-table")):
                works[name].setdefault(wire, amps)
    tried = 0
    for ways in product(*(does.items() for does in works.values())):
        wires = {name: wire for name, (wire, _) in zip(kept, ways, strict=True)}
        if len(set(wires.values())) > 2:
            continue
        tried += 1
        if copper(design, wires) < ours - 1e-9:
            changes = {}
            for name, (wire, amps) in zip(kept, ways, strict=True):
                changes |= {("circuit", name, "wire"): wire, ("circuit", name, "protection"): f"{amps:g} A"}
            whole = design.replace_all(changes)
            assert any(against(judged(whole, name)[0], RULES) for name in kept), (wires, "takes less copper and does")
    assert tried > 10


def test_what_no_wire_does_for_is_said_and_left_alone(demo: tl.Design) -> None:
    design = battery_side_only(demo).replace_all({"circuit.fridge.run": "150 ft", "circuit.fridge.drop_limit": "1 %"})
    found = fit(design)
    (fridge,) = [one for one in found.circuits if one.circuit == "fridge"]
    assert fridge.wire is None and fridge.fuse_a is None and not fridge.changes and fridge.reason == "the drop"
    assert (found.design.circuit("fridge").wire, found.design.circuit("fridge").protection) == ("12 AWG", 15.0)
    assert found.sentence.endswith("No wire does for fridge.")
    assert set(proposed(found)) == set(DC) - {"fridge"}


@pytest.mark.parametrize("gone", [
    {"site.hottest": None}, {"raceway": None}, {"battery": None}, {"feeder": None},
], ids=str)  # fmt: skip
def test_nothing_is_proposed_where_the_drop_or_the_ampacity_is_not_known(demo: tl.Design, gone: dict[str, Any]) -> None:
    design = battery_side_only(demo).replace_all(gone)
    for one in fit(design).circuits:
        words, _ = judged(design, one.circuit)
        if "not checked" in (words["wire-drop"], words["wire-ampacity"]):
            assert one.wire is None and one.reason and not one.changes


def test_the_design_that_was_passed_in_stays_as_it_was(demo: tl.Design) -> None:
    before = demo.model_dump()
    found = fit(demo)
    assert demo.model_dump() == before
    changed = sum(one.changes for one in found.circuits)
    assert changed and found.sentence.startswith(f"{changed} of {len(demo.circuits)} circuits change")
    for one in found.circuits:
        was, now = demo.circuit(one.circuit), found.design.circuit(one.circuit)
        assert (one.was_wire, one.was_fuse_a) == (was.wire, was.protection)
        assert one.changes is ((was.wire, was.protection) != (now.wire, now.protection))
        unmoved = {"wire", "protection"}
        assert was.model_dump(exclude=unmoved) == now.model_dump(exclude=unmoved)
