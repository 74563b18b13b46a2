"""The feeder against ngspice as it is installed here. Without ngspice this fails: a check not made is not a pass."""

from __future__ import annotations

import importlib.util
import json
from pathlib import Path
from typing import Any

import pytest

from trailerlib.physics.network import Tree, solve_dc

RECORDED = Path(__file__).parents[1] / "outside" / "recorded"


@pytest.fixture(scope="module", params=["dc_tree", "dc_tree_long"])
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def fresh(name: str) -> dict[str, Any]:
    spec = importlib.util.spec_from_file_location("make_dc_tree", RECORDED / "make_dc_tree.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    try:
        return dict(module.run(module.BRANCHES if name == "dc_tree" else module.long_branches()))
    except FileNotFoundError:
        pytest.fail("ngspice is not installed; install it to run the live checks.")


def test_ngspice_agrees_with_the_solver(fresh: dict[str, Any]) -> None:
    """Independent: ngspice run now. 1e-6 V covers any build of it."""
    loads = {name: fresh[name] for name in ("power_w", "conductance_s", "current_a")}
    found = solve_dc(Tree.of(fresh["parents"]), fresh["emf_v"], fresh["resistance_ohm"], **loads)
    assert found.voltage_v == pytest.approx(fresh["voltage_v"], abs=1e-6)
    assert found.branch_current_a[0] == pytest.approx(fresh["source_current_a"], abs=1e-5)


def test_the_record_is_what_the_script_writes(name: str, fresh: dict[str, Any]) -> None:
    record = json.loads((RECORDED / f"{name}.json").read_text(encoding="utf-8"))
    assert set(record) == set(fresh)
    for key in ("emf_v", "parents", "resistance_ohm", "power_w", "conductance_s", "current_a"):
        assert record[key] == fresh[key], f"{key} changed: run make_dc_tree.py again"
    assert record["voltage_v"] == pytest.approx(fresh["voltage_v"], abs=1e-6)
