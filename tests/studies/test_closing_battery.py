"""The battery side of the closing-in test: readings by hand, faults that must be found, and none where there is none."""

from __future__ import annotations

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.studies import cells
from trailerlib.studies import feeder as dc
from trailerlib.studies.closing import meters, words
from trailerlib.studies.closing.battery_block import battery_block
from trailerlib.studies.closing.diagnose import diagnose, of_sheet
from trailerlib.studies.closing.planted import Planted, plant
from trailerlib.studies.closing.sheet import sheet_of


@pytest.fixture(scope="module")
def lamp():
    return tl.read_design(tl.shipped_trailers()["one-lamp"])


@pytest.fixture(scope="module")
def demo():
    return tl.read_design(tl.shipped_trailers()["fen-survey"])


def reads(block, key, step=None, fault=None):
    signature = block.healthy if fault is None else next(one for one in block.faults if one.fault.key == fault)
    return float(signature.mean[0 if step is None else step, block.index()[key]])


def by_hand(design, added_ohm=0.0):
    """The lamp's one circuit as a series of resistors; the lamp is a resistor itself."""
    emf = float(cells.open_circuit_v(design.battery, design.battery.start_charge))
    load = 12.0**2 / design.loads[0].running_w
    circuit = design.circuits[0]
    wire = dc.ohm_per_m(circuit.wire, 20.0) * circuit.run
    spade, fuse = 0.001, 0.09 / circuit.protection
    feeder = dc.feeder_ohm(design, 20.0)
    amps = emf / (cells.battery_ohm(design.battery) + feeder + fuse + 2 * spade + 2 * wire + load + added_ohm)
    return amps, amps * load, amps * (spade + wire), amps * fuse, emf


def test_one_lamp_by_hand(lamp):
    block = battery_block(lamp)
    amps, volts, drop, over_fuse, emf = by_hand(lamp)
    assert reads(block, "rest/battery volts") == pytest.approx(emf)
    assert reads(block, "alone/lamp/fuse amps") == pytest.approx(amps, rel=1e-9)
    assert reads(block, "alone/lamp/volts") == pytest.approx(volts, rel=1e-9)
    assert reads(block, "alone/lamp/feed drop") == pytest.approx(drop, rel=1e-9)
    assert reads(block, "alone/lamp/return drop") == pytest.approx(drop, rel=1e-9)
    assert reads(block, "alone/lamp/fuse drop") == pytest.approx(over_fuse, rel=1e-9)


def test_a_bad_terminal_on_the_way_back_by_hand(lamp):
    block = battery_block(lamp)
    fault = next(one for one in block.faults if one.fault.key == "extra resistance/terminal of lamp back")
    step = int(np.argmin(abs(fault.sizes - 0.2)))
    amps, volts, drop, _, _ = by_hand(lamp, fault.sizes[step])
    key = fault.fault.key
    assert reads(block, "alone/lamp/volts", step, key) == pytest.approx(volts, rel=1e-9)
    assert reads(block, "alone/lamp/return drop", step, key) == pytest.approx(drop + amps * fault.sizes[step], rel=1e-9)
    assert reads(block, "alone/lamp/feed drop", step, key) == pytest.approx(drop, rel=1e-9)


def test_an_open_return_puts_the_whole_battery_on_the_way_back(lamp):
    block = battery_block(lamp)
    key = "extra resistance/wire of lamp back"
    emf = by_hand(lamp)[-1]
    assert reads(block, "alone/lamp/return drop", -1, key) == pytest.approx(emf, rel=1e-3)
    assert reads(block, "alone/lamp/volts", -1, key) == pytest.approx(0.0, abs=1e-3)


def test_legs_reversed_turn_the_sign_at_the_load(lamp):
    block = battery_block(lamp)
    _, volts, drop, _, _ = by_hand(lamp)
    key = "reversed/lamp"
    assert reads(block, "alone/lamp/volts", 0, key) == pytest.approx(-volts, rel=1e-9)
    assert reads(block, "alone/lamp/feed drop", 0, key) == pytest.approx(volts + drop, rel=1e-9)


def test_swapped_fuses_carry_the_other_circuit(demo):
    block = battery_block(demo)
    key = "swapped/fridge/usb"
    assert reads(block, "alone/specimen fridge/fuse amps", 0, key) == 0.0
    fridge, usb = (reads(block, f"all/{name}/fuse amps") for name in ("fridge", "usb"))
    assert reads(block, "all/fridge/fuse amps", 0, key) == pytest.approx(usb, rel=1e-3)
    assert reads(block, "all/usb/fuse amps", 0, key) == pytest.approx(fridge, rel=1e-3)


