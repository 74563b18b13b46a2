"""The bench of many designs: ticks, the run with its progress and Cancel, limits, candidates, and taking one."""

from __future__ import annotations

import asyncio
import time

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.bench import trade_run
from trailerlib.bench.trade_bench import TradeBench
from trailerlib.bench.trade_limits import NOTCHES, limit_at, limits_of
from trailerlib.pictures.trade_axes import trade_axes
from trailerlib.pictures.trade_scatter import trade_scatter
from trailerlib.studies import trade_offs
from trailerlib.studies.trade_offs import Progress
from trailerlib.studies.trade_offs.question import BY


@pytest.fixture
def bench(demo) -> TradeBench:
    return tl.bench.trade(demo)


def tick(bench: TradeBench, *names: str) -> None:
    for axis, box in zip(bench.axes._axes, bench.axes.ticks, strict=True):
        box.value = axis.name in names


SOME = ("battery.capacity", "charger.current", "feeder.wire")


def test_it_opens_with_a_first_look_and_says_how_the_design_stands(bench):
    assert bench.result.count == 24
    assert bench.answer.sentence in bench.verdict_text
    assert "nothing beats yours" in bench.verdict_text
    assert bench.picture_text == trade_axes(bench.answer, None, focus=bench.row)
    assert str(bench.row) in bench.about_candidate()


def test_what_is_ticked_says_how_many_designs_it_makes(bench):
    tick(bench, *SOME)
    assert bench.axes.go.description == "Look at 96 designs"
    tick(bench)
    assert bench.axes.go.description == "Tick what may change"
    assert bench.axes.go.disabled
    bench.axes.begin()
    assert bench.result.count == 24, "nothing is ticked, and something was looked at"


def test_looking_measures_every_combination_of_the_present_design(bench, demo):
    tick(bench, *SOME)
    bench.axes.begin()
    assert bench.result.count == 96
    assert "Looked at 96 designs" in bench.said
    chosen = [axis for axis in trade_offs.usual_axes(demo) if axis.name in SOME]
    assert (bench.result.metrics["cost"] == trade_offs.sweep(demo, chosen, ("cost",)).metrics["cost"]).all()


async def _until(condition, seconds=60.0):
    begun = time.monotonic()
    while not condition():
        assert time.monotonic() - begun < seconds, "it took too long"
        await asyncio.sleep(0.02)


def slow_look(bench, count=40):
    """A run that tells where it is and stops when it is told to."""

    def look(axes):
        def work(progress, cancelled):
            for k in range(count):
                progress(Progress(k / count, k, count, 3.0 if k > 5 else None))
                time.sleep(0.05)
                if cancelled():
                    break
            result = bench.result
            return type(result)(
                result.base, result.candidates, result.keys, result.questions,
                {key: values[:k] for key, values in result.metrics.items()}, k, False,
            )  # fmt: skip

        return work

    return look


def test_while_it_looks_it_says_how_long_and_cancel_is_heard(bench, monkeypatch):
    monkeypatch.setattr(trade_run, "POLLED_S", 0.02)
    bench.axes._look = slow_look(bench)
    before = bench.result
    seen: list[tuple[float, str]] = []

    async def page():
        bench.axes.begin()
        assert bench.axes.running
        assert bench.axes.go.disabled
        assert not bench.axes.stop.disabled
        await _until(lambda: "about 3 s more" in bench.axes._said.value)
        seen.append((bench.axes._bar.value, bench.axes._said.value))
        bench.move("cost", 10)  # the bench is alive while it looks
        bench.axes.cancel()
        await _until(lambda: not bench.axes.running)

    asyncio.run(page())
    assert 0.0 < seen[0][0] < 1.0
    assert bench.result is before, "what was stopped took the place of what was there"
    assert "Stopped after" in bench.said
    assert not bench.axes.go.disabled
    assert bench.axes.stop.disabled
    assert bench.limits["cost"][1] == pytest.approx(limits_of(before, "cost")[10])


def test_a_real_sweep_in_its_thread_says_the_same_as_one_without(bench, demo):
    tick(bench, *SOME)

    async def page():
        bench.axes.begin()
        tl.assess(demo.replace("battery.capacity", "77 Ah"))  # the page asks other things meanwhile
        await _until(lambda: not bench.axes.running)

    asyncio.run(page())
    chosen = [axis for axis in trade_offs.usual_axes(demo) if axis.name in SOME]
    plain = trade_offs.sweep(demo, chosen, bench.result.keys)
    for key in plain.keys:
        np.testing.assert_array_equal(bench.result.metrics[key], plain.metrics[key])


def test_an_error_on_the_way_is_said_and_leaves_the_bench_as_it_was(bench):
    def look(axes):
        def work(**told):
            raise tl.DesignError("battery.capacity: this cannot be.")

        return work

    bench.axes._look = look
    before = bench.result
    bench.axes.begin()
    assert "this cannot be" in bench.said
    assert bench.result is before
    assert not bench.axes.go.disabled


def test_a_limit_runs_from_any_to_the_best_and_shuts_out_the_rest(bench):
    reserve = bench.result.metrics["reserve_h"]
    ends = limits_of(bench.result, "reserve_h")
    assert (ends[0], ends[-1], len(ends)) == (np.nanmin(reserve), np.nanmax(reserve), NOTCHES + 1)
    assert limit_at(bench.result, "reserve_h", 0) is None
    assert "Reserve: any" in bench.controls["reserve_h"].widget.description
    bench.move("reserve_h", 20)
    assert "Reserve: ≥" in bench.controls["reserve_h"].widget.description
    allowed = bench.trade.allowed
    assert allowed.tolist() == [
        bool(r >= ends[20] and s <= bench.result.here()["stop"] and f <= bench.result.here()["fix"])
        for r, s, f in zip(reserve, bench.result.metrics["stop"], bench.result.metrics["fix"], strict=True)
    ]
    assert "outside your limits" in bench.verdict_text
    bench.move("reserve_h", 0)
    assert "reserve_h" not in bench.limits


