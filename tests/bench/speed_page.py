"""Benches on a page of a real JupyterLab: rows (b) a move to the screen, (c) first sight, (j) a drag and its end.

Every bench stands below a bare slider that sets a label, on one page, and the two are moved turn about. A whole
measurement is repeated on a fresh page and kernel; the table has the median of the runs' ratios and their spread.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

import nbformat
from speed_rows import Row, p95

MOVES = 80  # that have changed the screen, of each thing that is watched
MOST_MOVES = 300
PAUSE_MS = 150
REPEATS = 3
DRAG_STEPS, DRAGS = 60, 8
STRETCH, DRAG_PAUSE_MS, LEAST_PX = 10, 10, 2.0  # steps without letting go
LEAST_STRETCHES, MOST_STRETCHES, HELD_CHANGES = 14, 60, 100  # how often, and what each watched part changes at least

# two frames after the change is what a person can have seen of it; what has not changed long after the rest will not
STAMP = """([selectors, act, place, value]) => {
    const acts = {
        key: e => e.dispatchEvent(new KeyboardEvent("keydown", {key: value, code: value, bubbles: true, cancelable: true})),
        type: e => { e.value = value; e.dispatchEvent(new Event("change", {bubbles: true})); },
        click: e => e.click(),
    };
    const late = [];
    return Promise.all(selectors.map((selector, k) => new Promise(done => {
        const target = document.querySelector(selector), before = target.innerHTML;
        const begun = performance.now();
        const give = () => requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - begun)));
        const wait = ms => { clearTimeout(late[k]?.timer); late[k].timer = setTimeout(late[k].stop, ms); };
        late[k] = {wait, stop: () => { late[k].over = true; watch.disconnect(); done(null); }};
        wait(1500);
        const watch = new MutationObserver(() => {
            if (target.innerHTML !== before) {
                watch.disconnect(); clearTimeout(late[k].timer); late[k].over = true; give();
                for (const one of late) if (!one.over) one.wait(400);
            }
        });
        watch.observe(target, {childList: true, subtree: true, characterData: true, attributes: true});
    })).concat([acts[act](document.querySelector(place))]));
}"""
# from a move of the mouse, that is still to come, to two frames after each part has changed; what has not changed soon
# after the rest will not: a hand does not stop there, and a page that has rested paints its next frames out of step
ARM = """selectors => {
    let begun = null;
    window.addEventListener("pointermove", () => { begun = performance.now(); }, {capture: true, once: true});
    const waiting = new Map();
    const wait = (stop, ms) => { clearTimeout(waiting.get(stop)); waiting.set(stop, setTimeout(stop, ms)); };
    window.stamped = Promise.all(selectors.map(selector => new Promise(done => {
        const target = document.querySelector(selector), before = target.innerHTML;
        const stop = () => { watch.disconnect(); done(null); };
        const watch = new MutationObserver(() => {
            if (target.innerHTML === before) return;
            watch.disconnect(); clearTimeout(waiting.get(stop)); waiting.delete(stop);
            requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - begun)));
            for (const other of waiting.keys()) wait(other, 60);
        });
        wait(stop, 400);
        watch.observe(target, {childList: true, subtree: true, characterData: true, attributes: true});
    })));
}"""
# when each of the watched parts changed, and when the hand let go
RECORD = """selectors => {
    window.seen = {released: null, changes: selectors.map(() => [])};
    window.watches = selectors.map((selector, k) => {
        const target = document.querySelector(selector);
        let before = target.innerHTML;
        const watch = new MutationObserver(() => {
            if (target.innerHTML !== before) { before = target.innerHTML; seen.changes[k].push(performance.now()); }
        });
        watch.observe(target, {childList: true, subtree: true, characterData: true, attributes: true});
        return watch;
    });
    window.addEventListener("mouseup", () => { seen.released = performance.now(); }, {capture: true, once: true});
}"""
LABEL = ".empty-label"
VERDICT, PICTURE = ".trailer > .widget-html:has(.trailer-verdict)", ".trailer-picture"
ONE_LINE = ".trailer-one-line"
WORDS = {LABEL: "label", VERDICT: "verdict", PICTURE: "picture", ONE_LINE: "picture"}

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


@dataclass(frozen=True)
class Part:
    """One thing to move on a page and what must change on the screen; ``values`` are taken in turn."""

    name: str
    place: str
    selectors: tuple[str, ...] = (VERDICT, PICTURE)
    act: str = "key"
    # the first way out every value is new, after it known: the 95th percentile is of those that are new
    values: tuple[str, ...] = ("ArrowRight",) * 40 + ("ArrowLeft",) * 40
    prepare: Callable[[Any], None] | None = None


def slider(name: str, steps: int = 40, out: str = "ArrowRight", back: str = "ArrowLeft", of: str = "") -> Part:
    """A slider of a bench, moved by the keyboard so many steps out and back; a press at its end would only be waited for.

    ``of`` is what is picked first where the bench opens on something quicker.
    """
    values, place = (out,) * steps + (back,) * steps, f".trailer-control-{name} .noUi-handle"
    return Part(f"{name} of {of}" if of else name, place, values=values, prepare=_picked(of) if of else None)


def _picked(what: str) -> Callable[[Any], None]:
    def pick(page: Any) -> None:
        page.locator(".trailer-control-circuit select").first.select_option(label=what)
        page.wait_for_timeout(1500)

    return pick


def _battery_round(page: Any) -> None:
    """The test sheet turned to the battery side, whose first line is the voltage over the battery's posts."""
    page.locator(".trailer-control-stage select").first.select_option(index=1)
    page.wait_for_timeout(1500)


