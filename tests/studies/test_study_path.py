"""The way of the current, step by step: it adds up, every step is there and takes something, and power is kept."""

from __future__ import annotations

import by_hand
import pytest
from random_designs import DC, random_design

import trailerlib as tl
from trailerlib.studies import battery_side
from trailerlib.studies.battery_side import BatterySide
from trailerlib.studies.path import Path, Step

DESIGNS, AT_ONCE = 300, 30  # random trailers, each with six circuits; how many to a test


def path(design: tl.Design, circuit: str) -> Path:
    found = battery_side.path(battery_side.solve(design), circuit)
    assert found is not None
    return found


def seeds(block: int) -> range:
    return range(block * AT_ONCE, (block + 1) * AT_ONCE)


def solved(demo: tl.Design, block: int) -> list[tuple[tl.Design, BatterySide]]:
    """The trailers of one block whose battery side can deliver what is asked; most can."""
    found = [(design, battery_side.solve(design)) for design in (random_design(demo, seed) for seed in seeds(block))]
    standing = [(design, side) for design, side in found if side.block_v is not None]
    assert len(standing) > AT_ONCE / 2
    for _, side in found:
        assert side.block_v is not None or (side.delivered is not None and side.delivered < 1.0)
    return standing


@pytest.mark.parametrize("block", range(DESIGNS // AT_ONCE))
def test_the_steps_add_up_to_what_is_lost(demo: tl.Design, block: int) -> None:
    """Emf less every step is what the worst end of the circuit gets; no step gives, and none carries nothing."""
    for design, side in solved(demo, block):
        for circuit in DC:
            way = battery_side.path(side, circuit)
            assert way is not None
            worst = min(side.load_v[load.name] for load in design.loads_on(circuit))
            assert way.load_v == pytest.approx(worst, rel=1e-12)
            assert way.emf_v - sum(step.ohm * step.current_a for step in way.steps) == pytest.approx(worst, abs=1e-9)
            assert way.lost_v == pytest.approx(way.emf_v - worst, abs=1e-9)
            used = any(load.on for load in design.loads_on(circuit))
            ways = [step for step in way.steps if used or step.current_a > 0.0]
            assert all(step.ohm > 0.0 and step.lost_v > 0.0 and step.heat_w > 0.0 for step in ways)
            if used:
                assert all(step.current_a > 0.0 for step in way.steps if step.name not in ("wire out", "wire back"))


@pytest.mark.parametrize("block", range(DESIGNS // AT_ONCE))
def test_power_in_is_power_delivered_and_power_lost(demo: tl.Design, block: int) -> None:
    """Out of the battery's chemistry: every load's power, the steps all circuits share once, each run's own heat.

    The powers come from the raw file; a resistive load or one that holds its current takes what its voltage gives it.
    """
    for design, side in solved(demo, block):
        raw, total = design.raw, side.total_a
        assert total is not None and side.emf_v is not None and side.block_v is not None
        delivered = sum(
            power(load, side.load_v[load["name"]])
            for load in raw["load"]
            if by_hand.is_dc(load) and load.get("on", True)
        )
        shared = [step for step in steps(side, DC[0]) if step.current_a == total and step.name in SHARED]
        assert sum(step.lost_v for step in shared) == pytest.approx(side.emf_v - side.block_v, abs=1e-9)
        lost = sum(step.heat_w for step in shared)
        for circuit in raw["circuit"]:
            if circuit["system"] == "dc":
                lost += in_run(raw, circuit, side)
        assert side.emf_v * total == pytest.approx(delivered + lost, rel=1e-9)


SHARED = {"battery, inside", "battery lug", "main fuse", "disconnect", "feeder", "feeder back", "fuse block lug"}


def steps(side: BatterySide, circuit: str) -> tuple[Step, ...]:
    way = battery_side.path(side, circuit)
    assert way is not None
    return way.steps


def power(load: by_hand.Raw, volts: float) -> float:
    """What a load takes at a voltage [W]."""
    watts, kind = by_hand.watts(load), by_hand.appliance(load)["kind"]
    return watts * {"resistive": (volts / 12.0) ** 2, "constant current": volts / 12.0}.get(kind, 1.0)


def in_run(raw: by_hand.Raw, circuit: by_hand.Raw, side: BatterySide) -> float:
    """Heat of one circuit [W]: current squared in every piece of wire of its tree, and in its fuse and terminals."""
    tree, per_m = by_hand.pieces(raw, circuit), by_hand.ohm_per_m(circuit["wire"], side.wire_c[circuit["name"]])
    drawn = {}
    for load in raw["load"]:
        if load["circuit"] == circuit["name"]:
            volts = side.load_v[load["name"]]
            drawn[load["name"]] = power(load, volts) / volts if load.get("on", True) else 0.0
    amps = [sum(drawn[name] for name in piece.loads) for piece in tree]
    for k in range(len(tree) - 1, 0, -1):
        amps[tree[k].parent] += amps[k]
    assert amps[0] == pytest.approx(side.current_a[circuit["name"]], rel=1e-9)
    return sum(a**2 * 2 * piece.metres * per_m for a, piece in zip(amps, tree, strict=True)) + amps[0] ** 2 * (
        by_hand.ends_ohm(circuit)
    )


def test_the_steps_of_the_demo_by_name(demo: tl.Design) -> None:
    """As the current meets them, the load between the wire out and the wire back."""
    assert [(step.name, step.way, step.kind) for step in path(demo, "fridge").steps] == [
        ("battery, inside", "source", "battery"),
        ("battery lug", "out", "contact"),
        ("main fuse", "out", "fuse"),
        ("disconnect", "out", "contact"),
        ("feeder", "out", "wire"),
        ("fuse block lug", "out", "contact"),
        ("fuse", "out", "fuse"),
        ("terminal", "out", "contact"),
        ("wire out", "out", "wire"),
        ("wire back", "back", "wire"),
        ("terminal", "back", "contact"),
        ("fuse block lug", "back", "contact"),
        ("feeder back", "back", "wire"),
        ("battery lug", "back", "contact"),
    ]


def test_a_tapped_circuit_has_its_trunk_and_its_spur(demo: tl.Design) -> None:
    """The trunk carries both outlets, the spur one: 38 in of the one, the rest to the far bench of the other."""
    side = battery_side.solve(demo)
    raw, way = demo.raw, path(demo, "usb")
    circuit = by_hand.named(raw, "circuit", "usb")
    per_m = by_hand.ohm_per_m(circuit["wire"], side.wire_c["usb"])
    out = [step for step in way.steps if step.name == "wire out"]
    far = by_hand.LAID_IN["USB at the bench"] - by_hand.TRUNK_IN
    assert [step.ohm for step in out] == pytest.approx([by_hand.TRUNK_IN * 0.0254 * per_m, far * 0.0254 * per_m])
    both = [24.0 / side.load_v[name] for name in ("USB at the bunk", "USB at the bench")]
    assert [step.current_a for step in out] == pytest.approx([sum(both), both[1]])
    back = [step for step in way.steps if step.name == "wire back"]
    assert back == [type(step)("wire back", "back", "wire", step.ohm, step.current_a) for step in reversed(out)]


def test_the_path_of_one_lamp_by_hand(lamp: tl.Design) -> None:
    """Every resistance out of the raw tables: battery, two lugs, fuse, 2 ft of 10 AWG; blade fuse, 18 ft of 16 AWG."""
    side, raw, way = battery_side.solve(lamp), lamp.raw, path(lamp, "lamp")
    feeder = 2 * 0.3048 * by_hand.ohm_per_m("10 AWG", side.feeder_c)
    run = 18 * 0.3048 * by_hand.ohm_per_m("16 AWG", side.wire_c["lamp"])
    lug, spade = by_hand.contact("lug"), by_hand.contact("spade")
    ohm = [by_hand.battery_ohm(raw), lug, by_hand.contact("main fuse"), feeder, lug, 0.09 / 5, spade, run]
    assert [step.ohm for step in way.steps] == pytest.approx([*ohm, run, spade, lug, feeder, lug], rel=1e-9)
    assert [step.current_a for step in way.steps] == pytest.approx([way.load_v / (144.0 / 21.0)] * 13, rel=1e-9)
    assert way.costliest is not None and way.costliest.name in ("wire out", "wire back")
    assert way.costliest.lost_v == max(step.lost_v for step in way.steps)


@pytest.mark.parametrize(("changes", "gone"), [
    ({"feeder.protection": None}, {"main fuse"}), ({"feeder.disconnect": False}, {"disconnect"}),
])  # fmt: skip
def test_what_is_not_fitted_is_no_step(demo: tl.Design, changes: dict[str, object], gone: set[str]) -> None:
    before, after = path(demo, "fridge"), path(demo.replace_all(changes), "fridge")
    assert {step.name for step in before.steps} - {step.name for step in after.steps} == gone


@pytest.mark.parametrize("changes", [
    {"battery": None}, {"feeder": None}, {"circuit.fridge.run": None, "load.specimen fridge.place": None},
    {"circuit.fridge.run": "600 ft"},
], ids=str)  # fmt: skip
def test_a_path_that_is_not_known_is_none(demo: tl.Design, changes: dict[str, object]) -> None:
    assert battery_side.path(battery_side.solve(demo.replace_all(changes)), "fridge") is None
    assert tl.study("wiring", demo.replace_all(changes), circuit="fridge").picture.path is None


def test_the_answer_shows_the_path_of_its_focus(demo: tl.Design) -> None:
    picture = tl.study("wiring", demo, circuit="usb").picture
    assert picture.focus.circuit.name == "usb"
    alone = path(demo, "usb")  # solved without the sizes that are tried beside it
    assert [(s.name, s.way, s.kind) for s in picture.path.steps] == [(s.name, s.way, s.kind) for s in alone.steps]
    assert [s.ohm for s in picture.path.steps] == pytest.approx([s.ohm for s in alone.steps], rel=1e-12)
    assert [s.current_a for s in picture.path.steps] == pytest.approx([s.current_a for s in alone.steps], rel=1e-12)
    assert picture.path.emf_v - picture.path.lost_v == pytest.approx(picture.load_v["USB at the bench"], abs=1e-9)


def test_an_emptier_battery_has_less_to_lose_from(demo: tl.Design) -> None:
    """The charge is asked for, not written: open-circuit voltage from the raw table at each."""
    for charge in (0.2, 0.5, 1.0):
        emf = by_hand.curve("tables/battery_ocv", "soc", "ocv_v", "agm", charge)
        answer = tl.study("wiring", demo, circuit="fridge", charge=charge)
        assert answer.picture.path.emf_v == pytest.approx(emf)
        assert answer.picture.path.load_v < emf
