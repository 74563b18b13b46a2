"""A trip of several days: what goes in comes out, the night inside it is the night, and what is missing is said."""

from __future__ import annotations

import math
from typing import Any

import by_hand
import numpy as np
import pytest

import trailerlib as tl
from trailerlib.design.design import design_from
from trailerlib.rules.finding import Finding
from trailerlib.studies import trip as trips
from trailerlib.studies.discharge import Discharge
from trailerlib.studies.trip import beside
from trailerlib.studies.trip.checks import findings
from trailerlib.studies.trip.rows import rows_of
from trailerlib.studies.trip.search import EVEN, ends_even

SUN = {"site.day": "07-21", "solar": [{"name": "roof", "power": "200 W"}]}
WEEK = {"trip.stays": ["night", "camp with power"] * 7}
TOW = {"wire": "10 AWG", "run": "25 ft", "limit": "30 A"}
ROAD = {
    "name": "road",
    "supply": "towing",
    "from": "07:00",
    "to": "12:00",
    "ambient": "60 °F",
    "on": {"specimen fridge": "all"},
}
CHEMISTRIES = ("flooded", "agm", "gel", "lfp")


def changed(design: tl.Design, changes: dict[str, Any]) -> tl.Design:
    return design.replace_all({tuple(path.split(".")): value for path, value in changes.items()})


@pytest.fixture(scope="module")
def demo(demo: tl.Design) -> tl.Design:
    """The demo with the duty of its fridge stated: that it rests more in the cold has tests of its own."""
    return demo.replace("load.specimen fridge.duty", "40 %")


def on_the_road(design: tl.Design, **tow: Any) -> tl.Design:
    """A night, then five hours on the road."""
    wire = {key: value for key, value in {**TOW, **tow}.items() if value is not None}
    raw = {**design.raw, "stay": [*design.raw["stay"], ROAD], "tow_charge": wire, "trip": {"stays": ["night", "road"]}}
    return design_from(raw)


def worked(design: tl.Design) -> trips.Trip:
    found = trips.of(design)
    assert found.picture is not None, found.missing
    return found


def rule(design: tl.Design, name: str, subject: str = "") -> Finding:
    (found,) = [c for c in findings(design, trips.of(design)) if c.rule == name and subject in c.subject]
    return found


@pytest.mark.parametrize(
    "changes", [{}, WEEK, {**WEEK, **SUN}, {**SUN, "battery.chemistry": "lfp", "battery.heater": "40 W"}], ids=str
)
def test_energy_of_the_trip_balances(demo: tl.Design, changes: dict[str, Any]) -> None:
    trip = worked(changed(demo, changes))
    case, week = trip.lived
    through = sum(trip.wh(name) for name in ("charger", "solar", "converter", "tow"))
    assert abs(float(week.imbalance_wh)) < 1e-9 * through
    picture, steps = trip.picture, case.timeline.step_h
    assert picture is not None
    assert float(picture.load_w @ steps) == pytest.approx(trip.wh("loads", "pad"), rel=1e-9)
    assert float((picture.solar_w + picture.charger_w + picture.tow_w) @ steps) == pytest.approx(through, rel=1e-9)


def test_the_loads_get_what_their_stays_ask(demo: tl.Design) -> None:
    """By hand: night 431 Wh, camp 11 h and drying day 8 h of fridge (48 W, 0.4) and alarm (1 W)."""
    asked = 4 * 3 * 4.5 + 4 * 0.5 + 13 + 4 * 13 + 48 * 0.4 * 13 + 24 * 0.5 * 5 + (48 * 0.4 + 1) * 19
    assert worked(demo).wh("loads") == pytest.approx(asked, rel=1e-9)


