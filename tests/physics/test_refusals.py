"""What is refused is refused from the first value that cannot be, and the last that can is taken: both sides of each bound."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from banks import bank
from boxes import BOX

from trailerlib.physics import sections, together
from trailerlib.physics.battery import lookup, state_of_charge
from trailerlib.physics.battery_bank import Curve
from trailerlib.physics.battery_week import Guards, Loads, Sources, march
from trailerlib.physics.beam import Bow, solved
from trailerlib.physics.beam import Loads as BowLoads
from trailerlib.physics.conductor import ambient_factor
from trailerlib.physics.enclosure import modes_of
from trailerlib.physics.heating import thermal_time_s
from trailerlib.physics.mains_network import solve_ac
from trailerlib.physics.network import Tree, solve_dc
from trailerlib.physics.rails import RailLoads, Rails, looked_at
from trailerlib.physics.spacer import frame_pieces
from trailerlib.physics.split_phase import solve_split_phase
from trailerlib.physics.time_current import band, device_of
from trailerlib.physics.wire_damage import damage_seconds

NAN = math.nan
ONE = Tree.of((-1,))
STEPS = np.full(3, 1 / 12)
ROWS = [
    {"device": "x", "rating_from_a": "5", "rating_to_a": "50", "multiple": m, "least_s": least, "most_s": most,
     "beyond": "i2t"} for m, least, most in (("1.1", "1000", ""), ("2.0", "1", "100"), ("8.0", "0.01", "1"))
]  # fmt: skip


def of_bank(name: str) -> Callable[[Any], Any]:
    return lambda x: replace(bank(), **{name: x})


def of_loads(name: str) -> Callable[[Any], Any]:
    return lambda x: march(bank(), STEPS, 20.0, Loads(**{name: np.full((1, 3), x)}))


def of_sources(name: str) -> Callable[[Any], Any]:
    return lambda x: march(bank(), STEPS, 20.0, Loads(), Sources(**{name: x}))


def of_box(name: str) -> Callable[[Any], Any]:
    return lambda x: modes_of(replace(BOX, **{name: x}))


def rows_with(place: int, column: str) -> Callable[[Any], Any]:
    return lambda x: device_of(
        [{**row, column: str(x)} if n == place else row for n, row in enumerate(ROWS)], "x", 10.0
    )


def wire(**changes: float) -> Any:
    given = {"current_a": 100.0, "area_m2": 5e-6, "ampacity_a": 30.0, "ambient_c": 30.0, "rating_c": 60.0,
             "initial_c": 30.0, "short_c": 150.0, "emergency_c": 90.0, **changes}  # fmt: skip
    return damage_seconds(**given)


Cases = list[tuple[str, str, Callable[[Any], Any], tuple[Any, ...], tuple[Any, ...]]]
CASES: Cases = [
    ("start of a night", "start_fraction", lambda x: state_of_charge(np.ones(2), 0.1, 50.0, x), (-1e-9, 1.0 + 1e-9, NAN), (0.0, 1.0)),
    ("capacity of a night", "capacity_ah", lambda x: state_of_charge(np.ones(2), 0.1, x, 0.5), (0.0, -0.5, NAN), (0.1,)),
    ("table", "strictly rising", lambda x: lookup(0.5, np.array([0.0, x]), np.ones(2)), (0.0, -0.5), (0.5, 1.0)),
    ("rows of a table", "strictly rising", lambda x: lookup(0.0, np.arange(2.0), np.ones(x)), (1, 3), (2,)),
    ("below a table", "lies outside", lambda x: lookup(x, np.arange(2.0), np.ones(2)), (-1e-9, 1.0 + 1e-9), (0.0, 1.0)),
    ("points of a curve", "strictly rising", lambda x: Curve(np.array([0.0, x]), np.ones(2), None), (0.0, -0.5), (0.1,)),
    ("one point", "two points", lambda x: Curve(np.arange(float(x)), np.ones(x), None), (1,), (2, 3)),
    ("values of a curve", "row for each", lambda x: Curve(np.arange(2.0), np.ones(x), None), (1, 3), (2,)),
    ("a gap in a curve", "not a number", lambda x: Curve(np.arange(2.0), np.array([1.0, x]), None), (NAN, math.inf), (2.0,)),
    *((f"bank {name}", f"{name} must be above 0", of_bank(name), (0.0, -0.5, NAN), (0.9,))
      for name in ("rated_ah", "hour_rate_h", "efficiency", "resistance_ohm", "tau_h", "age")),
    ("efficiency", "at most 1", of_bank("efficiency"), (1.0 + 1e-9, 1.5), (1.0,)),
    ("exponent", "at least 1", of_bank("exponent"), (1.0 - 1e-9, 0.0, NAN), (1.0, 1.3)),
    ("acceptance", "share of acceptance", of_bank("acceptance"), (np.array([-0.1]), np.array([1.0, -1e-9])), (np.zeros(2),)),
    ("factor", "share of acceptance", of_bank("capacity_factor"), (np.array([0.0]), np.array([1.0, -0.5])), (np.array([0.1]),)),
    ("absorption", "absorption voltage", of_bank("absorption_v"), (12.85, 12.0, NAN), (12.86,)),
    ("temperature of a bank", "temperature is not", lambda x: bank().at(x), (NAN, np.array([1.0, NAN])), (-60.0, 80.0)),
    ("step", "five minutes", lambda x: march(bank(), np.array([1 / 12, x]), 20.0, Loads()), (0.0, -0.01, 0.0834), (0.01, 1 / 12)),
    ("no step", "five minutes", lambda x: march(bank(), np.full(x, 1 / 12), 20.0, Loads()), (0,), (1, 2)),
    ("start", "start must lie", lambda x: march(bank(), STEPS, 20.0, Loads(), start=x), (-1e-9, 1.0 + 1e-9, NAN), (0.0, 1.0)),
    ("axes of banks", "in one axis", lambda x: march(bank(), np.full(1, 1 / 12), 20.0, Loads(np.ones((1, 1, *x)))), ((2, 2),), ((2,), ())),
    ("guard", "not a number", lambda x: march(bank(), STEPS, 20.0, Loads(), guards=Guards(x)), (NAN,), (0.0, 11.0)),
    ("weather", "has the shape", lambda x: march(bank(), STEPS, np.full(x, 20.0), Loads()), (2, 4), (1, 3)),
    *((f"loads {name}", "below zero", of_loads(name), (-1e-9, -0.5, NAN), (0.0, 1.0)) for name in ("power_w", "siemens", "amps")),
    ("cut-off", "below zero", lambda x: march(bank(), STEPS, 20.0, Loads(cut_off_v=x)), (-0.5, NAN), (0.0, 11.0)),
    ("hysteresis", "below zero", lambda x: march(bank(), STEPS, 20.0, Loads(hysteresis_v=x)), (-0.5, NAN), (0.0, 1.0)),
    ("groups", "groups and steps", lambda x: march(bank(), STEPS, 20.0, Loads(np.ones(x))), ((3,), (2, 2), (1, 4)), ((1, 3), (2, 3))),
    *((f"sources {name}", "below zero", of_sources(name), (-1e-9, -0.5), (0.0, 1.0))
      for name in ("charger_a", "converter_a", "solar_a", "solar_w", "tow_v")),
    ("into a short", "into a short", lambda x: march(bank(resistance_ohm=0.1, ocv_v=np.linspace(12.0, 12.8, len(bank().ocv_v))), STEPS,
     25.0, Loads(0.0, 0.0, np.full((1, 3), x))), (60.1, 90.0), (59.9,)),
    ("span", "span and stiffness", lambda x: solved(Bow(x, 10.0), BowLoads()), (0.0, -0.5, NAN), (0.5,)),
    ("stiffness", "span and stiffness", lambda x: solved(Bow(2.0, x), BowLoads()), (0.0, -0.5, NAN), (0.5,)),
    ("left end", "fixity", lambda x: solved(Bow(2.0, 10.0, x), BowLoads()), (-1e-9, 1.0 + 1e-9, NAN), (0.0, 1.0)),
    ("right end", "fixity", lambda x: solved(Bow(2.0, 10.0, 0.0, x), BowLoads()), (-1e-9, 1.0 + 1e-9, NAN), (0.0, 1.0)),
    ("place of a force", "on the span", lambda x: solved(Bow(2.0, 10.0), BowLoads(np.ones(1), np.array([x]))), (-1e-9, 2.0 + 1e-9, NAN), (0.0, 2.0)),
    ("base of a table", "below rating_c", lambda x: ambient_factor(60.0, 20.0, x), (60.0, 60.5), (59.9, 0.0)),
    *((f"box {name}", f"{name} must be above zero", of_box(name), (0.0, -0.5, NAN), (0.5,))
      for name in ("air_j_per_k", "mass_j_per_k", "film_w_per_k", "fabric_w_per_k")),
    ("leaks of a box", "air_w_per_k must not", of_box("air_w_per_k"), (-1e-9, -0.5, NAN), (0.0, 0.5)),
    ("warm surroundings", "cooler than", lambda x: thermal_time_s(5e-6, 30.0, x, 60.0), (60.0, 60.5, NAN), (59.5,)),
    ("ampacity", "must be above zero", lambda x: thermal_time_s(5e-6, x, 30.0, 60.0), (0.0, -0.5, NAN), (0.5,)),
    ("cross section", "must be above zero", lambda x: thermal_time_s(x, 30.0, 30.0, 60.0), (0.0, -0.5, NAN), (0.5,)),
    ("order of limits", "must fall", lambda x: wire(emergency_c=x), (59.9, 150.1, NAN), (60.0, 150.0)),
    ("begin of a wire", "begins above", lambda x: wire(initial_c=x), (60.1, NAN), (60.0,)),
    ("dc ohm", "0 ohm or more", lambda x: solve_dc(ONE, 12.0, np.array([x])), (-1e-9, -0.5, NAN), (0.0, 0.5)),
    ("ac ohm", "0 ohm or more", lambda x: solve_ac(ONE, 120.0, np.array([x])), (-1e-9 + 1j, -0.5, complex(0.0, math.inf), NAN), (0.0, 1j, -1j)),
    *((f"split ohm {n}", "0 ohm or more", lambda x, n=n: solve_split_phase(ONE, 120.0, *(np.array([x if n == k else 0.1]) for k in range(3))),
       (-1e-9 + 0j, -0.5 + 0j), (0j, 0.5 + 0j)) for n in range(3)),
    ("first node", "first node", lambda x: Tree.of(x), ((), (0,), (-2,), (1, 0)), ((-1,), (-1, 0))),
    ("parent", "smaller index", lambda x: Tree.of((-1, 0, x)), (-1, 2, 3), (0, 1)),
    ("end of rails", "length and a stiffness", lambda x: looked_at(Rails((0.5, 1.0), 10.0, 0.5, x), RailLoads()), (0.5, 0.4), (0.6,)),
    ("stiffness of rails", "length and a stiffness", lambda x: looked_at(Rails((0.5, 1.0), x, 0.0, 0.8), RailLoads()), (0.0, -0.5, NAN), (0.5,)),
    ("uniform load", "over_m", lambda x: looked_at(Rails((0.5, 1.0), 10.0, 0.0, 0.8), RailLoads(per_m_n=np.array([0.0, x]))), (1.0, -0.5), (0.0,)),
    ("stretch", "between the two ends", lambda x: looked_at(Rails((0.5, 1.0), 10.0, 0.0, 0.8), RailLoads(per_m_n=np.ones(2), over_m=x)),
     ((0.5, 0.4), (-0.1, 0.4), (0.1, 0.9)), ((0.0, 0.8), (0.4, 0.4))),
    *((f"frame {n}", "wider than nothing", lambda x, n=n: frame_pieces(*(x if n == k else 0.3 for k in range(3)), "butt"), (0.0, -0.5, NAN), (0.1,))  # type: ignore[arg-type, misc]
      for n in range(3)),
    ("tube wall", "above zero", lambda x: sections.tube(0.03, 0.02, x), (0.0, -0.001, 0.01, 0.012), (0.001, 0.0099)),
    ("tube width", "above zero", lambda x: sections.tube(x, 0.02, 0.001), (0.0, 0.002), (0.0021,)),
    ("hat top", "above zero", lambda x: sections.hat(x, 0.02, 0.01, 0.001), (0.002, 0.0), (0.0021,)),
    ("hat sheet", "above zero", lambda x: sections.hat(0.03, 0.02, 0.01, x), (0.0, -0.001), (0.001,)),
    ("rating below", "no published limits", lambda x: device_of(ROWS, "x", x), (4.9, 50.1), (5.0, 50.0)),
    ("times of a fuse", "must fall", rows_with(2, "most_s"), (100.1, 100.5), (100.0, 99.0)),
    ("soonest of a fuse", "must fall", rows_with(2, "least_s"), (1.1, 1.5), (1.0, 0.5)),
    ("multiples of a fuse", "must fall", rows_with(1, "multiple"), (8.0, 1.1), (7.9,)),
    ("current of a band", "below zero", lambda x: band(device_of(ROWS, "x", 10.0), x), (-1e-9, -0.5, NAN), (0.0, 0.5)),
    ("draw", "below zero", lambda x: together.allowed(np.array([[x, 1.0]]), np.array([3.0])), (-0.5, NAN, complex(0.0, -0.5), math.inf), (0.0, 1j)),
    ("limit", "below zero", lambda x: together.allowed(np.ones((1, 2)), np.array([x])), (-0.5, NAN, math.inf), (0.0, 0.5)),
    ("base", "below zero", lambda x: together.allowed(np.ones((1, 2)), np.array([3.0]), np.array([x])), (-0.5, NAN), (0.0, 0.5)),
]  # fmt: skip


@pytest.mark.parametrize(("words", "made", "refused", "taken"), [case[1:] for case in CASES], ids=[c[0] for c in CASES])
def test_both_sides_of_the_bound(
    words: str, made: Callable[[Any], Any], refused: tuple[Any, ...], taken: tuple[Any, ...]
) -> None:
    for value in refused:
        with pytest.raises(ValueError, match=words):
            made(value)
    for value in taken:
        made(value)
