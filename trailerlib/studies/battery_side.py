"""The battery side with everything on: voltages, currents and how warm the wires get."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.physics.network import deliverable_fraction
from trailerlib.physics.protection import prospective_current_a
from trailerlib.studies import cells
from trailerlib.studies import feeder as dc
from trailerlib.studies.battery_columns import COOL_C, FEEDER, Columns, Draw, Lines, Solved
from trailerlib.studies.circuits import side_as_laid
from trailerlib.studies.kept import Kept
from trailerlib.studies.path import Path, Step
from trailerlib.studies.trial import Trial, words

CHARGE_AT_TEST = 0.5  # the drop is worked out with the battery half full


@dataclass(frozen=True)
class BatterySide:
    """The battery side, solved. Without a battery, a feeder or a dc circuit ``network`` is None and nothing is known.

    A circuit whose run is not known has no voltages, nor have its loads, and ``delivered`` is then not known.

    ``delivered`` is the share of the asked power that can be delivered [-]; below 1 there are no
    voltages. Voltages [V], currents [A] and temperatures [°C] go by load or circuit name; ``end_v`` is the lowest
    voltage on a circuit and ``end_node`` where. ``node_a`` is the current into every node [A]. ``asked_a`` is the
    rating that the current of a circuit asks for, what runs three hours or more counted 125 % [A].
    ``tried`` holds the voltages [V] and currents [A] at every node with each size of ``trial``, (nodes, sizes) each.
    """

    network: dc.Network | None = None
    emf_v: float | None = None
    full_v: float | None = None
    ohm: dc.Floats | None = None
    draw: tuple[dc.Floats, dc.Floats, dc.Floats] | None = None
    source_v: float | None = None
    block_v: float | None = None
    total_a: float | None = None
    delivered: float | None = None
    load_v: Mapping[str, float] = field(default_factory=dict)
    end_v: Mapping[str, float] = field(default_factory=dict)
    current_a: Mapping[str, float] = field(default_factory=dict)
    asked_a: Mapping[str, float] = field(default_factory=dict)
    wire_c: Mapping[str, float] = field(default_factory=dict)
    end_node: Mapping[str, int] = field(default_factory=dict)
    node_a: tuple[float, ...] = ()
    feeder_c: float = COOL_C
    lines: Lines | None = None
    trial: Trial | None = None
    tried: tuple[dc.Floats, dc.Floats] | None = None

    @property
    def complete(self) -> bool:
        """Whether every run is known; where one is not, the voltages are a little too good to pass anything."""
        return self.network is not None and not self.network.unplaced

    @property
    def lost_w(self) -> float | None:
        """What wires, fuses and contacts between the battery's posts and the loads turn into heat [W]."""
        if self.ohm is None or not self.node_a:
            return None
        return float(path_heat_w(self.ohm, np.array(self.node_a)))

    @property
    def short_a(self) -> float | None:
        """Short-circuit current at the battery's fuse, the battery full [A]."""
        if self.ohm is None or self.full_v is None:
            return None
        return float(prospective_current_a(self.full_v, float(self.ohm[dc.BATTERY_NODE]), 2 * dc.contact_ohm("lug")))


_KEPT = Kept[BatterySide]()


def solve(design: Design, charge: float = CHARGE_AT_TEST, trial: Trial | None = None) -> BatterySide:
    """Everything that is switched on, running at once, each wire at its own temperature.

    The same object again while nothing on it has changed.

    Parameters
    ----------
    design : the design
    charge : [-] how full the battery is, 0..1
    trial : sizes to be tried on one circuit in the same call
    """
    return _KEPT.of([charge, *rests_on(design), *words(trial)], lambda: _solve(design, charge, trial))


def rests_on(design: Design) -> Iterator[Any]:
    """All parts of a design that its battery side depends on."""
    yield from (design.practice, design.site, design.battery, design.feeder, design.feeder_run_m)
    yield side_as_laid(design, "dc")


def _solve(design: Design, charge: float, trial: Trial | None) -> BatterySide:
    battery, circuits = design.battery, design.circuits_of("dc")
    if battery is None or design.feeder_run_m is None or not circuits:
        return BatterySide()
    net, full = dc.network(design), float(cells.open_circuit_v(battery, 1.0))
    emf, inside = float(cells.open_circuit_v(battery, charge)), cells.battery_ohm(battery)
    draw = net.draw({load.name: load.running_w for load in net.loads if load.on})
    lines = Lines(net, inside)
    taps = None if trial is None else net.taps.get(trial.circuit)
    sizes = () if trial is None or taps is None else trial.sizes
    columns = Columns(lines, 1 + len(sizes))
    if taps is not None:
        columns.fit(taps, [(taps.circuit.protection, wire) for wire in sizes], 1)
    solved = columns.solved(emf, draw)
    side = _read(design, lines, draw, emf, full, solved)
    tried = None if taps is None else (solved.volt[:, 1:], solved.amp[:, 1:])
    return replace(side, lines=lines, trial=None if taps is None else trial, tried=tried)


