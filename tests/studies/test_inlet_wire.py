"""The wire from the inlet to the panel: what it drops by hand, where its run is told, what is cut, what is missing."""

from __future__ import annotations

from typing import Any

import by_hand
import numpy as np
import pytest
from behind import far_end_a, solved
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.design.wire_sizes import wire as wire_size
from trailerlib.studies import mains_side as ms
from trailerlib.studies import together, trade_offs, what_trips
from trailerlib.studies.closing.dead_bonds import bonds
from trailerlib.studies.inlet_wire import checks as inlet_checks
from trailerlib.studies.mains_side.cord import inlet_carry, inlet_ohm
from trailerlib.studies.schedules.panels import panel_schedule
from trailerlib.studies.schedules.parts import parts_list
from trailerlib.studies.schedules.pieces import missing, pieces
from trailerlib.studies.schedules.spools import groups
from trailerlib.studies.towing.wires import of_inlet

K = 12.9  # ohm circular mil per foot of copper at 75 °C: the trade's 2 K I L / CM, as in handbooks to NFPA 70; from memory
CMIL = {"12 AWG": 6530.0, "10 AWG": 10380.0, "6 AWG": 26240.0}  # NFPA 70 chapter 9 table 8
KFT_75 = {"12 AWG": 1.98, "10 AWG": 1.24, "6 AWG": 0.491}  # the same: stranded, uncoated copper at 75 °C [ohm/kft]
FT = 0.3048
DEMO_IN = 132 + 5 + 32 + 12  # along the axes from the inlet to the panel, and a service loop at each end


def heater(wire: str, run: str, **more: Any) -> tl.Design:
    """One heater of 2400 W on 30 A, no air given: every wire stands at its rating, here 75 °C behind the inlet."""
    return tl.design_from({
        "title": "heater", "trailer": {"length": "14 ft", "width": "7 ft", "height": "6 ft"},
        "mains": {"inlet": "TT-30", "inlet_wire": wire, "inlet_insulation": "75 C", "inlet_run": run, "main": "30 A"},
        "supply": [{"name": "park", "kind": "shore 30 A", "cord": "10 AWG", "cord_run": "25 ft"}],
        "circuit": [{"name": "heat", "system": "mains", "wire": "10 AWG", "run": "10 ft", "protection": "30 A"}],
        "load": [{"name": "heater", "class": "space heater", "circuit": "heat", "power": "2400 W"}], **more,
    })  # fmt: skip


# ── what it drops ────────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("wire", CMIL)
@pytest.mark.parametrize("feet", [4, 15, 40])
def test_its_drop_by_the_rule_of_the_trade_and_by_table_8(wire: str, feet: int) -> None:
    """2 K I L / CM and 2 I L R; agreement found: 0.6 %."""
    design = heater(wire, f"{feet} ft")
    side = solved(design, "park")
    way = ms.path_of(design, side, "heat")
    assert way is not None and side.inlet_c == 75.0
    lost = {step.name: step.lost_v for step in way.steps}
    amps = side.leg_a[0]
    drop = lost["inlet wire"] + lost["inlet wire back"]
    assert drop == pytest.approx(2.0 * K * amps * feet / CMIL[wire], rel=0.01)
    assert drop == pytest.approx(2.0 * amps * feet * KFT_75[wire] / 1000.0, rel=0.01)


