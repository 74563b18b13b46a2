"""Trailers drawn at random from a seed: the demo with other wires, runs, fuses, loads, battery or supplies."""

from __future__ import annotations

from typing import Any

import numpy as np

import trailerlib as tl

SIZES = ("18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "3 AWG", "2 AWG", "1 AWG", "1/0 AWG")  # fmt: skip
BLADES = (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40)
DC = ("ceiling lights", "entry and alarm", "work lights", "roof fan", "fridge", "usb")
MAINS = ("roof cooler", "outdoor road side", "outdoor curb side", "bench outlets", "charger")
CLASSES = ("led work light", "filament lamp", "water pump", "roof fan high", "usb outlet", "furnace blower", "breathing aid")  # fmt: skip


def random_design(demo: tl.Design, seed: int) -> tl.Design:
    """One trailer. Everything that bears on a fuse is known; some of it would never be built.

    Parameters
    ----------
    demo : the demo trailer
    seed : [-] the same seed gives the same trailer
    """
    rng = np.random.default_rng(seed)
    pick: Any = lambda choices: choices[int(rng.integers(len(choices)))]  # noqa: E731
    changes: dict[Any, Any] = {
        "battery.chemistry": pick(("flooded", "agm", "gel", "lfp")),
        "battery.capacity": f"{rng.integers(40, 300)} Ah",
        "feeder.wire": pick(("8 AWG", "6 AWG", "4 AWG", "2 AWG")),
        "feeder.run": f"{rng.integers(1, 12)} ft",
        "feeder.protection": pick((None, "60 A", "80 A", "100 A")),
        "feeder.disconnect": bool(rng.integers(2)),
        "site.hottest": f"{rng.integers(70, 120)} °F",
    }
    for name in DC:
        at = f"circuit.{name}."
        changes |= {
            at + "wire": pick(SIZES[:8]),
            at + "run": pick((None, f"{rng.integers(2, 45)} ft")),
            at + "protection": f"{pick(BLADES[3:]):g} A",
            at + "insulation": pick(("75 C", "90 C", "105 C")),
            at + "bundle": pick((None, 2, 4, 9)),
            at + "drop_limit": pick(("3 %", "5 %", "10 %")),
        }
    for load in demo.loads:
        if load.circuit in DC:
            changes[f"load.{load.name}.count"] = int(rng.integers(1, 4))
            if rng.random() < 0.5:
                changes[f"load.{load.name}.class"] = pick(CLASSES)
            changes[f"load.{load.name}.on"] = bool(rng.random() < 0.9)
    return demo.replace_all({tuple(path.split(".")): value for path, value in changes.items()})


def random_mains(demo: tl.Design, seed: int) -> tl.Design:
    """One trailer with another mains side, behind supplies with other cords and other voltages.

    Parameters
    ----------
    demo : the demo trailer
    seed : [-] the same seed gives the same trailer
    """
    rng = np.random.default_rng(seed)
    pick: Any = lambda choices: choices[int(rng.integers(len(choices)))]  # noqa: E731
    changes: dict[Any, Any] = {"site.hottest": f"{rng.integers(40, 120)} °F"}
    for supply in demo.supplies:
        changes["supply", supply.name, "cord_run"] = f"{rng.integers(15, 120)} ft"
        changes["supply", supply.name, "voltage"] = f"{rng.integers(108, 126)} V"
    for name in MAINS:
        at = ("circuit", name)
        changes |= {
            (*at, "wire"): pick(SIZES[2:8]),
            (*at, "run"): f"{rng.integers(4, 90)} ft",
            (*at, "protection"): f"{pick((15, 20, 30, 40))} A",
            (*at, "bundle"): pick((None, 2, 4, 9)),
            (*at, "drop_limit"): f"{pick((1, 2, 3, 5))} %",
        }
    for load in demo.loads:
        if load.circuit in MAINS:
            changes["load", load.name, "count"] = int(rng.integers(1, 3))
    return demo.replace_all(changes)
