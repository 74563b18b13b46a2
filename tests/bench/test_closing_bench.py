"""The bench of the closing-in test and the hunt for a fault: entries, what follows them, what is kept."""

from __future__ import annotations

import re
import shutil

import pytest

import trailerlib as tl
from trailerlib.bench import faults
from trailerlib.bench.closing_bench import ClosingBench
from trailerlib.bench.fault_hunt import FaultHunt
from trailerlib.design.readings import read_readings, readings_path
from trailerlib.pictures import closing_plan, closing_stairs
from trailerlib.studies.closing.diagnose import diagnose
from trailerlib.studies.closing.drawn import picture_of
from trailerlib.studies.closing.planted import plant

REST = "rest/battery volts"


@pytest.fixture
def trailer(tmp_path):
    return shutil.copy(tl.shipped_trailers()["fen-survey"], tmp_path / "trailer.toml")


@pytest.fixture
def bench(trailer):
    return ClosingBench(tl.read_design(trailer))


def row(bench, key):
    (found,) = [row for row in bench.form._rows if row.key == key]
    return found


def type_in(bench, key, text):
    """Go to a line as a person does, and type."""
    bench.go_to(key)
    row(bench, key).field.value = text


def test_nothing_is_asked_of_a_design_before_something_is_typed(bench):
    assert bench.answer.sentence in bench.verdict_text
    assert bench.readings == {}
    assert "Measure next" in bench._next.value


def test_an_entry_moves_verdict_next_and_picture(bench):
    for key, text in ((REST, "12.85"), ("alone/specimen fridge/feed drop", "0.5 V")):
        type_in(bench, key, text)
    values = {REST: 12.85, "alone/specimen fridge/feed drop": 0.5}
    assert bench.readings == values
    answer = tl.study("closing", bench.design, readings=values)
    assert answer.sentence in bench.verdict_text.replace("&#x27;", "'")
    found = diagnose(bench.design, values)
    assert bench.diagnosis(bench.answer).next.line.key == found.next.line.key
    drawn = picture_of(bench.design, bench.sheet, found, values, "alone/specimen fridge/feed drop")
    assert bench.picture_text == closing_stairs(drawn)
    bench._shown.value = "plan"
    assert bench.picture_text == closing_plan(drawn, bench.design)


def test_a_bare_number_is_in_the_unit_the_form_names(bench):
    type_in(bench, "alone/specimen fridge/feed drop", "78")
    assert "in mV" in row(bench, "alone/specimen fridge/feed drop").small.value
    assert bench.readings["alone/specimen fridge/feed drop"] == pytest.approx(0.078)


def test_the_mark_of_a_line_has_a_word(bench):
    for text, word in (("12.85", "✓ agrees"), ("11", "✗ differs"), ("", "– not measured"), ("abc", "? unclear")):
        type_in(bench, REST, text)
        assert word in row(bench, REST).mark.value


def test_a_text_that_cannot_be_read_stays_is_explained_and_counts_for_nothing(bench):
    type_in(bench, REST, "12.85")
    type_in(bench, "rest/block volts", "12,85")
    assert "has a comma" in row(bench, "rest/block volts").small.value
    assert bench.readings == {REST: 12.85}
    bench.move("stage", "mains")
    bench.move("stage", "battery")
    bench.go_to("rest/block volts")
    assert row(bench, "rest/block volts").field.value == "12,85"
    assert row(bench, REST).field.value == "12.85"
    type_in(bench, "rest/block volts", "12.85")
    assert "has a comma" not in row(bench, "rest/block volts").small.value
    assert len(bench.readings) == 2


def test_a_wrong_text_never_throws_a_kept_reading_away(bench, trailer):
    bench.date.value = "2026-03-01"
    type_in(bench, REST, "12.85")
    bench.keep()
    type_in(bench, REST, "x")
    assert bench.readings == {}
    bench.keep()
    assert "not understood" in bench.said
    assert read_readings(trailer).values() == {REST: 12.85}


