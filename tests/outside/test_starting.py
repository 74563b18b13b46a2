"""Motors and generators at a start against code tables, textbooks, charts and the trade's rules."""

from __future__ import annotations

import math

import numpy as np
import pytest
from check import Check, each
from nameplate import locked_rotor_a

from trailerlib.design.catalogue import appliances
from trailerlib.design.supply_classes import generator_kinds
from trailerlib.physics.alternator import transient_ohm
from trailerlib.physics.engine import fuel_l_per_h
from trailerlib.physics.motor import LEAST_SHARE, Motor, induction_motor
from trailerlib.physics.starting import standing_v
from trailerlib.reference import table

GALLON_L = 3.785411784

# NFPA 70 table 430.7(B), locked-rotor current a horsepower at 115 V single phase, worked out apart from us
PER_HORSEPOWER = {
    "A": (0.0, 27.3), "B": (27.4, 30.8), "C": (30.9, 34.7), "D": (34.8, 39.0), "E": (39.1, 43.4), "F": (43.5, 48.6),
    "G": (48.7, 54.7), "H": (54.8, 61.7), "J": (61.7, 69.5), "K": (69.6, 78.2), "L": (78.3, 86.9), "M": (87.0, 97.3),
    "N": (97.4, 108.6), "P": (108.7, 121.7), "R": (121.7, 139.0), "S": (139.1, 156.4), "T": (156.5, 173.8),
    "U": (173.9, 194.7),
}  # fmt: skip

# A 25 hp motor of a textbook, per phase; its leakage reactances 1.106 and 0.464 ohm, magnetising 26.3 ohm
BOOK = Motor(
    460 / math.sqrt(3), 0.641, 0.332, 1.106 + 0.464, 1 / 26.3, 0.022, 1.0, 1.0, math.nan, LEAST_SHARE
)  # fmt: skip
BOOK_WHY = "10 %: the book puts the magnetising branch behind the stator, ours stands at the terminals"
BOOK_SOURCE = "textbook of electrical machines, 460 V 25 hp motor at 2.2 % slip, from memory"


def dip_share(reactance_pu: float, start_va: float, rating_va: float) -> float:
    """Dip of a set behind reactance alone, started with a motor of reactance alone."""
    inside = transient_ohm(reactance_pu, 120.0, rating_va)
    return 1.0 - float(standing_v(120.0, 0.0, inside, 0.0, 120.0**2 / start_va)) / 120.0


def burnt(kind: str, watts: float) -> float:
    """Fuel of a class of the catalogue [gal/h]."""
    found = generator_kinds()[kind]
    return float(fuel_l_per_h(watts, found.idle_l_per_h, found.slope_l_per_kwh)) / GALLON_L


def standing_watts_over_running() -> float:
    """Real power of the roof cooler standing still over running."""
    made = induction_motor(120.0, 1500.0, 0.97, 4.6 * 1500 / 0.97 / 120, 0.3)
    return float(made.admittance_s(0.0).real / made.admittance_s(0.96).real)


CHECKS = [
    Check(
        "textbook motor, current", lambda: abs(BOOK.admittance_s(1 - 0.022)) * BOOK.rated_v, 18.88, 0.1, BOOK_WHY,
        BOOK_SOURCE, "from memory",
    ),
    Check(
        "textbook motor, air gap", lambda: 3 * BOOK.torque_w(1 - 0.022), 11845.0, 0.1, BOOK_WHY, BOOK_SOURCE, "from memory"
    ),
    Check(
        "dip of a set started with its own rating", lambda: dip_share(0.25, 5000.0, 5000.0), 0.2, 1e-9,
        "exact: x' / (x' + rating over starting power)", "application handbooks of generator sets, from memory", "from memory",
    ),
    Check(
        "dip of a set started with twice its rating", lambda: dip_share(0.25, 10000.0, 5000.0), 1 / 3, 1e-9,
        "exact: x' / (x' + rating over starting power)", "application handbooks of generator sets, from memory", "from memory",
    ),
    Check(
        "lowest share at a start", lambda: LEAST_SHARE, 0.85, 1e-9,
        "exact: no more than 15 % below normal while a motor starts",
        "NFPA 70 695.7 (fire pumps; taken over as common practice), from memory", "from memory",
    ),
    Check(
        "2 kW set at a quarter", lambda: burnt("portable 2000 W", 500.0), 0.12, 2e-2, "two figures",
        "data sheets, order of magnitude, from memory", "from memory",
    ),
    Check(
        "2 kW set at full load", lambda: burnt("portable 2000 W", 2000.0), 0.36, 2e-2, "two figures",
        "data sheets, order of magnitude, from memory", "from memory",
    ),
    Check(
        "3.5 kW set at half", lambda: burnt("portable 3000 W", 1750.0), 0.35, 3e-2, "two figures",
        "data sheets, order of magnitude, from memory", "from memory",
    ),
    Check(
        "5.5 kW set at half", lambda: burnt("portable 6500 W", 2750.0), 0.55, 3e-2, "two figures",
        "data sheets, order of magnitude, from memory", "from memory",
    ),
]  # fmt: skip


