"""A control moves: verdict, picture, table and design move together, and say what the library says."""

from __future__ import annotations

from html import escape
from typing import Any

import ipywidgets as widgets
import pytest

import trailerlib as tl

KEYS = {
    "loads": ("load", "class", "count", "power", "on", "stay", "hours"),
    "night": (
        "capacity", "batteries", "chemistry", "ambient", "length", "load", "class", "which", "hours", "charger", "panels",
    ),
    "wire": (
        "circuit", "wire", "run", "protection", "load", "bundle", "ambient", "insulation", "chemistry", "charge",
    ),
    "mains": (
        "supply", "voltage", "cord", "cord_run", "main", "on_roof-cooler", "on_dryer-road-side", "on_dryer-curb-side",
        "on_kettle", "on_laptops", "on_microscope-lamp", "on_charger",
    ),
    "generator": ("kind", "elevation", "hottest", "cord_run", "cord", "charger", "load", "soft_start"),
    "cool": ("foam_walls", "foam_roof", "colour", "heading", "shade", "set_point", "people", "fan", "gap"),
    "roof": ("opening", "along", "across", "mass", "headers", "metal", "depth", "spacing"),
    "tow": ("generator", "battery", "water", "item", "mass", "along", "across", "when"),
}  # fmt: skip
FOCUS = {("night", "which"): {"load": "ceiling lights"}}  # what is on all night has one range only
ALL = [(name, key) for name, keys in KEYS.items() for key in keys]

