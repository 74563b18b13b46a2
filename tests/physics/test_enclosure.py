"""The box over time: a solver of differential equations, the matrix exponential, closed forms, and what adds up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from boxes import BOX, STEP_S, STEPS_PER_HOUR, drive, hold, slope_of, solved
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.linalg import expm

from trailerlib.physics import enclosure, solar_gain
from trailerlib.physics.enclosure import Box, heater_w, modes_of
from trailerlib.physics.enclosure_run import Drive, Run, free_run, held_run, settled_start

WORK = drive()
FIELDS = ("air_j_per_k", "mass_j_per_k", "air_w_per_k", "film_w_per_k", "fabric_w_per_k")
BOXES = st.builds(
    Box, st.floats(1e4, 1e6), st.floats(1e5, 1e7), st.floats(0.0, 300.0), st.floats(20.0, 2000.0), st.floats(5.0, 300.0)
)


def several() -> Box:
    spread = np.random.default_rng(7).uniform(0.4, 2.5, (5, 6))
    return Box(*(getattr(BOX, name) * factor for name, factor in zip(FIELDS, spread, strict=True)))


def single(box: Box, n: int) -> Box:
    return Box(*(float(np.broadcast_to(getattr(box, name), (6,))[n]) for name in FIELDS))


def flows_w(box: Box, work: Drive, run: Run) -> float:
    """The largest heat flow of a run [W]."""
    parts = (
        box.air_w_per_k * (work.outside_c - run.air_mean_c),
        box.film_w_per_k * (run.mass_mean_c - run.air_mean_c),
        box.fabric_w_per_k * (work.fabric_c - run.mass_mean_c),
        work.air_w, work.mass_w, run.added_w,
    )  # fmt: skip
    return max(float(np.abs(part).max()) for part in parts)


# ------------------------------------------------------------------------------------------------ against solvers


def test_three_days_without_power_agree_with_an_adaptive_solver() -> None:
    run = free_run(BOX, WORK, STEP_S, 24.0, 29.0)
    truth, _ = solved(BOX, WORK, (24.0, 29.0), lambda _t: 0.0, ())
    assert np.ptp(run.air_c) > 10.0, "the drive must move the box, or the test shows nothing"
    assert np.abs(run.air_c - truth[0]).max() < 1e-5 and np.abs(run.mass_c - truth[1]).max() < 1e-5


def test_steps_of_five_minutes_follow_a_smooth_drive_to_a_hundredth_of_a_kelvin() -> None:
    """Sun and weather do not move in steps; the middle of each step stands for it."""

    def outside(t: np.ndarray | float) -> np.ndarray:
        return np.asarray(30.0 + 7.0 * np.sin(2 * np.pi * (np.asarray(t) / 86400.0 - 0.4)))

    def fabric(t: np.ndarray | float) -> np.ndarray:
        return outside(t) + 12.0 * np.sin(np.pi * np.asarray(t) / 86400.0) ** 2

    middle = STEP_S * (np.arange(72 * STEPS_PER_HOUR) + 0.5)
    work = Drive(outside(middle), fabric(middle), 200.0 + 0 * middle, 0 * middle)
    run = free_run(BOX, work, STEP_S, 25.0, 25.0)

    def slope(t: float, y: np.ndarray) -> list[float]:
        moved: list[float] = slope_of(BOX, float(outside(t)), float(fabric(t)), 200.0, 0.0)(t, y)
        return moved

    ends = middle + 0.5 * STEP_S
    truth = solve_ivp(slope, (0.0, ends[-1]), [25.0, 25.0], t_eval=ends, method="DOP853", rtol=1e-9, atol=1e-9).y
    assert np.abs(run.air_c - truth[0]).max() < 0.01 and np.abs(run.mass_c - truth[1]).max() < 0.01


@given(BOXES, st.floats(1.0, 7200.0), st.floats(-20.0, 60.0), st.floats(-20.0, 60.0), st.floats(-500.0, 2000.0))
@settings(max_examples=50)
def test_one_step_is_the_matrix_exponential(box: Box, step_s: float, air: float, mass: float, heat: float) -> None:
    """End and mean at once: the exponential of the system with its input and its integral as further states."""
    run = free_run(box, Drive(*(np.array([x]) for x in (35.0, 48.0, heat, 0.3 * heat))), step_s, air, mass)
    whole = np.zeros((5, 5))
    ca, cm, g, h, f = (getattr(box, name) for name in FIELDS)
    whole[0, :3] = -(g + h) / ca, h / ca, (g * 35.0 + heat) / ca
    whole[1, :3] = h / cm, -(h + f) / cm, (f * 48.0 + 0.3 * heat) / cm
    whole[3, 0] = whole[4, 1] = 1.0
    end = expm(whole * step_s) @ np.array([air, mass, 1.0, 0.0, 0.0])
    assert [run.air_c[0], run.mass_c[0]] == pytest.approx(end[:2], rel=1e-9, abs=1e-9)
    assert [run.air_mean_c[0], run.mass_mean_c[0]] == pytest.approx(end[3:] / step_s, rel=1e-9, abs=1e-8)


def test_with_a_film_that_hides_nothing_the_box_is_one_store() -> None:
    """Closed form: T = Te + (T0 - Te) exp(-t/RC), where the film is so good that air and mass are one."""
    box = replace(BOX, film_w_per_k=1e8)
    steps = 72 * STEPS_PER_HOUR
    work = Drive(hold(35, steps), hold(47, steps), hold(150, steps), hold(60, steps))
    run = free_run(box, work, STEP_S, 21.0, 21.0)
    passes, holds = box.air_w_per_k + box.fabric_w_per_k, box.air_j_per_k + box.mass_j_per_k
    ends = (box.air_w_per_k * 35.0 + box.fabric_w_per_k * 47.0 + 210.0) / passes
    closed = ends + (21.0 - ends) * np.exp(-STEP_S * np.arange(1, steps + 1) * passes / holds)
    assert run.air_c == pytest.approx(closed, abs=1e-4) and run.mass_c == pytest.approx(closed, abs=1e-4)


@given(BOXES)
@settings(max_examples=50)
def test_the_two_decays_are_the_eigenvalues(box: Box) -> None:
    ca, cm, g, h, f = (getattr(box, name) for name in FIELDS)
    values = np.sort(np.linalg.eigvals(np.array([[-(g + h) / ca, h / ca], [h / cm, -(h + f) / cm]])).real)
    modes = modes_of(box)
    assert [modes.fast, modes.slow] == pytest.approx(values, rel=1e-9)
    slow, fast = modes.split(31.0, -4.0)
    assert [slow + fast, modes.slow_slope * slow + modes.fast_slope * fast] == pytest.approx([31.0, -4.0], rel=1e-9)


def test_two_half_steps_are_one_whole_step() -> None:
    work = drive(3)
    half = Drive(*(np.repeat(getattr(work, key), 2) for key in Drive.__dataclass_fields__))
    whole, halves = free_run(BOX, work, STEP_S, 24.0, 29.0), free_run(BOX, half, STEP_S / 2, 24.0, 29.0)
    assert whole.air_c == pytest.approx(halves.air_c[1::2], rel=1e-12)
    assert whole.mass_mean_c == pytest.approx(halves.mass_mean_c.reshape(-1, 2).mean(axis=1), rel=1e-12)


# ------------------------------------------------------------------------------------------------- what adds up


@given(BOXES, st.floats(10.0, 3600.0), st.floats(0.0, 4000.0))
@settings(max_examples=40)
def test_heat_adds_up_in_every_step(box: Box, step_s: float, most: float) -> None:
    work = drive(24)
    for run in (
        free_run(box, work, step_s, 22.0, 31.0),
        held_run(box, work, step_s, 30.0, 30.0, 25.0, most),
        held_run(box, work, step_s, 5.0, 5.0, 40.0, most, 33.0, most),
    ):
        scale = flows_w(box, work, run) + (box.air_j_per_k + box.mass_j_per_k) * 40.0 / step_s * 1e-3
        for left in run.left_over_w(box, work, step_s):
            assert np.abs(left).max() < 1e-9 * scale


def test_a_wrong_store_would_show_in_the_balance() -> None:
    run = free_run(BOX, WORK, STEP_S, 24.0, 29.0)
    assert max(np.abs(left).max() for left in run.left_over_w(BOX, WORK, STEP_S)) < 1e-9 * flows_w(BOX, WORK, run)
    for name in FIELDS:
        wrong = replace(BOX, **{name: 1.1 * getattr(BOX, name)})
        assert max(np.abs(left).max() for left in run.left_over_w(wrong, WORK, STEP_S)) > 0.5, name


def test_a_steady_box_passes_what_its_formula_says() -> None:
    """Air to air through film and fabric, then what leaks, by hand."""
    steps = 400 * STEPS_PER_HOUR
    work = Drive(hold(36, steps), hold(44, steps), hold(210, steps), hold(90, steps))
    run = held_run(BOX, work, STEP_S, 30.0, 30.0, 25.0, np.inf)
    mass = (410.0 * 25.0 + 55.0 * 44.0 + 90.0) / (410.0 + 55.0)
    assert run.mass_c[-1] == pytest.approx(mass, rel=1e-9) and run.air_c[-1] == pytest.approx(25.0, rel=1e-12)
    assert -run.added_w[-1] == pytest.approx(17.0 * (36 - 25) + 410.0 * (mass - 25.0) + 210.0, rel=1e-9)


def test_the_heater_of_a_long_cold_night_is_what_the_formula_says() -> None:
    """29 W/K of faces, 7 W/K of leaks, 18 inside and -12 outside, 150 W of people: 36 x 30 - 150 = 930 W."""
    assert heater_w(36.0, 18.0, -12.0, 150.0) == pytest.approx(930.0)
    steps = 400 * STEPS_PER_HOUR
    box = Box(165e3, 1.2e6, 7.0, 410.0, enclosure.fabric_w_per_k(29.0, 410.0))
    work = Drive(hold(-12, steps), hold(-12, steps), hold(150, steps), hold(0, steps))
    run = held_run(box, work, STEP_S, 10.0, 10.0, np.inf, 0.0, 18.0, 5000.0)
    assert run.added_w[-1] == pytest.approx(930.0, rel=1e-9)


# --------------------------------------------------------------------------------------------- holding a set point


def test_what_holds_the_air_is_only_what_is_there_and_needed() -> None:
    run = held_run(BOX, WORK, STEP_S, 30.0, 30.0, 25.0, 700.0)
    free = free_run(BOX, WORK, STEP_S, 30.0, 30.0)
    assert np.all(run.added_w <= 0.0) and np.all(run.added_w >= -700.0)
    held, full, rest = run.air_c <= 25.0 + 1e-9, run.added_w == -700.0, run.added_w == 0.0
    assert np.all(held | full) and full.any() and (held & ~full & ~rest).any() and rest.any()
    assert run.air_c[held & ~full & ~rest] == pytest.approx(25.0, abs=1e-9)
    assert np.all(run.air_c <= free.air_c + 1e-9)
    assert np.all(held_run(BOX, WORK, STEP_S, 30.0, 30.0, 25.0, np.inf).air_c <= 25.0 + 1e-9)


def test_a_heater_gives_only_what_is_there_and_needed() -> None:
    work = drive(48, high_c=14.0)
    run = held_run(BOX, work, STEP_S, 12.0, 12.0, np.inf, 0.0, 19.0, 500.0)
    assert np.all(run.added_w >= 0.0) and run.added_w.max() == 500.0 and run.added_w.min() == 0.0
    between = (run.added_w > 0.0) & (run.added_w < 500.0)
    assert between.any() and run.air_c[between] == pytest.approx(19.0, abs=1e-9)
    assert np.all((run.air_c >= 19.0 - 1e-9) | (run.added_w == 500.0))


def test_a_cooler_that_is_off_for_a_while_adds_nothing_then() -> None:
    cold = np.where(np.arange(len(WORK.air_w)) % 288 < 144, 0.0, 1500.0)
    run = held_run(BOX, WORK, STEP_S, 30.0, 30.0, 25.0, cold)
    assert np.all(run.added_w[cold == 0.0] == 0.0) and run.added_w.min() < -500.0


def test_several_boxes_in_one_run_are_several_runs() -> None:
    boxes = several()
    works = [drive(24, high_c=30.0 + 2.0 * n) for n in range(6)]
    both = Drive(*(np.stack([getattr(w, key) for w in works]) for key in Drive.__dataclass_fields__))
    start_air, start_mass = np.linspace(20.0, 30.0, 6), np.linspace(25.0, 22.0, 6)
    for cold, heat in ((0.0, 0.0), (900.0, 300.0)):
        many = held_run(boxes, both, STEP_S, start_air, start_mass, 26.0, cold, 24.0, heat)
        for n in range(6):
            one = held_run(
                single(boxes, n), works[n], STEP_S, float(start_air[n]), float(start_mass[n]), 26.0, cold, 24.0, heat
            )
            for key in ("air_c", "mass_c", "air_mean_c", "mass_mean_c", "added_w"):
                assert getattr(many, key)[n] == pytest.approx(getattr(one, key), rel=1e-12, abs=1e-10)


@pytest.mark.parametrize("name", [*FIELDS, "start_air", "start_mass", "set", "cold", "heat_to"])
def test_one_thing_that_differs_is_enough_to_make_several_boxes(name: str) -> None:
    values: dict[str, float] = {n: getattr(BOX, n) for n in FIELDS} | {
        "start_air": 27.0, "start_mass": 29.0, "set": 25.0, "cold": 800.0, "heat_to": 22.0,
    }  # fmt: skip
    work = drive(6)

    def run(given: dict[str, float]) -> Run:
        box = Box(*(given[n] for n in FIELDS))
        return held_run(
            box, work, STEP_S, given["start_air"], given["start_mass"], given["set"], given["cold"], given["heat_to"], 300.0
        )  # fmt: skip

    spread = values[name] * np.array([0.9, 1.0, 1.1])
    many = run(values | {name: spread[:, None] if name == "cold" else spread})  # type: ignore[dict-item]
    assert many.air_c.shape == (3, 72)
    for n in range(3):
        one = run(values | {name: float(spread[n])})
        assert many.air_c[n] == pytest.approx(one.air_c, rel=1e-12) and many.added_w[n] == pytest.approx(
            one.added_w, abs=1e-8
        )
        left = many.left_over_w(Box(*((values | {name: spread})[f] for f in FIELDS)), work, STEP_S)  # type: ignore[arg-type]
        assert np.abs(left).max() < 1e-6


def test_the_settled_day_repeats() -> None:
    day = drive(24)
    air, mass = settled_start(BOX, day, STEP_S)
    run = free_run(BOX, day, STEP_S, air, mass)
    assert [run.air_c[-1], run.mass_c[-1]] == pytest.approx([air, mass], rel=1e-12)
    long = Drive(*(np.tile(getattr(day, key), 30) for key in Drive.__dataclass_fields__))
    assert free_run(BOX, long, STEP_S, 0.0, 50.0).air_c[-1] == pytest.approx(air, abs=1e-6), (
        "many days alike come to it"
    )


def test_the_settled_day_of_several_boxes_repeats() -> None:
    day, boxes = drive(24), several()
    air, mass = settled_start(boxes, day, STEP_S)
    run = free_run(boxes, day, STEP_S, air, mass)
    assert np.shape(air) == (6,)
    assert run.air_c[:, -1] == pytest.approx(air, rel=1e-12) and run.mass_c[:, -1] == pytest.approx(mass, rel=1e-12)


# -------------------------------------------------------------------------------------------- what may never happen


def sunny(absorptance: float, shade: float, scale: float = 1.0) -> Drive:
    """A day in which the skin takes up sun."""
    hour = np.arange(24 * STEPS_PER_HOUR) / STEPS_PER_HOUR
    high = np.maximum(0.0, np.sin((hour - 6.0) * np.pi / 12.0))
    dni, dhi = 900.0 * np.sqrt(high), 110.0 * high
    sun = solar_gain.face_irradiance_w_m2(dni, dhi, dni * high + dhi, high, 1.0, shade)
    air = 30.0 + 6.0 * np.sin((hour - 9.0) * np.pi / 12.0)
    sol_air = solar_gain.sol_air_c(air, scale * sun, absorptance, solar_gain.sky_loss_w_m2(0.9, 0.0), 17.0)
    return Drive(air, np.asarray(sol_air), 0.0 * hour, 0.0 * hour)


@given(BOXES, st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
@settings(max_examples=25)
def test_a_lighter_skin_or_more_shade_never_makes_it_warmer(
    box: Box, light: float, dark: float, less: float, more: float
) -> None:
    light, dark, less, more = min(light, dark), max(light, dark), min(less, more), max(less, more)

    def peak(absorptance: float, shade: float) -> float:
        work = sunny(absorptance, shade)
        return float(free_run(box, work, STEP_S, *settled_start(box, work, STEP_S)).air_c.max())

    worst = peak(dark, less)
    assert peak(light, less) <= worst + 1e-9 and peak(dark, more) <= worst + 1e-9


def test_a_lighter_skin_is_cooler_by_what_can_be_felt() -> None:
    runs = [
        free_run(BOX, w, STEP_S, *settled_start(BOX, w, STEP_S)).air_c.max()
        for w in (sunny(0.25, 0.0), sunny(0.9, 0.0), sunny(0.9, 0.5))
    ]
    assert runs[0] < runs[2] - 2.0 and runs[2] < runs[1] - 2.0


@given(BOXES, st.floats(0.0, 3000.0), st.floats(0.0, 3000.0))
@settings(max_examples=25)
def test_more_cold_never_makes_the_held_day_warmer(box: Box, some: float, more: float) -> None:
    peaks = [held_run(box, drive(24), STEP_S, 28.0, 28.0, 25.0, cold).air_c.max() for cold in sorted((some, more))]
    assert peaks[1] <= peaks[0] + 1e-9


@given(st.floats(1.0, 300.0), st.floats(-30.0, 30.0), st.floats(0.0, 800.0), st.floats(0.0, 25.0), st.floats(0.0, 10.0))
@settings(max_examples=50)
def test_a_warmer_inside_never_takes_less_heat(
    ua: float, outside: float, gains: float, inside: float, more: float
) -> None:
    less_w, more_w = heater_w(ua, np.array([inside, inside + more]), outside, gains)
    assert 0.0 <= less_w <= more_w
    if less_w > 0.0:
        assert more_w - less_w == pytest.approx(ua * more, rel=1e-9, abs=1e-6)


@given(st.floats(1.0, 200.0), st.floats(1.01, 50.0))
@settings(max_examples=25)
def test_film_and_fabric_in_series_are_the_faces_again(ua: float, times: float) -> None:
    fabric = enclosure.fabric_w_per_k(ua, ua * times)
    assert fabric > ua and 1.0 / (1.0 / fabric + 1.0 / (ua * times)) == pytest.approx(ua, rel=1e-12)


@pytest.mark.parametrize("name", FIELDS)
@pytest.mark.parametrize("value", [-1.0, 0.0, np.array([5.0, -3.0]), float("nan")])
def test_a_box_that_holds_or_passes_nothing_is_refused(name: str, value: float) -> None:
    if name == "air_w_per_k" and np.all(np.asarray(value) == 0.0):
        assert modes_of(replace(BOX, air_w_per_k=0.0)).slow < 0.0, "a tight box is one"
        return
    with pytest.raises(ValueError, match=name):
        modes_of(replace(BOX, **{name: value}))
