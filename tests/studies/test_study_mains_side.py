"""The mains side as one path: sums by hand from the raw tables, what must always hold, what is missing."""

from __future__ import annotations

import math
from typing import Any

import by_hand
import numpy as np
import pytest
from behind import far_end_a, solved
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.rules.finding import Finding
from trailerlib.studies import mains_side as ms
from trailerlib.studies.circuits import may_carry
from trailerlib.studies.mains import busiest

MAINS = ("roof cooler", "outdoor road side", "outdoor curb side", "bench outlets", "charger")
SUPPLIES = ("shore", "household", "generator")
LEGS = {"roof cooler": 1, "outdoor road side": 2, "outdoor curb side": 2, "bench outlets": 1, "charger": 2}
CORDS = ("14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "2 AWG")
INLET_IN = 132 + 5 + 32 + 2 * 6  # the demo's inlet to its panel along the axes, and a service loop at each end
CONTACT_OHM = {"plug": 0.002, "inlet": 0.002, "main breaker": 0.1 / 30, "panel": 0.0002, "neutral bar": 0.0002}


def judged(design: tl.Design) -> list[Finding]:
    return ms.checks(design, [solved(design, supply.name) for supply in design.supplies])


def of(findings: list[Finding], rule: str, subject: str) -> list[str]:
    return [f.severity for f in findings if f.rule == rule and f.subject == subject]


def heaters(**loads: tuple[str, int | None]) -> tl.Design:
    """One resistive load of a stated power a circuit, 14 AWG over 20 ft, by name with its leg."""
    raw: dict[str, Any] = {
        "title": "heaters",
        "trailer": {"length": "14 ft", "width": "7 ft", "height": "6 ft"},
        "supply": [{"name": "cord", "kind": "household 15 A", "cord": "12 AWG", "cord_run": "50 ft"}],
        "circuit": [
            {"name": name, "system": "mains", "wire": "14 AWG", "insulation": "90 C", "run": "20 ft",
             "protection": "15 A", "device": "breaker", **({} if leg is None else {"leg": leg})}
            for name, (_, leg) in loads.items()
        ],
        "load": [
            {"name": name, "class": "space heater", "circuit": name, "power": power} for name, (power, _) in loads.items()
        ],
    }  # fmt: skip
    return tl.design_from(raw)


def two_legs(design: tl.Design, legs: dict[str, int] = LEGS, supply: str = "shore") -> tl.Design:
    changes: dict[Any, Any] = {f"circuit.{name}.leg": leg for name, leg in legs.items()}
    changes |= {f"supply.{supply}.kind": "shore 50 A", f"supply.{supply}.cord": "6 AWG", "mains.inlet": "14-50"}
    return design.replace_all(changes)


# ── by hand ──────────────────────────────────────────────────────────────────────────────────────────


def test_one_heater_on_a_household_cord_by_hand() -> None:
    """No air is given, so cord and wire stand at their ratings, 60 and 90 °C (X adds 3 parts in ten million).

    12 AWG (3.31 mm²) at 60 °C 6.15 mΩ/m, 2 x 15.24 m: 187.5 mΩ.  14 AWG (2.08 mm²) at 90 °C 10.78 mΩ/m, 2 x 6.096 m:
    131.4 mΩ.  Contacts: 4 blades of 2, two breakers of 0.1 V / 15 A, two lugs of 0.2, two terminals of 1: 23.7 mΩ.
    Heater 120² / 1500 = 9.6 Ω.  120 V / 9.9426 Ω = 12.07 A; it gets 115.87 V: 3.45 % lost from the pedestal.
    """
    side = solved(heaters(heater=("1500 W", None)), "cord")
    branch = side.branches["heater"]
    assert (side.pedestal_v, side.emf_v) == ((pytest.approx(120.0),), 120.0)
    assert [branch.current_a, *side.leg_a, side.neutral_a] == pytest.approx([12.07] * 3, abs=0.005)
    assert branch.end_v == pytest.approx(115.87, abs=0.01) == side.load_v["heater"]
    assert branch.total_drop == pytest.approx(0.0345, abs=1e-4)
    assert side.panel_v[0] == pytest.approx(120.0 - 12.07 * (0.1875 + 0.008 + 0.00667 + 0.0004), abs=0.01)
    assert branch.drop == pytest.approx(12.07 * (0.1314 + 0.00667 + 0.002) / 120.0, abs=2e-5)
    assert branch.wire_c == 90.0 and side.cord_c == 60.0 and not branch.heat_known and not side.complete


@pytest.mark.parametrize("supply", SUPPLIES)
def test_a_motor_alone_meets_the_closed_form(demo: tl.Design, supply: str) -> None:
    """One load that holds P + jQ behind R + jX: v⁴ + (2 (P R + Q X) − E²) v² + (P² + Q²)(R² + X²) = 0, the upper root."""
    side = solved(demo, supply)
    net, flow = side.network, side.alone["roof cooler"]
    assert net is not None
    row = [c.name for c in net.circuits].index("roof cooler")
    way = [0, 1, *net.nodes[row]]
    z = complex(sum(flow.leg_ohm[k] + flow.neutral_ohm[k] for k in way))
    p = by_hand.watts(by_hand.named(demo.raw, "load", "roof cooler"))
    q = p * math.tan(math.acos(by_hand.cell("catalogue/appliances", "power_factor", **{"class": "roof cooler 13500"})))
    b = 2.0 * (p * z.real + q * z.imag) - 120.0**2
    square = (-b + math.sqrt(b * b - 4.0 * (p * p + q * q) * abs(z) ** 2)) / 2.0
    assert abs(flow.leg_v[0, way[-1]]) == pytest.approx(math.sqrt(square), abs=1e-8)
    assert side.branches["roof cooler"].current_a == pytest.approx(math.hypot(p, q) / math.sqrt(square), abs=1e-8)


def test_the_impedances_are_those_of_the_tables(demo: tl.Design) -> None:
    """Table 9 by the foot, 10 AWG 0.050 Ω/kft; copper at the temperature found; contacts of the catalogue."""
    side = solved(demo, "shore")
    flow = side.at_moment
    assert flow is not None and side.cord_c is not None and side.inlet_c is not None
    cord = complex(flow.leg_ohm[1] + flow.neutral_ohm[1])
    contacts = 4 * by_hand.contact("plug and inlet") + 2 * by_hand.contact("lug")
    contacts += by_hand.contact("breaker_drop_at_rating_v") / 30.0
    wires = 2 * 25 * 0.3048 * by_hand.ohm_per_m("10 AWG", side.cord_c)
    wires += 2 * INLET_IN * 0.0254 * by_hand.ohm_per_m("10 AWG", side.inlet_c)
    assert cord.real == pytest.approx(wires + contacts, rel=1e-4)
    assert cord.imag == pytest.approx(2 * (25 + INLET_IN / 12) * 0.050 / 1000.0)
    assert complex(flow.leg_ohm[0] + flow.neutral_ohm[0]) == pytest.approx(120.0 / 1200.0)


def test_reactance_of_a_metric_wire_is_that_of_the_nearest_size_at_50_hz() -> None:
    from trailerlib.studies.mains_side.cord import reactance_per_m

    assert reactance_per_m("2.5 mm2", "iec") == pytest.approx(0.058 / 304.8 * 5.0 / 6.0)  # 14 AWG is 2.08 mm²
    assert reactance_per_m("6 mm2", "iec") == pytest.approx(0.050 / 304.8 * 5.0 / 6.0)  # 10 AWG is 5.26 mm²
    assert reactance_per_m("18 AWG", "north-america") == pytest.approx(0.058 / 304.8)


@pytest.mark.parametrize("supply", SUPPLIES)
def test_wires_have_the_temperature_their_current_gives_them(demo: tl.Design, supply: str) -> None:
    side = solved(demo, supply)
    assert side.network is not None and side.cord_c is not None
    for name in MAINS:
        branch, carry = side.branches[name], may_carry(demo, demo.circuit(name))
        air = demo.air_of(demo.circuit(name))
        assert air is not None and carry.amps is not None and branch.current_a is not None and branch.wire_c is not None
        hot = air + (carry.rating_c - air) * (branch.current_a / carry.amps) ** 2
        assert branch.wire_c == pytest.approx(hot, abs=0.05)
        node = side.network.nodes[[c.name for c in side.network.circuits].index(name)][0]
        ohm = complex(side.alone[name].neutral_ohm[node]).real - by_hand.contact("spade")
        length = side.network.lengths_m[node]
        wire = by_hand.named(demo.raw, "circuit", name)["wire"]
        assert ohm == pytest.approx(length * by_hand.ohm_per_m(wire, hot), rel=3e-4)


def test_short_circuit_currents_by_hand(demo: tl.Design) -> None:
    """Shore: 120 V / 1.2 kA = 0.1 Ω inside. Most at the panel: cord of 25 ft 10 AWG at 20 °C and the wire behind the
    inlet, 10 AWG too, over 15 ft 1 in, the source as reactance.

    Least at the far end of the cooler: cord at 60 °C, wires at 90 °C, every contact, sizes added.
    """
    shore, inlet_ft = demo.supply("shore"), INLET_IN / 12
    way = complex(
        2 * (25 + inlet_ft) * 0.3048 * by_hand.ohm_per_m("10 AWG", 20.0), 2 * (25 + inlet_ft) * 0.050 / 1000.0
    )
    assert ms.prospective_a(demo, shore) == pytest.approx(120.0 / abs(way + 0.1j), rel=1e-6)
    run_ft = by_hand.LAID_IN["roof cooler"] / 12.0
    ohm = 2 * 7.62 * by_hand.ohm_per_m("10 AWG", 60.0) + 2 * run_ft * 0.3048 * by_hand.ohm_per_m("12 AWG", 90.0)
    ohm += 2 * inlet_ft * 0.3048 * by_hand.ohm_per_m("10 AWG", 90.0)
    ohm += 4 * 0.002 + 0.1 / 30.0 + 2 * 0.0002 + 0.1 / 20.0 + 2 * 0.001
    x = 2 * (25 + inlet_ft) * 0.050 / 1000.0 + 2 * run_ft * 0.054 / 1000.0
    assert far_end_a(demo, shore.name, "roof cooler") == pytest.approx(120.0 / (0.1 + math.hypot(ohm, x)), rel=1e-6)


# ── what must always hold ────────────────────────────────────────────────────────────────────────────


def balance_w(side: ms.MainsSide, flow: Any, names: Any) -> tuple[float, float]:
    """Real power out of the source, and that of the loads and the conductors [W]."""
    net = side.network
    assert net is not None
    emf = np.array([[side.emf_v]] * len(flow.leg_a))
    into = float((emf[:, 0] * flow.leg_a[:, 0].conj()).sum().real)
    lost = float((flow.leg_ohm.real * np.abs(flow.leg_a) ** 2).sum() + (flow.neutral_ohm.real * np.abs(flow.neutral_a) ** 2).sum())  # fmt: skip
    for draw in net.shape.draws:
        if draw.name in names:
            leg = (net.shape.design.circuit(draw.circuit).leg or 1) - 1 if len(flow.leg_v) > 1 else 0
            share = (abs(flow.leg_v[leg, draw.node]) / 120.0) ** 2 if draw.kind == "resistive" else 1.0
            lost += draw.va.real * share
    return into, lost


def in_moment(design: tl.Design, supply: str) -> set[str]:
    return set(busiest(design, supply).on)


@pytest.mark.parametrize("supply", SUPPLIES)
def test_power_in_is_power_out_and_losses(demo: tl.Design, supply: str) -> None:
    side = solved(demo, supply)
    into, out = balance_w(side, side.at_moment, in_moment(demo, supply))
    assert into == pytest.approx(out, rel=1e-9) and into > 1000.0
    for name in MAINS:
        assert side.network is not None
        into, out = balance_w(side, side.alone[name], {d.name for d in side.network.shape.draws if d.circuit == name})
        assert into == pytest.approx(out, rel=1e-9)


@given(st.lists(st.sampled_from((1, 2)), min_size=5, max_size=5))
@settings(max_examples=8, deadline=None)
def test_power_in_is_power_out_on_two_legs(legs: list[int]) -> None:
    design = two_legs(tl.read_design(tl.shipped_trailers()["fen-survey"]), dict(zip(MAINS, legs, strict=True)))
    side = solved(design, "shore")
    into, out = balance_w(side, side.at_moment, in_moment(design, "shore"))
    assert into == pytest.approx(out, rel=1e-9)


def check_path(design: tl.Design, side: ms.MainsSide, name: str) -> None:
    way = ms.path_of(design, side, name)
    assert way is not None and side.branches[name].end_v is not None
    assert sum(step.lost_v for step in way.steps) == pytest.approx(way.emf_v - way.load_v, abs=1e-9)
    assert way.load_v >= side.branches[name].end_v - 1e-9
    names = [step.name for step in way.steps]
    adapters = [f"adapter {text}" for text in side.supply.adapters]
    out = ["plug", "cord", *adapters, "inlet", "inlet wire", "main breaker", "panel", "branch breaker", "terminal"]
    back = ["terminal", "neutral bar", "inlet wire back", "inlet", *reversed(adapters), "cord back", "plug"]
    if design.mains.inlet_wire is None:
        out.remove("inlet wire")
        back.remove("inlet wire back")
    out, back = [*out, "wire out"], ["wire back", *back]
    assert names[1 : 1 + len(out)] == out and names[-len(back) :] == back
    assert [step.way for step in way.steps] == sorted((s.way for s in way.steps), key=("source", "out", "back").index)


@pytest.mark.parametrize("supply", SUPPLIES)
def test_the_steps_add_up_to_what_a_meter_misses(demo: tl.Design, supply: str) -> None:
    side = solved(demo, supply)
    for name in MAINS:
        check_path(demo, side, name)


def test_the_heat_of_the_steps_is_what_the_conductors_lose(demo: tl.Design) -> None:
    side = solved(demo, "shore")
    way, flow = ms.path_of(demo, side, "outdoor curb side"), side.alone["outdoor curb side"]  # not on in the moment
    assert way is not None and not side.branches["outdoor curb side"].in_moment
    lost = ((flow.leg_ohm + flow.neutral_ohm).real * np.abs(flow.leg_a[0]) ** 2).sum()
    assert sum(step.heat_w for step in way.steps) == pytest.approx(float(lost))
    contacts = {step.name: step.ohm for step in way.steps if step.name in CONTACT_OHM}
    assert contacts == pytest.approx(CONTACT_OHM, rel=2e-3)


def test_the_steps_add_up_on_two_legs(demo: tl.Design) -> None:
    design = two_legs(demo)
    side = solved(design, "shore")
    for name in MAINS:
        check_path(design, side, name)
    assert len(side.panel_v) == len(side.leg_a) == 2


def test_equal_loads_on_both_legs_leave_the_neutral_alone() -> None:
    design = two_legs(heaters(left=("1500 W", None), right=("1500 W", None)), {"left": 1, "right": 2}, "cord")
    side = solved(design, "cord")
    assert side.neutral_a == pytest.approx(0.0, abs=1e-9) and side.leg_a[0] == pytest.approx(side.leg_a[1])
    assert side.panel_v[0] == pytest.approx(side.panel_v[1])
    cord = [s for s in ms.path_of(design, side, "right").steps if s.name == "cord back"]  # type: ignore[union-attr]
    assert cord[0].lost_v == pytest.approx(0.0, abs=1e-9)


def test_both_on_one_leg_bring_their_sum_back_on_the_neutral() -> None:
    both = two_legs(heaters(left=("1500 W", None), right=("1500 W", None)), {"left": 1, "right": 1}, "cord")
    side = solved(both, "cord")
    assert side.leg_a[1] == pytest.approx(0.0, abs=1e-9) and side.neutral_a == pytest.approx(side.leg_a[0])
    spread = solved(two_legs(both, {"left": 1, "right": 2}, "cord"), "cord")
    assert spread.panel_v[0] > side.panel_v[0]
    assert side.panel_v[1] > 120.0  # the neutral's loss is a gain on the empty leg


def test_a_light_leg_gains_from_the_neutral_of_a_heavy_one() -> None:
    design = two_legs(heaters(heavy=("1800 W", None), light=("100 W", None)), {"heavy": 1, "light": 2}, "cord")
    side = solved(design, "cord")
    way = ms.path_of(design, side, "light")
    assert way is not None and side.neutral_a == pytest.approx(side.leg_a[0] - side.leg_a[1], rel=1e-4)
    assert [s.lost_v < 0 for s in way.steps if s.name == "cord back"] == [True]
    assert way.load_v > 120.0
    assert way.emf_v - way.lost_v == pytest.approx(way.load_v, abs=1e-9)
    alone = side.alone["light"]  # with the heavy one off it gets less
    assert side.branches["light"].end_v == pytest.approx(abs(alone.leg_v[0, -1])) == side.load_v["light"] < 120.0


def test_the_cord_of_two_legs_has_the_temperature_of_its_fuller_leg() -> None:
    design = two_legs(heaters(left=("3000 W", None), right=("3600 W", None)), {"left": 1, "right": 2}, "cord")
    design = design.replace_all(
        {"supply.cord.cord": "10 AWG", "supply.cord.cord_run": "150 ft", ("site",): {"hottest": "30 °C"}}
    )
    side = solved(design, "cord")
    assert side.cord_c is not None and side.at_moment is not None
    table_a = by_hand.cell("tables/nec_400_5_cord", "a_2_conductors", awg="10")
    assert side.cord_c == pytest.approx(30.0 + 30.0 * (max(side.leg_a) / table_a) ** 2, abs=1e-6)
    neutral = complex(side.at_moment.neutral_ohm[1]).real - 2 * by_hand.contact("plug and inlet")
    wire = neutral - by_hand.contact("lug")
    assert wire == pytest.approx(150 * 0.3048 * by_hand.ohm_per_m("10 AWG", side.cord_c), rel=3e-4)


def test_a_drop_is_that_of_the_busiest_moment_or_of_the_branch_alone(demo: tl.Design) -> None:
    side = solved(demo, "shore")
    assert side.at_moment is not None and side.network is not None
    for row, name in enumerate(c.name for c in side.network.circuits):
        ends = list(side.network.nodes[row])
        lost = []
        for flow in (side.at_moment, side.alone[name]):
            size = np.abs(flow.leg_v[0])
            lost.append((size[0] - size[ends].min()) / 120.0)
        assert side.branches[name].total_drop == pytest.approx(max(lost)) and lost[0] > lost[1]
        size = np.abs(side.alone[name].leg_v[0])
        assert side.branches[name].drop == pytest.approx((size[1] - size[ends].min()) / 120.0)


@given(st.integers(1, len(CORDS) - 1), st.integers(5, 100), st.sampled_from(SUPPLIES))
@settings(max_examples=8, deadline=None)
def test_a_thicker_or_shorter_cord_never_drops_more(thick: int, feet: int, supply: str) -> None:
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    thin, better, shorter = (
        solved(design.replace_all({f"supply.{supply}.cord": CORDS[k], f"supply.{supply}.cord_run": f"{ft} ft"}), supply)
        for k, ft in ((thick - 1, feet), (thick, feet), (thick - 1, feet - 1))
    )
    for name in MAINS:
        drop = thin.branches[name].total_drop
        assert better.branches[name].total_drop <= drop + 1e-9 and shorter.branches[name].total_drop <= drop + 1e-9  # type: ignore[operator]


@pytest.mark.parametrize("supply", SUPPLIES)
def test_a_short_draws_less_the_farther_it_is(demo: tl.Design, supply: str) -> None:
    design = demo.replace(f"supply.{supply}.prospective", "2 kA")
    most = ms.prospective_a(design, design.supply(supply))
    assert most is not None and 0 < most < 2000.0
    for name in MAINS:
        least = far_end_a(design, supply, name)
        far = far_end_a(design.replace(f"circuit.{name}.run", "100 ft"), supply, name)
        assert least is not None and far is not None and far < least < most


def test_a_cord_that_cannot_deliver_loses_all(demo: tl.Design) -> None:
    design = demo.replace_all({"supply.shore.cord": "18 AWG", "supply.shore.cord_run": "400 ft"})
    side = solved(design, "shore")
    assert side.panel_v == (0.0,) and side.branches["roof cooler"].total_drop == 1.0
    assert ms.path_of(design, side, "roof cooler") is None
    charger = side.branches["charger"]  # alone it is delivered, in the busiest moment nothing is
    assert charger.drop is not None and charger.drop < 0.01 and charger.total_drop == 1.0 and charger.end_v == 0.0
    for name in ("roof cooler", "charger"):
        assert of(judged(design), "mains-total-drop", f'circuit "{name}"') == ["note"]


# ── what is judged, and what is missing ──────────────────────────────────────────────────────────────


def test_the_demo_is_judged_at_the_worse_of_the_supplies_it_stays_on(demo: tl.Design) -> None:
    found = judged(demo)
    for name in MAINS:
        (drop,) = [f for f in found if f.rule == "mains-total-drop" and f.subject == f'circuit "{name}"']
        worst = max(solved(demo, s).branches[name].total_drop or 0.0 for s in ("shore", "generator"))
        assert drop.severity == "holds" and drop.measured == pytest.approx(worst) and drop.limit == 0.05
    assert not [f for f in found if "household" in f.subject]
    assert (
        of(found, "load-voltage", 'load "roof cooler"')
        == of(found, "load-voltage", 'load "laptops"')
        == ["not checked"]
    )


def test_a_long_thin_cord_is_noted(demo: tl.Design) -> None:
    found = judged(demo.replace_all({"supply.shore.cord": "14 AWG", "supply.shore.cord_run": "100 ft"}))
    assert of(found, "mains-total-drop", 'circuit "roof cooler"') == ["note"]


def measured(design: tl.Design, volts: str) -> tl.Design:
    return design.replace_all(
        {f"supply.{s}.{key}": value for s in ("shore", "generator") for key, value in (("voltage", volts), ("prospective", "1.2 kA"))}
    )  # fmt: skip


@pytest.mark.parametrize(("volts", "word"), [("120 V", "holds"), ("107 V", "fix")])
def test_a_low_pedestal_starves_the_cooler(demo: tl.Design, volts: str, word: str) -> None:
    """The cooler's class stops under 103 V; 107 V at the pedestal less the way there is under it, 120 V is not."""
    found = judged(measured(demo, volts))
    assert of(found, "load-voltage", 'load "roof cooler"') == [word]
    assert of(found, "load-voltage", 'load "laptops"') == ["holds"]
    assert not [f for f in found if f.rule == "load-voltage" and f.subject.startswith("supply")]


def test_too_low_at_the_nominal_voltage_is_too_low(demo: tl.Design) -> None:
    found = judged(demo.replace("load.roof cooler.lowest_voltage", "118 V"))
    assert of(found, "load-voltage", 'load "roof cooler"') == ["fix"]


def test_a_leg_that_is_not_given_is_said_once(demo: tl.Design) -> None:
    design = two_legs(demo).replace("circuit.bench outlets.leg", None)
    side = solved(design, "shore")
    assert side.moment_gap == "the leg that “bench outlets” hangs on is not given" and side.panel_v == ()
    assert side.branches["charger"].drop is not None and side.branches["charger"].total_drop is None
    found = [f for f in judged(design) if f.subject == 'supply "shore"']
    assert [f.severity for f in found] == ["not checked"] and side.moment_gap in found[0].text("us")


def test_a_generator_without_a_cord_is_said_once(demo: tl.Design) -> None:
    for key in ("cord", "cord_run"):
        design = demo.replace(f"supply.generator.{key}", None)
        side = solved(design, "generator")
        assert side.gap and not side.branches and ms.path_of(design, side, "charger") is None
        found = [f for f in judged(design) if f.subject == 'supply "generator"']
        assert [f.severity for f in found] == ["not checked"] and side.gap in found[0].text("us")
        assert far_end_a(design, "generator", "charger") is None


def test_the_usual_cord_stands_in_where_none_is_stated(demo: tl.Design) -> None:
    bare = demo.replace_all({("supply", "shore", "cord"): None, ("supply", "shore", "cord_run"): None})
    assert solved(bare, "shore").panel_v == pytest.approx(solved(demo, "shore").panel_v)  # 10 AWG, 25 ft


def test_what_a_pedestal_can_drive_is_not_guessed(demo: tl.Design) -> None:
    for supply in ("household", "generator"):
        assert ms.prospective_a(demo, demo.supply(supply)) is None
        assert far_end_a(demo, supply, "charger") is None


def test_a_run_that_is_not_known_lets_nothing_pass(demo: tl.Design) -> None:
    design = measured(demo.replace(("load", "roof cooler", "place"), None), "120 V")
    side = solved(design, "shore")
    assert not side.complete and side.unplaced == ("roof cooler",) and "roof cooler" not in side.branches
    assert ms.path_of(design, side, "roof cooler") is None
    assert far_end_a(design, "shore", "roof cooler") is None
    found = judged(design)
    assert {f.severity for f in found} == {"not checked"}
    assert of(found, "mains-total-drop", 'circuit "roof cooler"') == ["not checked"]
    assert of(found, "load-voltage", 'load "roof cooler"') == ["not checked"]


def test_a_wire_whose_heat_is_not_known_does_not_pass(demo: tl.Design) -> None:
    """Runs stated, but no panel: nothing says how many wires lie together."""
    design = measured(demo, "120 V").replace_all({("panel",): None, **{("circuit", c, "run"): "10 ft" for c in MAINS}})
    assert solved(design, "shore").complete
    assert {f.severity for f in judged(design)} == {"not checked"}


def test_a_supply_that_was_not_measured_lets_no_load_pass(demo: tl.Design) -> None:
    found = judged(demo.replace("supply.shore.voltage", "120 V"))
    assert of(found, "load-voltage", 'load "roof cooler"') == ["not checked"]
    assert of(found, "load-voltage", 'load "laptops"') == ["not checked"]


@pytest.mark.parametrize("path", [("site", "hottest"), ("panel",), ("battery",)])
def test_less_information_is_never_a_pass(demo: tl.Design, path: tuple[str, ...]) -> None:
    found = judged(measured(demo, "120 V").replace(path, None))
    assert found and "holds" not in {f.severity for f in found}


def test_without_a_stay_or_a_supply_nothing_is_said_to_hold(demo: tl.Design) -> None:
    idle = judged(demo.replace(("stay",), None))
    assert {f.severity for f in idle} == {"not checked"}
    assert {f'supply "{s}"' for s in SUPPLIES} < {f.subject for f in idle}
    assert [f.severity for f in ms.checks(demo, [])] == ["not checked"]


def test_names_with_braces_do_no_harm(demo: tl.Design) -> None:
    design = heaters(**{"{x}": ("100 W", None)}).replace("supply.cord.kind", "shore 50 A")
    raw = {
        **design.raw,
        "stay": [{"name": "day", "supply": "cord", "from": "08:00", "to": "09:00", "on": {"{x}": "all"}}],
    }
    (found,) = judged(tl.design_from(raw))
    assert "“{x}”" in found.text("us")
