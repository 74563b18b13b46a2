"""The first night on the battery of many candidates: charge, hours in reserve, voltages, and what is judged of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.physics.battery import peukert_drain_a, state_of_charge
from trailerlib.physics.charging import TAIL_END, full_hours
from trailerlib.physics.network import deliverable_fraction, solve_dc
from trailerlib.rules import battery as rules
from trailerlib.rules import wiring as wiring_rules
from trailerlib.rules.finding import judge_many
from trailerlib.studies import discharge, night
from trailerlib.studies import feeder as dc
from trailerlib.studies.discharge import ROUNDS, STILL, parabola
from trailerlib.studies.timetable import Stretch
from trailerlib.studies.trade_offs import night_asked as asking
from trailerlib.studies.trade_offs.asked import Ask
from trailerlib.studies.trade_offs.axes import Floats, Index
from trailerlib.studies.trade_offs.candidates import Rows
from trailerlib.studies.trade_offs.counts import Counts, counted
from trailerlib.studies.trade_offs.dc_case import BatterySides, Built
from trailerlib.studies.trade_offs.desk import Desk
from trailerlib.studies.trade_offs.night_asked import Curve


@dataclass(frozen=True)
class Lived:
    """The night of some candidates, (n,) each; NaN where it could not be lived."""

    lowest: Floats
    reserve_h: Floats
    counts: Counts


@dataclass(frozen=True)
class _Case:
    """Candidates that share the shape of the battery side, the timetable and the chemistry's curve."""

    rows: Rows
    built: Built
    parts: tuple[Stretch, ...]
    curve: Curve

    def emf(self, charge: Floats) -> Floats:
        """Voltage of the resting bank [V]."""
        return np.interp(charge, *self.curve)


