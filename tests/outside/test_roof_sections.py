"""Sections of bows against a section library, as recorded."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from trailerlib.physics import sections

RECORD = json.loads((Path(__file__).parent / "recorded" / "sections.json").read_text(encoding="utf-8"))
MM = 1e-3


@pytest.mark.parametrize("name", list(RECORD["cases"]))
def test_sections_against_the_library(name: str) -> None:
    """Independent: sectionproperties as recorded, from points of the outline; 1e-9, straight edges have no spread."""
    case: dict[str, Any] = RECORD["cases"][name]
    found = getattr(sections, case["shape"])(*(MM * size for size in case["sizes"]))
    assert found.area_m2 == pytest.approx(case["area"] * MM**2, rel=1e-9), RECORD["solver"]
    assert found.axis_m == pytest.approx(case["axis"] * MM, rel=1e-9)
    assert found.second_m4 == pytest.approx(case["second"] * MM**4, rel=1e-9)
    assert found.modulus_m3 == pytest.approx(case["modulus"] * MM**3, rel=1e-9)


def test_every_shape_of_a_bow_is_among_them() -> None:
    assert {case["shape"] for case in RECORD["cases"].values()} == {"tube", "rectangle", "hat"}
