"""Two snapshots: what changed in the design is named, and what it did, number by number."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from trailerlib.buildfile import binder, compare_snapshots, snapshot
from trailerlib.buildfile.closing_sheet import filled
from trailerlib.design.design import Design, design_from
from trailerlib.design.errors import DesignError
from trailerlib.design.readings import Readings
from trailerlib.studies import assess
from trailerlib.studies.closing.sheet import sheet_of
from trailerlib.studies.schedules import schedules

Kept = Callable[..., Path]


@pytest.fixture
def kept(tmp_path: Path) -> Kept:
    """Writes the snapshot of a design, changed by a function, under a name."""

    def keep(
        design: Design, name: str, change: Callable[[dict[str, Any]], None] = lambda tree: None, upto: int = 3
    ) -> Path:
        sheet = filled(sheet_of(design), Readings()) if upto > 1 else None
        assessment = assess(design, {} if upto > 1 else None)
        found = schedules(design, assessment) if upto > 2 else None
        tree = snapshot.snapshot(design, assessment, binder.design_text(design), "2026-11-25", sheet, found)
        change(tree)
        file = tmp_path / name
        file.write_bytes(snapshot.written(tree))
        return file

    return keep


def test_a_snapshot_against_itself_says_nothing(demo: Design, kept: Kept) -> None:
    file = kept(demo, "a.json")
    found = compare_snapshots(file, file)
    assert (found.design, found.beside, dict(found.results), found.too_small) == ((), (), {}, 0)


def test_it_names_the_change_and_what_it_did(demo: Design, kept: Kept) -> None:
    other = demo.replace("battery.capacity", "120 Ah").replace("circuit.work lights.wire", "10 AWG")
    found = compare_snapshots(kept(demo, "a.json"), kept(other, "b.json"))
    assert found.design == (
        "battery, capacity: 100 Ah → 120 Ah.", "circuit “work lights”, wire: 14 AWG → 10 AWG.",
    )  # fmt: skip
    assert found.beside == ()
    night = found.results["Will it last the night?"]
    before, after = (assess(one)["night"].numbers["capacity_ah"] for one in (demo, other))
    assert f"{after.title}: {before.text('us')} → {after.text('us')}." in night
    wires = found.results["Which wire, which fuse?"]
    assert any(line.startswith('✓ settled (fix before): circuit "work lights"') for line in wires)
    assert "F3 +: Wire 14 AWG → 10 AWG." in found.results["Wire cut list"]
    assert "What must it run?" not in found.results


def test_one_more_part_does_not_move_the_others(demo: Design, kept: Kept) -> None:
    raw = {
        **demo.raw,
        "circuit": [{"name": "spare", "system": "dc", "wire": "14 AWG", "run": "4 ft"}, *demo.raw["circuit"]],
    }
    found = compare_snapshots(kept(demo, "a.json"), kept(design_from(raw), "b.json"))
    assert found.design == ("circuit “spare”: added.",)
    wires = found.results["Which wire, which fuse?"]
    assert "spare: new." in wires
    back = compare_snapshots(kept(design_from(raw), "b.json"), kept(demo, "a.json"))
    assert back.design == ("circuit “spare”: removed.",)


def test_tables_libraries_and_edits_are_named_beside_the_design(demo: Design, kept: Kept) -> None:
    def older(tree: dict[str, Any]) -> None:
        tree["tables"]["tables/wire_awg"] = "older"
        tree["libraries"]["numpy"] = "1.0"
        tree["hashes"] = snapshot.hashes(tree)

    def edited(tree: dict[str, Any]) -> None:
        tree["results"]["night"]["numbers"]["used_ah"]["value"] = 1.0

    found = compare_snapshots(kept(demo, "a.json", older), kept(demo, "b.json", edited))
    assert any(line.startswith("Library numpy: 1.0 → ") for line in found.beside)
    assert "Table tables/wire_awg is not the same." in found.beside
    assert "b.json: edited after it was written: results." in found.beside
    assert any("→ 1.00 Ah" in line for line in found.results["Will it last the night?"])


@pytest.mark.parametrize("upto", [1, 2])
def test_an_earlier_format_stands_beside_a_later_one(demo: Design, kept: Kept, upto: int) -> None:
    other = demo.replace("battery.capacity", "120 Ah")
    found = compare_snapshots(kept(demo, "a.json", upto=upto), kept(other, "b.json"))
    assert found.design == ("battery, capacity: 100 Ah → 120 Ah.",)
    assert found.results["Parts list"] == ("Stands in the later snapshot only.",)
    assert any("Lowest charge: " in line for line in found.results["Will it last the night?"])


@pytest.mark.parametrize(
    "spoil",
    [lambda t: t["results"].update(night=[]), lambda t: t["results"]["night"].update(numbers=3),
     lambda t: t["results"]["night"].update(rows=[1]), lambda t: t["results"]["night"]["numbers"].update(used_ah={"title": "x"}),
     lambda t: t["results"]["night"].update(columns={"load": {}}), lambda t: t["schedules"].update(parts=None)],
)  # fmt: skip
def test_a_spoilt_snapshot_is_one_sentence(demo: Design, kept: Kept, spoil: Callable[[Any], None]) -> None:
    with pytest.raises(DesignError, match=r"^[^\n]*it was not written by this workbook\.$"):
        compare_snapshots(kept(demo, "a.json"), kept(demo, "b.json", spoil))


def test_a_hostile_text_stays_on_its_line(demo: Design, kept: Kept) -> None:
    def spoil(tree: dict[str, Any]) -> None:
        tree["design"]["title"] = "x\n\x1b[31mred\u202e"

    (line,) = compare_snapshots(kept(demo, "a.json"), kept(demo, "b.json", spoil)).design
    assert "\n" not in line and "\x1b" not in line and "\u202e" not in line


def test_it_is_json_in_and_text_out(demo: Design, kept: Kept) -> None:
    file = kept(demo, "a.json")
    assert json.loads(file.read_text(encoding="utf-8"))["format"] == 3
    assert compare_snapshots(file, file).text().splitlines()[0] == "What was changed in the design:"
