"""The step a hand takes next is asked for while it rests: the same answer, sooner, and never another one."""

from __future__ import annotations

import asyncio
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.bench import ahead, base, faults
from trailerlib.bench.later import Later
from trailerlib.bench.mains_bench import ON
from trailerlib.design.errors import DesignError

MOVES = {
    "loads": ("power", -1), "night": ("ambient", 1), "wire": ("run", 1), "mains": ("voltage", 1),
    "generator": ("elevation", 1), "cool": ("foam_walls", 1), "roof": ("along", -1), "tow": ("mass", 1),
}  # fmt: skip
LONGEST_S = 30.0


@pytest.fixture(autouse=True)
def _still(monkeypatch):
    """The clock stands still: however slow the machine, the hand leaves the time."""
    for room in (base, ahead):
        monkeypatch.setattr(room, "time", SimpleNamespace(monotonic=lambda: 100.0))


def rests(bench):
    """Whether the open page is written and all steps there are to look at have been looked at; or nothing will be."""
    step = bench._ahead._step
    looked = step is None or not step.next_far
    return bench.answer is None or bool(faults.recorded()) or (looked and 0 not in bench._stale_pages)


def steps(bench, key, notches, asks=None):
    """Move a control by so many notches each until the bench rests; how often it had asked when each verdict was out."""
    slider = bench.controls[key].widget

    async def run():
        counted = []
        for count in notches:
            before = len(asks or ())
            slider.value = slider.value + count * slider.step
            counted.append(len(asks or ()) - before)
            for _ in range(round(LONGEST_S / 0.01)):
                await asyncio.sleep(0.01)
                if rests(bench):
                    break
            else:
                raise AssertionError("the bench does not come to rest")
        return counted

    return asyncio.run(run())


@pytest.fixture
def asks(monkeypatch):
    """Every design a bench is asked of; call it with the bench."""
    told = []

    def listen(bench):
        ask = bench.ask
        monkeypatch.setattr(bench, "ask", lambda design: (told.append(design), ask(design))[1])
        return told

    return listen


def shown(bench):
    return bench.verdict_text, bench.picture_text, bench.focus, bench._pages[0].value, bench.design.raw


@pytest.mark.parametrize("name", MOVES)
def test_a_hand_that_keeps_its_pace_finds_the_same_answer_there(name, demo, bench_of, asks):
    key, way = MOVES[name]
    ours, theirs = bench_of(name, demo), bench_of(name, demo)
    there = steps(ours, key, [way] * 3, asks(ours))
    assert there == [1, 0, 0], "the first is asked for, those after it are there"
    slider = theirs.controls[key].widget
    for _ in range(3):  # no loop runs: nothing is asked for ahead
        slider.value = slider.value + way * slider.step
    assert shown(ours)[1:] == shown(theirs)[1:]
    assert ours.verdict_text == theirs.verdict_text


def test_a_scale_that_breaks_an_even_pace_is_followed(demo, bench_of, asks):
    bench = bench_of("night", demo)
    assert steps(bench, "ambient", [2, 2, 1, 3, 2, 2, 1, 3], asks(bench))[2:] == [0] * 6


def test_a_hand_that_turns_is_answered_as_if_nothing_had_been_expected(demo, bench_of, asks):
    bench = bench_of("wire", demo)
    counted = steps(bench, "run", [1, 1, -4, -1], asks(bench))
    assert counted[2] == 1, "nobody had thought of that"
    fresh = tl.study("wiring", bench.design, circuit=bench.focus)
    assert bench.answer.sentence == fresh.sentence and bench.answer.findings == fresh.findings


def test_what_else_was_changed_meanwhile_counts(demo, bench_of, asks):
    """A load switched on changes no design: the answer that was expected is not that of the present state."""
    bench = bench_of("mains", demo)
    told = asks(bench)
    steps(bench, "voltage", [1, 1], told)
    assert bench._ahead._expected
    tick = next(control for key, control in bench.controls.items() if key.startswith(ON))
    tick.widget.value = not tick.widget.value
    assert not bench._ahead._expected
    counted = steps(bench, "voltage", [1], told)
    supply = bench.controls["supply"].widget.value
    assert counted == [1]
    assert bench.answer.sentence == tl.study("mains", bench.design, supply=supply, on=bench.now).sentence


