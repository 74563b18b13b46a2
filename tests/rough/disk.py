"""Saves, build files and readings on a disk that is full, that may only be read, or that comes back: run in a mount
namespace of its own, where a small disk in memory can be mounted. Prints one line a step; the test reads them.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import trailerlib as tl
from trailerlib.__main__ import main as shell
from trailerlib.design.learner import Learner, save_learner

ROOM = 256  # kB, for a design and its history but not for a build file


def mount(folder: Path, *options: str) -> None:
    """Mount a disk in memory, or mount it anew with other options."""
    subprocess.run(["mount", *options, "tmpfs", str(folder)], check=True)


def steps(file: Path) -> dict[str, Callable[[], Any]]:
    """All that writes."""
    design = tl.read_design(file)
    return {
        "save": lambda: tl.save_design(design.replace("battery.capacity", "77 Ah")),
        "undo": lambda: tl.take_back(design),
        "readings": lambda: tl.save_readings(
            tl.read_readings(file).with_("rest/battery volts", tl.Reading(12.5, "voltage")), file
        ),
        "learner": lambda: save_learner(Learner("Ann"), file.with_name("ann.learner.toml")),
        "new folder": lambda: save_learner(Learner("Ann"), file.parent / "new" / "ann.learner.toml"),
        "first open": lambda: opened(file.with_name("other.toml")),
        "build file": lambda: tl.write_build_file(design, file.parent / "out", "2026-01-02"),
        "build file here": lambda: tl.write_build_file(design, file.parent, "2026-01-02"),
        "shell": lambda: shell(["build", str(file), str(file.parent / "out"), "--date", "2026-01-02"]),
    }


def opened(file: Path) -> tl.Design:
    """The open trailer, at a path where there is none yet."""
    os.environ["TRAILERLIB_DESIGN"] = str(file)
    return tl.open_design()


def tried(name: str, act: Callable[[], Any]) -> None:
    """One step: what was said, or that it went well."""
    try:
        done = act()
        print(f"{name}: refused by the shell" if done == 2 else f"{name}: done", flush=True)
    except tl.DesignError as error:
        print(f"{name}: {error}", flush=True)


def told(file: Path) -> None:
    """What lies on the disk after all that."""
    names = sorted(str(path.relative_to(file.parent)) for path in file.parent.rglob("*") if path.is_file())
    print(f"holds {tl.read_design(file).get('battery.capacity')} among {names}", flush=True)


def run(folder: Path) -> None:
    """Full, then with room again, then read-only."""
    mount(folder, "-t", "tmpfs", "-o", f"size={ROOM}k")
    file = Path(shutil.copy(tl.shipped_trailers()["one-lamp"], folder / "trailer.toml"))
    tl.save_design(tl.read_design(file).replace("battery.capacity", "66 Ah"))
    filling = folder / "filling"
    filling.write_bytes(b"x" * (os.statvfs(folder).f_bavail * os.statvfs(folder).f_frsize))
    print("== full", flush=True)
    for name, act in steps(file).items():
        tried(name, act)
    told(file)
    filling.unlink()
    print("== room again", flush=True)
    tried("save", steps(file)["save"])
    told(file)
    mount(folder, "-o", "remount,ro")
    print("== read-only", flush=True)
    for name, act in steps(file).items():
        tried(name, act)
    told(file)


if __name__ == "__main__":
    run(Path(sys.argv[1]))
