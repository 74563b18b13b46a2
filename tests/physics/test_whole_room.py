"""What holds for every module of physics and rules alike."""

from __future__ import annotations

import ast
import dataclasses
import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from banks import bank
from pvlib.temperature import TEMPERATURE_MODEL_PARAMETERS, sapm_cell

import trailerlib.physics
import trailerlib.rules
from trailerlib.physics.airflow import effective_m2
from trailerlib.physics.alternator import Source, pedestal
from trailerlib.physics.battery_week import Guards, Loads, Sources, march
from trailerlib.physics.beam import Bow
from trailerlib.physics.beam import Loads as BowLoads
from trailerlib.physics.cutting import Stock, plan
from trailerlib.physics.enclosure import heater_w
from trailerlib.physics.fan import fan_flow_m3_s, opening_for_flow_m2
from trailerlib.physics.indoor_air import hours_until
from trailerlib.physics.mains_network import solve_ac
from trailerlib.physics.motor import induction_motor
from trailerlib.physics.motor_start import Way, start
from trailerlib.physics.network import Tree, solve_dc
from trailerlib.physics.ohm import drawn_a, together_a
from trailerlib.physics.rails import RailLoads
from trailerlib.physics.solar_panel import cell_temperature_c, panel_power_w, switching_current_a
from trailerlib.physics.split_phase import solve_split_phase
from trailerlib.physics.towing_charge import tow_wire_ohm

MODULES = [
    importlib.import_module(f"{room.__name__}.{module.name}")
    for room in (trailerlib.physics, trailerlib.rules)
    for module in pkgutil.iter_modules(room.__path__)
]


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_what_is_made_once_cannot_be_changed(module: ModuleType) -> None:
    """A value that is shared and kept (caches, registries) must not change under whoever else holds it."""
    for title, thing in vars(module).items():
        if inspect.isclass(thing) and dataclasses.is_dataclass(thing) and thing.__module__ == module.__name__:
            assert thing.__dataclass_params__.frozen, title  # type: ignore[attr-defined]


def asked(text: ast.Module, own: str) -> Iterator[str]:
    """What a module asks of others and of itself, as ``module.name``; a function that asks itself does not count."""
    called = {}
    for node in ast.walk(text):
        if isinstance(node, ast.ImportFrom):
            yield from (f"{str(node.module).rpartition('.')[2]}.{name.name}" for name in node.names)
            called |= {name.asname: name.name for name in node.names if name.asname}
    for node in ast.walk(text):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            yield f"{called.get(node.value.id, node.value.id)}.{node.attr}"
    for part in text.body:
        names = {node.id for node in ast.walk(part) if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load)}
        yield from (f"{own}.{name}" for name in names - {getattr(part, "name", "")})


def test_every_function_of_the_room_is_asked_by_the_house() -> None:
    """What only tests ask is a witness and belongs to the tests; the registry of formulas is there for them."""
    house = Path(trailerlib.__path__[0])
    told = {name for file in house.rglob("*.py") for name in asked(ast.parse(file.read_bytes()), file.stem)}
    made = {
        f"{file.stem}.{part.name}"
        for file in (house / "physics").glob("*.py")
        for part in ast.parse(file.read_bytes()).body
        if isinstance(part, ast.FunctionDef)
    }
    assert len(made) > 300 and made - told == {"formula.registry"}


def test_a_mark_that_is_never_passed_divides_by_nothing() -> None:
    with np.errstate(all="raise"):
        found = hours_until(400.0, np.array([900.0, 1200.0, 1500.0, 400.0]), 1200.0, 0.01, 18.0)
    # 18 m³ at 36 m³/h: half an hour times ln (800 / 300)
    assert found == pytest.approx([0.5 * np.log(800.0 / 300.0), np.inf, np.inf, 0.0])


TREE = Tree.of((-1, 0))
LEFT_OUT: list[tuple[Callable[..., Any], tuple[Any, ...], dict[str, Any]]] = [
    (effective_m2, (0.02,), {"passes": 1.0}),
    (heater_w, (30.0, 20.0, 5.0), {"gains_w": 0.0}),
    (fan_flow_m3_s, (0.02, 0.3, 40.0), {"speed": 1.0}),
    (opening_for_flow_m2, (0.1, 0.3, 40.0), {"speed": 1.0}),
    (drawn_a, (900.0, 120.0), {"power_factor": 1.0}),
    (together_a, (900.0, 120.0), {"other_a": 0.0}),
    (panel_power_w, (180.0, 700.0, 45.0), {"shading": 0.0, "losses": 0.0}),
    (switching_current_a, (180.0, 17.0, 700.0), {"shading": 0.0, "losses": 0.0}),
    (tow_wire_ohm, (0.003, 14.0), {"joints_ohm": 0.0}),
    (plan, ([5, 5, 5], [Stock(10, 10)]), {"kerf": 0}),
]  # fmt: skip


