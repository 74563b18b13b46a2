"""Openings, fan and breath against handbook constants, a flow-meter library, a root finder and published figures."""

from __future__ import annotations

import math

import pytest
from check import FT_M, Check, each
from scipy.optimize import brentq

from trailerlib.design import box_classes
from trailerlib.physics import airflow, fan, indoor_air, indoor_water
from trailerlib.physics.engine import standard_pressure_pa

CFM_M3_S, INCH2_M2, INWG_PA, LITRE_M3 = FT_M**3 / 60.0, 0.0254**2, 249.08891, 1e-3
FREE_M3_S, SHUT_PA = 900 * CFM_M3_S, 0.30 * INWG_PA  # an assumed 14 in fan; the checks are of the arithmetic
RECORDED = "own record: root finder on the same two curves, run apart from this code (scipy brentq)"


def through_window_cfm(square_inches: float) -> float:
    opening = airflow.effective_m2(square_inches * INCH2_M2)
    return float(fan.fan_flow_m3_s(opening, FREE_M3_S, SHUT_PA)) / CFM_M3_S


def two_sleepers_ppm(flow_l_s: float, hours: float, each_l_s: float = 0.0036) -> float:
    flow, each = flow_l_s * LITRE_M3, each_l_s * LITRE_M3
    steady = indoor_air.co2_steady_ppm(2, each, flow)
    return float(indoor_air.approach(420.0, steady, flow, 19.8, hours))


CHECKS = [
    Check(
        "orifice in inches and pounds",
        lambda: airflow.opening_pressure_pa(2610.0 * CFM_M3_S, 0.65 * FT_M**2) / INWG_PA,
        1.0,
        8e-3,
        "the printed constant is rounded and of an older density; exact is 2602.6, squared here",
        "Q = 2610 A √Δp at a coefficient of 0.65, infiltration practice of HVAC handbooks",
        "from memory",
    ),
    Check(
        "velocity of one inch of water",
        lambda: airflow.opening_pressure_pa(4005.0 * FT_M / 60.0, 1.0) / INWG_PA,
        1.0,
        8e-4,
        "four figures, squared here; 4004.0 with 1.2041 kg/m³",
        "V = 4005 √(velocity pressure), duct textbooks",
        "from memory",
    ),
    Check(
        "orifice in SI",
        lambda: airflow.opening_pressure_pa(0.1245, airflow.effective_m2(0.05), 1.2),
        10.0,
        1e-3,
        "four figures printed, squared here",
        "Bernoulli by hand: 0.61 × 0.05 × √(2 × 10 / 1.2)",
        "independent",
    ),
    *[
        Check(
            f"fan against {area} in²",
            lambda area=area: through_window_cfm(area),  # type: ignore[misc]
            flow,
            1e-6,
            "two ways of solving the same pair of curves",
            RECORDED,
            "independent",
        )
        for area, flow in ((20, 181.966692), (48, 399.571873), (96, 633.498363), (200, 809.981200))
    ],
    Check(
        "pressure of the window at 5200 ft",
        lambda: airflow.opening_pressure_pa(
            399.57187288992947 * CFM_M3_S, airflow.effective_m2(48 * INCH2_M2), 1.2041 * 0.8259
        ),
        49.551877,
        1e-6,
        "same flow, pressure in proportion to the density",
        RECORDED,
        "independent",
    ),
    Check(
        "carbon dioxide of a seated person",
        lambda: indoor_air.co2_steady_ppm(1, 0.31 / 60 * LITRE_M3, 7.5 * LITRE_M3, 0.0),
        700.0,
        0.02,
        "printed as about 700 ppm over outside; exact 688.9",
        "ASHRAE technical question 35: 7.5 L/s (15 cfm) a person",
    ),
    Check(
        "carbon dioxide, cubic feet",
        lambda: indoor_air.co2_steady_ppm(1, 0.0105 * CFM_M3_S, 15 * CFM_M3_S, 0.0),
        700.0,
        1e-9,
        "0.0105 / 15 = 700 ppm exactly",
        "ASHRAE 62-1989, 0.0105 cfm of carbon dioxide a person at 1.2 met",
        "from memory",
    ),
    *[
        Check(
            f"two sleepers after {hours} h",
            lambda hours=hours: two_sleepers_ppm(5.0, hours),  # type: ignore[misc]
            ppm,
            1e-9,
            "closed form worked out apart from us",
            "own record: C = Cs + (C0 − Cs) e^(−Qt/V), ASHRAE 62.1 informative appendix",
            "independent",
        )
        for hours, ppm in ((1, 1279.8379369980485), (4, 1822.0589076271935), (8, 1859.0003288260818))
    ],
    Check(
        "two sleepers shut in",
        lambda: two_sleepers_ppm(0.15 * 19.8 / 3.6, 8.0),
        6518.668696038963,
        1e-9,
        "0.15 air changes an hour for eight hours, worked out apart from us",
        "own record, same closed form",
        "independent",
    ),
    Check(
        "air a sleeper needs for 1000 ppm",
        lambda: indoor_air.flow_for_co2_m3_s(1, 0.0036 * LITRE_M3, 1000.0) / CFM_M3_S,
        13.151681,
        1e-6,
        "0.0036 L/s over 580 ppm",
        "own record, mass balance",
        "independent",
    ),
    Check(
        "carbon dioxide of a sleeper, measured",
        lambda: box_classes.activity("asleep").co2_m3_s * 3.6e6,
        11.0,
        1e-3,
        "11.0 ± 1.4 L/h a person; the table holds litres a second",
        "Indoor Air 2021;31:2142-2157, abstract",
    ),
    Check(
        "water of a sleeper",
        lambda: indoor_water.water_kg_s(box_classes.activity("asleep").latent_w) * 3.6e6,
        40.0,
        0.1,
        "practice takes 40 g/h asleep; ours is by latent heat",
        "BS 5250 moisture of an adult asleep",
        "from memory",
    ),
]