READING = Part(
    "a reading",
    ".trailer-reading-0 input",
    act="type",
    values=tuple(f"{12.0 + 0.01 * k:.2f}" for k in (*range(20), *range(20, 0, -1))),
    prepare=_battery_round,
)
# clicking turns between the first sheet and the second
SHEETS = Part("a sheet", ".trailer-pictures button:not(.mod-active)", (ONE_LINE,), act="click", values=("",))
EMPTY = Part("empty", ".trailer-control-empty .noUi-handle", (LABEL,))

# the slider of each bench whose every step is told by the verdict and takes the kernel the longest
PARTS = {
    "01_what_must_it_run": slider("power", 6),
    "02_will_it_last_the_night": slider("ambient"),
    "03_which_wire": slider("run", of="roof cooler"),  # on the mains side: the wires there take the longest
    "04_what_trips_first": slider("voltage", 24),
    "05_which_generator": slider("elevation"),
    "06_will_it_stay_cool": slider("foam_walls", 12),
    "07_will_the_roof_carry_it": slider("along", 24, "ArrowLeft", "ArrowRight"),
    "08_will_it_tow_straight": slider("mass"),
    "09_can_the_walls_close": READING,
    # one notch of a limit may leave the same designs standing; five never do on the demo's first 24
    "10_what_would_i_trade": slider("reserve_h", 4, "PageUp", "PageDown"),
    "11_the_build_file": SHEETS,
}


def notebook(path: Path, *cells: str) -> None:
    """A scratch notebook."""
    last = 'print("Nothing went wrong on this page.")'
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in (*cells, last)])
    book.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(book, path)


def press_times(page: Any, parts: Sequence[Part]) -> list[list[list[float]]]:
    """A move to two frames after each part has changed [ms], the parts turn about, until each has changed often enough."""
    found: list[list[list[float]]] = [[[] for _ in part.selectors] for part in parts]
    for number in range(MOST_MOVES + 4):
        for part, lists in zip(parts, found, strict=True):
            if part.act == "key":
                page.locator(part.place).first.focus()
            value = part.values[number % len(part.values)]
            *took, _ = page.evaluate(STAMP, [list(part.selectors), part.act, part.place, value])
            page.wait_for_timeout(PAUSE_MS)
            for times, one in zip(lists, took, strict=True):
                if one is not None and number >= 4:
                    times.append(one)
        if all(len(times) >= MOVES for lists in found for times in lists):
            return found
    for part, lists in zip(parts, found, strict=True):
        for selector, times in zip(part.selectors, lists, strict=True):
            if len(times) < MOVES:
                raise RuntimeError(f"{part.name}: only {len(times)} of {MOST_MOVES} moves changed {selector}")
    return found


def with_empty_slider(lab: Any, name: str) -> str:
    """A copy of a question's notebook with the bare slider and label above its bench; its name."""
    book = nbformat.read(lab.folder / f"{name}.ipynb", 4)
    at = next(k for k, cell in enumerate(book.cells) if "tl.bench." in cell.source)
    book.cells.insert(at, nbformat.v4.new_code_cell(EMPTY_SLIDER, metadata={"jupyter": {"source_hidden": True}}))
    nbformat.write(book, lab.folder / f"paired_{name}.ipynb")
    return f"paired_{name}"


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


