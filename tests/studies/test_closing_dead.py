"""The dead tests of the closing-in test: sums by hand, published limits, what each fault shows, what is missing."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.reference import table
from trailerlib.studies.closing.block import OPEN_OHM, Block, Signature, has_open
from trailerlib.studies.closing.dead_block import dead_block
from trailerlib.studies.closing.dead_bonds import ground_wire
from trailerlib.studies.closing.sheet import sheet_of

FT = 0.3048
SHIPPED = tl.shipped_trailers()
# ohm per 1000 ft: NFPA 70 chapter 9 table 8, stranded, uncoated, 75 °C; by its note 2 at 20 °C
KFT = {
    wire: at_75 * (1.0 + 0.00323 * (20.0 - 75.0))
    for wire, at_75 in (("12 AWG", 1.98), ("10 AWG", 1.24), ("8 AWG", 0.778))
}


def block_of(design: tl.Design) -> Block:
    block = dead_block(design)
    assert block is not None
    return block


@pytest.fixture(scope="module")
def block(demo: tl.Design) -> Block:
    return block_of(demo)


def healthy(block: Block, key: str) -> float:
    return float(block.healthy.mean[0, block.index()[key]])


def fault(block: Block, key: str) -> Signature:
    return next(one for one in block.faults if one.fault.key == key)


def reads(block: Block, key: str, line: str, row: int = 0) -> float:
    return float(fault(block, key).mean[row, block.index()[line]])


# ── what is there ──────────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_a_block_is_whole(name: str) -> None:
    """Invariant: shapes agree, sizes rise by at most a quarter, an open end is the last size, nothing else is open."""
    block = block_of(tl.read_design(SHIPPED[name]))
    m, keys = len(block.lines), [line.key for line in block.lines]
    assert len(set(keys)) == m and len({one.fault.key for one in block.faults}) == len(block.faults)
    blank = np.isnan(block.healthy.mean[0])
    assert {keys[k] for k in np.flatnonzero(blank)} == set(block.missing)
    for one in (block.healthy, *block.faults):
        assert one.mean.shape == one.extra.shape == (len(one.sizes), m)
        assert one.slope.shape[1:] == block.healthy.slope.shape[1:] and one.rows.max() == len(one.slope) - 1
        assert (np.isnan(one.mean) == blank).all() and np.isfinite(one.slope).all() and (one.extra >= 0.0).all()
        sizes = one.sizes[:-1] if has_open(one) else one.sizes
        assert (sizes[1:] / sizes[:-1] <= 1.25).all() and (np.diff(one.sizes) > 0.0).all()
        assert has_open(one) == (one.fault.kind == "bond poor")
        assert (("{size}" in one.fault.says) == bool(one.fault.sized)) and (len(one.sizes) > 1) == bool(one.fault.sized)


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_everything_is_locked_off_and_proven_dead(name: str) -> None:
    for line in block_of(tl.read_design(SHIPPED[name])).lines:
        assert line.stage == "dead" and line.why and line.setting
        assert "locked off" in line.state and "prove it dead" in line.state
        if line.key.startswith("insulation/"):
            assert "500 V" in line.setting and "electronics off" in line.state and "nobody touches" in line.state
        if line.key.split("/")[0] in ("rails", "frame", "polarity"):
            assert "all fuses out" in line.state


def test_the_order_a_person_walks(block: Block) -> None:
    first = list(dict.fromkeys(line.key.split("/")[0] for line in block.lines))
    assert first == ["bond", "polarity", "rails", "frame", "across", "neutral", "insulation"]


def test_one_lamp_has_only_its_run() -> None:
    block = block_of(tl.read_design(SHIPPED["one-lamp"]))
    assert [line.key for line in block.lines] == [
        "polarity/lamp/plus",
        "polarity/lamp/minus",
        "rails/lamp",
        "frame/lamp",
    ]


def test_nothing_to_test_is_nothing() -> None:
    assert (
        dead_block(tl.design_from({"title": "bare", "trailer": {"length": "8 ft", "width": "5 ft", "height": "5 ft"}}))
        is None
    )


# ── bonds ──────────────────────────────────────────────────────────────────────────────────────────────


def test_a_bond_by_hand(block: Block) -> None:
    """By hand, wire by NFPA 70 table 8 (1 %): 6.985 m of 12 AWG, 4 ft and two loops of 8 AWG, the way to the inlet.

    The inlet lies 11 ft back, 5 in across and 2 ft 8 in under the panel; its ground wire goes with 30 A: 10 AWG.
    """
    curb = 6.985 / FT / 1000.0 * KFT["12 AWG"] + 2 * 0.001
    frame = 5.0 / 1000.0 * KFT["8 AWG"] + 2 * 0.0002
    inlet = (11.0 + 5.0 / 12.0 + 2.0 + 8.0 / 12.0 + 1.0) / 1000.0 * KFT["10 AWG"] + 0.002 + 0.001
    assert healthy(block, "bond/outdoor curb side") == pytest.approx(curb, rel=0.01)
    assert healthy(block, "bond/frame") == pytest.approx(frame, rel=0.01)
    assert healthy(block, "bond/inlet") == pytest.approx(inlet, rel=0.01)
    assert healthy(block, "bond/skin") == pytest.approx(frame + 0.005, rel=0.01)


@pytest.mark.parametrize(
    ("wire", "breaker", "ground"),
    [("14 AWG", 15.0, "14 AWG"), ("12 AWG", 20.0, "12 AWG"), ("10 AWG", 30.0, "10 AWG"), ("8 AWG", 40.0, "10 AWG"),
     ("6 AWG", 50.0, "10 AWG"), ("3 AWG", 100.0, "8 AWG"), ("3/0 AWG", 200.0, "6 AWG")],
)  # fmt: skip
def test_the_ground_wire_is_the_published_one(wire: str, breaker: float, ground: str) -> None:
    """Published: NFPA 70 table 250.122, copper, typed in from a second copy (a trade newsletter's)."""
    assert ground_wire(wire, breaker) == ground


def test_a_ground_wire_is_never_thicker_than_the_circuit() -> None:
    """Published: NFPA 70 250.122(A). A metric wire, and one without a breaker, has one of its own size."""
    assert ground_wire("14 AWG", 20.0) == "14 AWG"
    assert ground_wire("2.5 mm2", 16.0) == "2.5 mm2"
    assert ground_wire("10 AWG", None) == "10 AWG"
    assert (np.diff(table("nec_250_122_ground").floats("rating_a")) > 0.0).all()


def test_a_poor_bond_shows_where_it_is(block: Block) -> None:
    """By hand: skin and platform are bonded through the frame's wire, receptacles are not."""
    one = fault(block, "bond/frame")
    row = int(np.argmin(np.abs(one.sizes - 0.5)))
    more = float(one.sizes[row])
    platform = "bond/the generator's platform, generator"
    for key in ("bond/frame", "bond/skin", platform):
        assert reads(block, "bond/frame", key, row) == pytest.approx(healthy(block, key) + more)
    for key in ("bond/inlet", "bond/bench outlets", "neutral/ground"):
        assert reads(block, "bond/frame", key, row) == healthy(block, key)
    assert reads(block, "bond/skin", "bond/skin", row) == pytest.approx(healthy(block, "bond/skin") + more)
    assert reads(block, "bond/skin", platform, row) == healthy(block, platform)
    assert reads(block, "bond/bench outlets", "bond/bench outlets", -1) == 100.0
    assert fault(block, "bond/bench outlets").sizes[-1] == OPEN_OHM


# ── what should be apart ───────────────────────────────────────────────────────────────────────────────


def test_a_short_between_the_rails_or_to_the_frame(block: Block) -> None:
    for first, other in (("rails", "frame"), ("frame", "rails")):
        one = fault(block, f"{first}/fridge")
        for row, ohm in enumerate(one.sizes):
            assert reads(block, f"{first}/fridge", f"{first}/fridge", row) == ohm
        assert one.extra[0, block.index()[f"{first}/fridge"]] == 0.0
        # whether the minus is on the frame too nobody knows: anywhere within the range of 20 kohm
        at = block.index()[f"{other}/fridge"]
        assert (one.mean[0, at], one.extra[0, at]) == pytest.approx((10e3, 10e3 / math.sqrt(3.0)))
        assert reads(block, f"{first}/fridge", f"{first}/usb") == healthy(block, f"{first}/usb") == 20e3
    assert reads(block, "across/charger", "across/charger") == pytest.approx(0.1)
    assert reads(block, "across/charger", "neutral/ground") == healthy(block, "neutral/ground")


def test_a_run_the_wrong_way_round(block: Block) -> None:
    for end in ("plus", "minus"):
        assert healthy(block, f"polarity/usb/{end}") == 1.0
        assert reads(block, "reversed/usb", f"polarity/usb/{end}") == 0.0
        assert reads(block, "reversed/usb", f"polarity/fridge/{end}") == 1.0


def test_neutral_bonded_in_the_trailer(block: Block) -> None:
    assert reads(block, "neutral/bonded", "neutral/ground") < 1.0
    assert reads(block, "neutral/bonded", "insulation/charger") == healthy(block, "insulation/charger")  # off the bar


def test_poor_insulation(block: Block) -> None:
    one = fault(block, "insulation/roof cooler")
    at = block.index()["insulation/roof cooler"]
    assert one.mean[:, at] == pytest.approx(one.sizes * 1e6) and one.mean[-1, at] < 1e6
    assert reads(block, "insulation/roof cooler", "insulation/charger") == healthy(block, "insulation/charger")


# ── what is accepted ───────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("key", "reading", "verdict"),
    [
        ("insulation/charger", 0.99e6, "differs"),  # IEC 60364-6 table 6.1: 1 Mohm at 500 V dc
        ("insulation/charger", 1.0e6, "agrees"),
        ("insulation/charger", 9e9, "agrees"),
        ("bond/inlet", 0.09, "agrees"),
        ("bond/inlet", 0.11, "differs"),  # 0.1 ohm: IEC 60950-1 2.6.3.4 for protective bonding
        ("bond/inlet", 0.001, "agrees"),  # metal that lies parallel makes it better
        ("rails/usb", 9e3, "differs"),
        ("rails/usb", 1e6, "agrees"),
        ("neutral/ground", 0.2, "differs"),
        ("polarity/usb/plus", 0.0, "differs"),
        ("polarity/usb/minus", 1.0, "agrees"),
    ],
)
def test_the_band(demo: tl.Design, key: str, reading: float, verdict: str) -> None:
    assert sheet_of(demo).of(key).verdict(reading) == verdict