def test_a_worked_one() -> None:
    """10 AWG, 15 ft, 19.55 A: 2 x 12.9 x 19.55 x 15 / 10 380 = 0.729 V, and the panel gets that much less."""
    with_it, without = heater("10 AWG", "15 ft"), heater("10 AWG", "15 ft").replace("mains.inlet_wire", None)
    near, far = solved(without, "park"), solved(with_it, "park")
    assert far.leg_a[0] == pytest.approx(19.55, abs=0.01)
    assert solved(with_it, "park").network.inlet.run_m == pytest.approx(15 * FT)  # type: ignore[union-attr]
    lost = abs(inlet_ohm(with_it)) * far.leg_a[0]
    assert lost == pytest.approx(0.729, abs=0.005)
    # the heater draws a little less behind it, so that the cord gives some of it back
    assert near.panel_v[0] - far.panel_v[0] == pytest.approx(lost, rel=0.03)
    shown = [one for one in tl.study("wiring", with_it, circuit="heat").working if "inlet to the panel" in one.title]
    assert len(shown) == 1 and shown[0].value == pytest.approx(lost, rel=2e-3)


def test_it_is_as_warm_as_its_own_current_makes_it(demo: tl.Design) -> None:
    """10 AWG of 90 °C, but no more than 30 A at its terminals: air + (90 - air) (I / 30)²."""
    side, air = solved(demo, "shore"), by_hand.number(demo.raw["site"]["hottest"])
    assert inlet_carry(demo).amps == 30.0  # type: ignore[union-attr]
    assert side.inlet_c == pytest.approx(air + (90.0 - air) * (side.leg_a[0] / 30.0) ** 2, abs=0.05)
    assert side.inlet_c != pytest.approx(side.cord_c or 0.0, abs=1.0)


@pytest.mark.parametrize("trailer", ["fen-survey", "kiln-cart", "ten-mistakes", "type-wagon"])
def test_the_steps_of_every_way_add_up_on_every_supply(trailer: str) -> None:
    """On one leg, on two that share the neutral, and from leg to leg."""
    design = tl.read_design(tl.shipped_trailers()[trailer])
    for supply in design.supplies:
        side = solved(design, supply.name)
        for circuit in side.branches:
            way = ms.path_of(design, side, circuit)
            if way is not None:
                assert way.lost_v == pytest.approx(way.emf_v - way.load_v, abs=1e-8)
                assert [step.name for step in way.steps].count("inlet wire") == 1
                assert [step.name for step in way.steps].count("inlet wire back") == 1


def test_equal_loads_on_two_legs_leave_its_neutral_alone() -> None:
    cart = tl.read_design(tl.shipped_trailers()["kiln-cart"]).replace("site.hottest", None)
    both = {name: {"power": "2000 W", "class": "space heater"} for name in ("front cooler", "rear cooler")}
    raw = {**cart.raw, "load": [
        {"name": name, "circuit": name, **load} for name, load in both.items()
    ], "charger": None, "stay": [
        {"name": "day", "supply": "yard 50 A", "from": "08:00", "to": "12:00", "on": dict.fromkeys(both, "all")}
    ], "trip": {}}  # fmt: skip
    design = tl.design_from({key: value for key, value in raw.items() if value is not None})
    side = solved(
        design.replace("circuit.rear cooler.run", "18.8 ft").replace("circuit.front cooler.run", "18.8 ft"), "yard 50 A"
    )
    way = ms.path_of(design, side, "front cooler")
    assert way is not None and side.neutral_a == pytest.approx(0.0, abs=1e-6)
    lost = {step.name: step.lost_v for step in way.steps}
    assert lost["inlet wire"] > 0.03 and lost["inlet wire back"] == pytest.approx(0.0, abs=1e-6)


def test_from_leg_to_leg_it_comes_back_on_the_other_hot_wire() -> None:
    cart = tl.read_design(tl.shipped_trailers()["kiln-cart"])
    way = ms.path_of(cart, solved(cart, "yard 50 A"), "kiln", alone=True)  # from leg to leg
    assert way is not None
    out, back = (next(step for step in way.steps if step.name == name) for name in ("inlet wire", "inlet wire back"))
    assert (out.ohm, out.lost_v) == pytest.approx((back.ohm, back.lost_v)) and out.lost_v > 0.0
    assert next(step.name for step in way.steps if step.way == "back" and step.kind == "fuse") == (
        "branch breaker, second pole"
    )


