"""What a short does: its current summed by hand, when the fuse opens, how warm the wire gets, which device opens first."""

from __future__ import annotations

import math
from typing import Any

import by_hand
import numpy as np
import pytest
from random_designs import BLADES, DC, random_design

import trailerlib as tl
from trailerlib.rules.finding import Finding
from trailerlib.studies import battery_side
from trailerlib.studies.devices import device, opens_within_a
from trailerlib.studies.guard import Guard

SHORTS = ("far-end-short", "short-heats-wire", "guards-at-every-current", "slow-overload", "branch-opens-first")


def guard(design: tl.Design, circuit: str) -> Guard:
    (run,) = [run for run in tl.study("wiring", design).picture.runs if run.circuit.name == circuit]
    found: Guard = run.guard
    return found


def check(design: tl.Design, rule: str, subject: str) -> Finding:
    (found,) = [c for c in tl.study("wiring", design).checks if c.rule == rule and c.subject == subject]
    return found


def words(design: tl.Design, circuit: str) -> dict[str, str]:
    return {c.rule: c.severity for c in tl.study("wiring", design).checks
            if c.subject == f'circuit "{circuit}"' and c.rule in SHORTS}  # fmt: skip


def far_by_hand(design: tl.Design, circuit: str | None) -> float:
    """A dead short with the battery half full and every wire at its rating: emf over everything in its way [A]."""
    raw = design.raw
    emf = by_hand.curve("tables/battery_ocv", "soc", "ocv_v", raw["battery"]["chemistry"], 0.5)
    ohm = by_hand.battery_ohm(raw) + by_hand.feeder_ohm(raw, float(raw["feeder"]["insulation"].split()[0]))
    if circuit is not None:
        found = by_hand.named(raw, "circuit", circuit)
        ohm += by_hand.run_ohm(found, float(found["insulation"].split()[0]))
    return emf / ohm


# ── how much flows ────────────────────────────────────────────────────────────────────────────────────


def test_a_short_at_the_fridge_with_numbers_beside(demo: tl.Design) -> None:
    """12.3 V over: the battery; four lugs 0.8, main fuse 0.5, disconnect 0.3, 8 ft of 6 AWG at 105 °C; a 15 A fuse 6,
    two terminals 2, 24 ft of 12 AWG at 105 °C, in milliohms."""
    inside = by_hand.cell("tables/battery_limits", "resistance_mohm_per_100ah", chemistry="agm")
    mohm = {
        "battery": inside,
        "lugs": 4 * 0.2,
        "main fuse": 0.5,
        "disconnect": 0.3,
        "feeder": 8 * 0.3951 * 1.02 * (1 + 0.00393 * 85),  # 0.3951 ohm/1000 ft solid at 20 °C, the trade's table
        "blade fuse": 90 / 15,
        "terminals": 2.0,
        "run": 24 * 1.588 * 1.02 * (1 + 0.00393 * 85),  # 1.588 ohm/1000 ft
    }
    far = guard(demo, "fridge").far_end
    assert far is not None
    assert far.current_a == pytest.approx(12.3 / (sum(mohm.values()) / 1000), rel=2e-3)
    assert far.current_a == pytest.approx(far_by_hand(demo, "fridge"), rel=1e-12)


@pytest.mark.parametrize("circuit", DC)
def test_the_far_end_of_every_circuit_of_the_demo_by_hand(demo: tl.Design, circuit: str) -> None:
    far = guard(demo, circuit).far_end
    assert far is not None and far.current_a == pytest.approx(far_by_hand(demo, circuit), rel=1e-12)
    assert check(demo, "far-end-short", f'circuit "{circuit}"').measured == far.current_a
    assert tl.study("wiring", demo, circuit=circuit).value("far_short_a") == far.current_a


@pytest.mark.parametrize("seed", range(20))
def test_the_far_end_of_random_circuits_by_hand(demo: tl.Design, seed: int) -> None:
    design = random_design(demo, 5000 + seed)
    side = battery_side.solve(design)
    for circuit in DC:
        assert battery_side.far_end_a(design, side, circuit) == pytest.approx(far_by_hand(design, circuit), rel=1e-12)
    assert battery_side.far_end_a(design, side, None) == pytest.approx(far_by_hand(design, None), rel=1e-12)


