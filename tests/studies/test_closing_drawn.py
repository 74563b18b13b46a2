"""What the pictures of the closing-in test rest on: rounds, the way of the current, the spots that were read."""

from __future__ import annotations

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.studies.closing.along import along
from trailerlib.studies.closing.block import Fault
from trailerlib.studies.closing.diagnose import Candidate, Diagnosis
from trailerlib.studies.closing.drawn import picture_of
from trailerlib.studies.closing.rounds import AT_ONCE, rounds_of
from trailerlib.studies.closing.sheet import sheet_of

TRAILERS = tl.shipped_trailers()


@pytest.fixture(scope="module", params=sorted(TRAILERS))
def trailer(request):
    return tl.read_design(TRAILERS[request.param])


@pytest.fixture(scope="module")
def fen():
    return tl.read_design(TRAILERS["fen-survey"])


def test_every_line_is_in_one_round_and_a_round_is_a_handful(trailer):
    sheet, rounds = sheet_of(trailer), rounds_of(sheet_of(trailer))
    keys = [key for one in rounds for key in one.keys]
    assert sorted(keys) == sorted(sheet.by_key)
    assert max(len(one.keys) for one in rounds) <= AT_ONCE
    assert len({one.name for one in rounds}) == len(rounds)
    assert all(one.line.stage == group.stage for group in rounds for one in group.lines)
    assert all(one.line.routine is group.routine for group in rounds for one in group.lines)


def test_rounds_come_in_the_order_a_person_walks(trailer):
    stages = [one.stage for one in rounds_of(sheet_of(trailer))]
    assert stages == sorted(stages, key=("dead", "battery", "mains").index)


def loads(design):
    sheet = sheet_of(design)
    return [key.split("/")[1] for key in sheet.by_key if key.startswith("alone/") and key.endswith("/volts")]


def test_the_way_ends_at_what_the_sheet_expects_at_the_load(trailer):
    """The sheet solves the network line by line; the way adds up drop by drop: invariant."""
    sheet = sheet_of(trailer)
    for load in loads(trailer):
        for state in (f"alone/{load}", "all"):
            way = along(trailer, sheet, {}, state, load)
            asked = f"{state}/volts" if state != "all" else f"all/{load}/volts"
            plus, minus = way.out[-1].volts, way.back[-1].volts
            assert plus - minus == pytest.approx(sheet.of(asked).value, abs=1e-9)
            assert way.path.load_v == pytest.approx(plus - minus, abs=1e-9)
            assert way.path.emf_v - way.path.lost_v == pytest.approx(way.path.load_v, abs=1e-9)


def test_a_drop_covers_the_parts_that_its_line_measures(trailer):
    sheet = sheet_of(trailer)
    for load in loads(trailer):
        way = along(trailer, sheet, {}, f"alone/{load}", load)
        assert {d.expected.line.key.split("/")[-1] for d in way.drops if "/part/" not in d.expected.line.key} >= {
            "fuse drop", "feed drop", "return drop",
        }  # fmt: skip
        for drop in way.drops:
            parts = way.out if drop.way == "out" else way.back
            total = sum(part.lost_v for part in parts[drop.first : drop.last + 1])
            assert total == pytest.approx(drop.expected.value, rel=1e-9), drop.expected.line.key


def test_the_band_of_the_first_part_is_that_of_its_own_line(fen):
    """One part from the post: the band of the way and of the line over that part are the same band."""
    sheet = sheet_of(fen)
    way = along(fen, sheet, {}, "all", None)
    line, part = sheet.of("all/part/battery lug out"), way.out[0]
    assert way.post_v - part.volts == pytest.approx(line.value, rel=1e-9)
    assert part.high - part.volts == pytest.approx(line.high - line.value, rel=1e-6)
    assert part.volts - part.low == pytest.approx(line.value - line.low, rel=1e-6)


def test_the_band_widens_along_the_way(trailer):
    for load in loads(trailer):
        way = along(trailer, sheet_of(trailer), {}, "all", load)
        for parts in (way.out, way.back):
            width = np.array([part.high - part.low for part in parts])
            assert (np.diff(width) > -1e-12).all()


def test_readings_as_expected_lie_on_the_drawn_way(fen):
    sheet = sheet_of(fen)
    readings = {one.line.key: one.value for one in sheet.expected if one.line.key.startswith("alone/work lights/")}
    way = along(fen, sheet, readings, "alone/work lights", "work lights")
    for side, parts, start in (("out", way.out, way.post_v), ("back", way.back, 0.0)):
        for spot in way.spots(side):
            drawn = start if spot.behind == 0 else parts[spot.behind - 1].volts
            assert spot.volts == pytest.approx(drawn, abs=1e-9)


def test_a_drop_that_was_read_moves_all_behind_it(fen):
    sheet = sheet_of(fen)
    key = "alone/work lights/fuse drop"
    way = along(fen, sheet, {key: 0.5}, "alone/work lights", "work lights")
    drop = next(d for d in way.drops if d.expected.line.key == key)
    by_behind = {spot.behind: spot for spot in way.spots("out")}
    assert by_behind[drop.first].volts - by_behind[drop.last + 1].volts == pytest.approx(0.5)
    assert not by_behind[drop.last + 1].assumed
    last = by_behind[len(way.out)]
    assert last.assumed
    assert way.out[-1].volts - last.volts == pytest.approx(0.5 - drop.expected.value)
    assert way.spots("back") == ()


def claimed(*faults, share=1.0):
    return Diagnosis((Candidate(faults, share, 0.5, 0.4, 0.6, 2.0),), 0.0, True, 3)


def test_suspects_accuse_their_parts_and_name_their_places(fen):
    sheet = sheet_of(fen)
    fault = next(
        s.fault for b in sheet.blocks for s in b.faults if s.fault.key == "extra resistance/terminal of usb out"
    )
    picture = picture_of(fen, sheet, claimed(fault), {}, "alone/USB at the bunk/volts")
    (suspect,) = picture.suspects
    assert suspect.places == fault.places
    accused = [part.name for part in (*picture.along.out, *picture.along.back) if suspect.accuses(part)]
    assert accused == ["terminal of usb out"]


def test_a_thin_wire_accuses_all_of_its_run_and_no_other(fen):
    sheet = sheet_of(fen)
    fault = next(s.fault for b in sheet.blocks for s in b.faults if s.fault.key == "run/usb")
    picture = picture_of(fen, sheet, claimed(fault), {}, "alone/USB at the bunk/volts")
    accused = [p.name for p in (*picture.along.out, *picture.along.back) if picture.suspects[0].accuses(p)]
    assert accused
    assert all(name.startswith("wire of usb") for name in accused)


def test_nothing_is_suspected_without_readings_or_while_all_is_well(fen):
    sheet = sheet_of(fen)
    fault = Fault("x", "extra resistance", "fuse of usb", "", "", 1.0)
    for quiet in (
        Diagnosis((Candidate((fault,), 1.0),), 0.0, True, 0),
        Diagnosis((Candidate((fault,), 0.3),), 0.7, False, 9),
    ):
        assert picture_of(fen, sheet, quiet, {}, None).suspects == ()


def test_a_mains_line_shows_all_of_its_circuit(fen):
    sheet = sheet_of(fen)
    picture = picture_of(fen, sheet, Diagnosis((), 1.0, False, 0), {}, "bare/bench outlets/hot ground")
    assert picture.along is None
    assert {gauge.line.circuit for gauge in picture.gauges} == {"bench outlets"}
    assert {gauge.line.key.split("/")[0] for gauge in picture.gauges} == {"bare", "trip", "load"}
