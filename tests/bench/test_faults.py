"""An error in a callback is never invisible: verdict, marks, the record, and the last cell."""

from __future__ import annotations

import ipywidgets as widgets
import pytest

import trailerlib as tl
from trailerlib.bench import faults
from trailerlib.design.errors import DesignError

MOVES = {
    "loads": ("power", 5.0, 6.0),
    "night": ("capacity", 150.0, 200.0),
    "wire": ("run", 20.0, 30.0),
    "mains": ("voltage", 110.0, 105.0),
    "generator": ("elevation", 7000.0, 9000.0),
    "cool": ("set_point", 70.0, 72.0),
    "roof": ("depth", 2.0, 2.5),
    "tow": ("along", 3.0, 6.0),
}
STUDY = {"wire": "wiring", "mains": "what_trips", "cool": "cooling", "tow": "towing"}
MODULE = {name: f"trailerlib.bench.{name}" for name in MOVES}


def broken(*_args, **_kwargs):
    raise ZeroDivisionError("a study that breaks <b>& says so</b>")


def test_every_bench_is_broken_here(benches):
    assert set(MOVES) == benches


@pytest.mark.parametrize("name", MOVES)
def test_a_study_that_breaks_takes_the_verdicts_place(name, demo, bench_of, monkeypatch, watch, is_stale, clock):
    bench = bench_of(name, demo)
    key, first, second = MOVES[name]
    assert is_stale(bench) == (False, False)
    with monkeypatch.context() as patch:
        patch.setattr(f"trailerlib.studies.{STUDY.get(name, name)}.answer", broken)
        bench.move(key, first)
    assert "not valid" in bench.verdict_text
    assert "ZeroDivisionError" in bench.verdict_text
    assert "<b>& says" not in bench.verdict_text
    assert is_stale(bench) == (True, True)
    with pytest.raises(faults.BenchFault, match=r"a study that breaks"):
        tl.bench.assert_sound()
    assert [type(error) for error in watch.faults()] == [ZeroDivisionError]
    clock.now_s += 60
    bench.move(key, second)
    assert is_stale(bench) == (False, False)
    assert "not valid" not in bench.verdict_text
    tl.bench.assert_sound()


@pytest.mark.parametrize("name", MOVES)
def test_a_picture_that_breaks_takes_the_verdicts_place(name, demo, bench_of, monkeypatch, watch, is_stale):
    bench = bench_of(name, demo)
    monkeypatch.setattr(bench, "draw", broken)
    bench.move(*MOVES[name][:2])
    assert "not valid" in bench.verdict_text
    assert is_stale(bench) == (True, True)
    assert len(watch.faults()) == 1


def test_a_page_that_breaks_is_not_lost(demo, bench_of, monkeypatch, watch, is_stale):
    bench = bench_of("night", demo)
    monkeypatch.setattr("trailerlib.bench.panes.working", broken)
    bench._tabs.selected_index = 2
    assert "not valid" in bench.verdict_text
    assert is_stale(bench) == (True, True)
    assert len(watch.faults()) == 1


def test_a_move_the_design_refuses_is_said_in_the_designs_words(demo, bench_of, watch, is_stale, clock):
    bench = bench_of("generator", demo)
    bench.controls["elevation"].widget.max = 99_000.0
    bench.move("elevation", 90_000.0)
    assert "not valid" in bench.verdict_text
    assert "too high" in bench.verdict_text
    assert "Error" not in bench.verdict_text
    assert is_stale(bench) == (True, True)
    assert [type(error) for error in watch.faults()] == [DesignError]
    assert bench.design is demo
    clock.now_s += 60
    bench.move("hottest", 60.0)
    assert bench.controls["elevation"].widget.value == 5200.0, "a refused value stays beside a good verdict"
    assert is_stale(bench) == (False, False)


@pytest.mark.parametrize("key", ["keep", "undo", "reset"])
def test_a_button_that_breaks_is_recorded(key, file, bench_of, press, monkeypatch, watch):
    bench = bench_of("night", tl.read_design(file))
    bench.move("capacity", 150.0)
    monkeypatch.setattr("trailerlib.bench.past.save_design", broken)
    monkeypatch.setattr("trailerlib.bench.past.read_design", broken)
    monkeypatch.setattr(bench, "_fresh", broken)
    press(bench, key)
    assert "not valid" in bench.verdict_text
    assert len(watch.faults()) == 1


def test_a_mistake_is_forgotten_by_reset(file, bench_of, press, monkeypatch, watch, is_stale):
    bench = bench_of("night", tl.read_design(file))
    with monkeypatch.context() as patch:
        patch.setattr("trailerlib.studies.night.answer", broken)
        bench.move("capacity", 150.0)
    assert len(watch.faults()) == 1
    press(bench, "reset")
    assert is_stale(bench) == (False, False)
    assert tl.study("night", bench.design).sentence in bench.verdict_text


def test_assert_sound_is_content_when_nothing_happened():
    tl.bench.assert_sound()


def test_the_watch_hears_what_the_widget_library_buries(watch):
    """A button's own error would pass a plain test; the watch of this folder is what notices."""
    button = widgets.Button()
    button.on_click(broken)
    button.click()
    assert len(watch.take_heard()) >= 1