# bench, focus to pick first, control, where to [shown unit], what a person would have written into the file
BY_HAND: list[tuple[str, dict[str, Any], str, Any, dict[tuple[str, ...], Any]]] = [
    ("loads", {"load": "kettle"}, "count", 3, {("load", "kettle", "count"): 3}),
    ("loads", {"load": "dryer road side"}, "power", 1400.0, {("load", "dryer road side", "power"): "1400 W"}),
    ("loads", {"load": "roof cooler"}, "on", False, {("load", "roof cooler", "on"): False}),
    ("loads", {"load": "roof fan"}, "class", "roof fan high", {("load", "roof fan", "class"): "roof fan high"}),
    ("loads", {"load": "ceiling lights", "stay": "night"}, "hours", 2.0,
     {("stay", "night", "on", "ceiling lights"): "18:00-20:00"}),
    ("night", {}, "capacity", 60.0, {("battery", "capacity"): "60 Ah"}),
    ("night", {}, "batteries", 3, {("battery", "count"): 3}),
    ("night", {}, "chemistry", "lfp", {("battery", "chemistry"): "lfp"}),
    ("night", {}, "ambient", 5.0, {("stay", "night", "ambient"): "5 °F"}),
    ("night", {}, "length", 10.5, {("stay", "night", "to"): "04:30"}),
    ("night", {"load": "roof fan"}, "class", "roof fan high", {("load", "roof fan", "class"): "roof fan high"}),
    ("night", {"load": "specimen fridge"}, "hours", (1080, 1440),
     {("stay", "night", "on", "specimen fridge"): "18:00-24:00"}),
    ("night", {"load": "ceiling lights"}, "hours", (1080, 1860), {("stay", "night", "on", "ceiling lights"): "all"}),
    ("night", {}, "charger", 35.0, {("charger", "current"): "35 A"}),
    ("night", {}, "panels", 200.0, {("solar",): [{"name": "roof panels", "power": "200 W"}]}),
    ("wire", {"circuit": "roof fan"}, "wire", "18 AWG", {("circuit", "roof fan", "wire"): "18 AWG"}),
    ("wire", {"circuit": "fridge"}, "run", 27.5, {("circuit", "fridge", "run"): "27.5 ft"}),
    ("wire", {"circuit": "usb"}, "protection", 30.0, {("circuit", "usb", "protection"): "30 A"}),
    ("wire", {"circuit": "fridge"}, "bundle", 20, {("circuit", "fridge", "bundle"): 20}),
    ("wire", {"circuit": "kettle"}, "ambient", 150.0, {}),
    ("wire", {"circuit": "fridge"}, "ambient", 150.0, {("circuit", "fridge", "ambient"): "150 °F"}),
    ("wire", {"circuit": "fridge"}, "insulation", "60 C", {("circuit", "fridge", "insulation"): "60 C"}),
    ("wire", {"circuit": "fridge"}, "load", 36.0, {("load", "specimen fridge", "power"): "36 W"}),
    ("wire", {"circuit": "roof cooler"}, "load", 900.0, {("load", "roof cooler", "power"): "900 W"}),
    ("wire", {"circuit": "fridge"}, "chemistry", "lfp", {("battery", "chemistry"): "lfp"}),
    ("mains", {}, "voltage", 110.0, {("supply", "shore", "voltage"): "110 V"}),
    ("mains", {}, "cord", "8 AWG", {("supply", "shore", "cord"): "8 AWG"}),
    ("mains", {"supply": "household"}, "cord_run", 100.0, {("supply", "household", "cord_run"): "100 ft"}),
    ("mains", {}, "main", 20.0, {("mains", "main"): "20 A"}),
    ("generator", {}, "kind", "portable 2000 W", {("supply", "generator", "kind"): "portable 2000 W"}),
    ("generator", {}, "elevation", 9000.0, {("site", "elevation"): "9000 ft"}),
    ("generator", {}, "hottest", 120.0, {("site", "hottest"): "120 °F"}),
    ("generator", {}, "charger", 60.0, {("charger", "current"): "60 A"}),
    ("generator", {}, "cord_run", 80.0, {("supply", "generator", "cord_run"): "80 ft"}),
    ("generator", {}, "cord", "8 AWG", {("supply", "generator", "cord"): "8 AWG"}),
    ("generator", {"load": "roof cooler"}, "soft_start", True, {("load", "roof cooler", "soft_start"): True}),
    ("cool", {}, "foam_walls", 2.0, {("face", "walls", "layers", "extruded polystyrene"): "2 in"}),
    ("cool", {}, "foam_roof", 1.5, {("face", "roof", "layers", "extruded polystyrene"): "1.5 in"}),
    ("cool", {}, "colour", "dark paint", {("envelope", "roof_skin"): "dark paint"}),
    ("cool", {}, "heading", 180.0, {("envelope", "heading"): 180.0}),
    ("cool", {}, "shade", 40.0, {("envelope", "shade"): "40 %"}),
    ("cool", {}, "set_point", 72.0, {("comfort", "set_point"): "72 °F"}),
    ("cool", {}, "people", 4, {("stay", "night", "people"): 4}),
    ("cool", {}, "fan", "roof fan high", {("load", "roof fan", "class"): "roof fan high"}),
    ("cool", {}, "gap", 1.0, {("opening", "door window", "gap"): "1 in"}),
    ("roof", {}, "along", 7.25, {("opening", "roof cooler", "at"): ["7.25 ft", "3 ft 6 in"]}),
    ("roof", {}, "across", 3.0, {("opening", "roof cooler", "at"): ["6 ft", "3 ft"]}),
    ("roof", {}, "mass", 120.0, {("opening", "roof cooler", "mass"): "120 lb"}),
    ("roof", {"opening": "roof fan"}, "headers", False, {("opening", "roof fan", "headers"): False}),
    ("roof", {}, "metal", "mild steel", {("roof", "metal"): "mild steel"}),
    ("roof", {}, "depth", 2.0, {("roof", "depth"): "2 in"}),
    ("roof", {}, "spacing", 16.0, {("roof", "spacing"): "16 in"}),
    ("tow", {}, "generator", -2.5, {("place", "nose platform", "at"): ["-2.5 ft", "3 ft 6 in", "1 ft"]}),
    ("tow", {}, "battery", 10.0, {("place", "battery box", "at"): ["10 ft", "1 ft 6 in", "6 in"]}),
    ("tow", {}, "water", 25.0, {("tank", "water tank", "level"): "25 %"}),
    ("tow", {"item": "field kit"}, "mass", 300.0, {("cargo", "field kit", "mass"): "300 lb"}),
    ("tow", {"item": "field kit"}, "along", 12.5, {("cargo", "field kit", "at"): ["12.5 ft", "1 ft 6 in", "1 ft 6 in"]}),
    ("tow", {"item": "field kit"}, "across", 5.0, {("cargo", "field kit", "at"): ["4 ft", "5 ft", "1 ft 6 in"]}),
]  # fmt: skip
BY_HAND = [case for case in BY_HAND if case[4]]


