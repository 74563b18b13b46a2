"""The engine of a generator: thin and warm air, and fuel."""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula

FOOT_M = 0.3048


@formula(
    r"101325 \, \left( 1 - 2.25577 \times 10^{-5} \, @{elevation_m} \right)^{5.25588}",
    symbols={"elevation_m": "h"},
    units={"elevation_m": "m", "return": "Pa"},
    result="p",
    title="Air pressure of the standard atmosphere",
    source="US Standard Atmosphere 1976",
)
def standard_pressure_pa(elevation_m: Number) -> Number:
    """Air pressure of the standard atmosphere.

    Parameters
    ----------
    elevation_m : [m] above sea level, up to 11 000

    Returns
    -------
    [Pa] pressure, same shape

    Source
    ------
    US Standard Atmosphere 1976, first layer.
    """
    return 101325.0 * (1.0 - 2.25577e-5 * elevation_m) ** 5.25588


@formula(
    r"611.2 \, e^{\frac{17.62 \, @{temperature_c}}{243.12 + @{temperature_c}}}",
    symbols={"temperature_c": r"\theta"},
    units={"temperature_c": "°C", "return": "Pa"},
    result="p_{s}",
    title="Saturation pressure of water vapour",
    source="Magnus form, WMO-No. 8, annex 4.B",
)
def saturation_pressure_pa(temperature_c: Number) -> Number:
    """Pressure of water vapour in saturated air, over water.

    Parameters
    ----------
    temperature_c : [degC] air temperature, -45 to 60

    Returns
    -------
    [Pa] saturation pressure, same shape

    Source
    ------
    Magnus form with the constants of WMO-No. 8, Guide to Meteorological Instruments, annex 4.B (from memory).
    """
    return 611.2 * np.exp(17.62 * temperature_c / (243.12 + temperature_c))


@formula(
    r"101325 \, \left( 1 - 2.25577 \times 10^{-5} \, @{elevation_m} \right)^{5.25588} - @{relative_humidity} \, "
    r"611.2 \, e^{\frac{17.62 \, @{temperature_c}}{243.12 + @{temperature_c}}}",
    symbols={"elevation_m": "h", "temperature_c": r"\theta", "relative_humidity": r"\phi"},
    units={"elevation_m": "m", "temperature_c": "°C", "relative_humidity": "-", "return": "Pa"},
    result="p_{d}",
    title="Pressure of the dry part of the air",
    source="US Standard Atmosphere 1976; WMO-No. 8",
)
def dry_pressure_pa(elevation_m: Number, temperature_c: Number, relative_humidity: Number) -> Number:
    """Air pressure without the share of the water vapour, which burns no fuel.

    Parameters
    ----------
    elevation_m : [m] above sea level
    temperature_c : [degC] air temperature
    relative_humidity : [-] 0 to 1

    Returns
    -------
    [Pa] dry pressure, broadcast shape

    Source
    ------
    Standard atmosphere less the vapour pressure (Dalton).
    """
    return standard_pressure_pa(elevation_m) - relative_humidity * saturation_pressure_pa(temperature_c)


@formula(
    r"1.18 \, \frac{99000}{@{dry_pressure_pa}} \, \sqrt{\frac{@{temperature_c} + 273}{298}} - 0.18",
    symbols={"dry_pressure_pa": "p_{d}", "temperature_c": r"\theta"},
    units={"dry_pressure_pa": "Pa", "temperature_c": "°C", "return": "-"},
    result="c_{f}",
    title="Correction factor of a spark-ignition engine",
    source="SAE J1349",
)
def j1349_factor(dry_pressure_pa: Number, temperature_c: Number) -> Number:
    """Factor that brings measured power to reference air (99 kPa dry, 25 degC).

    The standard allows it from 0.93 to 1.07 for tests; beyond that it is an extrapolation.

    Parameters
    ----------
    dry_pressure_pa : [Pa] pressure of the dry air
    temperature_c : [degC] intake air

    Returns
    -------
    [-] correction factor, broadcast shape

    Source
    ------
    SAE J1349, spark ignition, naturally aspirated.
    """
    return 1.18 * (99000.0 / dry_pressure_pa) * np.sqrt((temperature_c + 273.0) / 298.0) - 0.18


