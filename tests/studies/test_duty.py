"""Which duty a study takes: stated, by the air, of the class."""

from __future__ import annotations

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.studies.duty import duty_in, duty_share

FRIDGE = "specimen fridge"


def test_a_stated_duty_wins_over_the_air(demo: tl.Design) -> None:
    load = demo.replace(("load", FRIDGE, "duty"), "55 %").load(FRIDGE)
    assert duty_share(load, 40.0) == 0.55


def test_without_the_air_the_class_stands(demo: tl.Design) -> None:
    load = demo.load(FRIDGE)
    assert duty_share(load, None) == load.typical.duty
    assert duty_in(load, demo.replace(("stay", "night", "ambient"), None).stay("night")) == load.typical.duty


def test_a_load_that_keeps_nothing_cold_does_not_care(demo: tl.Design) -> None:
    load = demo.load("roof cooler")
    assert duty_share(load, 45.0) == load.typical.duty


def test_a_hot_stay_costs_more_than_a_cool_one_and_a_box_that_is_lived_in_is_never_cold(demo: tl.Design) -> None:
    """96 °F against 46 °F: over the rated 40 % and under it; frost outside is not frost inside."""
    load = demo.load(FRIDGE)
    hot, cool = (duty_in(load, demo.stay(name)) for name in ("camp with power", "night"))
    assert hot > load.typical.duty > cool > 0.1
    assert duty_share(load, -20.0) == duty_share(load, 15.0)


def test_it_follows_the_air_step_by_step(demo: tl.Design) -> None:
    load, air = demo.load(FRIDGE), np.array([10.0, 25.0, 40.0])
    assert duty_share(load, air) == pytest.approx([float(duty_share(load, a)) for a in air])


def test_a_hotter_night_never_leaves_more(demo: tl.Design) -> None:
    """Between 25 and 35 °C the battery holds as much as it ever does, and the fridge takes more."""
    kept = [
        tl.study("night", demo.replace(("stay", "night", "ambient"), f"{air} °C")).value("lowest")
        for air in (25, 28, 32, 36)
    ]
    assert kept == sorted(kept, reverse=True) and kept[0] - kept[-1] > 0.05