def ratio_rows(what: str, pairs: Sequence[tuple[Sequence[float], Sequence[float]]], target: str) -> list[Row]:
    """Median and 95th percentile: the median over the runs of each run's ratio, with the least and the greatest."""
    rows = []
    for at, point in (("median", statistics.median), ("p95", p95)):
        ratios = [point(ours) / point(theirs) for ours, theirs in pairs]
        ours, theirs = (statistics.median(point(pair[k]) for pair in pairs) for k in (0, 1))
        spread = f"{min(ratios):.2f}…{max(ratios):.2f} of {len(ratios)}"
        rows.append((what, at, f"{ours:.1f} / {theirs:.1f}", spread, f"{statistics.median(ratios):.2f}", target))
    return rows


def drag(page: Any, part: Part) -> list[tuple[float, int]]:
    """Drag a handle across and back; for each part watched: from letting go to its last change [ms], changes since."""
    page.evaluate(RECORD, list(part.selectors))
    handle = page.locator(part.place).first
    handle.evaluate("e => e.scrollIntoView({block: 'center'})")
    page.wait_for_timeout(150)
    grip = handle.bounding_box()
    rail = page.locator(part.place.replace(".noUi-handle", ".noUi-base")).first.bounding_box()
    x, y = grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2
    far = rail["x"] + rail["width"] * (0.12 if x > rail["x"] + rail["width"] / 2 else 0.88)
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, DRAG_STEPS + 1):
        page.mouse.move(x + (far - x) * step / DRAG_STEPS, y)
        page.wait_for_timeout(4)
    page.mouse.up()
    page.wait_for_timeout(1200)
    seen = page.evaluate("() => { watches.forEach(w => w.disconnect()); return seen; }")
    after = [[t - seen["released"] for t in times if t > seen["released"]] for times in seen["changes"]]
    return [(times[-1] if times else 0.0, len(times)) for times in after]


def _handle_x(page: Any, part: Part) -> float:
    """Where the handle of a slider stands on the page [px]."""
    found: float = page.locator(part.place).first.bounding_box()["x"]
    return found


def put_back(page: Any, part: Part, x: float) -> None:
    """Bring a slider back by the keyboard to where its handle stood [px]: at its end there is no step to measure."""
    page.locator(part.place).first.focus()
    for _ in part.values:
        if abs(_handle_x(page, part) - x) < 0.5:
            return
        page.keyboard.press(part.values[-1])
        page.wait_for_timeout(PAUSE_MS)
    raise RuntimeError(f"{part.name}: its slider cannot be brought back to where it stood")


