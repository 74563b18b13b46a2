"""The published schema: every snapshot fits it, and what is no snapshot does not."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from trailerlib import reference
from trailerlib.buildfile import binder
from trailerlib.buildfile.snapshot import KEYS, inside_unit
from trailerlib.design.design import Design, design_from
from trailerlib.design.files import read_design, shipped_trailers
from trailerlib.design.reading import Reading, Readings
from trailerlib.studies.closing.sheet import sheet_of

DAY = "2026-11-25"


@pytest.fixture(scope="module")
def schema() -> dict[str, Any]:
    found: dict[str, Any] = json.loads((reference.data_root() / "schema" / "snapshot.json").read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(found)
    return found


def problems(schema: dict[str, Any], tree: Any) -> list[str]:
    found = Draft202012Validator(schema).iter_errors(tree)
    return [f"{'.'.join(map(str, error.absolute_path))}: {error.message[:120]}" for error in found]


def tree_of(design: Design, readings: Readings | None = None) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(binder.parts(design, DAY, readings)["snapshot"])
    return found


@pytest.mark.parametrize("name", sorted(shipped_trailers()))
def test_every_shipped_trailer_fits(schema: dict[str, Any], name: str) -> None:
    assert problems(schema, tree_of(read_design(shipped_trailers()[name]))) == []


def test_an_empty_trailer_and_one_that_was_measured_fit(schema: dict[str, Any], demo: Design) -> None:
    empty = design_from({"title": "empty", "trailer": {"length": "3 m", "width": "2 m", "height": "2 m"}})
    assert problems(schema, tree_of(empty)) == []
    lines = [one.line for one in sheet_of(demo).expected][:4]
    taken = {line.key: Reading(1.0, line.asks, "2026-11-20", "ann") for line in lines}
    taken = Readings({**taken, "gone": Reading(2.0, "voltage")})
    assert problems(schema, tree_of(demo, taken)) == []


def test_it_knows_every_part_of_the_present_format(schema: dict[str, Any]) -> None:
    assert set(schema["properties"]) == set(KEYS[3]) == set(schema["required"])


SPOILT: list[Callable[[dict[str, Any]], Any]] = [
    lambda t: t.pop("tables"),
    lambda t: t.update(format=2),
    lambda t: t.update(extra=1),
    lambda t: t["tables"].update({"tables/wire_awg": "123"}),
    lambda t: t["results"]["night"].pop("sentence"),
    lambda t: t["results"]["night"]["numbers"]["used_ah"].pop("unit"),
    lambda t: t["results"]["night"].update(word="fine"),
    lambda t: t["results"]["wiring"]["findings"][0].update(clause=""),
    lambda t: t["results"]["wiring"]["working"][0].pop("source"),
    lambda t: t["schedules"].pop("parts"),
    lambda t: t["schedules"]["cut_list"].update(rows=3),
    lambda t: t.update(date="yesterday"),
    lambda t: t["hashes"].pop("content"),
    lambda t: t["code"].update(physics="x"),
]


@pytest.mark.parametrize("spoil", SPOILT)
def test_what_is_no_snapshot_does_not_fit(
    schema: dict[str, Any], made: dict[str, bytes], spoil: Callable[[dict[str, Any]], Any]
) -> None:
    tree = copy.deepcopy(json.loads(made["snapshot"]))
    assert problems(schema, tree) == []
    spoil(tree)
    assert problems(schema, tree)


def test_every_number_says_its_unit(made: dict[str, bytes]) -> None:
    tree = json.loads(made["snapshot"])
    parts = [*tree["results"].values(), *tree["schedules"].values()]
    told = [one for part in parts for one in (*part["numbers"].values(), *part["columns"].values())]
    assert len(told) > 150
    for one in told:
        assert one["unit"] == inside_unit(one["kind"])
        if one["kind"] not in ("", "count", "fraction", "money", "number"):
            assert one["unit"], one
