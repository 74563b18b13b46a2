"""The air of the night by hand: the fan and its opening, carbon dioxide, the gap for the mark, the dew point."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import psychrolib
import pytest
from box_by_hand import CFM, FT, FT2, FT3, INCH, VOLUME_FT3, by_hand, standard_pa
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

import trailerlib as tl
from trailerlib.studies.cooling import cold, shell, sleep
from trailerlib.studies.cooling.sleep import Night

FREE_M3_S, SHUT_OFF_PA, LOW = 0.42475, 74.73, 0.48  # the class "roof fan low": 900 cfm, 0.30 in of water
WINDOW = 0.61 * 0.5  # a sharp edge, and what an insect screen lets through
OUTSIDE_PPM = 420.0


@pytest.fixture(scope="module")
def box(demo: tl.Design) -> tl.Design:
    return by_hand(demo)


def night_of(design: tl.Design) -> Night:
    return sleep.night(design)


def each_m3_s(design: tl.Design) -> float:
    """A sleeper's 0.003056 L/s at sea level takes more room where the air is thin."""
    return 0.003056e-3 * 101325 / standard_pa(design.site.elevation or 0.0)


def fan_by_hand(open_m2: float, count: int = 1, speed: float = LOW) -> float:
    """Where the fan's parabola meets the orifice, by bracketing [m3/s]."""
    free = count * FREE_M3_S * speed

    def spare(flow: float) -> float:
        return SHUT_OFF_PA * speed**2 * (1 - (flow / free) ** 2) - 1.2041 / 2 * (flow / open_m2) ** 2

    return float(brentq(spare, 1e-9, free, xtol=1e-13))


def test_the_fans_flow_by_bracketing(box: tl.Design) -> None:
    one = WINDOW * 3 * INCH * 24 * INCH
    assert night_of(box).moved_m3_s == pytest.approx(fan_by_hand(one))
    assert night_of(box.replace("opening.door window.screen", False)).moved_m3_s == pytest.approx(fan_by_hand(2 * one))
    unsaid = night_of(box.replace("opening.door window.screen", None))
    assert unsaid.moved_m3_s == pytest.approx(fan_by_hand(one)), "a screen is taken to be there"
    wide = night_of(box.replace("opening.door window.gap", "30 in"))
    assert wide.moved_m3_s == pytest.approx(fan_by_hand(WINDOW * 3 * FT2)), "no more than the whole window"
    ramp = night_of(box.replace("opening.rear ramp.gap", "2 in"))
    assert ramp.moved_m3_s == pytest.approx(fan_by_hand(one + WINDOW * 2 * INCH * 6 * FT)), "openings add"


def test_two_fans_and_a_faster_one(box: tl.Design) -> None:
    one = WINDOW * 3 * INCH * 24 * INCH
    assert night_of(box.replace("load.roof fan.count", 2)).moved_m3_s == pytest.approx(fan_by_hand(one, count=2))
    high = night_of(box.replace("load.roof fan.class", "roof fan high"))
    assert high.moved_m3_s == pytest.approx(fan_by_hand(one, speed=1.0))
    answer = tl.study("cooling", box)
    assert answer.value("fan_flow") == pytest.approx(fan_by_hand(one))
    assert answer.value("changes") == pytest.approx(3600 * fan_by_hand(one) / (VOLUME_FT3 * FT3))
    assert answer.value("fan_a") == pytest.approx(4 / 12) and 0 < answer.value("fan_back") < answer.value("fan_flow")


def breathed(design: tl.Design, fan_m3_s: float, spans: list[tuple[float, float]]) -> Any:
    """Carbon dioxide from 18 to 7 h by an integrator, switched on the dot, at every five minutes [ppm]."""
    volume, leaks = VOLUME_FT3 * FT3, 0.7 * VOLUME_FT3 * FT3 / 3600
    given = 2e6 * each_m3_s(design)
    cuts = sorted({18.0, 31.0, *(t for span in spans for t in span)})
    found, level = [OUTSIDE_PPM], OUTSIDE_PPM
    for begin, end in zip(cuts, cuts[1:], strict=False):
        flow = fan_m3_s if any(a <= begin < b for a, b in spans) else leaks
        at = np.arange(math.floor(begin * 12) + 1, math.floor(end * 12 + 1e-9) + 1) * 300.0
        run = solve_ivp(lambda _, c, flow=flow: [(given + flow * (OUTSIDE_PPM - c[0])) / volume], (begin * 3600, end * 3600),
                        [level], t_eval=at, rtol=1e-10, atol=1e-8)  # fmt: skip
        found += run.y[0].tolist()
        level = found[-1]
    return np.array(found)


