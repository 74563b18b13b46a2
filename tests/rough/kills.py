"""Real kills in mid-save: ``python -m tests.rough.kills --count 1000`` kills as many savers of the design and as many of the
readings, and then two notebooks' worth of savers at once.

A process saves again and again and is killed without warning at a random moment; what lies on disk then must be whole,
no older than what was seen before, and open to the next save at once.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import re
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import trailerlib as tl
from trailerlib.design.files import history
from trailerlib.design.readings import readings_path

LONGEST_S = 0.06  # a save takes some milliseconds; a kill comes within a few of them
PATIENCE_S = 30.0


@dataclass(frozen=True)
class Killed:
    """How many were killed, how many saves they got done before, how many were hit in mid-save."""

    kills: int
    saves: int
    in_mid_save: int


def save_design(file: Path, number: int) -> int:
    """One save of the design; its revision."""
    design = tl.read_design(file)
    return tl.save_design(design.replace("battery.capacity", f"{100 + number % 50} Ah")).revision


def save_readings(file: Path, number: int) -> int:
    """One save of the readings; their revision."""
    readings = tl.read_readings(file).with_(f"spot/{number % 7}", tl.Reading(12.0 + number % 50 / 100, "voltage"))
    return tl.save_readings(readings, file).revision


def revision_of(file: Path, save: Callable[[Path, int], int]) -> int:
    """What lies on disk, read and checked as a whole."""
    return tl.read_design(file).revision if save is save_design else tl.read_readings(file).revision


def forked(file: Path, save: Callable[[Path, int], int]) -> int:
    """A process that saves without end; its number."""
    child = os.fork()
    if child == 0:
        try:
            number = 0
            while True:
                number += 1
                with contextlib.suppress(tl.DesignError):  # another one was quicker
                    save(file, number)
        finally:
            os._exit(70)  # never back into what forked it
    return child


def kill(file: Path, save: Callable[[Path, int], int], count: int, seed: int = 7) -> Killed:
    """Kill so many savers of one file, looking at it after each.

    Parameters
    ----------
    file : the design file
    save : what they do
    count : [-] how many
    seed : [-] of the moments

    Raises
    ------
    AssertionError
        When anything was lost, left half or left locked.
    """
    chance, kills, mid = random.Random(seed), 0, 0
    revision = save(file, 0)
    first = revision
    target = file if save is save_design else readings_path(file)
    for _ in range(count):
        child = forked(file, save)
        time.sleep(chance.uniform(0.0, LONGEST_S))
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        assert os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL, "the saver fell by itself"
        kills, mid = kills + 1, mid + bool(left_over(target))
        found = revision_of(file, save)
        assert found >= revision, f"revision {found} after {revision}"
        began = time.monotonic()
        revision = save(file, kills)
        assert revision == found + 1 and time.monotonic() - began < PATIENCE_S, "a lock was left behind"
        assert not left_over(target), "the next save leaves nothing half behind"
    whole_history(target)
    return Killed(kills, revision - first, mid)


def left_over(file: Path) -> list[str]:
    """What a kill has left half written beside a file or in its history."""
    folders = (file.parent, file.with_name(f"{file.stem}.history"))
    return [path.name for folder in folders if folder.is_dir() for path in folder.glob(".*.part")]


def whole_history(file: Path) -> None:
    """Every earlier text is whole, and none is there twice."""
    old = history(file)
    texts = [path.read_text(encoding="utf-8") for path in old]
    revisions = [int(re.search(r"(?m)^revision = (\d+)", text)[1]) for text in texts]  # type: ignore[index]
    assert revisions == sorted(set(revisions)), "a revision is missing its order"
    assert all(text.endswith("\n") for text in texts)


def together(file: Path, count: int, seconds: float) -> int:
    """So many processes save one file at the same time, and are then killed; the file is whole and no save was lost.

    Returns
    -------
    int
        How many saves were done.
    """
    first = tl.read_design(file).revision
    children = [forked(file, save_design) for _ in range(count)]
    time.sleep(seconds)
    for child in children:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
    saved = save_design(file, 0)
    assert len(history(file)) == saved - 1, "every revision but the last lies in the history"
    return saved - first


def command() -> int:
    """Print the counts; raises where something does not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=7)
    given = parser.parse_args()
    for name, save in (("design", save_design), ("readings", save_readings)):
        with tempfile.TemporaryDirectory() as folder:
            file = Path(shutil.copy(tl.shipped_trailers()["one-lamp"], Path(folder) / "trailer.toml"))
            began, done = time.monotonic(), kill(file, save, given.count, given.seed)
            print(
                f"{name}: {done.kills} kills, {done.in_mid_save} of them in mid-save, {done.saves} saves, nothing lost,"
                f" {time.monotonic() - began:.0f} s"
            )
    with tempfile.TemporaryDirectory() as folder:
        file = Path(shutil.copy(tl.shipped_trailers()["one-lamp"], Path(folder) / "trailer.toml"))
        print(f"three at once: {together(file, 3, 10.0)} saves, each in the history")
    return 0


if __name__ == "__main__":
    sys.exit(command())
