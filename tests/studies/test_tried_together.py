"""Supplies, cases and sizes that are solved in one call say what each says alone."""

from __future__ import annotations

from typing import Any

import pytest
from behind import solved
from random_designs import random_design, random_mains

import trailerlib as tl
from trailerlib.studies import mains_side as ms
from trailerlib.studies.wire_choice import Choice

MAINS = ["roof cooler", "outdoor road side", "bench outlets", "charger"]


def choice(design: tl.Design, name: str, looked_at: str | None) -> Choice:
    runs = tl.study("wiring", design, circuit=looked_at).picture.runs
    found: Choice = next(run for run in runs if run.circuit.name == name).choice
    return found


def same(design: tl.Design, name: str) -> None:
    """The sizes tried in the call that solves the side, and those tried for themselves."""
    beside, alone = choice(design, name, name), choice(design, name, None)
    assert beside.drops_by_wire == pytest.approx(alone.drops_by_wire, rel=1e-6, nan_ok=True)
    assert (beside.smallest, beside.binding, beside.unguarded) == (alone.smallest, alone.binding, alone.unguarded)


@pytest.mark.parametrize("seed", range(12))
def test_sizes_tried_beside_the_side_itself_are_those_tried_alone(demo: tl.Design, seed: int) -> None:
    dc = random_design(demo, 8000 + seed)
    names = [circuit.name for circuit in dc.circuits if circuit.system == "dc"]
    same(dc, names[seed % len(names)])
    same(random_mains(demo, 8000 + seed), MAINS[seed % len(MAINS)])


@pytest.mark.parametrize("circuit", ["kiln", "front cooler", "wheel bench", "charger"])
def test_so_they_are_where_two_legs_arrive_on_some_supplies(circuit: str) -> None:
    same(tl.read_design(tl.shipped_trailers()["kiln-cart"]), circuit)


def test_a_circuit_without_a_run_is_tried_nowhere(demo: tl.Design) -> None:
    lost = demo.replace_all({("circuit", "roof cooler", "to"): None, ("load", "roof cooler", "place"): None})
    assert choice(lost, "roof cooler", "roof cooler").drops_by_wire == {}
    same(lost, "bench outlets")


def numbers(side: ms.MainsSide) -> dict[str, Any]:
    said = {f"{name} {key}": getattr(branch, key) for name, branch in side.branches.items()
            for key in ("current_a", "asked_a", "wire_c", "drop", "total_drop", "end_v")}  # fmt: skip
    panel = {f"panel {leg}": volts for leg, volts in enumerate(side.panel_v)}
    return said | panel | {"cord": side.cord_c, "neutral": side.neutral_a} | dict(side.load_v)


@pytest.mark.parametrize("seed", range(8))
def test_supplies_solved_together_answer_as_each_alone(demo: tl.Design, seed: int) -> None:
    cart = tl.read_design(tl.shipped_trailers()["kiln-cart"]).replace(
        "supply.yard 30 A.cord_run", f"{20 + 30 * seed} ft"
    )
    for design in (random_mains(demo, 9000 + seed), cart):
        for side in ms.solve(design, design.supplies):
            assert numbers(side) == pytest.approx(numbers(solved(design, side.supply.name)), rel=1e-10, abs=1e-10)
