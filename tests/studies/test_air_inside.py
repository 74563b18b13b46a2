"""The air inside in a stay and the fridge that stands in it: against an integrator, what is stated, what is not known."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import by_hand as sums
import numpy as np
import psychrolib
import pytest
from box_by_hand import MIDDLE_H, SET_C, ByHand, Floats, by_hand, march, nodes_of, standard_pa
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.physics import cooler
from trailerlib.studies import trip as trips
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import gains, hold, sleep
from trailerlib.studies.cooling.stay_duty import air_inside_c, cooler_duty
from trailerlib.studies.duty import duty_in
from trailerlib.studies.running import by_what_air, running_in
from trailerlib.studies.trip.beside import stepped_down

FRIDGE = "specimen fridge"
UNHEATED = {("comfort", "heater"): "none"}


@pytest.fixture(scope="module")
def box(demo: tl.Design) -> tl.Design:
    return by_hand(demo).replace(("stay", "drying day", "on", FRIDGE), "all")


def duty(design: tl.Design, stay: str) -> float:
    return running_in(design, design.load(FRIDGE), design.stay(stay))


@dataclass(frozen=True)
class Fanned(ByHand):
    """The nodes with what a fan carries for each kelvin at each step [W/K]."""

    fan: Floats

    def rates(self, t: float, air: float, mass: float) -> tuple[float, float]:
        warms, held = super().rates(t, air, mass)
        n = int(t // 300) % 288
        return warms + self.fan[n] * (self.outside[n] - air), held


def drawn_m3_s(design: tl.Design) -> float:
    """What the fan draws through what is cracked, leaks and all."""
    return max(
        heat.case_of(design).leak_m3_s, sleep.flow_of(design.load("roof fan"), sleep.effective_m2(design) or 0.0)
    )


def day_of(
    design: tl.Design, stay_name: str, cooled: tuple[float, float] | None, most_w: float | None = None
) -> Floats:
    """The sixth of six days alike in the air of a stay at the ends of its steps, midnight first: air, mass [degC], the
    cold so far [J], shape (3, 289). ``most_w`` [W] is the most cold for the air; None leaves a tenth for the water.
    """
    stay, case, nodes = design.stay(stay_name), heat.case_of(design), nodes_of(design)
    outside, set_c = float(stay.ambient or 0.0), float(design.comfort.set_point or 0.0)
    own = gains.of_stay(design, stay, MIDDLE_H).dry_w
    fan = np.zeros(288)
    if "roof fan" in stay.on:  # all of the stay in every case here
        water = psychrolib.GetHumRatioFromTDewPoint(float(design.site.dew_point or 0.0), case.weather.pressure_pa)
        lived = (MIDDLE_H - stay.start) % 24 < stay.hours
        fan = np.where(lived, (drawn_m3_s(design) - case.leak_m3_s) * case.dry_kg_m3 * (1006 + 1860 * water), 0.0)
    there = replace(nodes, outside=np.full(288, outside), sol_air=nodes.sol_air - nodes.outside + outside,
                    air_w=0.5 * own, mass_w=nodes.mass_w + 0.5 * (own - case.gains.dry_w))  # fmt: skip
    wet = psychrolib.GetTWetBulbFromRelHum(set_c, 0.5, standard_pa(design.site.elevation or 0.0))
    rated = sum(float(load.cooling_w or 0.0) for load in hold.coolers(design) if load.name in stay.on)
    most = 0.9 * float(cooler.cooling_w(rated, wet, outside)) if most_w is None else most_w

    def cold(t: float, inside_c: float) -> float:
        on = cooled is not None and cooled[0] <= (t / 3600) % 24 < cooled[1]
        return min(most, 1e5 * max(0.0, inside_c - set_c)) if on else 0.0

    return march(Fanned(**vars(there), fan=fan), set_c, 6, cold)


def leak_over_moved(air: Floats) -> Floats:
    """What leaks into a fridge at 4 degC over what an hour of its compressor moves, evaporator at -6, condenser 10 over."""
    return np.maximum(0.0, air - 4.0) * (np.maximum(air, 4.0) + 16.0)


@pytest.mark.parametrize(("stay", "changes", "cooled"), [
    ("drying day", {}, None), ("camp", {}, (11.0, 18.0)), ("night", {("stay", "night", "ambient"): "70 °F"}, None),
    ("night", {("stay", "night", "ambient"): "70 °F", ("opening", "door window", "gap"): "0 in"}, None),
    ("camp", {("stay", "camp", "on", FRIDGE): "07:00-12:00, 15:00-16:00"}, (11.0, 18.0)),
    ("drying day", {("stay", "drying day", "people"): 0}, None), ("night", {("stay", "night", "on", "roof fan"): None}, None),
])  # fmt: skip
def test_the_duty_of_a_fridge_by_an_integrator(
    stay: str, changes: dict[Any, Any], cooled: tuple[float, float] | None, box: tl.Design
) -> None:
    """Without cooler, with it for some hours, with the fan all night, on for part of the time."""
    design = box.replace_all({**UNHEATED, **changes})
    design = design.replace(("opening", "door window", "gap"), "3 in") if "gap" not in str(changes) else design
    run = day_of(design, stay, cooled)[0]
    middles = 0.5 * (run[1:] + run[:-1])
    on = [h for h in sums.minutes_of(next(s for s in design.raw["stay"] if s["name"] == stay))
          if any(load["name"] == FRIDGE for load in sums.running(design.raw, _raw(design, stay), h))]  # fmt: skip
    air = np.array([middles[int(minute // 5) % 288] for minute in on])
    by_hand_duty = np.minimum(1.0, 0.4 * leak_over_moved(air) / leak_over_moved(np.array(25.0))).mean()
    assert duty(design, stay) == pytest.approx(by_hand_duty, rel=0.01)
    inside = air_inside_c(design, design.load(FRIDGE), design.stay(stay), float(design.stay(stay).ambient or 0.0))
    assert inside is not None and inside.mean() == pytest.approx(air.mean(), abs=0.1)


@pytest.mark.parametrize(("gap", "dew"), [("3 in", "70 °F"), ("0.5 in", "70 °F"), ("3 in", "52 °F")])
def test_a_cooler_against_a_fan_that_draws_outside_air_in_by_an_integrator(gap: str, dew: str, box: tl.Design) -> None:
    """Its warmth and its water are the cooler's to take out, where the fan is left on."""
    design = box.replace_all({("stay", "camp", "on", "roof fan"): "all", ("opening", "door window", "gap"): gap,
                              ("site", "dew_point"): dew})  # fmt: skip
    case, pressure, stay = heat.case_of(design), standard_pa(design.site.elevation or 0.0), design.stay("camp")
    wet = psychrolib.GetTWetBulbFromRelHum(SET_C, 0.5, pressure)
    able = float(cooler.cooling_w(float(design.load("roof cooler").cooling_w or 0.0), wet, float(stay.ambient or 0.0)))
    water = psychrolib.GetHumRatioFromTDewPoint(float(design.site.dew_point or 0.0), pressure)
    drier = water - psychrolib.GetHumRatioFromRelHum(SET_C, 0.5, pressure)
    damp = max(0.0, gains.people_w(stay)[1] + 2.501e6 * drawn_m3_s(design) * case.dry_kg_m3 * drier)
    run = day_of(design, "camp", (11.0, 18.0), max(able - damp, 0.6 * able))
    dry = np.diff(run[2, ::3])[44:72] / 900
    share = np.minimum(1.0, (dry + np.where(dry > 1.0, damp, 0.0)) / able)
    by_hand_duty = float((share / (0.85 + 0.15 * share)).mean())
    assert cooler_duty(design, design.load("roof cooler"), stay) == pytest.approx(by_hand_duty, rel=0.01)
    still = design.replace(("stay", "camp", "on", "roof fan"), None)
    assert (cooler_duty(still, still.load("roof cooler"), still.stay("camp")) or 1.0) < by_hand_duty - 0.02