def test_slopes_are_those_of_the_solved_network(demo):
    """One run 4 % longer: the slope of its own column, against the network solved again."""
    longer = demo.replace("circuit.fridge.run", f"{12.0 * 1.04:.6f} ft")
    block, other = battery_block(demo), battery_block(longer)
    k = block.index()["alone/specimen fridge/feed drop"]
    moved = other.healthy.mean[0, k] - block.healthy.mean[0, k]
    assert np.isclose(block.healthy.slope[0, k], moved, rtol=0.03).any()


def test_each_fault_is_named_when_everything_is_measured_without_noise(demo):
    sheet = sheet_of(demo)
    block = next(one for one in sheet.blocks if one.name == "battery")
    wrong = []
    for one in block.faults[::5]:
        step = len(one.sizes) * 3 // 4
        read = {line.key: float(one.mean[step, k]) for k, line in enumerate(block.lines)}
        found = of_sheet(sheet, read)
        if not found.candidates or one.fault.key not in {fault.key for fault in found.candidates[0].faults}:
            wrong.append(one.fault.key)
    assert wrong == []


def test_a_found_size_is_the_planted_one(demo):
    sheet = sheet_of(demo)
    block = next(one for one in sheet.blocks if one.name == "battery")
    one = next(s for s in block.faults if s.fault.key == "extra resistance/terminal of fridge back")
    step = 25
    read = {line.key: float(one.mean[step, k]) for k, line in enumerate(block.lines)}
    first = of_sheet(sheet, read).candidates[0]
    assert first.size == pytest.approx(one.sizes[step], rel=0.02)
    assert first.size_low <= one.sizes[step] <= first.size_high
    assert first.heat_w is not None and first.heat_w > 0.0


CASES = 60


def half(planted, seed):
    rng = np.random.default_rng(seed)
    routine = {one.line.key for one in planted.sheet.routine}
    keys = [key for key in planted.keys if key in routine]
    return {key: planted.read(key) for key in keys if rng.random() < 0.5}


def test_most_planted_faults_are_found_with_half_of_the_readings(demo):
    """Readings with a meter's noise; a floor that is well under what is seen, so that luck does not decide."""
    first = 0
    for seed in range(CASES):
        planted = plant(demo, seed)
        found = of_sheet(planted.sheet, half(planted, seed))
        names = {fault.key for one in found.candidates[:1] for fault in one.faults}
        first += planted.fault.key in names
    assert first >= 0.8 * CASES


def test_a_sound_trailer_is_hardly_ever_accused(demo):
    sheet = sheet_of(demo)
    claimed = 0
    for seed in range(CASES):
        rng = np.random.default_rng([seed, 7])
        read = {}
        for block in sheet.blocks:
            slope, mean = block.healthy.slope[0], block.healthy.mean[0]
            value = mean + slope @ rng.standard_normal(slope.shape[1])
            value += block.healthy.extra[0] * rng.standard_normal(len(value))
            noise = meters.uncertainty(tuple(line.meter for line in block.lines), np.nan_to_num(value))
            value += noise * np.sqrt(3.0) * rng.uniform(-1.0, 1.0, len(value))
            read |= {
                line.key: float(value[k]) if not block.yes_no[k] else float(mean[k] > 0.5)
                for k, line in enumerate(block.lines)
                if line.routine and np.isfinite(value[k])
            }
        claimed += of_sheet(sheet, read).claimed
    assert claimed <= 0.03 * CASES


def test_a_reading_written_wrong_is_not_taken_for_a_fault(demo):
    sheet = sheet_of(demo)
    read = {one.line.key: one.value for one in sheet.routine if one.value is not None and one.line.stage == "battery"}
    read["all/block volts"] = 1.27  # 12.7 with its point in the wrong place
    found = of_sheet(sheet, read)
    assert not found.claimed
    assert found.candidates[0].slip == "all/block volts"
    assert "read it again" in found.candidates[0].sentence


def test_the_next_line_separates_what_is_left(demo):
    """A joint on the way out of the fridge: no closer line is read yet, so the next one is one of its parts."""
    sheet = sheet_of(demo)
    block = next(one for one in sheet.blocks if one.name == "battery")
    one = next(s for s in block.faults if s.fault.key == "extra resistance/terminal of fridge out")
    read = {line.key: float(one.mean[24, k]) for k, line in enumerate(block.lines) if line.routine}
    found = of_sheet(sheet, read)
    assert found.claimed and len(found.candidates[0].faults) >= 1
    assert found.next is not None and found.next.why
    assert found.next.line.circuit == "fridge"