def test_a_step_expected_of_one_design_is_none_of_another(demo, bench_of, asks):
    bench = bench_of("night", demo)
    told = asks(bench)
    steps(bench, "ambient", [1, 1], told)
    bench.design = bench.design.replace("comfort.co2", 900)  # as if something else had put it there
    assert steps(bench, "ambient", [1], told) == [1]
    assert bench.design.raw["comfort"]["co2"] == 900


def test_undo_goes_back_past_what_was_expected(demo, bench_of):
    bench = bench_of("wire", demo)
    before = bench.controls["run"].get(bench.design)
    steps(bench, "run", [1, 1, 1])
    bench.undo()
    assert bench.controls["run"].get(bench.design) == pytest.approx(before)
    assert bench.verdict_text == bench_of("wire", demo).verdict_text


def test_looking_ahead_moves_nothing_on_the_bench(demo, bench_of, monkeypatch):
    bench = bench_of("generator", demo)
    asked, real = [], bench.ask

    def ask(design):
        asked.append(design)
        answer = real(design)
        bench.focus = f"class {len(asked)}"
        return answer

    monkeypatch.setattr(bench, "ask", ask)
    steps(bench, "elevation", [1])
    assert len(asked) > 1 and bench.focus == "class 1"
    steps(bench, "elevation", [1])
    assert bench.focus == "class 2", "what was in focus with the answer that was there"


def test_nothing_beyond_the_end_of_a_scale_is_asked_for(demo, bench_of, asks):
    bench = bench_of("night", demo)
    slider, told = bench.controls["ambient"].widget, asks(bench)
    slider.max = slider.value + slider.step
    steps(bench, "ambient", [1], told)
    highest = max(bench.controls["ambient"].get(design) for design in told)
    assert highest == pytest.approx(slider.max)


def fails_two_steps_on(bench, error, monkeypatch):
    """The bench has an answer for the next step of its air at night, and none beyond."""
    real, far = bench.ask, bench.controls["ambient"].widget.value + 1.5

    def ask(design):
        if bench.controls["ambient"].get(design) > far:
            raise error
        return real(design)

    monkeypatch.setattr(bench, "ask", ask)


def test_what_is_wrong_with_a_step_is_said_when_it_is_taken(demo, bench_of, monkeypatch, watch):
    bench = bench_of("night", demo)
    fails_two_steps_on(bench, DesignError("stay: too warm to say."), monkeypatch)
    steps(bench, "ambient", [1])
    assert "too warm" not in bench.verdict_text and bench.answer is not None and not watch.faults()
    steps(bench, "ambient", [1])
    assert "too warm to say" in bench.verdict_text
    assert [str(error) for error in watch.faults()] == ["stay: too warm to say."]


def test_a_fault_met_ahead_is_recorded_and_the_verdict_stays(demo, bench_of, monkeypatch, watch):
    bench = bench_of("night", demo)
    fails_two_steps_on(bench, ZeroDivisionError("ahead"), monkeypatch)
    steps(bench, "ambient", [1])
    assert bench.answer is not None and "ahead" not in bench.verdict_text
    assert {type(error) for error in watch.faults()} == {ZeroDivisionError}


def test_where_nothing_runs_later_nothing_is_asked_ahead(demo, bench_of, asks):
    bench = bench_of("night", demo)
    told = asks(bench)
    bench.controls["ambient"].widget.value += 1.0
    assert len(told) == 1
    done = []
    assert not Later().perhaps("it", 0.0, lambda: done.append(1)) and not done


