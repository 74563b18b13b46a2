"""The inputs of a march laid out step by step, checked, and the bank's curves read at the weather of each step."""

from __future__ import annotations

from itertools import repeat
from typing import Any

import numpy as np

from trailerlib.physics.battery_bank import MANY, ONE, Bank, Curve, Floats, Value
from trailerlib.physics.battery_plan import Guards, Loads, Pad, Sources
from trailerlib.physics.battery_step import Bus, Cell
from trailerlib.physics.formula import Number

LONGEST_H = 1 / 12 + 1e-9


class Given:
    """The inputs laid out: for one bank plain numbers in lists, for many one row of the banks a step."""

    def __init__(
        self, bank: Bank, step_h: Floats, temperature_c: Number, loads: Loads, sources: Sources, start: Number,
        guards: Guards | None, pad: Pad | None,
    ) -> None:  # fmt: skip
        """Lay out.

        Parameters
        ----------
        bank : one or many
        step_h : [h] shape (steps,)
        temperature_c : [degC] number, (steps,) or (steps, banks)
        loads : what hangs on the bus
        sources : what charges
        start : [-] share of charge, number or (banks,)
        guards : the disconnect of the bank
        pad : the heating pad
        """
        if step_h.ndim != 1 or not len(step_h) or not np.all((step_h > 0.0) & (step_h <= LONGEST_H)):
            raise ValueError("march: step_h is a row of steps above 0 and of five minutes at most.")
        self.step_h, self.bank, self.pad, self.guards = step_h, bank, pad, guards or Guards()
        self._shape(loads, sources, start, temperature_c)
        self.ops = ONE if self.banks is None else MANY
        self.steps_h = self.single(step_h)
        self._loads(loads)
        self._sources(sources)
        self._cell()
        self._weather(temperature_c)
        share = np.asarray(start, dtype=float)
        if not np.all((share >= 0.0) & (share <= 1.0)):
            raise ValueError("march: start must lie between 0 (empty) and 1 (full).")
        self.start = self.number(share)

    def _shape(self, loads: Loads, sources: Sources, start: Number, temperature_c: Number) -> None:
        """How many banks lie side by side: None for one plain bank."""
        curves = ("ocv_v", "capacity_factor", "resistance_ratio", "acceptance")
        tails = [np.shape(value)[1:] if name in curves else np.shape(value)
                 for name, value in vars(self.bank).items() if name not in ("ocv_share", "at_c")]  # fmt: skip
        tails += [np.shape(x) for x in (*vars(self.guards).values(), *vars(self.pad or Guards()).values(), start)]
        tails += [np.shape(x)[2:] for x in (loads.power_w, loads.siemens, loads.amps)]
        tails += [
            np.shape(x)[1:] for x in (loads.cut_off_v, loads.hysteresis_v, temperature_c, *vars(sources).values())
        ]
        tail = np.broadcast_shapes(*tails)
        if len(tail) > 1:
            raise ValueError(f"march: banks lie side by side in one axis, not in {len(tail)}.")
        self.banks = tail[0] if tail else None

    def number(self, value: Any) -> Value:
        """A figure that stays the same: a plain number, or one for each bank.

        Parameters
        ----------
        value : number or (banks,)
        """
        array = np.asarray(value, dtype=float)
        if np.isnan(array).any():
            raise ValueError("march: an input is not a number; nothing can be said.")
        return float(array) if self.banks is None else np.broadcast_to(array, (self.banks,)).copy()

    def single(self, value: Any) -> Any:
        """A row of steps as the march reads it: a list of numbers, or rows of banks.

        Parameters
        ----------
        value : number, (steps,) or (steps, banks)
        """
        array = np.asarray(value, dtype=float)
        if np.isnan(array).any():
            raise ValueError("march: an input is not a number; nothing can be said.")
        steps = len(self.step_h)
        if array.ndim > 2 or (array.ndim and array.shape[0] not in (1, steps)):
            raise ValueError(f"march: an input has the shape {array.shape}, where there are {steps} steps.")
        if self.banks is None:
            flat: list[float] = np.broadcast_to(array, (steps,)).tolist()
            return flat
        wide = array.reshape(*array.shape, *(1,) * (2 - array.ndim)) if array.ndim else array.reshape(1, 1)
        return np.broadcast_to(wide, (steps, self.banks))

    def _loads(self, loads: Loads) -> None:
        steps, tail = len(self.step_h), () if self.banks is None else (self.banks,)
        kinds = [np.asarray(x, dtype=float) for x in (loads.power_w, loads.siemens, loads.amps)]
        cuts = [np.asarray(x, dtype=float) for x in (loads.cut_off_v, loads.hysteresis_v)]
        self.groups = max([x.shape[0] for x in (*kinds, *cuts) if x.ndim], default=1)
        if any(x.ndim == 1 or (x.ndim and x.shape[:2] != (self.groups, steps)) for x in kinds):
            raise ValueError(
                f"march: loads are one number or ({self.groups}, {steps}) groups and steps, or with banks."
            )
        if any(np.isnan(x).any() or (x < 0.0).any() for x in (*kinds, *cuts)):
            raise ValueError("march: a load or a cut-off is below zero or not a number.")
        wide = [x if x.ndim != 2 or not tail else x[..., np.newaxis] for x in kinds]
        kinds = [np.broadcast_to(x, (self.groups, steps, *tail)) for x in wide]
        self.kinds = [[self.single(group) for group in x] for x in kinds]
        total = [x.sum(axis=0) for x in kinds]
        self.power_w, self.siemens, self.amps = (self.single(x) for x in total)
        lifted = [x if x.ndim != 1 or not tail else x[:, np.newaxis] for x in cuts]
        cut, back = (np.broadcast_to(x, (self.groups, *tail)) for x in lifted)
        self.back_v = [self.number(x) for x in cut + back]
        draws = np.stack(kinds).any(axis=0)
        self.bank_cut_v = self.number(self.guards.cut_off_v)
        thresholds = np.where(draws, cut[:, np.newaxis], 0.0)
        self.thresholds = [self.single(x) for x in thresholds]
        highest = np.maximum(thresholds.max(axis=0), np.asarray(self.bank_cut_v))
        self.highest_v = self.single(highest)
        self.guarded = bool((highest > 0.0).any())

    def _sources(self, sources: Sources) -> None:
        named = (sources.charger_a, sources.converter_a, sources.solar_a, sources.solar_w, sources.tow_v)
        if any((np.asarray(x, dtype=float) < 0.0).any() for x in named):
            raise ValueError("march: a source is below zero.")
        self.charger_a, self.converter_a, self.solar_a, self.solar_w, self.tow_v = map(self.single, named)
        self.pool_a = self.single(sum(np.asarray(x, dtype=float) for x in named[:3]))
        self.tow_siemens = self.single(1.0 / np.asarray(sources.tow_ohm, dtype=float))
        self.tow_limit_a = self.single(sources.tow_limit_a)
        self.pooled = any(np.asarray(x).any() for x in named[:4])
        self.towed = bool(np.asarray(sources.tow_v).any())
        bank_v = self.bank.absorption_v
        absorption = bank_v if sources.absorption_v is None else sources.absorption_v
        self.absorption_v = self.single(absorption)
        self.float_v = self.single(absorption if sources.float_v is None else sources.float_v)
        names = ("tail_share", "absorption_limit_h", "again_share")
        self.tail_share, self.absorption_limit_h, self.again_share = (self.number(getattr(sources, n)) for n in names)

    def _cell(self) -> None:
        bank = self.bank
        capacity = self.number(bank.capacity_ah)
        self.cell = Cell(
            ops=self.ops,
            ocv=Curve(bank.ocv_share, bank.ocv_v, self.banks),
            capacity_ah=capacity,
            rated_a=self.number(np.asarray(bank.rated_ah) / bank.hour_rate_h),
            beyond=self.number(np.asarray(bank.exponent) - 1.0),
            efficiency=self.number(bank.efficiency),
            tau_h=self.number(bank.tau_h),
            highest_a=self.number(np.asarray(bank.rate_per_h) * bank.capacity_ah),
            reference_v=self.number(bank.absorption_v),
            pooled=self.pooled,
            towed=self.towed,
        )
        self.leak_a = self.number(np.asarray(bank.self_discharge_per_h) * bank.capacity_ah)
        self.leaks = bool(np.any(self.leak_a))
        self.buses = list(map(Bus, self.power_w, self.siemens, self.amps, self.pool_a, self.solar_w, self.tow_v,
                              self.tow_siemens, self.tow_limit_a, self.absorption_v, repeat(self.leak_a)))  # fmt: skip

    def _weather(self, temperature_c: Number) -> None:
        self.temperature_c = self.single(temperature_c)
        air = np.asarray(self.temperature_c)
        uniform = bool((air == air[0]).all())
        seen = self.bank.at(air[:1] if uniform else air)  # the same weather is read once
        shape = (len(self.step_h),) if self.banks is None else (len(self.step_h), self.banks)
        factor, ohm, takes = (np.broadcast_to(x, shape) for x in seen)
        self.factor, self.ohm, self.takes = (self.single(x) for x in (factor, ohm, takes))
        worst = np.max(np.asarray(self.amps)) * np.max(ohm)
        if worst > 0.5 * np.min(self.bank.ocv_v):
            raise ValueError("march: the loads of constant current ask more than the bank could give into a short.")
        if self.pad is not None:
            self._pad(self.pad)

    def _pad(self, pad: Pad) -> None:
        self.pad_w, self.heated_to_c = self.number(pad.power_w), self.number(pad.heated_to_c)
        self.pad_loss = self.number(pad.loss_w_per_k)
        self.pad_rate = self.number(3600.0 * np.asarray(pad.loss_w_per_k) / pad.heat_j_per_k)
        bank = self.bank
        rows = (bank.capacity_factor, bank.resistance_ratio, bank.acceptance)
        self.by_temperature = tuple(Curve(bank.at_c, y, self.banks) for y in rows)
        self.charge_min_c, self.resistance_ohm = self.number(bank.charge_min_c), self.number(bank.resistance_ohm)
