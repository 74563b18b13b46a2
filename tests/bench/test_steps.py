"""Undo, Reset and Keep: what was moved can be taken back, and a file is never lost."""

from __future__ import annotations

import pytest

import trailerlib as tl

MOVES = {
    "loads": ("power", (4.0, 5.0)),
    "night": ("capacity", (150.0, 200.0)),
    "wire": ("run", (20.0, 30.0)),
    "mains": ("voltage", (110.0, 105.0)),
    "generator": ("elevation", (7000.0, 9000.0)),
    "cool": ("set_point", (70.0, 72.0)),
    "roof": ("depth", (2.0, 2.5)),
    "tow": ("along", (3.0, 6.0)),
}


def state(bench):
    """All that a person sees of a bench, but for the ghost and what it said."""
    return bench.design.model_dump_json(), {k: c.widget.value for k, c in bench.controls.items()}, bench.verdict_text


def test_every_bench_is_moved_here(benches):
    assert set(MOVES) == benches


@pytest.mark.parametrize("name", MOVES)
def test_undo_goes_back_step_by_step(name, demo, bench_of, press, clock, answer_to, picture_of):
    bench = bench_of(name, demo)
    key, values = MOVES[name]
    seen = [state(bench)]
    for value in values:
        clock.now_s += 60
        bench.move(key, value)
        seen.append(state(bench))
    assert len({s[0] for s in seen}) == 3
    for before in reversed(seen[:-1]):
        press(bench, "undo")
        assert state(bench) == before
        assert bench.picture_text == picture_of(bench, answer_to(bench), None)
        assert "Took back" in bench.said
    assert bench.design is demo


@pytest.mark.parametrize("name", MOVES)
def test_many_small_moves_in_quick_succession_are_one_step(name, demo, bench_of, press, clock, answer_to, picture_of):
    bench = bench_of(name, demo)
    key, _ = MOVES[name]
    widget = bench.controls[key].widget
    start, first = state(bench), answer_to(bench)
    for _ in range(8):
        clock.now_s += 0.1
        bench.move(
            key, widget.value - widget.step if widget.value + widget.step > widget.max else widget.value + widget.step
        )
    assert state(bench) != start
    assert bench.picture_text == picture_of(bench, answer_to(bench), first), "the ghost is not where the drag began"
    press(bench, "undo")
    assert state(bench) == start


def test_two_controls_in_quick_succession_are_two_steps(demo, bench_of, press, clock):
    bench = bench_of("night", demo)
    bench.move("capacity", 150.0)
    middle = state(bench)
    clock.now_s += 0.1
    bench.move("ambient", 20.0)
    press(bench, "undo")
    assert state(bench) == middle


def test_one_control_on_two_circuits_is_two_steps(demo, bench_of, press, clock):
    """The same slider on another circuit is another move, however quick the hand."""
    bench = bench_of("wire", demo)
    bench.move("circuit", "fridge")
    bench.move("run", 20.0)
    clock.now_s += 0.4
    bench.move("circuit", "usb")
    clock.now_s += 0.4
    bench.move("run", 30.0)
    press(bench, "undo")
    assert bench.design.circuit("usb").run is None, "usb was not taken back to what the layout says"
    assert bench.design.circuit("fridge").run == pytest.approx(20 * 0.3048), "the fridge went with it"


def test_nothing_to_undo_is_said(demo, bench_of, press):
    bench = bench_of("night", tl.design_from(demo.raw))
    before = state(bench)
    press(bench, "undo")
    assert state(bench) == before
    assert "nothing to take back" in bench.said


def test_undo_is_bounded_but_long(demo, bench_of, press, clock):
    bench = bench_of("generator", demo)
    for number in range(60):
        clock.now_s += 60
        bench.move("elevation", 100.0 * (number + 1))
    for _ in range(60):
        press(bench, "undo")
    assert bench.design is demo


@pytest.mark.parametrize("name", MOVES)
def test_reset_goes_back_to_the_file_and_can_be_undone(name, file, bench_of, press, clock):
    bench = bench_of(name, tl.read_design(file))
    start = state(bench)
    key, values = MOVES[name]
    bench.move(key, values[1])
    moved = state(bench)
    press(bench, "reset")
    assert state(bench) == start
    press(bench, "undo")
    assert state(bench) == moved


def test_reset_shows_what_the_file_says_now(file, bench_of, press):
    bench = bench_of("night", tl.read_design(file))
    file.write_text(file.read_text(encoding="utf-8").replace('"100 Ah"', '"140 Ah"'), encoding="utf-8")
    bench.move("capacity", 200.0)
    press(bench, "reset")
    assert bench.controls["capacity"].widget.value == 140.0
    assert tl.study("night", tl.read_design(file)).sentence in bench.verdict_text


def test_reset_over_a_broken_file_says_why_and_keeps_the_bench(file, bench_of, press):
    bench = bench_of("night", tl.read_design(file))
    bench.move("capacity", 200.0)
    before = state(bench)
    file.write_text("title = \n", encoding="utf-8")
    press(bench, "reset")
    assert state(bench) == before
    assert "trailer.toml" in bench.said
    assert "▲" in bench.said


