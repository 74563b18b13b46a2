"""A few trailers drawn at random; ``python -m tests.rough.designs`` assesses ten thousand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

import trailerlib as tl
from tests.rough import held
from tests.rough.drawn import designs

FEW = 40


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("drawn")


@given(designs())
@settings(max_examples=FEW, deadline=None, suppress_health_check=list(HealthCheck))
def test_any_valid_trailer_is_assessed_and_its_answers_hold(folder: Path, raw: dict[str, Any]) -> None:
    held.check(raw, folder, deep=len(str(raw)) % 4 == 0)


@given(designs())
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_all_that_is_drawn_is_valid(raw: dict[str, Any]) -> None:
    tl.design_from(raw)


def test_what_is_drawn_has_every_part_and_lacks_every_part() -> None:
    """The draw would prove little if a section never came, or always did."""
    from tests.rough.designs import drawn

    seen: list[dict[str, Any]] = []
    drawn(150, 5, lambda raw, number: seen.append(raw))
    keys = {alias for name, field in tl.Design.model_fields.items() for alias in (field.alias or name,)}
    always, never_lacking = {"title", "trailer", "units", "practice"}, {"title", "trailer", "units", "practice"}
    for key in keys:
        there = sum(key in raw for raw in seen)
        assert there > 0, key
        assert there < len(seen) or key in never_lacking, key
    assert always <= set(seen[0])
    classes = {load["class"] for raw in seen for load in raw.get("load", ())}
    assert len(classes) > 25
    assert {raw["battery"]["chemistry"] for raw in seen if "battery" in raw} == {"flooded", "agm", "gel", "lfp"}
    assert {raw["practice"] for raw in seen} == {"north-america", "iec"} and {raw["units"] for raw in seen} == {
        "us",
        "metric",
    }


@pytest.mark.parametrize("name", sorted(tl.shipped_trailers()))
def test_the_shipped_trailers_hold_too(name: str, tmp_path: Path) -> None:
    held.check(dict(tl.read_design(tl.shipped_trailers()[name]).raw), tmp_path, deep=True)
