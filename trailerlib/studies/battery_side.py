"""The battery side with everything on: voltages, currents and how warm the wires get."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from trailerlib.design.design import Design
from trailerlib.physics.network import deliverable_fraction, solve_dc
from trailerlib.physics.protection import prospective_current_a
from trailerlib.studies import feeder as dc
from trailerlib.studies.circuits import air_c, feeder_may_carry, may_carry, wire_temperature_c

WARM_UPS = 3  # the wire's own heat changes its resistance by a few per cent: three rounds settle it
CHARGE_AT_TEST = 0.5  # the drop is worked out with the battery half full
COOL_C = 30.0  # first guess of a wire's temperature where the air is not known


@dataclass(frozen=True)
class BatterySide:
    """The battery side, solved. Without a battery, a feeder or a dc circuit ``network`` is None and nothing is known.

    A circuit whose run is not known has no voltages, nor have its loads, and ``delivered`` is then not known.

    ``delivered`` is the share of the asked power that can be delivered [-]; below 1 there are no
    voltages. Voltages [V], currents [A] and temperatures [°C] go by load or circuit name.
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
    wire_c: Mapping[str, float] = field(default_factory=dict)

    @property
    def complete(self) -> bool:
        """Whether every run is known; where one is not, the voltages are a little too good to pass anything."""
        return self.network is not None and not self.network.unplaced

    @property
    def short_a(self) -> float | None:
        """Short-circuit current at the battery's fuse, the battery full [A]."""
        if self.ohm is None or self.full_v is None:
            return None
        return float(prospective_current_a(self.full_v, float(self.ohm[dc.BATTERY_NODE]), 2 * dc.contact_ohm("lug")))


def solve(design: Design) -> BatterySide:
    """Everything that is switched on, running at once on a half full battery, each wire at its own temperature."""
    battery, circuits = design.battery, design.circuits_of("dc")
    if battery is None or design.feeder_run_m is None or not circuits:
        return BatterySide()
    net, full = dc.network(design), float(dc.open_circuit_v(battery, 1.0))
    emf, inside = float(dc.open_circuit_v(battery, CHARGE_AT_TEST)), dc.battery_ohm(battery)
    draw = net.draw({load.name: load.running_w for load in net.loads if load.on})
    power, siemens, amps = draw
    carry = {circuit.name: may_carry(design, circuit) for circuit in circuits}
    air = {circuit.name: air_c(design, circuit) for circuit in circuits}
    wire_c, feeder_c = {name: c if c is not None else COOL_C for name, c in air.items()}, COOL_C
    feeder_carry = feeder_may_carry(design)
    for _ in range(WARM_UPS):
        ohm = net.resistances(inside, feeder_c, wire_c)
        solved = solve_dc(net.tree, emf, ohm, power_w=power, conductance_s=siemens, current_a=amps)
        if not solved.converged:
            share = deliverable_fraction(net.tree, emf, ohm, power_w=power, conductance_s=siemens, current_a=amps)
            return BatterySide(net, emf, full, ohm, draw, delivered=float(share), wire_c=wire_c)
        current = solved.branch_current_a.tolist()
        in_run = {name: current[taps.nodes[0]] for name, taps in net.taps.items()}
        wire_c = {name: wire_temperature_c(carry[name], air[name], in_run[name]) for name in in_run}
        if feeder_carry is not None:
            feeder_c = wire_temperature_c(feeder_carry, design.site.hottest, current[dc.BLOCK_NODE])
    volt = solved.voltage_v.tolist()
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
        {name: volt[taps.far_node] for name, taps in net.taps.items()},
        in_run,
        wire_c,
    )
