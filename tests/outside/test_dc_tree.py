"""The feeder against a recorded run of ngspice, which solves it by a general circuit method."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from trailerlib.physics.network import Tree, solve_dc

RECORD = json.loads((Path(__file__).parent / "recorded" / "dc_tree.json").read_text(encoding="utf-8"))


def solve() -> tuple[np.ndarray, np.ndarray]:
    found = solve_dc(
        Tree.of(RECORD["parents"]),
        RECORD["emf_v"],
        RECORD["resistance_ohm"],
        power_w=RECORD["power_w"],
        conductance_s=RECORD["conductance_s"],
        current_a=RECORD["current_a"],
    )
    assert found.converged
    return found.voltage_v, found.branch_current_a


def test_the_record_is_a_mixed_tree() -> None:
    assert len(RECORD["parents"]) >= 20
    assert all(sum(value > 0 for value in RECORD[kind]) >= 4 for kind in ("power_w", "conductance_s", "current_a"))
    assert min(RECORD["voltage_v"]) < 0.95 * RECORD["emf_v"], "too light a load to tell solvers apart"


@pytest.mark.parametrize("node", range(len(RECORD["parents"])))
def test_every_node_agrees_with_ngspice(node: int) -> None:
    """Independent: ngspice operating point. 1e-9 V: its tolerance was 1e-10; agreement reached is 2e-14 V."""
    assert solve()[0][node] == pytest.approx(RECORD["voltage_v"][node], abs=1e-9)


def test_the_battery_gives_what_ngspice_says() -> None:
    """Independent: current of the ngspice source. 1e-8 A."""
    assert solve()[1][0] == pytest.approx(RECORD["source_current_a"], abs=1e-8)
