"""The sets that may run together against the voltage each of them really gets: never too little, and by how much too much."""

from __future__ import annotations

import itertools
import random
from typing import Any

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.physics.network import Tree
from trailerlib.physics.split_phase import solve_split_phase
from trailerlib.studies import together
from trailerlib.studies.circuits import charger_name, charger_va, load_va
from trailerlib.studies.mains_side.cord import cord_of, path_ohm, source_ohm

BIG = ("roof cooler", "dryer road side", "dryer curb side", "kettle", "laptops", "charger")


@pytest.fixture(scope="module")
def cart() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["kiln-cart"])


def draws(design: tl.Design) -> dict[str, tuple[bool, complex, str]]:
    """Of every mains load and the charger: whether it heats, its power [VA] at nominal voltage, its circuit."""
    found = {
        load.name: (load.typical.kind == "resistive", load_va(load), load.circuit)
        for load in design.loads
        if load.on and load.typical.system == "mains"
    }
    if design.charger is not None:
        found[charger_name(design)] = (False, charger_va(design), design.charger.circuit)
    return found


def impedance(design: tl.Design, supply: str, cord_c: float) -> complex:
    one = design.supply(supply)
    cord = cord_of(design, one)
    assert cord is not None
    return path_ohm(design, one, cord, cord_c) + source_ohm(one)


def one_node(emf: float, ohm: complex, heats: complex, holds: complex) -> complex:
    """Voltage of a node behind an impedance, by going round until nothing moves: E - Z (Y V + (S / V)*)."""
    volt = complex(emf)
    for _ in range(200):
        volt = emf - ohm * (heats.conjugate() / 120.0**2 * volt + (holds / volt).conjugate())
    return volt


@pytest.mark.parametrize("seed", range(4))
def test_what_is_allowed_holds_at_the_voltage_it_gets(demo: tl.Design, seed: int) -> None:
    """Every set on shore solved on its own, warm and cold, beside the sums the card counts with."""
    chance = random.Random(seed)
    changes: dict[Any, Any] = {("load", n, "power"): f"{chance.randint(400, 1800)} W" for n in BIG[:4]}
    changes["supply", "shore", "cord_run"] = f"{chance.randint(25, 150)} ft"
    changes["mains", "main"] = chance.choice(("20 A", "30 A"))
    design = demo.replace_all(changes)
    found = together.of(design, "shore")
    assert found.checked and found.lowest_v < found.volts
    own, counted = draws(design), {s.name: s.amps for s in found.switches}
    share, tried = found.lowest_v / found.volts, 0
    free = {s.name for s in found.free}
    for cord_c in (20.0, 60.0):
        ohm = impedance(design, "shore", cord_c)
        for count in range(len(BIG) + 1):
            for on in itertools.combinations(BIG, count):
                names = {*on, *free}
                heats = sum((own[n][1] for n in names if own[n][0]), 0j)
                holds = sum((own[n][1] for n in names if not own[n][0]), 0j)
                if not found.allows(on):
                    continue
                volt = one_node(found.volts, ohm, heats, holds)
                true_a = abs((found.volts - volt) / ohm)
                most_a = abs(sum(counted[n] for n in names))
                assert abs(volt) >= found.lowest_v - 1e-9
                assert share * most_a - 1e-9 <= true_a <= most_a + 1e-9 and true_a <= (design.mains.main or 0.0)
                for circuit in {own[n][2] for n in names}:
                    part = [n for n in names if own[n][2] == circuit]
                    flows = abs(sum(own[n][1] * volt.conjugate() * volt / 120.0**2 if own[n][0] else own[n][1] for n in part) / volt)  # fmt: skip
                    assert flows <= abs(sum(counted[n] for n in part)) + 1e-9
                tried += 1
    assert tried > 10


def test_what_a_generator_sends_covers_what_its_cord_loses(demo: tl.Design) -> None:
    design = demo.replace_all(
        {"supply.generator.cord_run": "100 ft", "site.elevation": "0 ft", "site.hottest": "60 °F"}
    )
    found = together.of(design, "generator")
    own, sent = draws(design), {s.name: s.sent_w for s in found.switches}
    ohm = impedance(design, "generator", 60.0)
    for on in itertools.combinations(BIG, 2):
        heats = sum((own[n][1] for n in on if own[n][0]), 0j)
        holds = sum((own[n][1] for n in on if not own[n][0]), 0j)
        if found.allows(on):
            volt = one_node(found.volts, ohm, heats, holds)
            true_w = (found.volts * ((found.volts - volt) / ohm).conjugate()).real
            assert true_w <= sum(sent[n] for n in on) + 1e-9
            assert true_w >= sum(sent[n] for n in on) * (found.lowest_v / found.volts) ** 2 - 1e-9
    most_a = min(limit.rating for limit in found.limits if limit.unit == "A" and all(limit.on))
    assert found.lowest_v == pytest.approx(found.volts - abs(ohm) * most_a, abs=0.01)
    for switch in found.switches:
        assert switch.sent_w - switch.watts == pytest.approx(ohm.real * most_a * switch.size_a, rel=1e-3)


