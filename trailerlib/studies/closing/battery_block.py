"""What every line of the battery side reads when all is well, and with each fault."""

from __future__ import annotations

import numpy as np

from trailerlib.design.design import Design
from trailerlib.studies.closing import meters
from trailerlib.studies.closing.battery_case import Case, Rows, Solved, case_of, joined, rows_of, slopes, solve
from trailerlib.studies.closing.battery_faults import Change, faults
from trailerlib.studies.closing.battery_lines import ALL, Read
from trailerlib.studies.closing.block import Block, Fault, Floats, Signature

EVERY = 4  # slopes are worked out at every fourth size; they change slowly
HEALTHY = Fault("healthy", "healthy", "battery side", "nothing is wrong", "", 1.0)


def battery_block(design: Design) -> Block | None:
    """What the lines of the battery side read; None without a battery, a feeder or a dc circuit.

    Parameters
    ----------
    design : the design
    """
    case = case_of(design)
    if case is None:
        return None
    lines = tuple(read.line for read in case.reads)
    healthy = _signatures(case, [(HEALTHY, np.zeros(1), Change())], None)[0]

    def found() -> tuple[Signature, ...]:
        return tuple(_signatures(case, list(faults(case.net, case.pieces, _full_a(case))), healthy))

    return Block(
        "battery", lines, healthy, found, np.array([meters.accuracy(line.meter) for line in lines]),
        np.zeros(len(lines), dtype=bool), _missing(case),
    )  # fmt: skip


def _missing(case: Case) -> dict[str, str]:
    return {f"alone/{name}/volts": "the run of its circuit is not known" for name in sorted(case.net.unplaced)}


def _full_a(case: Case) -> dict[str, float]:
    """Current in the feeder and in each circuit with all on [A]."""
    solved = solve(case, rows_of(case, Change(), (ALL,)))
    amps = {name: float(solved.amps[0, taps.nodes[0]]) for name, taps in case.net.taps.items()}
    return {**amps, "feeder": float(solved.amps[0, 1])}


def _signatures(case: Case, wrong: list[tuple[Fault, Floats, Change]], healthy: Signature | None) -> list[Signature]:
    states = [change.states or case.states for _, _, change in wrong]
    parts = [rows_of(case, change, here) for (_, _, change), here in zip(wrong, states, strict=True)]
    every = solve(case, joined(parts))
    sizes = [np.arange(0, len(size), EVERY) for _, size, _ in wrong]
    picked = [
        (where[:, np.newaxis] * len(here) + np.arange(len(here))).ravel()
        for where, here in zip(sizes, states, strict=True)
    ]
    begins = np.cumsum([0, *(len(part.state) for part in parts)])
    few = np.concatenate([begin + rows for begin, rows in zip(begins[:-1], picked, strict=True)])
    change_of = _slopes_at(case, joined(parts), every, few)
    found, place = [], 0
    for k, (fault, size, change) in enumerate(wrong):
        span = slice(begins[k], begins[k + 1])
        shape = (len(size), len(states[k]))
        mean = _mean(case, states[k], _cut(every, span), shape, healthy)
        here = slice(place, place + len(picked[k]))
        place += len(picked[k])
        slope = _slope(case, states[k], tuple(part[here] for part in change_of), (len(sizes[k]), shape[1]), healthy)
        mean, slope = _exchanged(case, change, mean, slope)
        row = np.minimum(np.arange(len(size)) // EVERY, len(sizes[k]) - 1)
        found.append(Signature(fault, size, mean, slope, np.zeros_like(mean), row))
    return found


def _cut(solved: Solved, span: slice) -> Solved:
    return Solved(*(getattr(solved, key)[span] for key in Solved.__dataclass_fields__))


def _slopes_at(case: Case, rows: Rows, solved: Solved, few: Floats) -> tuple[Floats, Floats, Floats]:
    """Slopes of node voltages, branch currents and drops for some of the networks."""
    some = Rows(*(getattr(rows, key)[few] for key in Rows.__dataclass_fields__))
    found, drops = slopes(case, some, Solved(*(getattr(solved, key)[few] for key in Solved.__dataclass_fields__)))
    return found.voltage_v, found.branch_current_a, drops


def _mean(
    case: Case, states: tuple[str, ...], solved: Solved, shape: tuple[int, int], healthy: Signature | None
) -> Floats:
    """Readings (sizes, lines): those of the states that change, the rest as when all is well."""
    mean = np.full((shape[0], len(case.reads)), np.nan) if healthy is None else np.repeat(healthy.mean, shape[0], 0)
    for k, state in enumerate(states):
        for column, read in enumerate(case.reads):
            if read.state == state:
                mean[:, column] = _sum((solved.volt, solved.amps, solved.drop), read, slice(k, None, shape[1]))
    return mean


def _slope(
    case: Case, states: tuple[str, ...], parts: tuple[Floats, ...], shape: tuple[int, int], healthy: Signature | None
) -> Floats:
    """Slopes of the readings (few sizes, lines, q)."""
    q = parts[0].shape[-1]
    slope = (
        np.zeros((shape[0], len(case.reads), q)) if healthy is None else np.repeat(healthy.slope[:1], shape[0], axis=0)
    )
    for k, state in enumerate(states):
        for column, read in enumerate(case.reads):
            if read.state == state:
                slope[:, column] = _sum(parts, read, slice(k, None, shape[1]))
    return slope


def _sum(parts: tuple[Floats, ...], read: Read, rows: slice) -> Floats:
    volt, amps, drop = parts
    total: Floats = volt[rows][:, np.array(read.nodes, dtype=np.intp)].sum(axis=1)
    total = total + amps[rows][:, np.array(read.branches, dtype=np.intp)].sum(axis=1)
    with_drops: Floats = total + drop[rows][:, np.array(read.pieces, dtype=np.intp)].sum(axis=1)
    return with_drops


def _exchanged(case: Case, change: Change, mean: Floats, slope: Floats) -> tuple[Floats, Floats]:
    """Readings whose probes land elsewhere: legs reversed at a load, or a circuit on another's fuse."""
    number = {read.line.key: k for k, read in enumerate(case.reads)}
    if change.turned:
        name = change.turned
        volts, feed, back = (number[f"alone/{name}/{what}"] for what in ("volts", "feed drop", "return drop"))
        for table in (mean, slope):
            table[:, feed] += table[:, volts]
            table[:, back] += table[:, volts]
            for column in (volts, number[f"all/{name}/volts"]):
                table[:, column] *= -1.0
    if change.swapped:
        _swap(case, change.swapped, number, mean, slope)
    return mean, slope


def _swap(case: Case, pair: tuple[str, ...], number: dict[str, int], mean: Floats, slope: Floats) -> None:
    """The fuse drawn for one circuit carries the other: nothing flows in it while only its own loads are on."""
    for table in (mean, slope):
        for circuit in pair:
            for load in case.net.design.loads_on(circuit):
                keys = [f"alone/{load.name}/{what}" for what in ("fuse drop", "fuse amps", "feed drop")]
                if keys[2] in number:
                    table[:, number[keys[2]]] += table[:, number[keys[0]]]
                    table[:, number[keys[0]]] = 0.0
                    table[:, number[keys[1]]] = 0.0
        one, other = (number[f"all/{name}/fuse amps"] for name in pair)
        table[:, [one, other]] = table[:, [other, one]]
