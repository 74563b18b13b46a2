"""The order of switching on: against every order there is, and on the demo."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.studies.generator.asked import asked_of, startables
from trailerlib.studies.start_order import Startable, start_order


def works(things: tuple[Startable, ...], gives: float, surge: float) -> bool:
    """One order, step by step."""
    running = 0j
    for thing in things:
        peak = max(thing.start_va, thing.running_va, key=abs)
        if abs(running + peak) > surge or abs(running + thing.running_va) > gives:
            return False
        running += thing.running_va
    return True


def lagging(va: float, factor: float) -> complex:
    return va * complex(factor, (1 - factor**2) ** 0.5)


def drawn(rng: np.random.Generator) -> list[Startable]:
    """Up to seven things that lag differently, running and starting."""
    count = int(rng.integers(1, 8))
    running = rng.integers(1, 30, count) * 50.0
    starting = running * rng.choice([0.5, 1.0, 1.0, 1.8, 3.0, 4.6], count)
    factors = rng.choice([1.0, 0.97, 0.9, 0.7], count)
    return [
        Startable(f"load {k}", lagging(r, f), lagging(s, 0.65 if s > 2 * r else f))
        for k, (r, s, f) in enumerate(zip(running.tolist(), starting.tolist(), factors.tolist(), strict=True))
    ]


@pytest.mark.parametrize("seed", range(250))
def test_against_every_order_there_is(seed: int) -> None:
    """An order is found exactly when one exists, and it is one that works; up to seven loads, 5040 orders."""
    rng = np.random.default_rng(seed)
    things = drawn(rng)
    total = abs(sum(thing.running_va for thing in things))
    gives, surge = total * float(rng.uniform(0.8, 1.5)), total * float(rng.uniform(0.8, 2.5))
    found = start_order(things, gives, surge)
    assert found.works == any(works(order, gives, surge) for order in itertools.permutations(things))
    if found.works:
        by_name = {thing.name: thing for thing in things}
        assert sorted(found.names) == sorted(by_name)
        assert works(tuple(by_name[name] for name in found.names), gives, surge)


@pytest.mark.parametrize("seed", range(60))
def test_what_is_left_off_lets_the_rest_go_on(seed: int) -> None:
    rng = np.random.default_rng(1000 + seed)
    things = drawn(rng)
    by_name = {thing.name: thing for thing in things}
    total = abs(sum(thing.running_va for thing in things))
    gives, surge = total * float(rng.uniform(0.4, 1.1)), total * float(rng.uniform(0.5, 1.5))
    found = start_order(things, gives, surge)
    assert sorted((*found.names, *found.blocked)) == sorted(by_name)
    assert works(tuple(by_name[name] for name in found.names), gives, surge)
    assert bool(found.why) is bool(found.blocked) and found.works is not bool(found.blocked)


def test_what_blocks_is_named() -> None:
    kettle, cooler = Startable("kettle", 1300.0, 1300.0), Startable("cooler", 1550.0, 7100.0)
    assert start_order([kettle, cooler], 4000.0, 7200.0).names == ("cooler", "kettle")
    starting = start_order([kettle, cooler], 4000.0, 5000.0)
    assert (starting.blocked, starting.why, starting.names) == (("cooler",), "starting", ("kettle",))
    assert starting.blocked_va == 7100.0, "alone, for the kettle can be last"
    running = start_order([kettle, cooler], 2000.0, 9000.0)
    assert (running.blocked, running.why, running.blocked_va) == (("cooler",), "running", 2850.0)
    assert running.names == ("kettle",) and not running.works
    assert start_order([], 1.0, 1.0).works


def test_the_steps_say_what_runs_and_what_is_asked() -> None:
    one, two = Startable("one", 300 + 400j, 3000 + 0j), Startable("two", 400 - 0j, 400 - 0j)
    first, second = start_order([two, one], 1e4, 1e4).steps
    assert (first.name, first.before_va, first.at_start_va, first.after_va) == ("one", 0.0, 3000.0, 500.0)
    assert (second.before_va, second.at_start_va) == (500.0, pytest.approx(abs(700 + 400j)))


def test_at_the_limit_it_holds() -> None:
    things = [Startable("a", 0.1, 0.3), Startable("b", 0.2, 0.2)]
    assert start_order(things, 0.1 + 0.2, 0.3).works
    assert not start_order(things, 0.3 - 1e-6, 0.4).works


def test_the_soft_starter_opens_a_way_on_the_demo(demo: tl.Design) -> None:
    """The cooler, a dryer and the charger at 5200 ft: 7.1 kVA asked at once without, 2.8 with."""
    design = demo.replace_all(
        {"stay.drying day.on.roof cooler": "10:00-12:00", "supply.generator.kind": "portable 6500 W"}
    )
    asked = asked_of(design, design.supply("generator"))
    left = tl.study("generator", design).value("left")
    gives, surge = 5500 * left, 6500 * left
    orders = {soft: start_order(startables(design, asked.at, soft), gives, surge) for soft in (False, True)}
    assert orders[False].blocked == ("roof cooler",) and orders[True].works
    assert orders[True].names[0] == "roof cooler"
    assert orders[True].steps[0].at_start_va == pytest.approx(12.9 * 120 * 1.8)
