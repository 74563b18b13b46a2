"""What a change buys, worked out for all changes stacked, and thousands of boxes in one run."""

from __future__ import annotations

import numpy as np
import pytest
from box_by_hand import FOAM, PARTS, SET_C, by_hand, march, nodes_of

import trailerlib as tl
from trailerlib.physics.enclosure import Box
from trailerlib.physics.enclosure_run import Drive
from trailerlib.studies.cooling import buys, hold
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling.case import Case


@pytest.fixture(scope="module")
def box(demo: tl.Design) -> tl.Design:
    return by_hand(demo)


def test_ten_thousand_boxes_in_one_run(box: tl.Design) -> None:
    """A sweep: every box with its own walls, leaks, contents and sun; five of them by themselves give the same."""
    case, dice, many = heat.case_of(box), np.random.default_rng(5), 10_000
    scale = dice.uniform(0.3, 3.0, (len(Box.__dataclass_fields__), many))
    boxes = Box(*(getattr(case.box, key) * scale[n] for n, key in enumerate(Box.__dataclass_fields__)))
    drive, warmer, sunnier = case.drive, dice.uniform(-5, 8, (many, 1)), dice.uniform(0.2, 3.0, (many, 1))
    drives = Drive(drive.outside_c + warmer, drive.fabric_c + warmer, drive.air_w[None], drive.mass_w * sunnier)
    run = hold.held_over(boxes, drives, SET_C)
    assert run.added_w.shape == (many, 576)
    for n in (0, 17, 4321, 7777, 9999):
        one = Box(*(float(getattr(boxes, key)[n]) for key in Box.__dataclass_fields__))
        alone = hold.held_over(one, Drive(*(part[min(n, len(part) - 1)] for part in vars(drives).values())), SET_C)
        for key in ("air_c", "mass_c", "added_w"):
            assert getattr(run, key)[n] == pytest.approx(getattr(alone, key), rel=1e-9, abs=1e-9)


def test_what_a_change_buys_is_what_the_changed_design_gives(box: tl.Design) -> None:
    """The table runs all changes stacked; each row is the study of that design by itself."""
    rows = {row["change"]: row for row in buys.rows(box, SET_C)}
    for words, changed in [("as it stands", box), *buys.changes(box)]:
        answer = tl.study("cooling", changed)
        assert rows[words]["peak_c"] == pytest.approx(answer.value("free_c"), abs=1e-6), words
        assert rows[words]["cold_w"] == pytest.approx(answer.value("asked_w"), rel=5e-3), words
    assert len(rows) == 6 and rows["half the leaks"]["saves_w"] > 0
    first = rows["as it stands"]
    for row in rows.values():
        assert row["saves_k"] is None or row["saves_k"] == pytest.approx(first["peak_c"] - row["peak_c"])


def test_what_the_changes_are(box: tl.Design) -> None:
    """An inch more is two inches, four fifths of shade, half of 0.7 air changes."""
    by_path = {"one inch more extruded polystyrene in the walls": (("face", "walls", "layers", FOAM), "2 in"),
               "one inch more extruded polystyrene in the roof": (("face", "roof", "layers", FOAM), "2 in"),
               "shade: 80 % of the direct sun kept off": (("envelope", "shade"), "80 %"),
               "half the leaks": (("envelope", "leakage"), 0.35)}  # fmt: skip
    found = {row["change"]: row["peak_c"] for row in buys.rows(box, SET_C)}
    for words, (path, value) in by_path.items():
        assert found[words] == pytest.approx(tl.study("cooling", box.replace(path, value)).value("free_c"), abs=1e-4), (
            words
        )
    dark = box.replace("envelope.roof_skin", "dark paint")
    white = next(row for row in buys.rows(dark, SET_C) if row["change"] == "a white roof")
    assert white["peak_c"] == pytest.approx(found["as it stands"]) and white["saves_k"] > 1


def test_the_fan_by_day_by_hand(box: tl.Design) -> None:
    """As cracked it draws in its flow, leaks and all: the box with that for leaks, against an integrator."""
    answer = tl.study("cooling", box)
    (row,) = [row for row in buys.rows(box, SET_C) if row["change"].startswith("the fan on")]
    flow = answer.value("fan_flow")
    volume = box.trailer.height * box.trailer.width * (box.trailer.length + box.trailer.nose / 2)
    apart = march(nodes_of(box.replace("envelope.leakage", 3600 * flow / volume)), 20.0, 8, lambda _, air: 0.0)
    assert row["peak_c"] == pytest.approx(apart[0].max(), abs=0.01)
    assert row["cold_w"] is None and row["saves_w"] is None


def test_stacked_cases_keep_their_order(box: tl.Design) -> None:
    cases: list[Case] = [heat.case_of(changed) for _, changed in buys.changes(box)]
    boxes, drives = hold.stacked(cases)
    peaks = heat.last_day(hold.free_over(boxes, drives).air_c).max(axis=-1)
    assert [float(hold.free_c(case).max()) for case in cases] == pytest.approx(peaks.tolist(), abs=1e-9)


def test_the_demo_of_the_sums_is_the_demo(demo: tl.Design) -> None:
    """What is written down for the sums names parts that the demo has too."""
    assert {face["name"] for face in PARTS["face",]} == {face.name for face in demo.faces}
    assert {hole["name"] for hole in PARTS["opening",]} <= {hole.name for hole in demo.openings}
