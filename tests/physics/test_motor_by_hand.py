"""A motor whose circuit is known: reckoned by hand, then found again from its own name plate."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from trailerlib.physics.motor import SLIP, Motor, induction_motor, standing_ohm

HARD = Motor(120.0, 1.0, 0.5, 2.0, 0.01, 0.05, 0.4, 0.2, math.nan, 0.85)
SOFT = replace(HARD, soft_a=20.0)


def test_the_circuit_at_half_speed_by_hand() -> None:
    """Slip 0.5: 1 + 0.5 / 0.5 + 2j = 2 + 2j ohm, which is 0.25 - 0.25j S; 0.125 x 120 V² x 0.5 / 0.5 across the gap."""
    assert complex(HARD.admittance_s(0.5)) == pytest.approx(0.25 - 0.26j)
    assert float(HARD.torque_w(0.5)) == pytest.approx(1800.0)
    assert complex(HARD.admittance_s(0.0)) == pytest.approx(1 / (1.5 + 2j) - 0.01j)
    assert float(HARD.torque_w(0.0)) == pytest.approx(14400.0 / 6.25 * 0.5)


def test_the_load_by_hand() -> None:
    """At slip 0.05 the branch is 11 + 2j ohm: 14400 / 125 x 10 = 1152 W; 0.4 of it standing, the rest by the square."""
    assert float(HARD.running_torque_w) == pytest.approx(1152.0)
    assert HARD.load_w(np.array([0.0, 0.475, 0.95])) == pytest.approx(np.array([460.8, 633.6, 1152.0]))


def test_at_synchronous_speed_it_does_not_turn_anything() -> None:
    assert 0.0 <= float(HARD.torque_w(1.0)) < 1e-3
    assert complex(HARD.admittance_s(1.0)) == pytest.approx(-0.01j, abs=1e-8)


@pytest.mark.parametrize("speed", [0.0, 0.475, 0.92])
def test_a_soft_starter_by_hand(speed: float) -> None:
    """20 A at a power factor of 0.95; torque that 0.85 of the voltage just turns the load with."""
    assert complex(SOFT.admittance_s(speed)) == pytest.approx(cmath.rect(20.0 / 120.0, -math.acos(0.95)))
    assert float(SOFT.torque_w(speed)) == pytest.approx(float(HARD.load_w(speed)) / 0.85**2)
    weak = replace(HARD, soft_a=5.0)
    assert float(weak.torque_w(speed)) == pytest.approx(0.95 * 5.0 * 120.0 * 0.95), "no more than 95 % of what it draws"


def test_a_soft_starter_hands_over_at_one_and_a_half_slips() -> None:
    for speed in (0.93, 0.95, 0.99):
        assert complex(SOFT.admittance_s(speed)) == complex(HARD.admittance_s(speed))
        assert float(SOFT.torque_w(speed)) == float(HARD.torque_w(speed))


def test_standing_still_by_hand() -> None:
    assert complex(standing_ohm(120.0, 60.0)) == pytest.approx(2.0 * complex(0.65, math.sin(math.acos(0.65))))
    assert complex(standing_ohm(120.0, 60.0, locked_power_factor=0.6)) == pytest.approx(1.2 + 1.6j)
    assert complex(standing_ohm(120.0, 60.0, 30.0)) == pytest.approx(4.0 * complex(0.95, math.sin(math.acos(0.95))))


CIRCUITS = {
    "stiff": Motor(120.0, 1.0, 0.5, 2.0, 0.01, 0.05, 0.0, 0.0, math.nan, 0.85),
    "more rotor": Motor(230.0, 2.0, 2.2, 5.0, 0.004, 0.04, 0.0, 0.0, math.nan, 0.8),
    "run capacitor": Motor(120.0, 1.2, 0.55, 1.5, -0.005, 0.05, 0.0, 0.0, math.nan, 0.85),
}  # fmt: skip


@pytest.mark.parametrize("name", CIRCUITS)
def test_a_circuit_is_found_again_from_its_own_name_plate(name: str) -> None:
    """The plate by Ohm's law from the circuit; the torques by power; the start by quadrature of d speed / net torque."""
    true = CIRCUITS[name]
    volts, slip = float(true.rated_v), float(true.slip)
    stand, run = (
        1 / (true.stator_ohm + true.rotor_ohm / s + 1j * true.reactance_ohm) - 1j * true.shunt_s for s in (1.0, slip)
    )
    found = induction_motor(
        volts, run.real * volts**2, run.real / abs(run), abs(stand) * volts, 0.4, slip=slip,
        locked_power_factor=stand.real / abs(stand), least_share=true.least_share,
    )  # fmt: skip
    for key in ("stator_ohm", "rotor_ohm", "reactance_ohm", "shunt_s"):
        assert float(getattr(found, key)) == pytest.approx(float(getattr(true, key)), rel=1e-9), key

    def torque(s: float) -> float:
        ohm = abs(true.stator_ohm + true.rotor_ohm / s + 1j * true.reactance_ohm)
        return float((volts / ohm) ** 2 * true.rotor_ohm / s)

    idle = min(torque(1.0) / torque(slip) * float(true.least_share) ** 2, 1.0)
    assert float(found.idle_share) == pytest.approx(idle, rel=1e-9)
    seconds, _ = quad(
        lambda v: 1 / (torque(1 - v) / torque(slip) - idle - (1 - idle) * (v / (1 - slip)) ** 2), 0, 0.9 * (1 - slip)
    )
    assert float(found.inertia_s) == pytest.approx(0.4 / seconds, rel=1e-4)
    assert (found.rated_v, found.slip, found.least_share) == (volts, slip, true.least_share) and math.isnan(
        found.soft_a
    )


