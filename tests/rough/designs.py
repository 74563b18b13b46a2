"""Assesses many trailers drawn at random: ``python -m tests.rough.designs --count 10000 --processes 2``.

Each trailer that does not hold is written as a design file into ``--keep``, so that it can be looked at.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import hypothesis
from hypothesis import HealthCheck, Phase, given, settings

from tests.rough.drawn import designs
from tests.rough.held import check

BATCH = 100
EVERY = 4  # one in so many is also recomputed from its snapshot and drawn


@dataclass
class Result:
    """How many were assessed, and what went wrong with how many, with one of each in words."""

    assessed: int = 0
    wrong: Counter[str] = field(default_factory=Counter)
    told: dict[str, str] = field(default_factory=dict)
    seconds: float = 0.0

    def add(self, other: Result) -> None:
        """Count what another process found too."""
        self.assessed += other.assessed
        self.wrong.update(other.wrong)
        self.told = {**other.told, **self.told}


def drawn(count: int, seed: int, look: Callable[[dict[str, Any], int], None]) -> int:
    """Draw so many trailers and hand each on with its number; a trailer that raises is reported by ``look`` itself.

    Parameters
    ----------
    count : [-] how many
    seed : [-] the same seed draws the same trailers
    look : what is done with each

    Returns
    -------
    int
        How many were drawn; hypothesis stops short of the count only where it finds no more.
    """
    done = 0

    @hypothesis.seed(seed)
    @settings(
        max_examples=count, database=None, phases=[Phase.generate], deadline=None, derandomize=False,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(designs())
    def each(raw: dict[str, Any]) -> None:
        nonlocal done
        look(raw, done)
        done += 1

    each()
    return done


def batch(task: tuple[int, int, str | None]) -> Result:
    """Assess one batch; nothing that goes wrong ends it."""
    seed, count, keep = task
    found = Result()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)

        def look(raw: dict[str, Any], number: int) -> None:
            try:
                check(raw, folder, deep=number % EVERY == 0)
            except Exception as error:
                _note(found, error, raw, f"{seed}-{number}", keep)
            found.assessed += 1

        drawn(count, seed, look)
    return found


def _note(found: Result, error: Exception, raw: dict[str, Any], name: str, keep: str | None) -> None:
    frame = traceback.extract_tb(error.__traceback__)[-1]
    inner = [f for f in traceback.extract_tb(error.__traceback__) if "trailerlib" in f.filename] or [frame]
    kind = f"{type(error).__name__} at {Path(inner[-1].filename).name}:{inner[-1].lineno}, {Path(frame.filename).name}:{frame.lineno}"
    found.wrong[kind] += 1
    if kind not in found.told:
        found.told[kind] = f"{name}: {str(error)[:600]}"
        if keep is not None:
            import tomlkit

            Path(keep, f"{name}.toml").write_text(tomlkit.dumps(raw), encoding="utf-8")


def main() -> int:
    """Print what was found; 0 when every trailer held."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--seed", type=int, default=1, help="of the first hundred; each next hundred has the next")
    parser.add_argument("--keep", help="folder for the design files of what does not hold")
    given_ = parser.parse_args()
    if given_.keep:
        Path(given_.keep).mkdir(parents=True, exist_ok=True)
    sizes = [BATCH] * (given_.count // BATCH) + ([given_.count % BATCH] if given_.count % BATCH else [])
    tasks = [(given_.seed + number, size, given_.keep) for number, size in enumerate(sizes)]
    total, began = Result(), time.monotonic()
    with ProcessPoolExecutor(given_.processes) as pool:
        for one in pool.map(batch, tasks):
            total.add(one)
            print(f"\r{total.assessed} assessed, {sum(total.wrong.values())} do not hold", end="", flush=True)
    print(f"\n{total.assessed} trailers, {time.monotonic() - began:.0f} s, {sum(total.wrong.values())} do not hold.")
    for kind, number in total.wrong.most_common():
        print(f"{number:>6} {kind}\n       {total.told[kind]}")
    return 1 if total.wrong or total.assessed < given_.count else 0


if __name__ == "__main__":
    sys.exit(main())
