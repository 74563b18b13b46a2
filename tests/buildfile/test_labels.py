"""Labels: every one lies inside its place and its text inside its edge, or is refused with a sentence."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from itertools import combinations

import pytest

import trailerlib as tl
from trailerlib.buildfile import binder, comma_files, labels
from trailerlib.buildfile.label_sheets import PAPERS_MM, stocks
from trailerlib.buildfile.label_texts import Label
from trailerlib.buildfile.type_width import width_mm
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies import assess
from trailerlib.studies.schedules import schedules

LONG = "a circuit with a name of forty letters x"


def of(design: Design, name: str | None = None, skip: int = 0) -> labels.Sheets:
    return labels.sheets(design, schedules(design, assess(design)), name, skip)


@pytest.fixture(scope="module")
def demo() -> Design:
    return tl.read_design(tl.shipped_trailers()["fen-survey"])


@pytest.mark.parametrize("name", [None, *stocks()])
def test_every_label_is_on_the_paper_apart_from_its_neighbours_and_holds_its_text(demo, name):
    found = of(demo, name)
    wide, high = PAPERS_MM[found.stock.paper]
    assert found.placed or found.refused
    for one in found.placed:
        slot = one.slot
        assert (
            slot.x >= 0 and slot.y >= 0 and slot.x + slot.width <= wide + 0.01 and slot.y + slot.height <= high + 0.01
        )
        for line in one.lines:
            assert line.x + width_mm(line.text, line.size, line.bold) <= slot.width + 0.01, line.text
            assert 0.0 < line.y <= slot.height
    for a, b in combinations([one.slot for one in found.placed], 2):
        apart = a.x + a.width <= b.x + 0.01 or b.x + b.width <= a.x + 0.01
        assert a.page != b.page or apart or a.y + a.height <= b.y + 0.01 or b.y + b.height <= a.y + 0.01


def test_everything_that_guards_or_ends_has_a_label(demo):
    found = of(demo)
    said = " ".join(line.text for one in found.placed for line in one.lines) + " ".join(found.refused)
    for circuit in demo.circuits:
        assert circuit.name in said, circuit.name
    assert {one.label.kind for one in found.placed} >= {"fuse", "breaker", "disconnect", "inlet"}


def test_text_that_does_not_fit_is_refused_with_a_sentence():
    sheet = min((one for one in stocks().values() if not one.plain), key=lambda one: one.size[0] * one.size[1])
    label = Label("fuse", "", "a" * 60)
    assert labels.fit(label, *sheet.size) is None
    said = labels.refusal(label, sheet)
    assert "mm" in said and "a" * 40 in said and said.endswith(".") and "\n" not in said
    assert labels.fit(replace(label, name="lights"), *sheet.size) is not None
    assert labels.fit(replace(label, mark="a" * 60, name=""), *sheet.size) is None, "a mark wider than the label"


def test_letters_that_the_type_cannot_draw_are_refused(demo):
    label = Label("fuse", "", "משאבה")
    assert labels.fit(label, 60.0, 25.0) is None
    assert "write it by hand" in labels.refusal(label, stocks()["plain letter"])


@pytest.mark.parametrize(
    "name", ["水泵和书桌上方的工作灯（左边）", "書斎のランプとコーヒー沸かし", "책상 위 램프와 물 펌프"]
)
def test_chinese_japanese_and_korean_are_set_and_inside_their_label(name):
    lines = labels.fit(Label("fuse", "F2.1", name, "10 A"), 50.0, 12.0)
    assert lines is not None and name.replace(" ", "") in "".join(line.text for line in lines).replace(" ", "")
    assert all(line.x + width_mm(line.text, line.size, line.bold) <= 50.0 for line in lines)


def test_a_sheet_that_was_begun_goes_on(demo):
    name = next(key for key, one in stocks().items() if not one.plain)
    whole, begun = of(demo, name), of(demo, name, skip=3)
    assert begun.placed[0].slot == whole.placed[3].slot


def test_no_such_sheet_is_one_sentence(demo):
    with pytest.raises(DesignError, match="sheet"):
        of(demo, "no such sheet")


def test_the_same_labels_are_the_same_bytes(demo):
    first, again = (labels.printed(of(demo), demo.title) for _ in range(2))
    assert first == again and first.startswith(b"%PDF")


def test_a_cell_never_begins_like_a_formula_and_every_row_is_there(demo):
    built = schedules(demo, assess(demo))
    for key, text in comma_files.files(built, "us").items():
        rows = list(csv.reader(io.StringIO(text.decode("utf-8-sig"))))
        assert len({len(row) for row in rows}) == 1, key
        for cell in (cell for row in rows for cell in row if cell):
            assert cell[0] not in "=+@\t" and (cell[0] != "-" or cell.lstrip("-")[:1].isdigit()), cell
    cut = comma_files.files(built, "us")["cut_list csv"].decode("utf-8-sig")
    assert all(circuit.name in cut for circuit in demo.circuits)


def test_long_names_and_many_circuits_are_printed_or_refused_never_lost(demo):
    raw = dict(demo.raw)
    first = next(one for one in raw["circuit"] if one["system"] == "dc")
    raw["circuit"] = [*raw["circuit"], *({**first, "name": f"{LONG[:36]} {k:02d}", "run": "9 ft"} for k in range(50))]
    many = tl.design_from(raw)
    found = of(many)
    assert len(found.placed) + len(found.refused) >= len(many.circuits)
    assert binder.parts(many, "2026-11-25")["labels"].startswith(b"%PDF")
