"""What trips first: the sentence on what is on now against every combination, by sums from the engine and by hand."""

from __future__ import annotations

import itertools

import pytest

import trailerlib as tl
from trailerlib.studies import together, what_trips

BIG = ("roof cooler", "kettle", "dryer road side", "dryer curb side")


@pytest.fixture(scope="module")
def cart() -> tl.Design:
    """The trailer on two legs."""
    return tl.read_design(tl.shipped_trailers()["kiln-cart"])


@pytest.mark.parametrize("supply", ["shore", "household", "generator"])
def test_the_sentence_follows_every_combination(demo: tl.Design, supply: str) -> None:
    found = together.of(demo, supply)
    seen = set()
    for count in range(len(BIG) + 1):
        for on in itertools.combinations(BIG, count):
            said = what_trips.answer(demo, supply, on).sentence
            started = [name for name in on if name not in found.not_starting]
            assert ("does not start" in said) is (started != list(on)), (supply, on, said)
            assert ("does not hold" in said) is (found.allows(started) is False), (supply, on, said)
            long = any(set(started) <= {*one.on, *(s.name for s in found.free)} for one in found.for_good)
            if "does not hold" not in said and (started or not on):
                assert ("as long as you like" in said) is long, (supply, on, said)
            seen.add("hold" if "does not hold" in said else "long" if long else "short")
    assert {"hold", "long"} <= seen


def test_what_to_switch_off_is_enough_and_named(demo: tl.Design) -> None:
    said = what_trips.answer(demo, "shore", BIG)
    off = together.ask(demo, "shore", BIG)
    assert off is not None and all(name in said.sentence for name in off.switch_off)
    left = [name for name in BIG if name not in off.switch_off]
    assert "does not hold" not in what_trips.answer(demo, "shore", left).sentence


def test_the_panel_in_the_picture_carries_what_the_sentence_says(demo: tl.Design) -> None:
    """The main carries the sum of the branches as vectors, at the voltage of the supply."""
    for volts in (None, "108 V"):
        design = demo.replace("supply.shore.voltage", volts)
        every = [s.name for s in together.of(design, "shore").switches]
        picture = what_trips.answer(design, "shore", every).picture
        worst = together.of(design, "shore").everything
        assert worst is not None
        assert picture.panel.legs[0].now_a == pytest.approx(worst.first.value, rel=1e-9)


def test_a_low_pedestal_changes_what_flows(demo: tl.Design) -> None:
    """Heaters take less, motors and what holds its power more: by Ohm's law and by P over V."""
    low = what_trips.answer(demo.replace("supply.shore.voltage", "108 V"), "shore", ["kettle", "roof cooler"])
    flows = {b.name: b.now_a for b in low.picture.panel.breakers}
    assert flows["bench outlets"] == pytest.approx(1300 / 120 * 108 / 120)
    lowest_v = together.of(demo.replace("supply.shore.voltage", "108 V"), "shore").lowest_v
    assert 101.0 < lowest_v < 108.0 and flows["roof cooler"] == pytest.approx(12.9 * 120 / lowest_v)


def test_the_stays_are_said_beside_what_is_on_now(demo: tl.Design) -> None:
    said = what_trips.answer(demo, "shore", ["kettle"]).sentence
    assert "as long as you like" in said and "Its stays ask for" in said
    assert "Its stays" not in what_trips.answer(demo, "household", ["kettle"]).sentence


def test_an_unknown_cord_is_never_a_pass(demo: tl.Design) -> None:
    said = what_trips.answer(demo.replace("mains.main", None), "shore", ["kettle"])
    assert "As far as is known" in said.sentence


def test_two_legs_take_what_one_would_not(cart: tl.Design) -> None:
    on = ["front cooler", "rear cooler", "kiln", "wheels", "kettle", "drying heater"]
    assert "does not hold" not in what_trips.answer(cart, "yard 50 A", on).sentence
    assert "does not hold" in what_trips.answer(cart, "yard 30 A", on).sentence


def test_the_voltage_at_the_panel_is_that_of_the_solved_side(demo: tl.Design) -> None:
    from trailerlib.studies.mains_side import sides

    (side,) = [side for side in sides(demo) if side.supply.name == "shore"]
    beside = what_trips.answer(demo, "shore").beside
    assert beside is not None and f"{min(side.panel_v):.3g} V" in beside.note and 110 < min(side.panel_v) < 120
    without = what_trips.answer(demo, "household").beside
    assert without is not None and "panel gets" not in without.note, "no stay lives on it"


def test_run_together_in_words_names_every_supply(demo: tl.Design) -> None:
    words = tl.run_together(demo)
    assert all(f"{s.name} (" in words for s in demo.supplies) and max(map(len, words.splitlines())) <= 98
    assert tl.run_together(demo, "shore") in words
    assert tl.run_together(demo.replace_all({"supply": None, "stay": None})).startswith("Not checked")


def test_each_leg_of_a_large_supply_by_hand(cart: tl.Design) -> None:
    """Class day at ten: wheels and kettle beside one cooler on leg 1, the charger beside the other on leg 2.

    The kiln of 3300 W runs from leg to leg: 13.75 A at 240 V on each.
    """

    def lag(amps: float, factor: float) -> complex:
        return amps * complex(factor, (1 - factor**2) ** 0.5)

    volts = float(tl.reference.table("battery_limits").row(chemistry="lfp")["absorption_v"])
    first = lag(12.9, 0.97) + lag(2 * 300 / 0.9 / 120, 0.9) + 1300 / 120 + 3300 / 240
    second = lag(12.9, 0.97) + 3300 / 240 + lag(15 * volts / 0.88 / 0.95 / 120, 0.95)
    answer = what_trips.answer(cart, "yard 50 A")
    (total,) = [c for c in answer.checks if c.rule == "supply-total" and "yard 50 A" in c.subject]
    assert total.measured == pytest.approx(max(abs(first), abs(second))) and total.severity == "holds"
    (long,) = [c for c in answer.checks if c.rule == "supply-continuous" and "yard 50 A" in c.subject]
    assert long.measured == pytest.approx(max(abs(second), abs(first - 1300 / 120))), "the kettle does not last"