def _read(design: Design, lines: Lines, draw: Draw, emf: float, full: float, solved: Solved) -> BatterySide:
    """The side as it is: the first of the states."""
    net, ohm, hot = lines.net, solved.ohm[:, 0], solved.hot_c[:, 0].tolist()
    wire_c = dict(zip(net.taps, hot[FEEDER + 1 :], strict=True))
    if not solved.arrives[0]:
        power, siemens, amps = draw
        share = deliverable_fraction(net.tree, emf, ohm, power_w=power, conductance_s=siemens, current_a=amps)
        rating_c = float(design.feeder.insulation.split()[0]) if design.feeder else 0.0
        ohm = net.resistances(float(ohm[dc.BATTERY_NODE]), rating_c, wire_c)
        return BatterySide(net, emf, full, ohm, draw, delivered=float(share), wire_c=wire_c)
    volt, current = solved.volt[:, 0].tolist(), solved.amp[:, 0].tolist()
    in_run = {name: current[taps.nodes[0]] for name, taps in net.taps.items()}
    ends = {name: min(taps.nodes, key=volt.__getitem__) for name, taps in net.taps.items()}
    asked = net.asked_each(solved.volt[:, 0], in_run)
    return BatterySide(
        net,
        emf,
        full,
        ohm,
        draw,
        volt[dc.BATTERY_NODE],
        volt[dc.BLOCK_NODE],
        current[dc.BATTERY_NODE],
        None if net.unplaced else 1.0,
        {name: volt[node] for name, node in net.load_node.items() if name not in net.unplaced},
        {name: volt[node] for name, node in ends.items()},
        in_run,
        asked,
        wire_c,
        ends,
        tuple(current),
        hot[FEEDER],
    )


def path_heat_w(ohm: dc.Floats, current_a: dc.Floats) -> dc.Floats:
    """Heat in all that lies between the battery's posts and the loads [W], shape (...variants).

    Parameters
    ----------
    ohm : [ohm] out and back in front of every node, the battery's own first, (nodes, ...variants)
    current_a : [A] into every node, same shape
    """
    heat: dc.Floats = np.sum((ohm * np.square(current_a))[dc.BLOCK_NODE :], axis=0)
    return heat


def one_circuit(design: Design, circuit: Circuit | None) -> BatterySide:
    """The battery side as far as a short on one circuit is concerned, not solved.

    Parameters
    ----------
    design : the design, with a battery and a feeder whose length is known
    circuit : one of its dc circuits; None where the short is at the fuse block
    """
    battery = design.battery
    if battery is None or design.feeder_run_m is None or not design.circuits_of("dc"):
        return BatterySide()
    emf, full = (float(cells.open_circuit_v(battery, charge)) for charge in (CHARGE_AT_TEST, 1.0))
    net = dc.network(design, () if circuit is None else (circuit,))
    return BatterySide(net, emf, full, np.array([cells.battery_ohm(battery)]))


def path(side: BatterySide, circuit: str) -> Path | None:
    """The way of the current from inside the battery to the worst end of a circuit, and back; None when not known.

    Parameters
    ----------
    side : the battery side, solved
    circuit : name of the circuit
    """
    net = side.network
    if net is None or side.emf_v is None or side.ohm is None or circuit not in side.end_node:
        return None
    taps, total = net.taps[circuit], side.node_a[dc.BATTERY_NODE]
    per_m = dc.ohm_per_m(taps.circuit.wire, side.wire_c[circuit])
    pieces = [(per_m * taps.lengths_m[k], side.node_a[taps.nodes[k]]) for k in taps.way_to(side.end_node[circuit])]
    feeder, ends = dc.feeder_parts(net.design, side.feeder_c), dc.end_parts(taps.circuit.protection)
    in_run = pieces[0][1]
    steps = [Step("battery, inside", "source", "battery", float(side.ohm[dc.BATTERY_NODE]), total)]
    steps += [_step(part, total) for part in feeder if part.way == "out"]
    steps += [_step(part, in_run) for part in ends if part.way == "out"]
    steps += [Step("wire out", "out", "wire", ohm, amps) for ohm, amps in pieces]
    steps += [Step("wire back", "back", "wire", ohm, amps) for ohm, amps in reversed(pieces)]
    steps += [_step(part, in_run) for part in ends if part.way == "back"]
    steps += [_step(part, total) for part in feeder if part.way == "back"]
    return Path(side.emf_v, tuple(steps), side.end_v[circuit])


def _step(part: dc.Part, current_a: float) -> Step:
    return Step(part.name, part.way, part.kind, part.ohm, current_a)


def at_block_a(design: Design, side: BatterySide) -> float | None:
    """Greatest short-circuit current at the fuse block [A]: battery full, feeder cold; None when not known."""
    if side.network is None or side.full_v is None or side.ohm is None:
        return None
    inside = float(side.ohm[dc.BATTERY_NODE])
    return float(prospective_current_a(side.full_v, inside, dc.feeder_ohm(design, 20.0)))


def far_end_a(design: Design, side: BatterySide, circuit: str | None) -> float | None:
    """Least current of a dead short at the far end of a circuit [A], its wire warm; None when not known.

    Parameters
    ----------
    design : the design
    side : the battery side
    circuit : name of the circuit, or None for a short at the fuse block
    """
    net, feeder = side.network, design.feeder
    if net is None or side.emf_v is None or side.ohm is None or feeder is None:
        return None
    way = dc.feeder_ohm(design, float(feeder.insulation.split()[0]))
    if circuit is not None:
        taps = net.taps.get(circuit)
        if taps is None:
            return None
        warm = dc.ohm_per_m(taps.circuit.wire, float(taps.circuit.insulation.split()[0]))
        way += 2.0 * warm * max(taps.length_m(node) for node in taps.nodes) + dc.run_ends_ohm(taps.circuit.protection)
    return float(prospective_current_a(side.emf_v, float(side.ohm[dc.BATTERY_NODE]), way))
