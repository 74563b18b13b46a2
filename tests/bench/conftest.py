"""Benches to move by hand, and a watch that fails a test when a callback failed unnoticed."""

from __future__ import annotations

import copy
import logging
from collections.abc import Callable, Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import ipywidgets as widgets
import pytest

import trailerlib as tl
from trailerlib import pictures
from trailerlib.bench import base, faults
from trailerlib.bench.base import Bench
from trailerlib.design.design import Design
from trailerlib.studies.answer import Answer

for _door in ("loads", "night", "wire", "mains", "generator", "cool", "roof", "tow", "start", "build"):
    getattr(tl.bench, _door)  # a test module that imports trailerlib.bench.night first must not hide the function

APART = {"closing", "trade"}  # what is tried of every bench is tried of these two in files of their own
UNHEARD = "Exception in"


class Watch(logging.Handler):
    """Hears the warnings in which the widget library buries an error of a callback."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        if record.getMessage().startswith(UNHEARD):
            self.heard.append(record.getMessage())

    def faults(self) -> list[Exception]:
        """What the benches recorded so far; handing it out says that the test expected it."""
        found = [error for _, error in faults.recorded()]
        faults.clear()
        return found

    def take_heard(self) -> list[str]:
        """The buried errors so far; handing them out says that the test expected them."""
        found, self.heard = self.heard, []
        return found


@pytest.fixture
def benches() -> set[str]:
    """Every bench but the two that stand apart: a table that lacks one of them has not tried it."""
    return {name for name, home in tl.bench._HOMES.items() if home.endswith("_bench")} - APART


@pytest.fixture(autouse=True)
def watch() -> Iterator[Watch]:
    """No test passes over an error of a callback that it did not ask for."""
    faults.clear()
    ear, loggers = Watch(), (logging.getLogger("traitlets"), logging.getLogger())
    for logger in loggers:
        logger.addHandler(ear)
    yield ear
    for logger in loggers:
        logger.removeHandler(ear)
    unexpected = ear.faults()
    assert not unexpected, f"a bench recorded {unexpected!r}"
    assert not ear.heard, f"a callback failed unheard: {ear.heard}"


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """The clock that tells one move from the next; it stands still until the test lets it go on."""
    hand = SimpleNamespace(now_s=1000.0)
    monkeypatch.setattr(base, "time", SimpleNamespace(monotonic=lambda: hand.now_s))
    return hand


@pytest.fixture(scope="session")
def demo() -> Design:
    """The demo trailer."""
    return tl.read_design(tl.shipped_trailers()["fen-survey"])


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A copy of the demo that may be written."""
    copied = tmp_path / "trailer.toml"
    copied.write_text(tl.shipped_trailers()["fen-survey"].read_text(encoding="utf-8"), encoding="utf-8")
    return copied


def make(name: str, design: Design) -> Bench:
    """One bench by its name."""
    found: Bench = getattr(tl.bench, name)(design)
    return found


@pytest.fixture(scope="session")
def bench_of() -> Callable[[str, Design], Bench]:
    """Makes a bench by name."""
    return make


def asked(bench: Bench, design: Design | None = None) -> Answer:
    """What the library answers to the bench's question, without the bench."""
    here = bench.design if design is None else design
    picked: Callable[[str], Any] = lambda key: bench.controls[key].widget.value  # noqa: E731
    if "circuit" in bench.controls:
        charge = bench.controls["charge"].widget
        full = {} if charge.disabled else {"charge": charge.value / 100}
        return tl.study("wiring", here, circuit=picked("circuit"), **full)
    if "supply" in bench.controls:
        chosen = picked("supply")
        return tl.study("mains", here) if chosen is None else tl.study("mains", here, supply=chosen, on=bench.now)
    if "kind" in bench.controls:
        return tl.study("generator", here)
    if "gap" in bench.controls:
        return tl.study("cooling", here)
    if "headers" in bench.controls:
        return tl.study("roof", here, opening=picked("opening"))
    if "water" in bench.controls:
        return tl.study("towing", here, thing=picked("item"), parked=picked("when"))
    if "count" in bench.controls:
        return tl.study("loads", here)
    assert "capacity" in bench.controls, f"give “{bench.name}” its lines here and below"
    return tl.study("night", here)


def drawn(bench: Bench, answer: Answer, ghost: Answer | None) -> str:
    """The picture the library draws of an answer, without the bench."""
    if "circuit" in bench.controls:
        assert bench.shown == "sizes", "the other pictures of this bench are tested by themselves"
        return pictures.wire_chart(answer, ghost, circuit=bench.controls["circuit"].widget.value)
    if "supply" in bench.controls:
        assert bench.shown == "panel", "the other pictures of this bench are tested by themselves"
        return pictures.panel_front(answer.picture.panel, None if ghost is None else ghost.picture.panel)
    if "kind" in bench.controls:
        return pictures.generator_bars(answer, ghost)
    if "gap" in bench.controls:
        assert bench.shown == "heat", "the other pictures of this bench are tested by themselves"
        return pictures.box_heat(answer, ghost)
    if "headers" in bench.controls:
        assert bench.shown == "outside", "the other pictures of this bench are tested by themselves"
        return pictures.from_outside(answer, ghost)
    if "water" in bench.controls:
        assert bench.shown == "side", "the other picture of this bench is tested by itself"
        before = None if ghost is None else ghost.picture
        return pictures.balance_side(answer.picture, before, focus=bench.controls["item"].widget.value)
    if "count" in bench.controls:
        return pictures.load_bars(answer, ghost, focus=bench.controls["load"].widget.value)
    assert "capacity" in bench.controls, f"give “{bench.name}” its lines here and above"
    return pictures.night_curve(answer, ghost)


@pytest.fixture(scope="session")
def answer_to() -> Callable[..., Answer]:
    """The library's own answer to a bench's question."""
    return asked


@pytest.fixture(scope="session")
def picture_of() -> Callable[[Bench, Answer, Answer | None], str]:
    """The library's own picture."""
    return drawn


def widgets_under(widget: Any) -> Iterator[Any]:
    """A widget and everything inside it."""
    yield widget
    for child in getattr(widget, "children", ()):
        yield from widgets_under(child)


@pytest.fixture(scope="session")
def press() -> Callable[[Any, str], None]:
    """Clicks the button of that class, as the page would."""

    def click(place: Any, key: str) -> None:
        (button,) = [
            w for w in widgets_under(place) if isinstance(w, widgets.Button) and f"trailer-{key}" in w._dom_classes
        ]
        button.click()

    return click


@pytest.fixture(scope="session")
def page_of() -> Callable[[Bench, int], str]:
    """Opens a page of the tabs and reads it."""

    def read(bench: Bench, number: int) -> str:
        bench._tabs.selected_index = number
        return str(bench._pages[number].value)

    return read


@pytest.fixture(scope="session")
def is_stale() -> Callable[[Bench], tuple[bool, bool]]:
    """Whether picture and tabs carry the mark of an old answer."""
    return lambda bench: tuple(base.STALE in w._dom_classes for w in (bench._picture, bench._tabs))  # type: ignore[return-value]


@pytest.fixture(scope="session")
def changed(demo: Design) -> Callable[[Callable[[dict[str, Any]], Any]], Design]:
    """A copy of the demo whose plain data were changed by a function."""

    def change(how: Callable[[dict[str, Any]], Any]) -> Design:
        raw = copy.deepcopy(dict(demo.raw))
        how(raw)
        return tl.design_from(raw)

    return change
