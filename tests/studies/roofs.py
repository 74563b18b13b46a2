"""A box of 3 by 2 by 2 m whose numbers are easy by hand, with whatever openings a test asks for."""

from __future__ import annotations

from typing import Any

import trailerlib as tl

LAYERS = [["aluminium", "1 mm"], ["extruded polystyrene", "40 mm"], ["plywood", "6 mm"]]
STUDS = {
    "stud": "steel",
    "stud_width": "30 mm",
    "stud_depth": "40 mm",
    "stud_spacing": "400 mm",
    "stud_first": "200 mm",
}
ROOF = {"metal": "mild steel", "width": "30 mm", "depth": "40 mm", "wall": "2 mm", "spacing": "500 mm", "first": "250 mm",
        "ends": ["0 %", "0 %"], "shock": 2, "person": "80 kg"}  # fmt: skip


def box(openings: list[dict[str, Any]], roof: dict[str, Any] | None = None, **more: Any) -> tl.Design:
    """Bows of 30 by 40 by 2 mm tube at 0.25, 0.75 … 2.75 m; walls of 47 mm with studs at 0.2, 0.6 … 3.0 m."""
    raw = {
        "title": "Box", "units": "metric", "trailer": {"length": "3 m", "width": "2 m", "height": "2 m"},
        "use": {"sleepers": 0}, "roof": {**ROOF, **(roof or {})}, "opening": openings,
        "face": [{"name": "walls", "layers": LAYERS, **STUDS}, {"name": "roof", "layers": LAYERS}],
        **more,
    }  # fmt: skip
    raw["roof"] = {key: value for key, value in raw["roof"].items() if value is not None}
    return tl.design_from(raw)


def hole(name: str, x: float, y: float, *, wall: str = "roof", kind: str = "hatch", **more: Any) -> dict[str, Any]:
    """An opening of 400 by 400 mm with a flange of 20 mm, its middle at ``x`` and ``y``.

    Parameters
    ----------
    name : what it is called
    x : [m] the first number of its place
    y : [m] the second
    wall : on which side
    kind : what it is
    more : other keys, as in the file
    """
    asked = {"name": name, "kind": kind, "wall": wall, "at": [f"{x} m", f"{y} m"], "size": ["400 mm", "400 mm"],
             "flange": "20 mm", "headers": False}  # fmt: skip
    return {key: value for key, value in {**asked, **more}.items() if value is not None}
