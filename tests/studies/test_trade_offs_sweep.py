"""How candidates are laid out and measured: grids, tables, samples, chunks, progress, stopping, files, bad input."""

from __future__ import annotations

import builtins
import threading

import numpy as np
import pandas as pd
import pytest
from trade_axes import FEN, known

import trailerlib as tl
from trailerlib.studies import reads, trade_offs
from trailerlib.studies.kept import Kept
from trailerlib.studies.trade_offs import asked, batch
from trailerlib.studies.trade_offs.axes import Steps
from trailerlib.studies.trade_offs.candidates import Rows
from trailerlib.studies.trade_offs.desk import Desk
from trailerlib.studies.trade_offs.watched import Watched

AXES = {name: FEN[name] for name in ("battery.capacity", "battery.chemistry", "feeder.wire")}
KEYS = ("cost", "mass_kg", "reserve_h", "lost_w")


@pytest.fixture(scope="module")
def whole():
    return trade_offs.sweep(known("fen-survey"), AXES, KEYS)


def test_a_grid_is_every_combination_the_last_axis_fastest(whole):
    frame = whole.frame()
    assert len(frame) == 4 * 4 * 4
    assert frame["feeder.wire"][:4].tolist() == FEN["feeder.wire"]
    assert frame["battery.capacity"][:16].unique().tolist() == ["15 Ah"]
    assert len(frame[list(AXES)].drop_duplicates()) == len(frame)
    assert whole.design_of(21).battery.capacity == 60.0


@pytest.mark.parametrize("chunk", [1, 5, 64, 1000])
def test_the_size_of_a_chunk_changes_nothing(whole, chunk):
    again = trade_offs.sweep(known("fen-survey"), AXES, KEYS, chunk=chunk)
    for key in KEYS:  # how a sum is grouped moves its last digit
        assert again.metrics[key] == pytest.approx(whole.metrics[key], rel=1e-13)


def test_a_table_of_candidates_in_its_own_order(whole):
    table = whole.frame()[list(AXES)].astype(str).sample(20, random_state=1)
    found = trade_offs.sweep(known("fen-survey"), table, KEYS)
    for key in KEYS:
        assert found.metrics[key] == pytest.approx(whole.metrics[key][table.index], rel=1e-12)


def test_a_gap_in_a_table_removes_the_key():
    table = pd.DataFrame({"feeder.protection": ["60 A", None, "80 A"]})
    found = trade_offs.sweep(known("fen-survey"), table, ("stop", "not checked"), questions=("wiring",))
    own = tl.study("wiring", known("fen-survey").replace("feeder.protection", None)).checks
    assert found.metrics["not checked"][1] == sum(check.severity == "not checked" for check in own)


def test_a_long_column_of_numbers_is_taken_as_a_range(monkeypatch):
    from trailerlib.studies.trade_offs import candidates

    monkeypatch.setattr(candidates, "MOST_STEPS", 10)
    table = pd.DataFrame({"battery.capacity": [f"{60 + 3.7 * k:.4f} Ah" for k in range(40)]})
    found = trade_offs.sweep(known("fen-survey"), table, ("reserve_h", "lowest"))
    for row in (0, 17, 39):
        own = tl.study("night", known("fen-survey").replace("battery.capacity", table["battery.capacity"][row]))
        assert found.metrics["reserve_h"][row] == pytest.approx(own.value("reserve_h"), rel=1e-9)


def test_a_sample_is_the_same_for_the_same_seed_and_spreads_evenly():
    one, two, other = (trade_offs.sampled(AXES, 64, seed=seed) for seed in (4, 4, 5))
    places = [candidates.rows(0, 64).at for candidates in (one, two, other)]
    assert all((a == b).all() for a, b in zip(places[0], places[1], strict=True))
    assert not all((a == b).all() for a, b in zip(places[0], places[2], strict=True))
    assert np.bincount(places[0][0]).tolist() == [16, 16, 16, 16]