@each(CHECKS)
def test_it_agrees_with_what_we_did_not_write(check: Check) -> None:
    check.hold()


def test_an_orifice_agrees_with_a_flow_meter_library() -> None:
    """In a very wide pipe the library's orifice meter is a hole in a wall."""
    fluids = pytest.importorskip("fluids")
    hole_m = 0.21
    for pressure, density in ((4.0, 1.2041), (60.0, 0.99)):
        mass = fluids.flow_meter_discharge(D=50.0, Do=hole_m, P1=83_000.0 + pressure, P2=83_000.0, rho=density, C=0.61)
        opening = airflow.effective_m2(math.pi * hole_m**2 / 4)
        assert airflow.opening_pressure_pa(mass / density, opening, density) == pytest.approx(pressure, rel=2e-6)


def test_the_fan_meets_the_window_where_a_root_finder_says() -> None:
    """At a height both curves fall alike, so the flow stays; the root finder is asked with the density in."""
    opening = airflow.effective_m2(48 * INCH2_M2, airflow.SCREEN_PASSES)
    density = 1.2041 * standard_pressure_pa(5200 * FT_M) / standard_pressure_pa(0.0)

    def apart(flow: float) -> float:
        made = SHUT_PA * density / 1.2041 * (1.0 - (flow / FREE_M3_S) ** 2)
        return float(made - 0.5 * density * (flow / opening) ** 2)

    assert fan.fan_flow_m3_s(opening, FREE_M3_S, SHUT_PA) == pytest.approx(
        brentq(apart, 0.0, FREE_M3_S, xtol=1e-15), rel=1e-9
    )


def test_thin_air_makes_the_same_breath_a_larger_share() -> None:
    """The pressure at 5200 ft is 0.8259 of that at sea level: US Standard Atmosphere 1976, by a library."""
    fluids = pytest.importorskip("fluids")
    ratio = fluids.ATMOSPHERE_1976(5200 * FT_M).P / fluids.ATMOSPHERE_1976(0.0).P
    here = indoor_air.co2_at_height_m3_s(1.0, standard_pressure_pa(5200 * FT_M))
    assert here == pytest.approx(1.0 / ratio, rel=2e-4), "geometric for geopotential height"
