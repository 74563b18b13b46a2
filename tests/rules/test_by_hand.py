"""What the rules reckon themselves, by hand from the clauses; each source stands at its function, where it is from memory too."""

from __future__ import annotations

import pytest

from trailerlib.rules import (
    air,
    branches,
    compressors,
    engine,
    grounding,
    openings,
    restraint,
    road,
    roof,
    supply_chain,
    tyres,
    wiring,
)

FT, INCH = 0.3048, 0.0254


@pytest.mark.parametrize(
    ("wall", "height_ft", "feet"),
    [("road", 0, 25), ("road", 3, 25), ("road", 5, 27), ("curb", 2, 25), ("nose", 4, 26), ("rear", 3, 30), ("rear", 6.5, 33.5)],
)  # fmt: skip
def test_the_least_cord(wall: str, height_ft: float, feet: float) -> None:
    """551.46(B): 25 ft at the side, 30 ft at the rear, and what the inlet lies above 36 in."""
    assert supply_chain.least_cord_m(wall, height_ft * FT) == pytest.approx(feet * FT)


def test_wires_from_a_generator() -> None:
    """445.13(A): 115 % of the name plate."""
    assert supply_chain.generator_conductor_need_a(2400.0, 120.0) == pytest.approx(23.0)
    assert supply_chain.INLET_TYPES == ("5-15", "5-20", "TT-30", "14-50")


@pytest.mark.parametrize(
    ("amps", "most"), [(13.2, None), (13.29, None), (13.3, 20.0), (13.4, 20.1), (16.0, 24.0), (20.0, 30.0)]
)
def test_a_breaker_for_one_appliance(amps: float, most: float | None) -> None:
    """551.43(A): 150 % from 13.3 A on."""
    assert branches.single_appliance_limit_a(amps) == (None if most is None else pytest.approx(most))


@pytest.mark.parametrize(("amps", "usual", "most"), [(4.0, 15.0, 15.0), (8.0, 15.0, 18.0), (13.0, 22.75, 29.25)])
def test_a_breaker_for_a_compressor(amps: float, usual: float, most: float) -> None:
    """440.22(A): 175 %, 225 % where it will not start, never less than 15 A; 440.32: 125 % for the wire."""
    found = (compressors.USUAL_SHARE, compressors.MOST_SHARE, compressors.WIRE_SHARE)
    assert found == (1.75, 2.25, 1.25)
    assert compressors.compressor_breaker_limit_a(amps, found[0]) == pytest.approx(usual)
    assert compressors.compressor_breaker_limit_a(amps, found[1]) == pytest.approx(most)


@pytest.mark.parametrize(("circuit", "fit"), [(15, {15}), (20, {15, 20}), (30, {30}), (40, set()), (50, {50})])
def test_receptacles_on_a_circuit(circuit: int, fit: set[int]) -> None:
    """Table 210.21(B)(3) for several, 40 A left out; one alone is never rated under its circuit, 210.21(B)(1)."""
    for rating in (15, 20, 30, 50):
        assert grounding.receptacle_fits(rating, circuit, False) == (rating in fit)
        assert grounding.receptacle_fits(rating, circuit, True) == (rating >= circuit)


def test_bounds_that_stand_in_the_rules() -> None:
    """By what they are written from: 18 in, 20 ft, a tenth and 15 %, 24 by 17 in, 5000 ppm, 103 °F, six starts an hour."""
    assert wiring.main_fuse_distance(18 * INCH).severity == "holds" != wiring.main_fuse_distance(18.1 * INCH).severity
    assert engine.exhaust_distance(20 * FT).severity == "holds" != engine.exhaust_distance(19.9 * FT).severity
    for share, light, heavy in ((0.099, False, True), (0.1, True, True), (0.15, True, True), (0.151, True, False)):
        assert (road.tongue_light("t", share).severity == "holds") is light
        assert (road.tongue_heavy("t", share).severity == "holds") is heavy
    assert road.side_to_side("t", 0.55).severity == "holds" != road.side_to_side("t", 0.551).severity
    assert (24 * INCH, 17 * INCH) == openings.EXIT_M
    assert openings.ways_out(2.0).severity == "holds" != openings.ways_out(1.0).severity
    assert air.carbon_dioxide_harm("s", 5000.0).severity == "holds" != air.carbon_dioxide_harm("s", 5001.0).severity
    assert air.hot_without_power("d", 39.4).severity == "holds" != air.hot_without_power("d", 39.5).severity
    assert air.cooler_starts("l", 6.0).severity == "holds" != air.cooler_starts("l", 6.01).severity


def test_shares_that_stand_in_the_rules() -> None:
    """1/180 of the span, 0.6 of the bending stress, 0.85 of a tyre's rating: what the finding says its limit is."""
    assert roof.bow_sag("b", 0.001, 1.8).limit == pytest.approx(0.01)
    assert roof.bow_shear("b", 1.0, 100.0).limit == pytest.approx(60.0)
    assert tyres.tyre_reserve("w", 1.0, 1000.0).limit == pytest.approx(850.0)
    assert restraint.forward("c", 1.0, 2.0).limit == 2.0


@pytest.mark.parametrize(
    ("amps", "legs", "alone", "together", "most"),
    [(15.0, 1, False, None, 1.0), (20.0, 1, True, 10.0, 1.0), (29.9, 1, False, None, 1.0), (30.0, 1, False, None, 5.0),
     (30.0, 1, True, None, 5.0), (30.0, 1, True, 30.0, 6.0), (30.0, 1, True, 30.1, 5.0), (30.0, 1, False, 20.0, 5.0),
     (50.0, 1, False, None, 5.0), (30.0, 2, True, 25.0, 6.0), (49.0, 2, False, None, 5.0), (50.0, 2, False, None, None),
     (60.0, 2, True, 70.0, None)],
)  # fmt: skip
def test_how_many_circuits(amps: float, legs: int, alone: bool, together: float | None, most: float | None) -> None:
    """551.42: one on 15 or 20 A; five on 30 A, a sixth for the converter alone where all fit; any number on 120/240 V, 50 A."""
    assert branches.circuits_allowed(amps, legs, alone, together) == most
    if together is None:
        assert branches.circuits_allowed(amps, legs, alone) == most
