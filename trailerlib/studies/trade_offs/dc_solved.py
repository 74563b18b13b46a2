"""The battery side of many candidates with everything on: voltages, currents, losses, and what is judged of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.network import deliverable_fraction, solve_dc
from trailerlib.physics.protection import required_rating_a
from trailerlib.rules import wiring as rules
from trailerlib.rules.finding import judge_many
from trailerlib.studies import feeder as dc
from trailerlib.studies.battery_columns import COOL_C, FINE_V, ROUGH_V, WARM_UPS
from trailerlib.studies.battery_side import path_heat_w
from trailerlib.studies.circuits import heated
from trailerlib.studies.trade_offs.axes import Floats
from trailerlib.studies.trade_offs.candidates import Rows
from trailerlib.studies.trade_offs.counts import Counts
from trailerlib.studies.trade_offs.dc_case import BatterySides, Built, Fronts


@dataclass(frozen=True)
class Solved:
    """Candidates of one shape, solved: (n,) each, by circuit or load (…, n); NaN where not known.

    ``delivered`` is the share of the asked power that arrives [-]; below 1 there is no voltage.
    """

    source_v: Floats
    total_a: Floats
    delivered: Floats
    lost_w: Floats
    drop: dict[str, Floats]
    asked_a: dict[str, Floats]
    load_v: dict[str, Floats]


def solve(sides: BatterySides, rows: Rows, built: Built) -> Solved:
    """Everything that is switched on, running at once, each wire at its own temperature.

    Parameters
    ----------
    sides : what is asked of battery sides
    rows : candidates of one shape
    built : their shape
    """
    emf, fronts, volts = sides.battery.of(rows)[0], sides.fronts(rows, built), sides.volts.of(rows)[0]
    loads = {name: sides.load[name].of(rows) for name in built.load_node}
    kinds = {name: found[2] for name, found in loads.items()}
    draw = sides.drawn(built, {name: f[1] * (f[0] > 0) for name, f in loads.items()}, kinds, volts)
    long = sides.drawn(built, {name: f[1] * (f[0] > 0) * (f[4] > 0) for name, f in loads.items()}, kinds, volts)
    volt, amp, ohm, share = _warmed(sides, rows, built, fronts, emf, draw)
    held = share == 1.0
    drop, asked = {}, {}
    for name, nodes in built.nodes.items():
        here = list(nodes)
        drop[name] = (volt[dc.BATTERY_NODE] - volt[here].min(axis=0)) / volts
        lasting = (long[0][here] / volt[here] + long[1][here] * volt[here] + long[2][here]).sum(axis=0)
        asked[name] = np.asarray(required_rating_a(lasting, amp[here[0]] - lasting))
    known = {name: volt[node] for name, node in built.load_node.items() if node != dc.BLOCK_NODE}
    return Solved(
        volt[dc.BATTERY_NODE],
        amp[dc.BATTERY_NODE],
        np.where(held & bool(built.unplaced), np.nan, share),
        np.where(held, path_heat_w(ohm, amp), np.nan),
        drop,
        asked,
        known,
    )


def _warmed(
    sides: BatterySides, rows: Rows, built: Built, fronts: Fronts, emf: Floats, draw: tuple[Floats, ...]
) -> tuple[Floats, Floats, Floats, Floats]:
    """Voltages, currents and resistances with the wires as warm as they get, and the share that is delivered."""
    count, heat, wire_c = rows.count, *_first_heat(sides, rows)
    power, siemens, amps = draw
    share, left = np.ones(count), np.arange(count)
    volt, amp = np.full((len(built.tree.parents), count), np.nan), np.full((len(built.tree.parents), count), np.nan)
    heads = np.array([built.nodes[c.name][0] if c.name in built.nodes else dc.BLOCK_NODE for c in sides.circuits])
    ohm = fronts.ohm(wire_c)
    for rounds in range(WARM_UPS + 1):
        near = FINE_V if rounds == WARM_UPS else ROUGH_V
        part = tuple(x[:, left] for x in (ohm, power, siemens, amps))
        found = solve_dc(
            built.tree, emf[left], part[0], power_w=part[1], conductance_s=part[2], current_a=part[3],
            start_v=volt[:, left] if rounds else None, tolerance_v=near,
        )  # fmt: skip
        fell = ~found.converged
        if fell.any():
            gone = left[fell]
            share[gone] = deliverable_fraction(
                built.tree, emf[gone], ohm[:, gone], power_w=power[:, gone], conductance_s=siemens[:, gone],
                current_a=amps[:, gone],
            )  # fmt: skip
            left = left[~fell]
        volt[:, left], amp[:, left] = found.voltage_v[:, ~fell], found.branch_current_a[:, ~fell]
        if rounds == WARM_UPS or not left.size:
            break
        flows = np.concatenate([amp[dc.BLOCK_NODE][None], amp[heads]])
        wire_c = np.where(np.isnan(flows), wire_c, heated(heat, flows))
        ohm = fronts.ohm(wire_c)
    lost = np.ones(count, dtype=bool)
    lost[left] = False
    volt[:, lost], amp[:, lost] = np.nan, np.nan
    return volt, amp, ohm, share


def _first_heat(sides: BatterySides, rows: Rows) -> tuple[tuple[Floats, ...], Floats]:
    """Ampacity, air and rating of feeder and circuits, and the temperatures to begin with, (1 + circuits, n)."""
    feeder = sides.feeder.of(rows)
    carried = [circuit.carry.of(rows) for circuit in sides.circuits]
    amps = np.array([feeder[3], *(found[0] for found in carried)])
    air = np.array([feeder[5], *(found[1] for found in carried)])
    rating = np.array([feeder[4], *(found[2] for found in carried)])
    amps = np.where(amps == 0.0, np.nan, amps)  # a wire that may carry nothing is taken at its rating
    begin = np.where(np.isnan(air), COOL_C, air)
    begin[0] = COOL_C
    return (amps, air, rating), begin


def judged(sides: BatterySides, rows: Rows, built: Built, solved: Solved) -> Counts:
    """What is judged of what flows: drop, heat and fuse of every circuit, of the feeder, the voltage of every load.

    Parameters
    ----------
    sides : what is asked of battery sides
    rows : candidates of one shape
    built : their shape
    solved : the same, solved
    """
    said, nothing = Counts(rows.count), np.full(rows.count, np.nan)
    complete = not built.unplaced
    heat_known: dict[str, NDArray[np.bool_]] = {}
    needed_sum, asked_sum = np.zeros(rows.count), np.zeros(rows.count)
    for circuit in sides.circuits:
        (amps, _, _, known), (needed,) = circuit.carry.of(rows), circuit.need.of(rows)
        limit, fuse = circuit.wire.of(rows)[4:6]
        drop, flows = solved.drop.get(circuit.name, nothing), solved.asked_a.get(circuit.name, nothing)
        heat_known[circuit.name] = known > 0
        passes = heat_known[circuit.name] & (complete | (np.nan_to_num(drop) > limit))
        asked = np.fmax(flows, needed)
        needed_sum, asked_sum = needed_sum + needed, asked_sum + np.nan_to_num(flows)
        said.add(judge_many(rules.DROP, np.where(passes, drop, np.nan), limit))
        said.add(judge_many(rules.AMPACITY, asked, amps))
        said.add(judge_many(rules.FUSE_CARRIES, fuse, asked))
    feeder = sides.feeder.of(rows)
    asked = np.maximum(needed_sum, asked_sum)
    said.add(judge_many(rules.DELIVERS, solved.delivered, 1.0))
    said.add(judge_many(rules.AMPACITY, np.maximum(asked, solved.total_a), feeder[3]))
    said.add(judge_many(rules.FUSE_CARRIES, feeder[7], np.fmax(asked, solved.total_a)))
    for circuit in sides.circuits:
        for name in circuit.loads:
            on, _, _, lowest, _ = sides.load[name].of(rows)
            volts = solved.load_v.get(name, nothing)
            known_v = heat_known[circuit.name] & (complete | (volts < np.nan_to_num(lowest)))
            said.add(judge_many(rules.LOWEST_VOLTAGE, np.where(known_v, volts, np.nan), lowest), on > 0)
    return said
