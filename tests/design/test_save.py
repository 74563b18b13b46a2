"""A save changes what was changed and nothing else, and never loses a text."""

from __future__ import annotations

import difflib
import os
import tempfile
from pathlib import Path
from typing import Any

import pytest

import trailerlib as tl
from trailerlib.design.files import history


def changed_lines(before: str, after: str) -> tuple[list[str], list[str]]:
    """Lines that are gone and lines that are new, the revision's left out."""
    gone, new = [], []
    for line in difflib.ndiff(before.splitlines(), after.splitlines()):
        text = line[2:].strip()
        if text and not text.startswith("revision = "):
            gone += [line[2:]] if line.startswith("- ") else []
            new += [line[2:]] if line.startswith("+ ") else []
    return gone, new


def saved(file: Path, changes: dict[Any, Any]) -> tuple[str, str]:
    before = file.read_text(encoding="utf-8")
    design = tl.read_design(file)
    wanted = design.replace_all(changes)
    tl.save_design(wanted)
    again = tl.read_design(file)
    assert dict(again.raw) == {**wanted.raw, "revision": 2}
    return before, file.read_text(encoding="utf-8")


def test_a_save_without_a_change_changes_the_revision_alone(file: Path) -> None:
    before, after = saved(file, {})
    assert after == before.replace("revision = 1\n", "revision = 2\n")


