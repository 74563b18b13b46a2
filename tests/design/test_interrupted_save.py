"""Power cuts and two notebooks at once, with real processes."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from pathlib import Path

import trailerlib as tl
from trailerlib.design.files import history

KILLS = 60
SAVER = Path(__file__).with_name("saver.py")
ROOT = Path(tl.__file__).resolve().parent.parent


def start(*arguments: str) -> subprocess.Popen[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.Popen(
        [sys.executable, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment
    )


def forked_saver(file: Path) -> int:
    """A process that saves in a loop; forked, because starting Python sixty times takes longer than the saving."""
    child = os.fork()
    if child == 0:
        number = 0
        while True:
            number += 1
            design = tl.read_design(file)
            tl.save_design(design.replace("battery.capacity", f"{100 + number % 50} Ah"))
    return child


def test_a_kill_at_any_moment_leaves_a_whole_file_and_no_lock(small_file: Path) -> None:
    file, chance = small_file, random.Random(7)
    tl.save_design(
        tl.read_design(file).replace("battery.capacity", "99 Ah")
    )  # imports what a save needs before the fork
    revision = tl.read_design(file).revision
    whole_lines = len(file.read_text(encoding="utf-8").splitlines())
    for _ in range(KILLS):
        child = forked_saver(file)
        time.sleep(chance.uniform(0.0, 0.08))
        os.kill(child, 9)
        os.waitpid(child, 0)
        design = tl.read_design(file)
        assert design.revision >= revision and len(file.read_text(encoding="utf-8").splitlines()) == whole_lines
        began = time.monotonic()
        revision = tl.save_design(design).revision
        assert time.monotonic() - began < 5.0, "a lock was left behind"
    assert revision > KILLS, "the killed processes got some saves done"
    visible = {path.name for path in file.parent.iterdir() if not path.name.startswith(".")}
    assert visible == {"trailer.toml", "trailer.history"}
    for old in history(file):
        tl.read_design(old)


def test_a_killed_fresh_process_leaves_a_whole_file(file: Path) -> None:
    """The same with a process of its own, as a kernel of a notebook is."""
    chance = random.Random(3)
    for _ in range(3):
        process = start(str(SAVER), str(file))
        assert process.stdout is not None and process.stdout.readline() == "ready\n"
        before, patience = file.read_bytes(), time.monotonic() + 60.0
        while file.read_bytes() == before:
            assert time.monotonic() < patience and process.poll() is None, "the process saves nothing"
            time.sleep(0.005)
        time.sleep(chance.uniform(0.0, 0.2))
        process.kill()
        process.communicate()
        tl.save_design(tl.read_design(file))
    assert tl.read_design(file).revision > 6


SAVE_ONCE = """
import os, sys, time
import trailerlib as tl
rename = os.replace
os.replace = lambda *names: (time.sleep(0.4), rename(*names))[1]  # a slow disk, so that the two saves overlap
design = tl.read_design(sys.argv[1]).replace("battery.capacity", sys.argv[2])
print("ready", flush=True)
sys.stdin.readline()
try:
    tl.save_design(design)
    print("saved")
except tl.DesignError as error:
    print("refused", error)
"""


def test_two_processes_at_once_lose_nothing(file: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    both = [
        subprocess.Popen([sys.executable, "-c", SAVE_ONCE, str(file), amount], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                         text=True, env=environment)
        for amount in ("111 Ah", "222 Ah")
    ]  # fmt: skip
    for process in both:
        assert process.stdout is not None and process.stdout.readline() == "ready\n"
    for process in both:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
    said = [process.communicate(timeout=60)[0].split()[0] for process in both]
    assert sorted(said) == ["refused", "saved"]
    texts = {tl.read_design(path).get("battery.capacity") for path in file.parent.glob("trailer*.toml")}
    assert texts == {"111 Ah", "222 Ah"}
    assert len(history(file)) == 1
