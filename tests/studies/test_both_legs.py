"""A circuit between two legs: its voltage, the sum of each leg, what it drops, the sets it belongs to, where it is dead."""

from __future__ import annotations

import itertools
import math
import random
from typing import Any

import by_hand
import numpy as np
import pytest
from behind import far_end_a, solved

import trailerlib as tl
from trailerlib.pictures import panel_front, run_together
from trailerlib.studies import mains_side as ms
from trailerlib.studies import panel as panels
from trailerlib.studies import together, what_trips
from trailerlib.studies.breakers import Breaker
from trailerlib.studies.cooling import gains
from trailerlib.studies.generator import start_case
from trailerlib.studies.leg_balance import best_legs
from trailerlib.studies.legs import fed
from trailerlib.studies.mains import everything, least_a, moment
from trailerlib.studies.panel import panel
from trailerlib.studies.running import running_in

ONE_LEG = ("yard 30 A", "school wall", "generator")


@pytest.fixture(scope="module")
def cart() -> tl.Design:
    """The trailer whose kiln of 3300 W runs between its legs."""
    return tl.read_design(tl.shipped_trailers()["kiln-cart"])


def amps(value: float, factor: float) -> complex:
    return value * complex(factor, math.sqrt(1.0 - factor**2))


# ── what it says ─────────────────────────────────────────────────────────────────────────────────────


def test_it_runs_at_twice_the_voltage_of_a_leg(cart: tl.Design) -> None:
    kiln = cart.load("kiln")
    assert (kiln.circuit_v, cart.volts_of(cart.circuit("kiln")), kiln.running_w) == (240.0, 240.0, 3300.0)
    assert cart.load("kettle").circuit_v == 120.0 and cart.load("ceiling lights").circuit_v == 12.0
    moved = cart.replace("circuit.kiln.leg", 2)
    assert moved.load("kiln").running_w == pytest.approx(825.0), "240 V on the plate, a quarter of the power at 120 V"
    assert (kiln.circuit_v, cart.load("kiln")) == (240.0, kiln), "the design before the change is as it was"
    back = moved.replace("circuit.kiln.leg", "both").load("kiln")
    assert back.running_w == 3300.0
    bare = cart.replace("load.kiln.rated_voltage", None)
    assert bare.load("kiln").running_w == 3300.0 == bare.replace("circuit.kiln.leg", 2).load("kiln").running_w


def test_what_heats_goes_with_the_square_and_a_motor_keeps_its_power(cart: tl.Design) -> None:
    assert cart.replace("load.kiln.rated_voltage", "208 V").load("kiln").running_w == pytest.approx(
        3300 * (240 / 208) ** 2
    )
    motor = cart.replace_all({"load.wheels.circuit": "kiln", "load.wheels.rated_voltage": "230 V"}).load("wheels")
    assert motor.running_w == 600.0
    plate = cart.replace_all({"load.front cooler.circuit": "kiln"}).load("front cooler")
    assert plate.each_w == pytest.approx(12.9 * 240.0 * 0.97) and plate.lowest_v == 206.0
    assert cart.load("front cooler").lowest_v == 103.0


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"circuit.kiln.leg": "all"}, '"all" is not a leg; write 1, 2 or "both"'),
        ({"circuit.kiln.leg": 3}, "is not a leg"),
        ({"circuit.ceiling lights.leg": "both"}, "battery side"),
        ({"practice": "iec"}, "under IEC practice"),
    ],
)
def test_what_cannot_be_is_refused(cart: tl.Design, changes: dict[Any, Any], words: str) -> None:
    with pytest.raises(tl.DesignError, match=words):
        cart.replace_all(changes)


# ── the sum of each leg ──────────────────────────────────────────────────────────────────────────────


