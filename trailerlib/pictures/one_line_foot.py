"""What stands under every sheet of a one-line diagram: its symbols in words, how to read it, and cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trailerlib.pictures.lettering import wide
from trailerlib.pictures.one_line_model import Side
from trailerlib.pictures.one_line_rows import wrapped
from trailerlib.pictures.one_line_symbols import HALF, in_order

SIZE, PITCH = 12.0, 14.0
KEY_PITCH, KEY_GAP = 23.0, 14.0
LEFT, WIDTH = 14.0, 972.0

READING = (
    "One line stands for all wires of a circuit. Under a line: protection, copper wire with its insulation, run one "
    "way, by the layout where not written. In brackets: not written in the design, reckoned with. Dashed: not stated."
)
CAUTIONS = {
    "mains": "Mains work is for a qualified person, with the supply locked off and proved dead. ",
    "dc": "A battery drives very large currents: fuse every wire that leaves it, at the battery. ",
}
ALWAYS = "This is design help, no permission to work: the code in force, the makers and a licensed person decide."


@dataclass(frozen=True)
class Foot:
    """Symbols with their place in the legend [px], lines of words, and how tall it all is [px]."""

    keys: tuple[tuple[str, float, float], ...]
    words: tuple[tuple[str, str], ...]
    words_y: float
    height: float


def foot(sides: Sequence[Side]) -> Foot:
    """The legend of a design, the same on every sheet.

    Parameters
    ----------
    sides : the sides of the design
    """
    from trailerlib.pictures.one_line_symbols import SYMBOLS

    names = in_order([name for side in sides for name in _symbols(side)])
    keys, x, y = list[tuple[str, float, float]](), LEFT, 14.0
    for name in names:
        room = 2 * HALF + 6 + wide(SYMBOLS[name].words, SIZE)
        if x > LEFT and x + room > LEFT + WIDTH:
            x, y = LEFT, y + KEY_PITCH
        keys.append((name, x + HALF, y))
        x += room + KEY_GAP
    below = y + KEY_PITCH if keys else y
    cautions = "".join(words for system, words in CAUTIONS.items() if any(s.system == system for s in sides)) + ALWAYS
    words = [(line, "ink") for line in wrapped(READING, WIDTH)] if sides else []
    words += [(line, "stop") for line in wrapped(f"■ Caution. {cautions}", WIDTH)]
    return Foot(tuple(keys), tuple(words), below + 1, below + PITCH * len(words))


def _symbols(side: Side) -> Iterator[str]:
    for thing in (*side.sources, *side.chain, *side.bonds, *(end for b in side.branches for end in b.ends)):
        yield thing.symbol
        yield from thing.beside
    for branch in side.branches:
        yield branch.symbol
        yield from branch.beside