SIZES = ("14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG")


@given(st.integers(1, len(SIZES) - 1), st.integers(2, 80), st.sampled_from(("shore", "household", "generator")))
@settings(max_examples=10, deadline=None)
def test_a_thicker_or_shorter_one_never_drops_more(thick: int, feet: int, supply: str) -> None:
    design = tl.read_design(tl.shipped_trailers()["fen-survey"]).replace(f"supply.{supply}.prospective", "2 kA")
    thin, better, shorter = (
        design.replace_all({"mains.inlet_wire": SIZES[k], "mains.inlet_run": f"{ft} ft"})
        for k, ft in ((thick - 1, feet), (thick, feet), (thick - 1, feet - 1))
    )
    worst = solved(thin, supply)
    for other in (better, shorter):
        side = solved(other, supply)
        for name, branch in worst.branches.items():
            assert side.branches[name].total_drop <= branch.total_drop + 1e-9  # type: ignore[operator]
            least, more = (far_end_a(one, supply, name) for one in (thin, other))
            assert least is not None and more is not None and more >= least - 1e-9
        most = [ms.prospective_a(one, one.supply(supply)) for one in (thin, other)]
        assert most[0] is not None and most[1] is not None and most[1] >= most[0] - 1e-9


def test_every_size_of_a_branch_is_tried_behind_it(demo: tl.Design) -> None:
    """What a size would do is what it does once it is fitted, the wire behind the inlet in front of it."""
    long = demo.replace("mains.inlet_run", "60 ft")
    circuit = long.circuit("bench outlets")
    tried = ms.worst_of_each(long, ms.sides(long), circuit, ["10 AWG", "14 AWG"], circuit.protection)
    for wire, sized in tried.items():
        fitted = long.replace("circuit.bench outlets.wire", wire)
        drops = [side.branches["bench outlets"].drop for side in ms.sides(fitted)]
        assert sized.drop == pytest.approx(max(drop for drop in drops if drop is not None), rel=1e-6)


# ── where its run is told ────────────────────────────────────────────────────────────────────────────


def test_its_run_is_stated_or_told_by_two_places(demo: tl.Design) -> None:
    assert demo.inlet_place == "inlet" and demo.inlet_run_m == pytest.approx(DEMO_IN * 0.0254)
    assert demo.replace("mains.inlet_run", "3 m").inlet_run_m == pytest.approx(3.0)
    assert demo.replace("routing.service_loop", "0 in").inlet_run_m == pytest.approx((DEMO_IN - 12) * 0.0254)
    moved = demo.replace("mains.inlet_place", "rear wall outside")
    assert moved.inlet_place == "rear wall outside" and moved.inlet_run_m != pytest.approx(demo.inlet_run_m or 0.0)
    apart = demo.replace("supply.shore.place", "rear wall outside")
    assert apart.inlet_place is None and apart.inlet_run_m is None, "two supplies say two places"
    assert demo.replace("panel", None).inlet_run_m is None


def test_without_it_everything_is_as_it_was_and_one_finding_says_so(demo: tl.Design) -> None:
    bare = demo.replace_all({"mains.inlet_wire": None, "mains.inlet_insulation": None})
    nearly = demo.replace_all({"mains.inlet_wire": "4/0 AWG", "mains.inlet_run": "1 in"})
    assert inlet_ohm(bare) == 0j
    for supply in ("shore", "household", "generator"):
        without, with_it = solved(bare, supply), solved(nearly, supply)
        assert without.inlet_c is None and without.panel_v == pytest.approx(with_it.panel_v, abs=1e-3)
        way = ms.path_of(bare, without, "charger")
        assert way is not None and not [step for step in way.steps if "inlet wire" in step.name]
        assert np.isclose(way.lost_v, way.emf_v - way.load_v, atol=1e-9)
    words = [one.severity for one in what_trips.answer(bare).checks if one.rule == "inlet-wire"]
    assert words == ["not checked"]
    assert of_inlet(bare) == [] and not [p for p in pieces(bare) if p.circuit == "inlet"]