@pytest.mark.parametrize(("function", "given", "stated"), LEFT_OUT, ids=[one[0].__name__ for one in LEFT_OUT])
def test_what_is_left_out_counts_for_nothing(function: Callable[..., Any], given: Any, stated: dict[str, Any]) -> None:
    plain, full = function(*given), function(*given, **stated)
    assert repr(plain) == repr(full)


def test_a_feeder_has_no_loads_but_those_it_is_given() -> None:
    nothing = {"power_w": 0.0, "conductance_s": 0.0, "current_a": 0.0}
    amps = np.array([1.0, 2.0])
    for name, value in (("power_w", 12 * amps), ("conductance_s", amps / 12), ("current_a", amps)):
        one, all_ = (solve_dc(TREE, 12.0, np.full(2, 0.1), **{**more, name: value}) for more in ({}, nothing))
        assert repr(one) == repr(all_)
    for name, value in (("power_va", 12 * amps), ("admittance_s", amps / 12), ("current_a", amps)):
        given = {"power_va": 0.0, "admittance_s": 0.0, "current_a": 0.0, name: value}
        one, all_ = (solve_ac(TREE, 12.0, np.full(2, 0.1), **more) for more in ({name: value}, given))
        assert repr(one) == repr(all_)
        wide = [(x, x, x) if name == key else (0.0, 0.0, 0.0) for key, x in given.items()]
        both = (
            solve_split_phase(TREE, 12.0, *[np.full(2, 0.1 + 0j)] * 3, **more)
            for more in ({name: (value, value, value)}, dict(zip(given, wide, strict=True)))
        )
        first, second = (repr(solution) for solution in both)
        assert first == second


def test_what_a_week_is_not_told_of_is_not_there() -> None:
    """No loads, no sources, no disconnect, a full bank: nothing moves; what is shown is every step."""
    week = march(bank(), np.full(3, 1 / 12), 25.0, Loads())
    assert week.charge.tolist() == [1.0] * 4 and not any(flow.any() for flow in week.flows_w.values())
    assert Loads() == Loads(0.0, 0.0, 0.0, 0.0, 1.0) and Guards() == Guards(0.0, 1.0, 0.05)
    given = vars(Sources())
    assert [name for name, value in given.items() if value != 0.0 and name.endswith(("_a", "_w", "tow_v"))] == [
        "tow_limit_a"
    ]
    assert (
        given["tow_limit_a"] >= 1e6 <= given["absorption_limit_h"] and given["absorption_v"] is None is given["float_v"]
    )
    assert (given["tail_share"], given["again_share"], given["tow_ohm"]) == (0.02, 0.9, 1.0)


def test_a_source_without_a_word_is_stiff_and_without_limit() -> None:
    assert Source(120.0, 0.1) == Source(120.0, 0.1, np.inf, np.inf, np.inf, 1.0) and Way(1.0, 2.0).others_s == 0.0
    made = induction_motor(120.0, 1500.0, 0.97, 59.3, 0.3)
    found = start(made, pedestal(120.0, 0.0), Way(0.0, 0.0))
    assert found.time_s == pytest.approx(np.linspace(0.0, 2.0, 201))


def test_beams_are_pinned_and_bare_until_told_otherwise() -> None:
    assert Bow(2.0, 10.0) == Bow(2.0, 10.0, 0.0, 0.0)
    assert not BowLoads().force_n.size and BowLoads().per_m_n == 0.0
    assert RailLoads().force_n.shape == (2, 0) and RailLoads().at_m.shape == (0,) and not RailLoads().per_m_n.any()


def test_a_panel_close_to_the_roof_is_that_of_an_independent_library() -> None:
    """pvlib's own table of King's model: glass on glass, close to the roof; 1 m/s of wind is ours."""
    theirs = TEMPERATURE_MODEL_PARAMETERS["sapm"]["close_mount_glass_glass"]
    assert cell_temperature_c(870.0, 31.0) == pytest.approx(sapm_cell(870.0, 31.0, 1.0, **theirs), rel=1e-12)