@pytest.mark.parametrize("seed", range(20))
def test_the_most_that_flows_at_the_fuse_block_by_hand(demo: tl.Design, seed: int) -> None:
    """Battery full, feeder cold: the devices behind the block must be able to break it."""
    design = demo if seed == 0 else random_design(demo, 6000 + seed)
    raw = design.raw
    full = by_hand.curve("tables/battery_ocv", "soc", "ocv_v", raw["battery"]["chemistry"], 1.0)
    most = full / (by_hand.battery_ohm(raw) + by_hand.feeder_ohm(raw, 20.0))
    assert battery_side.at_block_a(design, battery_side.solve(design)) == pytest.approx(most, rel=1e-12)
    for circuit in DC:
        assert guard(design, circuit).prospective_a == pytest.approx(most, rel=1e-12)
    block = check(design, "branch-interrupting", "fuse block")
    assert block.limit == pytest.approx(most, rel=1e-12)
    assert block.measured == 1000.0  # the class of blade fuses, out of the table
    assert block.severity == ("holds" if most <= 1000.0 else "fix")


def test_the_far_end_draws_less_than_the_block(demo: tl.Design) -> None:
    for seed in range(30):
        design = random_design(demo, 7000 + seed)
        for circuit in DC:
            found = guard(design, circuit)
            assert found.far_end is not None and found.prospective_a is not None
            assert found.far_end.current_a < found.prospective_a


# ── when it opens, how warm the wire gets ─────────────────────────────────────────────────────────────


def blade(multiple: float) -> float:
    """Latest opening of a blade fuse up to 30 A [s]: straight on double logarithmic paper, I²t after six times."""
    points = [(1.35, 1800.0), (1.6, 50.0), (2.0, 5.0), (3.5, 0.5), (6.0, 0.1)]
    for (m0, t0), (m1, t1) in zip(points, points[1:], strict=False):
        if m0 <= multiple <= m1:
            return t0 * (t1 / t0) ** (math.log(multiple / m0) / math.log(m1 / m0))
    return math.inf if multiple < 1.35 else 0.1 * (6.0 / multiple) ** 2


@pytest.mark.parametrize(("feet", "amps"), [(12, 15), (60, 15), (150, 15), (40, 30), (200, 20), (5, 5)])
def test_when_the_fuse_opens_on_a_far_short(demo: tl.Design, feet: int, amps: int) -> None:
    design = demo.replace_all({"circuit.fridge.run": f"{feet} ft", "circuit.fridge.protection": f"{amps} A"})
    far = guard(design, "fridge").far_end
    assert far is not None
    current = far_by_hand(design, "fridge")
    assert far.most_s == pytest.approx(blade(current / amps), rel=1e-6)
    assert far.least_s < far.most_s or math.isinf(far.least_s)
    found = check(design, "far-end-short", 'circuit "fridge"')
    assert found.limit == pytest.approx(2.0 * amps)  # ISO 8820-3: within 5 s at twice its rating
    assert found.severity == ("holds" if current >= 2.0 * amps else "fix")


@pytest.mark.parametrize(("wire", "amps"), [("18 AWG", 10), ("16 AWG", 20), ("14 AWG", 30), ("12 AWG", 15)])
def test_the_heat_of_the_wire_by_then(demo: tl.Design, wire: str, amps: int) -> None:
    """Step by step: heat of the current in copper that keeps 3.45 J/cm³K, less what holds it at 105 °C at its ampacity.

    Copper that kept all its heat would be just above: it opens in less than a second.
    """
    design = demo.replace_all({"circuit.fridge.wire": wire, "circuit.fridge.protection": f"{amps} A"})
    far, area = guard(design, "fridge").far_end, by_hand.cell("tables/wire_awg", "area_mm2", awg=wire[:2]) * 1e-6
    assert far is not None and far.most_s < 1.0
    air = by_hand.number("96 °F")
    ampacity = by_hand.dc_ampacity(wire, "105 C", air, 2)

    def heating(current: float, celsius: float) -> float:
        return 1.7241e-8 * (1 + 0.00393 * (celsius - 20)) * current**2 / (3.45e6 * area**2)

    cooling = heating(ampacity, 105.0) / (105.0 - air)
    hot = kept = 105.0
    step = blade(far.current_a / amps) / 20_000
    for _ in range(20_000):
        hot += step * (heating(far.current_a, hot) - cooling * (hot - air))
        kept += step * heating(far.current_a, kept)
    assert far.wire_c - 105.0 == pytest.approx(hot - 105.0, rel=1e-4)
    assert hot < kept < 105.0 + 1.2 * (hot - 105.0)
    found = check(design, "short-heats-wire", 'circuit "fridge"')
    assert (found.measured, found.limit) == (far.wire_c, 150.0)
    assert found.severity == ("holds" if far.wire_c <= 150.0 else "stop")


