"""The hot day inside: what is set free, the box without and with its cooler against an integrator."""

from __future__ import annotations

from typing import Any

import numpy as np
import psychrolib
import pytest
from box_by_hand import FT2, MIDDLE_H, SET_C, STEADY, Floats, by_hand, march, nodes_of, standard_pa
from scipy.integrate import solve_ivp

import trailerlib as tl
from trailerlib.physics import cooler
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import gains, hold
from trailerlib.studies.duty import duty_in


@pytest.fixture(scope="module")
def box(demo: tl.Design) -> tl.Design:
    return by_hand(demo)


@pytest.fixture(scope="module")
def cart() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["kiln-cart"])


# ── what is set free inside ──────────────────────────────────────────────────────────────────────────────────────────


def by_the_hour(found: Floats) -> list[float]:
    return [float(value) for value in hold.hourly(found)]


def test_gains_hour_by_hour_by_the_timetable(box: tl.Design) -> None:
    """Camp is the warmest stay and covers 7 to 18 h, the night the rest; the dryer stands outside, the cooler makes cold."""
    found = gains.hot_day(box, MIDDLE_H)
    people, damp = [86.0] * 7 + [140.0] * 11 + [86.0] * 6, [54.0] * 7 + [90.0] * 11 + [54.0] * 6
    assert by_the_hour(found.people_w) == pytest.approx(people)
    assert by_the_hour(found.latent_w) == pytest.approx(damp)
    camp, night = box.stay("camp"), box.stay("night")
    fridge = {stay.name: 48 * duty_in(box.load("specimen fridge"), stay) for stay in (camp, night)}
    alarm = box.load("CO alarm").running_w
    loads = [alarm + 4 + fridge["night"]] * 7 + [alarm + fridge["camp"]] * 11 + [alarm + 4 + fridge["night"]] * 6
    for hour in range(9, 17):
        loads[hour] += 2 * 65 * 0.6 + 15
    loads[12] += 0.25 * box.load("kettle").running_w
    for hour in (18, 19, 20, 21):
        loads[hour] += 4 * 3
    loads[22] += 4 * 3 / 2
    assert by_the_hour(found.loads_w) == pytest.approx(loads)


def test_the_warmest_stay_that_covers_an_hour_wins(box: tl.Design) -> None:
    hotter = gains.hot_day(box.replace("stay.drying day.ambient", "100 °F"), MIDDLE_H)
    assert by_the_hour(hotter.people_w)[8:18] == pytest.approx([140.0, *[80.0] * 8, 140.0])
    unknown = gains.hot_day(box.replace("stay.camp.ambient", None), MIDDLE_H)
    assert by_the_hour(unknown.people_w)[8:18] == pytest.approx([140.0, *[80.0] * 8, 140.0]), "no air said: the coolest"
    only = box.replace("stay", [stay for stay in box.get("stay") if stay["name"] == "drying day"])
    assert by_the_hour(gains.hot_day(only, MIDDLE_H).people_w) == [0.0] * 9 + [80.0] * 8 + [0.0] * 7


def test_what_is_on_in_a_stay_of_its_own(box: tl.Design) -> None:
    drying = gains.of_stay(box, box.stay("drying day"), MIDDLE_H)
    assert by_the_hour(drying.loads_w) == pytest.approx([0.0] * 10 + [2 * 65 * 0.6] * 6 + [0.0] * 8)
    assert by_the_hour(drying.dry_w)[9] == pytest.approx(80.0)


def test_only_what_stands_inside_counts(box: tl.Design) -> None:
    names = {load.name for load in gains.inside(box)}
    assert {"dryer road side", "dryer curb side", "work lights", "roof cooler"}.isdisjoint(names)
    assert {"kettle", "laptops", "specimen fridge", "roof fan"} <= names
    moved = box.replace("place.bench.at", ["6 ft", "8 ft", "3 ft"])
    assert "kettle" not in {load.name for load in gains.inside(moved)}
    off = box.replace("load.kettle.on", False)
    assert "kettle" not in {load.name for load in gains.inside(off)}
    in_the_nose = box.replace("place.bench.at", ["-1 ft", "3 ft", "3 ft"])
    assert "kettle" in {load.name for load in gains.inside(in_the_nose)}


# ── the box against an integrator ────────────────────────────────────────────────────────────────────────────────────


@pytest.fixture(scope="module")
def steady(demo: tl.Design) -> tl.Design:
    return by_hand(demo, **STEADY)


@pytest.fixture(scope="module")
def held(steady: tl.Design) -> Floats:
    """The second of two days alike, with a cooler that answers to a thousandth of a degree."""
    return march(nodes_of(steady), SET_C, 2, lambda _, air: 1e6 * max(0.0, air - SET_C))


