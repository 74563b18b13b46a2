"""Every letter on its page and in its cell, and every number on paper the one in the snapshot."""

from __future__ import annotations

import copy
import ctypes
import json
import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np
import pypdfium2
import pytest
from pypdfium2 import raw
from scipy.spatial import cKDTree

from trailerlib import units
from trailerlib.buildfile import binder, spreadsheet
from trailerlib.buildfile.drawings import drawings
from trailerlib.buildfile.pages import HEADINGS
from trailerlib.design.design import Design, design_from
from trailerlib.studies import STUDIES, assess
from trailerlib.studies.answer import Column, Quantity
from trailerlib.studies.schedules.schedule import tape

DAY = "2026-11-25"
EDGE_PT = 36.0  # no text comes nearer to the edge of the paper than half an inch
LABEL_EDGE_PT = 12.0  # of a sheet of labels
Box = tuple[str, float, float, float, float]
Change = Callable[[Callable[[dict[str, Any]], None]], Design]


def letters(page: pypdfium2.PdfPage) -> Iterator[Box]:
    """Every letter of a page with its left, lower, right and upper edge [pt]."""
    text = page.get_textpage()
    edges = [ctypes.c_double() for _ in range(4)]
    for n in range(text.count_chars()):
        letter = chr(raw.FPDFText_GetUnicode(text.raw, n))
        if letter.isprintable() and not letter.isspace():
            raw.FPDFText_GetCharBox(text.raw, n, *map(ctypes.byref, edges))
            left, right, low, high = (edge.value for edge in edges)
            yield letter, left, low, right, high


def outside(data: bytes, edge: float = EDGE_PT) -> list[tuple[int, Box]]:
    """Letters beyond the edge of what a printer prints, with their page."""
    found = []
    for number, page in enumerate(pypdfium2.PdfDocument(data), start=1):
        width, height = page.get_size()
        for box in letters(page):
            _, left, low, right, high = box
            if left < edge or right > width - edge or low < 12.0 or high > height - 12.0:
                found.append((number, box))
    return found


def smallest(data: bytes) -> float:
    """The size of the smallest letters [pt] but those of formulas, which have a face of their own."""
    found, matrix, name = 1e9, raw.FS_MATRIX(), ctypes.create_string_buffer(200)
    for page in pypdfium2.PdfDocument(data):
        text = page.get_textpage()
        for n in range(text.count_chars()):
            raw.FPDFText_GetFontInfo(text.raw, n, name, 200, None)
            if b"Math" not in name.value and chr(raw.FPDFText_GetUnicode(text.raw, n)).isalnum():
                raw.FPDFText_GetMatrix(text.raw, n, ctypes.byref(matrix))
                found = min(found, raw.FPDFText_GetFontSize(text.raw, n) * math.hypot(matrix.c, matrix.d))
    return found


def filled(page: pypdfium2.PdfPage) -> float:
    """From the first to the last thing on a page between its header and its footer, as a share of its height."""
    shown = page.render(scale=0.5).to_numpy()[30:-30].min(axis=(1, 2))
    dark = (shown < 200).nonzero()[0]
    return float(dark[-1] - dark[0] + 1) / len(shown) if len(dark) else 0.0


def on_each_other(data: bytes) -> list[tuple[int, str, str]]:
    """Pairs of letters that lie on each other by a fourth of the smaller: a text has run over its neighbour's cell."""
    found = []
    for number, page in enumerate(pypdfium2.PdfDocument(data), start=1):
        boxes = list(letters(page))
        if len(boxes) > 1:
            found += [(number, boxes[one][0], boxes[two][0]) for one, two in _overlapping(boxes)]
    return found


def _overlapping(boxes: Sequence[Box]) -> Iterator[tuple[int, int]]:
    edges = np.array([box[1:] for box in boxes])
    low, high = edges[:, :2], edges[:, 2:]
    size = high - low
    near = cKDTree((low + high) / 2).query_pairs(float(size.max()), p=np.inf, output_type="ndarray")
    one, two = near.T
    shared = np.minimum(high[one], high[two]) - np.maximum(low[one], low[two])
    smaller = np.minimum(size.prod(axis=1)[one], size.prod(axis=1)[two])
    over = (shared > 0.8).all(axis=1) & (shared.prod(axis=1) > 0.25 * smaller)
    yield from near[over].tolist()


NAMES = (
    "circuit {:02d} over the long bench at the rear", "Щитовая линия {:02d} у дальнего окна справа",
    "工作台上方的灯和水泵第{:02d}号回路左边靠窗", "circuit_{:02d}_without_a_space_anywhere",
)  # fmt: skip


