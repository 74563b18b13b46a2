"""Where the power of a step comes from and where it goes."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib.physics.battery_bank import Arithmetic, Value
from trailerlib.physics.battery_step import Bus, Passed, tow_current_a

FLOWS = ("charger", "solar", "converter", "tow", "loads", "pad", "heat", "charge_loss", "leak")
_LEAST = 1e-12


def flowed(ops: Arithmetic, sources: Sequence[Value], now: Passed, asked: Bus, pad_w: Value) -> tuple[Value, ...]:
    """What flows, in the order of FLOWS [W]: for one step, or for all of them at once.

    Parameters
    ----------
    ops : the arithmetic
    sources : charger [A], converter [A], switching solar [A] and tracking solar [W] as they are ready
    now : what came of the step
    asked : what hung on the bus
    pad_w : power of the heating pad, part of the loads' constant power
    """
    volts, current, rest = now.load_v, now.current_a, now.rest_v
    taken = asked.power_w * now.share + (asked.siemens * volts + asked.amps) * volts
    pad = pad_w * now.share
    heat, lost = (rest - now.bus_v) * current, rest * (now.drain_a - asked.leak_a - current)
    source = taken - now.bus_v * current
    tow = ops.low(tow_current_a(ops, asked, volts) * volts, ops.high(source, 0.0))
    charger, converter, solar = sources[0] * volts, sources[1] * volts, sources[3] + sources[2] * volts
    used = (source - tow) / ops.high(charger + converter + solar, _LEAST)
    return used * charger, used * solar, used * converter, tow, taken - pad, pad, heat, lost, rest * asked.leak_a
