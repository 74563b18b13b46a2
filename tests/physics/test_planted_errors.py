"""What errors planted on purpose (``tests/mutants``) showed to be untested."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from banks import bank
from boxes import BOX, STEP_S, drive
from pvlib.temperature import sapm_cell
from scipy.optimize import brentq

from trailerlib.physics import together
from trailerlib.physics.battery_week import Guards, Loads, Sources, march
from trailerlib.physics.beam import Bow
from trailerlib.physics.beam import Loads as BowLoads
from trailerlib.physics.cut_bow import stubs
from trailerlib.physics.cutting import CuttingError, Stock, plan
from trailerlib.physics.enclosure_run import held_run
from trailerlib.physics.envelope import Layer, Stud, face_of
from trailerlib.physics.motor import induction_motor
from trailerlib.physics.network import Tree
from trailerlib.physics.roof import RailLoads, Rails, RoofBow, carry
from trailerlib.physics.solar_panel import cell_temperature_c
from trailerlib.physics.thermostat import _first_reach
from trailerlib.physics.time_current import chart_currents_a, device_of


def test_boxes_in_rows_and_columns_are_each_what_they_are_alone() -> None:
    """Two axes before the steps, none as long as another."""
    work, cold = drive(4), np.array([[0.0, 300.0, 900.0], [150.0, 600.0, 1200.0]])
    many = held_run(BOX, work, STEP_S, 27.0, 29.0, 25.0, cold[..., None], 22.0, 300.0)
    assert many.air_c.shape == (2, 3, 48)
    for row, column in np.ndindex(2, 3):
        one = held_run(BOX, work, STEP_S, 27.0, 29.0, 25.0, float(cold[row, column]), 22.0, 300.0)
        assert many.air_c[row, column] == pytest.approx(one.air_c, rel=1e-12)
        assert many.added_w[row, column] == pytest.approx(one.added_w, abs=1e-8)


@pytest.mark.parametrize(
    ("watts", "charger_a", "limit_a"),
    [(1200.0, 0.0, 11.0), (30.0, 60.0, 20.0), (400.0, 5.0, 20.0), (1200.0, 0.0, 200.0)],
)
@pytest.mark.parametrize("many", [False, True])
def test_a_tow_wire_brings_what_its_own_drop_leaves_within_its_limit(
    watts: float, charger_a: float, limit_a: float, many: bool
) -> None:
    """Ohm's law at the wire. At rest its drop alone would set the current; load or charger then push it to either end."""
    made, tow_v, ohm = bank("agm", np.array([200.0, 120.0]) if many else 200.0), 13.6, 0.1
    sources = Sources(charger_a=charger_a, tow_v=tow_v, tow_ohm=ohm, tow_limit_a=limit_a)
    week = march(made, np.full(2, 1 / 600), 25.0, Loads(np.full((1, 2), watts)), sources, 0.8)
    met = np.clip((tow_v - week.bus_v) / ohm, 0.0, limit_a)
    at_rest = (tow_v - np.interp(0.8, made.ocv_share, made.ocv_v)) / ohm
    assert 0.0 < at_rest < limit_a
    assert week.flows_w["tow"] == pytest.approx(week.bus_v * met, rel=1e-6, abs=1e-6)
    assert np.abs(week.imbalance_wh).max() < 1e-9
    if charger_a > 20.0 or watts > 1000.0:
        assert np.all((met == 0.0) | (met == limit_a)) or limit_a > 100.0


@pytest.mark.parametrize("many", [False, True])
def test_a_regulated_source_gives_all_it_has_below_its_voltage_and_nothing_above(many: bool) -> None:
    """What regulating means, for a bank that rests above that voltage, comes down to it and is held there."""
    made, set_v = bank("lfp", np.array([100.0, 40.0]) if many else 100.0, resistance_ohm=0.05), 13.15
    charger_a = np.repeat([60.0, 30.0, 5.0], 96)
    watts = np.tile(np.repeat([5.0, 60.0, 500.0, 0.0], 12), 6)
    sources = Sources(charger_a=charger_a, absorption_v=set_v, float_v=set_v)
    week = march(made, np.full(288, 1 / 12), 25.0, Loads(watts[None]), sources, 1.0)
    gave, most = week.flows_w["charger"], (charger_a.reshape(-1, *(1,) * many)) * week.bus_v
    above, below = week.bus_v > set_v + 1e-5, week.bus_v < set_v - 1e-5
    held = ~above & ~below & (gave > 1e-3) & (gave < most - 1e-3)
    assert gave[above] == pytest.approx(0.0, abs=1e-4)
    whole = below & (np.roll(below, 1, axis=0) | (gave == most))  # not where the voltage is met within the step
    assert np.mean(np.abs(gave[whole] - most[whole]) < 1e-3 * most[whole]) > 0.9
    assert min(above.sum(), below.sum(), held.sum()) > 3, "each of the three must come about"


