"""The wires of many candidates: drop, losses, and every check of the wiring, what rests on little asked apart."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from trailerlib.design.design import Design
from trailerlib.rules.finding import Finding
from trailerlib.studies import battery_side, mains_side, wire_checks, wiring
from trailerlib.studies import runs as laid
from trailerlib.studies.circuits import may_carry
from trailerlib.studies.trade_offs import dc_solved
from trailerlib.studies.trade_offs.asked import Ask
from trailerlib.studies.trade_offs.axes import Floats, Index
from trailerlib.studies.trade_offs.candidates import Rows
from trailerlib.studies.trade_offs.counts import Counts, counted
from trailerlib.studies.trade_offs.dc_case import BatterySides
from trailerlib.studies.trade_offs.desk import Desk


@dataclass(frozen=True)
class Laid:
    """The wires of candidates, (n,) each: worst drop on the battery side [-] and heat of its wires [W]; checks said."""

    drop: Floats
    lost_w: Floats
    counts: Counts


class Wires:
    """Everything that is asked about wires, and how they are worked out.

    ``apart`` are checks that rest on little, to be added to those of what flows; they say nothing of candidates without
    a battery side, of which the whole study is asked.
    """

    def __init__(self, desk: Desk, base: Design, sides: BatterySides) -> None:
        self.sides = sides
        self.whole = Ask(desk, "the wiring", lambda design: counted(wiring.answer(design).checks))
        guards: list[tuple[str, Callable[[Design], Sequence[Finding]]]]
        guards = [(f"what guards {c.name}", partial(_guarded, name=c.name)) for c in sides.circuits]
        guards += [
            ("what guards the feeder", _main),
            ("the fuse block", _block),
            ("the wires of the mains side", _mains),
            ("the raceways", wire_checks.raceway_checks),
        ]
        self.apart = [Ask(desk, name, partial(_where_there, checks=checks)) for name, checks in guards]

    def of(self, rows: Rows, *, judge: bool) -> Laid:
        """Drop and losses of every candidate, and its checks where they are wanted.

        Parameters
        ----------
        rows : the candidates
        judge : whether the checks are wanted
        """
        found = Laid(np.full(rows.count, np.nan), np.full(rows.count, np.nan), Counts(rows.count))
        there = self.sides.there.of(rows)[0] > 0
        here = np.flatnonzero(there)
        if here.size:
            self._solved(rows.some(here), here, found, judge)
        here = np.flatnonzero(~there)
        if here.size and judge:
            found.counts.by_severity[:, here] = self.whole.of(rows.some(here))
        return found

    def _solved(self, rows: Rows, places: Index, found: Laid, judge: bool) -> None:
        for built in self.sides.built(rows):
            part = rows.some(built.rows)
            solved = dc_solved.solve(self.sides, part, built)
            drops = [*solved.drop.values(), np.full(part.count, np.nan)]
            found.drop[places[built.rows]] = np.fmax.reduce(drops)
            found.lost_w[places[built.rows]] = solved.lost_w
            if judge:
                said = dc_solved.judged(self.sides, part, built, solved).by_severity
                found.counts.by_severity[:, places[built.rows]] = said


def worst_drop(design: Design) -> float | None:
    """The largest share of the voltage that any circuit loses [-]; None where none is known.

    Parameters
    ----------
    design : the design
    """
    return max((run.drop for run in wiring.answer(design).picture.runs if run.drop is not None), default=None)


def mains_drop(design: Design) -> tuple[float | None]:
    """The largest share of the voltage that a circuit of the mains side loses [-]; None where none is known.

    Parameters
    ----------
    design : the design
    """
    runs = laid.mains_runs(design, mains_side.sides(design))
    return (max((run.drop for run in runs if run.drop is not None), default=None),)


def _where_there(design: Design, checks: Callable[[Design], Sequence[Finding]]) -> tuple[int, ...]:
    there = design.battery is not None and design.feeder_run_m is not None and bool(design.circuits_of("dc"))
    return counted(checks(design) if there else ())


def _guarded(design: Design, name: str) -> list[Finding]:
    """What is judged of one circuit of the battery side whatever flows: ratings, shorts."""
    circuit = design.circuit(name)
    side, carry = battery_side.one_circuit(design, circuit), may_carry(design, circuit)
    at_block, far = battery_side.at_block_a(design, side), battery_side.far_end_a(design, side, name)
    guard = laid.guard_of(design, circuit, carry, at_block, far, None)
    main = laid.main_device(design)[0] if laid.main_guard(design, side) is not None else None
    ratings = wire_checks.rating_checks(circuit, carry, design.practice)
    return [*ratings, *wire_checks.short_checks(circuit.name, guard, main)]


def _main(design: Design) -> list[Finding]:
    side = battery_side.one_circuit(design, None)
    return wire_checks.main_fuse_checks(design, side, laid.main_guard(design, side))


def _block(design: Design) -> list[Finding]:
    fed = design.circuits_of("dc")
    at_block = battery_side.at_block_a(design, battery_side.one_circuit(design, None))
    return wire_checks.block_check(fed, at_block)


def _mains(design: Design) -> list[Finding]:
    sides = mains_side.sides(design)
    return wire_checks.mains_checks(design, sides, laid.mains_runs(design, sides))
