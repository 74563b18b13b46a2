"""A page's first move comes on the kernel's main thread, those after it on another: the last one is what is shown."""

from __future__ import annotations

import asyncio
import threading

import pytest

from trailerlib.bench import panes
from trailerlib.bench.later import Later

RESTS_S = 0.4


def on_a_loop(act):
    """A thread of its own, with a loop that runs until what waits has been done."""

    async def run():
        act()
        await asyncio.sleep(RESTS_S)

    thread = threading.Thread(target=lambda: asyncio.run(run()))
    thread.start()
    return thread


@pytest.mark.parametrize("name", ["wire", "night"])
def test_a_page_that_is_being_written_when_the_next_move_comes_is_written_again(name, demo, bench_of, monkeypatch):
    bench, key = bench_of(name, demo), {"wire": "run", "night": "ambient"}[name]
    here = bench.controls[key].widget.value
    begun, go, real = threading.Event(), threading.Event(), panes.numbers_and_table

    def slow(answer, focus=None):
        if not begun.is_set():  # the first page takes its time
            begun.set()
            go.wait(5)
        return real(answer, focus)

    monkeypatch.setattr(panes, "numbers_and_table", slow)
    first = on_a_loop(lambda: bench.move(key, here + 1))
    assert begun.wait(5), "no page was written after the first move"
    second = on_a_loop(lambda: bench.move(key, here + 4))
    threading.Timer(0.3, go.set).start()
    first.join()
    second.join()
    assert bench.controls[key].get(bench.design) == pytest.approx(here + 4)
    assert bench._pages[0].value == real(bench.answer, bench.focus)
    assert bench.picture_text == bench.draw(bench.answer, bench._ghost)


def test_moves_from_two_threads_at_once_are_all_taken_and_the_bench_says_one_of_them(demo, bench_of):
    bench = bench_of("night", demo)
    here = bench.controls["ambient"].widget.value
    moves = [on_a_loop(lambda n=n: [bench.move("ambient", here + n + k / 10) for k in range(10)]) for n in (0, 5)]
    for one in moves:
        one.join()
    stands = bench.controls["ambient"].get(bench.design)
    assert any(stands == pytest.approx(here + n + 0.9) for n in (0, 5))
    assert bench.answer.sentence == bench.ask(bench.design).sentence
    assert bench._pages[0].value == panes.numbers_and_table(bench.answer, bench.focus)


def test_of_what_waits_on_two_loops_only_the_last_is_done():
    later, done = Later(), []
    first = on_a_loop(lambda: later.do("it", 0.2, lambda: done.append("first")))
    second = on_a_loop(lambda: later.do("it", 0.2, lambda: done.append("second")))
    first.join()
    second.join()
    assert len(done) == 1
    on_a_loop(lambda: (later.do("it", 0.1, lambda: done.append("dropped")), later.drop())).join()
    assert len(done) == 1