def test_it_draws_on_both_legs_and_nothing_else_does(cart: tl.Design) -> None:
    on = frozenset({"kiln", "kettle"})
    at = moment(cart.replace("charger", None), on)
    assert at.leg_va == pytest.approx((1300.0 + 1650.0, 1650.0)) and at.va == pytest.approx(4600.0)
    assert (at.largest_va, at.on, at.dead) == (1650.0, ("kiln", "kettle"), ())
    assert least_a(cart.supply("yard 50 A"), at, 2) == pytest.approx(2950.0 / 120.0)
    one = moment(cart.replace("charger", None), on, arriving=1)
    assert (one.va, one.on, one.dead) == (1300.0, ("kettle",), ("kiln",))


def test_the_schedule_has_it_on_both(cart: tl.Design) -> None:
    (own,) = [b for b in panel(cart).breakers if b.name == "kiln"]
    assert own.two_pole and own.all_a == pytest.approx(13.75) and own.share == pytest.approx(0.6875)
    without = panel(cart.replace("load.kiln.on", False))
    for leg, bare in zip(panel(cart).legs, without.legs, strict=True):
        assert leg.all_a > bare.all_a + 13.0
    rows = {row["name"]: row for row in panels.rows(cart)}
    assert rows["kiln"]["leg"] == "1 and 2" and rows["kettle" if "kettle" in rows else "rear cooler"]["leg"] == "2"
    small = panel(cart.replace("mains.inlet", "TT-30"))
    assert next(b for b in small.breakers if b.name == "kiln").all_a == 0.0, "one leg has nothing to run it by"


def breaker(name: str, leg: Any, amperes: complex) -> Breaker:
    return Breaker(name, 30.0, leg, "10 AWG", (), "wired in", None, amperes, None, amperes)


@pytest.mark.parametrize("seed", range(20))
def test_the_best_legs_with_some_on_both_against_every_division(seed: int) -> None:
    chance = random.Random(seed)
    loads = [amps(chance.uniform(1.0, 20.0), chance.uniform(0.7, 1.0)) for _ in range(chance.randint(2, 9))]
    legs: list[Any] = [chance.choice([1, 2, "both"]) for _ in loads]
    found = best_legs([breaker(f"c{n}", leg, a) for n, (leg, a) in enumerate(zip(legs, loads, strict=True))])

    def heavier(ways: tuple[Any, ...]) -> float:
        return max(abs(sum(a for a, way in zip(loads, ways, strict=True) if way in (k, "both"))) for k in (1, 2))

    choices = [("both",) if leg == "both" else (1, 2) for leg in legs]
    assert found is not None and found.best_a == pytest.approx(min(map(heavier, itertools.product(*choices))))
    assert heavier(tuple(found.best.values())) == pytest.approx(found.best_a)
    assert all((found.best[f"c{n}"] == "both") is (leg == "both") for n, leg in enumerate(legs))
    assert found.present_a == pytest.approx(heavier(tuple(legs)))


# ── voltage and drop ─────────────────────────────────────────────────────────────────────────────────


def test_power_in_is_power_out_with_a_load_between_the_legs(cart: tl.Design) -> None:
    side = solved(cart, "yard 50 A")
    flow, net = side.at_moment, side.network
    assert flow is not None and net is not None and "kiln" in side.moment.on
    into = float((side.emf_v * flow.leg_a[:, 0].conj()).sum().real)
    out = float((flow.leg_ohm.real * np.abs(flow.leg_a) ** 2).sum() + (flow.neutral_ohm.real * np.abs(flow.neutral_a) ** 2).sum())  # fmt: skip
    for draw in net.shape.draws:
        if draw.name in side.moment.on:
            leg = cart.circuit(draw.circuit).leg
            volts = flow.leg_v[:, draw.node].sum() if leg == "both" else flow.leg_v[int(leg or 1) - 1, draw.node]
            out += draw.va.real * ((abs(volts) / draw.volts) ** 2 if draw.kind == "resistive" else 1.0)
    assert into == pytest.approx(out, rel=1e-9) and into > 6000.0
    node = net.nodes[[c.name for c in net.circuits].index("kiln")][0]
    assert abs(flow.neutral_a[node]) < 1e-9 and flow.leg_a[0, node] == pytest.approx(flow.leg_a[1, node], abs=1e-9)


