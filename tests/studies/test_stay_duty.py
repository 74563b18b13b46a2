"""How much of a stay a cooler runs: against an integrator, against what is stated, and what must hold of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import psychrolib
import pytest
from box_by_hand import MIDDLE_H, SET_C, by_hand, march, nodes_of, standard_pa
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.physics import cooler
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import gains, hold
from trailerlib.studies.cooling.stay_duty import cooler_duty
from trailerlib.studies.duty import duty_in
from trailerlib.studies.running import running_in


@pytest.fixture(scope="module")
def box(demo: tl.Design) -> tl.Design:
    return by_hand(demo)


@pytest.fixture(scope="module")
def cart() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["kiln-cart"])


def duty(design: tl.Design, stay: str = "camp", load: str = "roof cooler", **changes: Any) -> float | None:
    changed = design.replace_all({tuple(key.split("__")): value for key, value in changes.items()})
    return cooler_duty(changed, changed.load(load), changed.stay(stay))


def by_integrator(design: tl.Design, stay_name: str, first: float, last: float) -> float:
    """Six days alike in the air of the stay: the cooler gives what it can from ``first`` to ``last`` [h], no more.

    Water is taken out while it cools; each quarter of an hour runs by its load, starts counted.
    """
    stay, case, nodes = design.stay(stay_name), heat.case_of(design), nodes_of(design)
    air, set_c = float(stay.ambient or 0.0), float(design.comfort.set_point or 0.0)
    own, day = gains.of_stay(design, stay, MIDDLE_H).dry_w, case.gains.dry_w
    there = replace(nodes, outside=np.full(288, air), sol_air=nodes.sol_air - nodes.outside + air, air_w=0.5 * own,
                    mass_w=nodes.mass_w + 0.5 * (own - day))  # fmt: skip
    pressure = standard_pa(design.site.elevation or 0.0)
    wet = psychrolib.GetTWetBulbFromRelHum(set_c, 0.5, pressure)
    rated = sum(float(load.cooling_w or 0.0) for load in hold.coolers(design) if load.name in stay.on)
    able = float(cooler.cooling_w(rated, wet, air))
    inside, outside = psychrolib.GetHumRatioFromRelHum(set_c, 0.5, pressure), case.outside_water or 0.0
    damp = gains.people_w(stay)[1] + 2.501e6 * case.leak_m3_s * case.dry_kg_m3 * (outside - inside)
    most = max(able - damp, 0.6 * able)

    def cold(t: float, inside_c: float) -> float:
        on = first <= (t / 3600) % 24 < last
        return min(most, 1e5 * max(0.0, inside_c - set_c)) if on else 0.0

    dry = np.diff(march(there, set_c, 6, cold)[2, ::3]) / 900
    asked = dry + np.where(dry > 1.0, damp, 0.0)
    share = np.minimum(1.0, asked / able)[int(first * 4) : int(last * 4)]
    return float((share / (0.85 + 0.15 * share)).mean())


@pytest.mark.parametrize(("btu", "people"), [(13500, 2), (8000, 2), (5000, 2), (13500, 12)])
def test_the_duty_in_a_stay_by_an_integrator(btu: int, people: int, box: tl.Design) -> None:
    """Switched on at 11 h in a box that has been hot: it first has to bring it down, a small one for hours.

    With twelve people half a kilowatt of its cold goes into their water, and the rest takes longer.
    """
    design = box.replace_all({("load", "roof cooler", "cooling"): f"{btu} Btu/h", ("stay", "camp", "people"): people})
    assert duty(design) == pytest.approx(by_integrator(design, "camp", 11, 18), rel=0.01)


def test_two_coolers_in_a_stay_by_an_integrator(cart: tl.Design) -> None:
    found = [duty(cart, "class day", f"{end} cooler") for end in ("front", "rear")]
    assert found[0] == found[1] == pytest.approx(by_integrator(cart, "class day", 8, 16), rel=0.01)
    assert duty(cart, "small yard", "front cooler") == pytest.approx(by_integrator(cart, "small yard", 9, 15), rel=0.01)
    assert duty(cart, "small yard", "rear cooler") is None, "not on there"


def test_a_short_time_on_after_a_hot_day_is_nearly_all_running(box: tl.Design) -> None:
    found = duty(box, stay__camp__on={**box.get("stay.camp.on"), "roof cooler": "16:00-17:00"})
    design = box.replace(("stay", "camp", "on", "roof cooler"), "16:00-17:00")
    assert (
        found == pytest.approx(by_integrator(design, "camp", 16, 17), rel=0.02) and found is not None and found > 0.85
    )


def test_a_stated_duty_wins(box: tl.Design) -> None:
    load, stay = box.load("roof cooler"), box.stay("camp")
    assert running_in(box, load, stay) == duty(box) != duty_in(load, stay)
    stated = box.replace("load.roof cooler.duty", "35 %")
    assert running_in(stated, stated.load("roof cooler"), stated.stay("camp")) == 0.35
    lamp = box.load("microscope lamp")
    assert running_in(box, lamp, stay) == duty_in(lamp, stay)


@pytest.mark.parametrize("gone", [
    ("comfort", "set_point"), ("stay", "camp", "ambient"), ("envelope", "skin"), ("envelope", "leakage"),
    ("site", "latitude"), ("face", "roof", "layers"), ("stay", "camp", "on", "roof cooler"),
])  # fmt: skip
def test_where_the_box_is_not_known_the_class_says(gone: tuple[str, ...], box: tl.Design) -> None:
    design = box.replace(gone, None)
    load, stay = design.load("roof cooler"), design.stay("camp")
    assert cooler_duty(design, load, stay) is None
    assert running_in(design, load, stay) == duty_in(load, stay) == 0.6


def test_what_is_no_cooler_or_is_switched_off_has_no_such_duty(box: tl.Design) -> None:
    assert duty(box, load="specimen fridge") is None
    assert duty(box, **{"load__roof cooler__on": False}) is None


def test_minutes_too_few_to_tell_leave_it_to_the_class(box: tl.Design) -> None:
    on = {**box.get("stay.camp.on"), "roof cooler": "16:00-16:05"}
    assert duty(box, stay__camp__on=on) is None


def test_the_energy_of_a_stay_counts_it(box: tl.Design) -> None:
    row = next(row for row in tl.study("loads", box).rows if row["name"] == "roof cooler")
    assert row["stay_2"] == pytest.approx(row["running_w"] * 7 * float(duty(box) or 0.0))


def test_a_day_cooler_than_the_set_point_runs_it_little_or_not_at_all(box: tl.Design) -> None:
    cold = duty(box, stay__camp__ambient="30 °F")
    mild, warm = duty(box, stay__camp__ambient="70 °F"), duty(box, stay__camp__ambient="110 °F")
    assert cold == 0.0 and mild is not None and warm is not None and 0.0 < mild < 0.3 < warm <= 1.0


def test_a_lower_set_point_and_more_sun_run_it_more(box: tl.Design) -> None:
    usual = duty(box)
    lower, shaded = duty(box, comfort__set_point="70 °F"), duty(box, envelope__shade="100 %")
    assert usual is not None and lower is not None and shaded is not None and shaded < usual < lower


@settings(max_examples=40, deadline=None)
@given(ambient=st.floats(40, 120), hotter=st.floats(0, 20), btu=st.sampled_from([5000, 8000, 11000, 13500]),
       on=st.sampled_from(["all", "11:00-18:00", "15:00-16:00, 17:00-18:00"]), leakage=st.floats(0, 5))  # fmt: skip
def test_never_less_in_a_hotter_stay(
    ambient: float, hotter: float, btu: int, on: str, leakage: float, box: tl.Design
) -> None:
    """Invariant, loads that answer to the air themselves left alone."""
    design = box.replace_all({
        ("load", "roof cooler", "cooling"): f"{btu} Btu/h", ("stay", "camp", "on", "roof cooler"): on,
        ("envelope", "leakage"): leakage, ("load", "specimen fridge", "duty"): "40 %",
    })  # fmt: skip
    cool, hot = (duty(design, stay__camp__ambient=f"{air} °F") for air in (ambient, ambient + hotter))
    assert cool is not None and hot is not None and cool <= hot + 1e-9


@settings(max_examples=20, deadline=None)
@given(btu=st.floats(3000, 20000), larger=st.floats(0, 5000))
def test_a_larger_cooler_never_runs_more(btu: float, larger: float, box: tl.Design) -> None:
    small, large = (duty(box, **{"load__roof cooler__cooling": f"{size} Btu/h"}) for size in (btu, btu + larger))
    assert small is not None and large is not None and large <= small + 1e-9


def test_the_set_point_of_the_sums(box: tl.Design) -> None:
    assert box.comfort.set_point == pytest.approx(SET_C)
