"""The drawings of many designs: what is drawn, where it lies, what is marked."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.pictures.trade_axes import BOTTOM, TOP, trade_axes
from trailerlib.pictures.trade_marks import Scale, others_drawn, unbeaten_drawn
from trailerlib.pictures.trade_scatter import BOTTOM as FLOOR
from trailerlib.pictures.trade_scatter import LEFT, RIGHT, WIDTH, trade_scatter
from trailerlib.pictures.trade_scatter import TOP as ROOF
from trailerlib.studies import trade_offs
from trailerlib.studies.trade_offs.question import KEYS

AXES = {"battery.capacity": ["60 Ah", "100 Ah", "200 Ah"], "battery.chemistry": ["agm", "lfp"],
        "feeder.wire": ["8 AWG", "6 AWG", "4 AWG"]}  # fmt: skip


@pytest.fixture(scope="module")
def seen():
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    result = trade_offs.sweep(design, AXES, KEYS, questions=("night", "towing"))
    return design, result


def answered(seen, **limits):
    design, result = seen
    return trade_offs.answer(design, trade_offs.trade_of(result, design, limits=limits))


def lines(svg: str) -> list[list[tuple[float, float]]]:
    return [
        [tuple(map(float, point.split(","))) for point in points.split()]
        for points in re.findall(r'<polyline points="([^"]+)"', svg)
    ]


def test_every_unbeaten_candidate_is_a_line_that_says_what_it_is(seen):
    answer = answered(seen)
    svg = trade_axes(answer)
    drawn = unbeaten_drawn(answer.picture)
    assert drawn == answer.picture.unbeaten.tolist()
    for row in drawn:
        assert svg.count(f"<title>candidate {row}: ") == 1


def test_lower_is_better_on_every_axis(seen):
    answer = answered(seen)
    trade = answer.picture
    for key in trade.by:
        best = np.nanmin if trade.result.better(key) == "less" else np.nanmax
        row = int(np.flatnonzero(trade.result.metrics[key] == best(trade.result.metrics[key]))[0])
        svg = trade_axes(answer, focus=row)
        (line,) = [points for points in lines(svg) if len(points) == len(trade.by)][-1:]
        place = list(trade.by).index(key)
        others = [points[place][1] for points in lines(svg) if len(points) == len(trade.by)]
        assert line[place][1] == max(others)
        assert all(TOP <= y <= BOTTOM for y in others)


def test_the_present_design_and_the_limit_are_marked(seen):
    svg = trade_axes(answered(seen))
    with_limit = trade_axes(answered(seen, cost=(None, 3900.0)))
    more = with_limit.count("var(--trailer-stop") - svg.count("var(--trailer-stop")
    assert more == 1
    assert "as it is" in svg


def test_the_numbers_beside_the_candidate_in_focus_are_its_own(seen):
    answer = answered(seen)
    row = int(answer.picture.unbeaten[0])
    svg = trade_axes(answer, focus=row)
    result = answer.picture.result
    assert f">{tl.units.show(result.metrics['mass_kg'][row], 'mass', 'us')}</text>" in svg
    assert f">{tl.times.span(result.metrics['reserve_h'][row])}</text>" in svg


def test_a_metric_that_is_not_known_breaks_the_line(seen):
    design, result = seen
    row, kept = 0, result.metrics["reserve_h"][0]
    result.metrics["reserve_h"][row] = math.nan
    try:
        seen_anew = trade_offs.trade_of(result, design, limits={})
        svg = trade_axes(trade_offs.answer(design, seen_anew), focus=row)
    finally:
        result.metrics["reserve_h"][row] = kept
    assert "nan" not in svg
    assert any(len(points) == len(seen_anew.by) - 1 for points in lines(svg))


def test_dots_lie_where_their_numbers_are(seen):
    answer = answered(seen)
    trade = answer.picture
    row = int(trade.unbeaten[-1])
    svg = trade_scatter(answer, focus=row, across="cost", up="reserve_h")
    spots = [
        (float(x), float(y), float(r))
        for x, y, r in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"', svg)
    ]
    x, y, radius = spots[-1]
    across, up = Scale.of(trade, "cost"), Scale.of(trade, "reserve_h")
    assert x == pytest.approx(across.axis(LEFT, WIDTH - RIGHT)(trade.result.metrics["cost"][row]), abs=0.06)
    assert y == pytest.approx(up.axis(FLOOR, ROOF)(trade.result.metrics["reserve_h"][row]), abs=0.06)
    assert radius == 6.5
    assert len(spots) >= len(trade.unbeaten) + 2
    assert up.low < trade.here["reserve_h"] < up.high


def test_no_more_is_drawn_than_can_be_seen():
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    axes = [trade_offs.evenly("battery.capacity", "50 Ah", "250 Ah", 160), trade_offs.steps("battery.chemistry", ["agm", "lfp", "gel"]),
            trade_offs.evenly("cargo.plant presses.mass", "40 lb", "200 lb", 12)]  # fmt: skip
    result = trade_offs.sweep(design, axes, ("cost", "mass_kg", "reserve_h", "worst_drop", "fuel_day_l"))
    trade = trade_offs.trade_of(result, design, limits={})
    assert len(trade.unbeaten) > 120
    assert len(unbeaten_drawn(trade)) <= 120
    assert len(others_drawn(trade, [])) <= 60
    assert len(trade_axes(trade_offs.answer(design, trade))) < 150_000


def test_on_paper_colours_are_written_out(seen):
    for draw in (trade_axes, trade_scatter):
        assert "var(--" not in draw(answered(seen), ink="paper").replace("var(--jp", "")