@pytest.mark.parametrize("siemens", [0.0, 2.0, 40.0])
def test_the_most_a_bank_can_deliver_beside_a_resistive_load(siemens: float) -> None:
    """Matched load (maximum power transfer): the resistive load shunts the bank's own resistance; E'² / 4 R'."""
    made = bank("agm", 20.0)
    own = float(made.at(25.0)[1])
    ohm, emf = own / (1.0 + siemens * own), 12.85 / (1.0 + siemens * own)
    week = march(made, np.full(1, 1e-6), 25.0, Loads(np.full((1, 1), 9000.0), np.full((1, 1), siemens)))
    assert week.bus_v[0] == pytest.approx(emf / 2, rel=1e-4)
    assert week.flows_w["loads"][0] == pytest.approx(emf**2 / 4 / ohm + siemens * (emf / 2) ** 2, rel=1e-4)


def test_a_bank_that_cut_itself_off_comes_back_at_its_voltage_and_no_sooner() -> None:
    watts, charger_a = np.full((1, 600), 40.0), np.where(np.arange(600) > 400, 6.0, 0.0)
    week = march(bank("agm", 60.0), np.full(600, 1 / 12), 25.0, Loads(watts), Sources(charger_a=charger_a),
                 guards=Guards(11.9, 1.0, 0.0))  # fmt: skip
    fed = week.flows_w["loads"] > 0.0
    back = 402 + int(np.argmax(fed[402:]))
    assert fed[0] and not fed[402] and fed[back]
    assert week.bus_v[back - 1] >= 12.9 and week.bus_v[401 : back - 1].max() < 12.9 and back > 405


def test_loads_that_differ_from_bank_to_bank_are_each_what_they_are_alone() -> None:
    watts = np.zeros((2, 24, 3))
    watts[0], watts[1, 6:] = (10.0, 40.0, 90.0), (25.0, 5.0, 0.0)
    steps, cut = np.full(24, 1 / 12), np.array([0.0, 12.3])
    together = march(bank("agm", 60.0), steps, 25.0, Loads(watts, cut_off_v=cut))
    for at in range(3):
        alone = march(bank("agm", 60.0), steps, 25.0, Loads(watts[..., at], cut_off_v=cut))
        assert together.charge[:, at] == pytest.approx(alone.charge, abs=1e-10)
        assert together.unmet_wh[:, at] == pytest.approx(alone.unmet_wh, abs=1e-7)


def test_a_second_node_on_the_source_is_refused() -> None:
    with pytest.raises(ValueError, match="parent -1 of node 1"):
        Tree.of((-1, -1))


def test_stock_that_runs_out_is_said_where_the_endless_stock_is_too_short() -> None:
    with pytest.raises(CuttingError, match="one more length"):
        plan([80, 80], [Stock(100, 10, 1), Stock(50, 5)])


@pytest.mark.parametrize(("twist", "share"), [(0.0, 4.0), (1e9, 8.0)])
def test_bows_that_cannot_twist_clamp_the_rail_between_them(twist: float, share: float) -> None:
    """Textbook: a force F in the middle of L bends a beam on two supports by F L / 4, a clamped one by F L / 8."""
    bows = [RoofBow(at, Bow(2.0, 1e9, 0.0, 0.0), twist_nm2=twist) for at in (0.0, 0.8)]
    found = carry(bows, Rails((0.8, 1.2), 3000.0, 0.0, 0.8), RailLoads(np.full((2, 1), 500.0), np.array([0.4])))
    assert np.abs(found.rails.moment_nm) == pytest.approx(np.full(2, 500.0 * 0.8 / share), rel=1e-4)


