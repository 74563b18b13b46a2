"""What may be wrong on the battery side, and how each changes the network that is measured."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import combinations

import numpy as np

from trailerlib.design.model import Load
from trailerlib.studies import feeder as dc
from trailerlib.studies.closing.battery_lines import ALL, state_of
from trailerlib.studies.closing.block import Fault, Floats
from trailerlib.studies.closing.parts import Piece, Pieces

# How often a poor contact is met at each sort of piece beside the others: common practice, no source.
WEIGHTS = {"fuse": 4.0, "terminal": 4.0, "lug": 4.0, "main fuse": 2.0, "disconnect": 2.0, "wire": 1.5}
# How often the other kinds are met for each poor contact, however many loads there are: common practice, no source.
FOR_EACH_CONTACT = {
    "wire thinner or longer": 0.2, "load missing": 0.12, "load draws otherwise": 0.2, "legs reversed": 0.12,
    "fuse positions swapped": 0.16, "battery low": 0.15, "battery weak": 0.12,
}  # fmt: skip
OPEN_OHM = 1e6
COSTS = np.geomspace(0.004, 1.2, 42)  # of the nominal voltage at full load: what an extra resistance may cost
LOW_V = np.geomspace(0.1, 2.0, 14)
WEAK = np.geomspace(1.6, 30.0, 14)
RUN = np.array([1.26, 1.41, 1.59, 1.78, 2.0, 2.24, 2.52, 3.0, 3.6, 4.3])  # a gauge is 1.26: ASTM B258
DRAWS_LESS = np.array([0.06, 0.1, 0.16, 0.25, 0.33, 0.42, 0.5, 0.58, 0.67, 0.75])
DRAWS_MORE = np.geomspace(1.3, 8.0, 14)


@dataclass(frozen=True)
class Change:
    """What a fault does to the network, over its s sizes; without a change a field is empty.

    ``piece`` and ``added_ohm`` (s,): resistance added to one piece. ``run`` and ``times`` (s,): factor on all wire of a
    run. ``emf_v`` (s,): added to the battery's voltage. ``inside`` (s,): factor on the battery's resistance.
    ``load`` and ``draws`` (s,): factor on what a load draws. ``turned``: a load on with its legs reversed.
    ``swapped``: two circuits on each other's fuse. ``states``: where readings change, all when empty.
    """

    piece: int = -1
    added_ohm: Floats = field(default_factory=lambda: np.zeros(1))
    run: str = ""
    times: Floats = field(default_factory=lambda: np.ones(1))
    emf_v: Floats = field(default_factory=lambda: np.zeros(1))
    inside: Floats = field(default_factory=lambda: np.ones(1))
    load: str = ""
    draws: Floats = field(default_factory=lambda: np.ones(1))
    turned: str = ""
    swapped: tuple[str, ...] = ()
    states: tuple[str, ...] = ()


def faults(net: dc.Network, pieces: Pieces, full_a: dict[str, float]) -> Iterator[tuple[Fault, Floats, Change]]:
    """Every fault that is looked for, its sizes, and what it changes.

    Parameters
    ----------
    net : shape of the battery side
    pieces : everything in the way of the current
    full_a : [A] at full load in the feeder and in each circuit
    """
    found = list(_faults(net, pieces, full_a))
    every = [fault for fault, _, _ in found]
    poor = sum(fault.weight for fault in every if fault.kind == "extra resistance")
    kinds = {kind: sum(_kind(fault) == kind for fault in every) for kind in FOR_EACH_CONTACT}
    for fault, sizes, change in found:
        kind = _kind(fault)
        weight = poor * FOR_EACH_CONTACT[kind] / kinds[kind] if kind in kinds else fault.weight
        yield replace(fault, weight=weight), sizes, change


def _kind(fault: Fault) -> str:
    return "load draws otherwise" if fault.kind.startswith("load draws") else fault.kind


def _faults(net: dc.Network, pieces: Pieces, full_a: dict[str, float]) -> Iterator[tuple[Fault, Floats, Change]]:
    """As ``faults``; only poor contacts have their weight yet."""
    for piece in pieces.every:
        yield _poor(net, piece, full_a)
    for run in dict.fromkeys(piece.run for piece in pieces.every if piece.run):
        yield _longer(net, run)
    for load in net.loads:
        if load.on and load.name not in net.unplaced:
            yield from _load(net, load)
    names = [name for name in net.taps if net.taps[name].circuit.protection is not None and _loads_on(net, name)]
    for pair in combinations(names, 2):
        yield _swapped(net, pair)
    yield from _battery(net)


def _loads_on(net: dc.Network, circuit: str) -> list[Load]:
    return [load for load in net.design.loads_on(circuit) if load.on and load.name not in net.unplaced]


def _states(net: dc.Network, circuits: tuple[str, ...]) -> tuple[str, ...]:
    """The states in which a circuit carries current: a load of its own alone, and all on."""
    return (*(state_of(load) for name in circuits for load in _loads_on(net, name)), ALL)


def _spots(net: dc.Network, circuit: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(load.place for load in _loads_on(net, circuit) if load.place))


def _poor(net: dc.Network, piece: Piece, full_a: dict[str, float]) -> tuple[Fault, Floats, Change]:
    """More resistance than a sound piece has, up to open."""
    block = (net.design.fuse_block,) if net.design.fuse_block else ()
    places = block if piece.sort in ("fuse", "terminal") else _spots(net, piece.circuit)
    if piece.circuit == "feeder":
        battery = () if net.design.battery is None or not net.design.battery.place else (net.design.battery.place,)
        places = block if piece.name.startswith("fuse block") else battery
    fault = Fault(
        f"extra resistance/{piece.name}", "extra resistance", piece.name, f"{piece.says}: {{size}} too much",
        "Take it apart, clean it, crimp or tighten it anew, and read again.", WEIGHTS[piece.sort], "resistance",
        full_a.get(piece.circuit), net.nominal_v, None if piece.circuit == "feeder" else piece.circuit, places,
    )  # fmt: skip
    states = () if piece.circuit == "feeder" else _states(net, (piece.circuit,))
    amps = full_a.get(piece.circuit) or 1.0
    sizes = np.append(COSTS * net.nominal_v / amps, OPEN_OHM)
    return fault, sizes, Change(piece=piece.number, added_ohm=sizes, states=states)


def _longer(net: dc.Network, run: str) -> tuple[Fault, Floats, Change]:
    """Thinner wire than drawn, or more of it: out and back alike."""
    fault = Fault(
        f"run/{run}", "wire thinner or longer", run,
        f"the wire of {run} is thinner or longer than drawn: {{size}} times the resistance, out and back alike",
        "Read the gauge on the jacket and measure the run; a thinner wire also wants a smaller fuse.",
        1.0, "factor", None, 0.0, None if run == "feeder" else run,
        _spots(net, run) if run != "feeder" else (),
    )  # fmt: skip
    return fault, RUN, Change(run=run, times=RUN, states=() if run == "feeder" else _states(net, (run,)))


def _load(net: dc.Network, load: Load) -> Iterator[tuple[Fault, Floats, Change]]:
    states, at = _states(net, (load.circuit,)), (load.place,) if load.place else ()
    one, none = np.zeros(1), np.zeros(1)
    yield (
        Fault(
            f"missing/{load.name}", "load missing", load.name, f"{load.name} draws nothing",
            "Is it connected, switched on, whole?", 1.0, "", None, 0.0, load.circuit, at,
        ),
        one, Change(load=load.name, draws=none, states=states),
    )  # fmt: skip
    for name, sizes in (("less", DRAWS_LESS), ("more", DRAWS_MORE)):
        yield (
            Fault(
                f"draws {name}/{load.name}", f"load draws {name}", load.name,
                f"{load.name} draws {{size}} times what it should{_hint(load, name)}",
                "Count the pieces and read the label; the design and its fuse go by what is really there.",
                1.0, "factor", None, 0.0, load.circuit, at,
            ),
            sizes, Change(load=load.name, draws=sizes, states=states),
        )  # fmt: skip
    yield (
        Fault(
            f"reversed/{load.name}", "legs reversed", load.name, f"{load.name} is on with plus and minus exchanged",
            "Exchange its two wires; look whether it still works.", 1.0, "", None, 0.0,
            load.circuit, at,
        ),
        one,
        Change(
            load=load.name, draws=np.array([1.0 if load.typical.kind == "resistive" else 0.0]), turned=load.name,
            states=states,
        ),
    )  # fmt: skip


def _hint(load: Load, name: str) -> str:
    if name == "less":
        return f": {load.count} are drawn, are all there and on" if load.count > 1 else ": another kind, or throttled"
    return ": twice as many, or another kind"


def _swapped(net: dc.Network, pair: tuple[str, str]) -> tuple[Fault, Floats, Change]:
    fault = Fault(
        f"swapped/{pair[0]}/{pair[1]}", "fuse positions swapped", " and ".join(pair),
        f"{pair[0]} and {pair[1]} are on each other's fuse",
        "Exchange the two wires at the fuse block: each wire is guarded by the fuse that is drawn for it.",
        1.0, "", None, 0.0, pair[0], (net.design.fuse_block,) if net.design.fuse_block else (),
    )  # fmt: skip
    return fault, np.zeros(1), Change(swapped=pair, states=_states(net, pair))


def _battery(net: dc.Network) -> Iterator[tuple[Fault, Floats, Change]]:
    place = () if net.design.battery is None or not net.design.battery.place else (net.design.battery.place,)
    yield (
        Fault(
            "battery/low", "battery low", "battery", "the battery stands {size} lower than it should: not full",
            "Charge it, let it rest, and begin again: every other reading hangs on it.", 1.0, "voltage",
            None, 0.0, None, place,
        ),
        LOW_V, Change(emf_v=-LOW_V),
    )  # fmt: skip
    yield (
        Fault(
            "battery/weak", "battery weak", "battery",
            "the battery gives way {size} times as much as a sound one: old, cold, or a cell is gone",
            "Have it load tested before it is built in.", 1.0, "factor", None, 0.0, None, place,
        ),
        WEAK, Change(inside=WEAK),
    )  # fmt: skip
