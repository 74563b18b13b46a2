"""The mains feeders against recorded runs of pandapower, which solves them by a general power-flow method."""

from __future__ import annotations

import importlib.util
import json
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from check import Check, each

from trailerlib.physics.impedance import effective_drop_v
from trailerlib.reference import table

RECORDED = Path(__file__).parent / "recorded"
RECORD = json.loads((RECORDED / "load_flow.json").read_text(encoding="utf-8"))
NAMES = [*RECORD["two_wire"], *RECORD["two_legs"]]


def module(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, RECORDED / f"{name}.py")
    assert spec is not None and spec.loader is not None
    loaded = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(loaded)
    return loaded


READ = module("read_load_flow")
DIFFERENCES = READ.differences(RECORD)


def some(case: dict[str, Any], name: str) -> int:
    return int(np.count_nonzero(READ.phasors(case[name])))


def test_the_record_holds_what_can_tell_solvers_apart() -> None:
    five, ten, mixed, _ = RECORD["two_wire"].values()
    assert (
        len(five["parents"]) >= 5
        and some(five, "power_va") >= 4
        and np.ptp(np.angle(READ.phasors(five["power_va"]))) > 0.5
    )
    assert len(ten["parents"]) >= 8 and some(ten, "admittance_s") >= 5 and not some(ten, "power_va")
    assert all(some(mixed, kind) >= 3 for kind in ("power_va", "admittance_s", "current_a"))
    for case in (five, ten, mixed):
        assert np.abs(READ.phasors(case["voltage_v"])).min() < 0.97 * case["emf_v"], "too light a load"
    (legs,) = RECORD["two_legs"].values()
    first, second = (np.abs(READ.phasors(legs[name])) / legs["emf_v"] for name in ("leg1_v", "leg2_v"))
    assert first.min() < 0.95 and second.max() > 1.0, "the neutral must lift the light leg above the source"


@pytest.mark.parametrize("name", NAMES)
def test_every_node_agrees_with_pandapower(name: str) -> None:
    """Independent: pandapower. 1e-9 per unit: its tolerance was 1e-6 VA; agreement reached is below 1e-12."""
    assert DIFFERENCES[name][0] < 1e-9


@pytest.mark.parametrize("name", NAMES)
def test_the_source_gives_what_pandapower_says(name: str) -> None:
    """Independent: power of the library's source, losses included. 1e-8: as above."""
    assert DIFFERENCES[name][1] < 1e-8


# NFPA 70 chapter 9 table 9, effective Z at 0.85 power factor, uncoated copper in PVC conduit, ohm per 1000 ft
EFFECTIVE_Z = {"14": 2.7, "12": 1.7, "10": 1.1, "8": 0.69, "6": 0.44, "4": 0.29, "3": 0.23, "2": 0.19, "1": 0.16,
               "1/0": 0.13, "2/0": 0.11, "3/0": 0.088, "4/0": 0.074}  # fmt: skip


@each(
    [
        Check(
            f"effective impedance of {awg}",
            lambda awg=awg: effective_drop_v(  # type: ignore[misc]
                1.0,
                table("nec_table9_ac").number("r_ohm_per_kft", awg=awg),
                table("nec_table9_ac").number("x_ohm_per_kft", awg=awg),
                0.85,
            ),
            value,
            6e-2,
            "two printed figures in R and in Z: 5.2 % at 1 AWG, where R 0.15 may be 0.1549",
            "NFPA 70 chapter 9 table 9, column of effective Z at 0.85 power factor, from memory",
            "from memory",
        )
        for awg, value in EFFECTIVE_Z.items()
    ]
)
def test_effective_impedance_at_the_tables_power_factor(check: Check) -> None:
    check.hold()


def test_effective_impedance_as_a_whole() -> None:
    """From memory: the same column together; what rounding does to one row it does not do to their mean. 1.5 %."""
    rows = table("nec_table9_ac")
    ours = np.asarray(effective_drop_v(1.0, rows.floats("r_ohm_per_kft"), rows.floats("x_ohm_per_kft"), 0.85))
    assert np.mean(ours / np.array([EFFECTIVE_Z[row["awg"]] for row in rows.rows])) == pytest.approx(1.0, abs=1.5e-2)
