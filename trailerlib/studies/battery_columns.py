"""The battery side and what is tried on it side by side, solved in one call, each wire at its own temperature."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.physics.network import solve_dc
from trailerlib.studies import feeder as dc
from trailerlib.studies.circuits import air_c, feeder_may_carry, heated, may_carry

WARM_UPS = 3  # the wire's own heat changes its resistance by a few per cent: three rounds settle it
ROUGH_V, FINE_V = 1e-6, 1e-13  # how near a round of warming must come to its voltages, and the last one
COOL_C = 30.0  # first guess of a wire's temperature where the air is not known
FEEDER = 0  # row of the temperatures; the circuits follow in the order of the network

Draw = tuple[dc.Floats, dc.Floats, dc.Floats]


class Lines:
    """Every branch of a side as a line in its temperature, and the heat of every wire, as they are: one column.

    ``cold`` [ohm at 0 °C] and ``rise`` [ohm/K] are (nodes, 1), ``rows`` says whose temperature a node has; ``heat``
    holds ampacity [A], air [°C] and rating [°C], (3, rows, 1), ``hot`` the first guess [°C] (rows, 1).
    """

    def __init__(self, net: dc.Network, inside_ohm: float) -> None:
        self.net = net
        self.rows = np.zeros(len(net.tree.parents), dtype=np.intp)
        self.cold, self.rise = np.zeros((2, self.rows.size, 1))
        self.cold[dc.BATTERY_NODE] = inside_ohm
        self.cold[dc.BLOCK_NODE] = dc.feeder_ohm(net.design, 0.0)
        self.rise[dc.BLOCK_NODE] = (dc.feeder_ohm(net.design, 100.0) - self.cold[dc.BLOCK_NODE]) / 100.0
        heats, guess = [self._heat_of_feeder()], [COOL_C]
        for row, taps in enumerate(net.taps.values(), start=FEEDER + 1):
            here, self.rows[list(taps.nodes)] = list(taps.nodes), row
            self.cold[here], self.rise[here] = _laid(taps, [(taps.circuit.protection, taps.circuit.wire)])
            heats.append(_heat(net.design, taps.circuit, [taps.circuit.wire]))
            air = air_c(net.design, taps.circuit)
            guess.append(COOL_C if air is None else air)
        self.heat, self.hot = np.array(heats).transpose(1, 0, 2), np.array(guess)[:, np.newaxis]

    def _heat_of_feeder(self) -> dc.Floats:
        carry = feeder_may_carry(self.net.design)
        hottest = self.net.design.site.hottest
        amps = np.nan if carry is None or not carry.amps else carry.amps
        around = np.nan if hottest is None else hottest
        return np.array([[amps], [around], [0.0 if carry is None else carry.rating_c]])


@dataclass(frozen=True)
class Solved:
    """States solved, c of them: voltages [V], currents [A] and resistances [ohm], (nodes, c); temperatures [°C],
    (rows, c). Where the power cannot be delivered ``arrives`` is false, voltages and currents are NaN, and the wires
    are as warm as in the round before that was found.
    """

    volt: dc.Floats
    amp: dc.Floats
    ohm: dc.Floats
    hot_c: dc.Floats
    arrives: NDArray[np.bool_]


class Columns:
    """A side so many times over, and circuits with something else tried on them in some of the columns."""

    def __init__(self, lines: Lines, count: int) -> None:
        self.lines = lines
        self.cold, self.rise, self.hot = (
            np.repeat(part, count, axis=1) for part in (lines.cold, lines.rise, lines.hot)
        )
        self.heat = np.repeat(lines.heat, count, axis=2)

    def fit(self, taps: dc.Taps, tried: Sequence[tuple[float | None, str]], first: int) -> None:
        """Put fuses and wires on one circuit, one pair a column.

        Parameters
        ----------
        taps : the circuit
        tried : [A] fuse, None without one, and wire
        first : [-] the first of the columns
        """
        row, here = self.lines.rows[taps.nodes[0]], slice(first, first + len(tried))
        nodes = np.array(taps.nodes)
        self.cold[nodes, here], self.rise[nodes, here] = _laid(taps, tried)
        wires = list(dict.fromkeys(wire for _, wire in tried))
        each = _heat(self.lines.net.design, taps.circuit, wires)
        self.heat[:, row, here] = each[:, [wires.index(wire) for _, wire in tried]]

    def solved(self, emf_v: float, draw: Draw) -> Solved:
        """All of it, in rounds of warming; voltages and currents belong to the very heat that is stated with them.

        Parameters
        ----------
        emf_v : [V] voltage of the battery at no load
        draw : [W], [S], [A] held power, conductance and held current at every node, (nodes,) each
        """
        net, rows, hot = self.lines.net, self.lines.rows, self.hot
        heads = [dc.BLOCK_NODE, *(taps.nodes[0] for taps in net.taps.values())]
        arrives, start = np.ones(hot.shape[1], dtype=bool), None
        for rounds in range(WARM_UPS + 1):
            ohm, near = self.cold + self.rise * hot[rows], FINE_V if rounds == WARM_UPS else ROUGH_V
            found = solve_dc(
                net.tree, emf_v, ohm, power_w=draw[0], conductance_s=draw[1], current_a=draw[2], start_v=start,
                tolerance_v=near,
            )  # fmt: skip
            arrives = arrives & found.converged
            if rounds < WARM_UPS and arrives.any():
                warm = heated(tuple(self.heat), np.nan_to_num(found.branch_current_a[heads]))
                hot, start = np.where(arrives, warm, hot), found.voltage_v
        lost = np.where(arrives, 1.0, np.nan)
        return Solved(found.voltage_v * lost, found.branch_current_a * lost, ohm, hot, arrives)


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