@each(CHECKS)
def test_values(check: Check) -> None:
    check.hold()


@pytest.mark.parametrize("letter", PER_HORSEPOWER)
def test_locked_rotor_current_by_code_letter(letter: str) -> None:
    """Published: NFPA 70 table 430.7(B); amperes a horsepower at 115 V worked out apart from us, one decimal."""
    row = table("code_letters").row(letter=letter)
    ours = [float(locked_rotor_a(float(row[key]), 1.0, 115.0)) for key in ("kva_per_hp_from", "kva_per_hp_to")]
    assert ours == pytest.approx(PER_HORSEPOWER[letter], abs=0.06)


@pytest.mark.parametrize("slip", [0.02, 0.04, 0.1, 0.2, 0.4, 0.7, 1.0])
def test_torque_over_slip_is_kloss(slip: float) -> None:
    """Published: the formula of Kloss with stator resistance, textbooks of electrical machines. Exact: same circuit."""
    made = induction_motor(120.0, 1500.0, 0.97, 59.3, 0.3)
    r1, r2, x = (float(v) for v in (made.stator_ohm, made.rotor_ohm, made.reactance_ohm))
    pull_out = r2 / math.hypot(r1, x)
    greatest = 120.0**2 / 2 / (r1 + math.hypot(r1, x))
    ratio = 2 * r1 / r2 * pull_out
    kloss = greatest * (2 + ratio) / (slip / pull_out + pull_out / slip + ratio)
    assert float(made.torque_w(1 - slip)) == pytest.approx(kloss, rel=1e-9)
    assert float(made.torque_w(1 - pull_out)) == pytest.approx(greatest, rel=1e-9)


def test_locked_rotor_currents_of_the_trade() -> None:
    """Practice: 120 V compressors stand still at 4 to 6 times their running current (nameplates, partly from memory);
    a 13 500 Btu/h roof cooler at 50-65 A and one of 15 000 at 55-75 A (from memory)."""
    for name, low, high in (("roof cooler 13500", 50.0, 65.0), ("roof cooler 15000", 55.0, 75.0)):
        thing = appliances()[name]
        locked = thing.start_multiple * thing.power_w / thing.power_factor / 120.0
        assert low <= locked <= high and 4.0 <= thing.start_multiple <= 6.0
        assert 0.2 <= thing.start_s <= 0.5, "0.2 to 0.5 s for a small compressor, from memory"


def test_two_to_three_times_the_running_watts() -> None:
    """Practice: "starting surge 2 to 3 times running watts" (web rules of thumb). Ours is 3.1 in watts and 4.6 in
    volt-amperes: the rule speaks of watts, and 10 % is allowed for."""
    assert 2.0 <= standing_watts_over_running() <= 3.3
    soft = appliances()["roof cooler 13500"].soft_start_multiple
    assert 1.3 <= soft <= 1.8, "with a soft starter 1.3 to 1.8, web rules of thumb"


def test_code_letters_of_a_one_horsepower_motor_meet_the_trades_multiple() -> None:
    """Published: NFPA 70 tables 430.7(B) and 430.248: 1 hp at 115 V takes 16 A; letters H to L are 3.4 to 5.4 times."""
    rated = table("motor_full_load").number("a_115v", horsepower="1")
    rows = table("code_letters")
    low = float(locked_rotor_a(rows.number("kva_per_hp_from", letter="H"), 1.0, 115.0)) / rated
    high = float(locked_rotor_a(rows.number("kva_per_hp_to", letter="L"), 1.0, 115.0)) / rated
    assert (low, high) == pytest.approx((3.42, 5.43), abs=0.01)
    for locked in (low * rated, high * rated):
        assert induction_motor(115.0, 16 * 115 * 0.85, 0.85, locked, 0.3).inertia_s > 0, "such a motor can be built"


@pytest.mark.parametrize("rated_kw", ["8", "15", "20", "30", "40", "60"])
def test_a_straight_line_in_the_load_fits_the_diesel_chart(rated_kw: str) -> None:
    """Published: diesel charts, one figure after the point. The line through the ends meets the rest within 5 %.

    The 10 kW row does not fit: its middle lies 8 % under the line, see below.
    """
    rows = table("generator_fuel").where(fuel="diesel", rated_kw=rated_kw)
    share, rate = rows.floats("load_fraction"), rows.floats("gal_per_h") * GALLON_L
    order = np.argsort(share)
    share, rate = share[order], rate[order]
    watts = share * float(rated_kw) * 1000
    slope = (rate[-1] - rate[0]) / (watts[-1] - watts[0]) * 1000
    assert len(share) >= 3
    assert fuel_l_per_h(watts, rate[0] - slope * watts[0] / 1000, slope) == pytest.approx(rate, rel=5e-2)


def test_the_chart_of_ten_kilowatts_is_no_straight_line() -> None:
    """A known exception: 0.53, 0.65 and 0.88 gal/h at half, three quarters and full load."""
    rows = table("generator_fuel").where(fuel="diesel", rated_kw="10")
    low, middle, high = sorted(rows.floats("gal_per_h").tolist())
    assert middle / ((low + high) / 2) == pytest.approx(0.922, abs=1e-3)
