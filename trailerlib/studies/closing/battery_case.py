"""The battery side solved in every state of the switches, for many changed networks at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.physics import feeder_slopes
from trailerlib.physics.network import solve_dc
from trailerlib.studies import cells
from trailerlib.studies import feeder as dc
from trailerlib.studies.closing.battery_faults import Change
from trailerlib.studies.closing.battery_lines import ALL, REST, Read, readings, state_of
from trailerlib.studies.closing.block import Floats
from trailerlib.studies.closing.parts import Pieces, pieces_of

AIR_C = 20.0  # a shop with its door open; what it really is comes into the band
GIVES_UP = 0.7  # of the nominal voltage: below it electronics hold no power, they draw like a resistor
# One standard deviation of what is never exactly as drawn: common practice, no source.
EMF_V, INSIDE, WARMTH_K, LENGTH, CONTACT, FUSE, POWER = 0.08, 0.25, 10.0, 0.04, 0.5, 0.2, 0.1
COPPER_PER_K = 0.00393  # IEC 60028


@dataclass(frozen=True)
class Case:
    """The battery side as it is tested: shape, pieces, lines, states and what is on in each.

    ``on`` (states, loads) is 1 where a load is on. ``emf_v`` is the resting voltage, ``inside_ohm`` the battery's own.
    """

    net: dc.Network
    pieces: Pieces
    reads: tuple[Read, ...]
    states: tuple[str, ...]
    on: Floats
    emf_v: float
    inside_ohm: float

    @property
    def ohm(self) -> Floats:
        """Resistance of every piece as drawn [ohm], (pieces,)."""
        return np.array([piece.ohm for piece in self.pieces.every])

    @property
    def branch(self) -> NDArray[np.intp]:
        """Branch that each piece lies in, (pieces,)."""
        return np.array([piece.branch for piece in self.pieces.every], dtype=np.intp)


@dataclass(frozen=True)
class Rows:
    """Networks to solve, one a row: state, added volts, resistances and what the loads draw.

    ``state`` (v,); ``emf_v`` (v,); ``inside_ohm`` (v,); ``ohm`` (v, pieces); ``draws`` (v, loads) factor on each load.
    """

    state: NDArray[np.intp]
    emf_v: Floats
    inside_ohm: Floats
    ohm: Floats
    draws: Floats


@dataclass(frozen=True)
class Solved:
    """Voltages over the side, (v, nodes), branch currents, (v, nodes), drops of the pieces, (v, pieces).

    ``power_w``, ``siemens`` and ``fixed_a`` (v, nodes) are what was drawn in the end.
    """

    volt: Floats
    amps: Floats
    drop: Floats
    branch_ohm: Floats
    power_w: Floats
    siemens: Floats
    fixed_a: Floats


def case_of(design: Design) -> Case | None:
    """The battery side of a design as it is tested; None without a battery, a feeder or a dc circuit."""
    if design.battery is None or design.feeder is None or design.feeder_run_m is None or not design.circuits_of("dc"):
        return None
    net = dc.network(design)
    pieces = pieces_of(net, AIR_C)
    loads = [load for load in net.loads if load.on and load.name not in net.unplaced]
    states = (REST, *(state_of(load) for load in loads), ALL)
    every = [load.name for load in net.loads]
    on = np.zeros((len(states), len(every)))
    on[-1] = [float(load.on) for load in net.loads]
    for row, load in enumerate(loads, start=1):
        on[row, every.index(load.name)] = 1.0
    emf = float(cells.open_circuit_v(design.battery, design.battery.start_charge))
    return Case(net, pieces, tuple(readings(net, pieces)), states, on, emf, cells.battery_ohm(design.battery))


def rows_of(case: Case, change: Change, states: tuple[str, ...]) -> Rows:
    """The networks of one fault: each of its sizes in each of these states, sizes outermost.

    Parameters
    ----------
    case : the battery side
    change : what the fault does
    states : names of states
    """
    sizes = max(len(part) for part in (change.added_ohm, change.times, change.emf_v, change.inside, change.draws))
    ohm = np.tile(case.ohm, (sizes, 1))
    if change.piece >= 0:
        ohm[:, change.piece] += change.added_ohm
    for piece in case.pieces.every:
        if change.run and piece.run == change.run:
            ohm[:, piece.number] *= change.times
    if change.swapped:
        one, other = (_fuse(case, name) for name in change.swapped)
        ohm[:, [one, other]] = ohm[:, [other, one]]
    names = [load.name for load in case.net.loads]
    draws = np.ones((sizes, len(names)))
    if change.load:
        draws[:, names.index(change.load)] = change.draws
    here = np.array([case.states.index(state) for state in states], dtype=np.intp)
    emf = case.emf_v + np.broadcast_to(change.emf_v, (sizes,))
    inside = case.inside_ohm * np.broadcast_to(change.inside, (sizes,))
    each = len(here)
    return Rows(
        np.tile(here, sizes), np.repeat(emf, each), np.repeat(inside, each), np.repeat(ohm, each, axis=0),
        np.repeat(draws, each, axis=0) * np.tile(case.on[here], (sizes, 1)),
    )  # fmt: skip


def _fuse(case: Case, circuit: str) -> int:
    return next(p.number for p in case.pieces.every if p.circuit == circuit and p.sort == "fuse")


def joined(parts: list[Rows]) -> Rows:
    """Many sets of networks as one."""
    return Rows(*(np.concatenate([getattr(p, key) for p in parts]) for key in Rows.__dataclass_fields__))


def solve(case: Case, rows: Rows) -> Solved:
    """Every network solved; electronics that are left with too little voltage draw like a resistor.

    Parameters
    ----------
    case : the battery side
    rows : the networks, v of them

    Returns
    -------
    Solved.
    """
    count = len(case.net.tree.parents)
    branch_ohm = np.zeros((len(rows.state), count))
    np.add.at(branch_ohm.T, case.branch, rows.ohm.T)
    branch_ohm[:, dc.BATTERY_NODE] += rows.inside_ohm
    power, siemens, fixed = _drawn(case, rows.draws)
    nominal = case.net.nominal_v
    dull = power / (GIVES_UP * nominal) ** 2
    volt, amps, works = _newton(case, rows, branch_ohm, power, siemens, fixed)
    weak = ((volt < GIVES_UP * nominal) | ~works[:, np.newaxis]) & (power > 0.0)
    lost = np.flatnonzero(weak.any(axis=1))
    if lost.size:
        held = _settle(case, _take(rows, lost), branch_ohm[lost], power[lost], siemens[lost], fixed[lost], dull[lost])
        volt[lost], amps[lost], power[lost], siemens[lost] = held
    drop = rows.ohm * amps[:, case.branch]
    return Solved(volt, amps, drop, branch_ohm, power, siemens, fixed)


def _settle(
    case: Case, rows: Rows, ohm: Floats, power: Floats, siemens: Floats, fixed: Floats, dull: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """Networks in which some electronics cannot hold their power: those draw like a resistor, the others go on."""
    limit = GIVES_UP * case.net.nominal_v
    given_up = power > 0.0
    for _ in range(2):
        held, drawn = np.where(given_up, 0.0, power), siemens + np.where(given_up, dull, 0.0)
        volt, amps, works = _newton(case, rows, ohm, held, drawn, fixed)
        given_up = np.where(works[:, np.newaxis], (power > 0.0) & (volt < limit), power > 0.0)
    held, drawn = np.where(given_up, 0.0, power), siemens + np.where(given_up, dull, 0.0)
    volt, amps, works = _newton(case, rows, ohm, held, drawn, fixed)
    left = np.flatnonzero(~works)
    if left.size:
        held[left], drawn[left] = 0.0, siemens[left] + dull[left]
        volt[left], amps[left], _ = _newton(case, _take(rows, left), ohm[left], held[left], drawn[left], fixed[left])
    return volt, amps, held, drawn


def _take(rows: Rows, here: NDArray[np.intp]) -> Rows:
    return Rows(*(getattr(rows, key)[here] for key in Rows.__dataclass_fields__))


def _newton(
    case: Case, rows: Rows, ohm: Floats, power: Floats, siemens: Floats, fixed: Floats
) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    found = solve_dc(
        case.net.tree, rows.emf_v, ohm.T, power_w=power.T, conductance_s=siemens.T, current_a=fixed.T, tolerance_v=1e-9
    )
    return found.voltage_v.T.copy(), found.branch_current_a.T.copy(), found.converged


def _drawn(case: Case, draws: Floats) -> tuple[Floats, Floats, Floats]:
    """Power, conductance and current at every node, each (v, nodes)."""
    watts = {load.name: load.running_w * draws[:, k] for k, load in enumerate(case.net.loads)}
    power, siemens, fixed = case.net.draw(watts, (len(draws),))
    return power.T.copy(), siemens.T.copy(), fixed.T.copy()


def slopes(case: Case, rows: Rows, solved: Solved) -> tuple[feeder_slopes.Slopes, Floats]:
    """How node voltages, branch currents and drops change with each thing that is never exactly as drawn.

    Returns
    -------
    The feeder's slopes, (v, nodes, q), and the change of every drop [V], (v, pieces, q), for one standard deviation.
    """
    emf, inside, share, load = _unsure(case)
    count, many = len(case.net.tree.parents), len(rows.state)
    # what is drawn is unsure, not what a fault adds to it
    piece_ohm = np.broadcast_to((case.ohm[:, np.newaxis] * share)[np.newaxis], (many, *share.shape))
    ohm = np.zeros((many, count, len(emf)))
    np.add.at(ohm.swapaxes(0, 1), case.branch, piece_ohm.swapaxes(0, 1))
    ohm[:, dc.BATTERY_NODE] += rows.inside_ohm[:, np.newaxis] * inside
    now = solved.power_w / solved.volt + solved.siemens * solved.volt + solved.fixed_a
    drawn = np.zeros((many, count, len(emf)))
    nodes = [case.net.load_node[one.name] for one in case.net.loads]
    part = _share_of_node(case, rows.draws)
    for k, node in enumerate(nodes):
        drawn[:, node] += (now[:, node] * part[:, k])[:, np.newaxis] * load[k]
    turn = solved.siemens - solved.power_w / solved.volt**2
    found = feeder_slopes.slopes(case.net.tree, solved.branch_ohm, solved.amps, turn, emf_v=emf, ohm=ohm, drawn_a=drawn)
    drops = piece_ohm * solved.amps[:, case.branch][..., np.newaxis]
    drops += rows.ohm[..., np.newaxis] * found.branch_current_a[:, case.branch]
    return found, drops


def _share_of_node(case: Case, draws: Floats) -> Floats:
    """What part of its node's current each load draws, (v, loads)."""
    watts = draws * np.array([load.running_w for load in case.net.loads])
    nodes = np.array([case.net.load_node[load.name] for load in case.net.loads], dtype=np.intp)
    total = np.zeros((len(draws), len(case.net.tree.parents)))
    np.add.at(total.T, nodes, watts.T)
    here = total[:, nodes]
    part: Floats = np.divide(watts, here, out=np.zeros_like(watts), where=here > 0.0)
    return part


def _unsure(case: Case) -> tuple[Floats, Floats, Floats, Floats]:
    """One standard deviation of the q unsure things: on the source [V], inside [-], each piece [-], each load [-].

    Shapes (q,), (q,), (pieces, q), (loads, q).
    """
    pieces, loads = case.pieces.every, case.net.loads
    runs = list(dict.fromkeys(piece.run for piece in pieces if piece.run))
    contacts = [piece for piece in pieces if not piece.run]
    q = 3 + len(runs) + len(contacts) + len(loads)
    emf, inside, share, load = np.zeros(q), np.zeros(q), np.zeros((len(pieces), q)), np.zeros((len(loads), q))
    emf[0], inside[1] = EMF_V, INSIDE
    for piece in pieces:
        if piece.run:
            share[piece.number, 2] = COPPER_PER_K * WARMTH_K
            share[piece.number, 3 + runs.index(piece.run)] = LENGTH
    for k, piece in enumerate(contacts, start=3 + len(runs)):
        share[piece.number, k] = FUSE if piece.sort in ("fuse", "main fuse") else CONTACT
    for k in range(len(loads)):
        load[k, q - len(loads) + k] = POWER
    return emf, inside, share, load
