"""Charging while towing: by hand, against a plain numerical solve, and that power in is power out."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from trailerlib.physics import towing_charge as tow

volts = st.floats(12.0, 14.8)
rests = st.floats(10.5, 13.6)
ohms = st.floats(0.005, 0.6)
inside = st.floats(0.001, 0.05)
rated = st.floats(1.0, 60.0)


def test_by_hand() -> None:
    """10 AWG, 25 ft one way, hot: 1.24 ohm per 1000 ft, 50 ft of it, 0.062 ohm. 13.8 V into a bank at 12.1 V, 10 mohm.

    1.7 V over 0.072 ohm is 23.6 A; the battery stands at 12.1 + 0.236 V; the wire takes 23.6² · 0.062 = 34.6 W.
    """
    wire = tow.tow_wire_ohm(1.24 / 304.8, 25 * 0.3048)
    assert wire == pytest.approx(0.062)
    got = tow.plain_wire(13.8, wire, 12.1, 0.010, 14.4, fuse_a=30)
    assert got.battery_a == pytest.approx(23.611, abs=1e-3) and got.battery_v == pytest.approx(12.336, abs=1e-3)
    assert got.wire_lost_w == pytest.approx(34.56, abs=1e-2)
    assert got.too_low and not got.opens and not got.collapses


def test_a_converter_by_hand() -> None:
    """20 A into 12.6 + 20 · 0.01 = 12.8 V is 256 W, 284.4 W at 90 %. Over 0.062 ohm from 13.8 V: V² - 13.8 V + 17.64 = 0.

    V = (13.8 + sqrt(190.44 - 70.54)) / 2 = 12.375 V and 22.98 A.
    """
    got = tow.through_converter(13.8, 0.062, 12.6, 0.010, 20, 0.9, fuse_a=30)
    assert got.wire_v == pytest.approx(12.375, abs=1e-3) and got.wire_a == pytest.approx(22.985, abs=2e-3)
    assert got.battery_a == 20 and got.battery_v == pytest.approx(12.8) and not got.too_low


@given(volts, rests, ohms, inside)
def test_plain_against_a_numerical_solve(source: float, rest: float, wire: float, battery: float) -> None:
    """The terminal voltage at which what the wire brings is what the battery takes."""
    got = tow.plain_wire(source, wire, rest, battery, 14.4)
    if source <= rest:
        assert got.battery_a == 0 and got.battery_v == rest
        return
    at = brentq(lambda v: (source - v) / wire - (v - rest) / battery, rest, source, xtol=1e-13, rtol=1e-13)
    assert got.battery_v == pytest.approx(at, abs=1e-9)
    assert got.battery_a == pytest.approx((source - at) / wire, abs=1e-7)


@given(volts, rests, ohms, inside, rated)
def test_converter_against_a_numerical_solve(
    source: float, rest: float, wire: float, battery: float, amps: float
) -> None:
    """The wire current at which the end of the wire carries the converter's power, searched up from nothing."""
    got = tow.through_converter(source, wire, rest, battery, amps, 0.9)
    power = amps * (rest + amps * battery) / 0.9
    peak = source / (2 * wire)  # more current brings less power from here on
    if (source - peak * wire) * peak < power:
        assert got.collapses and got.battery_a == 0 and got.wire_a == 0 and got.too_low
        return
    drawn = brentq(lambda i: (source - i * wire) * i - power, 0.0, peak, xtol=1e-12, rtol=1e-13)
    assert got.wire_a == pytest.approx(drawn, rel=1e-6) and got.battery_a == amps


@given(volts, rests, ohms, inside, rated, st.floats(1, 60), st.floats(0, 60))
def test_power_out_of_the_vehicle_is_power_into_battery_wire_and_converter(
    source: float, rest: float, wire: float, battery: float, amps: float, fuse: float, most: float
) -> None:
    for got in (
        tow.plain_wire(source, wire, rest, battery, 14.4, fuse, most),
        tow.through_converter(source, wire, rest, battery, amps, 0.87, fuse, most),
    ):
        out = source * got.wire_a
        into = got.battery_v * got.battery_a + got.wire_lost_w + got.converter_lost_w
        assert out == pytest.approx(into, rel=1e-9, abs=1e-9)
        assert got.wire_a <= fuse and 0 <= got.battery_a <= most and got.wire_lost_w >= 0 and got.converter_lost_w >= 0


@given(volts, rests, ohms, ohms, inside)
def test_a_longer_wire_never_brings_more(source: float, rest: float, one: float, two: float, battery: float) -> None:
    short, long = sorted((one, two))
    amps = tow.plain_wire(source, np.array([short, long]), rest, battery, 14.4).battery_a
    assert amps[0] >= amps[1]


def test_a_fuller_battery_takes_less_over_a_plain_wire_and_is_never_full() -> None:
    rest = np.linspace(11.6, 13.9, 30)
    got = tow.plain_wire(13.8, 0.062, rest, 0.01, np.array([[13.6], [14.4]]))
    assert got.battery_a.shape == (2, 30) and (np.diff(got.battery_a) <= 0).all()
    assert (got.battery_v <= np.maximum(13.8, rest)).all()
    assert not got.too_low[0].any() and got.too_low[1].all()
    assert got.battery_a[0, -1] == 0 and got.battery_v[0, -1] == rest[-1]  # nothing runs back


def test_a_fuse_opens_and_does_not_hold_the_current_down() -> None:
    got = tow.plain_wire(13.8, 0.062, 12.1, 0.01, 13.6, fuse_a=np.array([20.0, 23.6, 23.7]))
    assert got.opens.tolist() == [True, True, False]
    assert got.battery_a[:2].tolist() == [0, 0] and got.battery_v[0] == 12.1 and got.wire_v[0] == 13.8
    through = tow.through_converter(13.8, 0.062, 12.6, 0.01, 20, 0.9, fuse_a=np.array([20.0, 25.0]))
    assert through.opens.tolist() == [True, False] and through.battery_a.tolist() == [0, 20]


def test_a_battery_that_takes_nothing_gets_nothing() -> None:
    plain = tow.plain_wire(13.8, 0.062, 13.0, 0.01, 13.6, most_a=0.0)
    through = tow.through_converter(13.8, 0.062, 13.0, 0.01, 20, 0.9, most_a=0.0)
    assert plain.battery_a == through.battery_a == plain.wire_a == through.wire_a == 0
    assert plain.battery_v == through.battery_v == 13.0


def test_a_converter_just_below_and_above_what_the_wire_carries() -> None:
    """The most a source of 12 V sends over 0.1 ohm is 12² / 0.4 = 360 W, at 6 V and 60 A."""
    amps = 360 * 0.9 / 12.0
    got = tow.through_converter(12.0, 0.1, 12.0, 0.0, np.array([0.999, 1.001]) * amps, 0.9)
    assert got.collapses.tolist() == [False, True] and got.battery_a[1] == 0
    assert tow.converter_input_v(12.0, 0.1, 360.0) == pytest.approx(6.0)


def test_a_converter_brings_its_current_where_a_plain_wire_fades() -> None:
    rest = np.array([12.2, 13.2, 13.7])
    plain, through = tow.plain_wire(13.8, 0.1, rest, 0.01, 14.4), tow.through_converter(13.8, 0.1, rest, 0.01, 10, 0.9)
    assert (through.battery_a == 10).all() and plain.battery_a[0] > 10 > plain.battery_a[1] > plain.battery_a[2]