def _raw(design: tl.Design, stay: str) -> Any:
    return next(s for s in design.raw["stay"] if s["name"] == stay)


def test_cooled_air_spares_the_fridge_and_a_shut_hot_box_costs_it(box: tl.Design) -> None:
    """96 degF outside and 76 inside; 84 outside and hotter inside, loads and sun."""
    for stay, cooler_than_outside in (("camp", True), ("drying day", False)):
        outside = duty_in(box.load(FRIDGE), box.stay(stay))
        assert (duty(box, stay) < outside) == cooler_than_outside and abs(duty(box, stay) - outside) > 0.05


@pytest.mark.parametrize(("changes", "degrees"), [
    ({}, 60), ({("comfort", "heat_to"): "68 °F"}, 68), ({("comfort", "heat_to"): None}, 59),
    ({("comfort", "heat_to"): None, ("comfort", "heater"): None}, 59),
])  # fmt: skip
def test_people_do_not_let_it_get_colder_than_they_ask(changes: dict[Any, Any], degrees: int, box: tl.Design) -> None:
    """A night at 28 degF: the warmth asked for, else 15 degC as in any box that is lived in."""
    design = box.replace_all({("stay", "night", "ambient"): "28 °F", **changes})
    air = np.array((degrees - 32) / 1.8)
    assert duty(design, "night") == pytest.approx(float(0.4 * leak_over_moved(air) / leak_over_moved(np.array(25.0))))