def test_what_is_not_said_is_the_usual() -> None:
    usual = induction_motor(120.0, 1500.0, 0.97, 59.3, 0.3)
    stated = induction_motor(120.0, 1500.0, 0.97, 59.3, 0.3, slip=0.04, locked_power_factor=0.65, least_share=0.85)
    assert SLIP == 0.04 and np.isnan(usual.soft_a)
    for key in (
        "stator_ohm",
        "rotor_ohm",
        "reactance_ohm",
        "shunt_s",
        "slip",
        "idle_share",
        "inertia_s",
        "least_share",
    ):
        assert float(getattr(usual, key)) == float(getattr(stated, key)), key


def plate(multiple: float) -> Motor:
    return induction_motor(120.0, 1200.0, 0.8, multiple * 12.5, 0.4, locked_power_factor=0.4)


def test_below_twice_the_running_current_it_is_none() -> None:
    """1200 W at 0.8 are 12.5 A."""
    assert float(plate(2.0 + 1e-9).stator_ohm) > 0.0
    with pytest.raises(ValueError, match="no induction motor"):
        plate(1.999)


def test_a_plate_that_leaves_no_resistance_to_the_stator_is_refused() -> None:
    """The plate of a circuit with 0.1 ohm of stator is taken, that of one with less than nothing is not."""
    for stator, sound in ((0.1, True), (-0.1, False)):
        stand, run = (1 / (stator + 0.5 / s + 2j) - 0.01j for s in (1.0, 0.05))
        plate = (120.0, run.real * 14400, run.real / abs(run), abs(stand) * 120.0, 0.4)
        more = {"slip": 0.05, "locked_power_factor": stand.real / abs(stand)}
        if sound:
            assert float(induction_motor(*plate, **more).stator_ohm) == pytest.approx(0.1, rel=1e-6)
        else:
            with pytest.raises(ValueError, match="no induction motor"):
                induction_motor(*plate, **more)


@pytest.mark.parametrize("locked", [0.0, -59.3, math.nan, math.inf, np.array([59.3, math.nan])])
def test_a_locked_current_that_is_none_is_refused(locked: float) -> None:
    with pytest.raises(ValueError, match="no induction motor"):
        induction_motor(120.0, 1500.0, 0.97, locked, 0.3)


def test_a_motor_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        HARD.slip = 0.1  # type: ignore[misc]
