"""Two build files on the desk: what was changed and what it did, newest first, and a sentence where there is nothing."""

from __future__ import annotations

import os

import pytest

import trailerlib as tl
from trailerlib.bench.compare_desk import NONE_YET


@pytest.fixture
def desks(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    design = tl.read_design(tl.shipped_trailers()["one-lamp"])
    desk = tl.bench.build(design, tl.write_build_file)
    return desk, tl.bench.compare(desk, tl.compare_snapshots), design, tmp_path


def test_with_less_than_two_it_says_what_is_needed(desks):
    desk, side, _, _ = desks
    assert side.told == NONE_YET
    desk.write()
    assert side.told == NONE_YET and len(side.after.options) == 1


def test_the_newest_two_stand_against_each_other_and_the_change_is_named(desks):
    desk, side, design, folder = desks
    desk.write()
    name = design.circuits[0].name
    changed = design.replace(("circuit", name, "wire"), "10 AWG")
    assert changed.circuit(name).wire != design.circuit(name).wire
    tl.bench.build(changed, tl.write_build_file).write()
    newest = max((folder / "build files").glob("*/snapshot.json"), key=lambda path: path.stat().st_mtime)
    os.utime(newest, (newest.stat().st_mtime + 5,) * 2)
    side.refresh()
    assert side.after.value == str(newest) or side.after.value.endswith(newest.parent.name + "/snapshot.json")
    expected = tl.compare_snapshots(side.before.value, side.after.value)
    assert "10 AWG" in side.told and "What was changed in the design" in side.told
    assert all(title in side.told for title in expected.results)
    side.after.value = side.before.value
    assert "Nothing." in side.told


def test_a_snapshot_that_is_none_is_one_sentence_and_its_text_does_nothing(desks):
    _, side, _, folder = desks
    for name in ("<b>x", "y"):
        (folder / "build files" / name).mkdir(parents=True)
        (folder / "build files" / name / "snapshot.json").write_text("<script>", encoding="utf-8")
    side.refresh()
    assert "not compared" in side.told and "<script>" not in side.told and "Traceback" not in side.told
