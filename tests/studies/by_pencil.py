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

# every slip of every kind, worked out the wrong way it stands for; `a` is the right answer in its unit
SLIPPED: dict[tuple[str, str], Callable[[Numbers, float, str], float]] = {
    ("volts lost in a run", "one way"): lambda n, a, s: n[0] * n[1] * n[3] / 1000,
    ("volts lost in a run", "resistance for drop"): lambda n, a, s: 2 * n[1] * n[3] / 1000,
    ("resistance of a run", "one way"): lambda n, a, s: n[0] * n[2],
    ("an unmarked wire", "one way"): lambda n, a, s: a / 2,
    ("an unmarked wire", "radius for diameter"): lambda n, a, s: a / 4,
    ("another gauge", "gauge counted the wrong way"): lambda n, a, s: n[1] * 2 ** ((n[0] - n[2]) / 3),
    ("another gauge", "width for area"): lambda n, a, s: n[1] * 2 ** ((n[2] - n[0]) / 6),
    ("a hot wire", "one way"): lambda n, a, s: a / 2,
    ("a hot wire", "cold copper"): lambda n, a, s: 2 * n[5] * n[6] * n[2] / 1000,
    ("current of a short", "one way"): lambda n, a, s: n[0] / (n[1] / 1000 + n[2] * n[5] / 1000),
    ("current of a short", "battery left out"): lambda n, a, s: n[0] / (2 * n[2] * n[5] / 1000),
    ("current of a short", "fuse for fault"): lambda n, a, s: n[4],
    ("how long a wire stands it", "not squared"): lambda n, a, s: n[3] * n[2] / n[0],
    ("least rating of a fuse", "no extra for long"): lambda n, a, s: n[0] + n[1],
    ("least rating of a fuse", "extra on all"): lambda n, a, s: 1.25 * (n[0] + n[1]),
    ("cold and age", "warm battery"): lambda n, a, s: n[0] * n[1] / 100,
    ("cold and age", "new battery"): lambda n, a, s: n[0] * n[2] / 100,
    ("a fast discharge", "hours rate"): lambda n, a, s: n[0] / n[2],
    ("a fast discharge", "label is one hour"): lambda n, a, s: (n[0] / n[2]) ** n[3],
    ("a night's amp-hours", "watt-hours for amp-hours"): lambda n, a, s: n[0] * n[1] / 100 * n[3],
    ("a night's amp-hours", "always on"): lambda n, a, s: n[0] * n[3] / n[2],
    ("a start on a cord", "one way"): lambda n, a, s: n[1] * (n[2] * n[4]) / (n[2] * n[4] + 1000 * n[1] / n[0]),
    ("a start on a cord", "full current while it sags"): lambda n, a, s: 2 * n[0] * n[2] * n[4] / 1000,
    ("current with a power factor", "watts for volt-amperes"): lambda n, a, s: n[0] / n[1],
    ("current with a power factor", "factor the wrong way"): lambda n, a, s: n[0] / n[1] * n[2],
    ("what a leg carries", "all on one leg"): lambda n, a, s: a + n[5],
    ("what a leg carries", "both legs for one"): lambda n, a, s: n[2] / (2 * n[0]) + n[3],
    ("what a leg carries", "largest alone"): lambda n, a, s: max(n[1] / n[0], n[2]),
    ("what may still be on", "whole rating"): lambda n, a, s: (n[0] - n[3]) * n[1],
    ("what may still be on", "nothing on yet"): lambda n, a, s: n[2] / 100 * n[0] * n[1],
    ("a stuffy night", "one sleeper"): lambda n, a, s: n[3] + 1e6 * n[1] / n[2],
    ("a stuffy night", "outside air is clean"): lambda n, a, s: a - n[3],
    ("a fresh night", "one sleeper"): lambda n, a, s: a / n[0],
    ("a fresh night", "outside air is clean"): lambda n, a, s: 1e6 * n[0] * n[1] / n[3],
    ("a cold night", "gains left out"): lambda n, a, s: a + n[3],
    ("a cold night", "Fahrenheit steps"): lambda n, a, s: n[0] * (n[1] - n[2]) - n[3],
    ("resistance too many", "all of the drop"): lambda n, a, s: 1000 * n[1] / n[0],
    ("heat in a joint", "not squared"): lambda n, a, s: n[0] * n[1] / 1000,
    ("two poor crimps", "one joint of two"): lambda n, a, s: n[0] * n[1] / 1000,
    ("two poor crimps", "resistance for drop"): lambda n, a, s: 2 * n[0] / 1000,
    ("a thing on the coupler", "wheels for coupler"): lambda n, a, s: n[0] - a,
    ("a thing on the coupler", "from the nose"): lambda n, a, s: n[0] * (n[3] - n[1]) / n[3],
    ("a thing on the coupler", "whole weight"): lambda n, a, s: n[0],
    ("a thing that is moved", "whole weight"): lambda n, a, s: n[0],
    ("a thing that is moved", "moved the wrong way"): lambda n, a, s: -a,
    ("a thing that is moved", "from the nose"): lambda n, a, s: n[0] * n[1] / n[3],
}