def test_a_day_without_power_against_an_integrator(box: tl.Design, cart: tl.Design) -> None:
    """From 20 degC, the last of eight days alike: the study begins as such a day would end."""
    for design in (box, cart):
        apart = march(nodes_of(design), 20.0, 8, lambda _, air: 0.0)
        free = hold.free_c(heat.case_of(design))
        assert free == pytest.approx(apart[0, 1:], abs=0.01), design.title
        assert tl.study("cooling", design).value("free_c") == pytest.approx(apart[0].max(), abs=0.01)
        assert float(np.ptp(free)) > 10


def test_three_days_of_a_file_against_an_integrator(box: tl.Design) -> None:
    """What works on it differs from day to day; begun where the study begins."""
    case = heat.case_of(box.replace("site.weather", "Greensboro"))
    run, nodes = hold.free_over(case.box, case.drive), nodes_of(box.replace("site.weather", "Greensboro"))

    def rates(t: float, y: Floats) -> list[float]:
        n = min(int(t // 300), 863)
        between = nodes.film * (y[1] - y[0])
        air = nodes.through_air * (nodes.outside[n] - y[0]) + between + nodes.air_w[n]
        return [
            air / nodes.air_j,
            (nodes.fabric * (nodes.sol_air[n] - y[1]) - between + nodes.mass_w[n]) / nodes.mass_j,
        ]

    apart = solve_ivp(rates, (0.0, 72 * 3600.0), [float(run.start_air_c), float(run.start_mass_c)], "LSODA",
                      300.0 * np.arange(1, 865), max_step=150.0, rtol=1e-8, atol=1e-6)  # fmt: skip
    assert run.air_c == pytest.approx(apart.y[0], abs=0.01) and run.mass_c == pytest.approx(apart.y[1], abs=0.01)


def test_the_day_that_is_held_against_an_integrator(steady: tl.Design, held: Floats) -> None:
    case = heat.case_of(steady)
    run = hold.held_over(case.box, case.drive, SET_C)
    assert run.air_c[-288:] == pytest.approx(held[0, 1:], abs=0.01)
    assert run.mass_c[-288:] == pytest.approx(held[1, 1:], abs=0.01)
    by_hour = np.diff(held[2, ::12]) / 3600
    assert hold.hourly(hold.asked(case, SET_C).dry_w) == pytest.approx(by_hour, abs=5.0)
    assert by_hour.max() > 1000 and by_hour.min() == 0.0


def test_a_run_with_the_cold_as_found_against_an_integrator(box: tl.Design) -> None:
    """The cold of each step given to the integrator: the same temperatures, to 0.01 K, at every five minutes."""
    case = heat.case_of(box)
    run = hold.held_over(case.box, case.drive, SET_C)
    cold = (-run.added_w).tolist()
    apart = march(nodes_of(box), SET_C, 2, lambda t, _: cold[min(int(t // 300), 575)])
    assert run.air_c[-288:] == pytest.approx(apart[0, 1:], abs=0.01)
    assert run.mass_c[-288:] == pytest.approx(apart[1, 1:], abs=0.01)
    need = hold.asked(case, SET_C)
    assert (need.start_air_c, need.start_mass_c) == pytest.approx((apart[0, 0], apart[1, 0]), abs=0.01)
    assert need.dry_w == pytest.approx(cold[288:]) and run.air_c.max() <= SET_C + 1e-9


def test_heat_parts_by_hand_and_their_sum(steady: tl.Design, held: Floats) -> None:
    """At the worst hour: U·A·(skin less inside), sun through glass, people, loads, leaks; what was stored makes the sum."""
    answer, case, nodes = tl.study("cooling", steady), heat.case_of(steady), nodes_of(steady)
    hour = int(answer.value("worst_h"))
    steps = slice(12 * hour, 12 * hour + 12)
    parts = {(part.name, part.side): part.watts for part in answer.picture.heat.parts}
    for name, side in [
        ("roof", "roof"),
        ("wall", "road"),
        ("floor", "floor"),
        ("rear ramp", "rear"),
        ("door window", "curb"),
    ]:
        rows = [n for n, p in enumerate(case.surfaces) if (p.name, p.side) == (name, side)]
        by_hand = sum(case.surfaces[n].u * case.surfaces[n].area_m2 * (case.sol_air_c[n, steps].mean() - SET_C)
                      + case.sun_w[n, steps].mean() for n in rows)  # fmt: skip
        assert parts[name, side] == pytest.approx(by_hand), name
    nose = [n for n, p in enumerate(case.surfaces) if p.side == "nose"]
    assert parts["wall", "nose"] == pytest.approx(
        sum(case.surfaces[n].ua * (case.sol_air_c[n, steps].mean() - SET_C) for n in nose))  # fmt: skip
    leaks = (nodes.through_air - 5.6 * 3 * FT2) * (nodes.outside[steps].mean() - SET_C)
    assert parts["leaks", "inside"] == pytest.approx(leaks)
    mass = (held[1, 1:][steps].mean() + held[1, :-1][steps].mean()) / 2
    ua = 1 / (1 / nodes.film + 1 / nodes.fabric)
    stored = nodes.film * (mass - SET_C) - ua * (nodes.sol_air[steps].mean() - SET_C) - nodes.mass_w[steps].mean()
    assert parts["stored or let out", "inside"] == pytest.approx(stored, abs=5.0)
    assert sum(parts.values()) == pytest.approx(answer.value("asked_w"))
    assert sum(row["watts"] for row in answer.rows) == pytest.approx(answer.value("asked_w"))
    dry = np.diff(held[2, ::12])[hour] / 3600
    water = damp_by_hand(steady)
    assert answer.value("asked_w") == pytest.approx(dry + water, abs=5.0)
    assert parts["people, damp", "inside"] == pytest.approx(140 + water, abs=0.5)


def damp_by_hand(design: tl.Design) -> float:
    """Two people at rest, and what leaks in less what a half damp room holds; by psychrolib."""
    pressure, case = standard_pa(design.site.elevation or 0.0), heat.case_of(design)
    inside = psychrolib.GetHumRatioFromRelHum(SET_C, 0.5, pressure)
    outside = psychrolib.GetHumRatioFromTDewPoint(float(design.site.dew_point or 0.0), pressure)
    return 90 + 2.501e6 * case.leak_m3_s * case.dry_kg_m3 * (outside - inside)


def test_water_that_leaks_in(box: tl.Design) -> None:
    """Not known is people alone; drier outside takes away, at most all there is; damper brings in."""
    noon = 12 * 12

    def at_noon(**changes: Any) -> float:
        return float(
            hold.damp_w(heat.case_of(box.replace_all({tuple(k.split("__")): v for k, v in changes.items()})), SET_C)[
                noon
            ]
        )

    assert at_noon() == pytest.approx(damp_by_hand(box), abs=0.3) and at_noon() < 90
    assert at_noon(site__dew_point=None) == 90.0
    assert at_noon(site__dew_point="75 °F") > 90.0
    assert at_noon(site__dew_point="-20 °F", envelope__leakage=20) == 0.0


# ── the rating, the thermostat, the energy ───────────────────────────────────────────────────────────────────────────


def test_the_rating_that_holds_is_the_one_that_holds(steady: tl.Design, cart: tl.Design) -> None:
    """With just that rating the warmest hour is the set point; with 5 % less it is not held."""
    for design in (cart, steady):
        set_c = float(design.comfort.set_point or 0.0)
        case = heat.case_of(design)
        need = hold.asked(case, set_c)
        assert hold.warmest_c(case, need, set_c, need.rated_w) == pytest.approx(set_c, abs=0.03), design.title
        assert hold.warmest_c(case, need, set_c, 0.95 * need.rated_w) > set_c + 0.3
        assert hold.warmest_c(case, need, set_c, 2 * need.rated_w) == pytest.approx(set_c, abs=0.02)
    two = {("load", name, "cooling"): f"{0.95 * need_of(cart) / 2} W" for name in ("front cooler", "rear cooler")}
    answer = tl.study("cooling", cart.replace_all(two))
    assert "is not held" in answer.sentence
    assert [f.severity for f in answer.checks if f.rule == "set-point-held"] == ["fix"]


def need_of(design: tl.Design) -> float:
    return tl.study("cooling", design).value("needed_w")


def test_what_is_on_for_a_few_minutes_is_met_within_the_band(box: tl.Design) -> None:
    """The rating is that of an hour's mean: a kettle for a quarter of it passes the set point, and stays in the band."""
    case = heat.case_of(box)
    need = hold.asked(case, SET_C)
    warmest = hold.warmest_c(case, need, SET_C, need.rated_w)
    assert SET_C + 0.1 < warmest < hold.top_c(SET_C, box.comfort.band) == pytest.approx(SET_C + 1.5 / 1.8)
    answer = tl.study("cooling", by_hand(box, **{"load__roof cooler__cooling": f"{0.97 * need.rated_w} W"}))
    assert "is held within its band" in answer.sentence
    assert [f.severity for f in answer.checks if f.rule == "set-point-held"] == ["holds"]


def test_the_rating_by_the_hours_of_the_integrator(steady: tl.Design, held: Floats) -> None:
    """Cold and water of each hour over what the weather leaves of a rating, the largest of the 24."""
    case = heat.case_of(steady)
    wet = psychrolib.GetTWetBulbFromRelHum(SET_C, 0.5, standard_pa(5200 * 0.3048))
    left = hold.hourly(np.asarray(cooler.cooling_w(1.0, wet, case.weather.air_c)))
    dry = np.diff(held[2, ::12]) / 3600
    damp = np.array([54.0] * 7 + [90.0] * 11 + [54.0] * 6) + damp_by_hand(steady) - 90
    wanted = ((dry + damp) / left)[dry > 100]
    assert need_of(steady) == pytest.approx(wanted.max(), rel=0.01)


def test_the_thermostat_switches_as_its_energy_says(steady: tl.Design) -> None:
    box = steady
    answer, case = tl.study("cooling", box), heat.case_of(box)
    need, rated = hold.asked(case, SET_C), float(box.load("roof cooler").cooling_w or 0.0)
    run = hold.cycles(case, need, SET_C, box.comfort.band, rated)
    on = np.array([*run.switched_s, *([86400.0] if len(run.switched_s) % 2 else [])]).reshape(-1, 2)
    assert (on[:, 1] - on[:, 0]).sum() == pytest.approx(300 * run.on_share.sum(), rel=1e-6)
    assert (on[1:, 0] - on[:-1, 1] >= 180 - 1e-3).all(), "it rests before it starts again"
    assert run.starts.sum() == len(on)
    cold = need.cold_w(rated)
    assert -run.run.added_w == pytest.approx(run.on_share * cold)
    assert (run.on_share * cold).mean() == pytest.approx(need.dry_w.mean(), rel=0.05), "the same heat, a little warmer"
    assert 12 * max(run.starts) >= answer.value("starts") == max(run.starts[n : n + 12].sum() for n in range(277))
    settled = run.run.air_c[on[0, 1] < 300 * np.arange(1, 289)]
    assert settled.max() < SET_C + 1.5 / 1.8 + 0.5, "a pause may let it pass the band"
    assert answer.picture.day.on_h[0] == pytest.approx(on[0] / 3600)


def test_energy_of_the_cooler_by_hand(box: tl.Design) -> None:
    """Power at the weather times the share it runs, starts counted: load/(0.85 + 0.15·load)."""
    answer, case = tl.study("cooling", box), heat.case_of(box)
    need, load = hold.asked(case, SET_C), box.load("roof cooler")
    wet = psychrolib.GetTWetBulbFromRelHum(SET_C, 0.5, standard_pa(5200 * 0.3048))
    able = np.asarray(cooler.cooling_w(float(load.cooling_w or 0.0), wet, case.weather.air_c))
    share = np.minimum(1.0, need.total_w / able)
    runs = share / (0.85 + 0.15 * share)
    power = np.asarray(cooler.drawn_w(load.running_w, wet, case.weather.air_c))
    assert answer.value("duty") == pytest.approx(runs.mean(), rel=1e-4)
    assert answer.value("day_wh") == pytest.approx((power * runs).sum() / 12, rel=1e-4)
    assert answer.value("day_ah") == pytest.approx(answer.value("day_wh") / 12)


def test_a_band_that_is_not_said_is_two_fahrenheit(steady: tl.Design) -> None:
    unsaid, said = (tl.study("cooling", steady.replace("comfort.band", band)) for band in (None, "2 °F"))
    assert unsaid.value("starts") == said.value("starts")
    assert np.array(unsaid.picture.day.on_h) == pytest.approx(np.array(said.picture.day.on_h), abs=1e-6)
    limits = [f.limit for f in unsaid.checks if f.rule == "set-point-held"]
    assert limits == [pytest.approx(SET_C + 1 / 1.8)]


def test_what_of_the_cold_goes_into_water() -> None:
    """300 W of warmth and 100 W of water: three quarters cool the air; in the dampest air six tenths still do."""
    one, none = np.ones(4), np.zeros(4)
    need = hold.Asked(300 * one, np.array([100.0, 0.0, 900.0, 200.0]), 0.9 * one, 20.0, 20.0)
    assert need.dry_share() == pytest.approx([0.75, 1.0, 0.6, 0.6])
    assert need.cold_w(1000.0) == pytest.approx([675.0, 900.0, 540.0, 540.0])
    assert need.total_w == pytest.approx([400.0, 300.0, 1200.0, 500.0])
    idle = hold.Asked(none, 100 * one, one, 20.0, 20.0)
    assert idle.total_w == pytest.approx(none) and idle.dry_share() == pytest.approx(one), (
        "water alone starts no cooler"
    )


def test_two_coolers_are_one_of_twice_the_size(cart: tl.Design) -> None:
    rear = cart.replace("load.rear cooler.on", False).replace("load.front cooler.count", 2)
    one, two = tl.study("cooling", rear), tl.study("cooling", cart)
    for key in ("duty", "held_c", "starts", "day_wh"):
        assert one.value(key) == pytest.approx(two.value(key))