def test_values_from_one_end_to_the_other():
    axis = trade_offs.evenly("battery.capacity", "50 Ah", "150 Ah", 5)
    assert axis.choices == ("50 Ah", "75 Ah", "100 Ah", "125 Ah", "150 Ah")
    place = trade_offs.evenly("place.bench.at", ["1 ft", "2 ft", "1 ft"], ["3 ft", "2 ft", "1 ft"], 3)
    assert place.choices[1] == ["2 ft", "2 ft", "1 ft"]


def test_each_question_is_asked_once_for_all_alike(monkeypatch):
    """Sixty-four candidates, but the fuel rests on none of these axes and the price on few."""
    asks = []
    real = asked.Ask._answer

    def counting(self, rows, row, wide):
        asks.append(self.name)
        return real(self, rows, row, wide)

    monkeypatch.setattr(asked.Ask, "_answer", counting)
    trade_offs.sweep(known("fen-survey"), {**AXES, "supply.generator.kind": ["portable 3000 W", "portable 4500 W"]},
                     ("cost", "fuel_day_l"), proof=0)  # fmt: skip
    assert asks.count("the price of the wire of the feeder") <= 4 + 2
    assert asks.count("the generator") <= 2 * 4 + 2  # the charger's part goes by the chemistry


def test_progress_rises_to_the_end_and_says_how_long(monkeypatch):
    from trailerlib.studies.trade_offs import sweeping as room

    monkeypatch.setattr(room, "TOLD_EVERY_S", 0.0)
    monkeypatch.setattr(room, "KNOWN_AFTER_S", 0.0)
    told = []
    trade_offs.sweep(known("fen-survey"), AXES, KEYS, progress=told.append, chunk=16)
    assert told[0].left_s is None
    assert (told[-1].done, told[-1].rows, told[-1].left_s) == (1.0, 64, 0.0)
    assert all(0.0 <= one.done <= 1.0 for one in told)
    assert [one.rows for one in told] == sorted(one.rows for one in told)
    assert sum(one.left_s is not None for one in told) > 3


def test_stopping_hands_out_what_is_measured(monkeypatch):
    from trailerlib.studies.trade_offs import sweeping as room

    monkeypatch.setattr(room, "TOLD_EVERY_S", 0.0)
    seen = []
    stopped = trade_offs.sweep(
        known("fen-survey"),
        AXES,
        KEYS,
        chunk=8,
        progress=seen.append,
        cancelled=lambda: bool(seen) and seen[-1].rows >= 24,
    )
    assert not stopped.complete
    assert stopped.count == 24
    assert len(stopped.frame()) == 24
    full = trade_offs.sweep(known("fen-survey"), AXES, KEYS)
    assert (stopped.metrics["cost"] == full.metrics["cost"][:24]).all()


def test_stopping_at_once_hands_out_nothing():
    stopped = trade_offs.sweep(known("fen-survey"), AXES, KEYS, cancelled=lambda: True)
    assert (stopped.complete, stopped.count, len(stopped.frame())) == (False, 0, 0)


def test_the_row_of_the_design_itself(whole):
    row = whole.row_of(whole.base)
    assert row is not None
    assert whole.design_of(row).raw == known("fen-survey").raw
    assert {key: whole.metrics[key][row] for key in KEYS} == pytest.approx(whole.here())
    other = trade_offs.sweep(known("fen-survey"), {"battery.capacity": ["1 Ah"]}, ("cost",))
    assert other.row_of(other.base) is None


def test_without_the_library_a_parquet_file_is_refused_in_a_sentence(whole, tmp_path, monkeypatch):
    real = builtins.__import__

    def without(name, *more):
        if name.startswith("pyarrow"):
            raise ImportError(name)
        return real(name, *more)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(tl.DesignError, match=r"install it with pip install .*parquet.*frame\(\)\.to_csv"):
        whole.write_parquet(tmp_path / "candidates.parquet")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("axes", "said"),
    [
        ({}, "there is no axis"),
        ({"battery.colour": ["red"]}, 'no key "colour" here; there are: .*chemistry'),
        ({"engine.size": [1]}, 'the design has no part "engine"'),
        ({"circuit.nowhere.wire": ["12 AWG"]}, 'no circuit called "nowhere"'),
        ({"circuit.roof fan": ["12 AWG"]}, "an axis needs a value of a part"),
        ({"battery.capacity": []}, "an axis needs a list of values"),
        ({"battery.capacity": "100 Ah"}, "an axis needs a list of values"),
        ({"battery.capacity": ["100 Ah", "a lot"]}, "a lot"),
        ([trade_offs.span("battery.capacity", "50 Ah", "150 Ah")], "is a range; for a full grid give values"),
        ([trade_offs.steps("battery.age", ["90 %"])] * 2, "is on two axes"),
        (pd.DataFrame({"battery.capacity": []}), "the table of candidates is empty"),
    ],
)  # fmt: skip
def test_bad_axes_are_one_sentence(axes, said):
    with pytest.raises(tl.DesignError, match=said):
        trade_offs.sweep(known("fen-survey"), axes, ("cost", "lowest"))