@pytest.fixture
def hand(monkeypatch):
    """A slider, a clock that stands still, and answers that take as long as the test says."""
    now = SimpleNamespace(s=100.0, takes_s=0.004)
    monkeypatch.setattr(ahead, "time", SimpleNamespace(monotonic=lambda: now.s))
    slider = SimpleNamespace(min=0.0, max=1000.0, step=1.0)
    now.control = SimpleNamespace(widget=slider, put=lambda design, value: {("at",): value})
    now.asked = []

    class Place(SimpleNamespace):
        def replace_all(self, changes):
            return Place(at=changes[("at",)])

    def ask(design):
        now.s += now.takes_s
        now.asked.append(design.at)
        return f"answer at {design.at:g}", "focus"

    now.ask, now.start, now.ahead = ask, Place(at=10.0), ahead.Ahead()
    return now


def go(hand, design, to):
    """A move as a bench makes it; the new design and its answer."""
    changes = hand.control.put(design, to)
    found = hand.ahead.design(design, changes) or design.replace_all(changes)
    hand.ahead.moved(hand.control, design.at, to)
    return found, hand.ahead.answer(found, hand.ask)[0]


def test_a_hand_that_leaves_no_time_is_not_held_up(hand):
    design, _ = go(hand, hand.start, 11.0)
    hand.s += 0.010
    design, _ = go(hand, design, 12.0)
    hand.s += 0.007
    assert not hand.ahead.look(design, hand.ask) and hand.asked == [11.0, 12.0]
    hand.s += 0.033
    design, _ = go(hand, design, 13.0)
    hand.s += 0.034
    assert hand.ahead.look(design, hand.ask) and hand.asked[-1] == 14.0


def test_an_answer_that_takes_long_is_not_asked_for_ahead(hand):
    hand.takes_s = 0.021
    design, _ = go(hand, hand.start, 11.0)
    assert not hand.ahead.look(design, hand.ask) and hand.asked == [11.0]
    hand.takes_s = 0.019
    design, _ = go(hand, design, 12.0)
    hand.s += 0.5
    design, _ = go(hand, design, 13.0)
    assert hand.ahead.look(design, hand.ask) and hand.asked[-1] == 14.0


def test_a_change_that_is_none_of_a_scale_is_followed_by_nothing(hand):
    for was, now in (("a", "b"), (False, True), (None, 3.0)):
        hand.ahead.moved(hand.control, was, now)
        assert not hand.ahead.look(hand.start, hand.ask)
    del hand.control.widget.step
    hand.ahead.moved(hand.control, 1.0, 2.0)
    assert not hand.ahead.look(hand.start, hand.ask) and not hand.asked


@given(st.lists(st.integers(-4, 4).filter(bool), min_size=1, max_size=12))
def test_whatever_the_hand_does_every_answer_is_that_of_where_it_stands(notches):
    slider = SimpleNamespace(min=0.0, max=20.0, step=1.0)
    control = SimpleNamespace(widget=slider, put=lambda design, value: {("at",): value})

    class Place(SimpleNamespace):
        def replace_all(self, changes):
            return Place(at=changes[("at",)])

    look, here, asked = ahead.Ahead(), Place(at=10.0), []
    ask = lambda design: (asked.append(design.at) or f"at {design.at:g}", design.at)  # noqa: E731
    for count in notches:
        to = min(max(here.at + count, 0.0), 20.0)
        if to == here.at:
            continue
        changes = control.put(here, to)
        changed = look.design(here, changes) or here.replace_all(changes)
        look.moved(control, here.at, to)
        here = changed
        assert look.answer(here, ask) == (f"at {to:g}", to)
        look._step = ahead.replace(look._step, pace_s=float("inf"))
        while look.look(here, ask):
            pass
        assert all(0.0 <= at <= 20.0 for at in asked)


def test_the_pace_is_that_of_one_slider(hand):
    """A move of another one a moment ago says nothing of how fast this one is moved, nor how far."""
    other = SimpleNamespace(widget=hand.control.widget, put=hand.control.put)
    hand.ahead.moved(other, 3.0, 8.0)
    hand.s += 0.002
    design, _ = go(hand, hand.start, 11.0)
    hand.s += 0.007
    while hand.ahead.look(design, hand.ask):
        pass
    assert hand.asked == [11.0, 12.0, 13.0]
