"""Each wire size in the place of a dc circuit's own, behind each fuse: the whole battery side solved with it."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.studies import feeder as dc
from trailerlib.studies.battery_columns import Columns
from trailerlib.studies.battery_side import BatterySide, far_end_a
from trailerlib.studies.loads import side_volts
from trailerlib.studies.trial import Trial
from trailerlib.studies.wire_choice import Behind, candidates


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
    if net is None or taps is None or side.lines is None or side.draw is None or side.emf_v is None:
        return {}
    sizes = candidates(circuit.wire)
    if side.trial == Trial(circuit.name, sizes) and side.tried is not None and fuses == [circuit.protection]:
        volt, amp = side.tried
    else:
        columns = Columns(side.lines, len(sizes) * len(fuses))
        columns.fit(taps, [(fuse, wire) for fuse in fuses for wire in sizes], 0)
        solved = columns.solved(side.emf_v, side.draw)
        volt, amp = solved.volt, solved.amp
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
