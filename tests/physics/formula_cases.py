"""One ordinary set of inputs, and a few at the corners, for every formula."""

from __future__ import annotations

from typing import Any

from trailerlib.physics import (
    airflow,
    alternator,
    balance,
    battery,
    charging,
    cold_box,
    conductor,
    engine,
    fan,
    heating,
    impedance,
    indoor_air,
    indoor_water,
    moist_air,
    network,
    protection,
    restraint,
    starting,
    sun,
    towing_charge,
)

CASES: dict[Any, list[dict[str, float]]] = {
    moist_air.ventilation_sensible_w: [
        {"flow_m3_s": 0.06, "dry_kg_m3": 1.14, "water": 0.012, "outside_c": 35, "inside_c": 24}
    ],
    moist_air.ventilation_latent_w: [
        {"flow_m3_s": 0.06, "dry_kg_m3": 1.14, "outside_water": 0.014, "inside_water": 0.009}
    ],
    balance.tongue_kg: [
        {"gross_kg": 1470, "centre_m": 3.8, "axle_m": 4.3},
        {"gross_kg": 1470, "centre_m": 4.9, "axle_m": 4.3},
    ],
    balance.wheels_kg: [{"gross_kg": 1470, "centre_m": 3.8, "axle_m": 4.3}],
    balance.centre_from_scale_m: [
        {"wheels_kg": 1320, "coupler_kg": 156, "axle_m": 4.6},
        {"wheels_kg": 1320, "coupler_kg": -9, "axle_m": 4.6},
    ],
    balance.right_wheels_kg: [
        {
            "gross_kg": 1470,
            "centre_m": 1.11,
            "coupler_kg": 180,
            "ball_m": 1.07,
            "wheels_kg": 1290,
            "left_m": -0.08,
            "track_m": 2.29,
        },
    ],
    balance.tongue_for_side_kg: [{"gross_kg": 1470, "off_m": 0.06, "track_m": 2.29, "side_kg": 690}],
    balance.place_for_tongue_m: [{"axle_m": 4.3, "wanted_kg": 160, "without_kg": 141, "mass_kg": 54}],
    restraint.asked_kg: [{"mass_kg": 31, "share": 0.435}],
    restraint.straps_along_kg: [
        {"straps": 2, "limit_kg": 227, "angle_deg": 38},
        {"straps": 2, "limit_kg": 227, "angle_deg": 0},
    ],
    restraint.straps_down_kg: [
        {"ends": 4, "tension_kg": 113, "angle_deg": 38},
        {"ends": 4, "tension_kg": 113, "angle_deg": 90},
    ],
    restraint.friction_kg: [{"pressed_kg": 280, "friction": 0.3}],
    restraint.counted_kg: [{"straps": 3, "limit_kg": 227, "part": 0.5, "bolts_kg": 90}],
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
    airflow.effective_m2: [{"free_m2": 0.031, "passes": 0.5, "coefficient": 0.61}],
    airflow.orifice_m3_s: [{"effective_m2": 0.019, "pressure_pa": 41, "density_kg_m3": 0.99}],
    airflow.opening_pressure_pa: [{"flow_m3_s": 0.19, "effective_m2": 0.019, "density_kg_m3": 0.99}],
    airflow.air_changes_per_h: [{"flow_m3_s": 0.19, "volume_m3": 18.1}],
    fan.fan_pressure_pa: [
        {"flow_m3_s": 0.19, "free_flow_m3_s": 0.43, "shut_off_pa": 75, "speed": 0.8, "density_kg_m3": 0.99},
        {"flow_m3_s": 0.41, "free_flow_m3_s": 0.43, "shut_off_pa": 75, "speed": 0.8, "density_kg_m3": 0.99},
    ],
    fan.fan_flow_m3_s: [{"effective_m2": 0.019, "free_flow_m3_s": 0.43, "shut_off_pa": 75, "speed": 0.8}],
    fan.opening_for_flow_m2: [{"flow_m3_s": 0.11, "free_flow_m3_s": 0.43, "shut_off_pa": 75, "speed": 0.8}],
    fan.fan_power_w: [{"full_w": 36, "speed": 0.8, "density_kg_m3": 0.99}],
    indoor_air.co2_at_height_m3_s: [{"each_m3_s": 0.0031, "pressure_pa": 83700}],
    indoor_air.co2_steady_ppm: [{"people": 2, "each_m3_s": 0.0031, "flow_m3_s": 0.011, "outside_ppm": 420}],
    indoor_air.flow_for_co2_m3_s: [{"people": 2, "each_m3_s": 0.0031, "target_ppm": 1100, "outside_ppm": 420}],
    indoor_air.approach: [{"start": 430, "steady": 1860, "flow_m3_s": 0.0051, "volume_m3": 19.8, "hours": 3.7}],
    indoor_air.hours_until: [
        {"start": 430, "target": 1010, "steady": 1860, "flow_m3_s": 0.0051, "volume_m3": 19.8},
    ],
    indoor_water.water_kg_s: [{"latent_w": 4100}],
    indoor_water.water_steady: [
        {"people": 2, "water_kg_s": 0.0018, "flow_m3_s": 0.011, "dry_kg_m3": 0.99, "outside": 0.0071}
    ],
    indoor_water.surface_c: [{"inside_c": 18, "outside_c": -4, "u": 2.3, "inside_r": 0.12}],
}
