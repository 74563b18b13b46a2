"""The hidden fault of lesson 8: closed until the number stands, refuted by a reading, right with its reason, kept."""

from __future__ import annotations

import json
from pathlib import Path

import ipywidgets as widgets
import pytest

import trailerlib as tl
from trailerlib.bench.lesson_page import OWNER_VARIABLE
from trailerlib.bench.way_hunt import WayHunt
from trailerlib.design.learner import LEARNERS_VARIABLE, learner_path, read_learner
from trailerlib.studies.lessons.way_fault import CHOICES, PLACES, WayFault, hidden

MANY = 120
BOTH = ("feed drop", "return drop")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(LEARNERS_VARIABLE, str(tmp_path / "learners"))
    monkeypatch.delenv(OWNER_VARIABLE, raising=False)
    return tmp_path / "learners"


@pytest.fixture(scope="module")
def faults() -> list[WayFault]:
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    return [hidden(design, number) for number in range(1, MANY + 1)]


def hunt() -> WayHunt:
    """The hunt of a learner who has committed a number."""
    page = tl.bench.lesson("L8")
    page.progress.name.value = "Ann"
    box = tl.bench.fault_on_the_way(page)
    page.take(0.5)
    return box


def told(box: WayHunt) -> str:
    """What it says, with plain spaces."""
    return box.said.replace("\u00a0", " ")


def wrong_guess(fault: WayFault, measured: tuple[str, ...]) -> str:
    """One that the readings refute."""
    return next(
        key for key in CHOICES
        if key != fault.planted.fault.key and "No reading" not in fault.judge(key, measured).why
    )  # fmt: skip


def test_every_fault_is_hidden_now_and_then_and_never_twice_in_a_row(faults: list[WayFault]) -> None:
    assert {one.planted.fault.key for one in faults} == set(CHOICES)
    truths = [(one.planted.fault.key, one.planted.step) for one in faults]
    assert all(first != second for first, second in zip(truths, truths[1:], strict=False))


def test_with_all_places_measured_the_truth_alone_is_right_and_the_others_are_refuted(faults: list[WayFault]) -> None:
    for fault in faults:
        for key in CHOICES:
            found = fault.judge(key, tuple(PLACES))
            assert found.right is (key == fault.planted.fault.key)
            assert "No reading" not in found.why and CHOICES[fault.planted.fault.key] not in found.why
            place = next(place for place, words in PLACES.items() if words in found.why)
            assert fault.shown(place, fault.read(place)) in found.why, "the reading that says so is not told"


def test_a_reading_that_refutes_does_what_the_sentence_says(faults: list[WayFault]) -> None:
    """Off where it would fit, or fits where it would be off: by the resistances along the way, worked out here."""
    parts = {
        "feed drop": ("extra resistance/terminal of work lights out", "extra resistance/wire of work lights out"),
        "return drop": ("extra resistance/terminal of work lights back", "extra resistance/wire of work lights back"),
    }  # fmt: skip
    for fault in faults:
        for place, inside in parts.items():
            here = fault.planted.fault.key in (*inside, "run/work lights")
            assert fault.differs(place) is here
            for key in CHOICES:
                if key != fault.planted.fault.key and (key in (*inside, "run/work lights")) is not here:
                    told = fault.judge(key, (place,)).why
                    assert ("it is off" if here else "it fits") in told


def test_halving_finds_it_with_four_readings_at_most(faults: list[WayFault]) -> None:
    """Out, back, and then a part of either: what is not refuted then is the fault."""
    for fault in faults:
        measured = [*BOTH]
        if fault.differs("feed drop") and not fault.differs("return drop"):
            measured.append("part/terminal of work lights out")
        if fault.differs("return drop") and not fault.differs("feed drop"):
            measured.append("part/terminal of work lights back")
        left = [
            key for key in CHOICES
            if key == fault.planted.fault.key or "No reading" in fault.judge(key, tuple(measured)).why
        ]  # fmt: skip
        assert left == [fault.planted.fault.key], (fault.planted.fault.key, left)


def test_a_guess_without_a_telling_reading_is_neither_refuted_nor_helped(faults: list[WayFault]) -> None:
    for fault in faults:
        if fault.planted.fault.key != "extra resistance/fuse of work lights":
            assert "No reading" in fault.judge(wrong_guess(fault, BOTH), ()).why


def test_nothing_is_hidden_before_the_number_stands() -> None:
    widgets.Widget.close_all()
    page = tl.bench.lesson("L8")
    box = tl.bench.fault_on_the_way(page)
    assert box.picture_text == "" and box._fault is None
    page.take(0.5)
    sent = json.dumps(widgets.Widget.get_manager_state(drop_defaults=False), default=str, ensure_ascii=False)
    sent = sent.replace("\u00a0", " ")
    assert box.picture_text.startswith("<svg")
    assert box.fault.truth not in sent
    for place in PLACES:
        reading = box.fault.shown(place, box.fault.read(place))
        assert reading not in sent, "a reading nobody has taken is on the page"
    widgets.Widget.close_all()


def test_nothing_measured_and_nothing_said_is_not_taken(folder: Path) -> None:
    box = hunt()
    box.press()
    assert "Measure at one place first" in told(box)
    box.measure("feed drop")
    box.press()
    assert "Say first what it is" in told(box)
    box.tell()
    assert box.fault.truth not in told(box)
    assert [one.task for one in read_learner(learner_path("Ann")).attempts] == ["question"]


def test_wrong_then_right_is_told_why_and_kept() -> None:
    box = hunt()
    for place in BOTH:
        box.measure(place)
        assert box.meters[place].disabled
    box.guess.value = wrong_guess(box.fault, BOTH)
    box.press()
    assert "▲ not it" in told(box) and box.fault.judge(box.guess.value, BOTH).why in told(box)
    assert box.fault.truth not in told(box) and not box.show.disabled
    box.guess.value = box.fault.planted.fault.key
    box.press()
    assert "✓ right" in told(box) and box.fault.truth in told(box) and "2 readings" in told(box)
    kept = [(one.task, one.result) for one in read_learner(learner_path("Ann")).attempts[1:]]
    assert kept == [("hidden fault 1", "off"), ("hidden fault 1", "right")]


def test_giving_up_shows_it_after_a_guess_and_the_next_one_is_hidden_again() -> None:
    box = hunt()
    box.measure("volts")
    box.guess.value = "run/work lights"
    box.press()
    box.tell()
    assert "shown" in told(box) and box.fault.truth in told(box) and box.commit.disabled
    first = box.fault.planted.seed
    box._next()
    assert box.fault.planted.seed != first and box.measured == () and not box.commit.disabled
    assert "Measure, then say what it is." in told(box) and box.guess.value == ""


def test_the_owner_may_look_at_once(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    monkeypatch.setenv(OWNER_VARIABLE, "yes")
    box = tl.bench.fault_on_the_way(tl.bench.lesson("L8"))
    box.tell()
    assert box.fault.truth in told(box)
    assert not folder.exists()


def test_a_broken_learners_file_is_said_and_the_guess_not_taken(folder: Path) -> None:
    box = hunt()
    box.measure("feed drop")
    learner_path("Ann").write_text("name = ", encoding="utf-8")
    box.guess.value = box.fault.planted.fault.key
    box.press()
    assert "ann.learner.toml" in told(box) and box.fault.truth not in told(box)
    assert learner_path("Ann").read_text(encoding="utf-8") == "name = "
