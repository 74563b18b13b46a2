"""A bank marched through days: what its loads take, what its sources give, when something is cut off.

Time runs in steps of at most five minutes, cut where the bank runs empty. Many banks lie side by side along the last
axis. Within a step loads and sources are constant; cut-offs look at the mean voltage of the step, so a load is off
from the begin of the step in which it would have been starved. What is off comes back when the voltage has
risen by its hysteresis, judged at the begin of a step.

One stage is kept for all regulated sources together: absorption until the current has fallen to the tail or the time
is up, then float; back to absorption when the sources have been gone or the charge has sunk. They throttle alike.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from trailerlib.physics.battery_bank import Bank, Floats
from trailerlib.physics.battery_flows import FLOWS as FLOWS
from trailerlib.physics.battery_found import found
from trailerlib.physics.battery_given import Given
from trailerlib.physics.battery_march import Run
from trailerlib.physics.battery_plan import Guards as Guards
from trailerlib.physics.battery_plan import Loads as Loads
from trailerlib.physics.battery_plan import Pad as Pad
from trailerlib.physics.battery_plan import Sources as Sources
from trailerlib.physics.formula import Number


@dataclass(frozen=True)
class Week:
    """What came of the march. Curves are (steps, banks), or (steps,) for one; ``charge`` has one more for the begin.

    ``charge`` [-] is the share left of what can be drawn at the temperature, ``stored_ah`` [Ah] the charge up to full
    less what it lacks. ``flows_wh`` [Wh] and, per step, ``flows_w`` [W] carry the names of ``FLOWS``: five from the
    sources and to the loads, then heat in the resistance, charge lost (Peukert and charging) and leaked at the rest
    voltage. ``stored_wh`` [Wh] is what the rest voltage times the charge has gained. ``cut_h`` [h] is when each group
    first went off, NaN for never, ``off_h`` [h] how long it was off, ``unmet_wh`` [Wh] what it did not get.
    ``full_h`` [h] is when a charge was first finished. Without curves these are empty.
    """

    step_h: Floats
    charge: Floats
    stored_ah: Floats
    current_a: Floats
    bus_v: Floats
    flows_w: Mapping[str, Floats]
    flows_wh: Mapping[str, Floats]
    stored_wh: Floats
    lowest: Floats
    lowest_at_h: Floats
    last: Floats
    lowest_v: Floats
    cut_h: Floats
    off_h: Floats
    unmet_wh: Floats
    full_h: Floats

    @property
    def imbalance_wh(self) -> Floats:
        """Energy in less energy out, lost and stored [Wh]; rounding is all there may be."""
        come = sum(self.flows_wh[name] for name in FLOWS[:4])
        gone = sum(self.flows_wh[name] for name in FLOWS[4:])
        return np.asarray(come - gone - self.stored_wh)


def march(
    bank: Bank, step_h: Floats, temperature_c: Number, loads: Loads, sources: Sources | None = None,
    start: Number = 1.0, guards: Guards | None = None, pad: Pad | None = None, curves: bool = True,
) -> Week:  # fmt: skip
    """March a bank, or many, through time.

    Parameters
    ----------
    bank : one bank or many
    step_h : [h] length of each step, shape (steps,), none above 5 minutes
    temperature_c : [degC] around the bank, one number, shape (steps,) or (steps, banks)
    loads : what hangs on the bus
    sources : what charges; nothing when None
    start : [-] share of what can be drawn that is there at the begin, one number or shape (banks,)
    guards : when everything is disconnected
    pad : the heating pad
    curves : False keeps only sums and extremes: for very many banks

    Returns
    -------
    Week

    Raises
    ------
    ValueError
        When a step is too long, a share is none, a shape does not fit or an input is not a number.

    Source
    ------
    Counting of charge; voltage by ``busbar_v``, drain by ``peukert_drain_a``, charge by ``acceptance_a``.
    """
    given = Given(bank, np.asarray(step_h, dtype=float), temperature_c, loads, sources or Sources(), start, guards, pad)
    run = Run(given, curves)
    for step in range(len(given.step_h)):
        run.step(step)
    return Week(given.step_h, **found(run))


def hours_to_full(
    bank: Bank, sources: Sources, start: Number, temperature_c: Number = 25.0, loads: Loads | None = None,
    limit_h: float = 240.0,
) -> Number:  # fmt: skip
    """Hours until a charge with steady sources is finished, alone or together with steady loads.

    Parameters
    ----------
    bank : one bank or many
    sources : steady: each one number or shape (banks,) as (1, banks)
    start : [-] share of charge at the begin
    temperature_c : [degC] of the bank
    loads : steady loads beside the charge
    limit_h : [h] longest time looked at

    Returns
    -------
    [h] time; infinite when it is not finished within the limit, as with a plain tow wire whose voltage is too low

    Source
    ------
    ``march`` in steps of five minutes, the end found inside its step.
    """
    done = march(
        bank, np.full(round(limit_h * 12), 1 / 12), temperature_c, loads or Loads(), sources, start, curves=False
    )
    return np.where(np.isnan(done.full_h), np.inf, done.full_h)[()]