def test_stays_follow_one_another_and_wait_for_their_hour(demo: tl.Design) -> None:
    spans = [(s.name, s.begin_h, s.end_h) for s in worked(demo).picture.spans]  # type: ignore[union-attr]
    assert spans == [("night", 18, 31), ("camp with power", 31, 42), ("drying day", 57, 65)]
    lived = worked(demo).lived[0].timeline
    assert lived.step_h.max() <= 1 / 12 + 1e-12 and lived.edges_h[0] == 18 and lived.edges_h[-1] == 65
    gap = (lived.edges_h[:-1] > 42 - 1e-9) & (lived.edges_h[1:] < 57 + 1e-9)
    assert gap.any() and np.allclose(lived.air_c[gap], -20 / 9) and not worked(demo).picture.load_w[gap].any()  # type: ignore[union-attr]


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
@pytest.mark.parametrize("air", ["46 °F", "25 °C", "-10 °C"])
def test_the_night_inside_the_trip_is_the_night(demo: tl.Design, chemistry: str, air: str) -> None:
    """Within 1 % of charge and never above: the trip leaves out the wires' loss, and counts the cold's resistance and what leaks."""
    design = changed(demo, {"battery.chemistry": chemistry, "stay.night.ambient": air, "battery.capacity": "150 Ah"})
    row = rows_of(trips.of(design))[0]
    assert design.battery is not None
    night = Discharge(design, design.battery, design.stay("night"))
    assert row["name"] == "night" and row["end"] == pytest.approx(night.lowest, abs=0.01)


def random_trip(demo: tl.Design, seed: int) -> dict[str, Any]:
    rng = np.random.default_rng(seed)
    names = ["night", "camp with power", "drying day"]
    changes: dict[str, Any] = {
        "battery.chemistry": CHEMISTRIES[int(rng.integers(4))], "battery.capacity": f"{rng.integers(25, 250)} Ah",
        "battery.start_charge": f"{rng.integers(20, 101)} %", "charger.current": f"{rng.integers(2, 40)} A",
        "stay.night.ambient": f"{rng.integers(-15, 35)} °C", "site.day": "07-21",
        "load.ceiling lights.count": int(rng.integers(1, 20)), "load.roof fan.class": str(rng.choice(["roof fan low", "roof fan high", "filament lamp"])),
        "trip.stays": [names[int(k)] for k in rng.integers(0, 3, int(rng.integers(1, 6)))],
    }  # fmt: skip
    if rng.random() < 0.5:
        changes["solar"] = [
            {
                "name": "roof",
                "power": f"{rng.integers(20, 400)} W",
                "controller": str(rng.choice(["tracking", "switching"])),
            }
        ]
    return changes


@pytest.mark.parametrize("seed", range(100))
def test_random_trips_stay_between_empty_and_full(demo: tl.Design, seed: int) -> None:
    trip = worked(changed(demo, random_trip(demo, seed)))
    picture = trip.picture
    assert picture is not None
    assert picture.charge.min() >= 0.0 and picture.charge.max() <= 1.0 and trip.end <= 1.0 + 1e-12
    came, gone = trip.wh("charger", "solar", "converter", "tow"), trip.wh("loads", "pad", "heat", "charge_loss", "leak")
    assert abs(came - gone - float(trip.lived[1].stored_wh)) < 1e-8
    assert all(picture.__dict__[name].min() >= -1e-9 for name in ("load_w", "solar_w", "charger_w", "tow_w"))


@pytest.mark.parametrize("seed", range(0, 100, 5))
def test_a_bigger_battery_is_never_lower_and_a_colder_night_never_higher(demo: tl.Design, seed: int) -> None:
    """From full, one night and nothing that charges, of any chemistry and load: the floor comes no later in the cold."""
    changes = {**random_trip(demo, seed), "battery.start_charge": "100 %", "trip.stays": ["night"], "solar": []}
    size, air = int(changes["battery.capacity"].split()[0]), int(changes["stay.night.ambient"].split()[0])
    base = worked(changed(demo, changes)).lowest
    bigger = worked(changed(demo, {**changes, "battery.capacity": f"{size * 2} Ah"})).lowest
    colder = worked(changed(demo, {**changes, "stay.night.ambient": f"{air - 15} °C"})).lowest
    assert colder <= base + 1e-12 and base <= bigger + 1e-12


