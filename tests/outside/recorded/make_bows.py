"""Write tests/outside/recorded/bows.json: bows, rails and a cut bow by PyNite, a general finite-element library.

Run from the root of the project by a Python that has it (``pip install PyNiteFEA``):
``python tests/outside/recorded/make_bows.py [file]``. Nothing of the project is imported, so that the record stays
independent of it. Newtons and metres. Bows lie along X, rails along Z; E is 1 and G is 1 here, so that a section's
second moment is E I and its J is G J.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

RECORD = Path(__file__).parent / "bows.json"
WIDE = 1e7  # what a section does not bend or stretch with here


def bow(at: float, ei: float, ends: tuple[float | None, float | None] = (0.0, 0.0), **more: Any) -> dict[str, Any]:
    """A bow of 2.03 m; ``ends`` are rotational springs [N m/rad], None where it is clamped."""
    return {"at": at, "span": 2.03, "ei": ei, "ends": ends, "own": [], "per_m": 0.0, "cut": False, "gj": 0.0, **more}


def rails(ei: float, begin: float, end: float) -> dict[str, Any]:
    return {"across": [0.84, 1.20], "ei": ei, "begin": begin, "end": end}


FEET = [[0, 110.0, 0.25], [0, 110.0, 0.61], [1, 110.0, 0.25], [1, 110.0, 0.61]]
ASKEW = [[0, 170.0, 0.25], [0, 40.0, 0.61], [1, 90.0, 0.30], [1, 140.0, 0.70]]

# a name: bows, rails, forces on them (rail, newtons, place), uniform load on them (both rails, from, to)
CASES: dict[str, tuple[list[dict[str, Any]], dict[str, Any] | None, list[list[float]], list[float] | None]] = {
    "a pinned bow with three loads": ([bow(0, 2960, own=[[147, 0.31], [98, 0.97], [220, 1.66]], per_m=43)], None, [], None),
    "a clamped bow with three loads": (
        [bow(0, 2960, (None, None), own=[[147, 0.31], [98, 0.97], [220, 1.66]], per_m=43)], None, [], None,
    ),
    "a bow between two springs": ([bow(0, 2960, (1900, 7400), own=[[147, 0.31], [98, 0.97]], per_m=43)], None, [], None),
    "a bow clamped and pinned": ([bow(0, 1100, (None, 0.0), own=[[250, 1.2]])], None, [], None),
    "three bows alike": ([bow(0.41 * i, 2960) for i in range(3)], rails(2960, 0.0, 0.82), FEET, None),
    "three unlike bows, askew": (
        [bow(0, 2960, (900, 0)), bow(0.41, 1480, (0, 2500), per_m=31), bow(0.86, 5200, own=[[75, 0.5]])],
        rails(700, 0.0, 0.86), ASKEW, None,
    ),
    "five bows that resist twist, rails that stand out": (
        [bow(0.1 + 0.3 * i, 1480 + 300 * i, (800, 1700), gj=410) for i in range(5)],
        rails(1900, 0.0, 1.05), [*ASKEW, [1, 60.0, 1.0], [0, 35.0, 0.02]], [120.0, 60.0, 0.05, 0.77],
    ),
    "a cut bow between hinges": (
        [bow(0, 2960), bow(0.41, 2960, cut=True, own=[[90, 0.6], [50, 1.5]], per_m=55), bow(0.82, 2960)],
        rails(1480, 0.0, 0.82), FEET, None,
    ),
    "two cut bows between springs": (
        [bow(0, 2960, (800, 800)), bow(0.41, 2960, (1200, 2600), cut=True, per_m=55),
         bow(0.80, 2960, (None, 2600), cut=True, own=[[90, 0.6]]), bow(1.3, 1900, per_m=20)],
        rails(4100, 0.0, 1.3), ASKEW, [80.0, 80.0, 0.2, 0.9],
    ),
}  # fmt: skip


class Frame:
    """One case as a model of the library."""

    def __init__(self, bows: list[dict[str, Any]], rail: dict[str, Any] | None) -> None:
        from Pynite import FEModel3D

        self.model, self.bows, self.rail = FEModel3D(), bows, rail
        self.model.add_material("unit", 1.0, 1.0, 0.3, 0.0)
        for i, each in enumerate(bows):
            self.lay_bow(i, each)
        if rail:
            for r in (0, 1):
                self.lay_rail(r)

    def lay_bow(self, i: int, each: dict[str, Any]) -> None:
        """Nodes from wall to wall; a cut one ends in hinges where the rails are."""
        model, last = self.model, each["span"]
        reached = self.rail and self.rail["begin"] <= each["at"] <= self.rail["end"]
        xs = [0.0, *(self.rail["across"] if reached and self.rail else []), last]
        for n, x in enumerate(xs):
            model.add_node(f"B{i}.{n}", x, 0, each["at"])
        model.add_section(f"bow{i}", WIDE, WIDE, each["ei"], each["gj"])
        for n in range(len(xs) - 1):
            if each["cut"] and n == 1:
                continue
            model.add_member(f"b{i}.{n}", f"B{i}.{n}", f"B{i}.{n + 1}", "unit", f"bow{i}")
            if each["per_m"]:
                model.add_member_dist_load(f"b{i}.{n}", "Fy", -each["per_m"], -each["per_m"])
            for newtons, x in each["own"]:
                if xs[n] <= x < xs[n + 1]:
                    model.add_member_pt_load(f"b{i}.{n}", "Fy", -newtons, x - xs[n])
        if each["cut"]:
            model.def_releases(f"b{i}.0", Rzj=True)
            model.def_releases(f"b{i}.2", Rzi=True)
            for n in (1, 2):
                model.def_support(f"B{i}.{n}", False, False, False, False, False, True)
        for n, spring in ((0, each["ends"][0]), (len(xs) - 1, each["ends"][1])):
            model.def_support(f"B{i}.{n}", True, True, True, True, True, spring is None)
            if spring:
                model.def_support_spring(f"B{i}.{n}", "RZ", spring)

    def stops(self) -> list[tuple[float, int | None]]:
        """Where a rail has a node, and the bow it lies on there."""
        rail = self.rail or {}
        on = [(each["at"], i) for i, each in enumerate(self.bows) if rail["begin"] <= each["at"] <= rail["end"]]
        places = {at for at, _ in on}
        out = [(at, None) for at in (rail["begin"], rail["end"]) if at not in places]
        return sorted([*on, *out], key=lambda stop: stop[0])

    def lay_rail(self, r: int) -> None:
        model, rail = self.model, self.rail or {}
        model.add_section(f"rail{r}", WIDE, WIDE, rail["ei"], 1.0)
        names = []
        for n, (at, i) in enumerate(self.stops()):
            if i is None:
                model.add_node(f"R{r}.{n}", rail["across"][r], 0, at)
                model.def_support(f"R{r}.{n}", True, False, True, False, True, True)
            names.append(f"R{r}.{n}" if i is None else f"B{i}.{r + 1}")
        for n in range(len(names) - 1):
            model.add_member(f"r{r}.{n}", names[n], names[n + 1], "unit", f"rail{r}")
            model.def_releases(f"r{r}.{n}", Rxi=True)

    def load(self, forces: list[list[float]], spread: list[float] | None) -> None:
        stops = [at for at, _ in self.stops()] if self.rail else []
        for n, (low, high) in enumerate(zip(stops, stops[1:], strict=False)):
            for r, newtons, at in forces:
                if low <= at < high:
                    self.model.add_member_pt_load(f"r{int(r)}.{n}", "Fy", -newtons, at - low)
            for r in (0, 1) if spread else ():
                begin, end = max(low, spread[2]) - low, min(high, spread[3]) - low
                if end > begin:
                    self.model.add_member_dist_load(f"r{r}.{n}", "Fy", -spread[r], -spread[r], begin, end)

    def solve(self) -> dict[str, Any]:
        self.model.analyze(check_statics=False)
        nodes, members, combo = self.model.nodes, self.model.members, "Combo 1"

        def most(start: str, of: str, axis: str) -> float:
            mine = [member for name, member in members.items() if name.startswith(start)]
            return max(
                abs(float(getattr(member, f"{side}_{of}")(axis, combo))) for member in mine for side in ("max", "min")
            )

        wall, sag = [], []
        for i, _ in enumerate(self.bows):
            mine = sorted(name for name in nodes if name.startswith(f"B{i}."))
            wall.append([float(nodes[name].RxnFY[combo]) for name in (mine[0], mine[-1])])
            sag.append([-float(nodes[name].DY[combo]) for name in mine[1:-1]])
        count = range(len(self.bows))
        return {
            "wall": wall,
            "sag": sag,
            "bow_moment": [most(f"b{i}.", "moment", "Mz") for i in count],
            "bow_shear": [most(f"b{i}.", "shear", "Fy") for i in count],
            "bow_sag": [most(f"b{i}.", "deflection", "dy") for i in count],
            "rail_moment": [most(f"r{r}.", "moment", "Mz") for r in (0, 1)] if self.rail else [],
            "rail_sag": [most(f"r{r}.", "deflection", "dy") for r in (0, 1)] if self.rail else [],
        }


def run() -> dict[str, Any]:
    """All cases, with what went in and what came out."""
    import Pynite

    found: dict[str, Any] = {"solver": f"PyNiteFEA {getattr(Pynite, '__version__', '')}".strip(), "cases": {}}
    for name, (bows, rail, forces, spread) in CASES.items():
        frame = Frame(bows, rail)
        frame.load(forces, spread)
        found["cases"][name] = {"bows": bows, "rails": rail, "force": forces, "spread": spread, **frame.solve()}
    return found


if __name__ == "__main__":
    file = Path(sys.argv[1]) if len(sys.argv) > 1 else RECORD
    file.write_text(json.dumps(run(), indent=1) + "\n", encoding="utf-8")