def other_scripts(raw_data: dict[str, Any]) -> None:
    """Sixty circuits and three stays more, in Latin, Cyrillic and Chinese, with names as long as they may be."""
    raw_data["title"] = "Полевой фургон 湖边 с очень длинным названием и буквами без конца"
    raw_data["use"]["note"] = "Ελληνικά, 中文说明, naïve"
    for n in range(60):
        mains = n % 6 == 5
        name, load = (
            NAMES[n % 4].format(n)[:40],
            f"{('灯', 'лампа', 'lamp')[n % 3]} {n:02d} over the long bench at the rear"[:40],
        )
        system = (
            {"system": "mains", "wire": "12 AWG", "protection": "20 A"}
            if mains
            else {"system": "dc", "wire": "14 AWG", "protection": "10 A"}
        )
        raw_data["circuit"].append({"name": name, "run": "20 ft", **system})
        raw_data["load"].append({"name": load, "class": "kettle" if mains else "led work light", "circuit": name})
    first = raw_data["stay"][0]
    raw_data["stay"] += [{**copy.deepcopy(first), "name": f"another long stay {n} 在湖边"} for n in range(3)]


@pytest.fixture(scope="module")
def papers(demo: Design, changed: Change) -> dict[str, dict[str, bytes]]:
    """The pages of trailers that are hard to print, in both systems of units."""
    empty = design_from({"title": "empty", "trailer": {"length": "3 m", "width": "2 m", "height": "2 m"}})
    designs = {"demo": demo, "other scripts": changed(other_scripts), "empty": empty}
    return {
        f"{name}, {system}": binder.parts(design.replace("units", system), DAY)
        for name, design in designs.items() for system in ("us", "metric")
    }  # fmt: skip


@pytest.mark.parametrize("name", ["demo", "other scripts", "empty"])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_no_text_leaves_its_page_or_its_cell(papers: dict[str, dict[str, bytes]], name: str, system: str) -> None:
    data = papers[f"{name}, {system}"]
    assert outside(data["pdf"]) == []
    assert on_each_other(data["pdf"]) == []
    assert outside(data["labels"], LABEL_EDGE_PT) == []
    assert on_each_other(data["labels"]) == []


@pytest.mark.parametrize("name", ["demo", "other scripts"])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_letters_are_no_smaller_than_can_be_read(papers: dict[str, dict[str, bytes]], name: str, system: str) -> None:
    """Six points, as on the labels; what a formula sets above and below its line apart."""
    assert smallest(papers[f"{name}, {system}"]["pdf"]) >= 5.95
    assert smallest(papers[f"{name}, {system}"]["labels"]) >= 5.95


@pytest.mark.parametrize("name", ["demo", "other scripts", "empty"])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_no_page_is_next_to_empty(papers: dict[str, dict[str, bytes]], name: str, system: str) -> None:
    """But the last, which holds what is left over."""
    pages = list(pypdfium2.PdfDocument(papers[f"{name}, {system}"]["pdf"]))
    assert [n for n, page in enumerate(pages[:-1], start=1) if filled(page) < 0.15] == []


@pytest.mark.parametrize("system", ["us", "metric"])
def test_names_of_every_script_are_whole_in_every_schedule(
    papers: dict[str, dict[str, bytes]],
    system: units.System,
    read_pdf: Callable[[bytes], str],
    strip: Callable[[str], str],
) -> None:
    parts = papers[f"other scripts, {system}"]
    text, tree, rows = read_pdf(parts["pdf"]), json.loads(parts["snapshot"]), 0
    for part in tree["schedules"].values():
        for row in part["rows"]:
            cells = [_shown(key, part["columns"][key]["kind"], row.get(key), system) for key in part["order"]]
            missing = [cell for cell in cells if strip(cell) not in text]
            assert not missing, missing
            rows += 1
    assert rows > 350


def test_the_look_would_see_a_text_that_runs_over() -> None:
    """Two words on each other, and one over the edge, in a page made for it."""
    import typst

    source = "#set page(width: 200pt, height: 200pt, margin: 50pt)\n#place(dx: {}pt)[words]\n#place(dx: 0pt)[cells]"
    apart, over, beyond = (typst.compile(source.format(dx).encode()) for dx in (60, 3, 90))
    assert outside(apart) == [] and on_each_other(apart) == []
    assert on_each_other(over)
    assert outside(beyond)
    assert smallest(apart) == pytest.approx(11.0), "the size that text has when none is said"


