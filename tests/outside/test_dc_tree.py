"""The feeder against recorded runs of ngspice, which solves it by a general circuit method."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from trailerlib.physics.network import Tree, solve_dc

RECORDED = Path(__file__).parent / "recorded"
RECORDS = {
    name: json.loads((RECORDED / f"{name}.json").read_text(encoding="utf-8")) for name in ("dc_tree", "dc_tree_long")
}
NODES = [(name, node) for name, record in RECORDS.items() for node in range(len(record["parents"]))]


def solve(record: dict[str, Any]) -> tuple[np.ndarray, np.ndarray]:
    found = solve_dc(
        Tree.of(record["parents"]),
        record["emf_v"],
        record["resistance_ohm"],
        power_w=record["power_w"],
        conductance_s=record["conductance_s"],
        current_a=record["current_a"],
    )
    assert found.converged
    return found.voltage_v, found.branch_current_a


FOUND = {name: solve(record) for name, record in RECORDS.items()}


@pytest.mark.parametrize(("name", "nodes", "loads"), [("dc_tree", 20, 4), ("dc_tree_long", 40, 15)])
def test_the_record_is_a_mixed_tree(name: str, nodes: int, loads: int) -> None:
    record = RECORDS[name]
    assert len(record["parents"]) >= nodes
    assert all(sum(value > 0 for value in record[kind]) >= loads for kind in ("power_w", "conductance_s", "current_a"))
    assert min(record["voltage_v"]) < 0.95 * record["emf_v"], "too light a load to tell solvers apart"


@pytest.mark.parametrize(("name", "node"), NODES)
def test_every_node_agrees_with_ngspice(name: str, node: int) -> None:
    """Independent: ngspice operating point. 1e-9 V: its tolerance was 1e-10; agreement reached is 3e-14 V."""
    assert FOUND[name][0][node] == pytest.approx(RECORDS[name]["voltage_v"][node], abs=1e-9)


@pytest.mark.parametrize("name", RECORDS)
def test_the_battery_gives_what_ngspice_says(name: str) -> None:
    """Independent: current of the ngspice source. 1e-8 A."""
    assert FOUND[name][1][0] == pytest.approx(RECORDS[name]["source_current_a"], abs=1e-8)