def test_a_fuse_too_large_for_its_wire_lets_a_dead_short_burn_it(demo: tl.Design) -> None:
    """A 40 A fuse lets 240² A²s x 0.15 s = 8640 A²s through; 18 AWG from 105 to 150 °C stands (79.7 x 0.823)² = 4300,
    14 AWG (79.7 x 2.08)² = 27500. k = 226 sqrt(ln(384.5 / 339.5)) of IEC 60364-5-54 annex A."""
    stands = [(226 * math.sqrt(math.log(384.5 / 339.5)) * mm2) ** 2 for mm2 in (0.823, 2.08)]
    assert stands[0] < 0.15 * 240**2 < stands[1]
    thin = demo.replace_all({"circuit.fridge.wire": "18 AWG", "circuit.fridge.protection": "40 A"})
    thick = thin.replace("circuit.fridge.wire", "14 AWG")
    found = check(thin, "guards-at-every-current", 'circuit "fridge"')
    assert found.severity == "stop" and found.measured is not None and found.limit is not None
    assert found.measured < found.limit == guard(thin, "fridge").prospective_a
    good = check(thick, "guards-at-every-current", 'circuit "fridge"')
    assert good.severity == "holds" and good.measured == good.limit


@pytest.mark.parametrize("amps", BLADES)
def test_the_current_that_opens_a_blade_fuse_in_five_seconds(amps: float) -> None:
    """Twice the rating, for all sizes of ISO 8820-3 type C; three and a half times for half a second."""
    found, reason = device("blade", amps)
    assert found is not None and not reason
    assert opens_within_a(found) == pytest.approx(2.0 * amps)
    assert opens_within_a(found, 0.5) == pytest.approx(3.5 * amps)
    assert opens_within_a(found, 1800.0) == pytest.approx(1.35 * amps)


def test_a_long_thin_run_cannot_blow_a_large_fuse(demo: tl.Design) -> None:
    """150 ft of 18 AWG behind 30 A: about 5 A flow, and it may glow for ever."""
    design = demo.replace_all(
        {"circuit.usb.run": "150 ft", "circuit.usb.wire": "18 AWG", "circuit.usb.protection": "30 A"}
    )
    found = check(design, "far-end-short", 'circuit "usb"')
    assert found.severity == "fix" and found.measured is not None and found.measured < 10.0
    far = guard(design, "usb").far_end
    assert far is not None and math.isinf(far.most_s)


# ── which opens first ─────────────────────────────────────────────────────────────────────────────────


def test_the_branch_opens_first_behind_a_large_main(demo: tl.Design) -> None:
    """80 A main: no sooner than 0.04 s at 480 A, 9200 A²s; the 15 A fuse has opened by 0.1 s at 90 A, 810 A²s."""
    found = check(demo, "branch-opens-first", 'circuit "fridge"')
    assert found.severity == "holds" and found.measured == found.limit == guard(demo, "fridge").prospective_a


def test_the_main_may_open_first_when_it_is_small(demo: tl.Design) -> None:
    """60 A main, 40 A branch: where the main's soonest curve falls below the branch's latest, worked by hand.

    Main: 1 s at 120 A, 0.2 s at 210 A. Branch: 0.5 s at 140 A, 0.15 s at 240 A. They cross just below 210 A.
    """
    design = demo.replace_all({
        "feeder.protection": "60 A", "circuit.fridge.protection": "40 A", "circuit.fridge.wire": "8 AWG",
    })  # fmt: skip

    def gap(amps: float) -> float:
        main = (amps / 120) ** (math.log(0.2) / math.log(210 / 120))
        branch = 0.5 * (amps / 140) ** (math.log(0.15 / 0.5) / math.log(240 / 140))
        return main - branch

    low, high = 140.0, 210.0
    assert gap(low) > 0 > gap(high)
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if gap(middle) > 0 else (low, middle)
    found = check(design, "branch-opens-first", 'circuit "fridge"')
    assert found.severity == "note" and found.measured is not None
    assert low <= found.measured <= low * (50_000 / 40) ** (1 / 299)  # as fine as the curves are compared
    assert check(design, "branch-opens-first", 'circuit "usb"').severity == "holds"


