"""Any trailer opens on every bench: the smallest, one with parts missing, metric, and hostile names."""

from __future__ import annotations

import re
from html import escape, unescape

import ipywidgets as widgets
import pytest

import trailerlib as tl

BENCHES = ("loads", "night", "wire", "mains", "generator", "cool", "roof", "tow")


def drop(*keys):
    """Takes parts away, and what speaks of them."""

    def change(raw):
        for key in keys:
            raw.pop(key, None)
        if "load" in keys:
            for stay in raw.get("stay", []):
                stay["on"] = {}
        if "supply" in keys:
            raw["stay"] = [stay for stay in raw.get("stay", []) if stay["supply"] == "battery"]
        if "circuit" in keys:
            raw.pop("charger", None)

    return change


def without_generator(raw):
    raw["supply"] = [s for s in raw["supply"] if s["name"] != "generator"]
    raw["stay"] = [s for s in raw["stay"] if s["supply"] != "generator"]


def without_side(side):
    def change(raw):
        gone = {c["name"] for c in raw["circuit"] if c["system"] == side}
        raw["circuit"] = [c for c in raw["circuit"] if c["name"] not in gone]
        loads = {load["name"] for load in raw["load"] if load["circuit"] in gone}
        raw["load"] = [load for load in raw["load"] if load["name"] not in loads]
        for stay in raw["stay"]:
            stay["on"] = {k: v for k, v in stay["on"].items() if k not in loads}
        if side == "mains":
            raw.pop("charger")

    return change


def without_numbers(raw):
    raw["site"] = {}
    for circuit in raw["circuit"]:
        circuit.pop("protection")
    for stay in raw["stay"]:
        stay.pop("ambient", None)


MISSING = {
    "nothing": lambda raw: None,
    "battery": drop("battery"),
    "charger": drop("charger"),
    "generator": without_generator,
    "supplies": drop("supply"),
    "stays": drop("stay"),
    "loads": drop("load"),
    "loads and stays": drop("load", "stay"),
    "circuits and loads": drop("load", "circuit"),
    "feeder": drop("feeder"),
    "site": drop("site"),
    "battery, feeder, charger, stays": drop("battery", "feeder", "charger", "stay"),
    "battery side": without_side("dc"),
    "mains side": without_side("mains"),
    "heights, fuses, air": without_numbers,
    "everything that can go": drop(
        "battery", "feeder", "charger", "stay", "load", "circuit", "supply", "site", "place", "opening", "safety",
        "fuse_block", "panel", "use",
    ),
}  # fmt: skip