@pytest.fixture(scope="module", params=["us", "metric"])
def both(
    request: Any, papers: dict[str, dict[str, bytes]], read_pdf: Callable[[bytes], str]
) -> tuple[str, dict[str, Any], units.System]:
    """The text of the demo's pages, and its snapshot."""
    parts = papers[f"demo, {request.param}"]
    return read_pdf(parts["pdf"]), json.loads(parts["snapshot"]), request.param


def test_every_number_on_paper_is_the_snapshots(
    both: tuple[str, dict[str, Any], units.System], strip: Callable[[str], str]
) -> None:
    text, tree, system = both
    told = 0
    for key, part in (*tree["results"].items(), *tree["schedules"].items()):
        for number in part["numbers"].values() if key != "closing" else ():
            money = number["kind"] == "money"
            shown = (
                f"{number['value']:.2f}"
                if money
                else Quantity(*[number[k] for k in ("title", "value", "kind")]).text(system)
            )
            assert strip(number["title"] + shown) in text, (key, number["title"], shown)
            told += 1
    assert told > 60


def test_every_row_of_every_schedule_is_on_paper_as_the_snapshot_has_it(
    both: tuple[str, dict[str, Any], units.System], strip: Callable[[str], str]
) -> None:
    text, tree, system = both
    rows = 0
    for part in tree["schedules"].values():
        for row in part["rows"]:
            cells = [_shown(key, part["columns"][key]["kind"], row.get(key), system) for key in part["order"]]
            assert strip("".join(cells)) in text, cells
            rows += 1
    assert rows > 120


TAPED = ("run_m", "cut_m", "used_m", "left_m")


def _shown(key: str, kind: str, value: Any, system: units.System) -> str:
    """A cell of a schedule at the precision of the page, from nothing but the snapshot."""
    if isinstance(value, str):
        return value
    if value is None:
        return "–"
    if key in TAPED:
        return tape(value, system)
    if kind == "money":
        return f"{value:.2f}"
    if kind == "count" or key == "rating_a":
        return f"{value:.10g}"
    return Column(key, "", kind).cell(value, system)


def test_a_number_of_another_design_is_not_found(
    both: tuple[str, dict[str, Any], units.System], strip: Callable[[str], str]
) -> None:
    """The look above can fail: one digit of one row changed."""
    text, tree, system = both
    part = tree["schedules"]["cut_list"]
    row = {**copy.deepcopy(part["rows"][5]), "cut_m": part["rows"][5]["cut_m"] + 0.3048}
    cells = [_shown(key, part["columns"][key]["kind"], row.get(key), system) for key in part["order"]]
    assert strip("".join(cells)) not in text


def test_text_that_would_run_somewhere_does_nothing(changed: Change, read_pdf: Any, strip: Any) -> None:
    """Formula, HTML, markup of the page, a path: refused in the design, or there as the letters they are."""
    hostile = (
        "{=cmd|' /C calc'!A0}",
        '#eval("1")',
        "$ x $ *y*",
        "label/etc/passwd",
        "javascript:alert(1)",
        "&lt;b&gt;",
    )

    def spoil(raw_data: dict[str, Any]) -> None:
        for load, name in zip(raw_data["load"], hostile, strict=False):
            for stay in raw_data["stay"]:
                if load["name"] in stay.get("on", {}):
                    stay["on"][name] = stay["on"].pop(load["name"])
            load["name"] = name

    parts = binder.parts(changed(spoil), DAY)
    text = read_pdf(parts["pdf"])
    for name in hostile:
        assert strip(name) in text
    for key, data in parts.items():
        if key.endswith(" csv"):
            cells = [cell for line in data.decode("utf-8-sig").splitlines() for cell in line.split(",")]
            assert not any(cell.strip('"').startswith(("=", "@", "\t")) for cell in cells)
    assert set(parts) == set(binder.FILES) - {"readings"}


def test_every_question_has_its_section_its_drawing_and_its_sheet(demo: Design) -> None:
    assert set(HEADINGS) == set(STUDIES) == set(spreadsheet.SHEETS.values())
    assert set(HEADINGS) <= set(drawings(demo, assess(demo)))


def test_the_start_that_is_drawn_has_a_motor(demo: Design) -> None:
    """A dryer starts as it runs: what is drawn is a motor's start, or nothing."""
    start = drawings(demo, assess(demo))["start"]
    assert (
        start.shows == "What happens if roof cooler is started on the generator" and "Nothing to draw" not in start.svg
    )
    still = demo.replace_all({("load", "roof cooler", "class"): "space heater"})
    assert "start" not in drawings(still, assess(still))
