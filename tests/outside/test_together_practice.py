"""What may run together, against facts of the trade and the times UL 489 gives for breakers."""

from __future__ import annotations

import itertools

import pytest
from check import Check, each

import trailerlib as tl
from trailerlib.pictures.run_together import run_together
from trailerlib.studies import together
from trailerlib.studies.devices import device
from trailerlib.studies.together.limits import Limit
from trailerlib.studies.together.trips import trips

DEMO = tl.read_design(tl.shipped_trailers()["fen-survey"])
BIG = ("roof cooler", "dryer road side", "dryer curb side", "kettle")


def latest_s(rating_a: float, multiple: float) -> float:
    """When a breaker is sure to be open, as the card says it."""
    import numpy as np

    row = Limit("breaker", "a breaker", rating_a, (True,), "breaker")
    return trips([row], np.array([[multiple * rating_a]]))[0][0].most_s


@each(
    [
        Check("15 A at 135 %", lambda: latest_s(15, 1.35), 3600.0, 1e-9, "the table's own row", "UL 489, 135 %: within 1 h up to 50 A"),
        Check("30 A at 135 %", lambda: latest_s(30, 1.35), 3600.0, 1e-9, "the table's own row", "UL 489, 135 %: within 1 h up to 50 A"),
        Check("20 A at 200 %", lambda: latest_s(20, 2.0), 120.0, 1e-9, "the table's own row", "UL 489, 200 %: within 2 min up to 30 A"),
        Check("30 A at 200 %", lambda: latest_s(30, 2.0), 120.0, 1e-9, "the table's own row", "UL 489, 200 %: within 2 min up to 30 A"),
        Check("50 A at 200 %", lambda: latest_s(50, 2.0), 240.0, 1e-9, "the table's own row", "UL 489, 200 %: within 4 min, 31 to 50 A", "from memory"),
    ]
)  # fmt: skip
def test_when_a_breaker_is_sure_to_be_open(check: Check) -> None:
    check.hold()


@pytest.mark.parametrize("rating", [15.0, 20.0, 30.0, 50.0])
def test_a_breaker_holds_its_rating_and_no_time_is_set_below_135_per_cent(rating: float) -> None:
    """UL 489: no trip at 100 %; the first time it sets stands at 135 %."""
    import numpy as np

    row = Limit("breaker", "a breaker", rating, (True,), "breaker")
    assert trips([row], np.array([[rating]]))[0] == ()
    assert trips([row], np.array([[1.34 * rating]]))[0][0].when == "may hold for hours or open"
    assert device("breaker", rating)[0] is not None


def test_cooler_two_heating_loads_and_kettle_do_not_run_on_30_a() -> None:
    """Common practice, no source: 13 500 Btu/h, two outdoor heating loads of 1 000 W and a kettle are too much."""
    found = together.of(DEMO, "shore")
    classes = {load.name: (load.typical.name, load.each_w) for load in DEMO.loads if load.name in BIG}
    assert classes["roof cooler"][0] == "roof cooler 13500"
    assert classes["dryer road side"][1] == classes["dryer curb side"][1] == 1000.0
    assert found.allows(BIG) is False
    three = ["roof cooler", "dryer road side", "dryer curb side"]
    assert together.of(DEMO, "shore", 120.0).allows(three) is True, "29.5 A at 120 V, for a while"
    assert found.allows(["roof cooler", "kettle"]) is True
    for dryer in ("dryer road side", "dryer curb side"):
        assert found.allows(["roof cooler", "kettle", dryer]) is False


def test_which_of_them_can_is_on_the_card() -> None:
    """Every pair and triple of the four that holds lies in a row that is kept, and the card names what does not."""
    found = together.of(DEMO, "shore")
    svg = run_together(found, "paper")
    rows = [set(one.on) for one in (*found.for_good, *found.combinations)]
    for count in (2, 3):
        for on in itertools.combinations(BIG, count):
            assert (found.allows(on) is True) == any(set(on) <= row for row in rows), on
    assert "roof cooler + kettle + dryer" in svg.replace("</text>", " ")


def test_two_space_heaters_want_circuits_of_their_own() -> None:
    """A 1 500 W heater is 12.5 A on 120 V: two trip one 15 A or 20 A circuit, three exceed 30 A (common practice)."""
    raw = dict(DEMO.raw)
    for count, supply_holds in ((2, True), (3, False)):
        heater = {"name": "heaters", "class": "space heater", "circuit": "bench outlets", "count": count}
        design = tl.design_from({**raw, "load": [*raw["load"], heater]})
        bad = together.ask(design, "shore", ["heaters"], 120.0)
        assert bad is not None and bad.first.value == pytest.approx(12.5 * count, abs=0.2)
        assert bad.first.limit.name == "15 A “bench outlets”"
        assert all(t.limit.name != "30 A main" for t in bad.trips) == supply_holds


def test_household_15_a_runs_one_large_thing_at_a_time() -> None:
    """Common practice, no source: on a house receptacle of 15 A the cooler or the kettle or one heater, never two."""
    found = together.of(DEMO, "household")
    for one in BIG:
        assert found.allows([one]) is True
    for one, other in itertools.combinations(BIG, 2):
        assert found.allows([one, other]) is False
