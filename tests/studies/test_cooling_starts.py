"""How often the cooler starts, how sure that is, and that question 04 tells it beside its worst moments."""

from __future__ import annotations

import re

import numpy as np
import pytest
from box_by_hand import SET_C, by_hand, nodes_of
from scipy.integrate import solve_ivp

import trailerlib as tl
from trailerlib.buildfile import pages
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import hold, starts
from trailerlib.studies.cooling.result import result_of


@pytest.fixture(scope="module")
def box(demo: tl.Design) -> tl.Design:
    return by_hand(demo)


def note(design: tl.Design, question: str) -> str:
    return " ".join(tl.study(question, design).beside.note.split())


def by_integrator(design: tl.Design, share: float) -> list[float]:
    """Moments of the day at which it starts [s], an integrator stopped at each switching; the air node scaled."""
    nodes, case = nodes_of(design), heat.case_of(design)
    need = hold.asked(case, SET_C)
    rated = sum(float(load.cooling_w or 0.0) for load in hold.coolers(design))
    cold, high, low = need.cold_w(rated), SET_C + 1.5 / 1.8, SET_C - 1.5 / 1.8
    t, y, on, found, wait = 0.0, [need.start_air_c, need.start_mass_c], False, [], 0.0
    while t < 86400.0 - 1e-6:
        end = min(86400.0, (t // 300 + 1) * 300.0)
        if not on and t < wait:
            end = min(end, wait)

        def rates(s: float, z: np.ndarray, on: bool = on, n: int = int((t + 1e-6) // 300)) -> list[float]:
            warms, held = nodes.rates(300.0 * n + 1.0, z[0], z[1])
            return [(warms - (cold[n] if on else 0.0)) / (nodes.air_j * share), held / nodes.mass_j]

        def edge(s: float, z: np.ndarray, on: bool = on) -> float:
            return float(z[0] - (low if on else high))

        edge.terminal, edge.direction = True, -1.0 if on else 1.0  # type: ignore[attr-defined]
        watch = on or t >= wait
        if watch and not on and y[0] >= high:
            on = True
            found.append(t)
            continue
        run = solve_ivp(rates, (t, end), y, events=edge if watch else None, rtol=1e-9, atol=1e-9)
        t, y = float(run.t[-1]), run.y[:, -1].tolist()
        if run.status == 1:
            on = not on
            if on:
                found.append(t)
            else:
                wait = t + 180.0
    return found


@pytest.mark.parametrize(("share", "which"), [(0.5, "with_half_per_h"), (1.0, "per_h"), (2.0, "with_twice_per_h")])
def test_the_starts_by_an_integrator(share: float, which: str, box: tl.Design) -> None:
    """Starts of the busiest hour, hours begun at every five minutes; one more or less lies on an edge."""
    moments = np.array(by_integrator(box, share))
    counted = max(((moments >= 300.0 * k) & (moments < 300.0 * k + 3600.0)).sum() for k in range(288 - 11))
    found = starts.starts_of(box)
    assert found is not None and abs(getattr(found, which) - counted) <= 1.0 and counted >= 5
    if share == 1.0:
        assert found.apart_s == pytest.approx(np.diff(moments).min(), abs=1.0)


def test_the_guess_lies_near_a_standards_default(box: tl.Design) -> None:
    """EN ISO 52016-1: 10 kJ/K for each square metre of floor, air and furniture together (from memory)."""
    floor = next(part.area_m2 for part in heat.case_of(box).surfaces if part.side == "floor")
    ratio = heat.case_of(box).box.air_j_per_k / (10e3 * floor)
    assert 1 / starts.MORE_OR_LESS < ratio < starts.MORE_OR_LESS and ratio == pytest.approx(1.2, abs=0.1)


def test_the_span_is_that_of_the_guess(box: tl.Design) -> None:
    found = starts.starts_of(box)
    assert found is not None and found.with_half_per_h >= found.per_h >= found.with_twice_per_h
    assert found.span == f"{found.with_twice_per_h:.0f} to {found.with_half_per_h:.0f}"
    assert found.per_h == tl.study("cooling", box).value("starts")
    assert found.apart_s is not None and found.apart_s > hold.PAUSE_S
    told = note(box, "cooling")
    assert "common practice, no source" in told and f"starts {found.with_half_per_h:.0f} times" in told
    assert f"with twice {found.with_twice_per_h:.0f} times" in told


def test_question_04_says_how_often_the_start_current_comes(box: tl.Design) -> None:
    found, cooler = starts.starts_of(box), result_of(box).cooler
    assert found is not None and cooler is not None
    told = note(box, "mains")
    assert f"the roof cooler runs {100 * cooler.duty:.3g} % of the day and starts {found.span} times" in told
    apart = re.search(r"(\d+) min apart at the closest", told)
    assert apart and int(apart[1]) == round((found.apart_s or 0.0) / 60) and "rests 3 min at least" in told
    printed = pages.pages(box, tl.assess(box), {}, "2026-07-21")["sections"]
    (section,) = [part for part in printed if part["question"] == "mains"]
    assert "of the day and starts" in section["note"].replace("\u00a0", " "), "on paper too"


def test_the_worst_moment_of_question_04_stays_full_draw(box: tl.Design) -> None:
    """Whatever the thermostat is set to and however little it runs."""
    warm = box.replace("comfort.set_point", "95 °F")
    assert tl.study("mains", warm).value("stay_a") == tl.study("mains", box).value("stay_a")
    small, usual = (result_of(design).cooler for design in (warm, box))
    assert small is not None and usual is not None and small.duty < 0.5 * usual.duty


def test_what_is_not_known_of_the_starts_is_said(box: tl.Design) -> None:
    assert "How often the roof cooler would start is not known" in note(box.replace("envelope.leakage", None), "mains")
    assert starts.starts_of(box.replace("comfort.set_point", None)) is None
    assert "How often it starts" not in note(box.replace("comfort.set_point", None), "cooling")


def test_without_a_cooler_nothing_is_said(box: tl.Design) -> None:
    bare = box.replace("load.roof cooler.on", False)
    assert starts.on_the_mains(bare) == "" == starts.rests_on(bare)


def test_a_cooler_that_never_has_to_start(box: tl.Design) -> None:
    cool = box.replace_all({"site.hottest": "50 °F", "comfort.set_point": "95 °F"})
    assert starts.on_the_mains(cool) == "On the hottest day the roof cooler never starts."
    assert starts.rests_on(cool) == ""


def test_two_coolers_are_told_as_two() -> None:
    cart = tl.read_design(tl.shipped_trailers()["kiln-cart"])
    told = starts.on_the_mains(cart)
    assert "the front cooler and the rear cooler run" in told and "what they draw" in told
