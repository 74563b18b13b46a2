"""Numbers and texts as a builder writes them, drawn at random: both systems of units, round and odd values, names of
all sorts that a design file may hold.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from hypothesis import strategies as st

T = TypeVar("T")
Draw = Callable[[st.SearchStrategy[Any]], Any]
Raw = dict[str, Any]

# metric unit, its size in the inside unit, US unit, its size, where zero of the US unit lies [inside unit]
_UNITS = {
    "length": (("m", 1.0, 0.0), ("ft", 0.3048, 0.0)),
    "small": (("mm", 1e-3, 0.0), ("in", 0.0254, 0.0)),
    "mass": (("kg", 1.0, 0.0), ("lb", 0.45359237, 0.0)),
    "temperature": (("°C", 1.0, 0.0), ("°F", 5 / 9, -160 / 9)),
    "step": (("K", 1.0, 0.0), ("°F", 5 / 9, 0.0)),
    "power": (("W", 1.0, 0.0), ("kW", 1e3, 0.0)),
    "current": (("A", 1.0, 0.0), ("mA", 1e-3, 0.0)),
    "large current": (("A", 1.0, 0.0), ("kA", 1e3, 0.0)),
    "voltage": (("V", 1.0, 0.0), ("V", 1.0, 0.0)),
    "resistance": (("mohm", 1e-3, 0.0), ("ohm", 1.0, 0.0)),
    "charge": (("Ah", 1.0, 0.0), ("Ah", 1.0, 0.0)),
    "duration": (("h", 1.0, 0.0), ("min", 1 / 60, 0.0)),
    "seconds": (("s", 1 / 3600, 0.0), ("s", 1 / 3600, 0.0)),
    "volume": (("L", 1.0, 0.0), ("gal", 3.785411784, 0.0)),
    "cooling": (("W", 1.0, 0.0), ("Btu/h", 0.29307107, 0.0)),
    "pressure": (("kPa", 1e3, 0.0), ("psi", 6894.757, 0.0)),
    "share": (("%", 0.01, 0.0), ("%", 0.01, 0.0)),
}
_SHARES = st.integers(0, 1000)
_COIN = st.booleans()
_WORDS = ("lamp", "kettle one", "roof fan", "charger", "Bank 2", "left side", "été", "12 V outlet", "aft / port", "fridge",
          "press", "kiln", "spare", "tool box", "work light", "heater", "a very long name that fills the whole cell")  # fmt: skip
_ODD = ("{subject}", "{0} {measured}", 'the "big" one', "100 % sure", "$x_1$", "#4", "_under_", "a & b", "it's", "naïve – ø",
        "[x]", "\\alpha", "~", "*bold*", "`tick`", "电灯", "%s %d", "nan", "None", "0", "true", "Ω 5", "a;b", "a,b", ":",
        "on", "name", "all", "dc", "mains")  # fmt: skip


def some(draw: Draw, chance: float = 0.5) -> bool:
    """Whether something is there."""
    if chance == 0.5:
        found: bool = draw(_COIN)
        return found
    return bool(draw(_SHARES) < chance * 1000)


def pick(draw: Draw, choices: Sequence[T]) -> T:
    """One of several."""
    found: T = choices[draw(st.integers(0, len(choices) - 1))]
    return found


def whole(draw: Draw, low: int, high: int) -> int:
    """A whole number, both ends included."""
    found: int = draw(st.integers(low, high))
    return found


def plain(draw: Draw, low: float, high: float) -> float:
    """A plain number of at most four figures."""
    return float(f"{low + (high - low) * draw(_SHARES) / 1000:.4g}")


def written(draw: Draw, kind: str, low: float, high: float, log: bool = False) -> str:
    """A quantity in one of the units a builder may write it in, within a range in the inside unit.

    Parameters
    ----------
    draw : of hypothesis
    kind : one of the rows above
    low, high : [inside unit] range
    log : small values as often as large ones
    """
    share = draw(_SHARES) / 1000
    value = low * (high / low) ** share if log else low + (high - low) * share
    word, size, zero = _UNITS[kind][draw(st.integers(0, 1))]
    text = f"{(value - zero) / size:.4g}"
    return f"{float(text):g} {word}" if "e" not in text else f"{float(text):.0f} {word}"


def yes_no(draw: Draw, into: Raw, *keys: str) -> None:
    """Yes, no or not said, for each key."""
    for key in keys:
        if some(draw):
            into[key] = some(draw)


def sometimes(draw: Draw, into: Raw, key: str, make: Callable[[], Any], chance: float = 0.5) -> None:
    """A key that is missing as often as it is there."""
    if some(draw, chance):
        into[key] = make()


def names(draw: Draw, count: int, taken: Sequence[str] = ()) -> list[str]:
    """So many names of which no two are alike; one in eight is odd, and none holds what a name may not."""
    found: list[str] = []
    for number in range(count):
        name = pick(draw, _ODD if some(draw, 0.125) else _WORDS)[:36]
        while name in (*found, *taken):
            name = f"{name[:34]} {number + 1}"[:40]
            number += 7
        found.append(name)
    return found