@pytest.mark.parametrize("name", MOVES)
def test_keep_writes_the_file_and_a_second_bench_sees_it(name, file, bench_of, press):
    comments = [line.split("#", 1)[1] for line in file.read_text(encoding="utf-8").splitlines() if "#" in line]
    bench = bench_of(name, tl.read_design(file))
    key, values = MOVES[name]
    bench.move(key, values[1])
    shown = state(bench)[1:]
    press(bench, "keep")
    assert "Kept as revision 2" in bench.said
    text = file.read_text(encoding="utf-8")
    assert [line.split("#", 1)[1] for line in text.splitlines() if "#" in line] == comments
    second = bench_of(name, tl.read_design(file))
    if name == "wire":
        second.move("circuit", bench.controls["circuit"].widget.value)
    assert state(second)[1:] == shown


def test_keep_changes_only_what_was_moved(file, bench_of, press):
    before = file.read_text(encoding="utf-8").splitlines()
    bench = bench_of("night", tl.read_design(file))
    bench.move("capacity", 150.0)
    press(bench, "keep")
    after = file.read_text(encoding="utf-8").splitlines()
    differ = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert [(old.split("#")[0].strip(), new.split("#")[0].strip()) for old, new in differ] == [
        ("revision = 1", "revision = 2"),
        ('capacity = "100 Ah"', 'capacity = "150 Ah"'),
    ]


def test_a_newer_file_is_never_overwritten(file, bench_of, press):
    bench = bench_of("night", tl.read_design(file))
    bench.move("capacity", 200.0)
    newer = file.read_text(encoding="utf-8").replace('title = "Fen survey"', 'title = "Fen survey, changed by hand"')
    file.write_text(newer, encoding="utf-8")
    before = state(bench)
    press(bench, "keep")
    assert file.read_text(encoding="utf-8") == newer
    assert "changed on disk" in bench.said
    assert "▲" in bench.said
    assert state(bench) == before
    (spare,) = file.parent.glob("trailer.mine-*.toml")
    assert spare.name in bench.said
    assert tl.read_design(spare).battery.capacity == 200.0


def test_undo_after_keep_takes_the_file_back(file, bench_of, press):
    bench = bench_of("night", tl.read_design(file))
    start = state(bench)
    bench.move("capacity", 200.0)
    press(bench, "keep")
    assert tl.read_design(file).battery.capacity == 200.0
    press(bench, "undo")
    assert tl.read_design(file).battery.capacity == 100.0
    assert state(bench)[1:] == start[1:]
    assert "last Keep" in bench.said
    bench.move("capacity", 250.0)
    press(bench, "keep")
    assert tl.read_design(file).battery.capacity == 250.0


def test_undo_takes_moves_back_before_it_takes_a_keep_back(file, bench_of, press, clock):
    bench = bench_of("night", tl.read_design(file))
    bench.move("capacity", 200.0)
    press(bench, "keep")
    clock.now_s += 60
    bench.move("capacity", 300.0)
    press(bench, "undo")
    assert bench.controls["capacity"].widget.value == 200.0
    assert tl.read_design(file).battery.capacity == 200.0
    press(bench, "undo")
    assert tl.read_design(file).battery.capacity == 100.0


def test_undo_after_keep_is_refused_when_the_file_changed(file, bench_of, press):
    bench = bench_of("night", tl.read_design(file))
    bench.move("capacity", 200.0)
    press(bench, "keep")
    newer = file.read_text(encoding="utf-8").replace('title = "Fen survey"', 'title = "Fen survey, by hand"')
    file.write_text(newer, encoding="utf-8")
    press(bench, "undo")
    assert file.read_text(encoding="utf-8") == newer
    assert "changed on disk" in bench.said


def test_undo_on_a_fresh_bench_leaves_an_earlier_days_keep_alone(file, bench_of, press):
    """What was kept by another bench is not this bench's last move."""
    first = bench_of("night", tl.read_design(file))
    first.move("capacity", 200.0)
    press(first, "keep")
    fresh = bench_of("wire", tl.read_design(file))
    press(fresh, "undo")
    assert tl.read_design(file).battery.capacity == 200.0


def test_keep_of_a_design_without_a_file_says_so(demo, bench_of, press):
    bench = bench_of("night", tl.design_from(demo.raw))
    bench.move("capacity", 200.0)
    press(bench, "keep")
    assert "not read from a file" in bench.said
    assert bench.design.battery.capacity == 200.0


def test_a_page_hears_of_the_ends_of_a_slider_before_its_value(demo, bench_of):
    """It takes what it is told one after the other; a value put on the old ends would be clipped and sent back."""
    for name in MOVES:
        for control in bench_of(name, demo).controls.values():
            if hasattr(control.widget, "min"):
                assert list(control.widget.get_state(["value", "max", "min"]))[-1] == "value"


@pytest.mark.parametrize("appliance", ["ceiling lights", "work lights", "kettle"])
def test_the_number_beside_the_power_tells_its_steps_apart(appliance, demo, bench_of):
    """5.5 W is not shown as 6 W: a step more is another number on the page."""
    bench = bench_of("loads", demo)
    bench.controls["load"].widget.value = appliance
    slider = bench.controls["power"].widget
    shown = [format(slider.min + k * slider.step, slider.readout_format) for k in range(4)]
    assert len(set(shown)) == 4