def step_px(page: Any, part: Part) -> float:
    """How far a step of the slider moves its handle [px], to the side it is moved first; two or more where one is tiny."""
    out, back = part.values[0], part.values[-1]
    page.locator(part.place).first.focus()
    was = _handle_x(page, part)
    page.keyboard.press(out)
    page.wait_for_timeout(700)
    step = _handle_x(page, part) - was
    page.keyboard.press(back)
    page.wait_for_timeout(700)
    return step * -(-LEAST_PX // abs(step))


def drag_times(page: Any, parts: Sequence[Part]) -> list[list[list[float]]]:
    """A step of a slider that is held by the mouse, to two frames after each part has changed [ms], a stretch of steps
    of each part in turn: out as far as it goes, and back, until each has changed often enough.
    """
    found: list[list[list[float]]] = [[[] for _ in part.selectors] for part in parts]
    strides, moved = [step_px(page, part) for part in parts], [0] * len(parts)
    reach = [part.values.count(part.values[0]) for part in parts]
    for number in range(MOST_STRETCHES):
        if number >= LEAST_STRETCHES and all(len(times) >= HELD_CHANGES for lists in found for times in lists):
            break
        for k, part in enumerate(parts):
            handle = page.locator(part.place).first
            handle.evaluate("e => e.scrollIntoView({block: 'center'})")
            page.wait_for_timeout(200)
            grip = handle.bounding_box()
            x, y, began = grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2, _place(moved[k], reach[k])
            page.mouse.move(x, y)
            page.mouse.down()
            for _ in range(STRETCH):
                moved[k] += 1
                page.evaluate(ARM, list(part.selectors))
                page.mouse.move(x + strides[k] * (_place(moved[k], reach[k]) - began), y)
                for times, one in zip(found[k], page.evaluate("() => window.stamped"), strict=True):
                    if one is not None:
                        times.append(one)
                page.wait_for_timeout(DRAG_PAUSE_MS)
            page.mouse.up()
            page.wait_for_timeout(PAUSE_MS)
    return found


def _place(moves: int, reach: int) -> int:
    """How many steps out after so many moves there and back."""
    turned = moves % (2 * reach)
    return min(turned, 2 * reach - turned)


def on_page(driver: ModuleType, lab: Any, browser: Any, name: str, part: Part) -> tuple[Any, Any, Any]:
    """Moves and drags of one bench and of the bare slider beside it, on one page."""
    page = ready(driver, lab, browser, with_empty_slider(lab, name))
    if part.prepare is not None:
        part.prepare(page)
    began = [_handle_x(page, one) for one in (EMPTY, part)] if part.act == "key" else []
    pressed, stepped = press_times(page, (EMPTY, part)), None
    dragged = []
    if part.act == "key":
        for one, x in zip((EMPTY, part), began, strict=True):
            put_back(page, one, x)
        stepped = drag_times(page, (EMPTY, part))
        dragged = [[drag(page, one) for one in (EMPTY, part)] for _ in range(DRAGS)]
    close(lab, page)
    return pressed, dragged, stepped


def slider_to_screen(driver: ModuleType, lab: Any, browser: Any, only: Sequence[str], runs: int) -> list[Row]:
    """(b) and (j), bench by bench."""
    rows = []
    for name, part in PARTS.items():
        if only and name[:2] not in only:
            continue
        found = [on_page(driver, lab, browser, name, part) for _ in range(runs)]
        for k, selector in enumerate(part.selectors):
            pairs = [(pressed[1][k], pressed[0][0]) for pressed, _, _ in found]
            target = "p95 ≤ 1.2" if selector == VERDICT else "p95 ≤ 1.6"
            rows += ratio_rows(f"(b) {name[:2]} {part.name}: {WORDS[selector]} / label beside it", pairs, target)
            held = [(stepped[1][k], stepped[0][0]) for _, _, stepped in found if stepped]
            if held:
                what = f"(b) {name[:2]} {part.name}, dragged: {WORDS[selector]} / label dragged beside it"
                rows += ratio_rows(what, held, target)
        drags = [one for _, dragged, _ in found for one in dragged]
        for k, selector in enumerate(part.selectors if drags else ()):
            rows.append(drag_row(f"(j) {name[:2]} {part.name}, dragged and let go: {WORDS[selector]}", drags, k))
        print(*(" | ".join(row) for row in rows[-4 * len(part.selectors) - 2 :]), sep="\n", flush=True)
    return rows


def drag_row(what: str, drags: Sequence[Any], k: int) -> Row:
    """From letting go to the last change, and how many changes there are after it."""
    ours, theirs = [one[1][k][0] for one in drags], [one[0][0][0] for one in drags]
    counts = [one[1][k][1] for one in drags]
    pair = f"{statistics.median(ours):.0f} / {statistics.median(theirs):.0f}"
    changes = f"{statistics.median(counts):.0f} changes, at most {max(counts)}"
    return what, "median", pair, f"{min(ours):.0f}…{max(ours):.0f}", changes, "no queue: ≤ 2 changes"


def first_shown(driver: ModuleType, lab: Any, browser: Any, only: Sequence[str]) -> list[Row]:
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
    benches: dict[str, list[float]] = {name: [] for name in PARTS if not only or name[:2] in only}
    for _ in range(REPEATS):
        charts.append(once("empty_chart", ".js-plotly-plot .main-svg"))
        for name, found in benches.items():
            found.append(once(name, f"{PARTS[name].selectors[-1]} svg"))
    rows = []
    for name, found in benches.items():
        pair = f"{statistics.median(found):.0f} / {statistics.median(charts):.0f}"
        spread = f"{min(found):.0f}…{max(found):.0f}"
        ratio = f"{statistics.median(found) / statistics.median(charts):.2f}"
        rows.append((f"(c) {name[:2]} bench shown / empty chart", "median", pair, spread, ratio, "≤ 1.3"))
    return rows
