"""Names beside a staircase that never lie on it or on one another: each keeps its own height, small steps share one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from trailerlib.pictures.lettering import cut, wide
from trailerlib.pictures.stair_layout import Drawn, levels
from trailerlib.studies.path import Kind
from trailerlib.units import figures, show, whole

SIZE, PITCH = 12.0, 15.0  # [px] letters, and from one label to the next
ASIDE, CLEAR = 5.0, 5.0  # [px] from the step to its words, and from the words to the stair
SMALL, UNNAMED = 0.08, 0.04  # share of all that is lost: below the first a step joins its neighbours
PLURAL: dict[Kind, str] = {"battery": "batteries", "contact": "contacts", "fuse": "fuses", "wire": "wires"}

Box = tuple[float, float, float, float]  # left, top, right, bottom [px]


@dataclass(frozen=True)
class Label:
    """Words of one or more steps: where they point to [px], what is lost [V], whether it is the most, base line [px].

    ``edge`` is the height the words must keep clear of [px]: the stair, or the one from before where that is nearer.
    """

    words: str
    x: float
    y: float
    edge: float
    lost_v: float
    strong: bool
    base: float = 0.0

    def box(self, side: int) -> Box:
        """Where the words lie; side 1 is right of the step, −1 left of it.

        Parameters
        ----------
        side : [-] 1 or −1
        """
        across = wide(self.words, SIZE, self.strong)
        left = self.x + ASIDE if side > 0 else self.x - ASIDE - across
        return left, self.base - 0.8 * SIZE, left + across, self.base + 0.25 * SIZE


def volts(value: float) -> str:
    """A voltage lost, in millivolts when it is small.

    Parameters
    ----------
    value : [V] voltage
    """
    if value < 0.0:
        return f"{volts(-value)} given back"
    return show(value, "voltage") if value >= 0.0995 else f"{figures(value * 1000.0, 2)} mV"


def groups(steps: Sequence[Drawn], lost_v: float, costliest: Drawn | None) -> list[list[Drawn]]:
    """Tall steps alone, small neighbours together, in the order of the current.

    Parameters
    ----------
    steps : one side of the staircase
    lost_v : [V] all that is lost, both sides
    costliest : the step that stands alone whatever its share
    """
    found: list[list[Drawn]] = []
    joining = False
    for drawn in steps:
        small = drawn is not costliest and abs(drawn.lost_v) < SMALL * lost_v
        if small and joining:
            found[-1].append(drawn)
        else:
            found.append([drawn])
        joining = small
    return found


def labels(
    steps: Sequence[Drawn],
    height: Callable[[float], float],
    edge: Callable[[float], float],
    side: int,
    room: float,
    lost_v: float,
    costliest: Drawn | None,
) -> list[Label]:
    """The words of one side, not yet placed.

    Parameters
    ----------
    steps : one side of the staircase
    height : from a voltage [V] to the sheet [px]
    edge : what the words keep clear of [px], from a place across [px]
    side : [-] 1 writes right of the steps, −1 left of them
    room : [px] the edge the words must not cross
    lost_v : [V] all that is lost, both sides
    costliest : the step that is written boldly
    """
    found = []
    for group in groups(steps, lost_v, costliest):
        lost = sum(drawn.lost_v for drawn in group)
        strong = group[0] is costliest
        if abs(lost) < UNNAMED * lost_v and not strong:
            continue
        at = group[len(group) // 2] if side > 0 else group[(len(group) - 1) // 2]
        end = f", {volts(lost)}" + (f" ({whole(100 * lost / lost_v)} %)" if strong else "")
        free = (room - at.middle) * side - ASIDE - wide(end, SIZE, strong)
        here = height(levels([at], at.middle, side)[-1])
        found.append(Label(cut(_name(group), SIZE, free, strong) + end, at.middle, here, edge(at.middle), lost, strong))
    return found


def _name(group: Sequence[Drawn]) -> str:
    if len(group) == 1:
        return group[0].name
    counts: dict[Kind, int] = {}
    for drawn in group:
        counts[drawn.kind] = counts.get(drawn.kind, 0) + 1
    if len(counts) > 2 or any(drawn.inner for drawn in group):
        return f"{len(group)} small steps"
    return ", ".join(f"{n} {PLURAL[kind] if n > 1 else kind}" for kind, n in counts.items())


def stacked(found: Sequence[Label], side: int, taken: Sequence[Box]) -> list[Label]:
    """Base lines for the words of one side: above the stair on the way out, below it on the way back.

    Each label clears the one nearer to the load end of its stack, so that no leader crosses a word.

    Parameters
    ----------
    found : labels in the order of the current
    side : [-] 1 stacks upwards from the last, −1 downwards from the first
    taken : boxes the words must keep clear of
    """
    placed: list[Label] = []
    for label in reversed(found) if side > 0 else found:
        base = label.edge - CLEAR if side > 0 else label.edge + CLEAR + 0.8 * SIZE
        if placed:
            edge = placed[-1].base - side * PITCH
            base = min(base, edge) if side > 0 else max(base, edge)
        label = replace(label, base=base)
        for _ in range(2 * len(taken)):
            hit = next((box for box in taken if _covers(label.box(side), box)), None)
            if hit is None:
                break
            label = replace(label, base=hit[1] - 0.25 * SIZE - 2 if side > 0 else hit[3] + 0.8 * SIZE + 2)
        placed.append(label)
    return placed[::-1] if side > 0 else placed


def _covers(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