def test_with_nobody_in_it_or_nothing_to_warm_it_a_box_gets_cold(box: tl.Design) -> None:
    cold = box.replace(("stay", "night", "ambient"), "28 °F")
    warm = duty(cold, "night")
    assert duty(cold.replace_all(UNHEATED), "night") == 0.0, "frost inside: the fridge stands still"
    assert duty(cold.replace(("stay", "night", "people"), 0), "night") < 0.2 * warm


def test_a_stated_duty_wins_and_nothing_is_said_of_air(box: tl.Design) -> None:
    stated = box.replace(("load", FRIDGE, "duty"), "55 %")
    assert duty(stated, "camp") == 0.55
    assert list(by_what_air(stated, stated.stays)) == []
    assert "runs by the air" not in tl.study("night", stated).text()


@pytest.mark.parametrize(("changes", "why"), [
    ({("envelope", "leakage"): None}, "envelope.leakage"), ({("site", "latitude"): None}, "latitude"),
    ({("stay", "night", "people"): None}, "how many people are in “night”"),
    ({("face", "walls", "layers"): None}, "the layers of the walls"),
    ({("opening", "door window", "gap"): None}, "how far a window or hatch is cracked"),
    ({("load", FRIDGE, "place"): "nose platform"}, "where it stands is outside"),
])  # fmt: skip
def test_where_the_air_inside_is_not_known_it_goes_by_the_air_outside_and_says_so(
    changes: dict[Any, Any], why: str, box: tl.Design
) -> None:
    design = box.replace_all({("stay", "night", "ambient"): "80 °F", **changes})
    assert duty(design, "night") == duty_in(design.load(FRIDGE), design.stay("night"))
    told = " ".join(tl.study("night", design).text().split())
    assert f"{FRIDGE} in “night” runs by the air outside" in told and why in told
    assert f"{FRIDGE} in “night” runs by the air outside" in " ".join(trips.of(design).said)


def test_a_cooler_without_a_set_point_leaves_the_air_inside_unknown(box: tl.Design) -> None:
    design = box.replace(("comfort", "set_point"), None)
    assert duty(design, "camp") == duty_in(design.load(FRIDGE), design.stay("camp"))
    (words,) = by_what_air(design, [design.stay("camp")])
    assert "runs by the air outside" in words and "comfort.set_point" in words


def test_where_no_air_is_known_the_class_stands_and_that_is_said(box: tl.Design) -> None:
    design = box.replace_all({("stay", "night", "ambient"): None, ("site", "coldest"): None})
    assert duty(design, "night") == 0.4
    (words,) = by_what_air(design, [design.stay("night")])
    assert "runs as its class does" in words