def test_a_range_in_two_units_is_one_sentence():
    with pytest.raises(tl.DesignError, match="both ends as one number in the same unit"):
        trade_offs.span("battery.capacity", "50 Ah", "1 kWh")


@pytest.mark.parametrize("more", [{"metrics": ("beauty",)}, {"questions": ("beauty",)}])
def test_what_is_not_known_is_one_sentence(more):
    with pytest.raises(tl.DesignError, match='no (metric|question) "beauty"; there are'):
        trade_offs.sweep(known("fen-survey"), AXES, **more)


def test_a_question_asked_too_often_is_refused(monkeypatch):
    monkeypatch.setattr(asked, "MOST_ASKED", 10)
    with pytest.raises(tl.DesignError, match=r"more than 10 times: it rests on battery\.capacity"):
        trade_offs.sweep(known("fen-survey"), AXES, ("stop",), questions=("trip",))


# ── the watch itself ──────────────────────────────────────────────────────────────────────────────


def watched(*paths: str) -> tuple[Watched, tl.Design]:
    design = known("fen-survey")
    axes = [Steps(tuple(path.split(".")), (design.get(path),)) for path in paths]
    watch = Watched(design, axes)
    return watch, watch.design({axis.path: axis.choices[0] for axis in axes})


def heard(look) -> set[int]:
    with reads.heard() as found:
        look()
    return set(found)


def test_reading_a_value_is_noted_and_reading_its_neighbour_is_not():
    _, design = watched("battery.capacity", "battery.chemistry", "circuit.usb.wire")
    assert heard(lambda: design.battery.capacity) == {0}
    assert heard(lambda: design.battery.hour_rate) == set()
    assert heard(lambda: design.battery.bank_ah) == {0}
    assert heard(lambda: design.circuit("usb").wire) == {2}
    assert heard(lambda: design.circuit("fridge").wire) == set()


@pytest.mark.parametrize(
    "whole", [hash, repr, lambda part: part == part, lambda part: part.model_copy(), lambda part: part.model_dump()]
)
def test_taking_a_part_as_a_whole_counts_as_reading_all_of_it(whole):
    _, design = watched("battery.capacity", "battery.chemistry")
    assert heard(lambda: whole(design.battery)) == {0, 1}


def test_a_worked_out_value_is_noted_every_time():
    _, design = watched("load.roof fan.power", "load.roof fan.class")
    fan = design.load("roof fan")
    assert heard(lambda: fan.running_w) == heard(lambda: fan.running_w) == {0, 1} & {0, 1}


def test_the_way_of_a_circuit_rests_on_its_own_run_and_places():
    _, design = watched("circuit.fridge.run", "circuit.roof fan.run", "place.bench.at")
    assert heard(lambda: design.layout.routes["fridge"]) == {0}
    assert 2 in heard(lambda: design.layout.routes["usb"])
    assert heard(lambda: design.layout.bundles["usb"]) == {2}, "how long a run is moves no wire"


def test_a_circuits_voltage_goes_with_the_battery():
    _, design = watched("battery.nominal")
    assert heard(lambda: design.load("roof fan").circuit_v) == {0}


def test_a_kept_result_is_read_with_all_it_was_made_from():
    kept = Kept[float]()
    _, design = watched("battery.capacity")
    make = lambda: kept.of([1], lambda: design.battery.capacity)  # noqa: E731
    assert heard(make) == {0}
    assert heard(make) == {0}