@pytest.mark.parametrize(("timetable", "spans"), [
    ("all", [(18.0, 31.0)]), ("20:00-23:00, 02:00-05:00", [(20.0, 23.0), (26.0, 29.0)]), ("22:15-06:40", [(22.25, 30.0 + 2 / 3)]),
    (None, []),
])  # fmt: skip
def test_carbon_dioxide_of_the_night_by_an_integrator(
    timetable: str | None, spans: list[tuple[float, float]], box: tl.Design
) -> None:
    design = box.replace(("stay", "night", "on", "roof fan"), timetable)
    night, fan = night_of(design), fan_by_hand(WINDOW * 3 * INCH * 24 * INCH)
    assert night.hour_h == pytest.approx(18 + np.arange(157) / 12)
    assert night.lasting == pytest.approx(breathed(design, fan, spans), abs=0.01)
    assert night.shut_ppm == pytest.approx(breathed(design, fan, []), abs=0.01)
    answer = tl.study("cooling", design)
    assert answer.value("co2_ppm") == pytest.approx(night.lasting[-1])
    assert answer.value("shut_ppm") == pytest.approx(night.shut_ppm[-1])
    assert answer.picture.night.people == 2 and answer.picture.night.shut_ppm == pytest.approx(night.shut_ppm)


def test_leaks_are_no_part_of_what_the_fan_draws(box: tl.Design) -> None:
    """The larger of the two: a leaky box has its leaks even where the fan is weak."""
    leaky = box.replace_all({("envelope", "leakage"): 12, ("opening", "door window", "gap"): "0.1 in"})
    night = night_of(leaky)
    assert night.moved_m3_s is not None and night.moved_m3_s < night.leaks_m3_s == pytest.approx(
        12 * VOLUME_FT3 * FT3 / 3600
    )
    assert night.lasting == pytest.approx(night.shut_ppm)


def test_a_tight_box_climbs_in_a_straight_line(box: tl.Design) -> None:
    night = night_of(box.replace_all({("envelope", "leakage"): 0, ("stay", "night", "on", "roof fan"): None}))
    climbed = 2e6 * each_m3_s(box) * 13 * 3600 / (VOLUME_FT3 * FT3)
    assert night.shut_ppm[-1] == pytest.approx(OUTSIDE_PPM + climbed)


@pytest.mark.parametrize(
    ("people", "mark", "leakage"), [(2, 1000, 0.7), (6, 800, 0.7), (1, 600, 0.1), (4, 1500, 0.0), (4, 1500, 1e-300)]
)
def test_when_a_shut_box_passes_the_mark_by_an_integrator(
    people: int, mark: int, leakage: float, box: tl.Design
) -> None:
    changes = {("stay", "night", "people"): people, ("comfort", "co2"): mark, ("envelope", "leakage"): leakage}
    design, volume = box.replace_all(changes), VOLUME_FT3 * FT3
    given, flow = 1e6 * people * each_m3_s(box), leakage * volume / 3600

    def over(_: float, ppm: Any) -> float:
        return float(ppm[0] - mark)

    run = solve_ivp(
        lambda _, c: [(given + flow * (OUTSIDE_PPM - c[0])) / volume], (0.0, 1e6), [OUTSIDE_PPM], events=over, rtol=1e-10, atol=1e-8,
    )  # fmt: skip
    assert tl.study("cooling", design).value("passed_h") * 3600 == pytest.approx(run.t_events[0][0], rel=1e-6)