SET_V = {"absorption_v": 13.15, "float_v": 13.15}
RUNS = {  # bank, start, sources, watts, siemens; how far apart the voltage may be [V]
    "to full": (bank("agm"), 0.8, Sources(charger_a=25.0), 30.0, 0.5, 4e-3),
    "sun and tow wire": (bank("flooded", 150.0), 0.75, Sources(solar_w=500.0, tow_v=13.9, tow_ohm=0.2), 20.0, 0.5, 8e-3),
    "tow wire": (bank("agm"), 0.6, Sources(tow_v=14.2, tow_ohm=0.15), 40.0, 0.5, 1e-4),
    "held from above": (bank("lfp", resistance_ohm=0.05), 1.0, Sources(charger_a=60.0, **SET_V), 500.0, 0.5, 1e-6),
    "left alone above": (bank("lfp", resistance_ohm=0.05), 1.0, Sources(charger_a=60.0, **SET_V), 5.0, 0.1, 1e-4),
    "drawn": (bank("gel", 40.0), 0.9, Sources(), 90.0, 0.2, 1e-4),
}  # fmt: skip


@pytest.mark.parametrize("name", RUNS)
def test_a_finer_clock_tells_the_same(name: str) -> None:
    """Twenty steps of 15 s for each of 5 minutes: what is a mean of a step must be the mean of theirs."""
    made, start, sources, watts, siemens, apart_v = RUNS[name]
    coarse, fine = (
        march(made, np.full(n, 3.0 / n), 25.0, Loads(np.full((1, n), watts), siemens), sources, start)
        for n in (36, 720)
    )
    assert coarse.charge[1:] == pytest.approx(fine.charge[20::20], abs=3e-5)
    assert coarse.bus_v == pytest.approx(fine.bus_v.reshape(36, 20).mean(axis=1), abs=apart_v)
    assert coarse.current_a == pytest.approx(fine.current_a.reshape(36, 20).mean(axis=1), abs=0.02)
    assert coarse.full_h == pytest.approx(fine.full_h, abs=1e-3, nan_ok=True)
    for week in (coarse, fine):
        assert abs(week.imbalance_wh) < 1e-9


def test_a_bank_that_gives_little_is_empty_to_the_minute_too() -> None:
    """0.1 A from 0.505 Ah without Peukert: 5.05 h, which is within a step."""
    week = march(bank("agm", 0.505, exponent=1.0), np.full(72, 1 / 12), 25.0, Loads(0.0, 0.0, np.full((1, 72), 0.1)))
    assert float(week.cut_h[0]) == pytest.approx(5.05, abs=1e-9)
    assert float(week.last) == pytest.approx(0.0, abs=1e-12)


def test_what_is_accepted_as_a_motor_can_turn_its_load() -> None:
    """The greatest torque on its way up, looked for speed by speed, is above that of the load; else it is refused."""
    refused = 0
    for multiple, factor, standing in itertools.product((2.0, 2.2, 3.0, 5.0), (0.75, 0.9), (0.35, 0.6, 0.8)):
        try:
            made = induction_motor(
                120.0, 1500.0, factor, multiple * 1500.0 / factor / 120.0, 0.4, locked_power_factor=standing
            )
        except ValueError:
            refused += 1
            continue
        most = max(float(made._circuit_torque_w(v)) for v in np.linspace(0.0, 0.99, 400))
        assert most > 1.049 * float(made.running_torque_w)
        assert multiple > 2.0 or standing < 0.6, "such a one was refused when it was first looked at"
    assert 0 < refused < 20


def test_the_stubs_of_a_mirrored_bow_are_mirrored() -> None:
    bow, other = Bow(2.0, 3000.0, 0.2, 0.6), Bow(2.0, 3000.0, 0.6, 0.2)
    at, forces = np.array([0.15, 0.7, 1.9, 1.75]), np.array([30.0, 50.0, 70.0, 0.0])
    own, turned = BowLoads(forces, at, 25.0), BowLoads(forces, 2.0 - at, 25.0)
    left, right = stubs(bow, own, np.array([0.8, 1.3]))
    right_too, left_too = stubs(other, turned, np.array([0.7, 1.2]))
    for (one, on), (same, on_too) in ((left, left_too), (right, right_too)):
        for key in ("span_m", "left", "right"):
            assert float(getattr(one, key)) == pytest.approx(float(getattr(same, key)))
        assert on.force_n.tolist() == on_too.force_n.tolist() and on.at_m == pytest.approx(on_too.at_m)
    assert right[1].at_m[2] == pytest.approx(0.1) and right[1].force_n.tolist() == [0.0, 0.0, 70.0, 0.0]