def move_all(bench, most=None):
    """Moves every control that can be moved, as a curious hand would; ``most`` of a list, spread over it, or all."""
    for key, control in bench.controls.items():
        widget = control.widget
        if widget.disabled:
            continue
        if isinstance(widget, widgets.Dropdown):
            found = [value for _, value in widget.options]
            found = found if most is None else [*found[:: -(-len(found) // most)], *found[-1:]]
        elif isinstance(widget, widgets.Checkbox):
            found = [not widget.value]
        elif isinstance(widget, widgets.SelectionRangeSlider):
            times = [minute for _, minute in widget.options]
            found = [(times[0], times[0]), (times[1], times[-1]), (times[0], times[-1])]
        else:
            found = [widget.min, widget.max]
        for value in found:
            bench.move(key, value)


def test_every_bench_is_tried_here(benches):
    assert set(BENCHES) == benches


@pytest.mark.parametrize("name", BENCHES)
@pytest.mark.parametrize("gone", MISSING)
def test_a_trailer_with_parts_missing_opens_and_moves(name, gone, changed, bench_of, page_of):
    design = changed(MISSING[gone])
    bench = bench_of(name, design)
    move_all(bench, most=None if name != "wire" or gone == "heights, fuses, air" else 5)
    assert "not valid" not in bench.verdict_text
    assert bench.picture_text.startswith("<svg")
    for page in range(3):
        assert page_of(bench, page)


@pytest.mark.parametrize("gone", MISSING)
def test_the_start_page_shows_a_trailer_with_parts_missing(gone, changed):
    page = tl.bench.start(changed(MISSING[gone]))
    assert page._repr_html_().count("<svg") == 1
    assert len(repr(page).splitlines()) >= 5


@pytest.mark.parametrize("gone", ["battery", "battery, feeder, charger, stays", "everything that can go"])
def test_a_missing_battery_is_never_a_pass(gone, changed, bench_of):
    assert "holds" not in bench_of("night", changed(MISSING[gone])).verdict_text


@pytest.mark.parametrize("gone", ["site", "heights, fuses, air"])
def test_an_unknown_height_is_never_a_pass(gone, changed, bench_of):
    verdict = bench_of("generator", changed(MISSING[gone])).verdict_text
    assert "✓" not in verdict


@pytest.mark.parametrize("trailer", sorted(tl.shipped_trailers()))
@pytest.mark.parametrize("name", BENCHES)
def test_every_shipped_trailer_opens_on_every_bench(name, trailer, bench_of):
    bench = bench_of(name, tl.read_design(tl.shipped_trailers()[trailer]))
    move_all(bench)
    assert "not valid" not in bench.verdict_text


@pytest.mark.parametrize(("name", "key", "unit", "us", "metric"), [
    ("night", "ambient", "°C", 46.0, (46 - 32) / 1.8),
    ("wire", "run", "m", 24.5, 24.5 * 0.3048),
    ("wire", "ambient", "°C", 125.0, (125 - 32) / 1.8),
    ("generator", "elevation", "m", 5200.0, 5200 * 0.3048),
    ("generator", "hottest", "°C", 96.0, (96 - 32) / 1.8),
])  # fmt: skip
def test_metric_controls_show_metric_units(name, key, unit, us, metric, demo, bench_of):
    here, there = bench_of(name, demo), bench_of(name, demo.replace("units", "metric"))
    assert here.controls[key].widget.value == pytest.approx(us, abs=1e-5)
    assert there.controls[key].widget.value == pytest.approx(metric, abs=1e-5)
    assert f"[{unit}]" in there.controls[key].widget.description
    assert f"[{unit}]" not in here.controls[key].widget.description


@pytest.mark.parametrize(("name", "key", "metric", "us"), [
    ("night", "ambient", -10.0, 14.0),
    ("generator", "hottest", 45.0, 113.0),
])  # fmt: skip
def test_the_same_move_in_both_systems_gives_the_same_numbers(name, key, metric, us, demo, bench_of):
    here, there = bench_of(name, demo), bench_of(name, demo.replace("units", "metric"))
    here.move(key, us)
    there.move(key, metric)
    for number, quantity in here.answer.numbers.items():
        if quantity.value is not None:
            assert there.answer.value(number) == pytest.approx(quantity.value, rel=1e-9)


@pytest.mark.parametrize("name", BENCHES)
def test_a_metric_bench_says_nothing_in_feet(name, demo, bench_of, page_of):
    bench = bench_of(name, demo.replace("units", "metric"))
    shown = [bench.verdict_text, bench.picture_text, *(page_of(bench, n) for n in range(2))]
    own = re.sub(r"<small>.*?</small>", "", " ".join(shown))  # a clause is quoted as its source words it
    assert not re.findall(r"\d ?(?:ft|°F|in)\b(?! “)", unescape(re.sub(r"<[^>]*>", " ", own)))


HOSTILE = """a "b" & 'c' &lt;i&gt; `d`"""


@pytest.fixture
def hostile(changed):
    """Every name a person may choose, as unfriendly as a design file lets it be."""

    def change(raw):
        raw["title"] = HOSTILE
        old = {}
        for key in ("load", "circuit", "stay", "supply", "place", "opening"):
            for number, part in enumerate(raw[key]):
                old[key, part["name"]] = part["name"] = f"{HOSTILE} {number}"
        for key in ("load", "circuit", "stay", "supply", "place", "opening"):
            for number, part in enumerate(raw[key]):
                part["name"] = f"{HOSTILE} {key[:2]}{number}"
        names = {key: [part["name"] for part in raw[key]] for key in ("load", "circuit", "place")}
        demo_raw = tl.read_design(tl.shipped_trailers()["fen-survey"]).raw
        new = {
            key: dict(zip([p["name"] for p in demo_raw[key]], names[key], strict=True))
            for key in ("load", "circuit", "place")
        }
        supplies = dict(zip([p["name"] for p in demo_raw["supply"]], [p["name"] for p in raw["supply"]], strict=True))
        raw["fuse_block"], raw["panel"] = new["place"][raw["fuse_block"]], new["place"][raw["panel"]]
        raw["battery"]["place"] = new["place"][raw["battery"]["place"]]
        raw["charger"]["circuit"] = new["circuit"][raw["charger"]["circuit"]]
        for part in [*raw["load"], *raw["supply"]]:
            part["place"] = new["place"][part["place"]]
        for load in raw["load"]:
            load["circuit"] = new["circuit"][load["circuit"]]
        for circuit in raw["circuit"]:
            if "to" in circuit:
                circuit["to"] = new["place"][circuit["to"]]
        for stay in raw["stay"]:
            stay["supply"] = supplies.get(stay["supply"], stay["supply"])
            stay["on"] = {new["load"][name]: when for name, when in stay["on"].items()}

    return changed(change)


def bare(html):
    """What stands between and inside tags must not hold the name as it was typed."""
    return HOSTILE[:8] in html or "&lt;i&gt;" in html.replace("&amp;lt;i&amp;gt;", "")


@pytest.mark.parametrize("name", BENCHES)
def test_hostile_names_are_escaped_everywhere(name, hostile, bench_of, page_of):
    if name == "generator":
        supply = next(one.name for one in hostile.supplies if one.is_generator)
        stay = next(stay for stay in hostile.stays if stay.supply == supply)
        load = next(one for one in hostile.loads if one.typical.name == "roof cooler 13500")
        hostile = hostile.replace(("stay", stay.name, "on", load.name), "all")
    bench = bench_of(name, hostile)
    shown = [bench.verdict_text, bench.picture_text, *(page_of(bench, n) for n in range(3))]
    assert any(escape(HOSTILE) in html for html in shown), "the name is nowhere to be seen"
    assert not any(bare(html) for html in shown)


def test_hostile_names_are_escaped_on_the_start_page(hostile):
    html = tl.bench.start(hostile)._repr_html_()
    assert escape(HOSTILE) in html
    assert not bare(html)


def test_what_is_typed_on_the_build_desk_is_escaped(demo, tmp_path, press):
    def refuse(design, folder, date):
        raise tl.DesignError(f"{folder}: no such folder, {date}")

    desk = tl.bench.build(demo, refuse)
    desk.folder.value = '<img src=x onerror="alert(1)">'
    desk.date.value = "<script>alert(2)</script>"
    press(desk, "write")
    assert "<img" not in desk.said
    assert "<script" not in desk.said
    assert escape(desk.folder.value) in desk.said