def test_nothing_is_noted_where_nobody_listens():
    _, design = watched("battery.capacity")
    assert not reads._LISTENERS.frames
    assert design.battery.capacity == 100.0
    assert not reads._LISTENERS.frames


def test_a_watched_design_says_what_the_design_says():
    watch, design = watched("battery.capacity", "load.roof fan.class", "place.bench.at", "envelope.skin")
    own = tl.assess(watch.base)
    found = tl.assess(design)
    assert [answer.text() for answer in found.answers.values()] == [answer.text() for answer in own.answers.values()]


def test_rows_taken_from_rows():
    rows = Rows((Steps(("a",), (1, 2, 3)),), [np.array([0, 1, 2, 1])])
    part = rows.some(np.array([3, 0]))
    assert part.at[0].tolist() == [1, 0]
    assert part.changes(0) == {("a",): 2}
    assert rows.some(slice(1, 3)).some(np.array([1])).at[0].tolist() == [2]


def desk_over(axes) -> tuple[Desk, Rows]:
    candidates = trade_offs.grid(axes)
    return Desk(Watched(known("fen-survey"), candidates.axes)), candidates.rows(0, candidates.count)


def test_what_is_read_of_some_candidates_only_is_found_out_on_the_way():
    """The first candidates do not read the capacity; that the later ones do must part them."""
    desk, rows = desk_over({"battery.chemistry": ["agm", "lfp"], "battery.capacity": ["60 Ah", "90 Ah", "200 Ah"]})

    def question(design):
        return (design.battery.capacity if design.battery.chemistry == "lfp" else 0.0,)

    ask = asked.Ask(desk, "something", question)
    assert ask.of(rows.some(slice(0, 3))).tolist() == [[0.0, 0.0, 0.0]]
    assert ask.reads == (0,)
    assert ask.of(rows).tolist() == [[0.0, 0.0, 0.0, 60.0, 90.0, 200.0]]
    assert ask.reads == (0, 1)


def test_work_on_many_finds_out_on_the_way_what_it_rests_on():
    desk, rows = desk_over({"battery.chemistry": ["agm", "lfp"], "battery.capacity": ["60 Ah", "90 Ah", "200 Ah"]})
    kind = asked.Ask(desk, "the chemistry", lambda design: (design.battery.chemistry == "lfp",))
    size = asked.Ask(desk, "the capacity", lambda design: (design.battery.capacity,))

    def work(some):
        found = kind.of(some).copy()
        here = np.flatnonzero(found[0] > 0)
        if here.size:
            found[0, here] = size.of(some.some(here))[0]
        return found

    many = batch.Batch(desk, work, at_a_time=2)
    assert many.of(rows.some(slice(0, 3))).tolist() == [[0.0, 0.0, 0.0]]
    assert many.of(rows).tolist() == [[0.0, 0.0, 0.0, 60.0, 90.0, 200.0]]


def test_straight_lines_and_arrays_give_the_same_where_both_will_do():
    axes = [trade_offs.span("feeder.run", "2 ft", "9 ft"), trade_offs.steps("feeder.wire", ["6 AWG", "2 AWG"])]
    candidates = trade_offs.sampled(axes, 16, seed=3)
    desk = Desk(Watched(known("fen-survey"), candidates.axes))
    rows = candidates.rows(0, 16)

    def question(design):
        return (design.feeder.run * (2.0 if design.feeder.wire == "2 AWG" else 1.0),)

    wide = asked.Ask(desk, "wide", question, wide=True).of(rows)
    straight = asked.Ask(desk, "straight", question, straight=("feeder.run",)).of(rows)
    assert straight == pytest.approx(wide, rel=1e-13)
    assert len(np.unique(wide)) == 16


def test_a_sweep_at_work_does_not_hear_what_the_page_reads_meanwhile():
    kept = Kept[object]()
    with reads.heard() as mine:
        page = threading.Thread(target=lambda: (reads.note({7}), kept.of([1], lambda: "the page's")))
        page.start()
        page.join()
        assert kept.of([1], lambda: "the sweep's") == "the sweep's"
    assert mine == set()