def test_what_the_main_sees_of_a_smaller_branch_is_not_turned_round(demo: tl.Design) -> None:
    """The same two devices the other way round: a large one behind a small one never opens first."""
    small, large = device("blade", 10.0)[0], device("terminal", 100.0)[0]
    assert small is not None and large is not None
    base = guard(demo, "fridge")
    right = Guard(small, base.wire, 700.0, 1.0, None, None)
    wrong = Guard(large, base.wire, 700.0, 1.0, None, None)
    assert right.main_from_a(large) == 700.0
    first = wrong.main_from_a(small)
    assert first is not None and first < 110.0
    assert right.main_from_a(None) is None


# ── what is missing ───────────────────────────────────────────────────────────────────────────────────

ALL = set(SHORTS)
FAR = {"far-end-short", "short-heats-wire"}
MISSING: dict[str, tuple[dict[str, Any], set[str]]] = {
    "air": ({"site.hottest": None}, ALL - {"branch-opens-first"}),
    "bundle": ({"raceway": None}, ALL - {"branch-opens-first"}),
    "protection": ({"circuit.fridge.protection": None}, ALL),
    "published limits": ({"circuit.fridge.protection": "60 A"}, ALL),
    "battery": ({"battery": None}, ALL - {"slow-overload"}),
    "feeder": ({"feeder": None}, ALL - {"slow-overload"}),
    "feeder's run": ({"feeder.run": None, "battery.place": None}, ALL - {"slow-overload"}),
    "run": ({"circuit.fridge.run": None, "load.specimen fridge.place": None, "circuit.fridge.bundle": 2}, FAR),
    "main fuse": ({"feeder.protection": None}, {"branch-opens-first"}),
}


@pytest.mark.parametrize("gone", MISSING)
def test_what_is_missing_is_not_checked(demo: tl.Design, gone: str) -> None:
    """Exactly what rests on it, and nothing else; with it everything is judged."""
    assert set(words(demo, "fridge")) == ALL and "not checked" not in words(demo, "fridge").values()
    changes, lost = MISSING[gone]
    after = words(demo.replace_all(changes), "fridge")
    assert {rule for rule, word in after.items() if word == "not checked"} == lost
    assert set(after) == ALL


@pytest.mark.parametrize(("changes", "reason"), [
    ({"circuit.fridge.protection": None}, "no fuse or breaker is given"),
    ({"circuit.fridge.protection": "60 A"}, "no published limits for a blade of 60 A"),
    ({"site.hottest": None}, "the air or the bundle of the wire is not known"),
    ({"raceway": None}, "the air or the bundle of the wire is not known"),
    ({"battery": None}, "what its source can drive into a short is not known"),
    ({}, ""),
])  # fmt: skip
def test_the_guard_says_why(demo: tl.Design, changes: dict[str, Any], reason: str) -> None:
    found = guard(demo.replace_all(changes), "fridge").reason
    assert found.startswith(reason) and bool(found) is bool(reason)


def test_the_main_fuse_is_judged_like_a_branch(demo: tl.Design) -> None:
    """A short at the fuse block: the feeder warm, the battery half full."""
    found = check(demo, "far-end-short", "main fuse")
    assert found.measured == pytest.approx(far_by_hand(demo, None), rel=1e-12)
    for changes in ({"feeder.protection": None}, {"battery": None}, {"site.hottest": None}):
        for rule in ("far-end-short", "short-heats-wire", "guards-at-every-current"):
            assert check(demo.replace_all(changes), rule, "main fuse").severity == "not checked"


def test_a_smaller_fuse_never_guards_less(demo: tl.Design) -> None:
    """Within the type C sizes up to 30 A, all of one shape: what a fuse guards a smaller one guards too."""
    for wire in ("18 AWG", "16 AWG", "14 AWG"):
        seen = []
        for amps in BLADES[:11]:
            design = demo.replace_all({"circuit.fridge.wire": wire, "circuit.fridge.protection": f"{amps:g} A"})
            found = guard(design, "fridge")
            assert found.far_end is not None
            seen.append((found.far_end.wire_c, found.guarded_to_a == found.prospective_a))
        heat = np.array([c for c, _ in seen])
        assert (np.diff(heat) >= -1e-9).all(), "a larger fuse lets the wire get no cooler"
        guarded = [all_guarded for _, all_guarded in seen]
        assert guarded == sorted(guarded, reverse=True)
        assert guarded[0] and (wire != "18 AWG" or not guarded[-1])