def test_a_tight_box_has_no_working_of_what_it_comes_to_in_the_end(box: tl.Design) -> None:
    for leakage, shown in ((0.0, False), (1e-300, False), (1e-3, True)):
        titles = [step.title for step in tl.study("cooling", box.replace("envelope.leakage", leakage)).working]
        assert titles and any(title.endswith(", shut in") for title in titles) is shown


def test_a_mark_that_leaks_alone_keep_is_never_passed(box: tl.Design) -> None:
    """Twelve changes an hour keep two sleepers far below 1000 ppm; without a mark there is nothing to pass."""
    assert math.isnan(tl.study("cooling", box.replace("envelope.leakage", 12)).value("passed_h"))
    assert math.isnan(tl.study("cooling", box.replace("comfort.co2", None)).value("passed_h"))


def test_the_working_of_the_night_leads_to_its_numbers(box: tl.Design) -> None:
    answer = tl.study("cooling", box)
    steps = {step.title: step.value for step in answer.working}
    assert steps["Carbon dioxide after some hours, shut in"] == pytest.approx(answer.value("shut_ppm"))
    assert steps["Time until a mark is passed, shut in"] == pytest.approx(answer.value("passed_h"))
    made = SHUT_OFF_PA * LOW**2 * (1 - (answer.value("fan_flow") / (LOW * FREE_M3_S)) ** 2)
    thin = standard_pa(box.site.elevation or 0.0) / 101325
    assert steps["Pressure it takes to draw air through an opening"] == pytest.approx(made * thin), "the fan makes it"


@pytest.mark.parametrize(("people", "mark"), [(2, 1000), (1, 600), (4, 1500), (6, 800)])
def test_the_gap_for_the_mark_really_gives_the_mark(people: int, mark: int, box: tl.Design) -> None:
    """Cracked so far, the air moved is what keeps the mark: after a long night just that, and never more."""
    design = box.replace_all({("stay", "night", "people"): people, ("comfort", "co2"): mark})
    answer = tl.study("cooling", design)
    needed = 1e6 * people * each_m3_s(design) / (mark - OUTSIDE_PPM)
    assert answer.value("needed_flow") == pytest.approx(needed)
    cracked = tl.study("cooling", design.replace("opening.door window.gap", f"{answer.value('gap_m')} m"))
    assert cracked.value("fan_flow") == pytest.approx(needed)
    assert fan_by_hand(WINDOW * answer.value("gap_m") * 24 * INCH) == pytest.approx(needed)
    assert cracked.value("co2_ppm") <= mark + 1e-6 and cracked.value("co2_ppm") > 0.93 * mark
    less = tl.study("cooling", design.replace("opening.door window.gap", f"{0.8 * answer.value('gap_m')} m"))
    assert less.value("co2_ppm") > cracked.value("co2_ppm")


def test_a_mark_that_no_gap_can_keep_has_none(box: tl.Design) -> None:
    for changes in ({("comfort", "co2"): 450, ("stay", "night", "people"): 12},  # beyond the fan
                    {("opening", "door window", "size"): ["2 in", "2 in"], ("comfort", "co2"): 700}):  # fmt: skip
        answer = tl.study("cooling", box.replace_all(changes))
        assert math.isnan(answer.value("gap_m")) and answer.text()


def test_which_window_is_cracked(box: tl.Design) -> None:
    assert night_of(box).window == "door window"
    shut = box.replace("opening.door window.gap", None)
    assert night_of(shut).window == "door window", "the first that could be"
    ramp = shut.replace("opening.rear ramp.gap", "2 in")
    assert night_of(ramp).window == "rear ramp"
    none = box.replace("opening", [hole for hole in box.get("opening") if hole["kind"] == "roof fan"])
    assert night_of(none).window is None and night_of(none).gap_m is None


