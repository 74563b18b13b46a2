"""The one-line diagram: every circuit once with what the design says of it, no word cut or covered, nothing off the sheet."""

from __future__ import annotations

import subprocess
import sys
import xml.etree.ElementTree as ET
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from one_line_cases import BATTERY, circuits, designs, hard, made, many
from seen import SVG, faults, letters, polylines

from trailerlib import units
from trailerlib.design import catalogue
from trailerlib.design.design import Design
from trailerlib.design.files import read_design, shipped_trailers
from trailerlib.pictures import one_line
from trailerlib.pictures.canvas import PALETTE
from trailerlib.pictures.one_line_layout import HEIGHT, WIDTH
from trailerlib.pictures.one_line_model import CHARGER_JOINS, load_symbol
from trailerlib.pictures.one_line_symbols import SYMBOLS

HARD = hard()
SHIPPED = {name: read_design(path) for name, path in shipped_trailers().items()}
ALL = {**HARD, **SHIPPED}
Facts = dict[str, str]


def bare(words: str) -> str:
    return "".join(words.split())


def parts(sheets: tuple[str, ...], part: str) -> list[tuple[str, Facts]]:
    """Every group of a part over all sheets: its name, and its facts as they are written, without spaces."""
    found = []
    for svg in sheets:
        for group in ET.fromstring(svg).iter(f"{SVG}g"):
            if group.attrib.get("data-part") == part:
                found.append((group.attrib["data-name"], facts_of(group)))
    return found


def facts_of(group: ET.Element) -> Facts:
    facts: Facts = {}
    for fact in group.iter(f"{SVG}g"):
        what = fact.attrib.get("data-fact")
        if what is not None:
            said = bare("".join(text.text or "" for text in fact.iter(f"{SVG}text")))
            facts[what] = facts.get(what, "") + said
    return facts


def expected(design: Design, name: str) -> Facts:
    """What must stand at a circuit, told from the design alone."""
    circuit = design.circuit(name)
    length = design.run_m(circuit)
    return {
        "name": bare(circuit.name),
        "gauge": bare(circuit.wire.replace("mm2", "mm²")),
        "run": "notstated" if length is None else bare(units.show(length, "length", design.units)),
        "protection": "notstated" if circuit.protection is None else f"{circuit.protection:g}A",
    }


def missing(design: Design, sheets: tuple[str, ...]) -> list[str]:
    """What of the circuits and loads does not stand in the drawing exactly once, as the design says it."""
    drawn = parts(sheets, "circuit")
    wrong = []
    if Counter(name for name, _ in drawn) != Counter(circuit.name for circuit in design.circuits):
        wrong.append("circuits")
    for name, facts in drawn:
        want = expected(design, name)
        said = {key: facts.get(key, "") for key in want}
        if said["name"] != want["name"] or said["run"] != want["run"]:
            wrong.append(f"{name}: {said}")
        if not said["gauge"].startswith(want["gauge"]) or not said["protection"].startswith(want["protection"]):
            wrong.append(f"{name}: {said}")
    ends = parts(sheets, "load")
    if Counter(bare(facts["name"]) for _, facts in ends) != Counter(bare(load.name) for load in design.loads):
        wrong.append("loads")
    return wrong


@pytest.mark.parametrize("name", ALL)
def test_the_wire_behind_the_inlet_stands_exactly_once_or_is_not_stated(name: str) -> None:
    design = ALL[name]
    drawn = parts(one_line(design, "paper"), "inlet wire")
    if not (design.circuits_of("mains") or design.supplies or design.get("mains")):
        assert not drawn
        return
    ((_, facts),) = drawn
    wire, run = design.mains.inlet_wire, design.inlet_run_m
    said = "wirenotstated" if wire is None else bare(wire.replace("mm2", "mm²"))
    assert facts["gauge"].startswith(said)
    assert facts["run"] == ("lengthnotstated" if run is None else bare(units.show(run, "length", design.units)))


@pytest.mark.parametrize("name", ALL)
def test_every_circuit_protection_gauge_length_and_load_stands_exactly_once(name: str) -> None:
    assert not missing(ALL[name], one_line(ALL[name], "paper"))


def test_the_comparison_can_fail() -> None:
    """A drawing of one design held against another: each difference is seen."""
    demo = SHIPPED["fen-survey"]
    sheets = one_line(demo, "paper")
    changes = (
        ("circuit.fridge.wire", "10 AWG"), ("circuit.fridge.protection", "20 A"), ("circuit.fridge.protection", None),
        ("circuit.fridge.run", "13 ft"), ("units", "metric"),
    )  # fmt: skip
    for path, value in changes:
        assert missing(demo.replace(path, value), sheets), path
    assert missing(demo, sheets[:1]) and missing(demo, (*sheets, sheets[0]))


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(designs())
def test_any_design_is_drawn_whole_and_readable(design: Design) -> None:
    sheets = one_line(design, "paper")
    assert not missing(design, sheets)
    for svg in sheets:
        assert not faults(svg)
    assert one_line(design, "paper") == sheets