def test_a_run_that_nobody_tells_is_no_pass(demo: tl.Design) -> None:
    lost = demo.replace("panel", None)
    (finding,) = [one for one in what_trips.answer(lost).checks if one.rule == "inlet-wire"]
    assert finding.severity == "not checked" and "run" in finding.text("us")
    assert of_inlet(lost) is None


# ── what overheats, what is cut, bought and measured ────────────────────────────────────────────────


def test_a_thin_one_heats_and_nothing_opens(demo: tl.Design) -> None:
    thin = demo.replace("mains.inlet_wire", "14 AWG")
    bad = together.ask(thin, "shore", ["roof cooler", "dryer road side"])
    assert bad is not None and bad.first.limit.name == "14 AWG behind the inlet" and bad.first.stop
    assert bad.first.limit.rating == 15.0 and "nothing" in bad.first.when
    assert together.ask(demo, "shore", ["roof cooler", "dryer road side"]) is None


def test_it_is_cut_in_one_piece_for_every_conductor(demo: tl.Design) -> None:
    """By hand: 15 ft 1 in lies, 15 ft 3 in is cut; 6 in and 2 ft 8 in and 5 in along the axes in the cart, two loops."""
    one = {p.tag: p for p in pieces(demo) if p.circuit == "inlet"}
    assert list(one) == ["I1 hot", "I1 neutral", "I1 ground"]
    assert [p.cut_m for p in one.values()] == pytest.approx([(DEMO_IN + 2) * 0.0254] * 3)
    cart = tl.read_design(tl.shipped_trailers()["kiln-cart"])
    two = {p.tag: p for p in pieces(cart) if p.circuit == "inlet"}
    assert list(two) == ["I1 hot", "I1 second hot", "I1 neutral", "I1 ground"]
    assert [p.colour.words for p in two.values()] == ["black", "red", "white", "green"]
    ends = ["main breaker", "main breaker, other pole", "neutral bar", "ground bar"]
    assert [(p.start, p.end) for p in two.values()] == [("inlet", end) for end in ends]
    assert {(p.wire, p.insulation) for p in two.values()} == {("6 AWG", "90 C")}
    assert [p.run_m for p in two.values()] == pytest.approx([(6 + 5 + 32 + 12) * 0.0254] * 4)
    for design, size in ((demo, "10 AWG"), (cart, "6 AWG")):
        assert not [line for line in missing(design) if "inlet" in line]
        assert panel_schedule(design).rows[0]["wire"] == size


def test_what_is_missing_for_the_cut_list_is_said(demo: tl.Design) -> None:
    for key, words in (("mains.inlet_wire", "their size is not given"), ("panel", "nor the places of inlet and panel")):
        said = [line for line in missing(demo.replace(key, None)) if "from the inlet" in line]
        assert len(said) == 1 and words in said[0]


def test_its_parts_are_on_the_list(demo: tl.Design) -> None:
    """Three pieces of 15 ft 3 in, one out of each spool of 25 ft; six ends."""
    cut = pieces(demo)
    listed = parts_list(demo, cut, groups(demo, cut), tl.study("roof", demo))
    parts = {row["part"]: row for row in listed.rows}
    for colour in ("black", "white", "green"):
        assert parts[f"wire 10 AWG, 90 C, {colour}"]["count"] == 25.0
    assert parts["terminal or ferrule, 10 AWG"]["count"] == 6