def test_dew_point_by_hand(box: tl.Design) -> None:
    """28 degF at nine tenths comes in; two sleepers give 27 W of water each; the room is warmed to 60 degF."""
    pressure, inside = standard_pa(5200 * FT), (60 - 32) / 1.8
    outside = psychrolib.GetHumRatioFromRelHum((28 - 32) / 1.8, 0.9, pressure)
    dry = 1 / psychrolib.GetMoistAirVolume(inside, outside, pressure)
    fan, leaks = fan_by_hand(WINDOW * 3 * INCH * 24 * INCH), 0.7 * VOLUME_FT3 * FT3 / 3600
    for design, flow in ((box, fan), (box.replace(("stay", "night", "on", "roof fan"), None), leaks)):
        steady = outside + 2 * 27 / 2.501e6 / (dry * flow)
        water = steady + (outside - steady) * math.exp(-13 * 3600 * flow / (VOLUME_FT3 * FT3))
        humid = min(1.0, psychrolib.GetRelHumFromHumRatio(inside, water, pressure))
        assert night_of(design).dew_c == pytest.approx(psychrolib.GetTDewPointFromRelHum(inside, humid), abs=0.02)
    tight = night_of(box.replace_all({("envelope", "leakage"): 0, ("stay", "night", "on", "roof fan"): None}))
    assert tight.dew_c == pytest.approx(inside, abs=0.02), "no more than the air can hold"
    assert night_of(box.replace("site.coldest", None)).dew_c is None


def test_an_unheated_night_is_taken_at_18_degrees_or_as_warm_as_outside(box: tl.Design) -> None:
    """A tight box fills with water up to what its air can hold: the dew point is then the room's own temperature."""
    tight = box.replace_all(
        {("envelope", "leakage"): 0, ("stay", "night", "on", "roof fan"): None, ("comfort", "heat_to"): None}
    )
    assert night_of(tight).dew_c == pytest.approx(18.0, abs=0.02)
    assert night_of(tight.replace("site.coldest", "25 °C")).dew_c == pytest.approx(25.0, abs=0.02)


def test_the_cold_night_by_hand(box: tl.Design) -> None:
    """Winter films, leaks of dry air at 28 degF, two sleepers of 43 W; the face of the glass takes its film's share."""
    found = cold.cold_of(box)
    assert found is not None
    outside, inside = (28 - 32) / 1.8, (60 - 32) / 1.8
    faces = sum(part.u * part.area_m2 for part in shell.surfaces(box, "winter"))
    dry = standard_pa(5200 * FT) / (287.042 * (outside + 273.15))
    leaks = 0.7 * VOLUME_FT3 * FT3 / 3600 * dry * 1006
    assert found.ua == pytest.approx(faces + leaks, rel=1e-3)
    assert found.needed_w == pytest.approx((faces + leaks) * (inside - outside) - 86, rel=1e-3)
    assert found.faces_c["door window"] == pytest.approx(inside - 5.6 * 0.12 * (inside - outside))
    assert min(found.faces_c, key=lambda name: found.faces_c[name]) == "door window" and "floor" not in found.faces_c
    assert tl.study("cooling", box).value("heater_w") == pytest.approx(found.needed_w)


def test_the_strip_over_a_stud_is_the_coldest_of_a_wall_by_hand(box: tl.Design) -> None:
    """Zone method written out for the tube of 1 by 1 in, wall 0.065 in, in an inch of foam: a strip of two inches.

    Winter films of 0.03 and 0.12 m2 K/W (roof 0.11). The strip is far colder than the mean of the wall; water settles on
    it first, and the finding is about it where no glass is colder.
    """
    foam, steel, ply, skin, wide, wall = 0.0288, 45.3, 0.115, 221.0, 2.0, 0.065
    flange = wall * INCH * wide / (1.0 * steel + 1.0 * foam)
    webs = (1.0 - 2 * wall) * INCH * wide / (2 * wall * steel + (wide - 2 * wall) * foam)
    layers = 0.030 * INCH / skin + 2 * flange + webs + 0.25 * INCH / ply
    outside, inside = (28 - 32) / 1.8, (60 - 32) / 1.8
    strip = {film: inside - film / (0.03 + layers + film) * (inside - outside) for film in (0.12, 0.11)}
    found = cold.cold_of(box)
    assert found is not None
    assert found.faces_c["wall over a stud"] == pytest.approx(strip[0.12], abs=0.01)
    assert found.faces_c["roof over a stud"] == pytest.approx(strip[0.11], abs=0.01)
    assert found.faces_c["wall"] > found.faces_c["wall over a stud"] + 3.0
    assert "side door over a stud" not in found.faces_c, "its face has no studs"
    blind = box.replace("opening", [hole for hole in box.get("opening") if hole["kind"] != "window"])
    (finding,) = [c for c in tl.study("cooling", blind).checks if c.rule == "wall-condensation"]
    assert finding.subject == "wall over a stud" and finding.measured == pytest.approx(strip[0.12], abs=0.01)