@pytest.mark.parametrize("ink", ["screen", "paper"])
@pytest.mark.parametrize("name", ALL)
def test_no_word_is_cut_off_covered_or_crossed(name: str, ink: str) -> None:
    for svg in one_line(ALL[name], ink):  # type: ignore[arg-type]
        assert not faults(svg)


@pytest.mark.parametrize("name", ALL)
def test_nothing_leaves_the_sheet_and_every_sheet_has_one_size(name: str) -> None:
    sheets = [ET.fromstring(svg) for svg in one_line(ALL[name], "paper")]
    assert len({sheet.attrib["viewBox"] for sheet in sheets}) == 1
    width, height = (float(n) for n in sheets[0].attrib["viewBox"].split()[2:])
    assert width == WIDTH and height <= HEIGHT
    for svg in one_line(ALL[name], "paper"):
        for line in polylines(svg):
            assert all(2 <= x <= width - 2 and 2 <= y <= height - 2 for x, y in line)


@pytest.mark.parametrize("name", ALL)
def test_no_word_but_a_long_title_is_shortened(name: str) -> None:
    words = [w for svg in one_line(ALL[name], "paper") for w, _ in letters(svg)]
    assert not [w for w in words if "…" in w]


def test_letters_are_never_smaller_than_on_a_page_of_eight_points() -> None:
    """A page on its side leaves 243 mm for the width on Letter; 12 of 1000 px are then 2.9 mm, 8.3 points."""
    for svg in one_line(ALL["sixty"], "paper"):
        sizes = [float(e.attrib["font-size"]) for e in ET.fromstring(svg).iter(f"{SVG}text") if len(e.text or "") > 1]
        assert min(sizes) >= 12.0


@pytest.mark.parametrize(
    ("name", "most"), [("one-lamp", 1), ("kiln-cart", 1), ("fen-survey", 2), ("thirty", 2), ("sixty", 5)]
)
def test_as_few_sheets_as_it_takes(name: str, most: int) -> None:
    sheets = one_line(ALL[name], "paper")
    assert len(sheets) <= most
    assert [f"sheet {n} of {len(sheets)}" in svg for n, svg in enumerate(sheets, 1)] == [True] * len(sheets)


def test_supplies_feeder_inlet_main_and_bond_of_the_demo() -> None:
    sheets = one_line(SHIPPED["fen-survey"], "paper")
    supplies = dict(parts(sheets, "supply"))
    assert list(supplies) == ["shore", "household", "generator"]
    assert supplies["household"] == {
        "name": "household", "kind": "household15A", "receptacle": "5-15R", "gauge": "12AWGcord", "run": "50.0ft",
        "adapter": "adapter5-15toTT-30",
    }  # fmt: skip
    assert supplies["generator"]["neutral"] == "neutralfloating"
    feeder = [facts for _, facts in parts(sheets, "feeder")]
    assert feeder == [
        {"protection": "mainfuse:80Aterminal", "from battery": "3.00infromthebattery", "interrupting": "breaks10kA"},
        {"gauge": "6AWG105°C", "run": "4.00ft"},
    ]
    assert parts(sheets, "main") == [("", {"protection": "30Amainbreaker"})]
    assert parts(sheets, "inlet")[0][1]["inlet"] == "TT-30inlet"
    assert parts(sheets, "bond")[0][1]["gauge"] == "paneltoframe:8AWG"
    assert [name for name, _ in parts(sheets, "charger")] == ["charger"]
    assert [name for name, _ in parts(sheets, "battery")] == ["battery"]


def test_what_is_not_stated_is_said_so_and_dashed() -> None:
    sheets = one_line(ALL["nothing stated"], "paper")
    for name, facts in parts(sheets, "circuit"):
        assert facts["protection"] == facts["run"] == "notstated", name
        assert facts["gauge"] == "14AWG(60°C)"
    assert dict(parts(sheets, "circuit"))["b"]["ground fault"] == "GFCInotstated"
    words = " ".join(w for svg in sheets for w, _ in letters(svg))
    for missed in (
        "main fuse not stated",
        "battery not stated",
        "supply not stated",
        "inlet not stated",
        "main breaker not stated",
    ):
        assert missed in words
    tints = {e.text: e.attrib["fill"] for svg in sheets for e in ET.fromstring(svg).iter(f"{SVG}text")}
    assert tints["battery not stated"] == PALETTE["watch"]


