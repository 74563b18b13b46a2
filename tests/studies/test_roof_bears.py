"""What each bow, cut end and trimmer carries: the sums follow the load down to the walls, and the words say them."""

from __future__ import annotations

import random
import re
from typing import Any

import pytest
from roofs import box, hole

import trailerlib as tl
from trailerlib.studies.roof import bears, build_up
from trailerlib.studies.roof.result import result_of

G, LB, INCH = 9.80665, 0.45359237, 0.0254


def told(design: tl.Design, name: str) -> tuple[bears.Bears, ...]:
    found = result_of(design)
    assert found.framing is not None
    return bears.bears(found.framing, found.carried[name])


def unit(name: str, x: float, kg: float, y: float = 1.0, **more: Any) -> dict[str, Any]:
    return hole(name, x, y, mass=f"{kg} kg", **more)


def test_the_sums_lead_to_the_walls_whatever_is_cut() -> None:
    """Invariant, forty roofs from a seed: what is put on is what the walls carry, for each bow and together; 1e-9.

    The walls are those of the beams' own reactions, the rest is what was put on them.
    """
    dice, cut, shared = random.Random(11), 0, 0
    for _ in range(40):
        ends = sorted(dice.choice([0, 10, 50, 90]) for _ in range(2))
        openings = [
            unit("cooler", dice.uniform(0.6, 1.4), dice.uniform(1, 90), dice.uniform(0.5, 1.5), headers=True),
            unit("fan", dice.uniform(1.5, 2.2), dice.uniform(1, 20), dice.uniform(0.5, 1.5), headers=True),
        ]
        design = box(openings, {"ends": [f"{end} %" for end in ends], "spacing": f"{dice.uniform(0.35, 0.6)} m"})
        found = result_of(design)
        for name, one in found.carried.items():
            bows = told(design, name)
            for bow in bows:
                assert bow.walls_kg == pytest.approx(
                    bow.own_kg + bow.gets_kg - bow.hands_kg, abs=1e-9 + 1e-9 * one.mass_kg
                )
            gets, hands = sum(b.gets_kg for b in bows), sum(b.hands_kg for b in bows)
            assert gets == pytest.approx(one.mass_kg + hands, rel=1e-9)
            assert sum(bears.trimmers_kg(one)) == pytest.approx(gets, rel=1e-9)
            assert sum(b.walls_kg for b in bows) == pytest.approx(one.mass_kg + sum(b.own_kg for b in bows), rel=1e-9)
            assert sum(one.share) == pytest.approx(1.0) and min(one.share) >= 0.0
            cut += any(b.cut for b in bows)
            shared += len(found.carried) == 2
    assert cut > 15 and shared > 10


def test_a_cut_bow_by_hand() -> None:
    """Stubs of 0.8 m that hinge at the walls: half of each leans on the trimmers; both bows beside get half of all."""
    design = box([unit("cooler", 1.25, 50.0, headers=True)])
    framing = result_of(design).framing
    assert framing is not None
    per_m = framing.per_m_n / G
    before, between, behind = told(design, "cooler")
    assert [b.name for b in (before, between, behind)] == ["bow 2", "bow 3", "bow 4"]
    assert (before.cut, between.cut, behind.cut) == (False, True, False)
    assert between.hands_kg == pytest.approx(0.8 * per_m) and between.own_kg == pytest.approx(1.6 * per_m)
    for beside in (before, behind):
        assert beside.gets_kg == pytest.approx((50 + 0.8 * per_m) / 2)
    assert between.walls_kg == pytest.approx(0.8 * per_m) and before.own_kg == pytest.approx(2.0 * per_m)


def test_others_on_the_same_bow_are_its_own_load() -> None:
    """Cooler on bows 2 and 3, fan on 3 and 4: bow 3 has half of the one beside what it gets of the other."""
    design = box([unit("cooler", 1.0, 50.0), unit("fan", 1.5, 30.0)])
    cooler, fan = told(design, "cooler"), told(design, "fan")
    assert [b.name for b in cooler] == ["bow 2", "bow 3"] and [b.name for b in fan] == ["bow 3", "bow 4"]
    assert cooler[1].own_kg - cooler[0].own_kg == pytest.approx(15.0) and cooler[1].gets_kg == pytest.approx(25.0)
    assert fan[0].own_kg - fan[1].own_kg == pytest.approx(25.0) and fan[0].gets_kg == pytest.approx(15.0)
    assert cooler[1].walls_kg == pytest.approx(fan[0].walls_kg), "the same bow"


