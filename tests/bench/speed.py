"""How fast it is, as ratios to something anybody can run beside it, all in one go on this machine.

``python tests/bench/speed.py`` prints one table; ``… speed.py b 03 07 --runs 3`` only rows (b), only of notebooks 03
and 07, three times over. Nothing is asserted: a time depends on the machine, and even a ratio wavers on a busy one.
The target stands beside each ratio.

(a) every study of the demo against one run of a circuit simulator on a 21-node battery feeder;
(b) a move to the screen, on every bench, against a callback that only sets a label, on the same page, turn about;
(c) first bench shown after Run All against one empty chart widget;
(d) importing the package, over numpy and pydantic alone;
(e) a hundred thousand variants of the demo's battery side, each with wires and loads of its own, solved in one
    call, against one run of a circuit simulator on one of them;
(f) 72 hours of the demo's box with its thermostat, ten thousand walls and ten thousand boxes in one call each, in ms
    alone;
(g) forty readings of the test sheet against every fault;
(h) a million designs of the demo over eight axes in a process of its own: seconds, memory, and designs a second against
    asking the studies of one after the other, one run of a circuit simulator each, and, where ``LOAD_FLOW_PYTHON``
    names a Python that has it, one run of a load-flow library each; the same over ranges, where no two are alike;
(i) the wiring of ten and of a hundred circuits, and a feeder of ten and of a thousand nodes;
(j) a slider dragged across and let go: how long and how often the screen still changes, beside the bare label (with b);
(k) every slider of every bench on two trailers, in the kernel alone: the slowest of each bench.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import speed_kernel
import speed_page
import speed_sliders
import speed_sweeps
from speed_rows import ROOT, Row, load, shown

ALONE: dict[str, Callable[[], list[Row]]] = {
    "a": speed_kernel.studies,
    "e": speed_kernel.variants,
    "f": speed_kernel.box,
    "g": speed_kernel.faults,
    "h": speed_sweeps.many_designs,
    "i": speed_kernel.growth,
    "d": speed_kernel.imports,
    "k": speed_sliders.every_slider,
}
RUNS = 1


def on_pages(wanted: str, only: list[str], runs: int) -> list[Row]:
    """Rows of a real browser."""
    driver = load(ROOT / "tests" / "browser" / "lab.py")
    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as folder, driver.running_lab(Path(folder)) as lab, driver.chromium() as browser:
        if "b" in wanted:
            rows += speed_page.slider_to_screen(driver, lab, browser, only, runs)
        if "c" in wanted:
            rows += speed_page.first_shown(driver, lab, browser, only)
    return rows


def main() -> None:
    """Measure and print."""
    reads = argparse.ArgumentParser(description="Ratios to what anybody can run beside it.")
    reads.add_argument("wanted", nargs="?", default="aefghidkbc", help="letters of the rows, all without")
    reads.add_argument("notebooks", nargs="*", help="numbers of notebooks for rows b and c, all without")
    reads.add_argument("--runs", type=int, default=RUNS, help="how often rows b are measured on a fresh page")
    asked = reads.parse_args()
    rows = [row for letter, measure in ALONE.items() if letter in asked.wanted for row in measure()]
    if set("bc") & set(asked.wanted):
        rows += on_pages(asked.wanted, asked.notebooks, asked.runs)
    print(shown(rows))


if __name__ == "__main__":
    main()
