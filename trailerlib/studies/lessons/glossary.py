"""The words of the trade that the lessons explain, each where it first stands in the course."""

from __future__ import annotations

import textwrap

TERMS: dict[str, str] = {
    "volts": "how hard the electricity is pushed",
    "amperes": "how much of it flows",
    "ohms": "how much a thing holds it back",
    "run": "one-way length of a wire's path",
    "drop": "voltage lost on the way, there and back",
    "gauge": "size of the copper; a smaller number is a thicker wire",
    "fuse": "a thin bridge that melts when too much flows",
    "insulation": "the plastic that keeps the copper apart from everything else",
    "short": "plus and minus touching where no load is between them",
    "amp-hours": "amperes times the hours they can flow",
    "compressor": "the pump of a cooler or a fridge, with a motor sealed inside",
    "watts": "what is turned into heat, light or work",
    "volt-amperes": "volts times amperes, whatever becomes of them",
    "power factor": "watts over volt-amperes",
    "breaker": "a switch that opens by itself when too much flows",
    "leg": "one of the two hot wires of a large supply",
    "carbon dioxide": "the gas of breath, not the one of exhaust",
    "joint": "where two conductors are held together",
    "coupler": "what hooks the trailer to the tow vehicle",
    "tongue weight": "what the coupler carries",
}


def glossary() -> str:
    """Every term with its explanation, as text in two columns."""
    wide = max(map(len, TERMS))
    lines = []
    for term, words in TERMS.items():
        first, *rest = textwrap.wrap(words, 70)
        lines += [f"{term:<{wide}}  {first}", *(f"{'':<{wide}}  {line}" for line in rest)]
    return "\n".join(lines)
