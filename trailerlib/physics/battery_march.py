"""The march itself: what switches between the steps, how far the charge has come, and the sums."""

from __future__ import annotations

import numpy as np

from trailerlib.physics.battery_bank import Value
from trailerlib.physics.battery_flows import FLOWS, flowed
from trailerlib.physics.battery_given import Given
from trailerlib.physics.battery_step import Bus, Passed, passed, tow_current_a

_EMPTY = 1e-9  # share of the capacity within which the floor counts as met
_DONE_H = 1e-12
_ENOUGH = 0.9  # of the sources' power, all that a heating pad may take while the bank itself gives nothing
_LEAST = 1e-12


class Run:
    """The march: what is on, how far the charge has come, and the sums so far."""

    def __init__(self, given: Given, curves: bool) -> None:
        """Begin.

        Parameters
        ----------
        given : the inputs laid out
        curves : whether every step is kept
        """
        self.given, self.ops, self.cell, self.keeps = given, given.ops, given.cell, curves
        one = given.banks is None
        self.zero: Value = 0.0 if one else np.zeros(given.banks)
        self.yes: Value = True if one else np.ones(given.banks, dtype=bool)
        factor, capacity = given.factor[0], self.cell.capacity_ah
        self.charge_ah = capacity * (1.0 - factor * (1.0 - given.start))
        self.begin_ah = self.charge_ah
        self.rest_v = self.bus_v = self.cell.ocv.read(self.charge_ah / capacity)
        self.bank_on, self.floating, self.absorbed_h = self.yes, ~self.yes if not one else False, self.zero
        self.warmer_k, self.clock_h = self.zero, 0.0
        self.on: list[Value] = [self.yes] * given.groups
        self.all_on, self.any_floating = True, False
        self.wh: list[Value] = [self.zero] * len(FLOWS)
        self.cut_h: list[Value] = [self.zero + np.nan for _ in self.on]
        self.off_h: list[Value] = [self.zero] * given.groups
        self.unmet_wh: list[Value] = [self.zero] * given.groups
        self.full_h = self.zero + np.nan
        self.lowest, self.lowest_at_h, self.lowest_v = self.zero + given.start, self.zero, self.bus_v
        self.shares: list[Value] = []
        self.steps: list[Passed] = []
        self.asked: list[Bus] = []
        self.pads: list[Value] = []
        self.mixed: dict[int, tuple[Value, ...]] = {}

    def step(self, k: int) -> None:
        """One step of the timetable, in as many parts as events cut it.

        Parameters
        ----------
        k : [-] number of the step
        """
        given, ops, capacity = self.given, self.ops, self.cell.capacity_ah
        factor, ohm, takes = (
            self._weather(k) if given.pad is not None else (given.factor[k], given.ohm[k], given.takes[k])
        )
        span = factor * capacity
        floor = capacity - span
        if not self.all_on:
            self._come_back(floor, span)
        drained = self.charge_ah <= floor + _EMPTY * span
        if ops.anywhere(drained):
            self._keep(ops.choose(drained, False, True))
        bus = self._bus(k)
        pad_w = self._pad_w(k, bus) if given.pad is not None else 0.0
        whole = given.steps_h[k]
        now, asked = self._settled(k, bus, pad_w, whole, ohm, takes)
        share = (now.charge_ah - floor) / span
        mixed = None
        if ops.anywhere(share < 0.0):
            empty = (share < -_EMPTY) & (now.current_a > 0.0) & self.bank_on
            if ops.anywhere(empty):
                mixed, now = self._in_parts(k, bus, pad_w, (ohm, takes, floor, span), (now, asked, empty))
            share = ops.high(0.0, (now.charge_ah - floor) / span)
        elif ops.anywhere(share > 1.0):
            share = ops.low(1.0, share)
        self.charge_ah, self.rest_v = now.charge_ah, now.rest_v
        self.bus_v = now.load_v if mixed is None else mixed[1]
        if mixed is None and (not self.all_on or ops.anywhere(now.share < 1.0)):
            self._miss(k, now, whole, self.clock_h)
        self.clock_h = self.clock_h + whole
        if given.pooled:
            if ops.anywhere(now.at_set):
                self._stage(now, whole)
            else:
                self.absorbed_h = self.zero
        if given.pad is not None:
            cools = ops.exp(-given.pad_rate * whole)
            self.warmer_k = pad_w / given.pad_loss * (1.0 - cools) + self.warmer_k * cools
        if self.keeps:
            self.shares.append(share)
            self.steps.append(now)
            self.asked.append(asked)
            self.pads.append(pad_w)
            if mixed is not None:
                self.mixed[k] = mixed
        else:
            self._sum_up(share, mixed or self._means(k, now, asked, pad_w), whole)

    def _means(self, k: int, now: Passed, asked: Bus, pad_w: Value) -> tuple[Value, ...]:
        """Current, voltage and flows of one step."""
        given = self.given
        sources = given.charger_a[k], given.converter_a[k], given.solar_a[k], given.solar_w[k]
        return (now.current_a, now.load_v, *flowed(self.ops, sources, now, asked, pad_w))

    def _in_parts(
        self, k: int, bus: Bus, pad_w: Value, path: tuple[Value, Value, Value, Value],
        first: tuple[Passed, Bus, Value],
    ) -> tuple[tuple[Value, ...], Passed]:  # fmt: skip
        """A step in which a bank runs empty: until then, and from then on with everything off."""
        given, ops, (ohm, takes, floor, span), (now, asked, empty) = self.given, self.ops, path, first
        whole = left = given.steps_h[k] + self.zero
        sums: list[Value] = [0.0] * (2 + len(FLOWS))
        while True:
            now, hours = self._until_empty(asked, left, ohm, takes, floor, empty, now)
            parts = self._means(k, now, asked, pad_w)
            sums = [total + part * hours / whole for total, part in zip(sums, parts, strict=True)]
            self._miss(k, now, hours, self.clock_h + whole - left)
            self.charge_ah, left = now.charge_ah, left - hours
            if not ops.anywhere(left > _DONE_H):
                break
            self._keep(ops.choose(empty, False, True))
            now, asked = self._settled(k, bus, pad_w, left, ohm, takes)
            empty = (now.charge_ah < floor - _EMPTY * span) & (now.current_a > 0.0) & self.bank_on & (left > _DONE_H)
        begun = first[0]
        return tuple(sums), now._replace(
            at_set=ops.choose(first[2], now.at_set, begun.at_set),
            end_a=ops.choose(first[2], now.end_a, begun.end_a),
            rest_v=ops.choose(first[2], now.rest_v, begun.rest_v),
        )

    def _sum_up(self, share: Value, kept: tuple[Value, ...], hours: Value) -> None:
        """Sums and extremes, where the rows themselves are not kept."""
        ops = self.ops
        lower = share < self.lowest
        if ops.anywhere(lower):
            self.lowest = ops.choose(lower, share, self.lowest)
            self.lowest_at_h = ops.choose(lower, self.clock_h, self.lowest_at_h)
        self.lowest_v, self.last = ops.low(self.lowest_v, kept[1]), share
        for number, flow in enumerate(kept[2:]):
            self.wh[number] = self.wh[number] + flow * hours

    def _everywhere(self, test: Value) -> bool:
        return bool(test) if self.given.banks is None else bool(np.all(test))

    def _weather(self, k: int) -> tuple[Value, Value, Value]:
        """Capacity factor, resistance and acceptance where a pad may have warmed the bank."""
        given = self.given
        if not self.ops.anywhere(self.warmer_k > 0.0):
            return given.factor[k], given.ohm[k], given.takes[k]
        at = given.temperature_c[k] + self.warmer_k
        factor, ratio, takes = (curve.read(at) for curve in given.by_temperature)
        return factor, ratio * given.resistance_ohm, self.ops.choose(at < given.charge_min_c, 0.0, takes)

    def _come_back(self, floor: Value, span: Value) -> None:
        """What was off and may be on again, judged by the step before."""
        given, guards = self.given, self.given.guards
        back = self.bus_v >= given.bank_cut_v + guards.hysteresis_v
        back = back | (given.bank_cut_v <= 0.0)
        back = back & (self.charge_ah - floor >= guards.return_share * span)
        self.bank_on = self.bank_on | back
        for group, volts in enumerate(given.back_v):
            self.on[group] = self.on[group] | (self.bus_v >= volts)
        self._take_stock()

    def _keep(self, keep: Value) -> None:
        """Disconnects the bank where it may not be kept on."""
        self.bank_on = self.bank_on & keep
        self._take_stock()

    def _take_stock(self) -> None:
        every = self.bank_on
        for on in self.on:
            every = every & on
        self.all_on = self._everywhere(every)

    def _bus(self, k: int) -> Bus:
        """What hangs on the bus in a step when everything is on."""
        given, ops, bus = self.given, self.ops, self.given.buses[k]
        if given.leaks and not self._everywhere(self.charge_ah > 0.0):
            bus = bus._replace(leak_a=ops.choose(self.charge_ah > 0.0, given.leak_a, 0.0))
        if self.any_floating:
            share = self.charge_ah / self.cell.capacity_ah
            self.floating = self.floating & (bus.pool_a + bus.pool_w > 0.0) & (share >= given.again_share)
            self.any_floating = ops.anywhere(self.floating)
            bus = bus._replace(set_v=ops.choose(self.floating, given.float_v[k], bus.set_v))
        return bus

    def _pad_w(self, k: int, bus: Bus) -> Value:
        """Power that holds the pad's temperature, or warms towards it as fast as the pad can."""
        given, ops = self.given, self.ops
        source_w = bus.pool_w + (bus.pool_a + tow_current_a(ops, bus, self.rest_v)) * self.rest_v
        wanted = (source_w > 0.0) & (self.charge_ah < self.cell.capacity_ah * (1.0 - 1e-6))
        target = ops.choose(wanted, ops.high(given.heated_to_c - given.temperature_c[k], 0.0), 0.0)
        cools = ops.exp(-given.pad_rate * given.steps_h[k])
        power = given.pad_loss * (target - self.warmer_k * cools) / (1.0 - cools)
        most = ops.choose(self.bank_on, given.pad_w, ops.low(given.pad_w, _ENOUGH * source_w))
        return ops.choose(wanted, ops.high(0.0, ops.low(power, most)), 0.0)

    def _asked(self, k: int, bus: Bus, pad_w: Value) -> Bus:
        """The bus with the loads that are on."""
        given = self.given
        if self.all_on:
            return bus if given.pad is None else bus._replace(power_w=bus.power_w + pad_w)
        on = [self.ops.choose(on & self.bank_on, 1.0, 0.0) for on in self.on]
        power, siemens, amps = (sum(f * x[k] for f, x in zip(on, kind, strict=True)) for kind in given.kinds)
        return Bus(power + pad_w, siemens, amps, *bus[3:])

    def _settled(self, k: int, bus: Bus, pad_w: Value, hours: Value, ohm: Value, takes: Value) -> tuple[Passed, Bus]:
        """The step with everything switched off that its voltage would starve, the fussiest first."""
        given, ops = self.given, self.ops
        while True:
            asked = self._asked(k, bus, pad_w)
            now = passed(self.cell, asked, self.charge_ah, hours, self.rest_v, ohm, takes)
            if not given.guarded:
                return now, asked
            highest = given.highest_v[k] if self.all_on else self._highest(k)
            low = (now.load_v < highest) & (hours > 0.0)
            if not ops.anywhere(low):
                return now, asked
            self._trip(k, low, highest)

    def _highest(self, k: int) -> Value:
        """The highest cut-off of what is on."""
        given, ops = self.given, self.ops
        highest = ops.choose(self.bank_on, given.bank_cut_v, 0.0)
        for group, on in enumerate(self.on):
            highest = ops.high(highest, ops.choose(on & self.bank_on, given.thresholds[group][k], 0.0))
        return highest

    def _trip(self, k: int, low: Value, highest: Value) -> None:
        given = self.given
        for group, on in enumerate(self.on):
            off = low & (given.thresholds[group][k] >= highest)
            self.on[group] = self.ops.choose(off, False, on)
        self.bank_on = self.ops.choose(low & (given.bank_cut_v >= highest), False, self.bank_on)
        self._take_stock()

    def _until_empty(
        self, asked: Bus, left: Value, ohm: Value, takes: Value, floor: Value, empty: Value, now: Passed
    ) -> tuple[Passed, Value]:
        """The part of the step until the bank is empty; where it does not run empty, all of it."""
        ops, hours = self.ops, left
        for _ in range(5):
            within = (self.charge_ah - floor) / ops.choose(empty, now.drain_a, 1.0)
            before, hours = hours, ops.choose(empty, ops.high(0.0, ops.low(within, left)), left)
            if not ops.anywhere((hours - before > _DONE_H) | (before - hours > _DONE_H)):
                break
            now = passed(self.cell, asked, self.charge_ah, hours, self.rest_v, ohm, takes)
        return now, hours

    def _miss(self, k: int, now: Passed, hours: Value, clock_h: Value) -> None:
        """What each group did not get."""
        ops, volts = self.ops, now.load_v
        for group, on in enumerate(self.on):
            power, siemens, amps = (kind[group][k] for kind in self.given.kinds)
            off = ops.choose(on & self.bank_on, 0.0, 1.0)
            short = power * (1.0 - now.share) * (1.0 - off) + off * (power + (siemens * volts + amps) * volts)
            self.unmet_wh[group] = self.unmet_wh[group] + short * hours
            self.off_h[group] = self.off_h[group] + off * hours
            first = (off > 0.0) & (hours > 0.0) & (self.cut_h[group] != self.cut_h[group])
            self.cut_h[group] = ops.choose(first, clock_h, self.cut_h[group])

    def _stage(self, now: Passed, hours: Value) -> None:
        """Whether the charge is finished: the tail has come down, or its time is up."""
        given, ops = self.given, self.ops
        at_set = ops.choose(self.floating, False, now.at_set)
        self.absorbed_h = ops.choose(at_set, self.absorbed_h + hours, ops.choose(self.floating, self.absorbed_h, 0.0))
        tail_a = given.tail_share * self.cell.capacity_ah
        by_tail = at_set & (now.end_a < tail_a)
        done = by_tail | (at_set & (self.absorbed_h >= given.absorption_limit_h))
        if not ops.anywhere(done):
            return
        lack = ops.high(self.cell.capacity_ah - self.charge_ah, _LEAST)
        rate = ops.high(self.cell.efficiency * now.end_a / lack, _LEAST)
        early = ops.choose(by_tail, ops.log(ops.high(tail_a / ops.high(now.end_a, _LEAST), 1.0)) / rate, 0.0)
        when = self.clock_h - ops.low(early, hours)
        self.full_h = ops.choose(done & (self.full_h != self.full_h), when, self.full_h)
        self.floating = self.floating | done
        self.any_floating = True
