"""One step of a bank between its loads and its sources: current, voltage and charge, the charge counted exactly.

The current is held over the step. The voltage at rest that goes with it is the mean over the charge that passes,
the area under the curve over its width; so what the sources give is what the loads take, plus heat, plus what is
lost in charging, plus what is stored, to the last digit. Where the mean and the current depend on each other, two
or three of Newton's steps make them agree. The tail of a charge is its own exponential, not a straight step.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from trailerlib.physics.battery import busbar_v
from trailerlib.physics.battery_bank import Arithmetic, Curve, Value
from trailerlib.physics.charging import acceptance_a

STILL_V = 1e-10
PASSES = 8
_LEAST = 1e-12  # keeps a resistance finite where nothing is taken in
_CLOSED = 1e9  # [ohm] a battery that takes nothing in
NOWHERE_V = 1e9  # no voltage to keep to


@dataclass(frozen=True)
class Cell:
    """What stays the same from step to step: numbers for one bank, shape (banks,) for many."""

    ops: Arithmetic
    ocv: Curve
    capacity_ah: Value
    rated_a: Value
    beyond: Value  # Peukert's exponent less one
    efficiency: Value
    tau_h: Value
    highest_a: Value
    reference_v: Value
    pooled: bool
    towed: bool


class Bus(NamedTuple):
    """What hangs on the bus in one step. The pool is all that keeps to ``set_v``; the tow wire does not."""

    power_w: Value
    siemens: Value
    amps: Value
    pool_a: Value
    pool_w: Value
    tow_v: Value
    tow_siemens: Value
    tow_limit_a: Value
    set_v: Value
    leak_a: Value = 0.0


class Passed(NamedTuple):
    """What came of a step: charge at its end, mean current (charging below 0) and voltages, what was drained."""

    charge_ah: Value
    current_a: Value
    bus_v: Value
    load_v: Value
    rest_v: Value
    drain_a: Value
    share: Value  # of the constant power asked, what could be delivered
    at_set: Value
    end_a: Value  # charging current at the end of the step where the set voltage holds


def tow_current_a(ops: Arithmetic, bus: Bus, volts: Value) -> Value:
    """Current the tow wire brings at a voltage of the bus; never backwards [A].

    Parameters
    ----------
    ops : the arithmetic
    bus : what hangs on it
    volts : [V] at the bus
    """
    return ops.high(0.0, ops.low((bus.tow_v - volts) * bus.tow_siemens, bus.tow_limit_a))


def load_w(bus: Bus, share: Value, volts: Value) -> Value:
    """Power the loads take at a voltage [W].

    Parameters
    ----------
    bus : what hangs on it
    share : of the constant power asked, what is delivered
    volts : [V] at the bus
    """
    return bus.power_w * share + (bus.siemens * volts + bus.amps) * volts


def passed(cell: Cell, bus: Bus, charge_ah: Value, hours: Value, guess_v: Value, ohm: Value, takes: Value) -> Passed:
    """One step.

    Parameters
    ----------
    cell : the bank
    bus : what hangs on it
    charge_ah : [Ah] at the begin of the step
    hours : [h] length
    guess_v : [V] near the voltage at rest
    ohm : [ohm] resistance in discharge
    takes : [-] share of its acceptance that the cold leaves
    """
    ops = cell.ops
    lack = ops.high(cell.capacity_ah - charge_ah, 0.0)
    net = bus.amps + bus.siemens * guess_v + bus.power_w / guess_v
    accepts: Value = 0.0
    charging: Value = False
    if ops.anywhere(bus.pool_a + bus.pool_w + bus.tow_v > 0.0):
        accepts = acceptance_a(lack, cell.efficiency, cell.tau_h, takes)
        if cell.pooled:
            bus = _without_idle_pool(cell, bus, guess_v, ohm, accepts)
            net = net - ops.choose(bus.set_v > guess_v, bus.pool_a + bus.pool_w / guess_v, 0.0)
        if cell.towed:
            net = net - tow_current_a(ops, bus, guess_v)
        charging = net < 0.0
    some = ops.anywhere(charging)
    ratio = ops.high(1.0, net / cell.rated_a) ** cell.beyond
    half = 0.5 * hours / cell.capacity_ah
    moved = (net * ratio + bus.leak_a) * half
    if some:
        limit = ops.low(accepts, cell.highest_a * takes)
        sent = ops.low(-net, limit)
        ratio = ops.choose(charging, cell.efficiency, ratio)
        net = ops.choose(charging, -sent, net)
        moved = ops.choose(charging, -cell.efficiency * sent * half, moved)
        middle = ops.high(lack - cell.efficiency * sent * hours * 0.5, 0.0)
    begin = charge_ah / cell.capacity_ah
    rest, slope = cell.ocv.lines(begin - moved)
    loaded_ohm = ohm
    if some:
        siemens = _siemens(cell, acceptance_a(middle, cell.efficiency, cell.tau_h, takes), rest, ohm)
        ohm = ops.choose(charging, 1.0 / ops.high(siemens, _LEAST), ohm)
    start = (rest, slope * ratio * half, net)
    if not some:
        free = _free(cell, bus, charge_ah, hours, start, ohm, None)
    else:
        limit = cell.highest_a * takes
        tail = _tail(cell, bus, lack, limit, _siemens(cell, accepts, rest, loaded_ohm) * (bus.set_v - rest))
        if charging is True and lack <= tail[1] and tail[0] > 0.0 and bus.set_v < NOWHERE_V:
            return _charged(cell, bus, (0.0, bus.set_v), lack, hours, tail, limit)
        free = _free(cell, bus, charge_ah, hours, start, ohm, charging)
        narrow_v = free.rest_v + limit * ops.choose(ohm > _CLOSED, 0.0, ohm)
        sent = -free.current_a
        volts = ops.choose(sent > limit, narrow_v, free.bus_v)
        charged = _charged(cell, bus, (sent, volts), lack, hours, tail, limit)
        if charging is True:
            return charged
        free = _either(ops, charging, charged, free)
    if cell.pooled and ops.anywhere(bus.set_v < free.bus_v):
        held = ops.choose(charging, False, bus.set_v < free.bus_v)
        if ops.anywhere(held):
            free = _either(ops, held, _held(cell, bus, charge_ah, hours, loaded_ohm), free)
    return free


def _either(ops: Arithmetic, test: Value, yes: Passed, no: Passed) -> Passed:
    return Passed(*(ops.choose(test, a, b) for a, b in zip(yes, no, strict=True)))


def _siemens(cell: Cell, accepts: Value, rest: Value, ohm: Value) -> Value:
    """Conductance of a bank that takes in ``accepts`` [A] at its absorption voltage; never above that of its metal."""
    return cell.ops.low(accepts / cell.ops.high(cell.reference_v - rest, _LEAST), 1.0 / ohm)


def _tail(cell: Cell, bus: Bus, lack: Value, limit: Value, tail_a: Value) -> tuple[Value, Value, Value]:
    """What the sources can send at the set voltage [A], the lack at which the tail begins [Ah], and its rate [1/h]."""
    ops = cell.ops
    at_set = bus.pool_a + (bus.pool_w - load_w(bus, 1.0, bus.set_v)) / bus.set_v
    if cell.towed:
        at_set = at_set + tow_current_a(ops, bus, bus.set_v)
    at_set = ops.high(0.0, ops.low(at_set, limit))
    tail_a = ops.high(tail_a, _LEAST)
    return at_set, lack * at_set / tail_a, cell.efficiency * tail_a / ops.high(lack, _LEAST)


def _charged(
    cell: Cell, bus: Bus, free: tuple[Value, Value], lack: Value, hours: Value, tail: tuple[Value, Value, Value],
    limit: Value,
) -> Passed:  # fmt: skip
    """What a step of charging puts in: the sources' current until the set voltage is met, then the tail."""
    ops, efficiency, capacity = cell.ops, cell.efficiency, cell.capacity_ah
    (sent, volts), (at_set, meets, rate) = free, tail
    over = volts > bus.set_v
    sent, volts = ops.choose(over, at_set, ops.low(sent, limit)), ops.choose(over, bus.set_v, volts)
    efficiency = ops.choose(sent < 0.0, 1.0, efficiency)  # so near even that the guess had the other sign
    first_h = ops.high(0.0, ops.low(hours, (lack - meets) / ops.high(efficiency * sent, _LEAST)))
    between = ops.high(lack - efficiency * sent * first_h, 0.0)
    left = between * ops.exp(-rate * (hours - first_h))
    keeps = (first_h < hours) & (bus.set_v < NOWHERE_V) & (at_set > 0.0)  # a full bank alone holds no set voltage
    long = ops.high(hours, _LEAST)
    mean_a = (lack - left) / (efficiency * long)
    hold_v = ops.choose(keeps, bus.set_v, volts)
    early = first_h / long
    load_v = hold_v + early * (volts - hold_v)
    part = (lack - between) / ops.high(lack - left, 1e-300)  # of the charge, before the set voltage was met
    begin, end = 1.0 - lack / capacity, 1.0 - (left + bus.leak_a * hours) / capacity
    return Passed(
        end * capacity, -mean_a, hold_v + part * (volts - hold_v), load_v,
        cell.ocv.mean(begin, end), bus.leak_a - efficiency * mean_a, 1.0, keeps,
        left * rate / efficiency,
    )  # fmt: skip


