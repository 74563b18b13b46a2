"""The snapshot: it agrees with itself, and any change is named by its place."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from trailerlib.buildfile import Difference, binder, snapshot, verify_snapshot
from trailerlib.buildfile.closing_sheet import filled
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.design.readings import Readings
from trailerlib.studies import STUDIES, WITH_READINGS, assess
from trailerlib.studies.closing.sheet import sheet_of

Tree = dict[str, Any]
Edited = Callable[[Callable[[Tree], None]], list[Difference]]


@pytest.fixture
def kept(made: dict[str, bytes], tmp_path: Path) -> Path:
    """A fresh snapshot file of the demo."""
    file = tmp_path / "snapshot.json"
    file.write_bytes(made["snapshot"])
    return file


@pytest.fixture
def edited(kept: Path) -> Edited:
    """Verifies the snapshot after an edit that leaves the fingerprints as they were."""

    def make(change: Callable[[Tree], None]) -> list[Difference]:
        tree = json.loads(kept.read_text(encoding="utf-8"))
        change(tree)
        kept.write_bytes(snapshot.written(tree))
        return verify_snapshot(kept)

    return make


def honest(tree: Tree) -> None:
    """Write the fingerprints anew, as an older version of the workbook would have."""
    tree["hashes"] = snapshot.hashes(tree)


def test_it_agrees_with_itself(kept: Path) -> None:
    assert verify_snapshot(kept) == []


def test_it_holds_every_result(kept: Path) -> None:
    tree = json.loads(kept.read_text(encoding="utf-8"))
    assert sorted(tree["results"]) == sorted((*STUDIES, *WITH_READINGS)) and len(tree["results"]) >= 10
    assert {"numpy", "pydantic", "pint", "scipy"} <= set(tree["libraries"])
    assert set(tree["code"]) == {"design", "physics", "rules", "studies", "units"}
    assert set(tree["schedules"]) == {"panel", "fuses", "cut_list", "colours", "spools", "parts"}
    assert {"tables/wire_awg", "catalogue/appliances"} <= set(tree["tables"])
    assert kept.read_bytes() == snapshot.written(tree)


def test_an_altered_digit_in_a_row_is_named(edited: Edited) -> None:
    def change(tree: Tree) -> None:
        row = next(row for row in tree["results"]["wiring"]["rows"] if row["name"] == "fridge")
        row["drop_v"] = row["drop_v"] + 1e-9

    assert [(d.where, d.cause) for d in edited(change)] == [("results.wiring.rows.fridge.drop_v", "number altered")]


def test_every_single_number_of_the_results_is_guarded(edited: Edited) -> None:
    """Alter every number by a billionth: every one is named, and nothing else."""
    places: list[Any] = []

    def change(tree: Tree) -> None:
        places.extend(numbers({key: tree[key] for key in ("results", "schedules", "test_sheet")}))
        for holder, key in places:
            holder[key] = holder[key] * (1 + 1e-9) if holder[key] else 1e-9

    found = edited(change)
    assert len(places) > 500
    assert len(found) == len(places) and {d.cause for d in found} == {"number altered"}
    assert len({d.where for d in found}) == len(found)


def numbers(node: Any) -> Any:
    """Every number of a tree as the thing that holds it and its key."""
    children = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, child in list(children):
        if isinstance(child, int | float) and not isinstance(child, bool):
            yield node, key
        else:
            yield from numbers(child)


@pytest.mark.parametrize(
    ("where", "cause"),
    [
        (("results", "night", "numbers", "used_ah", "value"), "number altered"),
        (("results", "night", "sentence"), "number altered"),
        (("tables", "tables/wire_awg"), "number altered"),
        (("libraries", "numpy"), "number altered"),
        (("project",), "number altered"),
        (("design", "battery", "capacity"), "design changed"),
    ],
)
def test_an_edit_is_named_by_its_place(edited: Edited, where: tuple[str, ...], cause: str) -> None:
    def change(tree: Tree) -> None:
        node: Any = tree
        for step in where[:-1]:
            node = node[step]
        node[where[-1]] = "101 Ah" if where[0] == "design" else 1.0 if where[-1] == "value" else "9.9"

    found = edited(change)
    assert (".".join(where), cause) in [(d.where, d.cause) for d in found]
    if where[0] != "design":
        assert len(found) == 1
    else:
        assert {d.cause for d in found} == {"design changed"} and len(found) > 3


@pytest.mark.parametrize(("part", "cause"), [("tables", "table changed"), ("libraries", "library version")])
def test_an_honest_old_snapshot_says_what_moved_under_it(edited: Edited, part: str, cause: str) -> None:
    def change(tree: Tree) -> None:
        tree[part][sorted(tree[part])[0]] = "older"
        tree["results"]["night"]["numbers"]["used_ah"]["value"] += 1.0
        honest(tree)

    found = edited(change)
    assert {d.cause for d in found} == {cause}
    assert {d.where for d in found} >= {"results.night.numbers.used_ah.value"} and len(found) == 2


def test_a_changed_room_of_the_workbook_is_named_where_a_result_differs_and_only_there(edited: Edited) -> None:
    def comment(tree: Tree) -> None:
        tree["code"]["physics"] = "older"
        honest(tree)

    assert edited(comment) == []

    def number(tree: Tree) -> None:
        comment(tree)
        tree["results"]["night"]["numbers"]["used_ah"]["value"] += 1.0
        honest(tree)

    found = {d.where: (d.cause, d.by) for d in edited(number)}
    assert found["results.night.numbers.used_ah.value"] == ("workbook changed", ("physics",))
    assert found["code.physics"] == ("workbook changed", ())


def test_the_table_that_changed_is_named_beside_what_it_did(edited: Edited) -> None:
    def change(tree: Tree) -> None:
        tree["tables"]["tables/wire_awg"] = "older"
        tree["schedules"]["cut_list"]["rows"][0]["cut_m"] += 0.1
        honest(tree)

    (row,) = [d for d in edited(change) if d.where.startswith("schedules.")]
    assert (row.where, row.cause, row.by) == (
        "schedules.cut_list.rows.M1 +.cut_m", "table changed", ("tables/wire_awg",),
    )  # fmt: skip
    assert row.text().endswith("(table changed: tables/wire_awg)")


def test_earlier_formats_are_still_read_and_guarded(demo: Design, tmp_path: Path) -> None:
    file = tmp_path / "snapshot.json"
    sheet = filled(sheet_of(demo), Readings())
    text = binder.design_text(demo)
    for tree in (
        snapshot.snapshot(demo, assess(demo), text, "2026-01-31"),
        snapshot.snapshot(demo, assess(demo, {}), text, "2026-01-31", sheet),
    ):
        assert tree["format"] in (1, 2) and "schedules" not in tree
        file.write_bytes(snapshot.written(tree))
        assert verify_snapshot(file) == []
        tree["results"]["night"]["numbers"]["used_ah"]["value"] += 1e-6
        file.write_bytes(snapshot.written(tree))
        assert [d.where for d in verify_snapshot(file)] == ["results.night.numbers.used_ah.value"]


def test_a_changed_comment_and_a_changed_fingerprint_are_found(edited: Edited) -> None:
    def comment(tree: Tree) -> None:
        tree["design_file"] = tree["design_file"].replace("# Fen survey", "# Fen swamp")

    assert [d.where for d in edited(comment)] == ["design_file"]


@pytest.mark.parametrize("part", ["results", "content", "design"])
def test_a_changed_fingerprint_is_found(edited: Edited, part: str) -> None:
    def change(tree: Tree) -> None:
        tree["hashes"][part] = "0" * 64

    assert [d.where for d in edited(change)] == [f"hashes.{part}"]


def test_the_date_is_free(edited: Edited) -> None:
    assert edited(lambda tree: tree.update(date="1999-12-31")) == []


def test_the_last_digit_may_round_elsewhere(edited: Edited) -> None:
    def change(tree: Tree) -> None:
        number = tree["results"]["night"]["numbers"]["used_ah"]
        number["value"] = math.nextafter(number["value"], 1e9)
        honest(tree)

    assert edited(change) == []


BROKEN = {
    "empty": b"",
    "not json": b"{",
    "not utf-8": b"\xff\xfe{}",
    "a list": b"[]",
    "other": b'{"a": 1}',
    "deep": b"[" * 200_000,
    "nan": b'{"format": NaN}',
    "huge": b'{"format": 1e999}',
    "many digits": b'{"format": ' + b"9" * 6000 + b"}",
    "twice": b'{"format": 1, "format": 1}',
}


@pytest.mark.parametrize("data", BROKEN.values(), ids=BROKEN)
def test_a_broken_file_is_one_sentence(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "snapshot.json"
    file.write_bytes(data)
    with pytest.raises(DesignError, match=r"^snapshot\.json: [^\n]*\.$"):
        verify_snapshot(file)


@pytest.mark.parametrize(
    ("key", "value"),
    [("design", []), ("design", {"title": 7}), ("hashes", 3), ("format", 99), ("format", "1"), ("tables", None),
     ("extra", 1), ("date", 5), ("design_file", None), ("results", "x"),
     ("design", {"trailer": {"length": "1e999 ft"}})],
)  # fmt: skip
def test_a_hostile_tree_is_one_sentence(edited: Edited, key: str, value: Any) -> None:
    with pytest.raises(DesignError, match=r"^snapshot\.json: [^\n]*$"):
        edited(lambda tree: tree.update({key: value}))


def test_missing_file_and_folder(tmp_path: Path) -> None:
    for path in (tmp_path / "none.json", tmp_path):
        with pytest.raises(DesignError, match=r"\.$"):
            verify_snapshot(path)
