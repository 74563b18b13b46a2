"""How fast it is, as ratios to something anybody can run beside it, all in one go on this machine.

``python tests/bench/speed.py`` prints one table. Nothing is asserted: a time depends on the machine,
and even a ratio wavers on a busy one. The target stands beside each ratio.

(a) every study of the demo against one run of a circuit simulator on a 21-node battery feeder;
(b) key press to screen against a callback that only sets a label;
(c) first bench shown after Run All against one empty chart widget;
(d) importing the package, over numpy and pydantic alone.
"""

from __future__ import annotations

import importlib.util
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from types import ModuleType
from typing import Any

import nbformat

import trailerlib as tl

ROOT = Path(__file__).resolve().parent.parent.parent
MOVES = 44
REPEATS = 3
PAUSE_MS = 200
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


def press_times(page: Any, slider: str, *selectors: str) -> list[list[float]]:
    """Key press to two frames after each part has changed [ms], there and back so that no end is met."""
    place = f".trailer-control-{slider} .noUi-handle"
    page.locator(place).first.focus()
    found: list[list[float]] = [[] for _ in selectors]
    for number in range(MOVES + 4):
        key = "ArrowRight" if number % 16 < 8 else "ArrowLeft"
        *took, _ = page.evaluate(STAMP, [list(selectors), key, place])
        page.wait_for_timeout(PAUSE_MS)
        for times, one in zip(found, took, strict=True):
            if one is not None and number >= 4:
                times.append(one)
    for selector, times in zip(selectors, found, strict=True):
        if len(times) < 40:
            raise RuntimeError(f"{slider}: only {len(times)} of {MOVES} moves changed {selector}")
    return found


def slider_to_screen(driver: ModuleType, lab: Any, browser: Any) -> list[Row]:
    """(b) one page after the other in one browser; the bare label before and after the benches."""
    notebook(lab.folder / "empty_slider.ipynb", EMPTY_SLIDER)
    empty = moved(driver, lab, browser, "empty_slider", "empty", LABEL)[0]
    benches = {name: moved(driver, lab, browser, name, slider, VERDICT, PICTURE) for name, slider in SLIDERS.items()}
    empty += moved(driver, lab, browser, "empty_slider", "empty", LABEL)[0]
    rows = []
    for name, (words, drawing) in benches.items():
        for at in ("median", "p95"):
            rows.append(row(f"(b) {name[:2]} verdict / label", words, empty, "p95 ≤ 1.2", at))
            rows.append(row(f"(b) {name[:2]} picture / label", drawing, empty, "p95 ≤ 1.7", at))
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


def moved(driver: ModuleType, lab: Any, browser: Any, name: str, slider: str, *selectors: str) -> list[list[float]]:
    """Key press to screen on one notebook [ms]."""
    page = ready(driver, lab, browser, name)
    found = press_times(page, slider, *selectors)
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
    rows = [*studies(), *imports()]
    driver = load(ROOT / "tests" / "browser" / "lab.py")
    with tempfile.TemporaryDirectory() as folder, driver.running_lab(Path(folder)) as lab, driver.chromium() as browser:
        rows += [*slider_to_screen(driver, lab, browser), *first_shown(driver, lab, browser)]
    head: Row = ("what", "at", "ours / theirs [ms]", "ours min…max", "ratio", "target")
    widths = [max(len(r[k]) for r in (head, *rows)) for k in range(len(head))]
    for line in (head, *rows):
        print("  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip())


if __name__ == "__main__":
    main()
