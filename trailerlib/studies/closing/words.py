"""What the closing-in test says, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trailerlib import units
from trailerlib.studies.closing.block import OPEN_OHM, Fault

if TYPE_CHECKING:
    from trailerlib.studies.closing.diagnose import Candidate


def reading(value: float | None, asks: str) -> str:
    """A reading as the meter shows it.

    Parameters
    ----------
    value : [inside unit of what is asked] number
    asks : what the line asks
    """
    if value is None or value != value:
        return "–"
    if asks == "yes or no":
        return "yes" if value > 0.5 else "no"
    if asks == "voltage":
        return (
            f"{value:.1f} V"
            if abs(value) >= 30.0
            else f"{value:.2f} V"
            if abs(value) >= 0.2
            else f"{value * 1e3:.1f} mV"
        )
    if asks == "current":
        return f"{value:.2f} A"
    if asks == "resistance":
        return ohms(value)
    return units.show(value, asks)


def ohms(value: float) -> str:
    """A resistance in the unit that suits it.

    Parameters
    ----------
    value : [ohm] resistance
    """
    if value == float("inf"):
        return "open"
    for limit, scale, unit in ((1.0, 1e3, "mΩ"), (1e3, 1.0, "Ω"), (1e6, 1e-3, "kΩ")):
        if abs(value) < limit:
            return f"{units.figures(value * scale)} {unit}"
    return f"{units.figures(value * 1e-6)} MΩ"


def size(fault: Fault, value: float | None) -> str:
    """The size of a fault in words.

    Parameters
    ----------
    fault : the fault
    value : [unit of the fault's size] number, or None
    """
    if value is None:
        return ""
    if fault.sized == "resistance":
        return "no contact at all, not" if value >= OPEN_OHM else ohms(value)
    return f"{value:.2f} V" if fault.sized == "voltage" else units.figures(value, 2)


def suspicion(one: Candidate) -> str:
    """A suspicion as a sentence: what, how large, how hot, and what else it may be."""
    if one.slip is not None:
        return f"The reading “{one.slip}” stands alone: read it again before anything is taken apart."
    words = _told(one.fault, one.size, one.open)
    if one.heat_w is not None and one.heat_w >= 0.1:
        words += f"; at full load it would make {units.figures(one.heat_w, 2)} W of heat"
    others = [f.subject if f.kind == one.fault.kind else f"{f.kind}: {f.subject}" for f in one.faults[1:]]
    if others:
        words += f" (or: {', '.join(others[:4])}{' and more' if len(others) > 4 else ''}; these readings look the same)"
    if one.second is not None:
        words += f"; and {_told(one.second.fault, one.second.size, one.second.open)}"
    return words[:1].upper() + words[1:] + "."


def _told(fault: Fault, value: float | None, is_open: bool) -> str:
    if is_open:
        return f"{fault.says.split(': {size}')[0]}: no contact at all"
    return fault.says.format(size=size(fault, value))


def either_or(asks: str, first: tuple[Fault, float], other: tuple[Fault, float]) -> str:
    """What a line would read in either of two cases.

    Parameters
    ----------
    asks : what the line asks
    first : [inside unit] a fault and what the line would read
    other : [inside unit] another
    """
    told = [(reading(value, asks), named(fault)) for fault, value in (first, other)]
    return f"About {told[0][0]} if {told[0][1]}, about {told[1][0]} if {told[1][1]}."


def named(fault: Fault) -> str:
    """A fault in a few words."""
    if fault.kind == "healthy":
        return "all is well here"
    return f"it is “{fault.kind}: {fault.subject}”"


def end(value: float | None, asks: str) -> str:
    """An end of a band; nothing where it has none.

    Parameters
    ----------
    value : [inside unit] the end, None or infinite where there is none
    asks : what the line asks
    """
    return "–" if value is None or value in (float("inf"), float("-inf")) else reading(value, asks)


def share(value: float) -> str:
    """A chance as it is read: never 0 or 100 %, which no reading can show.

    Parameters
    ----------
    value : [-] 0 to 1
    """
    if value < 0.01:
        return "under 1 %"
    return "over 99 %" if value > 0.99 else f"{100.0 * value:.0f} %"


def heat(watts: float | None) -> str:
    """Heat of a joint, or a dash.

    Parameters
    ----------
    watts : [W] or None
    """
    return "–" if watts is None else f"{units.figures(watts, 2)} W"