def test_the_unbeaten_with_limits_are_those_worked_out_anew(bench):
    tick(bench, *SOME, "battery.chemistry")
    bench.axes.begin()
    for key, notch in (("cost", 12), ("reserve_h", 8), ("worst_drop", 5)):
        bench.move(key, notch)
        seen = bench.trade
        own = trade_offs.best(seen.result, BY, trade_offs.passing(seen.result, seen.limits))
        assert sorted(seen.unbeaten.tolist()) == np.flatnonzero(own).tolist()


def test_without_the_tick_findings_are_no_matter(bench):
    held = bench.trade.allowed.sum()
    bench.move("hard", False)
    assert bench.limits == {}
    assert bench.trade.allowed.sum() == bench.result.count > held


def test_where_none_is_allowed_it_says_so_and_offers_nothing(bench):
    bench.move("cost", NOTCHES)
    bench.move("reserve_h", NOTCHES)
    assert "None of 24 designs keeps your limits" in bench.verdict_text
    assert bench.controls["best"].widget.disabled
    bench.go_nearest()
    assert "None passes" in bench.said


def test_the_slider_walks_through_the_best_and_the_number_finds_any(bench):
    order = bench.trade.unbeaten.tolist()
    assert bench.controls["best"].widget.max == len(order)
    bench.move("best", 3)
    assert bench.row == order[2]
    assert bench.controls["candidate"].widget.value == order[2]
    lost = next(k for k in range(bench.result.count) if not bench.trade.allowed[k])
    bench.move("candidate", lost)
    assert bench.row == lost
    assert "It is not allowed" in bench.about_candidate()
    assert f"candidate {lost}" in bench.picture_text


def test_one_press_takes_a_candidate_and_undo_takes_it_back(bench, demo):
    row = next(int(k) for k in bench.trade.unbeaten if bench.result.design_of(int(k)).raw != demo.raw)
    bench.move("candidate", row)
    bench.take_it()
    assert bench.design.raw == bench.result.design_of(row).raw
    assert f"Took candidate {row}" in bench.said
    assert bench.trade.here == pytest.approx({k: v[row] for k, v in bench.result.metrics.items()}, nan_ok=True)
    assert bench.trade.own == row
    bench.undo()
    assert bench.design.raw == demo.raw


def test_taken_and_kept_it_stands_in_the_file_with_its_comments(file):
    bench = tl.bench.trade(tl.read_design(file))
    before = file.read_text(encoding="utf-8")
    row = next(int(k) for k in bench.trade.unbeaten if bench.result.design_of(int(k)).raw != bench.design.raw)
    bench.move("candidate", row)
    bench.take_it()
    bench.keep()
    after = tl.read_design(file)
    assert {axis.path: after.get(axis.path) for axis in bench.result.axes} == bench.result.changes(row)
    assert before.count("#") == file.read_text(encoding="utf-8").count("#")
    assert bench.result.count == 24
    assert bench.trade.own == row
    bench.undo()
    assert tl.read_design(file).get("battery.capacity") == "100 Ah"


def test_nearest_goes_to_the_candidate_that_changes_least(bench):
    bench.move("hard", False)
    bench.move("reserve_h", 15)
    assert not bench.trade.passes
    bench.go_nearest()
    found = trade_offs.nearest(bench.result, bench.limits)
    assert bench.row == found.row
    assert found.sentence in bench.said


def test_a_design_that_differs_elsewhere_is_looked_at_anew(bench, demo):
    before = bench.result
    bench.take(demo.replace("cargo.plant presses.mass", "300 lb"), "heavier")
    assert bench.result is not before
    assert bench.result.base.raw == bench.design.raw
    assert bench.result.here()["mass_kg"] > before.here()["mass_kg"]


def test_what_matters_and_how_sure_are_said(bench):
    bench.say_matters()
    assert "battery capacity matters most" in bench._told.value
    bench.move("hard", False)
    bench.move("reserve_h", 8)
    bench.say_sure()
    assert "With every load up to 20% higher it holds in" in bench._told.value


def test_the_second_picture_follows_its_pick_lists(bench):
    bench._shown.value = "scatter"
    bench.move("across", "mass_kg")
    bench.move("up", "worst_drop")
    assert bench.picture_text == trade_scatter(bench.answer, None, focus=bench.row, across="mass_kg", up="worst_drop")
    assert "Worst drop [%], less is better" in bench.picture_text


def test_on_two_other_trailers_it_opens_too():
    for name in ("kiln-cart", "one-lamp"):
        bench = tl.bench.trade(tl.read_design(tl.shipped_trailers()[name]))
        assert bench.result.count > 1
        assert bench.answer is not None
        assert bench.in_words()


def test_a_name_from_the_design_is_text_and_nothing_else(changed):
    design = changed(lambda raw: raw["cargo"].append(
        {"name": 'box & "co"', "mass": "600 lb", "at": ["5 ft", "3 ft", "1 ft"]}))  # fmt: skip
    bench = tl.bench.trade(design)
    tick(bench, 'cargo.box & "co".at')
    bench.axes.begin()
    bench.move("candidate", 1)
    assert "&amp;" in bench._told.value
    assert 'box & "co"' not in bench._told.value