def _held(cell: Cell, bus: Bus, charge_ah: Value, hours: Value, ohm: Value) -> Passed:
    """A bank whose rest voltage lies above the set voltage gives what lowers it to that; the pool adds the rest."""
    begin = charge_ah / cell.capacity_ah
    mean = cell.ocv.read(begin)
    for _ in range(PASSES):
        current = cell.ops.high((mean - bus.set_v) / ohm, 0.0)
        drain = current * cell.ops.high(1.0, current / cell.rated_a) ** cell.beyond + bus.leak_a
        before, mean = mean, cell.ocv.mean(begin, begin - drain * hours / cell.capacity_ah)
        if not cell.ops.anywhere((mean - before > STILL_V) | (before - mean > STILL_V)):
            break
    return Passed(
        charge_ah - drain * hours, current, bus.set_v + 0.0 * current, bus.set_v + 0.0 * current, mean, drain, 1.0,
        True, 0.0,
    )  # fmt: skip


def _without_idle_pool(cell: Cell, bus: Bus, guess_v: Value, ohm: Value, accepts: Value) -> Bus:
    """Leaves the regulated sources out where battery and tow wire alone would hold the bus above their voltage."""
    ops = cell.ops
    idle = bus.pool_a + bus.pool_w <= 0.0
    if ops.anywhere(cell.towed) or ops.anywhere(bus.set_v < guess_v):
        needed = load_w(bus, 1.0, bus.set_v) / bus.set_v
        if cell.towed:
            needed = needed - tow_current_a(ops, bus, bus.set_v)
        held = (bus.set_v - guess_v) * ops.choose(
            bus.set_v < guess_v, 1.0 / ohm, accepts / ops.high(cell.reference_v - guess_v, _LEAST)
        )
        idle = idle | (needed + held <= 0.0)
    if not ops.anywhere(idle):
        return bus
    keep = ops.choose(idle, 0.0, 1.0)
    return bus._replace(
        pool_a=bus.pool_a * keep, pool_w=bus.pool_w * keep, set_v=ops.choose(idle, NOWHERE_V, bus.set_v)
    )