class Nights:
    """Everything that is asked about nights, and how they are lived."""

    def __init__(self, desk: Desk, base: Design, sides: BatterySides) -> None:
        self.sides = sides
        self.whole = Ask(desk, "the night", lambda design: counted(night.answer(design).checks))
        self.lacks = Ask(desk, "whether the night can be worked out", asking.lacking, wide=True)
        self.times = Ask(desk, "the timetable of the night", asking.timetable, thing=True)
        self.curve = Ask(desk, "the battery's voltage", asking.curve_of, thing=True)
        self.bank = Ask(desk, "the battery", asking.bank_tonight, wide=True)
        self.fill = Ask(desk, "the charger", asking.filling, wide=True)
        self.warm = Ask(desk, "the heat of the wires", asking.wire_heat)
        self.standing = Ask(desk, "the battery at rest", asking.at_rest, wide=True)
        self.duty = {
            name: Ask(desk, f"how long {name} runs", partial(asking.duty_of, name=name)) for name in sides.loads
        }
        self.longest = Ask(desk, "the longest stay with power", asking.longest_with_power)

    def of(self, rows: Rows) -> Lived:
        """The night of every candidate.

        Parameters
        ----------
        rows : the candidates
        """
        found = Lived(np.full(rows.count, np.nan), np.full(rows.count, np.nan), Counts(rows.count))
        lacking = self.lacks.of(rows)[0] > 0
        here = np.flatnonzero(lacking)
        found.counts.by_severity[:, here] = self.whole.of(rows.some(here)) if here.size else 0.0
        here = np.flatnonzero(~lacking)
        if here.size:
            self._live(rows.some(here), here, found)
        return found

    def _live(self, rows: Rows, places: Index, found: Lived) -> None:
        times, timetables = self.times.things_of(rows)
        kinds, curves = self.curve.things_of(rows)
        for built in self.sides.built(rows):
            alike = times[built.rows] * len(curves) + kinds[built.rows]
            for value in np.unique(alike):
                part = built.rows[alike == value]
                case = _Case(rows.some(part), built, timetables[value // len(curves)], curves[value % len(curves)])
                lived = self._one(case)
                found.lowest[places[part]], found.reserve_h[places[part]] = lived.lowest, lived.reserve_h
                found.counts.by_severity[:, places[part]] = lived.counts.by_severity

    def _one(self, case: _Case) -> Lived:
        rows, built = case.rows, case.built
        fronts, hot = self.sides.fronts(rows, built), self.warm.of(rows)
        rows_c = np.concatenate([hot[:1], hot[1 : 1 + len(self.sides.circuits)]])
        ohm = fronts.ohm(rows_c)
        loads = {name: self.sides.load[name].of(rows) for name in built.load_node}
        mean, full = self._draws(case, loads, True), self._draws(case, loads, False)
        bank = _Bank(*self.bank.of(rows))
        current, solved = _currents(case, ohm, mean, bank)
        charge, drain, begun_h, step_h, which = _march(case, current, bank, solved)
        last = np.array([int(np.flatnonzero(which == k)[-1]) for k in range(len(case.parts))])
        volt = np.array([_solved(case, ohm, full[k], case.emf(charge[:, last[k]])) for k in range(len(case.parts))])
        solved &= ~np.isnan(volt).any(axis=(0, 1))
        reserve = _reserve(bank, charge, drain, begun_h, step_h)
        lowest = charge.min(axis=1)
        counts = self._judged(case, bank, charge, volt, solved, loads)
        gone = np.flatnonzero(~solved)
        if gone.size:
            self._collapsed(case, ohm, full, charge, gone, counts)
        return Lived(np.where(solved, lowest, np.nan), np.where(solved & np.isfinite(reserve), reserve, np.nan), counts)

    def _draws(self, case: _Case, loads: dict[str, Floats], by_duty: bool) -> list[tuple[Floats, ...]]:
        """What is drawn at every node in each stretch."""
        volts, drawn = self.sides.volts.of(case.rows)[0], []
        share = {name: self.duty[name].of(case.rows)[0] if by_duty else np.ones(case.rows.count) for name in loads}
        kinds = {name: found[2] for name, found in loads.items()}
        for part in case.parts:
            watts = {name: loads[name][1] * share[name] for name in loads if name in part.on}
            drawn.append(self.sides.drawn(case.built, watts, kinds, volts))
        return drawn

    def _judged(
        self, case: _Case, bank: _Bank, charge: Floats, volt: Floats, solved: Any, loads: dict[str, Floats]
    ) -> Counts:
        rows, said = case.rows, Counts(case.rows.count)
        said.add(judge_many(rules.DEPTH, charge.min(axis=1), bank.floor), solved)
        self._stands(rows, said)
        refill, longest = self._refill_h(case, bank, charge), self.longest.of(rows)[0]
        said.add(judge_many(rules.REFILL, np.where(solved, refill, np.nan), np.where(solved, longest, np.nan)))
        for name, found in loads.items():
            on = [k for k, part in enumerate(case.parts) if name in part.on]
            if on:
                lowest = volt[on, case.built.load_node[name]].min(axis=0)
                said.add(judge_many(wiring_rules.LOWEST_VOLTAGE, lowest, found[3]), solved)
        return said

    def _refill_h(self, case: _Case, bank: _Bank, charge: Floats) -> Floats:
        charger_a, takes, efficiency, tail_h, rate = self.fill.of(case.rows)
        rated = bank.bank_ah * bank.age
        missing = (1.0 - charge[:, -1]) * bank.capacity_ah
        with np.errstate(all="ignore"):
            hours = full_hours(
                missing, np.fmin(charger_a, takes * rate * rated), efficiency, tail_h / takes, TAIL_END * rated
            )
        known = ~np.isnan(charger_a) & (takes > 0.0)
        return np.where(known, np.where(missing > 0, hours, 0.0), np.nan)

    def _collapsed(
        self, case: _Case, ohm: Floats, full: list[tuple[Floats, ...]], charge: Floats, gone: Index, counts: Counts
    ) -> None:
        """Where the voltage collapses: how much arrives, and what is then left open."""
        tree, share = case.built.tree, np.ones(gone.size)
        emf = case.emf(charge[gone].min(axis=1))
        for power, siemens, amps in full:
            arrives = deliverable_fraction(
                tree, emf, ohm[:, gone], power_w=power[:, gone], conductance_s=siemens[:, gone],
                current_a=amps[:, gone],
            )  # fmt: skip
            share = np.minimum(share, arrives)
        said = Counts(gone.size)
        said.add(judge_many(wiring_rules.DELIVERS, share, 1.0))
        for rule in (rules.DEPTH, rules.REFILL):
            said.add(judge_many(rule, np.full(gone.size, np.nan), np.nan))
        self._stands(case.rows.some(gone), said)
        counts.by_severity[:, gone] = said.by_severity

    def _stands(self, rows: Rows, said: Counts) -> None:
        """What is judged of the battery however the night goes."""
        coldest, lowest, charger_a, limit_a, gasses, unvented = self.standing.of(rows)
        said.add(judge_many(rules.COLD_CHARGE, coldest, lowest))
        said.add(judge_many(rules.CHARGE_RATE, charger_a, limit_a))
        said.add(judge_many(rules.GAS, unvented, 0.0), gasses > 0)


@dataclass(frozen=True)
class _Bank:
    """The bank of every candidate, (n,) each; ``low_v`` and ``high_v`` are its voltages empty and as it begins."""

    capacity_ah: Floats
    bank_ah: Floats
    hour_rate: Floats
    exponent: Floats
    floor: Floats
    start: Floats
    age: Floats
    end_h: Floats
    hours: Floats


def _solved(case: _Case, ohm: Floats, draw: tuple[Floats, ...], emf: Floats) -> Floats:
    power, siemens, amps = draw
    found = solve_dc(case.built.tree, emf, ohm, power_w=power, conductance_s=siemens, current_a=amps)
    return found.voltage_v


def _currents(case: _Case, ohm: Floats, mean: list[tuple[Floats, ...]], bank: _Bank) -> tuple[Floats, Any]:
    """Current from the battery at three voltages in every stretch, (3, stretches, n), and for whom there are some."""
    low, high = case.emf(np.zeros_like(bank.start)), case.emf(bank.start)
    grid, found = np.array([low, 0.5 * (low + high), high]), []
    for emf in grid:
        row = []
        for power, siemens, amps in mean:
            solved = solve_dc(case.built.tree, emf, ohm, power_w=power, conductance_s=siemens, current_a=amps)
            row.append(solved.branch_current_a[dc.BATTERY_NODE])
        found.append(row)
    current = np.array(found)
    return current, np.isfinite(current[2]).all(axis=0)


def _march(case: _Case, current: Floats, bank: _Bank, solved: Any) -> tuple[Floats, Floats, Floats, Floats, Index]:
    """Charge and drain at the end of every step, (n, steps); begin and length of the steps [h], and their stretch."""
    begun_h, step_h, which = discharge.steps_of(case.parts)
    low, high = case.emf(np.zeros_like(bank.start)), case.emf(bank.start)
    grid = np.array([low, 0.5 * (low + high), high])[:, :, None]
    at_grid = np.moveaxis(current, 1, 2)
    fine = np.isfinite(at_grid).all(axis=(0, 2)) & (high > low)
    charge = np.repeat(bank.start[:, None], len(which), axis=1)
    drain = np.zeros_like(charge)
    coarse = np.flatnonzero(solved & ~fine)
    if coarse.size:
        charge[coarse], drain[coarse] = _charge(bank, coarse, at_grid[2][coarse][:, which], step_h)
    left = np.flatnonzero(fine)
    ends = np.searchsorted(which, np.arange(len(case.parts) + 1))
    for _ in range(ROUNDS):
        if not left.size:
            break
        before, volts, at = charge[left], grid[:, left], at_grid[:, left]
        flows = case.emf(before)
        for k in range(len(case.parts)):
            steps = slice(ends[k], ends[k + 1])
            flows[:, steps] = parabola(volts, at[:, :, k, None], flows[:, steps])
        after, drain[left] = _charge(bank, left, flows, step_h)
        charge[left] = after
        left = left[np.abs(after - before).max(axis=1) >= STILL]
    return charge, drain, begun_h, step_h, which


def _charge(bank: _Bank, rows: Index, current: Floats, step_h: Floats) -> tuple[Floats, Floats]:
    rated, hours, exponent = bank.bank_ah[rows, None], bank.hour_rate[rows, None], bank.exponent[rows, None]
    drain = np.asarray(peukert_drain_a(current, rated, hours, exponent))
    return state_of_charge(drain, step_h, bank.capacity_ah[rows], bank.start[rows]), drain


def _reserve(bank: _Bank, charge: Floats, drain: Floats, begun_h: Floats, step_h: Floats) -> Floats:
    """Hours it would go on at the mean drain until the floor [h]; negative when it falls short."""
    below = charge < bank.floor[:, None] - 1e-12
    short, first, every = below.any(axis=1), below.argmax(axis=1), np.arange(len(charge))
    here = charge[every, first]
    before = np.where(first == 0, bank.start, charge[every, np.maximum(first - 1, 0)])
    with np.errstate(all="ignore"):
        share = np.where(before > here, (before - bank.floor) / (before - here), 0.0)
        reached = begun_h[first] + np.maximum(0.0, share) * step_h[first]
        mean = (drain * step_h).sum(axis=1) / bank.hours
        left = np.where(mean > 0, (charge[:, -1] - bank.floor) * bank.capacity_ah / mean, np.inf)
    return np.where(short, reached - bank.end_h, left)