def test_no_reading_is_not_checked_and_never_a_pass(demo):
    answer = tl.study("closing", demo)
    assert answer.word == "not checked"
    assert {check.severity for check in answer.checks} == {"not checked"}
    assert diagnose(demo, {}).next is not None


def test_some_readings_leave_the_walls_open(demo):
    sheet = sheet_of(demo)
    answer = tl.study("closing", demo, readings={"rest/battery volts": sheet.of("rest/battery volts").value})
    assert answer.word == "stop"
    assert "not measured" in answer.sentence


def test_an_odd_reading_is_left_out(demo):
    assert diagnose(demo, {"no such line": 3.0, "rest/battery volts": float("nan")}).readings == 0


def test_a_planted_fault_is_the_same_again_and_reads_the_same(demo):
    one, other = plant(demo, 5), plant(demo, 5)
    assert one.fault.key == other.fault.key and one.size == other.size
    assert {key: one.read(key) for key in one.keys} == {key: other.read(key) for key in other.keys}
    assert len({plant(demo, seed).fault.key for seed in range(12)}) > 6
    with pytest.raises(KeyError):
        one.read("no such line")


def test_a_design_with_nothing_in_it_has_no_sheet():
    bare = tl.design_from({"title": "Bare", "trailer": {"length": "10 ft", "width": "5 ft", "height": "5 ft"}})
    assert battery_block(bare) is None
    answer = tl.study("closing", bare)
    assert answer.word == "not checked"
    with pytest.raises(ValueError, match="nothing to measure"):
        plant(bare, 0)


@pytest.mark.parametrize(
    ("value", "asks", "says"),
    [
        (0.0381, "voltage", "38.1 mV"),
        (12.612, "voltage", "12.61 V"),
        (119.6, "voltage", "119.6 V"),
        (1.0, "yes or no", "yes"),
        (2.5e6, "resistance", "2.50 MΩ"),
        (0.18, "resistance", "180 mΩ"),
        (None, "current", "–"),
    ],
)
def test_a_reading_in_words(value, asks, says):
    assert words.reading(value, asks) == says


def test_a_guess_that_reads_alike_counts_and_another_does_not(demo):
    """The terminal at the block and the wire behind it are one stretch to the routine lines; the way back is not."""
    sheet = sheet_of(demo)
    block = next(one for one in sheet.blocks if one.name == "battery")
    one = next(s for s in block.faults if s.fault.key == "extra resistance/terminal of fridge out")
    planted = Planted(sheet, block, one, 24, 0)
    assert planted.is_it(one.fault.key)
    assert planted.is_it("extra resistance/wire of fridge out")
    assert not planted.is_it("extra resistance/wire of fridge back")
    assert not planted.is_it("extra resistance/fuse of fridge")
    assert not planted.is_it("no such fault")


def test_one_reading_is_one_and_no_chance_is_none() -> None:
    """A chance is never printed as 0 or 100 %, and a single reading is not “all 1 readings”."""
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    line = next(one for one in sheet_of(design).expected if one.line.stage == "battery" and one.value)
    assert line.value is not None
    one = tl.study("closing", design, readings={line.line.key: line.value})
    assert one.sentence.startswith("The one reading agrees, but ")
    wrong = tl.study("closing", design, readings={line.line.key: line.value * 0.5})
    assert wrong.numbers["sound"].text("us") == "under 1 %"


def test_faults_that_a_reading_tells_apart_are_two_suspicions(demo):
    """A poor fuse holder and a poor terminal behind it: one suspicion by the volts alone, two once the fuse was read."""
    sheet = sheet_of(demo)
    block = next(one for one in sheet.blocks if one.name == "battery")
    holder, terminal = "extra resistance/fuse of fridge", "extra resistance/terminal of fridge out"
    true = next(one for one in block.faults if one.fault.key == holder)
    step = int(np.argmin(np.abs(true.sizes - 0.05)))
    read = {line.key: float(true.mean[step, k]) for k, line in enumerate(block.lines)}
    volts = {key: read[key] for key in ("rest/battery volts", "alone/specimen fridge/volts")}
    one = next(c for c in of_sheet(sheet, volts).candidates if holder in {f.key for f in c.faults})
    assert terminal in {fault.key for fault in one.faults}
    told = {
        **volts,
        **{key: read[key] for key in ("alone/specimen fridge/fuse drop", "alone/specimen fridge/feed drop")},
    }
    first = of_sheet(sheet, told).candidates[0]
    assert holder in {fault.key for fault in first.faults} and terminal not in {fault.key for fault in first.faults}
