"""What must hold of the heat whatever the box: colour, shade, foam; and where foam does not help, shown as well."""

from __future__ import annotations

from typing import Any

import pytest
from box_by_hand import FOAM, by_hand
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import drawn, hold, sleep

LIGHT_TO_DARK = ("white paint", "aged white", "light grey", "mid colour", "dark paint")  # all send out warmth alike
SKINS = st.sampled_from(LIGHT_TO_DARK)
NEAR = 1e-9


@pytest.fixture(scope="module")
def box(demo: tl.Design) -> tl.Design:
    return by_hand(demo)


def changed(design: tl.Design, **changes: Any) -> tl.Design:
    return design.replace_all({tuple(key.split("__")): value for key, value in changes.items()})


def foam(design: tl.Design, face: str, inches: float) -> tl.Design:
    """By the path of the bench's slider."""
    return design.replace(("face", face, "layers", FOAM), f"{inches} in")


def peak_and_cold(design: tl.Design) -> tuple[float, float]:
    """Hottest without power [degC], and the cold of the hour that asks for most [W]."""
    case = heat.case_of(design)
    need = hold.asked(case, float(design.comfort.set_point or 0.0))
    return float(hold.free_c(case).max()), float(hold.hourly(need.total_w).max())


@settings(max_examples=25, deadline=None)
@given(
    skins=st.tuples(SKINS, SKINS),
    walls=SKINS,
    heading=st.floats(0, 360),
    set_f=st.floats(62, 95),
    inches=st.floats(0.25, 4),
)
def test_a_lighter_roof_is_never_hotter(
    skins: tuple[str, str], walls: str, heading: float, set_f: float, inches: float, box: tl.Design
) -> None:
    base = foam(
        changed(box, envelope__skin=walls, envelope__heading=heading, comfort__set_point=f"{set_f} °F"), "roof", inches
    )
    light, dark = sorted(skins, key=LIGHT_TO_DARK.index)
    lighter, darker = (peak_and_cold(base.replace("envelope.roof_skin", skin)) for skin in (light, dark))
    assert lighter[0] <= darker[0] + NEAR and lighter[1] <= darker[1] + NEAR


@settings(max_examples=25, deadline=None)
@given(shade=st.floats(0, 100), more=st.floats(0, 60), skin=SKINS, heading=st.floats(0, 360), set_f=st.floats(62, 95))
def test_more_shade_is_never_hotter(
    shade: float, more: float, skin: str, heading: float, set_f: float, box: tl.Design
) -> None:
    base = changed(box, envelope__skin=skin, envelope__heading=heading, comfort__set_point=f"{set_f} °F")
    less, shaded = (peak_and_cold(base.replace("envelope.shade", f"{min(100.0, s)} %")) for s in (shade, shade + more))
    assert shaded[0] <= less[0] + NEAR and shaded[1] <= less[1] + NEAR


@settings(max_examples=40, deadline=None)
@given(face=st.sampled_from(["walls", "roof"]), inches=st.floats(0.25, 3), more=st.floats(0.05, 2), set_f=st.floats(66, 90),
       hottest_f=st.floats(88, 115), roof=SKINS, shade=st.floats(0, 100), heading=st.floats(0, 360))  # fmt: skip
def test_more_foam_never_asks_for_more_where_it_is_hotter_outside(face: str, inches: float, more: float, set_f: float,
        hottest_f: float, roof: str, shade: float, heading: float, box: tl.Design) -> None:  # fmt: skip
    """While the set point is below every sol-air temperature of the worst hour: what comes in comes from outside."""
    base = changed(box, comfort__set_point=f"{set_f} °F", site__hottest=f"{hottest_f} °F", envelope__roof_skin=roof,
                   envelope__shade=f"{shade} %", envelope__heading=heading)  # fmt: skip
    thin, thick = (foam(base, face, i) for i in (inches, inches + more))
    set_c = float(base.comfort.set_point or 0.0)
    hour = int(hold.hourly(hold.asked(heat.case_of(thin), set_c).total_w).argmax())
    assume(min(drawn.at_hour(row, hour) for row in heat.case_of(thin).sol_air_c) > set_c)
    assert peak_and_cold(thick)[1] <= peak_and_cold(thin)[1] + NEAR


def test_more_foam_can_make_it_hotter_without_power(box: tl.Design) -> None:
    """It also keeps in what people, loads and the window let loose: at its hottest the box is warmer than outside."""
    peaks = [peak_and_cold(foam(box, "walls", inches))[0] for inches in (0.25, 1, 2)]
    assert peaks == sorted(peaks) and peaks[-1] > peaks[0] + 0.2
    hottest_outside = max(float(row.max()) for row in heat.case_of(box).sol_air_c)
    assert peaks[0] > float(heat.case_of(box).weather.air_c.max()) and hottest_outside > 40
    row = next(row for row in tl.study("cooling", box).beside.rows if row["change"].endswith("in the walls"))
    assert row["saves_k"] < 0 < row["saves_w"], "the table says so, and so does the note"
    said = " ".join(tl.study("cooling", box).text().split())
    assert f"Without power it gets hotter with {row['change']}" in said and "keeps it in" in said


@settings(max_examples=40, deadline=None)
@given(inches=st.floats(0.25, 3), more=st.floats(0.05, 2), roof=SKINS, walls=SKINS, heading=st.floats(0, 360),
       leakage=st.floats(0, 3), hottest_f=st.floats(70, 115), latitude=st.floats(25, 48))  # fmt: skip