def test_keep_wants_a_date_and_writes_beside_the_design(bench, trailer):
    type_in(bench, REST, "12.85")
    bench.keep()
    assert "date" in bench.said
    assert not readings_path(trailer).exists()
    bench.date.value, bench.by.value = "1 March", "AB"
    bench.keep()
    assert "is not a date" in bench.said
    assert not readings_path(trailer).exists()
    bench.date.value = "2026-03-01"
    bench.keep()
    one = read_readings(trailer)[REST]
    assert (one.value, one.on, one.by) == (12.85, "2026-03-01", "AB")
    assert ClosingBench(tl.read_design(trailer)).readings == {REST: 12.85}


def test_a_later_keep_leaves_the_date_of_earlier_readings(bench, trailer):
    bench.date.value = "2026-03-01"
    type_in(bench, REST, "12.85")
    bench.keep()
    bench.date.value = "2026-03-02"
    type_in(bench, "rest/block volts", "12.84")
    bench.keep()
    kept = read_readings(trailer)
    assert {key: kept[key].on for key in kept} == {REST: "2026-03-01", "rest/block volts": "2026-03-02"}


def test_undo_clear_and_read_again(bench):
    bench.date.value = "2026-03-01"
    type_in(bench, REST, "12.85")
    bench.keep()
    type_in(bench, REST, "11")
    bench.undo()
    assert bench.readings == {REST: 12.85}
    assert row(bench, REST).field.value == "12.85"
    bench.clear()
    assert bench.readings == {}
    bench.reset()
    assert bench.readings == {REST: 12.85}
    bench.undo()
    assert bench.readings == {}
    for _ in range(5):
        bench.undo()
    assert "nothing to take back" in bench.said


def test_a_file_of_readings_that_cannot_be_read_is_said_and_left(trailer):
    readings_path(trailer).write_text("this is no list")
    bench = ClosingBench(tl.read_design(trailer))
    assert "trailer.readings.toml" in bench.said
    bench.date.value = "2026-03-01"
    type_in(bench, REST, "12.85")
    bench.keep()
    assert readings_path(trailer).read_text() == "this is no list", "it was overwritten"
    assert bench.readings == {REST: 12.85}


def test_go_there_turns_to_the_line(bench):
    type_in(bench, REST, "12.85")
    following = bench.diagnosis(bench.answer).next.line
    bench.go()
    assert bench.at == following.key
    assert bench.controls["stage"].widget.value == following.stage
    assert row(bench, following.key).box.layout.display != "none"


def test_every_round_can_be_picked_and_shows_its_lines(bench):
    for stage in ("dead", "battery", "mains"):
        bench.move("stage", stage)
        for _, name in bench.controls["round"].widget.options:
            bench.move("round", name)
            shown = [one.key for one in bench.form._rows if one.box.layout.display != "none"]
            assert shown == list(next(r for r in bench.rounds if r.name == name).keys)
            assert not faults.recorded()


def test_looking_around_asks_nothing_anew(bench, monkeypatch):
    type_in(bench, REST, "12.85")
    asked = []
    monkeypatch.setattr("trailerlib.studies.closing.answer", lambda *a, **k: asked.append(a))
    bench.move("stage", "mains")
    bench.go_to("bond/frame")
    assert asked == []


def test_an_error_takes_the_place_of_the_verdict(bench, monkeypatch, watch):
    def fail(*_):
        raise RuntimeError("meter on fire")

    monkeypatch.setattr("trailerlib.studies.closing.answer", fail)
    type_in(bench, REST, "12.85")
    assert "not valid" in bench.verdict_text
    assert [str(error) for error in watch.faults()] == ["meter on fire"]


def test_it_says_in_words_how_far_each_round_is(bench):
    type_in(bench, REST, "12.85")
    text = bench.in_words()
    assert re.search(r"battery: at rest +1 of 2 read", text)
    assert bench.answer.sentence.split(".")[0] in " ".join(text.split())


