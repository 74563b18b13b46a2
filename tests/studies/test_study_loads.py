"""What must it run: sums from the raw file and the catalogue."""

from __future__ import annotations

import by_hand
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.studies.running import running_in


def share(design: tl.Design, load: by_hand.Raw, stay: by_hand.Raw, air: float | None) -> float:
    """By hand, but of a cooler or a fridge in a box that is known: that is the box's, tested with it."""
    by_the_box = "cooler" in load["class"] or "fridge" in load["class"]
    if by_the_box and "duty" not in load and "leakage" in design.raw.get("envelope", {}):
        return running_in(design, design.load(load["name"]), design.stay(stay["name"]))
    return by_hand.duty(load, air)


def sums_agree(design: tl.Design) -> None:
    raw, answer = design.raw, tl.study("loads", design)
    on = [load for load in raw["load"] if load.get("on", True)]
    assert answer.value("dc_w") == pytest.approx(sum(by_hand.watts(load) for load in on if by_hand.is_dc(load)))
    assert answer.value("dc_a") == pytest.approx(sum(by_hand.watts(load) for load in on if by_hand.is_dc(load)) / 12.0)
    assert answer.value("mains_w") == pytest.approx(sum(by_hand.watts(load) for load in on if not by_hand.is_dc(load)))
    assert answer.value("mains_a") == pytest.approx(
        sum(by_hand.volt_amperes(load) for load in on if not by_hand.is_dc(load)) / 120.0
    )
    for n, stay in enumerate(raw["stay"]):
        by_load = {load["name"]: 0.0 for load in raw["load"]}
        air = by_hand.number(stay["ambient"]) if "ambient" in stay else None
        for at in by_hand.minutes_of(stay):
            for load in by_hand.running(raw, stay, at):
                by_load[load["name"]] += by_hand.watts(load) * share(design, load, stay, air) / 60.0
        assert answer.value(f"stay_{n}") == pytest.approx(sum(by_load.values()))
        assert {row["name"]: row[f"stay_{n}"] for row in answer.rows} == pytest.approx(by_load)


def test_the_sums_of_the_demo(demo: tl.Design) -> None:
    sums_agree(demo)


def test_the_sums_of_a_box_that_is_not_known(demo: tl.Design) -> None:
    """A fridge goes by the air outside then, a cooler by its class."""
    sums_agree(demo.replace("envelope.leakage", None))


def test_the_sums_of_one_lamp(lamp: tl.Design) -> None:
    sums_agree(lamp)


@given(st.data())
@settings(max_examples=8, deadline=None)
def test_the_sums_of_changed_loads(demo: tl.Design, data: st.DataObject) -> None:
    changes: dict[str, object] = {}
    for load in data.draw(st.lists(st.sampled_from(demo.raw["load"]), min_size=1, max_size=4)):
        name = load["name"]
        changes[f"load.{name}.count"] = data.draw(st.integers(1, 9))
        changes[f"load.{name}.power"] = f"{data.draw(st.integers(1, 2000))} W"
        changes[f"load.{name}.duty"] = f"{data.draw(st.integers(0, 100))} %"
        changes[f"load.{name}.on"] = data.draw(st.booleans())
    sums_agree(demo.replace_all(changes))


def test_starting_power(demo: tl.Design) -> None:
    """The cooler's plate: 12.9 A running and 59 A standing at 120 V; 1.8 times with a soft starter, else by its class."""
    rows = {row["name"]: row for row in tl.study("loads", demo).rows}
    for load in demo.raw["load"]:
        assert rows[load["name"]]["start_w"] == pytest.approx(by_hand.start_volt_amperes(load))
    assert rows["roof cooler"]["start_w"] == pytest.approx(59 * 120)
    soft = {row["name"]: row for row in tl.study("loads", demo.replace("load.roof cooler.soft_start", True)).rows}
    assert soft["roof cooler"]["start_w"] == pytest.approx(12.9 * 120 * 1.8)
    two = {row["name"]: row for row in tl.study("loads", demo.replace("load.roof cooler.count", 2)).rows}
    assert two["roof cooler"]["start_w"] == pytest.approx((12.9 + 59) * 120)
    bare = {row["name"]: row for row in tl.study("loads", demo.replace_all({
        "load.roof cooler.rated_current": None, "load.roof cooler.locked_rotor": None})).rows}  # fmt: skip
    assert bare["roof cooler"]["start_w"] == pytest.approx(1500 * 4.6 / 0.97)
    plate = {row["name"]: row for row in tl.study("loads", demo.replace("load.roof cooler.starting", "4 kW")).rows}
    assert plate["roof cooler"]["start_w"] == pytest.approx(4000 / 0.97)


def test_what_is_switched_off_draws_nothing(demo: tl.Design) -> None:
    off = demo.replace_all({f"load.{load.name}.on": False for load in demo.loads})
    answer = tl.study("loads", off)
    assert [answer.value(key) for key in answer.numbers] == [0.0] * len(answer.numbers)
    assert all(row["running_w"] == row["current_a"] == row["start_w"] == 0 for row in answer.rows)
    assert all(bar.start_w == bar.running_w == 0 for bar in answer.picture.bars)
    assert "Nothing" in answer.sentence


def test_a_trailer_without_loads_is_answered(demo: tl.Design) -> None:
    bare = tl.design_from({"title": "Bare", "trailer": demo.raw["trailer"]})
    assert "nothing" in tl.study("loads", bare).sentence.lower()


def words(design: tl.Design, rule: str) -> list[str]:
    return [check.severity for check in tl.study("loads", design).checks if check.rule == rule]


@pytest.mark.parametrize(
    ("sleepers", "alarm", "word"),
    [(2, True, "holds"), (2, False, "stop"), (2, None, "not checked"), (0, False, "holds"), (0, None, "holds"), (None, False, "not checked"),
     (None, None, "not checked")],
)  # fmt: skip
def test_who_sleeps_needs_a_smoke_alarm(demo: tl.Design, sleepers: int | None, alarm: bool | None, word: str) -> None:
    design = demo.replace_all({"use.sleepers": sleepers, "safety.smoke_alarm": alarm})
    assert words(design, "smoke-alarm") == [word]


def test_power_beyond_its_class_is_noted(demo: tl.Design) -> None:
    """Each piece counts, not the pieces together: a kettle of the class draws 1500 W at most."""
    assert set(words(demo, "power-outside-class")) == {"holds"}
    assert words(demo.replace("load.kettle.power", "1501 W"), "power-outside-class").count("note") == 1
    assert set(words(demo.replace("load.kettle.count", 5), "power-outside-class")) == {"holds"}


def test_a_circuit_that_feeds_nothing_is_noted(demo: tl.Design) -> None:
    assert set(words(demo, "circuit-feeds-nothing")) == {"holds"}
    spare = {"name": "spare", "system": "dc", "wire": "14 AWG", "run": "9 ft"}
    more = demo.replace("circuit", [*demo.raw["circuit"], spare])
    assert words(more, "circuit-feeds-nothing").count("note") == 1
