"""How fast it is, as ratios to something anybody can run beside it, all in one go on this machine.

``python tests/bench/speed.py`` prints one table. Nothing is asserted: a time depends on the machine,
and even a ratio wavers on a busy one. The target stands beside each ratio.

(a) every study of the demo against one run of a circuit simulator on a 21-node battery feeder;
(b) key press to screen against a callback that only sets a label, on the same page, turn about;
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
(i) the wiring of ten and of a hundred circuits, and a feeder of ten and of a thousand nodes.
"""

from __future__ import annotations

import importlib.util
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

import nbformat
import numpy as np

import trailerlib as tl
from trailerlib.physics import envelope
from trailerlib.physics.enclosure import Box, Drive
from trailerlib.physics.network import Tree, solve_dc
from trailerlib.physics.thermostat import Thermostat, thermostat_run
from trailerlib.studies import battery_side, trade_offs
from trailerlib.studies.closing import planted
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import hold

sys.path.insert(0, str(Path(__file__).parent))
import many

ROOT = Path(__file__).resolve().parent.parent.parent
MOVES = 80
REPEATS = 3
VARIANTS = 100_000
BOXES = 10_000
PAUSE_MS = 150
Row = tuple[str, str, str, str, str, str]

# two frames after the change is what a person can have seen of it
STAMP = """([selectors, key, place]) => Promise.all(selectors.map(selector => new Promise(done => {
    const target = document.querySelector(selector), before = target.innerHTML;
    const begun = performance.now();
    const give = () => requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - begun)));
    const late = setTimeout(() => { watch.disconnect(); done(null); }, 3000);
    const watch = new MutationObserver(() => {
        if (target.innerHTML !== before) { watch.disconnect(); clearTimeout(late); give(); }
    });
    watch.observe(target, {childList: true, subtree: true, characterData: true, attributes: true});
})).concat([document.querySelector(place).dispatchEvent(
    new KeyboardEvent("keydown", {key, code: key, bubbles: true, cancelable: true}))]))"""
LABEL = ".empty-label"
VERDICT, PICTURE = ".trailer > .widget-html:has(.trailer-verdict)", ".trailer-picture"

SLIDERS = {
    "01_what_must_it_run": "power",
    "02_will_it_last_the_night": "capacity",
    "03_which_wire": "run",
    "04_what_trips_first": "voltage",
    "05_which_generator": "elevation",
}
EMPTY_SLIDER = """# A slider that sets a label
import ipywidgets as widgets
slider, label = widgets.FloatSlider(min=0, max=100, step=0.5), widgets.Label("0")
slider.observe(lambda change: setattr(label, "value", str(change["new"])), "value")
slider.add_class("trailer-control-empty")
label.add_class("empty-label")
widgets.VBox([slider, label])"""
EMPTY_CHART = """# An empty chart widget
import plotly.graph_objects as go
go.FigureWidget()"""


def load(path: Path) -> ModuleType:
    """A module by its path."""
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[path.stem] = module
    spec.loader.exec_module(module)
    return module


def p95(values: Sequence[float]) -> float:
    """The value that nineteen of twenty do not exceed."""
    return sorted(values)[min(len(values) - 1, int(0.95 * len(values)))]


def timed(work: Callable[[], Any], times: int) -> list[float]:
    """How long each of so many runs takes [ms]."""
    found = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        found.append(1e3 * (time.perf_counter() - begun))
    return found


def row(what: str, ours: Sequence[float], theirs: Sequence[float], target: str, at: str = "median") -> Row:
    """One line of the table."""
    point = p95 if at == "p95" else statistics.median
    spread = f"{min(ours):.0f}…{max(ours):.0f}"
    pair = f"{point(ours):.1f} / {point(theirs):.1f}"
    return what, at, pair, spread, f"{point(ours) / point(theirs):.2f}", target


def studies() -> list[Row]:
    """(a) turn about, so that a busy moment meets both."""
    tree = load(ROOT / "tests" / "outside" / "recorded" / "make_dc_tree.py")
    demo = tl.read_design(tl.shipped_trailers()["fen-survey"])
    tl.assess(demo)
    ours, fresh, theirs = [], [], []
    for number in range(25):
        ours += timed(lambda: tl.assess(demo), 1)
        changed = demo.replace("battery.capacity", f"{90 + number} Ah")
        fresh += timed(lambda design=changed: tl.assess(design), 1)  # type: ignore[misc]
        theirs += timed(tree.run, 1)
    return [
        row("(a) all studies, demo / one simulator run", ours, theirs, "≤ 1, aim 0.33"),
        row("(a) the same, a battery never seen before", fresh, theirs, "≤ 1, aim 0.33"),
    ]


