"""What a bank lives with through a week: loads, sources, the disconnect of the bank, a heating pad."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from trailerlib.physics.charging import TAIL_END
from trailerlib.physics.formula import Number


@dataclass(frozen=True)
class Loads:
    """What hangs on the bus, in groups cut off together: one number, (groups, steps) or (groups, steps, banks).

    ``power_w`` [W] is drawn at any voltage, ``siemens`` [S] is resistive, ``amps`` [A] constant current. ``cut_off_v``
    [V] is one number, (groups,) or (groups, banks), 0 for none; it comes back ``hysteresis_v`` [V] above.
    """

    power_w: Any = 0.0
    siemens: Any = 0.0
    amps: Any = 0.0
    cut_off_v: Any = 0.0
    hysteresis_v: Any = 1.0


@dataclass(frozen=True)
class Sources:
    """What charges: each one number, shape (steps,) or (steps, banks).

    ``charger_a`` and ``converter_a`` are current limits [A]; ``solar_w`` is the power of a tracking controller [W],
    ``solar_a`` the current of a switching one [A]; all four keep to ``absorption_v``, then ``float_v`` [V].
    ``tow_v`` [V] stands behind ``tow_ohm`` [ohm] of plain wire with ``tow_limit_a`` [A], and keeps to nothing.
    Absorption ends at ``tail_share`` [-] of the capacity in amperes or after ``absorption_limit_h`` [h].
    """

    charger_a: Any = 0.0
    solar_w: Any = 0.0
    solar_a: Any = 0.0
    converter_a: Any = 0.0
    tow_v: Any = 0.0
    tow_ohm: Any = 1.0
    tow_limit_a: Any = 1e9
    absorption_v: Any = None
    float_v: Any = None
    tail_share: Number = TAIL_END
    absorption_limit_h: Number = 1e9
    again_share: Number = 0.9


@dataclass(frozen=True)
class Guards:
    """The disconnect of the whole bank: below ``cut_off_v`` [V] (0: none) or when empty, all loads are off.

    They come back at ``hysteresis_v`` [V] above, and with ``return_share`` [-] of the charge: practice, no source.
    """

    cut_off_v: Number = 0.0
    hysteresis_v: Number = 1.0
    return_share: Number = 0.05


@dataclass(frozen=True)
class Pad:
    """A heating pad under the bank: it runs while there is something to charge with and the bank is not full.

    ``power_w`` [W] at most; ``loss_w_per_k`` [W/K] to the air around, ``heat_j_per_k`` [J/K] of the bank.
    """

    power_w: Number
    heated_to_c: Number
    loss_w_per_k: Number
    heat_j_per_k: Number