def test_three_heaters_against_the_equations_of_the_nodes() -> None:
    """One on each leg and one between them behind a cord: Kirchhoff at two hot nodes and a neutral, solved apart.

    12 ohm and 24 ohm to the neutral, 16 ohm between; every conductor of the cord 0.15 ohm in round numbers is what the
    tables give, read back from the study, so that only the equations are tried.
    """
    raw: dict[str, Any] = {
        "title": "heaters",
        "trailer": {"length": "14 ft", "width": "7 ft", "height": "6 ft"},
        "mains": {"inlet": "14-50", "main": "50 A"},
        "supply": [{"name": "park", "kind": "shore 50 A", "cord": "10 AWG", "cord_run": "100 ft"}],
        "circuit": [
            {"name": name, "system": "mains", "wire": "10 AWG", "insulation": "90 C", "run": "20 ft",
             "protection": "30 A", "device": "breaker", "leg": leg}
            for name, leg in (("a", 1), ("b", 2), ("c", "both"))
        ],
        "load": [
            {"name": name, "class": "space heater", "circuit": name, "power": power}
            for name, power in (("a", "1200 W"), ("b", "600 W"), ("c", "3600 W"))
        ],
    }  # fmt: skip
    design = tl.design_from(raw)
    side = solved(design, "park")
    flow, net = side.at_moment, side.network
    assert flow is not None and net is not None
    run = [complex(2 * flow.leg_ohm[nodes[0]]) for nodes in net.nodes]
    far = [
        12.0 + complex(flow.leg_ohm[net.nodes[0][0]] + flow.neutral_ohm[net.nodes[0][0]]),
        24.0 + complex(flow.leg_ohm[net.nodes[1][0]] + flow.neutral_ohm[net.nodes[1][0]]),
        16.0 + run[2],
    ]
    hot, back = 1.0 / complex(flow.leg_ohm[1]), 1.0 / complex(flow.neutral_ohm[1])
    ya, yb, yc = (1.0 / z for z in far)
    matrix = np.array([
        [hot + ya + yc, -yc, -ya],
        [-yc, hot + yb + yc, -yb],
        [-ya, -yb, back + ya + yb],
    ])  # fmt: skip
    first, second, neutral = np.linalg.solve(matrix, np.array([120.0 * hot, -120.0 * hot, 0.0]))
    assert side.panel_v == pytest.approx((abs(first - neutral), abs(neutral - second)), abs=1e-7)
    assert side.neutral_a == pytest.approx(abs(neutral * back), abs=1e-7)
    assert side.branches["c"].end_v == pytest.approx(abs((first - second) * yc * 16.0), abs=1e-7)
    alone = 240.0 / (16.0 + run[2] + 2 * complex(side.alone["c"].leg_ohm[1]))
    assert side.branches["c"].current_a == pytest.approx(abs(alone), abs=1e-3)


@pytest.mark.parametrize("alone", [False, True])
def test_the_steps_of_its_way_add_up(cart: tl.Design, alone: bool) -> None:
    side = solved(cart, "yard 50 A")
    way = ms.path_of(cart, side, "kiln", alone=alone)
    assert way is not None and way.emf_v == 240.0
    assert sum(step.lost_v for step in way.steps) == pytest.approx(240.0 - way.load_v, abs=1e-9)
    names = [step.name for step in way.steps]
    assert names.count("main breaker") == 2 and "neutral bar" not in names
    assert names.count("branch breaker, second pole") == 1
    row = next(run for run in tl.study("wiring", cart).picture.runs if run.circuit.name == "kiln")
    assert row.drop_v == pytest.approx(row.drop * 240.0) and row.current_a == pytest.approx(13.75, abs=0.2)