def variants() -> list[Row]:
    """(e) turn about; the simulator has the same network as the call."""
    simulator = load(ROOT / "tests" / "outside" / "recorded" / "make_dc_tree.py")
    side = battery_side.solve(tl.read_design(tl.shipped_trailers()["fen-survey"]))
    if side.network is None or side.ohm is None or side.draw is None or side.emf_v is None:
        raise RuntimeError("the demo has no battery side")
    tree, emf = side.network.tree, side.emf_v
    branches = list(zip(tree.parents, *(column.tolist() for column in (side.ohm, *side.draw)), strict=True))
    rng = np.random.default_rng(1)
    ohm, *draw = (
        column[:, np.newaxis] * rng.uniform(0.5, 1.5, (column.size, VARIANTS)) for column in (side.ohm, *side.draw)
    )

    def all_at_once() -> None:
        found = solve_dc(tree, emf, ohm, power_w=draw[0], conductance_s=draw[1], current_a=draw[2])
        if not found.converged.all():
            raise RuntimeError("some variants have no solution")

    ours, theirs = [], []
    for _ in range(9):
        ours += timed(all_at_once, 1)
        theirs += timed(lambda: simulator.run(branches, emf), 1)
    return [row(f"(e) {VARIANTS} variants, {len(branches)} nodes / one simulator run", ours, theirs, "≤ 100")]


def alone(what: str, ours: Sequence[float], target: str) -> Row:
    """One line of the table for what stands beside nothing."""
    return what, "median", f"{statistics.median(ours):.1f}", f"{min(ours):.0f}…{max(ours):.0f}", "", target


def box() -> list[Row]:
    """(f) in steps of five minutes; every box has walls, leaks, contents and weather of its own."""
    demo = tl.read_design(tl.shipped_trailers()["fen-survey"])
    case, set_c = heat.case_of(demo), float(demo.comfort.set_point or 0.0)
    need = hold.asked(case, set_c)
    day, rated = hold.day_of(case), sum(load.cooling_w or 0.0 for load in hold.coolers(demo))
    three = Drive(*(np.tile(part, 3) for part in vars(day).values()))
    cold = np.tile(need.cold_w(rated), 3)
    switch = Thermostat(set_c, float(demo.comfort.band or hold.USUAL_BAND_K), hold.PAUSE_S)

    def three_days() -> None:
        thermostat_run(case.box, three, hold.STEP_S, need.start_air_c, need.start_mass_c, cold, switch)

    rng = np.random.default_rng(1)

    def spread() -> Any:
        return rng.uniform(0.5, 1.5, BOXES)

    layers = [envelope.Layer(7.6e-4 * spread(), 221.0), envelope.Layer(0.0254 * spread(), 0.0288 * spread(), 4e4, True),
              envelope.Layer(6.35e-3 * spread(), 0.115, 9e5)]  # fmt: skip
    stud = envelope.Stud(45.3, 0.0254, 0.0254, 0.406 * spread(), 1.65e-3)
    boxes = Box(*(part * spread() for part in vars(case.box).values()))
    drives = Drive(*(part[None] + 3.0 * spread()[:, None] for part in vars(day).values()))
    return [
        alone("(f) 72 h of the box with thermostat", timed(three_days, 15), "≤ 20 ms"),
        alone(
            f"(f) {BOXES} walls with studs in one call",
            timed(lambda: envelope.face_of(0.06, layers, 0.12, stud), 15),
            "—",
        ),
        alone(
            f"(f) {BOXES} boxes held through two days in one call",
            timed(lambda: hold.held_over(boxes, drives, set_c), 3),
            "—",
        ),
    ]