def test_a_long_bond_is_judged_by_its_own_band() -> None:
    """A run whose wire alone has more than half of the limit: what is drawn is accepted, twice as much is not."""
    design = tl.read_design(SHIPPED["kiln-cart"])
    far = sheet_of(design.replace("circuit.charger.run", "50 ft")).of("bond/charger")
    assert far.value is not None and far.value > 0.1
    assert far.verdict(far.value) == "agrees" and far.verdict(2.0 * far.value) == "differs"


# ── what is missing ────────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("changes", "key", "says"),
    [
        ({"mains.frame_bond": None}, "bond/frame", "frame"),
        ({"mains.frame_bond": None}, "bond/skin", "frame"),
        ({"mains.skin_bonded": None}, "bond/skin", "skin"),
        ({"panel": None, "circuit.charger.run": "6 ft"}, "bond/frame", "panel"),
        ({"panel": None}, "bond/inlet", "panel"),
        ({"panel": None}, "bond/roof cooler", "run"),
    ],
)
def test_what_is_missing_is_said_and_not_predicted(
    demo: tl.Design, changes: dict[Any, Any], key: str, says: str
) -> None:
    block = block_of(demo.replace_all(changes))
    assert math.isnan(healthy(block, key)) and says in block.missing[key]
    assert not any(one.fault.key == key for one in block.faults)
    assert sheet_of(demo.replace_all(changes)).of(key).verdict(0.01) == "not checked"