def test_its_wire_by_hand(cart: tl.Design) -> None:
    """3300 W at 240 V last: 13.75 A, 17.2 A asked of breaker and wire; drop of 12 AWG out and back, as a share of 240 V."""
    run = next(run for run in tl.study("wiring", cart).picture.runs if run.circuit.name == "kiln")
    assert run.needed_a == pytest.approx(1.25 * 13.75)
    assert run.current_a is not None and run.wire_c is not None and run.run_m is not None
    ohm = 2 * run.run_m * by_hand.ohm_per_m("12 AWG", run.wire_c) + 2 * (0.1 / 20.0 + 0.001)
    assert run.drop == pytest.approx(run.current_a * ohm / 240.0, rel=2e-3)
    for wire in ("14 AWG", "8 AWG"):
        (other,) = [
            r
            for r in tl.study("wiring", cart.replace("circuit.kiln.wire", wire)).picture.runs
            if r.circuit.name == "kiln"
        ]
        assert run.choice.drops_by_wire[wire] == pytest.approx(other.drop, rel=1e-3)
    doubled = cart.replace("load.kiln.power", "5400 W")
    words = {c.rule: c.severity for c in tl.study("wiring", doubled).checks if c.subject == 'circuit "kiln"'}
    assert words["fuse-carries-load"] == "fix"


def test_a_short_from_leg_to_leg_draws_most_and_from_leg_to_frame_least(cart: tl.Design) -> None:
    known = cart.replace("supply.yard 50 A.prospective", "2 kA")
    supply = known.supply("yard 50 A")
    most, least = ms.prospective_a(known, supply, True), ms.prospective_a(known, supply)
    assert most is not None and least is not None and most == pytest.approx(2.0 * least)
    assert (
        ms.prospective_a(known.replace("supply.yard 30 A.prospective", "1 kA"), known.supply("yard 30 A"), True) is None
    )
    far = far_end_a(known, supply.name, "kiln")
    assert far is not None and far < least


# ── what may run together ────────────────────────────────────────────────────────────────────────────


def heavy(cart: tl.Design) -> tl.Design:
    return cart.replace_all({"load.kiln.power": "4800 W", "mains.main": "40 A", "circuit.kiln.protection": "30 A"})


@pytest.mark.parametrize("seed", range(3))
def test_every_set_with_a_load_on_both_legs_against_plain_sums(cart: tl.Design, seed: int) -> None:
    chance = random.Random(seed)
    design = heavy(cart).replace_all(
        {f"circuit.{n}.leg": chance.choice([1, 2, "both"]) for n in ("wheel bench", "charger")}
    )
    found = together.of(design, "yard 50 A")
    assert found.checked and not found.dead
    own = {s.name: s.amps for s in found.switches}
    legs = {s.name: design.circuit(s.circuit).leg for s in found.switches}
    names, seen = list(own), set()
    for count in range(len(names) + 1):
        for on in itertools.combinations(names, count):
            sums = [abs(sum(own[n] for n in on if legs[n] in (k, "both"))) for k in (1, 2)]
            holds = max(sums) <= 40.0 * (1 + 1e-9) and all(
                abs(sum(own[s.name] for s in found.switches if s.name in on and s.circuit == c.name))
                <= (c.protection or 0)
                for c in design.circuits_of("mains")
            )
            if holds:
                assert found.allows(on) in (True, False)
            assert (found.allows({*on, *(s.name for s in found.free)}) is True) is holds or not holds or found.free
            if not found.free:
                assert found.allows(on) is holds, on
            seen.add(holds)
    assert seen == {True, False}


@pytest.mark.parametrize("supply", ONE_LEG)
def test_it_is_dead_where_one_leg_arrives(cart: tl.Design, supply: str) -> None:
    found = together.of(cart, supply)
    assert found.dead == ("kiln",) and "kiln" not in [s.name for s in found.switches]
    assert found.allows(["kiln"]) is found.allows([]) and found.allows(["kiln", "kettle"]) is found.allows(["kettle"])
    words = tl.run_together(cart, supply)
    assert "cannot run here, it needs both legs: kiln" in words and words.count("kiln") == 1
    side = solved(cart, supply)
    assert side.dead == ("kiln",) and "kiln" not in side.branches and "kiln" not in side.load_v
    for ink in ("screen", "paper"):
        assert "it needs both legs: kiln" in run_together(found, ink=ink)  # type: ignore[arg-type]
    assert everything(cart, 1).dead == ("kiln",)
    assert "kiln cannot run here" in what_trips.answer(cart, supply, ["kiln", "kettle"]).sentence
    assert "cannot run" not in what_trips.answer(cart, supply, ["kettle"]).sentence