@pytest.mark.parametrize(
    "changes",
    [{}, WEEK, {"charger.current": "6 A"}, {"battery.chemistry": "flooded"}, {"trip.stays": ["night"]}],
    ids=str,
)
def test_even_hours_keep_the_trip_even_and_five_minutes_less_do_not(demo: tl.Design, changes: dict[str, Any]) -> None:
    trip = worked(changed(demo, changes))
    hours = trip.even_h_a_day
    assert hours is not None
    if math.isinf(hours):
        assert not ends_even(trip.lived[0], min(24.0, trip.lived[0].timeline.hours))
        return
    assert 0 < hours < 24 and ends_even(trip.lived[0], hours) and not ends_even(trip.lived[0], hours - 1 / 12)


def test_even_hours_against_stays_that_are_written_so(demo: tl.Design) -> None:
    """A night to 16:00 and its last hours on shore, as the design says them: with the hours found it is even, with ten minutes less not."""
    raw = {**demo.raw, "stay": [{**demo.raw["stay"][0], "to": "18:00"}], "trip": {"stays": ["night"]}}
    raw["stay"][0]["on"] = {"specimen fridge": "all", "roof fan": "all"}
    hours = worked(design_from(raw)).even_h_a_day
    assert hours is not None and math.isfinite(hours)

    def written(on_shore: float) -> trips.Trip:
        turn = f"{int(18 - on_shore):02d}:{round((18 - on_shore) % 1 * 60):02d}"
        night, shore = (
            {**raw["stay"][0], "to": turn},
            {**raw["stay"][0], "name": "shore", "supply": "shore", "from": turn},
        )
        return worked(design_from({**raw, "stay": [night, shore], "trip": {"stays": ["night", "shore"]}}))

    assert written(hours).even and not written(hours - 1 / 6).even
    assert written(hours).mains_h_a_day == pytest.approx(hours)


def test_days_without_mains_by_hand(demo: tl.Design) -> None:
    """20 W from 100 Ah at 25 °C until half: about 50 Ah x 12.5 V / 20 W, 31 h."""
    raw = {
        **demo.raw,
        "stay": [
            {
                "name": "night",
                "supply": "battery",
                "from": "18:00",
                "to": "18:00",
                "ambient": "25 °C",
                "on": {"roof fan": "all"},
            }
        ],
    }
    design = changed(design_from(raw), {"load.roof fan.class": "roof fan medium", "battery.hour_rate": "20 h"})
    assert worked(design).days_without_mains * 24 == pytest.approx(50 * 12.55 / 20, rel=0.02)
    assert math.isinf(worked(changed(design, {"stay.night.on": {}, **SUN})).days_without_mains)


@pytest.mark.parametrize(("air", "share"), [("25 °C", 0.5), ("0 °C", 0.58)])
def test_what_the_cold_locks_in_is_still_there(demo: tl.Design, air: str, share: float) -> None:
    """Half of what can be drawn at 0 °C, 84 % of it all: 16 % that cannot be drawn and 42 % that can."""
    changes = {"battery.start_charge": "50 %", "stay.night.ambient": air, "trip.stays": ["night"]}
    assert worked(changed(demo, changes)).begin == pytest.approx(share)


def test_the_sun_adds_and_mains_does_the_rest(demo: tl.Design) -> None:
    dark, sunny = worked(changed(demo, WEEK)), worked(changed(demo, {**WEEK, **SUN}))
    assert dark.wh("solar") == 0.0 and sunny.wh("solar") > 500 and sunny.wh("charger") < dark.wh("charger")
    assert (
        set(sunny.full_h) == {"charger", "sun", "together"}
        and sunny.full_h["together"] <= min(sunny.full_h["charger"], sunny.full_h["sun"]) + 1e-9
    )


def test_a_plain_tow_wire_never_fills_and_a_converter_does(demo: tl.Design) -> None:
    plain, converter = on_the_road(demo), on_the_road(demo, converter="15 A")
    assert worked(plain).wh("tow") > 0 and worked(converter).wh("converter") > 0
    assert math.isinf(worked(plain).full_h["tow"]) and math.isfinite(worked(converter).full_h["tow"])
    found = rule(plain, "tow-never-full")
    assert found.severity == "note" and (found.measured, found.limit) == (13.8, 14.6)
    assert not [c for c in findings(converter, trips.of(converter)) if c.rule == "tow-never-full"]


