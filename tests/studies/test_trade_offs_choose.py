"""Choosing: the unbeaten set against brute force, limits, why one lost, the nearest that passes, what matters."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trade_axes import FEN, known

import trailerlib as tl
from trailerlib.studies import trade_offs
from trailerlib.studies.trade_offs import Span, choose, unbeaten
from trailerlib.studies.trade_offs.matters import matters
from trailerlib.studies.trade_offs.tolerance import tolerance

WAYS = ("less", "more")


def worse(one: float, other: float, way: str) -> bool:
    """Whether one value is worse than another; what is not known is worse than what is."""
    if math.isnan(one):
        return not math.isnan(other)
    if math.isnan(other):
        return False
    return one > other if way == "less" else one < other


def by_brute_force(table: np.ndarray, ways: tuple[str, ...]) -> list[bool]:
    """Every row held against every other, value by value."""
    found = []
    for row in table:
        beaten = False
        for other in table:
            no_worse = not any(worse(b, a, way) for a, b, way in zip(row, other, ways, strict=True))
            better = any(worse(a, b, way) for a, b, way in zip(row, other, ways, strict=True))
            beaten = beaten or (no_worse and better)
        found.append(not beaten)
    return found


def a_table(rng: np.random.Generator) -> tuple[np.ndarray, tuple[str, ...]]:
    rows, columns = int(rng.integers(1, 28)), int(rng.integers(1, 6))
    kind = rng.integers(0, 4)
    table = rng.integers(0, 4, (rows, columns)).astype(float) if kind < 3 else rng.normal(size=(rows, columns))
    table[rng.random(table.shape) < (0.0, 0.15, 0.5, 0.1)[kind]] = np.nan
    table[rng.random(table.shape) < 0.03] = np.inf
    return table, tuple(rng.choice(WAYS, columns))


def test_the_unbeaten_of_two_thousand_tables_are_those_of_brute_force():
    rng = np.random.default_rng(20)
    sizes = []
    for _ in range(2000):
        table, ways = a_table(rng)
        found = unbeaten(list(table.T), ways).tolist()
        assert found == by_brute_force(table, ways), (table, ways)
        sizes.append(sum(found))
    assert min(sizes) == 1
    assert max(sizes) > 10, "no table in which many stand side by side"


@pytest.mark.parametrize("columns", [2, 4])
def test_a_large_table_block_by_block(columns):
    """More than fits into one block, with many ties."""
    rng = np.random.default_rng(columns)
    table = rng.integers(0, 12, (3000, columns)).astype(float)
    ways = tuple(rng.choice(WAYS, columns))
    found = unbeaten(list(table.T), ways)
    signed = table * np.where(np.array(ways) == "less", 1.0, -1.0)
    no_worse = (signed[:, None, :] <= signed[None, :, :]).all(axis=2)
    better = (signed[:, None, :] < signed[None, :, :]).any(axis=2)
    assert (found == ~(no_worse & better).any(axis=0)).all()


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(*[st.sampled_from([0.0, 1.0, 2.0, math.nan])] * 3), min_size=1, max_size=12), st.randoms())
def test_order_and_copies_change_nothing(rows, chance):
    table = np.array(rows)
    ways = ("less", "more", "less")
    found = unbeaten(list(table.T), ways)
    order = list(range(len(table)))
    chance.shuffle(order)
    assert (unbeaten(list(table[order].T), ways) == found[order]).all()
    assert unbeaten(list(np.concatenate([table, table]).T), ways).tolist() == [*found, *found]


def test_minus_zero_and_zero_are_alike():
    assert unbeaten([np.array([0.0, -0.0])], ["less"]).all()


AXES = {name: FEN[name] for name in ("battery.capacity", "battery.chemistry", "feeder.wire", "circuit.roof fan.wire")}
BY = ("cost", "mass_kg", "reserve_h")


@pytest.fixture(scope="module")
def result():
    return trade_offs.sweep(known("fen-survey"), AXES, (*BY, "worst_drop"))


def row_with(result, **wanted):
    frame = result.frame()
    same = np.ones(len(frame), dtype=bool)
    for name, value in wanted.items():
        same &= frame[name.replace("__", ".").replace("_fan", " fan")] == value
    return int(np.flatnonzero(same)[0])


def test_limits_keep_what_is_within_and_not_what_is_not_known(result):
    reserve = result.metrics["reserve_h"]
    held = trade_offs.passing(result, {"reserve_h": (4.0, None), "cost": (None, 3900.0)})
    assert 0 < held.sum() < result.count
    assert held.tolist() == [r >= 4.0 and c <= 3900.0 for r, c in zip(reserve, result.metrics["cost"], strict=True)]
    result.metrics["reserve_h"][3] = math.nan
    try:
        assert not trade_offs.passing(result, {"reserve_h": (-1e9, None)})[3]
    finally:
        result.metrics["reserve_h"][3] = reserve[3]
    with pytest.raises(tl.DesignError, match="was not measured"):
        trade_offs.passing(result, {"peak_c": (None, 40.0)})


def test_the_best_are_found_among_those_allowed_only(result):
    allowed = trade_offs.passing(result, {"reserve_h": (4.0, None)})
    found = trade_offs.best(result, BY, allowed)
    assert found.any()
    assert not (found & ~allowed).any()
    signed = np.array([result.metrics[k] * (1 if result.better(k) == "less" else -1) for k in BY])
    for row in np.flatnonzero(allowed):
        beaten = ((signed <= signed[:, [row]]).all(axis=0) & (signed < signed[:, [row]]).any(axis=0) & allowed).any()
        assert found[row] == (not beaten)


def test_why_names_the_limit_that_is_broken_with_both_numbers(result):
    row = int(np.nanargmin(result.metrics["reserve_h"]))
    said = trade_offs.why(result, row, BY, {"reserve_h": (4.0, None)})
    assert said.by is None
    assert said.sentence.startswith("It is not allowed: the reserve after the night is ")
    assert "at least 4 h is asked" in said.sentence


def test_why_names_one_that_beats_it_and_by_what(result):
    allowed = trade_offs.passing(result, {})
    lost = np.flatnonzero(~trade_offs.best(result, BY, allowed))
    for row in lost[:: max(1, len(lost) // 40)]:
        said = trade_offs.why(result, int(row), BY, {})
        assert said.by is not None
        better = [(key, result.better(key)) for key in BY]
        mine, its = ([result.metrics[key][k] for key, _ in better] for k in (row, said.by))
        assert not any(worse(b, a, way) for a, b, (_, way) in zip(mine, its, better, strict=True))
        assert any(worse(a, b, way) for a, b, (_, way) in zip(mine, its, better, strict=True))
        assert choose.shown(result, "cost", result.metrics["cost"][said.by]) in said.sentence or "cost" in said.sentence
        assert said.sentence.startswith("With ")


def test_why_says_so_of_one_that_nothing_beats(result):
    row = int(np.flatnonzero(trade_offs.best(result, BY))[0])
    assert trade_offs.why(result, row, BY, {}).sentence.startswith("Nothing beats it")


def test_the_nearest_that_passes_changes_as_little_as_can_be(result):
    limits = {"reserve_h": (20.0, None), "worst_drop": (None, 0.06)}
    found = trade_offs.nearest(result, limits)
    allowed, frame = trade_offs.passing(result, limits), result.frame()
    base = {axis.name: str(result.base.get(axis.path)) for axis in result.axes}
    changed = np.sum([frame[name].astype(str) != value for name, value in base.items()], axis=0)
    assert not allowed[changed == 0].any(), "the design passes: the case tests nothing"
    assert found.changed == changed[allowed].min()
    assert changed[found.row] == found.changed
    assert allowed[found.row]


def test_the_nearest_to_one_that_passes_is_itself(result):
    row = int(np.flatnonzero(trade_offs.passing(result, {"reserve_h": (4.0, None)}))[0])
    found = trade_offs.nearest(result, {"reserve_h": (4.0, None)}, row)
    assert (found.row, found.changed) == (row, 0)


def test_where_none_passes_the_tightest_limit_is_named(result):
    found = trade_offs.nearest(result, {"reserve_h": (1e6, None), "cost": (None, 1e9)})
    assert found.row is None
    assert "the reserve after the night: none keeps it at all" in found.sentence


def test_what_matters_is_shared_out_as_it_was_made():
    """Cost of battery and charger: two sums, so each share is its own variance over that of both."""
    axes = {"battery.capacity": ["50 Ah", "100 Ah", "150 Ah"], "charger.current": ["10 A", "40 A"],
            "feeder.fuse_from_battery": ["2 in", "3 in"]}  # fmt: skip
    design = known("fen-survey")
    found = matters(design, axes, "cost", samples=1024)
    spread = {}
    for name in axes:
        costs = trade_offs.sweep(design, {name: axes[name]}, ("cost",)).metrics["cost"]
        spread[name] = float(np.var(costs))
    whole = sum(spread.values())
    shares = {share.axis: share for share in found.shares}
    for name, words in (("battery.capacity", "battery capacity"), ("charger.current", "charger current")):
        assert shares[words].whole == pytest.approx(spread[name] / whole, abs=0.03)
        assert shares[words].alone == pytest.approx(spread[name] / whole, abs=0.05)
    assert shares["feeder fuse_from_battery"].whole == 0.0
    assert "battery capacity matters most" in found.sentence


def test_where_nothing_changes_it_nothing_matters():
    found = matters(known("fen-survey"), {"cargo.plant presses.mass": ["40 lb", "80 lb"]}, "reserve_h", samples=16)
    assert found.sentence.endswith("none of these changes it.")


def test_what_is_not_known_cannot_be_shared_out():
    with pytest.raises(tl.DesignError, match="is not known for"):
        matters(known("one-lamp"), {"battery.capacity": ["20 Ah", "90 Ah"]}, "fuel_day_l", samples=16)


def test_tolerance_counts_the_cases_that_hold():
    design = known("fen-survey")
    at_rest = tl.study("night", design).value("reserve_h")
    sure = tolerance(design, {"reserve_h": (0.0, None)}, cases=32)
    assert sure.holds == 1.0
    least = float(np.median(sure.result.metrics["reserve_h"]))
    half = tolerance(design, {"reserve_h": (least, None)}, cases=32)
    assert half.holds == pytest.approx(0.5, abs=0.05)
    assert (half.result.metrics["reserve_h"] < at_rest).all(), "with more drawn less is left"
    own = [tl.study("night", half.result.design_of(row)).value("reserve_h") >= least for row in range(0, 32, 7)]
    assert own == trade_offs.passing(half.result, {"reserve_h": (least, None)})[::7].tolist()
    assert "What gives way first is the reserve after the night" in half.sentence


def test_tolerance_without_a_limit_or_a_load_is_a_sentence():
    with pytest.raises(tl.DesignError, match="no limit to hold"):
        tolerance(known("fen-survey"), {})


def test_a_range_knows_where_the_design_stands():
    axis = Span(("battery", "capacity"), "50 Ah", "150 Ah")
    assert axis.place("100 Ah") == 0.5
    assert axis.place("100 V") is None
    place = Span(("place", "battery box", "at"), ["1 ft", "2 ft", "1 ft"], ["3 ft", "2 ft", "1 ft"])
    assert place.place(["2 ft", "2 ft", "1 ft"]) == 0.5
    assert place.place(["2 ft", "3 ft", "1 ft"]) is None