def test_with_nothing_set_free_inside_more_foam_in_the_roof_makes_it_cooler(inches: float, more: float, roof: str,
        walls: str, heading: float, leakage: float, hottest_f: float, latitude: float, box: tl.Design) -> None:  # fmt: skip
    """Without people, loads and glass, and under a roof no lighter than the walls: by day the roof is then the hottest
    side, what is inside comes through the faces, and foam in it helps without power too.
    """
    assume(LIGHT_TO_DARK.index(roof) >= LIGHT_TO_DARK.index(walls))
    bare = changed(box, stay=[], opening=[hole for hole in box.get("opening") if hole["kind"] != "window"],
                   envelope__skin=walls, envelope__roof_skin=roof, envelope__heading=heading, envelope__leakage=leakage,
                   site__hottest=f"{hottest_f} °F", site__latitude=latitude)  # fmt: skip
    thin, thick = (peak_and_cold(foam(bare, "roof", i))[0] for i in (inches, inches + more))
    assert thick <= thin + NEAR


def test_the_answer_says_nothing_of_backwards_where_every_change_helps(box: tl.Design) -> None:
    """A box that stands empty: each row is cooler and asks for less, and no sentence says otherwise."""
    bare = changed(box, stay=[], opening=[hole for hole in box.get("opening") if hole["kind"] != "window"])
    answer = tl.study("cooling", bare)
    rows = [row for row in answer.beside.rows if row["saves_k"] is not None]
    assert rows and all(row["saves_k"] > -0.005 for row in rows) == (
        "Without power it gets hotter" not in answer.beside.note
    )
    assert all(row["saves_w"] > -0.5 for row in rows if row["saves_w"] is not None)
    assert "More is to be taken out" not in answer.beside.note


def test_more_foam_asks_for_more_where_it_is_cooler_outside(box: tl.Design) -> None:
    """A mild day and a box full of loads: the walls would carry the heat off, and foam stops them."""
    mild = changed(box, site__hottest="60 °F", envelope__shade="100 %", stay__camp__people=12)
    thin, thick = (peak_and_cold(foam(mild, "walls", inches))[1] for inches in (0.25, 4))
    assert 0 < thin < thick - 50
    rows = tl.study("cooling", foam(mild, "walls", 0.25)).beside
    (row,) = [row for row in rows.rows if row["change"].endswith("in the walls")]
    assert row["saves_w"] < 0 and f"More is to be taken out with {row['change']}" in rows.note


@settings(max_examples=20, deadline=None)
@given(hottest=st.floats(60, 115), hotter=st.floats(0, 10), people=st.integers(0, 8), more=st.integers(0, 3))
def test_a_hotter_day_and_more_people_never_ask_for_less(
    hottest: float, hotter: float, people: int, more: int, box: tl.Design
) -> None:
    calm = box.replace("load.specimen fridge.duty", "40 %")
    small = peak_and_cold(changed(calm, site__hottest=f"{hottest} °F", stay__camp__people=people))
    large = peak_and_cold(changed(calm, site__hottest=f"{hottest + hotter} °F", stay__camp__people=people + more))
    assert small[0] <= large[0] + 1e-6 and small[1] <= large[1] + 0.5, "the air's weight differs a little"


@settings(max_examples=20, deadline=None)
@given(set_f=st.floats(62, 90), lower=st.floats(0, 15))
def test_a_lower_set_point_never_takes_less(set_f: float, lower: float, box: tl.Design) -> None:
    high, low = (
        peak_and_cold(changed(box, comfort__set_point=f"{s} °F", comfort__heat_to=None)) for s in (set_f, set_f - lower)
    )
    assert low[1] >= high[1] - NEAR and low[0] == pytest.approx(high[0])


@pytest.mark.parametrize(("path", "value"), [
    ("trailer.height", "7 ft"), ("envelope.contents", "900 lb"), ("site.hottest", "97 °F"), ("face.door.layers.plywood", "1/2 in"),
    ("opening.rear ramp.size", ["5 ft", "5 ft"]), ("load.laptops.power", "90 W"), ("stay.camp.people", 3),
    ("place.bench.at", ["6 ft", "9 ft", "3 ft"]), ("circuit.bench outlets.to", "outlet curb side"),
])  # fmt: skip
def test_what_has_been_worked_out_is_not_kept_past_a_change(path: str, value: Any, box: tl.Design) -> None:
    """The day of a design, asked before and after one of the parts it rests on has changed."""
    before = box
    if path.startswith("circuit"):  # a load with no place of its own stands where its circuit goes
        before = box.replace_all({("load", load.name, "place"): None for load in box.loads_on("bench outlets")})
    first = heat.case_of(before)
    after, again = heat.case_of(before.replace(path, value)), heat.case_of(before)
    drives = [
        (case.drive.fabric_c * case.box.fabric_w_per_k + case.drive.mass_w, case.box.mass_j_per_k)
        for case in (first, after, again)
    ]
    assert (drives[0][0] == drives[2][0]).all() and drives[0][1] == drives[2][1]
    assert not ((drives[0][0] == drives[1][0]).all() and drives[0][1] == drives[1][1])


@pytest.mark.parametrize(("path", "value"), [
    ("trailer.height", "7 ft"), ("envelope.leakage", 3.0), ("site.elevation", "8000 ft"), ("site.coldest", "-4 °F"),
    ("comfort.co2", 900), ("opening.door window.gap", "1 in"), ("load.roof fan.class", "roof fan high"),
    ("stay.night.people", 5),
])  # fmt: skip
def test_a_night_is_not_kept_past_a_change(path: str, value: Any, box: tl.Design) -> None:
    """The air of a night, asked before and after one of the parts it rests on has changed."""
    nights = [sleep.night(design) for design in (box, box.replace(path, value), box)]
    first, after, again = (
        (one.moved_m3_s, one.leaks_m3_s, one.needed_m3_s, one.gap_m, one.dew_c, float(one.shut_ppm[-1]))
        for one in nights
    )
    assert first == again != after
