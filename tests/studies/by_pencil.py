"""Every kind of problem solved from the numbers in its words, in the unit it is asked in, with plain arithmetic."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

Numbers = Sequence[float]


def numbers(words: str) -> list[float]:
    """All numbers of a text in their order; a size of wire counts as one."""
    return [float(found) for found in re.findall(r"-?\d+(?:\.\d+)?", words.replace("−", "-"))]


def _volts_lost(n: Numbers, system: str) -> float:
    amps, run, _, milliohms = n
    return 2 * amps * run * milliohms / 1000


def _resistance(n: Numbers, system: str) -> float:
    run, _, milliohms = n
    return 2 * run * milliohms


def _caliper(n: Numbers, system: str) -> float:
    width, amps, run, _, milliohms = n
    metres = run * (0.3048 if system == "us" else 1.0)
    return 2 * amps * metres * milliohms / 1000 / (3.14159 / 4 * width**2)


def _gauge(n: Numbers, system: str) -> float:
    first, lost, second = n
    return lost * 2 ** ((second - first) / 3)


def _hot(n: Numbers, system: str) -> float:
    hot, _, milliohms, cool, percent, amps, run = n
    return 2 * amps * run * milliohms / 1000 * (1 + percent / 100 * (hot - cool))


def _short(n: Numbers, system: str) -> float:
    volts, inside, run, _, _, milliohms = n
    return volts / (inside / 1000 + 2 * run * milliohms / 1000)


def _survives(n: Numbers, system: str) -> float:
    amps, _, area, k = n
    return (k * area / amps) ** 2


def _rating(n: Numbers, system: str) -> float:
    long, other, percent = n
    return percent / 100 * long + other


def _cold(n: Numbers, system: str) -> float:
    capacity, age, cold = n
    return capacity * age * cold / 10_000


def _fast(n: Numbers, system: str) -> float:
    capacity, rate, amps, exponent = n
    return rate * (capacity / (amps * rate)) ** exponent


def _night(n: Numbers, system: str) -> float:
    watts, duty, volts, hours = n
    return watts * duty / 100 * hours / volts


def _start(n: Numbers, system: str) -> float:
    locked, volts, run, _, milliohms = n
    cord, motor = 2 * run * milliohms / 1000, volts / locked
    return volts * cord / (cord + motor)


def _draw(n: Numbers, system: str) -> float:
    watts, volts, factor = n
    return watts / (volts * factor)


def _leg(n: Numbers, system: str) -> float:
    watts, motor = n[1:] if system == "metric" else n[2:4]
    return watts / n[0] + motor


def _room(n: Numbers, system: str) -> float:
    rating, volts, percent, flows = n
    return (percent / 100 * rating - flows) * volts


def _stuffy(n: Numbers, system: str) -> float:
    people, each, flow, outside = n
    return outside + 1e6 * people * each / flow


def _fresh(n: Numbers, system: str) -> float:
    people, each, outside, mark = n
    return 1e6 * people * each / (mark - outside)


def _cold_night(n: Numbers, system: str) -> float:
    loss, inside, outside, gains = n
    return loss * (inside - outside) / (1.8 if system == "us" else 1.0) - gains


def _joint(n: Numbers, system: str) -> float:
    amps, measured, expected = n
    return 1000 * (measured - expected) / amps


def _warm_joint(n: Numbers, system: str) -> float:
    milliohms, amps = n
    return amps**2 * milliohms / 1000


def _two_joints(n: Numbers, system: str) -> float:
    milliohms, amps = n
    return 2 * amps * milliohms / 1000


def _thing(n: Numbers, system: str) -> float:
    mass, behind, nose, axle = n
    return mass * (axle - behind) / (axle + nose)


def _moved(n: Numbers, system: str) -> float:
    mass, forward, nose, axle = n
    return mass * forward / (axle + nose)


SOLVED: dict[str, Callable[[Numbers, str], float]] = {
    "volts lost in a run": _volts_lost,
    "resistance of a run": _resistance,
    "an unmarked wire": _caliper,
    "another gauge": _gauge,
    "a hot wire": _hot,
    "current of a short": _short,
    "how long a wire stands it": _survives,
    "least rating of a fuse": _rating,
    "cold and age": _cold,
    "a fast discharge": _fast,
    "a night's amp-hours": _night,
    "a start on a cord": _start,
    "current with a power factor": _draw,
    "what a leg carries": _leg,
    "what may still be on": _room,
    "a stuffy night": _stuffy,
    "a fresh night": _fresh,
    "a cold night": _cold_night,
    "resistance too many": _joint,
    "heat in a joint": _warm_joint,
    "two poor crimps": _two_joints,
    "a thing on the coupler": _thing,
    "a thing that is moved": _moved,
}