@pytest.mark.parametrize("gone", [("envelope", "leakage"), ("stay", "night", "people"), ("site", "elevation")])
def test_the_numbers_of_a_night_that_is_not_known_are_not_known(gone: tuple[str, ...], box: tl.Design) -> None:
    answer, whole = tl.study("cooling", box.replace(gone, None)), tl.study("cooling", box)
    assert list(answer.numbers) == list(whole.numbers)
    for key in (
        "fan_flow",
        "fan_back",
        "changes",
        "fan_a",
        "co2_ppm",
        "shut_ppm",
        "passed_h",
        "needed_flow",
        "leaks",
        "gap_m",
        "dew_c",
    ):
        assert math.isnan(answer.value(key)) and not math.isnan(whole.value(key)), key
        assert answer.numbers[key].kind == whole.numbers[key].kind
    words = {check.rule: check.severity for check in answer.checks}
    assert {words[rule] for rule in ("air-carbon-dioxide", "air-carbon-dioxide-harm", "wall-condensation")} == {
        "not checked"
    }


def test_what_the_heaters_give(box: tl.Design) -> None:
    heater = {"name": "heater", "class": "space heater", "circuit": "bench outlets", "place": "bench"}
    electric = box.replace_all({("load",): [*box.get("load"), heater], ("comfort", "heater"): "electric"})
    found = {
        kind: cold.cold_of(electric.replace("comfort.heater", kind))
        for kind in ("electric", "none", "sealed flame", None)
    }
    assert [c.there_w for c in found.values() if c is not None] == [1500.0, 0.0, None, None]


def test_the_moment_a_stay_begins_and_ends_is_kept(box: tl.Design) -> None:
    short = night_of(box.replace_all({("stay", "night", "from"): "23:30", ("stay", "night", "to"): "00:10"}))
    assert (short.hour_h[0], short.hour_h[-1], len(short.hour_h)) == (23.5, pytest.approx(24 + 1 / 6), 9)


@settings(max_examples=25, deadline=None)
@given(gap=st.floats(0.0, 24.0), wider=st.floats(0.0, 6.0))
def test_a_wider_gap_never_lowers_the_flow(gap: float, wider: float, box: tl.Design) -> None:
    flows = [night_of(box.replace("opening.door window.gap", f"{g} in")) for g in (gap, gap + wider)]
    assert flows[1].moved_m3_s >= flows[0].moved_m3_s
    assert flows[1].lasting[-1] <= flows[0].lasting[-1] + 1e-9


@settings(max_examples=25, deadline=None)
@given(fewer=st.integers(1, 18), more=st.integers(0, 2), gap=st.floats(0.0, 6.0), leakage=st.floats(0.0, 3.0))
def test_fewer_sleepers_never_more_carbon_dioxide(
    fewer: int, more: int, gap: float, leakage: float, box: tl.Design
) -> None:
    base = box.replace_all({("opening", "door window", "gap"): f"{gap} in", ("envelope", "leakage"): leakage})
    few, many = (night_of(base.replace("stay.night.people", n)) for n in (fewer, fewer + more))
    assert (few.lasting <= many.lasting + 1e-9).all() and (few.shut_ppm <= many.shut_ppm + 1e-9).all()
    assert few.needed_m3_s is not None and many.needed_m3_s is not None and few.needed_m3_s <= many.needed_m3_s
    assert few.needed_m3_s / CFM == pytest.approx(fewer * 1e6 * each_m3_s(box) / 580 / CFM)