def test_a_fuse_that_opens_on_the_road_is_not_counted_on(demo: tl.Design) -> None:
    trip = worked(on_the_road(demo, limit="5 A", converter="15 A"))
    assert trip.wh("tow", "converter") == 0.0 and any("opens" in said for said in trip.said)
    found = rule(on_the_road(demo, limit="5 A", converter="15 A"), "tow-fuse-holds")
    assert found.severity == "fix" and found.limit == 5.0


def test_what_flows_over_the_tow_wire_by_hand(demo: tl.Design) -> None:
    """15 A at 14.6 V through a converter of 90 %: V (13.8 - V) / R = 243 W, the higher root; joints as the catalogue says."""
    design = on_the_road(demo, converter="15 A", efficiency="90 %")
    feed = worked(design).lived[0].charge.feed
    volts = 15.0 * 14.6 / 0.9 / feed.asked_a
    lost_w = (13.8 - volts) * feed.asked_a
    ohm = lost_w / feed.asked_a**2
    assert 13.8 * feed.asked_a == pytest.approx(15.0 * 14.6 / 0.9 + lost_w, rel=1e-12)
    air = by_hand.number("96 °F")
    wire = by_hand.ohm_per_m(TOW["wire"], air) * 2.0 * by_hand.number(TOW["run"])
    assert wire < ohm < wire + 0.02  # lugs, plug and fuse besides


@pytest.mark.parametrize(("tow", "name", "word"), [
    ({}, "tow-fuse-guards-wire", "holds"),
    ({"limit": "200 A"}, "tow-fuse-guards-wire", "stop"),
    ({"limit": None}, "tow-fuse-guards-wire", "not checked"),
    ({"limit": None}, "tow-fuse-holds", "not checked"),
    ({"converter": "20 A"}, "tow-wire-delivers", "holds"),
    ({"wire": "18 AWG", "converter": "40 A", "limit": None}, "tow-wire-delivers", "fix"),
    ({"wire": "16 AWG", "run": "5 ft", "converter": "40 A", "limit": None}, "tow-wire-carries", "stop"),
], ids=str)  # fmt: skip
def test_the_tow_wire_and_its_fuse(demo: tl.Design, tow: dict[str, Any], name: str, word: str) -> None:
    assert rule(on_the_road(demo, **tow), name).severity == word


@pytest.mark.parametrize(
    ("changes", "word"),
    [({"battery": None}, "battery"), ({"stay": []}, "stay"), ({"site.coldest": None}, "between the stays"), ({"site.coldest": None, "stay.night.ambient": None}, "“night”")],
    ids=str,
)  # fmt: skip
def test_what_is_missing_is_not_checked(demo: tl.Design, changes: dict[str, Any], word: str) -> None:
    design = changed(demo, changes)
    trip = trips.of(design)
    assert trip.picture is None and word in trip.missing and rows_of(trips.of(design)) == ()
    assert {c.severity for c in findings(design, trip)} == {"not checked"}


@pytest.mark.parametrize("gone", ["site.latitude", "site.day", "site.elevation"])
def test_a_sun_that_is_not_known_is_left_out_and_nothing_passes(demo: tl.Design, gone: str) -> None:
    design = changed(demo, {**SUN, gone: None})
    trip = worked(design)
    assert trip.left_out and trip.wh("solar") == 0.0
    assert math.isnan(tl.study("trip", design).value("sun_wh"))
    assert {c.severity for c in findings(design, trip)} == {"not checked"}


@pytest.mark.parametrize(("capacity", "word"), [("100 Ah", "holds"), ("60 Ah", "fix")])
def test_depth_of_the_trip(demo: tl.Design, capacity: str, word: str) -> None:
    assert rule(changed(demo, {"battery.capacity": capacity}), "trip-depth").severity == word


@pytest.mark.parametrize(
    ("stays", "word"), [(["night", "camp with power"], "holds"), (["night"], "note"), (["night", "night"], "note")]
)
def test_even_or_not(demo: tl.Design, stays: list[str], word: str) -> None:
    design = changed(demo, {"trip.stays": stays})
    assert rule(design, "trip-even").severity == word
    assert worked(design).picture.starts_even == (word == "holds")  # type: ignore[union-attr]
    assert worked(design).even == (worked(design).end >= 1.0 - EVEN)


