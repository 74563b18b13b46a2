"""The bench of “Which wire, which fuse?”: three pictures, what is asked and not written, fit all, the routes below."""

from __future__ import annotations

from html import escape
from typing import Any

import pytest

import trailerlib as tl
from trailerlib import pictures
from trailerlib.bench.wire_bench import WireBench
from trailerlib.design.design import Design
from trailerlib.studies.answer import Answer
from trailerlib.studies.fit import fit

PICTURES = ("sizes", "path", "time")
FOCUSED = ("fridge", "usb", "work lights")


def show(bench: WireBench, name: str) -> str:
    bench._shown.value = name
    return bench.picture_text


def expected(bench: WireBench, name: str, answer: Answer, ghost: Answer | None) -> str:
    """The picture the library draws, its arguments put together here."""
    now, before = answer.picture, None if ghost is None else ghost.picture
    circuit = bench.design.circuit(bench.controls["circuit"].widget.value)
    if name == "sizes":
        return pictures.wire_chart(answer, ghost, circuit=circuit.name)
    if name == "path":
        inside = now.path.steps[0].lost_v
        lowest = max(load.lowest_v for load in bench.design.loads_on(circuit.name) if load.lowest_v is not None)
        return pictures.staircase(
            now.path, before.path if before else None, title=circuit.name,
            limit_v=inside + circuit.drop_limit * 12.0, lowest_v=lowest,
        )  # fmt: skip
    return pictures.time_current_chart(
        now.focus.guard, before.focus.guard if before else None, title=circuit.name, system="us", others=[now.main]
    )


def on(bench: WireBench, circuit: str) -> Any:
    bench.move("circuit", circuit)
    return bench


# ── the three pictures ────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("circuit", FOCUSED)
def test_the_pictures_switch(circuit, demo, bench_of, answer_to):
    bench = on(bench_of("wire", demo), circuit)
    assert bench.shown == PICTURES[0]
    assert tuple(bench.pictures) == PICTURES
    drawn = {name: show(bench, name) for name in PICTURES}
    assert len(set(drawn.values())) == 3
    for name, svg in drawn.items():
        assert svg.startswith("<svg")
        assert svg == expected(bench, name, answer_to(bench), None)
    assert bench.design is demo, "a look at another picture changed the design"


MOVED = [("run", 27.5), ("wire", "10 AWG"), ("protection", 20.0), ("load", 20.0), ("chemistry", "lfp")]


@pytest.mark.parametrize(("key", "value"), MOVED)
@pytest.mark.parametrize("name", PICTURES)
def test_each_picture_follows_the_controls_and_keeps_its_ghost(name, key, value, demo, bench_of, answer_to):
    bench = on(bench_of("wire", demo), "fridge")
    before, old = answer_to(bench), show(bench, name)
    bench.move(key, value)
    now = answer_to(bench)
    assert bench.picture_text == expected(bench, name, now, before) != old
    if (name, key) != ("time", "load"):  # a load moves neither a fuse's curve nor a wire's, so nothing is left behind
        assert bench.picture_text != expected(bench, name, now, None), "the ghost is nowhere to be seen"


def test_the_ghost_stays_when_the_picture_switches(demo, bench_of, answer_to):
    bench = on(bench_of("wire", demo), "fridge")
    before = answer_to(bench)
    bench.move("run", 30.0)
    for name in reversed(PICTURES):
        assert show(bench, name) == expected(bench, name, answer_to(bench), before)


def test_another_circuit_keeps_the_picture_and_drops_the_ghost(demo, bench_of, answer_to):
    bench = on(bench_of("wire", demo), "fridge")
    show(bench, "path")
    bench.move("run", 30.0)
    bench.move("circuit", "usb")
    assert bench.shown == "path"
    assert bench.picture_text == expected(bench, "path", answer_to(bench), None)


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_that_cannot_be_drawn_takes_the_verdicts_place(name, demo, bench_of, monkeypatch, watch, is_stale):
    def broken(*_args, **_kwargs):
        raise ZeroDivisionError("no picture <b>")

    bench = on(bench_of("wire", demo), "fridge")
    module = "trailerlib.bench.wire_bench."
    with monkeypatch.context() as patch:
        for drawing in ("wire_chart", "staircase", "time_current_chart"):
            patch.setattr(module + drawing, broken)
        bench._shown.value = None if name == bench.shown else name
        bench._shown.value = name
        assert "not valid" in bench.verdict_text
        assert "no picture &lt;b&gt;" in bench.verdict_text
        assert is_stale(bench) == (True, True)
    assert {type(error) for error in watch.faults()} == {ZeroDivisionError}