@formula(
    r"\frac{1}{1.18 \, \frac{99000}{@{dry_pressure_pa}} \, \sqrt{\frac{@{temperature_c} + 273}{298}} - 0.18}",
    symbols={"dry_pressure_pa": "p_{d}", "temperature_c": r"\theta"},
    units={"dry_pressure_pa": "Pa", "temperature_c": "°C", "return": "-"},
    result=r"\frac{P}{P_{ref}}",
    title="Power left in thin or warm air",
    source="SAE J1349",
)
def j1349_power_fraction(dry_pressure_pa: Number, temperature_c: Number) -> Number:
    """Share of an engine's reference power that is left in the air it breathes.

    Parameters
    ----------
    dry_pressure_pa : [Pa] pressure of the dry air
    temperature_c : [degC] intake air

    Returns
    -------
    [-] share of the power at 99 kPa and 25 degC, broadcast shape

    Source
    ------
    SAE J1349, turned round.
    """
    return 1.0 / j1349_factor(dry_pressure_pa, temperature_c)


@formula(
    r"\max \left( 0 , 1 - 0.035 \, \frac{\max \left( @{elevation_m} , 0 \right)}{304.8} - 0.001 \, "
    r"\max \left( 1.8 \, @{temperature_c} + 32 - 60 , 0 \right) \right)",
    symbols={"elevation_m": "h", "temperature_c": r"\theta"},
    units={"elevation_m": "m", "temperature_c": "°C", "return": "-"},
    result=r"\frac{P}{P_{0}}",
    title="Power left by the shop rule",
    source="common practice, no source",
)
def shop_rule_fraction(elevation_m: Number, temperature_c: Number) -> Number:
    """Power left by the shop's rule: 3.5 % off each 1000 ft, 1 % off each 10 degF over 60 degF.

    Nothing is credited below sea level or below 60 degF.

    Parameters
    ----------
    elevation_m : [m] above sea level
    temperature_c : [degC] air temperature

    Returns
    -------
    [-] share of the power at sea level, not below 0; broadcast shape

    Source
    ------
    Common practice, no source.
    """
    height_kft = np.maximum(elevation_m, 0.0) / (1000.0 * FOOT_M)
    over_f = np.maximum(1.8 * temperature_c + 32.0 - 60.0, 0.0)
    return np.maximum(0.0, 1.0 - 0.035 * height_kft - 0.01 * over_f / 10.0)


@formula(
    r"@{idle_l_per_h} + @{slope_l_per_kwh} \, \frac{@{power_w}}{1000}",
    symbols={"power_w": "P", "idle_l_per_h": "q_{0}", "slope_l_per_kwh": "m"},
    units={"power_w": "W", "idle_l_per_h": "L/h", "slope_l_per_kwh": "L/kWh", "return": "L/h"},
    result="q",
    title="Fuel by load",
    source="straight line in load (Willans)",
)
def fuel_l_per_h(power_w: Number, idle_l_per_h: Number, slope_l_per_kwh: Number) -> Number:
    """Fuel a set burns at a load.

    Parameters
    ----------
    power_w : [W] electrical load
    idle_l_per_h : [L/h] fuel without load
    slope_l_per_kwh : [L/kWh] further fuel for each unit of energy

    Returns
    -------
    [L/h] fuel, broadcast shape

    Source
    ------
    Straight line in load (Willans).
    """
    return idle_l_per_h + slope_l_per_kwh * power_w / 1000.0


@formula(
    r"\frac{@{tank_l}}{@{fuel_l_per_h}}",
    symbols={"tank_l": "V", "fuel_l_per_h": "q"},
    units={"tank_l": "L", "fuel_l_per_h": "L/h", "return": "h"},
    result="t",
    title="Hours on one tank",
    source="arithmetic",
)
def tank_hours(tank_l: Number, fuel_l_per_h: Number) -> Number:
    """Hours a tank lasts.

    Parameters
    ----------
    tank_l : [L] usable fuel in the tank
    fuel_l_per_h : [L/h] fuel burnt

    Returns
    -------
    [h] time, broadcast shape

    Source
    ------
    Arithmetic.
    """
    return tank_l / fuel_l_per_h
