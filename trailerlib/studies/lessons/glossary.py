"""The words of the trade that the lessons explain, each where it first stands in the course."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

TERMS: dict[str, str] = {
    "volts": "how hard the electricity is pushed: the voltage",
    "amperes": "how much of it flows: the current",
    "ohms": "how much a thing holds it back: its resistance",
    "watts": "what is turned into heat, light or work each second",
    "run": "one-way length of a wire's path",
    "AWG": "the number of a wire's size",
    "drop": "voltage lost on the way, there and back",
    "gauge": "size of the copper; a smaller number is a thicker wire",
    "stalls": "stands still though it is switched on",
    "fuse": "a thin bridge that melts when too much flows",
    "fuse block": "the box with all the fuses",
    "insulation": "the plastic that keeps the copper apart from everything else",
    "rating": "the current that a thing is made to carry",
    "short": "plus and minus touching, with nothing between them",
    "amp-hours": "amperes times the hours they can flow",
    "AGM": "a lead battery that does not spill",
    "loads": "lamps, fans and all else that uses electricity",
    "floor": "the least that should be left in it",
    "compressor": "the pump of a cooler or a fridge, with a motor sealed inside",
    "locked rotor": "a motor that is switched on but stands still",
    "mains": "electricity at the voltage of a house",
    "volt-amperes": "volts times amperes, whatever becomes of them",
    "power factor": "watts divided by volt-amperes",
    "breaker": "a switch that opens by itself when too much flows",
    "panels": "the boxes that breakers sit in",
    "leg": "one of the two live wires of a large supply",
    "carbon dioxide": "the gas of breath, not the one of exhaust",
    "ppm": "parts in a million",
    "cfm": "cubic feet each minute",
    "crimp": "a sleeve pressed onto the end of a wire",
    "joint": "where two pieces of copper are held together",
    "test sheet": "the list of what each reading should be",
    "coupler": "what hooks the trailer to the tow vehicle",
    "nose": "the front wall of the box",
    "tongue weight": "what the coupler carries",
    "inlet": "the plug in the trailer's wall",
    "main breaker": "the one before all others",
    "neutral": "the wire that brings mains current back",
    "flue": "the pipe that takes exhaust outside",
    "ground fault": "current that leaks away, perhaps through a person",
    "GFCI": "the device that does so",
}


def glossary(terms: Iterable[str] = TERMS) -> str:
    """Terms with their explanation, as text in two columns.

    Parameters
    ----------
    terms : which; default is every one
    """
    chosen = tuple(terms)
    wide = max(map(len, chosen))
    lines = []
    for term in chosen:
        first, *rest = textwrap.wrap(TERMS[term], 70)
        lines += [f"{term:<{wide}}  {first}", *(f"{'':<{wide}}  {line}" for line in rest)]
    return "\n".join(lines)
