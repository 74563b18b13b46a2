"""One step of a bank against Kirchhoff's law and a general root finder, and a charge against its closed form.

Where the bank gives current there is one voltage at which sources, loads and bank agree: a source that is regulated
gives all it has below its voltage and nothing above it, and in between whatever holds it there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from trailerlib.physics.battery_bank import MANY, ONE, Curve
from trailerlib.physics.battery_step import Bus, Cell, Passed, load_w, passed, tow_current_a

SHARE, OCV_V = np.array([0.0, 0.3, 0.7, 1.0]), np.array([11.6, 12.1, 12.5, 12.9])
CAPACITY, RATED, BEYOND, OHM = 100.0, 5.0, 0.2, 0.02
EFFICIENCY, TAU, HIGHEST, REFERENCE = 0.9, 2.0, 30.0, 14.4


def cell(many: int | None = None, pooled: bool = True, towed: bool = True) -> Cell:
    figures = (CAPACITY, RATED, BEYOND, EFFICIENCY, TAU, HIGHEST, REFERENCE)
    return Cell(MANY if many else ONE, Curve(SHARE, OCV_V, many), *figures, pooled=pooled, towed=towed)


def rest_v(share: float) -> float:
    return float(np.interp(share, SHARE, OCV_V))


def mean_rest_v(begin: float, end: float) -> float:
    """The mean of the curve by the trapezoids between its corners."""
    low, high = sorted((begin, end))
    at = np.array([low, *SHARE[(low < SHARE) & (high > SHARE)], high])
    return rest_v(low) if high - low < 1e-9 else float(np.trapezoid(np.interp(at, SHARE, OCV_V), at) / (high - low))


@dataclass(frozen=True)
class Case:
    bus: Bus
    charge_ah: float
    hours: float

    def drain_a(self, amps: float) -> float:
        return amps * max(1.0, amps / RATED) ** BEYOND + self.bus.leak_a

    def mean_v(self, amps: float) -> float:
        begin = self.charge_ah / CAPACITY
        return mean_rest_v(begin, begin - self.drain_a(amps) * self.hours / CAPACITY)

    def bank_a(self, volts: float) -> float:
        """What the bank gives at a voltage of the bus; nothing where that is above its own."""
        if volts >= self.mean_v(0.0):
            return 0.0
        return float(brentq(lambda amps: self.mean_v(amps) - amps * OHM - volts, 0.0, 2000.0, xtol=1e-13))

    def others_a(self, volts: float) -> float:
        """What the loads take less what the tow wire brings."""
        bus = self.bus
        tow = min(max(0.0, (bus.tow_v - volts) * bus.tow_siemens), bus.tow_limit_a)
        return bus.power_w / volts + bus.siemens * volts + bus.amps - tow

    def pool_a(self, volts: float) -> float:
        return self.bus.pool_a + self.bus.pool_w / volts

    def lacks_a(self, volts: float) -> float:
        """What is still asked for at a voltage, the regulated sources left out below it."""
        pool = self.pool_a(volts) if volts < self.bus.set_v else 0.0
        return self.others_a(volts) - pool - self.bank_a(volts)

    def true(self) -> tuple[float, float]:
        """Voltage of the bus and current of the bank."""
        low, high, set_v = 9.0, 16.0, self.bus.set_v
        if low < set_v < high:
            below, above = self.lacks_a(set_v - 1e-9), self.lacks_a(set_v + 1e-9)
            if below < 0.0 < above:
                return set_v, self.bank_a(set_v)
            low, high = (low, set_v - 1e-9) if below > 0.0 else (set_v + 1e-9, high)
        volts = float(brentq(self.lacks_a, low, high, xtol=1e-13))
        return volts, self.bank_a(volts)


def bus(**changes: Any) -> Bus:
    empty = Bus(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, REFERENCE, 0.0)
    return empty._replace(**changes)


def drawn(rng: np.random.Generator) -> Case:
    """Loads and sources at random, the bank giving something."""
    sources = rng.integers(0, 6)
    pool = {"pool_a": rng.uniform(0, 20), "pool_w": rng.uniform(0, 150)}
    tow = {"tow_v": rng.uniform(11.5, 13.5), "tow_siemens": rng.uniform(2, 15), "tow_limit_a": rng.uniform(2, 20)}
    given = {0: {}, 1: pool, 2: tow, 3: pool | tow, 4: pool | tow, 5: pool}[int(sources)]
    set_v = rng.uniform(11.2, 12.6) if sources in (4, 5) else REFERENCE
    loads = {"power_w": rng.uniform(0, 700), "siemens": rng.uniform(0, 2), "amps": rng.uniform(0, 10)}
    made = bus(**given, **loads, set_v=set_v, leak_a=float(rng.choice([0.0, 0.3])))
    hours = 0.01 if sources in (4, 5) else float(rng.choice([1 / 12, 0.5]))  # longer, and it may change sides within
    return Case(made, rng.uniform(25, 99), hours)


@pytest.fixture(scope="module")
def cases() -> list[tuple[Case, float, float]]:
    rng, found = np.random.default_rng(7), []
    while len(found) < 160:
        case = drawn(rng)
        volts, amps = case.true()
        if amps > 0.05:
            found.append((case, volts, amps))
    return found


def agrees(case: Case, volts: float, amps: float, got: Passed) -> None:
    assert got.current_a == pytest.approx(amps, abs=2e-6) and got.load_v == pytest.approx(volts, abs=1e-7)
    assert got.bus_v == got.load_v and got.rest_v == pytest.approx(volts + amps * OHM, abs=1e-7)
    assert got.drain_a == pytest.approx(case.drain_a(amps), abs=5e-6)
    assert got.charge_ah == pytest.approx(case.charge_ah - case.drain_a(amps) * case.hours, abs=5e-6)
    assert (got.share, got.end_a) == (1.0, 0.0)
    assert bool(got.at_set) == (case.bus.set_v == volts)


def test_a_bank_that_gives_current_does_so_by_kirchhoff(cases: list[tuple[Case, float, float]]) -> None:
    held, towed, idle = 0, 0, 0
    for case, volts, amps in cases:
        guess = rest_v(case.charge_ah / CAPACITY)
        got = passed(cell(), case.bus, case.charge_ah, case.hours, guess, OHM, 1.0)
        agrees(case, volts, amps, got)
        held += case.bus.set_v == volts
        idle += case.bus.set_v < volts
        towed += 0.0 < tow_current_a(ONE, case.bus, volts) < case.bus.tow_limit_a
    assert min(held, towed, idle) > 5, "each must come about"


def test_many_banks_at_once_are_each_what_they_are_alone(cases: list[tuple[Case, float, float]]) -> None:
    for hours in (0.01, 1 / 12, 0.5):
        some = [one for one in cases if one[0].hours == hours]
        together = Bus(*np.array([one[0].bus for one in some]).T)
        charge = np.array([one[0].charge_ah for one in some])
        guess = np.interp(charge / CAPACITY, SHARE, OCV_V)
        got = passed(cell(len(some)), together, charge, hours, guess, OHM, 1.0)
        for at, (case, volts, amps) in enumerate(some):
            agrees(case, volts, amps, Passed(*(np.broadcast_to(x, charge.shape)[at] for x in got)))


@pytest.mark.parametrize("siemens", [0.0, 3.0])
def test_more_than_can_be_delivered_is_shared_out(siemens: float) -> None:
    """A step too short to tire the bank: half of its voltage, and as much as that passes, by maximum power transfer."""
    asked = bus(power_w=9000.0, siemens=siemens, amps=20.0)
    got = passed(cell(pooled=False, towed=False), asked, 50.0, 1e-7, rest_v(0.5), OHM, 1.0)
    lean, emf = 1.0 + siemens * OHM, rest_v(0.5) - 20.0 * OHM
    assert got.load_v == pytest.approx(emf / lean / 2, rel=1e-5)
    assert got.share == pytest.approx(emf**2 / (4 * OHM * lean) / 9000.0, rel=1e-6)
    given = load_w(asked, got.share, got.load_v)
    assert given == pytest.approx(got.load_v * got.current_a, rel=1e-6) and got.at_set is False


def test_sources_that_help_out_where_the_bank_cannot_count_in_the_share() -> None:
    asked = bus(power_w=9000.0, pool_w=500.0)
    got = passed(cell(towed=False), asked, 50.0, 1e-7, rest_v(0.5), OHM, 1.0)
    assert got.share == pytest.approx((rest_v(0.5) ** 2 / (4 * OHM) + 500.0) / 9000.0, rel=1e-6)


def test_the_tow_wire_by_hand() -> None:
    tow = bus(tow_v=13.5, tow_siemens=10.0, tow_limit_a=8.0)
    assert [tow_current_a(ONE, tow, volts) for volts in (13.0, 12.0, 14.0)] == [5.0, 8.0, 0.0]
    assert tow_current_a(MANY, tow, np.array([13.0, 12.0, 14.0])).tolist() == [5.0, 8.0, 0.0]
    assert load_w(bus(power_w=100.0, siemens=2.0, amps=3.0), 0.5, 10.0) == 50.0 + 200.0 + 30.0


# ── charging ─────────────────────────────────────────────────────────────────────────────────────────


def charged(
    charge_ah: float, hours: float, many: bool = False, takes: float = 1.0, ohm: float = OHM, **sources: float
) -> Passed:
    """One step; the same with two banks side by side, of which one is looked at."""
    made = cell(2 if many else None, towed="tow_v" in sources)
    charge = np.full(2, charge_ah) if many else charge_ah
    given = bus(**sources)
    wide = Bus(*(np.full(2, x) for x in given)) if many else given
    got = passed(made, wide, charge, hours, made.ocv.read(charge / CAPACITY), ohm, takes)
    return Passed(*(np.broadcast_to(x, (2,))[1] for x in got)) if many else got


both = pytest.mark.parametrize("many", [False, True])


@both
@pytest.mark.parametrize("leak_a", [0.0, 0.4])
@pytest.mark.parametrize("takes", [1.0, 0.6])
def test_a_steady_current_below_the_set_voltage(many: bool, leak_a: float, takes: float) -> None:
    """12 A, 2 of them taken by a load: 0.9 of 10 A go in. The resistance is (Uabs - U0) eta tau / (a lack) half way."""
    got = charged(40.0, 0.5, many, takes, pool_a=12.0, amps=2.0, leak_a=leak_a)
    end = 40.0 + (0.9 * 10.0 - leak_a) * 0.5
    assert got.charge_ah == pytest.approx(end, rel=1e-12) and got.current_a == pytest.approx(-10.0, rel=1e-12)
    assert got.drain_a == pytest.approx(leak_a - 9.0, rel=1e-12) and not got.at_set and got.share == 1.0
    rest = mean_rest_v(0.4, end / 100.0)
    assert got.rest_v == pytest.approx(rest, rel=1e-12)
    at_middle = mean_rest_v(0.4, 0.445) if leak_a == 0.0 else rest_v(0.4 + 0.0225)
    ohm = (REFERENCE - at_middle) * EFFICIENCY * TAU / (takes * (60.0 - 0.9 * 10.0 * 0.25))
    assert got.bus_v == pytest.approx(rest + 10.0 * ohm, rel=1e-9) and got.load_v == got.bus_v


@both
def test_the_resistance_in_charge_is_never_below_that_of_the_metal(many: bool) -> None:
    got = charged(40.0, 0.5, many, ohm=0.5, pool_a=4.0)
    assert got.bus_v == pytest.approx(mean_rest_v(0.4, 0.418) + 4.0 * 0.5, rel=1e-9)


@both
@pytest.mark.parametrize(("takes", "pool_a", "limit"), [(1.0, 50.0, 30.0), (0.5, 50.0, 15.0), (0.1, 20.0, 3.0)])
def test_a_bank_takes_no_more_than_it_may(many: bool, takes: float, pool_a: float, limit: float) -> None:
    """Its largest current in the warmth, less in the cold; the lack of 80 Ah would let in 44 A."""
    got = charged(20.0, 1 / 12, many, takes, pool_a=pool_a)
    assert got.current_a == pytest.approx(-limit, rel=1e-9)
    assert got.charge_ah == pytest.approx(20.0 + 0.9 * limit / 12, rel=1e-12)


@both
@pytest.mark.parametrize("takes", [1.0, 0.4])
@pytest.mark.parametrize("leak_a", [0.0, 0.2])
def test_the_tail_is_its_exponential(many: bool, takes: float, leak_a: float) -> None:
    """8 Ah are lacking, the sources could send far more: the lack falls by exp(-a t / tau)."""
    got = charged(92.0, 0.5, many, takes, pool_a=29.0, leak_a=leak_a)
    left = 8.0 * math.exp(-takes * 0.5 / TAU)
    assert got.at_set and got.bus_v == pytest.approx(REFERENCE) and got.load_v == pytest.approx(REFERENCE)
    assert got.charge_ah == pytest.approx(100.0 - left - leak_a * 0.5, rel=1e-12)
    assert got.current_a == pytest.approx(-(8.0 - left) / 0.9 / 0.5, rel=1e-12)
    assert got.end_a == pytest.approx(takes * left / (0.9 * TAU), rel=1e-12)
    assert got.drain_a == pytest.approx(leak_a - (8.0 - left) / 0.5, rel=1e-12)
    assert got.rest_v == pytest.approx(mean_rest_v(0.92, 1.0 - (left + leak_a * 0.5) / 100.0), rel=1e-9)


@both
def test_a_steady_current_that_becomes_a_tail_within_the_step(many: bool) -> None:
    """10 A until 18 Ah lack (10 A = 18 / 0.9 / 2), from 21.6 Ah 0.4 h; then the exponential for 0.6 h."""
    got = charged(78.4, 1.0, many, pool_a=10.0)
    left = 18.0 * math.exp(-0.6 / TAU)
    assert got.charge_ah == pytest.approx(100.0 - left, rel=1e-9) and got.at_set
    assert got.current_a == pytest.approx(-(21.6 - left) / 0.9, rel=1e-9)
    assert got.end_a == pytest.approx(left / (0.9 * TAU), rel=1e-9)
    assert mean_rest_v(0.784, 0.82) < got.load_v <= REFERENCE and got.bus_v <= REFERENCE


@both
def test_what_sources_of_power_send_at_the_set_voltage(many: bool) -> None:
    """144 W and 2 A give 12 A at 14.4 V; 14.4 W, 0.1 S and 1 A take 3.44 of them; the tow wire brings 0.6 V x 10 S."""
    sources = {"pool_w": 144.0, "pool_a": 2.0, "power_w": 14.4, "siemens": 0.1, "amps": 1.0}
    tow = {"tow_v": 15.0, "tow_siemens": 10.0, "tow_limit_a": 9.0}
    for given, amps in ((sources, 8.56), (sources | tow, 14.56)):
        lack = 0.9 * TAU * amps
        just, less = (charged(100.0 - x, 1e-4, many, **given) for x in (lack * 0.999, lack * 1.01))
        assert just.at_set and just.current_a == pytest.approx(-0.999 * amps, rel=1e-4)
        assert not less.at_set and less.bus_v < REFERENCE and -less.current_a == pytest.approx(amps, rel=0.01)
        power = less.bus_v * -less.current_a
        tow_a = min(max(0.0, (given.get("tow_v", 0.0) - less.bus_v) * 10.0), 9.0) if "tow_v" in given else 0.0
        at = less.bus_v
        assert power == pytest.approx(144.0 + (2.0 + tow_a) * at - 14.4 - 0.1 * at**2 - at, rel=1e-9)


@both
def test_a_full_bank_takes_nothing_and_the_sources_hold_the_set_voltage(many: bool) -> None:
    got = charged(100.0, 0.5, many, pool_a=10.0, amps=3.0)
    assert got.charge_ah == pytest.approx(100.0, abs=1e-9) and got.current_a == pytest.approx(0.0, abs=1e-9)
    assert got.at_set and got.load_v == pytest.approx(REFERENCE) and got.end_a == pytest.approx(0.0, abs=1e-9)


@both
def test_a_bank_that_is_too_cold_takes_nothing(many: bool) -> None:
    """No tail either: what holds nothing at the set voltage does not come to the end of its charge there."""
    got = charged(50.0, 0.5, many, takes=0.0, pool_a=10.0, amps=3.0)
    assert got.charge_ah == pytest.approx(50.0, abs=1e-9) and got.current_a == pytest.approx(0.0, abs=1e-9)
    assert not got.at_set and rest_v(0.5) <= got.load_v <= REFERENCE and got.rest_v == pytest.approx(rest_v(0.5))


def test_banks_that_charge_beside_banks_that_give_are_each_what_they_are_alone() -> None:
    """Charging, its tail, given, held, idle sources, full, cold: every pair of them side by side."""
    kinds = [
        (bus(pool_a=12.0, amps=2.0), 40.0, 1.0), (bus(pool_a=29.0), 92.0, 1.0), (bus(pool_a=10.0), 78.4, 1.0),
        (bus(pool_a=5.0, power_w=300.0), 60.0, 1.0), (bus(pool_a=5.0, power_w=60.0, set_v=12.6), 90.0, 1.0),
        (bus(pool_a=5.0, set_v=12.0), 80.0, 1.0), (bus(pool_a=10.0, amps=3.0), 100.0, 1.0),
        (bus(pool_a=10.0, amps=3.0), 50.0, 0.0), (bus(pool_w=200.0, tow_v=14.0, tow_siemens=5.0, tow_limit_a=9.0), 55.0, 0.7),
        (bus(tow_v=12.7, tow_siemens=5.0, tow_limit_a=9.0, amps=1.0), 55.0, 1.0), (bus(power_w=9000.0), 55.0, 1.0),
    ]  # fmt: skip
    alone = [
        passed(cell(), one, charge, 0.5, cell().ocv.read(charge / CAPACITY), OHM, takes) for one, charge, takes in kinds
    ]
    charge, takes = (np.array([kind[n] for kind in kinds]) for n in (1, 2))
    wide = Bus(*np.array([kind[0] for kind in kinds]).T)
    got = passed(cell(len(kinds)), wide, charge, 0.5, np.interp(charge / CAPACITY, SHARE, OCV_V), OHM, takes)
    for name, values in zip(Passed._fields, got, strict=True):
        one_by_one = np.array([float(getattr(one, name)) for one in alone])
        assert np.broadcast_to(values, charge.shape) == pytest.approx(one_by_one, abs=2e-6, rel=1e-7), name


def test_a_cell_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        cell().tau_h = 1.0  # type: ignore[misc]
