"""How many measurements it takes to find a planted fault: by the line that tells the most, and down the sheet.

Run from the root of the project: ``python -m tests.closing_cases.hunts``. It takes some minutes on two cores.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path
from statistics import mean, median

from trailerlib.pictures.canvas import Axis, Sheet, legend, ticks
from trailerlib.studies.closing import planted

from .plan import TRAILERS, trailer

SEEDS = range(40)
FIGURE = Path(__file__).parents[2] / ".ci" / "pictures" / "hunts.svg"
WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 620.0, 320.0, 60.0, 600.0, 44.0, 262.0


@dataclass(frozen=True)
class Hunt:
    """One planted fault and the measurements that both searches needed."""

    trailer: str
    seed: int
    side: str
    kind: str
    telling: int
    walk: int


def hunt(asked: tuple[str, int]) -> Hunt:
    """Both searches for the fault that belongs to a seed.

    Parameters
    ----------
    asked : name of a trailer, and the seed
    """
    name, seed = asked
    hidden = planted.plant(trailer(name), seed)
    lines = len(hidden.sheet.expected)
    telling, walk = hidden.search(most=lines), hidden.search(walk=True, most=lines)
    return Hunt(name, seed, hidden.block.name, hidden.fault.kind, telling, walk)


def told(hunts: Iterable[Hunt]) -> str:
    """Hunts as a table in Markdown.

    Parameters
    ----------
    hunts : at least one
    """
    every = list(hunts)
    rows = [
        "| trailer | hunts | telling line: median, mean | down the sheet: median, mean | sooner |",
        "|---|---|---|---|---|",
    ]
    for name in (*TRAILERS, "all"):
        here = [one for one in every if name in (one.trailer, "all")]
        if here:
            first, other = [one.telling for one in here], [one.walk for one in here]
            sooner = sum(one.telling < one.walk for one in here) / len(here)
            rows.append(
                f"| {name} | {len(here)} | {median(first):.0f}, {mean(first):.1f} | {median(other):.0f}, {mean(other):.1f} "
                f"| {100 * sooner:.0f} % |"
            )
    return "\n".join(rows)


def figure(hunts: Iterable[Hunt]) -> str:
    """Share of the faults found after so many measurements, both searches, as SVG text.

    Parameters
    ----------
    hunts : at least one
    """
    every = list(hunts)
    telling, walk = sorted(one.telling for one in every), sorted(one.walk for one in every)
    sheet = Sheet(WIDTH, HEIGHT, "Faults found after so many measurements", "paper")
    across, up = Axis(0.0, max(walk), LEFT, RIGHT), Axis(0.0, 1.0, BOTTOM, TOP)
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        sheet.line([(LEFT, up(share)), (RIGHT, up(share))], "grid", 1)
        sheet.text(LEFT - 8, up(share) + 4, f"{100 * share:.0f} %", 12, "ink", "end")
    for value in ticks(0.0, max(walk)):
        sheet.line([(across(value), BOTTOM), (across(value), BOTTOM + 5)], "ghost", 1)
        sheet.text(across(value), BOTTOM + 20, f"{value:.0f}", 12, "ink", "middle")
    for counts, tint in ((walk, "watch"), (telling, "holds")):
        sheet.line(list(_steps(counts, across, up)), tint, 2.5)
    legend(sheet, LEFT, 20, [("line", "holds", "the line that tells the most"), ("line", "watch", "down the sheet")])
    sheet.text(
        (LEFT + RIGHT) / 2, HEIGHT - 14, f"measurements made ({len(every)} planted faults found)", 13, "ink", "middle"
    )
    return sheet.svg()


def _steps(counts: list[int], across: Axis, up: Axis) -> Iterator[tuple[float, float]]:
    yield across(0.0), up(0.0)
    for number, count in enumerate(counts):
        yield across(count), up(number / len(counts))
        yield across(count), up((number + 1) / len(counts))
    yield across.end, up(1.0)


def main() -> None:
    """Hunt on every trailer, print the table and draw the figure."""
    with Pool() as pool:
        found = pool.map(hunt, [(name, seed) for name in TRAILERS for seed in SEEDS], chunksize=1)
    print(told(found))
    FIGURE.write_text(figure(found), encoding="utf-8")


if __name__ == "__main__":
    main()