def test_a_stay_without_air_of_its_own_takes_the_coldest(box: tl.Design) -> None:
    design = box.replace_all({("stay", "night", "ambient"): None, ("site", "coldest"): "75 °F"})
    named = design.replace(("stay", "night", "ambient"), "75 °F")
    row = next(row for row in tl.study("night", design).rows if row["name"] == FRIDGE)
    assert row["duty"] == pytest.approx(duty(named, "night"), rel=2e-3)  # its own watts differ


def test_night_trip_and_loads_reckon_the_same(box: tl.Design) -> None:
    """One fridge, three questions: what it uses in each stay by its watts, its hours and the same duty."""
    hours = {"night": 13.0, "drying day": 8.0, "camp": 11.0}
    asked = {stay: 48.0 * h * duty(box, stay) for stay, h in hours.items()}
    (row,) = [row for row in tl.study("night", box).rows if row["name"] == FRIDGE]
    assert row["energy_wh"] == pytest.approx(asked["night"])
    loads = next(row for row in tl.study("loads", box).rows if row["name"] == FRIDGE)
    assert [loads[f"stay_{n}"] for n in range(3)] == pytest.approx(list(asked.values()))
    for stay in hours:
        bare = box.replace_all({("stay", other, "on", FRIDGE): None for other in hours if other != stay})
        with_it, without = (trips.of(d).wh("loads") for d in (bare, bare.replace(("stay", stay, "on", FRIDGE), None)))
        assert with_it - without == pytest.approx(asked[stay], rel=1e-6)


def test_a_load_a_step_down_is_reckoned_in_the_same_air(box: tl.Design) -> None:
    """The table of what switching down buys changes one load at a time, and not the fridge's air with it."""
    from trailerlib.studies.discharge import Discharge

    warm = box.replace(("stay", "night", "ambient"), "80 °F")
    assert warm.battery is not None
    night, bank = warm.stay("night"), warm.battery
    lower, _ = stepped_down(warm, warm.load("ceiling lights"), 1.0)
    run, then = Discharge(warm, bank, night), Discharge(lower, bank, night, warm)
    assert run.duty(warm.load(FRIDGE)) == then.duty(lower.load(FRIDGE))
    assert then.duty(lower.load("ceiling lights")) == 0.5
    assert Discharge(lower, bank, night).duty(lower.load(FRIDGE)) < run.duty(warm.load(FRIDGE))


@settings(max_examples=25, deadline=None)
@given(ambient=st.floats(-10, 45), hotter=st.floats(0, 10), stay=st.sampled_from(["night", "camp", "drying day"]))
def test_a_hotter_stay_never_runs_it_less(ambient: float, hotter: float, stay: str, box: tl.Design) -> None:
    design = box.replace(("comfort", "heater"), "none")
    cool, hot = (
        duty(design.replace(("stay", stay, "ambient"), f"{air} °C"), stay) for air in (ambient, ambient + hotter)
    )
    assert cool <= hot + 1e-9


def test_the_set_point_of_the_sums(box: tl.Design) -> None:
    assert box.comfort.set_point == pytest.approx(SET_C)


def test_what_hangs_on_the_mains_side_has_no_power_on_the_battery(box: tl.Design) -> None:
    """A cooler and a kettle that the timetable has on in a stay on the battery: nothing is cooled, nothing warmed."""
    warm = box.replace(("stay", "night", "ambient"), "90 °F")
    dead = warm.replace_all({("stay", "night", "on", "roof cooler"): "all", ("stay", "night", "on", "kettle"): "all"})
    assert duty(dead, "night") == duty(warm, "night")
    assert cooler_duty(dead, dead.load("roof cooler"), dead.stay("night")) is None
    said = " ".join(tl.study("night", dead).text().split())
    assert "No inverter is in the design, so nothing here feeds roof cooler and kettle." in said
    assert "inverter" not in tl.study("night", warm).text()
    powered = dead.replace(("stay", "night", "supply"), "shore")
    assert duty(powered, "night") < duty(dead, "night") - 0.05 and cooler_duty(powered, powered.load("roof cooler"),
                                                                              powered.stay("night")) is not None  # fmt: skip
