"""The way of the current on the mains side, step by step: out on the leg to the receptacle, back on the neutral."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from trailerlib.design.design import Design
from trailerlib.design.model import BOTH
from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.studies.feeder import Part
from trailerlib.studies.mains_side.cord import branch_parts, panel_parts, source_ohm
from trailerlib.studies.mains_side.network import Network
from trailerlib.studies.mains_side.said import Flow, MainsSide
from trailerlib.studies.mains_side.shape import INLET, PANEL, PEDESTAL
from trailerlib.studies.path import Path, Step


@dataclass(frozen=True)
class AcStep(Step):
    """A step with alternating current: ``ohm`` is what its impedance takes off the size of the voltage, an ampere;
    less than 0 where the other leg's current on a shared neutral gives some back. ``resistance_ohm`` makes the heat.
    """

    resistance_ohm: float = 0.0

    @property
    def heat_w(self) -> float:
        """Heat made [W]."""
        return self.resistance_ohm * self.current_a**2


@dataclass(frozen=True)
class _Piece:
    """One thing in the way: its part, with the impedance [ohm] and the current [A] it has, both complex."""

    part: Part
    ohm: complex
    amps: complex


def path_of(design: Design, side: MainsSide, circuit: str, alone: bool = False) -> Path | None:
    """The way from the pedestal to the lowest end of a circuit and back, in the busiest moment when it runs then.

    Else, or when ``alone`` is asked for, with the circuit fully on and nothing else. What a step loses is the part of
    its voltage along the direction halfway between the source's and the load's, so that all steps add up to the one's
    size less the other's.

    Parameters
    ----------
    design : the design
    side : its mains side behind one supply, solved
    circuit : name of the circuit
    alone : whether nothing but this circuit is on

    Returns
    -------
    Path
        Its ``load_v`` is what a meter shows at that end [V]. None when its run or leg is not known, or when nothing
        arrives.

    Raises
    ------
    DesignError
        When there is no such circuit.
    """
    branch, net, leg = side.branches.get(design.circuit(circuit).name), side.network, 0
    if branch is None or net is None:
        return None
    flow = side.alone[circuit]
    if branch.in_moment and not alone:
        if side.at_moment is None:
            return None
        flow = side.at_moment
        if branch.leg == BOTH:
            flow = _from_leg_to_leg(flow)
        elif branch.leg is not None and len(flow.leg_v) > 1:
            leg = branch.leg - 1
    row = [c.name for c in net.circuits].index(circuit)
    end = min(net.nodes[row], key=lambda node: abs(flow.leg_v[leg, node]))
    load = complex(flow.leg_v[leg, end])
    if load != load:  # not a number: the voltage has collapsed
        return None
    halfway = 1.0 + load / abs(load)
    steps = [_step(piece, 2.0 * halfway / abs(halfway) ** 2) for piece in _pieces(net, flow, row, end, leg)]
    return Path(side.emf_v * (BETWEEN_LEGS if branch.leg == BOTH else 1.0), tuple(steps), abs(load))


def _from_leg_to_leg(flow: Flow) -> Flow:
    """The state as what runs between the legs sees it: out on leg 1, back on leg 2."""
    return replace(
        flow, leg_v=flow.leg_v.sum(axis=0, keepdims=True), leg_a=flow.leg_a[:1], neutral_a=flow.leg_a[1],
        neutral_ohm=flow.leg_ohm,
    )  # fmt: skip


def _step(piece: _Piece, along: complex) -> AcStep:
    part, size = piece.part, abs(piece.amps)
    lost = (piece.ohm * piece.amps * along.conjugate()).real
    return AcStep(part.name, part.way, part.kind, lost / size if size else 0.0, size, piece.ohm.real)


def _pieces(net: Network, flow: Flow, row: int, end: int, leg: int) -> Iterator[_Piece]:
    """As the current meets them; a load on leg 2 sees the neutral's current the other way round.

    Between legs the way back is the other leg: through its poles, not through the neutral bar.
    """
    sign = 1.0 if leg == 0 else -1.0
    amps = flow.leg_a[leg].tolist()
    back: list[complex] = (sign * flow.neutral_a).tolist()
    wire = (flow.leg_ohm - net.contacts_ohm).tolist()
    way, ends = _way(net, end), branch_parts(net.circuits[row])
    head = way[0]
    out, home = _ahead(net, wire[PANEL], flow.temperature_c[INLET], net.circuits[row].between_legs)
    yield _inside(net, amps[PEDESTAL], back[PEDESTAL])
    yield from (_Piece(part, ohm, amps[PANEL]) for part, ohm in out)
    yield from (_contact(part, amps[head]) for part in ends if part.way == "out")
    yield from (_Piece(Part("wire out", "out", "wire", 0.0), wire[node], amps[node]) for node in way)
    yield from (_Piece(Part("wire back", "back", "wire", 0.0), wire[node], back[node]) for node in reversed(way))
    yield from (_contact(part, back[head]) for part in ends if part.way == "back")
    yield from (_Piece(part, ohm, back[PANEL]) for part, ohm in home)


def _ahead(
    net: Network, both_ohm: complex, inlet_c: float, between_legs: bool
) -> tuple[list[tuple[Part, complex]], list[tuple[Part, complex]]]:
    """What lies between the source and the branch breakers, on the way out and on the way back, each with its ohms.

    ``both_ohm`` is that of the cord and the inlet wire; the latter is no step of its own where it is not known.
    """
    contacts = panel_parts(net.supply)
    plug, *plugs, main, lug = [(part, complex(part.ohm)) for part in contacts if part.way == "out"]
    bar, *plugs_back, plug_back = [(part, complex(part.ohm)) for part in contacts if part.way == "back"]
    inlet = net.inlet_ohm(inlet_c)
    cord, wires = Part("cord", "out", "wire", 0.0), []
    if net.inlet.run_m:
        wires = [(Part("inlet wire", "out", "wire", 0.0), inlet)]
    bars = [(replace(part, way="back"), ohm) for part, ohm in (lug, main)] if between_legs else [bar]
    wires = [(cord, both_ohm - inlet), *wires]
    cord_back, *wires_back = [(replace(part, name=f"{part.name} back", way="back"), ohm) for part, ohm in wires]
    out = [plug, wires[0], *plugs, *wires[1:], main, lug]
    return out, [*bars, *wires_back, *plugs_back, cord_back, plug_back]


def _way(net: Network, end: int) -> list[int]:
    """Nodes of a branch from its breaker to an end, in the order of the current."""
    way = [end]
    while (above := net.tree.parents[way[-1]]) != PANEL:
        way.append(above)
    return way[::-1]


def _inside(net: Network, out: complex, back: complex) -> _Piece:
    """The source, half of its loop on the leg and half on the neutral."""
    lost = source_ohm(net.supply) / 2.0 * (out + back)
    name = "generator, inside" if net.supply.is_generator else "pedestal, inside"
    return _Piece(Part(name, "source", "wire", 0.0), lost / out if out else 0.0j, out)


def _contact(part: Part, amps: complex) -> _Piece:
    return _Piece(part, complex(part.ohm), amps)
