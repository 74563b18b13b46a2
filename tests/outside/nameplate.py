"""The code letter on the nameplate of a motor, as NFPA 70 reads it."""

from __future__ import annotations


def locked_rotor_a(kva_per_hp: float, horsepower: float, volts: float) -> float:
    """Current [A] of a single-phase motor that stands still: NFPA 70 (2023) 430.7(B)."""
    return 1000.0 * kva_per_hp * horsepower / volts
