"""Each wire size in the place of a dc circuit's own, behind each fuse: the whole battery side solved with it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.physics.network import solve_dc
from trailerlib.studies import feeder as dc
from trailerlib.studies.battery_side import FINE_V, ROUGH_V, WARM_UPS, BatterySide, far_end_a, first_guess_c
from trailerlib.studies.circuits import air_c, feeder_may_carry, heated, may_carry
from trailerlib.studies.kept import Kept
from trailerlib.studies.loads import side_volts
from trailerlib.studies.wire_choice import Behind, candidates

FEEDER = 0  # row of the temperatures; the circuits follow in the order of the network


def battery_far_a(design: Design, side: BatterySide, circuit: Circuit) -> dict[str, float]:
    """Least current of a short at the far end of a dc circuit with each wire size [A]; nothing when not known.

    Parameters
    ----------
    design : the design
    side : the battery side
    circuit : the circuit
    """
    fitted = far_end_a(design, side, circuit.name)
    taps = side.network.taps.get(circuit.name) if side.network is not None else None
    if fitted is None or side.emf_v is None or taps is None:
        return {}
    reach = 2.0 * max(taps.length_m(node) for node in taps.nodes)
    rating_c = float(circuit.insulation.split()[0])
    rest = side.emf_v / fitted - reach * dc.ohm_per_m(circuit.wire, rating_c)
    return {wire: side.emf_v / (rest + reach * dc.ohm_per_m(wire, rating_c)) for wire in candidates(circuit.wire)}


def battery_behind(
    design: Design, side: BatterySide, circuit: Circuit, fuses: Sequence[float | None]
) -> dict[float | None, Behind]:
    """What each wire size would do on a dc circuit behind each of several fuses, the rest as it is.

    Every one of them is solved as the side itself is, each wire of it at its own temperature, in one call.

    Parameters
    ----------
    design : the design
    side : the battery side as it is; it may be one that collapses
    circuit : the circuit
    fuses : [A] their ratings; None stands for a wire without a fuse

    Returns
    -------
    dict
        Rating [A] to drops, far-end shorts and currents; nothing when the battery side is not known. The drop is NaN
        where the power cannot be delivered, and no current is given there.
    """
    net, far = side.network, battery_far_a(design, side, circuit)
    taps = net.taps.get(circuit.name) if net is not None else None
    if net is None or taps is None or side.ohm is None or side.draw is None or side.emf_v is None:
        return {}
    sizes = candidates(circuit.wire)
    inside_ohm = float(side.ohm[dc.BATTERY_NODE])
    lines = _LINES.of((net, inside_ohm), lambda: _Lines(net, inside_ohm))
    volt, amp = _solved(net, side, _Columns(lines, taps, sizes, fuses))
    ends, shape = volt[list(taps.nodes)], (len(fuses), len(sizes))
    lost = ((volt[dc.BATTERY_NODE] - ends.min(axis=0)) / side_volts(design, "dc")).reshape(shape).tolist()
    flows = amp[taps.nodes[0]]
    asked = net.asked_a(taps, volt, flows).reshape(shape).tolist()
    flow = flows.reshape(shape).tolist()
    more = [dc.fuse_ohm(fuse) - dc.fuse_ohm(circuit.protection) for fuse in fuses]
    return {
        fuse: Behind(
            dict(zip(sizes, lost[row], strict=True)),
            {wire: side.emf_v / (side.emf_v / short + more[row]) for wire, short in far.items()},
            _known(sizes, flow[row]),
            _known(sizes, asked[row]),
        )
        for row, fuse in enumerate(fuses)
    }


def _known(sizes: Sequence[str], values: Sequence[float]) -> dict[str, float]:
    return {wire: value for wire, value in zip(sizes, values, strict=True) if value == value}


class _Lines:
    """Every branch of the side as a line in its temperature, and the heat of every wire, as they are: one column.

    ``cold`` [ohm at 0 °C] and ``rise`` [ohm/K] are (nodes, 1), ``rows`` says whose temperature a node has; ``heat``
    holds ampacity [A], air [°C] and rating [°C], (3, rows, 1), ``hot`` the first guess [°C] (rows, 1).
    """

    def __init__(self, net: dc.Network, inside_ohm: float) -> None:
        self.design, self.taps = net.design, list(net.taps.values())
        self.rows = np.zeros(len(net.tree.parents), dtype=np.intp)
        self.cold, self.rise = np.zeros((2, self.rows.size, 1))
        self.cold[dc.BATTERY_NODE] = inside_ohm
        self.cold[dc.BLOCK_NODE] = dc.feeder_ohm(net.design, 0.0)
        self.rise[dc.BLOCK_NODE] = (dc.feeder_ohm(net.design, 100.0) - self.cold[dc.BLOCK_NODE]) / 100.0
        heats = [self._heat_of_feeder()]
        for row, taps in enumerate(self.taps, start=FEEDER + 1):
            here, self.rows[list(taps.nodes)] = list(taps.nodes), row
            self.cold[here], self.rise[here] = _laid(taps, [(taps.circuit.protection, taps.circuit.wire)])
            heats.append(_heat(self.design, taps.circuit, [taps.circuit.wire]))
        self.heat = np.array(heats).transpose(1, 0, 2)
        feeder_c, wire_c = first_guess_c(net.design)
        self.hot = np.array([[feeder_c], *([wire_c[name]] for name in net.taps)])

    def _heat_of_feeder(self) -> dc.Floats:
        carry = feeder_may_carry(self.design)
        hottest = self.design.site.hottest
        amps = np.nan if carry is None or not carry.amps else carry.amps
        around = np.nan if hottest is None else hottest
        return np.array([[amps], [around], [0.0 if carry is None else carry.rating_c]])


class _Columns:
    """The same with one circuit tried with every fuse and size, a column each; the others as they are."""

    def __init__(self, lines: _Lines, own: dc.Taps, sizes: Sequence[str], fuses: Sequence[float | None]) -> None:
        columns = len(sizes) * len(fuses)
        row, here = lines.rows[own.nodes[0]], list(own.nodes)
        self.taps, self.rows, self.hot = lines.taps, lines.rows, np.repeat(lines.hot, columns, axis=1)
        self.cold, self.rise = np.repeat(lines.cold, columns, axis=1), np.repeat(lines.rise, columns, axis=1)
        self.cold[here], self.rise[here] = _laid(own, [(fuse, wire) for fuse in fuses for wire in sizes])
        heat = np.repeat(lines.heat, columns, axis=2)
        heat[:, row] = np.tile(_heat(lines.design, own.circuit, sizes), len(fuses))
        self.heat = (heat[0], heat[1], heat[2])


_LINES: Kept[_Lines] = Kept(8)


def _laid(taps: dc.Taps, tried: Sequence[tuple[float | None, str]]) -> tuple[dc.Floats, dc.Floats]:
    """The pieces of one circuit with several fuses and wires: [ohm at 0 °C] and [ohm/K], (pieces, tried)."""
    there_and_back = 2.0 * np.array(taps.lengths_m)[:, np.newaxis]
    cold, rise = np.array([dc.resistance_line(wire) for _, wire in tried]).T
    cold, rise = there_and_back * cold, there_and_back * rise
    first = [place for place, parent in enumerate(taps.parents) if parent < 0]
    cold[first] += np.array([dc.run_ends_ohm(fuse) for fuse, _ in tried])
    return cold, rise


def _heat(design: Design, circuit: Circuit, wires: Sequence[str]) -> dc.Floats:
    """Ampacity [A], air [°C] and rating [°C] of one circuit with several wires, (3, wires)."""
    air, carries = air_c(design, circuit), [may_carry(design, circuit, wire) for wire in wires]
    return np.array([[c.amps or np.nan, np.nan if air is None else air, c.rating_c] for c in carries]).T


def _solved(net: dc.Network, side: BatterySide, at: _Columns) -> tuple[dc.Floats, dc.Floats]:
    """Voltages [V] and currents [A], (nodes, columns), in the very rounds of ``battery_side.solve``."""
    assert side.draw is not None and side.emf_v is not None
    power, siemens, amps = side.draw
    heads = [dc.BLOCK_NODE, *(taps.nodes[0] for taps in at.taps)]
    hot, arrives = at.hot, np.ones(at.cold.shape[1], dtype=bool)
    for rounds in range(WARM_UPS + 1):
        ohm, near = at.cold + at.rise * hot[at.rows], FINE_V if rounds == WARM_UPS else ROUGH_V
        found = solve_dc(
            net.tree, side.emf_v, ohm, power_w=power, conductance_s=siemens, current_a=amps, tolerance_v=near
        )
        arrives &= found.converged
        hot = heated(at.heat, np.nan_to_num(found.branch_current_a[heads]))
    lost = np.where(arrives, 1.0, np.nan)
    return found.voltage_v * lost, found.branch_current_a * lost