def faults() -> list[Row]:
    """(g) every fault of the test sheet held against forty readings, other readings each time."""
    hidden = planted.plant(tl.read_design(tl.shipped_trailers()["fen-survey"]), 3)
    rng, keys = np.random.default_rng(1), hidden.keys
    told = [{key: hidden.read(key) for key in rng.choice(keys, 40, replace=False)} for _ in range(15)]
    hidden.found_by(told[0])
    count = sum(len(block.faults) for block in hidden.sheet.blocks)
    ours = [spent for readings in told for spent in timed(lambda r=readings: hidden.found_by(r), 1)]  # type: ignore[misc]
    return [
        alone(f"(g) 40 readings against {count} faults of every size, and the next line", ours, "≤ 1000 ms for 300")
    ]


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


def growth() -> list[Row]:
    """(i) ten times and a hundred times as much: how much longer."""
    found = []
    few, lot = (many.with_circuits(count) for count in (10, 100))
    times = [timed(lambda design=d: tl.study("wiring", design.replace("title", "again")), 9) for d in (few, lot)]  # type: ignore[misc]
    found.append(row("(i) wiring of 100 circuits / of 10", times[1], times[0], "about 10"))
    rng, each = np.random.default_rng(1), []
    for count in (10, 1000):
        tree = Tree.of([-1, *(int(rng.integers(max(0, k - 5), k)) for k in range(1, count))])
        ohm, watts = np.full(count, 1e-4), np.full(count, 30.0 / count)
        each.append(timed(lambda t=tree, o=ohm, w=watts: solve_dc(t, 12.6, o, power_w=w), 15))  # type: ignore[misc]
    found.append(row("(i) a feeder of 1000 nodes / of 10", each[1], each[0], "at most 100"))
    return found


def imports() -> list[Row]:
    """(d) in fresh processes, turn about."""

    def once(code: str) -> float:
        full = f"import time; b = time.perf_counter(); {code}; print(1e3 * (time.perf_counter() - b))"
        return float(subprocess.run([sys.executable, "-c", full], capture_output=True, text=True, check=True).stdout)

    bare = "import numpy, pydantic"
    study = "import numpy, pydantic, trailerlib; trailerlib.assess; trailerlib.Design; trailerlib.open_design"
    rows: dict[str, list[float]] = {bare: [], f"{bare}, trailerlib": [], study: []}
    for _ in range(9):
        for code, found in rows.items():
            found.append(once(code))
    base = statistics.median(rows[bare])
    out = []
    for code, what in ((f"{bare}, trailerlib", "(d) import trailerlib"), (study, "(d) and its studies and designs")):
        over = statistics.median(rows[code]) - base
        pair = f"{statistics.median(rows[code]):.0f} / {base:.0f}"
        spread = f"{min(rows[code]):.0f}…{max(rows[code]):.0f}"
        out.append((what + " over numpy, pydantic", "median", pair, spread, f"{over:+.0f} ms", "≤ +150 ms"))
    return out


def notebook(path: Path, *cells: str) -> None:
    """A scratch notebook."""
    last = 'print("Nothing went wrong on this page.")'
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in (*cells, last)])
    book.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(book, path)


@dataclass(frozen=True)
class Part:
    """One thing to move on a page and what must change on the screen."""

    slider: str
    selectors: tuple[str, ...]

    @property
    def place(self) -> str:
        """Its handle."""
        return f".trailer-control-{self.slider} .noUi-handle"


def press_times(page: Any, parts: Sequence[Part]) -> list[list[list[float]]]:
    """Key press to two frames after each part has changed [ms], the parts turn about, there and back."""
    found: list[list[list[float]]] = [[[] for _ in part.selectors] for part in parts]
    for number in range(MOVES + 4):
        key = "ArrowRight" if number % 16 < 8 else "ArrowLeft"
        for part, lists in zip(parts, found, strict=True):
            page.locator(part.place).first.focus()
            *took, _ = page.evaluate(STAMP, [list(part.selectors), key, part.place])
            page.wait_for_timeout(PAUSE_MS)
            for times, one in zip(lists, took, strict=True):
                if one is not None and number >= 4:
                    times.append(one)
    for part, lists in zip(parts, found, strict=True):
        for selector, times in zip(part.selectors, lists, strict=True):
            if len(times) < 40:
                raise RuntimeError(f"{part.slider}: only {len(times)} of {MOVES} moves changed {selector}")
    return found


