"""What is measured on the battery side: at rest, with each load alone, with all on; and closer, part by part."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trailerlib.design.model import Load
from trailerlib.studies import feeder as dc
from trailerlib.studies.closing.line import Asks, Line
from trailerlib.studies.closing.parts import Piece, Pieces

VOLTS, MILLIVOLTS, CLAMP = "volts dc 20", "millivolts dc", "amps dc clamp"
SETTINGS = {
    VOLTS: "V dc, range of 20 V",
    MILLIVOLTS: "mV dc; V dc once it reads over 200 mV",
    CLAMP: "A dc clamp, set to zero first",
}
REST, ALL = "rest", "all"
AT_REST = "battery on, every load off, charger off for an hour"
ALL_ON = "every 12 V load on, mains off"


@dataclass(frozen=True)
class Read:
    """How a line's reading follows from the solved network: in which state, and what is added up.

    ``nodes`` are voltages over the side at a node, ``pieces`` drops of numbered pieces, ``branches`` currents.
    """

    line: Line
    state: str
    nodes: tuple[int, ...] = ()
    pieces: tuple[int, ...] = ()
    branches: tuple[int, ...] = ()


def state_of(load: Load) -> str:
    """The state in which a load alone is on."""
    return f"alone/{load.name}"


def readings(net: dc.Network, pieces: Pieces) -> Iterator[Read]:
    """Every line of the battery side, in the order a person walks, closer ones last.

    Parameters
    ----------
    net : shape of the battery side
    pieces : everything in the way of the current
    """
    yield from _at_rest(net)
    for load in net.loads:
        if load.on and load.name not in net.unplaced:
            yield from _alone(net, pieces, load)
    yield from _all_on(net, pieces)
    yield from _closer(net, pieces)


def _line(
    key: str,
    asks: Asks,
    meter: str,
    where: str,
    state: str,
    why: str,
    load: Load | None = None,
    at: str | None = None,
    *,
    circuit: str | None = None,
    routine: bool = True,
) -> Line:
    return Line(
        key, "battery", asks, where, SETTINGS[meter], state, why, meter,
        load.circuit if load else circuit, None if load is None else load.name, at, routine,
    )  # fmt: skip


def _at_rest(net: dc.Network) -> Iterator[Read]:
    battery = None if net.design.battery is None else net.design.battery.place or None
    block = net.design.fuse_block or None
    yield Read(
        _line(
            "rest/battery volts", "voltage", VOLTS, "over the battery's posts", AT_REST,
            "Tells how full it is; every other voltage is judged from here.", at=battery,
        ),
        REST, nodes=(dc.BATTERY_NODE,),
    )  # fmt: skip
    yield Read(
        _line(
            "rest/block volts", "voltage", VOLTS, "from the fuse block's stud to the negative bus", AT_REST,
            "The same as at the battery; if not, the way between is open or something still draws.", at=block,
        ),
        REST, nodes=(dc.BLOCK_NODE,),
    )  # fmt: skip


def _alone(net: dc.Network, pieces: Pieces, load: Load) -> Iterator[Read]:
    node, state, words = net.load_node[load.name], state_of(load), f"only {load.name} on"
    taps = net.taps[load.circuit]
    way = taps.way_to(node)
    out, back, fuse = (pieces.of(load.circuit, side, way) for side in ("out", "back", "fuse"))
    at, block = load.place or None, net.design.fuse_block or None
    yield Read(
        _line(
            f"{state}/volts", "voltage", VOLTS, f"at {load.name}, over its two terminals", words,
            "What arrives is what the load works with.", load, at,
        ),
        state, nodes=(node,),
    )  # fmt: skip
    if fuse:
        yield Read(
            _line(
                f"{state}/fuse drop", "voltage", MILLIVOLTS, f"across the fuse of {load.circuit}, blade to blade",
                words, "A holder that grips badly heats and lets go in a year.", load, block,
            ),
            state, pieces=fuse,
        )  # fmt: skip
    yield Read(
        _line(
            f"{state}/fuse amps", "current", CLAMP, f"on the wire that leaves the fuse of {load.circuit}", words,
            "Shows whether the load is there, draws what is drawn for it, and hangs on this fuse.", load, block,
        ),
        state, branches=(taps.nodes[0],),
    )  # fmt: skip
    yield Read(
        _line(
            f"{state}/feed drop", "voltage", MILLIVOLTS,
            f"from the load side of the fuse of {load.circuit} to the plus of {load.name}", words,
            "The loss of the way out alone: terminal, wire, splices.", load, at,
        ),
        state, pieces=out,
    )  # fmt: skip
    yield Read(
        _line(
            f"{state}/return drop", "voltage", MILLIVOLTS, f"from the minus of {load.name} to the negative bus", words,
            "The loss of the way back alone; a bad return is the one that is looked for last.", load, at,
        ),
        state, pieces=back,
    )  # fmt: skip


def _all_on(net: dc.Network, pieces: Pieces) -> Iterator[Read]:
    battery = None if net.design.battery is None else net.design.battery.place or None
    block = net.design.fuse_block or None
    yield Read(
        _line(
            "all/battery volts", "voltage", VOLTS, "over the battery's posts", ALL_ON,
            "How far it gives way under load tells its own resistance.", at=battery,
        ),
        ALL, nodes=(dc.BATTERY_NODE,),
    )  # fmt: skip
    for piece in pieces.feeder:
        if piece.sort in ("main fuse", "disconnect"):
            yield Read(_over(piece, ALL_ON, None, battery, f"all/{piece.sort} drop", True), ALL, (), (piece.number,))
    for side, words in (("out", "feed"), ("back", "return")):
        numbers = pieces.feeder_stretch(side)
        if numbers:
            where = (
                "out, to the fuse block's stud" if side == "out" else "back, from the negative bus to the minus post"
            )
            yield Read(
                _line(
                    f"all/feeder {words} drop", "voltage", MILLIVOLTS, f"along the feeder {where}", ALL_ON,
                    "Every load loses what is lost here.", at=block,
                ),
                ALL, pieces=numbers,
            )  # fmt: skip
    yield Read(
        _line(
            "all/feeder amps", "current", CLAMP, "on the feeder beside the battery", ALL_ON,
            "All currents together; more than their sum is something that was not drawn.", at=battery,
        ),
        ALL, branches=(dc.BLOCK_NODE,),
    )  # fmt: skip
    yield Read(
        _line(
            "all/block volts", "voltage", VOLTS, "from the fuse block's stud to the negative bus", ALL_ON,
            "What is left for the runs.", at=block,
        ),
        ALL, nodes=(dc.BLOCK_NODE,),
    )  # fmt: skip
    for name, taps in net.taps.items():
        if net.design.loads_on(name):
            yield Read(
                _line(
                    f"all/{name}/fuse amps", "current", CLAMP, f"on the wire that leaves the fuse of {name}", ALL_ON,
                    "Each fuse carries its own circuit and no other.", at=block, circuit=name,
                ),
                ALL, branches=(taps.nodes[0],),
            )  # fmt: skip
    for load in net.loads:
        if load.on and load.name not in net.unplaced:
            yield Read(
                _line(
                    f"all/{load.name}/volts", "voltage", VOLTS, f"at {load.name}, over its two terminals", ALL_ON,
                    "The lowest it will meet in use.", load, load.place or None,
                ),
                ALL, nodes=(net.load_node[load.name],),
            )  # fmt: skip


def _closer(net: dc.Network, pieces: Pieces) -> Iterator[Read]:
    battery = None if net.design.battery is None else net.design.battery.place or None
    for piece in pieces.feeder:
        if piece.sort in ("lug", "wire"):
            line = _over(piece, ALL_ON, None, battery, f"all/part/{piece.name}", False)
            yield Read(line, ALL, (), (piece.number,))
    seen: set[int] = set()
    for load in net.loads:
        if not load.on or load.name in net.unplaced:
            continue
        way = net.taps[load.circuit].way_to(net.load_node[load.name])
        for piece in pieces.on_way(load.circuit, way):
            if piece.sort != "fuse" and piece.number not in seen:
                seen.add(piece.number)
                state = state_of(load)
                key = f"{state}/part/{piece.name}"
                line = _over(piece, f"only {load.name} on", load, load.place or None, key, False)
                yield Read(line, state, (), (piece.number,))


def _over(piece: Piece, words: str, load: Load | None, at: str | None, key: str, routine: bool) -> Line:
    why = {
        True: "A screw that was not drawn down shows here first.",
        False: "Both probes on one part: nothing else can be meant by this reading.",
    }[routine]
    return _line(key, "voltage", MILLIVOLTS, f"over {piece.says}", words, why, load, at, routine=routine)
