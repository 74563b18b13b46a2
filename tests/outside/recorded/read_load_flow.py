"""The cases of make_load_flow.py solved by the project, to be set beside what the library found."""

from __future__ import annotations

from typing import Any

import numpy as np

from trailerlib.physics.mains_network import solve_ac
from trailerlib.physics.network import Tree
from trailerlib.physics.split_phase import solve_split_phase


def phasors(pairs: list[list[float]]) -> Any:
    """Pairs of the record as complex numbers."""
    values = np.array(pairs)
    return values[..., 0] + 1j * values[..., 1]


def two_wire(case: dict[str, Any]) -> tuple[Any, complex]:
    """Voltages of the nodes [V] and the power of the source [VA]."""
    loads = {name: phasors(case[name]) for name in ("power_va", "admittance_s", "current_a")}
    found = solve_ac(Tree.of(case["parents"]), case["emf_v"], phasors(case["impedance_ohm"]), **loads)
    assert found.converged
    return found.voltage_v, case["emf_v"] * np.conj(found.branch_current_a[0])


def two_legs(case: dict[str, Any]) -> tuple[Any, complex]:
    """Leg voltages of the nodes [V], shape (2, n), and the power of the source [VA]."""
    cords = (phasors(case[name]) for name in ("leg1_ohm", "leg2_ohm", "neutral_ohm"))
    power = (phasors(case["power1_va"]), phasors(case["power2_va"]), 0.0)
    siemens = (phasors(case["admittance1_s"]), phasors(case["admittance2_s"]), phasors(case["admittance12_s"]))
    tree = Tree.of(case["parents"])
    found = solve_split_phase(tree, case["emf_v"], *cords, power_va=power, admittance_s=siemens)
    assert found.converged
    return found.leg_v, case["emf_v"] * np.conj(found.leg_current_a[:, 0]).sum()


def differences(record: dict[str, Any]) -> dict[str, tuple[float, float]]:
    """Largest difference of a voltage, in size and angle, and of the source's power, per unit, by case."""
    out = {}
    for name, case in record["two_wire"].items():
        out[name] = _apart(two_wire(case), phasors(case["voltage_v"]), case)
    for name, case in record["two_legs"].items():
        theirs = np.stack([phasors(case["leg1_v"]), phasors(case["leg2_v"])])
        out[name] = _apart(two_legs(case), theirs, case)
    return out


def _apart(ours: tuple[Any, complex], theirs: Any, case: dict[str, Any]) -> tuple[float, float]:
    volt, source = ours
    given = complex(*case["source_va"])
    return float(np.abs(volt - theirs).max()) / case["emf_v"], abs(source - given) / abs(given)