def test_on_two_legs_the_sums_are_never_too_small_by_more_than_a_thousandth(cart: tl.Design) -> None:
    """Every set on the 50 A pedestal behind 150 ft of cord, a load between the legs among them, by the load flow."""
    design = cart.replace_all({"supply.yard 50 A.cord_run": "150 ft", "load.kiln.power": "4800 W"})
    found = together.of(design, "yard 50 A")
    own, counted = draws(design), {s.name: s.amps for s in found.switches}
    names = [s.name for s in found.switches]
    sets = [on for k in range(len(names) + 1) for on in itertools.combinations(names, k) if found.allows(on)]
    legs = {n: design.circuit(own[n][2]).leg for n in names}
    way = np.full((1, 1), impedance(design, "yard 50 A", 60.0) / 2.0)
    power, siemens = np.zeros((2, 3, 1, len(sets)), dtype=complex)
    for column, on in enumerate(sets):
        for n in on:
            row = 2 if legs[n] == "both" else int(legs[n] or 1) - 1
            if own[n][0]:
                siemens[row, 0, column] += own[n][1].conjugate() / (240.0 if row == 2 else 120.0) ** 2
            else:
                power[row, 0, column] += own[n][1]
    flow = solve_split_phase(
        Tree.of([-1]),
        found.volts,
        way,
        way,
        way,
        power_va=tuple(power),
        admittance_s=tuple(siemens),  # type: ignore[arg-type]
    )
    assert flow.converged.all() and np.abs(flow.leg_v[:, 0]).min() >= found.lowest_v
    for k in (1, 2):
        most = np.array([abs(sum((counted[n] for n in on if legs[n] in (k, "both")), 0j)) for on in sets])
        true = np.abs(flow.leg_current_a[k - 1, 0])
        assert (true <= most * 1.001 + 1e-9).all()
        assert (true >= most * (found.lowest_v / found.volts) ** 2 * 0.97 - 1e-9).all()
    assert len(sets) > 30
    once = abs(impedance(design, "yard 50 A", 98.0 / 1.8 - 32.0 / 1.8 + 30.0)) / 2.0
    assert found.lowest_v == pytest.approx(found.volts - 50.0 * once * (1.0 + 2.0**0.5), abs=0.01)


def test_adapters_and_a_long_cord_lower_it(demo: tl.Design) -> None:
    near = together.of(demo, "shore").lowest_v
    far = together.of(demo.replace("supply.shore.cord_run", "100 ft"), "shore").lowest_v
    more = together.of(demo.replace("supply.shore.adapters", ["TT-30 to L5-30", "L5-30 to TT-30"]), "shore").lowest_v
    assert far < near - 4.0 and more == pytest.approx(near - 30.0 * 4 * 0.002, abs=0.01)
    light = demo.replace_all({("load", n, "on"): n == "kettle" for n in ("roof cooler", *BIG[1:5])}).replace(
        "charger", None
    )
    lone = together.of(light, "shore")
    assert lone.lowest_v > near and "at worst" in lone.volts_words, "no set draws more than everything at once"


def test_a_voltage_that_is_supposed_at_the_panel_drops_no_more(demo: tl.Design) -> None:
    found = together.of(demo, "shore", 110.0)
    assert found.lowest_v == found.volts == 110.0 and found.volts_words == "110 V supposed"


def test_a_cord_of_unknown_length_is_said(demo: tl.Design) -> None:
    found = together.of(demo.replace("supply.generator.cord_run", None), "generator")
    assert any("length of the cord" in gap for gap in found.gaps) and not found.checked
    assert found.lowest_v == found.volts


def test_a_load_called_charger_is_not_the_charger_of_the_battery(demo: tl.Design) -> None:
    raw = {**demo.raw, "load": [*demo.raw["load"], {"name": "charger", "class": "kettle", "circuit": "bench outlets"}]}
    design = tl.design_from(raw)
    names = [s.name for s in together.of(design, "shore").switches]
    assert charger_name(design) == "battery charger" and names.count("charger") == names.count("battery charger") == 1
    from trailerlib.studies.mains import everything
    from trailerlib.studies.panel import panel

    assert {"charger", "battery charger"} <= set(everything(design).on)
    now = {b.name: b.now_a for b in panel(design, on={"charger"}).breakers}
    assert now["charger"] == 0.0 and now["bench outlets"] == pytest.approx(1300.0 / 120.0)


def test_more_is_counted_by_what_is_printed(demo: tl.Design) -> None:
    """Fourteen alike make more sets than are kept: those under three hours may all be among those left out."""
    raw = {**demo.raw, "load": [*demo.raw["load"]], "stay": []}
    raw["circuit"] = [
        *raw["circuit"],
        {"name": "wide", "system": "mains", "wire": "6 AWG", "protection": "60 A", "device": "breaker"},
    ]
    raw["load"] += [{"name": f"plate {k}", "class": "induction plate", "circuit": "wide"} for k in range(12)]
    found = together.of(tl.design_from(raw), "shore")
    printed = tl.run_together(tl.design_from(raw), "shore").splitlines()
    heads = [k for k, line in enumerate(printed) if line.startswith("  together, ")]
    counts = dict(zip(("for as long", "for less"), (found.for_good_count, found.under_three_hours_count), strict=True))
    said = {next(key for key in counts if key in printed[k]): k for k in heads}
    assert set(said) == {key for key, count in counts.items() if count}
    for key, at in said.items():
        shown, more = 0, 0
        for line in printed[at + 1 :]:
            if not line.startswith("    "):
                break
            if line.startswith("    and ") and line.endswith(" more"):
                more = int(line.split()[1])
            elif not line.startswith("      "):
                shown += 1
        assert shown + more == counts[key], key