def test_a_kind_of_protection_that_is_not_written_is_no_claim() -> None:
    design = made(
        circuit=[
            {"name": n, "system": s, "wire": "14 AWG", "protection": "10 A"} for n, s in (("a", "dc"), ("b", "mains"))
        ]
    )
    said = {name: facts["protection"] for name, facts in parts(one_line(design, "paper"), "circuit")}
    assert said == {"a": "10A(blade)", "b": "10A,kindnotstated"}


def test_only_the_sides_that_are_there() -> None:
    words = {name: " ".join(w for svg in one_line(ALL[name], "paper") for w, _ in letters(svg)) for name in ALL}
    assert "Mains side" not in words["one-lamp"] and "Battery side" in words["one-lamp"]
    assert "Battery side" not in words["one mains circuit alone"] and "Mains side" in words["one mains circuit alone"]
    assert "Nothing to draw yet" in words["empty"] and "Caution" in words["empty"]
    assert all("Caution" in said for said in words.values())
    assert "Mains work" not in words["one-lamp"] and "Mains work" in words["kiln-cart"]


def test_the_charger_joins_both_sides() -> None:
    """On one sheet by a wire from its symbol to the battery; on two by a word on where it is."""
    (svg,) = one_line(ALL["charger on one sheet"], "paper")
    wires = [
        line for line in polylines(svg, PALETTE["dc"]) if len(line) == 4 and line[0][0] == line[1][0] > line[2][0] + 400
    ]
    assert len(wires) == 1
    said = {w for w, _ in letters(svg)}
    assert CHARGER_JOINS.words in said
    two = one_line(ALL["charger on two sheets"], "paper")
    assert [facts["from"] for _, facts in parts(two, "from charger")] == ["charger,sheet1"]


def test_the_legend_names_every_symbol_that_is_drawn_and_no_other() -> None:
    (svg,) = one_line(SHIPPED["one-lamp"], "paper")
    said = {w for w, _ in letters(svg)} & {symbol.words for symbol in SYMBOLS.values()}
    assert said == {"battery", "fuse", "lamp"}  # the lamp's own name is “lamp” too
    assert {"battery", "fuse"} <= said and "generator" not in said


def test_every_class_of_appliance_has_a_symbol() -> None:
    found = {a.name: load_symbol(a.name, a.kind) for a in catalogue.appliances().values()}
    assert set(found.values()) <= set(SYMBOLS)
    want = {"led work light": "lamp", "roof fan low": "motor", "compressor fridge": "motor", "kettle": "heater", "usb outlet": "outlet",
            "carbon monoxide alarm": "device", "laptop charger": "device", "studio kiln": "heater", "filament lamp": "lamp"}  # fmt: skip
    assert {name: found[name] for name in want} == want


def test_legs_are_taken_where_the_design_says() -> None:
    """A circuit of leg 1 begins at the first bar, one of leg 2 at the second, one between them has a dot on both."""
    svg = one_line(ALL["two legs"], "paper")[0]
    dots = {}
    for group in ET.fromstring(svg).iter(f"{SVG}g"):
        if group.attrib.get("data-part") == "circuit":
            radii = group.findall(f"{SVG}circle")
            dots[group.attrib["data-name"]] = sorted(float(e.attrib["cx"]) for e in radii)
    first, second = dots["mains 0"][0], dots["mains 1"][0]
    assert second > first and dots["mains 2"] == [first, second] and dots["mains 3"] == []


def test_hostile_names_stay_text() -> None:
    evil = '"><script>alert(1)</script>&'
    design = made(circuit=circuits(2, "dc"), battery=BATTERY)
    bad = design.model_copy(
        update={"circuits": tuple(c.model_copy(update={"name": evil}) for c in design.circuits[:1])}
    )
    for svg in one_line(bad, "paper"):
        ET.fromstring(svg)
        assert "<script" not in svg and "&lt;script" in svg


def test_ink() -> None:
    assert "var(" in one_line(ALL["thirty"])[0] and "var(" not in one_line(ALL["thirty"], "paper")[0]


def test_another_process_draws_the_same() -> None:
    code = (
        "import hashlib; from trailerlib.design.files import *; from trailerlib.pictures import one_line;"
        "print(hashlib.sha256(''.join(one_line(read_design(shipped_trailers()['kiln-cart']))).encode()).hexdigest())"
    )
    import hashlib

    root = Path(__file__).parents[2]
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root,
                           env={"PYTHONHASHSEED": "7", "PYTHONPATH": str(root)})  # fmt: skip
    assert shown.stdout.strip() == hashlib.sha256("".join(one_line(SHIPPED["kiln-cart"])).encode()).hexdigest()


def test_a_hundred_circuits_are_all_drawn() -> None:
    assert sum(svg.count('data-part="circuit"') for svg in one_line(many(50, 50), "paper")) == 100