@pytest.mark.parametrize("name", sorted(tl.shipped_trailers()))
def test_both_benches_open_on_every_trailer(name):
    design = tl.read_design(tl.shipped_trailers()[name])
    for bench in (tl.bench.closing(design), tl.bench.find_the_fault(design)):
        assert "<svg" in bench.picture_text
        assert "not valid" not in bench.verdict_text


# The hunt


@pytest.fixture
def hunt(trailer):
    return FaultHunt(tl.read_design(trailer))


def everything_shown(hunt):
    """All that the page shows: verdict, picture, pages, marks."""
    pages = []
    for number in range(3):
        hunt._tabs.selected_index = number
        pages.append(hunt._pages[number].value)
    marks = [r.mark.value + r.small.value for r in hunt.form._rows if r.key]
    return " ".join([hunt.verdict_text, hunt.picture_text, hunt.said, *pages, *marks])


def test_measuring_counts_and_shows_what_the_hidden_trailer_reads(hunt):
    hidden = plant(hunt.design, 1)
    for key in ("alone/USB at the bench/volts", "rest/battery volts"):
        hunt.go_to(key)
        row(hunt, key).field.click()
    assert hunt.readings == {key: hidden.read(key) for key in ("alone/USB at the bench/volts", "rest/battery volts")}
    assert "2 measurements" in hunt.verdict_text
    row(hunt, "rest/battery volts").field.click()
    assert "2 measurements" in hunt.verdict_text


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_the_truth_is_not_shown_before_a_fault_is_named(hunt, seed):
    hunt.move("seed", seed)
    hidden = plant(hunt.design, seed)
    for key in hidden.keys[::7]:
        hunt._on_entry(key, "")
    shown = everything_shown(hunt)
    assert "Suspected" not in shown
    assert "▲" not in hunt.picture_text
    assert "Measure next" not in shown
    assert hidden.fault.says.split("{")[0].strip(": ")[:30] not in shown.replace("&#x27;", "'")
    hunt.commit()
    assert "Say first" in hunt.said
    assert "hidden" in hunt.verdict_text


def name_it(hunt, fault):
    hunt.move("kind", fault.kind)
    hunt.move("guess", fault.key)
    hunt.commit()


def test_naming_it_right_tells_the_truth_and_the_score(trailer):
    hunt = FaultHunt(tl.read_design(tl.shipped_trailers()["one-lamp"]))
    hidden = plant(hunt.design, 1)
    hunt._on_entry("alone/lamp/volts", "")
    name_it(hunt, hidden.fault)
    assert "✓ found" in hunt.verdict_text
    assert "Found with 1 measurement." in hunt.verdict_text
    assert f"By the most telling line {hidden.best}" in hunt.verdict_text
    assert hunt.at == hidden.shown_by
    assert "It was" in hunt.picture_text and "Suspected" not in hunt.picture_text
    hunt._on_entry("rest/battery volts", "")
    assert "over" in hunt.said
    assert list(hunt.readings) == ["alone/lamp/volts"]


def test_naming_it_wrong_tells_the_truth_too():
    hunt = FaultHunt(tl.read_design(tl.shipped_trailers()["one-lamp"]))
    hidden = plant(hunt.design, 1)
    wrong = next(f for f in hunt._faults() if f.key != hidden.fault.key)
    name_it(hunt, wrong)
    assert "✗ not it" in hunt.verdict_text
    assert f"You said {wrong.subject}" in hunt.verdict_text
    hunt.another()
    assert hunt.controls["seed"].widget.value == 2
    assert "hidden" in hunt.verdict_text
    assert hunt.readings == {}


def test_the_hunt_writes_nothing(hunt, trailer, tmp_path):
    before = sorted(tmp_path.iterdir())
    for key in hunt.planted.keys[:9]:
        hunt._on_entry(key, "")
    hunt.reset()
    hunt.another()
    assert sorted(tmp_path.iterdir()) == before
    assert ClosingBench(tl.read_design(trailer)).readings == {}