def test_a_load_that_is_cut_off_is_found_and_the_others_go_on(demo: tl.Design) -> None:
    design = changed(demo, {"load.roof fan.lowest_voltage": "12.5 V", "trip.stays": ["night"]})
    assert (
        rule(design, "load-cut-off", "roof fan").severity == "fix"
        and rule(design, "load-cut-off", "fridge").severity == "holds"
    )
    assert rule(demo, "load-cut-off", "roof fan").severity == "holds"


def test_an_empty_battery_starves_everything(demo: tl.Design) -> None:
    design = changed(demo, {"battery.capacity": "15 Ah", "trip.stays": ["night"]})
    assert rule(design, "load-cut-off", "fridge").severity == "fix" and worked(design).lowest == pytest.approx(
        0.0, abs=1e-9
    )


@pytest.mark.parametrize(
    ("changes", "word"),
    [({}, "holds"), ({"stay.camp with power.ambient": "20 °F"}, "stop"), ({"stay.camp with power.ambient": "20 °F", "battery.heater": "60 W"}, "holds"),
     ({"stay.camp with power.ambient": "-20 °F", "battery.heater": "5 W"}, "stop")],
    ids=str,
)  # fmt: skip
def test_charging_in_frost(demo: tl.Design, changes: dict[str, Any], word: str) -> None:
    design = changed(demo, {"battery.chemistry": "lfp", "trip.stays": ["night", "camp with power"], **changes})
    assert rule(design, "charge-below-freezing", "camp").severity == word
    if word == "stop":
        assert rows_of(trips.of(design))[1]["end"] <= rows_of(trips.of(design))[1]["begin"] + 1e-9


def test_lead_acid_may_be_charged_in_frost(demo: tl.Design) -> None:
    assert not [c for c in findings(demo, trips.of(demo)) if c.rule == "charge-below-freezing"]


def test_kept_until_something_it_rests_on_changes(demo: tl.Design) -> None:
    assert trips.of(demo) is trips.of(demo) is trips.of(changed(demo, {"feeder.wire": "4 AWG"}))
    assert trips.of(changed(demo, {"battery.capacity": "90 Ah"})) is not trips.of(demo)


def test_rows_add_up_to_the_trip(demo: tl.Design) -> None:
    """The gap between the stays takes nothing and gives nothing."""
    rows, trip = rows_of(trips.of(demo)), worked(demo)
    assert sum(row["used_wh"] for row in rows) == pytest.approx(trip.wh("loads"))
    assert sum(row["charger_wh"] for row in rows) == pytest.approx(trip.wh("charger"))
    assert min(row["lowest"] for row in rows) == pytest.approx(trip.lowest) and {c.key for c in trips.COLUMNS} == set(
        rows[0]
    )


@pytest.mark.parametrize(
    ("chemistry", "ah", "area"), [("flooded", 100, 16.8), ("agm", 100, 11.0), ("agm", 400, 26.88), ("lfp", 100, None)]
)
def test_vent_area(demo: tl.Design, chemistry: str, ah: int, area: float | None) -> None:
    """28 x 0.05 x 6 x 20 x 100 / 1000 = 16.8 cm² by hand; 1.7 in² = 11 cm² where that is less."""
    battery = changed(demo, {"battery.chemistry": chemistry, "battery.capacity": f"{ah} Ah"}).battery
    assert battery is not None and beside.vent_cm2(battery) == (None if area is None else pytest.approx(area))


def test_the_tow_wire_of_a_trip_that_is_not_known_is_not_checked(demo: tl.Design) -> None:
    design = on_the_road(demo, converter="15 A").replace_all({"battery": None})
    names = ("tow-fuse-holds", "tow-wire-carries", "tow-wire-delivers")
    assert {rule(design, name).severity for name in names} == {"not checked"}
    assert rule(design, "tow-fuse-guards-wire").severity == "holds"