def with_empty_slider(lab: Any, name: str) -> str:
    """A copy of a question's notebook with the bare slider and label above its bench; its name."""
    book = nbformat.read(lab.folder / f"{name}.ipynb", 4)
    at = next(k for k, cell in enumerate(book.cells) if "tl.bench." in cell.source)
    book.cells.insert(at, nbformat.v4.new_code_cell(EMPTY_SLIDER, metadata={"jupyter": {"source_hidden": True}}))
    nbformat.write(book, lab.folder / f"paired_{name}.ipynb")
    return f"paired_{name}"


def slider_to_screen(driver: ModuleType, lab: Any, browser: Any) -> list[Row]:
    """(b) on each page the bare label and the bench turn about; beside it the label on a page of its own."""
    notebook(lab.folder / "empty_slider.ipynb", EMPTY_SLIDER)
    empty = Part("empty", (LABEL,))
    ((alone,),) = moved(driver, lab, browser, "empty_slider", empty)
    rows = []
    for name, slider in SLIDERS.items():
        page = with_empty_slider(lab, name)
        (label,), (words, drawing) = moved(driver, lab, browser, page, empty, Part(slider, (VERDICT, PICTURE)))
        for at in ("median", "p95"):
            rows.append(row(f"(b) {name[:2]} verdict / label beside it", words, label, "p95 ≤ 1.2", at))
            rows.append(row(f"(b) {name[:2]} picture / label beside it", drawing, label, "p95 ≤ 1.7", at))
        rows.append(row(f"(b) {name[:2]} verdict / label on a bare page", words, alone, "not asked", "p95"))
    return rows


def ready(driver: ModuleType, lab: Any, browser: Any, name: str) -> Any:
    """A page with the notebook run."""
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    driver.open_notebook(page, lab, f"{name}.ipynb")
    driver.run_all(page)
    page.wait_for_timeout(4000)  # until the charts below the bench have settled
    return page


def close(lab: Any, page: Any) -> None:
    """The page and every kernel gone."""
    page.context.close()
    for session in lab.ask("sessions"):
        lab.ask(f"sessions/{session['id']}", "DELETE")


def moved(driver: ModuleType, lab: Any, browser: Any, name: str, *parts: Part) -> list[list[list[float]]]:
    """Key press to screen on one notebook [ms], by part and selector."""
    page = ready(driver, lab, browser, name)
    found = press_times(page, parts)
    close(lab, page)
    return found


def first_shown(driver: ModuleType, lab: Any, browser: Any) -> list[Row]:
    """(c) Run All to first sight, fresh kernel and fresh page each time, turn about."""
    notebook(lab.folder / "empty_chart.ipynb", EMPTY_CHART)

    def once(name: str, selector: str) -> float:
        page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
        driver.open_notebook(page, lab, f"{name}.ipynb")
        page.wait_for_timeout(1500)
        page.get_by_role("menuitem", name="Run", exact=True).click()
        begun = time.perf_counter()
        page.locator("li[data-command='runmenu:run-all']").click()
        page.locator(selector).first.wait_for(timeout=60_000)
        took = time.perf_counter() - begun
        close(lab, page)
        return 1e3 * took

    charts: list[float] = []
    benches: dict[str, list[float]] = {name: [] for name in SLIDERS}
    for _ in range(REPEATS):
        charts.append(once("empty_chart", ".js-plotly-plot .main-svg"))
        for name, found in benches.items():
            found.append(once(name, ".trailer-picture svg"))
    return [row(f"(c) {n[:2]} bench shown / empty chart", found, charts, "≤ 1.3") for n, found in benches.items()]


def main() -> None:
    """Measure and print."""
    rows = [*studies(), *variants(), *box(), *faults(), *many_designs(), *growth(), *imports()]
    driver = load(ROOT / "tests" / "browser" / "lab.py")
    with tempfile.TemporaryDirectory() as folder, driver.running_lab(Path(folder)) as lab, driver.chromium() as browser:
        rows += [*slider_to_screen(driver, lab, browser), *first_shown(driver, lab, browser)]
    head: Row = ("what", "at", "ours / theirs [ms]", "ours min…max", "ratio", "target")
    widths = [max(len(r[k]) for r in (head, *rows)) for k in range(len(head))]
    for line in (head, *rows):
        print("  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip())


if __name__ == "__main__":
    main()
