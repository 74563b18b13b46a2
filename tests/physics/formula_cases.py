"""One ordinary set of inputs, and a few at the corners, for every formula."""

from __future__ import annotations

from typing import Any

from trailerlib.physics import (
    alternator,
    battery,
    charging,
    cold_box,
    conductor,
    engine,
    heating,
    impedance,
    network,
    protection,
    starting,
    sun,
    towing_charge,
)

CASES: dict[Any, list[dict[str, float]]] = {
    battery.busbar_v: [
        {"emf_v": 12.6, "resistance_ohm": 0.021, "power_w": 183, "conductance_s": 0.47, "current_a": 3.9},
        {"emf_v": 12.6, "resistance_ohm": 0.021, "power_w": -183, "conductance_s": 0, "current_a": -7},
    ],
    charging.acceptance_a: [{"lack_ah": 31, "efficiency": 0.86, "tau_h": 1.4, "acceptance": 0.6}],
    cold_box.fridge_duty: [
        {"rated_duty": 0.4, "rated_c": 25, "inside_c": 4, "air_c": 33, "approach_k": 9},
        {"rated_duty": 0.4, "rated_c": 25, "inside_c": 4, "air_c": 3, "approach_k": 9},
        {"rated_duty": 0.7, "rated_c": 25, "inside_c": 4, "air_c": 45, "approach_k": 9},
    ],
    charging.full_hours: [
        {"missing_ah": 47, "charge_a": 11, "efficiency": 0.86, "tau_h": 1.4, "tail_a": 2.1},
        {"missing_ah": 5, "charge_a": 11, "efficiency": 0.86, "tau_h": 1.4, "tail_a": 2.1},
    ],
    charging.charger_input_va: [{"input_w": 640, "power_factor": 0.7}],
    sun.cell_temperature_c: [{"irradiance_w_m2": 870, "air_c": 31}],
    sun.panel_power_w: [
        {"rated_w": 180, "irradiance_w_m2": 870, "cell_c": 61, "per_k": -0.0047, "shading": 0.1, "losses": 0.15},
        {"rated_w": 180, "irradiance_w_m2": 870, "cell_c": 410},
    ],
    sun.switching_current_a: [
        {"rated_w": 180, "working_v": 17.7, "irradiance_w_m2": 870, "shading": 0.1, "losses": 0.15}
    ],
    towing_charge.tow_wire_ohm: [{"ohm_per_m": 0.0041, "run_m": 7.6, "joints_ohm": 0.011}],
    towing_charge.plain_tow_a: [
        {"source_v": 13.8, "ocv_v": 12.2, "wire_ohm": 0.071, "battery_ohm": 0.009},
        {"source_v": 12.4, "ocv_v": 12.9, "wire_ohm": 0.071, "battery_ohm": 0.009},
    ],
    towing_charge.converter_input_v: [
        {"source_v": 13.8, "wire_ohm": 0.071, "power_w": 310},
        {"source_v": 13.8, "wire_ohm": 0.071, "power_w": 900},
    ],
    conductor.awg_diameter_m: [{"awg_index": 12}, {"awg_index": -3}],
    conductor.awg_area_m2: [{"awg_index": 18}, {"awg_index": 0}],
    conductor.resistance_per_m: [
        {"area_m2": 3.31e-6, "temperature_c": 60},
        {"area_m2": 8.4e-6, "temperature_c": -30, "lay": 1},
    ],
    conductor.loop_drop_v: [{"current_a": 9.7, "ohm_per_m": 0.0053, "run_m": 6.1}],
    conductor.resistance_ratio: [{"from_c": 20, "to_c": 75}, {"from_c": -20, "to_c": 40}],
    conductor.ambient_factor: [{"rating_c": 90, "ambient_c": 52}, {"rating_c": 60, "ambient_c": 71}],
    conductor.conductor_temperature_c: [{"current_a": 17, "ampacity_a": 26, "ambient_c": -12, "rating_c": 75}],
    conductor.required_area_cmil: [{"current_a": 10, "loop_ft": 21, "drop_v": 0.36}],
    impedance.branch_resistance_ohm: [
        {"ohm_per_m": 0.0066, "run_m": 7.9, "from_c": 75, "to_c": 41},
        {"ohm_per_m": 0.0066, "run_m": 7.9},
    ],
    impedance.branch_reactance_ohm: [{"reactance_per_m": 0.000177, "run_m": 7.9}],
    impedance.reactive_var: [{"power_w": 1320, "power_factor": 0.87}, {"power_w": 1500, "power_factor": 1}],
    impedance.effective_drop_v: [
        {"current_a": 12.5, "resistance_ohm": 0.104, "reactance_ohm": 0.0028, "power_factor": 0.85},
        {"current_a": 12.5, "resistance_ohm": 0.104, "reactance_ohm": 0.0028, "power_factor": 1},
    ],
    network.max_power_w: [{"emf_v": 12.6, "path_ohm": 0.31}],
    protection.required_rating_a: [{"continuous_a": 11.3, "other_a": 4.2}],
    protection.prospective_current_a: [{"emf_v": 12.8, "source_ohm": 0.0045, "path_ohm": 0.0021}],
    protection.adiabatic_seconds: [{"area_mm2": 3.31, "current_a": 870, "k": 115}],
    protection.adiabatic_k: [{"initial_c": 70, "final_c": 160}, {"initial_c": -10, "final_c": 250}],
    battery.peukert_hours: [{"capacity_ah": 220, "hour_rate_h": 20, "current_a": 31, "exponent": 1.25}],
    battery.peukert_drain_a: [
        {"capacity_ah": 220, "hour_rate_h": 20, "current_a": 31, "exponent": 1.25},
        {"capacity_ah": 220, "hour_rate_h": 20, "current_a": 3, "exponent": 1.25},
    ],
    battery.effective_capacity_ah: [{"capacity_ah": 220, "temperature_factor": 0.84, "age_factor": 0.9}],
    battery.terminal_v: [{"ocv_v": 12.6, "current_a": 41, "resistance_ohm": 0.0061}],
    battery.charger_input_w: [{"charge_a": 43, "charge_v": 14.3, "efficiency": 0.87}],
    battery.hydrogen_flow_m3_h: [{"cells": 6, "gas_ma_per_ah": 8, "capacity_ah": 210}],
    battery.vent_opening_cm2: [{"flow_m3_h": 0.34}],
    starting.locked_rotor_a: [{"kva_per_hp": 8.99, "horsepower": 0.75, "volts": 115}],
    starting.running_va: [{"power_w": 1320, "power_factor": 0.87}],
    starting.start_va: [{"running_w": 1320, "power_factor": 0.87, "start_multiple": 4.6}],
    starting.standing_v: [{"open_v": 118, "path_r": 0.41, "path_x": 0.57, "motor_r": 1.32, "motor_x": 1.54}],
    starting.protector_s: [{"current_a": 44, "locked_a": 59, "bears_s": 6}],
    alternator.transient_ohm: [{"per_unit": 0.22, "volts": 120, "rating_va": 3700}],
    starting.start_dip_v: [{"source_v": 121, "source_ohm": 0.61, "path_ohm": 0.23, "start_a": 63}],
    engine.standard_pressure_pa: [{"elevation_m": 1585}],
    engine.standard_temperature_c: [{"elevation_m": 1585}],
    engine.saturation_pressure_pa: [{"temperature_c": 31}, {"temperature_c": -11}],
    engine.dry_pressure_pa: [{"elevation_m": 1585, "temperature_c": 31, "relative_humidity": 0.4}],
    engine.j1349_factor: [{"dry_pressure_pa": 82300, "temperature_c": 31}],
    engine.j1349_power_fraction: [{"dry_pressure_pa": 82300, "temperature_c": 31}],
    engine.shop_rule_fraction: [
        {"elevation_m": 1585, "temperature_c": 31},
        {"elevation_m": -20, "temperature_c": 4},
        {"elevation_m": 9000, "temperature_c": 31},
    ],
    engine.fuel_l_per_h: [{"power_w": 1730, "idle_l_per_h": 0.41, "slope_l_per_kwh": 0.37}],
    engine.tank_hours: [{"tank_l": 15.1, "fuel_l_per_h": 1.05}],
    heating.adiabatic_rate_k_s: [{"current_a": 240, "area_m2": 3.31e-6, "temperature_c": 61}],
    heating.thermal_time_s: [{"area_m2": 3.31e-6, "ampacity_a": 23.5, "ambient_c": 37, "rating_c": 75}],
    heating.growth_per_s: [
        {"current_a": 240, "area_m2": 3.31e-6, "thermal_s": 161},
        {"current_a": 31, "area_m2": 3.31e-6, "thermal_s": 161},
    ],
    heating.warming_c: [
        {"initial_c": 37, "rate_k_s": 2.3, "growth": 0.017, "seconds": 14},
        {"initial_c": 37, "rate_k_s": 0.41, "growth": -0.0061, "seconds": 410},
    ],
    heating.warming_seconds: [
        {"initial_c": 37, "final_c": 150, "rate_k_s": 2.3, "growth": 0.017},
        {"initial_c": 37, "final_c": 85, "rate_k_s": 0.41, "growth": -0.0061},
    ],
    heating.settled_temperature_c: [
        {"current_a": 17, "ampacity_a": 26, "ambient_c": -12, "rating_c": 75},
        {"current_a": 41, "ampacity_a": 26, "ambient_c": 34, "rating_c": 75},
    ],
}