def test_what_is_dead_uses_nothing_and_warms_nothing(cart: tl.Design) -> None:
    """By pencil: six hours of 3300 W at 0.6; on the wall of one leg, and on the battery, none of it, also as warmth."""
    day, wh = "class day", {}
    for supply in ("yard 50 A", "school wall", "battery"):
        design = cart.replace(f"stay.{day}.supply", supply)
        answer = tl.study("loads", design)
        row = next(row for row in answer.rows if row["name"] == "kiln")
        wh[supply] = row["stay_0"]
        assert answer.value("stay_0") == pytest.approx(sum(each["stay_0"] for each in answer.rows))
        assert ("kiln" in (load.name for load in design.loads if fed(design, load, design.stay(day)))) == (
            wh[supply] > 0.0
        )
    assert wh == {"yard 50 A": pytest.approx(6 * 3300 * 0.6), "school wall": 0.0, "battery": 0.0}
    joined = cart.replace("supply.yard 50 A.adapters", ["14-50 to TT-30"])
    stays = [(design, design.stay(day)) for design in (cart, joined)]
    warm = [gains.of_stay(design, stay, np.array([9.5])).loads_w[0] for design, stay in stays]
    assert warm[0] - warm[1] == pytest.approx(3300 * 0.6)
    cooler = cart.load("front cooler")
    works = [running_in(design, cooler, stay) for design, stay in (*stays, *stays)]
    assert works[0] > 1.2 * works[1] and works[:2] == works[2:], "what is kept knows which of them are dead"


def test_an_adapter_that_joins_the_legs_kills_it(cart: tl.Design) -> None:
    design = cart.replace("supply.yard 50 A.adapters", ["14-50 to TT-30", "TT-30 to 14-50"])
    assert together.of(design, "yard 50 A").dead == ("kiln",)
    assert solved(design, "yard 50 A").pedestal_v == (pytest.approx(120.0),)
    dead = [c for c in what_trips.answer(design).checks if c.rule == "two-leg-circuit-dead"]
    assert [c.severity for c in dead] == ["fix"] and "yard 50 A" in dead[0].subject
    fine = [c for c in what_trips.answer(cart).checks if c.rule == "two-leg-circuit-dead"]
    assert [c.severity for c in fine] == ["holds"]


def test_a_generator_of_one_voltage_does_not_run_or_start_it(cart: tl.Design) -> None:
    answer = tl.study("generator", cart)
    assert "kiln cannot run on it" in answer.sentence
    assert answer.value("running_va") == tl.study("generator", cart.replace("load.kiln.on", False)).value("running_va")
    motor = cart.replace("load.front cooler.circuit", "kiln")
    gap = start_case(motor, motor.supply("generator"), "front cooler").gap
    assert "cannot run there" in gap
    assert "not worked out" in start_case(motor, motor.supply("yard 50 A"), "front cooler").gap


# ── the picture ──────────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("ink", ["screen", "paper"])
def test_the_drawn_panel_has_two_poles_on_one_handle(cart: tl.Design, ink: Any) -> None:
    drawn = panel_front(panel(cart), ink=ink)
    one = panel_front(panel(cart.replace_all({"circuit.kiln.leg": 1})), ink=ink)
    assert "wo poles, one handle" in drawn and "wo poles" not in one
    assert drawn.count(">20<") == one.count(">20<") + 1, "its rating is stamped on both poles"
    assert "kiln (dead)" in panel_front(panel(cart.replace("mains.inlet", "TT-30")), ink=ink)