# ── how full the battery is: asked, not written ───────────────────────────────────────────────────────


def test_the_charge_is_a_what_if(file, bench_of, press):
    """It moves every number, and nothing of it is in the design, in Undo or in the file."""
    bench = on(bench_of("wire", tl.read_design(file)), "fridge")
    design, half = bench.design, bench.answer
    bench.move("charge", 20.0)
    assert bench.design is design
    low = tl.study("wiring", design, circuit="fridge", charge=0.2)
    assert bench.answer.text() == low.text() != half.text()
    assert escape(low.sentence) in bench.verdict_text
    assert "20 % full" in bench._pages[0].value
    press(bench, "undo")
    assert bench.design is design
    assert "nothing to take back" in bench.said
    before = file.read_text(encoding="utf-8")
    press(bench, "keep")
    after = file.read_text(encoding="utf-8")
    differ = [(a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b]
    assert differ == [("revision = 1", "revision = 2")]
    assert tl.read_design(file).battery.start_charge == design.battery.start_charge


def test_the_charge_stays_while_other_things_move(demo, bench_of):
    bench = on(bench_of("wire", demo), "fridge")
    bench.move("charge", 30.0)
    bench.move("run", 20.0)
    bench.move("circuit", "usb")
    assert bench.controls["charge"].widget.value == 30.0
    assert bench.answer.text() == tl.study("wiring", bench.design, circuit="usb", charge=0.3).text()


def test_without_a_battery_there_is_no_charge_to_ask_for(changed, bench_of):
    bench = bench_of("wire", changed(lambda raw: raw.pop("battery")))
    assert bench.controls["charge"].widget.disabled
    assert bench.controls["chemistry"].widget.disabled


# ── the largest load ──────────────────────────────────────────────────────────────────────────────────


def test_the_ends_of_the_load_slider_follow_the_focus_and_write_nothing(demo, bench_of, clock):
    """From 1 W to twice what its class ever takes, and the power of the load on that circuit; the design is untouched."""
    bench, widget = bench_of("wire", demo), None
    largest = {"fridge": ("specimen fridge", 48.0), "roof cooler": ("roof cooler", 1500.0),
               "entry and alarm": ("entry light", 4.0), "bench outlets": ("kettle", 1200.0), "usb": (None, 24.0)}  # fmt: skip
    for circuit in (*largest, *reversed(largest)):
        clock.now_s += 60
        bench.move("circuit", circuit)
        name, _ = largest[circuit]
        widget = bench.controls["load"].widget
        loads = [demo.load(name)] if name else demo.loads_on(circuit)
        assert widget.value == pytest.approx(loads[0].each_w)
        assert widget.min == pytest.approx(1.0)
        assert widget.max == pytest.approx(max(2.0 * loads[0].typical.power_high_w, loads[0].each_w))
        assert bench.design is demo, "moving the focus wrote into the design"
    assert widget is not None


def test_the_load_slider_writes_the_largest_load_alone(demo, bench_of):
    bench = on(bench_of("wire", demo), "entry and alarm")
    bench.move("load", 7.0)
    assert bench.design.get("load.entry light.power") == "7 W"
    assert bench.design.get("load.CO alarm.power") is None
    (run,) = [run for run in bench.answer.picture.runs if run.circuit.name == "entry and alarm"]
    assert run.current_a > 8.0 / 12.3 - 0.01


def test_a_circuit_without_a_load_has_no_load_to_move(changed, bench_of):
    def empty(raw):
        raw["load"] = [load for load in raw["load"] if load["circuit"] != "outdoor road side"]
        for stay in raw["stay"]:
            stay["on"].pop("dryer road side", None)

    bench = on(bench_of("wire", changed(empty)), "outdoor road side")
    assert bench.controls["load"].widget.disabled


# ── fit all circuits ──────────────────────────────────────────────────────────────────────────────────


def fit_all(bench, press):
    press(bench, "action")


def test_fit_all_takes_the_proposal_and_undo_takes_it_back(demo, bench_of, press, answer_to):
    bench = on(bench_of("wire", demo), "work lights")
    start, old = bench.verdict_text, bench.answer
    found = fit(demo)
    fit_all(bench, press)
    assert bench.design.model_dump() == found.design.model_dump() != demo.model_dump()
    assert escape(found.sentence) in bench.said
    assert bench.answer.text() == tl.study("wiring", found.design, circuit="work lights").text()
    assert escape(bench.answer.sentence) in bench.verdict_text
    assert bench.controls["wire"].widget.value == found.design.circuit("work lights").wire
    assert bench.controls["protection"].widget.value == found.design.circuit("work lights").protection
    assert bench.picture_text == expected(bench, "sizes", answer_to(bench), old), "what was there stays as a ghost"
    assert {c.severity for c in bench.answer.checks if c.rule == "wire-drop"} == {"holds"}
    press(bench, "undo")
    assert bench.design is demo
    assert bench.verdict_text == start


def test_fit_all_is_one_step_after_other_moves(demo, bench_of, press, clock):
    bench = on(bench_of("wire", demo), "fridge")
    bench.move("run", 20.0)
    moved = bench.design
    fit_all(bench, press)
    assert bench.design is not moved
    press(bench, "undo")
    assert bench.design is moved
    press(bench, "undo")
    assert bench.design is demo


def test_what_was_fitted_is_kept(file, bench_of, press):
    bench = bench_of("wire", tl.read_design(file))
    fit_all(bench, press)
    press(bench, "keep")
    again = tl.read_design(file)
    assert {c.name: (c.wire, c.protection) for c in again.circuits} == {
        c.name: (c.wire, c.protection) for c in bench.design.circuits
    }
    assert not any(one.changes for one in fit(again).circuits)


def test_a_fit_that_breaks_is_recorded(demo, bench_of, press, monkeypatch, watch):
    def broken(design):
        raise ZeroDivisionError("no fit")

    bench = bench_of("wire", demo)
    monkeypatch.setattr("trailerlib.bench.wire_bench.fit", broken)
    fit_all(bench, press)
    assert "not valid" in bench.verdict_text
    assert [type(error) for error in watch.faults()] == [ZeroDivisionError]
    assert bench.design is demo


# ── what follows the bench ────────────────────────────────────────────────────────────────────────────


def routes_of(bench: WireBench) -> Any:
    return tl.bench.routes(bench)


def below(box: Any) -> str:
    return str(box.children[1].value)


def plan(bench: WireBench, ghost: Answer | None, design: Design | None = None) -> str:
    assert bench.answer is not None
    return pictures.route_plan(bench.answer, ghost, design or bench.design, circuit=bench.focus)


def test_the_routes_follow_the_bench(demo, bench_of, clock):
    bench = bench_of("wire", demo)
    box = routes_of(bench)
    assert below(box) == plan(bench, None)
    seen = {below(box)}
    for circuit in FOCUSED:
        bench.move("circuit", circuit)
        assert below(box) == plan(bench, None)
        seen.add(below(box))
    assert len(seen) >= 3
    old = bench.answer
    clock.now_s += 60
    bench.move("wire", "4 AWG")
    assert below(box) == plan(bench, old)
    bench.undo()
    assert below(box) == plan(bench, None)


def test_a_follower_is_called_at_once_and_after_every_change(demo, bench_of, clock):
    bench, heard = bench_of("wire", demo), []
    bench.follow(lambda answer, ghost: heard.append((answer, ghost)))
    assert heard == [(bench.answer, None)]
    first = bench.answer
    bench.move("run", 20.0)
    assert heard[-1] == (bench.answer, first)
    bench.move("charge", 20.0)
    assert heard[-1] == (bench.answer, None)


def test_a_follower_that_breaks_replaces_the_verdict(demo, bench_of, watch, is_stale, clock):
    """An old drawing beside a new answer is as bad as an old answer."""
    bench, trouble = bench_of("wire", demo), []

    def follower(answer, ghost):
        if trouble:
            raise ZeroDivisionError("the plan <i> is lost")

    bench.follow(follower)
    assert "not valid" not in bench.verdict_text
    trouble.append(True)
    bench.move("run", 20.0)
    assert "not valid" in bench.verdict_text
    assert "the plan &lt;i&gt; is lost" in bench.verdict_text
    assert is_stale(bench) == (True, True)
    assert [type(error) for error in watch.faults()] == [ZeroDivisionError]
    trouble.clear()
    clock.now_s += 60
    bench.move("run", 21.0)
    assert "not valid" not in bench.verdict_text
    assert is_stale(bench) == (False, False)


def test_a_bench_without_circuits_shows_something_for_every_picture(changed, bench_of):
    def bare(raw):
        for key in ("load", "circuit", "charger", "stay"):
            raw.pop(key, None)

    bench = bench_of("wire", changed(bare))
    for name in PICTURES:
        assert show(bench, name).startswith("<svg")
    assert "not valid" not in bench.verdict_text
