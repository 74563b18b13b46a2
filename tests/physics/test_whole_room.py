"""What holds for every module of physics and rules alike."""

from __future__ import annotations

import dataclasses
import importlib
import inspect
import pkgutil

import numpy as np
import pytest

import trailerlib.physics
import trailerlib.rules
from trailerlib.physics.indoor_air import hours_until

MODULES = [
    f"{room.__name__}.{module.name}" for room in (trailerlib.physics, trailerlib.rules) for module in pkgutil.iter_modules(room.__path__)
]  # fmt: skip


@pytest.mark.parametrize("name", MODULES)
def test_what_is_made_once_cannot_be_changed(name: str) -> None:
    """A value that is shared and kept (caches, registries) must not change under whoever else holds it."""
    module = importlib.import_module(name)
    for title, thing in vars(module).items():
        if inspect.isclass(thing) and dataclasses.is_dataclass(thing) and thing.__module__ == name:
            assert thing.__dataclass_params__.frozen, title  # type: ignore[attr-defined]


def test_a_mark_that_is_never_passed_divides_by_nothing() -> None:
    with np.errstate(all="raise"):
        found = hours_until(400.0, np.array([900.0, 1200.0, 1500.0, 400.0]), 1200.0, 0.01, 18.0)
    # 18 m³ at 36 m³/h: half an hour times ln (800 / 300)
    assert found == pytest.approx([0.5 * np.log(800.0 / 300.0), np.inf, np.inf, 0.0])