def test_its_weight_and_price_by_hand(demo: tl.Design) -> None:
    """Copper 8890 kg/m³ and a cover that makes it 1.35 times as heavy; of two legs four conductors."""
    for design, conductors in ((demo, 3), (tl.read_design(tl.shipped_trailers()["kiln-cart"]), 4)):
        size, run = design.mains.inlet_wire, design.inlet_run_m
        assert size is not None and run is not None
        ((mass, _),) = of_inlet(design) or []
        assert mass == pytest.approx(conductors * wire_size(size).area_m2 * 8890.0 * 1.35 * run)
        bare = design.replace("mains.inlet_wire", None)
        per_m = by_hand.cell("catalogue/wire_prices", "price_per_m", wire=size)
        added = trade_offs.METRICS["cost"].of(design) - trade_offs.METRICS["cost"].of(bare)
        assert added == pytest.approx(conductors * per_m * run)


def test_its_ground_wire_is_that_of_the_test_sheet(demo: tl.Design) -> None:
    """10 AWG for 30 A by 250.122, 15 ft 1 in at 20 °C; blades and a terminal in good order."""
    inlet = next(bond for bond in bonds(demo) if bond.name == "inlet")
    wire = DEMO_IN * 0.0254 * by_hand.ohm_per_m("10 AWG", 20.0)
    contacts = by_hand.contact("plug and inlet") + by_hand.contact("spade")
    assert inlet.own_ohm == pytest.approx(wire + contacts, rel=1e-3)
    loose = next(bond for bond in bonds(demo.replace("mains.inlet_wire", None)) if bond.name == "inlet")
    assert loose.deviation > 2.0 * inlet.deviation, "a length that only two places tell"


def test_nothing_that_is_kept_outlives_a_move_of_the_inlet(demo: tl.Design) -> None:
    circuit = demo.circuit("bench outlets")
    for changes in ({"place.inlet.at": ["2 ft", "-2 in", "2 ft"]}, {"mains.inlet_wire": "4 AWG"}):
        for design in (demo, demo.replace_all(changes)):
            kept, fresh = ms.sides(design), [solved(design, supply.name) for supply in design.supplies]
            assert [side.panel_v for side in kept] == [side.panel_v for side in fresh]
            tried = ms.worst_of_each(design, kept, circuit, ["14 AWG"], circuit.protection)["14 AWG"]
            drops = [side.branches["bench outlets"].drop or 0.0 for side in fresh]
            assert tried.drop == pytest.approx(max(drops), rel=1e-5)


def test_what_may_run_together_follows_an_inlet_that_is_moved() -> None:
    demo = tl.read_design(tl.shipped_trailers()["fen-survey"])
    near = demo.replace(("place", "inlet", "at"), ["3 ft", "-2 in", "1 ft 4 in"])
    assert near.inlet_run_m < demo.inlet_run_m
    assert together.of(near, "shore").lowest_v > together.of(demo, "shore").lowest_v


@pytest.mark.parametrize(
    ("insulation", "hottest_c", "amps"),
    # NEC table 310.16, 10 AWG: 30 A at 60 °C, 40 A at 90 °C, in air of 30 °C; 310.15(B) equation: sqrt((Tc - Ta) / (Tc - 30));
    # its terminals let no more than the 60 °C column through (110.14(C)(1)(a))
    [
        ("90 C", 60.0, 40.0 * (30.0 / 60.0) ** 0.5),
        ("90 C", 50.0, 30.0),
        ("60 C", 40.0, 30.0 * (20.0 / 30.0) ** 0.5),
        ("60 C", 30.0, 30.0),
    ],
)
def test_it_may_carry_what_the_table_and_the_air_say(
    demo: tl.Design, insulation: str, hottest_c: float, amps: float
) -> None:
    design = demo.replace("mains.inlet_insulation", insulation).replace("site.hottest", f"{hottest_c} C")
    assert inlet_carry(design).amps == pytest.approx(amps, rel=1e-9)  # type: ignore[union-attr]
    (found,) = inlet_checks(design)
    assert found.limit == pytest.approx(amps, rel=1e-9)
    assert found.measured == 30.0 and found.severity == ("stop" if amps < 30.0 - 1e-6 else "holds")
