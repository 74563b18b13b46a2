"""The record of bows and rails beside what this project computes for the same roofs."""

from __future__ import annotations

from typing import Any

import numpy as np

from tests.end_springs import fixity_of_spring
from trailerlib.physics import beam
from trailerlib.physics.beam import Bow, Loads
from trailerlib.physics.bending import Largest
from trailerlib.physics.roof import RailLoads, Rails, RoofBow, carry


def roof_bow(each: dict[str, Any]) -> RoofBow:
    """A bow of the record; an end without a spring is clamped."""
    ends = [1.0 if k is None else float(fixity_of_spring(k, each["ei"], each["span"])) for k in each["ends"]]
    own = np.array(each["own"], dtype=float).reshape(-1, 2)
    bow = Bow(each["span"], each["ei"], *ends)
    return RoofBow(each["at"], bow, Loads(own[:, 0], own[:, 1], each["per_m"]), each["cut"], each["gj"])


def rail_loads(case: dict[str, Any]) -> RailLoads:
    force = np.zeros((2, len(case["force"])))
    for n, (rail, newtons, _) in enumerate(case["force"]):
        force[int(rail), n] = newtons
    at = np.array([place for _, _, place in case["force"]])
    if not case["spread"]:
        return RailLoads(force, at)
    return RailLoads(force, at, np.array(case["spread"][:2]), (case["spread"][2], case["spread"][3]))


def ours(case: dict[str, Any]) -> dict[str, Any]:
    """What the project computes, under the names of the record."""
    bows = [roof_bow(each) for each in case["bows"]]
    if not case["rails"]:
        (one,) = bows
        walls = [[float(n) for n in beam.solved(one.bow, one.own).reactions_n()]]
        alone = Largest.side_by_side([beam.solved(one.bow, one.own).pieces().largest()])
        return {"wall": walls, **_of_bows(alone)}
    rails = case["rails"]
    found = carry(bows, Rails(tuple(rails["across"]), rails["ei"], rails["begin"], rails["end"]), rail_loads(case))
    reached = [bool(mine) for mine in case["sag"]]
    return {
        "wall": found.wall_n.tolist(),
        "sag": [sag if here else [] for sag, here in zip(found.sag_m.tolist(), reached, strict=True)],
        **_of_bows(found.bows),
        "rail_moment": np.abs(found.rails.moment_nm).tolist(),
        "rail_sag": np.abs(found.rails.deflection_m).tolist(),
    }


def _of_bows(found: Largest) -> dict[str, Any]:
    return {
        "bow_moment": np.abs(found.moment_nm).tolist(),
        "bow_shear": np.abs(found.shear_n).tolist(),
        "bow_sag": np.abs(found.deflection_m).tolist(),
    }


def differences(record: dict[str, Any]) -> dict[str, tuple[float, float]]:
    """Of each case the largest difference over the largest value of its kind: of what is exact in both, and of the
    largest sag, which the library looks for at twenty places along each member."""
    found = {}
    for name, case in record["cases"].items():
        apart = {key: _apart(case[key], values) for key, values in ours(case).items()}
        sampled = ("bow_sag", "rail_sag")
        found[name] = (
            max(value for key, value in apart.items() if key not in sampled),
            max(value for key, value in apart.items() if key in sampled),
        )
    return found


def _apart(theirs: list[Any], mine: list[Any]) -> float:
    one, other = (np.hstack([np.atleast_1d(row) for row in values]) for values in (theirs, mine))
    return float(np.max(np.abs(one - other)) / np.max(np.abs(one)))