def _free(
    cell: Cell, bus: Bus, charge_ah: Value, hours: Value, start: tuple[Value, Value, Value], ohm: Value,
    charging: Value | None,
) -> Passed:  # fmt: skip
    """The bus with every source at its full; Newton's steps on the mean voltage at rest."""
    ops = cell.ops
    rest, lean, at = start  # mean rest voltage = rest - lean (current - at)
    begin = charge_ah / cell.capacity_ah
    amps, siemens = bus.amps - bus.pool_a, bus.siemens
    tow = tow_current_a(ops, bus, rest) if cell.towed else 0.0
    leans = (tow > 0.0) & (tow < bus.tow_limit_a)  # where the wire's own drop sets the tow current
    for _ in range(PASSES):
        emf, path = rest + lean * at, ohm + lean
        if cell.towed:
            siemens = bus.siemens + ops.choose(leans, bus.tow_siemens, 0.0)
            amps = bus.amps - bus.pool_a - ops.choose(leans, bus.tow_v * bus.tow_siemens, tow)
        share, power = 1.0, bus.power_w - bus.pool_w
        most = (emf - amps * path) ** 2 / (4.0 * path * (1.0 + siemens * path)) * (1.0 - 1e-12)
        short = power > most
        if ops.anywhere(short):
            share = ops.choose(short, (most + bus.pool_w) / ops.high(bus.power_w, _LEAST), 1.0)
            power = ops.low(power, most)
        volts = busbar_v(emf, path, power, siemens, amps)
        current = (emf - volts) / path
        drain = current * ops.high(1.0, current / cell.rated_a) ** cell.beyond
        if charging is not None:
            drain = ops.choose(charging & (current < 0.0), current * cell.efficiency, drain)
        drain = drain + bus.leak_a
        end = begin - drain * hours / cell.capacity_ah
        mean = cell.ocv.mean(begin, end)
        off = mean - volts - current * ohm
        open_ = (off > STILL_V) | (off < -STILL_V)
        if charging is not None:
            open_ = ops.choose(charging & ((volts > bus.set_v) | (ohm > _CLOSED)), False, open_)
        if cell.towed:
            before, tow = tow, tow_current_a(ops, bus, volts)
            wrong = ops.choose(leans, (tow <= 0.0) | (tow >= bus.tow_limit_a), tow != before)
            leans, open_ = leans != wrong, open_ | wrong
        if not ops.anywhere(open_):
            break
        rest, at = mean, current
    return Passed(charge_ah - drain * hours, current, volts, volts, mean, drain, share, False, 0.0)
