"""Write tests/outside/recorded/sections.json: sections of bows by sectionproperties, a finite-element section library.

Run from the root of the project by a Python that has it (``pip install sectionproperties``):
``python tests/outside/recorded/make_sections.py [file]``. Nothing of the project is imported, so that the record stays
independent of it. Millimetres, sharp corners; the outline is given as points, level and upright.
"""

from __future__ import annotations

import json
import sys
from importlib.metadata import version
from pathlib import Path
from typing import Any

RECORD = Path(__file__).parent / "sections.json"
Points = list[tuple[float, float]]


def box(width: float, depth: float, left: float = 0.0, low: float = 0.0) -> Points:
    return [(left, low), (left + width, low), (left + width, low + depth), (left, low + depth)]


def hat(top: float, depth: float, flange: float, sheet: float) -> Points:
    """Flanges down, the foot of its web within each flange; from the outer end of the left one round."""
    reach = flange - sheet  # how far a flange stands out beyond the web
    left, right = reach, reach + top
    return [
        (0, 0), (left + sheet, 0), (left + sheet, depth - sheet), (right - sheet, depth - sheet), (right - sheet, 0),
        (right + reach, 0), (right + reach, sheet), (right, sheet), (right, depth), (left, depth), (left, sheet), (0, sheet),
    ]  # fmt: skip


# a name: the shape and its sizes as the project names them, its outline and its hole
CASES: dict[str, tuple[str, list[float], Points, Points]] = {
    "1 x 1-1/2 in tube": ("tube", [25.4, 38.1, 1.651], box(25.4, 38.1), box(22.098, 34.798, 1.651, 1.651)),
    "30 x 40 x 2 tube": ("tube", [30, 40, 2], box(30, 40), box(26, 36, 2, 2)),
    "3/4 x 1 in bar": ("rectangle", [19.05, 25.4], box(19.05, 25.4), []),
    "hat": ("hat", [38.1, 25.4, 19.05, 1.5], hat(38.1, 25.4, 19.05, 1.5), []),
    "wide hat": ("hat", [60, 30, 25, 1.2], hat(60, 30, 25, 1.2), []),
}


def solve(outline: Points, hole: Points) -> dict[str, float]:
    """Area, height of the level axis, second moment and the smaller modulus about it."""
    from sectionproperties.analysis import Section
    from sectionproperties.pre import Geometry
    from shapely import Polygon

    geometry = Geometry(Polygon(outline, [hole] if hole else None))
    geometry.create_mesh(mesh_sizes=[50.0])
    section = Section(geometry)
    section.calculate_geometric_properties()
    moduli = section.get_z()
    return {
        "area": float(section.get_area()), "axis": float(section.get_c()[1]), "second": float(section.get_ic()[0]),
        "modulus": float(min(moduli[:2])),
    }  # fmt: skip


def run() -> dict[str, Any]:
    """All cases, with what went in and what came out."""
    found: dict[str, Any] = {"solver": f"sectionproperties {version('sectionproperties')}", "cases": {}}
    for name, (shape, sizes, outline, hole) in CASES.items():
        found["cases"][name] = {"shape": shape, "sizes": sizes, **solve(outline, hole)}
    return found


if __name__ == "__main__":
    file = Path(sys.argv[1]) if len(sys.argv) > 1 else RECORD
    file.write_text(json.dumps(run(), indent=1) + "\n", encoding="utf-8")
