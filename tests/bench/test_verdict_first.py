"""What a move sends to the page: the verdict at once and by itself, all else after it, and nothing collected meanwhile."""

from __future__ import annotations

import asyncio
import gc
import re
from pathlib import Path

import ipywidgets as widgets
import pytest

import trailerlib as tl
from trailerlib.bench.later import undisturbed
from trailerlib.design.errors import DesignError

MOVES = {
    "loads": "power", "night": "ambient", "wire": "run", "mains": "voltage", "generator": "elevation",
    "cool": "foam_walls", "roof": "along", "tow": "mass", "trade": "reserve_h",
}  # fmt: skip
FAR = {"mains": -6.0, "trade": 20}  # where one step may leave the verdict as it is
RESTS_S = 0.3


@pytest.fixture
def sent(monkeypatch):
    """Every widget that has something to say to the page, in the order of saying it."""
    told, real = [], widgets.Widget._send

    def noted(widget, message, buffers=None):
        told.append(widget)
        return real(widget, message, buffers)

    monkeypatch.setattr(widgets.Widget, "_send", noted)
    return told


def on_a_loop(act):
    """What was sent before anything else could run, and until the hand has rested."""

    async def run():
        first = act()
        await asyncio.sleep(RESTS_S)
        return first

    return asyncio.run(run())


@pytest.mark.parametrize("name", MOVES)
def test_a_move_sends_the_verdict_before_anything_else(name, demo, bench_of, sent):
    bench = bench_of(name, demo)
    slider = bench.controls[MOVES[name]].widget

    def move():
        sent.clear()
        slider.value = slider.value + FAR.get(name, slider.step)
        return [one for one in sent if one is not slider]

    at_once = on_a_loop(move)
    assert at_once[0] is bench._verdict
    assert at_once.count(bench._verdict) == 1, "a verdict that is put right afterwards flickers"
    if name != "trade":  # there a limit is looked at, not the design changed: its words stand beside the verdict
        assert at_once == [bench._verdict]
    assert bench._picture in sent


def test_a_reading_sends_the_verdict_before_anything_else(demo, sent):
    bench = tl.bench.closing(demo)
    bench.controls["stage"].widget.value = "battery"
    row = bench.form._rows[0]

    def read():
        sent.clear()
        row.field.value = "12.71"
        return [one for one in sent if one is not row.field]

    assert on_a_loop(read) == [bench._verdict]
    assert row.mark in sent and bench._picture in sent


def test_another_circuit_is_told_of_before_its_sliders_are_set(demo, bench_of, sent):
    bench = bench_of("wire", demo)
    pick = bench.controls["circuit"].widget

    def look():
        sent.clear()
        pick.value = next(value for _, value in pick.options if value != pick.value)
        return [one for one in sent if one is not pick]

    at_once = on_a_loop(look)
    assert at_once[0] is bench._verdict and bench.controls["run"].widget in at_once


def test_the_other_sliders_follow_the_one_that_was_moved(demo, bench_of, sent):
    bench = bench_of("roof", demo)
    before = bench.controls["mass"].widget.value
    changed = bench.design.replace(f"opening.{bench._opening}.mass", "40 lb")
    bench.design = changed  # as if the along slider told of another mass too
    slider = bench.controls["along"].widget

    def move():
        sent.clear()
        slider.value = slider.value - slider.step
        return [one for one in sent if one is not slider]

    at_once = on_a_loop(move)
    assert bench.controls["mass"].widget not in at_once and bench.controls["mass"].widget in sent
    assert before != 40.0 and bench.controls["mass"].widget.value == pytest.approx(40.0)


def test_a_verdict_that_fails_still_sets_the_controls(demo, bench_of, monkeypatch):
    bench = bench_of("night", demo)
    bench.controls["ambient"].widget.value += 5.0

    def fails(design):
        raise DesignError("the answer: not to be had.")

    monkeypatch.setattr(bench, "ask", fails)
    bench.undo()
    here = bench.controls["ambient"]
    assert here.widget.value == pytest.approx(here.get(bench.design))


@pytest.mark.parametrize("name", ["wire", "closing"])
def test_nothing_is_collected_between_a_move_and_its_verdict(name, demo, bench_of, monkeypatch):
    bench, seen = bench_of(name, demo), []
    ask = bench.ask
    monkeypatch.setattr(bench, "ask", lambda design: (seen.append(gc.isenabled()), ask(design))[1])
    if name == "wire":
        bench.controls["run"].widget.value += 1.0
    else:
        bench.form._rows[0].field.value = "0.1"
    assert seen == [False] and gc.isenabled()


def test_what_was_not_collected_before_is_not_afterwards():
    gc.disable()
    try:
        with pytest.raises(ZeroDivisionError), undisturbed():
            _ = 1 / 0
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_no_rule_has_the_page_look_through_a_bench_at_every_change():
    """``:has()`` on a bench or a part of it; on the notebook's cells around it, it is asked of few."""
    rule = re.compile(r"\.trailer[\w.-]*:has\(")
    styles = [path.read_text("utf-8") for path in Path(tl.bench.__file__).parent.glob("*.py")]
    assert len(styles) > 20
    assert not [found for text in styles for found in rule.findall(text)]


@pytest.mark.parametrize("name", ["loads", "wire", "roof"])
def test_what_other_windows_follow_the_hand_by_comes_after_the_verdict(name, demo, bench_of, monkeypatch):
    """A slider moved on the page: once its verdict is out the page and all others hear where it stands now."""
    bench, told = bench_of(name, demo), []
    monkeypatch.setattr(widgets.Widget, "_send", lambda one, message, buffers=None: told.append((one, message)))
    slider = bench.controls[MOVES[name]].widget
    on_a_loop(lambda: slider.set_state({"value": slider.value + slider.step}))
    methods = [(one, message["method"]) for one, message in told]
    at = methods.index((slider, "echo_update"))
    assert methods.index((bench._verdict, "update")) < at < methods.index((bench._picture, "update"))
    assert told[at][1]["state"] == {"value": slider.value}
    assert [one for one, method in methods if method == "echo_update"] == [slider]


def test_a_value_that_is_not_taken_is_told_as_it_is(demo, bench_of, monkeypatch):
    bench, told = bench_of("wire", demo), []
    monkeypatch.setattr(widgets.Widget, "_send", lambda one, message, buffers=None: told.append(message))
    slider = bench.controls["run"].widget
    stands = slider.value
    with pytest.raises(Exception, match="value"):
        slider.set_state({"value": "far"})
    assert told[-1] == {"method": "echo_update", "state": {"value": stands}, "buffer_paths": []}