def test_what_a_builder_reads(demo: tl.Design) -> None:
    """The words and the table give one another's numbers."""
    also = tl.study("roof", demo).besides[1]
    assert also.title == "What each bow carries"
    rows = [row for row in also.rows if row["what"] == "roof fan"]
    assert [row["bow"] for row in rows] == ["bow 5", "bow 6, cut", "bow 7", "together"]
    for key in bears.SUMS:
        assert rows[-1][key] == pytest.approx(sum(row[key] for row in rows[:-1]))
    words = re.search(r"roof fan: (.*?\.) ", also.note.replace("lb.", "lb.")).group(1)  # type: ignore[union-attr]
    weight, leans, *_ = (float(x) for x in re.findall(r"([\d.]+) lb", also.note.partition("roof fan:")[2]))
    assert weight == pytest.approx(6 / LB, abs=0.05) and leans == pytest.approx(rows[1]["hands_kg"] / LB, abs=0.05)
    assert "whose cut ends lean on them" in also.note and words
    text = tl.study("roof", demo).text()
    assert "bow 6, cut" in text and "they hand" in text
    steps = {step.title: step.value for step in tl.study("roof", demo, opening="roof fan").working}
    assert steps["What a header hands to a neighbour bow"] == pytest.approx(rows[1]["hands_kg"] * G / 2), "midway"


def test_the_neighbour_gets_by_the_lever() -> None:
    """Two whole bows and one cut: the nearer whole one gets more of what leans, as the working says."""
    design = box([unit("cooler", 1.25, 1e-3, headers=True)])
    found = result_of(design).carried["cooler"]
    steps = {step.title: step.value for step in tl.study("roof", design).working}
    assert steps["What a header hands to a neighbour bow"] == pytest.approx(found.leans_n[1].sum(), rel=1e-3)
    whole = tl.study("roof", box([unit("cooler", 1.0, 50.0)])).working
    assert "What a header hands to a neighbour bow" not in {step.title for step in whole}


def test_the_worst_bolt_by_its_formula(demo: tl.Design) -> None:
    """Four, eight or twelve bolts alike on each side: one line gives the pull; with five it does not, and is not shown."""
    for count, shown in ((4, True), (8, True), (12, True), (5, False), (6, False)):
        design = demo.replace(("opening", "roof cooler", "bolts"), count)
        answer = tl.study("roof", design, opening="roof cooler")
        steps = {step.title: step.value for step in answer.working}
        assert ("Pull of one bolt of an even group" in steps) is shown, count
        if shown:
            pull = steps["Pull of one bolt of an even group"]
            assert pull == pytest.approx(answer.value("bolt_kg") * G, rel=1e-9), count


def test_the_saw_by_hand(demo: tl.Design) -> None:
    """Two strips of 1 1/2 in with 1/8 in kerf off 12 in leave 8 3/4 in; 1/4 in is dust."""
    (frame,) = build_up.frames(demo)
    assert frame.left_m is not None and frame.dust_m is not None
    assert (frame.ripped, frame.of_last) == (2, 2)
    assert (frame.left_m / INCH, frame.dust_m / INCH) == (pytest.approx(8.75), pytest.approx(0.25))
    assert [size / INCH for size in frame.outer] == pytest.approx([21.0, 27.0])
    narrow = {"thickness": "1/4 in", "width": "3 in", "length": "4 ft", "name": "strip"}
    (two,) = build_up.frames(demo.replace(("board",), [narrow]))
    assert (two.strips, two.boards, two.ripped, two.of_last) == (1, 2, 2, 1)
    assert two.left_m is not None and two.left_m / INCH == pytest.approx(1.375)
    note = tl.study("roof", demo).besides[0].note
    assert "rip 2 strips of 1.50 in" in note and "8.75 in is left and 0.250 in goes to the saw" in note
    assert "18.0 in by 24.0 in inside and 21.0 in by 27.0 in outside" in note
    steps = {step.title: step.value for step in tl.study("roof", demo, opening="door window").working}
    assert steps["Left over of a board"] == pytest.approx(frame.left_m)
    assert steps["Sawdust of a board"] == pytest.approx(frame.dust_m)
    assert steps["Strips from a board"] == frame.strips
