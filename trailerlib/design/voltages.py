"""The nominal voltages of a trailer: its battery, a leg to neutral, one leg to the other."""

from __future__ import annotations

NOMINAL_DC_V = {"12 V": 12.0, "24 V": 24.0}
MAINS_V = {"north-america": 120.0, "iec": 230.0}
BETWEEN_LEGS = 2.0  # times a leg's own voltage: the legs stand opposite one another (ANSI C84.1, from memory)


def nominal_v(system: str, practice: str, battery: str | None, between_legs: bool = False) -> float:
    """Nominal voltage of a circuit [V].

    Parameters
    ----------
    system : ``dc`` or ``mains``
    practice : ``north-america`` or ``iec``
    battery : ``12 V`` or ``24 V``; None is no battery, and 12 V
    between_legs : whether it runs from one leg to the other
    """
    if system == "dc":
        return NOMINAL_DC_V[battery or "12 V"]
    return MAINS_V[practice] * (BETWEEN_LEGS if between_legs else 1.0)
