"""Many designs at once against one at a time: rows (h)."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import many
import numpy as np
from speed_rows import ROOT, Row, load, timed

import trailerlib as tl
from trailerlib.studies import trade_offs

SWEEP = """
import json, resource, sys, time
import trailerlib as tl
sys.path.insert(0, sys.argv[1])
import many
kind, metrics, questions = sys.argv[2], tuple(sys.argv[3].split(",")), tuple(filter(None, sys.argv[4].split(",")))
demo = tl.read_design(tl.shipped_trailers()["fen-survey"])
begun, used = time.perf_counter(), time.process_time()
found = tl.trade_offs.sweep(demo, many.CANDIDATES[kind](), metrics, questions=questions)
took = time.perf_counter() - begun
print(json.dumps([found.count, took, time.process_time() - used, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024]))
"""


def swept(kind: str, metrics: Sequence[str], questions: Sequence[str]) -> tuple[int, float, float, float]:
    """A sweep in a fresh process: candidates, seconds on the clock and of the processor, greatest memory [MB]."""
    command = [sys.executable, "-c", SWEEP, str(Path(__file__).parent), kind, ",".join(metrics), ",".join(questions)]
    printed = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    count, took, used, memory = json.loads(printed)
    return count, took, used, memory


def load_flow_ms() -> list[float]:
    """One run of a load-flow library on its smallest recorded case [ms], in the Python that has it; nothing without."""
    python = os.environ.get("LOAD_FLOW_PYTHON", "")
    if not python:
        return []
    code = (
        "import json, sys, time; sys.path.insert(0, sys.argv[1]); import make_load_flow as m\n"
        "case = next(iter(m.TWO_WIRE.values())); m.two_wire(*case); found = []\n"
        "for _ in range(20):\n b = time.perf_counter(); m.two_wire(*case); found.append(1e3 * (time.perf_counter() - b))\n"
        "print(json.dumps(found))"
    )
    command = [python, "-c", code, str(ROOT / "tests" / "outside" / "recorded")]
    times: list[float] = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
    return times


def many_designs() -> list[Row]:
    """(h) what each design of a sweep takes against what it would take alone."""
    demo = tl.read_design(tl.shipped_trailers()["fen-survey"])
    simulator = load(ROOT / "tests" / "outside" / "recorded" / "make_dc_tree.py")
    rows_, chosen = many.CANDIDATES["grid"](), np.linspace(0, 999_999, 30).astype(int)
    one, theirs = [], timed(simulator.run, 15)
    for number in chosen:
        design = demo.replace_all(rows_.rows(number, number + 1).changes(0))
        one += timed(lambda design=design: trade_offs.measured(design, many.KEYS, ()), 1)  # type: ignore[misc]
    flows, found = load_flow_ms(), []
    for words, kind, keys, questions in (
        ("nine metrics", "grid", many.KEYS, ()),
        ("and findings of four questions", "grid", (*many.KEYS, *many.COUNTS), many.QUESTIONS),
        ("five metrics over ranges, no two alike", "ranges", many.WIDE, ()),
    ):
        count, took, used, memory = swept(kind, keys, questions)
        each = 1e3 * took / count
        what = f"(h) {count} designs, {words}: {took:.1f} s ({used:.1f} s of the processor), {memory:.0f} MB"
        found.append((what, "", f"{count / took:.0f} a second", "", "", "≤ 20 s, ≤ 2000 MB"))
        for name, times in (("its studies one by one", one), ("a circuit simulator", theirs), ("a load flow", flows)):
            if times:
                ratio = statistics.median(times) / each
                pair = f"{each:.4f} / {statistics.median(times):.1f}"
                found.append((f"    a design / {name}", "median", pair, "", f"1 : {ratio:.0f}", "≥ 1000"))
    return found