# path, value, the line before, the line after; a comment at the end of the line stays
ONE_LINE = [
    ("battery.capacity", "200 Ah", 'capacity = "100 Ah"           # of one battery, at its hour rate',
     'capacity = "200 Ah"           # of one battery, at its hour rate'),
    ("site.latitude", 45.0, "latitude = 44.6", "latitude = 45.0"),
    ("use.sleepers", 3, "sleepers = 2", "sleepers = 3"),
    ("safety.co_alarm", False, "co_alarm = true", "co_alarm = false"),
    ("feeder.wire", "4 AWG", 'wire = "6 AWG"', 'wire = "4 AWG"'),
    ("circuit.fridge.run", "13 ft", 'run = "12 ft"                 # stated as well: the cable is cut already',
     'run = "13 ft"                 # stated as well: the cable is cut already'),
    ("circuit.roof fan.bundle", 4,
     "bundle = 12                   # current-carrying wires that lie together on the way; stated, so it wins too",
     "bundle = 4                   # current-carrying wires that lie together on the way; stated, so it wins too"),
    ("raceway.ceiling cavity.ambient", "110 °F", 'ambient = "125 °F"            # under a roof in the sun it is hotter than outside',
     'ambient = "110 °F"            # under a roof in the sun it is hotter than outside'),
    ("raceway.road side trim.path", [["1 in", "1 in", "6 ft"], ["9 ft", "1 in", "6 ft"]],
     'path = [["1 in", "1 in", "5 ft 8 in"], ["13 ft 11 in", "1 in", "5 ft 8 in"]]',
     'path = [["1 in", "1 in", "6 ft"], ["9 ft", "1 in", "6 ft"]]'),
    ("routing.service_loop", "12 in", 'service_loop = "6 in"         # left at each end', 'service_loop = "12 in"         # left at each end'),
    ("load.laptops.count", 3, "count = 2", "count = 3"),
    ("load.work lights.count", 3, "count = 2", "count = 3"),
    ("supply.shore.cord_run", "30 ft", 'cord_run = "25 ft"', 'cord_run = "30 ft"'),
    ("stay.night.from", "19:00", 'from = "18:00"', 'from = "19:00"'),
    ("stay.night.on.roof fan", "22:00-06:00", 'on."roof fan" = "all"', 'on."roof fan" = "22:00-06:00"'),
    ("place.bunk.at", ["1 ft", "2 ft", "3 ft"], 'at = ["11 ft 6 in", "1 ft", "3 ft"]', 'at = ["1 ft", "2 ft", "3 ft"]'),
    ("opening.rear ramp.at", ["3 ft", "3 ft"], 'at = ["3 ft 6 in", "3 ft"]    # from the left wall, above the floor',
     'at = ["3 ft", "3 ft"]    # from the left wall, above the floor'),
    ("trailer.tongue", "3 ft", 'tongue = "4 ft"               # from the tip of the nose to the coupler',
     'tongue = "3 ft"               # from the tip of the nose to the coupler'),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value", "old", "new"), ONE_LINE, ids=[case[0] for case in ONE_LINE])
def test_one_value_changes_one_line(file: Path, path: str, value: Any, old: str, new: str) -> None:
    before, after = saved(file, {path: value})
    assert changed_lines(before, after) == ([old], [new])
    assert len(after.splitlines()) == len(before.splitlines())


@pytest.mark.parametrize(
    ("path", "value", "line"),
    [("load.kettle.power", "1400 W", 'power = "1400 W"'), ("load.microscope lamp.power", "20 W", 'power = "20 W"'),
     ("battery.lowest_charge", "40 %", 'lowest_charge = "40 %"'), ("stay.night.on.work lights", "18:00-19:00",
      'on."work lights" = "18:00-19:00"'), ("circuit.charger.ambient", "90 °F", 'ambient = "90 °F"'),
     ("safety.new", None, "")],
)  # fmt: skip
def test_a_key_that_is_added_adds_one_line(file: Path, path: str, value: Any, line: str) -> None:
    before, after = saved(file, {path: value})
    assert changed_lines(before, after) == ([], [line] if line else [])


@pytest.mark.parametrize(
    ("path", "line"),
    [("site.coldest", 'coldest = "28 °F"'), ("safety.co_alarm", "co_alarm = true"), ("routing.reach",
      'reach = "4 ft"                # no wire hangs farther than this from a raceway to its place'), ("stay.night.on.roof fan", 'on."roof fan" = "all"'),
     ("circuit.fridge.protection", 'protection = "15 A"')],
)  # fmt: skip
def test_a_key_that_is_removed_takes_one_line(file: Path, path: str, line: str) -> None:
    before, after = saved(file, {path: None})
    assert changed_lines(before, after) == ([line], [])


def comments(text: str) -> list[str]:
    return [line[line.index("#") :] for line in text.splitlines() if "#" in line]


NEW_LOAD = {"name": "porch light", "class": "led entry light", "circuit": "entry and alarm", "count": 1}


def test_a_load_that_is_added_leaves_the_rest_as_it_was(file: Path) -> None:
    raw = tl.read_design(file).raw
    before, after = saved(file, {"load": [*raw["load"], NEW_LOAD]})
    gone, new = changed_lines(before, after)
    assert gone == []
    lines = [
        "[[load]]",
        'name = "porch light"',
        'class = "led entry light"',
        'circuit = "entry and alarm"',
        "count = 1",
    ]
    assert sorted(new) == sorted(lines)


def test_a_load_that_is_removed_takes_only_its_own_lines(file: Path) -> None:
    raw = tl.read_design(file).raw
    keep = [load for load in raw["load"] if load["name"] != "work lights"]
    before, after = saved(file, {"load": keep, "circuit": raw["circuit"]})
    gone, new = changed_lines(before, after)
    assert new == []
    lines = ["[[load]]", 'name = "work lights"', 'class = "led work light"', 'circuit = "work lights"',
             'place = "rear wall outside"', "count = 2"]  # fmt: skip
    assert sorted(gone) == sorted(lines)


def test_a_part_that_gets_another_name_changes_its_lines_only(file: Path) -> None:
    raw = tl.read_design(file).raw
    loads = [{**load, "name": "tea kettle"} if load["name"] == "kettle" else load for load in raw["load"]]
    before, after = saved(file, {"load": loads, ("stay", "camp with power", "on", "kettle"): None})
    gone, new = changed_lines(before, after)
    assert new == ['name = "tea kettle"'] and gone == ['name = "kettle"', 'on."kettle" = "07:30-07:45, 12:00-12:15"']


@pytest.mark.parametrize("key", ["load", "circuit", "stay", "place", "opening", "supply"])
def test_no_comment_is_lost_when_a_list_grows(file: Path, key: str) -> None:
    raw = tl.read_design(file).raw
    new = {**raw[key][-1], "name": "one more"}
    before, after = saved(file, {key: [*raw[key], new]})
    assert comments(after) == comments(before)


def test_a_part_that_goes_takes_its_table_only(file: Path) -> None:
    before, after = saved(file, {"charger": None})
    gone, new = changed_lines(before, after)
    assert new == []
    assert gone == [
        "[charger]",
        'current = "20 A"',
        'circuit = "charger"',
        'efficiency = "85 %"',
        'power_factor = "70 %"',
    ]


def test_a_part_that_comes_adds_its_table_only(tmp_path: Path) -> None:
    file = tmp_path / "lamp.toml"
    file.write_text(tl.shipped_trailers()["one-lamp"].read_text(encoding="utf-8"), encoding="utf-8")
    before, after = saved(file, {("use", "sleepers"): 1})
    gone, new = changed_lines(before, after)
    assert gone == [] and new == ["[use]", "sleepers = 1"]


def test_a_name_that_would_break_the_file_is_written_safely(file: Path) -> None:
    raw = tl.read_design(file).raw
    odd = 'a "quoted" # name \\ ’'
    saved(file, {"load": [*raw["load"], {**NEW_LOAD, "name": odd}], ("stay", "night", "on", odd): "all"})
    assert tl.read_design(file).load(odd).circuit == "entry and alarm"


def test_a_new_file_holds_the_whole_design(demo: tl.Design, tmp_path: Path) -> None:
    path = tmp_path / "new.toml"
    back = tl.save_design(tl.design_from(demo.raw), path)
    assert tl.read_design(path).raw == demo.raw == back.raw
    assert back.origin is not None and Path(back.origin.path) == path and back.revision == demo.revision


def test_without_a_file_it_asks_where(demo: tl.Design) -> None:
    with pytest.raises(tl.DesignError, match="where"):
        tl.save_design(tl.design_from(demo.raw))


def test_the_revision_rises_and_the_history_grows(file: Path) -> None:
    first = file.read_text(encoding="utf-8")
    design = tl.read_design(file)
    for number in range(1, 5):
        design = tl.save_design(design.replace("battery.capacity", f"{100 + number} Ah"))
        assert design.revision == tl.read_design(file).revision == number + 1
        assert len(history(file)) == number
    assert history(file)[0].read_text(encoding="utf-8") == first
    assert [tl.read_design(old).get("battery.capacity") for old in history(file)] == [
        "100 Ah",
        "101 Ah",
        "102 Ah",
        "103 Ah",
    ]


def test_take_back_goes_back_and_further_back(file: Path) -> None:
    design = tl.read_design(file)
    for amount in ("101 Ah", "102 Ah", "103 Ah"):
        design = tl.save_design(design.replace("battery.capacity", amount))
    for expected, revision in (("102 Ah", 5), ("101 Ah", 6), ("100 Ah", 7)):
        design = tl.take_back(design)
        assert design.get("battery.capacity") == tl.read_design(file).get("battery.capacity") == expected
        assert design.revision == tl.read_design(file).revision == revision
    with pytest.raises(tl.DesignError, match="no earlier"):
        tl.take_back(design)
    texts = [path.read_text(encoding="utf-8") for path in (file.parent / "trailer.history").glob("*.toml")]
    assert all(any(f'"{amount} Ah"' in text for text in texts) for amount in (101, 102, 103)), "what was undone is kept"


def test_take_back_keeps_the_comments(file: Path) -> None:
    before = file.read_text(encoding="utf-8")
    tl.take_back(tl.save_design(tl.read_design(file).replace("battery.capacity", "101 Ah")))
    assert file.read_text(encoding="utf-8") == before.replace("revision = 1", "revision = 3")


def test_take_back_after_the_file_changed_is_refused_and_loses_nothing(file: Path) -> None:
    design = tl.save_design(tl.read_design(file).replace("battery.capacity", "101 Ah"))
    by_hand = file.read_text(encoding="utf-8").replace("101 Ah", "150 Ah")
    file.write_text(by_hand, encoding="utf-8")
    with pytest.raises(tl.DesignError):
        tl.take_back(design)
    assert file.read_text(encoding="utf-8") == by_hand and len(history(file)) == 1


def test_history_stays_in_order_when_a_revision_comes_twice(file: Path) -> None:
    """A builder who puts an old text back by hand brings its old revision number with it."""
    first = file.read_text(encoding="utf-8")
    tl.save_design(tl.read_design(file).replace("battery.capacity", "101 Ah"))
    file.write_text(first.replace('"100 Ah"', '"150 Ah"'), encoding="utf-8")
    design = tl.save_design(tl.read_design(file).replace("battery.capacity", "151 Ah"))
    assert tl.take_back(design).get("battery.capacity") == "150 Ah"


def test_a_file_that_changed_on_disk_is_not_overwritten(file: Path) -> None:
    mine = tl.read_design(file).replace("battery.capacity", "200 Ah")
    theirs = file.read_text(encoding="utf-8").replace('"100 Ah"', '"150 Ah"')
    file.write_text(theirs, encoding="utf-8")
    with pytest.raises(tl.DesignError) as caught:
        tl.save_design(mine)
    assert len(str(caught.value).splitlines()) == 1
    assert file.read_text(encoding="utf-8") == theirs
    spare = file.with_name("trailer.mine-1.toml")
    assert spare.name in str(caught.value) and tl.read_design(spare).get("battery.capacity") == "200 Ah"
    with pytest.raises(tl.DesignError, match="mine-2"):
        tl.save_design(mine.replace("battery.capacity", "201 Ah"))
    assert tl.read_design(spare).get("battery.capacity") == "200 Ah"


def test_a_file_broken_on_disk_is_not_overwritten(file: Path) -> None:
    mine = tl.read_design(file).replace("battery.capacity", "200 Ah")
    file.write_text("this is [not TOML", encoding="utf-8")
    with pytest.raises(tl.DesignError) as caught:
        tl.save_design(mine)
    assert len(str(caught.value).splitlines()) == 1
    assert file.read_text(encoding="utf-8") == "this is [not TOML"
    kept = [tl.read_design(path) for path in file.parent.glob("*mine*.toml")]
    assert [design.get("battery.capacity") for design in kept] == ["200 Ah"], "the work of this session is kept"


def test_a_file_that_was_removed_is_written_anew(file: Path) -> None:
    design = tl.read_design(file)
    file.unlink()
    tl.save_design(design.replace("battery.capacity", "200 Ah"))
    assert tl.read_design(file).get("battery.capacity") == "200 Ah"


def test_a_save_over_another_file_is_refused(file: Path, demo: tl.Design) -> None:
    before = file.read_text(encoding="utf-8")
    with pytest.raises(tl.DesignError):
        tl.save_design(demo.replace("title", "Other"), file)
    assert file.read_text(encoding="utf-8") == before


def refuse(error: OSError) -> Any:
    def call(*_args: Any, **_kwargs: Any) -> Any:
        raise error

    return call


@pytest.mark.parametrize(
    ("module", "name"), [(os, "replace"), (tempfile, "mkstemp"), (os, "fsync")], ids=["rename", "new file", "flush"]
)
@pytest.mark.parametrize(
    "error", [PermissionError(13, "Permission denied"), OSError(28, "No space left on device"), OSError("odd")], ids=str
)
def test_a_folder_that_cannot_be_written_gives_one_sentence(
    file: Path, monkeypatch: pytest.MonkeyPatch, module: Any, name: str, error: OSError
) -> None:
    before = file.read_text(encoding="utf-8")
    design = tl.read_design(file).replace("battery.capacity", "200 Ah")
    with monkeypatch.context() as patch:
        patch.setattr(module, name, refuse(error))
        with pytest.raises(tl.DesignError) as caught:
            tl.save_design(design)
    text = str(caught.value)
    assert text.startswith("trailer.toml") and text.endswith(".") and len(text.splitlines()) == 1 and "None" not in text
    assert file.read_text(encoding="utf-8") == before
    assert list(file.parent.rglob("*.part")) == []
    assert tl.save_design(design).revision == 2, "the next save works again"


def test_the_mode_of_the_file_stays(file: Path) -> None:
    file.chmod(0o600)
    tl.save_design(tl.read_design(file).replace("battery.capacity", "200 Ah"))
    assert file.stat().st_mode & 0o777 == 0o600


def test_line_ends_of_another_system_stay(file: Path) -> None:
    file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    before = file.read_bytes()
    tl.save_design(tl.read_design(file).replace("use.sleepers", 3))
    after = file.read_bytes()
    assert after == before.replace(b"sleepers = 2", b"sleepers = 3").replace(b"revision = 1", b"revision = 2")