def places(widget: Any) -> list[Any]:
    """Several values a hand could move a control to, none of them where it stands."""
    if isinstance(widget, widgets.Dropdown):
        found = [value for _, value in widget.options]
    elif isinstance(widget, widgets.Checkbox):
        found = [not widget.value, widget.value]
    elif isinstance(widget, widgets.SelectionRangeSlider):
        times = [minute for _, minute in widget.options]
        found = [(times[0], times[5]), (times[7], times[-2]), (times[0], times[0]), (times[0], times[-1])]
    else:
        steps = round((widget.max - widget.min) / widget.step)
        kind = int if isinstance(widget, widgets.IntSlider) else float
        found = [kind(round(widget.min + widget.step * (steps * part // 5), 6)) for part in range(6)]
    return [value for value in found if value != widget.value]


def test_the_list_of_controls_is_whole(demo, bench_of):
    assert {name: tuple(bench_of(name, demo).controls) for name in KEYS} == KEYS


@pytest.mark.parametrize(("name", "key"), ALL)
def test_everything_on_the_bench_says_the_same(name, key, demo, bench_of, answer_to, picture_of, page_of, clock):
    bench = bench_of(name, demo)
    for control, where in FOCUS.get((name, key), {}).items():
        bench.move(control, where)
    tried = places(bench.controls[key].widget)
    assert tried, "nothing to move to"
    for value in tried:
        clock.now_s += 60
        before, old = bench.design, answer_to(bench)
        bench.move(key, value)
        answer = answer_to(bench)
        ghost = old if bench.controls[key].put is not None else None
        assert bench.controls[key].widget.value == value, "the control under the hand jumped away"
        assert escape(answer.sentence) in bench.verdict_text
        assert f"{answer.mark} {answer.word}" in bench.verdict_text
        assert bench.picture_text == picture_of(bench, answer, ghost)
        open_page = page_of(bench, 0)
        for quantity in answer.numbers.values():
            assert f"<b>{escape(quantity.text(answer.system))}</b>" in open_page
        for row in answer.rows:
            for column in answer.columns:
                assert f">{escape(column.cell(row.get(column.key), answer.system))}</td>" in open_page
        if bench.controls[key].put is None:
            assert bench.design is before, "a pick of the focus changed the design"
        else:
            assert bench.controls[key].get(bench.design) == pytest.approx(value, abs=1e-6)


@pytest.mark.parametrize(("name", "focus", "key", "value", "changes"), BY_HAND)
def test_a_move_is_what_a_person_would_have_written(name, focus, key, value, changes, demo, bench_of, answer_to, clock):
    """The same change made through the design's own door gives the same sentence, numbers and table."""
    bench = bench_of(name, demo)
    for control, where in focus.items():
        bench.move(control, where)
    clock.now_s += 60
    bench.move(key, value)
    by_hand = answer_to(bench, demo.replace_all(changes))
    assert bench.answer.text() == by_hand.text()
    assert bench.answer.findings_text() == by_hand.findings_text()
    assert escape(by_hand.sentence) in bench.verdict_text
    for path, text in changes.items():
        own = tl.design_from(demo.replace_all(changes).raw).get(path)
        assert own == text
        assert bench.design.get(path) is not None


@pytest.mark.parametrize("name", KEYS)
def test_no_ghost_before_the_first_move(name, demo, bench_of, answer_to, picture_of):
    bench = bench_of(name, demo)
    assert bench.picture_text == picture_of(bench, answer_to(bench), None)


@pytest.mark.parametrize(("name", "key", "value"), [
    ("loads", "power", 6.0), ("night", "capacity", 60.0), ("wire", "run", 30.0), ("mains", "voltage", 105.0),
    ("generator", "elevation", 9000.0),
])  # fmt: skip
def test_the_ghost_is_seen_after_a_move(name, key, value, demo, bench_of, answer_to, picture_of):
    bench = bench_of(name, demo)
    bench.move(key, value)
    assert bench.picture_text != picture_of(bench, answer_to(bench), None)


@pytest.mark.parametrize(("name", "key"), ALL)
def test_the_design_that_was_passed_in_stays_as_it_was(name, key, demo, bench_of):
    passed = tl.read_design(demo.origin.path)
    raw, dump = repr(passed.raw), passed.model_dump_json()
    bench = bench_of(name, passed)
    for value in places(bench.controls[key].widget):
        bench.move(key, value)
    assert repr(passed.raw) == raw
    assert passed.model_dump_json() == dump


def test_another_circuit_refits_the_other_controls(demo, bench_of):
    bench = bench_of("wire", demo)
    for circuit in demo.circuits:
        bench.move("circuit", circuit.name)
        controls = {key: control.widget.value for key, control in bench.controls.items()}
        assert controls["wire"] == circuit.wire
        assert controls["protection"] == circuit.protection
        assert controls["bundle"] == demo.bundle_of(circuit)
        assert controls["insulation"] == circuit.insulation
        assert controls["run"] == pytest.approx(demo.run_m(circuit) / 0.3048, abs=1e-5)
        largest = max((load.each_w for load in demo.loads_on(circuit.name)), default=None)
        assert bench.controls["load"].widget.disabled is (largest is None)
        if largest is not None and len(demo.loads_on(circuit.name)) == 1:
            assert controls["load"] == pytest.approx(largest)
        assert controls["chemistry"] == "agm"
        assert controls["charge"] == pytest.approx(50.0)
        assert circuit.name in bench.verdict_text
        assert f'trailer-focus"><td>{escape(circuit.name)}<' in bench._pages[0].value
    assert bench.design is demo


@pytest.mark.parametrize(("name", "side"), [("loads", None), ("night", "dc"), ("generator", "mains")])
def test_another_load_refits_the_other_controls(name, side, demo, bench_of):
    bench = bench_of(name, demo)
    for load in demo.loads:
        if side not in (None, load.typical.system):
            continue
        bench.move("load", load.name)
        widget = {key: control.widget for key, control in bench.controls.items()}
        if "class" in widget:
            assert widget["class"].value == load.appliance
        if "count" in widget:
            assert widget["count"].value == load.count
            assert widget["power"].value == pytest.approx(load.each_w)
            assert widget["power"].min <= load.typical.power_low_w <= load.typical.power_high_w <= widget["power"].max
            assert widget["on"].value is load.on
        if "soft_start" in widget:
            assert widget["soft_start"].disabled is (load.typical.start_multiple <= 2)
    assert bench.design is demo


@pytest.mark.parametrize("name", KEYS)
def test_pages_are_written_when_they_are_looked_at(name, demo, bench_of, page_of, clock):
    bench = bench_of(name, demo)
    assert bench._pages[0].value
    assert not bench._pages[1].value, "a closed page was written"
    findings = page_of(bench, 1)
    assert f"of {len(bench.answer.checks)} checks hold" in findings
    for found in bench.answer.findings:
        assert escape(found.clause) in findings
    working = page_of(bench, 2)
    assert working.count("trailer-step") == len(bench.answer.working) > 0
    for step in bench.answer.working:
        assert escape(step.title) in working
        assert escape(step.source) in working


def test_the_page_that_is_open_follows_and_closed_ones_wait(demo, bench_of, page_of, clock):
    bench = bench_of("night", demo)
    first = page_of(bench, 2)
    table = bench._pages[0].value
    clock.now_s += 60
    bench.move("capacity", 60.0)
    assert bench._pages[2].value != first, "the open page is old"
    assert bench._pages[0].value == table, "a closed page was written at every move"
    assert page_of(bench, 0) != table


def test_the_number_of_findings_is_on_the_tab(bench_of):
    """One lamp with a disconnect leaves nothing to be found."""
    lamp = tl.read_design(tl.shipped_trailers()["one-lamp"])
    bench = bench_of("wire", lamp.replace("feeder.disconnect", True))
    assert bench.answer.findings == ()
    assert bench._tabs.titles[1] == "Findings: none"
    bench.move("run", 60.0)
    assert bench._tabs.titles[1] == f"Findings ({len(bench.answer.findings)})" != "Findings: none"


@pytest.mark.parametrize("name", KEYS)
def test_no_slider_stands_between_two_steps(name, demo, bench_of):
    """The page would move it to the next step and tell the bench so, and a design would change by being looked at."""
    for key, control in bench_of(name, demo).controls.items():
        widget = control.widget
        if isinstance(widget, widgets.FloatSlider) and not widget.disabled:
            steps = (widget.value - widget.min) / widget.step
            assert steps == pytest.approx(round(steps), abs=1e-4), f"{key} stands at {widget.value}"