def test_the_first_moment_of_two_decays_is_that_of_a_general_root_finder() -> None:
    rng, turned_back = np.random.default_rng(0), 0
    for _ in range(320):
        (p, q), (a, b) = (-(10.0 ** rng.uniform(-4, -2)), -(10.0 ** rng.uniform(-2, -1))), rng.uniform(-5.0, 5.0, 2)
        level = -a - b - rng.uniform(0.01, 2.0)
        time = np.linspace(0.0, 300.0, 6001)
        height = a * np.exp(p * time) + b * np.exp(q * time) + level
        if abs(height.max()) < 1e-3:
            continue  # it touches: whether it reaches is a matter of rounding
        first = 300.0
        if height.max() > 0.0:
            k = int(np.argmax(height > 0.0))
            first = brentq(
                lambda t, p=p, q=q, a=a, b=b, c=level: a * np.exp(p * t) + b * np.exp(q * t) + c, time[k - 1], time[k]
            )
            turned_back += height[-1] < 0.0
        assert _first_reach((a, b), (p, q), level, 300.0) == pytest.approx(first, abs=1e-3)
    assert turned_back, "some must come up and go down again"


@pytest.mark.parametrize(("watts", "wind", "inside"), [(1000.0, 1.0, 3.0), (500.0, 4.0, 0.0), (800.0, 0.0, 2.5)])
def test_cells_are_as_warm_as_an_independent_library_says(watts: float, wind: float, inside: float) -> None:
    """pvlib's own cell temperature, open rack of glass and polymer: a = -3.56, b = -0.075, and others."""
    theirs = sapm_cell(watts, 21.0, wind, -3.56, -0.075, inside)
    assert cell_temperature_c(watts, 21.0, wind, -3.56, -0.075, inside) == pytest.approx(theirs, rel=1e-12)


def test_what_is_small_beside_its_limit_is_left_out_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four may be tried together: the two that decide the narrow limit are among them, and not the two that draw more
    in amperes but next to nothing of their wide one."""
    monkeypatch.setattr(together, "MOST", 4)
    draw = np.array([[600.0, 600.0, 0.0, 0.0, 10.0, 10.0], [0.0, 0.0, 0.6, 0.6, 0.0, 0.0]])
    assert together.free(draw, np.array([1e3, 1.0])).tolist() == [False] * 4 + [True] * 2


def test_a_chart_looks_at_every_published_multiple_of_both_edges() -> None:
    """Made up: 11 and 30 A of the soonest, 20 and 55 A of the latest, beside five even steps from 10 to 1000 A."""
    edges = {"1.1": ("700", ""), "2.0": ("", "60"), "3.0": ("3", ""), "5.5": ("", "4")}
    rows = [
        {"device": "x", "rating_from_a": "1", "rating_to_a": "50", "multiple": multiple, "least_s": least,
         "most_s": most, "beyond": "i2t"} for multiple, (least, most) in edges.items()
    ]  # fmt: skip
    found = chart_currents_a(device_of(rows, "x", 10.0), 1000.0, 5)
    assert found == pytest.approx(sorted([10.0, 10**1.5, 100.0, 10**2.5, 1000.0, 11.0, 20.0, 30.0, 55.0]))


@pytest.mark.parametrize(("conductivity", "way"), [(10.0, "parallel paths"), (10.1, "zone method")])
def test_from_where_on_a_stud_is_reckoned_by_its_zone(conductivity: float, way: str) -> None:
    """Common practice, no source: what conducts better than 10 W/(m K)."""
    layers = [Layer(0.001, 160.0), Layer(0.0254, 0.035, 0.0, True), Layer(0.003, 0.12)]
    assert face_of(0.03, layers, 0.12, Stud(conductivity, 0.038, 0.0254, 0.4)).method == way
